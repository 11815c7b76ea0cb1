//! Packs of a house that is laid in stages: none is carried in before its boards are wanted, and each stage names its own.

use super::Scene;
use crate::report::{Promise, Report};
use std::collections::{BTreeMap, BTreeSet};

/// Packs that may stand open beside those for want of a board: three stand open at once, so that lots mix (docs/rules.md).
const BESIDE: usize = 2;

pub(super) fn check(scene: &Scene, report: &mut Report) {
    let house = scene.house;
    let Some(stages) = &house.stages else { return };
    let mut stage_of = vec![None; house.boards.len()];
    for step in &house.fitting.order {
        step.boards.iter().for_each(|board| stage_of[*board] = step.stage);
    }
    // A stock board is opened for the first stage that takes a piece of it; what is in no stage comes last.
    let mut opened: BTreeMap<usize, Vec<(usize, f64)>> = BTreeMap::new();
    for board in &house.stock {
        if let Some(stage) = board.pieces.iter().filter_map(|piece| stage_of[piece.board]).min() {
            opened.entry(stage).or_default().push((board.pack, board.length));
        }
    }
    let mut before: BTreeSet<usize> = BTreeSet::new();
    let mut lengths: Vec<f64> = Vec::new();
    for (place, stage) in stages.stages.iter().enumerate() {
        let own = opened.get(&place).map_or(&[][..], Vec::as_slice);
        let packs: BTreeSet<usize> = own.iter().map(|(pack, _)| *pack).collect();
        let new: Vec<usize> = packs.difference(&before).copied().collect();
        let open: Vec<usize> = packs.intersection(&before).copied().collect();
        let is_told = stage.pack_numbers == new && stage.open_packs == open && stage.packs == new.len();
        report.hold(Promise::Counts, is_told, || {
            let (said, said_open) = (&stage.pack_numbers, &stage.open_packs);
            let what = format!(
                "it is said to open packs {said:?} beside {said_open:?}, found {new:?} beside {open:?}"
            );
            (format!("stage {}", stage.name), what)
        });
        before.extend(&packs);
        lengths.extend(own.iter().map(|(_, length)| *length));
        if let Some(would_do) = would_do(scene, &lengths) {
            let last = before.iter().next_back().copied().unwrap_or(0);
            report.hold(Promise::Counts, last <= would_do + BESIDE, || {
                let what =
                    format!("pack {last} is opened by its end; {would_do} hold the boards opened by then");
                (format!("stage {}", stage.name), what)
            });
        }
    }
}

/// Packs that hold boards of these lengths; `None` where packs are not dealt stage by stage: of random lengths, of blocks by hand,
/// in one stage, and where some were opened for what lies.
fn would_do(scene: &Scene, lengths: &[f64]) -> Option<usize> {
    let (house, stock) = (scene.house, &scene.plan.stock);
    let by_hand = house.boards.iter().any(|board| board.hand.is_some());
    if house.laid.is_some() || by_hand || stock.random.is_some() || scene.plan.stages.len() < 2 {
        return None;
    }
    let needed = stock.lengths.iter().filter(|of| of.per_pack > 0).map(|of| {
        let count = lengths.iter().filter(|length| **length == of.length).count();
        count.div_ceil(of.per_pack as usize)
    });
    needed.max()
}
