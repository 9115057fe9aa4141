use dryfit_dsp::engine::Scene;

use crate::stage::{FOLLOWERS, TWO_TONES, engine, followed, play};

const RATE: f64 = 48_000.0;

/// Source: issue 4, "no pumping, no clicks".
#[test]
fn silence_stays_silent() {
    for make in FOLLOWERS {
        let output = play(&mut engine(make, RATE, 1, &[TWO_TONES]), &vec![0.0; 48_000], 64, |_| followed(5));
        assert!(output.iter().all(|&sample| sample == 0.0));
    }
}

/// Source: issue 4, "noise only: output within 1 dB of static level".
#[test]
fn noise_alone_keeps_the_level_of_the_static_filter_within_1_db() {
    let input = noise(48_000 * 2);
    for make in FOLLOWERS {
        let unfollowed = |_| Scene { follow: false, ..followed(5) };
        let still = play(&mut engine(make, RATE, 1, &[TWO_TONES]), &input, 64, unfollowed);
        let heard = play(&mut engine(make, RATE, 1, &[TWO_TONES]), &input, 64, |_| followed(5));
        for (place, (heard, still)) in heard.chunks(9600).zip(still.chunks(9600)).enumerate() {
            let off = level_db(heard) - level_db(still);
            println!("{place}: {off:.2} dB");
            assert!(off.abs() < 1.0, "{off:.2} dB in fifth {place} of a second");
        }
    }
}

fn level_db(samples: &[f32]) -> f64 {
    10.0 * samples.iter().map(|&sample| f64::from(sample) * f64::from(sample)).sum::<f64>().log10()
}

/// White, the same on every run.
fn noise(length: usize) -> Vec<f32> {
    let mut state = 1u32;
    let mut next = || {
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        (state >> 8) as f32 / (1 << 24) as f32 - 0.5
    };
    (0..length).map(|_| 0.01 * next()).collect()
}
