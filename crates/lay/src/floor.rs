//! Lays the floor: irregular rows or a pattern within the border, then the border.

use crate::again::Memory;
use crate::cut::cut;
use crate::ground::Ground;
use crate::keep::keep;
use crate::letters;
use crate::search::{Progress, first_floor, improve, only_floor, settle, trade};
use crate::seen::WISH;
use crate::state::{State, Task};
use crate::weave::weave;
use crate::{Floor, pattern};
use plan::{Pattern, Plan};
use setout::SetOut;
use site::Site;
use std::ops::ControlFlow;

/// Lays a site's floor from its start line, with as many moves of search as the plan's effort allows.
///
/// Plan, seed and effort give one floor, at any number of threads. Where no legal stagger is found in a run, the least
/// bad one is laid and the findings flag it; where the packs on hand run out, [`Floor::short`] says what is not laid.
pub fn lay(plan: &Plan, site: &Site, setout: &SetOut) -> Floor {
    search(plan, site, setout, plan.effort, &|_| ControlFlow::Continue(()))
}

/// Lays a site's floor with up to `effort` moves of search. `look` is called after every few moves with the best floor
/// so far and may break the search off; the floor's [`Floor::moves`] is then the effort that gives the same floor.
///
/// Only irregular joints are searched for: other patterns are laid in no moves, and so is a border.
pub fn search(
    plan: &Plan,
    site: &Site,
    setout: &SetOut,
    effort: u64,
    look: &(dyn Fn(Progress) -> ControlFlow<()> + Sync),
) -> Floor {
    lay_with(plan, site, setout, (effort, look), &mut Memory::default())
}

/// Who looks at a search, and the moves it may take.
type Effort<'l> = (u64, &'l (dyn Fn(Progress) -> ControlFlow<()> + Sync));

/// The same, with what is remembered of the floor before.
pub(crate) fn lay_with(
    plan: &Plan,
    site: &Site,
    setout: &SetOut,
    effort: Effort<'_>,
    memory: &mut Memory,
) -> Floor {
    let mut floor = match plan.pattern {
        Pattern::Irregular => irregular(plan, site, setout, effort, memory),
        _ => pattern::lay(plan, site, setout),
    };
    letters::name_rows(plan, site, setout, &mut floor);
    if let Some(border) = plan.border {
        pattern::lay_border(plan, site, border, &mut floor);
    }
    floor
}

fn irregular(
    plan: &Plan,
    site: &Site,
    setout: &SetOut,
    (effort, look): Effort<'_>,
    memory: &mut Memory,
) -> Floor {
    let ground = Ground::new(plan, site, setout);
    let task = Task::new(&ground, plan, effort > 0);
    if ground.taken.is_some() {
        return after_laid(plan, site, setout, (&ground, &task), (effort, look));
    }
    memory.open(&task, plan);
    if effort == 0 {
        let first = match task.seen.asks() {
            true => first(&task, plan, memory),
            false => only_floor(&task, plan, memory),
        };
        let floor = weave(cut(plan, first), &ground, setout);
        let Task { rips, seen, .. } = task;
        memory.close(plan, ground, rips, seen);
        return floor;
    }
    let mut first = first(&task, plan, memory);
    first.recount();
    let (best, moves) = improve(first.clone(), plan, effort, look);
    let marks = |state: &State| (state.value().hard, state.value().looks);
    let is_for_marks = marks(&best) < marks(&first);
    let (best, first) = (cut(plan, best), cut(plan, first));
    // Pieces that need wood of their own beside a thing in the row are told from the stock when the floor is cut, so that the
    // search does not count them: a floor that opens a pack more for them must be one of fewer faults or looks.
    let stays = !is_for_marks && bought(plan, &first) < bought(plan, &best);
    Floor { moves, ..weave(if stays { first } else { best }, &ground, setout) }
}

/// Packs that hold the boards a floor opens, and the boards.
fn bought(plan: &Plan, floor: &Floor) -> (u32, usize) {
    let opened = |length: f64| floor.stock.iter().filter(|board| board.length == length).count() as u32;
    let lengths = plan.stock.lengths.iter().filter(|length| length.per_pack > 0);
    let packs = lengths.map(|length| opened(length.length).div_ceil(length.per_pack)).max();
    // Of random lengths a pack holds what it holds.
    let drawn = || floor.stock.iter().map(|board| board.pack as u32 + 1).max();
    let packs = if plan.stock.random.is_some() { drawn() } else { packs };
    (packs.unwrap_or(0), floor.stock.len())
}

/// The floor before any move. Long boards where eyes fall may cost neither a board nor a pack, a rule nor a look: else
/// the floor laid without that wish stands, and the search goes on from there.
fn first<'a>(task: &'a Task<'a>, plan: &Plan, memory: &mut Memory) -> State<'a> {
    let mut plain = first_floor(task, plan, 0.0, memory);
    if !task.seen.asks() {
        return plain;
    }
    plain.recount();
    let most = plain.value();
    let mut wished = first_floor(task, plan, WISH, memory);
    wished.recount();
    if !wished.value().costs_no_more(&most) {
        wished = settle(wished, plan.seed, &most);
    }
    if wished.value().costs_no_more(&most) && wished.short < plain.short {
        return wished;
    }
    plain.wish = WISH;
    plain
}

/// What is left to lay keeps the joints it was planned with before anything was laid, where that is as good a floor as
/// was planned: as many rules kept, no more packs. Else it is laid, and searched, anew.
fn after_laid<'a>(
    plan: &Plan,
    site: &Site,
    setout: &SetOut,
    (ground, task): (&'a Ground<'a>, &'a Task<'a>),
    (effort, look): Effort<'_>,
) -> Floor {
    let bare = Plan { laid: None, ..plan.clone() };
    let bare_ground = Ground::new(&bare, site, setout);
    let bare_task = Task::new(&bare_ground, &bare, effort > 0);
    let planned = first(&bare_task, &bare, &mut Memory::default());
    let (planned, moves) = if effort == 0 { (planned, 0) } else { improve(planned, &bare, effort, look) };
    let mut kept = keep(task, plan, &planned);
    kept.recount();
    let done = |state: State, moves: u64| Floor { moves, ..weave(cut(plan, state), ground, setout) };
    let then = planned.value();
    let will_do = |state: &State| {
        let now = state.value();
        now.hard <= then.hard && now.looks <= then.looks && now.packs <= then.packs
    };
    // The boards may have been dealt out unluckily for the joints.
    if !will_do(&kept) {
        kept = trade(kept, plan.seed, will_do);
    }
    if will_do(&kept) {
        return done(kept, moves);
    }
    let anew = first(task, plan, &mut Memory::default());
    // As far as the first search came, and broken off by nothing, so that the moves it took name this floor too.
    let (anew, moves) = match moves {
        0 => (anew, 0),
        moves => improve(anew, plan, moves, &|_| ControlFlow::Continue(())),
    };
    done(anew, moves)
}
