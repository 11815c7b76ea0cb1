//! The journal: what is on the table and not saved, written every so often, found again after a crash.
//!
//! Each running program has a journal of its own in one folder, and holds a lock beside it for as long as it runs. A
//! journal whose lock nobody holds is an orphan: its program ended without clearing it away.

use crate::{Stamp, Trouble, write_whole};
use std::fs::File;
use std::path::{Path, PathBuf};
use std::time::{SystemTime, UNIX_EPOCH};

/// First line of a journal.
const HEAD: &str = "startrow-journal 1";
/// A journal with more bytes is not read.
const MOST: usize = 20 * 1024 * 1024;

/// What a journal holds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entry {
    /// The file the work belongs to, if it has one.
    pub file: Option<PathBuf>,
    /// What that file held when it was opened or last saved.
    pub known: Option<Stamp>,
    /// When it was written, seconds since 1970.
    pub at: u64,
    /// The work itself.
    pub text: String,
}

impl Entry {
    /// An entry of now.
    pub fn now(file: Option<PathBuf>, known: Option<Stamp>, text: String) -> Self {
        let at = SystemTime::now().duration_since(UNIX_EPOCH).map_or(0, |since| since.as_secs());
        Self { file, known, at, text }
    }

    fn bytes(&self) -> Vec<u8> {
        let file = self.file.as_deref().map_or_else(String::new, hex_of);
        let known =
            self.known.map_or_else(String::new, |known| format!("{:x} {:x}", known.length, known.mark));
        let mark = Stamp::of(self.text.as_bytes()).mark;
        format!("{HEAD}\nfile {file}\nknown {known}\nat {}\nmark {mark:x}\n\n{}", self.at, self.text)
            .into_bytes()
    }

    fn read(bytes: Vec<u8>) -> Option<Self> {
        let text = String::from_utf8(bytes).ok()?;
        let (head, text) = text.split_once("\n\n")?;
        let mut lines = head.lines();
        (lines.next()? == HEAD).then_some(())?;
        let mut field = |name: &str| lines.next()?.strip_prefix(name)?.strip_prefix(' ').map(str::to_owned);
        let (file, known) = (field("file")?, field("known")?);
        let (at, mark) = (field("at")?.parse().ok()?, u64::from_str_radix(&field("mark")?, 16).ok()?);
        let known = known.split_once(' ').and_then(|(length, mark)| {
            let number = |digits| u64::from_str_radix(digits, 16).ok();
            Some(Stamp { length: number(length)?, mark: number(mark)? })
        });
        // What is damaged is not taken for work.
        (Stamp::of(text.as_bytes()).mark == mark).then(|| Self {
            file: path_of(&file),
            known,
            at,
            text: text.to_owned(),
        })
    }
}

/// A path's own bytes, so that any name is kept.
fn hex_of(path: &Path) -> String {
    path.as_os_str().as_encoded_bytes().iter().map(|byte| format!("{byte:02x}")).collect()
}

fn path_of(hex: &str) -> Option<PathBuf> {
    let digit = |at: usize| u8::from_str_radix(hex.get(at..at + 2)?, 16).ok();
    let bytes: Vec<u8> = (0..hex.len()).step_by(2).map(digit).collect::<Option<_>>()?;
    if bytes.is_empty() {
        return None;
    }
    #[cfg(unix)]
    {
        use std::os::unix::ffi::OsStringExt;
        Some(PathBuf::from(std::ffi::OsString::from_vec(bytes)))
    }
    #[cfg(not(unix))]
    {
        String::from_utf8(bytes).ok().map(PathBuf::from)
    }
}

/// A running program's journal.
#[derive(Debug)]
pub struct Journal {
    path: PathBuf,
    /// Held for as long as the program runs; the system lets go of it when the program ends, however it ends.
    lock: File,
    lock_path: PathBuf,
}

impl Journal {
    /// A journal of this program in a folder, made if missing.
    ///
    /// # Errors
    /// When nothing can be written there.
    pub fn open(folder: &Path) -> Result<Self, Trouble> {
        let open = || -> std::io::Result<Self> {
            std::fs::create_dir_all(folder)?;
            let since = SystemTime::now().duration_since(UNIX_EPOCH).map_or(0, |since| since.as_nanos());
            for again in 0.. {
                let name = format!("{}-{since:x}-{again}", std::process::id());
                let lock_path = folder.join(format!("{name}.lock"));
                let lock = match File::options().write(true).create_new(true).open(&lock_path) {
                    Err(error) if error.kind() == std::io::ErrorKind::AlreadyExists && again < 100 => {
                        continue;
                    }
                    opened => opened?,
                };
                lock.lock()?;
                return Ok(Self { path: folder.join(format!("{name}.journal")), lock, lock_path });
            }
            Err(std::io::ErrorKind::AlreadyExists.into())
        };
        open().map_err(|error| Trouble::of(folder, &error))
    }

    /// Writes what is on the table, in place of what was written before.
    ///
    /// # Errors
    /// In words; then what was written before stands.
    pub fn write(&self, entry: &Entry) -> Result<(), Trouble> {
        write_whole(&self.path, &entry.bytes())
    }

    /// Clears it: all is saved, or thrown away on purpose.
    pub fn clear(&self) {
        let _ = std::fs::remove_file(&self.path);
    }

    /// Ends it with the program: nothing of it stays.
    pub fn close(self) {
        self.clear();
        let _ = std::fs::remove_file(&self.lock_path);
        drop(self.lock);
    }
}

/// A journal whose program has ended. While it is held here no other program finds it.
#[derive(Debug)]
pub struct Orphan {
    /// What it holds.
    pub entry: Entry,
    path: PathBuf,
    lock_path: PathBuf,
    _lock: File,
}

impl Orphan {
    /// Throws it away: its work is taken up, or not wanted.
    pub fn throw_away(self) {
        let _ = std::fs::remove_file(&self.path);
        let _ = std::fs::remove_file(&self.lock_path);
    }
}

/// Journals in a folder whose programs have ended, the newest first. Those that hold nothing that can be read are left
/// where they are.
pub fn orphans(folder: &Path) -> Vec<Orphan> {
    let Ok(entries) = std::fs::read_dir(folder) else { return Vec::new() };
    let mut found: Vec<Orphan> = Vec::new();
    for entry in entries.flatten() {
        let path = entry.path();
        match path.extension().and_then(|ending| ending.to_str()) {
            Some("journal") => found.extend(orphan(path)),
            Some("lock") => clear_lock(&path),
            _ => {}
        }
    }
    found.sort_by(|a, b| b.entry.at.cmp(&a.entry.at).then_with(|| a.path.cmp(&b.path)));
    found
}

fn orphan(path: PathBuf) -> Option<Orphan> {
    let lock_path = path.with_extension("lock");
    let lock = File::options().write(true).create(true).truncate(false).open(&lock_path).ok()?;
    lock.try_lock().ok()?;
    let entry = Entry::read(crate::read_limited(&path, MOST).ok()?)?;
    Some(Orphan { entry, path, lock_path, _lock: lock })
}

/// A lock that nobody holds and that has no journal is left of a program that had nothing to lose.
fn clear_lock(path: &Path) {
    if path.with_extension("journal").exists() {
        return;
    }
    let Ok(lock) = File::options().write(true).open(path) else { return };
    if lock.try_lock().is_ok() {
        let _ = std::fs::remove_file(path);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn entry(text: &str) -> Entry {
        Entry {
            file: Some("/house/plan ü.ron".into()),
            known: Some(Stamp::of(b"x")),
            at: 7,
            text: text.into(),
        }
    }

    #[test]
    fn what_is_written_is_read() {
        for text in ["", "(\n\n  plan: 1,\n)\n", "ü\n\n\n"] {
            let one = entry(text);
            assert_eq!(Entry::read(one.bytes()), Some(one));
        }
        let none = Entry { file: None, known: None, ..entry("a") };
        assert_eq!(Entry::read(none.bytes()), Some(none));
        let mut damaged = entry("some work").bytes();
        *damaged.last_mut().unwrap() = b'!';
        assert_eq!(Entry::read(damaged), None);
    }

    #[test]
    fn a_journal_is_an_orphan_once_its_program_has_ended() {
        let folder = tempfile::tempdir().unwrap();
        let journal = Journal::open(folder.path()).unwrap();
        journal.write(&entry("first")).unwrap();
        journal.write(&entry("second")).unwrap();
        assert!(orphans(folder.path()).is_empty(), "its program runs");
        // The program ends without a word: its lock falls.
        drop(journal);
        let mut found = orphans(folder.path());
        assert_eq!(found.len(), 1);
        assert!(orphans(folder.path()).is_empty(), "it is held by who found it");
        assert_eq!(found[0].entry, entry("second"));
        found.remove(0).throw_away();
        assert!(std::fs::read_dir(folder.path()).unwrap().next().is_none());
    }

    #[test]
    fn a_program_that_ends_well_leaves_nothing() {
        let folder = tempfile::tempdir().unwrap();
        let journal = Journal::open(folder.path()).unwrap();
        journal.write(&entry("work")).unwrap();
        journal.close();
        assert!(std::fs::read_dir(folder.path()).unwrap().next().is_none());
        // One killed before it had anything to lose leaves a lock, which goes.
        drop(Journal::open(folder.path()).unwrap());
        assert!(orphans(folder.path()).is_empty());
        assert!(std::fs::read_dir(folder.path()).unwrap().next().is_none());
    }
}
