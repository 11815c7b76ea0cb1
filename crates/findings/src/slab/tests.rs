//! The slab's list against published limits, and its states worked out by hand.
#![allow(clippy::unwrap_used)]

use super::*;
use crate::{Flag, FlagKind, Severity};
use plan::{
    Adhesive, AdhesiveRate, Coating, DrynessMethod, DrynessReading, Fixture, FixtureKind, FlatnessLimit,
    FlatnessReading, Mark, Materials, OwnLimit, Plan, Point, Room, Signed, Slab, SlabKind, SlabPoint,
};

const AREA: f64 = 80.0e6;

fn house(slab: Slab) -> Plan {
    let mut plan = Plan::new("t");
    let corners = [(0.0, 0.0), (4000.0, 0.0), (4000.0, 3000.0), (0.0, 3000.0)].map(Point::from);
    plan.rooms.push(Room::boarded("Hall", corners));
    plan.slab = Some(slab);
    plan
}

fn item(plan: &Plan, point: SlabPoint) -> SlabItem {
    slab_list(plan, AREA).into_iter().find(|item| item.point == point).unwrap()
}

fn probe(reading: f64) -> DrynessReading {
    DrynessReading { room: "Hall".into(), method: DrynessMethod::Humidity, reading }
}

fn flags(plan: &Plan) -> Vec<Flag> {
    let site = site::survey(plan);
    let floor = lay::lay(plan, &site, &setout::set_out(plan, &site));
    let fit = fit::fit(plan, &site, &floor);
    crate::inspect(plan, &site, &floor, &fit)
}

fn signed(point: SlabPoint, mark: Mark) -> Signed {
    Signed { point, mark, date: "3 May".into(), by: "jm".into() }
}

#[test]
fn a_screed_dries_a_day_a_millimetre_and_slower_above_40() {
    // BS 5385-3:2014, as quoted: 1 mm a day up to 40 mm. Suppliers' tables: 75 mm in 110 days.
    assert_eq!(days_to_dry(30.0), 30.0);
    assert_eq!(days_to_dry(40.0), 40.0);
    assert_eq!(days_to_dry(75.0), 110.0);
    // So 75 mm that are 100 days old want 10 more; the list says what was found, what it is held to, what is missing.
    let age = |age: Option<f64>| {
        item(&house(Slab { thickness: Some(75.0), age, ..Slab::default() }), SlabPoint::Age)
    };
    let young = age(Some(100.0));
    assert_eq!(young.found, "100 days");
    assert!(young.limit.starts_with("about 110 days for 75"), "{}", young.limit);
    assert!(young.missing.starts_with("about 10 more days"), "{}", young.missing);
    assert_eq!(age(Some(110.0)).missing, "");
    let unknown = age(None);
    assert_eq!(
        (unknown.found.as_str(), unknown.missing.as_str()),
        ("", "type how many days it has been drying")
    );
}

#[test]
fn dryness_limits_are_the_published_ones_until_typed_over() {
    // 75 % RH: ASTM F710, BS 8201. CM-%: cement 2.0, heated 1.8; calcium sulphate 0.5, heated 0.3.
    let limit = |slab: &Slab, method| dryness_limit(slab, method).0;
    let of = |kind, heated| Slab { kind, heated, ..Slab::default() };
    assert_eq!(limit(&Slab::default(), DrynessMethod::Humidity), 75.0);
    for (kind, heated, published) in [
        (SlabKind::Cement, false, 2.0),
        (SlabKind::Cement, true, 1.8),
        (SlabKind::CalciumSulphate, false, 0.5),
        (SlabKind::CalciumSulphate, true, 0.3),
    ] {
        assert_eq!(limit(&of(kind, heated), DrynessMethod::Carbide), published);
    }
    let own = Slab { humidity_limit: Some(OwnLimit { at: 90.0, from: "barrier".into() }), ..Slab::default() };
    assert_eq!(dryness_limit(&own, DrynessMethod::Humidity), (90.0, "barrier".into()));
    assert_eq!(limit(&own, DrynessMethod::Carbide), 2.0);
}

#[test]
fn three_probes_for_the_first_100_square_metres_and_one_for_each_further() {
    // ASTM F2170.
    let needed = |m2: f64| readings_needed(m2 * 1e6);
    assert_eq!([20.0, 100.0, 100.1, 200.0, 350.0].map(needed), [3, 3, 4, 4, 6]);
}

#[test]
fn dryness_is_open_within_or_over() {
    let with = |readings: &[f64]| {
        house(Slab { dryness: readings.iter().map(|r| probe(*r)).collect(), ..Slab::default() })
    };
    let none = item(&with(&[]), SlabPoint::Dryness);
    assert_eq!(none.state, PointState::Open);
    assert!(none.missing.contains("3 probes"), "{none:?}");
    let few = item(&with(&[72.0, 70.0]), SlabPoint::Dryness);
    assert_eq!(few.state, PointState::Open);
    assert!(few.missing.starts_with("1 probe more"), "{few:?}");
    let dry = item(&with(&[72.0, 70.0, 75.0]), SlabPoint::Dryness);
    assert_eq!((dry.state, dry.state_word()), (PointState::Within, "within limit"));
    assert!(dry.found.contains("highest 75 % RH in Hall"), "{dry:?}");
    let wet = item(&with(&[72.0, 70.0, 75.1]), SlabPoint::Dryness);
    assert_eq!(wet.state, PointState::Over);
    // A signature does not dry a slab.
    let mut wet = with(&[82.0]);
    wet.slab.as_mut().unwrap().signed = vec![signed(SlabPoint::Dryness, Mark::NotApplicable)];
    assert_eq!(item(&wet, SlabPoint::Dryness).state, PointState::Over);
}

#[test]
fn flatness_wants_a_limit_a_straightedge_it_names_and_every_room() {
    let reading = |straightedge, gap| FlatnessReading { room: "Hall".into(), straightedge, gap };
    let with = |flatness_limit, flatness| house(Slab { flatness_limit, flatness, ..Slab::default() });
    let sr1 = Some(FlatnessLimit::Sr1);
    let state = |plan: &Plan| item(plan, SlabPoint::Flatness).state;
    assert_eq!(state(&with(None, vec![reading(2000.0, 2.0)])), PointState::Open);
    // Read is read, whatever it is held to.
    let found = item(&with(None, vec![reading(2000.0, 2.0)]), SlabPoint::Flatness).found;
    assert!(found.starts_with("1 reading, widest gap 2 mm under "), "{found}");
    assert_eq!(state(&with(sr1, vec![])), PointState::Open);
    assert_eq!(state(&with(sr1, vec![reading(1200.0, 2.0)])), PointState::Open);
    assert_eq!(state(&with(sr1, vec![reading(2000.0, 3.0)])), PointState::Within);
    assert_eq!(state(&with(sr1, vec![reading(2000.0, 3.1)])), PointState::Over);
    let mut two = with(sr1, vec![reading(2000.0, 3.0)]);
    let corners = [(5000.0, 0.0), (8000.0, 0.0), (8000.0, 3000.0), (5000.0, 3000.0)].map(Point::from);
    two.rooms.push(Room::boarded("Study", corners));
    let item = item(&two, SlabPoint::Flatness);
    assert!(item.state == PointState::Open && item.missing.contains("Study"), "{item:?}");
}

#[test]
fn points_that_do_not_apply_say_why_and_others_what_is_missing() {
    let mut plan = house(Slab::default());
    for point in [SlabPoint::Heating, SlabPoint::Filled, SlabPoint::Barrier, SlabPoint::Compatible] {
        let item = item(&plan, point);
        assert!(item.state == PointState::NotApplicable && !item.missing.is_empty(), "{item:?}");
    }
    for item in slab_list(&plan, AREA).iter().filter(|item| item.state == PointState::Open) {
        assert!(!item.missing.is_empty(), "{item:?}");
    }
    let rate = AdhesiveRate::Bead { diameter: 7.0, spacing: 64.0 };
    let coating =
        Coating { name: String::new(), coats: vec![0.3, 0.25], by_weight: false, pack: 10.0, price: None };
    plan.materials = Some(Materials {
        adhesive: Some(Adhesive {
            name: String::new(),
            rate,
            by_weight: false,
            density: None,
            pack: 0.6,
            price: None,
        }),
        barrier: Some(coating),
        ..Materials::default()
    });
    plan.fixtures.push(Fixture::plain(
        "Dip",
        FixtureKind::LowSpot { depth: 4.0 },
        [(500.0, 500.0), (900.0, 500.0), (900.0, 900.0)].map(Point::from).into(),
    ));
    assert!(item(&plan, SlabPoint::Barrier).missing.contains("2 coats"));
    assert_eq!(item(&plan, SlabPoint::Compatible).state, PointState::Open);
    assert!(item(&plan, SlabPoint::Filled).found.contains("Dip"));
    let slab = plan.slab.as_mut().unwrap();
    slab.heated = true;
    slab.barrier_coats = Some(2);
    slab.compatible = "adhesive's sheet, p. 2".into();
    assert_eq!(item(&plan, SlabPoint::Heating).state, PointState::Open);
    // Both coats are on, but nobody has looked for pinholes.
    assert!(item(&plan, SlabPoint::Barrier).missing.contains("pinhole"));
    assert_eq!(item(&plan, SlabPoint::Compatible).state_word(), "done");
    plan.slab.as_mut().unwrap().signed = vec![signed(SlabPoint::Barrier, Mark::Done)];
    assert_eq!(item(&plan, SlabPoint::Barrier).state, PointState::Within);
}

#[test]
fn boards_acclimatise_three_days_with_bundles_opened() {
    // Wood Handbook, FPL-GTR-190: bundles opened, about three days: 72 h.
    let with = |hours, bundles_opened| {
        item(&house(Slab { acclimatised: hours, bundles_opened, ..Slab::default() }), SlabPoint::Acclimatised)
    };
    assert_eq!(with(Some(72.0), true).state, PointState::Within);
    assert_eq!(with(Some(72.0), false).state, PointState::Open);
    assert!(with(Some(48.0), true).missing.contains("24 h more"));
    assert_eq!(with(None, true).state, PointState::Open);
}

#[test]
fn only_a_record_that_was_begun_is_flagged() {
    let mut plan = house(Slab::default());
    plan.slab = None;
    let of_slab = |flags: &[Flag]| flags.iter().filter(|flag| flag.kind >= FlagKind::DampSlab).count();
    assert_eq!(of_slab(&flags(&plan)), 0);
    plan.slab = Some(Slab::default());
    let open = flags(&plan);
    assert_eq!(of_slab(&open), 1);
    let open = open.iter().find(|flag| flag.kind == FlagKind::SlabOpen).unwrap();
    // Age, dryness, flatness, old adhesive, sound and clean, acclimatised.
    assert_eq!((open.severity, open.figure), (Severity::Look, 6.0));
    assert!(open.mend.contains("flatness") && plan.rooms[0].contains(open.at), "{open:?}");
}

#[test]
fn readings_over_their_limit_are_faults_and_those_on_it_are_not() {
    let slab = |humid: f64, gap: f64| Slab {
        dryness: vec![probe(humid), probe(60.0), probe(60.0)],
        flatness: vec![FlatnessReading { room: "Hall".into(), straightedge: 2000.0, gap }],
        flatness_limit: Some(FlatnessLimit::Sr2),
        ..Slab::default()
    };
    let faults = |slab| -> Vec<(FlagKind, f64, f64)> {
        let flags = flags(&house(slab));
        let faults = flags.iter().filter(|flag| flag.kind >= FlagKind::DampSlab);
        faults
            .filter(|flag| flag.severity == Severity::Fault)
            .map(|flag| (flag.kind, flag.figure, flag.limit))
            .collect()
    };
    assert_eq!(faults(slab(75.0, 5.0)), []);
    assert_eq!(faults(slab(75.5, 5.5)), [(FlagKind::DampSlab, 75.5, 75.0), (FlagKind::UnevenSlab, 5.5, 5.0)]);
}

/// The middle of an L's corners lies outside it: the flag stands 200 inside its longest wall, at that wall's middle.
#[test]
fn in_an_l_a_flag_stands_inside_its_longest_wall() {
    let mut plan = house(Slab { dryness: vec![probe(90.0)], ..Slab::default() });
    let corners =
        [(0.0, 0.0), (7000.0, 0.0), (7000.0, 1000.0), (1000.0, 1000.0), (1000.0, 6000.0), (0.0, 6000.0)];
    plan.rooms[0] = Room::boarded("Hall", corners.map(Point::from));
    let damp = flags(&plan).into_iter().find(|flag| flag.kind == FlagKind::DampSlab).unwrap();
    assert!(damp.at.distance(Point::new(3500.0, 200.0)) < 1e-9, "{:?}", damp.at);
    // A rectangle's flag stands in its middle.
    let damp = flags(&house(Slab { dryness: vec![probe(90.0)], ..Slab::default() }));
    let damp = damp.into_iter().find(|flag| flag.kind == FlagKind::DampSlab).unwrap();
    assert!(damp.at.distance(Point::new(2000.0, 1500.0)) < 1e-9, "{:?}", damp.at);
}

#[test]
fn a_point_signed_as_not_applicable_is_none() {
    let slab = Slab { signed: vec![signed(SlabPoint::OldAdhesive, Mark::NotApplicable)], ..Slab::default() };
    let found = item(&house(slab), SlabPoint::OldAdhesive);
    assert_eq!(
        (found.state, found.missing.as_str()),
        (PointState::NotApplicable, "signed as not applicable")
    );
    assert_eq!(item(&house(Slab::default()), SlabPoint::OldAdhesive).state, PointState::Open);
}
