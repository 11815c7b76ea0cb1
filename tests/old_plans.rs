//! Plan files as the program wrote them before newer fields were added: they read, compute and write back byte for byte,
//! and what they leave out means what the plan format says it means.
#![allow(clippy::unwrap_used)]

use pipeline::House;
use plan::{CoverRules, GapRange, LevelRules, Plan};

/// The first two sample houses as first written, one with a pattern and a border, one of the next format's day.
const OLD: [&str; 4] = [
    include_str!("old-plans/hazel-court.ron"),
    include_str!("old-plans/one-room.ron"),
    include_str!("old-plans/plover-parlour.ron"),
    include_str!("old-plans/reed-cottage.ron"),
];

fn house(plan: &Plan) -> House {
    pipeline::run(plan).unwrap()
}

#[test]
fn old_files_write_back_byte_for_byte() {
    for text in OLD {
        let plan = plan::read(text).unwrap_or_else(|errors| panic!("{errors:?}"));
        assert_eq!(plan::write(&plan), text, "{}", plan.name);
    }
}

/// Nothing newer is in them, so nothing newer is done to their floors: no row laid back, nothing that lies, no gap of a
/// kind, no movement.
#[test]
fn old_files_compute_as_they_stand() {
    for text in OLD {
        let plan = plan::read(text).unwrap();
        let house = house(&plan);
        assert!(!house.floor.boards.is_empty() && house.fit.slips.iter().all(|slip| slip.doorway.is_none()));
        assert!(house.floor.runs.iter().all(|run| !run.backwards && run.is_turned() == (run.row < 0)));
        assert!(house.fit.movement.is_none() && house.fit.joints.is_empty() && house.floor.laid.opened == 0);
        assert_eq!(house, self::house(&plan::read(&plan::write(&plan)).unwrap()));
    }
}

/// What is left out is what the plan format and the rules say stands in its place: written out, it gives the same floor,
/// the same ways in and the same flags. Travel 5, room to turn √(190² + 15²) − 190, room to slide the tongue's depth,
/// every kind of gap the wall's, covers' least 3 and tolerance 1, steps 1, 6.4 and 13, leaf 5, appliance 3, kick 1.
#[test]
fn what_old_files_leave_out_is_the_documented_default() {
    for text in OLD {
        let old = plan::read(text).unwrap();
        let mut full = old.clone();
        let (width, thickness) = (old.stock.face_width, old.stock.thickness);
        let rules = &mut full.rules;
        rules.travel = Some(5.0);
        // The exact room, as the text gives the formula: by hand 0.6 of 190 × 15.
        rules.tilt_room = Some(f64::hypot(width, thickness) - width);
        rules.slide_room = Some(old.stock.tongue);
        let wall: Option<GapRange> = Some(rules.wall_gap);
        let gaps = &mut rules.gaps;
        (gaps.glazing, gaps.cabinets, gaps.islands, gaps.columns) = (wall, wall, wall, wall);
        (gaps.hearths, gaps.vents, gaps.jambs, gaps.tile_sides) = (wall, wall, wall, wall);
        rules.cover = CoverRules { least: Some(3.0), tolerance: Some(1.0), ..CoverRules::default() };
        rules.levels = LevelRules {
            flush: Some(1.0),
            upright: Some(6.4),
            bevelled: Some(13.0),
            leaf: Some(5.0),
            appliance: Some(3.0),
            kick: Some(1.0),
        };
        full.stock.bed = Some(0.0);
        let (old, full) = (house(&old), house(&full));
        assert_eq!(old.floor, full.floor, "{}", old.plan.name);
        assert_eq!(old.site, full.site);
        assert_eq!(old.flags, full.flags);
        assert_eq!(old.fit, full.fit);
        assert_eq!(old.order, full.order);
    }
}
