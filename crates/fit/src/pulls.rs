//! Where a tape is hooked to pull the end joints of a row: the face that its first end stands off.

use lay::{Board, Floor, Run};
use plan::{Bounds, Boxes, Plan};
use site::{Edge, EdgeKind, Site, Source, Uv};

/// An outline's end lies on its edge within this, mm. Smaller, and rounding parts them; larger, and the other side of a
/// hairline stop is taken.
const ON_EDGE: f64 = 0.5;
/// Beyond a field's end its border and its wall lie no farther than this, mm.
const PAST_BORDER: f64 = 10_000.0;
/// A face that runs this nearly along the row holds no tape, as a sine.
const STEEP: f64 = 0.05;

/// Where the end joints of a run are pulled from: a tape along the middle of the row, hooked on what its first end
/// stands off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RunPull {
    /// Where the tape is hooked, along the rows: the thing's face, so that the gap is counted in. At a movement joint the
    /// edge at which the row ends: its middle is in the air.
    pub face: f64,
    /// Where across the rows the tape lies: the middle of the first board.
    pub across: f64,
    /// What it is hooked on.
    pub source: Source,
    /// What the boards meet there.
    pub kind: EdgeKind,
    /// Whether the row is laid from its right end, boards turned.
    pub from_right: bool,
}

impl RunPull {
    /// From the face to a board's far end, mm: the joint with the next board.
    pub fn joint(&self, board: &Board) -> f64 {
        if self.from_right { self.face - board.left } else { board.right - self.face }
    }

    /// What the tape is hooked on, in words: `Hall, wall 3`, `Study door, jamb`, `joint 2, this side`.
    pub fn words(&self, plan: &Plan) -> String {
        let name = self.source.name(plan);
        match (self.kind, self.source) {
            (EdgeKind::MovementJoint, _) => format!("{name}, this side"),
            (EdgeKind::UnderLeaf, Source::Doorway(_)) => format!("{name}, stop line"),
            (kind, Source::Doorway(_)) => format!("{name}, {}", kind.word()),
            _ => name,
        }
    }
}

/// Where the joints of each run of rows are pulled from, in the order of the floor's runs; `None` for runs of blocks and
/// borders, for one without boards, and where nothing stands square enough to hold a tape.
///
/// The face is that of the edge which the first board's end meets on the middle of the row, the edge's gap away square to
/// it: gap / sine of the angle between edge and row, measured along the row.
pub fn run_pulls(site: &Site, floor: &Floor) -> Vec<Option<RunPull>> {
    let edges: Vec<&Edge> = site.regions.iter().flat_map(|region| region.edges()).collect();
    let filed = Boxes::new(edges.iter().map(|edge| bounds(edge)));
    let meeting = |strip: Bounds, take: &mut dyn FnMut(&Edge)| filed.each(strip, |index| take(edges[index]));
    floor.runs.iter().map(|run| pull_of(site, floor, run, &meeting)).collect()
}

/// The same of one run.
pub fn run_pull(site: &Site, floor: &Floor, run: usize) -> Option<RunPull> {
    let meeting = |strip: Bounds, take: &mut dyn FnMut(&Edge)| {
        let edges = site.regions.iter().flat_map(|region| region.edges());
        edges.filter(|edge| bounds(edge).is_some_and(|own| own.meets(strip))).for_each(take);
    };
    pull_of(site, floor, floor.runs.get(run)?, &meeting)
}

fn bounds(edge: &Edge) -> Option<Bounds> {
    Bounds::of([[edge.a.u, edge.a.v], [edge.b.u, edge.b.v]])
}

/// Gives the edges whose bounds meet some others.
type Meeting<'a> = dyn Fn(Bounds, &mut dyn FnMut(&Edge)) + 'a;

/// The pull of a run; `meeting` gives the edges whose bounds meet some others.
fn pull_of(site: &Site, floor: &Floor, run: &Run, meeting: &Meeting<'_>) -> Option<RunPull> {
    let boards = floor.boards.get(run.boards.clone())?;
    let from_right = boards.first()?.turned;
    let by_end = |a: &&Board, b: &&Board| a.left.total_cmp(&b.left);
    let first = if from_right { boards.iter().max_by(by_end) } else { boards.iter().min_by(by_end) }?;
    if first.in_border || first.is_block() {
        return None;
    }
    let across = middle(&first.outline.outer)?;
    let end = end_at(&first.outline.outer, across, from_right)?;
    let sign = if from_right { 1.0 } else { -1.0 };
    let near = |reach: f64| {
        let ends = [end - sign * ON_EDGE, end + sign * reach];
        let mut found: Option<(f64, Edge)> = None;
        meeting(Bounds::of(ends.map(|u| [u, across]))?, &mut |edge| {
            // The floor lies to the left of an edge: of a left end's edge at greater u.
            let faces = if from_right { edge.b.v > edge.a.v } else { edge.b.v < edge.a.v };
            let off = (crossing(edge.a, edge.b, across) - end) * sign;
            if faces && off >= -ON_EDGE && found.is_none_or(|(best, _)| off < best) {
                found = Some((off, *edge));
            }
        });
        found
    };
    let (off, edge) = near(ON_EDGE).or_else(|| near(PAST_BORDER).filter(|_| site.field.is_some()))?;
    let sine = (edge.b.v - edge.a.v).abs() / edge.length().max(f64::MIN_POSITIVE);
    if sine < STEEP {
        return None;
    }
    let gap = if edge.kind == EdgeKind::MovementJoint { 0.0 } else { edge.gap / sine };
    let face = end + sign * (off + gap);
    Some(RunPull { face, across, source: edge.source, kind: edge.kind, from_right })
}

/// The middle of an outline across the rows.
fn middle(outline: &[Uv]) -> Option<f64> {
    let low = outline.iter().map(|p| p.v).min_by(f64::total_cmp)?;
    let high = outline.iter().map(|p| p.v).max_by(f64::total_cmp)?;
    Some(f64::midpoint(low, high))
}

/// Where an outline begins on the line `v`, or ends.
fn end_at(outline: &[Uv], v: f64, is_right: bool) -> Option<f64> {
    let next = outline.iter().cycle().skip(1);
    let sides = outline.iter().zip(next).filter(|(a, b)| (a.v <= v) != (b.v <= v));
    let crossed = sides.map(|(a, b)| crossing(*a, *b, v));
    if is_right { crossed.max_by(f64::total_cmp) } else { crossed.min_by(f64::total_cmp) }
}

/// Where the line through two points meets `v`; no number where it runs along the rows.
fn crossing(a: Uv, b: Uv, v: f64) -> f64 {
    a.u + (b.u - a.u) * (v - a.v) / (b.v - a.v)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::tests::{corners, two_rooms};
    use plan::{Beyond, Lining, MovementJoint, Point, Room, StartLine};

    fn laid(plan: &Plan) -> (Site, Floor) {
        let site = site::survey(plan);
        let floor = lay::lay(plan, &site, &setout::set_out(plan, &site));
        (site, floor)
    }

    /// Each pull of a floor with the plan's coordinate of its joint.
    fn joints(site: &Site, floor: &Floor) -> Vec<(RunPull, f64, f64)> {
        let pulls = run_pulls(site, floor);
        let of = floor.joints.iter().filter_map(|joint| {
            let board = &floor.boards[joint.left];
            let pull = pulls[board.run]?;
            let near = if pull.from_right { joint.right } else { joint.left };
            Some((pull, pull.joint(&floor.boards[near]), joint.u))
        });
        of.collect()
    }

    #[test]
    fn joints_are_pulled_from_the_wall_gap_included() {
        let mut plan = Plan::new("t");
        plan.rooms.push(Room::boarded("A", corners(500.0, 0.0, 6000.0, 3000.0)));
        plan.start_line = StartLine::At(1500.0);
        let (site, floor) = laid(&plan);
        let found = joints(&site, &floor);
        assert!(found.len() > 20 && found.len() == floor.joints.len());
        let one_by_one: Vec<_> = (0..floor.runs.len()).map(|run| run_pull(&site, &floor, run)).collect();
        assert_eq!(run_pulls(&site, &floor), one_by_one);
        for (pull, distance, u) in found {
            // By hand: the room's faces stand at x = 500 and 6500; boards below the line are turned and begin at the right.
            let expected = if pull.from_right { 6500.0 - u } else { u - 500.0 };
            assert!((distance - expected).abs() < 1e-6, "{distance} for {expected}");
            let wall = if pull.from_right { "A, wall 2" } else { "A, wall 4" };
            assert_eq!(pull.words(&plan), wall);
        }
    }

    #[test]
    fn a_wall_out_of_square_is_met_on_the_middle_of_the_row() {
        let mut plan = Plan::new("t");
        let points = [(0.0, 0.0), (5000.0, 0.0), (5000.0, 3000.0), (600.0, 3000.0)];
        plan.rooms.push(Room::boarded("A", points.map(Point::from)));
        plan.start_line = StartLine::At(10.0);
        let (site, floor) = laid(&plan);
        let found = joints(&site, &floor);
        assert!(!found.is_empty());
        for (pull, distance, u) in found.iter().filter(|(pull, ..)| !pull.from_right) {
            // The left wall leans 600 over 3000: at height v its face stands at v / 5, by similar triangles.
            assert!((distance - (u - pull.across / 5.0)).abs() < 1e-6, "{distance} at {u}");
        }
    }

    #[test]
    fn stops_joints_and_fixtures_are_named_for_what_the_tape_is_hooked_on() {
        let mut plan = two_rooms(Lining::ToCome);
        plan.doorways[0].beyond = Beyond::UnderLeaf;
        plan.rows_at = 90.0;
        let (site, floor) = laid(&plan);
        let words: Vec<String> =
            run_pulls(&site, &floor).into_iter().flatten().map(|pull| pull.words(&plan)).collect();
        assert!(words.iter().any(|words| words == "Door, stop line"), "{words:?}");
        // A joint across the rows: hooked on the boards' edge, so nothing is added for its half width of 5.
        let mut plan = Plan::new("t");
        plan.rooms.push(Room::boarded("A", corners(0.0, 0.0, 9000.0, 3000.0)));
        plan.start_line = StartLine::At(10.0);
        plan.joints.push(MovementJoint::new((4000.0, 0.0).into(), (4000.0, 3000.0).into()));
        let (site, floor) = laid(&plan);
        let half = plan.joints[0].width / 2.0;
        let past: Vec<_> = run_pulls(&site, &floor)
            .into_iter()
            .flatten()
            .filter(|p| p.kind == EdgeKind::MovementJoint)
            .collect();
        assert!(!past.is_empty());
        for pull in past {
            let end = if pull.from_right { 4000.0 - half } else { 4000.0 + half };
            assert!((pull.face - end).abs() < 1e-6, "{pull:?}");
            assert!(pull.words(&plan).ends_with(", this side"), "{}", pull.words(&plan));
        }
    }

    #[test]
    fn past_a_border_the_tape_still_begins_at_the_wall() {
        let mut plan = Plan::new("t");
        plan.rooms.push(Room::boarded("A", corners(0.0, 0.0, 6000.0, 4000.0)));
        plan.border = Some(plan::Border { boards: 2, corners: plan::Corners::Butted });
        let (site, floor) = laid(&plan);
        let found = joints(&site, &floor);
        assert!(!found.is_empty());
        for (pull, distance, u) in found {
            let expected = if pull.from_right { 6000.0 - u } else { u };
            assert!((distance - expected).abs() < 1e-6, "{distance} for {expected}");
        }
    }
}
