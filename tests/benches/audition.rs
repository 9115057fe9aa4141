//! How long `dryfit audition` takes, from a WAV file to a page on the disk.
//!
//! Budget (design, section 8): 60 s of take, 12 options, page written: 10 s on two cores.

#![allow(missing_docs, reason = "criterion's macros make undocumented functions")]

use std::path::Path;

use clap::Parser;
use criterion::{Criterion, criterion_group, criterion_main};
use dryfit_bundler::arguments::Arguments;
use dryfit_bundler::commands;

const RATE: u32 = 48_000;

/// A take as the demo is: plucked, with rests.
fn take(path: &Path, seconds: usize) {
    let render = ["dryfit", "render", "--option", "five-way-two-tones", "-o"];
    let demo = path.with_file_name("demo.wav");
    let arguments = Arguments::parse_from(render.into_iter().map(Into::into).chain([demo.clone().into_os_string()]));
    commands::run(&arguments).expect("the demo renders");
    let mut reader = hound::WavReader::open(&demo).expect("it is there");
    let spec = reader.spec();
    let codes: Vec<i32> = reader.samples().map(|code| code.expect("it is whole")).collect();
    let mut writer = hound::WavWriter::create(path, spec).expect("a folder to write in");
    for code in codes.iter().cycle().take(seconds * RATE as usize) {
        writer.write_sample(*code).expect("room on the disk");
    }
    writer.finalize().expect("room on the disk");
}

fn a_minute_in_twelve_sounds(c: &mut Criterion) {
    let folder = tempfile::tempdir().expect("a folder");
    let (file, page) = (folder.path().join("take.wav"), folder.path().join("page.html"));
    take(&file, 60);
    let options = [
        "five-way-neck-blend",
        "five-way-two-tones tone-cap=22n",
        "five-way-outer-pair position=4",
        "volume-only volume=7",
    ];
    let mut arguments =
        vec!["dryfit".into(), "audition".into(), file.into_os_string(), "--overwrite".into(), "-o".into()];
    arguments.push(page.into_os_string());
    for option in options {
        arguments.extend(["--option".into(), option.into()]);
    }
    let mut group = c.benchmark_group("audition");
    group.sample_size(10);
    for follow in ["off", "whole"] {
        let arguments = arguments.iter().cloned().chain(["--follow".into(), follow.into()]);
        let arguments = Arguments::parse_from(arguments);
        group.bench_function(format!("60 s of take, 12 sounds, page on the disk, follow {follow}"), |b| {
            b.iter(|| commands::run(&arguments).expect("the page is written"));
        });
    }
    group.finish();
}

criterion_group!(benches, a_minute_in_twelve_sounds);
criterion_main!(benches);
