//! How the chosen line is snapped: the row line to use, and pulls from corners that can be found.

use crate::choose::Work;
use crate::{Candidate, Pull, Rip, SnapLine};
use plan::{Bounds, Boxes, Covering, ONE_LINE, Plan, Point, RowLines, Wall};
use site::{Edge, EdgeKind, Region, Site, Uv};

/// A pull longer than this is hard to hold square, mm; longer ones serve where no shorter do.
const LONGEST_PULL: f64 = 4000.0;
/// The check may come from further off, since only its length is read, mm.
const LONGEST_CHECK: f64 = 8000.0;
/// Where nothing nearer checks a line, in a deep hall, a corner this far off does: its length is read once, mm. Ours, no
/// source.
const FAR_CHECK: f64 = 100_000.0;
/// A tape along a wall runs this far inside the floor, past gap and skirting, mm.
pub(crate) const CLEAR: f64 = 60.0;
/// No pull is shorter than this, where none but short ones can be had, mm. Ours, no source.
const NEAREST: f64 = 30.0;
/// Edges this near to one another across the rows are taken for one wall, mm.
const ONE_WALL: f64 = 50.0;
/// Row lines whose stretch is at least this part of the longest serve as well as it.
pub(crate) const AS_LONG: f64 = 0.97;

/// Stretches of the line at `v` that lie on a region's floor, left to right.
pub(crate) fn chords(region: &Region, v: f64) -> Vec<(f64, f64)> {
    in_pairs(region.edges().filter(|e| (e.a.v <= v) != (e.b.v <= v)).map(|e| crossing(e, v)).collect())
}

/// Where an edge crosses the line at `v`.
fn crossing(e: &Edge, v: f64) -> f64 {
    e.a.u + (e.b.u - e.a.u) * (v - e.a.v) / (e.b.v - e.a.v)
}

pub(crate) fn in_pairs(mut crossings: Vec<f64>) -> Vec<(f64, f64)> {
    crossings.sort_by(f64::total_cmp);
    crossings.chunks_exact(2).map(|pair| (pair[0], pair[1])).collect()
}

/// v of the row lines that may cross a region, from the lowest up.
pub(crate) fn row_lines(region: &Region, lines: &RowLines) -> Vec<f64> {
    let low = region.outer.edges.iter().map(|e| e.a.v).fold(f64::INFINITY, f64::min);
    let high = region.outer.edges.iter().map(|e| e.a.v).fold(f64::NEG_INFINITY, f64::max);
    let first = lines.place(low).ceil() as i32;
    (first..).map(|row| lines.at(row)).take_while(|v| *v < high).collect()
}

/// The longest stretch of every row line on a region's floor, from the lowest line up.
fn longest_stretches(index: usize, region: &Region, offset: f64, pitch: f64) -> Vec<Stretch> {
    let row = |v: f64| ((v - offset) / pitch).ceil();
    let (low, high) = region
        .outer
        .edges
        .iter()
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), e| (low.min(e.a.v), high.max(e.a.v)));
    if low > high {
        return Vec::new();
    }
    let first = row(low);
    let count = (row(high) - first).max(0.0) as usize;
    // Counted by row first, then filed: one list for all rows.
    let mut crossings: Vec<(usize, f64)> = Vec::with_capacity(2 * count);
    let mut ends = vec![0; count + 1];
    for edge in region.edges() {
        let (low, high) = edge.v_range();
        let (mut k, last) = (row(low).max(first), row(high));
        while k < last {
            let (index, v) = ((k - first) as usize, offset + k * pitch);
            // As everywhere, an edge holds its lower end.
            if index < count && (edge.a.v <= v) != (edge.b.v <= v) {
                crossings.push((index, crossing(edge, v)));
                ends[index + 1] += 1;
            }
            k += 1.0;
        }
    }
    for k in 0..count {
        ends[k + 1] += ends[k];
    }
    let mut places = ends.clone();
    let mut filed = vec![0.0; crossings.len()];
    for (index, u) in crossings {
        filed[places[index]] = u;
        places[index] += 1;
    }
    let longest = |k: usize| {
        let row = &mut filed[ends[k]..ends[k + 1]];
        row.sort_unstable_by(f64::total_cmp);
        let pairs = row.chunks_exact(2).map(|pair| (pair[0], pair[1]));
        let (left, right) = pairs.max_by(|a, b| (a.1 - a.0).total_cmp(&(b.1 - b.0)))?;
        Some(Stretch { region: index, v: offset + (first + k as f64) * pitch, left, right })
    };
    let mut all = Vec::with_capacity(count);
    all.extend((0..count).filter_map(longest));
    all
}

/// A stretch of a row line on the floor.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Stretch {
    pub(crate) region: usize,
    pub(crate) v: f64,
    pub(crate) left: f64,
    pub(crate) right: f64,
}

impl Stretch {
    /// Length, mm.
    pub(crate) fn length(&self) -> f64 {
        self.right - self.left
    }

    /// Its two ends on the plan.
    pub(crate) fn ends(&self, site: &Site) -> [Point; 2] {
        [self.left, self.right].map(|u| site.frame.plan_from_row(Uv::new(u, self.v)))
    }
}

/// The snapped line of a candidate, its offset as the shared row lines have it, in the regions that carry it; `None` where no row line lies on their floor, or all of that is one row.
pub(crate) fn snap_line(
    work: &Work,
    chosen: &Candidate,
    carries: impl IntoIterator<Item = usize>,
) -> Option<SnapLine> {
    let (plan, site, pitch) = (work.plan, work.site, work.pitch);
    let mut stretches: Vec<Stretch> = Vec::new();
    for index in carries.into_iter().filter(|index| !work.is_one_row(*index, chosen.offset)) {
        stretches.extend(longest_stretches(
            index,
            &site.regions[index],
            chosen.offset + work.shift(index),
            pitch,
        ));
    }
    // Where something is laid the line it was laid from is the one that is snapped.
    let is_laid_from = |s: &Stretch| {
        let lines = work.laid.get(s.region).and_then(Option::as_ref);
        lines.is_some_and(|lines| (lines.line - s.v).abs() < ONE_LINE)
    };
    if stretches.iter().any(is_laid_from) {
        stretches.retain(is_laid_from);
    }
    // A stretch shorter than this has no room for a tape at both ends.
    stretches.retain(|s| s.length() > 2.0 * CLEAR);
    let longest = stretches.iter().map(Stretch::length).fold(0.0, f64::max);
    let first = stretches.iter().position(|s| s.length() >= AS_LONG * longest)?;
    // Neighbouring lines as long as the first form a band, such as a hallway; its middle leaves room to work either way.
    let band = stretches[first..]
        .iter()
        .take_while(|s| s.length() >= AS_LONG * longest && s.region == stretches[first].region)
        .count();
    let middle = first + band / 2;
    let far = |index: &usize| (!(first..first + band).contains(index), index.abs_diff(middle));
    let mut order: Vec<usize> =
        (first..stretches.len()).filter(|index| stretches[*index].length() >= AS_LONG * longest).collect();
    order.sort_by_key(far);
    // The first of them that can be snapped well; else the one that comes nearest to it.
    let mut best: Option<Reached> = None;
    for index in order {
        let reached = Reached::new(work, stretches[index]);
        let worth = reached.worth();
        if best.as_ref().is_none_or(|best| worth > best.worth()) {
            best = Some(reached);
        }
        if worth == Reached::BEST {
            break;
        }
    }
    let Reached { line, floor, pulls, check } = best?;
    let check = check.or_else(|| far_check(work, &line, &pulls));
    let first_rip = pulls.iter().find_map(|pull| first_rip(site, chosen, &line, &floor, pull));
    let rows_to_wall = first_rip.map_or(0, |index| {
        let rip = &chosen.rips[index];
        let v = site.frame.row_from_plan(rip.at).v;
        (((v - line.v).abs() - (rip.least + rip.greatest) / 2.0) / pitch).round().max(0.0) as usize
    });
    let [from, to] = line.ends(site);
    let middle = from.lerp(to, 0.5);
    Some(SnapLine {
        v: line.v,
        region: line.region,
        from,
        to,
        room: pulls
            .first()
            .map(|pull| pull.room)
            .or_else(|| plan.rooms.iter().position(|room| room.contains(middle))),
        pulls,
        check,
        first_rip,
        rows_to_wall,
        last_rip: last_rip(site, chosen, &line, first_rip),
    })
}

/// A row line with the pulls that snap it.
struct Reached<'a> {
    line: Stretch,
    floor: Floor<'a>,
    pulls: Vec<Pull>,
    check: Option<Pull>,
}

impl<'a> Reached<'a> {
    /// Two pulls, a check, all short.
    const BEST: usize = 4;

    fn new(work: &Work<'a>, line: Stretch) -> Self {
        let floor = work.corners.floor(work.site, &line);
        let mut corners = work.corners.on(&floor, &line, LONGEST_CHECK);
        // In a floor of two rows a rule does what a tape cannot.
        if corners.is_empty() {
            corners = work.corners.from(NEAREST, &floor, &line, LONGEST_CHECK);
        }
        let (pulls, check) = choose_pulls(work.site, &line, &corners);
        Self { line, floor, pulls, check }
    }

    /// How well it can be snapped: by two pulls and a check, and short ones.
    fn worth(&self) -> usize {
        let is_short = self.pulls.len() == 2 && self.pulls.iter().all(|pull| pull.distance <= LONGEST_PULL);
        self.pulls.len() + usize::from(self.check.is_some()) + usize::from(is_short)
    }
}

/// A room corner from which the line can be reached with a tape.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Corner {
    pub(crate) room: usize,
    wall: usize,
    pub(crate) at: Uv,
}

/// The corners of all boarded rooms, found by place.
#[derive(Debug)]
pub(crate) struct Corners {
    all: Vec<Corner>,
    index: Boxes,
    /// See [`clear`], mm.
    clear: f64,
}

impl Corners {
    pub(crate) fn new(plan: &Plan, site: &Site) -> Self {
        let rooms = plan.rooms.iter().enumerate().filter(|(_, room)| room.covering == Covering::Boards);
        let all: Vec<Corner> = rooms
            .flat_map(|(room, r)| {
                let at = |wall: &Wall| site.frame.row_from_plan(wall.corner);
                r.walls.iter().enumerate().map(move |(wall, w)| Corner { room, wall, at: at(w) })
            })
            .collect();
        let index = Boxes::new(all.iter().map(|c| Bounds::of([[c.at.u, c.at.v]])));
        Self { all, index, clear: clear(plan) }
    }

    /// The floor that tapes to a stretch may run over.
    fn floor<'a>(&self, site: &'a Site, line: &Stretch) -> Floor<'a> {
        Floor::around(site, line, self.clear, LONGEST_CHECK)
    }

    /// Whether a tape square to the rows at `u` lies on the floor from a line at `from` to a stretch.
    pub(crate) fn is_open(&self, site: &Site, line: &Stretch, u: f64, from: f64) -> bool {
        Floor::around(site, line, 0.0, (from - line.v).abs()).reaches(u, from)
    }

    /// Those from which a stretch can be reached, in the plan's order.
    pub(crate) fn reaching(&self, site: &Site, line: &Stretch) -> Vec<Corner> {
        self.on(&self.floor(site, line), line, LONGEST_CHECK)
    }

    /// The same where the floor around the stretch is at hand.
    fn on(&self, floor: &Floor, line: &Stretch, reach: f64) -> Vec<Corner> {
        self.from(2.0 * self.clear, floor, line, reach)
    }

    /// The same of those that lie no nearer than `least` across the rows.
    fn from(&self, least: f64, floor: &Floor, line: &Stretch, reach: f64) -> Vec<Corner> {
        let clear = self.clear;
        let around = Bounds {
            low: [line.left - 2.0 * clear, line.v - reach - clear],
            high: [line.right + 2.0 * clear, line.v + reach + clear],
        };
        let mut found: Vec<Corner> = Vec::new();
        for index in self.index.meeting(around) {
            let corner = self.all[index];
            let Uv { u, v } = corner.at;
            if u >= line.left - clear
                && u <= line.right + clear
                && (least..=reach).contains(&(v - line.v).abs())
                && tape_places(line, u, clear).into_iter().any(|u| floor.reaches(u, v))
            {
                found.push(corner);
            }
        }
        found
    }
}

/// Edges are looked up by their place along the rows in fields of this size, mm.
const FIELD: f64 = 500.0;

/// The floor that a tape to the line may run over.
struct Floor<'a> {
    /// Edges by the fields they reach over, from `left` on.
    fields: Vec<Vec<&'a Edge>>,
    left: f64,
    chords: Vec<(f64, f64)>,
    line: f64,
    clear: f64,
}

impl<'a> Floor<'a> {
    fn around(site: &'a Site, line: &Stretch, clear: f64, reach: f64) -> Self {
        let region = &site.regions[line.region];
        let (from, to) = (line.left - 2.0 * clear, line.right + 2.0 * clear);
        let count = ((to - from) / FIELD).ceil().max(1.0);
        let mut fields: Vec<Vec<&Edge>> = vec![Vec::new(); count as usize];
        // A tape runs over a movement joint, and on over the floor past it.
        let has_joint = |region: &Region| region.edges().any(|edge| edge.kind == EdgeKind::MovementJoint);
        let past_joints: Vec<&Region> = match has_joint(region) {
            true => site
                .regions
                .iter()
                .filter(|other| !std::ptr::eq(*other, region) && has_joint(other))
                .collect(),
            false => Vec::new(),
        };
        let edges = region.edges().chain(past_joints.into_iter().flat_map(Region::edges));
        for edge in edges.filter(|edge| edge.kind != EdgeKind::MovementJoint) {
            let (low, high) = edge.v_range();
            let (left, right) = (edge.a.u.min(edge.b.u), edge.a.u.max(edge.b.u));
            let is_near = low < line.v + reach && high > line.v - reach;
            if is_near && left < to && right >= from {
                let first = ((left - from) / FIELD).floor().max(0.0) as usize;
                let last = ((right - from) / FIELD).floor().min(count - 1.0) as usize;
                fields[first..=last].iter_mut().for_each(|field| field.push(edge));
            }
        }
        Self { fields, left: from, chords: chords(region, line.v), line: line.v, clear }
    }

    /// Whether a tape square to the rows at `u` lies on the floor all the way from just inside a
    /// corner at `from` to the line.
    fn reaches(&self, u: f64, from: f64) -> bool {
        if u < self.left || !self.chords.iter().any(|(a, b)| *a <= u && u <= *b) {
            return false;
        }
        let start = if from < self.line { from + self.clear } else { from - self.clear };
        let (low, high) = (start.min(self.line), start.max(self.line));
        let crossed = |e: &&Edge| {
            (e.a.u <= u) != (e.b.u <= u) && {
                let v = e.a.v + (e.b.v - e.a.v) * (u - e.a.u) / (e.b.u - e.a.u);
                v > low && v < high
            }
        };
        let field = self.fields.get(((u - self.left) / FIELD) as usize);
        !field.is_some_and(|edges| edges.iter().any(crossed))
    }
}

/// Two pulls from corners far apart, and a check from a third, on the other side of the line if possible.
pub(crate) fn choose_pulls(site: &Site, line: &Stretch, corners: &[Corner]) -> (Vec<Pull>, Option<Pull>) {
    let pull = |corner: &Corner, letter: char| Pull {
        letter,
        room: corner.room,
        wall: corner.wall,
        corner: site.frame.plan_from_row(corner.at),
        foot: site.frame.plan_from_row(Uv::new(corner.at.u, line.v)),
        distance: (corner.at.v - line.v).abs(),
    };
    let offset = |c: &Corner| c.at.v - line.v;
    let pair = |reach: f64| {
        let mut best: Option<(f64, &Corner, &Corner)> = None;
        for a in corners.iter().filter(|c| offset(c).abs() <= reach) {
            for b in corners.iter().filter(|c| offset(c).abs() <= reach && c.at.u > a.at.u) {
                // Wide apart fixes the angle; short pulls are easier to hold; one wall face for both
                // cannot be confused with another.
                let one_side = if offset(a) * offset(b) > 0.0 { 1.0 } else { 0.6 };
                let score = (b.at.u - a.at.u) * one_side - 0.5 * (offset(a).abs() + offset(b).abs());
                if best.is_none_or(|(most, ..)| score > most) {
                    best = Some((score, a, b));
                }
            }
        }
        best
    };
    let Some((_, a, b)) = pair(LONGEST_PULL).or_else(|| pair(LONGEST_CHECK)) else {
        let nearest = corners.iter().min_by(|c, d| offset(c).abs().total_cmp(&offset(d).abs()));
        return (nearest.map(|c| pull(c, 'A')).into_iter().collect(), None);
    };
    let check = corners
        .iter()
        .filter(|c| (c.room, c.wall) != (a.room, a.wall) && (c.room, c.wall) != (b.room, b.wall))
        .filter(|c| offset(c).abs() <= LONGEST_CHECK)
        .max_by(|c, d| {
            // A check from the far side of the line cannot repeat a wrong wall.
            let worth = |c: &Corner| {
                let other_side = if offset(c) * offset(a) < 0.0 { LONGEST_CHECK } else { 0.0 };
                other_side + offset(c).abs()
            };
            worth(c).total_cmp(&worth(d)).then(d.at.u.total_cmp(&c.at.u))
        });
    (vec![pull(a, 'A'), pull(b, 'B')], check.map(|c| pull(c, 'C')))
}

/// A check from the nearest corner on the other side of the line, for two pulls that nothing near checks.
fn far_check(work: &Work, line: &Stretch, pulls: &[Pull]) -> Option<Pull> {
    let [a, _] = pulls else { return None };
    let site = work.site;
    let is_above = site.frame.row_from_plan(a.corner).v > line.v;
    let floor = Floor::around(site, line, work.corners.clear, FAR_CHECK);
    let corners = work.corners.on(&floor, line, FAR_CHECK);
    let offset = |c: &Corner| (c.at.v - line.v).abs();
    let beyond = corners.iter().filter(|c| (c.at.v > line.v) != is_above);
    let corner = beyond.min_by(|c, d| offset(c).total_cmp(&offset(d)).then(c.at.u.total_cmp(&d.at.u)))?;
    Some(Pull {
        letter: 'C',
        room: corner.room,
        wall: corner.wall,
        corner: site.frame.plan_from_row(corner.at),
        foot: site.frame.plan_from_row(Uv::new(corner.at.u, line.v)),
        distance: offset(corner),
    })
}

/// The rip at the wall a pull starts from: that of the first edge the tape meets going from the line
/// towards its corner.
fn first_rip(site: &Site, chosen: &Candidate, line: &Stretch, floor: &Floor, pull: &Pull) -> Option<usize> {
    let region = &site.regions[line.region];
    let corner = site.frame.row_from_plan(pull.corner);
    let up = corner.v > line.v;
    let u = tape_places(line, corner.u, floor.clear).into_iter().find(|u| floor.reaches(*u, corner.v))?;
    let height = |rip: &Rip| {
        let edge = edge_of(region, rip)?;
        let (left, right) = (edge.a.u.min(edge.b.u), edge.a.u.max(edge.b.u));
        let v = edge.a.v + (edge.b.v - edge.a.v) * (u - edge.a.u) / (edge.b.u - edge.a.u);
        (left <= u && u <= right && (v > line.v) == up).then_some((v - line.v).abs())
    };
    chosen
        .rips
        .iter()
        .enumerate()
        .filter(|(_, rip)| rip.edge.region == line.region)
        .filter_map(|(index, rip)| Some((height(rip)?, index)))
        .min_by(|a, b| a.0.total_cmp(&b.0))
        // Past the corner lies another wall than the one the pull starts from.
        .filter(|(height, _)| *height <= pull.distance + floor.clear)
        .map(|(_, index)| index)
}

/// The rip furthest from the line on the other side than the first rip, of the longest edge where several lie
/// equally far to within a row.
fn last_rip(site: &Site, chosen: &Candidate, line: &Stretch, first: Option<usize>) -> Option<usize> {
    let height = |rip: &Rip| site.frame.row_from_plan(rip.at).v - line.v;
    let first_is_above = height(&chosen.rips[first?]) > 0.0;
    let beyond = |rip: &Rip| if first_is_above { -height(rip) } else { height(rip) };
    let others = chosen.rips.iter().enumerate().filter(|(_, rip)| {
        rip.edge.region == line.region
            && beyond(rip) > 0.0
            && edge_of(&site.regions[line.region], rip).is_some_and(|e| e.floor_is_above() == first_is_above)
    });
    let furthest = others.clone().map(|(_, rip)| beyond(rip)).fold(0.0, f64::max);
    others
        .filter(|(_, rip)| beyond(rip) > furthest - ONE_WALL)
        .max_by(|a, b| a.1.length.total_cmp(&b.1.length).then(b.0.cmp(&a.0)))
        .map(|(index, _)| index)
}

fn edge_of<'a>(region: &'a Region, rip: &Rip) -> Option<&'a Edge> {
    let ring = match rip.edge.ring {
        0 => &region.outer,
        hole => region.holes.get(hole - 1)?,
    };
    ring.edges.get(rip.edge.edge)
}

/// Where along the rows a tape from a corner may run: on the floor's side of it.
fn tape_places(line: &Stretch, corner_u: f64, clear: f64) -> [f64; 3] {
    [corner_u.clamp(line.left + CLEAR, line.right - CLEAR), corner_u - clear, corner_u + clear]
}

/// How far inside the floor a tape along a wall runs where the field begins behind a border, mm.
fn clear(plan: &Plan) -> f64 {
    CLEAR + plan.border.map_or(0.0, |border| f64::from(border.boards) * plan.stock.pitch())
}

#[cfg(test)]
mod tests;
