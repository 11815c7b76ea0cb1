//! Doorways: where the boards stop, and what the floor does to the leaf, the step and the arris there.

use crate::levels::{ArrisCut, LeafRoom, SideFloor, Step, arris, leaf_room, sides, step};
use plan::{Doorway, Places, Plan, Point, Side};
use site::{Edge, EdgeKind, Site, Source};
use std::collections::BTreeMap;

/// A doorway as the floor meets it.
#[derive(Debug, Clone, PartialEq)]
pub struct DoorwayFit {
    /// The doorway.
    pub doorway: usize,
    /// Where boards stop: none where they run through; the near room's boards first.
    pub stops: Vec<Stop>,
    /// The floors on its two sides, near and far.
    pub sides: [SideFloor; 2],
    /// The step between them; `None` where a level is not known.
    pub step: Option<Step>,
    /// The room under the leaf; `None` without one, or where its height is not known.
    pub leaf: Option<LeafRoom>,
    /// The arris of the boards' ends; `None` where they run through or nothing is done to it.
    pub arris: Option<ArrisCut>,
}

/// A line at which boards stop in a doorway.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stop {
    /// The side from which these boards come.
    pub boards: Side,
    /// One end on the plan, at the jamb nearer to the wall's corner.
    pub from: Point,
    /// The other end.
    pub to: Point,
    /// Pulls from the near room's wall face at the first and the second jamb, mm.
    pub from_near: [f64; 2],
    /// Pulls from the far wall face at the same jambs, mm.
    pub from_far: [f64; 2],
    /// What the line keeps off each jamb, mm.
    pub off_jambs: [f64; 2],
}

impl Stop {
    /// The pulls from the face of the room in which the boards are laid, at the two jambs, mm.
    pub fn pulls(&self) -> [f64; 2] {
        match self.boards {
            Side::Near => self.from_near,
            Side::Far => self.from_far,
        }
    }

    /// Length, mm.
    pub fn length(&self) -> f64 {
        self.from.distance(self.to)
    }
}

/// Every doorway as the floor meets it, in the plan's order.
pub(crate) fn doorways(plan: &Plan, site: &Site, places: &Places<'_>) -> Vec<DoorwayFit> {
    let mut ends: BTreeMap<usize, Vec<&Edge>> = BTreeMap::new();
    for edge in site.regions.iter().flat_map(site::Region::edges) {
        if let (EdgeKind::UnderLeaf | EdgeKind::Trim, Source::Doorway(index)) = (edge.kind, edge.source) {
            ends.entry(index).or_default().push(edge);
        }
    }
    let fit = |(index, door): (usize, &Doorway)| {
        let sides = sides(plan, places, door)?;
        let edges = ends.get(&index).map_or(&[][..], Vec::as_slice);
        Some(DoorwayFit {
            doorway: index,
            stops: stops(plan, site, places, door, edges),
            step: step(plan, door, &sides),
            leaf: leaf_room(plan, door, &sides),
            arris: arris(plan, door),
            sides,
        })
    };
    plan.doorways.iter().enumerate().filter_map(fit).collect()
}

/// The lines at which the boards of either side stop, measured where the site put them.
fn stops(plan: &Plan, site: &Site, places: &Places<'_>, door: &Doorway, edges: &[&Edge]) -> Vec<Stop> {
    let near = places.room_index(&door.room).map(|room| &plan.rooms[room]);
    let Some((room, (corner, _), (along, away))) =
        near.and_then(|room| Some((room, room.wall_line(door.wall)?, room.wall_axes(door.wall)?)))
    else {
        return Vec::new();
    };
    let local = |p: Point| {
        let (dx, dy) = (p.x - corner.x, p.y - corner.y);
        (dx * along.x + dy * along.y, dx * away.x + dy * away.y)
    };
    let jambs = [door.at, door.at + door.width];
    let near_face = jambs.map(|at| room.back_at(door.wall, at));
    // Just inside the jambs: at them the far room's own corner may stand.
    let far_face = [INSIDE, door.width - INSIDE]
        .map(|offset| places.far_face(door, offset).unwrap_or(door.wall_thickness));
    let of_side = |boards: Side| {
        let mut span: Option<[(f64, f64); 2]> = None;
        for edge in edges {
            let [a, b] = [edge.a, edge.b].map(|uv| local(site.frame.plan_from_row(uv)));
            // The floor lies to the left of an edge; walls run either way round a room.
            let [pa, pb] = [edge.a, edge.b].map(|uv| site.frame.plan_from_row(uv));
            let towards = (pa.y - pb.y) * away.x + (pb.x - pa.x) * away.y;
            if (towards < 0.0) != (boards == Side::Near) {
                continue;
            }
            // Beside the ends of a trim that stands out into the room boards keep its gap, too: no line to stop at.
            if (b.0 - a.0).abs() <= (b.1 - a.1).abs() {
                continue;
            }
            let (first, last) = if a.0 <= b.0 { (a, b) } else { (b, a) };
            span = Some(span.map_or([first, last], |[low, high]| {
                [if first.0 < low.0 { first } else { low }, if last.0 > high.0 { last } else { high }]
            }));
        }
        let [low, high] = span?;
        let at = |(s, t): (f64, f64)| corner.moved(along.x * s + away.x * t, along.y * s + away.y * t);
        let depths = [low.1, high.1];
        Some(Stop {
            boards,
            from: at(low),
            to: at(high),
            from_near: [0, 1].map(|i| depths[i] - near_face[i]),
            from_far: [0, 1].map(|i| far_face[i] - depths[i]),
            off_jambs: [low.0 - jambs[0], jambs[1] - high.0],
        })
    };
    [Side::Near, Side::Far].into_iter().filter_map(of_side).collect()
}

/// The far face is looked at so far inside each jamb, mm.
const INSIDE: f64 = 2.0;
