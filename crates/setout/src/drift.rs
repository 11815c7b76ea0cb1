//! What the rows that lie do to the edges still to come: rips as planned and as they will be, and how to mend them.

use crate::choose::{Work, field_of};
use crate::own::laid_parts;
use crate::tooth::{SAME, Tooth};
use crate::way::Way;
use crate::{EdgeRef, SetOut};
use plan::{Plan, RowLines};
use site::{Site, Uv};

/// The most a joint between two rows may be opened or driven closer without being seen, mm. Common practice, no source;
/// NF DTU 51.2 P1-1 (2020) §7.2 lets a joint of boards over 140 mm stand open by 3 mm, of narrower ones by 2 % of their
/// width and at most 2 mm, which is what wood may come to, not what is laid.
pub const MOST_A_ROW: f64 = 0.5;
/// A correction is read to this side of a limit, mm.
const HAIR: f64 = 1e-6;

/// What lies on one side of a region's start line, and what comes of it. What lies on the one side moves the other, too:
/// rows to come are taken as wide as those measured, whichever way they go.
#[derive(Debug, Clone, PartialEq)]
pub struct Drift {
    /// The region.
    pub region: usize,
    /// Its part among what is laid.
    pub part: usize,
    /// Whether this is the side above the start line, towards greater v.
    pub is_above: bool,
    /// That way on the plan: `up the plan`.
    pub way: &'static str,
    /// Rows from the start line to the last one that lies; 0 where none lies on this side yet.
    pub rows_laid: i32,
    /// The first row to come, counted from the start line.
    pub next_row: i32,
    /// How far the side of the last row that lies is further from the start line than planned, mm; negative if nearer.
    pub off: f64,
    /// Pitch by which the rows were planned, mm.
    pub planned_pitch: f64,
    /// Mean pitch of the rows measured, mm; `None` where none is.
    pub measured_pitch: Option<f64>,
    /// Pitch the rows to come are taken to have, mm.
    pub pitch: f64,
    /// The edges still to come, nearest first.
    pub edges: Vec<DriftEdge>,
    /// How to bring rips back over the least that were planned over it; `None` where none has fallen under it.
    pub correction: Option<Correction>,
    /// How much further the rows may drift before an edge's rip falls under the least that is not under it yet, mm: nearer
    /// to the start line, and further from it. Infinite where none does.
    pub room: (f64, f64),
}

/// An edge along rows still to come.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DriftEdge {
    /// The edge.
    pub edge: EdgeRef,
    /// Seen rip as planned, at its narrowest, mm.
    pub planned: f64,
    /// As it will be, mm.
    pub now: f64,
    /// The same with the correction, mm.
    pub corrected: f64,
    /// The same three of its wood, whatever hides it, mm.
    pub wood: [f64; 3],
    /// Rows from the last one that lies to the edge, the rip among them.
    pub rows: i32,
    /// Whether it will be under the least and need not be: on some line it would not.
    pub is_short: bool,
    /// Whether it was planned so.
    pub was_short: bool,
}

/// How rows to come are shifted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Correction {
    /// How far the row lines are shifted in all, mm: above 0 away from the start line.
    pub by: f64,
    /// The same for each row, mm: above 0 every row is laid that much wider, its joint left open; below 0 that much
    /// narrower, its joint driven closer.
    pub each: f64,
    /// Rows it is shared by, from the first to come.
    pub rows: i32,
    /// The last row from which a correction of [`MOST_A_ROW`] still ends in time; `None` where not even all rows suffice.
    pub latest: Option<i32>,
    /// Edges planned over the least that are under it all the same.
    pub left_short: usize,
}

/// An edge with what its rip is read by.
struct Far<'a> {
    tooth: &'a Tooth,
    line: f64,
    pitch: f64,
    planned: f64,
    planned_wood: f64,
    rows: i32,
}

impl Far<'_> {
    /// Its seen rip with the lines there shifted away from the start line, mm.
    fn seen(&self, by: f64, is_above: bool) -> f64 {
        self.tooth.seen(self.line + if is_above { by } else { -by }, self.pitch)
    }

    /// The same of its wood, mm.
    fn wood(&self, by: f64, is_above: bool) -> f64 {
        self.tooth.rip(self.line + if is_above { by } else { -by }, self.pitch)
    }
}

/// What lies and what comes of it, both sides of the start line of each region in which something is laid. A side on which
/// nothing lies and no edge is to come is left out.
pub fn drift(plan: &Plan, site: &Site, set: &SetOut) -> Vec<Drift> {
    let Some(laid) = &plan.laid else { return Vec::new() };
    let field = field_of(plan, site);
    let work = Work::new(plan, &field);
    let parts = laid_parts(plan, &field);
    let mut all = Vec::new();
    let mut seen: Vec<usize> = Vec::new();
    for (region, lines) in set.laid.iter().enumerate() {
        let Some(lines) = lines else { continue };
        // Two parts may lie by one line, so the line does not tell which it is.
        let Some(part) = parts.get(region).copied().flatten() else { continue };
        // Rows go on past movement joints.
        let leader = work.joints.leader(region);
        if seen.contains(&leader) {
            continue;
        }
        seen.push(leader);
        for is_above in [true, false] {
            let rows = laid.boards.iter().filter(|board| board.part == part).map(|board| board.row);
            // The row line at which what lies ends: the start line where nothing does.
            let end = match is_above {
                true => rows.filter(|row| *row >= 0).max().map_or(0, |row| row.saturating_add(1)),
                false => rows.filter(|row| *row < 0).min().unwrap_or(0),
            };
            let side = side(&work, laid, (region, part), (lines, is_above), end);
            if end != 0 || !side.edges.is_empty() {
                all.push(side);
            }
        }
    }
    all
}

fn side(
    work: &Work,
    laid: &plan::Laid,
    (region, part): (usize, usize),
    (lines, is_above): (&RowLines, bool),
    end: i32,
) -> Drift {
    let planned = laid.planned_lines(part);
    let planned_line = planned.line - work.shift(region);
    let next_row = if is_above { end } else { end - 1 };
    let group = work.led_by(work.joints.leader(region)).filter(|other| work.laid[*other].is_some());
    let mut far: Vec<Far> = Vec::new();
    for other in group {
        let lines = work.laid[other].as_ref().unwrap_or(lines);
        // A tooth is read as the shared lines have it; past a joint the rows are moved on.
        let shift = work.shift(other);
        for tooth in work.of_region(other) {
            let middle = f64::midpoint(tooth.low, tooth.high) + shift;
            let place = lines.place(middle) - f64::from(end);
            let away = if is_above { place } else { -place };
            let (line, pitch) = lines.near(middle);
            let (planned, planned_wood) =
                (tooth.seen(planned_line, planned.pitch), tooth.rip(planned_line, planned.pitch));
            if away > 0.0 {
                far.push(Far {
                    tooth,
                    line: line - shift,
                    pitch,
                    planned,
                    planned_wood,
                    rows: away.ceil() as i32,
                });
            }
        }
    }
    far.sort_by_key(|far| far.rows);
    let is_short = |far: &Far, by: f64| {
        let can_be_helped = !far.tooth.is_beyond_help(work.least, far.pitch);
        can_be_helped && far.seen(by, is_above) < work.least - SAME
    };
    // A correction ends before the nearest edge that needs it; rows before that are shifted in part.
    let was_short = |far: &Far| far.planned < work.least - SAME;
    let has_fallen = |far: &Far, by: f64| !was_short(far) && is_short(far, by);
    let nearest = far.iter().filter(|far| has_fallen(far, 0.0)).map(|far| far.rows).min();
    let shift_at = |far: &Far, by: f64, rows: i32| by * (f64::from(far.rows - 1) / f64::from(rows)).min(1.0);
    let correction = nearest.and_then(|nearest| {
        // The rip itself is no row to shift.
        let rows = (nearest - 1).max(0);
        correct(&far, rows, |far, by| has_fallen(far, shift_at(far, by, rows.max(1))), is_above, work.least)
            .map(|(by, left_short)| Correction {
                by,
                each: by / f64::from(rows.max(1)),
                rows,
                latest: latest(by, rows, next_row, is_above),
                left_short,
            })
    });
    let by_at = |far: &Far| correction.map_or(0.0, |c| shift_at(far, c.by, c.rows.max(1)));
    let edges = far
        .iter()
        .map(|far| DriftEdge {
            edge: far.tooth.edge,
            planned: far.planned,
            now: far.seen(0.0, is_above),
            corrected: far.seen(by_at(far), is_above),
            wood: [far.planned_wood, far.wood(0.0, is_above), far.wood(by_at(far), is_above)],
            rows: far.rows,
            is_short: is_short(far, 0.0),
            was_short: was_short(far),
        })
        .collect();
    let off = lines.at(end) - planned.at(end);
    Drift {
        region,
        part,
        is_above,
        way: Way::of(work.site, Uv::new(0.0, if is_above { 1.0 } else { -1.0 })).along(),
        rows_laid: if is_above { end } else { -end },
        next_row,
        off: if is_above { off } else { -off },
        planned_pitch: laid.pitch,
        measured_pitch: laid.measured_pitch(part),
        pitch: lines.pitch,
        room: room(&far, work.least, is_above),
        edges,
        correction,
    }
}

/// The least shift, up to half a board either way, that leaves fewest edges under the least, and how many it leaves. It
/// lies where some rip passes the least or a row line the edge, so only those places are tried, the nearest first.
fn correct(
    far: &[Far],
    rows: i32,
    is_short: impl Fn(&Far, f64) -> bool,
    is_above: bool,
    least: f64,
) -> Option<(f64, usize)> {
    let mut places = Vec::new();
    for edge in far {
        let share = (f64::from(edge.rows - 1) / f64::from(rows.max(1))).min(1.0);
        if share <= 0.0 {
            continue;
        }
        for at in edge.tooth.breakpoints(least, edge.pitch) {
            let mut by = (at - edge.line).rem_euclid(edge.pitch);
            if by > edge.pitch / 2.0 {
                by -= edge.pitch;
            }
            let by = if is_above { by } else { -by } / share;
            places.extend([by - HAIR, by, by + HAIR]);
        }
    }
    places.sort_by(|a, b| a.abs().total_cmp(&b.abs()).then(b.total_cmp(a)));
    let count = |by: f64| far.iter().filter(|edge| is_short(edge, by)).count();
    let mut best = (0.0, count(0.0));
    for by in places {
        let left = count(by);
        if left < best.1 {
            best = (by, left);
        }
        if best.1 == 0 {
            break;
        }
    }
    (best.0 != 0.0).then_some(best)
}

/// The last row from which the most a row still makes up a shift.
fn latest(by: f64, rows: i32, next_row: i32, is_above: bool) -> Option<i32> {
    let needed = (by.abs() / MOST_A_ROW - HAIR).ceil() as i32;
    let spare = rows - needed;
    (spare >= 0).then(|| if is_above { next_row + spare } else { next_row - spare })
}

/// How far the row lines may still move each way before an edge falls under the least.
fn room(far: &[Far], least: f64, is_above: bool) -> (f64, f64) {
    let mut room = (f64::INFINITY, f64::INFINITY);
    for edge in far {
        if let Some((down, up)) = edge.tooth.room_to_move(edge.line, least, edge.pitch) {
            let (nearer, further) = if is_above { (down, up) } else { (up, down) };
            room = (room.0.min(nearer), room.1.min(further));
        }
    }
    room
}

#[cfg(test)]
mod tests;
