//! A blind comparison gives nothing away.

use dryfit_plugin::editor::*;
use egui::Key;
use egui_kittest::kittest::Queryable;

use super::fixtures::{CAPACITORS, blind_result, view};
use super::stage::stage;

fn running() -> ViewModel {
    ViewModel { blind: Blind::Running { answered: 5, trials: 16 }, listen: Listen::X, ..view(&CAPACITORS) }
}

#[test]
fn a_comparison_begins_with_the_number_of_trials_and_takes_an_answer_for_each() {
    let memory = Memory { aside: Some(Aside::Blind), ..Memory::default() };
    let mut harness = stage(view(&CAPACITORS), memory, OPENS_AT);
    harness.run();
    harness.get_by_label("16 trials").click();
    harness.run();
    assert_eq!(harness.state().actions, [Action::StartBlind { trials: 16 }]);
    let mut harness = stage(running(), Memory::default(), OPENS_AT);
    harness.run();
    harness.get_by_label("X is B").click();
    harness.run();
    assert_eq!(harness.state().actions, [Action::AnswerBlind(BenchId::B)]);
}

#[test]
fn while_it_runs_a_x_and_b_can_be_heard_but_the_benches_stay_covered() {
    let mut harness = stage(running(), Memory::default(), OPENS_AT);
    harness.run();
    for key in [Key::A, Key::X, Key::B, Key::D, Key::Escape] {
        harness.key_press(key);
        harness.run();
    }
    let heard = [Listen::A, Listen::X, Listen::B].map(Action::Listen);
    assert_eq!(harness.state().actions, heard);
    assert!(harness.query_by_label("copy to B").is_none());
    assert!(harness.query_by_label("close").is_none());
    assert!(harness.query_by_label("listen to the dry take").is_none());
}

/// The model cannot say what X is; what differs between the benches (gains, trust) is not shown either.
#[test]
fn neither_gains_nor_trust_are_shown_while_it_runs() {
    let shown = |model: ViewModel| {
        let mut harness = stage(model, Memory::default(), OPENS_AT);
        harness.run();
        format!("{:?}", harness.output().shapes.iter().map(|clipped| &clipped.shape).collect::<Vec<_>>())
    };
    let mut other = running();
    other.loudness.gains = ["1 dB", "2 dB", "3 dB"].map(String::from);
    other.answers.trust = Trust::Silent;
    assert!(shown(running()) == shown(other));
}

/// Exact one-sided binomial probability: 12 of 16 by guessing, (16 choose 12 + .. + 16 choose 16) / 2^16 = 2517 / 65536.
#[test]
fn the_result_says_how_likely_guessing_is() {
    let ways: u64 = [1820, 560, 120, 16, 1].iter().sum();
    let probability = format!("{:.4}", ways as f64 / 65_536.0);
    let mut harness = stage(
        ViewModel { blind: blind_result(), ..view(&CAPACITORS) },
        Memory { aside: Some(Aside::Blind), ..Memory::default() },
        OPENS_AT,
    );
    harness.run();
    let said = format!(
        "By guessing, so many or more come about with probability p = {}.",
        probability.trim_start_matches('0')
    );
    assert!(harness.query_by_label("12 of 16 right").is_some());
    assert!(harness.query_by_label(&said).is_some());
}
