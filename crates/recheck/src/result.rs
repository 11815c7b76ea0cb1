//! As much of the result as is checked, read by itself after docs/result-schema.md.

mod edges;
mod seasons;

pub(crate) use edges::{Cover, DoorwayLine, Edges, FloorSide, Stop};
pub(crate) use seasons::{Change, Seasons, Stretch};

use serde::Deserialize;

/// A point of the plan, mm.
pub(crate) type Xy = [f64; 2];

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct House {
    kind: String,
    schema: u32,
    pub(crate) plan: String,
    pub(crate) seed: u64,
    pub(crate) rows_at: f64,
    pub(crate) setout: SetOut,
    #[serde(default)]
    pub(crate) movement: Option<Movement>,
    #[serde(default)]
    pub(crate) laid: Option<Laid>,
    pub(crate) bare_area: f64,
    pub(crate) boarded_area: f64,
    pub(crate) regions: Vec<Region>,
    pub(crate) boards: Vec<Board>,
    pub(crate) joints: Vec<Joint>,
    pub(crate) flags: Vec<Flag>,
    pub(crate) stock: Vec<StockBoard>,
    pub(crate) use_of_stock: Use,
    pub(crate) fitting: Fitting,
    #[serde(default)]
    pub(crate) edges: Option<Edges>,
    #[serde(default)]
    pub(crate) materials: Option<Materials>,
    #[serde(default)]
    pub(crate) stages: Option<Stages>,
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct Stages {
    pub(crate) stages: Vec<StageLaid>,
}

/// A stage, and the packs that are opened for it.
#[derive(Debug, Clone, Deserialize)]
pub(crate) struct StageLaid {
    pub(crate) name: String,
    pub(crate) packs: usize,
    pub(crate) pack_numbers: Vec<usize>,
    pub(crate) open_packs: Vec<usize>,
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct SetOut {
    pub(crate) pitch: f64,
    pub(crate) chosen: Line,
    pub(crate) lines: Vec<Line>,
    pub(crate) best: Line,
    pub(crate) runner_up: Option<Line>,
    pub(crate) curve: Vec<[f64; 2]>,
    pub(crate) line: Option<Snapped>,
    pub(crate) regions: Vec<Own>,
    pub(crate) robust: Robust,
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct Line {
    pub(crate) offset: f64,
    pub(crate) value: Value,
    pub(crate) narrowest: f64,
    pub(crate) narrowest_within_tolerance: f64,
    pub(crate) short_length: f64,
    pub(crate) safe_by: f64,
    pub(crate) rips: Vec<Rip>,
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct Value {
    pub(crate) short: f64,
    pub(crate) narrowest: f64,
    pub(crate) tapered: f64,
    pub(crate) uneven: f64,
    pub(crate) ripped: f64,
    pub(crate) bands: Vec<i64>,
}

/// How far the tape may be out.
#[derive(Debug, Clone, Deserialize)]
pub(crate) struct Robust {
    pub(crate) stands: Option<f64>,
    pub(crate) endangered: Vec<Endangered>,
    pub(crate) safest: Option<Safest>,
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct Endangered {
    pub(crate) place: String,
    pub(crate) edge: String,
    pub(crate) stands: f64,
    pub(crate) slack: f64,
    pub(crate) lengths: Vec<String>,
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct Safest {
    pub(crate) offset: f64,
    pub(crate) stands: f64,
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct Rip {
    pub(crate) place: String,
    pub(crate) edge: String,
    pub(crate) at: Xy,
    pub(crate) length: f64,
    pub(crate) weight: f64,
    pub(crate) least: f64,
    pub(crate) greatest: f64,
    pub(crate) hidden: f64,
    pub(crate) seen: f64,
    pub(crate) play: f64,
    pub(crate) most_play: f64,
    pub(crate) facing: Option<f64>,
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct Snapped {
    pub(crate) from: Xy,
    pub(crate) to: Xy,
    pub(crate) pulls: Vec<Pull>,
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct Pull {
    pub(crate) letter: String,
    pub(crate) room: String,
    pub(crate) wall: usize,
    pub(crate) corner: Xy,
    pub(crate) distance: f64,
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct Own {
    pub(crate) region: usize,
    pub(crate) has_own: bool,
    pub(crate) own: Offset,
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct Offset {
    pub(crate) offset: f64,
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct Movement {
    #[serde(default)]
    pub(crate) seasons: Option<Seasons>,
    #[serde(default)]
    pub(crate) joints: Vec<MovementJoint>,
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct MovementJoint {
    pub(crate) name: String,
    pub(crate) width: f64,
    pub(crate) stretches: Vec<[Xy; 2]>,
    pub(crate) length: f64,
    #[serde(default)]
    pub(crate) closes: Option<f64>,
    #[serde(default)]
    pub(crate) opens: Option<f64>,
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct Region {
    pub(crate) rings: Vec<Vec<Edge>>,
    pub(crate) area: f64,
    /// What stands before its rows' numbers.
    #[serde(default)]
    pub(crate) letter: String,
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct Edge {
    pub(crate) from: Xy,
    pub(crate) edge: String,
    pub(crate) place: String,
    pub(crate) gap: f64,
    #[serde(default)]
    pub(crate) closes: Option<f64>,
    #[serde(default)]
    pub(crate) opens: Option<f64>,
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct Board {
    pub(crate) label: String,
    pub(crate) region: usize,
    pub(crate) row: i64,
    pub(crate) run: usize,
    pub(crate) outline: Vec<Vec<Xy>>,
    pub(crate) length: f64,
    pub(crate) width: f64,
    pub(crate) angle: f64,
    #[serde(default)]
    pub(crate) hand: Option<String>,
    #[serde(default)]
    pub(crate) border: bool,
    #[serde(default)]
    pub(crate) laid: bool,
    pub(crate) turned: bool,
    pub(crate) left_end: String,
    pub(crate) right_end: String,
    pub(crate) stock: usize,
    pub(crate) stock_from: f64,
}

impl Board {
    /// Whether it lies along the rows, in a row.
    pub(crate) fn is_in_row(&self) -> bool {
        self.angle == 0.0 && !self.border
    }
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct Joint {
    pub(crate) from: Xy,
    pub(crate) to: Xy,
    pub(crate) boards: [usize; 2],
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct Flag {
    pub(crate) kind: String,
    pub(crate) place: String,
    pub(crate) figure: f64,
    pub(crate) boards: Vec<usize>,
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct StockBoard {
    pub(crate) length: f64,
    pub(crate) pack: usize,
    pub(crate) pieces: Vec<Piece>,
    pub(crate) left_over: f64,
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct Piece {
    pub(crate) board: usize,
    pub(crate) from: f64,
    pub(crate) to: f64,
    #[serde(default)]
    shift: f64,
    #[serde(default)]
    right_shift: Option<f64>,
    #[serde(default)]
    pub(crate) strip: bool,
}

impl Piece {
    /// How much further along its left and its right end lie at the tongue edge.
    pub(crate) fn shifts(&self) -> [f64; 2] {
        [self.shift, self.right_shift.unwrap_or(self.shift)]
    }

    /// From long point to long point.
    pub(crate) fn reach(&self) -> (f64, f64) {
        let [left, right] = self.shifts();
        (self.from + left.min(0.0), self.to + right.max(0.0))
    }

    /// Half-way across the board.
    pub(crate) fn length(&self) -> f64 {
        let [left, right] = self.shifts();
        self.to + right / 2.0 - self.from - left / 2.0
    }
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct Use {
    pub(crate) opened: usize,
    #[serde(default)]
    pub(crate) opened_before: usize,
    pub(crate) packs: usize,
    pub(crate) bound: usize,
    pub(crate) gap: usize,
    pub(crate) area_bound: usize,
    pub(crate) packs_bound: usize,
    pub(crate) opened_length: f64,
    pub(crate) length_bound: f64,
    pub(crate) lengths: Vec<LengthUse>,
    pub(crate) leftovers: Vec<Leftover>,
    #[serde(default)]
    pub(crate) filler: Vec<Filler>,
    pub(crate) opened_area: f64,
    pub(crate) laid_area: f64,
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct LengthUse {
    pub(crate) length: f64,
    pub(crate) opened: usize,
    pub(crate) bought: usize,
    pub(crate) opened_length: f64,
    pub(crate) laid_length: f64,
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct Leftover {
    pub(crate) stock: usize,
    pub(crate) length: f64,
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct Filler {
    pub(crate) width: f64,
    pub(crate) depth: f64,
    pub(crate) length: f64,
    pub(crate) litres: f64,
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct Fitting {
    pub(crate) usual_way: String,
    pub(crate) other_ways: Vec<OtherWay>,
    pub(crate) boards: Vec<Way>,
    pub(crate) order: Vec<Step>,
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct Way {
    pub(crate) laid: usize,
    pub(crate) way: String,
}

/// A board that goes in in another way than the usual one.
#[derive(Debug, Clone, Deserialize)]
pub(crate) struct OtherWay {
    pub(crate) board: usize,
    pub(crate) way: String,
    #[serde(default)]
    pub(crate) from: Option<String>,
    pub(crate) under: Vec<Beside>,
    pub(crate) tight: Vec<Beside>,
    #[serde(default)]
    pub(crate) astride: Vec<Astride>,
}

/// What stands between two legs of a board, and the end at which they are.
#[derive(Debug, Clone, Deserialize)]
pub(crate) struct Astride {
    pub(crate) end: String,
}

/// What stands at a side of a board, and for a gap that is too small what is needed.
#[derive(Debug, Clone, Deserialize)]
pub(crate) struct Beside {
    pub(crate) side: String,
    pub(crate) edge: String,
    pub(crate) place: String,
    pub(crate) gap: f64,
    #[serde(default)]
    pub(crate) need: Option<f64>,
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct Step {
    pub(crate) run: usize,
    pub(crate) boards: Vec<usize>,
    pub(crate) start: String,
    #[serde(default)]
    pub(crate) joins: Vec<usize>,
    #[serde(default)]
    pub(crate) stage: Option<usize>,
    #[serde(default)]
    pub(crate) begins_with: Vec<Beginning>,
}

/// Rips with which a room or a stretch is begun.
#[derive(Debug, Clone, Deserialize)]
pub(crate) struct Beginning {
    #[serde(default)]
    pub(crate) room: Option<String>,
    pub(crate) boards: Vec<usize>,
    pub(crate) least: f64,
    pub(crate) greatest: f64,
    pub(crate) keeps: String,
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct Materials {
    pub(crate) lines: Vec<MaterialLine>,
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct MaterialLine {
    pub(crate) material: String,
    pub(crate) unit: String,
    pub(crate) least: f64,
    pub(crate) greatest: f64,
    pub(crate) bought: usize,
    #[serde(default)]
    pub(crate) lengths: Vec<Cut>,
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct Cut {
    pub(crate) length: f64,
    pub(crate) pieces: Vec<CutPiece>,
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct CutPiece {
    pub(crate) place: String,
    pub(crate) length: f64,
}

/// Reads a result.
pub(crate) fn read(text: &str) -> Result<House, String> {
    let house: House = serde_json::from_str(text).map_err(|error| error.to_string())?;
    if house.kind != "startrow-result" || house.schema != 1 {
        return Err(format!("it is {} of schema {}; schema 1 is checked here", house.kind, house.schema));
    }
    Ok(house)
}

/// What lies already.
#[derive(Debug, Clone, Deserialize)]
pub(crate) struct Laid {
    #[serde(default)]
    pub(crate) drift: Vec<Drift>,
}

/// Rows that lie on one side of a start line.
#[derive(Debug, Clone, Deserialize)]
pub(crate) struct Drift {
    pub(crate) measured_pitch: Option<f64>,
    /// Of rows to come.
    pub(crate) pitch: f64,
}
