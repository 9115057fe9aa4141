//! Takes of which the truth is known: one performance, recorded through one wiring and heard through another.

use std::sync::Arc;

use dryfit_bundler::rendering::{render, render_following};
use dryfit_dsp::circuit::{self, Controls, Grid, Loaded, Mna};
use dryfit_dsp::conversion::{Conversion, Places, Recorded, Through};
use dryfit_dsp::document::{Assembly, Guitar, Library};
use dryfit_dsp::following::{Follower, Source};
use dryfit_dsp::string::{Performance, Realism, Take, synthesise};

/// Rate of the ground-truth takes, in hertz.
pub const SAMPLE_RATE: u32 = 48_000;
/// Noise of the recorded take, in dB below full scale at a peak of -6 dBFS, as in the reference study.
const NOISE_DB: f64 = -70.0;

/// A wiring with its controls where they stand.
#[derive(Debug, Clone)]
pub struct Stand {
    /// The wiring on the guitar.
    pub assembly: Assembly,
    /// Where the controls stand.
    pub controls: Controls,
}

impl Stand {
    /// A preset wiring on a guitar, with the selector in a position, everything else on 10.
    ///
    /// # Panics
    /// When the preset cannot be built.
    pub fn new(wiring: &str, guitar: &Guitar, position: u8) -> Self {
        let library = Library::presets();
        let wiring = library.wiring(wiring).unwrap_or_else(|problems| panic!("{problems}"));
        let assembly = Assembly::new(&wiring, guitar, &library).unwrap_or_else(|problems| panic!("{problems}"));
        Self { assembly, controls: Controls { position, ..Controls::default() } }
    }

    /// The same with the knob of that label turned.
    ///
    /// # Panics
    /// When there is no such knob.
    pub fn turned(mut self, label: &str, to: f64) -> Self {
        let knob = self.assembly.controls.knob(label).unwrap_or_else(|| panic!("no knob {label}"));
        self.controls.knobs[knob] = to;
        self
    }

    /// What the jack gives when these EMFs play: every pickup through its own response, summed with its sign.
    ///
    /// # Panics
    /// When the circuit has no solution; presets have.
    pub fn truth(&self, played: &Take) -> Vec<f32> {
        let grid = Grid::up_to(f64::from(SAMPLE_RATE) / 2.0);
        let mut sum = vec![0.0; played.pickups[0].len()];
        for (pickup, emf) in played.pickups.iter().enumerate() {
            let through = Through::new(&self.assembly, pickup, &grid).expect("presets have a solution");
            let sign = self.sign(pickup);
            if sign != 0.0 {
                let heard = render(emf, SAMPLE_RATE, through, &self.controls, |_| {});
                sum.iter_mut().zip(heard).for_each(|(sum, sample)| *sum += sign * sample);
            }
        }
        sum
    }

    /// A take recorded through this wiring, converted to an option.
    ///
    /// # Panics
    /// When there is no such conversion; presets have one.
    pub fn convert(&self, take: &[f32], option: &Self) -> Vec<f32> {
        let grid = Grid::up_to(f64::from(SAMPLE_RATE) / 2.0);
        let recorded = Recorded::new(&self.assembly, &self.controls, &grid).expect("the wiring is not silent");
        let conversion = Conversion::new(&recorded, &option.assembly).expect("presets have a solution");
        render(take, SAMPLE_RATE, conversion, &option.controls, |_| {})
    }

    /// The same with the notes followed, as they are found by what `follower` makes for this wiring.
    ///
    /// # Panics
    /// When there is no such conversion; presets have one.
    pub fn convert_following(
        &self,
        take: &[f32],
        option: &Self,
        follower: impl Fn(&Source, f64) -> Follower,
    ) -> Vec<f32> {
        let rate = f64::from(SAMPLE_RATE);
        let recorded = self.recorded();
        let follower = follower(&source_of(&self.assembly.guitar, &recorded), rate);
        let places = Places::new(&self.assembly.guitar, follower.size().lattice().hertz());
        let conversion = Conversion::new(&recorded.followed(Arc::new(places)), &option.assembly);
        let conversion = conversion.expect("presets have a solution");
        render_following(take, SAMPLE_RATE, conversion, follower, &option.controls, |_| {})
    }

    /// What a follower has to know of takes recorded with this wiring, by the guitar's own document.
    ///
    /// # Panics
    /// When the wiring is silent.
    pub fn source(&self) -> Source {
        source_of(&self.assembly.guitar, &self.recorded())
    }

    fn recorded(&self) -> Recorded {
        let recorded = Recorded::new(&self.assembly, &self.controls, &Grid::up_to(f64::from(SAMPLE_RATE) / 2.0));
        recorded.expect("the wiring is not silent")
    }

    /// +1 or -1 as the pickup's EMF arrives, 0 when it does not: a minimum-phase filter cannot tell.
    fn sign(&self, pickup: usize) -> f32 {
        let lowered = circuit::lower(&self.assembly, &self.controls, Loaded::Yes);
        let response =
            Mna::new(&lowered.netlist).transfer(lowered.jack, 100.0).expect("presets have a solution")[pickup];
        if response.norm() < 1e-6 { 0.0 } else { response.re.signum() as f32 }
    }
}

fn source_of(guitar: &Guitar, recorded: &Recorded) -> Source {
    Source::new(guitar, recorded.responses(), recorded.grid())
}

/// Plays a performance with the realism on; the loudest pickup peaks at -6 dBFS.
pub fn play(guitar: &Guitar, performance: &Performance, seed: u64) -> Take {
    play_with(guitar, performance, seed, &Realism::played())
}

/// The same with a realism of its own.
pub fn play_with(guitar: &Guitar, performance: &Performance, seed: u64, realism: &Realism) -> Take {
    let mut take = synthesise(guitar, performance, seed, f64::from(SAMPLE_RATE), realism);
    let peak = (0..take.pickups.len()).map(|pickup| take.peak(pickup)).fold(0.0f32, f32::max);
    take.scale(0.5 / peak);
    take
}

/// Adds noise of a converter and a cable, the same on every run.
pub fn add_noise(take: &mut [f32], seed: u64) {
    let mut state = seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1;
    let amplitude = 10f64.powf(NOISE_DB / 20.0);
    for sample in take {
        // xorshift64*; twelve uniform numbers make one that is near enough to normal.
        let normal: f64 = (0..12)
            .map(|_| {
                state ^= state >> 12;
                state ^= state << 25;
                state ^= state >> 27;
                (state.wrapping_mul(0x2545_F491_4F6C_DD1D) >> 11) as f64 / (1u64 << 53) as f64
            })
            .sum::<f64>()
            - 6.0;
        *sample += (amplitude * normal) as f32;
    }
}
