use std::sync::Arc;
use std::time::{Duration, Instant};

use dryfit_dsp::conversion::{Controls, Grid, Target};
use dryfit_dsp::document::Library;
use dryfit_plugin::compile::{Desk, Targets, Worker};
use dryfit_plugin::session::{Bench, Project, TrayPart};

const RATE: f64 = 48_000.0;

fn first_run() -> Project {
    Project::first_run(&Library::presets())
}

/// A tray of many values takes a worker long enough to be interrupted.
fn laborious() -> Project {
    let project = first_run().with_tray_part(Bench::A, TrayPart::Part("tone-cap".into())).unwrap();
    let values: Vec<String> = (1..=24).map(|n| format!("{n}n")).collect();
    project.with_tray_values(&values.join(" ")).unwrap()
}

fn wait_for(desk: &Desk) -> Box<Targets> {
    let start = Instant::now();
    loop {
        if let Some(targets) = desk.handover().take() {
            return targets;
        }
        assert!(start.elapsed() < Duration::from_secs(60), "nothing was compiled");
        std::thread::sleep(Duration::from_millis(1));
    }
}

#[test]
fn activation_waits_until_everything_that_can_be_asked_for_is_there() {
    let desk = Desk::new(laborious());
    let (generation, targets) = desk.activate(RATE);
    let [mut a, _] = targets.unwrap().benches;
    assert_eq!(generation, 1);
    let curve = |target: &mut dyn Target, step| {
        let mut log_gain = vec![0.0; Grid::POINTS];
        let mut controls = Controls { step, ..Controls::default() };
        controls.knobs[1] = 0.0;
        target.write(&controls, &mut log_gain);
        log_gain
    };
    let curves: Vec<_> = (1..=24).map(|step| curve(&mut a, step)).collect();
    assert!(curves.windows(2).all(|pair| pair[0] != pair[1]), "every value is another curve");
    assert_eq!(curve(&mut a, 25), curves[23], "beyond the last value the last sounds");
    assert!(!desk.working() && desk.handover().take().is_none());
}

#[test]
fn an_edit_is_compiled_by_the_worker_and_handed_over_newest_first() {
    let desk = Arc::new(Desk::new(first_run()));
    let _worker = Worker::start(desk.clone());
    desk.activate(RATE);
    for value in ["10n", "22n", "33n"] {
        desk.edit(first_run().with_value(Bench::A, "tone-cap", value).unwrap());
    }
    let start = Instant::now();
    while desk.working() {
        assert!(start.elapsed() < Duration::from_secs(60));
        std::thread::sleep(Duration::from_millis(1));
    }
    let targets = wait_for(&desk);
    assert_eq!((targets.generation, targets.sample_rate), (4, RATE));
    assert!(desk.handover().take().is_none(), "older ones are not heard any more");
    desk.handover().give_back(targets);
}

#[test]
fn nothing_is_compiled_before_somebody_needs_it() {
    let desk = Arc::new(Desk::new(first_run()));
    let _worker = Worker::start(desk.clone());
    std::thread::sleep(Duration::from_millis(50));
    assert!(desk.working(), "a host that only scans must not wait for circuits");
    let start = Instant::now();
    while desk.analysis().is_none() {
        assert!(start.elapsed() < Duration::from_secs(60));
        std::thread::sleep(Duration::from_millis(1));
    }
    assert!(desk.handover().take().is_none(), "an editor that looks makes nothing sound");
}

#[test]
fn instances_that_go_while_documents_compile_take_their_thread_with_them() {
    for i in 0..10 {
        let desk = Arc::new(Desk::new(first_run()));
        let worker = Worker::start(desk.clone());
        desk.activate(RATE);
        desk.edit(laborious());
        std::thread::sleep(Duration::from_millis(3 * i));
        drop(worker);
        // The thread held the only other one.
        assert_eq!(Arc::strong_count(&desk), 1);
    }
}

#[test]
fn spent_targets_wait_for_their_next_publisher_and_are_not_lost() {
    let desk = Desk::new(first_run());
    let make = |generation| {
        let (_, targets) = desk.activate(RATE);
        Targets::new(generation, RATE, targets.unwrap())
    };
    let handover = desk.handover();
    for generation in 1..=5 {
        handover.publish(make(generation));
        handover.give_back(handover.take().unwrap());
    }
    handover.give_back(make(6));
    handover.give_back(make(7));
    handover.clear();
    assert!(handover.take().is_none());
}

#[test]
fn positions_are_named_by_what_sounds_in_them() {
    let desk = Desk::new(first_run());
    let names: Vec<_> = (1..=5).filter_map(|position| desk.position_name(Bench::A, position)).collect();
    // As the preset's sounds table says.
    assert_eq!(names, ["bridge", "bridge + middle", "middle", "middle + neck", "neck"]);
    assert_eq!(desk.position_name(Bench::A, 6), None);
    assert_eq!(desk.position_name(Bench::A, 0), None);
}
