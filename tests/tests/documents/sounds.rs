//! Sounds tables as they are read.

use dryfit_dsp::document::{KnobAction, Mix, Sound, Sounds};
use proptest::prelude::*;

/// `|` is parallel, `-` series, `!` reversed, each with everything below it in brackets.
fn shape(mix: &Mix<String>) -> String {
    let all = |parts: &[Mix<String>], sign| format!("[{}]", parts.iter().map(shape).collect::<Vec<_>>().join(sign));
    match mix {
        Mix::Pickup { pickup, reversed } => format!("{}{pickup}", if *reversed { "!" } else { "" }),
        Mix::Series(parts) => all(parts, "-"),
        Mix::Parallel(parts) => all(parts, "|"),
    }
}

#[test]
fn sounds_are_pickups_in_series_and_in_parallel_series_first() {
    for (text, wanted) in [
        ("bridge", "bridge"),
        ("bridge + middle", "[bridge|middle]"),
        ("bridge+reversed middle", "[bridge|!middle]"),
        ("bridge in  series with neck", "[bridge-neck]"),
        ("reversed bridge in series with neck + middle", "[[!bridge-neck]|middle]"),
        ("(bridge + neck) in series with middle", "[[bridge|neck]-middle]"),
        ("middle in series with(bridge+neck)", "[middle-[bridge|neck]]"),
        ("bridge + (neck in series with middle)", "[bridge|[neck-middle]]"),
        ("((bridge) + (neck + middle))", "[bridge|neck|middle]"),
        ("(a in series with b + c) in series with (d + e)", "[[[a-b]|c]-[d|e]]"),
        ("reversed (bridge + neck)", "[!bridge|!neck]"),
        ("reversed (bridge in series with reversed neck) + middle", "[[neck-!bridge]|middle]"),
    ] {
        let sound = Sound::parse(text).unwrap_or_else(|(column, what)| panic!("{text} at {column}: {what}"));
        assert_eq!(shape(sound.mix.as_ref().unwrap()), wanted, "{text}");
        assert!(Sound::parse(&sound.to_string()).unwrap().same_as(&sound), "{sound}");
    }
    assert!(Sound::parse(" silent ").unwrap().is_silent());
}

#[test]
fn the_order_in_which_pickups_are_named_makes_no_sound_but_what_is_in_brackets_does() {
    let same = |a: &str, b: &str| Sound::parse(a).unwrap().same_as(&Sound::parse(b).unwrap());
    assert!(same("middle in series with (neck + bridge)", "(bridge + neck) in series with middle"));
    assert!(same("(neck in series with bridge) + middle", "middle + bridge in series with neck"));
    assert!(!same("middle in series with (neck + bridge)", "middle in series with neck + bridge"));
    assert!(!same("reversed (neck + bridge)", "reversed neck + bridge"));
    assert!(!same("neck", "silent"));
}

proptest! {
    /// Any net that can be said is said in such a way that it reads back as the same.
    #[test]
    fn what_is_written_of_any_net_reads_back_as_that_net(mix in net()) {
        let sound = Sound { mix: Some(mix) };
        let back = Sound::parse(&sound.to_string()).unwrap_or_else(|error| panic!("{sound}: {error:?}"));
        prop_assert!(back.same_as(&sound), "{sound} became {back}");
        let turned = Sound { mix: sound.mix.clone().map(Mix::turned) };
        let said = Sound::parse(&format!("reversed ({sound})")).unwrap();
        prop_assert!(said.same_as(&turned), "{said} is not {turned}");
    }
}

/// Pickups a to h in some order, each perhaps reversed, joined two and two in series or in parallel until one net is left.
fn net() -> impl Strategy<Value = Mix<String>> {
    let names = Just(('a'..='h').map(String::from).collect::<Vec<_>>()).prop_shuffle();
    let reversed = proptest::collection::vec(any::<bool>(), 8);
    let joints = proptest::collection::vec((any::<proptest::sample::Index>(), any::<bool>()), 7);
    (names, reversed, joints, 1usize..=8).prop_map(|(names, reversed, joints, count)| {
        let pickups = names.into_iter().zip(reversed).take(count);
        let mut nets: Vec<_> = pickups.map(|(pickup, reversed)| Mix::Pickup { pickup, reversed }).collect();
        for (place, series) in joints {
            if nets.len() > 1 {
                let one = nets.swap_remove(place.index(nets.len()));
                let other = nets.swap_remove(place.index(nets.len()));
                nets.push(if series { one.then(other) } else { one.beside(other) });
            }
        }
        nets.remove(0)
    })
}

#[test]
fn a_sound_that_cannot_be_read_says_at_which_character() {
    for (text, column) in [
        ("", 1),
        ("bridge + ", 9),
        ("+ bridge", 1),
        ("bridge ++ neck", 9),
        ("bridge neck", 8),
        ("bridge in series neck", 18),
        ("bridge in parallel with neck", 11),
        ("bridge + reversed", 18),
        ("bridge + reversed + neck", 19),
        ("bridge + middle + bridge", 19),
        ("brücke + reversed reversed neck", 19),
        ("(bridge + neck", 15),
        ("(bridge + neck in series with middle", 37),
        ("bridge + neck)", 14),
        ("(bridge + neck))", 16),
        ("bridge in series with ()", 24),
        ("(bridge + (neck)", 17),
        ("bridge (neck)", 8),
        ("(bridge) neck", 10),
        ("reversed + bridge", 10),
        ("bridge + silent", 10),
        ("(silent)", 2),
        ("(bridge + neck) in series with bridge", 32),
        ("((((((((((bridge))))))))))", 9),
    ] {
        let (found, what) = Sound::parse(text).expect_err(text);
        println!("\"{text}\" at character {found}: {what}");
        assert_eq!(found, column, "in \"{text}\": {what}");
    }
}

#[test]
fn a_knob_acts_everywhere_unless_it_names_positions_in_any_order() {
    let text = "format = 1\ntitle = \"s\"\n[positions]\n1 = \"bridge\"\n2 = \"bridge + neck\"\n3 = \"neck\"\n\
                [knobs]\nvolume = \"volume\"\n\"neck tone\" = \"tone in 3, 2 3\"\nblend = \"blend neck in 1\"\n";
    let sounds = Sounds::read("s.toml", text).unwrap_or_else(|problems| panic!("{problems}"));
    assert_eq!(sounds.positions.len(), 3);
    let wishes: Vec<_> =
        sounds.knobs.iter().map(|wish| (wish.label.as_str(), &wish.action, &wish.positions[..])).collect();
    assert_eq!(wishes[0], ("volume", &KnobAction::Volume, &[1, 2, 3][..]));
    assert_eq!(wishes[1], ("neck tone", &KnobAction::Tone, &[2, 3][..]));
    assert_eq!(wishes[2], ("blend", &KnobAction::Blend { pickup: "neck".into() }, &[1][..]));
}
