//! The set-out against brute force: every offset in steps of a hundredth of a millimetre, by a
//! plainer reckoning of the rip at each edge.
#![allow(clippy::unwrap_used)]

use proptest::prelude::*;
use site::Site;
use startrow_tests::house;

const STEP: f64 = 0.01;

/// An edge along the rows, as a person would list it: its ends across the rows, and on which side the floor lies.
struct Line {
    low: f64,
    high: f64,
    above: bool,
    hidden: f64,
    length: f64,
}

fn lines(site: &Site) -> Vec<Line> {
    site.regions
        .iter()
        .flat_map(|region| region.edges())
        .filter(|e| (e.b.u - e.a.u).abs() >= 20.0 && (e.b.v - e.a.v).abs() <= 0.1 * (e.b.u - e.a.u).abs())
        .map(|e| Line {
            low: e.a.v.min(e.b.v),
            high: e.a.v.max(e.b.v),
            above: e.b.u > e.a.u,
            hidden: if e.gap < 0.0 { -e.gap } else { 0.0 },
            length: e.length(),
        })
        .collect()
}

/// Seen rip at an edge: count row lines up from below the edge to the last one that is no higher than the
/// far end of the strip it leaves.
fn seen(line: &Line, offset: f64, pitch: f64) -> f64 {
    let rows_under = |v: f64| ((v - offset) / pitch).floor();
    let crossed = rows_under(line.high - 1e-9) != rows_under(line.low + 1e-9);
    let rip = if crossed && line.high - line.low > 2e-9 {
        0.0
    } else if line.above {
        offset + (rows_under(line.high - 1e-9) + 1.0) * pitch - line.high
    } else {
        line.low - (offset + rows_under(line.low - 1e-9) * pitch)
    };
    (rip - line.hidden).max(0.0)
}

fn check(seed: u64) {
    let mut plan = house(seed);
    let site = site::survey(&plan);
    let pitch = plan.stock.pitch();
    let least = plan.rules.least_rip;
    // A whole number of steps, so that the window is the tolerance exactly.
    plan.rules.line_tolerance = 1.0;
    let set = setout::set_out(&plan, &site);
    let lines = lines(&site);
    let count = (pitch / STEP).floor() as usize;
    let sampled: Vec<Vec<f64>> =
        lines.iter().map(|line| (0..count).map(|i| seen(line, i as f64 * STEP, pitch)).collect()).collect();
    let narrowest = |i: usize| sampled.iter().map(|s| s[i]).fold(pitch, f64::min);

    // The curve: between its points it is straight, so every sample must lie on it.
    let curve = &set.curve;
    let mut at = 0;
    for i in 0..count {
        let offset = i as f64 * STEP;
        while at + 2 < curve.len() && curve[at + 1].offset < offset {
            at += 1;
        }
        let (p, q) = (curve[at], curve[at + 1]);
        if (p.offset - offset).abs() < 2e-3 || (q.offset - offset).abs() < 2e-3 || q.offset <= p.offset {
            continue; // a step of the curve: either side is right
        }
        let on_curve = p.rip + (q.rip - p.rip) * (offset - p.offset) / (q.offset - p.offset);
        let brute = narrowest(i);
        assert!((on_curve - brute).abs() < 1e-3, "house {seed}: curve {on_curve}, brute {brute} at {offset}");
    }

    // The choice: worst within the tolerance, by a sliding window over the samples.
    let window = (plan.rules.line_tolerance / STEP).round() as usize;
    let worst: Vec<Vec<f64>> = sampled.iter().map(|s| sliding_least(s, window)).collect();
    // A line that only just keeps clear of every cliff may lie between two samples: brute force gets a
    // tolerance one step easier, and a limit two steps easier.
    let eased: Vec<Vec<f64>> = sampled.iter().map(|s| sliding_least(s, window - 1)).collect();
    let slackened = least - 2.0 * STEP;
    let eased_short = (0..count)
        .map(|i| eased.iter().zip(&lines).filter(|(w, _)| w[i] < slackened).map(|(_, l)| l.length).sum())
        .fold(f64::INFINITY, |a: f64, b: f64| a.min(b));
    assert!(
        set.best.short_length >= eased_short - 0.02,
        "house {seed}: {} of edge under the least, but brute force with easier limits needs {eased_short}",
        set.best.short_length
    );
    let strict = least + 2.0 * STEP;
    let mut strict_best = (f64::INFINITY, 0.0_f64);
    for i in 0..count {
        let short: f64 = worst.iter().zip(&lines).filter(|(w, _)| w[i] < strict).map(|(_, l)| l.length).sum();
        let narrow = worst.iter().map(|w| w[i]).fold(pitch, f64::min);
        if short < strict_best.0 - 0.01 || (short < strict_best.0 + 0.01 && narrow > strict_best.1) {
            strict_best = (short.min(strict_best.0), narrow);
        }
    }
    assert!(
        set.best.short_length <= strict_best.0 + 0.02,
        "house {seed}: {} of edge under the least, but brute force finds a line with {}",
        set.best.short_length,
        strict_best.0
    );
    if (set.best.short_length - strict_best.0).abs() < 0.02 {
        assert!(
            set.best.narrowest_within_tolerance >= strict_best.1 - 2.0 * STEP,
            "house {seed}: narrowest {} at {}, but brute force finds {}",
            set.best.narrowest_within_tolerance,
            set.best.offset,
            strict_best.1
        );
    }
    // At the line itself, sampled from just inside one end of the tolerance to just inside the other.
    let reach = plan.rules.line_tolerance - 1e-7;
    let here = (-100..=100)
        .map(|k| set.best.offset + reach * f64::from(k) / 100.0)
        .flat_map(|offset| lines.iter().map(move |line| seen(line, offset, pitch)))
        .fold(pitch, f64::min);
    let claimed = set.best.narrowest_within_tolerance;
    // A rip that falls to nothing inside the tolerance is sampled up to a step too wide.
    assert!(
        claimed <= here + 1e-5 && here - claimed < 1.01 * STEP,
        "house {seed}: claimed {claimed}, sampled {here}"
    );
    assert!(set.best.narrowest >= set.best.narrowest_within_tolerance - 1e-9);
}

/// The least of each sample and its neighbours up to `reach` away, round the circle of one pitch.
fn sliding_least(samples: &[f64], reach: usize) -> Vec<f64> {
    let n = samples.len();
    let mut queue: std::collections::VecDeque<usize> = std::collections::VecDeque::new();
    let mut out = vec![0.0; n];
    for i in 0..n + 2 * reach {
        let value = samples[(i + n - reach) % n];
        while queue.back().is_some_and(|j| samples[(*j + n - reach) % n] >= value) {
            queue.pop_back();
        }
        queue.push_back(i);
        if i >= 2 * reach {
            while queue.front().is_some_and(|j| *j + 2 * reach < i) {
                queue.pop_front();
            }
            out[i - 2 * reach] = samples[(queue[0] + n - reach) % n];
        }
    }
    out
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_offset_beats_the_chosen_line(seed in 0_u64..1_000_000) {
        check(seed);
    }

    /// A rip and what the line's pulls say agree: from corner to line there are the gap, the first rip and
    /// whole rows.
    #[test]
    fn the_pull_is_gap_rip_and_whole_rows(seed in 0_u64..1_000_000) {
        let plan = house(seed);
        let site = site::survey(&plan);
        let set = setout::set_out(&plan, &site);
        if let Some(line) = &set.line {
            let offset = (line.v - set.chosen.offset) / set.pitch;
            prop_assert!((offset - offset.round()).abs() < 1e-6);
            for pull in line.pulls.iter().chain(&line.check) {
                prop_assert!((pull.corner.distance(pull.foot) - pull.distance).abs() < 1e-6);
            }
            if let Some(rip) = line.first_rip.map(|i| set.chosen.rips[i]) {
                let v = site.frame.row_from_plan(rip.at).v;
                let rows = line.rows_to_wall as f64 * set.pitch;
                let strip = (v - line.v).abs() - rows;
                prop_assert!(strip >= rip.least - 1e-6 && strip <= rip.greatest + 1e-6 || rip.least == 0.0);
            }
        }
    }
}
