//! The order of laying: run by run, each where its groove edge finds laid boards.

use crate::backwards::{laid_back, offers};
use crate::beginning::{BeginningRip, tell};
use crate::blocks::blocks;
use crate::graph::Graph;
use crate::parts::Parts;
use crate::pockets::closed_in;
use lay::Floor;
use plan::{Places, Plan};
use site::{Site, Uv};
use std::collections::BTreeSet;

/// How a run is begun.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Start {
    /// It lies already.
    Lies,
    /// Against the start line, or the same line snapped again in another room: nothing holds it yet.
    OnLine,
    /// On the slip tongue along the start line, boards turned.
    OnSlip,
    /// On a slip tongue in the groove of the row that runs on through a doorway, this one by index: boards turned, laid
    /// back towards the start line.
    Back(usize),
    /// Past a wall or a fixture, where no laid row lies beside it: against a control line.
    Anew,
    /// Against the row laid before.
    OnRow,
    /// The border's first course, round the field.
    AroundField,
}

/// One run in the order of laying, or the part of it that one stage lays.
#[derive(Debug, Clone, PartialEq)]
pub struct LaidRun {
    /// Index of the run.
    pub run: usize,
    /// Its boards in the order in which they go in: from the worker's left, the starter first.
    pub boards: Vec<usize>,
    /// How it is begun.
    pub start: Start,
    /// The room or doorway in which its middle lies.
    pub place: Option<String>,
    /// Whether whoever lays it works from boards already down: the bare floor beside it leads to no doorway.
    pub from_laid: bool,
    /// Runs that come together in it: two or more on its laid side, which went round something.
    pub joins: Vec<usize>,
    /// Of a run begun anew: the doorway from which it and those that come together with it could be laid back instead.
    pub could_lie_back: Option<usize>,
    /// The place of its stage; `None` in a house laid in one, and in rooms that stand in no stage.
    pub stage: Option<usize>,
    /// Runs that lie already past its tongue edge, laid in an earlier stage.
    pub closes_on: Vec<usize>,
    /// Boards that it lies against end to end, laid in an earlier stage.
    pub ends_on: Vec<usize>,
    /// Rips with which a room, or a stretch begun against a line, begins in it.
    pub begins_with: Vec<BeginningRip>,
}

/// The order of laying.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Sequence {
    /// Runs in order, those that lie already first.
    pub steps: Vec<LaidRun>,
    /// Boards that lie already: so many come first.
    pub lying: usize,
}

impl Sequence {
    /// Every board in the order in which it goes in.
    pub fn boards(&self) -> impl Iterator<Item = usize> {
        self.steps.iter().flat_map(|step| step.boards.iter().copied())
    }

    /// How many boards it holds.
    pub fn len(&self) -> usize {
        self.steps.iter().map(|step| step.boards.len()).sum()
    }

    /// Whether there is nothing to lay.
    pub fn is_empty(&self) -> bool {
        self.steps.is_empty()
    }
}

/// The order in which a floor is laid.
///
/// Region by region, the largest first. In a region the rows above the start line come first, then those below it on
/// the slip tongue. A run waits for every run it is joined to along its groove edge: so rows go up one by one, and
/// what parts to go round something comes together again before the next whole row. Where there is a choice, who lays
/// stays in the room, then goes on from laid boards, and begins anew only where nothing else is left: on the line
/// carried into another room first, then past walls and fixtures. Blocks go forwards along their axis, column by column
/// as far as they allow; a border comes last, from the field to the wall.
///
/// `stage_of` has for each board the place of its stage, and is empty for a house laid in one. Stages come one after
/// the other, what stands in none last; a run that several share is laid in parts.
pub fn sequence(plan: &Plan, site: &Site, floor: &Floor, stage_of: &[Option<usize>]) -> Sequence {
    let whole = floor;
    let parts = Parts::of(floor, stage_of);
    let floor = parts.floor.as_ref();
    let mut graph = Graph::of(floor);
    let mut joined =
        Graph { runs: graph.runs.clone(), before: graph.before.clone(), after: graph.after.clone() };
    parts.join_ends(&mut joined);
    let mut beyond = parts.take_turns(&mut graph);
    let order = order(plan, site, &parts, &graph);
    let runs: Vec<usize> = order.iter().map(|(run, _)| *run).collect();
    let closed = closed_in(site, floor, &joined, &runs);
    let places = Places::new(plan);
    let mut back_from: Vec<Option<usize>> = vec![None; floor.runs.len()];
    for (doorway, runs) in laid_back(plan, &places, site.frame, floor) {
        runs.into_iter().for_each(|run| back_from[run] = Some(doorway));
    }
    let mut offered: Vec<Option<usize>> = vec![None; floor.runs.len()];
    for room in offers(plan, &places, site.frame, floor, &graph) {
        room.runs.into_iter().for_each(|run| offered[run] = Some(room.doorway));
    }
    let started = |run: usize| match (start(floor, &graph, run), back_from[run]) {
        (Start::OnRow, Some(doorway))
            if graph.before[run].iter().any(|onto| !floor.runs[*onto].backwards) =>
        {
            Start::Back(doorway)
        }
        (start, _) => start,
    };
    // Parts of one run that come together are one.
    let of_parts = |mut all: Vec<usize>| {
        all.iter_mut().for_each(|part| *part = parts.run(*part));
        all.sort_unstable();
        all.dedup();
        all
    };
    let steps = order.into_iter().zip(closed).map(|((part, place), from_laid)| LaidRun {
        run: parts.run(part),
        boards: boards_of(floor, part),
        start: started(part),
        could_lie_back: offered[part].filter(|_| start(floor, &graph, part) == Start::Anew),
        place: place.map(str::to_owned),
        from_laid,
        joins: Some(of_parts(graph.before[part].clone())).filter(|runs| runs.len() > 1).unwrap_or_default(),
        stage: parts.stage(part),
        closes_on: of_parts(std::mem::take(&mut beyond[part])),
        ends_on: parts.ends_on(part),
        begins_with: Vec::new(),
    });
    let mut steps: Vec<LaidRun> = steps.chain(patterns(plan, site, whole, (&parts, stage_of))).collect();
    // Field and border of one stage before the next stage.
    steps.sort_by_key(|step| (step.start != Start::Lies, turn(step.stage, &parts)));
    tell(plan, &places, site.frame, whole, &mut steps);
    let lying = steps.iter().take_while(|step| step.start == Start::Lies);
    Sequence { lying: lying.map(|step| step.boards.len()).sum(), steps }
}

/// Whether all of a run lies already.
fn lies(floor: &Floor, run: usize) -> bool {
    floor.runs[run].boards.clone().all(|board| floor.is_laid(board))
}

/// The turn of a stage; all alike in a house laid in one.
fn turn(stage: Option<usize>, parts: &Parts<'_>) -> usize {
    if parts.is_staged { stage.unwrap_or(usize::MAX) } else { 0 }
}

/// Blocks, forwards along their axis, then the border; stage by stage.
fn patterns(
    plan: &Plan,
    site: &Site,
    floor: &Floor,
    (parts, stage_of): (&Parts<'_>, &[Option<usize>]),
) -> Vec<LaidRun> {
    let places = Places::new(plan);
    let rank = by_size(site);
    let rank = |region: usize| rank.get(region).copied().unwrap_or(usize::MAX);
    let place = |board: usize| {
        let at = site.frame.plan_from_row(floor.boards[board].middle());
        places.place_at(at).map(str::to_owned)
    };
    let mut steps: Vec<LaidRun> = Vec::new();
    let mut begun = BTreeSet::new();
    let stage = |board: usize| stage_of.get(board).copied().flatten();
    let mut blocks = blocks(floor, rank);
    blocks.sort_by_key(|block| turn(stage(*block), parts));
    for block in blocks {
        let board = &floor.boards[block];
        match steps.last_mut().filter(|step| step.run == board.run && step.stage == stage(block)) {
            Some(step) => step.boards.push(block),
            None => {
                let start = if begun.insert(board.region) { Start::OnLine } else { Start::OnRow };
                let stage = stage(block);
                steps.push(LaidRun { place: place(block), start, stage, ..step_of(board.run, vec![block]) });
            }
        }
    }
    let floor = parts.floor.as_ref();
    let is_border = |run: &usize| {
        let boards = &floor.runs[*run].boards;
        floor.boards.get(boards.start).is_some_and(|board| !boards.is_empty() && board.in_border)
    };
    let mut border: Vec<usize> = (0..floor.runs.len()).filter(is_border).collect();
    // From the field to the wall: courses are counted from the wall.
    border.sort_by_key(|part| {
        let run = &floor.runs[*part];
        (turn(parts.stage(*part), parts), rank(run.region), -i64::from(run.row), *part)
    });
    let mut bordered = BTreeSet::new();
    steps.extend(border.into_iter().map(|run| {
        let boards = boards_of(floor, run);
        let start = if bordered.insert(floor.runs[run].region) { Start::AroundField } else { Start::OnRow };
        let (place, stage) = (place(boards[boards.len() / 2]), parts.stage(run));
        LaidRun { place, start, stage, ..step_of(parts.run(run), boards) }
    }));
    steps
}

fn step_of(run: usize, boards: Vec<usize>) -> LaidRun {
    LaidRun {
        run,
        boards,
        start: Start::OnRow,
        place: None,
        from_laid: false,
        joins: Vec::new(),
        could_lie_back: None,
        stage: None,
        closes_on: Vec::new(),
        ends_on: Vec::new(),
        begins_with: Vec::new(),
    }
}

/// Runs in order, each with its place.
fn order<'p>(plan: &'p Plan, site: &Site, parts: &Parts<'_>, graph: &Graph) -> Vec<(usize, Option<&'p str>)> {
    let floor = parts.floor.as_ref();
    let place = places(plan, site, floor, graph);
    let largest_first = by_size(site);
    let mut waits: Vec<usize> = graph.before.iter().map(Vec::len).collect();
    let mut order = Vec::with_capacity(graph.runs.len());
    // What lies already is there before anything is laid, whatever it lies beside.
    for run in graph.runs.iter().copied().filter(|run| lies(floor, *run)) {
        order.push((run, place[run]));
        graph.after[run].iter().for_each(|after| waits[*after] = waits[*after].saturating_sub(1));
    }
    let is_ready = |run: &usize| waits[*run] == 0 && !lies(floor, *run);
    let mut ready: Vec<usize> = graph.runs.iter().copied().filter(is_ready).collect();
    let mut here: Option<&str> = None;
    loop {
        let key = |run: &usize| {
            let r = &floor.runs[*run];
            let start = start(floor, graph, *run);
            let begins = match start {
                Start::Lies | Start::OnRow | Start::OnSlip | Start::Back(_) | Start::AroundField => 0,
                Start::OnLine => 1,
                Start::Anew => 2,
            };
            let is_elsewhere = place[*run] != here || here.is_none();
            let left = if r.is_turned() { -r.right } else { r.left };
            let rank = largest_first.get(r.region).copied().unwrap_or(usize::MAX);
            ((parts.turn(*run), rank, r.row < 0, is_elsewhere, begins, away(r.row)), left, *run)
        };
        let least = (0..ready.len()).min_by(|a, b| {
            let (a, b) = (key(&ready[*a]), key(&ready[*b]));
            a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)).then(a.2.cmp(&b.2))
        });
        let Some(next) = least else { break };
        let run = ready.swap_remove(next);
        here = place[run];
        order.push((run, here));
        for after in &graph.after[run] {
            waits[*after] = waits[*after].saturating_sub(1);
            if waits[*after] == 0 && !lies(floor, *after) {
                ready.push(*after);
            }
        }
    }
    order
}

/// Rows between a row and the start line.
fn away(row: i32) -> i64 {
    if row >= 0 { i64::from(row) } else { -1 - i64::from(row) }
}

/// The place of each region among them all, the largest first.
fn by_size(site: &Site) -> Vec<usize> {
    let mut order: Vec<usize> = (0..site.regions.len()).collect();
    order.sort_by(|a, b| site.regions[*b].area.total_cmp(&site.regions[*a].area).then(a.cmp(b)));
    let mut rank = vec![0; order.len()];
    for (place, region) in order.into_iter().enumerate() {
        rank[region] = place;
    }
    rank
}

/// The room or doorway in which each run lies: by the middle of its middle board, by its other boards' from there where that lies
/// in none, and by points along them.
fn places<'p>(plan: &'p Plan, site: &Site, floor: &Floor, graph: &Graph) -> Vec<Option<&'p str>> {
    let places = Places::new(plan);
    let mut all = vec![None; floor.runs.len()];
    for run in &graph.runs {
        let own = floor.runs[*run].boards.clone();
        let middle = own.start + own.len() / 2;
        let mut boards: Vec<usize> = own.collect();
        boards.sort_by_key(|board| (board.abs_diff(middle), *board));
        let boards = || boards.iter().filter_map(|board| floor.boards.get(*board));
        let place = |at| places.place_at(site.frame.plan_from_row(at));
        let middles = boards().find_map(|board| place(board.middle()));
        all[*run] = middles.or_else(|| {
            boards().find_map(|board| {
                let middle = board.middle();
                let along = |part: f64| Uv::new(middle.u + part * board.length(), middle.v);
                [-0.25, 0.25, -0.48, 0.48].into_iter().find_map(|part| place(along(part)))
            })
        });
    }
    all
}

fn start(floor: &Floor, graph: &Graph, run: usize) -> Start {
    if lies(floor, run) {
        return Start::Lies;
    }
    match (floor.runs[run].row, graph.before[run].is_empty()) {
        (0, _) => Start::OnLine,
        (-1, false) => Start::OnSlip,
        (_, true) => Start::Anew,
        (_, false) => Start::OnRow,
    }
}

/// A run's boards as they go in. Below the start line the worker faces the other way.
fn boards_of(floor: &Floor, run: usize) -> Vec<usize> {
    let mut boards: Vec<usize> = floor.runs[run].boards.clone().collect();
    let own_left = |index: &usize| {
        let board = &floor.boards[*index];
        if board.turned { -board.right } else { board.left }
    };
    boards.sort_by(|a, b| own_left(a).total_cmp(&own_left(b)).then(a.cmp(b)));
    boards
}
