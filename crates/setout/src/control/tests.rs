//! Control lines on floors worked out by hand.
#![allow(clippy::unwrap_used)]
use super::*;
use crate::set_out;
use plan::{Fixture, FixtureKind, Room};

fn plan(rooms: &[(&str, [f64; 4])]) -> Plan {
    let mut plan = Plan::new("t");
    plan.stock.face_width = 200.0;
    for (name, [x, y, w, h]) in rooms {
        let corners = [(*x, *y), (x + w, *y), (x + w, y + h), (*x, y + h)];
        plan.rooms.push(Room::boarded(*name, corners.map(|(x, y)| Point::new(x, y))));
    }
    plan
}

fn controls(plan: &Plan) -> (SetOut, Vec<ControlLine>) {
    let site = site::survey(plan);
    let set = set_out(plan, &site);
    let lines = control_lines(plan, &site, &set);
    (set, lines)
}

#[test]
fn the_start_line_is_its_own_rooms_control_line() {
    let plan = plan(&[("Hall", [0.0, 0.0, 4000.0, 2120.0])]);
    let (set, lines) = controls(&plan);
    assert_eq!(lines.len(), 1);
    assert_eq!((lines[0].rows, lines[0].pulls.len()), (0, 2));
    assert!((lines[0].v - set.line.unwrap().v).abs() < 1e-9);
}

#[test]
fn every_control_line_is_whole_rows_off_and_pulled_from_its_own_room() {
    // Two rooms that touch: one floor, the upper one too far from the start line for a tape.
    let plan = plan(&[("Hall", [0.0, 0.0, 6000.0, 1500.0]), ("Den", [0.0, 1500.0, 3000.0, 4000.0])]);
    let (set, lines) = controls(&plan);
    assert_eq!(lines.len(), 2);
    for (line, room) in lines.iter().zip(0..) {
        assert_eq!(line.place, ControlPlace::Room(room));
        assert!((line.v - set.line_of(0) - f64::from(line.rows) * 200.0).abs() < 1e-9);
        assert_eq!(line.pulls.len(), 2);
        for pull in &line.pulls {
            assert_eq!(pull.room, room);
            // A tape from the corner square to the rows, which run along x here.
            assert!((pull.distance - (pull.corner.y - line.v).abs()).abs() < 1e-9);
            assert_eq!(pull.corner, plan.rooms[room].walls[pull.wall].corner);
        }
    }
    assert!(lines[1].rows > 0);
}

#[test]
fn rows_that_go_round_an_island_have_a_line_on_both_sides() {
    let mut plan = plan(&[("Kitchen", [0.0, 0.0, 5000.0, 4000.0])]);
    let outline = [(2000.0, 2500.0), (3000.0, 2500.0), (3000.0, 3300.0), (2000.0, 3300.0)];
    plan.fixtures.push(Fixture::plain(
        "Island",
        FixtureKind::Island,
        outline.map(|(x, y)| Point::new(x, y)).to_vec(),
    ));
    let (set, lines) = controls(&plan);
    let beside: Vec<&ControlLine> =
        lines.iter().filter(|l| !matches!(l.place, ControlPlace::Room(_))).collect();
    assert_eq!(beside.len(), 2);
    assert_eq!(beside[0].v, beside[1].v);
    // With its gap of 10 it reaches to 3310: the last row line before that, from a start line below it.
    assert!(set.line_of(0) < 2490.0);
    assert!(beside[0].v < 3310.0 && beside[0].v + 200.0 >= 3310.0, "{}", beside[0].v);
    let site = site::survey(&plan);
    assert_eq!(beside[0].place.name(&plan, &site), "Island, left of it");
    assert_eq!(beside[1].place.name(&plan, &site), "Island, right of it");
    assert!((beside[0].to.x - 1990.0).abs() < 1e-6 && (beside[1].from.x - 3010.0).abs() < 1e-6);
    assert!(beside.iter().all(|line| !line.pulls.is_empty()));
}

/// A wide hall above the kitchen has the start line; the last row line that crosses the island, seen from there, is
/// the lowest: with its gap of 10 the island begins at 690.
#[test]
fn below_the_start_line_the_last_row_line_before_an_island_ends_is_the_lowest() {
    let mut plan =
        plan(&[("Kitchen", [0.0, 0.0, 5000.0, 3000.0]), ("Hall", [-3000.0, 3000.0, 11_000.0, 1500.0])]);
    let outline = [(2000.0, 700.0), (3000.0, 700.0), (3000.0, 1500.0), (2000.0, 1500.0)];
    plan.fixtures.push(Fixture::plain(
        "Island",
        FixtureKind::Island,
        outline.map(|(x, y)| Point::new(x, y)).to_vec(),
    ));
    let (set, lines) = controls(&plan);
    assert!(set.line_of(0) > 1510.0);
    let mut beside = lines.iter().filter(|line| !matches!(line.place, ControlPlace::Room(_)));
    let (Some(left), Some(right), None) = (beside.next(), beside.next(), beside.next()) else {
        panic!("{lines:?}")
    };
    assert_eq!(left.v, right.v);
    assert!(left.v > 690.0 && left.v - 200.0 <= 690.0, "{}", left.v);
}

#[test]
fn a_line_with_one_pull_says_how_its_second_point_is_found() {
    let plan = plan(&[("Hall", [0.0, 0.0, 6000.0, 1500.0]), ("Den", [0.0, 1500.0, 3000.0, 4000.0])]);
    let (set, lines) = controls(&plan);
    let site = site::survey(&plan);
    let said = |line: &ControlLine| line.second_point(&plan, &site, &set, |mm| format!("{mm:.0}"));
    assert_eq!(lines.iter().filter_map(said).count(), 0, "two pulls fix a line");
    let one = ControlLine { pulls: lines[1].pulls[..1].to_vec(), ..lines[1].clone() };
    // So many whole rows of 200.
    let away = format!("measure {} square from the start line", one.rows * 200);
    assert!(said(&one).is_some_and(|how| how.contains(&away)), "{:?}", said(&one));
}

/// A kitchen 7150 wide with a bay 500 wide above its left end; a hall below has the start line. Every row line is as long as the
/// room: that nearest to the hall, from where its rows come, is pulled from the kitchen's lower corners, not from the bay's,
/// 500 apart, where a millimetre at one would be more than 14 at the other end: 7150 / 500 = 14.3.
#[test]
fn control_lines_are_pulled_from_corners_far_apart_where_the_rows_come_in() {
    let mut plan = plan(&[("Hall", [-3000.0, 0.0, 12_000.0, 1500.0])]);
    let corners =
        [(0.0, 1500.0), (7150.0, 1500.0), (7150.0, 6000.0), (500.0, 6000.0), (500.0, 6600.0), (0.0, 6600.0)];
    plan.rooms.push(Room::boarded("Kitchen", corners.map(|(x, y)| Point::new(x, y))));
    let (set, lines) = controls(&plan);
    let kitchen = &lines[1];
    assert!(set.line_of(0) < 1500.0 && kitchen.place == ControlPlace::Room(1), "{kitchen:?}");
    let mut from: Vec<usize> = kitchen.pulls.iter().map(|pull| pull.wall).collect();
    from.sort_unstable();
    assert_eq!(from, [0, 1]);
    // A tape from a corner needs 120; within a row of that it is the first that can be pulled.
    assert!(kitchen.v >= 1620.0 && kitchen.v < 1820.0, "{}", kitchen.v);
    // Where the bay's three corners alone are in reach, 500 apart, one of them gives a point, and the others none.
    let site = site::survey(&plan);
    let line = Stretch { region: kitchen.region, v: 5000.0, left: 10.0, right: 7140.0 };
    let mut bay = Corners::new(&plan, &site).reaching(&site, &line);
    bay.retain(|corner| corner.at.u <= 500.0 && corner.at.v > line.v);
    assert_eq!((bay.len(), choose_pulls(&site, &line, &bay).0.len()), (3, 2));
    assert_eq!(sound_pulls(&site, &line, &bay).len(), 1);
}

/// Pulls 500 apart at the end of a line 7150 long show an error of one 14.3 times at the other end; at the line's ends once;
/// in the middle, 2400 apart with 2375 beyond either, (2400 + 2375) / 2400 = 2 times.
#[test]
fn the_error_of_a_pull_grows_with_what_the_line_reaches_past_the_other() {
    let plan = plan(&[("Hall", [0.0, 0.0, 7150.0, 1500.0])]);
    let site = site::survey(&plan);
    let line = Stretch { region: 0, v: 700.0, left: 0.0, right: 7150.0 };
    let pull = |u: f64| Pull {
        letter: 'A',
        room: 0,
        wall: 0,
        corner: Point::new(u, 0.0),
        foot: Point::new(u, 700.0),
        distance: 700.0,
    };
    let grown = |a: f64, b: f64| grown(&site, &line, &[pull(a), pull(b)]);
    assert!((grown(0.0, 500.0) - 14.3).abs() < 1e-9 && (grown(7150.0, 0.0) - 1.0).abs() < 1e-9);
    assert!((grown(2375.0, 4775.0) - 4775.0 / 2400.0).abs() < 1e-9);
}

/// An island along all of the right of a kitchen but for 800: to the line on its right no corner reaches, but the floor is
/// open to the control line of the room below it, which two pulls fix.
#[test]
fn a_line_that_no_corner_reaches_is_measured_from_another() {
    let mut plan = plan(&[("Kitchen", [0.0, 0.0, 9000.0, 9000.0])]);
    let outline = [(2000.0, 8000.0), (7000.0, 8000.0), (7000.0, 8900.0), (2000.0, 8900.0)];
    plan.fixtures.push(Fixture::plain(
        "Island",
        FixtureKind::Island,
        outline.map(|(x, y)| Point::new(x, y)).to_vec(),
    ));
    // Cabinets stand before the corners above.
    let (set, mut lines) = controls(&plan);
    let site = site::survey(&plan);
    let (fixed, place) = (lines[0].v, lines[0].place);
    assert!(lines[0].pulls.len() == 2 && lines.len() == 3, "{lines:?}");
    lines[2].pulls.clear();
    measure_from_others(&site, &Corners::new(&plan, &site), &set, &mut lines);
    let line = &lines[2];
    let near = line.from_line.unwrap();
    assert!(near.place == place && (near.distance - (line.v - fixed).abs()).abs() < 1e-9, "{near:?}");
    let said = line.second_point(&plan, &site, &set, |mm| format!("{mm:.0}")).unwrap();
    let from = if near.is_start { "the start line" } else { "the control line of Kitchen" };
    assert_eq!(said, format!("at both ends measure {:.0} square from {from}", near.distance));
}

#[test]
fn a_column_within_a_row_needs_none() {
    let mut plan = plan(&[("Kitchen", [0.0, 0.0, 5000.0, 4000.0])]);
    let outline = [(2000.0, 2500.0), (2100.0, 2500.0), (2100.0, 2600.0), (2000.0, 2600.0)];
    plan.fixtures.push(Fixture::plain(
        "Post",
        FixtureKind::Column,
        outline.map(|(x, y)| Point::new(x, y)).to_vec(),
    ));
    assert_eq!(controls(&plan).1.len(), 1);
}
