//! Builds an assembly and collects what keeps it from being built.

use std::collections::{BTreeMap, BTreeSet};

use super::assembly::{AssembledKind, AssembledPart, Assembly};
use super::control_plan::ControlPlan;
use super::guitar::Guitar;
use super::library::Library;
use super::problem::{Problem, ProblemKind, Problems, Severity};
use super::switch::Switch;
use super::wiring::{Part, PartKind, Wiring};

/// An assembly being built.
pub(super) struct Builder<'a> {
    pub wiring: &'a Wiring,
    pub guitar: &'a Guitar,
    pub problems: Problems,
    /// Parts that a misspelt name probably means.
    pub suspects: BTreeSet<String>,
    library: &'a Library,
    /// Switch documents that were asked for; none where one is wrong or missing.
    switches: BTreeMap<String, Option<Switch>>,
}

/// Where a problem is; the wiring's own document unless another file is named.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Place<'a> {
    pub file: Option<&'a str>,
    pub line: Option<usize>,
    pub part: Option<&'a str>,
    pub lug: Option<&'a str>,
}

impl<'a> Place<'a> {
    /// Where a part is described.
    pub fn of(part: &'a Part) -> Self {
        Self { file: Some(&part.file), line: Some(part.line), part: Some(&part.name), lug: None }
    }
}

impl<'a> Builder<'a> {
    pub fn new(wiring: &'a Wiring, guitar: &'a Guitar, library: &'a Library) -> Self {
        let (problems, suspects, switches) = Default::default();
        Self { wiring, guitar, problems, suspects, library, switches }
    }

    /// The assembly, which is worth something only if none of the problems is an error.
    pub fn build(mut self) -> (Assembly, Problems) {
        let controls = self.plan();
        let mut parts = self.parts(&controls);
        let joints = self.join(&mut parts);
        self.check_parts(&parts, &joints);
        let mut names: Vec<String> = joints.into_iter().map(|joint| joint.name.clone()).collect();
        give_lone_lugs_joints(&mut parts, &mut names);
        self.problems.0.sort_by(|a, b| (&a.file, a.line).cmp(&(&b.file, b.line)));
        let assembly = Assembly {
            title: self.wiring.title.clone(),
            file: self.wiring.file.clone(),
            guitar: self.guitar.clone(),
            parts,
            joints: names,
            controls,
            warnings: self.problems.clone(),
        };
        (assembly, self.problems)
    }

    pub fn error(&mut self, kind: ProblemKind, place: Place<'_>, what: String, mend: &str) {
        self.push(Severity::Error, kind, place, what, mend);
    }

    pub fn warning(&mut self, kind: ProblemKind, place: Place<'_>, what: String, mend: &str) {
        self.push(Severity::Warning, kind, place, what, mend);
    }

    fn push(&mut self, severity: Severity, kind: ProblemKind, place: Place<'_>, what: String, mend: &str) {
        let (part, lug) = (place.part.map(str::to_string), place.lug.map(str::to_string));
        let file = place.file.unwrap_or(&self.wiring.file).to_string();
        self.problems.0.push(Problem { severity, kind, file, line: place.line, part, lug, what, mend: mend.into() });
    }

    /// A part's switch document. What is wrong with it is reported once, where it is first asked for.
    pub fn switch(&mut self, part: &Part, name: &str) -> Option<&Switch> {
        // An empty name stands in for one that could not be read, and was reported then.
        if !name.is_empty() && !self.switches.contains_key(name) {
            let switch = self.library.switch(name).map_err(|problems| self.report_switch(part, problems)).ok();
            self.switches.insert(name.to_string(), switch);
        }
        self.switches.get(name)?.as_ref()
    }

    fn report_switch(&mut self, part: &Part, problems: Problems) {
        for mut problem in problems.0 {
            if problem.line.is_none() {
                (problem.file, problem.line) = (part.file.clone(), Some(part.line));
            }
            problem.part.get_or_insert(part.name.clone());
            self.problems.0.push(problem);
        }
    }

    /// The wiring's parts, then the pickups, then the jack, joined to nothing yet.
    fn parts(&mut self, plan: &ControlPlan) -> Vec<AssembledPart> {
        let (wiring, guitar) = (self.wiring, self.guitar);
        let mut parts: Vec<_> = wiring.parts.iter().filter_map(|part| self.assemble(part, plan)).collect();
        carry(wiring, &mut parts);
        for (i, pickup) in guitar.pickups.iter().enumerate() {
            if let Some(taken) = wiring.parts.iter().find(|part| part.name == pickup.name) {
                let what = format!("the guitar has a pickup called `{}`", pickup.name);
                self.error(ProblemKind::DuplicateName, Place::of(taken), what, "give the part another name");
            }
            parts.push(fixed(&pickup.name, AssembledKind::Pickup(i), &["hot", "ground"], &wiring.file));
        }
        parts.push(fixed("jack", AssembledKind::Jack, &["tip", "sleeve"], &wiring.file));
        parts
    }

    /// One of the wiring's parts; none for a switch whose document is wrong or missing.
    fn assemble(&mut self, part: &Part, plan: &ControlPlan) -> Option<AssembledPart> {
        let (kind, lugs) = match &part.kind {
            PartKind::Pot(pot) => {
                let knob = plan.knob(&pot.control).unwrap_or_default();
                (AssembledKind::Pot { pot: pot.clone(), knob }, names(&["1", "2", "3"]))
            }
            &PartKind::Capacitor { capacitance, tolerance } => {
                (AssembledKind::Capacitor { capacitance, tolerance }, names(&["1", "2"]))
            }
            &PartKind::Resistor { resistance, tolerance } => {
                (AssembledKind::Resistor { resistance, tolerance }, names(&["1", "2"]))
            }
            PartKind::Selector { switch } => self.assemble_switch(part, switch, None)?,
            PartKind::Switch { switch, control, .. } => self.assemble_switch(part, switch, plan.switch(control))?,
        };
        let joints = vec![usize::MAX; lugs.len()];
        let (name, file, line) = (part.name.clone(), part.file.clone(), Some(part.line));
        Some(AssembledPart { name, file, line, kind, lugs, joints })
    }

    fn assemble_switch(
        &mut self,
        part: &Part,
        name: &str,
        index: Option<usize>,
    ) -> Option<(AssembledKind, Vec<String>)> {
        let switch = self.switch(part, name)?.clone();
        let lugs = switch.lugs().map(str::to_string).collect();
        Some((AssembledKind::Switch { switch, index, carrier: None }, lugs))
    }
}

/// Hands every switch that sits on a pot that pot.
fn carry(wiring: &Wiring, parts: &mut [AssembledPart]) {
    for part in &wiring.parts {
        let PartKind::Switch { on_pot: Some(pot), .. } = &part.kind else { continue };
        let found = parts.iter().position(|other| other.name == *pot);
        let switch = parts.iter_mut().find(|other| other.name == part.name);
        if let Some(AssembledKind::Switch { carrier, .. }) = switch.map(|switch| &mut switch.kind) {
            *carrier = found;
        }
    }
}

fn names(lugs: &[&str]) -> Vec<String> {
    lugs.iter().map(|lug| lug.to_string()).collect()
}

fn fixed(name: &str, kind: AssembledKind, lugs: &[&str], file: &str) -> AssembledPart {
    let joints = vec![usize::MAX; lugs.len()];
    AssembledPart { name: name.to_string(), file: file.to_string(), line: None, kind, lugs: names(lugs), joints }
}

fn give_lone_lugs_joints(parts: &mut [AssembledPart], names: &mut Vec<String>) {
    for part in parts {
        for (joint, lug) in part.joints.iter_mut().zip(&part.lugs) {
            if *joint == usize::MAX {
                *joint = names.len();
                names.push(format!("{}.{lug}", part.name));
            }
        }
    }
}
