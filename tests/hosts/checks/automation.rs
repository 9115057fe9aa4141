//! Parameters that move while it plays.

use std::sync::Arc;

use dryfit_dsp::engine::{Engine, Listen, Scene};
use dryfit_plugin::compile::compile;
use dryfit_plugin::session::{Bench, TrayPart};

use super::RATE;
use super::state::{benches, with_project};
use crate::clap_host::{Move, Plugin};
use crate::everything::everything;
use crate::outcome::{Outcome, when};
use crate::signals::{loudest, low_note, noise, same_bits, steepest};
use crate::{Check, Given};

pub const CHECKS: &[Check] = &[
    Check {
        name: "sample-accurate",
        sentence: "a move inside a block sounds as a block split there",
        run: sample_accurate,
    },
    Check {
        name: "as-engine",
        sentence: "automated, the same samples as the engine under `dryfit render`, bit for bit",
        run: as_engine,
    },
    Check {
        name: "one-step",
        sentence: "a move is heard within one step of the control grid, and not before",
        run: one_step,
    },
    Check { name: "tray", sentence: "a step of the tray sounds as the wiring with that value", run: tray },
    Check {
        name: "session",
        sentence: "three minutes with everything automated: no click, everything finite",
        run: session,
    },
];

fn sample_accurate(given: &Given) -> Outcome {
    let plugin = Plugin::load(&given.plugin);
    let take = noise(16_384, 0.1);
    let instance = plugin.instance();
    let knob = instance.id("Knob 1");
    let samples = [0, 1, 63, 64, 65, 500, 4095, 4096, 8191, 8192, 12_000];
    let value = |i: usize| 0.95 - 0.08 * i as f64;
    let moves: Vec<Move> =
        samples.iter().enumerate().map(|(i, &sample)| Move { sample, parameter: knob, value: value(i) }).collect();
    let within = instance.start(RATE, 2).run(&take, &[8192], &moves);
    let mut ends: Vec<usize> = samples.iter().skip(1).copied().chain([take.len()]).collect();
    let mut start = 0;
    for end in &mut ends {
        (start, *end) = (*end, *end - start);
    }
    let split = plugin.instance().start(RATE, 2).run(&take, &ends, &moves);
    when(same_bits(&within, &split), format!("{} moves in two blocks", samples.len()))
}

/// `dryfit render` knows no automation; the engine that it runs does.
fn as_engine(given: &Given) -> Outcome {
    let project = benches("five-way-bridge-only-neck-blend", "five-way-neck-blend");
    let take = noise(24_000, 0.1);
    let compiled = compile(&Arc::new(project.clone()), 1, RATE, None, &|| false).expect("the presets sound");
    let mut engine = Engine::new(RATE, 1, Vec::from(compiled.benches));
    let mut instance = Plugin::load(&given.plugin).instance();
    let saved = with_project(&instance.save(), &project.to_text());
    instance.load(&saved);
    let mut moves = instance.moves(&[("Loudness match", "Off")]);
    let [tone, selector, listen] = ["Knob 2", "Selector", "Listen"].map(|name| instance.id(name));
    let mut scene = Scene { listen: Listen::A, loudness_match: false, ..Scene::default() };
    let mut expected = take.clone();
    let mut rest = &mut expected[..];
    for i in 0..40usize {
        let sample = i * 577;
        let parameter = [tone, selector, tone, listen, tone][i % 5];
        // As CLAP counts: a knob 0 to 1, choices from 0.
        let value = match i % 5 {
            1 => {
                scene.controls.position = (i % 4) as u8 + 1;
                f64::from(scene.controls.position) - 1.0
            }
            3 => {
                scene.listen = [Listen::A, Listen::B][i % 2];
                [1.0, 2.0][i % 2]
            }
            _ => {
                scene.controls.knobs[1] = (i * 7 % 100) as f64 / 10.0;
                scene.controls.knobs[1] / 10.0
            }
        };
        moves.push(Move { sample, parameter, value });
        let length = if i == 39 { rest.len() } else { 577 };
        let (now, later) = rest.split_at_mut(length);
        engine.process(&scene, &mut [now]);
        rest = later;
    }
    let heard = instance.start(RATE, 2).run(&take, &[512, 64, 1000], &moves);
    let same = heard.iter().zip(&expected).filter(|(a, b)| a.to_bits() == b.to_bits()).count();
    when(same_bits(&heard, &expected), format!("{same} of {} samples the same", expected.len()))
}

fn one_step(given: &Given) -> Outcome {
    let plugin = Plugin::load(&given.plugin);
    let take = noise(8192, 0.1);
    let still = plugin.instance().start(RATE, 2).run(&take, &[8192], &[]);
    let mut wrong = Vec::new();
    for sample in [1000, 1023, 1024, 1025, 3000] {
        let instance = plugin.instance();
        let moves = [Move { sample, parameter: instance.id("Knob 1"), value: 0.3 }];
        let moved = instance.start(RATE, 2).run(&take, &[8192], &moves);
        let first = still.iter().zip(&moved).position(|(a, b)| a.to_bits() != b.to_bits());
        // 64 samples are one step at 48 kHz.
        if !first.is_some_and(|first| (sample..=sample + 64).contains(&first)) {
            wrong.push((sample, first));
        }
    }
    when(wrong.is_empty(), format!("wrong: {wrong:?}"))
}

fn tray(given: &Given) -> Outcome {
    let plugin = Plugin::load(&given.plugin);
    let base = benches("five-way-bridge-only-neck-blend", "five-way-neck-blend");
    let values = ["10n", "22n", "33n", "100n"];
    let laid = base.with_tray_part(Bench::A, TrayPart::Part("tone-cap".into()));
    let laid = laid.and_then(|project| project.with_tray_values(&values.join(" "))).expect("the values are right");
    let cables = base.with_tray_part(Bench::A, TrayPart::Cable).and_then(|project| project.with_tray_values("300p 1n"));
    let cables = cables.expect("the cables are right");
    let take = noise(8192, 0.1);
    let hear = |project: &str, settings: &[(&str, &str)]| {
        let mut instance = plugin.instance();
        let saved = with_project(&instance.save(), project);
        instance.load(&saved);
        let moves = instance.moves(settings);
        instance.start(RATE, 2).run(&take, &[512], &moves)
    };
    let mut wrong = Vec::new();
    for (i, value) in values.iter().enumerate() {
        let step = (i + 1).to_string();
        let tried = hear(&laid.to_text(), &[("Knob 2", "1"), ("Tray step", &step)]);
        let by_name = hear(&laid.to_text(), &[("Knob 2", "1"), ("Tray step", value)]);
        let built = base.with_value(Bench::A, "tone-cap", value).expect("the value is right");
        let built = hear(&built.to_text(), &[("Knob 2", "1")]);
        if !same_bits(&tried, &built) || !same_bits(&tried, &by_name) {
            wrong.push((*value).to_string());
        }
    }
    let tried = hear(&cables.to_text(), &[("Tray step", "2")]);
    if !same_bits(&tried, &hear(&base.to_text(), &[("Cable", "1n")])) {
        wrong.push("cable 1n".into());
    }
    let own = same_bits(&hear(&laid.to_text(), &[]), &hear(&base.to_text(), &[]));
    when(wrong.is_empty() && own, format!("wrong: {wrong:?}; step 0 is the part's own: {own}"))
}

fn session(given: &Given) -> Outcome {
    let plugin = Plugin::load(&given.plugin);
    let take = low_note(180 * RATE as usize, RATE);
    let instance = plugin.instance();
    let moves = everything(&instance, take.len());
    let mut running = instance.start(RATE, 2);
    let heard = running.run(&take, &[512], &moves);
    let share = running.took.as_secs_f64() / 180.0 * 100.0;
    let still = plugin.instance().start(RATE, 2).run(&take[..RATE as usize], &[512], &[]);
    let (peak, slope) = (loudest(&heard), steepest(&heard));
    // A signal of that peak has the slope of the still signal's steepest shape, and a fade of any two such signals within
    // one step of 64 samples adds at most the sum of both peaks over 64. A click is a jump without a fade: far more.
    let own = steepest(&still[4800..]) / loudest(&still[4800..]) * peak;
    let most = own + 2.0 * peak / 64.0;
    let finite = heard.iter().all(|sample| sample.is_finite());
    let said = format!(
        "steepest {slope:.4} of {most:.4} (signal's own {own:.4}, peak {peak:.3}); {share:.1} % of a core, debug build"
    );
    match when(finite && slope <= most, said) {
        // The budgets are those of a release build (`benches/plugin.rs`); a debug build on a loaded machine is slower.
        Outcome::Passed(said) if share > 10.0 => Outcome::Warning(said),
        outcome => outcome,
    }
}
