//! A folder that goes away while a real program saves into it, as a network drive does, and comes back: every save that
//! could not be made is said, what is on disk stays whole, and the program saves on once the folder is back.
#![allow(clippy::unwrap_used, clippy::print_stdout)]

use startrow_keep::{Kind, Stamp, before, save};
use std::io::{BufRead, BufReader, Write};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::Duration;

/// How often the folder goes away.
const TIMES: u64 = 60;
/// The folder in which the program saves; without it the test that is the program does nothing.
const FOLDER: &str = "STARTROW_DRIVE_FOLDER";

/// The `n`th version, of a length of its own.
fn version(n: u64) -> Vec<u8> {
    format!("version {n}\n{}end {n}\n", format!("{n} ").repeat(500 + (n * 7919 % 3000) as usize)).into_bytes()
}

fn held(path: &Path) -> u64 {
    let bytes = std::fs::read(path).unwrap();
    let text = String::from_utf8(bytes.clone()).unwrap();
    let n = text.lines().next().and_then(|line| line.strip_prefix("version ")).unwrap().parse().unwrap();
    assert_eq!(version(n), bytes, "version {n} is not whole");
    n
}

/// The program: it saves version after version; one that could not be saved is tried until it is.
#[test]
fn steady_saver() {
    let Some(folder) = std::env::var_os(FOLDER).map(PathBuf::from) else { return };
    let file = folder.join("drive").join("house.ron");
    let mut known: Option<Stamp> = None;
    let mut out = std::io::stderr();
    for n in 1_u64.. {
        let bytes = version(n);
        let mut is_told = false;
        loop {
            match save(&file, &bytes, known) {
                Ok(saved) => {
                    known = Some(saved.stamp);
                    // Nobody listens any more: the test is over.
                    if writeln!(out, "saved {n}").is_err() {
                        return;
                    }
                    break;
                }
                Err(trouble) if !is_told => {
                    is_told = true;
                    let _ = writeln!(out, "trouble {:?} {trouble}", trouble.kind);
                }
                Err(_) => std::thread::sleep(Duration::from_micros(300)),
            }
        }
    }
}

#[test]
fn a_folder_that_goes_away_takes_nothing_with_it() {
    let folder = tempfile::tempdir().unwrap();
    let (drive, away) = (folder.path().join("drive"), folder.path().join("away"));
    std::fs::create_dir(&drive).unwrap();
    let mut child = Command::new(std::env::current_exe().unwrap())
        .args(["--exact", "gone::steady_saver", "--nocapture"])
        .env(FOLDER, folder.path())
        .stdout(Stdio::null())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut lines = BufReader::new(child.stderr.take().unwrap()).lines().map_while(Result::ok);
    let mut told = 0;
    let mut state = 1961_u64;
    let number = |line: &str| line.strip_prefix("saved ").and_then(|n| n.parse::<u64>().ok());
    for time in 0..TIMES {
        // Some are saved first; then the folder goes, anywhere in a save.
        told = lines.by_ref().find_map(|line| number(&line)).unwrap();
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        std::thread::sleep(Duration::from_micros((state >> 33) % 5000));
        std::fs::rename(&drive, &away).unwrap();
        for line in lines.by_ref() {
            match number(&line) {
                Some(n) => told = n,
                None if line.starts_with("trouble") => {
                    assert!(line.starts_with("trouble Missing "), "{line}");
                    assert!(
                        line.ends_with("there is no such folder; make the folder, or choose another"),
                        "{line}"
                    );
                    break;
                }
                None => {}
            }
        }
        assert_eq!(held(&away.join("house.ron")), told, "time {time}: what was said to be saved is there");
        assert!(!drive.exists(), "no folder is made in its place");
        if before(&away.join("house.ron")).exists() {
            assert!(held(&before(&away.join("house.ron"))) <= told, "time {time}");
        }
        std::fs::rename(&away, &drive).unwrap();
    }
    let last = lines.by_ref().find_map(|line| number(&line)).unwrap();
    assert_eq!(last, told + 1, "it went on with the version that could not be saved");
    child.kill().unwrap();
    child.wait().unwrap();
}

#[cfg(target_os = "linux")]
fn mount(arguments: &[&str], place: &Path) -> bool {
    Command::new("mount").args(arguments).arg(place).output().is_ok_and(|output| output.status.success())
}

/// A disk taken out and put back with an older file on it, then turned to read-only. Only whoever may mount can try it.
#[cfg(target_os = "linux")]
#[test]
fn a_disk_that_comes_back_older_is_not_written_over() {
    let folder = tempfile::tempdir().unwrap();
    let (disk, drive) = (folder.path().join("disk"), folder.path().join("drive"));
    std::fs::create_dir(&disk).unwrap();
    std::fs::create_dir(&drive).unwrap();
    let bind = ["--bind", disk.to_str().unwrap()];
    if !mount(&bind, &drive) {
        println!("not tried: nothing may be mounted here");
        return;
    }
    let unmount = || assert!(Command::new("umount").arg(&drive).status().unwrap().success());
    let file = drive.join("house.ron");
    let first = save(&file, b"one", None).unwrap();
    unmount();
    // The bare folder under the disk takes the file, which is then where it was said to be.
    let second = save(&file, b"two", Some(first.stamp)).unwrap();
    assert_eq!(std::fs::read(&file).unwrap(), b"two");
    assert!(mount(&bind, &drive));
    let trouble = save(&file, b"three", Some(second.stamp)).unwrap_err();
    let on_disk = std::fs::read(&file).unwrap();
    let is_read_only = mount(&["-o", "remount,bind,ro"], &drive);
    let refused = save(&file, b"four", Some(first.stamp));
    unmount();
    assert_eq!((trouble.kind, on_disk.as_slice()), (Kind::Changed, &b"one"[..]));
    if is_read_only {
        let said = refused.unwrap_err().to_string();
        assert!(said.ends_with("that disk can only be read; choose another folder"), "{said}");
    }
}
