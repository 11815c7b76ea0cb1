//! Boards that go under a kick or panel: the room over them, and whether each can be got there.

use lay::{Board, Floor};
use plan::{Bounds, Boxes, FixtureKind, Plan, Point};
use site::{Edge, EdgeKind, Region, Site, Source, Uv};
use std::collections::{BTreeMap, BTreeSet};

/// An open side of a kick and the boards that go under it.
#[derive(Debug, Clone, PartialEq)]
pub struct Tuck {
    /// The fixture.
    pub fixture: usize,
    /// Region.
    pub region: usize,
    /// Whether boards go under with their sides, or with their ends.
    pub with_sides: bool,
    /// Height of the kick above the slab, mm.
    pub clearance: f64,
    /// Height of the boards' face above the slab, mm.
    pub build_up: f64,
    /// How far the boards go under, mm.
    pub depth: f64,
    /// How far it is from the face of this side to the fixture's other side where that is nearest, mm: boards may go
    /// so far under it.
    pub hollow: f64,
    /// Length of the side, mm.
    pub length: f64,
    /// Middle of the side, on the plan.
    pub at: Point,
    /// The boards, in the order in which they are laid.
    pub boards: Vec<Under>,
}

impl Tuck {
    /// What is left between the boards and the kick, mm; less than 0 where they do not go under.
    pub fn room_over(&self) -> f64 {
        self.clearance - self.build_up
    }
}

/// A board that goes under a kick.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Under {
    /// Index of the board.
    pub board: usize,
    /// How it gets there; `None` where it does not.
    pub way: Option<Way>,
    /// Free floor before the kick in the direction of the tuck, mm, the gap at its other side counted in; 0 where it
    /// is not reckoned.
    pub room: f64,
    /// Clearance of the kick that would let it go under tilted, mm; infinite where it is not reckoned.
    pub tilt_needs: f64,
}

/// How a board gets under a kick.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Way {
    /// It lies flat before the kick and is pushed under.
    Pushed,
    /// It goes under tilted and is let down behind what is laid already, its lock shaved.
    Tilted,
    /// It is pushed further under than it stays, and drawn back on to the board laid behind it then.
    DrawnBack,
    /// It lies flat past the end of the kick and slides along under it.
    Along,
    /// It is a block of a pattern or lies in a border: the order of these is not known here, so nothing is said.
    NotReckoned,
}

impl Way {
    /// Every way, the plainest first.
    pub const ALL: [Self; 5] = [Self::Pushed, Self::Tilted, Self::DrawnBack, Self::Along, Self::NotReckoned];

    /// The way in words.
    pub fn word(self) -> &'static str {
        match self {
            Self::Pushed => "pushed under from the open floor",
            Self::Tilted => "tilted in, let down, lock shaved",
            Self::DrawnBack => "pushed further under, drawn back on to the next board",
            Self::Along => "slid along under it from its end",
            Self::NotReckoned => "of a block pattern or a border, way in not reckoned: try one dry",
        }
    }
}

/// An edge this near to a board's bounds is looked at, mm; past what [`lay::Board::lies_along`] reaches.
const NEAR: f64 = 1.0;
/// A look across the floor is as wide as this, mm; narrower, and it may slip between two edges.
const SIGHT: f64 = 0.01;
/// Steps in which the worst tilt is looked for: the clearance needed is found to a hundredth.
const TILTS: u32 = 64;

/// An open side of a kick as the site has it.
struct Side<'a> {
    region: usize,
    /// Its place among the region's.
    place: usize,
    edge: &'a Edge,
    /// Whether the floor goes on past its start and past its end.
    is_open: [bool; 2],
}

/// Boards that something stands over; and those of them that lie under it without reaching an edge of the floor there, each
/// with its region and that edge among the region's.
pub(crate) type BoardsUnder<'a> = (&'a [usize], &'a BTreeSet<(usize, (usize, usize))>);

/// Every open side of every kick, in the site's order.
pub(crate) fn tucks(plan: &Plan, site: &Site, floor: &Floor, (under, short): BoardsUnder<'_>) -> Vec<Tuck> {
    let sides: Vec<Side> =
        site.regions.iter().enumerate().flat_map(|(index, region)| open_sides(index, region)).collect();
    if sides.is_empty() {
        return Vec::new();
    }
    let mut found: Vec<Tuck> = sides.iter().filter_map(|side| tuck(plan, site, side)).collect();
    let boxes = Boxes::new(sides.iter().map(|side| edge_bounds(side.edge)));
    let deepest = found.iter().map(|tuck| tuck.depth).fold(0.0, f64::max);
    let mut grounds: Vec<Option<Ground>> = site.regions.iter().map(|_| None).collect();
    for &index in under {
        let Some(board) = floor.boards.get(index) else { continue };
        let Some(bounds) = Bounds::of(board.outline.outer.iter().map(|p| [p.u, p.v])) else { continue };
        for at in boxes.meeting(bounds.grown(NEAR.max(deepest))) {
            let (Some(side), Some(tuck)) = (sides.get(at), found.get_mut(at)) else { continue };
            let reaches = board.lies_along(side.edge) || short.contains(&(index, (side.region, side.place)));
            if side.region == board.region && reaches {
                let ground =
                    grounds[side.region].get_or_insert_with(|| Ground::new(&site.regions[side.region]));
                tuck.boards.push(board_under(plan, index, board, side, tuck, ground));
            }
        }
    }
    round_corners(&mut found);
    go_in_once(&mut found);
    found
}

/// A board under several sides goes in once: by the way that the hardest of them asks for, or by none.
fn go_in_once(tucks: &mut [Tuck]) {
    let mut hardest: BTreeMap<usize, Option<Way>> = BTreeMap::new();
    for under in tucks.iter().flat_map(|tuck| &tuck.boards) {
        let known = hardest.entry(under.board).or_insert(under.way);
        *known = known.zip(under.way).map(|(a, b)| a.max(b));
    }
    for under in tucks.iter_mut().flat_map(|tuck| &mut tuck.boards) {
        under.way = hardest.get(&under.board).copied().flatten();
    }
}

/// A board notched round a corner of a kick goes in with its side: its end then slides along under the other side.
fn round_corners(tucks: &mut [Tuck]) {
    let mut by_side: BTreeMap<(usize, usize), Way> = BTreeMap::new();
    for tuck in tucks.iter().filter(|tuck| tuck.with_sides) {
        let ways = tuck.boards.iter().filter_map(|under| Some(((tuck.fixture, under.board), under.way?)));
        by_side.extend(ways);
    }
    for tuck in tucks.iter_mut().filter(|tuck| !tuck.with_sides) {
        for under in &mut tuck.boards {
            if let Some(way) = by_side.get(&(tuck.fixture, under.board)) {
                under.way = Some(*way);
            }
        }
    }
}

fn open_sides(index: usize, region: &Region) -> impl Iterator<Item = Side<'_>> {
    let mut first = 0;
    region.rings().flat_map(move |ring| {
        let count = ring.edges.len();
        let before = first;
        first += count;
        ring.edges.iter().enumerate().filter(|(_, edge)| edge.kind == EdgeKind::Kick).map(move |(i, edge)| {
            // The floor lies to the left, so it goes on past a corner that turns right.
            let is_open = [(i + count - 1) % count, (i + 1) % count]
                .map(|other| &ring.edges[other])
                .into_iter()
                .zip([true, false])
                .map(|(other, is_before)| {
                    let (d, e) = if is_before { (way(other), way(edge)) } else { (way(edge), way(other)) };
                    d.u * e.v - d.v * e.u < 0.0
                });
            let mut open = [false; 2];
            open.iter_mut().zip(is_open).for_each(|(to, from)| *to = from);
            Side { region: index, place: before + i, edge, is_open: open }
        })
    })
}

/// The unit vector along an edge; zero for one without length.
fn way(edge: &Edge) -> Uv {
    let length = edge.length();
    if length <= 0.0 {
        return Uv::default();
    }
    Uv::new((edge.b.u - edge.a.u) / length, (edge.b.v - edge.a.v) / length)
}

fn edge_bounds(edge: &Edge) -> Option<Bounds> {
    Bounds::of([edge.a, edge.b].map(|p| [p.u, p.v]))
}

fn tuck(plan: &Plan, site: &Site, side: &Side<'_>) -> Option<Tuck> {
    let Source::Fixture(fixture) = side.edge.source else { return None };
    let FixtureKind::Kick { clearance, .. } = plan.fixtures.get(fixture)?.kind else { return None };
    let middle = Uv::new((side.edge.a.u + side.edge.b.u) / 2.0, (side.edge.a.v + side.edge.b.v) / 2.0);
    Some(Tuck {
        fixture,
        region: side.region,
        with_sides: side.edge.is_along_rows(),
        clearance,
        build_up: plan.stock.build_up(),
        depth: -side.edge.gap,
        hollow: hollow(plan, site, side, fixture),
        length: side.edge.length(),
        at: site.frame.plan_from_row(middle),
        boards: Vec::new(),
    })
}

/// How far a fixture reaches back from the face of one of its sides, mm, where it reaches least: an L is as deep as
/// the leg that the side belongs to.
fn hollow(plan: &Plan, site: &Site, side: &Side<'_>, fixture: usize) -> f64 {
    let (d, length) = (way(side.edge), side.edge.length());
    let outline = plan.fixtures.get(fixture).map_or(&[][..], |fixture| &fixture.outline);
    // Along the side, and back from it.
    let seen = |p: &Point| {
        let p = site.frame.row_from_plan(*p);
        let (u, v) = (p.u - side.edge.a.u, p.v - side.edge.a.v);
        (u * d.u + v * d.v, u * d.v - v * d.u)
    };
    let mut least: Option<f64> = None;
    for (i, p) in outline.iter().enumerate() {
        let (a, b) = (seen(p), seen(&outline[(i + 1) % outline.len()]));
        let run = b.0 - a.0;
        let (from, to) = (a.0.min(b.0).max(0.0), a.0.max(b.0).min(length));
        // What stands square to the side lies beside it.
        if to - from <= SIGHT || run == 0.0 {
            continue;
        }
        let back = |s: f64| a.1 + (b.1 - a.1) * (s - a.0) / run;
        if back(f64::midpoint(from, to)) > SIGHT {
            let nearest = back(from).min(back(to)).max(0.0);
            least = Some(least.map_or(nearest, |least| least.min(nearest)));
        }
    }
    // The side stands a tuck behind the face.
    least.unwrap_or(0.0) - side.edge.gap
}

/// A region's edges by place, for looking across its floor.
struct Ground<'a> {
    edges: Vec<&'a Edge>,
    boxes: Boxes,
    bounds: Option<Bounds>,
}

impl<'a> Ground<'a> {
    fn new(region: &'a Region) -> Self {
        let edges: Vec<&Edge> = region.edges().collect();
        let boxes = Boxes::new(edges.iter().map(|edge| edge_bounds(edge)));
        let bounds = Bounds::of(edges.iter().map(|edge| [edge.a.u, edge.a.v]));
        Self { edges, boxes, bounds }
    }

    /// How far the floor reaches from a point in a direction (a unit vector), mm, and the gap kept where it ends;
    /// nothing where the point is not on it.
    fn look(&self, from: Uv, d: Uv) -> Option<(f64, f64)> {
        let bounds = self.bounds?;
        let far = bounds.high[0] - bounds.low[0] + bounds.high[1] - bounds.low[1];
        let to = [from.u + d.u * far, from.v + d.v * far];
        let asked = Bounds::of([[from.u, from.v], to])?.grown(SIGHT);
        let mut nearest: Option<(f64, f64)> = None;
        self.boxes.each(asked, |index| {
            let edge = self.edges[index];
            let (e, o) = (
                Uv::new(edge.b.u - edge.a.u, edge.b.v - edge.a.v),
                Uv::new(edge.a.u - from.u, edge.a.v - from.v),
            );
            let cross = d.u * e.v - d.v * e.u;
            // Only an edge that is left through: the floor lies to its left.
            if cross <= 0.0 {
                return;
            }
            let along = (o.u * e.v - o.v * e.u) / cross;
            let part = (o.u * d.v - o.v * d.u) / cross;
            if along > 0.0
                && (0.0..=1.0).contains(&part)
                && nearest.is_none_or(|(least, gap)| (along, edge.gap) < (least, gap))
            {
                nearest = Some((along, edge.gap));
            }
        });
        nearest
    }
}

fn board_under(
    plan: &Plan,
    index: usize,
    board: &Board,
    side: &Side<'_>,
    tuck: &Tuck,
    ground: &Ground<'_>,
) -> Under {
    if board.hand.is_some() || board.in_border {
        return Under { board: index, way: Some(Way::NotReckoned), room: 0.0, tilt_needs: f64::INFINITY };
    }
    let with_sides = tuck.with_sides;
    let extent = if with_sides { board.width } else { board.length() };
    let d = way(side.edge);
    let into = Uv::new(-d.v, d.u);
    let middle = board.middle();
    // The board's place along the side, on the side itself.
    let along = (middle.u - side.edge.a.u) * d.u + (middle.v - side.edge.a.v) * d.v;
    let along = along.clamp(0.0, side.edge.length());
    let foot =
        Uv::new(side.edge.a.u + d.u * along + into.u * SIGHT, side.edge.a.v + d.v * along + into.v * SIGHT);
    let room = ground.look(foot, into).map_or(0.0, |(reach, gap)| reach + SIGHT - tuck.depth + gap);
    let thickness = plan.stock.thickness;
    let bed = tuck.build_up - thickness;
    // The rows are laid away from the start line, and each run from its left end in the boards' own frame.
    let comes_first = match with_sides {
        true => side.edge.floor_is_above() != board.turned,
        false => (into.u > 0.0) != board.turned,
    };
    let laid_over = !with_sides && board.starts_run && board.ends_run;
    let tilt_needs = bed
        + match room < extent || laid_over {
            // Nothing laid lies on its other side, but the wall there, or another kick.
            true => needs_before_wall(thickness, extent, room.min(extent)),
            false => needs_behind_row(thickness, extent, tuck.depth),
        };
    // A whole board behind it, so that there is one to draw back on to.
    let behind = if with_sides { plan.stock.pitch() } else { plan.rules.least_end };
    let way = if tuck.room_over() < plan.rules.levels.kick() - EXACT {
        None
    } else if comes_first && room >= extent {
        Some(Way::Pushed)
    } else if tuck.clearance >= tilt_needs {
        Some(Way::Tilted)
    } else if !laid_over && room >= extent + behind && tuck.hollow >= tuck.depth + plan.stock.tongue {
        Some(Way::DrawnBack)
    } else {
        let past = if with_sides { board.length() } else { board.width };
        is_clear_past(board, side, d, into, past, ground).then_some(Way::Along)
    };
    Under { board: index, way, room, tilt_needs }
}

/// Figures are held to limits to this accuracy, mm.
const EXACT: f64 = 1e-6;

/// Whether the floor goes on past an end of the side as far as a board needs to lie there. Across the rows only
/// past the end towards which rows are still to be laid.
fn is_clear_past(board: &Board, side: &Side<'_>, d: Uv, into: Uv, past: f64, ground: &Ground<'_>) -> bool {
    let half = if side.edge.is_along_rows() { board.width } else { board.length() } / 2.0;
    [(side.edge.a, -1.0), (side.edge.b, 1.0)].into_iter().zip(side.is_open).any(|((end, sign), is_open)| {
        let onwards = Uv::new(d.u * sign, d.v * sign);
        let is_to_be_laid = side.edge.is_along_rows() || (onwards.v > 0.0) != board.turned;
        let from = Uv::new(end.u + into.u * half, end.v + into.v * half);
        is_open && is_to_be_laid && ground.look(from, onwards).is_some_and(|(reach, _)| reach >= past)
    })
}

/// The clearance that lets a board go under tilted and be let down behind boards that lie already, mm.
///
/// It turns about its lower edge under the kick. Its other lower edge clears the boards behind it, as thick as
/// itself, at the tilt whose sine is thickness over extent; the kick's face then stands over a point `depth` from
/// the turning point, where the board's face is `depth` · tan + thickness / cos high.
fn needs_behind_row(thickness: f64, extent: f64, depth: f64) -> f64 {
    let sine = (thickness / extent.max(thickness)).min(1.0);
    let cosine = (1.0 - sine * sine).sqrt();
    if cosine <= 0.0 {
        return f64::INFINITY;
    }
    thickness / cosine + depth * sine / cosine
}

/// The same before a wall or another kick, with `room` mm of free floor between the two faces: the board goes
/// under by what it is longer than the room, and lies ever flatter as it does; the worst tilt on the way counts.
fn needs_before_wall(thickness: f64, extent: f64, room: f64) -> f64 {
    let deepest = (extent - room).max(0.0);
    let needs = |step: u32| {
        let depth = deepest * f64::from(step) / f64::from(TILTS);
        let cosine = ((room.max(0.0) + depth) / extent).clamp(0.0, 1.0);
        let sine = (1.0 - cosine * cosine).max(0.0).sqrt();
        if cosine <= 0.0 { f64::INFINITY } else { thickness / cosine + depth * sine / cosine }
    };
    (0..=TILTS).map(needs).fold(thickness, f64::max)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By a drawing's arithmetic: 15 thick, 190 wide, 30 under: sine 15/190 = 0.078947, cosine 0.996879, so
    /// 15.0470 + 30 · 0.079195 = 17.4228.
    #[test]
    fn a_board_let_down_behind_a_row_needs_more_than_its_thickness() {
        assert!((needs_behind_row(15.0, 190.0, 30.0) - 17.4228).abs() < 1e-3);
        // 2 m long: 15.000422 + 30 · 0.0075002 = 15.2254.
        assert!((needs_behind_row(15.0, 2000.0, 30.0) - 15.2254).abs() < 1e-3);
    }

    /// Room for all of it: it lies flat. Room for none: no tilt helps.
    #[test]
    fn before_a_wall_the_room_counts() {
        assert_eq!(needs_before_wall(15.0, 190.0, 190.0), 15.0);
        assert!(needs_before_wall(15.0, 190.0, 0.0).is_infinite());
        // 170 of 190: at 8 mm under, cosine 178/190, sine 0.34976: 16.011 + 8 · 0.37334 = 18.998.
        let needs = needs_before_wall(15.0, 190.0, 170.0);
        assert!(needs > 18.99 && needs < 19.5, "{needs}");
    }
}
