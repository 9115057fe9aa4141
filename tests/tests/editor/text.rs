//! No text is cut, none lies on another, and every one can be read on what it stands on.

use std::collections::BTreeSet;

use dryfit_plugin::editor::*;
use egui::epaint::{ClippedShape, Shape, TextShape};
use egui::{Color32, Rect};

use super::colours::contrast;
use super::fixtures::{
    CAPACITORS, SERIES, calibrated, followed, found, impossible, measured, measuring, misfits, misread, mistaken,
    refused, resting, view, with_problems,
};
use super::stage::{stage, stage_at};

/// A text as it is painted.
#[derive(Debug, Clone)]
struct Painted {
    text: String,
    rect: Rect,
    /// Slips laid over a part of it.
    covers: Vec<Rect>,
    clip: Rect,
    elided: bool,
    /// Whether a row ends in the middle of a word.
    broken: bool,
    monospace: bool,
    inks: Vec<Color32>,
    ground: Option<Color32>,
}

/// Texts that are seen, in the order in which they are painted. What a filled rectangle covers is not seen.
fn painted(shapes: &[ClippedShape]) -> Vec<Painted> {
    let mut seen: Vec<Painted> = Vec::new();
    let mut grounds: Vec<(Rect, Color32)> = Vec::new();
    for ClippedShape { clip_rect, shape, .. } in shapes {
        walk(shape, &mut |shape| match shape {
            Shape::Rect(rect) if rect.fill.is_opaque() => {
                let place = rect.rect.intersect(*clip_rect);
                seen.retain(|text| !place.contains_rect(text.rect));
                seen.iter_mut().filter(|text| text.rect.intersects(place)).for_each(|text| text.covers.push(place));
                grounds.push((place, rect.fill));
            }
            Shape::Text(text) if !text.galley.job.text.trim().is_empty() => {
                let painted = read(text, *clip_rect, &grounds);
                if painted.rect.intersects(*clip_rect) {
                    seen.push(painted);
                }
            }
            _ => {}
        });
    }
    seen
}

fn walk(shape: &Shape, visit: &mut impl FnMut(&Shape)) {
    match shape {
        Shape::Vec(shapes) => shapes.iter().for_each(|shape| walk(shape, visit)),
        shape => visit(shape),
    }
}

fn read(text: &TextShape, clip: Rect, grounds: &[(Rect, Color32)]) -> Painted {
    let rect = text.galley.mesh_bounds.translate(text.pos.to_vec2());
    let ink = |color: Color32| if color == Color32::PLACEHOLDER { text.fallback_color } else { color };
    let inks =
        text.galley.job.sections.iter().map(|section| text.override_text_color.unwrap_or(ink(section.format.color)));
    let at = grounds.iter().rev().find(|(place, _)| place.contains(rect.intersect(clip).center()));
    Painted {
        text: text.galley.job.text.clone(),
        rect,
        covers: Vec::new(),
        clip,
        elided: text.galley.elided,
        broken: broken(text),
        monospace: text
            .galley
            .job
            .sections
            .iter()
            .any(|section| section.format.font_id.family == egui::FontFamily::Monospace),
        inks: inks.collect(),
        ground: at.map(|(_, fill)| *fill),
    }
}

fn broken(text: &TextShape) -> bool {
    let rows = text.galley.rows.iter().map(|row| row.text());
    let rows: Vec<String> = rows.collect();
    let joined = |pair: &[String]| {
        let (end, start) = (pair[0].chars().last(), pair[1].chars().next());
        end.is_some_and(char::is_alphanumeric) && start.is_some_and(char::is_alphanumeric)
    };
    !text.galley.job.text.contains('\n') && rows.windows(2).any(joined)
}

/// Every view at every size, twice: at one and at two pixels a point text is laid out on another raster.
fn every_view(mut check: impl FnMut(&str, &[Painted], [f32; 2])) {
    let sizes = [LEAST_SIZE, [1119.0, 700.0], [1120.0, 640.0], OPENS_AT, [1400.0, 900.0], [1600.0, 1000.0]];
    for theme in [Theme::Light, Theme::Dark] {
        for (name, model, memory) in views() {
            for (size, pixels) in sizes.into_iter().flat_map(|size| [(size, 1.0), (size, 2.0)]) {
                let mut harness = stage_at(model.clone(), Memory { theme, ..memory.clone() }, size, pixels);
                harness.run();
                let texts = painted(&harness.output().shapes);
                assert!(texts.len() > 40, "{name}: only {} texts were painted", texts.len());
                check(&format!("{name}, {size:?} at {pixels} pixels a point"), &texts, size);
            }
        }
    }
}

fn views() -> Vec<(&'static str, ViewModel, Memory)> {
    let aside = |aside| Memory { aside: Some(aside), ..Memory::default() };
    let step = |step| Memory { calibration: (step, 0), ..aside(Aside::Calibration) };
    let (capacitors, series) = (view(&CAPACITORS), view(&SERIES));
    let running = ViewModel { blind: Blind::Running { answered: 5, trials: 16 }, listen: Listen::X, ..view(&SERIES) };
    let done = ViewModel { blind: super::fixtures::blind_result(), ..view(&SERIES) };
    vec![
        ("bench A", capacitors.clone(), Memory::default()),
        ("bench B", series.clone(), Memory { front: BenchId::B, ..Memory::default() }),
        ("crowded", super::fixtures::crowded(series.clone()), Memory { difference: true, ..Memory::default() }),
        ("heard", heard(), Memory::default()),
        ("resting", resting(), Memory::default()),
        ("refusals", refused(), Memory::default()),
        ("as recorded", series.clone(), aside(Aside::Recorded)),
        ("measures", measuring(), step(CalibrationStep::Measures)),
        ("recordings", calibrated(), step(CalibrationStep::Recordings)),
        ("found guitar", calibrated(), step(CalibrationStep::Found)),
        ("misfits", misfits(), step(CalibrationStep::Found)),
        ("document", with_problems(), aside(Aside::Document(BenchId::A))),
        ("sounds", series.clone(), aside(Aside::Sounds(BenchId::A))),
        ("faults", measured(), aside(Aside::Faults(BenchId::A))),
        ("misread", misread(), aside(Aside::Faults(BenchId::A))),
        ("find", series.clone(), aside(Aside::Find)),
        ("found", ViewModel { find: found(), ..capacitors.clone() }, aside(Aside::Find)),
        ("impossible", ViewModel { find: impossible(), ..capacitors.clone() }, aside(Aside::Find)),
        ("mistaken", ViewModel { find: mistaken(), ..series.clone() }, aside(Aside::Find)),
        ("blind", running, Memory::default()),
        ("blind, done", done, aside(Aside::Blind)),
        ("keys", capacitors, aside(Aside::Keys)),
    ]
}

/// High frets on every string, in turn sure and not: the longest texts there are.
fn heard() -> ViewModel {
    let mut model = followed();
    let HeardView::Strings(strings) = &mut model.heard else { panic!("notes are followed: {:?}", model.heard) };
    for (place, string) in strings.iter_mut().enumerate() {
        string.note = Some(HeardNote { fret: "17".into(), pitch: "A#4".into(), sure: place % 2 == 0 });
    }
    model
}

/// Lists longer than their place scroll, so a row may be cut at the upper or lower edge of its list; a document's lines may
/// run out of its box. Otherwise every text lies whole in what it is clipped to.
#[test]
fn no_text_is_cut_at_any_size() {
    every_view(|view, texts, size| {
        let screen = Rect::from_min_size(egui::Pos2::ZERO, size.into());
        for text in texts {
            // A glyph's smoothed edge may reach a pixel over.
            let clip = text.clip.expand(1.0);
            let sideways = clip.x_range().contains(text.rect.left()) && clip.x_range().contains(text.rect.right());
            assert!(sideways || text.monospace, "{view}: `{}` is cut sideways", text.text);
            let scrolls = text.clip.height() < screen.height() - 60.0;
            let upright = clip.y_range().contains(text.rect.top()) && clip.y_range().contains(text.rect.bottom());
            assert!(!text.broken, "{view}: a word of `{}` is broken", text.text);
            assert!(upright || scrolls, "{view}: `{}` is cut above or below", text.text);
        }
    });
}

#[test]
fn no_text_lies_on_another_at_any_size() {
    every_view(|view, texts, _| {
        for (index, one) in texts.iter().enumerate() {
            for other in &texts[index + 1..] {
                let common = one.rect.intersect(one.clip).intersect(other.rect.intersect(other.clip));
                // Bounds are of the glyphs with their smoothed edges: they may touch.
                let covered = one.covers.iter().any(|cover| cover.contains_rect(common));
                let apart = covered || common.width() <= 1.0 || common.height() <= 1.0;
                assert!(apart, "{view}: `{}` lies on `{}`", other.text, one.text);
            }
        }
    });
}

/// Elided text is whole in its tooltip, but at the size the editor opens at nothing may need one: save a wiring's title,
/// which can be as long as its author likes, and the labels of six knobs and four switches in one row.
#[test]
fn nothing_is_elided_at_the_size_the_editor_opens_at() {
    for (name, model, memory) in views().into_iter().filter(|(name, ..)| *name != "crowded") {
        let title = model.benches[0].title.clone();
        let mut harness = stage(model, memory, OPENS_AT);
        harness.run();
        let texts = painted(&harness.output().shapes).into_iter();
        let elided: BTreeSet<String> =
            texts.filter(|text| text.elided && !text.text.starts_with(&title)).map(|text| text.text).collect();
        assert!(elided.is_empty(), "{name}: {elided:?}");
    }
}

/// WCAG 2.1, success criterion 1.4.3 (AA): 4.5 to 1, for every text on what it really stands on.
#[test]
fn every_text_meets_the_contrast_of_wcag_aa_on_what_it_stands_on() {
    every_view(|view, texts, _| {
        for text in texts {
            let ground = text.ground.unwrap_or_else(|| panic!("{view}: `{}` stands on nothing", text.text));
            for ink in &text.inks {
                let contrast = contrast(*ink, ground);
                assert!(contrast >= 4.5, "{view}: `{}` has {contrast:.2} in {ink:?} on {ground:?}", text.text);
            }
        }
    });
}
