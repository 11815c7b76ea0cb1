//! The moisture that wood comes to in air.

use plan::{Climate, Seasons};

/// Moisture content at which wood in air of a temperature (°C) and a relative humidity (percent) comes to rest, percent
/// of its dry weight.
///
/// Wood Handbook, Forest Products Laboratory, FPL-GTR-190, 2010, chapter 4, equation 4-5 with its metric coefficients.
/// A board reaches it only after weeks, and a finished face slows it down: it is where the wood is going, not where it
/// is.
pub fn equilibrium(degrees: f64, humidity: f64) -> f64 {
    let (t, h) = (degrees, humidity / 100.0);
    let w = 349.0 + 1.29 * t + 0.0135 * t * t;
    let k = 0.805 + 7.36e-4 * t - 2.73e-6 * t * t;
    let k1 = 6.27 - 0.00938 * t - 3.03e-4 * t * t;
    let k2 = 1.91 + 0.0407 * t - 2.93e-4 * t * t;
    let kh = k * h;
    let (first, second) = (k1 * kh, k1 * k2 * kh * kh);
    1800.0 / w * (kh / (1.0 - kh) + (first + 2.0 * second) / (1.0 + first + second))
}

/// Moisture contents of the wood over the year, percent.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moisture {
    /// When it is laid.
    pub laid: f64,
    /// At its driest.
    pub driest: f64,
    /// At its dampest.
    pub dampest: f64,
}

impl Moisture {
    /// What the wood comes to in each season.
    pub fn of(air: &Seasons) -> Self {
        let content = |climate: Climate| match climate {
            Climate::Air { degrees, humidity } => equilibrium(degrees, humidity),
            Climate::Moisture(percent) => percent,
        };
        Self { laid: content(air.laid), driest: content(air.driest), dampest: content(air.dampest) }
    }

    /// How much damper than laid it gets, percent; 0 where it is laid at its dampest.
    pub fn rise(&self) -> f64 {
        (self.dampest.max(self.driest) - self.laid).max(0.0)
    }

    /// How much drier than laid it gets, percent.
    pub fn fall(&self) -> f64 {
        (self.laid - self.driest.min(self.dampest)).max(0.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Wood Handbook, FPL-GTR-190, table 4-2 (°F, percent humidity, percent moisture). The equation stays within 0.06
    /// of the table's tenths.
    #[test]
    fn the_equation_gives_the_handbooks_table() {
        let humidities = [30.0, 50.0, 65.0, 80.0, 95.0];
        let table = [
            (30.0, [6.3, 9.5, 12.4, 16.5, 24.3]),
            (50.0, [6.3, 9.5, 12.3, 16.4, 24.3]),
            (70.0, [6.2, 9.2, 12.0, 16.0, 23.9]),
            (90.0, [5.9, 8.9, 11.5, 15.4, 23.3]),
            (140.0, [5.0, 7.7, 10.0, 13.6, 21.0]),
        ];
        for (fahrenheit, contents) in table {
            let degrees = (fahrenheit - 32.0) / 1.8;
            for (humidity, content) in humidities.into_iter().zip(contents) {
                let found = equilibrium(degrees, humidity);
                assert!((found - content).abs() <= 0.06, "{fahrenheit} °F {humidity} %: {found} {content}");
            }
        }
    }

    /// The equation evaluated by hand at 20 °C and 50 %: W 380.2, K 0.818628, K1 5.9612, K2 2.6068.
    #[test]
    fn the_equation_is_evaluated_to_its_last_figure() {
        assert!((equilibrium(20.0, 50.0) - 9.271_141).abs() < 1e-6);
        assert!((equilibrium(20.0, 35.0) - 6.963).abs() < 5e-4);
        assert!((equilibrium(20.0, 65.0) - 11.996).abs() < 5e-4);
        assert!((equilibrium(25.0, 60.0) - 10.832).abs() < 5e-4);
        assert_eq!(equilibrium(20.0, 0.0), 0.0);
    }

    #[test]
    fn a_meter_is_taken_at_its_word_and_seasons_either_way_round() {
        let dry = Climate::Moisture(6.0);
        let air = Seasons { laid: Climate::Moisture(9.0), driest: dry, dampest: Climate::Moisture(11.5) };
        let moisture = Moisture::of(&air);
        assert_eq!((moisture.rise(), moisture.fall()), (2.5, 3.0));
        let turned = Seasons { driest: air.dampest, dampest: air.driest, ..air };
        let moisture = Moisture::of(&turned);
        assert_eq!((moisture.rise(), moisture.fall()), (2.5, 3.0));
        let laid_damp = Moisture { laid: 12.0, driest: 6.0, dampest: 11.0 };
        assert_eq!((laid_damp.rise(), laid_damp.fall()), (0.0, 6.0));
    }
}
