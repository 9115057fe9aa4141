//! Reads guitar documents.

use super::couplings::read_couplings;
use super::guitar::{Coil, Guitar, GuitarString, Magnet, Pickup, Plate, StringMaterial, Winding};
use super::limits;
use super::problem::{ProblemKind, Problems, shortened};
use super::reader::{Lined, Reader};
use super::section::Section;
use super::suggestion::suggestion;
use crate::units::{self, Quantity};

/// Share of a wound string's gauge that is its core, unless the document says otherwise (typical, from memory).
const WOUND_CORE: f64 = 0.4;
/// Depth of a comb's nulls where nothing better is known, in dB: `design.md`, from real recordings.
const NULL_DEPTH_DB: f64 = -14.0;

/// Lengths between nut and bridge that a guitar can have, from the smallest to a bass, in metres (with room to spare).
const SCALE_LENGTHS: (f64, f64) = (0.2, 1.2);
/// Gauges that a string can have, in metres (with room to spare).
const GAUGES: (f64, f64) = (1e-4, 4e-3);

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
            check_length(top, "scale-length", scale_length, SCALE_LENGTHS);
            let strings: Vec<_> = top.tables("strings", limits::STRINGS).iter().map(read_string).collect();
            let pickups = top.named_tables("pickups", limits::PICKUPS);
            let names: Vec<_> = pickups.iter().map(|(name, _)| name.clone()).collect();
            let pickups: Vec<_> = pickups.into_iter().map(|pickup| read_pickup(pickup, scale_length)).collect();
            let couplings = read_couplings(top, &names);
            report_missing(top);
            Some(Self {
                title: title?.value,
                about: about.map(|about| about.value).unwrap_or_default(),
                scale_length: scale_length?,
                strings: strings.into_iter().collect::<Option<_>>()?,
                pickups: pickups.into_iter().collect::<Option<_>>()?,
                couplings: couplings?,
            })
        })
    }
}

fn report_missing(top: &Section<'_, '_>) {
    if top.lacks("strings") {
        let mend = "add a table under a heading [[strings]] for each, the lowest first";
        top.error(ProblemKind::MissingKey, top.line_of_key("strings"), "the guitar has no strings", mend);
    }
    if top.lacks("pickups") {
        let mend = "add a table under a heading [pickups.NAME] for each, from the bridge to the neck";
        top.error(ProblemKind::MissingKey, top.line_of_key("pickups"), "the guitar has no pickups", mend);
    }
}

/// Reports a length that is read but cannot be meant.
fn check_length(section: &Section<'_, '_>, key: &'static str, length: Option<f64>, (low, high): (f64, f64)) {
    if let Some(length) = length.filter(|length| !(low..=high).contains(length)) {
        let write = |length| units::write(length, Quantity::Length);
        let what = format!("a {key} of {} is no guitar's", write(length));
        let mend = format!("measure again; it lies between {} and {}", write(low), write(high));
        section.error(ProblemKind::OutOfRange, section.line_of_key(key), what, &mend);
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
    check_length(section, "gauge", gauge, GAUGES);
    if gauge.zip(core).is_some_and(|(gauge, core)| core > gauge) {
        let mend = "give the core's diameter, or leave it out";
        section.error(
            ProblemKind::OutOfRange,
            section.line_of_key("core"),
            "the core is thicker than the string",
            mend,
        );
    }
    let inharmonicity = section.optional_number("inharmonicity");
    if let Some(b) = inharmonicity.filter(|b| !(0.0..=0.01).contains(b)) {
        let mend = "give B of the open string, between 0 and 0.01, or leave it out";
        let what = format!("an inharmonicity of {b} is no guitar string's");
        section.error(ProblemKind::OutOfRange, section.line_of_key("inharmonicity"), what, mend);
    }
    if material == Some(StringMaterial::PlainSteel) && core.is_some() {
        let mend = "remove the line `core`";
        section.error(ProblemKind::UnknownKey, section.line_of_key("core"), "a plain string has no core", mend);
    }
    let (gauge, material) = (gauge?, material?);
    let share = if material == StringMaterial::PlainSteel { 1.0 } else { WOUND_CORE };
    Some(GuitarString { pitch: pitch?, gauge, core: core.unwrap_or(share * gauge), material, inharmonicity })
}

fn read_pitch(section: &Section<'_, '_>, pitch: &Lined<String>) -> Option<f64> {
    let hertz = units::note_hertz(&pitch.value).or_else(|| units::parse(&pitch.value, Quantity::Frequency).ok());
    let sensible = hertz.filter(|hertz| (10.0..=2000.0).contains(hertz));
    if sensible.is_none() {
        let mend = "write a note with its octave such as \"E2\" (A4 is 440 Hz), or a frequency such as \"82.4 Hz\"";
        section.error(
            ProblemKind::UnknownUnit,
            pitch.line,
            format!("`{}` is no string's pitch", shortened(&pitch.value)),
            mend,
        );
    }
    sensible
}

fn read_pickup((name, section): (String, Section<'_, '_>), scale_length: Option<f64>) -> Option<Pickup> {
    let section = &section;
    check_pickup_name(section, &name);
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
    let grounded_cover = section.flag("grounded-cover");
    let voicing = read_voicing(section);
    let coil = read_coil(section);
    if null_depth_db > -1.0 {
        let mend = "give the depth as a negative level such as \"-14 dB\"";
        let line = section.line_of_key("null-depth");
        section.error(ProblemKind::OutOfRange, line, "the comb's nulls are not below its tops", mend);
    }
    report_beyond_nut(section, "distance", distance.map(|[low, high]| low.max(high)), scale_length);
    report_beyond_nut(section, "sensing-width", sensing_width, scale_length);
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
        grounded_cover,
        coil,
    })
}

fn check_pickup_name(section: &Section<'_, '_>, name: &str) {
    section.check_name(name, section.line());
    if ["jack", "selector", "reversed", "in"].contains(&name) {
        let mend = "give the pickup another name, such as bridge, middle or neck";
        section.error(ProblemKind::DuplicateName, section.line(), format!("`{name}` means something else"), mend);
    }
}

fn report_beyond_nut(section: &Section<'_, '_>, key: &'static str, length: Option<f64>, scale_length: Option<f64>) {
    if length.zip(scale_length).is_some_and(|(length, scale_length)| length >= scale_length) {
        let what = format!("the {key} reaches beyond the nut");
        let mend = "measure from the bridge; it must be less than the scale length";
        section.error(ProblemKind::OutOfRange, section.line_of_key(key), what, mend);
    }
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
            plate.error(
                ProblemKind::OutOfRange,
                plate.line_of_key("inductance-factor"),
                "no plate changes the inductance so much",
                mend,
            );
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
        let line = section.line_of_key("voicing");
        section.error(ProblemKind::OutOfRange, line, "the voicing's frequencies do not ascend", mend);
    }
    knots
}

fn choose<T: Copy>(section: &Section<'_, '_>, key: &'static str, choices: &[(&'static str, T)]) -> Option<T> {
    let text = section.text(key)?;
    let chosen = choices.iter().find(|(name, _)| *name == text.value).map(|&(_, value)| value);
    if chosen.is_none() {
        let names: Vec<_> = choices.iter().map(|&(name, _)| name).collect();
        let what =
            format!("`{}` is no {key}{}", shortened(&text.value), suggestion(&text.value, names.iter().copied()));
        section.error(ProblemKind::UnknownName, text.line, what, &format!("write one of {}", names.join(", ")));
    }
    chosen
}
