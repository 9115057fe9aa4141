//! The plug-in: a thin shell around the engine.

use std::sync::Arc;
use std::time::Duration;

use dryfit_dsp::document::Library;
use dryfit_dsp::engine::{Engine, Listen};
use dryfit_dsp::following::Follower;
use nih_plug::prelude::*;
use nih_plug_egui::EguiEditor;

use crate::app::{App, Documents};
use crate::compile::{Desk, Followers, OptionTarget, Worker};
use crate::params::{Parameters, tame};
use crate::recorder::Head;
use crate::session::{Bench, Project};
use crate::taps::Taps;
use crate::window::Window;

/// Dryfit as a host sees it.
///
/// Nothing in [`Plugin::process`] allocates, locks or waits: parameters and targets cross over by atomics, and the
/// [`Engine`] keeps the same contract.
pub struct Dryfit {
    parameters: Arc<Parameters>,
    desk: Arc<Desk>,
    taps: Arc<Taps>,
    sounding: Option<Sounding>,
    /// Dropped last, joining its thread: it uses the desk.
    _worker: Worker,
}

/// What sounds between activation and deactivation.
struct Sounding {
    engine: Engine<OptionTarget>,
    /// Whether its follower looks ahead; and the one that does otherwise.
    ahead: bool,
    other: Option<Follower>,
    /// Records what comes in where the editor asks for it.
    head: Head,
    /// The edit that its targets were compiled from.
    generation: u64,
    sample_rate: f64,
    /// Whether the transport ran in the last block.
    playing: bool,
    /// A bounce: what is heard follows from parameters alone.
    offline: bool,
}

impl Default for Dryfit {
    fn default() -> Self {
        let desk = Arc::new(Desk::new(Project::first_run(&Library::presets())));
        Self {
            parameters: Arc::new(Parameters::new(&desk)),
            taps: Arc::new(Taps::new()),
            sounding: None,
            _worker: Worker::start(desk.clone()),
            desk,
        }
    }
}

impl Dryfit {
    /// The framework's own worker thread ends for all instances when it meets a task of an instance that is gone, and the
    /// last instance then takes the host down. On deactivation it is given this time to do what is left.
    const DRAINING: Duration = Duration::from_millis(20);
    /// Sample rates, in hertz, at which the engine works.
    const RATES: std::ops::RangeInclusive<f64> = 8e3..=1e6;
    /// What a filter leaves ringing after the take has ended, in seconds.
    const TAIL_SECONDS: f64 = 1.0;

    const fn layout(channels: u32) -> AudioIOLayout {
        AudioIOLayout {
            main_input_channels: NonZeroU32::new(channels),
            main_output_channels: NonZeroU32::new(channels),
            ..AudioIOLayout::const_default()
        }
    }
}

impl Sounding {
    /// Takes over what was compiled since. Allocates, drops and waits for nothing.
    fn take_over(&mut self, desk: &Desk) {
        let Some(mut fresh) = desk.handover().take() else { return };
        if fresh.sample_rate == self.sample_rate && fresh.generation > self.generation {
            self.generation = fresh.generation;
            for (bench, slot) in fresh.benches.iter_mut().enumerate() {
                if let Some(target) = slot.take() {
                    *slot = Some(self.engine.exchange(bench, target));
                }
            }
            // Those that listen already go on, unless the take was recorded otherwise.
            if let (Some(own), Some(other)) = (self.engine.follower(), &mut self.other) {
                let [new, new_other] = fresh.followers.sorted(self.ahead);
                if !own.is_like(new) {
                    self.engine.exchange_follower(new);
                    std::mem::swap(other, new_other);
                }
            }
        }
        desk.handover().give_back(fresh);
    }

    /// Looks ahead from now on, or does not; the sound begins anew. Allocates, drops and waits for nothing.
    fn look_ahead(&mut self, ahead: bool) {
        if ahead != self.ahead {
            self.ahead = ahead;
            if let Some(other) = &mut self.other {
                self.engine.exchange_follower(other);
            }
        }
    }

    fn latency(&self) -> u32 {
        self.engine.latency() as u32
    }

    fn loudness(&self) -> [Option<f64>; 3] {
        [Listen::Dry, Listen::A, Listen::B].map(|listen| self.engine.loudness(listen))
    }
}

impl Plugin for Dryfit {
    const NAME: &'static str = "Dryfit";
    const VENDOR: &'static str = "Dryfit";
    const URL: &'static str = "";
    const EMAIL: &'static str = "";
    const VERSION: &'static str = env!("CARGO_PKG_VERSION");

    const AUDIO_IO_LAYOUTS: &'static [AudioIOLayout] = &[Self::layout(2), Self::layout(1)];
    const SAMPLE_ACCURATE_AUTOMATION: bool = true;

    type Editor = EguiEditor<Window>;
    type SysExMessage = ();
    type BackgroundTask = ();

    fn params(&self) -> Arc<dyn Params> {
        self.parameters.clone()
    }

    fn editor(&mut self, _: AsyncExecutor<Self>) -> Option<Self::Editor> {
        let (parameters, desk, taps) = (self.parameters.clone(), self.desk.clone(), self.taps.clone());
        let screen = parameters.screen.clone();
        Window::editor(App::new(parameters, desk, taps, Documents::usual_folder()), screen)
    }

    fn filter_state(state: &mut PluginState) {
        tame(state);
    }

    fn activate(
        &mut self,
        layout: &AudioIOLayout,
        config: &BufferConfig,
        context: &mut impl ActivateContext<Self>,
    ) -> bool {
        let sample_rate = f64::from(config.sample_rate);
        if !Self::RATES.contains(&sample_rate) {
            return false;
        }
        let channels = layout.main_output_channels.map_or(0, |channels| channels.get() as usize);
        let (generation, targets) = self.desk.activate(sample_rate);
        // Without targets both benches sound as dry: a project that cannot sound never silences the host's.
        self.taps.set_sample_rate(sample_rate);
        let ahead = self.parameters.look_ahead.value();
        let (engine, other) = match targets {
            Some(compiled) => {
                let Followers { live, ahead: looking } = compiled.followers;
                let latency = looking.latency();
                let (own, other) = if ahead { (looking, live) } else { (live, looking) };
                let engine = Engine::new(sample_rate, channels, Vec::from(compiled.benches));
                (engine.following(own).expecting(latency), Some(other))
            }
            None => (Engine::new(sample_rate, channels, Vec::new()), None),
        };
        let offline = config.process_mode == ProcessMode::Offline;
        let sounding =
            Sounding { engine, ahead, other, head: Head::default(), generation, sample_rate, playing: false, offline };
        context.set_latency_samples(sounding.latency());
        self.taps.set_latency(sounding.latency());
        self.sounding = Some(sounding);
        true
    }

    fn reset(&mut self) {
        if let Some(sounding) = &mut self.sounding {
            sounding.engine.reset();
            sounding.playing = false;
        }
    }

    fn process(
        &mut self,
        buffer: &mut Buffer<'_>,
        _: &mut AuxiliaryBuffers<'_>,
        context: &mut impl ProcessContext<Self>,
    ) -> ProcessStatus {
        let Some(sounding) = &mut self.sounding else { return ProcessStatus::Normal };
        sounding.take_over(&self.desk);
        // Hosts that obey their format activate anew when they hear of another latency; others only ask for it. Either way what
        // is said is what is heard.
        sounding.look_ahead(self.parameters.look_ahead.value());
        context.set_latency_samples(sounding.latency());
        self.taps.set_latency(sounding.latency());
        let playing = context.transport().playing;
        if playing && !sounding.playing {
            sounding.engine.restart_loudness();
        }
        sounding.playing = playing;
        let blind: Option<Bench> = if sounding.offline { None } else { self.desk.blind() };
        let scene = self.parameters.scene(blind);
        let channels = buffer.as_slice();
        self.taps.hear_input(channels);
        sounding.head.hear(self.taps.recorder(), channels);
        sounding.engine.process(&scene, channels);
        self.taps.hear_output(channels, sounding.loudness());
        self.taps.hear_notes(sounding.engine.follower().into_iter().flat_map(Follower::heard));
        ProcessStatus::Tail((Self::TAIL_SECONDS * sounding.sample_rate) as u32 + sounding.latency())
    }

    fn deactivate(&mut self) {
        if let Some(mut sounding) = self.sounding.take() {
            sounding.head.end(self.taps.recorder());
        }
        self.taps.hear_notes(std::iter::empty());
        self.desk.handover().clear();
        if cfg!(target_os = "linux") {
            std::thread::sleep(Self::DRAINING);
        }
    }
}

impl ClapPlugin for Dryfit {
    const CLAP_ID: &'static str = "org.dryfit.dryfit";
    const CLAP_DESCRIPTION: Option<&'static str> = Some("Hear a guitar wiring before soldering it");
    const CLAP_MANUAL_URL: Option<&'static str> = None;
    const CLAP_SUPPORT_URL: Option<&'static str> = None;
    const CLAP_FEATURES: &'static [ClapFeature] =
        &[ClapFeature::AudioEffect, ClapFeature::Filter, ClapFeature::Mono, ClapFeature::Stereo];
}

impl Vst3Plugin for Dryfit {
    const VST3_CLASS_ID: [u8; 16] = *b"DryfitWiringDry1";
    const VST3_SUBCATEGORIES: &'static [Vst3SubCategory] = &[Vst3SubCategory::Fx, Vst3SubCategory::Filter];
}
