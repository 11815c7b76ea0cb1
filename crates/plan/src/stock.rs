//! The boards that are bought.

use serde::{Deserialize, Serialize};

/// The boards that are bought, mm.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Stock {
    /// What the boards are, in the user's words.
    pub name: String,
    /// Board thickness.
    pub thickness: f64,
    /// Face width as sold.
    pub face_width: f64,
    /// Width of ten boards laid dry and measured together; the rows' pitch is a tenth of it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ten_boards: Option<f64>,
    /// Lengths with the count of each in one pack.
    pub lengths: Vec<BoardLength>,
    /// How long edges join.
    pub lock: Lock,
    /// Whether the ends join too, so that a cut end can only lie against a wall.
    pub end_match: bool,
    /// How far the tongue stands out from the face.
    pub tongue: f64,
    /// Width of the saw cut.
    pub kerf: f64,
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

    /// The longest length, mm; 0 for stock without lengths.
    pub fn longest(&self) -> f64 {
        self.lengths.iter().map(|l| l.length).fold(0.0, f64::max)
    }
}

impl Default for Stock {
    fn default() -> Self {
        Self {
            name: "Oak 190 × 15, brushed".into(),
            thickness: 15.0,
            face_width: 190.0,
            ten_boards: None,
            lengths: vec![
                BoardLength { length: 2200.0, per_pack: 4 },
                BoardLength { length: 1900.0, per_pack: 1 },
                BoardLength { length: 1250.0, per_pack: 1 },
            ],
            lock: Lock::TongueAndGroove,
            end_match: true,
            tongue: 6.0,
            kerf: 3.0,
            pack_price: None,
            currency: String::new(),
        }
    }
}
