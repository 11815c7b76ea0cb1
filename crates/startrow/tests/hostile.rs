//! Plans and files that nobody would hand over on purpose, by every command: each is refused with its place and a mend, and
//! nothing is written over.
#![allow(clippy::unwrap_used)]

use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

const ONE_ROOM: &str = include_str!("../../../sample-plans/one-room.ron");
/// Every command that reads a plan; of those that write each into a folder that is not there.
const COMMANDS: [&[&str]; 13] = [
    &["setout"],
    &["slab"],
    &["tape"],
    &["stages"],
    &["lay"],
    &["search", "--moves", "10"],
    &["laid", "--rows", "1"],
    &["check"],
    &["fit"],
    &["movement"],
    &["doorways"],
    &["order"],
    &["sheets", "--out", "never-made"],
];

fn startrow(folder: &Path, args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_startrow"))
        .args(args)
        .current_dir(folder)
        .stdin(Stdio::null())
        .output()
        .unwrap()
}

/// What is said of a file that is refused; it is told on a few lines of plain letters.
fn refused(folder: &Path, args: &[&str]) -> String {
    let output = startrow(folder, args);
    let said = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(2), "{args:?}: {said}");
    assert!(said.len() < 4000 && !said.contains("panicked"), "{args:?}: {said}");
    assert!(said.chars().all(|sign| sign == '\n' || !sign.is_control()), "{args:?}: {said:?}");
    assert!(said.contains("; "), "{args:?}: no mend in {said}");
    said
}

fn with(was: &str, now: &str) -> Vec<u8> {
    assert!(ONE_ROOM.contains(was), "{was}");
    ONE_ROOM.replacen(was, now, 1).into_bytes()
}

fn utf_16(text: &str, bytes: fn(u16) -> [u8; 2], mark: bool) -> Vec<u8> {
    let mark = if mark { Some(0xfeff) } else { None };
    mark.into_iter().chain(text.encode_utf16()).flat_map(bytes).collect()
}

/// Files, each with words of what must be said of it.
fn files() -> Vec<(&'static str, Vec<u8>, &'static str)> {
    let corner = "(corner: (4200.0, 0.0))";
    let many = |count: usize, one: fn(usize) -> String| (0..count).map(one).collect::<String>();
    let bow_tie = ONE_ROOM
        .replacen("(4200.0, 0.0)", "(4200.0, X)", 1)
        .replacen("(4200.0, 3600.0)", "(4200.0, 0.0)", 1)
        .replacen('X', "3600.0", 1);
    vec![
        ("huge", with(corner, "(corner: (4.2e300, 0.0))"), "wall 2: its corner's x is 4.2e300"),
        ("far", with("(0.0, 0.0)", "(1e15, 1e15)"), "wall 1: its corner's x is 1e15"),
        ("nan", with(corner, "(corner: (NaN, 0.0))"), "wall 2: its corner's x is NaN"),
        ("inf", with("least_rip: 50.0", "least_rip: -inf"), "rules, least rip: its least rip is -inf"),
        ("none", with("rows_at: 0.0", "rows_at: NaN"), "its direction of the rows is NaN, which is no angle"),
        ("turned", with("rows_at: 0.0", "rows_at: 1e300"), "is 1e300°; type degrees"),
        ("narrow", with("face_width: 190.0", "face_width: -190.0"), "type one between 20 mm and"),
        ("film", with("face_width: 190.0", "face_width: 0.0001"), "its face width is 0.0001 mm; type one"),
        ("door", with("width: 820.0", "width: -820.0"), "Door: its width is −820 mm; type one"),
        ("thick", with("thickness: 112.0", "thickness: 1e18"), "Door: its wall thickness is 1e18"),
        ("past", with("at: 600.0", "at: 4000.0"), "move it along the wall or make it narrower"),
        ("nought", with("(0.0, 0.0)", "(0.0, 0.0)), (corner: (0.0, 0.0)"), "it has no length; remove"),
        ("spike", with("(0.0, 0.0)", "(0.0, 0.0)), (corner: (9.0, 9.0)), (corner: (0.0, 0.0)"), "; move"),
        ("crossed", bow_tie.into_bytes(), "it crosses or touches wall"),
        ("no-such", with("wall: 1", "wall: 18446744073709551615"), "name a wall from 1 to 4"),
        ("wall-nought", with("wall: 1", "wall: 0"), "walls and corners are counted from 1"),
        ("more", with("seed: 1", "seed: 18446744073709551616"), "seed: the number is out of bounds"),
        ("less", with("seed: 1", "seed: -1"), "seed: the number is out of bounds"),
        ("long-search", with("seed: 1,", "seed: 1, effort: 99999999999,"), "effort: the search may take"),
        ("pack", with("per_pack: 4", "per_pack: 4294967295"), "a pack holds 4294967295 boards"),
        ("twice", with("seed: 1,", "seed: 1, seed: 2,"), "`seed` stands twice in the plan; take one"),
        ("newer", with("format: 1", "format: 4294967295"), "open it with a newer Startrow"),
        ("word", with("format: 1", "format: \"1\""), "write `format: 1,`"),
        (
            "hectares",
            ONE_ROOM.replace("4200.0", "900000.0").replace("3600.0", "900000.0").into_bytes(),
            "boards, more than",
        ),
        (
            "corners",
            with(
                "(0.0, 0.0)",
                &format!("(0.0, 0.0)){}, (corner: (1.0, 0.0)", {
                    many(60_000, |i| format!(", (corner: ({i}e-3, 0.0))"))
                }),
            ),
            "there are 60005 walls, more than 2000",
        ),
        ("nested", "(".repeat(200_000).into_bytes(), "begin it with `format: 1,`"),
        (
            "lists",
            format!("(format: 1, rooms: {}{})", "[".repeat(50_000), "]".repeat(50_000)).into_bytes(),
            "room 1: ",
        ),
        ("half", ONE_ROOM.as_bytes()[..700].to_vec(), "the file breaks off; close what is open"),
        ("tail", format!("{ONE_ROOM}\n(format: 1)").into_bytes(), "correct the signs here"),
        ("empty", Vec::new(), "open a .ron file written by Startrow"),
        ("other", br#"{"format": 1}"#.to_vec(), "open a .ron file written by Startrow"),
        ("wide", utf_16(ONE_ROOM, u16::to_le_bytes, true), "such as UTF-16, save it as UTF-8"),
        ("wide-big", utf_16(ONE_ROOM, u16::to_be_bytes, true), "such as UTF-16, save it as UTF-8"),
        ("wide-bare", utf_16(ONE_ROOM, u16::to_le_bytes, false), "UTF-8"),
        ("deleted", with("One room", "One \u{7f}room"), "a sign that does not print"),
        ("latin", b"(format: 1, name: \"Caf\xe9\")".to_vec(), "save it as UTF-8"),
        ("bytes", (0..4000_u32).map(|i| (i * 37 % 251) as u8).collect(), "is no text in UTF-8; "),
        ("named", with("One room", &"x".repeat(3_000_000)), "use at most 100 letters on one line"),
        ("room-named", with("Bedroom", &"é".repeat(300_000)), "use at most 100 letters on one line"),
        ("signs", with("Bedroom", "\u{1b}]0;x\u{7}\u{1b}[2J"), "a sign that does not print"),
    ]
}

#[test]
fn hostile_plans_are_refused_by_every_command() {
    let folder = tempfile::tempdir().unwrap();
    for (turn, (name, bytes, what)) in files().into_iter().enumerate() {
        let file = format!("{name}.ron");
        std::fs::write(folder.path().join(&file), &bytes).unwrap();
        // All commands read alike: each file is given to three of them, each command reads several files.
        for command in (0..3).map(|other| COMMANDS[(turn + 4 * other) % COMMANDS.len()]) {
            let said = refused(folder.path(), &[command, &[&file]].concat());
            assert!(said.contains(&file) && said.contains(what), "{command:?} {name}: {said}");
        }
        assert_eq!(std::fs::read(folder.path().join(&file)).unwrap(), bytes, "{name}");
    }
    assert!(!folder.path().join("never-made").exists());
}

/// Marks of byte order, line ends of other systems, deep comments and raw words are read.
#[test]
fn odd_plans_are_read() {
    let folder = tempfile::tempdir().unwrap();
    for (name, text) in [
        ("mark.ron", format!("\u{feff}{ONE_ROOM}")),
        ("lines.ron", ONE_ROOM.replace('\n', "\r\n")),
        ("comments.ron", format!("{}{}{ONE_ROOM}", "/*".repeat(20_000), "*/".repeat(20_000))),
        ("raw.ron", ONE_ROOM.replace("\"One room\"", "r#\"One \"room\"\"#")),
        ("up.ron", ONE_ROOM.replace("One room", "../../up")),
    ] {
        std::fs::write(folder.path().join(name), text).unwrap();
        let output = startrow(folder.path(), &["check", name]);
        assert_eq!(output.status.code(), Some(0), "{name}: {}", String::from_utf8_lossy(&output.stderr));
    }
}

/// What is no file, is nowhere, or has no end.
#[test]
fn what_is_no_file_is_told() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name);
    std::fs::create_dir(at("folder.ron")).unwrap();
    std::fs::write(at("file"), "x").unwrap();
    let mut all = vec![
        ("folder.ron", "it is a folder; name a plan file in it"),
        ("nowhere.ron", "look at its name and folder"),
        ("no/where.ron", "look at its name and folder"),
        ("file/plan.ron", "look at its name and folder"),
    ];
    #[cfg(unix)]
    {
        std::os::unix::fs::symlink("round.ron", at("about.ron")).unwrap();
        std::os::unix::fs::symlink("about.ron", at("round.ron")).unwrap();
        all.push(("round.ron", "cannot read round.ron"));
        all.push(("/dev/zero", "more than"));
        all.push(("/dev/null", "open a .ron file"));
    }
    for (name, what) in all {
        for command in COMMANDS {
            let said = refused(folder.path(), &[command, &[name]].concat());
            assert!(said.contains(name) && said.contains(what), "{command:?} {name}: {said}");
        }
    }
}

/// Results are never written over a plan, nor into what is no folder; a plan saved over keeps what was before.
#[test]
fn no_plan_is_written_over() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| -> PathBuf { folder.path().join(name) };
    let plan = ["a.ron", "b.ron", "plan.json", "order.csv"];
    for name in plan {
        std::fs::write(at(name), ONE_ROOM).unwrap();
    }
    std::fs::write(at("file"), "x").unwrap();
    std::fs::create_dir(at("folder")).unwrap();
    for (args, what) in [
        (&["lay", "a.ron", "--json", "a.ron"][..], "a.ron: that is a plan"),
        (&["lay", "a.ron", "--json", "./folder/../b.ron"], "that is a plan"),
        (&["lay", "plan.json", "--out", "."], "plan.json: that is a plan"),
        (&["order", "order.csv", "--out", "."], "order.csv: that is a plan"),
        (&["sheets", "a.ron", "--out", ".", "--write", "csv"], "order.csv: that is a plan"),
        (&["setout", "a.ron", "--json", "b.ron"], "that is a plan"),
        (&["lay", "a.ron", "--json", "folder"], "that is a folder; name a file in it"),
        (&["lay", "a.ron", "--json", "no/where.json"], "there is no such folder; make"),
        (&["lay", "a.ron", "a.ron", "--out", "both"], "a.ron and a.ron have one name"),
        (&["lay", "a.ron", "--out", "file"], "cannot make the folder file"),
        (&["lay", "a.ron", "--out", "file"], "a file has that name; name another folder"),
        (&["man", "--out", "file"], "a file has that name; name another folder"),
        (&["sheets", "a.ron", "--out", "file"], "cannot make the folder file"),
        (&["search", "a.ron", "--moves", "10", "--save", "folder"], "that is a folder; name a file in it"),
    ] {
        let output = startrow(folder.path(), args);
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        assert_eq!(output.status.code(), Some(2), "{args:?}: {said}");
        assert!(said.contains(what), "{args:?}: {said}");
        for name in plan {
            assert_eq!(std::fs::read_to_string(at(name)).unwrap(), ONE_ROOM, "{args:?}");
        }
        assert_eq!(std::fs::read_to_string(at("file")).unwrap(), "x", "{args:?}");
    }
    let output = startrow(folder.path(), &["search", "a.ron", "--moves", "10", "--save", "a.ron"]);
    assert_eq!(output.status.code(), Some(0), "{}", String::from_utf8_lossy(&output.stderr));
    assert_ne!(std::fs::read_to_string(at("a.ron")).unwrap(), ONE_ROOM);
    assert_eq!(std::fs::read_to_string(at("a.ron.before")).unwrap(), ONE_ROOM);
}
