//! The layers of a drawing file: which role lies on which.

use drawing::Role;

/// A layer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Layer {
    /// Its name.
    pub name: &'static str,
    /// Its colour as a number of the DXF colour index (1 red, 2 yellow, 3 green, 4 cyan, 5 blue, 6 magenta,
    /// 7 ink, 8 and 9 greys, 10–249 hues by tens).
    pub colour: u8,
}

const fn layer(name: &'static str, colour: u8) -> Layer {
    Layer { name, colour }
}

const ROOMS: Layer = layer("ROOMS", 9);
const WALLS: Layer = layer("WALLS", 7);
const GLAZING: Layer = layer("GLAZING", 4);
const CABINETS: Layer = layer("CABINETS", 8);
const DOORWAYS: Layer = layer("DOORWAYS", 8);
const STOPS: Layer = layer("STOPS", 7);
const FIXTURES: Layer = layer("FIXTURES", 7);
const UNDER: Layer = layer("UNDER-FLOOR", 8);
const BOARDS: Layer = layer("BOARDS", 33);
const JOINTS: Layer = layer("JOINTS", 32);
const GAPS: Layer = layer("GAPS", 6);
const MOVEMENT_JOINTS: Layer = layer("MOVEMENT-JOINTS", 6);
const STAGES: Layer = layer("STAGES", 8);
const START_LINE: Layer = layer("START-LINE", 5);
const PULLS: Layer = layer("PULLS", 7);
const RIPS: Layer = layer("RIPS", 7);
const FLAGS: Layer = layer("FLAGS", 1);
const DIMENSIONS: Layer = layer("DIMENSIONS", 8);
const ROOM_NAMES: Layer = layer("ROOM-NAMES", 7);
const FIXTURE_NAMES: Layer = layer("FIXTURE-NAMES", 8);
const BOARD_LABELS: Layer = layer("BOARD-LABELS", 33);
const DETAILS: Layer = layer("DETAILS", 7);

/// Every layer, from the bottom up.
pub const LAYERS: [Layer; 22] = [
    ROOMS,
    WALLS,
    GLAZING,
    CABINETS,
    DOORWAYS,
    STOPS,
    FIXTURES,
    UNDER,
    BOARDS,
    JOINTS,
    GAPS,
    MOVEMENT_JOINTS,
    STAGES,
    START_LINE,
    PULLS,
    RIPS,
    FLAGS,
    DIMENSIONS,
    ROOM_NAMES,
    FIXTURE_NAMES,
    BOARD_LABELS,
    DETAILS,
];

/// The layer on which a role lies.
pub fn layer_of(role: Role) -> Layer {
    match role {
        Role::BareFloor | Role::OtherFloor => ROOMS,
        Role::WallBody | Role::WallFace => WALLS,
        Role::Glazing => GLAZING,
        Role::Cabinets => CABINETS,
        Role::Opening | Role::OtherOpening | Role::Leaf => DOORWAYS,
        Role::Stop | Role::StopFigure | Role::StepMark => STOPS,
        Role::Fixture | Role::TileArea => FIXTURES,
        Role::UnderFloor => UNDER,
        Role::Board { .. } | Role::BoardOutline | Role::LaidHatch | Role::Grain => BOARDS,
        Role::Joint => JOINTS,
        Role::Boundary => GAPS,
        Role::MovementJoint | Role::JointName => MOVEMENT_JOINTS,
        Role::StageHatch { .. } => STAGES,
        Role::StartLine => START_LINE,
        Role::Pull | Role::CheckPull | Role::CornerLetter | Role::Triangle => PULLS,
        Role::ControlLine | Role::ControlNumber | Role::ControlPull => PULLS,
        Role::RipFigure | Role::ShortRipFigure => RIPS,
        Role::FlaggedBoard | Role::Fault | Role::Look => FLAGS,
        Role::Dimension => DIMENSIONS,
        Role::RoomName | Role::RoomArea | Role::WallNumber => ROOM_NAMES,
        Role::FixtureName => FIXTURE_NAMES,
        Role::BoardLabel => BOARD_LABELS,
        Role::Arrow | Role::ArrowWord | Role::Leader | Role::KeyMark => DETAILS,
        Role::SawnBoard | Role::Waste | Role::Hatch | Role::Tongue | Role::Note => DETAILS,
        Role::Slab | Role::Bed | Role::WearLayer | Role::Sealant | Role::TrimStrip => DETAILS,
    }
}
