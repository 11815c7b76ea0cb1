//! Doorways: levels, steps, leaves and arrises, the lines at which boards stop; and appliances over the boards.

use super::Scene;
use crate::ground::{Opening, coord, wall_line};
use crate::plan::{Arris, Beyond, Covering, Doorway, Side, Surface, SurfaceKind};
use crate::report::{Promise, Report};
use crate::result::{DoorwayLine, FloorSide, Stop};

/// Figures follow from others given in full, mm.
const EXACT: f64 = 1e-6;
/// A stop may lie off by what a throat is drawn into its rooms, mm.
const TRUE: f64 = 0.06;
const TURNED: f64 = 0.21;
/// Levels are held to limits so, mm (docs/rules.md).
const LIMIT: f64 = 0.05;
/// Limits where the plan gives none (docs/plan-format.md): 2010 ADA Standards 303.2 and 303.3; the first practice.
const FLUSH: f64 = 1.0;
const UPRIGHT: f64 = 6.4;
const BEVELLED: f64 = 13.0;
const LEAF: f64 = 5.0;
const APPLIANCE: f64 = 3.0;
/// Runs for a millimetre of step: 303.3 and 405.2.
const BEVEL: f64 = 2.0;
const RAMP: f64 = 12.0;

pub(super) fn check(scene: &Scene, report: &mut Report) {
    let Some(edges) = &scene.house.edges else { return };
    let names: Vec<&str> = edges.doorways.iter().map(|door| door.name.as_str()).collect();
    let drawn: Vec<&str> = scene.plan.doorways.iter().map(|door| door.name.as_str()).collect();
    report.hold(Promise::Doorways, names == drawn, || {
        ("the doorways".into(), format!("told are {names:?}, drawn {drawn:?}"))
    });
    for said in &edges.doorways {
        let Some(opening) = scene.ground.openings.iter().find(|o| o.door.name == said.name) else { continue };
        levels(scene, report, said, opening);
        stops(scene, report, said, opening);
    }
    let build_up = scene.plan.stock.thickness + scene.plan.stock.bed;
    let things: Vec<_> = scene
        .plan
        .fixtures
        .iter()
        .filter_map(|thing| Some((thing.name.as_str(), thing.appliance?)))
        .collect();
    report.hold(Promise::Doorways, things.len() == edges.appliances.len(), || {
        ("the appliances".into(), format!("{} told of {}", edges.appliances.len(), things.len()))
    });
    let least = scene.plan.rules.levels.appliance.unwrap_or(APPLIANCE);
    for (said, (name, thing)) in edges.appliances.iter().zip(things) {
        let left = thing.opening - thing.height - build_up;
        report.same(Promise::Doorways, name, "room over it", said.clearance, left, EXACT);
        flagged(scene, report, "trapped", name, left, left < least - LIMIT);
    }
}

/// A flag of a kind stands at a place with its figure, or none does.
fn flagged(scene: &Scene, report: &mut Report, kind: &str, place: &str, figure: f64, is_over: bool) {
    let here = scene.house.flags.iter().filter(|flag| flag.kind == kind && flag.place == place);
    let figures: Vec<f64> = here.map(|flag| flag.figure).collect();
    let holds = if is_over {
        matches!(figures[..], [one] if (one - figure).abs() <= EXACT)
    } else {
        figures.is_empty()
    };
    report.hold(Promise::Doorways, holds, || {
        (place.to_owned(), format!("{kind}: {figure} found, flagged {figures:?}"))
    });
}

fn near(said: Option<f64>, found: Option<f64>) -> bool {
    match (said, found) {
        (Some(said), Some(found)) => (said - found).abs() <= EXACT,
        (said, found) => said.is_none() && found.is_none(),
    }
}

fn word(kind: SurfaceKind) -> &'static str {
    match kind {
        SurfaceKind::Tile => "tile",
        SurfaceKind::Carpet => "carpet",
        SurfaceKind::BareSlab => "bare slab",
        SurfaceKind::Track => "track",
    }
}

/// Name, slab, covering and level of the floor on either side.
fn floors(scene: &Scene, opening: &Opening) -> [FloorSide; 2] {
    let build_up = scene.plan.stock.thickness + scene.plan.stock.bed;
    let other = |room: Option<String>, slab: f64, surface: Option<Surface>| FloorSide {
        room,
        slab,
        covering: surface.map(|surface| word(surface.kind).to_owned()),
        level: surface.map(|surface| slab + surface.height),
    };
    let of = |index: usize| {
        let room = &scene.plan.rooms[index];
        match room.covering {
            Covering::Boards => FloorSide {
                room: Some(room.name.clone()),
                slab: room.slab_level,
                covering: Some("boards".into()),
                level: Some(room.slab_level + build_up),
            },
            Covering::Other(_) => other(Some(room.name.clone()), room.slab_level, room.surface),
        }
    };
    let near = scene.ground.room_called(&opening.door.room).map(of);
    let near = near.unwrap_or_else(|| other(None, 0.0, None));
    let far = opening.far.map_or_else(|| other(None, near.slab, opening.door.outside), of);
    [near, far]
}

/// The finish of a step, how far it runs, the limit, and whether what is drawn cannot take it: docs/rules.md.
fn finish(scene: &Scene, door: &Doorway, high: f64, far: Option<&str>) -> (&'static str, f64, f64, bool) {
    let rules = &scene.plan.rules.levels;
    let flush = rules.flush.unwrap_or(FLUSH);
    let upright = rules.upright.unwrap_or(UPRIGHT);
    let bevelled = rules.bevelled.unwrap_or(BEVELLED);
    let up_to = |limit: f64| high <= limit + EXACT;
    match door.beyond {
        Beyond::RunThrough if up_to(flush) => return ("boards run through", 0.0, flush, false),
        Beyond::RunThrough => return ("level the slab first", 0.0, flush, true),
        Beyond::Trim(_) if up_to(upright) => return ("trim", 0.0, upright, false),
        Beyond::Trim(width) if up_to(bevelled) && width + EXACT >= BEVEL * high => {
            return ("trim", 0.0, bevelled, false);
        }
        _ => {}
    }
    if far == Some("carpet") && up_to(upright) {
        ("eased edge", 0.0, upright, false)
    } else if up_to(flush) {
        ("flush, sealant joint", 0.0, flush, false)
    } else if up_to(upright) {
        ("sealant joint, higher edge eased", 0.0, upright, false)
    } else if up_to(bevelled) {
        ("reducer", BEVEL * high, upright, true)
    } else {
        ("ramp", RAMP * high, bevelled, true)
    }
}

fn levels(scene: &Scene, report: &mut Report, said: &DoorwayLine, opening: &Opening) {
    let (door, name) = (opening.door, said.name.as_str());
    let way = match door.beyond {
        Beyond::RunThrough => "run-through",
        Beyond::UnderLeaf => "under-leaf",
        Beyond::Trim(_) => "trim",
    };
    report.hold(Promise::Doorways, said.boards == way, || {
        (name.into(), format!("boards are said to be {}, drawn {way}", said.boards))
    });
    let found = floors(scene, opening);
    for (said, found) in said.sides.iter().zip(&found) {
        let holds = said.room == found.room
            && said.covering == found.covering
            && (said.slab - found.slab).abs() <= EXACT
            && near(said.level, found.level);
        report.hold(Promise::Doorways, holds, || (name.into(), format!("{said:?} is told, found {found:?}")));
    }
    let rise = found[0].level.zip(found[1].level).map(|(near, far)| near - far);
    report.hold(Promise::Doorways, near(said.step.as_ref().map(|step| step.rise), rise), || {
        (name.into(), format!("step {:?}, found {rise:?}", said.step))
    });
    let mut is_too_high = false;
    if let (Some(step), Some(rise)) = (&said.step, rise) {
        let (word, run, limit, too_high) = finish(scene, door, rise.abs(), found[1].covering.as_deref());
        is_too_high = too_high;
        let holds = step.finish == word
            && (step.run - run).abs() <= EXACT
            && (step.limit - limit).abs() <= EXACT
            && step.too_high == too_high;
        report.hold(Promise::Doorways, holds, || {
            (name.into(), format!("{step:?}, found {word}, run {run}, limit {limit}"))
        });
    }
    flagged(scene, report, "high-step", name, rise.unwrap_or(0.0).abs(), is_too_high);
    leaf(scene, report, said, opening, &found);
    let arris = door.arris.filter(|_| door.beyond != Beyond::RunThrough);
    report.hold(Promise::Doorways, said.arris.is_some() == arris.is_some(), || {
        (name.into(), format!("arris {:?}", said.arris))
    });
    let mut through = (0.0, false);
    if let (Some(cut), Some(arris)) = (&said.arris, arris) {
        let (word, depth) = match arris {
            Arris::Square => ("square", 0.0),
            Arris::Eased(depth) => ("eased", depth),
            Arris::Chamfered(depth) => ("chamfered", depth),
        };
        let layer = scene.plan.stock.wear_layer;
        through = (depth, layer.is_some_and(|layer| depth > layer + EXACT));
        let holds = cut.arris == word
            && (cut.depth - depth).abs() <= EXACT
            && near(cut.wear_layer, layer)
            && cut.through == through.1;
        report.hold(Promise::Doorways, holds, || (name.into(), format!("{cut:?}, found {word} {through:?}")));
    }
    flagged(scene, report, "deep-arris", name, through.0, through.1);
}

/// What is left under the leaf: it passes over both floors.
fn leaf(scene: &Scene, report: &mut Report, said: &DoorwayLine, opening: &Opening, floors: &[FloorSide; 2]) {
    let name = said.name.as_str();
    let least = scene.plan.rules.levels.leaf.unwrap_or(LEAF);
    let highest = floors.iter().filter_map(|floor| floor.level).reduce(f64::max);
    let edge = opening.door.leaf.as_ref().and_then(|leaf| {
        let side = usize::from(leaf.closes_on == Side::Far);
        Some(floors[side].slab + leaf.above_slab?)
    });
    let left = edge.zip(highest).map(|(edge, highest)| edge - highest);
    let told = said.leaf.as_ref();
    report.hold(Promise::Doorways, near(told.map(|leaf| leaf.clearance), left), || {
        (name.into(), format!("under the leaf {told:?}, found {left:?}"))
    });
    if let (Some(told), Some(left)) = (told, left) {
        report.same(
            Promise::Doorways,
            name,
            "to take off the leaf",
            told.take_off,
            (least - left).max(0.0),
            EXACT,
        );
    }
    flagged(
        scene,
        report,
        "low-leaf",
        name,
        left.unwrap_or(0.0),
        left.is_some_and(|left| left < least - LIMIT),
    );
}

/// Boards stop in the middle of the leaf or beside the trim, and the pulls are those to the faces as drawn.
fn stops(scene: &Scene, report: &mut Report, said: &DoorwayLine, opening: &Opening) {
    let (door, name) = (opening.door, said.name.as_str());
    let is_stopped = door.beyond != Beyond::RunThrough;
    report.hold(Promise::Doorways, said.stops.is_empty() || is_stopped, || {
        (name.into(), "boards run through and stop".into())
    });
    for stop in &said.stops {
        if is_stopped {
            one_stop(scene, report, name, stop, opening);
        }
    }
}

fn one_stop(scene: &Scene, report: &mut Report, name: &str, stop: &Stop, opening: &Opening) {
    let door = opening.door;
    let is_near = stop.boards == "near";
    let sign = if is_near { -1.0 } else { 1.0 };
    let half = scene.ground.half_stop(opening);
    // A trim keeps the gap of what is met with ends or with sides.
    let gaps = match door.beyond {
        Beyond::Trim(_) => {
            let rules = &scene.plan.rules;
            let sides = rules.gaps.tile_sides.unwrap_or(rules.wall_gap);
            [rules.tile_end_gap..=rules.tile_end_gap, sides.least..=sides.greatest]
        }
        _ => [0.0..=0.0, 0.0..=0.0],
    };
    // Beside a jog that is healed all of it may have turned by as much, or a piece at its end.
    let face = |s: f64| opening.at(s, door.stop() + sign * half);
    let has_turned = scene.jogs.turn_at(face(door.at + door.width / 2.0));
    let jambs = [door.at, door.at + door.width];
    let near_room = scene.ground.room_called(&door.room).map(|room| &scene.plan.rooms[room]);
    let far_outline = opening.far.map(|far| &scene.ground.outlines[far]);
    let far_face = far_outline.and_then(|outline| opening.passes(outline, door.wall_thickness));
    let (far_low, far_high) = far_face.unwrap_or((door.wall_thickness, door.wall_thickness));
    for (i, at) in [stop.from, stop.to].into_iter().enumerate() {
        let (s, t) = opening.local(coord((at[0], at[1])));
        let off = (t - door.stop()) * sign - half;
        let turned = if has_turned || scene.jogs.turn_at(face(s)) { TURNED } else { TRUE };
        let is_on = gaps.iter().any(|gap| off >= gap.start() - turned && off <= gap.end() + turned);
        report.hold(Promise::Doorways, is_on, || {
            (name.into(), format!("boards stop {off} off the leaf or trim"))
        });
        // The near face at that jamb, its bows counted in.
        let face = near_room.and_then(|room| {
            let line = wall_line(room, door.wall.checked_sub(1)?);
            let local: Vec<_> = line.iter().map(|p| opening.local(*p)).collect();
            let side = local.windows(2).find(|pair| pair[0].0 <= jambs[i] && jambs[i] <= pair[1].0)?;
            let part = (jambs[i] - side[0].0) / (side[1].0 - side[0].0);
            Some(side[0].1 + (side[1].1 - side[0].1) * part)
        });
        report.hold(
            Promise::Doorways,
            face.is_some_and(|face| (stop.from_near[i] - (t - face)).abs() <= EXACT),
            || {
                (
                    name.into(),
                    format!("pull {} from the near face at {face:?}, the stop at {t}", stop.from_near[i]),
                )
            },
        );
        let far = stop.from_far[i] + t;
        report.hold(Promise::Doorways, far >= far_low - TRUE && far <= far_high + TRUE, || {
            (name.into(), format!("pull {} from the far face at {far_low} to {far_high}", stop.from_far[i]))
        });
        let off_jamb = if i == 0 { s - jambs[0] } else { jambs[1] - s };
        report.same(Promise::Doorways, name, "off the jamb", stop.off_jambs[i], off_jamb, EXACT);
    }
}
