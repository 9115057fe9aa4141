//! Recordings of a calibration: which file in which position of the selector, and what they say of the guitar.

use std::path::PathBuf;

use dryfit_dsp::calibration::{Known, Pass, Played, Session, Told, calibrate, positions};
use dryfit_dsp::circuit::{CircuitError, Controls, standing};
use dryfit_dsp::document::Guitar;

use crate::Failure;
use crate::arguments::Calibrate;
use crate::audio::{self, Take};
use crate::commands::render::plan::{self, Stand};
use crate::commands::tell;
use crate::documents::Documents;

/// The files of `POSITION=FILE`, as far as they are written so.
pub(super) fn files(takes: &[String]) -> Vec<PathBuf> {
    takes.iter().filter_map(|text| text.split_once('=')).map(|(_, path)| path.into()).collect()
}

/// What was recorded, read and in its place.
pub(super) struct Recorded {
    stand: Stand,
    takes: Vec<Named>,
}

/// A recording with the position it was made in.
struct Named {
    name: String,
    /// From 0.
    position: usize,
    take: Take,
    played: Played,
}

impl Named {
    fn pass(&self) -> Pass<'_> {
        Pass {
            name: self.name.clone(),
            position: self.position,
            samples: &self.take.samples,
            sample_rate: f64::from(self.take.sample_rate),
            played: self.played,
        }
    }
}

impl Recorded {
    /// Reads everything; `failures` gets all that is wrong.
    pub(super) fn read(
        arguments: &Calibrate,
        guitar: &Guitar,
        documents: &mut Documents,
        failures: &mut Vec<Failure>,
    ) -> Option<Self> {
        let recorded = arguments.recorded.as_deref();
        if arguments.recorded_set.iter().any(|setting| plan::sets_position(setting)) {
            failures.push(Failure::Arguments {
                what: "each recording says in which position it was recorded".into(),
                mend: "leave position= out of --recorded-set".into(),
            });
        }
        let stand = plan::recorded(recorded, &arguments.recorded_set, documents, guitar, failures)?;
        let mut takes = Vec::new();
        let asked = arguments.takes.iter().map(|text| (text, Played::AsAsked));
        for (text, played) in asked.chain(arguments.blind.iter().map(|text| (text, Played::Freely))) {
            match named(arguments, &stand, text, played) {
                Ok(take) => takes.push(take),
                Err(failure) => failures.push(failure),
            }
        }
        Some(Self { stand, takes })
    }

    /// Finds what they say of a guitar, whose distances are known so well.
    ///
    /// # Errors
    /// When the recorded circuit has no answer.
    pub(super) fn calibrate(&self, guitar: &Guitar, known: Vec<Known>) -> Result<Told, Failure> {
        let failed =
            |source: CircuitError| Failure::Conversion { place: self.stand.name.clone(), source: source.into() };
        let (grid, positions) = positions(&self.stand.assembly, &self.stand.controls).map_err(failed)?;
        let names = positions.iter().map(|position| position.name.clone()).collect();
        let passes = self.takes.iter().map(Named::pass).collect();
        let calibrated = calibrate(&Session { guitar, known, positions, grid, passes });
        let passes = self.takes.iter().map(|named| named.name.clone()).collect();
        Ok(Told { calibrated, passes, positions: names })
    }

    /// What is assumed of the circuit.
    pub(super) fn assumption(&self) -> String {
        let load = standing::load(&self.stand.controls.load);
        format!("recorded with {} ({load}); --recorded and --recorded-set tell otherwise", self.stand.assembly.title)
    }
}

/// `POSITION=FILE`.
fn named(arguments: &Calibrate, stand: &Stand, text: &str, played: Played) -> Result<Named, Failure> {
    let refuse = |what: String, mend: String| Failure::Arguments { what, mend };
    let Some((asked, path)) = text.split_once('=').filter(|(asked, path)| !asked.trim().is_empty() && !path.is_empty())
    else {
        let flag = if played == Played::Freely { "--blind" } else { "--take" };
        let mend =
            format!("write {flag} POSITION=FILE such as bridge=bridge.wav, bridge+middle=both.wav or 2=both.wav");
        return Err(refuse(format!("`{flag} {text}` names no position"), mend));
    };
    let Some(position) = position(stand, asked.trim()) else {
        let positions = 1..=stand.assembly.controls.positions;
        let there: Vec<String> = positions
            .map(|position| {
                let on = standing::pickups_on(&stand.assembly, &Controls { position, ..stand.controls });
                format!("{position} ({})", if on.is_empty() { "silent".into() } else { on.join("+") })
            })
            .collect();
        let what = format!("`{}` has no position `{}`", stand.assembly.title, asked.trim());
        return Err(refuse(what, format!("it has {}; another wiring is named with --recorded", there.join(", "))));
    };
    let path = PathBuf::from(path);
    let (take, sentence) = audio::read(&path).and_then(|recording| recording.take(arguments.channel))?;
    tell(sentence);
    Ok(Named { name: path.display().to_string(), position: usize::from(position) - 1, take, played })
}

/// The position of that number, or the first one in which just these pickups sound.
fn position(stand: &Stand, asked: &str) -> Option<u8> {
    let positions = stand.assembly.controls.positions;
    if let Ok(number) = asked.parse::<u8>() {
        return (1..=positions).contains(&number).then_some(number);
    }
    let mut wanted: Vec<&str> = asked.split('+').map(str::trim).collect();
    wanted.sort_unstable();
    (1..=positions).find(|&position| {
        let mut on = standing::pickups_on(&stand.assembly, &Controls { position, ..stand.controls });
        on.sort_unstable();
        on == wanted
    })
}
