//! The direction of dependencies: no stage knows the window, paper or the program.
#![allow(clippy::unwrap_used)]

use std::process::Command;

fn packages_under(name: &str) -> Vec<String> {
    let output = Command::new(env!("CARGO"))
        .args(["tree", "--offline", "--edges", "normal", "--prefix", "none", "--package", name])
        .output()
        .unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let text = String::from_utf8(output.stdout).unwrap();
    text.lines().filter_map(|line| line.split_whitespace().next()).map(str::to_owned).collect()
}

#[test]
fn what_brings_outlines_in_knows_the_plan_alone() {
    let under = packages_under("startrow-import");
    let ours: Vec<&String> = under.iter().filter(|name| name.starts_with("startrow")).collect();
    assert_eq!(ours, ["startrow-import", "startrow-plan"]);
    for stage in
        ["plan", "site", "setout", "lay", "fit", "findings", "order", "pipeline", "drawing", "sheets"]
    {
        assert!(
            !packages_under(&format!("startrow-{stage}")).contains(&"startrow-import".to_owned()),
            "{stage}"
        );
    }
}

#[test]
fn what_solves_taped_rooms_knows_the_plan_alone() {
    let under = packages_under("startrow-taping");
    let ours: Vec<&String> = under.iter().filter(|name| name.starts_with("startrow")).collect();
    assert_eq!(ours, ["startrow-taping", "startrow-plan"]);
    for stage in ["plan", "site", "setout", "lay", "fit", "findings", "order"] {
        assert!(
            !packages_under(&format!("startrow-{stage}")).contains(&"startrow-taping".to_owned()),
            "{stage}"
        );
    }
}

#[test]
fn no_stage_knows_what_comes_after_it() {
    let stages =
        ["plan", "site", "setout", "lay", "fit", "findings", "order", "pipeline", "drawing", "sheets"];
    for (i, stage) in stages.iter().enumerate() {
        let under = packages_under(&format!("startrow-{stage}"));
        assert!(under.len() > 1);
        for later in &stages[i + 1..] {
            assert!(!under.contains(&format!("startrow-{later}")), "{stage} knows {later}");
        }
        for window in ["egui", "eframe", "winit", "rfd", "startrow-desk", "startrow"] {
            assert!(!under.contains(&window.to_owned()), "{stage} knows {window}");
        }
    }
}

/// The checker shares no code with what it checks, and what keeps files knows nothing of plans.
#[test]
fn the_checker_and_the_keeper_stand_alone() {
    for name in ["startrow-recheck", "startrow-keep"] {
        let under = packages_under(name);
        let ours: Vec<&String> = under.iter().filter(|package| package.starts_with("startrow")).collect();
        assert_eq!(ours, [name]);
    }
}
