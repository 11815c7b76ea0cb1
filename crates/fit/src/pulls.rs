//! Where a tape is hooked to pull the end joints of a row.

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

/// Where an end joint is pulled from: a tape along the middle of the row, hooked on what bounds the floor there. That is
/// what the row's first end stands off, as long as nothing stands between: past a doorway too narrow for the middle of
/// the row it is the wall behind the tape's hand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct JointPull {
    /// Where the tape is hooked, along the rows: the thing's face, so that the gap is counted in. At a movement joint the
    /// edge at which the boards end: its middle is in the air.
    pub face: f64,
    /// Where across the rows the tape lies: the middle of the row's first board, or of the one before the joint where that
    /// does not reach so far.
    pub across: f64,
    /// What it is hooked on.
    pub source: Source,
    /// What the boards meet there.
    pub kind: EdgeKind,
    /// Whether the row is laid from its right end, boards turned.
    pub from_right: bool,
}

impl JointPull {
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

/// Where the far joint of each board is pulled from, in the order of the floor's boards; `None` for the last board of a run, for
/// blocks and borders, and where nothing stands square enough to hold a tape.
///
/// The face is that of the nearest edge behind the joint on the tape's line, the edge's gap away square to it: gap / sine of
/// the angle between edge and row, measured along the row.
pub fn joint_pulls(site: &Site, floor: &Floor) -> Vec<Option<JointPull>> {
    let edges: Vec<&Edge> = site.regions.iter().flat_map(|region| region.edges()).collect();
    let filed = Boxes::new(edges.iter().map(|edge| bounds(edge)));
    let meeting = |strip: Bounds, take: &mut dyn FnMut(&Edge)| filed.each(strip, |index| take(edges[index]));
    let rows: Vec<Option<Row>> = floor.runs.iter().map(|run| Row::of(floor, run)).collect();
    let of = |board: &Board| pull_of(site, rows.get(board.run)?.as_ref()?, board, &meeting);
    floor.boards.iter().map(of).collect()
}

/// The same of one board.
pub fn joint_pull(site: &Site, floor: &Floor, board: usize) -> Option<JointPull> {
    let board = floor.boards.get(board)?;
    pull_of(site, &Row::of(floor, floor.runs.get(board.run)?)?, board, &one_by_one(site))
}

/// Boards, by their index and in the order in which they lie, parted by what their far joints are pulled from; those without a
/// pull are left out.
pub fn hooks<'b>(boards: &'b [usize], pulls: &[Option<JointPull>]) -> Vec<(JointPull, &'b [usize])> {
    let of = |board: &usize| pulls.get(*board).copied().flatten();
    let is_one = |a: &usize, b: &usize| match (of(a), of(b)) {
        (Some(a), Some(b)) => a == b,
        (a, b) => a.is_none() && b.is_none(),
    };
    boards.chunk_by(is_one).filter_map(|part| Some((part.first().and_then(of)?, part))).collect()
}

/// What the first end of a run stands off, with the distance between them along the row, mm.
pub fn first_end(site: &Site, floor: &Floor, run: usize) -> Option<(f64, JointPull)> {
    let row = Row::of(floor, floor.runs.get(run)?)?;
    let pull = hooked(site, &row, row.across, row.end, &one_by_one(site))?;
    Some(((pull.face - row.end).abs(), pull))
}

fn bounds(edge: &Edge) -> Option<Bounds> {
    Bounds::of([[edge.a.u, edge.a.v], [edge.b.u, edge.b.v]])
}

/// Gives the edges whose bounds meet some others.
type Meeting<'a> = dyn Fn(Bounds, &mut dyn FnMut(&Edge)) + 'a;

/// Goes through all edges: for one question, where an index is not worth its making.
fn one_by_one(site: &Site) -> impl Fn(Bounds, &mut dyn FnMut(&Edge)) + '_ {
    |strip, take| {
        let edges = site.regions.iter().flat_map(|region| region.edges());
        edges.filter(|edge| bounds(edge).is_some_and(|own| own.meets(strip))).for_each(take);
    }
}

/// A run as a tape lies along it.
struct Row {
    /// The middle of its first board, across the rows.
    across: f64,
    /// Where that begins there.
    end: f64,
    from_right: bool,
}

impl Row {
    /// `None` for blocks and borders, and for a run without boards.
    fn of(floor: &Floor, run: &Run) -> Option<Self> {
        let boards = floor.boards.get(run.boards.clone())?;
        let from_right = boards.first()?.turned;
        let by_end = |a: &&Board, b: &&Board| a.left.total_cmp(&b.left);
        let first = if from_right { boards.iter().max_by(by_end) } else { boards.iter().min_by(by_end) }?;
        if first.in_border || first.is_block() {
            return None;
        }
        let across = middle(&first.outline.outer)?;
        Some(Self { across, end: end_at(&first.outline.outer, across, from_right)?, from_right })
    }
}

/// The pull of a board's far joint in its row.
fn pull_of(site: &Site, row: &Row, board: &Board, meeting: &Meeting<'_>) -> Option<JointPull> {
    if board.ends_run {
        return None;
    }
    let outline = &board.outline.outer;
    let holds = |v: f64| end_at(outline, v, !row.from_right).is_some();
    let across = if holds(row.across) { row.across } else { middle(outline)? };
    let joint = if row.from_right { board.left } else { board.right };
    hooked(site, row, across, joint, meeting)
}

/// The nearest edge behind a place on a row, as a tape along `across` is hooked on it.
fn hooked(site: &Site, row: &Row, across: f64, place: f64, meeting: &Meeting<'_>) -> Option<JointPull> {
    let sign = if row.from_right { 1.0 } else { -1.0 };
    // Behind a border's field the wall stands farther off than the row reaches.
    let beyond = if site.field.is_some() { PAST_BORDER } else { ON_EDGE };
    let ends = [place - sign * ON_EDGE, row.end + sign * beyond];
    let mut found: Option<(f64, Edge)> = None;
    meeting(Bounds::of(ends.map(|u| [u, across]))?, &mut |edge| {
        // The floor lies to the left of an edge: of a left end's edge at greater u.
        let faces = if row.from_right { edge.b.v > edge.a.v } else { edge.b.v < edge.a.v };
        let at = crossing(edge.a, edge.b, across);
        let is_behind = (at - place) * sign >= -ON_EDGE;
        if faces && is_behind && found.is_none_or(|(best, _)| (at - best) * sign < 0.0) {
            found = Some((at, *edge));
        }
    });
    let (at, edge) = found?;
    let sine = (edge.b.v - edge.a.v).abs() / edge.length().max(f64::MIN_POSITIVE);
    if sine < STEEP {
        return None;
    }
    let gap = if edge.kind == EdgeKind::MovementJoint { 0.0 } else { edge.gap / sine };
    Some(JointPull {
        face: at + sign * gap,
        across,
        source: edge.source,
        kind: edge.kind,
        from_right: row.from_right,
    })
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
    fn joints(site: &Site, floor: &Floor) -> Vec<(JointPull, f64, f64)> {
        let pulls = joint_pulls(site, floor);
        let of = floor.joints.iter().filter_map(|joint| {
            // Of its two boards the one that is laid first has its far end here.
            let near = if floor.boards[joint.left].turned { joint.right } else { joint.left };
            let pull = pulls[near]?;
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
        let one_by_one: Vec<_> =
            (0..floor.boards.len()).map(|board| joint_pull(&site, &floor, board)).collect();
        assert_eq!(joint_pulls(&site, &floor), one_by_one);
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

    /// Two rooms side by side, a wall from x = 4000 to 4100 with an opening from y = 1000 to 1800. Lines at 90 + 190 k: the row
    /// from 850 to 1040 goes through with its upper 30, so that a tape on its middle at 945 meets the wall; the next goes free.
    #[test]
    fn past_a_doorway_that_the_middle_misses_the_tape_is_hooked_behind_the_wall() {
        let mut plan = Plan::new("t");
        plan.rooms.push(Room::boarded("A", corners(0.0, 0.0, 4000.0, 3000.0)));
        plan.rooms.push(Room::boarded("B", corners(4100.0, 0.0, 3900.0, 3000.0)));
        plan.doorways.push(plan::Doorway::plain("Opening", "A", 1, 1000.0, 800.0));
        plan.start_line = StartLine::At(90.0);
        let (site, floor) = laid(&plan);
        let pulls = joint_pulls(&site, &floor);
        let mut seen = [0; 3];
        for (board, pull) in floor.boards.iter().zip(&pulls) {
            let Some(pull) = pull else { continue };
            let missed = match (pull.across - 945.0).abs() < 1e-6 {
                true => true,
                false if (pull.across - 1135.0).abs() < 1e-6 => false,
                false => continue,
            };
            let joint = if pull.from_right { board.left } else { board.right };
            let (from, wall, is_past) = match (missed, pull.from_right, joint > 4050.0) {
                (true, false, true) => (4100.0, "B, wall 4", true),
                (true, true, false) => (4000.0, "A, wall 2", true),
                (_, false, _) => (0.0, "A, wall 4", false),
                (_, true, _) => (8000.0, "B, wall 2", false),
            };
            seen[usize::from(missed) + usize::from(is_past)] += 1;
            assert!((pull.joint(board) - (joint - from).abs()).abs() < 1e-6, "{board:?} {pull:?}");
            assert_eq!(pull.words(&plan), wall);
        }
        assert!(seen.iter().all(|count| *count > 0), "{seen:?}");
        let is_parted = |run: usize| {
            let boards: Vec<usize> = floor.runs[run].boards.clone().collect();
            hooks(&boards, &pulls).len() == 2
        };
        let parted = (0..floor.runs.len()).find(|run| is_parted(*run)).expect("a run that is hooked twice");
        // The first board's end stands off the wall by the gap.
        let (off, _) = first_end(&site, &floor, parted).expect("an end");
        assert!((off - plan.rules.wall_gap.least).abs() < 1e-6, "{off}");
    }

    #[test]
    fn stops_joints_and_fixtures_are_named_for_what_the_tape_is_hooked_on() {
        let mut plan = two_rooms(Lining::ToCome);
        plan.doorways[0].beyond = Beyond::UnderLeaf;
        plan.rows_at = 90.0;
        let (site, floor) = laid(&plan);
        let words: Vec<String> =
            joint_pulls(&site, &floor).into_iter().flatten().map(|pull| pull.words(&plan)).collect();
        assert!(words.iter().any(|words| words == "Door, stop line"), "{words:?}");
        // A joint across the rows: hooked on the boards' edge, so nothing is added for its half width of 5.
        let mut plan = Plan::new("t");
        plan.rooms.push(Room::boarded("A", corners(0.0, 0.0, 9000.0, 3000.0)));
        plan.start_line = StartLine::At(10.0);
        plan.joints.push(MovementJoint::new((4000.0, 0.0).into(), (4000.0, 3000.0).into()));
        let (site, floor) = laid(&plan);
        let half = plan.joints[0].width / 2.0;
        let past: Vec<_> = joint_pulls(&site, &floor)
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
