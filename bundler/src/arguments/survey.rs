//! `dryfit survey` as it is spelled.

use clap::Args;

use super::DEFAULT_GUITAR;

/// Arguments of `dryfit survey`.
#[derive(Debug, Args)]
#[command(after_help = SURVEY_EXAMPLES)]
pub struct Survey {
    /// The wiring, with any add-ons.
    #[arg(long, value_name = "WIRING[+ADD-ON..]")]
    pub option: String,
    /// A knob, switch, part value, `cable` or `input`; may be given several times, and is written as for `dryfit render`.
    #[arg(long = "set", value_name = "K=V")]
    pub set: Vec<String>,
    /// The guitar.
    #[arg(long, value_name = "GUITAR", default_value = DEFAULT_GUITAR)]
    pub guitar: String,
    /// Print JSON: SI units, except where a key ends in _db.
    #[arg(long)]
    pub json: bool,
    /// Guitars that are built with parts within their tolerance, at most 10000; 0 for none.
    #[arg(long, default_value_t = 200, value_name = "N", value_parser = clap::value_parser!(u32).range(..=10_000))]
    pub trials: u32,
    /// Seed of these guitars: the same seed builds the same ones.
    #[arg(long, default_value_t = 1, value_name = "N")]
    pub seed: u64,
}

const SURVEY_EXAMPLES: &str = "\
Examples:
  dryfit survey --option five-way-two-tones
      Every position, with all knobs on 10.
  dryfit survey --option five-way-outer-pair-series --set series=up --json > survey.json
      With the switch pulled up, for a program.";
