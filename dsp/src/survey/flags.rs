//! What in a survey deserves a look.

use super::distance::Distances;
use super::figures::Figures;

/// Two positions with a smaller relative spectral error than this (and less than [`DUPLICATE_DB`] apart) are near-duplicates:
/// listeners discriminated alterations of 8 % poorly and of 32 % very well (Horner, Beauchamp and So, "Detection of random
/// alterations to time-varying musical instrument spectra", J. Acoust. Soc. Am. 116, 2004; figures from memory).
pub const DUPLICATE_ERROR: f64 = 0.08;
/// The same in dB between partials: some 1 dB a partial is the least that is heard side by side (from memory).
pub const DUPLICATE_DB: f64 = 1.0;
/// Where both are from, in words for whoever reads a survey.
pub const DUPLICATE_SOURCE: &str =
    "after a study of what listeners discriminate (J. Acoust. Soc. Am. 116, 2004), figures from memory";
/// Neighbouring positions farther apart in level than this, in dB, jump: 3 dB is plainly a step when a player moves the selector
/// in the middle of a phrase (from memory).
pub const JUMP_DB: f64 = 3.0;
/// Where it is from, in words for whoever reads a survey.
pub const JUMP_SOURCE: &str = "from memory";

/// Something that deserves a look.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Flag {
    /// Two positions, from 1, that can hardly be told apart.
    NearDuplicates {
        /// The one nearer the bridge end.
        first: u8,
        /// The other.
        second: u8,
    },
    /// The level jumps from a position, from 1, to the next, by so many dB.
    LevelJump {
        /// The position before.
        from: u8,
        /// Level of the next position above that of this one, in dB.
        step_db: f64,
    },
    /// Nothing sounds in a position, from 1.
    Silent {
        /// The position.
        position: u8,
    },
}

/// Everything in a survey that deserves a look, in the order of the positions.
pub fn flags(figures: &[Figures], distances: &Distances) -> Vec<Flag> {
    let mut flags = Vec::new();
    for (index, figure) in figures.iter().enumerate() {
        let position = figure.controls.position;
        if figure.level_db <= Figures::SILENT_DB {
            flags.push(Flag::Silent { position });
            continue;
        }
        for later in &figures[index + 1..] {
            let (first, second) = (position, later.controls.position);
            let near = distances
                .between(first, second)
                .is_some_and(|distance| distance.relative_error < DUPLICATE_ERROR && distance.level_db < DUPLICATE_DB);
            if near {
                flags.push(Flag::NearDuplicates { first, second });
            }
        }
        if let Some(next) = figures.get(index + 1).filter(|next| next.level_db > Figures::SILENT_DB) {
            let step_db = next.level_db - figure.level_db;
            if step_db.abs() > JUMP_DB {
                flags.push(Flag::LevelJump { from: position, step_db });
            }
        }
    }
    flags
}
