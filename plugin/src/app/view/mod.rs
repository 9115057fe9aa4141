//! From what is on the bench to what the editor shows.

mod bands;
mod bench;
mod calibration;
mod controls;
mod faults;
mod find;
mod graph;
mod heard;
mod measured;
mod nets;
mod notices;
mod positions;
mod recorded;
mod sounds;
mod tray;

use std::sync::Arc;

use dryfit_dsp::conversion::{Assessment, Controls, Off};
use dryfit_dsp::document::{DocumentKind, SwitchKind};

use super::App;
use super::blind::bench as of_id;
use crate::abx::Outcome;
use crate::compile::names::sounding;
use crate::compile::{Analysis, Surveyed};
use crate::editor::{Answers, BenchId, Blind, Choice, Choices, Listen, Loudness, Trust, ViewModel};
use crate::params::Heard;
use crate::session::Project;

pub(super) use measured::Measured;

/// What the picture was made from; as long as it is the same, so is the picture.
#[derive(Debug, Clone)]
pub(super) struct Shown {
    project: Arc<Project>,
    analysis: Option<Arc<Analysis>>,
    surveyed: Option<Arc<Surveyed>>,
    working: bool,
    controls: Controls,
    heard: Heard,
    /// Loudness match, note following, looking ahead.
    switched: [bool; 3],
    latency: u32,
    output: f32,
    bands: bool,
}

impl Shown {
    fn of(app: &App) -> Self {
        let parameters = &app.parameters;
        Self {
            project: app.desk.project(),
            analysis: app.desk.analysis(),
            surveyed: app.desk.surveyed(parameters.controls().step),
            working: app.desk.working(),
            controls: parameters.controls(),
            heard: parameters.listen.value(),
            switched: [
                parameters.loudness_match.value(),
                parameters.note_following.value(),
                parameters.look_ahead.value(),
            ],
            latency: app.taps.latency(),
            output: parameters.output.value(),
            bands: app.bands,
        }
    }

    /// What following is worth as it is switched.
    fn followed(&self) -> Off {
        match self.switched {
            [_, false, _] => Off::STATIC,
            [_, true, false] => Off::LIVE,
            [_, true, true] => Off::AHEAD,
        }
    }

    fn is(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.project, &other.project)
            && same(self.analysis.as_ref(), other.analysis.as_ref())
            && same(self.surveyed.as_ref(), other.surveyed.as_ref())
            && self.working == other.working
            && self.controls == other.controls
            && (self.heard, self.switched, self.latency, self.output, self.bands)
                == (other.heard, other.switched, other.latency, other.output, other.bands)
    }
}

fn same<T>(one: Option<&Arc<T>>, other: Option<&Arc<T>>) -> bool {
    one.map(Arc::as_ptr) == other.map(Arc::as_ptr)
}

/// Brings the model up to date: everything when something changed, else what moves with the sound.
pub(super) fn refresh(app: &mut App) {
    let now = Shown::of(app);
    if !app.shown.as_ref().is_some_and(|shown| shown.is(&now)) {
        rebuild(app, &now);
        app.shown = Some(now);
    }
    if app.finds() {
        app.model.find.search = find::search(app);
    }
    if app.calibration.recordings.under_way().is_some() {
        app.model.calibration.passes = calibration::passes(app, &app.desk.project());
    }
    app.model.loudness = loudness(app);
    app.model.graph.spectrum = app.spectrum.look(&app.taps).to_vec();
    app.model.heard = heard::heard(app, app.measured.as_ref());
    app.model.notices = notices::notices(app);
}

fn rebuild(app: &mut App, now: &Shown) {
    let fresh =
        now.analysis.as_ref().is_some_and(|analysis| !app.measured.as_ref().is_some_and(|old| old.is_of(analysis)));
    if fresh {
        app.measured = now.analysis.clone().map(Measured::new);
    }
    let mut measured = app.measured.take();
    if let Some(measured) = &mut measured {
        measured.look(&now.controls, now.bands);
    }
    let find = find::view(app);
    app.model = ViewModel { find, ..model(app, now, measured.as_ref()) };
    app.measured = measured;
}

fn model(app: &App, now: &Shown, measured: Option<&Measured>) -> ViewModel {
    let project = &now.project;
    let listen = listen(app, now.heard);
    let benches = BenchId::BOTH.map(|id| bench::view(app, now, id, measured));
    let front = if listen == Listen::B { BenchId::B } else { BenchId::A };
    ViewModel {
        listen,
        answers: answers(project, now, measured, front, &benches[front.index()].trust),
        graph: measured.map(graph::graph).unwrap_or_default(),
        controls: controls::controls(app, now, measured, front),
        tray: tray::tray(app, project, &benches),
        recorded: recorded::recorded(app, project),
        calibration: calibration::view(app, project),
        note_following: Some(now.switched[1]),
        look_ahead: now.switched[2],
        blind: blind(app),
        choices: choices(app),
        refusals: app.refusals.clone(),
        undo: app.history.undoable().map(str::to_string),
        redo: app.history.redoable().map(str::to_string),
        running: running(now.latency, app.taps.sample_rate()),
        benches,
        ..ViewModel::default()
    }
}

fn listen(app: &App, heard: Heard) -> Listen {
    match &app.blind {
        Some(blind) if blind.abx.outcome().is_none() => blind.listening,
        _ => match heard {
            Heard::Dry => Listen::Dry,
            Heard::A => Listen::A,
            Heard::B => Listen::B,
        },
    }
}

fn answers(project: &Project, now: &Shown, measured: Option<&Measured>, front: BenchId, trust: &Trust) -> Answers {
    let sounding = measured.map(|measured| {
        let assembly = &measured.analysis.benches[front.index()].assembly;
        let position = now.controls.position.clamp(1, assembly.controls.positions);
        format!("{position}  {}", sounding(assembly, &Controls { position, ..now.controls }))
    });
    Answers {
        sounding: sounding.unwrap_or_default(),
        trust: trust.clone(),
        changed: bench::changed(project, now.controls.step),
    }
}

/// What looking ahead costs.
fn running(samples: u32, sample_rate: f64) -> String {
    match samples {
        0 => "0 samples of latency".into(),
        _ => format!("{:.0} ms of latency", 1e3 * f64::from(samples) / sample_rate),
    }
}

/// How far an assessment can be trusted, by how notes are followed.
fn trust(assessment: &Assessment, followed: Off) -> Trust {
    match assessment {
        Assessment { silent: true, .. } => Trust::Silent,
        Assessment { exact: true, .. } => Trust::Exact,
        _ => Trust::Estimated { off: off(followed) },
    }
}

fn off(Off { lines_db, chords_db }: Off) -> String {
    match lines_db == chords_db {
        true => format!("about {lines_db} dB"),
        false => format!("{} to {} dB", lines_db.min(chords_db), lines_db.max(chords_db)),
    }
}

fn loudness(app: &App) -> Loudness {
    let on = app.parameters.loudness_match.value() || app.desk.blind().is_some();
    let [dry, a, b] = app.taps.loudness();
    let gain = |of: Option<f64>| match (dry, of) {
        (Some(dry), Some(of)) => signed_db((dry - of).clamp(-24.0, 24.0)),
        _ => String::new(),
    };
    Loudness { on, gains: [dry.map(|_| signed_db(0.0)).unwrap_or_default(), gain(a), gain(b)] }
}

/// A level difference with its sign: `+1.2 dB`.
fn signed_db(db: f64) -> String {
    let sign = match db {
        db if db > 0.05 => "+",
        db if db < -0.05 => "\u{2212}",
        _ => "",
    };
    format!("{sign}{:.1} dB", db.abs())
}

fn blind(app: &App) -> Blind {
    let Some(blind) = &app.blind else { return Blind::Off };
    match blind.abx.outcome() {
        None => Blind::Running { answered: blind.abx.answered(), trials: blind.abx.trials() },
        Some(Outcome { trials, right, probability }) => {
            let verdict = if probability < 0.05 {
                "That is hard to guess: you hear a difference."
            } else {
                "Guessing does as well often enough: this does not show that you hear a difference."
            };
            let probability = format!("{probability:.4}").trim_start_matches('0').to_string();
            Blind::Done { trials, right, probability, verdict: verdict.into() }
        }
    }
}

fn choices(app: &App) -> Choices {
    let library = app.documents.library();
    let choice = |kind, name: &str, title: Option<String>| Choice {
        name: name.into(),
        title: title.unwrap_or_else(|| name.into()),
        own: app.documents.is_own(kind, name),
    };
    let wiring = |name| choice(DocumentKind::Wiring, name, library.wiring(name).ok().map(|wiring| wiring.title));
    let guitar = |name| choice(DocumentKind::Guitar, name, library.guitar(name).ok().map(|guitar| guitar.title));
    let sounds = |name| choice(DocumentKind::Sounds, name, library.sounds(name).ok().map(|sounds| sounds.title));
    let selector = |name| {
        let switch = library.switch(name).ok().filter(|switch| switch.kind == SwitchKind::Selector)?;
        Some(choice(DocumentKind::Switch, name, Some(switch.title)))
    };
    Choices {
        wirings: library.names(DocumentKind::Wiring).map(wiring).collect(),
        guitars: library.names(DocumentKind::Guitar).map(guitar).collect(),
        sounds: library.names(DocumentKind::Sounds).map(sounds).collect(),
        selectors: library.names(DocumentKind::Switch).filter_map(selector).collect(),
    }
}

/// The session's word for a bench.
fn session_bench(id: BenchId) -> crate::session::Bench {
    of_id(id)
}
