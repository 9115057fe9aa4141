//! Answers that came back, as a table.

use std::fs::{self, File};
use std::io::{Read, Write, stdout};
use std::path::Path;

use crate::Failure;
use crate::arguments::Audition;
use crate::audition::answers::{Answers, Check, page_id};

/// No answers file is longer, in bytes.
const LONGEST: u64 = 4_000_000;
/// The page's name stands in its first bytes.
const HEAD: u64 = 4096;

/// Reads every file and tabulates those that are whole; says what is wrong with the others.
pub(super) fn run(arguments: &Audition) -> Result<(), Failure> {
    let page = arguments.page.as_deref().map(identified).transpose()?;
    let mut failures = Vec::new();
    let mut out = stdout().lock();
    for path in &arguments.answers {
        match read(path, page.as_deref()) {
            Ok((answers, check)) => tabulate(&mut out, path, &answers, check, page.is_some())?,
            Err(failure) => failures.push(failure),
        }
    }
    Failure::all(failures)
}

fn read(path: &Path, page: Option<&str>) -> Result<(Answers, Check), Failure> {
    let unreadable = |source| Failure::Document { path: path.to_owned(), source };
    let wrong = |what: String| {
        let (what, mend) = what.rsplit_once("; ").map_or((what.as_str(), ""), |(what, mend)| (what, mend));
        Failure::Arguments { what: format!("{}: {what}", path.display()), mend: mend.into() }
    };
    if fs::metadata(path).map_err(unreadable)?.len() > LONGEST {
        return Err(wrong("too long for answers; ask for the file that the page saves".into()));
    }
    let text = fs::read_to_string(path).map_err(unreadable)?;
    let (answers, check) = Answers::read(&text).map_err(|error| wrong(error.to_string()))?;
    if let Some(page) = page {
        answers.belong_to(page).map_err(|error| wrong(error.to_string()))?;
    }
    Ok((answers, check))
}

fn identified(page: &Path) -> Result<String, Failure> {
    let unreadable = |source| Failure::Document { path: page.to_owned(), source };
    let mut head = Vec::new();
    File::open(page).and_then(|file| file.take(HEAD).read_to_end(&mut head)).map_err(unreadable)?;
    page_id(&head).ok_or_else(|| Failure::Arguments {
        what: format!("{}: not an audition page", page.display()),
        mend: "give the page that `dryfit audition` wrote".into(),
    })
}

/// Text from outside, fit for a terminal.
fn clean(text: &str) -> String {
    text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect()
}

fn tabulate(out: &mut impl Write, path: &Path, answers: &Answers, check: Check, compared: bool) -> Result<(), Failure> {
    let name = if answers.name.trim().is_empty() { "somebody" } else { &answers.name };
    writeln!(out, "{}: {} on “{}”, page {}", path.display(), clean(name), clean(&answers.title), answers.page)?;
    writeln!(out, "  {}", believed(check, compared))?;
    for rating in &answers.ratings {
        writeln!(out, "  rated blind, on “{}”:", clean(&rating.take))?;
        let mut sounds: Vec<_> = rating.sounds.iter().collect();
        sounds.sort_by_key(|sound| std::cmp::Reverse(sound.rating));
        for sound in sounds {
            let stars = if sound.rating == 0 { "-".into() } else { sound.rating.to_string() };
            writeln!(out, "    {stars}  {}  {}", clean(&sound.letter), clean(&sound.sound))?;
        }
    }
    for comparison in &answers.comparisons {
        writeln!(out, "  told apart blind, on “{}”:", clean(&comparison.take))?;
        writeln!(out, "    {}\n    {}", clean(&comparison.first), clean(&comparison.second))?;
        let (right, trials) = (comparison.right(), comparison.x.len());
        writeln!(
            out,
            "    {right} of {trials} right; by guessing so many or more: p = {:.4}",
            comparison.probability()
        )?;
    }
    if !answers.comment.trim().is_empty() {
        writeln!(out, "  says: {}", clean(&answers.comment))?;
    }
    Ok(())
}

fn believed(check: Check, compared: bool) -> &'static str {
    match (check, compared) {
        (Check::Whole, true) => "whole, and of the page given; that shows no accident, not who listened",
        (Check::Whole, false) => "whole; not compared with a page (give --page)",
        (Check::Missing, true) => "of the page given; without check sum, because the browser could make none",
        (Check::Missing, false) => "without check sum, because the browser could make none; not compared with a page",
    }
}
