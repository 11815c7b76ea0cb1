//! Boards that must slide in because something fitted stands over their edge.

use crate::continuous::{longest, widest};
use crate::{Fit, Slide};
use lay::Floor;
use plan::{Lining, Plan};
use site::{Edge, EdgeKind, Site, Source};

/// How the floor goes in.
pub fn fit(plan: &Plan, site: &Site, floor: &Floor) -> Fit {
    let regions = || site.regions.iter().enumerate();
    let over: Vec<(usize, Edge)> = regions()
        .flat_map(|(index, region)| {
            region.edges().filter(|edge| stands_over(plan, edge)).map(move |edge| (index, *edge))
        })
        .collect();
    let slides = floor
        .boards
        .iter()
        .enumerate()
        .filter_map(|(index, board)| {
            let edge =
                over.iter().find(|(region, edge)| *region == board.region && board.lies_along(edge))?.1;
            Some(Slide { board: index, under: edge.kind, source: edge.source })
        })
        .collect();
    Fit {
        widths: regions().filter_map(|(i, r)| widest(r, i)).collect(),
        lengths: regions().filter_map(|(i, r)| longest(r, i)).collect(),
        slides,
    }
}

/// Whether something fitted already reaches over the floor at an edge.
fn stands_over(plan: &Plan, edge: &Edge) -> bool {
    match (edge.kind, edge.source) {
        (EdgeKind::Kick, _) => true,
        (EdgeKind::Jamb, Source::Doorway(index)) => {
            plan.doorways.get(index).is_some_and(|door| door.lining == Lining::Fitted)
        }
        _ => false,
    }
}
