//! Magnitudes worked out by hand: a coil, a pot, a tone branch and a load in closed form, so that nothing is compared
//! with the crate's own circuit solver.

use std::f64::consts::TAU;

use num_complex::Complex;

type C = Complex<f64>;
/// ln|G| at a frequency in hertz.
pub type Curve = Box<dyn Fn(f64) -> f64>;

/// One single coil into a volume pot, a tone branch (ohms, farads) before or after the volume, and a load; closed form.
#[derive(Debug, Clone, Copy)]
pub struct Ladder {
    /// Resistance of the volume pot, in ohms.
    pub pot: f64,
    /// Its travel, 0 to 1, linear.
    pub volume: f64,
    pub tone: (f64, f64),
    pub after_volume: bool,
    pub bass_cut: f64,
}

impl Ladder {
    pub const OPEN: Self =
        Self { pot: 250e3, volume: 1.0, tone: (250e3, 47e-9), after_volume: false, bass_cut: f64::INFINITY };

    /// |H| at a frequency in hertz, per volt of coil.
    pub fn gain(&self, hertz: f64) -> f64 {
        let s = C::new(0.0, TAU * hertz);
        let coil = s * 2.2 + 5.7e3;
        let (top, bottom) = ((self.pot * (1.0 - self.volume)).max(1.0), (self.pot * self.volume).max(1.0));
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

    /// ln of the gain over another setting's.
    pub fn log_gain_over(self, recorded: Self) -> Curve {
        Box::new(move |hertz| (self.gain(hertz) / recorded.gain(hertz)).ln())
    }
}

/// The soft limit of a boost, in nepers: 24 dB, as design.md section 5 has it.
pub fn limited(curve: Curve) -> Curve {
    let most = 24.0 / 20.0 * 10f64.ln();
    Box::new(move |hertz| most - (1.0 + (4.0 * (most - curve(hertz))).exp()).ln() / 4.0)
}

/// Curves a guitar can ask for, named.
pub fn curves() -> Vec<(&'static str, Curve)> {
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
        ("resonance at 300 Hz, Q 3, then 12 dB/octave", Box::new(|hertz| resonance(hertz, 300.0, 3.0).ln())),
        ("shelf from 250 Hz to 1 kHz, +12 dB", Box::new(|hertz| shelf(hertz, 250.0, 1000.0).ln())),
    ]
}

/// |H| of an RLC low-pass: 1 / (1 + x / Q + x^2), x = i f / f0.
pub fn resonance(hertz: f64, at: f64, q: f64) -> f64 {
    let x = C::new(0.0, hertz / at);
    (x * x + x / q + 1.0).inv().norm()
}

/// |H| of a high shelf: 1 below `from`, `to` / `from` above `to` (both in hertz): (1 + x / from) / (1 + x / to).
pub fn shelf(hertz: f64, from: f64, to: f64) -> f64 {
    let x = C::new(0.0, hertz);
    ((x / from + 1.0) / (x / to + 1.0)).norm()
}
