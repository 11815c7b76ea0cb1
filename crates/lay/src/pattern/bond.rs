//! Straight rows of one length, each half or a third of a length off the row before.

use super::Field;
use super::layer::{Layer, Place};
use super::shift::{Ends, best_shift};
use super::turn::rings_of;
use crate::cut::meeting;
use crate::ground::{Lie, TRUE, lie};
use crate::nest::{SQUARE, Shifts};
use crate::slice::{extent, rise, slice, slice_across};
use crate::{Joint, Run};
use plan::Plan;
use site::Uv;

/// Pairs of slants told apart, and how near to one another two are one, mm.
const MOST_SLANTS: usize = 24;
const SAME_SLANT: f64 = 1e-3;

/// Lays rows whose joints step by an n-th of the longest board, and gives u of a joint in row 0.
///
/// The joints of all rows hang together, so one shift along the rows places them; it is chosen exactly, so
/// that the fewest pieces at walls are shorter than the least and the shortest of them is longest.
pub(super) fn lay<'a>(
    plan: &Plan,
    fields: impl Iterator<Item = Field<'a>>,
    n: i32,
    layer: &mut Layer,
) -> f64 {
    let length = plan.stock.longest();
    if length <= 0.0 {
        return 0.0;
    }
    let mut stretches: Vec<Lie> = Vec::new();
    for field in fields {
        stretches.extend(rows(field, layer.pitch));
    }
    let step = |row: i32| length * f64::from(row.rem_euclid(n)) / f64::from(n);
    let ends = |of: fn(&Run) -> f64| -> Vec<f64> {
        let long_enough = stretches.iter().filter(|lie| lie.length() >= plan.rules.least_end);
        long_enough.map(|lie| of(&lie.run) - step(lie.run.row)).collect()
    };
    let ends = Ends { left: ends(|run| run.left), right: ends(|run| run.right) };
    let shift = best_shift(&ends, length, plan.rules.least_end, plan.rules.line_tolerance);
    let joint = |stretch: &Lie| shift + step(stretch.run.row);
    let kinds = slants(&stretches, joint, length);
    if kinds.len() > 1 {
        layer.wood.slant(kinds.clone());
    }
    for stretch in &stretches {
        lay_stretch(stretch, joint(stretch), (length, &kinds), layer);
    }
    shift
}

/// The stretches of a field's rows in order of laying: upwards from the start line, then downwards.
fn rows(field: Field<'_>, pitch: f64) -> Vec<Lie> {
    let Field { region, line, shape } = field;
    let rings = rings_of(shape);
    let Some((low, high)) = rings.first().map(|ring| rise(ring)) else { return Vec::new() };
    let first = ((low - line) / pitch - 1e-9).floor() as i32;
    let last = ((high - line) / pitch + 1e-9).ceil() as i32;
    let cuts: Vec<f64> = (first..=last).map(|row| line + f64::from(row) * pitch).collect();
    let mut all: Vec<Lie> = Vec::new();
    for ((row, sides), outlines) in (first..last).zip(cuts.windows(2)).zip(slice(&rings, &cuts)) {
        let sides = (sides[0], sides[1]);
        let lie = |outline| {
            let mut lie = lie(region, (row, 0), outline, sides, false);
            lie.note_slants(pitch);
            lie
        };
        all.extend(outlines.into_iter().map(lie));
    }
    all.sort_by_key(|lie| if lie.run.row < 0 { (1, -lie.run.row) } else { (0, lie.run.row) });
    all
}

/// Where a stretch is cut: at its joints, and where whole boards at its ends begin and end. These lie past its ends, or short of them
/// by a hair, which the gap there takes: no piece is longer than its wood.
fn cuts(stretch: &Lie, joint: f64, length: f64) -> Vec<f64> {
    let Run { left, right, .. } = stretch.run;
    let first = joint + ((left + TRUE - joint) / length).ceil() * length;
    let count = ((right - TRUE - first) / length).ceil().max(0.0) as usize;
    (0..count + 2).map(|i| first + (i as f64 - 1.0) * length).collect()
}

/// Slants of the `i`-th piece of a stretch, in its own frame, so long from long point to long point.
fn slants_of(stretch: &Lie, cuts: &[f64], i: usize, length: f64) -> Shifts {
    let (is_left, is_right) = (i == 0, i + 2 == cuts.len());
    let own = if stretch.run.is_turned() { [is_right, is_left] } else { [is_left, is_right] };
    stretch.shifts(length, own)
}

/// The slants that pieces' ends have, square ones first; of very many the first: others are cut from their rectangles.
fn slants(stretches: &[Lie], joint: impl Fn(&Lie) -> f64, length: f64) -> Vec<Shifts> {
    let mut kinds = vec![SQUARE];
    for stretch in stretches.iter().filter(|stretch| stretch.run.slants != SQUARE) {
        let cuts = cuts(stretch, joint(stretch), length);
        let Run { left, right, .. } = stretch.run;
        for (i, pair) in cuts.windows(2).enumerate() {
            let shifts = slants_of(stretch, &cuts, i, pair[1].min(right) - pair[0].max(left));
            if kinds.len() < MOST_SLANTS && kind(&kinds, shifts).is_none() {
                kinds.push(shifts);
            }
        }
    }
    kinds
}

/// The kind that these slants are of.
fn kind(kinds: &[Shifts], shifts: Shifts) -> Option<Shifts> {
    let is_it = |kind: &Shifts| (kind[0] - shifts[0]).abs().max((kind[1] - shifts[1]).abs()) < SAME_SLANT;
    kinds.iter().copied().find(is_it)
}

/// Lays one stretch, with joints at `joint` and every length from it.
fn lay_stretch(stretch: &Lie, joint: f64, (length, kinds): (f64, &[Shifts]), layer: &mut Layer) {
    let Run { region, row, .. } = stretch.run;
    let cuts = cuts(stretch, joint, length);
    let rings: Vec<Vec<Uv>> = stretch.outline.rings().cloned().collect();
    let run = layer.runs.len();
    let start = layer.boards.len();
    for (i, pieces) in slice_across(&rings, &cuts).into_iter().enumerate() {
        let place = Place {
            region,
            row,
            run,
            along: Uv::new(1.0, 0.0),
            base: stretch.base,
            from: cuts[i],
            to: cuts[i + 1],
            lean: 0.0,
            turned: row < 0,
            hand: None,
            in_border: false,
            slants: SQUARE,
            joined: (i > 0, i + 2 < cuts.len()),
        };
        for piece in pieces {
            let (left, right) = extent(&piece.outer);
            let slants = kind(kinds, slants_of(stretch, &cuts, i, right - left)).unwrap_or(SQUARE);
            layer.lay(&Place { slants, ..place }, piece);
        }
    }
    layer.runs.push(Run { boards: start..layer.boards.len(), ..stretch.run.clone() });
    for b in start..layer.boards.len() {
        for a in start..b {
            let u = layer.boards[a].right;
            if (layer.boards[b].left - u).abs() > TRUE {
                continue;
            }
            let shared = meeting(&layer.boards[a].outline, &layer.boards[b].outline, u);
            let joint = |(low, high)| Joint { row, u, low, high, left: a, right: b };
            layer.joints.extend(shared.into_iter().map(joint));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Outline;

    /// Boards of 2060, the joint at 2060. What lies between two walls is one board up to 0.1 more than it; beyond it is two, and so it is
    /// on the other side.
    #[test]
    fn no_piece_is_longer_than_a_board() {
        for (left, right, whole) in [
            (0.0, 2060.0, [0.0, 2060.0].as_slice()),
            (-0.067, 2060.067, &[0.0, 2060.0]),
            (-0.11, 2060.0, &[-2060.0, 0.0, 2060.0]),
            (0.0, 2060.11, &[0.0, 2060.0, 4120.0]),
            (1030.0, 4120.05, &[0.0, 2060.0, 4120.0]),
        ] {
            let corners = [(left, 0.0), (right, 0.0), (right, 149.0), (left, 149.0)];
            let outer = corners.map(|(u, v)| Uv::new(u, v)).to_vec();
            let stretch = lie(0, (0, 0), Outline { outer, holes: Vec::new() }, (0.0, 149.0), false);
            assert_eq!(cuts(&stretch, 2060.0, 2060.0), whole, "{left} to {right}");
        }
    }
}
