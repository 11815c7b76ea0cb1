//! Marking boards as laid: what of a house becomes a fact of the site.

use crate::House;
use crate::laid_facts::{Parts, drop_unused, keep_rests, kept, name_strips, note_pitches, pin_lines};
use lay::Board;
use plan::{Laid, LaidStock, Plan, RowPull, ToCome};
use site::Source;
use std::collections::{BTreeMap, BTreeSet};

/// Pieces closer than this lie in one stretch, mm.
pub(crate) const NOTHING: f64 = 1.0;

/// Why boards cannot be marked.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum LaidError {
    /// No board was named.
    #[error("laid: no board is named; name rows or boards of the floor")]
    Nothing,
    /// The joints follow a pattern, or there is a border.
    #[error(
        "laid: boards can be marked in irregular rows without a border only; lay such rows, or leave them unmarked"
    )]
    Pattern,
    /// A board of this label is not on the floor.
    #[error("laid: there is no board `{0}`; take a label from the lay list")]
    Unknown(String),
    /// There is no such row.
    #[error(
        "laid: there is no row {row} there; rows are counted from 1 at the lowest of the house, there {lowest} to {highest}"
    )]
    Row {
        /// Its number as typed.
        row: i32,
        /// The lowest row there.
        lowest: i32,
        /// The highest.
        highest: i32,
    },
    /// Rows are measured of which the first or the last does not lie.
    #[error(
        "laid: row {row} does not lie, only rows {lowest} to {highest} do there; mark it first, or measure those that lie"
    )]
    RowNotLaid {
        /// Its number on paper.
        row: i32,
        /// The lowest row that lies in that floor.
        lowest: i32,
        /// The highest.
        highest: i32,
    },
    /// Rows are measured where nothing is laid.
    #[error("laid: nothing is laid in {0}; mark the rows first, then measure them")]
    NotLaid(String),
}

impl House {
    /// The boards of a region on one side of the start line up to a board, in the order of laying: whole rows from
    /// the line on, and in its own row what the person laying has behind.
    pub fn up_to(&self, board: usize) -> Vec<usize> {
        let Some(last) = self.floor.boards.get(board) else { return Vec::new() };
        // Where a room is laid back from a doorway, rows do not go in by their numbers.
        if self.floor.runs.iter().any(|run| run.backwards && run.region == last.region) {
            let is_on_side = |b: &Board| (b.row < 0) == (last.row < 0) && b.region == last.region;
            let mut found = Vec::new();
            for index in self.sequence().boards().filter(|index| is_on_side(&self.floor.boards[*index])) {
                found.push(index);
                if index == board {
                    break;
                }
            }
            found.sort_unstable();
            return found;
        }
        let is_before = |b: &Board| {
            let is_on_side = (b.row < 0) == (last.row < 0) && b.region == last.region;
            let (row, last_row) = (i64::from(b.row), i64::from(last.row));
            let is_nearer = if last.row < 0 { row > last_row } else { row < last_row };
            let is_behind = if last.row < 0 { b.left >= last.left } else { b.left <= last.left };
            is_on_side && (is_nearer || (row == last_row && is_behind))
        };
        self.boards_where(is_before)
    }

    /// The boards of some rows, by the row's number on paper; of one region where that is named.
    ///
    /// # Errors
    /// When a row has no boards there.
    pub fn boards_of_rows(
        &self,
        rows: std::ops::RangeInclusive<i32>,
        region: Option<usize>,
    ) -> Result<Vec<usize>, LaidError> {
        let (first, last) = (*rows.start(), *rows.end());
        let is_of = |b: &Board| {
            rows.contains(&self.floor.row_number(b.row)) && region.is_none_or(|region| b.region == region)
        };
        let found = self.boards_where(is_of);
        let has = |row: i32| found.iter().any(|b| self.floor.row_number(self.floor.boards[*b].row) == row);
        match [first, last].into_iter().find(|row| !has(*row)) {
            Some(row) => {
                let (lowest, highest) = self.rows_in(region).unwrap_or((0, 0));
                Err(LaidError::Row { row, lowest, highest })
            }
            None => Ok(found),
        }
    }

    /// The lowest and the highest row with boards, by their numbers on paper; of one region where that is named.
    pub fn rows_in(&self, region: Option<usize>) -> Option<(i32, i32)> {
        let boards = self.floor.boards.iter().filter(|board| !board.in_border);
        let here = boards.filter(|board| region.is_none_or(|region| board.region == region));
        let rows = || here.clone().map(|board| self.floor.row_number(board.row));
        Some((rows().min()?, rows().max()?))
    }

    /// The board with a label.
    ///
    /// # Errors
    /// When there is none.
    pub fn board_called(&self, label: &str) -> Result<usize, LaidError> {
        let found = self.floor.boards.iter().position(|board| board.label == label.trim());
        found.ok_or_else(|| LaidError::Unknown(label.trim().into()))
    }

    fn boards_where(&self, takes: impl Fn(&Board) -> bool) -> Vec<usize> {
        let boards = self.floor.boards.iter().enumerate();
        boards.filter(|(_, board)| takes(board)).map(|(index, _)| index).collect()
    }

    /// The plan with these boards marked as laid besides those that are. The start line they were laid from is kept
    /// as it is from now on.
    ///
    /// # Errors
    /// When no board is named, or the floor is not one that can be marked.
    pub fn with_laid(&self, boards: &[usize]) -> Result<Plan, LaidError> {
        if !self.plan.pattern.is_irregular() || self.plan.border.is_some() {
            return Err(LaidError::Pattern);
        }
        let boards: BTreeSet<usize> =
            boards.iter().copied().filter(|board| *board < self.floor.boards.len()).collect();
        if boards.is_empty() {
            return Err(LaidError::Nothing);
        }
        let mut plan = self.plan.clone();
        let mut laid = plan.laid.take().unwrap_or_else(|| Laid {
            rows_at: plan.rows_at,
            pitch: self.floor.pitch,
            first_row: self.floor.first_row,
            to_come: ToCome::default(),
            parts: Vec::new(),
            stock: Vec::new(),
            boards: Vec::new(),
        });
        let mut parts = Parts::of(self, &laid);
        let opened: BTreeMap<usize, usize> =
            (0..self.floor.laid.opened).map(|stock| (stock, stock)).collect();
        let mut opened = opened;
        for index in boards.into_iter().filter(|board| !self.floor.is_laid(*board)) {
            let board = &self.floor.boards[index];
            let part = parts.of_region(self, board.region, &mut laid);
            let stock = *opened.entry(board.stock).or_insert_with(|| {
                let bought = self.floor.stock.get(board.stock);
                let (length, pack) = bought.map_or((0.0, 0), |stock| (stock.length, stock.pack));
                let pack = u32::try_from(pack).unwrap_or(0);
                laid.stock.push(LaidStock { length, pack, rest: Some((0.0, length)), rest_shifts: None });
                laid.stock.len() - 1
            });
            let lines = parts.lines(self, board.region);
            let kept = kept(&self.floor, index, (part, stock), &laid, &lines);
            laid.boards.push(kept);
        }
        pin_lines(self, &mut plan, &laid);
        note_pitches(self, &mut laid);
        name_strips(&mut laid);
        let stocks: BTreeMap<usize, usize> =
            opened.into_iter().map(|(of_floor, own)| (own, of_floor)).collect();
        keep_rests(&mut laid, plan.stock.kerf, |stock, stretch| {
            let board = stocks.get(&stock).and_then(|of_floor| self.floor.stock.get(*of_floor));
            board.map_or(0.0, |board| self.wanted(board, stretch))
        });
        plan.laid = Some(laid);
        Ok(plan)
    }

    /// Length of the pieces still to be cut from a stretch of a board, mm. Of one whose ends are all square the longest
    /// stretch is kept, whatever is to be cut.
    fn wanted(&self, board: &lay::StockBoard, (from, to): (f64, f64)) -> f64 {
        let is_slanting = |piece: &lay::Piece| (piece.shift, piece.right_shift) != (0.0, 0.0);
        if !board.pieces.iter().any(is_slanting) {
            return 0.0;
        }
        let is_in = |piece: &&lay::Piece| {
            let (begin, end) = piece.reach();
            !piece.strip && begin > from - NOTHING && end < to + NOTHING
        };
        board.pieces.iter().filter(is_in).map(lay::Piece::length).sum()
    }

    /// The plan with these boards no longer marked: they are planned again. What was cut for them counts as whole again.
    pub fn without_laid(&self, boards: &[usize]) -> Plan {
        let mut plan = self.plan.clone();
        let Some(mut laid) = plan.laid.take() else { return plan };
        let gone: BTreeSet<usize> = boards
            .iter()
            .filter_map(|board| self.floor.laid.of_board.get(*board).copied().flatten())
            .collect();
        let freed: BTreeSet<usize> = gone.iter().filter_map(|b| Some(laid.boards.get(*b)?.stock)).collect();
        let mut index = 0;
        laid.boards.retain(|_| {
            index += 1;
            !gone.contains(&(index - 1))
        });
        for stock in freed {
            if let Some(stock) = laid.stock.get_mut(stock) {
                (stock.rest, stock.rest_shifts) = (Some((0.0, stock.length)), None);
            }
        }
        drop_unused(&mut laid);
        keep_rests(&mut laid, plan.stock.kerf, |_, _| 0.0);
        plan.laid = Some(laid).filter(|laid| !laid.is_empty());
        plan
    }

    /// The plan with some rows measured together, by their numbers on paper. A pull over the same rows is replaced; one
    /// of 0 is taken out.
    ///
    /// # Errors
    /// When nothing is laid in that room's floor, or the first or the last of the rows does not lie.
    pub fn with_pull(&self, room: Option<&str>, rows: (i32, i32), across: f64) -> Result<Plan, LaidError> {
        let mut plan = self.plan.clone();
        let not_laid = || LaidError::NotLaid(room.unwrap_or("the house").into());
        let laid = plan.laid.as_mut().ok_or_else(not_laid)?;
        let part = self.part_with_rows(room, rows).ok_or_else(not_laid)?;
        let of_plan = |number: i32| number.saturating_add(laid.first_row).saturating_sub(1);
        let (first, last) = (of_plan(rows.0.min(rows.1)), of_plan(rows.0.max(rows.1)));
        let lie: BTreeSet<i32> =
            laid.boards.iter().filter(|board| board.part == part).map(|board| board.row).collect();
        let missing = [first, last].into_iter().find(|row| !lie.contains(row));
        if let (Some(row), Some(lowest), Some(highest), true) =
            (missing, lie.first(), lie.last(), across > 0.0)
        {
            let on_paper = |row: i32| row.saturating_sub(laid.first_row).saturating_add(1);
            let [row, lowest, highest] = [row, *lowest, *highest].map(on_paper);
            return Err(LaidError::RowNotLaid { row, lowest, highest });
        }
        let part = laid.parts.get_mut(part).ok_or_else(not_laid)?;
        part.pulls.retain(|pull| (pull.first, pull.last) != (first, last));
        if across > 0.0 {
            part.pulls.push(RowPull { first, last, across });
            part.pulls.sort_by_key(|pull| (pull.first, pull.last));
        }
        Ok(plan)
    }

    /// The region that holds a room, by name.
    pub fn region_of_room(&self, room: &str) -> Option<usize> {
        let room = self.plan.room_index(room)?;
        self.site.regions.iter().position(|region| {
            region.edges().any(|edge| matches!(edge.source, Source::Wall { room: of, .. } if of == room))
        })
    }

    /// The laid part of a region: that of a laid board in it.
    pub fn part_of_region(&self, region: usize, laid: &Laid) -> Option<usize> {
        let of_board = |(index, board): (usize, &Board)| {
            let of = self.floor.laid.of_board.get(index).copied().flatten()?;
            (board.region == region).then(|| laid.boards.get(of).map(|board| board.part)).flatten()
        };
        self.floor.boards.iter().enumerate().find_map(of_board)
    }

    /// The part with most of some rows laid, by their numbers on paper; of those in a room's floor where it is named.
    fn part_with_rows(&self, room: Option<&str>, (first, last): (i32, i32)) -> Option<usize> {
        let laid = self.plan.laid.as_ref()?;
        let room = match room {
            Some(room) => Some(self.plan.room_index(room)?),
            None => None,
        };
        let has_room = |region: usize| {
            let edges = self.site.regions.get(region).into_iter().flat_map(|region| region.edges());
            room.is_none_or(|room| {
                edges
                    .into_iter()
                    .any(|edge| matches!(edge.source, Source::Wall { room: of, .. } if of == room))
            })
        };
        let regions: Vec<bool> = (0..self.site.regions.len()).map(has_room).collect();
        let mut counts = vec![0_usize; laid.parts.len()];
        for (board, of) in self.floor.boards.iter().zip(&self.floor.laid.of_board) {
            let Some(marked) = of.and_then(|of| laid.boards.get(of)) else { continue };
            let number = self.floor.row_number(board.row);
            if (first.min(last)..=first.max(last)).contains(&number)
                && regions.get(board.region) == Some(&true)
                && let Some(count) = counts.get_mut(marked.part)
            {
                *count += 1;
            }
        }
        let most = counts.iter().enumerate().max_by(|a, b| a.1.cmp(b.1).then(b.0.cmp(&a.0)))?;
        (*most.1 > 0).then_some(most.0)
    }
}
