//! Jogs of the bare floor too small for a tape: where one is healed, the shorter straight stretch beside it turns.

use crate::ground::Ground;
use geo::{Coord, Distance, Euclidean, Line, LineString, Point, Polygon};

/// Edges no longer than this are healed (docs/rules.md), and rounding of what is compared with it, mm.
const HEALED: f64 = 0.2 + 1e-6;
/// A point lies on an edge that turns within this: an edge moves by no more than what is healed, mm.
const ON: f64 = 0.3;
/// A corner this near to the line between its neighbours is none: geometry thinner than this is healed (docs/rules.md), mm.
const IN_LINE: f64 = 0.01;
/// Past a right angle and half of one more the boundary turns back: the end of a thin thing is no jog.
const TURNS_BACK: f64 = -0.5;

/// The edges of the bare floor that turn.
#[derive(Debug, Default)]
pub(crate) struct Jogs {
    turned: Vec<Line>,
}

impl Jogs {
    pub(crate) fn of(ground: &Ground<'_>) -> Self {
        let mut turned = Vec::new();
        for ring in ground.bare.iter().flat_map(rings) {
            turned_in(&straight(ring), &mut turned);
        }
        Self { turned }
    }

    /// The most that the floor may reach past the bare one where edges turn, mm²: each sweeps a triangle as high as the jog.
    pub(crate) fn most_outside(&self) -> f64 {
        self.turned.iter().map(|line| length(line) * HEALED / 2.0).sum()
    }

    /// Whether the floor's edge beside a point of the bare boundary may have turned.
    pub(crate) fn turn_at(&self, at: Coord) -> bool {
        self.turned.iter().any(|line| Euclidean.distance(line, &Point(at)) <= ON)
    }

    /// Whether it may have turned somewhere beside a piece of a side: not where only their ends meet.
    pub(crate) fn turn_beside(&self, piece: &Line) -> bool {
        let middle = |line: &Line| (line.start + line.end) / 2.0;
        self.turn_at(middle(piece))
            || self.turned.iter().any(|line| Euclidean.distance(piece, &Point(middle(line))) <= ON)
    }
}

fn rings(polygon: &Polygon) -> impl Iterator<Item = &LineString> {
    std::iter::once(polygon.exterior()).chain(polygon.interiors())
}

fn length(line: &Line) -> f64 {
    libm::hypot(line.dx(), line.dy())
}

/// The edges of a ring as straight as they go on: a corner of a union may be none, and one wall may follow another in line.
fn straight(ring: &LineString) -> Vec<Line> {
    let mut edges: Vec<Line> = ring.lines().filter(|line| line.start != line.end).collect();
    let mut i = 0;
    while edges.len() > 3 && i < edges.len() {
        let next = (i + 1) % edges.len();
        let both = Line::new(edges[i].start, edges[next].end);
        let off = Euclidean.distance(&both, &Point(edges[i].end));
        let goes_on = edges[i].dx() * edges[next].dx() + edges[i].dy() * edges[next].dy() > 0.0;
        // Chips are looked at one by one.
        let is_long = length(&edges[i]).min(length(&edges[next])) > HEALED;
        if off <= IN_LINE && goes_on && is_long {
            edges[i] = both;
            edges.remove(next);
            i = i.saturating_sub(usize::from(next < i));
        } else {
            i += 1;
        }
    }
    edges
}

/// Adds the stretches of a ring that turn where its jogs are healed: of the two beside each, the shorter.
fn turned_in(edges: &[Line], turned: &mut Vec<Line>) {
    let count = edges.len();
    let is_short = |i: usize| length(&edges[i % count]) <= HEALED;
    for i in (0..count).filter(|i| is_short(*i)) {
        let before = (1..count).map(|back| (i + count - back) % count).find(|j| !is_short(*j));
        let after = (1..count).map(|on| (i + on) % count).find(|j| !is_short(*j));
        let Some((before, after)) = before.zip(after) else { continue };
        let (before, after) = (edges[before], edges[after]);
        let (long, next) = (length(&before), length(&after));
        let dot = before.dx() * after.dx() + before.dy() * after.dy();
        if dot < TURNS_BACK * long * next {
            continue;
        }
        // Where both are as long as one another either may be meant.
        turned.extend((long <= next + ON).then_some(before));
        turned.extend((next <= long + ON).then_some(after));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A room 4 × 3 m whose right wall jogs by 0.15 mm 1 m from its lower end: the metre below turns, the two above
    /// stay where they are, wherever one wall follows another in them.
    #[test]
    fn the_shorter_stretch_beside_a_jog_turns() {
        for above in [vec![], vec![1100.0], vec![1100.0, 2500.0]] {
            let mut corners =
                vec![(0.0, 0.0), (4000.0, 0.0), (4000.0, 400.0), (4000.0, 1000.0), (4000.15, 1000.0)];
            corners.extend(above.iter().map(|y| (4000.15, *y)));
            corners.extend([(4000.15, 3000.0), (0.0, 3000.0), (0.0, 0.0)]);
            let mut turned = Vec::new();
            turned_in(&straight(&LineString::from(corners)), &mut turned);
            let jogs = Jogs { turned };
            assert!([200.0, 700.0].iter().all(|y| jogs.turn_at(Coord { x: 4000.0, y: *y })));
            for (x, y) in [(4000.15, 1050.0), (4000.15, 2000.0), (2000.0, 0.0), (0.0, 1500.0)] {
                assert!(!jogs.turn_at(Coord { x, y }), "{x}, {y}");
            }
        }
    }

    /// The end of a slot 0.15 mm wide is no jog: the boundary turns back there.
    #[test]
    fn where_the_boundary_turns_back_nothing_is_healed() {
        let ring = LineString::from(vec![
            (0.0, 0.0),
            (4000.0, 0.0),
            (4000.0, 1000.0),
            (3000.0, 1000.0),
            (3000.0, 1000.15),
            (4000.0, 1000.15),
            (4000.0, 3000.0),
            (0.0, 3000.0),
            (0.0, 0.0),
        ]);
        let mut turned = Vec::new();
        turned_in(&straight(&ring), &mut turned);
        assert_eq!(turned, []);
    }
}
