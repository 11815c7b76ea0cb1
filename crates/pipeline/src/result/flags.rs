//! Flags in the result.

use super::{Xy, xy};
use crate::House;
use findings::{Severity, Subject};
use serde::Serialize;

/// A flag.
#[derive(Debug, Serialize)]
pub struct FlagPart {
    /// Kind.
    pub kind: &'static str,
    /// `fault` or `look`.
    pub severity: &'static str,
    /// Where.
    pub at: Xy,
    /// Where, in words.
    pub place: String,
    /// Figure, mm.
    pub figure: f64,
    /// Limit, mm.
    pub limit: f64,
    /// Mend.
    pub mend: String,
    /// Boards it stands on.
    pub boards: Vec<usize>,
}

impl House {
    pub(super) fn flag_part(&self, flag: &findings::Flag) -> FlagPart {
        let boards = match &flag.subject {
            Subject::Board(board) => vec![*board],
            Subject::Boards(boards) => boards.clone(),
            Subject::Joints(joints) => joints
                .iter()
                .flat_map(|j| [self.floor.joints[*j].left, self.floor.joints[*j].right])
                .collect(),
            Subject::Region(_) | Subject::Room(_) | Subject::Thing(_) => Vec::new(),
        };
        FlagPart {
            kind: flag.kind.key(),
            severity: match flag.severity {
                Severity::Fault => "fault",
                Severity::Look => "look",
            },
            at: xy(flag.at),
            place: flag.place.clone(),
            figure: flag.figure,
            limit: flag.limit,
            mend: flag.mend.clone(),
            boards,
        }
    }
}
