//! The parts tray.

use crate::app::App;
use crate::app::actions::words;
use crate::editor::{BenchId, BenchView, Tray, TraySeries};
use crate::session::{Bench, Project, TrayPart};
use dryfit_dsp::units::{Quantity, Series, parse};

pub(super) fn tray(app: &App, project: &Project, benches: &[BenchView; 2]) -> Tray {
    let parts = BenchId::BOTH.into_iter().flat_map(|id| {
        let own = benches[id.index()].parts.iter().map(move |part| (id, part.name.clone(), part.label.clone()));
        let load =
            [("cable", "cable"), ("input", "input")].map(|(name, label)| (id, name.to_string(), label.to_string()));
        own.chain(load)
    });
    let tray = &project.tray;
    let id = if tray.bench == Bench::A { BenchId::A } else { BenchId::B };
    let name = tray.part.as_ref().map(|part| match part {
        TrayPart::Part(name) => name.clone(),
        TrayPart::Cable => "cable".into(),
        TrayPart::Input => "input".into(),
    });
    let step = usize::from(app.parameters.controls().step).checked_sub(1);
    let last = tray.values.len().checked_sub(1);
    Tray {
        label: name.as_deref().map(words).unwrap_or_default(),
        series: tray.part.as_ref().and_then(|part| series(project, part)),
        part: name.map(|name| (id, name)),
        values: tray.values.clone(),
        step: step.zip(last).map(|(step, last)| step.min(last)),
        parts: parts.collect(),
    }
}

/// The coarsest series that holds every value; none when one of them is in none.
fn series(project: &Project, part: &TrayPart) -> Option<TraySeries> {
    let quantity: Quantity = part.quantity(project, project.tray.bench).ok()?;
    let values: Vec<f64> = project.tray.values.iter().filter_map(|value| parse(value, quantity).ok()).collect();
    let all = [(Series::E6, TraySeries::E6), (Series::E12, TraySeries::E12), (Series::E24, TraySeries::E24)];
    let holds = |series: Series| values.iter().all(|&value| !series.between(value * 0.999, value * 1.001).is_empty());
    all.into_iter().find(|(series, _)| !values.is_empty() && holds(*series)).map(|(_, shown)| shown)
}
