//! Long walls of one room that are seen together.

use crate::tooth::Tooth;
use site::{Site, Source, Span};
use std::collections::BTreeMap;

/// Walls further apart than this are not seen together, mm. Ours, no source.
const SEEN_TOGETHER: f64 = 2500.0;
/// A room is a hallway where its walls face each other over this many times their distance. Ours, no source.
const LONG: f64 = 1.5;

/// Two long walls of one room with floor between them: places of their longest edges among the teeth.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Hall {
    pub(crate) below: usize,
    pub(crate) above: usize,
}

impl Hall {
    /// Difference between the two sides' seen rips, mm.
    pub(crate) fn uneven(&self, teeth: &[Tooth], offset: f64, pitch: f64) -> f64 {
        (teeth[self.below].seen(offset, pitch) - teeth[self.above].seen(offset, pitch)).abs()
    }
}

/// How far two walls face each other.
#[derive(Debug, Default)]
struct Facing {
    length: f64,
    area: f64,
    /// Length by pair of teeth.
    pairs: BTreeMap<(usize, usize), f64>,
}

/// The hallways of a site whose spans are known, by the teeth of their sides.
pub(crate) fn halls(site: &Site, spans: &[Vec<Span>], teeth: &[Tooth]) -> Vec<Hall> {
    let tooth_at = |region: usize, (ring, edge): (usize, usize)| {
        teeth
            .binary_search_by_key(&(region, ring, edge), |t| (t.edge.region, t.edge.ring, t.edge.edge))
            .ok()
            .filter(|tooth| teeth[*tooth].in_view)
    };
    let mut walls: BTreeMap<(usize, usize, usize, usize), Facing> = BTreeMap::new();
    for (region, (r, spans)) in site.regions.iter().zip(spans).enumerate() {
        let rings: Vec<_> = r.rings().collect();
        for span in spans {
            let source = |(ring, edge): (usize, usize)| rings[ring].edges[edge].source;
            let (Source::Wall { room, wall }, Source::Wall { room: other, wall: facing }) =
                (source(span.below), source(span.above))
            else {
                continue;
            };
            let (Some(below), Some(above)) = (tooth_at(region, span.below), tooth_at(region, span.above))
            else {
                continue;
            };
            if room == other {
                let walls = walls.entry((region, room, wall, facing)).or_default();
                walls.length += span.length();
                walls.area += span.length() * (span.heights[0] + span.heights[1]) / 2.0;
                *walls.pairs.entry((below, above)).or_default() += span.length();
            }
        }
    }
    let is_hall = |facing: &&Facing| {
        let apart = facing.area / facing.length;
        apart <= SEEN_TOGETHER && facing.length >= LONG * apart
    };
    let longest = |facing: &Facing| {
        let longest = facing.pairs.iter().max_by(|a, b| a.1.total_cmp(b.1).then(b.0.cmp(a.0)));
        longest.map(|((below, above), _)| Hall { below: *below, above: *above })
    };
    walls.values().filter(is_hall).filter_map(longest).collect()
}
