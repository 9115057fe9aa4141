//! What a meter reads, by ngspice: one deck with a current of 1 A into every jack, `.op`, and the voltages there.

use std::fmt::Write as _;
use std::path::Path;
use std::process::Command;

use crate::ngspice::{Circuit, cards, node};

/// The text that ngspice reads. `rshunt` holds nodes that only capacitors hold; 1e15 ohm beside at most 1e6 is 1e-9.
pub fn deck(title: &str, circuits: &[Circuit]) -> String {
    let mut text = format!("* {title}\n");
    let mut printed = String::new();
    for (index, circuit) in circuits.iter().enumerate() {
        let number = index + 1;
        let _ = write!(text, "\n* circuit {number}: {}\n", circuit.title);
        cards(&circuit.lowered.netlist, number, &mut text);
        let jack = node(circuit.lowered.netlist.nodes(), circuit.lowered.jack, number);
        let _ = writeln!(text, "Imeter_{number} 0 {jack} dc 1");
        let _ = writeln!(printed, "print v({jack})");
    }
    let _ = write!(text, "\n.options rshunt=1e15\n.control\nset numdgt=12\nop\n{printed}quit\n.endc\n.end\n");
    text
}

/// Resistance at every jack, in ohms.
///
/// # Panics
/// When ngspice cannot be started or does not answer for every circuit.
pub fn run(text: &str, count: usize, folder: &Path) -> Vec<f64> {
    std::fs::create_dir_all(folder).expect("the folder for temporary files can be made");
    std::fs::write(folder.join("deck.cir"), text).expect("the deck can be written");
    let output = Command::new("ngspice").args(["-b", "deck.cir"]).current_dir(folder).output();
    let output = output.expect("ngspice is installed: the caller asked for its version");
    let said = String::from_utf8_lossy(&output.stdout).into_owned();
    let value = |line: &str| line.strip_prefix("v(").and_then(|rest| rest.split_once(" = "))?.1.trim().parse().ok();
    let ohms: Vec<f64> = said.lines().filter_map(value).collect();
    assert_eq!(ohms.len(), count, "ngspice did not answer for every circuit: {said}");
    ohms
}
