//! How single notes are heard, of which the truth is known.

use dryfit_dsp::calibration::{Heard, listen};
use dryfit_dsp::string::{Gesture, Note, Performance, Realism, StiffString, synthesise};
use dryfit_tests::calibration::{add_noise, guitar};
use dryfit_tests::ground_truth::SAMPLE_RATE;

const SEED: u64 = 6101;

/// Notes on the guitar of the seed through its bridge pickup, with -70 dB of noise and hum.
fn heard(notes: Vec<Note>, realism: &Realism) -> Heard {
    let rate = f64::from(SAMPLE_RATE);
    let mut take = synthesise(&guitar(SEED).guitar, &Performance { notes }, SEED, rate, realism);
    take.scale(0.3);
    add_noise(&mut take.pickups[0], SEED, -70.0);
    listen(&take.pickups[0], rate)
}

/// High partials die while the note is still sharp. On the highest string, where stiffness stretches them least, that alone was heard as several
/// per cent of B.
#[test]
fn a_note_that_glides_is_as_stiff_as_one_that_keeps_its_pitch() {
    let string = StiffString::all(&guitar(SEED).guitar)[5];
    for fret in [0, 5, 7, 12] {
        let realism = Realism { glide_cents: (8.0, 8.0), ..Realism::ideal() };
        let heard = heard(vec![Note::new(0.2, 0.9, 5, fret)], &realism);
        let [note] = heard.notes.as_slice() else { panic!("fret {fret}: {} notes", heard.notes.len()) };
        let off = note.inharmonicity.0 / string.fretted(fret.into()).inharmonicity - 1.0;
        assert!(off.abs() < 0.02, "fret {fret}: {:.1} % off", 100.0 * off);
    }
}

#[test]
fn what_hums_on_behind_a_damped_note_does_not_make_it_unsteady() {
    let notes = [0, 1, 0, 1].into_iter().zip([0, 5, 7, 12]).enumerate();
    let notes: Vec<Note> = notes.map(|(at, (string, fret))| Note::new(0.2 + at as f64, 0.6, string, fret)).collect();
    let heard = heard(notes, &Realism::played());
    assert_eq!(heard.notes.len(), 4);
    assert!(
        heard.notes.iter().all(|note| note.is_clear()),
        "{:?}",
        heard.notes.iter().map(|note| note.steady).collect::<Vec<_>>()
    );
}

#[test]
fn a_bent_note_is_not_steady() {
    let bend = Gesture::Bend { semitones: 1.0, delay: 0.1, rise: 0.3 };
    let heard = heard(vec![Note { gesture: bend, ..Note::new(0.2, 0.9, 3, 7) }], &Realism::played());
    assert!(heard.notes.len() == 1 && !heard.notes[0].steady);
}
