//! The project as the host's thread, the editor and the worker share it.

use std::sync::atomic::{AtomicU8, Ordering};
use std::sync::{Arc, Condvar, Mutex, MutexGuard};

use dryfit_dsp::document::Problems;

use super::analysis::Analysis;
use super::followed::Sounding;
use super::handover::{Handover, Targets};
use super::state::{State, guarded, names};
use super::surveyed::{Surveyed, survey};
use crate::session::{Bench, Project, Unreadable};

/// The project on the bench, what became of it, and the way to the audio thread.
///
/// Everything but [`Desk::handover`] and [`Desk::blind`] takes a lock, which is never held while something is compiled;
/// the audio thread uses those two only.
#[derive(Debug)]
pub struct Desk {
    state: Mutex<State>,
    changed: Condvar,
    handover: Handover,
    blind: AtomicU8,
}

/// A saved state that could not be used. It is saved again as it is until the user edits something.
#[derive(Debug, Clone, PartialEq)]
pub struct Kept {
    /// As it was read.
    pub text: String,
    /// Why it cannot be used.
    pub why: Unreadable,
}

impl Desk {
    /// The sample rate, in hertz, for an analysis before the host said one.
    const USUAL_RATE: f64 = 48_000.0;

    /// With a project.
    pub fn new(project: Project) -> Self {
        Self {
            state: Mutex::new(State::new(project)),
            changed: Condvar::new(),
            handover: Handover::default(),
            blind: AtomicU8::new(0),
        }
    }

    /// The project on the bench.
    pub fn project(&self) -> Arc<Project> {
        self.lock().project.clone()
    }

    /// Puts an edited project on the bench. It sounds when it is compiled; until then the last good one does. One that sounds the
    /// same takes the other's place, and nothing is compiled.
    pub fn edit(&self, project: Project) {
        let names = names(&project);
        let mut state = self.lock();
        state.kept = None;
        if state.project.sounds_as(&project) {
            state.project = Arc::new(project);
            return;
        }
        state.put(project, names);
        self.changed.notify_all();
    }

    /// Puts a saved project on the bench, compiled before this returns when the host has said its sample rate. One that
    /// cannot be used is kept as it is, and the bench stays.
    pub fn restore(&self, text: &str) {
        match Project::from_text(text) {
            Ok(project) => {
                let names = names(&project);
                {
                    let mut state = self.lock();
                    state.kept = None;
                    if *state.project == project && state.problems.is_none() {
                        return;
                    }
                    state.put(project, names);
                    if state.sample_rate.is_none() {
                        return self.changed.notify_all();
                    }
                }
                self.work(&|| false);
            }
            Err(why) => self.lock().kept = Some(Kept { text: text.into(), why }),
        }
    }

    /// What is to be saved: the project, or the state that was kept.
    pub fn save(&self) -> String {
        let state = self.lock();
        match &state.kept {
            Some(kept) => kept.text.clone(),
            None => state.project.to_text(),
        }
    }

    /// The host says its sample rate, in hertz: compiles the newest project for it, waiting, and returns its targets with
    /// their generation. None when it cannot sound.
    pub fn activate(&self, sample_rate: f64) -> (u64, Option<Sounding>) {
        self.lock().sample_rate = Some(sample_rate);
        loop {
            let (project, generation, before) = {
                let state = self.lock();
                (state.project.clone(), state.generation, state.followed.clone())
            };
            let outcome = guarded(&project, generation, sample_rate, before, &|| false);
            let mut state = self.lock();
            if state.generation == generation {
                let targets = state.take_over(generation, outcome);
                return (generation, targets);
            }
        }
    }

    /// What is known about the newest compiled project. Asking for it makes the worker compile even before anything sounds.
    pub fn analysis(&self) -> Option<Arc<Analysis>> {
        let mut state = self.lock();
        if !state.looked_at {
            state.looked_at = true;
            self.changed.notify_all();
        }
        state.analysis.clone()
    }

    /// What was last drawn and surveyed, which may be older than the newest compiled project; each is a whole. Asking for it
    /// makes the worker draw and survey that project with a step of the tray.
    pub fn surveyed(&self, step: u8) -> Option<Arc<Surveyed>> {
        let mut state = self.lock();
        if state.step != Some(step) {
            state.step = Some(step);
            self.changed.notify_all();
        }
        state.surveyed.clone()
    }

    /// Whether the newest project is still being compiled.
    pub fn working(&self) -> bool {
        let state = self.lock();
        state.done < state.generation
    }

    /// Whether what is wanted is still being drawn and surveyed.
    pub fn surveying(&self) -> bool {
        self.lock().to_survey().is_some()
    }

    /// Why the newest project cannot sound, if so.
    pub fn problems(&self) -> Option<Problems> {
        self.lock().problems.clone()
    }

    /// The saved state that could not be used, if there is one.
    pub fn kept(&self) -> Option<Kept> {
        self.lock().kept.clone()
    }

    /// What is on in a position of a bench, knobs on 10; none beyond its last.
    pub fn position_name(&self, bench: Bench, position: usize) -> Option<String> {
        self.lock().names[bench.index()].get(position.checked_sub(1)?).cloned()
    }

    /// The values that lie in the tray.
    pub fn tray_values(&self) -> Vec<String> {
        self.lock().project.tray.values.clone()
    }

    /// The way to the audio thread.
    pub fn handover(&self) -> &Handover {
        &self.handover
    }

    /// What is heard in a blind comparison, whatever the parameters say; none when there is no such comparison.
    pub fn blind(&self) -> Option<Bench> {
        match self.blind.load(Ordering::Acquire) {
            1 => Some(Bench::A),
            2 => Some(Bench::B),
            _ => None,
        }
    }

    /// Makes a bench heard in a blind comparison, or ends it.
    pub fn set_blind(&self, bench: Option<Bench>) {
        self.blind.store(bench.map_or(0, |bench| bench.index() as u8 + 1), Ordering::Release);
    }

    /// Compiles the newest project until nothing newer is there or `stop` says so, and hands the targets over.
    pub(super) fn work(&self, stop: &dyn Fn() -> bool) {
        loop {
            let (job, before) = {
                let state = self.lock();
                (state.job(), state.followed.clone())
            };
            let Some((project, generation, sample_rate)) = job else { return };
            let superseded = || stop() || self.lock().generation != generation;
            let outcome = guarded(&project, generation, sample_rate.unwrap_or(Self::USUAL_RATE), before, &superseded);
            if stop() {
                return;
            }
            let mut state = self.lock();
            if state.generation != generation || state.sample_rate != sample_rate {
                continue;
            }
            if let (Some(sounding), Some(sample_rate)) = (state.take_over(generation, outcome), sample_rate) {
                // Under the lock, so that targets are published in the order of their generations.
                self.handover.publish(Targets::new(generation, sample_rate, sounding));
            }
        }
    }

    /// Draws and surveys what is wanted, unless `stop` says so or something newer is there; that comes first.
    pub fn survey(&self, stop: &dyn Fn() -> bool) {
        let Some((analysis, step)) = self.lock().to_survey() else { return };
        let superseded = || {
            let state = self.lock();
            state.job().is_some() || state.step != Some(step)
        };
        let unwanted = || stop() || superseded();
        let attempt = std::panic::AssertUnwindSafe(|| survey(&analysis, step, &unwanted));
        // A panic leaves a survey of nothing, so that it is not tried again and again.
        let nothing = Surveyed { generation: analysis.generation, step, benches: [None, None] };
        if let Some(surveyed) = std::panic::catch_unwind(attempt).unwrap_or(Some(nothing)) {
            self.lock().surveyed = Some(Arc::new(surveyed));
        }
    }

    /// Waits until there is something to compile or to survey; false when the instance goes.
    pub(super) fn wait(&self) -> bool {
        let mut state = self.lock();
        while !state.stopping && state.job().is_none() && state.to_survey().is_none() {
            state = self.changed.wait(state).unwrap_or_else(|poisoned| poisoned.into_inner());
        }
        !state.stopping
    }

    /// Whether the instance goes.
    pub(super) fn stopping(&self) -> bool {
        self.lock().stopping
    }

    /// The instance goes.
    pub(super) fn stop(&self) {
        self.lock().stopping = true;
        self.changed.notify_all();
    }

    /// A panic elsewhere leaves a state that is whole: every change of it is one assignment after the other.
    fn lock(&self) -> MutexGuard<'_, State> {
        self.state.lock().unwrap_or_else(|poisoned| poisoned.into_inner())
    }
}
