//! Reads the sources of the workspace for what the map forbids.

use std::fmt::Write;
use std::path::{Path, PathBuf};

/// One source file.
pub struct Source {
    /// Its path from the repository's root, with `/`.
    pub name: String,
    pub text: String,
}

/// What was found, each with its place.
#[derive(Default)]
pub struct Breaches(String);

impl Source {
    /// The module of `dsp` that it belongs to: its folder, or its own name.
    pub fn module(&self) -> Option<&str> {
        let inside = self.name.strip_prefix("dsp/src/")?;
        let first = inside.split('/').next()?.trim_end_matches(".rs");
        (first != "lib").then_some(first)
    }

    /// Whether it is the synthesiser of ground-truth takes, a file or a folder.
    pub fn is_synthesis(&self) -> bool {
        self.name.starts_with("dsp/src/string/synthesis")
    }

    /// All of it without comments, on the same lines.
    pub fn without_comments(&self) -> String {
        self.code().map(|(_, line)| format!("{line}\n")).collect()
    }

    /// Its lines, numbered from 1, without comments.
    pub fn code(&self) -> impl Iterator<Item = (usize, &str)> {
        let mut inside = false;
        self.text.lines().enumerate().map(move |(i, line)| {
            let line = match (inside, line.split_once("*/")) {
                (true, None) => "",
                (true, Some((_, behind))) => {
                    inside = false;
                    behind
                }
                (false, _) => line,
            };
            let code = line.split("//").next().unwrap_or_default();
            match code.split_once("/*") {
                Some((before, _)) => {
                    inside = !code.contains("*/");
                    (i + 1, before)
                }
                None => (i + 1, code),
            }
        })
    }
}

impl Breaches {
    pub fn add(&mut self, source: &Source, line: usize, rule: &str) {
        writeln!(self.0, "{}:{line}: {rule}", source.name).expect("a text takes any text");
    }

    pub fn none(self) {
        assert!(self.0.is_empty(), "\n{}", self.0);
    }
}

pub fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().expect("the package lies in the workspace").to_path_buf()
}

/// Every Rust file under a folder of the repository.
pub fn sources(folder: &str) -> Vec<Source> {
    let rust = |path: &PathBuf| path.extension().is_some_and(|extension| extension == "rs");
    let read = |path: PathBuf| {
        let name = path.strip_prefix(root()).expect("it lies under the root").to_string_lossy().replace('\\', "/");
        Source { name, text: std::fs::read_to_string(&path).expect("a source is UTF-8") }
    };
    files_under(&root().join(folder)).into_iter().filter(rust).map(read).collect()
}

pub fn files_under(folder: &Path) -> Vec<PathBuf> {
    let mut paths: Vec<PathBuf> = std::fs::read_dir(folder)
        .expect("the folder is there")
        .map(|entry| entry.expect("its entries can be read").path())
        .collect();
    paths.sort();
    paths.into_iter().flat_map(|path| if path.is_dir() { files_under(&path) } else { vec![path] }).collect()
}

/// Modules of `dsp` that a file's code names behind `crate::` or enough `super::`, also inside braces, each with the
/// line of the path.
pub fn modules_named_in(file: &str, code: &str) -> Vec<(usize, String)> {
    let inside = file.strip_prefix("dsp/src/").unwrap_or(file);
    let levels = inside.split('/').count() - usize::from(inside.ends_with("/mod.rs"));
    let from_root = "super::".repeat(levels);
    let mut modules = Vec::new();
    for start in ["crate::", from_root.as_str()] {
        for (at, _) in code.match_indices(start) {
            let line = code[..at].matches('\n').count() + 1;
            let behind = &code[at + start.len()..];
            match behind.strip_prefix('{') {
                Some(list) => modules.extend(outer_items(list).map(|item| (line, first_word(item)))),
                None => modules.push((line, first_word(behind))),
            }
        }
    }
    modules.retain(|(_, module)| !module.is_empty() && module != "super");
    modules
}

fn first_word(text: &str) -> String {
    text.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect()
}

/// Items of a list in braces, up to the brace that closes it, without what lies in further braces.
fn outer_items(list: &str) -> impl Iterator<Item = &str> {
    let mut depth = 0;
    let mut start = 0;
    let mut items = Vec::new();
    for (i, character) in list.char_indices() {
        match character {
            '{' => depth += 1,
            '}' if depth == 0 => {
                items.push(&list[start..i]);
                return items.into_iter().map(str::trim);
            }
            '}' => depth -= 1,
            ',' if depth == 0 => {
                items.push(&list[start..i]);
                start = i + 1;
            }
            _ => {}
        }
    }
    items.push(&list[start..]);
    items.into_iter().map(str::trim)
}

/// Whether a line holds a path or macro as a whole, also as `std::{fs, ..}`.
pub fn holds_path(line: &str, path: &str) -> bool {
    let whole = line.match_indices(path).any(|(at, _)| {
        let before = line[..at].chars().next_back().is_none_or(|c| !c.is_alphanumeric() && c != '_');
        let after = line[at + path.len()..].chars().next().is_none_or(|c| !c.is_alphanumeric() && c != '_');
        before && (after || path.ends_with('!'))
    });
    let grouped = path.split_once("::").is_some_and(|(head, tail)| {
        line.split_once(&format!("{head}::{{")).is_some_and(|(_, list)| {
            outer_items(list).any(|item| item == tail || item.starts_with(&format!("{tail}::")))
        })
    });
    whole || grouped
}

/// Every word of a line that could be an identifier.
pub fn identifiers(line: &str) -> impl Iterator<Item = &str> {
    line.split(|c: char| !c.is_alphanumeric() && c != '_').filter(|word| !word.is_empty())
}
