//! Boards that a pattern leaves in their packs: where packs hold several lengths and it is laid of one.

use crate::scene::Scene;
use crate::{Flag, FlagKind, Severity, Subject};
use plan::Pattern;
use std::collections::BTreeMap;

/// Packs may come to so many times what holds the wood that is opened, and one more, before it is told: the last pack is
/// seldom used up. Ours, no source.
const MANY_MORE: f64 = 1.1;
/// A block no further than this off a board's length is that board, mm.
const AS_SOLD: f64 = 0.1;

/// Flags packs that are opened for a part of their boards alone.
pub(crate) fn many_packs(scene: &Scene, flags: &mut Vec<Flag>) {
    let (stock, floor) = (&scene.plan.stock, scene.floor);
    let mixed = stock.lengths.iter().filter(|length| length.per_pack > 0).count() > 1;
    let (Some(first), true) = (floor.boards.first(), mixed && !scene.plan.pattern.is_irregular()) else {
        return;
    };
    // Blocks sold by hand come in packs by hand.
    let mut opened: BTreeMap<_, f64> = BTreeMap::new();
    for board in &floor.stock {
        let piece = board.pieces.first().and_then(|piece| floor.boards.get(piece.board));
        *opened.entry(piece.and_then(|board| board.hand)).or_default() += board.length;
    }
    let in_pack = stock.wood_per_pack().max(1.0);
    let hold = |wood: &f64| (wood / in_pack - 1e-9).ceil();
    let by_hand = scene.plan.stock.end_match || matches!(scene.plan.pattern, Pattern::Chevron { .. });
    let least: f64 = match by_hand {
        true => opened.values().map(hold).sum(),
        false => hold(&opened.values().sum()),
    };
    let packs = floor.stock.iter().map(|board| board.pack + 1).max().unwrap_or(0) as f64;
    if packs <= MANY_MORE * least + 1.0 {
        return;
    }
    flags.push(Flag {
        cause: None,
        kind: FlagKind::ManyPacks,
        severity: Severity::Look,
        subject: Subject::Region(first.region),
        at: scene.site.frame.plan_from_row(first.middle()),
        place: "every pack".into(),
        figure: packs,
        limit: least,
        mend: mend(scene),
    });
}

/// What leaves fewer boards in their packs.
fn mend(scene: &Scene) -> String {
    let (pattern, stock) = (scene.plan.pattern, &scene.plan.stock);
    let (block, is_mitred) = match pattern {
        Pattern::Herringbone { block, .. } => (block, false),
        Pattern::Chevron { block, .. } => (block, true),
        _ => {
            let longest = scene.length(stock.longest());
            return format!(
                "these rows are laid of boards {longest} long: buy that length alone, or lay irregular rows"
            );
        }
    };
    let length = scene.length(block);
    if pattern.is_cut_from_longer(stock) {
        return format!(
            "boards too short for a block of {length} stay over: buy longer ones alone, type a shorter block, or lay rows"
        );
    }
    let blocks = stock.lengths.iter().filter(|l| (l.length - block).abs() <= AS_SOLD);
    let (blocks, all) = (blocks.map(|l| l.per_pack).sum::<u32>(), stock.boards_per_pack());
    let cut = if is_mitred { "" } else { ", boards whose ends do not join, to cut blocks from" };
    format!(
        "a pack holds {blocks} of {length} among {all} boards, and the others stay over: buy blocks of that length \
         alone{cut}, or lay rows"
    )
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use crate::{Flag, FlagKind};
    use plan::{BoardLength, Pattern, Plan, Point, Room};

    /// A room of 6 m by 5 m.
    fn room(pattern: Pattern, lengths: &[(f64, u32)]) -> Plan {
        let mut plan = Plan::new("t");
        let corners = [(0.0, 0.0), (6000.0, 0.0), (6000.0, 5000.0), (0.0, 5000.0)].map(Point::from);
        plan.rooms.push(Room::boarded("Hall", corners));
        let length = |(length, per_pack): &(f64, u32)| BoardLength { length: *length, per_pack: *per_pack };
        plan.stock.lengths = lengths.iter().map(length).collect();
        plan.pattern = pattern;
        plan
    }

    /// The flag, with the boards that are opened and the packs they are of.
    fn told(plan: &Plan) -> (Option<Flag>, usize, usize) {
        assert_eq!(plan.problems(), []);
        let site = site::survey(plan);
        let floor = lay::lay(plan, &site, &setout::set_out(plan, &site));
        let flags = crate::inspect(plan, &site, &floor, &fit::fit(plan, &site, &floor));
        let packs = floor.stock.iter().map(|board| board.pack + 1).max().unwrap();
        let flag = flags.into_iter().find(|flag| flag.kind == FlagKind::ManyPacks);
        (flag, floor.stock.len(), packs)
    }

    /// Packs of six hold one board of 1250: each block opens a pack of 11.95 m of board, of which 1.25 is laid. So many
    /// blocks, of two hands, are in a tenth or so as many packs of nothing else. Arithmetic.
    #[test]
    fn packs_opened_for_one_board_each_are_told() {
        let mixed = [(2200.0, 4), (1900.0, 1), (1250.0, 1)];
        let plan = room(Pattern::Herringbone { block: 1250.0, abreast: 1 }, &mixed);
        let (flag, blocks, packs) = told(&plan);
        let flag = flag.unwrap();
        assert_eq!(packs, blocks);
        assert_eq!(flag.figure, packs as f64);
        let wood = blocks as f64 * 1250.0 / 11950.0;
        assert!(flag.limit >= wood && flag.limit < wood + 2.0, "{} for {wood}", flag.limit);
        assert_eq!(
            flag.mend,
            "a pack holds 1 of 1\u{a0}250 among 6 boards, and the others stay over: buy blocks of that length alone, \
             boards whose ends do not join, to cut blocks from, or lay rows"
        );
        // The same blocks packed alone leave none.
        let alone = room(plan.pattern, &[(1250.0, 6)]);
        let (flag, blocks, packs) = told(&alone);
        assert!(flag.is_none() && packs <= blocks / 6 + 2, "{packs} for {blocks}");
        // Cut from boards whose ends do not join, all but the shortest serve.
        let mut cut = room(Pattern::Herringbone { block: 600.0, abreast: 1 }, &mixed);
        cut.stock.end_match = false;
        assert!(told(&cut).0.is_none());
        cut.stock.lengths =
            vec![BoardLength { length: 2200.0, per_pack: 1 }, BoardLength { length: 500.0, per_pack: 9 }];
        assert!(told(&cut).0.unwrap().mend.starts_with("boards too short for a block of 600 stay over"));
    }

    /// Rows in half bond are laid of the longest board, irregular ones of what comes.
    #[test]
    fn rows_of_one_length_leave_the_others() {
        let mixed = [(2200.0, 1), (1250.0, 5)];
        let told_of = |pattern| told(&room(pattern, &mixed)).0;
        let half = told_of(Pattern::Half).unwrap();
        assert!(half.mend.starts_with("these rows are laid of boards 2\u{a0}200 long"), "{}", half.mend);
        assert_eq!(told_of(Pattern::Irregular), None);
        let even = [(2200.0, 5), (2100.0, 1)];
        assert_eq!(told(&room(Pattern::Half, &even)).0.map(|flag| flag.figure), None);
    }
}
