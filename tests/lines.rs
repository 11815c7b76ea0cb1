//! What is said about the line in use, on invented houses: the tape, control lines, boards off their width, and
//! directions. Compared with plainer reckonings; where a rule is ours alone it says so.
#![allow(clippy::unwrap_used)]

use plan::{Plan, Point, StartLine};
use setout::{Advice, SetOut};
use site::Site;
use startrow_tests::house;

fn advised(plan: &Plan) -> (Site, SetOut, Advice) {
    let site = site::survey(plan);
    let set = setout::set_out(plan, &site);
    let advice = setout::advise(plan, &site, &set);
    (site, set, advice)
}

/// Length of edge under the least with the line off by the tolerance, weighed by sight, straight from the rips.
fn short(plan: &Plan, site: &Site, offset: f64) -> f64 {
    let set = |by: f64| {
        let moved = Plan { start_line: StartLine::At(offset + by), ..plan.clone() };
        setout::set_out(&moved, site).chosen
    };
    let steps = [-1.0, -0.5, 0.0, 0.5, 1.0].map(|part| set(part * (plan.rules.line_tolerance - 1e-6)));
    (0..steps[0].rips.len())
        .filter(|i| steps.iter().any(|line| line.rips[*i].seen < plan.rules.least_rip - 1e-4))
        .map(|i| steps[0].rips[i].length * steps[0].rips[i].weight)
        .sum()
}

#[test]
fn no_sampled_line_stands_more_than_the_safest() {
    for seed in 0..12 {
        let plan = Plan { start_line: StartLine::Safest, ..house(seed) };
        let (site, set, advice) = advised(&plan);
        let Some(stands) = advice.robust.stands else { continue };
        let own = short(&plan, &site, set.chosen.offset);
        // Pulled from the same corners only: another line's pulls are another net of lengths.
        let corners = |set: &SetOut| {
            set.line.as_ref().map(|line| line.pulls.iter().map(|p| (p.room, p.wall)).collect::<Vec<_>>())
        };
        let here = corners(&set);
        for i in 0..(set.pitch / 9.0) as usize {
            let offset = i as f64 * 9.0;
            let other = Plan { start_line: StartLine::At(offset), ..plan.clone() };
            let (_, other_set, other_advice) = advised(&other);
            if corners(&other_set) != here {
                continue;
            }
            let other_short = short(&plan, &site, offset);
            assert!(other_short >= own - 0.1, "house {seed}: {other_short} at {offset} is under {own}");
            if other_short <= own + 0.1 {
                let other_stands = other_advice.robust.stands.unwrap_or(0.0);
                assert!(
                    other_stands <= stands + 0.02,
                    "house {seed}: {other_stands} at {offset} is over {stands}"
                );
            }
        }
    }
}

#[test]
fn an_error_of_that_size_in_every_length_makes_no_sliver_and_a_larger_one_does() {
    // Walls along x and y, so that an error of a length moves what hangs on it by just that much. Every length is
    // drawn out by the error, the floor surveyed anew, and the line put where its pull then falls.
    let room = |name: &str, x: f64, y: f64, w: f64, h: f64| {
        plan::Room::boarded(
            name,
            [(x, y), (x + w, y), (x + w, y + h), (x, y + h)].map(|(x, y)| Point::new(x, y)),
        )
    };
    for depth in [1930.0, 2075.0, 2210.0, 2364.0] {
        let mut plan = Plan::new("t");
        plan.rules.wall_gap.greatest = plan.rules.wall_gap.least;
        plan.rooms = vec![room("Hall", 0.0, 0.0, 6000.0, depth)];
        let (_, set, advice) = advised(&plan);
        let (stands, line) = (advice.robust.stands.unwrap(), set.line.as_ref().unwrap());
        let pull = &line.pulls[0];
        let pulled_up = pull.corner.y < line.v;
        let slivers = |error: f64| {
            [-error, error].into_iter().any(|deeper| {
                [-error, error].into_iter().any(|longer| {
                    let mut off = plan.clone();
                    off.rooms = vec![room("Hall", 0.0, 0.0, 6000.0, depth + deeper)];
                    let from = if pulled_up { 0.0 } else { depth + deeper };
                    let distance = pull.distance + longer;
                    off.start_line = StartLine::At(if pulled_up { from + distance } else { from - distance });
                    let (_, then, _) = advised(&off);
                    then.chosen.rips.iter().any(|rip| rip.least < plan.rules.least_rip - 1e-6)
                })
            })
        };
        assert!(!slivers(stands - 0.01), "{depth}: {stands}");
        assert!(slivers(stands + 0.01), "{depth}: {stands}");
    }
}

#[test]
fn control_lines_are_row_lines_on_the_floor_with_true_pulls() {
    let mut measured = 0;
    for seed in 0..150 {
        let plan = house(seed);
        let (site, set, advice) = advised(&plan);
        for line in &advice.control {
            let [a, b] = [line.from, line.to].map(|p| site.frame.row_from_plan(p));
            assert!((a.v - b.v).abs() < 1e-6 && (a.v - line.v).abs() < 1e-6, "house {seed}");
            let rows = (line.v - set.line_of(line.region)) / set.pitch;
            assert!((rows - f64::from(line.rows)).abs() < 1e-6, "house {seed}: {rows} rows");
            let middle = line.from.lerp(line.to, 0.5);
            if let setout::ControlPlace::Room(room) = line.place {
                assert!(plan.rooms[room].contains(middle), "house {seed}");
                assert!(line.pulls.iter().all(|pull| pull.room == room), "house {seed}");
            }
            // Pythagoras: corner, foot and any other point of the line make a right angle at the foot.
            for pull in &line.pulls {
                let (c, f) = (pull.corner, pull.foot);
                let square = |p: Point, q: Point| (p.x - q.x) * (p.x - q.x) + (p.y - q.y) * (p.y - q.y);
                let out = square(c, f) + square(f, middle) - square(c, middle);
                assert!(out.abs() < 1e-3, "house {seed}: {out}");
                assert!((pull.distance - c.distance(f)).abs() < 1e-6, "house {seed}");
            }
            // Two pulls, one a millimetre out: the line turns about the other's foot, and at no end of it is it more than three out.
            if let [one, other] = &line.pulls[..] {
                let base = one.foot.distance(other.foot);
                for (turns, end) in [one, other].into_iter().flat_map(|p| [(p, line.from), (p, line.to)]) {
                    let out = turns.foot.distance(end) / base;
                    assert!(out <= 3.0 + 1e-9, "house {seed}: {out}");
                }
                assert_eq!(line.from_line, None);
            }
            // What lacks a pull is measured from a line that two fix, so far as the two lie apart.
            if let Some(from) = line.from_line {
                let is_it = |l: &&setout::ControlLine| l.place == from.place && l.pulls.len() == 2;
                let found = advice.control.iter().find(is_it).unwrap();
                assert!(found.region == line.region, "house {seed}");
                assert!(((found.v - line.v).abs() - from.distance).abs() < 1e-9, "house {seed}");
                measured += 1;
            }
        }
        let boarded = plan.rooms.iter().filter(|room| room.is_boarded()).count();
        assert!(advice.control.len() >= boarded, "house {seed}: a room has no control line");
    }
    assert!(measured > 0, "no line is measured from another");
}

#[test]
fn the_range_of_pitches_is_what_laying_rows_with_a_rule_gives() {
    // Rows are laid from the line with boards of another width, one by one, until they reach the edge.
    for seed in 0..150 {
        let mut plan = house(seed);
        // Without play a gap takes up nothing, and a rip is what rows leave.
        plan.rules.wall_gap.greatest = plan.rules.wall_gap.least;
        let (site, set, advice) = advised(&plan);
        let least = plan.rules.least_rip;
        let slivers = |pitch: f64| {
            let rip = |edge: &site::Edge, v: f64| {
                let (low, high) = (edge.a.v.min(edge.b.v), edge.a.v.max(edge.b.v));
                // Rows are seen up to the front of what they go under.
                let under = (-edge.gap).max(0.0);
                let (near, far) =
                    if edge.floor_is_above() { (v - high, v - low) } else { (low - v, high - v) };
                let (near, far) = (near - under, far - under);
                let rows = (near / pitch + 1e-9).floor();
                if (far / pitch - 1e-9).floor() > rows && far - near > 1e-6 {
                    return 0.0;
                }
                let left = near - rows * pitch;
                if left < 1e-6 { pitch } else { left }
            };
            site.regions
                .iter()
                .enumerate()
                .flat_map(|(i, region)| region.edges().map(move |edge| (i, edge)))
                // One of just 20 mm counts, whichever way its ends were rounded.
                .filter(|(_, e)| (e.b.u - e.a.u).abs() >= 19.99)
                .filter(|(_, e)| (e.b.v - e.a.v).abs() <= 0.1 * (e.b.u - e.a.u).abs())
                .map(|(i, e)| rip(e, set.line_of(i)) < least - 1e-6)
                .collect::<Vec<bool>>()
        };
        let now = slivers(set.pitch);
        let further = |pitch: f64| slivers(pitch).iter().zip(&now).any(|(then, now)| *then && !*now);
        let (from, to) = (advice.width.range.least, advice.width.range.greatest);
        for part in [0.01, 0.3, 0.7, 0.99] {
            let inside = |end: f64| set.pitch + (end - set.pitch) * part;
            assert!(from.is_none_or(|(end, _)| !further(inside(end))), "house {seed}: {from:?}");
            assert!(to.is_none_or(|(end, _)| !further(inside(end))), "house {seed}: {to:?}");
        }
        assert!(from.is_none_or(|(end, _)| further(end - 1e-4)), "house {seed}: {from:?}");
        assert!(to.is_none_or(|(end, _)| further(end + 1e-4)), "house {seed}: {to:?}");
    }
}

#[test]
fn sentences_read_as_sentences_on_any_house() {
    for seed in 0..300 {
        for line in [StartLine::Best, StartLine::Safest, StartLine::At(33.0)] {
            let plan = Plan { start_line: line, ..house(seed) };
            let (_, _, advice) = advised(&plan);
            for sentence in advice.why.sentences() {
                let first = sentence.chars().next().unwrap();
                assert!(first.is_uppercase() && sentence.ends_with('.'), "house {seed}: {sentence}");
                for wrong in ["  ", " .", " ,", ",,", "..", "NaN", "inf", "at ;", "at .", "of  "] {
                    assert!(!sentence.contains(wrong), "house {seed}: {wrong:?} in {sentence}");
                }
                assert!(sentence.len() < 420, "house {seed}: {sentence}");
            }
        }
    }
}

#[test]
fn directions_come_in_one_order_and_the_plans_own_first() {
    for seed in 0..6 {
        let plan = house(seed);
        let whole = pipeline::run(&plan).unwrap();
        let all = pipeline::directions(&whole, &[17.5]).unwrap();
        assert_eq!(all, pipeline::directions(&whole, &[17.5]).unwrap());
        assert_eq!(all[0].angle, plan.rows_at);
        assert!(all.iter().any(|d| (d.angle - 17.5).abs() < 0.01), "house {seed}");
        for d in &all {
            assert!(d.packs > 0 && d.opened > 0 && d.cut_edge > 0.0 && d.continuous_width > 0.0);
            assert!(d.angle > -90.0 && d.angle <= 90.0);
        }
    }
}

/// Where no band of two lines' value differs, what their laid floors come to is the reason: each is laid here from a plan
/// that snaps it by hand.
#[test]
fn equal_lines_are_told_apart_by_what_is_laid() {
    let mut told = 0;
    for seed in 0..24 {
        let plan = Plan { start_line: StartLine::Best, effort: 0, ..house(seed) };
        let Ok(laid) = pipeline::run(&plan) else { continue };
        let lines = &laid.setout.lines;
        let [used, next, ..] = lines.as_slice() else { continue };
        if used.value.bands() != next.value.bands() || plan.laid.is_some() {
            continue;
        }
        let of =
            |offset: f64| pipeline::run(&Plan { start_line: StartLine::At(offset), ..plan.clone() }).unwrap();
        let (mine, theirs) = (of(used.offset).figures(), of(next.offset).figures());
        let instead = laid.advice().why.instead;
        if theirs.faults > mine.faults {
            assert!(instead.contains(&format!("has {} fault", theirs.faults)), "{seed}: {instead}");
        } else if theirs.faults == mine.faults && theirs.opened > mine.opened {
            let boards = format!("opens {} boards instead of {}.", theirs.opened, mine.opened);
            assert!(instead.ends_with(&boards), "{seed}: {instead}");
            told += 1;
        } else {
            assert!(!instead.contains("laid, "), "{seed}: {instead}");
        }
    }
    assert!(told > 0, "no house has two lines of one value");
}
