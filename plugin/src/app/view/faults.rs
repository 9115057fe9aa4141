//! The fault finder of a bench.

use dryfit_dsp::circuit::{Band, combinations};
use dryfit_dsp::document::Assembly;
use dryfit_dsp::faults::{METER_OPEN, as_read, place};

use super::session_bench;
use crate::app::App;
use crate::editor::{BenchId, DiagnosisView, FaultsView, ShouldRead};

/// What a bench's guitar should read (`bands`, one per combination, once they are known), what it did and what that says.
pub(super) fn view(app: &App, id: BenchId, surveyed: Option<(&Assembly, &[Option<Band>])>) -> FaultsView {
    let bench = session_bench(id);
    let meter = &app.meters[bench.index()];
    let diagnosis = match &meter.finding {
        _ if meter.works() => DiagnosisView::Running,
        Some((built, Some(finding))) => {
            DiagnosisView::Done { finding: finding.clone(), outdated: *built != app.built(bench) }
        }
        Some((_, None)) => DiagnosisView::Broken,
        None => DiagnosisView::Idle,
    };
    let should = surveyed.map(|(assembly, bands)| should(assembly, bands)).unwrap_or_default();
    FaultsView { should, typed: meter.typed.clone(), diagnosis }
}

fn should(assembly: &Assembly, bands: &[Option<Band>]) -> Vec<ShouldRead> {
    let places = combinations(&assembly.controls).map(|controls| place(assembly, &controls));
    places.zip(bands).map(|(place, band)| reading(place, band.as_ref())).collect()
}

fn reading(place: String, band: Option<&Band>) -> ShouldRead {
    let (value, band) = match band {
        Some(Band { nominal, .. }) if *nominal >= METER_OPEN => ("open".into(), String::new()),
        Some(Band { low, nominal, high }) => (as_read(*nominal), format!("{} to {}", as_read(*low), as_read(*high))),
        None => ("?".into(), String::new()),
    };
    ShouldRead { place, value, band }
}
