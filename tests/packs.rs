//! Packs of a house that is laid in stages.

use pipeline::House;
use plan::{Plan, Stage};
use startrow_tests::house;
use std::collections::{BTreeMap, BTreeSet};

/// For each stock board the first stage that takes a piece of it.
fn stages_of(house: &House) -> Vec<Option<usize>> {
    let of_board = order::stage_shares(&house.plan, &house.site, &house.floor).of_board;
    let first = |board: &lay::StockBoard| board.pieces.iter().filter_map(|piece| of_board[piece.board]).min();
    house.floor.stock.iter().map(first).collect()
}

/// A house by number, its rooms in two stages: every other room first, the later ones so that rows cross both.
fn staged(number: u64) -> Plan {
    let mut plan = house(number);
    let boarded: Vec<String> =
        plan.rooms.iter().filter(|room| room.is_boarded()).map(|room| room.name.clone()).collect();
    let names = |place: usize| boarded.iter().skip(place).step_by(2).cloned().collect::<Vec<_>>();
    plan.stages.clear();
    for (name, rooms, day) in [("First", names(1), 1), ("Second", names(0), 9)] {
        if !rooms.is_empty() {
            plan.stages.push(Stage { name: name.to_owned(), rooms, day, hours: None });
        }
    }
    plan
}

/// No pack holds more boards of a length than are in it, the first packs are opened first, and a stage opens no more than hold its
/// boards, and two that stand open beside: three are open at once so that lots mix. Nothing else of the house changes.
#[test]
fn packs_are_opened_stage_by_stage() {
    let sample = plan::read(include_str!("../sample-plans/hazel-court.ron")).expect("a plan");
    let mut fewer = 0;
    for plan in (0..60).map(staged).chain([sample]) {
        let (Ok(house), Ok(other)) =
            (pipeline::run(&plan), pipeline::run(&Plan { stages: Vec::new(), ..plan.clone() }))
        else {
            continue;
        };
        let bare = |house: &House| {
            let mut floor = house.floor.clone();
            floor.stock.iter_mut().for_each(|board| board.pack = 0);
            (floor, house.fit.clone(), house.flags.clone(), house.order.packs)
        };
        assert_eq!(bare(&house), bare(&other), "{}", plan.name);
        let stock = &plan.stock;
        if plan.stages.len() < 2 || stock.random.is_some() {
            continue;
        }
        let length_of = |mm: f64| stock.lengths.iter().position(|of| of.length == mm).expect("a length");
        let mut held: BTreeMap<(usize, usize), u32> = BTreeMap::new();
        for board in &house.floor.stock {
            *held.entry((board.pack, length_of(board.length))).or_default() += 1;
        }
        assert!(
            held.iter().all(|((_, length), count)| *count <= stock.lengths[*length].per_pack),
            "{held:?}"
        );
        let first_packs = |house: &House, stages: &[Option<usize>]| -> BTreeSet<usize> {
            let boards = house.floor.stock.iter().zip(stages);
            boards.filter(|(_, stage)| **stage == Some(0)).map(|(board, _)| board.pack).collect()
        };
        let stages = stages_of(&house);
        let packs = first_packs(&house, &stages);
        let mut counts = vec![0; stock.lengths.len()];
        let boards = house.floor.stock.iter().zip(&stages).filter(|(_, stage)| **stage == Some(0));
        boards.for_each(|(board, _)| counts[length_of(board.length)] += 1);
        let filled = counts
            .iter()
            .zip(&stock.lengths)
            .map(|(count, of): (&u32, _)| count.div_ceil(of.per_pack.max(1)));
        let would_do = filled.max().unwrap_or(0) as usize;
        assert!(packs.len() <= would_do + 2, "{}: {} packs, {would_do} would do", plan.name, packs.len());
        fewer += usize::from(packs.len() < first_packs(&other, &stages).len());
    }
    assert!(fewer > 20, "dealt through the whole house a first stage opens more: {fewer}");
}
