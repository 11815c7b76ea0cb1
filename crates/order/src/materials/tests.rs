//! Materials of a room worked out by hand: 5000 × 4000, tile against its lower wall, a doorway in its right one.
#![allow(clippy::unwrap_used)]

use super::*;
use plan::{
    Adhesive, AdhesiveRate, Architrave, Beyond, Coating, Doorway, Fixture, FixtureKind, Leaf, Leveller,
    Lining, Materials, Moulding, Plan, Point, Room, Sealant, Sheet, Side,
};

fn corners(x: f64, y: f64, w: f64, h: f64) -> Vec<Point> {
    [(x, y), (x + w, y), (x + w, y + h), (x, y + h)].map(Point::from).to_vec()
}

fn room() -> Plan {
    let mut plan = Plan::new("t");
    // No play, so that the areas are those worked out by hand.
    plan.rules.wall_gap.greatest = plan.rules.wall_gap.least;
    plan.rooms.push(Room::boarded("Hall", corners(0.0, 0.0, 5000.0, 4000.0)));
    plan.doorways.push(Doorway {
        leaf: Some(Leaf::swinging(Side::Near, 40.0)),
        beyond: Beyond::UnderLeaf,
        ..Doorway::plain("Door", "Hall", 1, 1000.0, 800.0)
    });
    let fixture = |name: &str, kind, outline| Fixture::plain(name, kind, outline);
    let tile = FixtureKind::TileArea { trim: 12.0 };
    plan.fixtures.push(fixture("Tile", tile, corners(2000.0, 0.0, 1000.0, 600.0)));
    let low = FixtureKind::LowSpot { depth: 4.0 };
    plan.fixtures.push(fixture("Dip", low, corners(500.0, 2000.0, 1000.0, 600.0)));
    plan
}

fn moulding(lengths: &[f64], add: f64) -> Moulding {
    Moulding { name: String::new(), lengths: lengths.to_vec(), kerf: 3.0, add, price: Some(4.0) }
}

fn list(plan: &Plan) -> MaterialList {
    assert_eq!(plan.problems(), []);
    let surveyed = site::survey(plan);
    let setout = setout::set_out(plan, &surveyed);
    let site = site::eased(&surveyed, &setout.eases);
    let floor = lay::lay(plan, &site, &setout);
    materials(plan, &surveyed, &site, &floor)
}

#[track_caller]
fn line(of: Materials) -> MaterialLine {
    let mut plan = room();
    plan.materials = Some(of);
    let mut list = list(&plan);
    assert_eq!(list.lines.len(), 1);
    list.lines.remove(0)
}

#[track_caller]
fn near(value: f64, expected: f64) {
    assert!((value - expected).abs() < 1e-6 * expected.abs().max(1.0), "{value} for {expected}");
}

/// Floor inside the gaps, by hand, m²: 10 mm off the walls; tile with 5 mm at its sides, which the boards' ends meet,
/// and 10 mm above, from the floor's lower edge; and the doorway's throat, 10 mm off both jambs, from the floor's right
/// edge to the middle of the leaf, 20 mm in.
const LAID: f64 = (4980.0 * 3980.0 - 1010.0 * 600.0 + 780.0 * 30.0) / 1e6;
/// Slab, by hand, m²: room less tile, and the throat up to the middle of the leaf.
const SLAB: f64 = (5000.0 * 4000.0 - 1000.0 * 600.0 + 800.0 * 20.0) / 1e6;

#[test]
fn adhesive_follows_the_bead() {
    // 7 mm at 64 mm: 0.601 L/m² (π × 49 ÷ 256), so about one 600 ml pack a square metre (common practice).
    let rate = AdhesiveRate::Bead { diameter: 7.0, spacing: 64.0 };
    let adhesive = Adhesive {
        name: "in foil".into(),
        rate,
        by_weight: false,
        density: None,
        pack: 0.6,
        price: Some(9.0),
    };
    let line = line(Materials { adhesive: Some(adhesive), allowance: Some(10.0), ..Materials::default() });
    near(line.greatest, 0.601_320_5 * LAID);
    assert_eq!((line.least, line.unit, line.name.as_str()), (line.greatest, "L", "in foil"));
    // 19.2378 m² × 0.60132 = 11.568 L: 19.28 packs; with a tenth more 21.2.
    assert_eq!((line.packs, line.allowance_packs), (20, 2));
    assert_eq!(line.price, Some(180.0));
    near(line.allowance, line.greatest / 10.0);
    assert!(line.sums[0].contains("π × 7² ÷ (4 × 64) = 0.601 L/m²"), "{:?}", line.sums);
    assert!(line.sums[1].contains("19.24 m²") && line.sums[1].contains("11.57 L"), "{:?}", line.sums);
    // 11.568 ÷ 0.6 = 19.28; a tenth of 11.568 is 1.157, and 12.725 ÷ 0.6 = 21.2.
    assert_eq!(line.sums.last().unwrap(), "11.57 L ÷ 0.6 L a pack = 19.28, so 20 packs");
    assert_eq!(line.allowance_words().unwrap(), "allowance, not counted above: 1.16 L, 2 packs more");
    let name = line.name.clone();
    let csv = crate::materials_csv(&MaterialList { lines: vec![line], ..MaterialList::default() }).unwrap();
    let mut rows = csv.lines();
    assert!(rows.next().unwrap().starts_with("material,name,least,greatest,unit,bought,bought_in"), "{csv}");
    let row = format!("adhesive,{name},11.568,11.568,L,20,pack,1.157,2,180.00,");
    assert!(rows.next().unwrap().starts_with(&row), "{csv}");
}

/// No stair, no nosing: nothing has no sign, in either system.
#[test]
fn what_is_nowhere_is_not_less_than_nothing() {
    for units in [plan::Units::Metric, plan::Units::FeetInches] {
        let mut plan = room();
        plan.units = units;
        plan.materials = Some(Materials { nosing: Some(moulding(&[900.0], 0.0)), ..Materials::default() });
        let line = list(&plan).lines.remove(0);
        let said = [line.quantity_words(), line.sums.concat()].concat();
        assert!(line.least.is_sign_positive() && !said.contains('-') && !said.contains('−'), "{said}");
        assert!(said.contains("0.00 m") && said.contains("in 0 pieces"), "{said}");
    }
}

#[test]
fn a_trowels_rate_is_a_range_and_packs_hold_the_greatest() {
    let rate = AdhesiveRate::Rate { least: 0.8, greatest: 1.2 };
    let adhesive =
        Adhesive { name: String::new(), rate, by_weight: false, density: None, pack: 15.0, price: None };
    let line = line(Materials { adhesive: Some(adhesive), ..Materials::default() });
    near(line.least, 0.8 * LAID);
    near(line.greatest, 1.2 * LAID);
    // 1.2 × 19.2378 = 23.09 L.
    assert_eq!((line.packs, line.allowance_packs, line.price), (2, 0, None));
}

#[test]
fn what_is_sold_by_weight_is_reckoned_by_weight() {
    let rate = AdhesiveRate::Rate { least: 1.0, greatest: 1.4 };
    let adhesive =
        Adhesive { name: String::new(), rate, by_weight: true, density: None, pack: 14.0, price: Some(80.0) };
    let of =
        |adhesive: &Adhesive| line(Materials { adhesive: Some(adhesive.clone()), ..Materials::default() });
    // A pail of 14 kg at 1.0 to 1.4 kg/m² on 19.2378 m²: 19.24 to 26.93 kg; 26.93 ÷ 14 = 1.92.
    let pails = of(&adhesive);
    near(pails.least, LAID);
    near(pails.greatest, 1.4 * LAID);
    assert_eq!((pails.unit, pails.packs, pails.price), ("kg", 2, Some(160.0)));
    assert_eq!(pails.quantity_words(), "19.24 to 26.93 kg");
    assert_eq!(pails.sums[0], "19.24 m² laid × 1.000 to 1.400 kg/m² = 19.24 to 26.93 kg");
    assert_eq!(pails.sums[1], "26.93 kg ÷ 14 kg a pack = 1.92, so 2 packs");
    // A bead of 7 every 64 is 0.601 L/m²; a litre of 1.6 kg makes it 0.962 kg/m².
    let bead = AdhesiveRate::Bead { diameter: 7.0, spacing: 64.0 };
    let beads = of(&Adhesive { rate: bead, density: Some(1.6), ..adhesive.clone() });
    near(beads.greatest, 0.601_320_5 * 1.6 * LAID);
    assert_eq!(beads.sums[1], "0.601 L/m² × 1.6 kg/L = 0.962 kg/m²");
    assert!(beads.source.contains("as typed"), "{}", beads.source);
    // What a litre weighs is left out: 1.5 kg, said to be from memory.
    let beads = of(&Adhesive { rate: bead, ..adhesive });
    near(beads.greatest, 0.601_320_5 * 1.5 * LAID);
    assert!(beads.source.contains("from memory"), "{}", beads.source);
    // Two coats of 0.4 and 0.3 kg/m² on 19.416 m² of slab: 13.59 kg.
    let barrier =
        Coating { name: String::new(), coats: vec![0.4, 0.3], by_weight: true, pack: 7.0, price: None };
    let coats = line(Materials { barrier: Some(barrier), ..Materials::default() });
    near(coats.greatest, 0.7 * SLAB);
    assert_eq!((coats.unit, coats.packs), ("kg", 2));
    assert_eq!(coats.sums[1], "19.42 m² of slab × 0.700 kg/m² = 13.59 kg");
}

#[test]
fn a_trim_of_no_width_is_not_bought() {
    let with = |width| {
        let mut plan = room();
        plan.fixtures.clear();
        (plan.doorways[0].leaf, plan.doorways[0].beyond) = (None, Beyond::Trim(width));
        plan.materials = Some(Materials { trim: Some(moulding(&[2500.0], 0.0)), ..Materials::default() });
        list(&plan).lines.remove(0)
    };
    // Of the doorway 800 wide; of none, none.
    assert_eq!((with(30.0).greatest, with(30.0).packs), (0.8, 1));
    assert_eq!((with(0.0).greatest, with(0.0).packs), (0.0, 0));
}

#[test]
fn coats_that_are_on_are_not_bought_again() {
    let with = |on| {
        let mut plan = room();
        let barrier = Coating {
            name: String::new(),
            coats: vec![0.35, 0.25],
            by_weight: false,
            pack: 6.0,
            price: Some(70.0),
        };
        plan.materials = Some(Materials { barrier: Some(barrier), ..Materials::default() });
        plan.slab = Some(plan::Slab { barrier_coats: on, ..plan::Slab::default() });
        list(&plan).lines.remove(0)
    };
    // 0.25 × 19.416 = 4.854 L: a pack of 6, where both coats take two.
    let second = with(Some(1));
    near(second.greatest, 0.25 * SLAB);
    assert_eq!((second.packs, second.price), (1, Some(70.0)));
    assert_eq!(second.sums[0], "2 coats asked for − 1 on = 1 to come");
    assert!(second.sums[1].starts_with("1 coat: 0.25 = 0.250 L/m²"), "{:?}", second.sums);
    near(with(None).greatest, 0.6 * SLAB);
    // Both on, or one more than was asked for: nothing is to come.
    for on in [2, 3] {
        let none = with(Some(on));
        assert_eq!((none.greatest, none.packs, none.price), (0.0, 0, Some(0.0)));
        assert_eq!(none.quantity_words(), "0.000 L");
    }
}

#[test]
fn coatings_cover_the_slab_coat_by_coat() {
    let barrier = Coating {
        name: String::new(),
        coats: vec![0.35, 0.25],
        by_weight: false,
        pack: 6.0,
        price: Some(70.0),
    };
    let line = line(Materials { barrier: Some(barrier), ..Materials::default() });
    near(line.greatest, 0.6 * SLAB);
    // 0.6 × 19.416 = 11.65 L.
    assert_eq!((line.packs, line.price), (2, Some(140.0)));
}

#[test]
fn leveller_is_area_by_depth() {
    // 1 m × 0.6 m × 4 mm = 2.4 L; at 1.6 kg/L 3.84 kg.
    let leveller = Leveller { name: String::new(), powder: None, pack: 25.0, price: None };
    let line = line(Materials { leveller: Some(leveller), ..Materials::default() });
    near(line.greatest, 3.84);
    assert_eq!((line.unit, line.packs), ("kg", 1));
    assert!(line.source.contains("from memory") && line.sums[0].contains("2.40 L"), "{line:?}");
}

#[test]
fn sealant_fills_the_gaps_that_nothing_covers() {
    // Tile: two sides of 600 with 5 mm, which ends meet, one of 1000 with 10 mm; 15 mm deep: 0.09 + 0.15 L.
    let sealant = Sealant { name: String::new(), depth: None, pack: 0.6, price: None };
    let line = line(Materials { sealant: Some(sealant), ..Materials::default() });
    near(line.greatest, 0.24);
    assert_eq!(line.packs, 1);
    assert!(line.sums.iter().any(|sum| sum.contains(": 1.20 m × 5 mm × 15 mm")), "{:?}", line.sums);
}

#[test]
fn movement_joints_are_counted_in_once() {
    let mut plan = room();
    let joint = |a: (f64, f64), b: (f64, f64)| plan::MovementJoint::new(a.into(), b.into());
    // One from wall to wall, one that ends in the floor at one end.
    plan.joints = vec![joint((0.0, 2000.0), (5000.0, 2000.0)), joint((1000.0, 2500.0), (1000.0, 4000.0))];
    let sealant = Sealant { name: String::new(), depth: None, pack: 0.6, price: None };
    plan.materials = Some(Materials { sealant: Some(sealant), ..Materials::default() });
    let surveyed = site::survey(&plan);
    let floor = lay::lay(&plan, &surveyed, &setout::set_out(&plan, &surveyed));
    let laid = fit::joints(&plan, &surveyed, &floor);
    let joints: f64 = crate::filler::filler(&plan, &laid).iter().map(|line| line.litres).sum();
    // 10 × 15 × (4.98 + 1.49) m by hand; the tile's gaps are 0.24 L.
    near(joints, 0.9705);
    near(list(&plan).lines[0].greatest, 0.9705 + 0.24);
}

#[test]
fn skirting_runs_along_walls_less_doorway_and_tile() {
    let skirting = Some(moulding(&[2400.0], 0.0));
    let line = line(Materials { skirting, ..Materials::default() });
    // Lower wall 2000 either side of the tile, right wall 1000 and 2200 beside the doorway, upper 5000, left 4000.
    near(line.greatest, 16.2);
    let mut lengths: Vec<f64> = line.pieces.iter().map(|piece| piece.length).collect();
    lengths.sort_by(f64::total_cmp);
    // 5000 is two whole lengths with a rest of 200, too short: one whole and two of 1300. 4000 leaves 1600.
    assert_eq!(lengths, [1000.0, 1300.0, 1300.0, 1600.0, 2000.0, 2000.0, 2200.0, 2400.0, 2400.0]);
    let cutting = line.cutting.as_ref().unwrap();
    // By hand: 2400, 2400, 2200, 2000, 2000 and 1600 share a length with nothing; 1300 + 1000 fit one, 1300 is over.
    assert_eq!((cutting.lengths.len(), cutting.is_proven), (8, true));
    near(line.price.unwrap(), 4.0 * 8.0 * 2.4);
    // Pieces of 16.2 m from 19.2 m: 1 − 16.2 ÷ 19.2 = 15.6 %.
    assert!(line.sums.last().unwrap().contains("15.6 % left over: the least there is"), "{:?}", line.sums);
    assert_eq!(line.allowance_words(), None);
    let skirting = Some(moulding(&[2400.0], 0.0));
    let more = self::line(Materials { skirting, allowance: Some(10.0), ..Materials::default() });
    // A tenth of 16.2 m over what is bought already: 1.62 ÷ 2.4, so one length more.
    assert_eq!((more.packs, more.allowance_packs), (8, 1));
}

/// The upper wall, 5000 long, has no skirting along 1200 of it: 16.2 m less 1.2 to buy, and a gap of 10 as deep as the
/// boards (15) along 1.2 m to fill, beside those of the tile: 0.18 L.
#[test]
fn a_skirting_break_buys_no_skirting_and_is_filled() {
    let materials = || Materials {
        skirting: Some(moulding(&[2400.0], 0.0)),
        sealant: Some(Sealant { name: String::new(), depth: None, pack: 0.6, price: None }),
        ..Materials::default()
    };
    let figure = |plan: &Plan, material: Material| {
        list(plan).lines.iter().find(|line| line.material == material).unwrap().greatest
    };
    let mut plan = room();
    plan.materials = Some(materials());
    let (whole, filled) = (figure(&plan, Material::Skirting), figure(&plan, Material::Sealant));
    near(whole, 16.2);
    let gap = plan.rules.wall_gap.least;
    assert_eq!((gap, plan.stock.thickness), (10.0, 15.0));
    plan::edit::break_skirting(&mut plan, 0, 2, 1000.0, 1200.0).unwrap();
    near(figure(&plan, Material::Skirting), 16.2 - 1.2);
    near(figure(&plan, Material::Sealant), filled + 1.2 * 0.010 * 0.015 * 1000.0);
}

#[test]
fn skirting_stops_at_the_architrave() {
    let mut plan = room();
    let architrave = Architrave { width: 70.0, height: 2040.0, moulding: moulding(&[2400.0], 0.0) };
    plan.materials = Some(Materials {
        skirting: Some(moulding(&[5400.0], 0.0)),
        architrave: Some(architrave),
        ..Materials::default()
    });
    let list = list(&plan);
    near(list.lines[0].greatest, 16.2 - 0.14);
    // Nothing is drawn beyond, so one face: legs to 2040 + 70, a head of 800 + 140.
    let lengths: Vec<f64> = list.lines[1].pieces.iter().map(|piece| piece.length).collect();
    assert_eq!(lengths, [2110.0, 2110.0, 940.0]);
    assert_eq!(list.lines[1].packs, 3);
    plan.doorways[0].lining = Lining::Fitted;
    assert_eq!(self::list(&plan).lines[1].packs, 0, "its architrave stands");
}

#[test]
fn trims_edge_the_tile_with_what_mitres_take() {
    let line = line(Materials { trim: Some(moulding(&[2500.0], 20.0)), ..Materials::default() });
    near(line.greatest, 2.2);
    let lengths: Vec<f64> = line.pieces.iter().map(|piece| piece.length).collect();
    assert_eq!(lengths.iter().sum::<f64>(), 2260.0);
    assert_eq!(line.packs, 1);
    let added =
        |line: &MaterialLine| line.sums.iter().any(|sum| sum.contains("added to each for its mitres"));
    assert!(added(&line), "{:?}", line.sums);
    let straight = self::line(Materials { trim: Some(moulding(&[2500.0], 0.0)), ..Materials::default() });
    assert!(!added(&straight), "{:?}", straight.sums);
}

#[test]
fn sheets_lap_and_keep_off_the_walls() {
    let roll = |lap| Sheet {
        name: String::new(),
        width: 1000.0,
        length: 10_000.0,
        lap,
        off_walls: None,
        price: Some(30.0),
    };
    let underlay = line(Materials { underlay: Some(roll(100.0)), ..Materials::default() });
    near(underlay.greatest, SLAB * 1000.0 / 900.0);
    assert_eq!((underlay.packs, underlay.price), (3, Some(90.0)));
    let mut plan = room();
    plan.materials = Some(Materials {
        protection: Some(roll(0.0)),
        skirting: Some(moulding(&[2400.0], 0.0)),
        ..Materials::default()
    });
    let list = list(&plan);
    // 50 mm off 16.2 m of wall where skirting is to come: common practice, no source.
    let protection = list.lines.iter().find(|line| line.material == Material::Protection).unwrap();
    near(protection.greatest, LAID - 16.2 * 0.05);
    near(list.price, 60.0 + 4.0 * 8.0 * 2.4);
    assert_eq!(list.unpriced, []);
}

#[test]
fn a_plan_without_products_buys_none_and_what_has_no_price_is_named() {
    assert_eq!(list(&room()), MaterialList::default());
    let mut plan = room();
    let sealant = Sealant { name: String::new(), depth: None, pack: 0.6, price: None };
    plan.materials = Some(Materials { sealant: Some(sealant), ..Materials::default() });
    assert_eq!(list(&plan).unpriced, [Material::Sealant]);
}

#[test]
fn hired_tools_count_days_and_price_once_for_the_house() {
    let mut plan = room();
    plan.materials = Some(Materials {
        hired: vec![
            plan::Hired { name: "grinder with extractor".into(), count: 2, days: 3, price: Some(45.5) },
            plan::Hired { name: "moisture meter".into(), count: 1, days: 1, price: None },
        ],
        ..Materials::default()
    });
    let list = list(&plan);
    let grinder = &list.lines[0];
    // 2 × 3 = 6 days; 6 × 45.50 = 273.00: by hand.
    assert_eq!((grinder.packs, grinder.greatest, grinder.price), (6, 6.0, Some(273.0)));
    assert_eq!(grinder.sums, ["2 × 3 days = 6 days", "6 × 45.50 = 273.00"]);
    assert_eq!(grinder.bought_words(), "6 days");
    assert_eq!((list.lines[1].price, list.lines[1].sums.as_slice()), (None, ["1 day".to_owned()].as_slice()));
    assert_eq!(list.unpriced, [Material::Hired]);
    near(list.price, 273.0);
    // The text ends with the price of all, and names what has none.
    let text = crate::materials_text(&plan, &list);
    let last = format!("  273.00 {} for materials, without {}", plan.stock.currency, Material::Hired.word());
    assert_eq!(text.lines().last(), Some(last.as_str()));
    let free = MaterialList { price: 0.0, ..list };
    assert!(!crate::materials_text(&plan, &free).contains("for materials"));
}

/// The same room elsewhere on the plan takes the same, piece by piece.
#[test]
fn a_room_moved_takes_as_much() {
    let mut plan = room();
    plan.materials = Some(Materials {
        sealant: Some(Sealant { name: String::new(), depth: None, pack: 0.6, price: None }),
        trim: Some(moulding(&[2500.0], 20.0)),
        skirting: Some(moulding(&[2400.0], 0.0)),
        leveller: Some(Leveller { name: String::new(), powder: None, pack: 25.0, price: None }),
        ..Materials::default()
    });
    let before = list(&plan);
    for wall in plan.rooms.iter_mut().flat_map(|room| &mut room.walls) {
        wall.corner = wall.corner.moved(1300.0, 700.0);
    }
    for corner in plan.fixtures.iter_mut().flat_map(|fixture| &mut fixture.outline) {
        *corner = corner.moved(1300.0, 700.0);
    }
    let after = list(&plan);
    assert_eq!(before.lines.len(), 4);
    for (before, after) in before.lines.iter().zip(&after.lines) {
        near(after.greatest, before.greatest);
        let lengths = |line: &MaterialLine| line.pieces.iter().map(|piece| piece.length).collect::<Vec<_>>();
        assert_eq!(lengths(after), lengths(before));
    }
}
