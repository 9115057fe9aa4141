//! The real recording that later checks rely on: is it what it claims to be?

use dryfit_tests::real_recording::{Note, RealTake, build_real_take, real_take, skip_or_fail};
use realfft::RealFftPlanner;

/// The take, or a skip that says why.
macro_rules! take_or_skip {
    () => {
        match real_take() {
            Ok(take) => take,
            Err(skip) => return skip_or_fail(skip),
        }
    };
}

/// The power in each bin of a Hann-windowed stretch, zero-padded fourfold at least, and the bins per hertz.
fn spectrum(samples: &[f32], sample_rate: u32) -> (Vec<f64>, f64) {
    let length = (4 * samples.len()).next_power_of_two();
    let fft = RealFftPlanner::<f64>::new().plan_fft_forward(length);
    let mut input = fft.make_input_vec();
    let step = std::f64::consts::TAU / samples.len() as f64;
    for (n, (slot, &sample)) in input.iter_mut().zip(samples).enumerate() {
        *slot = f64::from(sample) * (0.5 - 0.5 * (step * n as f64).cos());
    }
    let mut output = fft.make_output_vec();
    fft.process(&mut input, &mut output).expect("the buffers are the plan's own");
    (output.iter().map(|bin| bin.norm_sqr()).collect(), length as f64 / f64::from(sample_rate))
}

/// The stretch in which the note of the line sounds alone, without its pluck.
fn alone<'a>(take: &'a RealTake, note: &Note) -> &'a [f32] {
    let frame = |seconds: f64| (seconds * f64::from(take.sample_rate)) as usize;
    &take.samples[frame(note.start + 0.05)..frame(note.start + note.duration)]
}

/// The single notes: those that end before the next begins.
fn line(take: &RealTake) -> Vec<Note> {
    let ends = |pair: &[Note]| pair[0].start + pair[0].duration <= pair[1].start + 1e-9;
    take.notes.windows(2).filter(|pair| ends(pair)).map(|pair| pair[0]).collect()
}

#[test]
fn the_take_lasts_about_eight_seconds_and_neither_clips_nor_is_silent() {
    let take = take_or_skip!();
    let seconds = take.samples.len() as f64 / f64::from(take.sample_rate);
    assert!((7.5..8.5).contains(&seconds), "{seconds} s");
    assert!(take.samples.iter().all(|sample| sample.abs() <= 0.5), "finite and 6 dB below clipping");
    // A tenth of a second without a note's energy would be a hole in the riff: -60 dBFS, common practice, no source.
    let loud = |chunk: &[f32]| chunk.iter().any(|sample| sample.abs() > 1e-3);
    assert!(take.samples.chunks(take.sample_rate as usize / 10).all(loud));
}

#[test]
fn the_take_is_the_same_every_time_in_every_bit() {
    let take = take_or_skip!();
    assert_eq!(build_real_take(), Ok(take));
}

#[test]
fn the_take_has_energy_in_every_third_octave_from_80_hz_to_5_khz() {
    let take = take_or_skip!();
    let (power, bins_per_hertz) = spectrum(&take.samples, take.sample_rate);
    let band = |centre: f64| {
        let edge = |factor: f64| (centre * factor * bins_per_hertz) as usize;
        let (low, high) = (edge((-1.0 / 6.0_f64).exp2()), edge((1.0 / 6.0_f64).exp2()));
        10.0 * power[low..high].iter().sum::<f64>().log10()
    };
    // Preferred centre frequencies of IEC 61260, 1 kHz 2^(n/3): 80 Hz is n = -11, 5 kHz is n = 7.
    let levels: Vec<f64> = (-11..=7).map(|n| band(1000.0 * (f64::from(n) / 3.0).exp2())).collect();
    let loudest = levels.iter().copied().fold(f64::MIN, f64::max);
    let relative: Vec<i32> = levels.iter().map(|level| (level - loudest).round() as i32).collect();
    println!("third octaves from 80 Hz, dB below the loudest: {relative:?}");
    // 60 dB down is still far above the rounding of a 16-bit recording, 96 dB down over all bands together, so that ratios of
    // spectra can be measured in each.
    assert!(relative.iter().all(|&level| level > -60), "{relative:?}");
}

#[test]
fn the_single_notes_have_their_pitch_within_20_cents() {
    let take = take_or_skip!();
    let notes = line(&take);
    assert_eq!(notes.len(), 13);
    for note in notes {
        let (power, bins_per_hertz) = spectrum(alone(&take, &note), take.sample_rate);
        let bin = |hertz: f64| (hertz * bins_per_hertz) as usize;
        // A semitone either way, so that a wrong note finds no peak of its own.
        let semitone = (1.0_f64 / 12.0).exp2();
        let range = bin(note.pitch() / semitone)..=bin(note.pitch() * semitone);
        let top = range.max_by(|&a, &b| power[a].total_cmp(&power[b])).expect("some bins");
        let [left, mid, right] = [-1, 0, 1].map(|step: isize| power[top.strict_add_signed(step)].ln());
        let offset = 0.5 * (left - right) / (left - 2.0 * mid + right);
        let cents = 1200.0 * ((top as f64 + offset) / bins_per_hertz / note.pitch()).log2();
        println!("key {}: {cents:+.1} cents", note.key);
        // 20 cents: the string naming of the design bears 15 flat to 30 sharp.
        assert!(cents.abs() < 20.0, "key {}: {cents} cents", note.key);
        // The fundamental, not an overtone of a lower note: half its frequency is 20 dB weaker at least.
        let half = bin(0.5 * note.pitch() / semitone)..=bin(0.5 * note.pitch() * semitone);
        let below = power[half].iter().copied().fold(0.0, f64::max);
        assert!(10.0 * (power[top] / below).log10() > 20.0, "key {}", note.key);
    }
}
