//! What a doorway does to the floor, in words, and the figures of its levels to be typed over.

use super::parts::{choose, note, with, with_several};
use crate::action::Actions;
use crate::canvas::section;
use crate::field;
use crate::palette::strong_font;
use egui::{RichText, Ui};
use fit::DoorwayFit;
use pipeline::House;
use plan::{Arris, Leaf, Plan, Surface, SurfaceKind};

/// A usual arris, mm; practice, within any wear layer.
const ARRIS: f64 = 2.0;
/// A usual floor of another trade, mm.
const HEIGHT: f64 = 15.0;

/// The cut through a doorway and what is worked from, for its card.
pub(crate) fn doorway_facts(ui: &mut Ui, house: &House, doorway: usize) {
    let Some(found) = house.fit.doorways.iter().find(|found| found.doorway == doorway) else { return };
    let facts = found.facts(&house.plan);
    let said: Vec<String> = facts.iter().map(|(about, words)| format!("{about}: {words}")).collect();
    section(ui, house, found, &said.join(". "));
    for (about, words) in facts.iter().filter(|(about, _)| *about != "Boards" && *about != "Levels") {
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing.x = 4.0;
            ui.label(RichText::new(*about).font(strong_font(12.5)));
            ui.label(RichText::new(words).size(12.5).weak());
        });
    }
}

/// One line on a doorway for a list.
pub(super) fn line(plan: &Plan, found: &DoorwayFit) -> String {
    let facts = found.facts(plan);
    let said = |about: &str| facts.iter().find(|fact| fact.0 == about).map_or("", |fact| fact.1.as_str());
    match said("Stop line") {
        "" => said("Step").to_owned(),
        stop => format!("{stop}. {}", said("Step")),
    }
}

/// The leaf's height, the arris, and what lies outside.
pub(super) fn doorway_levels(ui: &mut Ui, plan: &Plan, index: usize, actions: &mut Actions) {
    let units = plan.units;
    let Some(doorway) = plan.doorways.get(index) else { return };
    if let Some(leaf) = doorway.leaf {
        with(ui, "Leaf above the slab", |ui| {
            if let Some(above_slab) =
                field::optional_length(ui, "leaf's height above the slab", leaf.above_slab, units)
            {
                actions.edit("leaf height", move |plan| {
                    plan.doorways[index].leaf = Some(Leaf { above_slab, ..leaf });
                });
            }
        });
    }
    with(ui, "Boards go under the lining by", |ui| {
        if let Some(under) =
            field::optional_length(ui, "how far boards go under the lining", doorway.under_lining, units)
        {
            actions.edit("under the lining", move |plan| plan.doorways[index].under_lining = under);
        }
    });
    with_several(ui, "Boards' arris", |ui| {
        const WORDS: [&str; 3] = ["left square", "eased", "chamfered"];
        let (at, depth) = match doorway.arris {
            None | Some(Arris::Square) => (0, 0.0),
            Some(Arris::Eased(depth)) => (1, depth),
            Some(Arris::Chamfered(depth)) => (2, depth),
        };
        let make = |at: usize, depth: f64| match at {
            0 => None,
            1 => Some(Arris::Eased(depth)),
            _ => Some(Arris::Chamfered(depth)),
        };
        if let Some(chosen) = choose(ui, "arris of the boards' ends", WORDS[at], &WORDS) {
            let depth = if depth > 0.0 { depth } else { ARRIS };
            actions.edit("arris", move |plan| plan.doorways[index].arris = make(chosen, depth));
        }
        if at > 0
            && let Some(depth) = field::length(ui, "depth of the arris", depth, units)
        {
            actions.edit("arris", move |plan| plan.doorways[index].arris = make(at, depth));
        }
    });
    if doorway.beyond == plan::Beyond::RunThrough {
        with(ui, "Rows behind it in the room", |ui| {
            const WORDS: [&str; 2] = ["begun before", "laid back from here"];
            let now = WORDS[usize::from(doorway.slip_tongue)];
            if let Some(chosen) = choose(ui, "rows that lie behind the one that runs on", now, &WORDS) {
                actions.edit("lay back from a doorway", move |plan| {
                    plan.doorways[index].slip_tongue = chosen == 1;
                });
            }
        });
        if doorway.slip_tongue {
            note(
                ui,
                "Where rows of a room lie behind the one that runs on through here, they are laid back from it, turned, on a slip tongue.",
            );
        }
    }
    if doorway.far_room(plan).is_none() {
        surface(ui, plan, "Floor outside", doorway.outside, actions, move |plan, surface| {
            plan.doorways[index].outside = surface;
        });
    }
}

/// What lies where no boards do, and how high.
pub(super) fn surface(
    ui: &mut Ui,
    plan: &Plan,
    label: &str,
    current: Option<Surface>,
    actions: &mut Actions,
    set: impl Fn(&mut Plan, Option<Surface>) + Clone + 'static,
) {
    let units = plan.units;
    with(ui, label, |ui| {
        let words = ["not known", "tile", "carpet", "bare slab", "track"];
        let now = current.map_or(words[0], |surface| surface.kind.word());
        if let Some(chosen) = choose(ui, &format!("{label}, kind"), now, &words) {
            let kind = chosen.checked_sub(1).and_then(|at| SurfaceKind::ALL.get(at)).copied();
            let surface = kind.map(|kind| {
                let usual = if kind == SurfaceKind::BareSlab { 0.0 } else { HEIGHT };
                Surface { kind, height: current.map_or(usual, |surface| surface.height) }
            });
            let set = set.clone();
            actions.edit("floor beyond", move |plan| set(plan, surface));
        }
    });
    if let Some(surface) = current {
        with(ui, "Its top above the slab", |ui| {
            if let Some(height) = field::length(ui, &format!("{label}, height"), surface.height, units) {
                actions.edit("floor height", move |plan| set(plan, Some(Surface { height, ..surface })));
            }
        });
        if surface.height < 0.0 {
            note(ui, "Less than 0: it lies lower than the slab.");
        }
    }
}
