//! Directions compared.

use super::Document;
use crate::{Direction, House};
use serde::Serialize;

/// A direction compared.
#[derive(Debug, Serialize)]
pub struct DirectionPart {
    /// Degrees anticlockwise from x.
    pub angle: f64,
    /// Why it is worth a look.
    pub reasons: Vec<String>,
    /// Narrowest seen rip, mm.
    pub narrowest: Option<f64>,
    /// Length of edge with a rip under the least, mm, the line out by up to the tolerance.
    pub short_length: f64,
    /// The same with the line as drawn, mm.
    pub short_as_drawn: f64,
    /// Boards opened.
    pub opened: usize,
    /// Packs to buy.
    pub packs: u32,
    /// Flags that break a rule.
    pub faults: usize,
    /// Flags worth a look.
    pub looks: usize,
    /// Widest continuous floor, mm.
    pub continuous_width: f64,
    /// Length of sides cut on site, mm.
    pub cut_edge: f64,
}

impl House {
    /// The result without anything laid, with directions compared.
    pub fn directions_document(&self, directions: &[Direction]) -> Document {
        let part = |d: &Direction| DirectionPart {
            angle: d.angle,
            reasons: d.reasons.iter().map(|reason| reason.words(&self.plan)).collect(),
            narrowest: d.narrowest,
            short_length: d.short_length,
            short_as_drawn: d.short_as_drawn,
            opened: d.opened,
            packs: d.packs,
            faults: d.faults,
            looks: d.looks,
            continuous_width: d.continuous_width,
            cut_edge: d.cut_edge,
        };
        Document { directions: Some(directions.iter().map(part).collect()), ..self.setout_document() }
    }
}
