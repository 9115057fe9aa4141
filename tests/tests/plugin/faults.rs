//! Meter readings typed for a bench, and the fault behind them.

use std::time::{Duration, Instant};

use dryfit_dsp::circuit::{Controls, combinations, dc_at_jack};
use dryfit_dsp::drawing::pictorial;
use dryfit_dsp::faults::{FaultKind, as_read, candidates, place};
use dryfit_plugin::editor::{Action, BenchId, DiagnosisView, Field};
use dryfit_plugin::session::Bench;

use super::app::Instance;

const FIELD: Field = Field::Readings(BenchId::A);

impl Instance {
    fn reads(&mut self, text: &str) -> DiagnosisView {
        self.act(Action::Type(FIELD, text.into()));
        let start = Instant::now();
        while self.app.diagnoses() {
            assert!(start.elapsed() < Duration::from_secs(60));
            std::thread::sleep(Duration::from_millis(1));
            self.app.model();
        }
        self.settled().benches[0].faults.diagnosis.clone()
    }
}

/// What a meter would read in a guitar with a shorted middle pickup: the circuit itself tells (and `tests/tests/faults.rs` holds
/// it to the outside).
#[test]
fn readings_of_a_shorted_pickup_name_it_first_with_the_test_that_tells_it_from_others() {
    let mut instance = Instance::new();
    instance.settled();
    let assembly = instance.desk.project().assemble(Bench::A).unwrap();
    let connections = pictorial(&assembly).connections();
    let shorted = candidates(&assembly, &connections)
        .into_iter()
        .find(|fault| fault.kind == FaultKind::ShortedPickup && fault.what.contains("middle"))
        .unwrap();
    let typed = combinations(&assembly.controls).map(|controls| {
        let ohms = dc_at_jack(&shorted.assembly, &controls).unwrap();
        let read = if ohms < 10.0 { "short".into() } else { as_read(ohms) };
        format!("{}={read}", place(&assembly, &controls))
    });
    let typed = typed.collect::<Vec<_>>().join(", ");
    let DiagnosisView::Done { finding, outdated } = instance.reads(&typed) else { panic!("{typed}") };
    assert!(!outdated && finding.readings.len() == 5);
    let first = &finding.suspicions[0];
    assert!(first.faults.contains(&shorted.what), "{finding}");
    assert!(first.faults.len() == 1 || first.apart().is_some(), "{finding}");
    assert_eq!(instance.settled().benches[0].faults.typed, typed);
    assert_eq!(
        instance.settled().benches[1].faults.diagnosis,
        DiagnosisView::Idle,
        "bench B's guitar was not measured"
    );
}

#[test]
fn what_a_sound_guitar_reads_is_there_to_be_compared_and_reads_as_sound() {
    let mut instance = Instance::new();
    instance.act(Action::ChooseWiring { bench: BenchId::A, name: "five-way-outer-pair-series".into() });
    let should = instance.settled().benches[0].faults.should.clone();
    let places: Vec<_> = should.iter().map(|reading| reading.place.as_str()).collect();
    assert_eq!(
        places,
        ["1", "1:series=up", "2", "2:series=up", "3", "3:series=up", "4", "4:series=up", "5", "5:series=up"]
    );
    let assembly = instance.desk.project().assemble(Bench::A).unwrap();
    let ohms = dc_at_jack(&assembly, &Controls::default()).unwrap();
    assert_eq!(should[0].value, as_read(ohms));
    let typed: Vec<_> = should.iter().map(|reading| format!("{}={}", reading.place, reading.value)).collect();
    let DiagnosisView::Done { finding, .. } = instance.reads(&typed.join(",")) else { panic!("it was diagnosed") };
    assert!(finding.verdict.starts_with("The readings are those of a sound guitar."), "{finding}");
}

#[test]
fn readings_that_make_no_sense_stay_where_they_were_typed_with_every_reason() {
    let mut instance = Instance::new();
    instance.settled();
    instance.reads("1=6.2k,9=6k,2=lots");
    let why = instance.settled().refusal(&FIELD).unwrap().why.clone();
    assert!(why.contains("`9=6k`") && why.contains("`2=lots`"), "{why}");
    assert!(!instance.app.diagnoses());
    instance.reads("1=6.2k");
    assert!(instance.settled().refusal(&FIELD).is_none());
}

/// They belong to the guitar that lies open today, not to the sound of the project.
#[test]
fn readings_are_not_saved_and_say_so_when_the_wiring_was_changed() {
    let mut instance = Instance::new();
    instance.settled();
    let (before, saved) = (instance.desk.project(), instance.desk.save());
    instance.reads("1=6.2k");
    assert_eq!((instance.desk.project(), instance.desk.save()), (before, saved));
    instance.act(Action::Type(Field::Part { bench: BenchId::A, part: "volume".into() }, "500k".into()));
    let diagnosis = instance.settled().benches[0].faults.diagnosis.clone();
    assert!(matches!(diagnosis, DiagnosisView::Done { outdated: true, .. }), "{diagnosis:?}");
    let again = instance.reads("1=6.2k");
    assert!(matches!(again, DiagnosisView::Done { outdated: false, .. }), "{again:?}");
    assert_eq!(instance.reads(""), DiagnosisView::Idle);
}
