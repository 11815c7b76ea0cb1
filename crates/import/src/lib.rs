//! Room outlines from drawings that other programs wrote: DXF, SVG and planar GeoJSON.
//!
//! It gives [`plan::Room`]s at the finished wall face, and knows nothing of what is computed from them. A file is
//! bytes handed in; nothing is read from disk. Whatever the bytes are, it answers in bounded time and memory, with
//! outlines or with every reason why not.

mod arc;
mod ask;
mod dxf;
mod error;
mod geojson;
mod guard;
mod limits;
mod names;
mod nest;
mod outlines;
mod path;
mod ring;
mod room;
mod sketch;
mod svg;
mod text;

pub use ask::{Ask, FileKind, Unit};
pub use error::{Fault, FaultKind, ImportError};
pub use limits::{FLATTEN, GREATEST_FILE, MOST_OUTLINES, MOST_POINTS};
pub use outlines::{Outlines, outlines};
pub use sketch::{Contents, LayerContents, contents};
