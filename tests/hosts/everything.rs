//! Automation of everything at once.

use crate::clap_host::{Instance, Move};

/// Everything moves: knobs glide, selector, listen, match, tray and the rest jump.
pub fn everything(instance: &Instance, samples: usize) -> Vec<Move> {
    let glides = ["Knob 1", "Knob 2", "Knob 3", "Cable", "Input resistance", "Output"].map(|name| instance.id(name));
    let jumps: Vec<_> = ["Selector", "Listen", "Switch 1", "Switch 2", "Loudness match", "Tray step", "Note following"]
        .map(|name| instance.parameters.iter().find(|parameter| parameter.name == name).expect("it is there"))
        .iter()
        .map(|parameter| (parameter.id, parameter.range.1 - parameter.range.0 + 1.0))
        .collect();
    let mut moves = Vec::new();
    for (i, sample) in (0..samples).step_by(480).enumerate() {
        let glide = i % glides.len();
        let value = 0.5 + 0.5 * (i as f64 * (0.05 + 0.01 * glide as f64)).sin();
        // The output stays near 0 dB, so that levels can be compared.
        let value = if glide == 5 { 0.45 + 0.05 * value } else { value };
        moves.push(Move { sample, parameter: glides[glide], value });
        if i % 17 == 0 {
            let (parameter, count) = jumps[i / 17 % jumps.len()];
            moves.push(Move { sample, parameter, value: (i as f64 * 0.71).rem_euclid(count).floor() });
        }
    }
    moves
}
