//! The result as JSON: a stable shape for other programs. See docs/result-schema.md.
//!
//! Coordinates are plan millimetres (x right, y up). Board indices are places in `boards`, stock
//! indices places in `stock`.

mod directions;
mod edges;
mod fitting;
mod flags;
mod floor;
mod laid;
mod materials;
mod movement;
mod points;
mod setout;
mod slab;
mod stages;
mod stock;
mod tape;

use self::directions::DirectionPart;
use self::edges::EdgesPart;
use self::fitting::FittingPart;
use self::floor::FloorPart;
use self::laid::LaidPart;
use self::materials::MaterialsPart;
use self::movement::MovementPart;
use self::setout::SetOutPart;
use self::slab::SlabPart;
use self::stages::StagesPart;
use self::tape::TapePart;
use crate::House;
use plan::{Pattern, Point};
use serde::Serialize;

/// Version of the result's shape. It changes when a field is renamed, removed or changes its
/// meaning; added fields leave it.
pub const SCHEMA: u32 = 1;

type Xy = [f64; 2];

/// The whole result.
#[derive(Debug, Serialize)]
pub struct Document {
    /// Always `"startrow-result"`.
    pub kind: &'static str,
    /// [`SCHEMA`].
    pub schema: u32,
    /// Name of the plan.
    pub plan: String,
    /// Seed of the stagger.
    pub seed: u64,
    /// Direction of the rows, or of the pattern's axis, degrees anticlockwise from x.
    pub rows_at: f64,
    /// How the boards lie.
    pub pattern: &'static str,
    /// Set-out.
    pub setout: SetOutPart,
    /// Directions compared; left out where that was not asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub directions: Option<Vec<DirectionPart>>,
    /// The list that is gone through before a pack is opened; left out where the plan keeps no record of the slab and
    /// it was not asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub slab: Option<Vec<SlabPart>>,
    /// What is bought besides boards; left out where the plan names no products.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub materials: Option<MaterialsPart>,
    /// The house in stages; left out where the plan names none and they were not asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stages: Option<StagesPart>,
    /// Rooms as their tape has them; left out where nothing is taped.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tape: Option<Vec<TapePart>>,
    /// What lies already and what comes of it; left out where nothing does.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub laid: Option<LaidPart>,
    /// What moves with the seasons, and movement joints; left out of a plan that has neither joints nor wood and air.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub movement: Option<MovementPart>,
    /// Doorways, covers and tucks; left out where only the set-out was asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub edges: Option<EdgesPart>,
    /// Everything laid; left out where only the set-out was asked for.
    #[serde(flatten, skip_serializing_if = "Option::is_none")]
    pub floor: Option<FloorPart>,
    /// How the boards go in, and in which order; left out where only the set-out was asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fitting: Option<FittingPart>,
}

fn xy(p: Point) -> Xy {
    [p.x, p.y]
}

impl House {
    /// The whole result.
    pub fn document(&self) -> Document {
        Document {
            slab: self.plan.slab.is_some().then(|| self.slab_part()),
            tape: self.plan.is_taped().then(|| self.tape_part(0)),
            materials: self.plan.materials.is_some().then(|| self.materials_part()),
            stages: (!self.plan.stages.is_empty()).then(|| self.stages_part()),
            movement: self.any_movement_part(),
            floor: Some(self.floor_part()),
            fitting: Some(self.fitting_part()),
            ..self.edges_document()
        }
    }

    /// The result without anything laid, with the stages.
    pub fn stages_document(&self) -> Document {
        Document { stages: Some(self.stages_part()), ..self.setout_document() }
    }

    /// The result without anything laid, with the slab's list.
    pub fn slab_document(&self) -> Document {
        Document { slab: Some(self.slab_part()), ..self.setout_document() }
    }

    /// The result without anything laid, with what the tape says of every taped room; wall `hold` of each, from 0, keeps
    /// its line.
    pub fn tape_document(&self, hold: usize) -> Document {
        Document { tape: Some(self.tape_part(hold)), ..self.setout_document() }
    }

    /// The result without boards, with doorways, covers and tucks.
    pub fn edges_document(&self) -> Document {
        Document { edges: Some(self.edges_part()), ..self.setout_document() }
    }

    /// The result without anything laid.
    pub fn setout_document(&self) -> Document {
        Document {
            kind: "startrow-result",
            schema: SCHEMA,
            plan: self.plan.name.clone(),
            seed: self.plan.seed,
            rows_at: self.plan.rows_at,
            pattern: match self.plan.pattern {
                Pattern::Irregular => "irregular",
                Pattern::Half => "half",
                Pattern::Third => "third",
                Pattern::Herringbone { .. } => "herringbone",
                Pattern::Chevron { .. } => "chevron",
            },
            setout: self.setout_part(),
            directions: None,
            slab: None,
            materials: None,
            stages: None,
            tape: None,
            laid: self.laid_part(),
            movement: None,
            edges: None,
            floor: None,
            fitting: None,
        }
    }
}
