//! Meter readings that were typed for a bench, and the faults that explain them.

use dryfit_dsp::drawing::pictorial;
use dryfit_dsp::faults::{Finding, Reading, measured, report};

use super::{App, problems};
use crate::editor::{BenchId, Field, Refusal};
use crate::errand::Errand;
use crate::session::{Bench, Document, Setup};

/// What was typed for a bench, and what became of it. It belongs to a guitar that lies open today, so nobody saves it.
#[derive(Debug, Default)]
pub(super) struct Meter {
    /// As it was typed, once it could be read.
    pub typed: String,
    /// What is to be diagnosed when the errand before has ended.
    next: Option<(Built, Vec<Reading>)>,
    errand: Option<(Built, Errand<Finding>)>,
    /// What the readings said of which guitar; none where the errand broke.
    pub finding: Option<(Built, Option<Finding>)>,
}

/// What was built: everything that readings depend on.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Built {
    setup: Setup,
    guitar: Document,
}

impl Meter {
    /// Whether faults are being simulated.
    pub fn works(&self) -> bool {
        self.errand.is_some() || self.next.is_some()
    }

    /// Takes what an errand came to and begins the next; whether anything changed.
    fn step(&mut self) -> bool {
        let ended = self.errand.as_ref().and_then(|(_, errand)| errand.result());
        let changed = ended.is_some();
        if let Some(result) = ended
            && let Some((built, _)) = self.errand.take()
        {
            self.finding = Some((built, result.ok()));
        }
        if self.errand.is_none()
            && let Some((built, readings)) = self.next.take()
        {
            let theirs = built.clone();
            let started = Errand::start("dryfit-faults", move |_| theirs.diagnose(&readings));
            match started {
                Ok(errand) => self.errand = Some((built, errand)),
                Err(_) => self.finding = Some((built, None)),
            }
        }
        changed
    }
}

impl Built {
    /// # Panics
    /// Never: what is on a bench was checked.
    fn diagnose(&self, readings: &[Reading]) -> Finding {
        let guitar = dryfit_dsp::document::Guitar::read(&self.guitar.name, &self.guitar.text).expect("it was checked");
        let assembly = self.setup.assemble(&guitar).expect("it was checked");
        let connections = pictorial(&assembly).connections();
        report(&assembly, &connections, readings)
    }
}

impl App {
    /// What is built on a bench now, with the value that is on trial.
    pub(super) fn built(&self, bench: Bench) -> Built {
        let project = self.desk.project();
        Built { setup: project.heard(bench, self.parameters.controls().step), guitar: project.guitar.clone() }
    }

    /// Readings were typed: diagnosed, or refused with the reason.
    pub(super) fn type_readings(&mut self, id: BenchId, text: String) {
        let bench = super::blind::bench(id);
        let built = self.built(bench);
        let meter = &mut self.meters[bench.index()];
        if text.trim().is_empty() {
            (meter.typed, meter.next, meter.finding) = (String::new(), None, None);
            return;
        }
        let under_way = meter.errand.as_ref().is_some_and(|(known, _)| *known == built);
        if under_way && meter.next.is_none() && meter.typed == text {
            return;
        }
        let project = self.desk.project();
        let assembly = project.read_guitar().and_then(|guitar| built.setup.assemble(&guitar));
        let read = assembly.map_err(|found| problems::first(&found)).and_then(|assembly| {
            let sentence = |errors: Vec<dryfit_dsp::circuit::settings::SettingError>| {
                let each = errors.iter().map(|error| format!("`{}`: {}; {}", error.setting, error.what, error.mend));
                each.collect::<Vec<_>>().join("\n")
            };
            measured(&text, &assembly).map_err(sentence)
        });
        match read {
            Ok(readings) => {
                meter.typed = text;
                meter.next = Some((built, readings));
                meter.step();
            }
            Err(why) => self.refusals.push(Refusal { field: Field::Readings(id), typed: text, why }),
        }
    }

    /// Takes what became of readings; whether anything did.
    pub(super) fn take_faults(&mut self) -> bool {
        let [a, b] = &mut self.meters;
        // Both take a step, whatever the other did.
        a.step() | b.step()
    }
}
