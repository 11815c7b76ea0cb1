//! Fits a floor: goes over its boards once and gathers what stands in their way.

use crate::contact::{Contact, Contacts, Near};
use crate::continuous::{longest, widest};
use crate::cover::covers;
use crate::doorways::doorways;
use crate::joints::joints;
use crate::levels::appliances;
use crate::movement::movement;
use crate::slip::slips;
use crate::tucks::tucks;
use crate::undercut::Undercuts;
use crate::ways::{Around, Needs, way_in};
use crate::{Fit, Motion, Tuck, TuckWay};
use lay::Floor;
use plan::{Places, Plan};
use site::Site;
use std::collections::BTreeSet;
use std::ops::Range;

/// How the floor goes in.
pub fn fit(plan: &Plan, site: &Site, floor: &Floor) -> Fit {
    let regions = || site.regions.iter().enumerate();
    let places = Places::new(plan);
    let contacts = Contacts::new(plan, &places, site);
    let mut undercuts = Undercuts::new(plan, &places, site.frame);
    // Boards at edges, each with its part of what they all lie along.
    let mut at_edges: Vec<(usize, Range<usize>)> = Vec::with_capacity(floor.boards.len());
    // Most boards at an edge lie along one; growing step by step would copy all of them again and again.
    let mut along: Vec<Contact> = Vec::with_capacity(floor.boards.len());
    let mut near = Near::default();
    let mut first = 0;
    for run in floor.boards.chunk_by(|a, b| a.run == b.run) {
        contacts.of_run(run, floor.pitch, &mut near, |place, around| {
            let index = first + place;
            // What lies already went in.
            if !floor.is_laid(index) {
                undercuts.see(index, around);
            }
            at_edges.push((index, along.len()..along.len() + around.len()));
            along.extend_from_slice(around);
        });
        first += run.len();
    }
    let around = |part: &Range<usize>| along.get(part.clone()).unwrap_or_default();
    let is_under =
        |(index, part): &(usize, Range<usize>)| around(part).iter().any(|c| c.over).then_some(*index);
    let under: Vec<usize> = at_edges.iter().filter_map(is_under).collect();
    // Those that do not reach the edge there, by that edge.
    let short_of = |(index, part): &(usize, Range<usize>)| {
        let covered = around(part).iter().filter(|c| c.over && c.shared <= 0.0);
        covered.map(|c| (*index, c.edge)).collect::<Vec<_>>()
    };
    let short: BTreeSet<(usize, (usize, usize))> = at_edges.iter().flat_map(short_of).collect();
    let tucks = tucks(plan, site, floor, (&under, &short));
    let under_kicks = under_kicks(&tucks);
    let needs = Needs::of(plan);
    let way = |(index, part): &(usize, Range<usize>)| {
        let first = under_kicks.partition_point(|(board, _)| board < index);
        let kicks = under_kicks[first..].iter().take_while(|(board, _)| board == index).map(|(_, way)| *way);
        let board = &floor.boards[*index];
        // Boards go in from the worker's left.
        let ahead = floor.runs.get(board.run).map_or(0.0, |run| match board.turned {
            true => board.left - run.left,
            false => run.right - board.right,
        });
        let around = Around::new(board, around(part), kicks.collect(), ahead, &needs);
        way_in(&needs, *index, &around)
    };
    let ways = at_edges.iter().filter(|(index, _)| !floor.is_laid(*index)).filter_map(way).collect();
    let movement = movement(plan, site);
    Fit {
        widths: regions().filter_map(|(i, r)| widest(r, i)).collect(),
        lengths: regions().filter_map(|(i, r)| longest(r, i)).collect(),
        usual: Motion::usual(plan.stock.lock),
        ways,
        undercuts: undercuts.done(),
        slips: slips(plan, &places, site.frame, floor),
        joints: joints(plan, site, floor),
        doorways: doorways(plan, site, &places),
        covers: covers(plan, site, movement.as_ref()),
        movement,
        tucks,
        appliances: appliances(plan),
    }
}

/// How boards get under kicks, in the floor's order; `None` where one does not.
fn under_kicks(tucks: &[Tuck]) -> Vec<(usize, Option<TuckWay>)> {
    let boards = tucks.iter().flat_map(|tuck| &tuck.boards);
    let mut all: Vec<(usize, Option<TuckWay>)> = boards.map(|under| (under.board, under.way)).collect();
    all.sort();
    all
}
