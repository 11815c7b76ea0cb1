//! Border: courses of boards along every edge of a region, round the field.

use super::corner::{Strip, strips};
use super::layer::{Layer, Place};
use super::turn::Turn;
use super::wood::{BlockStock, Wood};
use crate::ground::TRUE;
use crate::slice::{extent, rise, slice, slice_across};
use crate::{Floor, Outline, Run, Short, StockBoard};
use plan::{Border, Plan, Rules, Stock};
use site::{Region, Site, Uv};

/// Rounding in a number of lengths.
const EXACT: f64 = 1e-9;

/// A strip already laid in the course before, with the joints along it.
#[derive(Debug)]
struct Laid {
    along: Uv,
    /// Side on which the next course lies, square to `along`.
    inner: f64,
    from: f64,
    to: f64,
    joints: Vec<f64>,
}

/// Lays the border round a floor's field, course by course from the wall inwards.
pub(crate) fn lay_border(plan: &Plan, site: &Site, border: Border, floor: &mut Floor) {
    // Blocks of one hand come in packs of their own.
    let shared = plan.stock.packs.filter(|_| floor.boards.iter().all(|board| board.hand.is_none()));
    let stock = BlockStock::plain(match shared {
        Some(packs) => left_of(&plan.stock, packs, floor),
        None => plan.stock.clone(),
    });
    let mut layer = Layer::new(plan.stock.pitch(), Wood::new(&stock, plan));
    for (index, region) in site.regions.iter().enumerate() {
        lay_round(plan, border, index, region, &mut layer);
    }
    add(floor, layer.finish(Vec::new(), None), shared);
}

/// What the field has left of the packs on hand, as one pack.
fn left_of(stock: &Stock, packs: u32, floor: &Floor) -> Stock {
    let mut left = stock.clone();
    for length in &mut left.lengths {
        let is_of = |b: &&StockBoard| (b.length - length.length).abs() < TRUE;
        let used = u32::try_from(floor.stock.iter().filter(is_of).count()).unwrap_or(u32::MAX);
        length.per_pack = length.per_pack.saturating_mul(packs).saturating_sub(used);
    }
    left.packs = Some(1);
    left
}

fn lay_round(plan: &Plan, border: Border, index: usize, region: &Region, layer: &mut Layer<'_>) {
    let pitch = layer.pitch;
    let mut outer = vec![region.clone()];
    let mut before: Vec<Laid> = Vec::new();
    for course in 0..border.boards {
        let inner = site::inset_by(region, f64::from(course + 1) * pitch);
        let mut laid = Vec::new();
        for strip in strips(&outer, &inner, pitch, border.corners) {
            lay_strip(plan, index, course, &strip, &before, &mut laid, layer);
        }
        (outer, before) = (inner, laid);
    }
}

/// Lays the boards of one strip.
fn lay_strip(
    plan: &Plan,
    region: usize,
    course: u32,
    strip: &Strip,
    before: &[Laid],
    laid: &mut Vec<Laid>,
    layer: &mut Layer<'_>,
) {
    let pitch = layer.pitch;
    // Boards point to the right; the tongue faces the floor.
    let turned = strip.along.u < 0.0 || (strip.along.u == 0.0 && strip.along.v < 0.0);
    let along = if turned { Uv::new(-strip.along.u, -strip.along.v) } else { strip.along };
    let turn = Turn::to(along);
    let rings = turn.rings_into(&strip.outline);
    let Some((low, high)) = rings.first().map(|ring| rise(ring)) else { return };
    let edge = turn.into(strip.at).v;
    let zero = if turned { edge - pitch } else { edge };
    let first = ((low - zero) / pitch + 1e-6).floor() as i32;
    let last = ((high - zero) / pitch - 1e-6).ceil() as i32;
    // A strip beside an edge too short for the course may be wider than a board.
    let sides: Vec<f64> = (first..=last).map(|band| zero + f64::from(band) * pitch).collect();
    for (base, outlines) in sides.iter().zip(slice(&rings, &widened(&sides))) {
        for outline in outlines {
            let (from, to) = extent(&outline.outer);
            let (inner, wall) = if turned { (*base, base + pitch) } else { (base + pitch, *base) };
            let beside = before.iter().filter(|l| {
                let same_way = (l.along.u - along.u).abs() + (l.along.v - along.v).abs() < 1e-6;
                same_way && (l.inner - wall).abs() < TRUE && l.from < to && l.to > from
            });
            let near: Vec<f64> = beside.flat_map(|l| l.joints.iter().copied()).collect();
            let joints = joints(from, to, plan.stock.longest(), &near, &plan.rules);
            let run = layer.runs.len();
            let start = layer.boards.len();
            let place = Place {
                region,
                row: course as i32,
                run,
                along,
                base: *base,
                from,
                to,
                lean: 0.0,
                turned,
                hand: None,
                in_border: true,
                joined: (false, false),
            };
            lay_lengths(&place, &outline, &joints, turn, layer);
            layer.runs.push(Run {
                region,
                row: course as i32,
                left: from,
                right: to,
                boards: start..layer.boards.len(),
                ..Run::default()
            });
            laid.push(Laid { along, inner, from, to, joints });
        }
    }
}

/// The bands between these sides, the outermost a hair wider: rounding at a mitre must not part a film.
fn widened(sides: &[f64]) -> Vec<f64> {
    let mut cuts = sides.to_vec();
    if let [first, .., last] = cuts.as_mut_slice() {
        *first -= TRUE;
        *last += TRUE;
    }
    cuts
}

fn lay_lengths(place: &Place, outline: &Outline, joints: &[f64], turn: Turn, layer: &mut Layer<'_>) {
    let mut cuts = vec![place.from - 1.0];
    cuts.extend(joints);
    cuts.push(place.to + 1.0);
    let rings: Vec<Vec<Uv>> = outline.rings().cloned().collect();
    for (i, pieces) in slice_across(&rings, &cuts).into_iter().enumerate() {
        let place = Place { from: cuts[i], to: cuts[i + 1], joined: (i > 0, i + 2 < cuts.len()), ..*place };
        for piece in pieces {
            layer.lay(&place, turn.outline_back(piece));
        }
    }
}

/// Joints of a strip from `from` to `to` in boards of one length: the first that keeps the end pieces from
/// being short and its distance from the joints beside it, with the fewest boards.
fn joints(from: f64, to: f64, longest: f64, beside: &[f64], rules: &Rules) -> Vec<f64> {
    let length = to - from;
    if length <= longest || longest <= 0.0 {
        return Vec::new();
    }
    let (least, stagger) = (rules.least_end, rules.least_stagger);
    let rest = length.rem_euclid(longest);
    let mut firsts =
        vec![longest, rest, (rest - least).rem_euclid(longest), least, (rest + longest) / 2.0, rest / 2.0];
    for joint in beside {
        let off = (joint - from).rem_euclid(longest);
        firsts.extend([off + longest / 2.0, off + stagger, off - stagger].map(|f| f.rem_euclid(longest)));
    }
    let at = |first: f64| -> Vec<f64> {
        let count = ((length - first) / longest - EXACT).ceil().max(0.0) as usize;
        (0..count).map(|i| from + first + i as f64 * longest).collect()
    };
    let faults = |joints: &[f64]| {
        let short = |piece: f64| usize::from(piece < least - TRUE);
        let ends = joints.first().map_or(0, |j| short(j - from)) + joints.last().map_or(0, |j| short(to - j));
        let close = |j: &&f64| beside.iter().any(|b| (b - **j).abs() < stagger - TRUE);
        (ends, joints.iter().filter(close).count(), joints.len())
    };
    firsts
        .into_iter()
        .filter(|first| *first > TRUE && *first <= longest)
        .map(at)
        .min_by_key(|joints| faults(joints))
        .unwrap_or_default()
}

/// Adds a border to a floor.
fn add(floor: &mut Floor, border: Floor, on_hand: Option<u32>) {
    let (boards, runs, stock) = (floor.boards.len(), floor.runs.len(), floor.stock.len());
    let packs = floor.stock.iter().map(|board| board.pack + 1).max().unwrap_or(0);
    floor.runs.extend(
        border
            .runs
            .into_iter()
            .map(|run| Run { boards: run.boards.start + boards..run.boards.end + boards, ..run }),
    );
    floor.boards.extend(border.boards.into_iter().map(|board| crate::Board {
        label: format!("B{}", board.label),
        run: board.run + runs,
        stock: board.stock + stock,
        ..board
    }));
    floor.short.extend(border.short.into_iter().map(|short| Short { run: short.run + runs, ..short }));
    // What the field left counts as one more pack, but there are no more than were on hand.
    let last = on_hand.map_or(usize::MAX, |packs| (packs as usize).saturating_sub(1));
    floor.stock.extend(border.stock.into_iter().map(|mut opened| {
        opened.pieces.iter_mut().for_each(|piece| piece.board += boards);
        StockBoard { pack: (opened.pack + packs).min(last), ..opened }
    }));
}
