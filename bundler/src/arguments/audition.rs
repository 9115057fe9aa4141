//! Arguments of `dryfit audition`.

use std::path::PathBuf;

use clap::Args;

use super::{Follow, Recorded};
use crate::audio::Channel;

/// Wirings that are heard where none is named, as far as they fit the guitar: what most guitars have, and what is proposed
/// most often instead.
pub const TELLING_OPTIONS: [&str; 5] =
    ["five-way-two-tones", "five-way-bridge-only-neck-blend", "two-pickups", "two-pickups-series", "volume-only"];

/// Arguments of `dryfit audition`.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct Audition {
    /// Dry recordings of the guitar: WAV, AIFF or FLAC, the same playing in every option. Without one, the demo take is used.
    #[arg(value_name = "TAKE")]
    pub takes: Vec<PathBuf>,
    /// The page to write. The settings file lies beside it, under the same name with the ending .toml.
    #[arg(short, long, value_name = "PAGE", default_value = "audition.html")]
    pub output: PathBuf,
    /// A wiring to hear in all its positions, with any add-ons, and settings of its own; may be given several times.
    ///
    /// For example "five-way-neck-blend tone-cap=22n blend=4". Without any: a telling choice of presets that fit the guitar.
    #[arg(long = "option", value_name = "WIRING[+ADD-ON..] [K=V ..]")]
    pub options: Vec<String>,
    /// A setting of every option; written as for `dryfit render`.
    #[arg(long = "set", value_name = "K=V")]
    pub set: Vec<String>,
    /// How the takes were recorded.
    #[command(flatten)]
    pub recorded: Recorded,
    /// Which channel of the takes is the guitar: left, right, mix or a number.
    #[arg(long, value_name = "CHANNEL")]
    pub channel: Option<Channel>,
    /// What the listener calls a take; once for each take, in their order. Names of files stay out of the page.
    #[arg(long = "name", value_name = "NAME")]
    pub names: Vec<String>,
    /// What the listener reads first.
    #[arg(long, value_name = "TEXT")]
    pub title: Option<String>,
    /// Whom the page is for.
    #[arg(long, value_name = "NAME")]
    pub client: Option<String>,
    /// Begin each take here, in seconds.
    #[arg(long, value_name = "SECONDS")]
    pub from: Option<f64>,
    /// Take at most so much of each take, in seconds.
    #[arg(long, value_name = "SECONDS")]
    pub seconds: Option<f64>,
    /// Shorten the takes until the page has at most so many megabytes; 20 passes most mail.
    #[arg(long, value_name = "MB")]
    pub size: Option<f64>,
    /// Follow the notes of the takes where another pickup than the recorded one sounds. Without it: `whole` where the guitar is a
    /// document of your own, `off` for a preset's, whose distances are guesses.
    #[arg(long, value_enum)]
    pub follow: Option<Follow>,
    /// Repeat the order of a settings file.
    #[arg(long, value_name = "FILE", conflicts_with_all = ["takes", "options", "set", "recorded", "recorded_set", "channel",
        "names", "follow", "title", "client", "from", "seconds", "size"])]
    pub order: Option<PathBuf>,
    /// Replace a page and a settings file that are there already.
    #[arg(long)]
    pub overwrite: bool,
    /// Read answers that came back and tabulate them; may be given several times.
    #[arg(long, value_name = "FILE", conflicts_with_all = ["takes", "options", "order"])]
    pub answers: Vec<PathBuf>,
    /// The page that the answers should belong to.
    #[arg(long, value_name = "PAGE", requires = "answers")]
    pub page: Option<PathBuf>,
}

const EXAMPLES: &str = "\
Examples:
  dryfit audition
      The demo riff through a choice of presets, on the page audition.html.
  dryfit audition riff.wav chords.wav --name Riff --name Chords --client \"Jo Field\" --option five-way-two-tones \\
      --option \"five-way-neck-blend tone-cap=22n\"
      Two takes, in every position of two wirings.
  dryfit audition --order audition.toml --overwrite
      The same again, after the settings file was corrected.
  dryfit audition --answers answers.json --page audition.html
      What the client sent back.";
