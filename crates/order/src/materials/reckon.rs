//! All lines of the list.

use super::mouldings::{architrave, nosing, skirting, trim};
use super::spread::{adhesive, coating, leveller, sealant, sheet};
use super::{Material, MaterialLine, MaterialList, Takings};
use plan::{Plan, format_area, format_length, format_run, format_small};

/// What is reckoned with.
pub(super) struct Reckoning<'a> {
    pub(super) plan: &'a Plan,
    pub(super) takings: &'a Takings,
    /// Share of each quantity that the allowance adds, 0 to 1.
    pub(super) allowance: f64,
}

impl Reckoning<'_> {
    /// A length in the plan's units.
    pub(super) fn length(&self, mm: f64) -> String {
        format_length(mm, self.plan.units)
    }

    /// An area (mm²) in the plan's units.
    pub(super) fn area(&self, area: f64) -> String {
        format_area(area, self.plan.units)
    }

    /// How much of something runs along (mm), in the plan's units.
    pub(super) fn run(&self, mm: f64) -> String {
        format_run(mm, self.plan.units)
    }

    /// A measure of a section (mm), in the plan's units.
    pub(super) fn small(&self, mm: f64) -> String {
        format_small(mm, self.plan.units)
    }

    /// A line for what is bought in packs of one size, with the division by the pack as its last step.
    pub(super) fn packed(
        &self,
        material: Material,
        name: &str,
        (least, greatest): (f64, f64),
        unit: &'static str,
        (holds, price): (f64, Option<f64>),
    ) -> MaterialLine {
        let packs = packs(greatest, holds);
        let allowance = greatest * self.allowance;
        let mut line = MaterialLine {
            material,
            name: name.to_owned(),
            least,
            greatest,
            unit,
            sums: Vec::new(),
            source: String::new(),
            packs,
            allowance,
            allowance_packs: packs_of(greatest + allowance, holds).saturating_sub(packs),
            price: price.map(|price| price * f64::from(packs)),
            pieces: Vec::new(),
            cutting: None,
            units: self.plan.units,
        };
        let word = material.unit_bought();
        line.sums.push(format!(
            "{} {unit} ÷ {} {unit} a {word} = {}, so {}",
            amount(greatest),
            plain(holds),
            amount(greatest / holds),
            count(packs, word)
        ));
        line
    }
}

/// What a quantity is bought in packs of, rounded up; what is a hair over a whole pack by rounding is that pack.
fn packs(quantity: f64, holds: f64) -> u32 {
    packs_of(quantity, holds)
}

fn packs_of(quantity: f64, holds: f64) -> u32 {
    (quantity / holds - 1e-9).ceil().clamp(0.0, f64::from(u32::MAX)) as u32
}

/// A quantity with as many decimals as it takes to follow a sum.
pub(super) fn amount(value: f64) -> String {
    if value.abs() >= 100.0 {
        format!("{value:.1}")
    } else if value.abs() >= 1.0 {
        format!("{value:.2}")
    } else {
        format!("{value:.3}")
    }
}

/// A typed figure as it was typed.
pub(super) fn plain(value: f64) -> String {
    format!("{value}")
}

pub(super) fn count(number: u32, one: &str) -> String {
    if number == 1 { format!("1 {one}") } else { format!("{number} {one}s") }
}

/// The list for what is taken; empty where the plan names no products.
pub(crate) fn reckon(plan: &Plan, takings: &Takings) -> MaterialList {
    let Some(materials) = &plan.materials else { return MaterialList::default() };
    let with = Reckoning { plan, takings, allowance: materials.allowance.unwrap_or(0.0) / 100.0 };
    let mut lines: Vec<MaterialLine> = Vec::new();
    lines.extend(materials.leveller.as_ref().map(|of| leveller(&with, of)));
    lines.extend(materials.primer.as_ref().map(|of| coating(&with, Material::Primer, of)));
    lines.extend(materials.barrier.as_ref().map(|of| coating(&with, Material::Barrier, of)));
    lines.extend(materials.underlay.as_ref().map(|of| sheet(&with, Material::Underlay, of)));
    lines.extend(materials.adhesive.as_ref().map(|of| adhesive(&with, of)));
    lines.extend(materials.sealant.as_ref().map(|of| sealant(&with, of)));
    lines.extend(materials.trim.as_ref().map(|of| trim(&with, of)));
    lines.extend(materials.nosing.as_ref().map(|of| nosing(&with, of)));
    lines.extend(materials.skirting.as_ref().map(|of| skirting(&with, of)));
    lines.extend(materials.architrave.as_ref().map(|of| architrave(&with, of)));
    lines.extend(materials.protection.as_ref().map(|of| sheet(&with, Material::Protection, of)));
    let price = lines.iter().filter_map(|line| line.price).sum();
    let bought = lines.iter().filter(|line| line.packs > 0);
    let unpriced = bought.filter(|line| line.price.is_none()).map(|line| line.material).collect();
    MaterialList { lines, price, unpriced }
}
