//! Parameters as the editor moves them.

use nih_plug::prelude::*;

use crate::editor::ControlId;
use crate::params::Parameters;

/// Whoever passes gestures on parameters to the host.
pub trait Gestures {
    /// A gesture begins.
    fn begin(&mut self, parameter: Moved<'_>);
    /// A new value, 0 to 1 of the parameter's travel, within a gesture.
    fn set(&mut self, parameter: Moved<'_>, normalized: f32);
    /// The gesture ends.
    fn end(&mut self, parameter: Moved<'_>);
}

/// A parameter of any kind.
#[derive(Clone, Copy)]
pub enum Moved<'a> {
    /// A number.
    Float(&'a FloatParam),
    /// A whole number.
    Int(&'a IntParam),
    /// On or off.
    Bool(&'a BoolParam),
    /// What is heard.
    Heard(&'a EnumParam<crate::params::Heard>),
}

impl Moved<'_> {
    /// Where it stands, 0 to 1 of its travel.
    pub fn normalized(self) -> f32 {
        match self {
            Self::Float(parameter) => parameter.unmodulated_normalized_value(),
            Self::Int(parameter) => parameter.unmodulated_normalized_value(),
            Self::Bool(parameter) => parameter.unmodulated_normalized_value(),
            Self::Heard(parameter) => parameter.unmodulated_normalized_value(),
        }
    }

    /// Its value as text, with its unit.
    pub fn text(self) -> String {
        match self {
            Self::Float(parameter) => parameter.to_string(),
            Self::Int(parameter) => parameter.to_string(),
            Self::Bool(parameter) => parameter.to_string(),
            Self::Heard(parameter) => parameter.to_string(),
        }
    }

    /// A typed value, 0 to 1 of its travel; none when it is none.
    pub fn read(self, typed: &str) -> Option<f32> {
        match self {
            Self::Float(parameter) => parameter.string_to_normalized_value(typed),
            Self::Int(parameter) => parameter.string_to_normalized_value(typed),
            Self::Bool(parameter) => parameter.string_to_normalized_value(typed),
            Self::Heard(parameter) => parameter.string_to_normalized_value(typed),
        }
    }

    /// Where a double click puts it, 0 to 1 of its travel.
    pub fn default(self) -> f32 {
        match self {
            Self::Float(parameter) => parameter.default_normalized_value(),
            Self::Int(parameter) => parameter.default_normalized_value(),
            Self::Bool(parameter) => parameter.default_normalized_value(),
            Self::Heard(parameter) => parameter.default_normalized_value(),
        }
    }
}

/// The parameter behind a control; none for those of the recording, and for knobs and switches beyond the parameters.
pub fn parameter(parameters: &Parameters, control: ControlId) -> Option<Moved<'_>> {
    Some(match control {
        ControlId::Selector => Moved::Int(&parameters.selector),
        ControlId::Knob(knob) => Moved::Float(parameters.knobs().get(knob)?),
        ControlId::Switch(switch) => Moved::Int(parameters.switches().get(switch)?),
        ControlId::Cable => Moved::Float(&parameters.cable),
        ControlId::Input => Moved::Float(&parameters.input),
        ControlId::Output => Moved::Float(&parameters.output),
        ControlId::TrayStep => Moved::Int(&parameters.tray_step),
        ControlId::RecordedSelector
        | ControlId::RecordedKnob(_)
        | ControlId::RecordedSwitch(_)
        | ControlId::RecordedCable
        | ControlId::RecordedInput => return None,
    })
}

/// A control's value in the terms of [`crate::editor::Control::value`], as 0 to 1 of the parameter's travel.
pub fn travel(parameter: Moved<'_>, control: ControlId, value: f64) -> f32 {
    match (parameter, control) {
        // Steps of the tray are counted from 0 on the screen; the parameter's 0 is the part's own value.
        (Moved::Int(parameter), ControlId::TrayStep) => parameter.preview_normalized(value.round() as i32 + 1),
        (Moved::Int(parameter), _) => parameter.preview_normalized(value.round() as i32),
        (Moved::Float(parameter), ControlId::Knob(_)) => parameter.preview_normalized(value as f32),
        _ => value.clamp(0.0, 1.0) as f32,
    }
}

/// The host, through the framework.
pub struct HostGestures<'a>(pub ParamSetter<'a>);

impl Gestures for HostGestures<'_> {
    fn begin(&mut self, parameter: Moved<'_>) {
        match parameter {
            Moved::Float(parameter) => self.0.begin_set_parameter(parameter),
            Moved::Int(parameter) => self.0.begin_set_parameter(parameter),
            Moved::Bool(parameter) => self.0.begin_set_parameter(parameter),
            Moved::Heard(parameter) => self.0.begin_set_parameter(parameter),
        }
    }

    fn set(&mut self, parameter: Moved<'_>, normalized: f32) {
        match parameter {
            Moved::Float(parameter) => self.0.set_parameter_normalized(parameter, normalized),
            Moved::Int(parameter) => self.0.set_parameter_normalized(parameter, normalized),
            Moved::Bool(parameter) => self.0.set_parameter_normalized(parameter, normalized),
            Moved::Heard(parameter) => self.0.set_parameter_normalized(parameter, normalized),
        }
    }

    fn end(&mut self, parameter: Moved<'_>) {
        match parameter {
            Moved::Float(parameter) => self.0.end_set_parameter(parameter),
            Moved::Int(parameter) => self.0.end_set_parameter(parameter),
            Moved::Bool(parameter) => self.0.end_set_parameter(parameter),
            Moved::Heard(parameter) => self.0.end_set_parameter(parameter),
        }
    }
}
