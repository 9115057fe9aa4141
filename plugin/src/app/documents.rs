//! Presets and the user's own documents.

use std::fs;
use std::path::{Path, PathBuf};

use dryfit_dsp::document::{DocumentKind, Library};

/// What can be chosen: the presets, and what lies in the user's folder.
#[derive(Debug, Clone)]
pub struct Documents {
    library: Library,
    own: Vec<(DocumentKind, String)>,
    folder: Option<PathBuf>,
}

impl Documents {
    /// Files larger than this are no documents, in bytes.
    const LARGEST: u64 = 1 << 20;

    /// Presets, and the documents in a folder laid out as `presets/` is.
    pub fn new(folder: Option<PathBuf>) -> Self {
        let mut documents = Self { library: Library::presets(), own: Vec::new(), folder };
        documents.look();
        documents
    }

    /// The user's folder for documents on this platform.
    pub fn usual_folder() -> Option<PathBuf> {
        dirs::config_dir().map(|folder| folder.join("dryfit"))
    }

    /// Everything that can be chosen.
    pub fn library(&self) -> &Library {
        &self.library
    }

    /// Whether a document is the user's own.
    pub fn is_own(&self, kind: DocumentKind, name: &str) -> bool {
        self.own.iter().any(|(other, own)| *other == kind && own == name)
    }

    /// Reads a text file.
    ///
    /// # Errors
    /// A sentence, when it is gone, too large or no text.
    pub fn read(path: &Path) -> Result<String, String> {
        let failed = |error: std::io::Error| format!("{} cannot be read: {error}", path.display());
        let size = fs::metadata(path).map_err(failed)?.len();
        if size > Self::LARGEST {
            return Err(format!("{} is too large for a document", path.display()));
        }
        fs::read_to_string(path).map_err(failed)
    }

    /// Saves a document among the user's own, under a name made from its title, and returns the name. Nothing of another name is
    /// touched; one of the same name is replaced.
    ///
    /// # Errors
    /// A sentence, when there is no place for it or it cannot be written.
    pub fn save(&mut self, kind: DocumentKind, title: &str, text: &str) -> Result<String, String> {
        let name = name(kind, title);
        let folder = self.folder.as_ref().ok_or("this system names no folder for your documents")?;
        let folder = folder.join(kind.folder());
        let path = folder.join(&name).with_extension("toml");
        let failed = |error: std::io::Error| format!("{} cannot be written: {error}", path.display());
        fs::create_dir_all(&folder).map_err(failed)?;
        // Beside its place first: a full disk must not take what was there.
        let unfinished = path.with_extension("part");
        fs::write(&unfinished, text).and_then(|()| fs::rename(&unfinished, &path)).map_err(|error| {
            let _ = fs::remove_file(&unfinished);
            failed(error)
        })?;
        self.add(kind, name.clone(), text);
        Ok(name)
    }

    fn look(&mut self) {
        let Some(folder) = self.folder.clone() else { return };
        for kind in DocumentKind::ALL {
            let files = fs::read_dir(folder.join(kind.folder())).into_iter().flatten().flatten();
            let tables = files.map(|file| file.path()).filter(|path| path.extension().is_some_and(|end| end == "toml"));
            for path in tables {
                let name = path.file_stem().unwrap_or_default().to_string_lossy().into_owned();
                if let Ok(text) = Self::read(&path) {
                    self.add(kind, name, &text);
                }
            }
        }
    }

    /// A preset is never hidden by a document of its name: that would change what a name means from machine to machine.
    fn add(&mut self, kind: DocumentKind, name: String, text: &str) {
        if self.is_own(kind, &name) || self.library.text(kind, &name).is_err() {
            self.library.insert(kind, &name, &name, text);
            if !self.is_own(kind, &name) {
                self.own.push((kind, name));
            }
        }
    }
}

/// A title as a file's name: lower case, words joined by dashes.
fn name(kind: DocumentKind, title: &str) -> String {
    let plain: String = title.to_lowercase().chars().map(|c| if c.is_alphanumeric() { c } else { ' ' }).collect();
    let name = plain.split_whitespace().collect::<Vec<_>>().join("-");
    if name.is_empty() { format!("my-{}", kind.name().replace(' ', "-")) } else { format!("my-{name}") }
}
