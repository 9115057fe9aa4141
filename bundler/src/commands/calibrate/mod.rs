//! `dryfit calibrate`

mod session;

use std::io::Write;
use std::path::{Path, PathBuf};

use dryfit_dsp::calibration::{Calibrated, Comb, Draft, Known, Measured, Remark, Told, string, write_found};
use dryfit_dsp::document::{DocumentKind, Guitar};

use crate::Failure;
use crate::arguments::Calibrate;
use crate::audio::Destination;
use crate::calibration::{read, svg};
use crate::commands::tell;
use crate::documents::Documents;
use session::Recorded;

/// Writes a guitar document with what was measured and recorded, and says what that is.
pub fn run(arguments: &Calibrate) -> Result<(), Failure> {
    let recordings: Vec<String> = arguments.takes.iter().chain(&arguments.blind).cloned().collect();
    let files = session::files(&recordings);
    let to = Destination { path: &arguments.output, takes: &files, overwrite: arguments.overwrite };
    to.check()?;
    let mut documents = Documents::new();
    let documented = documents.guitar(&arguments.guitar)?;
    let (_, text) = documents.library().text(DocumentKind::Guitar, &arguments.guitar)?;
    let measured = read(arguments, &documented).map_err(Failure::Several)?;
    if measured.is_empty() && recordings.is_empty() {
        return Err(Failure::Arguments {
            what: "nothing was measured or recorded".into(),
            mend: "start with a ruler, --distance PICKUP=LOW,HIGH for each pickup, or with recordings, --take POSITION=FILE or --blind POSITION=FILE".into(),
        });
    }
    let mut draft = Draft::new(text);
    describe(&mut draft, arguments, &documented);
    let by_hand = measured.write(&mut draft, &documented).map_err(|error| Failure::Arguments {
        what: format!("--resonance {error}"),
        mend: "measure both resonances of this pickup again".into(),
    })?;
    let file = arguments.output.display().to_string();
    let (_, guitar) = draft.finish(&file)?;
    let recorded = match recordings.is_empty() {
        true => None,
        false => Some(listen(arguments, &measured, &guitar, &mut documents)?),
    };
    if let Some(told) = &recorded {
        write_found(&mut draft, &guitar, &told.calibrated);
    }
    let (text, _) = draft.finish(&file)?;
    if let (Some(told), Some(folder)) = (&recorded, &arguments.plots) {
        plot(told, &guitar, folder, arguments.overwrite)?;
    }
    to.write(|file| file.write_all(text.as_bytes()))?;
    by_hand.iter().for_each(tell);
    Ok(())
}

fn describe(draft: &mut Draft, arguments: &Calibrate, documented: &Guitar) {
    let title = arguments.title.clone().unwrap_or_else(|| format!("{}, measured", documented.title));
    draft.set_top("title", title, "");
    let about = format!(
        "Made with `dryfit calibrate` from `{}`. What was measured says so beside it; all else is as it was there.",
        arguments.guitar
    );
    draft.set_top("about", about, "");
}

/// Listens to the recordings, and tells what they say.
fn listen(
    arguments: &Calibrate,
    measured: &Measured,
    guitar: &Guitar,
    documents: &mut Documents,
) -> Result<Told, Failure> {
    let mut failures = Vec::new();
    let recorded = Recorded::read(arguments, guitar, documents, &mut failures);
    Failure::all(failures)?;
    let Some(recorded) = recorded else { return Err(unusable()) };
    tell(recorded.assumption());
    let known = |pickup: usize| if measured.has_distance(pickup) { Known::RULER } else { Known::TYPICAL };
    let told = recorded.calibrate(guitar, (0..guitar.pickups.len()).map(known).collect())?;
    let warn = |remark: &Remark| tell(format!("{}: warning: {}\n    mend: {}", remark.about, remark.what, remark.mend));
    told.complaints(guitar).iter().for_each(warn);
    told.report(guitar).iter().for_each(tell);
    if !told.is_usable() {
        return Err(unusable());
    }
    told.surprises(guitar).iter().for_each(warn);
    let wish = |remark: &Remark| {
        let Remark { about, what, mend, by_ruler } = remark;
        let option = if *by_ruler { format!(" (--distance {about}=LOW,HIGH)") } else { String::new() };
        tell(format!("{about}: {what}; {mend}{option}"));
    };
    told.wishes(guitar, measured).iter().for_each(wish);
    told.contradictions(guitar, measured).iter().for_each(warn);
    Ok(told)
}

fn unusable() -> Failure {
    Failure::Arguments {
        what:
            "the recordings cannot be used, and nothing was written: a document from them would be worse than a ruler's"
                .into(),
        mend: "see above what does not fit; without recordings the document is made from ruler and meter alone".into(),
    }
}

/// A picture of each pass, beside each other in a folder.
fn plot(told: &Told, guitar: &Guitar, folder: &Path, overwrite: bool) -> Result<(), Failure> {
    let Calibrated { combs, .. } = &told.calibrated;
    let strings: Vec<String> = (0..guitar.strings.len()).map(|index| string(guitar, index)).collect();
    std::fs::create_dir_all(folder).map_err(|source| Failure::Arguments {
        what: format!("{} cannot be made ({source})", folder.display()),
        mend: "give --plots the name of a folder".into(),
    })?;
    for (pass, name) in told.passes.iter().enumerate() {
        let own: Vec<&Comb> = combs.iter().filter(|comb| comb.pass == pass).collect();
        if own.is_empty() {
            continue;
        }
        let stem = Path::new(name).file_stem().map_or_else(|| pass.to_string(), |stem| stem.to_string_lossy().into());
        let path: PathBuf = folder.join(format!("{}-{stem}.svg", pass + 1));
        let picture = svg(&stem, &own, &strings);
        let to = Destination { path: &path, takes: &[], overwrite };
        to.write(|file| file.write_all(picture.as_bytes()))?;
        tell(format!("{}: fitted against measured combs", path.display()));
    }
    Ok(())
}
