//! Where everything lies, from 900 x 620 to 1600 x 1000 and beyond.

use egui::{Rect, pos2};

use super::paper::{split_left, split_top};
use super::style::GAP;
use super::{controls, footer, header, tray};

/// Width from which both benches fit beside the plot.
const BOTH_BENCHES: f32 = 1120.0;

/// Where everything lies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Layout {
    /// As recorded, what is on, what you hear.
    pub header: Rect,
    /// The response plot.
    pub graph: Rect,
    /// Selector, knobs, switches, cable, input.
    pub controls: Rect,
    /// The parts tray.
    pub tray: Rect,
    /// What is beside the plot.
    pub side: Side,
    /// The last line.
    pub footer: Rect,
}

/// What is beside the plot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Side {
    /// Bench A to the left of it, bench B to the right.
    Benches([Rect; 2]),
    /// One bench to the right, with the row that brings the other one to the front.
    OneBench {
        /// The row with the letters of both.
        tabs: Rect,
        /// The bench in front.
        bench: Rect,
    },
    /// An aside in the benches' place.
    Aside(Rect),
}

impl Layout {
    /// Divides the screen; with an aside the plot moves to the left edge and keeps its width.
    pub fn new(screen: Rect, aside: bool) -> Self {
        let screen = screen.shrink(GAP);
        let (header, rest) = split_top(screen, header::HEIGHT, GAP);
        let (body, footer) = split_top(rest, rest.height() - footer::HEIGHT - 4.0, 4.0);
        let wide = screen.width() + 2.0 * GAP >= BOTH_BENCHES;
        let bench =
            if wide { (screen.width() * 0.282).clamp(328.0, 400.0) } else { (screen.width() * 0.37).max(328.0) };
        let (middle, side) =
            if wide && !aside { both(body, bench) } else { one(body, bench * if wide { 2.0 } else { 1.0 }, aside) };
        let inside = 2.0 * GAP;
        let tray_height = tray::HEIGHT + inside;
        let controls_height = controls::DRAWING_HEIGHT + controls::DIAL_HEIGHT + 28.0 + inside;
        let (upper, tray) = split_top(middle, middle.height() - tray_height - GAP, GAP);
        let (graph, controls) = split_top(upper, upper.height() - controls_height - GAP, GAP);
        Self { header, graph, controls, tray, side, footer }
    }
}

fn both(body: Rect, bench: f32) -> (Rect, Side) {
    let (a, rest) = split_left(body, bench, GAP);
    let (middle, b) = split_left(rest, rest.width() - bench - GAP, GAP);
    (middle, Side::Benches([a, b]))
}

fn one(body: Rect, width: f32, aside: bool) -> (Rect, Side) {
    let (middle, side) = split_left(body, body.width() - width - GAP, GAP);
    if aside {
        return (middle, Side::Aside(side));
    }
    let tabs = Rect::from_min_max(side.min, pos2(side.right(), side.top() + 26.0));
    (middle, Side::OneBench { tabs, bench: side.with_min_y(tabs.bottom() + 4.0) })
}
