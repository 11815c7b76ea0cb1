//! Fixtures: sound outlines that lie in a room.

use super::{Checker, Place, Problem};
use crate::{FixtureKind, Places, Plan, Point, shape};

/// A smaller fixture is a slip of the hand, mm².
const LEAST_AREA: f64 = 1.0;

pub(super) fn check(checker: &mut Checker<'_>, places: &Places<'_>) {
    let plan = checker.plan;
    checker.names("fixture", plan.fixtures.iter().map(|fixture| fixture.name.as_str()), Place::Fixture);
    for i in 0..plan.fixtures.len() {
        if checker.is_full() {
            return;
        }
        check_one(checker, i, places);
    }
}

/// The first fault of one fixture.
pub(crate) fn fixture_fault(plan: &Plan, fixture: usize) -> Option<Problem> {
    let mut checker = Checker::new(plan);
    check_one(&mut checker, fixture, &Places::new(plan));
    checker.found.into_iter().next()
}

fn check_one(checker: &mut Checker<'_>, i: usize, places: &Places<'_>) {
    let Some(fixture) = checker.plan.fixtures.get(i) else { return };
    let place = || Place::Fixture(i);
    match fixture.kind {
        FixtureKind::Kick { clearance, tuck } => {
            checker.within(place(), "kick clearance", clearance, 1.0, 300.0);
            checker.within(place(), "tuck", tuck, 1.0, 200.0);
        }
        FixtureKind::TileArea { trim } => {
            checker.within(place(), "trim width", trim, 0.0, 100.0);
        }
        FixtureKind::Rebate { depth } | FixtureKind::LowSpot { depth } => {
            checker.within(place(), "depth", depth, 0.1, 200.0);
        }
        FixtureKind::Stair { nosing } => {
            checker.within(place(), "nosing", nosing, 0.0, 300.0);
        }
        FixtureKind::Island | FixtureKind::Column | FixtureKind::Hearth | FixtureKind::Vent => {}
    }
    if let Some(gap) = fixture.gap {
        checker.gap(place(), "gap", gap);
    }
    if let Some(cover) = fixture.cover {
        checker.within(place(), "cover", cover, 0.0, 200.0);
    }
    if let Some(appliance) = fixture.appliance {
        checker.within(place(), "appliance's height", appliance.height, 1.0, 3000.0);
        checker.within(place(), "appliance's opening", appliance.opening, 1.0, 3000.0);
    }
    if fixture.outline.len() < 3 {
        let said = format!("its outline has {} corners", fixture.outline.len());
        checker.add(place(), said, "give it at least three");
    } else if let Some(side) = twice(&fixture.outline) {
        let said = format!("side {} of its outline has no length", side + 1);
        checker.add(place(), said, "remove one of its two corners");
    } else if let Some(&(a, b)) = shape::self_contacts(&fixture.outline, 1, &checker.steps).first() {
        checker.add(
            place(),
            format!("side {} of its outline crosses or touches side {}", a + 1, b + 1),
            "move a corner of one of them until they stand apart",
        );
    } else if shape::doubled_area(&fixture.outline).abs() / 2.0 < LEAST_AREA {
        checker.add(place(), "its outline has no area", "move its corners apart");
    } else if !places
        .rooms_near(&fixture.outline)
        .into_iter()
        .any(|room| shape::overlap(&fixture.outline, places.outline(room), 0.01, &checker.steps))
    {
        checker.add(place(), "it lies in no room", "move it into the room where it stands, or remove it");
    }
}

/// The first side whose corners lie on one another.
fn twice(outline: &[Point]) -> Option<usize> {
    (0..outline.len()).find(|i| outline[*i] == outline[(i + 1) % outline.len()])
}

#[cfg(test)]
mod tests {
    use super::super::tests::{accept, expect};
    use crate::{Appliance, Fixture, FixtureKind, GapRange};

    fn thing(kind: FixtureKind, corners: &[(f64, f64)]) -> Fixture {
        Fixture::plain("Thing", kind, corners.iter().map(|&c| c.into()).collect())
    }

    const SQUARE: &[(f64, f64)] = &[(500.0, 500.0), (900.0, 500.0), (900.0, 900.0), (500.0, 900.0)];

    #[test]
    fn outlines_are_sound_and_in_a_room() {
        use FixtureKind::Island;
        accept(|plan| plan.fixtures.push(thing(Island, SQUARE)));
        let against_wall = [(-50.0, 500.0), (900.0, 500.0), (900.0, 900.0), (-50.0, 900.0)];
        accept(|plan| plan.fixtures.push(thing(Island, &against_wall)));
        expect(|plan| plan.fixtures.push(thing(Island, &SQUARE[..2])), "Thing", "2 corners");
        let crossed = [SQUARE[0], SQUARE[2], SQUARE[1], SQUARE[3]];
        expect(|plan| plan.fixtures.push(thing(Island, &crossed)), "Thing", "side 1 of its outline");
        let flat = [(500.0, 500.0), (501.0, 500.0), (500.5, 500.5)];
        expect(|plan| plan.fixtures.push(thing(Island, &flat)), "Thing", "no area");
        let outside: Vec<_> = SQUARE.iter().map(|&(x, y)| (x, y - 2000.0)).collect();
        expect(|plan| plan.fixtures.push(thing(Island, &outside)), "Thing", "in no room");
        expect(|plan| plan.fixtures = vec![thing(Island, SQUARE); 2], "Thing", "fixture 2 has the same name");
    }

    #[test]
    fn kinds_have_sane_sizes() {
        let cases = [
            (FixtureKind::Kick { clearance: 0.0, tuck: 20.0 }, "kick clearance is 0 mm"),
            (FixtureKind::Kick { clearance: 20.0, tuck: 0.0 }, "tuck is 0 mm"),
            (FixtureKind::Kick { clearance: 20.0, tuck: 201.0 }, "tuck is 201 mm"),
            (FixtureKind::TileArea { trim: -1.0 }, "trim width is −1 mm"),
            (FixtureKind::Rebate { depth: 0.0 }, "depth is 0 mm"),
            (FixtureKind::LowSpot { depth: 201.0 }, "depth is 201 mm"),
            (FixtureKind::Stair { nosing: 301.0 }, "nosing is 301 mm"),
        ];
        for (kind, what) in cases {
            expect(|plan| plan.fixtures.push(thing(kind, SQUARE)), "Thing", what);
        }
        accept(|plan| plan.fixtures.push(thing(FixtureKind::Kick { clearance: 20.0, tuck: 200.0 }, SQUARE)));
        let covered = Fixture { cover: Some(201.0), ..thing(FixtureKind::Vent, SQUARE) };
        expect(|plan| plan.fixtures.push(covered), "Thing", "cover is 201 mm");
        let appliance = Some(Appliance { height: 820.0, opening: 0.0 });
        let fitted = Fixture { appliance, ..thing(FixtureKind::Island, SQUARE) };
        expect(|plan| plan.fixtures.push(fitted), "Thing", "appliance's opening is 0 mm");
        let gap = Some(GapRange { least: 5.0, greatest: 2.0 });
        let gapped = Fixture { gap, ..thing(FixtureKind::Hearth, SQUARE) };
        expect(|plan| plan.fixtures.push(gapped), "Thing", "from 5 mm to 2 mm");
    }
}
