//! Plan files that nobody would write: damaged texts and odd numbers. Whatever is read without a fault is computed
//! through all stages; nothing panics, and each takes bounded time and memory.
//!
//! `STARTROW_CASES` asks for more cases than the few of the usual run, `STARTROW_FROM` for others.
#![allow(clippy::unwrap_used, clippy::print_stdout)]

use startrow_tests::figures::unsound;
use startrow_tests::{Dice, asked};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::time::{Duration, Instant};

/// Cases of the usual run.
const CASES: u64 = 600;
/// No case takes longer, unoptimised: the worst are floors of tens of thousands of boards.
const LONGEST: Duration = Duration::from_secs(60);
/// The whole run takes no more memory, kB.
const MOST_MEMORY: u64 = 4_000_000;

const SAMPLES: [&str; 5] = [
    include_str!("../sample-plans/one-room.ron"),
    include_str!("../sample-plans/reed-cottage.ron"),
    include_str!("../sample-plans/lark-study.ron"),
    include_str!("../sample-plans/plover-parlour.ron"),
    include_str!("../sample-plans/hazel-court.ron"),
];

/// Numbers that break reckonings: nothing, hair's breadths, limits and what lies past them.
const ODD: [&str; 28] = [
    "0.0",
    "-0.0",
    "1e-300",
    "1e-9",
    "0.01",
    "0.05",
    "0.1",
    "0.5",
    "1.0",
    "2.0",
    "3.0",
    "10.0",
    "45.0",
    "89.999999",
    "90.0",
    "-90.0",
    "100.0",
    "300.0",
    "500.0",
    "999.9999999",
    "1000.0",
    "5000.0",
    "20000.0",
    "50000.0",
    "999999.0",
    "1e6",
    "1e300",
    "NaN",
];

/// Where a text has numbers with decimals.
fn numbers(text: &str) -> Vec<(usize, usize)> {
    let bytes = text.as_bytes();
    let is_part = |byte: u8| byte.is_ascii_digit() || byte == b'.' || byte == b'-';
    let mut found = Vec::new();
    let mut at = 0;
    while at < bytes.len() {
        let from = at;
        while at < bytes.len() && is_part(bytes[at]) {
            at += 1;
        }
        if at > from && text[from..at].contains('.') && text[from..at].parse::<f64>().is_ok() {
            found.push((from, at));
        }
        at = at.max(from + 1);
    }
    found
}

/// A sample with a few of its numbers moved a little, made odd or exchanged, now and then with words put out of place.
fn hostile(seed: u64) -> String {
    let dice = &mut Dice::new(seed);
    // Small plans more often: they leave time for more of them.
    let which = [0, 0, 0, 1, 1, 2, 3, 4][dice.below(8)];
    let mut text = SAMPLES[which].to_owned();
    for _ in 0..1 + dice.below(4) {
        let all = numbers(&text);
        let (from, to) = all[dice.below(all.len())];
        let old: f64 = text[from..to].parse().unwrap();
        let new = match dice.below(6) {
            0 => ODD[dice.below(ODD.len())].to_owned(),
            1 => format!("{:?}", old + dice.between(-1.0, 1.0)),
            2 => format!("{:?}", old + dice.between(-400.0, 400.0)),
            3 => format!("{:?}", old * dice.between(0.1, 3.0)),
            4 => format!("{:?}", -old),
            _ => {
                let (a, b) = all[dice.below(all.len())];
                text[a..b].to_owned()
            }
        };
        text.replace_range(from..to, &new);
    }
    match dice.below(12) {
        0 => text = text.replacen("Irregular", "Third", 1),
        1 => text = text.replacen("UnderLeaf", "Trim(17.0)", 1),
        2 => text = text.replacen("Trim", "RunThrough //", 1),
        3 => text = text.replacen("end_match: true", "end_match: false", 1),
        4 => text = text.replacen("rows_at: 0.0", &format!("rows_at: {:?}", dice.between(-90.0, 90.0)), 1),
        5 => text = text.replacen("start_line: Best", "start_line: Safest", 1),
        6 => {
            text = text.replacen(
                "    seed:",
                "    pattern: Herringbone(block: 600.0, abreast: 2),\n    seed:",
                1,
            )
        }
        7 => text = text.replacen("    seed:", "    border: (boards: 2, corners: Butted),\n    seed:", 1),
        8 => text = text.replacen("    seed:", "    effort: 60,\n    seed:", 1),
        _ => {}
    }
    text
}

/// The most memory this program has taken, kB; `None` where the system does not say.
fn memory() -> Option<u64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"))?;
    line.trim().trim_end_matches("kB").trim().parse().ok()
}

#[test]
fn whatever_is_read_is_computed_and_nothing_panics() {
    let (from, cases) = (asked("STARTROW_FROM", 0), asked("STARTROW_CASES", CASES));
    let (mut read, mut slowest, mut bad) = (0, (Duration::ZERO, 0), Vec::new());
    for seed in from..from + cases {
        let text = hostile(seed);
        let begun = Instant::now();
        let done = catch_unwind(AssertUnwindSafe(|| {
            let Ok(plan) = plan::read(&text) else { return false };
            let Ok(house) = pipeline::run(&plan) else { return false };
            // Everything that is computed on demand, too.
            assert_eq!(unsound(&house.document()), None, "a figure is none");
            assert_eq!(plan::read(&plan::write(&plan)).unwrap(), plan);
            true
        }));
        let took = begun.elapsed();
        slowest = slowest.max((took, seed));
        match done {
            Ok(is_read) => read += u64::from(is_read),
            Err(_) => bad.push(format!("case {seed} panics")),
        }
        if took > LONGEST {
            bad.push(format!("case {seed} takes {took:?}"));
        }
    }
    let memory = memory();
    println!("{read} of {cases} computed, slowest {slowest:?}, most memory {memory:?} kB");
    assert!(bad.is_empty(), "{}", bad.join("\n"));
    assert!(read * 10 > cases, "most are refused: the test looks at little");
    assert!(memory.is_none_or(|most| most < MOST_MEMORY), "{memory:?} kB");
}

/// Texts with brackets, letters and stretches missing or doubled are read or refused with a line, in no time.
#[test]
fn damaged_texts_are_answered() {
    let (from, cases) = (asked("STARTROW_FROM", 0), 4 * asked("STARTROW_CASES", CASES));
    for seed in from..from + cases {
        let dice = &mut Dice::new(seed ^ 0xdead);
        let mut bytes = SAMPLES[dice.below(SAMPLES.len())].as_bytes().to_vec();
        for _ in 0..1 + dice.below(3) {
            let at = dice.below(bytes.len());
            let to = (at + dice.below(60)).min(bytes.len());
            match dice.below(4) {
                0 => drop(bytes.drain(at..to)),
                1 => bytes[at] = (dice.below(256)) as u8,
                2 => {
                    let part = bytes[at..to].to_vec();
                    let place = dice.below(bytes.len());
                    bytes.splice(place..place, part);
                }
                _ => {
                    let signs = b"()[]{},:\"'/*#0-9eNi.\n\\";
                    let put: Vec<u8> = (0..dice.below(6)).map(|_| signs[dice.below(signs.len())]).collect();
                    bytes.splice(at..at, put);
                }
            }
        }
        let text = String::from_utf8_lossy(&bytes);
        if let Err(errors) = plan::read(&text) {
            assert!(!errors.is_empty(), "case {seed}");
            for error in errors {
                assert!(
                    error.line >= 1 && !error.what.is_empty() && !error.mend.is_empty(),
                    "case {seed}: {error:?}"
                );
            }
        }
    }
}

/// Files made to be slow or large: each is refused with a reason, within seconds.
#[test]
fn files_made_to_be_slow_are_refused_by_name() {
    let one_room = SAMPLES[0];
    let walls = |count: usize| {
        let corner = |i: usize| {
            let turn = i as f64 / count as f64 * std::f64::consts::TAU;
            format!("(corner: ({:?}, {:?})),", 400_000.0 * libm::cos(turn), 400_000.0 * libm::sin(turn))
        };
        (0..count).map(corner).collect::<String>()
    };
    let with_walls = |count: usize| {
        let from = one_room.find("(corner").unwrap();
        let to = one_room.rfind("(corner").unwrap();
        let end = to + one_room[to..].find('\n').unwrap();
        format!("{}{}{}", &one_room[..from], walls(count), &one_room[end..])
            .replace("doorways: [", "doorways: [/*")
            .replace("    fixtures", "*/],    fixtures")
            .replace("],\n*/", "*/")
    };
    let many = |count: usize| {
        let fixture = |i: usize| {
            let x = (i % 2000) as f64;
            format!("(name: \"T{i}\", kind: Vent, outline: [({x:?}, 1.0), ({x:?}, 2.0), (0.5, 1.5)]),")
        };
        one_room
            .replace("fixtures: []", &format!("fixtures: [{}]", (0..count).map(fixture).collect::<String>()))
    };
    let cases = [
        ("too long", "x".repeat(plan::GREATEST_FILE + 1), "more than"),
        ("deep", format!("(format: 1, name: {}", "(".repeat(200_000)), ""),
        ("deep lists", one_room.replace("fixtures: []", &format!("fixtures: {}", "[".repeat(100_000))), ""),
        ("many fixtures", many(2001), "there are 2001 fixtures, more than 2000"),
        ("many walls", with_walls(2001), ""),
        (
            "many lengths",
            one_room.replace("(length: 2200.0, per_pack: 4),", &"(length: 2200.0, per_pack: 4),".repeat(101)),
            "lengths, more than 100",
        ),
        ("a great floor", one_room.replace("4200.0", "900000.0").replace("3600.0", "900000.0"), "boards"),
        ("a long name", one_room.replace("One room", &"x".repeat(1_000_000)), "letters"),
        ("many packs", one_room.replace("per_pack: 4", "per_pack: 4000000000"), ""),
    ];
    for (name, text, reason) in cases {
        let begun = Instant::now();
        let errors = plan::read(&text).expect_err(name);
        let said: Vec<String> = errors.iter().map(ToString::to_string).collect();
        assert!(said.iter().any(|line| line.contains(reason)), "{name}: {said:?}");
        assert!(errors.iter().all(|error| error.line >= 1 && !error.mend.is_empty()), "{name}");
        assert!(begun.elapsed() < Duration::from_secs(10), "{name}: {:?}", begun.elapsed());
    }
}
