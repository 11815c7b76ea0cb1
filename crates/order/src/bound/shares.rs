//! What share of a board a piece is charged, by its width and the long edge it needs.

use super::need::{Edge, Side};
use super::{RunNeed, need::TRUE};
use microlp::{ComparisonOp, OptimizationDirection, Problem};
use std::collections::{BTreeMap, BTreeSet};

/// Widths are told apart in steps of this, mm, rounded down: more of them fit side by side than do.
const STEP: f64 = 0.1;
/// Of more kinds of rip than this the least are taken for the next narrower: the programme stays small.
const MOST_KINDS: usize = 40;
/// Kinds that make less than this share of all rips' length are too.
const LEAST_LENGTH: f64 = 1e-4;
/// Programmes solved at most; after that the shares are made to fit by scaling.
const MOST_ROUNDS: usize = 12;
/// Shares that pass 1 together by no more than this are left to the scaling.
const CLOSE: f64 = 1e-4;

/// A kind of rip: the edge it needs, and the width it takes with a saw cut, in steps.
pub(super) type Kind = (Edge, usize);

/// What pieces side by side are charged together, those of them with a groove and a tongue, and the steps left
/// for pieces that need neither.
type Beside = (f64, [Option<usize>; 2], usize);

/// Shares of a board by kind of rip. Any pieces that lie side by side on a board have no more than 1 together.
#[derive(Debug, Clone)]
pub(super) struct Shares {
    pitch: f64,
    kerf: f64,
    by_kind: BTreeMap<Kind, f64>,
}

impl Shares {
    /// The shares by which these runs are charged most.
    pub(super) fn of(runs: &[RunNeed], pitch: f64, kerf: f64) -> Self {
        let (mut shares, lengths) = Self::ripped(runs, pitch, kerf);
        shares.find(&lengths);
        shares
    }

    /// The shares that charge what a line along the board crosses, at a share of its width from the groove edge.
    pub(super) fn across_line(runs: &[RunNeed], pitch: f64, kerf: f64, line: f64) -> Self {
        let (mut shares, lengths) = Self::ripped(runs, pitch, kerf);
        let (limit, room) = ((line * pitch / STEP).round() as usize, shares.room());
        let by_limit = |kind: &Kind| f64::from(u8::from(is_over(limit, room, kind)));
        shares.by_kind = lengths.keys().map(|kind| (*kind, by_limit(kind))).collect();
        shares.raise();
        shares
    }

    /// The line along the board that crosses most of these rips, as a share of its width from the groove edge; none where
    /// there are no rips. It lies on a whole step.
    pub(super) fn best_line(runs: &[RunNeed], pitch: f64, kerf: f64) -> Option<f64> {
        let (shares, lengths) = Self::ripped(runs, pitch, kerf);
        let most = (pitch / STEP).floor() as usize;
        (!lengths.is_empty()).then(|| shares.limit(&lengths).min(most) as f64 * STEP / pitch)
    }

    /// No shares yet, and the lengths of these runs' rips by kind.
    fn ripped(runs: &[RunNeed], pitch: f64, kerf: f64) -> (Self, BTreeMap<Kind, f64>) {
        let shares = Self { pitch, kerf, by_kind: BTreeMap::new() };
        let mut lengths: BTreeMap<Kind, f64> = BTreeMap::new();
        for width in runs.iter().flat_map(|run| &run.widths) {
            for rip in width.sides().filter(|side| side.width < pitch - TRUE) {
                let kind = shares.kind(&rip);
                // Rips of no width to speak of are charged nothing.
                if kind.1 > 0 {
                    *lengths.entry(kind).or_default() += width.length;
                }
            }
        }
        (shares, lengths)
    }

    /// The limit that most of these rips pass.
    fn limit(&self, lengths: &BTreeMap<Kind, f64>) -> usize {
        let room = self.room();
        let over = |limit: &usize| -> f64 {
            lengths.iter().filter(|(kind, _)| is_over(*limit, room, kind)).map(|(_, length)| length).sum()
        };
        (0..=room).max_by(|a, b| over(a).total_cmp(&over(b))).unwrap_or_default()
    }

    fn kind(&self, rip: &Side) -> Kind {
        (rip.edge, ((rip.width + self.kerf).max(0.0) / STEP).floor() as usize)
    }

    /// The share of a piece that takes this width somewhere along its length: that of the widest kind it is no
    /// narrower than.
    pub(super) fn share(&self, rip: &Side) -> f64 {
        if rip.width >= self.pitch - TRUE {
            return 1.0;
        }
        self.share_of(&self.kind(rip))
    }

    fn share_of(&self, (edge, steps): &Kind) -> f64 {
        let (edge, steps) = (*edge, *steps);
        let of = |edge: Edge| self.by_kind.range((edge, 0)..=(edge, steps)).next_back();
        [of(edge), of(Edge::Neither)].into_iter().flatten().map(|(_, share)| *share).fold(0.0, f64::max)
    }

    pub(super) fn pitch(&self) -> f64 {
        self.pitch
    }

    /// The kinds of rip told apart.
    pub(super) fn kinds(&self) -> Vec<Kind> {
        self.by_kind.keys().copied().collect()
    }

    /// The place of the kind by which a piece of this width is charged, of those told apart; none for a whole board and for
    /// what is charged nothing whatever the shares.
    pub(super) fn place(&self, rip: &Side, kinds: &[Kind]) -> Option<usize> {
        if rip.width >= self.pitch - TRUE {
            return None;
        }
        let (edge, steps) = self.kind(rip);
        let under = |edge: Edge| {
            let place = kinds.partition_point(|kind| *kind <= (edge, steps)).checked_sub(1)?;
            (kinds[place].0 == edge).then_some(place)
        };
        let share = |place: &usize| self.share_of(&kinds[*place]);
        let found = [under(Edge::Neither), under(edge)].into_iter().flatten();
        found.max_by(|a, b| share(a).total_cmp(&share(b)))
    }

    /// Shares that charge what one line along the board crosses, for the lines that charge most of these kinds, so much of
    /// each as is said; and these shares themselves, first.
    pub(super) fn lines(&self, kinds: &[Kind], much: &[f64], most: usize) -> Vec<Vec<f64>> {
        let room = self.room();
        let over = |limit: usize| kinds.iter().map(move |kind| is_over(limit, room, kind));
        let charged = |limit: usize| -> f64 {
            over(limit).zip(much).map(|(is_over, much)| if is_over { *much } else { 0.0 }).sum()
        };
        let mut limits: Vec<(f64, usize)> = (0..=room).map(|limit| (charged(limit), limit)).collect();
        limits.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
        // Limits between the same kinds are one line.
        limits.dedup_by(|b, a| over(a.1).eq(over(b.1)));
        let by_line = |(_, limit)| over(limit).map(|is_over| f64::from(u8::from(is_over))).collect();
        let lines: Vec<Vec<f64>> = limits.into_iter().take(most).map(by_line).collect();
        let own = kinds.iter().map(|kind| self.share_of(kind)).collect();
        std::iter::once(own).chain(lines).collect()
    }

    /// The mean of several shares, by these weights, which add up to 1.
    pub(super) fn mean(&self, kinds: &[Kind], all: &[Vec<f64>], weights: &[f64]) -> Self {
        let mean = |place: usize| {
            all.iter().zip(weights).map(|(shares, weight)| shares[place] * weight).sum::<f64>()
        };
        Self {
            by_kind: kinds.iter().enumerate().map(|(place, kind)| (*kind, mean(place))).collect(),
            ..self.clone()
        }
    }

    /// Takes the best shares of several: those solved for, and those that need no solver.
    fn find(&mut self, lengths: &BTreeMap<Kind, f64>) {
        let few = fewer(lengths.clone());
        let kinds: Vec<Kind> = few.keys().copied().collect();
        let solved = kinds.iter().copied().zip(self.solved(&few, &kinds)).collect();
        let room = self.room();
        let by_rule = |rule: &dyn Fn(&Kind) -> f64| lengths.keys().map(|kind| (*kind, rule(kind))).collect();
        let limit = self.limit(lengths);
        let ways: [BTreeMap<Kind, f64>; 3] = [
            solved,
            by_rule(&|kind| f64::from(u8::from(is_over(limit, room, kind)))),
            by_rule(&|kind| kind.1 as f64 / room as f64),
        ];
        let mut best = (f64::NEG_INFINITY, BTreeMap::new());
        for way in ways {
            self.by_kind = way;
            self.raise();
            let charged = lengths.iter().map(|(kind, length)| self.share_of(kind) * length).sum();
            if charged > best.0 {
                best = (charged, std::mem::take(&mut self.by_kind));
            }
        }
        self.by_kind = best.1;
    }

    /// Solves for the shares: of all that were found to lie side by side none may pass 1 together; then looks
    /// for others that do, and solves again.
    fn solved(&self, lengths: &BTreeMap<Kind, f64>, kinds: &[Kind]) -> Vec<f64> {
        let total = lengths.values().sum::<f64>().max(f64::MIN_POSITIVE);
        let mut beside: BTreeSet<Vec<usize>> = BTreeSet::new();
        let mut shares = vec![1.0; kinds.len()];
        for round in 0..=MOST_ROUNDS {
            let found = self.most_beside(kinds, &shares);
            let most = found.iter().map(|(together, _)| *together).fold(1.0, f64::max);
            if most <= 1.0 + CLOSE || round == MOST_ROUNDS {
                // Scaled, they fit for certain.
                return shares.into_iter().map(|share| share / most).collect();
            }
            beside.extend(found.into_iter().filter(|(most, _)| *most > 1.0 + CLOSE).map(|(_, kinds)| kinds));
            let mut problem = Problem::new(OptimizationDirection::Maximize);
            let variables: Vec<_> =
                lengths.values().map(|length| problem.add_var(length / total, (0.0, 1.0))).collect();
            for pattern in &beside {
                let mut counts: BTreeMap<usize, f64> = BTreeMap::new();
                for kind in pattern {
                    *counts.entry(*kind).or_default() += 1.0;
                }
                let row: Vec<_> = counts.into_iter().map(|(kind, n)| (variables[kind], n)).collect();
                problem.add_constraint(&row, ComparisonOp::Le, 1.0);
            }
            let Some(solution) = problem.solve().ok().and_then(|outcome| outcome.into_solution().ok()) else {
                break;
            };
            shares = variables.iter().map(|variable| solution[*variable].clamp(0.0, 1.0)).collect();
        }
        vec![0.0; kinds.len()]
    }

    /// Steps that a board is wide, with a saw cut.
    fn room(&self) -> usize {
        ((self.pitch + self.kerf) / STEP).ceil() as usize
    }

    /// A wider rip, or one that needs an edge, is charged no less than a narrower one, or one that needs none:
    /// it could lie wherever that one does not fit better.
    fn raise(&mut self) {
        let neither: Vec<(usize, f64)> = self
            .by_kind
            .iter()
            .filter(|((edge, _), _)| *edge == Edge::Neither)
            .map(|((_, steps), share)| (*steps, *share))
            .collect();
        let mut highest: BTreeMap<Edge, f64> = BTreeMap::new();
        for ((edge, steps), share) in &mut self.by_kind {
            let fewer = neither.iter().filter(|(other, _)| other <= steps).map(|(_, share)| *share);
            let high = highest.entry(*edge).or_default();
            *high = fewer.fold(high.max(*share), f64::max);
            *share = *high;
        }
    }

    /// Pieces side by side on one board that are charged most together, and how much: the most of all, and the
    /// most with each kind that needs an edge.
    fn most_beside(&self, kinds: &[Kind], shares: &[f64]) -> Vec<(f64, Vec<usize>)> {
        let room = self.room();
        // The most for pieces that need no edge, for every width.
        let mut most = vec![0.0_f64; room + 1];
        let mut last: Vec<Option<usize>> = vec![None; room + 1];
        for width in 1..=room {
            most[width] = most[width - 1];
            for (i, (edge, steps)) in kinds.iter().enumerate() {
                let Some(rest) = width.checked_sub(*steps) else { continue };
                if *edge == Edge::Neither && most[rest] + shares[i] > most[width] {
                    most[width] = most[rest] + shares[i];
                    last[width] = Some(i);
                }
            }
        }
        let of_edge = |edge: Edge| {
            let these = kinds.iter().enumerate().filter(move |(_, kind)| kind.0 == edge);
            std::iter::once((None, 0, 0.0)).chain(these.map(|(i, kind)| (Some(i), kind.1, shares[i])))
        };
        // For each piece with a groove or a tongue, and for none: the best beside it.
        let mut best: BTreeMap<(bool, Option<usize>), Beside> = BTreeMap::new();
        for (groove, wide, share) in of_edge(Edge::Groove) {
            for (tongue, also_wide, other) in of_edge(Edge::Tongue) {
                let Some(rest) = room.checked_sub(wide + also_wide) else { continue };
                let together = share + other + most[rest];
                for key in [(false, groove), (true, tongue)] {
                    let best = best.entry(key).or_insert((0.0, [None; 2], room));
                    if together > best.0 {
                        *best = (together, [groove, tongue], rest);
                    }
                }
            }
        }
        let pattern = |(together, edged, mut rest): Beside| {
            let mut pattern: Vec<usize> = edged.into_iter().flatten().collect();
            while rest > 0 {
                match last[rest] {
                    Some(i) => {
                        pattern.push(i);
                        rest -= kinds[i].1;
                    }
                    None => rest -= 1,
                }
            }
            (together, pattern)
        };
        best.into_values().map(pattern).collect()
    }
}

/// Of pieces that need the groove and take more than a limit, those that need the tongue and take what is left beside the
/// limit, and those that need neither and take more than both, one fits a board `room` steps wide: all of them lie, or their
/// saw cut does, on the line along the board at the limit.
fn is_over(limit: usize, room: usize, (edge, steps): &Kind) -> bool {
    match edge {
        Edge::Groove => *steps > limit,
        Edge::Tongue => *steps >= room - limit,
        Edge::Neither => *steps > limit && *steps >= room - limit,
    }
}

/// Lengths by kind with the least kinds put to the next narrower of the same edge.
fn fewer(mut lengths: BTreeMap<Kind, f64>) -> BTreeMap<Kind, f64> {
    let total: f64 = lengths.values().sum();
    loop {
        let narrower = |kind: &Kind| lengths.range((kind.0, 0)..*kind).next_back().map(|(other, _)| *other);
        // What is lost is the length by so many steps.
        let lost = lengths.iter().filter_map(|(kind, length)| {
            let other = narrower(kind)?;
            Some((length * (kind.1 - other.1) as f64, *length, *kind, other))
        });
        let Some((_, length, kind, other)) = lost.min_by(|a, b| a.0.total_cmp(&b.0)) else { return lengths };
        if lengths.len() <= MOST_KINDS && length > LEAST_LENGTH * total {
            return lengths;
        }
        lengths.remove(&kind);
        *lengths.entry(other).or_default() += length;
    }
}
