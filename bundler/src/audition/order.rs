//! Everything that was asked for, as a settings file that can be repeated and corrected.

use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

use crate::arguments::Follow;
use crate::documents::is_path;

/// Version of the settings file.
pub const FORMAT: u32 = 1;

/// An order for a page.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Order {
    /// [`FORMAT`].
    pub format: u32,
    /// What the listener reads first.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub title: Option<String>,
    /// Whom it is for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub client: Option<String>,
    /// Where each take begins, in seconds.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub from: Option<f64>,
    /// The most that is taken of each, in seconds.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub seconds: Option<f64>,
    /// The most that the page may have, in megabytes.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub size: Option<f64>,
    /// Whether and how notes are followed where another pickup sounds than was recorded; without it, `whole` where the guitar
    /// was measured, and `off` for a preset's, whose distances are guesses.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub follow: Option<Follow>,
    /// Settings of every option, as `tone=3`.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub set: Vec<String>,
    /// How the takes were recorded.
    pub recorded: RecordedOrder,
    /// The takes; without any, the demo take.
    #[serde(default, rename = "take", skip_serializing_if = "Vec::is_empty")]
    pub takes: Vec<TakeOrder>,
    /// The options; without any, a telling choice of presets.
    #[serde(default, rename = "option", skip_serializing_if = "Vec::is_empty")]
    pub options: Vec<OptionOrder>,
}

/// How takes were recorded.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RecordedOrder {
    /// Preset name or path.
    pub guitar: String,
    /// Wiring with any add-ons.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub wiring: Option<String>,
    /// Settings.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub set: Vec<String>,
}

/// A take.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TakeOrder {
    /// The recording. A relative path, here and of documents, starts at the settings file.
    pub file: PathBuf,
    /// What the listener reads.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// Which channel is the guitar.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub channel: Option<String>,
}

/// An option.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OptionOrder {
    /// Wiring with any add-ons.
    pub wiring: String,
    /// Settings of this option alone, after those of all.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub set: Vec<String>,
}

impl OptionOrder {
    /// Reads `WIRING[+ADD-ON..] [K=V ..]`: whatever has a `=` at the end belongs to the settings, so paths may hold spaces.
    pub fn parse(text: &str) -> Self {
        let mut wiring = text.trim();
        let mut set = Vec::new();
        while let Some((rest, last)) = wiring.rsplit_once(char::is_whitespace).filter(|(_, last)| last.contains('=')) {
            set.insert(0, last.to_string());
            wiring = rest.trim_end();
        }
        Self { wiring: wiring.into(), set }
    }
}

impl Order {
    /// The same order with relative paths, of takes and of documents, taken from another folder.
    pub fn seen_from(self, folder: &Path) -> Self {
        self.with_paths(|path| folder.join(path))
    }

    /// The same order with its paths written for a settings file in `folder`: relative where a file lies in it, else
    /// absolute.
    pub fn written_in(self, folder: &Path) -> Self {
        let absolute = |path: &Path| std::path::absolute(path).unwrap_or_else(|_| path.to_owned());
        let folder = absolute(folder);
        self.with_paths(|path| {
            let file = absolute(path);
            file.strip_prefix(&folder).map_or(file.clone(), |inside| Path::new(".").join(inside))
        })
    }

    fn with_paths(mut self, place: impl Fn(&Path) -> PathBuf) -> Self {
        let document = |name: &str| match is_path(name) {
            true => place(Path::new(name)).to_string_lossy().into_owned(),
            false => name.to_string(),
        };
        let wiring = |name: &str| name.split('+').map(document).collect::<Vec<_>>().join("+");
        self.takes.iter_mut().for_each(|take| take.file = place(&take.file));
        self.options.iter_mut().for_each(|option| option.wiring = wiring(&option.wiring));
        self.recorded.guitar = document(&self.recorded.guitar);
        self.recorded.wiring = self.recorded.wiring.map(|name| wiring(&name));
        self
    }
}
