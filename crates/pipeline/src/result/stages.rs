//! The house in stages.

use super::materials::{MaterialsPart, part as materials_part};
use crate::House;
use order::{Boundary, DayStep, StagePlan, StageShares, StepKind};
use serde::Serialize;

/// The house in stages.
#[derive(Debug, Serialize)]
pub struct StagesPart {
    /// In the order in which they are laid.
    pub stages: Vec<StageOut>,
    /// For each board its stage's place in `stages`, or null.
    pub stage_of: Vec<Option<usize>>,
    /// The day plan.
    pub steps: Vec<StepPart>,
    /// Where stages meet.
    pub boundaries: Vec<BoundaryPart>,
    /// Boarded rooms in no stage.
    pub unstaged: Vec<String>,
    /// What to look out for.
    pub cautions: Vec<String>,
}

/// One stage.
#[derive(Debug, Serialize)]
pub struct StageOut {
    /// Its name.
    pub name: String,
    /// Its rooms.
    pub rooms: Vec<String>,
    /// Day on which laying begins.
    pub day: u32,
    /// Hours of laying, where known.
    pub hours: Option<f64>,
    /// Boards laid.
    pub boards: Vec<usize>,
    /// m².
    pub area: f64,
    /// Boards opened first for it: length in mm and count.
    pub opened: Vec<OpenedPart>,
    /// Packs opened first for it.
    pub packs: usize,
    /// Their numbers, from 1.
    pub pack_numbers: Vec<usize>,
    /// Packs opened for an earlier stage of which boards are opened for it.
    pub open_packs: Vec<usize>,
    /// Packs that hold as many boards of each length, past those that do for the stages before.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub packs_would_do: Option<usize>,
    /// What it takes besides boards.
    pub materials: MaterialsPart,
}

/// Boards opened of one length.
#[derive(Debug, Serialize)]
pub struct OpenedPart {
    /// mm.
    pub length: f64,
    /// How many.
    pub count: usize,
}

/// One line of the day plan.
#[derive(Debug, Serialize)]
pub struct StepPart {
    /// Day.
    pub day: i64,
    /// Hour of the day by which work that is waited for begins, or null.
    pub begun: Option<f64>,
    /// Hour of the day, or null where it takes the day.
    pub hour: Option<f64>,
    /// Place of its stage.
    pub stage: usize,
    /// `fill`, `prime`, `coat`, `lay`, `walk` or `load`.
    pub step: &'static str,
    /// In words.
    pub what: String,
    /// Hours waited.
    pub wait: Option<f64>,
    /// Whether the plan gives no such wait and a night is taken.
    pub wait_is_taken: bool,
}

/// Where two stages meet.
#[derive(Debug, Serialize)]
pub struct BoundaryPart {
    /// Doorway or rooms.
    pub place: String,
    /// Place of the stage laid first.
    pub first: usize,
    /// Place of the one that takes over.
    pub next: usize,
    /// Boards of the first that lie across.
    pub crossing: Vec<usize>,
    /// How far they reach into the next stage's room, mm.
    pub reach: Option<f64>,
    /// Boards of the next that lie end to end with them.
    pub ends: Vec<usize>,
    /// Rows of the next that lie along them.
    pub rows: Vec<i32>,
    /// In words: what crosses, where the next goes on, the pull that checks it.
    pub words: Vec<String>,
}

impl House {
    /// The house in the plan's stages; empty where it has none.
    pub fn stages(&self) -> StagePlan {
        order::stages(&self.plan, &self.surveyed, &self.site, &self.setout, &self.floor)
    }

    /// Which rooms and boards belong to which stage.
    pub fn stage_shares(&self) -> StageShares {
        order::stage_shares(&self.plan, &self.site, &self.floor)
    }

    /// The name of the stage at a place of a stage plan.
    pub fn stage_name(&self, stages: &StagePlan, place: usize) -> &str {
        let stage = stages.stages.get(place).and_then(|part| self.plan.stages.get(part.stage));
        stage.map_or("", |stage| stage.name.as_str())
    }

    /// What is to know where two stages meet, a sentence each.
    pub fn boundary_words(&self, stages: &StagePlan, boundary: &Boundary) -> Vec<String> {
        let names = [boundary.first, boundary.next].map(|place| self.stage_name(stages, place));
        boundary.sentences(&self.plan, &self.site, &self.setout, &self.floor, names)
    }

    pub(super) fn stages_part(&self) -> StagesPart {
        let all = self.stages();
        let rooms = |rooms: &[usize]| {
            rooms.iter().map(|room| self.plan.rooms[*room].name.clone()).collect::<Vec<_>>()
        };
        StagesPart {
            stages: all
                .stages
                .iter()
                .enumerate()
                .map(|(place, part)| StageOut {
                    name: self.stage_name(&all, place).to_owned(),
                    rooms: rooms(&part.rooms),
                    day: part.day,
                    hours: self.plan.stages[part.stage].hours,
                    boards: part.boards.clone(),
                    area: part.area,
                    opened: part
                        .opened
                        .iter()
                        .map(|(length, count)| OpenedPart { length: *length, count: *count })
                        .collect(),
                    packs: part.packs,
                    pack_numbers: part.pack_numbers.clone(),
                    open_packs: part.open_packs.clone(),
                    packs_would_do: part.would_do,
                    materials: materials_part(&part.materials),
                })
                .collect(),
            steps: all.steps.iter().map(step).collect(),
            boundaries: all
                .boundaries
                .iter()
                .map(|boundary| BoundaryPart {
                    place: boundary.place.clone(),
                    first: boundary.first,
                    next: boundary.next,
                    crossing: boundary.crossing.clone(),
                    reach: boundary.reach,
                    ends: boundary.ends.clone(),
                    rows: boundary.rows.iter().map(|(_, row)| self.floor.row_number(*row)).collect(),
                    words: self.boundary_words(&all, boundary),
                })
                .collect(),
            unstaged: rooms(&all.unstaged),
            cautions: all.cautions.clone(),
            stage_of: all.stage_of,
        }
    }
}

fn step(step: &DayStep) -> StepPart {
    StepPart {
        day: step.day,
        begun: step.begun,
        hour: step.hour,
        stage: step.stage,
        step: match step.kind {
            StepKind::Fill => "fill",
            StepKind::Prime => "prime",
            StepKind::Coat(..) => "coat",
            StepKind::Lay => "lay",
            StepKind::Walk => "walk",
            StepKind::Load => "load",
        },
        what: step.words(),
        wait: step.wait,
        wait_is_taken: step.wait_is_taken,
    }
}
