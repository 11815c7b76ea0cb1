//! What is selected removed, split, copied, turned over.

use super::Desk;
use crate::canvas::{Span, Wanted, extent_of};
use crate::select::Selected;
use plan::{StartLine, edit};

impl Desk {
    pub(super) fn delete(&mut self) {
        if self.has_several() {
            return self.remove_several();
        }
        let before = self.document.revision();
        match self.selected {
            Selected::Room(room) => self.edit("remove room", move |plan| edit::remove_room(plan, room)),
            Selected::Corner(room, wall) => {
                self.edit("remove corner", move |plan| edit::remove_corner(plan, room, wall));
            }
            Selected::Doorway(doorway) => {
                self.edit("remove doorway", move |plan| edit::remove_doorway(plan, doorway));
            }
            Selected::Fixture(fixture) => {
                self.edit("remove fixture", move |plan| edit::remove_fixture(plan, fixture));
            }
            Selected::Joint(joint) => {
                self.edit("remove movement joint", move |plan| edit::remove_joint(plan, joint));
            }
            Selected::Dimension(index) => {
                self.edit("remove dimension", move |plan| edit::remove_dimension(plan, index));
            }
            Selected::Wall(..) => {
                self.said = Some("A wall goes with one of its corners: select a corner to remove it".into());
                return;
            }
            Selected::Line => self.set_line(StartLine::Best, "use best line"),
            Selected::Nothing | Selected::Board(_) | Selected::Flag(_) => return,
        }
        // What could not be removed stays selected.
        if self.document.revision() != before {
            self.selected = Selected::Nothing;
        }
    }

    pub(super) fn split_wall(&mut self) {
        let Selected::Wall(room, wall) = self.selected else {
            self.said = Some("Select the wall that is to be split".into());
            return;
        };
        let line = self.document.plan().rooms.get(room).and_then(|room| room.wall_line(wall));
        let half = line.map_or(0.0, |(a, b)| a.distance(b) / 2.0);
        self.edit("split wall", move |plan| edit::split_wall(plan, room, wall, half.round()));
        self.selected = Selected::Corner(room, wall + 1).within(self.document.plan());
    }

    /// Copies the selected room a wall's thickness beside itself, or the selected fixture beside itself.
    pub(super) fn duplicate(&mut self) {
        if self.has_several() {
            return self.copy_several();
        }
        let plan = self.document.plan().clone();
        match self.selected {
            Selected::Room(room) | Selected::Wall(room, _) | Selected::Corner(room, _) => {
                let Some(span) = extent_of(Selected::Room(room), &plan, None) else { return };
                // Right of everything drawn, so that it lies over nothing.
                let right = Span::of_plan(&plan).map_or(span.max.x, |all| all.max.x);
                let by = plan::Point::new(right - span.min.x + drawing::body_thickness(&plan), 0.0);
                self.edit("copy room", move |plan| {
                    edit::copy_room(plan, room, edit::Mirror::No, by).map(drop)
                });
                self.selected = Selected::Room(plan.rooms.len()).within(self.document.plan());
                self.canvas.wanted = Some(Wanted::Everything);
            }
            Selected::Fixture(fixture) => {
                let Some(span) = extent_of(self.selected, &plan, None) else { return };
                let (across, up) = (span.max.x - span.min.x + 100.0, span.max.y - span.min.y + 100.0);
                // Beside it on the side where there is floor.
                let sides = [(across, 0.0), (-across, 0.0), (0.0, up), (0.0, -up)];
                self.edit("copy fixture", move |plan| {
                    let mut refused = None;
                    for (x, y) in sides {
                        match edit::copy_fixture(plan, fixture, edit::Mirror::No, plan::Point::new(x, y)) {
                            Ok(_) => return Ok(()),
                            Err(problem) => refused = refused.or(Some(problem)),
                        }
                    }
                    refused.map_or(Ok(()), Err)
                });
                self.selected = Selected::Fixture(plan.fixtures.len()).within(self.document.plan());
            }
            Selected::Doorway(_) | Selected::Joint(_) => self.copy_several(),
            _ => {
                self.said =
                    Some("Select a room, a doorway, a fixture or a joint first, then it can be copied".into())
            }
        }
    }

    /// Flips a selected break in a skirting: as far from the other end of its wall. Whether it is one.
    fn flip_break(&mut self, room: usize, wall: usize) -> bool {
        let found = self.document.plan().rooms.get(room).and_then(|room| edit::skirting_break(room, wall));
        let Some(found) = found else { return false };
        self.edit("flip skirting break", move |plan| {
            edit::move_break(plan, room, wall, found.flipped(), found.width).map(drop)
        });
        self.selected = self.break_near(room, wall).map_or(self.selected, |wall| Selected::Wall(room, wall));
        true
    }

    /// The break that a wall is now, or one of its neighbours: by going to a corner it gets another number.
    fn break_near(&self, room: usize, wall: usize) -> Option<usize> {
        let room = self.document.plan().rooms.get(room)?;
        let near = [Some(wall), wall.checked_sub(1), Some(wall + 1)];
        near.into_iter().flatten().find(|wall| edit::skirting_break(room, *wall).is_some())
    }

    pub(super) fn turn_over(&mut self, mirror: edit::Mirror) {
        if let Selected::Wall(room, wall) = self.selected
            && self.flip_break(room, wall)
        {
            return;
        }
        let all: Vec<Selected> = match self.selected {
            Selected::Wall(room, _) | Selected::Corner(room, _) => vec![Selected::Room(room)],
            _ => self.selection(),
        };
        let can = |thing: &Selected| {
            matches!(thing, Selected::Room(_) | Selected::Fixture(_) | Selected::Doorway(_))
        };
        if !all.iter().any(can) {
            self.said =
                Some("Select a room, a fixture or a doorway first, then it can be turned over".into());
            return;
        }
        let name = match all.as_slice() {
            [Selected::Room(_)] => "turn room over".to_owned(),
            [Selected::Fixture(_)] => "turn fixture over".to_owned(),
            [Selected::Doorway(_)] => "turn the leaf over".to_owned(),
            all => format!("turn {} things over", all.len()),
        };
        self.edit(&name, move |plan| {
            for thing in all {
                match thing {
                    Selected::Room(room) => edit::mirror_room(plan, room, mirror)?,
                    Selected::Fixture(fixture) => edit::mirror_fixture(plan, fixture, mirror)?,
                    Selected::Doorway(doorway) => edit::turn_leaf(plan, doorway)?,
                    _ => {}
                }
            }
            Ok(())
        });
    }
}
