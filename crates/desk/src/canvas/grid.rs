//! The grid of the table: lines that keep their distance on the screen as the view zooms.

use super::View;
use crate::palette::Palette;
use egui::{Painter, Stroke};
use plan::Point;

/// Distances a grid may have, mm.
const STEPS: [f64; 10] = [1.0, 5.0, 10.0, 50.0, 100.0, 500.0, 1000.0, 5000.0, 10_000.0, 50_000.0];
/// Least distance of lines on the screen, points.
const LEAST_SPACE: f32 = 56.0;

/// Distance of the lines drawn, mm.
pub(super) fn step(view: &View) -> f64 {
    STEPS.into_iter().find(|step| view.points(*step) >= LEAST_SPACE).unwrap_or(100_000.0)
}

/// Distance of the points that catch: a tenth or a fifth of the lines' where that is still to be hit.
pub(super) fn catch_step(view: &View) -> f64 {
    STEPS.into_iter().find(|step| view.points(*step) >= 5.0).unwrap_or(100_000.0)
}

pub(super) fn paint(painter: &Painter, view: &View, palette: &Palette) {
    let step = step(view);
    let stroke = Stroke::new(1.0, palette.grid);
    let (low, high) =
        (view.plan_from_screen(view.rect.left_bottom()), view.plan_from_screen(view.rect.right_top()));
    let lines = |from: f64, to: f64| {
        let first = (from / step).ceil() as i64;
        (first..).map(move |n| n as f64 * step).take_while(move |at| *at <= to).take(400)
    };
    for x in lines(low.x, high.x) {
        painter.vline(view.screen_from_plan(Point::new(x, 0.0)).x, view.rect.y_range(), stroke);
    }
    for y in lines(low.y, high.y) {
        painter.hline(view.rect.x_range(), view.screen_from_plan(Point::new(0.0, y)).y, stroke);
    }
}
