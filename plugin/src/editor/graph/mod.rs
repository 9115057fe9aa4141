//! The response plot.

mod curves;
mod grid;
mod heard;
mod readout;
mod scale;

use egui::accesskit::Role;
use egui::{Align, Button, Rect, Sense, Ui, WidgetInfo, pos2};

use super::action::Action;
use super::desk::Desk;
use super::header::line_sample;
use super::model::{HeardView, Listen};
use super::paper::{caption, cell, split_left, split_top};
use scale::Scale;

/// Height below which legend and title share a line.
const LOW_HEIGHT: f32 = 200.0;

/// The plot with its legend.
pub fn show(ui: &mut Ui, rect: Rect, desk: &mut Desk) {
    let (head, rest) = split_top(rect, 22.0, 6.0);
    let switches = head.with_min_x(head.right() - if desk.model.note_following.is_some() { 290.0 } else { 180.0 });
    let beside = head.with_max_x(switches.left() - 8.0);
    show_switches(ui, switches, desk);
    let rest = match desk.model.heard {
        HeardView::Off => rest,
        _ => {
            let (line, rest) = split_top(rest, heard::HEIGHT, 6.0);
            heard::show(ui, line, desk);
            rest
        }
    };
    // Where there is little height, the legend takes the title's place and the plot takes the legend's.
    let low = rest.height() < LOW_HEIGHT;
    if low {
        legend(ui, beside, desk);
    } else {
        cell(ui, beside, caption(&desk.model.graph.title, desk.palette), Align::Min);
        legend(ui, rest.with_min_y(rest.bottom() - 20.0).with_min_x(rest.left() + 32.0), desk);
    }
    let plot = rest.with_max_y(rest.bottom() - if low { 18.0 } else { 40.0 });
    let plot = Rect::from_min_max(pos2(plot.left() + 32.0, plot.top() + 4.0), pos2(plot.right() - 10.0, plot.bottom()));
    let scale = Scale { plot, range_db: desk.model.graph.range_db };
    let response = ui.interact(plot, ui.scope_id().with("plot"), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Figure, true, "response plot"));
    curves::spectrum(&ui.painter().with_clip_rect(plot), &scale, desk);
    grid::draw(ui, &scale, desk.palette);
    curves::draw(&ui.painter().with_clip_rect(plot), &scale, desk);
    if let Some(pointer) = response.hover_pos() {
        readout::draw(ui, &scale, desk, pointer);
    }
}

fn show_switches(ui: &mut Ui, rect: Rect, desk: &mut Desk) {
    let mut child =
        ui.new_child(egui::UiBuilder::new().max_rect(rect).layout(egui::Layout::right_to_left(Align::Center)));
    let mut toggle = |on: &mut bool, text: &str, tip: &str| {
        let clicked = child.add(Button::selectable(*on, text).frame_when_inactive(true)).on_hover_text(tip).clicked();
        *on ^= clicked;
        clicked
    };
    toggle(&mut desk.memory.bands, "tolerance", "Where the curves can lie with the parts' tolerances.");
    toggle(&mut desk.memory.difference, "difference", "B minus A.");
    if let Some(following) = desk.model.note_following {
        // One key for three states: off, as it plays, looking ahead.
        let ahead = following && desk.model.look_ahead;
        let (text, tip) = match (following, ahead) {
            (_, true) => {
                ("looking ahead", "Follows the notes and hears them before you do. Again: no following, no latency.")
            }
            (true, _) => (
                "note following",
                "Follows the notes. Again: looks 64 ms ahead, truer, with latency that the DAW makes up for.",
            ),
            _ => (
                "note following",
                "Follows which strings sound, so that another pickup's place on the string can be estimated note by note.",
            ),
        };
        if toggle(&mut { following }, text, tip) {
            match (following, ahead) {
                (false, _) => desk.act(Action::FollowNotes(true)),
                (true, false) => desk.act(Action::LookAhead(true)),
                (true, true) => {
                    desk.act(Action::LookAhead(false));
                    desk.act(Action::FollowNotes(false));
                }
            }
        }
    }
}

fn legend(ui: &mut Ui, rect: Rect, desk: &Desk) {
    let narrow = rect.width() < 420.0;
    let entries = [
        (Listen::A, if narrow { "A" } else { "bench A" }, desk.palette.a),
        (Listen::B, if narrow { "B" } else { "bench B" }, desk.palette.b),
        (Listen::Dry, "as recorded", desk.palette.dry),
    ];
    let mut rest = rect;
    for (line, text, color) in entries {
        let sample;
        (sample, rest) = split_left(rest, 30.0, 6.0);
        line_sample(ui, [sample.left_center(), sample.right_center()], line, color);
        let end = cell(ui, rest, caption(text, desk.palette), Align::Min).rect.right();
        rest = rest.with_min_x((end + 16.0).min(rest.right()));
    }
    if desk.memory.difference && rest.width() > 80.0 {
        let sample;
        (sample, rest) = split_left(rest, 30.0, 6.0);
        curves::difference_line(ui.painter(), &[sample.left_center(), sample.right_center()], desk.palette);
        let end = cell(ui, rest, caption("B \u{2212} A", desk.palette), Align::Min).rect.right();
        rest = rest.with_min_x((end + 16.0).min(rest.right()));
    }
    let shown = !desk.model.graph.spectrum.is_empty() && rest.width() > 110.0;
    let spectrum = if shown { "behind: the take" } else { "" };
    cell(ui, rest.with_max_x(rest.right() - 10.0), caption(spectrum, desk.palette), Align::Max);
}
