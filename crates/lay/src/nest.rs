//! Pieces with slanting ends on one stock board: which of them are parted by one saw cut.
//!
//! A wall aslant to the rows ends a run in one line from side to side of its row. Seen from the board the line leans by its
//! *shift*: how much further along the board it lies at the tongue edge, mm. A board turned half round keeps its shifts. So
//! a closer, which begins with its board's left end, and a starter, which keeps the right end, are parted by one slanting
//! cut where the shifts are one; beside a square end, or one that leans the other way, each takes a rectangle.

use crate::yard::Need;
use crate::{Outline, slice::sides};
use site::Uv;
use smallvec::SmallVec;

/// Shifts of a piece's left and right end, mm; 0 for square ends.
pub(crate) type Shifts = [f64; 2];
/// Square ends.
pub(crate) const SQUARE: Shifts = [0.0; 2];
/// An end that leans less than this, mm along for each across, is squared up or marked by hand and takes its rectangle: the
/// tangent of 5°, from which on the saw list has mitres. Common practice, no source.
const LEAST_LEAN: f64 = 0.0875;
/// A corner this close to a line lies on it, mm.
const TRUE: f64 = 0.1;
/// How far a slanting line that is drawn from a run's long point may cut into the run, mm. Either point is cut off by another wall
/// within [`TRUE`] of its row's side at times: the flatter the slant, the further the line through a blunt long point lies inside,
/// and past a blunt short point the other wall may lead out over the line.
const BLUNT: f64 = 0.04;
/// Pieces between a board's closer and starter whose order is looked for; a board takes no more. Small ones are left of a
/// corner of the floor only.
const MOST_BETWEEN: usize = 5;

/// The saw as it parts slanting ends.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Parting {
    pub(crate) kerf: f64,
    pub(crate) pitch: f64,
    pub(crate) end_match: bool,
}

/// A piece of a stock board.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Nested {
    /// The run it is for.
    pub(crate) owner: u32,
    pub(crate) need: Need,
    pub(crate) shifts: Shifts,
}

impl Nested {
    fn is_slanting(&self) -> bool {
        self.shifts != SQUARE
    }
}

/// The pieces of a stock board, in no order.
#[derive(Debug, Clone, Default)]
pub(crate) struct Nest {
    pub(crate) pieces: SmallVec<[Nested; 4]>,
    /// What they take less than their rectangles, a saw cut between each, mm.
    pub(crate) saved: f64,
    /// Shifts of the lines between which they lie, where a board is partly laid.
    pub(crate) sides: Shifts,
    /// The pools it stands in, with its place there.
    pub(crate) listed: SmallVec<[(u16, f64); 6]>,
}

impl Nest {
    /// Whether any end on it slants.
    pub(crate) fn is_slanting(&self) -> bool {
        self.sides != SQUARE || self.pieces.iter().any(Nested::is_slanting)
    }
}

impl Parting {
    /// What two ends side by side, the right end of one piece and the left end of the next, save of their rectangles and
    /// the saw cut between, mm. A slanting cut takes kerf / cos of its angle along the board.
    pub(crate) fn saved_between(&self, right: f64, left: f64) -> f64 {
        if right * left <= 0.0 || self.pitch <= 0.0 {
            return 0.0;
        }
        let lean = right.abs().max(left.abs()) / self.pitch;
        let cut = self.kerf * ((1.0 + lean * lean).sqrt() - 1.0);
        (right.abs().min(left.abs()) - cut).max(0.0)
    }

    /// The most that pieces of one board save together in any order; with another one, if given. `None` where they are too
    /// many to look through.
    pub(crate) fn saved(&self, nest: &Nest, more: &[Nested]) -> Option<f64> {
        let all = || nest.pieces.iter().chain(more);
        let between = all().filter(|piece| self.lies_between(piece) && piece.is_slanting()).count();
        if between > MOST_BETWEEN {
            return None;
        }
        let leans = |up: bool| {
            let is_it = |shift: f64| if up { shift > 0.0 } else { shift < 0.0 };
            let right = is_it(nest.sides[0]) || all().any(|piece| is_it(piece.shifts[1]));
            right && (is_it(nest.sides[1]) || all().any(|piece| is_it(piece.shifts[0])))
        };
        if !leans(true) && !leans(false) {
            return Some(0.0);
        }
        // As they are arranged, but only for how much that saves: it is asked for at every piece that is looked for.
        let end = |need: Need| all().find(|piece| self.end_match && piece.need == need);
        let first = end(Need::Left).map_or(nest.sides[0], |closer| closer.shifts[1]);
        let last = end(Need::Right).map_or(nest.sides[1], |starter| starter.shifts[0]);
        let mut movable: SmallVec<[Shifts; MOST_BETWEEN + 1]> = SmallVec::new();
        let mut has_square = false;
        for piece in all().filter(|piece| self.lies_between(piece)) {
            match piece.is_slanting() {
                true => movable.push(piece.shifts),
                false => has_square = true,
            }
        }
        if has_square {
            movable.push(SQUARE);
        }
        Some(self.most(&movable, (first, last)))
    }

    /// The most that ends save: `first`, those of pieces in any order, and `last`. What any of them save before a piece, whatever
    /// their order, is reckoned once, so that five pieces and a square one ask for a few hundred sums and not for 720 orders.
    fn most(&self, movable: &[Shifts], (first, last): (f64, f64)) -> f64 {
        let count = movable.len();
        if count == 0 {
            return self.saved_between(first, last);
        }
        // By the pieces taken, a bit for each, and the one that lies last of them.
        let mut most: SmallVec<[f64; 24]> = SmallVec::from_elem(f64::NEG_INFINITY, count << count);
        for (place, [left, _]) in movable.iter().enumerate() {
            most[(count << place) + place] = self.saved_between(first, *left);
        }
        let mut between: SmallVec<[f64; 36]> = SmallVec::new();
        for [_, right] in movable {
            between.extend(movable.iter().map(|[left, _]| self.saved_between(*right, *left)));
        }
        for taken in 1..1_usize << count {
            for before in (0..count).filter(|place| taken & (1 << place) != 0) {
                let saved = most[count * taken + before];
                for place in (0..count).filter(|place| taken & (1 << place) == 0) {
                    let next = &mut most[count * (taken | 1 << place) + place];
                    *next = next.max(saved + between[count * before + place]);
                }
            }
        }
        let all = &most[count * ((1 << count) - 1)..];
        let ended =
            all.iter().zip(movable).map(|(saved, [_, right])| saved + self.saved_between(*right, last));
        ended.fold(f64::NEG_INFINITY, f64::max)
    }

    /// The order, from left to right, in which pieces of a board save most, and how much, mm.
    pub(crate) fn arranged(&self, pieces: &[Nested], sides: Shifts) -> (f64, SmallVec<[usize; 8]>) {
        let end = |need: Need| pieces.iter().position(|piece| self.end_match && piece.need == need);
        let (closer, starter) = (end(Need::Left), end(Need::Right));
        let between = (0..pieces.len()).filter(|i| self.lies_between(&pieces[*i]));
        // Square pieces part nothing where they lie side by side: one stands for all.
        let (slanting, square): (SmallVec<[usize; 8]>, SmallVec<[usize; 8]>) =
            between.partition(|i| pieces[*i].is_slanting());
        let mut search = Search {
            parting: self,
            pieces,
            movable: slanting.iter().copied().chain(square.first().copied()).collect(),
            last: starter.map_or(sides[1], |i| pieces[i].shifts[0]),
            taken: 0,
            so_far: SmallVec::new(),
            best: f64::NEG_INFINITY,
            order: SmallVec::new(),
        };
        search.go(closer.map_or(sides[0], |i| pieces[i].shifts[1]), 0.0);
        let mut order: SmallVec<[usize; 8]> = closer.into_iter().collect();
        for i in search.order {
            match Some(&i) == square.first() {
                true => order.extend(square.iter().copied()),
                false => order.push(i),
            }
        }
        order.extend(starter);
        (search.best, order)
    }

    /// Whether a piece may lie anywhere but at its board's ends.
    fn lies_between(&self, piece: &Nested) -> bool {
        !self.end_match || piece.need == Need::Neither
    }
}

/// Every order of the pieces that may lie anywhere, one after the other.
struct Search<'p> {
    parting: &'p Parting,
    pieces: &'p [Nested],
    movable: SmallVec<[usize; 8]>,
    /// Shift of the end after the last of them.
    last: f64,
    taken: u32,
    so_far: SmallVec<[usize; 8]>,
    best: f64,
    order: SmallVec<[usize; 8]>,
}

impl Search<'_> {
    fn go(&mut self, right: f64, saved: f64) {
        if self.so_far.len() == self.movable.len() {
            let saved = saved + self.parting.saved_between(right, self.last);
            if saved > self.best {
                self.best = saved;
                self.order.clone_from(&self.so_far);
            }
            return;
        }
        for place in 0..self.movable.len() {
            if self.taken & (1 << place) != 0 {
                continue;
            }
            let piece = self.movable[place];
            let [left, next] = self.pieces[piece].shifts;
            self.taken |= 1 << place;
            self.so_far.push(piece);
            self.go(next, saved + self.parting.saved_between(right, left));
            self.so_far.pop();
            self.taken &= !(1 << place);
        }
    }
}

/// Shifts of a run's left and right end on the plan: each where it is one line from side to side of the row; else 0.
pub(crate) fn shifts_of(outline: &Outline, (low, high): (f64, f64), (left, right): (f64, f64)) -> Shifts {
    let is_at = |v: f64, side: f64| (v - side).abs() < TRUE;
    let mut shifts = SQUARE;
    for (a, b) in sides(&outline.outer) {
        // The outline goes anticlockwise: down at a left end, up at a right one.
        let (end, shift) = if is_at(a.v, high) && is_at(b.v, low) && is_at(a.u.min(b.u), left) {
            (0, a.u - b.u)
        } else if is_at(a.v, low) && is_at(b.v, high) && is_at(a.u.max(b.u), right) {
            (1, b.u - a.u)
        } else {
            continue;
        };
        // The line begins at the long point: at the lower corner, if either end leans inwards as it goes up.
        let from = if (shift > 0.0) == (end == 0) { low } else { high };
        let past = |p: &Uv| {
            let along = shift * (p.v - from) / (high - low);
            if end == 0 { left + along - p.u } else { p.u - right - along }
        };
        if outline.outer.iter().all(|p| past(p) <= BLUNT) {
            shifts[end] = shift;
        }
    }
    shifts.map(|shift| if shift.abs() > LEAST_LEAN * (high - low) { shift } else { 0.0 })
}

#[cfg(test)]
mod tests {
    use super::*;

    const PARTING: Parting = Parting { kerf: 3.0, pitch: 200.0, end_match: true };

    fn piece(need: Need, left: f64, right: f64) -> Nested {
        Nested { owner: 0, need, shifts: [left, right] }
    }

    /// What pieces save, which is what the best order of them does.
    fn saved(parting: Parting, pieces: &[Nested]) -> f64 {
        let saved = parting.saved(&Nest::default(), pieces).unwrap();
        assert_eq!(saved, parting.arranged(pieces, SQUARE).0);
        saved
    }

    /// Boards of up to five pieces drawn from ends of five slants: how much they save is what the best order saves, between
    /// whatever lines.
    #[test]
    fn as_much_is_saved_as_in_the_best_order() {
        let (ends, needs) = ([-200.0, -50.0, 0.0, 50.0, 200.0], [Need::Left, Need::Right, Need::Neither]);
        let mut drawn = 7_u64;
        let mut draw = |count: usize| {
            drawn = drawn.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            (drawn >> 33) as usize % count
        };
        let mut most = 0.0_f64;
        for board in 0..4000 {
            let mut nest = Nest { sides: [0, 0].map(|_| ends[draw(5)]), ..Nest::default() };
            for _ in 0..draw(6) {
                let need = needs[draw(3)];
                let is_there = need != Need::Neither && nest.pieces.iter().any(|other| other.need == need);
                if !is_there {
                    nest.pieces.push(piece(need, ends[draw(5)], ends[draw(5)]));
                }
            }
            let parting = Parting { end_match: board % 3 > 0, ..PARTING };
            let (best, _) = parting.arranged(&nest.pieces, nest.sides);
            assert_eq!(parting.saved(&nest, &[]), Some(best), "{nest:?}");
            most = most.max(best);
        }
        assert!(most > 600.0, "{most}");
    }

    /// Ends at 45° over 200 mm: the cut takes 3·√2 along the board instead of 3, and the rectangles overlap by 200. Leaning
    /// the other way they meet at a point and nothing is saved; beside a square end neither. By hand.
    #[test]
    fn a_closer_and_a_starter_of_one_slant_are_parted_by_one_cut() {
        let closer = piece(Need::Left, 0.0, 200.0);
        let cut = 3.0 * (2.0_f64.sqrt() - 1.0);
        let both = |left: f64| saved(PARTING, &[piece(Need::Right, left, 0.0), closer]);
        assert!((both(200.0) - (200.0 - cut)).abs() < 1e-9);
        assert_eq!((both(-200.0), both(0.0)), (0.0, 0.0));
        // One that leans less lies over the other by its own shift only.
        assert!((both(100.0) - (100.0 - cut)).abs() < 1e-9);
    }

    /// A run of one piece in a corner, 400 at one edge and nothing at the other, between a closer and a starter that lean
    /// its ways: 200 is saved at either side. One the other way about parts nothing. By hand, the kerf nought.
    #[test]
    fn what_lies_between_nests_at_both_sides() {
        let parting = Parting { kerf: 0.0, ..PARTING };
        let (closer, starter) = (piece(Need::Left, 0.0, 200.0), piece(Need::Right, -200.0, 0.0));
        assert_eq!(saved(parting, &[starter, piece(Need::Neither, 200.0, -200.0), closer]), 400.0);
        assert_eq!(saved(parting, &[starter, piece(Need::Neither, -200.0, 200.0), closer]), 0.0);
        // A square piece between a closer and a starter of one slant keeps them apart.
        let starter = piece(Need::Right, 200.0, 0.0);
        assert_eq!(saved(parting, &[starter, piece(Need::Neither, 0.0, 0.0), closer]), 0.0);
        // Where ends do not join it lies elsewhere.
        let parting = Parting { end_match: false, ..parting };
        assert_eq!(saved(parting, &[starter, piece(Need::Neither, 0.0, 0.0), closer]), 200.0);
    }

    /// Three corners of the floor and what parts them: of −, +, − and + at their ends three of four junctions at best, since
    /// the last falls off the end of the board. By hand, the kerf nought.
    #[test]
    fn corners_lie_one_in_the_other() {
        let parting = Parting { kerf: 0.0, ..PARTING };
        let (up, down) = (piece(Need::Neither, -200.0, 200.0), piece(Need::Neither, 200.0, -200.0));
        assert_eq!(saved(parting, &[up, up, down, down]), 600.0);
        assert_eq!(saved(parting, &[up, up, up]), 0.0);
        let (most, order) = parting.arranged(&[up, up, down, down], SQUARE);
        assert_eq!(most, 600.0);
        assert!(order.windows(2).all(|pair| (pair[0] < 2) != (pair[1] < 2)), "{order:?}");
    }

    /// A run 1000 long at its lower side, its left end leaning right by 190 and its right end left by 50.
    #[test]
    fn a_run_s_ends_slant_where_they_are_one_line() {
        let ring = |corners: &[(f64, f64)]| Outline {
            outer: corners.iter().map(|(u, v)| Uv::new(*u, *v)).collect(),
            holes: Vec::new(),
        };
        let run = ring(&[(0.0, 0.0), (1000.0, 0.0), (950.0, 190.0), (190.0, 190.0)]);
        assert_eq!(shifts_of(&run, (0.0, 190.0), (0.0, 1000.0)), [190.0, -50.0]);
        // 16 over 190 are 4.8°: less than a mitre.
        let near = ring(&[(0.0, 0.0), (1000.0, 0.0), (984.0, 190.0), (17.0, 190.0)]);
        assert_eq!(shifts_of(&near, (0.0, 190.0), (0.0, 1000.0)), [17.0, 0.0]);
        // Another wall cuts the long point off, 0.03 and 0.02 high: a line that leans by 1.9 for each across, drawn from the
        // point, would cut 0.057 and 0.038 into the run. Where the short point is cut off it lies outside.
        let blunt =
            |off: f64| ring(&[(0.0, 0.0), (1000.0, 0.0), (1000.0, 100.0), (190.0, 100.0), (0.0, off)]);
        assert_eq!(shifts_of(&blunt(0.03), (0.0, 100.0), (0.0, 1000.0)), SQUARE);
        assert_eq!(shifts_of(&blunt(0.02), (0.0, 100.0), (0.0, 1000.0)), [190.0, 0.0]);
        let short = ring(&[(0.0, 0.0), (1000.0, 0.0), (1000.0, 100.0), (190.0, 100.0), (190.0, 99.95)]);
        assert_eq!(shifts_of(&short, (0.0, 100.0), (0.0, 1000.0)), [190.0, 0.0]);
        // Where the other wall leads out, its corner on the row's side lies 0.1 and 0.02 past the line, which is at 190 there.
        let led = |out: f64| {
            ring(&[(0.0, 0.0), (1000.0, 0.0), (1000.0, 100.0), (190.0 - out, 100.0), (190.0, 99.99)])
        };
        assert_eq!(shifts_of(&led(0.1), (0.0, 100.0), (0.0, 1000.0)), SQUARE);
        assert_eq!(shifts_of(&led(0.02), (0.0, 100.0), (0.0, 1000.0)), [190.0, 0.0]);
        // The same of a right end that leans out as it goes up.
        let right =
            |off: f64| ring(&[(0.0, 0.0), (800.0, 0.0), (990.0, 100.0 - off), (990.0, 100.0), (0.0, 100.0)]);
        assert_eq!(shifts_of(&right(0.03), (0.0, 100.0), (0.0, 990.0)), SQUARE);
        assert_eq!(shifts_of(&right(0.02), (0.0, 100.0), (0.0, 990.0)), [0.0, 190.0]);
        // A corner of the wall within the row: no one line.
        let bent = ring(&[(0.0, 0.0), (1000.0, 0.0), (1000.0, 190.0), (190.0, 190.0), (40.0, 100.0)]);
        assert_eq!(shifts_of(&bent, (0.0, 190.0), (0.0, 1000.0)), SQUARE);
    }
}
