//! What hosts and takes should not do.

use super::RATE;
use crate::clap_host::Plugin;
use crate::outcome::{Outcome, when};
use crate::signals::{difference_db, noise, same_bits};
use crate::{Check, Given};

pub const CHECKS: &[Check] = &[
    Check {
        name: "not-numbers",
        sentence: "NaN, infinities and denormals in: only numbers out, and no lasting harm",
        run: not_numbers,
    },
    Check { name: "zero-frames", sentence: "blocks of no frames do nothing", run: zero_frames },
    Check { name: "huge-blocks", sentence: "blocks of half a million frames sound as small ones", run: huge_blocks },
    Check { name: "channel-counts", sentence: "fewer channels than agreed do not crash", run: channel_counts },
    Check { name: "bad-rates", sentence: "absurd sample rates are refused", run: bad_rates },
];

fn not_numbers(given: &Given) -> Outcome {
    let mut instance = Plugin::load(&given.plugin).instance();
    let unmatched = instance.moves(&[("Loudness match", "Off")]);
    let mut running = instance.start(RATE, 2);
    let clean = noise(48_000, 0.1);
    running.run(&clean, &[512], &unmatched);
    let before = running.run(&clean, &[512], &[]);
    let mut dirty = clean.clone();
    let bad = [f32::NAN, f32::INFINITY, f32::NEG_INFINITY, f32::MAX, f32::MIN_POSITIVE / 4.0, -1e-42, 1e30];
    dirty.iter_mut().step_by(7).zip(bad.iter().cycle()).for_each(|(sample, &bad)| *sample = bad);
    let through = running.run(&dirty, &[512], &[]);
    let numbers = through.iter().all(|sample| sample.is_finite() && sample.abs() < 100.0);
    running.run(&clean, &[512], &[]);
    let after = running.run(&clean, &[512], &[]);
    let difference = difference_db(&before, &after);
    // A second later the slowest pole (4 Hz) has fallen by more than 200 dB; what is left is rounding.
    when(numbers && difference < -90.0, format!("only numbers {numbers}, afterwards {difference:.1} dB off"))
}

fn zero_frames(given: &Given) -> Outcome {
    let plugin = Plugin::load(&given.plugin);
    let take = noise(4800, 0.1);
    let expected = plugin.instance().start(RATE, 2).run(&take, &[480], &[]);
    let mut running = plugin.instance().start(RATE, 2);
    let mut heard = Vec::new();
    for block in take.chunks(480) {
        running.block(&[vec![], vec![]], 0, &[]);
        heard.extend(running.run(block, &[480], &[]));
    }
    when(same_bits(&heard, &expected), "an empty block before every other".into())
}

fn huge_blocks(given: &Given) -> Outcome {
    const HUGE: usize = 1 << 19;
    let plugin = Plugin::load(&given.plugin);
    let take = noise(HUGE + 1000, 0.1);
    let expected = plugin.instance().start(RATE, 2).run(&take, &[512], &[]);
    let heard = plugin.instance().start_with(RATE, 2, HUGE).run(&take, &[HUGE], &[]);
    when(same_bits(&heard, &expected), format!("a block of {HUGE} frames"))
}

/// More channels than agreed end in the framework's own panic, before the plug-in is asked: no host is known to do that.
fn channel_counts(given: &Given) -> Outcome {
    let plugin = Plugin::load(&given.plain);
    let mut running = plugin.instance().start(RATE, 2);
    for channels in [1, 0, 2] {
        let block = noise(480, 0.1);
        running.block(&vec![block; channels], 0, &[]);
    }
    let heard = running.run(&noise(4800, 0.1), &[480], &[]);
    let sounds = heard.iter().all(|sample| sample.is_finite()) && heard.iter().any(|&sample| sample != 0.0);
    when(sounds, "1 channel and none where 2 were agreed".into())
}

fn bad_rates(given: &Given) -> Outcome {
    let plugin = Plugin::load(&given.plugin);
    let tame = [8000.0, 384_000.0].map(|rate| plugin.instance().try_start(rate));
    let absurd = [1.0, 0.0, -48_000.0, 1e9, f64::NAN, f64::INFINITY].map(|rate| plugin.instance().try_start(rate));
    when(tame == [true; 2] && absurd == [false; 6], format!("8 and 384 kHz {tame:?}, absurd ones {absurd:?}"))
}
