//! Two rooms laid on two days, worked out by hand.
#![allow(clippy::unwrap_used)]

use super::*;
use plan::{
    Beyond, Coating, Doorway, Fixture, FixtureKind, Leaf, Leveller, Materials, Moulding, Point, Room, Side,
    Stage, Waits,
};

fn corners(x: f64, y: f64, w: f64, h: f64) -> Vec<Point> {
    [(x, y), (x + w, y), (x + w, y + h), (x, y + h)].map(Point::from).to_vec()
}

/// A hall and a study side by side, rows from one into the other through an open doorway.
fn plan() -> Plan {
    let mut plan = Plan::new("t");
    plan.rooms.push(Room::boarded("Hall", corners(0.0, 0.0, 4000.0, 3000.0)));
    plan.rooms.push(Room::boarded("Study", corners(4100.0, 0.0, 3500.0, 3000.0)));
    plan.doorways.push(Doorway {
        leaf: Some(Leaf::swinging(Side::Near, 40.0)),
        ..Doorway::plain("Door", "Hall", 1, 1000.0, 800.0)
    });
    let stage =
        |name: &str, room: &str, day| Stage { name: name.into(), rooms: vec![room.into()], day, hours: None };
    plan.stages = vec![stage("Second", "Hall", 4), stage("First", "Study", 2)];
    plan
}

struct Laid {
    plan: Plan,
    surveyed: Site,
    site: Site,
    set: SetOut,
    floor: Floor,
}

fn laid(plan: Plan) -> Laid {
    assert_eq!(plan.problems(), []);
    let surveyed = site::survey(&plan);
    let set = setout::set_out(&plan, &surveyed);
    let site = site::eased(&surveyed, &set.eases);
    let floor = lay::lay(&plan, &site, &set);
    Laid { plan, surveyed, site, set, floor }
}

impl Laid {
    fn stages(&self) -> StagePlan {
        stages(&self.plan, &self.surveyed, &self.site, &self.set, &self.floor)
    }

    /// Greatest and least x of a board.
    fn extent(&self, board: usize) -> (f64, f64) {
        let outer = &self.floor.boards[board].outline.outer;
        outer.iter().fold((f64::INFINITY, 0.0_f64), |(l, h), p| (l.min(p.u), h.max(p.u)))
    }
}

#[test]
fn a_board_through_a_doorway_is_laid_with_the_stage_that_comes_first() {
    let laid = laid(plan());
    let all = laid.stages();
    // The study is laid on day 2, before the hall.
    assert_eq!(all.stages.iter().map(|part| part.stage).collect::<Vec<_>>(), [1, 0]);
    assert_eq!(all.unstaged, [0; 0]);
    for (board, stage) in all.stage_of.iter().enumerate() {
        let (left, right) = laid.extent(board);
        // The wall stands from 4000 to 4100: whatever reaches past 4100 lies in the study, also what crosses; what lies
        // in the doorway alone too, since the study comes first.
        let expected = if right > 4101.0 || left > 3999.0 { 0 } else { 1 };
        assert_eq!(*stage, Some(expected), "{left} to {right}");
    }
    // Each stage lists the boards that are laid with it, and their area.
    for (place, part) in all.stages.iter().enumerate() {
        assert!(!part.boards.is_empty());
        assert!(
            part.boards.iter().all(|board| all.stage_of[*board] == Some(place)),
            "{place}: {:?}",
            part.boards
        );
        let area: f64 = part.boards.iter().map(|board| laid.floor.boards[*board].area).sum();
        assert!((part.area - area / 1e6).abs() < 1e-9);
    }
    assert_eq!(all.boundaries.len(), 1);
    let boundary = &all.boundaries[0];
    assert_eq!((boundary.first, boundary.next, boundary.place.as_str()), (0, 1, "Door"));
    assert!(!boundary.crossing.is_empty());
    let reach = boundary.crossing.iter().map(|board| 4000.0 - laid.extent(*board).0).fold(0.0, f64::max);
    assert!((boundary.reach.unwrap() - reach).abs() < 1e-6);
    for board in &boundary.ends {
        assert_eq!(all.stage_of[*board], Some(1));
        assert!(laid.extent(*board).1 <= 4000.0 + 100.0);
    }
    assert!(boundary.control.as_ref().is_some_and(|line| !line.pulls.is_empty()));
}

#[test]
fn where_rows_run_along_the_wall_the_next_stage_picks_up_with_the_next_row() {
    let mut plan = plan();
    // The study stands above the hall, its doorway in the hall's upper wall.
    for wall in &mut plan.rooms[1].walls {
        wall.corner = wall.corner.moved(-4100.0, 3100.0);
    }
    plan.doorways[0].wall = 2;
    for (hall, study) in [(1, 2), (2, 1)] {
        (plan.stages[0].day, plan.stages[1].day) = (hall, study);
        let laid = laid(plan.clone());
        let all = laid.stages();
        let boundary = &all.boundaries[0];
        let highs = |board: &usize| {
            let outer = &laid.floor.boards[*board].outline.outer;
            outer.iter().fold((f64::INFINITY, 0.0_f64), |(l, h), p| (l.min(p.v), h.max(p.v)))
        };
        assert!(boundary.crossing.iter().all(|board| all.stage_of[*board] == Some(0)));
        // The wall stands from 3000 to 3100. What the hall lays first reaches past 3100, what the study does under 3000.
        let past = |board: &usize| {
            let (low, high) = highs(board);
            if hall < study { high - 3100.0 } else { 3000.0 - low }
        };
        let reach = boundary.crossing.iter().map(past).fold(0.0, f64::max);
        assert!((boundary.reach.unwrap() - reach).abs() < 1e-6, "{:?} {reach}", boundary.reach);
        // In the doorway's width the next row of the other room: one above or below those that cross.
        let crossed: Vec<i32> = boundary
            .crossing
            .iter()
            .map(|board| laid.floor.row_number(laid.floor.boards[*board].row))
            .collect();
        let next =
            if hall < study { crossed.iter().max().unwrap() + 1 } else { crossed.iter().min().unwrap() - 1 };
        let rows: Vec<i32> = boundary.rows.iter().map(|(_, row)| laid.floor.row_number(*row)).collect();
        assert_eq!(rows, [next], "{crossed:?}");
    }
}

#[test]
fn what_the_stages_take_together_is_what_the_house_takes() {
    let mut plan = plan();
    let outline = corners(500.0, 500.0, 1000.0, 600.0);
    let kind = FixtureKind::LowSpot { depth: 4.0 };
    plan.fixtures.push(Fixture::plain("Dip", kind, outline));
    plan.materials = Some(Materials {
        barrier: Some(Coating {
            name: String::new(),
            coats: vec![0.3],
            by_weight: false,
            pack: 10.0,
            price: None,
        }),
        leveller: Some(Leveller { name: String::new(), powder: None, pack: 25.0, price: None }),
        skirting: Some(Moulding {
            name: String::new(),
            lengths: vec![5400.0],
            kerf: 3.0,
            add: 0.0,
            price: None,
        }),
        ..Materials::default()
    });
    let laid = laid(plan);
    let all = laid.stages();
    let whole = crate::materials(&laid.plan, &laid.surveyed, &laid.site, &laid.floor);
    for line in &whole.lines {
        let parts = all.stages.iter().flat_map(|part| &part.materials.lines);
        let sum: f64 = parts.filter(|of| of.material == line.material).map(|of| of.greatest).sum();
        assert!((sum - line.greatest).abs() < 1e-6, "{:?}: {sum} of {}", line.material, line.greatest);
    }
    // By hand: the hall's walls 4000 + 3000 + 4000 and 3000 less the doorway's 800; the dip lies in the hall.
    let hall = &all.stages[1].materials.lines;
    assert!(hall.iter().any(|l| l.material == crate::Material::Skirting && (l.greatest - 13.2).abs() < 1e-6));
    assert!(hall.iter().any(|l| l.material == crate::Material::Leveller));
    let study = &all.stages[0].materials.lines;
    assert!(!study.iter().any(|l| l.material == crate::Material::Leveller));
    let boards: usize = all.stages.iter().map(|part| part.boards.len()).sum();
    assert_eq!(boards, laid.floor.boards.len());
    let opened: usize = all.stages.iter().flat_map(|part| &part.opened).map(|(_, count)| count).sum();
    assert_eq!(opened, laid.floor.stock.len());
    let packs: usize = all.stages.iter().map(|part| part.packs).sum();
    let all_packs: std::collections::BTreeSet<usize> = laid.floor.stock.iter().map(|s| s.pack).collect();
    assert_eq!(packs, all_packs.len());
    // Each pack is carried in once, with the first stage of which a board comes from it; what stands open was carried in before.
    let mut carried = std::collections::BTreeSet::new();
    for (place, part) in all.stages.iter().enumerate() {
        let is_first = |stock: &lay::StockBoard| {
            let stages = stock.pieces.iter().filter_map(|piece| all.stage_of[piece.board]);
            stages.min() == Some(place)
        };
        let mut of_stage: Vec<usize> =
            laid.floor.stock.iter().filter(|stock| is_first(stock)).map(|stock| stock.pack + 1).collect();
        of_stage.sort_unstable();
        of_stage.dedup();
        let (open, new): (Vec<usize>, Vec<usize>) =
            of_stage.into_iter().partition(|pack| carried.contains(pack));
        assert_eq!((&part.pack_numbers, &part.open_packs, part.packs), (&new, &open, new.len()), "{place}");
        carried.extend(new);
    }
    assert_eq!(carried.len(), all_packs.len());
    // Packs that would do: of every length as many as are opened up to the stage's end, over what a pack holds of it.
    let lengths = &laid.plan.stock.lengths;
    let mut done = 0;
    for (place, part) in all.stages.iter().enumerate() {
        let count = |length: f64| -> usize {
            let stages = all.stages[..=place].iter().flat_map(|part| &part.opened);
            stages.filter(|(opened, _)| *opened == length).map(|(_, count)| count).sum()
        };
        let needs = lengths.iter().map(|of| count(of.length).div_ceil(of.per_pack as usize)).max().unwrap();
        assert_eq!(part.would_do, Some(needs - done), "{place}");
        assert!(needs - done <= part.packs || place > 0);
        done = needs;
    }
}

/// The day plan as day, hour, step and stage.
fn days(plan: Plan) -> Vec<(i64, Option<f64>, StepKind, usize)> {
    let all = laid(plan).stages();
    all.steps.iter().map(|step| (step.day, step.hour, step.kind, step.stage)).collect()
}

#[test]
fn steps_are_reckoned_back_from_the_day_of_laying() {
    let mut plan = plan();
    plan.stages.remove(0);
    plan.materials = Some(Materials {
        barrier: Some(Coating {
            name: String::new(),
            coats: vec![0.3, 0.3],
            by_weight: false,
            pack: 10.0,
            price: None,
        }),
        ..Materials::default()
    });
    plan.waits = Waits { barrier_coat: Some(12.0), walk: Some(24.0), ..Waits::default() };
    // Days from 8 to 16. Laying begins on day 2 at 8: twelve hours before is the evening, so coat 2 is on by 16 of day
    // 1; twelve before that is 4 in the morning, so coat 1 by 16 of day 0. Laid by 16 of day 2, walked on a day later.
    let lay = (2, None, StepKind::Lay, 0);
    let walk = (3, Some(16.0), StepKind::Walk, 0);
    let coats = |day: i64, hour, coat| (day, Some(hour), StepKind::Coat(coat, 2), 0);
    assert_eq!(days(plan.clone()), [coats(0, 16.0, 1), coats(1, 16.0, 2), lay, walk]);
    // Two hours: coat 2 would end at 6 on the day of laying itself; so by 16 of the day before, and it is begun at 14.
    // Coat 1 has had its two hours by then if it is on by 12.
    plan.waits.barrier_coat = Some(2.0);
    assert_eq!(days(plan.clone()), [coats(1, 12.0, 1), coats(1, 16.0, 2), lay, walk]);
    // A whole day: coat 2 would end at 8 on day 1, which is the evening of day 0; it is begun at 14, so coat 1 is on by 14
    // of day −1.
    plan.waits.barrier_coat = Some(24.0);
    assert_eq!(days(plan.clone()), [coats(-1, 14.0, 1), coats(0, 16.0, 2), lay, walk]);
    // Seven hours before 14 is 7 in the morning, six is 8: no coat goes on in the hours before, five leave one hour of work,
    // which is too little; four are 10 o'clock, and coat 1 goes on from 8.
    for (wait, first) in [(7.0, (0, 16.0)), (6.0, (0, 16.0)), (5.0, (0, 16.0)), (4.0, (1, 10.0))] {
        plan.waits.barrier_coat = Some(wait);
        assert_eq!(days(plan.clone())[0], coats(first.0, first.1, 1), "{wait} h");
    }
    plan.waits.barrier_coat = Some(24.0);
    // Twelve hours of laying are a day and a half: until 12 of day 3; a day later it is 12 of day 4.
    plan.stages[0].hours = Some(12.0);
    plan.waits.barrier_coat = None;
    let all = laid(plan).stages();
    let walk = all.steps.iter().find(|step| step.kind == StepKind::Walk).unwrap();
    assert_eq!((walk.day, walk.hour), (4, Some(12.0)));
    let coat = all.steps.iter().find(|step| matches!(step.kind, StepKind::Coat(..))).unwrap();
    assert!(coat.wait_is_taken && coat.wait == Some(16.0));
    assert!(all.cautions.iter().any(|words| words.contains("coat of the barrier")), "{:?}", all.cautions);
    // Nothing is filled or primed, so no wait for it is taken.
    let others = |words: &String| words.contains("leveller") || words.contains("primer");
    assert!(!all.cautions.iter().any(others), "{:?}", all.cautions);
    assert_eq!(coat.words(), "moisture barrier, coat 1 of 2");
    assert_eq!(walk.words(), "may be walked on: protection down");
    assert_eq!(walk.time_words(), "from 12 o'clock, 24 h after the last board");
}

/// Leveller under a barrier: the coat that covers it is not begun before its wait is over.
#[test]
fn no_work_begins_before_the_wait_ahead_of_it_is_over() {
    let mut plan = plan();
    plan.stages.remove(1);
    plan.fixtures.push(Fixture::plain(
        "Dip",
        FixtureKind::LowSpot { depth: 4.0 },
        corners(500.0, 500.0, 1000.0, 600.0),
    ));
    plan.materials = Some(Materials {
        barrier: Some(Coating {
            name: String::new(),
            coats: vec![0.3, 0.2],
            by_weight: false,
            pack: 10.0,
            price: None,
        }),
        leveller: Some(Leveller { name: String::new(), powder: None, pack: 25.0, price: None }),
        ..Materials::default()
    });
    plan.waits = Waits { leveller: Some(24.0), barrier_coat: Some(12.0), ..Waits::default() };
    let all = laid(plan).stages();
    // Laid on day 4 from 8. Coat 2 by 16 of day 3, from 14. Twelve hours before that is 2 in the night: coat 1 by 16 of day
    // 2, from 14. Twenty-four hours before that: filled by 14 of day 1, from 12.
    let step = |step: &DayStep| (step.day, step.begun, step.hour);
    let said: Vec<_> = all.steps.iter().map(step).collect();
    let work = |day, begun, done| (day, Some(begun), Some(done));
    assert_eq!(said, [work(1, 12.0, 14.0), work(2, 14.0, 16.0), work(3, 14.0, 16.0), (4, None, None)]);
    assert_eq!(all.steps[0].time_words(), "begun by 12, done by 14 o'clock, then 24 h");
    // In the clock of the house: what is done, waited and begun next.
    let hours = |day: i64, hour: f64| day as f64 * 24.0 + hour;
    for pair in all.steps.windows(2) {
        let begun = hours(pair[1].day, pair[1].begun.unwrap_or(8.0));
        let done = hours(pair[0].day, pair[0].hour.unwrap());
        assert!(begun - done >= pair[0].wait.unwrap(), "{pair:?}");
    }
    let words = all.work_words().unwrap();
    assert!(words.contains("2 h of work"), "{words}");
    // That is no caution, and nothing is said where nothing is filled or coated.
    assert!(!all.cautions.iter().any(|caution| caution.contains("of work")), "{:?}", all.cautions);
    assert_eq!(StagePlan::default().work_words(), None);
}

/// What is to come is the coats asked for less the coats that are on.
#[test]
fn a_coat_that_is_on_is_not_put_on_again() {
    let mut plan = plan();
    plan.stages.remove(0);
    plan.materials = Some(Materials {
        barrier: Some(Coating {
            name: String::new(),
            coats: vec![0.3, 0.2],
            by_weight: false,
            pack: 10.0,
            price: None,
        }),
        ..Materials::default()
    });
    plan.waits.barrier_coat = Some(12.0);
    let coat = |day, coat| (day, Some(16.0), StepKind::Coat(coat, 2), 0);
    let lay = (2, None, StepKind::Lay, 0);
    let both = laid(plan.clone()).stages().stages[0].materials.lines[0].greatest;
    for (on, steps, share) in [
        (None, vec![coat(0, 1), coat(1, 2), lay], 1.0),
        (Some(0), vec![coat(0, 1), coat(1, 2), lay], 1.0),
        // The second coat alone: 0.2 of 0.3 + 0.2.
        (Some(1), vec![coat(1, 2), lay], 0.4),
        (Some(2), vec![lay], 0.0),
        (Some(3), vec![lay], 0.0),
    ] {
        plan.slab = Some(plan::Slab { barrier_coats: on, ..plan::Slab::default() });
        assert_eq!(days(plan.clone()), steps, "{on:?}");
        let all = laid(plan.clone()).stages();
        let taken: f64 = all.stages[0].materials.lines.iter().map(|line| line.greatest).sum();
        assert!((taken - share * both).abs() < 1e-9, "{on:?}: {taken} of {both}");
    }
}

/// A dip in the study: it is filled before that is laid, and its doorway's architrave goes up with it, the earlier stage.
#[test]
fn hollows_and_doorways_belong_to_their_own_stage() {
    let mut plan = plan();
    plan.fixtures.push(Fixture::plain(
        "Dip",
        FixtureKind::LowSpot { depth: 4.0 },
        corners(6000.0, 1500.0, 1000.0, 600.0),
    ));
    let moulding = Moulding { name: String::new(), lengths: vec![2400.0], kerf: 3.0, add: 0.0, price: None };
    plan.materials = Some(Materials {
        leveller: Some(Leveller { name: String::new(), powder: None, pack: 25.0, price: None }),
        architrave: Some(plan::Architrave { width: 70.0, height: 2040.0, moulding }),
        ..Materials::default()
    });
    let all = laid(plan).stages();
    let takes = |place: usize, material| {
        let lines = &all.stages[place].materials.lines;
        lines.iter().any(|line| line.material == material && line.greatest > 0.0)
    };
    for material in [crate::Material::Leveller, crate::Material::Architrave] {
        assert!(takes(0, material) && !takes(1, material), "{material:?}");
    }
    let fills: Vec<usize> =
        all.steps.iter().filter(|step| step.kind == StepKind::Fill).map(|step| step.stage).collect();
    assert_eq!(fills, [0]);
    let fill = all.steps.iter().find(|step| step.kind == StepKind::Fill).unwrap();
    assert_eq!(fill.words(), "fill low spots and rebates");
}

#[test]
fn a_stage_beside_a_floor_nobody_may_walk_on_is_cautioned() {
    let mut plan = plan();
    plan.waits.walk = Some(24.0);
    assert!(!laid(plan.clone()).stages().cautions.iter().any(|words| words.contains("nobody may walk")));
    plan.stages[0].day = 3;
    let cautions = laid(plan).stages().cautions;
    // The study is laid by 16 of day 2 and walked on a day later; the hall is begun at 8 of day 3.
    let said = "Second begins at Door while nobody may walk on First before day 3, 16 o'clock: come in another way, \
                or wait";
    assert!(cautions.iter().any(|words| words == said), "{cautions:?}");
}

/// The study, which alone has a door outside, is laid on day 2 until 16 and walked on from 16 of day 3. The hall is laid on day 4
/// from 8, its one coat on by 16 of day 3 and begun at 14: two hours before anybody may come over the study's boards. With a
/// coat that has two days to cure it goes on before the study is laid, over bare slab; and through a door of the hall's own
/// one comes without.
#[test]
fn a_coat_beside_a_floor_nobody_may_walk_on_is_cautioned() {
    let mut plan = plan();
    let barrier =
        Coating { name: String::new(), coats: vec![0.3], by_weight: false, pack: 10.0, price: None };
    plan.materials = Some(Materials { barrier: Some(barrier), ..Materials::default() });
    plan.waits = Waits { barrier_coat: Some(12.0), walk: Some(24.0), ..Waits::default() };
    plan.stages[0].day = 4;
    plan.doorways
        .push(Doorway { beyond: Beyond::Trim(30.0), ..Doorway::plain("Out", "Study", 1, 1000.0, 800.0) });
    let said = |plan: &Plan| -> Vec<String> {
        let all = laid(plan.clone()).stages().cautions;
        all.into_iter().filter(|words| words.contains("nobody may walk")).collect()
    };
    let coat = "Second, day 3: moisture barrier, coat 1 of 1, which begins at Door while nobody may walk on First before \
                day 3, 16 o'clock: do it before First is laid, come in another way, or wait";
    assert_eq!(said(&plan), [coat]);
    (plan.doorways[1].room, plan.doorways[1].wall) = ("Hall".into(), 3);
    assert_eq!(said(&plan), [""; 0]);
    (plan.doorways[1].room, plan.doorways[1].wall) = ("Study".into(), 1);
    plan.waits.barrier_coat = Some(48.0);
    assert_eq!(said(&plan), [""; 0]);
}

#[test]
fn a_room_in_no_stage_is_named_and_a_plan_without_stages_has_none() {
    let mut plan = plan();
    plan.stages.remove(0);
    let laid = laid(plan);
    let all = laid.stages();
    assert_eq!(all.unstaged, [0]);
    assert!(all.boundaries.is_empty());
    assert!(all.stage_of.iter().any(Option::is_none));
    let mut plan = laid.plan;
    plan.stages.clear();
    assert_eq!(self::laid(plan).stages(), StagePlan::default());
}

#[test]
fn of_many_boards_twelve_are_named_and_the_others_counted() {
    let floor = laid(plan()).floor;
    let named = |count: usize| words::labels(&floor, &(0..count).collect::<Vec<_>>());
    assert!(named(12).ends_with(&floor.boards[11].label) && !named(12).contains("more"));
    assert!(named(14).ends_with("and 2 more"), "{}", named(14));
}

#[test]
fn packs_to_carry_in_are_named_in_runs() {
    let part = |new: &[usize], open: &[usize]| crate::StagePart {
        stage: 0,
        rooms: Vec::new(),
        day: 1,
        boards: Vec::new(),
        area: 0.0,
        opened: Vec::new(),
        packs: new.len(),
        pack_numbers: new.to_vec(),
        open_packs: open.to_vec(),
        would_do: None,
        materials: crate::MaterialList::default(),
        off_walls: 0.0,
    };
    assert_eq!(part(&[1, 2, 3, 5, 7, 8], &[]).carry_words(), "packs 1–3, 5, 7, 8");
    assert_eq!(part(&[4], &[2, 3]).carry_words(), "pack 4; boards too of packs 2, 3, open already");
    assert_eq!(part(&[], &[9]).carry_words(), "no further pack; boards too of pack 9, open already");
}
