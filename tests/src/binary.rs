//! The command under test. Cargo builds it for tests of its own package only, so it is built here, once per process.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::OnceLock;

/// Path of `dryfit`, built from the sources as they are, with the profile of this test.
///
/// # Panics
/// When it cannot be built.
pub fn dryfit() -> &'static Path {
    static BINARY: OnceLock<PathBuf> = OnceLock::new();
    BINARY.get_or_init(|| {
        // target/PROFILE/deps/TEST
        let test = std::env::current_exe().unwrap();
        let profile = test.ancestors().nth(2).unwrap();
        let mut cargo = Command::new(env!("CARGO"));
        // With the workspace's features, as the tests were: else all that it needs would be built once more.
        cargo.args(["build", "--quiet", "--workspace", "--bin", "dryfit", "--target-dir"]);
        cargo.arg(profile.parent().unwrap()).current_dir(env!("CARGO_MANIFEST_DIR"));
        if profile.ends_with("release") {
            cargo.arg("--release");
        }
        let built = cargo.output().unwrap();
        assert!(built.status.success(), "{}", String::from_utf8_lossy(&built.stderr));
        profile.join("dryfit").with_extension(std::env::consts::EXE_EXTENSION)
    })
}
