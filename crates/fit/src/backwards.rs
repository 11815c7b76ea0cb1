//! Rooms that rows enter against the way they are laid: which are laid back from a doorway, and which could be.

use crate::graph::Graph;
use lay::{Entered, Floor, RunPlace, entered};
use plan::{Places, Plan};
use site::{Frame, Uv};
use std::collections::BTreeMap;

/// The runs that are laid back, by the doorway from which they are.
pub(crate) fn laid_back(
    plan: &Plan,
    places: &Places<'_>,
    frame: Frame,
    floor: &Floor,
) -> BTreeMap<usize, Vec<usize>> {
    let mut found: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    // As they would hang together were they all laid away from the start line.
    for room in all(plan, places, frame, floor, &Graph::away(floor)) {
        let back = room.runs.into_iter().filter(|run| floor.runs[*run].backwards);
        found.entry(room.doorway).or_default().extend(back);
    }
    found.retain(|_, runs| !runs.is_empty());
    found
}

/// Rooms that are begun anew today and could be laid back from a doorway instead.
pub(crate) fn offers(
    plan: &Plan,
    places: &Places<'_>,
    frame: Frame,
    floor: &Floor,
    graph: &Graph,
) -> Vec<Entered> {
    all(plan, places, frame, floor, graph)
}

fn all(plan: &Plan, places: &Places<'_>, frame: Frame, floor: &Floor, graph: &Graph) -> Vec<Entered> {
    let place = |run: &usize| {
        let boards = floor.boards.get(floor.runs[*run].boards.clone()).unwrap_or_default();
        let all = || boards.iter().flat_map(|board| &board.outline.outer);
        let least = |pick: fn(&Uv) -> f64| all().map(pick).fold(f64::INFINITY, f64::min);
        let greatest = |pick: fn(&Uv) -> f64| all().map(pick).fold(f64::NEG_INFINITY, f64::max);
        RunPlace {
            run: *run,
            row: floor.runs[*run].row,
            least: Uv::new(least(|p| p.u), least(|p| p.v)),
            greatest: Uv::new(greatest(|p| p.u), greatest(|p| p.v)),
        }
    };
    let runs: Vec<RunPlace> = graph.runs.iter().map(place).collect();
    entered(plan, places, frame, &runs, (&graph.before, &graph.after))
}
