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

const GONE: (Kind, &str, &str) =
    (Kind::Gone, "the drive cannot be reached", "connect it again, or choose another folder");

/// What a drive that was unplugged, or whose machine is off, says; std has no name for these. The numbers are those of
/// errno(3): EIO, ENXIO, ENODEV; on Linux EHOSTDOWN and EREMOTEIO.
#[cfg(unix)]
fn is_gone(error: &std::io::Error) -> bool {
    let by_system: &[i32] = if cfg!(target_os = "linux") { &[112, 121] } else { &[] };
    error.raw_os_error().is_some_and(|code| [5, 6, 19].contains(&code) || by_system.contains(&code))
}

#[cfg(not(unix))]
fn is_gone(_: &std::io::Error) -> bool {
    false
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
            | ErrorKind::TimedOut => GONE,
            _ if is_gone(error) => GONE,
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

#[cfg(test)]
mod tests {
    use super::*;

    /// Each number as errno(3) and Linux's headers have it: what the system says of a drive in trouble.
    #[cfg(target_os = "linux")]
    #[test]
    fn what_the_system_says_is_told_in_words() {
        let told =
            |code: i32| Trouble::of(Path::new("house.ron"), &std::io::Error::from_raw_os_error(code)).kind;
        let (eio, enxio, enodev, enotconn, etimedout, ehostdown, estale, eremoteio) =
            (5, 6, 19, 107, 110, 112, 116, 121);
        for code in [eio, enxio, enodev, enotconn, etimedout, ehostdown, estale, eremoteio] {
            assert_eq!(told(code), Kind::Gone, "{code}");
        }
        let (eacces, enospc, erofs, enametoolong, edquot, ebusy) = (13, 28, 30, 36, 122, 16);
        assert_eq!(told(eacces), Kind::Forbidden);
        assert_eq!((told(enospc), told(edquot)), (Kind::Full, Kind::Full));
        assert_eq!(told(erofs), Kind::Forbidden);
        assert_eq!(told(enametoolong), Kind::Name);
        assert_eq!(told(ebusy), Kind::Other);
    }
}
