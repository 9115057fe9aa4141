//! Files that the user picks: the dialog, and reading what was picked, on a thread of their own. The host's must not wait for them.

use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, Sender, channel};

use dryfit_bundler::audio::{self, ReadError, Take};

use super::gestures::Gestures;
use super::{App, Documents, texts};
use crate::editor::DocumentId;

/// What a file is picked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Purpose {
    /// It takes a document's place.
    Document(DocumentId),
    /// It was recorded in this position of the selector, from 1.
    Pass(u8),
}

/// A file that was picked, and what is in it or why there is nothing.
struct Opened {
    path: PathBuf,
    content: Result<Content, String>,
}

enum Content {
    Text(DocumentId, String),
    Pass(u8, Take),
}

/// Where files that were picked arrive.
pub(super) struct Files {
    sender: Sender<Opened>,
    opened: Receiver<Opened>,
}

impl Default for Files {
    fn default() -> Self {
        let (sender, opened) = channel();
        Self { sender, opened }
    }
}

impl App {
    /// Takes what arrived meanwhile: files that were picked.
    pub fn receive(&mut self, host: &mut dyn Gestures) {
        while let Ok(Opened { path, content }) = self.files.opened.try_recv() {
            self.shown = None;
            match content {
                Ok(Content::Text(document, text)) => {
                    let name = path.file_stem().unwrap_or_default().to_string_lossy().into_owned();
                    self.replace_text(document, &name, &text, host);
                }
                Ok(Content::Pass(position, take)) => self.take_pass(position, &path, take),
                Err(why) => self.trouble = Some(why),
            }
        }
    }

    /// Opens a file that was picked: what is in it is there when [`App::receive`] is next called, or why nothing is.
    pub fn pick(&self, purpose: Purpose, path: PathBuf) {
        pick(&self.files.sender, purpose, path);
    }

    /// Lets the user pick a file.
    pub(super) fn open(&mut self, purpose: Purpose) {
        let sender = self.files.sender.clone();
        let dialog = move || {
            if let Some(path) = dialog(purpose).pick_file() {
                pick(&sender, purpose, path);
            }
        };
        if std::thread::Builder::new().name("dryfit-open".into()).spawn(dialog).is_err() {
            self.trouble = Some("the file dialog cannot be opened: the system has no thread to give".into());
        }
    }
}

fn dialog(purpose: Purpose) -> rfd::FileDialog {
    match purpose {
        Purpose::Document(document) => {
            let what = texts::kind(document).name();
            rfd::FileDialog::new().add_filter(what, &["toml"]).set_title(format!("Open a {what}"))
        }
        Purpose::Pass(position) => rfd::FileDialog::new()
            .add_filter("recording", &["wav", "wave", "aif", "aiff", "aifc", "flac"])
            .set_title(format!("Open what was recorded in position {position}")),
    }
}

fn pick(editor: &Sender<Opened>, purpose: Purpose, path: PathBuf) {
    let content = match purpose {
        Purpose::Document(document) => Documents::read(&path).map(|text| Content::Text(document, text)),
        Purpose::Pass(position) => read(&path).map(|take| Content::Pass(position, take)).map_err(|why| why.to_string()),
    };
    // The editor may be gone by then; nobody waits for the file any more.
    let _ = editor.send(Opened { path, content });
}

/// The guitar in a recording, as the command line takes it when no channel is named.
fn read(path: &Path) -> Result<Take, ReadError> {
    let (take, _) = audio::read(path)?.take(None)?;
    Ok(take)
}
