//! What the plug-in says about itself.

use std::collections::BTreeSet;

use crate::clap_host::Plugin;
use crate::outcome::{Outcome, when};
use crate::{Check, Given};

pub const CHECKS: &[Check] = &[
    Check { name: "load", sentence: "loads, stereo and mono, without latency", run: load },
    Check {
        name: "parameters",
        sentence: "15 parameters of unique names, all automatable but look-ahead and the revision",
        run: parameters,
    },
    Check { name: "text", sentence: "every value has a text that is read back as the same text", run: text },
    Check { name: "typed", sentence: "texts in the trade's notation are understood, nonsense is refused", run: typed },
];

fn load(given: &Given) -> Outcome {
    let plugin = Plugin::load(&given.plugin);
    let mut instance = plugin.instance();
    let latency = instance.latency();
    let layouts = [2, 1].map(|channels| instance.choose_channels(channels));
    let mut running = instance.start(super::RATE, 1);
    let heard = running.run(&crate::signals::noise(1000, 0.1), &[100], &[]);
    let sounds = heard.iter().any(|&sample| sample != 0.0);
    let said = format!("{}: latency {latency}, stereo and mono {layouts:?}, mono sounds {sounds}", plugin.name);
    when(latency == 0 && layouts == [true; 2] && sounds, said)
}

fn parameters(given: &Given) -> Outcome {
    let mut instance = Plugin::load(&given.plugin).instance();
    let names: BTreeSet<_> = instance.parameters.iter().map(|parameter| parameter.name.clone()).collect();
    let ids: BTreeSet<_> = instance.parameters.iter().map(|parameter| parameter.id.get()).collect();
    let count = instance.parameters.len();
    let kept: Vec<_> =
        instance.parameters.iter().filter(|a| !a.automatable).map(|a| (a.name.clone(), a.hidden)).collect();
    let in_range = instance.parameters.iter().all(|a| a.range.0 <= a.default && a.default <= a.range.1);
    let defaults: Vec<_> = instance.parameters.iter().map(|a| (a.id, a.default)).collect();
    let at_default = defaults.into_iter().all(|(id, default)| instance.value(id) == default);
    let so = names.len() == count && ids.len() == count && count == 15;
    let so =
        so && kept == [("Look ahead".to_string(), false), ("Revision".to_string(), true)] && in_range && at_default;
    when(so, format!("{count} parameters, {} names, not automatable: {kept:?}", names.len()))
}

fn text(given: &Given) -> Outcome {
    let mut instance = Plugin::load(&given.plugin).instance();
    let parameters: Vec<_> = instance.parameters.iter().map(|a| (a.id, a.name.clone(), a.range)).collect();
    let mut wrong = Vec::new();
    for (id, name, (low, high)) in parameters {
        for i in 0..=100 {
            let value = low + (high - low) * f64::from(i) / 100.0;
            let text = instance.text(id, value);
            let back = instance.read(id, &text).map(|value| instance.text(id, value));
            if back.as_deref() != Some(&text) {
                wrong.push(format!("{name}: {text} -> {back:?}"));
            }
        }
    }
    wrong.truncate(5);
    when(wrong.is_empty(), format!("101 values of each parameter; wrong: {wrong:?}"))
}

fn typed(given: &Given) -> Outcome {
    let mut instance = Plugin::load(&given.plugin).instance();
    let understood = [
        ("Cable", "500p", "500pF"),
        ("Cable", "0.7 nF", "700pF"),
        ("Cable", "330", "330pF"),
        ("Input resistance", "1M", "1MΩ"),
        ("Input resistance", "220k", "220kΩ"),
        ("Knob 2", "3.3", "3.3"),
        ("Selector", "2", "2: bridge + middle"),
        ("Output", "-6 dB", "-6 dB"),
        ("Listen", "B", "B"),
    ];
    let mut wrong = Vec::new();
    for (name, typed, shown) in understood {
        let id = instance.id(name);
        let text = instance.read(id, typed).map(|value| instance.text(id, value));
        if !text.as_deref().is_some_and(|text| text.starts_with(shown)) {
            wrong.push(format!("{name} {typed}: {text:?}"));
        }
    }
    for name in ["Cable", "Input resistance", "Knob 1", "Selector", "Output", "Listen"] {
        let id = instance.id(name);
        for nonsense in ["lots", "", "NaN", "-", "\u{1f3b8}"] {
            if let Some(value) = instance.read(id, nonsense) {
                wrong.push(format!("{name} takes `{nonsense}` for {value}"));
            }
        }
    }
    when(wrong.is_empty(), format!("wrong: {wrong:?}"))
}
