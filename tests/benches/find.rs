//! What a search costs. Budgets (`design.md`, section 8): 50 ms for two poles and five positions; 1 s for four poles and two
//! push-pulls.

use std::hint::black_box;
use std::ops::ControlFlow;

use criterion::{Criterion, criterion_group, criterion_main};
use dryfit_dsp::document::{Library, Sounds};
use dryfit_dsp::find::{Effort, Outcome, find};

const TWO_POLES: &str = "lever-2-pole-5-position";
const FOUR_POLES: &str = "lever-4-pole-5-position";

fn table(more: &str) -> Sounds {
    let text = format!(
        "format = 1\ntitle = \"t\"\n[positions]\n1 = \"bridge\"\n2 = \"bridge + middle\"\n3 = \"neck + bridge\"\n\
         4 = \"neck + middle\"\n5 = \"neck\"\n[knobs]\nvolume = \"volume\"\ntone = \"tone\"\n{more}\n"
    );
    Sounds::read("bench", &text).expect("the table is right")
}

fn search(criterion: &mut Criterion, what: &str, sounds: &Sounds, switch: &str) {
    let library = Library::presets();
    let guitar = library.guitar("three-single-coils").expect("a preset guitar");
    let run = || {
        let outcome = find(&library, black_box(sounds), &guitar, Some(switch), Effort::default(), &mut |_, _| {
            ControlFlow::Continue(())
        });
        assert!(!matches!(outcome, Ok(Outcome::GivenUp { .. }) | Err(_)), "{what}: {outcome:?}");
    };
    criterion.bench_function(&format!("find {what} on {switch}"), |b| b.iter(run));
}

fn two_poles(criterion: &mut Criterion) {
    search(criterion, "blend and outer pair", &table("blend = \"blend neck in 1\""), TWO_POLES);
    search(criterion, "that there is none", &table("blend = \"blend neck in 1 2\""), TWO_POLES);
    let phase = "[switches.phase.up]\n2 = \"bridge + reversed middle\"\n4 = \"neck + reversed middle\"";
    search(criterion, "a phase push-pull", &table(phase), TWO_POLES);
    let series = "[switches.series.up]\n3 = \"neck in series with bridge\"";
    search(criterion, "that there is none with a series push-pull", &table(series), TWO_POLES);
}

fn four_poles(criterion: &mut Criterion) {
    let on = "[switches.on.up]\n1 = \"bridge + neck\"\n2 = \"bridge + middle + neck\"";
    search(criterion, "blend and outer pair", &table("blend = \"blend neck in 1\""), FOUR_POLES);
    search(criterion, "a neck-on push-pull", &table(on), FOUR_POLES);
    let phase = "[switches.phase.up]\n2 = \"bridge + reversed middle\"\n4 = \"neck + reversed middle\"";
    search(criterion, "a phase push-pull", &table(phase), FOUR_POLES);
    let series = "[switches.series.up]\n3 = \"neck in series with bridge\"";
    search(criterion, "a series push-pull", &table(series), FOUR_POLES);
    search(criterion, "neck-on and phase push-pulls", &table(&format!("{on}\n{phase}")), FOUR_POLES);
}

criterion_group! {
    name = benches;
    config = Criterion::default().sample_size(10);
    targets = two_poles, four_poles
}
criterion_main!(benches);
