//! A guitar's figures from what its player can measure: a meter, known capacitors, recordings.
//!
//! [`inductance_and_capacitance`] turns two resonances into a coil's L and C. [`calibrate`] fits a guitar to recordings of it: it
//! listens for notes, names the string of each by its stiffness, and fits places, widths, nulls, level and voicing of the pickups to
//! how strong the partials are. [`Told`] puts what came of it into words; a [`Draft`] is the guitar's document with measured
//! figures in it.

mod checks;
mod combs;
mod figures;
mod fitting;
mod listening;
mod naming;
mod resonance;
mod robust;
mod selector;
mod session;
mod words;
mod writing;

pub use checks::Complaint;
pub use combs::Comb;
pub use figures::{Calibrated, CalibratedPickup, CalibratedString, Figure, PassReport};
pub use fitting::Known;
pub use listening::{Heard, HeardNote, listen, listen_freely};
pub use naming::{FRETS, Name, Naming, Note, Place, Played, StringFigures, name};
pub use resonance::{
    LoadedResonance, Reactances, ResonanceError, ResonanceTextError, damped, inductance_and_capacitance, peak,
};
pub use selector::positions;
pub use session::{Pass, Position, Session, calibrate, calibrate_while};
pub use words::{Remark, Told, string};
pub use writing::{Draft, Measured, NotOneCoil, write_found};
