//! The rip left at one edge as a function of the offset of the row lines: a sawtooth.

use crate::EdgeRef;
use crate::pace::Pace;
use site::{Edge, Site, Uv};

/// A wall out of square by more than one in ten leaves wedges, not rips: it is judged by its
/// point pieces, and would only drown the walls that can be helped.
pub(crate) const RIP_SLOPE: f64 = 0.1;

/// An edge shorter than this is a jog between two gaps or a chip of a corner, not a place where a rip is
/// seen, mm. Common practice, no source.
pub(crate) const SHORTEST: f64 = 20.0;

/// Offsets this close together are one offset, mm; far below what a chalk line can show.
pub(crate) const SAME: f64 = 1e-7;

/// One edge along the rows as the set-out sees it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Tooth {
    pub(crate) edge: EdgeRef,
    /// Least v of the edge, mm.
    pub(crate) low: f64,
    /// Greatest v.
    pub(crate) high: f64,
    pub(crate) floor_is_above: bool,
    /// Width hidden under a kick, mm.
    pub(crate) hidden: f64,
    /// Length of the edge, mm.
    pub(crate) length: f64,
}

impl Tooth {
    /// The tooth of an edge; `None` for edges that no rip lies along.
    fn new(edge: &Edge, at: EdgeRef) -> Option<Self> {
        let (low, high) = edge.v_range();
        let run = (edge.b.u - edge.a.u).abs();
        (run >= SHORTEST && high - low <= RIP_SLOPE * run).then(|| Self {
            edge: at,
            low,
            high,
            floor_is_above: edge.floor_is_above(),
            hidden: (-edge.gap).max(0.0),
            length: edge.length(),
        })
    }

    /// The same edge when the line may be off by `by` either way: its worst rip within that is the
    /// rip of an edge that much more out of square.
    pub(crate) fn widened(self, by: f64) -> Self {
        Self { low: self.low - by, high: self.high + by, ..self }
    }

    /// The same edge moved as the pace has it.
    fn moved(self, pace: &Pace) -> Self {
        let by = if self.floor_is_above { pace.low_edges } else { pace.high_edges };
        Self { low: self.low + by, high: self.high + by, ..self }
    }

    fn taper(&self) -> f64 {
        self.high - self.low
    }

    /// Where the row lines at `offset` lie against the edge: distance of the next row line above
    /// the end from which rips are measured, in 0..pitch.
    fn phase(&self, offset: f64, pitch: f64) -> f64 {
        let end = if self.floor_is_above { self.high } else { self.low };
        // The remainder by hand: valuing lines asks for it more than for anything else.
        let turns = (offset - end) / pitch;
        let x = ((turns - turns.floor()) * pitch).max(0.0);
        // Rounding must not turn a whole board into a sliver.
        if pitch - x < SAME { 0.0 } else { x }
    }

    /// Narrowest kept width along the edge, mm; a row line on the edge leaves a whole board, and
    /// one that crosses it leaves nothing.
    pub(crate) fn rip(&self, offset: f64, pitch: f64) -> f64 {
        let (x, taper) = (self.phase(offset, pitch), self.taper());
        if taper < SAME && x < SAME {
            return pitch;
        }
        if self.floor_is_above {
            if x <= pitch - taper + SAME { x } else { 0.0 }
        } else if x >= taper - SAME {
            pitch - x
        } else {
            0.0
        }
    }

    /// The part of the rip that is seen, mm.
    pub(crate) fn seen(&self, offset: f64, pitch: f64) -> f64 {
        (self.rip(offset, pitch) - self.hidden).max(0.0)
    }

    /// Widest kept width along the edge, mm.
    pub(crate) fn widest(&self, offset: f64, pitch: f64) -> f64 {
        match self.rip(offset, pitch) {
            rip if rip > 0.0 => (rip + self.taper()).min(pitch),
            _ => pitch,
        }
    }

    /// Offsets at which the seen rip bends, jumps or passes `least`, in 0..pitch.
    pub(crate) fn breakpoints(&self, least: f64, pitch: f64) -> [f64; 4] {
        let taper = self.taper();
        let at = |x: f64, end: f64| (end + x).rem_euclid(pitch);
        if self.floor_is_above {
            let end = self.high;
            [at(0.0, end), at(pitch - taper, end), at(self.hidden, end), at(self.hidden + least, end)]
        } else {
            let end = self.low;
            [at(0.0, end), at(taper, end), at(pitch - self.hidden, end), at(pitch - self.hidden - least, end)]
        }
    }

    /// How far the line may move each way before the seen rip is under `least`; `None` if it is already.
    pub(crate) fn slack(&self, offset: f64, least: f64, pitch: f64) -> Option<f64> {
        if self.seen(offset, pitch) < least - SAME {
            return None;
        }
        let (x, taper, need) = (self.phase(offset, pitch), self.taper(), self.hidden + least);
        if taper < SAME && x < SAME {
            return Some(0.0);
        }
        let (from, to) = if self.floor_is_above { (need, pitch - taper) } else { (taper, pitch - need) };
        Some((x - from).min(to - x).max(0.0))
    }
}

/// The teeth of the field's edges, in the site's order.
pub(crate) fn teeth(site: &Site, pace: &Pace) -> Vec<Tooth> {
    collect(site, pace, |edge| *edge)
}

/// The teeth of the edges across the rows, seen along the rows.
pub(crate) fn cross_teeth(site: &Site, pace: &Pace) -> Vec<Tooth> {
    let swap = |p: Uv| Uv::new(p.v, p.u);
    // Seen from the other side, the edge runs the other way to keep the floor on its left.
    collect(site, pace, |edge| Edge { a: swap(edge.b), b: swap(edge.a), ..*edge })
}

fn collect(site: &Site, pace: &Pace, seen: impl Fn(&Edge) -> Edge) -> Vec<Tooth> {
    let mut teeth = Vec::new();
    for (region, r) in site.fields().iter().enumerate() {
        for (ring, edges) in r.rings().enumerate() {
            for (edge, e) in edges.edges.iter().enumerate() {
                let tooth = Tooth::new(&seen(e), EdgeRef { region, ring, edge });
                teeth.extend(tooth.map(|tooth| tooth.moved(pace)));
            }
        }
    }
    teeth
}
