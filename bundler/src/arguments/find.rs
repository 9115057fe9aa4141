//! `dryfit find` as it is spelled.

use std::path::PathBuf;

use clap::Args;

use super::DEFAULT_GUITAR;

/// Arguments of `dryfit find`.
#[derive(Debug, Args)]
#[command(after_help = FIND_EXAMPLES)]
pub struct Find {
    /// The table of sounds: a preset's name or the path of a file.
    #[arg(value_name = "SOUNDS")]
    pub sounds: String,
    /// The selector. Without one: the smallest known one that will do.
    #[arg(long, value_name = "SWITCH")]
    pub switch: Option<String>,
    /// Write the wiring to this file instead of printing it.
    #[arg(short, long, value_name = "W.toml")]
    pub output: Option<PathBuf>,
    /// Replace a file that is there already.
    #[arg(long)]
    pub overwrite: bool,
    /// The guitar.
    #[arg(long, value_name = "GUITAR", default_value = DEFAULT_GUITAR)]
    pub guitar: String,
    /// Most cases that are ruled out before the search is given up.
    #[arg(long, default_value_t = 20_000, value_name = "N")]
    pub tries: u64,
}

const FIND_EXAMPLES: &str = "\
Examples:
  dryfit find five-way-neck-blend
      The wiring, printed.
  dryfit find ./mine.toml --switch lever-2-pole-5-position -o mine-wiring.toml
      With a switch that is at hand, into a file that render, survey and check take.";
