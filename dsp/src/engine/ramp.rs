//! A value that moves in a straight line, one sample at a time.

/// A linear ramp. Its values follow from the number of samples since it was set, never from how they were asked for.
#[derive(Debug, Clone, Copy)]
pub(super) struct Ramp {
    from: f32,
    to: f32,
    length: usize,
    done: usize,
}

impl Ramp {
    /// A ramp that stands still.
    pub(super) fn at(value: f32) -> Self {
        Self { from: value, to: value, length: 0, done: 0 }
    }

    /// Moves from where it is to `value` over `samples`.
    pub(super) fn move_to(&mut self, value: f32, samples: usize) {
        *self = Self { from: self.value(self.done), to: value, length: samples, done: 0 };
    }

    /// Where it will end.
    pub(super) fn target(&self) -> f32 {
        self.to
    }

    /// Where it is.
    pub(super) fn now(&self) -> f32 {
        self.value(self.done)
    }

    /// Samples until it stands still.
    pub(super) fn left(&self) -> usize {
        self.length - self.done
    }

    /// Writes the values of the next samples; the last of a ramp is its target.
    pub(super) fn write(&mut self, out: &mut [f32]) {
        let moving = self.left().min(out.len());
        for (i, value) in out[..moving].iter_mut().enumerate() {
            *value = self.value(self.done + i + 1);
        }
        out[moving..].fill(self.to);
        self.done += moving;
    }

    fn value(&self, done: usize) -> f32 {
        if done >= self.length {
            self.to
        } else {
            self.from + (self.to - self.from) * (done as f32 / self.length as f32)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_ramp_is_a_straight_line_that_ends_on_its_target_and_can_turn_half_way() {
        let mut ramp = Ramp::at(0.0);
        ramp.move_to(1.0, 4);
        let mut out = [9.0; 6];
        ramp.write(&mut out[..2]);
        assert_eq!(out[..2], [0.25, 0.5]);
        ramp.move_to(0.0, 2);
        ramp.write(&mut out);
        assert_eq!(out, [0.25, 0.0, 0.0, 0.0, 0.0, 0.0]);
    }
}
