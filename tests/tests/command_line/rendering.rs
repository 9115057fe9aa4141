//! `dryfit render` when all is well: which files there are, and what is in them.

use std::fs;

use predicates::str::contains;

use super::bench::{Bench, RATE, err, out, plucked};

#[test]
fn a_result_has_the_take_s_sample_rate_and_length() {
    let bench = Bench::empty();
    for rate in [8_000, 22_050, 44_100, 48_000, 96_000, 192_000] {
        let take = plucked(rate, 0.1);
        bench.take("take.wav", rate, std::slice::from_ref(&take));
        bench.dryfit("render take.wav -o out.wav --overwrite").success();
        let (spec, samples) = bench.result("out.wav");
        assert_eq!((spec.sample_rate, spec.channels, samples.len()), (rate, 1, take.len()));
        assert!(samples.iter().any(|sample| sample.abs() > 0.01), "something is heard at {rate} Hz");
    }
}

#[test]
fn the_recorded_wiring_itself_gives_the_take_back() {
    let bench = Bench::empty();
    let take = plucked(RATE, 0.25);
    bench.take("take.wav", RATE, std::slice::from_ref(&take));
    let run = bench.dryfit("render take.wav -o out.wav --option five-way-two-tones --depth float").success();
    assert!(out(&run).contains("exact"), "{}", out(&run));
    let (_, samples) = bench.result("out.wav");
    // The filter is a unit impulse: what is left is the rounding of f32, 2^-24 of full scale, through one transform.
    let worst = take.iter().zip(&samples).map(|(take, sample)| (take - sample).abs()).fold(0.0, f32::max);
    assert!(worst < 1e-5, "{worst}");
}

#[test]
fn running_twice_gives_identical_bytes() {
    let bench = Bench::with_take();
    bench.dryfit("render take.wav -o one.wav").success();
    bench.dryfit("render take.wav -o two.wav").success();
    assert_eq!(bench.bytes("one.wav"), bench.bytes("two.wav"));
}

#[test]
fn without_a_take_the_demo_is_rendered_the_same_every_time() {
    let bench = Bench::empty();
    bench.dryfit("render -o one.wav").success().stderr(contains("demo"));
    bench.dryfit("render -o two.wav").success();
    assert_eq!(bench.bytes("one.wav"), bench.bytes("two.wav"));
    let (spec, samples) = bench.result("one.wav");
    assert_eq!(spec.bits_per_sample, 24);
    let seconds = samples.len() as f64 / f64::from(spec.sample_rate);
    assert!((5.0..30.0).contains(&seconds), "a riff, not a note and not a song: {seconds} s");
}

#[test]
fn several_takes_through_several_options_land_in_a_folder_that_is_made() {
    let bench = Bench::with_take();
    bench.take("other.wav", 44_100, &[plucked(44_100, 0.1)]);
    let options = "--option five-way-two-tones --option five-way-master-tone+treble-bleed";
    let run = bench.dryfit(&format!("render take.wav other.wav -o new/results {options}")).success();
    let expected = [
        "new",
        "new/results",
        "new/results/other-five-way-master-tone+treble-bleed.wav",
        "new/results/other-five-way-two-tones.wav",
        "new/results/take-five-way-master-tone+treble-bleed.wav",
        "new/results/take-five-way-two-tones.wav",
        "other.wav",
        "take.wav",
    ];
    assert_eq!(bench.listing(), expected);
    assert_eq!(out(&run).lines().count(), 4, "one line per result");
}

#[test]
fn several_takes_at_once_are_what_each_is_alone() {
    let bench = Bench::empty();
    for take in 1..=4 {
        bench.take(&format!("{take}.wav"), RATE, &[plucked(RATE, 0.1 * f64::from(take))]);
        bench.dryfit(&format!("render {take}.wav -o alone-{take}.wav")).success();
    }
    bench.dryfit("render 1.wav 2.wav 3.wav 4.wav -o together").success();
    for take in 1..=4 {
        let together = bench.bytes(&format!("together/{take}-five-way-bridge-only-neck-blend.wav"));
        assert_eq!(together, bench.bytes(&format!("alone-{take}.wav")), "take {take}");
    }
}

#[test]
fn each_position_gives_a_file_per_position_that_is_what_the_position_is_alone() {
    let bench = Bench::with_take();
    bench.dryfit("render take.wav -o all --option five-way-two-tones --each-position").success();
    assert_eq!(fs::read_dir(bench.path("all")).unwrap().count(), 5);
    for position in 1..=5 {
        let alone =
            format!("render take.wav -o alone.wav --overwrite --option five-way-two-tones --set position={position}");
        bench.dryfit(&alone).success();
        let name = format!("all/take-five-way-two-tones-position-{position}.wav");
        assert_eq!(bench.bytes(&name), bench.bytes("alone.wav"), "position {position}");
    }
}

#[test]
fn one_result_goes_into_a_folder_that_is_there() {
    let bench = Bench::with_take();
    fs::create_dir(bench.path("results")).unwrap();
    bench.dryfit("render take.wav -o results --option volume-only").success();
    assert!(bench.path("results/take-volume-only.wav").is_file());
}

#[test]
fn an_existing_result_is_replaced_when_asked_for() {
    let bench = Bench::with_take();
    bench.write("out.wav", "an older result");
    bench.dryfit("render take.wav -o out.wav --overwrite").success();
    assert_eq!(bench.result("out.wav").1.len(), bench.result("take.wav").1.len());
    assert_eq!(bench.listing(), ["out.wav", "take.wav"]);
}

#[test]
fn a_result_that_would_clip_is_written_in_float_and_kept_whole() {
    // Turned up to full scale, the outer pair in series, twice the voltage of one pickup, cannot fit.
    let bench = Bench::empty();
    let loud: Vec<f32> = plucked(RATE, 0.25).iter().map(|sample| 1.9 * sample).collect();
    bench.take("take.wav", RATE, &[loud]);
    let series = "--option five-way-outer-pair-series --set position=5 --set series=up --recorded-set position=5";
    let run = bench.dryfit(&format!("render take.wav -o out.wav {series}")).success();
    assert!(out(&run).contains("above full scale"), "{}", out(&run));
    let (spec, samples) = bench.result("out.wav");
    assert_eq!((spec.sample_format, spec.bits_per_sample), (hound::SampleFormat::Float, 32));
    assert!(samples.iter().any(|sample| sample.abs() > 1.0));
    let refused = bench.dryfit(&format!("render take.wav -o out-24.wav --depth 24 {series}")).code(1);
    refused.stdout("").stderr(contains("would clip in 24 bits"));
    assert_eq!(bench.listing(), ["out.wav", "take.wav"]);
}

#[test]
fn depth_is_24_bit_unless_float_is_asked_for_and_both_hold_the_same_sound() {
    let bench = Bench::with_take();
    bench.dryfit("render take.wav -o auto.wav").success().stdout(contains("24 bit"));
    bench.dryfit("render take.wav -o 24.wav --depth 24").success();
    bench.dryfit("render take.wav -o float.wav --depth float").success().stdout(contains("float"));
    assert_eq!(bench.bytes("auto.wav"), bench.bytes("24.wav"));
    let (exact, rounded) = (bench.result("float.wav").1, bench.result("24.wav").1);
    let worst = exact.iter().zip(&rounded).map(|(exact, rounded)| (exact - rounded).abs()).fold(0.0, f32::max);
    // Half a code of 24 bits, and the rounding of f32 in this comparison.
    assert!(worst < 1.01 * 2.0_f32.powi(-24), "{worst}");
}

#[test]
fn a_stereo_take_says_which_channel_is_taken_and_takes_the_one_that_is_asked_for() {
    let bench = Bench::empty();
    let left = plucked(RATE, 0.1);
    let right: Vec<f32> = left.iter().map(|sample| -0.5 * sample).collect();
    bench.take("stereo.wav", RATE, &[left.clone(), right]);
    bench.take("left.wav", RATE, &[left]);
    let run = bench.dryfit("render stereo.wav -o out.wav").success();
    assert!(err(&run).contains("takes the mean of all 2 channels"), "{}", err(&run));
    bench.dryfit("render stereo.wav -o from-stereo.wav --channel left").success().stderr(contains("channel 1 of 2"));
    bench.dryfit("render left.wav -o from-left.wav").success().stderr(contains("taken as it is"));
    assert_eq!(bench.bytes("from-stereo.wav"), bench.bytes("from-left.wav"));
}

#[test]
fn seven_channels_and_eight_bits_are_taken_with_a_sentence() {
    let bench = Bench::empty();
    let silence = vec![0.0; plucked(RATE, 0.1).len()];
    let mut channels = vec![silence; 7];
    channels[3] = plucked(RATE, 0.1);
    bench.take("seven.wav", RATE, &channels);
    bench
        .dryfit("render seven.wav -o out.wav")
        .success()
        .stderr(contains("channel 4 of 7, the first that is not silent"));
    let spec =
        hound::WavSpec { channels: 1, sample_rate: RATE, bits_per_sample: 8, sample_format: hound::SampleFormat::Int };
    let mut writer = hound::WavWriter::create(bench.path("coarse.wav"), spec).unwrap();
    plucked(RATE, 0.1).iter().for_each(|sample| writer.write_sample((sample * 127.0) as i8).unwrap());
    writer.finalize().unwrap();
    bench.dryfit("render coarse.wav -o coarse-out.wav").success().stderr(contains("8 bits leave noise"));
}
