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
/// Crossings of one cut closer together than this are one point, mm.
const SAME: f64 = 1e-6;
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

/// The band a height belongs to: -1 below the first cut, then 0.. ; a point on a cut counts as above it,
/// which settles every touching case the same way.
fn band_of(v: f64, cuts: &[f64]) -> isize {
    cuts.partition_point(|cut| *cut <= v) as isize - 1
}

fn walk(ring: &[Uv], cuts: &[f64], bands: &mut [Band]) {
    let points: Vec<(Uv, isize)> = ring
        .iter()
        .map(|p| {
            let next = cuts.partition_point(|cut| *cut <= p.v - SNAP);
            let v = cuts.get(next).filter(|cut| (**cut - p.v).abs() < SNAP).copied().unwrap_or(p.v);
            (Uv::new(p.u, v), band_of(v, cuts))
        })
        .collect();
    let Some(&(_, first_band)) = points.first() else { return };
    if points.iter().all(|(_, band)| *band == first_band) {
        if let Some(band) = inside(bands, first_band) {
            band.closed.push(points.into_iter().map(|(p, _)| p).collect());
        }
        return;
    }
    // Start just after a crossing, so that no chain is split over the ring's seam.
    let count = points.len();
    let start = (0..count).find(|i| points[*i].1 != points[(*i + count - 1) % count].1).unwrap_or(0);
    let mut chain: Chain = Vec::new();
    let mut previous = points[(start + count - 1) % count];
    for step in 0..=count {
        let current = points[(start + step) % count];
        let mut band = previous.1;
        while band != current.1 {
            let up = current.1 > band;
            let cut = cuts[if up { band + 1 } else { band } as usize];
            let (a, b) = (previous.0, current.0);
            let u = if a.v == cut {
                a.u
            } else if b.v == cut {
                b.u
            } else {
                a.u + (b.u - a.u) * (cut - a.v) / (b.v - a.v)
            };
            let at = Uv::new(u, cut);
            // The first crossing only opens the first chain.
            if step > 0 || !chain.is_empty() {
                chain.push(at);
                if let Some(band) = inside(bands, band) {
                    band.open.push(std::mem::take(&mut chain));
                }
                chain.clear();
                if step == count {
                    // Back at the seam: what follows was walked first.
                    break;
                }
            }
            chain.push(at);
            band += if up { 1 } else { -1 };
        }
        if step < count {
            chain.push(current.0);
        }
        previous = current;
    }
}

fn inside(bands: &mut [Band], band: isize) -> Option<&mut Band> {
    usize::try_from(band).ok().and_then(|band| bands.get_mut(band))
}

/// Closes the chains of one band along its two cuts.
fn close(band: Band, low: f64, high: f64) -> Vec<Outline> {
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
            debug_assert!(if cut == low { *u <= v + SAME } else { *v <= u + SAME });
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
        if let Some(outline) = outers.iter_mut().find(|o| contains(&o.outer, hole[0])) {
            outline.holes.push(hole);
        }
    }
    outers.sort_by(|a, b| extent(&a.outer).0.total_cmp(&extent(&b.outer).0));
    outers
}

/// Drops corners that are none: repeated points and points on a straight line.
fn tidy(mut ring: Chain) -> Chain {
    ring.dedup_by(|b, a| close_to(*a, *b));
    while ring.len() > 1 && close_to(ring[0], ring[ring.len() - 1]) {
        ring.pop();
    }
    let count = ring.len();
    if count < 3 {
        return ring;
    }
    let straight = |i: usize| {
        let (a, b, c) = (ring[(i + count - 1) % count], ring[i], ring[(i + 1) % count]);
        let (d, e) = ((b.u - a.u, b.v - a.v), (c.u - b.u, c.v - b.v));
        let cross = d.0 * e.1 - d.1 * e.0;
        let chord = ((c.u - a.u) * (c.u - a.u) + (c.v - a.v) * (c.v - a.v)).sqrt();
        // Distance of the middle point from the line between its neighbours.
        d.0 * e.0 + d.1 * e.1 > 0.0 && cross.abs() <= SAME * chord.max(1.0)
    };
    let keep: Chain = (0..count).filter(|i| !straight(*i)).map(|i| ring[i]).collect();
    keep
}

fn close_to(a: Uv, b: Uv) -> bool {
    (a.u - b.u).abs() < SAME && (a.v - b.v).abs() < SAME
}

fn is_film(ring: &[Uv], area: f64) -> bool {
    let mut perimeter = 0.0;
    for (i, a) in ring.iter().enumerate() {
        let b = ring[(i + 1) % ring.len()];
        perimeter += ((b.u - a.u) * (b.u - a.u) + (b.v - a.v) * (b.v - a.v)).sqrt();
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
