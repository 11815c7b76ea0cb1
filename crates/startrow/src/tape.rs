//! Rooms as their tape has them, and their corners set by it.

use crate::load;
use anyhow::{Context, bail};
use plan::Plan;
use std::path::{Path, PathBuf};

/// Prints the adjustment of every taped room, or of one; with `save` its corners are set by the tape first.
pub(crate) fn run(
    path: &Path,
    room: Option<String>,
    hold: usize,
    save: Option<PathBuf>,
    json: Option<PathBuf>,
) -> anyhow::Result<String> {
    let mut plan = load::plan(path)?;
    let rooms = chosen(&plan, room.as_deref())?;
    let hold = hold.saturating_sub(1);
    if let Some(short) = rooms.iter().map(|room| &plan.rooms[*room]).find(|room| hold >= room.walls.len()) {
        bail!("{} has no wall {}; hold one of its {}", short.name, hold + 1, short.walls.len());
    }
    let mut text = String::new();
    for room in &rooms {
        text += &taping::room_words(&plan, *room, &taping::room_tape(&plan, *room, hold));
        text += "\n";
    }
    if let Some(to) = json {
        load::write(&to, &crate::json_text(&load::computed(&plan)?.tape_document(hold))?)?;
        return Ok(String::new());
    }
    let Some(to) = save else { return Ok(text) };
    for room in &rooms {
        taping::set_corners(&mut plan, *room, hold, false)?;
    }
    load::save(&to, &plan::write(&plan))?;
    if to == Path::new("-") {
        return Ok(String::new());
    }
    Ok(format!("{text}{}\n", to.display()))
}

fn chosen(plan: &Plan, room: Option<&str>) -> anyhow::Result<Vec<usize>> {
    if let Some(name) = room {
        let room = plan.room_index(name).with_context(|| load::no_room(plan, name, |_| true))?;
        return Ok(vec![room]);
    }
    let taped: Vec<usize> = (0..plan.rooms.len()).filter(|i| !plan.rooms[*i].tape.is_empty()).collect();
    if taped.is_empty() {
        bail!(
            "nothing is taped in this plan; give a room a `tape`, or type lengths and diagonals on the desk"
        );
    }
    Ok(taped)
}
