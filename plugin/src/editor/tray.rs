//! The parts tray: values of one part laid out to be tried in turn.

use egui::{Align, Button, ComboBox, Layout, Rect, RichText, ScrollArea, Ui, UiBuilder};

use super::action::{Action, ControlId, Field};
use super::choice::name_widget;
use super::desk::Desk;
use super::field::{FieldLook, refusal_slip, value_field};
use super::model::{Tray, TraySeries};
use super::paper::{caption, cell, split_left, split_top};
use super::style::{BODY, SMALL};

/// Height of the tray.
pub const HEIGHT: f32 = 56.0;

/// Which part; which values; then the values themselves.
pub fn show(ui: &mut Ui, rect: Rect, desk: &mut Desk) {
    let (first, rest) = split_top(rect, 24.0, 6.0);
    let (second, _) = split_top(rest, 26.0, 0.0);
    let (word, first) = split_left(first, 62.0, 6.0);
    cell(ui, word, caption("parts tray", desk.palette), Align::Min);
    let (part, first) = split_left(first, (first.width() * 0.36).min(190.0), 8.0);
    choose_part(ui, part, desk);
    if desk.model.tray.part.is_none() {
        let text = "choose a part to step through its values";
        cell(ui, first, caption(text, desk.palette), Align::Min);
        return;
    }
    let (series, typed) = split_left(first, 118.0, 8.0);
    choose_series(ui, series, desk);
    type_values(ui, typed, desk);
    step(ui, second, desk);
}

fn choose_part(ui: &mut Ui, rect: Rect, desk: &mut Desk) {
    let tray = &desk.model.tray;
    let mut child = ui.new_child(UiBuilder::new().max_rect(rect));
    let shown = match &tray.part {
        Some((bench, _)) => format!("{}: {}", bench.letter(), tray.label),
        None => "empty".into(),
    };
    let list = ComboBox::from_id_salt("part in the tray").selected_text(shown).width(rect.width()).truncate();
    let list = list.show_ui(&mut child, |ui| {
        if ui.selectable_label(tray.part.is_none(), "empty").clicked() && tray.part.is_some() {
            desk.act(Action::EmptyTray);
        }
        for (bench, part, label) in &tray.parts {
            let chosen = tray.part.as_ref().is_some_and(|(b, p)| b == bench && p == part);
            let text = format!("{}: {label}", bench.letter());
            if ui.selectable_label(chosen, text).clicked() && !chosen {
                desk.act(Action::ChooseTrayPart { bench: *bench, part: part.clone() });
            }
        }
    });
    name_widget(ui, &list.response, "part in the tray");
    list.response.on_hover_text("Which part's values are tried. The rest of the circuit stays as it is.");
}

fn choose_series(ui: &mut Ui, rect: Rect, desk: &mut Desk) {
    let mut child = ui.new_child(UiBuilder::new().max_rect(rect).layout(Layout::left_to_right(Align::Center)));
    child.spacing_mut().item_spacing.x = 3.0;
    for (series, text, count) in [(TraySeries::E6, "E6", 6), (TraySeries::E12, "E12", 12), (TraySeries::E24, "E24", 24)]
    {
        let chosen = desk.model.tray.series == Some(series);
        let tip = format!("Preferred values, {count} a decade (IEC 60063).");
        if child.add(Button::selectable(chosen, text).frame_when_inactive(true)).on_hover_text(tip).clicked() && !chosen
        {
            desk.act(Action::ChooseTraySeries(series));
        }
    }
}

fn type_values(ui: &mut Ui, rect: Rect, desk: &mut Desk) {
    let tip = "Type the values to try, such as 22n 33n 47n.";
    let look =
        FieldLook { value: "", name: "values in the tray", tip, hint: "or type them", size: SMALL, align: Align::Min };
    value_field(ui, rect, desk, &Field::TrayValues, &look);
    refusal_slip(ui, desk, &Field::TrayValues, rect);
}

fn step(ui: &mut Ui, rect: Rect, desk: &mut Desk) {
    let tray = &desk.model.tray;
    let (back, rest) = split_left(rect, 26.0, 4.0);
    let (values, on) = split_left(rest, rest.width() - 30.0, 4.0);
    if arrow(ui, back, "\u{2039}", "previous value", "Previous value: key [") {
        desk.put(ControlId::TrayStep, tray.previous());
    }
    if arrow(ui, on, "\u{203A}", "next value", "Next value: key ]") {
        desk.put(ControlId::TrayStep, tray.next());
    }
    let mut child = ui.new_child(UiBuilder::new().max_rect(values));
    ScrollArea::horizontal().id_salt("tray values").show(&mut child, |ui| {
        ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing.x = 4.0;
            let own =
                Button::selectable(tray.step.is_none(), RichText::new("own").size(BODY)).frame_when_inactive(true);
            if ui.add(own).on_hover_text("The value the part has by itself.").clicked() && tray.step.is_some() {
                desk.put(ControlId::TrayStep, Tray::OWN);
            }
            for (index, value) in tray.values.iter().enumerate() {
                let chosen = tray.step == Some(index);
                let button =
                    ui.add(Button::selectable(chosen, RichText::new(value).size(BODY)).frame_when_inactive(true));
                if chosen {
                    let x = button.rect.x_range();
                    ui.painter().hline(x, button.rect.bottom() - 1.0, egui::Stroke::new(2.5, desk.palette.ink));
                }
                if button.clicked() && !chosen {
                    desk.put(ControlId::TrayStep, index as f64);
                }
            }
        });
    });
}

fn arrow(ui: &mut Ui, rect: Rect, sign: &str, name: &str, tip: &str) -> bool {
    let response = ui.put(rect, Button::new(sign)).on_hover_text(tip);
    response.widget_info(|| egui::WidgetInfo::labeled(egui::accesskit::Role::Button, true, name));
    response.clicked()
}
