//! Reads guitar documents.

use super::guitar::{Coil, Coupling, Guitar, GuitarString, Magnet, Pickup, Plate, StringMaterial, Winding};
use super::problem::{ProblemKind, Problems, suggestion};
use super::reader::{Lined, Reader, Section};
use crate::units::{self, Quantity};

/// Share of a wound string's gauge that is its core, unless the document says otherwise (typical, from memory).
const WOUND_CORE: f64 = 0.4;
/// Depth of a comb's nulls where nothing better is known, in dB: `design.md`, from real recordings.
const NULL_DEPTH_DB: f64 = -14.0;

impl Guitar {
    /// Reads a guitar document. `file` names it in problems.
    ///
    /// # Errors
    /// Everything that is wrong with it.
    pub fn read(file: &str, text: &str) -> Result<Self, Problems> {
        Reader::read(file, text, |top| {
            let title = top.text("title");
            let about = top.optional_text("about");
            let scale_length = top.quantity("scale-length", Quantity::Length);
            let strings: Vec<_> = top.tables("strings").iter().map(read_string).collect();
            let pickups: Vec<_> = top.named_tables("pickups").into_iter().map(read_pickup).collect();
            let names: Vec<_> = pickups.iter().flatten().map(|pickup| pickup.name.clone()).collect();
            let couplings: Vec<_> =
                top.tables("couplings").iter().map(|section| read_coupling(section, &names)).collect();
            report_missing(top, strings.len(), pickups.len());
            let guitar = Self {
                title: title?.value,
                about: about.map(|about| about.value).unwrap_or_default(),
                scale_length: scale_length?,
                strings: strings.into_iter().collect::<Option<_>>()?,
                pickups: pickups.into_iter().collect::<Option<_>>()?,
                couplings: couplings.into_iter().collect::<Option<_>>()?,
            };
            report_impossible(top, &guitar);
            Some(guitar)
        })
    }
}

fn report_missing(top: &Section<'_, '_>, strings: usize, pickups: usize) {
    if strings == 0 {
        let mend = "add a [[strings]] table for each, the lowest first";
        top.error(ProblemKind::MissingKey, top.line(), "the guitar has no strings", mend);
    }
    if pickups == 0 {
        let mend = "add a [pickups.NAME] table for each, from the bridge to the neck";
        top.error(ProblemKind::MissingKey, top.line(), "the guitar has no pickups", mend);
    }
}

fn report_impossible(top: &Section<'_, '_>, guitar: &Guitar) {
    for pickup in &guitar.pickups {
        if pickup.distance_low.max(pickup.distance_high) >= guitar.scale_length {
            let what = format!("the {} pickup lies beyond the nut", pickup.name);
            top.error(ProblemKind::OutOfRange, top.line(), what, "measure its distance from the bridge");
        }
    }
    for string in guitar.strings.iter().filter(|string| string.core > string.gauge) {
        let what =
            format!("a string's core ({}) is thicker than the string", units::write(string.core, Quantity::Length));
        top.error(ProblemKind::OutOfRange, top.line(), what, "give the core's diameter, or leave it out");
    }
}

fn read_string(section: &Section<'_, '_>) -> Option<GuitarString> {
    let pitch = section.text("pitch").and_then(|pitch| read_pitch(section, &pitch));
    let gauge = section.quantity("gauge", Quantity::Length);
    let material = choose(
        section,
        "material",
        &[
            ("plain-steel", StringMaterial::PlainSteel),
            ("nickel-wound", StringMaterial::NickelWound),
            ("steel-wound", StringMaterial::SteelWound),
        ],
    );
    let core = section.optional_quantity("core", Quantity::Length);
    let inharmonicity = section.optional_number("inharmonicity");
    if let Some(b) = inharmonicity.filter(|b| !(0.0..=0.01).contains(b)) {
        let mend = "give B of the open string, between 0 and 0.01, or leave it out";
        section.error(
            ProblemKind::OutOfRange,
            section.line(),
            format!("an inharmonicity of {b} is no guitar string's"),
            mend,
        );
    }
    let (gauge, material) = (gauge?, material?);
    if material == StringMaterial::PlainSteel && core.is_some() {
        section.error(ProblemKind::UnknownKey, section.line(), "a plain string has no core", "remove the line `core`");
    }
    let share = if material == StringMaterial::PlainSteel { 1.0 } else { WOUND_CORE };
    Some(GuitarString { pitch: pitch?, gauge, core: core.unwrap_or(share * gauge), material, inharmonicity })
}

fn read_pitch(section: &Section<'_, '_>, pitch: &Lined<String>) -> Option<f64> {
    let hertz = note_hertz(&pitch.value).or_else(|| units::parse(&pitch.value, Quantity::Frequency).ok());
    let sensible = hertz.filter(|hertz| (10.0..=2000.0).contains(hertz));
    if sensible.is_none() {
        let mend = "write a note with its octave such as \"E2\" (A4 is 440 Hz), or a frequency such as \"82.4 Hz\"";
        section.error(ProblemKind::UnknownUnit, pitch.line, format!("`{}` is no string's pitch", pitch.value), mend);
    }
    sensible
}

/// Frequency of a note such as `E2`, `F#3` or `Bb1` in equal temperament, A4 = 440 Hz (ISO 16).
fn note_hertz(name: &str) -> Option<f64> {
    let mut chars = name.chars();
    let step = match chars.next()? {
        'C' => 0,
        'D' => 2,
        'E' => 4,
        'F' => 5,
        'G' => 7,
        'A' => 9,
        'B' => 11,
        _ => return None,
    };
    let rest = chars.as_str();
    let (shift, octave) = match rest.chars().next()? {
        '#' => (1, &rest[1..]),
        'b' => (-1, &rest[1..]),
        _ => (0, rest),
    };
    let octave: i32 = octave.parse().ok().filter(|octave| (-1..=9).contains(octave))?;
    Some(440.0 * 2f64.powf(f64::from(12 * (octave - 4) + step + shift - 9) / 12.0))
}

fn read_pickup((name, section): (String, Section<'_, '_>)) -> Option<Pickup> {
    let section = &section;
    let distance = section.quantities::<2>("distance", Quantity::Length);
    let sensing_width = section.quantity("sensing-width", Quantity::Length);
    let null_depth_db = section.optional_quantity("null-depth", Quantity::Level).unwrap_or(NULL_DEPTH_DB);
    let output_db = section.optional_quantity("output", Quantity::Level).unwrap_or(0.0);
    let winding = choose(
        section,
        "winding",
        &[("clockwise", Winding::Clockwise), ("counter-clockwise", Winding::CounterClockwise)],
    );
    let magnet = choose(section, "magnet", &[("north", Magnet::North), ("south", Magnet::South)]);
    let voicing = read_voicing(section);
    let coil = read_coil(section);
    if null_depth_db > -1.0 {
        let mend = "give the depth as a negative level such as \"-14 dB\"";
        section.error(ProblemKind::OutOfRange, section.line(), "the comb's nulls are not below its tops", mend);
    }
    let [distance_low, distance_high] = distance?;
    let (sensing_width, winding, magnet, coil) = (sensing_width?, winding?, magnet?, coil?);
    Some(Pickup {
        name,
        distance_low,
        distance_high,
        sensing_width,
        null_depth_db,
        output_db,
        voicing,
        winding,
        magnet,
        coil,
    })
}

fn read_coil(section: &Section<'_, '_>) -> Option<Coil> {
    let resistance = section.quantity("resistance", Quantity::Resistance);
    let inductance = section.quantity("inductance", Quantity::Inductance);
    let capacitance = section.quantity("capacitance", Quantity::Capacitance);
    let eddy_resistance = section.optional_quantity("eddy-resistance", Quantity::Resistance);
    let plate = section.table("plate").and_then(|plate| {
        let factor = plate.number("inductance-factor");
        let eddy_resistance = plate.quantity("eddy-resistance", Quantity::Resistance);
        if factor.is_some_and(|factor| !(0.1..=10.0).contains(&factor)) {
            let mend = "give a factor such as 1.05";
            plate.error(ProblemKind::OutOfRange, plate.line(), "no plate changes the inductance so much", mend);
        }
        Some(Plate { inductance_factor: factor?, eddy_resistance: eddy_resistance? })
    });
    Some(Coil { resistance: resistance?, inductance: inductance?, capacitance: capacitance?, eddy_resistance, plate })
}

fn read_voicing(section: &Section<'_, '_>) -> Vec<(f64, f64)> {
    let knots = section.pairs("voicing", "pairs of frequency and level", |section, hertz, level| {
        let hertz = section.parse_quantity("voicing", hertz, Quantity::Frequency);
        let level = section.parse_quantity("voicing", level, Quantity::Level);
        Some((hertz?, level?))
    });
    let knots = knots.unwrap_or_default();
    if knots.windows(2).any(|pair| pair[0].0 >= pair[1].0) {
        let mend = "list them from the lowest frequency to the highest";
        section.error(ProblemKind::OutOfRange, section.line(), "the voicing's frequencies do not ascend", mend);
    }
    knots
}

fn read_coupling(section: &Section<'_, '_>, pickups: &[String]) -> Option<Coupling> {
    let between = section.texts("between");
    let coefficient = section.number("coefficient");
    let between = between?;
    for name in between.value.iter().filter(|name| !pickups.contains(&name.value)) {
        let near = suggestion(&name.value, pickups.iter().map(String::as_str));
        let what = format!("the guitar has no pickup `{}`{near}", name.value);
        section.error(ProblemKind::UnknownPart, name.line, what, "name two of its pickups");
    }
    let names: Vec<_> = between.value.into_iter().map(|name| name.value).collect();
    let Ok(between) = <[String; 2]>::try_from(names) else {
        section.error(ProblemKind::WrongType, between.line, "a coupling is between two pickups", "name two of them");
        return None;
    };
    let coefficient = coefficient?;
    if coefficient.abs() >= 1.0 || between[0] == between[1] {
        let mend = "give two different pickups and a coefficient between -1 and 1";
        section.error(ProblemKind::OutOfRange, section.line(), "no coils couple like this", mend);
    }
    Some(Coupling { between, coefficient })
}

fn choose<T: Copy>(section: &Section<'_, '_>, key: &'static str, choices: &[(&'static str, T)]) -> Option<T> {
    let text = section.text(key)?;
    let chosen = choices.iter().find(|(name, _)| *name == text.value).map(|&(_, value)| value);
    if chosen.is_none() {
        let names: Vec<_> = choices.iter().map(|&(name, _)| name).collect();
        let what = format!("`{}` is no {key}{}", text.value, suggestion(&text.value, names.iter().copied()));
        section.error(ProblemKind::UnknownName, text.line, what, &format!("write one of {}", names.join(", ")));
    }
    chosen
}
