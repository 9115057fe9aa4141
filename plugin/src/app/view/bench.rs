//! A bench.

use std::collections::BTreeMap;
use std::sync::Arc;

use dryfit_dsp::circuit::Controls;
use dryfit_dsp::document::{AddOn, Assembly, DocumentKind, Part, PartKind, Taper, Wiring};
use dryfit_dsp::drawing::Live;
use dryfit_dsp::units::{self, Quantity};

use super::measured::Measured;
use super::{Shown, faults, nets, positions, session_bench, sounds, trust};
use crate::app::actions::words;
use crate::app::{App, problems};
use crate::compile::SurveyedBench;
use crate::editor::{AddOnView, BenchId, BenchView, DocumentView, DrawnWiring, PartRow, Trust};
use crate::session::{Bench, Project, Setup, TrayPart};

pub(super) fn view(app: &App, now: &Shown, id: BenchId, measured: Option<&Measured>) -> BenchView {
    let (project, controls) = (&*now.project, &now.controls);
    let setup = project.bench(session_bench(id));
    let heard = project.heard(session_bench(id), controls.step);
    let Ok(wiring) = heard.read() else { return BenchView::default() };
    let found = measured.map(|measured| (&measured.analysis.benches[id.index()], &measured.benches[id.index()]));
    let mut view = BenchView {
        title: wiring.title.clone(),
        wiring: setup.wiring.name.clone(),
        about: wiring.about.clone(),
        changed: changed_from_library(app, setup),
        add_ons: add_ons(app, setup),
        parts: parts(project, id, controls.step, &wiring),
        trust: found
            .and_then(|(_, bench)| bench.assessment.as_ref())
            .map_or(Trust::Unknown, |it| trust(it, now.followed())),
        working: now.working,
        document: document(app, setup, id),
        ..BenchView::default()
    };
    let surveyed = now.surveyed.as_ref().and_then(|surveyed| surveyed.benches[id.index()].as_ref());
    let meter = surveyed.map(|surveyed| (&surveyed.assembly, &surveyed.meter[..]));
    view.faults = faults::view(app, id, meter);
    if let Some(surveyed) = surveyed {
        show_survey(&mut view, surveyed, controls);
    } else if let Some((analysed, _)) = found {
        show_joints(&mut view, &analysed.assembly, controls);
    }
    view
}

fn show_survey(view: &mut BenchView, surveyed: &SurveyedBench, controls: &Controls) {
    let assembly = &surveyed.assembly;
    let here = controls.position.clamp(1, assembly.controls.positions);
    view.positions = positions::rows(surveyed);
    view.positions.iter_mut().for_each(|row| row.here = row.position == here);
    view.nearest = positions::nearest(&surveyed.distances);
    view.sounds = sounds::view(assembly, &surveyed.reading, controls);
    let live = show_joints(view, assembly, controls);
    view.drawn = Some(DrawnWiring {
        pictorial: surveyed.pictorial.clone(),
        schematic: surveyed.schematic.clone(),
        live: Arc::new(live),
    });
}

fn show_joints(view: &mut BenchView, assembly: &Assembly, controls: &Controls) -> Live {
    let live = Live::new(assembly, controls);
    view.nets = nets::nets(assembly, &live);
    view.contacts = nets::contacts(assembly, controls, &live);
    live
}

/// How the benches differ, in a line.
pub(super) fn changed(project: &Project, step: u8) -> String {
    let [a, b] = &Bench::BOTH.map(|bench| project.heard(bench, step));
    let (Ok(of_a), Ok(of_b)) = (a.read(), b.read()) else { return String::new() };
    if a.wiring != b.wiring {
        return format!("A: {}; B: {}", of_a.title, of_b.title);
    }
    let (values_a, values_b) = (values(&of_a), values(&of_b));
    let differing = values_b.iter().filter(|(part, value)| values_a.get(*part).is_some_and(|other| other != *value));
    let mut said: Vec<String> =
        differing.map(|(part, value)| format!("{} {value} instead of {}", words(part), values_a[part])).collect();
    let names = |setup: &Setup| setup.add_ons.iter().map(|add_on| add_on.name.clone()).collect::<Vec<_>>();
    let (add_ons_a, add_ons_b) = (names(a), names(b));
    said.extend(add_ons_b.iter().filter(|name| !add_ons_a.contains(name)).map(|name| format!("with {}", words(name))));
    said.extend(
        add_ons_a.iter().filter(|name| !add_ons_b.contains(name)).map(|name| format!("without {}", words(name))),
    );
    let load = trial_load(project, step);
    match (said.is_empty(), load) {
        (true, None) => "A and B are the same".into(),
        (true, Some(load)) => load,
        (false, None) => format!("B: {}", said.join(", ")),
        (false, Some(load)) => format!("B: {}; {load}", said.join(", ")),
    }
}

/// The cable or input that is on trial on one bench.
fn trial_load(project: &Project, step: u8) -> Option<String> {
    let what = match project.tray.part.as_ref()? {
        TrayPart::Cable => "cable",
        TrayPart::Input => "input",
        TrayPart::Part(_) => return None,
    };
    let letter = if project.tray.bench == Bench::A { "A" } else { "B" };
    project.tray.value_at(step).map(|value| format!("{letter}: {what} {value}"))
}

fn values(wiring: &Wiring) -> BTreeMap<String, String> {
    wiring.parts.iter().filter_map(|part| Some((part.name.clone(), value(part)?))).collect()
}

fn changed_from_library(app: &App, setup: &Setup) -> bool {
    let text = app.documents.library().text(DocumentKind::Wiring, &setup.wiring.name);
    !setup.values.is_empty() || !text.is_ok_and(|(_, text)| text == setup.wiring.text)
}

fn add_ons(app: &App, setup: &Setup) -> Vec<AddOnView> {
    let library = app.documents.library();
    let bare = Setup { add_ons: Vec::new(), values: BTreeMap::new(), ..setup.clone() }.read();
    let one = |name: &str| {
        let add_on: AddOn = library.add_on(name).ok()?;
        let fitted = setup.add_ons.iter().any(|fitted| fitted.name == name);
        let refused = bare.as_ref().ok().and_then(|wiring| add_on.fit(wiring).err());
        let refused = refused.filter(|_| !fitted).map(|found| problems::first(&found));
        Some(AddOnView { name: name.into(), title: add_on.title, fitted, refused })
    };
    library.names(DocumentKind::AddOn).filter_map(one).collect()
}

/// Values are those that sound, the one on trial among them.
fn parts(project: &Project, id: BenchId, step: u8, wiring: &Wiring) -> Vec<PartRow> {
    let read = |setup: &Setup| setup.read().ok().map(|wiring| values(&wiring)).unwrap_or_default();
    let other = read(&project.heard(session_bench(id.other()), step));
    let own = read(project.bench(session_bench(id)));
    let row = |part: &Part| {
        let value = value(part)?;
        let in_tray =
            project.tray.bench == session_bench(id) && project.tray.part == Some(TrayPart::Part(part.name.clone()));
        let on_trial = in_tray && project.tray.value_at(step).is_some();
        Some(PartRow {
            name: part.name.clone(),
            label: words(&part.name),
            kind: if on_trial { format!("own: {}", own.get(&part.name)?) } else { kind(&part.kind) },
            differs: other.get(&part.name).is_some_and(|other| *other != value),
            in_tray,
            value,
        })
    };
    wiring.parts.iter().filter_map(row).collect()
}

fn value(part: &Part) -> Option<String> {
    Some(match &part.kind {
        PartKind::Pot(pot) => units::write(pot.resistance, Quantity::Resistance),
        PartKind::Resistor { resistance, .. } => units::write(*resistance, Quantity::Resistance),
        PartKind::Capacitor { capacitance, .. } => units::write(*capacitance, Quantity::Capacitance),
        PartKind::Selector { .. } | PartKind::Switch { .. } => return None,
    })
}

fn kind(kind: &PartKind) -> String {
    match kind {
        PartKind::Pot(pot) => {
            let taper = match &pot.taper {
                Taper::Linear => "linear",
                Taper::Audio => "audio",
                Taper::ReverseAudio => "reverse audio",
                _ => "own taper",
            };
            if pot.no_load { format!("{taper}, no-load") } else { taper.into() }
        }
        PartKind::Resistor { tolerance, .. } | PartKind::Capacitor { tolerance, .. } => {
            units::write(*tolerance, Quantity::Share)
        }
        PartKind::Selector { .. } | PartKind::Switch { .. } => String::new(),
    }
}

fn document(app: &App, setup: &Setup, id: BenchId) -> DocumentView {
    let draft = app.drafts[id.index()].as_ref();
    DocumentView {
        from: setup.wiring.name.clone(),
        text: draft.map_or_else(|| setup.wiring.text.clone(), |draft| draft.text.clone()),
        revision: app.revisions[id.index()],
        problems: draft.map(|draft| draft.problems.clone()).unwrap_or_default(),
        sounding: draft.is_none(),
    }
}
