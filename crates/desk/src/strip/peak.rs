//! What speaks against another line though its narrowest rip is wider, and the highest peak of the curve, of which one asks.

use pipeline::House;
use plan::{Plan, StartLine};
use setout::{Candidate, CurvePoint, SetOut};

/// A peak no higher than this over the lines that are marked needs no words, mm.
const HIGHER: f64 = 1.0;
/// A peak this near to a line that is marked is that line, mm.
const SAME: f64 = 0.05;
/// At a step the line is valued so far beside it, on the side of the peak, mm.
const BESIDE: f64 = 0.01;

/// A peak of the curve, and the line there.
pub(crate) struct Peak {
    pub(super) at: CurvePoint,
    line: Candidate,
}

impl Peak {
    /// The highest of a set-out, where that is higher than what is marked.
    pub(crate) fn of(house: &House) -> Option<Self> {
        let (at, offset) = highest(&house.setout)?;
        let plan = Plan { start_line: StartLine::At(offset), ..house.plan.clone() };
        let line = setout::set_out(&plan, &house.surveyed).chosen;
        (line.narrowest > house.setout.best.narrowest + SAME).then_some(Self { at, line })
    }

    /// How high it is, and what speaks against a line there.
    pub(super) fn words(&self, plan: &Plan, set: &SetOut, rip: &dyn Fn(f64) -> String) -> String {
        format!("peak {}{}", rip(self.at.rip), drawback(plan, set, &self.line, rip))
    }
}

/// The highest point of the curve, and the offset just beside it at which the narrowest rip is that high; nothing where a line
/// that is marked is as high.
fn highest(set: &SetOut) -> Option<(CurvePoint, f64)> {
    // No other line is to be had where boards lie from it.
    if set.line_lies() {
        return None;
    }
    let (index, at) = set.curve.iter().enumerate().reduce(|a, b| if b.1.rip > a.1.rip { b } else { a })?;
    let marked = [Some(&set.chosen), Some(&set.best), set.runner_up.as_ref()];
    let is_marked =
        |line: &&Candidate| line.narrowest > at.rip - HIGHER || (line.offset - at.offset).abs() < SAME;
    if marked.into_iter().flatten().any(|line| is_marked(&line)) {
        return None;
    }
    // The curve's end is its beginning.
    let is_here = |p: &CurvePoint| p.offset == at.offset || at.offset == 0.0 && p.offset == set.pitch;
    let is_step = |other: Option<&CurvePoint>| other.is_some_and(|p| is_here(p) && p.rip < at.rip);
    let before = if index == 0 { set.curve.len().checked_sub(2) } else { Some(index - 1) };
    let before = before.and_then(|i| set.curve.get(i));
    let by = match (is_step(before), is_step(set.curve.get(index + 1))) {
        // Beside a line that is good alone there is nothing as high.
        (true, true) => 0.0,
        (true, false) => BESIDE,
        (false, true) => -BESIDE,
        (false, false) => 0.0,
    };
    Some((*at, (at.offset + by).rem_euclid(set.pitch)))
}

/// Why another line is not the best although its narrowest rip is wider; nothing where it is not wider.
pub(super) fn drawback(plan: &Plan, set: &SetOut, other: &Candidate, rip: &dyn Fn(f64) -> String) -> String {
    let best = &set.best;
    if other.narrowest < best.narrowest + SAME {
        return String::new();
    }
    // Lines are compared as they may be snapped.
    let out = setout::line_out(plan);
    let (mine, theirs) = (best.value.bands(), other.value.bands());
    let part = mine.iter().zip(theirs).position(|(mine, theirs)| *mine < theirs);
    match part {
        Some(0) => {
            let more = (other.short_length - best.short_length).round();
            let drawn = (set.short_as_drawn(other) - set.short_as_drawn(best)).round();
            match (more >= 1.0, drawn >= 1.0) {
                (true, true) => format!(", but {} more of edge under the least", rip(drawn)),
                (true, false) => format!(", but {} more of edge under the least with the {out}", rip(more)),
                _ => ", but more under the least where it is seen".to_owned(),
            }
        }
        Some(1) if other.value.narrowest < other.narrowest - SAME => {
            format!(", but only {} in view with the {out}", rip(other.value.narrowest))
        }
        Some(1) => format!(", but {} where it is seen", rip(other.value.narrowest)),
        Some(2) => ", but its taper shows more".to_owned(),
        Some(3) => ", but facing walls differ more".to_owned(),
        Some(_) => format!(", but {} of edge to rip", rip(other.value.ripped.round())),
        None => ", no wider to the eye".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    /// By hand: the best line of the sample lies 2 from where the first row under the door's leaf, 800 wide, is full. At the peak,
    /// which is that place, both walls keep more; with the line out there is a sliver under the leaf.
    #[test]
    fn a_peak_on_a_cliff_is_told_as_one() {
        let plan = plan::read(include_str!("../../../../sample-plans/one-room.ron")).unwrap();
        let house = pipeline::run(&plan).unwrap();
        let words = Peak::of(&house).unwrap().words(&plan, &house.setout, &|mm| format!("{mm:.0}"));
        assert_eq!(words, "peak 160, but 800 more of edge under the least with the line 2 out");
        // Where the peak itself is in use nothing is asked.
        let plan = Plan { start_line: StartLine::At(170.0), ..plan };
        assert!(Peak::of(&pipeline::run(&plan).unwrap()).is_none());
    }

    /// By hand: boards of 190 and gaps of 10 that do not give. Twelve lie whole between the walls on one line, at 10 or at 0, and a
    /// hair beside it either wall has a sliver of its own; the best line leaves half a board at both.
    #[test]
    fn a_line_that_is_good_alone_is_told_as_it_is() {
        for low in [0.0, -10.0] {
            let mut plan = Plan::new("Room");
            plan.rules.wall_gap = plan::GapRange { least: 10.0, greatest: 10.0 };
            let corners = [(0.0, low), (4000.0, low), (4000.0, low + 2300.0), (0.0, low + 2300.0)];
            plan.rooms.push(plan::Room::boarded("Room", corners.map(plan::Point::from)));
            let house = pipeline::run(&plan).unwrap();
            assert_eq!((house.setout.best.narrowest, house.setout.best.offset), (95.0, low + 105.0));
            let peak = Peak::of(&house).unwrap();
            assert_eq!((peak.at.offset, peak.at.rip, peak.line.narrowest), (low + 10.0, 190.0, 190.0));
            let words = peak.words(&plan, &house.setout, &|mm| format!("{mm:.0}"));
            assert_eq!(words, "peak 190, but 7960 more of edge under the least with the line 2 out");
        }
    }

    /// Of every sample: the line valued for the peak leaves what the curve shows there, more than the lines that are marked, and
    /// is worth less than the best one in the first part in which they differ.
    #[test]
    fn the_highest_peak_is_higher_and_worth_less() {
        let samples = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../sample-plans");
        let mut all: Vec<_> =
            std::fs::read_dir(samples).unwrap().map(|entry| entry.unwrap().path()).collect();
        all.sort();
        let mut told = 0;
        for path in all.into_iter().filter(|path| path.extension().is_some_and(|ext| ext == "ron")) {
            let plan = plan::read(&std::fs::read_to_string(&path).unwrap()).unwrap();
            let house = pipeline::run(&Plan { effort: 0, ..plan }).unwrap();
            let set = &house.setout;
            let Some(peak) = Peak::of(&house) else { continue };
            told += 1;
            let line = &peak.line;
            assert!(
                (line.narrowest - peak.at.rip).abs() < 0.1,
                "{}: {} {}",
                path.display(),
                line.narrowest,
                peak.at.rip
            );
            assert!(set.curve.iter().all(|point| point.rip <= peak.at.rip));
            assert!(line.narrowest > set.best.narrowest && set.best.value.bands() < line.value.bands());
            let words = peak.words(&house.plan, set, &|mm| format!("{mm:.0}"));
            assert!(words.starts_with("peak ") && words.contains(", but "), "{words}");
        }
        assert!(told > 0);
    }
}
