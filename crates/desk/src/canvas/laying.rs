//! The board that goes in next: its place, the way it comes, and what to know of it.

use super::view::View;
use crate::laying::Laid;
use crate::palette::{Palette, strong_font};
use egui::{Painter, Pos2, Rect, Shape, Stroke, Vec2, pos2, vec2};
use fit::{Motion, Part};
use lay::Board;
use pipeline::House;
use plan::Point;

/// Length of the arrow that shows how a board comes, points.
const ARROW: f32 = 34.0;
/// Its head, points.
const HEAD: f32 = 9.0;

pub(super) fn paint(painter: &Painter, laid: &Laid<'_>, house: &House, view: &View, palette: &Palette) {
    let Some((index, board)) = laid.next.and_then(|index| Some((index, house.floor.boards.get(index)?)))
    else {
        return;
    };
    let at = |p: site::Uv| view.screen_from_plan(house.site.frame.plan_from_row(p));
    let ring: Vec<Pos2> = board.outline.outer.iter().map(|p| at(*p)).collect();
    let outline: Vec<Point> =
        board.outline.outer.iter().map(|p| house.site.frame.plan_from_row(*p)).collect();
    let mut wash = egui::Mesh::default();
    for quad in super::trapezoid::fill(&[outline]) {
        super::paint::add_quad(&mut wash, quad.map(|p| view.screen_from_plan(p)), palette.chalk_wash);
    }
    painter.add(Shape::mesh(wash));
    let stroke = Stroke::new(2.6, palette.chalk);
    painter.add(Shape::closed_line(ring.clone(), stroke));
    let bounds = Rect::from_points(&ring);
    let middle = bounds.center();
    match house.fit.motion(index) {
        Motion::Blocked => {
            let arm = bounds.size().min_elem().min(24.0) / 2.0;
            for arm in [vec2(arm, arm), vec2(arm, -arm)] {
                painter.line_segment([middle - arm, middle + arm], Stroke::new(3.0, palette.fault));
            }
        }
        // Let straight down: a ring with a dot, an arrow seen from its point.
        Motion::Drop => {
            painter.circle_stroke(middle, 7.0, stroke);
            painter.circle_filled(middle, 2.4, palette.chalk);
        }
        Motion::Fold | Motion::Tilt | Motion::Slide => {
            let from = house.fit.other_way(index).and_then(|way| way.from).unwrap_or(Part::Tongue);
            arrow(painter, middle, coming(board, from, &at), stroke);
        }
    }
    let text = format!("{} · {}", board.label, house.fit.words(&house.plan, index));
    let galley = painter.layout(text, strong_font(12.5), palette.ink, 300.0);
    let size = galley.size() + vec2(12.0, 6.0);
    // Below the board, or above it where the table ends; never off its sides.
    let table = view.rect.shrink(8.0);
    let low = bounds.bottom() + 8.0;
    let top = if low + size.y < table.bottom() { low } else { bounds.top() - 8.0 - size.y };
    let left = (middle.x - size.x / 2.0).clamp(table.left(), (table.right() - size.x).max(table.left()));
    let plate = Rect::from_min_size(pos2(left, top), size);
    painter.rect_filled(plate, 3.0, palette.card.gamma_multiply(0.95));
    painter.rect_stroke(plate, 3.0, Stroke::new(1.0, palette.chalk), egui::StrokeKind::Inside);
    painter.galley(plate.min + vec2(6.0, 3.0), galley, palette.ink);
}

/// The direction on the screen in which a board moves that comes from one of its sides.
fn coming(board: &Board, from: Part, at: &impl Fn(site::Uv) -> Pos2) -> Vec2 {
    let d = board.along;
    let (u, v) = match from {
        Part::Left => (d.u, d.v),
        Part::Right => (-d.u, -d.v),
        Part::Tongue => (d.v, -d.u),
        Part::Groove => (-d.v, d.u),
    };
    let half = if board.turned { -1.0 } else { 1.0 };
    let moved = at(site::Uv::new(u * half * 1000.0, v * half * 1000.0)) - at(site::Uv::default());
    moved.normalized()
}

fn arrow(painter: &Painter, point: Pos2, towards: Vec2, stroke: Stroke) {
    if towards == Vec2::ZERO {
        return;
    }
    painter.line_segment([point - towards * ARROW, point], stroke);
    let back = point - towards * HEAD;
    let aside = towards.rot90() * HEAD * 0.6;
    painter.add(Shape::line(vec![back + aside, point, back - aside], stroke));
}
