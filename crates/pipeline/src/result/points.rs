//! Where the points of herringbone and chevron stand: the set-out's part along the axis.

use super::setout::CandidatePart;
use super::{Xy, xy};
use crate::House;
use serde::Serialize;
use setout::PointMark;

/// The points along the axis.
#[derive(Debug, Serialize)]
pub struct PointsPart {
    /// Distance between the points of an axis line, mm.
    pub step: f64,
    /// What their place is worth, and how far the smallest pieces reach in at the edges across the axis.
    pub ends: CandidatePart,
    /// The first point on the snapped line.
    pub first: Option<MarkPart>,
    /// The last one, the check.
    pub last: Option<MarkPart>,
    /// Whole steps from the first to the last.
    pub steps: usize,
}

/// A point marked on the line.
#[derive(Debug, Serialize)]
pub struct MarkPart {
    /// D or E.
    pub letter: char,
    /// The point.
    pub at: Xy,
    /// What the tape starts from.
    pub place: String,
    /// What the boards meet there.
    pub edge: &'static str,
    /// Where it starts, on the line.
    pub face: Xy,
    /// Distance along the line, mm.
    pub distance: f64,
}

impl House {
    pub(super) fn points_part(&self) -> Option<PointsPart> {
        let points = self.setout.points.as_ref()?;
        let mark = |mark: PointMark| MarkPart {
            letter: mark.letter,
            at: xy(mark.at),
            place: mark.source.name(&self.plan),
            edge: mark.kind.word(),
            face: xy(mark.face),
            distance: mark.distance,
        };
        Some(PointsPart {
            step: points.step,
            ends: self.candidate_part(&points.ends),
            first: points.first.map(mark),
            last: points.last.map(mark),
            steps: points.steps,
        })
    }
}
