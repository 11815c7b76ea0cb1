//! Every edge of a boundary named after the face it lies on, with its gap there.

use crate::build::{HEALED, axes, distance, ring_points};
use crate::chips::without_chips;
use crate::face::{Face, anticlockwise};
use crate::gaps::Gaps;
use crate::index::{Ends, Line, Lines};
use crate::region::lies_along_rows;
use crate::{Edge, EdgeKind, Source, Uv};
use geo::Polygon;
use plan::GapRange;

/// The faces of a patch and where they lie.
pub(crate) struct FiledFaces {
    faces: Vec<Face>,
    lines: Lines,
    ends: Ends,
}

impl FiledFaces {
    pub(crate) fn new(faces: Vec<Face>) -> Self {
        let lines = Lines::new(faces.iter().map(|face| Line::between(face.a, face.b)).collect());
        let ends = Ends::new(faces.iter().flat_map(|face| [face.a, face.b]).collect());
        Self { faces, lines, ends }
    }
}

/// The named edges of a part of the floor, its outline first. Each part alone, so that no gap reaches through a thin
/// wall; and the holes are cut out anew, since one that touches the outline may be given the wrong way round.
pub(crate) fn named_rings(part: &Polygon, faces: &FiledFaces, gaps: Gaps) -> Vec<Vec<NamedEdge>> {
    let outer = anticlockwise(ring_points(part.exterior()));
    let holes = part.interiors().iter().map(|hole| {
        let mut hole = anticlockwise(ring_points(hole));
        hole.reverse();
        hole
    });
    std::iter::once(outer).chain(holes).map(|ring| name_edges(&ring, faces, gaps)).collect()
}

/// A boundary piece before its inset.
#[derive(Debug, Clone, Copy)]
pub(crate) struct NamedEdge {
    pub(crate) a: Uv,
    pub(crate) b: Uv,
    pub(crate) kind: EdgeKind,
    pub(crate) source: Source,
    /// Reported gap; negative for a tuck.
    pub(crate) gap: f64,
    /// How much wider it may be made.
    pub(crate) play: f64,
    /// How far the boundary still has to move in.
    pub(crate) inset: f64,
}

impl NamedEdge {
    /// The edge in its final place.
    pub(crate) fn at(&self, a: Uv, b: Uv) -> Edge {
        Edge { a, b, kind: self.kind, source: self.source, gap: self.gap, play: self.play }
    }
}

/// A corner this near to the line between its neighbours, both on one face, is none, mm: far more than what the boolean
/// operations round by, far less than a chip. Smaller, and it would hang on rounding where an edge ends; which of two edges
/// beside a chip is the longer, and stays, hangs on that.
const ONE_LINE: f64 = 0.02;

/// Faces that an edge's middle lies as near to, but for this, are one to it, mm: more than rounding.
const ONE_FACE: f64 = 1e-3;

/// Names each edge of a boundary ring after the face it lies on and gives it its gap; an edge along which
/// one face follows another is parted there, and nowhere else.
fn name_edges(points: &[Uv], faces: &FiledFaces, gaps: Gaps) -> Vec<NamedEdge> {
    let parted = faces.ends.split(points);
    let mut edges: Vec<(NamedEdge, usize)> = Vec::new();
    let mut corners = points.iter().peekable();
    for (i, a) in parted.iter().enumerate() {
        let b = parted[(i + 1) % parted.len()];
        let is_corner = corners.next_if(|corner| *corner == a).is_some();
        let (face, kind, source, GapRange { least: gap, greatest }) = nearest_face(*a, b, faces, gaps);
        let play = greatest - gap;
        match edges.last_mut() {
            Some((last, on))
                if (last.kind, last.source, last.gap, last.play) == (kind, source, gap, play)
                    && (!is_corner || (*on == face && goes_on(last.a, *a, b))) =>
            {
                last.b = b;
            }
            _ => {
                // A joint's whole width is cut out already.
                let inset = if kind == EdgeKind::MovementJoint { 0.0 } else { gap.max(0.0) };
                edges.push((NamedEdge { a: *a, b, kind, source, gap, play, inset }, face));
            }
        }
    }
    // A ring may begin anywhere.
    if let [(first, on), .., (last, face)] = edges.as_mut_slice()
        && on == face
        && (first.gap, first.play) == (last.gap, last.play)
        && goes_on(last.a, first.a, first.b)
    {
        first.a = last.a;
        edges.pop();
    }
    let (edges, faces): (Vec<NamedEdge>, Vec<usize>) = edges.into_iter().unzip();
    let gap = |i: usize| (edges[i].gap, edges[i].play);
    without_chips(&edges, |i, j| faces[i] == faces[j] && gap(i) == gap(j))
}

/// Whether the boundary goes on at `p` in the line from `a` to `b`.
pub(crate) fn goes_on(a: Uv, p: Uv, b: Uv) -> bool {
    let (d, n) = axes(a, b);
    let from = Uv::new(p.u - a.u, p.v - a.v);
    let (along, off) = (from.u * d.u + from.v * d.v, from.u * n.u + from.v * n.v);
    off.abs() <= ONE_LINE && along > 0.0 && along < distance(a, b)
}

/// The gap of a face where the boundary runs from `a` to `b`.
fn gap_of(face: &Face, (a, b): (Uv, Uv), gaps: Gaps) -> GapRange {
    face.own_gap.unwrap_or_else(|| gaps.of(face.kind, lies_along_rows(a, b)))
}

/// What the face is on which the middle of an edge lies, by distance, then by direction, with its gap there.
/// Of faces that lie on one another the one with the greatest gap counts.
fn nearest_face(a: Uv, b: Uv, faces: &FiledFaces, gaps: Gaps) -> (usize, EdgeKind, Source, GapRange) {
    let middle = Uv::new((a.u + b.u) / 2.0, (a.v + b.v) / 2.0);
    let (d, _) = axes(a, b);
    let level = faces.lines.least(middle, HEALED, |line| {
        let (off, past) = line.off_and_past(middle);
        // Direction settles which of two faces through one corner an edge lies on, and the side the floor
        // is on which of two things that stand against each other.
        let (turned, against) = line.turned_and_against(d);
        (off <= 1.0).then_some(off + past + turned + against)
    });
    let nearest = level.iter().map(|(score, _)| *score).fold(f64::INFINITY, f64::min);
    // Of faces that lie on one line but for rounding that must not decide.
    let tied = level.iter().filter(|(score, _)| *score <= nearest + ONE_FACE).map(|(_, face)| *face);
    let Some(first) = tied.min() else {
        return (usize::MAX, EdgeKind::Wall, Source::Wall { room: 0, wall: 0 }, gaps.wall);
    };
    let gap = |face: &Face| gap_of(face, (a, b), gaps);
    let least = |face: usize| gap(&faces.faces[face]).least;
    let level = level.into_iter().map(|(_, face)| face);
    let index = level.fold(first, |most, face| if least(face) > least(most) { face } else { most });
    let face = &faces.faces[index];
    (index, face.kind, face.source, gap(face))
}
