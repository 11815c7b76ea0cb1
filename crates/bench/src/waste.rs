//! Where the wood of the boards opened goes: on the floor, or lost, by cause.

use lay::Floor;
use plan::Plan;

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
    /// What better pairs side by side could save at most: of two such one is no wider than half a board, so that there are no
    /// more of them than of pieces so narrow, less those there are.
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
            waste.unpaired +=
                metres(length) * (f64::from(u8::from(width <= 0.5)) - f64::from(u8::from(piece.strip)));
            if piece.strip {
                waste.strips += metres(length * width)
            } else {
                waste.ripped += metres(length * (1.0 - width));
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
    waste
}
