//! The promises, one file for those that belong together.

mod amounts;
mod astride;
mod beginnings;
mod chains;
mod chords;
mod clearance;
mod covers;
mod doorways;
mod ends;
mod gaps;
mod halls;
mod joints;
mod lines;
mod order;
mod packs;
mod patterns;
mod rips;
mod rows;
mod seasons;
mod sides;
mod stock;
mod tape;
mod tiling;
mod ways;
mod worth;

use crate::ground::{Ground, Turn};
use crate::jogs::Jogs;
use crate::plan::Plan;
use crate::report::{Promise, Report};
use crate::result::{Board, House, Region};
use geo::{Coord, LineString, Polygon};

/// What every check looks at.
pub(crate) struct Scene<'a> {
    pub(crate) plan: &'a Plan,
    pub(crate) house: &'a House,
    pub(crate) ground: Ground<'a>,
    pub(crate) jogs: Jogs,
    pub(crate) turn: Turn,
    pub(crate) regions: Vec<Polygon>,
    /// Boards' outlines on the plan.
    pub(crate) boards: Vec<Polygon>,
    /// Boards' outlines along and across the rows.
    pub(crate) rows: Vec<Polygon>,
}

impl Scene<'_> {
    /// Whether boards may lie otherwise than drawn: some lie already, or the stock ran out.
    pub(crate) fn is_partly_given(&self) -> bool {
        let short = |kind: &str| self.house.flags.iter().any(|flag| flag.kind == kind);
        self.house.laid.is_some() || short("stock-short")
    }
}

fn line(ring: &[[f64; 2]]) -> LineString {
    ring.iter().map(|[x, y]| Coord { x: *x, y: *y }).collect()
}

fn region(region: &Region) -> Polygon {
    let mut rings =
        region.rings.iter().map(|ring| line(&ring.iter().map(|edge| edge.from).collect::<Vec<_>>()));
    Polygon::new(rings.next().unwrap_or_else(|| LineString::new(Vec::new())), rings.collect())
}

fn board(board: &Board, place: impl Fn([f64; 2]) -> [f64; 2]) -> Polygon {
    let ring = |ring: &Vec<[f64; 2]>| line(&ring.iter().map(|p| place(*p)).collect::<Vec<_>>());
    let outer = board.outline.first().map_or_else(|| LineString::new(Vec::new()), ring);
    Polygon::new(outer, board.outline.iter().skip(1).map(ring).collect())
}

/// Extent of a polygon along x and along y.
pub(crate) fn extent(polygon: &Polygon) -> ([f64; 2], [f64; 2]) {
    let mut across = ([f64::INFINITY, f64::NEG_INFINITY], [f64::INFINITY, f64::NEG_INFINITY]);
    for p in polygon.exterior().coords() {
        across.0 = [across.0[0].min(p.x), across.0[1].max(p.x)];
        across.1 = [across.1[0].min(p.y), across.1[1].max(p.y)];
    }
    across
}

/// Checks everything.
pub(crate) fn all(plan: &Plan, house: &House, report: &mut Report) {
    let turn = Turn::by(house.rows_at);
    let rows = |p: [f64; 2]| {
        let at = turn.rows(p);
        [at.x, at.y]
    };
    let ground = Ground::of(plan);
    let scene = Scene {
        plan,
        house,
        jogs: Jogs::of(&ground),
        ground,
        turn,
        regions: house.regions.iter().map(region).collect(),
        boards: house.boards.iter().map(|b| board(b, |p| p)).collect(),
        rows: house.boards.iter().map(|b| board(b, rows)).collect(),
    };
    let same =
        house.plan == plan.name && house.seed == plan.seed && (house.rows_at - plan.rows_at).abs() < 1e-9;
    report.hold(Promise::SamePlan, same, || {
        let what = format!("it is of `{}`, seed {}, rows at {}", house.plan, house.seed, house.rows_at);
        (plan.name.clone(), what)
    });
    if !points_exist(house, report) {
        return;
    }
    gaps::check(&scene, report);
    clearance::check(&scene, report);
    tiling::check(&scene, report);
    rows::check(&scene, report);
    rips::check(&scene, report);
    joints::check(&scene, report);
    ends::check(&scene, report);
    stock::check(&scene, report);
    order::check(&scene, report);
    packs::check(&scene, report);
    beginnings::check(&scene, report);
    amounts::check(&scene, report);
    seasons::check(&scene, report);
    doorways::check(&scene, report);
    covers::check(&scene, report);
    let edges = lines::check(&scene, report);
    worth::check(&scene, &edges, report);
    halls::check(&scene, &edges, report);
    tape::check(&scene, &edges, report);
    ways::check(&scene, report);
    sides::check(&scene, report);
    patterns::check(&scene, report);
}

/// Whether every index points at something: nothing else can be looked at where one does not.
fn points_exist(house: &House, report: &mut Report) -> bool {
    let (boards, stock) = (house.boards.len(), house.stock.len());
    let boards_point = house.boards.iter().all(|b| b.region < house.regions.len() && b.stock < stock);
    let pieces_point = house.stock.iter().flat_map(|b| &b.pieces).all(|piece| piece.board < boards);
    let joints_point = house.joints.iter().flat_map(|joint| joint.boards).all(|board| board < boards);
    let flags_point = house.flags.iter().flat_map(|flag| &flag.boards).all(|board| *board < boards);
    let order_points = house.fitting.order.iter().flat_map(|step| &step.boards).all(|board| *board < boards);
    let ways_point = house.fitting.other_ways.iter().all(|way| way.board < boards);
    let all = boards_point && pieces_point && joints_point && flags_point && order_points && ways_point;
    report.hold(Promise::SamePlan, all, || ("the result".into(), "an index points at nothing".into()));
    all
}
