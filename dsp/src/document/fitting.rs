//! Fits an add-on to a wiring. A wiring plus add-ons is a wiring.

use super::add_on::{Action, AddOn};
use super::problem::{Problem, ProblemKind, Problems, Severity, shortened};
use super::suggestion::suggestion;
use super::taper::Taper;
use super::wiring::{Joint, Part, PartKind, Wiring};

/// What keeps a step from being done, and what would mend it.
type Misfit = (ProblemKind, String, &'static str);

const ELSEWHERE: &str = "choose a wiring that has it, or edit the add-on to hook elsewhere";

impl AddOn {
    /// The wiring with this add-on fitted.
    ///
    /// # Errors
    /// Every lug or part that the wiring does not have, and every name that it has already.
    pub fn fit(&self, wiring: &Wiring) -> Result<Wiring, Problems> {
        let mut fitted = wiring.clone();
        let mut problems = Problems::default();
        fitted.title = format!("{} + {}", wiring.title, self.title);
        for need in self.needs.iter().filter(|need| wiring.part(need).is_none()) {
            let near = suggestion(need, wiring.parts.iter().map(|part| part.name.as_str()));
            let what = format!("the add-on is for wirings with a part `{}`{near}", shortened(need));
            let mend = "choose a wiring that has it, or leave the add-on out";
            problems.0.push(self.problem(self.needs_line, ProblemKind::UnknownPart, what, mend));
        }
        for part in self.parts.iter().filter(|part| wiring.part(&part.name).is_some()) {
            let what = format!("the wiring has a part called `{}` already", part.name);
            problems.0.push(self.problem(part.line, ProblemKind::DuplicateName, what, "rename it in the add-on"));
        }
        fitted.parts.extend(self.parts.iter().cloned());
        for joint in &self.joints {
            let name = free_name(&fitted, &joint.name);
            fitted.joints.push(Joint { name, ..joint.clone() });
        }
        for step in &self.steps {
            if let Err((kind, what, mend)) = step.action.apply(&mut fitted, &self.file, step.line) {
                problems.0.push(self.problem(step.line, kind, what, mend));
            }
        }
        problems.or(fitted)
    }

    fn problem(&self, line: usize, kind: ProblemKind, what: String, mend: &str) -> Problem {
        let (file, mend) = (self.file.clone(), mend.to_string());
        Problem { severity: Severity::Error, kind, file, line: Some(line), part: None, lug: None, what, mend }
    }
}

impl Action {
    fn apply(&self, wiring: &mut Wiring, file: &str, line: usize) -> Result<(), Misfit> {
        match self {
            Self::Move { lug, to } => {
                let target = joint_of(wiring, to)?;
                let source = joint_of(wiring, lug)?;
                wiring.joints[source].lugs.retain(|other| other != lug);
                wiring.joints[target].lugs.push(lug.clone());
                wiring.joints.retain(|joint| !joint.lugs.is_empty());
            }
            Self::Insert { lug, joint_side, lug_side } => {
                let source = joint_of(wiring, lug)?;
                [joint_side, lug_side].into_iter().try_for_each(|lug| check_free(wiring, lug))?;
                wiring.joints[source].lugs.retain(|other| other != lug);
                wiring.joints[source].lugs.push(joint_side.clone());
                let name = format!("{}-behind-{}", wiring.joints[source].name, joint_side.replace('.', "-"));
                let (name, lugs) = (free_name(wiring, &name), vec![lug.clone(), lug_side.clone()]);
                wiring.joints.push(Joint { name, lugs, line, file: file.to_string() });
            }
            Self::Join { lug, others } => {
                let target = joint_of(wiring, lug)?;
                others.iter().try_for_each(|lug| check_free(wiring, lug))?;
                wiring.joints[target].lugs.extend(others.iter().cloned());
            }
            Self::Change { part, value, taper, no_load } => {
                let known: Vec<_> = wiring.parts.iter().map(|part| part.name.clone()).collect();
                let Some(found) = wiring.parts.iter_mut().find(|candidate| candidate.name == *part) else {
                    let near = suggestion(part, known.iter().map(String::as_str));
                    let what = format!("the wiring has no part `{}`{near}", shortened(part));
                    return Err((ProblemKind::UnknownPart, what, ELSEWHERE));
                };
                change(found, value.as_deref(), taper.as_ref(), *no_load)?;
            }
        }
        Ok(())
    }
}

fn change(part: &mut Part, value: Option<&str>, taper: Option<&Taper>, no_load: Option<bool>) -> Result<(), Misfit> {
    if let Some(value) = value {
        part.kind
            .set_value(value)
            .map_err(|error| (ProblemKind::UnknownUnit, error, "give the part a value of its kind"))?;
    }
    if let PartKind::Pot(pot) = &mut part.kind {
        pot.taper = taper.unwrap_or(&pot.taper).clone();
        pot.no_load = no_load.unwrap_or(pot.no_load);
    } else if taper.is_some() || no_load.is_some() {
        let what = format!("`{}` is no pot, so it has neither taper nor track", part.name);
        return Err((ProblemKind::WrongType, what, "name a pot, or leave taper and no-load out"));
    }
    Ok(())
}

fn joint_of(wiring: &Wiring, lug: &str) -> Result<usize, Misfit> {
    wiring.joints.iter().position(|joint| joint.lugs.iter().any(|other| other == lug)).ok_or_else(|| {
        let known = wiring.joints.iter().flat_map(|joint| joint.lugs.iter().map(String::as_str));
        let near = suggestion(lug, known);
        let what = format!("the add-on hooks onto `{}`, which the wiring does not join{near}", shortened(lug));
        (ProblemKind::UnknownLug, what, ELSEWHERE)
    })
}

/// Whether a lug can be soldered somewhere: it exists, as far as can be told without guitar and switches, and is not
/// soldered elsewhere.
fn check_free(wiring: &Wiring, lug: &str) -> Result<(), Misfit> {
    let soldered = wiring.joints.iter().find(|joint| joint.lugs.iter().any(|other| other == lug));
    if let Some(joint) = soldered {
        let what = format!("`{}` sits on the joint `{}` already", shortened(lug), joint.name);
        return Err((ProblemKind::LugNamedTwice, what, "take it off there with [move], or join another lug"));
    }
    let (name, lug) = lug.split_once('.').unwrap_or((lug, ""));
    match wiring.part(name).map(|part| &part.kind) {
        Some(PartKind::Pot(_)) if !["1", "2", "3"].contains(&lug) => Err(no_lug(name, lug)),
        Some(PartKind::Capacitor { .. } | PartKind::Resistor { .. }) if !["1", "2"].contains(&lug) => {
            Err(no_lug(name, lug))
        }
        None if !["hot", "ground", "tip", "sleeve"].contains(&lug) => {
            let near = suggestion(name, wiring.parts.iter().map(|part| part.name.as_str()));
            let what = format!("there is no part `{}`{near}", shortened(name));
            Err((ProblemKind::UnknownPart, what, "describe the part in the add-on, or name one that is there"))
        }
        _ => Ok(()),
    }
}

fn no_lug(part: &str, lug: &str) -> Misfit {
    let what = format!("`{part}` has no lug `{}`", shortened(lug));
    (ProblemKind::UnknownLug, what, "a pot's lugs are 1, 2, 3, a capacitor's and a resistor's 1, 2")
}

/// A name that no joint of the wiring has: two joints of one name would be taken for one.
fn free_name(wiring: &Wiring, wanted: &str) -> String {
    let taken = |name: &str| wiring.joints.iter().any(|joint| joint.name == name);
    let mut name = wanted.to_string();
    for number in 2.. {
        if !taken(&name) {
            break;
        }
        name = format!("{wanted}-{number}");
    }
    name
}
