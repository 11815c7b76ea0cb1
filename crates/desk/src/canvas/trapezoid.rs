//! Fills outlines of any shape, holes included, by cutting them into trapezoids.

use plan::Point;

/// The trapezoids that fill the area inside some rings by the even-odd rule. Each has its lower and
/// its upper side along x; corners run anticlockwise from the lower left.
///
/// Rings whose edges cross one another between corners are filled only nearly: a board's outline has
/// none, and a picture can stand it.
pub(crate) fn fill(rings: &[Vec<Point>]) -> Vec<[Point; 4]> {
    let edges: Vec<(Point, Point)> = rings
        .iter()
        .flat_map(|ring| (0..ring.len()).map(move |i| (ring[i], ring[(i + 1) % ring.len()])))
        .filter(|(a, b)| a.y != b.y)
        .map(|(a, b)| if a.y < b.y { (a, b) } else { (b, a) })
        .collect();
    let mut levels: Vec<f64> = edges.iter().flat_map(|(a, b)| [a.y, b.y]).collect();
    levels.sort_by(f64::total_cmp);
    levels.dedup();
    let mut trapezoids = Vec::with_capacity(levels.len());
    let mut spanning: Vec<(f64, f64)> = Vec::new();
    for pair in levels.windows(2) {
        let (low, high) = (pair[0], pair[1]);
        spanning.clear();
        for (a, b) in &edges {
            if a.y <= low && b.y >= high {
                let x_at = |y: f64| a.x + (b.x - a.x) * (y - a.y) / (b.y - a.y);
                spanning.push((x_at(low), x_at(high)));
            }
        }
        spanning.sort_by(|p, q| (p.0 + p.1).total_cmp(&(q.0 + q.1)));
        for pair in spanning.chunks_exact(2) {
            let (left, right) = (pair[0], pair[1]);
            trapezoids.push([
                Point::new(left.0, low),
                Point::new(right.0, low),
                Point::new(right.1, high),
                Point::new(left.1, high),
            ]);
        }
    }
    trapezoids
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ring(points: &[(f64, f64)]) -> Vec<Point> {
        points.iter().copied().map(Point::from).collect()
    }

    fn area(rings: &[Vec<Point>]) -> f64 {
        fill(rings).into_iter().map(|quad| crate::geometry::area(quad.into_iter())).sum()
    }

    // Areas in closed form.
    #[test]
    fn fills_what_the_shoelace_formula_says() {
        let notched =
            ring(&[(0., 0.), (10., 0.), (10., 4.), (6., 4.), (6., 2.), (4., 2.), (4., 4.), (0., 4.)]);
        assert_eq!(area(std::slice::from_ref(&notched)), 36.0);
        let slanted = ring(&[(0., 0.), (7., 1.), (9., 6.), (2., 5.)]);
        let expected = crate::geometry::area(slanted.iter().copied());
        assert!((area(&[slanted]) - expected).abs() < 1e-9);
        let square = ring(&[(0., 0.), (10., 0.), (10., 10.), (0., 10.)]);
        let hole = ring(&[(2., 2.), (2., 5.), (5., 5.), (5., 2.)]);
        assert_eq!(area(&[square, hole]), 91.0);
    }
}
