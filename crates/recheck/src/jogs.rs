//! Jogs of the bare floor too small for a tape: where one is healed, the shorter edge beside it turns.

use crate::ground::{Ground, sides};
use geo::{Coord, Distance, Euclidean, Line, LineString, Point, Polygon};

/// Edges no longer than this are healed (docs/rules.md), and rounding of what is compared with it, mm.
const HEALED: f64 = 0.2 + 1e-6;
/// A point lies on an edge that turns within this: an edge moves by no more than what is healed, mm.
const ON: f64 = 0.3;
/// A side of a thing ends an edge that it lies on within this, mm.
const ENDS: f64 = 0.05;
/// Past a right angle and half of one more the boundary turns back: the end of a thin thing is no jog.
const TURNS_BACK: f64 = -0.5;

/// The edges of the bare floor that turn.
#[derive(Debug, Default)]
pub(crate) struct Jogs {
    turned: Vec<Line>,
}

impl Jogs {
    pub(crate) fn of(ground: &Ground<'_>) -> Self {
        let mut corners: Vec<Coord> = ground.outlines.iter().flatten().copied().collect();
        corners.extend(crossings(ground));
        let mut turned = Vec::new();
        for ring in ground.bare.iter().flat_map(rings) {
            turned_in(&parted(ring, &corners), &mut turned);
        }
        Self { turned }
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

/// Where a room's outline crosses the face of a stop in a doorway: there an edge of the floor begins anew too.
fn crossings(ground: &Ground<'_>) -> Vec<Coord> {
    let mut found = Vec::new();
    for opening in &ground.openings {
        let (door, half, under) = (opening.door, ground.half_stop(opening), opening.under());
        for face in [door.stop() - half, door.stop() + half] {
            for side in ground.outlines.iter().flat_map(|outline| sides(outline)) {
                let ((s, t), (to_s, to_t)) = (opening.local(side.start), opening.local(side.end));
                let at = s + (to_s - s) * (face - t) / (to_t - t);
                if (t - face) * (to_t - face) < 0.0
                    && at > door.at - under
                    && at < door.at + door.width + under
                {
                    found.push(opening.at(at, face));
                }
            }
        }
    }
    found
}

fn rings(polygon: &Polygon) -> impl Iterator<Item = &LineString> {
    std::iter::once(polygon.exterior()).chain(polygon.interiors())
}

fn length(line: &Line) -> f64 {
    libm::hypot(line.dx(), line.dy())
}

/// The edges of a ring, parted where one wall follows another in line: there an edge of the floor begins anew.
fn parted(ring: &LineString, corners: &[Coord]) -> Vec<Line> {
    let mut edges = Vec::new();
    for line in ring.lines().filter(|line| line.start != line.end) {
        let long = length(&line);
        let along = line.delta() / long;
        let place = |p: &Coord| {
            let d = *p - line.start;
            (d.x * along.x + d.y * along.y, (d.y * along.x - d.x * along.y).abs())
        };
        let met =
            corners.iter().map(place).filter(|(s, off)| *off <= ENDS && *s > HEALED && *s < long - HEALED);
        let mut at: Vec<f64> = met.map(|(s, _)| s).collect();
        at.sort_by(f64::total_cmp);
        at.push(long);
        let mut from = 0.0;
        for to in at {
            if to - from > 0.0 {
                edges.push(Line::new(line.start + along * from, line.start + along * to));
            }
            from = to;
        }
    }
    edges
}

/// Adds the edges of a ring that turn where its jogs are healed: of the two beside each, the shorter.
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
    /// stay where they are.
    #[test]
    fn the_shorter_edge_beside_a_jog_turns() {
        let ring = LineString::from(vec![
            (0.0, 0.0),
            (4000.0, 0.0),
            (4000.0, 1000.0),
            (4000.15, 1000.0),
            (4000.15, 3000.0),
            (0.0, 3000.0),
            (0.0, 0.0),
        ]);
        let mut turned = Vec::new();
        turned_in(&parted(&ring, &[]), &mut turned);
        let jogs = Jogs { turned };
        assert!(jogs.turn_at(Coord { x: 4000.0, y: 500.0 }));
        for (x, y) in [(4000.15, 2000.0), (2000.0, 0.0), (0.0, 1500.0)] {
            assert!(!jogs.turn_at(Coord { x, y }), "{x}, {y}");
        }
        // Parted by a corner of another room 100 mm above the jog, the upper edge is the shorter one.
        let mut turned = Vec::new();
        turned_in(&parted(&ring, &[Coord { x: 4000.15, y: 1100.0 }]), &mut turned);
        let jogs = Jogs { turned };
        assert!(
            !jogs.turn_at(Coord { x: 4000.0, y: 500.0 }) && jogs.turn_at(Coord { x: 4000.15, y: 1050.0 })
        );
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
        turned_in(&parted(&ring, &[]), &mut turned);
        assert_eq!(turned, []);
    }
}
