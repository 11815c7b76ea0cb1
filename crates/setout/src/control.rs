//! Control lines: the row line snapped again in every room and on both sides of what rows go round, where
//! an error would show when they meet.

use crate::choose::field_of;
use crate::snap::{AS_LONG, CLEAR, Corner, Corners, Stretch, choose_pulls, chords, in_pairs, row_lines};
use crate::way::Way;
use crate::{Candidate, Pull, SetOut};
use plan::{Plan, Point};
use site::{Region, Ring, Site, Source, Uv};

/// A line on the floor this near to another is that line, mm.
const SAME_LINE: f64 = 0.5;
/// So many times may the error of one pull show at an end of the line: a line reaches past its pulls by no more than twice
/// their base. Ours, no source: 1 mm of tape is then 3, which rows that arrive still take up.
const MOST_GROWN: f64 = 3.0;
/// Where no line that lies longest can be pulled so, one at least this part as long serves. Ours, no source.
const LONG_ENOUGH: f64 = 0.5;

/// Where a control line is snapped.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ControlPlace {
    /// In a room.
    Room(usize),
    /// Beside what rows go round, at its end with the least u.
    Before(Source),
    /// At its other end.
    Past(Source),
}

impl ControlPlace {
    /// The place as a person reads it on the plan: `Study`; `Bench, left of it`.
    pub fn name(self, plan: &Plan, site: &Site) -> String {
        let beside = |source: Source, u: f64| {
            format!("{}, {}", source.name(plan), Way::of(site, Uv::new(u, 0.0)).beside())
        };
        match self {
            Self::Room(room) => plan.rooms.get(room).map_or_else(String::new, |r| r.name.clone()),
            Self::Before(source) => beside(source, -1.0),
            Self::Past(source) => beside(source, 1.0),
        }
    }
}

/// A row line snapped again.
#[derive(Debug, Clone, PartialEq)]
pub struct ControlLine {
    /// Where.
    pub place: ControlPlace,
    /// Region it lies in.
    pub region: usize,
    /// Its place across the rows, mm.
    pub v: f64,
    /// One end on the plan.
    pub from: Point,
    /// The other.
    pub to: Point,
    /// Whole rows from the start line, or the region's own, up to it; negative below, 0 for that line itself.
    pub rows: i32,
    /// Up to two pulls that fix it, from corners of the room.
    pub pulls: Vec<Pull>,
    /// Where it has fewer than two: the line it is measured from, square to both and over open floor.
    pub from_line: Option<FromLine>,
}

/// A line that two pulls fix, from which another is measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FromLine {
    /// Where that line is snapped.
    pub place: ControlPlace,
    /// Whether it is the line its region's rows are counted from.
    pub is_start: bool,
    /// From it to this one, mm.
    pub distance: f64,
}

impl ControlLine {
    /// Where it lies against the line its rows are counted from: `17 rows up the plan`, `the start line`.
    pub fn rows_in_words(&self, site: &Site, set: &SetOut) -> String {
        let own = set.has_own_line(self.region);
        let from = if own { " from the room's own line" } else { "" };
        match self.rows {
            0 if own => "the room's own line".into(),
            0 => "the start line".into(),
            rows => {
                let word = match (set.along, rows.abs()) {
                    (None, 1) => "row",
                    (None, _) => "rows",
                    (Some(_), 1) => "axis line",
                    (Some(_), _) => "axis lines",
                };
                let way = Way::of(site, Uv::new(0.0, f64::from(rows.signum()))).along();
                format!("{} {word} {way}{from}", rows.abs())
            }
        }
    }
}

impl SetOut {
    /// v of the line that a region's rows are counted from, mm.
    pub fn line_of(&self, region: usize) -> f64 {
        self.region_lines.get(region).copied().unwrap_or(self.chosen.offset)
    }

    /// How far a region's row lines lie beside the shared ones because of movement joints, mm.
    pub fn shift_of(&self, region: usize) -> f64 {
        self.shifts.get(region).copied().unwrap_or(0.0)
    }

    /// The line of a region where it would lie if no movement joint had moved its rows on, mm.
    pub fn line_as_shared(&self, region: usize) -> f64 {
        self.line_of(region) - self.shift_of(region)
    }

    /// Whether a region's rows lie on other lines than the start line's, for another reason than a movement joint.
    pub fn has_own_line(&self, region: usize) -> bool {
        let off = (self.line_as_shared(region) - self.chosen.offset).rem_euclid(self.pitch);
        off.min(self.pitch - off) > 1e-6
    }

    /// Length of edge that a line leaves under the least where it is drawn, mm: what of [`Candidate::short_length`] needs no
    /// error of the line.
    pub fn short_as_drawn(&self, line: &Candidate) -> f64 {
        let shared = line.rips.iter().filter(|rip| !self.has_own_line(rip.edge.region));
        shared.filter(|rip| rip.seen < self.least - 1e-6).map(|rip| rip.length).sum()
    }

    /// Whether boards lie from the line in use: it is no more to be chosen, nor can it be snapped out of its place.
    pub fn line_lies(&self) -> bool {
        (0..self.laid.len()).any(|region| self.laid[region].is_some() && !self.has_own_line(region))
    }

    /// Whether rips hang on how true the line is snapped: there is one, it is still to be snapped, and edges run along the rows.
    pub fn hangs_on_line(&self) -> bool {
        self.line.is_some() && !self.chosen.rips.is_empty() && !self.line_lies()
    }
}

/// The control lines of a set-out: one in each boarded room, then two at each hole that parts rows.
///
/// In a room it is the row line that lies longest; of those as long within 3 % the start line itself, else the one with the
/// least way to it from there, where the rows come from, and to pull it from two corners of the room, so far apart that the
/// error of one pull grows no more than threefold to the line's end. Where there is none, a shorter line serves. At a hole
/// that at least two row lines run into, it is the last of them from the start line on: there the rows that went round meet.
/// A line that fewer than two such pulls fix is measured from another one.
pub fn control_lines(plan: &Plan, site: &Site, set: &SetOut) -> Vec<ControlLine> {
    let field = field_of(plan, site);
    let site = field.as_ref();
    let corners = Corners::new(plan, site);
    let rooms = (0..plan.rooms.len()).filter(|room| plan.rooms[*room].is_boarded());
    let mut lines: Vec<ControlLine> =
        rooms.filter_map(|room| in_room(plan, site, set, &corners, room)).collect();
    for (index, region) in site.regions.iter().enumerate() {
        for hole in &region.holes {
            lines.extend(beside(site, set, &corners, index, hole));
        }
    }
    measure_from_others(site, &corners, set, &mut lines);
    lines
}

/// How many times the error of one pull of two is grown at the line's further end from the other.
fn grown(site: &Site, line: &Stretch, pulls: &[Pull]) -> f64 {
    let feet: Vec<f64> = pulls.iter().map(|pull| site.frame.row_from_plan(pull.foot).u).collect();
    let [a, b] = feet[..] else { return f64::INFINITY };
    let (left, right) = (a.min(b), a.max(b));
    ((line.right - left).max(right - line.left) / (right - left)).max(1.0)
}

/// Two pulls that fix a line well enough; else the nearest alone.
fn sound_pulls(site: &Site, line: &Stretch, corners: &[Corner]) -> Vec<Pull> {
    let pulls = choose_pulls(site, line, corners).0;
    if pulls.len() < 2 || grown(site, line, &pulls) <= MOST_GROWN {
        return pulls;
    }
    // The longest base there is, however long its pulls.
    let by_u = |a: &&Corner, b: &&Corner| a.at.u.total_cmp(&b.at.u);
    if let (Some(first), Some(last)) = (corners.iter().min_by(by_u), corners.iter().max_by(by_u)) {
        let pulls = choose_pulls(site, line, &[*first, *last]).0;
        if pulls.len() == 2 && grown(site, line, &pulls) <= MOST_GROWN {
            return pulls;
        }
    }
    let away = |corner: &&Corner| (corner.at.v - line.v).abs();
    let nearest = corners.iter().min_by(|a, b| away(a).total_cmp(&away(b)));
    nearest.map_or_else(Vec::new, |corner| choose_pulls(site, line, &[*corner]).0)
}

/// Lines that fewer than two pulls fix are measured from the nearest one that two fix, where the floor between lies open at
/// both of their ends; at one of them where a pull fixes a point already.
fn measure_from_others(site: &Site, corners: &Corners, set: &SetOut, lines: &mut [ControlLine]) {
    let stretch_of = |line: &ControlLine| {
        let [a, b] = [line.from, line.to].map(|p| site.frame.row_from_plan(p).u);
        Stretch { region: line.region, v: line.v, left: a.min(b), right: a.max(b) }
    };
    let fixed: Vec<(ControlPlace, Stretch)> = lines
        .iter()
        .filter(|line| line.pulls.len() == 2)
        .map(|line| (line.place, stretch_of(line)))
        .collect();
    for line in lines.iter_mut().filter(|line| line.pulls.len() < 2) {
        let stretch = stretch_of(line);
        let ends = [stretch.left + CLEAR, stretch.right - CLEAR];
        let feet: Vec<f64> = line.pulls.iter().map(|pull| site.frame.row_from_plan(pull.foot).u).collect();
        let reaches = |other: &Stretch| {
            let is_open = |u: &f64| {
                // The other line is there where it was snapped, not wherever its row line goes on.
                other.left <= *u && *u <= other.right && corners.is_open(site, &stretch, *u, other.v)
            };
            match feet[..] {
                // One more point, as far from the pull as a second pull would have to be.
                [foot] => {
                    ends.iter().any(|u| (u - foot).abs() * MOST_GROWN >= stretch.length() && is_open(u))
                }
                _ => ends.iter().all(is_open),
            }
        };
        let away = |other: &Stretch| (other.v - stretch.v).abs();
        let others = fixed
            .iter()
            .filter(|(_, other)| other.region == stretch.region && away(other) > SAME_LINE && reaches(other));
        let nearest = others.min_by(|a, b| away(&a.1).total_cmp(&away(&b.1)));
        line.from_line = nearest.map(|(place, other)| FromLine {
            place: *place,
            is_start: (other.v - set.line_of(other.region)).abs() < SAME_LINE,
            distance: away(other),
        });
    }
}

/// Whether the only row line of a floor lies at its edge, to what the gap there takes up: then all of it is one row.
fn is_one_row(region: &Region, lines: &[f64]) -> bool {
    let [line] = lines else { return lines.is_empty() };
    let play = region.edges().map(|edge| edge.play).fold(SAME_LINE, f64::max);
    let ends = || region.outer.edges.iter().map(|edge| edge.a.v);
    let (low, high) = (ends().fold(f64::INFINITY, f64::min), ends().fold(f64::NEG_INFINITY, f64::max));
    line - low <= play || high - line <= play
}

fn in_room(plan: &Plan, site: &Site, set: &SetOut, corners: &Corners, room: usize) -> Option<ControlLine> {
    let outline: Vec<Uv> =
        plan.rooms[room].outline().iter().map(|(p, _)| site.frame.row_from_plan(*p)).collect();
    let mut stretches: Vec<Stretch> = Vec::new();
    for (region, r) in site.regions.iter().enumerate() {
        let lines = row_lines(r, &set.row_lines(region));
        if is_one_row(r, &lines) {
            continue;
        }
        for v in lines {
            let inside = chords_of(&outline, v);
            if inside.is_empty() {
                continue;
            }
            let longest =
                common(&chords(r, v), &inside).into_iter().max_by(|a, b| (a.1 - a.0).total_cmp(&(b.1 - b.0)));
            stretches.extend(longest.map(|(left, right)| Stretch { region, v, left, right }));
        }
    }
    // A shorter stretch has no room for a tape at both ends.
    stretches.retain(|s| s.length() > 2.0 * CLEAR);
    let longest = stretches.iter().map(Stretch::length).fold(0.0, f64::max);
    stretches.retain(|s| s.length() >= LONG_ENOUGH * longest);
    stretches.sort_by(|a, b| {
        let is_shorter = |s: &Stretch| s.length() < AS_LONG * longest;
        // The start line is none off itself.
        let off = |s: &Stretch| (s.v - set.line_of(s.region)).abs();
        is_shorter(a).cmp(&is_shorter(b)).then(off(a).total_cmp(&off(b))).then(a.v.total_cmp(&b.v))
    });
    let pulls = |line: &Stretch| {
        let mut corners = corners.reaching(site, line);
        corners.retain(|corner| corner.room == room);
        sound_pulls(site, line, &corners)
    };
    // Of lines that two pulls fix the one with the least way to go to it and to pull: the start line itself has none to go.
    let mut best: Option<(f64, Stretch, Vec<Pull>)> = None;
    let mut first: Option<(Stretch, Vec<Pull>)> = None;
    for line in &stretches {
        let off = (line.v - set.line_of(line.region)).abs();
        let is_longest = line.length() >= AS_LONG * longest;
        // None further off is nearer, and shorter ones serve only where none of the longest does.
        if best.as_ref().is_some_and(|(way, ..)| !is_longest || off >= *way) {
            break;
        }
        let found = pulls(line);
        if found.len() == 2 {
            let way = off + found.iter().map(|pull| pull.distance).fold(0.0, f64::max);
            let is_start = off < SAME_LINE;
            if best.as_ref().is_none_or(|(least, ..)| way < least - SAME_LINE) {
                best = Some((if is_start { 0.0 } else { way }, *line, found));
            }
        } else if first.as_ref().is_none_or(|(_, pulls)| found.len() > pulls.len()) {
            first = Some((*line, found));
        }
    }
    let (line, pulls) = best.map(|(_, line, pulls)| (line, pulls)).or(first)?;
    Some(control(site, set, ControlPlace::Room(room), &line, pulls))
}

fn beside(site: &Site, set: &SetOut, corners: &Corners, region: usize, hole: &Ring) -> Vec<ControlLine> {
    let corners_of = hole.edges.iter().map(|edge| edge.a).collect::<Vec<_>>();
    let start = set.line_of(region);
    let crossing: Vec<(f64, (f64, f64))> = row_lines(&site.regions[region], &set.row_lines(region))
        .into_iter()
        .filter_map(|v| {
            let inside = chords_of(&corners_of, v);
            Some((v, (inside.first()?.0, inside.last()?.1)))
        })
        .collect();
    if crossing.len() < 2 {
        return Vec::new();
    }
    let far = crossing.iter().max_by(|a, b| (a.0 - start).abs().total_cmp(&(b.0 - start).abs()));
    let (Some(&(v, (left, right))), Some(edge)) = (far, hole.edges.first()) else { return Vec::new() };
    let floor = chords(&site.regions[region], v);
    let before = floor.iter().find(|c| (c.1 - left).abs() < SAME_LINE).map(|c| (*c, true));
    let past = floor.iter().find(|c| (c.0 - right).abs() < SAME_LINE).map(|c| (*c, false));
    let mut lines = Vec::new();
    for ((left, right), is_before) in [before, past].into_iter().flatten() {
        let line = Stretch { region, v, left, right };
        if line.length() <= 2.0 * CLEAR {
            continue;
        }
        let pulls = sound_pulls(site, &line, &corners.reaching(site, &line));
        let place =
            if is_before { ControlPlace::Before(edge.source) } else { ControlPlace::Past(edge.source) };
        lines.push(control(site, set, place, &line, pulls));
    }
    lines
}

fn control(site: &Site, set: &SetOut, place: ControlPlace, line: &Stretch, pulls: Vec<Pull>) -> ControlLine {
    let [from, to] = line.ends(site);
    let rows = set.row_lines(line.region).place(line.v).round() as i32;
    ControlLine { place, region: line.region, v: line.v, from, to, rows, pulls, from_line: None }
}

/// Stretches of the line at `v` inside a closed outline, left to right.
fn chords_of(outline: &[Uv], v: f64) -> Vec<(f64, f64)> {
    let sides = outline.iter().zip(outline.iter().cycle().skip(1));
    let crossed = sides.filter(|(a, b)| (a.v <= v) != (b.v <= v));
    in_pairs(crossed.map(|(a, b)| a.u + (b.u - a.u) * (v - a.v) / (b.v - a.v)).collect())
}

/// What two lists of stretches have in common.
fn common(a: &[(f64, f64)], b: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let shared = |p: &(f64, f64), q: &(f64, f64)| (p.0.max(q.0), p.1.min(q.1));
    a.iter().flat_map(|p| b.iter().map(move |q| shared(p, q))).filter(|c| c.1 > c.0).collect()
}

impl ControlLine {
    /// How a line that fewer than two pulls fix gets the points that it lacks, `length` saying lengths; none where two fix it.
    pub fn second_point(
        &self,
        plan: &Plan,
        site: &Site,
        set: &SetOut,
        length: impl Fn(f64) -> String,
    ) -> Option<String> {
        let point = match self.pulls.len() {
            0 => "at both ends",
            1 => "for a second point",
            _ => return None,
        };
        let away = (self.v - set.line_of(self.region)).abs();
        Some(match (self.from_line, self.rows) {
            (Some(FromLine { place, is_start, distance }), _) => {
                let from = match is_start {
                    true => "the start line".to_owned(),
                    false => format!("the control line of {}", place.name(plan, site)),
                };
                format!("{point} measure {} square from {from}", length(distance))
            }
            (None, 0) => format!("{point} carry the start line on"),
            (None, _) => format!(
                "{point} measure {} square from the start line, or from a control line as many rows off",
                length(away)
            ),
        })
    }
}

#[cfg(test)]
mod tests;
