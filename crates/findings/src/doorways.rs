//! Flags in doorways: steps, leaves and arrises; and appliances that the floor would trap.

use crate::scene::Scene;
use crate::{Flag, FlagKind, Severity, Subject};
use fit::{ApplianceRoom, ArrisCut, DoorwayFit, Finish, Fit, LeafRoom, Step};
use plan::{Doorway, Point};
use site::Source;

/// Figures are held to limits to this accuracy, mm.
const EXACT: f64 = 0.05;

/// Flags what the floor's levels do in doorways and under worktops.
pub(crate) fn doorways(scene: &Scene, fit: &Fit, flags: &mut Vec<Flag>) {
    for found in &fit.doorways {
        let Some(door) = scene.plan.doorways.get(found.doorway) else { continue };
        let Some(at) = middle(scene, found) else { continue };
        let flag = |kind, severity, figure, limit, mend| Flag {
            cause: None,
            kind,
            severity,
            subject: Subject::Thing(Source::Doorway(found.doorway)),
            at,
            place: door.name.clone(),
            figure,
            limit,
            mend,
        };
        if let Some(step) = found.step.filter(|step| step.is_too_high) {
            let severity = match step.finish {
                Finish::Reducer { .. } => Severity::Look,
                _ => Severity::Fault,
            };
            let mend = step_mend(scene, door, found, &step);
            flags.push(flag(FlagKind::HighStep, severity, step.rise.abs(), step.limit, mend));
        }
        if let Some(leaf) = found.leaf.filter(|leaf| leaf.clearance < leaf.least - EXACT) {
            let mend = leaf_mend(scene, &leaf);
            flags.push(flag(FlagKind::LowLeaf, Severity::Fault, leaf.clearance, leaf.least, mend));
        }
        if let Some(cut @ ArrisCut { wear_layer: Some(layer), .. }) = found.arris
            && cut.is_through()
        {
            let mend = format!(
                "cut it no deeper than {}, the wear layer; what is under it shows and cannot be finished",
                scene.length(layer)
            );
            flags.push(flag(FlagKind::DeepArris, Severity::Fault, cut.arris.depth(), layer, mend));
        }
    }
    for appliance in fit.appliances.iter().filter(|found| found.clearance < found.least - EXACT) {
        flags.extend(trapped(scene, appliance));
    }
}

/// The middle of the throat.
fn middle(scene: &Scene, found: &DoorwayFit) -> Option<Point> {
    let [a, _, c, _] = scene.places.throat(found.doorway)?;
    Some(Point::new(f64::midpoint(a.x, c.x), f64::midpoint(a.y, c.y)))
}

fn step_mend(scene: &Scene, door: &Doorway, found: &DoorwayFit, step: &Step) -> String {
    let [near, far] = &found.sides;
    let name = |room: Option<usize>| {
        room.and_then(|room| scene.plan.rooms.get(room)).map_or("what lies outside", |room| &room.name)
    };
    let higher = if step.rise > 0.0 { name(near.room) } else { name(far.room) };
    let high = scene.length(step.rise.abs());
    match step.finish {
        Finish::LevelSlab => {
            format!(
                "{higher} lies {high} higher: level the slab through the opening, or part the floor with a trim"
            )
        }
        Finish::Reducer { run } => format!(
            "{higher} lies {high} higher: bevel it with a reducer at least {} wide, or level the lower slab",
            scene.length(run)
        ),
        _ => format!(
            "{higher} lies {high} higher: a ramp {} long, or level the lower slab; no one steps over it unseen at {}",
            scene.length(step.finish.run()),
            door.name
        ),
    }
}

fn leaf_mend(scene: &Scene, leaf: &LeafRoom) -> String {
    let off = scene.length((leaf.take_off() * 10.0).round() / 10.0);
    format!(
        "take {off} off the leaf's lower edge before the boards go in; a fire door is never cut, ask its maker"
    )
}

fn trapped(scene: &Scene, found: &ApplianceRoom) -> Option<Flag> {
    let fixture = scene.plan.fixtures.get(found.fixture)?;
    let count = fixture.outline.len().max(1) as f64;
    let at = fixture.outline.iter().fold(Point::default(), |m, p| m.moved(p.x / count, p.y / count));
    let missing = scene.length(((found.least - found.clearance) * 10.0).round() / 10.0);
    let (severity, mend) = match found.clearance < 0.0 {
        true => (
            Severity::Fault,
            format!(
                "raise the worktop by {missing}, or choose a lower appliance; once the floor lies this one does not come out"
            ),
        ),
        false => (
            Severity::Look,
            format!(
                "it comes out over the boards with {} to spare, less than {}: try it before the floor lies, or raise the worktop by {missing}",
                scene.length((found.clearance * 10.0).round() / 10.0),
                scene.length(found.least)
            ),
        ),
    };
    Some(Flag {
        cause: None,
        kind: FlagKind::Trapped,
        severity,
        subject: Subject::Thing(Source::Fixture(found.fixture)),
        at,
        place: fixture.name.clone(),
        figure: found.clearance,
        limit: found.least,
        mend,
    })
}
