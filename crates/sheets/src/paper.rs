//! Papers and standard scales.

use plan::Units;

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

/// The scales plans are drawn at, 1 to: those the sides of metric scale rules have, as they stand or by tens (20, 25, 30,
/// 40, 50 and 75, 100, 125 are the sides of two of them; from memory), then onwards by the same steps.
const SCALES: [f64; 12] = [10.0, 20.0, 25.0, 30.0, 40.0, 50.0, 75.0, 100.0, 125.0, 150.0, 200.0, 250.0];

/// The scales in feet and inches: those of an architect's scale rule, inches of paper to a foot, then of an engineer's, an
/// inch to so many feet (from memory). A foot is twelve inches, so 1/4" to 1' is 1:48.
const FEET_SCALES: [(f64, &str); 18] = [
    (8.0, "1 1/2\" = 1'"),
    (12.0, "1\" = 1'"),
    (16.0, "3/4\" = 1'"),
    (24.0, "1/2\" = 1'"),
    (32.0, "3/8\" = 1'"),
    (48.0, "1/4\" = 1'"),
    (64.0, "3/16\" = 1'"),
    (96.0, "1/8\" = 1'"),
    (120.0, "1\" = 10'"),
    (128.0, "3/32\" = 1'"),
    (192.0, "1/16\" = 1'"),
    (240.0, "1\" = 20'"),
    (360.0, "1\" = 30'"),
    (480.0, "1\" = 40'"),
    (600.0, "1\" = 50'"),
    (720.0, "1\" = 60'"),
    (1200.0, "1\" = 100'"),
    (2400.0, "1\" = 200'"),
];

/// The standard scales from the largest drawing to the smallest.
pub(crate) fn scales(units: Units) -> impl Iterator<Item = f64> {
    let (own, from): (Vec<f64>, f64) = match units {
        Units::Metric => (SCALES.to_vec(), 250.0),
        Units::FeetInches => (FEET_SCALES.iter().map(|(scale, _)| *scale).collect(), 2400.0),
    };
    let more = (0..8).flat_map(|tens| {
        let unit = (0..tens).fold(100.0, |unit, _| unit * 10.0);
        [5.0, 10.0, 20.0, 25.0].into_iter().map(move |step| step * unit)
    });
    own.into_iter().chain(more.filter(move |scale| *scale > from))
}

/// A scale as it is read off a rule: `1:50`, `1:48, 1/4" = 1'`.
pub(crate) fn scale_words(scale: f64, units: Units) -> String {
    let named =
        FEET_SCALES.iter().find(|(known, _)| units == Units::FeetInches && (known - scale).abs() < 1e-9);
    named.map_or_else(|| format!("1:{scale}"), |(_, words)| format!("1:{scale}, {words}"))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn scales_grow() {
        for units in [Units::Metric, Units::FeetInches] {
            let all: Vec<f64> = scales(units).collect();
            assert!(all.windows(2).all(|pair| pair[0] < pair[1]), "{all:?}");
            assert!(all.last().is_some_and(|last| *last >= 1e9), "{all:?}");
        }
        let metric: Vec<f64> = scales(Units::Metric).collect();
        assert_eq!(&metric[11..15], &[250.0, 500.0, 1000.0, 2000.0]);
    }

    #[test]
    fn a_scale_of_feet_is_what_its_words_say() {
        // Inches of paper to feet of house: a foot is twelve inches.
        let length = |text: &str| -> f64 {
            let (text, unit) = text.split_at(text.len() - 1);
            let part = |text: &str| match text.split_once('/') {
                Some((a, b)) => a.parse::<f64>().unwrap() / b.parse::<f64>().unwrap(),
                None => text.parse().unwrap(),
            };
            text.split(' ').map(part).sum::<f64>() * if unit == "'" { 12.0 } else { 1.0 }
        };
        for (scale, words) in FEET_SCALES {
            let (paper, house) = words.split_once(" = ").unwrap();
            assert!((length(house) / length(paper) - scale).abs() < 1e-9, "{words}");
        }
        assert_eq!(scale_words(48.0, Units::FeetInches), "1:48, 1/4\" = 1'");
        assert_eq!(scale_words(48.0, Units::Metric), "1:48");
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
