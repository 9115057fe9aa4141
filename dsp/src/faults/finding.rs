//! What the fault finder says, in words.

use serde::Serialize;

use super::candidates::FaultKind;
use super::diagnosis::{Suspicion, diagnose};
use super::reading::{Reading, as_read};
use crate::document::Assembly;
use crate::drawing::Connection;

/// What readings say about a guitar.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Finding {
    /// Each reading: where, and what was read.
    pub readings: Vec<[String; 2]>,
    /// The verdict in a sentence.
    pub verdict: String,
    /// Explanations, best first.
    pub suspicions: Vec<Explained>,
}

/// Faults that explain the readings equally well.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Explained {
    /// How well: `explains the readings`, `explains them badly`.
    pub how_well: String,
    /// The faults.
    pub faults: Vec<String>,
    /// How many more there are than `faults`.
    pub more: usize,
    /// What they predict, in the order of the readings.
    pub predicted: Vec<String>,
    /// Tests that tell them apart.
    pub tests: Vec<String>,
}

/// Most explanations that are told.
const MOST: usize = 5;
/// Most faults of an explanation that are told.
const MOST_FAULTS: usize = 8;
/// Up to here readings are explained, in standard deviations.
const EXPLAINED: f64 = 2.0;
/// From here on they are not.
const UNEXPLAINED: f64 = 4.0;

/// What the readings say.
pub fn report(assembly: &Assembly, connections: &[Connection], readings: &[Reading]) -> Finding {
    let diagnosis = diagnose(assembly, connections, readings);
    let best = diagnosis.suspicions.first().map_or(f64::INFINITY, |suspicion| suspicion.misfit);
    let good = |suspicion: &&Suspicion| suspicion.misfit <= best.max(EXPLAINED);
    let mut kept: Vec<&Suspicion> = diagnosis.suspicions.iter().filter(good).take(MOST).collect();
    // A guitar that reads as a sound one is taken for one, even if some fault comes a hair nearer.
    let is_sound =
        |suspicion: &&Suspicion| suspicion.kinds.contains(&FaultKind::Sound) && suspicion.misfit <= EXPLAINED;
    if let Some(sound) = kept.iter().position(is_sound) {
        kept[..=sound].rotate_right(1);
    }
    Finding {
        readings: readings.iter().map(|reading| [reading.place.clone(), as_read(reading.ohms)]).collect(),
        verdict: verdict(&kept, best),
        suspicions: kept.into_iter().map(explained).collect(),
    }
}

fn verdict(kept: &[&Suspicion], best: f64) -> String {
    let sound = kept.iter().find(|suspicion| suspicion.kinds.contains(&FaultKind::Sound));
    match sound {
        Some(sound) if sound.misfit <= EXPLAINED => {
            "The readings are those of a sound guitar. Faults below that read the same would need another test.".into()
        }
        _ if best <= EXPLAINED => "The readings are off. These single faults explain them, best first.".into(),
        _ if best <= UNEXPLAINED => {
            "The readings are off. No single fault explains them well; these come nearest.".into()
        }
        _ => "No single fault explains the readings: there may be two, or a reading was taken elsewhere. These come \
              nearest."
            .into(),
    }
}

fn explained(suspicion: &Suspicion) -> Explained {
    let how_well = match suspicion.misfit {
        misfit if misfit <= EXPLAINED => "explains the readings",
        misfit if misfit <= UNEXPLAINED => "explains them poorly",
        _ => "does not explain them",
    };
    Explained {
        how_well: format!("{how_well} (off by {:.1} standard deviations)", suspicion.misfit),
        faults: suspicion.faults.iter().take(MOST_FAULTS).cloned().collect(),
        more: suspicion.faults.len().saturating_sub(MOST_FAULTS),
        predicted: suspicion.predicted.iter().map(|&ohms| as_read(ohms)).collect(),
        tests: suspicion.tests.clone(),
    }
}

impl Explained {
    /// What stands before the tests where the readings cannot tell its faults apart.
    pub fn apart(&self) -> Option<&'static str> {
        match (self.faults.len(), self.tests.is_empty()) {
            (0 | 1, _) => None,
            (_, true) => Some("These read and sound alike: look at each, and listen for hum."),
            (_, false) => Some("These readings cannot tell them apart. To do so:"),
        }
    }
}

impl std::fmt::Display for Finding {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        writeln!(f, "{}", self.verdict)?;
        for (index, suspicion) in self.suspicions.iter().enumerate() {
            writeln!(f, "\n{}. {}", index + 1, suspicion.how_well)?;
            for fault in &suspicion.faults {
                writeln!(f, "   - {fault}")?;
            }
            if suspicion.more > 0 {
                writeln!(f, "   - and {} more", suspicion.more)?;
            }
            for ([place, read], predicted) in self.readings.iter().zip(&suspicion.predicted) {
                writeln!(f, "     {place}: {predicted} expected, {read} read")?;
            }
            if let Some(apart) = suspicion.apart() {
                writeln!(f, "   {apart}")?;
            }
            for test in &suspicion.tests {
                writeln!(f, "     {test}")?;
            }
        }
        Ok(())
    }
}
