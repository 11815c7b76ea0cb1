//! The blocks of a pattern, and whether the stock gives them.

use crate::{Pattern, Stock};

/// A block no further than this off a board's length is that board, mm.
const AS_SOLD: f64 = 0.1;
/// No block is longer, mm.
pub(crate) const LONGEST: f64 = 20_000.0;

/// The blocks that a pattern is made of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Blocks {
    /// Along one long edge, mm.
    pub(crate) length: f64,
    /// Shorter blocks would lie on one another, mm.
    pub(crate) least: f64,
    /// How far their ends lean along them for each mm across.
    lean: f64,
    pitch: f64,
}

impl Blocks {
    /// Whether the stock has boards that are such blocks, or longer ones that may be cut.
    pub(crate) fn are_in(&self, stock: &Stock) -> bool {
        let in_packs = || stock.lengths.iter().filter(|length| length.per_pack > 0);
        in_packs().any(|length| (length.length - self.length).abs() <= AS_SOLD)
            || (!stock.end_match
                && in_packs().any(|length| length.length >= self.length + self.lean * self.pitch))
    }
}

impl Pattern {
    /// The blocks of herringbone and chevron; `None` for rows.
    pub(crate) fn blocks(&self, stock: &Stock) -> Option<Blocks> {
        let pitch = stock.pitch();
        let (length, least, lean) = match *self {
            Self::Irregular | Self::Half | Self::Third => return None,
            Self::Herringbone { block, abreast } => (block, pitch * f64::from(abreast), 0.0),
            Self::Chevron { block, mitre } => (block, pitch, libm::tan(mitre.to_radians())),
        };
        Some(Blocks { length, least, lean, pitch })
    }

    /// Whether its blocks are cut on site from longer boards, since none is sold as long as they are.
    pub fn is_cut_from_longer(&self, stock: &Stock) -> bool {
        let sold = |length: f64| {
            stock.lengths.iter().any(|l| l.per_pack > 0 && (l.length - length).abs() <= AS_SOLD)
        };
        self.blocks(stock).is_some_and(|blocks| !sold(blocks.length))
    }

    /// The pattern with blocks that the stock gives: its own or, where it cannot give those, of the shortest length
    /// in a pack that makes them. Where none does it stays as it is.
    pub fn fitted(self, stock: &Stock) -> Self {
        let mut lengths: Vec<f64> =
            stock.lengths.iter().filter(|l| l.per_pack > 0).map(|l| l.length).collect();
        lengths.sort_by(f64::total_cmp);
        let with = |block: f64| match self {
            Self::Herringbone { abreast, .. } => Self::Herringbone { block, abreast },
            Self::Chevron { mitre, .. } => Self::Chevron { block, mitre },
            rows => rows,
        };
        let fits = |pattern: &Self| {
            pattern.blocks(stock).is_none_or(|blocks| {
                (blocks.least..=LONGEST).contains(&blocks.length) && blocks.are_in(stock)
            })
        };
        std::iter::once(self).chain(lengths.into_iter().map(with)).find(fits).unwrap_or(self)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{BoardLength, Plan};

    /// Boards 200 wide: double herringbone takes blocks of 400 at least. Arithmetic.
    #[test]
    fn blocks_are_fitted_to_the_stock() {
        let mut plan = Plan::new("t");
        plan.stock.face_width = 200.0;
        plan.stock.end_match = true;
        plan.stock.lengths = [900.0, 300.0, 600.0].map(|length| BoardLength { length, per_pack: 4 }).to_vec();
        let double = Pattern::Herringbone { block: 300.0, abreast: 2 };
        assert_eq!(double.fitted(&plan.stock), Pattern::Herringbone { block: 600.0, abreast: 2 });
        // Boards whose ends join are not cut to blocks.
        let chevron = Pattern::Chevron { block: 500.0, mitre: 45.0 };
        assert_eq!(chevron.fitted(&plan.stock), Pattern::Chevron { block: 300.0, mitre: 45.0 });
        plan.stock.end_match = false;
        assert_eq!(chevron.fitted(&plan.stock), chevron);
        plan.stock.lengths.truncate(2);
        plan.pattern = double.fitted(&plan.stock);
        assert!(plan.problems().iter().all(|problem| !problem.to_string().contains("block")));
        assert_eq!(plan.pattern, Pattern::Herringbone { block: 900.0, abreast: 2 });
        assert_eq!(Pattern::Half.fitted(&plan.stock), Pattern::Half);
    }
}
