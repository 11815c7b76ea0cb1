//! The faces that a floor's edges keep their gaps from: what skirting, trims and sealant run along.

use plan::{Plan, Skirting};
use site::{Edge, EdgeKind, Region, Ring, Site, Source, Uv};

/// Neighbours that turn by less than this lie along one face, radians: the offsets of a bowed wall.
const STRAIGHT_ON: f64 = 0.1;
/// A corner of two faces further from the edges' own corner than this many gaps is none: they run nearly alike.
const FARTHEST: f64 = 5.0;

/// A straight stretch of one thing's face, bows counted in.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Stretch {
    /// What the boards meet there.
    pub(crate) kind: EdgeKind,
    /// Where it comes from.
    pub(crate) source: Source,
    /// Length along the face, mm.
    pub(crate) length: f64,
    /// Length times gap, mm²: the gap may differ along a bowed wall.
    pub(crate) gap_area: f64,
    /// Ends at a doorway: 0, 1 or 2.
    pub(crate) doorway_ends: u8,
    /// A point beside it on the floor.
    pub(crate) at: Uv,
}

impl Stretch {
    /// Whether it is a wall's face along which no skirting runs, and none comes.
    pub(crate) fn is_bare_wall(&self, plan: &Plan) -> bool {
        let Source::Wall { room, wall } = self.source else { return false };
        let drawn = plan.rooms.get(room).and_then(|room| room.walls.get(wall));
        self.kind == EdgeKind::Wall && drawn.is_some_and(|wall| wall.skirting == Some(Skirting::Without))
    }
}

/// Every face of a floor in the site's order. `surveyed` has every gap at its least, `site` as laid; their edges are
/// the same.
pub(crate) fn stretches(surveyed: &Site, site: &Site) -> Vec<Stretch> {
    let rings = |region: &Region| -> Vec<Ring> { region.rings().cloned().collect() };
    let mut all = Vec::new();
    for (least, laid) in surveyed.regions.iter().zip(&site.regions) {
        for (ring, eased) in rings(least).iter().zip(rings(laid)) {
            of_ring(&ring.edges, &eased.edges, &mut all);
        }
    }
    all
}

fn of_ring(edges: &[Edge], eased: &[Edge], all: &mut Vec<Stretch>) {
    let count = edges.len();
    if count < 3 {
        return;
    }
    let corners: Vec<Uv> = (0..count).map(|i| corner(&edges[(i + count - 1) % count], &edges[i])).collect();
    let goes_on = |i: usize| {
        let (before, edge) = (&edges[(i + count - 1) % count], &edges[i]);
        let is_same = (before.kind, before.source) == (edge.kind, edge.source);
        is_same && turn(before, edge).abs() < STRAIGHT_ON
    };
    let Some(first) = (0..count).find(|i| !goes_on(*i)) else { return };
    let is_doorway = |edge: &Edge| matches!(edge.source, Source::Doorway(_));
    let from = all.len();
    for i in (first..first + count).map(|i| i % count) {
        let (edge, next) = (&edges[i], &edges[(i + 1) % count]);
        let (a, b) = (corners[i], corners[(i + 1) % count]);
        let (d, _) = axes(edge);
        let along = ((b.u - a.u) * d.u + (b.v - a.v) * d.v).max(0.0);
        // A joint is filled between the gaps at its ends.
        let length = if edge.kind == EdgeKind::MovementJoint { edge.length() } else { along };
        let gap = eased.get(i).map_or(edge.gap, |eased| eased.gap);
        if !goes_on(i) || all.len() == from {
            all.push(Stretch {
                kind: edge.kind,
                source: edge.source,
                length: 0.0,
                gap_area: 0.0,
                doorway_ends: u8::from(is_doorway(&edges[(i + count - 1) % count])),
                at: Uv::new(f64::midpoint(edge.a.u, edge.b.u), f64::midpoint(edge.a.v, edge.b.v)),
            });
        }
        if let Some(stretch) = all.last_mut() {
            stretch.length += length;
            stretch.gap_area += length * gap.max(0.0);
            if !goes_on((i + 1) % count) {
                stretch.doorway_ends += u8::from(is_doorway(next));
            }
        }
    }
}

/// Unit vectors along an edge and square to it, into the floor.
fn axes(edge: &Edge) -> (Uv, Uv) {
    let length = edge.length().max(f64::MIN_POSITIVE);
    let d = Uv::new((edge.b.u - edge.a.u) / length, (edge.b.v - edge.a.v) / length);
    (d, Uv::new(-d.v, d.u))
}

fn turn(before: &Edge, edge: &Edge) -> f64 {
    let ((d, _), (e, _)) = (axes(before), axes(edge));
    libm::atan2(d.u * e.v - d.v * e.u, d.u * e.u + d.v * e.v)
}

/// Where the faces of two neighbouring edges meet: their lines, each moved back out by its gap.
fn corner(before: &Edge, edge: &Edge) -> Uv {
    let ((d, n), (e, m)) = (axes(before), axes(edge));
    let back = |p: Uv, n: Uv, gap: f64| Uv::new(p.u - n.u * gap, p.v - n.v * gap);
    let (p, q) = (back(before.b, n, before.gap), back(edge.a, m, edge.gap));
    let cross = d.u * e.v - d.v * e.u;
    let t = ((q.u - p.u) * e.v - (q.v - p.v) * e.u) / cross;
    let reach = FARTHEST * before.gap.abs().max(edge.gap.abs());
    if t.is_finite() && t.abs() <= reach {
        return Uv::new(p.u + d.u * t, p.v + d.v * t);
    }
    q
}

#[cfg(test)]
mod tests {
    use super::*;

    fn edges(corners: &[(f64, f64)], walls: &[usize]) -> Vec<Edge> {
        let at = |i: usize| Uv::new(corners[i % corners.len()].0, corners[i % corners.len()].1);
        let edge = |(i, wall): (usize, &usize)| Edge {
            a: at(i),
            b: at(i + 1),
            kind: EdgeKind::Wall,
            source: Source::Wall { room: 0, wall: *wall },
            gap: 10.0,
            play: 0.0,
        };
        walls.iter().enumerate().map(edge).collect()
    }

    /// From a rise of 4 over 3 to one of 3 over 4 it turns right by 53.130° − 36.870°; from straight up to straight left it
    /// turns left by a quarter.
    #[test]
    fn how_far_an_edge_turns() {
        let turned = |corners: &[(f64, f64)]| {
            let edges = edges(corners, &[0, 1, 2]);
            turn(&edges[0], &edges[1]).to_degrees()
        };
        assert!((turned(&[(0.0, 0.0), (3.0, 4.0), (7.0, 7.0)]) + 16.260).abs() < 1e-3);
        assert!((turned(&[(0.0, 0.0), (0.0, 5.0), (-5.0, 5.0)]) - 90.0).abs() < 1e-9);
    }

    /// The lower wall is drawn in three pieces: they are one face of 4000 and the gaps at its ends, and the floor has four.
    #[test]
    fn pieces_of_a_wall_that_goes_on_are_one_face() {
        let corners =
            [(10.0, 10.0), (1000.0, 10.0), (3000.0, 10.0), (4010.0, 10.0), (4010.0, 3010.0), (10.0, 3010.0)];
        // Whichever edge comes first in the ring.
        for first in 0..6 {
            let rolled = |i: usize| (i + first) % 6;
            let at: Vec<(f64, f64)> = (0..6).map(|i| corners[rolled(i)]).collect();
            let walls: Vec<usize> = (0..6).map(|i| [0, 0, 0, 1, 2, 3][rolled(i)]).collect();
            let edges = edges(&at, &walls);
            let mut all = Vec::new();
            of_ring(&edges, &edges, &mut all);
            let mut told: Vec<(usize, i64)> = all
                .iter()
                .map(|s| match s.source {
                    Source::Wall { wall, .. } => (wall, s.length.round() as i64),
                    _ => (99, 0),
                })
                .collect();
            told.sort_unstable();
            assert_eq!(told, [(0, 4020), (1, 3020), (2, 4020), (3, 3020)], "{first}");
        }
    }
}
