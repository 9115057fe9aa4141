//! A wiring with everything it needs.

use std::collections::BTreeMap;

use dryfit_dsp::circuit;
use dryfit_dsp::document::{AddOn, Assembly, DocumentKind, Guitar, Library, PartKind, ProblemKind, Problems, Wiring};
use serde::{Deserialize, Serialize};

use super::problem::problem;

/// A document, as text.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Document {
    /// The preset it is, or what the user calls it; problems name it.
    pub name: String,
    /// Its TOML.
    pub text: String,
}

/// A wiring with its add-ons, the switches they are built with, and part values other than the documents'.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Setup {
    /// The wiring.
    pub wiring: Document,
    /// Add-ons, in the order in which they are fitted.
    pub add_ons: Vec<Document>,
    /// Every switch document that the wiring and its add-ons name.
    pub switches: Vec<Document>,
    /// Values that were set, as written, by part.
    pub values: BTreeMap<String, String>,
}

impl Document {
    /// A document of a library.
    ///
    /// # Errors
    /// When there is none of that kind and name.
    pub fn from_library(library: &Library, kind: DocumentKind, name: &str) -> Result<Self, Problems> {
        let (_, text) = library.text(kind, name)?;
        Ok(Self { name: name.into(), text: text.into() })
    }
}

impl Setup {
    /// `WIRING[+ADD-ON..]` of a library, part values as documented.
    ///
    /// # Errors
    /// When a document is missing or wrong, or does not fit.
    pub fn from_library(library: &Library, name: &str) -> Result<Self, Problems> {
        let mut names = name.split('+');
        let wiring = names.next().unwrap_or_default();
        let wiring = Document::from_library(library, DocumentKind::Wiring, wiring)?;
        let add_ons =
            names.map(|name| Document::from_library(library, DocumentKind::AddOn, name)).collect::<Result<_, _>>()?;
        Self { wiring, add_ons, switches: Vec::new(), values: BTreeMap::new() }.refitted(library)
    }

    /// The same with the switches it names (from the library, else those it has already) and without values of parts
    /// that are no longer there.
    ///
    /// # Errors
    /// When a document is wrong or does not fit.
    pub fn refitted(mut self, library: &Library) -> Result<Self, Problems> {
        let wiring = self.documented()?;
        let mut switches: Vec<Document> = Vec::new();
        for part in &wiring.parts {
            let (PartKind::Selector { switch } | PartKind::Switch { switch, .. }) = &part.kind else { continue };
            if switches.iter().any(|known| known.name == *switch) {
                continue;
            }
            let had = self.switches.iter().find(|had| had.name == *switch).cloned();
            switches.extend(had.or_else(|| Document::from_library(library, DocumentKind::Switch, switch).ok()));
        }
        self.switches = switches;
        self.values.retain(|part, _| wiring.part(part).is_some());
        Ok(self)
    }

    /// The wiring with its add-ons and the values that were set.
    ///
    /// # Errors
    /// When a document is wrong or does not fit, or a value makes no sense.
    pub fn read(&self) -> Result<Wiring, Problems> {
        let mut wiring = self.documented()?;
        let mut problems = Problems::default();
        for (name, value) in &self.values {
            let part = wiring.parts.iter_mut().find(|part| part.name == *name);
            let outcome = match part {
                Some(part) => part.kind.set_value(value).map_err(|what| (ProblemKind::UnknownUnit, what)),
                None => Err((ProblemKind::UnknownPart, format!("the wiring has no part `{name}`"))),
            };
            if let Err((kind, what)) = outcome {
                let mend = "type a value such as 250k for a pot or resistor, 22n for a capacitor";
                problems.0.extend(problem(kind, &self.wiring.name, Some(name), what, mend).0);
            }
        }
        if problems.0.is_empty() { Ok(wiring) } else { Err(problems) }
    }

    /// The wiring fitted to a guitar and checked; its warnings are in the assembly.
    ///
    /// # Errors
    /// Everything that is wrong with it.
    pub fn assemble(&self, guitar: &Guitar) -> Result<Assembly, Problems> {
        let mut library = Library::default();
        for switch in &self.switches {
            library.insert(DocumentKind::Switch, &switch.name, &switch.name, &switch.text);
        }
        let mut assembly = Assembly::new(&self.read()?, guitar, &library)?;
        let problems = circuit::check(&assembly);
        if problems.any_error() {
            return Err(problems);
        }
        assembly.warnings = problems;
        Ok(assembly)
    }

    /// The wiring with its add-ons, values as documented.
    fn documented(&self) -> Result<Wiring, Problems> {
        let wiring = Wiring::read(&self.wiring.name, &self.wiring.text)?;
        self.add_ons.iter().try_fold(wiring, |wiring, add_on| AddOn::read(&add_on.name, &add_on.text)?.fit(&wiring))
    }
}
