//! Measuring between any two things: corners, walls, edges, boards' rows, free points. Nothing of it is kept.

use super::{Event, Pick, Surroundings, Tool};
use crate::canvas::{Ghost, Hint, Overlay, Snapped};
use crate::geometry::to_segment;
use egui::CursorIcon;
use plan::{Plan, Point, format_length};

/// A length being measured.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Measure {
    from: Option<Snapped>,
    to: Option<Snapped>,
    /// The second end is set: the figure stays until the next click.
    done: bool,
}

impl Measure {
    pub(super) fn handle(mut self, event: Event, around: &Surroundings<'_>) -> Tool {
        match event {
            Event::Move(p) | Event::Drag(p) if !self.done => self.to = Some(around.snap(p, &[])),
            Event::Click(p) | Event::DragStart(p) | Event::DoubleClick(p) => {
                let caught = around.snap(p, &[]);
                match (self.from, self.done) {
                    (Some(_), false) => (self.to, self.done) = (Some(caught), true),
                    _ => self = Self { from: Some(caught), to: Some(caught), done: false },
                }
            }
            Event::DragEnd if self.from.is_some() => self.done = true,
            Event::Escape if self.from.is_some() => self = Self::default(),
            Event::Escape => return Tool::Ready(Pick::Nothing),
            _ => {}
        }
        Tool::Measure(self)
    }

    pub(super) fn overlay(&self, around: &Surroundings<'_>) -> Overlay {
        let ends = self.from.zip(self.to).map(|(from, to)| between(from, to, around.plan));
        let (ghost, hint) = match ends {
            Some((a, b)) => (Ghost::Line(a, b), words(a, b, around)),
            None => (Ghost::None, "Click the first thing: a corner, a wall, an edge, or any point".into()),
        };
        let snapped = if self.done { None } else { self.to };
        Overlay { cursor: Some(CursorIcon::Crosshair), hint, snapped, ghost, ..Overlay::default() }
    }
}

/// The ends that are meant: from a wall or an edge one measures square to it.
fn between(from: Snapped, to: Snapped, plan: &Plan) -> (Point, Point) {
    let on_side = |end: Snapped| {
        matches!(end.hint, Some(Hint::Edge | Hint::Beyond)).then(|| foot_line(end.at, plan)).flatten()
    };
    match (on_side(from), on_side(to)) {
        // From a side to a point, or to another side: square to the first one.
        (Some((a, b)), _) => (onto(to.at, a, b), to.at),
        (None, Some((a, b))) => (from.at, onto(from.at, a, b)),
        (None, None) => (from.at, to.at),
    }
}

/// The wall or edge on which a point lies.
fn foot_line(p: Point, plan: &Plan) -> Option<(Point, Point)> {
    let walls = plan.rooms.iter().flat_map(|room| (0..room.walls.len()).filter_map(|i| room.wall_line(i)));
    let edges = plan.fixtures.iter().flat_map(|fixture| {
        let outline = &fixture.outline;
        (0..outline.len()).map(|i| (outline[i], outline[(i + 1) % outline.len()]))
    });
    let off = |(a, b): &(Point, Point)| to_segment(p, *a, *b).0;
    walls.chain(edges).filter(|side| off(side) < 1.0).min_by(|one, other| off(one).total_cmp(&off(other)))
}

/// The foot of a point on the line through two others.
fn onto(p: Point, a: Point, b: Point) -> Point {
    let length = a.distance(b);
    if length <= 0.0 {
        return a;
    }
    let along = ((p.x - a.x) * (b.x - a.x) + (p.y - a.y) * (b.y - a.y)) / length;
    a.lerp(b, along / length)
}

fn words(a: Point, b: Point, around: &Surroundings<'_>) -> String {
    let units = around.plan.units;
    let show = |mm: f64| format_length((mm * 10.0).round() / 10.0, units);
    let pitch = around.plan.stock.pitch();
    let radians = around.plan.rows_at.to_radians();
    let across = ((b.y - a.y) * radians.cos() - (b.x - a.x) * radians.sin()).abs();
    let rows = if pitch > 0.0 { format!(" · {:.2} rows across", across / pitch) } else { String::new() };
    format!(
        "{} · {} across the page, {} up{rows} · click again for another",
        show(a.distance(b)),
        show((b.x - a.x).abs()),
        show((b.y - a.y).abs())
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    /// From a slanting wall one measures square to it: the 3-4-5 triangle.
    #[test]
    fn from_a_wall_one_measures_square_to_it() {
        let mut plan = Plan::new("Test");
        let room = [(0.0, 0.0), (4000.0, 3000.0), (0.0, 3000.0)].map(Point::from);
        plan::edit::add_room(&mut plan, &room).unwrap();
        let on_wall = Snapped { at: Point::new(400.0, 300.0), hint: Some(Hint::Edge) };
        let corner = Snapped { at: Point::new(0.0, 3000.0), hint: Some(Hint::Corner) };
        for (from, to) in [(on_wall, corner), (corner, on_wall)] {
            let (a, b) = between(from, to, &plan);
            // Twice the area over the long side: 4000 · 3000 / 5000.
            assert!((a.distance(b) - 2400.0).abs() < 1e-9, "{a:?} {b:?}");
        }
        let (a, b) = between(corner, corner, &plan);
        assert_eq!(a, b);
    }
}
