//! Floors about as wide as one board, laid through and checked by the independent checker.
#![allow(clippy::unwrap_used)]

use plan::{GapRange, Plan, Point, Room, StartLine};
use recheck::recheck;

/// A niche 3 m long along rows that run at some degrees, so wide between its gaps of 10, with boards 180 wide. The wall at one
/// end steps in by `step` for its last metre.
fn niche(width: f64, degrees: f64, step: f64, greatest: f64) -> Plan {
    let mut plan = Plan::new("Niche");
    plan.stock.face_width = 180.0;
    plan.rows_at = degrees;
    plan.rules.wall_gap = GapRange { least: 10.0, greatest };
    let high = width + 20.0;
    let corners = [(0.0, 0.0), (3000.0, 0.0), (3000.0, high - step), (2000.0, high - step), (2000.0, high)];
    let corners = corners.into_iter().filter(|(x, _)| step > 0.0 || *x != 2000.0).chain([(0.0, high)]);
    let (sin, cos) = libm::sincos(degrees.to_radians());
    let turned = |(x, y): (f64, f64)| Point::new(x * cos - y * sin, x * sin + y * cos);
    plan.rooms.push(Room::boarded("Niche", corners.map(turned)));
    plan
}

fn complaints(plan: &Plan, house: &pipeline::House) -> Vec<String> {
    let result = serde_json::to_string(&house.document()).unwrap();
    let report = recheck(&plan::write(plan), &result).unwrap();
    report.complaints.iter().map(|complaint| format!("{complaint:?}")).collect()
}

/// From 176 to 180 a floor is one board, ripped to its width or whole, and so it is where a wall steps in, and where gaps that
/// may be 4 wider take 8 up; wider by more it is two rows of a half. By hand.
#[test]
fn a_floor_as_wide_as_a_board_is_laid_as_one() {
    for degrees in [0.0, 90.0, 30.0, -17.5] {
        for (greatest, widest) in [(10.0, 180.0), (14.0, 188.0)] {
            for width in [174.0, 176.0, 177.5, 179.0, 179.95, 180.0, 182.0, 187.5, 189.0, 195.0] {
                for step in [0.0, 2.5] {
                    let plan = niche(width, degrees, step, greatest);
                    let house = pipeline::run(&plan).unwrap();
                    let what = format!("{width} at {degrees}°, stepped by {step}, gaps to {greatest}");
                    let rows: std::collections::BTreeSet<i32> =
                        house.floor.boards.iter().map(|board| board.row).collect();
                    // Beside a step no gap is made wider but of one that the rest of its wall stands back from.
                    let is_one = width <= if step > 0.0 { 180.0 } else { widest };
                    if is_one || step == 0.0 {
                        assert_eq!(rows.len(), if is_one { 1 } else { 2 }, "{what}");
                    }
                    assert_eq!(house.setout.line.is_none(), rows.len() == 1, "{what}");
                    if is_one {
                        let least = house.floor.boards.iter().map(|board| board.width).fold(180.0, f64::min);
                        assert!(least > width.min(180.0) - step - 0.01, "{what}: {least}");
                        assert_eq!(house.setout.chosen.short_length, 0.0, "{what}");
                        // Once its boards lie there is still nothing to snap.
                        let all: Vec<usize> = (0..house.floor.boards.len()).collect();
                        let lies = house.with_laid(&all).unwrap();
                        let lying = pipeline::run(&lies).unwrap();
                        assert_eq!(lying.setout.line, None, "{what}, laid");
                        assert_eq!(complaints(&lies, &lying), Vec::<String>::new(), "{what}, laid");
                    }
                    assert_eq!(complaints(&plan, &house), Vec::<String>::new(), "{what}");
                    // As many lines are handed on, the best first, and one of them set by hand is valued alike.
                    let second = Plan { start_line: StartLine::At(house.setout.best.offset), ..plan.clone() };
                    let second = pipeline::run(&second).unwrap();
                    assert_eq!(second.setout.chosen.value, house.setout.best.value, "{what}");
                    let safest = Plan { start_line: StartLine::Safest, ..plan.clone() };
                    let laid = pipeline::run(&safest).unwrap();
                    assert_eq!(complaints(&safest, &laid), Vec::<String>::new(), "{what}, safest");
                }
            }
        }
    }
}

/// The same past a wall from a room of 3.4 m, from which no floor leads into it. On a line at which the niche is one row it is one,
/// and so it is on a line of its own; what is told of every line holds by the checker, on any.
#[test]
fn a_niche_past_a_wall_is_one_row_by_its_own_line() {
    for width in [177.0, 179.5, 180.0, 183.0] {
        for greatest in [10.0, 14.0] {
            let mut plan = niche(width, 0.0, 0.0, greatest);
            let low = width + 120.0;
            let corners = [(0.0, low), (3000.0, low), (3000.0, low + 3400.0), (0.0, low + 3400.0)];
            plan.rooms.push(Room::boarded("Hall", corners.map(Point::from)));
            for line in [StartLine::Best, StartLine::At(10.0), StartLine::At(100.0), StartLine::Safest] {
                let plan = Plan { start_line: line, ..plan.clone() };
                let house = pipeline::run(&plan).unwrap();
                let what = format!("{width}, gaps to {greatest}, {line:?}");
                assert_eq!(complaints(&plan, &house), Vec::<String>::new(), "{what}");
                let mut own = plan.clone();
                own.own_lines.push(plan::OwnLine { room: "Niche".into(), line: StartLine::Best });
                let house = pipeline::run(&own).unwrap();
                assert_eq!(complaints(&own, &house), Vec::<String>::new(), "{what}, its own");
                let niche = house
                    .site
                    .regions
                    .iter()
                    .position(|region| region.outer.edges.iter().all(|e| e.a.v < low));
                let boards = house.floor.boards.iter().filter(|board| Some(board.region) == niche);
                let rows: std::collections::BTreeSet<i32> = boards.map(|board| board.row).collect();
                let is_one = width <= 180.0 || greatest > 10.0;
                assert_eq!(rows.len(), if is_one { 1 } else { 2 }, "{what}");
            }
        }
    }
}
