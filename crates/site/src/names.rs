//! Words for kinds and sources of edges.

use crate::{EdgeKind, Source};
use plan::Plan;

impl EdgeKind {
    /// The trade's word for what the boards meet.
    pub fn word(self) -> &'static str {
        match self {
            Self::Wall => "wall",
            Self::Glazing => "glazing track",
            Self::Cabinets => "cabinets",
            Self::Jamb => "jamb",
            Self::UnderLeaf => "end under the leaf",
            Self::Trim => "trim",
            Self::TileTrim => "tile trim",
            Self::Island => "island",
            Self::Kick => "kick",
            Self::Column => "column",
            Self::Hearth => "hearth",
            Self::Vent => "vent",
            Self::Nosing => "nosing",
            Self::MovementJoint => "movement joint",
        }
    }
}

impl Source {
    /// The thing's name as a person reads it: `Hall, wall 3`, `Study door`, `Bench`.
    pub fn name(self, plan: &Plan) -> String {
        match self {
            Self::Wall { room, wall } => plan
                .rooms
                .get(room)
                .map_or_else(String::new, |room| format!("{}, wall {}", room.name, wall + 1)),
            Self::Doorway(index) => plan.doorways.get(index).map_or_else(String::new, |d| d.name.clone()),
            Self::Fixture(index) => plan.fixtures.get(index).map_or_else(String::new, |f| f.name.clone()),
            Self::Joint(index) => {
                plan.joints.get(index).map_or_else(String::new, |joint| joint.called(index))
            }
        }
    }
}
