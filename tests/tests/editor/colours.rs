//! The palette: colours that carry a meaning keep apart for every eye.

use dryfit_plugin::editor::{DARK, LIGHT, Palette};
use dryfit_tests::colours;
use egui::Color32;

/// Contrast of two of the editor's colours.
pub fn contrast(one: Color32, other: Color32) -> f64 {
    colours::contrast(levels(one), levels(other))
}

fn levels(color: Color32) -> [u8; 3] {
    [color.r(), color.g(), color.b()]
}

fn meaningful(palette: &Palette) -> [(&'static str, Color32); 4] {
    [("A", palette.a), ("B", palette.b), ("live", palette.live), ("warning", palette.warning)]
}

/// The measure itself, before it measures anything. Source: WCAG 2.1 (21 to 1 for black and white); CIE L*a*b* of sRGB red,
/// 53.2, 80.1, 67.2, value from memory, good to a unit.
#[test]
fn the_measures_of_colour_are_those_of_their_sources() {
    assert!((contrast(Color32::BLACK, Color32::WHITE) - 21.0).abs() < 0.01);
    let red = colours::lab(colours::linear([255, 0, 0]));
    assert!(red.iter().zip([53.2, 80.1, 67.2]).all(|(is, should)| (is - should).abs() < 1.0), "{red:?}");
}

/// 20 units of CIE 1976 colour difference, some nine times the difference that is just seen (2.3: Mahy, Van Eycken and
/// Oosterlinck 1994), and two to three times what is told apart at a glance on thin lines (common practice, no source).
#[test]
fn a_b_live_and_warning_keep_apart_for_every_eye_in_both_themes() {
    for (theme, palette) in [("light", LIGHT), ("dark", DARK)] {
        for (eye, seen_as) in &colours::EYES {
            let meaningful = meaningful(&palette);
            for (index, (name, one)) in meaningful.iter().enumerate() {
                for (other_name, other) in &meaningful[index + 1..] {
                    let distance = colours::distance(seen_as, levels(*one), levels(*other));
                    assert!(distance >= 20.0, "{theme}, {eye}: {name} and {other_name} are {distance:.1} apart");
                }
            }
        }
    }
}

/// WCAG 2.1, success criterion 1.4.11: 3 to 1 for what is drawn and must be understood.
#[test]
fn every_drawn_line_that_means_something_stands_out_from_its_sheet() {
    for (theme, palette) in [("light", LIGHT), ("dark", DARK)] {
        let lines = [("dry", palette.dry), ("ground", palette.ground), ("idle", palette.faint), ("ink", palette.ink)];
        for (name, color) in meaningful(&palette).into_iter().chain(lines) {
            let contrast = contrast(color, palette.sheet);
            assert!(contrast >= 3.0, "{theme}: {name} has {contrast:.2}");
        }
    }
}
