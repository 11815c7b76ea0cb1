//! What a person draws and chooses: rooms, doorways, fixtures, stock, rules, units and the plan file.
//!
//! Lengths are millimetres as `f64`; x runs to the right, y runs up the page, angles turn
//! anticlockwise in degrees. This crate knows nothing of any later stage, of files on disk or of the clock.

mod air;
mod backdrop;
mod blocks;
mod boxes;
mod check;
mod cover;
mod dimension;
mod doorway;
pub mod edit;
mod file;
mod fixture;
mod joint;
mod laid;
mod laid_strips;
mod layout;
mod levels;
mod locate;
mod materials;
mod pinned;
mod places;
mod point;
mod room;
mod rules;
mod shape;
mod slab;
mod stage;
mod stock;
mod surface;
mod tape;
mod units;
mod wood;

pub use air::{Climate, Seasons};
pub use backdrop::Backdrop;
pub use boxes::{Bounds, Boxes};
pub use check::{Place, Problem};
pub use cover::{CoverRules, KindGaps, Skirting};
pub use dimension::{Dimension, DimensionEnd};
pub use doorway::{Arris, Beyond, Doorway, Leaf, Lining, Side};
pub use file::{FORMAT, FileError, GREATEST_FILE, read, read_drawn, read_unchecked, write};
pub use fixture::{Appliance, Fixture, FixtureKind};
pub use joint::{JOINT_WIDTH, MovementJoint};
pub use laid::{Laid, LaidBoard, LaidPart, LaidStock, RowLines, RowPull, ToCome, overlap};
pub use laid_strips::LaidStrip;
pub use layout::{Border, Corners, ONE_LINE, OwnLine, Pattern};
pub use levels::LevelRules;
pub use materials::{
    Adhesive, AdhesiveRate, Architrave, Coating, Hired, Leveller, Materials, Moulding, Sealant, Sheet,
};
pub use pinned::Pinned;
pub use places::Places;
pub use point::Point;
pub use room::{Bow, Covering, Room, Sight, Wall, WallFace};
pub use rules::{GapRange, Rules};
pub use slab::{
    DrynessMethod, DrynessReading, FlatnessLimit, FlatnessReading, Mark, OwnLimit, Signed, Slab, SlabKind,
    SlabPoint,
};
pub use stage::{Stage, Waits};
pub use stock::{BoardLength, Lock, RandomLengths, Stock};
pub use surface::{Surface, SurfaceKind};
pub use tape::{Taped, span_name};
pub use units::{
    LengthError, Units, cut_down, format_area, format_fine, format_length, format_money, format_run,
    format_small, format_tape, judged, nearest_whole, parse_length, tape_step,
};
pub use wood::{Construction, Species, Wood};

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
    /// Regions with a line of their own: a connected floor past a trim or under a leaf need not carry
    /// on the rows of the rest.
    pub own_lines: Vec<OwnLine>,
    /// How the boards lie.
    pub pattern: Pattern,
    /// Boards laid along the walls round the pattern.
    pub border: Option<Border>,
    /// Direction from which the main light falls in, degrees anticlockwise from the x axis; `None`
    /// takes the widest glazing's.
    pub light_from: Option<f64>,
    /// Seed of the stagger: the same plan and seed give the same floor.
    pub seed: u64,
    /// Moves the search for better joints may take; 0 keeps the first floor found. Plan, seed and
    /// effort together name one floor, whatever the machine.
    pub effort: u64,
    /// Boards to be laid.
    pub stock: Stock,
    /// Limits the floor is held to.
    pub rules: Rules,
    /// The slab before a pack is opened; `None` while nothing is recorded of it.
    pub slab: Option<Slab>,
    /// What is bought besides boards; `None` where that is not reckoned.
    pub materials: Option<Materials>,
    /// Parts in which the house is laid; empty where it is laid in one.
    pub stages: Vec<Stage>,
    /// Hours between steps.
    pub waits: Waits,
    /// The air the floor lives in, from which its movement follows; `None` where it is not known.
    pub air: Option<Seasons>,
    /// Rooms at the finished wall face.
    pub rooms: Vec<Room>,
    /// Openings in walls of boarded rooms.
    pub doorways: Vec<Doorway>,
    /// Things that stand on, or are let into, the floor.
    pub fixtures: Vec<Fixture>,
    /// What is laid already; `None` before anything is marked.
    pub laid: Option<Laid>,
    /// Movement joints.
    pub joints: Vec<MovementJoint>,
    /// Lengths kept on the drawing.
    pub dimensions: Vec<Dimension>,
    /// What is pinned down: no hand moves or removes it.
    pub pinned: Vec<Pinned>,
    /// A picture to draw over; nothing of the floor comes of it.
    pub backdrop: Option<Backdrop>,
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
    /// The line that stands the largest error in the measured lengths before a rip is a sliver.
    Safest,
}

impl Plan {
    /// An empty plan with the default stock and rules.
    pub fn new(name: impl Into<String>) -> Self {
        Self {
            name: name.into(),
            units: Units::Metric,
            rows_at: 0.0,
            start_line: StartLine::Best,
            own_lines: Vec::new(),
            pattern: Pattern::Irregular,
            border: None,
            light_from: None,
            seed: 1,
            effort: 0,
            stock: Stock::default(),
            rules: Rules::default(),
            slab: None,
            materials: None,
            stages: Vec::new(),
            waits: Waits::default(),
            air: None,
            rooms: Vec::new(),
            doorways: Vec::new(),
            fixtures: Vec::new(),
            laid: None,
            joints: Vec::new(),
            dimensions: Vec::new(),
            pinned: Vec::new(),
            backdrop: None,
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

    /// Those of its problems with which it could not even be shown: numbers that are none, and sizes and counts beyond a
    /// house. A file that holds any is not opened.
    pub fn absurd(&self) -> Vec<Problem> {
        check::absurd(self)
    }
}
