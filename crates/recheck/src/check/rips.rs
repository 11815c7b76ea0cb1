//! The rip at every edge, measured on the boards that lie there.

use super::{Scene, extent};
use crate::report::{Promise, Report};
use geo::{Line, LineString, Polygon};

/// Rips agree to this, mm: what a corner of a board may be healed by at both of its sides.
const TRUE: f64 = 0.03;
/// A board's side lies on an edge within this, mm: corners nearer than 0.01 are one, and lie on a cut within half of that.
const ON: f64 = 0.015;
/// What stands against the wood for less than this is a jog between two gaps, mm (docs/rules.md); ends may be off by 0.01, to which
/// geometry is healed.
const JOG: f64 = 20.0 - 0.01;
/// An end of an edge this near to a row line is put on it, mm: geometry thinner than 0.01 is healed (docs/rules.md).
const ON_ROW_LINE: f64 = 0.005;
/// Gaps are given in full, mm.
const UNDER: f64 = 1e-6;
/// Widths are read this far inside a corner, mm.
const INSIDE: f64 = 2.0;

pub(super) fn check(scene: &Scene, report: &mut Report) {
    let is_rows = scene.plan.pattern.is_rows() && scene.plan.border.is_none();
    if !is_rows || scene.is_partly_given() {
        return;
    }
    for rip in &scene.house.setout.chosen.rips {
        let place = format!("{} `{}`", rip.edge, rip.place);
        let Some((region, edge, gap)) = named(scene, rip) else {
            report.hold(Promise::Rips, false, || (place, format!("no edge of the floor at {:?}", rip.at)));
            continue;
        };
        // Boards go under a thing by as much as its gap is less than nothing.
        report.same(Promise::Rips, &place, "how far boards go under", rip.hidden, (-gap).max(0.0), UNDER);
        let Some([least, greatest]) = kept(scene, &edge) else {
            report.hold(Promise::Rips, false, || (place, "no board lies along it".into()));
            continue;
        };
        // A row line that crosses the edge leaves nothing where it crosses, whatever of that is laid.
        let taper = edge.dy().abs();
        let is_crossed = rip.least == 0.0 && greatest >= scene.plan.stock.pitch() - taper - TRUE;
        report.hold(Promise::Rips, is_crossed || (rip.least - least).abs() <= TRUE, || {
            (place.clone(), format!("narrowest rip: the result says {}, found {least}", rip.least))
        });
        // Where a thing faces a part of the edge, its widest rip may be the one behind that thing: no more than the
        // edge's taper wider than any board.
        let over = if rip.facing.is_some() || is_crossed { taper } else { 0.0 };
        // One that the line crosses that near to an end is told with the wood on both sides, of which one is healed.
        let greatest = match rip.least == 0.0 && is_crossed_at_its_end(scene, region, &edge) {
            true => rip.facing.unwrap_or(f64::INFINITY).min(scene.plan.stock.pitch()),
            false => greatest,
        };
        let holds = rip.greatest >= greatest - TRUE && rip.greatest <= greatest + over + TRUE;
        report.hold(Promise::Rips, holds, || {
            (place.clone(), format!("widest rip: the result says {}, found {greatest}", rip.greatest))
        });
    }
}

/// The floor's edge that a rip stands for, in row coordinates, and its region. The gap's play moves it away from its thing.
pub(super) fn edge(scene: &Scene, rip: &crate::result::Rip) -> Option<(usize, Line)> {
    named(scene, rip).map(|(region, line, _)| (region, line))
}

/// The same with the edge's gap, mm.
fn named(scene: &Scene, rip: &crate::result::Rip) -> Option<(usize, Line, f64)> {
    let wanted = scene.turn.rows(rip.at);
    let mut found: Option<(f64, usize, Line, f64)> = None;
    for (index, region) in scene.house.regions.iter().enumerate() {
        for ring in &region.rings {
            for (i, edge) in ring.iter().enumerate() {
                if edge.place != rip.place || edge.edge != rip.edge {
                    continue;
                }
                let line =
                    Line::new(scene.turn.rows(edge.from), scene.turn.rows(ring[(i + 1) % ring.len()].from));
                if line.dy().abs() > line.dx().abs() {
                    continue;
                }
                let middle = (line.start + line.end) / 2.0;
                let (along, across) = ((middle.x - wanted.x).abs(), (middle.y - wanted.y).abs());
                // An edge eased beside its neighbours grows or shrinks by as much at its corners.
                let play = 2.0 * scene.plan.rules.wall_gap.greatest;
                let moved = if rip.play > 0.0 { play } else { ON };
                if across <= rip.play + moved.min(ON) + ON
                    && along <= moved
                    && found.is_none_or(|f| along < f.0)
                {
                    found = Some((along, index, line, edge.gap));
                }
            }
        }
    }
    found.map(|(_, region, line, gap)| (region, line, gap))
}

/// Whether a row line runs so near to an end of an edge that the end is put on it, and on neither side of all of the edge.
fn is_crossed_at_its_end(scene: &Scene, region: usize, edge: &Line) -> bool {
    let setout = &scene.house.setout;
    let own = setout.regions.iter().find(|own| own.region == region && own.has_own);
    let line = own.map_or(setout.chosen.offset, |own| own.own.offset);
    let row = |end: f64| (end - line) / scene.plan.stock.pitch();
    let ends = [edge.start.y, edge.end.y];
    let is_near = |end: f64| super::rows::between_lines(end, line, scene.plan.stock.pitch()) <= ON_ROW_LINE;
    ends.into_iter().any(is_near) && row(ends[0]).floor() != row(ends[1]).floor()
}

/// Narrowest and widest extent across the rows of the boards along an edge.
fn kept(scene: &Scene, edge: &Line) -> Option<[f64; 2]> {
    let mut found: Option<[f64; 2]> = None;
    let (left, right) = (edge.start.x.min(edge.end.x), edge.start.x.max(edge.end.x));
    for (board, shape) in scene.house.boards.iter().zip(&scene.rows) {
        if !board.is_in_row() {
            continue;
        }
        let mut corners: Vec<f64> = shape.exterior().coords().map(|p| p.x).collect();
        corners.extend(shape.interiors().iter().flat_map(|ring| ring.coords().map(|p| p.x)));
        for side in sides(shape) {
            let (from, to) =
                (side.start.x.min(side.end.x).max(left), side.start.x.max(side.end.x).min(right));
            // Only where they lie beside one another: an edge turned by a hair leaves the line of a board's long side.
            let off = |u: f64| (at(&side, u) - at(edge, u)).abs();
            if to - from <= ON || off(from) > ON || off(to) > ON {
                continue;
            }
            // Between two corners the width changes evenly: it is read inside and drawn out to both.
            let mut stops: Vec<f64> = corners.iter().copied().filter(|u| *u > from && *u < to).collect();
            stops.extend([from, to]);
            stops.sort_by(f64::total_cmp);
            for pair in stops.windows(2).filter(|pair| pair[1] - pair[0] > ON) {
                let inside = ((pair[1] - pair[0]) / 4.0).min(INSIDE);
                let (a, b) = (pair[0] + inside, pair[1] - inside);
                let is_jog = pair[1] - pair[0] < JOG;
                let read = |u: f64| width(shape, edge, u, is_jog);
                let (Some(at_a), Some(at_b)) = (read(a), read(b)) else {
                    continue;
                };
                let slope = if b - a > 1e-9 { (at_b - at_a) / (b - a) } else { 0.0 };
                for wide in [at_a - slope * inside, at_b + slope * inside] {
                    let now = found.unwrap_or([wide, wide]);
                    found = Some([now[0].min(wide), now[1].max(wide)]);
                }
            }
        }
    }
    found
}

fn sides(shape: &Polygon) -> impl Iterator<Item = Line> + '_ {
    shape.exterior().lines().chain(shape.interiors().iter().flat_map(LineString::lines))
}

fn at(side: &Line, u: f64) -> f64 {
    side.start.y + (side.end.y - side.start.y) * (u - side.start.x) / (side.end.x - side.start.x)
}

/// How far a board reaches across the rows from an edge at `u`: to its side there, or to its row line where what
/// lies over against the edge is an end wall that leans in, or a jog.
fn width(shape: &Polygon, edge: &Line, u: f64, is_jog: bool) -> Option<f64> {
    let v = at(edge, u);
    let mut met: Vec<Line> =
        sides(shape).filter(|side| (side.start.x - u) * (side.end.x - u) < 0.0).collect();
    met.sort_by(|a, b| at(a, u).total_cmp(&at(b, u)));
    let on = |side: &Line| (at(side, u) - v).abs() <= 2.0 * ON;
    // The floor lies to an edge's left. Where a row line is about to cross the edge, a hair of a row lies between the two, and both
    // of its sides lie as near to the edge.
    let is_above = edge.dx() > 0.0;
    let mut pairs =
        met.chunks_exact(2).map(|pair| if is_above { (&pair[0], &pair[1]) } else { (&pair[1], &pair[0]) });
    let (_, other) = pairs.find(|(own, _)| on(own))?;
    if other.dx().abs() >= other.dy().abs() && !is_jog {
        return Some((at(other, u) - v).abs());
    }
    let (_, [low, high]) = extent(shape);
    Some(if is_above { high - v } else { v - low })
}
