//! Short boards among the others: how many of the shortest length lie end to end, read from the boards alone. That lengths are
//! mixed along a row is common practice, no source; that two may lie end to end is ours.
#![allow(clippy::unwrap_used)]

use pipeline::House;
use plan::{BoardLength, Doorway, Lining, Plan, Point, Room, Stock};
use proptest::prelude::*;
use startrow_tests::{cases, house};

/// The most boards of the shortest length end to end in each run that has any.
fn together(house: &House) -> Vec<usize> {
    let lengths = house.plan.stock.lengths.iter().map(|length| length.length);
    let shortest = lengths.fold(f64::INFINITY, f64::min);
    let runs = house.floor.runs.iter().map(|run| {
        let boards = &house.floor.boards[run.boards.clone()];
        // What lies side by side beside a wall along the row is one board's length of it.
        let mut all: Vec<(f64, f64)> = boards.iter().map(|board| (board.left, board.right)).collect();
        all.sort_by(|a, b| a.partial_cmp(b).unwrap());
        all.dedup_by(|a, b| (a.0 - b.0).abs() < 0.01 && (a.1 - b.1).abs() < 0.01);
        let mut most = 0;
        for (first, board) in all.iter().enumerate() {
            let (mut count, mut at) = (0, board.0);
            for (left, right) in &all[first..] {
                if (left - at).abs() > 0.01 || (right - left - shortest).abs() > 0.05 {
                    break;
                }
                (count, at) = (count + 1, *right);
            }
            most = most.max(count);
        }
        most
    });
    runs.filter(|most| *most > 0).collect()
}

fn packs(lengths: &[(f64, u32)]) -> Vec<BoardLength> {
    lengths.iter().map(|(length, per_pack)| BoardLength { length: *length, per_pack: *per_pack }).collect()
}

/// An invented flat: a hall along two bedrooms, open at its end to a living room, so that its rows run on for some 12 m.
fn flat(seed: u64) -> Plan {
    let mut plan = Plan::new("flat");
    plan.seed = seed;
    plan.stock = Stock { face_width: 189.0, lengths: packs(&[(2100.0, 5), (1050.0, 1)]), ..Stock::default() };
    let room = |name: &str, [x, y, w, h]: [f64; 4]| {
        Room::boarded(name, [(x, y), (x + w, y), (x + w, y + h), (x, y + h)].map(|(x, y)| Point::new(x, y)))
    };
    plan.rooms.push(room("Hall", [0.0, 0.0, 7300.0, 1100.0]));
    plan.rooms.push(room("Bed 1", [0.0, 1200.0, 3600.0, 3500.0]));
    plan.rooms.push(room("Bed 2", [3700.0, 1200.0, 3600.0, 3500.0]));
    plan.rooms.push(room("Living", [7400.0, -3200.0, 5000.0, 7900.0]));
    let door = |name: &str, wall, at, width| Doorway {
        wall_thickness: 100.0,
        lining: Lining::ToCome,
        ..Doorway::plain(name.to_owned(), "Hall", wall, at, width)
    };
    plan.doorways = vec![
        door("Bed 1 door", 2, 4600.0, 800.0),
        door("Bed 2 door", 2, 900.0, 800.0),
        door("Living opening", 1, 100.0, 900.0),
    ];
    plan
}

/// Laid at once, some seeds, and searched: in twelve metres of row no third short board lies end to end with two others, though
/// one board of six is short. No packs are opened for it beyond those that the wood fills, by arithmetic: boards opened over
/// what a pack holds, and one.
#[test]
fn a_long_row_is_laid_of_mixed_lengths() {
    for (seed, effort) in (0..8).map(|seed| (seed, 0)).chain([(0, 2000), (1, 2000)]) {
        let house = pipeline::run(&Plan { effort, ..flat(seed) }).unwrap();
        let longest = house.floor.runs.iter().map(|run| run.right - run.left).fold(0.0, f64::max);
        assert!(longest > 12_000.0, "{longest}");
        let rows = together(&house);
        assert!(rows.iter().all(|count| *count <= 2), "seed {seed}, {effort} moves: {rows:?}");
        assert!(rows.len() > 10, "short boards are laid: {rows:?}");
        assert!(house.flags.iter().all(|flag| flag.kind != findings::FlagKind::ShortBoards));
        let filled = house.order.opened as f64 / 6.0;
        assert!(
            f64::from(house.order.packs) <= filled.ceil() + 2.0,
            "{} packs for {filled}",
            house.order.packs
        );
    }
}

/// Lays an invented house of some mixture, searched for a little while.
fn has_no_rows_of_short_boards(seed: u64, mixture: usize) {
    let mut plan = house(seed);
    let longest = plan.stock.longest();
    match mixture {
        0 => {}
        1 => plan.stock.lengths = packs(&[(longest, 5), (longest / 2.0, 1)]),
        2 => plan.stock.lengths = packs(&[(longest, 4), (1100.0, 2)]),
        _ => plan.stock.lengths = packs(&[(longest, 3), (1100.0, 3)]),
    }
    plan.effort = 2000;
    let house = pipeline::run(&plan).unwrap();
    let rows = together(&house);
    let most = rows.iter().copied().max().unwrap_or(0);
    assert!(most <= 2, "house {seed}, mixture {mixture}: {rows:?}");
    assert!(house.flags.iter().all(|flag| flag.kind != findings::FlagKind::ShortBoards));
    assert_eq!(findings::look(&plan, &house.floor).short_boards, Some(most), "house {seed}");
}

/// Houses on which a floor with a third short board end to end opens a board or two, or a pack, fewer.
#[test]
fn no_board_is_saved_by_a_row_of_short_boards() {
    for (seed, mixture) in [(673_998, 3), (384_522, 3), (980_021, 1), (11_227, 3), (425_883, 3)] {
        has_no_rows_of_short_boards(seed, mixture);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: cases(12), failure_persistence: None, ..ProptestConfig::default() })]

    /// Of any mixture in which no more than half of the boards are short, a searched floor has no third short board end to end with
    /// two others, nothing says so, and the figure of the look is what the boards alone give.
    #[test]
    fn a_searched_floor_has_no_rows_of_short_boards(seed in 0_u64..1_000_000, mixture in 0_usize..4) {
        has_no_rows_of_short_boards(seed, mixture);
    }

    /// Laid at once a floor may have some; each has its flag.
    #[test]
    fn rows_of_short_boards_are_flagged(seed in 0_u64..1_000_000) {
        let mut plan = house(seed);
        plan.stock.lengths = packs(&[(2200.0, 1), (1100.0, 2)]);
        let house = pipeline::run(&plan).unwrap();
        let mut rows = together(&house);
        rows.sort_unstable_by(|a, b| b.cmp(a));
        let flags = house.flags.iter().filter(|flag| flag.kind == findings::FlagKind::ShortBoards);
        let figures: Vec<f64> = flags.map(|flag| flag.figure).collect();
        let most = rows.first().copied().unwrap_or(0);
        prop_assert_eq!(findings::look(&plan, &house.floor).short_boards, Some(most), "house {}", seed);
        let over = rows.iter().filter(|count| **count > 2).count();
        prop_assert!(figures.len() >= over, "house {seed}: {figures:?} for {rows:?}");
        prop_assert!(figures.iter().all(|figure| *figure > 2.0 && *figure <= most as f64));
    }
}

/// Every row of a room is laid as far as a pair of short boards, from the left or from the right; what is left is laid anew by another
/// seed. No short board goes on from a pair that lies, wherever the worker stands.
#[test]
fn short_boards_that_lie_are_counted_in() {
    let mut plan = flat(3);
    plan.doorways.clear();
    plan.rooms.truncate(1);
    plan.rooms[0].walls[2].corner.y = 4000.0;
    plan.rooms[0].walls[3].corner.y = 4000.0;
    plan.stock.lengths = packs(&[(2100.0, 2), (1050.0, 2)]);
    let whole = pipeline::run(&plan).unwrap();
    let is_short = |board: usize| {
        let board = &whole.floor.boards[board];
        (board.right - board.left - 1050.0).abs() < 0.05
    };
    for from_left in [true, false] {
        let mut lying = Vec::new();
        let mut pairs = 0;
        for run in &whole.floor.runs {
            let boards: Vec<usize> = match from_left {
                true => run.boards.clone().collect(),
                false => run.boards.clone().rev().collect(),
            };
            let pair = boards.windows(2).position(|pair| pair.iter().all(|board| is_short(*board)));
            if let Some(pair) = pair.filter(|pair| pair + 3 < boards.len()) {
                lying.extend(&boards[..pair + 2]);
                pairs += 1;
            }
        }
        assert!(pairs > 5, "{pairs}");
        let marked = whole.with_laid(&lying).unwrap();
        for (seed, effort) in [(11, 0), (12, 0), (11, 1000)] {
            let house = pipeline::run(&Plan { seed, effort, ..marked.clone() }).unwrap();
            let rows = together(&house);
            assert!(rows.iter().all(|count| *count <= 2), "from the left {from_left}, {seed}: {rows:?}");
        }
    }
}
