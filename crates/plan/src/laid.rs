//! What is laid already: facts of the site, kept as they were found and never computed again.

mod lines;
mod moved;

pub use lines::RowLines;
use serde::{Deserialize, Serialize};

/// A side this close to its row's line lies on it, mm: sides are kept to the last bit, and a wall that merely stands
/// near a line must not move with it.
const ON_LINE: f64 = 5e-7;
/// A corner of a laid board that is on no row line but lies where one was planned is kept this far from it, mm.
const OFF_LINE: f64 = 6e-7;
/// A rip that the measured rows leave thinner than this keeps the width it was marked with, mm.
const THINNEST: f64 = 1.0;

/// What is laid. Places are in the rows' own directions, mm: u along them, v across, from the plan's origin.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Laid {
    /// Direction the rows lie in, degrees.
    pub rows_at: f64,
    /// Pitch by which the boards were planned, mm.
    pub pitch: f64,
    /// The row that is called row 1 on paper; rows are counted from the start line, 0 above it and -1 below.
    pub first_row: i32,
    /// How wide the rows to come are taken to be.
    #[serde(default, skip_serializing_if = "ToCome::is_as_measured")]
    pub to_come: ToCome,
    /// The parts of the floor in which something is laid.
    pub parts: Vec<LaidPart>,
    /// Boards opened for what is laid.
    pub stock: Vec<LaidStock>,
    /// Boards laid.
    pub boards: Vec<LaidBoard>,
}

/// How wide the rows to come are taken to be.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum ToCome {
    /// As wide as the measured rows are on average.
    #[default]
    AsMeasured,
    /// As wide as the stock's boards.
    AsPlanned,
}

impl ToCome {
    fn is_as_measured(&self) -> bool {
        *self == Self::AsMeasured
    }
}

/// A connected part of the floor in which something is laid.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LaidPart {
    /// A room of it, by name.
    pub room: String,
    /// v of the start line, the lower side of row 0, mm.
    pub line: f64,
    /// Rows measured.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub pulls: Vec<RowPull>,
    /// Rows that were planned at another pitch than the first ones when they were marked: they lie so until they are
    /// measured.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub as_marked: Vec<RowPull>,
}

/// Rows measured together, from the lower side of the first to the upper side of the last.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RowPull {
    /// The lowest row.
    pub first: i32,
    /// The highest.
    pub last: i32,
    /// Their width together, mm.
    pub across: f64,
}

impl RowPull {
    /// Rows measured.
    pub fn rows(&self) -> i64 {
        i64::from(self.last) - i64::from(self.first) + 1
    }
}

/// A stock board opened for what is laid.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LaidStock {
    /// Length as bought, mm.
    pub length: f64,
    /// Pack it came from, counted from 0.
    #[serde(default, skip_serializing_if = "is_zero")]
    pub pack: u32,
    /// The stretch of it that is still in hand, from the board's left end, mm; `None` where nothing is.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rest: Option<(f64, f64)>,
    /// How much further along its sides lie at the tongue edge, left and right, mm, where slanting saw cuts bound it;
    /// `rest` is then from long point to long point.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rest_shifts: Option<(f64, f64)>,
}

/// A board that lies.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LaidBoard {
    /// Index of its part.
    #[serde(default, skip_serializing_if = "is_none")]
    pub part: usize,
    /// Row, counted from the start line.
    pub row: i32,
    /// Its number in the row, as on its label.
    pub number: u32,
    /// Least u, mm.
    pub left: f64,
    /// Greatest u, mm.
    pub right: f64,
    /// Least v where that is not its row's lower side, mm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub low: Option<f64>,
    /// Greatest v where that is not its row's upper side, mm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub high: Option<f64>,
    /// Corners as (u, v), anticlockwise, where it is no rectangle.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub outline: Vec<(f64, f64)>,
    /// Holes in it, clockwise.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub holes: Vec<Vec<(f64, f64)>>,
    /// Index of the stock board it was cut from.
    pub stock: usize,
    /// Where the piece begins on that, from the stock board's left end, mm.
    pub from: f64,
    /// Where it ends, mm.
    pub to: f64,
    /// How much further along its left and right end lie at the tongue edge, mm, where they slant; `from` and `to` are then
    /// along the groove edge.
    #[serde(default, skip_serializing_if = "are_square")]
    pub shifts: (f64, f64),
    /// Where the board's own left end lay, where that is not the beginning of the piece, mm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<f64>,
    /// Whether it is cut from the strip beside a rip.
    #[serde(default, skip_serializing_if = "is_false")]
    pub strip: bool,
    /// Whether the strip that its rip left beside it is lost or broken.
    #[serde(default, skip_serializing_if = "is_false")]
    pub strip_gone: bool,
    /// Whether it lies turned the other way than its side of the start line has it: laid back from a doorway.
    #[serde(default, skip_serializing_if = "is_false")]
    pub backwards: bool,
    /// Whether nothing stands beyond its left end, in its own frame: a starter.
    #[serde(default, skip_serializing_if = "is_false")]
    pub starts: bool,
    /// Whether nothing stands beyond its right end: a closer.
    #[serde(default, skip_serializing_if = "is_false")]
    pub ends: bool,
}

impl LaidStock {
    /// What of the stretch in hand has square ends, less what the saw takes more on a slant than square, mm: from and to, the
    /// first past the second where slanting ends alone are left.
    pub fn square_rest(&self, kerf: f64, pitch: f64) -> (f64, f64) {
        let (from, to) = self.rest.unwrap_or_default();
        let (left, right) = self.rest_shifts.unwrap_or_default();
        (from + overlap(left, kerf, pitch), to - overlap(right, kerf, pitch))
    }
}

/// How far two pieces overlap, from long point to long point, that one saw cut parts whose line lies `slant` further along
/// the board at the tongue edge: by that, less what the cut takes more along the board than a square one, mm.
pub fn overlap(slant: f64, kerf: f64, pitch: f64) -> f64 {
    if pitch <= 0.0 {
        return 0.0;
    }
    let lean = slant / pitch;
    (slant.abs() - kerf * ((1.0 + lean * lean).sqrt() - 1.0)).max(0.0)
}

fn is_zero(count: &u32) -> bool {
    *count == 0
}

fn are_square(shifts: &(f64, f64)) -> bool {
    *shifts == (0.0, 0.0)
}

fn is_none(index: &usize) -> bool {
    *index == 0
}

fn is_false(value: &bool) -> bool {
    !*value
}

impl Laid {
    /// Whether nothing is laid.
    pub fn is_empty(&self) -> bool {
        self.boards.is_empty()
    }

    /// The pitch of the rows to come in a part, mm; `pitch` is the stock's.
    pub fn pitch_to_come(&self, part: usize, pitch: f64) -> f64 {
        self.measured_pitch(part).filter(|_| self.to_come == ToCome::AsMeasured).unwrap_or(pitch)
    }

    /// The mean pitch of the rows measured in a part, mm; `None` where none is.
    pub fn measured_pitch(&self, part: usize) -> Option<f64> {
        let (low, high) = self.measured(part)?;
        let rows = self.pitches(part, low, high);
        let known: Vec<f64> = rows.into_iter().flatten().collect();
        (!known.is_empty()).then(|| known.iter().sum::<f64>() / known.len() as f64)
    }

    /// The rows some pull reaches over: the lowest, and the one past the highest.
    fn measured(&self, part: usize) -> Option<(i32, i32)> {
        let pulls = &self.parts.get(part)?.pulls;
        let low = pulls.iter().map(|pull| pull.first).min()?;
        let high = pulls.iter().map(|pull| pull.last).max()?;
        Some((low, high.saturating_add(1)))
    }

    /// Pitches of rows `low..high` as the pulls of a part have them; `None` for a row that no pull covers. The pull over the
    /// fewest rows counts first; a longer one says what is left for its other rows.
    fn pitches(&self, part: usize, low: i32, high: i32) -> Vec<Option<f64>> {
        let mut rows: Vec<Option<f64>> = vec![None; usize::try_from(high.saturating_sub(low)).unwrap_or(0)];
        let Some(part) = self.parts.get(part) else { return rows };
        let mut pulls: Vec<&RowPull> = part.pulls.iter().collect();
        pulls.sort_by_key(|pull| (pull.rows(), pull.first));
        for pull in pulls {
            let from = usize::try_from(pull.first.saturating_sub(low)).unwrap_or(0).min(rows.len());
            let to = usize::try_from(pull.last.saturating_sub(low).saturating_add(1)).unwrap_or(0);
            let to = to.clamp(from, rows.len());
            let over = &mut rows[from..to];
            let known: f64 = over.iter().flatten().sum();
            let open = over.iter().filter(|row| row.is_none()).count();
            let each = (pull.across - known) / open.max(1) as f64;
            over.iter_mut().filter(|row| row.is_none()).for_each(|row| *row = Some(each));
        }
        rows
    }

    /// By how much a pull and the shorter ones inside it do not agree, mm; `None` where it is free to say.
    pub(crate) fn contradiction(&self, part: usize, pull: &RowPull) -> Option<f64> {
        let high = pull.last.saturating_add(1);
        let shorter = Self {
            parts: self
                .parts
                .iter()
                .map(|part| {
                    let mut part = part.clone();
                    part.pulls.retain(|other| other.rows() < pull.rows());
                    part
                })
                .collect(),
            stock: Vec::new(),
            boards: Vec::new(),
            ..*self
        };
        let rows: Option<Vec<f64>> = shorter.pitches(part, pull.first, high).into_iter().collect();
        rows.map(|rows| pull.across - rows.iter().sum::<f64>())
    }

    /// The row lines of a part; `pitch` is the stock's. Rows that are laid keep the pitch they were planned with
    /// unless they are measured.
    pub fn row_lines(&self, part: usize, pitch: f64) -> RowLines {
        let line = self.parts.get(part).map_or(0.0, |part| part.line);
        let to_come = self.pitch_to_come(part, pitch);
        let measured = self.measured(part);
        let as_marked = self.parts.get(part).map_or(&[][..], |part| part.as_marked.as_slice());
        if measured.is_none() && as_marked.is_empty() && to_come == self.pitch {
            return RowLines::even(line, to_come);
        }
        let rows = self.boards.iter().filter(|board| board.part == part).map(|board| board.row);
        let (low, high) =
            rows.fold((0, 0), |(low, high), row| (row.min(low), row.saturating_add(1).max(high)));
        let (low, high) = measured.map_or((low, high), |(from, to)| (low.min(from), high.max(to)));
        let pitches = self.pitches(part, low, high);
        let as_marked = |place: usize| {
            let row = i64::from(low) + place as i64;
            let holds = |pull: &&RowPull| (i64::from(pull.first)..=i64::from(pull.last)).contains(&row);
            as_marked.iter().find(holds).map(|pull| pull.across / pull.rows() as f64)
        };
        let pitch_of = |place: usize| pitches[place].or_else(|| as_marked(place)).unwrap_or(self.pitch);
        // Outwards from the start line both ways: the first row stands where it was snapped.
        let zero = usize::try_from(low.saturating_neg()).unwrap_or(0);
        let mut known = vec![line; pitches.len() + 1];
        // Rows nobody measured stay where they were marked, to the last bit.
        let is_plain = |place: usize| pitches[place].is_none() && as_marked(place).is_none();
        let planned = |place: usize| line + (i64::from(low) + place as i64) as f64 * self.pitch;
        let mut is_even = true;
        for place in zero..pitches.len() {
            is_even &= is_plain(place);
            known[place + 1] = if is_even { planned(place + 1) } else { known[place] + pitch_of(place) };
        }
        is_even = true;
        for place in (0..zero).rev() {
            is_even &= is_plain(place);
            known[place] = if is_even { planned(place) } else { known[place + 1] - pitch_of(place) };
        }
        RowLines { line, pitch: to_come, lowest: low, known }
    }

    /// The even lines a part was planned by.
    pub fn planned_lines(&self, part: usize) -> RowLines {
        RowLines::even(self.parts.get(part).map_or(0.0, |part| part.line), self.pitch)
    }

    /// A point (u, v) inside a board, as it was marked.
    pub fn inside(&self, board: &LaidBoard) -> (f64, f64) {
        let planned = self.planned_lines(board.part);
        let rings = board.marked_rings([board.row, board.row.saturating_add(1)].map(|row| planned.at(row)));
        let heights = rings.iter().flatten().map(|p| p.1);
        let (low, high) = heights.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), v| (v.min(l), v.max(h)));
        let v = f64::midpoint(low, high);
        let sides = rings.iter().flat_map(|ring| ring.iter().zip(ring.iter().cycle().skip(1)));
        let crossed = sides.filter(|(a, b)| (a.1 <= v) != (b.1 <= v));
        let mut at: Vec<f64> = crossed.map(|(a, b)| a.0 + (b.0 - a.0) * (v - a.1) / (b.1 - a.1)).collect();
        at.sort_by(f64::total_cmp);
        let longest = at.chunks_exact(2).max_by(|a, b| (a[1] - a[0]).total_cmp(&(b[1] - b[0])));
        (
            longest.map_or_else(
                || f64::midpoint(board.left, board.right),
                |pair| f64::midpoint(pair[0], pair[1]),
            ),
            v,
        )
    }

    /// Rings of a floor's board on these lines, outer one first, as they are kept: sides on the row's lines moved back to where
    /// they were planned. Where these would not come out again as they lie, as of a strip with no room between the planned
    /// lines, they are kept as they lie. `at_walls` says at which ends it stands at a wall.
    pub fn kept_rings(
        &self,
        (part, row): (usize, i32),
        at_walls: [bool; 2],
        lines: &RowLines,
        rings: &[Vec<(f64, f64)>],
    ) -> Vec<Vec<(f64, f64)>> {
        let planned = self.planned_lines(part);
        let sides = [row, row.saturating_add(1)];
        let (from, to) = (sides.map(|row| lines.at(row)), sides.map(|row| planned.at(row)));
        if from == to {
            return rings.to_vec();
        }
        let on = |lines: &[f64; 2], v: f64| (0..2).find(|side| (v - lines[*side]).abs() < ON_LINE);
        let off = |v: f64| match (on(&from, v), on(&to, v)) {
            (None, Some(side)) => to[side] + OFF_LINE * if side == 0 { 1.0 } else { -1.0 },
            _ => v,
        };
        let as_it_lies: Vec<Vec<(f64, f64)>> =
            rings.iter().map(|ring| ring.iter().map(|(u, v)| (*u, off(*v))).collect()).collect();
        let height = |rings: &[Vec<(f64, f64)>]| rings.first().map_or(0.0, |ring| moved::height(ring));
        let kept = moved::moved(&as_it_lies, from, to, at_walls);
        let comes_out = || moved::are_same(&moved::moved(&kept, to, from, at_walls), &as_it_lies);
        let has_room = height(&as_it_lies) > THINNEST && height(&kept) > THINNEST;
        if has_room && comes_out() { kept } else { as_it_lies }
    }

    /// The rings of a board as it lies, outer one first: as it was marked, with those of its sides that lie on row
    /// lines moved to where these are measured. A corner moves along the side that runs off its line, such as a slanted wall.
    pub fn rings(&self, board: &LaidBoard, lines: &RowLines) -> Vec<Vec<(f64, f64)>> {
        let planned = self.planned_lines(board.part);
        let sides = [board.row, board.row.saturating_add(1)];
        let (from, to) = (sides.map(|row| planned.at(row)), sides.map(|row| lines.at(row)));
        let marked = board.marked_rings(from);
        if from == to {
            return marked;
        }
        let rings = moved::moved(&marked, from, to, board.at_walls());
        match rings.first() {
            Some(outer) if moved::height(outer) > THINNEST => rings,
            _ => marked,
        }
    }
}

impl LaidBoard {
    /// A board of part 0 as high as its row, from u `left` to `right`, mm, cut from the left end of opened board 0 and no first or
    /// last of its run.
    pub fn plain(row: i32, number: u32, left: f64, right: f64) -> Self {
        Self {
            part: 0,
            row,
            number,
            left,
            right,
            low: None,
            high: None,
            outline: Vec::new(),
            holes: Vec::new(),
            stock: 0,
            from: 0.0,
            to: right - left,
            shifts: (0.0, 0.0),
            at: None,
            strip: false,
            strip_gone: false,
            backwards: false,
            starts: false,
            ends: false,
        }
    }

    /// The stretch of its stock board that it takes, long point to long point, mm.
    pub fn reach(&self) -> (f64, f64) {
        (self.from + self.shifts.0.min(0.0), self.to + self.shifts.1.max(0.0))
    }

    /// Whether its left and its right end on the plan stand at a wall, not at a joint.
    pub fn at_walls(&self) -> [bool; 2] {
        if (self.row < 0) != self.backwards { [self.ends, self.starts] } else { [self.starts, self.ends] }
    }

    /// The rings as marked, in a row whose sides are these.
    fn marked_rings(&self, [row_low, row_high]: [f64; 2]) -> Vec<Vec<(f64, f64)>> {
        let (low, high) = (self.low.unwrap_or(row_low), self.high.unwrap_or(row_high));
        let outer = match self.outline.is_empty() {
            true => vec![(self.left, low), (self.right, low), (self.right, high), (self.left, high)],
            false => self.outline.clone(),
        };
        std::iter::once(outer).chain(self.holes.iter().cloned()).collect()
    }
}

#[cfg(test)]
mod tests;
