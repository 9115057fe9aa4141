//! A wiring put together with a guitar and its switches: every name resolved, every lug on one joint.

use super::builder::Builder;
use super::control_plan::ControlPlan;
use super::guitar::Guitar;
use super::library::Library;
use super::problem::Problems;
use super::switch::Switch;
use super::wiring::{Pot, Wiring};

/// A wiring ready to be lowered to a circuit.
#[derive(Debug, Clone, PartialEq)]
pub struct Assembly {
    /// What the wiring is called.
    pub title: String,
    /// The wiring's path or preset name, for problems.
    pub file: String,
    /// The guitar it is fitted to.
    pub guitar: Guitar,
    /// The wiring's parts, then the pickups, then the jack.
    pub parts: Vec<AssembledPart>,
    /// Name of every joint; [`Assembly::GROUND`] is the one the jack's sleeve sits on.
    pub joints: Vec<String>,
    /// What the controls are called and where they sit.
    pub controls: ControlPlan,
    /// What a technician should look at, though it works.
    pub warnings: Problems,
}

/// One part with the joints its lugs sit on.
#[derive(Debug, Clone, PartialEq)]
pub struct AssembledPart {
    /// Its name.
    pub name: String,
    /// The document that `line` is in.
    pub file: String,
    /// The line it is described on; for a pickup and the jack the line of the joint of its first soldered lug.
    pub line: Option<usize>,
    /// What it is.
    pub kind: AssembledKind,
    /// Its lugs' names.
    pub lugs: Vec<String>,
    /// The joint of each lug; a lug that nothing is joined to has a joint of its own.
    pub joints: Vec<usize>,
}

/// What an assembled part is.
#[derive(Debug, Clone, PartialEq)]
pub enum AssembledKind {
    /// A pot moved by the knob of that index.
    Pot {
        /// The pot.
        pot: Pot,
        /// Index of its knob in the controls.
        knob: usize,
    },
    /// A capacitor.
    Capacitor {
        /// In farads.
        capacitance: f64,
        /// Share of the value.
        tolerance: f64,
    },
    /// A fixed resistor.
    Resistor {
        /// In ohms.
        resistance: f64,
        /// Share of the value.
        tolerance: f64,
    },
    /// The selector (no index) or another switch, moved by the switch of that index.
    Switch {
        /// Its document.
        switch: Switch,
        /// Index in the controls' switches; none for the selector.
        index: Option<usize>,
        /// Index among the parts of the pot whose shaft carries it; none for a switch in a hole of its own.
        carrier: Option<usize>,
    },
    /// The guitar's pickup of that index.
    Pickup(usize),
    /// The output jack.
    Jack,
}

impl Assembly {
    /// The joint that is ground.
    pub const GROUND: usize = 0;
    /// Most combinations of selector and switches that a wiring may have.
    pub const MOST_COMBINATIONS: usize = 256;
    /// Most knobs and most switches beside the selector.
    pub const MOST_CONTROLS: (usize, usize) = (6, 4);

    /// Puts a wiring together with a guitar; switch documents come from the library.
    ///
    /// # Errors
    /// Everything that keeps it from being built: unknown parts, lugs and switches, lugs on two joints, hanging parts.
    pub fn new(wiring: &Wiring, guitar: &Guitar, library: &Library) -> Result<Self, Problems> {
        let (assembly, problems) = Builder::new(wiring, guitar, library).build();
        problems.or(assembly)
    }

    /// Reads a wiring (`WIRING` or `WIRING+ADD-ON+ADD-ON`) and a guitar from the library and puts them together.
    ///
    /// # Errors
    /// Everything that is wrong at once: in the guitar's, wiring's, add-ons' and switches' documents, and with what
    /// is joined to what even where a value could not be read.
    pub fn read(library: &Library, wiring: &str, guitar: &str) -> Result<Self, Problems> {
        match library.guitar(guitar) {
            Ok(guitar) => Self::read_on(library, wiring, &guitar),
            Err(mut problems) => {
                problems.0.extend(library.wiring_despite_errors(wiring).1.0);
                Err(problems)
            }
        }
    }

    /// The same on a guitar that is there already.
    ///
    /// # Errors
    /// As [`Assembly::read`].
    pub fn read_on(library: &Library, wiring: &str, guitar: &Guitar) -> Result<Self, Problems> {
        let (wiring, mut problems) = library.wiring_despite_errors(wiring);
        // Without joints every part would hang, and that has been said.
        let Some(wiring) = wiring.filter(|wiring| !wiring.joints.is_empty()) else { return Err(problems) };
        let (assembly, further) = Builder::new(&wiring, guitar, library).build();
        problems.0.extend(further.0);
        problems.0.sort_by(|a, b| (&a.file, a.line).cmp(&(&b.file, b.line)));
        problems.or(assembly)
    }

    /// The part of that name.
    pub fn part(&self, name: &str) -> Option<&AssembledPart> {
        self.parts.iter().find(|part| part.name == name)
    }

    /// The part of that name, to change its value.
    pub fn part_mut(&mut self, name: &str) -> Option<&mut AssembledPart> {
        self.parts.iter_mut().find(|part| part.name == name)
    }

    /// The joint of the jack's tip.
    pub fn tip(&self) -> usize {
        let jack = self.parts.iter().find(|part| part.kind == AssembledKind::Jack);
        jack.expect("every assembly has a jack").joints[0]
    }
}
