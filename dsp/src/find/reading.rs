//! The sounds table read off a wiring's circuit, without a number computed: contacts that are closed, tracks that are
//! turned to an end, and the pickups that are left between the jack's tip and ground.

use super::network::{Bridge, Edge, Network, reduce, sound};
use super::sets::Sets;
use crate::circuit::{Controls, combinations, joined, standing};
use crate::document::{AssembledKind, AssembledPart, Assembly, KnobAction, KnobWish, Pot, Setting, Sound, Sounds};

/// What a wiring does in every combination of selector and switches; the selector varies slowest.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// One per combination.
    pub rows: Vec<Row>,
}

/// What a wiring does where selector and switches stand, every knob being on 10 unless it is the one that is turned.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// Where selector and switches stand.
    pub controls: Controls,
    /// What sounds; none when nothing does.
    pub network: Option<Network>,
    /// The same in words: `bridge + middle`, `silent`.
    pub words: String,
    /// What each knob does, by its index; [`Effect::Nothing`] for a knob that the wiring lacks.
    pub knobs: Vec<Effect>,
}

/// What a knob does where selector and switches stand.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Effect {
    /// Nothing at all.
    Nothing,
    /// Turns everything down.
    Volume,
    /// Turns the treble down.
    Tone,
    /// Feeds the pickup of that index in under the others.
    Blend(usize),
    /// Something that a sounds table has no words for.
    Other,
}

/// What sounds where pickups are joined neither in series nor in parallel.
const BRIDGE: &str = "a bridge of pickups";

impl Effect {
    /// The same as a sounds table has it, pickups by their names; none for what it has no words for.
    pub fn action(&self, pickups: &[String]) -> Option<KnobAction> {
        match self {
            Self::Nothing => Some(KnobAction::Nothing),
            Self::Volume => Some(KnobAction::Volume),
            Self::Tone => Some(KnobAction::Tone),
            Self::Blend(pickup) => Some(KnobAction::Blend { pickup: pickups[*pickup].clone() }),
            Self::Other => None,
        }
    }
}

/// Reads what a wiring does in every combination of selector and switches.
pub fn read_off(assembly: &Assembly) -> Reading {
    Reading { rows: combinations(&assembly.controls).map(|controls| read_row(assembly, &controls)).collect() }
}

/// Reads what a wiring does where selector and switches stand.
pub fn read_row(assembly: &Assembly, controls: &Controls) -> Row {
    let base = Controls { knobs: [10.0; Controls::KNOBS], ..*controls };
    let closed = Closed::new(assembly, &base);
    let names = names(assembly);
    let words = match &closed.bass {
        Ok(network) => sound(network.as_ref(), &names).to_string(),
        Err(_) => BRIDGE.into(),
    };
    let effect = |knob: usize| {
        let mut turned = base;
        turned.knobs[knob] = 0.0;
        effect(&closed, &Closed::new(assembly, &turned))
    };
    let knobs = (0..assembly.controls.knobs.len()).map(effect).collect();
    Row { controls: base, network: closed.bass.clone().ok().flatten(), words, knobs }
}

impl Reading {
    /// The reading as a sounds table. With switches moved it lists what differs from what it says already.
    ///
    /// # Errors
    /// What the table has no words for, and where.
    pub fn sounds(&self, assembly: &Assembly) -> Result<Sounds, String> {
        let first = [1; Controls::SWITCHES];
        let mut sounds = Sounds {
            file: assembly.file.clone(),
            title: assembly.title.clone(),
            about: String::new(),
            positions: self.sounds_of(assembly, &first)?,
            knobs: self.knobs_of(assembly, &first)?,
            settings: Vec::new(),
            lines: Vec::new(),
        };
        for row in self.rows.iter().filter(|row| row.controls.position == 1 && row.controls.switches != first) {
            let switches = row.controls.switches;
            let moved: Vec<_> =
                standing::moved(assembly, &switches).map(|(label, at)| (label.to_string(), at)).collect();
            // Against what the settings with fewer switches moved say, which come before and hold here as well.
            let said = |number: u8, sound: &Sound| sounds.sound(number, &moved).is_some_and(|said| said.same_as(sound));
            let positions = (1..).zip(self.sounds_of(assembly, &switches)?);
            let positions = positions.filter(|(number, sound)| !said(*number, sound)).collect();
            let acts_so = |wish: &KnobWish| {
                let all = 1..=assembly.controls.positions;
                all.into_iter().all(|n| sounds.action(&wish.label, n, &moved) == Some(wish.action_in(n)))
            };
            let knobs = self.knobs_of(assembly, &switches)?;
            let knobs = knobs.into_iter().filter(|wish| !acts_so(wish)).collect();
            sounds.settings.push(Setting { switches: moved, positions, knobs, line: 0, lines: Vec::new() });
        }
        Ok(sounds)
    }

    fn rows_with<'a>(&'a self, switches: &'a [u8; Controls::SWITCHES]) -> impl Iterator<Item = &'a Row> {
        self.rows.iter().filter(move |row| row.controls.switches == *switches)
    }

    fn sounds_of(&self, assembly: &Assembly, switches: &[u8; Controls::SWITCHES]) -> Result<Vec<Sound>, String> {
        let names = names(assembly);
        let sound = |row: &Row| match row.words == BRIDGE {
            true => Err(format!("position {}: {BRIDGE}, neither in series nor in parallel", row.controls.position)),
            false => Ok(sound(row.network.as_ref(), &names)),
        };
        self.rows_with(switches).map(sound).collect()
    }

    fn knobs_of(&self, assembly: &Assembly, switches: &[u8; Controls::SWITCHES]) -> Result<Vec<KnobWish>, String> {
        let names = names(assembly);
        let labels = assembly.controls.knobs.iter().enumerate();
        let mut wishes = Vec::new();
        for (knob, label) in labels.filter_map(|(knob, label)| Some((knob, label.as_ref()?))) {
            let (mut action, mut positions) = (KnobAction::Nothing, Vec::new());
            for row in self.rows_with(switches).filter(|row| row.knobs[knob] != Effect::Nothing) {
                let this = row.knobs[knob]
                    .action(&names)
                    .filter(|this| action == KnobAction::Nothing || action == *this)
                    .ok_or_else(|| format!("position {}: no word for what `{label}` does", row.controls.position))?;
                action = this;
                positions.push(row.controls.position);
            }
            if positions.is_empty() {
                positions = (1..=assembly.controls.positions).collect();
            }
            wishes.push(KnobWish { label: label.clone(), action, positions, line: 0 });
        }
        Ok(wishes)
    }
}

/// Names of the guitar's pickups.
pub(super) fn names(assembly: &Assembly) -> Vec<String> {
    assembly.guitar.pickups.iter().map(|pickup| pickup.name.clone()).collect()
}

/// What is left between tip and ground where the controls stand: for the bass, and for the treble, to which capacitors are wires.
struct Closed {
    bass: Result<Option<Network>, Bridge>,
    treble: Result<Option<Network>, Bridge>,
}

impl Closed {
    fn new(assembly: &Assembly, controls: &Controls) -> Self {
        let sets = closed(assembly, controls);
        let mut treble = sets.clone();
        let mut carried = sets.clone();
        let ground = sets.find(Assembly::GROUND);
        for part in &assembly.parts {
            let capacitor = matches!(part.kind, AssembledKind::Capacitor { .. });
            if capacitor {
                treble.join(part.joints[0], part.joints[1]);
            }
            let passes = capacitor || matches!(part.kind, AssembledKind::Resistor { .. });
            if passes && part.joints.iter().all(|&joint| sets.find(joint) != ground) {
                carried.join(part.joints[0], part.joints[1]);
            }
        }
        // A part in the way of everything (a bass cut) carries the sound: without it nothing would be heard.
        let bass = match between(assembly, &sets) {
            Ok(None) => between(assembly, &carried),
            found => found,
        };
        Self { bass, treble: between(assembly, &treble) }
    }
}

/// The pickups between tip and ground.
fn between(assembly: &Assembly, sets: &Sets) -> Result<Option<Network>, Bridge> {
    let edge = |part: &AssembledPart| match part.kind {
        AssembledKind::Pickup(pickup) => {
            let [top, bottom] = [part.joints[0], part.joints[1]].map(|joint| sets.find(joint));
            Some(Edge { top, bottom, network: Network::Pickup { pickup, reversed: false } })
        }
        _ => None,
    };
    let edges = assembly.parts.iter().filter_map(edge).collect();
    reduce(edges, sets.find(assembly.tip()), sets.find(Assembly::GROUND))
}

/// What turning one knob from 10 to 0 changes.
fn effect(at_10: &Closed, at_0: &Closed) -> Effect {
    let (Ok(before), Ok(after)) = (&at_10.bass, &at_0.bass) else {
        return Effect::Other;
    };
    if before == after {
        return match (&at_10.treble, &at_0.treble) {
            (before, after) if before == after => Effect::Nothing,
            (_, Ok(None)) => Effect::Tone,
            _ => Effect::Other,
        };
    }
    let (Some(before), Some(after)) = (before, after) else {
        return if after.is_none() { Effect::Volume } else { Effect::Other };
    };
    let alone = |pickup: usize| before.clone().beside(Network::Pickup { pickup, reversed: false }).sorted();
    let pickups = |network: &Network| network.voices().into_iter().map(|(&pickup, _)| pickup).collect::<Vec<_>>();
    let mut fed = pickups(after);
    fed.retain(|pickup| !pickups(before).contains(pickup));
    match fed[..] {
        [pickup] if *after == alone(pickup) => Effect::Blend(pickup),
        _ => Effect::Other,
    }
}

/// Joins what contacts and tracks make one. A track counts as closed where it is turned to its end, and as open elsewhere.
fn closed(assembly: &Assembly, controls: &Controls) -> Sets {
    let mut sets = Sets::from_representatives(joined(assembly, controls));
    for part in &assembly.parts {
        if let AssembledKind::Pot { pot, knob } = &part.kind {
            let travel = controls.knobs[*knob] / 10.0;
            let (lower, upper) = closed_tracks(pot, travel);
            if lower {
                sets.join(part.joints[0], part.joints[1]);
            }
            if upper {
                sets.join(part.joints[1], part.joints[2]);
            }
        }
    }
    sets
}

/// Whether the halves of a track, below and above the wiper, are closed.
fn closed_tracks(pot: &Pot, travel: f64) -> (bool, bool) {
    let share = pot.taper.share(travel);
    (share <= 0.0, share >= 1.0 && !pot.no_load)
}
