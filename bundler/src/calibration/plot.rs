//! Fitted against measured combs, as SVG.

use dryfit_dsp::calibration::Comb;
use plotters::coord::Shift;
use plotters::prelude::*;

/// Size of a picture, in pixels: strings in two columns.
const PANEL: (u32, u32) = (520, 240);
const HEAD: u32 = 40;
const COLUMNS: usize = 2;
/// Levels that are shown below the highest, in dB.
const SPAN_DB: f64 = 45.0;
/// Colours of our own: fitted curve, measured partials.
const FITTED: RGBColor = RGBColor(27, 94, 160);
const MEASURED: RGBColor = RGBColor(178, 84, 32);

/// One picture of a pass: for every string what its pickups make of it, over frequency; `strings` are the names by index.
pub fn svg(title: &str, combs: &[&Comb], strings: &[String]) -> String {
    let rows = combs.len().div_ceil(COLUMNS).max(1);
    let size = (PANEL.0 * COLUMNS as u32, HEAD + PANEL.1 * rows as u32);
    let mut svg = String::new();
    {
        let area = SVGBackend::with_string(&mut svg, size).into_drawing_area();
        // Text cannot fail: nothing is written but the string.
        let _ = area.fill(&WHITE);
        let (head, body) = area.split_vertically(HEAD);
        let _ = head.draw_text(
            &format!("{title}: line fitted, points measured (dB over Hz, without pluck, note and string)"),
            &("sans-serif", 16).into_text_style(&head),
            (12, 12),
        );
        for (panel, comb) in body.split_evenly((rows, COLUMNS)).iter().zip(combs) {
            let _ = draw(panel, comb, &strings[comb.string]);
        }
        let _ = area.present();
    }
    svg
}

type Panel<'a> = DrawingArea<SVGBackend<'a>, Shift>;

fn draw(panel: &Panel<'_>, comb: &Comb, string: &str) -> Result<(), Box<dyn std::error::Error>> {
    let top = comb.fitted.iter().map(|point| point.1).fold(f64::MIN, f64::max) + 3.0;
    let (first, last) = comb.fitted.first().zip(comb.fitted.last()).map_or((80.0, 6500.0), |(a, b)| (a.0, b.0));
    let mut chart = ChartBuilder::on(panel)
        .margin(8)
        .caption(string, ("sans-serif", 14))
        .x_label_area_size(24)
        .y_label_area_size(36)
        .build_cartesian_2d((first..last).log_scale(), top - SPAN_DB..top)?;
    chart
        .configure_mesh()
        .light_line_style(WHITE)
        .x_label_formatter(&|hertz| format!("{hertz:.0}"))
        .y_label_formatter(&|db| format!("{db:.0}"))
        .draw()?;
    let shown = |point: &&(f64, f64)| point.1 > top - SPAN_DB && point.1 < top;
    let (fitted, measured) = (comb.fitted.iter().filter(shown), comb.measured.iter().filter(shown));
    chart.draw_series(LineSeries::new(fitted.copied(), FITTED.stroke_width(2)))?;
    chart.draw_series(measured.map(|&point| Circle::new(point, 2, MEASURED.filled())))?;
    Ok(())
}
