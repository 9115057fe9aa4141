//! What every part of the editor is handed.

use super::action::{Action, ControlId};
use super::memory::Memory;
use super::model::ViewModel;
use super::palette::Palette;

/// What every part of the editor is handed.
pub struct Desk<'a> {
    /// What is shown.
    pub model: &'a ViewModel,
    /// What only the screen knows.
    pub memory: &'a mut Memory,
    /// What the user did.
    pub actions: &'a mut Vec<Action>,
    /// The theme's colours.
    pub palette: &'static Palette,
}

impl Desk<'_> {
    /// The user did something.
    pub fn act(&mut self, action: Action) {
        self.actions.push(action);
    }

    /// The user put a control somewhere, in one go.
    pub fn put(&mut self, control: ControlId, value: f64) {
        self.actions.extend([Action::Begin(control), Action::Set(control, value), Action::End(control)]);
    }
}
