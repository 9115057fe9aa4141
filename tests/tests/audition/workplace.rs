//! A folder in which auditions are made, and pages that several tests look at.

use dryfit_tests::binary;
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

use assert_cmd::Command;
use assert_cmd::assert::Assert;
use tempfile::TempDir;

/// A folder of its own, in which commands run; it goes with the test.
pub struct Workplace {
    folder: TempDir,
}

impl Workplace {
    pub fn new() -> Self {
        Self { folder: tempfile::tempdir().unwrap() }
    }

    /// `dryfit` with these arguments.
    pub fn command(&self, arguments: &[&str]) -> Command {
        let mut command = Command::new(binary::dryfit());
        command.current_dir(self.folder.path()).args(arguments);
        command
    }

    /// `dryfit audition` with these arguments.
    pub fn audition(&self, arguments: &[&str]) -> Assert {
        self.command(&[&["audition"], arguments].concat()).assert()
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    /// Names of all that lies here, sorted.
    pub fn names(&self) -> Vec<String> {
        let entries = std::fs::read_dir(self.folder.path()).unwrap();
        let mut names: Vec<String> = entries.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
        names.sort();
        names
    }

    /// A 24-bit take.
    pub fn take(&self, name: &str, sample_rate: u32, samples: &[f32]) {
        let spec =
            hound::WavSpec { channels: 1, sample_rate, bits_per_sample: 24, sample_format: hound::SampleFormat::Int };
        let mut writer = hound::WavWriter::create(self.path(name), spec).unwrap();
        samples.iter().for_each(|sample| writer.write_sample((sample * 8_388_607.0) as i32).unwrap());
        writer.finalize().unwrap();
    }
}

/// Something plucked with noise under it: a decaying chord, again and again, repeatable, of no musical merit.
pub fn playing(sample_rate: u32, seconds: f64) -> Vec<f32> {
    let rate = f64::from(sample_rate);
    let mut noise = 1u32;
    let mut sample = |index: usize| {
        let at = index as f64 / rate;
        let since = at % 0.7;
        let chord = [110.0, 164.8, 220.0, 277.2].iter().enumerate().map(|(string, hertz)| {
            let partial = |n: i32| (at * hertz * f64::from(n) * std::f64::consts::TAU).sin() / f64::from(n);
            (1..24).map(partial).sum::<f64>() * (-since * (3.0 + string as f64)).exp()
        });
        noise = noise.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        // -70 dB of noise, as in the demo take.
        let hiss = (f64::from(noise >> 8) / f64::from(1 << 24) - 0.5) * 1e-3;
        (0.06 * chord.sum::<f64>() + hiss) as f32
    };
    (0..(rate * seconds) as usize).map(&mut sample).collect()
}

/// A page of four seconds of the demo, in two wirings; made once.
pub fn demo_page() -> &'static Path {
    static PLACE: OnceLock<Workplace> = OnceLock::new();
    let place = PLACE.get_or_init(|| {
        let place = Workplace::new();
        place.audition(&["--seconds", "4", "--title", "Two wirings", "--client", "Jo"]).success();
        place
    });
    // A static is never dropped: the folder is told to go with the process by the system's own cleaning.
    Box::leak(place.path("audition.html").into_boxed_path())
}
