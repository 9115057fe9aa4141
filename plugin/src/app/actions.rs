//! What the user did, carried out.

use dryfit_dsp::calibration::Draft;
use dryfit_dsp::conversion::Controls;
use dryfit_dsp::document::{ProblemKind, Problems};
use dryfit_dsp::units::{self, Quantity};

use super::App;
use super::blind::bench;
use super::files::Purpose;
use super::gestures::{Gestures, Moved, parameter, travel};
use crate::editor::{Action, ControlId, DocumentId, Field, Listen, Refusal};
use crate::params::Heard;
use crate::session::{Project, TrayPart, problem};

/// Carries an action out.
pub fn carry_out(app: &mut App, action: Action, host: &mut dyn Gestures) {
    match action {
        Action::Begin(control) => app.gesture(control, |moved| host.begin(moved)),
        Action::Set(control, value) => app.set(control, value, host),
        Action::End(control) => app.gesture(control, |moved| host.end(moved)),
        Action::Type(field, text) => app.type_text(field, text, host),
        Action::Listen(listen) => app.listen(listen, host),
        Action::MatchLoudness(on) => {
            put(host, Moved::Bool(&app.parameters.clone().loudness_match), f32::from(u8::from(on)))
        }
        Action::FollowNotes(on) => {
            put(host, Moved::Bool(&app.parameters.clone().note_following), f32::from(u8::from(on)))
        }
        Action::LookAhead(on) => put(host, Moved::Bool(&app.parameters.clone().look_ahead), f32::from(u8::from(on))),
        Action::StartBlind { trials } => app.start_blind(trials),
        Action::AnswerBlind(said) => app.answer_blind(said),
        Action::StopBlind => app.stop_blind(),
        Action::OpenDocument(document) => app.open(Purpose::Document(document)),
        Action::PasteDocument(document) => app.paste(document, host),
        Action::SaveDocument(document) => app.save(document),
        Action::EditDocument { document: DocumentId::Bench(id), text } => {
            app.edit_text(bench(id), "edited", &text, host)
        }
        Action::EditDocument { document: DocumentId::Sounds, text } => app.type_sounds(&text, host),
        Action::EditDocument { document: id @ DocumentId::Guitar, text } => app.replace_text(id, "edited", &text, host),
        Action::ChooseSounds(name) => app.choose_sounds(&name, host),
        Action::SoundsOfBench(id) => app.want_sounds_of(bench(id), host),
        Action::ChooseSwitch(name) => app.choose_switch(name, host),
        Action::RecordPass(position) => app.record_pass(position),
        Action::OpenPass(position) => app.open(Purpose::Pass(position)),
        Action::StopRecording => app.stop_recording(),
        Action::Calibrate => app.calibrate(),
        Action::GiveUpCalibrating => app.give_up_calibrating(),
        Action::UseCalibrated => app.use_calibrated(host),
        Action::Find => app.find(),
        Action::GiveUpFinding => app.give_up_finding(),
        Action::PutFound(id) => app.put_found(bench(id), host),
        Action::Undo => app.step_back(host),
        Action::Redo => app.step_forth(host),
        other => app.edit_project(other, host),
    }
}

/// A value set at once: a whole gesture.
pub(super) fn put(host: &mut dyn Gestures, moved: Moved<'_>, normalized: f32) {
    host.begin(moved);
    host.set(moved, normalized);
    host.end(moved);
}

impl App {
    fn gesture(&mut self, control: ControlId, pass: impl FnOnce(Moved<'_>)) {
        if let Some(moved) = parameter(&self.parameters, control) {
            pass(moved);
        }
    }

    fn set(&mut self, control: ControlId, value: f64, host: &mut dyn Gestures) {
        self.refusals.retain(|refusal| refusal.field != Field::Control(control));
        let parameters = self.parameters.clone();
        match parameter(&parameters, control) {
            Some(moved) => host.set(moved, travel(moved, control, value)),
            None => self.set_recorded(control, value, host),
        }
    }

    fn set_recorded(&mut self, control: ControlId, value: f64, host: &mut dyn Gestures) {
        let mut controls = self.desk.project().recorded.controls;
        let position = value.round().clamp(1.0, 255.0) as u8;
        match control {
            ControlId::RecordedSelector => controls.position = position,
            ControlId::RecordedKnob(knob) if knob < Controls::KNOBS => controls.knobs[knob] = value.clamp(0.0, 10.0),
            ControlId::RecordedSwitch(switch) if switch < Controls::SWITCHES => controls.switches[switch] = position,
            ControlId::RecordedCable => {
                let picofarads = self.parameters.cable.preview_plain_of(value);
                controls.load.cable = crate::text::significant(picofarads, crate::text::CABLE_PICOFARADS) / 1e12;
            }
            ControlId::RecordedInput => {
                let ohms = self.parameters.input.preview_plain_of(value);
                controls.load.input = crate::text::significant(ohms, crate::text::INPUT_OHMS);
            }
            _ => return,
        }
        let edited = self.desk.project().with_recorded_controls(controls);
        self.finish("how the take was recorded".into(), edited, Some(Field::Control(control)), String::new(), host);
    }

    fn type_text(&mut self, field: Field, text: String, host: &mut dyn Gestures) {
        self.refusals.retain(|refusal| refusal.field != field);
        let project = self.desk.project();
        match &field {
            Field::Control(control) => self.type_control(*control, text, host),
            Field::Part { bench: id, part } => {
                let edited = project.with_value(bench(*id), part, &text);
                let what = format!("{} of {} {text}", words(part), id.letter());
                // What is typed is what shall sound, not the value that is on trial.
                let on_trial =
                    project.tray.bench == bench(*id) && project.tray.part == Some(TrayPart::Part(part.clone()));
                if edited.is_ok() && on_trial {
                    put(host, Moved::Int(&self.parameters.clone().tray_step), 0.0);
                }
                self.finish(what, edited, Some(field), text, host);
            }
            Field::Readings(id) => self.type_readings(*id, text),
            Field::Measure(measure) => self.type_measure(measure.clone(), text),
            Field::TrayValues => {
                let edited = project.with_tray_values(&text);
                self.finish("the tray's values".into(), edited, Some(field), text, host);
            }
            Field::GuitarTitle => {
                let edited = with_title(&project, &text);
                self.finish("what the guitar is called".into(), edited, Some(field), text, host);
            }
            Field::PickupDistance { pickup, low } => {
                let edited = with_distance(&project, pickup, *low, &text);
                let what = format!("distance of the {pickup} pickup");
                self.finish(what, edited, Some(field), text, host);
            }
        }
    }

    fn type_control(&mut self, control: ControlId, text: String, host: &mut dyn Gestures) {
        let parameters = self.parameters.clone();
        if let Some(moved) = parameter(&parameters, control) {
            return match moved.read(&text) {
                Some(normalized) => put(host, moved, normalized),
                None => {
                    let why = format!("`{text}` is no value; write it such as {}", moved.text());
                    self.refusals.push(Refusal { field: Field::Control(control), typed: text, why });
                }
            };
        }
        let value = match control {
            ControlId::RecordedCable => crate::text::read_cable(&text).map(|value| parameters.cable.travel_of(value)),
            ControlId::RecordedInput => crate::text::read_input(&text).map(|value| parameters.input.travel_of(value)),
            _ => crate::text::number(&text).map(f64::from),
        };
        match value {
            Some(value) => self.set_recorded(control, value, host),
            None => {
                let why = format!("`{text}` is no value");
                self.refusals.push(Refusal { field: Field::Control(control), typed: text, why });
            }
        }
    }

    fn listen(&mut self, listen: Listen, host: &mut dyn Gestures) {
        if self.listen_blind(listen) {
            return;
        }
        let heard = match listen {
            Listen::Dry => Heard::Dry,
            Listen::A | Listen::X => Heard::A,
            Listen::B => Heard::B,
        };
        let parameters = self.parameters.clone();
        put(host, Moved::Heard(&parameters.listen), parameters.listen.travel_of(heard));
    }
}

/// A part's name in words.
pub(super) fn words(part: &str) -> String {
    part.replace("-cap", " capacitor").replace('-', " ")
}

/// The guitar under another title, written into its document so that everything else in it stays.
fn with_title(project: &Project, typed: &str) -> Result<Project, Problems> {
    if typed.trim().is_empty() {
        let (kind, what) = (ProblemKind::MissingKey, "a guitar without a title is found in no list".into());
        return Err(problem(kind, &project.guitar.name, None, what, "type what tells it from the others"));
    }
    let mut draft = Draft::new(&project.guitar.text);
    draft.set_top("title", typed.trim(), "");
    let (text, guitar) = draft.finish(&project.guitar.name)?;
    project.with_guitar_text(&guitar.title, &text)
}

/// The guitar with another distance of a pickup, written into its document so that everything else in it stays.
fn with_distance(project: &Project, pickup: &str, low: bool, typed: &str) -> Result<Project, Problems> {
    let wrong = |what: String| {
        problem(ProblemKind::UnknownUnit, &project.guitar.name, Some(pickup), what, "type it such as 46 mm")
    };
    let millimetres = typed.trim().parse::<f64>().map(|bare| format!("{bare} mm"));
    let text = millimetres.unwrap_or_else(|_| typed.trim().to_string());
    units::parse(&text, Quantity::Length).map_err(|error| wrong(error.to_string()))?;
    let mut document: toml_edit::DocumentMut =
        project.guitar.text.parse().map_err(|error| wrong(format!("{error}")))?;
    let distances = document.get_mut("pickups").and_then(|pickups| pickups.get_mut(pickup));
    let distances = distances.and_then(|pickup| pickup.get_mut("distance")).and_then(|item| item.as_array_mut());
    let place = distances.and_then(|distances| {
        let last = distances.len().checked_sub(1)?;
        distances.get_mut(if low { 0 } else { last })
    });
    let place =
        place.ok_or_else(|| wrong(format!("the guitar's document lists no distances of a pickup `{pickup}`")))?;
    *place = text.into();
    project.with_guitar_text(&project.guitar.name, &document.to_string())
}

/// A parameter's travel in double precision, as controls of the recording use it.
pub(super) trait Travel<P> {
    /// The plain value at a place of the travel, 0 to 1.
    fn preview_plain_of(&self, travel: f64) -> P;
    /// The place of a plain value on the travel.
    fn travel_of<T: From<f32>>(&self, plain: P) -> T;
}

impl<P, T: nih_plug::prelude::Param<Plain = P>> Travel<P> for T {
    fn preview_plain_of(&self, travel: f64) -> P {
        self.preview_plain(travel.clamp(0.0, 1.0) as f32)
    }

    fn travel_of<R: From<f32>>(&self, plain: P) -> R {
        self.preview_normalized(plain).into()
    }
}
