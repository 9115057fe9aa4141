//! What can be wrong with a part's joints before anything is computed.

use super::assembly::{AssembledKind, AssembledPart};
use super::builder::{Builder, Place};
use super::problem::ProblemKind;
use super::wiring::{Joint, Pot};

impl Builder<'_> {
    /// Reports parts that hang, float or do nothing, except those whose names were got wrong somewhere.
    pub(super) fn check_parts(&mut self, parts: &[AssembledPart], joints: &[&Joint]) {
        let alone = |joint: usize| joint == usize::MAX || joints[joint].lugs.len() < 2;
        for part in parts.iter().filter(|part| !self.suspects.contains(&part.name)).collect::<Vec<_>>() {
            let joined = part.joints.iter().filter(|&&joint| !alone(joint)).count();
            let place = Place { part: Some(&part.name), line: part.line, file: Some(&part.file), lug: None };
            let on_one_joint = part.joints.iter().all(|joint| *joint == part.joints[0]);
            match &part.kind {
                AssembledKind::Capacitor { .. } | AssembledKind::Resistor { .. } if joined < 2 => {
                    let what = "the part hangs: one of its ends is joined to nothing".to_string();
                    let mend = "join both ends, or leave the part out";
                    self.error(ProblemKind::HangingPart, place, what, mend);
                }
                AssembledKind::Pot { .. } if joined < 2 => {
                    let what = "the pot floats: fewer than two of its lugs are joined".to_string();
                    self.error(ProblemKind::FloatingPot, place, what, "join at least two of its lugs");
                }
                AssembledKind::Capacitor { .. } | AssembledKind::Resistor { .. } | AssembledKind::Pot { .. }
                    if on_one_joint =>
                {
                    let what = "all its lugs are on one joint, so the part does nothing".to_string();
                    self.error(ProblemKind::ShortedPart, place, what, "move one of them, or leave the part out");
                }
                AssembledKind::Pot { pot, .. } => self.check_pot(pot, part, place, alone),
                AssembledKind::Pickup(_) if joined == 1 => {
                    let what = "the pickup hangs: one of its leads is joined to nothing".to_string();
                    self.error(ProblemKind::HangingPart, place, what, "join both leads, or neither");
                }
                AssembledKind::Jack if joined < 2 => {
                    let what = "the jack is not joined with both tip and sleeve".to_string();
                    self.error(ProblemKind::NoJack, place, what, "join jack.tip and jack.sleeve");
                }
                AssembledKind::Switch { .. } if joined < 2 => {
                    let what = "the switch does nothing: fewer than two of its lugs are joined".to_string();
                    self.warning(ProblemKind::UnusedControl, place, what, "join its lugs, or leave the switch out");
                }
                _ => {}
            }
        }
        self.check_lone_joints(joints);
    }

    fn check_pot(&mut self, pot: &Pot, part: &AssembledPart, place: Place<'_>, alone: impl Fn(usize) -> bool) {
        if alone(part.joints[1]) {
            let what = "the wiper is joined to nothing, so the knob does nothing".to_string();
            self.warning(ProblemKind::UnusedControl, place, what, "join lug 2, or use a fixed resistor");
        }
        if pot.no_load && !alone(part.joints[2]) {
            let what = "a no-load track is cut before lug 3, yet lug 3 is joined".to_string();
            self.error(ProblemKind::FloatingPot, place, what, "use lugs 1 and 2 of a no-load pot");
        }
    }

    /// Reports joints of fewer than two lugs, unless the part on it was reported.
    fn check_lone_joints(&mut self, joints: &[&Joint]) {
        for joint in joints.iter().filter(|joint| joint.lugs.len() < 2) {
            let lug = joint.lugs.first().map(String::as_str);
            let part = lug.and_then(|lug| lug.split_once('.')).map(|(part, _)| part);
            let known = self.problems.0.iter().any(|problem| part.is_some() && problem.part.as_deref() == part);
            if !known {
                let place = Place { line: Some(joint.line), lug, part, file: Some(&joint.file) };
                let what = format!("the joint `{}` holds fewer than two lugs", joint.name);
                self.warning(ProblemKind::LoneLug, place, what, "join another lug to it, or remove the line");
            }
        }
    }
}
