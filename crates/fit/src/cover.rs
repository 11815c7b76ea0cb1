//! What covers the gap at every edge, and what is left of it where the gap is widest.

use crate::Movement;
use plan::{FixtureKind, Plan, Point, Skirting};
use site::{Edge, EdgeKind, Site, Source, gap_range};
use std::collections::BTreeMap;
use std::collections::btree_map::Entry;

/// A gap is made wider by more than this where it is, mm.
const HAIR: f64 = 1e-9;

/// The gap along one thing and what covers it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cover {
    /// The wall, fixture or doorway.
    pub source: Source,
    /// What the boards meet there.
    pub kind: EdgeKind,
    /// What covers the gap.
    pub by: CoveredBy,
    /// How far that reaches over the floor from the thing's face, mm; `None` where nothing is given.
    pub reach: Option<f64>,
    /// The gap that boards are laid with along it, at its narrowest, mm; nothing where they go under.
    pub least_gap: f64,
    /// At its widest.
    pub greatest_gap: f64,
    /// The widest the gap becomes, mm: as it is laid at its widest, the shrinkage and the tolerance.
    pub widest: f64,
    /// By how much it opens when the floor is driest, mm; `None` where the plan does not say what the boards are made
    /// of or what air they live in.
    pub shrinkage: Option<f64>,
    /// By how much a cut may be off, mm.
    pub tolerance: f64,
    /// Length of edge, mm.
    pub length: f64,
    /// Middle of its longest edge, on the plan.
    pub at: Point,
}

impl Cover {
    /// What still lies over the boards where the gap is widest, mm; `None` where nothing covers it or how far is
    /// not given.
    pub fn left(&self) -> Option<f64> {
        Some(self.reach? - self.widest)
    }

    /// How far a cover must reach to leave `least` over the boards, mm.
    pub fn needed(&self, least: f64) -> f64 {
        self.widest + least
    }

    /// How far boards must go under a lining that they stop before as drawn, to leave `least` under it, mm.
    pub fn needed_under(&self, least: f64) -> f64 {
        self.shrinkage.unwrap_or(0.0) + self.tolerance + least
    }
}

/// What covers a gap.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum CoveredBy {
    /// The skirting.
    Skirting,
    /// A skirting that is still to be bought.
    SkirtingToCome,
    /// The architrave beside a doorway.
    Architrave,
    /// A flange, collar or bead round a fixture.
    Flange,
    /// The kick or panel that the boards go under.
    Kick,
    /// The undercut lining that they go under.
    Lining,
    /// Nothing: boards stop before the lining as drawn, and the gap shows until they go under it.
    BeforeLining,
    /// Nothing: the nosing fills it, boards butt against it.
    Nosing,
    /// Nothing: the gap is filled with sealant or stays open.
    Nothing,
}

impl CoveredBy {
    /// The trade's words.
    pub fn word(self) -> &'static str {
        match self {
            Self::Skirting => "skirting",
            Self::SkirtingToCome => "skirting to come",
            Self::Architrave => "architrave",
            Self::Flange => "flange",
            Self::Kick => "kick",
            Self::Lining => "lining",
            Self::BeforeLining => "nothing, stops before the lining",
            Self::Nosing => "nosing",
            Self::Nothing => "nothing, sealant",
        }
    }

    /// How the reach of such a cover is measured: `thick`, `wide`.
    pub fn measured(self) -> &'static str {
        match self {
            Self::Flange => "wide",
            _ => "thick",
        }
    }
}

/// What covers the gaps of the whole floor: one entry for each thing and what covers it there, the walls first.
pub(crate) fn covers(plan: &Plan, site: &Site, movement: Option<&Movement>) -> Vec<Cover> {
    let mut found: BTreeMap<(Source, EdgeKind, CoveredBy), (Cover, f64)> = BTreeMap::new();
    let tolerance = plan.rules.cover.tolerance();
    let mut take =
        |edge: &Edge, shrinkage: Option<f64>, source: Source, by: CoveredBy, reach: Option<f64>| {
            let (least_gap, greatest_gap) = match by {
                CoveredBy::Kick | CoveredBy::Lining => (0.0, 0.0),
                _ => laid_gap(plan, edge),
            };
            let length = edge.length();
            let middle = site::Uv::new((edge.a.u + edge.b.u) / 2.0, (edge.a.v + edge.b.v) / 2.0);
            let widest = greatest_gap + shrinkage.unwrap_or(0.0) + tolerance;
            let at = site.frame.plan_from_row(middle);
            // An architrave covers its own width of the wall, not the wall.
            let covered = if by == CoveredBy::Architrave { 0.0 } else { length };
            let cover = Cover {
                source,
                kind: edge.kind,
                by,
                reach,
                least_gap,
                greatest_gap,
                widest,
                shrinkage,
                tolerance,
                length: covered,
                at,
            };
            match found.entry((source, edge.kind, by)) {
                Entry::Vacant(place) => {
                    place.insert((cover, length));
                }
                Entry::Occupied(mut place) => {
                    let (all, longest) = place.get_mut();
                    all.length += covered;
                    all.least_gap = all.least_gap.min(least_gap);
                    all.greatest_gap = all.greatest_gap.max(greatest_gap);
                    if length > *longest {
                        (*longest, all.at) = (length, at);
                    }
                    if widest > all.widest {
                        (all.widest, all.shrinkage, all.reach) = (widest, shrinkage, reach);
                    }
                }
            }
        };
    let rings = site
        .regions
        .iter()
        .enumerate()
        .flat_map(|(region, of)| of.rings().enumerate().map(move |(at, ring)| (region, at, ring)));
    for (region, at, ring) in rings {
        for (i, edge) in ring.edges.iter().enumerate() {
            // Where nothing is said of an edge the seasons leave it alone.
            let shrinkage = movement.map(|m| m.at_edge(region, at, i).map_or(0.0, |moved| moved.opens));
            if let Some((by, reach)) = covered_by(plan, edge) {
                take(edge, shrinkage, edge.source, by, reach);
            }
            if edge.kind != EdgeKind::Wall {
                continue;
            }
            // Beside a doorway the architrave stands in the skirting's place.
            let count = ring.edges.len();
            for beside in [(i + count - 1) % count, (i + 1) % count] {
                let beside = &ring.edges[beside];
                if let (EdgeKind::Jamb, Source::Doorway(_)) = (beside.kind, beside.source) {
                    let architrave = plan.rules.cover.architrave;
                    take(edge, shrinkage, beside.source, CoveredBy::Architrave, architrave);
                }
            }
        }
    }
    found.into_values().map(|(cover, _)| cover).collect()
}

/// The gap that boards are laid with along an edge, narrowest and widest, mm: its least, or what the set-out makes of it. Along
/// an edge out of true that is more at one end than at the other, and the edge keeps the mean.
fn laid_gap(plan: &Plan, edge: &Edge) -> (f64, f64) {
    let given = gap_range(plan, edge);
    if edge.gap <= given.least + HAIR {
        return (edge.gap, edge.gap);
    }
    let widest = (given.greatest - edge.play).max(edge.gap);
    (2.0 * edge.gap - widest, widest)
}

/// What covers the gap at an edge, and how far it reaches; `None` where boards end without a gap.
fn covered_by(plan: &Plan, edge: &Edge) -> Option<(CoveredBy, Option<f64>)> {
    let nothing = Some((CoveredBy::Nothing, None));
    match (edge.kind, edge.source) {
        (EdgeKind::UnderLeaf, _) => None,
        (EdgeKind::Nosing, _) => Some((CoveredBy::Nosing, None)),
        (kind, Source::Wall { room, wall }) => {
            let own = plan.rooms.get(room).and_then(|room| room.walls.get(wall)?.skirting);
            match own {
                Some(Skirting::Thick(thickness)) => Some((CoveredBy::Skirting, Some(thickness))),
                Some(Skirting::ToCome) => Some((CoveredBy::SkirtingToCome, None)),
                Some(Skirting::Without) => nothing,
                None if kind == EdgeKind::Wall => Some((CoveredBy::Skirting, plan.rules.cover.skirting)),
                None => nothing,
            }
        }
        (EdgeKind::Jamb, Source::Doorway(_)) if edge.gap < 0.0 => Some((CoveredBy::Lining, Some(-edge.gap))),
        (EdgeKind::Jamb, Source::Doorway(_)) => Some((CoveredBy::BeforeLining, None)),
        (_, Source::Doorway(_) | Source::Joint(_)) => nothing,
        (EdgeKind::Kick, _) => Some((CoveredBy::Kick, Some(-edge.gap))),
        (_, Source::Fixture(index)) => {
            let fixture = plan.fixtures.get(index)?;
            match (fixture.cover, fixture.kind) {
                (Some(cover), _) => Some((CoveredBy::Flange, Some(cover))),
                // Air comes out of it, so sealant is no way: its frame lies over the boards, or has still to be chosen.
                (None, FixtureKind::Vent) => Some((CoveredBy::Flange, None)),
                (None, _) => nothing,
            }
        }
    }
}
