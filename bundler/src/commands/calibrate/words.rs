//! What recordings said, in words.

use dryfit_dsp::calibration::{CalibratedPickup, Complaint, Figure, Place, Played};
use dryfit_dsp::document::Guitar;
use dryfit_dsp::string::StiffString;
use dryfit_dsp::units::{self, Quantity, significant};

use super::session::Told;
use crate::calibration::Measured;

/// The name of the note nearest to a pitch: `E2` for 82.4 Hz (A4 is 440 Hz, ISO 16).
fn note_name(hertz: f64) -> String {
    const NAMES: [&str; 12] = ["C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B"];
    let key = (69.0 + 12.0 * (hertz / 440.0).log2()).round() as i64;
    format!("{}{}", NAMES[key.rem_euclid(12) as usize], key.div_euclid(12) - 1)
}

/// A string as a player calls it, by its open note.
pub(super) fn string(guitar: &Guitar, index: usize) -> String {
    format!("{} string", note_name(guitar.strings[index].pitch))
}

fn place(guitar: &Guitar, place: &Place) -> String {
    match place.fret {
        0 => format!("{} open", string(guitar, place.string)),
        fret => format!("{} fret {fret}", string(guitar, place.string)),
    }
}

fn seconds(at: &[f64]) -> String {
    let list: Vec<String> = at.iter().map(|at| format!("{at:.1} s")).collect();
    list.join(", ")
}

/// A figure with its standard deviation twice, a band that holds in 95 of 100 cases: `45.2 +- 0.8`.
pub(super) fn band(figure: Figure, scale: f64, decimals: usize) -> String {
    format!("{:.decimals$} +- {:.decimals$}", scale * figure.value, 2.0 * scale * figure.sd)
}

/// One thing that does not fit, with what would mend it.
pub(super) fn complaint(complaint: &Complaint, guitar: &Guitar, passes: &[String], positions: &[String]) -> String {
    let (pass, what, mend) = match complaint {
        Complaint::TooFewNotes { pass, notes, seconds, played: Played::AsAsked } => (
            pass,
            format!("only {notes} notes of this guitar were found in {seconds:.1} s; it is not used"),
            "play the open strings and frets 5, 7 and 12 of each string, one note at a time, and let each ring for a second"
                .to_string(),
        ),
        Complaint::TooFewNotes { pass, notes, seconds, played: Played::Freely } => (
            pass,
            format!(
                "only {notes} notes of this guitar were heard by themselves in {seconds:.1} s; too few, and it is not used"
            ),
            "chords alone do not tell: play lines, single notes of a third of a second and more, on every string; or record what --take \
             asks for"
                .to_string(),
        ),
        Complaint::Clipped { pass, at } => (
            pass,
            format!("clipped at {}; these notes are not used", seconds(at)),
            "record it again at a lower level".into(),
        ),
        Complaint::Crowded { pass, at } => (
            pass,
            format!("more than one note sounds at {}; these are not used", seconds(at)),
            "mute the other strings, and let one note end before the next".into(),
        ),
        Complaint::OtherTuning { pass, string: one, semitones, at } => {
            let who = one.map_or("the guitar seems".into(), |index| format!("the {} seems", string(guitar, index)));
            let way = if *semitones < 0 { "lower" } else { "higher" };
            (
                pass,
                format!(
                    "{who} tuned {} semitones {way} than its document says (notes at {}); it is not used",
                    semitones.abs(),
                    seconds(at)
                ),
                "tell the tuning with --tuning, or tune and record again".into(),
            )
        }
        Complaint::OtherGuitar { pass, at, clear } => (
            pass,
            format!(
                "{} of {clear} notes are none that this guitar can play (at {}); it is not used",
                at.len(),
                seconds(at)
            ),
            "is it this guitar, and this tuning? Name the guitar with --guitar, the tuning with --tuning".into(),
        ),
        Complaint::OtherStrings { pass, strings } => {
            let list: Vec<String> =
                strings.iter().map(|(index, factor)| format!("{} {factor:.2} times", string(guitar, *index))).collect();
            (
                pass,
                format!("its strings are not those of the other passes ({} as stiff); it is not used", list.join(", ")),
                "is it another guitar, or were the strings changed? Record all passes on one guitar".into(),
            )
        }
        Complaint::WrongPosition { pass, sounds_like } => (
            pass,
            format!("it sounds like {}; it is not used", positions[*sounds_like]),
            "name the position it was recorded in, or record it again".into(),
        ),
        Complaint::Ambiguous { pass, other } => (
            pass,
            format!("it sounds like {} as well: recordings alone cannot tell", positions[*other]),
            "a ruler (--distance) or a pass in a position where another pickup is on as well would settle it".into(),
        ),
    };
    format!("{}: warning: {what}\n    mend: {mend}", passes[*pass])
}

/// What was heard of each pass, and what came of strings and pickups.
pub(super) fn report(told: &Told, guitar: &Guitar) -> Vec<String> {
    let calibrated = &told.calibrated;
    let mut lines = Vec::new();
    for (name, pass) in told.passes.iter().zip(&calibrated.passes) {
        let notes: usize = pass.notes.iter().map(|(_, count)| count).sum();
        let mut line = format!("{name}: {notes} notes, {} used", pass.used);
        if !pass.missing.is_empty() {
            let missing: Vec<String> = pass.missing.iter().map(|missing| place(guitar, missing)).collect();
            line += &format!("; missing: {}", missing.join(", "));
        }
        if !pass.unnamed.is_empty() {
            line += &format!("; no note of this guitar at {}", seconds(&pass.unnamed));
        }
        lines.push(line);
    }
    for (index, found) in calibrated.strings.iter().enumerate() {
        if found.notes == 0 {
            lines.push(format!("{}: never heard by itself; it stays as it was", string(guitar, index)));
            continue;
        }
        lines.push(format!(
            "{}: {} cents, stiffness {} +- {:.0} % ({} notes)",
            string(guitar, index),
            band(found.cents, 1.0, 1),
            significant(found.inharmonicity.value, 3),
            200.0 * found.inharmonicity.sd / found.inharmonicity.value,
            found.notes
        ));
    }
    for (pickup, found) in guitar.pickups.iter().zip(&calibrated.pickups) {
        lines.push(of_pickup(&pickup.name, found));
    }
    lines
}

fn of_pickup(name: &str, found: &CalibratedPickup) -> String {
    if !found.recorded {
        return format!("{name}: in no pass that could be used; it stays as it was");
    }
    let [low, high] = found.distances.map(|distance| band(distance, 1e3, 1));
    let width = band(found.sensing_width, 1e3, 0);
    let depth = band(found.null_depth_db, 1.0, 0);
    let mut line = format!("{name}: distance {low} | {high} mm, sensing width {width} mm, null depth {depth} dB");
    if found.reference {
        return line + "; level and voicing of the others are relative to it";
    }
    let widest = found.voicing.iter().map(|(_, figure)| 2.0 * figure.sd).fold(0.0, f64::max);
    line += &format!(", output {} dB, voicing +- {widest:.1} dB", band(found.output_db, 1.0, 1));
    line
}

/// Where recordings put a pickup elsewhere than the ruler did.
pub(super) fn contradictions(told: &Told, guitar: &Guitar, measured: &Measured) -> Vec<String> {
    /// Twice what a ruler is off by.
    const FAR: f64 = 2e-3;
    let pickups = guitar.pickups.iter().zip(&told.calibrated.pickups).enumerate();
    let measured = pickups.filter(|(index, (_, found))| found.recorded && measured.has_distance(*index));
    let far = measured.filter_map(|(_, (pickup, found))| {
        let ruled = [pickup.distance_low, pickup.distance_high];
        let off = found.distances.iter().zip(ruled).map(|(found, ruled)| (found.value - ruled).abs()).fold(0.0, f64::max);
        let name = &pickup.name;
        (off > FAR).then(|| {
            format!(
                "{name}: warning: the recordings put it {:.1} mm from where the ruler does\n    mend: measure again, from the \
                 saddle to the middle of the pole pieces; is this the guitar, and the scale length its own?",
                1e3 * off
            )
        })
    });
    far.collect()
}

/// What was found so far from the document that one of both may be of another guitar.
pub(super) fn surprises(told: &Told, guitar: &Guitar) -> Vec<String> {
    /// No document of the same guitar is off by more: in cents, as a factor, in metres.
    const CENTS: f64 = 40.0;
    const STIFFNESS: f64 = 2.0;
    const DISTANCE: f64 = 15e-3;
    let documented = StiffString::all(guitar);
    let strings = told.calibrated.strings.iter().zip(&documented).enumerate().filter(|(_, (found, documented))| {
        let stiffness = (found.inharmonicity.value / documented.inharmonicity).ln().abs();
        found.notes > 0 && (found.cents.value.abs() > CENTS || stiffness > STIFFNESS.ln())
    });
    let strings = strings.map(|(index, _)| string(guitar, index));
    let pickups = guitar.pickups.iter().zip(&told.calibrated.pickups).filter(|(pickup, found)| {
        let documented = [pickup.distance_low, pickup.distance_high];
        found.recorded
            && found.distances.iter().zip(documented).any(|(found, was)| (found.value - was).abs() > DISTANCE)
    });
    let pickups = pickups.map(|(pickup, _)| pickup.name.clone());
    let far = |what: String| {
        format!(
            "{what}: warning: far from what the document says\n    mend: is it this guitar, and was it recorded in this position? If not, do \
             not use what was written"
        )
    };
    strings.chain(pickups).map(far).collect()
}

/// What is not determined well, and what would settle it.
pub(super) fn wishes(told: &Told, guitar: &Guitar, measured: &Measured) -> Vec<String> {
    const LEVEL_DB: f64 = 0.5;
    const DISTANCE: f64 = 1.5e-3;
    let mut wishes = Vec::new();
    for (pickup, found) in guitar.pickups.iter().zip(&told.calibrated.pickups).filter(|(_, found)| found.recorded) {
        let name = &pickup.name;
        if found.distances.iter().any(|distance| 2.0 * distance.sd > DISTANCE) {
            wishes.push(format!(
                "{name}: its distance is not known to {}; a ruler (--distance {name}=LOW,HIGH) or another pass would settle it",
                units::write(DISTANCE, Quantity::Length)
            ));
        }
        if !found.reference && 2.0 * found.output_db.sd > LEVEL_DB {
            wishes.push(format!(
                "{name}: its level is not known to {LEVEL_DB} dB; passes in positions where it sounds together with another \
                 pickup would settle it"
            ));
        }
    }
    // Following is as true as the distance of the pickup that is asked for.
    let silent = guitar.pickups.iter().zip(&told.calibrated.pickups).enumerate();
    for (_, (pickup, _)) in silent.filter(|(index, (_, found))| !found.recorded && !measured.has_distance(*index)) {
        let name = &pickup.name;
        wishes.push(format!(
            "{name}: it does not sound in what was recorded, so its distance is the document's; a ruler (--distance {name}=LOW,HIGH) or a \
             recording of it would settle it"
        ));
    }
    wishes
}
