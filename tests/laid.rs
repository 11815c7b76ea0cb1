//! What is laid stays as it lies, whatever is planned again round it, on invented houses.
#![allow(clippy::unwrap_used)]

use findings::FlagKind;
use geo::{Area, Coord, LineString, Polygon};
use lay::End;
use pipeline::House;
use plan::{Plan, edit};
use proptest::prelude::*;
use startrow_tests::{Dice, cases, house};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Arc, Mutex};

/// A house as it was planned, with boards marked up to one of them, and that plan computed.
struct PartLaid {
    whole: House,
    plan: Plan,
    house: House,
}

/// The house of a seed, computed once for all that is asked of it: the properties below try the same seeds.
fn part_laid(seed: u64) -> Arc<PartLaid> {
    static COMPUTED: Mutex<BTreeMap<u64, Arc<PartLaid>>> = Mutex::new(BTreeMap::new());
    if let Some(found) = COMPUTED.lock().unwrap().get(&seed) {
        return found.clone();
    }
    let (whole, plan) = marked(seed);
    let house = pipeline::run(&plan).unwrap();
    let computed = Arc::new(PartLaid { whole, plan, house });
    COMPUTED.lock().unwrap().insert(seed, computed.clone());
    computed
}

/// A house with boards marked up to one of them, by chance, on one or both sides of the start line.
fn marked(seed: u64) -> (House, Plan) {
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
            (piece.from, piece.to, piece.shift, piece.right_shift, piece.strip),
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
    stock_is_honest_but(house, false)
}

/// The same where a laid board may be drawn longer than its piece: at a wall on the slant a row line moves along it.
fn stock_is_honest_but(house: &House, laid_may_be_longer: bool) -> Result<(), String> {
    let (floor, stock) = (&house.floor, &house.plan.stock);
    let mut seen = vec![0; floor.boards.len()];
    for (index, board) in floor.stock.iter().enumerate() {
        if board.pieces.is_empty() {
            return Err(format!("stock {index} is opened for nothing"));
        }
        for strip in [false, true] {
            // Where the piece before ends along the groove and the tongue edge: slanting ends lie into one another.
            let mut at = [-stock.kerf; 2];
            for piece in board.pieces.iter().filter(|piece| piece.strip == strip) {
                let begins = [piece.from, piece.from + piece.shift];
                let is_apart = (0..2).all(|edge| begins[edge] >= at[edge] + stock.kerf - 1e-6);
                let (begin, end) = piece.reach();
                if !is_apart || begin < -1e-6 || end > board.length + 1e-6 {
                    return Err(format!("stock {index}: {:?}", board.pieces));
                }
                at = [piece.to, piece.to + piece.right_shift];
                seen[piece.board] += 1;
                if floor.boards[piece.board].stock != index
                    || (end - begin < floor.boards[piece.board].length() - 1e-6
                        && !(laid_may_be_longer && floor.is_laid(piece.board)))
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
    #![proptest_config(ProptestConfig { cases: cases(48), failure_persistence: None, ..ProptestConfig::default() })]

    /// Marking moves nothing: outlines, labels and stock are those of the floor that was planned.
    #[test]
    fn marking_moves_nothing(seed in 0_u64..1_000_000) {
        marking(seed)?;
    }

    /// Laid and planned boards together tile the region, by geo's union; stock is honest; no kind of fault is new.
    #[test]
    fn the_rest_is_laid_from_there(seed in 0_u64..1_000_000) {
        laying_on(seed)?;
    }

    /// Byte for byte the same after any edit elsewhere: seed, effort, rules, walls and things of rooms with nothing laid,
    /// and of those with something laid.
    #[test]
    fn what_is_laid_stays(seed in 0_u64..1_000_000) {
        edits(seed)?;
    }

    /// Marking all there is leaves nothing to lay, and taking the marks off leaves the plan without them.
    #[test]
    fn all_may_be_laid_and_taken_up(seed in 0_u64..1_000_000) {
        all_laid(seed)?;
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: cases(32), failure_persistence: None, ..ProptestConfig::default() })]

    /// Measured rows lie where they measure; laid and planned boards still tile the region, and nothing laid changes but
    /// the sides on row lines. Marking what comes next moves nothing either.
    #[test]
    fn measured_rows_move_the_rest(seed in 0_u64..1_000_000) {
        measured_rows(seed)?;
    }
}

/// Houses that were hard to lay on: rows of one measure run through legs a few millimetres wide, stop short of what lies,
/// or leave a wall where a row line was planned; they leave a strip less room than it has (544407) or a film beside a wall
/// that hardly leaves the line (533085), come past where a leg's sides meet (652814), past the end of the wall along them
/// (96028), out of the tip of a room (79745) or down beside a jamb (689953). In 211104 a corner stands a hair off a row line.
#[test]
fn hard_houses_hold() {
    let seeds = [
        459_579, 71_038, 179_251, 166_076, 509_257, 544_407, 533_085, 652_814, 96_028, 689_953, 211_104,
        79_745,
    ];
    for seed in seeds {
        for hold in [marking, laying_on, edits, all_laid, measured_rows] {
            hold(seed).unwrap();
        }
    }
}

fn marking(seed: u64) -> Result<(), TestCaseError> {
    let of = part_laid(seed);
    let PartLaid { whole, plan, house } = &*of;
    prop_assert_eq!(plan.problems(), vec![], "house {}", seed);
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
    Ok(())
}

fn laying_on(seed: u64) -> Result<(), TestCaseError> {
    let of = part_laid(seed);
    let PartLaid { whole, house, .. } = &*of;
    let region = house.site.boarded_area();
    let (sum, union) = area_of(house);
    prop_assert!((sum - region).abs() < 1e-6 * region, "house {seed}: laid {sum} of {region}");
    prop_assert!((union - region).abs() < 1e-5 * region, "house {seed}: covered {union} of {region}");
    prop_assert_eq!(stock_is_honest(house), Ok(()), "house {}", seed);
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
        prop_assert!(
            count(house) <= count(whole) + 2,
            "house {seed}: {kind:?} {} after {}",
            count(house),
            count(whole)
        );
    }
    Ok(())
}

fn edits(seed: u64) -> Result<(), TestCaseError> {
    let of = part_laid(seed);
    let before = facts(&of.house);
    let dice = &mut Dice::new(seed);
    let mut plan = of.plan.clone();
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
    Ok(())
}

fn all_laid(seed: u64) -> Result<(), TestCaseError> {
    let of = part_laid(seed);
    let whole = &of.whole;
    let all: Vec<usize> = (0..whole.floor.boards.len()).collect();
    let plan = whole.with_laid(&all).unwrap();
    let done = pipeline::run(&plan).unwrap();
    prop_assert_eq!(done.floor.stock.len(), whole.floor.stock.len());
    let labels = |house: &House| {
        let mut all: Vec<String> = house
            .floor
            .boards
            .iter()
            .map(|b| format!("{} {:?}", b.label, b.outline).replace("-0.0 ", "0.0 "))
            .collect();
        all.sort();
        all
    };
    let (now, before) = (labels(&done), labels(whole));
    prop_assert_eq!(now.len(), before.len(), "house {}", seed);
    for (now, before) in now.iter().zip(&before) {
        prop_assert_eq!(now, before, "house {}", seed);
    }
    prop_assert_eq!(done.floor.joints.len(), whole.floor.joints.len(), "house {}", seed);
    prop_assert_eq!(stock_is_honest(&done), Ok(()), "house {}", seed);
    let bare = done.without_laid(&(0..done.floor.boards.len()).collect::<Vec<_>>());
    prop_assert_eq!(bare.laid, None);
    Ok(())
}

fn measured_rows(seed: u64) -> Result<(), TestCaseError> {
    let of = part_laid(seed);
    let PartLaid { plan, house, .. } = &*of;
    let dice = &mut Dice::new(seed);
    let laid = plan.laid.as_ref().unwrap();
    // Of the parts in one room the one with the most boards is meant.
    let size = |part: usize| laid.boards.iter().filter(|b| b.part == part).count();
    let part = (0..laid.parts.len()).rev().max_by_key(|part| size(*part)).unwrap();
    let rows: Vec<i32> = laid.boards.iter().filter(|b| b.part == part).map(|b| b.row).collect();
    let (first, last) = (rows.iter().min().unwrap(), rows.iter().max().unwrap());
    let count = f64::from(last - first + 1);
    // Up to 0.4 mm a row: what boards of one batch come to.
    let across = ((laid.pitch + dice.between(-0.4, 0.4)) * count * 10.0).round() / 10.0;
    let room = laid.parts[part].room.clone();
    let numbers = (house.floor.row_number(*first), house.floor.row_number(*last));
    let plan = house.with_pull(Some(&room), numbers, across).unwrap();
    prop_assert_eq!(plan.problems(), vec![]);
    let house = pipeline::run(&plan).unwrap();
    let floor = &house.floor;
    let of = plan.laid.as_ref().unwrap();
    let is_of = |b: &Option<usize>| b.is_some_and(|b| of.boards[b].part == part);
    let region = floor.boards[floor.laid.of_board.iter().position(is_of).unwrap()].region;
    let reach = floor.row_low(region, last + 1) - floor.row_low(region, *first);
    prop_assert!((reach - across).abs() < 1e-6, "house {seed}: {reach} for {across}");
    // A strip or a notch's side may lie where a row line now runs, by no more than the rows have moved.
    let most = 0.4 * count + 0.5;
    prop_assert!(floor.laid.misfits.iter().all(|m| m.over < most), "house {seed}: {:?}", floor.laid.misfits);
    let whole = house.site.boarded_area();
    let (sum, union) = area_of(&house);
    // A strip that the measured rows have no room for keeps its shape.
    prop_assert!(
        (sum - union).abs() < 3e-3 * whole,
        "house {seed}: boards lie over one another: {sum} {union} of {whole}"
    );
    // What the gap's play leaves beside rips that lie is bare, and no more.
    prop_assert!((union - whole).abs() < 2e-3 * whole, "house {seed}: covered {union} of {whole}");
    prop_assert_eq!(stock_is_honest_but(&house, true), Ok(()), "house {}", seed);
    // Rows away from the line: those between it and what lies are nobody's.
    let away = [(last + 1, last + 2), (first - 1, *first)]
        .into_iter()
        .filter(|(row, _)| *row > *last || *first <= 0);
    for (row, next) in away.filter(|(row, _)| *row < *first || *last >= -1) {
        let height = floor.row_low(region, next) - floor.row_low(region, row);
        prop_assert!((height - across / count).abs() < 1e-6, "house {seed}: rows to come as measured");
    }
    // The next board is marked: everything laid stays, to a hair.
    let next = floor.boards.iter().enumerate().position(|(i, b)| !floor.is_laid(i) && b.region == region);
    if let Some(next) = next {
        let more = pipeline::run(&house.with_laid(&[next]).unwrap()).unwrap();
        for (index, board) in floor.boards.iter().enumerate().filter(|(i, _)| floor.is_laid(*i) || *i == next)
        {
            let after = more.floor.boards.iter().find(|b| b.label == board.label).unwrap();
            let far = board.outline.outer.iter().zip(&after.outline.outer);
            let off = far.map(|(a, b)| (a.u - b.u).abs().max((a.v - b.v).abs())).fold(0.0, f64::max);
            prop_assert!(off < 1e-6, "house {seed}: {} moved by {off} ({index})", board.label);
        }
    }
    Ok(())
}

/// A room 5 m by 3 m, boards of 190, the first three rows above the line laid.
fn three_rows() -> House {
    begun(3)
}

/// The same with so many rows laid.
fn begun(rows: i32) -> House {
    let mut plan = Plan::new("Box");
    let corners = [(0.0, 0.0), (5000.0, 0.0), (5000.0, 3000.0), (0.0, 3000.0)].map(plan::Point::from);
    plan.rooms.push(plan::Room::boarded("Box", corners));
    let house = pipeline::run(&plan).unwrap();
    let rows = house.floor.row_number(0)..=house.floor.row_number(rows - 1);
    pipeline::run(&house.with_laid(&house.boards_of_rows(rows, None).unwrap()).unwrap()).unwrap()
}

/// The longest offcut in hand starts or ends a run to come; struck as gone, it does not.
#[test]
fn offcuts_in_hand_are_used() {
    let in_hand = |house: &House| -> Vec<usize> {
        let stock = &house.plan.laid.as_ref().unwrap().stock;
        (0..stock.len()).filter(|i| stock[*i].rest.is_some()).collect()
    };
    let house = (1..8).map(begun).find(|house| in_hand(house).len() > 1).unwrap();
    let (laid, in_hand) = (house.plan.laid.clone().unwrap(), in_hand(&house));
    let uses = |house: &House, stock: usize| {
        house.floor.stock[stock].pieces.iter().any(|piece| !house.floor.is_laid(piece.board))
    };
    let used: Vec<usize> = in_hand.iter().copied().filter(|stock| uses(&house, *stock)).collect();
    assert!(!used.is_empty(), "of {in_hand:?}");
    let mut plan = house.plan.clone();
    plan.laid.as_mut().unwrap().stock[used[0]].rest = None;
    let without = pipeline::run(&plan).unwrap();
    assert!(!uses(&without, used[0]));
    assert_eq!(without.floor.laid.opened, laid.stock.len());
    // Pieces cut from what is in hand lie in the stretch that is.
    let piece = house.floor.stock[used[0]].pieces.iter().find(|p| !house.floor.is_laid(p.board)).unwrap();
    let (from, to) = laid.stock[used[0]].rest.unwrap();
    assert!(from - 1e-6 <= piece.from && piece.to <= to + 1e-6, "{piece:?} of {from} to {to}");
}

/// A wall drawn 25 further in lies 25 under the boards that lie there; drawn 40 further out it leaves 40 bare beside
/// them, less nothing: the gap is the same.
#[test]
fn a_wall_moved_under_laid_boards_is_said() {
    let house = three_rows();
    let of = |house: &House, kind| -> Vec<f64> {
        house.flags.iter().filter(|flag| flag.kind == kind).map(|flag| flag.figure).collect()
    };
    let moved = |by: f64| {
        let mut plan = house.plan.clone();
        edit::move_wall(&mut plan, 0, 1, by).unwrap();
        pipeline::run(&plan).unwrap()
    };
    let inwards = moved(-25.0);
    let over = of(&inwards, FlagKind::LaidOver);
    assert!(over.len() == 3 && over.iter().all(|mm| (mm - 25.0).abs() < 1e-6), "{over:?}");
    let outwards = moved(40.0);
    let bare = of(&outwards, FlagKind::LaidBare);
    assert!(bare.len() == 3 && bare.iter().all(|mm| (mm - 40.0).abs() < 1e-6), "{bare:?}");
    for house in [inwards, outwards] {
        assert!(
            house.flags.iter().all(|flag| flag.severity == findings::Severity::Look),
            "{:#?}",
            house.flags
        );
    }
    // A metre further out the rows go on from the boards that lie.
    let far = moved(1000.0);
    assert_eq!(of(&far, FlagKind::LaidBare), Vec::<f64>::new());
    let (sum, _) = area_of(&far);
    assert!((sum - far.site.boarded_area()).abs() < 1.0);
}

/// A joint of a row to come keeps the stagger from joints that lie, measured here from the joints alone.
#[test]
fn laid_joints_are_kept_clear_of() {
    let house = three_rows();
    let floor = &house.floor;
    let is_laid = |joint: &lay::Joint| floor.is_laid(joint.left) && floor.is_laid(joint.right);
    let lying: Vec<_> = floor.joints.iter().filter(|joint| is_laid(joint) && joint.row == 2).collect();
    let coming: Vec<_> = floor.joints.iter().filter(|joint| joint.row == 3).collect();
    assert!(!lying.is_empty() && !coming.is_empty());
    for a in &lying {
        for b in &coming {
            assert!((a.u - b.u).abs() >= house.plan.rules.least_stagger - 1e-6, "{} and {}", a.u, b.u);
        }
    }
}

/// Row lines at 10, 200, … An island's front leaves a rip of 80 in the row before it, whose strip is 190 − 80 − 3 = 107
/// wide and keeps the tongue; behind it rows begin again with rips of 100 that want the tongue. Once the rows in front
/// lie, their strips are in hand: rips behind the island are cut from them, until they are struck out.
#[test]
fn strips_beside_rips_that_lie_are_in_hand() {
    let corners = [(0.0, 0.0), (6000.0, 0.0), (6000.0, 3040.0), (0.0, 3040.0)];
    let mut plan = Plan::new("strips");
    plan.rooms.push(plan::Room::boarded("Room", corners.map(|(x, y)| plan::Point::new(x, y)).to_vec()));
    plan.start_line = plan::StartLine::At(10.0);
    let (front, back) = (10.0 + 3.0 * 190.0 + 80.0 + 10.0, 10.0 + 9.0 * 190.0 - 100.0 - 10.0);
    plan.fixtures.push(plan::Fixture::plain(
        "Island",
        plan::FixtureKind::Island,
        [(1000.0, front), (5000.0, front), (5000.0, back), (1000.0, back)]
            .map(|(x, y)| plan::Point::new(x, y))
            .to_vec(),
    ));
    let whole = pipeline::run(&plan).unwrap();
    let lies = |board: &lay::Board| whole.floor.row_low(board.region, board.row) < 3.5 * 190.0;
    let in_front: Vec<usize> =
        (0..whole.floor.boards.len()).filter(|i| lies(&whole.floor.boards[*i])).collect();
    let marked = whole.with_laid(&in_front).unwrap();
    // With another stagger the rest is laid anew; as it was planned it has the boards it was planned from.
    let mut used = 0;
    for (seed, effort) in [(1, 0), (2, 0), (3, 0), (4, 0), (2, 4000), (3, 4000)] {
        let mut plan = Plan { effort, seed, ..marked.clone() };
        let house = pipeline::run(&plan).unwrap();
        stock_is_honest(&house).unwrap();
        let strips = house.strips_in_hand();
        assert!(!strips.is_empty());
        used += strips.iter().filter(|(_, boards)| !boards.is_empty()).count();
        for (strip, boards) in &strips {
            for board in boards.iter().map(|board| &house.floor.boards[*board]) {
                assert!(board.width <= strip.width + 0.1 && !strip.keeps_groove, "{}", board.label);
                assert_eq!(board.stock, strip.stock);
            }
        }
        let with = house.order.to_open();
        plan.laid.as_mut().unwrap().boards.iter_mut().for_each(|board| board.strip_gone = true);
        let without = pipeline::run(&plan).unwrap();
        stock_is_honest(&without).unwrap();
        assert!(without.strips_in_hand().is_empty() && without.order.to_open() >= with);
        let of_laid =
            without.floor.stock.iter().take(without.floor.laid.opened).flat_map(|stock| &stock.pieces);
        assert!(of_laid.into_iter().all(|piece| !piece.strip || without.floor.is_laid(piece.board)));
    }
    assert!(used > 0, "none of them is used");
}

/// Where end joints stand: region, row and place along it, to a hundredth.
fn joints_of(house: &House) -> Vec<(usize, i32, i64)> {
    let place = |j: &lay::Joint| (house.floor.boards[j.left].region, j.row, (j.u * 100.0).round() as i64);
    let mut all: Vec<_> = house.floor.joints.iter().map(place).collect();
    all.sort_unstable();
    all
}

/// What is marked is marked row by row; the boards for the next rows are cut by then. So joints still to come stay where
/// they were planned, boards keep their lengths, and no pack more is opened: in a plain room always, in invented houses
/// unless the floor as planned cannot be had any more, which is seldom.
#[test]
fn joints_to_come_stay_where_they_were_planned() {
    let mut plan = Plan::new("stay");
    let corners = [(0.0, 0.0), (7000.0, 0.0), (7000.0, 4000.0), (0.0, 4000.0)];
    plan.rooms.push(plan::Room::boarded("Room", corners.map(|(x, y)| plan::Point::new(x, y)).to_vec()));
    for effort in [0, 2000] {
        plan.effort = effort;
        let whole = pipeline::run(&plan).unwrap();
        let mut house = whole.clone();
        for board in [3, 9, 20, 40] {
            house = pipeline::run(&house.with_laid(&house.up_to(board)).unwrap()).unwrap();
            assert_eq!(joints_of(&house), joints_of(&whole), "up to {board}, effort {effort}");
            assert!(house.order.packs <= whole.order.packs);
            stock_is_honest(&house).unwrap();
        }
    }
    let moved: Vec<u64> = (0..60)
        .filter(|seed| {
            let of = part_laid(*seed);
            joints_of(&of.house) != joints_of(&of.whole)
        })
        .collect();
    assert!(moved.len() <= 3, "{} of 60 are laid anew: {moved:?}", moved.len());
}

/// A house in two stages of which rows lie: the packs that these were cut from stand open, and nobody carries them in again.
/// Counted from the stock alone.
#[test]
fn stages_carry_in_what_is_not_open() {
    let mut told = 0;
    for seed in 0..12 {
        let (whole, mut plan) = marked(seed);
        let rooms: Vec<String> =
            plan.rooms.iter().filter(|room| room.is_boarded()).map(|room| room.name.clone()).collect();
        let (first, rest) = rooms.split_at(1);
        let stage = |name: &str, rooms: &[String], day: u32| plan::Stage {
            name: name.into(),
            rooms: rooms.to_vec(),
            day,
            hours: None,
        };
        plan.stages = vec![stage("First", first, 1)];
        plan.stages.extend((!rest.is_empty()).then(|| stage("Rest", rest, 4)));
        let house = pipeline::run(&plan).unwrap();
        let (open, to_open) = house.floor.stock.split_at(house.floor.laid.opened);
        let numbers = |of: &[lay::StockBoard]| -> BTreeSet<usize> { of.iter().map(|b| b.pack + 1).collect() };
        let stages = house.stages().stages;
        let carried: Vec<usize> = stages.iter().flat_map(|part| part.pack_numbers.clone()).collect();
        let expected: BTreeSet<usize> = numbers(to_open).difference(&numbers(open)).copied().collect();
        assert_eq!(carried.len(), expected.len(), "{seed}: a pack is carried in twice");
        assert_eq!(carried.iter().copied().collect::<BTreeSet<_>>(), expected, "{seed}");
        let boards: usize = stages.iter().flat_map(|part| &part.opened).map(|(_, count)| count).sum();
        assert_eq!(boards, to_open.len(), "{seed}");
        told += usize::from(!expected.is_empty() && expected.len() < numbers(&whole.floor.stock).len());
    }
    assert!(told > 6, "{told}");
}
