//! Papers and standard scales.

/// A paper size.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Paper {
    /// 210 × 297 mm (ISO 216).
    #[default]
    A4,
    /// 297 × 420 mm (ISO 216).
    A3,
    /// 8½ × 11 in.
    Letter,
    /// 11 × 17 in.
    Tabloid,
}

impl Paper {
    /// Short and long side, mm.
    pub fn size(self) -> (f64, f64) {
        match self {
            Self::A4 => (210.0, 297.0),
            Self::A3 => (297.0, 420.0),
            Self::Letter => (215.9, 279.4),
            Self::Tabloid => (279.4, 431.8),
        }
    }

    /// Its name.
    pub fn name(self) -> &'static str {
        match self {
            Self::A4 => "A4",
            Self::A3 => "A3",
            Self::Letter => "Letter",
            Self::Tabloid => "Tabloid",
        }
    }

    /// Width and height of a page of a list, mm: a large paper lies, so that each of its columns is as wide as a small
    /// paper's one.
    pub(crate) fn list_size(self) -> (f64, f64) {
        let (short, long) = self.size();
        match self {
            Self::A4 | Self::Letter => (short, long),
            Self::A3 | Self::Tabloid => (long, short),
        }
    }

    /// How much larger than on A4 the type of a plan's sheet may be.
    pub(crate) fn type_factor(self) -> f64 {
        match self {
            Self::A4 | Self::Letter => 1.0,
            Self::A3 | Self::Tabloid => 1.25,
        }
    }
}

/// Margin round the sheets, mm. ISO 5457 keeps 20 mm at the filing side and 10 elsewhere (from memory); the
/// left one serves filing.
pub(crate) const MARGIN: f64 = 12.0;
/// Margin at the filing side, mm.
pub(crate) const LEFT: f64 = 20.0;

/// The scales plans are drawn at, 1 to: those a scale rule has, then onwards by the same steps.
const SCALES: [f64; 9] = [20.0, 25.0, 50.0, 75.0, 100.0, 125.0, 150.0, 200.0, 250.0];

/// The standard scales from the largest drawing to the smallest.
pub(crate) fn scales() -> impl Iterator<Item = f64> {
    let more = (0..8).flat_map(|tens| {
        let unit = (0..tens).fold(100.0, |unit, _| unit * 10.0);
        [5.0, 10.0, 20.0, 25.0].into_iter().map(move |step| step * unit)
    });
    SCALES.into_iter().chain(more)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn scales_grow() {
        let all: Vec<f64> = scales().collect();
        assert!(all.windows(2).all(|pair| pair[0] < pair[1]), "{all:?}");
        assert_eq!(&all[8..12], &[250.0, 500.0, 1000.0, 2000.0]);
    }

    #[test]
    fn papers_have_their_standard_sizes() {
        // ISO 216: an A paper's sides stand as 1 to √2 within a millimetre; an inch is 25.4 mm exactly.
        for paper in [Paper::A4, Paper::A3] {
            let (short, long) = paper.size();
            assert!((short * std::f64::consts::SQRT_2 - long).abs() < 1.0);
        }
        for (paper, inches) in [(Paper::Letter, (8.5, 11.0)), (Paper::Tabloid, (11.0, 17.0))] {
            let (short, long) = paper.size();
            assert!((short - inches.0 * 25.4).abs() < 1e-9 && (long - inches.1 * 25.4).abs() < 1e-9);
        }
    }
}
