//! Trade practice and published values that the main job must keep.
#![allow(clippy::unwrap_used)]

use plan::{Beyond, Doorway, Fixture, FixtureKind, Leaf, Lining, Plan, Point, Room, Rules, Side};
use site::EdgeKind;

fn rectangle(x: f64, y: f64, w: f64, h: f64) -> Vec<Point> {
    [(x, y), (x + w, y), (x + w, y + h), (x, y + h)].map(|(x, y)| Point::new(x, y)).to_vec()
}

fn room(w: f64, h: f64) -> Plan {
    let mut plan = Plan::new("room");
    plan.rooms.push(Room::boarded("Room", rectangle(0.0, 0.0, w, h)));
    plan
}

/// Expansion gap of 10 mm at walls, frames and fixed cabinets: common practice, no source.
/// A glued floor may have 5 to 8 mm (NF DTU 51.2 P1-1, 2020, §6.2, superseded in 2023): the range a plan may hold.
#[test]
fn default_gap_is_ten_and_a_glued_floors_five_is_allowed() {
    let mut plan = room(4000.0, 3000.0);
    assert_eq!(plan.rules.wall_gap.least, 10.0);
    plan.rules.wall_gap.least = 5.0;
    assert!(plan.problems().is_empty());
    let house = pipeline::run(&plan).unwrap();
    assert!((house.site.boarded_area() - 3990.0 * 2990.0).abs() < 1.0);
}

/// 5 mm where the boards' ends meet tile: common practice, no source.
#[test]
fn ends_at_tile_keep_five() {
    let mut plan = room(6000.0, 4000.0);
    plan.fixtures.push(Fixture::plain(
        "Stone",
        FixtureKind::TileArea { trim: 3.0 },
        rectangle(2000.0, 1000.0, 1500.0, 1500.0),
    ));
    let site = site::survey(&plan);
    for edge in site.regions[0].edges().filter(|e| e.kind == EdgeKind::TileTrim) {
        assert_eq!(edge.gap, if edge.is_along_rows() { 10.0 } else { 5.0 });
    }
}

/// A 30 mm leaf flush with the room-side face ends the boards 15 mm in from that face: common practice, no source.
#[test]
fn boards_end_fifteen_in_under_a_thirty_leaf() {
    let door = Doorway {
        leaf: Some(Leaf::swinging(Side::Near, 30.0)),
        lining: Lining::Fitted,
        beyond: Beyond::UnderLeaf,
        ..Doorway::plain("Door", "Room", 1, 1000.0, 800.0)
    };
    assert_eq!(door.leaf_line(), 15.0);
    let mut plan = room(4000.0, 3000.0);
    plan.doorways.push(door.clone());
    let site = site::survey(&plan);
    let end = site.regions[0].edges().find(|e| e.kind == EdgeKind::UnderLeaf).unwrap();
    assert!((end.a.u - 4015.0).abs() < 1e-6 && (end.b.u - 4015.0).abs() < 1e-6);
    let far = Doorway { leaf: Some(Leaf::swinging(Side::Far, 30.0)), ..door };
    assert_eq!(far.leaf_line(), 85.0);
}

/// A notch is cut as deep as the wall reaches into the board, plus the gap: 60 mm in with a 10 mm gap is
/// marked at 70 mm. Common practice, no source.
#[test]
fn a_sixty_corner_is_notched_seventy() {
    let mut plan = room(2000.0, 1000.0);
    // A pier reaches 60 mm into the second row, whose lower side lies at 200: boards are 190 wide, the line at 10.
    plan.start_line = plan::StartLine::At(10.0);
    plan.fixtures.push(Fixture::plain(
        "Pier",
        FixtureKind::Column,
        rectangle(900.0, 330.0, 200.0, 60.0 + 190.0),
    ));
    let house = pipeline::run(&plan).unwrap();
    let board = house
        .floor
        .boards
        .iter()
        .find(|b| b.shaped && b.outline.outer.iter().any(|p| (p.v - 200.0).abs() < 1e-6))
        .unwrap();
    let notch =
        house.order.saw.notches.iter().find(|n| house.floor.boards[n.board].label == board.label).unwrap();
    let inner =
        notch.outline.iter().map(|p| p.1).filter(|y| *y > 1.0 && *y < 189.0).fold(f64::INFINITY, f64::min);
    assert!((190.0 - inner - 70.0).abs() < 1e-6, "cut {} deep", 190.0 - inner);
}

/// End joints of neighbouring rows: over 5 in wide, 10 in apart (NWFA 2008, quoted in the trade press). The
/// default is stricter.
#[test]
fn default_stagger_keeps_the_published_ten_inches() {
    assert!(Rules::default().least_stagger >= 254.0);
    let mut plan = room(7000.0, 4000.0);
    plan.rules.least_stagger = 254.0;
    for seed in 0..20 {
        plan.seed = seed;
        let house = pipeline::run(&plan).unwrap();
        let joints = &house.floor.joints;
        for a in joints {
            for b in joints.iter().filter(|b| b.row == a.row + 1) {
                assert!((a.u - b.u).abs() >= 254.0 - 1e-6, "seed {seed}: {} apart", (a.u - b.u).abs());
            }
        }
    }
}

/// Greatest width of a floating floor of boards under 20 mm thick: 8 m, counted through rooms without thresholds
/// (NF DTU 51.11 P1-1, 2009, §8.1.3, superseded in 2024).
#[test]
fn eight_metres_across_is_the_limit_through_an_opening_too() {
    let flags = |height: f64, trim: bool| {
        let mut plan = room(5000.0, height);
        plan.rooms.push(Room::boarded("Next", rectangle(0.0, height + 100.0, 5000.0, 2000.0)));
        plan.doorways.push(Doorway {
            beyond: if trim { Beyond::Trim(20.0) } else { Beyond::RunThrough },
            ..Doorway::plain("Opening", "Room", 2, 2000.0, 900.0)
        });
        let house = pipeline::run(&plan).unwrap();
        house.flags.iter().any(|f| f.kind == findings::FlagKind::WideFloor)
    };
    assert_eq!(Rules::default().greatest_width, 8000.0);
    // 5920 + 100 + 2000 less a gap at each end is 8000: not over the limit.
    assert!(!flags(5920.0, false));
    assert!(flags(5921.0, false));
    assert!(!flags(5921.0, true));
}

/// 0.2 mm over forty rows is 8 mm: arithmetic. Ten measured boards give the pitch.
#[test]
fn forty_boards_measured_wider_end_eight_further() {
    let mut plan = room(4000.0, 9000.0);
    plan.stock.face_width = 190.0;
    plan.stock.ten_boards = Some(1902.0);
    assert!((plan.stock.pitch() * 40.0 - 190.0 * 40.0 - 8.0).abs() < 1e-9);
    let house = pipeline::run(&plan).unwrap();
    assert_eq!(house.floor.pitch, plan.stock.pitch());
}
