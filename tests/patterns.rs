//! Patterns and borders: what every one must hold on invented houses, and its geometry by closed forms.
#![allow(clippy::unwrap_used)]

use clipper2_rust as clipper;
use geo::{Area, BooleanOps, Coord, LineString, MultiPolygon, Polygon};
use lay::{Board, Hand};
use pipeline::House;
use plan::{BoardLength, Border, Corners, Pattern, Plan, Point, Room};
use proptest::prelude::*;
use startrow_tests::{Dice, house};

/// Decimals of a millimetre Clipper2 reckons in.
const DECIMALS: i32 = 4;

fn polygon(outline: &lay::Outline) -> Polygon {
    let line =
        |ring: &Vec<site::Uv>| -> LineString { ring.iter().map(|p| Coord { x: p.u, y: p.v }).collect() };
    Polygon::new(line(&outline.outer), outline.holes.iter().map(line).collect())
}

fn lengths(plan: &mut Plan, length: f64) {
    plan.stock.lengths = vec![BoardLength { length, per_pack: 10 }];
    plan.rules.least_end = plan.rules.least_end.min(length / 3.0);
    plan.rules.least_stagger = plan.rules.least_stagger.min(length / 3.0);
    plan.rules.least_rip = plan.rules.least_rip.min(plan.stock.face_width / 2.0);
}

/// A house laid in some pattern, with or without a border.
fn patterned(seed: u64) -> Plan {
    let mut plan = house(seed);
    let dice = &mut Dice::new(seed ^ 0x9a77);
    plan.rows_at = [0.0, 90.0, 45.0, dice.between(-60.0, 60.0)][dice.below(4)];
    match dice.below(6) {
        0 => plan.pattern = Pattern::Half,
        1 => plan.pattern = Pattern::Third,
        kind => {
            plan.stock.face_width = dice.mm(60.0, 150.0);
            plan.stock.ten_boards = None;
            let block = dice.mm(4.0 * plan.stock.face_width, 900.0);
            lengths(&mut plan, block);
            plan.pattern = match kind {
                2 => Pattern::Herringbone { block, abreast: 1 },
                3 => Pattern::Herringbone { block, abreast: 2 },
                4 => Pattern::Chevron { block, mitre: 45.0 },
                _ => Pattern::Chevron { block, mitre: dice.between(20.0, 60.0) },
            };
        }
    }
    if dice.one_in(2) {
        let corners = if dice.one_in(2) { Corners::Mitred } else { Corners::Butted };
        plan.border = Some(Border { boards: 1 + dice.below(2) as u32, corners });
    }
    plan
}

fn run(plan: &Plan) -> House {
    pipeline::run(plan).unwrap_or_else(|problems| panic!("{}: {problems:?}", plan.name))
}

/// Rings of the boards, for Clipper2: outlines anticlockwise, holes clockwise.
fn paths<'a>(rings: impl Iterator<Item = Vec<&'a site::Uv>>) -> clipper::PathsD {
    rings.map(|ring| ring.into_iter().map(|p| clipper::PointD::new(p.u, p.v)).collect()).collect()
}

fn area(paths: &clipper::PathsD) -> f64 {
    paths.iter().map(clipper::area).sum()
}

/// Boards cover the region as far as they measure, lie on one another nowhere and reach out nowhere, by
/// Clipper2's union. (geo's `unary_union` loses pieces of some of these floors.)
fn tiles(house: &House) -> Result<(), TestCaseError> {
    let name = format!("{} {:?} {:?}", house.plan.name, house.plan.pattern, house.plan.border);
    let laid: f64 = house.floor.boards.iter().map(|b| b.area).sum();
    let region = house.site.boarded_area();
    prop_assert!((laid - region).abs() < 1e-6 * region, "{name}: laid {laid}, region {region}");
    let boards = paths(house.floor.boards.iter().flat_map(|b| b.outline.rings()).map(|r| r.iter().collect()));
    let union = clipper::union_subjects_d(&boards, clipper::FillRule::NonZero, DECIMALS);
    let covered = area(&union);
    prop_assert!((covered - region).abs() < 1e-6 * region, "{name}: covered {covered}, region {region}");
    let rings = house.site.regions.iter().flat_map(|r| r.rings());
    let regions = paths(rings.map(|ring| ring.edges.iter().map(|e| &e.a).collect()));
    let outside = area(&clipper::difference_d(&union, &regions, clipper::FillRule::NonZero, DECIMALS));
    prop_assert!(outside < 1e-6 * region, "{name}: {outside} mm² lies outside");
    Ok(())
}

/// No board is wider or longer than a board; every corner lies on its whole board's place.
fn boards_are_boards(house: &House) -> Result<(), TestCaseError> {
    let pitch = house.floor.pitch;
    for board in &house.floor.boards {
        for p in board.outline.rings().flatten() {
            let (x, y) = board.own(*p, pitch);
            prop_assert!(y > -0.01 && y < pitch + 0.01, "{}: {y} across", board.label);
            let x = x - y * board.lean;
            prop_assert!(x > -0.01 && x < board.length() + 0.01, "{}: {x} along", board.label);
        }
        let stock = &house.floor.stock[board.stock];
        prop_assert!(board.from + board.length() <= stock.length + 0.02, "{}", board.label);
    }
    Ok(())
}

fn stock_is_cut_honestly(house: &House) -> Result<(), TestCaseError> {
    let mut seen = vec![0; house.floor.boards.len()];
    for (index, opened) in house.floor.stock.iter().enumerate() {
        let mut at = -house.plan.stock.kerf;
        for piece in &opened.pieces {
            prop_assert!(piece.from >= at + house.plan.stock.kerf - 1e-6, "{:?}", opened.pieces);
            prop_assert!(piece.to <= opened.length + 1e-6);
            at = piece.to;
            seen[piece.board] += 1;
            prop_assert_eq!(house.floor.boards[piece.board].stock, index);
        }
    }
    prop_assert!(seen.iter().all(|n| *n == 1));
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn patterns_tile_the_region(seed in 0_u64..1_000_000) {
        let house = run(&patterned(seed));
        tiles(&house)?;
        boards_are_boards(&house)?;
        stock_is_cut_honestly(&house)?;
    }

    #[test]
    fn the_same_plan_gives_the_same_floor(seed in 0_u64..1_000_000) {
        let plan = patterned(seed);
        prop_assert_eq!(run(&plan), run(&plan));
    }
}

fn room(width: f64, depth: f64) -> Plan {
    let mut plan = Plan::new("room");
    let corners = [(0.0, 0.0), (width, 0.0), (width, depth), (0.0, depth)];
    plan.rooms.push(Room::boarded("Room", corners.map(|(x, y)| Point::new(x, y))));
    plan
}

fn blocks(width: f64, depth: f64, face: f64, pattern: Pattern) -> Plan {
    let mut plan = room(width, depth);
    plan.stock.face_width = face;
    let (Pattern::Herringbone { block, .. } | Pattern::Chevron { block, .. }) = pattern else { return plan };
    lengths(&mut plan, block);
    plan.pattern = pattern;
    plan
}

fn whole<'a>(house: &'a House, block: f64) -> impl Iterator<Item = &'a Board> {
    let area = block * house.floor.pitch;
    house.floor.boards.iter().filter(move |b| (b.area - area).abs() < 1e-3)
}

/// In a large room the whole blocks number its area over a block's, less those the walls cut: a block that
/// meets a wall lies within its own reach of it. Arithmetic.
#[test]
fn whole_blocks_number_the_area_over_a_blocks() {
    for pattern in [
        Pattern::Herringbone { block: 490.0, abreast: 1 },
        Pattern::Herringbone { block: 490.0, abreast: 2 },
        Pattern::Chevron { block: 490.0, mitre: 45.0 },
        Pattern::Chevron { block: 490.0, mitre: 30.0 },
    ] {
        let house = run(&blocks(14000.0, 11000.0, 70.0, pattern));
        let (inner, outer) = (
            (13980.0 - 2.0 * 560.0) * (10980.0 - 2.0 * 560.0) / (490.0 * 70.0),
            13980.0 * 10980.0 / (490.0 * 70.0),
        );
        let count = whole(&house, 490.0).count() as f64;
        assert!(count > inner && count < outer, "{pattern:?}: {count} whole, {inner} to {outer}");
        let hands = |hand| whole(&house, 490.0).filter(|b| b.hand == Some(hand)).count() as f64;
        let (left, right) = (hands(Hand::Left), hands(Hand::Right));
        assert!((left - right).abs() < 0.03 * count, "{pattern:?}: {left} left, {right} right");
    }
}

#[test]
fn survey_of_seeds() {
    std::panic::set_hook(Box::new(|_| {}));
    let mut bad = 0;
    for seed in std::env::var("LIST").unwrap().split(',').map(|s| s.parse::<u64>().unwrap()) {
        let plan = patterned(seed);
        let problems = plan.problems();
        if !problems.is_empty() { println!("{seed} PROBLEM {:?} {:?}", plan.pattern, problems[0].to_string()); bad += 1; continue; }
        let out = std::panic::catch_unwind(|| { let h = run(&plan); tiles(&h).and_then(|_| boards_are_boards(&h)).and_then(|_| stock_is_cut_honestly(&h)) });
        match out {
            Err(e) => { let m = e.downcast_ref::<String>().cloned().or_else(|| e.downcast_ref::<&str>().map(|s| s.to_string())).unwrap_or_default(); println!("{seed} PANIC {:?} {:?} {m}", plan.pattern, plan.border); bad += 1; }
            Ok(Err(e)) => { println!("{seed} {e:?} {:?} {:?}", plan.pattern, plan.border); bad += 1; }
            Ok(Ok(())) => {}
        }
        if bad > 60 { break; }
    }
    panic!("{bad} bad");
}

#[test]
fn dig() {
    let seeds = std::env::var("SEEDS").unwrap();
    for seed in seeds.split(',').map(|s| s.parse::<u64>().unwrap()) {
    let h = run(&patterned(seed));
    println!("{seed} rows_at {} {:?} {:?} pitch {} line {:?} along {:?}", h.plan.rows_at, h.plan.pattern, h.plan.border, h.floor.pitch, h.setout.region_lines, h.setout.along);
    let regions = MultiPolygon(h.site.regions.iter().map(|r| {
                let line = |ring: &site::Ring| -> LineString { ring.edges.iter().map(|e| Coord { x: e.a.u, y: e.a.v }).collect() };
                Polygon::new(line(&r.outer), r.holes.iter().map(line).collect())
            }).collect());
    let mut rest = regions.clone();
    for b in &h.floor.boards { 
        let p = polygon(&b.outline);
        let i = rest.intersection(&p).unsigned_area();
        if (i - b.area).abs() > 50.0 { println!("  board {} {} border {} along {:?} base {} area {} only {}: {:?} holes {}", b.label, b.row, b.in_border, b.along, b.base, b.area, i, b.outline.outer, b.outline.holes.len()); }
        rest = rest.difference(&p); }
    for p in &rest { if p.unsigned_area() > 20.0 { println!("  missing {:.1}: {:?} holes {}", p.unsigned_area(), p.exterior().0.iter().map(|c| (c.x, c.y)).collect::<Vec<_>>(), p.interiors().len()); } }
    for r in &h.site.regions { for ring in r.rings() { println!("  ring {}", ring.edges.iter().map(|e| format!("({:.3},{:.3})", e.a.u, e.a.v)).collect::<Vec<_>>().join(" ")); } }
    }
}
