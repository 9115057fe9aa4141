//! Blind comparison: X is A or B by chance. Nothing here knows which.

use egui::{Button, RichText, Ui, vec2};

use crate::editor::action::Action;
use crate::editor::desk::Desk;
use crate::editor::model::{BenchId, Blind};
use crate::editor::palette::Palette;
use crate::editor::paper::caption;
use crate::editor::style::{BODY, TITLE};

/// Right answers that leave less than one chance in twenty to guessing, by number of trials: the exact one-sided
/// binomial probability with p = 1/2 of 7 of 8 is .0352, of 9 of 10 .0107, of 12 of 16 .0384.
const PLANS: [(usize, usize); 3] = [(8, 7), (10, 9), (16, 12)];

/// Before, during and after the comparison.
pub fn show(ui: &mut Ui, desk: &mut Desk) {
    ui.spacing_mut().item_spacing.y = 8.0;
    match &desk.model.blind {
        Blind::Off => before(ui, desk),
        Blind::Running { answered, trials } => during(ui, desk, *answered, *trials),
        Blind::Done { trials, right, probability, verdict } => {
            ui.label(RichText::new(format!("{right} of {trials} right")).size(TITLE + 6.0));
            ui.label(format!("By guessing, so many or more come about with probability p = {probability}."));
            ui.label(RichText::new(verdict).size(TITLE));
            ui.add_space(6.0);
            before(ui, desk);
        }
    }
}

fn before(ui: &mut Ui, desk: &mut Desk) {
    ui.label(
        "X is bench A or bench B, drawn by chance for each trial. Listen to A, B and X as often as you like, then say \
         which X was. Loudness match stays on, and nothing on the screen tells.",
    );
    ui.label(caption("How many trials?", desk.palette));
    for (trials, needed) in PLANS {
        ui.horizontal(|ui| {
            if ui.add(Button::new(format!("{trials} trials")).min_size(vec2(92.0, 26.0))).clicked() {
                desk.act(Action::StartBlind { trials });
            }
            ui.label(caption(format!("{needed} right leave less than 5 % to guessing"), desk.palette));
        });
    }
}

fn during(ui: &mut Ui, desk: &mut Desk, answered: usize, trials: usize) {
    ui.label(RichText::new(format!("Trial {} of {trials}", answered + 1)).size(TITLE + 6.0));
    tally(ui, desk.palette, answered, trials);
    ui.label("Listen to A, X and B with the buttons above or the keys A, X, B. Then:");
    ui.horizontal(|ui| {
        for bench in BenchId::BOTH {
            let color = desk.palette.bench(bench);
            let text = RichText::new(format!("X is {}", bench.letter())).size(TITLE).color(color);
            let button = Button::new(text).min_size(vec2(96.0, 40.0)).stroke(egui::Stroke::new(1.5, color));
            if ui.add(button.fill(desk.palette.sheet)).clicked() {
                desk.act(Action::AnswerBlind(bench));
            }
        }
    });
    ui.add_space(10.0);
    let tip = "Ends the comparison. What was answered so far does not count.";
    if ui.add(Button::new(RichText::new("give up").size(BODY))).on_hover_text(tip).clicked() {
        desk.act(Action::StopBlind);
    }
}

/// A box per trial, filled when answered; never whether rightly.
fn tally(ui: &mut Ui, palette: &Palette, answered: usize, trials: usize) {
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), 16.0), egui::Sense::hover());
    for trial in 0..trials {
        let at = egui::Rect::from_min_size(rect.min + vec2(trial as f32 * 16.0, 2.0), vec2(11.0, 11.0));
        let fill = if trial < answered { palette.ink } else { palette.sheet };
        ui.painter().rect(at, 1.0, fill, egui::Stroke::new(1.0, palette.faint), egui::StrokeKind::Inside);
    }
}
