//! Lines, sentences and choices that the steps are made of.

use crate::palette::{Palette, strong_font};
use egui::{Align, ComboBox, Layout, RichText, Ui};

/// A label with a figure at the right; its response may explain the words.
pub(super) fn line(ui: &mut Ui, label: &str, figure: impl Into<String>) -> egui::Response {
    ui.horizontal(|ui| {
        ui.label(label);
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            ui.label(RichText::new(figure).font(strong_font(13.5)));
        });
    })
    .response
}

/// A label with something to act on at the right.
pub(crate) fn with<R>(ui: &mut Ui, label: &str, add: impl FnOnce(&mut Ui) -> R) -> R {
    ui.horizontal(|ui| {
        ui.label(label);
        ui.with_layout(Layout::right_to_left(Align::Center), add).inner
    })
    .inner
}

/// A small heading inside a step.
pub(crate) fn heading(ui: &mut Ui, text: &str) {
    ui.add_space(6.0);
    ui.label(RichText::new(text).font(strong_font(13.5)));
}

/// A sentence of lesser weight, wrapped.
pub(crate) fn note(ui: &mut Ui, text: impl Into<String>) {
    ui.label(RichText::new(text).size(12.5).weak());
}

/// The usual caution, marked by a bar at its side.
pub(super) fn caution(ui: &mut Ui, text: &str) {
    let palette = Palette::current(ui.ctx());
    ui.add_space(4.0);
    let shown = egui::Frame::new().inner_margin(egui::Margin { left: 10, right: 0, top: 1, bottom: 1 }).show(
        ui,
        |ui| {
            ui.label(RichText::new(text).size(12.5).color(palette.ink));
        },
    );
    let rect = shown.response.rect;
    ui.painter().vline(rect.left() + 2.0, rect.y_range(), egui::Stroke::new(3.0, palette.look));
}

/// A choice among words; the index of a newly chosen one.
pub(crate) fn choose(ui: &mut Ui, name: &str, current: &str, words: &[&str]) -> Option<usize> {
    let mut chosen = None;
    let shown = ComboBox::from_id_salt(name).selected_text(current).width(110.0).show_ui(ui, |ui| {
        for (index, word) in words.iter().enumerate() {
            if ui.selectable_label(*word == current, *word).clicked() && *word != current {
                chosen = Some(index);
            }
        }
    });
    let _ = shown.response.accessible_name(name);
    chosen
}

/// A word that does something, written in chalk.
pub(crate) fn act(ui: &mut Ui, word: &str) -> egui::Response {
    let palette = Palette::current(ui.ctx());
    let button = egui::Button::new(RichText::new(word).color(palette.chalk)).frame(false);
    ui.add(button).on_hover_cursor(egui::CursorIcon::PointingHand)
}
