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

/// Houses of the usual run, and others beyond them that were complained of once: a movement joint 41 mm from a jamb, and a
/// trim whose face a wall crosses.
const HOUSES: u64 = 200;
const OTHERS: [u64; 2] = [321, 527];

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

/// Each breach is one that a fault of the engine could make; the promise it breaks is named beside it.
#[test]
fn results_broken_on_purpose_are_complained_of() {
    let text = include_str!("../sample-plans/hazel-court.ron");
    let whole = result_of(&plan::read(text).unwrap());
    assert_eq!(checked(text, &whole).complaints, []);
    type Breach = fn(&mut Value);
    fn add(value: &mut Value, by: f64) {
        *value = Value::from(value.as_f64().unwrap() + by);
    }
    fn of_two_pieces(result: &Value) -> usize {
        let two = |board: &Value| board["pieces"].as_array().unwrap().len() > 1;
        result["stock"].as_array().unwrap().iter().position(two).unwrap()
    }
    let breaches: [(&str, Promise, Breach); 25] = [
        ("another seed", Promise::SamePlan, |r| r["seed"] = Value::from(77)),
        ("more bare floor than there is", Promise::BareFloor, |r| add(&mut r["bare_area"], 2000.0)),
        ("a gap said narrower than it is", Promise::Gaps, |r| {
            add(&mut r["regions"][0]["rings"][0][0]["gap"], -0.5)
        }),
        ("a gap said a tenth of a millimetre wider", Promise::Gaps, |r| {
            add(&mut r["regions"][0]["rings"][0][3]["gap"], 0.1)
        }),
        ("a gap said wider", Promise::Gaps, |r| add(&mut r["regions"][0]["rings"][0][3]["gap"], 1.0)),
        ("a corner nearer to its wall", Promise::Clearance, |r| {
            add(&mut r["regions"][0]["rings"][0][0]["from"][1], -4.0);
        }),
        ("an edge that names another wall", Promise::Gaps, |r| {
            let place = r["regions"][0]["rings"][0][2]["place"].as_str().unwrap();
            assert!(place.starts_with("Living, wall "), "{place}");
            r["regions"][0]["rings"][0][2]["place"] = Value::from("Hall, wall 2");
        }),
        ("a board that is not there", Promise::Tiling, |r| {
            let outline = r["boards"][100]["outline"][0].clone();
            let at = outline[0].clone();
            r["boards"][100]["outline"][0] = Value::from(vec![at.clone(), at.clone(), at]);
        }),
        ("a board pushed along by 2 mm", Promise::Tiling, |r| {
            for corner in r["boards"][10]["outline"][0].as_array_mut().unwrap() {
                add(&mut corner[0], 2.0);
            }
        }),
        ("a region left out", Promise::NothingLeftOut, |r| {
            for corner in r["regions"][0]["rings"][0].as_array_mut().unwrap() {
                // All but the living room's end is drawn to one line.
                let x = corner["from"][0].as_f64().unwrap();
                corner["from"][0] = Value::from(x.max(6000.0));
            }
        }),
        ("another pitch", Promise::Rows, |r| add(&mut r["setout"]["pitch"], 0.1)),
        ("the line 1 mm off", Promise::Rows, |r| add(&mut r["setout"]["chosen"]["offset"], 1.0)),
        ("a pull of another length", Promise::Pulls, |r| {
            add(&mut r["setout"]["line"]["pulls"][1]["distance"], 0.5)
        }),
        ("a rip 0.05 mm wider", Promise::Rips, |r| {
            add(&mut r["setout"]["chosen"]["rips"][5]["greatest"], 0.05)
        }),
        ("a rip 0.2 mm wider", Promise::Rips, |r| add(&mut r["setout"]["chosen"]["rips"][5]["least"], 0.2)),
        ("a joint missing from the list", Promise::Joints, |r| {
            r["joints"].as_array_mut().unwrap().remove(40);
        }),
        ("a joint moved", Promise::Joints, |r| add(&mut r["joints"][12]["from"][0], 1.0)),
        ("a sliver without a flag", Promise::Ends, |r| {
            r["flags"].as_array_mut().unwrap().retain(|flag| flag["kind"] != "sliver");
        }),
        ("joints flagged that are far apart", Promise::Staggers, |r| {
            let mut flag = r["flags"][0].clone();
            flag["kind"] = Value::from("joints-close");
            flag["boards"] = Value::from(vec![0, 1, 7, 8]);
            r["flags"].as_array_mut().unwrap().push(flag);
        }),
        ("a saw cut too narrow", Promise::Stock, |r| {
            let board = of_two_pieces(r);
            add(&mut r["stock"][board]["pieces"][0]["to"], 2.0);
        }),
        ("one board cut twice", Promise::Stock, |r| {
            let piece = r["stock"][0]["pieces"][0].clone();
            r["stock"][1]["pieces"].as_array_mut().unwrap().push(piece);
        }),
        ("a cut end where ends join", Promise::Stock, |r| r["boards"][0]["right_end"] = Value::from("cut")),
        ("one pack too few", Promise::Counts, |r| add(&mut r["use_of_stock"]["packs"], -1.0)),
        ("two runs of rows in each other's turn", Promise::Order, |r| {
            r["fitting"]["order"].as_array_mut().unwrap().swap(1, 2);
        }),
        ("too little adhesive", Promise::Amounts, |r| {
            for line in r["materials"]["lines"].as_array_mut().unwrap() {
                add(&mut line["least"], -1.0);
            }
        }),
    ];
    for (name, promise, breach) in breaches {
        let mut broken = whole.clone();
        breach(&mut broken);
        // `packs` is a whole number in the result.
        if let Some(packs) = broken["use_of_stock"]["packs"].as_f64() {
            broken["use_of_stock"]["packs"] = Value::from(packs as u64);
        }
        let report = checked(text, &broken);
        assert!(report.complains_of(promise), "{name}: no complaint of {promise:?}\n{report}");
    }
}

/// The same for what other samples show: seasons, levels and covers of a house with wood, air and floors beside it, and
/// blocks with a border.
#[test]
fn broken_seasons_levels_covers_lines_and_patterns_are_complained_of() {
    type Breach = fn(&mut Value);
    fn add(value: &mut Value, by: f64) {
        *value = Value::from(value.as_f64().unwrap() + by);
    }
    /// The first doorway that has a thing.
    fn doorway<'a>(result: &'a mut Value, has: &str) -> &'a mut Value {
        let all = result["edges"]["doorways"].as_array_mut().unwrap();
        all.iter_mut().find(|door| door[has].is_object() || door[has][0].is_object()).unwrap()
    }
    fn season<'a>(result: &'a mut Value, what: &str) -> &'a mut Value {
        &mut result["movement"]["seasons"][what]
    }
    let quince = include_str!("../sample-plans/quince-row.ron");
    // Without play in the gaps every edge lies where every line finds it.
    let still = include_str!("../sample-plans/hazel-court.ron")
        .replace("wall_gap: (least: 10.0, greatest: 14.0)", "wall_gap: (least: 10.0, greatest: 10.0)");
    let still = still.as_str();
    let one = include_str!("../sample-plans/one-room.ron");
    let hazel = include_str!("../sample-plans/hazel-court.ron");
    let plover = include_str!("../sample-plans/plover-parlour.ron");
    /// The first rip of a line whose boards go under something.
    fn under(line: &mut Value) -> &mut Value {
        let all = line["rips"].as_array_mut().unwrap();
        all.iter_mut().find(|rip| rip["hidden"].as_f64().unwrap() > 0.0).unwrap()
    }
    let breaches: [(&str, &str, Promise, Breach); 41] = [
        ("no seasons", quince, Promise::Seasons, |r| r["movement"]["seasons"] = Value::Null),
        ("damper", quince, Promise::Seasons, |r| add(&mut season(r, "moisture")["dampest"], 0.01)),
        ("wood that moves more", quince, Promise::Seasons, |r| {
            add(&mut season(r, "coefficients")["built"], 0.000_01);
        }),
        ("a longer stretch", quince, Promise::Seasons, |r| add(&mut season(r, "widths")[0]["extent"], 1.0)),
        ("a stretch left out", quince, Promise::Seasons, |r| *season(r, "lengths") = Value::from(vec![0; 0])),
        ("less swelling", quince, Promise::Seasons, |r| {
            add(&mut season(r, "widths")[0]["swells"]["expected"], -0.01);
        }),
        ("more room", quince, Promise::Seasons, |r| add(&mut season(r, "widths")[0]["room"], 0.1)),
        ("an edge that opens less", quince, Promise::Seasons, |r| {
            add(&mut r["regions"][0]["rings"][0][0]["opens"], -0.05);
        }),
        ("another step", quince, Promise::Doorways, |r| add(&mut doorway(r, "step")["step"]["rise"], 0.5)),
        ("another finish", quince, Promise::Doorways, |r| {
            doorway(r, "step")["step"]["finish"] = Value::from("ramp");
        }),
        ("more under the leaf", quince, Promise::Doorways, |r| {
            add(&mut doorway(r, "leaf")["leaf"]["clearance"], 1.0);
        }),
        ("a pull of another length", quince, Promise::Doorways, |r| {
            add(&mut doorway(r, "stops")["stops"][0]["from_near"][1], 0.5);
        }),
        ("a stop elsewhere", quince, Promise::Doorways, |r| {
            add(&mut doorway(r, "stops")["stops"][0]["to"][1], 4.0);
            add(&mut doorway(r, "stops")["stops"][0]["to"][0], 4.0);
        }),
        ("an appliance with more room", quince, Promise::Doorways, |r| {
            add(&mut r["edges"]["appliances"][0]["clearance"], 2.0);
        }),
        ("a gap that becomes less wide", quince, Promise::Covers, |r| {
            add(&mut r["edges"]["covers"][0]["widest"], -0.5);
        }),
        ("a cover left out", quince, Promise::Covers, |r| {
            r["edges"]["covers"].as_array_mut().unwrap().remove(1);
        }),
        ("a higher kick", quince, Promise::Covers, |r| add(&mut r["edges"]["tucks"][0]["clearance"], 1.0)),
        ("a rip of another line", hazel, Promise::Lines, |r| {
            add(&mut r["setout"]["lines"][1]["rips"][5]["least"], 1.0);
        }),
        ("lines in another order", hazel, Promise::Lines, |r| {
            r["setout"]["lines"].as_array_mut().unwrap().swap(0, 1);
        }),
        ("a narrowest rip off the curve", hazel, Promise::Lines, |r| {
            for point in r["setout"]["curve"].as_array_mut().unwrap() {
                add(&mut point[1], 1.0);
            }
        }),
        ("a worth in another band", hazel, Promise::Worth, |r| {
            let band = &mut r["setout"]["lines"][1]["value"]["bands"][1];
            *band = Value::from(band.as_i64().unwrap() + 1);
        }),
        ("a narrowest rip in view wider", still, Promise::Worth, |r| {
            add(&mut r["setout"]["chosen"]["value"]["narrowest"], 0.2);
        }),
        ("a narrowest rip within the tolerance wider", still, Promise::Worth, |r| {
            add(&mut r["setout"]["lines"][1]["narrowest_within_tolerance"], 2.0);
        }),
        ("a rip of which less is seen", still, Promise::Lines, |r| {
            add(&mut under(&mut r["setout"]["lines"][1])["seen"], -1.0);
        }),
        ("boards that go less far under", still, Promise::Rips, |r| {
            add(&mut under(&mut r["setout"]["chosen"])["hidden"], -1.0);
        }),
        ("more length under the least rip", still, Promise::Worth, |r| {
            add(&mut r["setout"]["lines"][1]["short_length"], 30.0);
        }),
        ("less of it as it is seen", still, Promise::Worth, |r| {
            add(&mut r["setout"]["lines"][2]["value"]["short"], -0.5);
        }),
        ("the sides of a hallway more uneven", still, Promise::Worth, |r| {
            add(&mut r["setout"]["chosen"]["value"]["uneven"], 1.0);
        }),
        ("less to rip", still, Promise::Worth, |r| add(&mut r["setout"]["chosen"]["value"]["ripped"], -1.0)),
        ("safer by half a millimetre", still, Promise::Worth, |r| {
            add(&mut r["setout"]["chosen"]["safe_by"], 0.5);
        }),
        ("less safe", still, Promise::Worth, |r| add(&mut r["setout"]["chosen"]["safe_by"], -0.5)),
        ("an edge that may be off by more", still, Promise::Tape, |r| {
            add(&mut r["setout"]["robust"]["endangered"][0]["slack"], 0.5);
        }),
        ("a length left out of those on the way", one, Promise::Tape, |r| {
            r["setout"]["robust"]["endangered"][0]["lengths"].as_array_mut().unwrap().pop();
        }),
        ("another figure than the first edge's", still, Promise::Tape, |r| {
            add(&mut r["setout"]["robust"]["stands"], 0.1);
        }),
        ("a safest line that stands more than its edges", still, Promise::Tape, |r| {
            add(&mut r["setout"]["robust"]["safest"]["stands"], 100.0);
        }),
        ("a safest line elsewhere", still, Promise::Tape, |r| {
            add(&mut r["setout"]["robust"]["safest"]["offset"], 60.0);
        }),
        ("a board under a kick folded down", quince, Promise::Ways, |r| {
            let ways = r["fitting"]["other_ways"].as_array_mut().unwrap();
            let at = ways.iter().position(|way| way["under"].to_string().contains("kick")).unwrap();
            let board = ways.remove(at)["board"].as_u64().unwrap() as usize;
            r["fitting"]["boards"][board]["way"] = Value::from("fold");
        }),
        ("a board under another thing", quince, Promise::Ways, |r| {
            let ways = r["fitting"]["other_ways"].as_array_mut().unwrap();
            let way = ways.iter_mut().find(|way| way["under"][0].is_object()).unwrap();
            way["under"][0]["place"] = Value::from("Hall, wall 1");
        }),
        ("a piece cut at a wall off its place", plover, Promise::Patterns, |r| {
            let is_cut = |board: &Value| {
                board["border"].is_null()
                    && board["outline"][0].as_array().unwrap().len() == 4
                    && board["length"].as_f64().unwrap() < 500.0
            };
            let piece = r["boards"].as_array_mut().unwrap().iter_mut().find(|board| is_cut(board));
            for corner in piece.unwrap()["outline"][0].as_array_mut().unwrap() {
                add(&mut corner[0], 3.0);
            }
        }),
        ("a block off its place", plover, Promise::Patterns, |r| {
            let in_field = |board: &Value| board["border"].is_null() && board["length"] == 600.0;
            let block = r["boards"].as_array_mut().unwrap().iter_mut().filter(|board| in_field(board));
            let block = block.max_by_key(|board| board["outline"][0].as_array().map(Vec::len) == Some(4));
            for corner in block.unwrap()["outline"][0].as_array_mut().unwrap() {
                add(&mut corner[0], 0.5);
            }
        }),
        ("a block at another angle", plover, Promise::Patterns, |r| {
            add(&mut r["boards"].as_array_mut().unwrap().first_mut().unwrap()["angle"], 1.0);
        }),
    ];
    let mut wholes: Vec<(&str, Value)> = Vec::new();
    for text in [quince, hazel, still, one, plover] {
        let whole = result_of(&plan::read(text).unwrap());
        assert_eq!(checked(text, &whole).complaints, []);
        wholes.push((text, whole));
    }
    for (name, text, promise, breach) in breaches {
        let mut broken = wholes.iter().find(|(of, _)| *of == text).unwrap().1.clone();
        breach(&mut broken);
        let report = checked(text, &broken);
        assert!(report.complains_of(promise), "{name}: no complaint of {promise:?}\n{report}");
    }
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
