use std::sync::Arc;

use dryfit_dsp::conversion::{Conversion, Grid, Places, Recorded};
use dryfit_dsp::engine::{Engine, Listen, Scene};
use dryfit_dsp::following::{Alone, Follower, Source};
use dryfit_dsp::string::{Performance, Realism, performances, synthesise};
use dryfit_tests::following::{Make, guitar};
use dryfit_tests::ground_truth::Stand;

/// The wiring that takes are recorded with, and one with the neck pickup in position 5 and the bridge in position 1.
pub const TWO_TONES: &str = "five-way-two-tones";

/// The first seconds of the demo riff at the bridge, at a sample rate.
pub fn riff(sample_rate: f64, seconds: f64) -> Vec<f32> {
    played(sample_rate, seconds, &performances::demo())
}

/// The first seconds of a performance at the bridge, before any circuit, peak -6 dBFS.
pub fn played(sample_rate: f64, seconds: f64, performance: &Performance) -> Vec<f32> {
    let mut take = synthesise(&guitar(), performance, 5, sample_rate, &Realism::played());
    take.scale(0.5 / take.peak(0));
    let mut bridge = take.pickups.swap_remove(0);
    bridge.resize((seconds * sample_rate) as usize, 0.0);
    bridge
}

/// The followers that hear a take as it comes.
pub const FOLLOWERS: [Make; 2] = [Follower::live, Follower::ahead];

/// How a follower is made for a take that is known.
pub type MakeFor = fn(&Source, f64, &[f32]) -> Follower;
/// All followers, by the way they hear a take.
pub const WAYS: [(&str, MakeFor); 3] = [
    ("live", |source, rate, _| Follower::live(source, rate)),
    ("whole", |source, rate, take| Follower::whole(source, rate, take, &Alone)),
    ("ahead", |source, rate, _| Follower::ahead(source, rate)),
];

/// Conversions of a bridge take to both wirings, and a follower for them.
pub fn prepared(make: Make, sample_rate: f64, wirings: &[&str]) -> (Vec<Conversion>, Follower) {
    let guitar = guitar();
    let bridge = Stand::new(TWO_TONES, &guitar, 1);
    let recorded = Recorded::new(&bridge.assembly, &bridge.controls, &Grid::up_to(sample_rate / 2.0)).unwrap();
    let source = Source::new(&guitar, recorded.responses(), recorded.grid());
    let follower = make(&source, sample_rate);
    let recorded = recorded.followed(Arc::new(Places::new(&guitar, follower.size().lattice().hertz())));
    let conversion = |wiring: &&str| Conversion::new(&recorded, &Stand::new(wiring, &guitar, 1).assembly).unwrap();
    (wirings.iter().map(conversion).collect(), follower)
}

/// An engine with a follower, a clone as the plug-in has it.
pub fn engine(make: Make, sample_rate: f64, channels: usize, wirings: &[&str]) -> Engine<Conversion> {
    let (conversions, follower) = prepared(make, sample_rate, wirings);
    Engine::new(sample_rate, channels, conversions).following(follower.clone())
}

/// Bench A in a position, notes followed.
pub fn followed(position: u8) -> Scene {
    let mut scene = Scene { listen: Listen::A, follow: true, ..Scene::default() };
    scene.controls.position = position;
    scene
}

/// Plays one channel in blocks of a size under a scene.
pub fn play(engine: &mut Engine<Conversion>, input: &[f32], block: usize, scene: impl Fn(usize) -> Scene) -> Vec<f32> {
    let mut output = input.to_vec();
    for (place, samples) in output.chunks_mut(block).enumerate() {
        engine.process(&scene(place * block), &mut [samples]);
    }
    output
}
