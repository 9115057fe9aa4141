//! Wirings that nobody would build are drawn as well as the presets: lugs joined at random.

use dryfit_dsp::document::{AssembledKind, Assembly};
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

use super::drawings;
use super::legible::faults;
use super::wires::{joined, wanted};
use dryfit_tests::circuits::assembly;

/// The parts of a preset, every lug on one of some joints or left alone. The jack's sleeve stays on ground.
fn scrambled(preset: &str, seed: u64) -> Assembly {
    let mut random = ChaCha8Rng::seed_from_u64(seed);
    let mut assembly = assembly(preset, "three-single-coils");
    let nets = random.random_range(5..9usize);
    assembly.joints = (0..=nets).map(|net| format!("net-{net}")).collect();
    for part in &mut assembly.parts {
        for lug in 0..part.joints.len() {
            let is_sleeve = part.kind == AssembledKind::Jack && lug == 1;
            part.joints[lug] = match random.random_range(0..10) {
                _ if is_sleeve => Assembly::GROUND,
                0..7 => random.random_range(0..=nets),
                _ => {
                    assembly.joints.push(format!("{}.{}", part.name, part.lugs[lug]));
                    assembly.joints.len() - 1
                }
            };
        }
    }
    assembly
}

#[test]
fn lugs_joined_at_random_are_drawn_legibly_and_completely() {
    for seed in 0..10 {
        for preset in ["five-way-two-tones", "five-way-outer-pair-series", "five-way-bridge-only-neck-blend"] {
            let assembly = scrambled(preset, seed);
            for drawing in drawings(&assembly) {
                let faults = faults(&drawing);
                assert!(faults.is_empty(), "{preset}, seed {seed}, {:?}: {faults:#?}", drawing.view);
                assert_eq!(joined(&drawing), wanted(&assembly), "{preset}, seed {seed}, {:?}", drawing.view);
            }
        }
    }
}
