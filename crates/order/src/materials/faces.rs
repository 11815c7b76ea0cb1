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
