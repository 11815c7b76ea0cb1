//! The whole site from its patches: parts of the floor that touch one another nowhere are computed apart.

use crate::build::{Built, build, by_first_corner, inset_by};
use crate::face::{Patch, Thing, collect, signed_area};
use crate::gaps::Gaps;
use crate::{Field, Frame, Region, RoomArea, Site, Uv};
use plan::{Boxes, Places, Plan};
use rayon::prelude::*;

/// Things whose bounds come this near on the plan belong to one patch, mm; more than any throat overlaps.
const TOUCH: f64 = 1.0;
/// Fewer patches than this are computed faster by one thread.
const FEW: usize = 8;

/// Computes what is to be boarded.
///
/// Rooms are joined through doorway throats, fixtures are cut out, then every edge is inset by its
/// own gap: the side gap if it lies within 45° of the rows, the end gap if it is steeper. Expects a
/// plan without [`Plan::problems`]; on others it gives what can be made of it.
pub fn survey(plan: &Plan) -> Site {
    let gaps = Gaps::new(&plan.rules);
    gathered(plan, built(&patches(plan), gaps).into_iter())
}

/// Computes patches, many of them on several threads: none asks another.
fn built(patches: &[Patch], gaps: Gaps) -> Vec<Built> {
    patches.par_iter().with_min_len(FEW).map(|patch| build(patch, gaps)).collect()
}

/// Computes sites one after the other, and keeps the patches of the last: what an edit leaves as it was is not
/// computed again. It gives what [`survey`] gives.
#[derive(Debug, Clone, Default)]
pub struct Surveyor {
    gaps: Option<Gaps>,
    kept: Vec<(Patch, Built)>,
}

impl Surveyor {
    /// What is to be boarded, see [`survey`].
    pub fn survey(&mut self, plan: &Plan) -> Site {
        let gaps = Gaps::new(&plan.rules);
        let mut kept = match self.gaps == Some(gaps) {
            true => std::mem::take(&mut self.kept),
            false => Vec::new(),
        };
        self.gaps = Some(gaps);
        let now = patches(plan);
        let mut taken: Vec<Option<Built>> = Vec::with_capacity(now.len());
        for (place, patch) in now.iter().enumerate() {
            let is_same = |(old, _): &(Patch, Built)| old == patch;
            // Mostly the patches before it are the same; a patch that came or went moves the rest.
            let found = match kept.get(place).is_some_and(is_same) {
                true => Some(place),
                false => kept.iter().position(is_same),
            };
            taken.push(found.map(|found| std::mem::take(&mut kept[found].1)));
        }
        let built = now.into_par_iter().with_min_len(FEW).zip(taken).map(|(patch, taken)| {
            let built = taken.unwrap_or_else(|| build(&patch, gaps));
            (patch, built)
        });
        self.kept = built.collect();
        gathered(plan, self.kept.iter().map(|(_, built)| built.clone()))
    }
}

fn gathered(plan: &Plan, patches: impl Iterator<Item = Built>) -> Site {
    let (mut regions, mut bare_area) = (Vec::new(), 0.0);
    for built in patches {
        regions.extend(built.regions);
        bare_area += built.bare_area;
    }
    regions.sort_by(by_first_corner);
    let field = plan.border.map(|border| field(&regions, f64::from(border.boards) * plan.stock.pitch()));
    Site { frame: Frame::new(plan.rows_at), regions, bare_area, rooms: room_areas(plan), field }
}

/// What a border `width` mm wide leaves of the regions.
fn field(regions: &[Region], width: f64) -> Field {
    let mut field = Field::default();
    for (index, region) in regions.iter().enumerate() {
        for part in inset_by(region, width) {
            field.regions.push(part);
            field.part_of.push(index);
        }
    }
    field
}

/// Gathers the plan's things that touch one another, each patch with its things in their order, the patches in the order
/// of their first.
fn patches(plan: &Plan) -> Vec<Patch> {
    let things: Vec<Thing> = collect(plan, &Frame::new(plan.rows_at), &Places::new(plan));
    let boxes = Boxes::new(things.iter().map(|thing| thing.bounds));
    let mut group: Vec<Option<usize>> = vec![None; things.len()];
    let mut count = 0;
    for first in 0..things.len() {
        let mut open = vec![first];
        while let Some(thing) = open.pop() {
            if group[thing].is_none() {
                group[thing] = Some(count);
                if let Some(bounds) = things[thing].bounds {
                    boxes.each(bounds.grown(TOUCH), |other| open.push(other));
                }
            }
        }
        count += usize::from(group[first] == Some(count));
    }
    let mut patches = vec![Patch::default(); count];
    for (thing, group) in things.into_iter().zip(group) {
        patches[group.unwrap_or(0)].take(thing.patch);
    }
    patches
}

fn room_areas(plan: &Plan) -> Vec<RoomArea> {
    let area = |room: usize| {
        let points: Vec<Uv> = plan.rooms[room].outline().iter().map(|(p, _)| Uv::new(p.x, p.y)).collect();
        RoomArea { room, area: signed_area(&points).abs() }
    };
    (0..plan.rooms.len()).map(area).collect()
}
