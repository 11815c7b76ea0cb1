//! Rooms: polygons at the finished wall face.

use crate::{GapRange, Point, Skirting, Surface, Taped, shape};
use serde::{Deserialize, Serialize};

/// A room. Its walls follow one another round it, in either direction; wall `i` runs from its own
/// corner to the corner of wall `i + 1`, the last one back to the first.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Room {
    /// Name, unique in the plan.
    pub name: String,
    /// What covers its floor.
    pub covering: Covering,
    /// How much its walls are seen.
    #[serde(default, skip_serializing_if = "Sight::is_open")]
    pub sight: Sight,
    /// Level of its slab against the plan's datum, mm.
    #[serde(default, skip_serializing_if = "is_level")]
    pub slab_level: f64,
    /// What lies there and how high it stands, where it is not boarded.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub surface: Option<Surface>,
    /// Walls in order round the room.
    pub walls: Vec<Wall>,
    /// What the tape measured between its corners, as it was read.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub tape: Vec<Taped>,
}

fn is_level(level: &f64) -> bool {
    *level == 0.0
}

/// What covers a room's floor.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub enum Covering {
    /// The boards being planned.
    Boards,
    /// Something else that is there or comes from another trade, such as stone or carpet.
    Other(String),
}

/// How much a room's edges are seen: what a narrow rip there weighs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum Sight {
    /// A room or hall one lives in.
    #[default]
    Open,
    /// A room seen in passing, such as a laundry.
    Passing,
    /// Behind doors that are mostly shut: a robe, a cupboard.
    Closed,
}

impl Sight {
    fn is_open(&self) -> bool {
        *self == Self::Open
    }
}

/// One wall of a room at its finished face.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Wall {
    /// The corner at which the wall starts.
    pub corner: Point,
    /// What the boards meet there.
    #[serde(default, skip_serializing_if = "WallFace::is_plain")]
    pub face: WallFace,
    /// This wall's own expansion gap where it differs from the rules'.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub gap: Option<GapRange>,
    /// This wall's skirting where it differs from the rules'.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub skirting: Option<Skirting>,
    /// Offsets measured from the straight line between the corners, in order along the wall.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub bow: Vec<Bow>,
}

/// One measured offset of a wall that is not straight.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Bow {
    /// Distance from the wall's corner along the straight line, mm.
    pub along: f64,
    /// How far the wall stands back from the line, away from the room, mm; negative where it
    /// bulges into the room.
    pub back: f64,
}

/// What stands along a wall line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum WallFace {
    /// A wall whose gap the skirting covers.
    #[default]
    Plain,
    /// The track or frame of a glazed door or a window to the floor.
    Glazing,
    /// Fixed cabinets, wardrobes included.
    Cabinets,
}

impl WallFace {
    fn is_plain(&self) -> bool {
        *self == Self::Plain
    }
}

impl Wall {
    /// A plain straight wall starting at `corner`.
    pub fn from_corner(corner: Point) -> Self {
        Self { corner, face: WallFace::Plain, gap: None, skirting: None, bow: Vec::new() }
    }
}

impl Room {
    /// A boarded room with plain straight walls.
    pub fn boarded(name: impl Into<String>, corners: impl IntoIterator<Item = Point>) -> Self {
        Self {
            name: name.into(),
            covering: Covering::Boards,
            sight: Sight::Open,
            slab_level: 0.0,
            surface: None,
            walls: corners.into_iter().map(Wall::from_corner).collect(),
            tape: Vec::new(),
        }
    }

    /// Whether it is covered with the boards being planned.
    pub fn is_boarded(&self) -> bool {
        self.covering == Covering::Boards
    }

    /// Floor area between the finished walls, bows included, mm².
    pub fn area(&self) -> f64 {
        let points: Vec<Point> = self.outline().into_iter().map(|(point, _)| point).collect();
        shape::doubled_area(&points).abs() / 2.0
    }

    /// The straight line of wall `index` from its corner to the next one; `None` past the last wall.
    pub fn wall_line(&self, index: usize) -> Option<(Point, Point)> {
        let wall = self.walls.get(index)?;
        let next = &self.walls[(index + 1) % self.walls.len()];
        Some((wall.corner, next.corner))
    }

    /// Twice the signed area of the corners' polygon, mm²; positive if they run anticlockwise.
    fn doubled_area(&self) -> f64 {
        (0..self.walls.len()).filter_map(|i| self.wall_line(i)).map(|(a, b)| a.x * b.y - b.x * a.y).sum()
    }

    /// Whether the walls run anticlockwise, so that the floor lies to the left of each.
    pub fn is_anticlockwise(&self) -> bool {
        self.doubled_area() > 0.0
    }

    /// Unit vector of wall `index`, from its corner to the next, and the unit normal that points
    /// away from the room. `None` for a missing wall or one of no length.
    pub fn wall_axes(&self, index: usize) -> Option<(Point, Point)> {
        let (a, b) = self.wall_line(index)?;
        let length = a.distance(b);
        if length <= 0.0 {
            return None;
        }
        let along = Point::new((b.x - a.x) / length, (b.y - a.y) / length);
        let away = if self.is_anticlockwise() {
            Point::new(along.y, -along.x)
        } else {
            Point::new(-along.y, along.x)
        };
        Some((along, away))
    }

    /// The points of wall `index` at the face, bows included, without the next wall's corner.
    pub fn wall_points(&self, index: usize) -> Vec<Point> {
        let Some(wall) = self.walls.get(index) else { return Vec::new() };
        let mut points = vec![wall.corner];
        if let Some((along, away)) = self.wall_axes(index) {
            points.extend(wall.bow.iter().map(|bow| {
                wall.corner
                    .moved(along.x * bow.along + away.x * bow.back, along.y * bow.along + away.y * bow.back)
            }));
        }
        points
    }

    /// How far wall `index` stands back from its straight line at a distance along it, mm; negative where it
    /// bulges into the room.
    pub fn back_at(&self, index: usize, along: f64) -> f64 {
        let Some((wall, (a, b))) = self.walls.get(index).zip(self.wall_line(index)) else { return 0.0 };
        let length = a.distance(b);
        let after = wall.bow.iter().map(|bow| (bow.along, bow.back)).chain([(length, 0.0)]);
        let mut before = (0.0, 0.0);
        for next in after {
            if along <= next.0 && next.0 > before.0 {
                let t = ((along - before.0) / (next.0 - before.0)).clamp(0.0, 1.0);
                return before.1 + (next.1 - before.1) * t;
            }
            before = next;
        }
        0.0
    }

    /// The room's outline with the index of the wall each point starts; bows included.
    pub fn outline(&self) -> Vec<(Point, usize)> {
        (0..self.walls.len())
            .flat_map(|i| self.wall_points(i).into_iter().map(move |point| (point, i)))
            .collect()
    }

    /// Whether a point of the plan lies inside the room's outline, bows included.
    pub fn contains(&self, at: Point) -> bool {
        let points: Vec<Point> = self.outline().into_iter().map(|(point, _)| point).collect();
        shape::contains(&points, at)
    }
}
