//! What can be wrong with a circuit that has every name right.

use std::collections::{BTreeMap, BTreeSet};

use super::Mna;
use super::combinations::combinations;
use super::controls::Controls;
use super::lower::{Loaded, closed_contacts, lower, merge};
use super::netlist::DisjointSets;
use crate::document::{AssembledKind, AssembledPart, Assembly, Problem, ProblemKind, Problems, Severity};

/// Everything that keeps an assembly from working in some position, and what a technician should look at: the jack or
/// a pickup shorted, joints that lead nowhere, contacts in a loop, silent positions.
pub fn check(assembly: &Assembly) -> Problems {
    let mut problems = assembly.warnings.clone();
    floating(assembly, &mut problems);
    let mut findings = Findings { assembly, found: Vec::new() };
    for controls in combinations(&assembly.controls) {
        shorts(&controls, &merge(assembly, &controls), &mut findings);
        loops(&controls, &mut findings);
    }
    findings.report(&mut problems);
    if !problems.any_error() {
        for controls in combinations(&assembly.controls) {
            silence(&controls, &mut findings);
        }
        findings.report(&mut problems);
    }
    problems
}

/// Where selector and switches stand, in words.
pub fn describe(assembly: &Assembly, controls: &Controls) -> String {
    let mut words = Vec::new();
    if assembly.controls.positions > 1 {
        words.push(format!("in position {}", controls.position));
    }
    if !assembly.controls.switches.is_empty() {
        words.push(describe_switches(assembly, &controls.switches));
    }
    if words.is_empty() { "always".into() } else { words.join(" ") }
}

/// Where the switches beside the selector stand: `with series up`.
pub fn describe_switches(assembly: &Assembly, switches: &[u8; Controls::SWITCHES]) -> String {
    let labels = assembly.controls.switches.iter().zip(switches).enumerate();
    let words = labels.map(|(i, ((label, _), &number))| {
        let named = assembly.parts.iter().find_map(|part| match &part.kind {
            AssembledKind::Switch { switch, index, .. } if *index == Some(i) => {
                switch.positions.get(usize::from(number) - 1)?.name.clone()
            }
            _ => None,
        });
        format!("with {label} {}", named.unwrap_or_else(|| number.to_string()))
    });
    words.collect::<Vec<_>>().join(" ")
}

/// Joints that no part and no switch position ever leads to ground.
fn floating(assembly: &Assembly, problems: &mut Problems) {
    let mut reached = DisjointSets::new(assembly.joints.len());
    for part in &assembly.parts {
        match &part.kind {
            AssembledKind::Switch { switch, .. } => {
                for number in 1..=u8::try_from(switch.positions.len()).unwrap_or(u8::MAX) {
                    let everywhere =
                        Controls { position: number, switches: [number; Controls::SWITCHES], ..Controls::default() };
                    for group in closed_contacts(part, &everywhere) {
                        group.windows(2).for_each(|pair| reached.union(pair[0], pair[1]));
                    }
                }
            }
            AssembledKind::Jack => {}
            _ => part.joints.windows(2).for_each(|pair| reached.union(pair[0], pair[1])),
        }
    }
    let mut islands: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for joint in 0..assembly.joints.len() {
        if reached.find(joint) != Assembly::GROUND && is_used(assembly, joint) {
            islands.entry(reached.find(joint)).or_default().push(joint);
        }
    }
    for joints in islands.values() {
        let names: Vec<_> = joints.iter().map(|&joint| format!("`{}`", assembly.joints[joint])).collect();
        let what = match &names[..] {
            [name] => format!("the joint {name} floats: nothing leads from it to ground in any position"),
            _ => format!("the joints {} float: nothing leads from them to ground in any position", names.join(", ")),
        };
        let mend = "join them to the rest of the circuit, or leave their parts out";
        let holder = holders(assembly, joints[0]).next().expect("a joint that is used has a part on it");
        problems.0.push(problem(assembly, holder, ProblemKind::FloatingNode, Severity::Error, what, mend));
    }
}

/// The parts with a lug on a joint, once a lug.
fn holders(assembly: &Assembly, joint: usize) -> impl Iterator<Item = &AssembledPart> {
    let lugs = assembly.parts.iter().flat_map(|part| part.joints.iter().map(move |&other| (part, other)));
    lugs.filter(move |&(_, other)| other == joint).map(|(part, _)| part)
}

/// Whether more than switches sit on a joint, and more than one lug.
fn is_used(assembly: &Assembly, joint: usize) -> bool {
    let switches = holders(assembly, joint).all(|part| matches!(part.kind, AssembledKind::Switch { .. }));
    !switches && holders(assembly, joint).count() >= 2
}

/// What was found where selector and switches stand, gathered so that each is reported once with all its places.
struct Findings<'a> {
    assembly: &'a Assembly,
    found: Vec<Finding<'a>>,
}

struct Finding<'a> {
    part: &'a AssembledPart,
    kind: ProblemKind,
    severity: Severity,
    what: String,
    mend: &'static str,
    places: Vec<Controls>,
}

impl<'a> Findings<'a> {
    fn add(&mut self, mut finding: Finding<'a>, controls: &Controls) {
        let same = |other: &&mut Finding<'_>| {
            (other.kind, &other.part.name, &other.what) == (finding.kind, &finding.part.name, &finding.what)
        };
        match self.found.iter_mut().find(same) {
            Some(known) => known.places.push(*controls),
            None => {
                finding.places.push(*controls);
                self.found.push(finding);
            }
        }
    }

    fn report(&mut self, problems: &mut Problems) {
        for Finding { part, kind, severity, what, mend, places } in std::mem::take(&mut self.found) {
            let what = format!("{what} {}", describe_all(self.assembly, &places));
            problems.0.push(problem(self.assembly, part, kind, severity, what, mend));
        }
    }
}

/// Several ways in which selector and switches stand, in words: `in position 2 or 3 with kill up` where every such
/// position is meant with every such setting of the switches, one by one where not.
fn describe_all(assembly: &Assembly, places: &[Controls]) -> String {
    /// More places than these are counted, not named.
    const NAMED: usize = 5;
    let positions: BTreeSet<u8> = places.iter().map(|controls| controls.position).collect();
    let settings: BTreeSet<_> = places.iter().map(|controls| controls.switches).collect();
    let all = usize::from(assembly.controls.positions);
    let every_setting: usize =
        assembly.controls.switches.iter().map(|&(_, positions)| usize::from(positions)).product();
    if positions.len() * settings.len() != places.len() || settings.len().max(positions.len()) > NAMED {
        let mut named: Vec<_> = places.iter().take(NAMED).map(|controls| describe(assembly, controls)).collect();
        if places.len() > NAMED {
            named.push(format!("and in {} other settings", places.len() - NAMED));
        }
        return named.join(", ");
    }
    let numbers: Vec<_> = positions.iter().map(u8::to_string).collect();
    let mut words = Vec::new();
    if positions.len() < all {
        words.push(format!("in position {}", numbers.join(" or ")));
    }
    if settings.len() < every_setting {
        let settings = settings.into_iter().map(|switches| describe_switches(assembly, &switches));
        words.push(settings.collect::<Vec<_>>().join(" or "));
    }
    if words.is_empty() { "always".into() } else { words.join(" ") }
}

fn shorts(controls: &Controls, joined: &DisjointSets, findings: &mut Findings<'_>) {
    for part in &findings.assembly.parts {
        let (kind, severity, what) = match part.kind {
            AssembledKind::Jack => (ProblemKind::ShortedJack, Severity::Error, "the jack is shorted"),
            AssembledKind::Pickup(_) => (ProblemKind::ShortedPickup, Severity::Warning, "the pickup is shorted"),
            _ => continue,
        };
        if joined.find(part.joints[0]) == joined.find(part.joints[1]) {
            let mend = "follow the joints from one of its ends to the other through the closed contacts, and part them";
            findings.add(Finding { part, kind, severity, what: what.into(), mend, places: Vec::new() }, controls);
        }
    }
}

/// Contacts that join what other contacts join already. Electrically harmless, but a wire or a contact is needless.
fn loops(controls: &Controls, findings: &mut Findings<'_>) {
    let mut joined = DisjointSets::new(findings.assembly.joints.len());
    for part in &findings.assembly.parts {
        let mut looped = false;
        for mut group in closed_contacts(part, controls) {
            group.sort_unstable();
            group.dedup();
            let mut sets: Vec<usize> = group.iter().map(|&joint| joined.find(joint)).collect();
            sets.sort_unstable();
            looped |= sets.windows(2).any(|pair| pair[0] == pair[1]);
            group.windows(2).for_each(|pair| joined.union(pair[0], pair[1]));
        }
        if looped {
            let (kind, what) = (ProblemKind::SwitchLoop, "closed contacts form a loop".to_string());
            let mend = "one of the wires between them may be needless";
            let severity = Severity::Warning;
            findings.add(Finding { part, kind, severity, what, mend, places: Vec::new() }, controls);
        }
    }
}

/// Positions in which no pickup reaches the jack with every knob on 10, and circuits that have no solution.
fn silence(controls: &Controls, findings: &mut Findings<'_>) {
    /// Below this, in volts per volt, nothing is heard; -120 dB.
    const SILENT: f64 = 1e-6;
    const MIDDLE_HERTZ: f64 = 500.0;
    let assembly = findings.assembly;
    let lowered = lower(assembly, controls, Loaded::Yes);
    let jack = assembly.parts.iter().find(|part| part.kind == AssembledKind::Jack);
    let part = jack.expect("every assembly has a jack");
    let (kind, severity, what, mend) = match Mna::new(&lowered.netlist).transfer(lowered.jack, MIDDLE_HERTZ) {
        Ok(responses) if responses.iter().any(|response| response.norm() > SILENT) => return,
        Ok(_) => {
            let mend = "join a pickup there, unless silence is wanted";
            (ProblemKind::SilentPosition, Severity::Warning, "no pickup reaches the jack".to_string(), mend)
        }
        Err(error) => {
            let mend = "look for parts of impossible value there";
            (ProblemKind::Unsolvable, Severity::Error, format!("{error}:"), mend)
        }
    };
    findings.add(Finding { part, kind, severity, what, mend, places: Vec::new() }, controls);
}

fn problem(
    assembly: &Assembly,
    part: &AssembledPart,
    kind: ProblemKind,
    severity: Severity,
    what: String,
    mend: &str,
) -> Problem {
    let file = if part.line.is_some() { &part.file } else { &assembly.file };
    Problem {
        severity,
        kind,
        file: file.clone(),
        line: part.line,
        part: Some(part.name.clone()),
        lug: None,
        what,
        mend: mend.into(),
    }
}
