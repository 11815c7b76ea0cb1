//! Jambs to undercut: fitted linings that boards go under.

use crate::Undercut;
use crate::contact::Contact;
use plan::{Places, Plan, Point};
use site::{EdgeKind, Frame, Source, Uv};
use std::collections::BTreeMap;

/// Gathers the jambs that boards go under.
pub(crate) struct Undercuts<'a> {
    plan: &'a Plan,
    places: &'a Places<'a>,
    frame: Frame,
    found: BTreeMap<(usize, bool), Undercut>,
}

impl<'a> Undercuts<'a> {
    pub(crate) fn new(plan: &'a Plan, places: &'a Places<'a>, frame: Frame) -> Self {
        Self { plan, places, frame, found: BTreeMap::new() }
    }

    /// Takes in what one board lies along.
    pub(crate) fn see(&mut self, board: usize, contacts: &[Contact]) {
        for contact in contacts.iter().filter(|contact| contact.over && contact.at.kind == EdgeKind::Jamb) {
            let Source::Doorway(doorway) = contact.at.source else { continue };
            let Some(farther) = self.is_farther(doorway, contact.middle) else { continue };
            let height = self.plan.stock.build_up();
            let jamb = self.found.entry((doorway, farther)).or_insert_with(|| Undercut {
                doorway,
                farther,
                height,
                at: contact.middle,
                boards: Vec::new(),
            });
            if jamb.boards.last() != Some(&board) {
                jamb.boards.push(board);
            }
        }
    }

    pub(crate) fn done(self) -> Vec<Undercut> {
        self.found.into_values().collect()
    }

    /// Whether a point lies nearer to the jamb that is farther from the wall's corner.
    fn is_farther(&self, doorway: usize, at: Uv) -> Option<bool> {
        let door = self.plan.doorways.get(doorway)?;
        let room = self.plan.rooms.get(self.places.room_index(&door.room)?)?;
        let ((corner, _), (along, _)) = (room.wall_line(door.wall)?, room.wall_axes(door.wall)?);
        let at: Point = self.frame.plan_from_row(at);
        let from_corner = (at.x - corner.x) * along.x + (at.y - corner.y) * along.y;
        Some(from_corner > door.at + door.width / 2.0)
    }
}
