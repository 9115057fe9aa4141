//! Which take through which option into which file.

use std::path::{MAIN_SEPARATOR, Path, PathBuf};

use super::plan::RenderOption;
use crate::Failure;
use crate::arguments::Render;
use crate::audio::{Destination, Take};
use crate::interruption::NewFolders;

/// A take with what its results are called after.
pub(super) struct NamedTake {
    pub(super) name: String,
    pub(super) take: Take,
}

/// One result to make.
pub(super) struct Order<'a> {
    /// Which of the takes.
    pub(super) place: usize,
    pub(super) take: &'a NamedTake,
    pub(super) option: &'a RenderOption,
    pub(super) path: PathBuf,
}

/// All results to make.
pub(super) struct Orders<'a> {
    pub(super) list: Vec<Order<'a>>,
    /// What was made for them goes again when nothing came of it.
    _folders: Option<NewFolders>,
}

/// Endings that promise another format than the one that is written.
const OTHER_FORMATS: [&str; 8] = ["aif", "aiff", "aifc", "flac", "m4a", "mp3", "ogg", "opus"];

impl<'a> Orders<'a> {
    /// Names every result; `failures` gets every one that cannot be written.
    pub(super) fn new(
        arguments: &Render,
        takes: &'a [NamedTake],
        options: &'a [RenderOption],
        failures: &mut Vec<Failure>,
    ) -> Self {
        let several = takes.len() > 1 || arguments.options.len() > 1 || arguments.each_position;
        let in_folder = several || is_folder(&arguments.output);
        let folders = match in_folder {
            true => folders(&arguments.output).map_err(|failure| failures.push(failure)).ok(),
            false => None,
        };
        let mut orders = Self { list: Vec::new(), _folders: folders };
        failures.extend(misnamed(&arguments.output, in_folder));
        if in_folder && orders._folders.is_none() {
            return orders;
        }
        let takes = takes.iter().enumerate();
        for ((place, take), option) in takes.flat_map(|take| options.iter().map(move |option| (take, option))) {
            let file = format!("{}-{}.wav", take.name, option.suffix);
            let path = if in_folder { arguments.output.join(file) } else { arguments.output.clone() };
            match orders.place(arguments, &path) {
                Ok(()) => orders.list.push(Order { place, take, option, path }),
                Err(failure) => failures.push(failure),
            }
        }
        orders
    }

    fn place(&self, arguments: &Render, path: &Path) -> Result<(), Failure> {
        if self.list.iter().any(|order| order.path == path) {
            let what = format!("two results would be called {}", path.display());
            return Err(Failure::Arguments { what, mend: "render takes or options of one name one by one".into() });
        }
        Ok(destination(arguments, path).check()?)
    }
}

/// Where a result goes, and what it must not harm.
pub(super) fn destination<'a>(arguments: &'a Render, path: &'a Path) -> Destination<'a> {
    Destination { path, takes: &arguments.takes, overwrite: arguments.overwrite }
}

/// Whether the output is a folder or is written like one.
fn is_folder(output: &Path) -> bool {
    output.is_dir() || output.to_string_lossy().ends_with(['/', MAIN_SEPARATOR])
}

fn folders(output: &Path) -> Result<NewFolders, Failure> {
    let is_file = |ending: &str| ending == "wav" || OTHER_FORMATS.contains(&ending);
    let named_like_file = !output.is_dir() && ending(output).is_some_and(|ending| is_file(&ending));
    if named_like_file {
        let what = format!("several results need a folder, and {} is named like a file", output.display());
        return Err(Failure::Arguments { what, mend: "give -o the name of a folder".into() });
    }
    NewFolders::create(output).map_err(|source| Failure::Arguments {
        what: format!("the results need a folder, and {} cannot be one ({source})", output.display()),
        mend: "give -o the name of a folder".into(),
    })
}

fn misnamed(output: &Path, in_folder: bool) -> Option<Failure> {
    let ending = ending(output).filter(|ending| !in_folder && OTHER_FORMATS.contains(&ending.as_str()))?;
    let what = format!("{}: results are WAV files, not {}", output.display(), ending.to_uppercase());
    let mend = format!("name it {}", output.with_extension("wav").display());
    Some(Failure::Arguments { what, mend })
}

fn ending(path: &Path) -> Option<String> {
    path.extension().map(|ending| ending.to_string_lossy().to_lowercase())
}
