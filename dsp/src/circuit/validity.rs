//! What can be wrong with a circuit that has every name right.

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
    for controls in combinations(&assembly.controls) {
        let joined = merge(assembly, &controls);
        shorts(assembly, &controls, &joined, &mut problems);
        loops(assembly, &controls, &mut problems);
    }
    if !problems.any_error() {
        for controls in combinations(&assembly.controls) {
            silence(assembly, &controls, &mut problems);
        }
    }
    problems
}

/// Where selector and switches stand, in words.
pub fn describe(assembly: &Assembly, controls: &Controls) -> String {
    let mut words = Vec::new();
    if assembly.controls.positions > 1 {
        words.push(format!("in position {}", controls.position));
    }
    for (i, (label, _)) in assembly.controls.switches.iter().enumerate() {
        let number = controls.switches[i];
        let named = assembly.parts.iter().find_map(|part| match &part.kind {
            AssembledKind::Switch { switch, index } if *index == Some(i) => {
                switch.positions.get(usize::from(number) - 1)?.name.clone()
            }
            _ => None,
        });
        words.push(format!("with {label} {}", named.unwrap_or_else(|| number.to_string())));
    }
    if words.is_empty() { "always".into() } else { words.join(" ") }
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
    for (joint, name) in assembly.joints.iter().enumerate() {
        let lugs = || assembly.parts.iter().flat_map(|part| part.joints.iter().map(move |&j| (part, j)));
        let holders: Vec<&AssembledPart> = lugs().filter(|&(_, j)| j == joint).map(|(part, _)| part).collect();
        let unused = holders.len() < 2 || holders.iter().all(|part| matches!(part.kind, AssembledKind::Switch { .. }));
        if !unused && reached.find(joint) != Assembly::GROUND {
            let what = format!("the joint `{name}` floats: nothing leads from it to ground in any position");
            problems.0.push(problem(
                assembly,
                holders[0],
                ProblemKind::FloatingNode,
                Severity::Error,
                what,
                "join it to the rest of the circuit, or leave its parts out",
            ));
        }
    }
}

fn shorts(assembly: &Assembly, controls: &Controls, joined: &DisjointSets, problems: &mut Problems) {
    for part in &assembly.parts {
        let (kind, severity, what) = match part.kind {
            AssembledKind::Jack => (ProblemKind::ShortedJack, Severity::Error, "the jack is shorted"),
            AssembledKind::Pickup(_) => (ProblemKind::ShortedPickup, Severity::Warning, "the pickup is shorted"),
            _ => continue,
        };
        let apart = joined.find(part.joints[0]) != joined.find(part.joints[1]);
        let known = problems.0.iter().any(|problem| problem.kind == kind && problem.part.as_ref() == Some(&part.name));
        if !apart && !known {
            let what = format!("{what} {}", describe(assembly, controls));
            let mend = "follow the joints from one of its ends to the other through the closed contacts, and part them";
            problems.0.push(problem(assembly, part, kind, severity, what, mend));
        }
    }
}

/// Contacts that join what other contacts join already. Electrically harmless, but a wire or a contact is needless.
fn loops(assembly: &Assembly, controls: &Controls, problems: &mut Problems) {
    let mut joined = DisjointSets::new(assembly.joints.len());
    for part in &assembly.parts {
        for mut group in closed_contacts(part, controls) {
            group.sort_unstable();
            group.dedup();
            let mut sets: Vec<usize> = group.iter().map(|&joint| joined.find(joint)).collect();
            sets.sort_unstable();
            let looped = sets.windows(2).any(|pair| pair[0] == pair[1]);
            let known = |problem: &Problem| {
                problem.kind == ProblemKind::SwitchLoop && problem.part.as_ref() == Some(&part.name)
            };
            if looped && !problems.0.iter().any(known) {
                let what = format!("closed contacts form a loop {}", describe(assembly, controls));
                let mend = "one of the wires between them may be needless";
                problems.0.push(problem(assembly, part, ProblemKind::SwitchLoop, Severity::Warning, what, mend));
            }
            group.windows(2).for_each(|pair| joined.union(pair[0], pair[1]));
        }
    }
}

/// Positions in which no pickup reaches the jack with every knob on 10, and circuits that have no solution.
fn silence(assembly: &Assembly, controls: &Controls, problems: &mut Problems) {
    /// Below this, in volts per volt, nothing is heard; -120 dB.
    const SILENT: f64 = 1e-6;
    const MIDDLE_HERTZ: f64 = 500.0;
    let lowered = lower(assembly, controls, Loaded::Yes);
    let jack = assembly.part("jack").expect("every assembly has a jack");
    match Mna::new(&lowered.netlist).transfer(lowered.jack, MIDDLE_HERTZ) {
        Ok(responses) if responses.iter().any(|response| response.norm() > SILENT) => {}
        Ok(_) => {
            let what = format!("no pickup reaches the jack {}", describe(assembly, controls));
            let mend = "join a pickup there, unless silence is wanted";
            problems.0.push(problem(assembly, jack, ProblemKind::SilentPosition, Severity::Warning, what, mend));
        }
        Err(error) => {
            let what = format!("{error} ({})", describe(assembly, controls));
            problems.0.push(problem(
                assembly,
                jack,
                ProblemKind::Unsolvable,
                Severity::Error,
                what,
                "look for parts of impossible value there",
            ));
        }
    }
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
