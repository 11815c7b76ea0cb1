//! Short boards end to end: where packs hold several lengths, the shortest lie among the others.

use crate::look::is_in_row;
use crate::scene::Scene;
use crate::{Flag, FlagKind, Severity, Subject};
use lay::{Board, Floor, Joint, Shorts};
use plan::Plan;
use site::Uv;
use std::collections::{BTreeMap, BTreeSet};

/// Short boards end to end.
pub(crate) struct ShortRows {
    pub(crate) shorts: Shorts,
    /// Two or more of them, each row from left to right, from the longest row down.
    pub(crate) rows: Vec<Vec<usize>>,
    /// Whether there are any at all.
    is_any: bool,
}

impl ShortRows {
    /// `None` where no board of the stock is short beside others.
    pub(crate) fn of(plan: &Plan, floor: &Floor) -> Option<Self> {
        let shorts = Shorts::of(&plan.stock)?;
        let is_one = |board: &Board| shorts.is_one(board.right - board.left) && is_in_row(board);
        let is_short: Vec<bool> = floor.boards.iter().map(is_one).collect();
        let is_between = |joint: &&Joint| is_short[joint.left] && is_short[joint.right];
        let mut joints: Vec<&Joint> = floor.joints.iter().filter(is_between).collect();
        joints.sort_by(|a, b| a.u.total_cmp(&b.u));
        // How many end with a board, and the one before it. Beside a wall along a row two may meet one: the longer way counts.
        let mut ends: BTreeMap<usize, (usize, Option<usize>)> = BTreeMap::new();
        for joint in joints {
            let together = ends.entry(joint.left).or_insert((1, None)).0 + 1;
            let end = ends.entry(joint.right).or_insert((1, None));
            if together > end.0 {
                *end = (together, Some(joint.left));
            }
        }
        let mut order: Vec<(usize, usize)> =
            ends.iter().map(|(board, (together, _))| (*together, *board)).collect();
        order.sort_by_key(|(together, _)| std::cmp::Reverse(*together));
        let mut told = BTreeSet::new();
        let mut rows = Vec::new();
        for (_, last) in order {
            let before = |board: &usize| ends.get(board).and_then(|(_, before)| *before);
            let way = std::iter::successors(Some(last), before);
            let mut row: Vec<usize> = way.take_while(|board| told.insert(*board)).collect();
            row.reverse();
            if row.len() > 1 {
                rows.push(row);
            }
        }
        rows.sort_by_key(|row| std::cmp::Reverse(row.len()));
        Some(Self { shorts, rows, is_any: is_short.contains(&true) })
    }

    /// Most of them end to end.
    pub(crate) fn longest(&self) -> usize {
        self.rows.first().map_or(usize::from(self.is_any), Vec::len)
    }
}

/// Flags more short boards end to end than an eye passes over.
pub(crate) fn short_boards(scene: &Scene, flags: &mut Vec<Flag>) {
    // Halves and thirds are laid of one length.
    if !scene.plan.pattern.is_irregular() {
        return;
    }
    let Some(ShortRows { shorts, rows, .. }) = ShortRows::of(scene.plan, scene.floor) else { return };
    for boards in rows.into_iter().take_while(|row| row.len() > shorts.most) {
        let (first, last) = (boards[0], boards[boards.len() - 1]);
        let [left, right] = [first, last].map(|board| &scene.floor.boards[board]);
        let at = Uv::new(f64::midpoint(left.left, right.right), left.middle().v);
        flags.push(Flag {
            cause: None,
            kind: FlagKind::ShortBoards,
            severity: Severity::Look,
            at: scene.site.frame.plan_from_row(at),
            place: format!("{} to {}", scene.board_place(first), right.label),
            figure: boards.len() as f64,
            limit: shorts.most as f64,
            mend: format!(
                "lay longer boards of other rows in between, so that no more than {} lie end to end",
                shorts.most
            ),
            subject: Subject::Boards(boards),
        });
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use crate::tests::{plan, rows};
    use crate::{Flag, FlagKind, Severity, Subject, inspect, look};
    use lay::Floor;
    use plan::{BoardLength, Pattern, Plan};

    fn mixed(lengths: &[(f64, u32)]) -> Plan {
        let mut plan = plan();
        let length = |(length, per_pack): &(f64, u32)| BoardLength { length: *length, per_pack: *per_pack };
        plan.stock.lengths = lengths.iter().map(length).collect();
        plan
    }

    fn flags(plan: &Plan, floor: &Floor) -> Vec<Flag> {
        let all = inspect(plan, &site::survey(plan), floor, &fit::Fit::default());
        all.into_iter().filter(|flag| flag.kind == FlagKind::ShortBoards).collect()
    }

    /// Rows of 6000: three boards of 1050 end to end from 800 to 3950; two, a long one, one; one, cut 2 short, one.
    #[test]
    fn a_third_short_board_end_to_end_is_flagged() {
        let floor = rows(&[
            &[800.0, 1850.0, 2900.0, 3950.0],
            &[500.0, 1550.0, 2600.0, 4700.0, 5750.0],
            &[700.0, 1750.0, 2798.0, 3848.0],
        ]);
        let plan = mixed(&[(2100.0, 5), (1050.0, 1)]);
        let found = flags(&plan, &floor);
        assert_eq!(found.len(), 1, "{found:#?}");
        let flag = &found[0];
        assert_eq!((flag.figure, flag.limit, flag.severity), (3.0, 2.0, Severity::Look));
        assert_eq!(flag.subject, Subject::Boards(vec![1, 2, 3]));
        // From 800 to 3950 their middle is 2375; the row is from 0 to 200.
        assert_eq!((flag.at.x, flag.at.y), (2375.0, 100.0));
        assert_eq!(flag.place, "Hall, row 1, board 0-0 to 0-0");
        assert_eq!(look(&plan, &floor).short_boards, Some(3));
        // Four on a long one in a pack cannot lie otherwise; one length is no mixture; halves are laid of one.
        assert!(flags(&mixed(&[(2100.0, 1), (1050.0, 4)]), &floor).is_empty());
        assert!(flags(&mixed(&[(1050.0, 6)]), &floor).is_empty());
        assert_eq!(look(&mixed(&[(1050.0, 6)]), &floor).short_boards, None);
        assert!(flags(&Plan { pattern: Pattern::Half, ..plan }, &floor).is_empty());
    }

    /// Boards of a border lie in no row.
    #[test]
    fn a_border_is_left_out() {
        let mut floor = rows(&[&[800.0, 1850.0, 2900.0, 3950.0]]);
        let plan = mixed(&[(2100.0, 5), (1050.0, 1)]);
        assert_eq!(look(&plan, &rows(&[&[3000.0]])).short_boards, Some(0));
        floor.boards.iter_mut().for_each(|board| board.in_border = true);
        assert!(flags(&plan, &floor).is_empty());
    }

    /// A wall along the row beside the second of four: two boards of half the width lie there, each as long. They are told
    /// once.
    #[test]
    fn boards_side_by_side_in_one_row_are_counted_once() {
        let mut floor = rows(&[&[900.0, 1950.0, 3000.0, 4050.0, 5100.0]]);
        let twin = floor.boards.len();
        floor.boards.push(floor.boards[2].clone());
        let beside: Vec<_> =
            floor.joints.iter().filter(|joint| joint.left == 2 || joint.right == 2).copied().collect();
        for mut joint in beside {
            if joint.left == 2 {
                joint.left = twin;
            } else {
                joint.right = twin;
            }
            floor.joints.push(joint);
        }
        floor.runs[0].boards = 0..twin + 1;
        let plan = mixed(&[(2100.0, 5), (1050.0, 1)]);
        let found = flags(&plan, &floor);
        assert_eq!(found.len(), 1);
        assert_eq!((found[0].figure, &found[0].subject), (4.0, &Subject::Boards(vec![1, 2, 3, 4])));
    }
}
