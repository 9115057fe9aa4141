//! Whether a pass was played on other strings than the rest.

use super::Complaint;
use crate::calibration::naming::{log_stiffness_above, stiffness_sd};
use crate::calibration::robust::median;
use crate::calibration::session::HeardPass;
use crate::document::Guitar;
use crate::string::StiffString;

/// Strings differ when their stiffness does by this factor, and by so many standard deviations.
const FACTOR: f64 = 1.12;
const DEVIATIONS: f64 = 4.0;
/// So many of them make another guitar.
const STRINGS: usize = 2;

/// Notes that no string can have played, so many and such a share of all clear ones, are another guitar's.
const FOREIGN: usize = 4;
const FOREIGN_SHARE: f64 = 0.25;

/// Whether the notes of a pass are those of this guitar at all.
pub(super) fn other_guitar(index: usize, pass: &HeardPass) -> Option<Complaint> {
    let clear: Vec<_> = pass.notes().filter(|(note, _)| note.is_clear()).collect();
    let at: Vec<f64> = clear.iter().filter(|(_, place)| place.is_none()).map(|(note, _)| note.start).collect();
    let is_other = at.len() >= FOREIGN && at.len() as f64 > FOREIGN_SHARE * clear.len() as f64;
    is_other.then_some(Complaint::OtherGuitar { pass: index, at, clear: clear.len() })
}

/// Passes on strings of another stiffness.
pub(super) fn other_strings(guitar: &Guitar, passes: &[HeardPass]) -> Vec<Complaint> {
    if passes.len() < 2 {
        return Vec::new();
    }
    let strings = StiffString::all(guitar);
    // Per pass and string: logarithm of stiffness over the documented one, and standard deviation.
    let of_pass = |pass: &HeardPass| -> Vec<Option<(f64, f64)>> {
        let of_string = |index: usize| {
            let own =
                pass.notes().filter_map(|(note, place)| Some((note, place.filter(|place| place.string == index)?)));
            let values: Vec<(f64, f64)> = own
                .map(|(note, place)| (log_stiffness_above(note, &strings[index], place.fret), stiffness_sd(note)))
                .collect();
            let sd = median(&values.iter().map(|value| value.1).collect::<Vec<_>>()) / (values.len() as f64).sqrt();
            (values.len() >= 2).then(|| (median(&values.iter().map(|value| value.0).collect::<Vec<_>>()), 1.25 * sd))
        };
        (0..strings.len()).map(of_string).collect()
    };
    let found: Vec<_> = passes.iter().map(of_pass).collect();
    let differing = |one: usize, other: usize| -> Vec<(usize, f64)> {
        let pairs = found[one].iter().zip(&found[other]).enumerate();
        let both = pairs.filter_map(|(string, (one, other))| Some((string, (*one)?, (*other)?)));
        let far = both.filter(|(_, one, other)| {
            let off = (one.0 - other.0).abs();
            off > FACTOR.ln() && off > DEVIATIONS * one.1.hypot(other.1)
        });
        far.map(|(string, one, other)| (string, (one.0 - other.0).exp())).collect()
    };
    // How far a pass is from the document, for when there are only two.
    let off_document = |pass: usize| -> f64 { found[pass].iter().flatten().map(|(value, _)| value.abs()).sum() };
    let mut complaints = Vec::new();
    for pass in 0..passes.len() {
        let others: Vec<usize> = (0..passes.len()).filter(|&other| other != pass).collect();
        let against: Vec<usize> =
            others.iter().copied().filter(|&other| differing(pass, other).len() >= STRINGS).collect();
        let odd = match against.len() {
            0 => false,
            _ if others.len() == 1 => off_document(pass) > off_document(others[0]),
            count => 2 * count > others.len(),
        };
        if odd {
            complaints.push(Complaint::OtherStrings { pass, strings: differing(pass, against[0]) });
        }
    }
    complaints
}
