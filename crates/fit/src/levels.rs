//! Levels either side of a doorway: the step, its finish, the leaf over it, the arris at it.

use plan::{Arris, Beyond, Doorway, LevelRules, Places, Plan, Room, Side, Surface, SurfaceKind};

/// The floor on one side of a doorway.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SideFloor {
    /// The room; `None` outside.
    pub room: Option<usize>,
    /// Level of its slab against the plan's datum, mm; outside that of the near room.
    pub slab: f64,
    /// What lies there; `None` where the plan does not say.
    pub covering: Option<Covered>,
    /// Level of its finished top against the plan's datum, mm; `None` where the plan does not say.
    pub level: Option<f64>,
}

/// What lies on one side of a doorway.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Covered {
    /// The boards.
    Boards,
    /// Another floor.
    Other(SurfaceKind),
}

impl Covered {
    /// The trade's word.
    pub fn word(self) -> &'static str {
        match self {
            Self::Boards => "boards",
            Self::Other(kind) => kind.word(),
        }
    }
}

/// How a step is finished.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Finish {
    /// Boards run through on one level.
    RunsThrough,
    /// Boards are to run through over slabs of two levels: the lower one is filled or the higher one ground.
    LevelSlab,
    /// Flush; the joint is filled with sealant.
    Sealant,
    /// A small step: the joint is filled with sealant, the higher edge eased.
    SealantEased,
    /// Boards end under the leaf against carpet, their arris eased.
    EasedEdge,
    /// The trim that is drawn bridges the step.
    Trim,
    /// A reducer that runs at least so far, mm.
    Reducer {
        /// Run, mm.
        run: f64,
    },
    /// A ramp that runs at least so far, mm.
    Ramp {
        /// Run, mm.
        run: f64,
    },
}

impl Finish {
    /// The trade's words, without figures.
    pub fn word(self) -> &'static str {
        match self {
            Self::RunsThrough => "boards run through",
            Self::LevelSlab => "level the slab first",
            Self::Sealant => "flush, sealant joint",
            Self::SealantEased => "sealant joint, higher edge eased",
            Self::EasedEdge => "eased edge",
            Self::Trim => "trim",
            Self::Reducer { .. } => "reducer",
            Self::Ramp { .. } => "ramp",
        }
    }

    /// How far it runs at least, mm; 0 for what needs no run.
    pub fn run(self) -> f64 {
        match self {
            Self::Reducer { run } | Self::Ramp { run } => run,
            _ => 0.0,
        }
    }
}

/// A step between two floors and what is done about it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Step {
    /// How much higher the near floor stands, mm; less than 0 where the far one does.
    pub rise: f64,
    /// The finish proposed.
    pub finish: Finish,
    /// The limit that the step keeps or breaks, mm.
    pub limit: f64,
    /// Where that limit is from.
    pub source: &'static str,
    /// Whether what is drawn cannot take the step.
    pub is_too_high: bool,
}

/// The room under a closed leaf once the floor lies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LeafRoom {
    /// From the highest floor under it to its lower edge, mm; less than 0 where it cannot close.
    pub clearance: f64,
    /// The least there must be, mm.
    pub least: f64,
}

impl LeafRoom {
    /// How much to take off the leaf's lower edge, mm.
    pub fn take_off(&self) -> f64 {
        (self.least - self.clearance).max(0.0)
    }
}

/// The arris of the boards' ends in a doorway.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ArrisCut {
    /// How it is finished.
    pub arris: Arris,
    /// Thickness of the wear layer, mm; `None` where the plan does not say.
    pub wear_layer: Option<f64>,
}

impl ArrisCut {
    /// Whether it cuts through the wear layer.
    pub fn is_through(&self) -> bool {
        self.wear_layer.is_some_and(|layer| self.arris.depth() > layer + EXACT)
    }
}

/// Figures are held to limits to this accuracy, mm.
const EXACT: f64 = 1e-6;

/// Where the figures of [`LevelRules`] are from, as long as the plan gives none of its own.
const FLUSH_FROM: &str = "common practice, no source";
const UPRIGHT_FROM: &str = "2010 ADA Standards, 303.2";
const BEVELLED_FROM: &str = "2010 ADA Standards, 303.3";
const RAMP_FROM: &str = "2010 ADA Standards, 303.4 and 405.2";
const OWN: &str = "the plan's own rule";

/// The floors on both sides of a doorway, near and far.
pub(crate) fn sides(plan: &Plan, places: &Places<'_>, doorway: &Doorway) -> Option<[SideFloor; 2]> {
    let near = places.room_index(&doorway.room)?;
    let near_floor = room_floor(plan, near, &plan.rooms[near]);
    let far_floor = match places.far_room(doorway) {
        Some(far) => room_floor(plan, far, &plan.rooms[far]),
        None => other_floor(None, near_floor.slab, doorway.outside),
    };
    Some([near_floor, far_floor])
}

fn room_floor(plan: &Plan, index: usize, room: &Room) -> SideFloor {
    if !room.is_boarded() {
        return other_floor(Some(index), room.slab_level, room.surface);
    }
    let level = room.slab_level + plan.stock.build_up();
    SideFloor {
        room: Some(index),
        slab: room.slab_level,
        covering: Some(Covered::Boards),
        level: Some(level),
    }
}

fn other_floor(room: Option<usize>, slab: f64, surface: Option<Surface>) -> SideFloor {
    SideFloor {
        room,
        slab,
        covering: surface.map(|surface| Covered::Other(surface.kind)),
        level: surface.map(|surface| slab + surface.height),
    }
}

/// The step in a doorway; `None` where a level is not known.
pub(crate) fn step(plan: &Plan, doorway: &Doorway, [near, far]: &[SideFloor; 2]) -> Option<Step> {
    let rise = near.level? - far.level?;
    let rules = &plan.rules.levels;
    let high = rise.abs();
    let flush = (rules.flush(), source(rules.flush, FLUSH_FROM));
    let upright = (rules.upright(), source(rules.upright, UPRIGHT_FROM));
    let bevelled = (rules.bevelled(), source(rules.bevelled, BEVELLED_FROM));
    let is_up_to = |limit: (f64, &str)| high <= limit.0 + EXACT;
    let made = |finish, (limit, source): (f64, &'static str), is_too_high| {
        Some(Step { rise, finish, limit, source, is_too_high })
    };
    if doorway.beyond == Beyond::RunThrough {
        return match is_up_to(flush) {
            true => made(Finish::RunsThrough, flush, false),
            false => made(Finish::LevelSlab, flush, true),
        };
    }
    let bevel_run = LevelRules::BEVEL_RUN * high;
    if let Beyond::Trim(width) = doorway.beyond
        && (is_up_to(upright) || (is_up_to(bevelled) && width + EXACT >= bevel_run))
    {
        let limit = if is_up_to(upright) { upright } else { bevelled };
        return made(Finish::Trim, limit, false);
    }
    let is_carpet = far.covering == Some(Covered::Other(SurfaceKind::Carpet));
    if is_carpet && is_up_to(upright) {
        return made(Finish::EasedEdge, upright, false);
    }
    if is_up_to(flush) {
        return made(Finish::Sealant, flush, false);
    }
    if is_up_to(upright) {
        return made(Finish::SealantEased, upright, false);
    }
    if is_up_to(bevelled) {
        return made(Finish::Reducer { run: bevel_run }, upright, true);
    }
    let ramp = (bevelled.0, source(rules.bevelled, RAMP_FROM));
    made(Finish::Ramp { run: LevelRules::RAMP_RUN * high }, ramp, true)
}

fn source(own: Option<f64>, usual: &'static str) -> &'static str {
    if own.is_some() { OWN } else { usual }
}

/// The room under the closed leaf; `None` where there is none, or its height is not known. It passes over both
/// floors: over one as it closes, over the other as it swings.
pub(crate) fn leaf_room(plan: &Plan, doorway: &Doorway, [near, far]: &[SideFloor; 2]) -> Option<LeafRoom> {
    let leaf = doorway.leaf?;
    let opens_into = match leaf.closes_on {
        Side::Near => near,
        Side::Far => far,
    };
    let edge = opens_into.slab + leaf.above_slab?;
    let highest = [near.level, far.level].into_iter().flatten().reduce(f64::max)?;
    Some(LeafRoom { clearance: edge - highest, least: plan.rules.levels.leaf() })
}

/// The arris of the boards' ends in a doorway where boards end.
pub(crate) fn arris(plan: &Plan, doorway: &Doorway) -> Option<ArrisCut> {
    let arris = doorway.arris.filter(|_| doorway.beyond != Beyond::RunThrough)?;
    Some(ArrisCut { arris, wear_layer: plan.stock.wear_layer })
}

/// An appliance that has to come out over the floor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ApplianceRoom {
    /// The fixture.
    pub fixture: usize,
    /// What is left over it when it is lifted on to the boards, mm; less than 0 where it is trapped.
    pub clearance: f64,
    /// The least there must be, mm.
    pub least: f64,
}

/// What every appliance has over it once the floor lies.
pub(crate) fn appliances(plan: &Plan) -> Vec<ApplianceRoom> {
    let over = |(fixture, thing): (usize, &plan::Fixture)| {
        let appliance = thing.appliance?;
        let clearance = appliance.opening - appliance.height - plan.stock.build_up();
        Some(ApplianceRoom { fixture, clearance, least: plan.rules.levels.appliance() })
    };
    plan.fixtures.iter().enumerate().filter_map(over).collect()
}
