//! Which measured length is most likely wrong: the greatest standardised residual; and whether all together are out further
//! than chance has it, by the chi-square distribution.
//!
//! # References
//! W. Baarda, *A testing procedure for use in geodetic networks*, Netherlands Geodetic Commission, 1968 (data snooping);
//! cited from memory.

use crate::Adjusted;

/// A standardised residual beyond this is no chance: one in a thousand of good lengths goes so far (the normal
/// distribution's two-sided 0.1 %).
pub const DOUBTED: f64 = 3.29;

/// Lengths whose residuals together come of chance less often than this do not agree, though none of them stands out: the
/// upper 1 % of the chi-square distribution with as many degrees of freedom as there are lengths too many. The level: ours.
pub const AGREED: f64 = 0.01;

/// Residuals so alike cannot be told apart: an error in one length shows as an error in the other.
pub(crate) const ALIKE: f64 = 0.99;

/// What the residuals say of wrong lengths.
#[derive(Debug, Clone, PartialEq)]
pub enum Doubt {
    /// Nothing checks the lengths: there are no more of them than the shape needs.
    Unchecked,
    /// They agree as well as they were said to be good.
    None,
    /// None stands out, but all together are out further than chance has it (see [`AGREED`]).
    Together,
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
        let Some(worst) = worst.filter(|worst| score(*worst) > DOUBTED) else {
            let unit = adjusted.unit.unwrap_or(0.0);
            let sum = unit * unit * adjusted.redundancy as f64;
            let agree = by_chance(sum, adjusted.redundancy) >= AGREED;
            return if agree { Self::None } else { Self::Together };
        };
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
            Self::Unchecked | Self::None | Self::Together => false,
            Self::One(one) => *one == index,
            Self::Among(several) => several.contains(&index),
        }
    }

    /// Whether anything is doubted, be it all together.
    pub fn is_any(&self) -> bool {
        matches!(self, Self::Together | Self::One(_) | Self::Among(_))
    }
}

/// How often squares of normal figures sum up to this or more: the upper tail of the chi-square distribution, in the finite
/// sums that whole degrees of freedom leave of the incomplete gamma function.
fn by_chance(sum: f64, degrees: usize) -> f64 {
    let x = sum.max(0.0) / 2.0;
    let root = x.sqrt();
    // An odd number begins at the normal distribution's own tail.
    let (mut total, mut term, mut step) = match degrees % 2 {
        0 => (0.0, libm::exp(-x), 1.0),
        _ => (libm::erfc(root), libm::exp(-x) * root * std::f64::consts::FRAC_2_SQRT_PI, 1.5),
    };
    for _ in 0..degrees / 2 {
        total += term;
        term *= x / step;
        step += 1.0;
    }
    total
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Upper critical values of the chi-square distribution, NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.4, as a
    /// table of the same figures to five places prints them.
    #[test]
    fn chance_is_that_of_the_published_table() {
        let one_in_a_hundred =
            [(1, 6.63490), (2, 9.21034), (3, 11.34487), (4, 13.27670), (5, 15.08627), (10, 23.20925)];
        for (degrees, value) in one_in_a_hundred {
            assert!(
                (by_chance(value, degrees) - 0.01).abs() < 1e-6,
                "{degrees}: {}",
                by_chance(value, degrees)
            );
        }
        let one_in_twenty = [(1, 3.84146), (2, 5.99146), (3, 7.81473), (10, 18.30704)];
        for (degrees, value) in one_in_twenty {
            assert!((by_chance(value, degrees) - 0.05).abs() < 1e-6, "{degrees}");
        }
        assert_eq!((by_chance(0.0, 1), by_chance(0.0, 2)), (1.0, 1.0));
        assert_eq!((by_chance(1e9, 1), by_chance(1e9, 8)), (0.0, 0.0));
    }
}
