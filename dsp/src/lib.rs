//! Everything Dryfit computes. Data runs one way, and each stage hands a plain, comparable value to the next:
//!
//! [`document`] (what was written) -> [`circuit`] (one response per pickup) -> [`conversion`] (a target magnitude)
//! -> [`filter`] (a minimum-phase FIR) -> [`engine`] (sound). [`string`] tells `conversion` how much of each string a
//! pickup senses at its place. [`units`] is where text such as `47n` becomes SI and back.
//!
//! Beside the sound: [`find`] reads the sounds table off a wiring and finds wirings for one, [`survey`] says in numbers what
//! a wiring gives in each position. [`calibration`] finds a guitar's figures from what its player measures. [`lanes`] is how
//! loops over many numbers are made fast.
//!
//! The crate does no I/O, reads no clock and spawns no thread. A test keeps the arrows above the only imports.

// A user never sees a panic: what cannot fail says why, everything else is an error that advises.
#![cfg_attr(not(test), deny(clippy::unwrap_used))]

pub mod calibration;
pub mod circuit;
pub mod conversion;
pub mod document;
pub mod drawing;
pub mod engine;
pub mod faults;
pub mod filter;
pub mod find;
pub mod following;
pub mod lanes;
pub mod string;
pub mod survey;
pub mod units;
