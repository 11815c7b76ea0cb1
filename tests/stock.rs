//! Boards opened against a general MILP solver (microlp), by another formulation than the counter's: which
//! piece is cut from which board.
#![allow(clippy::unwrap_used)]

use microlp::{ComparisonOp, OptimizationDirection, Problem};
use order::{Demand, Ends, fewest_boards};
use plan::{BoardLength, Plan, Point, Room, Stock};
use startrow_tests::Dice;

/// The fewest boards by assignment: boards of one length, each used or not, each piece on one board.
fn by_assignment(demand: &[Demand], stock: &Stock) -> usize {
    let length = stock.lengths[0].length;
    let pieces: Vec<(f64, Ends)> =
        demand.iter().flat_map(|d| std::iter::repeat_n((d.length, d.ends), d.count)).collect();
    let boards = pieces.len();
    let mut problem = Problem::new(OptimizationDirection::Minimize);
    let used: Vec<_> = (0..boards).map(|_| problem.add_integer_var(1.0, (0, 1))).collect();
    let on: Vec<Vec<_>> = pieces
        .iter()
        .enumerate()
        .map(|(p, _)| (0..boards).map(|b| problem.add_integer_var(0.0, (0, i32::from(b <= p)))).collect())
        .collect();
    for row in &on {
        let once: Vec<_> = row.iter().map(|v| (*v, 1.0)).collect();
        problem.add_constraint(&once, ComparisonOp::Eq, 1.0);
    }
    for b in 0..boards {
        let mut room: Vec<_> = on.iter().zip(&pieces).map(|(row, (l, _))| (row[b], l + stock.kerf)).collect();
        room.push((used[b], -(length + stock.kerf)));
        problem.add_constraint(&room, ComparisonOp::Le, 0.0);
        if stock.end_match {
            for end in [Ends::Left, Ends::Right] {
                let mut once: Vec<_> = on
                    .iter()
                    .zip(&pieces)
                    .filter(|(_, (_, ends))| *ends == end || *ends == Ends::Both)
                    .map(|(row, _)| (row[b], 1.0))
                    .collect();
                once.push((used[b], -1.0));
                problem.add_constraint(&once, ComparisonOp::Le, 0.0);
            }
        }
    }
    problem.solve().unwrap().into_solution().unwrap().objective().round() as usize
}

fn one_length(length: f64, kerf: f64, end_match: bool) -> Stock {
    Stock { lengths: vec![BoardLength { length, per_pack: 1 }], kerf, end_match, ..Stock::default() }
}

#[test]
fn the_counter_agrees_with_the_solver_on_small_demands() {
    for seed in 0..40 {
        let dice = &mut Dice::new(seed);
        let stock = one_length(2000.0, 3.0, !dice.one_in(3));
        let demand: Vec<Demand> = (0..2 + dice.below(6))
            .map(|_| Demand {
                length: dice.mm(300.0, 1500.0),
                ends: [Ends::Neither, Ends::Left, Ends::Right][dice.below(3)],
                count: 1,
            })
            .collect();
        assert_eq!(
            fewest_boards(&demand, &stock).unwrap(),
            by_assignment(&demand, &stock),
            "demand {demand:?}"
        );
    }
}

/// A closet laid by the program opens no fewer boards than the solver proves possible for its pieces, and no more than
/// one above it.
#[test]
fn small_floors_open_at_most_one_board_over_the_proven_fewest() {
    for seed in 0..12 {
        let dice = &mut Dice::new(1000 + seed);
        let mut plan = Plan::new("closet");
        plan.seed = seed;
        plan.stock = Stock { face_width: 190.0, ..one_length(2000.0, 3.0, true) };
        let (w, h) = (dice.mm(2300.0, 3600.0), dice.mm(600.0, 900.0));
        plan.rooms.push(Room::boarded(
            "Closet",
            [(0.0, 0.0), (w, 0.0), (w, h), (0.0, h)].map(|(x, y)| Point::new(x, y)),
        ));
        let house = pipeline::run(&plan).unwrap();
        let demand: Vec<Demand> = house
            .floor
            .boards
            .iter()
            .map(|b| Demand {
                length: b.length(),
                ends: match (b.starts_run, b.ends_run) {
                    (true, true) => Ends::Neither,
                    (true, false) => Ends::Right,
                    (false, true) => Ends::Left,
                    (false, false) => Ends::Both,
                },
                count: 1,
            })
            .collect();
        let proven = by_assignment(&demand, &plan.stock);
        assert_eq!(order::fewest(&plan, &house.floor).unwrap(), proven);
        assert!(house.order.bound <= proven);
        let opened = house.floor.stock.len();
        assert!(opened >= proven && opened <= proven + 1, "seed {seed}: opened {opened}, fewest {proven}");
    }
}
