//! From the circuit recorded and the circuit wanted to a target magnitude.
//!
//! A take is what the pickups gave, seen through the circuit it was recorded with. [`Conversion`] takes that circuit out
//! and puts the option's in. Where the same pickups sound in the same proportions, this is exact, whatever is played;
//! where others sound, the place on the string they listen to comes in, and the result is an estimate.

mod alone;
mod boost;
mod convert;
mod detail;
mod off;
mod places;
mod power;
mod recorded;
mod runs;
mod target;
mod through;

pub use crate::circuit::{Controls, Grid, Load};
pub use alone::PickupAlone;
pub use boost::{BOOST_LIMIT_DB, limit_boost};
pub use convert::{Assessment, Conversion};
pub use off::Off;
pub use places::Places;
pub use recorded::{ConversionError, Recorded};
pub use target::Target;
pub use through::Through;
