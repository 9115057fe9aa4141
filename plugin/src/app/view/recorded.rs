//! What the take was made with.

use dryfit_dsp::document::{Guitar, Pickup, Winding};
use dryfit_dsp::units::{self, Quantity};
use nih_plug::prelude::Param;

use super::controls::{knob, switch};
use crate::app::App;
use crate::compile::names::{position_names, sounding};
use crate::editor::{Control, ControlId, ControlKind, PickupRow, RecordedView};
use crate::session::Project;

pub(super) fn recorded(app: &App, project: &Project) -> RecordedView {
    let Ok(guitar) = project.read_guitar() else { return RecordedView::default() };
    let controls = &project.recorded.controls;
    let Ok(assembly) = project.recorded.setup.assemble(&guitar) else { return RecordedView::default() };
    let plan = &assembly.controls;
    let load = [
        units::write(controls.load.cable, Quantity::Capacitance),
        units::write(controls.load.input, Quantity::Resistance),
    ];
    let mut all = Vec::new();
    if plan.positions > 1 {
        all.push(Control {
            id: ControlId::RecordedSelector,
            label: "selector as recorded".into(),
            kind: ControlKind::Selector(position_names(&assembly)),
            value: f64::from(controls.position.clamp(1, plan.positions)),
            reset: 1.0,
            text: controls.position.to_string(),
            used: true,
            tip: "Where the selector stood while the take was recorded.".into(),
        });
    }
    all.extend((0..plan.knobs.len()).map(|place| knob(Some(plan), controls, place, ControlId::RecordedKnob(place))));
    let switches = 0..plan.switches.len();
    all.extend(switches.filter_map(|place| switch(&assembly, controls, place, ControlId::RecordedSwitch(place))));
    let picofarads = (controls.load.cable * 1e12) as f32;
    let cable = app.parameters.cable.preview_normalized(picofarads);
    all.push(dial(ControlId::RecordedCable, "cable", cable, app.parameters.cable.default_normalized_value(), &load[0]));
    let input = app.parameters.input.preview_normalized(controls.load.input as f32);
    all.push(dial(ControlId::RecordedInput, "input", input, app.parameters.input.default_normalized_value(), &load[1]));
    let open = controls.knobs.iter().take(plan.knobs.len()).all(|&knob| knob == 10.0);
    let knobs = if open { "all on 10" } else { "knobs turned down" };
    RecordedView {
        summary: format!("{}, {}, {knobs}, {}, {}", guitar.title, sounding(&assembly, controls), load[0], load[1]),
        assumed: project.assumption().map(str::to_string),
        guitar: project.guitar.name.clone(),
        guitar_title: guitar.title.clone(),
        pickups: guitar.pickups.iter().map(|pickup| row(&guitar, pickup)).collect(),
        about_guitar: format!(
            "scale length {}, {} strings",
            units::write(guitar.scale_length, Quantity::Length),
            guitar.strings.len()
        ),
        wiring: project.recorded.setup.wiring.name.clone(),
        controls: all,
    }
}

fn dial(id: ControlId, label: &str, value: f32, reset: f32, text: &str) -> Control {
    Control {
        id,
        label: label.into(),
        kind: ControlKind::Dial,
        value: value.into(),
        reset: reset.into(),
        text: text.into(),
        used: true,
        tip: format!("The {label} with which the take was recorded."),
    }
}

fn row(guitar: &Guitar, pickup: &Pickup) -> PickupRow {
    let strings = guitar.strings.len();
    let distance = |string| units::write(pickup.distance(string, strings), Quantity::Length);
    PickupRow {
        name: pickup.name.clone(),
        low: distance(0),
        high: distance(strings.saturating_sub(1)),
        coil: format!(
            "{}, {}",
            units::write(pickup.coil.resistance, Quantity::Resistance),
            units::write(pickup.coil.inductance, Quantity::Inductance)
        ),
        sense: if pickup.winding == Winding::Clockwise { String::new() } else { "reverse wound".into() },
    }
}
