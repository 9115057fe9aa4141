//! The sounds table of a bench, read off its circuit.

use dryfit_dsp::circuit::{Controls, describe_switches};
use dryfit_dsp::document::{Assembly, Sounds};
use dryfit_dsp::find::{Effect, Reading, Row};

use crate::editor::{KnobRow, SoundRow, SoundsSetting, SoundsView};

/// The table, with the row marked where the controls stand.
pub(super) fn view(assembly: &Assembly, reading: &Reading, controls: &Controls) -> SoundsView {
    let table = reading.sounds(assembly);
    SoundsView {
        settings: settings(assembly, reading, controls),
        knobs: table.as_ref().map(knobs).unwrap_or_default(),
        text: table.as_ref().map(Sounds::to_text).unwrap_or_default(),
        wordless: table.err(),
    }
}

fn settings(assembly: &Assembly, reading: &Reading, controls: &Controls) -> Vec<SoundsSetting> {
    let switches = assembly.controls.switches.len();
    let stands = standing(assembly, controls);
    let here = controls.position.clamp(1, assembly.controls.positions);
    let mut settings: Vec<SoundsSetting> = Vec::new();
    for row in &reading.rows {
        let standing = row.controls.switches[..switches].to_vec();
        let entry = SoundRow {
            position: row.controls.position,
            sound: row.words.clone(),
            knobs: acting(assembly, row),
            here: row.controls.position == here && standing == stands,
        };
        match settings.iter_mut().find(|known| known.standing == standing) {
            Some(known) => known.rows.push(entry),
            None => {
                let switches = describe_switches(assembly, &row.controls.switches);
                settings.push(SoundsSetting { switches, standing, rows: vec![entry] });
            }
        }
    }
    settings
}

/// Where the switches stand; beyond its last position a switch stays in that.
fn standing(assembly: &Assembly, controls: &Controls) -> Vec<u8> {
    let switches = assembly.controls.switches.iter().zip(controls.switches);
    switches.map(|((_, positions), stands)| stands.clamp(1, *positions)).collect()
}

/// Knobs that do something in a row; one that is called after what it does is only named.
fn acting(assembly: &Assembly, row: &Row) -> String {
    let pickups: Vec<String> = assembly.guitar.pickups.iter().map(|pickup| pickup.name.clone()).collect();
    let labels = assembly.controls.knobs.iter().zip(&row.knobs);
    let acting = labels.filter_map(|(label, effect)| Some((label.as_ref()?, effect)));
    let words = acting.filter(|(_, effect)| **effect != Effect::Nothing).map(|(label, effect)| {
        let does = effect.action(&pickups).map_or_else(|| "something else".into(), |action| action.to_string());
        if does == *label { does } else { format!("{label}: {does}") }
    });
    words.collect::<Vec<_>>().join(", ")
}

fn knobs(table: &Sounds) -> Vec<KnobRow> {
    let count = table.positions.len();
    table.knobs.iter().map(|wish| KnobRow { label: wish.label.clone(), does: wish.does(count) }).collect()
}
