//! Results broken on purpose: each must be complained of.

use super::{checked, result_of};
use recheck::Promise;
use serde_json::Value;

/// Each breach is one that a fault of the engine could make; the promise it breaks is named beside it.
#[test]
fn results_broken_on_purpose_are_complained_of() {
    let text = include_str!("../../sample-plans/hazel-court.ron");
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
    let quince = include_str!("../../sample-plans/quince-row.ron");
    // Without play in the gaps every edge lies where every line finds it.
    let still = include_str!("../../sample-plans/hazel-court.ron")
        .replace("wall_gap: (least: 10.0, greatest: 14.0)", "wall_gap: (least: 10.0, greatest: 10.0)");
    let still = still.as_str();
    let one = include_str!("../../sample-plans/one-room.ron");
    let hazel = include_str!("../../sample-plans/hazel-court.ron");
    let plover = include_str!("../../sample-plans/plover-parlour.ron");
    let tern = include_str!("../../sample-plans/tern-point.ron");
    /// The first rip of a line whose boards go under something.
    fn under(line: &mut Value) -> &mut Value {
        let all = line["rips"].as_array_mut().unwrap();
        all.iter_mut().find(|rip| rip["hidden"].as_f64().unwrap() > 0.0).unwrap()
    }
    let breaches: [(&str, &str, Promise, Breach); 52] = [
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
        ("a length that is not on the way", one, Promise::Tape, |r| {
            let lengths = r["setout"]["robust"]["endangered"][0]["lengths"].as_array_mut().unwrap();
            *lengths.last_mut().unwrap() = Value::from("the length of Bedroom, wall 1");
        }),
        ("a pull from a corner that is not there", one, Promise::Tape, |r| {
            for pull in r["setout"]["line"]["pulls"].as_array_mut().unwrap() {
                pull["wall"] = Value::from(1_000_000_000);
            }
        }),
        ("an edge at a wall that is not there", one, Promise::Tape, |r| {
            r["setout"]["robust"]["endangered"][0]["place"] = Value::from("Bedroom, wall 99");
        }),
        ("a longer way than the shortest", quince, Promise::Tape, |r| {
            let robust = &mut r["setout"]["robust"];
            let half = |value: &mut Value| *value = Value::from(value.as_f64().unwrap() / 2.0);
            half(&mut robust["stands"]);
            robust["endangered"]
                .as_array_mut()
                .unwrap()
                .iter_mut()
                .for_each(|edge| half(&mut edge["stands"]));
        }),
        ("more stood than the way to the first edge allows", still, Promise::Tape, |r| {
            let robust = &mut r["setout"]["robust"];
            robust["endangered"].as_array_mut().unwrap().remove(0);
            robust["stands"] = robust["endangered"][0]["stands"].clone();
            robust["safest"]["stands"] = Value::from(2.0);
        }),
        ("a safest line that others of no list beat", still, Promise::Tape, |r| {
            let set = &mut r["setout"];
            set["lines"] = Value::from(vec![0; 0]);
            add(&mut set["chosen"]["value"]["short"], 1e6);
            add(&mut set["robust"]["safest"]["offset"], 60.0);
            set["robust"]["safest"]["stands"] = Value::from(0.0);
        }),
        ("the sides of a hallway more uneven where a gap is wider", tern, Promise::Worth, |r| {
            let value = &mut r["setout"]["chosen"]["value"];
            add(&mut value["uneven"], 20.0);
            let band = &mut value["bands"][3];
            *band = Value::from(band.as_i64().unwrap() + 2);
        }),
        ("a board under a lining folded down", quince, Promise::Ways, |r| {
            let ways = r["fitting"]["other_ways"].as_array_mut().unwrap();
            let is_it = |way: &Value| way["under"][0]["edge"] == "jamb";
            let at = ways.iter().position(is_it).unwrap();
            let board = ways.remove(at)["board"].as_u64().unwrap() as usize;
            r["fitting"]["boards"][board]["way"] = Value::from("fold");
        }),
        ("a lining at another side", quince, Promise::Ways, |r| {
            let ways = r["fitting"]["other_ways"].as_array_mut().unwrap();
            let way = ways.iter_mut().find(|way| way["under"][0]["edge"] == "jamb").unwrap();
            let side = &mut way["under"][0]["side"];
            *side = Value::from(if *side == "left" { "right" } else { "left" });
        }),
        ("a board that slides from under what it goes under", quince, Promise::Ways, |r| {
            let ways = r["fitting"]["other_ways"].as_array_mut().unwrap();
            let way = ways.iter_mut().find(|way| way["from"] == "left").unwrap();
            way["from"] = Value::from("right");
        }),
        ("a board that slides through a wall", quince, Promise::Ways, |r| {
            let ways = r["fitting"]["other_ways"].as_array_mut().unwrap();
            let is_it =
                |way: &&mut Value| way["from"] == "groove" && !way["under"].to_string().contains("kick");
            ways.iter_mut().find(is_it).unwrap()["from"] = Value::from("left");
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
    for text in [quince, hazel, still, one, plover, tern] {
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

/// The complaints of a result that was broken must say this under that promise.
fn is_complained_of(
    text: &str,
    whole: &Value,
    (name, promise, says): (&str, Promise, &str),
    breach: fn(&mut Value),
) {
    let mut broken = whole.clone();
    breach(&mut broken);
    let report = checked(text, &broken);
    let is_it =
        |complaint: &recheck::Complaint| complaint.promise == promise && complaint.what.contains(says);
    assert!(report.complaints.iter().any(is_it), "{name}: nobody says `{says}`\n{report}");
}

/// Three rooms over one another, the second by a line of its own, whose rows have a letter.
#[test]
fn broken_letters_of_rows_are_complained_of() {
    let mut plan = plan::Plan::new("Three");
    for (name, low, high) in [("Hall", 0.0, 3000.0), ("Den", 3100.0, 6000.0), ("Loft", 6100.0, 8000.0)] {
        let corners = [(0.0, low), (5000.0, low), (5000.0, high), (0.0, high)].map(plan::Point::from);
        plan.rooms.push(plan::Room::boarded(name, corners));
    }
    plan.start_line = plan::StartLine::At(100.0);
    plan.own_lines = vec![plan::OwnLine { room: "Den".into(), line: plan::StartLine::At(160.0) }];
    let (text, whole) = (plan::write(&plan), result_of(&plan));
    assert_eq!(checked(&text, &whole).complaints, []);
    fn relabel(result: &mut Value, new: impl Fn(&str) -> String) {
        for board in result["boards"].as_array_mut().unwrap() {
            let label = new(board["label"].as_str().unwrap());
            board["label"] = Value::from(label);
        }
    }
    let is_of_own = |board: &Value| board["label"].as_str().unwrap().starts_with('A');
    assert!(whole["boards"].as_array().unwrap().iter().any(is_of_own));
    type Breach = fn(&mut Value);
    let breaches: [(&str, &str, Breach); 5] = [
        ("letters left out: two boards of one name", "2 boards are called so", |r| {
            relabel(r, |label| label.trim_start_matches('A').to_owned());
        }),
        // With numbers of their own they are all of different names, but rows of two places have one.
        ("letters left out: two rows of one name", "are called so", |r| {
            relabel(r, |label| match label.strip_prefix('A') {
                Some(rest) => rest.replace('-', "-9"),
                None => label.to_owned(),
            });
        }),
        ("another letter than the region's", "have the letter `A`", |r| {
            relabel(r, |label| label.replace('A', "C"));
        }),
        ("a region without its letter", "have the letter ``", |r| {
            r["regions"]
                .as_array_mut()
                .unwrap()
                .iter_mut()
                .for_each(|region| region["letter"] = Value::from(""));
        }),
        ("a row by another number", "it stands in row", |r| {
            relabel(r, |label| label.replacen("A2", "A3", 1))
        }),
    ];
    for (name, says, breach) in breaches {
        is_complained_of(&text, &whole, (name, Promise::Rows, says), breach);
    }
}

/// Packs carried in before they are wanted, and stages that name other packs than their boards come from.
#[test]
fn packs_out_of_their_stage_are_complained_of() {
    let text = include_str!("../../sample-plans/hazel-court.ron");
    let whole = result_of(&plan::read(text).unwrap());
    assert_eq!(checked(text, &whole).complaints, []);
    fn stages(result: &mut Value) -> &mut Vec<Value> {
        result["stages"]["stages"].as_array_mut().unwrap()
    }
    type Breach = fn(&mut Value);
    let breaches: [(&str, &str, Breach); 4] = [
        ("a pack that is not carried in", "it is said to open packs", |r| {
            stages(r)[0]["pack_numbers"].as_array_mut().unwrap().pop();
        }),
        ("a pack carried in a stage too late", "it is said to open packs", |r| {
            let pack = stages(r)[0]["pack_numbers"].as_array_mut().unwrap().pop().unwrap();
            stages(r)[1]["pack_numbers"].as_array_mut().unwrap().push(pack);
        }),
        ("a pack that is not said to stand open", "it is said to open packs", |r| {
            let open = stages(r)[1]["open_packs"].as_array_mut().unwrap();
            assert!(open.pop().is_some());
        }),
        // As they would be dealt were there no stages: two boards change packs, one of which is a later stage's.
        ("a pack of the last stage opened for the first", "is opened by its end", |r| {
            let first = stages(r)[0]["boards"][0].as_u64().unwrap();
            let stock = r["stock"].as_array_mut().unwrap();
            let takes = |board: &Value| {
                board["pieces"].as_array().unwrap().iter().any(|piece| piece["board"].as_u64() == Some(first))
            };
            let one = stock.iter().position(takes).unwrap();
            let is_alike = |at: &usize| stock[*at]["length"] == stock[one]["length"];
            let last =
                (0..stock.len()).filter(is_alike).max_by_key(|at| stock[*at]["pack"].as_u64()).unwrap();
            let (early, late) = (stock[one]["pack"].clone(), stock[last]["pack"].clone());
            (stock[one]["pack"], stock[last]["pack"]) = (late, early);
        }),
    ];
    for (name, says, breach) in breaches {
        is_complained_of(text, &whole, (name, Promise::Counts, says), breach);
    }
}

/// Rips with which rooms begin: not told, told otherwise, told of boards that are none.
#[test]
fn broken_beginnings_are_complained_of() {
    let text = include_str!("../../sample-plans/hazel-court.ron");
    let whole = result_of(&plan::read(text).unwrap());
    assert_eq!(checked(text, &whole).complaints, []);
    fn first(result: &mut Value) -> &mut Value {
        let steps = result["fitting"]["order"].as_array_mut().unwrap();
        let told = steps.iter_mut().find(|step| step["begins_with"].is_array()).unwrap();
        &mut told["begins_with"]
    }
    type Breach = fn(&mut Value);
    let breaches: [(&str, &str, Breach); 5] = [
        ("not told", "told is None", |r| *first(r) = Value::from(vec![0; 0])),
        ("a greater width", "with a rip of", |r| {
            let rip = &mut first(r)[0];
            for figure in ["least", "greatest"] {
                rip[figure] = Value::from(rip[figure].as_f64().unwrap() + 2.0);
            }
        }),
        ("the other edge", "that keeps tongue", |r| first(r)[0]["keeps"] = Value::from("groove")),
        ("another room", "it begins Some", |r| first(r)[0]["room"] = Value::from("Hall")),
        ("a whole board", "are said to begin with a rip", |r| {
            first(r)[0]["boards"].as_array_mut().unwrap().push(Value::from(0));
        }),
    ];
    for (name, says, breach) in breaches {
        is_complained_of(text, &whole, (name, Promise::Order, says), breach);
    }
}

/// A row that lies in the line of the wall between two rooms, with a leg on both sides of it: what has no way in is told, and a
/// result that keeps silent is complained of.
#[test]
fn legs_on_both_sides_of_a_wall_are_told() {
    let mut plan = plan::Plan::new("Two rooms");
    let room = |name: &str, low: f64, high: f64, right: f64| {
        let corners = [(0.0, low), (right, low), (right, high), (0.0, high)];
        plan::Room::boarded(name, corners.map(|(x, y)| plan::Point::new(x, y)))
    };
    plan.rooms = vec![room("A", 0.0, 3000.0, 4000.0), room("B", 3092.0, 5092.0, 4006.0)];
    plan.doorways = vec![plan::Doorway {
        beyond: plan::Beyond::RunThrough,
        wall_thickness: 92.0,
        ..plan::Doorway::plain("Door", "A", 2, 700.0, 2400.0)
    }];
    plan.start_line = plan::StartLine::At(2950.0);
    // The checker demands what a wall reaches farther in than 200 and three boards' widths.
    const DEMANDED: f64 = 800.0;
    let (mut blocked, mut along, mut demanded) = (0, 0, 0);
    for seed in 1..=12 {
        plan.seed = seed;
        let text = plan::write(&plan);
        let whole = result_of(&plan);
        assert_eq!(checked(&text, &whole).complaints, [], "seed {seed}");
        let ways = whole["fitting"]["other_ways"].as_array().unwrap().clone();
        for way in ways.iter().filter(|way| way["astride"].is_array()) {
            match way["way"].as_str() {
                Some("blocked") => blocked += 1,
                Some("slide") => along += 1,
                other => panic!("{other:?}"),
            }
            let is_deep = |one: &Value| one["reach"].as_f64().is_some_and(|reach| reach > DEMANDED);
            if !way["astride"].as_array().unwrap().iter().any(is_deep) {
                continue;
            }
            demanded += 1;
            let mut silent = whole.clone();
            let board = way["board"].as_u64().unwrap() as usize;
            let others = silent["fitting"]["other_ways"].as_array_mut().unwrap();
            others.retain(|other| other["board"] != way["board"]);
            silent["fitting"]["boards"][board]["way"] = silent["fitting"]["usual_way"].clone();
            let complaints = checked(&text, &silent).complaints;
            assert!(complaints.iter().any(|one| one.promise == Promise::Ways), "seed {seed}: {complaints:?}");
        }
    }
    assert!(
        blocked > 0 && along > 0 && demanded > 0,
        "{blocked} blocked, {along} come along the row, {demanded} demanded"
    );
}

/// The same where the lining stands and boards go 20 under it, and where the walls are out of true, so that what lies between the legs
/// is up to 4 wider within than where it opens: all is told, and what comes along the row comes from its right end.
#[test]
fn legs_about_a_lining_that_stands_and_walls_out_of_true_are_told() {
    let (mut under, mut wider) = (0, 0);
    for (seed, out) in (1..=12).flat_map(|seed| [(seed, 0.0), (seed, 2.0)]) {
        let mut plan = plan::Plan::new("Two rooms");
        let room = |name: &str, corners: [(f64, f64); 4]| {
            plan::Room::boarded(name, corners.map(|(x, y)| plan::Point::new(x, y)))
        };
        plan.rooms = vec![
            room("A", [(0.0, 0.0), (4000.0, 0.0), (4000.0, 3000.0 + out), (0.0, 3000.0)]),
            room("B", [(0.0, 3092.0), (4000.0, 3092.0), (4000.0, 5092.0), (0.0, 5092.0)]),
        ];
        plan.rooms[1].walls[1].corner.y -= out;
        plan.doorways = vec![plan::Doorway {
            beyond: plan::Beyond::RunThrough,
            wall_thickness: 92.0,
            lining: plan::Lining::Fitted,
            under_lining: Some(20.0),
            ..plan::Doorway::plain("Door", "A", 2, 700.0, 2400.0)
        }];
        plan.start_line = plan::StartLine::At(2950.0);
        plan.seed = seed;
        assert_eq!(plan.problems(), []);
        let whole = result_of(&plan);
        assert_eq!(checked(&plan::write(&plan), &whole).complaints, [], "seed {seed}, {out}");
        for way in whole["fitting"]["other_ways"].as_array().unwrap() {
            let between = way["astride"].as_array().map_or(&[][..], Vec::as_slice);
            let is_deep = between.iter().any(|one| one["reach"].as_f64().unwrap() > 600.0);
            if way["way"] == "slide" && !between.is_empty() && !way["under"].as_array().unwrap().is_empty() {
                assert_eq!(way["from"], "right", "seed {seed}, {out}: {way}");
                under += 1;
            }
            wider += usize::from(out > 0.0 && is_deep);
        }
    }
    assert!(
        under > 0 && wider > 0,
        "{under} come along under the lining, {wider} lie about walls out of true"
    );
}
