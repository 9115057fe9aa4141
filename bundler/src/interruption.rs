//! What must not stay behind when a command is interrupted: temporary files, and folders that hold nothing yet.
//!
//! Destructors do not run then, so whatever is unfinished is entered in a list, and the handler of the interruption empties
//! it. The handler keeps the list locked until the process has ended: nothing new is begun meanwhile.

use std::fs::{self, File};
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};

use tempfile::NamedTempFile;

static UNFINISHED: Mutex<Unfinished> = Mutex::new(Unfinished { files: Vec::new(), folders: Vec::new() });

/// What a shell reports for a process that was interrupted: 128 + SIGINT (POSIX leaves it to the shell; common practice).
const EXIT_CODE: i32 = 130;

struct Unfinished {
    files: Vec<PathBuf>,
    /// Deeper ones first.
    folders: Vec<PathBuf>,
}

/// From now on an interruption (Ctrl-C, a request to terminate) removes what is unfinished and ends the process.
///
/// Where the system does not allow that, an interruption does what it always did.
pub fn install() {
    let _ = ctrlc::set_handler(|| {
        let unfinished = unfinished();
        for file in &unfinished.files {
            let _ = fs::remove_file(file);
        }
        for folder in &unfinished.folders {
            // Refused for a folder that holds a finished result: it stays, as it should.
            let _ = fs::remove_dir(folder);
        }
        let _ = writeln!(io::stderr(), "interrupted; what was finished is there, nothing else is");
        std::process::exit(EXIT_CODE);
    });
}

fn unfinished() -> MutexGuard<'static, Unfinished> {
    UNFINISHED.lock().unwrap_or_else(PoisonError::into_inner)
}

/// A temporary file that goes when it is dropped, and when the command is interrupted.
#[derive(Debug)]
pub(crate) struct Temporary(Option<NamedTempFile>);

impl Temporary {
    pub(crate) fn create(create: impl FnOnce() -> io::Result<NamedTempFile>) -> io::Result<Self> {
        let mut unfinished = unfinished();
        let file = create()?;
        unfinished.files.push(file.path().to_owned());
        Ok(Self(Some(file)))
    }

    pub(crate) fn file(&mut self) -> &mut File {
        self.0.as_mut().expect("it is taken only when this value goes").as_file_mut()
    }

    /// Gives the file its name; without `overwrite` only when nothing has that name.
    pub(crate) fn persist(mut self, path: &Path, overwrite: bool) -> io::Result<()> {
        self.finish(|file| if overwrite { file.persist(path) } else { file.persist_noclobber(path) }.map(drop))
            .map_err(|error| error.error)
    }

    /// Takes the file off the list once `finish` has dealt with it.
    fn finish<E>(&mut self, finish: impl FnOnce(NamedTempFile) -> Result<(), E>) -> Result<(), E> {
        let Some(file) = self.0.take() else { return Ok(()) };
        let mut unfinished = unfinished();
        let temporary = file.path().to_owned();
        let outcome = finish(file);
        unfinished.files.retain(|file| *file != temporary);
        outcome
    }
}

impl Drop for Temporary {
    fn drop(&mut self) {
        let _: Result<(), ()> = self.finish(|file| {
            drop(file);
            Ok(())
        });
    }
}

/// Folders that were made for results. Those that are still empty go when this is dropped, and when the command is interrupted.
#[derive(Debug)]
pub(crate) struct NewFolders(Vec<PathBuf>);

impl NewFolders {
    /// Makes a folder and those above it, as far as they are missing.
    pub(crate) fn create(folder: &Path) -> io::Result<Self> {
        let missing = folder.ancestors().take_while(|folder| *folder != Path::new("") && !folder.exists());
        let missing: Vec<PathBuf> = missing.map(Path::to_owned).collect();
        let mut unfinished = unfinished();
        let made = fs::create_dir_all(folder);
        unfinished.folders.extend(missing.iter().cloned());
        drop(unfinished);
        let folders = Self(missing);
        made.map(|()| folders)
    }
}

impl Drop for NewFolders {
    fn drop(&mut self) {
        let mut unfinished = unfinished();
        for folder in &self.0 {
            // Refused for a folder that holds a result.
            let _ = fs::remove_dir(folder);
            unfinished.folders.retain(|other| other != folder);
        }
    }
}
