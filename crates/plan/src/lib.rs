//! What a person draws and chooses: rooms, doorways, fixtures, stock, rules, units and the plan file.
//!
//! Lengths are millimetres as `f64`; x runs to the right, y runs up the page, angles turn
//! anticlockwise in degrees. This crate knows nothing of any later stage, of files on disk or of the clock.

mod check;
mod doorway;
pub mod edit;
mod file;
mod fixture;
mod locate;
mod point;
mod room;
mod rules;
mod shape;
mod stock;
mod units;

pub use check::{Place, Problem};
pub use doorway::{Beyond, Doorway, Leaf, Lining, Side};
pub use file::{FORMAT, FileError, GREATEST_FILE, read, read_unchecked, write};
pub use fixture::{Fixture, FixtureKind};
pub use point::Point;
pub use room::{Bow, Covering, Room, Wall, WallFace};
pub use rules::{GapRange, Rules};
pub use stock::{BoardLength, Lock, Stock};
pub use units::{LengthError, Units, format_length, parse_length};

use serde::{Deserialize, Serialize};

/// One house as drawn and chosen. Everything later is computed from this value alone.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Plan {
    /// Title shown on the desk and on every sheet.
    pub name: String,
    /// How lengths are shown and typed. Stored lengths are always millimetres.
    pub units: Units,
    /// Direction of the rows, degrees anticlockwise from the x axis, in -90..=90.
    pub rows_at: f64,
    /// Where the start line goes.
    pub start_line: StartLine,
    /// Seed of the stagger: the same plan and seed give the same floor.
    pub seed: u64,
    /// Boards to be laid.
    pub stock: Stock,
    /// Limits the floor is held to.
    pub rules: Rules,
    /// Rooms at the finished wall face.
    pub rooms: Vec<Room>,
    /// Openings in walls of boarded rooms.
    pub doorways: Vec<Doorway>,
    /// Things that stand on, or are let into, the floor.
    pub fixtures: Vec<Fixture>,
}

/// Choice of the start line.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub enum StartLine {
    /// The line the set-out finds best.
    #[default]
    Best,
    /// A line dragged or typed by hand: the offset across the rows of one row line from the plan's
    /// origin, mm. Any row line names the same set-out, so it is read modulo one board width.
    At(f64),
}

impl Plan {
    /// An empty plan with the default stock and rules.
    pub fn new(name: impl Into<String>) -> Self {
        Self {
            name: name.into(),
            units: Units::Metric,
            rows_at: 0.0,
            start_line: StartLine::Best,
            seed: 1,
            stock: Stock::default(),
            rules: Rules::default(),
            rooms: Vec::new(),
            doorways: Vec::new(),
            fixtures: Vec::new(),
        }
    }

    /// The index of the room with this name.
    pub fn room_index(&self, name: &str) -> Option<usize> {
        self.rooms.iter().position(|room| room.name == name)
    }

    /// What a person would call the place at a point: the room, or the doorway in whose throat it lies.
    pub fn place_at(&self, at: Point) -> Option<&str> {
        let room = self.rooms.iter().find(|room| room.contains(at)).map(|room| room.name.as_str());
        room.or_else(|| {
            let holds = |door: &&Doorway| door.throat(self).is_some_and(|t| shape::contains(&t, at));
            self.doorways.iter().find(holds).map(|door| door.name.as_str())
        })
    }

    /// Every reason why this plan cannot be computed, each with its place and mend; empty if none.
    pub fn problems(&self) -> Vec<Problem> {
        check::problems(self)
    }
}
