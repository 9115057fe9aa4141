//! What the checks are carried out on.

use std::path::{Path, PathBuf};
use std::process::Command;

use dryfit_tests::binary;

/// What was built.
pub struct Built {
    /// The plug-in (a CLAP), in a build that aborts when `process` allocates.
    pub asserting: PathBuf,
    /// The plug-in without.
    pub plain: PathBuf,
    /// The asserting build as a VST3 bundle.
    pub vst3: PathBuf,
    /// The command line.
    pub dryfit: PathBuf,
}

/// Builds everything. A plug-in's file has one name whatever its features: the asserting build comes first and is put aside. Both
/// share a target folder, and take the whole workspace's features, so that nearly all of it is built only once.
pub fn build() -> Built {
    let target = target();
    let aside = target.join("host-checks");
    let built = target.join("debug");
    let library = format!("{}dryfit_plugin{}", std::env::consts::DLL_PREFIX, std::env::consts::DLL_SUFFIX);
    let asserting = aside.join(&library);
    cargo(&["build", "--locked", "--workspace", "--lib", "--features", "dryfit-plugin/assert-process-allocs"], &target);
    std::fs::create_dir_all(&aside).expect("there is room");
    std::fs::copy(built.join(&library), &asserting).expect("it was built");
    cargo(&["build", "--locked", "--workspace", "--lib"], &target);
    let dryfit = binary::dryfit().to_path_buf();
    Built { vst3: bundle(&asserting, &aside), asserting, plain: built.join(library), dryfit }
}

/// The Python with the hosts in it, else the system's.
pub fn python() -> PathBuf {
    let of_hosts = target().join("hosts-venv/bin/python");
    if of_hosts.exists() { of_hosts } else { "python3".into() }
}

/// The target folder: `host-check` lies in a profile's folder in it.
fn target() -> PathBuf {
    let program = Path::new(env!("CARGO_BIN_EXE_host-check"));
    program.parent().and_then(Path::parent).expect("a program lies in target/debug").to_path_buf()
}

fn cargo(arguments: &[&str], target: &Path) {
    let status = Command::new(env!("CARGO"))
        .args(arguments)
        .arg("--target-dir")
        .arg(target)
        .current_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join(".."))
        .status()
        .expect("cargo runs, since it runs this");
    assert!(status.success(), "cargo {arguments:?} failed");
}

/// A VST3 bundle as the format wants it: a folder with the library in a folder of the platform's name.
fn bundle(library: &Path, folder: &Path) -> PathBuf {
    let bundle = folder.join("Dryfit.vst3");
    let (platform, file) = match std::env::consts::OS {
        "macos" => ("MacOS".to_string(), "Dryfit"),
        "windows" => ("x86_64-win".to_string(), "Dryfit.vst3"),
        _ => (format!("{}-linux", std::env::consts::ARCH), "Dryfit.so"),
    };
    let place = bundle.join("Contents").join(platform);
    std::fs::create_dir_all(&place).expect("there is room");
    std::fs::copy(library, place.join(file)).expect("there is room");
    bundle
}
