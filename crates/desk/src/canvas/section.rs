//! A doorway cut through, painted small on its card.

use super::scene::{PAPER_MM, Scene};
use super::view::View;
use super::{label, paint};
use crate::palette::Palette;
use drawing::{Drawing, Options, doorway_section, label_extent, rough_width, section_span};
use egui::{Sense, Ui, WidgetInfo, vec2};
use fit::DoorwayFit;
use kurbo::Rect;
use pipeline::House;
use plan::Point;

/// Room first left for the figures at both sides, paper mm; then as much as they take.
const FIGURES: f64 = 30.0;
/// The cut itself is drawn at least so wide, paper mm.
const LEAST: f64 = 10.0;

/// Kept free beside the figures, paper mm.
const MARGIN: f64 = 1.0;

/// What a cut takes up with its figures, paper mm.
fn extent(drawing: &Drawing, scale: f64) -> Option<Rect> {
    let shapes = drawing.bounds()?.scale_from_origin(1.0 / scale);
    Some(drawing.labels().fold(shapes, |all, label| {
        let own = label_extent(label, rough_width(&label.text, label.size));
        all.union(own + label.at.to_vec2() / scale)
    }))
}

/// Paints the cut as wide as there is room; it speaks as `said`.
pub(crate) fn section(ui: &mut Ui, house: &House, found: &DoorwayFit, said: &str) {
    let Some(door) = house.plan.doorways.get(found.doorway) else { return };
    let room = f64::from(ui.available_width()) / PAPER_MM;
    let span = section_span(door);
    let at = |figures: f64| {
        let scale = span / (room - figures).max(LEAST);
        let drawing = doorway_section(house, found, &Options::all(scale, house.plan.units));
        let extent = extent(&drawing, scale)?;
        Some((scale, drawing, extent))
    };
    let Some((first, _, rough)) = at(FIGURES) else { return };
    let Some((scale, drawing, extent)) = at(rough.width() - span / first + MARGIN) else { return };
    let height = ((extent.height() + 2.0) * PAPER_MM) as f32;
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), height), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(egui::Role::Image, true, said));
    let middle = extent.center().to_vec2() * scale;
    let view = View { rect, centre: Point::new(middle.x, middle.y), scale: PAPER_MM / scale };
    let mut scene = Scene::default();
    scene.set(&drawing);
    let painter = ui.painter().with_clip_rect(rect.expand(4.0).intersect(ui.clip_rect()));
    let palette = Palette::current(ui.ctx());
    painter.extend(paint::shapes(&scene, &view, palette, None));
    label::Lettering::default().paint(&painter, &scene, &view, palette, None, true);
}
