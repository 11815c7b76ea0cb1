//! Materials in words and as CSV.

use super::reckon::{amount, count};
use super::{MaterialLine, MaterialList};
use crate::{Cell, ListError, Table};
use plan::{Plan, Units, format_area, format_length, format_run};
use std::fmt::Write;

impl MaterialLine {
    /// What the floor takes: `11.57 L`, or `15.4 to 23.1 L`.
    pub fn quantity_words(&self) -> String {
        match self.least == self.greatest {
            true => self.shown(self.greatest),
            false => format!("{} to {}", amount(self.least), self.shown(self.greatest)),
        }
    }

    /// A quantity in its unit; of areas and runs in feet with the metric figure beside it, which sums go on with.
    fn shown(&self, quantity: f64) -> String {
        match (self.units, self.unit) {
            (Units::FeetInches, "m²") => format_area(quantity * 1e6, self.units),
            (Units::FeetInches, "m") => format_run(quantity * 1e3, self.units),
            _ => format!("{} {}", amount(quantity), self.unit),
        }
    }

    /// What is bought: `20 packs`.
    pub fn bought_words(&self) -> String {
        count(self.packs, self.material.unit_bought())
    }

    /// What the allowance would add, where there is one.
    pub fn allowance_words(&self) -> Option<String> {
        (self.allowance > 0.0).then(|| {
            let more = count(self.allowance_packs, self.material.unit_bought());
            format!("allowance, not counted above: {}, {more} more", self.shown(self.allowance))
        })
    }

    /// What it is: the material's word, and the user's words for it.
    pub fn title(&self) -> String {
        match self.name.trim() {
            "" => self.material.word().to_owned(),
            name => format!("{}, {name}", self.material.word()),
        }
    }

    /// One line for each length of a moulding: what is cut from it, in the plan's units.
    pub fn cut_words(&self, plan: &Plan) -> Vec<(String, String)> {
        let length = |mm: f64| format_length(mm, plan.units);
        let cutting = self.cutting.iter().flat_map(|cutting| &cutting.lengths);
        cutting
            .map(|of| {
                let pieces = of.pieces.iter().filter_map(|piece| self.pieces.get(*piece));
                let pieces: Vec<String> =
                    pieces.map(|piece| format!("{} {}", length(piece.length), piece.place)).collect();
                (length(of.length), pieces.join(" · "))
            })
            .collect()
    }
}

/// Materials in plain words; empty where there are none.
pub fn materials_text(plan: &Plan, list: &MaterialList) -> String {
    let mut out = String::new();
    if list.lines.is_empty() {
        return out;
    }
    // Writing to a String cannot fail.
    let mut line = |text: String| {
        let _ = writeln!(out, "{text}");
    };
    line("Materials — the makers' sheets come first; nothing is added to a quantity".into());
    for of in &list.lines {
        let price =
            of.price.map_or_else(String::new, |price| format!("  {price:.2} {}", plan.stock.currency));
        let head = format!("  [ ] {:<12}  {}: {}{price}", of.bought_words(), of.title(), of.quantity_words());
        line(head.trim_end().to_owned());
        for sum in &of.sums {
            line(format!("          {sum}"));
        }
        line(format!("          from: {}", of.source));
        for (length, pieces) in of.cut_words(plan) {
            line(format!("          cut {length}: {pieces}"));
        }
        if let Some(allowance) = of.allowance_words() {
            line(format!("          {allowance}"));
        }
    }
    if list.price > 0.0 {
        let unpriced: Vec<&str> = list.unpriced.iter().map(|material| material.word()).collect();
        let without = match unpriced.is_empty() {
            true => String::new(),
            false => format!(", without {}", unpriced.join(", ")),
        };
        line(format!("  {:.2} {} for materials{without}", list.price, plan.stock.currency));
    }
    out
}

/// Materials as CSV: one row a material; litres, kilograms, square metres and metres whatever the plan shows.
///
/// # Errors
/// When the writer fails; it writes to memory, so this does not happen in practice.
pub fn materials_csv(list: &MaterialList) -> Result<String, ListError> {
    materials_table(list).csv()
}

/// The materials as a table: one row a material.
pub fn materials_table(list: &MaterialList) -> Table {
    let mut table = Table::new(
        "materials",
        "Materials",
        &[
            ("material", "Material"),
            ("name", "Name"),
            ("least", "Least"),
            ("greatest", "Greatest"),
            ("unit", "Unit"),
            ("bought", "Bought"),
            ("bought_in", "Bought in"),
            ("allowance", "Allowance"),
            ("allowance_bought", "Bought for it"),
            ("price", "Price"),
            ("arithmetic", "Arithmetic"),
            ("source", "Source"),
        ],
    );
    for of in &list.lines {
        table.rows.push(vec![
            Cell::text(of.material.word()),
            Cell::text(of.name.as_str()),
            Cell::Figure(of.least, 3),
            Cell::Figure(of.greatest, 3),
            Cell::text(of.unit),
            Cell::Count(of.packs.into()),
            Cell::text(of.material.unit_bought()),
            Cell::Figure(of.allowance, 3),
            Cell::Count(of.allowance_packs.into()),
            of.price.map_or(Cell::Empty, |price| Cell::Figure(price, 2)),
            Cell::text(of.sums.join("; ")),
            Cell::text(of.source.as_str()),
        ]);
    }
    table
}
