//! Builds the site: boolean operations, insets, and the name of every edge.

use crate::chips::without_chips;
use crate::face::{Face, Kick, Patch, Shape, anticlockwise, fixed, push_ring, signed_area};
use crate::index::{Ends, Line, Lines};
use crate::joint::part;
use crate::mitre::mitred;
use crate::region::lies_along_rows;
use crate::whole::Whole;
use crate::{Edge, EdgeKind, Region, Ring, Source, Uv};
use geo::algorithm::bool_ops::{BooleanOps, FillRule};
use geo::{Contains, Coord, LineString, MultiPolygon, Polygon};
use plan::{FixtureKind, GapRange, KindGaps, Plan, Rules};

/// Geometry thinner than this is rounding, not floor, mm.
const HEALED: f64 = 0.01;
/// A part of the floor narrower than this takes no board, mm.
const NO_FLOOR: f64 = 1.0;
/// How far a computed boundary may lie from the line it comes from, mm. The boolean operations work
/// on a grid of about a millionth of the house; a mismatch above this would name the wrong wall.
pub(crate) const MATCH: f64 = 0.05;
/// Whether a kick's side is open is looked at this far before it, mm: a cabinet drawn square stands off a wall that is not by
/// a millimetre or two, and nothing slides in there (ours).
const BEFORE: f64 = 3.0;
/// Two directions whose sine is less than this are one.
pub(crate) const STRAIGHT: f64 = 1e-6;
/// Mitres longer than this many gaps are cut off square.
pub(crate) const MITRE_LIMIT: f64 = 4.0;

/// What a patch of the floor gives.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Built {
    pub(crate) regions: Vec<Region>,
    /// Before the gaps are taken off, mm².
    pub(crate) bare_area: f64,
}

/// The gaps of edges that name none of their own.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Gaps {
    wall: GapRange,
    tile_end: GapRange,
    kinds: KindGaps,
}

impl Gaps {
    pub(crate) fn new(rules: &Rules) -> Self {
        let tile_end = GapRange { least: rules.tile_end_gap, greatest: rules.tile_end_gap };
        Self { wall: rules.wall_gap, tile_end, kinds: rules.gaps }
    }

    /// The gap of a kind of edge that boards meet with their sides or not.
    fn of(&self, kind: EdgeKind, along_rows: bool) -> GapRange {
        let kinds = &self.kinds;
        let own = match kind {
            EdgeKind::Trim | EdgeKind::TileTrim if !along_rows => Some(self.tile_end),
            EdgeKind::Trim | EdgeKind::TileTrim => kinds.tile_sides,
            EdgeKind::Glazing => kinds.glazing,
            EdgeKind::Cabinets => kinds.cabinets,
            EdgeKind::Jamb => kinds.jambs,
            EdgeKind::Island => kinds.islands,
            EdgeKind::Column => kinds.columns,
            EdgeKind::Hearth => kinds.hearths,
            EdgeKind::Vent => kinds.vents,
            // A kick has its tuck, a nosing its width, a joint half its own; and under a leaf there is none.
            EdgeKind::Wall
            | EdgeKind::Kick
            | EdgeKind::UnderLeaf
            | EdgeKind::Nosing
            | EdgeKind::MovementJoint => None,
        };
        own.unwrap_or(self.wall)
    }
}

/// The gap an edge is given by the plan, before the set-out uses any of its play; that of a kick is less than
/// nothing.
pub fn gap_range(plan: &Plan, edge: &Edge) -> GapRange {
    let one = |gap: f64| GapRange { least: gap, greatest: gap };
    let fixture = |index: usize| plan.fixtures.get(index);
    let own = match (edge.kind, edge.source) {
        (EdgeKind::UnderLeaf, _) => Some(one(0.0)),
        (_, Source::Wall { room, wall }) => plan.rooms.get(room).and_then(|r| r.walls.get(wall)?.gap),
        (EdgeKind::Jamb, Source::Doorway(index)) => {
            plan.doorways.get(index).and_then(|door| door.under_lining).map(|under| one(-under))
        }
        (_, Source::Doorway(_)) => None,
        (_, Source::Joint(index)) => plan.joints.get(index).map(|joint| one(joint.width / 2.0)),
        (_, Source::Fixture(index)) => fixture(index).and_then(|fixture| match fixture.kind {
            FixtureKind::Kick { tuck, .. } => Some(one(-tuck)),
            FixtureKind::Stair { nosing } => Some(one(nosing)),
            _ => fixture.gap,
        }),
    };
    own.unwrap_or_else(|| Gaps::new(&plan.rules).of(edge.kind, edge.is_along_rows()))
}

/// Computes one patch: its rooms are joined through doorway throats, fixtures are cut out, then every edge is
/// inset by its own gap.
pub(crate) fn build(patch: &Patch, gaps: Gaps) -> Built {
    let added = polygons(&patch.added);
    let mut cut = patch.cut.clone();
    let at_faces: Vec<Shape> =
        cut.iter().chain(patch.kicks.iter().map(|kick| &kick.shape)).cloned().collect();
    let bare = added.difference_with_fill_rule(&polygons(&at_faces), FillRule::NonZero);
    let bare_area = area(&bare);
    let mut faces = patch.faces.clone();
    for kick in &patch.kicks {
        let cores = within(kick, &added).into_iter().flat_map(|kick| kick_core(&kick, &bare));
        for ring in cores.collect::<Vec<_>>() {
            push_ring(&mut faces, &ring, EdgeKind::Kick, Source::Fixture(kick.fixture), fixed(-kick.tuck));
            cut.push(ring);
        }
    }
    let floor = match patch.kicks.is_empty() {
        true => bare,
        false => added.difference_with_fill_rule(&polygons(&cut), FillRule::NonZero),
    };
    if patch.joints.is_empty() {
        let faces = FiledFaces::new(faces);
        let regions = floor.iter().flat_map(|part| inset_rings(&named_rings(part, &faces, gaps))).collect();
        return Built { regions, bare_area };
    }
    let wholes = Whole::of(&floor, &FiledFaces::new(faces.clone()), gaps);
    let parts = part(&floor, &patch.joints, &mut faces);
    let faces = FiledFaces::new(faces);
    let regions = parts.iter().flat_map(|part| {
        let named = named_rings(part, &faces, gaps);
        match Whole::around(&wholes, part) {
            None => inset_rings(&named),
            Some(whole) => mitred(&named)
                .filter(|region| whole.is_kept_off_by(region))
                .map_or_else(|| clipped(&named, &whole.rings), |region| vec![region]),
        }
    });
    let regions = regions.collect();
    Built { regions, bare_area }
}

/// What is left of a region when every edge moves in by `width` mm: its parts in a fixed order, none where
/// it is too narrow. Corners lie where the moved edges meet; a corner that points far into the floor is cut
/// off square.
pub fn inset_by(region: &Region, width: f64) -> Vec<Region> {
    let moved = |e: &Edge| NamedEdge {
        a: e.a,
        b: e.b,
        kind: e.kind,
        source: e.source,
        gap: 0.0,
        play: 0.0,
        inset: width,
    };
    let rings: Vec<Vec<NamedEdge>> =
        region.rings().map(|ring| ring.edges.iter().map(moved).collect()).collect();
    let mut parts = inset_rings(&rings);
    parts.sort_by(by_first_corner);
    parts
}

/// Regions in a stable order: by the lowest, then leftmost corner, with which each outline starts.
pub(crate) fn by_first_corner(a: &Region, b: &Region) -> std::cmp::Ordering {
    let corner = |r: &Region| r.outer.edges.first().map_or(Uv::default(), |edge| edge.a);
    let (a, b) = (corner(a), corner(b));
    a.v.total_cmp(&b.v).then(a.u.total_cmp(&b.u))
}

/// The faces of a patch and where they lie.
pub(crate) struct FiledFaces {
    faces: Vec<Face>,
    lines: Lines,
    ends: Ends,
}

impl FiledFaces {
    fn new(faces: Vec<Face>) -> Self {
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

/// Moves every edge of an outline and its holes in by its own inset.
fn inset_rings(named: &[Vec<NamedEdge>]) -> Vec<Region> {
    mitred(named).map_or_else(|| clipped(named, &[]), |region| vec![region])
}

/// The same for any rings, the outline first, and off further rings, beside which they lie.
pub(crate) fn clipped(named: &[Vec<NamedEdge>], further: &[Vec<NamedEdge>]) -> Vec<Region> {
    let shape = |edges: &Vec<NamedEdge>| anticlockwise(edges.iter().map(|edge| edge.a).collect());
    let mut cut: Vec<Shape> = named[1..].iter().map(shape).collect();
    named.iter().chain(further).for_each(|edges| inset_bands(edges, &mut cut));
    let offsets = Offsets::new(named.iter().chain(further).flatten().copied().collect());
    polygons(&[shape(&named[0])])
        .difference_with_fill_rule(&polygons(&cut), FillRule::NonZero)
        .iter()
        .filter_map(|polygon| region(polygon, &offsets))
        .collect()
}

/// The parts of a kick that stand in the rooms. One that is drawn on into a wall would else have sides along the wall's face,
/// beside which boards that go under it would keep no gap.
fn within(kick: &Kick, rooms: &MultiPolygon) -> Vec<Kick> {
    let whole = polygons(std::slice::from_ref(&kick.shape));
    if area(&whole.difference_with_fill_rule(rooms, FillRule::NonZero)) < NO_FLOOR {
        return vec![kick.clone()];
    }
    let parts = whole.intersection_with_fill_rule(rooms, FillRule::NonZero);
    let part = |part: &Polygon| Kick { shape: anticlockwise(ring_points(part.exterior())), ..kick.clone() };
    parts.iter().map(part).collect()
}

/// What remains of a kick's outline once the boards have gone under its open sides. A side, or the part of
/// it, that stands against a wall or another fixture has no bare floor before it, so nothing slides under it.
fn kick_core(kick: &Kick, bare: &MultiPolygon) -> Vec<Shape> {
    let corners = bare.iter().flat_map(rings).flat_map(|ring| &ring.0).map(|c| Uv::new(c.x, c.y));
    let shape = Ends::new(corners.collect()).split(&kick.shape);
    let edges: Vec<NamedEdge> = (0..shape.len())
        .map(|i| {
            let (a, b) = (shape[i], shape[(i + 1) % shape.len()]);
            let (_, n) = axes(a, b);
            let outside = Coord { x: (a.u + b.u) / 2.0 - n.u * BEFORE, y: (a.v + b.v) / 2.0 - n.v * BEFORE };
            let open = bare.iter().any(|p| p.contains(&outside));
            NamedEdge {
                a,
                b,
                kind: EdgeKind::Kick,
                source: Source::Fixture(kick.fixture),
                gap: 0.0,
                play: 0.0,
                inset: if open { kick.tuck } else { 0.0 },
            }
        })
        .collect();
    let mut bands = Vec::new();
    inset_bands(&edges, &mut bands);
    // The parted outline, corner for corner with the bands: else rounding leaves a film before them.
    polygons(&[shape])
        .difference_with_fill_rule(&polygons(&bands), FillRule::NonZero)
        .iter()
        .map(|p| anticlockwise(ring_points(p.exterior())))
        .collect()
}

pub(crate) fn rings(polygon: &Polygon) -> impl Iterator<Item = &LineString> {
    std::iter::once(polygon.exterior()).chain(polygon.interiors())
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

pub(crate) fn distance(a: Uv, b: Uv) -> f64 {
    let (du, dv) = (b.u - a.u, b.v - a.v);
    (du * du + dv * dv).sqrt()
}

/// Unit vector from `a` to `b` and its left normal; zero vectors for points that coincide.
pub(crate) fn axes(a: Uv, b: Uv) -> (Uv, Uv) {
    let (du, dv) = (b.u - a.u, b.v - a.v);
    let length = (du * du + dv * dv).sqrt();
    if length <= 0.0 {
        return (Uv::default(), Uv::default());
    }
    let d = Uv::new(du / length, dv / length);
    (d, Uv::new(-d.v, d.u))
}

/// Names each edge of a boundary ring after the face it lies on and gives it its gap; an edge along which
/// one face follows another is parted there.
fn name_edges(points: &[Uv], faces: &FiledFaces, gaps: Gaps) -> Vec<NamedEdge> {
    let parted = faces.ends.split(points);
    let mut edges: Vec<NamedEdge> = Vec::new();
    let mut corners = points.iter().peekable();
    for (i, a) in parted.iter().enumerate() {
        let b = parted[(i + 1) % parted.len()];
        let is_corner = corners.next_if(|corner| *corner == a).is_some();
        let (kind, source, GapRange { least: gap, greatest }) = nearest_face(*a, b, faces, gaps);
        let play = greatest - gap;
        match edges.last_mut() {
            Some(last)
                if !is_corner
                    && (last.kind, last.source, last.gap, last.play) == (kind, source, gap, play) =>
            {
                last.b = b;
            }
            _ => {
                // A joint's whole width is cut out already.
                let inset = if kind == EdgeKind::MovementJoint { 0.0 } else { gap.max(0.0) };
                edges.push(NamedEdge { a: *a, b, kind, source, gap, play, inset });
            }
        }
    }
    without_chips(edges)
}

/// The gap of a face where the boundary runs from `a` to `b`.
fn gap_of(face: &Face, (a, b): (Uv, Uv), gaps: Gaps) -> GapRange {
    face.own_gap.unwrap_or_else(|| gaps.of(face.kind, lies_along_rows(a, b)))
}

/// What the face is on which the middle of an edge lies, by distance, then by direction, with its gap there.
/// Of faces that lie on one another the one with the greatest gap counts.
fn nearest_face(a: Uv, b: Uv, faces: &FiledFaces, gaps: Gaps) -> (EdgeKind, Source, GapRange) {
    let middle = Uv::new((a.u + b.u) / 2.0, (a.v + b.v) / 2.0);
    let (d, _) = axes(a, b);
    let level = faces.lines.least(middle, HEALED, |line| {
        let (off, past) = line.off_and_past(middle);
        // Direction settles which of two faces through one corner an edge lies on, and the side the floor
        // is on which of two things that stand against each other.
        let (turned, against) = line.turned_and_against(d);
        (off <= 1.0).then_some(off + past + turned + against)
    });
    let Some((_, best)) =
        level.iter().copied().reduce(|best, next| if next.0 < best.0 { next } else { best })
    else {
        return (EdgeKind::Wall, Source::Wall { room: 0, wall: 0 }, gaps.wall);
    };
    let gap = |face: &Face| gap_of(face, (a, b), gaps);
    let level = level.into_iter().map(|(_, face)| &faces.faces[face]);
    let face = level
        .fold(&faces.faces[best], |most, face| if gap(face).least > gap(most).least { face } else { most });
    (face.kind, face.source, gap(face))
}

/// Polygons that, taken from the floor, move each edge in by its inset.
fn inset_bands(edges: &[NamedEdge], bands: &mut Vec<Shape>) {
    for (i, edge) in edges.iter().enumerate() {
        let (d, n) = axes(edge.a, edge.b);
        let g = edge.inset;
        if g > 0.0 {
            let shift = |p: Uv| Uv::new(p.u + n.u * g, p.v + n.v * g);
            bands.push(vec![edge.a, edge.b, shift(edge.b), shift(edge.a)]);
        }
        let next = &edges[(i + 1) % edges.len()];
        let (d2, n2) = axes(next.a, next.b);
        let turn = d.u * d2.v - d.v * d2.u;
        let g2 = next.inset;
        if turn > STRAIGHT && [edge.kind, next.kind].contains(&EdgeKind::MovementJoint) {
            // A joint goes on to the gap that it runs into, whatever the angle.
            bands.extend(gap_to_joint(edge, next));
        }
        if turn > STRAIGHT || g.max(g2) <= 0.0 {
            continue;
        }
        // At a corner that points into the floor the two bands leave a wedge between them, and where one
        // edge goes on in line with the other, rounding may leave a film.
        let corner = edge.b;
        let p = Uv::new(corner.u + n.u * g, corner.v + n.v * g);
        let q = Uv::new(corner.u + n2.u * g2, corner.v + n2.v * g2);
        let (most, sharp) = (g.max(g2), d.u * d2.u + d.v * d2.v < 0.0);
        let mut wedge = vec![corner, p];
        let mitre = meet(p, d, q, d2).filter(|m| distance(*m, corner) <= MITRE_LIMIT * most);
        match mitre {
            Some(m) => wedge.push(m),
            // Cut off square at the gap's distance before the corner.
            None if sharp => {
                let (ahead, _) = axes(d2, d);
                let reach = |from: Uv, along: Uv| {
                    let done = (from.u - corner.u) * ahead.u + (from.v - corner.v) * ahead.v;
                    let t = (most - done) / (along.u * ahead.u + along.v * ahead.v);
                    Uv::new(from.u + along.u * t, from.v + along.v * t)
                };
                wedge.extend([reach(p, d), reach(q, Uv::new(-d2.u, -d2.v))]);
            }
            None => {}
        }
        wedge.push(q);
        if signed_area(&wedge).abs() > 0.0 {
            bands.push(anticlockwise(wedge));
        }
    }
}

/// What a gap lacks at a blunt corner with a joint: the wedge between its square end and the joint's line.
fn gap_to_joint(edge: &NamedEdge, next: &NamedEdge) -> Option<Shape> {
    let ((d, n), (e, m)) = (axes(edge.a, edge.b), axes(next.a, next.b));
    let moved = |n: Uv, by: f64| Uv::new(edge.b.u + n.u * by, edge.b.v + n.v * by);
    let (p, q) = (moved(n, edge.inset), moved(m, next.inset));
    let corner = meet(p, d, q, e)?;
    let wedge = anticlockwise(vec![edge.b, p, corner, q]);
    let is_near = distance(corner, edge.b) <= MITRE_LIMIT * edge.inset.max(next.inset);
    (is_near && signed_area(&wedge) > 0.0).then_some(wedge)
}

/// Where the line through `p` along `d` meets the line through `q` along `e`; `None` for lines
/// so nearly parallel that the point would be noise.
pub(crate) fn meet(p: Uv, d: Uv, q: Uv, e: Uv) -> Option<Uv> {
    let cross = d.u * e.v - d.v * e.u;
    if cross.abs() < STRAIGHT {
        return None;
    }
    let t = ((q.u - p.u) * e.v - (q.v - p.v) * e.u) / cross;
    Some(Uv::new(p.u + d.u * t, p.v + d.v * t))
}

/// The lines to which edges have moved, and where they lie.
struct Offsets {
    edges: Vec<NamedEdge>,
    lines: Lines,
    ends: Ends,
}

impl Offsets {
    fn new(edges: Vec<NamedEdge>) -> Self {
        let moved = |edge: &NamedEdge| {
            let line = Line::between(edge.a, edge.b);
            let (n, inset) = (line.n, edge.inset);
            Line { p: Uv::new(edge.a.u + n.u * inset, edge.a.v + n.v * inset), ..line }
        };
        let lines: Vec<Line> = edges.iter().map(moved).collect();
        let ends = Ends::new(lines.iter().flat_map(|line| [line.p, line.end()]).collect());
        Self { edges, lines: Lines::new(lines), ends }
    }

    /// The line on which a final edge lies.
    fn nearest(&self, a: Uv, b: Uv) -> usize {
        let middle = Uv::new((a.u + b.u) / 2.0, (a.v + b.v) / 2.0);
        let (d, _) = axes(a, b);
        let found = self.lines.least(middle, 0.0, |line| {
            let (off, past) = line.off_and_past(middle);
            let (turned, against) = line.turned_and_against(d);
            // A mitred corner lies a little past the end of its line; lying off the line counts far more.
            Some(off * 100.0 + past + (turned + against) * 100.0)
        });
        found.first().map_or(0, |(_, line)| *line)
    }
}

fn region(polygon: &Polygon, offsets: &Offsets) -> Option<Region> {
    let outer = ring(polygon.exterior(), offsets, true)?;
    let holes: Vec<Ring> = polygon.interiors().iter().filter_map(|hole| ring(hole, offsets, false)).collect();
    region_of(outer, holes)
}

/// The region of these rings, unless it is too thin to take a board.
pub(crate) fn region_of(outer: Ring, holes: Vec<Ring>) -> Option<Region> {
    let ring_area = |r: &Ring| signed_area(&r.edges.iter().map(|e| e.a).collect::<Vec<_>>());
    let area = ring_area(&outer) + holes.iter().map(ring_area).sum::<f64>();
    let perimeter: f64 = outer.edges.iter().map(Edge::length).sum();
    // Twice the area over the perimeter is about the width of a long thin piece.
    (area > 0.0 && 2.0 * area > NO_FLOOR * perimeter).then_some(Region { outer, holes, area })
}

/// A named ring with its corners put back on the exact lines they come from.
fn ring(line: &LineString, offsets: &Offsets, outer: bool) -> Option<Ring> {
    let mut points = ring_points(line);
    points.dedup_by(|a, b| near(*a, *b));
    while points.len() > 1 && near(points[0], points[points.len() - 1]) {
        points.pop();
    }
    if points.len() < 3 {
        return None;
    }
    let points = offsets.ends.split(&points);
    let points = match (outer, anticlockwise(points)) {
        (true, points) => points,
        (false, mut points) => {
            points.reverse();
            points
        }
    };
    let count = points.len();
    let lines: Vec<usize> = (0..count).map(|i| offsets.nearest(points[i], points[(i + 1) % count])).collect();
    let line = |i: usize| &offsets.lines.lines[lines[i]];
    // Corners that part two pieces of one line are no corners. A jog shorter than the gaps may belong to
    // no line; then its corners do not lie on the nearest one, and stay.
    let on_line = |i: usize, point: Uv| line(i).off_and_past(point).0 <= MATCH;
    let lies = |i: usize| on_line(i, points[i]) && on_line(i, points[(i + 1) % count]);
    // A step from one gap to another is the end of the wider, whatever runs its way nearby.
    let inset = |i: usize| offsets.edges[lines[i]].inset;
    let names = |i: usize| {
        let beside = [(i + count - 1) % count, (i + 1) % count];
        let wider = beside
            .into_iter()
            .filter(|j| !lies(i) && lies(*j))
            .max_by(|a, b| inset(*a).total_cmp(&inset(*b)));
        lines[wider.unwrap_or(i)]
    };
    let keep: Vec<usize> = (0..count)
        .filter(|i| {
            let before = (i + count - 1) % count;
            lines[*i] != lines[before] || !lies(*i) || !lies(before)
        })
        .collect();
    if keep.len() < 3 {
        return None;
    }
    let corner = |i: usize| {
        let (before, after) = (line((i + count - 1) % count), line(i));
        meet(before.p, before.d, after.p, after.d)
            .filter(|exact| {
                let (du, dv) = (exact.u - points[i].u, exact.v - points[i].v);
                du * du + dv * dv <= MATCH * MATCH
            })
            .unwrap_or(points[i])
    };
    let first = (0..keep.len()).min_by(|a, b| {
        let (p, q) = (points[keep[*a]], points[keep[*b]]);
        p.v.total_cmp(&q.v).then(p.u.total_cmp(&q.u))
    })?;
    let mut edges: Vec<Edge> = (0..keep.len())
        .map(|k| {
            let i = keep[(first + k) % keep.len()];
            let j = keep[(first + k + 1) % keep.len()];
            offsets.edges[names(i)].at(corner(i), corner(j))
        })
        .collect();
    // Put back on its lines, a chip may have no length left.
    without_spikes(&mut edges);
    for i in 0..edges.len() {
        edges[i].b = edges[(i + 1) % edges.len()].a;
    }
    (edges.len() >= 3).then_some(Ring { edges })
}

/// Takes out edges without length and spikes, corners at which the ring turns back on itself; the longer edge
/// at a spike keeps its name.
fn without_spikes(edges: &mut Vec<Edge>) {
    let (mut i, mut sound) = (0, 0);
    while edges.len() >= 3 && sound < edges.len() {
        let count = edges.len();
        let next = (i + 1) % count;
        let (a, b, c) = (edges[i].a, edges[next].a, edges[(i + 2) % count].a);
        let ((du, dv), (eu, ev)) = ((b.u - a.u, b.v - a.v), (c.u - b.u, c.v - b.v));
        let (before, after) = (distance(a, b), distance(b, c));
        let is_spike = du * eu + dv * ev < 0.0 && (du * ev - dv * eu).abs() < HEALED * before.max(after);
        let found = edges.len();
        if is_spike && before >= after {
            edges.remove(next);
        } else if is_spike || before <= HEALED {
            edges[next].a = a;
            edges.remove(i);
        }
        (i, sound) = if edges.len() == found { (next, sound + 1) } else { (i.saturating_sub(1), 0) };
    }
}

fn near(a: Uv, b: Uv) -> bool {
    (a.u - b.u).abs() < HEALED && (a.v - b.v).abs() < HEALED
}

pub(crate) fn ring_points(ring: &LineString) -> Vec<Uv> {
    let coords = &ring.0;
    let open = coords.len().saturating_sub(1);
    coords[..open].iter().map(|c| Uv::new(c.x, c.y)).collect()
}

pub(crate) fn polygons(shapes: &[Shape]) -> MultiPolygon {
    MultiPolygon(
        shapes
            .iter()
            .map(|shape| {
                Polygon::new(
                    shape.iter().map(|p| Coord { x: p.u, y: p.v }).collect::<LineString>(),
                    Vec::new(),
                )
            })
            .collect(),
    )
}

fn area(shapes: &MultiPolygon) -> f64 {
    use geo::Area;
    shapes.unsigned_area()
}
