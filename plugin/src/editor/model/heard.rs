//! Which strings and frets are heard while notes are followed.

/// Which strings and frets are heard.
#[derive(Debug, Clone, PartialEq, Default)]
pub enum HeardView {
    /// Notes are not followed.
    #[default]
    Off,
    /// Nothing needs to be followed here: why, in a few words.
    Resting(String),
    /// The strings, from the lowest to the highest.
    Strings(Vec<HeardString>),
}

/// A string.
#[derive(Debug, Clone, PartialEq)]
pub struct HeardString {
    /// What players call it: "6 E".
    pub name: String,
    /// What is heard of it; none while it is silent.
    pub note: Option<HeardNote>,
    /// All of that in words: "string 6, E2: fret 5, A2".
    pub words: String,
}

/// A note on a string.
#[derive(Debug, Clone, PartialEq)]
pub struct HeardNote {
    /// The fret, "0" for the open string.
    pub fret: String,
    /// What sounds: "A2".
    pub pitch: String,
    /// Whether it surely is this string.
    pub sure: bool,
}
