//! What is bought besides boards, reckoned from the floor as laid: every quantity with its arithmetic and source.
//!
//! Quantities are what the floor takes. An allowance stands beside each one, never in it.

mod faces;
mod mouldings;
mod reckon;
mod spread;
mod takings;
#[cfg(test)]
mod tests;
mod words;

pub(crate) use reckon::reckon;
pub(crate) use takings::Takings;
pub use words::{materials_csv, materials_table, materials_text};

use crate::Cutting;
use lay::Floor;
use plan::{Hired, Plan, Units};
use site::Site;

/// What is bought.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Material {
    /// Adhesive.
    Adhesive,
    /// Primer.
    Primer,
    /// Moisture barrier.
    Barrier,
    /// Leveller.
    Leveller,
    /// Underlay.
    Underlay,
    /// Sealant.
    Sealant,
    /// Skirting.
    Skirting,
    /// Architrave.
    Architrave,
    /// Trims.
    Trim,
    /// Nosings.
    Nosing,
    /// Protection sheet.
    Protection,
    /// A tool hired by the day.
    Hired,
}

impl Material {
    /// Its word.
    pub fn word(self) -> &'static str {
        match self {
            Self::Adhesive => "adhesive",
            Self::Primer => "primer",
            Self::Barrier => "moisture barrier",
            Self::Leveller => "leveller",
            Self::Underlay => "underlay",
            Self::Sealant => "sealant",
            Self::Skirting => "skirting",
            Self::Architrave => "architrave",
            Self::Trim => "trims",
            Self::Nosing => "nosings",
            Self::Protection => "protection sheet",
            Self::Hired => "hired tool",
        }
    }

    /// What it is bought in.
    pub fn unit_bought(self) -> &'static str {
        match self {
            Self::Leveller => "bag",
            Self::Underlay | Self::Protection => "roll",
            Self::Hired => "day",
            Self::Skirting | Self::Architrave | Self::Trim | Self::Nosing => "length",
            _ => "pack",
        }
    }
}

/// A piece to be cut from a moulding.
#[derive(Debug, Clone, PartialEq)]
pub struct MouldingPiece {
    /// Where it goes, in words.
    pub place: String,
    /// Length to cut, mm, the addition for mitres counted in.
    pub length: f64,
}

/// One thing to buy.
#[derive(Debug, Clone, PartialEq)]
pub struct MaterialLine {
    /// What.
    pub material: Material,
    /// What it is, in the user's words; empty where the plan gives none.
    pub name: String,
    /// What the floor takes at least, in `unit`.
    pub least: f64,
    /// What it takes at most; the same where there is no range.
    pub greatest: f64,
    /// `L`, `kg`, `m²` or `m`.
    pub unit: &'static str,
    /// The arithmetic, a step a line.
    pub sums: Vec<String>,
    /// Where rate or rule is from.
    pub source: String,
    /// Packs, bags, rolls or lengths that hold the greatest.
    pub packs: u32,
    /// What the allowance adds to the greatest, in `unit`; 0 where there is none.
    pub allowance: f64,
    /// Packs more, if the allowance is bought.
    pub allowance_packs: u32,
    /// Price of the packs, without the allowance, where it is known.
    pub price: Option<f64>,
    /// Pieces of a moulding.
    pub pieces: Vec<MouldingPiece>,
    /// How they are cut.
    pub cutting: Option<Cutting>,
    /// How its quantities are shown.
    pub units: Units,
}

/// Everything to buy besides boards.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct MaterialList {
    /// In the order in which it is used.
    pub lines: Vec<MaterialLine>,
    /// Price of all that has one.
    pub price: f64,
    /// What has no price.
    pub unpriced: Vec<Material>,
}

/// What a floor takes besides boards, as far as the plan names products; empty where it names none. `surveyed` has
/// every gap at its least, `site` as laid.
pub fn materials(plan: &Plan, surveyed: &Site, site: &Site, floor: &Floor) -> MaterialList {
    let mut list = reckon(plan, &Takings::of(plan, surveyed, site, floor));
    // Tools are hired for the whole house, whatever its stages take.
    for tool in plan.materials.iter().flat_map(|materials| &materials.hired) {
        let line = hired(tool, plan.units);
        list.price += line.price.unwrap_or(0.0);
        if line.price.is_none() && !list.unpriced.contains(&Material::Hired) {
            list.unpriced.push(Material::Hired);
        }
        list.lines.push(line);
    }
    list
}

/// A hired tool: its days, and what they come to.
fn hired(tool: &Hired, units: Units) -> MaterialLine {
    let days = f64::from(tool.count) * f64::from(tool.days);
    let (day, of) = (reckon::count(tool.days, "day"), tool.count);
    let mut sums = vec![if of == 1 { day } else { format!("{of} × {day} = {days} days") }];
    let price = tool.price.map(|price| price * days);
    if let (Some(each), Some(price)) = (tool.price, price) {
        sums.push(format!("{days} × {each:.2} = {price:.2}"));
    }
    MaterialLine {
        material: Material::Hired,
        name: tool.name.clone(),
        least: days,
        greatest: days,
        unit: "days",
        sums,
        source: "days and price as typed".into(),
        packs: tool.count.saturating_mul(tool.days),
        allowance: 0.0,
        allowance_packs: 0,
        price,
        pieces: Vec::new(),
        cutting: None,
        units,
    }
}
