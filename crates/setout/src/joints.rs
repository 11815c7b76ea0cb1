//! Movement joints along the rows: those that can lie on a row line do, and the rows past them are moved on by
//! the joint's width.
//!
//! Such a joint leaves whole boards on both sides. It is put on the row line nearest to where it is drawn once the
//! line is known; what else follows from the line is read as if the rows past it had not moved.
//!
//! A joint that has some room but less than half a row either way, such as one in a doorway, and one that rows go
//! round, goes to the nearest place where neither side is left a sliver; the rows go on beyond it in line, so one side
//! of it is ripped at least. One without room stays where it is drawn, and its sides count as any edge.

use crate::EdgeRef;
use crate::play::runs_on;
use site::{Ease, Edge, EdgeKind, Site, Source, Span};
use std::collections::{BTreeMap, VecDeque};

/// What the edges beside a joint keep of their length when it moves, mm: past what a gap's play takes of it.
const KEPT: f64 = 20.0;
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
    /// The joints that lie on row lines, by their place in the plan.
    on_lines: BTreeMap<usize, Movable>,
    /// Those that go where neither side is left a sliver.
    clear: BTreeMap<usize, Movable>,
}

/// A joint that can be moved across the rows.
#[derive(Debug, Clone, PartialEq)]
struct Movable {
    /// Its width, mm.
    width: f64,
    pieces: Vec<Piece>,
    /// How far it can be moved down and up, mm.
    room: [f64; 2],
}

/// Ways from region to region: how far the rows move on.
type Links = Vec<(usize, usize, f64)>;

impl Joints {
    /// Reads the joints of a field, given the pitch and the least rip. None is moved where `may_move` is not set.
    pub(crate) fn new(site: &Site, spans: &[Vec<Span>], (pitch, least): (f64, f64), may_move: bool) -> Self {
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
            let pieces = pieces(sides);
            parted.extend(in_line(&pieces));
            let width = sides.first().map_or(0.0, |(_, edge)| 2.0 * edge.gap);
            let room = if may_move { room_to_move(site, spans, sides, &pieces, pitch) } else { [0.0; 2] };
            let movable = Movable { width, pieces, room };
            if room[0].min(room[1]) >= pitch / 2.0 {
                joints.on_lines.insert(*joint, movable);
                continue;
            }
            links.extend(in_line(&movable.pieces));
            if movable.is_always_clear(pitch, least) {
                joints.clear.insert(*joint, movable);
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
            for Movable { width, pieces, .. } in joints.on_lines.values() {
                ways.extend(pieces.iter().map(|p| (p.below.region, p.above.region, *width)));
            }
            joints.shifts = shifts(site, &ways);
            let Some(joint) = joints.out_of_step() else { return joints };
            // Rows that reach its other side some other way hold it where it is drawn.
            if let Some(movable) = joints.on_lines.remove(&joint) {
                links.extend(in_line(&movable.pieces));
                joints.clear.insert(joint, movable);
            }
        }
    }

    /// A joint whose two sides cannot both lie on row lines all along it.
    fn out_of_step(&self) -> Option<usize> {
        let shift = |at: EdgeRef| self.shifts[at.region];
        let is_out = |movable: &Movable| {
            let first = movable.pieces.first().map_or(0.0, |piece| shift(piece.below));
            movable.pieces.iter().any(|p| {
                (shift(p.above) - shift(p.below) - movable.width).abs() > SAME
                    || (shift(p.below) - first).abs() > SAME
            })
        };
        self.on_lines.iter().find(|(_, movable)| is_out(movable)).map(|(joint, _)| *joint)
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

    /// Whether no sliver can be left along an edge because its joint moves out of its way.
    pub(crate) fn keeps_clear(&self, edge: &Edge) -> bool {
        matches!(edge.source, Source::Joint(joint)
            if self.on_lines.contains_key(&joint) || self.clear.contains_key(&joint))
    }

    /// How the joints' edges move, given a row line of each region near a place across the rows.
    pub(crate) fn moves(
        &self,
        site: &Site,
        (pitch, least): (f64, f64),
        line_of: impl Fn(usize, f64) -> f64,
    ) -> Vec<Ease> {
        let mut moves = Vec::new();
        let on_lines = self.on_lines.values().map(|movable| (movable, true));
        for (movable, is_on_line) in on_lines.chain(self.clear.values().map(|movable| (movable, false))) {
            let Movable { width, pieces, .. } = movable;
            let Some(first) = pieces.first().and_then(|piece| edge_at(site, piece.below)) else { continue };
            let drawn = f64::midpoint(first.a.v, first.b.v);
            for piece in pieces {
                let line = line_of(piece.below.region, drawn);
                let target = match is_on_line {
                    true => line + ((drawn - line) / pitch).round() * pitch,
                    false => movable.clear_place(drawn, line, pitch, least),
                };
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

impl Movable {
    /// Whether it always finds a place that leaves neither side a sliver, whatever the line. Rows that go on in line
    /// past it keep r below it and the pitch less r less its width above: a stretch of `least` is bad for each, and
    /// between the two a row line falls into the joint itself.
    fn is_always_clear(&self, pitch: f64, least: f64) -> bool {
        self.room[0] + self.room[1] >= least && 2.0 * least + self.width < pitch
    }

    /// v of its lower side: the place nearest to where it is drawn at which neither side is a sliver.
    fn clear_place(&self, drawn: f64, line: f64, pitch: f64, least: f64) -> f64 {
        let under = line + ((drawn - line) / pitch).floor() * pitch;
        let (from, to) = (drawn - self.room[0], drawn + self.room[1]);
        let places = [under - pitch, under, under + pitch].into_iter().flat_map(|row| {
            let between = drawn.clamp(row + least, row + pitch - self.width - least);
            [between, drawn.clamp(row - self.width, row)]
        });
        let allowed = places.filter(|place| (from..=to).contains(place));
        allowed.min_by(|a, b| (a - drawn).abs().total_cmp(&(b - drawn).abs())).unwrap_or(drawn)
    }
}

/// Regions whose rows go on in line past a joint.
fn in_line(pieces: &[Piece]) -> impl Iterator<Item = (usize, usize, f64)> + '_ {
    pieces.iter().map(|p| (p.below.region, p.above.region, 0.0))
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

/// How far a joint can be moved down and up: only one that runs along the rows with floor on both sides all along,
/// ends at edges that go straight on across it, and has whole rows on both sides can be moved at all.
fn room_to_move(
    site: &Site,
    spans: &[Vec<Span>],
    sides: &[(EdgeRef, &Edge)],
    pieces: &[Piece],
    pitch: f64,
) -> [f64; 2] {
    let is_level = |edge: &Edge| edge.is_along_rows() && (edge.b.v - edge.a.v).abs() <= LEVEL;
    let has_rows = |at: &EdgeRef| {
        let place = (at.ring, at.edge);
        let near = |span: &Span| (span.below == place || span.above == place) && span.least() < 1.5 * pitch;
        spans.get(at.region).is_some_and(|spans| !spans.iter().any(near))
    };
    let is_faced = |at: &EdgeRef| pieces.iter().any(|piece| piece.below == *at || piece.above == *at);
    let is_sound = |(at, edge): &(EdgeRef, &Edge)| is_faced(at) && is_level(edge) && has_rows(at);
    if sides.is_empty() || !sides.iter().all(is_sound) {
        return [0.0; 2];
    }
    let mut beside: Vec<(&Edge, [&Edge; 2])> = Vec::with_capacity(sides.len());
    for (at, edge) in sides {
        let Some(neighbours) = neighbours(site, *at) else { return [0.0; 2] };
        beside.push((edge, neighbours));
    }
    let mut room = [f64::INFINITY; 2];
    for (side, ends) in &beside {
        let others = || beside.iter().filter(|(other, _)| other.floor_is_above() != side.floor_is_above());
        // At both ends something goes straight on across the joint, or another joint runs into this side alone.
        let goes_across = [0, 1].map(|end| {
            others().any(|(_, neighbours)| match end {
                0 => goes_on(ends[0], neighbours[1]),
                _ => goes_on(neighbours[0], ends[1]),
            })
        });
        let corners = [side.a.u, side.b.u];
        let is_met = |end: usize| {
            let inside = |(other, _): &&(&Edge, [&Edge; 2])| {
                let (left, right) = (other.a.u.min(other.b.u), other.a.u.max(other.b.u));
                left < corners[end] - side.gap && corners[end] + side.gap < right
            };
            let meets = ends[end].kind == EdgeKind::MovementJoint && ends[end].source != side.source;
            meets && !runs_on(ends[end]) && others().any(|other| inside(&other))
        };
        if !(0..2).all(|end| goes_across[end] || is_met(end)) {
            return [0.0; 2];
        }
        let gives = ends.map(|e| ((e.b.v - e.a.v).abs() - KEPT).max(0.0));
        let way = usize::from(side.floor_is_above());
        room[way] = room[way].min(gives[0]).min(gives[1]);
    }
    room
}

/// The edges before and after one in its ring.
fn neighbours(site: &Site, at: EdgeRef) -> Option<[&Edge; 2]> {
    let ring = site.regions.get(at.region)?.rings().nth(at.ring)?;
    let count = ring.edges.len();
    let before = ring.edges.get((at.edge + count - 1) % count)?;
    Some([before, ring.edges.get((at.edge + 1) % count)?])
}

/// Whether an edge that comes to a joint goes straight on past it.
fn goes_on(before: &Edge, after: &Edge) -> bool {
    let way = |e: &Edge| {
        let length = e.length().max(f64::MIN_POSITIVE);
        ((e.b.u - e.a.u) / length, (e.b.v - e.a.v) / length)
    };
    let ((du, dv), (eu, ev)) = (way(before), way(after));
    let off = (after.a.u - before.b.u) * dv - (after.a.v - before.b.v) * du;
    !runs_on(before)
        && !runs_on(after)
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

#[cfg(test)]
mod tests {
    use super::*;
    use site::{EdgeKind, Source, Uv};

    /// Stretches of a joint 10 wide that rises by 100 a metre, the side below it from 0 to 5000.
    fn found(above: (f64, f64)) -> usize {
        let edge = |from: f64, to: f64, off: f64| Edge {
            a: Uv::new(from, 0.1 * from + off),
            b: Uv::new(to, 0.1 * to + off),
            kind: EdgeKind::MovementJoint,
            source: Source::Joint(0),
            gap: 5.0,
            play: 0.0,
        };
        let at = |edge| EdgeRef { region: 0, ring: 0, edge };
        let (below, above) = (edge(5000.0, 0.0, 0.0), edge(above.0, above.1, 10.0));
        pieces(&[(at(0), &below), (at(1), &above)]).len()
    }

    /// Across the rows a joint's sides run against one another likewise, wherever the house lies.
    #[test]
    fn sides_across_the_rows_are_a_piece() {
        for off in [-5000.0, 0.0, 100.0, 40_000.0] {
            let edge = |u: f64, from: f64, to: f64| Edge {
                a: Uv::new(u, off + from),
                b: Uv::new(u, off + to),
                kind: EdgeKind::MovementJoint,
                source: Source::Joint(0),
                gap: 5.0,
                play: 0.0,
            };
            let at = |edge| EdgeRef { region: edge, ring: 0, edge: 0 };
            // The floor left of the joint lies to the left of a side that goes up.
            let (left, right) = (edge(995.0, 0.0, 2000.0), edge(1005.0, 2000.0, 0.0));
            let found = pieces(&[(at(0), &left), (at(1), &right)]);
            assert_eq!(found.len(), 1, "{off}");
            assert_eq!((found[0].below, found[0].above), (at(0), at(1)));
        }
    }

    /// A side that faces the first metre only is its piece, though their middles lie 190 apart across the rows; one that
    /// faces the last 10 mm, as across a joint's end, is none.
    #[test]
    fn sides_that_face_one_another_over_more_than_a_joints_end_are_a_piece() {
        assert_eq!(found((0.0, 1000.0)), 1);
        assert_eq!(found((4990.0, 6000.0)), 0);
    }
}
