//! What dragging, the wheel, the keys and assistive tools do to a control: the same for all of them.

use egui::accesskit::Action as Assist;
use egui::{Event, EventFilter, Key, Modifiers, MouseWheelUnit, Response, Ui, WidgetInfo};

use crate::editor::action::Action;
use crate::editor::desk::Desk;
use crate::editor::model::Control;

/// How a control travels.
#[derive(Debug, Clone, Copy)]
pub struct Travel {
    /// Its lowest value.
    pub low: f64,
    /// Its highest value.
    pub high: f64,
    /// What an arrow key or a notch of the wheel is worth; a tenth of that with shift.
    pub step: f64,
    /// Points of dragging for the whole travel.
    pub points: f32,
    /// Whether it stands on whole steps only.
    pub stepped: bool,
    /// Whether dragging right, rather than up, turns it up.
    pub sideways: bool,
}

impl Travel {
    fn settle(&self, value: f64) -> f64 {
        let value = if self.stepped { value.round() } else { value };
        value.clamp(self.low, self.high)
    }
}

/// Turns what happened to `response` into gestures of the control.
pub fn grab(ui: &Ui, response: &Response, desk: &mut Desk, control: &Control, travel: Travel) {
    describe(ui, response, control, travel);
    drag(ui, response, desk, control, travel);
    if response.double_clicked() {
        desk.put(control.id, control.reset);
        return;
    }
    let steps = wheel(ui, response) + keys(ui, response, travel) + assistance(ui, response);
    let value = travel.settle(jump(ui, response, travel).unwrap_or(control.value) + steps * travel.step);
    if value != control.value {
        desk.put(control.id, value);
    }
}

fn describe(ui: &Ui, response: &Response, control: &Control, travel: Travel) {
    response.widget_info(|| WidgetInfo::slider(true, control.value, &control.label));
    ui.ctx().accesskit_node_builder(response.id, |node| {
        node.set_value(control.text.as_str());
        node.set_min_numeric_value(travel.low);
        node.set_max_numeric_value(travel.high);
        node.set_numeric_value_step(travel.step);
        [Assist::Increment, Assist::Decrement, Assist::SetValue].into_iter().for_each(|action| node.add_action(action));
    });
}

/// The host's echo of a value may lag: what is dragged adds up from where the gesture began, not from what came back.
fn drag(ui: &Ui, response: &Response, desk: &mut Desk, control: &Control, travel: Travel) {
    if response.drag_started() {
        response.request_focus();
        ui.data_mut(|data| data.insert_temp(response.id, control.value));
        desk.act(Action::Begin(control.id));
    }
    if response.dragged() {
        let delta = if travel.sideways { response.drag_delta().x } else { -response.drag_delta().y };
        let fine = if ui.input(|input| input.modifiers.shift) { 0.1 } else { 1.0 };
        let change = f64::from(delta / travel.points) * fine * (travel.high - travel.low);
        let from: f64 = ui.data(|data| data.get_temp(response.id)).unwrap_or(control.value);
        let to = (from + change).clamp(travel.low, travel.high);
        ui.data_mut(|data| data.insert_temp(response.id, to));
        if change != 0.0 && (!travel.stepped || travel.settle(to) != travel.settle(from)) {
            desk.act(Action::Set(control.id, travel.settle(to)));
        }
    }
    if response.drag_stopped() {
        desk.act(Action::End(control.id));
    }
}

/// Notches of the wheel, each one step. A touch pad's points are gathered until they make one.
fn wheel(ui: &Ui, response: &Response) -> f64 {
    const POINTS_PER_NOTCH: f32 = 40.0;
    if !response.hovered() || ui.input(|input| input.modifiers.command) {
        return 0.0;
    }
    let id = response.id.with("wheel");
    let gathered: f32 = ui.data(|data| data.get_temp(id)).unwrap_or(0.0);
    let turned: f32 = ui.input(|input| input.events.iter().map(notches).sum());
    let whole = (gathered + turned).trunc();
    ui.data_mut(|data| data.insert_temp(id, gathered + turned - whole));
    return f64::from(whole);

    fn notches(event: &Event) -> f32 {
        match event {
            Event::MouseWheel { unit: MouseWheelUnit::Point, delta, .. } => (delta.y + delta.x) / POINTS_PER_NOTCH,
            Event::MouseWheel { delta, .. } => delta.y + delta.x,
            _ => 0.0,
        }
    }
}

/// Steps by the arrow keys.
fn keys(ui: &Ui, response: &Response, travel: Travel) -> f64 {
    if !response.has_focus() {
        return 0.0;
    }
    let filter = EventFilter { horizontal_arrows: true, vertical_arrows: true, ..EventFilter::default() };
    ui.memory_mut(|memory| memory.set_focus_lock_filter(response.id, filter));
    let fine = if travel.stepped { 1.0 } else { 0.1 };
    ui.input_mut(|input| {
        let mut pressed = |key| {
            let fine_presses = input.count_and_consume_key(Modifiers::SHIFT, key) as f64 * fine;
            fine_presses + input.count_and_consume_key(Modifiers::NONE, key) as f64
        };
        pressed(Key::ArrowUp) + pressed(Key::ArrowRight) - pressed(Key::ArrowDown) - pressed(Key::ArrowLeft)
    })
}

/// Home and End, or a value an assistive tool asks for.
fn jump(ui: &Ui, response: &Response, travel: Travel) -> Option<f64> {
    let asked = ui.input(|input| {
        let mut requests = input.accesskit_action_requests(response.id, Assist::SetValue);
        requests.find_map(|request| match request.data {
            Some(egui::accesskit::ActionData::NumericValue(value)) => Some(value),
            _ => None,
        })
    });
    let focused = response.has_focus();
    asked.or_else(|| {
        ui.input_mut(|input| match () {
            () if focused && input.consume_key(Modifiers::NONE, Key::Home) => Some(travel.low),
            () if focused && input.consume_key(Modifiers::NONE, Key::End) => Some(travel.high),
            () => None,
        })
    })
}

/// Steps an assistive tool asks for.
fn assistance(ui: &Ui, response: &Response) -> f64 {
    ui.input(|input| {
        let count = |action| input.num_accesskit_action_requests(response.id, action) as f64;
        count(Assist::Increment) - count(Assist::Decrement)
    })
}
