//! Flags on end joints: too close, H joints, stairs.

use crate::scene::Scene;
use crate::{Flag, FlagKind, Severity, Subject};
use lay::{Floor, Joint, STAIR_STEP};
use site::Uv;
use std::collections::BTreeMap;

/// A joint this close to a row line reaches it, mm.
const REACH: f64 = 0.1;

/// Joints by region and row, each row sorted along it.
pub(crate) struct JointRows<'a>(BTreeMap<(usize, i32), Vec<(usize, &'a Joint)>>);

/// Where to look for the rows above a joint.
struct Above<'r, 'a> {
    rows: &'r JointRows<'a>,
    region: usize,
    row: i32,
}

impl<'r, 'a> Above<'r, 'a> {
    /// Joints so many rows up.
    fn by(&self, rows: i32) -> &'r [(usize, &'a Joint)] {
        self.rows.row(self.region, self.row + rows)
    }
}

/// A stair: its joints from the lowest up, and how far each steps, mm.
pub(crate) struct Stair {
    pub(crate) joints: [usize; 4],
    pub(crate) step: f64,
}

impl<'a> JointRows<'a> {
    pub(crate) fn of(floor: &'a Floor) -> Self {
        let mut rows: BTreeMap<(usize, i32), Vec<(usize, &Joint)>> = BTreeMap::new();
        for (index, joint) in floor.joints.iter().enumerate() {
            let region = floor.boards[joint.left].region;
            rows.entry((region, joint.row)).or_default().push((index, joint));
        }
        for row in rows.values_mut() {
            row.sort_by(|a, b| a.1.u.total_cmp(&b.1.u));
        }
        Self(rows)
    }

    /// Joints of one row, from left to right.
    pub(crate) fn row(&self, region: usize, row: i32) -> &[(usize, &'a Joint)] {
        self.0.get(&(region, row)).map_or(&[], Vec::as_slice)
    }

    /// Every joint with its index and what lies above it, row by row.
    fn all(&self) -> impl Iterator<Item = (usize, &'a Joint, Above<'_, 'a>)> {
        self.0.iter().flat_map(move |(&(region, row), here)| {
            here.iter().map(move |&(index, joint)| (index, joint, Above { rows: self, region, row }))
        })
    }

    /// Joints that reach the row line above, each with those of the next row within `reach` of it that
    /// reach that line too.
    pub(crate) fn neighbours(&self, floor: &Floor, reach: f64) -> Vec<(usize, Vec<(usize, &'a Joint)>)> {
        let mut all = Vec::new();
        for (index, joint, above) in self.all() {
            let board = &floor.boards[joint.left];
            let line = floor.row_low(board.region, board.row + 1);
            if (joint.high - line).abs() <= REACH {
                let meets = |(_, other): &(usize, &Joint)| (other.low - line).abs() <= REACH;
                all.push((index, within(above.by(1), joint.u, reach).filter(meets).collect()));
            }
        }
        all
    }

    /// Joints two rows apart and in line.
    pub(crate) fn h_joints(&self, in_line: f64) -> Vec<[usize; 2]> {
        let mut all = Vec::new();
        for (index, joint, above) in self.all() {
            all.extend(within(above.by(2), joint.u, in_line).map(|(other, _)| [index, other]));
        }
        all
    }

    /// Joints that step evenly over four rows.
    pub(crate) fn stairs(&self, even: f64) -> Vec<Stair> {
        let mut all = Vec::new();
        for (index, joint, above) in self.all() {
            for (one, first) in within(above.by(1), joint.u, STAIR_STEP) {
                let step = first.u - joint.u;
                for (two, second) in within(above.by(2), first.u + step, even) {
                    for (three, third) in within(above.by(3), second.u + step, even) {
                        if step.abs() > even && (third.u - second.u - step).abs() <= even {
                            all.push(Stair { joints: [index, one, two, three], step: step.abs() });
                        }
                    }
                }
            }
        }
        all
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
fn within<'a, 'j>(
    row: &'a [(usize, &'j Joint)],
    u: f64,
    reach: f64,
) -> impl Iterator<Item = (usize, &'j Joint)> + 'a {
    let first = row.partition_point(|(_, joint)| joint.u < u - reach);
    row[first..].iter().copied().take_while(move |(_, joint)| joint.u <= u + reach)
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

fn close(scene: &Scene, rows: &JointRows, flags: &mut Vec<Flag>) {
    let limit = scene.plan.rules.least_stagger;
    for (index, near) in rows.neighbours(scene.floor, limit) {
        for (other, neighbour) in near {
            let apart = (neighbour.u - scene.floor.joints[index].u).abs();
            if apart < limit - 1e-6 {
                let row = scene.floor.row_number(neighbour.row);
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
        let row = scene.floor.row_number(scene.floor.joints[joints[1]].row);
        let mend = format!("swap two boards in row {row}, so that the steps differ");
        flags.push(flag(scene, FlagKind::Stairs, joints.to_vec(), step, even, mend));
    }
}
