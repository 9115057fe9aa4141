//! A value that is typed.

use egui::text::{CCursor, CCursorRange};
use egui::text_edit::TextEditState;
use egui::{Align, Area, Frame, Key, Margin, Order, Rect, Response, RichText, Stroke, StrokeKind, TextEdit, Ui};

use super::action::{Action, Field};
use super::desk::Desk;
use super::style::{RADIUS, SMALL, font};

/// What a field to type in looks like.
pub struct FieldLook<'a> {
    /// Its value.
    pub value: &'a str,
    /// Its name for assistive tools.
    pub name: &'a str,
    /// What to type, in the trade's words.
    pub tip: &'a str,
    /// Size of its text.
    pub size: f32,
    /// What stands in it while it is empty.
    pub hint: &'a str,
    /// Where its text stands.
    pub align: Align,
}

/// A field to type a value in: Enter or leaving confirms, Escape leaves it as it was.
pub fn value_field(ui: &mut Ui, rect: Rect, desk: &mut Desk, field: &Field, look: &FieldLook) -> Response {
    let refused = desk.model.refusal(field).is_some();
    let mut text = shown(desk, field, look.value);
    let color = if refused { desk.palette.warning } else { desk.palette.ink };
    let edit = TextEdit::singleline(&mut text)
        .id(ui.scope_id().with(field))
        .font(font(look.size))
        .text_color(color)
        .margin(Margin::symmetric(5, 1))
        .desired_width(rect.width() - 10.0)
        .hint_text(RichText::new(look.hint).color(desk.palette.faint))
        .align(egui::Align2([look.align, Align::Center]))
        .min_size(rect.size());
    let response = ui.put(rect, edit).on_hover_text(look.tip);
    ui.ctx().accesskit_node_builder(response.id, |node| node.set_label(look.name));
    if refused {
        let stroke = Stroke::new(1.5, desk.palette.warning);
        ui.painter().rect_stroke(rect, RADIUS as f32, stroke, StrokeKind::Inside);
    }
    if response.gained_focus() {
        select_all(ui, &response, &text);
    }
    if response.changed() {
        desk.memory.typing.insert(field.clone(), text);
    }
    if response.lost_focus() {
        confirm(ui, desk, field, look.value);
    }
    response
}

/// Why the text at `field` was refused, on a slip below it.
pub fn refusal_slip(ui: &Ui, desk: &Desk, field: &Field, below: Rect) {
    let Some(refusal) = desk.model.refusal(field) else { return };
    let palette = desk.palette;
    let text = RichText::new(&refusal.why).size(SMALL).color(palette.warning);
    Area::new(ui.scope_id().with(("refusal", field)))
        .order(Order::Foreground)
        .constrain_to(ui.max_rect().with_max_y(ui.max_rect().bottom() + 60.0))
        .fixed_pos(below.left_bottom() + egui::vec2(0.0, 3.0))
        .interactable(false)
        .show(ui.ctx(), |ui| {
            let frame = Frame::new().fill(palette.sheet).stroke(Stroke::new(1.0, palette.warning));
            frame.inner_margin(Margin::same(5)).show(ui, |ui| {
                ui.set_max_width(190.0);
                ui.label(text);
            });
        });
}

fn shown(desk: &Desk, field: &Field, value: &str) -> String {
    let typing = desk.memory.typing.get(field);
    typing.or(desk.model.refusal(field).map(|refusal| &refusal.typed)).map_or(value, String::as_str).to_owned()
}

fn confirm(ui: &Ui, desk: &mut Desk, field: &Field, value: &str) {
    let Some(typed) = desk.memory.typing.remove(field) else { return };
    let given_up = ui.input(|input| input.key_pressed(Key::Escape));
    if !given_up && (typed != value || desk.model.refusal(field).is_some()) {
        desk.act(Action::Type(field.clone(), typed));
    }
}

fn select_all(ui: &Ui, response: &Response, text: &str) {
    let mut state = TextEditState::load(ui.ctx(), response.id).unwrap_or_default();
    let end = CCursor::new(text.chars().count());
    state.cursor.set_char_range(Some(CCursorRange::two(CCursor::new(0), end)));
    state.store(ui.ctx(), response.id);
}
