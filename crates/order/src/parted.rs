//! Slanting saw cuts that part two pieces of one board, so that neither loses a wedge.

use crate::PartedCut;
use lay::Floor;

/// Pieces whose ends slant apart less than this are parted by one cut, mm over the width.
const ALIKE: f64 = 1.0;
/// Nor do they lie further apart than the saw cut by this, mm.
const BESIDE: f64 = 0.5;

/// The cuts that serve two pieces still to be sawn, board by board from its left end.
pub(crate) fn parted_cuts(floor: &Floor, kerf: f64) -> Vec<PartedCut> {
    let mut cuts = Vec::new();
    for (stock, board) in floor.stock.iter().enumerate() {
        let pieces: Vec<_> = board.pieces.iter().filter(|piece| !piece.strip).collect();
        for pair in pieces.windows(2) {
            let [left, right] = pair else { continue };
            let (shift, other) = (left.right_shift, right.shift);
            // Blocks mitred alike have one setting for all their cuts.
            let is_run = |board: usize| floor.boards.get(board).is_some_and(|b| b.lean == 0.0);
            let is_to_come = |board: usize| is_run(board) && !floor.is_laid(board);
            if shift == 0.0 || !is_to_come(left.board) || !is_to_come(right.board) {
                continue;
            }
            let lean = shift / floor.pitch;
            let cut = kerf * (1.0 + lean * lean).sqrt();
            if (shift - other).abs() < ALIKE && right.from - left.to < cut + BESIDE {
                let angle = (libm::atan(lean).to_degrees() * 10.0).round() / 10.0;
                cuts.push(PartedCut {
                    stock,
                    left: left.board,
                    right: right.board,
                    at: left.to,
                    shift,
                    angle,
                });
            }
        }
    }
    cuts
}

impl PartedCut {
    /// Where the line is marked and how it leans: `mark 812 on the groove edge, 1002 on the tongue edge, 45° leaning right`.
    pub fn words(&self, length: impl Fn(f64) -> String) -> String {
        let leaning = if self.shift > 0.0 { "right" } else { "left" };
        let (groove, tongue) = (length(self.at), length(self.at + self.shift));
        format!(
            "mark {groove} on the groove edge, {tongue} on the tongue edge, {}° leaning {leaning}",
            self.angle.abs()
        )
    }
}
