//! The editor's window in the host.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::{Arc, PoisonError, RwLock};
use std::time::Duration;

use nih_plug::context::gui::GuiContext;
use nih_plug::prelude::ResizeHint;
use nih_plug_egui::{EguiEditor, EguiEditorState, EguiNiceSettings, Frame, NiceEguiApp, RepaintNotifier, baseview};

use crate::app::{App, HostGestures};
use crate::editor::{self, Memory};

/// The window around an [`App`].
pub struct Window {
    app: App,
    memory: Memory,
    /// What the host saves of it, and what that was when it was last looked at.
    screen: Arc<RwLock<Memory>>,
    saved: Memory,
    context: Option<GuiContext>,
    /// Why the picture could not be painted; shown instead of it.
    fault: Option<String>,
}

impl Window {
    /// While sound runs, the picture follows it this often.
    const PERIOD: Duration = Duration::from_millis(33);
    /// While nothing moves, it is looked this often whether sound runs again; what the host moves is painted at once.
    const REST: Duration = Duration::from_secs(1);

    /// An editor that the framework can open.
    pub fn editor(app: App, screen: Arc<RwLock<Memory>>) -> Option<EguiEditor<Self>> {
        let [width, height] = editor::OPENS_AT;
        let size = nih_plug::editor::dpi::LogicalSize::new(width, height);
        let settings = EguiNiceSettings::new().with_resize_hint(ResizeHint::RESIZABLE);
        let (memory, saved) = (Memory::default(), Memory::default());
        let window = Self { app, memory, screen, saved, context: None, fault: None };
        let state = EguiEditorState::from_size(size, 1.0);
        nih_plug_egui::create_egui_editor(state, RepaintNotifier::new(), settings, window)
    }

    /// Takes over what the host restored.
    fn adopt(&mut self) {
        let screen = self.screen.read().unwrap_or_else(PoisonError::into_inner);
        if *screen != self.saved {
            self.saved = screen.clone();
            self.memory = std::mem::take(&mut self.memory).keeping(&self.saved);
        }
    }

    /// Has the host save what changed.
    fn keep(&mut self) {
        let kept = self.memory.kept();
        if kept != self.saved {
            *self.screen.write().unwrap_or_else(PoisonError::into_inner) = kept.clone();
            self.saved = kept;
        }
    }

    fn paint(&mut self, ui: &mut egui::Ui) {
        self.adopt();
        let mut actions = Vec::new();
        self.app.want_bands(self.memory.bands);
        let Some(context) = &self.context else { return };
        let mut host = HostGestures(context.param_setter());
        self.app.receive(&mut host);
        let moves = self.app.moves();
        editor::show(ui, self.app.model(), &mut self.memory, &mut actions);
        let acted = !actions.is_empty();
        actions.into_iter().for_each(|action| self.app.act(action, &mut host));
        self.keep();
        match (acted, moves) {
            (true, _) => ui.ctx().request_repaint(),
            (false, true) => ui.ctx().request_repaint_after(Self::PERIOD),
            (false, false) => ui.ctx().request_repaint_after(Self::REST),
        }
    }
}

impl NiceEguiApp for Window {
    fn build(&mut self, _: egui::Context, context: GuiContext, _: &mut Frame) -> Result<(), baseview::HandlerError> {
        self.context = Some(context);
        Ok(())
    }

    /// A panic must not reach the host, which would end with it: the message takes the picture's place.
    fn ui(&mut self, ui: &mut egui::Ui, _: &mut Frame) {
        if let Some(fault) = &self.fault {
            ui.heading("The editor met a fault of its own.");
            ui.label("The sound is not touched by it, and what is on the bench is saved with your project. Close the editor and open it again.");
            ui.label(fault);
            if ui.button("Try again").clicked() {
                self.fault = None;
            }
            return;
        }
        if let Err(panic) = catch_unwind(AssertUnwindSafe(|| self.paint(ui))) {
            let text = panic.downcast_ref::<&str>().map(ToString::to_string);
            self.fault = text.or_else(|| panic.downcast_ref::<String>().cloned()).or_else(|| Some("unknown".into()));
        }
    }
}
