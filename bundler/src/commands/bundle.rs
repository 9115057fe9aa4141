//! `dryfit bundle`

use std::io::{Write, stdout};
use std::path::{Path, PathBuf};

use crate::Failure;
use crate::arguments::Bundle;
use crate::installation::{Format, install};

/// The package that is bundled, which is also what its bundles are called.
const PACKAGE: &str = "dryfit-plugin";

/// Builds the plug-in in both formats, from its source, and installs it for this user if wanted.
pub fn run(arguments: &Bundle) -> Result<(), Failure> {
    let root = source()?;
    // Builds where it is started: the framework's bundler takes the outermost folder with a Cargo.toml from here.
    std::env::set_current_dir(&root)?;
    let order = ["bundle", PACKAGE, "--release", "--locked"].map(String::from);
    nice_plug_xtask::main_with_args("dryfit", order).map_err(|error| Failure::Bundle {
        what: format!("the plug-in was not built: {error:#}"),
        mend: "look at what cargo said above".into(),
    })?;
    let target = std::env::var_os("CARGO_TARGET_DIR").map_or_else(|| root.join("target"), PathBuf::from);
    let mut out = stdout().lock();
    for format in Format::ALL {
        let bundle = target.join("bundled").join(PACKAGE).with_extension(format.extension());
        if arguments.install {
            writeln!(out, "installed {}", installed(format, &bundle)?.display())?;
        } else {
            writeln!(out, "built {}", bundle.display())?;
        }
    }
    Ok(())
}

fn installed(format: Format, bundle: &Path) -> Result<PathBuf, Failure> {
    let folder = format.folder(std::env::consts::OS, |name| std::env::var_os(name)).ok_or_else(|| Failure::Bundle {
        what: "it is not known where your files are".into(),
        mend: "set HOME (on Windows LOCALAPPDATA)".into(),
    })?;
    install(bundle, &folder).map_err(|error| Failure::Bundle {
        what: format!("{} cannot be put into {}: {error}", bundle.display(), folder.display()),
        mend: "close programs that have Dryfit open, and see that the folder is yours to write".into(),
    })
}

/// The folder of Dryfit's source: the working folder or one above it; else, when `cargo run` started this, cargo's.
fn source() -> Result<PathBuf, Failure> {
    let here = std::env::current_dir()?;
    let of_cargo = std::env::var_os("CARGO_MANIFEST_DIR").map(PathBuf::from);
    let is_source =
        |folder: &&Path| folder.join("plugin/Cargo.toml").exists() && folder.join("dsp/Cargo.toml").exists();
    let starts = [Some(here), of_cargo];
    let found = starts.iter().flatten().find_map(|start| start.ancestors().find(is_source));
    found.map(Path::to_path_buf).ok_or_else(|| Failure::Bundle {
        what: "the plug-in is built from Dryfit's source, and this is not its folder".into(),
        mend: "change to the folder that holds Dryfit's Cargo.toml".into(),
    })
}
