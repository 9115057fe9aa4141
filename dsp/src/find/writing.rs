//! A found wiring as an ordinary document.

use std::fmt::Write as _;

use super::nets::bits;
use super::task::{GROUND, HOT};
use super::wish::{Chosen, KnobPart, Plan};
use crate::document::{Sounds, key, quoted};

/// A label as the name of a part: `neck tone` becomes `neck-tone`.
pub(super) fn part_name(label: &str) -> String {
    let letters = label.chars().map(|c| if c.is_alphanumeric() || c == '_' { c } else { '-' });
    letters.collect::<String>().to_lowercase()
}

/// The wiring document with these nets.
pub(super) fn write(plan: &Plan, nets: &[u64], sounds: &Sounds, switches: &[Chosen]) -> String {
    let mut text = String::from("format = 1\n");
    let about = "Found from the sounds table of this name: nothing but what that table asks for.";
    let _ = write!(text, "title = {}\nabout = {}\n\n", quoted(&sounds.title), quoted(about));
    let _ = write!(text, "[selector]\nswitch = {}\n\n", quoted(&switches[0].name));
    write_parts(&mut text, plan, sounds);
    let mut carriers = carriers(plan, sounds).into_iter();
    for chosen in &switches[1..] {
        let label = chosen.label.as_deref().unwrap_or_default();
        let (part, name, label) = (key(&part_name(label)), quoted(&chosen.name), quoted(label));
        let _ = write!(text, "[switches.{part}]\nswitch = {name}\ncontrol = {label}\n");
        let carrier = if chosen.switch.under_pot { carriers.next() } else { None };
        let _ = carrier.map_or(Ok(()), |pot| writeln!(text, "on-pot = {}", quoted(&pot)));
        text.push('\n');
    }
    text.push_str("[knobs]\n");
    let used = sounds.knobs.iter().zip(&plan.knobs).filter(|(_, part)| **part != KnobPart::Idle);
    for (number, (wish, _)) in (1..).zip(used) {
        let _ = writeln!(text, "{number} = {}", quoted(&wish.label));
    }
    text.push_str("\n[wires]\n");
    for (name, lugs) in joints(plan, nets, sounds) {
        let lugs: Vec<String> = lugs.iter().map(|lug| quoted(lug)).collect();
        let _ = writeln!(text, "{} = [{}]", key(&name), lugs.join(", "));
    }
    text
}

/// Pots in the order in which they are given a switch to carry: the volume last, because it is turned most (common practice, no
/// source).
fn carriers(plan: &Plan, sounds: &Sounds) -> Vec<String> {
    let pots = sounds.knobs.iter().zip(&plan.knobs).filter(|(_, part)| **part != KnobPart::Idle);
    let mut pots: Vec<_> = pots.collect();
    pots.sort_by_key(|(_, part)| **part == KnobPart::Volume);
    pots.into_iter().map(|(wish, _)| part_name(&wish.label)).collect()
}

/// Pots and capacitors with the values that are usual with single coils (common practice, no source).
fn write_parts(text: &mut String, plan: &Plan, sounds: &Sounds) {
    for (wish, part) in sounds.knobs.iter().zip(&plan.knobs) {
        let (name, label) = (key(&part_name(&wish.label)), quoted(&wish.label));
        let no_load = if matches!(part, KnobPart::Blend(..)) { "no-load = true    # open at 10\n" } else { "" };
        if *part != KnobPart::Idle {
            let _ = write!(text, "[pots.{name}]\nvalue = \"250k\"\ntaper = \"audio\"\n{no_load}control = {label}\n\n");
        }
    }
    for (wish, part) in sounds.knobs.iter().zip(&plan.knobs) {
        if matches!(part, KnobPart::MasterTone | KnobPart::Tone(_)) {
            let _ = write!(text, "[capacitors.{}]\nvalue = \"47n\"\n\n", key(&capacitor_name(&wish.label)));
        }
    }
}

fn capacitor_name(label: &str) -> String {
    format!("{}-cap", part_name(label))
}

/// Every joint with its lugs, in the order in which one solders: the hot joint, pickups, the rest, jack, ground.
fn joints(plan: &Plan, nets: &[u64], sounds: &Sounds) -> Vec<(String, Vec<String>)> {
    let task = &plan.task;
    let fixed = fixed_lugs(plan, nets, sounds);
    let mut joints = Vec::new();
    let mut first_name = true;
    let net_of = |element: usize| nets.iter().copied().find(|net| net >> element & 1 == 1).unwrap_or(1 << element);
    let mut seen = 0u64;
    for lead in (0..task.leads).filter(|&lead| lead != GROUND).chain(std::iter::once(GROUND)) {
        if seen >> lead & 1 == 1 {
            continue;
        }
        let net = net_of(lead);
        seen |= net;
        let mut lugs: Vec<String> = Vec::new();
        for element in bits(net) {
            lugs.extend(fixed[element].iter().cloned());
        }
        let name = if first_name { "hot".into() } else { joint_name(&task.elements[lead]) };
        first_name = false;
        joints.push((name, lugs));
    }
    for net in nets.iter().filter(|net| **net & seen == 0) {
        let lugs = bits(*net).map(|element| task.elements[element].clone()).collect();
        joints.push((format!("link-{}", joints.len()), lugs));
    }
    finish(plan, sounds, joints)
}

/// Lugs that belong to an element: a lug is itself, a lead also what always sits on it.
fn fixed_lugs(plan: &Plan, nets: &[u64], sounds: &Sounds) -> Vec<Vec<String>> {
    let task = &plan.task;
    let mut fixed: Vec<Vec<String>> = task.elements.iter().map(|name| vec![name.clone()]).collect();
    fixed[HOT].clear();
    fixed[GROUND].clear();
    for (wish, part) in sounds.knobs.iter().zip(&plan.knobs) {
        let name = part_name(&wish.label);
        match *part {
            KnobPart::Volume => fixed[HOT].push(format!("{name}.3")),
            KnobPart::MasterTone => fixed[HOT].push(format!("{name}.2")),
            KnobPart::Tone(end) => fixed[end] = vec![format!("{name}.2")],
            KnobPart::Blend(pickup, end) => {
                fixed[end] = vec![format!("{name}.2")];
                fixed[task.pickups[pickup].0].push(format!("{name}.1"));
            }
            KnobPart::Idle => {}
        }
        match *part {
            KnobPart::Volume => fixed[GROUND].push(format!("{name}.1")),
            KnobPart::MasterTone | KnobPart::Tone(_) => {
                fixed[GROUND].push(format!("{}.2", capacitor_name(&wish.label)));
            }
            _ => {}
        }
    }
    fixed[GROUND].push("jack.sleeve".into());
    for &(hot, _) in task.pickups.iter().filter(|&&(_, ground)| ground == GROUND) {
        // A pickup that the table never names stays out altogether.
        if fixed[hot].len() > 1 || nets.iter().any(|net| net >> hot & 1 == 1) {
            let name = task.elements[hot].trim_end_matches(".hot");
            fixed[GROUND].push(format!("{name}.ground"));
        }
    }
    fixed
}

/// Adds the joints between pots, capacitors and jack, and drops joints of one lug.
fn finish(plan: &Plan, sounds: &Sounds, mut joints: Vec<(String, Vec<String>)>) -> Vec<(String, Vec<String>)> {
    let ground = joints.iter().position(|(_, lugs)| lugs.iter().any(|lug| lug == "jack.sleeve"));
    let ground = ground.map(|at| joints.remove(at));
    let mut jack = vec!["jack.tip".to_string()];
    for (wish, part) in sounds.knobs.iter().zip(&plan.knobs) {
        let name = part_name(&wish.label);
        match part {
            KnobPart::Volume => jack.insert(0, format!("{name}.2")),
            KnobPart::MasterTone | KnobPart::Tone(_) => {
                let cap = capacitor_name(&wish.label);
                joints.push((format!("{name}-joint"), vec![format!("{name}.1"), format!("{cap}.1")]));
            }
            _ => {}
        }
    }
    if jack.len() == 1 {
        joints[0].1.extend(jack);
    } else {
        joints.push(("jack".into(), jack));
    }
    joints.extend(ground.map(|(_, lugs)| ("ground".to_string(), lugs)));
    joints.retain(|(_, lugs)| lugs.len() > 1);
    joints
}

fn joint_name(element: &str) -> String {
    part_name(element.trim_end_matches(".hot").trim_end_matches(".2"))
}
