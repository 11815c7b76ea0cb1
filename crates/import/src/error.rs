//! Why a file gives no outlines.

use std::fmt;

/// What kind of trouble stands in the way.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FaultKind {
    /// The file is longer than [`crate::GREATEST_FILE`].
    TooLong,
    /// It is no file of its kind, or a damaged one.
    Unreadable,
    /// It does not say its unit, and none was named.
    UnitUnknown,
    /// A value that was asked with is out of range.
    Asked,
    /// A layer that was asked for is not there.
    LayerMissing,
    /// Outlines lie on several layers, and none was named.
    LayerOpen,
    /// No closed outline was found.
    NoOutline,
    /// More than [`crate::MOST_OUTLINES`] outlines.
    TooManyOutlines,
    /// More corners in an outline than a room has walls, or more than [`crate::MOST_POINTS`] points in all.
    TooManyPoints,
    /// A coordinate is no number or too far away, or an outline is larger than a kilometre.
    OutOfRange,
    /// An outline does not lie flat in the drawing's plane.
    NotFlat,
    /// An outline lies within a hole.
    Nested,
    /// An outline makes no room: it crosses itself, is too small, or lies over another.
    NoRoom,
}

/// One reason.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("{place}: {what}; {mend}")]
pub struct Fault {
    /// Kind.
    pub kind: FaultKind,
    /// Where, such as `polyline 3 on layer ROOMS, wall 2`.
    pub place: String,
    /// What is wrong.
    pub what: String,
    /// What would mend it.
    pub mend: String,
}

impl Fault {
    pub(crate) fn new(
        kind: FaultKind,
        place: impl Into<String>,
        what: impl Into<String>,
        mend: impl Into<String>,
    ) -> Self {
        Self { kind, place: place.into(), what: what.into(), mend: mend.into() }
    }
}

/// Every reason why a file gives no outlines; at least one.
#[derive(Debug, Clone, PartialEq)]
pub struct ImportError {
    /// The reasons, in the file's order.
    pub faults: Vec<Fault>,
}

impl ImportError {
    /// One reason.
    pub(crate) fn one(
        kind: FaultKind,
        place: impl Into<String>,
        what: impl Into<String>,
        mend: impl Into<String>,
    ) -> Self {
        Self { faults: vec![Fault::new(kind, place, what, mend)] }
    }
}

impl fmt::Display for ImportError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, fault) in self.faults.iter().enumerate() {
            if i > 0 {
                f.write_str("\n")?;
            }
            write!(f, "{fault}")?;
        }
        Ok(())
    }
}

impl std::error::Error for ImportError {}
