//! The palette of nets: every colour stands out from the page, and any two keep apart for every eye.

use dryfit_dsp::drawing::{DARK, LIGHT, Palette, Rgb};
use dryfit_tests::colours::{EYES, contrast, distance};

fn themes() -> [(&'static str, Palette); 2] {
    [("light", LIGHT), ("dark", DARK)]
}

/// WCAG 2.1, success criterion 1.4.11: 3 to 1 for what is drawn; 1.4.3: 4.5 to 1 for texts, and numbers are in their
/// net's colour.
#[test]
fn every_net_and_text_stands_out_from_the_page() {
    for (theme, palette) in themes() {
        for colour in palette.nets.into_iter().chain([palette.ink, palette.faint, palette.ground]) {
            let contrast = contrast(colour, palette.paper);
            assert!(contrast >= 4.5, "{theme}: {colour:02x?} has {contrast:.2}");
        }
        for colour in [palette.ink, palette.faint] {
            assert!(contrast(colour, palette.body) >= 4.5, "{theme}: {colour:02x?} on a part");
        }
        for colour in palette.nets {
            assert!(contrast(colour, palette.glow) >= 3.0, "{theme}: {colour:02x?} when lit");
        }
    }
}

/// 20 units, some nine times the difference that is just seen (2.3: Mahy, Van Eycken and Oosterlinck 1994), as for the
/// editor's colours. Numbers, and dashes where there are more nets than colours, say the same without colour.
#[test]
fn any_two_nets_keep_apart_for_every_eye() {
    for (theme, palette) in themes() {
        let colours: Vec<Rgb> = palette.nets.into_iter().chain([palette.ground]).collect();
        for (eye, matrix) in &EYES {
            for (index, &one) in colours.iter().enumerate() {
                for &other in &colours[index + 1..] {
                    let distance = distance(matrix, one, other);
                    assert!(distance >= 20.0, "{theme}, {eye}: {one:02x?} and {other:02x?} are {distance:.1} apart");
                }
            }
        }
    }
}

/// What is drawn the same must be the same net: the palette's rounds differ by their dashes.
#[test]
fn no_two_nets_of_a_large_wiring_are_drawn_alike() {
    let inks: Vec<_> = (0..=64).map(|joint| LIGHT.ink(joint)).collect();
    for (index, one) in inks.iter().enumerate() {
        assert!(!inks[index + 1..].contains(one), "joint {index}");
    }
}
