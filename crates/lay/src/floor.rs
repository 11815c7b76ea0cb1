//! Lays the floor: slices the regions into rows, chooses each run's joints, cuts the boards.

use crate::pattern;
use crate::slice::{extent, rise, slice, slice_across};
use crate::stagger::{Chosen, RunShape, choose};
use crate::yard::{From, Need, Yard};
use crate::{Board, End, Floor, Joint, Outline, Run};
use plan::{Pattern, Plan};
use rand_core::SeedableRng;
use rand_pcg::Pcg64Mcg;
use setout::SetOut;
use site::{Region, Site, Uv};

/// Places closer together than this are one, mm.
pub(crate) const TRUE: f64 = 0.1;
/// A rip that tapers by less than this is ripped straight, mm. Common practice, no source.
const STRAIGHT: f64 = 0.5;
/// An end out of square by less than this is cut square, mm; the skirting covers it. Common practice, no source.
const SQUARE: f64 = 1.0;

/// A side this close to an end joint's place lies on it, mm.
const ON_CUT: f64 = 0.001;

/// Lays a site's floor: the pattern within the border, then the border.
///
/// The same plan gives the same floor. Where no legal stagger is found in a run, the least bad one is laid and the findings flag it.
pub fn lay(plan: &Plan, site: &Site, setout: &SetOut) -> Floor {
    let mut floor = match plan.pattern {
        Pattern::Irregular => irregular(plan, site, setout),
        _ => pattern::lay(plan, site, setout),
    };
    if let Some(border) = plan.border {
        pattern::lay_border(plan, site, border, &mut floor);
    }
    floor
}

/// Lays straight rows from the start line, upwards first, then downwards past the slip tongue.
fn irregular(plan: &Plan, site: &Site, setout: &SetOut) -> Floor {
    let pitch = setout.pitch;
    let mut work = Work {
        plan,
        pitch,
        lines: pattern::lines_of(site, setout),
        yard: Yard::new(&plan.stock),
        rng: Pcg64Mcg::seed_from_u64(plan.seed),
        runs: Vec::new(),
        boards: Vec::new(),
        joints: Vec::new(),
    };
    for (field, region) in site.fields().iter().enumerate() {
        // Rows are counted from the field's own line.
        let of_region = site.region_of(field);
        work.lines[of_region] = setout.region_lines.get(field).copied().unwrap_or(setout.chosen.offset);
        work.region(of_region, region);
    }
    let Work { lines, yard, runs, boards, joints, .. } = work;
    let first_row = runs.iter().map(|run| run.row).min().unwrap_or(0);
    let mut floor = Floor { pitch, lines, first_row, runs, boards, joints, stock: yard.boards, anchor: None };
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
    lines: Vec<f64>,
    yard: Yard<'a>,
    rng: Pcg64Mcg,
    runs: Vec<Run>,
    boards: Vec<Board>,
    joints: Vec<Joint>,
}

/// Where a run lies. Below the start line the worker faces the other way: their left is the plan's right.
#[derive(Debug, Clone, Copy)]
struct Stretch {
    region: usize,
    row: i32,
    left: f64,
    right: f64,
}

impl Stretch {
    fn turned(self) -> bool {
        self.row < 0
    }

    /// A place on the plan as a distance from the worker's left end.
    fn mirrored(self, u: f64) -> f64 {
        if self.turned() { self.right - u } else { u - self.left }
    }

    /// A distance from the worker's left end as a place on the plan.
    fn plan_u(self, s: f64) -> f64 {
        if self.turned() { self.right - s } else { self.left + s }
    }
}

/// Joints of one laid row, sorted by u, with the extent each takes of the row's height.
type RowJoints = Vec<(f64, f64, f64)>;

impl Work<'_> {
    fn region(&mut self, index: usize, region: &Region) {
        let rings: Vec<Vec<Uv>> =
            region.rings().map(|ring| ring.edges.iter().map(|edge| edge.a).collect()).collect();
        let Some((low, high)) = rings.first().map(|ring| rise(ring)) else { return };
        let line = self.lines[index];
        let first = ((low - line) / self.pitch - 1e-9).floor() as i32;
        let last = ((high - line) / self.pitch + 1e-9).ceil() as i32;
        let cuts: Vec<f64> = (first..=last).map(|row| line + f64::from(row) * self.pitch).collect();
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
        let at = Stretch { region, row, left, right };
        let shared = self.lines[region] + f64::from(if at.turned() { row + 1 } else { row }) * self.pitch;
        let touching = |joints: &RowJoints, all: bool| {
            let touches = |low: f64, high: f64| (low - shared).abs() < TRUE || (high - shared).abs() < TRUE;
            sorted(
                joints
                    .iter()
                    .filter(|(_, low, high)| all || touches(*low, *high))
                    .map(|(u, ..)| at.mirrored(*u))
                    .collect(),
            )
        };
        let shape = RunShape {
            length: right - left,
            before: [touching(&before[0], false), touching(&before[1], true), touching(&before[2], true)],
            notches: sorted(notches(outline, left, right).into_iter().map(|u| at.mirrored(u)).collect()),
        };
        let chosen = choose(&shape, &self.yard, &self.plan.stock, &self.plan.rules, &mut self.rng);
        if !chosen.is_empty() {
            self.cut_run(at, outline, &chosen, row_joints);
        }
    }

    /// Cuts a run's outline at the chosen joints and every piece from its stock.
    fn cut_run(&mut self, at: Stretch, outline: &Outline, chosen: &[Chosen], row_joints: &mut RowJoints) {
        let count = chosen.len();
        let mut starts = vec![0.0];
        for board in &chosen[..count - 1] {
            starts.push(starts[starts.len() - 1] + board.length);
        }
        let mut cuts: Vec<f64> = starts[1..].iter().map(|s| at.plan_u(*s)).collect();
        cuts.extend([at.left - 1.0, at.right + 1.0]);
        let rings: Vec<Vec<Uv>> = outline.rings().cloned().collect();
        let strips = slice_across(&rings, &sorted(cuts));
        // Boards are numbered as they will stand in the list: left to right on the plan.
        let chosen_of = |strip: usize| if at.turned() { count - 1 - strip } else { strip };
        let first_board = self.boards.len();
        let mut numbers = vec![0; count];
        let mut next = first_board;
        for (strip, pieces) in strips.iter().enumerate() {
            numbers[chosen_of(strip)] = next;
            next += pieces.len();
        }
        let mut slots = self.cut_chosen(chosen, &numbers, |i| !strips[chosen_of(i)].is_empty());

        let run = self.runs.len();
        for (strip, pieces) in strips.into_iter().enumerate() {
            let i = chosen_of(strip);
            for piece in pieces {
                let (left, right) = extent(&piece.outer);
                let own_left = if at.turned() { at.right - right } else { left - at.left };
                let joined_left = i > 0 && own_left < starts[i] + TRUE;
                let joined_right =
                    i + 1 < count && own_left + right - left > starts[i] + chosen[i].length - TRUE;
                // A piece that ends at a wall inside its stretch of the run needs no end-match there.
                let need = match (joined_left, joined_right) {
                    (true, true) => Need::Both,
                    (true, false) => Need::Left,
                    (false, true) => Need::Right,
                    (false, false) => Need::Neither,
                };
                let (stock, from) = match slots[i].take() {
                    // A piece that begins later than its stretch of the run is cut later from the board.
                    Some((stock, from)) => (stock, from + own_left - starts[i]),
                    // A second piece beside a wall or fixture inside the row needs wood of its own.
                    None => {
                        let none = vec![0; self.plan.stock.lengths.len()];
                        // Corners put on a cut may make it longer than its stretch by a hair.
                        let length = (right - left).min(chosen[i].length);
                        let Some(source) = self.yard.source(length, need, None, &none) else { continue };
                        self.yard.cut(source.from, length, need, self.boards.len(), &mut self.rng)
                    }
                };
                let board = self.board(at, run, piece, need, (stock, from));
                self.boards.push(board);
            }
        }
        let Stretch { region, row, left, right } = at;
        self.runs.push(Run { region, row, left, right, boards: first_board..self.boards.len() });
        self.push_joints(first_board, row_joints);
    }

    /// Cuts the chosen boards that have a place. An offcut's index in the choice holds only until an earlier
    /// offcut is taken, so the later one goes first.
    fn cut_chosen(
        &mut self,
        chosen: &[Chosen],
        numbers: &[usize],
        has_place: impl Fn(usize) -> bool,
    ) -> Vec<Option<(usize, f64)>> {
        let mut order: Vec<usize> = (0..chosen.len()).collect();
        order.sort_by_key(|i| match chosen[*i].from {
            From::Offcut(index) => (0, usize::MAX - index),
            From::Fresh(_) => (1, *i),
        });
        let mut slots = vec![None; chosen.len()];
        for i in order.into_iter().filter(|i| has_place(*i)) {
            let Chosen { length, need, from } = chosen[i];
            slots[i] = Some(self.yard.cut(from, length, need, numbers[i], &mut self.rng));
        }
        slots
    }

    fn board(
        &self,
        at: Stretch,
        run: usize,
        outline: Outline,
        need: Need,
        (stock, from): (usize, f64),
    ) -> Board {
        let (left, right) = extent(&outline.outer);
        let (low, high) = rise(&outline.outer);
        let area = outline.area();
        let to = from + (right - left);
        Board {
            label: String::new(),
            region: at.region,
            row: at.row,
            run,
            along: Uv::new(1.0, 0.0),
            left,
            right,
            base: self.lines[at.region] + f64::from(at.row) * self.pitch,
            lean: 0.0,
            hand: None,
            in_border: false,
            area,
            turned: at.turned(),
            left_end: if from < TRUE { End::Factory } else { End::Cut },
            right_end: if to > self.yard.boards[stock].length - TRUE { End::Factory } else { End::Cut },
            starts_run: matches!(need, Need::Right | Need::Neither),
            ends_run: matches!(need, Need::Left | Need::Neither),
            shaped: is_shaped(&outline, (left, low), (right, high)),
            width: if high - low > self.pitch - TRUE { self.pitch } else { high - low },
            outline,
            stock,
            from,
        }
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
pub(crate) fn meeting(left: &Outline, right: &Outline, u: f64) -> Vec<(f64, f64)> {
    let sides = |outline: &Outline| {
        let mut found: Vec<(f64, f64)> = Vec::new();
        for ring in outline.rings() {
            for (i, a) in ring.iter().enumerate() {
                let b = ring[(i + 1) % ring.len()];
                if (a.u - u).abs() < ON_CUT && (b.u - u).abs() < ON_CUT {
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

/// Whether an outline is more than its rectangle ripped straight and cut square: a notch, a hole, a taper, a slant.
pub(crate) fn is_shaped(outline: &Outline, (left, low): (f64, f64), (right, high): (f64, f64)) -> bool {
    let inside = |p: &Uv| (p.v - low).min(high - p.v) > STRAIGHT && (p.u - left).min(right - p.u) > SQUARE;
    let missing = (high - low) * (right - left) - outline.area();
    // Corners inside the rectangle are notches; a taper or slant has none, but misses a wedge of it.
    !outline.holes.is_empty()
        || outline.outer.iter().any(inside)
        || missing > STRAIGHT / 2.0 * (right - left) + SQUARE / 2.0 * (high - low)
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
