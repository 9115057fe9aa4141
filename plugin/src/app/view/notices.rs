//! Warnings and errors, worst first.

use crate::app::{App, problems};
use crate::editor::{BenchId, Notice, Place, Severity};

pub(super) fn notices(app: &App) -> Vec<Notice> {
    let mut all = Vec::new();
    let mut say = |severity, place, what: String, mend: String| all.push(Notice { severity, place, what, mend });
    if let Some(kept) = app.desk.kept() {
        say(Severity::Error, Place::Session, kept.why.to_string(), String::new());
    }
    if let Some(found) = app.desk.problems() {
        say(Severity::Error, Place::Session, "the last good state still sounds".into(), problems::first(&found));
    }
    if let Some(trouble) = &app.trouble {
        say(Severity::Error, Place::Session, trouble.clone(), String::new());
    }
    if app.taps.clipped() {
        let mend = "record it with more headroom: what is cut off cannot be computed back".into();
        say(Severity::Warning, Place::Take, "the take reaches full scale".into(), mend);
    }
    let Some(measured) = &app.measured else { return all };
    for id in BenchId::BOTH {
        let place = Place::Bench(id);
        for warning in problems::lines(&measured.analysis.benches[id.index()].assembly.warnings) {
            say(Severity::Warning, place, warning.what, warning.mend);
        }
        let held = measured.benches[id.index()].assessment.filter(|assessment| assessment.held_back_db > 0.1);
        if let Some(held) = held {
            let what = format!("boost held back by {:.1} dB near {:.0} Hz", held.held_back_db, held.held_back_hertz);
            say(
                Severity::Warning,
                place,
                what,
                "the take holds too little there; record it with everything on 10".into(),
            );
        }
    }
    all.sort_by_key(|notice| std::cmp::Reverse(notice.severity));
    all
}
