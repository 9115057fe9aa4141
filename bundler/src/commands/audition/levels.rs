//! At what gain each clip of a take is played.

use dryfit_dsp::units::db_to_amplitude;

use crate::audition::Clip;
use crate::audition::page::PageClip;

/// Peaks stay this far below full scale, in dB, so that cross-fades and turned knobs have room.
const HEADROOM_DB: f64 = 3.0;
/// No page is played louder than this, in LKFS: programme loud enough for small speakers, not a shock in headphones. Common
/// practice of streaming services is -16 to -14 (value from memory).
const LOUDEST: f64 = -18.0;

/// The gains of a take's clips, the first of which is the take as recorded: as loud as each other, and with their real levels.
pub(super) fn gains(clips: &[Clip]) -> Vec<PageClip> {
    let recorded = clips.first().and_then(|clip| clip.loudness);
    let target = clips.iter().filter_map(reachable).fold(LOUDEST, f64::min);
    let highest = clips.iter().map(|clip| clip.peak).fold(f32::MIN_POSITIVE, f32::max);
    let room = db_to_amplitude(-HEADROOM_DB) / f64::from(highest);
    let real = recorded.map_or(room, |recorded| db_to_amplitude(target - recorded).min(room));
    let gain = |clip: &Clip| {
        // Wirings share positions, and the take as recorded is often one of them.
        let same = |other: &Clip| (other.digest, other.halvings) == (clip.digest, clip.halvings);
        let sound = clips.iter().position(same).unwrap_or_default();
        let stored = 2f64.powi(i32::from(clip.halvings));
        let matched = clip.loudness.map_or(real, |loudness| db_to_amplitude(target - loudness));
        let louder = clip.loudness.zip(recorded).map(|(loudness, recorded)| loudness - recorded);
        PageClip { sound, matched: matched * stored, real: real * stored, louder }
    };
    clips.iter().map(gain).collect()
}

/// The loudness up to which a clip can be brought before its peak meets the headroom; none for silence.
fn reachable(clip: &Clip) -> Option<f64> {
    let peak_db = 20.0 * f64::from(clip.peak.max(f32::MIN_POSITIVE)).log10();
    clip.loudness.map(|loudness| loudness - peak_db - HEADROOM_DB)
}
