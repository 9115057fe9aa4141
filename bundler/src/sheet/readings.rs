//! What a meter should read at the jack, and which pickups a tap should be heard from.

use dryfit_dsp::circuit::{Controls, combinations, dc_band, describe};
use dryfit_dsp::document::Assembly;
use dryfit_dsp::faults::heard;
use serde::Serialize;

use crate::survey::Cell;

/// One combination of selector and switches.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(super) struct Row {
    /// `position 2`.
    pub place: String,
    /// What a tap is heard from.
    pub tap: String,
    /// A reading for each column.
    pub cells: Vec<Cell>,
}

/// Headings of the columns of readings: all on 10, then every knob on 0.
pub(super) fn columns(assembly: &Assembly) -> Vec<String> {
    let knobs = assembly.controls.knobs.iter().flatten();
    std::iter::once("all on 10".to_string()).chain(knobs.map(|label| format!("{label} on 0"))).collect()
}

/// A row for every combination of selector and switches.
pub(super) fn rows(assembly: &Assembly) -> Vec<Row> {
    combinations(&assembly.controls).map(|controls| row(assembly, &controls)).collect()
}

fn row(assembly: &Assembly, controls: &Controls) -> Row {
    let mut settings = vec![*controls];
    for (knob, _) in assembly.controls.knobs.iter().enumerate().filter(|(_, label)| label.is_some()) {
        let mut turned = *controls;
        turned.knobs[knob] = 0.0;
        settings.push(turned);
    }
    let heard = heard(assembly, controls);
    Row {
        place: describe(assembly, controls).trim_start_matches("in ").to_string(),
        tap: if heard.is_empty() { "none: silent".into() } else { heard.join(", ") },
        cells: settings.iter().map(|controls| cell(assembly, controls)).collect(),
    }
}

fn cell(assembly: &Assembly, controls: &Controls) -> Cell {
    match dc_band(assembly, controls) {
        Ok(band) => Cell::measured(&band),
        Err(_) => Cell::plain("?"),
    }
}
