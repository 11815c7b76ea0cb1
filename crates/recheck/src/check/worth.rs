//! What lines are worth: the parts of their value, the bands these fall in, and how far each line may be off, from the
//! rips that its edges are left with when the line is moved.

use super::Scene;
use super::lines::{Along, ON, TRUE, seen};
use crate::report::{Promise, Report};
use crate::result::{Line, Rip};

/// Bands of the parts of a value, mm (docs/rules.md).
const SHORT_BAND: f64 = 100.0;
const RIP_BAND: f64 = 5.0;
const SIDES_BAND: f64 = 10.0;
const RIPPED_BAND: f64 = 500.0;
/// A taper of less is not seen, mm (docs/rules.md).
const SEEN_TAPER: f64 = 3.0;
/// Edges of rooms behind doors that are mostly shut count no more than this (docs/rules.md).
const CLOSED: f64 = 0.1;
/// Lengths are summed in hundredths of a millimetre.
const SUM: f64 = 0.01;
/// A rip or a length under the least misses its band by so much, and what else is to be less keeps under its limit by twice as
/// much, mm (docs/rules.md).
const ON_LIMIT: f64 = 1e-3;
/// A whole board misses its width by less, mm.
const WHOLE: f64 = 1e-6;

/// A figure that lies between two, since healed corners may be off, or an edge cannot be found.
#[derive(Debug, Clone, Copy)]
pub(super) struct Between {
    pub(super) low: f64,
    pub(super) high: f64,
}

impl Between {
    fn has(self, figure: f64, within: f64) -> bool {
        figure >= self.low - within && figure <= self.high + within
    }
}

/// Whether a condition surely holds, and whether it may.
#[derive(Debug, Clone, Copy)]
struct Sure {
    is: bool,
    may: bool,
}

/// The narrowest seen rip of an edge while the line is off by no more than `by` either way.
///
/// The rip grows and falls evenly but for one step a pitch, past which the gap no longer takes the strip up, or past which a
/// row line shows before what boards go under: it is least at an end, or a hair past the step.
pub(super) fn worst(scene: &Scene, edge: &Along, rip: &Rip, offset: f64, by: f64) -> Between {
    let (pitch, least_rip) = (scene.house.setout.pitch, scene.plan.rules.least_rip);
    let at = |offset: f64| seen(edge, rip, offset, pitch, least_rip);
    let within = |by: f64| {
        let by = by.max(0.0);
        let (step, past) = match edge.is_above {
            true => (edge.low + rip.most_play + rip.hidden, 2.0 * ON),
            false => (edge.high - rip.most_play - rip.hidden, -2.0 * ON),
        };
        let step = step + ((offset - by - step) / pitch).ceil() * pitch;
        let ends = at(offset - by).min(at(offset + by));
        if step <= offset + by { ends.min(at(step + past)) } else { ends }
    };
    // A line on the step itself, to what corners may be off by, may be on either side of it.
    let either = |by: f64| [-by, 0.0, by].map(|by| at(offset + by)).into_iter().fold(0.0, f64::max);
    let most = if by < TRUE { either(TRUE - by) } else { within(by - TRUE) };
    let held = Between { low: (within(by + TRUE) - TRUE).max(0.0), high: most + TRUE };
    match edge.is_one_row(offset, pitch) {
        [false, false] => held,
        // The line is out nowhere.
        [is_one, _] => {
            let seen = at(offset);
            Between { low: if is_one { seen - TRUE } else { held.low }, high: held.high.max(seen + TRUE) }
        }
    }
}

/// Whether some line leaves the least rip at an edge: its taper, or what faces it, may keep every line from it.
fn is_helped(scene: &Scene, edge: &Along, rip: &Rip) -> Sure {
    let (pitch, least) = (scene.house.setout.pitch, scene.plan.rules.least_rip);
    let cap = rip.facing.filter(|facing| *facing >= rip.hidden + least).unwrap_or(f64::INFINITY);
    let ceiling = (pitch + (rip.most_play - (edge.high - edge.low)).min(0.0)).min(cap - rip.hidden);
    // Where a whole board is less than the least no line ever leaves it: that is not the taper's doing.
    let is_narrow = pitch < least;
    Sure { is: is_narrow || ceiling >= least + TRUE, may: is_narrow || ceiling >= least - TRUE }
}

/// An edge that carries the line, with its rip; `None` for one that was moved, so that it is not found as it was drawn.
type Carried<'a> = (&'a Rip, Option<&'a Along>);

/// The edges that carry a shared line, each with its rip on that line; `None` where that cannot be told.
pub(super) fn carried<'a>(
    scene: &Scene,
    line: &'a Line,
    edges: &'a [Option<Along>],
) -> Option<Vec<Carried<'a>>> {
    let has_own = scene.house.setout.regions.iter().any(|region| region.has_own);
    if edges.len() != line.rips.len() || (has_own && edges.iter().any(Option::is_none)) {
        return None;
    }
    let all = line.rips.iter().zip(edges.iter().map(Option::as_ref));
    Some(all.filter(|(_, edge)| edge.is_none_or(|edge| edge.own_line(scene).is_none())).collect())
}

/// Length of edge under the least rip while the line is off by the tolerance, each edge times what it counts.
pub(super) fn short(scene: &Scene, edges: &[Carried], offset: f64, weight: impl Fn(&Rip) -> f64) -> Between {
    let rules = &scene.plan.rules;
    let mut all = Between { low: 0.0, high: 0.0 };
    for (rip, edge) in edges {
        let seen = edge.map(|edge| worst(scene, edge, rip, offset, rules.line_tolerance));
        let counts = rip.length * weight(rip);
        all.high += if seen.is_none_or(|seen| seen.low < rules.least_rip) { counts } else { 0.0 };
        all.low += if seen.is_some_and(|seen| seen.high < rules.least_rip) { counts } else { 0.0 };
    }
    all
}

pub(super) fn check(scene: &Scene, edges: &[Option<Along>], report: &mut Report) {
    let set = &scene.house.setout;
    if edges.is_empty() {
        return;
    }
    for line in set.lines.iter().chain([&set.chosen]) {
        bands(scene, report, line);
        if let Some(carried) = carried(scene, line, edges) {
            parts(scene, report, line, &carried);
            safe_by(scene, report, line, &carried);
        }
    }
}

/// The bands follow from the parts.
fn bands(scene: &Scene, report: &mut Report, line: &Line) {
    let value = &line.value;
    let enough = (scene.house.setout.pitch / 2.0 / RIP_BAND).floor() * RIP_BAND;
    let of = |off: f64| {
        let rip = |rip: f64| -((rip.min(enough) + off) / RIP_BAND).floor();
        [
            ((value.short - off) / SHORT_BAND).ceil().max(0.0),
            rip(value.narrowest),
            rip(value.tapered),
            ((value.uneven + 2.0 * off) / SIDES_BAND).floor(),
            ((value.ripped + 2.0 * off) / RIPPED_BAND).floor(),
        ]
    };
    let (a, b) = (of(ON_LIMIT - 2.0 * WHOLE), of(ON_LIMIT + 2.0 * WHOLE));
    let said: Vec<f64> = value.bands.iter().map(|band| *band as f64).collect();
    let holds =
        said.len() == a.len() && said.iter().zip(a.iter().zip(&b)).all(|(s, (a, b))| s == a || s == b);
    report.hold(Promise::Worth, holds, || {
        (format!("the line at {}", line.offset), format!("bands {said:?}, its parts fall in {a:?}"))
    });
}

/// Lengths and narrowest rips within the tolerance, and what has to be ripped.
fn parts(scene: &Scene, report: &mut Report, line: &Line, edges: &[Carried]) {
    let (pitch, tolerance) = (scene.house.setout.pitch, scene.plan.rules.line_tolerance);
    let name = format!("the line at {}", line.offset);
    let mut hold = |what: &str, said: f64, found: Between, within: f64| {
        report.hold(Promise::Worth, found.has(said, within), || {
            (name.clone(), format!("{what}: the result says {said}, found {} to {}", found.low, found.high))
        });
    };
    let sums = SUM * edges.len() as f64;
    let length = short(scene, edges, line.offset, |_| 1.0);
    hold("length under the least rip", line.short_length, length, sums);
    let weighed = short(scene, edges, line.offset, |rip| rip.weight);
    hold("the same as it is seen", line.value.short, weighed, sums);
    let is_ripped = |rip: &Rip| rip.least < pitch - WHOLE;
    let ripped: f64 = edges.iter().filter(|(rip, _)| is_ripped(rip)).map(|(rip, _)| rip.length).sum();
    hold("length to be ripped", line.value.ripped, Between { low: ripped, high: ripped }, sums);

    let [mut all, mut in_view, mut tapered] = [Between { low: pitch, high: pitch }; 3];
    let narrow = |of: &mut Between, seen: Between, sure: Sure| {
        of.low = if sure.may { of.low.min(seen.low) } else { of.low };
        of.high = if sure.is { of.high.min(seen.high) } else { of.high };
    };
    for (rip, edge) in edges {
        let is_seen = rip.weight > CLOSED + WHOLE;
        let Some(edge) = edge else {
            // It may be as narrow as may be, or be counted nowhere.
            let (seen, sure) = (Between { low: 0.0, high: 0.0 }, Sure { is: false, may: true });
            narrow(&mut all, seen, sure);
            narrow(&mut in_view, seen, Sure { may: is_seen, ..sure });
            narrow(&mut tapered, seen, Sure { may: is_seen, ..sure });
            continue;
        };
        let (seen, helped) = (worst(scene, edge, rip, line.offset, tolerance), is_helped(scene, edge, rip));
        narrow(&mut all, seen, helped);
        if !is_seen {
            continue;
        }
        narrow(&mut in_view, seen, helped);
        let taper = edge.high - edge.low;
        let less =
            Between { low: (seen.low - taper - TRUE).max(0.0), high: (seen.high - taper + TRUE).max(0.0) };
        let shows = Sure {
            is: helped.is && taper >= SEEN_TAPER + TRUE,
            may: helped.may && taper >= SEEN_TAPER - TRUE,
        };
        narrow(&mut tapered, less, shows);
    }
    hold("narrowest rip within the tolerance", line.narrowest_within_tolerance, all, WHOLE);
    hold("narrowest in view", line.value.narrowest, in_view, WHOLE);
    hold("narrowest beside a taper", line.value.tapered, tapered, WHOLE);
}

/// Off by less no further edge falls under the least rip, off by more one does.
fn safe_by(scene: &Scene, report: &mut Report, line: &Line, edges: &[Carried]) {
    let (pitch, least) = (scene.house.setout.pitch, scene.plan.rules.least_rip);
    let seen = |rip: &Rip, edge: &Along, by: f64| worst(scene, edge, rip, line.offset, by);
    let known = || edges.iter().filter_map(|(rip, edge)| Some((*rip, (*edge)?)));
    let keeps = |(rip, edge): &(&Rip, &Along)| {
        seen(rip, edge, 0.0).low < least || seen(rip, edge, line.safe_by - TRUE).high >= least
    };
    let bad = known().find(|edge| !keeps(edge));
    report.hold(Promise::Worth, bad.is_none(), || {
        let place = bad.map_or("", |(rip, _)| &rip.place);
        (format!("the line at {}", line.offset), format!("safe by {}, but not at {place}", line.safe_by))
    });
    let falls = |(rip, edge): (&Rip, &Along)| {
        seen(rip, edge, 0.0).high >= least && seen(rip, edge, line.safe_by + TRUE).low < least
    };
    let is_far = line.safe_by >= pitch / 2.0 - TRUE;
    let holds = is_far || known().count() < edges.len() || known().any(falls);
    report.hold(Promise::Worth, holds, || {
        let what = format!("safe by {}, where no edge falls under the least rip", line.safe_by);
        (format!("the line at {}", line.offset), what)
    });
}
