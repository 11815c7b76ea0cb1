//! Walls that are bowed or out of true, by arithmetic and by geo: every board along them has its own tapered rip, and
//! a gap's play that saves a strip is said.
#![allow(clippy::unwrap_used)]

use geo::{Area, BooleanOps, Coord, LineString, Polygon};
use lay::{Board, Taper};
use pipeline::House;
use plan::{Bow, Plan, Point, Room, StartLine};
use startrow_tests::Dice;

const PITCH: f64 = 190.0;

/// A room 4000 wide and `depth` deep, rows along x, boards 190 wide, one row line at `line`.
fn room(depth: f64, line: f64) -> Plan {
    let mut plan = Plan::new("bows");
    let corners = [(0.0, 0.0), (4000.0, 0.0), (4000.0, depth), (0.0, depth)];
    plan.rooms.push(Room::boarded("Room", corners.map(|(x, y)| Point::new(x, y)).to_vec()));
    plan.start_line = StartLine::At(line);
    plan
}

fn bow(plan: &mut Plan, wall: usize, offsets: &[(f64, f64)]) {
    let offsets = offsets.iter().map(|(along, back)| Bow { along: *along, back: *back });
    plan.rooms[0].walls[wall].bow = offsets.collect();
}

/// A straight line through places, read at x.
fn read(line: &[(f64, f64)], x: f64) -> f64 {
    let pair = line.windows(2).find(|pair| x <= pair[1].0).unwrap_or(&line[line.len() - 2..]);
    pair[0].1 + (pair[1].1 - pair[0].1) * (x - pair[0].0) / (pair[1].0 - pair[0].0)
}

/// The places of a taper's marks along x on the plan, with the widths.
fn on_plan(board: &Board, taper: &Taper) -> Vec<(f64, f64)> {
    let x = |at: f64| if board.turned { board.right - at } else { board.left + at };
    taper.marks.iter().map(|mark| (x(mark.at), mark.width)).collect()
}

fn tapers(house: &House, row: impl Fn(&Board) -> bool) -> Vec<(&Board, Taper)> {
    let boards = house.floor.boards.iter().filter(|board| row(board));
    boards
        .map(|board| (board, board.taper(PITCH).unwrap_or_else(|| panic!("{} tapers", board.label))))
        .collect()
}

/// 2000 deep, row lines at 110, 300, … 1820: 100 to the gap of 10 at the lower wall, 170 at the upper one. The lower one
/// stands back 18 at 1000 and 30 at 2500 from its left corner, so rips there grow to 118 and 130; the upper one, counted
/// from its right corner, bulges in by 24 in its middle: 146. A gap square to a wall that rises by one in fifty is 0.002
/// more across the rows; nothing else is let off.
#[test]
fn rips_along_bows_have_the_widths_measured_from_the_snapped_line() {
    let mut plan = room(2000.0, 110.0);
    bow(&mut plan, 0, &[(1000.0, 18.0), (2500.0, 30.0)]);
    bow(&mut plan, 2, &[(2000.0, -24.0)]);
    assert!(plan.problems().is_empty(), "{:?}", plan.problems());
    let house = pipeline::run(&plan).unwrap();
    let lower = [(0.0, 100.0), (1000.0, 118.0), (2500.0, 130.0), (4000.0, 100.0)];
    let upper = [(0.0, 170.0), (2000.0, 146.0), (4000.0, 170.0)];
    let rows = house.floor.boards.iter().map(|board| board.row);
    let (least, most) = (rows.clone().min().unwrap(), rows.max().unwrap());
    for (row, widths, bends) in [(least, &lower[..], 2), (most, &upper[..], 1)] {
        let boards = tapers(&house, |board| board.row == row);
        assert!(boards.len() > 1);
        let mut bends_found = 0;
        for (board, taper) in &boards {
            let marks = on_plan(board, taper);
            for (x, width) in &marks {
                let expected = read(widths, *x);
                assert!((width - expected).abs() < 0.01, "{}: {width} at {x}, not {expected}", board.label);
            }
            let inner = |x: f64| (x - board.left).abs() > 1.0 && (x - board.right).abs() > 1.0;
            bends_found += marks.iter().filter(|(x, _)| inner(*x)).count();
            let ends: Vec<f64> = marks.iter().map(|(x, _)| *x).collect();
            let (first, last) = (ends[0].min(ends[ends.len() - 1]), ends[0].max(ends[ends.len() - 1]));
            assert!((first - board.left).abs() < 1.0 && (last - board.right).abs() < 1.0, "{ends:?}");
        }
        // Each offset is a mark on one board; a joint beside it may make it an end.
        assert!(bends_found <= bends && bends_found + 1 >= bends, "{bends_found} of {bends}");
        let on_list = |board: &Board| {
            house.order.saw.tapers.iter().any(|entry| house.floor.boards[entry.board].label == board.label)
        };
        assert!(boards.iter().all(|(board, _)| on_list(board)));
    }
    assert!(house.order.saw.notches.is_empty(), "{:?}", house.order.saw.notches);
    let all = [order::whole_saw_list(&house.order)];
    let text = order::text(&house.plan, &house.floor, &house.fit, (&house.order, &all), &house.bound(), None);
    assert!(text.contains("Tapered rip"), "{text}");
    let json = serde_json::to_value(house.document()).unwrap();
    let boards = json["boards"].as_array().unwrap();
    let tapered = boards.iter().filter(|board| board.get("taper").is_some()).count();
    assert_eq!(tapered, house.order.saw.tapers.len());
}

/// Bows by chance: what the marks of a board enclose is what geo cuts out of the row under the walls, within the half
/// millimetre that a mark may be off the line.
#[test]
fn what_the_marks_enclose_is_what_geo_cuts() {
    let ring = |points: &[(f64, f64)]| LineString::from(points.to_vec());
    let mut seen = 0;
    for seed in 0..40 {
        let mut dice = Dice::new(seed);
        let mut plan = room(2000.0 + dice.mm(0.0, 150.0), 110.0);
        plan.seed = seed;
        for wall in [0, 2] {
            let marks = 1 + dice.below(5);
            let offsets: Vec<(f64, f64)> = (0..marks)
                .map(|i| (4000.0 * (i as f64 + 0.5) / marks as f64, dice.mm(-20.0, 20.0)))
                .collect();
            bow(&mut plan, wall, &offsets);
        }
        let house = pipeline::run(&plan).unwrap();
        let region = &house.site.regions[0];
        let edge: Vec<(f64, f64)> = region.outer.edges.iter().map(|e| (e.a.u, e.a.v)).collect();
        let floor = Polygon::new(ring(&edge), vec![]);
        for board in &house.floor.boards {
            let Some(taper) = board.taper(PITCH) else { continue };
            let marks = taper.marks.windows(2);
            let area: f64 = marks.map(|m| (m[1].at - m[0].at) * (m[0].width + m[1].width) / 2.0).sum();
            let (low, high) = (house.floor.row_low(0, board.row), house.floor.row_low(0, board.row + 1));
            let (a, b) = (board.left, board.right);
            let row = Polygon::new(ring(&[(a, low), (b, low), (b, high), (a, high)]), vec![]);
            let cut = floor.intersection(&row).unsigned_area();
            assert!(
                (area - cut).abs() <= 0.5 * board.length() + 1.0,
                "seed {seed}, {}: {area}, {cut}",
                board.label
            );
            seen += 1;
        }
        let _: Coord = floor.exterior().0[0];
    }
    assert!(seen > 100, "{seen}");
}

/// The upper wall bulges in by 130 in its middle: 40 is left of 170 there, less the 0.02 that a gap square to a wall with
/// that slope is more across the rows. The board under it is a sliver by that place, though most of it is wide.
#[test]
fn a_bow_makes_a_sliver_at_its_narrowest_place() {
    let mut plan = room(2000.0, 110.0);
    bow(&mut plan, 2, &[(2000.0, -130.0)]);
    let house = pipeline::run(&plan).unwrap();
    let slivers: Vec<_> = house.flags.iter().filter(|flag| flag.kind == findings::FlagKind::Sliver).collect();
    assert!(!slivers.is_empty());
    for flag in slivers {
        let findings::Subject::Board(board) = flag.subject else { panic!("{flag:?}") };
        let board = &house.floor.boards[board];
        let nearest = 2000.0_f64.clamp(board.left, board.right);
        let expected = read(&[(0.0, 170.0), (2000.0, 40.0), (4000.0, 170.0)], nearest);
        assert!(
            (flag.figure - expected).abs() < 0.05,
            "{} is {} there, {expected}",
            flag.figure,
            board.label
        );
    }
}

/// 1922.5 deep with a row line at 10: ten rows end at 1910, and 2.5 are left to a gap of 10. Within the play of 4 the gap
/// takes them up: 12.5 are left, and all boards are whole. Deeper by 1 at the left, the gap goes from 12.5 to 13.5; with
/// a bow 1 deep instead, it is 13.5 in the middle.
#[test]
fn play_that_saves_a_strip_is_said_where_the_gap_is_left() {
    let leave = |change: fn(&mut Plan)| {
        let mut plan = room(1922.5, 10.0);
        change(&mut plan);
        let house = pipeline::run(&plan).unwrap();
        assert!(house.floor.boards.iter().all(|board| board.width > PITCH - 0.01), "all whole");
        let mut gaps = house.gaps_to_leave();
        assert_eq!(gaps.len(), 1, "{gaps:?}");
        let (least, greatest) = gaps[0].range();
        let drawn = drawing::floor_drawing(&house, &drawing::Options::set_out(20.0, plan::Units::Metric));
        assert!(drawn.labels().any(|label| label.text.contains("gap 12.5")), "said at the edge");
        let json = serde_json::to_value(house.document()).unwrap();
        assert_eq!(json["setout"]["gaps"][0]["least"], 10.0);
        (least, greatest, gaps.remove(0).words(|mm| format!("{mm}")))
    };
    let near = |a: (f64, f64, String), (least, greatest, words): (f64, f64, &str)| {
        assert!((a.0 - least).abs() < 0.01 && (a.1 - greatest).abs() < 0.01 && a.2 == words, "{a:?}");
    };
    near(leave(|_| {}), (12.5, 12.5, "12.5"));
    near(leave(|plan| plan.rooms[0].walls[3].corner.y += 1.0), (12.5, 13.5, "12.5 to 13.5"));
    near(leave(|plan| bow(plan, 2, &[(2000.0, 1.0)])), (12.5, 13.5, "12.5 to 13.5"));
}
