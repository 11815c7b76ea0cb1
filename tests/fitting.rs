//! The order of laying and the ways in, by putting boards down one by one: a check that knows only outlines.
//!
//! What it holds is arithmetic on outlines: a board that goes in finds down what lies at its groove edge and its left
//! end, and nothing yet at its tongue edge and its right end. Common practice, no source: rows away from the start
//! line, each from the worker's left.

use fit::{Sequence, Start};
use lay::{Board, Floor};
use pipeline::House;
use plan::{
    Beyond, BoardLength, Border, Corners, Doorway, Fixture, FixtureKind, Leaf, Lock, Pattern, Plan, Point,
    Room, Side, StartLine,
};
use proptest::prelude::*;
use site::Uv;
use startrow_tests::cases;

/// Sides of two boards this close lie on one another, mm.
const ON: f64 = 0.2;
/// Boards that share less than this touch at a corner only, mm.
const TOUCH: f64 = 1.0;

/// A stretch that two boards share: the other one, its length, and which way it lies.
struct Beside {
    other: usize,
    length: f64,
    /// Towards the board's own right, and towards its tongue edge.
    right: f64,
    tongue: f64,
    /// Towards greater u, forwards along a pattern's axis.
    forwards: f64,
}

/// What lies beside a board, by going through all boards and all their sides.
fn beside(floor: &Floor, index: usize) -> Vec<Beside> {
    let board = &floor.boards[index];
    let mut found = Vec::new();
    for (other, its) in floor.boards.iter().enumerate() {
        if other != index && its.region == board.region {
            for (a, b) in sides(board) {
                for (c, d) in sides(its) {
                    let length = shared((a, b), (c, d));
                    if length > TOUCH {
                        // Rings run with the wood to their left.
                        let (out_u, out_v) = (b.v - a.v, a.u - b.u);
                        let size = (out_u * out_u + out_v * out_v).sqrt();
                        let half = if board.turned { -1.0 } else { 1.0 } / size;
                        let d = board.along;
                        found.push(Beside {
                            other,
                            length,
                            right: half * (out_u * d.u + out_v * d.v),
                            tongue: half * (out_v * d.u - out_u * d.v),
                            forwards: out_u / size,
                        });
                    }
                }
            }
        }
    }
    found
}

fn sides(board: &Board) -> Vec<(Uv, Uv)> {
    let rings = board.outline.rings();
    rings.flat_map(|ring| (0..ring.len()).map(|i| (ring[i], ring[(i + 1) % ring.len()]))).collect()
}

/// How much of two sides lies on one another. Both run with the wood to their left, so boards that meet have them run
/// against one another; of two that run the same way, one has a hair of its own wood before the other.
fn shared((a, b): (Uv, Uv), (c, d): (Uv, Uv)) -> f64 {
    let (along_u, along_v) = (b.u - a.u, b.v - a.v);
    let length = (along_u * along_u + along_v * along_v).sqrt();
    if length < TOUCH {
        return 0.0;
    }
    let (du, dv) = (along_u / length, along_v / length);
    let place = |p: Uv| ((p.u - a.u) * du + (p.v - a.v) * dv, ((p.u - a.u) * dv - (p.v - a.v) * du).abs());
    let ((s, off), (t, other_off)) = (place(c), place(d));
    if off > ON || other_off > ON || s < t {
        return 0.0;
    }
    s.min(length) - t.max(0.0)
}

/// What is wrong with an order, board by board.
fn faults(house: &House, order: &[usize]) -> Vec<String> {
    let floor = &house.floor;
    let stages = house.stage_shares().of_board;
    let turn = |board: usize| stages.get(board).map_or(0, |stage| stage.unwrap_or(usize::MAX));
    let mut down = vec![false; floor.boards.len()];
    let mut found = Vec::new();
    for index in order {
        let board = &floor.boards[*index];
        if std::mem::replace(&mut down[*index], true) {
            found.push(format!("{} is laid twice", board.label));
        }
        for near in beside(floor, *index) {
            let other = &floor.boards[near.other];
            let (what, must_be_down) = match (board.in_border, other.in_border) {
                // The border comes last.
                (true, false) => ("field", true),
                (false, true) => ("border", false),
                // Its tongues point to the field; at corners either may come first.
                (true, true) => match (near.right, near.tongue) {
                    _ if (board.along.u * other.along.u + board.along.v * other.along.v).abs() < 0.9 => {
                        continue;
                    }
                    (_, tongue) if tongue.abs() > 0.7 => ("long edge", tongue > 0.0),
                    (right, _) => ("end", right < 0.0),
                },
                // Blocks go forwards along their axis; across it, at a head joint, either may come first.
                _ if board.is_block() => match near.forwards {
                    forwards if forwards.abs() < 0.1 => continue,
                    forwards => ("side", forwards < 0.0),
                },
                _ => match (near.right, near.tongue) {
                    // Along the start line the row above it comes first, and finds nothing.
                    // Groove to groove, where a room is laid back, either may come first.
                    (_, tongue) if tongue < -0.7 && board.turned != other.turned && board.row > 0 => continue,
                    (_, tongue) if tongue < -0.7 => ("groove edge", board.row != 0),
                    (_, tongue) if tongue > 0.7 => ("tongue edge", false),
                    (right, _) if right < 0.0 => ("left end", true),
                    _ => ("right end", false),
                },
            };
            // Of another stage all is down before, or nothing yet, whichever side it lies at.
            let must_be_down = match turn(near.other).cmp(&turn(*index)) {
                std::cmp::Ordering::Equal => must_be_down,
                other => other.is_lt(),
            };
            if down[near.other] != must_be_down {
                let is = if must_be_down { "is not down" } else { "is down already" };
                found.push(format!("{}: {} at its {what} {is}", board.label, other.label));
            }
        }
    }
    let missing = floor.boards.iter().zip(&down).filter(|(_, down)| !**down);
    found.extend(missing.map(|(board, _)| format!("{} is not laid", board.label)));
    found
}

fn order(sequence: &Sequence) -> Vec<usize> {
    sequence.boards().collect()
}

fn check(house: &House) {
    let order = order(&house.sequence());
    let found = faults(house, &order);
    assert!(found.is_empty(), "{}: {found:?}", house.plan.name);
}

fn sample(name: &str) -> House {
    let path = format!("{}/../sample-plans/{name}.ron", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(path).expect("the sample plan");
    pipeline::run(&plan::read(&text).expect("a plan")).expect("a house")
}

#[test]
fn sample_houses_go_down_board_by_board() {
    let house = sample("hazel-court");
    check(&house);
    // The check must be able to fail: the same boards from the last to the first, and two neighbours swapped.
    let mut wrong = order(&house.sequence());
    wrong.swap(0, 1);
    assert!(!faults(&house, &wrong).is_empty());
    wrong.swap(0, 1);
    wrong.reverse();
    assert!(faults(&house, &wrong).len() > house.floor.boards.len());
    check(&sample("one-room"));
}

/// Blocks and borders: one room, so that everything about it is seen.
#[test]
fn patterns_and_borders_go_down_board_by_board() {
    check(&sample("plover-parlour"));
    let patterns = [
        Pattern::Half,
        Pattern::Herringbone { block: 600.0, abreast: 1 },
        Pattern::Herringbone { block: 600.0, abreast: 2 },
        Pattern::Chevron { block: 600.0, mitre: 45.0 },
        Pattern::Chevron { block: 600.0, mitre: 30.0 },
    ];
    for pattern in patterns {
        for boards in [0, 2] {
            let mut plan = Plan::new(format!("{pattern:?}, border {boards}"));
            plan.stock.lengths = vec![BoardLength { length: 600.0, per_pack: 10 }];
            plan.stock.face_width = 120.0;
            plan.rules.least_stagger = 200.0;
            plan.pattern = pattern;
            plan.border = (boards > 0).then_some(Border { boards, corners: Corners::Mitred });
            plan.rooms.push(Room::boarded("Parlour", corners(0.0, 0.0, 4200.0, 3300.0)));
            plan.fixtures.push(Fixture::plain(
                "Hearth",
                FixtureKind::Hearth,
                corners(1700.0, 0.0, 900.0, 500.0),
            ));
            let house = pipeline::run(&plan).expect("a house");
            check(&house);
            // Reversed it is wrong at nearly every board.
            let mut wrong = order(&house.sequence());
            wrong.reverse();
            assert!(faults(&house, &wrong).len() > house.floor.boards.len() / 2);
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: cases(24), failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn invented_houses_go_down_board_by_board(seed in any::<u64>()) {
        goes_down(seed);
    }
}

/// Invented houses where a board has a leg, or is itself, thinner than [`ON`], so that both of its sides lie on one of its
/// neighbour's.
const HARD: [u64; 3] = [5_191_367_828_153_478_997, 14_555_891_784_297_775_482, 14_556_002_837_786_222_947];

#[test]
fn houses_with_hairs_of_wood_go_down_board_by_board() {
    for seed in HARD {
        let house = goes_down(seed);
        // The check must bite at the very boards with hairs: the two swapped are found.
        let boards = &house.floor.boards;
        let same_way = |a: usize, b: usize| {
            sides(&boards[a])
                .iter()
                .any(|side| sides(&boards[b]).iter().any(|(c, d)| shared(*side, (*d, *c)) > TOUCH))
        };
        let right = order(&house.sequence());
        let place = |board: usize| right.iter().position(|at| *at == board).expect("laid");
        for a in 0..boards.len() {
            let near: Vec<usize> = beside(&house.floor, a).iter().map(|near| near.other).collect();
            for b in near.into_iter().filter(|b| same_way(a, *b)) {
                let mut wrong = right.clone();
                wrong.swap(place(a), place(b));
                let found = faults(&house, &wrong);
                let (one, other) = (
                    format!("{}: {} ", boards[a].label, boards[b].label),
                    format!("{}: {} ", boards[b].label, boards[a].label),
                );
                assert!(
                    found.iter().any(|text| text.starts_with(&one) || text.starts_with(&other)),
                    "{one}{found:?}"
                );
            }
        }
    }
}

/// Board B begins at u = 5399.97 against A's right end; from 5400 on something stands 164 deep in its row, so that B has a
/// leg there 0.03 thin. A's end lies on B's own end, and not on the far side of the leg, which faces what stands there.
#[test]
fn the_far_side_of_a_hair_of_wood_meets_nothing() {
    let side = |u: f64, from: f64, to: f64| (Uv::new(u, from), Uv::new(u, to));
    let (own_end, leg) = (side(5399.97, 196.0, 0.0), side(5400.0, 0.0, 164.0));
    let right_end_of_a = side(5399.97, 0.0, 196.0);
    assert!((shared(own_end, right_end_of_a) - 196.0).abs() < 1e-9);
    assert!((shared(right_end_of_a, own_end) - 196.0).abs() < 1e-9);
    assert_eq!((shared(leg, right_end_of_a), shared(right_end_of_a, leg)), (0.0, 0.0));
    // What lies beyond it on the other side, were it wood, would meet the leg: sides that run against one another.
    assert!((shared(leg, side(5400.0, 164.0, 50.0)) - 114.0).abs() < 1e-9);
}

/// Puts an invented house down board by board.
fn goes_down(seed: u64) -> House {
    let house = pipeline::run(&startrow_tests::house(seed)).expect("a house");
    check(&house);
    // What slides in from a side finds nothing there.
    let mut down = vec![false; house.floor.boards.len()];
    for index in house.sequence().boards() {
        if let Some(way) = house.fit.other_way(index)
            && let Some(from @ (fit::Part::Tongue | fit::Part::Right)) = way.from
        {
            let is_from = |near: &Beside| match from {
                fit::Part::Tongue => near.tongue > 0.7,
                _ => near.right > 0.7,
            };
            let near = beside(&house.floor, index);
            assert!(!near.iter().any(|near| is_from(near) && down[near.other]));
        }
        down[index] = true;
    }
    // The slip tongue is as long as what the two sides of the line share, pair by pair.
    let row_0 = |(_, board): &(usize, &Board)| board.row == 0;
    let all = house.floor.boards.iter().enumerate().filter(row_0);
    let shared: f64 = all
        .flat_map(|(index, _)| beside(&house.floor, index))
        .filter(|near| house.floor.boards[near.other].row == -1)
        .map(|near| near.length)
        .sum();
    assert!((shared - house.fit.slip_length()).abs() < 1.0, "{shared} {}", house.fit.slip_length());
    house
}

fn corners(x: f64, y: f64, w: f64, h: f64) -> Vec<Point> {
    [(x, y), (x + w, y), (x + w, y + h), (x, y + h)].map(|(x, y)| Point::new(x, y)).to_vec()
}

/// A room 4000 × 3800 with an island 1000 × 760 in its middle and its line at 950: twenty rows of 190 from -950.
fn round_an_island() -> House {
    let mut plan = Plan::new("Island");
    plan.start_line = StartLine::At(950.0);
    plan.rooms.push(Room::boarded("Kitchen", corners(0.0, 0.0, 4000.0, 3800.0)));
    plan.fixtures.push(Fixture::plain("Island", FixtureKind::Island, corners(1500.0, 1520.0, 1000.0, 760.0)));
    pipeline::run(&plan).expect("a house")
}

#[test]
fn both_sides_of_an_island_come_together_before_the_next_whole_row() {
    let house = round_an_island();
    check(&house);
    let sequence = house.sequence();
    let rows: Vec<(i32, usize)> =
        sequence.steps.iter().map(|step| (house.floor.runs[step.run].row, step.joins.len())).collect();
    // Row by row away from the line, both runs beside the island one after the other.
    let up: Vec<i32> = rows.iter().map(|(row, _)| *row).filter(|row| *row >= 0).collect();
    assert!(up.is_sorted(), "{up:?}");
    let down: Vec<i32> = rows.iter().map(|(row, _)| -*row).filter(|row| *row > 0).collect();
    assert!(down.is_sorted(), "{down:?}");
    let twice: Vec<i32> = up.windows(2).filter(|pair| pair[0] == pair[1]).map(|pair| pair[0]).collect();
    // The gaps of 10 stand in rows too: from 1510 to 2290 less a hair, counted from the line by hand.
    let line = house.floor.lines[0];
    let beside = |row: &i32| {
        let low = line + f64::from(*row) * 190.0;
        low + 190.0 > 1510.0 + 1.0 && low < 2290.0 - 1.0
    };
    let whole_gap = |row: &i32| {
        let low = line + f64::from(*row) * 190.0;
        low >= 1510.0 - 1e-6 && low + 190.0 <= 2290.0 + 1e-6
    };
    assert!(twice.iter().all(beside));
    let fully: Vec<i32> = (0..30).filter(whole_gap).collect();
    assert!(fully.iter().all(|row| twice.contains(row)), "{fully:?} {twice:?}");
    // One row finds two runs at its groove edge: the first that spans the island again.
    let joining: Vec<i32> = rows.iter().filter(|(_, joins)| *joins == 2).map(|(row, _)| *row).collect();
    assert_eq!(joining, vec![twice.last().expect("a row in two runs") + 1]);
}

#[test]
fn the_slip_tongue_leaves_the_island_out() {
    let mut plan = round_an_island().plan;
    // Row lines lie at 190, 380 … 3610: every one of them runs into an island from 100 to 3700.
    plan.start_line = StartLine::At(0.0);
    plan.fixtures[0].outline = corners(1500.0, 100.0, 1000.0, 3600.0);
    let house = pipeline::run(&plan).expect("a house");
    check(&house);
    // From gap to gap: 10 to 1490, and 2510 to 3990.
    assert_eq!(house.fit.slips.len(), 2);
    for slip in &house.fit.slips {
        assert!((slip.length() - 1480.0).abs() < 0.1, "{slip:?}");
    }
    assert!((house.fit.slip_length() - 2960.0).abs() < 0.1);
}

/// Two rooms side by side under a passage, each with an opening up to it.
fn under_a_passage() -> Plan {
    let mut plan = Plan::new("Two legs");
    plan.rooms.push(Room::boarded("Left", corners(0.0, 0.0, 6000.0, 3000.0)));
    plan.rooms.push(Room::boarded("Right", corners(6100.0, 2200.0, 3000.0, 800.0)));
    plan.rooms.push(Room::boarded("Passage", corners(4000.0, 3100.0, 5100.0, 1200.0)));
    for (name, room, at) in [("One", "Left", 500.0), ("Other", "Right", 1000.0)] {
        plan.doorways.push(Doorway::plain(name, room, 2, at, 800.0));
    }
    plan.stock.lock = Lock::FoldDown;
    plan
}

/// The line lies in the left room, the wider, below all of the right one; that is reached through the passage only,
/// which cannot be laid before it.
#[test]
fn a_room_that_only_later_rows_reach_is_begun_anew_before_them() {
    let plan = under_a_passage();
    let house = pipeline::run(&plan).expect("a house");
    check(&house);
    let line = house.floor.lines[0];
    assert!(line < 2200.0, "the line lies below the right room: {line}");
    let sequence = house.sequence();
    let of = |place: &str| -> Vec<usize> {
        let steps = sequence.steps.iter().enumerate();
        steps.filter(|(_, s)| s.place.as_deref() == Some(place)).map(|(at, _)| at).collect()
    };
    let (right, passage) = (of("Right"), of("Passage"));
    assert_eq!(sequence.steps[0].start, Start::OnLine);
    assert_eq!(sequence.steps[right[0]].start, Start::Anew);
    assert!(right.last() < passage.first(), "{right:?} {passage:?}");
    // Its lower gap ends at 2200 + 10; from there to the next row line it begins with a rip whose groove side is off.
    let kept = 190.0 - (2210.0 - line).rem_euclid(190.0);
    let [rip] = &sequence.steps[right[0]].begins_with[..] else { panic!("{:?}", sequence.steps[right[0]]) };
    assert!((rip.least - kept).abs() < 1e-6 && kept < 189.0, "{rip:?}, {kept} by hand");
    assert_eq!((rip.room.as_deref(), rip.keeps), (Some("Right"), Some(lay::KeptEdge::Tongue)));
    assert!(right.windows(2).all(|pair| pair[1] == pair[0] + 1), "in one go: {right:?}");
    let anew = sequence.steps.iter().filter(|step| step.start == Start::Anew).count();
    assert_eq!(anew, 1);
    // Both come together in the passage's first whole row.
    let joins: Vec<usize> = sequence.steps.iter().map(|step| step.joins.len()).filter(|n| *n > 0).collect();
    assert_eq!(joins, [2]);
    // No doorway leads out of this house: from the first board on one stands on what is laid.
    assert!(sequence.steps.iter().all(|step| step.from_laid));
}

#[test]
fn who_lays_is_closed_in_once_no_bare_floor_leads_to_the_door() {
    // One room with a way out in its lower wall, left open under the leaf: rows above the line lead to no doorway,
    // those below it do until the last.
    let mut plan = Plan::new("Way out");
    plan.rooms.push(Room::boarded("Room", corners(0.0, 0.0, 4000.0, 3800.0)));
    plan.doorways.push(Doorway {
        leaf: Some(Leaf::swinging(Side::Far, 40.0)),
        beyond: Beyond::UnderLeaf,
        ..Doorway::plain("Out", "Room", 0, 1500.0, 900.0)
    });
    let house = pipeline::run(&plan).expect("a house");
    let sequence = house.sequence();
    let row = |step: &fit::LaidRun| house.floor.runs[step.run].row;
    for (at, step) in sequence.steps.iter().enumerate() {
        // Row 0 still has bare floor below it that leads out; above it there is none.
        let expected = row(step) > 0 || (at + 1 == sequence.steps.len() && !step_leads_out(&house, step));
        assert_eq!(step.from_laid, expected, "row {}", row(step));
    }
}

/// Whether a board of a run reaches the opening: it lies below the room's lower wall.
fn step_leads_out(house: &House, step: &fit::LaidRun) -> bool {
    step.boards.iter().any(|board| house.floor.boards[*board].outline.outer.iter().any(|p| p.v < -70.0))
}

/// What is laid back is turned, and hangs on the row that runs on: in the whole floor boards at a groove edge are down
/// first, but along the start line and along the slip tongue of the doorway, whose lengths are these.
fn check_back(plan: &Plan, place: &str, slip: f64) {
    let house = pipeline::run(plan).expect("a house");
    check(&house);
    let sequence = house.sequence();
    assert!(sequence.steps.iter().all(|step| step.start != Start::Anew));
    let back: Vec<usize> =
        (0..sequence.steps.len()).filter(|at| matches!(sequence.steps[*at].start, Start::Back(_))).collect();
    assert_eq!(back.len(), 1);
    let notes = sequence.notes(plan, &house.floor, back[0]);
    assert!(notes[0].contains("slip tongue") && notes[0].contains(&plan.doorways[1].name), "{notes:?}");
    let in_place = sequence.steps.iter().filter(|step| step.place.as_deref() == Some(place));
    for step in in_place.filter(|step| house.floor.runs[step.run].backwards) {
        assert!(step.boards.iter().all(|board| house.floor.boards[*board].turned));
        // From the worker's left, who faces the other way: starters lie at the right.
        assert!(house.floor.boards[step.boards[0]].starts_run);
    }
    let lengths: f64 = house.fit.slips.iter().filter(|s| s.doorway == Some(1)).map(fit::Slip::length).sum();
    assert!((lengths - slip).abs() < 0.1, "{lengths}");
    // What lies so is kept so.
    let boards: Vec<usize> = (0..house.floor.boards.len()).collect();
    let laid = pipeline::run(&house.with_laid(&boards).expect("marked")).expect("a house");
    let turned =
        |house: &House| house.floor.boards.iter().map(|b| (b.label.clone(), b.turned)).collect::<Vec<_>>();
    assert_eq!(turned(&laid), turned(&house));
    // Asked for nothing, it is offered.
    let mut plain = plan.clone();
    plain.doorways[1].slip_tongue = false;
    let plain = pipeline::run(&plain).expect("a house").sequence();
    let offered: Vec<_> = plain.steps.iter().filter_map(|step| step.could_lie_back).collect();
    assert_eq!(offered, [1], "one row begun anew, through the second doorway");
}

/// The right room lies below the passage's first whole row, through an opening of 800 less a gap of 10 at each jamb.
#[test]
fn a_room_under_a_passage_is_laid_back_from_its_opening() {
    let mut plan = under_a_passage();
    plan.doorways[1].slip_tongue = true;
    check_back(&plan, "Right", 780.0);
}

/// A hall goes up from a wide room, and a bedroom beside it begins 1500 below the door through which the hall's rows run
/// on into it. It is as wide as 4000 less a gap of 10 at each wall: so long is the slip tongue along the row in the door.
#[test]
fn a_room_beside_a_hall_is_laid_back_from_its_door() {
    let mut plan = Plan::new("Beside a hall");
    plan.rooms.push(Room::boarded("Wide", corners(0.0, -4100.0, 9000.0, 4000.0)));
    plan.rooms.push(Room::boarded("Hall", corners(0.0, 0.0, 2000.0, 6000.0)));
    plan.rooms.push(Room::boarded("Bedroom", corners(2100.0, 2500.0, 4000.0, 3500.0)));
    let door = |name: &str, room: &str, wall: usize, at: f64| Doorway {
        slip_tongue: name == "Bedroom door",
        ..Doorway::plain(name, room, wall, at, 800.0)
    };
    plan.doorways.push(door("Hall door", "Wide", 2, 9000.0 - 1400.0));
    plan.doorways.push(door("Bedroom door", "Hall", 1, 4000.0));
    for lock in [Lock::FoldDown, Lock::TongueAndGroove] {
        plan.stock.lock = lock;
        check_back(&plan, "Bedroom", 3980.0);
    }
}
