//! Moves what is selected by small steps, for the arrow keys.

use crate::select::Selected;
use plan::edit;
use plan::{Plan, Point, StartLine};

/// Moves the selection by `by` mm; the step's name, or `None` where nothing moves.
pub(crate) fn nudge(plan: &mut Plan, selected: Selected, by: Point, line_now: Option<f64>) -> Option<String> {
    match selected {
        Selected::Corner(room, wall) => {
            let corner = plan.rooms.get(room)?.walls.get(wall)?.corner;
            edit::move_corner(plan, room, wall, corner.moved(by.x, by.y)).ok()?;
            Some(format!("move corner, {}", plan.rooms[room].name))
        }
        Selected::Wall(room, wall) => {
            let (_, away) = plan.rooms.get(room)?.wall_axes(wall)?;
            edit::move_wall(plan, room, wall, by.x * away.x + by.y * away.y).ok()?;
            Some(format!("move wall, {}", plan.rooms[room].name))
        }
        Selected::Doorway(index) => {
            let doorway = plan.doorways.get(index)?;
            let room = plan.rooms.get(plan.room_index(&doorway.room)?)?;
            let (along, _) = room.wall_axes(doorway.wall)?;
            let (a, b) = room.wall_line(doorway.wall)?;
            let furthest = (a.distance(b) - doorway.width).max(0.0);
            let at = (doorway.at + by.x * along.x + by.y * along.y).clamp(0.0, furthest);
            plan.doorways[index].at = at;
            Some(format!("move doorway, {}", plan.doorways[index].name))
        }
        Selected::Fixture(index) => {
            let fixture = plan.fixtures.get_mut(index)?;
            for corner in &mut fixture.outline {
                *corner = corner.moved(by.x, by.y);
            }
            Some(format!("move {}", fixture.name))
        }
        Selected::Joint(index) => {
            edit::move_joint(plan, index, by).ok()?;
            Some(format!("move {}", plan.joints.get(index)?.called(index)))
        }
        Selected::Room(index) => {
            let room = plan.rooms.get_mut(index)?;
            for wall in &mut room.walls {
                wall.corner = wall.corner.moved(by.x, by.y);
            }
            Some(format!("move {}", room.name))
        }
        Selected::Line => {
            let pitch = plan.stock.pitch();
            let offset = match plan.start_line {
                StartLine::At(offset) => offset,
                StartLine::Best | StartLine::Safest => line_now?,
            };
            let radians = plan.rows_at.to_radians();
            let across = by.y * radians.cos() - by.x * radians.sin();
            plan.start_line = StartLine::At((offset + across).rem_euclid(pitch));
            Some("move start line".to_owned())
        }
        Selected::Nothing | Selected::Board(_) | Selected::Flag(_) => None,
    }
}
