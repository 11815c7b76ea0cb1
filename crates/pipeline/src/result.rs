//! The result as JSON: a stable shape for other programs. See docs/result-schema.md.
//!
//! Coordinates are plan millimetres (x right, y up). Board indices are places in `boards`, stock
//! indices places in `stock`.

use crate::House;
use findings::{FlagKind, Severity, Subject};
use lay::End;
use plan::Point;
use serde::Serialize;
use setout::Candidate;
use site::{Region, Ring};

/// Version of the result's shape. It changes when a field is renamed, removed or changes its
/// meaning; added fields leave it.
pub const SCHEMA: u32 = 1;

type Xy = [f64; 2];

/// The whole result.
#[derive(Debug, Serialize)]
pub struct Document {
    /// Always `"startrow-result"`.
    pub kind: &'static str,
    /// [`SCHEMA`].
    pub schema: u32,
    /// Name of the plan.
    pub plan: String,
    /// Seed of the stagger.
    pub seed: u64,
    /// Direction of the rows, degrees anticlockwise from x.
    pub rows_at: f64,
    /// Set-out.
    pub setout: SetOutPart,
    /// Everything laid; left out where only the set-out was asked for.
    #[serde(flatten, skip_serializing_if = "Option::is_none")]
    pub floor: Option<FloorPart>,
}

/// The set-out.
#[derive(Debug, Serialize)]
pub struct SetOutPart {
    /// Board face width, mm.
    pub pitch: f64,
    /// The line in use.
    pub chosen: CandidatePart,
    /// The best line.
    pub best: CandidatePart,
    /// The next best line.
    pub runner_up: Option<CandidatePart>,
    /// The snapped line: its two ends and its pulls.
    pub line: Option<LinePart>,
    /// Narrowest seen rip against offset, `[offset, rip]`.
    pub curve: Vec<Xy>,
}

/// One line valued.
#[derive(Debug, Serialize)]
pub struct CandidatePart {
    /// Offset of the row lines, mm.
    pub offset: f64,
    /// Narrowest seen rip, mm.
    pub narrowest: f64,
    /// The same when the line is off by the tolerance, mm.
    pub narrowest_within_tolerance: f64,
    /// Length of edge with a rip under the least, mm.
    pub short_length: f64,
    /// How far the line may be off before another edge falls under the least, mm.
    pub safe_by: f64,
    /// Rips at the edges along the rows.
    pub rips: Vec<RipPart>,
}

/// A rip at an edge.
#[derive(Debug, Serialize)]
pub struct RipPart {
    /// What the edge belongs to.
    pub place: String,
    /// What the boards meet there.
    pub edge: &'static str,
    /// Middle of the edge.
    pub at: Xy,
    /// Length of the edge, mm.
    pub length: f64,
    /// Narrowest kept width, mm.
    pub least: f64,
    /// Widest kept width, mm.
    pub greatest: f64,
    /// Part hidden under a kick, mm.
    pub hidden: f64,
    /// Whether it holds the narrowest rip.
    pub binds: bool,
}

/// The snapped line.
#[derive(Debug, Serialize)]
pub struct LinePart {
    /// One end.
    pub from: Xy,
    /// The other.
    pub to: Xy,
    /// Pulls A and B, then the check C.
    pub pulls: Vec<PullPart>,
    /// First rip, mm, narrowest and widest.
    pub first_rip: Option<Xy>,
    /// Whole rows between the first rip and the line.
    pub rows_to_wall: usize,
}

/// A pull.
#[derive(Debug, Serialize)]
pub struct PullPart {
    /// A, B or C.
    pub letter: char,
    /// Room of the corner.
    pub room: String,
    /// Wall that starts at the corner, from 1.
    pub wall: usize,
    /// The corner.
    pub corner: Xy,
    /// Distance square to the line, mm.
    pub distance: f64,
}

/// Everything laid.
#[derive(Debug, Serialize)]
pub struct FloorPart {
    /// Bare floor, mm².
    pub bare_area: f64,
    /// Floor inside the gaps, mm².
    pub boarded_area: f64,
    /// Regions.
    pub regions: Vec<RegionPart>,
    /// Boards.
    pub boards: Vec<BoardPart>,
    /// End joints.
    pub joints: Vec<JointPart>,
    /// Flags.
    pub flags: Vec<FlagPart>,
    /// Boards opened.
    pub stock: Vec<StockPart>,
    /// Counts.
    pub use_of_stock: UsePart,
}

/// A region.
#[derive(Debug, Serialize)]
pub struct RegionPart {
    /// Outline, then holes.
    pub rings: Vec<Vec<EdgePart>>,
    /// mm².
    pub area: f64,
}

/// An edge of a region; it ends where the next begins.
#[derive(Debug, Serialize)]
pub struct EdgePart {
    /// Its start.
    pub from: Xy,
    /// What the boards meet.
    pub edge: &'static str,
    /// What it belongs to.
    pub place: String,
    /// Gap, mm; negative under a kick.
    pub gap: f64,
}

/// A board.
#[derive(Debug, Serialize)]
pub struct BoardPart {
    /// Label.
    pub label: String,
    /// Region.
    pub region: usize,
    /// Row, from 1.
    pub row: i32,
    /// Run.
    pub run: usize,
    /// Outline, then holes.
    pub outline: Vec<Vec<Xy>>,
    /// Length, mm.
    pub length: f64,
    /// Kept width, mm.
    pub width: f64,
    /// Whether it lies turned by 180°.
    pub turned: bool,
    /// How its own left end is made.
    pub left_end: &'static str,
    /// How its own right end is made.
    pub right_end: &'static str,
    /// Stock board.
    pub stock: usize,
    /// Place on the stock board from its left end, mm.
    pub stock_from: f64,
}

/// An end joint.
#[derive(Debug, Serialize)]
pub struct JointPart {
    /// One end of the joint.
    pub from: Xy,
    /// The other.
    pub to: Xy,
    /// Row, from 1.
    pub row: i32,
    /// Boards that meet.
    pub boards: [usize; 2],
}

/// A flag.
#[derive(Debug, Serialize)]
pub struct FlagPart {
    /// Kind.
    pub kind: &'static str,
    /// `fault` or `look`.
    pub severity: &'static str,
    /// Where.
    pub at: Xy,
    /// Where, in words.
    pub place: String,
    /// Figure, mm.
    pub figure: f64,
    /// Limit, mm.
    pub limit: f64,
    /// Mend.
    pub mend: String,
    /// Boards it stands on.
    pub boards: Vec<usize>,
}

/// A board opened.
#[derive(Debug, Serialize)]
pub struct StockPart {
    /// Length, mm.
    pub length: f64,
    /// Pack, from 1.
    pub pack: usize,
    /// Pieces: board, from and to in mm.
    pub pieces: Vec<PiecePart>,
    /// Longest stretch left, mm.
    pub left_over: f64,
}

/// A piece of a stock board.
#[derive(Debug, Serialize)]
pub struct PiecePart {
    /// Board.
    pub board: usize,
    /// From the left end, mm.
    pub from: f64,
    /// To, mm.
    pub to: f64,
    /// Whether it is cut from the strip that another piece's rip leaves beside it.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub strip: bool,
}

/// Counts.
#[derive(Debug, Serialize)]
pub struct UsePart {
    /// Boards opened.
    pub opened: usize,
    /// Packs to buy.
    pub packs: u32,
    /// No cutting of these pieces opens fewer.
    pub bound: usize,
    /// Moves the search took; the plan's effort that gives this floor again.
    pub moves: u64,
    /// m².
    pub opened_area: f64,
    /// m².
    pub laid_area: f64,
}

fn xy(p: Point) -> Xy {
    [p.x, p.y]
}

impl House {
    /// The whole result.
    pub fn document(&self) -> Document {
        Document { floor: Some(self.floor_part()), ..self.setout_document() }
    }

    /// The result without anything laid.
    pub fn setout_document(&self) -> Document {
        let candidate = |c: &Candidate| self.candidate_part(c);
        let line = self.setout.line.as_ref().map(|line| LinePart {
            from: xy(line.from),
            to: xy(line.to),
            pulls: line
                .pulls
                .iter()
                .chain(&line.check)
                .map(|pull| PullPart {
                    letter: pull.letter,
                    room: self.plan.rooms[pull.room].name.clone(),
                    wall: pull.wall + 1,
                    corner: xy(pull.corner),
                    distance: pull.distance,
                })
                .collect(),
            first_rip: line.first_rip.map(|i| {
                let rip = &self.setout.chosen.rips[i];
                [rip.least, rip.greatest]
            }),
            rows_to_wall: line.rows_to_wall,
        });
        Document {
            kind: "startrow-result",
            schema: SCHEMA,
            plan: self.plan.name.clone(),
            seed: self.plan.seed,
            rows_at: self.plan.rows_at,
            setout: SetOutPart {
                pitch: self.setout.pitch,
                chosen: candidate(&self.setout.chosen),
                best: candidate(&self.setout.best),
                runner_up: self.setout.runner_up.as_ref().map(candidate),
                line,
                curve: self.setout.curve.iter().map(|p| [p.offset, p.rip]).collect(),
            },
            floor: None,
        }
    }

    fn candidate_part(&self, c: &Candidate) -> CandidatePart {
        CandidatePart {
            offset: c.offset,
            narrowest: c.narrowest,
            narrowest_within_tolerance: c.narrowest_within_tolerance,
            short_length: c.short_length,
            safe_by: c.safe_by,
            rips: c
                .rips
                .iter()
                .map(|rip| RipPart {
                    place: rip.source.name(&self.plan),
                    edge: rip.kind.word(),
                    at: xy(rip.at),
                    length: rip.length,
                    least: rip.least,
                    greatest: rip.greatest,
                    hidden: rip.hidden,
                    binds: c.binding.contains(&rip.edge),
                })
                .collect(),
        }
    }

    fn floor_part(&self) -> FloorPart {
        let on_plan = |p: site::Uv| xy(self.site.frame.plan_from_row(p));
        let floor = &self.floor;
        let end = |end: End| match end {
            End::Factory => "factory",
            End::Cut => "cut",
        };
        FloorPart {
            bare_area: self.site.bare_area,
            boarded_area: self.site.boarded_area(),
            regions: self.site.regions.iter().map(|region| self.region_part(region)).collect(),
            boards: floor
                .boards
                .iter()
                .map(|b| BoardPart {
                    label: b.label.clone(),
                    region: b.region,
                    row: floor.row_number(b.row),
                    run: b.run,
                    outline: b.outline.rings().map(|r| r.iter().map(|p| on_plan(*p)).collect()).collect(),
                    length: b.length(),
                    width: b.width,
                    turned: b.turned,
                    left_end: end(b.left_end),
                    right_end: end(b.right_end),
                    stock: b.stock,
                    stock_from: b.from,
                })
                .collect(),
            joints: floor
                .joints
                .iter()
                .map(|j| JointPart {
                    from: on_plan(site::Uv::new(j.u, j.low)),
                    to: on_plan(site::Uv::new(j.u, j.high)),
                    row: floor.row_number(j.row),
                    boards: [j.left, j.right],
                })
                .collect(),
            flags: self.flags.iter().map(|flag| self.flag_part(flag)).collect(),
            stock: floor
                .stock
                .iter()
                .map(|s| StockPart {
                    length: s.length,
                    pack: s.pack + 1,
                    pieces: s
                        .pieces
                        .iter()
                        .map(|p| PiecePart { board: p.board, from: p.from, to: p.to, strip: p.strip })
                        .collect(),
                    left_over: s.left_over(self.plan.stock.kerf),
                })
                .collect(),
            use_of_stock: UsePart {
                opened: self.order.opened,
                packs: self.order.packs,
                bound: self.order.bound,
                moves: floor.moves,
                opened_area: self.order.opened_area,
                laid_area: self.order.laid_area,
            },
        }
    }

    fn region_part(&self, region: &Region) -> RegionPart {
        let ring = |ring: &Ring| {
            ring.edges
                .iter()
                .map(|edge| EdgePart {
                    from: xy(self.site.frame.plan_from_row(edge.a)),
                    edge: edge.kind.word(),
                    place: edge.source.name(&self.plan),
                    gap: edge.gap,
                })
                .collect()
        };
        RegionPart { rings: region.rings().map(ring).collect(), area: region.area }
    }

    fn flag_part(&self, flag: &findings::Flag) -> FlagPart {
        let boards = match &flag.subject {
            Subject::Board(board) => vec![*board],
            Subject::Joints(joints) => joints
                .iter()
                .flat_map(|j| [self.floor.joints[*j].left, self.floor.joints[*j].right])
                .collect(),
            Subject::Region(_) => Vec::new(),
        };
        FlagPart {
            kind: kind_key(flag.kind),
            severity: match flag.severity {
                Severity::Fault => "fault",
                Severity::Look => "look",
            },
            at: xy(flag.at),
            place: flag.place.clone(),
            figure: flag.figure,
            limit: flag.limit,
            mend: flag.mend.clone(),
            boards,
        }
    }
}

fn kind_key(kind: FlagKind) -> &'static str {
    match kind {
        FlagKind::Sliver => "sliver",
        FlagKind::ShortEnd => "short-end",
        FlagKind::JointsClose => "joints-close",
        FlagKind::HJoint => "h-joint",
        FlagKind::Stairs => "stairs",
        FlagKind::ThinLeg => "thin-leg",
        FlagKind::WideFloor => "wide-floor",
        FlagKind::LongFloor => "long-floor",
        FlagKind::StockShort => "stock-short",
    }
}
