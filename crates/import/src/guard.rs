//! A wall between damaged files and a library that may give up on them.

use crate::{FaultKind, FileKind, ImportError};
use std::panic::{AssertUnwindSafe, catch_unwind};

/// Runs a library's reader; should it give up on a file by panicking, that is a fault of the file's.
pub(crate) fn guarded<T>(
    kind: FileKind,
    read: impl FnOnce() -> Result<T, ImportError>,
) -> Result<T, ImportError> {
    catch_unwind(AssertUnwindSafe(read))
        .unwrap_or_else(|_| Err(unreadable(kind, "it holds a value out of all range")))
}

/// A file that is none of its kind.
pub(crate) fn unreadable(kind: FileKind, what: impl std::fmt::Display) -> ImportError {
    ImportError::one(
        FaultKind::Unreadable,
        "the file",
        format!("cannot be read as {}: {what}", kind.name()),
        "save it anew from the program that made it, or name its kind by its ending",
    )
}
