//! What a joint breaks, where it stands: hard rules, looks, and how regular it seems.

use crate::ground::{Ground, Lie};
use crate::taken::FixedJoint;
use plan::Rules;
use smallvec::SmallVec;
use std::ops::{AddAssign, SubAssign};

/// Evenly stepping joints further apart than this are not read as a stair, mm. Common practice, no source.
pub const STAIR_STEP: f64 = 900.0;
/// A joint this close to a notch's corner leaves little wood beside it, mm. Common practice, no source.
const NEAR_NOTCH: f64 = 80.0;

/// Distances equal to this are the same, mm.
const EXACT: f64 = 1e-6;
/// Joints looked at from where one should be in its row, before all are searched; so few are gone through.
const NEAR_BY: usize = 8;
/// Joints beside a run are looked at so far past what its own could meet, mm: rounding.
const MORE: f64 = 1.0;

/// Faint marks, in millimetres of board that one would give to avoid them.
const NOTCH: f64 = 150.0;
const EVEN_STEP: f64 = 60.0;
const NEARLY_IN_LINE: f64 = 40.0;
/// A joint where walls part the run makes two pieces on each side: where both come from one board, and where each may come from
/// a board or strip of its own.
pub(crate) const FORK: f64 = 1500.0;
pub(crate) const FORK_APART: f64 = 100.0;
/// A short board past as many as may lie end to end: more than it is cheaper at most by where its length lags behind the others
/// drawn (see the shelf's leads), else whole rows are laid of what lags.
pub(crate) const CROWDED: f64 = 2500.0;

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

/// Joints of a row, sorted along it.
#[derive(Debug, Clone, Default)]
struct Lane {
    places: Vec<Place>,
    /// Where the first stands, and joints for each mm from there on: how far down the list a place should be.
    first: f64,
    per_mm: f64,
}

impl Lane {
    fn sort(&mut self) {
        self.places.sort_by(|a, b| a.u.total_cmp(&b.u));
        self.measure();
    }

    fn measure(&mut self) {
        let (Some(first), Some(last)) = (self.places.first(), self.places.last()) else { return };
        self.first = first.u;
        self.per_mm = (self.places.len() - 1) as f64 / (last.u - first.u).max(1.0);
    }

    /// The joints between two places.
    fn between(&self, from: f64, to: f64) -> Stretch<'_> {
        let rest = &self.places[before(&self.places, self.first, self.per_mm, from)..];
        let short = &rest[..rest.len().min(NEAR_BY)];
        let count = match short.last() {
            Some(last) if last.u <= to => rest.partition_point(|place| place.u <= to),
            _ => short.iter().take_while(|place| place.u <= to).count(),
        };
        let places = &rest[..count];
        Stretch { places, first: places.first().map_or(0.0, |place| place.u), per_mm: self.per_mm }
    }

    /// Adds joints that stand one after another in the row, most often past all others.
    fn insert(&mut self, new: &[Place]) {
        let (Some(first), Some(last)) = (new.first(), new.last()) else { return };
        // A joint at the very place of another comes after it.
        let before = |u: f64| self.places.partition_point(|place| place.u.total_cmp(&u).is_le());
        let at = before(first.u);
        if at == self.places.len() {
            self.places.extend_from_slice(new);
        } else if at == before(last.u) {
            self.places.splice(at..at, new.iter().copied());
        } else {
            self.places.extend_from_slice(new);
            self.places.sort_by(|a, b| a.u.total_cmp(&b.u));
        }
        self.measure();
    }
}

/// How many joints of a row stand before `u`. They stand about evenly, so that one looks where it should be.
fn before(places: &[Place], first: f64, per_mm: f64, u: f64) -> usize {
    let is_before = |place: &Place| place.u < u;
    let mut at = (((u - first) * per_mm) as usize).min(places.len());
    for _ in 0..NEAR_BY {
        if at > 0 && !is_before(&places[at - 1]) {
            at -= 1;
        } else if at < places.len() && is_before(&places[at]) {
            at += 1;
        } else {
            return at;
        }
    }
    places.partition_point(is_before)
}

/// Joints of a row that stand one after another.
#[derive(Debug, Clone, Copy, Default)]
struct Stretch<'j> {
    places: &'j [Place],
    first: f64,
    per_mm: f64,
}

impl<'j> Stretch<'j> {
    /// Joints within `reach` of `u`.
    fn around(&self, u: f64, reach: f64) -> &'j [Place] {
        let (from, to) = (u - reach, u + reach);
        let rest = &self.places[before(self.places, self.first, self.per_mm, from)..];
        let count = rest.iter().take_while(|place| place.u <= to).count();
        &rest[..count]
    }

    /// Hands over the joints within `reach` of `u`.
    fn each(&self, u: f64, reach: f64, mut give: impl FnMut(&Place)) {
        let (from, to) = (u - reach, u + reach);
        if self.places.len() <= NEAR_BY {
            let is_in = |place: &&Place| (place.u >= from) & (place.u <= to);
            return self.places.iter().filter(is_in).for_each(give);
        }
        self.around(u, reach).iter().for_each(&mut give);
    }

    /// Whether a joint stands within `reach` of `u`.
    fn any(&self, u: f64, reach: f64) -> bool {
        let (from, to) = (u - reach, u + reach);
        let places = self.places;
        if places.len() <= NEAR_BY {
            // All of so few are compared: that takes no guessing.
            let is_in = |place: &Place| (place.u >= from) & (place.u <= to);
            return places.iter().fold(false, |any, place| any | is_in(place));
        }
        places[before(places, self.first, self.per_mm, from)..].first().is_some_and(|place| place.u <= to)
    }
}

/// Joints of every row.
#[derive(Debug, Clone)]
pub(crate) struct Joints(Vec<Lane>);

impl Joints {
    pub(crate) fn new(ground: &Ground) -> Self {
        Self(vec![Lane::default(); ground.lanes])
    }

    /// Adds joints that lie and are never taken away.
    pub(crate) fn fix(&mut self, joints: &[FixedJoint]) {
        for FixedJoint { lane, u, reaches } in joints {
            self.0[*lane].places.push(Place { u: *u, run: u32::MAX, reaches: *reaches });
        }
        self.0.iter_mut().for_each(Lane::sort);
    }

    /// Takes a run's joints away.
    pub(crate) fn clear(&mut self, ground: &Ground, run: usize) {
        let lane = &mut self.0[ground.lies[run].lane];
        lane.places.retain(|place| place.run as usize != run);
        lane.measure();
    }

    /// Adds joints of a run, in order along it from either end.
    pub(crate) fn add(&mut self, ground: &Ground, run: usize, places: impl Iterator<Item = f64>) {
        let lie = &ground.lies[run];
        let mut new: SmallVec<[Place; 16]> = places
            .map(|u| Place { u, run: run as u32, reaches: [lie.touches(false, u), lie.touches(true, u)] })
            .collect();
        new.sort_by(|a, b| a.u.total_cmp(&b.u));
        self.0[lie.lane].insert(&new);
    }
}

/// Rows on each side of a run in which joints matter to its own.
const ROWS: usize = 3;

/// The joints of the rows beside a run, as far along them as they matter to a joint of that run.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Beside<'j> {
    lie: &'j Lie,
    /// From the lowest row to the highest; the run's own in the middle is left empty.
    rows: [Stretch<'j>; 2 * ROWS + 1],
}

impl<'j> Beside<'j> {
    /// The row so many above, or below where that is asked for.
    fn row(&self, above: bool, rows: usize) -> &Stretch<'j> {
        &self.rows[if above { ROWS + rows } else { ROWS - rows }]
    }
}

/// What joints are judged by.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Judge<'a> {
    pub(crate) ground: &'a Ground<'a>,
    pub(crate) rules: &'a Rules,
    /// What a joint costs where walls part the run, mm of board.
    pub(crate) fork: f64,
}

impl Judge<'_> {
    /// What stands beside a run.
    pub(crate) fn beside<'j>(&'j self, joints: &'j Joints, run: usize) -> Beside<'j> {
        let lie = &self.ground.lies[run];
        // As far as the joint of the longest stair in each row, and what else is looked at.
        let even = 3.0 * self.rules.in_line;
        let mut rows = [Stretch::default(); 2 * ROWS + 1];
        for (place, row) in rows.iter_mut().enumerate().filter(|(place, _)| *place != ROWS) {
            let away = place.abs_diff(ROWS) as f64;
            let reach = (away * STAIR_STEP).max(self.rules.least_stagger) + even + MORE;
            *row = joints.0[lie.lane + place - ROWS].between(lie.run.left - reach, lie.run.right + reach);
        }
        Beside { lie, rows }
    }

    /// Marks against a joint of a run at `u`; `None` for one that stands too close to a joint in a neighbouring row that it
    /// touches.
    pub(crate) fn legal_joint(&self, beside: &Beside, u: f64) -> Option<Marks> {
        self.is_legal(beside, u).then(|| self.joint(beside, u))
    }

    /// Whether a joint of a run at `u` stands far enough from those of neighbouring rows that it touches.
    pub(crate) fn is_legal(&self, beside: &Beside, u: f64) -> bool {
        let least = self.rules.least_stagger;
        [true, false].into_iter().all(|above| {
            let row = beside.row(above, 1);
            let near = if row.places.len() <= NEAR_BY { row.places } else { row.around(u, least) };
            let is_near =
                |place: &Place| place.reaches[usize::from(!above)] & ((place.u - u).abs() < least - EXACT);
            !near.iter().fold(false, |any, place| any | is_near(place)) || !beside.lie.touches(above, u)
        })
    }

    /// Marks against a joint of a run at `u`, counting each pair or line of joints it is part of once.
    pub(crate) fn joint(&self, beside: &Beside, u: f64) -> Marks {
        let (rules, lie) = (self.rules, beside.lie);
        let reach = rules.least_stagger.max(STAIR_STEP);
        let mut marks = Marks::default();
        for above in [true, false] {
            beside.row(above, 1).each(u, reach, |place| {
                let apart = (place.u - u).abs();
                let is_close = place.reaches[usize::from(!above)] && apart < rules.least_stagger - EXACT;
                if is_close && lie.touches(above, u) {
                    marks.hard += 1;
                    marks.faint += rules.least_stagger - apart;
                }
                if apart <= STAIR_STEP && apart > rules.in_line {
                    let line = self.line_of(beside, u, place.u - u, above);
                    marks.looks += (line - 3).max(0);
                    marks.faint += if line == 3 { EVEN_STEP } else { 0.0 };
                }
            });
            beside.row(above, 2).each(u, 3.0 * rules.in_line, |place| {
                if (place.u - u).abs() <= rules.in_line {
                    marks.looks += 1;
                } else {
                    marks.faint += NEARLY_IN_LINE;
                }
            });
        }
        if lie.is_by_notch(u, NEAR_NOTCH) {
            marks.faint += NOTCH;
        }
        if lie.is_forked(u) {
            marks.faint += self.fork;
        }
        marks
    }

    /// How many joints stand in one slanting line through the joint at `u` and the one `step` along in the next
    /// row. A line is counted from the joint above; only its topmost joint looks downwards.
    fn line_of(&self, beside: &Beside, u: f64, step: f64, above: bool) -> i64 {
        let even = 2.0 * self.rules.in_line;
        let on = |rows: usize, reach: f64| beside.row(above, rows).any(u + step * rows as f64, reach);
        let back = |rows: usize, reach: f64| beside.row(!above, rows).any(u - step * rows as f64, reach);
        if !above && back(1, even) {
            return 0;
        }
        let ahead = if on(2, even) { 1 + i64::from(on(3, 1.5 * even)) } else { 0 };
        let behind = if above && back(1, even) { 1 + i64::from(back(2, 1.5 * even)) } else { 0 };
        2 + ahead + behind
    }
}
