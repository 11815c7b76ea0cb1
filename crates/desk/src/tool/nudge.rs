//! Moves what is selected by small steps, for the arrow keys.

use crate::select::Selected;
use plan::edit;
use plan::{Plan, Point, Problem, StartLine};

/// So near to a corner the arrow keys move a break, mm.
const NEAR_CORNER: f64 = 5.0;

/// Moves the selection by `by` mm; the step's name, or `None` where there is nothing that moves.
///
/// # Errors
/// Why it cannot be moved.
pub(crate) fn nudge(
    plan: &mut Plan,
    selected: Selected,
    by: Point,
    line_now: Option<f64>,
) -> Result<Option<String>, Problem> {
    let named =
        |plan: &Plan, room: usize| plan.rooms.get(room).map_or(String::new(), |room| room.name.clone());
    Ok(match selected {
        Selected::Corner(room, wall) => {
            let Some(corner) = plan.rooms.get(room).and_then(|room| room.walls.get(wall)).map(|w| w.corner)
            else {
                return Ok(None);
            };
            edit::move_corner(plan, room, wall, corner.moved(by.x, by.y))?;
            Some(format!("move corner, {}", named(plan, room)))
        }
        Selected::Wall(room, wall) => {
            let Some((along, away)) = plan.rooms.get(room).and_then(|room| room.wall_axes(wall)) else {
                return Ok(None);
            };
            // A break slides along its wall; one that has come to a corner stays there.
            if let Some(found) = edit::skirting_break(&plan.rooms[room], wall)
                && let [Some(_), Some(_)] = found.beside
            {
                let by = by.x * along.x + by.y * along.y;
                let most = found.length - found.width;
                // Not onto a corner: the wall's number would be another.
                let from = (found.from + by).clamp(NEAR_CORNER.min(most), (most - NEAR_CORNER).max(0.0));
                edit::move_break(plan, room, wall, from, found.width)?;
                return Ok(Some("move skirting break".to_owned()));
            }
            edit::move_wall(plan, room, wall, by.x * away.x + by.y * away.y)?;
            Some(format!("move wall, {}", named(plan, room)))
        }
        Selected::Line => {
            let pitch = plan.stock.pitch();
            let offset = match plan.start_line {
                StartLine::At(offset) => Some(offset),
                StartLine::Best | StartLine::Safest => line_now,
            };
            let Some(offset) = offset else { return Ok(None) };
            let radians = plan.rows_at.to_radians();
            let across = by.y * radians.cos() - by.x * radians.sin();
            plan.start_line = StartLine::At((offset + across).rem_euclid(pitch));
            Some("move start line".to_owned())
        }
        Selected::Room(_)
        | Selected::Doorway(_)
        | Selected::Fixture(_)
        | Selected::Joint(_)
        | Selected::Dimension(_)
        | Selected::Nothing
        | Selected::Board(_)
        | Selected::Flag(_) => None,
    })
}
