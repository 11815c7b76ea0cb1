//! A workbench gives what a full run gives, whatever has been edited before.
#![allow(clippy::unwrap_used)]

use pipeline::{Kept, Workbench};
use plan::{Covering, Fixture, FixtureKind, GapRange, Plan, Point, Sight, StartLine, edit};
use proptest::prelude::*;
use startrow_tests::{Dice, house};

/// One edit of the kinds a person makes; some leave the plan as it is, some break it.
fn edited(plan: &mut Plan, dice: &mut Dice) {
    let room = dice.below(plan.rooms.len());
    let wall = dice.below(plan.rooms[room].walls.len());
    match dice.below(22) {
        0 => drop(edit::move_wall(plan, room, wall, dice.mm(-60.0, 60.0))),
        1 => {
            let to = plan.rooms[room].walls[wall].corner.moved(dice.mm(-30.0, 30.0), dice.mm(-30.0, 30.0));
            drop(edit::move_corner(plan, room, wall, to));
        }
        2 => drop(edit::rename_room(plan, room, &format!("Renamed {}", dice.below(1000)))),
        3 if plan.rooms.len() > 3 => drop(edit::remove_room(plan, room)),
        4 => {
            let x = 20_000.0 + dice.mm(0.0, 9000.0);
            let corners = [(x, 0.0), (x + 3000.0, 0.0), (x + 3000.0, 2500.0), (x, 2500.0)].map(Point::from);
            drop(edit::add_room(plan, &corners));
        }
        5 => plan.rows_at = [0.0, 90.0, 30.0][dice.below(3)],
        6 => plan.stock.pack_price = Some(dice.mm(10.0, 90.0)),
        7 => plan.seed = dice.below(5) as u64,
        8 => plan.rules.least_rip = dice.mm(30.0, 80.0),
        9 => plan.rules.wall_gap = GapRange { least: dice.mm(5.0, 12.0), greatest: 15.0 },
        10 => plan.name = format!("plan {}", dice.below(9)),
        11 => {
            let at = plan.rooms[room].walls[0].corner;
            let outline = [(400.0, 400.0), (800.0, 400.0), (800.0, 900.0)].map(|(x, y)| at.moved(x, y));
            plan.fixtures.push(Fixture::plain(
                format!("Spot {}", plan.fixtures.len()),
                if dice.one_in(2) { FixtureKind::LowSpot { depth: 3.0 } } else { FixtureKind::Column },
                outline.to_vec(),
            ));
        }
        13 => {
            let scale = dice.mm(1.0, 20.0);
            plan.backdrop = Some(plan::Backdrop { scale, ..plan::Backdrop::new("scan.png", (80, 60), "") });
        }
        15 => plan.rooms.iter_mut().flat_map(|room| &mut room.walls).for_each(|wall| {
            wall.skirting = Some(plan::Skirting::Thick(12.0 + wall.corner.x.abs() % 7.0));
        }),
        16 => drop(edit::rename_room(plan, room, &format!("{}", dice.below(6)))),
        17 => {
            if let Some(door) = plan.doorways.first_mut() {
                door.at += dice.mm(-25.0, 25.0);
                door.name = format!("Opening {}", dice.below(9));
            }
        }
        18 => {
            if let Some(fixture) = plan.fixtures.last_mut() {
                let (x, y) = (dice.mm(-40.0, 40.0), dice.mm(-40.0, 40.0));
                fixture.outline.iter_mut().for_each(|p| *p = p.moved(x, y));
                fixture.name = format!("Moved {}", dice.below(9));
            }
        }
        19 => plan.air = Some(plan::Seasons::default()),
        20 => plan.slab = Some(plan::Slab::default()),
        21 => plan.stock.name = format!("Plank {}", dice.below(9)),
        12 => plan.units = [plan::Units::Metric, plan::Units::FeetInches][dice.below(2)],
        _ => {
            plan.rooms[room].covering = match plan.rooms[room].covering {
                Covering::Boards => Covering::Other("stone".into()),
                Covering::Other(_) => Covering::Boards,
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]
    #[test]
    fn edits_one_after_the_other_give_what_full_runs_give(seed in 0..10_000_u64) {
        let (mut plan, mut dice) = (house(seed), Dice::new(seed));
        let mut bench = Workbench::default();
        for step in 0..8 {
            match (bench.run(&plan), pipeline::run(&plan)) {
                (Ok(house), Ok(full)) => prop_assert!(*house == full, "seed {seed}, step {step}: {:?}", bench.kept()),
                (Err(found), Err(problems)) => prop_assert_eq!(found, problems),
                (found, full) => prop_assert!(false, "{} {}", found.is_ok(), full.is_ok()),
            }
            edited(&mut plan, &mut dice);
        }
    }
}

/// One edit within one room that leaves rules and stock as they are.
fn changed(plan: &mut Plan, dice: &mut Dice) {
    let room = dice.below(plan.rooms.len());
    let wall = dice.below(plan.rooms[room].walls.len());
    let at = plan.rooms[room].walls[wall].corner;
    match dice.below(4) {
        0 | 1 => drop(edit::move_wall(plan, room, wall, dice.mm(-40.0, 40.0))),
        2 => {
            let to = at.moved(dice.mm(-20.0, 20.0), dice.mm(-20.0, 20.0));
            drop(edit::move_corner(plan, room, wall, to));
        }
        _ => {
            let (x, y) = (dice.mm(300.0, 1500.0), dice.mm(300.0, 1500.0));
            let corners = [(x, y), (x + 150.0, y), (x + 150.0, y + 150.0), (x, y + 150.0)];
            plan.fixtures.push(Fixture::plain(
                format!("Column {}", plan.fixtures.len()),
                FixtureKind::Column,
                corners.map(|(x, y)| at.moved(x, y)).to_vec(),
            ));
        }
    }
}

/// Edits a house on a snapped line step by step and holds each floor, laid with what is remembered of the floor before,
/// against laying it from nothing. Gives runs that came from memory, all runs, and edits.
fn edited_from_memory(mut plan: Plan, mut dice: Dice) -> [usize; 3] {
    let mut counts = [0; 3];
    let mut layer = lay::Layer::default();
    for step in 0..9 {
        let before = plan.clone();
        changed(&mut plan, &mut dice);
        if !plan.problems().is_empty() {
            plan = before;
            continue;
        }
        let surveyed = site::survey(&plan);
        let setout = setout::set_out(&plan, &surveyed);
        let site = site::eased(&surveyed, &setout.eases);
        let floor = layer.lay(&plan, &site, &setout);
        assert!(floor == lay::lay(&plan, &site, &setout), "{}, edit {step}", plan.name);
        counts = [counts[0] + layer.laid_again(), counts[1] + floor.runs.len(), counts[2] + 1];
    }
    counts
}

fn snapped_house(seed: u64) -> (Plan, Dice) {
    let (mut plan, mut dice) = (house(seed), Dice::new(1000 + seed));
    plan.name = format!("house {seed}");
    plan.start_line = StartLine::At(dice.mm(0.0, 180.0));
    (plan, dice)
}

/// Some hundred edits of houses whose line is snapped: laid with what is remembered of the floor before, each floor is what
/// laying it from nothing gives, and a good part of the runs come from memory.
#[test]
fn an_edited_floor_is_laid_from_the_first_run_on_that_it_touches() {
    let [mut again, mut runs, mut edits] = [0; 3];
    for seed in 0..30 {
        let (mut plan, dice) = snapped_house(seed);
        plan.rooms[0].sight = if seed % 3 == 0 { Sight::Passing } else { Sight::Open };
        let counts = edited_from_memory(plan, dice);
        (again, runs, edits) = (again + counts[0], runs + counts[1], edits + counts[2]);
    }
    println!("{again} of {runs} runs from memory, {edits} edits");
    assert!(edits > 150, "{edits} edits");
    assert!(5 * again > runs, "{again} of {runs} runs from memory");
}

/// Where walls end rows aslant, offcuts are put in order by the slants of the whole floor, so that an edit at one end of it may
/// be read at the other. In these houses it was, when slants were not asked for.
#[test]
fn slants_that_an_edit_changes_are_read_everywhere() {
    let mut again = 0;
    for (seed, turned) in [(29, 17.0), (60, 30.0), (65, 17.0)] {
        let (mut plan, dice) = snapped_house(seed);
        plan.rows_at += turned;
        again += edited_from_memory(plan, dice)[0];
    }
    assert!(again > 0);
}

/// What each edit takes over: the ground for saying that it costs what it touches.
#[test]
fn an_edit_keeps_what_it_does_not_touch() {
    let kept_of = |number: u64, change: &dyn Fn(&mut Plan)| {
        let mut plan = house(number);
        let mut bench = Workbench::default();
        bench.run(&plan).unwrap();
        change(&mut plan);
        bench.run(&plan).unwrap();
        bench.kept()
    };
    let kept = |change: &dyn Fn(&mut Plan)| kept_of(1, change);
    let all = Kept { setout: true, floor: true, fit: true, flags: true };
    assert_eq!(kept(&|plan| plan.stock.pack_price = Some(60.0)), all);
    assert_eq!(kept(&|plan| plan.name = "Other".into()), all);
    let picture = plan::Backdrop::new("scan.png", (800, 600), "");
    assert_eq!(kept(&|plan| plan.backdrop = Some(picture.clone())), all);
    // Names are read by flags and lists alone, and so is the slab.
    let named = Kept { flags: false, ..all };
    assert_eq!(kept(&|plan| edit::rename_room(plan, 0, "Passage").unwrap()), named);
    assert_eq!(kept(&|plan| plan.doorways[0].name = "Way".into()), named);
    // House 1's walls all stand at an angle to the rows, so that its lines tie and are laid to choose among them, with the
    // seed, and counted by their faults; one line of house 2 is better than the rest.
    assert_eq!(kept_of(1, &|plan| plan.seed += 1), Kept::default());
    assert_eq!(kept_of(2, &|plan| plan.seed += 1), Kept { setout: true, ..Kept::default() });
    let slab = |plan: &mut Plan| plan.slab = Some(plan::Slab::default());
    assert!(!kept_of(1, &slab).setout);
    assert_eq!(kept_of(2, &slab), named);
    let level = |plan: &mut Plan| plan.rooms[0].slab_level = 2.0;
    assert!(!kept_of(1, &level).setout);
    assert_eq!(kept_of(2, &level), Kept { fit: false, ..named });
    let inches = |plan: &mut Plan| plan.units = plan::Units::FeetInches;
    assert_eq!(kept_of(2, &inches), Kept { floor: true, ..Kept::default() });
    assert_eq!(kept(&|plan| edit::move_wall(plan, 0, 1, 25.0).unwrap()), Kept::default());
    assert_eq!(kept(&|plan| plan.rules.least_rip += 1.0), Kept::default());
}

/// Rooms that are called by numbers, and that pass their names on, while doorways stand where they stood: what a name means is read,
/// not the name.
#[test]
fn names_are_read_for_the_rooms_they_mean() {
    let mut plan = house(2);
    let mut bench = Workbench::default();
    bench.run(&plan).unwrap();
    let mut run = |plan: &Plan| {
        let (found, full) = (bench.run(plan), pipeline::run(plan));
        assert_eq!(found.map(|house| (*house).clone()), full, "{:?}", bench.kept());
        bench.kept()
    };
    let named = Kept { flags: false, setout: true, floor: true, fit: true };
    edit::rename_room(&mut plan, 1, "1").unwrap();
    assert_eq!(run(&plan), named);
    // All rooms pass their names on in a ring, and doorways with them.
    let names: Vec<String> = plan.rooms.iter().map(|room| room.name.clone()).collect();
    let next = |name: &str| {
        let place = names.iter().position(|other| other == name).unwrap();
        names[(place + 1) % names.len()].clone()
    };
    plan.rooms.iter_mut().for_each(|room| room.name = next(&room.name));
    plan.doorways.iter_mut().for_each(|door| door.room = next(&door.room));
    assert_eq!(run(&plan), named);
    assert!(names.len() > 2);
}

/// A price changed after everything was taken over is that of the order, which is otherwise as it was.
#[test]
fn another_price_prices_the_order_anew() {
    let mut plan = house(4);
    let mut bench = Workbench::default();
    let before = bench.run(&plan).unwrap();
    plan.stock.pack_price = Some(41.5);
    let priced = bench.run(&plan).unwrap();
    assert_eq!(priced.order.price, Some(41.5 * f64::from(before.order.packs)));
    plan.stock.pack_price = None;
    assert_eq!(bench.run(&plan).unwrap().order, before.order);
}
