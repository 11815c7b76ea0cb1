//! Builds the site: boolean operations and insets.

use crate::face::{Face, Kick, Patch, Shape, anticlockwise, fixed, push_ring, signed_area};
use crate::gaps::Gaps;
use crate::index::Ends;
use crate::joint::part;
use crate::mitre::mitred;
use crate::named::{FiledFaces, NamedEdge, named_rings};
use crate::outline::{Offsets, region};
use crate::whole::Whole;
use crate::{Edge, EdgeKind, Region, Source, Uv};
use geo::algorithm::bool_ops::{BooleanOps, FillRule};
use geo::{Contains, Coord, LineString, MultiPolygon, Polygon};

/// Geometry thinner than this is rounding, not floor, mm.
pub(crate) const HEALED: f64 = 0.01;
/// A part of the floor narrower than this takes no board, mm.
pub(crate) const NO_FLOOR: f64 = 1.0;
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
/// At corners that turn by less than this sine, some ten degrees, one wall goes on in line with the other: there the
/// wider of two gaps ends in a step.
pub(crate) const IN_LINE: f64 = 0.17;

/// What a patch of the floor gives.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Built {
    pub(crate) regions: Vec<Region>,
    /// Before the gaps are taken off, mm².
    pub(crate) bare_area: f64,
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
    let wholes = Whole::of(&floor, &FiledFaces::new(faces), gaps);
    // Jogs are healed and gaps are given before a joint parts the floor: of a wall that it meets each side lies where all of it does.
    let healed = wholes.iter().map(Whole::healed).collect();
    let mut faces: Vec<Face> = wholes.iter().flat_map(Whole::faces).collect();
    let parts = part(&healed, &patch.joints, &mut faces);
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
        // A joint goes on to the gap that it runs into, whatever the angle; so does a wide gap into a narrow one, since
        // past its own end the floor is to come no nearer to what it is kept from.
        let meets_joint = turn > STRAIGHT && [edge.kind, next.kind].contains(&EdgeKind::MovementJoint);
        if meets_joint || is_blunt(edge, next) {
            bands.extend(gap_past_its_end(edge, next));
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

/// Whether two edges that each keep a gap meet at a corner blunter than square, where the wider gap may end too soon. A kick's
/// sides keep none: boards go under them.
pub(crate) fn is_blunt(edge: &NamedEdge, next: &NamedEdge) -> bool {
    let ((d, _), (e, _)) = (axes(edge.a, edge.b), axes(next.a, next.b));
    let (turn, along) = (d.u * e.v - d.v * e.u, d.u * e.u + d.v * e.v);
    let is_kick = [edge.kind, next.kind].contains(&EdgeKind::Kick);
    turn > IN_LINE && along > 0.0 && edge.inset.min(next.inset) >= 0.0 && !is_kick
}

/// What a gap lacks at a blunt corner: the wedge between its square end and the line that the floor keeps beyond.
fn gap_past_its_end(edge: &NamedEdge, next: &NamedEdge) -> Option<Shape> {
    let ((d, n), (e, m)) = (axes(edge.a, edge.b), axes(next.a, next.b));
    let moved = |n: Uv, by: f64| Uv::new(edge.b.u + n.u * by, edge.b.v + n.v * by);
    let (p, q) = (moved(n, edge.inset), moved(m, next.inset));
    let corner = meet(p, d, q, e)?;
    let wedge = anticlockwise(vec![edge.b, p, corner, q]);
    let is_near = distance(corner, edge.b) <= MITRE_LIMIT * edge.inset.max(next.inset);
    // The edge beside it may end before.
    let past = (corner.u - edge.b.u) * d.u + (corner.v - edge.b.v) * d.v;
    let ahead = (corner.u - edge.b.u) * e.u + (corner.v - edge.b.v) * e.v;
    let is_beside = -past <= distance(edge.a, edge.b) && ahead <= distance(next.a, next.b);
    (is_near && is_beside && signed_area(&wedge) > 0.0).then_some(wedge)
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
