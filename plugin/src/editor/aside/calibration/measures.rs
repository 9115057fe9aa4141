//! Ruler and meter.

use egui::{Align, Rect, RichText, ScrollArea, Sense, Ui, vec2};

use crate::editor::action::Field;
use crate::editor::desk::Desk;
use crate::editor::field::{FieldLook, value_field};
use crate::editor::model::{MeasureView, PickupMeasures};
use crate::editor::paper::{caption, cell, heading, split_left};
use crate::editor::style::{BODY, ROW};

/// Width of a pickup's name and of what a figure is called.
const LABEL: f32 = 84.0;

/// What a ruler, a meter and the strings' set say. Every field shows behind it what the document has.
pub fn show(ui: &mut Ui, desk: &mut Desk) {
    ScrollArea::vertical().id_salt("measures").auto_shrink(false).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 3.0;
        let how = "Type what you measure, with its unit. What you leave empty stays as the guitar's document has it, which \
                   stands there in grey. A ruler is enough to begin with: the distances decide how true another pickup sounds.";
        ui.label(caption(how, desk.palette));
        ui.add_space(4.0);
        let pickups = &desk.model.calibration.pickups;
        heading(ui, "saddle to pickup, and DC resistance", desk.palette);
        columns_head(ui, desk, &["low string", "high string", "resistance"]);
        pickups.iter().for_each(|pickup| row(ui, desk, pickup, &pickup.ruler_and_meter));
        ui.add_space(6.0);
        heading(ui, "strings", desk.palette);
        for measure in &desk.model.calibration.strings {
            let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), ROW), Sense::hover());
            let (label, field) = split_left(rect.shrink2(vec2(4.0, 0.0)), LABEL, 6.0);
            cell(ui, label, RichText::new(&measure.label), Align::Min);
            show_field(ui, field, desk, measure, &measure.label, Align::Min);
            complaint(ui, desk, measure);
        }
        ui.add_space(6.0);
        heading(ui, "coil, if you can measure it: one of the two", desk.palette);
        columns_head(ui, desk, &["inductance", "resonances with two capacitors"]);
        pickups.iter().for_each(|pickup| row(ui, desk, pickup, &pickup.coil));
    });
}

fn columns_head(ui: &mut Ui, desk: &Desk, words: &[&str]) {
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), 18.0), Sense::hover());
    let (_, places) = columns(rect, words.len());
    for (place, word) in places.into_iter().zip(words) {
        cell(ui, place, caption(*word, desk.palette), Align::Min);
    }
}

/// A pickup's figures beside its name; what is wrong with one stands below them.
fn row(ui: &mut Ui, desk: &mut Desk, pickup: &PickupMeasures, measures: &[MeasureView]) {
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), ROW), Sense::hover());
    let (label, places) = columns(rect, measures.len());
    cell(ui, label, RichText::new(&pickup.name), Align::Min);
    for (place, measure) in places.into_iter().zip(measures) {
        let name = format!("{} of the {} pickup", measure.label, pickup.name);
        show_field(ui, place, desk, measure, &name, Align::Min);
    }
    measures.iter().for_each(|measure| complaint(ui, desk, measure));
}

fn show_field(ui: &mut Ui, rect: Rect, desk: &mut Desk, measure: &MeasureView, name: &str, align: Align) {
    let field = Field::Measure(measure.measure.clone());
    let MeasureView { typed, documented, tip, .. } = measure;
    let look = FieldLook { value: typed, name, tip, hint: documented, size: BODY, align };
    value_field(ui, rect.shrink2(vec2(0.0, 1.0)), desk, &field, &look);
}

/// Why the text in a field was refused, in the list itself: a slip would hide the next field.
fn complaint(ui: &mut Ui, desk: &Desk, measure: &MeasureView) {
    if let Some(refusal) = desk.model.refusal(&Field::Measure(measure.measure.clone())) {
        ui.label(RichText::new(&refusal.why).color(desk.palette.warning));
    }
}

/// The place of a label, and so many beside it. Of two the second is the wider one: it holds a list.
fn columns(rect: Rect, count: usize) -> (Rect, Vec<Rect>) {
    let (label, mut rest) = split_left(rect.shrink2(vec2(4.0, 0.0)), LABEL.min(rect.width() * 0.2), 6.0);
    let whole = rest.width();
    let mut places = Vec::new();
    for place in 0..count {
        let width = match (count, place) {
            (2, 0) => 0.3 * whole,
            _ => whole / count as f32 - 4.0,
        };
        let (column, right) = split_left(rest, if place + 1 == count { rest.width() } else { width }, 6.0);
        places.push(column);
        rest = right;
    }
    (label, places)
}
