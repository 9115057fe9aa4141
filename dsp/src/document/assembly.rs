//! A wiring put together with a guitar and its switches: every name resolved, every lug on one joint.

use std::collections::BTreeMap;

use super::guitar::Guitar;
use super::library::Library;
use super::problem::{Problem, ProblemKind, Problems, Severity, suggestion};
use super::switch::Switch;
use super::wiring::{Joint, Part, PartKind, Pot, Wiring};

/// A wiring ready to be lowered to a circuit.
#[derive(Debug, Clone, PartialEq)]
pub struct Assembly {
    /// What the wiring is called.
    pub title: String,
    /// The wiring's path or preset name, for problems.
    pub file: String,
    /// The guitar it is fitted to.
    pub guitar: Guitar,
    /// The wiring's parts, then the pickups, then the jack.
    pub parts: Vec<AssembledPart>,
    /// Name of every joint; [`Assembly::GROUND`] is the one the jack's sleeve sits on.
    pub joints: Vec<String>,
    /// What the controls are called and where they sit.
    pub controls: ControlPlan,
    /// What a technician should look at, though it works.
    pub warnings: Problems,
}

/// One part with the joints its lugs sit on.
#[derive(Debug, Clone, PartialEq)]
pub struct AssembledPart {
    /// Its name.
    pub name: String,
    /// The document that describes it.
    pub file: String,
    /// The line it is described on, if a wiring or add-on does.
    pub line: Option<usize>,
    /// What it is.
    pub kind: AssembledKind,
    /// Its lugs' names.
    pub lugs: Vec<String>,
    /// The joint of each lug; a lug that nothing is joined to has a joint of its own.
    pub joints: Vec<usize>,
}

/// What an assembled part is.
#[derive(Debug, Clone, PartialEq)]
pub enum AssembledKind {
    /// A pot moved by the knob of that index.
    Pot {
        /// The pot.
        pot: Pot,
        /// Index of its knob in the controls.
        knob: usize,
    },
    /// A capacitor.
    Capacitor {
        /// In farads.
        capacitance: f64,
        /// Share of the value.
        tolerance: f64,
    },
    /// A fixed resistor.
    Resistor {
        /// In ohms.
        resistance: f64,
        /// Share of the value.
        tolerance: f64,
    },
    /// The selector (no index) or another switch, moved by the switch of that index.
    Switch {
        /// Its document.
        switch: Switch,
        /// Index in the controls' switches; none for the selector.
        index: Option<usize>,
    },
    /// The guitar's pickup of that index.
    Pickup(usize),
    /// The output jack.
    Jack,
}

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

impl Assembly {
    /// The joint that is ground.
    pub const GROUND: usize = 0;
    /// Most combinations of selector and switches that a wiring may have.
    pub const MOST_COMBINATIONS: usize = 256;
    /// Most knobs and most switches beside the selector.
    pub const MOST_CONTROLS: (usize, usize) = (6, 4);

    /// Puts a wiring together with a guitar; switch documents come from the library.
    ///
    /// # Errors
    /// Everything that keeps it from being built: unknown parts, lugs and switches, lugs on two joints, hanging parts.
    pub fn new(wiring: &Wiring, guitar: &Guitar, library: &Library) -> Result<Self, Problems> {
        let mut builder = Builder { file: &wiring.file, problems: Problems::default() };
        let controls = builder.plan(wiring, library);
        let mut parts = builder.parts(wiring, guitar, library, &controls);
        let joints = builder.join(wiring, &mut parts);
        builder.check_parts(&parts, &joints);
        let mut names: Vec<String> = joints.into_iter().map(|(name, _)| name).collect();
        give_lone_lugs_joints(&mut parts, &mut names);
        let warnings = builder.problems.clone();
        builder.problems.or(Self {
            title: wiring.title.clone(),
            file: wiring.file.clone(),
            guitar: guitar.clone(),
            parts,
            joints: names,
            controls,
            warnings,
        })
    }

    /// The part of that name.
    pub fn part(&self, name: &str) -> Option<&AssembledPart> {
        self.parts.iter().find(|part| part.name == name)
    }

    /// The part of that name, to change its value.
    pub fn part_mut(&mut self, name: &str) -> Option<&mut AssembledPart> {
        self.parts.iter_mut().find(|part| part.name == name)
    }

    /// The joint of the jack's tip.
    pub fn tip(&self) -> usize {
        let jack = self.parts.iter().find(|part| part.kind == AssembledKind::Jack);
        jack.expect("every assembly has a jack").joints[0]
    }
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
}

struct Builder<'a> {
    file: &'a str,
    problems: Problems,
}

impl Builder<'_> {
    fn push(&mut self, severity: Severity, kind: ProblemKind, place: Place<'_>, what: String, mend: &str) {
        let (part, lug) = (place.part.map(str::to_string), place.lug.map(str::to_string));
        let file = place.file.unwrap_or(self.file).to_string();
        self.problems.0.push(Problem { severity, kind, file, line: place.line, part, lug, what, mend: mend.into() });
    }

    fn plan(&mut self, wiring: &Wiring, library: &Library) -> ControlPlan {
        let mut plan = ControlPlan { positions: 1, ..ControlPlan::default() };
        let wanted: BTreeMap<u8, &str> = wiring.knobs.iter().map(|(knob, label)| (*knob, label.as_str())).collect();
        let most = Assembly::MOST_CONTROLS;
        let used = |label: &str| {
            wiring.parts.iter().any(|part| matches!(&part.kind, PartKind::Pot(pot) if pot.control == label))
        };
        for (&number, &label) in &wanted {
            if !used(label) {
                let mend = "name the `control` of one of the pots";
                let what = format!("knob {number} is to be `{label}`, but no pot has that control");
                self.push(Severity::Error, ProblemKind::UnusedControl, Place::default(), what, mend);
            }
            plan.knobs.resize(plan.knobs.len().max(usize::from(number)), None);
            plan.knobs[usize::from(number) - 1] = Some(label.to_string());
        }
        for part in &wiring.parts {
            match &part.kind {
                PartKind::Pot(pot) if plan.knob(&pot.control).is_none() => {
                    match plan.knobs.iter_mut().find(|knob| knob.is_none()) {
                        Some(free) => *free = Some(pot.control.clone()),
                        None => plan.knobs.push(Some(pot.control.clone())),
                    }
                }
                PartKind::Selector { switch } => plan.positions = self.positions(part, switch, library),
                PartKind::Switch { switch, control, .. } if plan.switch(control).is_none() => {
                    let positions = self.positions(part, switch, library);
                    plan.switches.push((control.clone(), positions));
                }
                _ => {}
            }
        }
        let combinations =
            plan.switches.iter().map(|&(_, n)| usize::from(n)).product::<usize>() * usize::from(plan.positions);
        if plan.knobs.len() > most.0 || plan.switches.len() > most.1 || combinations > Assembly::MOST_COMBINATIONS {
            let what = format!(
                "{} knobs, {} switches and {combinations} combinations are more than the {}, {} and {} that fit",
                plan.knobs.len(),
                plan.switches.len(),
                most.0,
                most.1,
                Assembly::MOST_COMBINATIONS
            );
            self.push(Severity::Error, ProblemKind::OutOfRange, Place::default(), what, "use fewer controls");
        }
        plan
    }

    fn positions(&mut self, part: &Part, switch: &str, library: &Library) -> u8 {
        match library.switch(switch) {
            Ok(switch) => u8::try_from(switch.positions.len()).unwrap_or(u8::MAX),
            Err(problems) => {
                for mut problem in problems.0 {
                    if problem.line.is_none() {
                        (problem.file, problem.line) = (part.file.clone(), Some(part.line));
                    }
                    problem.part.get_or_insert(part.name.clone());
                    self.problems.0.push(problem);
                }
                1
            }
        }
    }

    fn parts(&mut self, wiring: &Wiring, guitar: &Guitar, library: &Library, plan: &ControlPlan) -> Vec<AssembledPart> {
        let names = |lugs: &[&str]| lugs.iter().map(|lug| lug.to_string()).collect::<Vec<_>>();
        let mut parts = Vec::new();
        for part in &wiring.parts {
            let switch = |name: &str| library.switch(name).ok();
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
                PartKind::Selector { switch: name } | PartKind::Switch { switch: name, .. } => {
                    let Some(switch) = switch(name) else { continue };
                    let lugs = switch.lugs().map(str::to_string).collect();
                    let index = match &part.kind {
                        PartKind::Switch { control, .. } => plan.switch(control),
                        _ => None,
                    };
                    (AssembledKind::Switch { switch, index }, lugs)
                }
            };
            let (name, file, line) = (part.name.clone(), part.file.clone(), Some(part.line));
            parts.push(AssembledPart { name, file, line, kind, lugs, joints: Vec::new() });
        }
        for (i, pickup) in guitar.pickups.iter().enumerate() {
            if let Some(taken) = parts.iter().find(|part| part.name == pickup.name) {
                let place = Place { part: Some(&taken.name.clone()), line: taken.line, ..Place::default() };
                let what = "the guitar has a pickup of that name".to_string();
                self.push(Severity::Error, ProblemKind::DuplicateName, place, what, "rename the part");
            }
            parts.push(fixed(&pickup.name, AssembledKind::Pickup(i), names(&["hot", "ground"]), self.file));
        }
        parts.push(fixed("jack", AssembledKind::Jack, names(&["tip", "sleeve"]), self.file));
        for part in &mut parts {
            part.joints = vec![usize::MAX; part.lugs.len()];
        }
        parts
    }

    /// Puts lugs on joints; joint 0 is the one of the jack's sleeve.
    fn join(&mut self, wiring: &Wiring, parts: &mut [AssembledPart]) -> Vec<(String, usize)> {
        let grounded = |joint: &&Joint| joint.lugs.iter().any(|lug| lug == "jack.sleeve");
        let mut order: Vec<&Joint> = wiring.joints.iter().filter(grounded).collect();
        order.extend(wiring.joints.iter().filter(|joint| !grounded(joint)));
        let mut joints = Vec::new();
        for (index, joint) in order.into_iter().enumerate() {
            for name in &joint.lugs {
                self.put(joint, index, name, parts);
            }
            if joint.lugs.len() < 2 {
                let place = Place {
                    line: Some(joint.line),
                    lug: joint.lugs.first().map(String::as_str),
                    file: Some(&joint.file),
                    part: None,
                };
                let what = format!("the joint `{}` holds fewer than two lugs", joint.name);
                self.push(
                    Severity::Warning,
                    ProblemKind::LoneLug,
                    place,
                    what,
                    "join another lug to it, or remove the line",
                );
            }
            joints.push((joint.name.clone(), joint.lugs.len()));
        }
        joints
    }

    fn put(&mut self, joint: &Joint, index: usize, name: &str, parts: &mut [AssembledPart]) {
        let place = Place { line: Some(joint.line), lug: Some(name), file: Some(&joint.file), part: None };
        let Some((part_name, lug)) = name.split_once('.') else {
            let what = "a lug is written as PART.LUG".to_string();
            return self.push(Severity::Error, ProblemKind::UnknownLug, place, what, "write it such as `volume.3`");
        };
        let Some(part) = parts.iter().position(|part| part.name == part_name) else {
            let near = suggestion(part_name, parts.iter().map(|part| part.name.as_str()));
            let what = format!("there is no part `{part_name}`{near}");
            let mend = "describe the part, or name one that is there (a pickup must be on the guitar)";
            return self.push(Severity::Error, ProblemKind::UnknownPart, place, what, mend);
        };
        let part = &mut parts[part];
        let Some(lug) = part.lugs.iter().position(|known| known == lug) else {
            let near = suggestion(lug, part.lugs.iter().map(String::as_str));
            let what = format!("`{part_name}` has no lug `{lug}`{near}");
            let mend = format!("its lugs are {}", part.lugs.join(", "));
            return self.push(Severity::Error, ProblemKind::UnknownLug, place, what, &mend);
        };
        if part.joints[lug] != usize::MAX {
            let what = "the lug is named twice".to_string();
            let mend = "name it once, in the one joint it is soldered to";
            return self.push(Severity::Error, ProblemKind::LugNamedTwice, place, what, mend);
        }
        part.joints[lug] = index;
    }

    fn check_parts(&mut self, parts: &[AssembledPart], joints: &[(String, usize)]) {
        let alone = |joint: usize| joint == usize::MAX || joints[joint].1 < 2;
        for part in parts {
            let place = Place { part: Some(&part.name), line: part.line, file: Some(&part.file), lug: None };
            let joined = part.joints.iter().filter(|&&joint| !alone(joint)).count();
            match &part.kind {
                AssembledKind::Capacitor { .. } | AssembledKind::Resistor { .. } if joined < 2 => {
                    let what = "the part hangs: one of its ends is joined to nothing".to_string();
                    self.push(
                        Severity::Error,
                        ProblemKind::HangingPart,
                        place,
                        what,
                        "join both ends, or leave the part out",
                    );
                }
                AssembledKind::Capacitor { .. } | AssembledKind::Resistor { .. }
                    if part.joints[0] == part.joints[1] =>
                {
                    let what = "both ends of the part are on one joint, so it does nothing".to_string();
                    self.push(
                        Severity::Error,
                        ProblemKind::ShortedPart,
                        place,
                        what,
                        "move one end, or leave the part out",
                    );
                }
                AssembledKind::Pot { .. } if joined < 2 => {
                    let what = "the pot floats: fewer than two of its lugs are joined".to_string();
                    self.push(Severity::Error, ProblemKind::FloatingPot, place, what, "join at least two of its lugs");
                }
                AssembledKind::Pot { pot, .. } => self.check_pot(pot, part, place, alone),
                AssembledKind::Pickup(_) if joined == 1 => {
                    let what = "the pickup hangs: one of its leads is joined to nothing".to_string();
                    self.push(Severity::Error, ProblemKind::HangingPart, place, what, "join both leads, or neither");
                }
                AssembledKind::Jack if joined < 2 => {
                    let what = "the jack is not joined with both tip and sleeve".to_string();
                    self.push(Severity::Error, ProblemKind::NoJack, place, what, "join jack.tip and jack.sleeve");
                }
                _ => {}
            }
        }
    }

    fn check_pot(&mut self, pot: &Pot, part: &AssembledPart, place: Place<'_>, alone: impl Fn(usize) -> bool) {
        if alone(part.joints[1]) {
            let what = "the wiper is joined to nothing, so the knob does nothing".to_string();
            self.push(
                Severity::Warning,
                ProblemKind::UnusedControl,
                place,
                what,
                "join lug 2, or use a fixed resistor",
            );
        }
        if pot.no_load && !alone(part.joints[2]) {
            let what = "a no-load track is cut before lug 3, yet lug 3 is joined".to_string();
            self.push(Severity::Error, ProblemKind::FloatingPot, place, what, "use lugs 1 and 2 of a no-load pot");
        }
    }
}

#[derive(Debug, Clone, Copy, Default)]
struct Place<'a> {
    file: Option<&'a str>,
    line: Option<usize>,
    part: Option<&'a str>,
    lug: Option<&'a str>,
}

fn fixed(name: &str, kind: AssembledKind, lugs: Vec<String>, file: &str) -> AssembledPart {
    AssembledPart { name: name.to_string(), file: file.to_string(), line: None, kind, lugs, joints: Vec::new() }
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
