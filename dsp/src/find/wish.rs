//! From a sounds table, a guitar and switches to the conditions of a search.

use super::network::{Network, of_sound};
use super::order::{Order, hang, orders};
use super::poles::lugs_and_poles;
use super::task::{GROUND, HOT, State, Task};
use crate::document::{Guitar, KnobAction, Sounds, Switch};

/// A switch with its name, and for one beside the selector the label that moves it.
#[derive(Debug, Clone, PartialEq)]
pub struct Chosen {
    /// Name of its document.
    pub name: String,
    /// The document.
    pub switch: Switch,
    /// The control's label; none for the selector.
    pub label: Option<String>,
}

/// What each knob is in the wiring.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum KnobPart {
    /// The volume between the hot joint and the jack.
    Volume,
    /// A tone on the hot joint.
    MasterTone,
    /// A tone whose hot end is that element.
    Tone(usize),
    /// A blend of a pickup whose far end is that element.
    Blend(usize, usize),
    /// Nothing.
    Idle,
}

/// A task with what its document needs.
#[derive(Debug, Clone)]
pub(super) struct Plan {
    pub task: Task,
    /// By knob of the table.
    pub knobs: Vec<KnobPart>,
}

/// The wish in one combination of selector and switches.
#[derive(Debug, Clone)]
pub(super) struct Row {
    pub position: u8,
    pub setting: usize,
    /// Positions of all switches, from 0, the selector first.
    pub standing: Vec<usize>,
    /// The net, or silence; nothing at all when anything will do.
    pub network: Option<Option<Network>>,
    /// By knob.
    pub actions: Vec<Option<KnobAction>>,
}

/// Every combination with what is wished for in it.
pub(super) fn rows(sounds: &Sounds, names: &[String], switches: &[Chosen]) -> Vec<Row> {
    let counts: Vec<usize> = switches.iter().map(|chosen| chosen.switch.positions.len()).collect();
    let settings: usize = counts[1..].iter().product();
    let mut rows = Vec::new();
    for position in 0..counts[0] {
        for setting in 0..settings {
            let mut standing = vec![position];
            let mut rest = setting;
            for &count in &counts[1..] {
                standing.push(rest % count);
                rest /= count;
            }
            let moved: Vec<(String, String)> = switches[1..].iter().zip(&standing[1..]).filter_map(moved).collect();
            let number = u8::try_from(position + 1).unwrap_or(u8::MAX);
            let network = sounds.sound(number, &moved).map(|sound| of_sound(sound, names).ok().flatten());
            let actions = sounds.knobs.iter().map(|wish| sounds.action(&wish.label, number, &moved)).collect();
            rows.push(Row { position: number, setting, standing, network, actions });
        }
    }
    rows
}

fn moved((chosen, &standing): (&Chosen, &usize)) -> Option<(String, String)> {
    let label = chosen.label.clone()?;
    let name = chosen.switch.positions[standing].name.clone();
    (standing > 0).then(|| (label, name.unwrap_or_else(|| (standing + 1).to_string())))
}

/// The task with one order for every set of nets in series; there is one task for each way to string them.
pub(super) fn plans(sounds: &Sounds, guitar: &Guitar, switches: &[Chosen], rows: &[Row]) -> Vec<Plan> {
    let orders = orders(rows.iter().filter_map(|row| row.network.as_ref()?.as_ref()));
    // A pickup whose cover is on its own ground lead must have that lead on ground.
    let covered = |pickup: usize| guitar.pickups[pickup].grounded_cover;
    let possible = orders.iter().filter(|orders| !lifted(rows, orders).into_iter().any(covered));
    possible.map(|orders| plan(sounds, guitar, switches, rows, orders)).collect()
}

/// Gathers elements while a plan is made.
pub(super) struct Builder {
    elements: Vec<String>,
}

impl Builder {
    /// Adds an element and returns its number.
    pub fn add(&mut self, name: String) -> usize {
        self.elements.push(name);
        self.elements.len() - 1
    }
}

fn plan(sounds: &Sounds, guitar: &Guitar, switches: &[Chosen], rows: &[Row], orders: &Order) -> Plan {
    let mut builder = Builder { elements: vec!["hot".into(), "ground".into()] };
    let lifted = lifted(rows, orders);
    let mut pickups = Vec::new();
    for (index, pickup) in guitar.pickups.iter().enumerate() {
        let hot = builder.add(format!("{}.hot", pickup.name));
        let ground = if lifted.contains(&index) { builder.add(format!("{}.ground", pickup.name)) } else { GROUND };
        pickups.push((hot, ground));
    }
    let knobs: Vec<KnobPart> =
        sounds.knobs.iter().enumerate().map(|(knob, _)| knob_part(&mut builder, sounds, guitar, rows, knob)).collect();
    let leads = builder.elements.len();
    let (lugs, poles) = lugs_and_poles(&mut builder, switches);
    let state = |row: &Row| {
        let contacts = switches.iter().zip(&lugs).zip(&row.standing).flat_map(|((chosen, lugs), &standing)| {
            let names: Vec<&str> = chosen.switch.lugs().collect();
            let element = |lug: &String| names.iter().position(|name| name == lug).map_or(0, |at| 1u64 << lugs[at]);
            let groups = &chosen.switch.positions[standing].joined;
            groups.iter().map(|group| group.iter().fold(0, |set, lug| set | element(lug))).collect::<Vec<u64>>()
        });
        let contacts = contacts.filter(|contact| contact.count_ones() > 1).collect();
        state(row, contacts, &pickups, &knobs, guitar, orders)
    };
    let states = rows.iter().map(state).collect();
    let positions = switches[0].switch.positions.len();
    Plan { task: Task { elements: builder.elements, leads, pickups, states, poles, positions }, knobs }
}

/// Pickups whose ground lead must leave ground somewhere: reversed ones, and all that stand above others.
fn lifted(rows: &[Row], orders: &Order) -> Vec<usize> {
    let mut lifted = Vec::new();
    for network in rows.iter().filter_map(|row| row.network.as_ref()?.as_ref()) {
        hang(network, orders, &mut |pickup, reversed, _, bottom| {
            if reversed || bottom != 1 {
                lifted.push(pickup);
            }
        });
    }
    lifted
}

fn knob_part(builder: &mut Builder, sounds: &Sounds, guitar: &Guitar, rows: &[Row], knob: usize) -> KnobPart {
    let label = &sounds.knobs[knob].label;
    let sounding = || rows.iter().filter(|row| row.network.as_ref().is_none_or(Option::is_some));
    let actions = || sounding().filter_map(|row| row.actions[knob].as_ref());
    let main = actions().find(|action| **action != KnobAction::Nothing);
    match main {
        Some(KnobAction::Volume) => KnobPart::Volume,
        Some(KnobAction::Tone) if actions().all(|action| *action == KnobAction::Tone) => KnobPart::MasterTone,
        Some(KnobAction::Tone) => KnobPart::Tone(builder.add(format!("{label}.2"))),
        Some(KnobAction::Blend { pickup }) => {
            let index = guitar.pickups.iter().position(|known| known.name == *pickup).unwrap_or(0);
            KnobPart::Blend(index, builder.add(format!("{label}.2")))
        }
        _ => KnobPart::Idle,
    }
}

fn state(
    row: &Row,
    contacts: Vec<u64>,
    pickups: &[(usize, usize)],
    knobs: &[KnobPart],
    guitar: &Guitar,
    orders: &Order,
) -> State {
    let (position, setting) = (usize::from(row.position) - 1, row.setting);
    let mut state = State { position, setting, standing: row.standing.clone(), contacts, ..State::default() };
    let Some(network) = &row.network else {
        return State { free: true, ..state };
    };
    let mut classes = vec![1u64 << HOT, 1 << GROUND];
    let mut sounding = Vec::new();
    if let Some(network) = network {
        hang(network, orders, &mut |pickup, reversed, above, below| {
            sounding.push(pickup);
            let (hot, ground) = pickups[pickup];
            let (top, bottom) = if reversed { (ground, hot) } else { (hot, ground) };
            classes.resize(classes.len().max(above.max(below) + 1), 0);
            classes[above] |= 1 << top;
            classes[below] |= 1 << bottom;
        });
    }
    state.muted = (0..guitar.pickups.len()).filter(|pickup| !sounding.contains(pickup)).collect();
    for (part, action) in knobs.iter().zip(&row.actions) {
        let wanted = action.as_ref().is_some_and(|action| *action != KnobAction::Nothing) && network.is_some();
        let unwanted = *action == Some(KnobAction::Nothing) || network.is_none();
        match *part {
            KnobPart::Tone(end) if wanted => classes[0] |= 1 << end,
            KnobPart::Tone(end) if unwanted && network.is_some() => state.tones_off.push(end),
            KnobPart::Blend(pickup, end) if wanted => {
                classes[0] |= 1 << end;
                classes[1] |= 1 << pickups[pickup].1;
                state.blends_on.push((pickup, end));
            }
            KnobPart::Blend(pickup, end) if unwanted => state.blends_off.push((pickups[pickup].0, end)),
            _ => {}
        }
    }
    state.classes = classes;
    state
}
