//! Slices a region into the bands between parallel lines.
//!
//! Rows cut the region, end joints cut the runs: both are this one operation, walked once along the
//! boundary, so that its cost follows the length of the boundary and the number of pieces. (A general
//! polygon clipper per board would be some hundred times the work.)

use crate::Outline;
use crate::level::Level;
use site::Uv;

/// A corner this close to a cut lies on it, mm: else rounding in the boundary would leave boards
/// thinner than a hair.
pub(crate) const SNAP: f64 = 0.005;
/// A corner this close to the line between its neighbours is none, mm.
const SAME: f64 = 1e-6;
/// Corners closer together than this are one, mm: rounding in the boundary, not a measure to be cut.
const REPEATED: f64 = 1e-4;
/// Pieces thinner than this are rounding, not boards, mm.
const HEALED: f64 = 0.01;

/// A ring of corners.
type Chain = Vec<Uv>;

/// A stretch of boundary inside one band, from where it enters to where it leaves: which of the slicer's corners.
#[derive(Debug, Clone, Copy)]
struct Stretch {
    band: usize,
    from: usize,
    to: usize,
    /// Whether it lies in the band all round.
    is_closed: bool,
}

/// Cuts the region bounded by `rings` (outline anticlockwise, holes clockwise) at each v of `cuts`,
/// which rise. Gives the pieces in each band between neighbouring cuts, left to right; what lies
/// outside the first and last cut is dropped.
pub fn slice(rings: &[Vec<Uv>], cuts: &[f64]) -> Vec<Vec<Outline>> {
    let mut bands = vec![Vec::new(); cuts.len().saturating_sub(1)];
    Slicer::default().each(rings, cuts, |band, outline| bands[band].push(outline));
    bands
}

/// Slices along u instead: the pieces between neighbouring end joints of a run, from left to right.
pub fn slice_across(rings: &[Vec<Uv>], cuts: &[f64]) -> Vec<Vec<Outline>> {
    let mut bands = vec![Vec::new(); cuts.len().saturating_sub(1)];
    Slicer::default().across(rings.iter(), cuts, |band, outline| bands[band].push(outline));
    bands
}

/// A piece of a run, as [`slice_run`] gives it.
pub(crate) type Strip = (usize, Outline);

/// Slices a run as laying does: the first cut stands before its left end, the last past its right end, the others are its
/// joints, well inside. Gives each piece from left to right with the number of its stretch between neighbouring cuts; a notch
/// may leave two in one stretch. Most runs are rectangles, whose pieces need no walk along the boundary.
pub fn slice_run(run: &Outline, cuts: &[f64]) -> Vec<(usize, Outline)> {
    Slicer::default().run(run, cuts)
}

/// Left, low, right and high of an outline that is a true rectangle.
fn rectangle(outline: &Outline) -> Option<[f64; 4]> {
    let ring = &outline.outer;
    if ring.len() != 4 || !outline.holes.is_empty() {
        return None;
    }
    let ((left, right), (low, high)) = (extent(ring), rise(ring));
    let at_corner = |p: &Uv| (p.u == left || p.u == right) && (p.v == low || p.v == high);
    (ring.iter().all(at_corner) && outline.area() > 0.99 * (right - left) * (high - low))
        .then_some([left, low, right, high])
}

/// A straight piece of boundary inside one band.
#[derive(Debug, Clone, Copy)]
struct Piece {
    band: isize,
    from: Uv,
    to: Uv,
}

/// Walks along a boundary and notes what it leaves in each band; keeps its lists for the next.
#[derive(Debug, Default)]
pub(crate) struct Slicer {
    corners: Vec<Uv>,
    stretches: Vec<Stretch>,
    /// Of the ring being walked.
    points: Vec<Uv>,
    pieces: Vec<Piece>,
}

impl Slicer {
    /// Gives the pieces of a region between neighbouring row lines: band by band, left to right.
    pub(crate) fn each(&mut self, rings: &[Vec<Uv>], cuts: &[f64], give: impl FnMut(usize, Outline)) {
        rings.iter().for_each(|ring| self.walk(ring.iter().copied(), cuts));
        self.close(cuts, give);
    }

    /// Gives the pieces of an outline between neighbouring places along the rows, left to right, each with the number of
    /// its stretch.
    pub(crate) fn across<'r>(
        &mut self,
        rings: impl Iterator<Item = &'r Vec<Uv>>,
        cuts: &[f64],
        mut give: impl FnMut(usize, Outline),
    ) {
        let back = |p: &mut Uv| *p = Uv::new(p.v, -p.u);
        rings.for_each(|ring| self.walk(ring.iter().map(|p| Uv::new(-p.v, p.u)), cuts));
        self.close(cuts, |band, mut outline| {
            outline.outer.iter_mut().for_each(back);
            outline.holes.iter_mut().flatten().for_each(back);
            give(band, outline);
        });
    }

    /// See [`slice_run`].
    pub(crate) fn run(&mut self, run: &Outline, cuts: &[f64]) -> Vec<Strip> {
        if let (Some([left, low, right, high]), [_, joints @ .., _]) = (rectangle(run), cuts) {
            let mut from = left;
            let ends = joints.iter().copied().chain([right]);
            let piece = |(stretch, to): (usize, f64)| {
                let corners = [(from, low), (to, low), (to, high), (from, high)];
                from = to;
                (stretch, Outline { outer: corners.map(|(u, v)| Uv::new(u, v)).to_vec(), holes: Vec::new() })
            };
            return ends.enumerate().map(piece).collect();
        }
        if let (Some(strip), [_, joints @ .., _]) = (Level::of(run), cuts)
            && strip.holds(joints)
        {
            return strip.parted(joints);
        }
        let mut pieces = Vec::with_capacity(cuts.len());
        self.across(run.rings(), cuts, |stretch, outline| pieces.push((stretch, outline)));
        pieces
    }

    /// Parts a ring at every cut and notes its stretches.
    fn walk(&mut self, ring: impl Iterator<Item = Uv>, cuts: &[f64]) {
        let Self { corners, stretches, points, pieces } = self;
        points.clear();
        points.extend(ring.map(|p| Uv::new(p.u, snapped(p.v, cuts))));
        pieces.clear();
        for (a, b) in sides(points) {
            part(a, b, cuts, pieces);
        }
        let bands = cuts.len().saturating_sub(1);
        let inside = |band: isize| usize::try_from(band).ok().filter(|band| *band < bands);
        let Some(last) = pieces.last() else { return };
        // Start where the band changes, so that no stretch is split over the ring's seam.
        let mut before = last.band;
        let change = pieces.iter().position(|piece| std::mem::replace(&mut before, piece.band) != piece.band);
        let mut from = corners.len();
        let Some(start) = change else {
            if let Some(band) = inside(last.band) {
                corners.extend(pieces.iter().map(|piece| piece.from));
                stretches.push(Stretch { band, from, to: corners.len(), is_closed: true });
            }
            return;
        };
        for (number, piece) in pieces[start..].iter().chain(&pieces[..start]).enumerate() {
            corners.push(piece.from);
            let next = start + number + 1;
            let next = if next < pieces.len() { next } else { next - pieces.len() };
            if pieces[next].band != piece.band {
                corners.push(piece.to);
                match inside(piece.band) {
                    Some(band) => {
                        stretches.push(Stretch { band, from, to: corners.len(), is_closed: false });
                    }
                    None => corners.truncate(from),
                }
                from = corners.len();
            }
        }
    }

    /// Closes the stretches of each band along its two cuts and gives the pieces, band by band.
    fn close(&mut self, cuts: &[f64], mut give: impl FnMut(usize, Outline)) {
        self.stretches.sort_by_key(|stretch| stretch.band);
        for stretches in self.stretches.chunk_by(|a, b| a.band == b.band) {
            let band = stretches[0].band;
            close(stretches, &self.corners, (cuts[band], cuts[band + 1]), |piece| give(band, piece));
        }
        self.stretches.clear();
        self.corners.clear();
    }
}

/// The sides of a ring, from its first corner on.
pub(crate) fn sides(ring: &[Uv]) -> impl Iterator<Item = (Uv, Uv)> {
    let next = ring.iter().skip(1).chain(ring.first());
    ring.iter().copied().zip(next.copied())
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

/// Closes the stretches of one band along its two cuts and gives its pieces, left to right.
fn close(stretches: &[Stretch], corners: &[Uv], (low, high): (f64, f64), mut give: impl FnMut(Outline)) {
    let of = |stretch: &Stretch| &corners[stretch.from..stretch.to];
    if is_plain(stretches, corners, (low, high)) {
        let mut ring = Chain::with_capacity(stretches.iter().map(|stretch| stretch.to - stretch.from).sum());
        stretches.iter().for_each(|stretch| ring.extend_from_slice(of(stretch)));
        let ring = tidy_between(ring, &[low, high]);
        let area = area(&ring);
        if area > 0.0 && !is_film(&ring, area) {
            give(Outline { outer: ring, holes: Vec::new() });
        }
        return;
    }
    let open: Vec<&[Uv]> = stretches.iter().filter(|stretch| !stretch.is_closed).map(of).collect();
    let mut next: Vec<Option<usize>> = vec![None; open.len()];
    for cut in [low, high] {
        let on_cut = |p: Option<&Uv>| p.filter(|p| p.v == cut).map(|p| p.u);
        let mut starts: Vec<(f64, usize)> = Vec::new();
        let mut ends: Vec<(f64, usize)> = Vec::new();
        for (i, chain) in open.iter().enumerate() {
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
        let ring = tidy_between(ring, &[low, high]);
        let area = area(&ring);
        if area > 0.0 && !is_film(&ring, area) {
            outers.push(Outline { outer: ring, holes: Vec::new() });
        } else if area < 0.0 && !is_film(&ring, -area) {
            holes.push(ring);
        }
    };
    let mut used = vec![false; open.len()];
    for first in 0..open.len() {
        if used[first] {
            continue;
        }
        // Most rings are two chains of as many corners.
        let mut ring = Chain::with_capacity(2 * open[first].len());
        let mut at = first;
        while !used[at] {
            used[at] = true;
            ring.extend_from_slice(open[at]);
            match next[at] {
                Some(following) => at = following,
                None => break,
            }
        }
        sort(ring);
    }
    stretches.iter().filter(|stretch| stretch.is_closed).for_each(|stretch| sort(of(stretch).to_vec()));
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
    outers.into_iter().for_each(give);
}

/// Whether the boundary goes once from cut to cut in a band and once back, or comes in and goes out over one cut: so it is
/// in nearly all bands, and the stretches one after another are the one ring.
fn is_plain(stretches: &[Stretch], corners: &[Uv], (low, high): (f64, f64)) -> bool {
    let ends = |stretch: &Stretch| (corners[stretch.from].v, corners[stretch.to - 1].v);
    match stretches {
        [only] => !only.is_closed && [(low, low), (high, high)].contains(&ends(only)),
        [one, other] if !one.is_closed && !other.is_closed => {
            let (one, other) = (ends(one), ends(other));
            (one == (low, high) && other == (high, low)) || (one == (high, low) && other == (low, high))
        }
        _ => false,
    }
}

/// Drops corners that are none: repeated points, spikes where the ring turns back on itself, and points on a
/// straight line.
pub(crate) fn tidy(ring: Chain) -> Chain {
    tidy_between(ring, &[])
}

/// The same of a piece between cuts. A side along one of them stays on it, however much longer one is beside it.
fn tidy_between(mut ring: Chain, cuts: &[f64]) -> Chain {
    ring.dedup_by(|b, a| is_repeated(*a, *b));
    while ring.len() > 1 && is_repeated(ring[0], ring[ring.len() - 1]) {
        ring.pop();
    }
    let corner = |ring: &Chain, i: usize| {
        let before = if i == 0 { ring.len() - 1 } else { i - 1 };
        let after = if i + 1 == ring.len() { 0 } else { i + 1 };
        let (a, b, c) = (ring[before], ring[i], ring[after]);
        let ((du, dv), (eu, ev)) = ((b.u - a.u, b.v - a.v), (c.u - b.u, c.v - b.v));
        (du * eu + dv * ev, (du * ev - dv * eu).abs(), a, b, c)
    };
    let is_spike = |ring: &Chain, i: usize| {
        let (dot, cross, a, b, c) = corner(ring, i);
        dot < 0.0 && cross < HEALED * distance(a, b).max(distance(b, c))
    };
    // Its two corners stand nearer than a film, and one of them turns back, or both together do.
    let is_blunt = |ring: &Chain, i: usize| {
        let next = if i + 1 == ring.len() { 0 } else { i + 1 };
        is_near(ring[i], ring[next])
            && ring.len() > 3
            && (is_spike(ring, i) || is_spike(ring, next) || turns_back(ring, i))
    };
    while ring.len() >= 3
        && let Some(i) = (0..ring.len()).find(|i| is_spike(&ring, *i) || is_blunt(&ring, *i))
    {
        let ends = [(i + ring.len() - 1) % ring.len(), i];
        if let Some(first) = ends.into_iter().find(|first| is_blunt(&ring, *first)) {
            ring.remove(yielding(&ring, first, cuts));
            continue;
        }
        let (.., a, b, c) = corner(&ring, i);
        let (before, next) = ((i + ring.len() - 1) % ring.len(), (i + 1) % ring.len());
        if distance(a, c) < HEALED {
            ring.remove(i.max(next));
            ring.remove(i.min(next));
            continue;
        }
        // The longer side stays on its line; the shorter one ends there.
        let (stays, end, past) = match stays((a, b), (b, c), cuts) {
            true => (a, next, ring[(next + 1) % ring.len()]),
            false => (c, before, ring[(before + ring.len() - 1) % ring.len()]),
        };
        ring[end] = ending_on((stays, b), ring[end], past);
        ring.remove(i);
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

/// The sides before and after that from corner `i` on, each as it runs.
fn beside(ring: &[Uv], i: usize) -> [(Uv, Uv); 2] {
    let at = |steps: usize| ring[(i + steps) % ring.len()];
    [(at(ring.len() - 1), at(0)), (at(1), at(2))]
}

/// Whether the sides beside that from corner `i` on are those of a spike, which that one ends.
fn turns_back(ring: &[Uv], i: usize) -> bool {
    let [(past, first), (second, beyond)] = beside(ring, i);
    let ((du, dv), (eu, ev)) =
        ((first.u - past.u, first.v - past.v), (beyond.u - second.u, beyond.v - second.v));
    let longer = distance(past, first).max(distance(second, beyond));
    du * eu + dv * ev < 0.0 && (du * ev - dv * eu).abs() < HEALED * longer
}

/// Of the corners of the side from corner `i` on the one at which that of the sides beside it ends that yields: the other stays on
/// its line.
fn yielding(ring: &[Uv], i: usize, cuts: &[f64]) -> usize {
    let [before, after] = beside(ring, i);
    if stays(before, after, cuts) { (i + 1) % ring.len() } else { i }
}

/// Whether of two sides the first stays on its line: one along a cut, else the longer.
fn stays(one: (Uv, Uv), other: (Uv, Uv), cuts: &[f64]) -> bool {
    let is_on_cut = |(a, b): (Uv, Uv)| a.v == b.v && cuts.contains(&a.v);
    match (is_on_cut(one), is_on_cut(other)) {
        (true, false) => true,
        (false, true) => false,
        _ => distance(one.0, one.1) >= distance(other.0, other.1),
    }
}

/// Whether two corners are nearer than a film is wide.
fn is_near(a: Uv, b: Uv) -> bool {
    (a.u - b.u).abs().max((a.v - b.v).abs()) < HEALED && distance(a, b) < HEALED
}

/// Where the side from `past` to `end` meets the line of a spike's longer side, which runs from `far` to the spike's tip: on its
/// own line if that lies within the spike, else at the foot of its end.
fn ending_on((far, tip): (Uv, Uv), end: Uv, past: Uv) -> Uv {
    let (du, dv) = (tip.u - far.u, tip.v - far.v);
    let (eu, ev) = (end.u - past.u, end.v - past.v);
    let foot = ((end.u - far.u) * du + (end.v - far.v) * dv) / (du * du + dv * dv);
    let met = ((past.u - far.u) * ev - (past.v - far.v) * eu) / (du * ev - dv * eu);
    let is_within = met <= 1.0 && (met - foot) * distance(far, tip) > -2.0 * HEALED;
    let along = if is_within { met } else { foot };
    Uv::new(far.u + along * du, far.v + along * dv)
}

fn is_repeated(a: Uv, b: Uv) -> bool {
    // Most corners are far apart, which shows without a root.
    (a.u - b.u).abs().max((a.v - b.v).abs()) < 2.0 * REPEATED && distance(a, b) < REPEATED
}

fn distance(a: Uv, b: Uv) -> f64 {
    let (du, dv) = (b.u - a.u, b.v - a.v);
    (du * du + dv * dv).sqrt()
}

pub(crate) fn is_film(ring: &[Uv], area: f64) -> bool {
    // No way round is longer than along and across; most pieces are far wider than a film by that already.
    let longest: f64 = sides(ring).map(|(a, b)| (b.u - a.u).abs() + (b.v - a.v).abs()).sum();
    if area > HEALED * longest {
        return false;
    }
    let perimeter = sides(ring).fold(0.0, |sum, (a, b)| sum + distance(a, b));
    2.0 * area <= HEALED * perimeter
}

/// Signed area of a ring, mm².
pub(crate) fn area(ring: &[Uv]) -> f64 {
    let Some(origin) = ring.first() else { return 0.0 };
    let doubled = sides(ring).fold(0.0, |doubled, (a, b)| {
        doubled + ((a.u - origin.u) * (b.v - origin.v) - (b.u - origin.u) * (a.v - origin.v))
    });
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

pub(crate) fn contains(ring: &[Uv], p: Uv) -> bool {
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
