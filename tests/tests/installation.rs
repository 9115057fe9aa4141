//! Specification of `dryfit bundle --install`: where plug-ins belong, and putting them there.

use std::ffi::OsString;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use dryfit_bundler::installation::{Format, install};
use serde_json::Value;

fn folder(format: Format, system: &str) -> Option<PathBuf> {
    format.folder(system, |name| match name {
        "HOME" => Some(OsString::from("/home/me")),
        "LOCALAPPDATA" => Some(OsString::from("C:/Users/me/AppData/Local")),
        _ => None,
    })
}

/// The VST 3 documentation, "Plug-in Locations"; `clap/entry.h` of the CLAP headers: the user's folders.
#[test]
fn plug_ins_go_where_the_hosts_of_this_user_look() {
    let expected = [
        ("linux", "/home/me/.vst3", "/home/me/.clap"),
        ("macos", "/home/me/Library/Audio/Plug-Ins/VST3", "/home/me/Library/Audio/Plug-Ins/CLAP"),
        ("windows", "C:/Users/me/AppData/Local/Programs/Common/VST3", "C:/Users/me/AppData/Local/Programs/Common/CLAP"),
    ];
    for (system, vst3, clap) in expected {
        assert_eq!(folder(Format::Vst3, system).as_deref(), Some(Path::new(vst3)));
        assert_eq!(folder(Format::Clap, system).as_deref(), Some(Path::new(clap)));
    }
    assert_eq!(Format::Vst3.folder("linux", |_| None), None);
    assert_eq!(Format::Vst3.folder("linux", |_| Some(OsString::new())), None);
}

/// What README says to type begins with it; a second program among the default members would make cargo ask which one.
#[test]
fn cargo_run_at_the_top_runs_dryfit() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    let metadata = ["metadata", "--no-deps", "--offline", "--format-version", "1"];
    let output = Command::new(env!("CARGO")).args(metadata).current_dir(root).output().unwrap();
    let metadata: Value = serde_json::from_slice(&output.stdout).unwrap();
    let default = metadata["workspace_default_members"].as_array().unwrap();
    let packages = metadata["packages"].as_array().unwrap().iter().filter(|package| default.contains(&package["id"]));
    let targets = packages.flat_map(|package| package["targets"].as_array().unwrap());
    let programs = targets.filter(|target| target["kind"] == serde_json::json!(["bin"]));
    assert_eq!(programs.map(|target| &target["name"]).collect::<Vec<_>>(), ["dryfit"]);
}

#[test]
fn a_new_bundle_takes_the_place_of_the_old_one_and_leaves_nothing_beside_it() {
    let place = tempfile::tempdir().unwrap();
    let bundle = place.path().join("built/it.vst3");
    fs::create_dir_all(bundle.join("Contents/x86_64-linux")).unwrap();
    fs::write(bundle.join("Contents/x86_64-linux/it.so"), "new").unwrap();
    let folder = place.path().join("home/.vst3");
    fs::create_dir_all(folder.join("it.vst3/Contents/old")).unwrap();
    fs::write(folder.join("other.vst3"), "untouched").unwrap();
    let installed = install(&bundle, &folder).unwrap();
    assert_eq!(fs::read_to_string(installed.join("Contents/x86_64-linux/it.so")).unwrap(), "new");
    assert!(!installed.join("Contents/old").exists());
    let mut names: Vec<_> = fs::read_dir(&folder).unwrap().map(|entry| entry.unwrap().file_name()).collect();
    names.sort();
    assert_eq!(names, ["it.vst3", "other.vst3"]);
}

#[test]
fn a_bundle_that_cannot_be_read_leaves_the_old_one() {
    let place = tempfile::tempdir().unwrap();
    let folder = place.path().join(".clap");
    fs::create_dir_all(&folder).unwrap();
    fs::write(folder.join("it.clap"), "old").unwrap();
    assert!(install(&place.path().join("missing/it.clap"), &folder).is_err());
    assert_eq!(fs::read_to_string(folder.join("it.clap")).unwrap(), "old");
}
