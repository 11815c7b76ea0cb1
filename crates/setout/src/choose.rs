//! Values every line and chooses among them.

use crate::curve::{breakpoints, narrowest, points, stretches};
use crate::snap::snap_line;
use crate::tooth::{SAME, Tooth, teeth};
use crate::{Candidate, Rip, SetOut};
use plan::{Plan, StartLine};
use site::{Site, Uv};

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

    let curve = points(&stretches(&nominal, &breakpoints(&nominal, least, pitch), pitch));

    let mut offsets: Vec<f64> = Vec::new();
    for stretch in stretches(&judged, &breakpoints(&judged, least, pitch), pitch) {
        offsets.extend([stretch.from.offset, (stretch.from.offset + stretch.to.offset) / 2.0]);
        offsets.extend(stretch.peak.map(|peak| peak.offset));
    }
    let mut values: Vec<Value> =
        offsets.into_iter().map(|offset| Value::at(offset, &judged, &nominal, least, pitch)).collect();
    values.sort_by(Value::better);
    let best_value = values.first().copied().unwrap_or(Value::at(0.0, &judged, &nominal, least, pitch));
    let runner_up = values.iter().find(|v| apart(v.offset, best_value.offset, pitch) > NEIGHBOUR);

    let candidate = |offset: f64| candidate(offset, plan, site, &nominal, &judged);
    let best = candidate(best_value.offset);
    let runner_up = runner_up.map(|value| candidate(value.offset));
    let chosen = match plan.start_line {
        StartLine::Best => best.clone(),
        StartLine::At(offset) => candidate(offset.rem_euclid(pitch)),
    };
    let line = snap_line(plan, site, &chosen, pitch);
    SetOut { pitch, curve, best, runner_up, chosen, line }
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
    safe_by: f64,
}

impl Value {
    fn at(offset: f64, judged: &[Tooth], nominal: &[Tooth], least: f64, pitch: f64) -> Self {
        Self {
            offset,
            short_length: short_length(judged, offset, least, pitch),
            narrowest: narrowest(judged, offset, pitch),
            safe_by: safe_by(nominal, offset, least, pitch),
        }
    }

    /// Best first; lengths and widths equal to a hundredth of a millimetre tie, since rounding must
    /// not choose the line.
    fn better(a: &Self, b: &Self) -> std::cmp::Ordering {
        let step = |x: f64| (x * 100.0).round();
        step(a.short_length)
            .total_cmp(&step(b.short_length))
            .then(step(b.narrowest).total_cmp(&step(a.narrowest)))
            .then(step(b.safe_by).total_cmp(&step(a.safe_by)))
            .then(a.offset.total_cmp(&b.offset))
    }
}

fn short_length(judged: &[Tooth], offset: f64, least: f64, pitch: f64) -> f64 {
    // An empty sum of floats is -0.0.
    judged.iter().filter(|t| t.seen(offset, pitch) < least - SAME).fold(0.0, |sum, t| sum + t.length)
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
        narrowest_within_tolerance: narrowest(judged, offset, pitch),
        short_length: short_length(judged, offset, least, pitch),
        safe_by: safe_by(nominal, offset, least, pitch),
        binding: nominal.iter().filter(|t| t.seen(offset, pitch) <= narrow + 0.05).map(|t| t.edge).collect(),
        rips,
    }
}
