//! What goes on beside the boards, on the desk without a window: the slab's record, materials, stages.

use crate::hands::Hands;
use egui_kittest::kittest::Queryable;
use plan::{DrynessMethod, Mark, Plan, Point, SlabPoint};
use startrow_desk::{Command, Setup};

/// A desk so tall that every step shows in full.
fn tall(plan: Plan) -> Hands {
    let mut hands = Hands::at_size(Setup { plan: Some(plan), ..Setup::default() }, [1500.0, 9000.0]);
    hands.run(Command::OpenAllSteps);
    hands
}

fn two_rooms() -> Plan {
    let mut plan = Plan::new("Two");
    for (name, x) in [("Hall", 0.0), ("Study", 4092.0)] {
        let corners = [(x, 0.0), (x + 4000.0, 0.0), (x + 4000.0, 3000.0), (x, 3000.0)].map(Point::from);
        let room = plan::edit::add_room(&mut plan, &corners).expect("a room");
        plan.rooms[room].name = name.into();
    }
    plan
}

#[test]
fn a_reading_over_its_limit_is_typed_flagged_and_undone() {
    let mut hands = tall(two_rooms());
    assert!(hands.shows("Slab: nothing recorded"));
    assert!(hands.shows("Dryness: open"));
    hands.press("add a dryness reading");
    let slab = hands.plan().slab.clone().expect("a record");
    assert_eq!((slab.dryness[0].room.as_str(), slab.dryness[0].method), ("Hall", DrynessMethod::Humidity));
    hands.type_into("dryness reading", "82");
    assert_eq!(hands.plan().slab.as_ref().map(|slab| slab.dryness[0].reading), Some(82.0));
    assert!(hands.shows("Dryness: over limit"));
    let flags = |hands: &Hands| {
        let house = hands.desk().house().expect("a house");
        house.flags.iter().filter(|flag| flag.kind == findings::FlagKind::DampSlab).count()
    };
    assert_eq!(flags(&hands), 1);
    hands.run(Command::Undo);
    assert_eq!(flags(&hands), 0);
    hands.run(Command::Undo);
    assert_eq!(hands.plan().slab, None, "the record began with the reading");
}

#[test]
fn a_point_is_signed_with_date_and_initials() {
    let mut hands = tall(two_rooms());
    // Old adhesive is the first of the points that are only signed; age, dryness and flatness stand before it.
    let sign: Vec<_> = hands.harness.get_all_by_label("sign it").collect();
    sign[3].click();
    hands.harness.run();
    assert!(hands.shows("Old adhesive: done"));
    hands.type_into("date, Old adhesive", "3 May");
    hands.type_into("initials, Old adhesive", "jm");
    let signed = hands.plan().slab.as_ref().expect("a record").signed.clone();
    assert_eq!(signed.len(), 1);
    assert_eq!((signed[0].point, signed[0].mark), (SlabPoint::OldAdhesive, Mark::Done));
    assert_eq!((signed[0].date.as_str(), signed[0].by.as_str()), ("3 May", "jm"));
    hands.press("take back");
    assert!(hands.shows("Old adhesive: open"));
}

#[test]
fn adhesive_is_reckoned_as_soon_as_it_is_asked_for() {
    let mut hands = tall(two_rooms());
    hands.press("reckon it: adhesive");
    let laid = hands.desk().house().expect("a house").order.laid_area;
    // Beads of 7 mm every 64 mm: π × 49 ÷ 256 L/m²; packs of 0.6 L.
    let litres = std::f64::consts::PI * 49.0 / 256.0 * laid;
    assert!(hands.shows(&format!("{} packs · {litres:.2} L", (litres / 0.6).ceil())));
    hands.type_into("adhesive in a pack, L", "15");
    assert!(hands.shows(&format!("{} pack · {litres:.2} L", (litres / 15.0).ceil())));
    hands.press("take out: adhesive");
    assert_eq!(hands.plan().materials, None);
}

#[test]
fn tools_are_hired_by_the_day_and_priced() {
    let mut hands = tall(two_rooms());
    hands.press("hire one");
    hands.type_into("what hired tool 1 is", "grinder with extractor");
    hands.type_into("how many of hired tool 1", "2");
    hands.type_into("days of hired tool 1", "3");
    hands.type_into("price, hired tool 1", "45.5");
    hands.press("hire one");
    let hired = hands.plan().materials.as_ref().expect("materials").hired.clone();
    let grinder = &hired[0];
    assert_eq!((grinder.name.as_str(), grinder.count, grinder.days), ("grinder with extractor", 2, 3));
    assert_eq!((grinder.price, hired.len()), (Some(45.5), 2));
    // 2 × 3 = 6 days, 6 × 45.50 = 273.00: by hand.
    assert!(hands.shows("2 × 3 days = 6 days") && hands.shows("6 × 45.50 = 273.00"));
    assert!(hands.shows("without a price: hired tool"));
    hands.press("take out: hired tool 1");
    assert_eq!(hands.plan().materials.as_ref().expect("materials").hired[0].name, "tool");
    hands.run(Command::Undo);
    assert_eq!(hands.plan().materials.as_ref().expect("materials").hired.len(), 2);
    hands.press("take out: hired tool 2");
    hands.press("take out: hired tool 1");
    assert_eq!(hands.plan().materials, None);
}

#[test]
fn stages_are_added_named_and_dated() {
    let mut hands = tall(two_rooms());
    assert!(hands.shows("Stages: laid in one"));
    hands.press("add a stage");
    hands.press("add a stage");
    let stages: Vec<_> =
        hands.plan().stages.iter().map(|s| (s.name.clone(), s.rooms.clone(), s.day)).collect();
    let stage = |name: &str, room: &str, day| (name.to_owned(), vec![room.to_owned()], day);
    assert_eq!(stages, [stage("Stage 1", "Hall", 1), stage("Stage 2", "Study", 2)]);
    assert!(hands.shows("Stages: 2 stages") && !hands.shows("add a stage"), "no room is left");
    assert!(hands.shows("Day plan"));
    hands.type_into("hours: Last board, until it is walked on", "24");
    assert_eq!(hands.plan().waits.walk, Some(24.0));
    assert!(hands.plan().problems().is_empty());
    hands.press("take Hall out of the stage");
    assert!(hands.plan().stages[0].rooms.is_empty());
    assert!(hands.shows("In no stage: Hall"));
}
