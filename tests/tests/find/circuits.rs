//! The table read off a circuit against the circuit solved: two routes that share nothing but the wires.

use dryfit_dsp::circuit::{Controls, dc_at_jack};
use dryfit_dsp::document::{AssembledKind, Assembly, Library, Mix, Sound};
use dryfit_dsp::find::read_row;
use dryfit_tests::circuits::responses;
use dryfit_tests::sounds::{resistance, unloaded};
use proptest::prelude::*;

/// Straight wires only: five pickups, each lead on the tip, on ground or on one of two joints between.
const PICKUPS: [&str; 5] = ["bridge", "middle", "neck", "fourth", "fifth"];
const TIP: usize = 1;
const NODES: usize = 4;

fn wired(leads: &[(usize, usize)]) -> Assembly {
    let library = Library::presets();
    let mut guitar = library.guitar("three-single-coils").unwrap();
    // No two alike, so that no two nets have one resistance by symmetry.
    for (name, ohms) in PICKUPS[3..].iter().zip([7_300.0, 4_900.0]) {
        let mut pickup = guitar.pickups[0].clone();
        (pickup.name, pickup.coil.resistance) = (name.to_string(), ohms);
        guitar.pickups.push(pickup);
    }
    guitar.couplings.clear();
    let text = "format = 1\ntitle = 'straight'\n[wires]\nhot = ['bridge.hot', 'jack.tip']\nground = ['bridge.ground', 'jack.sleeve']\n";
    let wiring = dryfit_dsp::document::Wiring::read("straight", text).unwrap();
    let mut assembly = Assembly::new(&wiring, &guitar, &library).unwrap_or_else(|problems| panic!("{problems}"));
    assembly.joints = ["ground", "hot", "upper", "lower"].map(String::from).to_vec();
    for part in &mut assembly.parts {
        part.joints = match part.kind {
            AssembledKind::Pickup(index) => vec![leads[index].0, leads[index].1],
            _ => vec![TIP, Assembly::GROUND],
        };
    }
    assembly
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, ..ProptestConfig::default() })]

    /// Bounds: an input of 1 Mohm takes less than 3 % from five pickups in series, and at 1 Hz their inductance is 20 ohm each.
    #[test]
    fn what_is_read_off_straight_wires_is_what_the_solver_gives(
        leads in proptest::collection::vec((0..NODES, 0..NODES), PICKUPS.len()),
    ) {
        let assembly = wired(&leads);
        let controls = Controls::default();
        let row = read_row(&assembly, &controls);
        // Five pickups can make one net that is neither series nor parallel: a bridge. A table has no words for that.
        prop_assume!(row.words != "a bridge of pickups");
        let sound = Sound::parse(&row.words).unwrap_or_else(|error| panic!("{}: {error:?}", row.words));
        let ohms = dc_at_jack(&assembly, &controls).unwrap();
        match &sound.mix {
            // Either nothing leads from tip to ground, or a wire does.
            None => prop_assert!(ohms == f64::INFINITY || ohms < 1e-3, "{} ohm, {}", ohms, row.words),
            Some(mix) => {
                let wanted = resistance(&assembly.guitar, mix);
                prop_assert!((ohms / wanted - 1.0).abs() < 1e-6, "{} ohm instead of {}: {}", ohms, wanted, row.words);
            }
        }
        for ((name, wanted), measured) in
            PICKUPS.iter().zip(unloaded(&assembly.guitar, &sound)).zip(responses(&assembly, &controls, 1.0))
        {
            prop_assert!((measured - wanted).norm() < 0.04, "{}: {} instead of {} in {}", name, measured, wanted, row.words);
        }
    }
}

/// The strategy above does reach what the notation needs brackets for.
#[test]
fn brackets_are_read_off_where_they_belong() {
    let (ground, upper, lower) = (Assembly::GROUND, 2, 3);
    let words = |leads: &[(usize, usize); 5]| read_row(&wired(leads), &Controls::default()).words;
    let off = (ground, ground);
    let read = words(&[(TIP, upper), (TIP, upper), (upper, ground), off, off]);
    assert!(
        Sound::parse(&read).unwrap().same_as(&Sound::parse("(bridge + middle) in series with neck").unwrap()),
        "{read}"
    );
    let read = words(&[(TIP, upper), (TIP, lower), (upper, lower), (ground, lower), off]);
    let wanted = "(bridge in series with neck + middle) in series with reversed fourth";
    assert!(Sound::parse(&read).unwrap().same_as(&Sound::parse(wanted).unwrap()), "{read}");
    assert!(matches!(Sound::parse(&read).unwrap().mix, Some(Mix::Series(_))));
}
