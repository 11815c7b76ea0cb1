//! Which edges of the site a board lies along.

use crate::Board;
use crate::slice::extent;
use site::{Edge, Uv};

/// An outline touches an edge of the site within this, mm.
const REACH: f64 = 0.5;

impl Board {
    /// Whether some side of the board's outline lies along the edge, by more than a touch at a corner.
    pub fn lies_along(&self, edge: &Edge) -> bool {
        let (left, right) = (edge.a.u.min(edge.b.u), edge.a.u.max(edge.b.u));
        let (from, to) = self.reach();
        if to < left - REACH || from > right + REACH {
            return false;
        }
        let length = edge.length();
        if length <= 0.0 {
            return false;
        }
        let (du, dv) = ((edge.b.u - edge.a.u) / length, (edge.b.v - edge.a.v) / length);
        // Distance along the edge, and off it.
        let place = |p: Uv| {
            let (x, y) = (p.u - edge.a.u, p.v - edge.a.v);
            (x * du + y * dv, (x * dv - y * du).abs())
        };
        self.outline.rings().any(|ring| {
            (0..ring.len()).any(|i| {
                let ((s, off), (t, other_off)) = (place(ring[i]), place(ring[(i + 1) % ring.len()]));
                let shared = s.max(t).min(length) - s.min(t).max(0.0);
                off < REACH && other_off < REACH && shared > REACH
            })
        })
    }

    /// Extent along the rows, least and greatest u.
    fn reach(&self) -> (f64, f64) {
        if self.along.v == 0.0 { (self.left, self.right) } else { extent(&self.outline.outer) }
    }
}
