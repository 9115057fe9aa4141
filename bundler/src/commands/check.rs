//! `dryfit check`

use std::io::{Write, stdout};

use dryfit_dsp::document::{DocumentKind, Guitar, Library, Problems};

use crate::Failure;
use crate::arguments::Check;
use crate::documents::{Documents, is_path};

/// Checks documents of any kind and prints everything that is wrong with them.
pub fn run(arguments: &Check) -> Result<(), Failure> {
    let mut documents = Documents::new();
    let guitar = documents.guitar(&arguments.guitar)?;
    let mut out = stdout().lock();
    let mut bad = 0;
    for file in &arguments.files {
        match check(&mut documents, file, &guitar) {
            Ok((kind, warnings)) => {
                if !warnings.0.is_empty() {
                    writeln!(out, "{warnings}")?;
                }
                writeln!(out, "{file}: a {} in order", kind.name())?;
            }
            Err(failure) => {
                bad += 1;
                writeln!(out, "{failure}")?;
            }
        }
    }
    if bad > 0 { Err(Failure::Checked { count: bad, checked: arguments.files.len() }) } else { Ok(()) }
}

fn check(documents: &mut Documents, file: &str, guitar: &Guitar) -> Result<(DocumentKind, Problems), Failure> {
    let kind = kind_of(documents, file)?;
    documents.fetch(kind, file)?;
    let library = documents.library();
    match kind {
        DocumentKind::Guitar => library.guitar(file).map(|_| ())?,
        DocumentKind::AddOn => library.add_on(file).map(|_| ())?,
        DocumentKind::Switch => library.switch(file).map(|_| ())?,
        DocumentKind::Sounds => library.sounds(file).map(|_| ())?,
        DocumentKind::Wiring => return Ok((kind, documents.assembly(file, guitar)?.warnings)),
    }
    Ok((kind, Problems::default()))
}

/// The kind of a file by its keys, or of a preset by its name.
fn kind_of(documents: &Documents, file: &str) -> Result<DocumentKind, Failure> {
    if is_path(file) {
        let text = std::fs::read_to_string(file).map_err(|source| Failure::Document { path: file.into(), source })?;
        return Ok(DocumentKind::guess(&text));
    }
    let holds = |kind: &DocumentKind| documents.library().names(*kind).any(|name| name == file);
    match DocumentKind::ALL.into_iter().find(holds) {
        Some(kind) => Ok(kind),
        None => Err(unknown(documents.library(), file)),
    }
}

fn unknown(library: &Library, name: &str) -> Failure {
    let nearest = DocumentKind::ALL.into_iter().flat_map(|kind| library.names(kind));
    let near = nearest.map(|known| (strsim::normalized_damerau_levenshtein(name, known), known));
    let near = near.filter(|(likeness, _)| *likeness >= 0.5).max_by(|a, b| a.0.total_cmp(&b.0));
    let near = near.map(|(_, known)| format!("; did you mean `{known}`?")).unwrap_or_default();
    let what = format!("there is no preset called `{name}`{near}");
    Failure::Arguments {
        what,
        mend: "`dryfit list` names them; a file is named by a path with a slash or .toml".into(),
    }
}
