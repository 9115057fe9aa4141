//! The command line as it is spelled.

mod audition;
mod calibrate;
mod find;
mod sheet;
mod survey;

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand, ValueEnum};
use serde::{Deserialize, Serialize};

use crate::audio::{Channel, Depth};
pub use audition::{Audition, TELLING_OPTIONS};
pub use calibrate::Calibrate;
pub use find::Find;
pub use sheet::Sheet;
pub use survey::Survey;

/// Hear a guitar wiring before soldering it.
///
/// A document (guitar, wiring, add-on, switch) is named by a preset's name, see `dryfit list`, or by the path of a file.
#[derive(Debug, Parser)]
#[command(name = "dryfit", version, propagate_version = true)]
pub struct Arguments {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

/// What to do.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Make one page on which a client hears options and chooses, offline; and read what he answers.
    Audition(Box<Audition>),
    /// Render takes through options into WAV files.
    Render(Render),
    /// Print the response of an option as CSV: hz, dB, degrees.
    Curve(Curve),
    /// Write a build sheet: drawings, wire list, parts, meter readings; or find the fault when a reading is off.
    Sheet(Sheet),
    /// Say in numbers what an option gives in every position: resonance, level, hum, noise, DC, and what can hardly be told apart.
    Survey(Survey),
    /// Find the wiring that gives a table of sounds, or say why there is none.
    Find(Find),
    /// Write the document of your own guitar from what you measured.
    Calibrate(Box<Calibrate>),
    /// Check documents and say everything that is wrong with them.
    Check(Check),
    /// List the presets.
    List(List),
    /// Build the plug-in (VST3 and CLAP), from its source.
    Bundle(Bundle),
}

/// Arguments of `dryfit bundle`.
#[derive(Debug, Args)]
pub struct Bundle {
    /// Install both formats for this user.
    #[arg(long)]
    pub install: bool,
}

/// Arguments of `dryfit render`.
#[derive(Debug, Clone, Args)]
#[command(after_help = RENDER_EXAMPLES)]
pub struct Render {
    /// Dry recordings of the guitar: WAV, AIFF or FLAC. Without one, the demo take is used.
    #[arg(value_name = "TAKE")]
    pub takes: Vec<PathBuf>,
    /// One pickup of the performance, recorded alone; give one for every pickup that an option has on.
    ///
    /// All takes start together: from a lead with a conductor for each pickup, or synthesised. Then every option is exact. Each
    /// was recorded in the position of the recorded wiring in which its pickup sounds alone.
    #[arg(long = "take", value_name = "PICKUP=FILE")]
    pub by_pickup: Vec<PickupTake>,
    /// The WAV file to write; or a folder, which it has to be when there is more than one result.
    #[arg(short, long, value_name = "OUT")]
    pub output: PathBuf,
    /// A wiring to hear, with any add-ons; may be given several times.
    ///
    /// Without any: the first of five-way-bridge-only-neck-blend, two-pickups-series and volume-only that fits the guitar.
    #[arg(long = "option", value_name = "WIRING[+ADD-ON..]")]
    pub options: Vec<String>,
    /// A control, a part value, `cable` or `input`; may be given several times.
    ///
    /// Knobs go from 0 to 10 (tone=3), the selector from 1, the bridge end (position=2), switches by name or number
    /// (series=up); a space in a label is written as a dash (neck-tone=5). A part is named as in the wiring's document
    /// (tone-cap=22n). The load is cable=700p, input=500k. What is not set stands at: position 1, knobs on 10, switches in their
    /// first position, 500 pF and 1 Mohm.
    #[arg(long = "set", value_name = "K=V")]
    pub set: Vec<String>,
    /// Render every selector position of each option, into a folder.
    #[arg(long)]
    pub each_position: bool,
    /// How the take was recorded.
    #[command(flatten)]
    pub recorded: Recorded,
    /// Which channel of the take is the guitar: left, right, mix or a number.
    #[arg(long, value_name = "CHANNEL")]
    pub channel: Option<Channel>,
    /// How samples are written.
    #[arg(long, value_enum, default_value_t = DepthChoice::Auto)]
    pub depth: DepthChoice,
    /// Replace results that are there already (never the take).
    #[arg(long)]
    pub overwrite: bool,
    /// Follow the notes of the take where another pickup than the recorded one sounds.
    #[arg(long, value_enum, default_value_t = Follow::Off)]
    pub follow: Follow,
}

/// The take of one pickup alone.
#[derive(Debug, Clone)]
pub struct PickupTake {
    /// The pickup's name in the guitar document.
    pub pickup: String,
    /// The recording.
    pub path: PathBuf,
}

/// How a take was recorded.
#[derive(Debug, Clone, Args)]
pub struct Recorded {
    /// The wiring that the take was recorded with.
    ///
    /// Without one: the first of five-way-two-tones, two-pickups and volume-only that fits the guitar.
    #[arg(long, value_name = "WIRING[+ADD-ON..]")]
    pub recorded: Option<String>,
    /// A control, a part value, `cable` or `input` as it stood while recording; written as for --set.
    #[arg(long, value_name = "K=V")]
    pub recorded_set: Vec<String>,
    /// The guitar.
    #[arg(long, value_name = "GUITAR", default_value = DEFAULT_GUITAR)]
    pub guitar: String,
}

/// Wirings of which the first that fits the guitar is taken to have been recorded, where none is named.
pub const ORDINARY_WIRINGS: [&str; 3] = ["five-way-two-tones", "two-pickups", "volume-only"];

/// Options of which the first that fits the guitar is rendered, where none is named.
pub const FIRST_OPTIONS: [&str; 3] = ["five-way-bridge-only-neck-blend", "two-pickups-series", "volume-only"];

/// The guitar that is assumed where none is named.
pub const DEFAULT_GUITAR: &str = "three-single-coils";

/// Arguments of `dryfit curve`.
#[derive(Debug, Args)]
#[command(after_help = CURVE_EXAMPLES)]
pub struct Curve {
    /// The wiring, with any add-ons.
    #[arg(long, value_name = "WIRING[+ADD-ON..]")]
    pub option: String,
    /// A control, a part value, `cable` or `input`; may be given several times.
    ///
    /// Knobs go from 0 to 10 (tone=3), the selector from 1, the bridge end (position=2), switches by name or number
    /// (series=up); a space in a label is written as a dash (neck-tone=5). A part is named as in the wiring's document
    /// (tone-cap=22n). The load is cable=700p, input=500k. What is not set stands at: position 1, knobs on 10, switches in their
    /// first position, 500 pF and 1 Mohm.
    #[arg(long = "set", value_name = "K=V")]
    pub set: Vec<String>,
    /// The guitar.
    #[arg(long, value_name = "GUITAR", default_value = DEFAULT_GUITAR)]
    pub guitar: String,
    /// One pickup's response instead of the sum of all, each with an EMF of 1 V. Silence is -300 dB.
    #[arg(long, value_name = "PICKUP")]
    pub pickup: Option<String>,
    /// Lowest frequency, in hertz.
    #[arg(long, default_value_t = 20.0, value_name = "HZ")]
    pub from: f64,
    /// Highest frequency, in hertz.
    #[arg(long, default_value_t = 20_000.0, value_name = "HZ")]
    pub to: f64,
    /// Number of frequencies, evenly spaced on a logarithmic scale.
    #[arg(long, default_value_t = 121, value_name = "N")]
    pub points: usize,
}

/// Arguments of `dryfit check`.
#[derive(Debug, Args)]
pub struct Check {
    /// Documents: paths, or preset names. The kind is told from the keys.
    #[arg(required = true, value_name = "FILE")]
    pub files: Vec<String>,
    /// The guitar that wirings are fitted to.
    #[arg(long, value_name = "GUITAR", default_value = DEFAULT_GUITAR)]
    pub guitar: String,
}

/// Arguments of `dryfit list`.
#[derive(Debug, Args)]
pub struct List {
    /// With what each one is for.
    #[arg(long)]
    pub about: bool,
}

const RENDER_EXAMPLES: &str = "\
Examples:
  dryfit render -o demo.wav
      The demo riff through the default option.
  dryfit render take.wav -o blend.wav --option five-way-neck-blend --set blend=4
      A take that was recorded with an ordinary five-way, bridge pickup, everything on 10.
  dryfit render take.wav -o results/ --recorded-set position=5 --option five-way-two-tones --each-position
      A take of the neck pickup, in every position of another wiring.
  dryfit render --take bridge=b.wav --take neck=n.wav -o both.wav --option two-pickups-series --guitar two-single-coils
      Both pickups of one performance, each recorded alone: exact.
  dryfit render take.wav -o bright.wav --option five-way-master-tone+treble-bleed --set volume=6 --set tone-cap=22n
      With an add-on and another capacitor.";

const CURVE_EXAMPLES: &str = "\
Example:
  dryfit curve --option five-way-two-tones --set position=4 --set neck-tone=3 > position-4.csv";

/// How samples are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum DepthChoice {
    /// 24 bit, or float where 24 bit would clip.
    Auto,
    /// 24 bit; refused where it would clip.
    #[value(name = "24")]
    Pcm24,
    /// 32-bit float.
    Float,
}

impl DepthChoice {
    /// The depth for a result of that peak magnitude, full scale 1.
    pub fn depth(self, peak: f32) -> Depth {
        match self {
            Self::Auto if peak < 1.0 => Depth::Pcm24,
            Self::Auto | Self::Float => Depth::Float32,
            Self::Pcm24 => Depth::Pcm24,
        }
    }
}

/// Whether and how notes are followed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Follow {
    /// The best static filter.
    Off,
    /// As it plays.
    Live,
    /// As it plays, looking 64 ms ahead; what the plug-in does when it looks ahead.
    Ahead,
    /// With the whole take known.
    Whole,
}
