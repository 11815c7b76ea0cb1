//! How much boards move for each percent of moisture: free, as built, and as the adhesive lets them.

use plan::{Construction, Species, Wood};

/// Change along the grain from green to oven-dry, as a part of the length: 0.1 to 0.2 % (Wood Handbook, FPL-GTR-190,
/// 2010, chapter 4, as quoted by others); the greater.
const ALONG: f64 = 0.002;
/// Moisture over which wood changes its size, percent: from memory, not looked up.
const FIBRE_SATURATION: f64 = 30.0;
/// Where the figure along the boards is from.
pub const ALONG_SOURCE: &str = "0.2 % of the length, Wood Handbook, FPL-GTR-190, 2010, ch. 4, as quoted by others, over 30 % of moisture, that from memory";
/// Change of a multilayer board's width for each percent: 0.03 %, NF DTU 51.11 P1-1, 2009, §7.5.
const MULTILAYER: f64 = 0.0003;

/// Moisture contents between which the handbook's coefficients are valid, percent.
pub const VALID: [f64; 2] = [6.0, 14.0];

/// Parts by which boards change for each percent of moisture content.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Coefficients {
    /// Across the board, the face's wood alone and free.
    pub free: f64,
    /// Across the board as it is built.
    pub built: f64,
    /// Along the board.
    pub along: f64,
    /// Share that the adhesive is taken to hold back, 0 to 1.
    pub held_back: f64,
}

/// A change of length, mm: of the free wood, of the boards as built, and what the adhesive lets through. The last is
/// an assumption, as the share held back is.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Change {
    /// If all of it were the face's wood, free to move.
    pub free: f64,
    /// As the boards are built.
    pub built: f64,
    /// With the share held back taken off: what gaps are held against.
    pub expected: f64,
}

impl Coefficients {
    /// Those of a wood.
    pub fn of(wood: &Wood) -> Self {
        let [radial, tangential] = published(wood.species);
        let free = if wood.construction == Construction::QuarterSawn { radial } else { tangential };
        let built = match wood.construction {
            Construction::FlatSawn | Construction::QuarterSawn => free,
            Construction::Multilayer => MULTILAYER,
            Construction::Stated(percent) => percent / 100.0,
        };
        Self { free, built, along: ALONG / FIBRE_SATURATION, held_back: wood.held_back }
    }

    /// The change of a width for a change of moisture, percent. Wood Handbook, FPL-GTR-190, 2010, equation 13-2:
    /// width · coefficient · change of moisture content.
    pub fn across(&self, width: f64, moisture: f64) -> Change {
        self.change(width * self.free * moisture, width * self.built * moisture)
    }

    /// The same of a length.
    pub fn along(&self, length: f64, moisture: f64) -> Change {
        let change = length * self.along * moisture;
        self.change(change, change)
    }

    fn change(&self, free: f64, built: f64) -> Change {
        Change { free, built, expected: built * (1.0 - self.held_back) }
    }
}

/// Where a species' figures stand.
pub fn source(wood: &Wood) -> &'static str {
    match (wood.construction, wood.species) {
        (Construction::Multilayer, _) => "NF DTU 51.11 P1-1, 2009, §7.5",
        (Construction::Stated(_), _) => "the maker",
        (_, Species::Hardwood | Species::Softwood) => "NF DTU 51.2 P1-1, 2020, §7.2",
        _ => "Wood Handbook, FPL-GTR-190, table 13-5",
    }
}

/// Radial and tangential change for each percent of moisture, between 6 and 14 %: Wood Handbook, FPL-GTR-190, 2010,
/// table 13-5. Of a hardwood or softwood not named 0.33 and 0.25 %, NF DTU 51.2 P1-1, 2020, §7.2, which tells no
/// directions apart.
fn published(species: Species) -> [f64; 2] {
    match species {
        Species::RedOak => [0.00158, 0.00369],
        Species::WhiteOak => [0.00180, 0.00365],
        Species::SugarMaple => [0.00165, 0.00353],
        Species::RedMaple => [0.00137, 0.00289],
        Species::Beech => [0.00190, 0.00431],
        Species::YellowBirch => [0.00256, 0.00338],
        Species::WhiteAsh => [0.00169, 0.00274],
        Species::BlackWalnut => [0.00190, 0.00274],
        Species::BlackCherry => [0.00126, 0.00248],
        Species::Hardwood => [0.0033, 0.0033],
        Species::Softwood => [0.0025, 0.0025],
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Wood Handbook, FPL-GTR-190, chapter 13, the worked example of equation 13-2: 232 mm become 233.7. Its inputs,
    /// C 0.00245 from 8 to 11 %, from memory: they give 1.705.
    #[test]
    fn the_handbooks_example_comes_out() {
        let wood = Wood { construction: Construction::Stated(0.245), ..Wood::default() };
        let change = Coefficients::of(&wood).across(232.0, 11.0 - 8.0);
        assert!((232.0 + change.built - 233.7).abs() < 0.05, "{change:?}");
        assert!((change.built - 1.705).abs() < 5e-4);
    }

    #[test]
    fn free_built_and_held_back_are_kept_apart() {
        // Flat-sawn white oak, 4 m, 3 %: 4000 · 0.00365 · 3 = 43.8. Multilayer: 4000 · 0.0003 · 3 = 3.6; half of it
        // held back leaves 1.8.
        let mut wood = Wood { construction: Construction::FlatSawn, ..Wood::default() };
        let change = Coefficients::of(&wood).across(4000.0, 3.0);
        assert!((change.free - 43.8).abs() < 1e-9 && change.free == change.built);
        wood.construction = Construction::Multilayer;
        wood.held_back = 0.5;
        let change = Coefficients::of(&wood).across(4000.0, 3.0);
        assert!((change.free - 43.8).abs() < 1e-9, "the face's wood is the same");
        assert!((change.built - 3.6).abs() < 1e-9 && (change.expected - 1.8).abs() < 1e-9);
        // Quarter-sawn moves by the radial figure: 4000 · 0.0018 · 3.
        wood.construction = Construction::QuarterSawn;
        assert!((Coefficients::of(&wood).across(4000.0, 3.0).built - 21.6).abs() < 1e-9);
    }

    #[test]
    fn lengths_hardly_move() {
        // 10 m and 3 %: 10 000 · 0.002 / 30 · 3 = 2.
        let change = Coefficients::of(&Wood::default()).along(10_000.0, 3.0);
        assert!((change.built - 2.0).abs() < 1e-9);
    }
}
