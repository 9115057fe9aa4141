//! Circuits as ngspice netlists, and what ngspice makes of them: the second route beside Dryfit's own solver.
//!
//! One deck holds many circuits side by side that share nothing but ground, so one process answers for them all. Node
//! and element names keep Dryfit's names, with the circuit's number behind them.

use std::fmt::Write as _;
use std::path::Path;
use std::process::Command;

use dryfit_dsp::circuit::{ElementKind, Lowered, Netlist};
use num_complex::Complex64;

/// A circuit with what it is, in words.
#[derive(Debug, Clone)]
pub struct Circuit {
    /// What it is, for the reader of the deck.
    pub title: String,
    /// The netlist and its jack.
    pub lowered: Lowered,
}

/// Many circuits, and the EMFs with which they are driven.
#[derive(Debug, Clone)]
pub struct Deck {
    /// What it is, for the reader.
    pub title: String,
    /// The circuits; each has the same sources.
    pub circuits: Vec<Circuit>,
    /// One analysis each: a name for its output and the EMF of every source, in volts.
    pub drives: Vec<(String, Vec<f64>)>,
}

/// What ngspice answers.
#[derive(Debug, Clone, PartialEq)]
pub struct Sweep {
    /// Frequencies, in hertz.
    pub hertz: Vec<f64>,
    /// Voltage at the jack: `volts[circuit][drive][point]`.
    pub volts: Vec<Vec<Vec<Complex64>>>,
}

/// 20 Hz to 20 kHz, ten points a decade: 31 points.
const ANALYSIS: &str = "ac dec 10 20 20k";

/// The version that is installed (`ngspice-39`), if one is.
pub fn version() -> Option<String> {
    let output = Command::new("ngspice").arg("--version").output().ok()?;
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    text.split_whitespace().find(|word| word.starts_with("ngspice-")).map(str::to_string)
}

/// The version that is installed; without one says that a check is skipped, which is a failure in CI.
///
/// # Panics
/// When there is none and the environment has `CI=true`.
pub fn version_or_skip(check: &str) -> Option<String> {
    let version = version();
    if version.is_none() {
        println!("skipped: {check}, because ngspice is not installed (apt-get install ngspice)");
        assert!(std::env::var("CI").as_deref() != Ok("true"), "a skipped check is a failure in CI: {check}");
    }
    version
}

impl Deck {
    /// The text that ngspice reads.
    ///
    /// `noopac`: the circuits are linear, so there is no operating point to find first, and a node that only a
    /// capacitor holds (a tone capacitor behind a no-load pot at 10) is no trouble.
    pub fn text(&self) -> String {
        let mut text = format!("* {}\n", self.title);
        for (number, circuit) in self.circuits.iter().enumerate() {
            let _ = write!(text, "\n* circuit {}: {}\n", number + 1, circuit.title);
            cards(&circuit.lowered.netlist, number + 1, &mut text);
        }
        text.push_str("\n.options noopac\n.control\nset numdgt=16\nset wr_singlescale\n");
        for (drive, emfs) in &self.drives {
            self.excite(emfs, &mut text);
            let _ = write!(text, "{ANALYSIS}\nwrdata {drive}.txt");
            for (number, circuit) in self.circuits.iter().enumerate() {
                let names = circuit.lowered.netlist.nodes();
                let _ = write!(text, "\n+ v({})", node(names, circuit.lowered.jack, number + 1));
            }
            text.push_str("\n\n");
        }
        text.push_str("quit\n.endc\n.end\n");
        text
    }

    /// Runs the deck in a folder of its own.
    ///
    /// # Panics
    /// When ngspice cannot be started or does not answer for every circuit.
    pub fn run(&self, folder: &Path) -> Sweep {
        std::fs::create_dir_all(folder).expect("the folder for temporary files can be made");
        std::fs::write(folder.join("deck.cir"), self.text()).expect("the deck can be written");
        let output = Command::new("ngspice").args(["-b", "deck.cir"]).current_dir(folder).output();
        let output = output.expect("ngspice is installed: the caller asked for its version");
        let said = || String::from_utf8_lossy(&[output.stdout.as_slice(), &output.stderr].concat()).into_owned();
        let mut sweep = Sweep { hertz: Vec::new(), volts: vec![Vec::new(); self.circuits.len()] };
        for (drive, _) in &self.drives {
            let path = folder.join(format!("{drive}.txt"));
            let text = std::fs::read_to_string(path).unwrap_or_else(|_| panic!("ngspice wrote nothing: {}", said()));
            sweep.read(&text);
        }
        sweep
    }

    /// Sets the EMF of every source that differs from 0 or did in the drive before.
    fn excite(&self, emfs: &[f64], text: &mut String) {
        for (number, circuit) in self.circuits.iter().enumerate() {
            for element in circuit.lowered.netlist.elements() {
                if let ElementKind::Source(index) = element.kind {
                    let name = tidy(&element.name);
                    let _ = writeln!(text, "alter @v{name}_{}[acmag] = {:e}", number + 1, emfs[index]);
                }
            }
        }
    }
}

impl Sweep {
    /// Adds what `wrdata` wrote for one drive: hertz, then real and imaginary part per circuit.
    fn read(&mut self, text: &str) {
        let number = |word: &str| word.parse::<f64>().unwrap_or_else(|_| panic!("ngspice wrote `{word}`, no number"));
        let rows: Vec<Vec<f64>> = text.lines().map(|line| line.split_whitespace().map(number).collect()).collect();
        self.hertz = rows.iter().map(|row| row[0]).collect();
        for (circuit, volts) in self.volts.iter_mut().enumerate() {
            let at = |row: &Vec<f64>| Complex64::new(row[1 + 2 * circuit], row[2 + 2 * circuit]);
            volts.push(rows.iter().map(at).collect());
        }
    }
}

/// One line per element, and a tie of 1 ohm to ground for every island that nothing else holds: no current flows
/// through it, and without it the island's voltages would have no meaning.
pub(crate) fn cards(netlist: &Netlist, number: usize, text: &mut String) {
    let names = netlist.nodes();
    for element in netlist.elements() {
        let (name, a, b) = (tidy(&element.name), node(names, element.a, number), node(names, element.b, number));
        let _ = match element.kind {
            ElementKind::Resistor(ohms) => writeln!(text, "R{name}_{number} {a} {b} {ohms:e}"),
            ElementKind::Capacitor(farads) => writeln!(text, "C{name}_{number} {a} {b} {farads:e}"),
            ElementKind::Inductor(henries) => writeln!(text, "L{name}_{number} {a} {b} {henries:e}"),
            ElementKind::Source(_) => writeln!(text, "V{name}_{number} {a} {b} dc 0 ac 0"),
            ElementKind::Coupling { first, second, mutual } => {
                let inductor = |index: usize| match &netlist.elements()[index] {
                    element if matches!(element.kind, ElementKind::Inductor(_)) => element,
                    element => panic!("{} is no inductor", element.name),
                };
                let (first, second) = (inductor(first), inductor(second));
                let coefficient = mutual / (henries(&first.kind) * henries(&second.kind)).sqrt();
                let (first, second) = (tidy(&first.name), tidy(&second.name));
                writeln!(text, "K{name}_{number} L{first}_{number} L{second}_{number} {coefficient:e}")
            }
        };
    }
    for (index, &island) in netlist.islands(&[], |_| true).iter().enumerate().skip(1) {
        if island == index {
            let island = node(names, index, number);
            let _ = writeln!(text, "Rtie_{island} {island} 0 1");
        }
    }
}

fn henries(kind: &ElementKind) -> f64 {
    if let ElementKind::Inductor(henries) = kind { *henries } else { f64::NAN }
}

/// A node's name in the deck. Two nodes never get the same: a collision would join them silently.
pub(crate) fn node(names: &[String], index: usize, number: usize) -> String {
    if index == Netlist::GROUND {
        return "0".into();
    }
    let name = tidy(&names[index]);
    let alone = names.iter().filter(|other| tidy(other) == name).count() == 1;
    assert!(alone, "two nodes would both be called {name}");
    format!("{name}_{number}")
}

/// ngspice takes `-` and `.` in an expression for operators, and knows no capitals.
fn tidy(name: &str) -> String {
    name.to_lowercase().replace(['-', '.'], "_")
}
