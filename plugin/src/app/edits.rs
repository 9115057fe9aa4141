//! Edits of the project: taken over or refused, undone and done again.

use std::sync::Arc;

use dryfit_dsp::document::Problems;
use dryfit_dsp::units::Series;

use super::actions::{Travel, put, words};
use super::blind::bench;
use super::gestures::{Gestures, Moved};
use super::{App, problems};
use crate::editor::{Action, Field, Refusal, TraySeries};
use crate::params::Parameters;
use crate::session::{Bench, Project, TrayPart};

impl App {
    pub(super) fn edit_project(&mut self, action: Action, host: &mut dyn Gestures) {
        let project = self.desk.project();
        let library = self.documents.library();
        let (what, edited) = match action {
            Action::CopyBench { from } => (format!("{} copied", from.letter()), project.copied(bench(from))),
            Action::SwapBenches => ("A and B swapped".into(), project.swapped()),
            Action::ChooseWiring { bench: id, name } => {
                (format!("wiring of {} {name}", id.letter()), project.with_wiring(bench(id), &name, library))
            }
            Action::FitAddOn { bench: id, name, fitted } => {
                let done = if fitted { "fitted" } else { "taken out" };
                (format!("{name} {done}"), project.with_add_on(bench(id), &name, fitted, library))
            }
            Action::ChooseTrayPart { bench: id, part } => {
                (format!("{} in the tray", words(&part)), project.with_tray_part(bench(id), tray_part(&part)))
            }
            Action::EmptyTray => ("tray emptied".into(), self.kept(&project)),
            Action::ChooseTraySeries(series) => {
                ("the tray's series".into(), project.with_tray_series(preferred(series), None))
            }
            Action::ChooseGuitar(name) => (format!("guitar {name}"), project.with_guitar(&name, library)),
            Action::ChooseRecordedWiring(name) => {
                (format!("recorded through {name}"), project.with_recorded_wiring(&name, library))
            }
            Action::RecordedAsBench(id) => {
                let edited = project.recorded_as(bench(id), self.parameters.controls());
                (format!("recorded as {} stands", id.letter()), edited)
            }
            _ => return,
        };
        self.drafts = [None, None];
        self.finish(what, edited, None, String::new(), host);
    }

    /// The tray emptied; the part keeps the value that is on trial.
    fn kept(&self, project: &Project) -> Result<Project, Problems> {
        let tray = &project.tray;
        match (&tray.part, tray.value_at(self.parameters.controls().step)) {
            (Some(TrayPart::Part(part)), Some(value)) => {
                Ok(project.with_value(tray.bench, part, value)?.with_empty_tray())
            }
            _ => Ok(project.with_empty_tray()),
        }
    }

    /// Takes an edit over, or says why not: at the field if one was typed in, else in the last line.
    pub(super) fn finish(
        &mut self,
        what: String,
        edited: Result<Project, Problems>,
        field: Option<Field>,
        typed: String,
        host: &mut dyn Gestures,
    ) {
        match (edited, field) {
            (Ok(project), _) => self.take_over(what, project, host),
            (Err(problems), Some(field)) => {
                self.refusals.push(Refusal { field, typed, why: problems::first(&problems) });
            }
            (Err(problems), None) => self.trouble = Some(problems::first(&problems)),
        }
    }

    pub(super) fn take_over(&mut self, what: String, project: Project, host: &mut dyn Gestures) {
        let before = self.desk.project();
        for bench in Bench::BOTH {
            if before.bench(bench).wiring != project.bench(bench).wiring {
                self.revisions[bench.index()] += 1;
            }
        }
        let lets_go = before.tray.part.is_some() && project.tray.part.is_none();
        self.trouble = None;
        self.history.note(what, before);
        self.desk.edit(project);
        let parameters = self.parameters.clone();
        if lets_go {
            put(host, Moved::Int(&parameters.tray_step), 0.0);
        }
        Self::tell_host(&parameters, host);
    }

    /// The host learns that its project changed by a parameter nobody sees: it has no other word for it.
    fn tell_host(parameters: &Parameters, host: &mut dyn Gestures) {
        let next = (parameters.revision.value() + 1) % (Parameters::REVISIONS + 1);
        put(host, Moved::Int(&parameters.revision), parameters.revision.travel_of(next));
    }

    pub(super) fn step_back(&mut self, host: &mut dyn Gestures) {
        let before = self.history.undo(self.desk.project());
        self.step_to(before, host);
    }

    pub(super) fn step_forth(&mut self, host: &mut dyn Gestures) {
        let after = self.history.redo(self.desk.project());
        self.step_to(after, host);
    }

    fn step_to(&mut self, project: Option<Arc<Project>>, host: &mut dyn Gestures) {
        let Some(project) = project else { return };
        self.drafts = [None, None];
        self.refusals.clear();
        self.revisions.iter_mut().for_each(|revision| *revision += 1);
        self.finding.revision += 1;
        self.desk.edit((*project).clone());
        Self::tell_host(&self.parameters.clone(), host);
    }
}

fn tray_part(name: &str) -> TrayPart {
    match name {
        "cable" => TrayPart::Cable,
        "input" => TrayPart::Input,
        _ => TrayPart::Part(name.into()),
    }
}

fn preferred(series: TraySeries) -> Series {
    match series {
        TraySeries::E6 => Series::E6,
        TraySeries::E12 => Series::E12,
        TraySeries::E24 => Series::E24,
    }
}
