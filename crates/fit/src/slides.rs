//! Boards that must slide in because something fitted stands over their edge.

use crate::continuous::{longest, widest};
use crate::cover::covers;
use crate::doorways::doorways;
use crate::joints::joints;
use crate::levels::appliances;
use crate::movement::movement;
use crate::tucks::tucks;
use crate::{Fit, Slide};
use lay::{Board, Floor};
use plan::{Bounds, Boxes, Lining, Places, Plan};
use site::{Edge, EdgeKind, Region, Site, Source};

/// An edge this near to a board's bounds is looked at, mm; past what [`lay::Board::lies_along`] reaches.
const NEAR: f64 = 1.0;

/// How the floor goes in.
pub fn fit(plan: &Plan, site: &Site, floor: &Floor) -> Fit {
    let regions = || site.regions.iter().enumerate();
    let slides = slides(plan, site, floor);
    let under: Vec<usize> = slides.iter().map(|slide| slide.board).collect();
    let movement = movement(plan, site);
    Fit {
        widths: regions().filter_map(|(i, r)| widest(r, i)).collect(),
        lengths: regions().filter_map(|(i, r)| longest(r, i)).collect(),
        joints: joints(plan, site, floor),
        doorways: doorways(plan, site, &Places::new(plan)),
        covers: covers(plan, site, movement.as_ref()),
        movement,
        tucks: tucks(plan, site, floor, &under),
        appliances: appliances(plan),
        slides,
    }
}

/// Boards that go in under something fitted, each with the first edge in the site's order.
fn slides(plan: &Plan, site: &Site, floor: &Floor) -> Vec<Slide> {
    let edges_of = |(index, region): (usize, &'_ Region)| {
        let over: Vec<(usize, Edge)> =
            region.edges().filter(|edge| stands_over(plan, edge)).map(|edge| (index, *edge)).collect();
        over
    };
    let over: Vec<(usize, Edge)> = site.regions.iter().enumerate().flat_map(edges_of).collect();
    let boxes = Boxes::new(over.iter().map(|(_, edge)| Bounds::of([edge.a, edge.b].map(|p| [p.u, p.v]))));
    let slide = |(index, board): (usize, &Board)| {
        let bounds = Bounds::of(board.outline.outer.iter().map(|p| [p.u, p.v]))?;
        let under = |edge: &usize| over[*edge].0 == board.region && board.lies_along(&over[*edge].1);
        let edge = over[boxes.meeting(bounds.grown(NEAR)).into_iter().find(under)?].1;
        Some(Slide { board: index, under: edge.kind, source: edge.source })
    };
    match over.is_empty() {
        true => Vec::new(),
        false => floor.boards.iter().enumerate().filter_map(slide).collect(),
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
