//! Presets and files by name.

use std::fs;
use std::path::Path;

use dryfit_dsp::circuit;
use dryfit_dsp::document::{Assembly, DocumentKind, Guitar, Library, PartKind, Problem, ProblemKind, Problems, Wiring};

use crate::Failure;

/// The presets, and files as they are named.
#[derive(Debug, Clone)]
pub struct Documents {
    library: Library,
}

impl Documents {
    /// The presets.
    pub fn new() -> Self {
        Self { library: Library::presets() }
    }

    /// Every document known so far.
    pub fn library(&self) -> &Library {
        &self.library
    }

    /// The guitar of that preset name or path.
    ///
    /// # Errors
    /// When there is none, or everything that is wrong with it.
    pub fn guitar(&mut self, name: &str) -> Result<Guitar, Failure> {
        self.fetch(DocumentKind::Guitar, name)?;
        Ok(self.library.guitar(name)?)
    }

    /// Whether a name is a preset's, rather than a file's.
    pub fn is_preset(&self, name: &str) -> bool {
        !is_path(name)
    }

    /// The wiring `WIRING[+ADD-ON..]`, each a preset name or a path.
    ///
    /// # Errors
    /// When there is none, or everything that is wrong with it.
    pub fn wiring(&mut self, name: &str) -> Result<Wiring, Failure> {
        self.fetch_wiring(name)?;
        Ok(self.library.wiring(name)?)
    }

    /// The wiring fitted to a guitar, checked. Warnings are in the assembly.
    ///
    /// # Errors
    /// Everything that is wrong with it.
    pub fn assembly(&mut self, name: &str, guitar: &Guitar) -> Result<Assembly, Failure> {
        self.fetch_wiring(name)?;
        let assembly = Assembly::read_on(&self.library, name, guitar);
        let mut assembly = assembly.map_err(|problems| at(guitar, problems))?;
        let problems = circuit::check(&assembly);
        if problems.any_error() {
            return Err(problems.into());
        }
        assembly.warnings = problems;
        Ok(assembly)
    }

    /// The first of these wirings that fits the guitar; the first of all when none does, so that its problems show.
    pub fn first_fitting<'a>(&mut self, names: &[&'a str], guitar: &Guitar) -> &'a str {
        let fitting = names.iter().find(|name| self.assembly(name, guitar).is_ok());
        fitting.or(names.first()).expect("a list of defaults is not empty")
    }

    /// Brings a file in under its path as name; presets are there already.
    ///
    /// # Errors
    /// When a path cannot be read as text.
    pub fn fetch(&mut self, kind: DocumentKind, name: &str) -> Result<(), Failure> {
        if is_path(name) && self.library.text(kind, name).is_err() {
            let text = fs::read_to_string(name).map_err(|source| Failure::Document { path: name.into(), source })?;
            self.library.insert(kind, name, name, &text);
        }
        Ok(())
    }

    /// Brings in the files that a wiring consists of.
    fn fetch_wiring(&mut self, name: &str) -> Result<(), Failure> {
        for (i, part) in name.split('+').enumerate() {
            let kind = if i == 0 { DocumentKind::Wiring } else { DocumentKind::AddOn };
            self.fetch(kind, part)?;
        }
        match self.library.wiring_despite_errors(name).0 {
            Some(wiring) => self.fetch_switches(&wiring),
            None => Ok(()),
        }
    }

    /// Switch documents that a wiring names by path are looked for beside the wiring.
    fn fetch_switches(&mut self, wiring: &Wiring) -> Result<(), Failure> {
        for part in &wiring.parts {
            let (PartKind::Selector { switch } | PartKind::Switch { switch, .. }) = &part.kind else { continue };
            let known = self.library.text(DocumentKind::Switch, switch).is_ok();
            if is_path(switch) && !known {
                let path = Path::new(&part.file).parent().unwrap_or(Path::new("")).join(switch);
                let text =
                    fs::read_to_string(&path).map_err(|source| Failure::Document { path: path.clone(), source })?;
                self.library.insert(DocumentKind::Switch, switch, &path.to_string_lossy(), &text);
            }
        }
        Ok(())
    }
}

impl Default for Documents {
    fn default() -> Self {
        Self::new()
    }
}

/// Whether a name is meant as a path: presets have neither slashes nor endings.
pub fn is_path(name: &str) -> bool {
    name.contains(['/', '\\']) || name.ends_with(".toml")
}

/// Where a wiring joins a pickup that the guitar lacks, the guitar may be the wrong one.
fn at(guitar: &Guitar, mut problems: Problems) -> Problems {
    let is_pickup = |problem: &Problem| {
        let lug = problem.lug.as_deref().unwrap_or_default();
        problem.kind == ProblemKind::UnknownPart && (lug.ends_with(".hot") || lug.ends_with(".ground"))
    };
    let names: Vec<&str> = guitar.pickups.iter().map(|pickup| pickup.name.as_str()).collect();
    for problem in problems.0.iter_mut().filter(|problem| is_pickup(problem)) {
        let pickup = problem.lug.as_deref().and_then(|lug| lug.split('.').next()).unwrap_or_default();
        problem.what = format!("the guitar `{}` has no pickup `{pickup}`", guitar.title);
        problem.mend = format!("it has {}: choose a wiring for these, or another --guitar", names.join(", "));
    }
    problems
}
