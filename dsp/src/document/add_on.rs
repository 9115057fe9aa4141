//! Add-ons: fragments that hook onto named lugs of a wiring. A wiring plus add-ons is a wiring.

use serde::Serialize;

use super::problem::{Problem, ProblemKind, Problems, Severity, suggestion};
use super::reader::{Reader, Section};
use super::taper::Taper;
use super::wiring::{Joint, Part, PartKind, Wiring, read_joints, read_parts, read_taper};

/// An add-on document.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct AddOn {
    /// The document's path or preset name, for problems.
    pub file: String,
    /// What it is called.
    pub title: String,
    /// What it does, for people.
    pub about: String,
    /// Parts of the wiring without which it makes no sense there.
    pub needs: Vec<String>,
    /// Parts it brings.
    pub parts: Vec<Part>,
    /// Joints of its own, between lugs of the parts it brings.
    pub joints: Vec<Joint>,
    /// What it does to the wiring, in this order.
    pub steps: Vec<Step>,
}

/// One step of fitting an add-on, with its line.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Step {
    /// The line it is written on.
    pub line: usize,
    /// What is done.
    pub action: Action,
}

/// What is done to a wiring.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub enum Action {
    /// A lug is taken off its joint and put on the joint of another.
    Move {
        /// The lug that moves.
        lug: String,
        /// The lug whose joint it goes to.
        to: String,
    },
    /// A part is put between a lug and the joint it sits on.
    Insert {
        /// The lug that comes off its joint.
        lug: String,
        /// The inserted part's lug on the joint's side.
        joint_side: String,
        /// The inserted part's lug on the lug's side.
        lug_side: String,
    },
    /// Further lugs are joined to the joint a lug sits on.
    Join {
        /// A lug of the wiring.
        lug: String,
        /// Lugs that join it.
        others: Vec<String>,
    },
    /// A part's keys are set anew.
    Change {
        /// The part.
        part: String,
        /// New value of a pot, capacitor or resistor, as written; what unit it has depends on the part.
        value: Option<String>,
        /// New taper of a pot.
        taper: Option<Taper>,
        /// Whether the pot's track is cut.
        no_load: Option<bool>,
    },
}

impl AddOn {
    /// Reads an add-on document. `file` names it in problems.
    ///
    /// # Errors
    /// Everything that is wrong with it as a document.
    pub fn read(file: &str, text: &str) -> Result<Self, Problems> {
        Reader::read(file, text, |top| {
            let title = top.text("title");
            let about = top.optional_text("about");
            let needs = top.optional_texts("needs").into_iter().map(|need| need.value).collect();
            let parts = read_parts(top);
            let joints = read_joints(top);
            let steps = [read_moves(top), read_inserts(top), read_joins(top), read_changes(top)].concat();
            if steps.is_empty() {
                let mend = "add a [join], [move], [insert] or [change.PART] table";
                top.error(ProblemKind::MissingKey, top.line(), "the add-on does nothing to a wiring", mend);
            }
            Some(Self {
                file: file.to_string(),
                title: title?.value,
                about: about.map(|about| about.value).unwrap_or_default(),
                needs,
                parts,
                joints,
                steps,
            })
        })
    }

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
            let what = format!("the add-on is for wirings with a part `{need}`{near}");
            problems.0.push(self.problem(1, ProblemKind::UnknownPart, what, "choose a wiring that has it"));
        }
        for part in &self.parts {
            if wiring.part(&part.name).is_some() {
                let what = format!("the wiring has a part called `{}` already", part.name);
                problems.0.push(self.problem(part.line, ProblemKind::DuplicateName, what, "rename it in the add-on"));
            }
        }
        fitted.parts.extend(self.parts.iter().cloned());
        fitted.joints.extend(self.joints.iter().cloned());
        for step in &self.steps {
            if let Err((kind, what)) = step.action.apply(&mut fitted, &self.file, step.line) {
                let mend = "choose a wiring that has it, or edit the add-on to hook elsewhere";
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
    fn apply(&self, wiring: &mut Wiring, file: &str, line: usize) -> Result<(), (ProblemKind, String)> {
        match self {
            Self::Move { lug, to } => {
                let target = joint_of(wiring, to)?;
                let source = joint_of(wiring, lug)?;
                wiring.joints[source].lugs.retain(|other| other != lug);
                wiring.joints[target].lugs.push(lug.clone());
                drop_empty(wiring);
            }
            Self::Insert { lug, joint_side, lug_side } => {
                let source = joint_of(wiring, lug)?;
                wiring.joints[source].lugs.retain(|other| other != lug);
                wiring.joints[source].lugs.push(joint_side.clone());
                let name = format!("{}-behind-{}", wiring.joints[source].name, joint_side.replace('.', "-"));
                let lugs = vec![lug.clone(), lug_side.clone()];
                wiring.joints.push(Joint { name, lugs, line, file: file.to_string() });
            }
            Self::Join { lug, others } => {
                let target = joint_of(wiring, lug)?;
                wiring.joints[target].lugs.extend(others.iter().cloned());
            }
            Self::Change { part, value, taper, no_load } => {
                let known: Vec<_> = wiring.parts.iter().map(|part| part.name.clone()).collect();
                let Some(found) = wiring.parts.iter_mut().find(|candidate| candidate.name == *part) else {
                    let near = suggestion(part, known.iter().map(String::as_str));
                    return Err((ProblemKind::UnknownPart, format!("the wiring has no part `{part}`{near}")));
                };
                change(found, value.as_deref(), taper.as_ref(), *no_load)?;
            }
        }
        Ok(())
    }
}

fn change(
    part: &mut Part,
    value: Option<&str>,
    taper: Option<&Taper>,
    no_load: Option<bool>,
) -> Result<(), (ProblemKind, String)> {
    if let Some(value) = value {
        part.kind.set_value(value).map_err(|error| (ProblemKind::UnknownUnit, error))?;
    }
    if let PartKind::Pot(pot) = &mut part.kind {
        pot.taper = taper.unwrap_or(&pot.taper).clone();
        pot.no_load = no_load.unwrap_or(pot.no_load);
    } else if taper.is_some() || no_load.is_some() {
        return Err((ProblemKind::WrongType, format!("`{}` is no pot, so it has neither taper nor track", part.name)));
    }
    Ok(())
}

fn joint_of(wiring: &Wiring, lug: &str) -> Result<usize, (ProblemKind, String)> {
    wiring.joints.iter().position(|joint| joint.lugs.iter().any(|other| other == lug)).ok_or_else(|| {
        let known = wiring.joints.iter().flat_map(|joint| joint.lugs.iter().map(String::as_str));
        let what = format!("the add-on hooks onto `{lug}`, which the wiring does not join{}", suggestion(lug, known));
        (ProblemKind::UnknownLug, what)
    })
}

fn drop_empty(wiring: &mut Wiring) {
    wiring.joints.retain(|joint| !joint.lugs.is_empty());
}

fn read_moves(top: &Section<'_, '_>) -> Vec<Step> {
    let step = |(lug, value): (String, _)| {
        let line = top.line_of(value);
        let to =
            value.get_ref().as_str().map(str::to_string).or_else(|| top.wrong_type(&lug, value, "a lug in quotes"))?;
        Some(Step { line, action: Action::Move { lug, to } })
    };
    top.entries("move").into_iter().filter_map(step).collect()
}

fn read_inserts(top: &Section<'_, '_>) -> Vec<Step> {
    let step = |(lug, value): (String, _)| {
        let lugs = top.text_list(&lug, value)?;
        let line = lugs.line;
        match <[_; 2]>::try_from(lugs.value) {
            Ok([joint_side, lug_side]) => {
                let action = Action::Insert { lug, joint_side: joint_side.value, lug_side: lug_side.value };
                Some(Step { line, action })
            }
            Err(_) => top.wrong_type(&lug, value, "two lugs of the inserted part, the joint's side first"),
        }
    };
    top.entries("insert").into_iter().filter_map(step).collect()
}

fn read_joins(top: &Section<'_, '_>) -> Vec<Step> {
    let step = |(lug, value): (String, _)| {
        let lugs = top.text_list(&lug, value)?;
        let others = lugs.value.into_iter().map(|lug| lug.value).collect();
        Some(Step { line: lugs.line, action: Action::Join { lug, others } })
    };
    top.entries("join").into_iter().filter_map(step).collect()
}

fn read_changes(top: &Section<'_, '_>) -> Vec<Step> {
    let step = |(part, section): (String, Section<'_, '_>)| {
        let no_load = section.optional_flag("no-load");
        let taper = section.has("taper").then(|| read_taper(&section)).flatten();
        let value = section.optional_text("value").map(|value| value.value);
        Step { line: section.line(), action: Action::Change { part, value, taper, no_load } }
    };
    top.named_tables("change").into_iter().map(step).collect()
}
