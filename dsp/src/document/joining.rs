//! Puts every lug on its joint.

use super::assembly::AssembledPart;
use super::builder::{Builder, Place};
use super::problem::{ProblemKind, shortened};
use super::suggestion::nearest;
use super::wiring::Joint;

/// The lug whose joint is ground.
const SLEEVE: &str = "jack.sleeve";

impl<'a> Builder<'a> {
    /// Puts lugs on joints; joint 0 is the one of the jack's sleeve.
    pub(super) fn join(&mut self, parts: &mut [AssembledPart]) -> Vec<&'a Joint> {
        let wiring = self.wiring;
        let (mut order, others): (Vec<usize>, Vec<usize>) =
            (0..wiring.joints.len()).partition(|&written| is_ground(&wiring.joints[written]));
        order.extend(others);
        let joints: Vec<&Joint> = order.iter().map(|&written| &wiring.joints[written]).collect();
        for (written, joint) in wiring.joints.iter().enumerate() {
            self.check_joint_name(joint, &wiring.joints[..written]);
            let index = order.iter().position(|&other| other == written).expect("every joint has its place");
            joint.lugs.iter().for_each(|name| self.put(&joints, index, name, parts));
        }
        joints
    }

    /// Two joints of one name would be taken for one, and some names mean something.
    fn check_joint_name(&mut self, joint: &Joint, earlier: &[Joint]) {
        let pickup = self
            .guitar
            .pickups
            .iter()
            .find(|pickup| ["emf", "wire"].iter().any(|inside| joint.name == format!("{}-{inside}", pickup.name)));
        let what = if earlier.iter().any(|other| other.name == joint.name) {
            format!("two joints are called `{}`", joint.name)
        } else if joint.name == "ground" && !is_ground(joint) && self.wiring.joints.iter().any(is_ground) {
            format!("the joint `ground` does not hold {SLEEVE}, which sits elsewhere")
        } else if let Some(pickup) = pickup {
            format!("`{}` is the inside of the pickup `{}`", joint.name, pickup.name)
        } else {
            return;
        };
        let place = Place { line: Some(joint.line), file: Some(&joint.file), ..Place::default() };
        self.error(ProblemKind::DuplicateName, place, what, "give the joint another name");
    }

    fn put(&mut self, joints: &[&Joint], index: usize, name: &str, parts: &mut [AssembledPart]) {
        let joint = joints[index];
        let place = Place { line: Some(joint.line), lug: Some(name), file: Some(&joint.file), part: None };
        let Some((part_name, lug)) = name.split_once('.') else {
            let what = format!("`{}` is no lug", shortened(name));
            return self.error(ProblemKind::UnknownLug, place, what, "write it as PART.LUG, such as volume.3");
        };
        // Two parts of one name have been reported; whichever has the lug is meant.
        let with_lug = |part: &&AssembledPart| part.name == part_name && part.lugs.iter().any(|known| known == lug);
        let meant = parts.iter().find(with_lug).or_else(|| parts.iter().find(|part| part.name == part_name));
        let Some(part) = meant.and_then(|meant| parts.iter().position(|part| std::ptr::eq(part, meant))) else {
            return self.report_unknown_part(part_name, place, parts);
        };
        let part = &mut parts[part];
        let place = Place { part: Some(part_name), ..place };
        let Some(lug) = part.lugs.iter().position(|known| known == lug) else {
            self.suspects.insert(part_name.to_string());
            let what = format!("`{}` has no lug `{}`", part_name, shortened(lug));
            let mend = format!("its lugs are {}", part.lugs.join(", "));
            return self.error(ProblemKind::UnknownLug, place, what, &mend);
        };
        if part.joints[lug] != usize::MAX {
            self.suspects.insert(part_name.to_string());
            let other = joints[part.joints[lug]];
            let what = if part.joints[lug] == index {
                format!("the lug is named twice in the joint `{}`", joint.name)
            } else {
                format!("the lug is named twice; it sits on the joint `{}` (line {}) too", other.name, other.line)
            };
            let mend = "name it once, in the one joint it is soldered to";
            return self.error(ProblemKind::LugNamedTwice, place, what, mend);
        }
        part.joints[lug] = index;
        if part.line.is_none() {
            (part.line, part.file) = (Some(joint.line), joint.file.clone());
        }
    }

    /// A part that the wiring describes but whose switch is not known was reported before.
    fn report_unknown_part(&mut self, name: &str, place: Place<'_>, parts: &[AssembledPart]) {
        if self.wiring.part(name).is_some() {
            return;
        }
        let near = self.suspect(name, parts.iter().map(|part| part.name.as_str()));
        let what = format!("there is no part `{}`{near}", shortened(name));
        let mend = "describe the part, or name one that is there (a pickup must be on the guitar)";
        self.error(ProblemKind::UnknownPart, place, what, mend);
    }

    /// Marks the known part that a misspelt name most likely means, so that it is not reported as hanging too.
    fn suspect<'n>(&mut self, name: &str, known: impl IntoIterator<Item = &'n str>) -> String {
        let near = nearest(name, known);
        self.suspects.extend(near.map(str::to_string));
        near.map(|near| format!("; did you mean `{near}`?")).unwrap_or_default()
    }
}

fn is_ground(joint: &Joint) -> bool {
    joint.lugs.iter().any(|lug| lug == SLEEVE)
}
