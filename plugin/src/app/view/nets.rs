//! The wiring as joints and contacts, with the live path.

use dryfit_dsp::circuit::Controls;
use dryfit_dsp::document::{AssembledKind, AssembledPart, Assembly};

use crate::compile::names::sounding;
use crate::editor::{Contact, Net, NetRole};

/// Joints of more than one lug, ground first as in the assembly.
pub(super) fn nets(assembly: &Assembly, controls: &Controls) -> Vec<Net> {
    let live = live(assembly, controls);
    let net = |(joint, name): (usize, &String)| {
        let on_it = |part: &AssembledPart| {
            let lugs = part.joints.iter().zip(&part.lugs).filter(|(at, _)| **at == joint);
            lugs.map(|(_, lug)| format!("{}.{lug}", part.name)).collect::<Vec<_>>()
        };
        let role = match joint {
            Assembly::GROUND => NetRole::Ground,
            _ if live[joint] => NetRole::Live,
            _ => NetRole::Idle,
        };
        Net { name: name.clone(), lugs: assembly.parts.iter().flat_map(on_it).collect(), role }
    };
    assembly.joints.iter().enumerate().map(net).filter(|net| net.lugs.len() > 1).collect()
}

/// What every switch joins where it stands.
pub(super) fn contacts(assembly: &Assembly, controls: &Controls) -> Vec<Contact> {
    let live = live(assembly, controls);
    let contact = |closed: Closed| Contact {
        live: closed.joints.iter().all(|&joint| live[joint]),
        switch: closed.switch,
        lugs: closed.lugs,
    };
    closed(assembly, controls).into_iter().map(contact).collect()
}

struct Closed {
    switch: String,
    lugs: Vec<String>,
    joints: Vec<usize>,
}

fn closed(assembly: &Assembly, controls: &Controls) -> Vec<Closed> {
    let mut all = Vec::new();
    for part in &assembly.parts {
        let AssembledKind::Switch { switch, index } = &part.kind else { continue };
        let stands = index.map_or(controls.position, |index| controls.switches[index]);
        let place = usize::from(stands).clamp(1, switch.positions.len().max(1)) - 1;
        for lugs in switch.positions.get(place).map(|position| &position.joined[..]).unwrap_or_default() {
            let joint = |lug: &String| Some(part.joints[part.lugs.iter().position(|own| own == lug)?]);
            let joints = lugs.iter().filter_map(joint).collect();
            all.push(Closed { switch: part.name.clone(), lugs: lugs.clone(), joints });
        }
    }
    all
}

/// Which joints the signal passes on its way from a sounding pickup's hot lead to the jack's tip: those on a path of closed
/// contacts, joints and pot tracks between the two that does not touch ground. (A capacitor or a pot to ground hangs on the
/// path and is no part of it.)
fn live(assembly: &Assembly, controls: &Controls) -> Vec<bool> {
    let heard = sounding(assembly, controls);
    let sounds = |name: &str| heard.split(" + ").any(|pickup| pickup == name);
    let mut links: Vec<Vec<usize>> = closed(assembly, controls).into_iter().map(|closed| closed.joints).collect();
    let mut sources = Vec::new();
    for part in &assembly.parts {
        match &part.kind {
            AssembledKind::Pot { .. } => links.push(part.joints.clone()),
            AssembledKind::Pickup(_) if sounds(&part.name) => {
                // In a series position the path goes through the coil.
                sources.extend(part.joints.iter().copied());
                links.push(part.joints.clone());
            }
            _ => {}
        }
    }
    let ground = grounded(assembly, controls);
    let links: Vec<Vec<usize>> =
        links.into_iter().map(|link| link.into_iter().filter(|&joint| !ground[joint]).collect()).collect();
    sources.retain(|&source| !ground[source]);
    let from_sources = steps(assembly, &links, &sources);
    let from_tip = steps(assembly, &links, &[assembly.tip()]);
    // On a shortest path from some source to the tip: what hangs aside is not.
    let shortest = sources.iter().filter_map(|&source| {
        let from_source = steps(assembly, &links, &[source]);
        from_tip[source].map(|length| (from_source, length))
    });
    let mut live = vec![false; assembly.joints.len()];
    for (from_source, length) in shortest {
        for joint in 0..live.len() {
            let passes = from_source[joint].zip(from_tip[joint]).is_some_and(|(a, b)| a + b == length);
            live[joint] |= passes && from_sources[joint].is_some();
        }
    }
    live
}

/// Which joints closed contacts put on ground, ground among them: they carry the signal back.
fn grounded(assembly: &Assembly, controls: &Controls) -> Vec<bool> {
    let closed: Vec<Vec<usize>> = closed(assembly, controls).into_iter().map(|closed| closed.joints).collect();
    let mut ground = vec![false; assembly.joints.len()];
    ground[Assembly::GROUND] = true;
    for _ in &closed {
        for joints in
            closed.iter().filter(|joints| joints.iter().any(|&joint| ground[joint])).cloned().collect::<Vec<_>>()
        {
            joints.into_iter().for_each(|joint| ground[joint] = true);
        }
    }
    ground
}

/// Number of links from the nearest start to every joint; none where no link leads.
fn steps(assembly: &Assembly, links: &[Vec<usize>], starts: &[usize]) -> Vec<Option<usize>> {
    let mut steps = vec![None; assembly.joints.len()];
    let mut front: Vec<usize> = starts.to_vec();
    front.iter().for_each(|&joint| steps[joint] = Some(0));
    let mut count = 0;
    while !front.is_empty() {
        count += 1;
        let mut next = Vec::new();
        for link in links.iter().filter(|link| link.iter().any(|joint| front.contains(joint))) {
            for &joint in link {
                if steps[joint].is_none() {
                    steps[joint] = Some(count);
                    next.push(joint);
                }
            }
        }
        front = next;
    }
    steps
}
