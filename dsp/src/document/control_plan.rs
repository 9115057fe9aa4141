//! What the controls of a wiring are called, and where on the guitar they sit.

use super::assembly::Assembly;
use super::builder::{Builder, Place};
use super::problem::{ProblemKind, shortened};
use super::suggestion::suggestion;
use super::switch::SwitchKind;
use super::wiring::{Part, PartKind};

/// What the controls are called, and where on the guitar they sit.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ControlPlan {
    /// Number of selector positions, 1 without a selector.
    pub positions: u8,
    /// Label of each knob, by index; none where the guitar has a knob that this wiring does not use.
    pub knobs: Vec<Option<String>>,
    /// Label of each switch beside the selector and its number of positions, by index.
    pub switches: Vec<(String, u8)>,
}

impl ControlPlan {
    /// Index of the knob with that label.
    pub fn knob(&self, label: &str) -> Option<usize> {
        self.knobs.iter().position(|knob| knob.as_deref() == Some(label))
    }

    /// Index of the switch with that label.
    pub fn switch(&self, label: &str) -> Option<usize> {
        self.switches.iter().position(|(switch, _)| switch == label)
    }

    /// Every label there is.
    pub fn labels(&self) -> impl Iterator<Item = &str> {
        self.knobs.iter().flatten().map(String::as_str).chain(self.switches.iter().map(|(label, _)| label.as_str()))
    }

    /// The knob of that label; a new one goes to the first free place.
    fn place_knob(&mut self, label: &str) {
        if self.knob(label).is_some() {
            return;
        }
        match self.knobs.iter_mut().find(|knob| knob.is_none()) {
            Some(free) => *free = Some(label.to_string()),
            None => self.knobs.push(Some(label.to_string())),
        }
    }
}

impl Builder<'_> {
    /// Gives every label its place and reports what cannot be.
    pub(super) fn plan(&mut self) -> ControlPlan {
        let wiring = self.wiring;
        let mut plan = ControlPlan { positions: 1, ..ControlPlan::default() };
        for (number, label) in &wiring.knobs {
            let index = usize::from(*number).saturating_sub(1);
            plan.knobs.resize(plan.knobs.len().max(index + 1), None);
            plan.knobs[index] = Some(label.clone());
        }
        for part in &wiring.parts {
            match &part.kind {
                PartKind::Pot(pot) => {
                    plan.place_knob(&pot.control);
                    let (count, most) = (plan.knobs.len(), Assembly::MOST_CONTROLS.0);
                    self.check_count(part, count, most, "knobs");
                }
                PartKind::Selector { switch } => {
                    plan.positions = self.positions(part, switch, SwitchKind::Selector).unwrap_or(1);
                }
                PartKind::Switch { switch, control, on_pot } => {
                    self.plan_switch(part, switch, control, &mut plan);
                    self.check_carrier(part, on_pot.as_deref());
                }
                _ => {}
            }
        }
        self.check_combinations(&plan);
        plan
    }

    fn plan_switch(&mut self, part: &Part, switch: &str, control: &str, plan: &mut ControlPlan) {
        let place = Place::of(part);
        let is_knob = |other: &Part| matches!(&other.kind, PartKind::Pot(pot) if pot.control == control);
        if let Some(pot) = self.wiring.parts.iter().find(|other| is_knob(other)).filter(|_| !control.is_empty()) {
            let what = format!("the control `{}` is the knob of `{}` already", shortened(control), pot.name);
            let mend = format!("give the switch a label of its own, such as \"{} switch\"", shortened(control));
            self.error(ProblemKind::DuplicateName, place, what, &mend);
        }
        let Some(positions) = self.positions(part, switch, SwitchKind::Toggle) else {
            return;
        };
        match plan.switch(control) {
            Some(index) if plan.switches[index].1 != positions => {
                let what = format!(
                    "it has {positions} positions, but another switch on the control `{}` has {}",
                    shortened(control),
                    plan.switches[index].1
                );
                self.error(ProblemKind::WrongSwitch, place, what, "give it a control of its own");
            }
            Some(_) => {}
            None => {
                plan.switches.push((control.to_string(), positions));
                let (count, most) = (plan.switches.len(), Assembly::MOST_CONTROLS.1);
                self.check_count(part, count, most, "switches beside the selector");
            }
        }
    }

    /// Number of positions of a part's switch, when its document is there and right.
    fn positions(&mut self, part: &Part, switch: &str, wanted: SwitchKind) -> Option<u8> {
        let found = self.switch(part, switch)?;
        let (kind, positions) = (found.kind, found.positions.len());
        if kind != wanted {
            let (is, mend) = match kind {
                SwitchKind::Selector => ("a selector", "choose a toggle or push-pull here"),
                SwitchKind::Toggle => ("a toggle or push-pull", "choose a lever for the selector"),
            };
            let what = format!("`{}` is {is}", shortened(switch));
            self.error(ProblemKind::WrongSwitch, Place::of(part), what, mend);
        }
        u8::try_from(positions).ok()
    }

    /// Reports a switch on a pot that is not there, or that carries one already.
    fn check_carrier(&mut self, part: &Part, on_pot: Option<&str>) {
        let wiring = self.wiring;
        let carried =
            |other: &&Part| matches!(&other.kind, PartKind::Switch { on_pot: Some(pot), .. } if Some(&**pot) == on_pot);
        if let Some(first) = wiring.parts.iter().find(carried).filter(|first| first.name != part.name) {
            let what =
                format!("the shaft of `{}` carries `{}` already", shortened(on_pot.unwrap_or_default()), first.name);
            self.error(ProblemKind::WrongSwitch, Place::of(part), what, "name another pot: a shaft carries one switch");
        }
        let pots = || wiring.parts.iter().filter(|part| matches!(part.kind, PartKind::Pot(_)));
        let Some(wanted) = on_pot.filter(|wanted| !pots().any(|pot| pot.name == *wanted)) else {
            return;
        };
        let near = suggestion(wanted, pots().map(|pot| pot.name.as_str()));
        let what = format!("`on-pot` names `{}`, which is no pot{near}", shortened(wanted));
        self.error(ProblemKind::UnknownPart, Place::of(part), what, "name the pot whose shaft carries the switch");
    }

    /// Reports the first control too many.
    fn check_count(&mut self, part: &Part, count: usize, most: usize, what: &str) {
        if count > most && !self.problems.0.iter().any(|problem| problem.mend.ends_with(what)) {
            let sentence = format!("{count} {what} are more than the {most} that fit");
            self.error(ProblemKind::TooLarge, Place::of(part), sentence, &format!("use at most {most} {what}"));
        }
    }

    fn check_combinations(&mut self, plan: &ControlPlan) {
        let switches = plan.switches.iter().map(|&(_, positions)| usize::from(positions));
        let combinations = switches.fold(usize::from(plan.positions), usize::saturating_mul);
        if combinations > Assembly::MOST_COMBINATIONS && plan.switches.len() <= Assembly::MOST_CONTROLS.1 {
            let most = Assembly::MOST_COMBINATIONS;
            let what = format!("selector and switches can stand in {combinations} ways, more than the {most} that fit");
            let last = self.wiring.parts.iter().rfind(|part| matches!(part.kind, PartKind::Switch { .. }));
            let place = last.map(|part| Place { part: None, ..Place::of(part) }).unwrap_or_default();
            self.error(ProblemKind::TooLarge, place, what, "use fewer switches, or ones with fewer positions");
        }
    }
}
