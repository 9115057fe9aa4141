//! The parts tray: values laid out for one part, to be tried one after the other.

use dryfit_dsp::document::{PartKind, ProblemKind, Problems, Wiring};
use dryfit_dsp::units::{self, Quantity, Series};
use serde::{Deserialize, Serialize};

use super::problem::problem;
use super::project::{Bench, Project};
use super::setup::Setup;

/// Which part is tried with which values.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct Tray {
    /// The bench the part belongs to.
    pub bench: Bench,
    /// The part; none when the tray is empty.
    pub part: Option<TrayPart>,
    /// The values, as written, in order.
    pub values: Vec<String>,
}

/// What can lie in the tray.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum TrayPart {
    /// A pot, capacitor or resistor of the wiring, by name.
    Part(String),
    /// The cable's capacitance.
    Cable,
    /// The input's resistance.
    Input,
}

/// What the tray asks for, worked out.
#[derive(Debug, Clone, PartialEq)]
pub enum Tried {
    /// Nothing.
    Nothing,
    /// The bench with each value of a part.
    Setups(Vec<Setup>),
    /// Cables, in farads.
    Cables(Vec<f64>),
    /// Inputs, in ohms.
    Inputs(Vec<f64>),
}

impl Tray {
    /// Most values that can be laid out: a decade of E24.
    pub const MOST: usize = 24;

    /// What the tray asks for in a project.
    ///
    /// # Errors
    /// When there are too many values, the part is not there, or a value makes no sense for it.
    pub fn tried(&self, project: &Project) -> Result<Tried, Problems> {
        if self.values.len() > Self::MOST {
            let what = format!("{} values are more than the tray holds", self.values.len());
            let mend = format!("lay out at most {}", Self::MOST);
            return Err(problem(ProblemKind::OutOfRange, "parts tray", None, what, &mend));
        }
        let Some(part) = &self.part else { return Ok(Tried::Nothing) };
        let quantity = part.quantity(project, self.bench)?;
        let values = self.values.iter().map(|value| {
            units::parse(value, quantity).map_err(|error| {
                problem(ProblemKind::UnknownUnit, "parts tray", None, error.to_string(), "type it as the others")
            })
        });
        let values = values.collect::<Result<Vec<f64>, _>>()?;
        Ok(match part {
            TrayPart::Cable => Tried::Cables(values),
            TrayPart::Input => Tried::Inputs(values),
            TrayPart::Part(name) => {
                let with = |value: &String| {
                    let mut setup = project.bench(self.bench).clone();
                    setup.values.insert(name.clone(), value.clone());
                    setup
                };
                Tried::Setups(self.values.iter().map(with).collect())
            }
        })
    }

    /// The value that a step puts into the circuit; none at step 0, which is the part's own. Steps beyond the last repeat it.
    pub fn value_at(&self, step: u8) -> Option<&str> {
        let place = usize::from(step).checked_sub(1)?;
        self.values.get(place).or(self.values.last()).map(String::as_str)
    }

    /// Values of a series between two limits, both included, as written; at most [`Tray::MOST`].
    pub fn preferred(series: Series, quantity: Quantity, low: f64, high: f64) -> Vec<String> {
        let values = series.between(low, high).into_iter().take(Self::MOST);
        values.map(|value| units::write(value, quantity)).collect()
    }
}

impl TrayPart {
    /// What kind of value it has.
    ///
    /// # Errors
    /// When the bench's wiring has no such part, or the part has no value.
    pub fn quantity(&self, project: &Project, bench: Bench) -> Result<Quantity, Problems> {
        match self {
            Self::Cable => Ok(Quantity::Capacitance),
            Self::Input => Ok(Quantity::Resistance),
            Self::Part(name) => {
                let wiring = project.bench(bench).read()?;
                value_of(&wiring, name).map(|(_, quantity)| quantity).ok_or_else(|| {
                    let what = format!("the wiring has no part `{name}` with a value");
                    let mend = "put a pot, a capacitor, a resistor, the cable or the input in the tray";
                    problem(ProblemKind::UnknownPart, "parts tray", Some(name), what, mend)
                })
            }
        }
    }
}

/// A part's value, in SI, and what kind of value it is.
pub(super) fn value_of(wiring: &Wiring, name: &str) -> Option<(f64, Quantity)> {
    match &wiring.part(name)?.kind {
        PartKind::Pot(pot) => Some((pot.resistance, Quantity::Resistance)),
        PartKind::Resistor { resistance, .. } => Some((*resistance, Quantity::Resistance)),
        PartKind::Capacitor { capacitance, .. } => Some((*capacitance, Quantity::Capacitance)),
        PartKind::Selector { .. } | PartKind::Switch { .. } => None,
    }
}
