//! Which strings and frets are heard: a cell for each string, always in its place, so that the eye need not look for it.

use egui::accesskit::Role;
use egui::{Align, Align2, Rect, RichText, Sense, Shape, Stroke, StrokeKind, Ui, WidgetInfo, pos2};

use crate::editor::desk::Desk;
use crate::editor::model::{HeardString, HeardView};
use crate::editor::palette::Palette;
use crate::editor::paper::{caption, cell, split_left};
use crate::editor::style::{BODY, RADIUS, SMALL, font};

/// Height of the line.
pub const HEIGHT: f32 = 20.0;
/// The least width of a cell that has room for the note beside the fret.
const WITH_PITCH: f32 = 86.0;

/// What is heard of each string, or why nothing is.
pub fn show(ui: &mut Ui, rect: Rect, desk: &Desk) {
    match &desk.model.heard {
        HeardView::Off => {}
        HeardView::Resting(why) => {
            cell(ui, rect, caption(why, desk.palette), Align::Min);
        }
        HeardView::Strings(strings) => {
            let (word, cells) = split_left(rect, 38.0, 4.0);
            cell(ui, word, caption("heard", desk.palette), Align::Min).on_hover_text(TIP);
            let width = cells.width() / strings.len().max(1) as f32;
            for (place, string) in strings.iter().enumerate() {
                let left = cells.left() + place as f32 * width;
                let place = Rect::from_x_y_ranges(left..=(left + width - 4.0), cells.y_range());
                show_string(ui, place, desk.palette, string);
            }
        }
    }
}

const TIP: &str = "The strings from the lowest to the highest, and the fret each is heard at. With a question mark it may be \
                   another string: the same note can be played on several, and only its stiffness tells which.";

/// Its name, the fret, what sounds. A string that is not sure is dashed and asks.
fn show_string(ui: &Ui, rect: Rect, palette: &Palette, string: &HeardString) {
    let response = ui.interact(rect, ui.scope_id().with(("string", &string.name)), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, &string.words));
    let painter = ui.painter();
    let at = |x: f32| pos2(x, rect.center().y);
    let note = string.note.as_ref();
    let sure = note.is_some_and(|note| note.sure);
    match note {
        Some(_) if sure => {
            painter.rect(rect, f32::from(RADIUS), palette.chosen, Stroke::new(1.5, palette.ink), StrokeKind::Inside);
        }
        Some(_) => {
            let edge = rect.shrink(0.75);
            let corners = [edge.left_top(), edge.right_top(), edge.right_bottom(), edge.left_bottom(), edge.left_top()];
            painter.extend(Shape::dashed_line(&corners, Stroke::new(1.0, palette.faint), 3.0, 3.0));
        }
        None => {
            painter.rect_stroke(rect, f32::from(RADIUS), Stroke::new(1.0, palette.rule), StrokeKind::Inside);
        }
    }
    let lesser = if sure { palette.ink } else { palette.faint };
    painter.text(at(rect.left() + 5.0), Align2::LEFT_CENTER, &string.name, font(SMALL), lesser);
    if let Some(note) = note {
        let fret = if note.sure { note.fret.clone() } else { format!("{}?", note.fret) };
        let ends = rect.right() - 5.0;
        if rect.width() >= WITH_PITCH {
            painter.text(at(ends), Align2::RIGHT_CENTER, &note.pitch, font(SMALL), lesser);
            painter.text(at(rect.center().x + 2.0), Align2::CENTER_CENTER, fret, font(BODY), palette.ink);
        } else {
            painter.text(at(ends), Align2::RIGHT_CENTER, fret, font(BODY), palette.ink);
        }
    }
    response.on_hover_text(RichText::new(&string.words));
}
