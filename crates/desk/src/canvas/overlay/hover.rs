//! What the pointer is over, in words at the foot, and the cursor for it.

use super::Overlay;
use crate::names;
use crate::select::Selected;
use crate::tool::{Pick, Surroundings};
use egui::CursorIcon;
use plan::{Place, format_length};

impl Overlay {
    /// The overlay of the tool that picks, with the pointer over something.
    pub(crate) fn hovering(over: Pick, around: &Surroundings<'_>) -> Self {
        let plan = around.plan;
        let units = plan.units;
        let (cursor, hint) = match over {
            Pick::Nothing => (None, String::new()),
            Pick::Flag(flag) => {
                let flag = around.house.and_then(|house| house.flags.get(flag));
                (
                    Some(CursorIcon::PointingHand),
                    flag.map(|f| format!("{} · {}", f.place, f.mend)).unwrap_or_default(),
                )
            }
            Pick::Corner(room, _) => {
                let name = plan.rooms.get(room).map_or("", |room| &room.name);
                (Some(CursorIcon::Grab), format!("Corner of {name} · drag it"))
            }
            Pick::Wall(room, wall) => {
                let length =
                    plan.rooms.get(room).and_then(|r| r.wall_line(wall)).map_or(0.0, |(a, b)| a.distance(b));
                let name = names::wall(plan, room, wall);
                let is_break =
                    plan.rooms.get(room).is_some_and(|room| plan::edit::skirting_break(room, wall).is_some());
                let what = match is_break {
                    true => "break in the skirting · drag it along its wall, or its ends",
                    false => "drag it, or click and type",
                };
                (Some(CursorIcon::Grab), format!("{name} · {} · {what}", format_length(length, units)))
            }
            Pick::Doorway(doorway) => {
                let name = plan.doorways.get(doorway).map_or("", |d| &d.name);
                (Some(CursorIcon::Grab), format!("{name} · drag it along its wall"))
            }
            Pick::Fixture(fixture) | Pick::FixtureCorner(fixture, _) => {
                let name = plan.fixtures.get(fixture).map_or("", |f| &f.name);
                (Some(CursorIcon::Grab), format!("{name} · drag it"))
            }
            Pick::Joint(joint) | Pick::JointEnd(joint, _) => {
                let name = plan.joints.get(joint).map(|j| j.called(joint)).unwrap_or_default();
                (Some(CursorIcon::Grab), format!("{name} · drag it, or its ends; click for its width"))
            }
            Pick::Dimension(index) => {
                let length = plan.dimensions.get(index).and_then(|dimension| dimension.length(plan));
                let figure =
                    length.map(|mm| format_length((mm * 10.0).round() / 10.0, units)).unwrap_or_default();
                (
                    Some(CursorIcon::Grab),
                    format!("Dimension {figure} · drag its line aside; click for what it is on"),
                )
            }
            Pick::Line => {
                (Some(CursorIcon::Grab), "Start line · drag it, or double-click for the best".into())
            }
            Pick::Board(board) => (
                Some(CursorIcon::Default),
                around.house.and_then(|house| crate::card::board_line(house, board)).unwrap_or_default(),
            ),
            Pick::Figure(of, _) => {
                let of = match of {
                    Selected::Wall(room, wall) => names::wall(plan, room, wall),
                    other => other.thing().map(|place| place.name(plan)).unwrap_or_default(),
                };
                (Some(CursorIcon::Text), format!("{of} · click this length and type another"))
            }
            Pick::Room(room) => {
                let name = plan.rooms.get(room).map_or("", |room| &room.name);
                (Some(CursorIcon::PointingHand), format!("{name} · click for its name, covering and walls"))
            }
        };
        let (cursor, hint) = match pinned(over, around) {
            Some(hint) => (Some(CursorIcon::PointingHand), hint),
            None => (cursor, hint),
        };
        Self { cursor, hint, hover: over.selected(), ..Self::default() }
    }
}

/// What is said of something that no hand moves; `None` of what is loose.
fn pinned(over: Pick, around: &Surroundings<'_>) -> Option<String> {
    let plan = around.plan;
    let place = match over {
        Pick::Figure(Selected::Wall(room, _), _) => Place::Room(room),
        Pick::Figure(of, _) => of.thing()?,
        Pick::Wall(room, _) | Pick::Corner(room, _) => Place::Room(room),
        Pick::Fixture(fixture) | Pick::FixtureCorner(fixture, _) => Place::Fixture(fixture),
        Pick::Joint(joint) | Pick::JointEnd(joint, _) => Place::Joint(joint),
        Pick::Doorway(doorway) => Place::Doorway(doorway),
        _ => return None,
    };
    let what = match over {
        Pick::Wall(room, wall) | Pick::Figure(Selected::Wall(room, wall), _) => names::wall(plan, room, wall),
        _ => place.name(plan),
    };
    let keys = crate::command::Command::PinDown.keys().map_or("", |keys| keys.logical_key.name());
    plan.is_pinned(&place)
        .then(|| format!("{what} · pinned down: it stays · click it, then {keys} takes its pin out"))
}
