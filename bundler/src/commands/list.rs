//! `dryfit list`

use std::io::{Write, stdout};

use dryfit_dsp::document::{DocumentKind, Library, Problems};

use crate::Failure;
use crate::arguments::List;

/// Lists the presets by kind, with their titles.
pub fn run(arguments: &List) -> Result<(), Failure> {
    let library = Library::presets();
    let mut out = stdout().lock();
    for kind in DocumentKind::ALL {
        writeln!(out, "{}", kind.folder())?;
        let width = library.names(kind).map(str::len).max().unwrap_or(0);
        for name in library.names(kind) {
            let (title, about) = title(&library, kind, name)?;
            writeln!(out, "  {name:width$}  {title}")?;
            if arguments.about {
                writeln!(out, "  {:width$}  {about}\n", "")?;
            }
        }
    }
    Ok(())
}

fn title(library: &Library, kind: DocumentKind, name: &str) -> Result<(String, String), Problems> {
    Ok(match kind {
        DocumentKind::Guitar => library.guitar(name).map(|guitar| (guitar.title, guitar.about))?,
        DocumentKind::Wiring => library.wiring(name).map(|wiring| (wiring.title, wiring.about))?,
        DocumentKind::AddOn => library.add_on(name).map(|add_on| (add_on.title, add_on.about))?,
        DocumentKind::Switch => library.switch(name).map(|switch| (switch.title, switch.about))?,
        DocumentKind::Sounds => library.sounds(name).map(|sounds| (sounds.title, sounds.about))?,
    })
}
