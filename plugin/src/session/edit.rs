//! Edits: each makes another project that was checked.

use dryfit_dsp::conversion::Controls;
use dryfit_dsp::document::{DocumentKind, Library, ProblemKind, Problems};
use dryfit_dsp::units::{Quantity, Series};

use super::problem::problem;
use super::project::{Bench, Project};
use super::setup::{Document, Setup};
use super::tray::{Tray, TrayPart, value_of};

type Edited = Result<Project, Problems>;

impl Project {
    /// Limits of a series when none are given: half a decade below and above what is there.
    const AROUND: f64 = 3.162_277_660_168_379;

    /// Another wiring (`WIRING[+ADD-ON..]` of the library) on a bench.
    ///
    /// # Errors
    /// As [`Project::checked`]; so it is with all edits.
    pub fn with_wiring(&self, bench: Bench, name: &str, library: &Library) -> Edited {
        self.with_setup(bench, Setup::from_library(library, name)?)
    }

    /// The text of a bench's wiring, edited, pasted or read from a file. Add-ons and values stay where they still fit.
    pub fn with_text(&self, bench: Bench, name: &str, text: &str, library: &Library) -> Edited {
        let mut setup = self.bench(bench).clone();
        setup.wiring = Document { name: name.into(), text: text.into() };
        self.with_setup(bench, setup.refitted(library)?)
    }

    /// An add-on of the library fitted to a bench, or taken out again.
    pub fn with_add_on(&self, bench: Bench, name: &str, fitted: bool, library: &Library) -> Edited {
        let mut setup = self.bench(bench).clone();
        setup.add_ons.retain(|add_on| add_on.name != name);
        if fitted {
            setup.add_ons.push(Document::from_library(library, DocumentKind::AddOn, name)?);
        }
        self.with_setup(bench, setup.refitted(library)?)
    }

    /// Another value for a part of a bench, as typed.
    pub fn with_value(&self, bench: Bench, part: &str, value: &str) -> Edited {
        let mut setup = self.bench(bench).clone();
        setup.values.insert(part.into(), value.trim().into());
        self.with_setup(bench, setup)
    }

    /// A bench copied onto the other one.
    pub fn copied(&self, from: Bench) -> Edited {
        self.with_setup(from.other(), self.bench(from).clone())
    }

    /// The benches swapped; the tray goes with its bench.
    pub fn swapped(&self) -> Edited {
        let mut project = self.clone();
        project.benches.swap(0, 1);
        project.tray.bench = project.tray.bench.other();
        project.checked()
    }

    /// A part put in the tray, with the E6 values around its own laid out.
    pub fn with_tray_part(&self, bench: Bench, part: TrayPart) -> Edited {
        let mut project = self.clone();
        project.tray = Tray { bench, part: Some(part), values: Vec::new() };
        project.with_tray_series(Series::E6, None)
    }

    /// Values of a series laid out, between two limits or around the part's own value.
    pub fn with_tray_series(&self, series: Series, limits: Option<(f64, f64)>) -> Edited {
        let Some(part) = &self.tray.part else { return Err(empty_tray()) };
        let quantity = part.quantity(self, self.tray.bench)?;
        let own = self.own_value(part)?;
        let (low, high) = limits.unwrap_or((own / Self::AROUND, own * Self::AROUND));
        let mut project = self.clone();
        project.tray.values = Tray::preferred(series, quantity, low, high);
        project.checked()
    }

    /// Typed values laid out, separated by spaces, commas or semicolons.
    pub fn with_tray_values(&self, typed: &str) -> Edited {
        if self.tray.part.is_none() {
            return Err(empty_tray());
        }
        let mut project = self.clone();
        let values = typed.split([' ', ',', ';', '\n']).map(str::trim).filter(|value| !value.is_empty());
        project.tray.values = values.map(str::to_string).collect();
        project.checked()
    }

    /// The tray emptied.
    pub fn with_empty_tray(&self) -> Self {
        Self { tray: Tray::default(), ..self.clone() }
    }

    /// The take was played on this guitar of the library.
    pub fn with_guitar(&self, name: &str, library: &Library) -> Edited {
        let text = library.text(DocumentKind::Guitar, name)?.1.to_string();
        self.with_guitar_text(name, &text)
    }

    /// The take was played on this guitar.
    pub fn with_guitar_text(&self, name: &str, text: &str) -> Edited {
        let mut project = self.clone();
        project.guitar = Document { name: name.into(), text: text.into() };
        project.recorded.assumed = false;
        project.checked()
    }

    /// The take was recorded through this wiring of the library; the controls stay.
    pub fn with_recorded_wiring(&self, name: &str, library: &Library) -> Edited {
        let mut project = self.clone();
        project.recorded.setup = Setup::from_library(library, name)?;
        project.recorded.assumed = false;
        project.checked()
    }

    /// The controls stood so while the take was recorded.
    pub fn with_recorded_controls(&self, controls: Controls) -> Edited {
        let mut project = self.clone();
        project.recorded.controls = controls;
        project.recorded.assumed = false;
        project.checked()
    }

    /// The take was recorded as a bench stands.
    pub fn recorded_as(&self, bench: Bench, controls: Controls) -> Edited {
        let mut project = self.clone();
        project.recorded.setup = self.bench(bench).clone();
        project.with_recorded_controls(controls)
    }

    /// A bench replaced. A tray whose part is gone with it is emptied.
    pub(super) fn with_setup(&self, bench: Bench, setup: Setup) -> Edited {
        let mut project = self.clone();
        project.benches[bench.index()] = setup;
        if project.tray.bench == bench
            && let Some(TrayPart::Part(name)) = &project.tray.part
            && project.bench(bench).read().is_ok_and(|wiring| value_of(&wiring, name).is_none())
        {
            project.tray = Tray::default();
        }
        project.checked()
    }

    /// What the part in the tray has for a value now, in SI.
    fn own_value(&self, part: &TrayPart) -> Result<f64, Problems> {
        let usual = Controls::default().load;
        Ok(match part {
            TrayPart::Cable => usual.cable,
            TrayPart::Input => usual.input,
            TrayPart::Part(name) => value_of(&self.bench(self.tray.bench).read()?, name)
                .map_or(*Quantity::Resistance.sensible().start(), |(value, _)| value),
        })
    }
}

fn empty_tray() -> Problems {
    let what = "there is no part in the tray".to_string();
    problem(ProblemKind::UnknownPart, "parts tray", None, what, "choose a part first")
}
