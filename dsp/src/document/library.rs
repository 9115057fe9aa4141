//! Documents by name: the presets, and what the user adds to them.

use std::collections::BTreeMap;

use include_dir::{Dir, include_dir};
use toml::de::DeTable;

use super::add_on::AddOn;
use super::guitar::Guitar;
use super::problem::{Problem, ProblemKind, Problems, Severity, shortened};
use super::sounds::Sounds;
use super::suggestion::suggestion;
use super::switch::Switch;
use super::wiring::Wiring;

static PRESETS: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/../presets");

/// Kinds of documents; each has a folder under `presets`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum DocumentKind {
    /// A guitar.
    Guitar,
    /// A wiring.
    Wiring,
    /// An add-on to a wiring.
    AddOn,
    /// A switch.
    Switch,
    /// A sounds table.
    Sounds,
}

/// Texts of documents by kind and name.
#[derive(Debug, Clone, Default)]
pub struct Library {
    texts: BTreeMap<(DocumentKind, String), (String, String)>,
}

impl DocumentKind {
    /// Every kind.
    pub const ALL: [Self; 5] = [Self::Guitar, Self::Wiring, Self::AddOn, Self::Switch, Self::Sounds];

    /// Its folder under `presets`.
    pub fn folder(self) -> &'static str {
        match self {
            Self::Guitar => "guitars",
            Self::Wiring => "wirings",
            Self::AddOn => "add-ons",
            Self::Switch => "switches",
            Self::Sounds => "sounds",
        }
    }

    /// The kind that a document seems to be, by the tables it has; a wiring when nothing tells.
    pub fn guess(text: &str) -> Self {
        let (table, _) = DeTable::parse_recoverable(text);
        let has = |keys: &[&str]| table.get_ref().keys().any(|key| keys.contains(&key.get_ref().as_ref()));
        match () {
            () if has(&["pickups", "strings", "scale-length"]) => Self::Guitar,
            () if has(&["poles"]) => Self::Switch,
            () if has(&["join", "move", "insert", "change", "needs"]) => Self::AddOn,
            () if has(&["positions"]) && !has(&["wires"]) => Self::Sounds,
            () => Self::Wiring,
        }
    }

    /// What one of them is called.
    pub fn name(self) -> &'static str {
        match self {
            Self::Guitar => "guitar",
            Self::Wiring => "wiring",
            Self::AddOn => "add-on",
            Self::Switch => "switch",
            Self::Sounds => "sounds table",
        }
    }
}

impl Library {
    /// The presets: every file `presets/KIND/NAME.toml`.
    pub fn presets() -> Self {
        let mut library = Self::default();
        for kind in DocumentKind::ALL {
            let files = PRESETS.get_dir(kind.folder()).into_iter().flat_map(Dir::files);
            for file in files.filter(|file| file.path().extension().is_some_and(|extension| extension == "toml")) {
                let name = file.path().file_stem().unwrap_or_default().to_string_lossy();
                let path = format!("presets/{}", file.path().display());
                library.insert(kind, &name, &path, file.contents_utf8().unwrap_or_default());
            }
        }
        library
    }

    /// Adds a document, or replaces the one of that name. `file` names it in problems.
    pub fn insert(&mut self, kind: DocumentKind, name: &str, file: &str, text: &str) {
        self.texts.insert((kind, name.to_string()), (file.to_string(), text.to_string()));
    }

    /// Names of the documents of a kind, in alphabetical order.
    pub fn names(&self, kind: DocumentKind) -> impl Iterator<Item = &str> {
        self.texts.keys().filter(move |(other, _)| *other == kind).map(|(_, name)| name.as_str())
    }

    /// File and text of a document.
    ///
    /// # Errors
    /// When there is none of that name; the nearest name is suggested.
    pub fn text(&self, kind: DocumentKind, name: &str) -> Result<(&str, &str), Problems> {
        let found = self.texts.get(&(kind, name.to_string()));
        found.map(|(file, text)| (file.as_str(), text.as_str())).ok_or_else(|| self.unknown(kind, name))
    }

    /// The guitar of that name.
    ///
    /// # Errors
    /// When there is none, or when its document is wrong.
    pub fn guitar(&self, name: &str) -> Result<Guitar, Problems> {
        self.text(DocumentKind::Guitar, name).and_then(|(file, text)| Guitar::read(file, text))
    }

    /// The wiring of that name, or of that name with add-ons fitted (`WIRING+ADD-ON+ADD-ON`).
    ///
    /// # Errors
    /// When there is none, or when a document is wrong or does not fit.
    pub fn wiring(&self, name: &str) -> Result<Wiring, Problems> {
        match self.wiring_despite_errors(name) {
            (Some(wiring), problems) => problems.or(wiring),
            (None, problems) => Err(problems),
        }
    }

    /// The same, as far as it can be read, so that its joints can be judged all the same.
    pub fn wiring_despite_errors(&self, name: &str) -> (Option<Wiring>, Problems) {
        let mut names = name.split('+');
        let found = self.text(DocumentKind::Wiring, names.next().unwrap_or_default());
        let (mut wiring, mut problems) = match found {
            Ok((file, text)) => Wiring::read_despite_errors(file, text),
            Err(problems) => (None, problems),
        };
        for name in names {
            let add_on = self.add_on(name);
            match (add_on, &wiring) {
                (Err(unread), _) => problems.0.extend(unread.0),
                (Ok(add_on), Some(plain)) => match add_on.fit(plain) {
                    Ok(fitted) => wiring = Some(fitted),
                    Err(misfits) => problems.0.extend(misfits.0),
                },
                (Ok(_), None) => {}
            }
        }
        (wiring, problems)
    }

    /// The add-on of that name.
    ///
    /// # Errors
    /// When there is none, or when its document is wrong.
    pub fn add_on(&self, name: &str) -> Result<AddOn, Problems> {
        self.text(DocumentKind::AddOn, name).and_then(|(file, text)| AddOn::read(file, text))
    }

    /// The switch of that name.
    ///
    /// # Errors
    /// When there is none, or when its document is wrong.
    pub fn switch(&self, name: &str) -> Result<Switch, Problems> {
        self.text(DocumentKind::Switch, name).and_then(|(file, text)| Switch::read(file, text))
    }

    /// The sounds table of that name.
    ///
    /// # Errors
    /// When there is none, or when its document is wrong.
    pub fn sounds(&self, name: &str) -> Result<Sounds, Problems> {
        self.text(DocumentKind::Sounds, name).and_then(|(file, text)| Sounds::read(file, text))
    }

    fn unknown(&self, kind: DocumentKind, name: &str) -> Problems {
        let near = suggestion(name, self.names(kind));
        Problems(vec![Problem {
            severity: Severity::Error,
            kind: ProblemKind::UnknownName,
            file: shortened(name),
            line: None,
            part: None,
            lug: None,
            what: format!("there is no {} called `{}`{near}", kind.name(), shortened(name)),
            mend: "`dryfit list` names the presets; a path to a file works too".into(),
        }])
    }
}
