//! The page, from its template. Every text is escaped by the template engine; the drawings come escaped from `dsp`.

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use dryfit_dsp::circuit::{combinations, standing};
use dryfit_dsp::document::{AssembledKind, Assembly, Problem};
use dryfit_dsp::drawing::{Drawing, Style, schematic, to_svg};
use dryfit_dsp::faults::Finding;
use minijinja::value::Serde;
use minijinja::{Environment, Value, context};
use sha2::{Digest, Sha256};

use super::{parts, readings, surveyed, wires};
use crate::survey::{Survey, legend};

const TEMPLATE: &str = include_str!("page/sheet.html");
const SURVEY: &str = include_str!("page/survey.html");
const STYLE: &str = include_str!("page/sheet.css");

/// The build sheet of a checked assembly, which was surveyed, as one HTML document that refers to nothing outside itself.
///
/// # Panics
/// Never for an assembly that was checked: the template is fixed and specified.
pub fn page(about: &str, drawing: &Drawing, survey: &Survey, finding: Option<&Finding>) -> String {
    let assembly = &survey.assembly;
    let mut environment = Environment::new();
    environment.add_template("sheet.html", TEMPLATE).expect("the template is well formed");
    environment.add_template("survey.html", SURVEY).expect("the template is well formed");
    let template = environment.get_template("sheet.html").expect("it was added");
    let policy = format!(
        "default-src 'none'; style-src 'sha256-{}'; base-uri 'none'; form-action 'none'",
        STANDARD.encode(Sha256::digest(STYLE))
    );
    let style = |id| Style { id, ..Style::default() };
    let values = context! {
        policy,
        style => Value::from_safe_string(STYLE.into()),
        title => assembly.title.clone(),
        about,
        guitar => assembly.guitar.title.clone(),
        sounds => Value::from(Serde(&sounds(assembly))),
        knobs => Value::from(Serde(&knobs(assembly))),
        parts => Value::from(Serde(&parts::parts(assembly))),
        pictorial => Value::from_safe_string(to_svg(drawing, &style("pictorial"), None)),
        schematic => Value::from_safe_string(to_svg(&schematic(assembly), &style("schematic"), None)),
        wires => Value::from(Serde(&wires::wires(assembly, drawing))),
        columns => readings::columns(assembly),
        readings => Value::from(Serde(&readings::rows(assembly))),
        survey => Value::from(Serde(&surveyed::parts(survey))),
        legend => Value::from(Serde(&legend())),
        finding => Value::from(Serde(&finding)),
        warnings => assembly.warnings.0.iter().map(warning).collect::<Vec<_>>(),
    };
    template.render(values).expect("every value that the template names is there")
}

/// A warning without the path of the file it is about: the sheet goes to other people.
fn warning(problem: &Problem) -> String {
    let part = problem.part.as_ref().map(|part| format!("{part}: ")).unwrap_or_default();
    format!("{part}{}; {}", problem.what, problem.mend)
}

/// Place and what sounds there, for every combination of selector and switches.
fn sounds(assembly: &Assembly) -> Vec<[String; 2]> {
    let row = |controls| {
        let on = standing::pickups_on(assembly, &controls);
        let on = if on.is_empty() { "silent".into() } else { on.join(" + ") };
        [dryfit_dsp::circuit::describe(assembly, &controls).trim_start_matches("in ").to_string(), on]
    };
    combinations(&assembly.controls).map(row).collect()
}

/// Number of each knob, its label and its pots.
fn knobs(assembly: &Assembly) -> Vec<[String; 3]> {
    let labels = assembly.controls.knobs.iter().enumerate().filter_map(|(knob, label)| Some((knob, label.as_ref()?)));
    let row = |(knob, label): (usize, &String)| {
        let turns = |part: &&dryfit_dsp::document::AssembledPart| matches!(part.kind, AssembledKind::Pot { knob: own, .. } if own == knob);
        let pots: Vec<&str> = assembly.parts.iter().filter(turns).map(|part| part.name.as_str()).collect();
        [(knob + 1).to_string(), label.clone(), pots.join(", ")]
    };
    labels.map(row).collect()
}
