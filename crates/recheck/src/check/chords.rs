//! Stretches of floor from edge to edge, by going from corner to corner and looking at every side in between.

use geo::Coord;

/// Two corners nearer than this along the rows may be one, mm: what lies between them is nobody's.
const SURE: f64 = 0.02;

/// The floor between two sides that face each other, from one corner to the next.
#[derive(Debug, Clone, Copy)]
pub(super) struct Chord {
    /// Ring and side at its lower end.
    pub(super) below: (usize, usize),
    /// Ring and side at its upper end.
    pub(super) above: (usize, usize),
    /// Its extent at both corners, mm.
    pub(super) extents: [f64; 2],
    /// Whether the corners are surely two.
    pub(super) is_sure: bool,
}

impl Chord {
    /// The longer of its two extents.
    pub(super) fn extent(&self) -> f64 {
        self.extents[0].max(self.extents[1])
    }
}

/// Every chord along y of a floor of rings.
pub(super) fn chords(rings: &[Vec<Coord>]) -> Vec<Chord> {
    let mut stops: Vec<f64> = rings.iter().flatten().map(|p| p.x).collect();
    stops.sort_by(f64::total_cmp);
    let mut found = Vec::new();
    for pair in stops.windows(2).filter(|pair| pair[1] - pair[0] > 1e-9) {
        let (from, to) = (pair[0], pair[1]);
        // Between two corners every height changes evenly: it is read at both quarters and drawn out to the corners.
        let met = |x: f64| {
            let mut met: Vec<(f64, (usize, usize))> = Vec::new();
            for (ring, points) in rings.iter().enumerate() {
                for side in 0..points.len() {
                    let (a, b) = (points[side], points[(side + 1) % points.len()]);
                    if (a.x - x) * (b.x - x) < 0.0 {
                        met.push((a.y + (b.y - a.y) * (x - a.x) / (b.x - a.x), (ring, side)));
                    }
                }
            }
            met.sort_by(|a, b| a.0.total_cmp(&b.0));
            met
        };
        let (first, second) = (met(from + (to - from) / 4.0), met(to - (to - from) / 4.0));
        for (one, other) in first.chunks_exact(2).zip(second.chunks_exact(2)) {
            let (a, b) = (one[1].0 - one[0].0, other[1].0 - other[0].0);
            found.push(Chord {
                below: one[0].1,
                above: one[1].1,
                extents: [a - (b - a) / 2.0, b + (b - a) / 2.0],
                is_sure: to - from > SURE,
            });
        }
    }
    found
}
