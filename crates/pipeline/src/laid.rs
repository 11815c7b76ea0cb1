//! Marking boards as laid: what of a house becomes a fact of the site.

use crate::House;
use lay::{Board, Floor};
use plan::{Laid, LaidBoard, LaidPart, LaidStock, Plan, RowLines, RowPull, StartLine, ToCome};
use site::{Source, Uv};
use std::collections::{BTreeMap, BTreeSet};

/// Rows as wide as this are of one pitch, mm.
const SAME: f64 = 1e-6;
/// Pieces closer than this lie in one stretch, mm.
const NOTHING: f64 = 1.0;

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

/// The laid part of each region as it is needed.
struct Parts {
    of_region: BTreeMap<usize, usize>,
    lines: BTreeMap<usize, RowLines>,
}

impl Parts {
    fn of(house: &House, laid: &Laid) -> Self {
        let mut of_region = BTreeMap::new();
        for (board, of) in house.floor.boards.iter().zip(&house.floor.laid.of_board) {
            if let Some(marked) = of.and_then(|of| laid.boards.get(of)) {
                of_region.entry(board.region).or_insert(marked.part);
            }
        }
        Self { of_region, lines: BTreeMap::new() }
    }

    /// The part of a region, made where there is none.
    fn of_region(&mut self, house: &House, region: usize, laid: &mut Laid) -> usize {
        *self.of_region.entry(region).or_insert_with(|| {
            let room = room_of(house, region, laid);
            let line = house.floor.row_low(region, 0);
            laid.parts.push(LaidPart { room, line, pulls: Vec::new(), as_marked: Vec::new() });
            laid.parts.len() - 1
        })
    }

    fn lines(&mut self, house: &House, region: usize) -> RowLines {
        self.lines.entry(region).or_insert_with(|| house.setout.row_lines(region)).clone()
    }
}

/// A room of a region by name: the first one that names no other part.
fn room_of(house: &House, region: usize, laid: &Laid) -> String {
    let edges = house.site.regions.get(region).into_iter().flat_map(|region| region.edges());
    let rooms: BTreeSet<usize> = edges
        .filter_map(|edge| match edge.source {
            Source::Wall { room, .. } => Some(room),
            _ => None,
        })
        .collect();
    let names: Vec<&String> =
        rooms.into_iter().filter_map(|room| house.plan.rooms.get(room)).map(|room| &room.name).collect();
    let is_free = |name: &&&String| laid.parts.iter().all(|part| part.room != ***name);
    names.iter().find(is_free).or(names.first()).map(|name| (*name).clone()).unwrap_or_default()
}

/// A board as it is kept.
fn kept(
    floor: &Floor,
    index: usize,
    (part, stock): (usize, usize),
    laid: &Laid,
    lines: &RowLines,
) -> LaidBoard {
    let board = &floor.boards[index];
    let ring = |ring: &Vec<Uv>| -> Vec<(f64, f64)> { ring.iter().map(|p| (p.u, p.v)).collect() };
    let rings: Vec<_> = board.outline.rings().map(ring).collect();
    let [starts, ends] = [board.starts_run, board.ends_run];
    let at_walls = if board.turned { [ends, starts] } else { [starts, ends] };
    let mut rings = laid.kept_rings((part, board.row), at_walls, lines, &rings).into_iter();
    let outline = rings.next().unwrap_or_default();
    let holes: Vec<_> = rings.collect();
    let planned = RowLines::even(laid.parts.get(part).map_or(0.0, |part| part.line), laid.pitch);
    let (row_low, row_high) = (planned.at(board.row), planned.at(board.row.saturating_add(1)));
    let low = outline.iter().map(|p| p.1).fold(f64::INFINITY, f64::min);
    let high = outline.iter().map(|p| p.1).fold(f64::NEG_INFINITY, f64::max);
    let (left, right) = (board.left, board.right);
    let is_plain = holes.is_empty() && outline == [(left, low), (right, low), (right, high), (left, high)];
    let piece = floor.stock.get(board.stock).and_then(|s| s.pieces.iter().find(|piece| piece.board == index));
    let (from, to) = piece.map_or((board.from, board.from + board.length()), |piece| (piece.from, piece.to));
    let shifts = piece.map_or((0.0, 0.0), |piece| (piece.shift, piece.right_shift));
    let begins = piece.map_or(from, |piece| piece.reach().0);
    LaidBoard {
        part,
        row: board.row,
        number: board.label.rsplit('-').next().and_then(|number| number.parse().ok()).unwrap_or(0),
        left,
        right,
        low: Some(low).filter(|low| is_plain && *low != row_low),
        high: Some(high).filter(|high| is_plain && *high != row_high),
        outline: if is_plain { Vec::new() } else { outline },
        holes,
        stock,
        from,
        to,
        shifts,
        at: Some(board.from).filter(|at| *at != begins),
        strip: false,
        strip_gone: false,
        backwards: floor.runs.get(board.run).is_some_and(|run| run.backwards),
        starts: board.starts_run,
        ends: board.ends_run,
    }
}

/// Names the lines by which the laid parts lie: a line looked for again would be another.
fn pin_lines(house: &House, plan: &mut Plan, laid: &Laid) {
    let is_found = |line: StartLine| matches!(line, StartLine::Best | StartLine::Safest);
    for part in &laid.parts {
        let own = house.plan.room_index(&part.room).and_then(|room| {
            house.setout.regions.iter().find(|choice| choice.has_own && choice.rooms.contains(&room))
        });
        match own {
            Some(choice) => {
                let rooms = &choice.rooms;
                let named = plan.own_lines.iter_mut().find(|own| {
                    rooms.iter().any(|room| plan.rooms.get(*room).is_some_and(|room| room.name == own.room))
                });
                if let Some(own) = named.filter(|own| is_found(own.line)) {
                    own.line = StartLine::At(choice.own.offset);
                }
            }
            None if is_found(plan.start_line) => plan.start_line = StartLine::At(house.setout.chosen.offset),
            None => {}
        }
    }
}

/// Notes the pitch of rows that are marked now and lie by another than the first ones.
fn note_pitches(house: &House, laid: &mut Laid) {
    for part in 0..laid.parts.len() {
        let rows: BTreeSet<i32> = laid.boards.iter().filter(|b| b.part == part).map(|b| b.row).collect();
        let Some((low, high)) = rows.first().zip(rows.last()) else { continue };
        let (low, high) = ((*low).min(0), (*high).max(-1));
        let line = laid.parts[part].line;
        let region = (0..house.site.regions.len()).find(|region| {
            (house.floor.row_low(*region, 0) - line).abs() < SAME && holds(house, *region, part, laid)
        });
        let Some(lines) = region.map(|region| house.setout.row_lines(region)) else { continue };
        let after = laid.row_lines(part, house.plan.stock.pitch());
        for row in low..=high {
            let height = lines.at(row + 1) - lines.at(row);
            if (after.at(row + 1) - after.at(row) - height).abs() > SAME {
                let as_marked = &mut laid.parts[part].as_marked;
                match as_marked.last_mut() {
                    Some(last)
                        if last.last + 1 == row
                            && (last.across / last.rows() as f64 - height).abs() < SAME =>
                    {
                        last.last = row;
                        last.across += height;
                    }
                    _ => as_marked.push(RowPull { first: row, last: row, across: height }),
                }
            }
        }
    }
}

/// Whether a region is the one a part lies in.
fn holds(house: &House, region: usize, part: usize, laid: &Laid) -> bool {
    house.part_of_region(region, laid).map_or_else(
        || {
            house.plan.room_index(&laid.parts[part].room).is_some_and(|room| {
                let edges = house.site.regions[region].edges();
                edges
                    .into_iter()
                    .any(|edge| matches!(edge.source, Source::Wall { room: of, .. } if of == room))
            })
        },
        |of| of == part,
    )
}

/// Takes out boards opened that nothing laid is cut from any more.
fn drop_unused(laid: &mut Laid) {
    let used: BTreeSet<usize> = laid.boards.iter().map(|board| board.stock).collect();
    let new: BTreeMap<usize, usize> = used.iter().copied().enumerate().map(|(new, old)| (old, new)).collect();
    let mut index = 0;
    laid.stock.retain(|_| {
        index += 1;
        used.contains(&(index - 1))
    });
    for board in &mut laid.boards {
        board.stock = new.get(&board.stock).copied().unwrap_or(board.stock);
    }
}

/// Names the pieces that lie beside another piece on their stock board as its strips, the narrower stretch of each two. A
/// strip whose rip does not lie is a piece like any other: what is beside it is no whole board any more.
fn name_strips(laid: &mut Laid) {
    let mut pieces: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for (index, board) in laid.boards.iter().enumerate() {
        pieces.entry(board.stock).or_default().push(index);
    }
    for pieces in pieces.values() {
        for &index in pieces {
            let (from, to) = (laid.boards[index].from, laid.boards[index].to);
            let is_inside = |other: &&usize| {
                let other_board = &laid.boards[**other];
                let holds = other_board.from < from + NOTHING && to < other_board.to + NOTHING;
                // Of two alike the later one is the strip.
                let is_alike = from < other_board.from + NOTHING && other_board.to < to + NOTHING;
                **other != index && !other_board.strip && holds && (!is_alike || **other < index)
            };
            let strip = pieces.iter().any(|other| is_inside(&other));
            laid.boards[index].strip = strip;
        }
    }
}

/// What of each board opened is in hand: its longest stretch beside the pieces that lie, saw cuts taken off, as far as it
/// was in hand before; of several that one of which most is wanted.
fn keep_rests(laid: &mut Laid, kerf: f64, wanted: impl Fn(usize, (f64, f64)) -> f64) {
    // Where each begins and ends, and the slants of its ends.
    let pitch = laid.pitch;
    let mut pieces: Vec<Vec<[(f64, f64); 2]>> = vec![Vec::new(); laid.stock.len()];
    for board in laid.boards.iter().filter(|board| !board.strip) {
        if let Some(pieces) = pieces.get_mut(board.stock) {
            pieces.push([board.reach(), board.shifts]);
        }
    }
    for (number, (stock, mut pieces)) in laid.stock.iter_mut().zip(pieces).enumerate() {
        if stock.rest.is_none() {
            continue;
        }
        let ((from, to), before) = (stock.square_rest(kerf, pitch), stock.rest_shifts.unwrap_or_default());
        pieces.sort_by(|a, b| a[0].0.total_cmp(&b[0].0));
        let mut rest = ((0.0, 0.0), (0.0, 0.0));
        let mut most = 0.0;
        let (mut at, mut shift) = (0.0, 0.0);
        for [(begins, ends), (left, right)] in
            pieces.into_iter().chain([[(stock.length + kerf, 0.0), (0.0, 0.0)]])
        {
            let free = (f64::max(from, at), f64::min(to, begins - kerf));
            let left_side = if at >= from { shift } else { before.0 };
            let right_side = if begins - kerf <= to { left } else { before.1 };
            // From long point to long point.
            let long = |slant: f64| plan::overlap(slant, kerf, pitch);
            let free = (free.0 - long(left_side), free.1 + long(right_side));
            let is_longer = free.1 - free.0 > rest.0.1 - rest.0.0;
            let use_of_it = wanted(number, free);
            if use_of_it > most || (use_of_it == most && is_longer) {
                (rest, most) = ((free, (left_side, right_side)), use_of_it);
            }
            (at, shift) = (ends + kerf, right);
        }
        let (rest, shifts) = rest;
        stock.rest = Some(rest).filter(|(from, to)| to - from >= lay::WORTH_KEEPING);
        stock.rest_shifts = Some(shifts).filter(|shifts| stock.rest.is_some() && *shifts != (0.0, 0.0));
    }
}
