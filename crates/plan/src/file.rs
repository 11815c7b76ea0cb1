//! The plan file: versioned RON, written so that a change of one thing changes few lines.

use crate::Plan;

/// Version of the format this program writes.
pub const FORMAT: u32 = 1;

/// Why a plan file cannot be opened.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("line {line}: {what}; {mend}")]
pub struct FileError {
    /// Line of the file, from 1.
    pub line: usize,
    /// Where in the plan, in words, where that is known.
    pub place: String,
    /// What is wrong.
    pub what: String,
    /// What would mend it.
    pub mend: String,
}

/// Reads a plan from the text of a plan file and validates it.
///
/// # Errors
/// Every reason why the text is no plan, each with its line, place and mend.
pub fn read(_text: &str) -> Result<Plan, Vec<FileError>> {
    Err(Vec::new())
}

/// The text of the plan file for this plan. Reading and writing it again gives the same bytes.
pub fn write(_plan: &Plan) -> String {
    String::new()
}
