//! Specification of `filter`: the taps have the magnitude that was asked for.
//!
//! The curves are worked out here by hand (a coil, a pot, a tone branch and a load in closed form), so that nothing
//! is compared with the crate's own circuit solver.

use std::f64::consts::TAU;

use dryfit_dsp::conversion::Grid;
use dryfit_dsp::filter::{Designer, Size, reference};
use num_complex::Complex;

type C = Complex<f64>;
type Curve = Box<dyn Fn(f64) -> f64>;

const RATES: [f64; 4] = [44_100.0, 48_000.0, 96_000.0, 192_000.0];

/// One single coil into a volume pot, a tone branch (ohms, farads) before or after the volume, and a load; closed form.
#[derive(Clone, Copy)]
struct Ladder {
    volume: f64,
    tone: (f64, f64),
    after_volume: bool,
    bass_cut: f64,
}

impl Ladder {
    const OPEN: Self = Self { volume: 1.0, tone: (250e3, 47e-9), after_volume: false, bass_cut: f64::INFINITY };

    /// |H| at a frequency in hertz, per volt of coil.
    fn gain(&self, hertz: f64) -> f64 {
        let s = C::new(0.0, TAU * hertz);
        let coil = s * 2.2 + 5.7e3;
        let (top, bottom) = ((250e3 * (1.0 - self.volume)).max(1.0), (250e3 * self.volume).max(1.0));
        let tone = (s * self.tone.1).inv() + self.tone.0;
        let cut = if self.bass_cut.is_finite() { (s * self.bass_cut).inv() } else { C::new(0.0, 0.0) };
        let mut load = s * 500e-12 + 1e-6 + 1.0 / bottom;
        let mut before = s * 110e-12 + 1.0 / 600e3;
        if self.after_volume {
            load += tone.inv()
        } else {
            before += tone.inv()
        }
        let out = load.inv();
        let chain = out + top + cut;
        let node = (before + chain.inv()).inv();
        (node / (node + coil) * out / chain).norm()
    }

    fn log_gain_over(self, recorded: Self) -> Curve {
        Box::new(move |hertz| (self.gain(hertz) / recorded.gain(hertz)).ln())
    }
}

/// The soft limit of a boost, in nepers: 24 dB, as design.md section 5 has it.
fn limited(curve: Curve) -> Curve {
    let most = 24.0 / 20.0 * 10f64.ln();
    Box::new(move |hertz| most - (1.0 + (4.0 * (most - curve(hertz))).exp()).ln() / 4.0)
}

/// Curves a guitar can ask for, named.
fn curves() -> Vec<(&'static str, Curve)> {
    let open = Ladder::OPEN;
    let tone = |ohms, farads| Ladder { tone: (ohms, farads), ..open };
    let volume = |volume| Ladder { volume, ..open };
    let after = |volume, ohms, farads| Ladder { volume, tone: (ohms, farads), after_volume: true, ..open };
    vec![
        ("nothing changed", open.log_gain_over(open)),
        ("volume half", volume(0.5).log_gain_over(open)),
        ("volume at a thousandth (-60 dB)", volume(0.001).log_gain_over(open)),
        ("tone rolled off, 22n", tone(1.0, 22e-9).log_gain_over(open)),
        ("tone rolled off, 47n", tone(1.0, 47e-9).log_gain_over(open)),
        ("tone rolled off, 100n", tone(1.0, 100e-9).log_gain_over(open)),
        ("tone at 40k, 47n", tone(40e3, 47e-9).log_gain_over(open)),
        ("tone at 10k, 100n", tone(10e3, 100e-9).log_gain_over(open)),
        ("tone rolled off, volume -60 dB", Ladder { tone: (1.0, 47e-9), ..volume(0.001) }.log_gain_over(open)),
        ("tone moved after half volume, 47n", after(0.5, 250e3, 47e-9).log_gain_over(open)),
        ("tone moved after half volume, 40k, 100n", after(0.5, 40e3, 100e-9).log_gain_over(open)),
        ("recorded with the tone off, 47n", limited(open.log_gain_over(tone(1.0, 47e-9)))),
        ("recorded with the volume half", open.log_gain_over(volume(0.5))),
        ("bass cut, 2.2n", Ladder { bass_cut: 2.2e-9, ..open }.log_gain_over(open)),
        ("bass cut, 10n, volume half", Ladder { bass_cut: 10e-9, ..volume(0.5) }.log_gain_over(open)),
        ("bass cut, 1n into an open volume", Ladder { bass_cut: 1e-9, ..open }.log_gain_over(open)),
        ("coil and cable alone, 12 dB/octave", Box::new(move |hertz| open.gain(hertz).ln())),
        (
            "resonance at 300 Hz, Q 3, then 12 dB/octave",
            Box::new(|hertz| {
                let x = C::new(0.0, hertz / 300.0);
                (x * x + x / 3.0 + 1.0).inv().norm().ln()
            }),
        ),
        (
            "shelf from 500 Hz, +12 dB",
            Box::new(|hertz| {
                let x = C::new(0.0, hertz / 1000.0);
                ((x * 4.0 + 1.0) / (x + 1.0)).norm().ln()
            }),
        ),
    ]
}

/// Frequencies from `from` to `to` hertz, 24 to the octave.
fn frequencies(from: f64, to: f64) -> impl Iterator<Item = f64> {
    (0..).map(move |i| from * 2f64.powf(f64::from(i) / 24.0)).take_while(move |&hertz| hertz <= to).chain([to])
}

fn on_grid(curve: &Curve, grid: &Grid) -> Vec<f64> {
    grid.hertz().iter().map(|&hertz| curve(hertz)).collect()
}

fn in_db(nepers: f64) -> f64 {
    nepers * 20.0 / 10f64.ln()
}

/// Worst distance, in dB, of the taps' magnitude from the curve over a range.
fn worst_db(taps: &[f32], curve: &Curve, sample_rate: f64, from: f64, to: f64) -> f64 {
    frequencies(from, to)
        .map(|hertz| in_db(reference::response(taps, sample_rate, hertz).norm().ln() - curve(hertz)).abs())
        .fold(0.0, f64::max)
}

/// Bounds: design.md section 8, "rendered sound against the solver".
#[test]
fn every_curve_is_met_within_0_05_db_above_80_hz_and_0_1_db_above_20_hz_at_every_rate() {
    for sample_rate in RATES {
        let grid = Grid::up_to(sample_rate / 2.0);
        let mut designer = Designer::new(&grid, sample_rate);
        let mut taps = vec![0.0; designer.taps()];
        for (name, curve) in curves() {
            designer.design(&on_grid(&curve, &grid), &mut taps);
            let low = worst_db(&taps, &curve, sample_rate, 20.0, 80.0);
            let high = worst_db(&taps, &curve, sample_rate, 80.0, 18_000.0);
            println!("{sample_rate:6} Hz  {name:40} 20..80 Hz {low:.4} dB   80 Hz..18 kHz {high:.4} dB");
            assert!(high <= 0.05, "{name} at {sample_rate} Hz is {high:.3} dB off between 80 Hz and 18 kHz");
            assert!(low <= 0.1, "{name} at {sample_rate} Hz is {low:.3} dB off between 20 and 80 Hz");
        }
    }
}
