//! The plot.

use super::measured::Measured;
use crate::editor::Graph;

/// Curves of both benches and of the recorded circuit; the spectrum comes later, with the sound.
pub(super) fn graph(measured: &Measured) -> Graph {
    let curves = [&measured.benches[0], &measured.benches[1]].map(|bench| bench.curve.clone());
    let difference = curves[0].iter().zip(&curves[1]).map(|(a, b)| [a[0], b[1] - a[1]]).collect();
    Graph {
        title: "response at the jack, dB".into(),
        recorded: measured.recorded.clone(),
        difference,
        curves,
        bands: [&measured.benches[0], &measured.benches[1]].map(|bench| bench.band.clone()),
        range_db: [-36.0, 12.0],
        ..Graph::default()
    }
}
