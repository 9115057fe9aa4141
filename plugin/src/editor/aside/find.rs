//! The sounds that are wanted, as a table; the wiring for them, or why there is none.

use egui::{Align, Button, Label, Layout, Rect, RichText, ScrollArea, Ui, UiBuilder, vec2};

use super::text;
use crate::editor::action::{Action, DocumentId};
use crate::editor::choice::choose;
use crate::editor::desk::Desk;
use crate::editor::model::{BenchId, Choice, FoundWords, Search};
use crate::editor::paper::{caption, split_left, split_top};
use crate::editor::style::BODY;

/// Where the table comes from; the table; the selector; what the search came to.
pub fn show(ui: &mut Ui, rect: Rect, desk: &mut Desk) {
    let view = &desk.model.find;
    let (head, rest) = split_top(rect, 24.0, 4.0);
    let (from, rest) = split_top(rest, 24.0, 6.0);
    text::buttons(ui, head, desk, DocumentId::Sounds, &view.document);
    start_from(ui, from, desk);
    let said = match view.search {
        Search::Idle => 36.0,
        Search::Running(_) => 24.0,
        Search::Done(_) => rest.height() * 0.42,
    };
    let (table, rest) = split_top(rest, rest.height() - said - 40.0, 8.0);
    text::show(ui, table, desk, DocumentId::Sounds, &view.document);
    let (ask, said) = split_top(rest, 24.0, 8.0);
    show_ask(ui, ask, desk);
    show_search(ui, said, desk);
}

/// Tables to begin with: presets and the user's own, and what the benches give.
fn start_from(ui: &mut Ui, rect: Rect, desk: &mut Desk) {
    let (list, buttons) = split_left(rect, rect.width() - 2.0 * 87.0 - 12.0, 6.0);
    let choices = &desk.model.choices.sounds;
    let tip = "Takes a table that is there already in place of this text. Undo brings it back.";
    if let Some(name) = choose(ui, list, "sounds to begin with", "begin with …".into(), choices, "", tip) {
        desk.act(Action::ChooseSounds(name));
    }
    let (a, b) = split_left(buttons, 87.0, 6.0);
    for (place, bench) in [(a, BenchId::A), (b, BenchId::B)] {
        let button = Button::new(format!("as bench {}", bench.letter())).small();
        let tip = "Takes what this bench does, read off its circuit, in place of this text.";
        if ui.put(place, button).on_hover_text(tip).clicked() {
            desk.act(Action::SoundsOfBench(bench));
        }
    }
}

/// The selector at hand, and the search.
fn show_ask(ui: &mut Ui, rect: Rect, desk: &mut Desk) {
    let view = &desk.model.find;
    let (list, button) = split_left(rect, rect.width() - 124.0, 6.0);
    let any = Choice { title: "the smallest selector that will do".into(), ..Choice::default() };
    let choices: Vec<Choice> = std::iter::once(any).chain(desk.model.choices.selectors.iter().cloned()).collect();
    let chosen = view.selector.as_deref().unwrap_or_default();
    let title = choices.iter().find(|choice| choice.name == chosen).map_or(chosen, |choice| choice.title.as_str());
    let tip = "The selector you have, or would buy.";
    if let Some(name) = choose(ui, list, "selector to be wired", title.into(), &choices, chosen, tip) {
        desk.act(Action::ChooseSwitch(Some(name).filter(|name| !name.is_empty())));
    }
    if matches!(view.search, Search::Running(_)) {
        let tip = "Ends the search with what it has.";
        if ui.put(button, Button::new("give up")).on_hover_text(tip).clicked() {
            desk.act(Action::GiveUpFinding);
        }
        return;
    }
    let ink = if view.ready { desk.palette.ink } else { desk.palette.faint };
    let find = Button::new(RichText::new("find a wiring").color(ink));
    let tip = if view.ready {
        "Searches everything that may be joined to the selector's lugs. The sound is not touched by it."
    } else {
        "Mend what is wrong with the table first."
    };
    let mut child = ui.new_child(UiBuilder::new().max_rect(button).layout(Layout::top_down_justified(Align::Center)));
    let response = child.add_enabled(view.ready, find.min_size(button.size()));
    if response.on_hover_text(tip).on_disabled_hover_text(tip).clicked() {
        desk.act(Action::Find);
    }
}

fn show_search(ui: &mut Ui, rect: Rect, desk: &mut Desk) {
    let mut child = ui.new_child(UiBuilder::new().max_rect(rect));
    match &desk.model.find.search {
        Search::Idle => {
            let how = "A sound is pickups joined by + or `in series with`, each perhaps reversed, or silent. A knob is a \
                       volume, a tone, `blend PICKUP` or nothing, perhaps `in 1 2`.";
            child.add(Label::new(caption(how, desk.palette)).wrap());
        }
        Search::Running(progress) => {
            child.add(Label::new(caption(progress, desk.palette)).truncate());
        }
        Search::Done(words) => {
            ScrollArea::vertical()
                .id_salt("found")
                .auto_shrink(false)
                .show(&mut child, |ui| show_words(ui, desk, words));
        }
    }
}

fn show_words(ui: &mut Ui, desk: &mut Desk, words: &FoundWords) {
    let palette = desk.palette;
    ui.spacing_mut().item_spacing = vec2(6.0, 4.0);
    ui.add(Label::new(RichText::new(&words.verdict).size(BODY + 1.0)).wrap());
    if words.outdated {
        let text = RichText::new("The table, the selector or the guitar was changed since.").color(palette.warning);
        ui.add(Label::new(text).wrap());
    }
    // What would do instead stands before the buttons that put it on a bench.
    let (instead, others) = words.advice.split_at(words.advice.len().min(1));
    for advice in instead {
        ui.add(Label::new(advice).wrap());
    }
    if words.wiring {
        put_on_a_bench(ui, desk);
    }
    for advice in others {
        ui.add(Label::new(advice).wrap());
    }
    for reason in &words.reasons {
        ui.add(Label::new(caption(reason, palette)).wrap());
    }
}

fn put_on_a_bench(ui: &mut Ui, desk: &mut Desk) {
    ui.horizontal(|ui| {
        for bench in BenchId::BOTH {
            let text = RichText::new(format!("put it on bench {}", bench.letter())).color(desk.palette.bench(bench));
            let tip = "The wiring comes onto the bench as a document like any other: it sounds, is drawn, and can be edited. \
                       Undo takes it off again.";
            if ui.add(Button::new(text)).on_hover_text(tip).clicked() {
                desk.act(Action::PutFound(bench));
            }
        }
    });
}
