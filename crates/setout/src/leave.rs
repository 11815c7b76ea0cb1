//! The gap to leave at an edge where the set-out uses its play.

use crate::SetOut;
use plan::Point;
use site::{EdgeKind, Site, Source};
use std::collections::BTreeMap;

/// A gap that is to be left wider than its least, so that no strip is left beside a whole board. Along an edge out of
/// true, or a bow, it changes.
#[derive(Debug, Clone, PartialEq)]
pub struct GapToLeave {
    /// What the edges belong to.
    pub source: Source,
    /// What the boards meet there.
    pub kind: EdgeKind,
    /// Whether the floor lies above the edge, across the rows.
    pub floor_is_above: bool,
    /// The least gap there, mm.
    pub least: f64,
    /// The gap to leave, mm, at the ends of the floor's edges there, on the plan: from one end to the other, the floor to
    /// the left.
    pub at: Vec<(Point, f64)>,
    /// Length of those edges, mm.
    pub length: f64,
}

impl GapToLeave {
    /// The narrowest and the widest it is to be, mm.
    pub fn range(&self) -> (f64, f64) {
        let all = || self.at.iter().map(|(_, gap)| *gap);
        (all().fold(f64::INFINITY, f64::min), all().fold(f64::NEG_INFINITY, f64::max))
    }

    /// The gap in words, to a tenth: one figure, or the two between which it goes.
    pub fn words(&self, length: impl Fn(f64) -> String) -> String {
        let tenth = |mm: f64| (mm * 10.0).round() / 10.0;
        let (least, greatest) = self.range();
        // In sixteenths two tenths may read the same.
        match (length(tenth(least)), length(tenth(greatest))) {
            (a, b) if a == b => a,
            (a, b) => format!("{a} to {b}"),
        }
    }
}

/// The gaps that the set-out makes wider than their least, by what they belong to; `surveyed` has every gap at its least.
pub fn gaps_to_leave(surveyed: &Site, set: &SetOut) -> Vec<GapToLeave> {
    let mut found: BTreeMap<(Source, EdgeKind, bool), GapToLeave> = BTreeMap::new();
    let mut eases: Vec<&site::Ease> =
        set.eases.iter().filter(|ease| ease.start > 0.0 || ease.end > 0.0).collect();
    eases.sort_by_key(|ease| (ease.region, ease.ring, ease.edge));
    for ease in eases {
        let ring = surveyed.regions.get(ease.region).and_then(|region| region.rings().nth(ease.ring));
        let Some(edge) = ring.and_then(|ring| ring.edges.get(ease.edge)) else { continue };
        if edge.kind == EdgeKind::MovementJoint {
            continue;
        }
        let place = |p| surveyed.frame.plan_from_row(p);
        let at = [(place(edge.a), edge.gap + ease.start), (place(edge.b), edge.gap + ease.end)];
        let (source, kind, least) = (edge.source, edge.kind, edge.gap);
        let floor_is_above = edge.floor_is_above();
        let none = GapToLeave { source, kind, floor_is_above, least, at: Vec::new(), length: 0.0 };
        let gap = found.entry((source, kind, floor_is_above)).or_insert(none);
        // Of a bow each mark is told once.
        for (p, wide) in at {
            if gap.at.last().is_none_or(|(q, last)| p.distance(*q) > 1.0 || (last - wide).abs() > 0.05) {
                gap.at.push((p, wide));
            }
        }
        gap.length += edge.length();
    }
    found.into_values().collect()
}
