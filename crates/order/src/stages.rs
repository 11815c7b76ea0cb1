//! A house laid in parts: which boards, packs and materials belong to each stage, what is done on which day, and where
//! one stage takes over from another.

mod boundary;
mod days;
mod share;
#[cfg(test)]
mod tests;
mod words;

pub use words::stages_text;

use crate::MaterialList;
use crate::materials::{Takings, reckon};
use lay::Floor;
use plan::{Plan, Sheet, format_length};
use setout::{ControlLine, SetOut};
use share::{Opened, Share};
use site::Site;

/// A stage as it is laid.
#[derive(Debug, Clone, PartialEq)]
pub struct StagePart {
    /// Index of the stage in the plan.
    pub stage: usize,
    /// Its rooms.
    pub rooms: Vec<usize>,
    /// Day on which laying begins.
    pub day: u32,
    /// Boards laid, in the order of the floor.
    pub boards: Vec<usize>,
    /// Area of the boards, m².
    pub area: f64,
    /// Boards opened first for this stage, with their length, mm, longest first; not those that are opened for what lies.
    pub opened: Vec<(f64, usize)>,
    /// Packs opened first for this stage.
    pub packs: usize,
    /// The numbers of those packs, from 1: what is carried in and opened for this stage.
    pub pack_numbers: Vec<usize>,
    /// Packs opened for an earlier stage of which boards are opened for this one.
    pub open_packs: Vec<usize>,
    /// Packs that hold as many boards of each length, on top of those that do for the stages before; `None` for random
    /// lengths, of which no two packs hold the same.
    pub would_do: Option<usize>,
    /// What it takes besides boards; materials of which it takes none are left out.
    pub materials: MaterialList,
    /// How far the protection sheet stays off walls where skirting is still to come, mm.
    pub off_walls: f64,
}

impl StagePart {
    /// Which packs are carried in and opened for it, and which stand open already.
    pub fn carry_words(&self) -> String {
        let packs = |numbers: &[usize]| match numbers {
            [only] => format!("pack {only}"),
            _ => format!("packs {}", in_runs(numbers)),
        };
        let carried = match self.pack_numbers.is_empty() {
            true => "no further pack".to_owned(),
            false => packs(&self.pack_numbers),
        };
        match self.open_packs.is_empty() {
            true => carried,
            false => format!("{carried}; boards too of {}, open already", packs(&self.open_packs)),
        }
    }

    /// The boards opened for it: how many of each length. Of random lengths nobody knows which come, and they are counted alone.
    pub fn opened_words(&self, plan: &Plan) -> String {
        if plan.stock.random.is_some() {
            let count: usize = self.opened.iter().map(|(_, count)| count).sum();
            return format!("{count} {}", if count == 1 { "board" } else { "boards" });
        }
        let of = |(length, count): &(f64, usize)| format!("{count} × {}", format_length(*length, plan.units));
        self.opened.iter().map(of).collect::<Vec<_>>().join(", ")
    }

    /// From how many packs its boards come, and how many would do where these are more.
    pub fn pack_words(&self) -> String {
        let packs = |count: usize| if count == 1 { "1 pack".to_owned() } else { format!("{count} packs") };
        match self.would_do {
            Some(fewer) if fewer < self.packs => format!(
                "from {} not opened before; {} would do, were they opened for want of a board alone: of one length a board of any \
                 pack serves",
                packs(self.packs),
                packs(fewer)
            ),
            _ => format!("from {} not opened before", packs(self.packs)),
        }
    }

    /// What is protected and how far the sheet stays off the walls.
    pub fn protection_words(&self, plan: &Plan) -> String {
        format!(
            "Protect its boards as soon as they may be walked on; the sheet stays {} off walls where skirting is to come",
            format_length(self.off_walls, plan.units)
        )
    }
}

/// What is done in a step.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum StepKind {
    /// Low spots and rebates are filled.
    Fill,
    /// The slab is primed.
    Prime,
    /// A coat of the moisture barrier goes on: its number, from 1, and of how many.
    Coat(usize, usize),
    /// Boards are laid.
    Lay,
    /// The floor may be walked on; protection is laid.
    Walk,
    /// Packs and furniture may stand on it.
    Load,
}

/// A line of the day plan.
#[derive(Debug, Clone, PartialEq)]
pub struct DayStep {
    /// Day; before day 1 there is day 0, before that day −1.
    pub day: i64,
    /// Hour of the day by which a step that is waited for has to be begun; what it waits for itself is over by then.
    pub begun: Option<f64>,
    /// Hour of the day by which a step that is waited for has to be done, or from which the floor may be used; `None`
    /// for laying, which takes its day.
    pub hour: Option<f64>,
    /// Place of its stage in [`StagePlan::stages`].
    pub stage: usize,
    /// What.
    pub kind: StepKind,
    /// Hours waited after it, or before it for what is waited for.
    pub wait: Option<f64>,
    /// Whether the wait is what this program takes where the plan gives none.
    pub wait_is_taken: bool,
}

/// Ascending numbers, those that follow one another as `3–7`.
fn in_runs(numbers: &[usize]) -> String {
    let runs = numbers.chunk_by(|a, b| a + 1 == *b).map(|run| match run {
        [first, .., last] if last - first > 1 => format!("{first}–{last}"),
        _ => run.iter().map(ToString::to_string).collect::<Vec<_>>().join(", "),
    });
    runs.collect::<Vec<_>>().join(", ")
}

/// Where one stage meets another.
#[derive(Debug, Clone, PartialEq)]
pub struct Boundary {
    /// Place in [`StagePlan::stages`] of the stage laid first: it lays the boards that cross.
    pub first: usize,
    /// Place of the one that takes over.
    pub next: usize,
    /// The doorway, or the two rooms where nothing stands between.
    pub place: String,
    /// Boards of the first stage that lie across the boundary.
    pub crossing: Vec<usize>,
    /// How far they reach past the face of the next stage's room, at most, mm; `None` without a doorway.
    pub reach: Option<f64>,
    /// Boards of the next stage that lie against boards of the first end to end.
    pub ends: Vec<usize>,
    /// Rows of the next stage that lie along a row of the first, each with its region.
    pub rows: Vec<(usize, i32)>,
    /// The row line in the next stage's room that is checked before it goes on.
    pub control: Option<ControlLine>,
}

/// The house in stages; everything is empty for a plan without them.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct StagePlan {
    /// Stages in the order in which they are laid.
    pub stages: Vec<StagePart>,
    /// For each board the place of its stage in `stages`; `None` in rooms that stand in none.
    pub stage_of: Vec<Option<usize>>,
    /// The day plan, by day.
    pub steps: Vec<DayStep>,
    /// Where stages meet.
    pub boundaries: Vec<Boundary>,
    /// Boarded rooms that stand in no stage.
    pub unstaged: Vec<usize>,
    /// What to look out for, in words.
    pub cautions: Vec<String>,
}

impl StagePlan {
    /// What is taken of the time that filling and coating take; `None` where nothing is filled or coated.
    pub fn work_words(&self) -> Option<&'static str> {
        self.steps.iter().any(|step| step.begun.is_some()).then_some(days::WORK_WORDS)
    }
}

/// Which rooms and boards belong to which stage.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct StageShares {
    /// Indices of the plan's stages in the order in which they are laid.
    pub order: Vec<usize>,
    /// For each room the place of its stage in `order`.
    pub of_room: Vec<Option<usize>>,
    /// For each board the place of its stage.
    pub of_board: Vec<Option<usize>>,
}

/// Which rooms and boards belong to which stage; empty for a plan without stages.
pub fn stage_shares(plan: &Plan, site: &Site, floor: &Floor) -> StageShares {
    if plan.stages.is_empty() {
        return StageShares::default();
    }
    let share = Share::of(plan, site, floor);
    StageShares { order: share.order, of_room: share.of_room, of_board: share.stage_of }
}

/// How far protection stays off walls where skirting is to come: as typed, else common practice, no source.
fn off_walls(plan: &Plan) -> f64 {
    let protection = plan.materials.as_ref().and_then(|all| all.protection.as_ref());
    protection.and_then(|sheet| sheet.off_walls).unwrap_or(Sheet::OFF_WALLS)
}

/// Counts for each stage the packs that would do, by the boards of each length opened up to its end, those for what lies first.
fn count_packs(plan: &Plan, floor: &Floor, parts: &mut [StagePart]) {
    if plan.stock.random.is_some() {
        return;
    }
    let mut opened = vec![0_usize; plan.stock.lengths.len()];
    let open = |opened: &mut [usize], length: f64, count: usize| {
        let is_it = |of: &plan::BoardLength| of.length.total_cmp(&length).is_eq();
        if let Some(place) = plan.stock.lengths.iter().position(is_it) {
            opened[place] += count;
        }
    };
    let needed = |opened: &[usize]| {
        let each = opened.iter().zip(&plan.stock.lengths);
        each.map(|(count, of)| count.div_ceil((of.per_pack as usize).max(1))).max().unwrap_or(0)
    };
    floor.stock.iter().take(floor.laid.opened).for_each(|stock| open(&mut opened, stock.length, 1));
    let mut before = needed(&opened);
    for part in parts {
        part.opened.iter().for_each(|(length, count)| open(&mut opened, *length, *count));
        let needed = needed(&opened);
        part.would_do = Some(needed - before);
        before = needed;
    }
}

/// Divides a laid floor into the plan's stages. `surveyed` has every gap at its least, `site` as laid.
///
/// A board belongs to the stage of the room in which it lies; one that lies in rooms of several, through a doorway or an
/// opening, to the one laid first.
pub fn stages(plan: &Plan, surveyed: &Site, site: &Site, set: &SetOut, floor: &Floor) -> StagePlan {
    if plan.stages.is_empty() {
        return StagePlan::default();
    }
    let share = Share::of(plan, site, floor);
    let takings = Takings::of(plan, surveyed, site, floor);
    let mut parts: Vec<StagePart> = (0..share.order.len())
        .map(|place| {
            let stage = share.order[place];
            let boards = share.boards(place);
            let Opened { boards: opened, new: pack_numbers, open: open_packs } = share.opened(floor, place);
            StagePart {
                stage,
                rooms: share.rooms(place),
                day: plan.stages[stage].day,
                area: boards.iter().map(|board| floor.boards[*board].area).sum::<f64>() / 1e6,
                materials: {
                    let mut list = reckon(plan, &share.takings(site, floor, &takings, place));
                    list.lines.retain(|line| line.greatest > 0.0);
                    list
                },
                off_walls: off_walls(plan),
                boards,
                opened,
                packs: pack_numbers.len(),
                pack_numbers,
                open_packs,
                would_do: None,
            }
        })
        .collect();
    count_packs(plan, floor, &mut parts);
    let boundaries = boundary::boundaries(plan, surveyed, set, floor, &share);
    let (steps, mut cautions) = days::day_plan(plan, &share);
    cautions.extend(days::access(plan, &share, &steps, &boundaries));
    StagePlan {
        stages: parts,
        steps,
        boundaries,
        unstaged: share.unstaged(),
        cautions,
        stage_of: share.stage_of,
    }
}
