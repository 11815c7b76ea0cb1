//! An independent checker: it reads a plan file and the result of `startrow lay PLAN --json FILE`, and derives again
//! what the result promises.
//!
//! It shares no line with the stages: the plan is read into types of its own, geometry is a general library's. So a
//! fault of the engine and the same fault here would both have to be made.

mod check;
mod ground;
mod jogs;
mod plan;
mod report;
mod result;

pub use report::{Complaint, PROMISES, Promise, Report};

/// Why nothing could be checked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unreadable(pub String);

impl std::fmt::Display for Unreadable {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.write_str(&self.0)
    }
}

impl std::error::Error for Unreadable {}

/// Checks a result against its plan.
///
/// # Errors
/// When the plan file or the result cannot be read, or the result is not of a kind or schema known here.
pub fn recheck(plan: &str, result: &str) -> Result<Report, Unreadable> {
    let plan = plan::read(plan).map_err(|error| Unreadable(format!("the plan: {error}")))?;
    let result = result::read(result).map_err(|error| Unreadable(format!("the result: {error}")))?;
    let mut report = Report::default();
    check::all(&plan, &result, &mut report);
    Ok(report)
}
