//! What laying gives. Row coordinates, mm.

use site::Uv;

/// A board's face outline after cutting.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Outline {
    /// Outer ring, anticlockwise, not closed.
    pub outer: Vec<Uv>,
    /// Holes, clockwise; a vent or a column inside one board.
    pub holes: Vec<Vec<Uv>>,
}

/// How an end of a board is made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum End {
    /// As it left the factory, with its end-match.
    Factory,
    /// Cut on site.
    Cut,
}

/// One laid board.
///
/// Its own frame is face up, tongue away from the person who lays it, left end left. Below the start
/// line, past the slip tongue, boards lie turned by 180°: their left end is the right one on the plan.
#[derive(Debug, Clone, PartialEq)]
pub struct Board {
    /// Label on drawings and lists: row, a dash, board in the row.
    pub label: String,
    /// Region it lies in.
    pub region: usize,
    /// Row, counted from the start line: 0 upwards lies above it, -1 downwards below.
    pub row: i32,
    /// Index into the floor's runs.
    pub run: usize,
    /// Extent along the rows on the plan: least u.
    pub left: f64,
    /// Greatest u.
    pub right: f64,
    /// Exact outline.
    pub outline: Outline,
    /// Area of the outline, mm².
    pub area: f64,
    /// Whether it lies turned by 180°.
    pub turned: bool,
    /// How the left end is made, in the board's own frame.
    pub left_end: End,
    /// How the right end is made, in the board's own frame.
    pub right_end: End,
    /// Whether nothing stands beyond the left end in its run, in the board's own frame: a starter.
    pub starts_run: bool,
    /// Whether nothing stands beyond the right end: a closer.
    pub ends_run: bool,
    /// Whether the outline is anything but a whole-width rectangle with square ends.
    pub shaped: bool,
    /// Width kept when the board is ripped straight along its length, mm: the widest part of the
    /// outline across the rows; the pitch for a board of whole width.
    pub width: f64,
    /// Index into the floor's stock boards.
    pub stock: usize,
    /// Distance of its left end from the stock board's left end, mm.
    pub from: f64,
}

impl Board {
    /// Length along the rows, mm.
    pub fn length(&self) -> f64 {
        self.right - self.left
    }
}

/// The part of one row between two boundaries, and what a reckoning without its outline must know of it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Run {
    /// Region.
    pub region: usize,
    /// Row, as in [`Board::row`].
    pub row: i32,
    /// Left end.
    pub left: f64,
    /// Right end.
    pub right: f64,
    /// Boards of this run, as a range of indices into the floor's boards; empty where the stock ran out.
    pub boards: std::ops::Range<usize>,
    /// Extent across the rows, mm: the rip's width, or the pitch.
    pub width: f64,
    /// Whether its boards keep the groove edge somewhere along the run, in the board's own frame.
    pub keeps_groove: bool,
    /// Whether they keep the tongue edge.
    pub keeps_tongue: bool,
    /// Whether the run is anything but a straight strip with square ends: notched, tapered, slanted.
    pub shaped: bool,
}

/// An end joint between two boards of a run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Joint {
    /// Row.
    pub row: i32,
    /// Place along the rows.
    pub u: f64,
    /// The joint's extent across the rows: least v.
    pub low: f64,
    /// Greatest v.
    pub high: f64,
    /// Index of the board to its left.
    pub left: usize,
    /// Index of the board to its right.
    pub right: usize,
}

/// A piece cut from a stock board.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Piece {
    /// Index of the laid board.
    pub board: usize,
    /// Start from the stock board's left end, mm.
    pub from: f64,
    /// End.
    pub to: f64,
    /// Whether it is cut from the strip that another piece's rip leaves, along the same stretch of the board.
    pub strip: bool,
}

/// A board opened from a pack.
#[derive(Debug, Clone, PartialEq)]
pub struct StockBoard {
    /// Length, mm.
    pub length: f64,
    /// Pack it was drawn from, counted from 0.
    pub pack: usize,
    /// Pieces cut from it, from left to right.
    pub pieces: Vec<Piece>,
}

impl StockBoard {
    /// The longest stretch left over, mm, kerf taken off.
    pub fn left_over(&self, kerf: f64) -> f64 {
        let mut at = 0.0;
        let mut longest = 0.0_f64;
        for piece in &self.pieces {
            // A strip lies beside the piece it is left from and takes no length of its own.
            if piece.strip {
                continue;
            }
            // A saw cut is lost at each side of the stretch that meets a piece.
            let cuts = if at > 0.0 { 2.0 } else { 1.0 };
            longest = longest.max(piece.from - at - cuts * kerf);
            at = piece.to;
        }
        let cuts = if at > 0.0 { 1.0 } else { 0.0 };
        longest.max(self.length - at - cuts * kerf)
    }
}

/// A stretch that the stock on hand does not reach.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Short {
    /// Index of the run.
    pub run: usize,
    /// Its extent along the rows on the plan: least u, mm.
    pub left: f64,
    /// Greatest u.
    pub right: f64,
}

/// A laid floor.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Floor {
    /// Row pitch, mm.
    pub pitch: f64,
    /// v of the line each region's rows are counted from, in the site's order: the lower side of its row 0.
    pub lines: Vec<f64>,
    /// The lowest row with boards; it is called row 1 on paper.
    pub first_row: i32,
    /// Runs in order of laying.
    pub runs: Vec<Run>,
    /// Boards, run by run, left to right.
    pub boards: Vec<Board>,
    /// End joints.
    pub joints: Vec<Joint>,
    /// Boards opened.
    pub stock: Vec<StockBoard>,
    /// What is not laid because the packs on hand ran out.
    pub short: Vec<Short>,
    /// Moves the search took; laying with this effort gives this floor again.
    pub moves: u64,
}

impl Floor {
    /// v of the lower side of a row of a region, mm.
    pub fn row_low(&self, region: usize, row: i32) -> f64 {
        self.lines.get(region).copied().unwrap_or(0.0) + f64::from(row) * self.pitch
    }

    /// The number of a row as people read it: counted from 1 at the lowest row.
    pub fn row_number(&self, row: i32) -> i32 {
        row - self.first_row + 1
    }
}
