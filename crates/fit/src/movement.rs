//! Swelling and shrinkage of the floor against the gaps it has.

use crate::beyond::{Beyond, beyond};
use crate::moisture::Moisture;
use crate::wood::{Change, Coefficients};
use plan::Plan;
use site::{Edge, EdgeKind, Place, Region, Ring, Site, Source, Span, Uv, spans};
use std::collections::{BTreeMap, BTreeSet};

/// An end of a stretch of floor: the edge there and the room it leaves.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EndGap {
    /// Ring of the region; 0 is the outline.
    pub ring: usize,
    /// Edge of the ring.
    pub edge: usize,
    /// What stands there.
    pub kind: EdgeKind,
    /// Where it comes from.
    pub source: Source,
    /// Room to swell into, mm; `None` where nothing known stands in the way: under a kick, under a leaf against
    /// another floor, at a nosing.
    pub room: Option<f64>,
}

/// A stretch of floor between two edges that face each other, and what the seasons do to it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stretch {
    /// Region.
    pub region: usize,
    /// Its extent, mm.
    pub extent: f64,
    /// One end, row coordinates.
    pub from: Uv,
    /// The other.
    pub to: Uv,
    /// The edges at its ends.
    pub ends: [EndGap; 2],
    /// How much it swells, mm.
    pub swells: Change,
    /// How much it shrinks, mm.
    pub shrinks: Change,
    /// Whether the floor is bonded, so that each end takes half of it; a loose floor may shift.
    pub is_bonded: bool,
}

impl Stretch {
    /// What its gaps take of swelling, mm: of a loose floor both together, of a bonded one twice the lesser; `None`
    /// where an end that counts has no bound.
    pub fn room(&self) -> Option<f64> {
        match (self.ends[0].room, self.ends[1].room) {
            (Some(a), Some(b)) if self.is_bonded => Some(2.0 * a.min(b)),
            (Some(a), Some(b)) => Some(a + b),
            (Some(one), None) | (None, Some(one)) if self.is_bonded => Some(2.0 * one),
            _ => None,
        }
    }

    /// What is left of that room when it is swollen, mm; negative where it does not suffice.
    pub fn left(&self) -> Option<f64> {
        self.room().map(|room| room - self.swells.expected)
    }
}

/// What the seasons do at one edge: half of what the longest stretch that ends there moves.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct EdgeMovement {
    /// Region.
    pub region: usize,
    /// Ring of the region; 0 is the outline.
    pub ring: usize,
    /// Edge of the ring.
    pub edge: usize,
    /// The longest stretch of floor that ends there, mm.
    pub extent: f64,
    /// How much its gap closes when the floor is dampest, mm.
    pub closes: f64,
    /// How much its gap opens when the floor is driest, mm.
    pub opens: f64,
}

/// An edge that goes further along a stretch than so many times across it ends none: with less, walls of a house laid
/// askew would end none; with more, a trim a few millimetres out of square stands for the jamb beside it.
const STEEP: f64 = 4.0;

/// Share of its width by which a joint's filler may be squeezed or stretched: 25 %, class 25 of ISO 11600:2002. The
/// maker's figure comes first.
pub const FILLER_TAKES: f64 = 0.25;

/// What the seasons do to a movement joint, both its sides together.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct JointMovement {
    /// Its place in the plan's list.
    pub joint: usize,
    /// How much it closes when the floor is dampest, mm.
    pub closes: f64,
    /// How much it opens when the floor is driest, mm.
    pub opens: f64,
}

/// What the seasons do to the floor.
#[derive(Debug, Clone, PartialEq)]
pub struct Movement {
    /// Moisture of the wood over the year.
    pub moisture: Moisture,
    /// By how much the boards change with it.
    pub coefficients: Coefficients,
    /// For each region the widest stretch across the boards, then the one whose gaps have least to spare where that
    /// is another.
    pub widths: Vec<Stretch>,
    /// The same along the boards.
    pub lengths: Vec<Stretch>,
    /// Every edge, region by region, ring by ring.
    pub edges: Vec<EdgeMovement>,
    /// Every movement joint of the plan, in its order.
    pub joints: Vec<JointMovement>,
    /// How far the joints between boards open at the driest, mm, where every board is held in its place. In a loose
    /// floor the boards hold together, and the gaps at the walls open instead.
    pub opening: f64,
    /// How far they may open, mm, see [`greatest_opening`].
    pub greatest_opening: f64,
    /// Stretches that movement joints do not serve.
    pub beyond: Vec<Beyond>,
}

impl Movement {
    /// What happens at an edge of the site.
    pub fn at_edge(&self, region: usize, ring: usize, edge: usize) -> Option<&EdgeMovement> {
        let key = |e: &EdgeMovement| (e.region, e.ring, e.edge);
        self.edges.binary_search_by_key(&(region, ring, edge), key).ok().map(|at| &self.edges[at])
    }
}

/// How far joints between boards `width` mm wide may open, mm: of boards up to 140 mm 2 % of the width and at most
/// 2 mm, of wider ones 3 mm. NF DTU 51.2 P1-1, 2020, §7.2; given for boards from 25 mm, the wider ones solid.
pub fn greatest_opening(width: f64) -> f64 {
    if width > 140.0 { 3.0 } else { (0.02 * width).min(2.0) }
}

/// The least gap published for a floating floor of an extent, mm: 0.15 % of it, and at least 8. NF DTU 51.11 P1-1,
/// 2009, §8.2.
pub fn least_floating_gap(extent: f64) -> f64 {
    (0.0015 * extent).max(8.0)
}

/// Gaps published for a glued floor, least and greatest, mm. NF DTU 51.2 P1-1, 2020, §6.2.
pub const GLUED_GAPS: [f64; 2] = [5.0, 8.0];

/// What is published for the gap at each end of a stretch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PublishedGap {
    /// At least, mm.
    pub least: f64,
    /// At most, mm, where that is published.
    pub greatest: Option<f64>,
    /// Where it is from, and what it is given for.
    pub source: &'static str,
}

impl Stretch {
    /// The gap published for a floor laid so: loose by its extent, bonded whatever that is. Both editions have been
    /// superseded; the one in force comes first.
    pub fn published_gap(&self) -> PublishedGap {
        match self.is_bonded {
            true => PublishedGap {
                least: GLUED_GAPS[0],
                greatest: Some(GLUED_GAPS[1]),
                source: "glued: NF DTU 51.2 P1-1, 2020, §6.2, superseded",
            },
            false => PublishedGap {
                least: least_floating_gap(self.extent),
                greatest: None,
                source: "floating, 0.15 % and at least 8 mm: NF DTU 51.11 P1-1, 2009, §8.2, superseded",
            },
        }
    }
}

impl PublishedGap {
    /// The figures in words: `at least 9 mm`, `5 mm to 8 mm`.
    pub fn words(&self, length: impl Fn(f64) -> String) -> String {
        match self.greatest {
            Some(greatest) => format!("{} to {}", length(self.least), length(greatest)),
            None => format!("at least {}", length(self.least)),
        }
    }
}

/// Stretches that differ by less are alike, mm.
const BESIDE: f64 = 0.01;

/// What the seasons do to a floor; `None` while the plan does not say what it is made of or what air it lives in.
pub(crate) fn movement(plan: &Plan, site: &Site) -> Option<Movement> {
    let (wood, air) = (plan.stock.wood?, plan.air?);
    let seasons = Seasons {
        plan,
        moisture: Moisture::of(&air),
        coefficients: Coefficients::of(&wood),
        is_bonded: wood.held_back > 0.0,
        shared: shared_leaves(site),
    };
    let (mut widths, mut lengths, mut edges) = (Vec::new(), Vec::new(), Vec::new());
    for (index, region) in site.regions.iter().enumerate() {
        let first = edges.len();
        for (ring, r) in region.rings().enumerate() {
            let at = |edge| EdgeMovement { region: index, ring, edge, ..EdgeMovement::default() };
            edges.extend((0..r.edges.len()).map(at));
        }
        let own = &mut edges[first..];
        widths.extend(seasons.worst(region, index, false, own));
        lengths.extend(seasons.worst(region, index, true, own));
    }
    let (pitch, fall) = (plan.stock.pitch(), seasons.moisture.fall());
    let mut movement = Movement {
        opening: seasons.coefficients.across(pitch, fall).expected,
        greatest_opening: greatest_opening(pitch),
        moisture: seasons.moisture,
        coefficients: seasons.coefficients,
        joints: joint_movements(plan, site, &edges),
        widths,
        lengths,
        edges,
        beyond: Vec::new(),
    };
    movement.beyond = beyond(plan, &movement);
    Some(movement)
}

/// What the edges on both sides of each joint do together.
fn joint_movements(plan: &Plan, site: &Site, edges: &[EdgeMovement]) -> Vec<JointMovement> {
    let mut sides = vec![[EdgeMovement::default(); 2]; plan.joints.len()];
    let all = site.regions.iter().flat_map(Region::edges);
    for (edge, moved) in all.zip(edges) {
        if let Source::Joint(joint) = edge.source
            && let Some(sides) = sides.get_mut(joint)
        {
            let is_first = if edge.is_along_rows() { edge.b.u > edge.a.u } else { edge.b.v > edge.a.v };
            let side = &mut sides[usize::from(is_first)];
            side.closes = side.closes.max(moved.closes);
            side.opens = side.opens.max(moved.opens);
        }
    }
    let both = |(joint, sides): (usize, &[EdgeMovement; 2])| JointMovement {
        joint,
        closes: sides[0].closes + sides[1].closes,
        opens: sides[0].opens + sides[1].opens,
    };
    sides.iter().enumerate().map(both).collect()
}

/// What the wood and the air of a plan do.
struct Seasons<'a> {
    plan: &'a Plan,
    moisture: Moisture,
    coefficients: Coefficients,
    is_bonded: bool,
    /// Doorways under whose leaf boards meet from both sides.
    shared: BTreeSet<usize>,
}

impl Seasons<'_> {
    fn changes(&self, extent: f64, along: bool) -> [Change; 2] {
        let change = |moisture: f64| match along {
            true => self.coefficients.along(extent, moisture),
            false => self.coefficients.across(extent, moisture),
        };
        [change(self.moisture.rise()), change(self.moisture.fall())]
    }

    /// Goes through the stretches of a region in one direction, notes at the edges what they do there, and gives the
    /// longest, then the one with least to spare where that is another.
    fn worst(&self, region: &Region, index: usize, along: bool, edges: &mut [EdgeMovement]) -> Vec<Stretch> {
        let turned = along.then(|| turned(region));
        let seen = turned.as_ref().unwrap_or(region);
        let counts: Vec<usize> = region.rings().map(|ring| ring.edges.len()).collect();
        let firsts: Vec<usize> = counts
            .iter()
            .scan(0, |sum, count| {
                *sum += count;
                Some(*sum - count)
            })
            .collect();
        // Seen from the other side a ring runs the other way.
        let own = |(ring, edge): Place| (ring, if along { counts[ring] - 1 - edge } else { edge });
        let rings: Vec<&Ring> = region.rings().collect();
        // What runs nearly along the stretch does not face it; it counts where nothing else ends one.
        let faces = |(ring, edge): Place| {
            let e = &rings[ring].edges[edge];
            let (du, dv) = ((e.b.u - e.a.u).abs(), (e.b.v - e.a.v).abs());
            if along { du <= STEEP * dv } else { dv <= STEEP * du }
        };
        let all = spans(seen);
        let is_faced = |span: &Span| faces(own(span.below)) && faces(own(span.above));
        let any_faced = all.iter().any(is_faced);
        let (mut longest, mut tightest): (Option<Stretch>, Option<(f64, Stretch)>) = (None, None);
        for span in all {
            let ends = [own(span.below), own(span.above)];
            let extent = span.heights[0].max(span.heights[1]);
            let [swells, shrinks] = self.changes(extent, along);
            for (ring, edge) in ends {
                let noted = &mut edges[firsts[ring] + edge];
                if rings[ring].edges[edge].is_along_rows() != along && extent > noted.extent {
                    noted.extent = extent;
                    (noted.closes, noted.opens) = (swells.expected / 2.0, shrinks.expected / 2.0);
                }
            }
            if any_faced && !is_faced(&span) {
                continue;
            }
            let end = |(ring, edge): Place| {
                let e = &rings[ring].edges[edge];
                EndGap { ring, edge, kind: e.kind, source: e.source, room: self.room(e) }
            };
            let (from, to) = ends_of(&span, seen, along);
            let stretch = Stretch {
                region: index,
                extent,
                from,
                to,
                ends: ends.map(end),
                swells,
                shrinks,
                is_bonded: self.is_bonded,
            };
            if longest.as_ref().is_none_or(|longest| extent > longest.extent + BESIDE) {
                longest = Some(stretch);
            }
            if let Some(left) = stretch.left()
                && tightest.as_ref().is_none_or(|(least, _)| left < least - BESIDE)
            {
                tightest = Some((left, stretch));
            }
        }
        let tightest = tightest.map(|(_, stretch)| stretch).filter(|tight| {
            longest.is_none_or(|long| long.left().is_none_or(|left| tight.left() < Some(left - BESIDE)))
        });
        longest.into_iter().chain(tightest).collect()
    }

    /// The room that an edge leaves to swell into.
    fn room(&self, edge: &Edge) -> Option<f64> {
        match (edge.kind, edge.source) {
            (EdgeKind::Kick | EdgeKind::Nosing, _) => None,
            // Boards from both sides share the gap of ends that meet.
            (EdgeKind::UnderLeaf, Source::Doorway(index)) => {
                self.shared.contains(&index).then_some(self.plan.rules.tile_end_gap / 2.0)
            }
            // Behind an undercut lining boards have what the rough opening leaves them.
            (EdgeKind::Jamb, Source::Doorway(index)) if edge.gap < 0.0 => {
                let door = self.plan.doorways.get(index)?;
                Some(((door.rough_width? - door.width) / 2.0 + edge.gap).max(0.0))
            }
            _ => Some(edge.gap),
        }
    }
}

/// Doorways under whose leaf boards end from both sides.
fn shared_leaves(site: &Site) -> BTreeSet<usize> {
    let mut sides: BTreeMap<usize, [bool; 2]> = BTreeMap::new();
    for edge in site.regions.iter().flat_map(Region::edges).filter(|e| e.kind == EdgeKind::UnderLeaf) {
        if let Source::Doorway(index) = edge.source {
            let (du, dv) = (edge.b.u - edge.a.u, edge.b.v - edge.a.v);
            let is_one = if du.abs() >= dv.abs() { du > 0.0 } else { dv > 0.0 };
            sides.entry(index).or_default()[usize::from(is_one)] = true;
        }
    }
    sides.into_iter().filter(|(_, sides)| sides[0] && sides[1]).map(|(index, _)| index).collect()
}

/// Where a span is longest.
fn ends_of(span: &Span, region: &Region, is_turned: bool) -> (Uv, Uv) {
    let (at, extent) = match span.heights[0] >= span.heights[1] {
        true => (span.from, span.heights[0]),
        false => (span.to, span.heights[1]),
    };
    let below = region.rings().nth(span.below.0).and_then(|ring| ring.edges.get(span.below.1));
    let low = below.map_or(0.0, |e| {
        let run = e.b.u - e.a.u;
        let part = if run == 0.0 { 0.0 } else { ((at - e.a.u) / run).clamp(0.0, 1.0) };
        e.a.v + (e.b.v - e.a.v) * part
    });
    let back = |p: Uv| if is_turned { Uv::new(p.v, p.u) } else { p };
    (back(Uv::new(at, low)), back(Uv::new(at, low + extent)))
}

/// The region seen with u and v changed over.
fn turned(region: &Region) -> Region {
    let swap = |p: Uv| Uv::new(p.v, p.u);
    let ring = |ring: &Ring| Ring {
        edges: ring.edges.iter().rev().map(|e| Edge { a: swap(e.b), b: swap(e.a), ..*e }).collect(),
    };
    Region { outer: ring(&region.outer), holes: region.holes.iter().map(ring).collect(), area: region.area }
}
