//! What is bought besides boards.

use crate::House;
use order::{MaterialLine, MaterialList};
use serde::Serialize;

/// Materials.
#[derive(Debug, Serialize)]
pub struct MaterialsPart {
    /// One entry a material, in the order of use.
    pub lines: Vec<MaterialPart>,
    /// Price of all that has one, in the stock's currency.
    pub price: f64,
    /// Materials without a price.
    pub unpriced: Vec<&'static str>,
}

/// One material.
#[derive(Debug, Serialize)]
pub struct MaterialPart {
    /// Its word.
    pub material: &'static str,
    /// What it is, in the user's words.
    pub name: String,
    /// What the floor takes at least.
    pub least: f64,
    /// At most.
    pub greatest: f64,
    /// `L`, `kg`, `m²` or `m`.
    pub unit: &'static str,
    /// The arithmetic.
    pub arithmetic: Vec<String>,
    /// Where rate or rule is from.
    pub source: String,
    /// Packs, bags, rolls or lengths to buy.
    pub bought: u32,
    /// Which of them.
    pub bought_in: &'static str,
    /// What the allowance adds; it is in no other figure.
    pub allowance: f64,
    /// What more would be bought.
    pub allowance_bought: u32,
    /// Price of what is bought.
    pub price: Option<f64>,
    /// Lengths of a moulding with the pieces cut from each.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub lengths: Vec<LengthCutPart>,
    /// No cutting of the pieces buys less in all, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub length_bound: Option<f64>,
}

/// One length of a moulding.
#[derive(Debug, Serialize)]
pub struct LengthCutPart {
    /// mm.
    pub length: f64,
    /// What is cut from it.
    pub pieces: Vec<CutPart>,
}

/// One piece of a moulding.
#[derive(Debug, Serialize)]
pub struct CutPart {
    /// Where it goes.
    pub place: String,
    /// mm.
    pub length: f64,
}

impl House {
    /// What the floor takes besides boards, as far as the plan names products.
    pub fn materials(&self) -> MaterialList {
        order::materials(&self.plan, &self.surveyed, &self.site, &self.floor)
    }

    pub(super) fn materials_part(&self) -> MaterialsPart {
        part(&self.materials())
    }
}

/// A list of materials as the result has it.
pub(super) fn part(list: &MaterialList) -> MaterialsPart {
    MaterialsPart {
        lines: list.lines.iter().map(line).collect(),
        price: list.price,
        unpriced: list.unpriced.iter().map(|material| material.word()).collect(),
    }
}

fn line(of: &MaterialLine) -> MaterialPart {
    let lengths = of.cutting.iter().flat_map(|cutting| &cutting.lengths);
    MaterialPart {
        material: of.material.word(),
        name: of.name.clone(),
        least: of.least,
        greatest: of.greatest,
        unit: of.unit,
        arithmetic: of.sums.clone(),
        source: of.source.clone(),
        bought: of.packs,
        bought_in: of.material.unit_bought(),
        allowance: of.allowance,
        allowance_bought: of.allowance_packs,
        price: of.price,
        lengths: lengths
            .map(|length| LengthCutPart {
                length: length.length,
                pieces: length
                    .pieces
                    .iter()
                    .filter_map(|piece| of.pieces.get(*piece))
                    .map(|piece| CutPart { place: piece.place.clone(), length: piece.length })
                    .collect(),
            })
            .collect(),
        length_bound: of.cutting.as_ref().map(|cutting| cutting.bound),
    }
}
