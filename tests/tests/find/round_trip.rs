//! For random wirings: read the table off the circuit, find a wiring for it, read that one's table, compare. Two independent
//! routes: the reading reduces a net of pickups, the search only joins and holds apart.

use std::ops::ControlFlow;

use dryfit_dsp::document::{Assembly, DocumentKind, KnobAction, KnobWish, Library, Sounds};
use dryfit_dsp::find::{Effort, Outcome, find, read_off};
use proptest::prelude::*;

use crate::fixtures::{ORDINARY, TWO_POLES, assert_gives, guitar};

/// What a lug of the selector may be joined to: nothing, hot, a pickup's hot lead, the blend's or the tone's end.
const NETS: [&str; 7] = ["", "hot", "bridge", "middle", "neck", "blend", "neck-tone"];

/// A wiring on a lever with each lug on one of the nets.
fn wiring(switch: &str, lugs: &[(String, usize)]) -> String {
    let on = |net: usize| -> String {
        lugs.iter().filter(|(_, at)| *at == net).map(|(lug, _)| format!(", \"selector.{lug}\"")).collect()
    };
    format!(
        r#"format = 1
title = "random"
[selector]
switch = "{switch}"
[pots.volume]
value = "250k"
taper = "audio"
control = "volume"
[pots.neck-tone]
value = "250k"
taper = "audio"
control = "neck tone"
[pots.blend]
value = "250k"
taper = "audio"
no-load = true
control = "blend"
[capacitors.tone-cap]
value = "47n"
[wires]
hot = ["volume.3"{}]
bridge = ["bridge.hot"{}]
middle = ["middle.hot"{}]
neck = ["neck.hot", "blend.1"{}]
blend = ["blend.2"{}]
neck-tone = ["neck-tone.2"{}]
tone = ["neck-tone.1", "tone-cap.1"]
jack = ["volume.2", "jack.tip"]
ground = ["volume.1", "tone-cap.2", "jack.sleeve", "bridge.ground", "middle.ground", "neck.ground"]
"#,
        on(1),
        on(2),
        on(3),
        on(4),
        on(5),
        on(6),
    )
}

/// The table of a random wiring, when it can be assembled and a table has words for it.
fn table(switch: &str, lugs: &[(String, usize)]) -> Option<Sounds> {
    let mut library = Library::presets();
    library.insert(DocumentKind::Wiring, "random", "random", &wiring(switch, lugs));
    let written = library.wiring("random").ok()?;
    // A lone lug (the blend's far end on nothing) is an error of the document, and no wiring.
    let assembly = Assembly::new(&written, &guitar(), &library).ok()?;
    let table = read_off(&assembly).sounds(&assembly).ok()?;
    // The search takes for granted that a blend has one end on the pickup that it feeds in; here that is the neck.
    let feeds_neck = |wish: &KnobWish| !matches!(&wish.action, KnobAction::Blend { pickup } if pickup != "neck");
    let table = Some(table).filter(|table| table.knobs.iter().all(feeds_neck))?;
    // Where every position is like the next, the fewest wires leave the selector out, and that is warned about.
    let all = table.positions.len();
    let alike = table.positions.windows(2).all(|pair| pair[0] == pair[1]);
    if alike && table.knobs.iter().all(|wish| [0, all].contains(&wish.positions.len())) {
        return None;
    }
    // Of a table in which nothing sounds there is nothing to find; that is refused.
    table.positions.iter().any(|sound| !sound.is_silent()).then_some(table)
}

fn lugs(switch: &str) -> Vec<String> {
    Library::presets().switch(switch).unwrap().lugs().map(str::to_string).collect()
}

fn random_wiring() -> impl Strategy<Value = (&'static str, Vec<(String, usize)>)> {
    prop_oneof![Just(ORDINARY), Just(TWO_POLES)].prop_flat_map(|switch| {
        let lugs = lugs(switch);
        let nets = proptest::collection::vec(0..NETS.len(), lugs.len());
        nets.prop_map(move |nets| (switch, lugs.iter().cloned().zip(nets).collect()))
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, max_global_rejects: 20_000, ..ProptestConfig::default() })]

    #[test]
    fn what_is_read_off_a_wiring_is_found_again_with_as_few_wires_or_fewer((switch, lugs) in random_wiring()) {
        let wish = table(switch, &lugs);
        prop_assume!(wish.is_some());
        let wish = wish.unwrap();
        // The search takes volumes for granted, and never shorts a pickup.
        let outcome = find(&Library::presets(), &wish, &guitar(), Some(switch), Effort::default(), &mut |_, _| ControlFlow::Continue(()));
        let outcome = outcome.unwrap_or_else(|problems| panic!("{problems}"));
        let Outcome::Found(found) = outcome else { panic!("{switch} {lugs:?}: {outcome:?}") };
        assert_gives(&found, &wish, &guitar());
        let joined = lugs.iter().filter(|(_, net)| *net > 0).count();
        prop_assert!(found.wires <= joined, "{} wires, the wiring had {joined}\n{}", found.wires, found.wiring);
    }
}
