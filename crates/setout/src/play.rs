//! What stands against an edge: the room its gap has to play, and the edge it faces within a board.

use crate::tooth::{RIP_SLOPE, first_edges, has_rip, is_long};
use site::{Ease, Edge, NEARLY_ALONG, Region, Site, Span};
use std::collections::BTreeSet;

/// What an edge and its neighbours keep of their length when their corner moves, mm.
const KEPT: f64 = 5.0;
/// Floor left between two edges that move towards each other, mm.
const LEFT: f64 = 1.0;
/// An edge of which no more than this faces nothing is faced along all of it, mm.
const FACED: f64 = 0.1;
/// At a corner that points into the floor, how far off square the neighbour may stand, as a part of its height:
/// past that a moved edge would reach over floor that was not looked at.
const OFF_SQUARE: f64 = 0.5;

/// The room before and behind an edge.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Room {
    /// The widest strip its gap can take up, mm.
    pub(crate) play: f64,
    /// Least distance to an edge along the rows that faces it, mm; infinite where that is a board or more.
    pub(crate) facing: f64,
    /// Greatest distance to such edges where they face all of it, mm; infinite elsewhere.
    pub(crate) facing_most: f64,
}

/// The room of every edge of a region, in the order of its edges.
pub(crate) fn rooms_for_play(region: &Region, spans: &[Span], pitch: f64) -> Vec<Room> {
    let firsts = first_edges(region);
    let edges: Vec<&Edge> = region.edges().collect();
    let mut rooms: Vec<Room> =
        edges.iter().map(|edge| Room { play: edge.play, facing: f64::INFINITY, facing_most: 0.0 }).collect();
    // How far along the rows each edge faces nothing yet, mm.
    let mut open: Vec<f64> = edges.iter().map(|edge| (edge.b.u - edge.a.u).abs()).collect();
    // What else stands over an edge: its number, how long, how far off at most, mm.
    let mut others: Vec<(usize, f64, f64)> = Vec::new();
    let lengths: Vec<usize> = region.rings().map(|ring| ring.edges.len()).collect();
    let number = |(ring, edge): (usize, usize)| firsts[ring] + edge;
    for span in spans {
        let pair = [number(span.below), number(span.above)];
        if is_strip(span, edges[pair[0]], edges[pair[1]]) && span.least() < pitch {
            for edge in pair {
                let room = &mut rooms[edge];
                room.facing = room.facing.min(span.least());
                room.facing_most = span.heights.into_iter().fold(room.facing_most, f64::max);
                open[edge] -= span.length();
            }
        } else {
            let most = span.heights.into_iter().fold(0.0, f64::max);
            others.extend(pair.map(|edge| (edge, span.length(), most)));
        }
        let ring_length = lengths[span.below.0];
        let steps = span.below.1.abs_diff(span.above.1);
        let are_neighbours = span.below.0 == span.above.0 && (steps == 1 || steps + 1 == ring_length);
        if !are_neighbours && span.least() < edges[pair[0]].play + edges[pair[1]].play + LEFT {
            for edge in pair {
                rooms[edge].play = 0.0;
            }
        }
    }
    // The ends of a strip lean: where they stand over it the wood is no wider than beside them.
    for (edge, length, most) in others {
        if rooms[edge].facing.is_finite() && most <= rooms[edge].facing_most + FACED {
            open[edge] -= length;
        }
    }
    for (room, open) in rooms.iter_mut().zip(open) {
        if open > FACED || room.facing.is_infinite() {
            room.facing_most = f64::INFINITY;
        }
    }
    let most = edges.iter().map(|edge| edge.play).fold(0.0, f64::max);
    for (ring, first) in region.rings().zip(firsts) {
        let count = ring.edges.len();
        chains(&ring.edges, &mut rooms[first..first + count], most);
    }
    rooms
}

/// Whether two facing edges leave a strip of wood between them, rather than a wedge or a jog.
fn is_strip(span: &Span, below: &Edge, above: &Edge) -> bool {
    let wedge = (span.heights[1] - span.heights[0]).abs() > RIP_SLOPE * span.length();
    is_long(span.length()) && !wedge && has_rip(below) && has_rip(above)
}

/// Whether an edge lies so nearly along the rows that a neighbour like it goes on from it.
pub(crate) fn runs_on(edge: &Edge) -> bool {
    let (du, dv) = (edge.b.u - edge.a.u, edge.b.v - edge.a.v);
    dv.abs() < NEARLY_ALONG * du.abs()
}

/// Whether an edge goes on along the rows where the one before it ends.
fn goes_on(a: &Edge, b: &Edge) -> bool {
    runs_on(a) && runs_on(b) && a.floor_is_above() == b.floor_is_above()
}

/// The moves of edges that have no rip of their own, being too short or too far out of true, and follow one that moves: all of
/// them lie against the row line that it moves to, or a strip as thin as the play would be left beside them.
pub(crate) fn following(site: &Site, eases: &[Ease]) -> Vec<Ease> {
    let moved: BTreeSet<(usize, usize, usize)> =
        eases.iter().map(|ease| (ease.region, ease.ring, ease.edge)).collect();
    let mut found: BTreeSet<(usize, usize, usize)> = BTreeSet::new();
    let mut all = Vec::new();
    for ease in eases {
        let ring = site.regions.get(ease.region).and_then(|region| region.rings().nth(ease.ring));
        let Some((edges, own)) = ring.and_then(|ring| Some((&ring.edges, ring.edges.get(ease.edge)?))) else {
            continue;
        };
        let inwards = if own.floor_is_above() { 1.0 } else { -1.0 };
        let row_line = match (ease.start > 0.0, ease.end > 0.0) {
            (true, _) => own.a.v + inwards * ease.start,
            (_, true) => own.b.v + inwards * ease.end,
            _ => continue,
        };
        let count = edges.len();
        for is_on in [true, false] {
            let mut at = ease.edge;
            loop {
                let next = if is_on { (at + 1) % count } else { (at + count - 1) % count };
                let (a, b) = if is_on { (at, next) } else { (next, at) };
                let place = (ease.region, ease.ring, next);
                if !goes_on(&edges[a], &edges[b]) || moved.contains(&place) || !found.insert(place) {
                    break;
                }
                let by = |v: f64| (inwards * (row_line - v)).max(0.0);
                let (start, end) = (by(edges[next].a.v), by(edges[next].b.v));
                all.push(Ease { edge: next, start, end, ..*ease });
                at = next;
            }
        }
    }
    all
}

/// Edges that follow one another along the rows, such as a bowed wall's, move together or not at all: their
/// play is what the whole of them has, less what each stands back from the lowest.
fn chains(edges: &[Edge], rooms: &mut [Room], most: f64) {
    let count = edges.len();
    let goes_on = |i: usize, j: usize| goes_on(&edges[i], &edges[j]);
    for start in 0..count {
        let before = (start + count - 1) % count;
        if !runs_on(&edges[start]) || goes_on(before, start) {
            continue;
        }
        let mut chain = vec![start];
        while chain.len() < count && goes_on(chain[chain.len() - 1], (start + chain.len()) % count) {
            chain.push((start + chain.len()) % count);
        }
        let last = chain[chain.len() - 1];
        let after = (last + 1) % count;
        let is_facing = chain.iter().any(|i| rooms[*i].facing.is_finite());
        let mut play = chain.iter().map(|i| rooms[*i].play).fold(f64::INFINITY, f64::min);
        let (from, to) = (slip(&edges[before], &edges[start], most), slip(&edges[last], &edges[after], most));
        let run = |i: usize| (edges[i].b.u - edges[i].a.u).abs();
        play = match (from, to) {
            (Some(from), Some(to)) if !is_facing => {
                let needs = if start == last { from + to } else { from.max(to) };
                if run(start).min(run(last)) > needs + KEPT { play } else { 0.0 }
            }
            _ => 0.0,
        };
        let depth = |i: usize| {
            let (low, high) = edges[i].v_range();
            if edges[start].floor_is_above() { low } else { -high }
        };
        let lowest = chain.iter().map(|i| depth(*i)).fold(f64::INFINITY, f64::min);
        for i in chain {
            rooms[i].play = (play - (depth(i) - lowest)).max(0.0);
        }
    }
}

/// How far along the rows the corner of two edges may slip when the one along the rows moves by `most`; `None`
/// where the other has no length to give.
fn slip(a: &Edge, b: &Edge, most: f64) -> Option<f64> {
    let steep = if runs_on(a) { b } else { a };
    let (du, dv) = ((steep.b.u - steep.a.u).abs(), (steep.b.v - steep.a.v).abs());
    let direction = |e: &Edge| (e.b.u - e.a.u, e.b.v - e.a.v);
    let ((au, av), (bu, bv)) = (direction(a), direction(b));
    let points_in = au * bv - av * bu < 0.0;
    let is_sound = !runs_on(steep) && dv > 2.0 * most + KEPT && (!points_in || du <= OFF_SQUARE * dv);
    is_sound.then(|| 2.0 * most * du / dv)
}

#[cfg(test)]
mod tests {
    use super::*;
    use site::{EdgeKind, Source, Uv};

    /// Walls 100 apart at one end of a metre: 200 apart at the other they run out of true by a tenth, which a saw still
    /// follows, and leave a strip; by a hair more they leave a wedge.
    #[test]
    fn a_tenth_out_of_true_is_a_strip_and_more_a_wedge() {
        let edge = |a: (f64, f64), b: (f64, f64)| Edge {
            a: Uv::new(a.0, a.1),
            b: Uv::new(b.0, b.1),
            kind: EdgeKind::Wall,
            source: Source::Wall { room: 0, wall: 0 },
            gap: 10.0,
            play: 0.0,
        };
        let (below, above) = (edge((0.0, 0.0), (1000.0, 0.0)), edge((1000.0, 200.0), (0.0, 100.0)));
        let span =
            |high: f64| Span { below: (0, 0), above: (0, 1), from: 0.0, to: 1000.0, heights: [100.0, high] };
        assert!(is_strip(&span(200.0), &below, &above));
        assert!(!is_strip(&span(200.5), &below, &above));
        // What stands against the wood for less than 20 is a jog.
        assert!(!is_strip(&Span { to: 19.0, ..span(100.0) }, &below, &above));
    }

    /// A room 1019 mm between walls, boards of 200, gaps of 8 to 15 and a line at 10: the lower gap is 10. A corner drawn in that wall
    /// 15 from its end leaves a piece of 7 there beside the gap of the wall across, too short for a rip of its own; over its last 98 a
    /// wall that rises by 15 leans too much for one. Either begins on the line, the first lies on it, the second ends where it
    /// did: 8 off the wall's line, 8 before the wall across. Half of 2 more are 9. By hand.
    #[test]
    fn what_is_too_short_or_leans_too_much_for_a_rip_moves_with_its_wall() {
        let slope: f64 = 15.0 / 98.0;
        let leaning = 90.0 * slope + 8.0 * (1.0 + slope * slope).sqrt();
        for (from_end, rise, end, gap) in [(15.0, 0.0, 10.0, 10.0), (98.0, 15.0, leaning, 9.0)] {
            let mut plan = plan::Plan::new("t");
            plan.stock.face_width = 200.0;
            plan.rules.wall_gap = plan::GapRange { least: 8.0, greatest: 15.0 };
            plan.start_line = plan::StartLine::At(10.0);
            let corner = 4000.0 - from_end;
            for mirrored in [false, true] {
                let mut corners =
                    vec![(0.0, 0.0), (corner, 0.0), (4000.0, rise), (4000.0, 1019.0), (0.0, 1019.0)];
                if mirrored {
                    corners = corners.into_iter().rev().map(|(x, y)| (4000.0 - x, y)).collect();
                }
                plan.rooms = vec![plan::Room::boarded("Hall", corners.into_iter().map(plan::Point::from))];
                let site = site::survey(&plan);
                let eased = site::eased(&site, &crate::set_out(&plan, &site).eases);
                let lower: Vec<&Edge> =
                    eased.regions[0].edges().filter(|edge| runs_on(edge) && edge.floor_is_above()).collect();
                assert_eq!(lower.len(), 2);
                for edge in lower {
                    let is_wall = edge.length() > 1000.0;
                    let (low, high) = edge.v_range();
                    let told = if is_wall { 10.0 } else { gap };
                    let reach = if is_wall { 10.0 } else { end };
                    assert!((low - 10.0).abs() < 1e-6 && (high - reach).abs() < 1e-6, "{edge:?}");
                    assert!((edge.gap - told).abs() < 1e-6, "{edge:?}");
                }
            }
        }
    }
}
