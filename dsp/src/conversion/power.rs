//! Power at the jack of what the strings radiate, through a circuit and the pickups' places.

use crate::circuit::{Grid, Responses};
use crate::string::PlaceTable;

/// Writes sum_ij Re(H_i conj H_j) M_ij at every point of the grid, M being the place table: the expected power at the
/// jack, up to a factor common to all circuits.
pub(super) fn power_at_jack(responses: &Responses, place: &PlaceTable, power: &mut [f64; Grid::POINTS]) {
    power.fill(0.0);
    for i in 0..responses.pickups() {
        let (re_i, im_i) = responses.parts(i);
        for j in i..responses.pickups() {
            let (re_j, im_j) = responses.parts(j);
            let twice = if i == j { 1.0 } else { 2.0 };
            let products = place.product(i, j);
            for point in 0..Grid::POINTS {
                let cross = re_i[point] * re_j[point] + im_i[point] * im_j[point];
                power[point] += twice * cross * products[point];
            }
        }
    }
}
