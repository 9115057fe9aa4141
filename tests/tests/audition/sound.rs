//! What the page carries is what `dryfit render` writes, and it is played fairly.

use ebur128::{EbuR128, Mode};

use super::page::Page;
use super::workplace::{Workplace, demo_page, playing};

/// Of any two clips. The issue's own limit; differences of level under 0.3 dB are not heard as such (common practice, no source).
const ALLOWED_LU: f64 = 0.3;

/// Integrated loudness in LKFS by the reference.
pub fn loudness(samples: &[f32], sample_rate: u32) -> f64 {
    let mut meter = EbuR128::new(1, sample_rate, Mode::I).unwrap();
    meter.add_frames_f32(samples).unwrap();
    meter.loudness_global().unwrap()
}

#[test]
fn every_clip_is_bit_for_bit_what_render_writes_at_24_bit() {
    for follow in ["off", "whole"] {
        let place = Workplace::new();
        place.take("take.wav", 44_100, &playing(44_100, 1.7));
        let options = ["five-way-neck-blend", "two-pickups-series"];
        let both = ["take.wav", "--follow", follow, "--set", "volume=9", "--option", options[0]];
        place.audition(&[&both[..], &["--option", "two-pickups-series tone=4"]].concat()).success();
        let rendered = [&["render"], &both[..5], &["-o", "heard", "--each-position", "--depth", "24"]].concat();
        place.command(&[&rendered[..], &["--option", options[0]]].concat()).assert().success();
        place.command(&[&rendered[..], &["--option", options[1], "--set", "tone=4"]].concat()).assert().success();
        let page = Page::read(&place.path("audition.html"));
        assert_eq!(page.variants().len(), 5 + 4);
        for (index, variant) in page.variants().iter().enumerate() {
            let option = options[variant["option"].as_u64().unwrap() as usize];
            let file = place.path(&format!("heard/take-{option}-position-{}.wav", variant["position"]));
            let written: Vec<i32> = hound::WavReader::open(file).unwrap().samples().map(Result::unwrap).collect();
            assert_eq!(page.codes(0, index + 1), written, "{option} {}, follow {follow}", variant["position"]);
        }
    }
}

#[test]
fn the_take_as_recorded_is_carried_bit_for_bit() {
    let place = Workplace::new();
    place.take("take.wav", 48_000, &playing(48_000, 1.2));
    place.audition(&["take.wav", "--option", "volume-only"]).success();
    let written: Vec<i32> =
        hound::WavReader::open(place.path("take.wav")).unwrap().samples().map(Result::unwrap).collect();
    assert_eq!(Page::read(&place.path("audition.html")).codes(0, 0), written);
}

#[test]
fn any_two_sounds_are_equally_loud_within_0_3_lu() {
    let page = Page::read(demo_page());
    let played: Vec<f64> = (0..page.clips(0).len())
        .map(|clip| {
            let gain = page.clips(0)[clip]["matched"].as_f64().unwrap() as f32;
            let samples: Vec<f32> = page.samples(0, clip).iter().map(|sample| sample * gain).collect();
            assert!(samples.iter().all(|sample| sample.abs() < 1.0), "clip {clip} would clip");
            loudness(&samples, page.rate(0))
        })
        .collect();
    let least = played.iter().copied().fold(f64::INFINITY, f64::min);
    let most = played.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    assert!(most - least < ALLOWED_LU, "{played:?}");
    assert!(most > -40.0, "too soft for anybody: {most}");
}

#[test]
fn real_levels_keep_the_difference_that_the_wirings_make() {
    let page = Page::read(demo_page());
    let clips = page.clips(0);
    let recorded = loudness(&page.samples(0, 0), page.rate(0));
    assert!(clips.iter().all(|clip| clip["real"] == clips[0]["real"]), "one gain for all");
    for (index, clip) in clips.iter().enumerate() {
        let louder = loudness(&page.samples(0, index), page.rate(0)) - recorded;
        // The meters of page and reference differ by at most 0.1 LU, as in loudness.rs.
        assert!((clip["louder"].as_f64().unwrap() - louder).abs() < 0.1, "clip {index}");
    }
    assert!(clips.iter().any(|clip| clip["louder"].as_f64().unwrap().abs() > 1.0), "the wirings differ in level");
}

/// The option is lifted beyond full scale; the clip is stored lower by a power of two, which its gains make good.
#[test]
fn a_sound_beyond_full_scale_is_kept_whole() {
    let place = Workplace::new();
    let loud: Vec<f32> = playing(48_000, 1.5).iter().map(|sample| (sample * 5.0).clamp(-0.999, 0.999)).collect();
    place.take("take.wav", 48_000, &loud);
    place.audition(&["take.wav", "--option", "five-way-outer-pair-series position=5"]).success();
    place
        .command(&[
            "render",
            "take.wav",
            "-o",
            "o.wav",
            "--option",
            "five-way-outer-pair-series",
            "--set",
            "position=5",
        ])
        .assert()
        .success();
    let rendered: Vec<f32> =
        hound::WavReader::open(place.path("o.wav")).unwrap().samples().map(Result::unwrap).collect();
    assert!(rendered.iter().any(|sample| sample.abs() > 1.0), "the test needs a sound beyond full scale");
    let page = Page::read(&place.path("audition.html"));
    let clip = &page.clips(0)[1];
    let kept = clip["real"].as_f64().unwrap() / page.clips(0)[0]["real"].as_f64().unwrap();
    assert!([2.0, 4.0].iter().any(|power| (kept - power).abs() < 1e-9), "{kept}");
    let steps = page.samples(0, 1);
    let worst = steps.iter().zip(&rendered).map(|(stored, rendered)| (stored * kept as f32 - rendered).abs());
    // Half a code of 24 bits, times the power of two, and the rounding of f32.
    assert!(worst.fold(0.0, f32::max) < 0.5f32 * 2f32.powi(-23) * kept as f32 * 1.3);
}
