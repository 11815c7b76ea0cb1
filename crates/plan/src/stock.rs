//! The boards that are bought.

use crate::Wood;
use serde::{Deserialize, Serialize};

/// The boards that are bought, mm.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Stock {
    /// What the boards are, in the user's words.
    pub name: String,
    /// Board thickness.
    pub thickness: f64,
    /// Thickness of the wear layer; `None` where it is not known, or the board is solid.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wear_layer: Option<f64>,
    /// Thickness of the adhesive bed or the underlay that the boards lie on.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bed: Option<f64>,
    /// Face width as sold.
    pub face_width: f64,
    /// Width of ten boards laid dry and measured together; the rows' pitch is a tenth of it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ten_boards: Option<f64>,
    /// Lengths with the count of each in one pack; empty where they are random.
    pub lengths: Vec<BoardLength>,
    /// Lengths that differ from board to board.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub random: Option<RandomLengths>,
    /// Packs on hand, opened in order; `None` where more can be had.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub packs: Option<u32>,
    /// How long edges join.
    pub lock: Lock,
    /// Whether the ends join too, so that a cut end can only lie against a wall.
    pub end_match: bool,
    /// How far the tongue stands out from the face.
    pub tongue: f64,
    /// Width of the saw cut.
    pub kerf: f64,
    /// What they are made of, from which their movement follows; `None` where it is not known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wood: Option<Wood>,
    /// Price of one pack.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pack_price: Option<f64>,
    /// Currency of the price, as it is to be printed.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub currency: String,
}

/// One board length in a pack.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BoardLength {
    /// Face length, mm.
    pub length: f64,
    /// Boards of this length in one pack.
    pub per_pack: u32,
}

/// Boards whose lengths differ from board to board within a range, mm. What a pack holds is known
/// only when it is opened; until then its boards are drawn evenly over the range from the plan's seed.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RandomLengths {
    /// The shortest there is.
    pub shortest: f64,
    /// The longest there is.
    pub longest: f64,
    /// Boards in one pack.
    pub per_pack: u32,
}

/// How the long edges of the boards join.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Lock {
    /// Folded down on to the laid row.
    FoldDown,
    /// Tilted in at an angle.
    Angle,
    /// Tongue slid into groove.
    TongueAndGroove,
}

impl Stock {
    /// Row pitch: the face width the boards measure, or as sold where none is measured, mm.
    pub fn pitch(&self) -> f64 {
        self.ten_boards.map_or(self.face_width, |width| width / 10.0)
    }

    /// Height of the floor's face above the slab, mm: the board and the bed or underlay it lies on.
    pub fn build_up(&self) -> f64 {
        self.thickness + self.bed.unwrap_or(0.0)
    }

    /// The longest length in a pack, mm; 0 for stock without boards.
    pub fn longest(&self) -> f64 {
        let random = self.random.map_or(0.0, |random| random.longest);
        self.lengths.iter().filter(|l| l.per_pack > 0).map(|l| l.length).fold(random, f64::max)
    }

    /// The shortest length in a pack, mm; infinite for stock without boards.
    pub fn shortest(&self) -> f64 {
        let random = self.random.map_or(f64::INFINITY, |random| random.shortest);
        self.lengths.iter().filter(|l| l.per_pack > 0).map(|l| l.length).fold(random, f64::min)
    }

    /// Length of the boards in one pack together, mm; of random lengths on average.
    pub fn wood_per_pack(&self) -> f64 {
        let average =
            |random: RandomLengths| f64::from(random.per_pack) * (random.shortest + random.longest) / 2.0;
        let random = self.random.map_or(0.0, average);
        self.lengths.iter().map(|l| l.length * f64::from(l.per_pack)).fold(random, |sum, wood| sum + wood)
    }

    /// Boards in one pack.
    pub fn boards_per_pack(&self) -> u32 {
        let random = self.random.map_or(0, |random| random.per_pack);
        self.lengths.iter().map(|l| l.per_pack).fold(random, u32::saturating_add)
    }
}

impl Default for Stock {
    fn default() -> Self {
        Self {
            name: "Oak 190 × 15, brushed".into(),
            thickness: 15.0,
            wear_layer: None,
            bed: None,
            face_width: 190.0,
            ten_boards: None,
            lengths: vec![
                BoardLength { length: 2200.0, per_pack: 4 },
                BoardLength { length: 1900.0, per_pack: 1 },
                BoardLength { length: 1250.0, per_pack: 1 },
            ],
            random: None,
            packs: None,
            lock: Lock::TongueAndGroove,
            end_match: true,
            tongue: 6.0,
            kerf: 3.0,
            wood: None,
            pack_price: None,
            currency: String::new(),
        }
    }
}
