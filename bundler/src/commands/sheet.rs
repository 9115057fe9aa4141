//! `dryfit sheet`

use std::io::{Write, stdout};

use dryfit_dsp::circuit::{Controls, settings};
use dryfit_dsp::drawing::pictorial;
use dryfit_dsp::faults::{doubts, measured, report};
use dryfit_dsp::survey::Tolerances;

use crate::Failure;
use crate::arguments::Sheet;
use crate::audio::Destination;
use crate::commands::{tell, tell_warnings};
use crate::documents::Documents;
use crate::sheet;
use crate::survey::Survey;

/// Writes the build sheet, and says what readings mean.
pub fn run(arguments: &Sheet) -> Result<(), Failure> {
    let mut documents = Documents::new();
    let guitar = documents.guitar(&arguments.guitar)?;
    let mut assembly = documents.assembly(&arguments.option, &guitar)?;
    let about = documents.wiring(&arguments.option)?.about;
    let mut controls = Controls::default();
    settings::apply(&arguments.set, &mut assembly, &mut controls).map_err(Failure::Settings)?;
    let stands = |controls: Controls| Controls { load: Controls::default().load, ..controls };
    if stands(controls) != Controls::default() {
        return Err(Failure::Arguments {
            what: "a sheet is for every position and knob".into(),
            mend: "set part values only, such as --set tone-cap=22n; readings take controls (1:tone=0=6.2k)".into(),
        });
    }
    tell_warnings(&assembly);
    let drawing = pictorial(&assembly);
    let finding = match &arguments.measured {
        Some(text) => {
            let readings = measured(text, &assembly).map_err(Failure::Settings)?;
            doubts(text).iter().for_each(tell);
            Some(report(&assembly, &drawing.connections(), &readings))
        }
        None => None,
    };
    if let Some(finding) = &finding {
        write!(stdout().lock(), "{finding}")?;
    }
    if let Some(path) = &arguments.output {
        let every = [true; Controls::SWITCHES];
        let survey = Survey::new(&assembly, &controls, every, Tolerances::default())
            .map_err(|source| Failure::Conversion { place: arguments.option.clone(), source: source.into() })?;
        let page = sheet::page(&about, &drawing, &survey, finding.as_ref());
        let to = Destination { path, takes: &[], overwrite: arguments.overwrite };
        to.write(|file| file.write_all(page.as_bytes()))?;
        tell(format_args!("{}: build sheet of {}", path.display(), assembly.title));
    }
    Ok(())
}
