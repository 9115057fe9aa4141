use std::path::PathBuf;
use std::sync::Arc;
use std::time::{Duration, Instant};

use dryfit_dsp::circuit::Controls;
use dryfit_dsp::document::{Library, Sounds};
use dryfit_dsp::survey::Surveyor;
use dryfit_dsp::units::{self, Quantity};
use dryfit_plugin::app::{App, Gestures, Moved, Purpose};
use dryfit_plugin::compile::{Desk, Worker};
use dryfit_plugin::editor::{
    Action, BenchId, Blind, ControlId, DocumentId, Field, Listen, NetRole, Place, TraySeries, Trust,
};
use dryfit_plugin::params::Parameters;
use dryfit_plugin::session::{Bench, Project};
use dryfit_plugin::taps::Taps;
use nih_plug::prelude::{BoolParam, IntParam, IntRange};

/// An instance without a host.
pub struct Instance {
    pub app: App,
    pub desk: Arc<Desk>,
    pub parameters: Arc<Parameters>,
    pub taps: Arc<Taps>,
    host: Told,
    _worker: Worker,
    _folder: tempfile::TempDir,
}

/// What the host is told.
#[derive(Default)]
struct Told(Vec<(&'static str, String, f32)>);

impl Told {
    fn note(&mut self, what: &'static str, moved: Moved<'_>, value: f32) {
        let name = match moved {
            Moved::Float(parameter) => format!("{parameter:?}"),
            Moved::Int(parameter) => format!("{parameter:?}"),
            Moved::Bool(parameter) => format!("{parameter:?}"),
            Moved::Heard(parameter) => format!("{parameter:?}"),
        };
        self.0.push((what, name.split(':').next().unwrap().to_string(), value));
    }

    fn names(&self, what: &str) -> Vec<&str> {
        self.0.iter().filter(|told| told.0 == what).map(|told| told.1.as_str()).collect()
    }
}

impl Gestures for Told {
    fn begin(&mut self, moved: Moved<'_>) {
        self.note("begin", moved, 0.0);
    }

    fn set(&mut self, moved: Moved<'_>, normalized: f32) {
        self.note("set", moved, normalized);
    }

    fn end(&mut self, moved: Moved<'_>) {
        self.note("end", moved, 0.0);
    }
}

impl Instance {
    pub fn new() -> Self {
        Self::with(|_| {})
    }

    /// Opens a file as if it had been picked.
    pub fn picks(&mut self, purpose: Purpose, path: PathBuf) {
        self.app.pick(purpose, path);
        self.app.receive(&mut self.host);
    }

    /// With parameters where no host moves them.
    pub fn with(put: impl FnOnce(&mut Parameters)) -> Self {
        let desk = Arc::new(Desk::new(Project::first_run(&Library::presets())));
        let (mut parameters, taps) = (Parameters::new(&desk), Arc::new(Taps::new()));
        put(&mut parameters);
        let parameters = Arc::new(parameters);
        let folder = tempfile::tempdir().unwrap();
        let app = App::new(parameters.clone(), desk.clone(), taps.clone(), Some(folder.path().into()));
        let worker = Worker::start(desk.clone());
        Self { app, desk, parameters, taps, host: Told::default(), _worker: worker, _folder: folder }
    }

    /// With a step of the tray.
    fn with_tray_step(step: i32) -> Self {
        Self::with(|parameters| {
            parameters.tray_step = IntParam::new("Tray step", step, IntRange::Linear { min: 0, max: 24 });
        })
    }

    pub fn act(&mut self, action: Action) {
        self.app.act(action, &mut self.host);
    }

    /// The model once everything is compiled.
    pub fn settled(&mut self) -> &dryfit_plugin::editor::ViewModel {
        let start = Instant::now();
        self.app.model();
        while self.desk.working() || self.desk.surveying() {
            assert!(start.elapsed() < Duration::from_secs(60));
            std::thread::sleep(Duration::from_millis(1));
        }
        self.app.model()
    }
}

#[test]
fn the_first_picture_tells_the_three_answers() {
    let mut instance = Instance::new();
    let model = instance.settled();
    assert_eq!(model.answers.sounding, "1  bridge");
    assert_eq!(model.answers.trust, Trust::Exact);
    assert!(model.answers.changed.contains("blend"), "{}", model.answers.changed);
    assert!(model.recorded.assumed.is_some());
    assert!(model.graph.curves.iter().all(|curve| curve.len() > 50 && curve.iter().all(|point| point[1].is_finite())));
    let sounds: Vec<_> = model.benches[0].positions.iter().map(|row| row.sound.as_str()).collect();
    assert_eq!(sounds, ["bridge", "bridge + middle", "middle", "middle + neck", "neck"]);
    assert!(model.benches.iter().all(|bench| !bench.working && bench.document.sounding));
    assert!(model.notices.iter().all(|notice| notice.place != Place::Session), "{:?}", model.notices);
}

/// Source: issue 4, "every estimated conversion carries a figure", and "zero latency by default".
#[test]
fn what_following_is_worth_and_what_looking_ahead_costs_is_told() {
    let told = |following, ahead, latency| {
        let mut instance = Instance::with(|parameters| {
            parameters.selector = IntParam::new("Selector", 5, IntRange::Linear { min: 1, max: 6 });
            parameters.note_following = BoolParam::new("Note following", following);
            parameters.look_ahead = BoolParam::new("Look ahead", ahead);
        });
        instance.taps.set_sample_rate(48_000.0);
        instance.taps.set_latency(latency);
        let model = instance.settled().clone();
        assert_eq!((model.note_following, model.look_ahead), (Some(following), ahead));
        match model.answers.trust {
            Trust::Estimated { off } => (off, model.running),
            trust => panic!("{trust:?}"),
        }
    };
    assert_eq!(told(false, false, 0), ("4.5 to 7 dB".into(), "0 samples of latency".into()));
    assert_eq!(told(true, false, 0), ("2 to 2.5 dB".into(), "0 samples of latency".into()));
    assert_eq!(told(true, true, 3072), ("about 2 dB".into(), "64 ms of latency".into()));
}

#[test]
fn looking_ahead_is_switched_as_a_host_sees_it() {
    let mut instance = Instance::new();
    instance.act(Action::LookAhead(true));
    assert_eq!(instance.host.names("set"), ["Look ahead"]);
}

/// Source: the survey, which `tests/tests/survey` holds to the outside.
#[test]
fn the_positions_of_a_bench_are_those_of_its_survey_with_the_value_on_trial() {
    for step in [0, 4] {
        let mut instance = Instance::with_tray_step(step);
        instance.settled();
        instance.act(Action::ChooseTrayPart { bench: BenchId::A, part: "cable".into() });
        let bench = instance.settled().benches[0].clone();
        let project = instance.desk.project();
        let mut controls = Controls::default();
        assert_eq!(project.tray.value_at(step as u8).is_some(), step > 0);
        if let Some(cable) = project.tray.value_at(step as u8) {
            controls.load.cable = units::parse(cable, Quantity::Capacitance).unwrap();
        }
        let assembly = project.assemble(Bench::A).unwrap();
        let mut surveyor = Surveyor::new(&assembly).unwrap();
        let figures = surveyor.positions(&controls).unwrap();
        assert_eq!(bench.positions.len(), figures.len());
        for (row, figures) in bench.positions.iter().zip(&figures) {
            let resonance = figures.resonance.as_ref().unwrap().hertz / 1e3;
            assert_eq!(row.resonance, format!("{resonance:.1} kHz"), "step {step}");
            assert_eq!(row.sound, figures.reading.words);
            let level: f64 = row.level.trim_end_matches(" dB").replace('\u{2212}', "-").parse().unwrap();
            assert!((level - figures.level_db).abs() < 0.051);
        }
        let (nearest, distance) = surveyor.distances(&controls).nearest(2).unwrap();
        let said =
            format!("nearest pair: 2 and {nearest}, {:.0} % of the spectrum apart", 100.0 * distance.relative_error);
        assert_eq!(bench.nearest, said);
    }
}

/// Source: the presets' own tables, which were written by hand from their wires.
#[test]
fn the_sounds_of_a_bench_are_those_of_its_presets_table() {
    let mut instance = Instance::new();
    instance.act(Action::ChooseWiring { bench: BenchId::B, name: "five-way-outer-pair-series".into() });
    let model = instance.settled().clone();
    for (bench, name) in model.benches.iter().zip(["five-way-bridge-only-neck-blend", "five-way-outer-pair-series"]) {
        let table = Library::presets().sounds(name).unwrap();
        let read = Sounds::read("read", &bench.sounds.text).unwrap_or_else(|problems| panic!("{problems}"));
        assert_eq!(bench.sounds.wordless, None);
        let rows = bench.sounds.settings.iter().map(|setting| setting.rows.len()).sum::<usize>();
        assert_eq!(rows, 5 * (1 + table.settings.len()));
        for moved in std::iter::once(Vec::new()).chain(table.settings.iter().map(|setting| setting.switches.clone())) {
            for position in 1..=5 {
                let (read, wanted) = (read.sound(position, &moved).unwrap(), table.sound(position, &moved).unwrap());
                assert!(read.same_as(wanted), "{name}, position {position} {moved:?}: {read} instead of {wanted}");
            }
        }
        let does = bench.sounds.knobs.iter().map(|knob| (knob.label.clone(), knob.does.clone()));
        let wanted = table.knobs.iter().map(|wish| (wish.label.clone(), wish.does(5)));
        assert_eq!(does.collect::<Vec<_>>(), wanted.collect::<Vec<_>>());
    }
    let here: Vec<_> = model.benches[0].sounds.settings[0].rows.iter().filter(|row| row.here).collect();
    assert_eq!((here.len(), here[0].position, here[0].knobs.as_str()), (1, 1, "volume, tone, blend: blend neck"));
}

#[test]
fn a_drawing_is_there_once_it_is_worked_out_and_its_live_path_follows_the_selector() {
    let mut instance = Instance::new();
    let model = instance.settled();
    for bench in &model.benches {
        let drawn = bench.drawn.as_ref().expect("it was drawn");
        assert!(!drawn.pictorial.is_schematic() && drawn.schematic.is_schematic());
        let lit = drawn.live.wires(&drawn.pictorial).iter().filter(|lit| **lit).count();
        assert!(lit > 2, "{lit} wires carry the signal from the bridge to the jack");
        let drawn_joints: Vec<_> = drawn.pictorial.legend.iter().map(|entry| entry.joint).collect();
        assert!(bench.nets.iter().all(|net| drawn_joints.contains(&net.joint)), "a colour for every net");
    }
}

/// The bridge's way in position 1 of the preset: its hot lead, the selector, the volume pot, the jack.
#[test]
fn the_live_path_runs_from_the_sounding_pickup_to_the_jack_only() {
    let mut instance = Instance::new();
    let nets = instance.settled().benches[0].nets.clone();
    let live: Vec<_> = nets.iter().filter(|net| net.role == NetRole::Live).map(|net| net.name.as_str()).collect();
    assert_eq!(live, ["hot", "bridge", "jack"]);
    assert_eq!(nets[0].role, NetRole::Ground);
}

#[test]
fn a_value_that_is_typed_sounds_and_is_undone_and_done_again() {
    let mut instance = Instance::new();
    let field = Field::Part { bench: BenchId::B, part: "tone-cap".into() };
    instance.act(Action::Type(field.clone(), "22n".into()));
    let value = |instance: &Instance| instance.desk.project().bench(Bench::B).values.get("tone-cap").cloned();
    assert_eq!(value(&instance).as_deref(), Some("22n"));
    assert_eq!(instance.host.names("set"), ["Revision"], "the host learns that its project changed");
    assert_eq!(instance.settled().undo.as_deref(), Some("tone capacitor of B 22n"));
    instance.act(Action::Undo);
    assert_eq!((value(&instance), instance.settled().undo.clone()), (None, None));
    instance.act(Action::Redo);
    assert_eq!(value(&instance).as_deref(), Some("22n"));
    instance.act(Action::Type(field.clone(), "lots".into()));
    assert_eq!(value(&instance).as_deref(), Some("22n"));
    let why = &instance.settled().refusal(&field).unwrap().why;
    assert!(why.contains("lots"), "{why}");
    instance.act(Action::Type(field.clone(), "33n".into()));
    assert!(instance.settled().refusal(&field).is_none());
}

#[test]
fn a_control_that_is_grabbed_is_one_gesture_for_the_host() {
    let mut instance = Instance::new();
    let knob = ControlId::Knob(1);
    for action in [Action::Begin(knob), Action::Set(knob, 5.0), Action::Set(knob, 2.5), Action::End(knob)] {
        instance.act(action);
    }
    let expected = [("begin", 0.0), ("set", 0.5), ("set", 0.25), ("end", 0.0)];
    let expected = expected.map(|(what, value)| (what, "Knob 2".to_string(), value));
    assert_eq!(instance.host.0, expected);
    instance.host.0.clear();
    instance.act(Action::Type(Field::Control(ControlId::Cable), "lots".into()));
    assert!(instance.host.0.is_empty());
    assert!(instance.settled().refusal(&Field::Control(ControlId::Cable)).is_some());
    instance.act(Action::Type(Field::Control(ControlId::Cable), "700p".into()));
    assert_eq!(instance.host.names("set"), ["Cable"]);
    // A knob or switch that no parameter moves.
    instance.act(Action::Set(ControlId::Knob(5), 1.0));
    instance.act(Action::Set(ControlId::RecordedKnob(99), f64::NAN));
}

#[test]
fn a_wrong_document_is_marked_and_the_last_good_one_sounds_on() {
    let mut instance = Instance::new();
    let before = instance.desk.project();
    let text = before.bench(Bench::A).wiring.text.replace("\"tone.1\"", "\"tone.7\"");
    instance.act(Action::EditDocument { document: DocumentId::Bench(BenchId::A), text: text.clone() });
    let document = instance.settled().benches[0].document.clone();
    assert!(!document.sounding && document.text == text);
    let line = text.lines().position(|line| line.contains("tone.7")).unwrap() + 1;
    assert!(document.problems.iter().any(|problem| problem.line == Some(line) && !problem.mend.is_empty()));
    assert_eq!(instance.desk.project(), before);
    let text = text.replace("\"tone.7\"", "\"tone.1\"").replace("47n", "33n");
    instance.act(Action::EditDocument { document: DocumentId::Bench(BenchId::A), text });
    let document = instance.settled().benches[0].document.clone();
    assert!(document.sounding && document.problems.is_empty());
    assert_eq!(document.revision, 0, "typing must not take the text from under the cursor");
}

#[test]
fn the_tray_is_filled_stepped_and_emptied_and_the_part_keeps_its_value() {
    let mut instance = Instance::new();
    instance.act(Action::ChooseTrayPart { bench: BenchId::A, part: "tone-cap".into() });
    instance.act(Action::ChooseTraySeries(TraySeries::E12));
    let tray = instance.settled().tray.clone();
    assert_eq!((tray.label.as_str(), tray.series, tray.step), ("tone capacitor", Some(TraySeries::E12), None));
    assert!(tray.values.contains(&"56n".to_string()), "{:?}", tray.values);
    assert!(tray.parts.iter().any(|(bench, part, _)| *bench == BenchId::B && part == "cable"));
    instance.act(Action::Set(ControlId::TrayStep, 2.0));
    assert_eq!(instance.host.0.last().unwrap().2, 3.0 / 24.0, "the parameter's 0 is the part's own value");
    instance.act(Action::Type(Field::TrayValues, "10n, 22n lots".into()));
    assert!(instance.settled().refusal(&Field::TrayValues).is_some());
    instance.act(Action::EmptyTray);
    assert_eq!(instance.settled().tray.part, None);
}

/// What is on trial is what is heard, so it is what is shown.
#[test]
fn a_value_on_trial_is_shown_where_it_acts_until_another_is_typed() {
    let mut instance = Instance::with_tray_step(2);
    instance.act(Action::CopyBench { from: BenchId::A });
    let own = instance.settled().graph.clone();
    assert_eq!(own.curves[0], own.curves[1]);
    instance.act(Action::ChooseTrayPart { bench: BenchId::B, part: "tone-cap".into() });
    instance.act(Action::Type(Field::TrayValues, "10n 1n".into()));
    let model = instance.settled().clone();
    let row = model.benches[1].parts.iter().find(|part| part.name == "tone-cap").unwrap();
    assert_eq!((row.value.as_str(), row.kind.as_str(), row.differs), ("1n", "own: 47n", true));
    assert_eq!(model.answers.changed, "B: tone capacitor 1n instead of 47n");
    assert_ne!(model.graph.curves[0], model.graph.curves[1]);
    instance.host.0.clear();
    instance.act(Action::Type(Field::Part { bench: BenchId::B, part: "tone-cap".into() }, "22n".into()));
    assert!(instance.host.0.contains(&("set", "Tray step".into(), 0.0)), "{:?}", instance.host.0);
}

#[test]
fn a_picked_file_is_opened_and_one_that_vanished_is_told() {
    let mut instance = Instance::new();
    let folder = tempfile::tempdir().unwrap();
    let (here, gone) = (folder.path().join("mine.toml"), folder.path().join("gone.toml"));
    let text = instance.desk.project().bench(Bench::B).wiring.text.replace("47n", "33n");
    std::fs::write(&here, &text).unwrap();
    instance.picks(Purpose::Document(DocumentId::Bench(BenchId::A)), here);
    assert_eq!(instance.desk.project().bench(Bench::A).wiring.text, text);
    assert_eq!(instance.settled().benches[0].wiring, "mine");
    assert_eq!(instance.host.names("set"), ["Revision"], "the host learns that its project changed");
    let before = instance.desk.project();
    instance.picks(Purpose::Document(DocumentId::Bench(BenchId::A)), gone);
    assert_eq!(instance.desk.project(), before, "what was there sounds on");
    let notices = instance.settled().notices.clone();
    assert!(notices.iter().any(|notice| notice.what.contains("gone.toml")), "{notices:?}");
}

/// Pots are off by 20 % and capacitors by 10 %; each part's own band is in the whole one.
#[test]
fn the_band_of_tolerance_holds_the_curve_of_every_part_that_is_off() {
    let mut instance = Instance::new();
    assert!(instance.settled().graph.bands[0].is_empty(), "nobody asked for it");
    instance.app.want_bands(true);
    let band = instance.settled().graph.bands[0].clone();
    for (part, values) in [("volume", ["200k", "300k"]), ("tone-cap", ["42.3n", "51.7n"])] {
        for value in values {
            instance.act(Action::Type(Field::Part { bench: BenchId::A, part: part.into() }, value.into()));
            let curve = instance.settled().graph.curves[0].clone();
            let inside =
                band.iter().zip(&curve).all(|(band, point)| (band[1] - 1e-9..=band[2] + 1e-9).contains(&point[1]));
            assert!(inside, "{part} {value}");
            instance.act(Action::Undo);
        }
    }
    let widest = band.iter().map(|band| band[2] - band[1]).fold(0.0, f64::max);
    // Pots of 250k that are 20 % off move a resonance by 1 to 2 dB (common practice, no source).
    assert!((0.5..6.0).contains(&widest), "{widest}");
}

#[test]
fn the_picture_moves_with_the_sound_and_rests_with_it() {
    let mut instance = Instance::new();
    instance.taps.set_sample_rate(48_000.0);
    instance.settled();
    assert!(!instance.app.moves());
    instance.taps.hear_input(&[&mut [0.1; 64]]);
    assert!(instance.app.moves());
    instance.app.model();
    assert!(!instance.app.moves());
    // Hosts hand over silence while they stand still: the picture fades, then rests.
    let mut silence = vec![0.0; 48_000];
    instance.taps.hear_input(&[&mut silence]);
    assert!(instance.app.moves());
    (0..6).for_each(|_| instance.taps.hear_input(&[&mut silence]));
    assert!(!instance.app.moves());
}

/// A joint that a closed contact puts on ground carries the signal back, like ground itself.
#[test]
fn a_coils_end_that_a_switch_grounds_is_not_lit() {
    let mut instance = Instance::new();
    instance.act(Action::ChooseWiring { bench: BenchId::A, name: "two-pickups-series".into() });
    let nets = instance.settled().benches[0].nets.clone();
    assert!(nets.iter().any(|net| net.name == "bridge" && net.role == NetRole::Live));
    assert!(nets.iter().any(|net| net.name == "neck-ground" && net.role == NetRole::Idle), "{nets:?}");
}

#[test]
fn a_blind_comparison_gives_nothing_away() {
    let mut instance = Instance::new();
    instance.settled();
    instance.act(Action::StartBlind { trials: 8 });
    let mut pictures = Vec::new();
    for _ in 0..8 {
        instance.host.0.clear();
        instance.act(Action::Listen(Listen::X));
        assert!(instance.desk.blind().is_some());
        let mut picture = instance.settled().clone();
        assert_eq!(picture.listen, Listen::X);
        assert!(picture.is_blind() && picture.loudness.on);
        picture.blind = Blind::Off;
        pictures.push((instance.desk.blind(), picture));
        instance.act(Action::Listen(Listen::A));
        assert_eq!(instance.desk.blind(), Some(Bench::A));
        instance.act(Action::Listen(Listen::B));
        assert_eq!(instance.desk.blind(), Some(Bench::B));
        assert!(instance.host.0.is_empty(), "the host hears of no choice: {:?}", instance.host.0);
        instance.act(Action::AnswerBlind(BenchId::A));
    }
    assert!(pictures.windows(2).all(|pair| pair[0].1 == pair[1].1), "the picture is the same whatever X is");
    let Blind::Done { trials, right, .. } = instance.settled().blind.clone() else { panic!("it is done") };
    let truth = pictures.iter().filter(|(x, _)| *x == Some(Bench::A)).count();
    assert_eq!((trials, right), (8, truth));
    assert_eq!(instance.desk.blind(), None, "afterwards the parameter says again what is heard");
    instance.act(Action::StopBlind);
    assert_eq!(instance.settled().blind, Blind::Off);
}

#[test]
fn what_cannot_be_done_is_said_and_changes_nothing() {
    let mut instance = Instance::new();
    let before = instance.desk.project();
    instance.act(Action::ChooseWiring { bench: BenchId::A, name: "no-such-wiring".into() });
    assert!(instance.settled().notices.iter().any(|notice| notice.what.contains("no-such-wiring")));
    instance.act(Action::ChooseGuitar("two-single-coils".into()));
    instance.act(Action::FitAddOn { bench: BenchId::A, name: "../../secret".into(), fitted: true });
    assert_eq!(instance.desk.project(), before);
    instance.act(Action::CopyBench { from: BenchId::A });
    let model = instance.settled();
    assert!(model.notices.iter().all(|notice| notice.place != Place::Session), "an edit that works clears the message");
    assert_eq!(model.answers.changed, "A and B are the same");
}

#[test]
fn a_state_that_was_kept_is_told_and_clipping_too() {
    let mut instance = Instance::new();
    instance.desk.restore("{\"format\": 99}");
    let (mut left, mut right) = ([0.5, 1.0], [0.0, 0.0]);
    instance.taps.hear_input(&[&mut left, &mut right]);
    let notices = instance.settled().notices.clone();
    assert!(notices.iter().any(|notice| notice.place == Place::Session && notice.what.contains("newer")));
    assert!(notices.iter().any(|notice| notice.place == Place::Take && notice.what.contains("full scale")));
}

#[test]
fn a_measured_pickup_goes_into_the_guitars_document() {
    let mut instance = Instance::new();
    let field = |low| Field::PickupDistance { pickup: "bridge".into(), low };
    instance.act(Action::Type(field(true), "44.5 mm".into()));
    instance.act(Action::Type(field(false), "35".into()));
    let row = instance.settled().recorded.pickups[0].clone();
    assert_eq!((row.low.as_str(), row.high.as_str()), ("44.5 mm", "35 mm"));
    let text = instance.desk.project().guitar.text.clone();
    assert!(text.contains("# Slanted"), "what else stands in the document stays");
    instance.act(Action::Type(field(true), "lots".into()));
    assert!(instance.settled().refusal(&field(true)).is_some());
}

#[test]
fn an_own_document_is_saved_beside_the_presets_and_hides_none() {
    let mut instance = Instance::new();
    instance.act(Action::SaveDocument(DocumentId::Bench(BenchId::A)));
    let choices = instance.settled().choices.wirings.clone();
    let own: Vec<_> = choices.iter().filter(|choice| choice.own).map(|choice| choice.name.as_str()).collect();
    assert_eq!(own, ["my-bridge-only-neck-blend"]);
    assert!(choices.iter().any(|choice| choice.name == "five-way-bridge-only-neck-blend" && !choice.own));
}
