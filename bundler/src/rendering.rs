//! A take through an option, as the engine does it.

use dryfit_dsp::conversion::{Controls, Target};
use dryfit_dsp::engine::{Engine, Listen, Scene};

/// Samples that are processed at a time; what is heard does not depend on it.
const BLOCK: usize = 4096;

/// Renders a mono take through a target with the controls at rest, as long as the take. `progress` is told how many
/// samples were done since it was last told.
pub fn render<T: Target>(
    take: &[f32],
    sample_rate: u32,
    target: T,
    controls: &Controls,
    mut progress: impl FnMut(usize),
) -> Vec<f32> {
    let scene = Scene { controls: *controls, listen: Listen::A, ..Scene::default() };
    let mut engine = Engine::new(f64::from(sample_rate), 1, vec![target]);
    let mut heard = take.to_vec();
    for block in heard.chunks_mut(BLOCK) {
        engine.process(&scene, &mut [block]);
        progress(block.len());
    }
    heard
}
