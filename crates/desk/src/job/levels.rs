//! Levels, gaps by kind and covers: figures of rooms, walls, fixtures, boards and rules.

use super::doorway::surface;
use super::parts::{heading, note, with, with_several};
use crate::action::Actions;
use crate::field;
use egui::Ui;
use plan::{Appliance, CoverRules, GapRange, KindGaps, LevelRules, Plan, Units, format_length};

/// A usual appliance under a worktop and its opening, mm; to be typed over.
const APPLIANCE: Appliance = Appliance { height: 820.0, opening: 860.0 };

/// A room's slab and, where it is not boarded, what lies there.
pub(super) fn room_levels(ui: &mut Ui, plan: &Plan, room: usize, actions: &mut Actions) {
    let Some(drawn) = plan.rooms.get(room) else { return };
    with(ui, "Slab's level", |ui| {
        if let Some(level) = field::length(ui, "level of the slab", drawn.slab_level, plan.units) {
            actions.edit("slab level", move |plan| plan.rooms[room].slab_level = level);
        }
    });
    if !drawn.is_boarded() {
        surface(ui, plan, "Floor there", drawn.surface, actions, move |plan, surface| {
            plan.rooms[room].surface = surface;
        });
    }
}

/// What is fixed round a fixture over the boards, and the appliance that stands in it.
pub(super) fn fixture_levels(ui: &mut Ui, plan: &Plan, index: usize, actions: &mut Actions) {
    let units = plan.units;
    let Some(fixture) = plan.fixtures.get(index) else { return };
    with(ui, "Flange or bead over the boards", |ui| {
        if let Some(cover) =
            field::optional_length(ui, "flange or bead over the boards", fixture.cover, units)
        {
            actions.edit("cover", move |plan| plan.fixtures[index].cover = cover);
        }
    });
    let mut has_one = fixture.appliance.is_some();
    if ui.checkbox(&mut has_one, "an appliance stands in it on the slab").changed() {
        let appliance = has_one.then_some(APPLIANCE);
        actions.edit("appliance", move |plan| plan.fixtures[index].appliance = appliance);
    }
    let Some(appliance) = fixture.appliance else { return };
    with_several(ui, "Its height · the opening's", |ui| {
        if let Some(height) = field::length(ui, "height of the appliance", appliance.height, units) {
            actions.edit("appliance", move |plan| {
                plan.fixtures[index].appliance = Some(Appliance { height, ..appliance });
            });
        }
        if let Some(opening) = field::length(ui, "height of the opening", appliance.opening, units) {
            actions.edit("appliance", move |plan| {
                plan.fixtures[index].appliance = Some(Appliance { opening, ..appliance });
            });
        }
    });
}

/// The boards' wear layer and bed.
pub(super) fn stock_levels(ui: &mut Ui, plan: &Plan, actions: &mut Actions) {
    let (stock, units) = (&plan.stock, plan.units);
    with(ui, "Wear layer", |ui| {
        if let Some(layer) =
            field::optional_length(ui, "thickness of the wear layer", stock.wear_layer, units)
        {
            actions.edit("wear layer", move |plan| plan.stock.wear_layer = layer);
        }
    });
    with(ui, "Adhesive bed or underlay", |ui| {
        if let Some(bed) = field::optional_length(ui, "thickness of bed or underlay", stock.bed, units) {
            actions.edit("bed", move |plan| plan.stock.bed = bed);
        }
    });
}

/// Gaps by kind, covers and levels among the rules.
pub(super) fn rules(ui: &mut Ui, plan: &Plan, actions: &mut Actions) {
    kinds(ui, plan, actions);
    let units = plan.units;
    heading(ui, "Covers");
    let cover = plan.rules.cover;
    let mut figure =
        |label: &str, value: Option<f64>, usual: Option<f64>, set: fn(&mut CoverRules, Option<f64>)| {
            with(ui, &usually(label, usual, units), |ui| {
                if let Some(value) = field::optional_length(ui, label, value, units) {
                    actions.edit("cover", move |plan| set(&mut plan.rules.cover, value));
                }
            });
        };
    figure("Skirting's thickness", cover.skirting, None, |c, mm| c.skirting = mm);
    figure("Architrave's thickness", cover.architrave, None, |c, mm| c.architrave = mm);
    figure("Least cover left", cover.least, Some(CoverRules::LEAST), |c, mm| c.least = mm);
    figure("A cut may be off by", cover.tolerance, Some(CoverRules::TOLERANCE), |c, mm| c.tolerance = mm);
    heading(ui, "Levels");
    let levels = plan.rules.levels;
    let mut figure = |label: &str, value: Option<f64>, usual: f64, set: fn(&mut LevelRules, Option<f64>)| {
        with(ui, &usually(label, Some(usual), units), |ui| {
            if let Some(value) = field::optional_length(ui, label, value, units) {
                actions.edit("levels", move |plan| set(&mut plan.rules.levels, value));
            }
        });
    };
    figure("Step that counts as flush", levels.flush, LevelRules::FLUSH, |l, mm| l.flush = mm);
    figure("Step that may stand upright", levels.upright, LevelRules::UPRIGHT, |l, mm| l.upright = mm);
    figure("Step for a reducer", levels.bevelled, LevelRules::BEVELLED, |l, mm| l.bevelled = mm);
    figure("Least under a leaf", levels.leaf, LevelRules::LEAF, |l, mm| l.leaf = mm);
    figure("Least over an appliance", levels.appliance, LevelRules::APPLIANCE, |l, mm| l.appliance = mm);
    figure("Least over boards under a kick", levels.kick, LevelRules::KICK, |l, mm| l.kick = mm);
    note(ui, "Left empty, the usual figure holds. Steps: 2010 ADA Standards, 303; local code comes first.");
}

fn usually(label: &str, usual: Option<f64>, units: Units) -> String {
    usual.map_or_else(|| label.to_owned(), |mm| format!("{label} ({})", format_length(mm, units)))
}

/// Gaps of kinds of edges that differ from the wall gap.
fn kinds(ui: &mut Ui, plan: &Plan, actions: &mut Actions) {
    heading(ui, "Gaps that differ from the wall gap");
    for (place, ((_, what), gap)) in KindGaps::FIELDS.iter().zip(plan.rules.gaps.all()).enumerate() {
        let set = move |gap: Option<GapRange>| {
            move |plan: &mut Plan| {
                if let Some(held) = plan.rules.gaps.get_mut(place) {
                    *held = gap;
                }
            }
        };
        with_several(ui, what, |ui| {
            if let Some(least) =
                field::optional_length(ui, &format!("least {what}"), gap.map(|gap| gap.least), plan.units)
            {
                let made =
                    least.map(|least| GapRange { least, greatest: gap.map_or(least, |gap| gap.greatest) });
                actions.edit("gap", set(made));
            }
            if let Some(range) = gap
                && let Some(greatest) =
                    field::length(ui, &format!("greatest {what}"), range.greatest, plan.units)
            {
                actions.edit("gap", set(Some(GapRange { greatest, ..range })));
            }
        });
    }
    note(ui, "Least, then greatest; left empty, the wall gap holds.");
}
