//! Flags of doorways, covers and tucks, on floors worked out by hand: each limit broken, and just kept.
#![allow(clippy::unwrap_used)]

use crate::{Flag, FlagKind, Severity, Subject, inspect};
use plan::{
    Appliance, Arris, Beyond, Covering, Doorway, Fixture, FixtureKind, Leaf, Lining, Plan, Point, Room, Side,
    Surface, SurfaceKind,
};

fn corners(x: f64, y: f64, w: f64, h: f64) -> Vec<Point> {
    [(x, y), (x + w, y), (x + w, y + h), (x, y + h)].map(|(x, y)| Point::new(x, y)).to_vec()
}

/// 4 m by 3 m of boards, tile beyond the door, 15 mm up like the boards.
fn plan() -> Plan {
    let mut plan = Plan::new("t");
    plan.rooms.push(Room::boarded("A", corners(0.0, 0.0, 4000.0, 3000.0)));
    plan.rooms.push(Room {
        covering: Covering::Other("tile".into()),
        surface: Some(Surface { kind: SurfaceKind::Tile, height: 15.0 }),
        ..Room::boarded("Bath", corners(0.0, 3100.0, 4000.0, 2000.0))
    });
    plan.doorways.push(Doorway {
        leaf: Some(Leaf { above_slab: Some(20.0), ..Leaf::swinging(Side::Near, 40.0) }),
        beyond: Beyond::UnderLeaf,
        ..Doorway::plain("Door", "A", 2, 1000.0, 800.0)
    });
    plan
}

fn flags(plan: &Plan) -> Vec<Flag> {
    assert_eq!(plan.problems(), []);
    let site = site::survey(plan);
    let floor = lay::lay(plan, &site, &setout::set_out(plan, &site));
    inspect(plan, &site, &floor, &fit::fit(plan, &site, &floor))
}

/// The flags of a kind after a change: figure, limit, severity, mend.
fn of(kind: FlagKind, change: impl FnOnce(&mut Plan)) -> Vec<Flag> {
    let mut plan = plan();
    change(&mut plan);
    flags(&plan).into_iter().filter(|flag| flag.kind == kind).collect()
}

fn height(height: f64) -> impl FnOnce(&mut Plan) {
    move |plan| plan.rooms[1].surface = Some(Surface { kind: SurfaceKind::Tile, height })
}

#[test]
fn a_step_over_the_limit_is_flagged() {
    // 6.4 mm may stand upright: 2010 ADA Standards, 303.2.
    assert!(of(FlagKind::HighStep, height(15.0 - 6.4)).is_empty());
    let look = of(FlagKind::HighStep, height(5.0)).remove(0);
    assert_eq!(
        (look.severity, look.figure, look.limit, look.place.as_str()),
        (Severity::Look, 10.0, 6.4, "Door")
    );
    assert!(
        look.mend.starts_with("A lies 10 higher: bevel it with a reducer at least 20 wide"),
        "{}",
        look.mend
    );
    let fault = of(FlagKind::HighStep, height(35.0)).remove(0);
    assert_eq!((fault.severity, fault.limit), (Severity::Fault, 13.0));
    assert!(fault.mend.starts_with("Bath lies 20 higher: a ramp 240 long"), "{}", fault.mend);
    assert!((fault.at.x - 2600.0).abs() < 1e-6 && (fault.at.y - 3050.0).abs() < 1e-6, "{:?}", fault.at);
}

#[test]
fn slabs_that_differ_under_boards_that_run_through_are_levelled() {
    let fault = of(FlagKind::HighStep, |plan| {
        plan.rooms[1].covering = Covering::Boards;
        plan.rooms[1].surface = None;
        plan.rooms[1].slab_level = -5.0;
        plan.doorways[0].beyond = Beyond::RunThrough;
    })
    .remove(0);
    // 1 mm counts as flush: common practice, no source.
    assert_eq!((fault.severity, fault.figure, fault.limit), (Severity::Fault, 5.0, 1.0));
    assert!(fault.mend.starts_with("A lies 5 higher: level the slab through the opening"), "{}", fault.mend);
}

#[test]
fn a_leaf_that_catches_is_flagged() {
    // 20 above the slab, 15 of board: 5 left.
    assert!(of(FlagKind::LowLeaf, |_| {}).is_empty());
    let flag = of(FlagKind::LowLeaf, |plan| plan.stock.bed = Some(2.0)).remove(0);
    assert_eq!((flag.figure, flag.limit), (3.0, 5.0));
    assert!(flag.mend.starts_with("take 2 off"), "{}", flag.mend);
}

/// A lining that stands is undercut and boards slide under it: common practice, no source. The gap before it is 10 to 14.
#[test]
fn boards_that_stop_before_a_lining_that_stands_are_flagged() {
    let bare = |lining, under| {
        of(FlagKind::BareJamb, move |plan| {
            (plan.doorways[0].lining, plan.doorways[0].under_lining) = (lining, under);
        })
    };
    let flag = bare(Lining::Fitted, None).remove(0);
    assert_eq!((flag.severity, flag.limit, flag.place.as_str()), (Severity::Look, 0.0, "Door"));
    assert!(flag.figure >= 10.0 && flag.mend.starts_with("undercut its lining"), "{flag:?}");
    assert_eq!(bare(Lining::Fitted, None).len(), 1, "once for both jambs");
    assert!(bare(Lining::Fitted, Some(8.0)).is_empty() && bare(Lining::ToCome, None).is_empty());
}

#[test]
fn an_arris_through_the_wear_layer_is_flagged() {
    let cut = |layer: f64, arris| {
        of(FlagKind::DeepArris, move |plan| {
            plan.stock.wear_layer = Some(layer);
            plan.doorways[0].arris = Some(arris);
        })
    };
    assert!(cut(4.0, Arris::Eased(4.0)).is_empty());
    assert_eq!(cut(4.0, Arris::Chamfered(5.0))[0].figure, 5.0);
}

#[test]
fn too_little_cover_is_flagged_once_a_wall() {
    let with =
        |skirting: f64| of(FlagKind::LittleCover, move |plan| plan.rules.cover.skirting = Some(skirting));
    // 10 is the gap that boards are laid with, whatever it might be widened to, 1 the tolerance, 3 the least cover.
    assert!(with(14.0).is_empty());
    let flags = with(13.0);
    let places: Vec<&str> = flags.iter().map(|flag| flag.place.as_str()).collect();
    assert_eq!(places, ["A, wall 1", "A, wall 2", "A, wall 3", "A, wall 4"]);
    assert_eq!((flags[0].figure, flags[0].limit), (2.0, 3.0));
    assert!(flags[0].mend.starts_with("take skirting 14 thick or more, or make the gap 1 less"));
}

/// Floor from 10 to 2990. Row lines at 70 + n · 190 leave 60 below and 70 above. One at 2987, that is at 137 + 15 · 190, leaves a strip
/// of 3 beside the upper wall, which its gap takes up: it is laid 13 wide.
#[test]
fn a_cover_is_judged_over_the_gap_that_its_edge_is_laid_with() {
    let left = |line: f64| {
        let mut plan = plan();
        plan.rooms.truncate(1);
        plan.doorways.clear();
        plan.rules.cover.skirting = Some(15.0);
        plan.start_line = plan::StartLine::At(line);
        assert_eq!(plan.problems(), []);
        let surveyed = site::survey(&plan);
        let set = setout::set_out(&plan, &surveyed);
        let site = site::eased(&surveyed, &set.eases);
        let floor = lay::lay(&plan, &site, &set);
        let flags = inspect(&plan, &site, &floor, &fit::fit(&plan, &site, &floor));
        let covers = flags.into_iter().filter(|flag| flag.kind == FlagKind::LittleCover);
        covers.map(|flag| (flag.place, (flag.figure * 100.0).round() / 100.0)).collect::<Vec<_>>()
    };
    // 15 less 10 and 1 of tolerance leaves 4 of 3 asked for, though the gap may be 14 wide, over which it would leave none.
    assert_eq!(left(70.0), []);
    // 15 less 13 and 1 leaves 1, at that wall alone.
    assert_eq!(left(137.0), [("A, wall 3".to_owned(), 1.0)]);
}

/// One skirting too thin for its gaps is one thing to mend, wherever it runs.
#[test]
fn faults_of_one_cause_are_told_together() {
    let flags = of(FlagKind::LittleCover, |plan| {
        plan.rules.cover.skirting = Some(13.0);
        plan.rooms[0].walls[1].gap = Some(plan::GapRange { least: 12.0, greatest: 16.0 });
    });
    let all = crate::together(&flags);
    // By hand: 13 less the 10 of the gaps and 1 of tolerance leaves 2 of the 3 asked for; at wall 2, 12 and 1 leave none.
    assert_eq!(all.len(), 1);
    assert_eq!(all[0].flags, (0..flags.len()).collect::<Vec<_>>());
    let worst = &flags[all[0].worst];
    assert_eq!((worst.place.as_str(), worst.figure), ("A, wall 2", 0.0));
    assert!(worst.mend.starts_with("take skirting 16 thick or more"), "{}", worst.mend);
    let places = all[0].places(&flags, |flag| format!("{}", flag.figure));
    assert_eq!(places, "skirting 13 thick, 4 places: A, wall 1 2; A, wall 2 0; A, wall 3 2; A, wall 4 2");
    // Alone it is its place; of one figure they are named without it; another limit or figure is another thing.
    let lone = crate::together(&flags[..1]);
    assert_eq!(lone[0].places(&flags, |_| String::new()), "A, wall 1");
    let mut others: Vec<Flag> = (0..3).map(|_| Flag { cause: None, ..flags[0].clone() }).collect();
    assert_eq!(
        crate::together(&others)[0].places(&others, |_| "?".into()),
        "3 places: A, wall 1; A, wall 1; A, wall 1"
    );
    others[2].figure = 1.0;
    assert_eq!(crate::together(&others).len(), 2);
}

fn bench(clearance: f64, tuck: f64, appliance: Option<Appliance>) -> impl FnOnce(&mut Plan) {
    move |plan| {
        plan.fixtures.push(Fixture {
            appliance,
            ..Fixture::plain(
                "Bench",
                FixtureKind::Kick { clearance, tuck },
                corners(1500.0, 1000.0, 1000.0, 600.0),
            )
        });
    }
}

#[test]
fn kicks_too_low_and_tucks_too_short_are_flagged() {
    // 15 mm boards under a kick held 17 up, slid in 30: common practice, no source.
    for kind in [FlagKind::LowKick, FlagKind::NoWayUnder, FlagKind::LittleCover] {
        assert!(of(kind, bench(17.0, 30.0, None)).is_empty(), "{kind:?}");
    }
    let low = of(FlagKind::LowKick, bench(15.5, 30.0, None));
    assert_eq!(low.len(), 1);
    assert_eq!((low[0].figure, low[0].limit, low[0].place.as_str()), (15.5, 16.0, "Bench"));
    // A tuck of 3 less the tolerance of 1 leaves 2.
    assert_eq!(of(FlagKind::LittleCover, bench(17.0, 3.0, None))[0].figure, 2.0);
}

/// Boards go under a bench from all sides by 30: 50 deep it has none of its kick on the slab, 70 deep a strip of 10. Too low for
/// the boards it is told besides. Arithmetic.
#[test]
fn a_kick_narrower_than_two_tucks_is_told_to_stand_over_boards() {
    let deep = |depth: f64, clearance: f64| {
        move |plan: &mut Plan| {
            bench(clearance, 30.0, None)(plan);
            plan.fixtures.last_mut().unwrap().outline = corners(1500.0, 1000.0, 1000.0, depth);
        }
    };
    assert!(of(FlagKind::OverBoards, deep(70.0, 17.0)).is_empty());
    let flags = of(FlagKind::OverBoards, deep(50.0, 17.0));
    let told: Vec<_> =
        flags.iter().map(|f| (f.place.as_str(), f.figure.round(), f.limit, f.severity)).collect();
    assert_eq!(told, [("Bench", 50.0, 60.0, Severity::Look)]);
    assert!(
        (flags[0].at.x - 2000.0).abs() < 1e-6 && (flags[0].at.y - 1025.0).abs() < 1e-6,
        "{:?}",
        flags[0].at
    );
    assert!(of(FlagKind::LowKick, deep(50.0, 17.0)).is_empty());
    assert_eq!(of(FlagKind::LowKick, deep(50.0, 15.5)).len(), 1);
    // Against the wall at x = 10 boards go under from the other sides alone: 50 deep it keeps 20.
    let against = |depth: f64| {
        of(FlagKind::OverBoards, move |plan| {
            bench(17.0, 30.0, None)(plan);
            plan.fixtures.last_mut().unwrap().outline = corners(-50.0, 1000.0, 50.0 + depth, 600.0);
        })
    };
    assert!(against(50.0).is_empty());
    assert_eq!(against(25.0).len(), 1);
}

#[test]
fn boards_caught_between_two_kicks_are_flagged() {
    let between = |clearance: f64| {
        of(FlagKind::NoWayUnder, move |plan| {
            plan.rooms.truncate(1);
            plan.doorways.clear();
            for (name, x) in [("Left", -100.0), ("Right", 1700.0)] {
                bench(clearance, 30.0, None)(plan);
                let fixture = plan.fixtures.last_mut().unwrap();
                fixture.name = name.into();
                // From wall to wall: no end past which a board could slide along.
                fixture.outline = corners(x, -100.0, 700.0, 3200.0);
            }
        })
    };
    let flags = between(17.0);
    assert!(!flags.is_empty());
    assert!(flags[0].place.contains("and") && flags[0].limit > 17.0, "{:?}", flags[0]);
    // It stands on each of them: as many as its place counts.
    let Subject::Boards(boards) = &flags[0].subject else { panic!("{:?}", flags[0]) };
    let told = format!("and {} more", boards.len() - 1);
    assert!(boards.len() > 1 && flags[0].place.ends_with(&told), "{:?}", flags[0]);
}

#[test]
fn a_trapped_appliance_is_flagged() {
    let of = |opening| of(FlagKind::Trapped, bench(17.0, 30.0, Some(Appliance { height: 870.0, opening })));
    // 870 + 15 + 3 = 888.
    assert!(of(888.0).is_empty());
    let tight = &of(887.0)[0];
    assert_eq!((tight.figure, tight.limit, tight.severity), (2.0, 3.0, Severity::Look));
    assert!(tight.mend.starts_with("it comes out over the boards with 2 to spare"), "{}", tight.mend);
    // In the middle of a bench from 1500 to 2500 and from 1000 to 1600.
    assert!((tight.at.x - 2000.0).abs() < 1e-6 && (tight.at.y - 1300.0).abs() < 1e-6, "{:?}", tight.at);
    // 884 − 885: one too low, four to raise it by.
    let trapped = &of(884.0)[0];
    assert_eq!((trapped.figure, trapped.severity), (-1.0, Severity::Fault));
    assert!(trapped.mend.starts_with("raise the worktop by 4"), "{}", trapped.mend);
}

/// A row that lies from 50 short of the wall between two rooms to 48 past it has a leg on both sides of it, of 40 and 38. The
/// middle of such a board may lie in the wall, which is no place: its flag names a room all the same, or the doorway.
#[test]
fn a_board_with_legs_on_both_sides_of_a_wall_is_told_by_where_it_lies() {
    let mut plan = plan();
    plan.rooms[1] = Room::boarded("B", corners(0.0, 3092.0, 4000.0, 2000.0));
    plan.doorways = vec![Doorway {
        beyond: Beyond::RunThrough,
        wall_thickness: 92.0,
        ..Doorway::plain("Door", "A", 2, 1000.0, 800.0)
    }];
    plan.stock.face_width = 190.0;
    plan.start_line = plan::StartLine::At(2950.0);
    let mut in_wall = 0;
    for seed in 1..=12 {
        plan.seed = seed;
        let site = site::survey(&plan);
        let floor = lay::lay(&plan, &site, &setout::set_out(&plan, &site));
        let places = plan::Places::new(&plan);
        for flag in inspect(&plan, &site, &floor, &fit::fit(&plan, &site, &floor)) {
            let names = ["A", "B", "Door"].map(|name| format!("{name}, row "));
            assert!(names.iter().any(|name| flag.place.starts_with(name)), "{flag:?}");
            let is_in_wall = |board: &usize| {
                let middle = site.frame.plan_from_row(floor.boards[*board].middle());
                places.place_at(middle).is_none()
            };
            in_wall += usize::from(matches!(&flag.subject, Subject::Board(board) if is_in_wall(board)));
        }
    }
    assert!(in_wall > 0, "a board is there whose middle lies in the wall");
}
