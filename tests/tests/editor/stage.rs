//! A harness with an editor in it.

use dryfit_plugin::editor::{self, Action, ControlId, Memory, OPENS_AT, ViewModel};
use egui::Pos2;
use egui::accesskit::Role;
use egui_kittest::kittest::{NodeT, Queryable};
use egui_kittest::{Harness, Node};

/// Seconds from frame to frame: two clicks in as many frames are a double click.
const FRAME: f32 = 1.0 / 60.0;

/// An editor being tried: what it shows, what it remembers, what it said the user did.
#[derive(Default)]
pub struct Stage {
    /// What it shows.
    pub model: ViewModel,
    /// What it remembers.
    pub memory: Memory,
    /// What the user did, since the test last looked.
    pub actions: Vec<Action>,
}

/// Puts an editor of that size on the stage, without pixels.
pub fn stage(model: ViewModel, memory: Memory, size: [f32; 2]) -> Harness<'static, Stage> {
    stage_at(model, memory, size, 1.0)
}

/// The same at that many pixels to a point.
pub fn stage_at(model: ViewModel, memory: Memory, size: [f32; 2], pixels: f32) -> Harness<'static, Stage> {
    let builder =
        Harness::builder().with_size(size).with_pixels_per_point(pixels).with_step_dt(FRAME).with_max_steps(60);
    builder.build_ui_state(paint, Stage { model, memory, actions: Vec::new() })
}

/// The same, to be rendered at that many pixels to a point.
pub fn drawn_stage(model: ViewModel, memory: Memory, size: [f32; 2], pixels: f32) -> Harness<'static, Stage> {
    let builder =
        Harness::builder().with_size(size).with_pixels_per_point(pixels).with_step_dt(FRAME).with_max_steps(60).wgpu();
    builder.build_ui_state(paint, Stage { model, memory, actions: Vec::new() })
}

fn paint(ui: &mut egui::Ui, stage: &mut Stage) {
    // The harness leaves a margin; a plug-in's window has none.
    let screen = ui.ctx().content_rect();
    let mut ui = ui.new_child(egui::UiBuilder::new().max_rect(screen));
    ui.set_clip_rect(screen);
    editor::show(&mut ui, &stage.model, &mut stage.memory, &mut stage.actions);
}

/// The control, button or field of that name; a written label beside it may have the same.
pub fn named<'h>(harness: &'h Harness<'static, Stage>, name: &'h str) -> Node<'h> {
    let mut all = harness.query_all_by_label(name).filter(|node| node.accesskit_node().role() != Role::Label);
    let found = all.next().unwrap_or_else(|| panic!("nothing is called `{name}`"));
    assert!(all.next().is_none(), "two things are called `{name}`");
    found
}

/// An editor of the size it opens at.
pub fn wide(model: ViewModel) -> Harness<'static, Stage> {
    let mut harness = stage(model, Memory::default(), OPENS_AT);
    harness.run();
    harness
}

/// What the user did since the last look.
pub fn did(harness: &mut Harness<'static, Stage>) -> Vec<Action> {
    harness.run();
    std::mem::take(&mut harness.state_mut().actions)
}

/// Clicks on what is called so.
pub fn click(harness: &mut Harness<'static, Stage>, name: &str) -> Vec<Action> {
    named(harness, name).click();
    did(harness)
}

/// Where a control of that name is.
pub fn at(harness: &Harness<'static, Stage>, name: &str) -> Pos2 {
    named(harness, name).rect().center()
}

/// A control put somewhere in one go.
pub fn put(control: ControlId, value: f64) -> Vec<Action> {
    vec![Action::Begin(control), Action::Set(control, value), Action::End(control)]
}
