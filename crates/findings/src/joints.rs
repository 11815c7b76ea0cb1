//! Flags on end joints: too close, H joints, stairs.

use crate::scene::Scene;
use crate::{Flag, FlagKind, Severity, Subject};
use lay::{Joint, STAIR_STEP};
use site::Uv;
use std::collections::BTreeMap;

/// A joint this close to a row line reaches it, mm.
const REACH: f64 = 0.1;

/// Joints by region and row, each row sorted along it.
type Rows<'a> = BTreeMap<(usize, i32), Vec<(usize, &'a Joint)>>;

pub(crate) fn joints(scene: &Scene, flags: &mut Vec<Flag>) {
    let mut rows: Rows = BTreeMap::new();
    for (index, joint) in scene.floor.joints.iter().enumerate() {
        let region = scene.floor.boards[joint.left].region;
        rows.entry((region, joint.row)).or_default().push((index, joint));
    }
    for row in rows.values_mut() {
        row.sort_by(|a, b| a.1.u.total_cmp(&b.1.u));
    }
    let empty = Vec::new();
    for (&(region, row), here) in &rows {
        let at = |up: i32| rows.get(&(region, row + up)).unwrap_or(&empty).as_slice();
        for &(index, joint) in here {
            close(scene, index, joint, at(1), flags);
            h_joint(scene, index, joint, at(2), flags);
            stairs(scene, index, joint, [at(1), at(2), at(3)], flags);
        }
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

fn close(scene: &Scene, index: usize, joint: &Joint, above: &[(usize, &Joint)], flags: &mut Vec<Flag>) {
    let limit = scene.plan.rules.least_stagger;
    let line = scene.floor.row_low(scene.floor.boards[joint.left].region, joint.row + 1);
    if (joint.high - line).abs() > REACH {
        return;
    }
    for (other, neighbour) in within(above, joint.u, limit) {
        let apart = (neighbour.u - joint.u).abs();
        if apart < limit - 1e-6 && (neighbour.low - line).abs() <= REACH {
            let row = scene.floor.row_number(neighbour.row);
            let mend = format!("move the joint in row {row} by {}", scene.length((limit - apart).ceil()));
            flags.push(flag(scene, FlagKind::JointsClose, vec![index, other], apart, limit, mend));
        }
    }
}

fn h_joint(scene: &Scene, index: usize, joint: &Joint, two_up: &[(usize, &Joint)], flags: &mut Vec<Flag>) {
    let limit = scene.plan.rules.in_line;
    for (other, neighbour) in within(two_up, joint.u, limit) {
        let mend = format!("move one of the two joints by more than {}", scene.length(2.0 * limit));
        flags.push(flag(
            scene,
            FlagKind::HJoint,
            vec![index, other],
            (neighbour.u - joint.u).abs(),
            limit,
            mend,
        ));
    }
}

fn stairs(scene: &Scene, index: usize, joint: &Joint, up: [&[(usize, &Joint)]; 3], flags: &mut Vec<Flag>) {
    let even = scene.plan.rules.in_line;
    for (one, first) in within(up[0], joint.u, STAIR_STEP) {
        let step = first.u - joint.u;
        for (two, second) in within(up[1], first.u + step, even) {
            for (three, third) in within(up[2], second.u + step, even) {
                if step.abs() <= even || (third.u - second.u - step).abs() > even {
                    continue;
                }
                let row = scene.floor.row_number(first.row);
                let mend = format!("swap two boards in row {row}, so that the steps differ");
                flags.push(flag(
                    scene,
                    FlagKind::Stairs,
                    vec![index, one, two, three],
                    step.abs(),
                    even,
                    mend,
                ));
            }
        }
    }
}
