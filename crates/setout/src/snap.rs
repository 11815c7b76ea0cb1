//! How the chosen line is snapped: the row line to use, and pulls from corners that can be found.

use crate::{Candidate, Pull, SnapLine};
use plan::{Covering, Plan, Point};
use site::{Region, Site, Uv};

/// A pull longer than this is hard to hold square, mm.
const LONGEST_PULL: f64 = 4000.0;
/// The check may come from further off, since only its length is read, mm.
const LONGEST_CHECK: f64 = 8000.0;
/// A tape along a wall runs this far inside the floor, past gap and skirting, mm.
pub(crate) const CLEAR: f64 = 60.0;
/// Row lines whose stretch is at least this part of the longest serve as well as it.
pub(crate) const AS_LONG: f64 = 0.97;

/// Stretches of the line at `v` that lie on a region's floor, left to right.
pub(crate) fn chords(region: &Region, v: f64) -> Vec<(f64, f64)> {
    let mut crossings: Vec<f64> = region
        .edges()
        .filter(|e| (e.a.v <= v) != (e.b.v <= v))
        .map(|e| e.a.u + (e.b.u - e.a.u) * (v - e.a.v) / (e.b.v - e.a.v))
        .collect();
    crossings.sort_by(f64::total_cmp);
    crossings.chunks_exact(2).map(|pair| (pair[0], pair[1])).collect()
}

/// v of the row lines of `line` that may cross a region, from the lowest up.
pub(crate) fn row_lines(region: &Region, line: f64, pitch: f64) -> Vec<f64> {
    let low = region.outer.edges.iter().map(|e| e.a.v).fold(f64::INFINITY, f64::min);
    let high = region.outer.edges.iter().map(|e| e.a.v).fold(f64::NEG_INFINITY, f64::max);
    let first = ((low - line) / pitch).ceil();
    std::iter::successors(Some(first), |k| Some(k + 1.0))
        .map(|k| line + k * pitch)
        .take_while(|v| *v < high)
        .collect()
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

/// The snapped line of a candidate; `None` where no row line lies on the floor.
pub(crate) fn snap_line(plan: &Plan, site: &Site, chosen: &Candidate, pitch: f64) -> Option<SnapLine> {
    let mut stretches: Vec<Stretch> = Vec::new();
    for (index, region) in site.regions.iter().enumerate() {
        for v in row_lines(region, chosen.offset, pitch) {
            let longest = chords(region, v).into_iter().max_by(|a, b| (a.1 - a.0).total_cmp(&(b.1 - b.0)));
            stretches.extend(longest.map(|(left, right)| Stretch { region: index, v, left, right }));
        }
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
    let line = stretches[first + band / 2];

    let corners = corners(plan, site, &line);
    let (pulls, check) = choose_pulls(site, &line, &corners);
    let first_rip = pulls.iter().find_map(|pull| first_rip(site, chosen, &line, pull));
    let rows_to_wall = first_rip.map_or(0, |index| {
        let rip = &chosen.rips[index];
        let v = site.frame.row_from_plan(rip.at).v;
        (((v - line.v).abs() - (rip.least + rip.greatest) / 2.0) / pitch).round().max(0.0) as usize
    });
    let [from, to] = line.ends(site);
    let middle = from.lerp(to, 0.5);
    Some(SnapLine {
        v: line.v,
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
    })
}

/// A room corner from which the line can be reached with a tape.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Corner {
    pub(crate) room: usize,
    wall: usize,
    at: Uv,
}

/// Corners of boarded rooms from which a stretch can be reached.
pub(crate) fn corners(plan: &Plan, site: &Site, line: &Stretch) -> Vec<Corner> {
    let region = &site.regions[line.region];
    let mut found = Vec::new();
    for (room_index, room) in plan.rooms.iter().enumerate() {
        if room.covering != Covering::Boards {
            continue;
        }
        for (wall_index, wall) in room.walls.iter().enumerate() {
            let at = site.frame.row_from_plan(wall.corner);
            if at.u < line.left - CLEAR || at.u > line.right + CLEAR || (at.v - line.v).abs() < 2.0 * CLEAR {
                continue;
            }
            if tape_places(line, at.u).into_iter().any(|u| reaches(region, u, at.v, line.v)) {
                found.push(Corner { room: room_index, wall: wall_index, at });
            }
        }
    }
    found
}

/// Whether a tape square to the rows at `u` lies on the floor all the way from just inside a
/// corner at `from` to the line.
fn reaches(region: &Region, u: f64, from: f64, line: f64) -> bool {
    let start = if from < line { from + CLEAR } else { from - CLEAR };
    let (low, high) = (start.min(line), start.max(line));
    let crossed = |e: &site::Edge| {
        (e.a.u <= u) != (e.b.u <= u) && {
            let v = e.a.v + (e.b.v - e.a.v) * (u - e.a.u) / (e.b.u - e.a.u);
            v > low && v < high
        }
    };
    !region.edges().any(crossed) && chords(region, line).iter().any(|(a, b)| *a <= u && u <= *b)
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
    let mut best: Option<(f64, &Corner, &Corner)> = None;
    for a in corners.iter().filter(|c| offset(c).abs() <= LONGEST_PULL) {
        for b in corners.iter().filter(|c| offset(c).abs() <= LONGEST_PULL && c.at.u > a.at.u) {
            // Wide apart fixes the angle; short pulls are easier to hold; one wall face for both
            // cannot be confused with another.
            let one_side = if offset(a) * offset(b) > 0.0 { 1.0 } else { 0.6 };
            let score = (b.at.u - a.at.u) * one_side - 0.5 * (offset(a).abs() + offset(b).abs());
            if best.is_none_or(|(most, ..)| score > most) {
                best = Some((score, a, b));
            }
        }
    }
    let Some((_, a, b)) = best else {
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

/// The rip at the wall a pull starts from: that of the first edge the tape meets going from the line
/// towards its corner.
fn first_rip(site: &Site, chosen: &Candidate, line: &Stretch, pull: &Pull) -> Option<usize> {
    let region = &site.regions[line.region];
    let corner = site.frame.row_from_plan(pull.corner);
    let up = corner.v > line.v;
    let u = tape_places(line, corner.u).into_iter().find(|u| reaches(region, *u, corner.v, line.v))?;
    let height = |rip: &crate::Rip| {
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
        .filter(|(height, _)| *height <= pull.distance + CLEAR)
        .map(|(_, index)| index)
}

fn edge_of<'a>(region: &'a Region, rip: &crate::Rip) -> Option<&'a site::Edge> {
    region.rings().nth(rip.edge.ring)?.edges.get(rip.edge.edge)
}

/// Where along the rows a tape from a corner may run: on the floor's side of it.
fn tape_places(line: &Stretch, corner_u: f64) -> [f64; 3] {
    [corner_u.clamp(line.left + CLEAR, line.right - CLEAR), corner_u - CLEAR, corner_u + CLEAR]
}
