//! What is heard, and how loud.

use super::ramp::Ramp;
use super::scene::Listen;

/// Cross-fades between dry, A and B, and the output gain.
pub(super) struct Mixer {
    /// Shares of dry, A and B; their sum is 1.
    shares: [Ramp; 3],
    output: Ramp,
    benches: usize,
    /// Whether nothing was heard yet; then there is nothing to fade from.
    fresh: bool,
}

impl Mixer {
    pub(super) fn new(benches: usize) -> Self {
        Self { shares: [Ramp::at(1.0), Ramp::at(0.0), Ramp::at(0.0)], output: Ramp::at(1.0), benches, fresh: true }
    }

    /// At a boundary of the control grid: a new choice in `fade` samples, a new gain in `step` samples.
    pub(super) fn begin_step(&mut self, listen: Listen, output_db: f64, fade: usize, step: usize) {
        let (fade, step) = if self.fresh { (0, 0) } else { (fade, step) };
        self.fresh = false;
        let heard = self.place(listen);
        if self.shares[heard].target() != 1.0 {
            for (place, share) in self.shares.iter_mut().enumerate() {
                share.move_to(if place == heard { 1.0 } else { 0.0 }, fade);
            }
        }
        let gain = 10f64.powf(output_db / 20.0) as f32;
        if gain.is_finite() && gain != self.output.target() {
            self.output.move_to(gain, step);
        }
    }

    /// Writes the shares of dry, A and B for the next samples, output gain included.
    pub(super) fn write(&mut self, shares: [&mut [f32]; 3], gain: &mut [f32]) {
        self.output.write(gain);
        for (ramp, out) in self.shares.iter_mut().zip(shares) {
            ramp.write(out);
            out.iter_mut().zip(&*gain).for_each(|(share, gain)| *share *= gain);
        }
    }

    /// The place of what is heard among the shares.
    fn place(&self, listen: Listen) -> usize {
        listen.bench().filter(|&bench| bench < self.benches).map_or(0, |bench| bench + 1)
    }
}
