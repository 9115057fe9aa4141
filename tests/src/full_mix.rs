//! A full mix where a dry guitar should be: drums, bass, electric piano and strings of the Debian package `fluid-soundfont-gm`.

use std::fs::File;
use std::io::BufReader;
use std::sync::Arc;

use rustysynth::{SoundFont, Synthesizer, SynthesizerSettings};

use crate::real_recording::{SOUND_FONT, Skip};

/// Channels of the mix and their programs, counted from 0 (General MIDI System Level 1, 1991, from memory); the tenth channel is drums.
const PROGRAMS: [(i32, i32); 3] = [(0, 4), (1, 33), (2, 48)];
const DRUMS: i32 = 9;
/// Length of an eighth, in seconds.
const EIGHTH: f64 = 0.25;
/// Chords, two bars of which are one turn: root of the bass and three keys above.
const CHORDS: [(i32, [i32; 3]); 4] = [(33, [57, 60, 64]), (29, [57, 60, 65]), (36, [55, 60, 64]), (31, [55, 59, 62])];

/// Mono, peak 6 dB below full scale.
///
/// # Errors
/// [`Skip`] when the sound font is not installed.
///
/// # Panics
/// When the synthesiser refuses the sample rate.
pub fn full_mix(sample_rate: u32, seconds: f64) -> Result<Vec<f32>, Skip> {
    let file = File::open(SOUND_FONT).map_err(Skip::new)?;
    let font = SoundFont::new(&mut BufReader::new(file)).map_err(Skip::new)?;
    let settings = SynthesizerSettings::new(sample_rate as i32);
    let mut band = Synthesizer::new(&Arc::new(font), &settings).expect("an ordinary sample rate");
    for (channel, program) in PROGRAMS {
        band.process_midi_message(channel, 0xC0, program, 0);
    }
    let eighth = (EIGHTH * f64::from(sample_rate)) as usize;
    let (mut mix, mut left, mut right) = (Vec::new(), vec![0.0; eighth], vec![0.0; eighth]);
    for beat in 0..(seconds / EIGHTH).ceil() as usize {
        play(&mut band, beat);
        band.render(&mut left, &mut right);
        mix.extend(left.iter().zip(&right).map(|(left, right)| 0.5 * (left + right)));
    }
    let peak = mix.iter().fold(0.0f32, |peak, sample| peak.max(sample.abs()));
    mix.iter_mut().for_each(|sample| *sample *= 0.5 / peak);
    Ok(mix)
}

/// What begins on an eighth.
fn play(band: &mut Synthesizer, eighth: usize) {
    let (bass, chord) = CHORDS[eighth / 8 % CHORDS.len()];
    if eighth.is_multiple_of(8) {
        for channel in [0, 2] {
            band.note_off_all_channel(channel, false);
            chord.iter().for_each(|key| band.note_on(channel, key + if channel == 2 { 12 } else { 0 }, 80));
        }
    }
    band.note_off_all_channel(1, false);
    band.note_on(1, bass + if eighth % 4 == 3 { 7 } else { 0 }, 100);
    // Bass drum, snare and closed hi-hat.
    let drum = if eighth % 4 == 2 { 38 } else { 36 };
    [drum, 42].into_iter().skip(eighth % 2).for_each(|key| band.note_on(DRUMS, key, 100));
}
