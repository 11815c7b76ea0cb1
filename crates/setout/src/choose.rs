//! Values every line and chooses among them.

use crate::curve::{breakpoints, narrowest, points, stretches};
use crate::robust::safest_line;
use crate::snap::snap_line;
use crate::tooth::{SAME, Tooth, teeth};
use crate::{Candidate, Rip, SetOut};
use plan::{Plan, StartLine};
use site::{Site, Uv};
use std::cmp::Ordering;

/// Lines closer together than this are one choice to a person with a tape, mm.
const NEIGHBOUR: f64 = 10.0;

/// Sets out a site.
///
/// A line is judged at its worst within the rules' line tolerance: first by the length of edge whose
/// seen rip is under the least, then by the narrowest seen rip. Both change only at breakpoints or
/// where a rising rip meets a falling one, so trying those finds the optimum exactly.
pub fn set_out(plan: &Plan, site: &Site) -> SetOut {
    let pitch = plan.stock.pitch();
    let least = plan.rules.least_rip;
    let nominal = teeth(site);
    let judged: Vec<Tooth> = nominal.iter().map(|t| t.widened(plan.rules.line_tolerance)).collect();

    let exact = stretches(&nominal, &breakpoints(&nominal, least, pitch), pitch);
    let curve = points(&exact);

    let mut offsets: Vec<f64> = exact.iter().filter_map(|s| s.peak).map(|peak| peak.offset).collect();
    for stretch in stretches(&judged, &breakpoints(&judged, least, pitch), pitch) {
        offsets.extend([stretch.from.offset, (stretch.from.offset + stretch.to.offset) / 2.0]);
        offsets.extend(stretch.peak.map(|peak| peak.offset));
    }
    let values: Vec<Value> =
        offsets.into_iter().map(|offset| Value::at(offset, &judged, least, pitch)).collect();
    let ties =
        |offset| [step(safe_by(&nominal, offset, least, pitch)), step(narrowest(&nominal, offset, pitch))];
    let best_offset = best_of(values.iter(), ties).unwrap_or(0.0);
    let others = values.iter().filter(|v| apart(v.offset, best_offset, pitch) > NEIGHBOUR);
    let runner_up = best_of(others, ties);

    let candidate = |offset: f64| candidate(offset, plan, site, &nominal, &judged);
    let best = candidate(best_offset);
    let runner_up = runner_up.map(candidate);
    let chosen = match plan.start_line {
        StartLine::Best => best.clone(),
        StartLine::Safest => safest_line(plan, site, &best, |_| true)
            .map_or_else(|| best.clone(), |line| candidate(line.offset)),
        StartLine::At(offset) => candidate(offset.rem_euclid(pitch)),
    };
    let line = snap_line(plan, site, &chosen, pitch);
    let region_lines = vec![line.as_ref().map_or(chosen.offset, |line| line.v); site.regions.len()];
    SetOut { pitch, curve, best, runner_up, chosen, line, region_lines }
}

/// Distance between two offsets on the circle of one pitch, mm.
fn apart(a: f64, b: f64, pitch: f64) -> f64 {
    let d = (a - b).rem_euclid(pitch);
    d.min(pitch - d)
}

/// What a line is worth.
#[derive(Debug, Clone, Copy)]
struct Value {
    offset: f64,
    short_length: f64,
    narrowest: f64,
}

impl Value {
    fn at(offset: f64, judged: &[Tooth], least: f64, pitch: f64) -> Self {
        let (mut short_length, mut narrowest) = (0.0, pitch);
        for tooth in judged {
            let seen = tooth.seen(offset, pitch);
            narrowest = seen.min(narrowest);
            if seen < least - SAME {
                short_length += tooth.length;
            }
        }
        Self { offset, short_length, narrowest }
    }

    /// Best first.
    fn better(a: &Self, b: &Self) -> Ordering {
        step(a.short_length)
            .total_cmp(&step(b.short_length))
            .then(step(b.narrowest).total_cmp(&step(a.narrowest)))
    }
}

/// Lengths and widths equal to a hundredth of a millimetre tie, since rounding must not choose the line.
fn step(mm: f64) -> f64 {
    (mm * 100.0).round()
}

/// The offset of the best line; of those that tie the safest, then the one that leaves most where it is dead
/// true, then the least offset.
fn best_of<'a>(values: impl Iterator<Item = &'a Value>, ties: impl Fn(f64) -> [f64; 2]) -> Option<f64> {
    let mut best: Vec<&Value> = Vec::new();
    for value in values {
        match best.first().map_or(Ordering::Less, |b| Value::better(value, b)) {
            Ordering::Less => best = vec![value],
            Ordering::Equal => best.push(value),
            Ordering::Greater => {}
        }
    }
    best.into_iter()
        .map(|value| (ties(value.offset), value.offset))
        .min_by(|([safe, most], at), ([other_safe, other_most], other_at)| {
            let larger = other_safe.total_cmp(safe).then(other_most.total_cmp(most));
            larger.then(at.total_cmp(other_at))
        })
        .map(|(_, offset)| offset)
}

fn safe_by(nominal: &[Tooth], offset: f64, least: f64, pitch: f64) -> f64 {
    let slack = nominal.iter().filter_map(|t| t.slack(offset, least, pitch)).fold(f64::INFINITY, f64::min);
    if slack.is_finite() { slack } else { pitch / 2.0 }
}

fn candidate(offset: f64, plan: &Plan, site: &Site, nominal: &[Tooth], judged: &[Tooth]) -> Candidate {
    let pitch = plan.stock.pitch();
    let least = plan.rules.least_rip;
    let offset = if offset >= pitch { 0.0 } else { offset };
    let narrow = narrowest(nominal, offset, pitch);
    let value = Value::at(offset, judged, least, pitch);
    let rips = nominal
        .iter()
        .map(|tooth| {
            let region = &site.regions[tooth.edge.region];
            let edge = match tooth.edge.ring {
                0 => region.outer.edges[tooth.edge.edge],
                hole => region.holes[hole - 1].edges[tooth.edge.edge],
            };
            let middle = Uv::new((edge.a.u + edge.b.u) / 2.0, (edge.a.v + edge.b.v) / 2.0);
            Rip {
                edge: tooth.edge,
                kind: edge.kind,
                source: edge.source,
                length: tooth.length,
                least: tooth.rip(offset, pitch),
                greatest: tooth.widest(offset, pitch),
                hidden: tooth.hidden,
                at: site.frame.plan_from_row(middle),
            }
        })
        .collect();
    Candidate {
        offset,
        narrowest: narrow,
        narrowest_within_tolerance: value.narrowest,
        short_length: value.short_length,
        safe_by: safe_by(nominal, offset, least, pitch),
        binding: nominal.iter().filter(|t| t.seen(offset, pitch) <= narrow + 0.05).map(|t| t.edge).collect(),
        rips,
    }
}
