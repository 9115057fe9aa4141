//! A switch on a pot's shaft is one part with it, and the drawings show it.

use dryfit_dsp::document::{AssembledKind, Assembly};
use dryfit_dsp::drawing::{Drawing, DrawnPart, Point, Rect, Shape, pictorial, schematic};

use super::{found::found, presets};

/// Name of every switch that a pot carries, and of that pot.
fn carried(assembly: &Assembly) -> Vec<(String, String)> {
    let pair = |part: &dryfit_dsp::document::AssembledPart| match part.kind {
        AssembledKind::Switch { carrier: Some(pot), .. } => Some((part.name.clone(), assembly.parts[pot].name.clone())),
        _ => None,
    };
    assembly.parts.iter().filter_map(pair).collect()
}

fn parts<'a>(drawing: &'a Drawing, name: &str) -> Vec<&'a DrawnPart> {
    drawing.parts.iter().filter(|part| part.name == name).collect()
}

/// The presets with a push-pull name the pot that carries it.
#[test]
fn some_presets_have_a_switch_on_a_pot() {
    let names: Vec<String> =
        presets().into_iter().filter(|(_, assembly)| !carried(assembly).is_empty()).map(|(name, _)| name).collect();
    for name in ["five-way-neck-on", "five-way-outer-pair-series"] {
        assert!(names.contains(&name.to_string()), "{name} is not among {names:?}");
    }
}

/// The client's requirement: one sees that they are one part.
#[test]
fn in_the_pictorial_diagram_the_switch_stands_beside_its_pot_with_a_shaft_that_no_wire_cuts() {
    for (name, assembly) in presets().into_iter().chain(found()) {
        let drawing = pictorial(&assembly);
        for (switch, pot) in carried(&assembly) {
            let (switch, pot) = (parts(&drawing, &switch)[0], parts(&drawing, &pot)[0]);
            let (wafer, can) = (switch.bodies[0], pot.bodies[0]);
            let shaft = switch.bodies.last().unwrap();
            let (left, right) = if wafer.left > can.left { (can, wafer) } else { (wafer, can) };
            assert!(shaft.left == left.right && shaft.right == right.left, "{name}: the shaft joins them");
            assert!(can.top < shaft.top && shaft.bottom < can.bottom, "{name}: not side by side");
            let entered =
                |wire: &dryfit_dsp::drawing::Wire| wire.path.windows(2).any(|pair| shaft.is_entered(pair[0], pair[1]));
            assert!(!drawing.wires.iter().any(entered), "{name}: a wire cuts the shaft");
            let between = Rect { left: left.right, right: right.left, top: wafer.top, bottom: can.bottom };
            let others = drawing.parts.iter().filter(|part| ![&switch.name, &pot.name].contains(&&part.name));
            let stands_between = others.flat_map(|part| &part.bodies).any(|body| body.overlaps(&between));
            assert!(!stands_between, "{name}: something stands between");
        }
    }
}

/// IEC 60617: a mechanical link is a dashed line between what moves together (number S00144 from memory). It touches the moving
/// contacts of every pole that is drawn, and ends at the pot's track.
#[test]
fn in_the_schematic_dashes_run_from_every_pole_to_the_pot() {
    let mut seen = 0;
    for (name, assembly) in presets().into_iter().chain(found()) {
        let drawing = schematic(&assembly);
        for (switch, pot) in carried(&assembly) {
            let pot = parts(&drawing, &pot)[0];
            let dashes = pot.shapes.iter().find_map(|shape| match shape {
                Shape::Dashes(points) => Some(points),
                _ => None,
            });
            let dashes = dashes.unwrap_or_else(|| panic!("{name}: no link"));
            for pole in parts(&drawing, &switch) {
                let touched = pole.contacts.iter().filter(|contact| contact.position == 1).any(|contact| {
                    let middle = Point::new(
                        (contact.path[0].x + contact.path[1].x) / 2.0,
                        (contact.path[0].y + contact.path[1].y) / 2.0,
                    );
                    let on = |pair: &[Point]| Rect::around(middle, 0.2, 0.2).is_entered(pair[0], pair[1]);
                    dashes.windows(2).any(on)
                });
                assert!(touched, "{name}: {} is not linked", pole.lugs[0].name);
            }
            let end = dashes.last().unwrap();
            let is_track = |shape: &Shape| matches!(shape, Shape::Area(corners) if corners.iter().any(|corner| (corner.x - end.x).abs() < 1e-9));
            assert!(pot.shapes.iter().any(is_track), "{name}: the link does not reach the track");
            seen += 1;
        }
        let linked =
            drawing.parts.iter().flat_map(|part| &part.shapes).filter(|shape| matches!(shape, Shape::Dashes(_)));
        assert_eq!(linked.count(), carried(&assembly).len(), "{name}");
    }
    assert!(seen >= 5);
}
