//! Several plans in one call, end to end.
#![allow(clippy::unwrap_used)]

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

fn startrow(args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_startrow")).args(args).output().unwrap()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

/// A folder with the named plans: one room each, a little longer from plan to plan.
fn block(names: &[&str]) -> (tempfile::TempDir, Vec<PathBuf>) {
    let folder = tempfile::tempdir().unwrap();
    let paths = names
        .iter()
        .enumerate()
        .map(|(i, name)| {
            let mut plan = plan::Plan::new(*name);
            let x = 4000.0 + 100.0 * i as f64;
            let corners = [(0.0, 0.0), (x, 0.0), (x, 3000.0), (0.0, 3000.0)].map(plan::Point::from);
            plan.rooms.push(plan::Room::boarded("Room", corners));
            let path = folder.path().join(format!("{name}.ron"));
            fs::create_dir_all(path.parent().unwrap()).unwrap();
            fs::write(&path, plan::write(&plan)).unwrap();
            path
        })
        .collect();
    (folder, paths)
}

fn call(stage: &str, plans: &[PathBuf], rest: &[&str]) -> Output {
    let mut args = vec![stage];
    args.extend(plans.iter().map(|plan| plan.to_str().unwrap()));
    args.extend(rest);
    startrow(&args)
}

fn files(folder: &Path) -> Vec<(String, Vec<u8>)> {
    let mut found: Vec<(String, Vec<u8>)> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap())
        .map(|entry| (entry.file_name().into_string().unwrap(), fs::read(entry.path()).unwrap()))
        .collect();
    found.sort();
    found
}

#[test]
fn each_plan_gives_what_it_gives_alone_at_any_number_of_threads() {
    let (folder, plans) = block(&["c", "a", "b", "d", "e"]);
    let out = |name: &str| folder.path().join(name);
    for threads in ["1", "2", "7"] {
        let to = out(threads);
        let output = call("lay", &plans, &["--out", to.to_str().unwrap(), "--threads", threads]);
        assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
        // No bar where standard error is no terminal.
        assert_eq!(text(&output.stderr), "");
        let said = text(&output.stdout);
        let order: Vec<&str> = said.lines().map(|line| line.split(".json").next().unwrap()).collect();
        let named = plans.iter().map(|plan| to.join(plan.file_stem().unwrap()).display().to_string());
        assert_eq!(order, named.collect::<Vec<_>>());
    }
    assert_eq!(files(&out("1")).len(), 5);
    assert_eq!(files(&out("1")), files(&out("2")));
    assert_eq!(files(&out("1")), files(&out("7")));
    for plan in &plans {
        let alone = call("lay", std::slice::from_ref(plan), &["--json", "-"]);
        let name = plan.file_stem().unwrap().to_str().unwrap();
        assert_eq!(fs::read(out("2").join(format!("{name}.json"))).unwrap(), alone.stdout);
    }
}

#[test]
fn a_bad_plan_is_told_and_does_not_stop_the_rest() {
    let (folder, mut plans) = block(&["a", "b", "c"]);
    fs::write(&plans[1], "no plan").unwrap();
    plans.push(folder.path().join("missing.ron"));
    let to = folder.path().join("out");
    let output = call("lay", &plans, &["--out", to.to_str().unwrap()]);
    assert_eq!(output.status.code(), Some(2));
    let told = text(&output.stderr);
    let about: Vec<&str> = told.lines().filter(|line| line.starts_with("startrow: ")).collect();
    assert_eq!(about.len(), 2, "{told}");
    assert!(about[0].contains("b.ron") && about[1].contains("missing.ron"), "{told}");
    assert_eq!(text(&output.stdout).lines().count(), 2);
    let names: Vec<String> = files(&to).into_iter().map(|(name, _)| name).collect();
    assert_eq!(names, ["a.json", "c.json"], "nothing half written is left");
}

#[test]
fn plans_of_one_name_are_not_written_over_one_another() {
    let (folder, mut plans) = block(&["one/flat", "two/flat"]);
    let to = folder.path().join("out");
    for stage in ["lay", "order", "sheets"] {
        let output = call(stage, &plans, &["--out", to.to_str().unwrap()]);
        assert_eq!(output.status.code(), Some(2));
        assert!(text(&output.stderr).contains("have one name"), "{}", text(&output.stderr));
        assert!(!to.exists());
    }
    // The same plan twice is no better; nothing is written by a check, so there it may be.
    plans[1] = plans[0].clone();
    assert_eq!(call("lay", &plans, &["--out", to.to_str().unwrap()]).status.code(), Some(2));
    assert_ne!(call("check", &plans, &[]).status.code(), Some(2));
}

#[test]
fn checks_and_orders_are_told_in_the_order_of_the_call() {
    let (folder, mut plans) = block(&["b", "a"]);
    let named = |output: &Output| -> Vec<usize> {
        let said = text(&output.stdout);
        plans.iter().map(|plan| said.find(plan.to_str().unwrap()).unwrap()).collect()
    };
    for stage in ["check", "order", "lay"] {
        assert!(named(&call(stage, &plans, &[])).is_sorted(), "{stage}");
    }
    let sheets = folder.path().join("sheets");
    assert_eq!(call("sheets", &plans, &["--out", sheets.to_str().unwrap()]).status.code(), Some(0));
    assert!(sheets.join("a/sheets.pdf").exists() && sheets.join("b/sheets.pdf").exists());
    assert!(text(&call("lay", &plans, &["--json", "-"]).stderr).contains("--json takes one plan"));
    // One faulty floor makes the check fail, and a bad plan counts for more.
    let mut narrow = plan::read(&fs::read_to_string(&plans[0]).unwrap()).unwrap();
    narrow.rules.greatest_width = 1000.0;
    fs::write(&plans[0], plan::write(&narrow)).unwrap();
    assert_eq!(call("check", &plans, &[]).status.code(), Some(1));
    plans.push(folder.path().join("missing.ron"));
    assert_eq!(call("check", &plans, &[]).status.code(), Some(2));
}
