//! Whether the notes of a pass are those of another tuning.

use super::Complaint;
use crate::calibration::listening::HeardNote;
use crate::calibration::naming::{FRETS, cents_above};
use crate::calibration::session::HeardPass;
use crate::document::Guitar;
use crate::string::StiffString;

/// How far a note may be off a fret that was asked for, in cents.
const REACH: f64 = 35.0;
/// Semitones by which strings are tuned otherwise, at most.
const MOST: i32 = 6;
/// Of all notes so many, or as many as this, have to be explained better.
const SHARE: f64 = 0.15;
const LEAST: usize = 2;

/// The change of tuning that explains the notes of a pass better as frets that were asked for.
pub(super) fn other_tuning(guitar: &Guitar, index: usize, pass: &HeardPass) -> Option<Complaint> {
    let strings = StiffString::all(guitar);
    let notes: Vec<&HeardNote> = pass.heard.notes.iter().filter(|note| !note.crowded).collect();
    let explains = |note: &HeardNote, changed: Option<usize>, semitones: i32| {
        strings.iter().enumerate().any(|(index, string)| {
            let own = if changed.is_none_or(|changed| changed == index) { semitones } else { 0 };
            FRETS.iter().any(|&fret| (cents_above(note, string, fret) - 100.0 * f64::from(own)).abs() < REACH)
        })
    };
    let count =
        |changed: Option<usize>, semitones: i32| notes.iter().filter(|note| explains(note, changed, semitones)).count();
    let as_documented = count(None, 0);
    let changes = (0..strings.len()).map(Some).chain([None]);
    let tried = changes.flat_map(|changed| (-MOST..=MOST).map(move |semitones| (changed, semitones)));
    // Of equals the smallest change.
    let best = tried.max_by_key(|&(changed, semitones)| (count(changed, semitones), -semitones.abs()));
    let (string, semitones) = best?;
    // One string has but a few notes; among them must be one that nothing else explains.
    let unnamed = pass.notes().filter(|(_, place)| place.is_none());
    let needed = match string {
        Some(_) if unnamed.map(|(note, _)| note).any(|note| explains(note, string, semitones)) => LEAST,
        _ => LEAST.max((SHARE * notes.len() as f64).ceil() as usize),
    };
    if count(string, semitones) < as_documented + needed {
        return None;
    }
    let at = notes.iter().filter(|note| !explains(note, None, 0)).map(|note| note.start).collect();
    Some(Complaint::OtherTuning { pass: index, string, semitones, at })
}
