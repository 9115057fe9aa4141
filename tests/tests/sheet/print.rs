//! The page in a browser: it lays out without a complaint and prints on A4 and Letter.

use std::path::{Path, PathBuf};
use std::process::Command;

use dryfit_tests::circuits::assembly;

use super::html::page;

/// The browser, where there is one. In CI it has to be there.
fn browser() -> Option<&'static str> {
    let names = ["chromium", "chromium-browser", "google-chrome"];
    let runs = |name: &&str| Command::new(name).arg("--version").output().is_ok_and(|output| output.status.success());
    let found = names.into_iter().find(|name| runs(name));
    assert!(found.is_some() || std::env::var_os("CI").is_none(), "CI has to have chromium");
    found
}

fn print(browser: &str, folder: &Path, html: &str) -> PathBuf {
    let (source, pdf) = (folder.join("sheet.html"), folder.join("sheet.pdf"));
    std::fs::write(&source, html).unwrap();
    let output = Command::new(browser)
        .args(["--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run"])
        .args([
            "--disable-background-networking",
            "--disable-component-update",
            "--disable-sync",
            "--no-pdf-header-footer",
        ])
        .arg(format!("--user-data-dir={}", folder.join("profile").display()))
        .arg(format!("--print-to-pdf={}", pdf.display()))
        .arg(format!("file://{}", source.display()))
        .output()
        .unwrap();
    assert!(output.status.success() && pdf.exists(), "{}", String::from_utf8_lossy(&output.stderr));
    pdf
}

/// Widths and heights of the pages in points, as `pdfinfo` of poppler tells them.
fn pages(pdf: &Path) -> Vec<(f64, f64)> {
    let output =
        Command::new("pdfinfo").args(["-f", "1", "-l", "99"]).arg(pdf).output().expect("poppler-utils is there");
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    let sizes = text.lines().filter_map(|line| line.split("size:").nth(1).filter(|_| line.starts_with("Page ")));
    let size = |text: &str| {
        let mut numbers = text.split_whitespace().filter_map(|word| word.parse::<f64>().ok());
        Some((numbers.next()?, numbers.next()?))
    };
    sizes.filter_map(size).collect()
}

/// A page as it is printed: the words on it with where they lie, in points from its upper left corner.
struct Printed {
    width: f64,
    height: f64,
    words: Vec<Word>,
}

struct Word {
    text: String,
    left: f64,
    right: f64,
    top: f64,
    bottom: f64,
}

/// The pages, as `pdftotext` of poppler tells them.
fn printed(pdf: &Path) -> Vec<Printed> {
    let output = Command::new("pdftotext").arg("-bbox").arg(pdf).arg("-").output().expect("poppler-utils is there");
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    let value = |line: &str, name: &str| -> f64 {
        let after = line.split(&format!("{name}=\"")).nth(1).expect(name);
        after.split('"').next().unwrap().parse().unwrap()
    };
    let mut pages: Vec<Printed> = Vec::new();
    for line in text.lines().map(str::trim) {
        if line.starts_with("<page ") {
            pages.push(Printed { width: value(line, "width"), height: value(line, "height"), words: Vec::new() });
        } else if line.starts_with("<word ") {
            let [left, right, top, bottom] = ["xMin", "xMax", "yMin", "yMax"].map(|name| value(line, name));
            let text = line.split('>').nth(1).unwrap().split('<').next().unwrap().to_string();
            pages.last_mut().unwrap().words.push(Word { text, left, right, top, bottom });
        }
    }
    pages
}

/// A sheet on a paper. That is the printer's choice; a rule of the same kind stands for it. The policy knows the sheet's own style
/// only, so it goes.
fn on_paper(html: &str, paper: &str) -> String {
    let start = html.find("<meta http-equiv").unwrap();
    let end = start + html[start..].find('>').unwrap() + 1;
    let style = format!("<style>@page {{ size: {paper} }} @page across {{ size: {paper} landscape }}</style></head>");
    (html[..start].to_string() + &html[end..]).replacen("</head>", &style, 1)
}

/// A4 is 595 by 842 points (ISO 216), Letter 612 by 792 (ANSI/ASME Y14.1).
const PAPERS: [(&str, f64, f64); 2] = [("A4", 595.0, 842.0), ("Letter", 612.0, 792.0)];

/// A simple wiring, one with a push-pull, one with a blend: both drawings and each setting's survey lie across.
const SHEETS: [(&str, usize); 3] =
    [("five-way-master-tone", 3), ("five-way-outer-pair-series", 4), ("five-way-bridge-only-neck-blend", 3)];

#[test]
fn the_sheet_prints_on_a4_and_letter_with_the_drawings_and_the_survey_across() {
    let Some(browser) = browser() else { return };
    for (wiring, wide) in SHEETS {
        let html = page(&assembly(wiring, "three-single-coils"), "What it is for.");
        for (paper, width, height) in PAPERS {
            let folder = tempfile::tempdir().unwrap();
            let pdf = print(browser, folder.path(), &on_paper(&html, paper));
            let pages = pages(&pdf);
            let near = |a: f64, b: f64| (a - b).abs() < 2.0;
            let upright = pages.iter().filter(|(w, h)| near(*w, width) && near(*h, height)).count();
            let across = pages.iter().filter(|(w, h)| near(*w, height) && near(*h, width)).count();
            assert_eq!(across, wide, "{wiring} on {paper}: {pages:?}");
            assert!((2..=6).contains(&upright) && upright + across == pages.len(), "{wiring} on {paper}: {pages:?}");
            let printed = printed(&pdf);
            assert_eq!(printed.len(), pages.len());
            for (number, page) in printed.iter().enumerate() {
                nothing_is_cut(page, &format!("{wiring} on {paper}, page {}", number + 1));
                no_heading_is_left_alone(page, &format!("{wiring} on {paper}, page {}", number + 1));
            }
        }
    }
}

/// Printers leave some 5 mm (14 points) of an edge free (common practice, no source); every word lies within.
fn nothing_is_cut(page: &Printed, place: &str) {
    assert!(!page.words.is_empty(), "{place} is empty");
    for word in &page.words {
        let inside = word.left >= 14.0
            && word.right <= page.width - 14.0
            && word.top >= 14.0
            && word.bottom <= page.height - 14.0;
        assert!(inside, "{place}: `{}` at {} to {}", word.text, word.left, word.right);
    }
}

/// The first words of the headings. Under each there are at least two lines more on its page.
fn no_heading_is_left_alone(page: &Printed, place: &str) {
    let headings = ["What", "Parts", "Drawing:", "Wires,", "Schematic", "Meter", "Tap", "When", "Survey:", "With"];
    let largest = |word: &&Word| word.bottom - word.top > 11.0;
    for heading in page.words.iter().filter(|word| headings.contains(&word.text.as_str())).filter(largest) {
        let mut below: Vec<i64> =
            page.words.iter().map(|word| word.top as i64).filter(|&top| top > heading.bottom as i64).collect();
        below.sort_unstable();
        below.dedup();
        assert!(below.len() >= 2, "{place}: `{}` is left alone", heading.text);
    }
}
