//! What the plug-in costs in a host, block by block: parameters, events, engine, taps and all. Budgets at 48 kHz: static, 1 %
//! of a core at 64-sample blocks and no block more than 10 % of its time; a control that moves, 150 us a bench and step.

#[allow(dead_code, reason = "the host does more for the checks")]
#[path = "../hosts/clap_host.rs"]
mod clap_host;
#[path = "../hosts/everything.rs"]
mod everything;
#[allow(dead_code, reason = "the checks use more of them")]
#[path = "../hosts/signals.rs"]
mod signals;

use std::hint::black_box;
use std::path::PathBuf;
use std::time::Duration;

use clap_host::{Move, Plugin, Running};
use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use dryfit_tests::benches::is_tried;
use everything::everything;

const RATE: f64 = 48_000.0;
/// Seconds of the session with everything automated.
const SESSION_SECONDS: usize = 180;

fn blocks(criterion: &mut Criterion) {
    let plugin = Plugin::load(&library());
    for (channels, block) in [(1, 64), (2, 64), (2, 512)] {
        let name = format!("{channels} channel(s), {block}-sample blocks");
        let take = signals::low_note(if is_tried() { RATE as usize } else { SESSION_SECONDS * RATE as usize }, RATE);
        let fresh = || {
            let mut instance = plugin.instance();
            assert!(instance.choose_channels(channels as u32), "the plug-in has that layout");
            instance
        };
        let instance = fresh();
        let moves = everything(&instance, take.len());
        report(
            &format!("{name}, everything automated"),
            block,
            times(instance.start(RATE, channels), channels, &take, block, &moves),
        );
        let minute = &take[..take.len().min(60 * RATE as usize)];
        report(&format!("{name}, static"), block, times(fresh().start(RATE, channels), channels, minute, block, &[]));
        let mut still = fresh().start(RATE, channels);
        let mut group = criterion.benchmark_group("plug-in");
        group.throughput(Throughput::Elements(block as u64));
        let inputs = vec![take[..block].to_vec(); channels];
        group.bench_function(format!("{name}, static"), |bencher| {
            bencher.iter(|| still.block(black_box(&inputs), 0, &[]));
        });
        group.finish();
    }
}

/// The time that the plug-in takes for every block of a take.
fn times(mut running: Running, channels: usize, take: &[f32], block: usize, moves: &[Move]) -> Vec<Duration> {
    let mut moves = moves;
    let starts = (0..take.len() / block).map(|index| index * block);
    starts
        .map(|start| {
            let count = moves.iter().take_while(|a| a.sample < start + block).count();
            let (now, later) = moves.split_at(count);
            moves = later;
            let before = running.took;
            running.block(&vec![take[start..start + block].to_vec(); channels], start, now);
            running.took - before
        })
        .collect()
}

/// Prints mean and percentiles of single blocks, in per cent of the time a block lasts.
fn report(name: &str, block: usize, mut times: Vec<Duration>) {
    let percent = |time: Duration| 100.0 * time.as_secs_f64() * RATE / block as f64;
    let mean = percent(times.iter().sum::<Duration>() / times.len() as u32);
    times.sort_unstable();
    let at = |share: f64| percent(times[((times.len() - 1) as f64 * share) as usize]);
    println!(
        "{name}: mean {mean:.2} %, median {:.2} %, 99 % {:.2} %, 99.9 % {:.2} %, worst {:.1} %",
        at(0.5),
        at(0.99),
        at(0.999),
        at(1.0)
    );
}

/// The plug-in, which cargo built beside this bench: the tests depend on it.
fn library() -> PathBuf {
    let name = format!("{}dryfit_plugin{}", std::env::consts::DLL_PREFIX, std::env::consts::DLL_SUFFIX);
    std::env::current_exe().expect("a bench has a place").with_file_name(name)
}

criterion_group!(benches, blocks);
criterion_main!(benches);
