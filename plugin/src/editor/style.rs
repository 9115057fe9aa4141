//! The palette as egui's style, and the few sizes there are.

use std::sync::Arc;

use egui::{Color32, CornerRadius, FontFamily, FontId, Stroke, Style, TextStyle, Ui, Visuals, vec2};

use super::memory::Theme;
use super::palette::Palette;

/// Lesser text: captions, axis numbers.
pub const SMALL: f32 = 11.5;
/// Ordinary text.
pub const BODY: f32 = 13.0;
/// Titles and the numbers that matter.
pub const TITLE: f32 = 16.0;
/// Height of a table's row.
pub const ROW: f32 = 24.0;
/// Room between sheets, and inside them.
pub const GAP: f32 = 8.0;
/// Corner radius of sheets and fields.
pub const RADIUS: u8 = 3;

/// Gives `ui`, and whatever opens over it, the theme's style.
pub fn apply(ui: &mut Ui, theme: Theme) {
    let egui_theme = match theme {
        Theme::Light => egui::Theme::Light,
        Theme::Dark => egui::Theme::Dark,
    };
    // Menus and tooltips take the context's style, not that of the `Ui` they open from. Set it once, not every frame.
    let applied = egui::Id::unique("dryfit style");
    if ui.data(|data| data.get_temp(applied)) != Some(egui_theme) {
        let style = Arc::new(style(theme));
        ui.ctx().set_style_of(egui_theme, style.clone());
        ui.ctx().set_theme(egui_theme);
        ui.data_mut(|data| data.insert_temp(applied, egui_theme));
    }
    ui.set_style(ui.ctx().style_of(egui_theme));
}

/// Text of that size.
pub fn font(size: f32) -> FontId {
    FontId::proportional(size)
}

fn style(theme: Theme) -> Style {
    let mut style = Style { visuals: visuals(theme), ..Style::default() };
    let sizes = [
        (TextStyle::Small, SMALL, FontFamily::Proportional),
        (TextStyle::Body, BODY, FontFamily::Proportional),
        (TextStyle::Button, BODY, FontFamily::Proportional),
        (TextStyle::Heading, TITLE, FontFamily::Proportional),
        (TextStyle::Monospace, 12.5, FontFamily::Monospace),
    ];
    style.text_styles = sizes.into_iter().map(|(name, size, family)| (name, FontId::new(size, family))).collect();
    style.spacing.item_spacing = vec2(6.0, 4.0);
    style.spacing.button_padding = vec2(8.0, 3.0);
    style.spacing.interact_size = vec2(32.0, 22.0);
    style.spacing.tooltip_width = 320.0;
    // Nothing moves that has not been moved: no fades, so an idle editor paints nothing.
    style.animation_time = 0.0;
    style.interaction.selectable_labels = false;
    style
}

fn visuals(theme: Theme) -> Visuals {
    let palette = Palette::of(theme);
    let mut visuals = match theme {
        Theme::Light => Visuals::light(),
        Theme::Dark => Visuals::dark(),
    };
    visuals.weak_text_color = Some(palette.faint);
    visuals.panel_fill = palette.paper;
    visuals.window_fill = palette.sheet;
    visuals.window_stroke = Stroke::new(1.0, palette.faint);
    visuals.extreme_bg_color = palette.field;
    visuals.faint_bg_color = palette.field;
    visuals.code_bg_color = palette.field;
    visuals.warn_fg_color = palette.warning;
    visuals.error_fg_color = palette.warning;
    visuals.popup_shadow = egui::Shadow::NONE;
    visuals.window_shadow = egui::Shadow::NONE;
    visuals.menu_corner_radius = CornerRadius::same(RADIUS);
    visuals.selection.bg_fill = palette.chosen;
    visuals.selection.stroke = Stroke::new(1.0, palette.ink);
    visuals.disabled_alpha = 1.0;
    let widgets = &mut visuals.widgets;
    for (widget, fill, edge) in [
        (&mut widgets.noninteractive, palette.sheet, palette.rule),
        (&mut widgets.inactive, palette.field, palette.rule),
        (&mut widgets.hovered, palette.field_hot, palette.faint),
        (&mut widgets.active, palette.field_hot, palette.ink),
        (&mut widgets.open, palette.field_hot, palette.ink),
    ] {
        dress(widget, fill, edge, palette.ink);
    }
    visuals
}

fn dress(widget: &mut egui::style::WidgetVisuals, fill: Color32, edge: Color32, ink: Color32) {
    widget.bg_fill = fill;
    widget.weak_bg_fill = fill;
    widget.bg_stroke = Stroke::new(1.0, edge);
    widget.fg_stroke = Stroke::new(1.0, ink);
    widget.corner_radius = CornerRadius::same(RADIUS);
    widget.expansion = 0.0;
}
