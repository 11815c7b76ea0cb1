//! Dimensions that stay on the drawing: lengths between two things, read anew from the plan each time.

use crate::doorway::one_based;
use crate::{Plan, Point};
use serde::{Deserialize, Serialize};

/// A length kept on the drawing. It is never stored: where its ends are follows from the things they are on.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Dimension {
    /// One end.
    pub from: DimensionEnd,
    /// The other end.
    pub to: DimensionEnd,
    /// How far its line stands beside the straight line between its ends, to the left of it, mm.
    #[serde(default, skip_serializing_if = "is_none")]
    pub beside: f64,
}

fn is_none(beside: &f64) -> bool {
    *beside == 0.0
}

/// What an end of a dimension is on. Corners, walls and sides are counted from 0 here and from 1 in the file.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum DimensionEnd {
    /// A point of the plan that belongs to nothing.
    Point(Point),
    /// A corner of a room.
    Corner {
        /// The room, by name.
        room: String,
        /// The corner: where that wall begins.
        #[serde(with = "one_based")]
        corner: usize,
    },
    /// A wall of a room: measured square to it.
    Wall {
        /// The room, by name.
        room: String,
        /// The wall.
        #[serde(with = "one_based")]
        wall: usize,
        /// Where on it, from its corner, mm; counts only where the other end is no more than a wall, too.
        at: f64,
    },
    /// A corner of a fixture's outline.
    FixtureCorner {
        /// The fixture, by name.
        fixture: String,
        /// The corner.
        #[serde(with = "one_based")]
        corner: usize,
    },
    /// A side of a fixture: measured square to it.
    FixtureSide {
        /// The fixture, by name.
        fixture: String,
        /// The side: it begins at the corner of that number.
        #[serde(with = "one_based")]
        side: usize,
        /// Where on it, from its corner, mm.
        at: f64,
    },
    /// A jamb of a doorway, at the near wall face.
    Jamb {
        /// The doorway, by name.
        doorway: String,
        /// 1 for the jamb nearer to the wall's corner, 2 for the other.
        #[serde(with = "one_based")]
        jamb: usize,
    },
}

/// An end as it lies: a point, and the line square to which it is measured, if it is on a wall or a side.
struct Reach {
    at: Point,
    line: Option<(Point, Point)>,
}

impl DimensionEnd {
    fn reach(&self, plan: &Plan) -> Option<Reach> {
        let on_line = |(a, b): (Point, Point), at: f64| {
            let length = a.distance(b);
            let share = if length > 0.0 { (at / length).clamp(0.0, 1.0) } else { 0.0 };
            Reach { at: a.lerp(b, share), line: Some((a, b)) }
        };
        let fixture = |name: &str| plan.fixtures.iter().find(|fixture| fixture.name == name);
        Some(match self {
            Self::Point(at) => Reach { at: *at, line: None },
            Self::Corner { room, corner } => {
                let room = &plan.rooms[plan.room_index(room)?];
                Reach { at: room.walls.get(*corner)?.corner, line: None }
            }
            Self::Wall { room, wall, at } => {
                on_line(plan.rooms[plan.room_index(room)?].wall_line(*wall)?, *at)
            }
            Self::FixtureCorner { fixture: name, corner } => {
                Reach { at: *fixture(name)?.outline.get(*corner)?, line: None }
            }
            Self::FixtureSide { fixture: name, side, at } => {
                let outline = &fixture(name)?.outline;
                on_line((*outline.get(*side)?, outline[(side + 1) % outline.len()]), *at)
            }
            Self::Jamb { doorway, jamb } => {
                let doorway = plan.doorways.iter().find(|drawn| drawn.name == *doorway)?;
                let [first, second, ..] = doorway.throat(plan)?;
                Reach { at: if *jamb == 0 { first } else { second }, line: None }
            }
        })
    }

    /// The room, doorway or fixture it is on, by name; `None` for a free point.
    pub(crate) fn thing(&self) -> Option<(&'static str, &str)> {
        match self {
            Self::Point(_) => None,
            Self::Corner { room, .. } | Self::Wall { room, .. } => Some(("room", room)),
            Self::FixtureCorner { fixture, .. } | Self::FixtureSide { fixture, .. } => {
                Some(("fixture", fixture))
            }
            Self::Jamb { doorway, .. } => Some(("doorway", doorway)),
        }
    }

    /// Its name is another now.
    pub(crate) fn rename(&mut self, kind: &str, old: &str, new: &str) {
        let name = match self {
            Self::Point(_) => return,
            Self::Corner { room, .. } | Self::Wall { room, .. } if kind == "room" => room,
            Self::FixtureCorner { fixture, .. } | Self::FixtureSide { fixture, .. } if kind == "fixture" => {
                fixture
            }
            Self::Jamb { doorway, .. } if kind == "doorway" => doorway,
            _ => return,
        };
        if name == old {
            new.clone_into(name);
        }
    }

    /// What it is on, in words: `Hall, corner 3`.
    pub fn words(&self) -> String {
        match self {
            Self::Point(_) => "a point".into(),
            Self::Corner { room, corner } => format!("{room}, corner {}", corner + 1),
            Self::Wall { room, wall, .. } => format!("{room}, wall {}", wall + 1),
            Self::FixtureCorner { fixture, corner } => format!("{fixture}, corner {}", corner + 1),
            Self::FixtureSide { fixture, side, .. } => format!("{fixture}, side {}", side + 1),
            Self::Jamb { doorway, jamb } => format!("{doorway}, jamb {}", jamb + 1),
        }
    }
}

impl Dimension {
    /// A dimension whose line stands between its ends.
    pub fn new(from: DimensionEnd, to: DimensionEnd) -> Self {
        Self { from, to, beside: 0.0 }
    }

    /// Its two ends on the plan as it is. From a wall or a side it is measured square to it: to the other end, or from
    /// the other end where only that one lies on a wall. `None` where something it is on is not there.
    pub fn ends(&self, plan: &Plan) -> Option<(Point, Point)> {
        let (from, to) = (self.from.reach(plan)?, self.to.reach(plan)?);
        Some(match (from.line, to.line) {
            (Some((a, b)), _) => (foot(to.at, a, b), to.at),
            (None, Some((a, b))) => (from.at, foot(from.at, a, b)),
            (None, None) => (from.at, to.at),
        })
    }

    /// The length it shows, mm.
    pub fn length(&self, plan: &Plan) -> Option<f64> {
        self.ends(plan).map(|(a, b)| a.distance(b))
    }

    /// Where its line is drawn: its ends, moved beside.
    pub fn line(&self, plan: &Plan) -> Option<(Point, Point)> {
        let (a, b) = self.ends(plan)?;
        let length = a.distance(b);
        if length <= 0.0 {
            return Some((a, b));
        }
        let left = (-(b.y - a.y) / length * self.beside, (b.x - a.x) / length * self.beside);
        Some((a.moved(left.0, left.1), b.moved(left.0, left.1)))
    }

    /// What a person calls it; `index` is its place in the plan's list.
    pub fn called(index: usize) -> String {
        format!("dimension {}", index + 1)
    }
}

/// The foot of a point on the line through two others.
fn foot(p: Point, a: Point, b: Point) -> Point {
    let length = a.distance(b);
    if length <= 0.0 {
        return a;
    }
    let along = ((p.x - a.x) * (b.x - a.x) + (p.y - a.y) * (b.y - a.y)) / length;
    a.lerp(b, along / length)
}

impl Plan {
    /// Renames what dimensions and pins are on.
    pub(crate) fn rename_in_marks(&mut self, kind: &str, old: &str, new: &str) {
        for dimension in &mut self.dimensions {
            dimension.from.rename(kind, old, new);
            dimension.to.rename(kind, old, new);
        }
        for pinned in &mut self.pinned {
            pinned.rename(kind, old, new);
        }
    }

    /// Takes out the dimensions that end on a thing that goes, and its pin.
    pub(crate) fn drop_marks_of(&mut self, kind: &str, name: &str) {
        let ends_there = |end: &DimensionEnd| end.thing() == Some((kind, name));
        self.dimensions.retain(|dimension| !ends_there(&dimension.from) && !ends_there(&dimension.to));
        self.pinned.retain(|pinned| pinned.thing() != Some((kind, name)));
    }

    /// Renumbers dimensions after a corner was put into a room before what was corner `at`, splitting wall `at - 1` at
    /// `along` mm, both counted from 0.
    pub(crate) fn dimensions_after_insert(&mut self, name: &str, at: usize, along: f64) {
        for end in self.dimensions.iter_mut().flat_map(|dimension| [&mut dimension.from, &mut dimension.to]) {
            match end {
                DimensionEnd::Corner { room, corner } if room == name && *corner >= at => *corner += 1,
                DimensionEnd::Wall { room, wall, at: on } if room == name => {
                    if *wall >= at {
                        *wall += 1;
                    } else if *wall + 1 == at && *on > along {
                        *wall += 1;
                        *on -= along;
                    }
                }
                _ => {}
            }
        }
    }

    /// Drops dimensions to a corner that is taken out of a room, and renumbers the rest: the wall before it, `before` mm
    /// long, runs on in place of its own.
    pub(crate) fn dimensions_after_remove(&mut self, name: &str, gone: usize, count: usize, before: f64) {
        let is_gone = |end: &DimensionEnd| matches!(end, DimensionEnd::Corner { room, corner } if room == name && *corner == gone);
        self.dimensions.retain(|dimension| !is_gone(&dimension.from) && !is_gone(&dimension.to));
        for end in self.dimensions.iter_mut().flat_map(|dimension| [&mut dimension.from, &mut dimension.to]) {
            match end {
                DimensionEnd::Corner { room, corner } if room == name && *corner > gone => *corner -= 1,
                DimensionEnd::Wall { room, wall, at } if room == name => {
                    if *wall == gone {
                        *wall = (gone + count - 1) % count;
                        *at += before;
                    }
                    if *wall > gone {
                        *wall -= 1;
                    }
                }
                _ => {}
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::check::tests::two_rooms;
    use crate::edit;

    fn corner(corner: usize) -> DimensionEnd {
        DimensionEnd::Corner { room: "Left".into(), corner }
    }

    fn wall(wall: usize, at: f64) -> DimensionEnd {
        DimensionEnd::Wall { room: "Left".into(), wall, at }
    }

    /// A room of 4000 × 3000: its diagonal is 5000 by the 3-4-5 triangle.
    #[test]
    fn a_dimension_follows_what_it_is_on() {
        let mut plan = two_rooms();
        plan.dimensions.push(Dimension::new(corner(0), corner(2)));
        plan.dimensions.push(Dimension::new(wall(0, 1000.0), wall(2, 500.0)));
        let lengths =
            |plan: &Plan| plan.dimensions.iter().map(|d| d.length(plan).unwrap()).collect::<Vec<_>>();
        assert_eq!(lengths(&plan), [5000.0, 3000.0]);
        edit::move_wall(&mut plan, 0, 2, 1000.0).unwrap();
        // 4000 · √2 over 4000 × 4000.
        assert!((lengths(&plan)[0] - 4000.0 * 2f64.sqrt()).abs() < 1e-9);
        assert_eq!(lengths(&plan)[1], 4000.0);
        edit::rename_room(&mut plan, 0, "Study").unwrap();
        assert_eq!(lengths(&plan)[1], 4000.0);
        assert_eq!(plan.problems(), []);
        edit::remove_room(&mut plan, 0).unwrap();
        assert_eq!(plan.dimensions, []);
    }

    /// From a slanting wall one measures square to it: twice the area over the long side, 4000 · 3000 / 5000.
    #[test]
    fn from_a_wall_one_measures_square_to_it() {
        let mut plan = Plan::new("Test");
        let room = [(0.0, 0.0), (4000.0, 3000.0), (0.0, 3000.0)].map(Point::from);
        edit::add_room(&mut plan, &room).unwrap();
        let name = plan.rooms[0].name.clone();
        let wall = DimensionEnd::Wall { room: name.clone(), wall: 0, at: 500.0 };
        let corner = DimensionEnd::Corner { room: name, corner: 2 };
        for dimension in [Dimension::new(wall.clone(), corner.clone()), Dimension::new(corner, wall)] {
            assert!((dimension.length(&plan).unwrap() - 2400.0).abs() < 1e-9);
        }
    }

    #[test]
    fn corners_put_in_and_taken_out_are_followed() {
        let mut plan = two_rooms();
        plan.dimensions.push(Dimension::new(corner(0), corner(2)));
        plan.dimensions.push(Dimension::new(corner(1), wall(3, 2000.0)));
        let (first, second) = (plan.dimensions[0].length(&plan), plan.dimensions[1].length(&plan));
        let before = plan.clone();
        edit::split_wall(&mut plan, 0, 1, 900.0).unwrap();
        edit::split_wall(&mut plan, 0, 4, 1200.0).unwrap();
        assert_eq!((plan.dimensions[0].length(&plan), plan.dimensions[1].length(&plan)), (first, second));
        assert_eq!(plan.dimensions[1].to, wall(5, 800.0), "on the second part");
        edit::remove_corner(&mut plan, 0, 5).unwrap();
        edit::remove_corner(&mut plan, 0, 2).unwrap();
        assert_eq!(plan, before);
        edit::split_wall(&mut plan, 0, 1, 900.0).unwrap();
        plan.dimensions.push(Dimension::new(corner(2), corner(0)));
        edit::remove_corner(&mut plan, 0, 2).unwrap();
        assert_eq!(plan, before, "the one to the corner that went is gone");
    }

    #[test]
    fn it_stands_beside_its_ends() {
        let mut plan = two_rooms();
        plan.dimensions.push(Dimension { beside: 250.0, ..Dimension::new(corner(0), corner(1)) });
        let line = plan.dimensions[0].line(&plan).unwrap();
        assert_eq!(line, (Point::new(0.0, 250.0), Point::new(4000.0, 250.0)));
    }
}
