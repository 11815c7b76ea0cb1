//! What a joint breaks, where it stands: hard rules, looks, and how regular it seems.

use crate::ground::Ground;
use plan::Rules;
use std::ops::{AddAssign, SubAssign};

/// Evenly stepping joints further apart than this are not read as a stair, mm. Common practice, no source.
pub const STAIR_STEP: f64 = 900.0;
/// A joint this close to a notch's corner leaves little wood beside it, mm. Common practice, no source.
const NEAR_NOTCH: f64 = 80.0;

/// Faint marks, in millimetres of board that one would give to avoid them.
const NOTCH: f64 = 150.0;
const EVEN_STEP: f64 = 60.0;
const NEARLY_IN_LINE: f64 = 40.0;
/// A joint where walls part the run makes two pieces on each side.
const FORK: f64 = 1500.0;

/// Marks against a floor or a part of it.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Marks {
    /// Hard rules broken.
    pub(crate) hard: i64,
    /// H joints and stairs.
    pub(crate) looks: i64,
    /// Faint marks, mm of board.
    pub(crate) faint: f64,
}

impl AddAssign for Marks {
    fn add_assign(&mut self, other: Self) {
        self.hard += other.hard;
        self.looks += other.looks;
        self.faint += other.faint;
    }
}

impl SubAssign for Marks {
    fn sub_assign(&mut self, other: Self) {
        self.hard -= other.hard;
        self.looks -= other.looks;
        self.faint -= other.faint;
    }
}

/// Joints of every run, each run's sorted by u.
pub(crate) type Joints = Vec<Vec<f64>>;

/// What joints are judged by.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Judge<'a> {
    pub(crate) ground: &'a Ground,
    pub(crate) rules: &'a Rules,
}

impl Judge<'_> {
    /// Joints of the runs `up` rows from a run, within `reach` of `u`: the run and the place of each.
    fn around<'j>(
        &'j self,
        joints: &'j Joints,
        run: usize,
        up: i32,
        u: f64,
        reach: f64,
    ) -> impl Iterator<Item = (usize, f64)> + 'j {
        self.ground.near(run, up).iter().flat_map(move |other| {
            let other = *other as usize;
            within(&joints[other], u, reach).map(move |v| (other, v))
        })
    }

    fn any(&self, joints: &Joints, run: usize, up: i32, u: f64, reach: f64) -> bool {
        self.around(joints, run, up, u, reach).next().is_some()
    }

    /// Whether a joint at `u` stands too close to one in a neighbouring row that it touches.
    pub(crate) fn is_close(&self, joints: &Joints, run: usize, u: f64) -> bool {
        let stagger = self.rules.least_stagger;
        [1, -1].into_iter().any(|up| {
            self.ground.lies[run].touches(up > 0, u)
                && self.around(joints, run, up, u, stagger).any(|(other, v)| {
                    (v - u).abs() < stagger - 1e-6 && self.ground.lies[other].touches(up < 0, v)
                })
        })
    }

    /// Marks against a joint of a run at `u`, counting each pair or line of joints it is part of once.
    pub(crate) fn joint(&self, joints: &Joints, run: usize, u: f64) -> Marks {
        let (rules, lie) = (self.rules, &self.ground.lies[run]);
        let mut marks = Marks::default();
        for up in [1, -1] {
            let touches = lie.touches(up > 0, u);
            for (other, v) in self.around(joints, run, up, u, rules.least_stagger.max(STAIR_STEP)) {
                let apart = (v - u).abs();
                let is_close = touches && apart < rules.least_stagger - 1e-6;
                if is_close && self.ground.lies[other].touches(up < 0, v) {
                    marks.hard += 1;
                    marks.faint += rules.least_stagger - apart;
                }
                if apart <= STAIR_STEP && apart > rules.in_line {
                    let line = self.line_of(joints, run, u, v - u, up);
                    marks.looks += (line - 3).max(0);
                    marks.faint += if line == 3 { EVEN_STEP } else { 0.0 };
                }
            }
            for (_, v) in self.around(joints, run, 2 * up, u, 3.0 * rules.in_line) {
                if (v - u).abs() <= rules.in_line {
                    marks.looks += 1;
                } else {
                    marks.faint += NEARLY_IN_LINE;
                }
            }
        }
        if within(&lie.notches, u, NEAR_NOTCH).next().is_some() {
            marks.faint += NOTCH;
        }
        if lie.is_forked(u) {
            marks.faint += FORK;
        }
        marks
    }

    /// How many joints stand in one slanting line through the joint at `u` and the one `step` along in the next
    /// row. A line is counted from its joint above; only its topmost joint looks downwards.
    fn line_of(&self, joints: &Joints, run: usize, u: f64, step: f64, up: i32) -> i64 {
        let even = 2.0 * self.rules.in_line;
        let at = |rows: i32| {
            let reach = even * if rows.abs() > 2 { 1.5 } else { 1.0 };
            self.any(joints, run, rows * up, u + step * f64::from(rows), reach)
        };
        if up < 0 && at(-1) {
            return 0;
        }
        let ahead = if at(2) { 1 + i64::from(at(3)) } else { 0 };
        let behind = if up > 0 && at(-1) { 1 + i64::from(at(-2)) } else { 0 };
        2 + ahead + behind
    }
}

/// Members of a sorted list within `reach` of `at`.
fn within(sorted: &[f64], at: f64, reach: f64) -> impl Iterator<Item = f64> {
    // Most runs have a handful of joints, where looking through is faster than searching.
    let first = if sorted.len() > 8 { sorted.partition_point(|x| *x < at - reach) } else { 0 };
    sorted[first..]
        .iter()
        .copied()
        .skip_while(move |x| *x < at - reach)
        .take_while(move |x| *x <= at + reach)
}
