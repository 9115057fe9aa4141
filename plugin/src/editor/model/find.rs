//! From the sounds that are wanted to a wiring.

use super::DocumentView;

/// The sounds that are wanted, and what a search made of them.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct FindView {
    /// The sounds table as text; its problems are those of the table, and of asking for it on this guitar with this selector.
    pub document: DocumentView,
    /// The selector's name among the choices; none for the smallest that will do.
    pub selector: Option<String>,
    /// Whether a search makes sense: nothing is wrong with the table.
    pub ready: bool,
    /// How the search goes.
    pub search: Search,
}

/// How the search goes.
#[derive(Debug, Clone, PartialEq, Default)]
pub enum Search {
    /// Nobody asked for one.
    #[default]
    Idle,
    /// It goes on; how far it is: "trying 9 wires, 1024 cases ruled out".
    Running(String),
    /// It ended.
    Done(FoundWords),
}

/// What a search came to, in words.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct FoundWords {
    /// In a sentence.
    pub verdict: String,
    /// What it takes and what is proved; or why there is none.
    pub reasons: Vec<String>,
    /// What would do instead, and what to give up.
    pub advice: Vec<String>,
    /// Whether there is a wiring to be put on a bench.
    pub wiring: bool,
    /// Whether the table, the selector or the guitar changed since.
    pub outdated: bool,
}
