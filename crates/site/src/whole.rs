//! The floor before movement joints part it. Its gaps are kept on both sides of a joint, from walls that a joint meets
//! and from those that it runs beside, a strip of itself between.

use crate::face::Face;
use crate::gaps::Gaps;
use crate::named::{FiledFaces, NamedEdge, named_rings};
use crate::{EdgeKind, Region};
use geo::{Contains, Coord, Distance, Euclidean, InteriorPoint, Line, LineString, MultiPolygon, Polygon};
use plan::{Bounds, Boxes, GapRange};

/// A side of a joint may come nearer than the gap by this much, mm: rounding.
const ROUNDING: f64 = 0.001;

/// A connected part of the bare floor, its boundary named.
pub(crate) struct Whole {
    polygon: Polygon,
    pub(crate) rings: Vec<Vec<NamedEdge>>,
    filed: Boxes,
}

impl Whole {
    /// The parts of a floor, before any joint is cut into it.
    pub(crate) fn of(floor: &MultiPolygon, faces: &FiledFaces, gaps: Gaps) -> Vec<Self> {
        let whole = |polygon: &Polygon| {
            let rings = named_rings(polygon, faces, gaps);
            let filed = Boxes::new(
                rings.iter().flatten().map(|edge| Bounds::of([edge.a, edge.b].map(|p| [p.u, p.v]))),
            );
            Self { polygon: polygon.clone(), rings, filed }
        };
        floor.iter().map(whole).collect()
    }

    /// The same as its named edges have it.
    pub(crate) fn healed(&self) -> Polygon {
        let corner = |edge: &NamedEdge| Coord { x: edge.a.u, y: edge.a.v };
        let mut rings = self.rings.iter().map(|edges| edges.iter().map(corner).collect::<LineString>());
        let outer = rings.next().unwrap_or_else(|| LineString::new(Vec::new()));
        Polygon::new(outer, rings.collect())
    }

    /// Its edges as faces with their gaps.
    pub(crate) fn faces(&self) -> impl Iterator<Item = Face> {
        self.rings.iter().flatten().map(|edge| {
            let own_gap = Some(GapRange { least: edge.gap, greatest: edge.gap + edge.play });
            Face { a: edge.a, b: edge.b, kind: edge.kind, source: edge.source, own_gap }
        })
    }

    /// The one of them that a part cut by joints came from.
    pub(crate) fn around<'a>(wholes: &'a [Self], part: &Polygon) -> Option<&'a Self> {
        let inside = part.interior_point()?;
        wholes.iter().find(|whole| whole.polygon.contains(&inside))
    }

    /// Whether every joint's side of a region keeps its distance from everything that bounded the floor.
    pub(crate) fn is_kept_off_by(&self, region: &Region) -> bool {
        let edges: Vec<&NamedEdge> = self.rings.iter().flatten().collect();
        let widest = edges.iter().map(|edge| edge.inset).fold(0.0, f64::max);
        let line = |a: crate::Uv, b: crate::Uv| Line::new((a.u, a.v), (b.u, b.v));
        region.edges().filter(|edge| edge.kind == EdgeKind::MovementJoint).all(|joint| {
            let Some(bounds) = Bounds::of([joint.a, joint.b].map(|p| [p.u, p.v])) else { return false };
            let side = line(joint.a, joint.b);
            let mut is_kept = true;
            self.filed.each(bounds.grown(widest), |index| {
                let edge = edges[index];
                is_kept &= Euclidean.distance(&side, &line(edge.a, edge.b)) >= edge.inset - ROUNDING;
            });
            is_kept
        })
    }
}
