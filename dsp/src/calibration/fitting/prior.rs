//! What is taken for granted before a recording is heard, as soft constraints.

use super::layout::{CURVE, DEPTH, KNOTS, LEVEL, Layout, MIDDLE, PLUCK, SLANT, TILT, VOICE, WIDTH};
use crate::document::{Guitar, Pickup};
use crate::string::sensing;

/// A weighted sum of parameters that lies near a value.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Constraint {
    pub(super) terms: Vec<(usize, f64)>,
    pub(super) target: f64,
    /// Standard deviation.
    pub(super) sd: f64,
}

/// How well a pickup's distance is known beforehand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Known {
    /// Standard deviation of the mean of its outer distances, in metres.
    pub distance: f64,
    /// Standard deviation of their difference, in metres.
    pub slant: f64,
}

impl Known {
    /// From a ruler: it reads to a millimetre.
    pub const RULER: Self = Self { distance: 0.8e-3, slant: 1.2e-3 };
    /// A typical guitar's.
    pub const TYPICAL: Self = Self { distance: 8e-3, slant: 3e-3 };
}

/// Standard deviations where nothing was measured: estimates, no source.
const WIDTH_SD: f64 = 3.0;
const DEPTH_SD: f64 = 4.0;
const OUTPUT_SD: f64 = 3.0;
const VOICE_STEP_SD: f64 = 3.0;
const VOICE_BEND_SD: f64 = 2.5;
const CURVE_SD: f64 = 8.0;
const CURVE_BEND_SD: f64 = 2.5;
/// How evenly a hand plays: from pass to pass, and in brightness from note to note.
const PASS_SD: f64 = 0.5;
const TILT_SD: f64 = 0.7;
const PLUCKS: (f64, f64) = (130.0, 60.0);

/// Parameters to start from: what the guitar's document says.
pub(in crate::calibration) fn start(guitar: &Guitar, layout: &Layout) -> Vec<f64> {
    let mut parameters = vec![0.0; layout.count()];
    for (index, pickup) in guitar.pickups.iter().enumerate() {
        let own = &mut parameters[layout.pickup(index)..];
        let (low, high) = (1e3 * pickup.distance_low, 1e3 * pickup.distance_high);
        own[MIDDLE] = 0.5 * (low + high);
        own[SLANT] = high - low;
        own[WIDTH] = 1e3 * pickup.sensing_width;
        own[DEPTH] = pickup.null_depth_db;
        own[VOICE..][..KNOTS.len()].copy_from_slice(&voice(pickup));
    }
    (0..layout.notes).for_each(|note| parameters[layout.note(note) + PLUCK] = PLUCKS.0);
    parameters
}

fn voice(pickup: &Pickup) -> [f64; KNOTS.len()] {
    KNOTS.map(|hertz| pickup.output_db + sensing::voicing_db(&pickup.voicing, hertz))
}

/// The constraints; the `reference` pickup's level and voicing are held, since recordings only tell how others differ from it.
/// `level_sd` is how unevenly notes were played, in dB.
pub(super) fn constraints(
    guitar: &Guitar,
    known: &[Known],
    layout: &Layout,
    reference: usize,
    level_sd: f64,
) -> Vec<Constraint> {
    let start = start(guitar, layout);
    let mut all = Vec::new();
    let mut near = |index: usize, sd: f64| {
        all.push(Constraint { terms: vec![(index, 1.0)], target: start[index], sd });
    };
    for (pickup, known) in known.iter().enumerate() {
        let own = layout.pickup(pickup);
        near(own + MIDDLE, 1e3 * known.distance);
        near(own + SLANT, 1e3 * known.slant);
        near(own + WIDTH, WIDTH_SD);
        near(own + DEPTH, DEPTH_SD);
        if pickup == reference {
            (0..KNOTS.len()).for_each(|knot| near(own + VOICE + knot, 1e-3));
        }
    }
    (0..layout.strings)
        .flat_map(|s| (0..CURVE.len()).map(move |knot| layout.curve(s) + knot))
        .for_each(|i| near(i, CURVE_SD));
    (0..layout.passes).for_each(|pass| near(layout.pass(pass), PASS_SD));
    for note in 0..layout.notes {
        near(layout.note(note) + LEVEL, level_sd);
        near(layout.note(note) + PLUCK, PLUCKS.1);
        near(layout.note(note) + TILT, TILT_SD);
    }
    let mut smooth = |first: usize, length: usize, sd: f64| {
        for at in 0..length - 2 {
            let terms = vec![(first + at, 1.0), (first + at + 1, -2.0), (first + at + 2, 1.0)];
            all.push(Constraint { terms, target: 0.0, sd });
        }
    };
    (0..layout.strings).for_each(|string| smooth(layout.curve(string), CURVE.len(), CURVE_BEND_SD));
    let others = || (0..layout.pickups).filter(|&pickup| pickup != reference);
    others().for_each(|pickup| smooth(layout.pickup(pickup) + VOICE, KNOTS.len(), VOICE_BEND_SD));
    for pickup in others() {
        let own = layout.pickup(pickup) + VOICE;
        let mean = 1.0 / KNOTS.len() as f64;
        let target = start[own..own + KNOTS.len()].iter().sum::<f64>() * mean;
        all.push(Constraint {
            terms: (0..KNOTS.len()).map(|knot| (own + knot, mean)).collect(),
            target,
            sd: OUTPUT_SD,
        });
        for knot in own..own + KNOTS.len() - 1 {
            let target = start[knot + 1] - start[knot];
            all.push(Constraint { terms: vec![(knot + 1, 1.0), (knot, -1.0)], target, sd: VOICE_STEP_SD });
        }
    }
    all
}
