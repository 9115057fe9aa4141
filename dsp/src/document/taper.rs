//! How a pot's resistance follows its shaft.

use serde::{Deserialize, Serialize};

/// Share of the resistance between lug 1 and the wiper against the share of the travel.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Taper {
    /// In proportion.
    Linear,
    /// Audio (logarithmic): 15 % of the resistance at half travel.
    Audio,
    /// The mirror image of audio.
    ReverseAudio,
    /// Points of travel and share, both 0 to 1, ascending, joined by straight lines.
    Points(Vec<(f64, f64)>),
}

impl Taper {
    /// Names of the standard laws.
    pub const NAMES: [&str; 3] = ["linear", "audio", "reverse-audio"];
    /// Share of an audio pot's resistance at half travel. Makers' sheets give 10 to 20 %, most often 15 % (common
    /// practice, no source).
    const AUDIO_MIDPOINT: f64 = 0.15;

    /// The standard law of that name.
    pub fn named(name: &str) -> Option<Self> {
        match name {
            "linear" => Some(Self::Linear),
            "audio" => Some(Self::Audio),
            "reverse-audio" => Some(Self::ReverseAudio),
            _ => None,
        }
    }

    /// Share of the resistance, 0 to 1, at a share of the travel, 0 to 1 (values beyond are clamped).
    pub fn share(&self, travel: f64) -> f64 {
        let travel = travel.clamp(0.0, 1.0);
        match self {
            Self::Linear => travel,
            Self::Audio => exponential(travel),
            Self::ReverseAudio => 1.0 - exponential(1.0 - travel),
            Self::Points(points) => interpolate(points, travel),
        }
    }
}

/// (a^x - 1) / (a - 1): the exponential law through 0, the mid-point m and 1, so that sqrt(a) = (1 - m) / m.
fn exponential(travel: f64) -> f64 {
    let base = ((1.0 - Taper::AUDIO_MIDPOINT) / Taper::AUDIO_MIDPOINT).powi(2);
    (base.powf(travel) - 1.0) / (base - 1.0)
}

fn interpolate(points: &[(f64, f64)], travel: f64) -> f64 {
    let right = points.partition_point(|&(x, _)| x < travel);
    match (right.checked_sub(1).map(|left| points[left]), points.get(right)) {
        (Some((x0, y0)), Some(&(x1, y1))) => y0 + (y1 - y0) * (travel - x0) / (x1 - x0),
        (None, Some(&(_, y))) | (Some((_, y)), None) => y,
        (None, None) => travel,
    }
}
