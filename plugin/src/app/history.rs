//! Undo and redo of the project.

use std::sync::Arc;

use crate::session::Project;

/// What was on the bench before, and what was taken back.
#[derive(Debug, Default)]
pub struct History {
    before: Vec<(String, Arc<Project>)>,
    after: Vec<(String, Arc<Project>)>,
}

impl History {
    /// Steps that are kept.
    const MOST: usize = 200;
    /// The sounds table was typed into.
    pub const TYPED: &'static str = "sounds table typed";

    /// An edit, in words, with the project before it. What is typed into the sounds table letter by letter is one edit.
    pub fn note(&mut self, what: String, before: Arc<Project>) {
        self.after.clear();
        if what == Self::TYPED && self.undoable() == Some(Self::TYPED) {
            return;
        }
        self.before.push((what, before));
        if self.before.len() > Self::MOST {
            self.before.remove(0);
        }
    }

    /// Takes the last edit back: the project before it.
    pub fn undo(&mut self, now: Arc<Project>) -> Option<Arc<Project>> {
        let (what, before) = self.before.pop()?;
        self.after.push((what, now));
        Some(before)
    }

    /// Does it again.
    pub fn redo(&mut self, now: Arc<Project>) -> Option<Arc<Project>> {
        let (what, after) = self.after.pop()?;
        self.before.push((what, now));
        Some(after)
    }

    /// What undo would take back.
    pub fn undoable(&self) -> Option<&str> {
        self.before.last().map(|(what, _)| what.as_str())
    }

    /// What redo would do again.
    pub fn redoable(&self) -> Option<&str> {
        self.after.last().map(|(what, _)| what.as_str())
    }
}
