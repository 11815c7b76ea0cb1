//! Ways of the tape through a plan, worked out by hand.
#![allow(clippy::unwrap_used)]

use super::*;
use plan::{Doorway, Room};

/// A side from (2, 0) to (6, 0): square to it 3; from (9, 4) to its end a triangle of 3, 4 and 5.
#[test]
fn a_side_is_as_far_as_its_nearest_place() {
    let off = |p: (f64, f64)| to_side(p.into(), (2.0, 0.0).into(), (6.0, 0.0).into());
    assert!((off((4.0, 3.0)) - 3.0).abs() < 1e-9, "{}", off((4.0, 3.0)));
    assert!((off((9.0, 4.0)) - 5.0).abs() < 1e-9, "{}", off((9.0, 4.0)));
}

fn rect([x, y, w, h]: [f64; 4]) -> Vec<Point> {
    [(x, y), (x + w, y), (x + w, y + h), (x, y + h)].map(Point::from).to_vec()
}

/// A hall 3 m wide and 4 m deep, and a den behind its right wall with a doorway from 1600 to 2400 up that wall.
fn with_den(den: Vec<Point>) -> Plan {
    let mut plan = Plan::new("t");
    plan.rooms.push(Room::boarded("Hall", rect([0.0, 0.0, 3000.0, 4000.0])));
    plan.rooms.push(Room::boarded("Den", den));
    plan.doorways.push(Doorway::plain("Den door", "Hall", 1, 1600.0, 800.0));
    plan
}

/// A doorway 1600 up a wall 4 m long leads to a room that begins 1000 further up: its middle, at 2000, lies on that
/// room's wall 4, and the tape goes on from the corner at which this begins. Where that wall ends at 2500 and the next one
/// leads away from it, the middle lies on it all the same, and 500 short of the next.
#[test]
fn a_doorway_leads_to_the_wall_that_its_middle_lies_on() {
    let to = |den: Vec<Point>, wall: usize| {
        let plan = with_den(den);
        let (near, far, _) = Net::new(&plan, &site::survey(&plan)).doorway_link(0).unwrap();
        assert_eq!((near, far), (1, 4 + wall));
    };
    to(rect([3100.0, 1000.0, 2000.0, 3000.0]), 3);
    let cut = [(3100.0, 1000.0), (5100.0, 1000.0), (5100.0, 3000.0), (3600.0, 3000.0), (3100.0, 2500.0)];
    to(cut.map(Point::from).to_vec(), 4);
}

/// 400 along the rows and 300 up, 500 long: 3/5 of what the tape is out moves its end across the rows.
#[test]
fn of_a_slanting_length_its_rise_counts() {
    let plan = Plan::new("t");
    let net = Net::new(&plan, &site::survey(&plan)).across((100.0, 50.0).into(), (500.0, 350.0).into());
    assert!((net - 0.6).abs() < 1e-12, "{net}");
}

/// Rows along x, the hall's doorway in a wall across them: its jambs lie 1600 and 2400 up from the corner, so that to the
/// farther one the doorway's width is measured besides.
#[test]
fn to_the_farther_jamb_the_width_is_on_the_way() {
    let plan = with_den(rect([3100.0, 1000.0, 2000.0, 3000.0]));
    let net = Net::new(&plan, &site::survey(&plan));
    let steps = |y: f64| -> Vec<(Measure, f64)> {
        let (nodes, steps) = net.doorway_ends(0, EdgeKind::Jamb, Point::new(3050.0, y)).unwrap();
        assert_eq!(nodes, [1]);
        steps.iter().map(|step| (step.measure, step.part)).collect()
    };
    assert_eq!(steps(1600.0), [(Measure::DoorwayPlace(0), 1.0)]);
    assert_eq!(steps(2400.0), [(Measure::DoorwayWidth(0), 1.0), (Measure::DoorwayPlace(0), 1.0)]);
}

/// Rooms a millimetre apart touch, with nothing measured between; 3 mm apart they do not, and a room never touches itself.
#[test]
fn rooms_meet_where_they_touch() {
    let meetings = |apart: f64| -> Vec<(usize, usize)> {
        let mut plan = Plan::new("t");
        plan.rooms.push(Room::boarded("Hall", rect([0.0, 0.0, 3000.0, 2000.0])));
        plan.rooms.push(Room::boarded("Den", rect([3000.0 + apart, 0.0, 2000.0, 2000.0])));
        let net = Net::new(&plan, &site::survey(&plan));
        let is_meeting = |link: &&Link| link.2.iter().any(|s| matches!(s.measure, Measure::Meeting { .. }));
        net.links.iter().filter(is_meeting).map(|(a, b, _)| (*a, *b)).collect()
    };
    let touching = meetings(1.0);
    assert!(!touching.is_empty() && touching.iter().all(|(a, b)| (*a < 4) != (*b < 4)), "{touching:?}");
    assert_eq!(meetings(3.0), []);
}
