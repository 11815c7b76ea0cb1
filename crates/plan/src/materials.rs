//! What is bought besides boards: products as the rates and packs a person types, without brands.
//!
//! Rates are in litres and kilograms by the square metre, packs in litres, kilograms or metres, prices in the stock's
//! currency.

use crate::Plan;
use serde::{Deserialize, Serialize};

/// Products to buy for. What is left out is not reckoned.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Materials {
    /// Adhesive under the boards.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub adhesive: Option<Adhesive>,
    /// Primer on the slab.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub primer: Option<Coating>,
    /// Moisture barrier on the slab.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub barrier: Option<Coating>,
    /// Leveller for low spots and rebates.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub leveller: Option<Leveller>,
    /// Underlay under a floating floor.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub underlay: Option<Sheet>,
    /// Sealant in gaps that no skirting covers.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sealant: Option<Sealant>,
    /// Skirting along walls.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub skirting: Option<Moulding>,
    /// Architrave round doorways whose lining is to come.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub architrave: Option<Architrave>,
    /// Trims in doorways and along tile.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub trim: Option<Moulding>,
    /// Nosings at stairs.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub nosing: Option<Moulding>,
    /// Protection sheet on the laid floor.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub protection: Option<Sheet>,
    /// Tools hired by the day.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub hired: Vec<Hired>,
    /// Allowance shown beside each quantity, never in it, %.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub allowance: Option<f64>,
}

/// A tool hired by the day.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Hired {
    /// What it is, in the user's words.
    pub name: String,
    /// How many of it; one where the plan does not say.
    #[serde(default = "one", skip_serializing_if = "is_one")]
    pub count: u32,
    /// Days for which it is hired.
    pub days: u32,
    /// Price of one for a day.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub price: Option<f64>,
}

fn one() -> u32 {
    1
}

fn is_one(count: &u32) -> bool {
    *count == 1
}

/// Adhesive.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Adhesive {
    /// What it is, in the user's words.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub name: String,
    /// How it is put on.
    pub rate: AdhesiveRate,
    /// Whether it is sold by weight: a typed rate is kg/m², a pack kg.
    #[serde(default, skip_serializing_if = "is_litres")]
    pub by_weight: bool,
    /// What a litre weighs, kg, where beads or a trowel are to come to a weight; the usual figure where it is not typed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub density: Option<f64>,
    /// What a pack holds, L or kg.
    pub pack: f64,
    /// Price of a pack.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub price: Option<f64>,
}

/// What is spread and sold by volume, the default.
fn is_litres(by_weight: &bool) -> bool {
    !by_weight
}

/// The unit of what is sold by weight or by volume.
fn unit(by_weight: bool) -> &'static str {
    if by_weight { "kg" } else { "L" }
}

impl Adhesive {
    /// What a litre weighs where the pail does not say, kg: between 1.2 and 1.7, from memory.
    pub const DENSITY: f64 = 1.5;

    /// What it is sold in: `L` or `kg`.
    pub fn unit(&self) -> &'static str {
        unit(self.by_weight)
    }

    /// What is taken to a litre, kg, where volume has to be made weight; `None` where the rate is in its own unit already.
    pub fn weighed(&self) -> Option<f64> {
        let is_volume = !matches!(self.rate, AdhesiveRate::Rate { .. });
        (self.by_weight && is_volume).then(|| self.density.unwrap_or(Self::DENSITY))
    }

    /// What a square metre takes, least and greatest, in its unit.
    pub fn spread(&self) -> (f64, f64) {
        let (least, greatest) = self.rate.figures();
        let factor = self.weighed().unwrap_or(1.0);
        (least * factor, greatest * factor)
    }
}

/// How adhesive is put on.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub enum AdhesiveRate {
    /// Round beads.
    Bead {
        /// Diameter of a bead, mm.
        diameter: f64,
        /// From the middle of one bead to the next, mm.
        spacing: f64,
    },
    /// A trowel with square notches.
    Trowel {
        /// Width of a notch, mm.
        width: f64,
        /// Depth of a notch, mm.
        depth: f64,
        /// From the middle of one notch to the next: notch and tooth, mm.
        pitch: f64,
    },
    /// What the maker's sheet says, L/m², or kg/m² of what is sold by weight.
    Rate {
        /// Least.
        least: f64,
        /// Greatest.
        greatest: f64,
    },
}

impl AdhesiveRate {
    /// What a square metre takes, least and greatest: litres of beads and by trowel, a typed rate as it is.
    ///
    /// Bead: the area of a circle of the diameter over the spacing, π·d²/(4·s). Trowel: a notch's area over the pitch
    /// is what a blade held upright leaves at most; one held at 45° leaves no more than sin 45° of that. What is left in
    /// fact varies more: the makers' sheets and a trial square metre come first.
    pub fn figures(self) -> (f64, f64) {
        match self {
            Self::Bead { diameter, spacing } => {
                let litres = std::f64::consts::PI * diameter * diameter / (4.0 * spacing);
                (litres, litres)
            }
            Self::Trowel { width, depth, pitch } => {
                let most = width * depth / pitch;
                (most * std::f64::consts::FRAC_1_SQRT_2, most)
            }
            Self::Rate { least, greatest } => (least, greatest),
        }
    }
}

impl Plan {
    /// Coats of the moisture barrier that are on, of those the materials ask for: what is to come is the rest of them.
    pub fn coats_on(&self) -> usize {
        let asked =
            self.materials.as_ref().and_then(|all| all.barrier.as_ref()).map_or(0, |of| of.coats.len());
        let on = self.slab.as_ref().and_then(|slab| slab.barrier_coats).unwrap_or(0);
        asked.min(usize::try_from(on).unwrap_or(usize::MAX))
    }
}

/// What is spread over the slab in coats.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Coating {
    /// What it is, in the user's words.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub name: String,
    /// Each coat's rate in order, L/m² or kg/m².
    pub coats: Vec<f64>,
    /// Whether it is sold by weight: rates are kg/m², a pack kg.
    #[serde(default, skip_serializing_if = "is_litres")]
    pub by_weight: bool,
    /// What a pack holds, both parts together, L or kg.
    pub pack: f64,
    /// Price of a pack.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub price: Option<f64>,
}

impl Coating {
    /// What it is sold in: `L` or `kg`.
    pub fn unit(&self) -> &'static str {
        unit(self.by_weight)
    }
}

/// Leveller.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Leveller {
    /// What it is, in the user's words.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub name: String,
    /// Powder to a litre of leveller, kg; the usual figure where the bag's is not typed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub powder: Option<f64>,
    /// What a bag holds, kg.
    pub pack: f64,
    /// Price of a bag.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub price: Option<f64>,
}

impl Leveller {
    /// Powder to a litre where the bag does not say, kg: between 1.5 and 1.7, from memory.
    pub const POWDER: f64 = 1.6;
}

/// A sheet on rolls.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Sheet {
    /// What it is, in the user's words.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub name: String,
    /// Width of the roll, mm.
    pub width: f64,
    /// Length of the roll, mm.
    pub length: f64,
    /// How far one strip lies over the next, mm; 0 where strips meet.
    #[serde(default, skip_serializing_if = "is_zero")]
    pub lap: f64,
    /// How far it stays off walls where skirting is still to come, mm; protection only.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub off_walls: Option<f64>,
    /// Price of a roll.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub price: Option<f64>,
}

impl Sheet {
    /// How far a protection sheet stays off walls where the plan does not say, mm: common practice, no source.
    pub const OFF_WALLS: f64 = 50.0;
}

/// Sealant.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Sealant {
    /// What it is, in the user's words.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub name: String,
    /// Depth it is filled to, mm; the board's thickness where it is not typed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub depth: Option<f64>,
    /// What a pack holds, L.
    pub pack: f64,
    /// Price of a pack.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub price: Option<f64>,
}

/// What is sold by lengths and cut: skirting, trims, nosings.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Moulding {
    /// What it is, in the user's words.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub name: String,
    /// Lengths it is sold in, mm.
    pub lengths: Vec<f64>,
    /// Width of the saw cut, mm.
    pub kerf: f64,
    /// Added to each piece for its mitres, mm.
    #[serde(default, skip_serializing_if = "is_zero")]
    pub add: f64,
    /// Price of a metre.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub price: Option<f64>,
}

/// Architrave: two legs and a head on each face of a doorway.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Architrave {
    /// Its width, mm: skirting stops against it.
    pub width: f64,
    /// Height of the opening, mm.
    pub height: f64,
    /// What it is cut from.
    pub moulding: Moulding,
}

fn is_zero(mm: &f64) -> bool {
    *mm == 0.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bead_of_7_at_64_is_0_601_litres_to_the_square_metre() {
        // By hand: 3.14159 × 49 / 256 = 0.6013.
        let (least, greatest) = AdhesiveRate::Bead { diameter: 7.0, spacing: 64.0 }.figures();
        assert!((least - 0.601_320_5).abs() < 1e-6 && least == greatest, "{least}");
    }

    #[test]
    fn a_quarter_inch_square_notch_leaves_3_175_litres_at_most() {
        // A notch of 6.35 × 6.35 every 12.7: half of 6.35 mm deep over all, by hand.
        let (least, greatest) = AdhesiveRate::Trowel { width: 6.35, depth: 6.35, pitch: 12.7 }.figures();
        assert!((greatest - 3.175).abs() < 1e-12);
        // At 45° the ridges are lower by sin 45° = 0.70711.
        assert!((least - 2.245_064).abs() < 1e-6, "{least}");
    }
}
