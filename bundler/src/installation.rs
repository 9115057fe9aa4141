//! Where plug-ins belong, and putting them there.

use std::ffi::OsString;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

/// A format of plug-in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Format {
    /// VST3.
    Vst3,
    /// CLAP.
    Clap,
}

impl Format {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Vst3, Self::Clap];

    /// Its file name extension.
    pub fn extension(self) -> &'static str {
        match self {
            Self::Vst3 => "vst3",
            Self::Clap => "clap",
        }
    }

    /// The folder in which this user's hosts look for it, on an operating system as `std::env::consts::OS` calls it. None
    /// where the variable that says where the user's files are is not set.
    ///
    /// Sources: the VST 3 documentation, "Plug-in Locations" (user folders); `clap/entry.h` of the CLAP headers.
    pub fn folder(self, system: &str, variable: impl Fn(&str) -> Option<OsString>) -> Option<PathBuf> {
        let of = |name: &str| variable(name).filter(|value| !value.is_empty()).map(PathBuf::from);
        let upper = match self {
            Self::Vst3 => "VST3",
            Self::Clap => "CLAP",
        };
        match system {
            "macos" => Some(of("HOME")?.join("Library/Audio/Plug-Ins").join(upper)),
            "windows" => Some(of("LOCALAPPDATA")?.join("Programs").join("Common").join(upper)),
            _ => Some(of("HOME")?.join(format!(".{}", self.extension()))),
        }
    }
}

/// Puts a bundle (a file or a folder) into a folder, which is made, in place of an older one of that name. The old one stays
/// until the new one is there complete.
///
/// # Errors
/// When files cannot be read or written, or the old one is in use.
pub fn install(bundle: &Path, folder: &Path) -> io::Result<PathBuf> {
    let name = bundle.file_name().ok_or_else(|| io::Error::from(io::ErrorKind::InvalidInput))?;
    fs::create_dir_all(folder)?;
    let beside = tempfile::Builder::new().prefix(".dryfit-").tempdir_in(folder)?;
    let (new, old) = (beside.path().join("new"), beside.path().join("old"));
    copy(bundle, &new)?;
    let place = folder.join(name);
    if place.symlink_metadata().is_ok() {
        fs::rename(&place, &old)?;
    }
    if let Err(error) = fs::rename(&new, &place) {
        // Whatever the reason, the old one is better than none; its own failure tells nothing more.
        let _ = fs::rename(&old, &place);
        return Err(error);
    }
    Ok(place)
}

fn copy(from: &Path, to: &Path) -> io::Result<()> {
    if !from.is_dir() {
        return fs::copy(from, to).map(drop);
    }
    fs::create_dir(to)?;
    for entry in fs::read_dir(from)? {
        let entry = entry?;
        copy(&entry.path(), &to.join(entry.file_name()))?;
    }
    Ok(())
}
