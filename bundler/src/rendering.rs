//! A take through an option, as the engine does it.

use dryfit_dsp::conversion::{Controls, Target};
use dryfit_dsp::engine::{Engine, Listen, Scene};
use dryfit_dsp::following::Follower;

/// Samples that are processed at a time; what is heard does not depend on it.
pub const BLOCK: usize = 4096;

/// Renders a mono take through a target with the controls at rest, as long as the take. `progress` is told how many
/// samples were done since it was last told.
pub fn render<T: Target>(
    take: &[f32],
    sample_rate: u32,
    target: T,
    controls: &Controls,
    progress: impl FnMut(usize),
) -> Vec<f32> {
    collected(take, sample_rate, (target, None), controls, progress)
}

/// The same, following the notes of the take.
pub fn render_following<T: Target>(
    take: &[f32],
    sample_rate: u32,
    target: T,
    follower: Follower,
    controls: &Controls,
    progress: impl FnMut(usize),
) -> Vec<f32> {
    collected(take, sample_rate, (target, Some(follower)), controls, progress)
}

/// The same, with or without a follower, handed over in blocks of at most [`BLOCK`] samples as they are done.
pub fn stream<T: Target>(
    take: &[f32],
    sample_rate: u32,
    (target, follower): (T, Option<Follower>),
    controls: &Controls,
    mut hear: impl FnMut(&[f32]),
) {
    let scene = Scene { controls: *controls, listen: Listen::A, follow: follower.is_some(), ..Scene::default() };
    let mut engine = Engine::new(f64::from(sample_rate), 1, vec![target]);
    if let Some(follower) = follower {
        engine = engine.following(follower);
    }
    // What comes late is cut off at the beginning, and heard to its end behind the take.
    let mut late = engine.latency();
    let silence = vec![0.0; late];
    let mut heard = [0.0; BLOCK];
    for block in take.chunks(BLOCK).chain(silence.chunks(BLOCK)) {
        let heard = &mut heard[..block.len()];
        heard.copy_from_slice(block);
        engine.process(&scene, &mut [&mut *heard]);
        let cut = late.min(heard.len());
        late -= cut;
        if cut < heard.len() {
            hear(&heard[cut..]);
        }
    }
}

fn collected<T: Target>(
    take: &[f32],
    sample_rate: u32,
    through: (T, Option<Follower>),
    controls: &Controls,
    mut progress: impl FnMut(usize),
) -> Vec<f32> {
    let mut heard = Vec::with_capacity(take.len());
    stream(take, sample_rate, through, controls, |block| {
        heard.extend_from_slice(block);
        progress(block.len());
    });
    heard
}
