//! What small floors hold: where a piece comes from, what walls part, what is left without boards. By hand.
#![allow(clippy::unwrap_used)]

use crate::backwards::{RunPlace, entered};
use crate::cut::Saw;
use crate::ground::Ground;
use crate::state::{Cut, Task};
use crate::yard::{Need, Want, Yard};
use crate::{End, Floor, Layer, lay, search};
use plan::{
    Beyond, BoardLength, Doorway, Fixture, FixtureKind, GapRange, Pattern, Places, Plan, Point, Room,
    StartLine,
};
use site::{Frame, Uv};
use std::ops::ControlFlow;

fn rect([x, y, w, h]: [f64; 4]) -> Vec<Point> {
    [(x, y), (x + w, y), (x + w, y + h), (x, y + h)].map(Point::from).to_vec()
}

/// A room of one rectangle, gaps of 10, boards 2000 long.
fn room(width: f64, height: f64) -> Plan {
    let mut plan = Plan::new("t");
    plan.rules.wall_gap = GapRange { least: 10.0, greatest: 10.0 };
    plan.stock.lengths = vec![BoardLength { length: 2000.0, per_pack: 6 }];
    plan.rooms.push(Room::boarded("Room", rect([0.0, 0.0, width, height])));
    plan
}

fn floor(plan: &Plan) -> Floor {
    assert_eq!(plan.problems(), []);
    let site = site::survey(plan);
    lay(plan, &site, &setout::set_out(plan, &site))
}

/// One row of 3997: whatever the starter, a whole board and what the starter's own board has left past a saw cut of 3 reach the
/// far wall: two boards.
#[test]
fn a_row_begins_and_ends_with_one_board_where_that_reaches() {
    for seed in 0..4 {
        let mut plan = room(3997.0 + 20.0, 190.0 + 20.0);
        plan.start_line = StartLine::At(10.0);
        plan.stock.kerf = 3.0;
        plan.seed = seed;
        let floor = floor(&plan);
        assert_eq!((floor.runs.len(), floor.boards.len(), floor.stock.len()), (1, 3, 2), "seed {seed}");
        assert_eq!(floor.boards[0].stock, floor.boards[2].stock, "seed {seed}");
    }
}

/// A board of 2000, of which a corner of the floor takes the first 500, with one slanting end and none that joins another: its left
/// end is gone with it. A piece that keeps a left end comes from a fresh board, one that keeps a right end from the first.
#[test]
fn what_lies_first_on_a_board_of_slanting_ends_has_its_left_end() {
    let lengths = vec![BoardLength { length: 2000.0, per_pack: 6 }];
    let stock = plan::Stock { lengths, kerf: 3.0, end_match: true, ..plan::Stock::default() };
    let mut yard = Yard::new(&stock, &plan::Rules::default(), 0, 4000.0, 0);
    yard.nest(vec![190.0], 190.0);
    let shifts = [190.0, 0.0];
    let bar = yard.draw(0);
    yard.cut(bar, &Want { length: 500.0, need: Need::Neither, shifts }, 0);
    let mut saw = Saw::new(&stock, 0, yard);
    let cut = Cut { bar, kind: 0, shifts, ..Cut::square(500.0, Need::Neither) };
    let mut places = [None];
    saw.place_nest(bar, &[(&cut, 0)], &mut places);
    assert_eq!(places, [Some((0, 0.0))]);
    assert_eq!(saw.take(300.0, Need::Left, 1), Some((1, 0.0)));
    assert_eq!(saw.take(300.0, Need::Right, 2), Some((0, 1700.0)));
}

/// A partition 20 thick in the middle of a row, from 1500 to 9500 of 11 m: with its gaps it parts that row into legs of 75
/// and 75 between 1490 and 9510.
fn parted() -> Plan {
    let mut plan = room(11_000.0, 590.0);
    plan.start_line = StartLine::At(200.0);
    plan.fixtures.push(Fixture::plain("Partition", FixtureKind::Island, rect([1500.0, 285.0, 8000.0, 20.0])));
    plan
}

/// A block from 8310 on under that partition ends the lower leg at 8300, 10 short of it. A joint at 8150 leaves a piece of 150 there,
/// square and at a wall, in a row that leaves it room: a fault, as the findings have it. At 7900 it is 400 long, and between two
/// joints, at 7000 and 7150, both pieces are as short, but no end of the row.
#[test]
fn a_short_second_piece_beside_a_wall_is_a_fault() {
    let mut plan = parted();
    plan.fixtures.push(Fixture::plain("Block", FixtureKind::Island, rect([8310.0, 150.0, 1190.0, 135.0])));
    assert_eq!(plan.problems(), []);
    let site = site::survey(&plan);
    let ground = Ground::new(&plan, &site, &setout::set_out(&plan, &site));
    let run = ground.lies.iter().position(|lie| lie.has_forks()).unwrap();
    assert_eq!((ground.lies[run].run.left, ground.lies[run].run.right), (10.0, 10_990.0));
    let task = Task::new(&ground, &plan, false);
    let marks = |joints: &[f64]| {
        let mut at = 10.0;
        let cut = |to: &f64| {
            let length = to - std::mem::replace(&mut at, *to);
            let shifts = [0.0; 2];
            Cut { bar: 0, kind: 0, shifts, ..Cut::square(length, Need::Neither) }
        };
        let mut cuts: Vec<Cut> = joints.iter().chain(&[10_990.0]).map(cut).collect();
        // From the worker's left.
        if ground.lies[run].run.is_turned() {
            cuts.reverse();
        }
        let marks = task.own_marks(run, &cuts);
        (marks.hard, marks.looks)
    };
    assert_eq!(marks(&[8150.0, 9900.0]), (1, 0));
    assert_eq!(marks(&[7900.0, 9900.0]), (0, 0));
    assert_eq!(marks(&[7000.0, 7150.0, 9900.0]), (0, 0));
}

#[test]
fn a_run_that_walls_part_is_known_for_it() {
    let plan = parted();
    assert_eq!(plan.problems(), []);
    let site = site::survey(&plan);
    let set = setout::set_out(&plan, &site);
    let ground = Ground::new(&plan, &site, &set);
    let forked: Vec<bool> = ground.lies.iter().map(|lie| lie.has_forks()).collect();
    assert_eq!(forked.len(), 3);
    for (lie, forked) in ground.lies.iter().zip(forked) {
        assert_eq!(forked, lie.run.row == 0, "row {}", lie.run.row);
        assert_eq!(lie.is_forked(5000.0), forked);
    }
}

/// Both legs of a board between two others keep both its ends, so they are ripped from one board: what the partition takes
/// is its waste.
#[test]
fn both_legs_beside_a_partition_are_ripped_from_one_board() {
    for seed in 0..4 {
        let plan = Plan { seed, ..parted() };
        let floor = floor(&plan);
        let mut pairs = 0;
        for board in floor.boards.iter().filter(|board| board.row == 0) {
            let is_other = |other: &&crate::Board| {
                other.row == 0
                    && other.left == board.left
                    && other.right == board.right
                    && other.label != board.label
            };
            let Some(other) = floor.boards.iter().find(is_other) else { continue };
            let is_between = |board: &crate::Board| !board.starts_run && !board.ends_run;
            if is_between(board) && is_between(other) {
                assert_eq!(board.stock, other.stock, "seed {seed}: {} and {}", board.label, other.label);
                assert_eq!((board.left_end, board.right_end), (End::Factory, End::Factory));
                pairs += 1;
            }
        }
        assert!(pairs >= 2, "seed {seed}: {pairs}");
    }
}

/// A partition 20 thick in the middle of a row, from the left wall on over 3000: both legs at that wall end at one joint and
/// lie on one board as they lie on the floor, so that both have its factory end there; whether ends join or not.
#[test]
fn both_legs_of_a_starter_are_ripped_from_one_board() {
    for (seed, end_match) in [(0, true), (1, true), (2, false), (3, false)] {
        let mut plan = Plan { seed, ..parted() };
        plan.stock.end_match = end_match;
        plan.fixtures[0].outline = rect([0.0, 285.0, 3000.0, 20.0]);
        let floor = floor(&plan);
        let at_wall = |board: &&crate::Board| board.row == 0 && board.left < 10.5;
        let [low, high] = floor.boards.iter().filter(at_wall).collect::<Vec<_>>()[..] else {
            panic!("seed {seed}: {:?}", floor.boards);
        };
        assert!(low.starts_run && high.starts_run && low.right == high.right, "seed {seed}");
        assert_eq!((low.stock, low.from), (high.stock, high.from), "seed {seed}");
        let ends = [low, high].map(|board| board.right_end);
        assert!(!end_match || ends == [End::Factory; 2], "seed {seed}: {ends:?}");
        let pieces = &floor.stock[low.stock].pieces;
        let lain =
            |board: &crate::Board| pieces.iter().find(|piece| floor.boards[piece.board].label == board.label);
        let strips = [low, high].map(|board| lain(board).map(|piece| piece.strip));
        assert_eq!(strips.iter().filter(|strip| **strip == Some(true)).count(), 1, "seed {seed}");
        let area = |board: &crate::Board| board.area / board.length();
        assert!((area(low) + area(high) - 150.0).abs() < 1.0, "seed {seed}");
    }
}

/// One pack of eight blocks does not do: where each missing block would lie is told by its middle.
#[test]
fn what_no_board_is_left_for_is_told_by_its_middle() {
    let mut plan = room(3000.0, 2000.0);
    plan.pattern = Pattern::Herringbone { block: 600.0, abreast: 1 };
    plan.stock.face_width = 90.0;
    plan.stock.lengths = vec![BoardLength { length: 600.0, per_pack: 8 }];
    plan.stock.packs = Some(1);
    let floor = floor(&plan);
    assert!(floor.short.len() > 50);
    for short in &floor.short {
        assert!((short.at.u - f64::midpoint(short.left, short.right)).abs() < 1e-6, "{short:?}");
        // No block reaches further across the rows than its length and width at 45°.
        assert!((10.0..=1990.0).contains(&short.at.v) && short.right - short.left < 690.0, "{short:?}");
    }
}

/// Boards sold as blocks: one that lies whole has both its ends as the factory made them, one cut shorter at one end the
/// other only.
#[test]
fn ends_are_the_factorys_where_the_board_ends() {
    let mut plan = room(3000.0, 2000.0);
    plan.pattern = Pattern::Herringbone { block: 600.0, abreast: 1 };
    plan.stock.face_width = 90.0;
    plan.stock.lengths = vec![BoardLength { length: 600.0, per_pack: 8 }];
    let floor = floor(&plan);
    let (mut whole, mut cut) = (0, 0);
    for board in &floor.boards {
        let to = board.from + board.length();
        let length = floor.stock[board.stock].length;
        assert_eq!(board.left_end == End::Factory, board.from < 0.05, "{} from {}", board.label, board.from);
        assert_eq!(board.right_end == End::Factory, to > length - 0.05, "{} to {to}", board.label);
        whole += usize::from(board.left_end == End::Factory && board.right_end == End::Factory);
        cut += usize::from(to < length - 1.0 && board.from < 0.05);
    }
    assert!(whole > 50 && cut > 5, "{whole} {cut}");
}

/// Three hundred runs are searched by four, one more by one: of one move that is asked for all searches take a round each, two
/// moves a run.
#[test]
fn a_floor_of_more_than_three_hundred_runs_is_searched_by_one() {
    let moves = |rows: u32| {
        let mut plan = room(420.0, 20.0 + 20.0 * f64::from(rows));
        plan.stock.face_width = 20.0;
        plan.rules.least_rip = 5.0;
        plan.rules.least_end = 200.0;
        plan.start_line = StartLine::At(10.0);
        plan.stock.lengths = vec![BoardLength { length: 500.0, per_pack: 100 }];
        let site = site::survey(&plan);
        let floor = search(&plan, &site, &setout::set_out(&plan, &site), 1, &|_| ControlFlow::Break(()));
        assert_eq!(floor.runs.len(), rows as usize);
        floor.moves
    };
    assert_eq!((moves(300), moves(301)), (4 * 600, 602));
}

/// The same plan again is laid from memory from the first run to the last. A corner taken off its last two rows, up to the row
/// line at 10 + 14 · 190 = 2670, is drawn 100 further in: of the rows from the line at 10 + 7 · 190 on the seven up to it are
/// laid from memory, and from there on all are laid anew, those below the line too.
#[test]
fn what_an_edit_leaves_alone_is_laid_from_memory() {
    let cut = |at: f64| {
        let corners =
            [(0.0, 0.0), (5000.0, 0.0), (5000.0, 2680.0), (at, 2680.0), (at, 3000.0), (0.0, 3000.0)];
        let mut plan = room(5000.0, 3000.0);
        plan.rooms[0] = Room::boarded("Room", corners.map(Point::from));
        plan.start_line = StartLine::At(10.0);
        plan
    };
    let mut layer = Layer::default();
    let mut lay_now = |plan: &Plan| {
        let site = site::survey(plan);
        let floor = layer.lay(plan, &site, &setout::set_out(plan, &site));
        (floor, layer.laid_again())
    };
    let (first, again) = lay_now(&cut(4600.0));
    assert_eq!((again, first.runs.len()), (0, 16));
    let (second, again) = lay_now(&cut(4600.0));
    assert!(again == 16 && second == first, "{again}");
    let (third, again) = lay_now(&cut(4500.0));
    assert!(again == 7 && third == floor(&cut(4500.0)), "{again}");
}

/// A den left of a hall, doorways of 800 in its right wall: behind the one with a trim boards end, and only the one through
/// which they run leads back to it, though the row that hangs reaches both.
#[test]
fn a_room_is_laid_back_through_a_doorway_that_boards_run_through() {
    let mut plan = Plan::new("t");
    plan.rooms.push(Room::boarded("Den", rect([0.0, 0.0, 3000.0, 2000.0])));
    plan.rooms.push(Room::boarded("Hall", rect([3100.0, 0.0, 3000.0, 2000.0])));
    for (name, at, beyond) in [
        ("Trim", 100.0, Beyond::Trim(20.0)),
        ("Far", 1150.0, Beyond::RunThrough),
        ("Open", 1000.0, Beyond::RunThrough),
    ] {
        plan.doorways.push(Doorway {
            beyond,
            ..Doorway::plain(name, if name == "Far" { "Hall" } else { "Den" }, 1, at, 800.0)
        });
    }
    let place = |run: usize, row: i32, (from, to): (f64, f64)| {
        let low = 520.0 + 190.0 * f64::from(row);
        RunPlace { run, row, least: Uv::new(from, low), greatest: Uv::new(to, low + 190.0) }
    };
    // Rows 0 and 1 of the hall, row 2 through the doorway, and row 1 of the den behind it.
    let (hall, through, den) = ((3110.0, 6090.0), (10.0, 6090.0), (10.0, 2990.0));
    let runs = [place(0, 0, hall), place(1, 1, hall), place(2, 2, through), place(3, 1, den)];
    let before = [vec![], vec![0], vec![1], vec![]];
    let after = [vec![1], vec![2], vec![], vec![2]];
    let places = Places::new(&plan);
    let found = entered(&plan, &places, Frame::new(0.0), &runs, (&before, &after));
    let told: Vec<_> =
        found.iter().map(|entered| (entered.doorway, &entered.runs[..], &entered.onto[..])).collect();
    assert_eq!(told, [(2, &[3][..], &[2][..])]);
}
