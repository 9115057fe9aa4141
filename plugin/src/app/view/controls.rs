//! Selector, knobs, switches, cable, input, output.

use dryfit_dsp::conversion::Controls;
use dryfit_dsp::document::{AssembledKind, Assembly, ControlPlan};

use super::measured::Measured;
use super::{Shown, session_bench};
use crate::app::App;
use crate::app::gestures::{Moved, parameter};
use crate::editor::{BenchId, Control, ControlId, ControlKind};

/// The controls, labelled by the wiring on a bench.
pub(super) fn controls(app: &App, now: &Shown, measured: Option<&Measured>, front: BenchId) -> Vec<Control> {
    let assembly = measured.map(|measured| &measured.analysis.benches[front.index()].assembly);
    let positions = 1..=assembly.map_or(0, |assembly| usize::from(assembly.controls.positions));
    let sounds: Vec<String> =
        positions.filter_map(|position| app.desk.position_name(session_bench(front), position)).collect();
    let mut all = vec![Control {
        id: ControlId::Selector,
        label: "selector".into(),
        value: f64::from(now.controls.position).clamp(1.0, sounds.len().max(1) as f64),
        used: sounds.len() > 1,
        kind: ControlKind::Selector(sounds),
        reset: 1.0,
        text: now.controls.position.to_string(),
        tip: "The pickup selector. 1 is the bridge end.".into(),
    }];
    let knobs = app.parameters.knobs().len();
    let plan = assembly.map(|assembly| &assembly.controls);
    all.extend((0..knobs).map(|place| knob(plan, &now.controls, place, ControlId::Knob(place))));
    let switches = app.parameters.switches().len();
    all.extend((0..switches).filter_map(|place| switch(assembly?, &now.controls, place, ControlId::Switch(place))));
    for (id, label, tip) in [
        (ControlId::Cable, "cable", "What the cable adds: more of it lowers the resonance. About 100p a metre."),
        (ControlId::Input, "input", "What the guitar is plugged into. A low value takes height off the resonance."),
        (ControlId::Output, "output", "Level of whatever is heard."),
    ] {
        all.extend(parameter(&app.parameters, id).map(|moved| dial(id, label, tip, moved)));
    }
    all
}

fn dial(id: ControlId, label: &str, tip: &str, moved: Moved<'_>) -> Control {
    Control {
        id,
        label: label.into(),
        kind: ControlKind::Dial,
        value: moved.normalized().into(),
        reset: moved.default().into(),
        text: moved.text(),
        used: true,
        tip: tip.into(),
    }
}

/// A knob as the plan labels it.
pub(super) fn knob(plan: Option<&ControlPlan>, controls: &Controls, place: usize, id: ControlId) -> Control {
    let label = plan.and_then(|plan| plan.knobs.get(place)).and_then(Option::as_deref);
    let value = controls.knobs[place];
    Control {
        id,
        label: label.unwrap_or("not used").into(),
        kind: ControlKind::Knob,
        value,
        reset: 10.0,
        text: crate::text::decimal(value as f32, 1),
        used: label.is_some(),
        tip: match label {
            Some(label) => format!("{label}, 0 to 10. Drag up and down, turn the wheel, or type; shift moves finely."),
            None => "The wiring that sounds has no such knob.".into(),
        },
    }
}

/// A switch beside the selector, if the wiring has it.
pub(super) fn switch(assembly: &Assembly, controls: &Controls, place: usize, id: ControlId) -> Option<Control> {
    let (label, positions) = assembly.controls.switches.get(place)?;
    let document = assembly.parts.iter().find_map(|part| match &part.kind {
        AssembledKind::Switch { switch, index, .. } if *index == Some(place) => Some(switch),
        _ => None,
    });
    let name = |number: usize| {
        let named = document.and_then(|switch| switch.positions.get(number)?.name.clone());
        named.unwrap_or_else(|| (number + 1).to_string())
    };
    let names: Vec<String> = (0..usize::from(*positions)).map(name).collect();
    let value = controls.switches[place].clamp(1, (*positions).max(1));
    Some(Control {
        id,
        label: label.clone(),
        text: names.get(usize::from(value) - 1).cloned().unwrap_or_default(),
        kind: ControlKind::Switch(names),
        value: value.into(),
        reset: 1.0,
        used: true,
        tip: format!("The switch for {label}."),
    })
}
