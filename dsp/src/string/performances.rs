//! Performances to measure with, and one to listen to. Standard tuning, strings counted from the lowest.
//!
//! Four single lines and four with several strings at once, after the kinds of playing of the reference study
//! (place/lib.py `takes`); the notes are Dryfit's own.

use super::synthesis::{Gesture, Note, Performance};

/// Frets of a chord from the lowest string; none where a string is not played.
type Chord = [Option<u8>; 6];

const C: Chord = [None, Some(3), Some(2), Some(0), Some(1), Some(0)];
const D: Chord = [None, None, Some(0), Some(2), Some(3), Some(2)];
const E: Chord = [Some(0), Some(2), Some(2), Some(1), Some(0), Some(0)];
const F: Chord = [Some(1), Some(3), Some(3), Some(2), Some(1), Some(1)];
const G: Chord = [Some(3), Some(2), Some(0), Some(0), Some(0), Some(3)];
const A_MINOR: Chord = [None, Some(0), Some(2), Some(2), Some(1), Some(0)];
const B_MINOR_SEVENTH: Chord = [None, Some(2), Some(0), Some(2), Some(0), Some(2)];
const A_SUSPENDED: Chord = [None, Some(0), Some(2), Some(2), Some(3), Some(0)];

/// The eight ground-truth performances with their names: four single lines, then four with several strings at once, six
/// seconds each.
pub fn all() -> Vec<(&'static str, Performance)> {
    vec![
        ("low_string_line", low_string_line()),
        ("third_string_line", third_string_line()),
        ("across_strings", across_strings()),
        ("bends_and_vibrato", bends_and_vibrato()),
        ("power_chords", power_chords()),
        ("strummed_chords", strummed_chords()),
        ("arpeggio", arpeggio()),
        ("double_stops", double_stops()),
    ]
}

/// A line on the lowest string, open and up to the twelfth fret.
pub fn low_string_line() -> Performance {
    line(&[0, 5, 3, 7, 0, 10, 8, 5, 12, 7, 3, 0].map(|fret| (0, fret)), 0.49, 0.46)
}

/// A line on the third string from the top, open and up to the fourteenth fret.
pub fn third_string_line() -> Performance {
    line(&[0, 4, 2, 5, 9, 7, 12, 14, 11, 7, 5, 2, 0].map(|fret| (3, fret)), 0.45, 0.43)
}

/// A line in one position that goes up and down across all strings.
pub fn across_strings() -> Performance {
    let up = [(0, 7), (0, 10), (1, 7), (1, 9), (2, 7), (2, 9), (3, 7), (3, 9), (4, 8), (4, 10), (5, 7), (5, 10)];
    let down = [(4, 10), (4, 8), (3, 9), (2, 9)];
    line(&[&up[..], &down[..]].concat(), 0.37, 0.35)
}

/// Long notes on the upper strings, pushed up or swaying.
pub fn bends_and_vibrato() -> Performance {
    let bend = Gesture::Bend { semitones: 2.0, delay: 0.15, rise: 0.25 };
    let vibrato = Gesture::Vibrato { semitones: 0.35, rate: 5.5, delay: 0.2, rise: 0.3 };
    let notes = [
        (0.05, 1.2, 4, 8, bend),
        (1.3, 1.4, 3, 9, vibrato),
        (2.8, 0.9, 3, 7, bend),
        (3.75, 1.0, 5, 5, vibrato),
        (4.8, 1.15, 2, 9, vibrato),
    ];
    let note = |(start, length, string, fret, gesture)| Note { gesture, ..Note::new(start, length, string, fret) };
    Performance { notes: notes.map(note).to_vec() }
}

/// Short notes on the three lowest strings under the palm, as the reference study damps them (place/t11.py: 9 nepers per second).
pub fn palm_mutes() -> Performance {
    let muted = |i: usize| {
        let note = Note::new(0.05 + 0.2 * i as f64, 0.19, i * 7 % 3, [0, 3, 5, 7][i % 4]);
        Note { damping: 9.0, ..note }
    };
    Performance { notes: (0..28).map(muted).collect() }
}

/// Root, fifth and octave on the low strings.
pub fn power_chords() -> Performance {
    let roots = [(0, 0), (0, 5), (0, 3), (1, 0), (1, 5), (1, 2), (0, 8), (0, 0)];
    let chord = |(i, (string, root)): (usize, (usize, u8))| {
        let frets = [root, root + 2, root + 2];
        let start = 0.05 + 0.74 * i as f64;
        (0..3).map(move |up| Note::new(start + 0.008 * up as f64, 0.7, string + up, frets[up]))
    };
    Performance { notes: roots.into_iter().enumerate().flat_map(chord).collect() }
}

/// Full chords, strummed down and up in turn.
pub fn strummed_chords() -> Performance {
    let chords = [A_MINOR, F, C, G, D, E];
    let strummed =
        chords.iter().enumerate().flat_map(|(i, chord)| strum(chord, 0.05 + 0.99 * i as f64, 0.92, i % 2 == 1));
    Performance { notes: strummed.collect() }
}

/// Broken chords whose notes ring on into each other.
pub fn arpeggio() -> Performance {
    let broken = |(bar, chord): (usize, Chord)| {
        let played: Vec<usize> = (0..6).filter(|&string| chord[string].is_some()).collect();
        let back = played.iter().rev().skip(1);
        let order: Vec<usize> = played.iter().chain(back).copied().take(8).collect();
        let start = 0.05 + 1.98 * bar as f64;
        let note = move |(i, string): (usize, usize)| {
            let after = 0.245 * i as f64;
            chord[string].map(|fret| Note::new(start + after, 1.95 - after, string, fret))
        };
        order.into_iter().enumerate().filter_map(note)
    };
    Performance { notes: [G, A_MINOR, F].into_iter().enumerate().flat_map(broken).collect() }
}

/// Two neighbouring strings at once: thirds, fourths and sixths' neighbours, up and down the neck.
pub fn double_stops() -> Performance {
    let pairs = [
        (4, 3, 3),
        (4, 6, 7),
        (3, 5, 5),
        (3, 9, 8),
        (2, 5, 5),
        (2, 7, 6),
        (3, 12, 12),
        (4, 12, 12),
        (4, 10, 8),
        (3, 2, 1),
        (1, 7, 5),
        (2, 2, 2),
    ];
    let stop = |(i, (string, low, high)): (usize, (usize, u8, u8))| {
        let start = 0.05 + 0.49 * i as f64;
        [Note::new(start, 0.47, string, low), Note::new(start, 0.47, string + 1, high)]
    };
    Performance { notes: pairs.into_iter().enumerate().flat_map(stop).collect() }
}

/// A clean riff of eleven seconds to judge a wiring by: single notes, a double stop that sways, and two strummed chords
/// that ring long enough to turn a tone knob under them.
pub fn demo() -> Performance {
    let eighth = 0.27;
    let at = |beat: f64| 0.1 + eighth * beat;
    let sung = Gesture::Vibrato { semitones: 0.2, rate: 5.2, delay: 0.25, rise: 0.3 };
    let pushed = Gesture::Bend { semitones: 1.0, delay: 0.05, rise: 0.12 };
    // In eighths: beat, length, string, fret.
    let phrase = [
        (0.0, 1.9, 1, 2),
        (2.0, 0.9, 2, 4),
        (3.0, 0.9, 3, 2),
        (4.0, 1.4, 2, 0),
        (5.5, 0.45, 1, 5),
        (6.0, 0.9, 1, 2),
        (7.0, 0.9, 0, 3),
        (8.0, 1.9, 0, 2),
        (10.0, 0.9, 1, 4),
        (11.0, 0.9, 2, 2),
        (12.0, 0.9, 3, 4),
        (13.0, 2.4, 4, 3),
    ];
    let mut notes: Vec<Note> =
        phrase.map(|(beat, length, string, fret)| Note::new(at(beat), eighth * length, string, fret)).to_vec();
    notes.last_mut().expect("the phrase has notes").gesture = pushed;
    notes.extend(
        [(4, 5), (5, 3)]
            .map(|(string, fret)| Note { gesture: sung, ..Note::new(at(16.0), eighth * 3.6, string, fret) }),
    );
    notes.extend(strum(&B_MINOR_SEVENTH, at(20.0), eighth * 8.0, false));
    notes.extend(strum(&A_SUSPENDED, at(28.0), 3.3, true));
    Performance { notes }
}

/// Notes of equal length, one after the other.
fn line(notes: &[(usize, u8)], step: f64, length: f64) -> Performance {
    let note = |(i, &(string, fret)): (usize, &(usize, u8))| Note::new(0.05 + step * i as f64, length, string, fret);
    Performance { notes: notes.iter().enumerate().map(note).collect() }
}

/// A chord, string after string 12 ms apart, from the lowest up or (`upwards`, as the hand moves) from the highest down.
fn strum(chord: &Chord, start: f64, length: f64, upwards: bool) -> Vec<Note> {
    let played = chord.iter().enumerate().filter_map(|(string, fret)| fret.map(|fret| (string, fret)));
    let mut played: Vec<(usize, u8)> = played.collect();
    if upwards {
        played.reverse();
    }
    let note = |(i, (string, fret))| Note::new(start + 0.012 * i as f64, length, string, fret);
    played.into_iter().enumerate().map(note).collect()
}
