//! The greatest that is read: each limit has its kind of fault.

/// Longest file, bytes: 16 MiB, as for a plan.
pub const GREATEST_FILE: usize = 16 << 20;
/// Most outlines taken, as many rooms as a plan holds.
pub const MOST_OUTLINES: usize = 2000;
/// Most corners of one outline, as many walls as a room has.
pub(crate) const MOST_CORNERS: usize = 2000;
/// Most points of all outlines together, curves made straight counted; as many as a plan holds.
pub const MOST_POINTS: usize = 50_000;
/// Most straight pieces of one curve, as many offsets as a bowed wall has.
pub(crate) const MOST_PIECES: usize = 500;
/// How far a curve may lie from the straight pieces that stand for it, mm: what a tape measures.
pub const FLATTEN: f64 = 1.0;
/// Least and greatest of that, mm: finer is finer than any wall, coarser cuts rooms.
pub(crate) const FLATTEN_RANGE: std::ops::RangeInclusive<f64> = 0.05..=50.0;
/// Corners nearer than this are one, mm: the shortest wall of a plan.
pub(crate) const NEAR: f64 = 1.0;
/// Farthest coordinate that is read, mm: on a round earth nothing is farther.
pub(crate) const FARTHEST: f64 = 1e11;
/// Largest outline, mm: as for a plan, a kilometre.
pub(crate) const LARGEST: f64 = 1e6;
/// Most faults that are listed.
pub(crate) const MOST_FAULTS: usize = 50;
