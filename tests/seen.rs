//! Long boards where eyes fall: mean lengths in open and in closed rooms, with and without the rule.
#![allow(clippy::unwrap_used)]

use pipeline::House;
use plan::{Plan, Sight, StartLine};

const SAMPLE: &str = include_str!("../sample-plans/hazel-court.ron");
/// Rooms that are closed in the second plan.
const CLOSED: [&str; 2] = ["Bed 1", "Bed 2"];

fn run(seed: u64, is_closed: bool) -> House {
    let mut plan: Plan = plan::read(SAMPLE).unwrap();
    plan.seed = seed;
    // One line for both, since sight moves it too.
    plan.start_line =
        StartLine::At(pipeline::run(&plan::read(SAMPLE).unwrap()).unwrap().setout.chosen.offset);
    for room in plan.rooms.iter_mut().filter(|room| is_closed && CLOSED.contains(&room.name.as_str())) {
        room.sight = Sight::Closed;
    }
    pipeline::run(&plan).unwrap()
}

/// Number and length of the boards in the rooms named, or in the others.
fn lengths(house: &House, in_closed: bool) -> (f64, f64) {
    let mut sum = (0.0, 0.0);
    for board in &house.floor.boards {
        let at = house.site.frame.plan_from_row(board.middle());
        let room = house.plan.rooms.iter().find(|room| room.contains(at));
        if room.is_some_and(|room| CLOSED.contains(&room.name.as_str()) == in_closed) {
            sum = (sum.0 + 1.0, sum.1 + board.length());
        }
    }
    sum
}

/// The same house with two rooms closed shows longer boards in the others, opens no more and breaks no rule more. The means
/// are over eight seeds, since one floor's boards fall by chance.
#[test]
fn open_rooms_have_longer_boards_at_no_cost() {
    let mut before = [(0.0, 0.0); 2];
    let mut after = [(0.0, 0.0); 2];
    let (mut opened, mut faults) = ([0, 0], [0, 0]);
    for seed in 1..=8 {
        for (is_closed, sums) in [(false, &mut before), (true, &mut after)] {
            let house = run(seed, is_closed);
            for (place, sum) in sums.iter_mut().enumerate() {
                let (count, length) = lengths(&house, place == 1);
                *sum = (sum.0 + count, sum.1 + length);
            }
            let which = usize::from(is_closed);
            opened[which] += house.order.opened;
            let is_fault = |flag: &&findings::Flag| flag.severity == findings::Severity::Fault;
            faults[which] += house.flags.iter().filter(is_fault).count();
        }
    }
    let mean = |(count, length): (f64, f64)| length / count;
    let gained = mean(after[0]) - mean(before[0]);
    assert!(gained > 30.0, "open rooms gain {gained:.0} mm, closed {:.0}", mean(after[1]) - mean(before[1]));
    assert!(opened[1] <= opened[0], "{opened:?}");
    assert!(faults[1] <= faults[0], "{faults:?}");
}

/// Rooms without boards ask nothing, however little they are seen: the floor is that of a house of open rooms.
#[test]
fn rooms_without_boards_ask_nothing() {
    let open = run(2, false);
    let mut plan = open.plan.clone();
    plan.rooms.iter_mut().filter(|room| !room.is_boarded()).for_each(|room| room.sight = Sight::Closed);
    assert_ne!(plan, open.plan);
    assert_eq!(pipeline::run(&plan).unwrap().floor, open.floor);
}
