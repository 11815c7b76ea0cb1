//! Dimension lines: outer walls outside the house, the rest of each room just inside its walls.

use crate::geometry::{at, contains, open, readable_turn, room_outline};
use crate::place::Taken;
use crate::walls::body_thickness;
use crate::{Drawing, Label, Options, Role, rough_width};
use kurbo::{BezPath, Point, Vec2};
use plan::{Bounds, Boxes, Plan, Units, format_length};

/// Walls shorter than this get no dimension, mm.
const SHORT_WALL: f64 = 300.0;
/// How far past a wall its neighbour room is looked for, mm.
const REACH: f64 = 1500.0;

/// The rooms' outlines, filed by their bounds.
struct Outlines {
    outlines: Vec<Vec<Point>>,
    filed: Boxes,
}

impl Outlines {
    fn new(plan: &Plan) -> Self {
        let outlines: Vec<Vec<Point>> = plan.rooms.iter().map(room_outline).collect();
        let bounds = |outline: &Vec<Point>| Bounds::of(outline.iter().map(|p| [p.x, p.y]));
        let filed = Boxes::new(outlines.iter().map(bounds));
        Self { outlines, filed }
    }

    fn in_a_room(&self, p: Point) -> bool {
        let mut found = false;
        if let Some(bounds) = Bounds::of([[p.x, p.y]]) {
            self.filed.each(bounds, |room| found = found || contains(&self.outlines[room], p));
        }
        found
    }
}

struct WallSide {
    index: usize,
    a: Point,
    b: Point,
    along: Vec2,
    away: Vec2,
    length: f64,
    is_outer: bool,
}

/// Draws the lines and gives the figures, placed.
pub(crate) fn draw(drawing: &mut Drawing, plan: &Plan, options: &Options, taken: &mut Taken) -> Vec<Label> {
    let outlines = Outlines::new(plan);
    let usual = body_thickness(plan);
    let known = plan::edit::known_thicknesses(plan);
    let mut labels = Vec::new();
    for (index, room) in plan.rooms.iter().enumerate() {
        // Whether the room's extent is told along the page and up the page.
        let mut told = [false, false];
        let mut walls: Vec<WallSide> =
            (0..room.walls.len()).filter_map(|i| wall_side(room, i, &outlines)).collect();
        walls.sort_by(|a, b| {
            (b.is_outer, b.length).partial_cmp(&(a.is_outer, a.length)).unwrap_or(std::cmp::Ordering::Equal)
        });
        for wall in &walls {
            let way = usize::from(wall.along.y.abs() > wall.along.x.abs());
            if wall.length < SHORT_WALL || (told[way] && !wall.is_outer) {
                continue;
            }
            // A line off a thick wall would else run inside it.
            let own = known.get(index).and_then(|walls| walls.get(wall.index).copied().flatten());
            let body = own.unwrap_or(usual).max(usual);
            let depths = if wall.is_outer {
                [body + 4.0 * options.scale, body + 8.5 * options.scale]
            } else {
                [-4.5 * options.scale, -9.0 * options.scale]
            };
            let placed = depths.iter().find_map(|depth| place(wall, *depth, options, taken, &outlines));
            if let Some((path, label)) = placed {
                drawing.path(Role::Dimension, path);
                labels.push(label);
                told[way] = true;
            }
        }
    }
    labels
}

fn wall_side(room: &plan::Room, index: usize, outlines: &Outlines) -> Option<WallSide> {
    let (a, b) = room.wall_line(index)?;
    let (along, away) = room.wall_axes(index)?;
    let (a, b) = (at(a), at(b));
    let away = Vec2::new(away.x, away.y);
    // Two of three probes past the wall must find no room.
    let open_probes = [0.2, 0.5, 0.8]
        .iter()
        .filter(|t| {
            let from = a.lerp(b, **t);
            (1..=15).all(|step| {
                let probe = from + away * (REACH * f64::from(step) / 15.0);
                !outlines.in_a_room(probe)
            })
        })
        .count();
    let length = libm::sqrt((b - a).hypot2());
    Some(WallSide {
        index,
        a,
        b,
        along: Vec2::new(along.x, along.y),
        away,
        length,
        is_outer: open_probes >= 2,
    })
}

/// A dimension at a depth outside the wall's face, if its line and figure are clear there.
fn place(
    wall: &WallSide,
    depth: f64,
    options: &Options,
    taken: &mut Taken,
    outlines: &Outlines,
) -> Option<(BezPath, Label)> {
    let shift = wall.away * depth;
    let (a, b) = (wall.a + shift, wall.b + shift);
    let length = match options.units {
        Units::Metric => plan::nearest_whole(wall.length),
        Units::FeetInches => wall.length,
    };
    let mut label = Label::new(Role::Dimension, format_length(length, options.units), a.midpoint(b));
    label.turn = readable_turn(wall.along.x, wall.along.y);
    let needs = rough_width(&label.text, label.size) + 6.0;
    if needs * options.scale > wall.length {
        return None;
    }
    if wall.is_outer && [a.midpoint(b), a, b].into_iter().any(|p| outlines.in_a_room(p)) {
        return None;
    }
    let label = taken.first_free([0.5, 0.35, 0.65].map(|t| Label { at: a.lerp(b, t), ..label.clone() }))?;
    let mut path = open([a, b]);
    let tick = (wall.along + wall.away) * (1.0 * options.scale);
    for end in [a, b] {
        path.extend(open([end - tick, end + tick]));
    }
    if wall.is_outer {
        // Extension lines stop short of the wall's body.
        for end in [a, b] {
            path.extend(open([
                end - wall.away * (2.5 * options.scale),
                end + wall.away * (1.2 * options.scale),
            ]));
        }
    }
    Some((path, label))
}
