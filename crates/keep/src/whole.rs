//! Files written whole or not at all, and the version before them kept.

use crate::{Kind, Stamp, Trouble};
use std::ffi::OsString;
use std::io::{Read, Write};
use std::path::{Path, PathBuf};
use std::time::Duration;

/// What is being written stands beside the file under a name that begins and ends so.
const PART: (&str, &str) = (".startrow-", ".part");
/// What a killed program left half written is cleared away once it is this old. Smaller, and a slow writer's file goes.
const STALE: Duration = Duration::from_secs(3600);
/// The version before stands beside the file under its name and this.
const BEFORE: &str = ".before";

/// A file saved.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Saved {
    /// What it holds now.
    pub stamp: Stamp,
    /// Whether what it held before is kept beside it: not where there was nothing, or no room for it.
    pub kept_before: bool,
}

/// Where the version before the last save is kept.
pub fn before(path: &Path) -> PathBuf {
    let mut name = path.file_name().map_or_else(OsString::new, OsString::from);
    name.push(BEFORE);
    path.with_file_name(name)
}

/// Saves a file whole or not at all, and keeps what it held before beside it. With `known`, what it held when it was
/// last read or saved here, a file that something else has changed or removed since is not written over.
///
/// # Errors
/// In words; then the file on disk is as it was. So is one that is marked to be read only.
pub fn save(path: &Path, bytes: &[u8], known: Option<Stamp>) -> Result<Saved, Trouble> {
    let target = followed(path);
    let new = Stamp::of(bytes);
    if is_device(&target) {
        write_through(&target, bytes)?;
        return Ok(Saved { stamp: new, kept_before: false });
    }
    guard(&target)?;
    let on_disk = Stamp::on_disk(&target)?;
    if let (Some(known), Some(now)) = (known, on_disk)
        && now != known
        && now != new
    {
        return Err(Trouble::new(
            path,
            Kind::Changed,
            "something else has changed it since it was opened here",
            "save under another name, or save over it; what it holds now is then kept beside it",
        ));
    }
    let part = written(&target, bytes)?;
    // What is the same already needs no version before it.
    let kept_before = on_disk.is_some_and(|now| now != new) && keep_before(&target);
    put(part, &target)?;
    Ok(Saved { stamp: new, kept_before })
}

/// Writes a file whole or not at all, without a version before it.
///
/// # Errors
/// In words; then the file on disk is as it was.
pub fn write_whole(path: &Path, bytes: &[u8]) -> Result<(), Trouble> {
    let target = followed(path);
    if is_device(&target) {
        return write_through(&target, bytes);
    }
    guard(&target)?;
    put(written(&target, bytes)?, &target)
}

/// Whether it is a pipe, a terminal or another thing that is written to and must never be replaced by a file.
fn is_device(target: &Path) -> bool {
    std::fs::metadata(target).is_ok_and(|data| !data.is_file() && !data.is_dir())
}

/// A file that somebody has marked not to be written to stays as it is: put in its place, a new one would pass over the mark.
fn guard(target: &Path) -> Result<(), Trouble> {
    let is_marked =
        std::fs::metadata(target).is_ok_and(|data| data.is_file() && data.permissions().readonly());
    match is_marked {
        true => Err(Trouble::new(
            target,
            Kind::Forbidden,
            "it is marked to be read only",
            "save under another name, or take the mark off it first",
        )),
        false => Ok(()),
    }
}

fn write_through(target: &Path, bytes: &[u8]) -> Result<(), Trouble> {
    let written =
        std::fs::File::options().write(true).open(target).and_then(|mut file| file.write_all(bytes));
    written.map_err(|error| Trouble::of(target, &error))
}

/// The bytes of a file of no more than `most` bytes. One that grows while it is read, or has no end, is not read on.
///
/// # Errors
/// When it cannot be read or is longer.
pub fn read_limited(path: &Path, most: usize) -> Result<Vec<u8>, Trouble> {
    let mut bytes = Vec::new();
    let read = std::fs::File::open(path).and_then(|file| file.take(most as u64 + 1).read_to_end(&mut bytes));
    match read {
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => {
            Err(Trouble::new(path, Kind::Missing, "there is no such file", "check its path"))
        }
        Err(error) if error.kind() == std::io::ErrorKind::PermissionDenied => {
            Err(Trouble::new(path, Kind::Forbidden, "you may not read it", "ask whose file it is"))
        }
        Err(error) => Err(Trouble::of(path, &error)),
        Ok(_) if bytes.len() > most => Err(Trouble::new(
            path,
            Kind::TooLong,
            format!("it has more than {most} bytes"),
            "this is no plan of a house; open the plan file itself",
        )),
        Ok(_) => Ok(bytes),
    }
}

/// A link stays a link: what it points to is written.
fn followed(path: &Path) -> PathBuf {
    std::fs::canonicalize(path).unwrap_or_else(|_| path.to_owned())
}

fn folder(target: &Path) -> &Path {
    match target.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    }
}

/// The bytes on disk beside the file, under a name of their own.
fn written(target: &Path, bytes: &[u8]) -> Result<tempfile::NamedTempFile, Trouble> {
    if target.file_name().is_none() || target.is_dir() {
        return Err(Trouble::new(target, Kind::Name, "that is a folder", "name a file in it"));
    }
    clear_stale(folder(target));
    let write = || -> std::io::Result<tempfile::NamedTempFile> {
        let mut part = tempfile::Builder::new().prefix(PART.0).suffix(PART.1).tempfile_in(folder(target))?;
        part.write_all(bytes)?;
        permit(part.as_file(), target)?;
        part.as_file().sync_all()?;
        Ok(part)
    };
    write().map_err(|error| Trouble::of(target, &error))
}

/// Puts what is written in the file's place, and has the folder remember it.
fn put(part: tempfile::NamedTempFile, target: &Path) -> Result<(), Trouble> {
    part.persist(target).map_err(|error| Trouble::of(target, &error.error))?;
    // The name itself is on disk once its folder is; where a folder cannot be opened for that, nothing more can be done.
    if let Ok(folder) = std::fs::File::open(folder(target)) {
        let _ = folder.sync_all();
    }
    Ok(())
}

/// Keeps what a file holds beside it; whether that could be done. The file itself is never missing for a moment.
fn keep_before(target: &Path) -> bool {
    let place = before(target);
    let Ok(part) = tempfile::Builder::new().prefix(PART.0).suffix(PART.1).tempfile_in(folder(target)) else {
        return false;
    };
    // A second name for the same bytes costs nothing; where the disk knows no such thing, they are copied.
    let linked = part.path().with_extension("link");
    if std::fs::hard_link(target, &linked).is_ok() {
        let is_kept = std::fs::rename(&linked, &place).is_ok();
        if !is_kept {
            let _ = std::fs::remove_file(&linked);
        }
        return is_kept;
    }
    let copied = std::fs::copy(target, part.path()).and_then(|_| part.as_file().sync_all());
    copied.is_ok() && part.persist(&place).is_ok()
}

/// A file keeps who may read it; a new one is for whoever may read the folder.
#[cfg(unix)]
fn permit(part: &std::fs::File, target: &Path) -> std::io::Result<()> {
    use std::os::unix::fs::PermissionsExt;
    let mode = std::fs::metadata(target).map_or(0o644, |old| old.permissions().mode() & 0o7777);
    // Some disks know no such thing, and the file is written all the same.
    let _ = part.set_permissions(std::fs::Permissions::from_mode(mode));
    Ok(())
}

#[cfg(not(unix))]
fn permit(_: &std::fs::File, _: &Path) -> std::io::Result<()> {
    Ok(())
}

/// Clears away what a killed program left half written long ago.
fn clear_stale(folder: &Path) {
    let Ok(entries) = std::fs::read_dir(folder) else { return };
    for entry in entries.flatten() {
        let name = entry.file_name();
        let name = name.to_string_lossy();
        let is_part = name.starts_with(PART.0) && (name.ends_with(PART.1) || name.ends_with(".link"));
        let age = || entry.metadata().ok()?.modified().ok()?.elapsed().ok();
        if is_part && age().is_some_and(|age| age > STALE) {
            let _ = std::fs::remove_file(entry.path());
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_save_keeps_what_was_there_before() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("house.ron");
        let first = save(&path, b"one", None).unwrap();
        assert!(!first.kept_before && !before(&path).exists());
        let second = save(&path, b"two", Some(first.stamp)).unwrap();
        assert!(second.kept_before);
        assert_eq!(
            (std::fs::read(&path).unwrap(), std::fs::read(before(&path)).unwrap()),
            (b"two".into(), b"one".into())
        );
        // Saving the same again does not lose the version before it.
        save(&path, b"two", Some(second.stamp)).unwrap();
        assert_eq!(std::fs::read(before(&path)).unwrap(), b"one");
        let left: Vec<_> =
            std::fs::read_dir(folder.path()).unwrap().map(|e| e.unwrap().file_name()).collect();
        assert_eq!(left.len(), 2, "{left:?}");
    }

    #[test]
    fn a_file_changed_by_another_is_not_written_over() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("house.ron");
        let known = save(&path, b"mine", None).unwrap().stamp;
        std::fs::write(&path, b"theirs").unwrap();
        let trouble = save(&path, b"mine again", Some(known)).unwrap_err();
        assert_eq!(trouble.kind, Kind::Changed);
        assert_eq!(std::fs::read(&path).unwrap(), b"theirs");
        // Said to be known, it is written over, and theirs is kept.
        save(&path, b"mine again", None).unwrap();
        assert_eq!(std::fs::read(before(&path)).unwrap(), b"theirs");
        // One that was removed meanwhile is written anew: nothing is lost by that.
        std::fs::remove_file(&path).unwrap();
        assert!(save(&path, b"third", Some(known)).is_ok());
    }

    #[cfg(unix)]
    #[test]
    fn links_stay_links_and_permissions_stay() {
        use std::os::unix::fs::PermissionsExt;
        let folder = tempfile::tempdir().unwrap();
        let (path, link) = (folder.path().join("house.ron"), folder.path().join("link.ron"));
        std::fs::write(&path, b"one").unwrap();
        std::fs::set_permissions(&path, std::fs::Permissions::from_mode(0o600)).unwrap();
        std::os::unix::fs::symlink(&path, &link).unwrap();
        save(&link, b"two", None).unwrap();
        assert_eq!(std::fs::read(&path).unwrap(), b"two");
        assert!(std::fs::symlink_metadata(&link).unwrap().is_symlink());
        assert_eq!(std::fs::metadata(&path).unwrap().permissions().mode() & 0o777, 0o600);
    }

    /// Whoever marks a file so wants it kept: a copy given to the owner, the plan as it was signed.
    #[test]
    fn a_file_marked_to_be_read_only_is_not_replaced() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("signed.ron");
        std::fs::write(&path, b"signed").unwrap();
        let mut marks = std::fs::metadata(&path).unwrap().permissions();
        marks.set_readonly(true);
        std::fs::set_permissions(&path, marks.clone()).unwrap();
        for refused in [save(&path, b"other", None).map(drop), write_whole(&path, b"other")] {
            assert_eq!(refused.unwrap_err().kind, Kind::Forbidden);
        }
        assert_eq!(std::fs::read(&path).unwrap(), b"signed");
        let left = std::fs::read_dir(folder.path()).unwrap().count();
        assert_eq!(left, 1, "and nothing is left beside it");
        #[expect(clippy::permissions_set_readonly_false, reason = "the folder is removed")]
        marks.set_readonly(false);
        std::fs::set_permissions(&path, marks).unwrap();
        assert!(save(&path, b"other", None).is_ok());
    }

    #[cfg(unix)]
    #[test]
    fn odd_names_are_names() {
        use std::os::unix::ffi::OsStringExt;
        let folder = tempfile::tempdir().unwrap();
        let longest = "n".repeat(251) + ".ron";
        let names =
            ["-rf.ron", "a b\t\"'`$(x).ron", "line\nbreak.ron", "Straße 木.ron", "..ron", longest.as_str()];
        let odd = names.iter().map(OsString::from).chain([OsString::from_vec(b"\xff\xfe.ron".to_vec())]);
        for name in odd {
            let path = folder.path().join(&name);
            save(&path, b"one", None).unwrap();
            // The longest name leaves no room for the version before: the save stands all the same.
            let saved = save(&path, b"two", None).unwrap();
            assert_eq!(saved.kept_before, name.len() < 240, "{name:?}");
            assert_eq!(std::fs::read(&path).unwrap(), b"two", "{name:?}");
        }
        let trouble = save(&folder.path().join("n".repeat(300)), b"one", None).unwrap_err();
        assert_eq!(trouble.kind, Kind::Name, "{trouble}");
    }

    /// A device is written to; were it replaced by a file, the whole system would miss it.
    #[cfg(target_os = "linux")]
    #[test]
    fn a_device_stays_a_device() {
        assert!(save(Path::new("/dev/null"), b"x", None).is_ok());
        assert!(is_device(Path::new("/dev/null")));
        assert_eq!(write_whole(Path::new("/dev/full"), b"x").unwrap_err().kind, Kind::Full);
        assert!(is_device(Path::new("/dev/full")));
    }

    #[test]
    fn what_cannot_be_written_is_said() {
        let folder = tempfile::tempdir().unwrap();
        let kind = |path: &Path| save(path, b"x", None).unwrap_err().kind;
        assert_eq!(kind(&folder.path().join("none/house.ron")), Kind::Missing);
        assert_eq!(kind(folder.path()), Kind::Name);
        let file = folder.path().join("file");
        std::fs::write(&file, b"x").unwrap();
        assert_eq!(kind(&file.join("house.ron")), Kind::Missing);
        let trouble = save(&folder.path().join("none/house.ron"), b"x", None).unwrap_err().to_string();
        assert!(
            trouble.ends_with("there is no such folder; make the folder, or choose another"),
            "{trouble}"
        );
        assert_eq!(read_limited(&file, 0).unwrap_err().kind, Kind::TooLong);
        assert_eq!(read_limited(&file, 1).unwrap(), b"x");
        assert_eq!(read_limited(&folder.path().join("no"), 9).unwrap_err().kind, Kind::Missing);
    }

    #[test]
    fn what_a_killed_program_left_is_cleared_away_later() {
        let folder = tempfile::tempdir().unwrap();
        let (old, new) = (folder.path().join(".startrow-a.part"), folder.path().join(".startrow-b.part"));
        for path in [&old, &new] {
            std::fs::write(path, b"half").unwrap();
        }
        let then = std::time::SystemTime::now() - Duration::from_secs(7200);
        std::fs::File::options().write(true).open(&old).unwrap().set_modified(then).unwrap();
        save(&folder.path().join("house.ron"), b"one", None).unwrap();
        assert!(!old.exists() && new.exists());
    }
}
