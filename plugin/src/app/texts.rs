//! Documents as text: typed, pasted, opened from a file, saved.

use std::path::PathBuf;
use std::sync::mpsc::Sender;

use dryfit_dsp::document::Wiring;

use super::gestures::Gestures;
use super::{App, Documents, Draft, Opened, problems};
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

    pub(super) fn paste(&mut self, bench: Bench, host: &mut dyn Gestures) {
        use copypasta::ClipboardProvider;
        let clipboard = copypasta::ClipboardContext::new().and_then(|mut clipboard| clipboard.get_contents());
        match clipboard {
            Ok(text) => self.edit_text(bench, "pasted", &text, host),
            Err(error) => self.trouble = Some(format!("nothing can be pasted: {error}")),
        }
    }

    /// The dialog runs on a thread of its own: the host's must not wait for it.
    pub(super) fn open(&mut self, bench: Bench) {
        let sender = self.opened.0.clone();
        let dialog = move || {
            let chosen = rfd::FileDialog::new().add_filter("wiring", &["toml"]).set_title("Open a wiring").pick_file();
            if let Some(path) = chosen {
                pick(&sender, bench, path);
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
            Ok(text) => self.edit_text(opened.bench, &name, &text, host),
            Err(why) => self.trouble = Some(why),
        }
    }

    pub(super) fn save(&mut self, bench: Bench) {
        let document = self.desk.project().bench(bench).wiring.clone();
        let title = Wiring::read(&document.name, &document.text).map(|wiring| wiring.title);
        let saved = self.documents.save(&title.unwrap_or_else(|_| document.name.clone()), &document.text);
        self.trouble = saved.err();
    }
}

/// Reads a file and sends what is in it, or why nothing is, to the editor.
pub(super) fn pick(editor: &Sender<Opened>, bench: Bench, path: PathBuf) {
    let text = Documents::read(&path);
    // The editor may be gone by then; nobody waits for the file any more.
    let _ = editor.send(Opened { bench, path, text });
}

fn letter(bench: Bench) -> &'static str {
    if bench == Bench::A { "A" } else { "B" }
}
