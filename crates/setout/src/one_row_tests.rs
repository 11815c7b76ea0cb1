//! Floors about as wide as one board.
#![allow(clippy::unwrap_used)]

use crate::set_out;
use crate::tests::room;
use plan::{GapRange, OwnLine, Plan, Point, Room, StartLine};

/// Boards of 200, gaps of 10 that do not give, a line true to 1 mm. Between its gaps the floor is 198 to 200 wide, or 201: one
/// board, whole or ripped by a millimetre or two, and nothing to snap; the last is wider than a board, and two share it.
/// Arithmetic.
#[test]
fn a_floor_as_wide_as_a_board_is_one_row() {
    for width in [198.0, 199.0, 199.7, 200.0] {
        let plan = room(4000.0, width + 20.0);
        let site = site::survey(&plan);
        let set = set_out(&plan, &site);
        let widths: Vec<f64> = set.best.rips.iter().map(|rip| (rip.least * 10.0).round() / 10.0).collect();
        assert_eq!(widths, [width, width], "{width}: {:?}", set.best);
        assert_eq!((set.best.short_length, set.best.value.short), (0.0, 0.0), "{width}");
        assert_eq!(set.line, None, "{width}");
        assert!(!set.hangs_on_line() && crate::control_lines(&plan, &site, &set).is_empty(), "{width}");
        let robust = crate::robust(&plan, &site, &set);
        assert_eq!((robust.stands, robust.endangered.len()), (None, 0), "{width}");
        // Two rows, where they are asked for, are held to the tolerance as ever: 149 and what is left, 49 or so, 48 if the line
        // is out.
        let asked = Plan { start_line: StartLine::At(159.0), ..plan.clone() };
        let halves = set_out(&asked, &site).chosen;
        let at_worst = width - 149.0 - 1.0;
        assert!((halves.narrowest_within_tolerance - at_worst).abs() < 1e-5, "{width}: {halves:?}");
        assert_eq!(halves.short_length > 0.0, at_worst < 50.0);
        // The line that stands most leaves it so, too.
        let safest = Plan { start_line: StartLine::Safest, ..plan.clone() };
        assert_eq!(set_out(&safest, &site).line, None, "{width}");
    }
    let plan = room(4000.0, 221.0);
    let set = set_out(&plan, &site::survey(&plan));
    assert!(set.best.rips.iter().all(|rip| (rip.least - 100.5).abs() < 1e-9) && set.line.is_some());
    // What the gaps take up is no strip: 1.5 each way.
    let mut plan = room(4000.0, 223.0);
    plan.rules.wall_gap = GapRange { least: 10.0, greatest: 11.5 };
    let set = set_out(&plan, &site::survey(&plan));
    assert!(set.best.rips.iter().all(|rip| rip.least == 200.0) && set.line.is_none(), "{:?}", set.best);
    assert!(set.eases.iter().all(|ease| (ease.start - 1.5).abs() < 1e-6), "{:?}", set.eases);
}

/// A cupboard past a wall, 199 between its gaps, with a hall of 2100 beside it. The cupboard is one board, put in by its wall, and the
/// hall has the line that it has alone, 150 at both walls; with one line for both the hall had 123 and 177, and the cupboard 103 and
/// 96. Whatever line the hall is given, and whether the plan gives the cupboard one or not.
#[test]
fn a_cupboard_past_a_wall_is_one_row_and_moves_no_line() {
    let mut plan = room(4000.0, 2120.0);
    let alone = set_out(&plan, &site::survey(&plan)).best.offset;
    let corners = [(0.0, 2220.0), (1500.0, 2220.0), (1500.0, 2439.0), (0.0, 2439.0)];
    plan.rooms.push(Room::boarded("Cupboard", corners.map(|(x, y)| Point::new(x, y))));
    let site = site::survey(&plan);
    let with_own = vec![OwnLine { room: "Cupboard".into(), line: StartLine::Best }];
    for (start_line, own_lines) in [
        (StartLine::Best, vec![]),
        (StartLine::At(60.0), vec![]),
        (StartLine::Safest, vec![]),
        (StartLine::Best, with_own),
    ] {
        let plan = Plan { start_line, own_lines, ..plan.clone() };
        let set = set_out(&plan, &site);
        let own = &set.regions[0];
        assert!(own.has_own && own.line.is_none(), "{start_line:?}");
        assert!(own.own.rips.iter().all(|rip| (rip.least - 199.0).abs() < 1e-9), "{own:?}");
        let of_cupboard: Vec<f64> =
            set.chosen.rips.iter().filter(|rip| rip.edge.region == 1).map(|rip| rip.least).collect();
        assert!(of_cupboard.len() == 2 && of_cupboard.iter().all(|rip| (rip - 199.0).abs() < 1e-9));
        assert_eq!(own.own.short_length, 0.0);
        assert_eq!(set.best.offset, alone);
        assert_eq!(set.own_lines().count(), 0, "nothing is snapped in it");
    }
    // Half a millimetre wider than a board, with gaps that do not give, it is two rows of the hall's.
    for wall in &mut plan.rooms[1].walls[2..] {
        wall.corner.y = 2440.5;
    }
    assert!(set_out(&plan, &site::survey(&plan)).regions.iter().all(|choice| !choice.has_own));
}
