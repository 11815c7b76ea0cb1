//! Lines, sentences and choices that the steps are made of.

use crate::palette::{Palette, strong_font};
use egui::{Align, ComboBox, InnerResponse, Layout, RichText, Ui};

/// What a line's right side needed the last time it stood in one row, points.
#[derive(Clone, Copy)]
struct Needs(f32);

fn squeezed_id() -> egui::Id {
    egui::Id::unique("fields made narrower than they ask for")
}

/// Notes that a field stands in less room than it asks for: what its line needs is more than it shows.
pub(crate) fn squeezed(ui: &Ui, by: f32) {
    if by > 0.0 {
        ui.ctx().data_mut(|data| *data.get_temp_mut_or_default::<f32>(squeezed_id()) += by);
    }
}

/// How what stands at the right of a line is laid out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Parts {
    /// One thing, against the edge.
    One,
    /// Several, from left to right: Tab goes through them as they read. How wide they are together is known from the last
    /// time, so that they end at the edge.
    Several,
}

/// A name at the left and something to act on at the right. Where both have no room in one row, as with everything at
/// three times its size, the name stands over it, and what is at the right wraps.
pub(super) fn named<R>(
    ui: &mut Ui,
    key: &str,
    name_width: f32,
    name: impl FnOnce(&mut Ui),
    parts: Parts,
    add: impl FnOnce(&mut Ui) -> R,
) -> InnerResponse<R> {
    let id = ui.next_auto_id().with(("what a line needs", key));
    let full = ui.available_width();
    let needs = ui.data(|data| data.get_temp::<Needs>(id));
    let fits = needs.is_none_or(|needs| name_width + ui.spacing().item_spacing.x + needs.0 <= full + 0.5);
    ui.ctx().data_mut(|data| data.remove::<f32>(squeezed_id()));
    let (left, right) = (Layout::left_to_right(Align::Center), Layout::right_to_left(Align::Center));
    let mut rect = egui::Rect::NOTHING;
    let shown = if fits {
        ui.horizontal(|ui| {
            name(ui);
            let layout = match (parts, needs) {
                (Parts::Several, Some(Needs(width))) => {
                    ui.add_space((ui.available_width() - width).max(0.0));
                    left
                }
                // Several that were never measured end at the edge from the first, turned about in that one frame.
                _ => right,
            };
            let added = ui.with_layout(layout, add);
            rect = added.response.rect;
            added.inner
        })
    } else {
        ui.vertical(|ui| {
            ui.spacing_mut().item_spacing.y = 2.0;
            name(ui);
            let size = egui::vec2(ui.available_width(), ui.spacing().interact_size.y);
            let layout = if parts == Parts::Several { left } else { right };
            let added = ui.allocate_ui_with_layout(size, layout.with_main_wrap(true), |ui| {
                if parts == Parts::One {
                    // Items wrap, their words do not: words wrapped from the right would lie over what stands before them.
                    ui.style_mut().wrap_mode = Some(egui::TextWrapMode::Extend);
                }
                add(ui)
            });
            rect = added.response.rect;
            added.inner
        })
    };
    let squeezed = ui.ctx().data_mut(|data| data.remove_temp::<f32>(squeezed_id())).unwrap_or_default();
    // In several rows it shows less than it needs: what is known stays.
    let is_one_row = fits || rect.height() < 1.6 * ui.spacing().interact_size.y;
    let now = rect.width() + squeezed;
    if is_one_row && needs.is_none_or(|needs| (needs.0 - now).abs() > 0.5) {
        ui.data_mut(|data| data.insert_temp(id, Needs(now)));
        let will_fit = name_width + ui.spacing().item_spacing.x + now <= full + 0.5;
        // In the next frame it stands as it fits, and several where they belong.
        if will_fit != fits || fits && parts == Parts::Several {
            ui.ctx().request_repaint();
        }
    }
    shown
}

/// How wide words are in the usual writing, points.
pub(super) fn width_of(ui: &Ui, words: &str) -> f32 {
    let font = egui::TextStyle::Body.resolve(ui.style());
    ui.painter().layout_no_wrap(words.to_owned(), font, egui::Color32::BLACK).size().x
}

/// A label with a figure at the right; its response may explain the words.
pub(super) fn line(ui: &mut Ui, label: &str, figure: impl Into<String>) -> egui::Response {
    let width = width_of(ui, label);
    let figure = RichText::new(figure).font(strong_font(13.5));
    let said = |ui: &mut Ui| drop(ui.label(label));
    named(ui, label, width, said, Parts::One, |ui| drop(ui.label(figure))).response
}

/// A label with one thing to act on at the right.
pub(crate) fn with<R>(ui: &mut Ui, label: &str, add: impl FnOnce(&mut Ui) -> R) -> R {
    let width = width_of(ui, label);
    named(ui, label, width, |ui| drop(ui.label(label)), Parts::One, add).inner
}

/// A label with several things to act on at the right, added as they read.
pub(crate) fn with_several<R>(ui: &mut Ui, label: &str, add: impl FnOnce(&mut Ui) -> R) -> R {
    let width = width_of(ui, label);
    named(ui, label, width, |ui| drop(ui.label(label)), Parts::Several, add).inner
}

/// Things one after the other that wrap where the panel is narrow; their words do not.
pub(super) fn row<R>(ui: &mut Ui, add: impl FnOnce(&mut Ui) -> R) -> InnerResponse<R> {
    ui.horizontal_wrapped(|ui| {
        ui.style_mut().wrap_mode = Some(egui::TextWrapMode::Extend);
        add(ui)
    })
}

/// So many rows of a long list are laid out together, or not.
const TOGETHER: usize = 12;
/// So far beyond the panel's edges rows are laid out all the same: the next one, by Tab, is there, points.
const BEYOND: f32 = 200.0;

/// How high the parts of a long list were when they were last laid out, points.
#[derive(Clone, Default)]
struct Heights {
    width: f32,
    parts: Vec<Option<f32>>,
}

/// A list of any length: rows far out of sight are not laid out, their height alone is kept, `usual` points each until it
/// is known. The row `held` is laid out wherever it lies, and for a screen reader all of them are.
pub(super) fn long(
    ui: &mut Ui,
    key: &str,
    count: usize,
    usual: f32,
    held: Option<usize>,
    mut row: impl FnMut(&mut Ui, usize),
) {
    let id = egui::Id::unique(("long list", key));
    let is_read = ui.ctx().accesskit_node_builder(ui.unique_id(), |_| ()).is_some();
    let sight = ui.clip_rect().expand2(egui::vec2(0.0, BEYOND));
    let width = ui.available_width();
    let mut heights = ui.data_mut(|data| data.remove_temp::<Heights>(id)).unwrap_or_default();
    if (heights.width - width).abs() > 0.5 {
        heights = Heights { width, parts: Vec::new() };
    }
    heights.parts.resize(count.div_ceil(TOGETHER), None);
    for (part, height) in heights.parts.iter_mut().enumerate() {
        let rows = part * TOGETHER..(part * TOGETHER + TOGETHER).min(count);
        let top = ui.cursor().top();
        let supposed = height.unwrap_or(usual * rows.len() as f32);
        let is_seen = top <= sight.bottom() && top + supposed >= sight.top();
        if is_seen || is_read || held.is_some_and(|held| rows.contains(&held)) {
            ui.push_id((key, part), |ui| rows.for_each(|index| row(ui, index)));
            *height = Some(ui.cursor().top() - top);
        } else {
            ui.skip_ahead_auto_ids(1);
            ui.add_space(supposed);
        }
    }
    ui.data_mut(|data| data.insert_temp(id, heights));
}

/// Something long that is shown once its words are clicked.
pub(super) fn fold(ui: &mut Ui, salt: &str, words: &str, add: impl FnOnce(&mut Ui)) {
    let id = ui.scope_id().with(("folded", salt));
    let mut open = ui.data(|data| data.get_temp::<bool>(id)).unwrap_or(false);
    let mark = if open { "–" } else { "+" };
    let button = egui::Button::new(format!("{mark} {words}")).frame(false).wrap();
    let response = ui.add(button).on_hover_cursor(egui::CursorIcon::PointingHand);
    response.widget_info(|| egui::WidgetInfo::selected(egui::Role::Button, true, open, words));
    ring(ui, &response);
    if response.clicked() {
        open = !open;
        ui.data_mut(|data| data.insert_temp(id, open));
    }
    if open {
        ui.indent(id, add);
    }
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

/// A list of choices is no taller than this; what is longer is scrolled, points.
const TALLEST_LIST: f32 = 420.0;
/// What a choice needs besides its words, points.
const LIST_MARGIN: f32 = 44.0;

/// A choice among words; the index of a newly chosen one.
pub(crate) fn choose(ui: &mut Ui, name: &str, current: &str, words: &[&str]) -> Option<usize> {
    let (mut chosen, mut is_picked) = (None, false);
    // All of the choices at once, where the window has room for them.
    let height = (ui.ctx().content_rect().height() * 0.6).min(TALLEST_LIST);
    let mut list = ComboBox::from_id_salt(name).selected_text(current).width(110.0).height(height);
    // With its name over it, a choice may still be longer than the panel is wide.
    let room = ui.max_rect().width();
    if ui.layout().main_wrap() && width_of(ui, current) + LIST_MARGIN > room {
        list = list.width(room).truncate();
    }
    let shown = list.show_ui(ui, |ui| {
        for (index, word) in words.iter().enumerate() {
            if ui.selectable_label(*word == current, *word).clicked() {
                chosen = (*word != current).then_some(index);
                is_picked = true;
                // By the keys, too.
                ui.close();
            }
        }
    });
    let button = shown.response.accessible_name(name);
    // What was picked by a key leaves the keys where they were.
    if is_picked
        && ui.input(|input| input.key_pressed(egui::Key::Enter) || input.key_pressed(egui::Key::Space))
    {
        button.request_focus();
    }
    chosen
}

/// A word that does something, written in chalk.
pub(crate) fn act(ui: &mut Ui, word: &str) -> egui::Response {
    let palette = Palette::current(ui.ctx());
    let button = egui::Button::new(RichText::new(word).color(palette.chalk)).frame(false);
    let response = ui.add(button).on_hover_cursor(egui::CursorIcon::PointingHand);
    ring(ui, &response);
    response
}

/// A ring round what has the keys, where its words alone would not show it.
pub(crate) fn ring(ui: &Ui, response: &egui::Response) {
    if response.has_focus() {
        let stroke = egui::Stroke::new(1.4, Palette::current(ui.ctx()).chalk);
        ui.painter().rect_stroke(
            response.rect.expand2(egui::vec2(3.0, 1.0)),
            3.0,
            stroke,
            egui::StrokeKind::Outside,
        );
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use egui::{RawInput, Rect, ScrollArea, pos2, vec2};

    #[test]
    fn of_a_long_list_only_what_is_in_sight_is_laid_out() {
        let ctx = egui::Context::default();
        let frame = |offset: f32| {
            let screen_rect = Some(Rect::from_min_size(pos2(0.0, 0.0), vec2(300.0, 400.0)));
            let mut laid_out = Vec::new();
            let mut height = 0.0;
            let mut output = ctx.run_ui(RawInput { screen_rect, ..RawInput::default() }, |ui| {
                laid_out.clear();
                ScrollArea::vertical().vertical_scroll_offset(offset).show(ui, |ui| {
                    long(ui, "rows", 5000, 20.0, Some(2500), |ui, index| {
                        laid_out.push(index);
                        ui.allocate_space(vec2(50.0, 17.0));
                    });
                    height = ui.min_rect().height();
                });
            });
            output.textures_delta.clear();
            (laid_out, height)
        };
        let (top, height) = frame(0.0);
        assert!(top.contains(&0) && top.contains(&2500), "the one that is held, too");
        assert!(top.len() < 100, "{}", top.len());
        assert!((height / (5000.0 * 20.0) - 1.0).abs() < 0.02, "as high as all of it: {height}");
        let (end, _) = frame(height);
        assert!(end.contains(&4999) && !end.contains(&0), "{end:?}");
    }
}
