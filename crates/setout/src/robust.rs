//! How far the tape may be out: the largest error of every measured length before another rip is a sliver,
//! and the line that stands the most.

use crate::chain::{Chain, Chains, Measure, Net};
use crate::choose::{Work, field_of};
use crate::curve::breakpoints;
use crate::snap::snap_line;
use crate::tooth::{SAME, Tooth};
use crate::{Candidate, EdgeRef, SetOut, SnapLine};
use plan::Plan;
use site::{EdgeKind, Site, Source};

/// Edges endangered within this many times the worst one's error are named with it.
const NEARLY: f64 = 1.5;
/// No more are named.
const NAMED: usize = 4;
/// Lines that leave no more than this beyond the least length under the least leave as little, mm: the two sides of a trim are
/// drawn as long as one another to less, and walls to no more. Ours, no source.
const AS_LITTLE: f64 = 1.0;

/// An edge that a tape error could push under the least rip.
#[derive(Debug, Clone, PartialEq)]
pub struct Endangered {
    /// The edge.
    pub edge: EdgeRef,
    /// What the boards meet there.
    pub kind: EdgeKind,
    /// The thing of the plan it comes from.
    pub source: Source,
    /// How far it may be out against the line before its seen rip is under the least, mm.
    pub slack: f64,
    /// The measured lengths between the line's pulls and it.
    pub chain: Chain,
    /// The error of every one of those lengths at which that happens, mm.
    pub stands: f64,
}

/// The line that stands the largest error.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SafestLine {
    /// Offset of its row lines, mm, in 0..pitch.
    pub offset: f64,
    /// The error it stands, mm.
    pub stands: f64,
}

/// How far every measured length may be out.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Robust {
    /// With every length out by less than this, no edge that keeps the least rip within the line tolerance
    /// falls under it, mm; `None` where no edge keeps it.
    pub stands: Option<f64>,
    /// The edges that fail first, worst first.
    pub endangered: Vec<Endangered>,
    /// The length on the way to most of those edges: measure it twice. Not a pull, unless nothing else is
    /// on the way: pulls have their check.
    pub check_twice: Option<Measure>,
    /// The line that stands the most, of those with the least length of edge under the least rip, to a millimetre.
    pub safest: Option<SafestLine>,
}

/// An edge with the factor by which tape errors add up there.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Weighed {
    pub(crate) tooth: Tooth,
    pub(crate) factor: f64,
}

impl Weighed {
    /// The error it stands each way, where it keeps the least within the tolerance.
    fn stands(&self, offset: f64, limits: &Limits) -> Option<(f64, f64)> {
        let (down, up) = self.tooth.room_to_move(offset, limits.least, limits.pitch)?;
        let factor = self.factor.max(f64::MIN_POSITIVE);
        (down.min(up) >= limits.tolerance - SAME).then_some((down / factor, up / factor))
    }
}

/// What lines are held to.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Limits {
    pub(crate) least: f64,
    pub(crate) pitch: f64,
    pub(crate) tolerance: f64,
}

impl Limits {
    pub(crate) fn of(work: &Work) -> Self {
        Self { least: work.least, pitch: work.pitch, tolerance: work.plan.rules.line_tolerance }
    }
}

/// Whether an edge keeps the least rip with the line at its worst within the tolerance.
pub(crate) fn keeps(tooth: &Tooth, offset: f64, limits: &Limits) -> bool {
    tooth.slack(offset, limits.least, limits.pitch).is_some_and(|slack| slack >= limits.tolerance - SAME)
}

/// Length of edge under the least within the tolerance, weighed by how much it is seen, and the error the other
/// edges stand; infinite where none of them can fall under it.
fn worth(edges: &[Weighed], offset: f64, limits: &Limits) -> (f64, f64) {
    let (mut short, mut stands) = (0.0, f64::INFINITY);
    for edge in edges {
        match edge.stands(offset, limits) {
            Some((down, up)) => stands = down.min(up).min(stands),
            None => short += edge.tooth.length * edge.tooth.weight as f64 / 100.0,
        }
    }
    (short, stands)
}

/// A line with its worth: length under the least, and the error it stands.
#[derive(Debug, Clone, Copy)]
struct Offer {
    short: f64,
    line: SafestLine,
}

/// Of lines that leave the least length under the least, to [`AS_LITTLE`], the first of those that stand the most; lines equal to a
/// hundredth of a millimetre tie, since rounding must not choose.
fn safest_among(offers: &[Offer]) -> Option<SafestLine> {
    let least = offers.iter().map(|offer| offer.short).fold(f64::INFINITY, f64::min);
    let hundredths = |offer: &Offer| (offer.line.stands * 100.0).round();
    let mut best: Option<&Offer> = None;
    for offer in offers.iter().filter(|offer| offer.short <= least + AS_LITTLE) {
        if best.is_none_or(|best| hundredths(offer) > hundredths(best)) {
            best = Some(offer);
        }
    }
    best.map(|best| best.line)
}

/// The line with the least length of edge under the least, to a millimetre, and, of those, the largest error that the other
/// edges stand; `None` where there are none.
///
/// Which edges keep it changes only at breakpoints. Between two of them the error the line stands is the
/// lowest of straight lines, one rising and one falling for each edge, hence concave: its top is found by
/// following the lowest line from the left until it no longer rises. Exact, without sampling.
pub(crate) fn safest_of(edges: &[Weighed], limits: &Limits) -> Option<SafestLine> {
    let nominal: Vec<Tooth> = edges.iter().map(|edge| edge.tooth).collect();
    let judged: Vec<Tooth> = nominal.iter().map(|tooth| tooth.widened(limits.tolerance)).collect();
    let mut at = breakpoints(&nominal, limits.least, limits.pitch);
    at.extend(breakpoints(&judged, limits.least, limits.pitch));
    at.extend(edges.iter().flat_map(|edge| one_row_ends(&edge.tooth, limits)));
    at.sort_by(f64::total_cmp);
    at.dedup_by(|b, a| *b - *a < SAME);
    // Breakpoints and the middles between them, in turn; what is surely worse than one of them is not looked at.
    let middles = at.windows(2).map(|pair| f64::midpoint(pair[0], pair[1]));
    let places: Vec<f64> =
        at.iter().zip(middles.map(Some).chain([None])).flat_map(|(p, m)| [Some(*p), m]).flatten().collect();
    let short_at_least = short_at_least(edges, &judged, &places, limits);
    let lowest = (0..places.len()).min_by(|a, b| short_at_least[*a].total_cmp(&short_at_least[*b]));
    let reached = lowest.map_or(f64::INFINITY, |lowest| worth(edges, places[lowest], limits).0);
    let is_open = |place: usize| short_at_least[place] <= reached + AS_LITTLE + 0.02;
    let mut offers: Vec<Offer> = Vec::new();
    let mut least = reached;
    for (i, point) in at.iter().enumerate() {
        if is_open(2 * i) {
            let (short, stands) = worth(edges, *point, limits);
            let offset = if *point >= limits.pitch { 0.0 } else { *point };
            least = least.min(short);
            offers.push(Offer { short, line: SafestLine { offset, stands } });
        }
        let Some(next) = at.get(i + 1) else { break };
        if !is_open(2 * i + 1) {
            continue;
        }
        let (short, _) = worth(edges, f64::midpoint(*point, *next), limits);
        if short <= least + AS_LITTLE {
            least = least.min(short);
            let (offset, stands) = top(edges, (*point, *next), limits);
            offers.push(Offer { short, line: SafestLine { offset, stands } });
        }
    }
    safest_among(&offers).filter(|_| !edges.is_empty())
}

/// Offsets between which an edge's floor lies in one row, where it can.
fn one_row_ends(tooth: &Tooth, limits: &Limits) -> impl Iterator<Item = f64> {
    tooth.one_row.into_iter().flat_map(|one| one.places(limits.pitch))
}

/// What the length under the least is at least, at places in order; less than it is only beside an edge's own
/// breakpoints. Edge by edge between those, not edge by place: a floor of thousands of edges has as many places.
fn short_at_least(edges: &[Weighed], judged: &[Tooth], places: &[f64], limits: &Limits) -> Vec<f64> {
    // Rounding moves a breakpoint by less than this, mm.
    const BESIDE: f64 = 1e-5;
    let mut steps = vec![0.0; places.len() + 1];
    for (edge, judged) in edges.iter().zip(judged) {
        let mut own = breakpoints(&[edge.tooth, *judged], limits.least, limits.pitch);
        own.extend(one_row_ends(&edge.tooth, limits));
        own.sort_by(f64::total_cmp);
        for pair in own.windows(2) {
            if edge.stands(f64::midpoint(pair[0], pair[1]), limits).is_none() {
                let from = places.partition_point(|place| *place <= pair[0] + BESIDE);
                let to = places.partition_point(|place| *place < pair[1] - BESIDE);
                if from < to {
                    let length = edge.tooth.length * edge.tooth.weight as f64 / 100.0;
                    steps[from] += length;
                    steps[to] -= length;
                }
            }
        }
    }
    let mut sum = 0.0;
    steps[..places.len()]
        .iter()
        .map(|step| {
            sum += step;
            sum
        })
        .collect()
}

/// Where in a stretch without breakpoints the error that is stood is largest, and that error.
fn top(edges: &[Weighed], (from, to): (f64, f64), limits: &Limits) -> (f64, f64) {
    let middle = (from + to) / 2.0;
    // Straight lines: value at `from`, and slope.
    let lines: Vec<(f64, f64)> = edges
        .iter()
        .filter_map(|edge| Some((edge.stands(middle, limits)?, 1.0 / edge.factor.max(f64::MIN_POSITIVE))))
        .flat_map(|((down, up), slope)| {
            let half = (middle - from) * slope;
            // Moving up, the line uses up its room above.
            [(down - half, slope), (up + half, -slope)]
        })
        .filter(|line| line.0.is_finite())
        .collect();
    let mut at = 0.0;
    let value = |at: f64, line: &(f64, f64)| line.0 + line.1 * at;
    let lowest = |at: f64| {
        lines.iter().copied().min_by(|a, b| {
            // Of lines that meet here the one that is lower further on.
            let (va, vb) = (value(at, a), value(at, b));
            if (va - vb).abs() < SAME / 100.0 { a.1.total_cmp(&b.1) } else { va.total_cmp(&vb) }
        })
    };
    while let Some(line) = lowest(at) {
        if line.1 <= 0.0 {
            return (from + at, value(at, &line));
        }
        let meets = |other: &(f64, f64)| (other.0 - line.0) / (line.1 - other.1);
        let next = lines.iter().filter(|o| o.1 < line.1).map(meets).fold(to - from, f64::min);
        if next >= to - from || next <= at {
            let end = if next <= at { at } else { to - from };
            return (from + end, value(end, &line));
        }
        at = next;
    }
    (middle, f64::INFINITY)
}

/// The corners of a line's pulls.
fn corners(line: Option<&SnapLine>) -> Vec<(usize, usize)> {
    line.map_or_else(Vec::new, |line| line.pulls.iter().map(|pull| (pull.room, pull.wall)).collect())
}

/// Edges of the given regions with their chains' factors, for a line pulled from these corners.
fn weighed(work: &Work, net: &Net, pulls: &[(usize, usize)], takes: impl Fn(usize) -> bool) -> Vec<Weighed> {
    let chains = Chains::new(net, pulls);
    work.teeth
        .iter()
        .filter(|tooth| takes(tooth.edge.region))
        .map(|tooth| Weighed { tooth: *tooth, factor: chains.to_edge(work.site, tooth).factor })
        .collect()
}

/// The safest line over the given regions, each line judged from its own pulls' corners. Those depend on the
/// line, so it is looked for twice: from the corners of `start`, then from those of the line found.
pub(crate) fn safest_line(
    work: &Work,
    net: &Net,
    start: &Candidate,
    takes: impl Fn(usize) -> bool + Copy,
) -> Option<SafestLine> {
    let limits = Limits::of(work);
    let snapped = |offset: f64| {
        let line = Candidate { offset, ..start.clone() };
        let line = snap_line(work, &line, work.regions().filter(|region| takes(*region)));
        weighed(work, net, &corners(line.as_ref()), takes)
    };
    let mut offers: Vec<Offer> = Vec::new();
    let mut offset = start.offset;
    for _ in 0..3 {
        let edges = snapped(offset);
        let (short, stands) = worth(&edges, offset, &limits);
        offers.push(Offer { short, line: SafestLine { offset, stands } });
        offset = safest_of(&edges, &limits)?.offset;
    }
    safest_among(&offers)
}

/// The error a line stands in the regions that share theirs, each length on the way from its own pulls being
/// out by as much.
pub(crate) fn stands_of(work: &Work, set: &SetOut, line: &Candidate) -> Option<f64> {
    let limits = Limits::of(work);
    let shares = |region: usize| !set.has_own_line(region);
    let snapped = snap_line(work, line, work.regions().filter(|region| shares(*region)));
    let net = Net::new(work.plan, work.site);
    Some(worth(&weighed(work, &net, &corners(snapped.as_ref()), shares), line.offset, &limits).1)
        .filter(|stands| stands.is_finite())
}

/// How far every measured length may be out for the line in use, and the line that stands the most. A region
/// with a line of its own is pulled from where that is snapped, and left out of the search.
pub fn robust(plan: &Plan, site: &Site, set: &SetOut) -> Robust {
    robust_of(&Work::new(plan, &field_of(plan, site)), set)
}

pub(crate) fn robust_of(work: &Work, set: &SetOut) -> Robust {
    let (plan, site) = (work.plan, work.site);
    let limits = Limits::of(work);
    let net = Net::new(plan, site);
    let chains = Chains::new(&net, &corners(set.line.as_ref()));
    let own: Vec<(usize, Chains<'_, '_>)> = set
        .regions
        .iter()
        .filter(|choice| set.has_own_line(choice.region))
        .map(|choice| (choice.region, Chains::new(&net, &corners(choice.line.as_ref()))))
        .collect();
    let mut endangered: Vec<Endangered> = Vec::new();
    for tooth in &work.teeth {
        let region = tooth.edge.region;
        let leader = work.joints.leader(region);
        let chains = own.iter().find(|(r, _)| *r == leader).map_or(&chains, |(_, chains)| chains);
        let chain = chains.to_edge(site, tooth);
        let edge = Weighed { tooth: *tooth, factor: chain.factor };
        let Some((down, up)) = edge.stands(set.line_as_shared(region), &limits) else { continue };
        let (Some(named), true) = (edge_at(site, tooth.edge), down.min(up).is_finite()) else { continue };
        let stands = down.min(up);
        let slack = stands * chain.factor;
        endangered.push(Endangered {
            edge: tooth.edge,
            kind: named.kind,
            source: named.source,
            slack,
            chain,
            stands,
        });
    }
    endangered.sort_by(|a, b| a.stands.total_cmp(&b.stands));
    // A wall parted by a doorway is one wall to measure.
    let mut named: Vec<(EdgeKind, Source)> = Vec::new();
    endangered.retain(|e| {
        let is_new = !named.contains(&(e.kind, e.source));
        named.push((e.kind, e.source));
        is_new
    });
    let stands = endangered.first().map(|worst| worst.stands);
    endangered.retain(|e| stands.is_some_and(|s| e.stands <= s * NEARLY + SAME));
    endangered.truncate(NAMED);
    Robust {
        stands,
        check_twice: check_twice(&endangered),
        safest: safest_line(work, &net, &set.chosen, |region| !set.has_own_line(region))
            .filter(|line| line.stands.is_finite()),
        endangered,
    }
}

fn edge_at(site: &Site, at: EdgeRef) -> Option<&site::Edge> {
    site.regions.get(at.region)?.rings().nth(at.ring)?.edges.get(at.edge)
}

/// The length on the way to most of the edges; of those the one nearest the worst edge.
fn check_twice(endangered: &[Endangered]) -> Option<Measure> {
    let count = |measure: &Measure| {
        endangered.iter().filter(|e| e.chain.steps.iter().any(|s| s.measure == *measure)).count()
    };
    let is_pull = |measure: &Measure| matches!(measure, Measure::Pull { .. });
    let best = |pulls: bool| {
        let mut best: Option<(usize, Measure)> = None;
        let on_the_way = endangered.iter().flat_map(|e| e.chain.steps.iter().rev().map(|step| step.measure));
        for measure in on_the_way.filter(|m| is_pull(m) == pulls) {
            let n = count(&measure);
            if best.is_none_or(|(most, _)| n > most) {
                best = Some((n, measure));
            }
        }
        best.map(|(_, measure)| measure)
    };
    best(false).or_else(|| best(true))
}

#[cfg(test)]
mod tests;
