//! The curves themselves.

use egui::{Color32, Mesh, Painter, Pos2, Shape, Stroke, pos2};

use super::scale::{HIGH, LOW, Scale};
use crate::editor::desk::Desk;
use crate::editor::model::BenchId;
use crate::editor::palette::Palette;

/// Lowest level of the take's spectrum that is drawn, in dB of its full scale.
const SPECTRUM_FLOOR_DB: f64 = -84.0;

/// The tolerance bands, then the curves from the least to the most important.
pub fn draw(painter: &Painter, scale: &Scale, desk: &Desk) {
    let (graph, palette) = (&desk.model.graph, desk.palette);
    if desk.memory.bands {
        for bench in BenchId::BOTH {
            band(painter, scale, &graph.bands[bench.index()], palette.bench(bench).gamma_multiply(0.18));
        }
    }
    dashed(painter, &places(scale, &graph.recorded), Stroke::new(1.3, palette.dry), &[1.5], &[3.5]);
    if desk.memory.difference {
        difference_line(painter, &places(scale, &graph.difference), palette);
    }
    painter.line(places(scale, &graph.curves[0]), Stroke::new(2.2, palette.a));
    dashed(painter, &places(scale, &graph.curves[1]), Stroke::new(2.2, palette.b), &[9.0], &[5.0]);
}

/// The line of the difference: a dash and a dot.
pub fn difference_line(painter: &Painter, places: &[Pos2], palette: &Palette) {
    dashed(painter, places, Stroke::new(1.8, palette.ink), &[10.0, 2.0], &[3.0, 3.0]);
}

fn dashed(painter: &Painter, places: &[Pos2], stroke: Stroke, dashes: &[f32], gaps: &[f32]) {
    painter.extend(Shape::dashed_line_with_offset(places, stroke, dashes, gaps, 0.0));
}

fn places(scale: &Scale, curve: &[[f64; 2]]) -> Vec<Pos2> {
    // A point beyond either end, so that the line reaches it; the painter clips it there.
    curve.iter().filter(|point| (LOW / 2.0..=HIGH * 2.0).contains(&point[0])).map(|&point| scale.at(point)).collect()
}

/// Spectrum from the bottom of the plot up: its full scale lies a quarter below the top, so that it stays behind.
pub fn spectrum(painter: &Painter, scale: &Scale, desk: &Desk) {
    let (plot, color) = (scale.plot, desk.palette.spectrum);
    let rows = desk.model.graph.spectrum.iter().filter(|point| (LOW..=HIGH).contains(&point[0])).map(|&[hertz, db]| {
        let share = (1.0 - db / SPECTRUM_FLOOR_DB).clamp(0.0, 1.0) as f32;
        [pos2(scale.x(hertz), plot.bottom() - share * plot.height() * 0.75), pos2(scale.x(hertz), plot.bottom())]
    });
    strip(painter, rows, color);
}

fn band(painter: &Painter, scale: &Scale, band: &[[f64; 3]], color: Color32) {
    let rows = band.iter().filter(|point| (LOW / 2.0..=HIGH * 2.0).contains(&point[0]));
    strip(painter, rows.map(|&[hertz, low, high]| [scale.at([hertz, high]), scale.at([hertz, low])]), color);
}

/// A filled strip between an upper and a lower edge.
fn strip(painter: &Painter, rows: impl Iterator<Item = [Pos2; 2]>, color: Color32) {
    let mut mesh = Mesh::default();
    for [upper, lower] in rows {
        let next = mesh.vertices.len() as u32;
        mesh.colored_vertex(upper, color);
        mesh.colored_vertex(lower, color);
        if next >= 2 {
            mesh.add_triangle(next - 2, next - 1, next);
            mesh.add_triangle(next - 1, next, next + 1);
        }
    }
    painter.add(mesh);
}
