//! Doorways, covers, tucks and appliances in the result.

use super::{Xy, xy};
use crate::House;
use ::fit::{Cover, DoorwayFit, SideFloor, Stop, Tuck, TuckWay as Way};
use plan::{Arris, Beyond, Side};
use serde::Serialize;

/// What the floor does at its edges.
#[derive(Debug, Serialize)]
pub struct EdgesPart {
    /// Doorways, in the plan's order.
    pub doorways: Vec<DoorwayPart>,
    /// Gaps and what covers them.
    pub covers: Vec<CoverPart>,
    /// Open sides of kicks.
    pub tucks: Vec<TuckPart>,
    /// Appliances that have to come out over the floor.
    pub appliances: Vec<AppliancePart>,
}

/// A doorway.
#[derive(Debug, Serialize)]
pub struct DoorwayPart {
    /// Its name.
    pub name: String,
    /// `run-through`, `under-leaf` or `trim`.
    pub boards: &'static str,
    /// Where boards stop.
    pub stops: Vec<StopPart>,
    /// The floors on the near and the far side.
    pub sides: [SidePart; 2],
    /// The step between them.
    pub step: Option<StepPart>,
    /// The room under the leaf.
    pub leaf: Option<LeafPart>,
    /// The arris of the boards' ends.
    pub arris: Option<ArrisPart>,
}

/// A line at which boards stop.
#[derive(Debug, Serialize)]
pub struct StopPart {
    /// The side the boards come from: `near` or `far`.
    pub boards: &'static str,
    /// One end.
    pub from: Xy,
    /// The other.
    pub to: Xy,
    /// Pulls from the near wall face at either jamb, mm.
    pub from_near: [f64; 2],
    /// Pulls from the far wall face, mm.
    pub from_far: [f64; 2],
    /// What it keeps off the jambs, mm.
    pub off_jambs: [f64; 2],
}

/// A floor on one side.
#[derive(Debug, Serialize)]
pub struct SidePart {
    /// The room; null outside.
    pub room: Option<String>,
    /// Level of its slab, mm.
    pub slab: f64,
    /// What lies there.
    pub covering: Option<&'static str>,
    /// Level of its finished top, mm.
    pub level: Option<f64>,
}

/// A step.
#[derive(Debug, Serialize)]
pub struct StepPart {
    /// How much higher the near floor stands, mm.
    pub rise: f64,
    /// The finish proposed, in words.
    pub finish: &'static str,
    /// How far that runs at least, mm.
    pub run: f64,
    /// The limit it keeps or breaks, mm.
    pub limit: f64,
    /// Where the limit is from.
    pub source: &'static str,
    /// Whether what is drawn cannot take it.
    pub too_high: bool,
}

/// The room under a leaf.
#[derive(Debug, Serialize)]
pub struct LeafPart {
    /// mm.
    pub clearance: f64,
    /// mm.
    pub least: f64,
    /// mm.
    pub take_off: f64,
}

/// An arris.
#[derive(Debug, Serialize)]
pub struct ArrisPart {
    /// `square`, `eased` or `chamfered`.
    pub arris: &'static str,
    /// mm.
    pub depth: f64,
    /// mm.
    pub wear_layer: Option<f64>,
    /// Whether it goes through the wear layer.
    pub through: bool,
}

/// A gap and what covers it.
#[derive(Debug, Serialize)]
pub struct CoverPart {
    /// What the edge belongs to.
    pub place: String,
    /// What the boards meet there.
    pub edge: &'static str,
    /// What covers it.
    pub by: &'static str,
    /// How far that reaches, mm.
    pub reach: Option<f64>,
    /// Least and greatest gap, mm.
    pub gap: [f64; 2],
    /// The widest it becomes, mm.
    pub widest: f64,
    /// By how much it opens when the floor is driest, mm; null where wood or air are not given.
    pub shrinkage: Option<f64>,
    /// By how much a cut may be off, mm.
    pub tolerance: f64,
    /// What is left of the cover, mm.
    pub left: Option<f64>,
    /// Length of edge, mm.
    pub length: f64,
    /// Middle of its longest edge.
    pub at: Xy,
}

/// An open side of a kick.
#[derive(Debug, Serialize)]
pub struct TuckPart {
    /// The fixture.
    pub place: String,
    /// `sides` or `ends`.
    pub with: &'static str,
    /// Height of the kick above the slab, mm.
    pub clearance: f64,
    /// Height of the boards' face above the slab, mm.
    pub build_up: f64,
    /// How far boards go under, mm.
    pub depth: f64,
    /// How far they may go under, mm.
    pub hollow: f64,
    /// Length, mm.
    pub length: f64,
    /// Its middle.
    pub at: Xy,
    /// Boards that go under.
    pub boards: Vec<UnderPart>,
}

/// A board that goes under a kick.
#[derive(Debug, Serialize)]
pub struct UnderPart {
    /// Board.
    pub board: usize,
    /// `pushed`, `tilted`, `drawn-back`, `along`, `not-reckoned`, or null.
    pub way: Option<&'static str>,
    /// Free floor before the kick, mm.
    pub room: f64,
    /// Clearance that lets it go under tilted, mm; null where none does.
    pub tilt_needs: Option<f64>,
}

/// An appliance.
#[derive(Debug, Serialize)]
pub struct AppliancePart {
    /// The fixture.
    pub place: String,
    /// What is left over it, mm.
    pub clearance: f64,
    /// mm.
    pub least: f64,
}

impl House {
    pub(super) fn edges_part(&self) -> EdgesPart {
        let fixture =
            |index: usize| self.plan.fixtures.get(index).map_or_else(String::new, |f| f.name.clone());
        EdgesPart {
            doorways: self.fit.doorways.iter().map(|found| self.doorway_part(found)).collect(),
            covers: self.fit.covers.iter().map(|cover| self.cover_part(cover)).collect(),
            tucks: self.fit.tucks.iter().map(|tuck| tuck_part(tuck, fixture(tuck.fixture))).collect(),
            appliances: self
                .fit
                .appliances
                .iter()
                .map(|found| AppliancePart {
                    place: fixture(found.fixture),
                    clearance: found.clearance,
                    least: found.least,
                })
                .collect(),
        }
    }

    fn doorway_part(&self, found: &DoorwayFit) -> DoorwayPart {
        let door = self.plan.doorways.get(found.doorway);
        let side = |side: &SideFloor| SidePart {
            room: side.room.and_then(|room| self.plan.rooms.get(room)).map(|room| room.name.clone()),
            slab: side.slab,
            covering: side.covering.map(::fit::Covered::word),
            level: side.level,
        };
        DoorwayPart {
            name: door.map_or_else(String::new, |door| door.name.clone()),
            boards: match door.map(|door| door.beyond) {
                Some(Beyond::UnderLeaf) => "under-leaf",
                Some(Beyond::Trim(_)) => "trim",
                Some(Beyond::RunThrough) | None => "run-through",
            },
            stops: found.stops.iter().map(stop_part).collect(),
            sides: [side(&found.sides[0]), side(&found.sides[1])],
            step: found.step.map(|step| StepPart {
                rise: step.rise,
                finish: step.finish.word(),
                run: step.finish.run(),
                limit: step.limit,
                source: step.source,
                too_high: step.is_too_high,
            }),
            leaf: found.leaf.map(|leaf| LeafPart {
                clearance: leaf.clearance,
                least: leaf.least,
                take_off: leaf.take_off(),
            }),
            arris: found.arris.map(|cut| ArrisPart {
                arris: match cut.arris {
                    Arris::Square => "square",
                    Arris::Eased(_) => "eased",
                    Arris::Chamfered(_) => "chamfered",
                },
                depth: cut.arris.depth(),
                wear_layer: cut.wear_layer,
                through: cut.is_through(),
            }),
        }
    }

    fn cover_part(&self, cover: &Cover) -> CoverPart {
        CoverPart {
            place: cover.source.name(&self.plan),
            edge: cover.kind.word(),
            by: cover.by.word(),
            reach: cover.reach,
            gap: [cover.least_gap, cover.greatest_gap],
            widest: cover.widest,
            shrinkage: cover.shrinkage,
            tolerance: cover.tolerance,
            left: cover.left(),
            length: cover.length,
            at: xy(cover.at),
        }
    }
}

fn stop_part(stop: &Stop) -> StopPart {
    StopPart {
        boards: match stop.boards {
            Side::Near => "near",
            Side::Far => "far",
        },
        from: xy(stop.from),
        to: xy(stop.to),
        from_near: stop.from_near,
        from_far: stop.from_far,
        off_jambs: stop.off_jambs,
    }
}

fn tuck_part(tuck: &Tuck, place: String) -> TuckPart {
    TuckPart {
        place,
        with: if tuck.with_sides { "sides" } else { "ends" },
        clearance: tuck.clearance,
        build_up: tuck.build_up,
        depth: tuck.depth,
        hollow: tuck.hollow,
        length: tuck.length,
        at: xy(tuck.at),
        boards: tuck
            .boards
            .iter()
            .map(|under| UnderPart {
                board: under.board,
                way: under.way.map(|way| match way {
                    Way::Pushed => "pushed",
                    Way::Tilted => "tilted",
                    Way::DrawnBack => "drawn-back",
                    Way::Along => "along",
                    Way::NotReckoned => "not-reckoned",
                }),
                room: under.room,
                tilt_needs: Some(under.tilt_needs).filter(|needs| needs.is_finite()),
            })
            .collect(),
    }
}
