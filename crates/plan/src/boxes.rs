//! Things found by place: an index over their bounds.

use rstar::primitives::{GeomWithData, Rectangle};
use rstar::{AABB, RTree};

/// Bounds in a plane: least and greatest of both coordinates, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bounds {
    /// Least of both coordinates.
    pub low: [f64; 2],
    /// Greatest of both coordinates.
    pub high: [f64; 2],
}

impl Bounds {
    /// The bounds of some points; `None` of none, or where a coordinate is no number.
    pub fn of(points: impl IntoIterator<Item = [f64; 2]>) -> Option<Self> {
        let mut points = points.into_iter();
        let first = points.next()?;
        let start = Self { low: first, high: first };
        let all = points.fold(start, |all, p| Self {
            low: [0, 1].map(|i| all.low[i].min(p[i])),
            high: [0, 1].map(|i| all.high[i].max(p[i])),
        });
        [all.low, all.high].as_flattened().iter().all(|value| value.is_finite()).then_some(all)
    }

    /// The same, larger by `reach` (mm) on every side.
    pub fn grown(self, reach: f64) -> Self {
        Self { low: self.low.map(|value| value - reach), high: self.high.map(|value| value + reach) }
    }
}

/// An index over the bounds of many things, which are named by their place in the list it was made from.
#[derive(Debug, Clone)]
pub struct Boxes(RTree<GeomWithData<Rectangle<[f64; 2]>, usize>>);

impl Boxes {
    /// An index over these bounds; what has none is never found.
    pub fn new(bounds: impl IntoIterator<Item = Option<Bounds>>) -> Self {
        let filed = bounds.into_iter().enumerate().filter_map(|(index, bounds)| {
            bounds.map(|b| GeomWithData::new(Rectangle::from_corners(b.low, b.high), index))
        });
        Self(RTree::bulk_load(filed.collect()))
    }

    /// Whether nothing is filed.
    pub fn is_empty(&self) -> bool {
        self.0.size() == 0
    }

    /// Everything whose bounds meet or touch these, in no order.
    pub fn meeting(&self, bounds: Bounds) -> impl Iterator<Item = usize> + '_ {
        let envelope = AABB::from_corners(bounds.low, bounds.high);
        self.0.locate_in_envelope_intersecting(&envelope).map(|filed| filed.data)
    }

    /// The same in the order of the list.
    pub fn sorted(&self, bounds: Bounds) -> Vec<usize> {
        let mut found: Vec<usize> = self.meeting(bounds).collect();
        found.sort_unstable();
        found
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn bounds() -> impl Strategy<Value = Option<Bounds>> {
        let corner = -50..50_i32;
        (corner.clone(), corner, 0..20_i32, 0..20_i32).prop_map(|(x, y, w, h)| {
            Bounds::of([[f64::from(x), f64::from(y)], [f64::from(x + w), f64::from(y + h)]])
        })
    }

    proptest! {
        /// Against trying every one.
        #[test]
        fn everything_that_meets_is_found(all in proptest::collection::vec(bounds(), 0..60), asked in bounds()) {
            let Some(asked) = asked else { return Ok(()) };
            let meets = |b: &Bounds| (0..2).all(|i| b.low[i] <= asked.high[i] && b.high[i] >= asked.low[i]);
            let expected: Vec<usize> =
                (0..all.len()).filter(|i| all[*i].as_ref().is_some_and(meets)).collect();
            prop_assert_eq!(Boxes::new(all).sorted(asked), expected);
        }
    }

    #[test]
    fn what_is_no_number_is_never_found() {
        assert_eq!(Bounds::of([[0.0, f64::NAN]]), None);
        assert_eq!(Bounds::of([[f64::INFINITY, 0.0]]), None);
        assert_eq!(Bounds::of([]), None);
        assert!(Boxes::new([None]).is_empty());
    }
}
