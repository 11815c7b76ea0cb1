//! Plans with all that a file can hold, by chance: they come back as they were written.

use super::*;
use crate::{
    Adhesive, AdhesiveRate, Appliance, Architrave, Arris, Border, Bow, Climate, Coating, Construction,
    Corners, Covering, DrynessMethod, DrynessReading, FixtureKind, FlatnessLimit, FlatnessReading, GapRange,
    Hired, Leveller, Mark, Moulding, OwnLimit, OwnLine, Pattern, Point, RandomLengths, Sealant, Sheet, Sight,
    Signed, Skirting, SlabKind, SlabPoint, Species, Surface, SurfaceKind, WallFace, Wood,
};
use proptest::prelude::*;

/// A slab's record and materials with all that they can hold.
fn record_all(plan: &mut Plan, record: u8, figure: f64, words: &str) {
    let from = || OwnLimit { at: figure / 5.0, from: format!("sheet {words}") };
    plan.slab = Some(Slab {
        kind: SlabKind::CalciumSulphate,
        thickness: Some(figure + 1.0),
        heated: record > 3,
        humidity_limit: Some(from()),
        flatness_limit: Some(FlatnessLimit::Own { straightedge: 1500.0, gap: figure / 9.0 }),
        acclimatise: Some(from()),
        barrier_coats: Some(2),
        compatible: words.to_owned(),
        signed: vec![
            Signed {
                point: SlabPoint::Heating,
                mark: Mark::NotApplicable,
                date: String::new(),
                by: words.to_owned(),
            },
            Signed { point: SlabPoint::Clean, mark: Mark::Done, date: words.to_owned(), by: "j".into() },
        ],
        ..Slab::default()
    });
    let coating = || Coating {
        name: words.to_owned(),
        coats: vec![0.35, figure / 90.0],
        by_weight: figure > 50.0,
        pack: 10.0,
        price: Some(figure),
    };
    let sheet = || Sheet {
        name: String::new(),
        width: 1000.0,
        length: 25_000.0,
        lap: 100.0,
        off_walls: Some(50.0),
        price: None,
    };
    let moulding = || Moulding {
        name: words.to_owned(),
        lengths: vec![2400.0, 5400.0],
        kerf: 3.0,
        add: figure / 90.0,
        price: None,
    };
    let rate = match record % 3 {
        0 => AdhesiveRate::Bead { diameter: 7.0, spacing: 64.0 },
        1 => AdhesiveRate::Trowel { width: 6.0, depth: 5.0, pitch: 11.0 },
        _ => AdhesiveRate::Rate { least: 0.9, greatest: 1.4 },
    };
    plan.materials = Some(Materials {
        adhesive: Some(Adhesive {
            name: words.to_owned(),
            rate,
            by_weight: figure > 50.0,
            density: Some(0.1 + figure / 90.0),
            pack: 0.6,
            price: Some(figure),
        }),
        barrier: Some(coating()),
        primer: Some(Coating { name: String::new(), price: None, ..coating() }),
        leveller: (record > 1).then(|| Leveller {
            name: String::new(),
            powder: Some(1.7),
            pack: 25.0,
            price: None,
        }),
        underlay: Some(sheet()),
        protection: Some(Sheet { lap: 0.0, ..sheet() }),
        sealant: Some(Sealant { name: words.to_owned(), depth: Some(15.0), pack: 0.6, price: None }),
        skirting: Some(moulding()),
        architrave: Some(Architrave { width: 70.0, height: 2040.0, moulding: moulding() }),
        trim: Some(Moulding { add: 0.0, ..moulding() }),
        nosing: None,
        hired: vec![Hired {
            name: format!("x{words}"),
            count: 1 + u32::from(record % 2),
            days: 3,
            price: None,
        }],
        allowance: Some(10.0),
    });
}

prop_compose! {
    /// A plan of one to six rooms in a row, with all that a file can hold.
    fn any_plan()(
        name in "\\PC{1,40}",
        (seed, at, rows_at) in (any::<u64>(), proptest::option::of(-1e5..1e5_f64), -90.0..=90.0_f64),
        (ten, price) in (1700.0..2100.0_f64, proptest::option::of(0.0..1e4_f64)),
        rooms in proptest::collection::vec((1500.0..9000.0_f64, 1500.0..9000.0_f64, -20.0..20.0_f64, 0..4_u8), 1..6),
        kinds in proptest::collection::vec(0..9_u8, 0..6),
        imperial in any::<bool>(),
        (record, figure, words) in (0..8_u8, 0.5..400.0_f64, "\\PC{0,20}"),
        (pattern, border, light, effort, random) in
            (0..5_u8, 0..3_u32, proptest::option::of(-180.0..180.0_f64), 0..9_u64, any::<bool>()),
    ) -> Plan {
        let mut plan = Plan::new(format!("x{name}"));
        plan.seed = seed;
        plan.rows_at = rows_at;
        plan.start_line = at.map_or(StartLine::Best, StartLine::At);
        plan.units = if imperial { Units::FeetInches } else { Units::Metric };
        plan.stock.ten_boards = Some(ten);
        plan.stock.pack_price = price;
        plan.stock.currency = if imperial { "(\"(\\".into() } else { String::new() };
        plan.pattern = match pattern {
            0 => Pattern::Irregular,
            1 => Pattern::Half,
            2 => Pattern::Third,
            3 => Pattern::Herringbone { block: 1250.0, abreast: 2 },
            _ => Pattern::Chevron { block: 2200.0, mitre: 30.0 },
        };
        plan.border = (border > 0).then_some(Border { boards: border, corners: Corners::Butted });
        plan.light_from = light;
        plan.effort = effort;
        plan.rules.travel = light.map(|light| light.abs() / 4.0);
        plan.rules.slide_room = imperial.then_some(6.5);
        plan.rules.tilt_room = random.then_some(0.7);
        if effort > 3 {
            let built = [Construction::Multilayer, Construction::FlatSawn, Construction::Stated(0.031)];
            let species = Species::ALL[effort as usize];
            let construction = built[effort as usize % 3];
            plan.stock.wood = Some(Wood { species, construction, held_back: f64::from(border) / 4.0 });
            let dampest = Climate::Moisture(11.5);
            plan.air = Some(Seasons { dampest, ..Seasons::default() });
            plan.joints.push(MovementJoint::new(Point::new(0.0, 700.5), Point::new(1500.0, 700.5)));
            plan.joints.push(MovementJoint { name: "\"Second\" (".into(), ..plan.joints[0].clone() });
            let picture = crate::Backdrop::new("scans/\"ground\" floor (1).png", (1200, 900), "0badcafe");
            let turn = if imperial { 0.0 } else { rows_at };
            plan.backdrop = Some(crate::Backdrop { turn, scale: 0.1 + 0.2, over: random, ..picture });
        }
        if effort > 5 {
            plan.pinned.push(crate::Pinned::Joint(1));
        }
        if random && plan.pattern.is_irregular() && border == 0 {
            plan.stock.lengths.clear();
            plan.stock.random = Some(RandomLengths { shortest: 400.0, longest: 2200.0, per_pack: 8 });
            plan.stock.packs = Some(40);
        }
        if record > 0 {
            record_all(&mut plan, record, figure, &words);
        }
        let mut x = 0.0;
        for (i, (w, h, skew, kind)) in rooms.into_iter().enumerate() {
            let corners = [(x, 0.0), (x + w, skew), (x + w, h), (x, h - skew)].map(Point::from);
            let mut room = Room::boarded(format!("{name} room ({i}"), corners);
            if imperial {
                let doubted = crate::Taped { good_to: Some(1.5), set_aside: true, ..crate::Taped::new(0, 2, h) };
                room.tape = vec![crate::Taped::new(0, 1, w), doubted];
            }
            match kind {
                0 => room.walls[0].bow = vec![Bow { along: w / 3.0, back: skew }, Bow { along: w / 2.0, back: 0.1 }],
                1 => room.walls[1].gap = Some(GapRange { least: 8.0, greatest: 9.5 }),
                2 => room.walls[2].face = WallFace::Glazing,
                _ => room.covering = Covering::Other(format!("stone \"{name}\"")),
            }
            if kind < 3 {
                crate::edit::add_room(&mut plan, &corners).unwrap();
                plan.rooms.pop();
                plan.rooms.push(room);
                let last = plan.rooms.len() - 1;
                crate::edit::add_doorway(&mut plan, last, 2, w / 2.0).unwrap();
            } else {
                plan.rooms.push(room);
            }
            x += w + 700.0;
        }
        let levels = effort % 2 == 0;
        if levels {
            (plan.stock.wear_layer, plan.stock.bed) = (Some(4.0), Some(1.5));
            plan.rules.gaps.glazing = Some(GapRange { least: 5.0, greatest: 8.0 });
            plan.rules.gaps.tile_sides = Some(GapRange { least: 6.0, greatest: 6.0 });
            plan.rules.cover.skirting = Some(18.0);
            plan.rules.levels.leaf = Some(4.0);
            let surface = Some(Surface { kind: SurfaceKind::Carpet, height: 17.5 });
            let last = plan.rooms.len() - 1;
            (plan.rooms[last].slab_level, plan.rooms[last].surface) = (-12.5, surface);
            plan.rooms[0].walls[0].skirting = Some(Skirting::Thick(11.0));
            plan.rooms[0].walls[1].skirting = Some(Skirting::Without);
            for door in &mut plan.doorways {
                (door.arris, door.outside) = (Some(Arris::Chamfered(2.0)), surface);
                (door.under_lining, door.stop) = (Some(22.5), Some(0.25 * door.wall_thickness));
                door.leaf.iter_mut().for_each(|leaf| (leaf.above_slab, leaf.slides) = (Some(22.0), random));
            }
        }
        plan.rooms[0].sight = Sight::Closed;
        if plan.rooms[0].is_boarded() {
            let lines = [StartLine::Best, StartLine::Safest, StartLine::At(12.5)];
            let line = lines[effort as usize % 3];
            plan.own_lines = vec![OwnLine { room: plan.rooms[0].name.clone(), line }];
        }
        let named: Vec<String> =
            plan.rooms.iter().filter(|room| room.is_boarded()).map(|room| room.name.clone()).collect();
        if record > 2 {
            plan.stages = vec![
                Stage { name: format!("s{words}"), rooms: named.clone(), day: 1, hours: Some(figure) },
                Stage { name: "(later".into(), rooms: Vec::new(), day: 2, hours: None },
            ];
            plan.waits = Waits { leveller: Some(figure), load: Some(0.0), ..Waits::default() };
        }
        if let (Some(slab), Some(room)) = (&mut plan.slab, named.first()) {
            let (room, straightedge) = (room.clone(), 2000.0);
            slab.dryness = vec![DrynessReading { room: room.clone(), method: DrynessMethod::Carbide, reading: 1.9 }];
            slab.flatness = vec![FlatnessReading { room, straightedge, gap: figure / 10.0 }; 2];
        }
        if imperial {
            let room = plan.rooms[0].name.clone();
            let corner = crate::DimensionEnd::Corner { room: room.clone(), corner: 2 };
            let ends = [
                crate::DimensionEnd::Point(Point::new(figure, -0.1)),
                crate::DimensionEnd::Wall { room: room.clone(), wall: 0, at: figure },
            ];
            let beside = if random { figure / 3.0 } else { 0.0 };
            plan.dimensions.extend(ends.map(|to| Dimension { beside, ..Dimension::new(corner.clone(), to) }));
            let jamb = |jamb| crate::DimensionEnd::Jamb { doorway: plan.doorways[0].name.clone(), jamb };
            if !plan.doorways.is_empty() {
                plan.dimensions.push(Dimension::new(jamb(0), jamb(1)));
                plan.pinned.push(Pinned::Doorway(plan.doorways[0].name.clone()));
            }
            plan.pinned.push(Pinned::Room(room));
        }
        for kind in kinds {
            let kind = match kind {
                0 => FixtureKind::Island,
                1 => FixtureKind::Kick { clearance: 18.5, tuck: 25.0 },
                2 => FixtureKind::Column,
                3 => FixtureKind::Hearth,
                4 => FixtureKind::TileArea { trim: 12.0 },
                5 => FixtureKind::Rebate { depth: 11.0 },
                6 => FixtureKind::LowSpot { depth: 0.1 + 0.2 },
                7 => FixtureKind::Vent,
                _ => FixtureKind::Stair { nosing: 60.0 },
            };
            let outline = [(100.0, 100.0), (600.0, 100.0), (1.0 / 3.0, 600.0)].map(Point::from);
            let index = crate::edit::add_fixture(&mut plan, kind, &outline).unwrap();
            if levels {
                plan.fixtures[index].cover = Some(15.0);
                plan.fixtures[index].appliance = Some(Appliance { height: 818.0, opening: 835.0 });
            }
        }
        plan
    }
}

proptest! {
    #[test]
    fn a_plan_comes_back_as_it_was_written(plan in any_plan()) {
        let text = write(&plan);
        prop_assert_eq!(check::faults(&plan), vec![]);
        let again = read(&text).unwrap();
        prop_assert_eq!(&again, &plan);
        prop_assert_eq!(write(&again), text);
    }
}
