//! The page as a file: what it tells, and how it is put together.

use std::io::{self, Read, Seek, SeekFrom, Write};

use serde::Serialize;
use sha2::{Digest, Sha256};

use super::template::Template;
use super::{Clip, Knobs, PartLine, dense};

/// Everything on a page but the sound.
#[derive(Debug, Clone, Serialize)]
pub struct Page {
    /// Told in the answers, so that they can be matched to it; made from the content by [`Page::identify`].
    pub id: String,
    /// What the listener reads first.
    pub title: String,
    /// Whom it is for.
    pub client: Option<String>,
    /// How the takes were recorded, in a sentence.
    pub recorded: String,
    /// Frequencies of all curves.
    pub hertz: Vec<f64>,
    /// What is heard.
    pub takes: Vec<PageTake>,
    /// The wirings.
    pub options: Vec<PageOption>,
    /// Every option in every position, in the order of the options.
    pub variants: Vec<Variant>,
}

/// A take and its clips.
#[derive(Debug, Clone, Serialize)]
pub struct PageTake {
    /// What it is called.
    pub name: String,
    /// In hertz.
    pub rate: u32,
    /// Samples of every clip.
    pub samples: usize,
    /// Outline, 0 to 1.
    pub outline: Vec<f64>,
    /// Power at [`Page::hertz`], in dB under the loudest.
    pub spectrum: Vec<f64>,
    /// The take as recorded, then one clip for each variant.
    pub clips: Vec<PageClip>,
}

/// How a clip is played.
#[derive(Debug, Clone, Serialize)]
pub struct PageClip {
    /// Index of the first clip of the take that has the same samples: only that one is carried.
    pub sound: usize,
    /// Factor that makes all clips equally loud.
    pub matched: f64,
    /// Factor that keeps their real levels.
    pub real: f64,
    /// Loudness against the take as recorded, in LU; nothing for silence.
    pub louder: Option<f64>,
}

/// A wiring.
#[derive(Debug, Clone, Serialize)]
pub struct PageOption {
    /// What it is called.
    pub title: String,
    /// What it is for.
    pub about: String,
    /// Part values that differ from the document's.
    pub changes: Vec<String>,
    /// What it takes.
    pub parts: Vec<PartLine>,
    /// How it is wired.
    pub drawing: PageDrawing,
}

/// A drawing whose live path the page lights.
#[derive(Debug, Clone, Serialize)]
pub struct PageDrawing {
    /// The drawing with nothing lit.
    pub svg: String,
    /// Corners of each wire, as SVG writes points.
    pub wires: Vec<String>,
    /// Colour of the light behind a live wire.
    pub glow: String,
}

/// An option in a position.
#[derive(Debug, Clone, Serialize)]
pub struct Variant {
    /// Index of its option.
    pub option: usize,
    /// Selector position, from 1; nothing without a selector.
    pub position: Option<u8>,
    /// What is on: `bridge and neck in parallel`.
    pub sound: String,
    /// Where the controls stand.
    pub controls: String,
    /// `exact`, `estimated` or `silent`.
    pub trust: &'static str,
    /// The same in a sentence.
    pub trust_sentence: String,
    /// Change against the recording at [`Page::hertz`], in dB.
    pub curve: Vec<f64>,
    /// Figures, each with its name.
    pub facts: Vec<(String, String)>,
    /// Wires of the option's drawing that carry the signal.
    pub live: Vec<usize>,
    /// The knobs that can be turned, for each rate that a take has.
    pub knobs: Vec<PageKnobs>,
}

/// Knobs at a rate.
#[derive(Debug, Clone, Serialize)]
pub struct PageKnobs {
    /// In hertz.
    pub rate: u32,
    /// The knobs: label, values, where it stands, whether turning it is exact.
    pub axes: Vec<PageAxis>,
    /// Taps of each filter.
    pub lengths: Vec<usize>,
    /// What a code of each filter is worth.
    pub scales: Vec<f32>,
    /// Index among the filters that the page carries.
    pub filters: usize,
    /// By how much it is off where the knobs stand on a number, in dB.
    pub error: f64,
    /// By how much it is off between two numbers, in dB.
    pub between: f64,
}

/// A knob.
#[derive(Debug, Clone, Serialize)]
pub struct PageAxis {
    /// What the wiring calls it.
    pub label: String,
    /// Where it may stand.
    pub values: Vec<f64>,
    /// Where it stands in the clip.
    pub at: f64,
    /// Whether turning it is exact.
    pub exact: bool,
}

/// What the page plays.
#[derive(Debug, Default)]
pub struct Payload {
    /// The clips of each take, in the order of [`PageTake::clips`].
    pub clips: Vec<Vec<Clip>>,
    /// The filters of [`PageKnobs::filters`], as 16-bit codes.
    pub filters: Vec<Vec<i16>>,
}

impl PageKnobs {
    /// The knobs as the page tells of them, with the filters' index and the filters.
    pub fn new(knobs: Knobs, rate: u32, filters: usize) -> (Self, Vec<i16>) {
        let axis = |axis: super::Axis| {
            let super::Axis { label, values, at, exact } = axis;
            PageAxis { label, values, at, exact }
        };
        let Knobs { axes, lengths, scales, codes, error_db, between_db } = knobs;
        let axes = axes.into_iter().map(axis).collect();
        (Self { rate, axes, lengths, scales, filters, error: error_db, between: between_db }, codes)
    }
}

impl Page {
    /// Gives the page the name of its content: the same order gives the same page, another page another name.
    ///
    /// # Errors
    /// When it cannot be told as JSON.
    pub fn identify(&mut self, payload: &Payload) -> io::Result<()> {
        self.id.clear();
        let mut hash = Sha256::new();
        hash.update(serde_json::to_vec(self)?);
        payload.clips.iter().flatten().for_each(|clip| hash.update(clip.digest));
        for filter in &payload.filters {
            filter.iter().for_each(|code| hash.update(code.to_le_bytes()));
        }
        self.id = hash.finalize().iter().take(8).map(|byte| format!("{byte:02x}")).collect();
        Ok(())
    }

    /// Bytes that the sound takes in the page.
    pub fn sound_bytes(&self, payload: &Payload) -> u64 {
        let pairs = self.takes.iter().zip(&payload.clips);
        let carried = pairs.flat_map(|(take, clips)| {
            take.clips.iter().zip(clips).enumerate().filter(|(index, (told, _))| told.sound == *index)
        });
        carried.map(|(_, (_, clip))| dense::length(clip.bytes) + TAG).sum()
    }

    /// Bytes that the page takes beside its sound.
    ///
    /// # Errors
    /// When it cannot be told as JSON.
    pub fn overhead(&self, payload: &Payload) -> io::Result<u64> {
        let (head, foot) = Template::render(self)?;
        let filters: u64 = payload.filters.iter().map(|filter| dense::length(filter.len() as u64 * 2) + TAG).sum();
        Ok((head.len() + foot.len()) as u64 * 2 + filters)
    }

    /// Writes the page.
    ///
    /// # Errors
    /// When `to` refuses, or a clip cannot be read.
    pub fn write(&self, payload: &mut Payload, to: &mut impl Write) -> io::Result<()> {
        let (head, foot) = Template::render(self)?;
        to.write_all(&dense::MARK)?;
        dense::write_text(&head, to)?;
        for (take, clips) in payload.clips.iter_mut().enumerate() {
            let carried = &self.takes[take].clips;
            for (index, clip) in clips.iter_mut().enumerate().filter(|(index, _)| carried[*index].sound == *index) {
                let (file, bytes) = (&mut clip.file, clip.bytes);
                file.seek(SeekFrom::Start(0))?;
                carry(&format!("sound-{take}-{index}"), file.take(bytes), bytes, to)?;
            }
        }
        for (index, filter) in payload.filters.iter().enumerate() {
            let bytes: Vec<u8> = filter.iter().flat_map(|code| code.to_le_bytes()).collect();
            carry(&format!("filters-{index}"), bytes.as_slice(), bytes.len() as u64, to)?;
        }
        dense::write_text(&foot, to)
    }
}

/// Bytes of an element around what it carries, at most.
const TAG: u64 = 160;

/// An element that browsers neither run nor show.
fn carry(id: &str, from: impl Read, bytes: u64, to: &mut impl Write) -> io::Result<()> {
    dense::write_text(&format!("<script type=\"text/plain\" id=\"{id}\" data-bytes=\"{bytes}\">"), to)?;
    dense::write_bytes(from, to)?;
    dense::write_text("</script>\n", to)
}
