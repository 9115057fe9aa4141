//! From a project to what sounds: off the audio thread, and over to it without a lock.
//!
//! ```text
//! host's thread ─ edit, restore ─> Desk ─ newest project ─> Worker ─ Targets ─> Handover ─> audio thread
//! editor        ─ edit ──────────>      <─ analysis, problems ─┘      <─ old targets ─┘
//! ```

mod analysis;
mod desk;
mod followed;
mod handover;
pub mod names;
mod option_target;
mod run;
mod state;
mod surveyed;
mod worker;

pub use analysis::{Analysis, BenchAnalysis};
pub use desk::{Desk, Kept};
pub use followed::{Followed, Followers, Sounding};
pub use handover::{Handover, Targets};
pub use option_target::{OptionTarget, Trial};
pub use run::{Compiled, Stopped, compile};
pub use surveyed::{Surveyed, SurveyedBench};
pub use worker::Worker;
