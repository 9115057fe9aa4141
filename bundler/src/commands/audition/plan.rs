//! Which wirings are heard, in which positions.

use crate::Failure;
use crate::arguments::{Follow, TELLING_OPTIONS};
use crate::audition::order::{OptionOrder, Order};
use crate::commands::render::plan::{Stand, convertible, recorded, stand};
use crate::documents::Documents;

/// What is rendered.
#[derive(Debug)]
pub(super) struct Plan {
    pub(super) recorded: Stand,
    pub(super) options: Vec<Planned>,
    pub(super) follow: Follow,
}

/// An option with what is told of it.
#[derive(Debug)]
pub(super) struct Planned {
    /// With the controls in the first position that is heard.
    pub(super) stand: Stand,
    pub(super) about: String,
    /// Positions that are heard, from 1.
    pub(super) positions: Vec<u8>,
}

/// Sounds on one page; more than anybody compares, and than a browser holds.
const MOST_SOUNDS: usize = 60;

impl Plan {
    /// Reads the documents and applies the settings. Nothing is rendered before all of them are right.
    pub(super) fn new(order: &Order) -> Result<Self, Failure> {
        let mut failures = Vec::new();
        let mut documents = Documents::new();
        let guitar = documents.guitar(&order.recorded.guitar)?;
        let wiring = order.recorded.wiring.as_deref();
        let recorded = recorded(wiring, &order.recorded.set, &mut documents, &guitar, &mut failures);
        let mut options = Vec::new();
        for option in options_of(order, &mut documents, &guitar) {
            let settings = [order.set.as_slice(), option.set.as_slice()].concat();
            match stand(&mut documents, &option.wiring, &guitar, &settings) {
                Ok((stand, errors)) if errors.is_empty() => options.push(planned(&mut documents, stand, &settings)),
                Ok((_, errors)) => failures.push(Failure::Settings(errors)),
                Err(failure) => failures.push(failure),
            }
        }
        let sounds: usize = options.iter().map(|option: &Planned| option.positions.len()).sum();
        if sounds > MOST_SOUNDS {
            let what = format!("{sounds} sounds are more than the {MOST_SOUNDS} that a page holds");
            failures.push(Failure::Arguments { what, mend: "ask for fewer options at a time".into() });
        }
        if let Some(recorded) = &recorded {
            let stands: Vec<Stand> = options.iter().map(|option| option.stand.clone()).collect();
            failures.extend(convertible(recorded, &stands).err());
        }
        Failure::all(failures)?;
        let recorded = recorded.expect("a wiring that cannot be read is a failure");
        // The demo is played on the very guitar that the document describes.
        let measured = order.takes.is_empty() || !documents.is_preset(&order.recorded.guitar);
        let follow = order.follow.unwrap_or(if measured { Follow::Whole } else { Follow::Off });
        Ok(Self { recorded, options, follow })
    }
}

fn options_of(order: &Order, documents: &mut Documents, guitar: &dryfit_dsp::document::Guitar) -> Vec<OptionOrder> {
    if !order.options.is_empty() {
        return order.options.clone();
    }
    let fits = |name: &&&str| documents.assembly(name, guitar).is_ok();
    let fitting: Vec<&&str> = TELLING_OPTIONS.iter().filter(fits).take(2).collect();
    fitting.into_iter().map(|name| OptionOrder { wiring: (*name).into(), set: Vec::new() }).collect()
}

fn planned(documents: &mut Documents, stand: Stand, settings: &[String]) -> Planned {
    let about = documents.wiring(&stand.name).map(|wiring| wiring.about).unwrap_or_default();
    // A position that was asked for is the only one that is heard.
    let is_position = |setting: &String| setting.split('=').next().is_some_and(|key| key.trim() == "position");
    let positions = match settings.iter().any(is_position) {
        true => vec![stand.controls.position],
        false => (1..=stand.assembly.controls.positions).collect(),
    };
    Planned { stand, about, positions }
}
