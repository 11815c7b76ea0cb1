//! Where a room, or a stretch that is begun anew, begins with a rip: how wide, and which long edge stays.

use crate::sequence::{LaidRun, Start};
use lay::{Board, Floor, KeptEdge};
use plan::{Places, Plan, format_length};
use site::Frame;
use std::collections::BTreeSet;

/// An edge that less than this is off is not sawn, mm: boards no more than that wider than their place are laid as they are sold.
const WHOLE: f64 = 0.1;

/// Rips with which a room, or a stretch past a wall or fixture, is begun.
#[derive(Debug, Clone, PartialEq)]
pub struct BeginningRip {
    /// The room that begins with them; `None` where a room goes on with a stretch of its own.
    pub room: Option<String>,
    /// The boards, as they go in.
    pub boards: Vec<usize>,
    /// Least width kept, mm.
    pub least: f64,
    /// Greatest width kept, mm.
    pub greatest: f64,
    /// The long edge that stays; `None` where both are sawn off.
    pub keeps: Option<KeptEdge>,
    /// Whether other boards lie beside them in the same row.
    pub is_part: bool,
}

/// Says of every step with which rips a room or a stretch begins in it.
///
/// A room is begun by the first board whose middle lies in it. Its first row is told wherever it comes from; a row begun
/// against a line is told in any room, since nothing laid before says how wide it is.
pub(crate) fn tell(plan: &Plan, places: &Places<'_>, frame: Frame, floor: &Floor, steps: &mut [LaidRun]) {
    let rooms: BTreeSet<&str> = plan.rooms.iter().map(|room| room.name.as_str()).collect();
    let mut begun: BTreeSet<&str> = BTreeSet::new();
    for step in steps {
        // The room of each board that is begun with it, or in a stretch begun anew.
        let mut first: Vec<(Option<&str>, usize)> = Vec::new();
        let mut here: BTreeSet<&str> = BTreeSet::new();
        for index in &step.boards {
            let Some(board) = floor.boards.get(*index).filter(|board| !board.in_border && !board.is_block())
            else {
                continue;
            };
            let place = places.place_at(frame.plan_from_row(board.middle()));
            let room = place.filter(|place| rooms.contains(place));
            here.extend(room);
            let is_new = room.is_some_and(|room| !begun.contains(room));
            if is_new || matches!(step.start, Start::OnLine | Start::Anew) {
                first.push((room.filter(|_| is_new), *index));
            }
        }
        begun.extend(here);
        if step.start != Start::Lies {
            step.begins_with = rips(floor, &first);
            let all = step.boards.len();
            step.begins_with.iter_mut().for_each(|rip| rip.is_part = rip.boards.len() < all);
        }
    }
}

/// The rips among boards, those of one room that keep the same edge together.
fn rips(floor: &Floor, first: &[(Option<&str>, usize)]) -> Vec<BeginningRip> {
    let mut all: Vec<BeginningRip> = Vec::new();
    for (room, index) in first {
        let Some(([least, greatest], keeps)) = rip(&floor.boards[*index], floor.pitch) else { continue };
        let is_it = |rip: &&mut BeginningRip| rip.room.as_deref() == *room && rip.keeps == keeps;
        match all.iter_mut().find(is_it) {
            Some(rip) => {
                (rip.least, rip.greatest) = (rip.least.min(least), rip.greatest.max(greatest));
                rip.boards.push(*index);
            }
            None => {
                let (room, boards) = (room.map(str::to_owned), vec![*index]);
                all.push(BeginningRip { room, boards, least, greatest, keeps, is_part: true });
            }
        }
    }
    all
}

/// Least and greatest width kept of a rip, and the long edge that stays; `None` where a board reaches over its whole row somewhere.
fn rip(board: &Board, pitch: f64) -> Option<([f64; 2], Option<KeptEdge>)> {
    if let Some(taper) = board.taper(pitch) {
        let widths = || taper.marks.iter().map(|mark| mark.width);
        let (least, greatest) =
            (widths().fold(f64::INFINITY, f64::min), widths().fold(f64::NEG_INFINITY, f64::max));
        return Some(([least, greatest], Some(taper.keeps)));
    }
    let ring = board.own_rings(pitch).next()?;
    let across = || ring.iter().map(|p| p.1);
    let (low, high) = (across().fold(f64::INFINITY, f64::min), across().fold(f64::NEG_INFINITY, f64::max));
    let keeps = match (low > WHOLE, pitch - high > WHOLE) {
        (false, false) => return None,
        (true, false) => Some(KeptEdge::Tongue),
        (false, true) => Some(KeptEdge::Groove),
        (true, true) => None,
    };
    Some(([high - low; 2], keeps))
}

impl BeginningRip {
    /// What to saw before it is laid: `Study begins with a rip: keep 74 and the tongue, groove side off`.
    pub fn words(&self, plan: &Plan, floor: &Floor) -> String {
        // The fence is set to a tenth.
        let setting = |mm: f64| format_length((mm * 10.0).round() / 10.0, plan.units);
        let between = |least: f64, greatest: f64| match (setting(least), setting(greatest)) {
            (least, greatest) if least == greatest => least,
            (least, greatest) => format!("{least} to {greatest}"),
        };
        let kept = between(self.least, self.greatest);
        let saw = match self.keeps {
            Some(KeptEdge::Tongue) => format!("keep {kept} and the tongue, groove side off"),
            Some(KeptEdge::Groove) => format!("keep {kept} and the groove, tongue side off"),
            None => format!("keep {kept}, both long sides off"),
        };
        let what = match &self.room {
            Some(room) => format!("{room} begins"),
            None => "begins".to_owned(),
        };
        let at = if self.is_part { format!(" at {}", self.labels(floor)) } else { String::new() };
        format!("{what} with a rip{at}: {saw}")
    }

    /// The boards by their labels, neighbours from one to the other: `34-1 to 34-3 and 34-6`.
    fn labels(&self, floor: &Floor) -> String {
        let label = |board: &usize| floor.boards.get(*board).map_or("", |board| board.label.as_str());
        let mut runs: Vec<String> = Vec::new();
        for run in self.boards.chunk_by(|a, b| a.abs_diff(*b) == 1) {
            match run {
                [first, _, .., last] => runs.push(format!("{} to {}", label(first), label(last))),
                _ => runs.extend(run.iter().map(|board| label(board).to_owned())),
            }
        }
        let last = runs.pop().unwrap_or_default();
        if runs.is_empty() { last } else { format!("{} and {last}", runs.join(", ")) }
    }
}
