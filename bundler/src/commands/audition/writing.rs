//! Page and settings file on the disk: both complete, or neither there.

use std::fs::File;
use std::io::{self, BufWriter, Write};
use std::path::{Path, PathBuf};

use crate::Failure;
use crate::arguments::Audition;
use crate::audio::{Destination, WriteError};
use crate::audition::order::Order;
use crate::audition::page::{Page, Payload};

/// Where both go.
pub(super) struct Destinations<'a> {
    page: &'a Path,
    settings: PathBuf,
    takes: &'a [PathBuf],
    overwrite: bool,
    /// Whether the settings file is the one that was read; then it stays as it is, with its comments.
    repeats: bool,
}

/// The settings file of a page.
pub(super) fn settings_path(page: &Path) -> PathBuf {
    page.with_extension("toml")
}

/// A folder that takes no more.
pub(super) fn disk(folder: &Path, source: io::Error) -> Failure {
    Failure::Result(WriteError::Unwritable { path: folder.to_owned(), source })
}

impl<'a> Destinations<'a> {
    pub(super) fn new(arguments: &'a Audition, takes: &'a [PathBuf]) -> Self {
        let settings = settings_path(&arguments.output);
        let repeats =
            arguments.order.as_ref().is_some_and(|order| same_file::is_same_file(order, &settings).unwrap_or(false));
        Self { page: &arguments.output, settings, takes, overwrite: arguments.overwrite, repeats }
    }

    pub(super) fn page(&self) -> &Path {
        self.page
    }

    pub(super) fn folder(&self) -> &Path {
        match self.page.parent() {
            Some(folder) if folder != Path::new("") => folder,
            _ => Path::new("."),
        }
    }

    /// Finds out whether both may be written, before any work is done.
    pub(super) fn check(&self) -> Result<(), Failure> {
        let mut failures: Vec<Failure> = Vec::new();
        if self.page == self.settings {
            let what = format!("{} would be page and settings file at once", self.page.display());
            failures.push(Failure::Arguments { what, mend: "let the page's name end in .html".into() });
        }
        failures.extend(self.to(self.page).check().err().map(Failure::from));
        if !self.repeats {
            failures.extend(self.to(&self.settings).check().err().map(Failure::from));
        }
        Failure::all(failures)
    }

    /// Writes both and returns the length of the page.
    pub(super) fn write(&self, order: &Order, page: &Page, mut payload: Payload) -> Result<u64, Failure> {
        let (page_to, settings_to) = (self.to(self.page), self.to(&self.settings));
        let staged = page_to.stage(|file| buffered(file, |to| page.write(&mut payload, to)))?;
        let bytes = staged.bytes;
        if !self.repeats {
            settings_to.write(|file| buffered(file, |to| to.write_all(settings(order, self.folder())?.as_bytes())))?;
        }
        let named = staged.publish();
        if named.is_err() && !self.repeats && !self.overwrite {
            // Ours, and new: without the page nobody wants it.
            let _ = std::fs::remove_file(&self.settings);
        }
        named?;
        Ok(bytes)
    }

    fn to<'b>(&'b self, path: &'b Path) -> Destination<'b> {
        Destination { path, takes: self.takes, overwrite: self.overwrite }
    }
}

fn buffered(file: &mut File, write: impl FnOnce(&mut BufWriter<&mut File>) -> io::Result<()>) -> io::Result<()> {
    let mut to = BufWriter::new(file);
    write(&mut to)?;
    to.flush()
}

fn settings(order: &Order, folder: &Path) -> io::Result<String> {
    let order = toml::to_string_pretty(&order.clone().written_in(folder)).map_err(io::Error::other)?;
    Ok(format!("# What was asked for. Correct it and run: dryfit audition --order THIS-FILE --overwrite\n{order}"))
}
