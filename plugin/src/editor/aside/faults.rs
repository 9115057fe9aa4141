//! What a meter should read at the jack, what it did, and which single fault explains it.

use dryfit_dsp::faults::{Explained, Finding};
use egui::{Align, Button, Label, Rect, RichText, ScrollArea, Sense, Ui, vec2};

use crate::editor::action::{Action, Field};
use crate::editor::desk::Desk;
use crate::editor::field::{FieldLook, value_field};
use crate::editor::model::{BenchId, DiagnosisView};
use crate::editor::palette::Palette;
use crate::editor::paper::{caption, cell, heading, split_left};
use crate::editor::style::{BODY, ROW};

/// What to measure; the readings; what they say.
pub fn show(ui: &mut Ui, desk: &mut Desk, bench: BenchId) {
    ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 3.0;
        let how = "Unplug the guitar, put the meter on tip and sleeve of its jack, and all knobs on 10. Type what it shows in \
                   every position and press Enter; `open` where it shows nothing; 1:tone=0=6.1k where a knob stands \
                   elsewhere.";
        wrapped(ui, caption(how, desk.palette));
        ui.add_space(3.0);
        readings(ui, desk, bench);
        ui.add_space(5.0);
        diagnosis(ui, desk, bench);
        ui.add_space(6.0);
        should(ui, desk, bench);
    });
}

fn readings(ui: &mut Ui, desk: &mut Desk, bench: BenchId) {
    let field = Field::Readings(bench);
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), 26.0), Sense::hover());
    // A line of readings is long: where it is narrow, it has the whole width.
    let (rect, button) = if rect.width() < 420.0 {
        (rect, ui.allocate_exact_size(rect.size(), Sense::hover()).0)
    } else {
        split_left(rect, rect.width() - 116.0, 6.0)
    };
    let button = button.with_max_x(button.left() + 110.0);
    let faults = &desk.model.bench(bench).faults;
    let look = FieldLook {
        value: &faults.typed,
        name: &format!("meter readings of bench {}", bench.letter()),
        tip: "Position, =, ohms; separated by commas. Enter confirms.",
        size: BODY,
        hint: "1=6.2k, 2=open, ..",
        align: Align::Min,
    };
    value_field(ui, rect, desk, &field, &look);
    let again =
        ui.put(button, Button::new("find the fault")).on_hover_text("Ranks every single fault by the readings.");
    if again.clicked() && !faults.typed.is_empty() {
        desk.act(Action::Type(field.clone(), faults.typed.clone()));
    }
    if let Some(refusal) = desk.model.refusal(&field) {
        wrapped(ui, RichText::new(&refusal.why).color(desk.palette.warning));
    }
}

fn diagnosis(ui: &mut Ui, desk: &Desk, bench: BenchId) {
    match &desk.model.bench(bench).faults.diagnosis {
        DiagnosisView::Idle => {}
        DiagnosisView::Running => wrapped(ui, caption("every single fault is being simulated …", desk.palette)),
        DiagnosisView::Broken => {
            wrapped(ui, "The fault finder met a fault of its own. The sound is not touched by it.")
        }
        DiagnosisView::Done { finding, outdated } => {
            if *outdated {
                let text = "The wiring was changed since.";
                wrapped(ui, RichText::new(text).color(desk.palette.warning));
            }
            show_finding(ui, desk.palette, finding);
        }
    }
}

fn show_finding(ui: &mut Ui, palette: &Palette, finding: &Finding) {
    wrapped(ui, RichText::new(&finding.verdict).size(BODY + 1.0));
    for (number, suspicion) in (1..).zip(&finding.suspicions) {
        ui.add_space(4.0);
        heading(ui, &format!("{number}. {}", suspicion.how_well), palette);
        show_suspicion(ui, palette, suspicion);
        let expected = finding.readings.iter().zip(&suspicion.predicted);
        let expected = expected.map(|([place, read], predicted)| format!("{place}: {predicted} expected, {read} read"));
        wrapped(ui, caption(expected.collect::<Vec<_>>().join("; "), palette));
    }
}

fn show_suspicion(ui: &mut Ui, palette: &Palette, suspicion: &Explained) {
    for fault in &suspicion.faults {
        wrapped(ui, format!("\u{2013} {fault}"));
    }
    if suspicion.more > 0 {
        wrapped(ui, format!("\u{2013} and {} more", suspicion.more));
    }
    if let Some(apart) = suspicion.apart() {
        wrapped(ui, caption(apart, palette));
    }
    for test in &suspicion.tests {
        wrapped(ui, format!("test: {test}"));
    }
}

/// What a sound guitar reads, place by place as it is typed.
fn should(ui: &mut Ui, desk: &Desk, bench: BenchId) {
    let faults = &desk.model.bench(bench).faults;
    if faults.should.is_empty() {
        return;
    }
    heading(ui, "what a sound guitar reads, all knobs on 10", desk.palette);
    for reading in &faults.should {
        let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), ROW - 4.0), Sense::hover());
        let [place, value, band] = columns(rect);
        cell(ui, place, RichText::new(&reading.place), Align::Min);
        cell(ui, value, RichText::new(&reading.value), Align::Max);
        cell(ui, band, caption(&reading.band, desk.palette), Align::Min);
    }
}

fn columns(rect: Rect) -> [Rect; 3] {
    let rect = rect.shrink2(vec2(4.0, 0.0));
    let (place, rest) = split_left(rect, 140.0, 6.0);
    let (value, band) = split_left(rest, 60.0, 10.0);
    [place, value, band]
}

fn wrapped(ui: &mut Ui, text: impl Into<egui::WidgetText>) {
    ui.add(Label::new(text).wrap());
}
