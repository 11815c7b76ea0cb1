//! Areas, lengths and materials, reckoned again.

use super::Scene;
use crate::ground::shape;
use crate::plan::{Coating, FixtureKind, Moulding, Rate};
use crate::report::{Promise, Report};
use crate::result::MaterialLine;
use geo::Area;

const MM2: f64 = 1e6;
/// Lengths of filler agree to this, m: sums of coordinates that are written in full.
const FILLED: f64 = 1e-9;
/// Powder to a litre of leveller where the plan does not say, kg: docs/rules.md, Materials.
const POWDER: f64 = 1.6;
/// What a litre of adhesive weighs where the pail does not say, kg.
const DENSITY: f64 = 1.5;

pub(super) fn check(scene: &Scene, report: &mut Report) {
    let (house, used) = (scene.house, &scene.house.use_of_stock);
    let laid = scene.boards.iter().map(Area::unsigned_area).sum::<f64>() / MM2;
    report.same(Promise::Amounts, "the stock", "laid area, m²", used.laid_area, laid, 1e-6 * laid);
    let opened = house.stock.iter().map(|board| board.length).sum::<f64>() * scene.plan.stock.pitch() / MM2;
    report.same(Promise::Amounts, "the stock", "opened area, m²", used.opened_area, opened, 1e-6 * opened);
    report.hold(Promise::Amounts, used.laid_area <= used.opened_area + 1e-9, || {
        ("the stock".into(), "more is laid than is opened".into())
    });
    filler(scene, report);
    materials(scene, report, laid);
}

/// Filler of movement joints: their lengths by width, through the boards' thickness.
fn filler(scene: &Scene, report: &mut Report) {
    let Some(movement) = &scene.house.movement else { return };
    for joint in &movement.joints {
        let long: f64 = joint.stretches.iter().map(|[a, b]| libm::hypot(b[0] - a[0], b[1] - a[1])).sum();
        report.same(Promise::Amounts, &joint.name, "length of the joint", joint.length, long, 1e-6);
    }
    for line in &scene.house.use_of_stock.filler {
        let of = movement.joints.iter().filter(|joint| joint.width == line.width);
        let long = of.map(|joint| joint.length).sum::<f64>() / 1000.0;
        let place = format!("filler of {} mm", line.width);
        report.same(Promise::Amounts, &place, "length, m", line.length, long, FILLED);
        report.same(Promise::Amounts, &place, "depth", line.depth, scene.plan.stock.thickness, 1e-9);
        let litres = line.width * line.depth * line.length / 1000.0;
        report.same(Promise::Amounts, &place, "litres", line.litres, litres, 1e-6);
    }
}

fn materials(scene: &Scene, report: &mut Report, laid: f64) {
    let (Some(said), Some(plan)) = (&scene.house.materials, &scene.plan.materials) else { return };
    let line = |name: &str| said.lines.iter().find(|line| line.material == name);
    if let (Some(of), Some(line)) = (&plan.adhesive, line("adhesive")) {
        let (least, greatest) = match of.rate {
            // A bead is a circle of its diameter, one at every spacing.
            Rate::Bead { diameter, spacing } => {
                let rate = std::f64::consts::PI * diameter * diameter / 4.0 / spacing;
                (rate, rate)
            }
            // A notch's area over its pitch, upright at most, at 45° no more than its sine.
            Rate::Trowel { width, depth, pitch } => {
                let most = width * depth / pitch;
                (most * std::f64::consts::FRAC_1_SQRT_2, most)
            }
            Rate::Stated { least, greatest } => (least, greatest),
        };
        // Beads and notches are volumes; what is sold by weight goes by what a litre of it weighs.
        let is_volume = !matches!(of.rate, Rate::Stated { .. });
        let weight = if of.by_weight && is_volume { of.density.unwrap_or(DENSITY) } else { 1.0 };
        sold_in(report, line, of.by_weight);
        quantity(report, line, least * laid * weight, greatest * laid * weight, of.pack);
    }
    let slab = scene.ground.bare.unsigned_area() / MM2;
    let coated = |of: &Coating, on: usize| of.coats.iter().skip(on).fold(0.0, |sum, coat| sum + coat) * slab;
    if let (Some(of), Some(line)) = (&plan.barrier, line("moisture barrier")) {
        // A coat that is on already is not bought again.
        let on = scene.plan.slab.as_ref().and_then(|slab| slab.barrier_coats).unwrap_or(0);
        sold_in(report, line, of.by_weight);
        quantity(report, line, coated(of, on), coated(of, on), of.pack);
    }
    if let (Some(of), Some(line)) = (&plan.primer, line("primer")) {
        sold_in(report, line, of.by_weight);
        quantity(report, line, coated(of, 0), coated(of, 0), of.pack);
    }
    if let (Some(of), Some(line)) = (&plan.leveller, line("leveller")) {
        let litres: f64 = scene
            .plan
            .fixtures
            .iter()
            .filter_map(|fixture| match fixture.kind {
                FixtureKind::Rebate { depth } | FixtureKind::LowSpot { depth } => {
                    Some(shape(fixture).unsigned_area() * depth / MM2)
                }
                _ => None,
            })
            .sum();
        let powder = litres * of.powder.unwrap_or(POWDER);
        quantity(report, line, powder, powder, of.pack);
    }
    for (of, name) in [(&plan.skirting, "skirting"), (&plan.trim, "trim"), (&plan.nosing, "nosing")] {
        if let (Some(of), Some(line)) = (of, line(name)) {
            cut(report, of, line);
        }
    }
}

fn sold_in(report: &mut Report, line: &MaterialLine, by_weight: bool) {
    let unit = if by_weight { "kg" } else { "L" };
    report.hold(Promise::Amounts, line.unit == unit, || {
        (line.material.clone(), format!("in {} for {unit}", line.unit))
    });
}

fn quantity(report: &mut Report, line: &MaterialLine, least: f64, greatest: f64, pack: f64) {
    let place = line.material.as_str();
    report.same(Promise::Amounts, place, "least", line.least, least, 3e-6 * least + 1e-9);
    report.same(Promise::Amounts, place, "greatest", line.greatest, greatest, 3e-6 * greatest + 1e-9);
    // What is a hair over a whole pack may be that pack.
    let packs = (line.bought as f64 * pack, line.greatest);
    let enough = packs.0 >= packs.1 * (1.0 - 1e-6) && packs.0 - pack < packs.1 + 1e-6;
    report.hold(Promise::Amounts, enough, || {
        (place.to_owned(), format!("{} packs of {pack} for {}", line.bought, line.greatest))
    });
}

/// Pieces of a moulding fit on the lengths they are cut from, saw cuts counted.
fn cut(report: &mut Report, of: &Moulding, line: &MaterialLine) {
    report.same(
        Promise::Amounts,
        &line.material,
        "lengths bought",
        line.bought as f64,
        line.lengths.len() as f64,
        0.0,
    );
    for bought in &line.lengths {
        let sold = of.lengths.contains(&bought.length);
        let pieces: f64 = bought.pieces.iter().map(|piece| piece.length).sum();
        let cuts = bought.pieces.len().saturating_sub(1) as f64 * of.kerf;
        let first = bought.pieces.first().map_or("", |piece| piece.place.as_str());
        report.hold(Promise::Amounts, sold && pieces + cuts <= bought.length + 1.0, || {
            (
                line.material.clone(),
                format!("{pieces} with {cuts} of saw cuts on {}, first for {first}", bought.length),
            )
        });
    }
}
