//! What is laid stays as it lies, whatever is planned again round it, on invented houses.
#![allow(clippy::unwrap_used)]

use findings::FlagKind;
use geo::{Area, Coord, LineString, Polygon};
use lay::End;
use pipeline::House;
use plan::{Plan, edit};
use proptest::prelude::*;
use startrow_tests::{Dice, house};

/// A house with boards marked up to one of them, by chance, on one or both sides of the start line.
fn part_laid(seed: u64) -> (House, Plan) {
    let dice = &mut Dice::new(seed ^ 0x1a1d);
    let whole = pipeline::run(&house(seed)).unwrap();
    let mut boards = Vec::new();
    for _ in 0..1 + dice.below(2) {
        boards.extend(whole.up_to(dice.below(whole.floor.boards.len())));
    }
    let plan = whole.with_laid(&boards).unwrap();
    (whole, plan)
}

/// All that is said of a board that lies, without the numbers of the lists it stands in.
fn facts(house: &House) -> Vec<String> {
    let floor = &house.floor;
    let mut all: Vec<(usize, String)> = Vec::new();
    for (index, board) in floor.boards.iter().enumerate() {
        let Some(of) = floor.laid.of_board[index] else { continue };
        let stock = &floor.stock[board.stock];
        let piece = stock.pieces.iter().find(|piece| piece.board == index).unwrap();
        let said = format!(
            "{} {:?} {} {} {:?} {:?} {} {} {} {} {:?} {} {}",
            board.label,
            board.outline,
            board.left,
            board.right,
            board.left_end,
            board.right_end,
            board.starts_run,
            board.ends_run,
            board.turned,
            board.from,
            (piece.from, piece.to, piece.strip),
            stock.length,
            stock.pack,
        );
        all.push((of, said));
    }
    all.sort();
    all.into_iter().map(|(_, said)| said).collect()
}

fn area_of(house: &House) -> (f64, f64) {
    let line =
        |ring: &Vec<site::Uv>| -> LineString { ring.iter().map(|p| Coord { x: p.u, y: p.v }).collect() };
    let polygon =
        |b: &lay::Board| Polygon::new(line(&b.outline.outer), b.outline.holes.iter().map(line).collect());
    let shapes: Vec<Polygon> = house.floor.boards.iter().map(polygon).collect();
    (shapes.iter().map(Area::unsigned_area).sum(), geo::unary_union(&shapes).unsigned_area())
}

/// What must hold of the stock of any floor: pieces a saw cut apart, inside their board, each board from one piece.
fn stock_is_honest(house: &House) -> Result<(), String> {
    let (floor, stock) = (&house.floor, &house.plan.stock);
    let mut seen = vec![0; floor.boards.len()];
    for (index, board) in floor.stock.iter().enumerate() {
        if board.pieces.is_empty() {
            return Err(format!("stock {index} is opened for nothing"));
        }
        for strip in [false, true] {
            let mut at = -stock.kerf;
            for piece in board.pieces.iter().filter(|piece| piece.strip == strip) {
                if piece.from < at + stock.kerf - 1e-6 || piece.to > board.length + 1e-6 {
                    return Err(format!("stock {index}: {:?}", board.pieces));
                }
                at = piece.to;
                seen[piece.board] += 1;
                if floor.boards[piece.board].stock != index
                    || piece.to - piece.from < floor.boards[piece.board].length() - 1e-6
                {
                    return Err(format!("{} is not cut from stock {index}", floor.boards[piece.board].label));
                }
            }
        }
    }
    match seen.iter().position(|count| *count != 1) {
        Some(board) => Err(format!("{} is cut {} times", floor.boards[board].label, seen[board])),
        None => Ok(()),
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, failure_persistence: None, ..ProptestConfig::default() })]

    /// Marking moves nothing: outlines, labels and stock are those of the floor that was planned.
    #[test]
    fn marking_moves_nothing(seed in 0_u64..1_000_000) {
        let (whole, plan) = part_laid(seed);
        prop_assert_eq!(plan.problems(), vec![], "house {}", seed);
        let house = pipeline::run(&plan).unwrap();
        let laid = plan.laid.as_ref().unwrap();
        prop_assert_eq!(house.floor.laid.of_board.iter().flatten().count(), laid.boards.len());
        for (index, board) in house.floor.boards.iter().enumerate() {
            if !house.floor.is_laid(index) {
                continue;
            }
            let before = whole.floor.boards.iter().position(|b| b.label == board.label).unwrap();
            let was = &whole.floor.boards[before];
            let (stock, old) = (&house.floor.stock[board.stock], &whole.floor.stock[was.stock]);
            let as_before = lay::Board { stock: was.stock, run: was.run, region: was.region, ..board.clone() };
            prop_assert_eq!(&as_before, was, "house {}", seed);
            prop_assert_eq!((stock.length, stock.pack), (old.length, old.pack));
        }
        prop_assert!(house.floor.laid.misfits.is_empty(), "house {seed}: {:?}", house.floor.laid.misfits);
        prop_assert_eq!(house.setout.chosen.offset, whole.setout.chosen.offset);
    }

    /// Laid and planned boards together tile the region, by geo's union; stock is honest; no kind of fault is new.
    #[test]
    fn the_rest_is_laid_from_there(seed in 0_u64..1_000_000) {
        let (whole, plan) = part_laid(seed);
        let house = pipeline::run(&plan).unwrap();
        let region = house.site.boarded_area();
        let (sum, union) = area_of(&house);
        prop_assert!((sum - region).abs() < 1e-6 * region, "house {seed}: laid {sum} of {region}");
        prop_assert!((union - region).abs() < 1e-5 * region, "house {seed}: covered {union} of {region}");
        prop_assert_eq!(stock_is_honest(&house), Ok(()), "house {}", seed);
        prop_assert!(house.floor.short.is_empty());
        let mut labels: Vec<&str> = house.floor.boards.iter().map(|b| b.label.as_str()).collect();
        labels.sort_unstable();
        labels.dedup();
        prop_assert_eq!(labels.len(), house.floor.boards.len(), "house {}", seed);
        // End-matched boards still meet with ends of the factory's, but where two laid parts are closed up to one another.
        let stock = &house.plan.stock;
        if stock.end_match {
            for joint in &house.floor.joints {
                let (mut left, mut right) = (&house.floor.boards[joint.left], &house.floor.boards[joint.right]);
                if left.turned {
                    (left, right) = (right, left);
                }
                prop_assert_eq!(left.right_end, End::Factory, "house {}: {}", seed, &left.label);
                prop_assert_eq!(right.left_end, End::Factory, "house {}: {}", seed, &right.label);
            }
        }
        for kind in [FlagKind::ShortEnd, FlagKind::JointsClose] {
            let count = |house: &House| house.flags.iter().filter(|f| f.kind == kind).count();
            prop_assert!(count(&house) <= count(&whole) + 2, "house {seed}: {kind:?} {} after {}", count(&house), count(&whole));
        }
    }

    /// Byte for byte the same after any edit elsewhere: seed, effort, rules, walls and things of rooms with nothing laid,
    /// and of those with something laid.
    #[test]
    fn what_is_laid_stays(seed in 0_u64..1_000_000) {
        let (_, plan) = part_laid(seed);
        let before = facts(&pipeline::run(&plan).unwrap());
        let dice = &mut Dice::new(seed);
        let mut plan = plan;
        for step in 0..4 {
            let mut next = plan.clone();
            let room = dice.below(next.rooms.len());
            let wall = dice.below(next.rooms[room].walls.len());
            match dice.below(6) {
                0 => next.seed += 1,
                1 => next.effort = 200,
                2 => drop(edit::move_wall(&mut next, room, wall, dice.mm(-60.0, 60.0))),
                3 => next.rules.least_stagger += 20.0,
                4 => next.stock.ten_boards = Some(next.stock.pitch() * 10.0 + dice.mm(-2.0, 2.0)),
                _ => drop(edit::rename_room(&mut next, room, &format!("Renamed {step}"))),
            }
            let Ok(house) = pipeline::run(&next) else { continue };
            plan = next;
            let now = facts(&house);
            prop_assert_eq!(now.len(), before.len(), "house {} step {}", seed, step);
            for (now, before) in now.iter().zip(&before) {
                prop_assert_eq!(now, before, "house {} step {}", seed, step);
            }
            prop_assert_eq!(stock_is_honest(&house), Ok(()), "house {}", seed);
            // And the file says the same.
            let read = plan::read(&plan::write(&plan)).unwrap();
            prop_assert_eq!(&read, &plan);
        }
    }

    /// Marking all there is leaves nothing to lay, and taking the marks off leaves the plan without them.
    #[test]
    fn all_may_be_laid_and_taken_up(seed in 0_u64..1_000_000) {
        let whole = pipeline::run(&house(seed)).unwrap();
        let all: Vec<usize> = (0..whole.floor.boards.len()).collect();
        let plan = whole.with_laid(&all).unwrap();
        let done = pipeline::run(&plan).unwrap();
        prop_assert_eq!(done.floor.stock.len(), whole.floor.stock.len());
        let labels = |house: &House| {
            let mut all: Vec<String> = house.floor.boards.iter().map(|b| format!("{} {:?}", b.label, b.outline).replace("-0.0 ", "0.0 ")).collect();
            all.sort();
            all
        };
        let (now, before) = (labels(&done), labels(&whole));
        prop_assert_eq!(now.len(), before.len(), "house {}", seed);
        for (now, before) in now.iter().zip(&before) {
            prop_assert_eq!(now, before, "house {}", seed);
        }
        prop_assert_eq!(done.floor.joints.len(), whole.floor.joints.len(), "house {}", seed);
        prop_assert_eq!(stock_is_honest(&done), Ok(()), "house {}", seed);
        let bare = done.without_laid(&(0..done.floor.boards.len()).collect::<Vec<_>>());
        prop_assert_eq!(bare.laid, None);
    }
}

#[test]
fn debug_one() {
    let whole = pipeline::run(&house(940975)).unwrap();
    let all: Vec<usize> = (0..whole.floor.boards.len()).collect();
    let plan = whole.with_laid(&all).unwrap();
    let done = pipeline::run(&plan).unwrap();
    for (i, b) in done.floor.boards.iter().enumerate() {
        if !done.floor.is_laid(i) {
            println!("NEW {} row {} {:?}", b.label, b.row, b.outline);
            for (j, c) in done.floor.boards.iter().enumerate() {
                if c.row == b.row {
                    println!("   {} {} {} {:?}", j, c.label, done.floor.is_laid(j), c.outline.outer);
                }
            }
        }
    }
    println!("{:?}", done.floor.laid.misfits);
}
