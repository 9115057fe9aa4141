//! Conversions held against takes of which the truth is known.
//!
//! The takes are synthesised for all pickups at once (stiff strings, `dsp::string::synthesis`), so the truth of every other
//! setting exists. The source of the bounds is the numerical study behind the design (its tables are quoted beside them).

use dryfit_bundler::trust;
use dryfit_dsp::conversion::{Conversion, Grid, Recorded};
use dryfit_dsp::document::{DocumentKind, Guitar, Library};
use dryfit_dsp::string::performances;
use dryfit_tests::ground_truth::{SAMPLE_RATE, Stand, add_noise, play};
use dryfit_tests::metrics::{largest_band_difference, log_spectral_distance};

const RATE: f64 = SAMPLE_RATE as f64;

fn guitar() -> Guitar {
    Library::presets().guitar("three-single-coils").unwrap()
}

fn bridge_alone(guitar: &Guitar) -> Stand {
    Stand::new("five-way-two-tones", guitar, 1)
}

/// Where the same pickup sounds, the conversion follows from the circuit alone. 0.1 dB is the bound, a tenth of what
/// is heard on a curve.
#[test]
fn a_bridge_take_becomes_every_other_setting_of_the_bridge_within_0_1_db() {
    let guitar = guitar();
    let recorded = bridge_alone(&guitar);
    let played = play(&guitar, &performances::demo(), 3);
    let take = recorded.truth(&played);
    let mut worst = (0.0f64, 0.0f64);
    for option in bridge_settings(&guitar) {
        let what = format!("{} with {:?}", option.assembly.title, option.controls);
        assert!(is_exact(&recorded, &option), "{what} sounds with the bridge alone");
        let (heard, truth) = (recorded.convert(&take, &option), option.truth(&played));
        let off = largest_band_difference(&heard, &truth, RATE);
        let distance = log_spectral_distance(&heard, &truth, RATE);
        worst = (off.max(worst.0), distance.max(worst.1));
        assert!(off < 0.1, "{off:.3} dB in a third octave: {what}");
        assert!(distance < 0.1, "{distance:.3} dB rms over bands and frames: {what}");
    }
    println!("at most {:.6} dB in a third octave, {:.6} dB rms over bands and frames", worst.0, worst.1);
}

/// Every preset in position 1 with what leaves the bridge alone, and knobs that only change its circuit.
fn bridge_settings(guitar: &Guitar) -> Vec<Stand> {
    let library = Library::presets();
    let mut settings = Vec::new();
    for name in library.names(DocumentKind::Wiring) {
        let stand = Stand::new(name, guitar, 1);
        let knobs: Vec<String> = stand.assembly.controls.knobs.iter().flatten().cloned().collect();
        let mut candidates = vec![stand.clone()];
        candidates.extend(knobs.iter().flat_map(|label| [7.0, 3.0].map(|to| stand.clone().turned(label, to))));
        settings.extend(candidates.into_iter().filter(|option| is_exact(&bridge_alone(guitar), option)));
    }
    assert!(settings.len() >= 30, "only {} settings with the bridge alone", settings.len());
    settings
}

fn is_exact(recorded: &Stand, option: &Stand) -> bool {
    let grid = Grid::up_to(RATE / 2.0);
    let recorded = Recorded::new(&recorded.assembly, &recorded.controls, &grid).unwrap();
    Conversion::new(&recorded, &option.assembly).unwrap().assess(&option.controls).exact
}

/// Other pickups are estimated. This is the yardstick: the error against truth, single lines and chords, with the take left
/// as it is beside it.
///
/// The study behind the design found 8.4 | 6.6 dB for the take left as it is and 6.75 | 4.2 dB for the best static filter
/// (bridge take to neck; 6.6 | 4.5 with the realism on, its `F14.txt`). Our performances are others, so 1 dB is granted.
#[test]
fn a_take_becomes_another_pickup_about_as_well_as_the_best_static_filter_can() {
    let guitar = guitar();
    let bridge = bridge_alone(&guitar);
    let targets = [
        ("bridge to neck", bridge.clone(), Stand::new("five-way-two-tones", &guitar, 5)),
        ("bridge to middle", bridge.clone(), Stand::new("five-way-two-tones", &guitar, 3)),
        ("bridge to neck + middle", bridge.clone(), Stand::new("five-way-two-tones", &guitar, 4)),
        ("bridge to bridge + middle", bridge.clone(), Stand::new("five-way-two-tones", &guitar, 2)),
        ("bridge to neck + bridge", bridge.clone(), Stand::new("five-way-outer-pair", &guitar, 3)),
        (
            "bridge to bridge, blend 5",
            bridge.clone(),
            Stand::new("five-way-bridge-only-neck-blend", &guitar, 1).turned("blend", 5.0),
        ),
        ("neck to bridge", Stand::new("five-way-two-tones", &guitar, 5), bridge.clone()),
        ("middle to bridge", Stand::new("five-way-two-tones", &guitar, 3), bridge),
    ];
    let performances: Vec<_> = performances::all()
        .into_iter()
        .enumerate()
        .map(|(i, (_, performance))| play(&guitar, &performance, 21 + i as u64))
        .collect();
    println!("{:28} {:>15}   {:>15}", "dB rms per third octave", "left as it is", "converted");
    let mut mean = [0.0; 2];
    for (name, recorded, option) in targets {
        let mut table = [[0.0; 2]; 2];
        for (i, played) in performances.iter().enumerate() {
            let mut take = recorded.truth(played);
            add_noise(&mut take, i as u64 + 1);
            let truth = option.truth(played);
            let converted = recorded.convert(&take, &option);
            table[0][i / 4] += log_spectral_distance(&take, &truth, RATE) / 4.0;
            table[1][i / 4] += log_spectral_distance(&converted, &truth, RATE) / 4.0;
        }
        let [left, converted] = table;
        if !name.contains("blend") {
            mean[0] += converted[0] / 7.0;
            mean[1] += converted[1] / 7.0;
        }
        println!("{name:28} {:6.2} | {:6.2}   {:6.2} | {:6.2}", left[0], left[1], converted[0], converted[1]);
        assert!(converted[0] < left[0] && converted[1] < left[1], "{name}: converting made it worse");
        if name == "bridge to neck" {
            assert!(converted[0] < 6.6 + 1.0 && converted[1] < 4.5 + 1.0, "{name}: {converted:?}");
        }
    }
    // What people are told, to the half dB.
    assert!((mean[0] - trust::STATIC_ON_LINES_DB).abs() < 0.5, "people are told another figure than {:.2} dB", mean[0]);
    assert!(
        (mean[1] - trust::STATIC_ON_CHORDS_DB).abs() < 0.5,
        "people are told another figure than {:.2} dB",
        mean[1]
    );
}
