//! The trade's facts, through the plug-in.

use super::RATE;
use super::state::{benches, with_project};
use crate::clap_host::Plugin;
use crate::outcome::{Outcome, when};
use crate::signals::{difference_db, impulse, magnitude, noise, peak};
use crate::{Check, Given};
use dryfit_plugin::session::{Bench, Project};

pub const CHECKS: &[Check] = &[
    Check {
        name: "no-load",
        sentence: "a no-load blend at 10 leaves nothing of the neck; a plain pot leaves a trace",
        run: no_load,
    },
    Check { name: "tone-cap", sentence: "tone at 0: 22n instead of 47n moves the hump up by a half", run: tone_cap },
    Check { name: "volume", sentence: "a volume at 0 is silent, at half travel more than 6 dB softer", run: volume },
    Check { name: "bleed", sentence: "turned down, the treble goes first; a treble bleed keeps it", run: bleed },
    Check { name: "cable", sentence: "more cable darkens: more at 2 kHz, much less at 6 kHz", run: cable },
    Check { name: "low-input", sentence: "an input of 100k takes the height off the resonance", run: low_input },
    Check { name: "series", sentence: "two pickups in series are louder and darker than in parallel", run: series },
];

fn hear(given: &Given, project: &Project, settings: &[(&str, &str)], take: &[f32]) -> Vec<f32> {
    let mut instance = Plugin::load(&given.plugin).instance();
    let saved = with_project(&instance.save(), &project.to_text());
    instance.load(&saved);
    let mut moves = instance.moves(&[("Loudness match", "Off")]);
    moves.extend(instance.moves(settings));
    instance.start(RATE, 2).run(take, &[512], &moves)
}

/// Common practice, no source: with its track cut a no-load pot is not there at 10. The wiring without the blend is the same
/// circuit then, part for part. A plain pot stays: it loads, and lets a trace of the neck through.
fn no_load(given: &Given) -> Outcome {
    let take = noise(24_000, 0.1);
    let blend = ("Knob 3", "10");
    let without = hear(given, &benches("five-way-master-tone", "volume-only"), &[blend], &take);
    let no_load = hear(given, &benches("five-way-bridge-only-neck-blend", "volume-only"), &[blend], &take);
    let plain = hear(given, &benches("five-way-neck-blend", "volume-only"), &[blend], &take);
    let (no_load, plain) = (difference_db(&without, &no_load), difference_db(&without, &plain));
    // Single precision rounds at -144 dB a sample; -40 dB is what the best ear still hears as another sound.
    when(no_load < -120.0 && plain > -40.0, format!("no-load {no_load:.1} dB, plain pot {plain:.1} dB"))
}

/// With the tone at 0 pickup and capacitor are a series resonant circuit: its low-pass peaks at f0 sqrt(1 - 1 / (2 Q^2)) with
/// f0 = 1 / (2 pi sqrt(L C)) and Q = sqrt(L / C) / R (any textbook on circuits), here with the bridge pickup of the preset.
fn tone_cap(given: &Given) -> Outcome {
    let project = benches("five-way-bridge-only-neck-blend", "volume-only");
    let guitar = project.read_guitar().expect("the preset is right");
    let bridge = guitar.pickup("bridge").expect("it has a bridge pickup");
    let expected = |capacitance: f64| {
        let (inductance, resistance) = (bridge.coil.inductance, bridge.coil.resistance);
        let quality = (inductance / capacitance).sqrt() / resistance;
        (1.0 - 0.5 / (quality * quality)).sqrt() / (std::f64::consts::TAU * (inductance * capacitance).sqrt())
    };
    let hump = |value: &str| {
        let project = project.with_value(Bench::A, "tone-cap", value).expect("the value is right");
        peak(&hear(given, &project, &[("Knob 2", "0")], &impulse(16_384)), RATE, 150.0, 2000.0)
    };
    let (large, small) = (hump("47n"), hump("22n"));
    let (wanted_large, wanted_small) = (expected(47e-9), expected(22e-9));
    let near = |found: f64, wanted: f64| (found / wanted - 1.0).abs() < 0.05;
    // The volume pot and the input across the capacitor damp it a little more than the coil alone: 5 % covers them.
    let said = format!("47n {large:.0} Hz (alone {wanted_large:.0}), 22n {small:.0} Hz (alone {wanted_small:.0})");
    when(near(large, wanted_large) && near(small, wanted_small), said)
}

/// The conversion ends at -140 dB, and single precision a little below. An audio taper at half travel: common practice, no
/// source.
fn volume(given: &Given) -> Outcome {
    let take = noise(24_000, 0.1);
    let project = benches("five-way-bridge-only-neck-blend", "volume-only");
    let level = |knob: &str| {
        let heard = hear(given, &project, &[("Knob 1", knob)], &take);
        20.0 * f64::from(crate::signals::loudest(&heard[2048..]) / crate::signals::loudest(&take)).log10()
    };
    let (shut, half, open) = (level("0"), level("5"), level("10"));
    // The pot's 1 ohm floor against what it loads leaves some -100 dB.
    when(shut < -80.0 && half < open - 6.0, format!("at 0 {shut:.1} dB, at 5 {half:.1} dB, at 10 {open:.1} dB"))
}

/// Level at one frequency against another, in dB.
fn tilt(given: &Given, project: &Project, settings: &[(&str, &str)], high: f64, low: f64) -> f64 {
    let heard = hear(given, project, settings, &impulse(16_384));
    let level = |hertz| 20.0 * magnitude(&heard, RATE, hertz).log10();
    level(high) - level(low)
}

/// Common practice, no source: cable and input against a pot's middle make a low-pass; a capacitor over the pot bridges it.
fn bleed(given: &Given) -> Outcome {
    let darker = |wiring: &str| {
        let project = benches(wiring, "volume-only");
        let at = |knob| tilt(given, &project, &[("Knob 1", knob)], 4000.0, 300.0);
        at("10") - at("6")
    };
    let (bare, bled) = (darker("five-way-master-tone"), darker("five-way-master-tone+treble-bleed"));
    when(
        bare > 2.0 && bled < bare - 2.0,
        format!("4 kHz loses {bare:.1} dB on 300 Hz, with a treble bleed {bled:.1} dB"),
    )
}

/// Coil and cable are a low-pass of second order, f0 = 1 / (2 pi sqrt(L C)): more C, lower f0 (any textbook on circuits). The
/// preset's bridge resonates near 3.4 kHz with 500p; 1n takes that towards 2.5 kHz.
fn cable(given: &Given) -> Outcome {
    let project = benches("five-way-master-tone", "volume-only");
    let at = |cable, hertz| tilt(given, &project, &[("Cable", cable)], hertz, 300.0);
    let [low, high] = [2000.0, 6000.0].map(|hertz| at("1n", hertz) - at("500p", hertz));
    when(low > 0.5 && high < -3.0, format!("1n against 500p: {low:+.1} dB at 2 kHz, {high:+.1} dB at 6 kHz"))
}

/// A resistance across a resonant circuit lowers its quality (any textbook on circuits).
fn low_input(given: &Given) -> Outcome {
    let project = benches("five-way-master-tone", "volume-only");
    let at = |input| tilt(given, &project, &[("Input resistance", input)], 3400.0, 300.0);
    let lost = at("1M") - at("100k");
    when(lost > 2.0, format!("{lost:.1} dB less at 3.4 kHz"))
}

/// In series the voltages add, and so do the inductances: near 6 dB louder, and darker (any textbook on circuits).
fn series(given: &Given) -> Outcome {
    let project = benches("two-pickups-series", "volume-only");
    let [parallel, series] = ["2", "4"].map(|position| {
        let heard = hear(given, &project, &[("Selector", position)], &impulse(16_384));
        [300.0, 5000.0].map(|hertz| 20.0 * magnitude(&heard, RATE, hertz).log10())
    });
    let [louder, brighter] = [series[0] - parallel[0], (series[1] - series[0]) - (parallel[1] - parallel[0])];
    when(louder > 4.0 && brighter < -3.0, format!("{louder:+.1} dB at 300 Hz, {brighter:+.1} dB of treble"))
}
