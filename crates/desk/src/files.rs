//! Plan files on disk: read whole, written whole or not at all.

use plan::{FileError, Plan};
use std::io::Write;
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

/// The plan in a file.
pub(crate) fn read(path: &Path) -> Result<Plan, Unreadable> {
    let unreadable = |reasons| Unreadable { path: path.to_owned(), reasons };
    let text = std::fs::read_to_string(path).map_err(|error| {
        unreadable(vec![FileError {
            line: 0,
            place: "the file".into(),
            what: format!("cannot be read: {error}"),
            mend: "check that the path is right and that you may read it".into(),
        }])
    })?;
    plan::read(&text).map_err(unreadable)
}

/// The sample house, or an empty plan should it not read.
pub(crate) fn sample() -> Plan {
    plan::read(SAMPLE).unwrap_or_else(|_| Plan::new("Empty house"))
}

/// Writes a plan to a file.
pub(crate) fn save(path: &Path, plan: &Plan) -> Result<(), String> {
    write_whole(path, &plan::write(plan)).map_err(|error| {
        let what = match error.kind() {
            std::io::ErrorKind::NotFound => "there is no such folder".to_owned(),
            std::io::ErrorKind::PermissionDenied => "you may not write there".to_owned(),
            _ => error.to_string(),
        };
        format!("Not saved: {what}")
    })
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

/// Writes text beside the file and puts it in the file's place, so that a crash or a full disk
/// leaves the old file as it was.
pub(crate) fn write_whole(path: &Path, text: &str) -> std::io::Result<()> {
    write_bytes(path, text.as_bytes())
}

/// The same for bytes.
pub(crate) fn write_bytes(path: &Path, bytes: &[u8]) -> std::io::Result<()> {
    // A link stays a link: what it points to is replaced.
    let target = std::fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
    let name = target.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
    let beside = target.with_file_name(format!(".{name}.{}.part", std::process::id()));
    let written = (|| {
        let mut file = std::fs::File::create(&beside)?;
        file.write_all(bytes)?;
        file.sync_all()?;
        if let Ok(old) = std::fs::metadata(&target) {
            std::fs::set_permissions(&beside, old.permissions())?;
        }
        std::fs::rename(&beside, &target)
    })();
    if written.is_err() {
        let _ = std::fs::remove_file(&beside);
    }
    written
}
