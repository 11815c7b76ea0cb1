//! What the program is built from: no unsafe code of ours, licences that allow what ours does, one source.
#![allow(clippy::unwrap_used)]

use startrow_tests::parts::parts;
use std::path::Path;

/// Every crate of ours takes the workspace's lints, and those forbid unsafe code.
#[test]
fn unsafe_code_is_forbidden_in_every_crate_of_ours() {
    let root = Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/.."));
    let workspace = std::fs::read_to_string(root.join("Cargo.toml")).unwrap();
    assert!(workspace.contains("unsafe_code = \"forbid\""));
    let mut ours: Vec<_> =
        std::fs::read_dir(root.join("crates")).unwrap().map(|e| e.unwrap().path()).collect();
    ours.push(root.join("tests"));
    assert!(ours.len() > 14);
    for folder in ours {
        let manifest = std::fs::read_to_string(folder.join("Cargo.toml")).unwrap();
        assert!(manifest.contains("[lints]\nworkspace = true"), "{}", folder.display());
    }
}

/// The licences of everything in the program, against the list that `cargo deny` is given. An expression with OR needs
/// one that is allowed, with AND all of them.
#[test]
fn licences_are_those_that_are_allowed() {
    let deny = std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/../deny.toml")).unwrap();
    let from = deny.find("allow = [").unwrap();
    let list = &deny[from..from + deny[from..].find(']').unwrap()];
    let allowed: Vec<&str> = list.split('"').skip(1).step_by(2).collect();
    assert!(allowed.contains(&"MIT") && !allowed.iter().any(|name| name.contains("GPL")));
    let all = parts("startrow");
    assert!(all.len() > 100, "{}", all.len());
    for part in all {
        let expression = part.licence.replace(['(', ')'], "").replace('/', " OR ");
        let is_allowed = |term: &str| term.split(" OR ").any(|name| allowed.contains(&name.trim()));
        let holds = expression.split(" AND ").all(is_allowed);
        assert!(holds, "{} {}: `{}`", part.name, part.version, part.licence);
        let from_registry =
            part.source.as_deref() == Some("registry+https://github.com/rust-lang/crates.io-index");
        assert!(from_registry == part.checksum.is_some(), "{}: {:?}", part.name, part.source);
        assert!(from_registry || part.name.starts_with("startrow-"), "{}: {:?}", part.name, part.source);
    }
}
