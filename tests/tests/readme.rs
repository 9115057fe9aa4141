//! The README tells the truth: its commands are the ones that are checked, and its picture is what the solver draws.

use std::fs;
use std::path::{Path, PathBuf};

use dryfit_dsp::circuit::{self, Controls, Loaded, Mna};
use dryfit_dsp::document::{Assembly, Library};
use dryfit_dsp::drawing::{Live, Style, pictorial, to_svg};
use dryfit_dsp::units::amplitude_to_db;
use num_complex::Complex64;
use plotters::prelude::*;

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

#[test]
fn the_test_command_and_the_packages_of_the_readme_are_those_of_ci() {
    let readme = fs::read_to_string(root().join("README.md")).unwrap();
    let ci = fs::read_to_string(root().join(".ci/run")).unwrap();
    let command = "cargo test --workspace";
    assert!(readme.contains(&format!("\n{command}\n")) && ci.contains(&format!("\n{command}\n")));
    let packages = readme.lines().find_map(|line| line.strip_prefix("sudo apt-get install -y ")).unwrap();
    for package in packages.split_whitespace() {
        assert!(ci.contains(package), "CI does not install {package}");
    }
    let installed = ci.split("--no-install-recommends").nth(1).unwrap().split("\n\n").next().unwrap();
    for package in installed.split_whitespace().filter(|word| *word != "\\") {
        assert!(packages.contains(package), "the README does not name {package}");
    }
}

/// Regenerate with `DRYFIT_REGENERATE=1 cargo test -p dryfit-tests --test readme`.
#[test]
fn the_picture_of_the_readme_is_what_the_solver_draws() {
    let path = root().join("tests/reference/pictures/response.svg");
    let drawn = picture();
    if std::env::var_os("DRYFIT_REGENERATE").is_some() {
        fs::write(&path, &drawn).unwrap();
    }
    assert_eq!(fs::read_to_string(&path).unwrap(), drawn, "regenerate {}", path.display());
}

/// Regenerate as above.
#[test]
fn the_drawing_of_the_readme_is_the_one_that_is_made() {
    let path = root().join("tests/reference/pictures/drawing.svg");
    let assembly = dryfit_tests::circuits::assembly("five-way-bridge-only-neck-blend", "three-single-coils");
    let live = Live::new(&assembly, &Controls::default());
    let drawn = to_svg(&pictorial(&assembly), &Style::default(), Some(&live));
    if std::env::var_os("DRYFIT_REGENERATE").is_some() {
        fs::write(&path, &drawn).unwrap();
    }
    assert_eq!(fs::read_to_string(&path).unwrap(), drawn, "regenerate {}", path.display());
}

/// One line of the picture.
struct Line {
    label: &'static str,
    colour: RGBColor,
    points: Vec<(f64, f64)>,
}

fn lines() -> Vec<Line> {
    let line = |label, colour, tone, blend, capacitor| Line { label, colour, points: curve(tone, blend, capacitor) };
    vec![
        line("bridge alone: tone 10, blend 10", RGBColor(27, 94, 160), 10.0, 10.0, "47n"),
        line("neck blended in: tone 10, blend 0", RGBColor(178, 84, 32), 10.0, 0.0, "47n"),
        line("tone 0, 47n", RGBColor(64, 64, 72), 0.0, 10.0, "47n"),
        line("tone 0, 22n", RGBColor(120, 120, 128), 0.0, 10.0, "22n"),
    ]
}

fn curve(tone: f64, blend: f64, capacitor: &str) -> Vec<(f64, f64)> {
    let library = Library::presets();
    let guitar = library.guitar("three-single-coils").unwrap();
    let mut wiring = library.wiring("five-way-bridge-only-neck-blend").unwrap();
    wiring.parts.iter_mut().find(|part| part.name == "tone-cap").unwrap().kind.set_value(capacitor).unwrap();
    let assembly = Assembly::new(&wiring, &guitar, &library).unwrap();
    let mut controls = Controls::default();
    controls.knobs[assembly.controls.knob("tone").unwrap()] = tone;
    controls.knobs[assembly.controls.knob("blend").unwrap()] = blend;
    let lowered = circuit::lower(&assembly, &controls, Loaded::Yes);
    let mna = Mna::new(&lowered.netlist);
    let db = |hertz: f64| {
        let sum: Complex64 = mna.transfer(lowered.jack, hertz).unwrap().into_iter().sum();
        amplitude_to_db(sum.norm())
    };
    (0..=240).map(|i| 20.0 * 1000f64.powf(f64::from(i) / 240.0)).map(|hertz| (hertz, db(hertz))).collect()
}

fn picture() -> String {
    let mut svg = String::new();
    {
        let area = SVGBackend::with_string(&mut svg, (840, 420)).into_drawing_area();
        area.fill(&WHITE).unwrap();
        let mut chart = ChartBuilder::on(&area)
            .margin(16)
            .x_label_area_size(40)
            .y_label_area_size(52)
            .build_cartesian_2d((20f64..20_000f64).log_scale(), -36f64..18f64)
            .unwrap();
        chart
            .configure_mesh()
            .x_desc("Hz")
            .y_desc("dB at the jack, 1 V in each coil")
            .light_line_style(WHITE)
            .x_label_formatter(&|hertz| format!("{hertz:.0}"))
            .draw()
            .unwrap();
        for Line { label, colour, points } in lines() {
            let visible = points.into_iter().filter(|&(_, db)| db > -36.0);
            chart
                .draw_series(LineSeries::new(visible, colour.stroke_width(2)))
                .unwrap()
                .label(label)
                .legend(move |(x, y)| PathElement::new([(x, y), (x + 24, y)], colour.stroke_width(2)));
        }
        chart
            .configure_series_labels()
            .position(SeriesLabelPosition::LowerLeft)
            .background_style(WHITE)
            .border_style(RGBColor(200, 200, 200))
            .draw()
            .unwrap();
        area.present().unwrap();
    }
    svg
}
