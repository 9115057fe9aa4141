//! Lugs and poles of switches as elements of a search.

use super::task::Pole;
use super::wish::{Builder, Chosen};
use super::writing;
use crate::document::Switch;

/// Elements for every lug, and the poles with alike ones numbered alike.
pub(super) fn lugs_and_poles(builder: &mut Builder, switches: &[Chosen]) -> (Vec<Vec<usize>>, Vec<Pole>) {
    let (mut lugs, mut poles): (Vec<Vec<usize>>, Vec<Pole>) = Default::default();
    for (number, chosen) in switches.iter().enumerate() {
        let part = chosen.label.as_deref().map_or("selector".to_string(), writing::part_name);
        let elements: Vec<usize> = chosen.switch.lugs().map(|lug| builder.add(format!("{part}.{lug}"))).collect();
        let mut shapes: Vec<Vec<Vec<Vec<usize>>>> = Vec::new();
        let mut next = 0;
        for pole in &chosen.switch.poles {
            let own = elements[next..next + pole.lugs.len()].to_vec();
            next += pole.lugs.len();
            let shape = shape(&chosen.switch, &pole.lugs);
            let separate = shape.as_ref().is_some_and(|shape| is_separate(shape, pole.lugs.len()));
            let alike = shape.and_then(|shape| {
                let known = shapes.iter().position(|known| *known == shape);
                known.or_else(|| {
                    shapes.push(shape);
                    Some(shapes.len() - 1)
                })
            });
            // Poles of different switches, and those tied to others by a contact, are like no other.
            let alike = alike.map_or(usize::MAX - poles.len(), |shape| number * 1000 + shape);
            poles.push(Pole { lugs: own, alike, separate, switch: number });
        }
        lugs.push(elements);
    }
    (lugs, poles)
}

/// What a pole joins in each position, by places on the pole; none when a contact leads to another pole.
fn shape(switch: &Switch, lugs: &[String]) -> Option<Vec<Vec<Vec<usize>>>> {
    let mut shape = Vec::new();
    for position in &switch.positions {
        let mut groups = Vec::new();
        for group in &position.joined {
            let places: Vec<_> = group.iter().map(|lug| lugs.iter().position(|known| known == lug)).collect();
            if places.iter().all(Option::is_none) {
                continue;
            }
            let mut places = places.into_iter().collect::<Option<Vec<usize>>>()?;
            places.sort_unstable();
            groups.push(places);
        }
        groups.sort();
        shape.push(groups);
    }
    Some(shape)
}

/// Whether each throw of a pole is joined to its first lug in one position alone, and to nothing else ever.
fn is_separate(shape: &[Vec<Vec<usize>>], lugs: usize) -> bool {
    let groups = || shape.iter().flatten();
    let pairs = groups().all(|group| group.len() == 2 && group[0] == 0);
    pairs && (1..lugs).all(|place| groups().filter(|group| group.contains(&place)).count() <= 1)
}
