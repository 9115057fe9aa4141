//! `dryfit calibrate` as it is spelled.

use std::path::PathBuf;

use clap::Args;

use super::DEFAULT_GUITAR;
use crate::audio::Channel;

/// Arguments of `dryfit calibrate`.
#[derive(Debug, Args)]
#[command(after_help = CALIBRATE_EXAMPLES)]
pub struct Calibrate {
    /// The guitar document to write.
    #[arg(short, long, value_name = "GUITAR.toml")]
    pub output: PathBuf,
    /// The guitar that what is not measured is taken from: a preset's name or the path of a file.
    #[arg(long, value_name = "GUITAR", default_value = DEFAULT_GUITAR)]
    pub guitar: String,
    /// What the guitar is, for people.
    #[arg(long, value_name = "TEXT")]
    pub title: Option<String>,
    /// Distance of a pickup from the bridge with a ruler, under the lowest and the highest string; once for each pickup.
    ///
    /// From where the string leaves the saddle to the middle of the pole piece. One distance will do for a straight pickup.
    #[arg(long = "distance", value_name = "PICKUP=LOW[,HIGH]")]
    pub distances: Vec<String>,
    /// Length of an open string between nut and saddle, with a ruler; best twice the distance from the nut to the twelfth fret.
    #[arg(long, value_name = "LENGTH")]
    pub scale_length: Option<String>,
    /// Gauges of the strings, from the lowest to the highest, as the set has them: 0.046in,0.036in,..
    #[arg(long, value_name = "GAUGE,..")]
    pub gauges: Option<String>,
    /// How many of the highest strings are plain, where that differs from the guitar named.
    #[arg(long, value_name = "N")]
    pub plain: Option<usize>,
    /// Pitches of the open strings, from the lowest to the highest: notes or frequencies, E2,A2,D3,G3,B3,E4.
    #[arg(long, value_name = "PITCH,..")]
    pub tuning: Option<String>,
    /// DC resistance of a pickup at its own leads, with a meter; once for each pickup.
    #[arg(long = "resistance", value_name = "PICKUP=R")]
    pub resistances: Vec<String>,
    /// Inductance of a pickup at its own leads, with a meter; once for each pickup.
    #[arg(long = "inductance", value_name = "PICKUP=L")]
    pub inductances: Vec<String>,
    /// Resonance of a pickup with two known capacitors across its leads; inductance and winding capacitance follow.
    ///
    /// Written PICKUP=CAPACITOR:FREQUENCY,CAPACITOR:FREQUENCY. The lead and the instrument's input count to both capacitors.
    #[arg(long = "resonance", value_name = "PICKUP=C:F,C:F")]
    pub resonances: Vec<String>,
    /// A recording of the guitar in a position of its selector; one for each position.
    ///
    /// The open strings and frets 5, 7 and 12 of every string, one note at a time, in any order, each ringing for about a second; tone and volume
    /// on 10. The position is written as its number (2) or as the pickups that sound in it (bridge+middle). All with one gain: how loud
    /// pickups are is told by it. Tuning, stiffness, distances, sensing widths, depths of nulls, levels and voicings are fitted; a --distance
    /// given with it counts as known to a millimetre.
    #[arg(long = "take", value_name = "POSITION=FILE")]
    pub takes: Vec<String>,
    /// A take as it was played, and the position of the selector that it was recorded in; several may be given.
    ///
    /// Any music with single notes in it, half a minute or more on all strings. Where a --take asks for notes, this hears what it can: tuning and
    /// stiffness of the strings that are played one at a time, and the distance of the pickups that sound. All else stays, and is told.
    #[arg(long = "blind", value_name = "POSITION=FILE")]
    pub blind: Vec<String>,
    /// The wiring that was recorded.
    ///
    /// Without one: the first of five-way-two-tones, two-pickups and volume-only that fits the guitar.
    #[arg(long, value_name = "WIRING[+ADD-ON..]")]
    pub recorded: Option<String>,
    /// A control, a part value, `cable` or `input` as it stood while recording; written as for render's --set.
    #[arg(long, value_name = "K=V")]
    pub recorded_set: Vec<String>,
    /// Which channel of the recordings is the guitar: left, right, mix or a number.
    #[arg(long, value_name = "CHANNEL")]
    pub channel: Option<Channel>,
    /// Draw fitted against measured combs into this folder, one SVG for each recording.
    #[arg(long, value_name = "FOLDER")]
    pub plots: Option<PathBuf>,
    /// Replace a document that is there already.
    #[arg(long)]
    pub overwrite: bool,
}

const CALIBRATE_EXAMPLES: &str = "\
Examples:
  dryfit calibrate -o mine.toml --distance bridge=46mm,36mm --distance middle=100mm --distance neck=160mm
      A ruler under three pickups; all else as in the preset guitar.
  dryfit calibrate -o mine.toml --scale-length 648mm --gauges 0.046in,0.036in,0.026in,0.017in,0.013in,0.010in
      Strings and their length.
  dryfit calibrate -o mine.toml --resistance neck=5.9k --resonance neck=570p:3.94kHz,2300p:2.09kHz
      A meter, and a pickup's resonance with 470 pF and 2200 pF across it, each beside 100 pF of lead.
  dryfit calibrate -o mine.toml --take 1=1.wav --take 2=2.wav --take 3=3.wav --take 4=4.wav --take 5=5.wav --plots plots
      Recordings in the five positions of an ordinary wiring, and pictures of what they show.
  dryfit calibrate -o mine.toml --blind bridge=take.wav --distance middle=100mm --distance neck=160mm
      A take that was made with the bridge pickup tells tuning, stiffness and where that pickup is; a ruler tells the others.";
