//! The command line on the sample plans, end to end.
#![allow(clippy::unwrap_used)]

use serde_json::Value;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

pub(crate) fn sample(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../sample-plans").join(name)
}

/// Every plan that comes with the program.
const SAMPLES: [&str; 8] = [
    "dunlin-flat.ron",
    "hazel-court.ron",
    "lark-study.ron",
    "one-room.ron",
    "plover-parlour.ron",
    "quince-row.ron",
    "reed-cottage.ron",
    "tern-point.ron",
];

pub(crate) fn startrow(args: &[&str], plan: &Path) -> Output {
    let (stage, rest) = args.split_first().unwrap();
    Command::new(env!("CARGO_BIN_EXE_startrow")).arg(stage).arg(plan).args(rest).output().unwrap()
}

pub(crate) fn stdout(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn stderr(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

fn json(plan: &Path) -> Value {
    let output = startrow(&["lay", "--json", "-"], plan);
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    serde_json::from_slice(&output.stdout).unwrap()
}

/// Twice the signed area of a ring by the shoelace formula.
fn area(rings: &Value) -> f64 {
    let mut sum = 0.0;
    for ring in rings.as_array().unwrap() {
        let points: Vec<(f64, f64)> = ring
            .as_array()
            .unwrap()
            .iter()
            .map(|p| (p[0].as_f64().unwrap(), p[1].as_f64().unwrap()))
            .collect();
        for (i, (x, y)) in points.iter().enumerate() {
            let (p, q) = points[(i + 1) % points.len()];
            sum += (x * q - p * y) / 2.0;
        }
    }
    sum
}

#[test]
fn setout_says_where_the_line_goes() {
    let output = startrow(&["setout"], &sample("hazel-court.ron"));
    assert_eq!(output.status.code(), Some(0));
    let text = stdout(&output);
    for words in [
        "Snap the line",
        "First rip",
        "check",
        "Why this line",
        "The next best, ",
        "Expect at the edges",
        "Snap again for control",
        "If the boards do not measure",
    ] {
        assert!(text.contains(words), "no {words:?} in\n{text}");
    }
}

/// What is kept of the first rip and what comes off make the board, in the very figures told: by hand, Hazel Court's 103.5
/// and 86.7 make 190.2, Quince Row's 97.5 and 82.6 make 180.1 as its board does.
/// The sample room cut down to 40: 20 of floor between the gaps, and one row. Nothing is to be drawn, snapped or moved. With the
/// rows at 30° no wall leaves a rip, and no figure is made up for one.
#[test]
fn floors_without_a_line_or_a_rip_are_told_as_they_are() {
    let folder = tempfile::tempdir().unwrap();
    let text = std::fs::read_to_string(sample("one-room.ron")).unwrap();
    let to = folder.path().join("plan.ron");
    let mut plan = plan::read(&text).unwrap();
    plan.doorways.clear();
    let mut aslant = plan.clone();
    for wall in &mut plan.rooms[0].walls {
        wall.corner.y = wall.corner.y.min(40.0);
    }
    std::fs::write(&to, plan::write(&plan)).unwrap();
    let said = stdout(&startrow(&["setout"], &to));
    assert!(said.contains("No row line to snap") && said.contains("one row wide"), "{said}");
    for wrong in ["Draw", "is there a boarded room", "out by up to", "If the boards do not measure"] {
        assert!(!said.contains(wrong), "{wrong} in\n{said}");
    }
    let flags = stdout(&startrow(&["check"], &to));
    assert!(flags.contains("no wider here") && !flags.contains("move the start line"), "{flags}");
    assert!(flags.contains("in 1 entry, "), "{flags}");
    aslant.rows_at = 30.0;
    std::fs::write(&to, plan::write(&aslant)).unwrap();
    let said = stdout(&startrow(&["setout"], &to));
    assert!(said.contains("no edge runs along the rows"), "{said}");
    for wrong in ["out by up to", "If the boards do not measure"] {
        assert!(!said.contains(wrong), "{wrong} in\n{said}");
    }
}

#[test]
fn the_first_rip_and_what_comes_off_make_the_board_on_every_sample() {
    let mut told = 0;
    for plan in SAMPLES.map(sample) {
        let read = plan::read(&std::fs::read_to_string(&plan).unwrap()).unwrap();
        let house = pipeline::run(&read).unwrap();
        let text = stdout(&startrow(&["setout"], &plan));
        let Some(line) = text.lines().find(|line| line.trim_start().starts_with("First rip ")) else {
            continue;
        };
        let Some(off) = line.split(": take ").nth(1).and_then(|rest| rest.split(" off;").next()) else {
            continue;
        };
        let kept = line.trim_start().trim_start_matches("First rip ").split(" at ").next().unwrap();
        let units = read.units;
        let length = |text: &str| plan::parse_length(text, units).unwrap();
        let board = length(&plan::format_length(house.setout.pitch, units));
        for (kept, off) in kept.split(" to ").zip(off.split(" to ")) {
            let sum = length(kept) + length(off);
            assert!((sum - board).abs() < 1e-3, "{}: {sum} for {board}: {line}", plan.display());
        }
        told += 1;
    }
    assert!(told >= 4, "{told} samples have a first rip");
}

/// What is under the least as drawn is told apart from what falls under it only when the line is snapped out.
#[test]
fn what_is_under_the_least_is_told_apart_from_what_would_fall_under_it() {
    // By hand: the line 10 up lies on the first edge, so a whole board stands there and a strip of 2 if it is snapped 2 out,
    // which a gap without play does not take up. The far edge, 3 470 up, keeps 3 460 - 18 · 190 = 40.
    let one_room = std::fs::read_to_string(sample("one-room.ron")).unwrap();
    let text = one_room.replace("start_line: Best", "start_line: At(10.0)").replace("3600.0", "3480.0");
    let text = text.replace("greatest: 14.0", "greatest: 10.0");
    let folder = tempfile::tempdir().unwrap();
    let plan = folder.path().join("own.ron");
    std::fs::write(&plan, text).unwrap();
    let text = stdout(&startrow(&["setout"], &plan));
    let why = text.split("Why this line").nth(1).unwrap();
    let (drawn, out) = why.split_once("; snapped 2 out, ").unwrap();
    assert!(drawn.contains(" as drawn, at ") && drawn.contains("wall 3 of Bedroom"), "{text}");
    assert!(!drawn.contains("wall 1 of Bedroom"), "{text}");
    let why = out;
    assert!(why.contains(" more would fall under it, at ") && why.contains("wall 1 of Bedroom"), "{text}");
    let table = stdout(&startrow(&["setout", "--directions"], &plan));
    assert!(table.contains("under least") && table.contains("line 2 out"), "{table}");
    // The lines laid are told in the same words.
    let table = stdout(&startrow(&["setout", "--lines"], &plan));
    let heads = table.lines().nth(2).unwrap().split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(heads.starts_with("line at narrowest under least line 2 out by sight "), "{table}");
}

#[test]
fn directions_are_compared_in_one_table() {
    let plan = sample("hazel-court.ron");
    let output = startrow(&["setout", "--directions", "--angle", "-30", "--angle", "90"], &plan);
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    let text = stdout(&output);
    let rows: Vec<&str> = text.lines().skip(2).collect();
    assert!(rows[0].contains("narrowest") && rows[0].ends_with("why"), "{text}");
    assert!(rows[1].trim_start().starts_with("0°") && rows[1].contains("as planned; along Hall"), "{text}");
    assert!(rows.iter().any(|row| row.trim_start().starts_with("-30°")), "{text}");
    // 90° is there already, along the walls.
    assert_eq!(rows.iter().filter(|row| row.trim_start().starts_with("90°")).count(), 1, "{text}");
    let output = startrow(&["setout", "--directions", "--json", "-"], &plan);
    let result: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(result["directions"][0]["angle"], result["rows_at"]);
    assert_eq!(result["directions"][0]["narrowest"], result["setout"]["chosen"]["narrowest"]);
    // An angle by itself asks for the same table.
    let by_angle = startrow(&["setout", "--angle", "-30", "--angle", "90"], &plan);
    assert_eq!((by_angle.status.code(), stdout(&by_angle)), (Some(0), text));
    assert_eq!(startrow(&["setout", "--angle", "30", "--lines"], &plan).status.code(), Some(2));
}

#[test]
fn the_result_says_why_and_how_careful_to_be() {
    let result = json(&sample("hazel-court.ron"));
    let setout = &result["setout"];
    assert_eq!(setout["why"].as_array().unwrap().len(), 3);
    let stands = setout["robust"]["stands"].as_f64().unwrap();
    assert!(stands > 0.0 && stands <= setout["robust"]["safest"]["stands"].as_f64().unwrap() + 1e-6);
    let rooms = setout["control"].as_array().unwrap().iter().filter(|c| c["rows"] == 0).count();
    assert!(rooms >= 1);
    let (least, greatest) = (&setout["width"]["least_pitch"], &setout["width"]["greatest_pitch"]);
    let pitch = setout["pitch"].as_f64().unwrap();
    assert!(least.as_f64().unwrap() < pitch && pitch < greatest.as_f64().unwrap());
}

/// A chevron cut on site: its points are marked along the line, and its boards are not counted by hand.
#[test]
fn a_chevron_is_marked_and_counted() {
    let text = stdout(&startrow(&["setout"], &sample("lark-study.ron")));
    for words in
        ["Mark the points, each the tip", "  D  from Study door, ", "  E  check: the last point lies "]
    {
        assert!(text.contains(words), "no {words:?} in\n{text}");
    }
    assert!(text.contains("Smallest pieces at the walls across the axis"), "{text}");
    let result = json(&sample("lark-study.ron"));
    let points = &result["setout"]["points"];
    let [first, last] = ["first", "last"].map(|mark| points[mark]["at"][0].as_f64().unwrap());
    // 90 mm boards and a mitre of 45°: points stand 90 · √2 apart.
    let step = 90.0 * 2.0_f64.sqrt();
    assert!((points["step"].as_f64().unwrap() - step).abs() < 1e-9);
    assert!((last - first - step * points["steps"].as_f64().unwrap()).abs() < 1e-6);
    assert_eq!(result["use_of_stock"]["hands"], Value::Null);
    assert!(json(&sample("hazel-court.ron"))["setout"]["points"].is_null());
}

#[test]
fn the_result_holds_together() {
    for name in SAMPLES {
        let result = json(&sample(name));
        assert_eq!(result["kind"], "startrow-result");
        assert_eq!(result["schema"], 1);
        let boards = result["boards"].as_array().unwrap();
        let laid: f64 = boards.iter().map(|b| area(&b["outline"])).sum();
        let regions: f64 =
            result["regions"].as_array().unwrap().iter().map(|r| r["area"].as_f64().unwrap()).sum();
        assert!((laid - regions).abs() < 1e-6 * regions, "{name}: {laid} laid of {regions}");
        // Every board lies on one stock board, where the stock says it does.
        let stock = result["stock"].as_array().unwrap();
        for (index, board) in boards.iter().enumerate() {
            let from = &stock[board["stock"].as_u64().unwrap() as usize];
            let found = from["pieces"].as_array().unwrap().iter().any(|p| p["board"] == index);
            assert!(found, "{name}: board {index} is not on its stock board");
        }
        assert_eq!(result["use_of_stock"]["opened"], stock.len());
        let curve = result["setout"]["curve"].as_array().unwrap();
        assert!(curve.len() >= 2);
        let narrowest = result["setout"]["chosen"]["narrowest"].as_f64().unwrap();
        let most = curve.iter().map(|p| p[1].as_f64().unwrap()).fold(0.0, f64::max);
        // Where rows lie the chosen line is told as they lie, and the curve as they were planned.
        assert!(narrowest <= most + 1e-6 || !result["laid"].is_null(), "{name}: {narrowest} {most}");
    }
}

#[test]
fn the_same_plan_gives_the_same_bytes() {
    let first = startrow(&["lay", "--json", "-"], &sample("hazel-court.ron")).stdout;
    assert_eq!(first, startrow(&["lay", "--json", "-"], &sample("hazel-court.ron")).stdout);
}

#[test]
fn check_exits_by_what_it_finds() {
    let output = startrow(&["check"], &sample("one-room.ron"));
    assert_eq!(output.status.code(), Some(0), "{}", stdout(&output));
    assert!(stdout(&output).contains("0 faults"));

    // A least rip of nearly a whole board cannot be kept at both walls.
    let folder = tempfile::tempdir().unwrap();
    let text = std::fs::read_to_string(sample("one-room.ron")).unwrap();
    let line = text.lines().find(|l| l.trim_start().starts_with("least_rip:")).unwrap();
    let strict = folder.path().join("strict.ron");
    std::fs::write(&strict, text.replace(line, "        least_rip: 180.0,")).unwrap();
    let output = startrow(&["check"], &strict);
    assert_eq!(output.status.code(), Some(1), "{}", stdout(&output));
    assert!(stdout(&output).contains("fault  sliver"));
}

#[test]
fn bad_input_exits_2_and_names_place_and_mend() {
    let folder = tempfile::tempdir().unwrap();
    let text = std::fs::read_to_string(sample("one-room.ron")).unwrap();
    let broken = folder.path().join("broken.ron");
    let kerf = text.lines().position(|l| l.trim_start().starts_with("kerf:")).unwrap();
    let without: Vec<&str> = text.lines().enumerate().filter(|(i, _)| *i != kerf).map(|(_, l)| l).collect();
    let cases = [
        (text.replacen("format: 1", "format: 99", 1), "99"),
        (text.replacen("kerf: ", "kerf: NaN, // ", 1), "kerf"),
        (without.join("\n"), "kerf"),
        ("not a plan".into(), "line"),
    ];
    for (text, word) in cases {
        std::fs::write(&broken, text).unwrap();
        let output = startrow(&["check"], &broken);
        assert_eq!(output.status.code(), Some(2), "{}", stderr(&output));
        let error = stderr(&output);
        assert!(error.contains("broken.ron:") && (error.contains(word) || word == "line"), "{error}");
    }
    let output = startrow(&["lay"], &folder.path().join("nowhere.ron"));
    assert_eq!(output.status.code(), Some(2));
    assert!(stderr(&output).contains("nowhere.ron"));
}

#[test]
fn fit_says_what_to_undercut_and_in_which_order_boards_are_laid() {
    let output = startrow(&["fit"], &sample("hazel-court.ron"));
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    let text = stdout(&output);
    // Six of the sample's doorways have their linings, each two jambs.
    assert_eq!(text.matches("above the slab").count(), 12, "{text}");
    for words in ["Slip tongue along the start line", "Order of laying", "shave", "Take care"] {
        assert!(text.contains(words), "no {words:?} in\n{text}");
    }
    let json = startrow(&["fit", "--json", "-"], &sample("hazel-court.ron")).stdout;
    let result: serde_json::Value = serde_json::from_slice(&json).unwrap();
    let fitting = &result["fitting"];
    let count = result["boards"].as_array().unwrap().len();
    let mut laid: Vec<u64> =
        fitting["boards"].as_array().unwrap().iter().map(|b| b["laid"].as_u64().unwrap()).collect();
    // The places in the order are the numbers from 1 to the count of boards.
    laid.sort_unstable();
    assert_eq!(laid, (1..=count as u64).collect::<Vec<_>>());
    let in_order: usize =
        fitting["order"].as_array().unwrap().iter().map(|s| s["boards"].as_array().unwrap().len()).sum();
    assert_eq!(in_order, count);
    assert_eq!(fitting["usual_way"], "slide");
    // The shaved boards stand in the saw list's file, too.
    let shaved = fitting["other_ways"].as_array().unwrap();
    let shaved = shaved.iter().filter(|way| !way["shaved"].as_array().unwrap().is_empty()).count();
    let csv = stdout(&startrow(&["order", "--csv", "-"], &sample("hazel-court.ron")));
    assert_eq!(csv.lines().filter(|line| line.starts_with("shave,")).count(), shaved);
    assert!(shaved > 0);
}

#[test]
fn order_prints_a_saw_list_and_writes_csv() {
    let output = startrow(&["order"], &sample("hazel-court.ron"));
    assert_eq!(output.status.code(), Some(0));
    let text = stdout(&output);
    for words in ["Stop — keep left end", "Fence — keep", "Packs", "boards opened", "Take care"] {
        assert!(text.contains(words), "no {words:?} in\n{text}");
    }
    let csv = stdout(&startrow(&["order", "--csv", "-"], &sample("hazel-court.ron")));
    let header = csv.lines().next().unwrap();
    assert!(header.starts_with("cut,keep,setting_mm,board,row"));
    let columns = header.split(',').count();
    let cuts = csv.lines().skip(1).filter(|l| l.starts_with("crosscut") || l.starts_with("rip")).count();
    assert!(cuts > 50);
    assert!(csv.lines().filter(|l| !l.contains('"')).all(|l| l.split(',').count() == columns));
}

#[test]
fn sheets_are_written_and_can_be_opened() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("made/for/it");
    let output =
        startrow(&["sheets", "--out", out.to_str().unwrap(), "--paper", "a3"], &sample("one-room.ron"));
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    assert!(std::fs::read(out.join("sheets.pdf")).unwrap().starts_with(b"%PDF-"));
    assert!(std::fs::read_to_string(out.join("floor.svg")).unwrap().contains("<svg"));
    let picture = image::open(out.join("floor.png")).unwrap();
    assert!(picture.width() > 500);
    assert!(std::fs::read_to_string(out.join("saw-list.csv")).unwrap().lines().count() > 3);
}

#[cfg(unix)]
#[test]
fn a_file_without_end_is_refused() {
    let output = startrow(&["check"], Path::new("/dev/zero"));
    assert_eq!(output.status.code(), Some(2));
    assert!(stderr(&output).contains("more than"), "{}", stderr(&output));
}

#[test]
fn movement_is_told_proposed_and_saved() {
    let folder = tempfile::tempdir().unwrap();
    let output = startrow(&["movement"], &sample("one-room.ron"));
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    assert!(stdout(&output).contains("does not say what the boards are made of"), "{}", stdout(&output));

    // The sample house is wider than a floor may be; with the joints proposed it is not.
    let text = std::fs::read_to_string(sample("hazel-court.ron")).unwrap();
    let kerf = text.lines().find(|l| l.trim_start().starts_with("kerf:")).unwrap();
    let wood =
        format!("{kerf}\n        wood: (species: WhiteOak, construction: Multilayer, held_back: 0.5),");
    let air = "    air: (laid: Air(degrees: 20.0, humidity: 50.0), driest: Moisture(7.0), dampest: Moisture(11.0)),";
    let text = text.replacen(kerf, &wood, 1).replacen("\n    rooms: [", &format!("\n{air}\n    rooms: ["), 1);
    let plan = folder.path().join("house.ron");
    std::fs::write(&plan, text).unwrap();
    let output = startrow(&["movement", "--propose"], &plan);
    let told = stdout(&output);
    for words in ["9.27 %", "as a meter reads", "50 %, an assumption", "free", "Proposed joints", "becomes"] {
        assert!(told.contains(words), "no {words:?} in\n{told}");
    }
    let mended = folder.path().join("mended.ron");
    let save = ["movement", "--propose", "--save", mended.to_str().unwrap(), "--json", "-"];
    let output = startrow(&save, &plan);
    let result: Value = serde_json::from_slice(&output.stdout).unwrap();
    let proposals = result["movement"]["proposals"].as_array().unwrap();
    assert!(!proposals.is_empty());
    assert!((result["movement"]["seasons"]["moisture"]["laid"].as_f64().unwrap() - 9.271_141).abs() < 1e-6);

    let output = startrow(&["movement", "--propose"], &mended);
    assert!(stdout(&output).contains("none: the floor is within its limits"), "{}", stdout(&output));
    let result = json(&mended);
    let joints = result["movement"]["joints"].as_array().unwrap();
    assert_eq!(joints.len(), proposals.len());
    assert!(joints.iter().all(|joint| joint["length"].as_f64().unwrap() > 0.0));
    let kinds: Vec<&str> =
        result["flags"].as_array().unwrap().iter().map(|f| f["kind"].as_str().unwrap()).collect();
    assert!(!kinds.contains(&"wide-floor") && !kinds.contains(&"joint-short"), "{kinds:?}");
    // Width times depth times length.
    let filler = &result["use_of_stock"]["filler"][0];
    let [width, depth, length, litres] =
        ["width", "depth", "length", "litres"].map(|f| filler[f].as_f64().unwrap());
    assert!((width * depth * length / 1000.0 - litres).abs() < 1e-9);
    let edges = result["regions"][0]["rings"][0].as_array().unwrap();
    assert!(edges.iter().all(|edge| edge["closes"].is_number() && edge["opens"].is_number()));
}

/// A house already fitted out: jambs, kitchen and skirting stand. Figures by hand from the plan.
#[test]
fn a_fitted_house_says_what_goes_under_what() {
    let plan = sample("quince-row.ron");
    let told = stdout(&startrow(&["fit"], &plan));
    // 14 of board on 2 of underlay, at both jambs of the seven doorways whose linings boards go under.
    assert_eq!(told.matches("[ ] 16 above the slab").count(), 14, "{told}");
    for words in [
        "slide under jamb of Bed 2 door, coming from its tongue edge",
        "slide under kick of Kitchen bench",
        "slide under kick of Island",
    ] {
        assert!(told.contains(words), "no {words:?} in\n{told}");
    }
    let told = stdout(&startrow(&["doorways"], &plan));
    // 19 over the slab less 16; a bench that stands 822 high under an opening of 845 less 16.
    for words in ["clears the floor by 3: take 2 off, least 5", "7 over it as it comes out over the boards"] {
        assert!(told.contains(words), "no {words:?} in\n{told}");
    }
    let checked = startrow(&["check"], &plan);
    assert_eq!(checked.status.code(), Some(1), "a low leaf is left to be settled");
    // The tab of 22-3 between the jambs of Bed 2 door goes in from the bare floor of Bed 2: both jambs stand over it, and nothing
    // before its tongue edge.
    assert!(stdout(&checked).contains("1 fault,"));
}

/// A new house, linings and skirting to come, glued in stages over a heated slab. Figures by hand from the plan.
#[test]
fn a_new_house_is_laid_in_stages() {
    let plan = sample("tern-point.ron");
    let checked = startrow(&["check"], &plan);
    assert_eq!(checked.status.code(), Some(0), "{}", stdout(&checked));
    let told = stdout(&startrow(&["setout"], &plan));
    // The pulls run over the joint past the stair.
    for words in ["\n  A  ", "\n  B  ", "\n  C  Great room, corner 2: check "] {
        assert!(told.contains(words), "no {words:?} in\n{told}");
    }
    let told = stdout(&startrow(&["movement"], &plan));
    for words in ["Stair joint: 14 wide", "Hall joint: 14 wide", "Continuous floor"] {
        assert!(told.contains(words), "no {words:?} in\n{told}");
    }
    assert!(!told.contains("too much"), "{told}");
    let told = stdout(&startrow(&["order"], &plan));
    // A bead of 7 every 64 is π · 49 ÷ 256 = 0.601 L/m²; coats of 0.35 and 0.25, the first of which is on: the slab's
    // list says so.
    for words in [
        "= 0.601 L/m²",
        "2 coats asked for − 1 on = 1 to come",
        "1 coat: 0.25 = 0.250 L/m²",
        "nosings",
        "architrave",
    ] {
        assert!(told.contains(words), "no {words:?} in\n{told}");
    }
    let told = stdout(&startrow(&["stages"], &plan));
    assert!(!told.contains("  ! "), "{told}");
    for words in ["1. Bedrooms, day 3", "2. Hall, day 5", "3. Great room, day 7"] {
        assert!(told.contains(words), "no {words:?} in\n{told}");
    }
}

/// The cottage by hand: 15 of board on 1.5 of bed is 16.5.
#[test]
fn doorways_are_told_with_their_edges() {
    let plan = sample("reed-cottage.ron");
    let output = startrow(&["doorways"], &plan);
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    let told = stdout(&output);
    for words in [
        "16.5 above the slab",
        // The track outside stands 22 up: 5.5 over the boards, under a trim.
        "5.5 up to outside: trim",
        // A leaf of 38 flush with the far face of a wall of 92: 92 − 19, and 19 from that face.
        "73 in from Kitchen's wall face, 19 from Bath's",
        "20 under the lining at each jamb",
        // Tile 14 up on a slab 4 lower lies at 10: 6.5, over the 6.4 of 303.2, so 2 · 6.5 of reducer.
        "6.5 down to Bath: reducer, 13 wide or more (over 6.4, 2010 ADA Standards, 303.2)",
        // The leaf, 22 over the bath's slab, is at 18.
        "clears the floor by 1.5: take 3.5 off, least 5",
        "chamfered by 5, through the wear layer of 4",
        // 11 of skirting over 10 of gap, as it is laid, and 1 of tolerance.
        "too little: gap 10, widest 11 (tolerance 1); skirting 11 just reaches the boards' edge and covers none of them",
        // The bedroom's and the porch's linings: 1 of tolerance and 3 to be left.
        "undercut that, boards under it by 4 or more",
        // 4 of 4 to 6 that it may have, and 1, under a frame of 12.
        "Vent (vent): gap 4, widest 5 (tolerance 1); flange 12 leaves 7",
        "boards 16.5 under a kick 18, 1.5 over them",
        // 864 less 845 and 16.5.
        "2.5 over it as it comes out over the boards, least 3",
        "A fire door is not cut",
    ] {
        assert!(told.contains(words), "no {words:?} in\n{told}");
    }
    assert!(!told.contains("jamb): gap 10, widest 11 (tolerance 1); nothing covers it"), "{told}");

    let output = startrow(&["doorways", "--json", "-"], &plan);
    let result: Value = serde_json::from_slice(&output.stdout).unwrap();
    let doorways = result["edges"]["doorways"].as_array().unwrap();
    assert_eq!(doorways.len(), 4);
    assert_eq!(doorways[1]["stops"][0]["from_near"][0].as_f64().map(f64::round), Some(73.0));
    assert_eq!(doorways[1]["step"]["too_high"], Value::Bool(true));
    let covers = result["edges"]["covers"].as_array().unwrap();
    for cover in covers {
        // No wood and no air in this plan.
        assert!(cover["shrinkage"].is_null() && cover["tolerance"] == 1.0, "{cover}");
    }
}
