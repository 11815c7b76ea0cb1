//! The set-out's part of the result.

use super::points::PointsPart;
use super::{Xy, xy};
use crate::House;
use serde::Serialize;
use setout::{
    Candidate, ControlLine, EdgeRef, GapToLeave, Profile, Pull, Robust, SnapLine, Value, WidthEffect,
};

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
    /// Where the points of herringbone or chevron stand along the axis; left out for rows.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub points: Option<PointsPart>,
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
    /// Gaps to leave wider than their least.
    pub gaps: Vec<GapPart>,
    /// The regions apart from the main one: the shared line and one of their own compared.
    pub regions: Vec<RegionChoicePart>,
}

/// A gap to leave wider than its least, so that no strip is left beside a whole board.
#[derive(Debug, Serialize)]
pub struct GapPart {
    /// What the edges belong to.
    pub place: String,
    /// What the boards meet there.
    pub edge: &'static str,
    /// Its least, mm.
    pub least: f64,
    /// Length of the edges, mm.
    pub length: f64,
    /// The gap to leave at the edges' ends, the floor to the left.
    pub leave: Vec<GapPlacePart>,
}

/// A gap at a place.
#[derive(Debug, Serialize)]
pub struct GapPlacePart {
    /// The floor's edge with its least gap.
    pub at: Xy,
    /// mm.
    pub gap: f64,
}

fn gap_part(plan: &plan::Plan, gap: &GapToLeave) -> GapPart {
    GapPart {
        place: gap.source.name(plan),
        edge: gap.kind.word(),
        least: gap.least,
        length: gap.length,
        leave: gap.at.iter().map(|(at, gap)| GapPlacePart { at: xy(*at), gap: *gap }).collect(),
    }
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
    /// The line it is measured from where it has fewer than two.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub from_line: Option<FromLinePart>,
}

/// A control line from which another is measured.
#[derive(Debug, Serialize)]
pub struct FromLinePart {
    /// Where it is snapped.
    pub place: String,
    /// Between the two, mm.
    pub distance: f64,
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
    /// How far boards go under something there, mm.
    pub hidden: f64,
    /// The narrowest strip that is seen, mm.
    pub seen: f64,
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

impl House {
    pub(super) fn setout_part(&self) -> SetOutPart {
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
        SetOutPart {
            pitch: self.setout.pitch,
            chosen: candidate(&self.setout.chosen),
            lines: self.setout.lines.iter().map(candidate).collect(),
            best: candidate(&self.setout.best),
            runner_up: self.setout.runner_up.as_ref().map(candidate),
            line,
            points: self.points_part(),
            curve: self.setout.curve.iter().map(|p| [p.offset, p.rip]).collect(),
            gaps: self.gaps_to_leave().iter().map(|gap| gap_part(&self.plan, gap)).collect(),
            regions: regions.collect(),
            why: advice.why.sentences().map(str::to_owned),
            robust: self.robust_part(&advice.robust),
            control: advice.control.iter().map(|line| self.control_part(line)).collect(),
            width: self.width_part(&advice.width),
        }
    }

    /// The name of the thing an edge of the site belongs to.
    pub fn edge_place(&self, at: EdgeRef) -> Option<String> {
        let ring = self.site.regions.get(at.region)?.rings().nth(at.ring)?;
        ring.edges.get(at.edge).map(|edge| edge.source.name(&self.plan))
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
            from_line: line.from_line.map(|from| FromLinePart {
                place: from.place.name(&self.plan, &self.site),
                distance: from.distance,
            }),
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

    pub(super) fn candidate_part(&self, c: &Candidate) -> CandidatePart {
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
                    seen: rip.seen,
                    play: rip.play,
                    most_play: rip.most_play,
                    facing: rip.facing,
                    weight: rip.weight,
                    keeps: match self.keeps(rip) {
                        Profile::Tongue => "tongue",
                        Profile::Groove => "groove",
                    },
                    binds: c.binding.contains(&rip.edge),
                })
                .collect(),
        }
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
