//! `dryfit sheet` as it is spelled.

use std::path::PathBuf;

use clap::Args;

use super::DEFAULT_GUITAR;

/// Arguments of `dryfit sheet`.
#[derive(Debug, Args)]
#[command(after_help = SHEET_EXAMPLES)]
pub struct Sheet {
    /// The wiring, with any add-ons.
    #[arg(long, value_name = "WIRING[+ADD-ON..]")]
    pub option: String,
    /// The HTML file to write; it needs nothing else and prints on A4 and Letter.
    #[arg(short, long, value_name = "OUT", required_unless_present = "measured")]
    pub output: Option<PathBuf>,
    /// A part value, such as tone-cap=22n; may be given several times.
    #[arg(long = "set", value_name = "K=V")]
    pub set: Vec<String>,
    /// The guitar.
    #[arg(long, value_name = "GUITAR", default_value = DEFAULT_GUITAR)]
    pub guitar: String,
    /// What a meter read at the jack, nothing plugged in: finds the fault.
    ///
    /// POSITION=OHMS, separated by commas, with everything on 10; `open` where the meter shows nothing. A control that
    /// stands elsewhere follows the position: 1:tone=0=6.2k, 4:series=up=12k.
    #[arg(long, value_name = "READINGS")]
    pub measured: Option<String>,
    /// Replace a sheet that is there already.
    #[arg(long)]
    pub overwrite: bool,
}

const SHEET_EXAMPLES: &str = "\
Examples:
  dryfit sheet --option five-way-bridge-only-neck-blend -o sheet.html
      Everything that is needed to build it and to check it.
  dryfit sheet --option five-way-two-tones --measured 1=6.2k,2=3k,3=open,4=5.6k,5=5.6k
      What is probably wrong, and which test would tell.";
