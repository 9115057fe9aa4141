//! Hertz and dB to places on the screen, and back.

use egui::{Pos2, Rect, pos2};

/// The lowest frequency shown, in hertz.
pub const LOW: f64 = 20.0;
/// The highest frequency shown, in hertz.
pub const HIGH: f64 = 20_000.0;

/// Hertz (logarithmic) and dB on a rectangle.
#[derive(Debug, Clone, Copy)]
pub struct Scale {
    /// Where the plot is.
    pub plot: Rect,
    /// Lowest and highest level, in dB.
    pub range_db: [f64; 2],
}

impl Scale {
    /// The place of a frequency.
    pub fn x(&self, hertz: f64) -> f32 {
        let share = (hertz / LOW).ln() / (HIGH / LOW).ln();
        self.plot.left() + share as f32 * self.plot.width()
    }

    /// The place of a level.
    pub fn y(&self, db: f64) -> f32 {
        let [low, high] = self.range_db;
        self.plot.bottom() - ((db - low) / (high - low)) as f32 * self.plot.height()
    }

    /// The place of a point of a curve.
    pub fn at(&self, point: [f64; 2]) -> Pos2 {
        pos2(self.x(point[0]), self.y(point[1]))
    }

    /// The frequency at a place.
    pub fn hertz(&self, x: f32) -> f64 {
        let share = f64::from((x - self.plot.left()) / self.plot.width());
        LOW * (HIGH / LOW).powf(share)
    }
}

/// A curve's level at a frequency, between its points in proportion to the logarithm of frequency.
pub fn level_at(curve: &[[f64; 2]], hertz: f64) -> Option<f64> {
    let next = curve.iter().position(|point| point[0] >= hertz)?;
    let right = curve[next];
    let Some(&left) = next.checked_sub(1).and_then(|index| curve.get(index)) else {
        return (right[0] == hertz).then_some(right[1]);
    };
    let share = (hertz / left[0]).ln() / (right[0] / left[0]).ln();
    Some(left[1] + share * (right[1] - left[1]))
}
