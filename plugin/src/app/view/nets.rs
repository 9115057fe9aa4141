//! The wiring as joints and contacts, with the live path.

use dryfit_dsp::circuit::{Controls, closed_lugs};
use dryfit_dsp::document::{AssembledPart, Assembly};
use dryfit_dsp::drawing::Live;

use crate::editor::{Contact, Net, NetRole};

/// Joints of more than one lug, ground first as in the assembly.
pub(super) fn nets(assembly: &Assembly, live: &Live) -> Vec<Net> {
    let net = |(joint, name): (usize, &String)| {
        let on_it = |part: &AssembledPart| {
            let lugs = part.joints.iter().zip(&part.lugs).filter(|(at, _)| **at == joint);
            lugs.map(|(_, lug)| format!("{}.{lug}", part.name)).collect::<Vec<_>>()
        };
        let role = match joint {
            Assembly::GROUND => NetRole::Ground,
            _ if live.joints[joint] => NetRole::Live,
            _ => NetRole::Idle,
        };
        Net { joint, name: name.clone(), lugs: assembly.parts.iter().flat_map(on_it).collect(), role }
    };
    assembly.joints.iter().enumerate().map(net).filter(|net| net.lugs.len() > 1).collect()
}

/// What every switch joins where it stands.
pub(super) fn contacts(assembly: &Assembly, controls: &Controls, live: &Live) -> Vec<Contact> {
    let contact = |part: &AssembledPart, lugs: Vec<usize>| Contact {
        switch: part.name.clone(),
        live: lugs.iter().all(|&lug| live.joints[part.joints[lug]]),
        lugs: lugs.iter().map(|&lug| part.lugs[lug].clone()).collect(),
    };
    let of = |part| closed_lugs(part, controls).into_iter().map(move |lugs| contact(part, lugs));
    assembly.parts.iter().flat_map(of).collect()
}
