//! The set-out against brute force: every offset in steps of a hundredth of a millimetre, by a
//! plainer reckoning of the rip at each edge, on invented houses.
//!
//! `PROPTEST_CASES` asks for more houses than the few of the usual run.
#![allow(clippy::unwrap_used)]

use geo::{Area, BooleanOps, Coord, LineString, Polygon, Validation};
use plan::{OwnLine, Plan, Point, Sight, StartLine};
use proptest::prelude::*;
use setout::{SetOut, Value};
use site::{Edge, EdgeKind, Region, Site, Source, Uv};
use startrow_tests::{Dice, cases, house};
use std::collections::BTreeMap;

const STEP: f64 = 0.01;
/// On the row line, for rounding, mm.
const ON: f64 = 1e-8;

/// An edge along the rows, as a person would list it: its ends across the rows, on which side the floor
/// lies, and what its gap can take up.
struct Line {
    low: f64,
    high: f64,
    above: bool,
    hidden: f64,
    length: f64,
    play: f64,
    cap: f64,
    weight: f64,
    in_view: bool,
    region: usize,
    edge: Edge,
}

impl Line {
    fn taper(&self) -> f64 {
        self.high - self.low
    }

    /// The kept width: go from the edge's outermost point to the first row line. If the gap takes that strip
    /// up, the boards beyond the line are whole, but for what the edge reaches over the line.
    fn kept(&self, offset: f64, pitch: f64) -> f64 {
        // Seen with the floor above; a floor below is the same house upside down.
        let (low, high, offset) =
            if self.above { (self.low, self.high, offset) } else { (-self.high, -self.low, -offset) };
        let row_line = offset + ((low - offset - ON) / pitch).ceil() * pitch;
        let strip = row_line - low;
        let kept = if strip <= self.play + ON {
            pitch - (high - row_line).max(0.0)
        } else {
            (row_line - high).max(0.0)
        };
        kept.min(self.cap)
    }

    /// What is seen: where boards go under something, stand at its front and go from there to the row lines one by one. The
    /// strip ends at the first that no part of the front has passed; if one crosses the front, it runs out.
    fn seen(&self, offset: f64, pitch: f64) -> f64 {
        if self.hidden == 0.0 {
            return self.kept(offset, pitch);
        }
        let side = if self.above { 1.0 } else { -1.0 };
        let front = [self.low, self.high].map(|v| v * side + self.hidden);
        let (back, ahead) = (front[0].min(front[1]), front[0].max(front[1]));
        let mut row_line = offset * side + ((back - offset * side) / pitch).floor() * pitch - pitch;
        while row_line - back < ON {
            row_line += pitch;
        }
        (row_line - ahead).max(0.0).min(self.cap - self.hidden)
    }

    fn is_beyond_help(&self, least: f64, pitch: f64) -> bool {
        let most = (pitch - (self.taper() - self.play).max(0.0)).min(self.cap - self.hidden);
        most < least && pitch >= least
    }
}

fn runs(edge: &Edge) -> bool {
    let (run, rise) = ((edge.b.u - edge.a.u).abs(), (edge.b.v - edge.a.v).abs());
    run >= 19.99 && rise <= 0.1 * run
}

/// How much an edge is seen: 1 in an open room, half in passing, a tenth when closed; half of it under a
/// kick or a cabinet; a doorway counts as the more visible of its rooms.
fn sight(plan: &Plan, site: &Site, edge: &Edge) -> (f64, bool) {
    let room_weight = |room: usize| -> f64 {
        match plan.rooms[room].sight {
            Sight::Open => 1.0,
            Sight::Passing => 0.5,
            Sight::Closed => 0.1,
        }
    };
    let weight = match edge.source {
        Source::Wall { room, .. } => room_weight(room),
        Source::Doorway(door) => {
            let near = room_weight(plan.room_index(&plan.doorways[door].room).unwrap());
            let far = plan.doorways[door].far_room(plan).map_or(0.0, room_weight);
            near.max(far)
        }
        Source::Fixture(_) | Source::Joint(_) => {
            let middle = Uv::new((edge.a.u + edge.b.u) / 2.0, (edge.a.v + edge.b.v) / 2.0);
            let at: Point = site.frame.plan_from_row(middle);
            room_weight(plan.rooms.iter().position(|room| room.contains(at)).unwrap())
        }
    };
    let is_under = matches!(edge.kind, EdgeKind::Kick | EdgeKind::Cabinets);
    (if is_under { weight / 2.0 } else { weight }, weight > 0.1)
}

fn lines(plan: &Plan, site: &Site, set: &SetOut) -> Vec<Line> {
    let pitch = set.pitch;
    let edges = site.regions.iter().enumerate().flat_map(|(n, region)| region.edges().map(move |e| (n, e)));
    let along: Vec<(usize, &Edge)> =
        edges.filter(|(_, e)| runs(e) && (e.b.v - e.a.v).abs() < pitch).collect();
    assert_eq!(along.len(), set.chosen.rips.len());
    along
        .into_iter()
        .zip(&set.chosen.rips)
        .map(|((region, e), rip)| {
            let hidden = if e.gap < 0.0 { -e.gap } else { 0.0 };
            let (weight, in_view) = sight(plan, site, e);
            assert!((rip.weight - weight).abs() < 1e-9, "{:?}", e.source);
            // Where play is used is checked by the floor it leaves; here, that it is the plan's at most.
            assert!(rip.most_play <= e.play + 1e-9);
            Line {
                low: e.a.v.min(e.b.v),
                high: e.a.v.max(e.b.v),
                above: e.b.u > e.a.u,
                hidden,
                length: e.length(),
                play: rip.most_play,
                cap: rip.facing.filter(|d| *d >= hidden + plan.rules.least_rip).unwrap_or(f64::INFINITY),
                weight,
                in_view,
                region,
                edge: *e,
            }
        })
        .collect()
}

/// Floor between two facing edges of a region, slab by slab between all corners.
fn slabs(region: &Region) -> Vec<(Edge, Edge, f64, f64)> {
    let mut corners: Vec<f64> = region.edges().map(|e| e.a.u).collect();
    corners.sort_by(f64::total_cmp);
    let mut found = Vec::new();
    for ends in corners.windows(2).filter(|ends| ends[1] - ends[0] > 1e-6) {
        let middle = (ends[0] + ends[1]) / 2.0;
        let height = |e: &Edge| e.a.v + (e.b.v - e.a.v) * (middle - e.a.u) / (e.b.u - e.a.u);
        let mut there: Vec<(f64, &Edge)> = region
            .edges()
            .filter(|e| e.a.u.min(e.b.u) < middle && e.a.u.max(e.b.u) > middle)
            .map(|e| (height(e), e))
            .collect();
        there.sort_by(|a, b| a.0.total_cmp(&b.0));
        for pair in there.chunks_exact(2) {
            found.push((*pair[0].1, *pair[1].1, ends[1] - ends[0], pair[1].0 - pair[0].0));
        }
    }
    found
}

/// The sides of hallways: walls of one room no more than 2.5 m apart that face each other over one and a
/// half times that; of each, the pair of pieces that face each other furthest.
fn halls(site: &Site, lines: &[Line]) -> Vec<(usize, usize)> {
    let mut halls = Vec::new();
    for (number, region) in site.regions.iter().enumerate() {
        let line_of = |edge: &Edge| {
            lines.iter().position(|line| line.region == number && line.edge == *edge && line.in_view)
        };
        type Pairs = BTreeMap<(usize, usize), f64>;
        let mut walls: BTreeMap<(usize, usize, usize), (f64, f64, Pairs)> = BTreeMap::new();
        for (below, above, length, height) in slabs(region) {
            if let (Source::Wall { room, wall }, Source::Wall { room: other, wall: facing }) =
                (below.source, above.source)
                && room == other
                && let (Some(a), Some(b)) = (line_of(&below), line_of(&above))
            {
                let (all, area, pairs) = walls.entry((room, wall, facing)).or_default();
                *all += length;
                *area += length * height;
                *pairs.entry((a, b)).or_default() += length;
            }
        }
        for (length, area, pairs) in walls.values() {
            let apart = area / length;
            if apart <= 2500.0 && *length >= 1.5 * apart {
                let longest = pairs.iter().max_by(|a, b| a.1.total_cmp(b.1).then(b.0.cmp(a.0)));
                halls.push(*longest.unwrap().0);
            }
        }
    }
    halls
}

/// A house whose rooms are seen more and less, and whose gaps have more and less play.
fn plan_of(seed: u64) -> Plan {
    let mut plan = house(seed);
    let dice = &mut Dice::new(seed ^ 0x5e7);
    for room in &mut plan.rooms {
        room.sight = [Sight::Open, Sight::Open, Sight::Passing, Sight::Closed][dice.below(4)];
    }
    plan.rules.wall_gap.greatest = plan.rules.wall_gap.least + [0.0, 2.0, 4.0, 10.0][dice.below(4)];
    // A whole number of steps, so that the window is the tolerance exactly.
    plan.rules.line_tolerance = [0.0, 1.0, 1.0, 3.0][dice.below(4)];
    plan
}

fn value(short: f64, narrowest: f64, tapered: f64, uneven: f64, ripped: f64, pitch: f64) -> Value {
    let enough = (pitch / 10.0).floor() * 5.0;
    Value { short, narrowest, tapered, uneven, ripped, enough, steep: 0, beyond_help: 0 }
}

fn check(seed: u64) {
    let plan = plan_of(seed);
    let site = site::survey(&plan);
    let (pitch, least) = (plan.stock.pitch(), plan.rules.least_rip);
    let set = setout::set_out(&plan, &site);
    let lines = lines(&plan, &site, &set);
    let halls = halls(&site, &lines);
    let count = (pitch / STEP).floor() as usize;
    let sampled: Vec<Vec<f64>> =
        lines.iter().map(|line| (0..count).map(|i| line.seen(i as f64 * STEP, pitch)).collect()).collect();
    let helped: Vec<bool> = lines.iter().map(|line| !line.is_beyond_help(least, pitch)).collect();
    let narrowest =
        |i: usize| sampled.iter().zip(&helped).filter(|s| *s.1).map(|s| s.0[i]).fold(pitch, f64::min);

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

    // The choice. Brute force is handicapped where samples may miss a cliff: a tolerance one step wider, a
    // limit and rips two steps harder; whatever it still finds, the set-out must match or beat.
    let window = (plan.rules.line_tolerance / STEP).round() as usize + 1;
    let worst: Vec<Vec<f64>> = sampled.iter().map(|s| sliding_least(s, window)).collect();
    let shows = |line: &Line| line.taper() >= 3.0;
    let handicapped = |i: usize| {
        let (mut short, mut narrow, mut tapered, mut ripped) = (0.0, pitch, pitch, 0.0);
        for (k, line) in lines.iter().enumerate() {
            if worst[k][i] < least + 2.0 * STEP {
                short += line.length * line.weight;
            }
            if helped[k] && line.in_view {
                narrow = worst[k][i].min(narrow);
                if shows(line) {
                    tapered = (worst[k][i] - line.taper()).min(tapered);
                }
            }
            if line.kept(i as f64 * STEP, pitch) < pitch - 1e-7 {
                ripped += line.length;
            }
        }
        let uneven = halls.iter().map(|(a, b)| (sampled[*a][i] - sampled[*b][i]).abs()).fold(0.0, f64::max);
        // Sums are taken in hundredths of a millimetre.
        let rounding = 0.01 * lines.len() as f64;
        let short = if short > 0.0 { short + rounding } else { 0.0 };
        value(short, narrow - 2.0 * STEP, tapered - 2.0 * STEP, uneven + 1e-5, ripped + rounding, pitch)
    };
    let brute: Vec<[i64; 5]> = (0..count).map(|i| handicapped(i).bands()).collect();
    assert!(!set.lines.is_empty() && set.lines[0] == set.best && set.lines.get(1) == set.runner_up.as_ref());
    for (k, line) in set.lines.iter().enumerate() {
        let apart = |a: f64, b: f64| (a - b).rem_euclid(pitch).min((b - a).rem_euclid(pitch));
        let better: Vec<f64> = set.lines[..k].iter().map(|line| line.offset).collect();
        assert!(better.iter().all(|o| apart(*o, line.offset) > 10.0 - 0.02), "house {seed}: {better:?}");
        let bands = line.value.bands();
        for i in (0..count).filter(|i| better.iter().all(|o| apart(*o, *i as f64 * STEP) > 10.0 + 2.0 * STEP))
        {
            assert!(bands <= brute[i], "house {seed}, line {k}: {bands:?}, brute {:?} at {i}", brute[i]);
        }
    }
    claims_hold(seed, &plan, &set, &lines, &halls, &helped);

    // Of lines equal in every band, none may be further off than the best.
    let safe = safe_by(&sampled, count, least);
    for i in (0..count).filter(|i| brute[*i] == set.best.value.bands()) {
        assert!(set.best.safe_by >= safe[i] - 3.0 * STEP, "house {seed}: {} at {i}", safe[i]);
    }
}

/// What the best line says of itself, sampled closely from one end of the tolerance to the other.
fn claims_hold(
    seed: u64,
    plan: &Plan,
    set: &SetOut,
    lines: &[Line],
    halls: &[(usize, usize)],
    helped: &[bool],
) {
    let (pitch, least, best) = (set.pitch, plan.rules.least_rip, &set.best);
    let reach = plan.rules.line_tolerance - 1e-7;
    // The slope of a rip is one, so what lies between two samples is at most this narrower.
    let fine = reach.max(0.0) / 1000.0 + 1e-5;
    let here: Vec<f64> = lines
        .iter()
        .map(|line| {
            let places = (-1000..=1000).map(|k| best.offset + reach.max(0.0) * f64::from(k) / 1000.0);
            places.map(|offset| line.seen(offset, pitch)).fold(pitch, f64::min)
        })
        .collect();
    let close = |claimed: f64, sampled: f64, what: &str| {
        assert!(
            claimed <= sampled + 1e-5 && sampled - claimed <= fine,
            "house {seed}: {what} {claimed}, sampled {sampled}"
        );
    };
    let all = || lines.iter().zip(&here).zip(helped).filter(|(_, helped)| **helped).map(|(pair, _)| pair);
    close(best.narrowest_within_tolerance, all().map(|(_, w)| *w).fold(pitch, f64::min), "narrowest");
    let in_view = || all().filter(|(line, _)| line.in_view);
    close(best.value.narrowest, in_view().map(|(_, w)| *w).fold(pitch, f64::min), "in view");
    let tapered = in_view().filter(|(line, _)| line.taper() >= 3.0);
    let tapered = tapered.map(|(line, w)| (w - line.taper()).max(0.0)).fold(pitch, f64::min);
    close(best.value.tapered, tapered, "tapered");
    let short = |limit: f64, weigh: bool| -> f64 {
        let under = lines.iter().zip(&here).filter(|(_, w)| **w < limit);
        under.map(|(line, _)| if weigh { line.length * line.weight } else { line.length }).sum()
    };
    for (claimed, weigh) in [(best.value.short, true), (best.short_length, false)] {
        let (low, high) = (short(least - 1e-5, weigh), short(least + fine, weigh));
        assert!(claimed >= low - 0.5 && claimed <= high + 0.5, "house {seed}: {claimed} of {low} to {high}");
    }
    let seen = |k: usize| lines[k].seen(best.offset, pitch);
    let uneven = halls.iter().map(|(a, b)| (seen(*a) - seen(*b)).abs()).fold(0.0, f64::max);
    assert!((best.value.uneven - uneven).abs() < 1e-6, "house {seed}: {} of {uneven}", best.value.uneven);
    let ripped: f64 =
        lines.iter().filter(|l| l.kept(best.offset, pitch) < pitch - 1e-7).map(|l| l.length).sum();
    assert!((best.value.ripped - ripped).abs() < 0.5, "house {seed}: {} of {ripped}", best.value.ripped);
    assert!(best.narrowest >= best.narrowest_within_tolerance - 1e-9);
}

/// How far each sample is from the next at which an edge that is not short becomes short.
fn safe_by(sampled: &[Vec<f64>], count: usize, least: f64) -> Vec<f64> {
    let mut safe = vec![f64::INFINITY; count];
    for line in sampled.iter().filter(|line| line.iter().any(|seen| *seen < least)) {
        for (forwards, from) in [(true, 0), (false, 2 * count - 1)] {
            let mut away = f64::INFINITY;
            for k in 0..2 * count {
                let i = if forwards { k } else { from - k } % count;
                away = if line[i] < least { 0.0 } else { away + STEP };
                if line[i] >= least && k >= count {
                    safe[i] = safe[i].min(away);
                }
            }
        }
    }
    // A sample next to a short one may be anything up to a step from it.
    safe.into_iter().map(|s| if s.is_finite() { s - STEP } else { 0.0 }).collect()
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

fn polygon(region: &Region) -> Polygon {
    let line = |ring: &site::Ring| -> LineString {
        ring.edges.iter().map(|e| Coord { x: e.a.u, y: e.a.v }).collect()
    };
    Polygon::new(line(&region.outer), region.holes.iter().map(line).collect())
}

fn config(usual: u32) -> ProptestConfig {
    ProptestConfig { cases: cases(usual), failure_persistence: None, ..ProptestConfig::default() }
}

proptest! {
    #![proptest_config(config(24))]

    #[test]
    fn no_offset_beats_the_chosen_line(seed in 0_u64..1_000_000) {
        check(seed);
    }
}

proptest! {
    #![proptest_config(config(60))]

    /// A rip and what the line's pulls say agree: from corner to line there are the gap, the first rip and
    /// whole rows.
    #[test]
    fn the_pull_is_gap_rip_and_whole_rows(seed in 0_u64..1_000_000) {
        let plan = plan_of(seed);
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
                // Wood that another edge bounds is narrower than the way to the row line.
                let is_faced = rip.facing.is_some_and(|d| rip.least >= d - 1e-6);
                let within = strip >= rip.least - 1e-6 && strip <= rip.greatest + rip.play + 1e-6;
                prop_assert!(within || rip.least == 0.0 || is_faced, "{strip} {rip:?}");
            }
        }
    }

    /// Gaps made wider leave a sound floor, smaller by just what they take, by geo's reckoning: along every edge
    /// the floor stands back by its play at most.
    #[test]
    fn gaps_take_up_their_play_and_nothing_else(seed in 0_u64..1_000_000) {
        let mut plan = plan_of(seed);
        plan.rules.wall_gap.greatest = plan.rules.wall_gap.least + 6.0;
        let site = site::survey(&plan);
        let dice = &mut Dice::new(seed);
        // Lines that come to lie in the play of some edge.
        let first = setout::set_out(&plan, &site);
        let with_play: Vec<_> = first.chosen.rips.iter().filter(|rip| rip.most_play > 0.0).collect();
        for _ in 0..4 {
            if with_play.is_empty() {
                break;
            }
            let edge = with_play[dice.below(with_play.len())].edge;
            let region = &site.regions[edge.region];
            let edge = region.rings().nth(edge.ring).unwrap().edges[edge.edge];
            let (low, high) = edge.v_range();
            let into = dice.between(0.0, 6.0);
            let offset = if edge.floor_is_above() { low + into } else { high - into };
            plan.start_line = StartLine::At(offset);
            let set = setout::set_out(&plan, &site);
            let eased = site::eased(&site, &set.eases);
            let mut room_left = 0.0;
            for (before, after) in site.regions.iter().zip(&eased.regions) {
                let (a, b) = (polygon(before), polygon(after));
                prop_assert!(b.is_valid(), "house {seed} at {offset}");
                prop_assert!((b.unsigned_area() - after.area).abs() < 1e-6 * after.area);
                prop_assert!(b.difference(&a).unsigned_area() < 1e-5 * after.area, "house {seed} grew");
                room_left += before.area - after.area;
                for (e, f) in before.edges().zip(after.edges()) {
                    prop_assert_eq!((e.kind, e.source), (f.kind, f.source));
                    prop_assert!(f.gap <= e.gap + e.play + 1e-9);
                }
            }
            // The least and the most that the moves can take: each edge over its length, by what it moved.
            let moved: f64 = set.eases.iter().map(|ease| {
                let region = &site.regions[ease.region];
                let edge = region.rings().nth(ease.ring).unwrap().edges[ease.edge];
                (edge.b.u - edge.a.u).abs() * (ease.start + ease.end) / 2.0
            }).sum();
            let corners = 6.0 * 6.0 * 2.0 * set.eases.len() as f64;
            prop_assert!((room_left - moved).abs() <= corners + 1.0, "house {seed}: {room_left} for {moved}");
            // Set out again on the floor as it is left, every board where play was used is whole.
            for rip in set.chosen.rips.iter().filter(|rip| rip.play > 0.0) {
                let ring = eased.regions[rip.edge.region].rings().nth(rip.edge.ring).unwrap();
                let edge = ring.edges[rip.edge.edge];
                // Its own ends, wherever they slipped to along neighbours out of square.
                let (low, high) = edge.v_range();
                let rows = if edge.floor_is_above() { low - offset } else { high - offset } / set.pitch;
                prop_assert!((rows - rows.round()).abs() < 1e-6, "house {seed}: {rows}");
                prop_assert!((set.pitch - (high - low) - rip.least).abs() < 1e-6);
            }
        }
    }

    /// Where a plumb line from an edge meets another edge along the rows nearer than a board, the wood is no
    /// wider than that.
    #[test]
    fn wood_is_no_wider_than_the_floor_between_two_edges(seed in 0_u64..1_000_000) {
        let plan = plan_of(seed);
        let site = site::survey(&plan);
        let set = setout::set_out(&plan, &site);
        for (number, region) in site.regions.iter().enumerate() {
            let straight = |e: &Edge| runs(e) && (e.b.v - e.a.v).abs() <= 0.02 * (e.b.u - e.a.u).abs();
            for (below, above, length, height) in slabs(region) {
                if length < 20.0 || height >= set.pitch || !straight(&below) || !straight(&above) {
                    continue;
                }
                for edge in [below, above] {
                    let place = region.rings().enumerate().find_map(|(ring, r)| {
                        r.edges.iter().position(|e| *e == edge).map(|edge| (ring, edge))
                    });
                    let rip = set.chosen.rips.iter().find(|rip| {
                        rip.edge.region == number && Some((rip.edge.ring, rip.edge.edge)) == place
                    });
                    let facing = rip.unwrap().facing;
                    prop_assert!(facing.is_some_and(|d| d <= height + 1e-6), "house {seed}: {facing:?} {height}");
                }
            }
        }
    }

    /// Every part of the floor lies between two edges that face each other.
    #[test]
    fn spans_cover_the_floor(seed in 0_u64..1_000_000) {
        let site = site::survey(&house(seed));
        for region in &site.regions {
            let spans = site::spans(region);
            let area: f64 = spans.iter().map(|s| s.length() * (s.heights[0] + s.heights[1]) / 2.0).sum();
            prop_assert!((area - region.area).abs() < 1e-4 * region.area, "house {seed}: {area} {}", region.area);
        }
    }
}

#[test]
fn another_line_in_use_is_as_if_set_out_anew() {
    for seed in 0..24 {
        let mut plan = house(seed);
        // Regions with lines of their own too; where every region has one, the shared line says nothing.
        let kinds = [StartLine::Best, StartLine::At(50.0), StartLine::Safest];
        let rooms = plan.rooms.iter().take(seed as usize % 4).zip(kinds);
        plan.own_lines = rooms.map(|(room, line)| OwnLine { room: room.name.clone(), line }).collect();
        let site = site::survey(&plan);
        let set = setout::set_out(&plan, &site);
        for (index, line) in set.lines.iter().enumerate() {
            let anew = Plan { start_line: StartLine::At(line.offset), ..plan.clone() };
            let used = setout::with_line(&plan, &site, &set, index);
            assert_eq!(used, setout::set_out(&anew, &site), "house {seed}, line {index}");
            // And back again from there.
            assert_eq!(setout::with_line(&plan, &site, &used, 0), set, "house {seed}, line {index}");
        }
        assert_eq!(setout::with_line(&plan, &site, &set, set.lines.len()), set);
    }
}

/// Rooms and partitions from wall to wall drawn to the millimetre, gaps of 10, boards of 190: often what lies above one edge and below
/// another comes to lie whole on one line, and a hair to either side one of them is a sliver. The curve has that line, too: at every
/// whole millimetre its highest point is what the remainders of docs/rules.md give, by hand.
#[test]
fn the_curve_has_lines_that_are_good_alone() {
    use plan::{Fixture, FixtureKind, GapRange, Room};
    let rectangle = |x: f64, y: f64, high: f64| {
        [(0.0, y), (x, y), (x, y + high), (0.0, y + high)].map(Point::from).to_vec()
    };
    let (mut alone, mut at_ends) = (0, 0);
    for seed in 0..200 {
        let dice = &mut Dice::new(seed);
        let mut plan = Plan::new("Rooms");
        plan.rules.wall_gap = GapRange { least: 10.0, greatest: 10.0 };
        let (wide, high) = (dice.mm(700.0, 900.0), dice.mm(10.0, 60.0));
        // The lowest rows begin at 10 or at 0.
        let low = if dice.one_in(2) { 0.0 } else { -10.0 };
        let mut edges = vec![(low + 10.0, true)];
        let mut up = low;
        for number in 0..1 + dice.below(3) {
            up += wide + dice.mm(0.0, 300.0);
            let name = format!("Partition {number}");
            plan.fixtures.push(Fixture::plain(name, FixtureKind::Island, rectangle(6000.0, up, high)));
            edges.extend([(up - 10.0, false), (up + high + 10.0, true)]);
            up += high;
        }
        // Now and then a whole number of boards between the outer walls.
        let top = if dice.one_in(3) { ((up + wide) / 190.0).ceil() * 190.0 + low + 20.0 } else { up + wide };
        edges.push((top - 10.0, false));
        plan.rooms.push(Room::boarded("Room", rectangle(6000.0, low, top - low)));
        assert_eq!(plan.problems(), [], "{seed}");
        let set = setout::set_out(&plan, &site::survey(&plan));
        let kept = |offset: f64| {
            let rips = edges.iter().map(|(y, above)| {
                let rest = if *above { offset - y } else { y - offset }.rem_euclid(190.0);
                if rest == 0.0 { 190.0 } else { rest }
            });
            rips.fold(190.0, f64::min)
        };
        for offset in (0..=190).map(f64::from) {
            let ends =
                set.curve.windows(2).filter(|p| p[0].offset <= offset + 1e-6 && offset <= p[1].offset + 1e-6);
            let at = ends.flat_map(|pair| {
                let [p, q] = [pair[0], pair[1]];
                let flat = q.offset - p.offset < 1e-6;
                let part =
                    if flat { 0.0 } else { ((offset - p.offset) / (q.offset - p.offset)).clamp(0.0, 1.0) };
                [p.rip + (q.rip - p.rip) * part, if flat { q.rip } else { 0.0 }]
            });
            let highest = at.fold(0.0, f64::max);
            assert!(
                (highest - kept(offset)).abs() < 1e-5,
                "{seed} at {offset}: {highest}, by hand {}",
                kept(offset)
            );
            let is_alone = kept(offset) > kept(offset - 1e-3).max(kept(offset + 1e-3)) + 1.0;
            alone += usize::from(is_alone);
            at_ends += usize::from(is_alone && offset == 0.0);
        }
    }
    assert!(alone > 40 && at_ends > 0, "{alone} lines are good alone, {at_ends} of them at 0");
}
