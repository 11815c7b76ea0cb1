//! What laying gives. Row coordinates, mm.

use plan::RowLines;
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

/// The hand of a block whose ends join, or are mitred: a block of one hand cannot lie in the other's place.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Hand {
    /// The end that points forwards along the pattern's axis is its own left end.
    Left,
    /// It is its own right end.
    Right,
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
    /// Row, counted from the start line: 0 upwards lies above it, -1 downwards below. In herringbone and
    /// chevron the column between two axis lines, in a border the course, counted from 0 at the wall.
    pub row: i32,
    /// Index into the floor's runs.
    pub run: usize,
    /// Direction of the long edges, a unit vector that points to the right, or straight up: (1, 0) along the rows.
    pub along: Uv,
    /// Extent along that direction, measured on the lower side of the whole board: where it begins.
    pub left: f64,
    /// Where it ends.
    pub right: f64,
    /// Distance of the whole board's lower side from the origin, square to `along`: v of its row's lower
    /// side for a board along the rows.
    pub base: f64,
    /// How far the ends of the whole board lean along it for each mm across: 0 for square ends. It is the same
    /// in the board's own frame: turned half round, a slant keeps its direction.
    pub lean: f64,
    /// The hand of a block of herringbone or chevron.
    pub hand: Option<Hand>,
    /// Whether it belongs to the border.
    pub in_border: bool,
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
    /// Length along the long edges, mm; with mitred ends that of one long edge.
    pub fn length(&self) -> f64 {
        self.right - self.left
    }

    /// Its length as it is cut and told, mm, see [`plan::cut_down`]; with both its factory ends it is not cut.
    pub fn cut_length(&self) -> f64 {
        match (self.left_end, self.right_end) {
            (End::Factory, End::Factory) => self.length(),
            _ => plan::cut_down(self.length()),
        }
    }

    /// Direction of the board, degrees anticlockwise from the rows, above -90 and up to 90.
    pub fn angle(&self) -> f64 {
        if self.along.v == 0.0 { 0.0 } else { libm::atan2(self.along.v, self.along.u).to_degrees() }
    }

    /// A point of the floor along the board's direction and square to it.
    pub fn place(&self, p: Uv) -> (f64, f64) {
        let d = self.along;
        (p.u * d.u + p.v * d.v, p.v * d.u - p.u * d.v)
    }

    /// The point of the floor at a place along the board's direction and square to it.
    pub fn at(&self, along: f64, across: f64) -> Uv {
        let d = self.along;
        Uv::new(along * d.u - across * d.v, along * d.v + across * d.u)
    }

    /// A point of the floor in the board's own frame, face up, mm: x from its left end, y from its groove
    /// edge. With mitred ends x counts from where the left end meets the lower side.
    pub fn own(&self, p: Uv, pitch: f64) -> (f64, f64) {
        let (s, t) = self.place(p);
        if self.turned {
            (self.right + self.lean * pitch - s, self.base + pitch - t)
        } else {
            (s - self.left, t - self.base)
        }
    }

    /// The outline in the board's own frame, outer ring first, as [`Board::own`] has it.
    pub fn own_rings(&self, pitch: f64) -> impl Iterator<Item = Vec<(f64, f64)>> {
        self.outline.rings().map(move |ring| ring.iter().map(|p| self.own(*p, pitch)).collect())
    }

    /// Whether it is a block of herringbone or chevron, whose ends and sides lie aslant to the rows.
    pub fn is_block(&self) -> bool {
        !self.in_border && self.along.v != 0.0
    }

    /// The middle of the outline's corners, where a label or a flag may point.
    pub fn middle(&self) -> Uv {
        let count = self.outline.outer.len().max(1) as f64;
        let sum = |m: Uv, p: &Uv| Uv::new(m.u + p.u / count, m.v + p.v / count);
        self.outline.outer.iter().fold(Uv::default(), sum)
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
    /// Whether it is laid towards the start line, on a slip tongue of its own, in a room that rows enter against the way
    /// they are laid.
    pub backwards: bool,
    /// How much further along its left and right end lie at the tongue edge, in the boards' own frame, mm, where walls end
    /// a run of whole width in one slanting line each; 0 elsewhere.
    pub slants: [f64; 2],
}

impl Run {
    /// Whether its boards lie turned by 180°: past a slip tongue, of the start line or of its own.
    pub fn is_turned(&self) -> bool {
        (self.row < 0) != self.backwards
    }
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
    /// Start from the stock board's left end along its groove edge, mm.
    pub from: f64,
    /// End.
    pub to: f64,
    /// How much further along its left end lies at the tongue edge, mm; 0 for a square one.
    pub shift: f64,
    /// The same of its right end.
    pub right_shift: f64,
    /// Whether it is cut from the strip that another piece's rip leaves, along the same stretch of the board.
    pub strip: bool,
}

/// A board opened from a pack.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct StockBoard {
    /// Length, mm.
    pub length: f64,
    /// Pack it was drawn from, counted from 0.
    pub pack: usize,
    /// Pieces cut from it, from left to right.
    pub pieces: Vec<Piece>,
}

impl Piece {
    /// The stretch of its board that it takes, long point to long point, mm.
    pub fn reach(&self) -> (f64, f64) {
        (self.from + self.shift.min(0.0), self.to + self.right_shift.max(0.0))
    }

    /// Its length half-way across the board, mm.
    pub fn length(&self) -> f64 {
        self.to - self.from + (self.right_shift - self.shift) / 2.0
    }

    /// The piece of a board that takes the stretch from `begin`, long point to long point, and has ends with these shifts.
    pub(crate) fn of_reach(board: usize, begin: f64, length: f64, [shift, right_shift]: [f64; 2]) -> Self {
        let (from, to) = (begin - shift.min(0.0), begin + length - right_shift.max(0.0));
        Self { board, from, to, shift, right_shift, strip: false }
    }
}

impl StockBoard {
    /// The longest stretch left over with square ends, mm, kerf taken off.
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
            let (from, to) = piece.reach();
            longest = longest.max(from - at - cuts * kerf);
            at = to;
        }
        let cuts = if at > 0.0 { 1.0 } else { 0.0 };
        longest.max(self.length - at - cuts * kerf)
    }
}

/// A stretch, or a block's place, that the stock on hand does not reach.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Short {
    /// Index of the run.
    pub run: usize,
    /// Its extent along the rows on the plan: least u, mm.
    pub left: f64,
    /// Greatest u.
    pub right: f64,
    /// Its middle.
    pub at: Uv,
    /// Board that it takes, mm.
    pub length: f64,
    /// Whether it belongs to the border.
    pub in_border: bool,
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
    /// What stands before a row's number in each region, in the site's order: a letter where its rows are counted from
    /// another line than the house's. Empty where all rows are counted from one line.
    pub letters: Vec<String>,
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
    /// A place from which the pattern repeats: the end of a board on the lower side of row 0 where rows go by
    /// halves or thirds, a point of herringbone or chevron; `None` where joints are irregular.
    pub anchor: Option<Uv>,
    /// What of it was laid before; empty where nothing was.
    pub laid: LaidFloor,
}

/// What of a floor is laid already and was taken over as it lies.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct LaidFloor {
    /// Of each board of the floor its place in the plan's list of laid boards; empty where nothing is laid.
    pub of_board: Vec<Option<usize>>,
    /// Row lines of each region, in the site's order, where they are not even.
    pub lines: Vec<Option<RowLines>>,
    /// How many boards of the floor's stock, from the first, were opened for it.
    pub opened: usize,
    /// Where what is laid and what is drawn do not agree.
    pub misfits: Vec<Misfit>,
}

/// A laid board that does not lie as the floor is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Misfit {
    /// The board.
    pub board: usize,
    /// How far it reaches past the edge of the floor as drawn, mm.
    pub over: f64,
    /// How far the floor as drawn reaches past the board and is bare, mm.
    pub bare: f64,
}

impl Floor {
    /// Whether a board is laid already.
    pub fn is_laid(&self, board: usize) -> bool {
        self.laid.of_board.get(board).is_some_and(Option::is_some)
    }

    /// The board beside whose rip a board's wood is left, where it is a strip: the two are sawn apart along their
    /// lengths. `None` for a board that has its stretch of the stock board to itself.
    pub fn strip_beside(&self, board: usize) -> Option<usize> {
        let stock = self.stock.get(self.boards.get(board)?.stock)?;
        let strip = stock.pieces.iter().find(|piece| piece.strip && piece.board == board)?;
        let shared = |piece: &Piece| piece.to.min(strip.to) - piece.from.max(strip.from);
        let others = stock.pieces.iter().filter(|piece| !piece.strip);
        others.max_by(|a, b| shared(a).total_cmp(&shared(b))).map(|piece| piece.board)
    }

    /// A board's label as the saw list says it: a strip names the board whose rip leaves it.
    pub fn saw_label(&self, board: usize) -> String {
        let label = |index: usize| self.boards.get(index).map_or("", |board| board.label.as_str());
        match self.strip_beside(board) {
            Some(rip) => format!("{} (strip of {})", label(board), label(rip)),
            None => label(board).to_owned(),
        }
    }

    /// v of the lower side of a row of a region, mm.
    pub fn row_low(&self, region: usize, row: i32) -> f64 {
        match self.laid.lines.get(region) {
            Some(Some(lines)) => lines.at(row),
            _ => self.lines.get(region).copied().unwrap_or(0.0) + f64::from(row) * self.pitch,
        }
    }

    /// The number of a row as people read it: counted from 1 at the lowest row. Rows of regions that have a letter have numbers
    /// of their own; [`Floor::row_name`] tells them apart.
    pub fn row_number(&self, row: i32) -> i32 {
        row - self.first_row + 1
    }

    /// What a row is called, in the whole house no other: its number, behind its region's letter where that has one.
    pub fn row_name(&self, region: usize, row: i32) -> String {
        format!("{}{}", self.letter(region), self.row_number(row))
    }

    /// What stands before the numbers of a region's rows; nothing where they are counted from the house's line.
    pub fn letter(&self, region: usize) -> &str {
        self.letters.get(region).map_or("", String::as_str)
    }
}
