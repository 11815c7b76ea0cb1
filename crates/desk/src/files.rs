//! Plan files on disk: read whole, written whole or not at all.

use keep::{Stamp, Trouble};
use plan::{FileError, Plan};
use std::path::{Path, PathBuf};

/// The house that comes with the program.
const SAMPLE: &str = include_str!("../../../sample-plans/hazel-court.ron");

/// Why a file could not be opened.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Unreadable {
    /// The file.
    pub(crate) path: PathBuf,
    /// Every reason, each with line, place and mend.
    pub(crate) reasons: Vec<FileError>,
}

/// The plan in a file, and the stamp of what it holds. One that was saved while something in it was still to be mended
/// is opened all the same: it is mended here.
pub(crate) fn read(path: &Path) -> Result<(Plan, Stamp), Unreadable> {
    let unreadable = |reasons| Unreadable { path: path.to_owned(), reasons };
    let of_file = |what: String, mend: &str| {
        unreadable(vec![FileError { line: 0, place: "the file".into(), what, mend: mend.into() }])
    };
    let bytes = keep::read_limited(path, plan::GREATEST_FILE)
        .map_err(|trouble| of_file(format!("cannot be read: {}", trouble.what), &trouble.mend))?;
    let stamp = Stamp::of(&bytes);
    let text = String::from_utf8(bytes)
        .map_err(|_| of_file("it is not text".into(), "open a .ron file written by Startrow"))?;
    plan::read_drawn(&text).map(|plan| (plan, stamp)).map_err(unreadable)
}

/// The sample house, or an empty plan should it not read.
pub(crate) fn sample() -> Plan {
    plan::read(SAMPLE).unwrap_or_else(|_| Plan::new("Empty house"))
}

/// Writes a plan to a file whole or not at all, the version before it kept beside it. With `known`, what the file held
/// when it was last read or saved here, one that something else has changed is not written over.
pub(crate) fn save(path: &Path, plan: &Plan, known: Option<Stamp>) -> Result<Stamp, Trouble> {
    keep::save(path, plan::write(plan).as_bytes(), known).map(|saved| saved.stamp)
}

/// A plan's file ends in `.ron`, or the system's dialog does not list it the next time. One that is there already keeps
/// the name it has.
pub(crate) fn with_ending(path: &Path) -> PathBuf {
    let ends = path.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("ron"));
    match path.file_name() {
        Some(name) if !ends && !path.exists() => {
            let mut name = name.to_owned();
            name.push(".ron");
            path.with_file_name(name)
        }
        _ => path.to_owned(),
    }
}

/// Whether two paths lead to one file, however they are typed.
pub(crate) fn is_same(a: &Path, b: &Path) -> bool {
    a == b || matches!((a.canonicalize(), b.canonicalize()), (Ok(a), Ok(b)) if a == b)
}

/// A name for files made from a plan: its file's stem, or its name in plain letters.
pub(crate) fn stem(path: Option<&Path>, name: &str) -> String {
    if let Some(stem) = path.and_then(Path::file_stem) {
        return stem.to_string_lossy().into_owned();
    }
    let plain: String =
        name.to_lowercase().chars().map(|c| if c.is_alphanumeric() { c } else { '-' }).collect();
    let words: Vec<_> = plain.split('-').filter(|word| !word.is_empty()).collect();
    if words.is_empty() { "house".to_owned() } else { words.join("-") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_plans_file_ends_as_plans_do() {
        let folder = tempfile::tempdir().unwrap();
        let at = |name: &str| folder.path().join(name);
        std::fs::write(at("old"), b"x").unwrap();
        for (typed, named) in [
            ("house", "house.ron"),
            ("house.ron", "house.ron"),
            ("HOUSE.RON", "HOUSE.RON"),
            ("Küche größer, 2. Stock", "Küche größer, 2. Stock.ron"),
            ("old", "old"),
        ] {
            assert_eq!(with_ending(&at(typed)), at(named));
        }
        std::fs::create_dir(at("below")).unwrap();
        assert!(is_same(&at("old"), &at("below").join("..").join("old")));
        assert!(!is_same(&at("old"), &at("new")));
    }
}
