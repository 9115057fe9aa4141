//! A survey as a technician reads it in a terminal.

use std::fmt::Write as _;

use super::{Cell, State, Survey, Table, knobs, legend, notes};

/// The whole text.
pub fn text(survey: &Survey) -> String {
    let mut text = format!("{} on {}\n", survey.assembly.title, survey.assembly.guitar.title);
    for state in &survey.states {
        text.push('\n');
        text.push_str(&of_state(survey, state));
    }
    text.push('\n');
    for [term, meaning] in legend() {
        let _ = writeln!(text, "{term}: {meaning}");
    }
    text
}

fn of_state(survey: &Survey, state: &State) -> String {
    let mut text = String::new();
    let place = survey.place(state);
    if !place.is_empty() {
        let _ = writeln!(text, "== {place} ==\n");
    }
    let tables: Vec<String> = survey.tables(state).iter().map(laid_out).collect();
    text.push_str(&tables.join("\n"));
    let words = knobs(survey, state).into_iter().map(|[label, does]| format!("{label}: {does}\n"));
    let words = words.chain(notes(state).into_iter().map(|note| format!("note: {note}\n")));
    let words: String = words.collect();
    if words.is_empty() { text } else { text + "\n" + &words }
}

/// Rows under their heads, each column as wide as it must be.
fn laid_out(table: &Table) -> String {
    let written = |cell: &Cell| match cell.band.as_str() {
        "" => cell.value.clone(),
        band => format!("{} ({band})", cell.value),
    };
    let heads = table.heads.iter().map(|head| head.to_string()).collect();
    let body = table.rows.iter().map(|row| row.iter().map(written).collect());
    let rows: Vec<Vec<String>> = std::iter::once(heads).chain(body).collect();
    let width = |column: usize| rows.iter().map(|row| row[column].chars().count()).max().unwrap_or(0);
    let widths: Vec<usize> = (0..table.heads.len()).map(width).collect();
    let mut text = format!("{}:\n", table.caption);
    for row in &rows {
        let cells: Vec<String> = row.iter().zip(&widths).map(|(cell, &width)| format!("{cell:<width$}")).collect();
        text.push_str(cells.join("  ").trim_end());
        text.push('\n');
    }
    text
}
