//! Compiling a project.

use std::sync::Arc;

use dryfit_dsp::conversion::{Conversion, Grid, Recorded};
use dryfit_dsp::document::{Assembly, Guitar, Problems};

use super::analysis::{Analysis, BenchAnalysis};
use super::followed::{Followed, Followers};
use super::option_target::{OptionTarget, Trial};
use crate::session::{Bench, Project, Setup, Tried, conversion_problem};

/// A compiled project.
#[derive(Debug, Clone)]
pub struct Compiled {
    /// For the engine: bench A and bench B.
    pub benches: [OptionTarget; 2],
    /// For the engine: what follows the notes of the take.
    pub followers: Followers,
    /// What may be used again as long as the take was recorded in the same way.
    pub followed: Arc<Followed>,
    /// For looking at.
    pub analysis: Analysis,
}

/// Why a project was not compiled.
#[derive(Debug, Clone, PartialEq)]
pub enum Stopped {
    /// Nobody waits for it any more.
    Unwanted,
    /// It cannot sound.
    Wrong(Problems),
}

impl From<Problems> for Stopped {
    fn from(problems: Problems) -> Self {
        Self::Wrong(problems)
    }
}

/// Compiles a project for a sample rate, in hertz: both benches, and every value of the tray. `before` is what an earlier
/// one left to be used again. `unwanted` is asked now and then whether to give up.
///
/// # Errors
/// Everything that keeps it from sounding.
pub fn compile(
    project: &Arc<Project>,
    generation: u64,
    sample_rate: f64,
    before: Option<Arc<Followed>>,
    unwanted: &dyn Fn() -> bool,
) -> Result<Compiled, Stopped> {
    let guitar = project.read_guitar()?;
    let recorded_assembly = project.recorded.setup.assemble(&guitar)?;
    let grid = Grid::up_to(sample_rate / 2.0);
    let recorded = Recorded::new(&recorded_assembly, &project.recorded.controls, &grid)
        .map_err(|error| conversion_problem(&project.recorded.setup.wiring.name, &error))?;
    let followed = before.filter(|followed| followed.is_for(project, sample_rate));
    let followed = followed.unwrap_or_else(|| Arc::new(Followed::new(project, &guitar, &recorded, sample_rate)));
    let recorded = recorded.followed(followed.places.clone());
    let compiler = Compiler { guitar: &guitar, recorded: &recorded, unwanted };
    let [a, b] = Bench::BOTH.map(|bench| compiler.bench(project, bench));
    let benches = [a?, b?];
    let analysis = Analysis {
        project: project.clone(),
        generation,
        sample_rate,
        recorded: recorded_assembly,
        benches: benches.clone(),
    };
    let followers = followed.followers.clone();
    Ok(Compiled { benches: benches.map(|bench| bench.target), followers, followed, analysis })
}

struct Compiler<'a> {
    guitar: &'a Guitar,
    recorded: &'a Recorded,
    unwanted: &'a dyn Fn() -> bool,
}

impl Compiler<'_> {
    fn bench(&self, project: &Project, bench: Bench) -> Result<BenchAnalysis, Stopped> {
        let (assembly, own) = self.conversion(project.bench(bench))?;
        let tried = if project.tray.bench == bench { project.tray.tried(project)? } else { Tried::Nothing };
        let trial = match tried {
            Tried::Nothing => Trial::Nothing,
            Tried::Cables(cables) => Trial::Cables(cables),
            Tried::Inputs(inputs) => Trial::Inputs(inputs),
            Tried::Setups(setups) => {
                let conversions = setups.iter().map(|setup| self.conversion(setup).map(|(_, conversion)| conversion));
                Trial::Parts(conversions.collect::<Result<_, _>>()?)
            }
        };
        Ok(BenchAnalysis { assembly, target: OptionTarget::new(own, trial) })
    }

    fn conversion(&self, setup: &Setup) -> Result<(Assembly, Conversion), Stopped> {
        if (self.unwanted)() {
            return Err(Stopped::Unwanted);
        }
        let assembly = setup.assemble(self.guitar)?;
        let conversion = Conversion::new(self.recorded, &assembly)
            .map_err(|error| conversion_problem(&setup.wiring.name, &error))?;
        Ok((assembly, conversion))
    }
}
