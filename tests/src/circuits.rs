//! Short ways to what the specifications ask of a circuit again and again.

use dryfit_dsp::circuit::{Controls, Load, Loaded, Mna, lower};
use dryfit_dsp::document::{Assembly, Guitar, Library};
use dryfit_dsp::units::amplitude_to_db;
use num_complex::Complex64;

/// A preset wiring (perhaps with `+ADD-ON`) on a preset guitar.
///
/// # Panics
/// With the problems, when one of them is wrong or they do not fit.
pub fn assembly(wiring: &str, guitar: &str) -> Assembly {
    let library = Library::presets();
    let guitar = library.guitar(guitar).unwrap_or_else(|problems| panic!("{problems}"));
    on_guitar(wiring, &guitar)
}

/// A preset wiring on a guitar that is none of the presets.
///
/// # Panics
/// As [`assembly`].
pub fn on_guitar(wiring: &str, guitar: &Guitar) -> Assembly {
    let library = Library::presets();
    let wiring = library.wiring(wiring).unwrap_or_else(|problems| panic!("{problems}"));
    Assembly::new(&wiring, guitar, &library).unwrap_or_else(|problems| panic!("{problems}"))
}

/// Where a player has the controls: `circuits::at(1).knob(&assembly, "tone", 5.0)`.
pub fn at(position: u8) -> Controls {
    Controls { position, ..Controls::default() }
}

/// Controls with one of them elsewhere, for chains.
pub trait Moved {
    /// The knob of that label at 0 to 10.
    fn knob(self, assembly: &Assembly, label: &str, turn: f64) -> Self;
    /// The switch of that label in a position, from 1.
    fn switch(self, assembly: &Assembly, label: &str, position: u8) -> Self;
    /// Another cable and input.
    fn load(self, cable: f64, input: f64) -> Self;
}

impl Moved for Controls {
    fn knob(mut self, assembly: &Assembly, label: &str, turn: f64) -> Self {
        let index = assembly.controls.knob(label).unwrap_or_else(|| panic!("no knob is called {label}"));
        self.knobs[index] = turn;
        self
    }

    fn switch(mut self, assembly: &Assembly, label: &str, position: u8) -> Self {
        let index = assembly.controls.switch(label).unwrap_or_else(|| panic!("no switch is called {label}"));
        self.switches[index] = position;
        self
    }

    fn load(mut self, cable: f64, input: f64) -> Self {
        self.load = Load { cable, input };
        self
    }
}

/// The exact response of every pickup, in volts per volt of EMF.
///
/// # Panics
/// When the circuit has no solution.
pub fn responses(assembly: &Assembly, controls: &Controls, hertz: f64) -> Vec<Complex64> {
    let lowered = lower(assembly, controls, Loaded::Yes);
    Mna::new(&lowered.netlist).transfer(lowered.jack, hertz).unwrap_or_else(|error| panic!("{error}"))
}

/// The exact response of the pickup of that name.
///
/// # Panics
/// When the circuit has no solution, or the guitar no such pickup.
pub fn response(assembly: &Assembly, controls: &Controls, pickup: &str, hertz: f64) -> Complex64 {
    let index = assembly.guitar.pickups.iter().position(|known| known.name == pickup);
    responses(assembly, controls, hertz)[index.unwrap_or_else(|| panic!("no pickup is called {pickup}"))]
}

/// The exact response to the same string motion under every pickup: the sum with the signs that winding and magnet
/// give.
pub fn total(assembly: &Assembly, controls: &Controls, hertz: f64) -> Complex64 {
    let signs = assembly.guitar.pickups.iter().map(|pickup| pickup.signal_sign());
    responses(assembly, controls, hertz).into_iter().zip(signs).map(|(response, sign)| response * sign).sum()
}

/// Level of [`total`], in dB.
pub fn level_db(assembly: &Assembly, controls: &Controls, hertz: f64) -> f64 {
    amplitude_to_db(total(assembly, controls, hertz).norm())
}

/// The highest point of a curve between two frequencies: hertz and value. Scans 400 points a decade, then narrows by
/// golden section to 1e-9 of the frequency, so the curve needs a single peak between neighbouring points only.
pub fn peak(low: f64, high: f64, curve: impl Fn(f64) -> f64) -> (f64, f64) {
    let count = ((high / low).log10() * 400.0).ceil() as usize;
    let step = (high / low).ln() / count as f64;
    let scanned = |i: usize| low * (step * i as f64).exp();
    let best = (0..=count).max_by(|&i, &j| curve(scanned(i)).total_cmp(&curve(scanned(j)))).unwrap_or(0);
    let (mut left, mut right) = (scanned(best.saturating_sub(1)), scanned((best + 1).min(count)));
    const GOLDEN: f64 = 0.618_033_988_749_894_9;
    while right / left > 1.0 + 1e-9 {
        let (a, b) = (right - GOLDEN * (right - left), left + GOLDEN * (right - left));
        if curve(a) >= curve(b) { right = b } else { left = a }
    }
    let hertz = 0.5 * (left + right);
    (hertz, curve(hertz))
}
