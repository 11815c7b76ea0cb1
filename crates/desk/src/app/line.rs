//! The start line and the rows' direction, by commands.

use super::Desk;
use crate::select::Selected;
use plan::StartLine;

/// A line that moves by less is the same to whoever snaps it, mm.
const LEAST_MOVE: f64 = 0.5;

impl Desk {
    pub(super) fn set_line(&mut self, line: StartLine, name: &str) {
        if self.document.plan().laid.is_some() {
            self.said = Some("The start line stays where the laid rows have it".into());
            return;
        }
        self.edit(name, move |plan| {
            plan.start_line = line;
            Ok(())
        });
    }

    /// Says that the best line is another than before where an edit of something else has moved it: with the line every rip
    /// and joint moves, and nobody asked for that. While something is dragged it is seen to move.
    pub(super) fn tell_of_line(&mut self) {
        if self.document.in_gesture() {
            return;
        }
        let Some(house) = self.house() else {
            self.line_seen = None;
            return;
        };
        let (plan, pitch) = (&house.plan, house.setout.pitch);
        let is_best = plan.start_line == StartLine::Best && pitch > 0.0;
        let now = is_best.then_some([plan.rows_at, pitch, house.setout.chosen.offset]);
        let before = std::mem::replace(&mut self.line_seen, now);
        let Some(([turn, wide, from], [turn_now, _, to])) = before.zip(now) else { return };
        let away = (to - from).rem_euclid(pitch);
        let by = away.min(pitch - away);
        if turn != turn_now || wide != pitch || by < LEAST_MOVE {
            return;
        }
        let units = self.document.plan().units;
        let figure = |mm: f64| crate::names::length((mm * 10.0).round() / 10.0, units);
        let words = format!("The best start line has moved by {}, to {}", figure(by), figure(to));
        self.said = Some(match self.said.take() {
            Some(said) => format!("{said} · {words}"),
            None => words,
        });
    }

    pub(super) fn move_line(&mut self, by: f64) {
        let Some(now) = self.house().map(|house| house.setout.chosen.offset) else { return };
        let pitch = self.document.plan().stock.pitch();
        if pitch > 0.0 {
            self.set_line(StartLine::At((now + by).rem_euclid(pitch)), "move start line");
        }
    }

    pub(super) fn turn_rows(&mut self, degrees: f64) {
        self.edit("turn the rows", move |plan| {
            plan.rows_at = degrees;
            Ok(())
        });
    }

    pub(super) fn rows_along_wall(&mut self) {
        let Selected::Wall(room, wall) = self.selected else {
            self.said = Some("Select a wall first, then its rows can run along it".into());
            return;
        };
        let Some((along, _)) = self.document.plan().rooms.get(room).and_then(|room| room.wall_axes(wall))
        else {
            return;
        };
        let degrees = along.y.atan2(along.x).to_degrees().rem_euclid(180.0);
        let degrees = if degrees > 90.0 { degrees - 180.0 } else { degrees };
        // A thousandth of a degree is 0.2 mm over twelve metres.
        self.turn_rows((degrees * 1000.0).round() / 1000.0);
    }
}
