//! Flags on movement, each on a floor worked out by hand just past its limit and just inside.
#![allow(clippy::unwrap_used)]

use crate::tests::{plan, rows};
use crate::{Flag, FlagKind, Severity, Subject, inspect};
use plan::{Climate, Construction, GapRange, MovementJoint, Plan, Point, Seasons, Wood};
use site::Source;

/// The hall of 6 m by 3 m with exact gaps of 10: multilayer boards that gain and lose `points` of moisture.
fn moved(points: f64, held_back: f64) -> Plan {
    let mut plan = plan();
    plan.rules.wall_gap = GapRange { least: 10.0, greatest: 10.0 };
    plan.stock.wood = Some(Wood { construction: Construction::Multilayer, held_back, ..Wood::default() });
    let at = |percent| Climate::Moisture(percent);
    plan.air = Some(Seasons { laid: at(10.0), driest: at(10.0 - points), dampest: at(10.0 + points) });
    plan
}

fn flags(plan: &Plan) -> Vec<Flag> {
    let site = site::survey(plan);
    let floor = rows(&[&[]]);
    let fit = fit::fit(plan, &site, &floor);
    let kinds = [FlagKind::Swelling, FlagKind::OpenJoints, FlagKind::JointShort, FlagKind::JointStrained];
    let all = inspect(plan, &site, &floor, &fit);
    all.into_iter().filter(|flag| kinds.contains(&flag.kind)).collect()
}

/// A change of the percent that makes 2980 mm swell by so much: 2980 · c · 1 %.
fn stated(swells: f64) -> Construction {
    Construction::Stated(swells / 2980.0 * 100.0)
}

#[test]
fn swelling_past_both_gaps_is_a_fault() {
    let mut plan = moved(1.0, 0.0);
    plan.stock.wood = Some(Wood { construction: stated(20.04), ..Wood::default() });
    assert_eq!(flags(&plan), []);
    plan.stock.wood = Some(Wood { construction: stated(20.1), ..Wood::default() });
    let found = flags(&plan);
    assert_eq!(found.len(), 1);
    let flag = &found[0];
    assert_eq!((flag.kind, flag.severity), (FlagKind::Swelling, Severity::Fault));
    assert!((flag.figure - 20.1).abs() < 1e-9 && (flag.limit - 20.0).abs() < 1e-9);
    assert_eq!(flag.place, "Hall");
    // Half of it is 10.05 at each end. A joint between two halves, which move it by 10.05, would be 40.2 wide; to be 25 or less
    // it would have to lie every 25 / 4 / 20.1 · 2980 = 926.6.
    assert_eq!(
        flag.mend,
        "give Hall, wall 1 and Hall, wall 3 gaps of 11, or glue or nail it down, or take boards that move less: joints no \
         wider than 25 would have to lie 920 apart, which is no floor to lay loose"
    );
    // Of 2.1 in two gaps of 1 it is the gaps that are too narrow, and a joint serves.
    let mut narrow = plan.clone();
    narrow.stock.wood = Some(Wood { construction: stated(2.11), ..Wood::default() });
    for wall in [0, 2] {
        narrow.rooms[0].walls[wall].gap = Some(GapRange { least: 1.0, greatest: 1.0 });
    }
    let mend = &flags(&narrow)[0].mend;
    assert!(
        mend.starts_with("part it with a movement joint along the boards, or give Hall, wall 1"),
        "{mend}"
    );
    // Bonded so that a tenth is held back: 18.09 of 20 again; one narrow gap makes it half of that.
    plan.stock.wood = Some(Wood { construction: stated(20.1), held_back: 0.1, ..Wood::default() });
    assert!(flags(&plan).iter().all(|flag| flag.kind != FlagKind::Swelling));
    plan.rooms[0].walls[0].gap = Some(GapRange { least: 9.0, greatest: 9.0 });
    assert!(flags(&plan).iter().any(|flag| flag.kind == FlagKind::Swelling && flag.limit == 18.0));
}

/// An L of 3 m and 1.5 m across the boards: only the wide part swells by more than its two gaps of 10, on whichever side of
/// the narrow one it lies.
#[test]
fn of_the_stretches_of_a_floor_the_tightest_counts() {
    let wide_right =
        [(0.0, 0.0), (6000.0, 0.0), (6000.0, 3000.0), (3000.0, 3000.0), (3000.0, 1500.0), (0.0, 1500.0)];
    let wide_left =
        [(0.0, 0.0), (6000.0, 0.0), (6000.0, 1500.0), (3000.0, 1500.0), (3000.0, 3000.0), (0.0, 3000.0)];
    for corners in [wide_right, wide_left] {
        let mut plan = moved(1.0, 0.0);
        plan.rooms[0] = plan::Room::boarded("Hall", corners.map(Point::from));
        plan.stock.wood = Some(Wood { construction: stated(20.1), ..Wood::default() });
        let site = site::survey(&plan);
        let floor = lay::lay(&plan, &site, &setout::set_out(&plan, &site));
        let all = inspect(&plan, &site, &floor, &fit::fit(&plan, &site, &floor));
        let swelling = all.iter().find(|flag| flag.kind == FlagKind::Swelling).unwrap();
        assert!((swelling.figure - 20.1).abs() < 1e-9 && (swelling.limit - 20.0).abs() < 1e-9);
    }
}

/// The same L with gaps of 20, but of 4 along its lower wall and above its narrow part. The wide part has most to swell,
/// (3000 − 24) · 20.1 / 2980 = 20.07, and room for it, 24; the narrow one swells (1500 − 8) · 20.1 / 2980 = 10.06 into 8.
#[test]
fn a_short_stretch_with_no_room_counts_before_the_longest() {
    let mut plan = moved(1.0, 0.0);
    plan.rules.wall_gap = GapRange { least: 20.0, greatest: 20.0 };
    let corners =
        [(0.0, 0.0), (6000.0, 0.0), (6000.0, 3000.0), (3000.0, 3000.0), (3000.0, 1500.0), (0.0, 1500.0)];
    plan.rooms[0] = plan::Room::boarded("Hall", corners.map(Point::from));
    for wall in [0, 4] {
        plan.rooms[0].walls[wall].gap = Some(GapRange { least: 4.0, greatest: 4.0 });
    }
    plan.stock.wood = Some(Wood { construction: stated(20.1), ..Wood::default() });
    let site = site::survey(&plan);
    let floor = lay::lay(&plan, &site, &setout::set_out(&plan, &site));
    let all = inspect(&plan, &site, &floor, &fit::fit(&plan, &site, &floor));
    let swelling: Vec<&Flag> = all.iter().filter(|flag| flag.kind == FlagKind::Swelling).collect();
    assert_eq!(swelling.len(), 1);
    let swells = 1492.0 * 20.1 / 2980.0;
    assert!((swelling[0].figure - swells).abs() < 1e-6 && (swelling[0].limit - 8.0).abs() < 1e-6);
}

#[test]
fn joints_between_boards_open_only_where_each_is_held() {
    // Boards 200 wide may open by 3 (NF DTU 51.2 P1-1, 2020, §7.2): 200 · c · 10 % · (1 − 0.5).
    let with = |percent: f64, held_back: f64| {
        let mut plan = moved(10.0, held_back);
        plan.air.as_mut().unwrap().dampest = Climate::Moisture(10.0);
        plan.stock.wood =
            Some(Wood { construction: Construction::Stated(percent), held_back, ..Wood::default() });
        flags(&plan)
    };
    assert_eq!(with(0.3, 0.5), []);
    let found = with(0.31, 0.5);
    assert_eq!(found.iter().map(|f| f.kind).collect::<Vec<_>>(), [FlagKind::OpenJoints]);
    assert!((found[0].figure - 3.1).abs() < 1e-9 && found[0].limit == 3.0);
    assert_eq!(found[0].severity, Severity::Look);
    assert_eq!(with(0.31, 0.0), []);
}

#[test]
fn a_joint_that_parts_nothing_is_looked_at() {
    let mut plan = plan();
    let joint = |x: f64, to: f64| MovementJoint::new(Point::new(x, 1500.0), Point::new(to, 1500.0));
    plan.joints.push(joint(0.0, 6000.0));
    assert_eq!(flags(&plan), []);
    plan.joints[0] = joint(0.0, 4000.0);
    let found = flags(&plan);
    assert_eq!((found[0].kind, &found[0].subject), (FlagKind::JointShort, &Subject::Thing(Source::Joint(0))));
    assert!((found[0].figure - 3990.0).abs() < 0.01 && found[0].limit == 4000.0);
    assert_eq!(found[0].place, "Hall, movement joint 1");
    plan.joints[0] = joint(7000.0, 9000.0);
    let found = flags(&plan);
    assert!(found.len() == 1 && found[0].mend.contains("lies on no boards"));
}

#[test]
fn a_joint_takes_a_quarter_of_its_width() {
    // ISO 11600:2002, class 25: ±25 % of 10 mm is 2.5. Halves of 1485 either side: both move half, 1485 · c in all.
    let with = |moves: f64| {
        let mut plan = moved(1.0, 0.0);
        plan.joints.push(MovementJoint::new(Point::new(0.0, 1500.0), Point::new(6000.0, 1500.0)));
        let percent = moves / 1485.0 * 100.0;
        plan.stock.wood = Some(Wood { construction: Construction::Stated(percent), ..Wood::default() });
        flags(&plan)
    };
    assert_eq!(with(2.5), []);
    let found = with(2.7);
    assert_eq!(found.iter().map(|f| f.kind).collect::<Vec<_>>(), [FlagKind::JointStrained]);
    assert!((found[0].figure - 2.7).abs() < 1e-6 && found[0].limit == 2.5);
    // 2.7 / 0.25 = 10.8.
    assert!(found[0].mend.contains("make it 11 wide"), "{}", found[0].mend);
}
