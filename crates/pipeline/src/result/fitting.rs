//! The part of the result that says how boards go in, and in which order.

use super::{Xy, xy};
use crate::House;
use fit::{Astride, BeginningRip, JointPull, LaidRun, Meets, Part, Start, Tight, Undercut, WayIn};
use lay::KeptEdge;
use serde::Serialize;
use site::Uv;

/// How the floor goes in.
#[derive(Debug, Serialize)]
pub struct FittingPart {
    /// How boards go in where nothing is in the way: `fold`, `tilt` or `slide`.
    pub usual_way: &'static str,
    /// For each board its place in the order of laying and how it goes in; in the order of `boards`.
    pub boards: Vec<BoardWayPart>,
    /// Boards that go in another way, and why.
    pub other_ways: Vec<WayPart>,
    /// Jambs to undercut.
    pub undercuts: Vec<UndercutPart>,
    /// Slip tongues along the start line.
    pub slip_tongues: SlipPart,
    /// The order of laying, run by run.
    pub order: Vec<StepPart>,
}

/// A board's place in the order and its way in.
#[derive(Debug, Serialize)]
pub struct BoardWayPart {
    /// Place in the order of laying, from 1; `null` where it has none.
    pub laid: Option<usize>,
    /// `fold`, `tilt`, `slide`, `drop` or `blocked`.
    pub way: &'static str,
}

/// The way in of a board that does not go in as usual.
#[derive(Debug, Serialize)]
pub struct WayPart {
    /// Board.
    pub board: usize,
    /// How it goes in.
    pub way: &'static str,
    /// The side from which it comes, where it slides.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub from: Option<&'static str>,
    /// Sides whose lock is shaved; the joints there are glued and taped.
    pub shaved: Vec<&'static str>,
    /// What stands over it.
    pub under: Vec<MeetsPart>,
    /// Gaps too small for the usual way.
    pub tight: Vec<TightPart>,
    /// What stands between its legs; left out where nothing does.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub astride: Vec<AstridePart>,
    /// The same in words.
    pub words: String,
}

/// Something at a board's side.
#[derive(Debug, Serialize)]
pub struct MeetsPart {
    /// The board's side: `groove`, `tongue`, `left` or `right`.
    pub side: &'static str,
    /// What it is.
    pub edge: &'static str,
    /// Whose.
    pub place: String,
    /// Gap, mm; negative where the board goes under.
    pub gap: f64,
}

/// A gap that is too small.
#[derive(Debug, Serialize)]
pub struct TightPart {
    /// What stands there.
    #[serde(flatten)]
    pub at: MeetsPart,
    /// What the lock needs, mm.
    pub need: f64,
}

/// What stands between two legs of a board.
#[derive(Debug, Serialize)]
pub struct AstridePart {
    /// The end at which the legs are: `left` or `right`.
    pub end: &'static str,
    /// What stands there.
    #[serde(flatten)]
    pub at: MeetsPart,
    /// How far it reaches in between them, mm.
    pub reach: f64,
}

/// A jamb to undercut.
#[derive(Debug, Serialize)]
pub struct UndercutPart {
    /// Name of the doorway.
    pub doorway: String,
    /// `nearer` or `farther`: from the corner where the doorway's wall starts.
    pub jamb: &'static str,
    /// Where.
    pub at: Xy,
    /// Height of the cut above the slab, mm.
    pub height: f64,
    /// Boards that go under it.
    pub boards: Vec<usize>,
}

/// Slip tongues.
#[derive(Debug, Serialize)]
pub struct SlipPart {
    /// In all, mm.
    pub length: f64,
    /// Stretch by stretch, from one end to the other.
    pub stretches: Vec<[Xy; 2]>,
    /// Those of them from which a room is laid back, by their place in `stretches`, with the doorway; left out where none
    /// is.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub back: Vec<SlipBackPart>,
}

/// A slip tongue from which a room is laid back.
#[derive(Debug, Serialize)]
pub struct SlipBackPart {
    /// Its place in `stretches`.
    pub stretch: usize,
    /// The doorway through which the row runs on.
    pub doorway: String,
}

/// One run in the order of laying.
#[derive(Debug, Serialize)]
pub struct StepPart {
    /// Run.
    pub run: usize,
    /// Row, from 1.
    pub row: i32,
    /// Boards as they go in.
    pub boards: Vec<usize>,
    /// `lies`, `on-line`, `on-slip`, `back`, `anew`, `on-row` or `around-field`.
    pub start: &'static str,
    /// The doorway through which the row runs on that it is laid back from.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub back_from: Option<String>,
    /// Of a run begun anew: the doorway from which it could be laid back instead.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub could_lie_back_from: Option<String>,
    /// The room or doorway of its middle.
    pub place: Option<String>,
    /// Whether no bare floor beside it leads to a doorway once it is laid.
    pub from_laid: bool,
    /// Runs that come together in it.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub joins: Vec<usize>,
    /// The place of its stage among those that the plan names, in the order in which they are laid.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stage: Option<usize>,
    /// Runs of an earlier stage past its tongue edge.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub closes_on: Vec<usize>,
    /// Boards of an earlier stage that it meets end to end.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub ends_on: Vec<usize>,
    /// Rips with which a room, or a stretch begun against a line, begins in it.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub begins_with: Vec<BeginningRipPart>,
    /// Where its end joints are pulled from, a part for each thing that the tape is hooked on.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub pulls: Vec<PullsPart>,
}

/// Rips with which a room or a stretch is begun.
#[derive(Debug, Serialize)]
pub struct BeginningRipPart {
    /// The room that begins with them.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub room: Option<String>,
    /// The boards, as they go in.
    pub boards: Vec<usize>,
    /// Least width kept, mm.
    pub least: f64,
    /// Greatest width kept, mm.
    pub greatest: f64,
    /// `tongue`, `groove` or `neither`: the long edge that stays.
    pub keeps: &'static str,
}

/// End joints of a run as a tape finds them that is hooked once.
#[derive(Debug, Serialize)]
pub struct PullsPart {
    /// What the tape is hooked on.
    pub from: String,
    /// What the boards meet there.
    pub edge: &'static str,
    /// Where it is hooked, on the line along which it lies.
    pub at: Xy,
    /// The joints in the order of laying, from there.
    pub joints: Vec<f64>,
}

impl House {
    pub(super) fn fitting_part(&self) -> FittingPart {
        let sequence = self.sequence();
        let pulls = self.joint_pulls();
        let mut laid = vec![None; self.floor.boards.len()];
        for (place, board) in sequence.boards().enumerate() {
            laid[board] = Some(place + 1);
        }
        let on_plan = |p: Uv| xy(self.site.frame.plan_from_row(p));
        FittingPart {
            usual_way: self.fit.usual.key(),
            boards: laid
                .into_iter()
                .enumerate()
                .map(|(board, laid)| BoardWayPart { laid, way: self.fit.motion(board).key() })
                .collect(),
            other_ways: self.fit.ways.iter().map(|way| self.way_part(way)).collect(),
            undercuts: self.fit.undercuts.iter().map(|jamb| self.undercut_part(jamb)).collect(),
            slip_tongues: SlipPart {
                length: self.fit.slip_length(),
                stretches: self.fit.slips.iter().map(|s| [s.from, s.to].map(on_plan)).collect(),
                back: self
                    .fit
                    .slips
                    .iter()
                    .enumerate()
                    .filter_map(|(stretch, slip)| {
                        let doorway = self.plan.doorways.get(slip.doorway?)?.name.clone();
                        Some(SlipBackPart { stretch, doorway })
                    })
                    .collect(),
            },
            order: sequence.steps.into_iter().map(|step| self.step_part(step, &pulls)).collect(),
        }
    }

    fn way_part(&self, way: &WayIn) -> WayPart {
        WayPart {
            board: way.board,
            way: way.motion.key(),
            from: way.from.map(side_key),
            shaved: way.shaved.iter().map(|part| side_key(*part)).collect(),
            under: way.under.iter().map(|at| self.meets_part(at)).collect(),
            tight: way.tight.iter().map(|tight| self.tight_part(tight)).collect(),
            astride: way.astride.iter().map(|between| self.astride_part(between)).collect(),
            words: way.words(&self.plan),
        }
    }

    fn meets_part(&self, at: &Meets) -> MeetsPart {
        let place = at.source.name(&self.plan);
        MeetsPart { side: side_key(at.part), edge: at.kind.word(), place, gap: at.gap }
    }

    fn tight_part(&self, tight: &Tight) -> TightPart {
        TightPart { at: self.meets_part(&tight.at), need: tight.need }
    }

    fn astride_part(&self, between: &Astride) -> AstridePart {
        AstridePart { end: side_key(between.end), at: self.meets_part(&between.at), reach: between.reach }
    }

    fn undercut_part(&self, jamb: &Undercut) -> UndercutPart {
        UndercutPart {
            doorway: self.plan.doorways.get(jamb.doorway).map_or_else(String::new, |door| door.name.clone()),
            jamb: if jamb.farther { "farther" } else { "nearer" },
            at: xy(self.site.frame.plan_from_row(jamb.at)),
            height: jamb.height,
            boards: jamb.boards.clone(),
        }
    }

    fn step_part(&self, step: LaidRun, pulls: &[Option<JointPull>]) -> StepPart {
        let door = |doorway: usize| self.plan.doorways.get(doorway).map(|door| door.name.clone());
        let back_from = match step.start {
            Start::Back(doorway) => door(doorway),
            _ => None,
        };
        let nearer = step.boards.get(..step.boards.len().saturating_sub(1)).unwrap_or(&[]);
        let hooks = fit::hooks(nearer, pulls).into_iter();
        let pulls = hooks.map(|(pull, boards)| PullsPart {
            from: pull.words(&self.plan),
            edge: pull.kind.word(),
            at: xy(self.site.frame.plan_from_row(Uv::new(pull.face, pull.across))),
            joints: boards.iter().map(|board| pull.joint(&self.floor.boards[*board])).collect(),
        });
        let pulls = pulls.collect();
        StepPart {
            back_from,
            could_lie_back_from: step.could_lie_back.and_then(door),
            run: step.run,
            row: self.floor.runs.get(step.run).map_or(0, |run| self.floor.row_number(run.row)),
            boards: step.boards,
            start: match step.start {
                Start::Lies => "lies",
                Start::OnLine => "on-line",
                Start::OnSlip => "on-slip",
                Start::Back(_) => "back",
                Start::Anew => "anew",
                Start::OnRow => "on-row",
                Start::AroundField => "around-field",
            },
            place: step.place,
            from_laid: step.from_laid,
            joins: step.joins,
            stage: step.stage,
            closes_on: step.closes_on,
            ends_on: step.ends_on,
            begins_with: step.begins_with.into_iter().map(beginning_part).collect(),
            pulls,
        }
    }
}

fn beginning_part(rip: BeginningRip) -> BeginningRipPart {
    let BeginningRip { room, boards, least, greatest, keeps, is_part: _ } = rip;
    BeginningRipPart { room, boards, least, greatest, keeps: keeps.map_or("neither", KeptEdge::word) }
}

fn side_key(part: Part) -> &'static str {
    match part {
        Part::Groove => "groove",
        Part::Tongue => "tongue",
        Part::Left => "left",
        Part::Right => "right",
    }
}
