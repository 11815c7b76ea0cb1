//! The tape of the selected room: what came of it, kept until plan or room change.

use plan::Plan;
use taping::{RoomTape, RoomTrouble};

/// The table of taped lengths: whether it is open, and what its last computing gave.
#[derive(Default)]
pub(crate) struct TapeTable {
    /// Whether the table is shown under the selected room.
    pub(crate) open: bool,
    /// The wall that keeps its line, from 0.
    pub(crate) hold: usize,
    /// Corners of a diagonal of one's own choice, from 0.
    pub(crate) diagonal: (usize, usize),
    /// Diagonals asked for, to be typed.
    pub(crate) asked: Vec<(usize, usize)>,
    /// The last length was just typed: whatever is to be taped next is gone to.
    pub(crate) go_on: bool,
    /// A new room from its lengths, while it is typed.
    pub(crate) draft: Option<Draft>,
    found: Option<Found>,
}

/// Walls of a new room as they are taped, going round it.
#[derive(Default)]
pub(crate) struct Draft {
    pub(crate) legs: Vec<taping::Leg>,
    /// One goes round to the right.
    pub(crate) clockwise: bool,
    /// Closing it was tried with the walls as they are.
    pub(crate) tried: bool,
    /// The next wall's figure is half typed.
    pub(crate) half: bool,
}

/// What came of a room's tape.
pub(crate) struct Found {
    revision: u64,
    hold: usize,
    pub(crate) room: usize,
    pub(crate) tape: Result<RoomTape, RoomTrouble>,
    /// Stretches worth taping next, their corners from 0.
    pub(crate) next: Vec<(usize, usize)>,
}

impl Found {
    /// The wall that kept its line, from 0.
    pub(crate) fn hold(&self) -> usize {
        self.hold
    }

    /// Whether a length of the tape is likely the wrong one.
    pub(crate) fn is_doubted(&self, index: usize) -> bool {
        self.tape.as_ref().is_ok_and(|tape| tape.lines.get(index).is_some_and(|line| line.doubted))
    }
}

impl TapeTable {
    /// Solves the room's tape where plan, room or held wall are others than the last time.
    pub(crate) fn keep_up(&mut self, plan: &Plan, revision: u64, room: Option<usize>) {
        let Some((room, drawn)) =
            room.filter(|_| self.open).and_then(|room| Some((room, plan.rooms.get(room)?)))
        else {
            self.found = None;
            return;
        };
        let count = drawn.walls.len();
        if self.found.as_ref().is_none_or(|found| found.room != room) {
            self.diagonal = (0, 2.min(count.saturating_sub(1)));
            self.asked.clear();
        }
        if self.hold >= count {
            self.hold = 0;
        }
        let hold = self.hold;
        if self
            .found
            .as_ref()
            .is_some_and(|found| (found.revision, found.room, found.hold) == (revision, room, hold))
        {
            return;
        }
        let tape = taping::room_tape(plan, room, hold);
        let mut next = taping::wanted(drawn);
        next.extend(tape.as_ref().ok().and_then(|tape| tape.next));
        self.found = Some(Found { revision, hold, room, tape, next });
    }

    /// What came of the open table's room.
    pub(crate) fn found(&self) -> Option<&Found> {
        self.found.as_ref()
    }
}
