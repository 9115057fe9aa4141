//! What a session said, in words.

use super::checks::Complaint;
use super::figures::{Calibrated, CalibratedPickup, Figure};
use super::naming::{Place, Played};
use super::writing::Measured;
use crate::document::Guitar;
use crate::string::StiffString;
use crate::units::{self, Quantity, note_name, significant};

/// What a session said, with the names that it is told with.
#[derive(Debug, Clone)]
pub struct Told {
    /// What it said.
    pub calibrated: Calibrated,
    /// What the passes are called: files, or positions.
    pub passes: Vec<String>,
    /// What the positions are called: `position 1 (bridge)`.
    pub positions: Vec<String>,
}

/// Something that does not fit or is not known well, with what would mend it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Remark {
    /// The pass or pickup.
    pub about: String,
    /// What it is.
    pub what: String,
    /// What would mend it.
    pub mend: String,
    /// Whether a ruler would: the distance of the pickup.
    pub by_ruler: bool,
}

impl Told {
    /// Partials that scatter more than this around the fit show no comb, in dB.
    const LARGEST_SCATTER_DB: f64 = 4.0;

    /// Whether a document from it is better than a ruler's.
    pub fn is_usable(&self) -> bool {
        self.calibrated.scatter_db.is_some_and(|scatter| scatter <= Self::LARGEST_SCATTER_DB)
    }

    /// What does not fit.
    pub fn complaints(&self, guitar: &Guitar) -> Vec<Remark> {
        self.calibrated.complaints.iter().map(|complaint| self.complaint(complaint, guitar)).collect()
    }

    fn complaint(&self, complaint: &Complaint, guitar: &Guitar) -> Remark {
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
                "chords alone do not tell: play lines, single notes of a third of a second and more, on every string; or record \
                 the open strings and frets 5, 7 and 12, one note at a time"
                    .into(),
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
                    "describe the guitar as it is tuned, or tune it and record again".into(),
                )
            }
            Complaint::OtherGuitar { pass, at, clear } => (
                pass,
                format!(
                    "{} of {clear} notes are none that this guitar can play (at {}); it is not used",
                    at.len(),
                    seconds(at)
                ),
                "is it this guitar, and this tuning? Describe the guitar that was recorded, as it is tuned".into(),
            ),
            Complaint::OtherStrings { pass, strings } => {
                let list: Vec<String> = strings
                    .iter()
                    .map(|(index, factor)| format!("{} {factor:.2} times", string(guitar, *index)))
                    .collect();
                (
                    pass,
                    format!("its strings are not those of the other passes ({} as stiff); it is not used", list.join(", ")),
                    "is it another guitar, or were the strings changed? Record all passes on one guitar".into(),
                )
            }
            Complaint::WrongPosition { pass, sounds_like } => (
                pass,
                format!("it sounds like {}; it is not used", self.positions[*sounds_like]),
                "name the position it was recorded in, or record it again".into(),
            ),
            Complaint::Ambiguous { pass, other } => (
                pass,
                format!("it sounds like {} as well: recordings alone cannot tell", self.positions[*other]),
                "a ruler or a pass in a position where another pickup is on as well would settle it".into(),
            ),
        };
        Remark { about: self.passes[*pass].clone(), what, mend, by_ruler: false }
    }

    /// What was heard of each pass, and what came of strings and pickups.
    pub fn report(&self, guitar: &Guitar) -> Vec<String> {
        let calibrated = &self.calibrated;
        let mut lines = Vec::new();
        for (name, pass) in self.passes.iter().zip(&calibrated.passes) {
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

    /// Where recordings put a pickup elsewhere than the ruler did.
    pub fn contradictions(&self, guitar: &Guitar, measured: &Measured) -> Vec<Remark> {
        /// Twice what a ruler is off by.
        const FAR: f64 = 2e-3;
        let pickups = guitar.pickups.iter().zip(&self.calibrated.pickups).enumerate();
        let measured = pickups.filter(|(index, (_, found))| found.recorded && measured.has_distance(*index));
        let far = measured.filter_map(|(_, (pickup, found))| {
            let ruled = [pickup.distance_low, pickup.distance_high];
            let off =
                found.distances.iter().zip(ruled).map(|(found, ruled)| (found.value - ruled).abs()).fold(0.0, f64::max);
            (off > FAR).then(|| Remark {
                about: pickup.name.clone(),
                what: format!("the recordings put it {:.1} mm from where the ruler does", 1e3 * off),
                mend: "measure again, from the saddle to the middle of the pole pieces; is this the guitar, and the scale \
                       length its own?"
                    .into(),
                by_ruler: false,
            })
        });
        far.collect()
    }

    /// What was found so far from the document that one of both may be of another guitar.
    pub fn surprises(&self, guitar: &Guitar) -> Vec<Remark> {
        /// No document of the same guitar is off by more: in cents, as a factor, in metres.
        const CENTS: f64 = 40.0;
        const STIFFNESS: f64 = 2.0;
        const DISTANCE: f64 = 15e-3;
        let documented = StiffString::all(guitar);
        let strings = self.calibrated.strings.iter().zip(&documented).enumerate().filter(|(_, (found, documented))| {
            let stiffness = (found.inharmonicity.value / documented.inharmonicity).ln().abs();
            found.notes > 0 && (found.cents.value.abs() > CENTS || stiffness > STIFFNESS.ln())
        });
        let strings = strings.map(|(index, _)| string(guitar, index));
        let pickups = guitar.pickups.iter().zip(&self.calibrated.pickups).filter(|(pickup, found)| {
            let documented = [pickup.distance_low, pickup.distance_high];
            found.recorded
                && found.distances.iter().zip(documented).any(|(found, was)| (found.value - was).abs() > DISTANCE)
        });
        let pickups = pickups.map(|(pickup, _)| pickup.name.clone());
        let far = |about: String| Remark {
            about,
            what: "far from what the document says".into(),
            mend: "is it this guitar, and was it recorded in this position? If not, do not use what was found".into(),
            by_ruler: false,
        };
        strings.chain(pickups).map(far).collect()
    }

    /// What is not determined well, and what would settle it.
    pub fn wishes(&self, guitar: &Guitar, measured: &Measured) -> Vec<Remark> {
        const LEVEL_DB: f64 = 0.5;
        const DISTANCE: f64 = 1.5e-3;
        let mut wishes = Vec::new();
        for (pickup, found) in guitar.pickups.iter().zip(&self.calibrated.pickups).filter(|(_, found)| found.recorded) {
            let mut wish = |what: String, mend: &str, by_ruler: bool| {
                wishes.push(Remark { about: pickup.name.clone(), what, mend: mend.into(), by_ruler });
            };
            if found.distances.iter().any(|distance| 2.0 * distance.sd > DISTANCE) {
                wish(
                    format!("its distance is not known to {}", units::write(DISTANCE, Quantity::Length)),
                    "a ruler or another pass would settle it",
                    true,
                );
            }
            if !found.reference && 2.0 * found.output_db.sd > LEVEL_DB {
                wish(
                    format!("its level is not known to {LEVEL_DB} dB"),
                    "passes in positions where it sounds together with another pickup would settle it",
                    false,
                );
            }
        }
        // Following is as true as the distance of the pickup that is asked for.
        let pickups = guitar.pickups.iter().zip(&self.calibrated.pickups).enumerate();
        for (_, (pickup, _)) in pickups.filter(|(index, (_, found))| !found.recorded && !measured.has_distance(*index))
        {
            wishes.push(Remark {
                about: pickup.name.clone(),
                what: "it does not sound in what was recorded, so its distance is the document's".into(),
                mend: "a ruler or a recording of it would settle it".into(),
                by_ruler: true,
            });
        }
        wishes
    }
}

/// A string as a player calls it, by its open note: `E2 string`.
pub fn string(guitar: &Guitar, index: usize) -> String {
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
fn band(figure: Figure, scale: f64, decimals: usize) -> String {
    format!("{:.decimals$} +- {:.decimals$}", scale * figure.value, 2.0 * scale * figure.sd)
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
