//! A CLAP host, small enough to see what it does.

use std::ffi::CString;
use std::path::Path;
use std::time::{Duration, Instant};

use clack_extensions::audio_ports_config::{AudioPortsConfigBuffer, PluginAudioPortsConfig};
use clack_extensions::latency::PluginLatency;
use clack_extensions::params::{ParamInfoBuffer, ParamInfoFlags, PluginParams};
use clack_extensions::render::{PluginRender, RenderMode};
use clack_extensions::state::PluginState;
use clack_host::events::event_types::{ParamValueEvent, TransportEvent, TransportFlags};
use clack_host::events::{EventFlags, Pckn};
use clack_host::prelude::*;
use clack_host::utils::{BeatTime, SecondsTime};

struct Shared;

impl SharedHandler<'_> for Shared {
    fn request_restart(&self) {}
    fn request_process(&self) {}
    fn request_callback(&self) {}
}

struct Handlers;

impl HostHandlers for Handlers {
    type Shared<'a> = Shared;
    type MainThread<'a> = ();
    type AudioProcessor<'a> = ();
}

/// A parameter as the plug-in describes it.
pub struct Parameter {
    pub id: ClapId,
    pub name: String,
    pub range: (f64, f64),
    pub default: f64,
    pub automatable: bool,
    pub hidden: bool,
}

/// A loaded plug-in file.
pub struct Plugin {
    entry: PluginEntry,
    id: CString,
    pub name: String,
    info: HostInfo,
}

/// An instance that does not process.
pub struct Instance {
    instance: PluginInstance<Handlers>,
    pub parameters: Vec<Parameter>,
}

/// An instance that processes.
pub struct Running {
    instance: Instance,
    processor: Option<StartedPluginAudioProcessor<Handlers>>,
    channels: usize,
    /// Whether the host's transport runs; none when the host says nothing about it.
    pub playing: Option<bool>,
    /// Time that the plug-in took for all blocks together.
    pub took: Duration,
}

/// A parameter's new value at a sample counted from the start of a run.
#[derive(Clone, Copy)]
pub struct Move {
    pub sample: usize,
    pub parameter: ClapId,
    pub value: f64,
}

impl Plugin {
    /// Loads the file and finds the one plug-in in it.
    #[allow(unsafe_code, reason = "loading a library runs its code")]
    pub fn load(path: &Path) -> Self {
        // SAFETY: the file was built from this workspace a moment ago; its entry is the framework's.
        let entry = unsafe { PluginEntry::load(path) }.expect("the plug-in loads");
        let factory = entry.get_plugin_factory().expect("it has a factory");
        let descriptor = factory.plugin_descriptors().next().expect("it holds a plug-in");
        let id = descriptor.id().expect("with an id").to_owned();
        let name = descriptor.name().expect("and a name").to_string_lossy().into_owned();
        let info = HostInfo::new("Host check", "Dryfit", "", "1").expect("no text holds a zero");
        Self { entry, id, name, info }
    }

    /// A new instance.
    pub fn instance(&self) -> Instance {
        let instance = PluginInstance::new(|_| Shared, |_| (), &self.entry, &self.id, &self.info);
        let mut instance = Instance { instance: instance.expect("it is instantiated"), parameters: Vec::new() };
        instance.parameters = instance.describe();
        instance
    }
}

impl Instance {
    fn params(&mut self) -> PluginParams {
        self.instance.plugin_handle().get_extension().expect("it has parameters")
    }

    fn describe(&mut self) -> Vec<Parameter> {
        let params = self.params();
        let handle = self.instance.plugin_handle();
        let mut buffer = ParamInfoBuffer::new();
        let mut describe = |index| {
            let info = params.get_info(&handle, index, &mut buffer).expect("every parameter is described");
            Parameter {
                id: info.id,
                name: String::from_utf8_lossy(info.name).into_owned(),
                range: (info.min_value, info.max_value),
                default: info.default_value,
                automatable: info.flags.contains(ParamInfoFlags::IS_AUTOMATABLE),
                hidden: info.flags.contains(ParamInfoFlags::IS_HIDDEN),
            }
        };
        (0..params.count(&handle)).map(&mut describe).collect()
    }

    /// The id of the parameter of that name.
    pub fn id(&self, name: &str) -> ClapId {
        self.parameters.iter().find(|parameter| parameter.name == name).expect("there is one of that name").id
    }

    /// A parameter's value.
    pub fn value(&mut self, parameter: ClapId) -> f64 {
        let params = self.params();
        params.get_value(&self.instance.plugin_handle(), parameter).expect("it has a value")
    }

    /// A value as text.
    pub fn text(&mut self, parameter: ClapId, value: f64) -> String {
        let params = self.params();
        let mut buffer = [0; 512];
        let text = params.value_to_text(&self.instance.plugin_handle(), parameter, value, &mut buffer);
        String::from_utf8_lossy(text.expect("every value has a text")).into_owned()
    }

    /// A text as value.
    pub fn read(&mut self, parameter: ClapId, text: &str) -> Option<f64> {
        let params = self.params();
        let text = CString::new(text).ok()?;
        params.text_to_value(&self.instance.plugin_handle(), parameter, &text)
    }

    /// Moves of parameters named, to values as text, at the start of a run.
    pub fn moves(&mut self, settings: &[(&str, &str)]) -> Vec<Move> {
        let one = |&(name, text): &(&str, &str)| {
            let parameter = self.id(name);
            let value = self.read(parameter, text).expect("the text is understood");
            Move { sample: 0, parameter, value }
        };
        settings.iter().map(one).collect()
    }

    /// Latency, in samples.
    pub fn latency(&mut self) -> u32 {
        let handle = self.instance.plugin_handle();
        let latency: Option<PluginLatency> = handle.get_extension();
        latency.map_or(0, |latency| latency.get(&handle))
    }

    /// The saved state.
    pub fn save(&mut self) -> Vec<u8> {
        let mut saved = Vec::new();
        let state: PluginState = self.instance.plugin_handle().get_extension().expect("it has a state");
        state.save(&self.instance.plugin_handle(), &mut saved).expect("it saves");
        saved
    }

    /// Loads a state; whether the plug-in took it.
    pub fn load(&mut self, mut saved: &[u8]) -> bool {
        let state: PluginState = self.instance.plugin_handle().get_extension().expect("it has a state");
        state.load(&self.instance.plugin_handle(), &mut saved).is_ok()
    }

    /// Chooses the layout of that many channels; whether there is one.
    pub fn choose_channels(&mut self, channels: u32) -> bool {
        let handle = self.instance.plugin_handle();
        let configs: PluginAudioPortsConfig = handle.get_extension().expect("it has layouts");
        let mut buffer = AudioPortsConfigBuffer::new();
        let wanted = |index| {
            let config = configs.get(&handle, index, &mut buffer)?;
            (config.main_input?.channel_count == channels).then_some(config.id)
        };
        let found = (0..configs.count(&handle)).find_map(wanted);
        found.is_some_and(|id| configs.select(&handle, id).is_ok())
    }

    /// Says that a bounce is made.
    pub fn bounce(&mut self) {
        let handle = self.instance.plugin_handle();
        let render: PluginRender = handle.get_extension().expect("it can be told of a bounce");
        render.set(&handle, RenderMode::Offline).expect("it takes it");
    }

    /// Whether it activates at a sample rate.
    pub fn try_start(mut self, sample_rate: f64) -> bool {
        let configuration = PluginAudioConfiguration { sample_rate, min_frames_count: 1, max_frames_count: 512 };
        let Ok(processor) = self.instance.activate(|_, _| (), configuration) else { return false };
        self.instance.deactivate(processor);
        true
    }

    /// Begins to process that many channels.
    pub fn start(self, sample_rate: f64, channels: usize) -> Running {
        self.start_with(sample_rate, channels, Running::LARGEST)
    }

    /// The same with a largest block, in samples, of one's own.
    pub fn start_with(mut self, sample_rate: f64, channels: usize, largest: usize) -> Running {
        let max_frames_count = u32::try_from(largest).expect("a block is not that large");
        let configuration = PluginAudioConfiguration { sample_rate, min_frames_count: 1, max_frames_count };
        let processor = self.instance.activate(|_, _| (), configuration).expect("it activates");
        let processor = processor.start_processing().unwrap_or_else(|_| panic!("it starts"));
        Running { instance: self, processor: Some(processor), channels, playing: None, took: Duration::ZERO }
    }
}

impl Running {
    /// Largest block, in samples, where nothing else is said.
    pub const LARGEST: usize = 8192;

    /// Processes one input on every channel in blocks of these sizes (repeated as needed), and returns the first channel.
    /// Moves come in order of time.
    pub fn run(&mut self, input: &[f32], blocks: &[usize], moves: &[Move]) -> Vec<f32> {
        let mut heard = Vec::with_capacity(input.len());
        let mut sizes = blocks.iter().cycle();
        while heard.len() < input.len() {
            let start = heard.len();
            let end = input.len().min(start + sizes.next().expect("there is a size"));
            let within: Vec<Move> = moves.iter().filter(|a| (start..end).contains(&a.sample)).copied().collect();
            let outputs = self.block(&vec![input[start..end].to_vec(); self.channels], start, &within);
            heard.extend_from_slice(&outputs[0]);
        }
        heard
    }

    /// Processes one block of any channels.
    pub fn block(&mut self, inputs: &[Vec<f32>], start: usize, moves: &[Move]) -> Vec<Vec<f32>> {
        let mut events = EventBuffer::with_capacity(moves.len());
        for a in moves {
            let time = (a.sample - start) as u32;
            events.push(&ParamValueEvent::new(time, a.parameter, Pckn::match_all(), a.value));
        }
        let (mut inputs, mut outputs) = (inputs.to_vec(), inputs.to_vec());
        let (mut in_ports, mut out_ports) =
            (AudioPorts::with_capacity(inputs.len(), 1), AudioPorts::with_capacity(inputs.len(), 1));
        let input_channels = inputs.iter_mut().map(|channel| InputChannel::variable(channel.as_mut_slice()));
        let audio_in = in_ports.with_input_buffers([AudioPortBuffer {
            latency: 0,
            channels: AudioPortBufferType::f32_input_only(input_channels),
        }]);
        let mut audio_out = out_ports.with_output_buffers([AudioPortBuffer {
            latency: 0,
            channels: AudioPortBufferType::f32_output_only(outputs.iter_mut().map(Vec::as_mut_slice)),
        }]);
        let transport = self.playing.map(transport);
        let mut events_out = EventBuffer::new();
        let processor = self.processor.as_mut().expect("it processes until it is stopped");
        let (events_in, events_out) = (&events.as_input(), &mut events_out.as_output());
        // The outcome is the plug-in's word on whether it will sound on; what it gave is in the buffers.
        let start = Instant::now();
        let _ = processor.process(&audio_in, &mut audio_out, events_in, events_out, None, transport.as_ref());
        self.took += start.elapsed();
        outputs
    }

    /// Loads a state while it processes.
    pub fn load(&mut self, saved: &[u8]) -> bool {
        self.instance.load(saved)
    }

    /// Saves while it processes.
    pub fn save(&mut self) -> Vec<u8> {
        self.instance.save()
    }

    /// Stops processing and deactivates.
    pub fn stop(mut self) -> Instance {
        let processor = self.processor.take().expect("it processes until it is stopped");
        self.instance.instance.deactivate(processor.stop_processing());
        self.instance
    }
}

fn transport(playing: bool) -> TransportEvent {
    let flags = if playing { TransportFlags::IS_PLAYING } else { TransportFlags::empty() };
    TransportEvent {
        header: clack_host::events::EventHeader::new_core(0, EventFlags::empty()),
        flags,
        song_pos_beats: BeatTime::from_int(0),
        song_pos_seconds: SecondsTime::from_int(0),
        tempo: 0.0,
        tempo_inc: 0.0,
        loop_start_beats: BeatTime::from_int(0),
        loop_end_beats: BeatTime::from_int(0),
        loop_start_seconds: SecondsTime::from_int(0),
        loop_end_seconds: SecondsTime::from_int(0),
        bar_start: BeatTime::from_int(0),
        bar_number: 0,
        time_signature_numerator: 4,
        time_signature_denominator: 4,
    }
}
