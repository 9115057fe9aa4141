//! Many instances, and instances that go at a bad moment.

use super::RATE;
use super::state::{benches, with_project};
use crate::clap_host::{Move, Plugin};
use crate::outcome::{Outcome, when};
use crate::signals::{noise, same_bits};
use crate::{Check, Given};

pub const CHECKS: &[Check] = &[
    Check {
        name: "twenty",
        sentence: "twenty instances in turn, block by block, do not disturb each other",
        run: twenty,
    },
    Check {
        name: "two-hundred",
        sentence: "200 instances automated, deactivated and dropped in turn",
        run: two_hundred,
    },
    Check {
        name: "dropped-at-once",
        sentence: "instances dropped right after a state, activated or not",
        run: dropped,
    },
];

fn twenty(given: &Given) -> Outcome {
    let plugin = Plugin::load(&given.plugin);
    let take = noise(9600, 0.1);
    let wirings = ["five-way-neck-on", "two-pickups", "five-way-master-tone", "five-way-bridge-tone"];
    let instance = |place: usize| {
        let mut instance = plugin.instance();
        let project = benches(wirings[place % wirings.len()], "five-way-neck-blend");
        let saved = with_project(&instance.save(), &project.to_text());
        instance.load(&saved);
        instance.start(RATE, 2)
    };
    let alone: Vec<Vec<f32>> = (0..wirings.len()).map(|place| instance(place).run(&take, &[480], &[])).collect();
    let mut all: Vec<_> = (0..20).map(|place| (instance(place), Vec::new())).collect();
    for block in take.chunks(480) {
        for (running, heard) in &mut all {
            heard.extend(running.run(block, &[480], &[]));
        }
    }
    let same = all.iter().enumerate().all(|(place, (_, heard))| same_bits(heard, &alone[place % wirings.len()]));
    when(same, "20 instances of 4 wirings".into())
}

fn two_hundred(given: &Given) -> Outcome {
    let plugin = Plugin::load(&given.plugin);
    let take = noise(960, 0.1);
    for i in 0..200 {
        let instance = plugin.instance();
        let knob = instance.id("Knob 1");
        let moves: Vec<Move> = (0..20)
            .map(|a| Move { sample: a * 48, parameter: knob, value: f64::from(i * a as i32 % 97) / 97.0 })
            .collect();
        let mut running = instance.start(RATE, 2);
        running.run(&take, &[96], &moves);
        drop(running.stop());
    }
    Outcome::Passed("200 in turn".into())
}

fn dropped(given: &Given) -> Outcome {
    let plugin = Plugin::load(&given.plugin);
    for i in 0..20 {
        let mut instance = plugin.instance();
        let saved = with_project(&instance.save(), &benches("five-way-neck-on", "two-pickups").to_text());
        instance.load(&saved);
        if i % 2 == 0 {
            let mut running = instance.start(RATE, 2);
            running.load(&with_project(&saved, &benches("two-pickups", "volume-only").to_text()));
            drop(running.stop());
        }
    }
    Outcome::Passed("20 instances".into())
}
