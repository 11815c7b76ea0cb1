//! A first shape of a room from nothing but its walls' lengths, to be set right by diagonals.

use crate::RoomTrouble;
use crate::room::length_words;
use plan::{Place, Plan, Point, Problem, edit};
use std::f64::consts::{FRAC_PI_2, PI};

/// A wall as it is taped going round a room.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Leg {
    /// What the tape showed, mm.
    pub length: f64,
    /// Whether one turns the other way before it than on the way round: its first corner stands into the room.
    pub turns_back: bool,
}

impl Leg {
    /// A wall before which one turns the usual way.
    pub fn new(length: f64) -> Self {
        Self { length, turns_back: false }
    }
}

/// Halvings until a radius is known as well as a number can tell.
const HALVINGS: usize = 200;
/// More walls are no room that is taped at once.
const MOST: usize = 60;

/// Corners of a room with these walls, taped one after the other to the left round it: the first wall from the origin along x.
///
/// Where every corner turns alike, its corners lie on a circle: of all shapes with these walls the one with most floor, and a
/// rectangle where opposite walls are alike. Where some turn back, every corner is square, and what the walls miss is spread
/// over them by their lengths (the compass rule of traverses).
///
/// # Errors
/// When there are fewer than three walls, one is longer than all others together, or the turns do not lead round.
pub fn rough_shape(legs: &[Leg], plan: &Plan) -> Result<Vec<Point>, RoomTrouble> {
    let trouble = |what: String, mend: &str| RoomTrouble { what, mend: mend.into(), next: Vec::new() };
    if !(3..=MOST).contains(&legs.len()) {
        return Err(trouble(
            format!("a room of {} walls", legs.len()),
            "type three walls or more, up to 60, going round it",
        ));
    }
    if let Some(bad) = legs.iter().position(|leg| !(1.0..=1e6).contains(&leg.length)) {
        return Err(trouble(
            format!("wall {} has no length", bad + 1),
            "type what the tape showed, 1 mm or more",
        ));
    }
    let all: f64 = legs.iter().map(|leg| leg.length).sum();
    if let Some((long, leg)) = legs.iter().enumerate().find(|(_, leg)| leg.length * 2.0 >= all) {
        let (own, rest) = (length_words(leg.length, plan.units), length_words(all - leg.length, plan.units));
        return Err(trouble(
            format!(
                "wall {} is taped {own}, but round by the others it is only {rest}: they cannot meet",
                long + 1
            ),
            "measure these again, and type what the tape shows",
        ));
    }
    let back = legs.iter().filter(|leg| leg.turns_back).count();
    if back == 0 {
        return Ok(on_a_circle(legs));
    }
    if legs.len() != 4 + 2 * back {
        return Err(trouble(
            format!("{back} of {} corners turn back, which does not lead round", legs.len()),
            "a room with square corners has four more that turn the usual way than that turn back: mark those, or draw it",
        ));
    }
    Ok(squared(legs, all))
}

/// The polygon with these sides whose corners lie on a circle.
fn on_a_circle(legs: &[Leg]) -> Vec<Point> {
    let longest = (0..legs.len()).max_by(|a, b| legs[*a].length.total_cmp(&legs[*b].length)).unwrap_or(0);
    // Half the angle under which a side is seen from the middle.
    let half = |leg: &Leg, radius: f64| libm::asin((leg.length / (2.0 * radius)).min(1.0));
    let others = |radius: f64| {
        let but_longest = legs.iter().enumerate().filter(|(i, _)| *i != longest);
        but_longest.map(|(_, leg)| half(leg, radius)).sum::<f64>()
    };
    let least = legs[longest].length / 2.0;
    // The middle lies inside where the others reach round more than half.
    let is_inside = others(least) >= FRAC_PI_2;
    let seen = |radius: f64| {
        let own = half(&legs[longest], radius);
        if is_inside { PI - own } else { own }
    };
    let (mut low, mut high) = (least, least);
    // Outwards until the others no longer reach as far round as the longest leaves.
    let is_short =
        |radius: f64| if is_inside { others(radius) < seen(radius) } else { others(radius) > seen(radius) };
    for _ in 0..HALVINGS {
        high *= 2.0;
        if is_short(high) {
            break;
        }
        low = high;
    }
    for _ in 0..HALVINGS {
        let middle = f64::midpoint(low, high);
        if is_short(middle) { high = middle } else { low = middle }
    }
    let radius = f64::midpoint(low, high);
    // Each corner turns by half of what its two sides are seen under.
    let turn_of = |i: usize| {
        let own = half(&legs[i], radius);
        // The longest side is seen round the far side where the middle lies outside.
        if i == longest && !is_inside { PI - own } else { own }
    };
    let (mut at, mut heading) = (Point::default(), 0.0);
    let mut corners = Vec::with_capacity(legs.len());
    for (i, leg) in legs.iter().enumerate() {
        if i > 0 {
            heading += turn_of(i - 1) + turn_of(i);
        }
        corners.push(at);
        at = at.moved(leg.length * libm::cos(heading), leg.length * libm::sin(heading));
    }
    corners
}

/// Every corner square; what the walls miss is spread over them.
fn squared(legs: &[Leg], all: f64) -> Vec<Point> {
    let mut heading = Point::new(1.0, 0.0);
    let mut ends = vec![Point::default()];
    for (i, leg) in legs.iter().enumerate() {
        if i > 0 {
            heading = match leg.turns_back {
                false => Point::new(-heading.y, heading.x),
                true => Point::new(heading.y, -heading.x),
            };
        }
        let from = ends[i];
        ends.push(from.moved(heading.x * leg.length, heading.y * leg.length));
    }
    let miss = ends[legs.len()];
    let mut gone = 0.0;
    let mut corners = Vec::with_capacity(legs.len());
    for (i, leg) in legs.iter().enumerate() {
        let share = gone / all;
        corners.push(ends[i].moved(-miss.x * share, -miss.y * share));
        gone += leg.length;
    }
    corners
}

/// Adds a room from its taped walls, its lower left at `at`, the walls noted as its tape; gives its index. Going round to the
/// right instead of the left, it comes out as one stands in it all the same. Until diagonals are taped its corners are a
/// first shape; three walls fix a room by themselves.
///
/// # Errors
/// As [`rough_shape`], and when the walls would cross.
pub fn add_taped_room(plan: &mut Plan, legs: &[Leg], clockwise: bool, at: Point) -> Result<usize, Problem> {
    let index = plan.rooms.len();
    let place = Place::Room(index);
    let mut shape = rough_shape(legs, plan).map_err(|trouble| Problem {
        place_name: "the new room".into(),
        place,
        what: trouble.what,
        mend: trouble.mend,
    })?;
    if clockwise {
        shape.iter_mut().for_each(|p| p.y = 0.0 - p.y);
    }
    let least = |of: fn(&Point) -> f64| shape.iter().map(of).fold(f64::INFINITY, f64::min);
    let (x, y) = (at.x - least(|p| p.x), at.y - least(|p| p.y));
    let tidy = |mm: f64| (mm * 10.0).round() / 10.0 + 0.0;
    let corners: Vec<Point> = shape.iter().map(|p| Point::new(tidy(p.x + x), tidy(p.y + y))).collect();
    let mut next = plan.clone();
    edit::add_room(&mut next, &corners)?;
    let room = &mut next.rooms[index];
    for (wall, leg) in legs.iter().enumerate() {
        crate::put_length(room, wall, (wall + 1) % legs.len(), leg.length);
    }
    if legs.len() == 3 {
        crate::set_corners(&mut next, index, 0, false)?;
    }
    *plan = next;
    Ok(index)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::room_tape;

    fn legs(lengths: &[f64]) -> Vec<Leg> {
        lengths.iter().map(|length| Leg { length: length.abs(), turns_back: *length < 0.0 }).collect()
    }

    fn sides(corners: &[Point]) -> Vec<f64> {
        (0..corners.len()).map(|i| corners[i].distance(corners[(i + 1) % corners.len()])).collect()
    }

    fn area(corners: &[Point]) -> f64 {
        let next = corners.iter().cycle().skip(1);
        corners.iter().zip(next).map(|(a, b)| a.x * b.y - b.x * a.y).sum::<f64>() / 2.0
    }

    /// Brahmagupta: the area of a quadrilateral on a circle is √((s−a)(s−b)(s−c)(s−d)); Heron's for a triangle.
    #[test]
    fn a_convex_room_has_its_walls_and_the_most_floor() {
        let plan = Plan::new("Test");
        for lengths in [
            vec![4000.0, 3010.0, 4020.0, 2990.0],
            vec![5000.0, 1200.0, 3000.0, 1100.0],
            vec![3000.0, 4000.0, 5000.0],
        ] {
            let corners = rough_shape(&legs(&lengths), &plan).unwrap();
            for (side, length) in sides(&corners).iter().zip(&lengths) {
                assert!((side - length).abs() < 1e-6, "{side} {length}");
            }
            let s = lengths.iter().sum::<f64>() / 2.0;
            let product: f64 = lengths.iter().map(|length| s - length).product();
            let expected = if lengths.len() == 4 { product.sqrt() } else { (s * product).sqrt() };
            assert!((area(&corners) - expected).abs() < 1e-3 * expected.sqrt(), "{lengths:?}");
        }
        // A regular hexagon of 2000: 3√3/2 · a².
        let corners = rough_shape(&legs(&[2000.0; 6]), &plan).unwrap();
        assert!((area(&corners) - 1.5 * 3.0_f64.sqrt() * 4e6).abs() < 1.0);
    }

    #[test]
    fn corners_that_turn_back_make_an_l() {
        let plan = Plan::new("Test");
        let ell = [6000.0, 2000.0, 3500.0, -3000.0, 2500.0, 5000.0];
        let corners = rough_shape(&legs(&ell), &plan).unwrap();
        let expected =
            [(0.0, 0.0), (6000.0, 0.0), (6000.0, 2000.0), (2500.0, 2000.0), (2500.0, 5000.0), (0.0, 5000.0)];
        for (corner, expected) in corners.iter().zip(expected) {
            assert!(corner.distance(expected.into()) < 1e-9, "{corners:?}");
        }
        let refused = |lengths: &[f64], what: &str| {
            let trouble = rough_shape(&legs(lengths), &plan).unwrap_err();
            assert!(trouble.what.contains(what), "{trouble}");
        };
        refused(&[6000.0, -2000.0, 3500.0, -3000.0, 2500.0, 5000.0], "does not lead round");
        refused(&[6000.0, 2000.0, 3500.0], "cannot meet");
        refused(&[6000.0, 2000.0], "a room of 2 walls");
        refused(&[6000.0, 2000.0, 0.0], "has no length");
    }

    /// Sides 4000, 3000, 4000, 3000 and both diagonals 5010: a rectangle 4004 × 3003, worked out in `tests/published.rs`.
    #[test]
    fn a_room_stands_from_its_tape_alone() {
        for clockwise in [false, true] {
            let mut plan = Plan::new("Test");
            let walls = legs(&[4000.0, 3000.0, 4000.0, 3000.0]);
            assert_eq!(add_taped_room(&mut plan, &walls, clockwise, Point::new(100.0, 200.0)), Ok(0));
            assert_eq!(plan.rooms[0].is_anticlockwise(), !clockwise);
            for (a, b) in [(0, 2), (1, 3)] {
                crate::put_length(&mut plan.rooms[0], a, b, 5010.0);
            }
            crate::set_corners(&mut plan, 0, 0, true).unwrap();
            let tape = room_tape(&plan, 0, 0).unwrap();
            for (line, residual) in tape.lines.iter().zip([4.0, 3.0, 4.0, 3.0, -5.0, -5.0]) {
                assert!((line.residual - residual).abs() < 1e-6, "{line:?}");
            }
        }
        let mut plan = Plan::new("Test");
        add_taped_room(&mut plan, &legs(&[3000.0, 4000.0, 5000.0]), false, Point::default()).unwrap();
        // The 3-4-5 triangle.
        assert!((plan.rooms[0].area() - 6e6).abs() < 1.0);
    }
}
