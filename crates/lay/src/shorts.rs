//! Short boards end to end: where packs hold several lengths, the shortest are to lie among the others.

use crate::ground::{Ground, TRUE};
use crate::yard::AS_SOLD;
use plan::Stock;

/// So many short boards end to end are a pair, more are a row of them. Ours, no source; that lengths are mixed along a row
/// is common practice, no source.
const PAIR: usize = 2;
/// Boards of the shortest length are short beside others where it is no more than this part of the longest: nobody tells
/// 1900 from 2200 at a glance. Ours, no source.
const SHORT: f64 = 0.8;

/// Which boards of a stock are short beside the others, and how many may lie end to end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shorts {
    /// Their length, mm.
    pub length: f64,
    /// As many end to end as no eye takes for a row of them; where packs hold more of them than twice the others, as many
    /// as come on each of the others.
    pub most: usize,
}

impl Shorts {
    /// The short boards of a stock; `None` where packs hold one length, lengths that hardly differ, or random ones, of which
    /// none is the shortest.
    pub fn of(stock: &Stock) -> Option<Self> {
        let sold = || stock.lengths.iter().filter(|length| length.per_pack > 0);
        let length = sold().map(|sold| sold.length).min_by(f64::total_cmp)?;
        let longest = sold().map(|sold| sold.length).fold(length, f64::max);
        if length > SHORT * longest {
            return None;
        }
        let is_it = |other: f64| (other - length).abs() <= AS_SOLD;
        let count = |is_short: bool| -> u64 {
            sold().filter(|sold| is_it(sold.length) == is_short).map(|sold| u64::from(sold.per_pack)).sum()
        };
        let on_each = count(true).div_ceil(count(false).max(1));
        Some(Self { length, most: PAIR.max(usize::try_from(on_each).unwrap_or(usize::MAX)) })
    }

    /// Whether a piece is as long as such a board.
    pub fn is_one(&self, length: f64) -> bool {
        (length - self.length).abs() <= AS_SOLD
    }
}

/// The short boards of a ground: where some lie, those beside each run.
#[derive(Debug)]
pub(crate) struct Crowds {
    shorts: Shorts,
    /// Laid ones end to end with the worker's left end of each run, and with its right end; empty where nothing lies.
    beside: Vec<[usize; 2]>,
}

impl Crowds {
    pub(crate) fn new(ground: &Ground, stock: &Stock) -> Option<Self> {
        let shorts = Shorts::of(stock)?;
        let mut beside = Vec::new();
        if let Some(taken) = &ground.taken {
            beside = vec![[0; 2]; ground.lies.len()];
            for whole in &taken.runs {
                let laid =
                    || whole.laid.iter().map(|board| (taken.boards[*board].left, taken.boards[*board].right));
                for rest in &whole.rests {
                    let Some(lie) = ground.lies.get(*rest) else { continue };
                    // From board to board away from the run, as long as they are short.
                    let count = |mut at: f64, to_left: bool| {
                        let mut count = 0;
                        let meets = |(left, right): &(f64, f64), at: f64| {
                            ((if to_left { right } else { left }) - at).abs() < TRUE
                                && shorts.is_one(right - left)
                        };
                        while let Some((left, right)) = laid().find(|board| meets(board, at)) {
                            at = if to_left { left } else { right };
                            count += 1;
                        }
                        count
                    };
                    beside[*rest] = [count(lie.run.left, true), count(lie.run.right, false)];
                    if lie.run.is_turned() {
                        beside[*rest].reverse();
                    }
                }
            }
        }
        Some(Self { shorts, beside })
    }

    /// Short boards that lie end to end with a run's left end and right end, as the worker sees them.
    pub(crate) fn beside(&self, run: usize) -> [usize; 2] {
        self.beside.get(run).copied().unwrap_or_default()
    }

    /// How many short boards lie end to end once a piece so long goes in after `before` of them.
    pub(crate) fn after(&self, before: usize, length: f64) -> usize {
        if self.shorts.is_one(length) { before + 1 } else { 0 }
    }

    /// Of so many end to end, those too many.
    pub(crate) fn too_many(&self, together: usize) -> usize {
        together.saturating_sub(self.shorts.most)
    }

    /// Short boards too many in a run of pieces, those beside it counted in.
    pub(crate) fn in_run(&self, run: usize, lengths: impl Iterator<Item = f64>) -> usize {
        let [before, after] = self.beside(run);
        let (mut together, mut all) = (before, 0);
        for length in lengths {
            let next = self.after(together, length);
            if next == 0 {
                all += self.too_many(together);
            }
            together = next;
        }
        all + self.too_many(if together > 0 { together + after } else { 0 })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use plan::{BoardLength, RandomLengths};

    use crate::search::improve;
    use crate::state::{Planned, State, Task};
    use crate::yard::{Need, Source, Want};
    use std::ops::ControlFlow;

    /// One row of 7250: a starter of 900, three boards of 1050, one of 2100, and a closer of 1100, cut from the same board as the
    /// starter past a saw cut of 3. Laid end to end the third short one is too many; with the long one before it nothing is, for
    /// the same boards. A search begun from the first finds a floor without, and opens no more for it.
    #[test]
    fn of_two_orders_of_the_same_boards_the_mixed_one_is_laid() {
        let mut plan = plan::Plan::new("row");
        plan.stock = Stock { kerf: 3.0, end_match: true, ..stock(&[(2100.0, 5), (1050.0, 3)]) };
        plan.rules.wall_gap = plan::GapRange { least: 10.0, greatest: 10.0 };
        plan.start_line = plan::StartLine::At(10.0);
        let (wide, high) = (7250.0 + 20.0, plan.stock.pitch() + 20.0);
        let corners = [(0.0, 0.0), (wide, 0.0), (wide, high), (0.0, high)];
        plan.rooms.push(plan::Room::boarded("Room", corners.map(|(x, y)| plan::Point::new(x, y))));
        let site = site::survey(&plan);
        let ground = Ground::new(&plan, &site, &setout::set_out(&plan, &site));
        let task = Task::new(&ground, &plan, true);
        let laid = |whole: [u32; 4]| {
            let mut state = State::new(&task, &plan);
            let piece = |length, need, source| Planned::new(Want { length, need, shifts: [0.0; 2] }, source);
            let mut pieces = vec![piece(900.0, Need::Right, Source::Fresh(0))];
            pieces.extend(
                whole.map(|kind| piece([2100.0, 1050.0][kind as usize], Need::Both, Source::Fresh(kind))),
            );
            pieces.push(piece(1100.0, Need::Left, Source::Rest));
            state.lay(0, &pieces, false);
            state
        };
        let (row, mixed) = (laid([1, 1, 1, 0]), laid([1, 1, 0, 1]));
        assert_eq!((row.crowded(), mixed.crowded()), (1, 0));
        let (one, other) = (row.value(), mixed.value());
        assert_eq!((one.hard, one.looks, one.packs, one.opened), (0, 0, 1, 5));
        assert_eq!((other.hard, other.looks, other.packs, other.opened), (0, 0, 1, 5));
        assert!((one.weight - other.weight - crate::rules::CROWDED).abs() < 1e-6 && other.beats(&one));
        let (found, _) = improve(row, &plan, 400, &|_| ControlFlow::Continue(()));
        assert_eq!(found.crowded(), 0);
        assert!(found.value().opened <= 5);
    }

    fn stock(lengths: &[(f64, u32)]) -> Stock {
        let length = |(length, per_pack): &(f64, u32)| BoardLength { length: *length, per_pack: *per_pack };
        Stock { lengths: lengths.iter().map(length).collect(), ..Stock::default() }
    }

    #[test]
    fn the_shortest_of_several_lengths_are_short() {
        let of =
            |lengths: &[(f64, u32)]| Shorts::of(&stock(lengths)).map(|shorts| (shorts.length, shorts.most));
        assert_eq!(of(&[(2100.0, 5), (1050.0, 1)]), Some((1050.0, 2)));
        assert_eq!(of(&[(2200.0, 4), (1900.0, 1), (1250.0, 1)]), Some((1250.0, 2)));
        // Two on each long one are a pair; four or five on one, and seven on two, make rows of four, five and four.
        assert_eq!(of(&[(2200.0, 2), (1200.0, 4)]), Some((1200.0, 2)));
        assert_eq!(of(&[(2200.0, 1), (1200.0, 4)]), Some((1200.0, 4)));
        assert_eq!(of(&[(2200.0, 1), (1800.0, 1), (900.0, 7)]), Some((900.0, 4)));
        // One length, a length no pack holds, lengths that hardly differ: 1760 is four fifths of 2200.
        assert_eq!(of(&[(2200.0, 6)]), None);
        assert_eq!(of(&[(2200.0, 6), (1100.0, 0)]), None);
        assert_eq!(of(&[(2200.0, 4), (1761.0, 2)]), None);
        assert_eq!(of(&[(2200.0, 4), (1760.0, 2)]), Some((1760.0, 2)));
        let random = Some(RandomLengths { shortest: 600.0, longest: 2000.0, per_pack: 8 });
        assert_eq!(Shorts::of(&Stock { random, ..stock(&[]) }), None);
    }

    #[test]
    fn short_boards_end_to_end_are_counted() {
        let crowds = |beside| Crowds { shorts: Shorts { length: 1000.0, most: 2 }, beside };
        let (s, l) = (1000.0, 2000.0);
        let count =
            |beside: [usize; 2], lengths: &[f64]| crowds(vec![beside]).in_run(0, lengths.iter().copied());
        assert_eq!(crowds(Vec::new()).in_run(7, [s, s, s].into_iter()), 1);
        assert_eq!(count([0, 0], &[400.0, s, s, l, s, s, 700.0]), 0);
        assert_eq!(count([0, 0], &[400.0, s, s, s, l, s, s, s, s]), 1 + 2);
        // What is no more than rounding off counts; a cut does not.
        assert_eq!(count([0, 0], &[s, s + 0.05, s - 0.05, 990.0, s]), 1);
        // Two that lie before the run and one beyond it.
        assert_eq!(count([2, 1], &[s, l, s, s]), 1 + 1);
        assert_eq!(count([2, 1], &[s, s]), 3);
        assert_eq!(count([2, 1], &[l]), 0);
    }
}
