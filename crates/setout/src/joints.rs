//! Movement joints along the rows: those that can lie on a row line do, and the rows past them are moved on by
//! the joint's width.
//!
//! Such a joint leaves whole boards on both sides. It is put on the row line nearest to where it is drawn once the
//! line is known; what else follows from the line is read as if the rows past it had not moved. A joint that cannot
//! move so far, such as one inside a doorway, or that rows go round, stays where it is drawn: boards are ripped
//! along it, and the rows go on beyond it in line.

use crate::EdgeRef;
use crate::play::runs_on;
use site::{Ease, Edge, EdgeKind, Site, Source, Span};
use std::collections::{BTreeMap, VecDeque};

/// What the edges beside a joint keep of their length when it moves, mm: past what a gap's play takes of it.
const KEPT: f64 = 25.0;
/// Ends of one joint further out of line than this do not lie along the rows, mm.
const LEVEL: f64 = 0.1;
/// Edges beside a joint whose lines are this far apart do not go on from one another across it, mm.
const ONE_LINE: f64 = 0.1;
/// Directions whose sine is less than this are one.
const STRAIGHT: f64 = 1e-3;
/// Places that differ by less are one, mm.
const SAME: f64 = 1e-6;

/// A stretch of a joint with floor on both sides: the edge with its floor below it, and the one above.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Piece {
    below: EdgeRef,
    above: EdgeRef,
}

/// What movement joints do to the row lines.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Joints {
    /// How far each region's row lines lie beside the shared ones, mm.
    pub(crate) shifts: Vec<f64>,
    /// For each region the largest of those that joints part it from: it leads them.
    leaders: Vec<usize>,
    /// Leaders with the regions they lead, in order.
    led: Vec<(usize, usize)>,
    /// The joints that lie on row lines, by their place in the plan, with their widths and stretches.
    on_lines: BTreeMap<usize, (f64, Vec<Piece>)>,
}

/// Ways from region to region: how far the rows move on.
type Links = Vec<(usize, usize, f64)>;

impl Joints {
    /// Reads the joints of a field. None lies on a row line where `may_move` is not set.
    pub(crate) fn new(site: &Site, spans: &[Vec<Span>], pitch: f64, may_move: bool) -> Self {
        let count = site.regions.len();
        let mut sides: BTreeMap<usize, Vec<(EdgeRef, &Edge)>> = BTreeMap::new();
        let mut doors: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
        for (region, r) in site.regions.iter().enumerate() {
            for (ring, edges) in r.rings().enumerate() {
                for (edge, e) in edges.edges.iter().enumerate() {
                    match (e.kind, e.source) {
                        (EdgeKind::MovementJoint, Source::Joint(joint)) => {
                            sides.entry(joint).or_default().push((EdgeRef { region, ring, edge }, e));
                        }
                        (EdgeKind::Trim | EdgeKind::UnderLeaf, Source::Doorway(door)) => {
                            doors.entry(door).or_default().push(region);
                        }
                        _ => {}
                    }
                }
            }
        }
        let mut joints = Self {
            shifts: vec![0.0; count],
            leaders: (0..count).collect(),
            led: (0..count).map(|region| (region, region)).collect(),
            ..Self::default()
        };
        if sides.is_empty() {
            return joints;
        }
        let mut links: Links = Vec::new();
        let mut parted: Links = Vec::new();
        for (joint, sides) in &sides {
            let found = pieces(sides);
            parted.extend(found.iter().map(|p| (p.below.region, p.above.region, 0.0)));
            if let Some(width) = sides.first().map(|(_, edge)| 2.0 * edge.gap)
                && may_move
                && can_move(site, spans, sides, &found, pitch)
            {
                joints.on_lines.insert(*joint, (width, found));
            } else {
                links.extend(found.iter().map(|p| (p.below.region, p.above.region, 0.0)));
            }
        }
        for regions in doors.values() {
            links.extend(regions.windows(2).map(|pair| (pair[0], pair[1], 0.0)));
        }
        joints.leaders = leaders(site, &parted);
        joints.led = joints.leaders.iter().copied().zip(0..count).collect();
        joints.led.sort_unstable();
        loop {
            let mut ways = links.clone();
            for (width, pieces) in joints.on_lines.values() {
                ways.extend(pieces.iter().map(|p| (p.below.region, p.above.region, *width)));
            }
            joints.shifts = shifts(site, &ways);
            let Some(joint) = joints.out_of_step() else { return joints };
            // Rows that reach its other side some other way hold it where it is drawn.
            if let Some((_, pieces)) = joints.on_lines.remove(&joint) {
                links.extend(pieces.iter().map(|p| (p.below.region, p.above.region, 0.0)));
            }
        }
    }

    /// A joint whose two sides cannot both lie on row lines all along it.
    fn out_of_step(&self) -> Option<usize> {
        let shift = |at: EdgeRef| self.shifts[at.region];
        let is_out = |width: f64, pieces: &[Piece]| {
            let first = pieces.first().map_or(0.0, |piece| shift(piece.below));
            pieces.iter().any(|p| {
                (shift(p.above) - shift(p.below) - width).abs() > SAME
                    || (shift(p.below) - first).abs() > SAME
            })
        };
        self.on_lines.iter().find(|(_, (width, pieces))| is_out(*width, pieces)).map(|(joint, _)| *joint)
    }

    /// The region that leads one, itself where no joint parts it from a larger.
    pub(crate) fn leader(&self, region: usize) -> usize {
        self.leaders.get(region).copied().unwrap_or(region)
    }

    /// A leader and the regions it leads, in the site's order; none for a region that is led.
    pub(crate) fn led_by(&self, leader: usize) -> impl Iterator<Item = usize> + '_ {
        let first = self.led.partition_point(|(by, _)| *by < leader);
        self.led[first..].iter().take_while(move |(by, _)| *by == leader).map(|(_, region)| *region)
    }

    /// Whether the boards along an edge are whole because its joint lies on a row line.
    pub(crate) fn lies_on_line(&self, edge: &Edge) -> bool {
        matches!(edge.source, Source::Joint(joint) if self.on_lines.contains_key(&joint))
    }

    /// How the joints' edges move to lie on row lines, given a row line of each region.
    pub(crate) fn moves(&self, site: &Site, pitch: f64, line_of: impl Fn(usize) -> f64) -> Vec<Ease> {
        let mut moves = Vec::new();
        for (width, pieces) in self.on_lines.values() {
            let Some(first) = pieces.first().and_then(|piece| edge_at(site, piece.below)) else { continue };
            let drawn = f64::midpoint(first.a.v, first.b.v);
            for piece in pieces {
                let line = line_of(piece.below.region);
                let target = line + ((drawn - line) / pitch).round() * pitch;
                for (at, to) in [(piece.below, target), (piece.above, target + width)] {
                    let Some(edge) = edge_at(site, at) else { continue };
                    let inwards = if edge.floor_is_above() { 1.0 } else { -1.0 };
                    let EdgeRef { region, ring, edge: index } = at;
                    let by = |v: f64| inwards * (to - v);
                    moves.push(Ease { region, ring, edge: index, start: by(edge.a.v), end: by(edge.b.v) });
                }
            }
        }
        moves
    }
}

/// The edge at a place.
fn edge_at(site: &Site, at: EdgeRef) -> Option<&Edge> {
    site.regions.get(at.region)?.rings().nth(at.ring)?.edges.get(at.edge)
}

/// The stretches of one joint, given its sides: two that run against each other over a common stretch.
fn pieces(sides: &[(EdgeRef, &Edge)]) -> Vec<Piece> {
    let range = |e: &Edge, along: bool| {
        let (a, b) = if along { (e.a.u, e.b.u) } else { (e.a.v, e.b.v) };
        (a.min(b), a.max(b))
    };
    let mut found = Vec::new();
    for (below, one) in sides {
        for (above, other) in sides {
            let (du, dv) = (one.b.u - one.a.u, one.b.v - one.a.v);
            let (eu, ev) = (other.b.u - other.a.u, other.b.v - other.a.v);
            let along = one.is_along_rows();
            // Going along a side with its floor below, u falls; the other side runs against it.
            let is_pair = if along { du < 0.0 } else { dv > 0.0 } && du * eu + dv * ev < 0.0;
            let (a, b) = (range(one, along), range(other, along));
            let apart = if along {
                (f64::midpoint(one.a.v, one.b.v) - f64::midpoint(other.a.v, other.b.v)).abs()
            } else {
                (f64::midpoint(one.a.u, one.b.u) - f64::midpoint(other.a.u, other.b.u)).abs()
            };
            let common = a.1.min(b.1) - a.0.max(b.0);
            // One end of a joint's opening faces the other over the whole of it.
            let is_across = common > 4.0 * one.gap || apart <= 4.0 * one.gap;
            if is_pair && common > 0.0 && is_across && along == other.is_along_rows() {
                found.push(Piece { below: *below, above: *above });
            }
        }
    }
    found
}

/// Whether a joint can be put on a row line up to half a pitch off: it runs along the rows with floor on both sides
/// all along, ends at edges that go straight on across it, and has whole rows on both sides.
fn can_move(
    site: &Site,
    spans: &[Vec<Span>],
    sides: &[(EdgeRef, &Edge)],
    pieces: &[Piece],
    pitch: f64,
) -> bool {
    let is_level = |edge: &Edge| edge.is_along_rows() && (edge.b.v - edge.a.v).abs() <= LEVEL;
    let is_whole = pieces.len() * 2 == sides.len() && !pieces.is_empty();
    let room = |at: &EdgeRef| {
        let place = (at.ring, at.edge);
        let near = |span: &Span| (span.below == place || span.above == place) && span.least() < 1.5 * pitch;
        spans.get(at.region).is_some_and(|spans| !spans.iter().any(near))
    };
    let ends = |piece: &Piece| {
        let (Some([right, left]), Some([from, to])) =
            (neighbours(site, piece.below), neighbours(site, piece.above))
        else {
            return false;
        };
        goes_on(right, to, pitch) && goes_on(from, left, pitch)
    };
    is_whole && sides.iter().all(|(at, edge)| is_level(edge) && room(at)) && pieces.iter().all(ends)
}

/// The edges before and after one in its ring.
fn neighbours(site: &Site, at: EdgeRef) -> Option<[&Edge; 2]> {
    let ring = site.regions.get(at.region)?.rings().nth(at.ring)?;
    let count = ring.edges.len();
    let before = ring.edges.get((at.edge + count - 1) % count)?;
    Some([before, ring.edges.get((at.edge + 1) % count)?])
}

/// Whether an edge that comes to a joint goes straight on past it, each long enough to give half a pitch.
fn goes_on(before: &Edge, after: &Edge, pitch: f64) -> bool {
    let is_long = |e: &Edge| !runs_on(e) && (e.b.v - e.a.v).abs() > pitch / 2.0 + KEPT;
    let way = |e: &Edge| {
        let length = e.length().max(f64::MIN_POSITIVE);
        ((e.b.u - e.a.u) / length, (e.b.v - e.a.v) / length)
    };
    let ((du, dv), (eu, ev)) = (way(before), way(after));
    let off = (after.a.u - before.b.u) * dv - (after.a.v - before.b.v) * du;
    is_long(before)
        && is_long(after)
        && (before.kind, before.source, before.gap) == (after.kind, after.source, after.gap)
        && (du * ev - dv * eu).abs() <= STRAIGHT
        && du * eu + dv * ev > 0.0
        && off.abs() <= ONE_LINE
}

/// Regions by area, the largest first; of those alike the one that comes first.
fn by_area(site: &Site) -> Vec<usize> {
    let mut order: Vec<usize> = (0..site.regions.len()).collect();
    order.sort_by(|a, b| site.regions[*b].area.total_cmp(&site.regions[*a].area));
    order
}

/// The largest of the regions that links tie each to.
fn leaders(site: &Site, links: &Links) -> Vec<usize> {
    let mut leaders: Vec<Option<usize>> = vec![None; site.regions.len()];
    let beside = beside(site, links);
    for first in by_area(site) {
        if leaders[first].is_some() {
            continue;
        }
        let mut open = vec![first];
        while let Some(region) = open.pop() {
            if leaders[region].is_none() {
                leaders[region] = Some(first);
                open.extend(beside[region].iter().map(|(other, _)| *other));
            }
        }
    }
    leaders.into_iter().enumerate().map(|(region, leader)| leader.unwrap_or(region)).collect()
}

/// How far rows move on from the largest region of those tied to one another, the shortest way there.
fn shifts(site: &Site, links: &Links) -> Vec<f64> {
    let mut shifts: Vec<Option<f64>> = vec![None; site.regions.len()];
    let beside = beside(site, links);
    for first in by_area(site) {
        if shifts[first].is_some() {
            continue;
        }
        shifts[first] = Some(0.0);
        let mut open = VecDeque::from([first]);
        while let Some(region) = open.pop_front() {
            let here = shifts[region].unwrap_or(0.0);
            for (other, by) in &beside[region] {
                if shifts[*other].is_none() {
                    shifts[*other] = Some(here + by);
                    open.push_back(*other);
                }
            }
        }
    }
    shifts.into_iter().map(|shift| shift.unwrap_or(0.0)).collect()
}

/// For each region where its links lead, and by how much the rows move on.
fn beside(site: &Site, links: &Links) -> Vec<Vec<(usize, f64)>> {
    let mut beside = vec![Vec::new(); site.regions.len()];
    for (below, above, by) in links {
        beside[*below].push((*above, *by));
        beside[*above].push((*below, -by));
    }
    beside
}
