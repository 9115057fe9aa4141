//! What recordings said of the guitar.

use dryfit_dsp::calibration::{Calibrated, CalibratedPickup, Comb, Figure, Remark, string};
use dryfit_dsp::document::{Guitar, Pickup};
use dryfit_dsp::units::significant;

use crate::app::App;
use crate::app::calibration::Answer;
use crate::editor::{CombView, FoundFigure, FoundGuitar, ListeningView};

pub(super) fn listening(app: &App) -> ListeningView {
    if app.calibration.listening.works() {
        return ListeningView::Running;
    }
    match &app.calibration.listening.found {
        None => ListeningView::Idle,
        Some((_, None)) => {
            ListeningView::Failed("the calibration met a fault of its own; the sound is not touched by it".into())
        }
        Some((_, Some(Err(why)))) => ListeningView::Failed(why.clone()),
        Some((asked, Some(Ok(answer)))) => ListeningView::Done(found(answer, *asked != app.to_calibrate())),
    }
}

fn found(answer: &Answer, outdated: bool) -> FoundGuitar {
    let Answer { told, guitar, measured } = answer;
    let said = |remark: Remark| format!("{}: {}; {}", remark.about, remark.what, remark.mend);
    let fits_not = told.complaints(guitar).into_iter().chain(told.contradictions(guitar, measured));
    let complaints = fits_not.chain(told.surprises(guitar)).map(said).collect();
    if !told.is_usable() {
        let verdict = "These recordings cannot be used: a guitar from them would be worse than a ruler's.".into();
        return FoundGuitar { verdict, outdated, complaints, ..FoundGuitar::default() };
    }
    let Calibrated { passes, combs, .. } = &told.calibrated;
    let notes: usize = passes.iter().map(|pass| pass.used).sum();
    FoundGuitar {
        verdict: format!("{notes} notes tell where the pickups sit and how they sound."),
        outdated,
        complaints,
        figures: figures(&told.calibrated, guitar),
        wishes: told.wishes(guitar, measured).into_iter().map(said).collect(),
        combs: combs.iter().map(|comb| view(comb, &told.passes, guitar)).collect(),
    }
}

/// How a figure is written: by what it is multiplied, with how many decimals, its unit, and the band beyond which it is vague.
struct Written {
    scale: f64,
    decimals: usize,
    unit: &'static str,
    vague: f64,
}

/// Bounds of what is known well, of issue and design: 1.5 mm, 0.5 dB, 1 dB.
const DISTANCE: Written = Written { scale: 1e3, decimals: 1, unit: "mm", vague: 1.5 };
const LEVEL: Written = Written { scale: 1.0, decimals: 1, unit: "dB", vague: 0.5 };
const VOICING: Written = Written { scale: 1.0, decimals: 1, unit: "dB", vague: 1.0 };
/// Figures of which less depends.
const WIDTH: Written = Written { scale: 1e3, decimals: 0, unit: "mm", vague: 6.0 };
const DEPTH: Written = Written { scale: 1.0, decimals: 0, unit: "dB", vague: 4.0 };
const TUNING: Written = Written { scale: 1.0, decimals: 1, unit: "cents", vague: 5.0 };
const STIFFNESS: Written = Written { scale: 1e6, decimals: 1, unit: "millionths", vague: f64::INFINITY };

impl Written {
    fn figure(&self, of: &str, what: &str, figure: Figure, documented: f64) -> FoundFigure {
        let Self { scale, decimals, unit, vague } = self;
        let band = 2.0 * scale * figure.sd;
        FoundFigure {
            of: of.into(),
            what: what.into(),
            found: format!("{:.decimals$} \u{b1} {band:.decimals$} {unit}", scale * figure.value)
                .replace('-', "\u{2212}"),
            documented: format!("{} {unit}", significant(scale * documented, 4)).replace('-', "\u{2212}"),
            vague: band > *vague,
        }
    }
}

fn figures(calibrated: &Calibrated, guitar: &Guitar) -> Vec<FoundFigure> {
    let mut figures = Vec::new();
    for (pickup, found) in guitar.pickups.iter().zip(&calibrated.pickups).filter(|(_, found)| found.recorded) {
        figures.extend(of_pickup(pickup, found));
    }
    for (index, found) in calibrated.strings.iter().enumerate().filter(|(_, found)| found.notes > 0) {
        let (name, documented) = (string(guitar, index), &guitar.strings[index]);
        figures.push(TUNING.figure(&name, "above its pitch", found.cents, 0.0));
        let stiffness = FoundFigure {
            vague: 2.0 * found.inharmonicity.sd > 0.2 * found.inharmonicity.value,
            documented: documented
                .inharmonicity
                .map_or("from its gauge".into(), |b| STIFFNESS.figure("", "", found.inharmonicity, b).documented),
            ..STIFFNESS.figure(&name, "stiffness B", found.inharmonicity, 0.0)
        };
        figures.push(stiffness);
    }
    figures
}

fn of_pickup(pickup: &Pickup, found: &CalibratedPickup) -> Vec<FoundFigure> {
    let name = &pickup.name;
    let [low, high] = found.distances;
    let mut figures = vec![
        DISTANCE.figure(name, "distance, low string", low, pickup.distance_low),
        DISTANCE.figure(name, "distance, high string", high, pickup.distance_high),
        WIDTH.figure(name, "sensing width", found.sensing_width, pickup.sensing_width),
        DEPTH.figure(name, "depth of nulls", found.null_depth_db, pickup.null_depth_db),
    ];
    if !found.reference {
        figures.push(LEVEL.figure(name, "output", found.output_db, pickup.output_db));
        let widest = found.voicing.iter().map(|(_, figure)| figure.sd).fold(0.0, f64::max);
        let band = 2.0 * widest;
        figures.push(FoundFigure {
            of: name.clone(),
            what: "voicing".into(),
            found: format!("{} knots \u{b1} {band:.1} dB", found.voicing.len()),
            documented: if pickup.voicing.is_empty() {
                "none".into()
            } else {
                format!("{} knots", pickup.voicing.len())
            },
            vague: band > VOICING.vague,
        });
    }
    figures
}

fn view(comb: &Comb, passes: &[String], guitar: &Guitar) -> CombView {
    let points = |points: &[(f64, f64)]| points.iter().map(|&(hertz, db)| [hertz, db]).collect();
    CombView {
        name: format!("{}, {}", passes[comb.pass], string(guitar, comb.string)),
        measured: points(&comb.measured),
        fitted: points(&comb.fitted),
    }
}
