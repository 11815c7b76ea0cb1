//! Where the wood of the boards opened goes: on the floor, or lost, by cause.

use lay::{Board, Floor};
use plan::Plan;

/// A side this close to a board's long edge is that edge, mm.
const KEPT: f64 = 0.1;

/// Wood of the boards opened, in metres of board; the others, less `strips` and without `unpaired`, add up to `opened`.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Waste {
    /// All boards opened.
    pub opened: f64,
    /// What lies on the floor, its area over the pitch.
    pub laid: f64,
    /// Beside rips; strips of it that serve elsewhere are among it.
    pub ripped: f64,
    /// Of the pieces' rectangles what notches, tapers and slants leave.
    pub shaped: f64,
    /// Strips beside rips that serve elsewhere.
    pub strips: f64,
    /// What other pairs of the same pieces side by side could save at most. Pieces that a line along their boards crosses all
    /// take wood of their own, so that no pairing opens less than is crossed: this is what else of the boards is used, by the
    /// line that crosses most.
    pub unpaired: f64,
    /// Saw cuts across boards.
    pub sawn: f64,
    /// Stretches too short to end a run.
    pub short: f64,
    /// Stretches left that could end a run.
    pub left: f64,
}

/// Parts the wood that a floor opens.
pub fn waste(plan: &Plan, floor: &Floor) -> Waste {
    let metres = |mm: f64| mm / 1000.0;
    let laid: f64 = floor.boards.iter().map(|board| board.area).sum::<f64>() / floor.pitch;
    let mut waste = Waste { laid: metres(laid), ..Waste::default() };
    let mut sides: Vec<(f64, f64)> = Vec::new();
    for board in &floor.stock {
        waste.opened += metres(board.length);
        let mut at = 0.0;
        let kerf = plan.stock.kerf;
        for piece in &board.pieces {
            let laid = &floor.boards[piece.board];
            let length = piece.length();
            let area = laid.area / floor.pitch;
            let width = laid.width / floor.pitch;
            // Rounding must not make it less than nothing.
            waste.shaped += metres((length * width - area).max(0.0));
            let (from, to) = across(floor, laid);
            sides.extend([(from, metres(length)), (to, -metres(length))]);
            if piece.strip {
                waste.strips += metres(length * width)
            } else {
                waste.ripped += metres(length * (1.0 - width));
                waste.unpaired += metres(length);
            }
        }
        let pieces: Vec<_> = board.pieces.iter().filter(|piece| !piece.strip).collect();
        for place in 0..=pieces.len() {
            // Half-way across the board.
            let to = pieces.get(place).map_or(board.length, |piece| piece.from + piece.shift / 2.0);
            let free = to - at;
            // One cut for each of its sides that meets a piece.
            let cuts = kerf * (f64::from(u8::from(place > 0)) + f64::from(u8::from(place < pieces.len())));
            let cuts = cuts.min(free.max(0.0));
            let rest = (free - cuts).max(0.0);
            waste.sawn += metres(cuts);
            if rest < plan.rules.least_end {
                waste.short += metres(rest);
            } else {
                waste.left += metres(rest);
            }
            at = pieces.get(place).map_or(at, |piece| piece.to + piece.right_shift / 2.0);
        }
    }
    waste.unpaired = (waste.unpaired - most_crossed(sides)).max(0.0);
    waste
}

/// Between which lines along its board a piece lies, wherever it is ripped from, from the groove edge: the long edge that it
/// keeps says where; one that keeps neither may lie anywhere.
fn across(floor: &Floor, board: &Board) -> (f64, f64) {
    let reach = |(low, high): (f64, f64), (_, across): (f64, f64)| (low.min(across), high.max(across));
    let corners = board.own_rings(floor.pitch).flatten();
    let (low, high) = corners.fold((f64::INFINITY, f64::NEG_INFINITY), reach);
    match (low < KEPT, floor.pitch - high < KEPT) {
        (true, true) => (0.0, floor.pitch),
        (true, false) => (0.0, high),
        (false, true) => (low, floor.pitch),
        // The lines that cross it wherever it lies, if any do.
        (false, false) => {
            let width = high - low;
            if 2.0 * width > floor.pitch { (floor.pitch - width, width) } else { (0.0, 0.0) }
        }
    }
}

/// The most length of pieces that one line along the boards crosses, of the places where pieces begin across them, with their
/// length, and where they end, with their length taken away.
fn most_crossed(mut sides: Vec<(f64, f64)>) -> f64 {
    // Where one begins as another ends, the end counts first.
    sides.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
    let mut crossed = 0.0;
    sides.iter().fold(0.0, |most: f64, (_, length)| {
        crossed += length;
        most.max(crossed)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Boards 200 wide, pieces 1 long: two that keep the groove, 80 and 90 wide, one that keeps the tongue and one of whole width
    /// take four boards alone. A tongue piece 80 or 115 wide lies beside that of 80 on one board, so that three do; beside one of 125 there
    /// is no room for either, and none is saved. By hand.
    #[test]
    fn what_one_line_crosses_takes_boards_of_its_own() {
        let crossed = |tongue: f64| {
            let pieces = [(0.0, 80.0), (0.0, 90.0), (200.0 - tongue, 200.0), (0.0, 200.0)];
            most_crossed(pieces.into_iter().flat_map(|(from, to)| [(from, 1.0), (to, -1.0)]).collect())
        };
        assert_eq!([80.0, 115.0, 120.0, 125.0].map(crossed), [3.0, 3.0, 3.0, 4.0]);
    }
}
