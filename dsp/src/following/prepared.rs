//! What is made once for a guitar, a recorded circuit and a sample rate.

use std::sync::Arc;

use super::energies::StringEnergies;
use super::frame::FrameSize;
use super::notes::Voices;
use super::source::Source;
use super::templates::Templates;
use super::window::Window;

/// What is prepared once for a guitar, a recorded circuit and a sample rate, and shared.
#[derive(Debug)]
pub(super) struct Prepared {
    pub(super) size: FrameSize,
    pub(super) templates: Templates,
    pub(super) voices: Arc<Voices>,
    pub(super) energies: StringEnergies,
}

impl Prepared {
    /// The newest samples weigh nothing; they rise within this share of a frame.
    const FALL: usize = 8;
    /// Share of the prior in what is heard (the study's beta, place/goff.py).
    const FLOOR: f32 = 0.003;

    pub(super) fn new(source: &Source, sample_rate: f64, symmetric: bool) -> Self {
        let size = FrameSize::at(sample_rate);
        let lattice = size.lattice();
        let window = Arc::new(match symmetric {
            true => Window::symmetric(size.frame),
            false => Window::asymmetric(size.frame, size.frame / Self::FALL),
        });
        let templates = Templates::new(source, &lattice, &window);
        let voices = Arc::new(Voices::new(source, &lattice, &window));
        let energies = StringEnergies::new(&source.guitar, &lattice, Self::FLOOR);
        Self { size, templates, voices, energies }
    }
}
