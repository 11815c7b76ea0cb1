//! Things found by place: an index over their bounds.

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

    /// Whether the two have a point in common.
    pub fn meets(self, other: Self) -> bool {
        // All four are compared at once: which of them fails first cannot be foreseen, and a wrong guess takes longer.
        (self.low[0] <= other.high[0])
            & (other.low[0] <= self.high[0])
            & (self.low[1] <= other.high[1])
            & (other.low[1] <= self.high[1])
    }

    /// The same, larger by `reach` (mm) on every side.
    pub fn grown(self, reach: f64) -> Self {
        Self { low: self.low.map(|value| value - reach), high: self.high.map(|value| value + reach) }
    }
}

/// Bounds in one block of the index. Smaller, and there are more blocks to go through; larger, more bounds in
/// each. Between 8 and 32 it makes little difference.
const BLOCK: usize = 16;

/// An index over the bounds of many things, which are named by their place in the list it was made from.
///
/// Bounds are put in strips by x, in each strip by y, and taken in blocks, blocks of blocks and so on, each with
/// the bounds of all it holds. Made once and never changed, it needs no pointers, and for the few dozen things
/// of a house it takes a fraction of the time of a general tree.
#[derive(Debug, Clone)]
pub struct Boxes {
    filed: Vec<(Bounds, usize)>,
    /// Bounds of the blocks of `filed`, then of the blocks of those, up to the last single block.
    blocks: Vec<Vec<Bounds>>,
}

impl Boxes {
    /// An index over these bounds; what has none is never found.
    pub fn new(bounds: impl IntoIterator<Item = Option<Bounds>>) -> Self {
        let numbered = bounds.into_iter().enumerate();
        let mut filed: Vec<(Bounds, usize)> = numbered.filter_map(|(i, b)| b.map(|b| (b, i))).collect();
        if filed.len() > BLOCK {
            let by = |axis: usize| {
                move |a: &(Bounds, usize), b: &(Bounds, usize)| {
                    (a.0.low[axis] + a.0.high[axis]).total_cmp(&(b.0.low[axis] + b.0.high[axis]))
                }
            };
            let strips = (filed.len().div_ceil(BLOCK) as f64).sqrt().ceil().max(1.0) as usize;
            filed.sort_unstable_by(by(0));
            let in_strip = filed.len().div_ceil(strips * BLOCK) * BLOCK;
            filed.chunks_mut(in_strip).for_each(|strip| strip.sort_unstable_by(by(1)));
        }
        let mut blocks: Vec<Vec<Bounds>> = Vec::new();
        let mut level: Vec<Bounds> =
            filed.chunks(BLOCK).map(|block| all(block.iter().map(|b| b.0))).collect();
        while level.len() > 1 {
            let above = level.chunks(BLOCK).map(|block| all(block.iter().copied())).collect();
            blocks.push(std::mem::replace(&mut level, above));
        }
        Self { filed, blocks }
    }

    /// Whether nothing is filed.
    pub fn is_empty(&self) -> bool {
        self.filed.is_empty()
    }

    /// Hands over everything whose bounds meet or touch these, in no order.
    pub fn each(&self, bounds: Bounds, mut take: impl FnMut(usize)) {
        self.walk(self.blocks.len(), 0, bounds, &mut take);
    }

    /// Goes through block `block` of one level: 0 for the bounds themselves.
    fn walk(&self, level: usize, block: usize, asked: Bounds, take: &mut impl FnMut(usize)) {
        let from = block * BLOCK;
        match level.checked_sub(1).map(|below| (below, &self.blocks[below])) {
            None => {
                let to = self.filed.len().min(from + BLOCK);
                self.filed[from..to].iter().filter(|(b, _)| b.meets(asked)).for_each(|(_, i)| take(*i));
            }
            Some((below, blocks)) => {
                for (i, bounds) in blocks[from..blocks.len().min(from + BLOCK)].iter().enumerate() {
                    if bounds.meets(asked) {
                        self.walk(below, from + i, asked, take);
                    }
                }
            }
        }
    }

    /// Everything whose bounds meet or touch these, in the order of the list.
    pub fn meeting(&self, bounds: Bounds) -> Vec<usize> {
        let mut found = Vec::new();
        self.each(bounds, |index| found.push(index));
        found.sort_unstable();
        found
    }
}

fn all(mut bounds: impl Iterator<Item = Bounds>) -> Bounds {
    let nothing = Bounds { low: [f64::INFINITY; 2], high: [f64::NEG_INFINITY; 2] };
    let first = bounds.next().unwrap_or(nothing);
    bounds.fold(first, |all, b| Bounds {
        low: [0, 1].map(|i| all.low[i].min(b.low[i])),
        high: [0, 1].map(|i| all.high[i].max(b.high[i])),
    })
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
        fn everything_that_meets_is_found(all in proptest::collection::vec(bounds(), 0..900), asked in bounds()) {
            let Some(asked) = asked else { return Ok(()) };
            let meets = |b: &Bounds| (0..2).all(|i| b.low[i] <= asked.high[i] && b.high[i] >= asked.low[i]);
            let expected: Vec<usize> =
                (0..all.len()).filter(|i| all[*i].as_ref().is_some_and(meets)).collect();
            prop_assert_eq!(Boxes::new(all).meeting(asked), expected);
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
