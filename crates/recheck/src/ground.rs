//! The plan as shapes: rooms, throats, fixtures and the bare floor, in plan coordinates, mm.

use crate::plan::{Beyond, Covering, Doorway, Fixture, FixtureKind, Plan, Room, Xy};
use geo::orient::{Direction, Orient};
use geo::{Area, BooleanOps, Coord, Line, LineString, MultiPolygon, Polygon};

/// The far room's outline is met within this much of the wall's thickness, mm: what docs/plan-format.md says.
const FAR_WALL_PLAY: f64 = 60.0;
/// The way outwards is looked along this far, mm.
const WAY: f64 = 2000.0;
/// Stops with boards on both sides need some width, mm.
const HAIRLINE: f64 = 0.05;

pub(crate) fn coord((x, y): Xy) -> Coord {
    Coord { x, y }
}

/// A polygon of corners either way round; it runs anticlockwise, as unions ask for.
pub(crate) fn polygon(points: &[Coord]) -> Polygon {
    Polygon::new(LineString::new(points.to_vec()), Vec::new()).orient(Direction::Default)
}

/// A doorway's own axes.
pub(crate) struct Opening<'a> {
    pub(crate) door: &'a Doorway,
    corner: Coord,
    along: Coord,
    away: Coord,
    /// Index of the far room, if there is one.
    pub(crate) far: Option<usize>,
}

impl Opening<'_> {
    /// The point `s` along the wall from its corner and `t` outwards from its face.
    pub(crate) fn at(&self, s: f64, t: f64) -> Coord {
        self.corner + self.along * s + self.away * t
    }

    /// Where a point lies along and outwards.
    pub(crate) fn local(&self, p: Coord) -> (f64, f64) {
        let d = p - self.corner;
        (d.x * self.along.x + d.y * self.along.y, d.x * self.away.x + d.y * self.away.y)
    }

    /// The opening between two distances from the near face, so much wider at each jamb.
    pub(crate) fn quad(&self, from: f64, to: f64, wider: f64) -> Polygon {
        let (left, right) = (self.door.at - wider, self.door.at + self.door.width + wider);
        polygon(&[self.at(left, from), self.at(right, from), self.at(right, to), self.at(left, to)])
    }

    /// How far boards go under the lining at each jamb.
    pub(crate) fn under(&self) -> f64 {
        self.door.under_lining.unwrap_or(0.0)
    }

    /// How far out the far room's wall stands where boards go under the linings; nothing of a wall that ends at the jamb.
    fn behind_linings(&self, outline: &[Coord]) -> Option<f64> {
        let (left, right) = (self.door.at, self.door.at + self.door.width);
        let jambs = [(left - self.under(), left), (right, right + self.under())];
        let mut farthest: Option<f64> = None;
        for (from, to) in jambs {
            for side in sides(outline) {
                let (a, b) = (self.local(side.start), self.local(side.end));
                if a.0.min(b.0) < from && a.0.max(b.0) > to {
                    let height = |s: f64| a.1 + (b.1 - a.1) * ((s - a.0) / (b.0 - a.0));
                    let out = height(if from < left { from } else { to });
                    let is_far = (out - self.door.wall_thickness).abs() <= FAR_WALL_PLAY;
                    farthest = if is_far { Some(farthest.map_or(out, |t| t.max(out))) } else { farthest };
                }
            }
        }
        farthest
    }

    /// Least and greatest distance outwards at which an outline passes the opening, near `middle`.
    pub(crate) fn passes(&self, outline: &[Coord], middle: f64) -> Option<(f64, f64)> {
        let (left, right) = (self.door.at, self.door.at + self.door.width);
        let mut found: Vec<f64> = Vec::new();
        for line in sides(outline) {
            let ((s0, t0), (s1, t1)) = (self.local(line.start), self.local(line.end));
            let at = |s: f64| t0 + (t1 - t0) * (s - s0) / (s1 - s0);
            found.extend((left..=right).contains(&s0).then_some(t0));
            found.extend([left, right].into_iter().filter(|s| (s0 - s) * (s1 - s) < 0.0).map(at));
        }
        found.retain(|t| (t - middle).abs() <= FAR_WALL_PLAY);
        let low = found.iter().copied().fold(f64::INFINITY, f64::min);
        let high = found.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        (low <= high).then_some((low, high))
    }
}

pub(crate) fn sides(ring: &[Coord]) -> impl Iterator<Item = Line> + '_ {
    (0..ring.len()).map(|i| Line::new(ring[i], ring[(i + 1) % ring.len()]))
}

/// A wall as it stands: its points, bows included, to the next corner.
pub(crate) fn wall_line(room: &Room, wall: usize) -> Vec<Coord> {
    let (from, to) =
        (coord(room.walls[wall].corner), coord(room.walls[(wall + 1) % room.walls.len()].corner));
    let length = libm::hypot(to.x - from.x, to.y - from.y);
    let along = (to - from) / length;
    let turn = if corners_area(room) > 0.0 { 1.0 } else { -1.0 };
    let away = Coord { x: along.y * turn, y: -along.x * turn };
    let bows = room.walls[wall].bow.iter().map(|bow| from + along * bow.along + away * bow.back);
    std::iter::once(from).chain(bows).chain([to]).collect()
}

/// Signed area of a room's corners: above 0 where they run anticlockwise.
fn corners_area(room: &Room) -> f64 {
    let corners = room.walls.iter().map(|wall| coord(wall.corner));
    Polygon::new(corners.collect(), Vec::new()).signed_area()
}

pub(crate) fn outline(room: &Room) -> Vec<Coord> {
    let walls = (0..room.walls.len()).map(|wall| wall_line(room, wall));
    walls
        .flat_map(|mut line| {
            line.pop();
            line
        })
        .collect()
}

pub(crate) fn shape(fixture: &Fixture) -> Polygon {
    polygon(&fixture.outline.iter().copied().map(coord).collect::<Vec<_>>())
}

/// Whether boards pass over it.
pub(crate) fn is_under_boards(kind: FixtureKind) -> bool {
    matches!(kind, FixtureKind::Rebate { .. } | FixtureKind::LowSpot { .. })
}

/// The plan as shapes.
pub(crate) struct Ground<'a> {
    pub(crate) plan: &'a Plan,
    pub(crate) openings: Vec<Opening<'a>>,
    /// Rooms' outlines, in the plan's order.
    pub(crate) outlines: Vec<Vec<Coord>>,
    /// Boarded rooms and throats, less what stands on the floor and stops between boarded rooms.
    pub(crate) bare: MultiPolygon,
}

impl<'a> Ground<'a> {
    pub(crate) fn of(plan: &'a Plan) -> Self {
        let outlines: Vec<Vec<Coord>> = plan.rooms.iter().map(outline).collect();
        let openings = plan.doorways.iter().filter_map(|door| opening(plan, &outlines, door)).collect();
        let mut ground = Self { plan, openings, outlines, bare: MultiPolygon::new(Vec::new()) };
        ground.bare = ground.bare_floor();
        ground
    }

    pub(crate) fn is_boarded(&self, room: usize) -> bool {
        self.plan.rooms.get(room).is_some_and(|room| room.covering == Covering::Boards)
    }

    pub(crate) fn room_called(&self, name: &str) -> Option<usize> {
        self.plan.rooms.iter().position(|room| room.name == name)
    }

    fn bare_floor(&self) -> MultiPolygon {
        let rooms = (0..self.plan.rooms.len()).filter(|room| self.is_boarded(*room));
        let mut added: Vec<Polygon> = rooms.map(|room| polygon(&self.outlines[room])).collect();
        let mut cut: Vec<Polygon> = Vec::new();
        for opening in &self.openings {
            let door = opening.door;
            let Some(near) = self.room_called(&door.room).filter(|near| self.is_boarded(*near)) else {
                continue;
            };
            let (low, high) = opening.passes(&self.outlines[near], 0.0).unwrap_or((0.0, 0.0));
            let under = opening.under();
            let half = self.half_stop(opening);
            match opening.far.filter(|far| self.is_boarded(*far)) {
                Some(far) => {
                    let face = opening.passes(&self.outlines[far], door.wall_thickness);
                    let end = face.map_or(door.wall_thickness, |(_, high)| high) + 0.05;
                    // Behind the linings the wall may have run out further than a throat is drawn into its room.
                    let end =
                        opening.behind_linings(&self.outlines[far]).map_or(end, |far| end.max(far + 0.01));
                    added.push(opening.quad(low - 0.05, end, under));
                    if door.beyond != Beyond::RunThrough {
                        let half = half.max(HAIRLINE);
                        cut.push(opening.quad(door.stop() - half, door.stop() + half, under + 0.05));
                    }
                }
                None => {
                    let end = door.stop() - half;
                    added.push(opening.quad(low - 0.05, end, under));
                    if end < high {
                        cut.push(opening.quad(end, high + 0.05, under + 0.05));
                    }
                }
            }
        }
        let standing = self.plan.fixtures.iter().filter(|fixture| !is_under_boards(fixture.kind));
        cut.extend(standing.map(shape));
        geo::unary_union(&added).difference(&geo::unary_union(&cut))
    }

    /// How far from the middle of the leaf or trim boards stop.
    pub(crate) fn half_stop(&self, opening: &Opening<'_>) -> f64 {
        match opening.door.beyond {
            Beyond::Trim(width) => width / 2.0,
            Beyond::UnderLeaf if opening.far.is_some_and(|far| self.is_boarded(far)) => {
                self.plan.rules.tile_end_gap / 2.0
            }
            _ => 0.0,
        }
    }
}

fn opening<'a>(plan: &'a Plan, outlines: &[Vec<Coord>], door: &'a Doorway) -> Option<Opening<'a>> {
    let near = plan.rooms.iter().position(|room| room.name == door.room)?;
    let room = &plan.rooms[near];
    let wall = door.wall.checked_sub(1)?;
    let from = coord(room.walls.get(wall)?.corner);
    let to = coord(room.walls[(wall + 1) % room.walls.len()].corner);
    let along = (to - from) / libm::hypot(to.x - from.x, to.y - from.y);
    let turn = if corners_area(room) > 0.0 { 1.0 } else { -1.0 };
    let away = Coord { x: along.y * turn, y: -along.x * turn };
    let mut opening = Opening { door, corner: from, along, away, far: None };
    // The first other outline met going outwards from a millimetre inside the near face.
    let (start, end) =
        (opening.at(door.at + door.width / 2.0, -1.0), opening.at(door.at + door.width / 2.0, WAY - 1.0));
    let mut first: Option<(usize, f64)> = None;
    for (index, outline) in outlines.iter().enumerate().filter(|(index, _)| *index != near) {
        for side in sides(outline) {
            let met = geo::line_intersection::line_intersection(Line::new(start, end), side);
            let at = match met {
                Some(geo::LineIntersection::SinglePoint { intersection, .. }) => {
                    opening.local(intersection).1
                }
                _ => continue,
            };
            if first.is_none_or(|(_, before)| at < before) {
                first = Some((index, at));
            }
        }
    }
    opening.far =
        first.filter(|(_, at)| (at - door.wall_thickness).abs() <= FAR_WALL_PLAY).map(|(far, _)| far);
    Some(opening)
}

/// Turns the plan so that the rows run to the right.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Turn {
    cos: f64,
    sin: f64,
}

impl Turn {
    pub(crate) fn by(rows_at: f64) -> Self {
        // Quarter turns are exact, or a wall along the rows would come to lie a hair aslant.
        let (cos, sin) = match rows_at {
            0.0 => (1.0, 0.0),
            90.0 => (0.0, 1.0),
            -90.0 => (0.0, -1.0),
            _ => (libm::cos(rows_at.to_radians()), libm::sin(rows_at.to_radians())),
        };
        Self { cos, sin }
    }

    /// A point as (along the rows, across them).
    pub(crate) fn rows(self, p: [f64; 2]) -> Coord {
        Coord { x: p[0] * self.cos + p[1] * self.sin, y: p[1] * self.cos - p[0] * self.sin }
    }
}
