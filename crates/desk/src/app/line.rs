//! The start line and the rows' direction, by commands.

use super::Desk;
use crate::select::Selected;
use plan::StartLine;

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
