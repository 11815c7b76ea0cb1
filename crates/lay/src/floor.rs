//! Lays the floor: slices the regions into rows, chooses each run's joints, cuts the boards.

use crate::slice::{extent, rise, slice, slice_across};
use crate::stagger::{Chosen, RunShape, choose};
use crate::yard::{Need, Yard};
use crate::{Board, End, Floor, Joint, Outline, Run};
use plan::Plan;
use rand_core::SeedableRng;
use rand_pcg::Pcg64Mcg;
use setout::SetOut;
use site::{Region, Site, Uv};

/// A board may miss its whole width or a square end by this much without being called shaped, mm.
const TRUE: f64 = 0.1;

/// Lays a site's floor from its start line, upwards first, then downwards past the slip tongue.
///
/// The same plan gives the same floor. Where no legal stagger is found in a run, the least bad one is laid and the findings flag it.
pub fn lay(plan: &Plan, site: &Site, setout: &SetOut) -> Floor {
    let pitch = setout.pitch;
    let line = setout.line.as_ref().map_or(setout.chosen.offset, |line| line.v);
    let mut work = Work {
        plan,
        pitch,
        line,
        yard: Yard::new(&plan.stock),
        rng: Pcg64Mcg::seed_from_u64(plan.seed),
        runs: Vec::new(),
        boards: Vec::new(),
        joints: Vec::new(),
    };
    for (index, region) in site.regions.iter().enumerate() {
        work.region(index, region);
    }
    let Work { yard, runs, boards, joints, .. } = work;
    let first_row = runs.iter().map(|run| run.row).min().unwrap_or(0);
    let mut floor = Floor { pitch, line, first_row, runs, boards, joints, stock: yard.boards };
    label(&mut floor);
    floor
}

/// Labels boards row by row from the lowest, left to right.
fn label(floor: &mut Floor) {
    let mut order: Vec<usize> = (0..floor.boards.len()).collect();
    order.sort_by(|a, b| {
        let (a, b) = (&floor.boards[*a], &floor.boards[*b]);
        a.row.cmp(&b.row).then(a.left.total_cmp(&b.left)).then(a.region.cmp(&b.region))
    });
    let mut previous = None;
    let mut number = 0;
    for index in order {
        let row = floor.boards[index].row;
        number = if previous == Some(row) { number + 1 } else { 1 };
        previous = Some(row);
        floor.boards[index].label = format!("{}-{number}", floor.row_number(row));
    }
}

struct Work<'a> {
    plan: &'a Plan,
    pitch: f64,
    line: f64,
    yard: Yard<'a>,
    rng: Pcg64Mcg,
    runs: Vec<Run>,
    boards: Vec<Board>,
    joints: Vec<Joint>,
}

/// Joints of one laid row, sorted by u, with the extent each takes of the row's height.
type RowJoints = Vec<(f64, f64, f64)>;

impl Work<'_> {
    fn region(&mut self, index: usize, region: &Region) {
        let rings: Vec<Vec<Uv>> =
            region.rings().map(|ring| ring.edges.iter().map(|edge| edge.a).collect()).collect();
        let Some((low, high)) = rings.first().map(|ring| rise(ring)) else { return };
        let first = ((low - self.line) / self.pitch - 1e-9).floor() as i32;
        let last = ((high - self.line) / self.pitch + 1e-9).ceil() as i32;
        let cuts: Vec<f64> = (first..=last).map(|row| self.line + f64::from(row) * self.pitch).collect();
        let rows = slice(&rings, &cuts);

        let mut laid: Vec<RowJoints> = vec![Vec::new(); rows.len()];
        let upwards = (0.max(first)..last).map(|row| (row, 1));
        let downwards = (first..0.min(last)).rev().map(|row| (row, -1));
        for (row, direction) in upwards.chain(downwards) {
            let place = (row - first) as usize;
            let before: Vec<RowJoints> = (1..=3)
                .map(|back| {
                    let other = row - first - direction * back;
                    usize::try_from(other).ok().and_then(|o| laid.get(o)).cloned().unwrap_or_default()
                })
                .collect();
            let mut joints = RowJoints::new();
            for outline in &rows[place] {
                self.run(index, row, outline, &before, &mut joints);
            }
            joints.sort_by(|a, b| a.0.total_cmp(&b.0));
            laid[place] = joints;
        }
    }

    fn run(
        &mut self,
        region: usize,
        row: i32,
        outline: &Outline,
        before: &[RowJoints],
        row_joints: &mut RowJoints,
    ) {
        let (left, right) = extent(&outline.outer);
        let turned = row < 0;
        // Below the line the worker faces the other way: their left is the plan's right.
        let local = |u: f64| if turned { right - u } else { u - left };
        let plan_u = |s: f64| if turned { right - s } else { left + s };
        let shared = self.line + f64::from(if turned { row + 1 } else { row }) * self.pitch;
        let touching = |joints: &RowJoints, all: bool| {
            let mut at: Vec<f64> = joints
                .iter()
                .filter(|(_, low, high)| all || (low - shared).abs() < TRUE || (high - shared).abs() < TRUE)
                .map(|(u, ..)| local(*u))
                .collect();
            at.sort_by(f64::total_cmp);
            at
        };
        let shape = RunShape {
            length: right - left,
            before: [
                touching(&before[0], false),
                touching(&before[1], true),
                touching(&before[2], true),
            ],
            notches: notches(outline, left, right).into_iter().map(local).collect(),
        };
        let shape = RunShape { notches: sorted(shape.notches), ..shape };
        let chosen = choose(&shape, &self.yard, &self.plan.stock, &self.plan.rules, &mut self.rng);
        if chosen.is_empty() {
            return;
        }
        self.cut_run(region, row, outline, &chosen, (left, right), plan_u, row_joints);
    }

    #[expect(clippy::too_many_arguments)]
    fn cut_run(
        &mut self,
        region: usize,
        row: i32,
        outline: &Outline,
        chosen: &[Chosen],
        (left, right): (f64, f64),
        plan_u: impl Fn(f64) -> f64,
        row_joints: &mut RowJoints,
    ) {
        let turned = row < 0;
        let mut at = 0.0;
        let mut starts = vec![0.0];
        let mut cuts: Vec<f64> = vec![left - 1.0, right + 1.0];
        for board in &chosen[..chosen.len() - 1] {
            at += board.length;
            starts.push(at);
            cuts.push(plan_u(at));
        }
        cuts.sort_by(f64::total_cmp);
        let rings: Vec<Vec<Uv>> = outline.rings().cloned().collect();
        let pieces = slice_across(&rings, &cuts);

        let run = self.runs.len();
        let first_board = self.boards.len();
        // Offcut indices in the choice hold only until the first cut: the two ends go first, the later one first.
        let mut slots: Vec<Option<(usize, f64)>> = vec![None; chosen.len()];
        let mut order: Vec<usize> = (0..chosen.len()).collect();
        order.sort_by_key(|i| match chosen[*i].from {
            crate::yard::From::Offcut(index) => (0, usize::MAX - index),
            crate::yard::From::Fresh(_) => (1, *i),
        });
        let count = chosen.len();
        let strip_of = |i: usize| if turned { count - 1 - i } else { i };
        // Boards are numbered as they will stand in the list: left to right on the plan, strip by strip.
        let mut numbers = vec![0; count];
        let mut next = first_board;
        for strip in 0..count {
            numbers[if turned { count - 1 - strip } else { strip }] = next;
            next += pieces[strip].len();
        }
        for i in order {
            if pieces[strip_of(i)].is_empty() {
                continue;
            }
            let Chosen { length, need, from } = chosen[i];
            slots[i] = Some(self.yard.cut(from, length, need, numbers[i], &mut self.rng));
        }
        for strip in 0..count {
            let i = if turned { count - 1 - strip } else { strip };
            for (k, piece) in pieces[strip].iter().enumerate() {
                let number = self.boards.len();
                let (piece_left, piece_right) = extent(&piece.outer);
                let own_left = if turned { right - piece_right } else { piece_left - left };
                let own_right = own_left + piece_right - piece_left;
                let ends_at = starts[i] + chosen[i].length;
                // A piece that ends at a wall inside its stretch of the run needs no end-match there.
                let need = match (i > 0 && own_left < starts[i] + TRUE, i + 1 < count && own_right > ends_at - TRUE)
                {
                    (true, true) => Need::Both,
                    (true, false) => Need::Left,
                    (false, true) => Need::Right,
                    (false, false) => Need::Neither,
                };
                // A second piece beside a wall or fixture inside the row needs wood of its own.
                let slot = match slots[i] {
                    // A piece that begins later than its stretch of the run is cut later from the board.
                    Some((stock, from)) if k == 0 => Some((stock, from + own_left - starts[i])),
                    _ => {
                        let length = piece_right - piece_left;
                        self.yard
                            .source(length, need, None, &vec![0; self.plan.stock.lengths.len()])
                            .map(|source| self.yard.cut(source.from, length, need, number, &mut self.rng))
                    }
                };
                let Some((stock, from)) = slot else { continue };
                self.push_board(region, row, run, piece.clone(), need, stock, from);
            }
        }
        self.runs.push(Run { region, row, left, right, boards: first_board..self.boards.len() });
        self.push_joints(first_board, row_joints);
    }

    #[expect(clippy::too_many_arguments)]
    fn push_board(
        &mut self,
        region: usize,
        row: i32,
        run: usize,
        outline: Outline,
        need: Need,
        stock: usize,
        from: f64,
    ) {
        let (left, right) = extent(&outline.outer);
        let (low, high) = rise(&outline.outer);
        let area = outline.area();
        let whole = self.yard.boards[stock].length;
        let to = from + (right - left);
        self.boards.push(Board {
            label: String::new(),
            region,
            row,
            run,
            left,
            right,
            area,
            turned: row < 0,
            left_end: if from < TRUE { End::Factory } else { End::Cut },
            right_end: if to > whole - TRUE { End::Factory } else { End::Cut },
            starts_run: matches!(need, Need::Right | Need::Neither),
            ends_run: matches!(need, Need::Left | Need::Neither),
            shaped: (high - low) * (right - left) - area > TRUE * (high - low + right - left),
            width: if high - low > self.pitch - TRUE { self.pitch } else { high - low },
            outline,
            stock,
            from,
        });
    }

    /// Finds the end joints among a run's boards: where one's right end meets another's left end.
    fn push_joints(&mut self, first: usize, row_joints: &mut RowJoints) {
        for b in first..self.boards.len() {
            for a in first..b {
                let (left, right) = (&self.boards[a], &self.boards[b]);
                let u = left.right;
                if (right.left - u).abs() > TRUE {
                    continue;
                }
                let overlap = meeting(&left.outline, &right.outline, u);
                for (low, high) in overlap {
                    self.joints.push(Joint { row: left.row, u, low, high, left: a, right: b });
                    row_joints.push((u, low, high));
                }
            }
        }
    }
}

/// Stretches along which two outlines share the line across the rows at `u`.
fn meeting(left: &Outline, right: &Outline, u: f64) -> Vec<(f64, f64)> {
    let sides = |outline: &Outline| {
        let mut found: Vec<(f64, f64)> = Vec::new();
        for ring in outline.rings() {
            for (i, a) in ring.iter().enumerate() {
                let b = ring[(i + 1) % ring.len()];
                if (a.u - u).abs() < 1e-6 && (b.u - u).abs() < 1e-6 {
                    found.push((a.v.min(b.v), a.v.max(b.v)));
                }
            }
        }
        found
    };
    let mut shared = Vec::new();
    for (low, high) in sides(left) {
        for (other_low, other_high) in sides(right) {
            let (low, high) = (low.max(other_low), high.min(other_high));
            if high - low > TRUE {
                shared.push((low, high));
            }
        }
    }
    shared
}

/// Places along the rows of a run's corners that are not at its ends: where notches begin and end.
fn notches(outline: &Outline, left: f64, right: f64) -> Vec<f64> {
    let end = |u: f64| u < left + 30.0 || u > right - 30.0;
    outline.rings().flatten().map(|p| p.u).filter(|u| !end(*u)).collect()
}

fn sorted(mut values: Vec<f64>) -> Vec<f64> {
    values.sort_by(f64::total_cmp);
    values
}
