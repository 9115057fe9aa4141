//! The engine itself.

use super::bench::{Bench, Boundary, Workshop};
use super::buffers::Buffers;
use super::convolver::History;
use super::delay::Delay;
use super::matching::Matching;
use super::mixer::Mixer;
use super::scene::{Listen, Scene};
use crate::conversion::Target;
use crate::filter::Size;
use crate::following::Follower;

/// Turns a take into what is heard, with no latency unless a follower looks ahead.
///
/// **Contract.** After [`Engine::new`] nothing here allocates, locks, waits or asks the system for anything, so every
/// method may be called on the audio thread. The work of a knob that moves (one design per bench and step) is done
/// there too: what is heard never depends on another thread.
///
/// **Control grid.** One step is one partition of the convolver ([`Size::step`], 32 samples at 48 kHz), counted in
/// samples since the last [`Engine::reset`], never in blocks. A [`Scene`] is read at the boundaries of the grid only:
/// the one given for the block that holds the boundary's sample. A host with sample-accurate automation splits its
/// blocks at the events; then the samples do not depend on any other splitting.
///
/// - A knob that moved fades from the old filter to the new one over the step that begins: one step of delay.
/// - A selector or switch that moved fades in 2 ms. While that runs, further changes wait for its end; the newest wins.
/// - Another [`Listen`] fades in 2 ms, a new output gain over two steps.
/// - What a follower found fades in from two steps later on, on both benches at once; on a bench that is not heard only every
///   second finding does.
/// - Dry, A and B all run always, so that every change of `listen` is instant.
///
/// **Latency.** With a follower that looks ahead of what is heard ([`Follower::latency`]), samples and scenes are delayed alike,
/// dry too: what is heard is the same as without it, later, but for what the follower finds. The latency is whole steps of the
/// control grid; whoever calls the engine tells the host, or cuts so much off the beginning.
///
/// **Input.** Samples that are not finite, or beyond 120 dB over full scale, count as 0: one of them would stay in the
/// filters for their whole length and in the loudness until the transport starts again. Samples under -300 dBFS count
/// as 0 too, so that a dying tail never makes the processor compute with denormal numbers.
pub struct Engine<T> {
    size: Size,
    sample_rate: f64,
    jump: usize,
    histories: Vec<History>,
    benches: Vec<Bench<T>>,
    workshop: Workshop,
    matching: Matching,
    mixer: Mixer,
    buffers: Buffers,
    delay: Delay,
    follower: Option<Follower>,
}

impl<T: Target> Engine<T> {
    /// Benches an engine has at most: A and B.
    pub const BENCHES: usize = 2;
    const JUMP_SECONDS: f64 = 2e-3;
    /// Steps in which a new output gain is reached; in one, a change of 6 dB would make a corner.
    const GAIN_STEPS: usize = 2;

    /// For a sample rate, in hertz, this many channels, and none, one (A) or two (A, B) targets, each made for
    /// `Grid::up_to(sample_rate / 2.0)`.
    ///
    /// # Panics
    /// When there are more than [`Engine::BENCHES`] targets, or [`Size::at`] refuses the rate.
    pub fn new(sample_rate: f64, channels: usize, targets: Vec<T>) -> Self {
        assert!(targets.len() <= Self::BENCHES, "{} targets for two benches", targets.len());
        let size = Size::at(sample_rate);
        let workshop = Workshop::new(size, sample_rate);
        Self {
            size,
            sample_rate,
            jump: (Self::JUMP_SECONDS * sample_rate).round() as usize,
            histories: (0..channels).map(|_| History::new(&workshop.transform, size.taps, sample_rate)).collect(),
            matching: Matching::new(sample_rate, channels, targets.len()),
            mixer: Mixer::new(targets.len()),
            benches: targets
                .into_iter()
                .enumerate()
                .map(|(place, target)| Bench::new(target, place, size, channels, &workshop.transform))
                .collect(),
            workshop,
            buffers: Buffers::new(channels, size.step),
            delay: Delay::new(channels, size.step, 0),
            follower: None,
        }
    }

    /// The same with a follower, made for the same sample rate, whose findings are used while [`Scene::follow`] is on.
    pub fn following(mut self, follower: Follower) -> Self {
        self.workshop.expect(&follower, self.sample_rate);
        self.benches.iter_mut().for_each(|bench| bench.expect(&follower));
        if !self.delay.has_room_for(follower.latency()) {
            self = self.expecting(follower.latency());
        }
        self.delay.set_latency(follower.latency());
        self.follower = Some(follower);
        self
    }

    /// The same with room for a follower of that latency, in samples, to be put in the place of the first one.
    pub fn expecting(mut self, latency: usize) -> Self {
        self.delay = Delay::new(self.histories.len(), self.size.step, latency);
        self.delay.set_latency(self.follower.as_ref().map_or(0, Follower::latency));
        self
    }

    /// Samples from what comes to what is heard.
    pub fn latency(&self) -> usize {
        self.delay.latency()
    }

    /// What the follower knows; none without one.
    pub fn follower(&self) -> Option<&Follower> {
        self.follower.as_ref()
    }

    /// Puts another follower in the place of the one that is there, and that in its place. The other must be made for the same
    /// sample rate. With one of another latency everything begins anew, as after [`Engine::reset`]; one that there is no room for
    /// is not taken ([`Engine::expecting`]), and an engine without a follower takes none.
    pub fn exchange_follower(&mut self, follower: &mut Follower) {
        let latency = follower.latency();
        let Some(own) = self.follower.as_mut().filter(|_| self.delay.has_room_for(latency)) else { return };
        std::mem::swap(own, follower);
        if latency != self.delay.latency() {
            self.delay.set_latency(latency);
            self.reset();
        }
    }

    /// Samples from one boundary of the control grid to the next.
    pub fn step(&self) -> usize {
        self.size.step
    }

    /// Processes one block of any length in place.
    ///
    /// Never panics: of channels of unequal length the shortest counts, channels beyond those of [`Engine::new`] are
    /// left as they are, and missing ones count as silent.
    pub fn process(&mut self, scene: &Scene, channels: &mut [&mut [f32]]) {
        let used = channels.len().min(self.histories.len());
        let channels = &mut channels[..used];
        let length = channels.iter().map(|channel| channel.len()).min().unwrap_or(0);
        let mut done = 0;
        while done < length {
            let position = self.delay.position();
            // Until the take is heard, all stays as it is at the beginning; only the follower listens.
            let filling = self.delay.is_filling();
            if position == 0 {
                let scene = self.delay.scene(scene);
                let follows = self.follow(&scene);
                if !filling {
                    self.begin_step(&scene, follows);
                }
            }
            let samples = (self.size.step - position).min(length - done);
            self.buffers.take(channels, done, samples);
            self.delay.samples(&mut self.buffers.dry, samples);
            if filling {
                channels.iter_mut().for_each(|channel| channel[done..done + samples].fill(0.0));
            } else {
                self.run(position, samples);
                self.give(channels, done, samples);
                if position + samples == self.size.step {
                    self.histories.iter_mut().for_each(|history| history.complete(&mut self.workshop.transform));
                }
            }
            done += samples;
        }
    }

    /// Puts another target on a bench at the next boundary, with the fade of a jump, and returns the one that was there
    /// (or, when there is no such bench, the new one) for the caller to drop where dropping may take its time.
    pub fn exchange(&mut self, bench: usize, target: T) -> T {
        match self.benches.get_mut(bench) {
            Some(bench) => bench.exchange(target),
            None => target,
        }
    }

    /// Integrated loudness of dry, A or B since the transport started, in LKFS, before any match or output gain; none
    /// while there is nothing to measure.
    pub fn loudness(&self, of: Listen) -> Option<f64> {
        self.matching.integrated(of.bench())
    }

    /// The transport started: loudness is measured anew, and matching begins again from no gain.
    pub fn restart_loudness(&mut self) {
        self.matching.restart(self.jump);
    }

    /// Back to where [`Engine::new`] left it; targets stay. The next sample is a boundary of the control grid.
    pub fn reset(&mut self) {
        self.histories.iter_mut().for_each(History::reset);
        self.benches.iter_mut().for_each(Bench::reset);
        self.matching.reset();
        self.delay.reset();
        if let Some(follower) = &mut self.follower {
            follower.reset();
        }
        self.mixer = Mixer::new(self.benches.len());
    }

    fn begin_step(&mut self, scene: &Scene, follows: bool) {
        self.matching.begin_step(scene.loudness_match, self.jump);
        self.mixer.begin_step(scene.listen, scene.output_db, self.jump, Self::GAIN_STEPS * self.size.step);
        let boundary = Boundary {
            controls: &scene.controls,
            histories: &self.histories,
            follower: self.follower.as_ref().filter(|_| follows),
            lengths: (self.size.step, self.jump),
            heard: scene.listen.bench(),
        };
        for bench in &mut self.benches {
            bench.begin_step(&boundary, &mut self.workshop);
        }
    }

    /// Lets the follower hear the step that came before. Whether its findings are asked for.
    fn follow(&mut self, scene: &Scene) -> bool {
        let Some(follower) = &mut self.follower else { return false };
        let wanted = scene.follow && self.benches.iter_mut().any(|bench| bench.follows(&scene.controls));
        follower.set_active(wanted);
        follower.hear(self.delay.came());
        wanted
    }

    /// Runs the benches and the meters on what is heard dry.
    fn run(&mut self, position: usize, samples: usize) {
        for (dry, history) in self.buffers.dry.iter().zip(&mut self.histories) {
            history.push(&dry[..samples]);
        }
        self.matching.hear_dry(&self.buffers.dry, 0..samples);
        for (place, bench) in self.benches.iter_mut().enumerate() {
            let out = &mut self.buffers.benches[place];
            bench.output(&self.histories, position, &mut self.workshop, out);
            self.matching.hear_bench(place, out, 0..samples);
        }
    }

    /// Mixes what is heard into the channels.
    fn give(&mut self, channels: &mut [&mut [f32]], done: usize, samples: usize) {
        let Buffers { shares, gain, .. } = &mut self.buffers;
        let gain = &mut gain[..samples];
        self.mixer.write(shares.each_mut().map(|share| &mut share[..samples]), gain);
        for (bench, share) in shares.iter_mut().skip(1).take(self.benches.len()).enumerate() {
            self.matching.write_gain(bench, gain);
            share.iter_mut().zip(&*gain).for_each(|(share, gain)| *share *= gain);
        }
        self.buffers.give(channels, done, samples);
    }
}
