//! Flags on the slab: readings over their limit, and what is open before boards are laid.

use super::{PointState, dryness_limit, slab_list};
use crate::scene::Scene;
use crate::{Flag, FlagKind, Severity, Subject};
use plan::{Point, Slab};

/// Flags what the slab's record says. A plan without one is not flagged: nobody has begun to keep it.
pub(crate) fn slab_flags(scene: &Scene, flags: &mut Vec<Flag>) {
    let Some(slab) = &scene.plan.slab else { return };
    damp(scene, slab, flags);
    uneven(scene, slab, flags);
    let list = slab_list(scene.plan, scene.site.bare_area);
    let open: Vec<&str> =
        list.iter().filter(|item| item.state == PointState::Open).map(|item| item.point.name()).collect();
    let Some(room) = scene.plan.rooms.iter().position(plan::Room::is_boarded) else { return };
    if open.is_empty() {
        return;
    }
    flags.push(Flag {
        cause: None,
        kind: FlagKind::SlabOpen,
        severity: Severity::Look,
        subject: Subject::Room(room),
        at: within(scene, room),
        place: "before a pack is opened".into(),
        figure: open.len() as f64,
        limit: 0.0,
        mend: format!("see to: {}", open.join(", ").to_lowercase()),
    });
}

fn damp(scene: &Scene, slab: &Slab, flags: &mut Vec<Flag>) {
    for reading in &slab.dryness {
        let (limit, source) = dryness_limit(slab, reading.method);
        let Some(room) = scene.places.room_index(&reading.room) else { continue };
        if reading.reading <= limit {
            continue;
        }
        flags.push(Flag {
            cause: None,
            kind: FlagKind::DampSlab,
            severity: Severity::Fault,
            subject: Subject::Room(room),
            at: within(scene, room),
            place: format!("{}, slab, reading in {}", reading.room, reading.method.unit()),
            figure: reading.reading,
            limit,
            mend: format!(
                "let it dry and read again; or a barrier whose maker allows this reading, and then type that \
                 limit (now: {source})"
            ),
        });
    }
}

fn uneven(scene: &Scene, slab: &Slab, flags: &mut Vec<Flag>) {
    for reading in &slab.flatness {
        let allowed = slab.flatness_limit.and_then(|limit| limit.gap_under(reading.straightedge));
        let (Some(limit), Some(room)) = (allowed, scene.places.room_index(&reading.room)) else { continue };
        if reading.gap <= limit + super::points::SAME_GAP {
            continue;
        }
        let source = slab.flatness_limit.map_or("", plan::FlatnessLimit::source);
        flags.push(Flag {
            cause: None,
            kind: FlagKind::UnevenSlab,
            severity: Severity::Fault,
            subject: Subject::Room(room),
            at: within(scene, room),
            place: format!("{}, slab, under {}", reading.room, scene.length(reading.straightedge)),
            figure: reading.gap,
            limit,
            mend: format!("grind the high places or fill the low ones, and read again ({source})"),
        });
    }
}

/// A point inside a room, for the pennant: the middle of its corners, or, where that lies outside, a step in from
/// the middle of its longest wall.
fn within(scene: &Scene, room: usize) -> Point {
    let outline = scene.places.outline(room);
    let count = outline.len().max(1) as f64;
    let sum = |m: Point, p: &Point| Point::new(m.x + p.x / count, m.y + p.y / count);
    let middle = outline.iter().fold(Point::new(0.0, 0.0), sum);
    let drawn = &scene.plan.rooms[room];
    if drawn.contains(middle) {
        return middle;
    }
    const STEP: f64 = 200.0;
    let longest = (0..drawn.walls.len()).max_by(|a, b| {
        let length = |wall: usize| drawn.wall_line(wall).map_or(0.0, |(a, b)| a.distance(b));
        length(*a).total_cmp(&length(*b))
    });
    let stood = longest.and_then(|wall| {
        let ((a, b), (_, away)) = (drawn.wall_line(wall)?, drawn.wall_axes(wall)?);
        let half = Point::new(f64::midpoint(a.x, b.x), f64::midpoint(a.y, b.y));
        Some(half.moved(-STEP * away.x, -STEP * away.y))
    });
    stood.unwrap_or(middle)
}
