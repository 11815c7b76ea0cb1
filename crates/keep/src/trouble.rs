//! Why a file could not be written or read, in words.

use std::io::ErrorKind;
use std::path::{Path, PathBuf};

/// What kind of trouble.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// There is no such folder or file.
    Missing,
    /// It may not be written or read there.
    Forbidden,
    /// The disk is full, or the most a file may grow to is reached.
    Full,
    /// The name cannot be used on this disk.
    Name,
    /// The drive cannot be reached.
    Gone,
    /// Something else has changed the file since it was read here.
    Changed,
    /// The file is longer than what is read.
    TooLong,
    /// Anything else the system says.
    Other,
}

/// A file that could not be written or read; what was there before stands as it was.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{}: {what}; {mend}", path.display())]
pub struct Trouble {
    /// The file.
    pub path: PathBuf,
    /// What kind it is.
    pub kind: Kind,
    /// What is wrong.
    pub what: String,
    /// What would mend it.
    pub mend: String,
}

impl Trouble {
    pub(crate) fn new(path: &Path, kind: Kind, what: impl Into<String>, mend: impl Into<String>) -> Self {
        Self { path: path.to_owned(), kind, what: what.into(), mend: mend.into() }
    }

    /// What the system says, in words a person can act on.
    pub(crate) fn of(path: &Path, error: &std::io::Error) -> Self {
        let elsewhere = "choose another folder";
        let (kind, what, mend) = match error.kind() {
            ErrorKind::NotFound | ErrorKind::NotADirectory => {
                (Kind::Missing, "there is no such folder", "make the folder, or choose another")
            }
            ErrorKind::PermissionDenied => (Kind::Forbidden, "you may not write there", elsewhere),
            ErrorKind::ReadOnlyFilesystem => (Kind::Forbidden, "that disk can only be read", elsewhere),
            ErrorKind::StorageFull | ErrorKind::QuotaExceeded | ErrorKind::WriteZero => {
                (Kind::Full, "the disk is full", "make room on it, or choose another disk")
            }
            ErrorKind::FileTooLarge => {
                (Kind::Full, "a file may not grow that large there", "choose another disk")
            }
            ErrorKind::InvalidFilename | ErrorKind::InvalidInput => {
                (Kind::Name, "that name cannot be used there", "choose a shorter one of plain letters")
            }
            ErrorKind::IsADirectory => (Kind::Name, "that is a folder", "name a file in it"),
            ErrorKind::NetworkDown
            | ErrorKind::NetworkUnreachable
            | ErrorKind::HostUnreachable
            | ErrorKind::StaleNetworkFileHandle
            | ErrorKind::NotConnected
            | ErrorKind::TimedOut => {
                (Kind::Gone, "the drive cannot be reached", "connect it again, or choose another folder")
            }
            _ => {
                return Self::new(
                    path,
                    Kind::Other,
                    error.to_string(),
                    "try again, or choose another folder",
                );
            }
        };
        Self::new(path, kind, what, mend)
    }
}
