//! The gap to leave at an edge where the set-out uses its play.

use crate::SetOut;
use plan::Point;
use site::{EdgeKind, Site, Source};
use std::collections::BTreeMap;

/// A gap wider by less reads as its least, mm: figures are told to a tenth. Smaller, and "10 instead of 10" is told.
const READ: f64 = 0.05;

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

    /// Whether it reads as more than its least: in sixteenths half a millimetre may not.
    pub fn reads_wider(&self, length: impl Fn(f64) -> String) -> bool {
        self.words(&length) != length(self.least)
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

/// The gaps that the set-out makes wider than their least by what can be read, by what they belong to; `surveyed` has every
/// gap at its least.
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
    found.into_values().filter(|gap| gap.range().1 - gap.least >= READ).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::set_out;
    use plan::{GapRange, Plan, Room, StartLine};

    /// A room 1019 mm between walls, boards of 200, gaps of 8 to 15: five boards with a line at 10 leave 10 below and 9
    /// above.
    #[test]
    fn the_gaps_to_leave_take_what_whole_boards_leave() {
        let mut plan = Plan::new("t");
        plan.stock.face_width = 200.0;
        plan.rules.wall_gap = GapRange { least: 8.0, greatest: 15.0 };
        plan.start_line = StartLine::At(10.0);
        let corners = [(0.0, 0.0), (4000.0, 0.0), (4000.0, 1019.0), (0.0, 1019.0)];
        plan.rooms.push(Room::boarded("Hall", corners.map(|(x, y)| Point::new(x, y))));
        let site = site::survey(&plan);
        let set = set_out(&plan, &site);
        let gaps = gaps_to_leave(&site, &set);
        assert_eq!(gaps.len(), 2, "{gaps:?}");
        for gap in &gaps {
            let wide = if gap.floor_is_above { 10.0 } else { 9.0 };
            assert!(gap.at.iter().all(|(_, gap)| (gap - wide).abs() < 1e-9) && gap.least == 8.0, "{gap:?}");
            // From end to end of the floor, 4000 less a gap of 8 at each side.
            assert!((gap.length - 3984.0).abs() < 1e-9, "{gap:?}");
            let ends: Vec<f64> = gap.at.iter().map(|(p, _)| p.x).collect();
            assert_eq!(ends.len(), 2, "{gap:?}");
            assert_eq!(ends[0] < ends[1], gap.floor_is_above, "the floor lies to the left");
        }
    }

    /// The same room 1016.014 between walls and a line at 8 leave a strip of 0.014 above: its gap is 8.014, which nobody
    /// leaves and a tape does not show. At 1016.4 it is 8.4, which reads as 5/16" just as 8 does.
    #[test]
    fn a_gap_that_reads_as_its_least_is_not_told() {
        let gaps_of = |height: f64| {
            let mut plan = Plan::new("t");
            plan.stock.face_width = 200.0;
            plan.rules.wall_gap = GapRange { least: 8.0, greatest: 15.0 };
            plan.start_line = StartLine::At(8.0);
            let corners = [(0.0, 0.0), (4000.0, 0.0), (4000.0, height), (0.0, height)];
            plan.rooms.push(Room::boarded("Hall", corners.map(|(x, y)| Point::new(x, y))));
            let site = site::survey(&plan);
            gaps_to_leave(&site, &set_out(&plan, &site))
        };
        assert_eq!(gaps_of(1016.014), Vec::new());
        let told = gaps_of(1016.4);
        assert_eq!(told.len(), 1, "{told:?}");
        let reads = |units| told[0].reads_wider(|mm| plan::format_length(mm, units));
        assert!(reads(plan::Units::Metric) && !reads(plan::Units::FeetInches), "{told:?}");
    }
}
