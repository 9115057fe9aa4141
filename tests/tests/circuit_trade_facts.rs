//! What players and technicians know about loading, wiring and meters, asked of the circuit.
//!
//! Every fact here is common practice, no source, unless another is named; each figure beside one is worked out in the
//! comment above it. "Clearly" means at least 1 dB, which a player hears in a direct comparison (common practice, no
//! source). Where a pot's end counts, its floor of 1 ohm is named.

use std::f64::consts::TAU;

use dryfit_dsp::circuit::{CompiledWiring, Controls, ElementKind, Grid, Loaded, Mna, Netlist, dc_at_jack, lower};
use dryfit_dsp::document::{AssembledKind, Assembly, Library};
use dryfit_dsp::units::amplitude_to_db;
use dryfit_tests::circuits::{Moved, assembly, at, level_db, on_guitar, peak, response, responses, total};

const GUITAR: &str = "three-single-coils";
const CLEARLY_DB: f64 = 1.0;
const BASS_HERTZ: f64 = 100.0;
const TREBLE_HERTZ: f64 = 5e3;

/// Resonance above 1 kHz: hertz, and dB above the bass.
fn resonance(assembly: &Assembly, controls: &Controls) -> (f64, f64) {
    let (hertz, level) = peak(1e3, 15e3, |hertz| level_db(assembly, controls, hertz));
    (hertz, level - level_db(assembly, controls, BASS_HERTZ))
}

/// Treble against bass, in dB.
fn tilt_db(assembly: &Assembly, controls: &Controls) -> f64 {
    level_db(assembly, controls, TREBLE_HERTZ) - level_db(assembly, controls, BASS_HERTZ)
}

/// Level at the resonance that the position has with the volume at 10, above the bass, with the volume at `turn`.
fn presence_db(assembly: &Assembly, position: u8, turn: f64) -> f64 {
    let (hertz, _) = resonance(assembly, &at(position));
    let controls = at(position).knob(assembly, "volume", turn);
    level_db(assembly, &controls, hertz) - level_db(assembly, &controls, BASS_HERTZ)
}

/// The wiring with every pot of another resistance.
fn with_pots(mut assembly: Assembly, ohms: f64) -> Assembly {
    for part in &mut assembly.parts {
        if let AssembledKind::Pot { pot, .. } = &mut part.kind {
            pot.resistance = ohms;
        }
    }
    assembly
}

fn with_capacitor(mut assembly: Assembly, name: &str, farads: f64) -> Assembly {
    match &mut assembly.part_mut(name).unwrap().kind {
        AssembledKind::Capacitor { capacitance, .. } => *capacitance = farads,
        other => panic!("{name} is no capacitor but {other:?}"),
    }
    assembly
}

/// Two resistances side by side.
fn across(a: f64, b: f64) -> f64 {
    1.0 / (1.0 / a + 1.0 / b)
}

#[track_caller]
fn assert_ohms(measured: f64, wanted: f64) {
    // A meter shows four digits; the solver must be far better than that.
    assert!((measured / wanted - 1.0).abs() < 1e-9, "{measured} ohm, not {wanted}");
}

// Loading

#[test]
fn pots_of_500k_ring_higher_than_pots_of_250k() {
    let ordinary = assembly("five-way-master-tone", GUITAR);
    let bright = with_pots(ordinary.clone(), 500e3);
    for position in 1..=5 {
        let (low, high) = (resonance(&ordinary, &at(position)).1, resonance(&bright, &at(position)).1);
        println!("position {position}: {low:.2} dB with 250k, {high:.2} dB with 500k");
        assert!(high > low + CLEARLY_DB, "position {position}: {low} {high}");
    }
}

#[test]
fn a_coil_of_2_2_h_resonates_at_4949_5_hz_with_470_pf_and_at_3393_2_hz_with_1_nf() {
    // f = 1 / (2 pi sqrt(L C)), unloaded. Damping moves a peak by f / (4 Q^2): 1 ohm against some 50 kohm, nothing.
    for (farads, wanted) in [(470e-12, 4949.5), (1e-9, 3393.2)] {
        let mut netlist = Netlist::new();
        let (emf, wire, hot) = (netlist.node("emf"), netlist.node("wire"), netlist.node("hot"));
        netlist.add("source", emf, Netlist::GROUND, ElementKind::Source(0));
        netlist.add("wire", emf, wire, ElementKind::Resistor(1.0));
        netlist.add("coil", wire, hot, ElementKind::Inductor(2.2));
        netlist.add("cable", hot, Netlist::GROUND, ElementKind::Capacitor(farads));
        let mna = Mna::new(&netlist);
        let (hertz, _) = peak(1e3, 10e3, |hertz| mna.transfer(hot, hertz).unwrap()[0].norm());
        assert!((hertz - wanted).abs() < 0.05, "{hertz}");
    }
}

#[test]
fn more_cable_moves_the_resonance_down() {
    let wiring = assembly("five-way-master-tone", GUITAR);
    for position in 1..=5 {
        let resonances: Vec<f64> = [200e-12, 500e-12, 700e-12, 1e-9]
            .map(|cable| resonance(&wiring, &at(position).load(cable, 1e6)).0)
            .to_vec();
        println!("position {position}: {resonances:.0?} Hz with 200p, 500p, 700p, 1n");
        assert!(resonances.windows(2).all(|pair| pair[1] < 0.95 * pair[0]), "{resonances:?}");
    }
}

#[test]
fn an_input_of_less_resistance_takes_the_peak_away() {
    let wiring = assembly("five-way-master-tone", GUITAR);
    let ordinary = resonance(&wiring, &at(1)).1;
    let low = resonance(&wiring, &at(1).load(500e-12, 100e3)).1;
    assert!(low < ordinary - CLEARLY_DB, "{low} {ordinary}");
}

#[test]
fn two_tones_load_the_pair_in_position_4_more_than_one_does() {
    let (two, one) = (assembly("five-way-two-tones", GUITAR), assembly("five-way-master-tone", GUITAR));
    let (two, one) = (resonance(&two, &at(4)).1, resonance(&one, &at(4)).1);
    println!("{two:.2} dB with two tones, {one:.2} dB with one");
    assert!(two < one - 0.5 * CLEARLY_DB, "{two} {one}"); // "a little softer", says the preset
}

#[test]
fn a_tone_for_the_bridge_makes_position_1_softer() {
    let (with, without) = (assembly("five-way-bridge-tone", GUITAR), assembly("five-way-two-tones", GUITAR));
    let (with, without) = (resonance(&with, &at(1)).1, resonance(&without, &at(1)).1);
    println!("{with:.2} dB with the tone, {without:.2} dB without");
    assert!(with < without - CLEARLY_DB, "{with} {without}");
}

#[test]
fn a_wiring_without_a_tone_is_the_brightest() {
    let least = resonance(&assembly("volume-only", GUITAR), &at(1)).1;
    let ordinary = resonance(&assembly("five-way-master-tone", GUITAR), &at(1)).1;
    assert!(least > ordinary + CLEARLY_DB, "{least} {ordinary}");
}

// Volume and treble

#[test]
fn turning_down_darkens_because_the_peak_goes_first() {
    let wiring = assembly("five-way-master-tone", GUITAR);
    for position in 1..=5 {
        let presence = [10.0, 9.0, 8.0, 7.0, 5.0].map(|turn| presence_db(&wiring, position, turn));
        println!("position {position}: {presence:.1?} dB at 10, 9, 8, 7, 5");
        assert!(presence[1..].iter().all(|&less| less < presence[0] - 2.0 * CLEARLY_DB), "{presence:?}");
    }
}

#[test]
fn turning_down_with_a_treble_bleed_darkens_less() {
    let bare = assembly("five-way-master-tone", GUITAR);
    for add_on in ["treble-bleed", "treble-bleed-parallel", "treble-bleed-series"] {
        let fitted = assembly(&format!("five-way-master-tone+{add_on}"), GUITAR);
        for turn in [8.0, 7.0, 5.0] {
            let lost = |wiring: &Assembly| presence_db(wiring, 1, 10.0) - presence_db(wiring, 1, turn);
            println!("{add_on} at {turn}: {:.1} dB lost without, {:.1} dB with", lost(&bare), lost(&fitted));
            assert!(lost(&fitted) < lost(&bare) - CLEARLY_DB, "{add_on} at {turn}");
        }
    }
}

#[test]
fn a_treble_bleed_of_a_capacitor_alone_overdoes_it_at_low_settings() {
    let fitted = assembly("five-way-master-tone+treble-bleed", GUITAR);
    let full = tilt_db(&fitted, &at(1));
    let low = tilt_db(&fitted, &at(1).knob(&fitted, "volume", 2.0));
    println!("{full:.1} dB at 10, {low:.1} dB at 2");
    assert!(low > full + 3.0 * CLEARLY_DB, "{full} {low}"); // "the sound gets thin"
}

#[test]
fn a_resistor_beside_the_bleed_capacitor_keeps_the_volume_up_and_takes_more_of_it_near_0() {
    // At 0 to 2 the track's upper part is 240k or more; 150k beside it leaves 93k, so 2.6 times as much signal (8 dB)
    // is still there to be lost over the last fifth of the turn.
    let bare = assembly("five-way-master-tone", GUITAR);
    let fitted = assembly("five-way-master-tone+treble-bleed-parallel", GUITAR);
    let signal = |wiring: &Assembly, turn: f64| total(wiring, &at(1).knob(wiring, "volume", turn), BASS_HERTZ).norm();
    let later_db = amplitude_to_db(signal(&fitted, 5.0) / signal(&bare, 5.0));
    let last_fifth = |wiring: &Assembly| signal(wiring, 2.0) - signal(wiring, 0.0);
    println!("{later_db:.1} dB more at 5; {:.3} V against {:.3} V below 2", last_fifth(&fitted), last_fifth(&bare));
    assert!(later_db > CLEARLY_DB && last_fifth(&fitted) > 2.0 * last_fifth(&bare));
}

#[test]
fn a_bleed_with_a_series_resistor_is_gentler_than_the_capacitor_alone_and_leaves_the_turn_of_the_pot_as_it_was() {
    let bare = assembly("five-way-master-tone", GUITAR);
    let [series, alone] = ["treble-bleed-series", "treble-bleed"]
        .map(|add_on| assembly(&format!("five-way-master-tone+{add_on}"), GUITAR));
    for turn in [8.0, 5.0, 3.0] {
        let low = |wiring: &Assembly| at(1).knob(wiring, "volume", turn);
        let off = level_db(&series, &low(&series), BASS_HERTZ) - level_db(&bare, &low(&bare), BASS_HERTZ);
        let (gentle, harsh) = (tilt_db(&series, &low(&series)), tilt_db(&alone, &low(&alone)));
        println!("at {turn}: {off:.2} dB at {BASS_HERTZ} Hz; treble {gentle:.1} dB against {harsh:.1} dB");
        assert!(off.abs() < CLEARLY_DB, "{turn}: {off}");
        assert!(gentle < harsh - 3.0 * CLEARLY_DB, "{turn}: {gentle} {harsh}");
    }
}

#[test]
fn a_tone_at_the_volume_wiper_keeps_treble_when_turned_down_and_changes_nothing_at_10() {
    for (wiring, add_on) in [("five-way-master-tone", "tone-at-wiper"), ("five-way-two-tones", "tones-at-wiper")] {
        let (before, after) = (assembly(wiring, GUITAR), assembly(&format!("{wiring}+{add_on}"), GUITAR));
        for position in 2..=5 {
            let down = |wiring: &Assembly| tilt_db(wiring, &at(position).knob(wiring, "volume", 6.0));
            let kept = down(&after) - down(&before);
            println!("{add_on}, position {position}: {kept:.2} dB kept at 6");
            assert!(kept > 0.5 * CLEARLY_DB, "{add_on} {position}: {kept}");
            for hertz in [50.0, 1e3, 5e3, 15e3] {
                // What lies between the two places at 10 is the pot's floor of 1 ohm, against coils of thousands.
                let off = level_db(&after, &at(position), hertz) - level_db(&before, &at(position), hertz);
                assert!(off.abs() < 1e-3, "{add_on} {position} {hertz}: {off}");
            }
        }
    }
}

#[test]
fn a_volume_at_0_is_silent() {
    for wiring in ["five-way-master-tone", "five-way-two-tones", "volume-only"] {
        let wiring = assembly(wiring, GUITAR);
        // The floor of 1 ohm against 250k: 20 lg 4e-6 = -108 dB.
        let level = level_db(&wiring, &at(1).knob(&wiring, "volume", 0.0), 500.0);
        assert!((-110.0..=-106.0).contains(&level), "{level}");
    }
}

// Tone

#[test]
fn a_master_tone_acts_in_every_position() {
    for name in
        ["five-way-master-tone", "five-way-neck-blend", "five-way-bridge-only-neck-blend", "five-way-outer-pair-blend"]
    {
        let wiring = assembly(name, GUITAR);
        for position in 1..=5 {
            let treble = |turn: f64| level_db(&wiring, &at(position).knob(&wiring, "tone", turn), TREBLE_HERTZ);
            let [open, half, closed] = [10.0, 5.0, 0.0].map(treble);
            assert!(half < open - CLEARLY_DB && closed < open - 20.0, "{name} {position}: {open} {half} {closed}");
        }
    }
}

#[test]
fn a_tone_at_0_has_a_hump_that_is_lower_with_47n_than_with_22n() {
    let hump = |farads: f64| {
        let wiring = with_capacitor(assembly("five-way-master-tone", GUITAR), "tone-cap", farads);
        peak(100.0, 3e3, |hertz| level_db(&wiring, &at(1).knob(&wiring, "tone", 0.0), hertz)).0
    };
    let [large, small] = [47e-9, 22e-9].map(hump);
    println!("{large:.0} Hz with 47n, {small:.0} Hz with 22n");
    // 2.6 H with 47.63 nF and 22.63 nF (cable and winding beside the capacitor) resonates at 452 and 656 Hz undamped;
    // 6.4k lowers that by 1 - 1 / (2 Q^2) with Q = 1.15 and 1.67, under the root.
    let damped = |farads: f64| {
        let q2 = 2.6 / (farads * 6.4e3 * 6.4e3);
        (1.0 - 0.5 / q2).sqrt() / (TAU * (2.6 * farads).sqrt())
    };
    for (measured, farads) in [(large, 47.63e-9), (small, 22.63e-9)] {
        assert!((measured / damped(farads) - 1.0).abs() < 0.03, "{measured} {}", damped(farads)); // 200k across it: 3 %
    }
    assert!(large < 0.8 * small);
}

#[test]
fn a_no_load_tone_rings_higher_at_10_and_works_as_before_below() {
    let (before, after) =
        (assembly("five-way-master-tone", GUITAR), assembly("five-way-master-tone+no-load-tone", GUITAR));
    for position in 1..=5 {
        assert!(resonance(&after, &at(position)).1 > resonance(&before, &at(position)).1 + CLEARLY_DB);
        for turn in [0.0, 3.0, 9.9] {
            let level = |wiring: &Assembly| level_db(wiring, &at(position).knob(wiring, "tone", turn), TREBLE_HERTZ);
            assert!((level(&after) - level(&before)).abs() < 1e-9, "{position} {turn}");
        }
    }
}

#[test]
fn no_load_tones_give_position_4_of_the_ordinary_five_way_the_most() {
    let (before, after) =
        (assembly("five-way-two-tones", GUITAR), assembly("five-way-two-tones+no-load-tones", GUITAR));
    let gains: Vec<f64> =
        (1..=5).map(|position| resonance(&after, &at(position)).1 - resonance(&before, &at(position)).1).collect();
    println!("{gains:.2?} dB");
    assert!(gains[0].abs() < 1e-9, "the bridge has no tone");
    assert!(gains[1..].iter().all(|&gain| gain > 0.5 * CLEARLY_DB), "{gains:?}");
    assert!(gains.iter().all(|&gain| gain <= gains[3]), "{gains:?}");
}

// Blends

#[test]
fn a_no_load_blend_at_10_leaves_exactly_nothing_of_the_neck() {
    for name in ["five-way-bridge-only-neck-blend", "five-way-outer-pair-blend"] {
        let wiring = assembly(name, GUITAR);
        let mut compiled = CompiledWiring::new(&wiring, &Grid::up_to(24e3)).unwrap();
        for hertz in [20.0, 440.0, 4e3, 20e3] {
            assert_eq!(response(&wiring, &at(1), "neck", hertz).norm(), 0.0, "{name} {hertz}");
        }
        let (re, im) = compiled.responses(&at(1)).parts(2);
        assert!(re.iter().chain(im).all(|&part| part == 0.0), "{name}");
    }
}

#[test]
fn a_plain_250k_blend_at_10_leaves_the_neck_some_32_db_under_the_bridge() {
    // At low frequencies the neck feeds the bridge's coil through 250k: 6.4k / (6.4k + 250k + 5.8k) = -32.2 dB, beside
    // the bridge's 1.
    let wiring = assembly("five-way-neck-blend", GUITAR);
    let ratio = |hertz: f64| {
        amplitude_to_db(
            response(&wiring, &at(1), "neck", hertz).norm() / response(&wiring, &at(1), "bridge", hertz).norm(),
        )
    };
    println!("{:.1} dB at 20 Hz, {:.1} dB at 500 Hz, {:.1} dB at 4 kHz", ratio(20.0), ratio(500.0), ratio(4e3));
    assert!((ratio(20.0) + 32.2).abs() < 0.3, "{}", ratio(20.0));
    // Near the resonance the coils' impedance is no longer small beside 250k.
    assert!((ratio(4e3) + 11.0).abs() < 0.5, "{}", ratio(4e3));
}

#[test]
fn a_blend_at_0_equals_both_pickups_in_parallel_but_for_1_ohm() {
    // The pot's floor stands in series with the neck's 5.8k and its inductance: at most 1 / 5800, or 1.5e-3 dB.
    let wiring = assembly("five-way-outer-pair-blend", GUITAR);
    let blended = at(1).knob(&wiring, "blend", 0.0);
    let mut worst = 0f64;
    for step in 0..=60 {
        let hertz = 20.0 * 10f64.powf(f64::from(step) / 20.0);
        worst = worst.max((level_db(&wiring, &blended, hertz) - level_db(&wiring, &at(3), hertz)).abs());
    }
    println!("blend at 0 against the pair: at most {worst:.1e} dB");
    assert!(worst < 1.5e-3, "{worst}");
}

// Pairs

#[test]
fn a_parallel_pair_has_half_the_inductance_so_it_resonates_higher() {
    let wiring = assembly("five-way-outer-pair", GUITAR);
    let [bridge, pair, neck] = [1, 3, 5].map(|position| resonance(&wiring, &at(position)).0);
    println!("bridge {bridge:.0} Hz, pair {pair:.0} Hz, neck {neck:.0} Hz");
    // Half the inductance alone would be a factor of 1.41; the second coil's capacitance takes some of it back.
    assert!(pair > 1.2 * bridge && pair > 1.2 * neck);
}

#[test]
fn series_is_louder_and_darker_than_parallel() {
    for (name, guitar, parallel, series) in
        [("two-pickups-series", "two-single-coils", at(2), at(4)), ("five-way-outer-pair-series", GUITAR, at(4), at(5))]
    {
        let wiring = assembly(name, guitar);
        let up = |mut controls: Controls| {
            controls.switches[0] = 2;
            controls
        };
        let (parallel, series) = if name.starts_with("five") { (parallel, up(series)) } else { (parallel, series) };
        // In series the EMFs add, in parallel they average: 6 dB, less what 13k instead of 3k loses into 200k.
        let louder = level_db(&wiring, &series, BASS_HERTZ) - level_db(&wiring, &parallel, BASS_HERTZ);
        let (low, high) = (resonance(&wiring, &series).0, resonance(&wiring, &parallel).0);
        println!("{name}: {louder:.2} dB louder, {low:.0} Hz against {high:.0} Hz");
        assert!((5.0..6.02).contains(&louder), "{name}: {louder}");
        assert!(low < 0.6 * high, "{name}: {low} {high}");
    }
}

#[test]
fn out_of_phase_is_thin_because_bass_moves_the_string_alike_over_both_pickups() {
    let wiring = assembly("five-way-middle-reversed", GUITAR);
    for position in [2, 4] {
        let reversed = at(position).switch(&wiring, "middle reversed", 2);
        // Bass: long waves, the same EMF in both coils. It cancels but for the difference of the two coils.
        let lost = level_db(&wiring, &at(position), BASS_HERTZ) - level_db(&wiring, &reversed, BASS_HERTZ);
        println!("position {position}: {lost:.1} dB of bass lost");
        assert!(lost > 20.0, "position {position}: {lost}");
        // Treble: short waves that may move the string up over one and down over the other. It adds.
        let apart = responses(&wiring, &reversed, TREBLE_HERTZ);
        let opposite: f64 = apart.iter().map(|response| response.norm()).sum();
        let together = total(&wiring, &at(position), TREBLE_HERTZ).norm();
        assert!(amplitude_to_db(opposite / together).abs() < CLEARLY_DB);
    }
}

#[test]
fn a_steel_base_plate_raises_the_inductance_and_lowers_the_peak() {
    let guitar = Library::presets().guitar("three-hotter-single-coils").unwrap();
    let mut bare = guitar.clone();
    let plate = bare.pickups[0].coil.plate.take().expect("the bridge pickup has a base plate");
    assert!(plate.inductance_factor > 1.0);
    let (with, without) = (on_guitar("five-way-master-tone", &guitar), on_guitar("five-way-master-tone", &bare));
    // The inductance, from the phase where the coil is still a coil: X = wL, and the eddy branch takes (wL / R)^2 of
    // it, (2 pi 50 x 3.57 / 400k)^2 or 8e-6.
    let reactance = |assembly: &Assembly| {
        let lowered = lower(assembly, &at(1).load(1e-13, 1e9), Loaded::Yes);
        let hot = lowered.netlist.nodes().iter().position(|name| name == "bridge-wire").unwrap();
        let emf = lowered.netlist.nodes().iter().position(|name| name == "hot").unwrap();
        let mna = Mna::new(&lowered.netlist);
        // Voltage over the inductance against voltage over the wire's resistance, for the same current.
        let [a, b] = [hot, emf].map(|node| mna.transfer(node, 50.0).unwrap()[0]);
        ((a - b) / (1.0 - a)).im
    };
    let raised = reactance(&with) / reactance(&without);
    assert!((raised / plate.inductance_factor - 1.0).abs() < 1e-4, "{raised}");
    let (with, without) = (resonance(&with, &at(1)), resonance(&without, &at(1)));
    println!("with {with:.2?}, without {without:.2?}, inductance x {raised:.4}");
    // The factor of 1.05 alone takes 2.4 % of the frequency; the plate's losses take more.
    assert!(with.0 < without.0 / plate.inductance_factor.sqrt());
    assert!(with.1 < without.1 - CLEARLY_DB);
}

#[test]
fn a_bass_cut_of_2_2n_takes_3_db_near_360_hz_and_near_460_hz_with_a_cable() {
    // 1 / (2 pi 2.2n (250k across 1M)) = 362 Hz. The coil's 6.4k + j5.9k stands in series before and after, so there the
    // cut is |206.4k + j5.9k| / |206.4k + j5.9k - j200k| = 206.5 / 283.4, or -2.75 dB (the tone's 250k, across the coil,
    // left out: 0.03 dB). 500 pF is 880k at 362 Hz, across 200k, and takes more.
    let (before, after) = (assembly("five-way-master-tone", GUITAR), assembly("five-way-master-tone+bass-cut", GUITAR));
    let cut = |cable: f64, hertz: f64| {
        let controls = at(1).load(cable, 1e6);
        level_db(&after, &controls, hertz) - level_db(&before, &controls, hertz)
    };
    let corner = 1.0 / (TAU * 2.2e-9 * across(250e3, 1e6));
    println!(
        "{:.2} dB at {corner:.0} Hz without cable, {:.2} dB at 460 Hz with it",
        cut(1e-12, corner),
        cut(500e-12, 460.0)
    );
    assert!((corner - 362.0).abs() < 0.5);
    assert!((cut(1e-12, corner) + 2.75).abs() < 0.03, "{}", cut(1e-12, corner));
    assert!((cut(500e-12, 460.0) + 3.01).abs() < 0.1, "{}", cut(500e-12, 460.0));
    assert!(cut(500e-12, 82.4) < -12.0 && cut(500e-12, 5e3).abs() < CLEARLY_DB);
}

// The meter

#[test]
fn a_meter_at_the_jack_reads_the_pickup_with_the_volume_across_it() {
    // Volume at 10: 1 ohm of wiper, then the coil, all across the track of 250k.
    let wiring = assembly("five-way-master-tone", GUITAR);
    let pairs = [6.4e3, across(6.4e3, 5.9e3), 5.9e3, across(5.9e3, 5.8e3), 5.8e3];
    for (position, coils) in (1..=5).zip(pairs) {
        let reading = dc_at_jack(&wiring, &at(position)).unwrap();
        println!("position {position}: {reading:.0} ohm");
        assert_ohms(reading, across(250e3, 1.0 + coils));
    }
    assert!((dc_at_jack(&wiring, &at(1)).unwrap() - 6241.2).abs() < 0.5); // 6.401k across 250k
}

#[test]
fn a_meter_at_the_jack_reads_both_pickups_in_series_or_in_parallel() {
    let wiring = assembly("two-pickups-series", "two-single-coils");
    let coils = [7.4e3, across(7.4e3, 7.5e3), 7.5e3, 7.4e3 + 7.5e3];
    for (position, coils) in (1..=4).zip(coils) {
        assert_ohms(dc_at_jack(&wiring, &at(position)).unwrap(), across(250e3, 1.0 + coils));
    }
}

#[test]
fn a_meter_reads_nearly_nothing_with_the_volume_at_0_and_the_track_on_the_way() {
    let wiring = assembly("volume-only", GUITAR);
    let reading = |turn: f64| dc_at_jack(&wiring, &at(1).knob(&wiring, "volume", turn)).unwrap();
    assert_ohms(reading(0.0), across(1.0, 250e3 + 6.4e3)); // the floor of 1 ohm
    // An audio pot has 15 % at half travel: 37.5k to ground, 212.5k and the coil on the other side.
    assert_ohms(reading(5.0), across(37.5e3, 212.5e3 + 6.4e3));
}

#[test]
fn the_tone_capacitor_blocks_direct_current_so_the_tone_does_not_change_the_reading() {
    for (name, tones) in
        [("five-way-master-tone", vec!["tone"]), ("five-way-outer-pair", vec!["neck tone", "bridge tone"])]
    {
        let wiring = assembly(name, GUITAR);
        for position in 1..=5 {
            let open = dc_at_jack(&wiring, &at(position)).unwrap();
            for tone in &tones {
                let closed = dc_at_jack(&wiring, &at(position).knob(&wiring, tone, 0.0)).unwrap();
                assert_ohms(closed, open);
            }
        }
    }
}

#[test]
fn two_tones_that_share_a_capacitor_join_nothing_for_direct_current_in_positions_with_one_of_them() {
    // The shared capacitor's joint is fed by one pot only, or by two from the same hot joint.
    let wiring = assembly("five-way-two-tones", GUITAR);
    assert_ohms(dc_at_jack(&wiring, &at(5)).unwrap(), across(250e3, 1.0 + 5.8e3));
    assert_ohms(dc_at_jack(&wiring, &at(4)).unwrap(), across(250e3, 1.0 + across(5.9e3, 5.8e3)));
}

#[test]
fn a_bass_cut_in_the_way_leaves_the_meter_nothing_but_the_volume() {
    let wiring = assembly("five-way-master-tone+bass-cut", GUITAR);
    assert_ohms(dc_at_jack(&wiring, &at(1)).unwrap(), 250e3);
}

#[test]
fn a_blend_shows_on_the_meter() {
    let wiring = assembly("five-way-bridge-only-neck-blend", GUITAR);
    let reading = |turn: f64| dc_at_jack(&wiring, &at(1).knob(&wiring, "blend", turn)).unwrap();
    assert_ohms(reading(10.0), across(250e3, 1.0 + 6.4e3)); // open: the bridge alone
    assert_ohms(reading(0.0), across(250e3, 1.0 + across(6.4e3, 1.0 + 5.8e3)));
    assert_ohms(reading(5.0), across(250e3, 1.0 + across(6.4e3, 37.5e3 + 5.8e3)));
}
