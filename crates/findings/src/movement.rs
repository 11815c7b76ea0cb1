//! Flags on what the seasons do to the floor, and on movement joints.

use crate::scene::Scene;
use crate::{Flag, FlagKind, Severity, Subject};
use fit::{Beyond, FILLER_TAKES, Fit, JointLaid, Movement, Stretch, WIDEST_JOINT};
use plan::Point;
use site::{Source, Uv};

/// What is missing by less is not flagged, mm.
const NOTHING: f64 = 0.05;
/// No wider gap is asked for at a wall, mm: no skirting hides one. Ours, no source.
const WIDEST_GAP: f64 = 25.0;

/// Flags stretches that swell past their gaps, joints between boards that open too far, and movement joints that end
/// in the floor or are moved more than their filler takes.
pub(crate) fn movement(scene: &Scene, fit: &Fit, flags: &mut Vec<Flag>) {
    for joint in &fit.joints {
        flags.extend(short(scene, joint));
    }
    let Some(movement) = &fit.movement else { return };
    for (stretches, along_rows) in [(&movement.widths, true), (&movement.lengths, false)] {
        // Of a region's stretches the one with least to spare.
        for of_region in stretches.chunk_by(|a, b| a.region == b.region) {
            let tightest = of_region
                .iter()
                .filter(|s| s.left().is_some())
                .min_by(|a, b| by_left(a).total_cmp(&by_left(b)));
            flags.extend(tightest.and_then(|stretch| swelling(scene, fit, stretch, along_rows)));
        }
    }
    flags.extend(open_joints(scene, movement));
    flags.extend(movement.joints.iter().filter_map(|moved| strained(scene, fit, moved)));
}

fn by_left(stretch: &Stretch) -> f64 {
    stretch.left().unwrap_or(f64::INFINITY)
}

fn place(scene: &Scene, at: Point, otherwise: String) -> String {
    scene.places.place_at(at).map_or(otherwise, str::to_owned)
}

/// What is said of a stretch that joints do not serve: across the boards, or along them.
pub(crate) fn beyond_joints(scene: &Scene, fit: &Fit, region: usize, across: bool) -> Option<String> {
    let is_it = |beyond: &&Beyond| beyond.stretch.region == region && beyond.across == across;
    let beyond = fit.movement.as_ref()?.beyond.iter().find(is_it)?;
    Some(format!("{}: {}", beyond.mend(), beyond.why(scene.plan)))
}

fn swelling(scene: &Scene, fit: &Fit, stretch: &Stretch, along_rows: bool) -> Option<Flag> {
    let (room, swells) = (stretch.room()?, stretch.swells.expected);
    if swells <= room + NOTHING {
        return None;
    }
    let middle =
        Uv::new(f64::midpoint(stretch.from.u, stretch.to.u), f64::midpoint(stretch.from.v, stretch.to.v));
    let at = scene.site.frame.plan_from_row(middle);
    let way = if along_rows { "along" } else { "across" };
    let ends: Vec<String> = stretch.ends.iter().map(|end| end.source.name(scene.plan)).collect();
    Some(Flag {
        cause: None,
        kind: FlagKind::Swelling,
        severity: Severity::Fault,
        subject: Subject::Region(stretch.region),
        at,
        place: place(scene, at, format!("region {}", stretch.region + 1)),
        figure: swells,
        limit: room,
        mend: {
            let ends =
                if ends[0] == ends[1] { ends[0].clone() } else { format!("{} and {}", ends[0], ends[1]) };
            let gap = (swells / 2.0).ceil();
            match beyond_joints(scene, fit, stretch.region, along_rows) {
                None => {
                    format!("part it with a movement joint {way} the boards, or give {ends} wider gaps")
                }
                Some(words) if gap <= WIDEST_GAP => {
                    format!("give {ends} gaps of {}, or {words}", scene.length(gap))
                }
                Some(words) => words,
            }
        },
    })
}

/// In a floor that lies loose the boards hold together: only where each is held do the joints between them open.
fn open_joints(scene: &Scene, movement: &Movement) -> Option<Flag> {
    let is_held = movement.coefficients.held_back > 0.0;
    if !is_held || movement.opening <= movement.greatest_opening + NOTHING {
        return None;
    }
    let board = scene.floor.boards.first()?;
    let at = scene.site.frame.plan_from_row(board.middle());
    Some(Flag {
        cause: None,
        kind: FlagKind::OpenJoints,
        severity: Severity::Look,
        subject: Subject::Region(board.region),
        at,
        place: "every board".into(),
        figure: movement.opening,
        limit: movement.greatest_opening,
        mend:
            "keep the air damper in the driest weeks, lay narrower boards, or let the packs dry before laying"
                .into(),
    })
}

fn short(scene: &Scene, joint: &JointLaid) -> Option<Flag> {
    let drawn = scene.plan.joints.get(joint.joint)?;
    let lies_on_none = joint.stretches.is_empty();
    let at = match (joint.open_ends.first(), lies_on_none) {
        (_, true) => drawn.from.lerp(drawn.to, 0.5),
        (Some(end), false) => scene.site.frame.plan_from_row(*end),
        (None, false) => return None,
    };
    let name = Source::Joint(joint.joint).name(scene.plan);
    Some(Flag {
        cause: None,
        kind: FlagKind::JointShort,
        severity: Severity::Look,
        subject: Subject::Thing(Source::Joint(joint.joint)),
        at,
        place: match scene.places.place_at(at) {
            Some(place) => format!("{place}, {name}"),
            None => name,
        },
        figure: joint.length,
        limit: drawn.length(),
        mend: match lies_on_none {
            true => "it lies on no boards: move it on to the floor, or take it out".into(),
            false => "it ends in the floor and parts nothing there: draw it on to an edge".into(),
        },
    })
}

fn strained(scene: &Scene, fit: &Fit, moved: &fit::JointMovement) -> Option<Flag> {
    let joint = fit.joints.get(moved.joint).filter(|joint| !joint.stretches.is_empty())?;
    let (figure, limit) = (moved.closes.max(moved.opens), FILLER_TAKES * joint.width);
    if figure <= limit + NOTHING {
        return None;
    }
    let first = joint.stretches.first()?;
    let middle = Uv::new(f64::midpoint(first.from.u, first.to.u), f64::midpoint(first.from.v, first.to.v));
    let at = scene.site.frame.plan_from_row(middle);
    let name = Source::Joint(moved.joint).name(scene.plan);
    Some(Flag {
        cause: None,
        kind: FlagKind::JointStrained,
        severity: Severity::Look,
        subject: Subject::Thing(Source::Joint(moved.joint)),
        at,
        place: match scene.places.place_at(at) {
            Some(place) => format!("{place}, {name}"),
            None => name,
        },
        figure,
        limit,
        mend: {
            let wide = (figure / FILLER_TAKES).ceil();
            let beside = scene.fit.movement.as_ref().and_then(|movement| {
                let beyond = movement.beyond.iter().find(|beyond| beyond.across == joint.along_rows)?;
                beyond_joints(scene, fit, beyond.stretch.region, beyond.across)
            });
            match beside {
                Some(words) => words,
                None if wide > WIDEST_JOINT => format!(
                    "put in more joints, nearer together, or fill it with what takes more: {} wide is too wide to walk over",
                    scene.length(wide)
                ),
                None => format!(
                    "make it {} wide, put in another joint, or fill it with what takes more",
                    scene.length(wide)
                ),
            }
        },
    })
}
