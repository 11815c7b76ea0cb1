//! Lines that were not chosen: the rips each would leave, by going from every edge to its first row line; their order,
//! and the curve of all lines.

use super::{Scene, rips};
use crate::report::{Promise, Report};
use crate::result::{Line, Rip};

/// Rips agree to this, mm: a corner of an edge may be healed by as much.
pub(super) const TRUE: f64 = 0.03;
/// An edge that begins on a row line begins there to within this, mm.
pub(super) const ON: f64 = 1e-6;
/// Lines told are no nearer to one another, mm (docs/result-schema.md).
const APART: f64 = 10.0;
/// Row lines are moved on by so many joints at most.
const MOST_JOINTS: usize = 8;
/// A step of the curve is no nearer, mm.
const STEP: f64 = 1e-3;

/// An edge along the rows as it was before any gap was made wider.
pub(super) struct Along {
    pub(super) low: f64,
    pub(super) high: f64,
    pub(super) is_above: bool,
    region: usize,
    one_row: OneRow,
}

/// Where a floor lies in one row: the boards go in by the wall there, and no line is out.
#[derive(Debug, Clone, Copy)]
enum OneRow {
    /// It is wider than a board, or something of it reaches past its edges along the rows.
    Never,
    /// One of its edges cannot be found.
    Unknown,
    /// With the row line below it anywhere between two heights.
    Between(f64, f64),
}

impl Along {
    /// The offset of its region's own line, where it has one.
    pub(super) fn own_line(&self, scene: &Scene) -> Option<f64> {
        let mut own = scene.house.setout.regions.iter();
        own.find(|own| own.region == self.region && own.has_own).map(|own| own.own.offset)
    }

    /// Reads it as if its row lines lay where the shared ones do: `by` mm lower than they are.
    fn lower(&mut self, by: f64) {
        (self.low, self.high) = (self.low - by, self.high - by);
        if let OneRow::Between(low, high) = &mut self.one_row {
            (*low, *high) = (*low - by, *high - by);
        }
    }

    /// Whether its floor surely lies in one row with row lines at an offset, and whether it may.
    pub(super) fn is_one_row(&self, offset: f64, pitch: f64) -> [bool; 2] {
        match self.one_row {
            OneRow::Never => [false, false],
            OneRow::Unknown => [false, true],
            OneRow::Between(low, high) => [ON, TRUE].map(|within| {
                let line = offset + ((low - within - offset) / pitch).ceil() * pitch;
                line <= high + within
            }),
        }
    }
}

/// The edges of the chosen line's rips, those whose gap stands as it was drawn; none where lines are not looked at.
pub(super) fn check(scene: &Scene, report: &mut Report) -> Vec<Option<Along>> {
    let set = &scene.house.setout;
    if !scene.plan.pattern.is_rows() || scene.plan.border.is_some() || scene.is_partly_given() {
        return Vec::new();
    }
    let same_line = |a: Option<&Line>, b: Option<&Line>| a.map(|l| l.offset) == b.map(|l| l.offset);
    let is_in_order = same_line(set.lines.first(), Some(&set.best))
        && same_line(set.lines.get(1), set.runner_up.as_ref())
        && set.lines.windows(2).all(|pair| pair[0].value.bands <= pair[1].value.bands);
    report.hold(Promise::Lines, is_in_order, || {
        let offsets: Vec<f64> = set.lines.iter().map(|line| line.offset).collect();
        ("the lines".into(), format!("{offsets:?} are not the best first"))
    });
    for (i, line) in set.lines.iter().enumerate() {
        let around = |other: &Line| {
            let off = (line.offset - other.offset).rem_euclid(set.pitch);
            off.min(set.pitch - off)
        };
        let nearest = set.lines[..i].iter().map(around).fold(f64::INFINITY, f64::min);
        report.hold(Promise::Lines, nearest >= APART - TRUE, || {
            (format!("the line at {}", line.offset), format!("another lies {nearest} beside it"))
        });
    }
    // An edge whose gap is in use as it was drawn lies in the result where every line finds it.
    let mut edges: Vec<Option<Along>> =
        set.chosen.rips.iter().map(|rip| if rip.play > 0.0 { None } else { along(scene, rip) }).collect();
    one_rows(scene, &mut edges);
    let moved: Vec<f64> = (0..scene.house.regions.len()).map(|region| moved_on(scene, region)).collect();
    edges.iter_mut().flatten().for_each(|edge| edge.lower(moved[edge.region]));
    for line in set.lines.iter().chain(&set.runner_up) {
        of_line(scene, report, line, &edges);
    }
    edges
}

/// The edge that a rip stands for.
fn along(scene: &Scene, rip: &Rip) -> Option<Along> {
    let (region, line) = rips::edge(scene, rip)?;
    let wanted = scene.turn.rows(rip.at);
    let middle = (line.start + line.end) / 2.0;
    // Beside an edge that was moved its corners lie elsewhere.
    let is_as_drawn = (middle.x - wanted.x).abs() <= TRUE && (middle.y - wanted.y).abs() <= TRUE;
    is_as_drawn.then(|| Along {
        low: line.start.y.min(line.end.y),
        high: line.start.y.max(line.end.y),
        // The floor lies to the left of an edge.
        is_above: line.end.x > line.start.x,
        region,
        one_row: OneRow::Never,
    })
}

/// How far the row lines of a floor past movement joints along the rows are moved on: by what its whole boards lie off the shared
/// lines, if that is the width of joints of the plan; else not at all.
fn moved_on(scene: &Scene, region: usize) -> f64 {
    let (set, house) = (&scene.house.setout, scene.house);
    let has_own = set.regions.iter().any(|own| own.region == region && own.has_own);
    let is_whole = |board: &crate::result::Board| {
        board.region == region && board.is_in_row() && (board.width - set.pitch).abs() < ON
    };
    let whole = house.boards.iter().position(is_whole);
    let Some(board) = whole.filter(|_| !has_own && !scene.plan.joints.is_empty()) else { return 0.0 };
    let (_, [low, _]) = super::extent(&scene.rows[board]);
    let off = low - set.chosen.offset;
    let mut sums = vec![0.0];
    for joint in scene.plan.joints.iter().take(MOST_JOINTS) {
        let further: Vec<f64> = sums.iter().map(|sum| sum + joint.width).collect();
        sums.extend(further);
    }
    let is_off = |by: &f64| {
        let rest = (off - by).rem_euclid(set.pitch);
        rest.min(set.pitch - rest) <= TRUE
    };
    sums.iter().flat_map(|sum| [*sum, -sum]).find(is_off).unwrap_or(0.0)
}

/// Finds the floors that can lie in one row. The row line below lies no higher than where the lowest edge's gap has taken its
/// strip up, the one above no lower than the same at the highest.
fn one_rows(scene: &Scene, edges: &mut [Option<Along>]) {
    let set = &scene.house.setout;
    let region_of = |rip: &Rip| rips::edge(scene, rip).map(|(region, _)| region);
    for (index, region) in scene.house.regions.iter().enumerate() {
        let heights = region.rings.iter().flatten().map(|edge| scene.turn.rows(edge.from).y);
        let (low, high) =
            heights.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), y| (low.min(y), high.max(y)));
        let most = set.chosen.rips.iter().map(|rip| rip.most_play).fold(0.0, f64::max);
        if high - low > set.pitch + 2.0 * most + TRUE {
            continue;
        }
        let is_known = |(edge, rip): (&Option<Along>, &Rip)| {
            edge.is_some() || region_of(rip).is_some_and(|r| r != index)
        };
        let mut one_row = OneRow::Unknown;
        if edges.iter().zip(&set.chosen.rips).all(is_known) {
            let own =
                || edges.iter().zip(&set.chosen.rips).filter_map(|(edge, rip)| Some((edge.as_ref()?, rip)));
            let own = || own().filter(|(edge, _)| edge.region == index);
            let (mut below, mut above) = (f64::INFINITY, f64::NEG_INFINITY);
            let (mut lowest, mut highest) = (f64::INFINITY, f64::NEG_INFINITY);
            for (edge, rip) in own() {
                (lowest, highest) = (lowest.min(edge.low), highest.max(edge.high));
                match edge.is_above {
                    true => below = below.min(edge.low + rip.most_play),
                    false => above = above.max(edge.high - rip.most_play),
                }
            }
            let is_bounded = low >= lowest - ON && high <= highest + ON;
            let line = (above - set.pitch, below);
            one_row = match is_bounded && line.0 <= line.1 + ON {
                true => OneRow::Between(line.0, line.1),
                false => OneRow::Never,
            };
        }
        for edge in edges.iter_mut().flatten().filter(|edge| edge.region == index) {
            edge.one_row = one_row;
        }
    }
}

/// Narrowest width kept along an edge as lines are judged by it: what faces it nearer than the least rip is no line's doing.
pub(super) fn kept(edge: &Along, rip: &Rip, offset: f64, pitch: f64, least_rip: f64) -> f64 {
    let kept = up_to_row_line(edge, rip, offset, pitch);
    // What faces it nearer than a board may leave a strip of that width, if it is no sliver itself.
    let facing = rip.facing.filter(|facing| *facing >= rip.hidden + least_rip);
    facing.map_or(kept, |facing| kept.min(facing))
}

/// The strip along an edge up to the first row line, or a whole board where the gap takes that up, less what the edge reaches
/// past it.
fn up_to_row_line(edge: &Along, rip: &Rip, offset: f64, pitch: f64) -> f64 {
    // A floor below its edge is the same upside down.
    let (low, high, offset) =
        if edge.is_above { (edge.low, edge.high, offset) } else { (-edge.high, -edge.low, -offset) };
    let row_line = offset + ((low - offset - ON) / pitch).ceil() * pitch;
    match row_line - low <= rip.most_play + ON {
        true => pitch - (high - row_line).max(0.0),
        false => (row_line - high).max(0.0),
    }
}

/// The narrowest strip that is seen along an edge. Boards that go under something end to the eye at its front, which stands so
/// far within the edge: the first row line that shows is counted from there. No gap there has play.
pub(super) fn seen(edge: &Along, rip: &Rip, offset: f64, pitch: f64, least_rip: f64) -> f64 {
    if rip.hidden <= 0.0 {
        return kept(edge, rip, offset, pitch, least_rip);
    }
    let facing = rip.facing.filter(|facing| *facing >= rip.hidden + least_rip).unwrap_or(f64::INFINITY);
    up_to_front(edge, rip, offset, pitch).min(facing - rip.hidden)
}

/// From the front of what boards go under to the first row line that shows; nothing where one crosses it.
fn up_to_front(edge: &Along, rip: &Rip, offset: f64, pitch: f64) -> f64 {
    // How far every row line lies beyond the front, at its two ends: the nearest that lies beyond neither end is on none.
    let beyond = |v: f64| match edge.is_above {
        true => (offset - v - rip.hidden).rem_euclid(pitch),
        false => (v - rip.hidden - offset).rem_euclid(pitch),
    };
    let whole = |strip: f64| if strip <= ON || strip >= pitch - ON { pitch } else { strip };
    let (near, far) = if edge.is_above { (edge.low, edge.high) } else { (edge.high, edge.low) };
    // From the end that stands back furthest the strip is widest; the other reaches that much nearer to the row line.
    (whole(beyond(near)) - (far - near).abs()).max(0.0)
}

fn of_line(scene: &Scene, report: &mut Report, line: &Line, edges: &[Option<Along>]) {
    let set = &scene.house.setout;
    let (pitch, least_rip) = (set.pitch, scene.plan.rules.least_rip);
    let name = format!("the line at {}", line.offset);
    report.hold(Promise::Lines, line.rips.len() == edges.len(), || {
        (name.clone(), format!("{} rips, {} edges", line.rips.len(), edges.len()))
    });
    let (mut any, mut helped) = (pitch, pitch);
    for ((rip, edge), chosen) in line.rips.iter().zip(edges).zip(&set.chosen.rips) {
        report.hold(Promise::Lines, rip.place == chosen.place && rip.edge == chosen.edge, || {
            (name.clone(), format!("its rip at {} is {}'s of the chosen line", rip.place, chosen.place))
        });
        let own = edge.as_ref().and_then(|edge| edge.own_line(scene));
        if own.is_none() {
            any = any.min(rip.seen);
        }
        let Some(edge) = edge else { continue };
        let offset = own.unwrap_or(line.offset);
        // So near to where a strip is taken up, or to a row line, either is right.
        // Where what faces the edge stands before the first row line, the boards there are as wide as it is far off.
        let facing = rip.facing.unwrap_or(f64::INFINITY);
        let all = [-TRUE, 0.0, TRUE].map(|off| up_to_row_line(edge, rip, offset + off, pitch).min(facing));
        let holds = all.iter().any(|kept| (rip.least - kept).abs() <= 2.0 * TRUE);
        report.hold(Promise::Lines, holds, || {
            let what = format!(
                "its rip at {} `{}` is said to be {}, found {}",
                rip.edge, rip.place, rip.least, all[1]
            );
            (name.clone(), what)
        });
        let bound = (facing - rip.hidden).max(0.0);
        let all = [-TRUE, 0.0, TRUE].map(|off| match rip.hidden > 0.0 {
            true => up_to_front(edge, rip, offset + off, pitch).min(bound),
            false => up_to_row_line(edge, rip, offset + off, pitch).min(facing),
        });
        let holds = all.iter().any(|seen| (rip.seen - seen).abs() <= 2.0 * TRUE);
        report.hold(Promise::Lines, holds, || {
            let what = format!(
                "of its rip at {} `{}` {} is said to be seen, found {}",
                rip.edge, rip.place, rip.seen, all[1]
            );
            (name.clone(), what)
        });
        // Where some line helps, it counts for the narrowest.
        let most = pitch - (edge.high - edge.low - rip.most_play).max(0.0);
        if own.is_none() && most.min(rip.facing.unwrap_or(f64::INFINITY) - rip.hidden) >= least_rip + TRUE {
            helped = helped.min(rip.seen);
        }
    }
    report.hold(Promise::Lines, line.narrowest >= any - TRUE && line.narrowest <= helped + TRUE, || {
        (name.clone(), format!("narrowest said {}, its rips have {any} to {helped}", line.narrowest))
    });
    let at = curve(&set.curve, line.offset);
    let holds = at
        .is_none_or(|[least, greatest]| line.narrowest >= least - TRUE && line.narrowest <= greatest + TRUE);
    report
        .hold(Promise::Lines, holds, || (name, format!("narrowest {}, on the curve {at:?}", line.narrowest)));
}

/// What the curve of all lines has at an offset: one figure, or two at a step.
fn curve(points: &[[f64; 2]], offset: f64) -> Option<[f64; 2]> {
    let mut found: Option<[f64; 2]> = None;
    for pair in points.windows(2) {
        let [[a, from], [b, to]] = [pair[0], pair[1]];
        if offset < a - STEP || offset > b + STEP {
            continue;
        }
        let part = if b > a { ((offset - a) / (b - a)).clamp(0.0, 1.0) } else { 0.0 };
        for at in [from + (to - from) * part, if b > a { from + (to - from) * part } else { to }] {
            let now = found.unwrap_or([at, at]);
            found = Some([now[0].min(at), now[1].max(at)]);
        }
    }
    found
}
