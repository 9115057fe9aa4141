//! A take as it sounds through an option: lossless, with what the page must know to play it fairly.

use std::fs::File;
use std::io;
use std::path::Path;

use dryfit_dsp::conversion::{Controls, Target};
use dryfit_dsp::engine::loudness::Meter;
use dryfit_dsp::following::Follower;

use super::flac::write_flac;
use crate::audio::{self, Take};
use crate::rendering;

/// What is to be heard.
pub enum Sound<T> {
    /// The take as it was recorded.
    Recorded,
    /// The take through a target, with a follower or without, with the controls at rest.
    Through(T, Option<Follower>, Controls),
}

/// A finished clip. Its file has no name and goes with it.
#[derive(Debug)]
pub struct Clip {
    /// FLAC, mono, 24 bit.
    pub file: File,
    /// Length of the file.
    pub bytes: u64,
    /// How often the sound was halved to fit into 24 bits: 0 unless it exceeds full scale.
    pub halvings: u8,
    /// Highest magnitude, full scale 1, before any halving.
    pub peak: f32,
    /// Integrated loudness after BS.1770 in LKFS, before any halving; nothing for silence.
    pub loudness: Option<f64>,
    /// MD5 sum of the samples, as FLAC carries it.
    pub digest: [u8; 16],
}

/// Most halvings: 24 dB of boost on a take at full scale is 4.
const MOST_HALVINGS: u8 = 12;

impl Clip {
    /// Renders a sound into an unnamed file in `folder`. `progress` is told how many samples were done since it was last told.
    ///
    /// The codes are those that [`audio::write()`] puts into a 24-bit WAV file, unless full scale is exceeded.
    ///
    /// # Errors
    /// When the folder refuses, or the disk is full.
    pub fn make<T: Target + Clone>(
        take: &Take,
        sound: &Sound<T>,
        folder: &Path,
        mut progress: impl FnMut(usize),
    ) -> io::Result<Self> {
        let first = Self::attempt(take, sound, folder, 0, &mut progress)?;
        match first.needed() {
            0 => Ok(first),
            // Done again, not further: the progress is silent.
            halvings => Self::attempt(take, sound, folder, halvings, &mut |_| {}),
        }
    }

    /// Halvings that keep the peak below full scale.
    fn needed(&self) -> u8 {
        if self.peak < 1.0 { 0 } else { (self.peak.log2().floor() as u8 + 1).min(MOST_HALVINGS) }
    }

    fn attempt<T: Target + Clone>(
        take: &Take,
        sound: &Sound<T>,
        folder: &Path,
        halvings: u8,
        progress: &mut impl FnMut(usize),
    ) -> io::Result<Self> {
        let mut file = tempfile::tempfile_in(folder)?;
        let mut meter = Meter::new(f64::from(take.sample_rate), 1);
        let scale = 0.5f32.powi(i32::from(halvings));
        let mut peak = 0.0f32;
        let mut codes = Vec::with_capacity(rendering::BLOCK);
        let digest = write_flac(&mut file, take.sample_rate, |write| {
            let mut hear = |block: &[f32]| {
                peak = block.iter().fold(peak, |peak, sample| peak.max(sample.abs()));
                meter.process(&[block], 0..block.len());
                codes.clear();
                codes.extend(block.iter().map(|sample| audio::code_24((sample * scale).clamp(-1.0, 1.0))));
                write(&codes);
                progress(block.len());
            };
            match sound {
                Sound::Recorded => take.samples.chunks(rendering::BLOCK).for_each(&mut hear),
                Sound::Through(target, follower, controls) => {
                    let through = (target.clone(), follower.clone());
                    rendering::stream(&take.samples, take.sample_rate, through, controls, &mut hear);
                }
            }
        })?;
        let bytes = file.metadata()?.len();
        Ok(Self { file, bytes, halvings, peak, loudness: meter.integrated(), digest })
    }
}
