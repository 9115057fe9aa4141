use dryfit_dsp::engine::Listen;
use dryfit_dsp::filter::reference;

use crate::targets::{LogGain, controls, engine, guitar, play, scene, tone_after_volume};

/// Bounds: design.md section 8, "rendered sound against the solver". The impulse comes at the start and in the middle
/// of a step; one second is heard, after which the slowest tail (2.5 Hz) has fallen by 136 dB.
#[test]
fn an_impulse_through_the_engine_has_the_wanted_magnitude_at_every_rate() {
    let settings = [(1, 10.0, 10.0), (1, 10.0, 0.0), (1, 5.0, 10.0), (1, 0.01, 0.0), (2, 10.0, 10.0), (3, 7.0, 2.0)];
    for sample_rate in [44_100.0, 48_000.0, 96_000.0, 192_000.0] {
        for (listen, log_gain) in [(Listen::A, guitar as LogGain), (Listen::B, tone_after_volume)] {
            for (position, volume, tone) in settings {
                let set = controls(position, volume, tone);
                // Half of them at the start of a step, half within one.
                let at = if volume == 10.0 { 0 } else { 37 };
                let mut impulse = vec![0.0; at + sample_rate as usize];
                impulse[at] = 1.0;
                let output = play(&mut engine(sample_rate, 1), &impulse, |_| scene(listen, set));
                assert!(output[..at].iter().all(|&sample| sample == 0.0), "sound before the impulse");
                check(&output[at..], sample_rate, |hertz| log_gain(&set, hertz), &format!("{listen:?} {set:?}"));
            }
        }
    }
}

fn check(response: &[f32], sample_rate: f64, log_gain: impl Fn(f64) -> f64, name: &str) {
    for hertz in (0..60).map(|i| 20.0 * 900f64.powf(f64::from(i) / 59.0)) {
        let got = reference::samples_response(response, sample_rate, hertz).norm().ln();
        let error = (got - log_gain(hertz)).abs() * 20.0 / 10f64.ln();
        let bound = if hertz < 80.0 { 0.1 } else { 0.05 };
        assert!(error <= bound, "{name} at {sample_rate} Hz is {error:.3} dB off at {hertz:.0} Hz");
    }
}
