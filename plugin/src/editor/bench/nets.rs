//! The wiring joint by joint, the live path lit.

use egui::{Color32, Label, Rect, RichText, Sense, Stroke, Ui, UiBuilder, pos2, vec2};

use crate::editor::desk::Desk;
use crate::editor::model::{BenchId, Contact, Net, NetRole};
use crate::editor::palette::Palette;
use crate::editor::paper::heading;
use crate::editor::style::BODY;
use crate::editor::wiring::wire_color;

/// A line per joint, then what the switches join where they stand.
pub fn show(ui: &mut Ui, desk: &Desk, bench: BenchId) {
    let view = desk.model.bench(bench);
    heading(ui, "joint by joint, in the colours of the drawing", desk.palette);
    for net in &view.nets {
        show_net(ui, desk, net);
    }
    if !view.contacts.is_empty() {
        ui.add_space(4.0);
        heading(ui, "joined by the switches now", desk.palette);
    }
    for contact in &view.contacts {
        show_contact(ui, desk.palette, contact);
    }
}

fn show_net(ui: &mut Ui, desk: &Desk, net: &Net) {
    let palette = desk.palette;
    let lugs = net.lugs.join(", ");
    let (tip, role) = match net.role {
        NetRole::Live => ("On the way from a sounding pickup to the jack.", "live"),
        NetRole::Idle => ("Not on the way to the jack now.", "idle"),
        NetRole::Ground => ("Ground.", "ground"),
    };
    let wire = wire_color(net.joint, desk.memory.theme);
    entry(ui, palette, (net.role, Some(wire)), &net.name, &lugs, &format!("{tip} ({role})"));
}

fn show_contact(ui: &mut Ui, palette: &Palette, contact: &Contact) {
    let role = if contact.live { NetRole::Live } else { NetRole::Idle };
    let lugs = contact.lugs.join(" \u{2013} ");
    entry(ui, palette, (role, None), &contact.switch, &lugs, "Joined inside the switch where it stands.");
}

/// Wire, name, lugs. The lugs wrap: what is joined is never cut.
fn entry(ui: &mut Ui, palette: &Palette, (role, wire): (NetRole, Option<Color32>), name: &str, lugs: &str, tip: &str) {
    let top = ui.available_rect_before_wrap();
    let name_left = top.left() + 26.0;
    let lugs_left = name_left + 88.0;
    let color = ink(role, palette);
    let text = |text: &str| RichText::new(text).size(BODY - 1.0).color(color);
    // Its height is known when the lugs are laid out; its ground lies below them all the same.
    let ground = ui.painter().add(egui::Shape::Noop);
    let place = Rect::from_min_max(pos2(lugs_left, top.top() + 2.0), top.max);
    let label = |ui: &mut Ui| ui.add(Label::new(text(lugs)).wrap().selectable(false));
    let used = ui.new_child(UiBuilder::new().max_rect(place)).scope(label).response.rect;
    let height = used.height().max(16.0) + 4.0;
    let (row, response) = ui.allocate_exact_size(vec2(top.width(), height), Sense::hover());
    if role == NetRole::Live {
        ui.painter().set(ground, egui::epaint::RectShape::filled(row, 2.0, palette.live_wash));
    }
    let name_place = Rect::from_min_max(pos2(name_left, row.top() + 2.0), pos2(lugs_left - 6.0, row.bottom()));
    ui.new_child(UiBuilder::new().max_rect(name_place)).add(Label::new(text(name)).truncate().selectable(false));
    draw_wire(ui, row, role, wire.unwrap_or(color));
    response.on_hover_text(tip);
}

/// A joint as it is drawn: thick with a filled dot when live, thin and hollow when idle, with bars when ground.
fn draw_wire(ui: &Ui, row: Rect, role: NetRole, color: Color32) {
    let (painter, y) = (ui.painter(), row.top() + 10.0);
    let (left, right) = (row.left() + 4.0, row.left() + 20.0);
    match role {
        NetRole::Live => {
            painter.hline(left..=right, y, Stroke::new(3.0, color));
            painter.circle_filled(pos2(right, y), 4.0, color);
        }
        NetRole::Idle => {
            painter.hline(left..=(right - 3.0), y, Stroke::new(1.0, color));
            painter.circle_stroke(pos2(right, y), 3.0, Stroke::new(1.0, color));
        }
        NetRole::Ground => {
            painter.hline(left..=(right - 6.0), y, Stroke::new(1.5, color));
            for (index, half) in [6.0, 4.0, 2.0].into_iter().enumerate() {
                let x = right - 6.0 + 3.0 * index as f32;
                painter.vline(x, (y - half)..=(y + half), Stroke::new(1.5, color));
            }
        }
    }
}

fn ink(role: NetRole, palette: &Palette) -> Color32 {
    match role {
        NetRole::Live => palette.live,
        NetRole::Idle => palette.faint,
        NetRole::Ground => palette.ground,
    }
}
