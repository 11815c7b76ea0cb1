//! What lies already in the result: counts, the offcuts in hand, the drift at the edges to come.

use crate::{FEW_EDGES, House};
use serde::Serialize;
use setout::{Drift, DriftEdge};

/// What lies and what comes of it.
#[derive(Debug, Serialize)]
pub struct LaidPart {
    /// Boards that lie.
    pub boards: usize,
    /// Boards of the stock opened for them; the first so many in `stock`.
    pub opened: usize,
    /// What is left of those and in hand.
    pub offcuts: Vec<OffcutPart>,
    /// Strips beside rips that lie, in hand too; left out where there are none.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub strips: Vec<StripPart>,
    /// Side by side of each region in which something lies.
    pub drift: Vec<DriftPart>,
}

/// An offcut in hand.
#[derive(Debug, Serialize)]
pub struct OffcutPart {
    /// Stock board.
    pub stock: usize,
    /// From its left end, mm.
    pub from: f64,
    /// To, mm.
    pub to: f64,
}

/// A strip in hand.
#[derive(Debug, Serialize)]
pub struct StripPart {
    /// Stock board.
    pub stock: usize,
    /// From its left end, mm.
    pub from: f64,
    /// To, mm.
    pub to: f64,
    /// mm.
    pub width: f64,
    /// `groove` or `tongue`: the long edge it keeps.
    pub keeps: &'static str,
    /// Boards still to come that are cut from it.
    pub for_boards: Vec<usize>,
}

fn strip_part((strip, for_boards): (plan::LaidStrip, Vec<usize>)) -> StripPart {
    let keeps = if strip.keeps_groove { "groove" } else { "tongue" };
    StripPart { stock: strip.stock, from: strip.from, to: strip.to, width: strip.width, keeps, for_boards }
}

/// One side of a region's start line.
#[derive(Debug, Serialize)]
pub struct DriftPart {
    /// Region.
    pub region: usize,
    /// Which way it lies from the start line, in words.
    pub way: &'static str,
    /// Rows from the start line to the last that lies.
    pub rows_laid: i32,
    /// The first row to come, from 1 at the lowest.
    pub next_row: i32,
    /// How far the last row's side is further from the start line than planned, mm.
    pub off: f64,
    /// Pitch planned, mm.
    pub planned_pitch: f64,
    /// Mean pitch of the rows measured, mm; `null` where none is.
    pub measured_pitch: Option<f64>,
    /// Pitch the rows to come are taken to have, mm.
    pub pitch: f64,
    /// Edges to come, nearest first.
    pub edges: Vec<DriftEdgePart>,
    /// How to bring the rips back; left out where none has to be.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub correction: Option<CorrectionPart>,
    /// The same in words.
    pub words: Vec<String>,
}

/// An edge to come.
#[derive(Debug, Serialize)]
pub struct DriftEdgePart {
    /// What it belongs to.
    pub place: String,
    /// Seen rip as planned, mm.
    pub planned: f64,
    /// As it will be, mm.
    pub now: f64,
    /// With the correction, mm.
    pub corrected: f64,
    /// The same three of the wood itself, mm.
    pub wood: [f64; 3],
    /// Rows to it, its own rip among them.
    pub rows: i32,
    /// Whether it is under the least and need not be.
    pub short: bool,
    /// Whether it was planned so.
    pub planned_short: bool,
}

/// A shift of the rows to come.
#[derive(Debug, Serialize)]
pub struct CorrectionPart {
    /// In all, mm; above 0 away from the start line.
    pub by: f64,
    /// For each row, mm.
    pub each: f64,
    /// Rows it is shared by.
    pub rows: i32,
    /// The last row, from 1 at the lowest, from which the most a row is still enough; `null` where it never is.
    pub latest_row: Option<i32>,
    /// Edges that stay under the least.
    pub left_short: usize,
}

impl House {
    pub(super) fn laid_part(&self) -> Option<LaidPart> {
        let laid = self.plan.laid.as_ref()?;
        let offcut = |(stock, opened): (usize, &plan::LaidStock)| {
            opened.rest.map(|(from, to)| OffcutPart { stock, from, to })
        };
        Some(LaidPart {
            boards: laid.boards.len(),
            opened: laid.stock.len(),
            offcuts: laid.stock.iter().enumerate().filter_map(offcut).collect(),
            strips: self.strips_in_hand().into_iter().map(strip_part).collect(),
            drift: self.drift().iter().map(|drift| self.drift_part(drift)).collect(),
        })
    }

    fn drift_part(&self, drift: &Drift) -> DriftPart {
        let number = |row: i32| self.floor.row_number(row);
        let edge = |edge: &DriftEdge| DriftEdgePart {
            place: self.edge_place(edge.edge).unwrap_or_default(),
            planned: edge.planned,
            now: edge.now,
            corrected: edge.corrected,
            wood: edge.wood,
            rows: edge.rows,
            short: edge.is_short,
            planned_short: edge.was_short,
        };
        DriftPart {
            region: drift.region,
            way: drift.way,
            rows_laid: drift.rows_laid,
            next_row: number(drift.next_row),
            off: drift.off,
            planned_pitch: drift.planned_pitch,
            measured_pitch: drift.measured_pitch,
            pitch: drift.pitch,
            edges: drift.edges.iter().map(edge).collect(),
            correction: drift.correction.map(|c| CorrectionPart {
                by: c.by,
                each: c.each,
                rows: c.rows,
                latest_row: c.latest.map(number),
                left_short: c.left_short,
            }),
            words: self.drift_words(drift, FEW_EDGES),
        }
    }
}
