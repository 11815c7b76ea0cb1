//! Outlines of what boolean operations leave, freed of what is rounding in them.

use crate::Outline;
use crate::slice::{area, contains, is_film, tidy};
use site::Uv;

/// Corners nearer than this to one another are one, and a corner this near to a side parts it, mm: far more than the operations
/// round by, far less than a saw cut.
const ONE: f64 = 0.05;

/// The outlines of which a piece is made whose rings touch themselves and one another, the outline anticlockwise and holes
/// clockwise; corners are put on the known places they lie at.
///
/// Between shapes whose sides lie on one another but for rounding the operations leave films, and hang them on to the next
/// piece where they touch it; a hole that touches its outline may come back as large as a part of it. Put on exact places, such
/// sides lie on one another and run against each other: taken out in pairs, they leave the outlines.
pub(super) fn outlines(rings: &[Vec<Uv>], known: &[Uv]) -> Vec<Outline> {
    let mut places: Vec<Uv> = Vec::new();
    let place = |places: &mut Vec<Uv>, p: Uv| {
        let exact = known.iter().find(|k| near(**k, p)).copied().unwrap_or(p);
        places.iter().position(|other| near(*other, exact)).unwrap_or_else(|| {
            places.push(exact);
            places.len() - 1
        })
    };
    let rings: Vec<Vec<usize>> =
        rings.iter().map(|ring| ring.iter().map(|p| place(&mut places, *p)).collect()).collect();
    let mut sides: Vec<(usize, usize)> = Vec::new();
    for ring in &rings {
        for (i, from) in ring.iter().enumerate() {
            part(*from, ring[(i + 1) % ring.len()], &places, &mut |a, b| match sides
                .iter()
                .position(|side| *side == (b, a))
            {
                Some(against) => drop(sides.swap_remove(against)),
                None => sides.push((a, b)),
            });
        }
    }
    sides.sort_unstable();
    let mut found: Vec<Vec<Uv>> = Vec::new();
    while let Some(first) = sides.first().copied() {
        let ring = walked(first, &mut sides, &places);
        simple(ring.into_iter().map(|at| places[at]).collect(), &mut found);
    }
    let (outers, holes): (Vec<_>, Vec<_>) = found.into_iter().partition(|ring| area(ring) > 0.0);
    let mut outlines: Vec<Outline> =
        outers.into_iter().map(|outer| Outline { outer, holes: Vec::new() }).collect();
    for hole in holes {
        let inside = |o: &Outline| hole.iter().filter(|p| contains(&o.outer, **p)).count();
        if let Some(around) = outlines.iter_mut().max_by_key(|o| inside(o)) {
            around.holes.push(hole);
        }
    }
    outlines
}

/// Gives the parts of a side between the places that lie on it.
fn part(from: usize, to: usize, places: &[Uv], give: &mut impl FnMut(usize, usize)) {
    let (a, b) = (places[from], places[to]);
    let (du, dv) = (b.u - a.u, b.v - a.v);
    let length = (du * du + dv * dv).sqrt();
    if from == to || length <= 0.0 {
        return;
    }
    let on = |index: usize| {
        let (x, y) = (places[index].u - a.u, places[index].v - a.v);
        let (along, off) = ((x * du + y * dv) / length, (x * dv - y * du) / length);
        (off.abs() < ONE && along > 0.0 && along < length).then_some((along, index))
    };
    let others = (0..places.len()).filter(|index| ![from, to].contains(index));
    let mut between: Vec<(f64, usize)> = others.filter_map(on).collect();
    between.sort_by(|p, q| p.0.total_cmp(&q.0).then(p.1.cmp(&q.1)));
    let mut at = from;
    for next in between.into_iter().map(|(_, index)| index).chain([to]) {
        give(at, next);
        at = next;
    }
}

/// The ring that begins with a side, taken out of the sides. Where several go on, that which turns most to the left: between it
/// and the last the floor lies.
fn walked(first: (usize, usize), sides: &mut Vec<(usize, usize)>, places: &[Uv]) -> Vec<usize> {
    let mut ring = vec![first.0];
    let (mut from, mut at) = first;
    sides.retain(|side| *side != first);
    while at != first.0 {
        let way = |a: usize, b: usize| (places[b].u - places[a].u, places[b].v - places[a].v);
        let back = way(at, from);
        let next = (0..sides.len()).filter(|side| sides[*side].0 == at).min_by(|p, q| {
            clockwise(back, way(at, sides[*p].1)).total_cmp(&clockwise(back, way(at, sides[*q].1)))
        });
        let Some(next) = next else { break };
        ring.push(at);
        (from, at) = sides.remove(next);
    }
    ring
}

/// How far one turns clockwise from a direction to another, as a figure from 0 to 4 that grows with the angle; straight back is
/// farthest.
fn clockwise((u, v): (f64, f64), (x, y): (f64, f64)) -> f64 {
    let long = ((u * u + v * v) * (x * x + y * y)).sqrt();
    let (cos, sin) = ((u * x + v * y) / long, (v * x - u * y) / long);
    match sin >= 0.0 {
        true if cos >= 1.0 => 4.0,
        true => 1.0 - cos,
        false => 3.0 + cos,
    }
}

/// Adds the rings of which one is made that touches itself, without films.
fn simple(ring: Vec<Uv>, found: &mut Vec<Vec<Uv>>) {
    let mut open = vec![ring];
    while let Some(ring) = open.pop() {
        let ring = tidy(ring);
        let count = ring.len();
        let pairs = (0..count).flat_map(|i| (i + 1..count).map(move |j| (i, j)));
        match pairs.into_iter().find(|(i, j)| near(ring[*i], ring[*j])) {
            Some((i, j)) => {
                open.push(ring[i..j].to_vec());
                open.push(ring[j..].iter().chain(&ring[..i]).copied().collect());
            }
            None if !is_film(&ring, area(&ring).abs()) => found.push(ring),
            None => {}
        }
    }
}

fn near(a: Uv, b: Uv) -> bool {
    (a.u - b.u).abs() < ONE && (a.v - b.v).abs() < ONE
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ring(corners: &[(f64, f64)]) -> Vec<Uv> {
        corners.iter().map(|(u, v)| Uv::new(*u, *v)).collect()
    }

    fn areas(rings: &[Vec<Uv>], known: &[Uv]) -> Vec<f64> {
        let mut all: Vec<f64> = outlines(rings, known).iter().map(|o| o.area().round()).collect();
        all.sort_by(f64::total_cmp);
        all
    }

    /// Squares of 100 and of 50 that touch at a corner, or hang together by a film of a thousandth, are two; so is one with a
    /// spike one. By hand.
    #[test]
    fn what_touches_or_hangs_by_a_film_is_parted() {
        let touching = [
            (0.0, 0.0),
            (100.0, 0.0),
            (100.0, 100.0),
            (150.0, 100.0),
            (150.0, 150.0),
            (100.0, 150.0),
            (100.0, 100.0),
            (0.0, 100.0),
        ];
        assert_eq!(areas(&[ring(&touching)], &[]), [2500.0, 10_000.0]);
        let film = [
            (0.0, 0.0),
            (100.0, 0.0),
            (400.0, 0.0),
            (400.0, -50.0),
            (450.0, -50.0),
            (450.0, 0.001),
            (100.0, 0.001),
            (100.0, 100.0),
            (0.0, 100.0),
        ];
        assert_eq!(areas(&[ring(&film)], &[]), [2500.0, 10_000.0]);
        let spike = [
            (0.0, 0.0),
            (100.0, 0.0),
            (100.0, 40.0),
            (300.0, 90.0),
            (100.001, 40.0),
            (100.0, 100.0),
            (0.0, 100.0),
        ];
        assert_eq!(areas(&[ring(&spike)], &[]), [10_000.0]);
    }

    /// A square of 100 whose hole lies along a part of its side is what the hole leaves of it; a hole as large as it leaves
    /// nothing, and one in its middle is kept. By hand.
    #[test]
    fn a_hole_along_its_outline_is_none() {
        let square = ring(&[(0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0)]);
        let hole = |a: (f64, f64), b: (f64, f64)| ring(&[a, (a.0, b.1), b, (b.0, a.1)]);
        let beside = outlines(&[square.clone(), hole((20.0, 0.01), (60.0, 50.0))], &[]);
        assert_eq!((beside.len(), beside[0].holes.len(), beside[0].area().round()), (1, 0, 8000.0));
        assert_eq!(outlines(&[square.clone(), hole((0.0, 0.0), (100.0, 100.0))], &[]), []);
        let inside = outlines(&[square, hole((20.0, 20.0), (60.0, 50.0))], &[]);
        assert_eq!((inside.len(), inside[0].holes.len(), inside[0].area()), (1, 1, 8800.0));
    }

    /// A corner within a hair of a known place is put on it.
    #[test]
    fn corners_are_put_on_known_places() {
        let triangle = ring(&[(0.0, 0.0), (100.003, -0.002), (0.0, 100.0)]);
        let exact = Uv::new(100.0, 0.0);
        assert!(outlines(&[triangle], &[exact])[0].outer.contains(&exact));
    }
}
