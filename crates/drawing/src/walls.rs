//! Wall bodies, floors and openings.

use crate::geometry::{at, closed, contains, room_outline};
use crate::{Drawing, Role};
use kurbo::{Point, Vec2};
use plan::{Covering, Doorway, Plan, Room, WallFace};

/// Thickness of walls where no doorway tells it, mm: a light stud wall, common practice, no source.
const STUD_WALL: f64 = 92.0;

/// Thickness at which walls are drawn where the plan does not tell it, mm: the middle one of the doorways' own.
pub fn body_thickness(plan: &Plan) -> f64 {
    let mut all: Vec<f64> = plan.doorways.iter().map(|d| d.wall_thickness).filter(|t| *t > 0.0).collect();
    all.sort_by(f64::total_cmp);
    all.get(all.len() / 2).copied().unwrap_or(STUD_WALL)
}

/// Draws wall bodies, then the floors over them, then the openings through them. Each wall is as thick as the plan tells it.
pub(crate) fn draw(drawing: &mut Drawing, plan: &Plan) {
    let usual = body_thickness(plan);
    let known = plan::edit::known_thicknesses(plan);
    let thickness = |room: usize, wall: usize| {
        known.get(room).and_then(|walls| walls.get(wall).copied().flatten()).unwrap_or(usual)
    };
    for (index, room) in plan.rooms.iter().enumerate() {
        for body in bodies(&faces(room, |wall| thickness(index, wall))) {
            drawing.path(Role::WallBody, closed(body));
        }
    }
    for (index, room) in plan.rooms.iter().enumerate() {
        for wall in 0..room.walls.len() {
            let role = match room.walls.get(wall).map(|w| w.face) {
                Some(WallFace::Glazing) => Role::Glazing,
                Some(WallFace::Cabinets) => Role::Cabinets,
                _ => continue,
            };
            let (Some((a, b)), Some((_, away))) = (room.wall_line(wall), room.wall_axes(wall)) else {
                continue;
            };
            let back = Vec2::new(away.x, away.y) * thickness(index, wall);
            drawing.path(role, closed([at(a), at(b), at(b) + back, at(a) + back]));
        }
    }
    for room in &plan.rooms {
        drawing.path(floor_role(&room.covering), closed(room_outline(room)));
    }
    for doorway in &plan.doorways {
        draw_opening(drawing, plan, doorway);
    }
}

fn floor_role(covering: &Covering) -> Role {
    match covering {
        Covering::Boards => Role::BareFloor,
        Covering::Other(_) => Role::OtherFloor,
    }
}

/// A straight piece of a room's face and how thick the wall behind it is, mm.
type Face = (Point, Point, f64);

/// The pieces of a room's outline, anticlockwise, each with the thickness of its wall.
fn faces(room: &Room, thickness: impl Fn(usize) -> f64) -> Vec<Face> {
    let outline = room.outline();
    let next = outline.iter().cycle().skip(1);
    let mut faces: Vec<Face> =
        outline.iter().zip(next).map(|((a, wall), (b, _))| (at(*a), at(*b), thickness(*wall))).collect();
    if !room.is_anticlockwise() {
        faces.reverse();
        faces.iter_mut().for_each(|(a, b, _)| std::mem::swap(a, b));
    }
    faces
}

/// One quadrilateral for each piece, outside an anticlockwise outline; at outward corners each is
/// lengthened to the mitre, so that the bodies meet without a notch.
fn bodies(faces: &[Face]) -> Vec<[Point; 4]> {
    let sides: Vec<&Face> = faces.iter().filter(|(a, b, _)| (*b - *a).hypot2() > 0.0).collect();
    let count = sides.len();
    let unit = |i: usize| {
        let (a, b, _) = sides[i % count];
        let along = *b - *a;
        along / libm::sqrt(along.hypot2())
    };
    let thick = |i: usize| sides[i % count].2;
    (0..count)
        .map(|i| {
            let (a, b, thickness) = *sides[i];
            let along = unit(i);
            let away = Vec2::new(along.y, -along.x) * thickness;
            let before = mitre(unit(i + count - 1), along, thickness, thick(i + count - 1));
            let after = mitre(along, unit(i + 1), thickness, thick(i + 1));
            let (a, b) = (a - along * before, b + along * after);
            [a, b, b + away, a + away]
        })
        .collect()
}

/// Turns less than this are drawn as if both walls were alike: the outer sides of unlike ones would meet far away.
const SLIGHT: f64 = 0.2;

/// How far the outer side of a wall runs past a corner to meet that of the wall which turns off there, mm; none where the
/// corner points inwards, and never past a square corner's by half.
fn mitre(from: Vec2, to: Vec2, own: f64, other: f64) -> f64 {
    let (cross, dot) = (from.cross(to), from.dot(to));
    if cross <= 0.0 {
        return 0.0;
    }
    let reach = match cross > SLIGHT {
        true => (other - own * dot) / cross,
        // The tangent of half the turn.
        false => own * cross / (1.0 + dot).max(1e-6),
    };
    reach.clamp(0.0, 1.5 * own.max(other))
}

/// Where a doorway lies on the plan.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Opening {
    base: Point,
    along: Vec2,
    away: Vec2,
}

impl Opening {
    /// `None` for a doorway whose wall is missing.
    pub(crate) fn of(plan: &Plan, doorway: &Doorway) -> Option<Self> {
        let room = plan.rooms.get(plan.room_index(&doorway.room)?)?;
        let (along, away) = room.wall_axes(doorway.wall)?;
        let (a, _) = room.wall_line(doorway.wall)?;
        let along = Vec2::new(along.x, along.y);
        Some(Self { base: at(a) + along * doorway.at, along, away: Vec2::new(away.x, away.y) })
    }

    /// The point `s` mm along the opening from its first jamb and `d` mm through the wall.
    pub(crate) fn point(&self, s: f64, d: f64) -> Point {
        self.base + self.along * s + self.away * d
    }

    /// The quadrilateral from `s0` to `s1` along and `d0` to `d1` through.
    pub(crate) fn quad(&self, (s0, s1): (f64, f64), (d0, d1): (f64, f64)) -> [Point; 4] {
        [self.point(s0, d0), self.point(s1, d0), self.point(s1, d1), self.point(s0, d1)]
    }
}

fn draw_opening(drawing: &mut Drawing, plan: &Plan, doorway: &Doorway) {
    let Some(opening) = Opening::of(plan, doorway) else { return };
    let across = (0.0, doorway.width);
    // A millimetre over each face hides the seam that rounding would leave.
    let (near, far) = (-1.0, doorway.wall_thickness + 1.0);
    drawing.path(Role::Opening, closed(opening.quad(across, (near, far))));
    let beyond = opening.point(doorway.width / 2.0, doorway.wall_thickness + 60.0);
    let is_other = plan
        .rooms
        .iter()
        .find(|room| contains(&room_outline(room), beyond))
        .is_some_and(|room| room.covering != Covering::Boards);
    if is_other {
        drawing.path(Role::OtherOpening, closed(opening.quad(across, (doorway.stop_line(), far))));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::Shape as _;

    #[test]
    fn bodies_of_a_square_reach_its_outer_corners() {
        let square = [(0.0, 0.0), (1000.0, 0.0), (1000.0, 1000.0), (0.0, 1000.0)].map(Point::from);
        let faces: Vec<Face> = crate::geometry::sides(&square).map(|(a, b)| (a, b, 92.0)).collect();
        let bounds = bodies(&faces)
            .into_iter()
            .map(|quad| closed(quad).bounding_box())
            .reduce(|a, b| a.union(b))
            .expect("four walls");
        let outer = kurbo::Rect::new(-92.0, -92.0, 1092.0, 1092.0);
        assert!((bounds.x0 - outer.x0).abs() < 1e-9 && (bounds.y1 - outer.y1).abs() < 1e-9, "{bounds:?}");
    }

    /// A square corner of walls 100 and 240 thick: each runs past it by the other's thickness.
    #[test]
    fn unlike_walls_meet_in_their_outer_corner() {
        let (right, up) = (Vec2::new(1.0, 0.0), Vec2::new(0.0, 1.0));
        assert!((mitre(right, up, 100.0, 240.0) - 240.0).abs() < 1e-9);
        assert!((mitre(right, up, 240.0, 100.0) - 100.0).abs() < 1e-9);
    }

    #[test]
    fn an_inward_corner_is_not_lengthened() {
        // Turning right on an anticlockwise outline.
        assert_eq!(mitre(Vec2::new(1.0, 0.0), Vec2::new(0.0, -1.0), 1.0, 1.0), 0.0);
        assert!((mitre(Vec2::new(1.0, 0.0), Vec2::new(0.0, 1.0), 1.0, 1.0) - 1.0).abs() < 1e-12);
    }
}
