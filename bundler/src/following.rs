//! A take on its way into options: its recorded circuit out, its notes followed where that is asked for and needed.

use std::sync::{Arc, OnceLock};

use dryfit_dsp::conversion::{Assessment, Controls, Conversion, ConversionError, Grid, Places, Recorded};
use dryfit_dsp::document::Assembly;
use dryfit_dsp::following::{Follower, Source};

use crate::arguments::Follow;
use crate::audio::Take;
use crate::threads::Threads;

/// What every option needs of a take, worked out once.
pub struct Origin<'a> {
    recorded: &'a Assembly,
    circuit: Recorded,
    take: &'a Take,
    follow: Follow,
    /// Dear, and not needed where every conversion is exact.
    followed: OnceLock<Followed>,
}

/// A follower of a take before its first sample, and the places that conversions need for it.
struct Followed {
    places: Arc<Places>,
    follower: Follower,
}

/// A take's way through an option.
#[derive(Debug, Clone)]
pub struct Way {
    /// Recorded circuit out, option's in.
    pub conversion: Conversion,
    /// What follows the notes, where another pickup sounds than was recorded.
    pub follower: Option<Follower>,
    /// How far that can be trusted.
    pub assessment: Assessment,
}

impl<'a> Origin<'a> {
    /// For a take that was recorded through a wiring with its controls so.
    ///
    /// # Errors
    /// When that circuit cannot be taken out.
    pub fn new(
        recorded: &'a Assembly,
        controls: &Controls,
        take: &'a Take,
        follow: Follow,
    ) -> Result<Self, ConversionError> {
        let circuit = Recorded::new(recorded, controls, &Grid::up_to(f64::from(take.sample_rate) / 2.0))?;
        Ok(Self { recorded, circuit, take, follow, followed: OnceLock::new() })
    }

    /// The way into an option with the controls at rest.
    ///
    /// # Errors
    /// When the option cannot sound.
    pub fn way(&self, option: &Assembly, controls: &Controls) -> Result<Way, ConversionError> {
        let mut conversion = Conversion::new(&self.circuit, option)?;
        let assessment = conversion.assess(controls);
        if assessment.exact || assessment.silent || self.follow == Follow::Off {
            return Ok(Way { conversion, follower: None, assessment });
        }
        let Followed { places, follower } = self.followed.get_or_init(|| self.followed());
        let conversion = Conversion::new(&self.circuit.clone().followed(places.clone()), option)?;
        Ok(Way { conversion, follower: Some(follower.clone()), assessment })
    }

    fn followed(&self) -> Followed {
        let guitar = &self.recorded.guitar;
        let source = Source::new(guitar, self.circuit.responses(), self.circuit.grid());
        let rate = f64::from(self.take.sample_rate);
        let follower = match self.follow {
            Follow::Whole => Follower::whole(&source, rate, &self.take.samples, &Threads),
            Follow::Ahead => Follower::ahead(&source, rate),
            Follow::Live | Follow::Off => Follower::live(&source, rate),
        };
        let places = Arc::new(Places::new(guitar, follower.size().lattice().hertz()));
        Followed { places, follower }
    }
}
