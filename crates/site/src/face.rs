//! Faces: every straight line of the plan that boards may meet, with what it is.

use crate::joint::JointLine;
use crate::{EdgeKind, Frame, Source, Uv};
use plan::{Beyond, Bounds, Covering, FixtureKind, GapRange, Places, Plan, Point, WallFace};

/// Stops with boards on both sides need some width for the sides to come apart; it stays below what a tape can show.
const HAIRLINE: f64 = 0.05;
/// A throat reaches this far into its rooms, so that rounding cannot leave a film between them.
const OVERLAP: f64 = 0.05;

/// Under a lining the wall may run out further than that; there the throat reaches this far past it, since thinner films are
/// healed.
const FILM: f64 = 0.01;

/// A straight line of the plan that boards may meet; the floor lies to its left.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Face {
    pub(crate) a: Uv,
    pub(crate) b: Uv,
    pub(crate) kind: EdgeKind,
    pub(crate) source: Source,
    /// Own gap where the plan gives one, mm.
    pub(crate) own_gap: Option<GapRange>,
}

/// A gap that cannot be made wider.
pub(crate) fn fixed(gap: f64) -> Option<GapRange> {
    Some(GapRange { least: gap, greatest: gap })
}

/// A polygon that adds to or is cut from the floor, anticlockwise.
pub(crate) type Shape = Vec<Uv>;

/// Everything that makes and bounds one patch of the floor, in row coordinates.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Patch {
    pub(crate) faces: Vec<Face>,
    /// Boarded rooms and throats.
    pub(crate) added: Vec<Shape>,
    /// Fixtures down to the slab and stops between boarded rooms.
    pub(crate) cut: Vec<Shape>,
    /// Kicks that boards tuck under.
    pub(crate) kicks: Vec<Kick>,
    /// Movement joints across the floor.
    pub(crate) joints: Vec<JointLine>,
}

impl Patch {
    /// Takes in what another has.
    pub(crate) fn take(&mut self, other: Self) {
        self.faces.extend(other.faces);
        self.added.extend(other.added);
        self.cut.extend(other.cut);
        self.kicks.extend(other.kicks);
        self.joints.extend(other.joints);
    }
}

/// A kick at its face.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Kick {
    pub(crate) fixture: usize,
    pub(crate) shape: Shape,
    pub(crate) tuck: f64,
}

/// One thing of the plan: what it adds, and where on the plan it lies.
#[derive(Debug)]
pub(crate) struct Thing {
    pub(crate) patch: Patch,
    pub(crate) bounds: Option<Bounds>,
}

impl Thing {
    fn new(patch: Patch, corners: impl IntoIterator<Item = Point>) -> Self {
        Self { patch, bounds: Bounds::of(corners.into_iter().map(|p| [p.x, p.y])) }
    }
}

pub(crate) fn signed_area(shape: &[Uv]) -> f64 {
    let mut doubled = 0.0;
    for (i, a) in shape.iter().enumerate() {
        let b = shape[(i + 1) % shape.len()];
        doubled += a.u * b.v - b.u * a.v;
    }
    doubled / 2.0
}

pub(crate) fn anticlockwise(mut shape: Shape) -> Shape {
    if signed_area(&shape) < 0.0 {
        shape.reverse();
    }
    shape
}

/// Boarded rooms, then throats, then fixtures, then movement joints.
pub(crate) fn collect(plan: &Plan, frame: &Frame, places: &Places<'_>) -> Vec<Thing> {
    let rooms = (0..plan.rooms.len()).filter(|room| plan.rooms[*room].is_boarded());
    let mut out: Vec<Thing> = rooms.map(|room| room_floor(plan, frame, room)).collect();
    out.extend((0..plan.doorways.len()).filter_map(|index| throat(plan, frame, places, index)));
    out.extend((0..plan.fixtures.len()).filter_map(|index| standing(plan, frame, index)));
    out.extend(plan.joints.iter().enumerate().map(|(index, joint)| {
        let joints = vec![JointLine::new(joint, index, frame)];
        Thing::new(Patch { joints, ..Patch::default() }, [joint.from, joint.to])
    }));
    out
}

fn room_floor(plan: &Plan, frame: &Frame, room_index: usize) -> Thing {
    let room = &plan.rooms[room_index];
    let outline = room.outline();
    let points: Vec<Uv> = outline.iter().map(|(p, _)| frame.row_from_plan(*p)).collect();
    let is_clockwise = signed_area(&points) < 0.0;
    let mut out = Patch::default();
    for (i, (_, wall)) in outline.iter().enumerate() {
        let kind = match room.walls[*wall].face {
            WallFace::Plain => EdgeKind::Wall,
            WallFace::Glazing => EdgeKind::Glazing,
            WallFace::Cabinets => EdgeKind::Cabinets,
        };
        let (a, b) = (points[i], points[(i + 1) % points.len()]);
        let (a, b) = if is_clockwise { (b, a) } else { (a, b) };
        let source = Source::Wall { room: room_index, wall: *wall };
        let own_gap = room.walls[*wall].gap;
        out.faces.push(Face { a, b, kind, source, own_gap });
    }
    out.added.push(anticlockwise(points));
    Thing::new(out, outline.into_iter().map(|(p, _)| p))
}

fn standing(plan: &Plan, frame: &Frame, index: usize) -> Option<Thing> {
    let fixture = &plan.fixtures[index];
    let kind = match fixture.kind {
        FixtureKind::Island => EdgeKind::Island,
        FixtureKind::Kick { .. } => EdgeKind::Kick,
        FixtureKind::Column => EdgeKind::Column,
        FixtureKind::Hearth => EdgeKind::Hearth,
        FixtureKind::TileArea { .. } => EdgeKind::TileTrim,
        FixtureKind::Vent => EdgeKind::Vent,
        FixtureKind::Stair { .. } => EdgeKind::Nosing,
        FixtureKind::Rebate { .. } | FixtureKind::LowSpot { .. } => return None,
    };
    let mut out = Patch::default();
    let shape = anticlockwise(fixture.outline.iter().map(|p| frame.row_from_plan(*p)).collect());
    if let FixtureKind::Kick { tuck, .. } = fixture.kind {
        out.kicks.push(Kick { fixture: index, shape, tuck });
    } else {
        let own_gap = match fixture.kind {
            FixtureKind::Stair { nosing } => fixed(nosing),
            _ => fixture.gap,
        };
        push_ring(&mut out.faces, &shape, kind, Source::Fixture(index), own_gap);
        out.cut.push(shape);
    }
    Some(Thing::new(out, fixture.outline.iter().copied()))
}

/// Faces round something that is cut out: the floor lies to the left, so the ring is walked clockwise.
pub(crate) fn push_ring(
    faces: &mut Vec<Face>,
    shape: &[Uv],
    kind: EdgeKind,
    source: Source,
    own_gap: Option<GapRange>,
) {
    for (i, a) in shape.iter().enumerate() {
        let b = shape[(i + 1) % shape.len()];
        faces.push(Face { a: b, b: *a, kind, source, own_gap });
    }
}

/// The throat of one doorway: the floor inside the thickness of its wall.
fn throat(plan: &Plan, frame: &Frame, places: &Places<'_>, index: usize) -> Option<Thing> {
    let door = &plan.doorways[index];
    let room_index = places.room_index(&door.room)?;
    let room = &plan.rooms[room_index];
    let (corner, _) = room.wall_line(door.wall)?;
    let (along, away) = room.wall_axes(door.wall)?;
    if room.covering != Covering::Boards {
        return None;
    }
    let at = |s: f64, t: f64| corner.moved(along.x * s + away.x * t, along.y * s + away.y * t);
    let (left, right) = (door.at, door.at + door.width);
    let to_face = |outline: &[Point], middle: f64, within: f64| {
        reach(outline, (corner, along, away), (left, right), middle, within)
    };
    let (near_low, near_high) = to_face(places.outline(room_index), 0.0, MOST_BOW).unwrap_or((0.0, 0.0));
    let under = door.under_lining.unwrap_or(0.0);

    let far = places.far_room(door);
    let far_is_boarded = far.is_some_and(|far| plan.rooms[far].covering == Covering::Boards);
    let far_face = far.map_or(door.wall_thickness, |far| {
        to_face(places.outline(far), door.wall_thickness, MOST_BOW)
            .map_or(door.wall_thickness, |(_, high)| high)
    });
    // How far the far wall stands at the ends of the linings that boards go under.
    let far_under = far.and_then(|far| {
        let outline = places.outline(far);
        runs_on(outline, (corner, along, away), (left, right), under, (door.wall_thickness, MOST_BOW))
    });
    let source = Source::Doorway(index);
    // Under a leaf the boards end on the line itself; where boards come from both sides they share the
    // gap of ends that meet.
    let (kind, half, own_gap) = match door.beyond {
        Beyond::UnderLeaf if far_is_boarded => {
            (EdgeKind::UnderLeaf, plan.rules.tile_end_gap / 2.0, fixed(0.0))
        }
        Beyond::UnderLeaf => (EdgeKind::UnderLeaf, 0.0, fixed(0.0)),
        Beyond::Trim(width) => (EdgeKind::Trim, width / 2.0, None),
        Beyond::RunThrough => (EdgeKind::Trim, 0.0, None),
    };
    let stop = door.stop_line();
    let runs_through = door.beyond == Beyond::RunThrough;
    let end = if far_is_boarded {
        (far_face + OVERLAP).max(far_under.map_or(0.0, |far| far + FILM))
    } else if runs_through {
        far_face
    } else {
        stop - half
    };
    let corners = |from: f64, to: f64, spread: f64| {
        [at(left - spread, from), at(right + spread, from), at(right + spread, to), at(left - spread, to)]
    };
    let quad = |from: f64, to: f64, spread: f64| {
        anticlockwise(corners(from, to, spread).iter().map(|p| frame.row_from_plan(*p)).collect())
    };
    // Under an undercut lining the throat is wider than the opening that is seen.
    let mut out = Patch::default();
    let shape = quad(near_low - OVERLAP, end, under);
    // Both directions of each line are offered: which side the floor lies on is settled when a
    // boundary is matched to its face.
    let mut face = |from: Point, to: Point, kind: EdgeKind, own_gap: Option<GapRange>| {
        let (a, b) = (frame.row_from_plan(from), frame.row_from_plan(to));
        out.faces.push(Face { a, b, kind, source, own_gap });
        out.faces.push(Face { a: b, b: a, kind, source, own_gap });
    };
    let (low, high) = (left - under, right + under);
    let jamb_gap = door.under_lining.and_then(|under| fixed(-under));
    // Where a trim stands out into the room, boards beside it meet its ends, and no jamb.
    let (side, side_gap) = if end < near_low { (kind, own_gap) } else { (EdgeKind::Jamb, jamb_gap) };
    for s in [low, high] {
        face(at(s, near_low - OVERLAP), at(s, end), side, side_gap);
    }
    if !far_is_boarded {
        face(at(low, end), at(high, end), kind, own_gap);
        // A trim wider than its place in the wall, or a bowed wall, has the boards stop inside the room.
        if end < near_high {
            out.cut.push(quad(end, near_high + OVERLAP, under));
        }
    } else if !runs_through {
        let half = half.max(HAIRLINE);
        for t in [stop - half, stop + half] {
            face(at(low, t), at(high, t), kind, own_gap);
        }
        out.cut.push(quad(stop - half, stop + half, under + OVERLAP));
    }
    out.added.push(shape);
    // It reaches from room to room, whatever lies between.
    let reach = end.max(near_high) + OVERLAP;
    Some(Thing::new(out, corners(near_low - OVERLAP, reach, under + OVERLAP)))
}

/// A wall may stand this far from its straight line where a doorway looks for it, mm.
const MOST_BOW: f64 = 60.0;

/// Least and greatest distance, from the wall's straight line outwards, at which an outline passes
/// in front of an opening, counting only what lies within `within` of `middle`.
fn reach(
    outline: &[Point],
    (corner, along, away): (Point, Point, Point),
    (left, right): (f64, f64),
    middle: f64,
    within: f64,
) -> Option<(f64, f64)> {
    let local = |p: Point| {
        let (dx, dy) = (p.x - corner.x, p.y - corner.y);
        (dx * along.x + dy * along.y, dx * away.x + dy * away.y)
    };
    let mut range: Option<(f64, f64)> = None;
    let mut take = |t: f64| {
        if (t - middle).abs() <= within {
            range = Some(range.map_or((t, t), |(low, high)| (low.min(t), high.max(t))));
        }
    };
    for (i, p) in outline.iter().enumerate() {
        let (s0, t0) = local(*p);
        let (s1, t1) = local(outline[(i + 1) % outline.len()]);
        if s0 >= left && s0 <= right {
            take(t0);
        }
        for s in [left, right] {
            if (s0 - s) * (s1 - s) < 0.0 {
                take(t0 + (t1 - t0) * (s - s0) / (s1 - s0));
            }
        }
    }
    range
}

/// The greatest distance at which the walls that pass in front of an opening's sides stand `under` further on either way;
/// `None` where they end before.
fn runs_on(
    outline: &[Point],
    (corner, along, away): (Point, Point, Point),
    (left, right): (f64, f64),
    under: f64,
    (middle, within): (f64, f64),
) -> Option<f64> {
    let local = |p: Point| {
        let (dx, dy) = (p.x - corner.x, p.y - corner.y);
        (dx * along.x + dy * along.y, dx * away.x + dy * away.y)
    };
    let mut greatest: Option<f64> = None;
    for (i, p) in outline.iter().enumerate() {
        let ((s0, t0), (s1, t1)) = (local(*p), local(outline[(i + 1) % outline.len()]));
        let passes = |s: f64| (s0 - s) * (s1 - s) < 0.0;
        for (side, end) in [(left, left - under), (right, right + under)] {
            let t = t0 + (t1 - t0) * (end - s0) / (s1 - s0);
            if passes(side) && passes(end) && (t - middle).abs() <= within {
                greatest = Some(greatest.map_or(t, |greatest| greatest.max(t)));
            }
        }
    }
    greatest
}
