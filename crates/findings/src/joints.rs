//! Flags on end joints: too close, H joints, stairs.

use crate::scene::Scene;
use crate::{Flag, FlagKind, Severity, Subject};
use lay::{Floor, Joint, STAIR_STEP};
use site::Uv;
use std::ops::Range;

/// A joint this close to a row line reaches it, mm.
const REACH: f64 = 0.1;

/// A joint in its row, with its index.
#[derive(Clone, Copy)]
pub(crate) struct Stand<'a> {
    pub(crate) u: f64,
    index: usize,
    joint: &'a Joint,
}

/// Joints by region and row, each row sorted along it.
pub(crate) struct JointRows<'a> {
    /// Region and row with its part of the joints, by region from the lowest row up.
    rows: Vec<((usize, i32), Range<usize>)>,
    stands: Vec<Stand<'a>>,
}

/// A row with the three rows above it.
struct Rows<'r, 'a> {
    here: &'r [Stand<'a>],
    above: [&'r [Stand<'a>]; 3],
}

/// A stair: its joints from the lowest up, and how far each steps, mm.
pub(crate) struct Stair {
    pub(crate) joints: [usize; 4],
    pub(crate) step: f64,
}

impl<'a> JointRows<'a> {
    pub(crate) fn of(floor: &'a Floor) -> Self {
        let place = |joint: &Joint| (floor.boards[joint.left].region, joint.row);
        let mut found: Vec<((usize, i32), Range<usize>)> = Vec::with_capacity(floor.runs.len());
        let mut index = 0;
        // Joints of one row follow one another mostly.
        for joints in floor.joints.chunk_by(|a, b| place(a) == place(b)) {
            found.push((place(&joints[0]), index..index + joints.len()));
            index += joints.len();
        }
        found.sort_by_key(|(place, _)| *place);
        let mut rows: Vec<((usize, i32), Range<usize>)> = Vec::with_capacity(found.len());
        let mut stands: Vec<Stand> = Vec::with_capacity(floor.joints.len());
        for parts in found.chunk_by(|a, b| a.0 == b.0) {
            let first = stands.len();
            for index in parts.iter().flat_map(|(_, part)| part.clone()) {
                let joint = &floor.joints[index];
                stands.push(Stand { u: joint.u, index, joint });
            }
            stands[first..].sort_by(|a, b| a.u.total_cmp(&b.u));
            rows.push((parts[0].0, first..stands.len()));
        }
        Self { rows, stands }
    }

    /// Joints of one row, from left to right.
    pub(crate) fn row(&self, region: usize, row: i32) -> &[Stand<'a>] {
        let found = self.rows.binary_search_by_key(&(region, row), |(place, _)| *place);
        found.map_or(&[], |number| &self.stands[self.rows[number].1.clone()])
    }

    /// Every row with what lies above it.
    fn all(&self) -> impl Iterator<Item = Rows<'_, 'a>> {
        self.rows.iter().enumerate().map(|(number, ((region, row), here))| {
            // The three rows above are among the next three that have joints.
            let next = &self.rows[number + 1..self.rows.len().min(number + 4)];
            let above = [1, 2, 3].map(|rows| {
                let is_it = |next: &&((usize, i32), _)| next.0 == (*region, row.saturating_add(rows));
                next.iter().find(is_it).map_or(&[][..], |(_, part)| &self.stands[part.clone()])
            });
            Rows { here: &self.stands[here.clone()], above }
        })
    }

    /// Joints that reach the row line above, each with those of the next row within `reach` of it that
    /// reach that line too.
    pub(crate) fn neighbours(&self, floor: &Floor, reach: f64) -> Vec<(usize, Vec<(usize, &'a Joint)>)> {
        let mut all = Vec::new();
        for Rows { here, above: [above, ..] } in self.all() {
            let mut near = Near::new(above, reach);
            for Stand { u, index, joint } in here {
                let mut near = near.to(*u).peekable();
                // Most joints have none so near.
                if near.peek().is_none() {
                    continue;
                }
                let board = &floor.boards[joint.left];
                let line = floor.row_low(board.region, board.row + 1);
                if (joint.high - line).abs() <= REACH {
                    let meets = |other: &&Stand| (other.joint.low - line).abs() <= REACH;
                    let meeting = near.filter(meets).map(|other| (other.index, other.joint));
                    all.push((*index, meeting.collect()));
                }
            }
        }
        all
    }

    /// Joints two rows apart and in line.
    pub(crate) fn h_joints(&self, in_line: f64) -> Vec<[usize; 2]> {
        let mut all = Vec::new();
        for Rows { here, above: [_, above, _] } in self.all() {
            let mut near = Near::new(above, in_line);
            for joint in here {
                all.extend(near.to(joint.u).map(|other| [joint.index, other.index]));
            }
        }
        all
    }

    /// Joints that step evenly over four rows.
    pub(crate) fn stairs(&self, even: f64) -> Vec<Stair> {
        let mut all = Vec::new();
        for Rows { here, above: [above, next, last] } in self.all() {
            let mut near = Near::new(above, STAIR_STEP);
            for joint in here {
                for first in near.to(joint.u) {
                    let step = first.u - joint.u;
                    for second in within(next, first.u + step, even) {
                        for third in within(last, second.u + step, even) {
                            if step.abs() > even && (third.u - second.u - step).abs() <= even {
                                let joints = [joint.index, first.index, second.index, third.index];
                                all.push(Stair { joints, step: step.abs() });
                            }
                        }
                    }
                }
            }
        }
        all
    }
}

/// Members of a sorted row within reach of one place after another, from left to right.
struct Near<'r, 'a> {
    row: &'r [Stand<'a>],
    reach: f64,
}

impl<'r, 'a> Near<'r, 'a> {
    fn new(row: &'r [Stand<'a>], reach: f64) -> Self {
        Self { row, reach }
    }

    /// Those near `u`, which lies no further left than the place before.
    fn to(&mut self, u: f64) -> impl Iterator<Item = &'r Stand<'a>> + use<'r, 'a> {
        while self.row.first().is_some_and(|first| first.u < u - self.reach) {
            self.row = &self.row[1..];
        }
        let last = u + self.reach;
        self.row.iter().take_while(move |stand| stand.u <= last)
    }
}

/// Flags joints that are too close, H joints and stairs.
pub(crate) fn joints(scene: &Scene, flags: &mut Vec<Flag>) {
    let rows = JointRows::of(scene.floor);
    close(scene, &rows, flags);
    // Rows by halves or thirds are asked to stand in line and to step evenly.
    if scene.plan.pattern.is_irregular() {
        h_joints(scene, &rows, flags);
        stairs(scene, &rows, flags);
    }
}

/// Members of a sorted row within `reach` of `u`.
fn within<'r, 'a>(row: &'r [Stand<'a>], u: f64, reach: f64) -> impl Iterator<Item = &'r Stand<'a>> {
    let first = row.partition_point(|stand| stand.u < u - reach);
    row[first..].iter().take_while(move |stand| stand.u <= u + reach)
}

fn flag(scene: &Scene, kind: FlagKind, joints: Vec<usize>, figure: f64, limit: f64, mend: String) -> Flag {
    let at = |index: &usize| {
        let joint = &scene.floor.joints[*index];
        Uv::new(joint.u, (joint.low + joint.high) / 2.0)
    };
    let count = joints.len() as f64;
    let (u, v) = joints.iter().map(at).fold((0.0, 0.0), |(u, v), p| (u + p.u / count, v + p.v / count));
    let first = joints.first().map_or(0, |index| scene.floor.joints[*index].left);
    Flag {
        cause: None,
        kind,
        severity: if kind == FlagKind::JointsClose { Severity::Fault } else { Severity::Look },
        at: scene.site.frame.plan_from_row(Uv::new(u, v)),
        place: scene.board_place(first),
        subject: Subject::Joints(joints),
        figure,
        limit,
        mend,
    }
}

/// What the row of a joint is called.
fn row_of(scene: &Scene, joint: &Joint) -> String {
    let region = scene.floor.boards.get(joint.left).map_or(0, |board| board.region);
    scene.floor.row_name(region, joint.row)
}

fn close(scene: &Scene, rows: &JointRows, flags: &mut Vec<Flag>) {
    let limit = scene.plan.rules.least_stagger;
    for (index, near) in rows.neighbours(scene.floor, limit) {
        for (other, neighbour) in near {
            let apart = (neighbour.u - scene.floor.joints[index].u).abs();
            if apart < limit - 1e-6 {
                let row = row_of(scene, neighbour);
                let mend = format!("move the joint in row {row} by {}", scene.length((limit - apart).ceil()));
                flags.push(flag(scene, FlagKind::JointsClose, vec![index, other], apart, limit, mend));
            }
        }
    }
}

fn h_joints(scene: &Scene, rows: &JointRows, flags: &mut Vec<Flag>) {
    let limit = scene.plan.rules.in_line;
    for pair in rows.h_joints(limit) {
        let [one, other] = pair.map(|index| scene.floor.joints[index].u);
        let mend = format!("move one of the two joints by more than {}", scene.length(2.0 * limit));
        flags.push(flag(scene, FlagKind::HJoint, pair.to_vec(), (other - one).abs(), limit, mend));
    }
}

fn stairs(scene: &Scene, rows: &JointRows, flags: &mut Vec<Flag>) {
    let even = scene.plan.rules.in_line;
    for Stair { joints, step } in rows.stairs(even) {
        let row = row_of(scene, &scene.floor.joints[joints[1]]);
        let mend = format!("swap two boards in row {row}, so that the steps differ");
        flags.push(flag(scene, FlagKind::Stairs, joints.to_vec(), step, even, mend));
    }
}
