//! A project as text, and back, whoever wrote it.

use dryfit_dsp::document::Problems;
use serde::Deserialize;

use super::project::Project;

/// Version of the saved form that this program writes.
pub const FORMAT: u32 = 1;

/// Why a saved project cannot be used. Whoever gets this keeps the text: it may hold a wiring that nobody has elsewhere.
#[derive(Debug, Clone, PartialEq)]
pub enum Unreadable {
    /// It was written by a newer version.
    Newer {
        /// The version of its form.
        format: u32,
    },
    /// It is no saved project.
    Broken {
        /// What the reader met.
        why: String,
    },
    /// It is one, but its documents are wrong.
    Wrong(Problems),
}

impl Project {
    /// The project as text (JSON).
    pub fn to_text(&self) -> String {
        serde_json::to_string(self).expect("a project is made of texts and finite numbers")
    }

    /// Reads a project that [`Project::to_text`] wrote, and checks it.
    ///
    /// # Errors
    /// Why it cannot be used.
    pub fn from_text(text: &str) -> Result<Self, Unreadable> {
        let broken = |error: serde_json::Error| Unreadable::Broken { why: error.to_string() };
        let Version { format } = serde_json::from_str(text).map_err(broken)?;
        if format > FORMAT {
            return Err(Unreadable::Newer { format });
        }
        let project: Self = serde_json::from_str(text).map_err(broken)?;
        project.checked().map_err(Unreadable::Wrong)
    }
}

#[derive(Deserialize)]
struct Version {
    format: u32,
}

impl std::fmt::Display for Unreadable {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        const KEPT: &str = "It is kept and saved again as it is until you change something on the bench.";
        match self {
            Self::Newer { format } => {
                write!(f, "The saved bench is of a newer form ({format}; this version knows {FORMAT}). {KEPT} ")?;
                write!(f, "Install the newer version to hear it.")
            }
            Self::Broken { why } => write!(f, "The saved bench cannot be read ({why}). {KEPT}"),
            Self::Wrong(problems) => write!(f, "The saved bench cannot sound. {KEPT}\n{problems}"),
        }
    }
}
