//! Materials: rates, packs and lengths that can be bought.

use super::numbers::See;
use super::{Checker, Place};
use crate::{AdhesiveRate, Coating, Hired, Moulding, Plan, Sheet};

/// A pack holds no more, L or kg.
const LARGEST_PACK: f64 = 100_000.0;
/// More goes on no square metre, L.
const GREATEST_RATE: f64 = 100.0;
/// More coats than anyone puts on.
const MOST_COATS: usize = 20;
/// More tools than anyone hires.
const MOST_HIRED: usize = 100;
/// Lengths a moulding may be sold in.
const MOST_LENGTHS: usize = 20;
/// Lengths of mouldings, mm.
const MOULDING: (f64, f64) = (300.0, 20_000.0);
/// Beads, notches and their spacing, mm.
const TROWEL: (f64, f64) = (0.5, 1000.0);

pub(super) fn check(checker: &mut Checker<'_>) {
    let Some(materials) = checker.plan.materials.as_ref() else { return };
    if let Some(adhesive) = &materials.adhesive {
        named(checker, "adhesive", &adhesive.name);
        rate(checker, adhesive.rate, adhesive.unit());
        if let Some(density) = adhesive.density {
            between(checker, "adhesive", "density", density, (0.1, 10.0), "kg/L");
        }
        pack(checker, "adhesive", adhesive.pack, adhesive.price);
    }
    for (field, coating) in [("primer", &materials.primer), ("barrier", &materials.barrier)] {
        if let Some(coating) = coating {
            coats(checker, field, coating);
        }
    }
    if let Some(leveller) = &materials.leveller {
        named(checker, "leveller", &leveller.name);
        if let Some(powder) = leveller.powder {
            between(checker, "leveller", "powder to a litre", powder, (0.1, 10.0), "kg");
        }
        pack(checker, "leveller", leveller.pack, leveller.price);
    }
    for (field, sheet) in [("underlay", &materials.underlay), ("protection", &materials.protection)] {
        if let Some(of) = sheet {
            rolls(checker, field, of);
        }
    }
    if let Some(sealant) = &materials.sealant {
        named(checker, "sealant", &sealant.name);
        if let Some(depth) = sealant.depth {
            checker.within(Place::Materials("sealant"), "depth", depth, 1.0, 200.0);
        }
        pack(checker, "sealant", sealant.pack, sealant.price);
    }
    let mouldings =
        [("skirting", &materials.skirting), ("trim", &materials.trim), ("nosing", &materials.nosing)];
    for (field, moulding) in mouldings {
        if let Some(of) = moulding {
            lengths(checker, field, of);
        }
    }
    if let Some(architrave) = &materials.architrave {
        let place = || Place::Materials("architrave");
        checker.within(place(), "width", architrave.width, 5.0, 500.0);
        checker.within(place(), "height of the opening", architrave.height, 300.0, 10_000.0);
        lengths(checker, "architrave", &architrave.moulding);
    }
    hired(checker, &materials.hired);
    if let Some(allowance) = materials.allowance {
        between(checker, "allowance", "allowance", allowance, (0.0, 100.0), "%");
    }
}

fn hired(checker: &mut Checker<'_>, tools: &[Hired]) {
    let place = || Place::Materials("hired");
    if tools.len() > MOST_HIRED {
        let (what, mend) =
            (format!("there are {} hired tools", tools.len()), format!("keep it to {MOST_HIRED}"));
        checker.add(place(), what, mend);
    }
    for tool in tools {
        named(checker, "hired", &tool.name);
        if tool.name.trim().is_empty() {
            checker.add(place(), "a hired tool has no name".to_owned(), "say what it is".to_owned());
        }
        between(checker, "hired", "count", f64::from(tool.count), (1.0, 1000.0), "");
        between(checker, "hired", "days", f64::from(tool.days), (1.0, 1000.0), "");
        if let Some(price) = tool.price {
            between(checker, "hired", "price of a day", price, (0.0, 1e9), "");
        }
    }
}

fn rate(checker: &mut Checker<'_>, rate: AdhesiveRate, unit: &str) {
    let place = || Place::Materials("adhesive");
    match rate {
        AdhesiveRate::Bead { diameter, spacing } => {
            checker.within(place(), "bead", diameter, TROWEL.0, 100.0);
            checker.within(place(), "spacing of beads", spacing, TROWEL.0, TROWEL.1);
            if spacing < diameter {
                checker.add(place(), "the beads stand closer than they are wide", "type their spacing");
            }
        }
        AdhesiveRate::Trowel { width, depth, pitch } => {
            checker.within(place(), "notch", width, TROWEL.0, 100.0);
            checker.within(place(), "depth of the notch", depth, TROWEL.0, 100.0);
            checker.within(place(), "notch and tooth", pitch, TROWEL.0, TROWEL.1);
            if pitch < width {
                checker.add(
                    place(),
                    "the notches stand closer than they are wide",
                    "type a notch and a tooth together",
                );
            }
        }
        AdhesiveRate::Rate { least, greatest } => {
            let unit = format!("{unit}/m²");
            between(checker, "adhesive", "least rate", least, (0.0, GREATEST_RATE), &unit);
            between(checker, "adhesive", "greatest rate", greatest, (0.0, GREATEST_RATE), &unit);
            if least > greatest {
                checker.add(place(), "its least rate is over its greatest", "type the lesser one first");
            }
        }
    }
}

fn coats(checker: &mut Checker<'_>, field: &'static str, coating: &Coating) {
    named(checker, field, &coating.name);
    if coating.coats.is_empty() || coating.coats.len() > MOST_COATS {
        let what = format!("it has {} coats", coating.coats.len());
        checker.add(
            Place::Materials(field),
            what,
            format!("give each coat's rate, 1 to {MOST_COATS} of them"),
        );
    }
    for coat in &coating.coats {
        between(checker, field, "coat", *coat, (0.0, GREATEST_RATE), &format!("{}/m²", coating.unit()));
    }
    pack(checker, field, coating.pack, coating.price);
}

fn rolls(checker: &mut Checker<'_>, field: &'static str, sheet: &Sheet) {
    let place = || Place::Materials(field);
    named(checker, field, &sheet.name);
    checker.within(place(), "width of the roll", sheet.width, 50.0, 20_000.0);
    checker.within(place(), "length of the roll", sheet.length, 100.0, 1_000_000.0);
    if !(0.0..=0.5 * sheet.width).contains(&sheet.lap) {
        checker.add(place(), "one strip does not lie over the next by half its width", "type a smaller lap");
    }
    if let Some(off) = sheet.off_walls {
        checker.within(place(), "distance off the walls", off, 0.0, 1000.0);
    }
    price(checker, field, sheet.price);
}

fn lengths(checker: &mut Checker<'_>, field: &'static str, moulding: &Moulding) {
    let place = || Place::Materials(field);
    named(checker, field, &moulding.name);
    if moulding.lengths.is_empty() || moulding.lengths.len() > MOST_LENGTHS {
        let what = format!("it is sold in {} lengths", moulding.lengths.len());
        checker.add(place(), what, format!("name 1 to {MOST_LENGTHS} lengths"));
    }
    for length in &moulding.lengths {
        checker.within(place(), "length", *length, MOULDING.0, MOULDING.1);
    }
    checker.within(place(), "kerf", moulding.kerf, 0.0, 20.0);
    let shortest = moulding.lengths.iter().copied().fold(MOULDING.0, f64::min);
    checker.within(place(), "addition for mitres", moulding.add, 0.0, shortest / 2.0);
    price(checker, field, moulding.price);
}

fn pack(checker: &mut Checker<'_>, field: &'static str, holds: f64, asked: Option<f64>) {
    between(checker, field, "pack", holds, (0.001, LARGEST_PACK), "of it");
    price(checker, field, asked);
}

fn price(checker: &mut Checker<'_>, field: &'static str, price: Option<f64>) {
    if price.is_some_and(|price| price < 0.0) {
        checker.add(Place::Materials(field), "its price is under 0", "type 0 or more, or leave it empty");
    }
}

fn between(
    checker: &mut Checker<'_>,
    field: &'static str,
    what: &str,
    value: f64,
    (least, greatest): (f64, f64),
    unit: &str,
) {
    if !(least..=greatest).contains(&value) {
        checker.add(
            Place::Materials(field),
            format!("its {what} is {value} {unit}"),
            format!("type one between {least} and {greatest}"),
        );
    }
}

fn named(checker: &mut Checker<'_>, field: &'static str, name: &str) {
    if name.chars().count() > 100 || name.chars().any(char::is_control) {
        checker.add(
            Place::Materials(field),
            "its name is too long or has more than one line",
            "use at most 100 letters on one line",
        );
    }
}

/// Every number of the materials.
pub(super) fn numbers(plan: &Plan, see: See<'_>) {
    let Some(materials) = &plan.materials else { return };
    let mut all: Vec<(&'static str, f64)> = Vec::new();
    if let Some(adhesive) = &materials.adhesive {
        let (a, b, c) = match adhesive.rate {
            AdhesiveRate::Bead { diameter, spacing } => (diameter, spacing, 0.0),
            AdhesiveRate::Trowel { width, depth, pitch } => (width, depth, pitch),
            AdhesiveRate::Rate { least, greatest } => (least, greatest, 0.0),
        };
        let (density, price) = (adhesive.density.unwrap_or(0.0), adhesive.price.unwrap_or(0.0));
        all.extend([a, b, c, density, adhesive.pack, price].map(|n| ("adhesive", n)));
    }
    for (field, coating) in [("primer", &materials.primer), ("barrier", &materials.barrier)] {
        let coating = coating.iter();
        all.extend(coating.clone().flat_map(|of| &of.coats).map(|rate| (field, *rate)));
        all.extend(coating.flat_map(|of| [of.pack, of.price.unwrap_or(0.0)]).map(|n| (field, n)));
    }
    if let Some(of) = &materials.leveller {
        all.extend([of.powder.unwrap_or(0.0), of.pack, of.price.unwrap_or(0.0)].map(|n| ("leveller", n)));
    }
    for (field, sheet) in [("underlay", &materials.underlay), ("protection", &materials.protection)] {
        if let Some(of) = sheet {
            let numbers = [of.width, of.length, of.lap, of.off_walls.unwrap_or(0.0), of.price.unwrap_or(0.0)];
            all.extend(numbers.map(|n| (field, n)));
        }
    }
    if let Some(of) = &materials.sealant {
        all.extend([of.depth.unwrap_or(0.0), of.pack, of.price.unwrap_or(0.0)].map(|n| ("sealant", n)));
    }
    let mut moulding = |field: &'static str, of: &Moulding| {
        all.extend(of.lengths.iter().map(|length| (field, *length)));
        all.extend([of.kerf, of.add, of.price.unwrap_or(0.0)].map(|n| (field, n)));
    };
    for (field, of) in
        [("skirting", &materials.skirting), ("trim", &materials.trim), ("nosing", &materials.nosing)]
    {
        of.iter().for_each(|of| moulding(field, of));
    }
    if let Some(of) = &materials.architrave {
        moulding("architrave", &of.moulding);
        all.extend([of.width, of.height].map(|n| ("architrave", n)));
    }
    all.extend(materials.hired.iter().filter_map(|tool| Some(("hired", tool.price?))));
    all.extend(materials.allowance.map(|n| ("allowance", n)));
    for (field, value) in all {
        see(&|| Place::Materials(field), "figure", value);
    }
}

#[cfg(test)]
mod tests {
    use super::super::tests::{accept, expect};
    use super::*;
    use crate::{Adhesive, Materials, Sealant};

    #[test]
    fn rates_packs_and_lengths_are_held_to_what_can_be_bought() {
        let adhesive = |rate| {
            Some(Adhesive {
                name: String::new(),
                rate,
                by_weight: false,
                density: None,
                pack: 0.6,
                price: None,
            })
        };
        let with = |materials: Materials| move |plan: &mut Plan| plan.materials = Some(materials);
        let bead = AdhesiveRate::Bead { diameter: 7.0, spacing: 64.0 };
        accept(with(Materials { adhesive: adhesive(bead), ..Materials::default() }));
        let close = AdhesiveRate::Bead { diameter: 7.0, spacing: 5.0 };
        let close = Materials { adhesive: adhesive(close), ..Materials::default() };
        expect(with(close), "materials, adhesive", "closer than they are wide");
        let turned = AdhesiveRate::Rate { least: 1.2, greatest: 0.8 };
        let turned = Materials { adhesive: adhesive(turned), ..Materials::default() };
        expect(with(turned), "materials, adhesive", "over its greatest");
        let none =
            Coating { name: String::new(), coats: Vec::new(), by_weight: false, pack: 10.0, price: None };
        let none = Materials { barrier: Some(none), ..Materials::default() };
        expect(with(none), "materials, barrier", "0 coats");
        let empty = Sealant { name: String::new(), depth: None, pack: 0.0, price: None };
        let empty = Materials { sealant: Some(empty), ..Materials::default() };
        expect(with(empty), "materials, sealant", "pack is 0");
        let short =
            Moulding { name: String::new(), lengths: vec![100.0], kerf: 3.0, add: 0.0, price: Some(-1.0) };
        let short = Materials { skirting: Some(short), ..Materials::default() };
        expect(with(short.clone()), "materials, skirting", "length is 100");
        expect(with(short), "materials, skirting", "price is under 0");
        let nan = Materials { allowance: Some(f64::NAN), ..Materials::default() };
        expect(with(nan), "materials, allowance", "NaN");
    }
}
