//! The page as a document.

use dryfit_bundler::sheet;
use dryfit_bundler::survey::Survey;
use dryfit_dsp::circuit::Controls;
use dryfit_dsp::document::{Assembly, DocumentKind, Library};
use dryfit_dsp::drawing::pictorial;
use dryfit_dsp::survey::Tolerances;
use dryfit_tests::circuits::assembly;
use html5ever::tendril::TendrilSink;
use html5ever::{ParseOpts, parse_document};
use markup5ever_rcdom::{Handle, NodeData, RcDom};

pub fn page(assembly: &Assembly, about: &str) -> String {
    page_of(&surveyed(assembly), about)
}

pub fn page_of(survey: &Survey, about: &str) -> String {
    sheet::page(about, &pictorial(&survey.assembly), survey, None)
}

/// As the command does it, but with a few built guitars instead of many.
pub fn surveyed(assembly: &Assembly) -> Survey {
    Survey::new(assembly, &Controls::default(), [true; Controls::SWITCHES], Tolerances { trials: 3, seed: 1 }).unwrap()
}

fn guitar(wiring: &str) -> &'static str {
    if wiring.starts_with("two-pickups") { "two-single-coils" } else { "three-single-coils" }
}

/// The tree of a page that the HTML parser has no complaint about (source: the parse errors of the WHATWG HTML standard,
/// as html5ever reports them).
pub fn parsed(html: &str) -> RcDom {
    let options = ParseOpts::default();
    let dom = parse_document(RcDom::default(), options).one(html);
    assert!(dom.errors.borrow().is_empty(), "{:?}", dom.errors.borrow());
    dom
}

fn walk(node: &Handle, visit: &mut dyn FnMut(&Handle)) {
    visit(node);
    for child in node.children.borrow().iter() {
        walk(child, visit);
    }
}

pub fn text(node: &Handle) -> String {
    let mut text = String::new();
    walk(node, &mut |node| {
        if let NodeData::Text { contents } = &node.data {
            text += &contents.borrow();
        }
    });
    text
}

/// Every table as rows of texts, the heads first.
pub fn tables_in(dom: &RcDom) -> Vec<Vec<Vec<String>>> {
    let named = |node: &Handle, wanted: &[&str]| match &node.data {
        NodeData::Element { name, .. } => wanted.contains(&&*name.local),
        _ => false,
    };
    let below = |node: &Handle, wanted: &[&str]| {
        let mut found = Vec::new();
        walk(node, &mut |node| {
            if named(node, wanted) {
                found.push(node.clone());
            }
        });
        found
    };
    let cells = |row: &Handle| below(row, &["th", "td"]).iter().map(|cell| text(cell).trim().to_string()).collect();
    let rows = |table: &Handle| below(table, &["tr"]).iter().map(cells).collect();
    below(&dom.document, &["table"]).iter().map(rows).collect()
}

/// Name and attributes of every element.
fn elements(dom: &RcDom) -> Vec<(String, Vec<(String, String)>)> {
    let mut elements = Vec::new();
    walk(&dom.document, &mut |node| {
        if let NodeData::Element { name, attrs, .. } = &node.data {
            let attributes = attrs.borrow().iter().map(|a| (a.name.local.to_string(), a.value.to_string())).collect();
            elements.push((name.local.to_string(), attributes));
        }
    });
    elements
}

#[test]
fn the_sheet_of_every_preset_is_valid_and_says_everything() {
    for name in Library::presets().names(DocumentKind::Wiring) {
        let assembly = assembly(name, guitar(name));
        let dom = parsed(&page(&assembly, "What it is for."));
        let text = text(&dom.document);
        for part in &assembly.parts {
            assert!(text.contains(&part.name), "{name}: {}", part.name);
        }
        for word in [
            "Unplug",
            "hot iron",
            "fumes",
            "clipped leads",
            "mains-powered amplifier",
            "must stay",
            "licensed technician",
        ] {
            assert!(text.contains(word), "{name}: no word of {word}");
        }
        for position in 1..=assembly.controls.positions {
            let words = if assembly.controls.positions == 1 { "always".into() } else { format!("position {position}") };
            assert!(text.contains(&words), "{name}: {words}");
        }
    }
}

/// Self-contained: nothing to fetch, no script, no inline style, and a policy that forbids all of them.
#[test]
fn the_sheet_refers_to_nothing_outside_and_its_policy_says_so() {
    let dom = parsed(&page(&assembly("five-way-two-tones", "three-single-coils"), "x"));
    let elements = elements(&dom);
    for (name, attributes) in &elements {
        assert!(
            !["script", "link", "img", "iframe", "object", "embed", "form", "a", "base"].contains(&name.as_str()),
            "{name}"
        );
        for (attribute, value) in attributes {
            assert!(!attribute.starts_with("on") && attribute != "style", "{name} {attribute}");
            let is_place = ["src", "href", "action", "data", "poster"].contains(&attribute.as_str());
            assert!(!is_place, "{name} {attribute}={value}");
        }
    }
    let policy = elements.iter().find_map(|(_, attributes)| {
        let is_policy = attributes.iter().any(|(_, value)| value == "Content-Security-Policy");
        attributes.iter().find(|(name, _)| is_policy && name == "content").map(|(_, value)| value.clone())
    });
    let policy = policy.expect("there is a policy");
    assert!(policy.starts_with("default-src 'none'; style-src 'sha256-") && !policy.contains("unsafe"), "{policy}");
}

#[test]
fn ids_are_unique_and_every_section_has_a_heading() {
    let dom = parsed(&page(&assembly("five-way-neck-blend", "three-single-coils"), "x"));
    let elements = elements(&dom);
    let ids: Vec<&String> = elements
        .iter()
        .flat_map(|(_, attributes)| attributes)
        .filter(|(name, _)| name == "id")
        .map(|(_, id)| id)
        .collect();
    let unique: std::collections::BTreeSet<_> = ids.iter().collect();
    assert_eq!(ids.len(), unique.len());
    for (_, attributes) in &elements {
        for (_, id) in attributes.iter().filter(|(name, _)| name == "aria-labelledby") {
            assert!(ids.contains(&id), "{id} labels nothing");
        }
    }
}

#[test]
fn markup_in_a_document_stays_text() {
    let mut hostile = assembly("five-way-two-tones", "three-single-coils");
    hostile.title = "<script>alert(1)</script>".into();
    hostile.guitar.title = "</style><img src=x onerror=alert(1)>".into();
    hostile.joints[1] = "<i>hot".into();
    let dom = parsed(&page(&hostile, "<b onclick=x>about</b> & more"));
    assert!(elements(&dom).iter().all(|(name, _)| !["script", "img", "b", "i"].contains(&name.as_str())));
    let text = text(&dom.document);
    assert!(text.contains("<script>alert(1)</script>") && text.contains("<b onclick=x>about</b> & more"));
}

/// What makes the parts of a preset special is in its own words: a lever of two poles with five throws, and a no-load pot.
#[test]
fn special_parts_are_marked_with_why_and_ordinary_ones_are_not() {
    let special = |wiring: &str| page(&assembly(wiring, guitar(wiring)), "x").matches("class=\"special\"").count();
    assert_eq!(special("five-way-bridge-only-neck-blend"), 2);
    assert_eq!(special("five-way-two-tones"), 0);
    assert_eq!(special("five-way-outer-pair-series"), 1);
}

/// IEC 60062: 250 kohm is 250K, 47 nF is 47n.
#[test]
fn values_stand_in_plain_and_as_they_are_marked() {
    let html = page(&assembly("five-way-two-tones", "three-single-coils"), "x");
    assert!(html.contains("<td>250k</td><td>250K</td>") && html.contains("<td>47n</td><td>47n</td>"));
}
