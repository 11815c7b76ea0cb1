//! The adjustment: damped Gauss–Newton on the distance equations, solved by nalgebra's QR with pivoting.
//!
//! # References
//! C. D. Ghilani, P. R. Wolf, *Adjustment Computations*, chapters 14 (distance equations) and 21 (residuals and their
//! cofactors); the free network's datum is its inner constraints, chapter 20 of the same. Chapter numbers from memory.

use crate::{Network, Trouble};
use nalgebra::{DMatrix, DVector};
use plan::Point;

/// A room has fewer corners than this; the work grows with the cube.
pub(crate) const MOST_POINTS: usize = 200;
/// Rounds: five or six serve a room drawn within a metre of how it is.
const MOST_ROUNDS: usize = 200;
/// A round that moves no point further ends it, mm.
const STILL: f64 = 1e-7;
/// A pivot this much smaller than the greatest leaves the shape loose: a millimetre of tape would then move a corner by
/// metres.
const LOOSE: f64 = 1e-3;
/// A measurement with a smaller share of the redundancy is checked by no other.
const UNCHECKED: f64 = 1e-6;

/// What a measured length became.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fitted {
    /// Its length between the points found, mm.
    pub length: f64,
    /// The length found less the one measured, mm.
    pub residual: f64,
    /// Its share of the redundancy, 0 (no other length checks it) to 1.
    pub checked: f64,
    /// The residual over its own standard deviation; `None` where no other length checks it.
    pub score: Option<f64>,
    /// What all other lengths say it is, mm; `None` where no other length checks it.
    pub by_others: Option<f64>,
}

/// The points found.
#[derive(Debug, Clone, PartialEq)]
pub struct Adjusted {
    /// Where the points are.
    pub points: Vec<Point>,
    /// What each measured length became, in order.
    pub fitted: Vec<Fitted>,
    /// Lengths more than the shape needs.
    pub redundancy: usize,
    /// How far out the lengths are against how good they were said to be, 1 where just as good; `None` without redundancy.
    pub unit: Option<f64>,
    /// What of an error in one length shows in another's length found.
    hat: DMatrix<f64>,
}

impl Adjusted {
    /// Correlation of two lengths' residuals, −1 to 1: near either end an error in one looks like an error in the other.
    /// 0 where one of them is checked by nothing.
    pub fn likeness(&self, a: usize, b: usize) -> f64 {
        let (Some(one), Some(other)) = (self.fitted.get(a), self.fitted.get(b)) else { return 0.0 };
        if one.checked < UNCHECKED || other.checked < UNCHECKED {
            return 0.0;
        }
        let shared = if a == b { one.checked } else { -self.hat[(a, b)] };
        (shared / (one.checked * other.checked).sqrt()).clamp(-1.0, 1.0)
    }
}

/// Finds the points that leave the least sum of squared residuals, each over its standard deviation.
///
/// # Errors
/// [`Trouble`]: bad lengths, a loose shape, or no such shape near the points given.
pub fn adjust(network: &Network) -> Result<Adjusted, Trouble> {
    let frame = Frame::new(network)?;
    let mut points = network.points.clone();
    let mut cost = cost_of(network, &points);
    let mut settled = false;
    for _ in 0..MOST_ROUNDS {
        let step = frame.step(network, &points)?;
        let furthest = step.iter().fold(0.0_f64, |most, value| most.max(value.abs()));
        if !furthest.is_finite() {
            return Err(Trouble::NotNear);
        }
        // A whole step may overshoot where the start is far off: half of it, and half again.
        let mut share = 1.0;
        let (mut next, mut next_cost);
        loop {
            next = frame.moved(&points, &step, share);
            next_cost = cost_of(network, &next);
            if next_cost <= cost || furthest * share < STILL {
                break;
            }
            share /= 2.0;
        }
        let better = next_cost <= cost;
        if better {
            (points, cost) = (next, next_cost);
        }
        if furthest * share < STILL || !better {
            settled = true;
            break;
        }
    }
    if !settled {
        return Err(Trouble::NotNear);
    }
    frame.finish(network, points, cost)
}

/// Lengths that would make a loose shape firm, best first: of the pairs offered the one that the shape resists least,
/// then the next with that one measured. Pairs of no use are left out.
pub(crate) fn firming(network: &Network, offered: &[(usize, usize)]) -> Vec<(usize, usize)> {
    let Ok(frame) = Frame::new(network) else { return Vec::new() };
    let points = &network.points;
    let mut rows: Vec<DVector<f64>> = frame.datum(points);
    rows.extend(network.spans.iter().map(|span| frame.row(points, span.from, span.to)));
    let mut basis: Vec<DVector<f64>> = Vec::new();
    for row in rows {
        extend(&mut basis, row);
    }
    // What each pair would measure that nothing measures yet, kept up as pairs are chosen.
    let mut free: Vec<DVector<f64>> =
        offered.iter().map(|pair| left_over(&basis, frame.row(points, pair.0, pair.1))).collect();
    let mut chosen = Vec::new();
    while basis.len() < frame.unknowns {
        let worth = free.iter().map(|row| row.norm()).enumerate();
        let best = worth.reduce(|best, other| if other.1 > best.1 + 1e-6 { other } else { best });
        let Some((index, _)) = best.filter(|(_, worth)| *worth > LOOSE) else { break };
        let along = free[index].normalize();
        for row in &mut free {
            let share = along.dot(row);
            row.axpy(-share, &along, 1.0);
        }
        basis.push(along);
        chosen.push(offered[index]);
    }
    chosen
}

fn left_over(basis: &[DVector<f64>], mut row: DVector<f64>) -> DVector<f64> {
    for along in basis {
        let share = along.dot(&row);
        row.axpy(-share, along, 1.0);
    }
    row
}

fn extend(basis: &mut Vec<DVector<f64>>, row: DVector<f64>) {
    let length = row.norm();
    if length <= 0.0 {
        return;
    }
    let left = left_over(basis, row / length);
    let norm = left.norm();
    if norm > LOOSE {
        // Once more: what rounding left along the others would grow.
        let left = left_over(basis, left / norm);
        basis.push(left.normalize());
    }
}

fn cost_of(network: &Network, points: &[Point]) -> f64 {
    let squares = network.spans.iter().map(|span| {
        let off = (points[span.from].distance(points[span.to]) - span.length) / span.good_to;
        off * off
    });
    squares.sum()
}

/// Which unknown is which coordinate, and what keeps the shape from drifting.
struct Frame {
    /// Column of each point's x; the y follows. `None` for a point that is held.
    columns: Vec<Option<usize>>,
    unknowns: usize,
    /// Weight of the datum's rows: that of a middling length.
    weight: f64,
    held: Vec<usize>,
}

impl Frame {
    fn new(network: &Network) -> Result<Self, Trouble> {
        let count = network.points.len();
        if count > MOST_POINTS {
            return Err(Trouble::TooMany);
        }
        let is_sound = |span: &crate::Span| {
            let exists = span.from < count && span.to < count && span.from != span.to;
            exists
                && span.length > 0.0
                && span.length.is_finite()
                && span.good_to > 0.0
                && span.good_to.is_finite()
        };
        if let Some(bad) = network.spans.iter().position(|span| !is_sound(span)) {
            return Err(Trouble::BadSpan(bad));
        }
        let mut unknowns = 0;
        let columns: Vec<Option<usize>> = (0..count)
            .map(|point| {
                (!network.held.contains(&point)).then(|| {
                    unknowns += 2;
                    unknowns - 2
                })
            })
            .collect();
        let held = (0..count).filter(|point| columns[*point].is_none()).collect();
        let best = network.spans.iter().map(|span| span.good_to).fold(f64::INFINITY, f64::min);
        let weight = if best.is_finite() { 1.0 / best } else { 1.0 };
        Ok(Self { columns, unknowns, weight, held })
    }

    /// How a length changes with the unknowns: a row of unit vectors.
    fn row(&self, points: &[Point], from: usize, to: usize) -> DVector<f64> {
        let mut row = DVector::zeros(self.unknowns);
        let (a, b) = (points[from], points[to]);
        let length = a.distance(b);
        if length <= 0.0 {
            return row;
        }
        let (x, y) = ((b.x - a.x) / length, (b.y - a.y) / length);
        for (point, sign) in [(from, -1.0), (to, 1.0)] {
            if let Some(column) = self.columns[point] {
                row[column] += sign * x;
                row[column + 1] += sign * y;
            }
        }
        row
    }

    /// Rows that keep the shape where it is as a whole: unit vectors along the moves that change no length.
    fn datum(&self, points: &[Point]) -> Vec<DVector<f64>> {
        let free: Vec<(usize, Point)> =
            self.columns.iter().zip(points).filter_map(|(column, p)| Some(((*column)?, *p))).collect();
        let mut rows = Vec::new();
        let turn_about = match self.held.as_slice() {
            [] => {
                for axis in [0, 1] {
                    let mut row = DVector::zeros(self.unknowns);
                    free.iter().for_each(|(column, _)| row[column + axis] = 1.0);
                    rows.push(row);
                }
                let n = free.len().max(1) as f64;
                let sum = free.iter().fold((0.0, 0.0), |sum, (_, p)| (sum.0 + p.x, sum.1 + p.y));
                Some(Point::new(sum.0 / n, sum.1 / n))
            }
            [one] => Some(points[*one]),
            _ => None,
        };
        if let Some(centre) = turn_about {
            let mut row = DVector::zeros(self.unknowns);
            for (column, p) in &free {
                row[*column] = centre.y - p.y;
                row[column + 1] = p.x - centre.x;
            }
            rows.push(row);
        }
        rows.retain(|row| row.norm() > 0.0);
        rows.iter_mut().for_each(|row| *row /= row.norm());
        rows
    }

    /// The weighted equations: one row a length, then the datum's.
    fn equations(&self, network: &Network, points: &[Point]) -> (DMatrix<f64>, DVector<f64>) {
        let datum = self.datum(points);
        let rows = network.spans.len() + datum.len();
        let mut design = DMatrix::zeros(rows, self.unknowns);
        let mut off = DVector::zeros(rows);
        for (i, span) in network.spans.iter().enumerate() {
            let row = self.row(points, span.from, span.to) / span.good_to;
            design.row_mut(i).tr_copy_from(&row);
            off[i] = (span.length - points[span.from].distance(points[span.to])) / span.good_to;
        }
        for (i, row) in datum.iter().enumerate() {
            design.row_mut(network.spans.len() + i).tr_copy_from(&(row * self.weight));
        }
        (design, off)
    }

    /// One step of Gauss–Newton.
    fn step(&self, network: &Network, points: &[Point]) -> Result<DVector<f64>, Trouble> {
        let (design, off) = self.equations(network, points);
        let (rows, unknowns) = design.shape();
        if unknowns == 0 {
            return Ok(DVector::zeros(0));
        }
        if rows < unknowns {
            return Err(Trouble::Loose { missing: unknowns - rows });
        }
        let solved = design.col_piv_qr();
        let upper = solved.r();
        let greatest = upper[(0, 0)].abs();
        let firm = (0..unknowns).filter(|i| upper[(*i, *i)].abs() > LOOSE * greatest).count();
        if greatest <= 0.0 || firm < unknowns {
            return Err(Trouble::Loose { missing: unknowns - firm });
        }
        let mut right = off;
        solved.q_tr_mul(&mut right);
        let mut step = right.rows(0, unknowns).into_owned();
        if !upper.solve_upper_triangular_mut(&mut step) {
            return Err(Trouble::Loose { missing: 1 });
        }
        solved.p().inv_permute_rows(&mut step);
        Ok(step)
    }

    fn moved(&self, points: &[Point], step: &DVector<f64>, share: f64) -> Vec<Point> {
        let along = |(p, column): (&Point, &Option<usize>)| match column {
            Some(column) => p.moved(step[*column] * share, step[column + 1] * share),
            None => *p,
        };
        points.iter().zip(&self.columns).map(along).collect()
    }

    fn finish(&self, network: &Network, points: Vec<Point>, cost: f64) -> Result<Adjusted, Trouble> {
        let (design, _) = self.equations(network, &points);
        let count = network.spans.len();
        let datum = design.nrows() - count;
        // Rows of Q: the hat matrix is Q·Qᵀ, and what a residual keeps of an error is one less its diagonal.
        let q = if self.unknowns == 0 { DMatrix::zeros(count, 1) } else { design.qr().q() };
        let hat = DMatrix::from_fn(count, count, |i, j| q.row(i).dot(&q.row(j)));
        let redundancy = (count + datum).saturating_sub(self.unknowns);
        let fitted = network.spans.iter().enumerate().map(|(i, span)| {
            let length = points[span.from].distance(points[span.to]);
            let residual = length - span.length;
            let checked = (1.0 - hat[(i, i)]).clamp(0.0, 1.0);
            let is_checked = checked > UNCHECKED;
            Fitted {
                length,
                residual,
                checked: if is_checked { checked } else { 0.0 },
                score: is_checked.then(|| residual / (span.good_to * checked.sqrt())),
                by_others: is_checked.then(|| span.length + residual / checked),
            }
        });
        let fitted = fitted.collect();
        let unit = (redundancy > 0).then(|| (cost / redundancy as f64).sqrt());
        Ok(Adjusted { points, fitted, redundancy, unit, hat })
    }
}
