//! Border: courses of boards along every edge of a region, round the field.

use super::corner::{Strip, strips};
use super::layer::{Layer, Place};
use super::spacing::{Near, joints};
use super::turn::Turn;
use super::wood::Wood;
use crate::ground::TRUE;
use crate::slice::{extent, rise, slice, slice_across};
use crate::{Floor, Outline, Run, Short};
use plan::{Border, Plan};
use site::{Region, Site, Uv};
use std::collections::BTreeMap;

/// A line this near to a row line, in rows, is that one.
const ON_LINE: f64 = 1e-6;
/// Directions this close are one.
const SAME_WAY: f64 = 1e-6;

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

/// Lays the border round a floor's field, course by course from the wall inwards. It is cut from what the field has
/// left of its boards and packs, and its joints keep away from those of the rows that lie along it.
pub(crate) fn lay_border(plan: &Plan, site: &Site, border: Border, floor: &mut Floor) {
    let wood = Wood::after(plan, floor);
    let mut layer = Layer::new(plan.stock.pitch(), wood);
    let rows = Rows::of(floor, site.regions.len());
    for (index, region) in site.regions.iter().enumerate() {
        lay_round(plan, border, index, region, &rows, &mut layer);
    }
    add(floor, layer.finish(plan, Vec::new(), None));
}

/// End joints of the field's rows, by region and row, each row sorted along it.
struct Rows {
    pitch: f64,
    /// v of row 0's lower side in each region.
    lines: Vec<f64>,
    joints: BTreeMap<(usize, i32), Vec<f64>>,
}

impl Rows {
    fn of(floor: &Floor, regions: usize) -> Self {
        let mut joints: BTreeMap<(usize, i32), Vec<f64>> = BTreeMap::new();
        for joint in &floor.joints {
            joints.entry((floor.boards[joint.left].region, joint.row)).or_default().push(joint.u);
        }
        joints.values_mut().for_each(|row| row.sort_by(f64::total_cmp));
        let lines = (0..regions).map(|region| floor.row_low(region, 0)).collect();
        Self { pitch: floor.pitch, lines, joints }
    }

    /// Joints from `from` to `to` of the row so many rows into the field from a line along the rows.
    fn near(&self, region: usize, (line, up): (f64, bool), rows: i32, (from, to): (f64, f64)) -> &[f64] {
        let Some(low) = self.lines.get(region) else { return &[] };
        let off = (line - low) / self.pitch;
        let row =
            if up { (off + ON_LINE).floor() as i32 + rows } else { (off - ON_LINE).ceil() as i32 - 1 - rows };
        let Some(row) = self.joints.get(&(region, row)) else { return &[] };
        &row[row.partition_point(|u| *u < from)..row.partition_point(|u| *u <= to)]
    }
}

fn lay_round(plan: &Plan, border: Border, index: usize, region: &Region, rows: &Rows, layer: &mut Layer) {
    let pitch = layer.pitch;
    let mut outer = vec![region.clone()];
    let (mut before, mut before_that): (Vec<Laid>, Vec<Laid>) = (Vec::new(), Vec::new());
    for course in 0..border.boards {
        let inner = site::inset_by(region, f64::from(course + 1) * pitch);
        let mut laid = Vec::new();
        let around = Around {
            region: index,
            course,
            to_field: border.boards - 1 - course,
            before: [&before, &before_that],
            rows,
        };
        for strip in strips(&outer, &inner, pitch, border.corners) {
            lay_strip(plan, &around, &strip, &mut laid, layer);
        }
        outer = inner;
        before_that = std::mem::replace(&mut before, laid);
    }
}

/// What lies round the strips of one course.
struct Around<'a> {
    region: usize,
    course: u32,
    /// Courses between it and the field.
    to_field: u32,
    /// Strips of the course before it, and of the one before that.
    before: [&'a [Laid]; 2],
    rows: &'a Rows,
}

impl Around<'_> {
    /// Joints beside and beyond a strip that reaches from `from` to `to`, with its wall side and its inner side.
    fn near(&self, along: Uv, (from, to): (f64, f64), wall: f64, inner: f64) -> Near {
        let width = inner - wall;
        let mut near = Near::default();
        for (list, laid, line) in
            [(&mut near.beside, self.before[0], wall), (&mut near.beyond, self.before[1], wall - width)]
        {
            let is_near = |l: &&Laid| {
                let same_way = (l.along.u - along.u).abs() + (l.along.v - along.v).abs() < SAME_WAY;
                same_way && (l.inner - line).abs() < TRUE && l.from < to && l.to > from
            };
            laid.iter().filter(is_near).for_each(|l| list.extend(l.joints.iter().copied()));
        }
        // Rows run along u; only strips that do lie beside one.
        if along.v == 0.0 && self.to_field < 2 {
            let field = (inner + f64::from(self.to_field) * width, width > 0.0);
            let rows = |rows: i32| self.rows.near(self.region, field, rows, (from, to)).iter().copied();
            if self.to_field == 0 {
                near.beside.extend(rows(0));
                near.beyond.extend(rows(1));
            } else {
                near.beyond.extend(rows(0));
            }
        }
        near.sort();
        near
    }
}

/// Lays the boards of one strip.
fn lay_strip(plan: &Plan, around: &Around<'_>, strip: &Strip, laid: &mut Vec<Laid>, layer: &mut Layer) {
    let pitch = layer.pitch;
    // Boards point to the right; the tongue faces the floor.
    let turned = strip.along.u < 0.0 || (strip.along.u == 0.0 && strip.along.v < 0.0);
    let along = if turned { Uv::new(-strip.along.u, -strip.along.v) } else { strip.along };
    let turn = Turn::to(along);
    let rings = turn.rings_into(&strip.outline);
    let Some((low, high)) = rings.first().map(|ring| rise(ring)) else { return };
    let edge = turn.into(strip.at).v;
    let zero = if turned { edge - pitch } else { edge };
    // Ends of one strip join only if all its boards are of one hand.
    let hand = layer.wood.hand_for_border();
    let first = ((low - zero) / pitch + 1e-6).floor() as i32;
    let last = ((high - zero) / pitch - 1e-6).ceil() as i32;
    // A strip beside an edge too short for the course may be wider than a board.
    let sides: Vec<f64> = (first..=last).map(|band| zero + f64::from(band) * pitch).collect();
    for (base, outlines) in sides.iter().zip(slice(&rings, &widened(&sides))) {
        for outline in outlines {
            let (from, to) = extent(&outline.outer);
            let (inner, wall) = if turned { (*base, base + pitch) } else { (base + pitch, *base) };
            let near = around.near(along, (from, to), wall, inner);
            let joints = joints(from, to, &plan.stock, &near, &plan.rules);
            let run = layer.runs.len();
            let start = layer.boards.len();
            let place = Place {
                region: around.region,
                row: around.course as i32,
                run,
                along,
                base: *base,
                from,
                to,
                lean: 0.0,
                turned,
                hand,
                in_border: true,
                slants: [0.0; 2],
                joined: (false, false),
            };
            lay_lengths(&place, &outline, &joints, turn, layer);
            layer.runs.push(Run {
                region: around.region,
                row: around.course as i32,
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

fn lay_lengths(place: &Place, outline: &Outline, joints: &[f64], turn: Turn, layer: &mut Layer) {
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

/// Adds a border to a floor.
fn add(floor: &mut Floor, border: Floor) {
    let (boards, runs) = (floor.boards.len(), floor.runs.len());
    floor.runs.extend(
        border
            .runs
            .into_iter()
            .map(|run| Run { boards: run.boards.start + boards..run.boards.end + boards, ..run }),
    );
    floor.boards.extend(border.boards.into_iter().map(|board| crate::Board {
        label: format!("B{}", board.label),
        run: board.run + runs,
        ..board
    }));
    floor.short.extend(border.short.into_iter().map(|short| Short { run: short.run + runs, ..short }));
    floor.stock = border.stock;
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A course from 200 to 400: the one before it ends at 200, the one before that at 0.
    #[test]
    fn joints_of_the_two_courses_before_are_near() {
        let laid = |inner: f64, joint: f64| Laid {
            along: Uv::new(1.0, 0.0),
            inner,
            from: 0.0,
            to: 3000.0,
            joints: vec![joint],
        };
        let rows = Rows { pitch: 200.0, lines: vec![0.0], joints: BTreeMap::new() };
        let before: [&[Laid]; 2] = [&[laid(200.0, 1100.0)], &[laid(0.0, 800.0)]];
        let around = Around { region: 0, course: 2, to_field: 5, before, rows: &rows };
        let near = around.near(Uv::new(1.0, 0.0), (0.0, 3000.0), 200.0, 400.0);
        assert_eq!((near.beside, near.beyond), (vec![1100.0], vec![800.0]));
    }

    /// Rows from 0 on, each with one joint. The last course ends at 400 and the field goes on upwards: beside it lies row 2,
    /// beyond that row 3. Ended from above, row 1 lies beside it and row 0 beyond. The last course but one has one between.
    #[test]
    fn joints_of_the_field_beside_the_last_course_are_near() {
        let joints = (0..4).map(|row| ((0, row), vec![700.0 + 100.0 * f64::from(row)])).collect();
        let rows = Rows { pitch: 200.0, lines: vec![0.0], joints };
        let near = |to_field: u32, wall: f64, inner: f64| {
            let around = Around { region: 0, course: 0, to_field, before: [&[], &[]], rows: &rows };
            let near = around.near(Uv::new(1.0, 0.0), (0.0, 3000.0), wall, inner);
            (near.beside, near.beyond)
        };
        assert_eq!(near(0, 200.0, 400.0), (vec![900.0], vec![1000.0]));
        assert_eq!(near(0, 600.0, 400.0), (vec![800.0], vec![700.0]));
        assert_eq!(near(1, 0.0, 200.0), (vec![], vec![900.0]));
        assert_eq!(near(2, -200.0, 0.0), (vec![], vec![]));
    }
}
