//! Which string sounds, and what it holds: the part of a conversion that depends on the playing.
//!
//! ```text
//! take ─> frames ─> which notes sound, by templates of all of them through the recorded circuit
//!             ─> how strong these are at their pitch ─> power per string and frequency
//! ```
//!
//! [`Live`] does it as the take plays, [`Ahead`] a little before it is heard, [`Whole`] with the whole take known. All are a
//! [`Follower`], which is what the engine asks. design.md, section 5, has the mathematics.

mod ahead;
mod certainty;
mod crew;
mod decimator;
mod energies;
mod factorisation;
mod follower;
mod frame;
mod lattice;
mod live;
mod look;
mod naming;
mod notes;
mod prepared;
mod ring;
mod room;
mod source;
mod templates;
mod whole;
mod window;

pub use ahead::Ahead;
pub use crew::{Alone, Crew};
pub use follower::Follower;
pub use frame::FrameSize;
pub use lattice::Lattice;
pub use live::Live;
pub use naming::{HeardNote, MOST_STRINGS};
pub use notes::beginnings;
pub use source::Source;
pub use whole::Whole;
