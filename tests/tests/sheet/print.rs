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

/// A4 is 595 by 842 points (ISO 216), Letter 612 by 792 (ANSI/ASME Y14.1).
#[test]
fn the_sheet_prints_on_a4_and_letter_with_the_drawings_across() {
    let Some(browser) = browser() else { return };
    let html = page(&assembly("five-way-bridge-only-neck-blend", "three-single-coils"), "What it is for.");
    for (paper, width, height) in [("A4", 595.0, 842.0), ("Letter", 612.0, 792.0)] {
        let folder = tempfile::tempdir().unwrap();
        // The paper is the printer's choice; a rule of the same kind stands for it. The policy knows the sheet's own
        // style only, so it goes.
        let start = html.find("<meta http-equiv").unwrap();
        let end = start + html[start..].find('>').unwrap() + 1;
        let sized = format!(
            "{}<style>@page {{ size: {paper} }} @page across {{ size: {paper} landscape }}</style></head>",
            html[..start].to_string() + html[end..].split("</head>").next().unwrap()
        );
        let sized = sized + html.split("</head>").nth(1).unwrap();
        let pages = pages(&print(browser, folder.path(), &sized));
        let near = |a: f64, b: f64| (a - b).abs() < 2.0;
        let upright = pages.iter().filter(|(w, h)| near(*w, width) && near(*h, height)).count();
        let across = pages.iter().filter(|(w, h)| near(*w, height) && near(*h, width)).count();
        assert_eq!(across, 2, "{paper}: {pages:?}");
        assert!((2..=6).contains(&upright) && upright + across == pages.len(), "{paper}: {pages:?}");
    }
}
