//! Ground-truth takes: one performance, heard by every pickup at once.
//!
//! A measuring instrument: as all pickups hear the very same strings, a conversion from one to another can be held against
//! what the other really heard. It is the one place before the filter that knows a sample rate.
//!
//! A signal is the EMF of its pickup, before any circuit, in an arbitrary unit that is the same for all pickups. An EMF is
//! proportional to the velocity of the string. A string plucked at x_p moves with amplitudes sin(k_n x_p) / n^2, so its
//! velocity's partials have sin(k_n x_p) / n, which is the amplitude law here, smoothed over the width of pick or
//! fingertip; times what the pickup senses at its place, times its level and voicing.

mod bank;
mod note;
mod performance;
mod realism;
mod take;

pub use performance::{Gesture, Note, Performance};
pub use realism::Realism;
pub use take::{Take, stem, synthesise};
