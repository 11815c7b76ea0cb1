//! Set-outs that can be worked out by hand.
#![allow(clippy::unwrap_used)]

use crate::{Profile, set_out};
use plan::{
    Beyond, Doorway, Fixture, FixtureKind, GapRange, OwnLine, Plan, Point, Room, Sight, StartLine, WallFace,
};
use site::Source;

/// A rectangular room with boards 200 wide and a gap of 10 without play.
pub(crate) fn room(width: f64, height: f64) -> Plan {
    let mut plan = Plan::new("t");
    plan.stock.face_width = 200.0;
    plan.rules.wall_gap = GapRange { least: 10.0, greatest: 10.0 };
    plan.rules.line_tolerance = 1.0;
    plan.rooms.push(Room::boarded(
        "Hall",
        [(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)].map(|(x, y)| Point::new(x, y)),
    ));
    plan
}

#[test]
fn two_walls_share_what_is_left_over() {
    // Between the gaps lie 2100 mm: ten boards and 100 over. Nine whole rows leave 300 for two rips of 150.
    let plan = room(4000.0, 2120.0);
    let set = set_out(&plan, &site::survey(&plan));
    assert!((set.best.narrowest - 150.0).abs() < 1e-9, "{}", set.best.narrowest);
    assert!((set.best.narrowest_within_tolerance - 149.0).abs() < 1e-9);
    assert!(set.best.short_length == 0.0);
    for rip in &set.best.rips {
        assert!((rip.least - 150.0).abs() < 1e-9 && (rip.greatest - 150.0).abs() < 1e-9);
    }
    // The line may move until one wall has a whole board and the next moment a sliver: 50 mm.
    assert!((set.best.safe_by - 50.0).abs() < 1e-9, "{}", set.best.safe_by);
    assert_eq!(set.best.binding.len(), 2);
}

/// Looked for alone, where only stretches with least short are read, the best line is the first of several: in rooms with a
/// recess and walls a little out of true.
#[test]
fn the_best_line_alone_is_the_first_of_several() {
    for number in 0..80 {
        let mut plan = room(4000.0, 2020.0);
        let [low, deep, out] =
            [f64::from(number * 13 % 97), f64::from(number * 29 % 211), f64::from(number % 9)];
        let corners = [
            (0.0, 0.0),
            (1500.0, out),
            (1500.0, 300.0 + deep),
            (2600.0, 300.0 + deep),
            (2600.0, low),
            (4000.0, low - out),
            (4000.0, 2020.0 + deep),
            (0.0, 2100.0 - low),
        ];
        plan.rooms[0] = Room::boarded("Hall", corners.map(|(x, y)| Point::new(x, y)));
        plan.rules.line_tolerance = f64::from(number % 4);
        let site = site::survey(&plan);
        let work = crate::choose::Work::new(&plan, &site);
        let judge = work.judge(|_| true);
        assert_eq!(judge.best(1)[..], judge.best(5)[..1], "room {number}");
    }
}

#[test]
fn the_curve_has_the_two_peaks_of_two_walls() {
    // Offsets count from the plan's origin. Floor from 10 to 2110: the lower wall's rip is o − 10, the upper's
    // 2110 − o − 1800 or so; they meet at 150 and at 50.
    let plan = room(4000.0, 2120.0);
    let set = set_out(&plan, &site::survey(&plan));
    let at = |offset: f64| {
        let pair = set.curve.windows(2).find(|p| p[0].offset <= offset && offset < p[1].offset).unwrap();
        let t = (offset - pair[0].offset) / (pair[1].offset - pair[0].offset);
        pair[0].rip + t * (pair[1].rip - pair[0].rip)
    };
    assert!((at(160.0) - 150.0).abs() < 1e-9);
    assert!((at(60.0) - 50.0).abs() < 1e-9);
    assert!((at(30.0) - 20.0).abs() < 1e-9);
    // Just past 110 the upper wall's sliver begins again.
    assert!(at(109.0) < 2.0 && at(111.0) > 90.0);
}

#[test]
fn whole_boards_at_both_walls_are_not_chosen_since_they_stand_on_a_cliff() {
    // 2000 mm between the gaps is ten boards exactly; a line 0.1 out leaves a sliver of 0.1.
    let plan = room(4000.0, 2020.0);
    let set = set_out(&plan, &site::survey(&plan));
    assert!((set.best.narrowest - 100.0).abs() < 1e-9, "{}", set.best.narrowest);
    assert!(set.best.safe_by > 40.0);
}

#[test]
fn a_wall_out_of_square_counts_at_its_narrow_end() {
    // The upper wall falls by 30 over its length: 2100 on the left, 2070 on the right, between the gaps about.
    let mut plan = room(4000.0, 2120.0);
    plan.rooms[0].walls[2].corner.y = 2090.0;
    let set = set_out(&plan, &site::survey(&plan));
    let upper = set.best.rips.iter().find(|r| r.at.y > 1000.0).unwrap();
    assert!((upper.greatest - upper.least - 30.0).abs() < 0.2, "{} to {}", upper.least, upper.greatest);
    let lower = set.best.rips.iter().find(|r| r.at.y < 1000.0).unwrap();
    // The two narrow ends share 2070 less nine rows, alike to within the ten that two sides are told apart by.
    assert!((upper.least + lower.least - 270.0).abs() < 0.2);
    assert!((upper.least - lower.least).abs() <= 10.0 && set.best.value.uneven <= 10.0);
}

#[test]
fn a_line_set_by_hand_is_valued_but_does_not_hide_the_best() {
    let mut plan = room(4000.0, 2120.0);
    plan.start_line = StartLine::At(-170.0);
    let set = set_out(&plan, &site::survey(&plan));
    // −170 is 30 modulo a board of 200: a rip of 20 at the lower wall.
    assert!((set.chosen.offset - 30.0).abs() < 1e-9);
    assert!((set.chosen.narrowest - 20.0).abs() < 1e-9);
    assert!((set.best.narrowest - 150.0).abs() < 1e-9);
    let runner_up = set.runner_up.unwrap();
    assert!(runner_up.narrowest <= set.best.narrowest);
}

#[test]
fn pulls_are_wall_gap_rip_and_rows() {
    let plan = room(4000.0, 2120.0);
    let set = set_out(&plan, &site::survey(&plan));
    let line = set.line.unwrap();
    assert_eq!(line.pulls.len(), 2);
    assert_eq!((line.pulls[0].letter, line.pulls[1].letter), ('A', 'B'));
    let rip = &set.chosen.rips[line.first_rip.unwrap()];
    for pull in &line.pulls {
        let expected = 10.0 + rip.least + line.rows_to_wall as f64 * 200.0;
        assert!((pull.distance - expected).abs() < 1e-9, "{} is not {expected}", pull.distance);
    }
    // The check comes from the other side of the line, and the two make up the room.
    let check = line.check.unwrap();
    assert!((check.distance + line.pulls[0].distance - 2120.0).abs() < 1e-9);
}

#[test]
fn a_plan_without_floor_gives_no_line() {
    let plan = Plan::new("empty");
    let set = set_out(&plan, &site::survey(&plan));
    assert!(set.line.is_none() && set.best.rips.is_empty());
    assert_eq!(set.best.narrowest, set.pitch);
}

#[test]
fn lines_equal_within_the_tolerance_are_parted_by_what_a_true_line_leaves() {
    // No line keeps the least rip, a whole board, at either wall within 20 mm: all are equals but for their narrowest.
    // Boards 40 wide and 2110 between the gaps, 30 over: 35 at both walls.
    let mut plan = room(4000.0, 2130.0);
    (plan.stock.face_width, plan.rules.least_rip, plan.rules.line_tolerance) = (40.0, 40.0, 20.0);
    for shift in [0.0, 7.0, 23.0] {
        for wall in &mut plan.rooms[0].walls {
            wall.corner.y += shift;
        }
        let set = set_out(&plan, &site::survey(&plan));
        assert!((set.best.narrowest - 35.0).abs() < 1e-6, "{}", set.best.narrowest);
    }
}

#[test]
fn the_first_rip_and_the_whole_rows_reach_from_the_wall_to_the_line() {
    // 2000 mm between the gaps; lines at 10, 210 … leave a whole board at the wall, which is no row twice.
    for (offset, kept) in [(10.0, 200.0), (110.0, 100.0), (70.0, 60.0), (209.0, 199.0)] {
        let mut plan = room(4000.0, 2020.0);
        plan.start_line = StartLine::At(offset);
        let set = set_out(&plan, &site::survey(&plan));
        let line = set.line.unwrap();
        let rip = &set.chosen.rips[line.first_rip.unwrap()];
        let from_wall = (rip.at.y - line.v).abs();
        assert!(
            (rip.least + 200.0 * line.rows_to_wall as f64 - from_wall).abs() < 1e-6,
            "{kept} {from_wall}"
        );
    }
}

#[test]
fn a_remainder_within_the_play_is_taken_up_by_the_gap() {
    // Between the least gaps lie 2003 mm: ten boards and 3 over. The gaps may grow from 10 to 14.
    let mut plan = room(4000.0, 2023.0);
    plan.rules.wall_gap = GapRange { least: 10.0, greatest: 14.0 };
    let site = site::survey(&plan);
    let set = set_out(&plan, &site);
    // Whole boards at both walls, the 3 mm shared by their gaps; no strip until one of them is used up.
    assert_eq!(set.best.value.ripped, 0.0);
    assert!(set.best.rips.iter().all(|rip| rip.least == 200.0));
    let used: f64 = set.best.rips.iter().map(|rip| rip.play).sum();
    assert!((used - 3.0).abs() < 1e-9, "{used}");
    // Off by 2.5, the last of one gap's play of 4 is gone and a sliver begins.
    assert!((set.best.safe_by - 2.5).abs() < 0.02, "{}", set.best.safe_by);
    let eased = site::eased(&site, &set.eases);
    assert!((eased.boarded_area() - 3980.0 * 2000.0).abs() < 1e-3);
    // Gaps that may not grow leave strips, or two rips.
    plan.rules.wall_gap.greatest = 10.0;
    assert!(set_out(&plan, &site::survey(&plan)).best.value.ripped > 7900.0);
}

#[test]
fn a_taper_wider_than_the_play_is_not_taken_up() {
    // The upper wall rises by 6 over its length; the gap may grow by 4.
    let mut plan = room(4000.0, 2020.0);
    plan.rooms[0].walls[2].corner.y = 2026.0;
    plan.rules.wall_gap = GapRange { least: 10.0, greatest: 14.0 };
    plan.start_line = StartLine::At(10.5);
    let site = site::survey(&plan);
    let set = set_out(&plan, &site);
    let upper = set.chosen.rips.iter().find(|r| r.at.y > 1000.0).unwrap();
    assert_eq!((upper.play, upper.least), (0.0, 0.0), "a strip of 5.5 runs out to nothing");
    assert_eq!(set.eases.len(), 1, "only the lower wall's half a millimetre is taken up");
}

/// In a room of 3000 rips hang on the line; in one of one row, and with rows aslant to every wall, none does.
#[test]
fn rips_hang_on_a_line_where_rows_end_at_walls() {
    let hangs = |height: f64, rows_at: f64| {
        let plan = Plan { rows_at, ..room(4000.0, height) };
        set_out(&plan, &site::survey(&plan)).hangs_on_line()
    };
    assert!(hangs(3000.0, 0.0));
    assert!(!hangs(120.0, 0.0) && !hangs(3000.0, 30.0));
}

/// A recess one board deep whose ends lean, as ends do: at one of them the far wall is 3 longer than the near one. The wood is
/// no wider there for that.
#[test]
fn wood_between_two_walls_is_no_wider_where_their_ends_lean() {
    let mut plan = Plan::new("t");
    let corners = [(0.0, 0.0), (4000.0, 0.0), (4003.0, 140.0), (-2.0, 140.0)];
    plan.rooms.push(Room::boarded("A", corners.map(Point::from)));
    plan.start_line = StartLine::At(150.0);
    let set = set_out(&plan, &site::survey(&plan));
    let rips: Vec<(f64, f64)> = set.chosen.rips.iter().map(|rip| (rip.least, rip.greatest)).collect();
    // Walls 140 apart, a gap of 10 at both: 120. Up to the row lines at 150 and -40 it would be 140 and 170.
    assert_eq!(rips, [(120.0, 120.0); 2]);
}

#[test]
fn wood_between_two_edges_is_no_wider_than_their_distance() {
    // A vent 110 from the wall: less its own gap and the wall's, 90 mm of floor.
    let mut plan = room(4000.0, 2120.0);
    let at = |x: f64, y: f64| Point::new(x, y);
    plan.fixtures.push(Fixture::plain(
        "Vent",
        FixtureKind::Vent,
        vec![at(1000.0, 110.0), at(1300.0, 110.0), at(1300.0, 210.0), at(1000.0, 210.0)],
    ));
    for offset in [60.0, 150.0] {
        plan.start_line = StartLine::At(offset);
        let set = set_out(&plan, &site::survey(&plan));
        let (wall, vent) = (&set.chosen.rips[0], set.chosen.rips.iter().find(|r| r.at.y == 100.0).unwrap());
        assert_eq!((wall.facing, vent.facing), (Some(90.0), Some(90.0)));
        // With a row line between them each keeps its own strip; without one the wood is 90 wide.
        let expected = if offset == 60.0 { (50.0, 40.0) } else { (90.0, 90.0) };
        assert_eq!((wall.least, vent.least), expected);
        // Past the vent the wall's boards go on to the row line, by hand: at 60 or 150 over it.
        let widest = if offset == 60.0 { (50.0, 40.0) } else { (140.0, 90.0) };
        assert_eq!((wall.greatest, vent.greatest), widest);
    }
    // Floor narrower than the least rip is beyond any line's help: it does not decide, but it is said.
    plan.rules.least_rip = 95.0;
    let set = set_out(&plan, &site::survey(&plan));
    assert_eq!((set.chosen.rips[0].least, set.chosen.value.beyond_help), (90.0, 2));
    assert!(set.best.narrowest > 95.0);
}

/// A hallway 4000 × 1300 and a room 4000 × 2500 over it, joined by a doorway with a trim across the rows.
fn two_regions() -> Plan {
    let mut plan = room(4000.0, 1300.0);
    let corners = [(0.0, 1400.0), (4000.0, 1400.0), (4000.0, 3927.0), (0.0, 3927.0)];
    plan.rooms.push(Room::boarded("Snug", corners.map(|(x, y)| Point::new(x, y))));
    plan.doorways
        .push(Doorway { beyond: Beyond::Trim(30.0), ..Doorway::plain("Door", "Hall", 2, 1000.0, 800.0) });
    plan
}

#[test]
fn a_region_past_a_trim_is_compared_and_may_have_its_own_line() {
    let mut plan = two_regions();
    let site = site::survey(&plan);
    let set = set_out(&plan, &site);
    assert_eq!((site.regions.len(), set.regions.len()), (2, 1));
    let hall = &set.regions[0];
    // The room is larger, so the hallway is the one that may go its own way.
    assert_eq!((hall.rooms.as_slice(), hall.has_own), ([0].as_slice(), false));
    assert!(hall.own.value.compare(&hall.shared.value).is_le());
    let out = (hall.own.offset - set.chosen.offset).rem_euclid(200.0);
    assert!((hall.out_of_line - out.min(200.0 - out)).abs() < 1e-9);
    assert_eq!(set.region_lines[0], set.region_lines[1]);

    // Given a line of its own, the hallway's lines lie there, and its rips with them; the room is set out alone.
    plan.own_lines.push(OwnLine { room: "Hall".into(), line: StartLine::At(75.0) });
    let own = set_out(&plan, &site);
    let line = own.regions[0].line.as_ref().unwrap();
    assert!(own.regions[0].has_own && ((line.v - 75.0) / 200.0).fract().abs() < 1e-9);
    assert_eq!(own.region_lines[0], line.v);
    assert_ne!(own.region_lines[1], line.v);
    let wall = own.chosen.rips.iter().find(|rip| rip.edge.region == 0 && rip.at.y < 20.0).unwrap();
    assert!((wall.least - 65.0).abs() < 1e-9, "{}", wall.least);
    assert!(own.best.binding.iter().all(|edge| edge.region == 1));
    assert!(line.pulls.iter().all(|pull| pull.room == 0));
}

#[test]
fn what_is_behind_closed_doors_weighs_less() {
    let mut plan = two_regions();
    let open = set_out(&plan, &site::survey(&plan));
    assert!(open.best.rips.iter().all(|rip| rip.weight == 1.0));
    plan.rooms[0].sight = Sight::Closed;
    plan.rooms[1].walls[0].face = WallFace::Cabinets;
    let set = set_out(&plan, &site::survey(&plan));
    for rip in &set.best.rips {
        let expected = match rip.source {
            Source::Wall { room: 0, .. } => 0.1,
            Source::Wall { room: 1, wall: 0 } => 0.5,
            // The doorway counts as the more visible of its rooms.
            _ => 1.0,
        };
        assert_eq!(rip.weight, expected, "{:?}", rip.source);
    }
}

#[test]
fn a_wall_that_rises_by_a_board_is_counted_apart() {
    let mut plan = room(4000.0, 2120.0);
    plan.rooms[0].walls[2].corner.y = 2420.0;
    let set = set_out(&plan, &site::survey(&plan));
    assert_eq!((set.best.value.steep, set.best.rips.len()), (1, 1));
    // Nothing else limits the one wall that is left: three quarters of a board would do as well as half.
    assert!(set.best.value.narrowest >= 100.0);
}

#[test]
fn rips_keep_the_profile_that_the_next_board_needs() {
    let mut plan = room(4000.0, 3000.0);
    let at = |x: f64, y: f64| Point::new(x, y);
    plan.fixtures.push(Fixture::plain(
        "Island",
        FixtureKind::Island,
        vec![at(1000.0, 2300.0), at(1900.0, 2300.0), at(1900.0, 2600.0), at(1000.0, 2600.0)],
    ));
    let set = set_out(&plan, &site::survey(&plan));
    let line = set.line.unwrap();
    assert!(line.v < 2200.0);
    let keeps = |y: f64| set.chosen.rips.iter().find(|rip| (rip.at.y - y).abs() < 1.0).unwrap().keeps;
    assert_eq!([10.0, 2990.0, 2290.0].map(keeps), [Profile::Groove; 3]);
    // Past the island the floor begins again, tongue first.
    assert_eq!(keeps(2610.0), Profile::Tongue);
    // The pulls start from one wall; the last rip is at the other.
    let [first, last] = [line.first_rip, line.last_rip].map(|rip| set.chosen.rips[rip.unwrap()].at.y);
    assert!((first - 10.0).abs() < 1.0 && (last - 2990.0).abs() < 1.0 || (last - 10.0).abs() < 1.0);
}

/// A hall 8 m long and 1 m wide with a bay 3 m wide beyond: five lines lie along the whole hall, at 110, 310, … 910; the
/// middle one is snapped, however many shorter ones follow in the bay.
#[test]
fn the_middle_of_the_longest_lines_is_snapped() {
    let mut plan = room(8000.0, 1020.0);
    let corners =
        [(0.0, 0.0), (8000.0, 0.0), (8000.0, 1020.0), (3000.0, 1020.0), (3000.0, 4020.0), (0.0, 4020.0)];
    plan.rooms[0] = Room::boarded("Hall", corners.map(|(x, y)| Point::new(x, y)));
    plan.start_line = StartLine::At(110.0);
    let line = set_out(&plan, &site::survey(&plan)).line.unwrap();
    assert!((line.v - 510.0).abs() < 1e-6, "{}", line.v);
}

/// A hall 6 m long whose far wall runs out by 20, 2275 between the gaps at its narrow end: twelve rows of 165 and two rips that
/// come to 295. From 142.5 and 152.5 to equal ones of 147.5 all are wider than half a board, which looks as well, and the far one
/// is still over that where the wall tapers: so a line is taken at which the two sides differ by less than 10. Arithmetic.
#[test]
fn of_lines_as_wide_that_is_taken_whose_sides_are_nearly_even() {
    let mut plan = room(6000.0, 2295.0);
    plan.stock.face_width = 165.0;
    plan.rules.least_rip = 50.0;
    plan.rules.line_tolerance = 0.0;
    let corners = [(0.0, 0.0), (6000.0, 0.0), (6000.0, 2315.0), (0.0, 2295.0)];
    plan.rooms[0] = Room::boarded("Hall", corners.map(|(x, y)| Point::new(x, y)));
    let best = set_out(&plan, &site::survey(&plan)).best;
    assert!(best.narrowest > 142.0 && best.value.uneven < 10.0, "{} {:?}", best.offset, best.value);
}
