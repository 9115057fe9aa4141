//! The parts as a table, values edited in place.

use egui::{Align, Button, Rect, RichText, Sense, Ui, vec2};

use crate::editor::action::{Action, Field};
use crate::editor::desk::Desk;
use crate::editor::field::{FieldLook, value_field};
use crate::editor::model::{BenchId, PartRow};
use crate::editor::paper::{caption, cell, heading, split_left};
use crate::editor::style::{BODY, ROW, SMALL};

/// Label, value, what else is to be known, and the way into the tray.
pub fn show(ui: &mut Ui, desk: &mut Desk, bench: BenchId) {
    heading(ui, "parts", desk.palette);
    for part in &desk.model.bench(bench).parts {
        row(ui, desk, bench, part);
        message(ui, desk, bench, part);
    }
}

fn field(bench: BenchId, part: &PartRow) -> Field {
    Field::Part { bench, part: part.name.clone() }
}

fn row(ui: &mut Ui, desk: &mut Desk, bench: BenchId, part: &PartRow) {
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), ROW), Sense::hover());
    let palette = desk.palette;
    if part.differs {
        ui.painter().rect_filled(rect, 2.0, palette.wash(bench));
    }
    let (label, rest) = split_left(rect.shrink2(vec2(4.0, 0.0)), rect.width() * 0.32, 6.0);
    let (value, rest) = split_left(rest, 58.0, 6.0);
    let (kind, tray) = split_left(rest, rest.width() - 38.0, 4.0);
    cell(ui, label, RichText::new(&part.label), Align::Min);
    let name = format!("{} of bench {}", part.label, bench.letter());
    let tip = if part.differs {
        "The other bench has another value here."
    } else {
        "Type another value, such as 47n or 250k."
    };
    let look = FieldLook { value: &part.value, name: &name, tip, hint: "", size: BODY, align: Align::Max };
    value_field(ui, value.shrink2(vec2(0.0, 1.0)), desk, &field(bench, part), &look);
    cell(ui, kind, caption(&part.kind, palette), Align::Min);
    let mut child = ui.new_child(egui::UiBuilder::new().max_rect(tray.shrink2(vec2(0.0, 2.0))));
    child.spacing_mut().button_padding = vec2(4.0, 1.0);
    let text = RichText::new("tray").size(SMALL);
    let button =
        Button::selectable(part.in_tray, text).frame_when_inactive(true).min_size(tray.size() - vec2(0.0, 4.0));
    let tip = "Lays out values for this part, to step through while the take plays.";
    let response = child.add(button).on_hover_text(tip);
    response.widget_info(|| {
        let name = format!("tray for {} of bench {}", part.label, bench.letter());
        egui::WidgetInfo::selected(egui::accesskit::Role::Button, true, part.in_tray, name)
    });
    if response.clicked() {
        desk.act(Action::ChooseTrayPart { bench, part: part.name.clone() });
    }
}

/// Why a value was refused, in the line below it.
fn message(ui: &mut Ui, desk: &Desk, bench: BenchId, part: &PartRow) {
    let Some(refusal) = desk.model.refusal(&field(bench, part)) else { return };
    let text = RichText::new(&refusal.why).size(11.5).color(desk.palette.warning);
    let rect = ui.available_rect_before_wrap();
    let (_, text_rect) = split_left(rect, 8.0, 0.0);
    let text_rect: Rect = text_rect.with_max_x(rect.right() - 6.0);
    let used = ui.scope_builder(egui::UiBuilder::new().max_rect(text_rect), |ui| ui.label(text)).response.rect;
    ui.advance_cursor_after_rect(used);
    ui.add_space(3.0);
}
