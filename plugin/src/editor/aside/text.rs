//! A document as text, problems marked at their lines.

use std::sync::Arc;

use egui::text::{LayoutJob, TextFormat};
use egui::{
    Align2, Button, Color32, FontId, Galley, Label, Rect, RichText, ScrollArea, Stroke, TextEdit, Ui, UiBuilder, pos2,
    vec2,
};

use crate::editor::action::{Action, DocumentId};
use crate::editor::desk::Desk;
use crate::editor::model::{DocumentView, LineProblem, Severity};
use crate::editor::notices::{color, word};
use crate::editor::paper::caption;
use crate::editor::style::SMALL;

const FONT_SIZE: f32 = 12.5;
/// Room for line numbers and marks.
const MARGIN: f32 = 46.0;

/// The text; what is wrong with it.
pub fn show(ui: &mut Ui, rect: Rect, desk: &mut Desk, id: DocumentId, view: &DocumentView) {
    let below = problems_height(view, rect.height());
    let text = rect.with_max_y(rect.bottom() - below);
    edit(ui, text, desk, id, view);
    if below > 0.0 {
        problems(ui, rect.with_min_y(text.bottom() + 6.0), desk, view);
    }
}

/// Copy, paste, open, save.
pub fn buttons(ui: &mut Ui, rect: Rect, desk: &mut Desk, id: DocumentId, view: &DocumentView) {
    let what = what(id);
    let layout = egui::Layout::left_to_right(egui::Align::Center);
    let mut child = ui.new_child(UiBuilder::new().max_rect(rect).layout(layout));
    let mut button = |text: &str, tip: &str| child.add(Button::new(text)).on_hover_text(tip).clicked();
    let copied = button("copy", "Copies the whole text.");
    if button("paste", "Puts what was copied elsewhere in place of this text. Undo brings it back.") {
        desk.act(Action::PasteDocument(id));
    }
    if button("open …", &format!("Opens a {what} from a file.")) {
        desk.act(Action::OpenDocument(id));
    }
    if button("save …", &format!("Saves the {what} among your own; it then appears in the lists.")) {
        desk.act(Action::SaveDocument(id));
    }
    if copied {
        ui.ctx().copy_text(draft(desk, id, view));
    }
}

/// What is being typed, or the session's text where that is newer.
fn draft(desk: &Desk, id: DocumentId, view: &DocumentView) -> String {
    match &desk.memory.draft {
        Some((whose, revision, text)) if *whose == id && *revision == view.revision => text.clone(),
        _ => view.text.clone(),
    }
}

fn edit(ui: &mut Ui, rect: Rect, desk: &mut Desk, id: DocumentId, view: &DocumentView) {
    let palette = desk.palette;
    ui.painter().rect(rect, 3.0, palette.field, Stroke::new(1.0, palette.rule), egui::StrokeKind::Inside);
    let mut text = draft(desk, id, view);
    let mut child = ui.new_child(UiBuilder::new().max_rect(rect.shrink(4.0)));
    ScrollArea::both().id_salt(("document", id)).auto_shrink(false).show(&mut child, |ui| {
        let mut layouter = |ui: &Ui, text: &dyn egui::TextBuffer, _width: f32| colored(ui, text.as_str(), desk.palette);
        let output = TextEdit::multiline(&mut text)
            .id(ui.scope_id().with(("text", id)))
            .font(FontId::monospace(FONT_SIZE))
            .frame(egui::Frame::new().inner_margin(egui::Margin { left: MARGIN as i8, right: 8, top: 2, bottom: 2 }))
            .desired_width(f32::INFINITY)
            .desired_rows(8)
            .lock_focus(false)
            .layouter(&mut layouter)
            .show(ui);
        ui.ctx().accesskit_node_builder(output.response.response.id, |node| node.set_label(name(id)));
        line_marks(ui, desk, &output.galley, output.galley_pos, view);
        if output.response.response.changed() {
            desk.act(Action::EditDocument { document: id, text: text.clone() });
            desk.memory.draft = Some((id, view.revision, text.clone()));
        }
    });
}

fn name(id: DocumentId) -> String {
    match id {
        DocumentId::Bench(bench) => format!("document of bench {}", bench.letter()),
        DocumentId::Sounds | DocumentId::Guitar => what(id).into(),
    }
}

fn what(id: DocumentId) -> &'static str {
    match id {
        DocumentId::Bench(_) => "wiring",
        DocumentId::Sounds => "sounds table",
        DocumentId::Guitar => "guitar",
    }
}

/// Comments and table heads set apart; nothing more, a wiring is not a program.
fn colored(ui: &Ui, text: &str, palette: &crate::editor::palette::Palette) -> Arc<Galley> {
    let mut job = LayoutJob::default();
    job.wrap.max_width = f32::INFINITY;
    for line in text.split_inclusive('\n') {
        let trimmed = line.trim_start();
        let (code, comment) = match line.find('#') {
            Some(at) if !line[..at].contains('"') || line[..at].matches('"').count() % 2 == 0 => line.split_at(at),
            _ => (line, ""),
        };
        let ink = if trimmed.starts_with('[') { palette.a } else { palette.ink };
        job.append(code, 0.0, format(ink));
        job.append(comment, 0.0, format(palette.faint));
    }
    ui.fonts_mut(|fonts| fonts.layout_job(job))
}

fn format(color: Color32) -> TextFormat {
    TextFormat::simple(FontId::monospace(FONT_SIZE), color)
}

/// A number at each line, and the sign of a problem at the lines that have one.
fn line_marks(ui: &Ui, desk: &Desk, galley: &Galley, at: egui::Pos2, view: &DocumentView) {
    let (painter, palette) = (ui.painter(), desk.palette);
    for (index, row) in galley.rows.iter().enumerate() {
        let line = index + 1;
        let y = at.y + row.rect().center().y;
        let worst =
            view.problems.iter().filter(|problem| problem.line == Some(line)).map(|problem| problem.severity).max();
        let ink = worst.map_or(palette.faint, |severity| color(severity, palette));
        let number = FontId::monospace(SMALL - 0.5);
        painter.text(pos2(at.x - 10.0, y), Align2::RIGHT_CENTER, line.to_string(), number, ink);
        if let Some(severity) = worst {
            painter.text(
                pos2(at.x - MARGIN + 2.0, y),
                Align2::LEFT_CENTER,
                mark(severity),
                FontId::proportional(SMALL),
                ink,
            );
            let x = (at.x)..=(at.x + row.rect().width());
            painter.hline(x, at.y + row.rect().bottom() - 1.0, Stroke::new(1.5, ink));
        }
    }
}

fn mark(severity: Severity) -> &'static str {
    if severity == Severity::Error { "\u{00D7}" } else { "!" }
}

fn problems_height(view: &DocumentView, whole: f32) -> f32 {
    if view.problems.is_empty() { 0.0 } else { (view.problems.len() as f32 * 52.0 + 14.0).min(whole * 0.4) }
}

fn problems(ui: &mut Ui, rect: Rect, desk: &Desk, view: &DocumentView) {
    let mut child = ui.new_child(UiBuilder::new().max_rect(rect));
    ScrollArea::vertical().id_salt("problems").auto_shrink(false).show(&mut child, |ui| {
        ui.spacing_mut().item_spacing = vec2(0.0, 2.0);
        for problem in &view.problems {
            show_problem(ui, desk, problem);
        }
    });
}

fn show_problem(ui: &mut Ui, desk: &Desk, problem: &LineProblem) {
    let palette = desk.palette;
    let line = problem.line.map_or_else(String::new, |line| format!("line {line}: "));
    let what = format!("{}: {line}{}", word(problem.severity), problem.what);
    ui.add(Label::new(RichText::new(what).color(color(problem.severity.max(Severity::Warning), palette))).wrap());
    if !problem.mend.is_empty() {
        ui.add(Label::new(caption(format!("to mend: {}", problem.mend), palette)).wrap());
    }
    ui.add_space(4.0);
}
