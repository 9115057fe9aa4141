//! When two solutions count as one.

use super::nets::Nets;
use super::task::Task;

/// What a solution comes to: which leads are joined directly, and which leads each pole, or each contact of a pole with
/// separate throws, can join. Solutions that differ in nothing else count as one.
pub(super) fn signature(task: &Task, nets: &Nets) -> Signature {
    let leads = (1u64 << task.leads) - 1;
    let mut lone = 0;
    let mut led = |lug: usize| match nets.members(lug) {
        net if net & leads != 0 => net & leads,
        net if net.count_ones() == 1 => 0,
        // A link between lugs alone is only like itself.
        net => {
            lone = 1;
            net
        }
    };
    let mut poles = Vec::new();
    for pole in &task.poles {
        let nets: Vec<u64> = pole.lugs.iter().map(|&lug| led(lug)).collect();
        if !pole.separate {
            poles.push((pole.alike, 0, nets));
            continue;
        }
        poles.push((pole.alike, 0, vec![nets[0]]));
        poles.extend((1..nets.len()).map(|place| (pole.alike, place, vec![nets[0], nets[place]])));
    }
    poles.sort_unstable();
    let mut joined: Vec<u64> = nets.all().map(|net| if lone == 1 { net } else { net & leads }).collect();
    joined.sort_unstable();
    joined.dedup();
    (joined, poles)
}

/// See [`signature`].
pub(super) type Signature = (Vec<u64>, Vec<(usize, usize, Vec<u64>)>);
