//! The two legs of a row beside a wall within it: where joints are searched for each may come from a board or strip of its own.
//! Held by the independent checker, and by the bound for floors on which both come from one board.
#![allow(clippy::unwrap_used)]

use order::{least, needs_with_legs_together};
use pipeline::House;
use plan::{Fixture, FixtureKind, GapRange, Plan, Point, RandomLengths, Room, StartLine};
use recheck::recheck;
use startrow_tests::{Dice, asked};

fn rectangle([x, y, width, depth]: [f64; 4]) -> Vec<Point> {
    [(x, y), (x + width, y), (x + width, y + depth), (x, y + depth)].map(Point::from).to_vec()
}

fn room(width: f64, depth: f64) -> Plan {
    let mut plan = Plan::new("legs");
    plan.rules.wall_gap = GapRange { least: 10.0, greatest: 10.0 };
    plan.rooms.push(Room::boarded("Room", rectangle([0.0, 0.0, width, depth])));
    plan
}

fn partition(plan: &mut Plan, at: [f64; 4]) {
    let name = format!("Partition {}", plan.fixtures.len() + 1);
    plan.fixtures.push(Fixture::plain(name, FixtureKind::Island, rectangle(at)));
}

/// Lays a plan and has the result checked.
fn checked(plan: &Plan) -> House {
    assert_eq!(plan.problems(), []);
    let house = pipeline::run(plan).unwrap();
    let result = serde_json::to_string(&house.document()).unwrap();
    let report = recheck(&plan::write(plan), &result).unwrap();
    assert_eq!(report.complaints, [], "{}\n{report}", plan.name);
    house
}

/// Pairs of boards beside one another in one row that reach from joint to joint alike, and how many of them lie on two boards.
fn pairs(house: &House) -> (usize, usize) {
    let boards = &house.floor.boards;
    let (mut all, mut apart) = (0, 0);
    for (i, a) in boards.iter().enumerate() {
        for b in boards[i + 1..].iter().filter(|b| b.run == a.run && b.left == a.left && b.right == a.right) {
            all += 1;
            apart += usize::from(a.stock != b.stock);
        }
    }
    (all, apart)
}

/// Rows from 10 on, every 190, the last ripped to 100. An island reaches 90 into one, so that 100 are left above it, and a
/// partition 20 thick stands in the middle of another, which has legs of 75 with its gaps. What is ripped along the last row and
/// above the island leaves strips 87 wide, these with the groove, those with the tongue: they serve both legs, and the floor
/// opens fewer boards than any whose legs come from one board each time. Laid without a search both do.
#[test]
fn legs_are_cut_from_what_other_rips_leave() {
    for seed in 0..4 {
        let mut plan = room(22_000.0, 1640.0);
        plan.name = format!("seed {seed}");
        plan.seed = seed;
        plan.start_line = StartLine::At(10.0);
        plan.stock.lengths.truncate(1);
        partition(&mut plan, [1500.0, 475.0, 19_000.0, 20.0]);
        partition(&mut plan, [1500.0, 970.0, 19_000.0, 260.0]);
        let at_once = checked(&plan);
        let (all, apart) = pairs(&at_once);
        assert!(all > 4 && apart == 0, "{all} pairs, {apart} apart");
        plan.effort = 4000;
        let house = checked(&plan);
        let (all, apart) = pairs(&house);
        assert!(all > 2 && apart > 2, "{all} pairs, {apart} apart");
        // As many packs as such floors need.
        let needs = needs_with_legs_together(&house.floor, &plan.rules);
        let with = |packs| least(&needs, &plan.stock, house.floor.pitch, packs);
        let together = with(with(u32::MAX).packs).boards;
        let (opened, bound) = (house.order.opened, house.bound());
        assert!(opened < together, "{opened} boards, {together} with legs together");
        assert!(opened >= bound.boards && opened < at_once.order.opened, "{opened} boards, {bound:?}");
    }
}

/// Invented rooms with partitions along the rows and blocks beside them, searched for a little while: every promise is kept, and no floor is
/// under the bound.
#[test]
fn rooms_with_partitions_keep_their_promises() {
    let mut apart = 0;
    for seed in asked("STARTROW_FROM", 0)..asked("STARTROW_HOUSES", 60) {
        let dice = &mut Dice::new(seed ^ 0x1e95);
        let (width, depth) = (dice.mm(4000.0, 12_000.0), dice.mm(1500.0, 3500.0));
        let mut plan = room(width, depth);
        plan.name = format!("room {seed}");
        plan.seed = seed;
        plan.effort = 200 + 100 * dice.below(4) as u64;
        plan.stock.end_match = !dice.one_in(4);
        if dice.one_in(3) {
            plan.stock.lengths.truncate(1);
        }
        if dice.one_in(2) {
            plan.start_line = StartLine::At(dice.mm(20.0, 180.0));
        }
        for number in 0..1 + dice.below(3) {
            let from = if dice.one_in(3) { 0.0 } else { dice.mm(300.0, width / 3.0) };
            let long = dice.mm(1000.0, width / 1.2);
            let to = if dice.one_in(3) { width } else { (from + long).min(width - 300.0) };
            let up = depth * (number as f64 + 1.0) / 4.0 + dice.mm(-80.0, 80.0);
            partition(&mut plan, [from, up, to - from, dice.mm(10.0, 60.0)]);
        }
        if dice.one_in(3) {
            let up = dice.mm(0.0, depth / 6.0);
            partition(&mut plan, [width / 2.0, up, dice.mm(200.0, 1500.0), depth / 8.0]);
        }
        if dice.one_in(8) {
            plan.stock.lengths.clear();
            plan.stock.random = Some(RandomLengths { shortest: 700.0, longest: 2200.0, per_pack: 6 });
        } else if dice.one_in(8) {
            plan.stock.packs = Some(4 + dice.below(8) as u32);
        }
        if !plan.problems().is_empty() {
            continue;
        }
        let house = checked(&plan);
        let (order, bound) = (&house.order, house.bound());
        let is_bound = bound.boards <= order.opened && bound.packs <= order.packs;
        assert!(is_bound && bound.wood <= order.wood_opened + 1e-6, "room {seed}: {bound:?}");
        apart += pairs(&house).1;
    }
    assert!(apart > 20, "{apart} pairs apart");
}
