//! Materials: products as they are typed, and what the floor takes of each.

mod fields;

use super::Facts;
use super::parts::{act, choose, heading, line, note, with, with_several};
use crate::action::Actions;
use crate::field;
use crate::palette::strong_font;
use egui::{RichText, Ui};
use fields::{capital, moulding_fields, name, new_moulding, number, price, rate, sold_by};
use order::Material;
use plan::{
    Adhesive, AdhesiveRate, Architrave, Coating, Hired, Leveller, Materials, Moulding, Sealant, Sheet, Units,
};

/// Changes the materials, which are begun where there are none.
fn edit(actions: &mut Actions, name: &str, change: impl FnOnce(&mut Materials) + 'static) {
    actions.edit(name, move |plan| {
        let materials = plan.materials.get_or_insert_default();
        change(materials);
        if *materials == Materials::default() {
            plan.materials = None;
        }
    });
}

pub(super) fn show(ui: &mut Ui, facts: &Facts<'_>, actions: &mut Actions) {
    heading(ui, "Materials");
    note(
        ui,
        "Type rates and packs from the makers' sheets. What the floor takes is reckoned from the boards as laid; nothing \
         is added to it.",
    );
    let empty = Materials::default();
    let products = facts.plan.materials.as_ref().unwrap_or(&empty);
    let panel = Panel { facts, units: facts.plan.units };
    panel.leveller(ui, products.leveller.as_ref(), actions);
    panel.coating(ui, Material::Primer, products.primer.as_ref(), actions);
    panel.coating(ui, Material::Barrier, products.barrier.as_ref(), actions);
    panel.sheet(ui, Material::Underlay, products.underlay.as_ref(), actions);
    panel.adhesive(ui, products.adhesive.as_ref(), actions);
    panel.sealant(ui, products.sealant.as_ref(), actions);
    panel.moulding(ui, Material::Trim, products.trim.as_ref(), actions);
    panel.moulding(ui, Material::Nosing, products.nosing.as_ref(), actions);
    panel.moulding(ui, Material::Skirting, products.skirting.as_ref(), actions);
    panel.architrave(ui, products.architrave.as_ref(), actions);
    panel.sheet(ui, Material::Protection, products.protection.as_ref(), actions);
    hired(ui, &products.hired, facts, actions);
    with(ui, "Allowance shown beside each, %", |ui| {
        if let Some(share) = field::optional_number(ui, "allowance, %", products.allowance) {
            edit(actions, "allowance", move |all| all.allowance = share);
        }
    });
    let Some(list) = facts.bought.filter(|list| !list.lines.is_empty()) else { return };
    if list.price > 0.0 {
        line(ui, "Materials", format!("{} {}", facts.plan.stock.currency, plan::format_money(list.price)));
    }
    if !list.unpriced.is_empty() {
        let words: Vec<&str> = list.unpriced.iter().map(|material| material.word()).collect();
        note(ui, format!("without a price: {}", words.join(", ")));
    }
}

/// Tools hired by the day.
fn hired(ui: &mut Ui, tools: &[Hired], facts: &Facts<'_>, actions: &mut Actions) {
    let lines = facts.bought.iter().flat_map(|list| &list.lines);
    let mut reckoned = lines.filter(|line| line.material == Material::Hired);
    ui.add_space(4.0);
    with(ui, "Tools hired", |ui| {
        if act(ui, "hire one").clicked() {
            let new = Hired { name: "tool".into(), count: 1, days: 1, price: None };
            edit(actions, "hire a tool", move |all| all.hired.push(new));
        }
    });
    for (index, tool) in tools.iter().enumerate() {
        let number = index + 1;
        let set = |actions: &mut Actions, new: Hired| {
            edit(actions, "hired tool", move |all| {
                if let Some(tool) = all.hired.get_mut(index) {
                    *tool = new;
                }
            });
        };
        ui.push_id(("hired", index), |ui| {
            with_several(ui, "What it is", |ui| {
                let field = format!("what hired tool {number} is");
                if let Some(name) = field::words(ui, &field, &tool.name, 130.0) {
                    set(actions, Hired { name, ..tool.clone() });
                }
                if act(ui, "take out").accessible_name(format!("take out: hired tool {number}")).clicked() {
                    edit(actions, "take out a hired tool", move |all| {
                        if index < all.hired.len() {
                            all.hired.remove(index);
                        }
                    });
                }
            });
            with_several(ui, "How many · days", |ui| {
                let whole = |typed: u64| u32::try_from(typed).unwrap_or(u32::MAX);
                let count = format!("how many of hired tool {number}");
                if let Some(count) = field::small_whole(ui, &count, tool.count.into()) {
                    set(actions, Hired { count: whole(count), ..tool.clone() });
                }
                let days = format!("days of hired tool {number}");
                if let Some(days) = field::small_whole(ui, &days, tool.days.into()) {
                    set(actions, Hired { days: whole(days), ..tool.clone() });
                }
            });
            let typed = price(ui, "Price of one for a day", &format!("hired tool {number}"), tool.price);
            typed.into_iter().for_each(|price| set(actions, Hired { price, ..tool.clone() }));
            // Tools stand in the list in the plan's order.
            for sum in reckoned.next().iter().flat_map(|line| &line.sums) {
                note(ui, sum.clone());
            }
        });
    }
}

struct Panel<'a> {
    facts: &'a Facts<'a>,
    units: Units,
}

impl Panel<'_> {
    /// A product's heading with what is bought of it and its sums; whether it is to be added or taken out.
    fn head(&self, ui: &mut Ui, material: Material, is_there: bool) -> bool {
        let bought = self.facts.bought.and_then(|list| list.lines.iter().find(|of| of.material == material));
        let word = material.word();
        let mut asked = false;
        ui.add_space(4.0);
        with_several(ui, &capital(word), |ui| {
            if let Some(of) = bought.filter(|_| is_there) {
                let words = format!("{} · {}", of.bought_words(), of.quantity_words());
                ui.label(RichText::new(words).font(strong_font(13.5)))
                    .on_hover_text(format!("From: {}", of.source));
            }
            let what = if is_there { "take out" } else { "reckon it" };
            let response = act(ui, what);
            response.widget_info(|| {
                egui::WidgetInfo::labeled(egui::Role::Button, true, format!("{what}: {word}"))
            });
            asked = response.clicked();
        });
        if let Some(of) = bought.filter(|_| is_there) {
            for sum in of.sums.iter().cloned().chain(of.allowance_words()) {
                note(ui, sum);
            }
        }
        asked
    }

    fn leveller(&self, ui: &mut Ui, of: Option<&Leveller>, actions: &mut Actions) {
        if self.head(ui, Material::Leveller, of.is_some()) {
            let new = Leveller { name: String::new(), powder: None, pack: 25.0, price: None };
            let new = of.is_none().then_some(new);
            edit(actions, "leveller", move |all| all.leveller = new);
        }
        let Some(of) = of else { return };
        let set = |actions: &mut Actions, new: Leveller| {
            edit(actions, "leveller", move |all| all.leveller = Some(new));
        };
        ui.push_id("leveller", |ui| {
            name(ui, "leveller", &of.name, |name| set(actions, Leveller { name, ..of.clone() }));
            with(ui, "Powder to a litre, kg", |ui| {
                if let Some(powder) = field::optional_number(ui, "powder to a litre, kg", of.powder) {
                    set(actions, Leveller { powder, ..of.clone() });
                }
            });
            let pack = number(ui, "A bag holds, kg", "leveller in a bag, kg", of.pack);
            pack.into_iter().for_each(|pack| set(actions, Leveller { pack, ..of.clone() }));
            let price = price(ui, "Price of a bag", "leveller", of.price);
            price.into_iter().for_each(|price| set(actions, Leveller { price, ..of.clone() }));
        });
    }

    fn coating(&self, ui: &mut Ui, material: Material, of: Option<&Coating>, actions: &mut Actions) {
        let word = material.word();
        let set = move |actions: &mut Actions, new: Option<Coating>| {
            edit(actions, word, move |all| match material {
                Material::Primer => all.primer = new,
                _ => all.barrier = new,
            });
        };
        if self.head(ui, material, of.is_some()) {
            let coats = if material == Material::Primer { vec![0.15] } else { vec![0.3, 0.3] };
            let new = Coating { name: String::new(), coats, by_weight: false, pack: 10.0, price: None };
            set(actions, of.is_none().then_some(new));
        }
        let Some(of) = of else { return };
        ui.push_id(word, |ui| {
            name(ui, word, &of.name, |name| set(actions, Some(Coating { name, ..of.clone() })));
            for (index, rate) in of.coats.iter().enumerate() {
                ui.push_id(index, |ui| {
                    with_several(ui, &format!("Coat {}, {}/m²", index + 1, of.unit()), |ui| {
                        let weight = if of.by_weight { "kilograms" } else { "litres" };
                        let label = format!("{word}, coat {}, {weight} to a square metre", index + 1);
                        if let Some(rate) = field::number(ui, &label, *rate) {
                            let mut new = of.clone();
                            new.coats[index] = rate;
                            set(actions, Some(new));
                        }
                        if of.coats.len() > 1 && act(ui, "remove").clicked() {
                            let mut new = of.clone();
                            new.coats.remove(index);
                            set(actions, Some(new));
                        }
                    });
                });
            }
            if act(ui, "add a coat").clicked() {
                let mut new = of.clone();
                new.coats.push(of.coats.last().copied().unwrap_or(0.3));
                set(actions, Some(new));
            }
            if let Some(by_weight) = sold_by(ui, word, of.by_weight) {
                set(actions, Some(Coating { by_weight, ..of.clone() }));
            }
            let unit = of.unit();
            let label = format!("A pack holds, both parts, {unit}");
            let pack = number(ui, &label, &format!("{word} in a pack, {unit}"), of.pack);
            pack.into_iter().for_each(|pack| set(actions, Some(Coating { pack, ..of.clone() })));
            let price = price(ui, "Price of a pack", word, of.price);
            price.into_iter().for_each(|price| set(actions, Some(Coating { price, ..of.clone() })));
        });
    }

    fn sheet(&self, ui: &mut Ui, material: Material, of: Option<&Sheet>, actions: &mut Actions) {
        let word = material.word();
        let set = move |actions: &mut Actions, new: Option<Sheet>| {
            edit(actions, word, move |all| match material {
                Material::Underlay => all.underlay = new,
                _ => all.protection = new,
            });
        };
        if self.head(ui, material, of.is_some()) {
            let new = Sheet {
                name: String::new(),
                width: 1000.0,
                length: 10_000.0,
                lap: 0.0,
                off_walls: None,
                price: None,
            };
            set(actions, of.is_none().then_some(new));
        }
        let Some(of) = of else { return };
        ui.push_id(word, |ui| {
            name(ui, word, &of.name, |name| set(actions, Some(Sheet { name, ..of.clone() })));
            with_several(ui, "Roll, width · length", |ui| {
                let label = format!("{word}, width of a roll");
                if let Some(width) = field::length(ui, &label, of.width, self.units) {
                    set(actions, Some(Sheet { width, ..of.clone() }));
                }
                let label = format!("{word}, length of a roll");
                if let Some(length) = field::length(ui, &label, of.length, self.units) {
                    set(actions, Some(Sheet { length, ..of.clone() }));
                }
            });
            with(ui, "One strip laps the next by", |ui| {
                if let Some(lap) = field::length(ui, &format!("{word}, lap"), of.lap, self.units) {
                    set(actions, Some(Sheet { lap, ..of.clone() }));
                }
            });
            if material == Material::Protection {
                with(ui, "Kept off walls without skirting", |ui| {
                    let off =
                        field::optional_length(ui, "protection kept off walls", of.off_walls, self.units);
                    if let Some(off_walls) = off {
                        set(actions, Some(Sheet { off_walls, ..of.clone() }));
                    }
                });
            }
            let price = price(ui, "Price of a roll", word, of.price);
            price.into_iter().for_each(|price| set(actions, Some(Sheet { price, ..of.clone() })));
        });
    }

    fn adhesive(&self, ui: &mut Ui, of: Option<&Adhesive>, actions: &mut Actions) {
        let set = |actions: &mut Actions, new: Option<Adhesive>| {
            edit(actions, "adhesive", move |all| all.adhesive = new);
        };
        const BEAD: AdhesiveRate = AdhesiveRate::Bead { diameter: 7.0, spacing: 64.0 };
        const TROWEL: AdhesiveRate = AdhesiveRate::Trowel { width: 5.0, depth: 5.0, pitch: 10.0 };
        const RATE: AdhesiveRate = AdhesiveRate::Rate { least: 0.8, greatest: 1.2 };
        if self.head(ui, Material::Adhesive, of.is_some()) {
            let new = Adhesive {
                name: String::new(),
                rate: BEAD,
                by_weight: false,
                density: None,
                pack: 0.6,
                price: None,
            };
            set(actions, of.is_none().then_some(new));
        }
        let Some(of) = of else { return };
        ui.push_id("adhesive", |ui| {
            name(ui, "adhesive", &of.name, |name| set(actions, Some(Adhesive { name, ..of.clone() })));
            const WAYS: [(&str, AdhesiveRate); 3] =
                [("in beads", BEAD), ("by trowel", TROWEL), ("by rate", RATE)];
            let current = match of.rate {
                AdhesiveRate::Bead { .. } => 0,
                AdhesiveRate::Trowel { .. } => 1,
                AdhesiveRate::Rate { .. } => 2,
            };
            with(ui, "Put on", |ui| {
                let words = WAYS.map(|(word, _)| word);
                if let Some(chosen) = choose(ui, "how adhesive is put on", words[current], &words) {
                    set(actions, Some(Adhesive { rate: WAYS[chosen].1, ..of.clone() }));
                }
            });
            if let Some(rate) = rate(ui, of, self.units) {
                set(actions, Some(Adhesive { rate, ..of.clone() }));
            }
            if let Some(by_weight) = sold_by(ui, "adhesive", of.by_weight) {
                set(actions, Some(Adhesive { by_weight, ..of.clone() }));
            }
            if of.weighed().is_some() {
                with(ui, "A litre weighs, kg", |ui| {
                    let typed = field::optional_number(ui, "a litre of adhesive weighs, kg", of.density);
                    if let Some(density) = typed {
                        set(actions, Some(Adhesive { density, ..of.clone() }));
                    }
                });
            }
            let unit = of.unit();
            let label = format!("A pack holds, {unit}");
            let pack = number(ui, &label, &format!("adhesive in a pack, {unit}"), of.pack);
            pack.into_iter().for_each(|pack| set(actions, Some(Adhesive { pack, ..of.clone() })));
            let price = price(ui, "Price of a pack", "adhesive", of.price);
            price.into_iter().for_each(|price| set(actions, Some(Adhesive { price, ..of.clone() })));
        });
    }

    fn sealant(&self, ui: &mut Ui, of: Option<&Sealant>, actions: &mut Actions) {
        let set = |actions: &mut Actions, new: Option<Sealant>| {
            edit(actions, "sealant", move |all| all.sealant = new);
        };
        if self.head(ui, Material::Sealant, of.is_some()) {
            let new = Sealant { name: String::new(), depth: None, pack: 0.6, price: None };
            set(actions, of.is_none().then_some(new));
        }
        let Some(of) = of else { return };
        ui.push_id("sealant", |ui| {
            name(ui, "sealant", &of.name, |name| set(actions, Some(Sealant { name, ..of.clone() })));
            with(ui, "Depth, if not the boards'", |ui| {
                if let Some(depth) = field::optional_length(ui, "depth of the sealant", of.depth, self.units)
                {
                    set(actions, Some(Sealant { depth, ..of.clone() }));
                }
            });
            let pack = number(ui, "A pack holds, L", "sealant in a pack, L", of.pack);
            pack.into_iter().for_each(|pack| set(actions, Some(Sealant { pack, ..of.clone() })));
            let price = price(ui, "Price of a pack", "sealant", of.price);
            price.into_iter().for_each(|price| set(actions, Some(Sealant { price, ..of.clone() })));
        });
    }

    fn moulding(&self, ui: &mut Ui, material: Material, of: Option<&Moulding>, actions: &mut Actions) {
        let set = move |actions: &mut Actions, new: Option<Moulding>| {
            edit(actions, material.word(), move |all| match material {
                Material::Trim => all.trim = new,
                Material::Nosing => all.nosing = new,
                _ => all.skirting = new,
            });
        };
        if self.head(ui, material, of.is_some()) {
            set(actions, of.is_none().then(new_moulding));
        }
        let Some(of) = of else { return };
        ui.push_id(material.word(), |ui| {
            if let Some(new) = moulding_fields(ui, material.word(), of, self.units) {
                set(actions, Some(new));
            }
        });
    }

    fn architrave(&self, ui: &mut Ui, of: Option<&Architrave>, actions: &mut Actions) {
        let set = |actions: &mut Actions, new: Option<Architrave>| {
            edit(actions, "architrave", move |all| all.architrave = new);
        };
        if self.head(ui, Material::Architrave, of.is_some()) {
            let new = Architrave { width: 70.0, height: 2040.0, moulding: new_moulding() };
            set(actions, of.is_none().then_some(new));
        }
        let Some(of) = of else { return };
        ui.push_id("architrave", |ui| {
            with_several(ui, "Width · height of the opening", |ui| {
                if let Some(width) = field::length(ui, "width of the architrave", of.width, self.units) {
                    set(actions, Some(Architrave { width, ..of.clone() }));
                }
                if let Some(height) = field::length(ui, "height of the opening", of.height, self.units) {
                    set(actions, Some(Architrave { height, ..of.clone() }));
                }
            });
            if let Some(moulding) = moulding_fields(ui, "architrave", &of.moulding, self.units) {
                set(actions, Some(Architrave { moulding, ..of.clone() }));
            }
        });
    }
}
