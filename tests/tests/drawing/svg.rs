//! The SVG is well formed, holds every text escaped, and refers to nothing outside.

use dryfit_dsp::drawing::{DARK, Live, Style, pictorial, to_svg};
use dryfit_tests::circuits::at;
use quick_xml::Reader;
use quick_xml::events::Event;

use super::{drawings, presets};

/// Every text of a well-formed document.
fn texts(svg: &str) -> Vec<String> {
    let mut reader = Reader::from_str(svg);
    let mut texts = Vec::new();
    let mut text = String::new();
    loop {
        match reader.read_event().unwrap_or_else(|error| panic!("{error} in {svg}")) {
            Event::Eof => return texts,
            Event::Text(part) => text += &part.decode().unwrap(),
            Event::GeneralRef(reference) => {
                text += match &*reference.decode().unwrap() {
                    "lt" => "<",
                    "gt" => ">",
                    "amp" => "&",
                    "quot" => "\"",
                    "apos" => "'",
                    other => panic!("unexpected &{other};"),
                };
            }
            Event::End(_) => texts.push(std::mem::take(&mut text)),
            _ => {}
        }
    }
}

#[test]
fn the_svg_of_every_preset_is_well_formed_and_shows_every_text() {
    for (name, assembly) in presets() {
        for drawing in drawings(&assembly) {
            let live = Live::new(&assembly, &at(1));
            for svg in [
                to_svg(&drawing, &Style::default(), None),
                to_svg(&drawing, &Style { palette: &DARK, id: "two" }, Some(&live)),
            ] {
                let found = texts(&svg);
                for text in &drawing.texts {
                    assert!(found.contains(&text.text), "{name}: {} is missing", text.text);
                }
                assert!(found.contains(&drawing.title), "{name}");
                for outside in ["href", "url(", "<script", "<style", "<image", "NaN", "inf"] {
                    assert!(!svg.contains(outside), "{name}: {outside}");
                }
            }
        }
    }
}

#[test]
fn markup_in_a_title_or_a_joint_stays_text() {
    let (_, mut assembly) = presets().swap_remove(0);
    assembly.title = "<script>alert(1)</script> & \"co\"".into();
    assembly.joints[1] = "<b>&".into();
    let drawing = pictorial(&assembly);
    let svg = to_svg(&drawing, &Style::default(), None);
    assert!(!svg.contains("<script") && !svg.contains("<b>"));
    let found = texts(&svg);
    assert!(found.contains(&drawing.title) && found.contains(&"<b>&".to_string()), "{found:?}");
}
