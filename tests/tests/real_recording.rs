//! A real recording through the rendering path, for every preset wiring and every position of its selector and switches: finite, not
//! clipped, and the ratio of any two results is the ratio of the solver's curves.
//!
//! **The guitar.** The ratio of two results holds the circuits and, where other pickups sound, the places on the string that they listen
//! to. The solver knows circuits only. So all pickups of this guitar listen alike and at one place: the same distance, sensing width,
//! output, voicing, winding and magnet, and nulls that nothing fills (what fills them is not common to two pickups). Then every
//! string gives all pickups the same, the place cancels, and what is left is |sum of H|; the coils stay as different as they are.
//!
//! **The ratio.** A render with the controls at rest is a linear filter. The take is followed by as much silence as the filter is
//! long, so nothing is cut off, and then the spectrum of the whole result is the take's times the filter's at every frequency: no window,
//! no leakage. Where the take has little energy the rounding of f32 would show, so only frequencies within 60 dB of the take's
//! loudest are compared; there the rounding, some 140 dB down, is 1e-3 dB at most. The recording has nothing above 11 kHz.

#![allow(clippy::unwrap_used, reason = "a helper that fails fails its test")]

#[path = "real_recording/ruler.rs"]
mod ruler;

use dryfit_tests::binary;
use std::process::Command;

use dryfit_bundler::arguments::DepthChoice;
use dryfit_bundler::audio::{self, Depth, Destination};
use dryfit_bundler::rendering::render;
use dryfit_dsp::circuit::{self, Controls, Loaded, Mna, combinations};
use dryfit_dsp::conversion::{Conversion, Grid, Recorded};
use dryfit_dsp::document::{Assembly, DocumentKind, Guitar, Library};
use dryfit_dsp::units::amplitude_to_db;
use dryfit_tests::real_recording::{real_take, skip_or_fail};
use num_complex::Complex64;
use rayon::prelude::*;
use ruler::Ruler;

#[test]
fn the_ratio_of_any_two_renders_of_a_real_take_is_that_of_the_solver_s_curves_within_0_2_db() {
    let take = match real_take() {
        Ok(take) => take,
        Err(skip) => return skip_or_fail(skip),
    };
    let ruler = Ruler::new(&take);
    let settings = settings(&alike(Library::presets().guitar("three-single-coils").unwrap()));
    let recorded = recorded(&settings[0].assembly, take.sample_rate);
    let offsets: Vec<Vec<f64>> = settings.par_iter().map(|setting| setting.offset(&ruler, &recorded)).collect();
    // |Y| / |curve| is the take over the recorded circuit, whatever the setting; the spread over all settings at one frequency is the worst
    // error of any pair's ratio there.
    let spread = |point: usize| {
        let at = || offsets.iter().map(|offset| offset[point]);
        at().fold(f64::MIN, f64::max) - at().fold(f64::MAX, f64::min)
    };
    let (worst, hertz) = (0..ruler.bins.len())
        .map(|point| (spread(point), ruler.hertz(point)))
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .unwrap();
    println!("{} settings, {} frequencies: {worst:.4} dB at {hertz:.0} Hz", settings.len(), ruler.bins.len());
    assert!(settings.len() > 60 && ruler.bins.len() > 100, "{} {}", settings.len(), ruler.bins.len());
    assert!(worst < 0.2, "the ratio of two renders is {worst} dB off at {hertz} Hz");
}

#[test]
fn a_real_take_through_every_preset_and_position_is_finite_and_is_written_without_clipping() {
    // A take 6 dB below full scale may come out above it: a series position is twice as loud, a resonance rings higher. Not clipped means that
    // the file holds what was computed: 24 bit as long as that is below full scale, float where it is not.
    let take = match real_take() {
        Ok(take) => take,
        Err(skip) => return skip_or_fail(skip),
    };
    let settings = settings(&Library::presets().guitar("three-single-coils").unwrap());
    let recorded = recorded(&settings[0].assembly, take.sample_rate);
    let folder = tempfile::tempdir().unwrap();
    let peaks: Vec<f32> = settings
        .par_iter()
        .enumerate()
        .map(|(index, setting)| {
            let heard = setting.heard(&take.samples, take.sample_rate, &recorded);
            assert!(heard.iter().all(|sample| sample.is_finite()), "{}", setting.name);
            let peak = heard.iter().fold(0.0_f32, |peak, sample| peak.max(sample.abs()));
            let path = folder.path().join(format!("{index}.wav"));
            let to = Destination { path: &path, takes: &[], overwrite: false };
            let depth = DepthChoice::Auto.depth(peak);
            audio::write(&to, &[&heard], take.sample_rate, depth).unwrap();
            let written = audio::read(&path).unwrap();
            let worst = heard.iter().zip(&written.channels[0]).map(|(a, b)| (a - b).abs()).fold(0.0, f32::max);
            // Half a code of 24 bits; float holds every sample as it is.
            let allowed = if depth == Depth::Float32 { 0.0 } else { 0.5_f32.powi(24) * 1.01 };
            assert!(worst <= allowed, "{}: {worst}, peak {peak}", setting.name);
            peak
        })
        .collect();
    let loud = peaks.iter().filter(|&&peak| peak >= 1.0).count();
    let loudest = amplitude_to_db(f64::from(peaks.iter().copied().fold(0.0, f32::max)));
    println!("take at -6.0 dBFS; {} settings; loudest {loudest:.1} dBFS, {loud} of them in float", peaks.len());
}

#[test]
fn the_program_gives_the_samples_that_the_library_gives_for_a_real_take() {
    let take = match real_take() {
        Ok(take) => take,
        Err(skip) => return skip_or_fail(skip),
    };
    let folder = tempfile::tempdir().unwrap();
    let (input, output) = (folder.path().join("take.wav"), folder.path().join("out.wav"));
    let to = Destination { path: &input, takes: &[], overwrite: false };
    audio::write(&to, &[&take.samples], take.sample_rate, Depth::Float32).unwrap();
    let mut dryfit = Command::new(binary::dryfit());
    dryfit.arg("render").arg(&input).arg("-o").arg(&output).args(["--depth", "float"]);
    dryfit.args(["--option", "five-way-two-tones", "--set", "position=4", "--set", "neck-tone=3"]);
    let run = dryfit.output().unwrap();
    assert!(run.status.success(), "{}", String::from_utf8_lossy(&run.stderr));
    let library = Library::presets();
    let assembly = assembly("five-way-two-tones", &library.guitar("three-single-coils").unwrap(), &library).unwrap();
    let mut controls = Controls { position: 4, ..Controls::default() };
    controls.knobs[assembly.controls.knob("neck tone").unwrap()] = 3.0;
    let recorded = recorded(&assembly, take.sample_rate);
    let setting = Setting { name: String::new(), assembly, controls };
    let expected = setting.heard(&take.samples, take.sample_rate, &recorded);
    assert!(audio::read(&output).unwrap().channels[0] == expected, "the same bits");
}

/// One wiring with selector and switches somewhere, all knobs on 10.
struct Setting {
    name: String,
    assembly: Assembly,
    controls: Controls,
}

impl Setting {
    /// The take through it, as the command `render` does it.
    fn heard(&self, samples: &[f32], sample_rate: u32, recorded: &Recorded) -> Vec<f32> {
        let conversion = Conversion::new(recorded, &self.assembly).unwrap();
        render(samples, sample_rate, conversion, &self.controls, |_| {})
    }

    /// Spectrum of the render over the solver's curve (all pickups at once), in dB, at every compared frequency.
    fn offset(&self, ruler: &Ruler, recorded: &Recorded) -> Vec<f64> {
        let levels = ruler.levels_db(&self.heard(&ruler.samples, ruler.sample_rate, recorded));
        let lowered = circuit::lower(&self.assembly, &self.controls, Loaded::Yes);
        let mna = Mna::new(&lowered.netlist);
        let curve = |hertz| mna.transfer(lowered.jack, hertz).unwrap().iter().sum::<Complex64>().norm();
        let offset = |point| levels[ruler.bins[point]] - amplitude_to_db(curve(ruler.hertz(point)));
        (0..ruler.bins.len()).map(offset).collect()
    }
}

/// Every preset wiring that fits the guitar, in every combination of its selector and switches.
fn settings(guitar: &Guitar) -> Vec<Setting> {
    let library = Library::presets();
    let mut names: Vec<&str> = library.names(DocumentKind::Wiring).collect();
    names.sort_by_key(|name| *name != "five-way-two-tones");
    let of = |name: &str| {
        let assembly = assembly(name, guitar, &library).unwrap_or_else(|problems| panic!("{problems}"));
        let all: Vec<Controls> = combinations(&assembly.controls).collect();
        all.into_iter().map(move |controls| Setting {
            name: format!("{} {}", assembly.file, circuit::describe(&assembly, &controls)),
            assembly: assembly.clone(),
            controls,
        })
    };
    names.into_iter().flat_map(of).collect()
}

fn assembly(name: &str, guitar: &Guitar, library: &Library) -> Result<Assembly, dryfit_dsp::document::Problems> {
    Assembly::new(&library.wiring(name)?, guitar, library)
}

fn recorded(assembly: &Assembly, sample_rate: u32) -> Recorded {
    Recorded::new(assembly, &Controls::default(), &Grid::up_to(f64::from(sample_rate) / 2.0)).unwrap()
}

/// The guitar with all pickups listening alike and at one place; see the module.
fn alike(mut guitar: Guitar) -> Guitar {
    /// What fills the nulls lies below everything that is compared.
    const UNFILLED_DB: f64 = -200.0;
    let first = guitar.pickups[0].clone();
    for pickup in &mut guitar.pickups {
        let (name, coil) = (pickup.name.clone(), pickup.coil.clone());
        *pickup = first.clone();
        (pickup.name, pickup.coil, pickup.null_depth_db) = (name, coil, UNFILLED_DB);
    }
    guitar
}
