//! A real program that saves without pause is killed at random moments; what is on disk afterwards is whole, none of
//! what it said was saved is lost, and its journal is no more than a write behind.
//!
//! `STARTROW_KILLS` asks for more kills than the few hundred of the usual run.
#![allow(clippy::unwrap_used, clippy::print_stdout)]

use startrow_keep::{Entry, Journal, Stamp, Trouble, before, orphans, save};
use std::io::{BufRead, BufReader, Write};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

/// Kills of the usual run.
const KILLS: u64 = 300;
/// The folder in which the program saves; without it the test that is the program does nothing.
const FOLDER: &str = "STARTROW_SAVER_FOLDER";

/// The `n`th version: of a length of its own, so that a mixture of two would show.
fn version(n: u64) -> Vec<u8> {
    let lines = 200 + (n * 7919) % 3000;
    let mut text = format!("version {n}\n");
    for line in 0..lines {
        text.push_str(&format!("{n}:{line}\n"));
    }
    text.push_str(&format!("end {n}\n"));
    text.into_bytes()
}

/// Which version a file holds; `Err` where it holds none whole.
fn held(bytes: &[u8]) -> Result<u64, String> {
    let text = std::str::from_utf8(bytes).map_err(|error| error.to_string())?;
    let first =
        text.lines().next().and_then(|line| line.strip_prefix("version ")).and_then(|n| n.parse().ok());
    let n: u64 = first.ok_or_else(|| format!("begins {:?}", text.get(..20)))?;
    if version(n) == bytes { Ok(n) } else { Err(format!("not version {n} whole: {} bytes", bytes.len())) }
}

/// The program that is killed: it saves version after version, notes each in its journal first, and says each number
/// once it is saved.
#[test]
fn saver() {
    let Some(folder) = std::env::var_os(FOLDER).map(PathBuf::from) else { return };
    let from: u64 = std::env::var("STARTROW_SAVER_FROM").unwrap().parse().unwrap();
    let file = folder.join("house.ron");
    let journal = Journal::open(&folder.join("journal")).unwrap();
    let mut known: Option<Stamp> = Stamp::on_disk(&file).unwrap();
    for n in from.. {
        let bytes = version(n);
        let text = String::from_utf8(bytes.clone()).unwrap();
        journal.write(&Entry::now(Some(file.clone()), known, text)).unwrap();
        let mut out = std::io::stderr().lock();
        let _ = writeln!(out, "journal {n}");
        known = Some(save(&file, &bytes, known).unwrap().stamp);
        let _ = writeln!(out, "saved {n}");
    }
}

fn start(folder: &Path, from: u64) -> std::process::Child {
    Command::new(std::env::current_exe().unwrap())
        .args(["--exact", "killed::saver", "--nocapture"])
        .env(FOLDER, folder)
        .env("STARTROW_SAVER_FROM", from.to_string())
        .stdout(Stdio::null())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap()
}

/// The next of numbers that look like chance and are the same each time.
fn next(state: &mut u64) -> u64 {
    *state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
    *state >> 33
}

#[test]
fn nothing_is_lost_whenever_the_program_is_killed() {
    let kills = std::env::var("STARTROW_KILLS").ok().and_then(|n| n.parse().ok()).unwrap_or(KILLS);
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("house.ron");
    let mut dice = 1961;
    let (mut at, mut in_the_midst, mut saves) = (0, 0, 0);
    let began = Instant::now();
    for kill in 0..kills {
        let mut child = start(folder.path(), at + 1);
        let mut said = BufReader::new(child.stderr.take().unwrap());
        let mut line = String::new();
        // Some work is done before the blow falls, after a time that falls anywhere in a save.
        said.read_line(&mut line).unwrap();
        std::thread::sleep(Duration::from_micros(next(&mut dice) % 20_000));
        child.kill().unwrap();
        child.wait().unwrap();
        let rest: Vec<String> = std::iter::once(line).chain(said.lines().map_while(Result::ok)).collect();
        let last = |word: &str| {
            let of = |line: &String| line.trim().strip_prefix(word)?.trim().parse::<u64>().ok();
            rest.iter().filter_map(of).max()
        };
        let (noted, told) = (last("journal"), last("saved").unwrap_or(at));
        saves += told.saturating_sub(at);
        let on_disk = std::fs::read(&file)
            .ok()
            .map(|bytes| held(&bytes).unwrap_or_else(|why| panic!("kill {kill}: {why}")));
        // What it said was saved is there, or the one it was about to say.
        let now = on_disk.unwrap_or(0);
        assert!(now == told || now == told + 1, "kill {kill}: {told} was said to be saved, {now} is on disk");
        in_the_midst += u64::from(now != told);
        if let Ok(bytes) = std::fs::read(before(&file)) {
            let before = held(&bytes).unwrap_or_else(|why| panic!("kill {kill}, version before: {why}"));
            assert!(before <= now, "kill {kill}: {before} before {now}");
        }
        let found = orphans(&folder.path().join("journal"));
        assert_eq!(found.len(), 1, "kill {kill}");
        for orphan in found {
            let kept = held(orphan.entry.text.as_bytes()).unwrap();
            let noted = noted.unwrap_or(kept);
            assert!(
                kept == noted || kept == noted + 1,
                "kill {kill}: {noted} was noted, the journal has {kept}"
            );
            assert_eq!(orphan.entry.file.as_deref(), Some(file.as_path()));
            orphan.throw_away();
        }
        at = now;
    }
    println!(
        "{kills} kills, {saves} saves, {in_the_midst} killed between a save and its word, {:?}",
        began.elapsed()
    );
}

/// The program under a limit on how large its files may grow, which is what a full disk is to it: version by version
/// until one does not fit.
#[test]
fn limited_saver() {
    let Some(folder) = std::env::var_os("STARTROW_LIMITED_FOLDER").map(PathBuf::from) else { return };
    let file = folder.join("house.ron");
    let small = vec![b's'; 1000];
    save(&file, &small, None).unwrap();
    let trouble: Trouble = save(&file, &vec![b'l'; 400_000], None).unwrap_err();
    let _ = writeln!(std::io::stderr(), "trouble {:?} {trouble}", trouble.kind);
    assert_eq!(std::fs::read(&file).unwrap(), small);
    let left = std::fs::read_dir(&folder).unwrap().count();
    assert_eq!(left, 1, "nothing half written is left");
}

fn run_limited(folder: &Path, before: &str) -> (bool, String) {
    let program = std::env::current_exe().unwrap();
    let script = format!("{before} && exec \"$0\" --exact killed::limited_saver --nocapture");
    let output = Command::new("sh")
        .args(["-c", &script])
        .arg(program)
        .env("STARTROW_LIMITED_FOLDER", folder)
        .output()
        .unwrap();
    (output.status.success(), String::from_utf8_lossy(&output.stderr).into_owned())
}

#[cfg(unix)]
#[test]
fn a_file_that_may_not_grow_leaves_the_old_one() {
    let folder = tempfile::tempdir().unwrap();
    // The system's signal for it is put off, so that the write itself fails as on a full disk. Blocks of 512 bytes.
    let (is_well, said) = run_limited(folder.path(), "trap '' XFSZ && ulimit -f 200");
    assert!(is_well && said.contains("trouble Full"), "{said}");
}

/// A disk of 256 kB in memory that fills up. Only whoever may mount one can try it; elsewhere it is said.
#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_leaves_the_old_file() {
    let folder = tempfile::tempdir().unwrap();
    let place = folder.path().join("disk");
    std::fs::create_dir(&place).unwrap();
    let mounted =
        Command::new("mount").args(["-t", "tmpfs", "-o", "size=256k", "tmpfs"]).arg(&place).output();
    if !mounted.as_ref().is_ok_and(|output| output.status.success()) {
        println!("not tried: no disk may be mounted here ({mounted:?})");
        return;
    }
    let (is_well, said) = run_limited(&place, "true");
    let unmounted = Command::new("umount").arg(&place).status().unwrap();
    assert!(unmounted.success());
    assert!(is_well && said.contains("the disk is full; make room on it, or choose another disk"), "{said}");
}

/// Where nobody may write, not even who may do all else.
#[cfg(target_os = "linux")]
#[test]
fn a_folder_that_may_not_be_written_is_said() {
    let trouble = save(Path::new("/sys/kernel/house.ron"), b"x", None).unwrap_err();
    assert_eq!(trouble.kind, startrow_keep::Kind::Forbidden, "{trouble}");
}
