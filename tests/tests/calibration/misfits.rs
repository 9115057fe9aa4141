//! Passes that do not fit: each is told, with the notes, and never spoils the document unseen.

use dryfit_dsp::calibration::{Calibrated, Complaint, Known, Pass, Played, Session, calibrate};
use dryfit_dsp::document::Guitar;
use dryfit_dsp::string::Note;
use dryfit_tests::calibration::{Truth, guitar, performance, positions, recording};
use dryfit_tests::ground_truth::SAMPLE_RATE;

const NOISE_DB: f64 = -70.0;

/// Recordings, each with the position (from 1) that it is said to be, as one session on the described guitar.
fn heard(described: &Guitar, passes: &[(u8, &[f32])]) -> Calibrated {
    let (grid, positions) = positions(described);
    let pass = |(position, samples): &(u8, &'_ [f32])| (usize::from(*position) - 1, samples.to_vec());
    let owned: Vec<(usize, Vec<f32>)> = passes.iter().map(pass).collect();
    let passes = owned.iter().map(|(position, samples)| Pass {
        name: String::new(),
        position: *position,
        samples,
        sample_rate: f64::from(SAMPLE_RATE),
        played: Played::AsAsked,
    });
    let known = vec![Known::TYPICAL; described.pickups.len()];
    calibrate(&Session { guitar: described, known, positions, grid, passes: passes.collect() })
}

fn pass(truth: &Truth, position: u8, seed: u64) -> Vec<f32> {
    recording(&truth.guitar, &performance(seed, 0.0), position, seed, NOISE_DB)
}

fn left_out(found: &Calibrated, pass: usize) -> bool {
    found.complaints.iter().any(|complaint| complaint.leaves_out(pass))
}

#[test]
fn a_pass_in_another_position_than_it_is_said_to_be_is_told_and_left_out() {
    for (seed, said, is) in [(71, 1, 5), (72, 5, 1), (73, 3, 5), (74, 1, 3), (75, 5, 3)] {
        let truth = guitar(seed);
        let found = heard(&truth.described, &[(said, &pass(&truth, is, seed))]);
        let wanted = Complaint::WrongPosition { pass: 0, sounds_like: usize::from(is) - 1 };
        assert!(found.complaints.contains(&wanted), "said {said}, is {is}: {:?}", found.complaints);
        // Nothing is left, so every pickup stays as the document had it.
        assert_eq!(found.guitar.pickups, truth.described.pickups);
    }
}

#[test]
fn a_pass_in_the_position_it_is_said_to_be_is_believed() {
    for seed in 81..84 {
        let truth = guitar(seed);
        for position in 1..=5 {
            let found = heard(&truth.described, &[(position, &pass(&truth, position, seed))]);
            assert!(!left_out(&found, 0), "seed {seed}, position {position}: {:?}", found.complaints);
        }
    }
}

#[test]
fn two_notes_at_once_are_told_with_their_times_and_not_used() {
    let truth = guitar(91);
    let mut performance = performance(91, 0.0);
    // Fourths and thirds beside every fourth note.
    let crowded: Vec<f64> = performance.notes.iter().step_by(4).map(|note| note.start).collect();
    let beside = |note: &Note| {
        let string = if note.string == 5 { 4 } else { note.string + 1 };
        Note { string, fret: note.fret + 1, ..*note }
    };
    let others: Vec<Note> = performance.notes.iter().step_by(4).map(beside).collect();
    performance.notes.extend(others);
    let found = heard(&truth.described, &[(1, &recording(&truth.guitar, &performance, 1, 91, NOISE_DB))]);
    let told = found.complaints.iter().find_map(|complaint| match complaint {
        Complaint::Crowded { at, .. } => Some(at.clone()),
        _ => None,
    });
    let told = told.unwrap_or_else(|| panic!("{:?}", found.complaints));
    let is_told = |start: &&f64| told.iter().any(|at| (at - *start).abs() < 0.1);
    let right = crowded.iter().filter(is_told).count();
    // One of two may be taken for overtones of the other.
    assert!(right + 1 >= crowded.len() && told.len() <= crowded.len() + 1, "{told:?} of {crowded:?}");
    assert!(found.passes[0].used <= 24 - right, "{:?}", found.passes);
}

#[test]
fn another_tuning_is_told_with_its_semitones_and_the_notes() {
    // All a semitone down, all a tone down, and the lowest string a tone down.
    for (seed, strings, semitones) in [(101, 0..6, -1), (102, 0..6, -2), (103, 0..1, -2), (104, 0..6, 1)] {
        let mut truth = guitar(seed);
        let all = strings.len() > 1;
        truth.guitar.strings[strings].iter_mut().for_each(|string| {
            let ratio = (f64::from(semitones) / 12.0).exp2();
            string.pitch *= ratio;
            // At less tension a string is stiffer in comparison.
            string.inharmonicity = string.inharmonicity.map(|b| b / (ratio * ratio));
        });
        let found = heard(&truth.described, &[(1, &pass(&truth, 1, seed))]);
        let told = found.complaints.iter().find_map(|complaint| match complaint {
            Complaint::OtherTuning { string, semitones, at, .. } => Some((*string, *semitones, at.len())),
            _ => None,
        });
        let (string, told, notes) = told.unwrap_or_else(|| panic!("{semitones}: {:?}", found.complaints));
        assert_eq!((string, told), (if all { None } else { Some(0) }, semitones));
        assert!(notes >= 2);
        assert!(left_out(&found, 0));
    }
}

#[test]
fn clipped_notes_are_told_and_not_used() {
    let truth = guitar(111);
    let mut take = pass(&truth, 1, 111);
    let peak = take.iter().fold(0.0f32, |peak, sample| peak.max(sample.abs()));
    take.iter_mut().for_each(|sample| *sample = sample.clamp(-0.4 * peak, 0.4 * peak));
    let found = heard(&truth.described, &[(1, &take)]);
    let told =
        found.complaints.iter().any(|complaint| matches!(complaint, Complaint::Clipped { at, .. } if at.len() > 5));
    assert!(told, "{:?}", found.complaints);
    assert!(found.passes[0].used < 18, "{}", found.passes[0].used);
}

#[test]
fn three_seconds_are_told_to_be_too_few_notes_with_what_is_missing() {
    let truth = guitar(121);
    let take = pass(&truth, 1, 121);
    let found = heard(&truth.described, &[(1, &take[..3 * SAMPLE_RATE as usize])]);
    let told = found.complaints.iter().any(|complaint| {
        matches!(complaint, Complaint::TooFewNotes { notes, seconds, .. } if *notes < 5 && (seconds - 3.0).abs() < 1e-6)
    });
    assert!(told, "{:?}", found.complaints);
    assert!(found.passes[0].missing.len() >= 20);
    assert_eq!(found.guitar.pickups, truth.described.pickups);
}

#[test]
fn a_pass_from_another_guitar_is_told_with_the_strings() {
    let (truth, mut other) = (guitar(131), guitar(132));
    // A set one size heavier is a fifth stiffer (B goes as the square of the gauge).
    for (string, own) in other.guitar.strings.iter_mut().zip(&truth.guitar.strings) {
        string.inharmonicity = own.inharmonicity.map(|b| 1.25 * b);
    }
    let passes = [pass(&truth, 1, 131), pass(&truth, 3, 132), pass(&other, 5, 133)];
    let found = heard(&truth.described, &[(1, &passes[0]), (3, &passes[1]), (5, &passes[2])]);
    let told = found.complaints.iter().find_map(|complaint| match complaint {
        Complaint::OtherStrings { pass, strings } => Some((*pass, strings.len())),
        _ => None,
    });
    let (pass, strings) = told.unwrap_or_else(|| panic!("{:?}", found.complaints));
    assert!(pass == 2 && strings >= 3, "{:?}", found.complaints);
    assert!(left_out(&found, 2) && !left_out(&found, 0) && !left_out(&found, 1));
}

#[test]
fn what_is_no_guitar_at_all_leaves_everything_as_it_was() {
    let truth = guitar(141);
    let noise: Vec<f32> = {
        let mut noise = vec![0.0; 10 * SAMPLE_RATE as usize];
        dryfit_tests::calibration::add_noise(&mut noise, 3, -20.0);
        noise
    };
    let silent = vec![0.0; SAMPLE_RATE as usize];
    let short = vec![0.1; 3];
    for take in [&noise, &silent, &short, &Vec::new()] {
        let found = heard(&truth.described, &[(1, take)]);
        assert!(left_out(&found, 0), "{:?}", found.complaints);
        assert_eq!(found.guitar, truth.described);
    }
}
