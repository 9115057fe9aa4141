//! What comes back from a page: its form, its check, and what it says.
//!
//! The check is a SHA-256 sum over the page's name and the answers. Anybody who reads this can make one, so it shows that a file
//! was damaged or changed by hand without care, not who answered, nor that he listened.

use serde::Deserialize;
use serde_json::Value;
use sha2::{Digest, Sha256};

/// Version of the answers file.
pub const FORMAT: u64 = 1;
/// Put in front of what is summed, so that the sum means nothing else.
const DOMAIN: &str = "dryfit answers 1";
/// Most trials of one comparison, as on the page.
const MOST_TRIALS: usize = 100;

/// An answers file.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Answers {
    /// The page's name.
    pub page: String,
    /// The page's title.
    pub title: String,
    /// Who answered, as he wrote it.
    pub name: String,
    /// What else he wrote.
    pub comment: String,
    /// Blind ratings, one list for each time.
    pub ratings: Vec<Rating>,
    /// Blind comparisons of two.
    pub comparisons: Vec<Comparison>,
}

/// Sounds rated blind.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Rating {
    /// The take's name.
    pub take: String,
    /// In the order of their letters.
    pub sounds: Vec<Rated>,
}

/// A sound rated blind.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Rated {
    /// The letter it was hidden under.
    pub letter: String,
    /// What it was.
    pub sound: String,
    /// From 1 (poor) to 5 (the one); 0 for no rating.
    pub rating: u8,
}

/// Two sounds told apart blind.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Comparison {
    /// The take's name.
    pub take: String,
    /// The first sound.
    pub first: String,
    /// The second sound.
    pub second: String,
    /// What X was in each trial: 1 or 2.
    pub x: Vec<u8>,
    /// What the listener said it was.
    pub said: Vec<u8>,
}

/// How far a file can be believed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Check {
    /// The sum is right.
    Whole,
    /// The browser could not make a sum.
    Missing,
}

/// Why a file is no answers file of this page.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum AnswersError {
    /// Not made by a page.
    #[error("not an answers file of an audition page ({0}); ask for the file that the page saves, unchanged")]
    NotAnswers(String),
    /// Made by a newer page.
    #[error("answers in format {0}, which is newer than this dryfit; read them with the dryfit that made the page")]
    Newer(u64),
    /// The sum does not match.
    #[error("changed after the page saved it (its check sum does not match); ask for the file again, unchanged")]
    Changed,
    /// What it holds cannot be.
    #[error("holds what no page saves ({0}); ask for the file again, unchanged")]
    Impossible(String),
    /// Made by another page.
    #[error("answers to page {found}, not to page {wanted}; give the page that was sent to this listener")]
    OtherPage {
        /// The page of the answers.
        found: String,
        /// The page that was given.
        wanted: String,
    },
}

impl Answers {
    /// Reads an answers file and checks it against itself.
    ///
    /// # Errors
    /// See [`AnswersError`].
    pub fn read(text: &str) -> Result<(Self, Check), AnswersError> {
        let not_answers = |detail: serde_json::Error| AnswersError::NotAnswers(detail.to_string());
        let mut file: Value = serde_json::from_str(text).map_err(not_answers)?;
        let format = file.get("dryfit-answers").and_then(Value::as_u64);
        match format {
            None => return Err(AnswersError::NotAnswers("it does not say `dryfit-answers`".into())),
            Some(format) if format > FORMAT => return Err(AnswersError::Newer(format)),
            Some(_) => {}
        }
        let content = file.get_mut("answers").map(Value::take).unwrap_or_default();
        let page = content.get("page").and_then(Value::as_str).unwrap_or_default().to_string();
        let check = match file.get("check") {
            Some(Value::String(sum)) if *sum == check_sum(&page, &content) => Check::Whole,
            Some(Value::String(_)) => return Err(AnswersError::Changed),
            _ => Check::Missing,
        };
        let answers: Self = serde_json::from_value(content).map_err(not_answers)?;
        answers.possible()?;
        Ok((answers, check))
    }

    /// Whether the answers belong to a page.
    ///
    /// # Errors
    /// [`AnswersError::OtherPage`]
    pub fn belong_to(&self, page: &str) -> Result<(), AnswersError> {
        match self.page == page {
            true => Ok(()),
            false => Err(AnswersError::OtherPage { found: self.page.clone(), wanted: page.into() }),
        }
    }

    fn possible(&self) -> Result<(), AnswersError> {
        let impossible = |what: &str| Err(AnswersError::Impossible(what.into()));
        if self.ratings.iter().flat_map(|rating| &rating.sounds).any(|rated| rated.rating > 5) {
            return impossible("a rating above 5");
        }
        for comparison in &self.comparisons {
            let Comparison { x, said, .. } = comparison;
            if x.len() != said.len() || x.is_empty() || x.len() > MOST_TRIALS {
                return impossible("a comparison whose trials and answers do not match");
            }
            if x.iter().chain(said).any(|answer| ![1, 2].contains(answer)) {
                return impossible("an answer that is neither the first nor the second sound");
            }
        }
        Ok(())
    }
}

impl Comparison {
    /// Trials answered rightly.
    pub fn right(&self) -> usize {
        self.x.iter().zip(&self.said).filter(|(x, said)| x == said).count()
    }

    /// Probability of at least so many right answers by guessing: the upper tail of the binomial distribution with p = 1/2,
    /// sum over k of C(n, k) / 2^n.
    pub fn probability(&self) -> f64 {
        let trials = self.x.len();
        let mut term = 0.5f64.powi(trials as i32);
        let mut sum = 0.0;
        for k in (self.right()..=trials).rev() {
            sum += term;
            term *= k as f64 / (trials - k + 1) as f64;
        }
        sum.min(1.0)
    }
}

/// The sum over a page's name and its answers, in hexadecimal.
pub fn check_sum(page: &str, content: &Value) -> String {
    let text = format!("{DOMAIN}\n{page}\n{}", canonical(content));
    Sha256::digest(text).iter().map(|byte| format!("{byte:02x}")).collect()
}

/// JSON without spaces and with sorted keys, as page and command both write it.
fn canonical(value: &Value) -> String {
    match value {
        Value::Object(map) => {
            let mut entries: Vec<_> = map.iter().collect();
            entries.sort_by_key(|(key, _)| key.as_str());
            let write =
                |(key, value): (&String, &Value)| format!("{}:{}", Value::String(key.clone()), canonical(value));
            format!("{{{}}}", entries.into_iter().map(write).collect::<Vec<_>>().join(","))
        }
        Value::Array(values) => format!("[{}]", values.iter().map(canonical).collect::<Vec<_>>().join(",")),
        other => other.to_string(),
    }
}

/// The name of a page, read from its first bytes.
pub fn page_id(head: &[u8]) -> Option<String> {
    let units: Vec<u16> = head.chunks_exact(2).map(|pair| u16::from_le_bytes([pair[0], pair[1]])).collect();
    let text = String::from_utf16_lossy(&units);
    let (_, rest) = text.split_once("name=\"dryfit-page\" content=\"")?;
    let id: String = rest.chars().take(16).collect();
    (id.len() == 16 && id.bytes().all(|byte| byte.is_ascii_hexdigit())).then_some(id)
}
