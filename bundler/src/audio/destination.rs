//! The place of a result: never the take, never another file unasked.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use super::WriteError;
use crate::interruption::Temporary;

/// Where a result goes, and what it must not harm.
#[derive(Debug, Clone, Copy)]
pub struct Destination<'a> {
    /// The file to be written.
    pub path: &'a Path,
    /// The takes that it was made from. None of them is ever overwritten, under whatever name.
    pub takes: &'a [PathBuf],
    /// Whether another file of this name may be replaced.
    pub overwrite: bool,
}

/// A result that is complete under a name of its own.
pub(crate) struct Staged<'a> {
    to: &'a Destination<'a>,
    temporary: Temporary,
    /// Its length.
    pub(crate) bytes: u64,
}

impl Staged<'_> {
    /// Gives the file its name.
    ///
    /// # Errors
    ///
    /// [`WriteError`]; after any of them nothing has changed.
    pub(crate) fn publish(self) -> Result<(), WriteError> {
        let to = self.to;
        // Asked again, because the work takes time; without `overwrite` the renaming itself refuses an existing file.
        to.allowed()?;
        self.temporary.persist(to.path, to.overwrite).map_err(|source| match source.kind() {
            io::ErrorKind::AlreadyExists => WriteError::Exists { path: to.path.to_owned() },
            _ => to.unwritable(source),
        })
    }
}

impl Destination<'_> {
    /// Finds out whether the destination may be written, before any work is done. [`write()`](super::write()) asks again.
    ///
    /// # Errors
    ///
    /// [`WriteError`]: the take, an existing file, a folder that is not there or refuses.
    pub fn check(&self) -> Result<(), WriteError> {
        self.temporary().map(drop)
    }

    /// Writes the file through `fill`: it is complete and on the disk, or not there.
    ///
    /// # Errors
    ///
    /// [`WriteError`]; after any of them nothing has changed.
    pub(crate) fn write(&self, fill: impl FnOnce(&mut fs::File) -> io::Result<()>) -> Result<(), WriteError> {
        self.stage(fill)?.publish()
    }

    /// Writes the file through `fill` under a name of its own, complete and on the disk. It takes the destination's name when it is
    /// published, and is gone when it is dropped before.
    ///
    /// # Errors
    ///
    /// [`WriteError`]; after any of them nothing has changed.
    pub(crate) fn stage(&self, fill: impl FnOnce(&mut fs::File) -> io::Result<()>) -> Result<Staged<'_>, WriteError> {
        let mut temporary = self.temporary()?;
        let file = temporary.file();
        fill(file).and_then(|()| file.sync_all()).map_err(|source| self.unwritable(source))?;
        let bytes = file.metadata().map_err(|source| self.unwritable(source))?.len();
        Ok(Staged { to: self, temporary, bytes })
    }

    /// An empty temporary file beside the destination; it goes when it is dropped or the command is interrupted.
    fn temporary(&self) -> Result<Temporary, WriteError> {
        self.allowed()?;
        let folder = self.folder();
        if !folder.is_dir() {
            return Err(WriteError::FolderMissing { path: self.path.to_owned(), folder: folder.to_owned() });
        }
        let mut builder = tempfile::Builder::new();
        builder.prefix(".dryfit-").suffix(".part");
        // As any file the player makes; temporary files are otherwise private to him.
        #[cfg(unix)]
        builder.permissions(std::os::unix::fs::PermissionsExt::from_mode(0o666));
        Temporary::create(|| builder.tempfile_in(folder)).map_err(|source| self.unwritable(source))
    }

    /// Whether the player and the file system let the destination be replaced.
    fn allowed(&self) -> Result<(), WriteError> {
        let path = self.path.to_owned();
        if self.path.file_name().is_none() || self.path.is_dir() {
            return Err(WriteError::NotAFile { path, what: "a folder" });
        }
        // The same file under another name: another spelling, a link to it, a hard link.
        if let Some(take) = self.takes.iter().find(|take| same_file::is_same_file(take, self.path).unwrap_or(false)) {
            return Err(WriteError::IsTake { path, take: take.clone() });
        }
        match fs::symlink_metadata(self.path) {
            Ok(_) if !self.overwrite => Err(WriteError::Exists { path }),
            Ok(kind) if !kind.is_file() && !kind.is_symlink() => {
                Err(WriteError::NotAFile { path, what: "a pipe or a device" })
            }
            _ => Ok(()),
        }
    }

    /// The folder that it lies in.
    pub(crate) fn folder(&self) -> &Path {
        match self.path.parent() {
            Some(folder) if folder != Path::new("") => folder,
            _ => Path::new("."),
        }
    }

    fn unwritable(&self, source: io::Error) -> WriteError {
        WriteError::Unwritable { path: self.path.to_owned(), source }
    }
}
