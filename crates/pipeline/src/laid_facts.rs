//! What of laid boards is kept in a plan: boards, the lines and pitches they lie by, and what is in hand of each board opened.

use crate::House;
use crate::laid::NOTHING;
use lay::Floor;
use plan::{Laid, LaidBoard, LaidPart, Plan, RowLines, RowPull, StartLine};
use site::{Source, Uv};
use std::collections::{BTreeMap, BTreeSet};

/// Rows as wide as this are of one pitch, mm.
const SAME: f64 = 1e-6;

/// The laid part of each region as it is needed.
pub(crate) struct Parts {
    of_region: BTreeMap<usize, usize>,
    lines: BTreeMap<usize, RowLines>,
}

impl Parts {
    pub(crate) fn of(house: &House, laid: &Laid) -> Self {
        let mut of_region = BTreeMap::new();
        for (board, of) in house.floor.boards.iter().zip(&house.floor.laid.of_board) {
            if let Some(marked) = of.and_then(|of| laid.boards.get(of)) {
                of_region.entry(board.region).or_insert(marked.part);
            }
        }
        Self { of_region, lines: BTreeMap::new() }
    }

    /// The part of a region, made where there is none.
    pub(crate) fn of_region(&mut self, house: &House, region: usize, laid: &mut Laid) -> usize {
        *self.of_region.entry(region).or_insert_with(|| {
            let room = room_of(house, region, laid);
            let line = house.floor.row_low(region, 0);
            laid.parts.push(LaidPart { room, line, pulls: Vec::new(), as_marked: Vec::new() });
            laid.parts.len() - 1
        })
    }

    pub(crate) fn lines(&mut self, house: &House, region: usize) -> RowLines {
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
pub(crate) fn kept(
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
pub(crate) fn pin_lines(house: &House, plan: &mut Plan, laid: &Laid) {
    let is_found = |line: StartLine| matches!(line, StartLine::Best | StartLine::Safest);
    // Floors of one row have lines that the plan does not name: named in their order, they keep their letters.
    for choice in house.setout.regions.iter().filter(|choice| choice.has_own && !laid.parts.is_empty()) {
        let name = |room: &usize| plan.rooms.get(*room).map(|room| room.name.clone());
        let rooms: Vec<String> = choice.rooms.iter().filter_map(name).collect();
        let is_laid = house.setout.laid.get(choice.region).is_some_and(Option::is_some);
        if !is_laid && !plan.own_lines.iter().any(|own| rooms.contains(&own.room)) {
            let line = StartLine::Best;
            plan.own_lines.extend(rooms.into_iter().next().map(|room| plan::OwnLine { room, line }));
        }
    }
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
pub(crate) fn note_pitches(house: &House, laid: &mut Laid) {
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
pub(crate) fn drop_unused(laid: &mut Laid) {
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
pub(crate) fn name_strips(laid: &mut Laid) {
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
pub(crate) fn keep_rests(laid: &mut Laid, kerf: f64, wanted: impl Fn(usize, (f64, f64)) -> f64) {
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
