//! Reads which coils of a guitar share flux.

use super::guitar::Coupling;
use super::limits;
use super::problem::{ProblemKind, shortened};
use super::section::Section;
use super::suggestion::suggestion;

/// The couplings of a guitar with these pickups.
pub(super) fn read_couplings(top: &Section<'_, '_>, pickups: &[String]) -> Option<Vec<Coupling>> {
    let mut couplings: Vec<Option<Coupling>> = Vec::new();
    for section in top.tables("couplings", limits::PICKUPS * limits::PICKUPS) {
        let coupling = read_coupling(&section, pickups);
        let same = |other: &Coupling, one: &Coupling| one.between.iter().all(|name| other.between.contains(name));
        if coupling.iter().any(|one| couplings.iter().flatten().any(|other| same(other, one))) {
            section.error(ProblemKind::DuplicateName, section.line(), "these two are coupled already", "remove one");
        }
        couplings.push(coupling);
    }
    let couplings: Vec<Coupling> = couplings.into_iter().collect::<Option<_>>()?;
    if !is_possible(&couplings, pickups) {
        let mend = "measure them again; pickups on one guitar couple by about 0.01";
        let what = "no coils can couple like this all together";
        top.error(ProblemKind::OutOfRange, top.line_of_key("couplings"), what, mend);
    }
    Some(couplings)
}

fn read_coupling(section: &Section<'_, '_>, pickups: &[String]) -> Option<Coupling> {
    let between = section.texts("between");
    let coefficient = section.number("coefficient");
    if let Some(k) = coefficient.filter(|k| k.abs() >= 1.0) {
        let (what, mend) = (format!("a coefficient of {k} is no coupling"), "give a coefficient between -1 and 1");
        section.error(ProblemKind::OutOfRange, section.line_of_key("coefficient"), what, mend);
    }
    let between = between?;
    for name in between.value.iter().filter(|name| !pickups.contains(&name.value)) {
        let near = suggestion(&name.value, pickups.iter().map(String::as_str));
        let what = format!("the guitar has no pickup `{}`{near}", shortened(&name.value));
        section.error(ProblemKind::UnknownPart, name.line, what, "name two of its pickups");
    }
    let names: Vec<_> = between.value.into_iter().map(|name| name.value).collect();
    match <[String; 2]>::try_from(names) {
        Ok(between) if between[0] != between[1] => Some(Coupling { between, coefficient: coefficient? }),
        _ => {
            let mend = "name two different pickups";
            section.error(ProblemKind::WrongType, between.line, "a coupling is between two pickups", mend);
            None
        }
    }
}

/// Whether the matrix of coupling coefficients is positive definite, as it must be for the field's energy never to be
/// negative, whatever the currents. By Cholesky's factorisation: it exists only then.
fn is_possible(couplings: &[Coupling], pickups: &[String]) -> bool {
    let count = pickups.len();
    let mut matrix = vec![vec![0.0; count]; count];
    (0..count).for_each(|i| matrix[i][i] = 1.0);
    for Coupling { between, coefficient } in couplings {
        let place = |name: &String| pickups.iter().position(|pickup| pickup == name);
        if let [Some(a), Some(b)] = [place(&between[0]), place(&between[1])] {
            (matrix[a][b], matrix[b][a]) = (*coefficient, *coefficient);
        }
    }
    // A coefficient beyond 1 has been reported on its own line.
    let reported = couplings.iter().any(|coupling| coupling.coefficient.abs() >= 1.0);
    reported || has_cholesky_factor(matrix)
}

fn has_cholesky_factor(mut matrix: Vec<Vec<f64>>) -> bool {
    for k in 0..matrix.len() {
        let pivot = matrix[k][k];
        if pivot <= 1e-9 {
            return false;
        }
        let (done, rest) = matrix.split_at_mut(k + 1);
        for row in rest {
            let factor = row[k] / pivot;
            row.iter_mut().zip(&done[k]).for_each(|(entry, above)| *entry -= factor * above);
        }
    }
    true
}
