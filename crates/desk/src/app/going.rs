//! Going from room to room and wall to wall, to a name, and to the tape.

use super::Desk;
use crate::job::Step;
use crate::select::Selected;
use crate::tool::Tool;
use egui::Context;

impl Desk {
    /// Opens the tape of the selected room, or of the first one, at the first length that is missing.
    pub(super) fn tape_room(&mut self, ctx: &Context) {
        let plan = self.document.plan().clone();
        let room = self.selected.room().unwrap_or(0);
        let Some(drawn) = plan.rooms.get(room) else {
            return self.room_from_lengths(ctx);
        };
        self.take(Tool::default());
        if self.selected.room().is_none() {
            self.selected = Selected::Room(room);
        }
        self.job.tape.open = true;
        self.job.open(Step::Measure);
        let (a, b) = crate::job::first_untaped(drawn).unwrap_or((0, 1));
        crate::field::focus(ctx, &crate::job::tape_field(a, b, drawn.walls.len()));
    }

    /// Begins a new room from its lengths, or goes on with the one that stands open.
    pub(super) fn room_from_lengths(&mut self, ctx: &Context) {
        self.take(Tool::default());
        let is_shown = self.job.is_open(Step::Measure);
        let table = &mut self.job.tape;
        if !is_shown {
            table.draft = None;
        }
        let walls = table.draft.get_or_insert_default().legs.len();
        if walls > 0 {
            let walls = crate::names::count(walls, "wall", "walls");
            let leave = crate::command::Command::BackOut.keys_text(ctx);
            self.said =
                Some(format!("Going on with the room of {walls}: type the next one, or {leave} leaves it"));
        }
        self.job.open(Step::Measure);
        crate::field::focus(ctx, crate::job::NEXT_LEG);
    }

    /// Leaves the room that is typed from its lengths; a half-typed length goes first.
    pub(super) fn leave_lengths(&mut self, ctx: &Context) -> bool {
        if !self.job.is_open(Step::Measure) {
            self.job.tape.draft = None;
        }
        let Some(draft) = self.job.tape.draft.as_mut().filter(|_| self.tool.is_ready()) else { return false };
        if crate::field::had_keys(ctx).is_some_and(|name| name != crate::job::NEXT_LEG) {
            // It left another field, no more.
            return true;
        }
        if std::mem::take(&mut draft.half) {
            crate::field::focus(ctx, crate::job::NEXT_LEG);
        } else {
            self.job.tape.draft = None;
            self.said = Some("The room from its lengths is left".into());
        }
        true
    }

    pub(super) fn set_by_tape(&mut self) {
        let Some(room) = self.selected.room() else {
            self.said = Some("Select the room whose corners its tape is to set".into());
            return;
        };
        let hold = self.job.tape.hold;
        self.edit("set the corners by the tape", move |plan| taping::set_corners(plan, room, hold, false));
    }

    pub(super) fn step_room(&mut self) {
        let count = self.document.plan().rooms.len();
        if count > 0 {
            let next = self.selected.room().map_or(0, |room| (room + 1) % count);
            self.selected = Selected::Room(next);
            self.show_selected();
        }
    }

    pub(super) fn step_wall(&mut self, by: i64) {
        let room = self.selected.room().unwrap_or(0);
        let count = self.document.plan().rooms.get(room).map_or(0, |room| room.walls.len()) as i64;
        if count == 0 {
            return;
        }
        let next = match self.selected {
            Selected::Wall(_, wall) => (wall as i64 + by).rem_euclid(count),
            _ if by < 0 => count - 1,
            _ => 0,
        };
        self.selected = Selected::Wall(room, next as usize);
        self.show_selected();
    }
}
