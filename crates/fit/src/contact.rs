//! What stands at a board's sides: the edges of the site along its outline.

use crate::overhang::{Covered, Overhangs};
use crate::{Meets, Part};
use lay::Board;
use plan::{Beyond, Bounds, Boxes, Doorway, Lining, Places, Plan};
use site::{Edge, EdgeKind, Site, Source, Uv};
use std::cell::OnceCell;
use std::ops::Range;

/// An edge this near to a board's bounds is looked at, mm; past what [`REACH`] allows.
const NEAR: f64 = 1.0;
/// An outline touches an edge within this, mm. Larger than rounding and healed jogs, smaller than any gap between
/// two things.
const REACH: f64 = 0.5;
/// Edges beside a run that are looked through for each of its boards; more are gone through along it.
const FEW: usize = 32;
/// The edges of a region of no more than this are looked through for each run of it.
const SMALL: usize = 64;

/// An edge of the site that a board lies along.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Contact {
    pub(crate) at: Meets,
    /// Region, and the edge among the region's.
    pub(crate) edge: (usize, usize),
    /// Whether it stands over the board's edge.
    pub(crate) over: bool,
    /// Free room beyond the board there, mm.
    pub(crate) room: f64,
    /// Extent of what they share across the board, from its groove edge, mm.
    pub(crate) across: (f64, f64),
    /// Length that they share, mm; 0 where the board lies under what stands there and does not reach the edge.
    pub(crate) shared: f64,
    /// Middle of the edge.
    pub(crate) middle: Uv,
}

/// Lists that are filled anew for every run.
#[derive(Debug, Default)]
pub(crate) struct Near {
    /// Edges beside the run.
    edges: Vec<usize>,
    /// Those that a board further along the run may still meet, as one goes along it.
    open: Vec<usize>,
    /// Bounds of the run's boards.
    boards: Vec<Option<Bounds>>,
    /// What one of its boards lies along.
    found: Vec<Contact>,
}

/// The edges of all regions, and where they lie.
pub(crate) struct Contacts<'a> {
    plan: &'a Plan,
    /// Region, place in the region, edge.
    edges: Vec<(usize, usize, Edge)>,
    bounds: Vec<Option<Bounds>>,
    /// Where they lie, once a large region's are asked for.
    filed: OnceCell<Boxes>,
    /// First of each region's edges among all.
    first: Vec<usize>,
    far_is_boarded: Vec<bool>,
    overhangs: Overhangs,
}

impl<'a> Contacts<'a> {
    pub(crate) fn new(plan: &'a Plan, places: &Places<'_>, site: &Site) -> Self {
        let counts: Vec<usize> = site.regions.iter().map(|region| region.edges().count()).collect();
        let regions = site.regions.iter().enumerate();
        let mut edges: Vec<(usize, usize, Edge)> = Vec::with_capacity(counts.iter().sum());
        edges.extend(
            regions.flat_map(|(region, r)| r.edges().enumerate().map(move |(i, edge)| (region, i, *edge))),
        );
        let bounds: Vec<Option<Bounds>> =
            edges.iter().map(|(_, _, e)| Bounds::of([e.a, e.b].map(|p| [p.u, p.v]))).collect();
        let boarded =
            |door: &Doorway| places.far_room(door).is_some_and(|room| plan.rooms[room].is_boarded());
        let mut count = 0;
        let first = counts.iter().map(|own| {
            count += own;
            count - own
        });
        let overhangs = Overhangs::new(site, |edge| stands_over(plan, edge));
        Self {
            plan,
            edges,
            bounds,
            filed: OnceCell::new(),
            first: first.collect(),
            far_is_boarded: plan.doorways.iter().map(boarded).collect(),
            overhangs,
        }
    }

    /// What each board of a run lies along, in the site's order. The index is asked once for all of them; only where many
    /// edges stand beside boards that are in no order, each board asks it.
    pub(crate) fn of_run(
        &self,
        boards: &[Board],
        pitch: f64,
        Near { edges: near, open, boards: bounds, found }: &mut Near,
        mut give: impl FnMut(usize, &[Contact]),
    ) {
        near.clear();
        open.clear();
        bounds.clear();
        let of_board = |board: &Board| Bounds::of(board.outline.outer.iter().map(|p| [p.u, p.v]));
        bounds.extend(boards.iter().map(of_board));
        let run = Bounds::of(bounds.iter().flatten().flat_map(|board| [board.low, board.high]));
        if let (Some(run), Some(board)) = (run, boards.first()) {
            let around = run.grown(NEAR);
            // Of a run in one region what stands beside it is an edge of that.
            let is_of_one = boards.iter().all(|other| other.region == board.region);
            match self.edges_of(board.region).filter(|edges| is_of_one && edges.len() <= SMALL) {
                Some(edges) => {
                    let meets = |index: &usize| self.bounds[*index].is_some_and(|edge| edge.meets(around));
                    near.extend(edges.filter(meets));
                }
                None => self.filed().each(around, |index| near.push(index)),
            }
        }
        // Hardly any run lies under anything.
        let is_bare = run.is_some_and(|run| !self.overhangs.meets(run));
        // Boards stand in a run from left to right. Along a long one edges are gone through as they come and go.
        let low = |board: &Option<Bounds>| board.map_or(f64::INFINITY, |board| board.low[0]);
        let is_long = near.len() > FEW && bounds.is_sorted_by(|a, b| low(a) <= low(b));
        let reach = |edge: usize| self.bounds[edge].map_or((0.0, 0.0), |edge| (edge.low[0], edge.high[0]));
        if is_long {
            near.sort_unstable_by(|a, b| reach(*a).0.total_cmp(&reach(*b).0).then(a.cmp(b)));
        }
        let mut next = 0;
        for (place, (board, bounds)) in boards.iter().zip(&*bounds).enumerate() {
            let Some(bounds) = bounds.map(|bounds| bounds.grown(NEAR)) else { continue };
            let edges = match is_long {
                true => {
                    open.retain(|edge| reach(*edge).1 >= bounds.low[0]);
                    while let Some(edge) = near.get(next).filter(|edge| reach(**edge).0 <= bounds.high[0]) {
                        open.push(*edge);
                        next += 1;
                    }
                    Some(open.as_slice())
                }
                false => Some(near.as_slice()).filter(|near| near.len() <= FEW),
            };
            self.of_board((board, bounds), pitch, (edges, is_bare), found, |found| give(place, found));
        }
    }

    fn filed(&self) -> &Boxes {
        self.filed.get_or_init(|| Boxes::new(self.bounds.iter().copied()))
    }

    /// The edges of a region, by their places among all.
    fn edges_of(&self, region: usize) -> Option<Range<usize>> {
        let first = *self.first.get(region)?;
        Some(first..self.first.get(region + 1).copied().unwrap_or(self.edges.len()))
    }

    /// What one board lies along, where it lies along anything; within `bounds`; `near` holds all edges that it could be,
    /// where the index need not be asked, and a board that is bare lies under nothing.
    fn of_board(
        &self,
        (board, bounds): (&Board, Bounds),
        pitch: f64,
        (near, is_bare): (Option<&[usize]>, bool),
        found: &mut Vec<Contact>,
        give: impl FnOnce(&[Contact]),
    ) {
        found.clear();
        let mut see = |index: usize| {
            let (region, place, edge) = &self.edges[index];
            if *region == board.region {
                found.extend(self.contact(board, pitch, (*region, *place), edge));
            }
        };
        match near {
            Some(near) => {
                let meets = |index: &&usize| self.bounds[**index].is_some_and(|edge| edge.meets(bounds));
                near.iter().filter(meets).for_each(|index| see(*index));
            }
            None => self.filed().each(bounds, see),
        }
        if !is_bare {
            let touched: Vec<(EdgeKind, Source)> = found.iter().map(|c| (c.at.kind, c.at.source)).collect();
            let covered = self.overhangs.over(board, &touched);
            found.extend(covered.iter().filter_map(|covered| self.covered(board, pitch, covered)));
        }
        if !found.is_empty() {
            found.sort_by_key(|contact| contact.edge);
            give(found);
        }
    }

    fn contact(&self, board: &Board, pitch: f64, at: (usize, usize), edge: &Edge) -> Option<Contact> {
        let (shared, across) = shared(board, pitch, edge)?;
        let over = stands_over(self.plan, edge);
        let meets = Meets { part: part(board, edge), kind: edge.kind, source: edge.source, gap: edge.gap };
        let middle = Uv::new((edge.a.u + edge.b.u) / 2.0, (edge.a.v + edge.b.v) / 2.0);
        Some(Contact { at: meets, edge: at, over, room: self.room(edge), across, shared, middle })
    }

    /// What stands over a board that does not reach the edge under it.
    fn covered(&self, board: &Board, pitch: f64, covered: &Covered) -> Option<Contact> {
        let (region, place) = covered.edge;
        let (_, _, edge) = self.edges.get(self.first.get(region)? + place)?;
        let across = covered.part.iter().map(|p| board.own(*p, pitch).1);
        let across = across.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), y| (a.min(y), b.max(y)));
        let meets = Meets { part: part(board, edge), kind: edge.kind, source: edge.source, gap: edge.gap };
        let middle = Uv::new(f64::midpoint(edge.a.u, edge.b.u), f64::midpoint(edge.a.v, edge.b.v));
        Some(Contact {
            at: meets,
            edge: covered.edge,
            over: true,
            room: self.room(edge),
            across,
            shared: 0.0,
            middle,
        })
    }

    /// Free room beyond an edge while the boards are laid, mm.
    fn room(&self, edge: &Edge) -> f64 {
        match (edge.kind, edge.source) {
            // Under a leaf nothing stands but what comes from the other side.
            (EdgeKind::UnderLeaf, Source::Doorway(index)) => {
                let is_met = self.far_is_boarded.get(index).copied().unwrap_or(false);
                if is_met { self.plan.rules.tile_end_gap } else { f64::INFINITY }
            }
            // Until the lining comes there is room up to the rough opening.
            (EdgeKind::Jamb, _) => {
                let rough = |door: &Doorway| door.rough_width.map_or(0.0, |rough| (rough - door.width) / 2.0);
                let to_come = doorway(self.plan, edge).filter(|door| door.lining == Lining::ToCome);
                edge.gap + to_come.map_or(0.0, rough).max(0.0)
            }
            // Boards on the other side of a movement joint leave all of it open.
            (EdgeKind::MovementJoint, _) => 2.0 * edge.gap,
            // Where boards run out to the open, nothing stands.
            (EdgeKind::Trim, Source::Doorway(index)) => match self.plan.doorways.get(index) {
                Some(Doorway { beyond: Beyond::RunThrough, .. }) => f64::INFINITY,
                _ => edge.gap,
            },
            _ => edge.gap,
        }
    }
}

/// Whether something fitted reaches over the floor at an edge.
fn stands_over(plan: &Plan, edge: &Edge) -> bool {
    match edge.kind {
        EdgeKind::Kick => true,
        // Before a lining that boards stop short of their gap is all that counts.
        EdgeKind::Jamb => {
            edge.gap < 0.0 && doorway(plan, edge).map(|door| door.lining) == Some(Lining::Fitted)
        }
        // A track that boards stop short of stands beside them, not over them.
        _ => edge.gap < 0.0,
    }
}

fn doorway<'p>(plan: &'p Plan, edge: &Edge) -> Option<&'p Doorway> {
    match edge.source {
        Source::Doorway(index) => plan.doorways.get(index),
        _ => None,
    }
}

/// The side of a board at which an edge lies, by the way the edge faces.
fn part(board: &Board, edge: &Edge) -> Part {
    // The floor lies to the left of the edge, so away from the floor is to its right.
    let away = Uv::new(edge.b.v - edge.a.v, edge.a.u - edge.b.u);
    let along = away.u * board.along.u + away.v * board.along.v;
    let across = away.v * board.along.u - away.u * board.along.v;
    let (along, across) = if board.turned { (-along, -across) } else { (along, across) };
    // The same 45° as where edges get their gaps.
    match along.abs() > across.abs() * 1.001 {
        true if along > 0.0 => Part::Right,
        true => Part::Left,
        false if across > 0.0 => Part::Tongue,
        false => Part::Groove,
    }
}

/// How much of an edge a board's outline lies along, and the extent of that across the board from its groove edge,
/// mm; `None` where they touch at a corner at most.
fn shared(board: &Board, pitch: f64, edge: &Edge) -> Option<(f64, (f64, f64))> {
    let length = edge.length();
    if length <= 0.0 {
        return None;
    }
    let (du, dv) = ((edge.b.u - edge.a.u) / length, (edge.b.v - edge.a.v) / length);
    let place = |p: Uv| {
        let (x, y) = (p.u - edge.a.u, p.v - edge.a.v);
        (x * du + y * dv, (x * dv - y * du).abs())
    };
    let mut all = 0.0;
    let mut across = (f64::INFINITY, f64::NEG_INFINITY);
    for ring in board.outline.rings() {
        let Some(first) = ring.first().map(|p| place(*p)) else { continue };
        let mut from = first;
        let rest = ring[1..].iter().map(|p| place(*p));
        for to in rest.chain([first]) {
            let ((s, off), (t, other_off)) = (std::mem::replace(&mut from, to), to);
            let (from, to) = (s.min(t).max(0.0), s.max(t).min(length));
            if off < REACH && other_off < REACH && to - from > REACH {
                all += to - from;
                for s in [from, to] {
                    let (_, y) = board.own(Uv::new(edge.a.u + s * du, edge.a.v + s * dv), pitch);
                    across = (across.0.min(y), across.1.max(y));
                }
            }
        }
    }
    (all > 0.0).then_some((all, across))
}
