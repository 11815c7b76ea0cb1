//! Long boards where eyes fall: what a short board costs by how much its place is seen.

use crate::ground::Ground;
use crate::slice::{extent, rise};
use plan::{Bounds, Boxes, Plan, Sight};
use site::{Frame, Uv};

/// What a board of no length would cost in an open room, mm of board; a longer one costs its part of it, by how
/// much it is shorter than the longest. Less than what a look costs, and than opening a board. Ours, no source.
pub(crate) const WISH: f64 = 600.0;
/// Parts of that in rooms seen in passing and in closed ones. Ours, no source.
const PASSING: f64 = 0.5;
const CLOSED: f64 = 0.0;

/// A stretch of a run in a room that is seen less than an open one, mm along the rows, and how much it is seen.
pub(crate) type Stretch = (f64, f64, f64);

/// Where the runs of a ground lie in rooms that are seen less. A house of open rooms has none, and asks nothing.
#[derive(Debug)]
pub(crate) struct Seen {
    /// Of each run, sorted; no lists at all where every room is open.
    of_run: Vec<Vec<Stretch>>,
    longest: f64,
}

impl Seen {
    pub(crate) fn new(ground: &Ground, plan: &Plan) -> Self {
        let mut seen = Self { of_run: Vec::new(), longest: plan.stock.longest().max(1.0) };
        if plan.rooms.iter().all(|room| room.sight == Sight::Open || !room.is_boarded()) {
            return seen;
        }
        let frame = Frame::new(plan.rows_at);
        let bounds = ground.lies.iter().map(|lie| {
            let ((left, right), (low, high)) = (extent(&lie.outline.outer), rise(&lie.outline.outer));
            Some(Bounds { low: [left, low], high: [right, high] })
        });
        let boxes = Boxes::new(bounds);
        seen.of_run = vec![Vec::new(); ground.lies.len()];
        for room in plan.rooms.iter().filter(|room| room.is_boarded()) {
            let part = match room.sight {
                Sight::Open => continue,
                Sight::Passing => PASSING,
                Sight::Closed => CLOSED,
            };
            let outline: Vec<Uv> = room.outline().iter().map(|(p, _)| frame.row_from_plan(*p)).collect();
            let Some(around) = Bounds::of(outline.iter().map(|p| [p.u, p.v])) else { continue };
            for run in boxes.meeting(around) {
                let (low, high) = rise(&ground.lies[run].outline.outer);
                let crossed = chords(&outline, f64::midpoint(low, high));
                seen.of_run[run].extend(crossed.into_iter().map(|(from, to)| (from, to, part)));
            }
        }
        seen.of_run.iter_mut().for_each(|list| list.sort_by(|a, b| a.0.total_cmp(&b.0)));
        seen
    }

    /// Whether any room is seen less than another.
    pub(crate) fn asks(&self) -> bool {
        !self.of_run.is_empty()
    }

    /// Where a run is seen less, and how much.
    pub(crate) fn of(&self, run: usize) -> &[Stretch] {
        self.of_run.get(run).map_or(&[], Vec::as_slice)
    }

    /// How short a board of this length is with its middle at `u` in a run, by how much it is seen: 1 for one of no length
    /// in an open room.
    pub(crate) fn short(&self, run: usize, u: f64, length: f64) -> f64 {
        let Some(list) = self.of_run.get(run) else { return 0.0 };
        let inside = list.iter().find(|(from, to, _)| *from <= u && u <= *to);
        let part = inside.map_or(1.0, |(_, _, part)| *part);
        part * (1.0 - length / self.longest).max(0.0)
    }
}

/// Stretches of the line at `v` inside an outline.
fn chords(outline: &[Uv], v: f64) -> Vec<(f64, f64)> {
    let sides = outline.iter().zip(outline.iter().cycle().skip(1));
    let crossed = sides.filter(|(a, b)| (a.v <= v) != (b.v <= v));
    let mut us: Vec<f64> = crossed.map(|(a, b)| a.u + (b.u - a.u) * (v - a.v) / (b.v - a.v)).collect();
    us.sort_by(f64::total_cmp);
    us.chunks_exact(2).map(|pair| (pair[0], pair[1])).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A trapezium from (0, 0) to (900, 0), its left side leaning to (100, 200) and its right one to (600, 200), with a
    /// slot cut down from above between 300 and 400 as deep as 100.
    #[test]
    fn chords_of_an_outline_are_worked_out_by_hand() {
        let corners = [
            (0.0, 0.0),
            (900.0, 0.0),
            (600.0, 200.0),
            (400.0, 200.0),
            (400.0, 100.0),
            (300.0, 100.0),
            (300.0, 200.0),
            (100.0, 200.0),
        ];
        let outline = corners.map(|(u, v)| Uv::new(u, v));
        // A quarter up the left side stands at 25, the right one at 825; three quarters up at 75 and 675.
        assert_eq!(chords(&outline, 50.0), [(25.0, 825.0)]);
        assert_eq!(chords(&outline, 150.0), [(75.0, 300.0), (400.0, 675.0)]);
        assert_eq!(chords(&outline, 250.0), []);
    }
}
