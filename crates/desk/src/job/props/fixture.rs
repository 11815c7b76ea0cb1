//! What a fixture is, and where it stands.

use super::super::parts::{choose, heading, with, with_several};
use super::gap;
use crate::action::Actions;
use crate::{field, names};
use egui::Ui;
use plan::{FixtureKind, Place, Plan, Point, edit};

pub(crate) fn fixture_props(ui: &mut Ui, plan: &Plan, index: usize, actions: &mut Actions) {
    let Some(fixture) = plan.fixtures.get(index) else { return };
    fixture_figures(ui, plan, index, actions);
    gap(ui, plan, fixture.gap, actions, move |plan, gap| plan.fixtures[index].gap = gap);
    super::super::levels::fixture_levels(ui, plan, index, actions);
    ui.add_enabled_ui(!plan.is_pinned(&Place::Fixture(index)), |ui| {
        fixture_corners(ui, plan, index, actions)
    });
}

fn fixture_corners(ui: &mut Ui, plan: &Plan, index: usize, actions: &mut Actions) {
    let Some(fixture) = plan.fixtures.get(index) else { return };
    heading(ui, "Corners");
    for (corner, at) in fixture.outline.iter().copied().enumerate() {
        ui.push_id(corner, |ui| {
            with_several(ui, &format!("corner {}", corner + 1), |ui| {
                if let Some(x) = field::length(ui, "corner's x", at.x, plan.units) {
                    reshape(index, corner, Point::new(x, at.y), actions);
                }
                if let Some(y) = field::length(ui, "corner's y", at.y, plan.units) {
                    reshape(index, corner, Point::new(at.x, y), actions);
                }
            });
        });
    }
}

fn reshape(index: usize, corner: usize, to: Point, actions: &mut Actions) {
    actions.try_edit("reshape fixture", move |plan| {
        let Some(mut outline) = plan.fixtures.get(index).map(|fixture| fixture.outline.clone()) else {
            return Ok(());
        };
        if let Some(at) = outline.get_mut(corner) {
            *at = to;
        }
        edit::set_outline(plan, index, outline)
    });
}

/// The kinds with usual figures, in the order of their words: common practice, no source.
pub(crate) const KINDS: [FixtureKind; 9] = [
    FixtureKind::Island,
    FixtureKind::Kick { clearance: 17.0, tuck: 30.0 },
    FixtureKind::Column,
    FixtureKind::Hearth,
    FixtureKind::TileArea { trim: 10.0 },
    FixtureKind::Rebate { depth: 10.0 },
    FixtureKind::LowSpot { depth: 5.0 },
    FixtureKind::Vent,
    FixtureKind::Stair { nosing: 60.0 },
];

/// What a fixture's card shows: its name, kind and the kind's figures.
pub(crate) fn fixture_figures(ui: &mut Ui, plan: &Plan, index: usize, actions: &mut Actions) {
    let units = plan.units;
    let Some(fixture) = plan.fixtures.get(index) else { return };
    with(ui, "Name", |ui| {
        if let Some(name) = field::words(ui, "name of the fixture", &fixture.name, 150.0) {
            actions.try_edit("rename fixture", move |plan| edit::rename_fixture(plan, index, &name));
        }
    });
    with(ui, "It is", |ui| {
        let words = KINDS.map(names::fixture_kind);
        if let Some(kind) = choose(ui, "kind of fixture", names::fixture_kind(fixture.kind), &words) {
            actions.edit("change fixture", move |plan| plan.fixtures[index].kind = KINDS[kind]);
        }
    });
    let is_loose = !plan.is_pinned(&Place::Fixture(index));
    ui.add_enabled_ui(is_loose, |ui| super::super::stand::stand(ui, plan, index, actions));
    let mut figure = |label: &str, mm: f64, make: fn(f64, FixtureKind) -> FixtureKind| {
        let kind = fixture.kind;
        with(ui, label, |ui| {
            if let Some(mm) = field::length(ui, label, mm, units) {
                actions.edit("change fixture", move |plan| plan.fixtures[index].kind = make(mm, kind));
            }
        });
    };
    match fixture.kind {
        FixtureKind::Kick { clearance, tuck } => {
            figure("Kick above the slab", clearance, |clearance, kind| match kind {
                FixtureKind::Kick { tuck, .. } => FixtureKind::Kick { clearance, tuck },
                other => other,
            });
            figure("Boards go under by", tuck, |tuck, kind| match kind {
                FixtureKind::Kick { clearance, .. } => FixtureKind::Kick { clearance, tuck },
                other => other,
            });
        }
        FixtureKind::TileArea { trim } => {
            figure("Trim width", trim, |trim, _| FixtureKind::TileArea { trim })
        }
        FixtureKind::Rebate { depth } => figure("Depth", depth, |depth, _| FixtureKind::Rebate { depth }),
        FixtureKind::LowSpot { depth } => {
            figure("Mean depth", depth, |depth, _| FixtureKind::LowSpot { depth })
        }
        FixtureKind::Stair { nosing } => {
            figure("Nosing width", nosing, |nosing, _| FixtureKind::Stair { nosing })
        }
        FixtureKind::Island | FixtureKind::Column | FixtureKind::Hearth | FixtureKind::Vent => {}
    }
}
