//! The result as JSON: a stable shape for other programs. See docs/result-schema.md.
//!
//! Coordinates are plan millimetres (x right, y up). Board indices are places in `boards`, stock
//! indices places in `stock`.

use crate::{Direction, House};
use findings::{FlagKind, Severity, Subject};
use lay::{End, Hand};
use order::Ends;
use plan::{Pattern, Point};
use serde::Serialize;
use setout::{Candidate, ControlLine, EdgeRef, Profile, Pull, Robust, SnapLine, Value, WidthEffect};
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
    /// Direction of the rows, or of the pattern's axis, degrees anticlockwise from x.
    pub rows_at: f64,
    /// How the boards lie.
    pub pattern: &'static str,
    /// Set-out.
    pub setout: SetOutPart,
    /// Directions compared; left out where that was not asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub directions: Option<Vec<DirectionPart>>,
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
    /// The best few lines, best first.
    pub lines: Vec<CandidatePart>,
    /// The best line.
    pub best: CandidatePart,
    /// The next best line.
    pub runner_up: Option<CandidatePart>,
    /// The snapped line: its two ends and its pulls.
    pub line: Option<LinePart>,
    /// Narrowest seen rip against offset, `[offset, rip]`.
    pub curve: Vec<Xy>,
    /// Why this line, in three sentences.
    pub why: [String; 3],
    /// How far the tape may be out.
    pub robust: RobustPart,
    /// The line snapped again in every room and beside what rows go round.
    pub control: Vec<ControlPart>,
    /// What boards wider or narrower than in the plan would do.
    pub width: WidthPart,
    /// The regions apart from the main one: the shared line and one of their own compared.
    pub regions: Vec<RegionChoicePart>,
}

/// How far every measured length may be out.
#[derive(Debug, Serialize)]
pub struct RobustPart {
    /// The error the line stands, mm.
    pub stands: Option<f64>,
    /// Edges that fail first, worst first.
    pub endangered: Vec<EndangeredPart>,
    /// The length to measure twice, in words.
    pub check_twice: Option<String>,
    /// The line that stands the most: its offset and that error, mm.
    pub safest: Option<SafestPart>,
}

/// An edge that a tape error could push under the least rip.
#[derive(Debug, Serialize)]
pub struct EndangeredPart {
    /// What the edge belongs to.
    pub place: String,
    /// What the boards meet there.
    pub edge: &'static str,
    /// The error of every length at which it falls under the least, mm.
    pub stands: f64,
    /// How far it may be out against the line, mm.
    pub slack: f64,
    /// The lengths between pull and edge, in words.
    pub lengths: Vec<String>,
}

/// The safest line.
#[derive(Debug, Serialize)]
pub struct SafestPart {
    /// Offset, mm.
    pub offset: f64,
    /// The error it stands, mm.
    pub stands: f64,
}

/// A control line.
#[derive(Debug, Serialize)]
pub struct ControlPart {
    /// Where it is snapped.
    pub place: String,
    /// One end.
    pub from: Xy,
    /// The other.
    pub to: Xy,
    /// Whole rows from the start line, negative below.
    pub rows: i32,
    /// Up to two pulls.
    pub pulls: Vec<PullPart>,
}

/// What boards of other widths would do.
#[derive(Debug, Serialize)]
pub struct WidthPart {
    /// Narrowest and widest boards at which no further rip is a sliver, mm.
    pub least_pitch: Option<f64>,
    /// The edge that fails below.
    pub least_at: Option<String>,
    /// Widest boards, mm.
    pub greatest_pitch: Option<f64>,
    /// The edge that fails above.
    pub greatest_at: Option<String>,
    /// Most whole rows between the line and an edge.
    pub most_rows: usize,
    /// By how much boards are wider, and what that does.
    pub errors: Vec<WidthErrorPart>,
}

/// Boards of another width.
#[derive(Debug, Serialize)]
pub struct WidthErrorPart {
    /// Wider by, mm.
    pub wider_by: f64,
    /// Narrowest seen rip then, mm.
    pub narrowest: f64,
    /// Where.
    pub place: Option<String>,
    /// Narrowest kept width along each edge, in the order of the line's rips.
    pub rips: Vec<f64>,
}

/// A direction compared.
#[derive(Debug, Serialize)]
pub struct DirectionPart {
    /// Degrees anticlockwise from x.
    pub angle: f64,
    /// Why it is worth a look.
    pub reasons: Vec<String>,
    /// Narrowest seen rip, mm.
    pub narrowest: Option<f64>,
    /// Length of edge with a rip under the least, mm.
    pub short_length: f64,
    /// Boards opened.
    pub opened: usize,
    /// Packs to buy.
    pub packs: u32,
    /// Flags that break a rule.
    pub faults: usize,
    /// Flags worth a look.
    pub looks: usize,
    /// Widest continuous floor, mm.
    pub continuous_width: f64,
    /// Length of sides cut on site, mm.
    pub cut_edge: f64,
}

/// A region that could have a line of its own.
#[derive(Debug, Serialize)]
pub struct RegionChoicePart {
    /// Region.
    pub region: usize,
    /// Its rooms.
    pub rooms: Vec<String>,
    /// The shared line there.
    pub shared: CandidatePart,
    /// Its own line.
    pub own: CandidatePart,
    /// Whether its own line is in use.
    pub has_own: bool,
    /// How far its rows lie out of line with the others' if it is, mm.
    pub out_of_line: f64,
    /// How its own line is snapped.
    pub line: Option<LinePart>,
}

/// What a line is worth, part by part, with the bands in which lines are compared.
#[derive(Debug, Serialize)]
pub struct ValuePart {
    /// Weighted length of edge under the least rip, mm.
    pub short: f64,
    /// Narrowest rip in view, mm.
    pub narrowest: f64,
    /// Narrowest rip less its taper, mm.
    pub tapered: f64,
    /// Greatest difference between two sides seen together, mm.
    pub uneven: f64,
    /// Length of edge to be ripped, mm.
    pub ripped: f64,
    /// Rips this wide look no better for being wider, mm.
    pub enough: f64,
    /// Edges that rise by a board or more.
    pub steep: usize,
    /// Edges where no line reaches the least rip.
    pub beyond_help: usize,
    /// The bands, compared in this order, the less the better.
    pub bands: [i64; 5],
}

/// One line valued.
#[derive(Debug, Serialize)]
pub struct CandidatePart {
    /// Offset of the row lines, mm.
    pub offset: f64,
    /// What it is worth.
    pub value: ValuePart,
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
    /// How much wider the gap is made so that no strip is left beside a whole board, mm.
    pub play: f64,
    /// The most it could be, mm.
    pub most_play: f64,
    /// Distance to the edge that faces it, where that is less than a board, mm.
    pub facing: Option<f64>,
    /// What a millimetre of the edge counts.
    pub weight: f64,
    /// The profile the rip keeps.
    pub keeps: &'static str,
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
    /// Last rip, mm, narrowest and widest.
    pub last_rip: Option<Xy>,
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
    /// Where the pattern repeats from: a joint of a bond, a point of herringbone or chevron; `null` where
    /// joints are irregular.
    pub anchor: Option<Xy>,
    /// End joints.
    pub joints: Vec<JointPart>,
    /// Flags.
    pub flags: Vec<FlagPart>,
    /// Boards opened.
    pub stock: Vec<StockPart>,
    /// Counts.
    pub use_of_stock: UsePart,
    /// How irregular the floor looks.
    pub look: LookPart,
}

/// How irregular a floor looks, see [`findings::Look`].
#[derive(Debug, Serialize)]
pub struct LookPart {
    /// Joints against those of the next row.
    pub spacing: Option<SpacingPart>,
    /// Pairs of joints in line two rows apart.
    pub h_joints: usize,
    /// Joints that step evenly over four rows.
    pub stairs: usize,
    /// Longest visible repeat, rows.
    pub repeat: usize,
    /// Share of neighbouring boards from one pack.
    pub same_pack: Option<f64>,
}

/// Distances between joints of neighbouring rows, mm.
#[derive(Debug, Serialize)]
pub struct SpacingPart {
    /// Joints with a joint in the row above.
    pub joints: usize,
    /// Least.
    pub least: f64,
    /// Mean.
    pub mean: f64,
    /// Standard deviation.
    pub spread: f64,
    /// 0 for even steps, 1 for steps of every size.
    pub irregularity: f64,
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
    /// Direction of its long edges, degrees anticlockwise from the rows.
    pub angle: f64,
    /// Hand of a block; left out where blocks lie either way.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hand: Option<&'static str>,
    /// Whether it belongs to the border.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub border: bool,
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

/// Blocks of one hand.
#[derive(Debug, Serialize)]
pub struct HandPart {
    /// `left` or `right`.
    pub hand: &'static str,
    /// Boards opened.
    pub opened: usize,
    /// Packs to buy.
    pub packs: u32,
}

/// Counts.
#[derive(Debug, Serialize)]
pub struct UsePart {
    /// Boards opened.
    pub opened: usize,
    /// Packs to buy.
    pub packs: u32,
    /// Boards and packs of each hand; empty where boards lie either way.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub hands: Vec<HandPart>,
    /// No legal stagger opens fewer from these packs.
    pub bound: usize,
    /// Moves the search took; the plan's effort that gives this floor again.
    pub moves: u64,
    /// Opened over the bound.
    pub gap: usize,
    /// No fewer boards have the area laid.
    pub area_bound: usize,
    /// No legal stagger needs fewer packs.
    pub packs_bound: u32,
    /// m.
    pub opened_length: f64,
    /// No legal stagger opens less length, m.
    pub length_bound: f64,
    /// By length of board.
    pub lengths: Vec<LengthPart>,
    /// Stretches left that are long enough to end a row elsewhere, longest first.
    pub leftovers: Vec<LeftoverPart>,
    /// m².
    pub opened_area: f64,
    /// m².
    pub laid_area: f64,
}

/// What is opened of one length.
#[derive(Debug, Serialize)]
pub struct LengthPart {
    /// Length, mm; the longest there is where lengths are random.
    pub length: f64,
    /// Boards opened.
    pub opened: usize,
    /// Boards in the packs to buy.
    pub bought: usize,
    /// m.
    pub opened_length: f64,
    /// m.
    pub laid_length: f64,
}

/// A stretch left of an opened board.
#[derive(Debug, Serialize)]
pub struct LeftoverPart {
    /// Stock board.
    pub stock: usize,
    /// Length, mm, saw cuts taken off.
    pub length: f64,
    /// `left`, `right`, `both` or `neither`.
    pub ends: &'static str,
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
        let line = self.setout.line.as_ref().map(|line| self.line_part(line, &self.setout.chosen));
        let regions = self.setout.regions.iter().map(|choice| RegionChoicePart {
            region: choice.region,
            rooms: choice.rooms.iter().map(|room| self.plan.rooms[*room].name.clone()).collect(),
            shared: candidate(&choice.shared),
            own: candidate(&choice.own),
            has_own: choice.has_own,
            out_of_line: choice.out_of_line,
            line: choice.line.as_ref().map(|line| self.line_part(line, &choice.own)),
        });
        let advice = self.advice();
        Document {
            kind: "startrow-result",
            schema: SCHEMA,
            plan: self.plan.name.clone(),
            seed: self.plan.seed,
            rows_at: self.plan.rows_at,
            pattern: match self.plan.pattern {
                Pattern::Irregular => "irregular",
                Pattern::Half => "half",
                Pattern::Third => "third",
                Pattern::Herringbone { .. } => "herringbone",
                Pattern::Chevron { .. } => "chevron",
            },
            setout: SetOutPart {
                pitch: self.setout.pitch,
                chosen: candidate(&self.setout.chosen),
                lines: self.setout.lines.iter().map(candidate).collect(),
                best: candidate(&self.setout.best),
                runner_up: self.setout.runner_up.as_ref().map(candidate),
                line,
                curve: self.setout.curve.iter().map(|p| [p.offset, p.rip]).collect(),
                regions: regions.collect(),
                why: advice.why.sentences().map(str::to_owned),
                robust: self.robust_part(&advice.robust),
                control: advice.control.iter().map(|line| self.control_part(line)).collect(),
                width: self.width_part(&advice.width),
            },
            directions: None,
            floor: None,
        }
    }

    fn line_part(&self, line: &SnapLine, valued: &Candidate) -> LinePart {
        let rip = |index: Option<usize>| {
            let rip = valued.rips.get(index?)?;
            Some([rip.least, rip.greatest])
        };
        LinePart {
            from: xy(line.from),
            to: xy(line.to),
            pulls: line.pulls.iter().chain(&line.check).map(|pull| self.pull_part(pull)).collect(),
            first_rip: rip(line.first_rip),
            rows_to_wall: line.rows_to_wall,
            last_rip: rip(line.last_rip),
        }
    }

    /// The result without anything laid, with directions compared.
    pub fn directions_document(&self, directions: &[Direction]) -> Document {
        let part = |d: &Direction| DirectionPart {
            angle: d.angle,
            reasons: d.reasons.iter().map(|reason| reason.words(&self.plan)).collect(),
            narrowest: d.narrowest,
            short_length: d.short_length,
            opened: d.opened,
            packs: d.packs,
            faults: d.faults,
            looks: d.looks,
            continuous_width: d.continuous_width,
            cut_edge: d.cut_edge,
        };
        Document { directions: Some(directions.iter().map(part).collect()), ..self.setout_document() }
    }

    /// The name of the thing an edge of the site belongs to.
    pub fn edge_place(&self, at: EdgeRef) -> Option<String> {
        let ring = self.site.regions.get(at.region)?.rings().nth(at.ring)?;
        ring.edges.get(at.edge).map(|edge| edge.source.name(&self.plan))
    }

    fn pull_part(&self, pull: &Pull) -> PullPart {
        PullPart {
            letter: pull.letter,
            room: self.plan.rooms[pull.room].name.clone(),
            wall: pull.wall + 1,
            corner: xy(pull.corner),
            distance: pull.distance,
        }
    }

    fn control_part(&self, line: &ControlLine) -> ControlPart {
        ControlPart {
            place: line.place.name(&self.plan, &self.site),
            from: xy(line.from),
            to: xy(line.to),
            rows: line.rows,
            pulls: line.pulls.iter().map(|pull| self.pull_part(pull)).collect(),
        }
    }

    fn robust_part(&self, robust: &Robust) -> RobustPart {
        RobustPart {
            stands: robust.stands,
            endangered: robust
                .endangered
                .iter()
                .map(|e| EndangeredPart {
                    place: e.source.name(&self.plan),
                    edge: e.kind.word(),
                    stands: e.stands,
                    slack: e.slack,
                    lengths: e.chain.steps.iter().map(|step| step.measure.name(&self.plan)).collect(),
                })
                .collect(),
            check_twice: robust.check_twice.map(|measure| measure.name(&self.plan)),
            safest: robust.safest.map(|line| SafestPart { offset: line.offset, stands: line.stands }),
        }
    }

    fn width_part(&self, width: &WidthEffect) -> WidthPart {
        let place = |end: Option<(f64, EdgeRef)>| end.and_then(|(_, at)| self.edge_place(at));
        WidthPart {
            least_pitch: width.range.least.map(|(pitch, _)| pitch),
            least_at: place(width.range.least),
            greatest_pitch: width.range.greatest.map(|(pitch, _)| pitch),
            greatest_at: place(width.range.greatest),
            most_rows: width.most_rows,
            errors: width
                .errors
                .iter()
                .map(|e| WidthErrorPart {
                    wider_by: e.wider_by,
                    narrowest: e.narrowest,
                    place: e.at.and_then(|at| self.edge_place(at)),
                    rips: e.rips.iter().map(|(_, rip)| *rip).collect(),
                })
                .collect(),
        }
    }

    fn candidate_part(&self, c: &Candidate) -> CandidatePart {
        CandidatePart {
            offset: c.offset,
            value: value_part(&c.value),
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
                    play: rip.play,
                    most_play: rip.most_play,
                    facing: rip.facing,
                    weight: rip.weight,
                    keeps: match rip.keeps {
                        Profile::Tongue => "tongue",
                        Profile::Groove => "groove",
                    },
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
                    angle: b.angle(),
                    hand: b.hand.map(hand_key),
                    border: b.in_border,
                    turned: b.turned,
                    left_end: end(b.left_end),
                    right_end: end(b.right_end),
                    stock: b.stock,
                    stock_from: b.from,
                })
                .collect(),
            anchor: floor.anchor.map(on_plan),
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
            use_of_stock: self.use_part(),
            look: self.look_part(),
        }
    }

    fn look_part(&self) -> LookPart {
        let look = findings::look(&self.plan, &self.floor);
        LookPart {
            spacing: look.spacing.map(|s| SpacingPart {
                joints: s.joints,
                least: s.least,
                mean: s.mean,
                spread: s.spread,
                irregularity: s.irregularity,
            }),
            h_joints: look.h_joints,
            stairs: look.stairs,
            repeat: look.repeat,
            same_pack: look.same_pack,
        }
    }

    fn use_part(&self) -> UsePart {
        let order = &self.order;
        let ends = |ends: Ends| match ends {
            Ends::Neither => "neither",
            Ends::Left => "left",
            Ends::Right => "right",
            Ends::Both => "both",
        };
        UsePart {
            opened: order.opened,
            packs: order.packs,
            hands: order
                .hands
                .iter()
                .filter_map(|h| {
                    let hand = hand_key(h.hand?);
                    Some(HandPart { hand, opened: h.opened, packs: h.packs })
                })
                .collect(),
            bound: order.bound,
            moves: self.floor.moves,
            gap: order.gap(),
            area_bound: order.area_bound,
            packs_bound: order.packs_bound,
            opened_length: order.wood_opened,
            length_bound: order.wood_bound,
            lengths: order
                .lines
                .iter()
                .map(|line| LengthPart {
                    length: line.length,
                    opened: line.opened,
                    bought: line.bought,
                    opened_length: line.opened_length,
                    laid_length: line.laid_length,
                })
                .collect(),
            leftovers: order
                .leftovers
                .iter()
                .map(|left| LeftoverPart { stock: left.stock, length: left.length, ends: ends(left.ends) })
                .collect(),
            opened_area: order.opened_area,
            laid_area: order.laid_area,
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

fn hand_key(hand: Hand) -> &'static str {
    match hand {
        Hand::Left => "left",
        Hand::Right => "right",
    }
}

fn value_part(value: &Value) -> ValuePart {
    ValuePart {
        short: value.short,
        narrowest: value.narrowest,
        tapered: value.tapered,
        uneven: value.uneven,
        ripped: value.ripped,
        enough: value.enough,
        steep: value.steep,
        beyond_help: value.beyond_help,
        bands: value.bands(),
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
        FlagKind::PointPiece => "point-piece",
        FlagKind::WideFloor => "wide-floor",
        FlagKind::LongFloor => "long-floor",
        FlagKind::StockShort => "stock-short",
    }
}
