//! What is spread, poured, rolled out or filled in: adhesive, coatings, leveller, sheets, sealant.

use super::faces::Stretch;
use super::reckon::{Reckoning, amount, count, plain};
use super::{Material, MaterialLine};
use plan::{Adhesive, AdhesiveRate, Coating, Leveller, Sealant, Sheet};
use site::{EdgeKind, Source};

const MM2_PER_M2: f64 = 1.0e6;
const MM3_PER_L: f64 = 1.0e6;

/// Puts steps before the division by the pack, which a line begins with.
fn shown(line: MaterialLine, steps: Vec<String>, source: impl Into<String>) -> MaterialLine {
    let sums = steps.into_iter().chain(line.sums).collect();
    MaterialLine { sums, source: source.into(), ..line }
}

pub(super) fn adhesive(with: &Reckoning<'_>, of: &Adhesive) -> MaterialLine {
    let (low, high) = of.rate.figures();
    let unit = of.unit();
    let laid = with.takings.laid / MM2_PER_M2;
    let mut steps = Vec::new();
    let mut source = match of.rate {
        AdhesiveRate::Bead { diameter, spacing } => {
            steps.push(format!(
                "bead {} every {}: π × {d}² ÷ (4 × {s}) = {low:.3} L/m²",
                with.small(diameter),
                with.small(spacing),
                d = plain(diameter),
                s = plain(spacing)
            ));
            "a round bead's area over its spacing; the adhesive maker's sheet first".to_owned()
        }
        AdhesiveRate::Trowel { width, depth, pitch } => {
            steps.push(format!(
                "notch {} × {} every {}: at most {high:.3} L/m² with the blade upright, {low:.3} at 45°",
                with.small(width),
                with.small(depth),
                with.small(pitch)
            ));
            "the notch's area over its pitch; practice varies, so try a square metre; the maker's sheet first"
                .to_owned()
        }
        AdhesiveRate::Rate { .. } => "the rate as typed from the maker's sheet".to_owned(),
    };
    let range = |low: f64, high: f64| match low == high {
        true => format!("{high:.3}"),
        false => format!("{low:.3} to {high:.3}"),
    };
    if let Some(density) = of.weighed() {
        let (light, heavy) = of.spread();
        steps.push(format!(
            "{} L/m² × {} kg/L = {} kg/m²",
            range(low, high),
            plain(density),
            range(light, heavy)
        ));
        source.push_str(match of.density {
            Some(_) => "; what a litre weighs as typed",
            None => "; a litre weighs 1.2 to 1.7 kg from memory: the pail says",
        });
    }
    let (low, high) = of.spread();
    let (least, greatest) = (low * laid, high * laid);
    let total =
        if low == high { amount(greatest) } else { format!("{} to {}", amount(least), amount(greatest)) };
    steps.push(format!(
        "{} laid × {} {unit}/m² = {total} {unit}",
        with.area(with.takings.laid),
        range(low, high)
    ));
    let line = with.packed(Material::Adhesive, &of.name, (least, greatest), unit, (of.pack, of.price));
    shown(line, steps, source)
}

pub(super) fn coating(with: &Reckoning<'_>, material: Material, of: &Coating) -> MaterialLine {
    let on = if material == Material::Barrier { with.plan.coats_on() } else { 0 };
    let to_come = of.coats.get(on..).unwrap_or_default();
    let rate = to_come.iter().fold(0.0, |sum, coat| sum + coat);
    let unit = of.unit();
    let taken = rate * with.takings.bare / MM2_PER_M2;
    let rates: Vec<String> = to_come.iter().map(|coat| plain(*coat)).collect();
    let coats = |of: usize| count(u32::try_from(of).unwrap_or(u32::MAX), "coat");
    let mut steps = Vec::new();
    if on > 0 {
        steps.push(format!("{} asked for − {on} on = {} to come", coats(of.coats.len()), to_come.len()));
    }
    if !to_come.is_empty() {
        steps.push(format!("{}: {} = {rate:.3} {unit}/m²", coats(to_come.len()), rates.join(" + ")));
    }
    let slab = with.area(with.takings.bare);
    steps.push(format!("{slab} of slab × {rate:.3} {unit}/m² = {} {unit}", amount(taken)));
    let line = with.packed(material, &of.name, (taken, taken), unit, (of.pack, of.price));
    shown(
        line,
        steps,
        "the coats as typed from the maker's sheet; slab from wall to wall, less what stands on it",
    )
}

pub(super) fn leveller(with: &Reckoning<'_>, of: &Leveller) -> MaterialLine {
    let mut steps = Vec::new();
    let mut litres = 0.0;
    for fill in &with.takings.fills {
        let volume = fill.area * fill.depth / MM3_PER_L;
        litres += volume;
        let name = with.plan.fixtures.get(fill.fixture).map_or("", |fixture| fixture.name.as_str());
        let depth = with.small(fill.depth);
        steps.push(format!("{name}: {} × {depth} = {} L", with.area(fill.area), amount(volume)));
    }
    let powder = of.powder.unwrap_or(Leveller::POWDER);
    let kilograms = litres * powder;
    steps.push(format!("{} L × {} kg/L = {} kg of powder", amount(litres), plain(powder), amount(kilograms)));
    let source = match of.powder {
        Some(_) => "1 mm over 1 m² is 1 L; powder as the bag has it; mean depths, whole outlines",
        None => {
            "1 mm over 1 m² is 1 L; powder 1.5 to 1.7 kg/L from memory: the bag says; mean depths, whole outlines"
        }
    };
    let line = with.packed(Material::Leveller, &of.name, (kilograms, kilograms), "kg", (of.pack, of.price));
    shown(line, steps, source)
}

pub(super) fn sheet(with: &Reckoning<'_>, material: Material, of: &Sheet) -> MaterialLine {
    let takings = with.takings;
    let mut steps = Vec::new();
    let mut area = takings.bare;
    let mut source = "slab from wall to wall; laps as typed";
    if material == Material::Protection {
        area = takings.laid;
        let skirting = with.plan.materials.as_ref().is_some_and(|all| all.skirting.is_some());
        let off = of.off_walls.unwrap_or(if skirting { Sheet::OFF_WALLS } else { 0.0 });
        let stretches = takings.stretches.iter();
        let walls =
            stretches.filter(|stretch| stretch.kind == EdgeKind::Wall && !stretch.is_bare_wall(with.plan));
        let along: f64 = walls.map(|stretch| stretch.length).sum();
        let kept_off = (along * off).min(area);
        if kept_off > 0.0 {
            steps.push(format!(
                "{} laid − {} of wall × {} kept off = {}",
                with.area(area),
                with.run(along),
                with.small(off),
                with.area(area - kept_off)
            ));
        }
        area -= kept_off;
        source = match of.off_walls {
            Some(_) => "laid floor; kept off walls as typed, where skirting is still to come",
            None => {
                "laid floor; about 50 mm off walls where skirting is still to come (common practice, no source)"
            }
        };
    }
    let lapped = if of.lap > 0.0 { of.width / (of.width - of.lap) } else { 1.0 };
    let need = area * lapped / MM2_PER_M2;
    if of.lap > 0.0 {
        steps.push(format!(
            "{} × {w} ÷ ({w} − {} lap) = {} m² of sheet",
            with.area(area),
            with.length(of.lap),
            amount(need),
            w = with.length(of.width)
        ));
    }
    let roll = of.width * of.length / MM2_PER_M2;
    steps.push(format!(
        "a roll: {} × {} = {} m²",
        with.length(of.width),
        with.length(of.length),
        amount(roll)
    ));
    let line = with.packed(material, &of.name, (need, need), "m²", (roll, of.price));
    shown(line, steps, source)
}

/// An edge of a joint no longer than so many of its widths is its end.
const END: f64 = 1.05;

/// Whether a gap is filled with sealant: no skirting or cover comes over it.
fn is_sealed(with: &Reckoning<'_>, stretch: &Stretch) -> bool {
    let fixture = match stretch.source {
        Source::Fixture(index) => with.plan.fixtures.get(index),
        _ => None,
    };
    if fixture.and_then(|fixture| fixture.cover).is_some_and(|cover| cover > 0.0) {
        return false;
    }
    match stretch.kind {
        EdgeKind::TileTrim
        | EdgeKind::Trim
        | EdgeKind::Glazing
        | EdgeKind::Hearth
        | EdgeKind::MovementJoint => true,
        EdgeKind::Wall => stretch.is_bare_wall(with.plan),
        EdgeKind::Cabinets
        | EdgeKind::Jamb
        | EdgeKind::UnderLeaf
        | EdgeKind::Island
        | EdgeKind::Kick
        | EdgeKind::Column
        | EdgeKind::Vent
        | EdgeKind::Nosing => false,
    }
}

pub(super) fn sealant(with: &Reckoning<'_>, of: &Sealant) -> MaterialLine {
    let depth = of.depth.unwrap_or(with.plan.stock.thickness);
    // By kind and gap to a tenth of a millimetre, in the order of the kinds.
    let mut sections: std::collections::BTreeMap<(EdgeKind, i64), (f64, f64)> =
        std::collections::BTreeMap::new();
    for stretch in with.takings.stretches.iter().filter(|stretch| is_sealed(with, stretch)) {
        let gap = stretch.gap_area / stretch.length.max(f64::MIN_POSITIVE);
        // Both sides of a joint keep half its width; its ends in the floor are no stretch of it.
        let sides = if stretch.kind == EdgeKind::MovementJoint { 2.0 } else { 1.0 };
        if sides > 1.0 && stretch.length <= sides * gap * END {
            continue;
        }
        let section = sections.entry((stretch.kind, (sides * gap * 10.0).round() as i64)).or_default();
        section.0 += stretch.length / sides;
        section.1 += stretch.gap_area;
    }
    let mut steps = Vec::new();
    let mut litres = 0.0;
    for ((kind, tenths), (length, area)) in sections {
        let volume = area * depth / MM3_PER_L;
        litres += volume;
        steps.push(format!(
            "{}: {} × {} × {} = {} L",
            kind.word(),
            with.run(length),
            with.small(tenths as f64 / 10.0),
            with.small(depth),
            amount(volume)
        ));
    }
    let source = match of.depth {
        Some(_) => {
            "gaps as laid, depth as typed, movement joints counted in; which edges are sealed: common practice"
        }
        None => {
            "gaps as laid, filled to the boards' thickness, movement joints counted in; which edges are sealed: common practice"
        }
    };
    let line = with.packed(Material::Sealant, &of.name, (litres, litres), "L", (of.pack, of.price));
    shown(line, steps, source)
}
