//! The audition page as its maker and its listener use it: the command, the file, and the page in a browser.
//!
//! Loudness: ITU-R BS.1770, by the crate `ebur128`. Contrast: WCAG 2.1. Chance: the binomial distribution.

#![allow(clippy::unwrap_used, reason = "a helper that fails fails its test")]

#[path = "audition/answering.rs"]
mod answering;
#[path = "audition/blind.rs"]
mod blind;
#[path = "../browser/mod.rs"]
mod browser;
#[path = "audition/capture.rs"]
mod capture;
#[path = "audition/listening.rs"]
mod listening;
#[path = "audition/looking.rs"]
mod looking;
#[path = "audition/ordering.rs"]
mod ordering;
#[path = "audition/page.rs"]
mod page;
#[path = "audition/private.rs"]
mod private;
#[path = "audition/refusing.rs"]
mod refusing;
#[path = "audition/sound.rs"]
mod sound;
#[path = "audition/workplace.rs"]
mod workplace;
