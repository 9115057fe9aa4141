//! Files of wrong documents with what must be said about each line behind it: `#! SEVERITY KIND PLACE ~ WORDS`.

use std::path::Path;

use dryfit_dsp::circuit;
use dryfit_dsp::document::{Assembly, DocumentKind, Library, Problem, Problems, Severity};

/// One problem that a file says it has.
#[derive(Debug)]
struct Expected {
    line: Option<usize>,
    severity: String,
    kind: String,
    place: Option<String>,
    words: String,
}

/// Checks every file of a kind; there must be at least `least`, so that a wrong path is no success.
pub fn check_folder(kind: DocumentKind, least: usize) {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/bad_documents").join(kind.folder());
    let mut paths: Vec<_> = std::fs::read_dir(&folder)
        .expect("the folder of wrong documents is there")
        .map(|entry| entry.expect("its entries can be read").path())
        .collect();
    paths.sort();
    assert!(paths.len() >= least, "{} of at least {least} files in {}", paths.len(), folder.display());
    let mut complaints = Vec::new();
    for path in paths {
        let name = path.file_stem().expect("a file has a name").to_string_lossy().into_owned();
        let text = std::fs::read_to_string(&path).expect("it is UTF-8");
        let problems = problems_of(kind, &name, &text);
        println!("{problems}\n");
        complaints.extend(compare(&expected(&text), &problems.0).into_iter().map(|what| format!("{name}: {what}")));
    }
    assert!(complaints.is_empty(), "\n{}", complaints.join("\n"));
}

/// Everything that is said about a document of that text beside the presets.
pub fn problems_of(kind: DocumentKind, name: &str, text: &str) -> Problems {
    let mut library = Library::presets();
    library.insert(kind, name, &format!("{name}.toml"), text);
    let assemble = |wiring: &str| match Assembly::read(&library, wiring, "three-single-coils") {
        Ok(assembly) => circuit::check(&assembly),
        Err(problems) => problems,
    };
    match kind {
        DocumentKind::Wiring => assemble(name),
        DocumentKind::AddOn => assemble(&format!("five-way-master-tone+{name}")),
        DocumentKind::Guitar => library.guitar(name).err().unwrap_or_default(),
        DocumentKind::Switch => library.switch(name).err().unwrap_or_default(),
        DocumentKind::Sounds => library.sounds(name).err().unwrap_or_default(),
    }
}

fn expected(text: &str) -> Vec<Expected> {
    let mut all = Vec::new();
    for (i, line) in text.lines().enumerate() {
        for note in line.split("#!").skip(1) {
            let (head, words) = note.split_once('~').unwrap_or((note, ""));
            let (line, head) = match head.strip_prefix('0') {
                Some(head) => (None, head),
                None => (Some(i + 1), head),
            };
            let mut head = head.trim().splitn(3, ' ').map(str::to_string);
            let mut next = || head.next().unwrap_or_else(|| panic!("line {}: an incomplete note: {note}", i + 1));
            let (severity, kind, place) = (next(), next(), next());
            let place = (place != "-").then_some(place);
            all.push(Expected { line, severity, kind, place, words: words.trim().to_string() });
        }
    }
    all
}

/// What is missing and what is too much.
fn compare(expected: &[Expected], found: &[Problem]) -> Vec<String> {
    let mut left: Vec<&Problem> = found.iter().collect();
    let mut complaints = Vec::new();
    for wanted in expected {
        match left.iter().position(|problem| wanted.is(problem)) {
            Some(index) => _ = left.remove(index),
            None => complaints.push(format!("not said: {wanted:?}")),
        }
    }
    complaints.extend(left.into_iter().map(|problem| format!("said too much: {:?} {problem}", problem.kind)));
    complaints
}

impl Expected {
    fn is(&self, problem: &Problem) -> bool {
        let severity = if problem.severity == Severity::Error { "error" } else { "warning" };
        let place = problem.lug.as_ref().or(problem.part.as_ref());
        self.line == problem.line
            && self.severity == severity
            && self.kind == format!("{:?}", problem.kind)
            && self.place.as_ref() == place
            && problem.what.contains(&self.words)
            && !problem.mend.is_empty()
    }
}
