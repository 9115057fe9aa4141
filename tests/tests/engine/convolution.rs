use dryfit_dsp::conversion::{Controls, Grid};
use dryfit_dsp::engine::Listen;
use dryfit_dsp::engine::convolver::{History, PartitionedFilter, Transform, direct};
use dryfit_dsp::filter::{Designer, Filter, Size, reference};

use crate::targets::{LogGain, controls, engine, guitar, noise, play, scene, tone_after_volume};

/// Rounding of single precision for a worst case: every partial sum below sum|h| times the peak, the deepest chain of
/// additions some 128 long (transform, partitions, head), errors adding like a random walk.
fn rounding(response: &[f32]) -> f64 {
    let gain: f64 = response.iter().map(|tap| f64::from(tap.abs())).sum();
    f64::from(f32::EPSILON) * 128f64.sqrt() * gain
}

fn worst(fast: &[f32], slow: &[f64]) -> f64 {
    assert_eq!(fast.len(), slow.len());
    fast.iter().zip(slow).map(|(&fast, &slow)| (f64::from(fast) - slow).abs()).fold(0.0, f64::max)
}

fn designed(sample_rate: f64, log_gain: LogGain, controls: &Controls) -> Filter {
    let grid = Grid::up_to(sample_rate / 2.0);
    let mut designer = Designer::new(&grid, sample_rate);
    let mut filter = designer.silent();
    let curve: Vec<f64> = grid.hertz().iter().map(|&hertz| log_gain(controls, hertz)).collect();
    designer.design(&curve, &mut filter);
    filter
}

/// Source: 1, 2, 3 convolved with 1, -1 is 1, 1, 1 (and -3 after the end), worked by hand.
#[test]
fn the_direct_reference_convolves_by_hand() {
    assert_eq!(direct::convolve(&[1.0, -1.0], &[1.0, 2.0, 3.0]), [1.0, 1.0, 1.0]);
}

/// Two routes to one answer: partitions and tails against the sum of products over the impulse response.
#[test]
fn the_engine_is_a_direct_convolution_to_single_precision_at_every_rate() {
    for sample_rate in [44_100.0, 48_000.0, 96_000.0] {
        for (listen, log_gain) in [(Listen::A, guitar as LogGain), (Listen::B, tone_after_volume)] {
            let set = controls(2, 4.0, 6.0);
            let input = noise(2, 12_000);
            let output = play(&mut engine(sample_rate, 1), &input, |_| scene(listen, set));
            let filter = designed(sample_rate, log_gain, &set);
            let response = reference::impulse_response(&filter, sample_rate, input.len());
            let error = worst(&output, &direct::convolve(&response, &input));
            println!("{sample_rate} Hz {listen:?}: {error:.1e}, allowed {:.1e}", rounding(&response));
            assert!(error < rounding(&response), "{sample_rate} Hz, {listen:?}: {error:.2e}");
        }
    }
}

/// Source: the first sample of a convolution is the first sample times the first tap; design.md, "zero latency".
#[test]
fn there_is_no_latency() {
    let set = controls(1, 10.0, 10.0);
    // Everything as recorded: the filter is one tap of 1.
    let input = noise(3, 500);
    let output = play(&mut engine(48_000.0, 1), &input, |_| scene(Listen::A, set));
    let worst = input.iter().zip(&output).map(|(a, b)| (a - b).abs()).fold(0.0, f32::max);
    assert!(worst < 1e-5, "an untouched wiring changes samples by {worst:.1e}");
}

/// Why the input side is shared: what was played before a filter came is convolved with it all the same.
#[test]
fn a_filter_put_in_place_sounds_at_once_with_full_history() {
    let Size { step, taps, .. } = Size::at(48_000.0);
    let filter = designed(48_000.0, tone_after_volume, &controls(1, 5.0, 3.0));
    let response = reference::impulse_response(&filter, 48_000.0, 10_000);
    let input = noise(4, 156 * step);
    let wanted = direct::convolve(&response[..input.len().min(10_000)], &input);

    let mut transform = Transform::new(step);
    let mut history = History::new(&transform, taps, 48_000.0);
    let mut slot = PartitionedFilter::new(&transform, taps);
    let (mut tail, mut out) = (vec![0.0; step], vec![0.0; step]);
    let (before, after) = input.split_at(155 * step);
    for samples in before.chunks(step) {
        history.push(samples);
        history.complete(&mut transform);
    }
    slot.set(&filter, &mut transform);
    slot.tail(&history, &mut transform, &mut tail);
    history.push(after);
    slot.output(&history, &tail, 0, &mut out);
    let error = worst(&out, &wanted[155 * step..]);
    assert!(error < rounding(&response), "{error:.2e}, allowed {:.2e}", rounding(&response));
}
