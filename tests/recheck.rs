//! The independent checker on every sample plan and on invented houses; and results broken on purpose, of which it
//! must complain.
//!
//! `STARTROW_HOUSES` asks for more houses than the few of the usual run, `STARTROW_FROM` for others; `STARTROW_KEEP` names
//! a folder for plan and result of those that are complained of.
#![allow(clippy::unwrap_used)]

use plan::{GapRange, MovementJoint, Pattern, Plan, Point, RandomLengths, Wood};
use recheck::{PROMISES, Promise, Report, recheck};
use serde_json::Value;
use startrow_tests::{Dice, asked, house};

mod broken;

/// Houses of the usual run, and others beyond them that were complained of once: a movement joint 41 mm from a jamb, a trim
/// whose face a wall crosses, another one, a left end that was used twice, slanting ends whose points walls cut off, a gap widened
/// beside a wall out of square, two sides of a fixture that hang on the same lengths, a wall that faces away from a board's far end,
/// a strip wider than its rip left, a stop that turned with a jog, a wall's corner on a row line, two boards of one side
/// that have no way under a kick, a hair of a row beside a doorway, a rip that ends in a point, two that lie within a hair of their
/// row line, a leg that is cut off square with its end, a jamb of 20 mm, an edge that a
/// row line crosses by a hair, a trim's end 20 long, a floor past a joint that ends at walls, legs about a lining
/// that boards go under, and about a wall out of true, two sides of a trim that are all but as long, a blunt hair of a row beside a
/// doorway, a whole board in a place a hair longer, a jog near a joint.
const HOUSES: u64 = 200;
const OTHERS: [u64; 29] = [
    321, 527, 5150, 311, 420, 20357, 5103, 5212, 5443, 20635, 21220, 21367, 30852, 30980, 40351, 40799,
    41078, 41192, 41080, 42713, 42221, 43418, 43852, 70733, 71293, 70430, 80214, 40686, 90364,
];

fn result_of(plan: &Plan) -> Value {
    serde_json::to_value(pipeline::run(plan).unwrap().document()).unwrap()
}

fn checked(plan: &str, result: &Value) -> Report {
    recheck(plan, &result.to_string()).unwrap()
}

/// Plan files that come with the program.
fn samples() -> Vec<(String, String)> {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../sample-plans");
    let mut all: Vec<(String, String)> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "ron"))
        .map(|path| (path.display().to_string(), std::fs::read_to_string(&path).unwrap()))
        .collect();
    all.sort();
    assert!(all.len() >= 5);
    all
}

/// An invented house with what the generator of the other tests leaves out: random lengths, few packs, an undercut
/// lining, gaps of their own, halves and thirds, movement joints, wood and air.
fn varied(seed: u64) -> Plan {
    let mut plan = house(seed);
    let dice = &mut Dice::new(seed ^ 0x5eed);
    match dice.below(8) {
        0 => plan.pattern = Pattern::Half,
        1 => plan.pattern = Pattern::Third,
        2 => {
            let longest = plan.stock.longest();
            plan.stock.lengths.clear();
            plan.stock.random = Some(RandomLengths { shortest: 700.0, longest, per_pack: 6 });
        }
        3 => {
            let hall = plan.rooms[0].walls[1].corner;
            plan.joints.push(MovementJoint {
                name: String::new(),
                from: Point::new(hall.x / 2.0, -5000.0),
                to: Point::new(hall.x / 2.0, 6000.0),
                width: dice.mm(6.0, 12.0),
            });
        }
        4 => {
            for door in plan.doorways.iter_mut().filter(|door| door.lining == plan::Lining::Fitted) {
                door.rough_width = Some(door.width + 80.0);
                door.under_lining = Some(dice.mm(5.0, 25.0));
                door.stop = Some(dice.mm(0.2, 0.8) * door.wall_thickness);
            }
        }
        5 => plan.stock.wood = Some(Wood::default()),
        6 => plan.effort = 200,
        _ => {}
    }
    let rooms = plan.rooms.len();
    let wall = dice.below(4);
    let least = dice.mm(0.0, 30.0);
    plan.rooms[dice.below(rooms)].walls[wall].gap =
        Some(GapRange { least, greatest: least + dice.mm(0.0, 5.0) });
    if seed.is_multiple_of(4) {
        plan.doorways.iter_mut().for_each(|door| door.slip_tongue = true);
    }
    plan
}

#[test]
fn every_sample_keeps_what_its_result_promises() {
    let mut looked_at = Vec::new();
    for (name, text) in samples() {
        let plan = plan::read(&text).unwrap();
        let report = checked(&text, &result_of(&plan));
        assert_eq!(report.complaints, [], "{name}\n{report}");
        looked_at.extend(report.checked.into_keys());
    }
    for (promise, name) in PROMISES {
        assert!(looked_at.contains(&promise), "no sample shows `{name}`");
    }
}

/// In two halves, so that two cores share them.
#[test]
fn every_invented_house_of_an_even_number_keeps_what_its_result_promises() {
    houses_keep_their_promises(0);
}

#[test]
fn every_invented_house_of_an_odd_number_keeps_what_its_result_promises() {
    houses_keep_their_promises(1);
}

fn houses_keep_their_promises(half: u64) {
    let (from, count) = (asked("STARTROW_FROM", 0), asked("STARTROW_HOUSES", HOUSES));
    let mut bad = Vec::new();
    for seed in (from..from + count).chain(OTHERS).filter(|seed| seed % 2 == half) {
        let plan = varied(seed);
        if !plan.problems().is_empty() {
            bad.push(format!("house {seed} is no plan: {:?}", plan.problems()));
            continue;
        }
        let text = plan::write(&plan);
        let result = result_of(&plan);
        let report = checked(&text, &result);
        if let (false, Ok(folder)) = (report.complaints.is_empty(), std::env::var("STARTROW_KEEP")) {
            std::fs::write(format!("{folder}/house-{seed}.ron"), text).unwrap();
            std::fs::write(format!("{folder}/house-{seed}.json"), result.to_string()).unwrap();
        }
        bad.extend(report.complaints.iter().map(|complaint| format!("house {seed}: {complaint:?}")));
    }
    assert!(bad.is_empty(), "{} complaints of {count} houses:\n{}", bad.len(), bad.join("\n"));
}

/// Rows with borders of one to three courses, and bonds: joints of a border told as close that are not, or not told, and
/// a joint off its bond are complained of.
#[test]
fn borders_and_bonds_keep_their_promises_and_broken_ones_are_complained_of() {
    let mut broken = 0;
    for seed in 0..16 {
        let mut plan = house(seed);
        plan.pattern = [Pattern::Irregular, Pattern::Half, Pattern::Third][(seed % 3) as usize];
        plan.border = Some(plan::Border {
            boards: 1 + (seed % 3) as u32,
            corners: if seed % 2 == 0 { plan::Corners::Mitred } else { plan::Corners::Butted },
        });
        let (text, whole) = (plan::write(&plan), result_of(&plan));
        assert_eq!(checked(&text, &whole).complaints, [], "house {seed}");
        let is_border =
            |flag: &Value| flag["kind"] == "joints-close" && flag["place"].to_string().contains("border");
        let flags = whole["flags"].as_array().unwrap();
        if let Some(at) = flags.iter().position(is_border) {
            let mut without = whole.clone();
            without["flags"].as_array_mut().unwrap().remove(at);
            assert!(
                checked(&text, &without).complains_of(Promise::Patterns),
                "house {seed}: a flag left out"
            );
            let mut twice = whole.clone();
            twice["flags"].as_array_mut().unwrap().push(flags[at].clone());
            assert!(checked(&text, &twice).complains_of(Promise::Patterns), "house {seed}: a flag too many");
            broken += 1;
        }
        if plan.pattern != Pattern::Irregular && whole["joints"].as_array().unwrap().len() > 1 {
            let mut moved = whole;
            for end in ["from", "to"] {
                for axis in 0..2 {
                    let place = &mut moved["joints"][1][end][axis];
                    *place = Value::from(place.as_f64().unwrap() + 5.0);
                }
            }
            assert!(checked(&text, &moved).complains_of(Promise::Patterns), "house {seed}: a joint moved");
            broken += 1;
        }
    }
    assert!(broken > 8, "{broken} results broken");
}

/// A hearth across the corner of a room, with a gap of its own far wider than the walls': what lies past its ends keeps off it
/// as well.
#[test]
fn hearths_across_corners_are_kept_clear_of() {
    let (mut looked_at, mut blunt) = (0, 0);
    for seed in 0..16 {
        let mut plan = house(seed);
        // The corner farthest from the hall's doorways, of the room that was drawn after it.
        let corner = plan.rooms[1].walls[2].corner;
        let leg = 400.0 + 40.0 * (seed % 8) as f64;
        let away = |x: f64, y: f64| Point::new(corner.x - x, corner.y - y);
        plan.fixtures.push(plan::Fixture {
            gap: Some(GapRange { least: 35.0, greatest: 40.0 }),
            ..plan::Fixture::plain(
                "Hearth",
                plan::FixtureKind::Hearth,
                vec![away(-30.0, leg), away(-30.0, -30.0), away(leg, -30.0)],
            )
        });
        if !plan.problems().is_empty() || !plan.rooms[1].is_boarded() {
            continue;
        }
        let (text, result) = (plan::write(&plan), result_of(&plan));
        assert_eq!(checked(&text, &result).complaints, [], "house {seed}");
        let edges = result["regions"].as_array().unwrap().iter().flat_map(|r| r["rings"].as_array().unwrap());
        let edges: Vec<&Value> = edges.flat_map(|ring| ring.as_array().unwrap()).collect();
        blunt += edges.iter().filter(|edge| edge["edge"] == "hearth" && edge["place"] == "Hearth").count();
        looked_at += 1;
    }
    assert!(looked_at > 8 && blunt >= looked_at, "{looked_at} houses, {blunt} edges");
}

/// A closet as wide as a board, to what its gaps take up, off the end of a house: it is laid in one row, whatever the line.
#[test]
fn closets_of_one_row_keep_their_promises() {
    let mut closets = 0;
    for seed in 0..24 {
        let mut plan = house(seed);
        plan.rows_at = 0.0;
        let gap = plan.rules.wall_gap.least;
        let wide = plan.stock.pitch() + 2.0 * gap - 0.25 * (seed % 5) as f64;
        let low =
            plan.rooms.iter().flat_map(|room| &room.walls).fold(0.0, |low, wall| wall.corner.y.min(low))
                - 200.0;
        let corners = [(0.0, low - wide), (900.0, low - wide), (900.0, low), (0.0, low)];
        plan.rooms.push(plan::Room::boarded("Closet", corners.map(|(x, y)| Point::new(x, y))));
        assert_eq!(plan.problems(), [], "house {seed}");
        let (text, result) = (plan::write(&plan), result_of(&plan));
        assert_eq!(checked(&text, &result).complaints, [], "house {seed}");
        let boards = result["boards"].as_array().unwrap().iter().filter(|board| {
            let corner = &board["outline"][0][0];
            corner[1].as_f64().unwrap() < low
        });
        closets += boards.clone().count();
        let least = plan.stock.pitch() - 1.5;
        assert!(boards.into_iter().all(|board| board["width"].as_f64().unwrap() > least), "house {seed}");
    }
    assert!(closets >= 24, "{closets} boards");
}

/// Chevron of blocks that are sold with mitred ends, and of blocks that are cut on site.
#[test]
fn chevrons_keep_their_promises_however_their_blocks_are_sold() {
    for seed in 0..10 {
        let mut plan = house(seed);
        let (block, mitre) = (480.0 + 40.0 * (seed % 4) as f64, [45.0, 30.0, 60.0][(seed % 3) as usize]);
        plan.pattern = Pattern::Chevron { block, mitre };
        plan.stock.face_width = 90.0;
        plan.stock.ten_boards = None;
        plan.stock.end_match = seed % 2 == 0;
        let length = if plan.stock.end_match { block } else { 3.0 * block };
        plan.stock.lengths = vec![plan::BoardLength { length, per_pack: 8 }];
        plan.rules.least_end = 100.0;
        plan.rules.least_stagger = 100.0;
        assert_eq!(plan.problems(), [], "house {seed}");
        let (text, mut result) = (plan::write(&plan), result_of(&plan));
        assert_eq!(checked(&text, &result).complaints, [], "house {seed}");
        // A piece that reaches past its board's end, if by no more than its own slant.
        let piece = &mut result["stock"][0]["pieces"][0];
        piece["from"] = Value::from(piece["from"].as_f64().unwrap() - 5.0);
        assert!(checked(&text, &result).complains_of(Promise::Stock), "house {seed}");
    }
}

/// Joints drawn nearer than the least stagger in the plan alone: the result was made under another rule.
#[test]
fn a_result_made_under_other_rules_is_complained_of() {
    let text = include_str!("../sample-plans/hazel-court.ron");
    let result = result_of(&plan::read(text).unwrap());
    let strict = text.replace("least_stagger: 300.0", "least_stagger: 600.0");
    assert!(checked(&strict, &result).complains_of(Promise::Staggers));
    let wider = text.replacen(
        "wall_gap: (least: 10.0, greatest: 14.0)",
        "wall_gap: (least: 12.0, greatest: 14.0)",
        1,
    );
    let report = checked(&wider, &result);
    assert!(report.complains_of(Promise::Gaps) && report.complains_of(Promise::Clearance));
}

/// Rows at 45° to every wall: boards meet each as ends or as sides, and what covers its gap is looked at all the same.
#[test]
fn covers_are_looked_at_where_rows_run_aslant_to_all_walls() {
    let mut plan = house(3);
    plan.rows_at = 45.0;
    let (text, whole) = (plan::write(&plan), result_of(&plan));
    assert_eq!(checked(&text, &whole).complaints, []);
    let walls = whole["edges"]["covers"].as_array().unwrap().iter();
    let wall = walls.into_iter().position(|cover| cover["edge"] == "wall").unwrap();
    for figure in ["widest", "length"] {
        let mut broken = whole.clone();
        let value = &mut broken["edges"]["covers"][wall][figure];
        *value = Value::from(value.as_f64().unwrap() + 0.5);
        assert!(checked(&text, &broken).complains_of(Promise::Covers), "{figure}");
    }
}

/// Boards of folding locks in a house whose walls have gaps too small to close an end joint: each is told to be dropped in.
#[test]
fn ends_without_room_are_told() {
    let mut plan = house(8);
    plan.stock.lock = plan::Lock::FoldDown;
    for wall in plan.rooms.iter_mut().flat_map(|room| &mut room.walls) {
        wall.gap = Some(GapRange { least: 4.0, greatest: 4.0 });
    }
    let (text, whole) = (plan::write(&plan), result_of(&plan));
    assert_eq!(checked(&text, &whole).complaints, []);
    let ways = whole["fitting"]["other_ways"].as_array().unwrap();
    let is_at_wall = |way: &&Value| {
        let tight = &way["tight"][0];
        way["way"] == "drop" && tight["side"] == "right" && tight["edge"] == "wall"
    };
    let at = ways.iter().position(|way| is_at_wall(&way)).unwrap();
    let mut without = whole.clone();
    let board = ways[at]["board"].as_u64().unwrap() as usize;
    without["fitting"]["other_ways"].as_array_mut().unwrap().remove(at);
    without["fitting"]["boards"][board]["way"] = Value::from("fold");
    assert!(checked(&text, &without).complains_of(Promise::Ways), "the board is folded");
    let mut other = whole;
    other["fitting"]["other_ways"][at]["tight"][0]["need"] = Value::from(6.0);
    assert!(checked(&text, &other).complains_of(Promise::Ways), "more is needed");
}

/// Tongues 6 deep and gaps of 4: boards along a wall have no room to be drawn home from the row before, and each is told to be
/// dropped in.
#[test]
fn sides_without_room_are_told() {
    let mut plan = house(8);
    plan.stock.lock = plan::Lock::TongueAndGroove;
    plan.stock.tongue = 6.0;
    for wall in plan.rooms.iter_mut().flat_map(|room| &mut room.walls) {
        wall.gap = Some(GapRange { least: 4.0, greatest: 4.0 });
    }
    let (text, whole) = (plan::write(&plan), result_of(&plan));
    assert_eq!(checked(&text, &whole).complaints, []);
    let ways = whole["fitting"]["other_ways"].as_array().unwrap();
    let is_at_wall = |way: &Value| {
        let tight = way["tight"].as_array().unwrap();
        way["way"] == "drop" && tight.len() == 1 && tight[0]["side"] == "tongue" && tight[0]["edge"] == "wall"
    };
    let at = ways.iter().position(is_at_wall).unwrap();
    let mut without = whole.clone();
    let board = ways[at]["board"].as_u64().unwrap() as usize;
    without["fitting"]["other_ways"].as_array_mut().unwrap().remove(at);
    without["fitting"]["boards"][board]["way"] = Value::from("slide");
    assert!(checked(&text, &without).complains_of(Promise::Ways), "the board is drawn home");
}

/// An edge of under 20 mm whose gap is given as one figure.
fn short_edge(result: &mut Value) -> &mut Value {
    let rings = result["regions"].as_array_mut().unwrap().iter_mut();
    let rings = rings.flat_map(|region| region["rings"].as_array_mut().unwrap());
    for ring in rings {
        let at: Vec<[f64; 2]> = ring
            .as_array()
            .unwrap()
            .iter()
            .map(|edge| [0, 1].map(|axis| edge["from"][axis].as_f64().unwrap()))
            .collect();
        let length = |i: usize| {
            let (a, b) = (at[i], at[(i + 1) % at.len()]);
            libm::hypot(b[0] - a[0], b[1] - a[1])
        };
        if let Some(short) = (0..at.len()).find(|i| length(*i) < 20.0) {
            return &mut ring[short];
        }
    }
    panic!("no short edge");
}

/// House 22 has steps of some millimetres where gaps of doorways and walls meet.
#[test]
fn the_gap_of_a_short_edge_is_looked_at() {
    let plan = varied(22);
    let (text, whole) = (plan::write(&plan), result_of(&plan));
    assert_eq!(checked(&text, &whole).complaints, []);
    let mut broken = whole;
    let gap = &mut short_edge(&mut broken)["gap"];
    *gap = Value::from(gap.as_f64().unwrap() + 30.0);
    assert!(checked(&text, &broken).complains_of(Promise::Gaps));
}
