//! Rings of boards between row lines that were measured since: sides on these lines move with them, sides at walls stay.

use super::ON_LINE;

/// Past what a board reaches along its row its side at a wall is followed no further than so many times what the line has
/// moved: beyond that nobody knows whether the wall goes on. Were it more, a wall that leans more than it rises would lead a
/// board further past its own end than its row has moved.
const FOLLOWED: f64 = 1.0;
/// Corners closer than this are one, mm.
const ONE: f64 = 1e-9;

type Point = (f64, f64);
type Ring = Vec<Point>;

/// Row lines, the lower and the upper one.
pub(super) type Lines = [f64; 2];

/// Rings, outer one first, with their sides on the lines `from` moved to the lines `to`. Where a line moves away from the
/// board its sides off that line go on as they run, no further than to where two of them meet; where it moves into the board
/// what lies past it is gone. `at_walls` says at which ends, left and right, the board stands at a wall and at no joint.
pub(super) fn moved(rings: &[Ring], from: Lines, to: Lines, at_walls: [bool; 2]) -> Vec<Ring> {
    let mut rings = rings.to_vec();
    let is_away = |side: usize| if side == 0 { to[0] < from[0] } else { to[1] > from[1] };
    // Away first: rows may have moved by more than their width.
    for side in (0..2).filter(|side| is_away(*side)) {
        rings.iter_mut().for_each(|ring| *ring = grown(ring, (from[side], to[side]), at_walls));
    }
    for side in (0..2).filter(|side| !is_away(*side) && from[*side] != to[*side]) {
        rings.iter_mut().for_each(|ring| *ring = cut(ring, to[side], side == 0));
    }
    rings
}

/// How high a ring is, mm.
pub(super) fn height(ring: &[Point]) -> f64 {
    let across = ring.iter().map(|p| p.1);
    let (low, high) = across.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), v| (v.min(l), v.max(h)));
    (high - low).max(0.0)
}

/// Whether two sets of rings have the same corners, to a hair.
pub(super) fn are_same(a: &[Ring], b: &[Ring]) -> bool {
    let is_same = |(a, b): (&Point, &Point)| (a.0 - b.0).abs().max((a.1 - b.1).abs()) < ON_LINE;
    a.len() == b.len() && a.iter().zip(b).all(|(a, b)| a.len() == b.len() && a.iter().zip(b).all(is_same))
}

/// What of a ring lies above a line, or below it.
fn cut(ring: &[Point], line: f64, above: bool) -> Ring {
    let count = ring.len();
    let is_kept = |p: Point| if above { p.1 >= line - ON_LINE } else { p.1 <= line + ON_LINE };
    let mut kept = Ring::with_capacity(count);
    for (i, p) in ring.iter().copied().enumerate() {
        if is_kept(p) {
            push(&mut kept, p);
            continue;
        }
        let beside = [ring[(i + count - 1) % count], ring[(i + 1) % count]];
        for other in beside.into_iter().filter(|other| is_kept(*other)) {
            push(&mut kept, (p.0 + (other.0 - p.0) * (line - p.1) / (other.1 - p.1), line));
        }
    }
    if kept.len() > 1 && is_one(kept[0], kept[kept.len() - 1]) {
        kept.pop();
    }
    kept
}

fn is_one(a: Point, b: Point) -> bool {
    (a.0 - b.0).abs().max((a.1 - b.1).abs()) < ONE
}

fn push(ring: &mut Ring, p: Point) {
    if !ring.last().is_some_and(|last| is_one(*last, p)) {
        ring.push(p);
    }
}

/// A side that leads away from a stretch on a row line, and how far it may be followed past that.
#[derive(Debug, Clone, Copy)]
struct Away {
    /// The stretch's end.
    at: Point,
    /// The corner before it, off the line.
    off: Point,
    /// The furthest u it may come to.
    most: f64,
}

impl Away {
    /// u where the side would come to v.
    fn along(&self, v: f64) -> f64 {
        self.at.0 + (self.off.0 - self.at.0) * (v - self.at.1) / (self.off.1 - self.at.1)
    }

    /// The same for the left side of a stretch, held where it may go no further.
    fn held(&self, v: f64, is_left: bool) -> f64 {
        if is_left { self.along(v).max(self.most) } else { self.along(v).min(self.most) }
    }

    /// v at which it is held from there on, on the way to `to`.
    fn held_at(&self, to: f64, is_left: bool) -> Option<f64> {
        let end = self.along(to);
        let is_past = if is_left { end < self.most } else { end > self.most };
        is_past.then(|| self.at.1 + (to - self.at.1) * ((self.most - self.at.0) / (end - self.at.0)))
    }
}

/// A stretch of a ring on a row line: its first and last corner, and the sides that lead away from its left and right end.
struct Stretch {
    corners: (usize, usize),
    sides: [Away; 2],
}

/// A ring with its sides on a line moved away from it.
fn grown(ring: &[Point], (from, to): (f64, f64), at_walls: [bool; 2]) -> Ring {
    let count = ring.len();
    let mut stretches = stretches(ring, from);
    let along = || ring.iter().map(|p| p.0);
    let least = along().fold(f64::INFINITY, f64::min);
    let greatest = along().fold(f64::NEG_INFINITY, f64::max);
    // Where another wall reaches past the side's end, that one stands in its way.
    let past = |end: usize, most: f64, at: Point| match at_walls[end] && is_one((most, 0.0), (at.0, 0.0)) {
        true => FOLLOWED * (to - from).abs(),
        false => 0.0,
    };
    for Stretch { sides: [left, right], .. } in &mut stretches {
        left.most = least - past(0, least, left.at);
        right.most = greatest + past(1, greatest, right.at);
    }
    // Between two legs both stop where their sides meet.
    for next in 1..stretches.len() {
        let (right, left) = (stretches[next - 1].sides[1], stretches[next].sides[0]);
        let (before, after) = (left.at.0 - right.at.0, left.along(to) - right.along(to));
        if after < 0.0 && before >= 0.0 {
            let meet = right.along(from + (to - from) * before / (before - after));
            stretches[next - 1].sides[1].most = right.most.min(meet);
            stretches[next].sides[0].most = left.most.max(meet);
        }
    }
    let mut chains: Vec<Option<Ring>> = vec![None; count];
    for Stretch { corners: (first, last), sides } in &stretches {
        let [left, right] = chain(sides, (from, to));
        (0..count).filter(|i| is_between(*i, *first, *last)).for_each(|i| chains[i] = Some(Ring::new()));
        let is_left_first = ring[*first].0 <= ring[*last].0;
        let (before, after) = if is_left_first { (left, right) } else { (right, left) };
        chains[*first] = Some(before);
        chains[*last] = Some(after.into_iter().rev().collect());
    }
    let mut grown = Ring::with_capacity(count + 2);
    for (i, chain) in chains.into_iter().enumerate() {
        chain.unwrap_or_else(|| vec![ring[i]]).into_iter().for_each(|p| push(&mut grown, p));
    }
    if grown.len() > 1 && is_one(grown[0], grown[grown.len() - 1]) {
        grown.pop();
    }
    grown
}

/// Whether a corner lies in a stretch that may reach past the end of the list.
fn is_between(i: usize, first: usize, last: usize) -> bool {
    if first <= last { (first..=last).contains(&i) } else { i >= first || i <= last }
}

/// The stretches of a ring on a line, from the left. A single corner on it is none.
fn stretches(ring: &[Point], line: f64) -> Vec<Stretch> {
    let count = ring.len();
    let is_on = |i: usize| (ring[i % count].1 - line).abs() < ON_LINE;
    let mut found: Vec<Stretch> = Vec::new();
    for first in (0..count).filter(|i| is_on(*i) && !is_on(i + count - 1)) {
        let on = (first..first + count).take_while(|i| is_on(*i)).count();
        let last = (first + on - 1) % count;
        if on < 2 {
            continue;
        }
        let away = |at: usize, off: usize| Away { at: ring[at], off: ring[off % count], most: 0.0 };
        let mut sides = [away(first, first + count - 1), away(last, last + 1)];
        if sides[0].at.0 > sides[1].at.0 {
            sides.swap(0, 1);
        }
        found.push(Stretch { corners: (first, last), sides });
    }
    found.sort_by(|a, b| a.sides[0].at.0.total_cmp(&b.sides[0].at.0));
    found
}

/// The corners beyond the line from a stretch's left and right end on, each outwards; where the sides meet the last is one
/// that both would have, and the left list has it.
fn chain(sides: &[Away; 2], (from, to): (f64, f64)) -> [Ring; 2] {
    let held = [sides[0].held_at(to, true), sides[1].held_at(to, false)];
    let mut ways: Vec<f64> = held.into_iter().flatten().chain([to]).collect();
    ways.sort_by(|a, b| (a - from).abs().total_cmp(&(b - from).abs()));
    let open = |v: f64| sides[1].held(v, false) - sides[0].held(v, true);
    let mut before = from;
    let (mut end, mut is_apex) = (to, false);
    for v in ways {
        let (was, is) = (open(before), open(v));
        if is < 0.0 {
            (end, is_apex) = (before + (v - before) * (was / (was - is)), true);
            break;
        }
        before = v;
    }
    let of_side = |side: usize| {
        let mut chain = Ring::new();
        let is_on_the_way = |v: &f64| (v - from).abs() < (end - from).abs();
        if let Some(v) = held[side].filter(is_on_the_way) {
            chain.push((sides[side].most, v));
        }
        if side == 0 || !is_apex {
            chain.push((sides[side].held(end, side == 0), end));
        }
        chain
    };
    [of_side(0), of_side(1)]
}

#[cfg(test)]
mod tests {
    use super::*;

    const WALLS: [bool; 2] = [true; 2];

    fn check(found: &[Point], expected: &[Point]) {
        let is_near = |(a, b): (&Point, &Point)| (a.0 - b.0).abs().max((a.1 - b.1).abs()) < 1e-9;
        assert!(found.len() == expected.len() && found.iter().zip(expected).all(is_near), "{found:?}");
    }

    fn one(ring: &[Point], from: Lines, to: Lines, at_walls: [bool; 2]) -> Ring {
        moved(&[ring.to_vec()], from, to, at_walls).remove(0)
    }

    /// A wall that leans 1 in 10: 6 further up it is 0.6 further along; but past an end joint no board reaches.
    #[test]
    fn corners_move_along_slanted_walls() {
        let ring = [(0.0, 0.0), (1000.0, 0.0), (1014.0, 140.0), (0.0, 140.0)];
        let (from, to) = ([0.0, 140.0], [0.0, 146.0]);
        check(&one(&ring, from, to, WALLS), &[(0.0, 0.0), (1000.0, 0.0), (1014.6, 146.0), (0.0, 146.0)]);
        let joint = [(0.0, 0.0), (1000.0, 0.0), (1014.0, 140.0), (1014.0, 146.0), (0.0, 146.0)];
        check(&one(&ring, from, to, [true, false]), &joint);
        check(&one(&joint, to, from, [true, false]), &ring);
    }

    /// A leg 20 wide on the row's lower line, its sides 4 in 10 and 6 in 10 towards one another: they meet 20 below, and
    /// rows that came 30 lower leave it the tip, at 8 from the left one's foot.
    #[test]
    fn legs_end_where_their_sides_meet() {
        let ring =
            [(40.0, 0.0), (60.0, 0.0), (90.0, 50.0), (90.0, 140.0), (0.0, 140.0), (0.0, 50.0), (20.0, 50.0)];
        let tip = [(40.0 + 8.0, -20.0), (90.0, 50.0), (90.0, 140.0), (0.0, 140.0), (0.0, 50.0), (20.0, 50.0)];
        check(&one(&ring, [0.0, 140.0], [-30.0, 140.0], WALLS), &tip);
        // Rows that go back leave what there was.
        check(&one(&tip, [-30.0, 140.0], [0.0, 140.0], WALLS), &ring);
    }

    /// The wall above a board hardly leaves the row's line: 10 in 800. Past the board's own end, at another wall, it is not
    /// followed: 5 further up it would be 400 further along.
    #[test]
    fn a_wall_is_not_followed_past_the_board() {
        let ring = [
            (1600.0, 140.0),
            (100.0, 140.0),
            (900.0, 130.0),
            (900.0, 20.0),
            (30.0, 20.0),
            (30.0, 0.0),
            (1600.0, 0.0),
        ];
        let grown = one(&ring, [0.0, 140.0], [0.0, 145.0], WALLS);
        // 100 − 30 = 70 along: 70 · 10 / 800 = 0.875 up.
        check(&grown[..4], &[(1600.0, 145.0), (30.0, 145.0), (30.0, 140.875), (900.0, 130.0)]);
        check(&one(&grown, [0.0, 145.0], [0.0, 140.0], WALLS), &ring);
        // Its end itself is followed, by what the line moved: 5 along, 5 · 10 / 800 = 0.0625 up.
        let tip = [(900.0, 140.0), (100.0, 140.0), (900.0, 130.0)];
        let grown = one(&tip, [0.0, 140.0], [0.0, 145.0], WALLS);
        check(&grown, &[(900.0, 145.0), (95.0, 145.0), (95.0, 140.0625), (900.0, 130.0)]);
    }

    /// A board in the tip of a room: the wall at its end leans 1.4 along for 1 across and ends just past it, at another wall. Rows
    /// that moved by 5.6 lead it 5.6 past its end and not 5.6 · 1.4 = 7.84: from 5.6 / 1.4 = 4 up it goes straight.
    #[test]
    fn a_board_reaches_no_further_past_its_end_than_its_row_has_moved() {
        let ring = [(0.0, 0.0), (500.0, 0.0), (500.0, 165.0), (-231.0, 165.0)];
        let grown = one(&ring, [0.0, 165.0], [0.0, 170.6], WALLS);
        check(&grown, &[(0.0, 0.0), (500.0, 0.0), (500.0, 170.6), (-236.6, 170.6), (-236.6, 169.0)]);
        check(&one(&grown, [0.0, 170.6], [0.0, 165.0], WALLS), &ring);
    }

    /// A line that comes 5 into a board with a notch 3 deep there takes the notch's sides with it, and a corner between.
    #[test]
    fn what_lies_past_a_line_is_gone() {
        let ring = [
            (0.0, 0.0),
            (400.0, 0.0),
            (400.0, 3.0),
            (600.0, 3.0),
            (600.0, 0.0),
            (1000.0, 0.0),
            (1000.0, 140.0),
            (0.0, 140.0),
        ];
        let rest = one(&ring, [0.0, 140.0], [5.0, 140.0], WALLS);
        check(&rest, &[(0.0, 5.0), (1000.0, 5.0), (1000.0, 140.0), (0.0, 140.0)]);
        // Rows that moved by more than their width take a plain board with them.
        let plain = [(0.0, 0.0), (1000.0, 0.0), (1000.0, 140.0), (0.0, 140.0)];
        let far = [(0.0, 300.0), (1000.0, 300.0), (1000.0, 441.0), (0.0, 441.0)];
        check(&one(&plain, [0.0, 140.0], [300.0, 441.0], WALLS), &far);
    }

    /// Two legs on the line whose sides between them lean 1 in 1 towards one another, 10 apart: 5 further they meet.
    #[test]
    fn legs_do_not_lie_over_one_another() {
        let ring = [
            (0.0, 0.0),
            (45.0, 0.0),
            (40.0, 5.0),
            (60.0, 5.0),
            (55.0, 0.0),
            (100.0, 0.0),
            (100.0, 50.0),
            (0.0, 50.0),
        ];
        let grown = one(&ring, [0.0, 50.0], [-8.0, 50.0], WALLS);
        let between =
            [(0.0, -8.0), (50.0, -8.0), (50.0, -5.0), (40.0, 5.0), (60.0, 5.0), (50.0, -5.0), (50.0, -8.0)];
        check(&grown[..7], &between);
    }
}
