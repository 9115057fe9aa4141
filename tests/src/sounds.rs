//! What a sound of a table means in ohms and volts, by hand: at a frequency where coils are resistors.

use dryfit_dsp::document::{Guitar, Mix, Sound};

/// What each pickup gives at the jack of one volt of its own without any load, with the sign of its leads: in series each in full,
/// in parallel by the ratio of conductances (Millman's theorem).
pub fn unloaded(guitar: &Guitar, sound: &Sound) -> Vec<f64> {
    let share = |name: &str| sound.mix.as_ref().map_or(0.0, |mix| share(guitar, mix, name));
    guitar.pickups.iter().map(|pickup| share(&pickup.name)).collect()
}

fn share(guitar: &Guitar, mix: &Mix<String>, name: &str) -> f64 {
    match mix {
        Mix::Pickup { pickup, .. } if pickup != name => 0.0,
        Mix::Pickup { reversed: true, .. } => -1.0,
        Mix::Pickup { reversed: false, .. } => 1.0,
        Mix::Series(parts) => parts.iter().map(|part| share(guitar, part, name)).sum(),
        Mix::Parallel(parts) => {
            let all: f64 = parts.iter().map(|part| 1.0 / resistance(guitar, part)).sum();
            parts.iter().map(|part| share(guitar, part, name) / resistance(guitar, part) / all).sum()
        }
    }
}

/// Resistance of what sounds, in ohms.
///
/// # Panics
/// When the guitar lacks one of the pickups.
pub fn resistance(guitar: &Guitar, mix: &Mix<String>) -> f64 {
    match mix {
        Mix::Pickup { pickup, .. } => {
            guitar.pickup(pickup).unwrap_or_else(|| panic!("no pickup is called {pickup}")).coil.resistance
        }
        Mix::Series(parts) => parts.iter().map(|part| resistance(guitar, part)).sum(),
        Mix::Parallel(parts) => 1.0 / parts.iter().map(|part| 1.0 / resistance(guitar, part)).sum::<f64>(),
    }
}
