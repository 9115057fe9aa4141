//! Faults ranked by how well they explain what was read.

use super::candidates::{Candidate, FaultKind, candidates};
use super::distinguish::separating_test;
use super::reading::{Expected, Reading, expected, shown};
use crate::circuit::Controls;
use crate::document::Assembly;
use crate::drawing::Connection;

/// What the readings say.
#[derive(Debug, Clone, PartialEq)]
pub struct Diagnosis {
    /// Best explanation first.
    pub suspicions: Vec<Suspicion>,
}

/// Faults that explain the readings equally well: all predict the same.
#[derive(Debug, Clone, PartialEq)]
pub struct Suspicion {
    /// The faults in words, likeliest kind first.
    pub faults: Vec<String>,
    /// Their kinds, in the same order.
    pub kinds: Vec<FaultKind>,
    /// Root mean square of how far the readings are off what these faults predict, in standard deviations: up to some 2
    /// explains them, beyond 3 does not.
    pub misfit: f64,
    /// What these faults predict for every reading, in ohms.
    pub predicted: Vec<f64>,
    /// Tests that tell these faults apart, most telling first; empty where there is one fault only, or no test would.
    pub tests: Vec<String>,
}

/// Beyond this a reading counts no more, in standard deviations: one gross mismatch is enough, and does not drown the
/// rest.
const MOST_DEVIATIONS: f64 = 12.0;
/// Explanations that fit the readings so much worse than the best get no tests, in standard deviations.
const WORTH_A_TEST: f64 = 2.0;
/// Predictions nearer than this are the same to a meter, as a share of the value.
const SAME: f64 = 0.02;

/// Every single fault of a wiring, with what a meter would read at certain settings of the controls.
#[derive(Debug, Clone, PartialEq)]
pub struct FaultFinder {
    /// Faults that read the same everywhere, and what they read.
    groups: Vec<(Vec<Candidate>, Vec<Expected>)>,
}

/// Ranks every single fault of a wiring by readings. `connections` are its wires as drawn.
pub fn diagnose(assembly: &Assembly, connections: &[Connection], readings: &[Reading]) -> Diagnosis {
    let settings: Vec<Controls> = readings.iter().map(|reading| reading.controls).collect();
    let ohms: Vec<f64> = readings.iter().map(|reading| reading.ohms).collect();
    FaultFinder::new(assembly, connections, &settings).diagnose(&ohms)
}

impl FaultFinder {
    /// Simulates every single fault at these settings.
    pub fn new(assembly: &Assembly, connections: &[Connection], settings: &[Controls]) -> Self {
        let mut known: Vec<(Candidate, Vec<Expected>)> = Vec::new();
        for candidate in candidates(assembly, connections) {
            let predict = |controls: &Controls| expected(&candidate.assembly, controls).ok();
            // A fault without a solution is none that a meter could show.
            if let Some(predicted) = settings.iter().map(predict).collect::<Option<Vec<Expected>>>() {
                known.push((candidate, predicted));
            }
        }
        known.sort_by_key(|(candidate, _)| candidate.kind);
        let mut groups: Vec<(Vec<Candidate>, Vec<Expected>)> = Vec::new();
        for (candidate, predicted) in known {
            match groups.iter_mut().find(|(_, known)| are_same(known, &predicted)) {
                Some((members, _)) => members.push(candidate),
                None => groups.push((vec![candidate], predicted)),
            }
        }
        Self { groups }
    }

    /// Ranks the faults by what was read at each of the settings, in ohms.
    pub fn diagnose(&self, ohms: &[f64]) -> Diagnosis {
        let judge = |(members, predicted): &'_ (Vec<Candidate>, Vec<Expected>)| Suspicion {
            faults: members.iter().map(|member| member.what.clone()).collect(),
            kinds: members.iter().map(|member| member.kind).collect(),
            misfit: misfit(ohms, predicted),
            predicted: predicted.iter().map(|predicted| predicted.ohms).collect(),
            tests: Vec::new(),
        };
        let mut judged: Vec<(Suspicion, &Vec<Candidate>)> =
            self.groups.iter().map(|group| (judge(group), &group.0)).collect();
        judged.sort_by(|(a, _), (b, _)| a.misfit.total_cmp(&b.misfit));
        let best = judged.first().map_or(0.0, |(suspicion, _)| suspicion.misfit);
        for (suspicion, members) in &mut judged {
            // Only the best are worth a further test.
            if suspicion.misfit <= best + WORTH_A_TEST {
                suspicion.tests = tests(members);
            }
        }
        Diagnosis { suspicions: judged.into_iter().map(|(suspicion, _)| suspicion).collect() }
    }
}

fn are_same(one: &[Expected], other: &[Expected]) -> bool {
    one.iter().zip(other).all(|(a, b)| (shown(a.ohms) / shown(b.ohms)).ln().abs() < SAME)
}

fn misfit(read: &[f64], predicted: &[Expected]) -> f64 {
    let off = |(ohms, expected): (&f64, &Expected)| {
        let off = (shown(*ohms) / shown(expected.ohms)).ln() / expected.deviation;
        off.clamp(-MOST_DEVIATIONS, MOST_DEVIATIONS).powi(2)
    };
    let sum: f64 = read.iter().zip(predicted).map(off).sum();
    (sum / read.len().max(1) as f64).sqrt()
}

/// What tells the first of these faults from the others, and so on, each test named once; then, where nothing at the
/// jack does, what a probe inside the guitar would show.
fn tests(members: &[Candidate]) -> Vec<String> {
    const ENOUGH: usize = 4;
    let mut tests: Vec<String> = Vec::new();
    let mut alike = false;
    for (index, one) in members.iter().enumerate().take(3) {
        for other in members.iter().skip(index + 1).take(8) {
            match separating_test(&one.assembly, &other.assembly) {
                Some(test) if !tests.contains(&test) && tests.len() < ENOUGH => tests.push(test),
                Some(_) => {}
                None => alike = true,
            }
        }
    }
    if alike {
        let probes = members.iter().filter(|member| !member.probe.is_empty()).take(ENOUGH);
        tests.extend(probes.map(|member| member.probe.clone()));
    }
    tests
}
