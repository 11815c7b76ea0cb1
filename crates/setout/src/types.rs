//! What the set-out gives.

use crate::{Points, Value};
use plan::{Point, RowLines};
use site::{Ease, EdgeKind, Source};

/// An edge of the field ([`site::Site::fields`]): its part, ring (0 is the outline) and edge in the ring.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct EdgeRef {
    /// Index of the part of the field: the region where there is no border.
    pub region: usize,
    /// Index of the ring; 0 is the outline.
    pub ring: usize,
    /// Index of the edge in the ring.
    pub edge: usize,
}

/// The profile that a rip keeps on its long edge.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Profile {
    /// The tongue: the next row is joined to it.
    Tongue,
    /// The groove: it is joined to the row before.
    Groove,
}

/// The rip expected along one edge for one line. In herringbone and chevron it is how far the smallest pieces
/// reach in from the edge, measured square to it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rip {
    /// The edge.
    pub edge: EdgeRef,
    /// What the boards meet there.
    pub kind: EdgeKind,
    /// The thing of the plan it comes from.
    pub source: Source,
    /// Length of the edge, mm.
    pub length: f64,
    /// Narrowest kept width along the edge, mm; a whole board counts its full width.
    pub least: f64,
    /// Widest kept width along the edge, mm.
    pub greatest: f64,
    /// How far the boards go under something that hides them, mm: a kick, a lining.
    pub hidden: f64,
    /// The narrowest strip that is seen along the edge, mm: the rip less what is hidden of it; where all of it is hidden, what
    /// shows of the row before.
    pub seen: f64,
    /// How much wider the gap is made so that the last board needs no strip beside it, mm; 0 where it is not.
    pub play: f64,
    /// The widest strip that the gap can take up here, mm: its play, where that can be used.
    pub most_play: f64,
    /// Distance to the edge that faces it, mm, where that is less than a board: without a row line between
    /// them, that is the width of the wood.
    pub facing: Option<f64>,
    /// What a millimetre of the edge counts: 1 in an open room, less where it is seen less.
    pub weight: f64,
    /// The profile the rip keeps where the floor is laid from the snapped line, both ways.
    pub keeps: Profile,
    /// Middle of the edge on the plan, where the figure is written.
    pub at: Point,
}

/// One point of the curve of narrowest rip against offset. Between points the curve is straight;
/// two points at one offset are a step.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CurvePoint {
    /// Offset of the row lines, mm, in 0..=pitch.
    pub offset: f64,
    /// Narrowest seen rip over all edges that count, mm.
    pub rip: f64,
}

/// One start line valued. Its figures are over the edges that carry it; its rips are those of every edge, in a
/// region with a line of its own by that line.
#[derive(Debug, Clone, PartialEq)]
pub struct Candidate {
    /// Offset of the row lines across the rows, mm, in 0..pitch.
    pub offset: f64,
    /// What it is worth, part by part.
    pub value: Value,
    /// Narrowest seen rip over all edges that count, mm.
    pub narrowest: f64,
    /// Narrowest seen rip when the line is off by the rules' tolerance either way, mm.
    pub narrowest_within_tolerance: f64,
    /// Total length of edges whose rip is under the least, mm, within the tolerance.
    pub short_length: f64,
    /// How far the line may be off either way before another edge falls under the least rip, mm.
    pub safe_by: f64,
    /// Edges that hold the narrowest rip, all with that width.
    pub binding: Vec<EdgeRef>,
    /// Rips at every edge along the rows, in the site's order.
    pub rips: Vec<Rip>,
}

/// A pull to snap or check the line: a distance from a named corner, square to the line.
#[derive(Debug, Clone, PartialEq)]
pub struct Pull {
    /// Letter on the drawing, `A`, `B` for the two that snap and `C` for the check.
    pub letter: char,
    /// The corner: a room's corner, by room and wall index.
    pub room: usize,
    /// The wall that starts at the corner.
    pub wall: usize,
    /// The corner on the plan, finished wall face.
    pub corner: Point,
    /// The foot of the pull on the line.
    pub foot: Point,
    /// Distance from corner to foot, mm.
    pub distance: f64,
}

/// The row line that is snapped on the floor.
#[derive(Debug, Clone, PartialEq)]
pub struct SnapLine {
    /// Its place across the rows, mm: an offset plus a whole number of boards.
    pub v: f64,
    /// The region it lies in.
    pub region: usize,
    /// The longest stretch of it that lies on the floor, on the plan.
    pub from: Point,
    /// Its other end.
    pub to: Point,
    /// Room in which it is snapped.
    pub room: Option<usize>,
    /// Two pulls that fix it, from corners far apart.
    pub pulls: Vec<Pull>,
    /// An independent pull that checks it.
    pub check: Option<Pull>,
    /// Index into the candidate's rips of the wall that the pulls start from: the first rip.
    pub first_rip: Option<usize>,
    /// Whole rows between that wall's rip and the line.
    pub rows_to_wall: usize,
    /// Index into the candidate's rips of the edge furthest from the line on its other side, of the longest
    /// where several are: the last rip.
    pub last_rip: Option<usize>,
}

/// A region that could have a line of its own: what each choice leaves, and what it costs.
#[derive(Debug, Clone, PartialEq)]
pub struct RegionChoice {
    /// The region.
    pub region: usize,
    /// Its rooms, in the plan's order.
    pub rooms: Vec<usize>,
    /// The shared line in this region alone; its rips are the region's only.
    pub shared: Candidate,
    /// A line of the region's own: the plan's, or the best there is. Its rips are the region's only.
    pub own: Candidate,
    /// Whether the line of its own is in use.
    pub has_own: bool,
    /// How far its rows lie out of line with the others past the trim if it has its own, mm. A second line has
    /// to be snapped then.
    pub out_of_line: f64,
    /// How its own line is snapped, whether in use or not; `None` where none lies on its floor.
    pub line: Option<SnapLine>,
}

impl SetOut {
    /// The lines that regions have of their own and in use, as they are snapped, in the site's order.
    pub fn own_lines(&self) -> impl Iterator<Item = (&RegionChoice, &SnapLine)> {
        let own = self.regions.iter().filter(|choice| choice.has_own);
        own.filter_map(|choice| Some((choice, choice.line.as_ref()?)))
    }

    /// The row lines of a part of the field.
    pub fn row_lines(&self, region: usize) -> RowLines {
        let laid = self.laid.get(region).and_then(Option::clone);
        let line = || self.region_lines.get(region).copied().unwrap_or(self.chosen.offset);
        laid.unwrap_or_else(|| RowLines::even(line(), self.pitch))
    }
}

/// What a line comes to when it is laid.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Tried {
    /// Flags that are faults.
    pub faults: usize,
    /// Boards opened.
    pub opened: usize,
}

/// The set-out of a site.
#[derive(Debug, Clone, PartialEq)]
pub struct SetOut {
    /// Distance between the lines, mm: the board's face width in rows; in herringbone and chevron that between
    /// axis lines.
    pub pitch: f64,
    /// The least piece at an edge along the lines, mm: the least rip; in chevron the least end, square to the lines.
    pub least: f64,
    /// Narrowest seen rip against offset, from 0 to the pitch.
    pub curve: Vec<CurvePoint>,
    /// The best few lines, best first, at least 10 mm apart.
    pub lines: Vec<Candidate>,
    /// The best line.
    pub best: Candidate,
    /// The best line that is no neighbour of the best, if there is one.
    pub runner_up: Option<Candidate>,
    /// The line in use: the best, or the plan's own.
    pub chosen: Candidate,
    /// How the chosen line is snapped; `None` where no row line lies on the floor.
    pub line: Option<SnapLine>,
    /// v of a row line of each region, in the site's order: the start line's, or the region's own, mm.
    pub region_lines: Vec<f64>,
    /// The row lines of the regions in which something is laid, in the site's order; `None` where nothing is.
    pub laid: Vec<Option<RowLines>>,
    /// The regions apart from the main one, in the site's order: the shared line and one of their own compared.
    pub regions: Vec<RegionChoice>,
    /// How far the row lines of each region lie beside those of the shared line, in the site's order, mm: past a
    /// movement joint along the rows that lies on a row line they are moved on by the joint's width. It belongs to
    /// the region's line whether that is shared or its own.
    pub shifts: Vec<f64>,
    /// Edges that the chosen lines move, see [`site::eased`]: gaps made wider, movement joints put on row lines.
    pub eases: Vec<Ease>,
    /// Where herringbone or chevron begins along its axis: u of the corner that its falling blocks repeat from in
    /// herringbone, of a point in chevron, mm; `None` for rows.
    pub along: Option<f64>,
    /// What that leaves at the walls across the axis, and how the points are marked; `None` for rows.
    pub points: Option<Points>,
    /// What the best line and the runner-up come to, where no band of their value parts them and whoever lays floors has
    /// laid both to choose.
    pub tried: Option<[Tried; 2]>,
}
