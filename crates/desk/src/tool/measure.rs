//! Measuring between any two things: corners, walls, edges, jambs, free points. What is to stay is kept as a dimension.

use super::{Event, Pick, Surroundings, Tool};
use crate::action::Actions;
use crate::canvas::{Ghost, Hint, Overlay, Snapped};
use crate::command::Command;
use crate::geometry::to_segment;
use egui::CursorIcon;
use plan::{Dimension, DimensionEnd, Plan, Point, format_length};

/// A caught point this near to a corner or a side is on it, mm.
const ON: f64 = 1.0;

/// A length being measured.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Measure {
    from: Option<Snapped>,
    to: Option<Snapped>,
    /// The second end is set: the figure stays until the next click.
    done: bool,
}

impl Measure {
    pub(super) fn handle(mut self, event: Event, around: &Surroundings<'_>, actions: &mut Actions) -> Tool {
        match event {
            Event::Move(p) | Event::Drag(p) if !self.done => self.to = Some(around.snap_to_jambs(p)),
            Event::Click(p) | Event::DragStart(p) | Event::DoubleClick(p) => {
                let caught = around.snap_to_jambs(p);
                match (self.from, self.done) {
                    (Some(_), false) => (self.to, self.done) = (Some(caught), true),
                    _ => self = Self { from: Some(caught), to: Some(caught), done: false },
                }
            }
            Event::DragEnd if self.from.is_some() => self.done = true,
            Event::Enter => actions.run(Command::KeepLength),
            Event::Escape if self.from.is_some() => self = Self::default(),
            Event::Escape => return Tool::Ready(Pick::Nothing),
            _ => {}
        }
        Tool::Measure(self)
    }

    /// What is measured, as it would be kept; `None` before there are two ends.
    pub(super) fn dimension(&self, plan: &Plan) -> Option<Dimension> {
        let (from, to) = self.from.zip(self.to)?;
        Some(Dimension::new(end_of(from, plan), end_of(to, plan)))
    }

    pub(super) fn overlay(&self, around: &Surroundings<'_>) -> Overlay {
        let ends = self.dimension(around.plan).and_then(|dimension| dimension.ends(around.plan));
        let (ghost, hint) = match ends {
            Some((a, b)) => (Ghost::Line(a, b), words(a, b, around)),
            None => {
                (Ghost::None, "Click the first thing: a corner, a wall, an edge, a jamb, or any point".into())
            }
        };
        let snapped = if self.done { None } else { self.to };
        Overlay { cursor: Some(CursorIcon::Crosshair), hint, snapped, ghost, ..Overlay::default() }
    }
}

/// What a caught point is on.
fn end_of(caught: Snapped, plan: &Plan) -> DimensionEnd {
    let end = match caught.hint {
        Some(Hint::Corner) => corner_at(caught.at, plan),
        Some(Hint::Edge) => side_at(caught.at, plan),
        _ => None,
    };
    end.unwrap_or(DimensionEnd::Point(caught.at))
}

fn corner_at(p: Point, plan: &Plan) -> Option<DimensionEnd> {
    let is_here = |q: Point| p.distance(q) < ON;
    let of_rooms = plan.rooms.iter().find_map(|room| {
        let corner = room.walls.iter().position(|wall| is_here(wall.corner))?;
        Some(DimensionEnd::Corner { room: room.name.clone(), corner })
    });
    let of_fixtures = || {
        plan.fixtures.iter().find_map(|fixture| {
            let corner = fixture.outline.iter().position(|corner| is_here(*corner))?;
            Some(DimensionEnd::FixtureCorner { fixture: fixture.name.clone(), corner })
        })
    };
    let of_doorways = || {
        plan.doorways.iter().find_map(|doorway| {
            let jamb = doorway.throat(plan)?[..2].iter().position(|jamb| is_here(*jamb))?;
            Some(DimensionEnd::Jamb { doorway: doorway.name.clone(), jamb })
        })
    };
    of_rooms.or_else(of_fixtures).or_else(of_doorways)
}

fn side_at(p: Point, plan: &Plan) -> Option<DimensionEnd> {
    let walls = plan.rooms.iter().flat_map(|room| {
        (0..room.walls.len()).filter_map(move |wall| {
            let (a, b) = room.wall_line(wall)?;
            let (off, at) = to_segment(p, a, b);
            Some((off, DimensionEnd::Wall { room: room.name.clone(), wall, at }))
        })
    });
    let sides = plan.fixtures.iter().flat_map(|fixture| {
        let outline = &fixture.outline;
        (0..outline.len()).map(move |side| {
            let (off, at) = to_segment(p, outline[side], outline[(side + 1) % outline.len()]);
            (off, DimensionEnd::FixtureSide { fixture: fixture.name.clone(), side, at })
        })
    });
    let nearest = walls.chain(sides).filter(|(off, _)| *off < ON);
    nearest.min_by(|one, other| one.0.total_cmp(&other.0)).map(|(_, end)| end)
}

fn words(a: Point, b: Point, around: &Surroundings<'_>) -> String {
    let units = around.plan.units;
    let show = |mm: f64| format_length((mm * 10.0).round() / 10.0, units);
    let pitch = around.plan.stock.pitch();
    let radians = around.plan.rows_at.to_radians();
    let across = ((b.y - a.y) * radians.cos() - (b.x - a.x) * radians.sin()).abs();
    let rows = if pitch > 0.0 { format!(" · {:.2} rows across", across / pitch) } else { String::new() };
    format!(
        "{} · {} across the page, {} up{rows} · Enter keeps it on the drawing, a click measures another",
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
            let measure = Measure { from: Some(from), to: Some(to), done: true };
            // Twice the area over the long side: 4000 · 3000 / 5000.
            let length = measure.dimension(&plan).unwrap().length(&plan).unwrap();
            assert!((length - 2400.0).abs() < 1e-9, "{length}");
        }
        let free = Snapped { at: Point::new(10.0, 20.0), hint: None };
        assert_eq!(end_of(free, &plan), DimensionEnd::Point(free.at));
    }
}
