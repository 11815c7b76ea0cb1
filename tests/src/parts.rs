//! What a package is built from, by cargo's own word: `cargo metadata` and the lock file.

use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use std::process::Command;

/// A crate of the build.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Part {
    /// Its name.
    pub name: String,
    /// Its version.
    pub version: String,
    /// Its licence, as it states it; empty where it states none.
    pub licence: String,
    /// Where it comes from; `None` for crates of ours.
    pub source: Option<String>,
    /// SHA-256 of what is downloaded, from the lock file.
    pub checksum: Option<String>,
}

/// The crates that a package of ours is built from on this system, itself left out, by name and version. What only
/// tests use is left out, too.
///
/// # Panics
/// When cargo does not answer: there is nothing to go on with.
pub fn parts(package: &str) -> Vec<Part> {
    let root = concat!(env!("CARGO_MANIFEST_DIR"), "/..");
    let host = host();
    let output = Command::new(std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into()))
        .args(["metadata", "--format-version", "1", "--locked", "--offline", "--filter-platform", &host])
        .current_dir(root)
        .output()
        .expect("cargo runs");
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let all: Value = serde_json::from_slice(&output.stdout).expect("cargo's list");
    let text = |value: &Value| value.as_str().map(str::to_owned);
    let mut under: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for node in all["resolve"]["nodes"].as_array().into_iter().flatten() {
        let normal = |dependency: &&Value| {
            dependency["dep_kinds"]
                .as_array()
                .is_some_and(|kinds| kinds.iter().any(|kind| kind["kind"] != "dev"))
        };
        let found = node["deps"].as_array().into_iter().flatten().filter(normal);
        under.insert(
            text(&node["id"]).unwrap_or_default(),
            found.filter_map(|found| text(&found["pkg"])).collect(),
        );
    }
    let packages = all["packages"].as_array().cloned().unwrap_or_default();
    let id_of = |package: &Value| text(&package["id"]).unwrap_or_default();
    let first = packages.iter().find(|found| found["name"] == package).map(id_of).expect("a package of ours");
    let (mut reached, mut open) = (BTreeSet::from([first.clone()]), vec![first.clone()]);
    while let Some(id) = open.pop() {
        for next in under.get(&id).into_iter().flatten() {
            if reached.insert(next.clone()) {
                open.push(next.clone());
            }
        }
    }
    let checksums = checksums(&std::fs::read_to_string(format!("{root}/Cargo.lock")).expect("a lock file"));
    let part = |found: &Value| {
        let (name, version) = (text(&found["name"])?, text(&found["version"])?);
        let checksum = checksums.get(&(name.clone(), version.clone())).cloned();
        let licence = text(&found["license"]).unwrap_or_default();
        Some(Part { name, version, licence, source: text(&found["source"]), checksum })
    };
    let mut parts: Vec<Part> = packages
        .iter()
        .filter(|found| reached.contains(&id_of(found)) && id_of(found) != first)
        .filter_map(part)
        .collect();
    parts.sort();
    parts
}

/// The system cargo builds for.
fn host() -> String {
    let output = Command::new("rustc").arg("-vV").output().expect("rustc runs");
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    text.lines().find_map(|line| line.strip_prefix("host: ")).unwrap_or("x86_64-unknown-linux-gnu").to_owned()
}

fn checksums(lock: &str) -> BTreeMap<(String, String), String> {
    let mut found = BTreeMap::new();
    for package in lock.split("[[package]]") {
        let field = |name: &str| {
            let start = format!("{name} = \"");
            package.lines().find_map(|line| Some(line.strip_prefix(&start)?.trim_end_matches('"').to_owned()))
        };
        if let (Some(name), Some(version), Some(checksum)) =
            (field("name"), field("version"), field("checksum"))
        {
            found.insert((name, version), checksum);
        }
    }
    found
}
