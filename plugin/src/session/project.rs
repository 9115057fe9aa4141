//! Everything that is saved with the host's project.

use dryfit_dsp::conversion::{Controls, Grid, Recorded as RecordedCircuit};
use dryfit_dsp::document::{Assembly, Guitar, Problems};
use dryfit_dsp::units::Quantity;
use serde::{Deserialize, Serialize};

use super::problem::conversion_problem;
use super::setup::{Document, Setup};
use super::tray::{Tray, TrayPart};
use super::wanted::Wanted;

/// The whole bench.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Project {
    /// Version of this form; see [`super::FORMAT`].
    pub format: u32,
    /// The guitar the take was played on.
    pub guitar: Document,
    /// What the take was recorded with.
    pub recorded: Recorded,
    /// Bench A and bench B.
    pub benches: [Setup; 2],
    /// The parts tray.
    pub tray: Tray,
    /// The sounds a wiring is to be found for, once somebody wrote them down.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wanted: Option<Wanted>,
}

/// What the take was recorded with.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Recorded {
    /// The wiring on the guitar.
    pub setup: Setup,
    /// Where the controls stood, and what the jack drove.
    pub controls: Controls,
    /// Whether nobody said so yet.
    pub assumed: bool,
}

/// One of the two benches.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize, Deserialize)]
pub enum Bench {
    /// Bench A.
    #[default]
    A,
    /// Bench B.
    B,
}

impl Bench {
    /// Both, in order.
    pub const BOTH: [Self; 2] = [Self::A, Self::B];

    /// 0 or 1.
    pub fn index(self) -> usize {
        self as usize
    }

    /// The other one.
    pub fn other(self) -> Self {
        match self {
            Self::A => Self::B,
            Self::B => Self::A,
        }
    }
}

impl Project {
    /// The grid on which a project is checked, in hertz up to its end: any will do, since circuits are as solvable on one
    /// as on another.
    const CHECKED_UP_TO: f64 = 24_000.0;

    /// A bench.
    pub fn bench(&self, bench: Bench) -> &Setup {
        &self.benches[bench.index()]
    }

    /// A bench's setup as it sounds at a step of the tray: with the value that is on trial.
    pub fn heard(&self, bench: Bench, step: u8) -> Setup {
        let mut setup = self.bench(bench).clone();
        if let (true, Some(TrayPart::Part(part)), Some(value)) =
            (self.tray.bench == bench, &self.tray.part, self.tray.value_at(step))
        {
            setup.values.insert(part.clone(), value.to_string());
        }
        setup
    }

    /// The guitar.
    ///
    /// # Errors
    /// Everything that is wrong with its document.
    pub fn read_guitar(&self) -> Result<Guitar, Problems> {
        Guitar::read(&self.guitar.name, &self.guitar.text)
    }

    /// A bench's wiring on the guitar.
    ///
    /// # Errors
    /// Everything that is wrong with the guitar or the wiring.
    pub fn assemble(&self, bench: Bench) -> Result<Assembly, Problems> {
        self.bench(bench).assemble(&self.read_guitar()?)
    }

    /// The project itself when it can sound.
    ///
    /// # Errors
    /// Everything that is wrong: guitar, recorded wiring and controls, both benches, every value of the tray.
    pub fn checked(mut self) -> Result<Self, Problems> {
        tame(&mut self.recorded.controls);
        let guitar = self.read_guitar()?;
        let mut problems = Problems::default();
        let mut gather = |outcome: Result<(), Problems>| {
            if let Err(found) = outcome {
                problems.0.extend(found.0);
            }
        };
        gather(self.check_recorded(&guitar));
        for setup in &self.benches {
            gather(setup.assemble(&guitar).map(drop));
        }
        gather(self.tray.tried(&self).map(drop));
        if problems.0.is_empty() { Ok(self) } else { Err(problems) }
    }

    fn check_recorded(&self, guitar: &Guitar) -> Result<(), Problems> {
        let assembly = self.recorded.setup.assemble(guitar)?;
        let grid = Grid::up_to(Self::CHECKED_UP_TO);
        RecordedCircuit::new(&assembly, &self.recorded.controls, &grid)
            .map(drop)
            .map_err(|error| conversion_problem(&self.recorded.setup.wiring.name, &error))
    }
}

/// Brings controls that were read from outside into their ranges.
fn tame(controls: &mut Controls) {
    let usual = Controls::default();
    for knob in &mut controls.knobs {
        *knob = if knob.is_finite() { knob.clamp(0.0, 10.0) } else { 10.0 };
    }
    controls.position = controls.position.max(1);
    controls.switches.iter_mut().for_each(|switch| *switch = (*switch).max(1));
    if !Quantity::Capacitance.sensible().contains(&controls.load.cable) {
        controls.load.cable = usual.load.cable;
    }
    if !Quantity::Resistance.sensible().contains(&controls.load.input) {
        controls.load.input = usual.load.input;
    }
    controls.step = 0;
}
