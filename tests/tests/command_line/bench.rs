//! A folder with takes in it, in which commands are run.

use dryfit_tests::binary;
use std::fs;
use std::path::PathBuf;

use assert_cmd::Command;
use assert_cmd::assert::Assert;
use tempfile::TempDir;

/// The sample rate of takes unless said otherwise, in hertz.
pub const RATE: u32 = 48_000;

/// A folder of its own, in which commands run; it goes with the test.
pub struct Bench {
    folder: TempDir,
}

impl Bench {
    /// With nothing in it.
    pub fn empty() -> Self {
        Self { folder: tempfile::tempdir().unwrap() }
    }

    /// With `take.wav` in it.
    pub fn with_take() -> Self {
        let bench = Self::empty();
        bench.take("take.wav", RATE, &[plucked(RATE, 0.25)]);
        bench
    }

    /// `dryfit` with these arguments, separated by spaces.
    pub fn command(&self, arguments: &str) -> Command {
        let mut command = Command::new(binary::dryfit());
        command.current_dir(self.folder.path()).args(arguments.split_whitespace());
        command
    }

    /// Runs `dryfit` with these arguments, separated by spaces.
    pub fn dryfit(&self, arguments: &str) -> Assert {
        self.command(arguments).assert()
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub fn write(&self, name: &str, content: impl AsRef<[u8]>) {
        fs::write(self.path(name), content).unwrap();
    }

    pub fn bytes(&self, name: &str) -> Vec<u8> {
        fs::read(self.path(name)).unwrap()
    }

    /// Writes a take in 32-bit float.
    pub fn take(&self, name: &str, sample_rate: u32, channels: &[Vec<f32>]) {
        let channel_count = channels.len() as u16;
        let sample_format = hound::SampleFormat::Float;
        let spec = hound::WavSpec { channels: channel_count, sample_rate, bits_per_sample: 32, sample_format };
        let mut writer = hound::WavWriter::create(self.path(name), spec).unwrap();
        for frame in 0..channels[0].len() {
            channels.iter().for_each(|channel| writer.write_sample(channel[frame]).unwrap());
        }
        writer.finalize().unwrap();
    }

    /// Everything in the folder and below, sorted; hidden files too.
    pub fn listing(&self) -> Vec<String> {
        let mut names = Vec::new();
        let mut folders = vec![self.folder.path().to_owned()];
        while let Some(folder) = folders.pop() {
            for entry in fs::read_dir(folder).unwrap() {
                let path = entry.unwrap().path();
                names.push(path.strip_prefix(self.folder.path()).unwrap().to_string_lossy().replace('\\', "/"));
                if path.is_dir() {
                    folders.push(path);
                }
            }
        }
        names.sort();
        names
    }

    /// The format of a result and its samples, full scale 1.
    pub fn result(&self, name: &str) -> (hound::WavSpec, Vec<f32>) {
        let reader = hound::WavReader::open(self.path(name)).unwrap();
        let spec = reader.spec();
        let samples = match spec.sample_format {
            hound::SampleFormat::Float => reader.into_samples::<f32>().map(Result::unwrap).collect(),
            hound::SampleFormat::Int => {
                reader.into_samples::<i32>().map(|code| (f64::from(code.unwrap()) / 8_388_608.0) as f32).collect()
            }
        };
        (spec, samples)
    }
}

/// A decaying tone with many harmonics, peak about -6 dBFS: stands in for a guitar where only the way of the sound matters.
pub fn plucked(sample_rate: u32, seconds: f64) -> Vec<f32> {
    let rate = f64::from(sample_rate);
    let harmonic = |seconds: f64, n: u32| {
        let n = f64::from(n);
        (std::f64::consts::TAU * 110.0 * n * seconds).sin() * (-2.0 * n * seconds).exp() / n
    };
    let sample = |frame: usize| (1..30).map(|n| harmonic(frame as f64 / rate, n)).sum::<f64>();
    let samples: Vec<f64> = (0..(seconds * rate) as usize).map(sample).collect();
    let peak = samples.iter().fold(0.0_f64, |peak, sample| peak.max(sample.abs()));
    samples.into_iter().map(|sample| (0.5 * sample / peak) as f32).collect()
}

/// What a command wrote to standard output.
pub fn out(assert: &Assert) -> String {
    String::from_utf8(assert.get_output().stdout.clone()).unwrap()
}

/// What a command wrote to standard error.
pub fn err(assert: &Assert) -> String {
    String::from_utf8(assert.get_output().stderr.clone()).unwrap()
}

/// A volume behind an on-off-on toggle: nothing is heard in its middle position.
pub const MUTED: &str = r#"format = 1
title = "Volume with a mute"
[pots.volume]
value = "250k"
control = "volume"
[switches.mute]
switch = "toggle-on-off-on-1-pole"
control = "mute"
[wires]
hot = ["bridge.hot", "mute.a1", "mute.a2"]
in = ["mute.a", "volume.3"]
jack = ["volume.2", "jack.tip"]
ground = ["volume.1", "jack.sleeve", "bridge.ground"]
"#;
