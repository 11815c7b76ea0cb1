//! Tiny floors between walls aslant to the rows, and an exhaustive search over their joints and cuts: pieces are laid on
//! their boards edge by edge, apart from how the program reckons it.

use crate::Dice;
use order::{Edge, RunNeed, Width, least};
use plan::{BoardLength, Stock};

const PITCH: f64 = 200.0;
/// Joints are tried at these steps from a run's left end, mm; without saw cuts all other measures are whole steps too.
const STEP: f64 = 50.0;
const EXACT: f64 = 1e-6;

/// A run between its long points, and how much further along its ends lie at the tongue edge.
#[derive(Debug, Clone, Copy)]
pub struct Run {
    /// Length, mm.
    pub length: f64,
    /// Shifts of its ends, mm.
    pub slants: [f64; 2],
}

/// A floor of a few runs of whole width, boards of one length.
#[derive(Debug)]
pub struct Floor {
    /// Its runs.
    pub runs: Vec<Run>,
    /// Its boards.
    pub stock: Stock,
    /// The shortest end, mm.
    pub least_end: f64,
}

/// A piece: length, shifts of its ends, and whether it needs the left and the right end-match.
type Piece = (f64, [f64; 2], [bool; 2]);

impl Floor {
    /// The tiny floor of a seed.
    pub fn new(seed: u64) -> Self {
        let dice = &mut Dice::new(seed);
        let steps = |dice: &mut Dice, low: usize, high: usize| STEP * (low + dice.below(high - low)) as f64;
        let stock = Stock {
            lengths: vec![BoardLength { length: steps(dice, 16, 33), per_pack: 1 }],
            kerf: [0.0, 0.0, 3.0][dice.below(3)],
            end_match: !dice.one_in(4),
            ..Stock::default()
        };
        let slant = steps(dice, 1, 6);
        let runs = (0..2 + dice.below(2)).map(|_| {
            let slants = [0, 1].map(|_| slant * (dice.below(3) as f64 - 1.0));
            Run { length: steps(dice, 11, 33), slants }
        });
        Self { runs: runs.collect(), least_end: steps(dice, 2, 8), stock }
    }

    fn board(&self) -> f64 {
        self.stock.longest()
    }

    /// The bound on boards opened.
    pub fn bound(&self) -> usize {
        let need = |run: &Run| RunNeed {
            length: run.length,
            least_end: self.least_end,
            widths: vec![Width::new(run.length, PITCH, Edge::Neither)],
            slants: run.slants,
        };
        let needs: Vec<RunNeed> = self.runs.iter().map(need).collect();
        least(&needs, &self.stock, PITCH, 1000).boards
    }

    /// Whether a floor of at most `limit` boards is found.
    pub fn opens(&self, limit: usize) -> bool {
        self.lay(0, &mut Vec::new(), limit)
    }

    /// Tries every division of the runs from this one on.
    fn lay(&self, run: usize, pieces: &mut Vec<Piece>, limit: usize) -> bool {
        let Some(of) = self.runs.get(run) else { return self.cut(pieces, limit) };
        let whole = of.length <= self.board() + EXACT;
        let mut ways: Vec<Vec<Piece>> = Vec::new();
        if whole {
            ways.push(vec![(of.length, of.slants, [false; 2])]);
        }
        let mut first = self.least_end.max(STEP);
        while first <= self.board() + EXACT {
            let mut at = first;
            let mut middles = Vec::new();
            while of.length - at >= self.least_end - EXACT {
                let last = of.length - at;
                if last <= self.board() + EXACT {
                    // A joint within a slant leaves no end of one line: each piece there takes its rectangle.
                    let slant = |length: f64, slant: f64| if length < slant.abs() { 0.0 } else { slant };
                    let starter = (first, [slant(first, of.slants[0]), 0.0], [false, true]);
                    let closer = (last, [0.0, slant(last, of.slants[1])], [true, false]);
                    ways.push([vec![starter], middles.clone(), vec![closer]].concat());
                }
                // Where ends are square a board between two others may be sawn, but never needs to be here.
                middles.push((self.board(), [0.0; 2], [true; 2]));
                at += self.board();
            }
            first += STEP;
        }
        ways.into_iter().any(|way| {
            let before = pieces.len();
            pieces.extend(way);
            let found = self.lay(run + 1, pieces, limit);
            pieces.truncate(before);
            found
        })
    }

    /// Whether these pieces come from so many boards: whole boards first, then every share of the others.
    fn cut(&self, pieces: &[Piece], limit: usize) -> bool {
        let is_whole = |piece: &&Piece| piece.2 == [true; 2];
        let wholes = pieces.iter().filter(is_whole).count();
        let Some(limit) = limit.checked_sub(wholes) else { return false };
        let sawn: Vec<Piece> = pieces.iter().filter(|piece| !is_whole(piece)).copied().collect();
        // Half-way across they cannot overlap.
        let middle: f64 =
            sawn.iter().map(|(length, [left, right], _)| length - (left.abs() + right.abs()) / 2.0).sum();
        middle <= limit as f64 * self.board() + EXACT && self.share(&sawn, &mut Vec::new(), limit)
    }

    fn share(&self, left: &[Piece], boards: &mut Vec<Vec<Piece>>, limit: usize) -> bool {
        let Some((piece, rest)) = left.split_first() else { return true };
        for i in 0..boards.len() {
            boards[i].push(*piece);
            if self.fits(&mut boards[i].clone(), None) && self.share(rest, boards, limit) {
                return true;
            }
            boards[i].pop();
        }
        if boards.len() == limit {
            return false;
        }
        boards.push(vec![*piece]);
        let found = self.share(rest, boards, limit);
        boards.pop();
        found
    }

    /// Whether some order of the pieces left fits a board after what lies on it: along both long edges each begins past the
    /// saw cut. `after` is where the last piece ends along the groove and the tongue edge.
    fn fits(&self, left: &mut Vec<Piece>, after: Option<[f64; 2]>) -> bool {
        let end_match = self.stock.end_match;
        for i in 0..left.len() {
            let (length, [at_left, at_right], [needs_left, needs_right]) = left[i];
            if end_match && ((needs_left && after.is_some()) || (needs_right && left.len() > 1)) {
                continue;
            }
            let groove = match after {
                None => (-at_left).max(0.0),
                Some([groove, tongue]) => {
                    let lean = |shift: f64| (1.0 + (shift / PITCH) * (shift / PITCH)).sqrt();
                    let before = tongue - groove;
                    // One slanting cut, or one square one across both.
                    let cut = self.stock.kerf * lean(before).max(lean(at_left));
                    let slanting = (groove + cut).max(tongue + cut - at_left);
                    let square = groove.max(tongue) + self.stock.kerf + (-at_left).max(0.0);
                    slanting.min(square)
                }
            };
            // Along the groove edge it is as long as its long points are apart, less what leans away from it there.
            let end = groove + length - (-at_left).max(0.0) - at_right.max(0.0);
            if end.max(end + at_right) > self.board() + EXACT {
                continue;
            }
            let piece = left.swap_remove(i);
            let found = left.is_empty() || self.fits(left, Some([end, end + at_right]));
            left.push(piece);
            let last = left.len() - 1;
            left.swap(i, last);
            if found {
                return true;
            }
        }
        false
    }
}
