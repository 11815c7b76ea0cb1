//! The gap of each kind of edge, and of an edge by what the plan says of it.

use crate::{Edge, EdgeKind, Source};
use plan::{FixtureKind, GapRange, KindGaps, Plan, Rules};

/// The gaps of edges that name none of their own.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Gaps {
    pub(crate) wall: GapRange,
    tile_end: GapRange,
    kinds: KindGaps,
}

impl Gaps {
    pub(crate) fn new(rules: &Rules) -> Self {
        let tile_end = GapRange { least: rules.tile_end_gap, greatest: rules.tile_end_gap };
        Self { wall: rules.wall_gap, tile_end, kinds: rules.gaps }
    }

    /// The gap of a kind of edge that boards meet with their sides or not.
    pub(crate) fn of(&self, kind: EdgeKind, along_rows: bool) -> GapRange {
        let kinds = &self.kinds;
        let own = match kind {
            EdgeKind::Trim | EdgeKind::TileTrim if !along_rows => Some(self.tile_end),
            EdgeKind::Trim | EdgeKind::TileTrim => kinds.tile_sides,
            EdgeKind::Glazing => kinds.glazing,
            EdgeKind::Cabinets => kinds.cabinets,
            EdgeKind::Jamb => kinds.jambs,
            EdgeKind::Island => kinds.islands,
            EdgeKind::Column => kinds.columns,
            EdgeKind::Hearth => kinds.hearths,
            EdgeKind::Vent => kinds.vents,
            // A kick has its tuck, a nosing its width, a joint half its own; and under a leaf there is none.
            EdgeKind::Wall
            | EdgeKind::Kick
            | EdgeKind::UnderLeaf
            | EdgeKind::Nosing
            | EdgeKind::MovementJoint => None,
        };
        own.unwrap_or(self.wall)
    }
}

/// The gap an edge is given by the plan, before the set-out uses any of its play; that of a kick is less than
/// nothing.
pub fn gap_range(plan: &Plan, edge: &Edge) -> GapRange {
    let one = |gap: f64| GapRange { least: gap, greatest: gap };
    let fixture = |index: usize| plan.fixtures.get(index);
    let own = match (edge.kind, edge.source) {
        (EdgeKind::UnderLeaf, _) => Some(one(0.0)),
        (_, Source::Wall { room, wall }) => plan.rooms.get(room).and_then(|r| r.walls.get(wall)?.gap),
        (EdgeKind::Jamb, Source::Doorway(index)) => {
            plan.doorways.get(index).and_then(|door| door.under_lining).map(|under| one(-under))
        }
        (_, Source::Doorway(_)) => None,
        (_, Source::Joint(index)) => plan.joints.get(index).map(|joint| one(joint.width / 2.0)),
        (_, Source::Fixture(index)) => fixture(index).and_then(|fixture| match fixture.kind {
            FixtureKind::Kick { tuck, .. } => Some(one(-tuck)),
            FixtureKind::Stair { nosing } => Some(one(nosing)),
            _ => fixture.gap,
        }),
    };
    own.unwrap_or_else(|| Gaps::new(&plan.rules).of(edge.kind, edge.is_along_rows()))
}
