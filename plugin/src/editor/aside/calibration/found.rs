//! What the recordings said.

use egui::{Align, Button, Label, Rect, RichText, ScrollArea, Sense, Ui, vec2};

use super::comb;
use crate::editor::action::Action;
use crate::editor::desk::Desk;
use crate::editor::model::{FoundFigure, FoundGuitar, ListeningView};
use crate::editor::paper::{caption, cell, heading, split_left};
use crate::editor::style::BODY;

/// The verdict, what does not fit, the figures, what would settle the vague ones, and the combs.
pub fn show(ui: &mut Ui, desk: &mut Desk) {
    ScrollArea::vertical().id_salt("found guitar").auto_shrink(false).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 4.0;
        match &desk.model.calibration.listening {
            ListeningView::Idle => {
                wrapped(ui, caption("Record at least one position, and have it listened to.", desk.palette));
            }
            ListeningView::Running => {
                wrapped(ui, caption("listening to every note \u{2026}", desk.palette));
                if ui.button("give up").clicked() {
                    desk.act(Action::GiveUpCalibrating);
                }
            }
            ListeningView::Failed(why) => wrapped(ui, RichText::new(why).color(desk.palette.warning)),
            ListeningView::Done(found) => show_found(ui, desk, found),
        }
    });
}

fn show_found(ui: &mut Ui, desk: &mut Desk, found: &FoundGuitar) {
    wrapped(ui, RichText::new(&found.verdict).size(BODY + 1.0));
    if found.outdated {
        let text = "The guitar, what was measured or the recordings were changed since: listen again.";
        wrapped(ui, RichText::new(text).color(desk.palette.warning));
        if ui.add(Button::new("listen again")).clicked() {
            desk.act(Action::Calibrate);
        }
    }
    for complaint in &found.complaints {
        wrapped(ui, RichText::new(complaint).color(desk.palette.warning));
    }
    for wish in &found.wishes {
        wrapped(ui, wish);
    }
    if !found.combs.is_empty() {
        heading(ui, "fitted against measured; a line every 10 dB", desk.palette);
        comb::show(ui, desk, &found.combs);
    }
    if !found.figures.is_empty() {
        heading(ui, "figures; the band holds in 95 of 100 cases", desk.palette);
        figures(ui, desk, &found.figures);
    }
}

/// Figures under the pickup or string they belong to.
fn figures(ui: &mut Ui, desk: &Desk, figures: &[FoundFigure]) {
    let mut of = "";
    for figure in figures {
        if figure.of != of {
            of = &figure.of;
            ui.add_space(2.0);
            ui.label(RichText::new(of));
        }
        let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), 18.0), Sense::hover());
        let [what, found, documented] = columns(rect);
        cell(ui, what, caption(&figure.what, desk.palette), Align::Min);
        let sign = if figure.vague { "  vague" } else { "" };
        let ink = if figure.vague { desk.palette.warning } else { desk.palette.ink };
        cell(ui, found, RichText::new(format!("{}{sign}", figure.found)).color(ink), Align::Min);
        cell(ui, documented, caption(format!("was {}", figure.documented), desk.palette), Align::Min);
    }
}

fn columns(rect: Rect) -> [Rect; 3] {
    let rect = rect.with_min_x(rect.left() + 8.0);
    let (what, rest) = split_left(rect, rect.width() * 0.34, 6.0);
    let (found, documented) = split_left(rest, rest.width() * 0.6, 6.0);
    [what, found, documented]
}

fn wrapped(ui: &mut Ui, text: impl Into<egui::WidgetText>) {
    ui.add(Label::new(text).wrap());
}
