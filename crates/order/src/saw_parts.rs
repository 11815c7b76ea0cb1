//! The saw list of a house laid in parts: one for each stage.

use crate::{MitreEntry, Notch, Order, PartedCut, SawEntry, SawList, StageShares, YieldBar};
use fit::Fit;
use lay::Floor;
use plan::Plan;
use std::cmp::Ordering;
use std::collections::BTreeSet;

/// What is sawn for one stage, or for the whole house.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SawPart {
    /// The stage's number and name, or that its boards lie in none; `None` where one list serves the house.
    pub name: Option<String>,
    /// Day on which the laying of the stage begins.
    pub day: Option<u32>,
    /// What is sawn for it.
    pub saw: SawList,
    /// The boards of which a piece is sawn for it, opened for it or before.
    pub yields: Vec<YieldBar>,
    place: usize,
    /// For each board the place of its stage; past all stages for boards in none, nothing where one list serves the house.
    of_board: Vec<usize>,
}

impl SawPart {
    /// Whether a board is sawn for an earlier stage, this one or a later one.
    pub fn turn(&self, board: usize) -> Ordering {
        self.of_board.get(board).map_or(Ordering::Equal, |place| place.cmp(&self.place))
    }

    /// Whether a board is sawn for this stage.
    pub fn takes(&self, board: usize) -> bool {
        self.turn(board).is_eq()
    }

    /// The boards of it whose lock is shaved, by the sides.
    pub fn shaves(&self, fit: &Fit) -> Vec<(Vec<fit::Part>, Vec<usize>)> {
        let own = fit.shaves().into_iter().map(|(parts, mut boards)| {
            boards.retain(|board| self.takes(*board));
            (parts, boards)
        });
        own.filter(|(_, boards)| !boards.is_empty()).collect()
    }

    /// Whether pieces of an opened board are sawn for another stage, an earlier or a later one.
    pub fn shares_with(&self, floor: &Floor, stock: usize, other: Ordering) -> bool {
        let pieces = floor.stock.get(stock).map_or(&[][..], |stock| stock.pieces.as_slice());
        pieces.iter().any(|piece| self.turn(piece.board) == other)
    }

    /// The boards of [`Self::yields`] of which pieces are sawn for another stage, too.
    pub fn shared(&self, floor: &Floor, other: Ordering) -> Vec<usize> {
        let all = self.yields.iter().map(|bar| bar.stock);
        all.filter(|stock| self.shares_with(floor, *stock, other)).collect()
    }

    /// What a list of it is headed with: `1 Bedrooms, day 3`.
    pub fn heading(&self) -> Option<String> {
        let name = self.name.as_ref()?;
        Some(self.day.map_or_else(|| name.clone(), |day| format!("{name}, day {day}")))
    }
}

/// The saw list as one.
pub fn whole_saw_list(order: &Order) -> SawPart {
    SawPart { saw: order.saw.clone(), yields: order.yields.clone(), ..SawPart::default() }
}

/// A saw list for each stage in the order in which they are laid, then one for what lies in none; the whole as one where no more
/// than one of them has a board still to lay.
pub fn saw_parts(plan: &Plan, floor: &Floor, order: &Order, shares: &StageShares) -> Vec<SawPart> {
    let past = shares.order.len();
    let of_board: Vec<usize> = shares.of_board.iter().map(|place| place.unwrap_or(past)).collect();
    let to_come = of_board.iter().enumerate().filter(|(board, _)| !floor.is_laid(*board));
    let places: BTreeSet<usize> = to_come.map(|(_, place)| *place).collect();
    if places.len() < 2 {
        return vec![whole_saw_list(order)];
    }
    places.into_iter().map(|place| part(plan, floor, order, shares, (place, of_board.clone()))).collect()
}

fn part(
    plan: &Plan,
    floor: &Floor,
    order: &Order,
    shares: &StageShares,
    (place, of_board): (usize, Vec<usize>),
) -> SawPart {
    let stage = shares.order.get(place).and_then(|stage| plan.stages.get(*stage));
    let name =
        stage.map_or_else(|| "In no stage".to_owned(), |stage| format!("{} {}", place + 1, stage.name));
    let mut part = SawPart {
        name: Some(name),
        day: stage.map(|stage| stage.day),
        place,
        of_board,
        ..SawPart::default()
    };
    part.saw = part.of(&order.saw, floor);
    let has_piece = |bar: &&YieldBar| {
        let stock = floor.stock.get(bar.stock);
        stock.is_some_and(|stock| {
            stock.pieces.iter().any(|piece| part.takes(piece.board) && !floor.is_laid(piece.board))
        })
    };
    part.yields = order.yields.iter().filter(has_piece).cloned().collect();
    part
}

impl SawPart {
    /// What of a saw list is sawn for this stage.
    fn of(&self, saw: &SawList, floor: &Floor) -> SawList {
        let boards =
            |all: &[usize]| all.iter().copied().filter(|board| self.takes(*board)).collect::<Vec<_>>();
        let length = |board: &usize| floor.boards.get(*board).map_or(0.0, |board| board.length());
        let entries = |all: &[SawEntry]| -> Vec<SawEntry> {
            let own = all.iter().map(|entry| boards(&entry.boards)).zip(all);
            own.filter(|(boards, _)| !boards.is_empty())
                .map(|(boards, entry)| SawEntry {
                    setting: entry.setting,
                    run: boards.iter().map(length).sum(),
                    boards,
                })
                .collect()
        };
        let mitre = |entry: &MitreEntry| {
            let boards = boards(&entry.boards);
            (!boards.is_empty()).then(|| MitreEntry { boards, ..entry.clone() })
        };
        let notch = |notch: &Notch| {
            let all: Vec<usize> = std::iter::once(notch.board).chain(notch.alike.iter().copied()).collect();
            let own = boards(&all);
            let (first, alike) = own.split_first()?;
            Some(Notch { board: *first, alike: alike.to_vec(), ..notch.clone() })
        };
        // One cut for two pieces is sawn for whichever is laid first.
        let is_parted = |cut: &&PartedCut| {
            let turns = [self.turn(cut.left), self.turn(cut.right)];
            turns.into_iter().min() == Some(Ordering::Equal)
        };
        SawList {
            rips_keep_tongue: entries(&saw.rips_keep_tongue),
            rips_keep_groove: entries(&saw.rips_keep_groove),
            rips_keep_neither: entries(&saw.rips_keep_neither),
            crosscuts_keep_left: entries(&saw.crosscuts_keep_left),
            crosscuts_keep_right: entries(&saw.crosscuts_keep_right),
            crosscuts_both: entries(&saw.crosscuts_both),
            mitres: saw.mitres.iter().filter_map(mitre).collect(),
            parted: saw.parted.iter().filter(is_parted).copied().collect(),
            tapers: saw.tapers.iter().filter(|entry| self.takes(entry.board)).cloned().collect(),
            notches: saw.notches.iter().filter_map(notch).collect(),
            skims: saw.skims.iter().filter(|skim| self.takes(skim.board)).copied().collect(),
        }
    }
}
