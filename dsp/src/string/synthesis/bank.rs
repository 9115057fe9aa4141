//! Many decaying partials at once, heard by several pickups.
//!
//! Each partial is a complex phasor that one multiplication turns and shrinks from sample to sample. Eight are turned
//! together, which the compiler makes vector instructions of, and each pickup adds up its own share of them.

use std::f64::consts::TAU;

/// Partials that are turned together.
const LANES: usize = 8;
/// Samples between two looks at the pitch and at which partials have died away.
pub(super) const BLOCK: usize = 64;
/// A partial this far below the note's level (140 dB) is left out: it is below what f32 samples hold.
const SILENCE: f64 = 1e-7;

/// One partial of a note.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Partial {
    /// Frequency at the note's own pitch, in hertz.
    pub hertz: f64,
    /// Decay of the amplitude, in nepers per second.
    pub decay: f64,
    /// Amplitude of the string, to know when the partial has died away: whichever pickups listen, it does so at one time.
    pub amplitude: f64,
    /// Per pickup the amplitudes of sine and cosine.
    pub heard: Vec<(f64, f64)>,
}

/// Eight partials: state, rotation per sample, and what each pickup hears.
struct Group {
    re: [f64; LANES],
    im: [f64; LANES],
    turn_re: [f64; LANES],
    turn_im: [f64; LANES],
    radians: [f64; LANES],
    shrink: [f64; LANES],
    amplitude: [f64; LANES],
    sines: Vec<[f64; LANES]>,
    cosines: Vec<[f64; LANES]>,
}

/// The partials of one note while they sound.
pub(super) struct Bank {
    groups: Vec<Group>,
    /// Whether any pickup hears cosines.
    quadrature: bool,
    ratio: f64,
    silence: f64,
    sums: Vec<[[f64; LANES]; BLOCK]>,
}

impl Bank {
    /// Partials that start at time 0 with the phase of a sine. `level` is what the note's silence is measured against.
    pub fn new(partials: &[Partial], pickups: usize, level: f64, sample_rate: f64) -> Self {
        let groups = partials.chunks(LANES).map(|chunk| Group::new(chunk, pickups, sample_rate)).collect();
        let quadrature = partials.iter().any(|partial| partial.heard.iter().any(|&(_, cosine)| cosine != 0.0));
        let sums = vec![[[0.0; LANES]; BLOCK]; pickups];
        Self { groups, quadrature, ratio: f64::NEG_INFINITY, silence: SILENCE * level, sums }
    }

    /// Adds the next `BLOCK` samples (or as many as there is room for) to one output per pickup, starting at sample
    /// `from`, at a pitch that lies `ratio` above the note's own.
    pub fn add(&mut self, ratio: f64, outputs: &mut [Vec<f64>], from: usize) {
        self.groups.retain(|group| group.sounds(self.silence));
        self.sums.iter_mut().for_each(|sum| *sum = [[0.0; LANES]; BLOCK]);
        // A still string keeps its pitch, and its rotations need no new sines and cosines.
        let moved = (ratio - self.ratio).abs() > 1e-9;
        if moved {
            self.groups.iter_mut().for_each(|group| group.tune(ratio));
            self.ratio = ratio;
        }
        for group in &mut self.groups {
            group.run(&mut self.sums, self.quadrature);
        }
        for (output, sum) in outputs.iter_mut().zip(&self.sums) {
            for (sample, lanes) in output[from..].iter_mut().zip(sum) {
                *sample += lanes.iter().sum::<f64>();
            }
        }
    }

    /// Whether every partial has died away.
    pub fn is_silent(&self) -> bool {
        self.groups.is_empty()
    }
}

impl Group {
    fn new(partials: &[Partial], pickups: usize, sample_rate: f64) -> Self {
        let lanes = |of: &dyn Fn(&Partial) -> f64| {
            let mut values = [0.0; LANES];
            values.iter_mut().zip(partials).for_each(|(value, partial)| *value = of(partial));
            values
        };
        Self {
            re: lanes(&|_| 1.0),
            im: [0.0; LANES],
            turn_re: [0.0; LANES],
            turn_im: [0.0; LANES],
            radians: lanes(&|partial| TAU * partial.hertz / sample_rate),
            shrink: lanes(&|partial| (-partial.decay / sample_rate).exp()),
            amplitude: lanes(&|partial| partial.amplitude),
            sines: (0..pickups).map(|i| lanes(&|partial| partial.heard[i].0)).collect(),
            cosines: (0..pickups).map(|i| lanes(&|partial| partial.heard[i].1)).collect(),
        }
    }

    fn sounds(&self, silence: f64) -> bool {
        let power = |l: usize| self.re[l] * self.re[l] + self.im[l] * self.im[l];
        (0..LANES).any(|l| power(l) * self.amplitude[l] * self.amplitude[l] > silence * silence)
    }

    fn tune(&mut self, ratio: f64) {
        for l in 0..LANES {
            let (sin, cos) = (self.radians[l] * ratio).sin_cos();
            (self.turn_re[l], self.turn_im[l]) = (self.shrink[l] * cos, self.shrink[l] * sin);
        }
    }

    fn run(&mut self, sums: &mut [[[f64; LANES]; BLOCK]], quadrature: bool) {
        let mut sines = [[0.0; LANES]; BLOCK];
        let mut cosines = [[0.0; LANES]; BLOCK];
        let (mut re, mut im) = (self.re, self.im);
        for t in 0..BLOCK {
            (sines[t], cosines[t]) = (im, re);
            for l in 0..LANES {
                let turned = re[l] * self.turn_re[l] - im[l] * self.turn_im[l];
                im[l] = re[l] * self.turn_im[l] + im[l] * self.turn_re[l];
                re[l] = turned;
            }
        }
        (self.re, self.im) = (re, im);
        for ((sum, sine), cosine) in sums.iter_mut().zip(&self.sines).zip(&self.cosines) {
            accumulate(sum, &sines, sine);
            if quadrature {
                accumulate(sum, &cosines, cosine);
            }
        }
    }
}

fn accumulate(sum: &mut [[f64; LANES]; BLOCK], wave: &[[f64; LANES]; BLOCK], gain: &[f64; LANES]) {
    for (sum, wave) in sum.iter_mut().zip(wave) {
        for l in 0..LANES {
            sum[l] += gain[l] * wave[l];
        }
    }
}
