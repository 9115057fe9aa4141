//! The entry points that hosts look for.
#![allow(unsafe_code, missing_docs, clippy::undocumented_unsafe_blocks, reason = "the framework's macros write it")]

use crate::plugin::Dryfit;

nih_plug::nice_export_clap!(Dryfit);
nih_plug::nice_export_vst3!(Dryfit);
