//! What is saved, and what comes back.

use dryfit_dsp::document::Library;
use dryfit_plugin::session::{Bench, Project};
use serde_json::Value;

use super::RATE;
use crate::clap_host::{Instance, Plugin};
use crate::outcome::{Outcome, when};
use crate::signals::{noise, same_bits};
use crate::{Check, Given};

pub const CHECKS: &[Check] = &[
    Check {
        name: "state",
        sentence: "a saved state, loaded elsewhere, sounds the same and saves the same bytes",
        run: state,
    },
    Check {
        name: "state-garbage",
        sentence: "garbage and truncated states change nothing and never crash",
        run: garbage,
    },
    Check { name: "state-foreign", sentence: "a state of another plug-in changes no wiring", run: foreign },
    Check { name: "state-newer", sentence: "a newer state is kept and saved again byte for byte", run: newer },
    Check {
        name: "state-broken",
        sentence: "a saved wiring that is wrong is kept, and the last good one sounds",
        run: broken,
    },
    Check {
        name: "state-while-playing",
        sentence: "a state loaded while audio runs takes effect without a break",
        run: playing,
    },
];

/// Bytes before the JSON: its length, as the framework writes a CLAP state.
const HEAD: usize = 8;

/// A state with another project in it.
pub fn with_project(saved: &[u8], project: &str) -> Vec<u8> {
    let mut state: Value = serde_json::from_slice(&saved[HEAD..]).expect("a state is JSON");
    state["fields"]["project"] = Value::String(serde_json::to_string(project).expect("a text"));
    let json = serde_json::to_vec(&state).expect("it was JSON before");
    [&(json.len() as u64).to_le_bytes()[..], &json].concat()
}

/// The project in a state, as text.
fn project(saved: &[u8]) -> String {
    let state: Value = serde_json::from_slice(&saved[HEAD..]).expect("a state is JSON");
    serde_json::from_str(state["fields"]["project"].as_str().expect("with a project")).expect("as text")
}

/// A project of presets on A and B.
pub fn benches(a: &str, b: &str) -> Project {
    let library = Library::presets();
    let project = Project::first_run(&library).with_wiring(Bench::A, a, &library).expect("A is right");
    project.with_wiring(Bench::B, b, &library).expect("B is right")
}

/// What an instance makes of a little noise.
fn sound(instance: Instance) -> (Vec<f32>, Instance) {
    let mut running = instance.start(RATE, 2);
    let heard = running.run(&noise(6000, 0.1), &[512], &[]);
    (heard, running.stop())
}

fn state(given: &Given) -> Outcome {
    let plugin = Plugin::load(&given.plugin);
    let mut first = plugin.instance();
    let saved = with_project(&first.save(), &benches("two-pickups+treble-bleed", "five-way-neck-on").to_text());
    let taken = first.load(&saved);
    let settings =
        [("Knob 1", "6.5"), ("Knob 2", "3.3"), ("Selector", "2"), ("Cable", "710p"), ("Input resistance", "470k")];
    let moves = first.moves(&settings);
    let mut running = first.start(RATE, 2);
    running.run(&[0.0; 100], &[100], &moves);
    let mut first = running.stop();
    let saved = first.save();
    let mut second = plugin.instance();
    let taken = taken && second.load(&saved);
    let again = second.save();
    let ((a, _), (b, _)) = (sound(first), sound(second));
    let said = format!(
        "taken {taken}, {} bytes, the same {}, sound the same {}",
        saved.len(),
        saved == again,
        same_bits(&a, &b)
    );
    when(taken && saved == again && same_bits(&a, &b), said)
}

fn garbage(given: &Given) -> Outcome {
    let plugin = Plugin::load(&given.plugin);
    let mut instance = plugin.instance();
    let saved = with_project(&instance.save(), &benches("five-way-neck-on", "two-pickups").to_text());
    instance.load(&saved);
    let before = instance.save();
    let mut tried = 0;
    for end in (0..saved.len()).step_by(97) {
        instance.load(&saved[..end]);
        let mut shorter = saved[HEAD..end.max(HEAD)].to_vec();
        shorter.splice(0..0, (shorter.len() as u64).to_le_bytes());
        instance.load(&shorter);
        tried += 2;
    }
    for bytes in [&[][..], &[0; 8], &[255; 8], &[255; 4000], &[0, 0, 0, 0, 0, 0, 0, 64, 1], b"\x04\0\0\0\0\0\0\0null"] {
        instance.load(bytes);
        tried += 1;
    }
    let same = instance.save() == before;
    let (heard, _) = sound(instance);
    let sounds = heard.iter().all(|sample| sample.is_finite()) && heard.iter().any(|&sample| sample != 0.0);
    when(same && sounds, format!("{tried} tried; saved as before {same}, sounds {sounds}"))
}

fn foreign(given: &Given) -> Outcome {
    let mut instance = Plugin::load(&given.plugin).instance();
    let before = instance.save();
    let json = br#"{"version":"9.9","params":{"gain":{"f32":0.5},"knob-1":{"f32":1e38},"selector":{"i32":-7},"listen":{"i32":99}},"fields":{"project":"[1,2]","editor":"{}"}}"#;
    let state = [&(json.len() as u64).to_le_bytes()[..], json].concat();
    instance.load(&state);
    let same = project(&instance.save()) == project(&before);
    let (heard, _) = sound(instance);
    let sounds = heard.iter().all(|sample| sample.is_finite());
    when(same && sounds, format!("wiring as before {same}, sound finite {sounds}"))
}

fn newer(given: &Given) -> Outcome {
    let plugin = Plugin::load(&given.plugin);
    let mut instance = plugin.instance();
    let text = r#"{"format": 99, "benches": ["a form nobody knows yet", 1e300], "wiring": "mine"}"#;
    let saved = with_project(&instance.save(), text);
    instance.load(&saved);
    let kept = project(&instance.save()) == text;
    let (heard, mut instance) = sound(instance);
    let (fresh, _) = sound(plugin.instance());
    let last_good = same_bits(&heard, &fresh);
    let kept = kept && project(&instance.save()) == text;
    when(kept && last_good, format!("kept {kept}, the last good one sounds {last_good}"))
}

fn broken(given: &Given) -> Outcome {
    let plugin = Plugin::load(&given.plugin);
    let mut outcomes = Vec::new();
    let good = benches("five-way-neck-on", "two-pickups");
    let mut wrong = good.clone();
    wrong.benches[0].wiring.text = wrong.benches[0].wiring.text.replace("jack.tip", "nowhere.tip");
    let mut deaf = good.clone();
    deaf.recorded.controls.knobs = [0.0; 6];
    deaf.guitar.text.clear();
    for text in [
        wrong.to_text(),
        deaf.to_text(),
        "not JSON".into(),
        String::new(),
        good.to_text().replace("\"tray\"", "\"try\""),
    ] {
        let mut instance = plugin.instance();
        let saved = instance.save();
        instance.load(&with_project(&saved, &good.to_text()));
        instance.load(&with_project(&saved, &text));
        let kept = project(&instance.save()) == text;
        let (heard, _) = sound(instance);
        let mut fresh = plugin.instance();
        fresh.load(&with_project(&saved, &good.to_text()));
        outcomes.push((kept, same_bits(&heard, &sound(fresh).0)));
    }
    when(outcomes.iter().all(|&outcome| outcome == (true, true)), format!("kept, last good one sounds: {outcomes:?}"))
}

fn playing(given: &Given) -> Outcome {
    let plugin = Plugin::load(&given.plugin);
    let mut instance = plugin.instance();
    let other = with_project(&instance.save(), &benches("five-way-neck-on", "two-pickups").to_text());
    let unmatched = instance.moves(&[("Loudness match", "Off")]);
    let take = noise(48_000, 0.1);
    let mut running = instance.start(RATE, 2);
    running.run(&take, &[480], &unmatched);
    let taken = running.load(&other);
    // The load brought its parameters, too.
    let heard = running.run(&take, &[480], &unmatched);
    let mut fresh = plugin.instance();
    fresh.load(&other);
    let mut fresh = fresh.start(RATE, 2);
    fresh.run(&take, &[480], &unmatched);
    let expected = fresh.run(&take, &[480], &unmatched);
    let difference = crate::signals::difference_db(&expected[24_000..], &heard[24_000..]);
    let saved_so = project(&running.save()) == project(&other);
    // Half a second later the slowest pole (4 Hz) of the filter before has fallen by 109 dB.
    when(
        taken && saved_so && difference < -90.0,
        format!("taken {taken}, saved {saved_so}, difference {difference:.1} dB"),
    )
}
