//! What a joint breaks, where it stands: hard rules, looks, and how regular it seems.

use crate::ground::Ground;
use crate::taken::FixedJoint;
use plan::Rules;
use std::ops::{AddAssign, SubAssign};

/// Evenly stepping joints further apart than this are not read as a stair, mm. Common practice, no source.
pub const STAIR_STEP: f64 = 900.0;
/// A joint this close to a notch's corner leaves little wood beside it, mm. Common practice, no source.
const NEAR_NOTCH: f64 = 80.0;

/// Distances equal to this are the same, mm.
const EXACT: f64 = 1e-6;

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

/// An end joint as its neighbours see it.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Place {
    u: f64,
    run: u32,
    /// Whether it reaches the lower and the upper side of its row.
    reaches: [bool; 2],
}

/// Joints of every row, sorted along it.
#[derive(Debug, Clone)]
pub(crate) struct Joints(Vec<Vec<Place>>);

impl Joints {
    pub(crate) fn new(ground: &Ground) -> Self {
        Self(vec![Vec::new(); ground.lanes])
    }

    /// Adds joints that lie and are never taken away.
    pub(crate) fn fix(&mut self, joints: &[FixedJoint]) {
        for FixedJoint { lane, u, reaches } in joints {
            self.0[*lane].push(Place { u: *u, run: u32::MAX, reaches: *reaches });
        }
        self.0.iter_mut().for_each(|lane| lane.sort_by(|a, b| a.u.total_cmp(&b.u)));
    }

    /// Takes a run's joints away.
    pub(crate) fn clear(&mut self, ground: &Ground, run: usize) {
        self.0[ground.lies[run].lane].retain(|place| place.run as usize != run);
    }

    /// Adds joints of a run.
    pub(crate) fn add(&mut self, ground: &Ground, run: usize, places: impl Iterator<Item = f64>) {
        let lie = &ground.lies[run];
        let lane = &mut self.0[lie.lane];
        lane.extend(places.map(|u| Place {
            u,
            run: run as u32,
            reaches: [lie.touches(false, u), lie.touches(true, u)],
        }));
        lane.sort_by(|a, b| a.u.total_cmp(&b.u));
    }

    /// Joints of a row within `reach` of `u`.
    fn around(&self, lane: usize, u: f64, reach: f64) -> impl Iterator<Item = &Place> {
        let lane = &self.0[lane];
        // Most rows have a handful of joints, where looking through is faster than searching.
        let first = if lane.len() > 8 { lane.partition_point(|place| place.u < u - reach) } else { 0 };
        lane[first..]
            .iter()
            .skip_while(move |place| place.u < u - reach)
            .take_while(move |place| place.u <= u + reach)
    }

    fn any(&self, lane: usize, u: f64, reach: f64) -> bool {
        self.around(lane, u, reach).next().is_some()
    }
}

/// What joints are judged by.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Judge<'a> {
    pub(crate) ground: &'a Ground<'a>,
    pub(crate) rules: &'a Rules,
}

impl Judge<'_> {
    /// Whether a joint at `u` stands too close to one in a neighbouring row that it touches.
    pub(crate) fn is_close(&self, joints: &Joints, run: usize, u: f64) -> bool {
        let stagger = self.rules.least_stagger - EXACT;
        let lie = &self.ground.lies[run];
        [true, false].into_iter().any(|above| {
            let lane = if above { lie.lane + 1 } else { lie.lane - 1 };
            joints.around(lane, u, stagger).any(|place| {
                place.reaches[usize::from(!above)] && (place.u - u).abs() < stagger && lie.touches(above, u)
            })
        })
    }

    /// Marks against a joint of a run at `u`, counting each pair or line of joints it is part of once.
    pub(crate) fn joint(&self, joints: &Joints, run: usize, u: f64) -> Marks {
        let (rules, lie) = (self.rules, &self.ground.lies[run]);
        let mut marks = Marks::default();
        for above in [true, false] {
            let step = |rows: usize| if above { lie.lane + rows } else { lie.lane - rows };
            for place in joints.around(step(1), u, rules.least_stagger.max(STAIR_STEP)) {
                let apart = (place.u - u).abs();
                let is_close = place.reaches[usize::from(!above)] && apart < rules.least_stagger - EXACT;
                if is_close && lie.touches(above, u) {
                    marks.hard += 1;
                    marks.faint += rules.least_stagger - apart;
                }
                if apart <= STAIR_STEP && apart > rules.in_line {
                    let line = self.line_of(joints, lie.lane, u, place.u - u, above);
                    marks.looks += (line - 3).max(0);
                    marks.faint += if line == 3 { EVEN_STEP } else { 0.0 };
                }
            }
            for place in joints.around(step(2), u, 3.0 * rules.in_line) {
                if (place.u - u).abs() <= rules.in_line {
                    marks.looks += 1;
                } else {
                    marks.faint += NEARLY_IN_LINE;
                }
            }
        }
        if lie.is_by_notch(u, NEAR_NOTCH) {
            marks.faint += NOTCH;
        }
        if lie.is_forked(u) {
            marks.faint += FORK;
        }
        marks
    }

    /// How many joints stand in one slanting line through the joint at `u` and the one `step` along in the next
    /// row. A line is counted from the joint above; only its topmost joint looks downwards.
    fn line_of(&self, joints: &Joints, lane: usize, u: f64, step: f64, above: bool) -> i64 {
        let even = 2.0 * self.rules.in_line;
        let on = |rows: usize, reach: f64| {
            let lane = if above { lane + rows } else { lane - rows };
            joints.any(lane, u + step * rows as f64, reach)
        };
        let back = |rows: usize, reach: f64| {
            let lane = if above { lane - rows } else { lane + rows };
            joints.any(lane, u - step * rows as f64, reach)
        };
        if !above && back(1, even) {
            return 0;
        }
        let ahead = if on(2, even) { 1 + i64::from(on(3, 1.5 * even)) } else { 0 };
        let behind = if above && back(1, even) { 1 + i64::from(back(2, 1.5 * even)) } else { 0 };
        2 + ahead + behind
    }
}
