//! Slices a region into the bands between parallel lines.
//!
//! Rows cut the region, end joints cut the runs: both are this one operation, walked once along the
//! boundary, so that its cost follows the length of the boundary and the number of pieces. (A general
//! polygon clipper per board would be some hundred times the work.)

use crate::Outline;
use site::Uv;

/// A corner this close to a cut lies on it, mm: else rounding in the boundary would leave boards
/// thinner than a hair.
const SNAP: f64 = 0.005;
/// A corner this close to the line between its neighbours is none, mm.
const SAME: f64 = 1e-6;
/// Corners closer together than this are one, mm: rounding in the boundary, not a measure to be cut.
const REPEATED: f64 = 1e-4;
/// Pieces thinner than this are rounding, not boards, mm.
const HEALED: f64 = 0.01;

/// A stretch of boundary inside one band, from where it enters to where it leaves.
type Chain = Vec<Uv>;

/// What the boundary leaves in one band.
#[derive(Debug, Default, Clone)]
struct Band {
    open: Vec<Chain>,
    closed: Vec<Chain>,
}

/// Cuts the region bounded by `rings` (outline anticlockwise, holes clockwise) at each v of `cuts`,
/// which rise. Gives the pieces in each band between neighbouring cuts, left to right; what lies
/// outside the first and last cut is dropped.
pub fn slice(rings: &[Vec<Uv>], cuts: &[f64]) -> Vec<Vec<Outline>> {
    let count = cuts.len().saturating_sub(1);
    let mut bands = vec![Band::default(); count];
    for ring in rings {
        walk(ring, cuts, &mut bands);
    }
    bands.into_iter().enumerate().map(|(i, band)| close(band, cuts[i], cuts[i + 1])).collect()
}

/// Slices along u instead: the pieces between neighbouring end joints of a run, from left to right.
pub fn slice_across(rings: &[Vec<Uv>], cuts: &[f64]) -> Vec<Vec<Outline>> {
    let turn = |p: &Uv| Uv::new(-p.v, p.u);
    let back = |p: &mut Uv| *p = Uv::new(p.v, -p.u);
    let turned: Vec<Vec<Uv>> = rings.iter().map(|ring| ring.iter().map(turn).collect()).collect();
    let mut bands = slice(&turned, cuts);
    for outline in bands.iter_mut().flatten() {
        outline.outer.iter_mut().for_each(back);
        outline.holes.iter_mut().flatten().for_each(back);
    }
    bands
}

/// A straight piece of boundary inside one band.
#[derive(Debug, Clone, Copy)]
struct Piece {
    band: isize,
    from: Uv,
    to: Uv,
}

/// Parts a ring at every cut and hands its chains to their bands.
fn walk(ring: &[Uv], cuts: &[f64], bands: &mut [Band]) {
    let points: Vec<Uv> = ring.iter().map(|p| Uv::new(p.u, snapped(p.v, cuts))).collect();
    let mut pieces: Vec<Piece> = Vec::with_capacity(points.len() + 2);
    for (i, a) in points.iter().enumerate() {
        part(*a, points[(i + 1) % points.len()], cuts, &mut pieces);
    }
    let count = pieces.len();
    // Start where the band changes, so that no chain is split over the ring's seam.
    let change = (0..count).find(|i| pieces[*i].band != pieces[(*i + count - 1) % count].band);
    let Some(start) = change else {
        let band = pieces.first().and_then(|piece| inside(bands, piece.band));
        if let Some(band) = band {
            band.closed.push(pieces.iter().map(|piece| piece.from).collect());
        }
        return;
    };
    let mut chain: Chain = Vec::new();
    for step in 0..count {
        let piece = pieces[(start + step) % count];
        let next = pieces[(start + step + 1) % count];
        chain.push(piece.from);
        if next.band != piece.band {
            chain.push(piece.to);
            let chain = std::mem::take(&mut chain);
            if let Some(band) = inside(bands, piece.band) {
                band.open.push(chain);
            }
        }
    }
}

fn snapped(v: f64, cuts: &[f64]) -> f64 {
    let next = cuts.partition_point(|cut| *cut <= v - SNAP);
    cuts.get(next).filter(|cut| (**cut - v).abs() < SNAP).copied().unwrap_or(v)
}

/// Parts one edge at the cuts it crosses. An edge along a cut belongs to the band on its floor's side, its left:
/// else the far band would get a bridge without width.
fn part(a: Uv, b: Uv, cuts: &[f64], pieces: &mut Vec<Piece>) {
    let above = |v: f64| cuts.partition_point(|cut| *cut <= v) as isize - 1;
    let below = |v: f64| cuts.partition_point(|cut| *cut < v) as isize - 1;
    if a.v == b.v {
        let band = if b.u > a.u { above(a.v) } else { below(a.v) };
        pieces.push(Piece { band, from: a, to: b });
        return;
    }
    let up = b.v > a.v;
    let (mut band, last) = if up { (above(a.v), below(b.v)) } else { (below(a.v), above(b.v)) };
    let mut from = a;
    while band != last {
        let cut = cuts[if up { band + 1 } else { band } as usize];
        let to = Uv::new(a.u + (b.u - a.u) * (cut - a.v) / (b.v - a.v), cut);
        pieces.push(Piece { band, from, to });
        from = to;
        band += if up { 1 } else { -1 };
    }
    pieces.push(Piece { band, from, to: b });
}

fn inside(bands: &mut [Band], band: isize) -> Option<&mut Band> {
    usize::try_from(band).ok().and_then(|band| bands.get_mut(band))
}

/// Closes the chains of one band along its two cuts.
fn close(band: Band, low: f64, high: f64) -> Vec<Outline> {
    let band = match plainly(band, low, high) {
        Ok(ring) => {
            let ring = tidy(ring);
            let area = area(&ring);
            let is_piece = area > 0.0 && !is_film(&ring, area);
            return if is_piece { vec![Outline { outer: ring, holes: Vec::new() }] } else { Vec::new() };
        }
        Err(band) => band,
    };
    let mut next: Vec<Option<usize>> = vec![None; band.open.len()];
    for cut in [low, high] {
        let on_cut = |p: Option<&Uv>| p.filter(|p| p.v == cut).map(|p| p.u);
        let mut starts: Vec<(f64, usize)> = Vec::new();
        let mut ends: Vec<(f64, usize)> = Vec::new();
        for (i, chain) in band.open.iter().enumerate() {
            starts.extend(on_cut(chain.first()).map(|u| (u, i)));
            ends.extend(on_cut(chain.last()).map(|u| (u, i)));
        }
        starts.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        ends.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        // Along the lower cut floor begins where a chain leaves downwards, along the upper one where a
        // chain enters; in order from the left the k-th such point belongs to the k-th of the other kind.
        for ((u, end), (v, start)) in ends.iter().zip(&starts) {
            // Where the boundary touches itself, rounding may let it cross by a hair.
            debug_assert!(if cut == low { *u <= v + HEALED } else { *v <= u + HEALED });
            next[*end] = Some(*start);
        }
    }
    let mut outers: Vec<Outline> = Vec::new();
    let mut holes: Vec<Chain> = Vec::new();
    let mut sort = |ring: Chain| {
        let ring = tidy(ring);
        let area = area(&ring);
        if area > 0.0 && !is_film(&ring, area) {
            outers.push(Outline { outer: ring, holes: Vec::new() });
        } else if area < 0.0 && !is_film(&ring, -area) {
            holes.push(ring);
        }
    };
    let mut used = vec![false; band.open.len()];
    for first in 0..band.open.len() {
        let mut ring = Chain::new();
        let mut at = first;
        while !used[at] {
            used[at] = true;
            ring.extend(&band.open[at]);
            match next[at] {
                Some(following) => at = following,
                None => break,
            }
        }
        if !ring.is_empty() {
            sort(ring);
        }
    }
    band.closed.into_iter().for_each(sort);
    for hole in holes {
        // A hole may touch the outline with a corner, or more.
        let holds = |o: &&mut Outline| {
            let inside = hole.iter().filter(|p| contains(&o.outer, **p)).count();
            2 * inside > hole.len()
        };
        if let Some(outline) = outers.iter_mut().find(holds) {
            outline.holes.push(hole);
        }
    }
    outers.sort_by(|a, b| extent(&a.outer).0.total_cmp(&extent(&b.outer).0));
    outers
}

/// The one ring of a band in which the boundary goes once from cut to cut and once back, or comes in and goes out over one
/// cut: so it is in nearly all bands. Any other band is given back.
fn plainly(mut band: Band, low: f64, high: f64) -> Result<Chain, Band> {
    let ends = |chain: &Chain| Some((chain.first()?.v, chain.last()?.v));
    let is_plain = band.closed.is_empty()
        && match band.open.as_slice() {
            [only] => ends(only).is_some_and(|ends| ends == (low, low) || ends == (high, high)),
            [one, other] => match (ends(one), ends(other)) {
                (Some(one), Some(other)) => {
                    (one == (low, high) && other == (high, low))
                        || (one == (high, low) && other == (low, high))
                }
                _ => false,
            },
            _ => false,
        };
    if !is_plain {
        return Err(band);
    }
    let other = if band.open.len() > 1 { band.open.pop() } else { None };
    let mut ring = band.open.pop().unwrap_or_default();
    ring.extend(other.unwrap_or_default());
    Ok(ring)
}

/// Drops corners that are none: repeated points, spikes where the ring turns back on itself, and points on a
/// straight line.
fn tidy(mut ring: Chain) -> Chain {
    ring.dedup_by(|b, a| distance(*a, *b) < REPEATED);
    while ring.len() > 1 && distance(ring[0], ring[ring.len() - 1]) < REPEATED {
        ring.pop();
    }
    let corner = |ring: &Chain, i: usize| {
        let (a, b, c) = (ring[(i + ring.len() - 1) % ring.len()], ring[i], ring[(i + 1) % ring.len()]);
        let ((du, dv), (eu, ev)) = ((b.u - a.u, b.v - a.v), (c.u - b.u, c.v - b.v));
        (du * eu + dv * ev, (du * ev - dv * eu).abs(), a, b, c)
    };
    let is_spike = |ring: &Chain, i: usize| {
        let (dot, cross, a, b, c) = corner(ring, i);
        dot < 0.0 && cross < HEALED * distance(a, b).max(distance(b, c))
    };
    while ring.len() >= 3
        && let Some(i) = (0..ring.len()).find(|i| is_spike(&ring, *i))
    {
        let (.., a, _, c) = corner(&ring, i);
        let next = (i + 1) % ring.len();
        let is_bare = distance(a, c) < HEALED;
        ring.remove(if is_bare { i.max(next) } else { i });
        if is_bare {
            ring.remove(i.min(next));
        }
    }
    if ring.len() < 3 {
        return ring;
    }
    // Distance of the middle point from the line between its neighbours.
    let is_straight = |i: &usize| {
        let (dot, cross, a, _, c) = corner(&ring, *i);
        dot > 0.0 && cross <= SAME * distance(a, c).max(1.0)
    };
    match (0..ring.len()).any(|i| is_straight(&i)) {
        true => (0..ring.len()).filter(|i| !is_straight(i)).map(|i| ring[i]).collect(),
        false => ring,
    }
}

fn distance(a: Uv, b: Uv) -> f64 {
    let (du, dv) = (b.u - a.u, b.v - a.v);
    (du * du + dv * dv).sqrt()
}

fn is_film(ring: &[Uv], area: f64) -> bool {
    let mut perimeter = 0.0;
    for (i, a) in ring.iter().enumerate() {
        let b = ring[(i + 1) % ring.len()];
        perimeter += distance(*a, b);
    }
    2.0 * area <= HEALED * perimeter
}

/// Signed area of a ring, mm².
pub(crate) fn area(ring: &[Uv]) -> f64 {
    let Some(origin) = ring.first() else { return 0.0 };
    let mut doubled = 0.0;
    for (i, a) in ring.iter().enumerate() {
        let b = ring[(i + 1) % ring.len()];
        doubled += (a.u - origin.u) * (b.v - origin.v) - (b.u - origin.u) * (a.v - origin.v);
    }
    doubled / 2.0
}

/// Least and greatest u of a ring.
pub(crate) fn extent(ring: &[Uv]) -> (f64, f64) {
    ring.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(l, r), p| (l.min(p.u), r.max(p.u)))
}

/// Least and greatest v of a ring.
pub(crate) fn rise(ring: &[Uv]) -> (f64, f64) {
    ring.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), p| (l.min(p.v), h.max(p.v)))
}

fn contains(ring: &[Uv], p: Uv) -> bool {
    let mut inside = false;
    for (i, a) in ring.iter().enumerate() {
        let b = ring[(i + 1) % ring.len()];
        if (a.v <= p.v) != (b.v <= p.v) && a.u + (b.u - a.u) * (p.v - a.v) / (b.v - a.v) > p.u {
            inside = !inside;
        }
    }
    inside
}

impl Outline {
    /// All rings, the outer one first.
    pub fn rings(&self) -> impl Iterator<Item = &Vec<Uv>> {
        std::iter::once(&self.outer).chain(&self.holes)
    }

    /// Area, mm².
    pub fn area(&self) -> f64 {
        self.rings().map(|ring| area(ring)).sum()
    }

    /// Stretches of the line across the rows at `u` inside the outline, least and greatest v, from low to high.
    pub fn chords(&self, u: f64) -> Vec<(f64, f64)> {
        let mut crossings: Vec<f64> = Vec::new();
        for ring in self.rings() {
            for (i, a) in ring.iter().enumerate() {
                let b = ring[(i + 1) % ring.len()];
                if (a.u <= u) != (b.u <= u) {
                    crossings.push(a.v + (b.v - a.v) * (u - a.u) / (b.u - a.u));
                }
            }
        }
        crossings.sort_by(f64::total_cmp);
        crossings.chunks_exact(2).map(|pair| (pair[0], pair[1])).collect()
    }
}
