//! Covers as the seasons open them, linings, nosings and vents, and kicks of other shapes, worked out by hand.
#![allow(clippy::unwrap_used)]

use crate::movement_tests::room;
use crate::tests::{corners, fitted, two_rooms};
use crate::{Cover, CoveredBy, Fit, TuckWay as Way, cover_lines};
use plan::{Fixture, FixtureKind, Lining, Pattern, Plan, Point};
use site::Source;

fn fixture(name: &str, kind: FixtureKind, outline: Vec<Point>) -> Fixture {
    Fixture::plain(name, kind, outline)
}

fn cover(fit: &Fit, source: Source) -> Cover {
    *fit.covers.iter().find(|cover| cover.source == source).unwrap()
}

fn near(found: f64, expected: f64) {
    assert!((found - expected).abs() < 1e-6, "{found} for {expected}");
}

/// Multilayer boards, 0.03 % for each percent (NF DTU 51.11 P1-1, 2009, §7.5), 3 % drier: across the boards
/// 6000 · 0.0003 · 3 = 5.4, half of it at either wall; along them 8000 · 0.002 / 30 · 3 = 1.6, half 0.8.
#[test]
fn shrinkage_opens_gaps_beyond_the_tolerance() {
    let mut plan = room(8020.0, 6020.0);
    plan.rules.cover.skirting = Some(18.0);
    let fit = fitted(&plan).1;
    let along = cover(&fit, Source::Wall { room: 0, wall: 0 });
    near(along.shrinkage.unwrap(), 2.7);
    near(along.tolerance, 1.0);
    // 10 + 2.7 + 1, and what is left of 18.
    near(along.widest, 13.7);
    near(along.left().unwrap(), 4.3);
    assert_eq!(
        along.words(&plan),
        "gap 10, widest 13.7 (shrinkage 2.7 + tolerance 1); skirting 18 leaves 4.3"
    );
    let end = cover(&fit, Source::Wall { room: 0, wall: 1 });
    near(end.widest, 10.0 + 0.8 + 1.0);
    // 16 leaves 2.3 of the 3 that must be left at the long walls, 4.2 at the ends.
    plan.rules.cover.skirting = Some(16.0);
    let fit = fitted(&plan).1;
    let short: Vec<bool> = cover_lines(&plan, &fit.covers).iter().map(|line| line.is_short).collect();
    assert_eq!(short, [true, false]);
    // What is not given is not reckoned, and that is said.
    plan.air = None;
    let fit = fitted(&plan).1;
    let along = cover(&fit, Source::Wall { room: 0, wall: 0 });
    assert_eq!((along.shrinkage, along.widest), (None, 11.0));
    assert_eq!(along.words(&plan), "gap 10, widest 11 (tolerance 1); skirting 16 leaves 5");
}

/// Under a kick boards draw back by the same.
#[test]
fn boards_draw_back_from_under_a_kick() {
    let mut plan = room(8020.0, 6020.0);
    let kick = FixtureKind::Kick { clearance: 20.0, tuck: 30.0 };
    // From end to end at the far wall, 590 of floor short of it: 6020 − 600 + 30 − 10 = 5440 of floor.
    plan.fixtures.push(fixture("Bench", kick, corners(-100.0, 5420.0, 8220.0, 700.0)));
    let fit = fitted(&plan).1;
    let bench = cover(&fit, Source::Fixture(0));
    assert_eq!(bench.by, CoveredBy::Kick);
    // 5440 · 0.0003 · 3 / 2.
    near(bench.shrinkage.unwrap(), 2.448);
    near(bench.left().unwrap(), 30.0 - 2.448 - 1.0);
}

/// The trade undercuts a fitted lining and slides boards under it (common practice, no source): no sealant there.
#[test]
fn boards_that_stop_before_a_lining_are_sent_under_it() {
    let words = |lining: Lining| {
        let plan = two_rooms(lining);
        let found = fitted(&plan).1;
        let jamb = found.covers.iter().find(|cover| cover.by == CoveredBy::BeforeLining).unwrap();
        jamb.words(&plan)
    };
    // 1 of tolerance and 3 that must be left.
    let fitted_words = words(Lining::Fitted);
    assert!(fitted_words.ends_with("undercut that, boards under it by 4 or more"), "{fitted_words}");
    let to_come = words(Lining::ToCome);
    assert!(to_come.ends_with("set that on the boards, 4 of them under it or more"), "{to_come}");
    assert!(!fitted_words.contains("sealant") && !to_come.contains("sealant"));
    let mut plan = two_rooms(Lining::Fitted);
    plan.doorways[0].under_lining = Some(20.0);
    let found = fitted(&plan).1;
    assert!(found.covers.iter().all(|cover| cover.by != CoveredBy::BeforeLining));
}

#[test]
fn nosings_are_met_and_vents_are_never_sealed() {
    let mut plan = two_rooms(Lining::ToCome);
    plan.stock.bed = Some(1.5);
    let stair = FixtureKind::Stair { nosing: 60.0 };
    plan.fixtures.push(fixture("Stair", stair, corners(3000.0, 1000.0, 1100.0, 900.0)));
    plan.fixtures.push(fixture("Vent", FixtureKind::Vent, corners(300.0, 300.0, 300.0, 100.0)));
    let found = fitted(&plan).1;
    let words = cover(&found, Source::Fixture(0)).words(&plan);
    // 15 of board, 1.5 of bed.
    assert!(words.contains("60 from the stair's edge") && words.contains("16.5 above the slab"), "{words}");
    // The gap as it is laid, 10, 1 of tolerance, 3 left over.
    let vent = cover(&found, Source::Fixture(1)).words(&plan);
    assert!(vent.ends_with("flange: 14 wide or more"), "{vent}");
}

/// Under an L boards go as far as the leg before them is deep, not as far as the L reaches.
#[test]
fn an_l_is_as_deep_as_its_leg() {
    let mut plan = two_rooms(Lining::ToCome);
    let outline = [
        (1000.0, 500.0),
        (3000.0, 500.0),
        (3000.0, 1100.0),
        (1600.0, 1100.0),
        (1600.0, 2000.0),
        (1000.0, 2000.0),
    ]
    .map(Point::from)
    .to_vec();
    plan.fixtures.push(fixture("L", FixtureKind::Kick { clearance: 18.0, tuck: 30.0 }, outline));
    let found = fitted(&plan).1;
    assert_eq!(found.tucks.len(), 6);
    for tuck in &found.tucks {
        let expected = match (tuck.with_sides, tuck.at) {
            // The end of the upright leg, 1500 before the long front; the end of the lying one, 2000.
            (true, at) if at.y > 1500.0 => 1500.0,
            (false, at) if at.x > 2500.0 => 2000.0,
            _ => 600.0,
        };
        near(tuck.hollow, expected);
    }
}

/// Blocks and borders are laid in an order of their own: nothing is said of their way in, right or wrong.
#[test]
fn blocks_and_borders_are_not_reckoned() {
    let mut plan = two_rooms(Lining::ToCome);
    let kick = FixtureKind::Kick { clearance: 17.0, tuck: 30.0 };
    plan.fixtures.push(fixture("Bench", kick, corners(1500.0, 1000.0, 1000.0, 600.0)));
    let all_unreckoned = |plan: &Plan| {
        let found = fitted(plan).1;
        let ways: Vec<Option<Way>> =
            found.tucks.iter().flat_map(|tuck| &tuck.boards).map(|under| under.way).collect();
        assert!(!ways.is_empty());
        let words = found.tucks[0].words(plan);
        (ways.iter().all(|way| *way == Some(Way::NotReckoned)), words.contains("not reckoned"))
    };
    assert_eq!(all_unreckoned(&plan), (false, false));
    plan.pattern = Pattern::Herringbone { block: 600.0, abreast: 1 };
    assert_eq!(all_unreckoned(&plan), (true, true));
}
