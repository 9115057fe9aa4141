//! Documents as text: typed, pasted, opened from a file, saved.

use std::path::PathBuf;
use std::sync::mpsc::Sender;

use dryfit_dsp::document::{DocumentKind, Sounds, Wiring};

use super::blind::bench as of_id;
use super::gestures::Gestures;
use super::{App, Documents, Draft, Opened, problems};
use crate::editor::DocumentId;
use crate::session::Bench;

impl App {
    pub(super) fn edit_text(&mut self, bench: Bench, name: &str, text: &str, host: &mut dyn Gestures) {
        let edited = self.desk.project().with_text(bench, name, text, self.documents.library());
        match edited {
            Ok(project) => {
                self.drafts[bench.index()] = None;
                let revision = self.revisions[bench.index()];
                self.take_over(format!("document of {}", letter(bench)), project, host);
                // Typing is no change from outside.
                if name == "edited" {
                    self.revisions[bench.index()] = revision;
                }
            }
            Err(found) => {
                let draft = Draft { text: text.into(), problems: problems::lines(&found) };
                self.drafts[bench.index()] = Some(draft);
                if name != "edited" {
                    self.revisions[bench.index()] += 1;
                }
            }
        }
    }

    /// A text from elsewhere takes a document's place.
    fn replace_text(&mut self, document: DocumentId, name: &str, text: &str, host: &mut dyn Gestures) {
        match document {
            DocumentId::Bench(id) => self.edit_text(of_id(id), name, text, host),
            DocumentId::Sounds => self.want_sounds(text, host),
        }
    }

    pub(super) fn paste(&mut self, document: DocumentId, host: &mut dyn Gestures) {
        use copypasta::ClipboardProvider;
        let clipboard = copypasta::ClipboardContext::new().and_then(|mut clipboard| clipboard.get_contents());
        match clipboard {
            Ok(text) => self.replace_text(document, "pasted", &text, host),
            Err(error) => self.trouble = Some(format!("nothing can be pasted: {error}")),
        }
    }

    /// The dialog runs on a thread of its own: the host's must not wait for it.
    pub(super) fn open(&mut self, document: DocumentId) {
        let sender = self.opened.0.clone();
        let what = kind(document).name();
        let dialog = move || {
            let dialog = rfd::FileDialog::new().add_filter(what, &["toml"]).set_title(format!("Open a {what}"));
            if let Some(path) = dialog.pick_file() {
                pick(&sender, document, path);
            }
        };
        if std::thread::Builder::new().name("dryfit-open".into()).spawn(dialog).is_err() {
            self.trouble = Some("the file dialog cannot be opened; paste the text instead".into());
        }
    }

    pub(super) fn take_opened(&mut self, opened: Opened, host: &mut dyn Gestures) {
        self.shown = None;
        let name = opened.path.file_stem().unwrap_or_default().to_string_lossy().into_owned();
        match opened.text {
            Ok(text) => self.replace_text(opened.document, &name, &text, host),
            Err(why) => self.trouble = Some(why),
        }
    }

    pub(super) fn save(&mut self, document: DocumentId) {
        let (title, text) = match document {
            DocumentId::Bench(id) => {
                let wiring = self.desk.project().bench(of_id(id)).wiring.clone();
                let title = Wiring::read(&wiring.name, &wiring.text).map(|wiring| wiring.title);
                (title.unwrap_or(wiring.name), wiring.text)
            }
            DocumentId::Sounds => {
                let text = self.wanted().sounds;
                (Sounds::read("", &text).map(|sounds| sounds.title).unwrap_or_default(), text)
            }
        };
        self.trouble = self.documents.save(kind(document), &title, &text).err();
    }
}

/// Reads a file and sends what is in it, or why nothing is, to the editor.
pub(super) fn pick(editor: &Sender<Opened>, document: DocumentId, path: PathBuf) {
    let text = Documents::read(&path);
    // The editor may be gone by then; nobody waits for the file any more.
    let _ = editor.send(Opened { document, path, text });
}

fn kind(document: DocumentId) -> DocumentKind {
    match document {
        DocumentId::Bench(_) => DocumentKind::Wiring,
        DocumentId::Sounds => DocumentKind::Sounds,
    }
}

fn letter(bench: Bench) -> &'static str {
    if bench == Bench::A { "A" } else { "B" }
}
