//! The bound on boards opened against an exhaustive search over joints and cuts, written apart from it, and against
//! what the program lays.
#![allow(clippy::unwrap_used)]

use plan::{BoardLength, Plan, Point, Room};
use startrow_tests::{Dice, house, slanted, tiny::Case};

/// Floors found by the exhaustive search, and how many of them open as many boards as the bound, and at most one more.
struct Found {
    laid: usize,
    met: usize,
    within_one: usize,
}

/// Looks for floors of so many cases; none opens fewer boards than the bound.
fn found(count: u64, case: impl Fn(u64) -> Case) -> Found {
    let mut all = Found { laid: 0, met: 0, within_one: 0 };
    for seed in 0..count {
        let case = case(seed);
        let bound = case.bound();
        if bound > 0 {
            assert!(!case.opens(bound - 1), "seed {seed}: {case:?} opens fewer than {bound}");
        }
        // Only every tenth is searched upwards as well: that takes longer.
        if seed % 10 == 0 {
            let fewest = case.fewest(bound);
            all.laid += usize::from(fewest.is_some());
            all.met += usize::from(fewest == Some(bound));
            all.within_one += usize::from(fewest.is_some_and(|fewest| fewest <= bound + 1));
        }
    }
    all
}

/// No floor is found that opens fewer boards than the bound; and in most cases one that opens just as many is, so
/// that the bound is not idle.
#[test]
fn no_floor_opens_fewer_boards_than_the_bound() {
    let Found { laid, met, within_one } = found(1500, Case::new);
    let figures =
        format!("of {laid} floors found {met} open as many as the bound, {within_one} at most one more");
    assert!(laid > 100 && 10 * met > 6 * laid && 10 * within_one > 9 * laid, "{figures}");
}

/// Nor where walls part rows lengthways, so that a piece covers both sides or each has one of its own; and many are bound by more
/// than their narrower sides alone.
#[test]
fn no_floor_with_walls_in_its_rows_opens_fewer_boards_than_the_bound() {
    let Found { laid, met, .. } = found(600, Case::parted);
    assert!(laid > 30 && 10 * met > 4 * laid, "of {laid} floors found {met} open as many as the bound");
    let is_over = |case: &Case| case.bound() > case.bound_of_one_side();
    let over = (0..60).map(Case::parted).filter(is_over).count();
    assert!(over > 15, "{over} of 60 are charged for both sides");
}

/// Nor between walls aslant to the rows, where pieces of one slant are parted by one saw cut.
#[test]
fn no_slanted_floor_opens_fewer_boards_than_the_bound() {
    let (mut met, count) = (0, 200);
    for seed in 0..count {
        let floor = slanted::Floor::new(seed);
        let bound = floor.bound();
        assert!(bound == 0 || !floor.opens(bound - 1), "seed {seed}: {floor:?} opens fewer than {bound}");
        met += usize::from(floor.opens(bound));
    }
    assert!(10 * met > 6 * count as usize, "{met} of {count} open as many as the bound");
}

#[test]
fn what_is_laid_opens_no_fewer_boards_wood_or_packs_than_the_bound() {
    for seed in 0..200 {
        let house = pipeline::run(&house(seed)).unwrap();
        let (order, bound) = (&house.order, house.bound());
        assert!(bound.boards <= order.opened, "house {seed}");
        assert!(bound.area <= bound.boards, "house {seed}");
        assert!(bound.wood <= order.wood_opened + 1e-6, "house {seed}");
        assert!(bound.packs <= order.packs, "house {seed}");
    }
    for seed in 0..200 {
        let house = pipeline::run(&closet(seed)).unwrap();
        let (order, bound) = (&house.order, house.bound());
        assert!(bound.boards <= order.opened, "closet {seed}");
        assert!(bound.packs <= order.packs, "closet {seed}");
    }
}

/// A room of a few rows, boards of one length.
fn closet(seed: u64) -> Plan {
    let dice = &mut Dice::new(seed);
    let mut plan = Plan::new("closet");
    plan.seed = seed;
    let length = dice.mm(150.0, 240.0) * 10.0;
    plan.stock.lengths = vec![BoardLength { length, per_pack: 1 + dice.below(4) as u32 }];
    plan.stock.end_match = !dice.one_in(4);
    let (w, h) = (dice.mm(500.0, 6000.0), dice.mm(400.0, 1500.0));
    let corners = [(0.0, 0.0), (w, 0.0), (w, h), (0.0, h)].map(|(x, y)| Point::new(x, y));
    plan.rooms.push(Room::boarded("Closet", corners));
    plan
}
