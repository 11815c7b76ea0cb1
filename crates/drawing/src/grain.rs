//! The grain of wood, drawn for people who will live on the floor: ours, made by sums, the same every time.
//!
//! Grain belongs to the board as bought, so pieces cut from one board carry on where the saw parted them.

use crate::Drawing;
use crate::Role;
use crate::geometry::{at, contains};
use kurbo::{BezPath, Point};
use lay::Board;
use pipeline::House;
use std::f64::consts::TAU;

/// Lines of grain stand at least this far apart in the wood, mm.
const APART: f64 = 22.0;
/// And this far apart on paper, mm: nearer, they run together to a tint.
const APART_ON_PAPER: f64 = 0.85;
/// Steps along a line of grain, mm; and on paper, where finer ones are not seen and fill the file.
const STEP: f64 = 70.0;
const STEP_ON_PAPER: f64 = 0.7;
/// A board no longer than this has no grain, mm.
const CRUMB: f64 = 1.0;

/// Draws the grain of every board, at `scale` plan mm to a paper mm.
pub(crate) fn draw(drawing: &mut Drawing, house: &House, scale: f64) {
    for (index, board) in house.floor.boards.iter().enumerate() {
        let path =
            grain_of(house, board, (APART_ON_PAPER * scale).max(APART), (STEP_ON_PAPER * scale).max(STEP));
        if !path.is_empty() {
            drawing.board(Role::Grain, index, path);
        }
    }
}

/// Numbers that are the same for one seed every time: `splitmix64` (Steele, Lea and Flood 2014; constants from memory),
/// which chance here only serves the eye.
struct Chance(u64);

impl Chance {
    fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.next()
    }
}

/// The grain of one board on the plan.
fn grain_of(house: &House, board: &Board, apart: f64, step: f64) -> BezPath {
    let pitch = house.floor.pitch;
    let mut rings = board.own_rings(pitch);
    let outline: Vec<Point> = rings.next().unwrap_or_default().into_iter().map(Point::from).collect();
    let holes: Vec<Vec<Point>> = rings.map(|ring| ring.into_iter().map(Point::from).collect()).collect();
    let is_wood = |p: Point| contains(&outline, p) && holes.iter().all(|hole| !contains(hole, p));
    let ends = outline.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(l, r), p| (l.min(p.x), r.max(p.x)));
    let stock = house.floor.stock.get(board.stock).map_or(board.length(), |stock| stock.length);
    let mut path = BezPath::new();
    // A crumb shows none, and has no ends to keep off.
    if !(ends.0.is_finite() && ends.1.is_finite()) || ends.1 - ends.0 < CRUMB {
        return path;
    }
    let mut chance = Chance((board.stock as u64).wrapping_mul(0x2545_f491_4f6c_dd1d) ^ 0x5eed);
    let mut put = |line: &dyn Fn(f64) -> Option<f64>| {
        let mut is_down = false;
        let count = ((ends.1 - ends.0) / step).ceil().clamp(1.0, 400.0) as usize;
        for i in 0..=count {
            // The very ends lie on the outline; a hair inside them is wood.
            let x = (ends.0 + (ends.1 - ends.0) * i as f64 / count as f64).clamp(ends.0 + 0.2, ends.1 - 0.2);
            let own = line(board.from + x).map(|y| Point::new(x, y)).filter(|p| is_wood(*p));
            match own {
                Some(own) => {
                    let on_plan = on_plan(house, board, own);
                    if is_down {
                        path.line_to(on_plan);
                    } else {
                        path.move_to(on_plan);
                    }
                    is_down = true;
                }
                None => is_down = false,
            }
        }
    };
    // A slow swing of the whole board, shared by its lines.
    let (swing, wave, phase) =
        (chance.between(1.0, 5.0), chance.between(900.0, 1900.0), chance.between(0.0, TAU));
    let swung = |x: f64| swing * libm::sin(x / wave * TAU + phase);
    let is_flamed = chance.next() < 0.45;
    let flame = pitch * chance.between(0.22, 0.34);
    let centre = pitch * chance.between(0.4, 0.6);
    let lines = (pitch / apart).floor().clamp(1.0, 40.0) as usize;
    for k in 0..lines {
        let y = (k as f64 + 0.5 + chance.between(-0.25, 0.25)) * pitch / lines as f64;
        if is_flamed && (y - centre).abs() < flame {
            continue;
        }
        let (ripple, phase) = (chance.between(280.0, 520.0), chance.between(0.0, TAU));
        put(&|x| Some(y + swung(x) + 1.3 * libm::sin(x / ripple * TAU + phase)));
    }
    if is_flamed {
        // Flames of a flat-sawn board: parabolas one within the other, their tips along its middle.
        let (way, long) = (if chance.next() < 0.5 { 1.0 } else { -1.0 }, chance.between(500.0, 1100.0));
        let step = chance.between(190.0, 300.0).max(apart * 3.0);
        let count = (stock / step).ceil().clamp(1.0, 60.0) as usize;
        for k in 0..=count {
            let tip = (k as f64 + chance.between(-0.2, 0.2)) * step;
            for side in [1.0, -1.0] {
                put(&|x| {
                    let t = (x - tip) * way / long;
                    let off = flame * libm::sqrt(t.max(0.0));
                    (t >= 0.0 && off < flame).then(|| centre + swung(x) + side * off)
                });
            }
        }
    }
    path
}

/// A point of a board's own frame on the plan.
fn on_plan(house: &House, board: &Board, own: Point) -> Point {
    let (along, across) = if board.turned {
        let pitch = house.floor.pitch;
        (board.right + board.lean * pitch - own.x, board.base + pitch - own.y)
    } else {
        (board.left + own.x, board.base + own.y)
    };
    at(house.site.frame.plan_from_row(board.at(along, across)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::small_house;
    use kurbo::PathEl;

    #[test]
    fn grain_stays_on_its_board_and_is_the_same_twice() {
        let house = small_house("Hut");
        let mut drawn = 0;
        for board in &house.floor.boards {
            let path = grain_of(&house, board, APART, STEP);
            assert_eq!(path, grain_of(&house, board, APART, STEP));
            let outline: Vec<Point> =
                board.outline.outer.iter().map(|uv| at(house.site.frame.plan_from_row(*uv))).collect();
            for element in path.elements() {
                if let PathEl::MoveTo(p) | PathEl::LineTo(p) = element {
                    assert!(contains(&outline, *p), "{p:?} off {}", board.label);
                    drawn += 1;
                }
            }
        }
        assert!(drawn > house.floor.boards.len() * 10, "{drawn}");
    }

    /// Beside a wall aslant to the rows a board may be a few tenths long, less than grain keeps off its ends.
    #[test]
    fn a_crumb_has_no_grain() {
        let house = small_house("Hut");
        let mut board = house.floor.boards[0].clone();
        for length in [0.0, 0.3, 0.9] {
            let crumb = |p: &site::Uv| site::Uv::new(p.u.min(board.left + length), p.v);
            board.outline.outer = board.outline.outer.iter().map(crumb).collect();
            assert!(grain_of(&house, &board, APART, STEP).is_empty(), "{length}");
        }
    }

    #[test]
    fn own_places_come_back_from_the_plan() {
        let house = small_house("Hut");
        for board in &house.floor.boards {
            let p = on_plan(&house, board, Point::new(30.0, 12.0));
            let own =
                board.own(house.site.frame.row_from_plan(plan::Point::new(p.x, p.y)), house.floor.pitch);
            assert!((own.0 - 30.0).abs() < 1e-6 && (own.1 - 12.0).abs() < 1e-6, "{own:?}");
        }
    }
}
