//! Every way in which selector and switches can stand together.

use super::controls::Controls;
use crate::document::ControlPlan;

/// Controls for every combination of selector and switches, knobs on 10; the selector varies slowest.
pub fn combinations(plan: &ControlPlan) -> impl Iterator<Item = Controls> {
    let radix: Vec<u8> =
        std::iter::once(plan.positions).chain(plan.switches.iter().map(|&(_, positions)| positions)).collect();
    let count: usize = radix.iter().map(|&positions| usize::from(positions)).product();
    (0..count).map(move |mut index| {
        let mut controls = Controls::default();
        for (place, &positions) in radix.iter().enumerate().rev() {
            let digits = usize::from(positions);
            let digit = u8::try_from(index % digits + 1).unwrap_or(u8::MAX);
            index /= digits;
            match place.checked_sub(1) {
                None => controls.position = digit,
                Some(switch) => controls.switches[switch] = digit,
            }
        }
        controls
    })
}
