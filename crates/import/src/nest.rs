//! Which outline lies within which.

use crate::limits::NEAR;
use crate::ring::Ring;
use kurbo::{Point, Rect};
use plan::{Bounds, Boxes};

/// What an outline is to the others.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Role {
    /// It lies in none.
    Room,
    /// It lies within one, by index.
    Hole(usize),
    /// It lies within a hole.
    Deeper,
    /// It lies exactly over an earlier one.
    Again,
}

/// The role of every ring.
pub(crate) fn roles(rings: &[&Ring]) -> Vec<Role> {
    let corners: Vec<Vec<Point>> = rings.iter().map(|ring| ring.points().collect()).collect();
    let bounds: Vec<Rect> = rings.iter().map(|ring| ring.bounds()).collect();
    let boxed = |rect: Rect| Bounds { low: [rect.x0, rect.y0], high: [rect.x1, rect.y1] };
    let boxes = Boxes::new(bounds.iter().map(|rect| Some(boxed(*rect))));
    (0..rings.len())
        .map(|i| {
            let grown = bounds[i].inflate(-NEAR, -NEAR);
            let mut around = None;
            let near = boxes.meeting(boxed(bounds[i]));
            for j in near.into_iter().filter(|j| *j != i) {
                if corners[i] == corners[j] || is_same(&corners[i], &corners[j]) {
                    if j < i {
                        return Role::Again;
                    }
                    continue;
                }
                let may_hold = bounds[j].union(grown) == bounds[j] && bounds[j].area() > bounds[i].area();
                if may_hold && corners[i].iter().all(|p| holds(&corners[j], *p)) {
                    if around.is_some() {
                        return Role::Deeper;
                    }
                    around = Some(j);
                }
            }
            around.map_or(Role::Room, Role::Hole)
        })
        .collect()
}

/// Whether two outlines have the same corners, wherever and in whichever direction each begins.
fn is_same(a: &[Point], b: &[Point]) -> bool {
    if a.len() != b.len() || a.is_empty() {
        return false;
    }
    let meets = |p: Point, q: Point| (p - q).hypot2() <= NEAR * NEAR;
    let n = a.len();
    let Some(shift) = b.iter().position(|q| meets(a[0], *q)) else { return false };
    (0..n).all(|i| meets(a[i], b[(shift + i) % n])) || (0..n).all(|i| meets(a[i], b[(shift + n - i) % n]))
}

/// Whether a point lies in an outline, or within [`NEAR`] of its line.
fn holds(outline: &[Point], p: Point) -> bool {
    let mut is_inside = false;
    for (i, a) in outline.iter().enumerate() {
        let b = outline[(i + 1) % outline.len()];
        if (a.y > p.y) != (b.y > p.y) && p.x < (b.x - a.x) * (p.y - a.y) / (b.y - a.y) + a.x {
            is_inside = !is_inside;
        }
        let along = b - *a;
        let length2 = along.hypot2();
        let t = if length2 > 0.0 { ((p - *a).dot(along) / length2).clamp(0.0, 1.0) } else { 0.0 };
        if (p - a.lerp(b, t)).hypot2() <= NEAR * NEAR {
            return true;
        }
    }
    is_inside
}

/// Whether an outline holds a point.
pub(crate) fn contains(outline: &[Point], p: Point) -> bool {
    holds(outline, p)
}
