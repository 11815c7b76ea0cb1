//! The laying shown board by board: how far it is, what comes next, and when it goes on by itself.

use crate::canvas::Span;
use crate::names;
use crate::reckon::Reckoned;
use egui::Context;
use fit::Sequence;
use pipeline::House;
use std::sync::Arc;
use std::time::Duration;

/// Between two boards while the laying goes on by itself, seconds: slow enough to follow, a row in some seconds.
const PACE: f64 = 0.4;

/// How far the laying is shown, if it is.
#[derive(Default)]
pub(crate) struct Laying {
    /// Boards down; `None` while the whole floor is shown.
    down: Option<usize>,
    /// When the next board goes down by itself, in the seconds of the window's clock.
    due: Option<f64>,
    /// A move asked for before the order was known.
    pending: Option<Move>,
    /// The order of the house of a generation.
    known: Reckoned<u64, Known>,
}

/// The order of one house.
#[derive(Debug)]
struct Known {
    sequence: Sequence,
    order: Vec<usize>,
    /// How many boards are down before each step, and at the end.
    starts: Vec<usize>,
    /// For each board its place in the order.
    places: Vec<usize>,
}

/// A move through the order.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Move {
    Board(i64),
    Row(i64),
}

/// What the canvas shows of it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Laid<'a> {
    /// Boards down.
    pub(crate) down: usize,
    /// For each board its place in the order.
    places: &'a [usize],
    /// The board that goes in next.
    pub(crate) next: Option<usize>,
}

impl Laid<'_> {
    /// A board's place in the order.
    pub(crate) fn place(&self, board: usize) -> Option<usize> {
        self.places.get(board).copied()
    }

    /// Whether a board lies already.
    pub(crate) fn is_down(&self, board: usize) -> bool {
        self.places.get(board).is_none_or(|place| *place < self.down)
    }
}

impl Laying {
    /// Keeps up with the house while the laying is shown; the boards of another house are counted anew, off the window's
    /// thread. Until they are, the last order stays.
    pub(crate) fn keep_up(
        &mut self,
        house: Option<&Arc<House>>,
        generation: u64,
        at_once: bool,
        ctx: &Context,
    ) {
        if self.down.is_none() {
            return;
        }
        let Some(house) = house else { return self.stop() };
        let before = self.known.known().map(|(generation, _)| *generation);
        let theirs = house.clone();
        self.known.ask(generation, at_once, ctx, move |_| Some(Known::of(&theirs)));
        let Some((now, known)) = self.known.known() else { return };
        if before != Some(*now) {
            self.down = self.down.map(|down| down.clamp(known.sequence.lying, known.order.len()));
            if let Some(by) = self.pending.take() {
                self.go(by);
            }
        }
    }

    /// Shows the whole floor again.
    pub(crate) fn stop(&mut self) {
        *self = Self::default();
    }

    pub(crate) fn is_shown(&self) -> bool {
        self.down.is_some()
    }

    pub(crate) fn goes_on(&self) -> bool {
        self.due.is_some()
    }

    /// Starts, or holds, the laying by itself.
    pub(crate) fn toggle(&mut self, now: f64) {
        let is_done = self.known.get().is_some_and(|known| self.down == Some(known.order.len()));
        if self.due.take().is_none() {
            self.due = Some(now + PACE);
            if self.down.is_none() || is_done {
                self.down = Some(self.known.get().map_or(0, |known| known.sequence.lying));
            }
        }
    }

    /// Goes on by itself where it is time, and asks to be shown again when the next board is due.
    pub(crate) fn tick(&mut self, ctx: &Context) {
        let (Some(due), Some(known)) = (self.due, self.known.get()) else { return };
        let now = ctx.input(|input| input.time);
        let count = known.order.len();
        if now >= due {
            self.down = self.down.map(|down| (down + 1).min(count));
            self.due = Some(now + PACE);
        }
        if self.down == Some(count) {
            self.due = None;
        } else if let Some(due) = self.due {
            ctx.request_repaint_after(Duration::from_secs_f64((due - now).clamp(0.0, PACE)));
        }
    }

    /// Goes through the order; what goes on by itself is held. From the whole floor a first board forwards starts
    /// with none down, one backwards takes up the last.
    pub(crate) fn go(&mut self, by: Move) {
        self.due = None;
        let Some(known) = self.known.get() else {
            self.pending = Some(by);
            return;
        };
        let count = known.order.len();
        let down = self.down.unwrap_or(count);
        let to = match by {
            Move::Board(by) => down as i64 + by,
            Move::Row(by) if by > 0 => {
                known.starts.iter().copied().find(|start| *start > down).unwrap_or(count) as i64
            }
            Move::Row(_) => known.starts.iter().copied().rfind(|start| *start < down).unwrap_or(0) as i64,
        };
        self.down = Some(usize::try_from(to).unwrap_or(0).clamp(known.sequence.lying, count));
    }

    /// Opens the laying where it is not shown: with what lies already, or with all of it.
    pub(crate) fn open(&mut self, is_full: bool) {
        self.down.get_or_insert(if is_full { usize::MAX } else { 0 });
    }

    /// Lays all steps before one.
    pub(crate) fn go_to_step(&mut self, step: usize) {
        self.due = None;
        if let Some(known) = self.known.get() {
            let to = known.starts.get(step).copied().unwrap_or(known.order.len());
            self.down = Some(to.max(known.sequence.lying));
        }
    }

    pub(crate) fn laid(&self) -> Option<Laid<'_>> {
        let (down, known) = (self.down?, self.known.get()?);
        Some(Laid { down, places: &known.places, next: known.order.get(down).copied() })
    }

    /// Steps in all, and how many are begun.
    pub(crate) fn steps(&self) -> (usize, usize) {
        let Some((down, known)) = self.down.zip(self.known.get()) else { return (0, 0) };
        (known.starts.len().saturating_sub(1), known.step_at(down))
    }

    /// Where the next board lies.
    pub(crate) fn span(&self, house: &House) -> Option<Span> {
        let board = house.floor.boards.get(self.laid()?.next?)?;
        Span::of(board.outline.outer.iter().map(|p| house.site.frame.plan_from_row(*p)))
    }

    /// The next board in words, and what to know before it goes in.
    pub(crate) fn words(&self, house: &House) -> Option<(String, Vec<String>)> {
        let (down, known) = (self.down?, self.known.get()?);
        let count = known.order.len();
        let Some(board) = known.order.get(down).copied() else {
            return Some((format!("All {} are down", names::count(count, "board", "boards")), Vec::new()));
        };
        let index = known.step_at(down);
        let step = known.sequence.steps.get(index)?;
        let place = step.place.as_deref().map_or_else(String::new, |place| format!(", {place}"));
        let label = house.floor.boards.get(board).map_or("", |board| board.label.as_str());
        let head =
            format!("Next {label}{place}: {} · {} of {count}", house.fit.words(&house.plan, board), down + 1);
        let is_first = known.starts.get(index) == Some(&down);
        Some((
            head,
            if is_first { known.sequence.notes(&house.plan, &house.floor, index) } else { Vec::new() },
        ))
    }
}

impl Known {
    fn of(house: &House) -> Self {
        let sequence = house.sequence();
        let order: Vec<usize> = sequence.boards().collect();
        let mut starts = vec![0];
        for step in &sequence.steps {
            starts.push(starts.last().copied().unwrap_or(0) + step.boards.len());
        }
        let mut places = vec![usize::MAX; house.floor.boards.len()];
        for (place, board) in order.iter().enumerate() {
            places[*board] = place;
        }
        Self { sequence, order, starts, places }
    }

    /// The step in which a board of the order lies.
    fn step_at(&self, place: usize) -> usize {
        self.starts.partition_point(|start| *start <= place).saturating_sub(1)
    }
}
