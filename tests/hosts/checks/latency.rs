//! Looking ahead, and what it costs.

use super::RATE;
use crate::clap_host::Plugin;
use crate::outcome::{Outcome, when};
use crate::signals::noise;
use crate::{Check, Given};

pub const CHECKS: &[Check] = &[
    Check {
        name: "look-ahead",
        sentence: "looking ahead is told as latency, at once and after activation, and delays what is exact by that, bit for bit",
        run: look_ahead,
    },
    Check {
        name: "look-ahead-saved",
        sentence: "looking ahead is saved, and comes back before the first sample",
        run: saved,
    },
];

/// Whether one sound is another, later by so many samples.
fn is_later(late: &[f32], sound: &[f32], latency: u32) -> bool {
    let (before, heard) = late.split_at(latency as usize);
    before.iter().all(|&sample| sample == 0.0) && heard == &sound[..heard.len()]
}

fn look_ahead(given: &Given) -> Outcome {
    let plugin = Plugin::load(&given.plugin);
    let input = noise(12_000, 0.1);
    let mut plain = plugin.instance();
    let follow = plain.moves(&[("Note following", "On")]);
    let wanted = plain.start(RATE, 2).run(&input, &[512], &follow);

    let mut ahead = plugin.instance();
    let none = ahead.latency();
    let moves = ahead.moves(&[("Note following", "On"), ("Look ahead", "On")]);
    let mut running = ahead.start(RATE, 2);
    let at_once = running.run(&input, &[512], &moves);
    let mut ahead = running.stop();
    let told = ahead.latency();
    let mut running = ahead.start(RATE, 2);
    let anew = running.run(&input, &[100], &[]);
    let mut ahead = running.stop();
    let told_anew = ahead.latency();
    let off = ahead.moves(&[("Look ahead", "Off")]);
    let mut running = ahead.start(RATE, 2);
    let back = running.run(&input, &[512], &off);
    let told_back = running.stop().latency();
    let so = [is_later(&at_once, &wanted, told), is_later(&anew, &wanted, told_anew), back == wanted];
    let latencies = [none, told, told_anew, told_back];
    when(
        latencies == [0, 3072, 3072, 0] && so == [true; 3],
        format!("latencies {latencies:?}, as it should sound {so:?}"),
    )
}

fn saved(given: &Given) -> Outcome {
    let plugin = Plugin::load(&given.plugin);
    let input = noise(12_000, 0.1);
    let mut first = plugin.instance();
    let moves = first.moves(&[("Note following", "On"), ("Look ahead", "On")]);
    let mut running = first.start(RATE, 2);
    let wanted = running.run(&input, &[512], &moves);
    let saved = running.save();
    let mut second = plugin.instance();
    let loaded = second.load(&saved);
    let mut running = second.start(RATE, 2);
    let same = running.run(&input, &[512], &[]) == wanted;
    let latency = running.stop().latency();
    when(loaded && same && latency == 3072, format!("loaded {loaded}, latency {latency}, the same sound {same}"))
}
