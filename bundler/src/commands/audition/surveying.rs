//! What a survey says to somebody who has never read one, and the drawing with its live path.

use dryfit_dsp::circuit::CircuitError;
use dryfit_dsp::drawing::{Drawing, LIGHT, Live, Point, Style, pictorial, to_svg};
use dryfit_dsp::survey::{Distances, Figures, Flag, Surveyor, flags};
use dryfit_dsp::units::{self, Quantity};

use super::plan::Planned;
use crate::audition::page::PageDrawing;

/// An option surveyed in all its positions, and drawn.
pub(super) struct Surveyed {
    figures: Vec<Figures>,
    distances: Distances,
    flags: Vec<Flag>,
    drawing: Drawing,
}

/// Hum that is this far down, in dB, is gone for every ear beside a playing guitar; what is left is what coils of unequal turns leave.
/// Common practice, no source.
const CANCELS_DB: f64 = -12.0;

impl Surveyed {
    /// With the knobs and switches where the option has them.
    pub(super) fn new(option: &Planned) -> Result<Self, CircuitError> {
        let stand = &option.stand;
        let mut surveyor = Surveyor::new(&stand.assembly)?;
        let figures = surveyor.positions(&stand.controls)?;
        let distances = surveyor.distances(&stand.controls);
        let flags = flags(&figures, &distances);
        Ok(Self { figures, distances, flags, drawing: pictorial(&stand.assembly) })
    }

    /// What sounds in a position with the knobs on 10, in words.
    pub(super) fn sound(&self, position: u8) -> Option<&str> {
        Some(self.at(position)?.reading.words.as_str())
    }

    /// Figures of a position, each with its name, in the order in which a listener asks.
    pub(super) fn facts(&self, position: u8) -> Vec<(String, String)> {
        let Some(figures) = self.at(position) else { return Vec::new() };
        let mut facts = vec![("Brightest at".to_string(), brightest(figures)), ("Hum".into(), hum(figures))];
        if self.figures.len() > 1 {
            facts.push((
                "Level".into(),
                format!("{:+.1} dB against position 1, averaged over strings and frets", figures.level_db),
            ));
            facts.extend(self.nearest(position).map(|nearest| ("Nearest to it".into(), nearest)));
        }
        // Three digits, as a meter shows them.
        let ohms = |value: f64| {
            let digit = 10f64.powf(value.max(1.0).log10().floor() - 2.0);
            units::write((value / digit).round() * digit, Quantity::Resistance)
        };
        let dc = &figures.dc;
        facts.push((
            "A meter at the jack".into(),
            format!("{} ohm ({} to {})", ohms(dc.nominal), ohms(dc.low), ohms(dc.high)),
        ));
        facts
    }

    /// The drawing, unlit.
    pub(super) fn drawing(&self, option: usize) -> PageDrawing {
        let id = format!("drawing-{option}");
        let svg = to_svg(&self.drawing, &Style { palette: &LIGHT, id: &id }, None);
        let corner = |point: &Point| format!("{:.2},{:.2}", point.x, point.y);
        let wire = |path: &Vec<Point>| path.iter().map(corner).collect::<Vec<_>>().join(" ");
        let [red, green, blue] = LIGHT.glow;
        let glow = format!("#{red:02x}{green:02x}{blue:02x}");
        PageDrawing { svg, wires: self.drawing.wires.iter().map(|drawn| wire(&drawn.path)).collect(), glow }
    }

    /// The wires that carry the signal in a position.
    pub(super) fn live(&self, option: &Planned, position: u8) -> Vec<usize> {
        let mut controls = option.stand.controls;
        controls.position = position;
        let lit = Live::new(&option.stand.assembly, &controls).wires(&self.drawing);
        lit.iter().enumerate().filter(|(_, lit)| **lit).map(|(wire, _)| wire).collect()
    }

    fn at(&self, position: u8) -> Option<&Figures> {
        self.figures.iter().find(|figures| figures.controls.position == position)
    }

    fn nearest(&self, position: u8) -> Option<String> {
        let (other, distance) = self.distances.nearest(position)?;
        let near = self.flags.iter().any(|flag| {
            matches!(*flag, Flag::NearDuplicates { first, second } if (first, second) == (position, other) || (second, first) == (position, other))
        });
        let verdict = if near { "; most ears will not tell the two apart" } else { "" };
        Some(format!("position {other}, {:.0} % of the spectrum differs{verdict}", 100.0 * distance.relative_error))
    }
}

fn brightest(figures: &Figures) -> String {
    match &figures.resonance {
        Some(resonance) => {
            let kilohertz = resonance.hertz / 1000.0;
            format!(
                "{kilohertz:.1} kHz, {:.1} dB over the bass (higher is thinner, stronger is sharper)",
                resonance.height_db
            )
        }
        None => format!("no peak; dull above {:.1} kHz", figures.bandwidth / 1000.0),
    }
}

fn hum(figures: &Figures) -> String {
    let left = figures.hum_left_db[0].max(figures.hum_left_db[1]);
    match left {
        _ if figures.level_db <= Figures::SILENT_DB => "nothing sounds".into(),
        ..CANCELS_DB => format!("cancels ({left:.0} dB are left)"),
        -0.5.. => "does not cancel, as with any single coil".into(),
        _ => format!("cancels in part ({left:.0} dB are left)"),
    }
}
