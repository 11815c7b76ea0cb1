//! Fields that several materials share.

use super::super::parts::{act, choose, with, with_several};
use crate::field;
use egui::Ui;
use plan::{Adhesive, AdhesiveRate, Moulding, Units};

pub(super) fn capital(word: &str) -> String {
    let mut letters = word.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

pub(super) fn new_moulding() -> Moulding {
    Moulding { name: String::new(), lengths: vec![2400.0], kerf: 3.0, add: 0.0, price: None }
}

pub(super) fn name(ui: &mut Ui, of: &str, shown: &str, set: impl FnOnce(String)) {
    let typed =
        with(ui, "In your words", |ui| field::loose_words(ui, &format!("what the {of} is"), shown, 150.0));
    if let Some(typed) = typed {
        set(typed);
    }
}

pub(super) fn number(ui: &mut Ui, label: &str, name: &str, value: f64) -> Option<f64> {
    with(ui, label, |ui| field::number(ui, name, value))
}

pub(super) fn price(ui: &mut Ui, label: &str, of: &str, value: Option<f64>) -> Option<Option<f64>> {
    with(ui, label, |ui| field::optional_number(ui, &format!("price, {of}"), value))
}

/// Whether it is sold by weight; when it is changed. Rates and packs keep their figures, which then are the other unit's.
pub(super) fn sold_by(ui: &mut Ui, word: &str, by_weight: bool) -> Option<bool> {
    const WAYS: [&str; 2] = ["by the litre", "by the kilogram"];
    let name = format!("how {word} is sold");
    with(ui, "Sold", |ui| choose(ui, &name, WAYS[usize::from(by_weight)], &WAYS)).map(|chosen| chosen == 1)
}

/// The figures of how adhesive is put on; changed ones.
pub(super) fn rate(ui: &mut Ui, of: &Adhesive, units: Units) -> Option<AdhesiveRate> {
    let stated = format!("{}/m², least · greatest", of.unit());
    match of.rate {
        AdhesiveRate::Bead { diameter, spacing } => with_several(ui, "Bead · spacing", |ui| {
            let (new_diameter, new_spacing) = {
                (
                    field::length(ui, "bead of adhesive", diameter, units),
                    field::length(ui, "spacing of beads", spacing, units),
                )
            };
            (new_spacing.is_some() || new_diameter.is_some()).then(|| AdhesiveRate::Bead {
                diameter: new_diameter.unwrap_or(diameter),
                spacing: new_spacing.unwrap_or(spacing),
            })
        }),
        AdhesiveRate::Trowel { width, depth, pitch } => {
            with_several(ui, "Notch, width · depth · pitch", |ui| {
                let (new_width, new_depth, new_pitch) = {
                    (
                        field::length(ui, "width of a notch", width, units),
                        field::length(ui, "depth of a notch", depth, units),
                        field::length(ui, "notch and tooth", pitch, units),
                    )
                };
                let is_new = new_pitch.is_some() || new_depth.is_some() || new_width.is_some();
                is_new.then(|| AdhesiveRate::Trowel {
                    width: new_width.unwrap_or(width),
                    depth: new_depth.unwrap_or(depth),
                    pitch: new_pitch.unwrap_or(pitch),
                })
            })
        }
        AdhesiveRate::Rate { least, greatest } => with_several(ui, &stated, |ui| {
            let (new_least, new_greatest) = {
                (
                    field::number(ui, "least rate of adhesive", least),
                    field::number(ui, "greatest rate of adhesive", greatest),
                )
            };
            (new_greatest.is_some() || new_least.is_some()).then(|| AdhesiveRate::Rate {
                least: new_least.unwrap_or(least),
                greatest: new_greatest.unwrap_or(greatest),
            })
        }),
    }
}

/// The figures of a moulding; changed ones.
pub(super) fn moulding_fields(ui: &mut Ui, word: &str, of: &Moulding, units: Units) -> Option<Moulding> {
    let mut new = None;
    name(ui, word, &of.name, |name| new = Some(Moulding { name, ..of.clone() }));
    for (index, length) in of.lengths.iter().enumerate() {
        ui.push_id(index, |ui| {
            with_several(ui, "Sold in lengths of", |ui| {
                let label = format!("{word}, length {}", index + 1);
                if let Some(length) = field::length(ui, &label, *length, units) {
                    let mut lengths = of.lengths.clone();
                    lengths[index] = length;
                    new = Some(Moulding { lengths, ..of.clone() });
                }
                if of.lengths.len() > 1 && act(ui, "remove").clicked() {
                    let mut lengths = of.lengths.clone();
                    lengths.remove(index);
                    new = Some(Moulding { lengths, ..of.clone() });
                }
            });
        });
    }
    if act(ui, "add a length").clicked() {
        let mut lengths = of.lengths.clone();
        lengths.push(3600.0);
        new = Some(Moulding { lengths, ..of.clone() });
    }
    with_several(ui, "Saw cut · added for mitres", |ui| {
        if let Some(kerf) = field::length(ui, &format!("{word}, saw cut"), of.kerf, units) {
            new = Some(Moulding { kerf, ..of.clone() });
        }
        if let Some(add) = field::length(ui, &format!("{word}, added to each piece"), of.add, units) {
            new = Some(Moulding { add, ..of.clone() });
        }
    });
    if let Some(price) = price(ui, "Price of a metre", word, of.price) {
        new = Some(Moulding { price, ..of.clone() });
    }
    new
}
