//! Cuts that take less off than the blade is thick: they are skimmed, with part of the blade in the air, or planed.

use crate::{Order, SawEntry};
use lay::{Board, Floor};
use plan::{Plan, format_length};

/// Less than this is not sawn off, mm.
const TRUE: f64 = 0.1;
/// Boards told by name, at most.
const NAMED: usize = 12;

/// A cut that takes off less than the saw's kerf.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Skim {
    /// The board.
    pub board: usize,
    /// What comes off, mm.
    pub off: f64,
    /// Whether it comes off along the board, not across its end.
    pub is_rip: bool,
}

/// The cuts of a saw list that take off less than the kerf, rips first, in the order of the list.
pub fn skims(plan: &Plan, floor: &Floor, order: &Order) -> Vec<Skim> {
    let kerf = plan.stock.kerf;
    let saw = &order.saw;
    let mut skims = Vec::new();
    let mut add = |entries: &[SawEntry], is_rip: bool, off: &dyn Fn(&Board, f64) -> Option<f64>| {
        for entry in entries {
            for board in &entry.boards {
                let off = floor.boards.get(*board).and_then(|of| off(of, entry.setting));
                let is_thin = |off: &f64| *off > TRUE / 2.0 && *off < kerf - TRUE / 2.0;
                skims.extend(off.filter(is_thin).map(|off| Skim { board: *board, off, is_rip }));
            }
        }
    };
    let beside = |_: &Board, setting: f64| Some(floor.pitch - setting);
    add(&saw.rips_keep_tongue, true, &beside);
    add(&saw.rips_keep_groove, true, &beside);
    // Where another piece comes from the same board the blade goes between both.
    let alone = |board: &Board, setting: f64| {
        let stock = floor.stock.get(board.stock)?;
        let is_alone = stock.pieces.iter().filter(|piece| !piece.strip).count() == 1;
        is_alone.then_some(stock.length - setting)
    };
    add(&saw.crosscuts_keep_left, false, &alone);
    add(&saw.crosscuts_keep_right, false, &alone);
    skims
}

/// The same in a sentence, each board by its label; nothing where there are none.
pub fn skim_words(plan: &Plan, floor: &Floor, order: &Order) -> Option<String> {
    let skims = skims(plan, floor, order);
    let named = skims.iter().take(NAMED).map(|skim| {
        let off = format_length((skim.off * 10.0).round() / 10.0, plan.units);
        let from = if skim.is_rip { "along" } else { "off its end" };
        format!("{} ({off} {from})", floor.saw_label(skim.board))
    });
    let mut named = named.collect::<Vec<_>>().join(", ");
    match skims.len() {
        0 => return None,
        count if count > NAMED => named += &format!(" and {} more", count - NAMED),
        _ => {}
    }
    Some(format!("Less than the blade is thick comes off: {named}. Clamp and skim, or plane it."))
}
