//! Documents as text: typed, pasted, saved.

use dryfit_dsp::document::{DocumentKind, Guitar, Sounds, Wiring};

use super::blind::bench as of_id;
use super::gestures::Gestures;
use super::{App, Draft, problems};
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
    pub(super) fn replace_text(&mut self, document: DocumentId, name: &str, text: &str, host: &mut dyn Gestures) {
        match document {
            DocumentId::Bench(id) => self.edit_text(of_id(id), name, text, host),
            DocumentId::Sounds => self.want_sounds(text, host),
            DocumentId::Guitar => {
                let edited = self.desk.project().with_guitar_text(name, text);
                self.finish(format!("guitar {name}"), edited, None, String::new(), host);
            }
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
            DocumentId::Guitar => {
                let guitar = self.desk.project().guitar.clone();
                let title = Guitar::read(&guitar.name, &guitar.text).map(|guitar| guitar.title);
                (title.unwrap_or(guitar.name), guitar.text)
            }
        };
        self.trouble = self.documents.save(kind(document), &title, &text).err();
    }
}

/// The kind of a document that is shown as text.
pub(super) fn kind(document: DocumentId) -> DocumentKind {
    match document {
        DocumentId::Bench(_) => DocumentKind::Wiring,
        DocumentId::Sounds => DocumentKind::Sounds,
        DocumentId::Guitar => DocumentKind::Guitar,
    }
}

fn letter(bench: Bench) -> &'static str {
    if bench == Bench::A { "A" } else { "B" }
}
