//! Regions, their edges and what each edge is.

use crate::Frame;

/// A point in row coordinates, mm.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Uv {
    /// Along the rows.
    pub u: f64,
    /// Across the rows.
    pub v: f64,
}

impl Uv {
    /// The point at `u`, `v`.
    pub const fn new(u: f64, v: f64) -> Self {
        Self { u, v }
    }
}

/// What the boards meet at an edge.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum EdgeKind {
    /// A wall.
    Wall,
    /// The track or frame of a glazed door.
    Glazing,
    /// Fixed cabinets along a wall.
    Cabinets,
    /// The side of a doorway.
    Jamb,
    /// The end of the boards under a closed leaf.
    UnderLeaf,
    /// A trim in a doorway.
    Trim,
    /// The trim round a tile area.
    TileTrim,
    /// An island or another fixture down to the slab.
    Island,
    /// A kick that boards tuck under.
    Kick,
    /// A column.
    Column,
    /// A hearth.
    Hearth,
    /// A floor vent.
    Vent,
    /// A stair's nosing.
    Nosing,
    /// A movement joint.
    MovementJoint,
}

/// The thing of the plan that an edge comes from; indices into the plan's lists.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Source {
    /// A wall of a room.
    Wall {
        /// Room.
        room: usize,
        /// Wall of the room.
        wall: usize,
    },
    /// A doorway: its jambs or its stop.
    Doorway(usize),
    /// A fixture.
    Fixture(usize),
    /// A movement joint.
    Joint(usize),
}

/// One straight piece of a region's boundary, where the boards end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Edge {
    /// Start; the floor lies to the left going from `a` to `b`.
    pub a: Uv,
    /// End.
    pub b: Uv,
    /// What the boards meet.
    pub kind: EdgeKind,
    /// Where it comes from.
    pub source: Source,
    /// Distance kept from the thing's face, mm; negative where boards go under it. At a movement joint from its
    /// middle: half its width.
    pub gap: f64,
    /// How much wider the gap may be made under its cover, mm.
    pub play: f64,
}

impl Edge {
    /// Length, mm.
    pub fn length(&self) -> f64 {
        let (du, dv) = (self.b.u - self.a.u, self.b.v - self.a.v);
        (du * du + dv * dv).sqrt()
    }

    /// Whether the edge lies within 45° of the rows, so that boards meet it with their sides.
    pub fn is_along_rows(&self) -> bool {
        lies_along_rows(self.a, self.b)
    }

    /// For an edge along the rows: whether the floor lies above it (greater v).
    pub fn floor_is_above(&self) -> bool {
        self.b.u > self.a.u
    }

    /// The edge's extent across the rows, least and greatest v.
    pub fn v_range(&self) -> (f64, f64) {
        (self.a.v.min(self.b.v), self.a.v.max(self.b.v))
    }
}

/// Whether the way from `a` to `b` lies within 45° of the rows. An edge at just 45° must not become one
/// thing or the other by rounding.
pub(crate) fn lies_along_rows(a: Uv, b: Uv) -> bool {
    (b.v - a.v).abs() <= (b.u - a.u).abs() * 1.001
}

/// A closed chain of edges; each ends where the next starts.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Ring {
    /// The edges in order.
    pub edges: Vec<Edge>,
}

/// A connected part of the boarded floor.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Region {
    /// The outline, anticlockwise in (u, v).
    pub outer: Ring,
    /// Holes, clockwise.
    pub holes: Vec<Ring>,
    /// Area inside the edges, mm².
    pub area: f64,
}

impl Region {
    /// All rings, the outline first.
    pub fn rings(&self) -> impl Iterator<Item = &Ring> {
        std::iter::once(&self.outer).chain(&self.holes)
    }

    /// All edges, the outline's first.
    pub fn edges(&self) -> impl Iterator<Item = &Edge> {
        self.rings().flat_map(|ring| &ring.edges)
    }
}

/// Floor area of one room between its finished walls, before fixtures and gaps.
#[derive(Debug, Clone, PartialEq)]
pub struct RoomArea {
    /// Index of the room in the plan.
    pub room: usize,
    /// mm².
    pub area: f64,
}

/// What is to be boarded.
#[derive(Debug, Clone, PartialEq)]
pub struct Site {
    /// Turn between plan and rows.
    pub frame: Frame,
    /// Connected parts of the boarded floor, in a fixed order.
    pub regions: Vec<Region>,
    /// Boarded floor before the gaps are taken off: rooms and throats less fixtures, mm².
    pub bare_area: f64,
    /// Areas of all rooms, boarded or not, in the plan's order.
    pub rooms: Vec<RoomArea>,
    /// What the border leaves of the regions; `None` on a plan without a border.
    pub field: Option<Field>,
}

/// The floor inside a border.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Field {
    /// Its connected parts. Edges keep the names of the edges they lie along; there is no gap at a border.
    pub regions: Vec<Region>,
    /// For each part the region it lies in.
    pub part_of: Vec<usize>,
}

impl Site {
    /// Where the pattern lies: the regions, or what a border leaves of them.
    pub fn fields(&self) -> &[Region] {
        self.field.as_ref().map_or(&self.regions, |field| &field.regions)
    }

    /// The region in which a part of [`Site::fields`] lies.
    pub fn region_of(&self, field: usize) -> usize {
        self.field.as_ref().map_or(field, |f| f.part_of.get(field).copied().unwrap_or(0))
    }

    /// Area inside all regions' edges, mm².
    pub fn boarded_area(&self) -> f64 {
        self.regions.iter().map(|region| region.area).sum()
    }
}
