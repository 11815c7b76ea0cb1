//! A doorway cut through, painted small on its card.

use super::scene::{PAPER_MM, Scene};
use super::view::View;
use super::{label, paint};
use crate::palette::Palette;
use drawing::{Options, doorway_section, label_extent, rough_width, section_span};
use egui::{Sense, Ui, WidgetInfo, vec2};
use fit::DoorwayFit;
use pipeline::House;
use plan::Point;

/// Room for the figures at both sides, paper mm.
const FIGURES: f64 = 26.0;

/// Paints the cut as wide as there is room; it speaks as `said`.
pub(crate) fn section(ui: &mut Ui, house: &House, found: &DoorwayFit, said: &str) {
    let Some(door) = house.plan.doorways.get(found.doorway) else { return };
    let room = f64::from(ui.available_width()) / PAPER_MM;
    let scale = section_span(door) / (room - FIGURES).max(10.0);
    let drawing = doorway_section(house, found, &Options::all(scale, house.plan.units));
    let Some(mut extent) = drawing.bounds().map(|bounds| bounds.scale_from_origin(1.0 / scale)) else {
        return;
    };
    for label in drawing.labels() {
        let own = label_extent(label, rough_width(&label.text, label.size));
        extent = extent.union(own + label.at.to_vec2() / scale);
    }
    let height = ((extent.height() + 2.0) * PAPER_MM) as f32;
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), height), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(egui::Role::Image, true, said));
    let middle = extent.center().to_vec2() * scale;
    let view =
        View { rect, centre: Point::new(middle.x, middle.y), scale: PAPER_MM / scale, ..View::default() };
    let mut scene = Scene::default();
    scene.set(&drawing);
    let painter = ui.painter().with_clip_rect(rect.expand(4.0).intersect(ui.clip_rect()));
    let palette = Palette::current(ui.ctx());
    painter.extend(paint::shapes(&scene, &view, palette, None));
    label::paint(&painter, &scene, &view, palette, None);
}
