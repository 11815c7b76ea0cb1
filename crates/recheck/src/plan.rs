//! As much of the plan file as is checked, read by itself after docs/plan-format.md.

use ron::extensions::Extensions;
use serde::Deserialize;

/// A point of the plan, mm.
pub(crate) type Xy = (f64, f64);

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct Plan {
    pub(crate) name: String,
    pub(crate) rows_at: f64,
    pub(crate) start_line: StartLine,
    pub(crate) seed: u64,
    #[serde(default)]
    pub(crate) pattern: Pattern,
    #[serde(default)]
    pub(crate) border: Option<serde::de::IgnoredAny>,
    pub(crate) stock: Stock,
    pub(crate) rules: Rules,
    pub(crate) rooms: Vec<Room>,
    pub(crate) doorways: Vec<Doorway>,
    pub(crate) fixtures: Vec<Fixture>,
    #[serde(default)]
    pub(crate) joints: Vec<MovementJoint>,
    #[serde(default)]
    pub(crate) materials: Option<Materials>,
    #[serde(default)]
    pub(crate) slab: Option<Slab>,
    #[serde(default)]
    pub(crate) air: Option<Air>,
    #[serde(default)]
    pub(crate) stages: Vec<Stage>,
}

/// What is known of the slab.
#[derive(Debug, Clone, Deserialize)]
pub(crate) struct Slab {
    #[serde(default)]
    pub(crate) barrier_coats: Option<usize>,
}

/// Rooms laid together, on a day.
#[derive(Debug, Clone, Deserialize)]
pub(crate) struct Stage {
    pub(crate) rooms: Vec<String>,
    pub(crate) day: i64,
}

#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
pub(crate) enum StartLine {
    Best,
    At(f64),
    Safest,
}

#[derive(Debug, Clone, Copy, PartialEq, Default, Deserialize)]
pub(crate) enum Pattern {
    #[default]
    Irregular,
    Half,
    Third,
    Herringbone {
        block: f64,
        abreast: u32,
    },
    Chevron {
        block: f64,
        mitre: f64,
    },
}

impl Pattern {
    /// Whether the floor is rows from wall to wall.
    pub(crate) fn is_rows(self) -> bool {
        matches!(self, Self::Irregular | Self::Half | Self::Third)
    }
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct Stock {
    pub(crate) thickness: f64,
    pub(crate) face_width: f64,
    #[serde(default)]
    pub(crate) ten_boards: Option<f64>,
    pub(crate) lengths: Vec<BoardLength>,
    #[serde(default)]
    pub(crate) random: Option<RandomLengths>,
    #[serde(default)]
    pub(crate) packs: Option<u32>,
    pub(crate) end_match: bool,
    pub(crate) lock: Lock,
    pub(crate) tongue: f64,
    pub(crate) kerf: f64,
    #[serde(default)]
    pub(crate) bed: f64,
    #[serde(default)]
    pub(crate) wear_layer: Option<f64>,
    #[serde(default)]
    pub(crate) wood: Option<Wood>,
}

/// How long edges join.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
pub(crate) enum Lock {
    FoldDown,
    Angle,
    TongueAndGroove,
}

impl Stock {
    /// Distance between row lines: ten boards measured together over ten, or the width as sold.
    pub(crate) fn pitch(&self) -> f64 {
        self.ten_boards.map_or(self.face_width, |ten| ten / 10.0)
    }
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct BoardLength {
    pub(crate) length: f64,
    pub(crate) per_pack: u32,
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct RandomLengths {
    pub(crate) shortest: f64,
    pub(crate) longest: f64,
    pub(crate) per_pack: u32,
}

#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
pub(crate) struct Range {
    pub(crate) least: f64,
    pub(crate) greatest: f64,
}

impl Range {
    pub(crate) fn one(gap: f64) -> Self {
        Self { least: gap, greatest: gap }
    }
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct Rules {
    pub(crate) wall_gap: Range,
    pub(crate) tile_end_gap: f64,
    pub(crate) least_rip: f64,
    pub(crate) least_end: f64,
    pub(crate) least_stagger: f64,
    pub(crate) in_line: f64,
    pub(crate) line_tolerance: f64,
    #[serde(default)]
    pub(crate) travel: Option<f64>,
    #[serde(default)]
    pub(crate) tilt_room: Option<f64>,
    #[serde(default)]
    pub(crate) slide_room: Option<f64>,
    #[serde(default)]
    pub(crate) gaps: KindGaps,
    #[serde(default)]
    pub(crate) cover: Covers,
    #[serde(default)]
    pub(crate) levels: Levels,
}

#[derive(Debug, Clone, Copy, Default, Deserialize)]
#[serde(default)]
pub(crate) struct Covers {
    pub(crate) skirting: Option<f64>,
    pub(crate) architrave: Option<f64>,
    pub(crate) least: Option<f64>,
    pub(crate) tolerance: Option<f64>,
}

#[derive(Debug, Clone, Copy, Default, Deserialize)]
#[serde(default)]
pub(crate) struct Levels {
    pub(crate) flush: Option<f64>,
    pub(crate) upright: Option<f64>,
    pub(crate) bevelled: Option<f64>,
    pub(crate) leaf: Option<f64>,
    pub(crate) appliance: Option<f64>,
    pub(crate) kick: Option<f64>,
}

#[derive(Debug, Clone, Default, Deserialize)]
#[serde(default)]
pub(crate) struct KindGaps {
    pub(crate) glazing: Option<Range>,
    pub(crate) cabinets: Option<Range>,
    pub(crate) islands: Option<Range>,
    pub(crate) columns: Option<Range>,
    pub(crate) hearths: Option<Range>,
    pub(crate) vents: Option<Range>,
    pub(crate) jambs: Option<Range>,
    pub(crate) tile_sides: Option<Range>,
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct Room {
    pub(crate) name: String,
    pub(crate) covering: Covering,
    #[serde(default)]
    pub(crate) slab_level: f64,
    #[serde(default)]
    pub(crate) surface: Option<Surface>,
    pub(crate) walls: Vec<Wall>,
}

#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
pub(crate) struct Surface {
    pub(crate) kind: SurfaceKind,
    pub(crate) height: f64,
}

#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
pub(crate) enum SurfaceKind {
    Tile,
    Carpet,
    BareSlab,
    Track,
}

#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
pub(crate) enum Skirting {
    Without,
    ToCome,
    Thick(f64),
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
pub(crate) enum Covering {
    Boards,
    Other(String),
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct Wall {
    pub(crate) corner: Xy,
    #[serde(default)]
    pub(crate) face: WallFace,
    #[serde(default)]
    pub(crate) gap: Option<Range>,
    #[serde(default)]
    pub(crate) skirting: Option<Skirting>,
    #[serde(default)]
    pub(crate) bow: Vec<Bow>,
}

#[derive(Debug, Clone, Copy, PartialEq, Default, Deserialize)]
pub(crate) enum WallFace {
    #[default]
    Plain,
    Glazing,
    Cabinets,
}

#[derive(Debug, Clone, Copy, Deserialize)]
pub(crate) struct Bow {
    pub(crate) along: f64,
    pub(crate) back: f64,
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct Doorway {
    pub(crate) name: String,
    pub(crate) room: String,
    /// From 1.
    pub(crate) wall: usize,
    pub(crate) at: f64,
    pub(crate) width: f64,
    #[serde(default)]
    pub(crate) rough_width: Option<f64>,
    pub(crate) wall_thickness: f64,
    #[serde(default)]
    pub(crate) leaf: Option<Leaf>,
    pub(crate) lining: Lining,
    #[serde(default)]
    pub(crate) under_lining: Option<f64>,
    pub(crate) beyond: Beyond,
    #[serde(default)]
    pub(crate) arris: Option<Arris>,
    #[serde(default)]
    pub(crate) outside: Option<Surface>,
    #[serde(default)]
    pub(crate) stop: Option<f64>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
pub(crate) enum Lining {
    Fitted,
    ToCome,
}

#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
pub(crate) enum Arris {
    Square,
    Eased(f64),
    Chamfered(f64),
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct Leaf {
    pub(crate) closes_on: Side,
    #[serde(default)]
    pub(crate) slides: bool,
    pub(crate) thickness: f64,
    #[serde(default)]
    pub(crate) above_slab: Option<f64>,
}

#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
pub(crate) enum Side {
    Near,
    Far,
}

#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
pub(crate) enum Beyond {
    RunThrough,
    UnderLeaf,
    Trim(f64),
}

impl Doorway {
    /// From the near wall's face to the middle of the closed leaf, or of the wall where there is no leaf, mm; or to where the
    /// plan says that boards stop.
    pub(crate) fn stop(&self) -> f64 {
        if let Some(stop) = self.stop {
            return stop;
        }
        match &self.leaf {
            Some(leaf) if leaf.slides => self.wall_thickness / 2.0,
            Some(leaf) if leaf.closes_on == Side::Near => leaf.thickness / 2.0,
            Some(leaf) => self.wall_thickness - leaf.thickness / 2.0,
            None => self.wall_thickness / 2.0,
        }
    }
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct Fixture {
    pub(crate) name: String,
    pub(crate) kind: FixtureKind,
    #[serde(default)]
    pub(crate) gap: Option<Range>,
    #[serde(default)]
    pub(crate) cover: Option<f64>,
    #[serde(default)]
    pub(crate) appliance: Option<Appliance>,
    pub(crate) outline: Vec<Xy>,
}

#[derive(Debug, Clone, Copy, Deserialize)]
pub(crate) struct Appliance {
    pub(crate) height: f64,
    pub(crate) opening: f64,
}

#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
pub(crate) enum FixtureKind {
    Island,
    Kick { clearance: f64, tuck: f64 },
    Column,
    Hearth,
    TileArea { trim: f64 },
    Rebate { depth: f64 },
    LowSpot { depth: f64 },
    Vent,
    Stair { nosing: f64 },
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct MovementJoint {
    #[serde(default)]
    pub(crate) name: Option<String>,
    pub(crate) width: f64,
}

#[derive(Debug, Clone, Copy, Deserialize)]
pub(crate) struct Wood {
    pub(crate) species: Species,
    pub(crate) construction: Construction,
    #[serde(default)]
    pub(crate) held_back: f64,
}

#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
pub(crate) enum Species {
    WhiteOak,
    RedOak,
    WhiteAsh,
    Beech,
    YellowBirch,
    SugarMaple,
    RedMaple,
    BlackWalnut,
    BlackCherry,
    Hardwood,
    Softwood,
}

#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
pub(crate) enum Construction {
    FlatSawn,
    QuarterSawn,
    Multilayer,
    Stated(f64),
}

#[derive(Debug, Clone, Copy, Deserialize)]
pub(crate) struct Air {
    pub(crate) laid: Climate,
    pub(crate) driest: Climate,
    pub(crate) dampest: Climate,
}

#[derive(Debug, Clone, Copy, Deserialize)]
pub(crate) enum Climate {
    Air { degrees: f64, humidity: f64 },
    Moisture(f64),
}

#[derive(Debug, Clone, Default, Deserialize)]
#[serde(default)]
pub(crate) struct Materials {
    pub(crate) adhesive: Option<Adhesive>,
    pub(crate) primer: Option<Coating>,
    pub(crate) barrier: Option<Coating>,
    pub(crate) leveller: Option<Leveller>,
    pub(crate) skirting: Option<Moulding>,
    pub(crate) trim: Option<Moulding>,
    pub(crate) nosing: Option<Moulding>,
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct Adhesive {
    pub(crate) rate: Rate,
    #[serde(default)]
    pub(crate) by_weight: bool,
    #[serde(default)]
    pub(crate) density: Option<f64>,
    pub(crate) pack: f64,
}

#[derive(Debug, Clone, Copy, Deserialize)]
pub(crate) enum Rate {
    Bead {
        diameter: f64,
        spacing: f64,
    },
    Trowel {
        width: f64,
        depth: f64,
        pitch: f64,
    },
    #[serde(rename = "Rate")]
    Stated {
        least: f64,
        greatest: f64,
    },
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct Coating {
    pub(crate) coats: Vec<f64>,
    #[serde(default)]
    pub(crate) by_weight: bool,
    pub(crate) pack: f64,
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct Leveller {
    #[serde(default)]
    pub(crate) powder: Option<f64>,
    pub(crate) pack: f64,
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct Moulding {
    pub(crate) lengths: Vec<f64>,
    pub(crate) kerf: f64,
}

/// Reads a plan file.
pub(crate) fn read(text: &str) -> Result<Plan, String> {
    let options = ron::Options::default().with_default_extension(Extensions::IMPLICIT_SOME);
    options.from_str(text.trim_start_matches('\u{feff}')).map_err(|error| error.to_string())
}
