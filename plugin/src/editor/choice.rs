//! Choosing a document from a list.

use egui::{ComboBox, Rect, Response, RichText, Ui, UiBuilder};

use super::model::Choice;

/// A list that drops down; the chosen name, if another one was chosen.
pub fn choose(
    ui: &mut Ui,
    rect: Rect,
    name: &str,
    shown: RichText,
    choices: &[Choice],
    chosen: &str,
    tip: &str,
) -> Option<String> {
    let mut child = ui.new_child(UiBuilder::new().max_rect(rect));
    child.spacing_mut().interact_size.y = rect.height();
    let mut picked = None;
    let list = ComboBox::from_id_salt(name).selected_text(shown).width(rect.width()).height(360.0).truncate().show_ui(
        &mut child,
        |ui| {
            ui.set_min_width(220.0);
            for choice in choices {
                let title = if choice.own { format!("{} (own)", choice.title) } else { choice.title.clone() };
                if ui.selectable_label(choice.name == chosen, title).clicked() && choice.name != chosen {
                    picked = Some(choice.name.clone());
                }
            }
        },
    );
    name_widget(ui, &list.response, name);
    if !tip.is_empty() {
        list.response.on_hover_text(tip);
    }
    picked
}

/// Gives a widget its name for assistive tools; what it shows stays its value.
pub fn name_widget(ui: &Ui, response: &Response, name: &str) {
    ui.ctx().accesskit_node_builder(response.id, |node| {
        if let Some(shown) = node.label().map(str::to_owned) {
            node.set_value(shown);
        }
        node.set_label(name);
    });
}
