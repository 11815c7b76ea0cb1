//! Which measured length is most likely wrong: the greatest standardised residual.
//!
//! # References
//! W. Baarda, *A testing procedure for use in geodetic networks*, Netherlands Geodetic Commission, 1968 (data snooping);
//! cited from memory.

use crate::Adjusted;

/// A standardised residual beyond this is no chance: one in a thousand of good lengths goes so far (the normal
/// distribution's two-sided 0.1 %).
pub const DOUBTED: f64 = 3.29;

/// Residuals so alike cannot be told apart: an error in one length shows as an error in the other.
pub(crate) const ALIKE: f64 = 0.99;

/// What the residuals say of wrong lengths.
#[derive(Debug, Clone, PartialEq)]
pub enum Doubt {
    /// Nothing checks the lengths: there are no more of them than the shape needs.
    Unchecked,
    /// They agree as well as they were said to be good.
    None,
    /// This one, by index, is most likely wrong.
    One(usize),
    /// One of these, worst first; the lengths cannot tell which.
    Among(Vec<usize>),
}

impl Doubt {
    /// What an adjustment says of its lengths.
    pub fn of(adjusted: &Adjusted) -> Self {
        if adjusted.redundancy == 0 {
            return Self::Unchecked;
        }
        let score = |i: usize| adjusted.fitted[i].score.map_or(0.0, f64::abs);
        let worst =
            (0..adjusted.fitted.len()).reduce(|best, i| if score(i) > score(best) + 1e-9 { i } else { best });
        let Some(worst) = worst.filter(|worst| score(*worst) > DOUBTED) else { return Self::None };
        let mut among: Vec<usize> = (0..adjusted.fitted.len())
            .filter(|i| *i == worst || adjusted.likeness(*i, worst).abs() > ALIKE)
            .collect();
        if among.len() == 1 {
            return Self::One(worst);
        }
        among.sort_by(|a, b| score(*b).total_cmp(&score(*a)));
        Self::Among(among)
    }

    /// Whether a length, by index, is doubted.
    pub fn is_of(&self, index: usize) -> bool {
        match self {
            Self::Unchecked | Self::None => false,
            Self::One(one) => *one == index,
            Self::Among(several) => several.contains(&index),
        }
    }

    /// Whether anything is doubted.
    pub fn is_any(&self) -> bool {
        matches!(self, Self::One(_) | Self::Among(_))
    }
}
