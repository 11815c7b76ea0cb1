//! Movement joints and the lines past them, on rooms worked out by hand.
#![allow(clippy::unwrap_used)]

use crate::{SetOut, set_out};
use plan::{Beyond, Doorway, GapRange, MovementJoint, OwnLine, Plan, Point, Room, StartLine};
use site::{Edge, EdgeKind, Site, eased};

fn rect(x: f64, y: f64, w: f64, h: f64) -> Vec<Point> {
    [(x, y), (x + w, y), (x + w, y + h), (x, y + h)].map(Point::from).to_vec()
}

/// A room of boards 200 wide with a joint 10 wide along the rows, walls keep exactly 10 mm.
fn hall(height: f64, at: f64, line: f64) -> Plan {
    let mut plan = Plan::new("t");
    plan.stock.face_width = 200.0;
    plan.rules.wall_gap = GapRange { least: 10.0, greatest: 10.0 };
    plan.start_line = StartLine::At(line);
    plan.rooms.push(Room::boarded("Hall", rect(0.0, 0.0, 6000.0, height)));
    plan.joints.push(MovementJoint::new(Point::new(0.0, at), Point::new(6000.0, at)));
    plan
}

fn laid(plan: &Plan) -> (SetOut, Site) {
    let site = site::survey(plan);
    let set = set_out(plan, &site);
    let eased = eased(&site, &set.eases);
    (set, eased)
}

fn joint_edges(site: &Site) -> Vec<&Edge> {
    site.regions.iter().flat_map(|r| r.edges()).filter(|e| e.kind == EdgeKind::MovementJoint).collect()
}

#[test]
fn a_joint_along_the_rows_goes_to_the_nearest_row_line_and_moves_what_follows() {
    // Row lines at 110, 310, … 3910 by hand. The larger part lies below: drawn at 4563, its lower side at 4558
    // goes to 4510 (the line at 4710 is further off), its upper one to 4520.
    let plan = hall(7000.0, 4563.0, 110.0);
    let (set, site) = laid(&plan);
    assert_eq!(site.regions.len(), 2);
    let sides: Vec<(f64, f64)> = joint_edges(&site).iter().map(|edge| edge.v_range()).collect();
    assert!(sides.iter().any(|(low, high)| (low - 4510.0).abs() < 1e-6 && (high - 4510.0).abs() < 1e-6));
    assert!(sides.iter().any(|(low, high)| (low - 4520.0).abs() < 1e-6 && (high - 4520.0).abs() < 1e-6));
    assert!(joint_edges(&site).iter().all(|edge| edge.gap == 5.0));
    // Below the joint rows start from 110, above it from 4520: 10 further on.
    assert_eq!((set.shift_of(0), set.shift_of(1)), (0.0, 10.0));
    assert!((set.line_of(1) - set.line_of(0) - 10.0).abs() < 1e-9);
    // The last rip at the wall at 6990: 6990 − 4520 = 2470 = 12 · 200 + 70. The first at 10: 110 − 10 = 100.
    let mut rips: Vec<f64> = set.chosen.rips.iter().map(|rip| rip.least).collect();
    rips.sort_by(f64::total_cmp);
    assert_eq!(rips.len(), 2, "no rip along the joint: {rips:?}");
    assert!((rips[0] - 70.0).abs() < 1e-6 && (rips[1] - 100.0).abs() < 1e-6, "{rips:?}");
    assert!(!set.has_own_line(0) && !set.has_own_line(1) && set.regions.is_empty());
    // The parts' areas: 5980 times 4510 − 10, and times 6990 − 4520.
    assert!((site.regions[0].area - 5980.0 * 4500.0).abs() < 1.0);
    assert!((site.regions[1].area - 5980.0 * 2470.0).abs() < 1.0);
}

/// A floor of one and a half boards, 300, has whole rows on its side of the joint, which may then move: its upper side goes from
/// 320 to the line at 310. A tenth less has none, and the joint stays where it is drawn.
#[test]
fn a_joint_beside_a_floor_of_a_board_and_a_half_goes_to_a_row_line() {
    let sides = |at: f64| -> Vec<f64> {
        let (_, site) = laid(&hall(7000.0, at, 110.0));
        let mut sides: Vec<f64> = joint_edges(&site).iter().map(|edge| edge.v_range().0).collect();
        sides.sort_by(f64::total_cmp);
        sides
    };
    for (drawn, stands) in [(315.0, [300.0, 310.0]), (314.9, [309.9, 319.9])] {
        let found = sides(drawn);
        let is_there =
            found.len() == 2 && found.iter().zip(stands).all(|(found, v)| (found - v).abs() < 1e-3);
        assert!(is_there, "drawn at {drawn}: {found:?}");
    }
}

#[test]
fn the_line_is_chosen_with_the_joint_in_mind() {
    // Every line of every plan, by 0.01 mm and with the room's arithmetic written out: the narrowest rip of the two
    // walls, whole boards at the joint.
    let pitch = 200.0;
    for height in [5000.0, 5013.0, 5127.5, 5191.0] {
        let mut plan = hall(height, 2600.0, 0.0);
        plan.start_line = StartLine::Best;
        plan.rules.line_tolerance = 0.0;
        let (set, _) = laid(&plan);
        let main_is_low = set.shift_of(0) == 0.0;
        let part = |x: f64| {
            let rest = x.rem_euclid(pitch);
            if rest < 1e-9 { pitch } else { rest }
        };
        let narrowest = |offset: f64| {
            let (low, high) = if main_is_low { (offset, offset + 10.0) } else { (offset - 10.0, offset) };
            part(low - 10.0).min(part(height - 10.0 - high))
        };
        let best = (0..20_000).map(|step| narrowest(f64::from(step) * 0.01)).fold(0.0, f64::max);
        assert!(set.chosen.narrowest >= best.min(100.0) - 5.0, "{height}: {} {best}", set.chosen.narrowest);
        assert!((narrowest(set.chosen.offset) - set.chosen.narrowest).abs() < 1e-6);
    }
}

#[test]
fn a_joint_that_cannot_move_is_ripped_along() {
    // Nearer to the wall than a row and a half.
    let plan = hall(5000.0, 4800.0, 110.0);
    let (set, site) = laid(&plan);
    assert!(joint_edges(&site).iter().any(|edge| (edge.a.v - 4795.0).abs() < 0.01));
    assert_eq!((set.shift_of(0), set.shift_of(1)), (0.0, 0.0));
    let rip = set.chosen.rips.iter().find(|rip| rip.kind == EdgeKind::MovementJoint && rip.at.y < 4800.0);
    // 4795 − 110 = 4685 = 23 · 200 + 85.
    assert!((rip.unwrap().least - 85.0).abs() < 0.01);
}

#[test]
fn rows_that_go_round_a_joint_hold_it_where_it_is() {
    // A joint from the left wall that ends in the floor: its two sides are one floor.
    let mut plan = hall(5000.0, 2563.0, 110.0);
    plan.joints[0].to.x = 3000.0;
    let (set, site) = laid(&plan);
    assert_eq!(site.regions.len(), 1);
    assert!(joint_edges(&site).iter().any(|edge| (edge.a.v - 2558.0).abs() < 0.01));
    assert_eq!(set.shift_of(0), 0.0);
}

#[test]
fn a_joint_across_the_rows_leaves_them_in_line() {
    let mut plan = hall(5000.0, 0.0, 110.0);
    plan.joints[0] = MovementJoint::new(Point::new(3000.0, 0.0), Point::new(3000.0, 5000.0));
    let (set, site) = laid(&plan);
    assert_eq!(site.regions.len(), 2);
    assert_eq!(set.line_of(0), set.line_of(1));
    assert!(set.regions.is_empty(), "a joint gives no choice of another line");
}

#[test]
fn two_joints_add_up_and_a_trim_carries_the_line_on() {
    let mut plan = hall(9000.0, 3000.0, 110.0);
    plan.joints.push(MovementJoint::new(Point::new(0.0, 6000.0), Point::new(6000.0, 6000.0)));
    plan.rooms.push(Room::boarded("Study", rect(6100.0, 7000.0, 3000.0, 2000.0)));
    plan.doorways
        .push(Doorway { beyond: Beyond::Trim(30.0), ..Doorway::plain("Door", "Hall", 1, 7500.0, 800.0) });
    let (set, site) = laid(&plan);
    assert_eq!(site.regions.len(), 4);
    let at = |x: f64, y: f64| {
        let inside = |r: &site::Region| {
            let (mut low, mut high) = (Point::new(1e9, 1e9), Point::new(-1e9, -1e9));
            for e in r.edges() {
                low = Point::new(low.x.min(e.a.u), low.y.min(e.a.v));
                high = Point::new(high.x.max(e.a.u), high.y.max(e.a.v));
            }
            low.x <= x && x <= high.x && low.y <= y && y <= high.y
        };
        site.regions.iter().position(inside).unwrap()
    };
    let (low, middle, high, study) =
        (at(100.0, 100.0), at(100.0, 5000.0), at(100.0, 8000.0), at(8000.0, 8000.0));
    // The largest part is the lowest or the highest by a hair; what counts is the difference.
    let from_low = |region: usize| set.shift_of(region) - set.shift_of(low);
    assert_eq!((from_low(middle), from_low(high), from_low(study)), (10.0, 20.0, 20.0));
    assert!((set.line_of(study) - set.line_of(high)).abs() < 1e-9);
    // The study may have a line of its own; the parts of the hall may not part.
    assert_eq!(set.regions.iter().map(|choice| choice.region).collect::<Vec<_>>(), [study]);

    plan.own_lines.push(OwnLine { room: "Study".into(), line: StartLine::At(77.0) });
    let (set, _) = laid(&plan);
    assert!((set.line_of(study).rem_euclid(200.0) - 77.0).abs() < 1e-9);
    assert!((set.regions[0].own.offset - 77.0).abs() < 1e-9 && set.has_own_line(study));
}

#[test]
fn parts_of_a_room_with_its_own_line_keep_together() {
    let mut plan = hall(5000.0, 2563.0, 110.0);
    // A larger hall past a trim, so that the first one's line is its own.
    plan.rooms.push(Room::boarded("Barn", rect(6100.0, 0.0, 9000.0, 7000.0)));
    plan.doorways
        .push(Doorway { beyond: Beyond::Trim(30.0), ..Doorway::plain("Gate", "Hall", 1, 500.0, 800.0) });
    plan.own_lines.push(OwnLine { room: "Hall".into(), line: StartLine::At(50.0) });
    let (set, site) = laid(&plan);
    assert_eq!(set.regions.len(), 1);
    let leader = set.regions[0].region;
    let other = (0..3).find(|r| *r != leader && set.has_own_line(*r)).unwrap();
    let apart = set.line_of(other) - set.line_of(leader);
    assert!((apart.abs() - 10.0).abs() < 1e-9, "{apart}");
    // Its joint lies on those lines: row lines at 50 modulo 200, in the leading part.
    let lower = joint_edges(&site).into_iter().find(|edge| !edge.floor_is_above()).unwrap();
    let upper = joint_edges(&site).into_iter().find(|edge| edge.floor_is_above()).unwrap();
    assert!((upper.a.v - lower.a.v - 10.0).abs() < 1e-6);
    let on_line = |v: f64| (v - 50.0).rem_euclid(200.0).min(200.0 - (v - 50.0).rem_euclid(200.0)) < 1e-6;
    assert!(on_line(lower.a.v) || on_line(upper.a.v));
}

#[test]
fn a_joint_in_a_doorway_keeps_out_of_a_slivers_way() {
    // Two rooms 3 m deep, rows along the wall between them, which is 200 thick: a joint in the middle of the opening
    // can give some 80 either way. Whatever the line, neither side of it is left a sliver.
    for line in (0..20).map(|step| f64::from(step) * 10.0) {
        let mut plan = hall(3000.0, 0.0, line);
        plan.rooms.push(Room::boarded("Den", rect(0.0, 3200.0, 6000.0, 3000.0)));
        plan.doorways
            .push(Doorway { wall_thickness: 200.0, ..Doorway::plain("Arch", "Hall", 2, 2000.0, 800.0) });
        plan.joints[0] = MovementJoint::new(Point::new(3200.0, 3100.0), Point::new(4000.0, 3100.0));
        let (set, site) = laid(&plan);
        assert_eq!(site.regions.len(), 2);
        assert_eq!((set.shift_of(0), set.shift_of(1)), (0.0, 0.0));
        for edge in joint_edges(&site) {
            // In the throat, and no sliver: a whole board, or 50 and more.
            assert!((3000.0..3200.0).contains(&edge.a.v), "{line}: {edge:?}");
            let past = (edge.a.v - line).rem_euclid(200.0);
            let kept = if edge.floor_is_above() { 200.0 - past } else { past };
            let is_sliver = (1e-6..50.0 - 1e-6).contains(&kept);
            assert!(!is_sliver, "{line}: {kept}");
        }
        assert!(set.chosen.rips.iter().all(|rip| rip.kind != EdgeKind::MovementJoint));
    }
}

#[test]
fn a_joint_that_another_runs_into_still_goes_to_a_row_line() {
    let mut plan = hall(7000.0, 4563.0, 110.0);
    plan.joints.push(MovementJoint::new(Point::new(2500.0, 0.0), Point::new(2500.0, 4500.0)));
    let (set, site) = laid(&plan);
    assert_eq!(site.regions.len(), 3);
    let along: Vec<&Edge> = joint_edges(&site).into_iter().filter(|edge| edge.is_along_rows()).collect();
    // Two sides below, one above: all on row lines, 4510 and 4520, or a row further up and down.
    assert_eq!(along.len(), 3);
    for edge in along {
        let region = site.regions.iter().position(|r| r.edges().any(|e| e == edge)).unwrap();
        let rows = (edge.a.v - set.line_of(region)) / 200.0;
        assert!((rows - rows.round()).abs() < 1e-6, "{edge:?}");
    }
    let shifts: Vec<f64> = (0..3).map(|region| set.shift_of(region)).collect();
    let most = shifts.iter().copied().fold(f64::MIN, f64::max);
    assert_eq!(most - shifts.iter().copied().fold(f64::MAX, f64::min), 10.0);
    // The other joint ends at its lower side, wherever that has gone.
    let upright = joint_edges(&site).into_iter().filter(|edge| !edge.is_along_rows()).collect::<Vec<_>>();
    assert!(upright.iter().all(|edge| edge.v_range().1 > 4300.0));
}

#[test]
fn a_tape_runs_over_a_joint() {
    // Row lines at 110, 310, …; the joint at 2510. Both walls are within reach of a tape, 5000 apart.
    let (set, _) = laid(&hall(5000.0, 2515.0, 110.0));
    let line = set.line.unwrap();
    assert_eq!(line.pulls.len(), 2);
    let check = line.check.unwrap();
    // From one wall and from the other, over the joint: together the room's depth.
    assert!((line.pulls[0].distance - line.pulls[1].distance).abs() < 1e-6);
    assert!((check.distance + line.pulls[0].distance - 5000.0).abs() < 1e-6);
}

#[test]
fn in_a_deep_room_the_line_goes_where_tapes_reach() {
    // 40 m deep: its middle is 20 m from either wall, and a pull is 4 m at the most.
    let mut plan = hall(40_000.0, 0.0, 110.0);
    plan.joints.clear();
    let (set, _) = laid(&plan);
    let line = set.line.unwrap();
    assert_eq!(line.pulls.len(), 2);
    assert!(line.check.is_some() && line.pulls.iter().all(|pull| pull.distance <= 4000.0));
}
