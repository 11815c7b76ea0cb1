//! How far the tape may be out, by hand and against brute force.
#![allow(clippy::unwrap_used)]

use super::*;
use crate::{advise, set_out};
use plan::{Doorway, GapRange, Point, Room, StartLine};
use proptest::prelude::*;

fn edge(low: f64, taper: f64, floor_is_above: bool, hidden: f64, factor: f64) -> Weighed {
    let at = EdgeRef { region: 0, ring: 0, edge: 0 };
    let tooth = Tooth {
        edge: at,
        low,
        high: low + taper,
        floor_is_above,
        hidden,
        length: low + 100.0,
        play: 0.0,
        foot: 0.0,
        cap: f64::INFINITY,
        facing: f64::INFINITY,
        facing_most: f64::INFINITY,
        weight: 100,
        in_view: true,
        one_row: None,
    };
    Weighed { tooth, factor }
}

/// The same by the words of the rule: the line is moved by factor times the error either way, and the rip
/// that is left is measured from the row lines by counting them.
fn keeps_with_error(edge: &Weighed, offset: f64, error: f64, limits: &Limits) -> bool {
    let t = &edge.tooth;
    let shift = error * edge.factor;
    // To the eye the floor ends at the front of what hides it.
    let front = if t.floor_is_above { t.hidden } else { -t.hidden };
    let (low, high) = (t.low + front, t.high + front);
    (0..=40).all(|step| {
        let o = offset - shift + 2.0 * shift * f64::from(step) / 40.0;
        let rows_under = |v: f64| ((v - o) / limits.pitch).floor();
        let crossed = high > low && rows_under(high - 1e-6) != rows_under(low + 1e-6);
        let seen = if crossed {
            0.0
        } else if t.floor_is_above {
            o + (rows_under(high - 1e-6) + 1.0) * limits.pitch - high
        } else {
            low - (o + rows_under(low - 1e-6) * limits.pitch)
        };
        seen >= limits.least - 1e-6
    })
}

proptest! {
    /// The offered line against brute force over every half millimetre of offset, on random edges.
    #[test]
    fn the_safest_line_is_not_beaten_by_any_sampled_one(
        edges in proptest::collection::vec(
            (0.0..3000.0_f64, 0.0..12.0_f64, any::<bool>(), 0..4_u8, 1.0..6.0_f64), 1..7),
    ) {
        let limits = Limits { least: 40.0, pitch: 190.0, tolerance: 2.0 };
        let edges: Vec<Weighed> = edges
            .iter()
            .map(|(low, taper, above, hidden, factor)| {
                edge(*low, *taper, *above, if *hidden == 0 { 20.0 } else { 0.0 }, *factor)
            })
            .collect();
        let found = safest_of(&edges, &limits).unwrap();
        // The bound that leaves lines out holds, and is no less than it must be away from breakpoints.
        let judged: Vec<Tooth> = edges.iter().map(|edge| edge.tooth.widened(limits.tolerance)).collect();
        let teeth: Vec<Tooth> = edges.iter().map(|edge| edge.tooth).chain(judged.iter().copied()).collect();
        let own = breakpoints(&teeth, limits.least, limits.pitch);
        let places: Vec<f64> = (0..380).map(|i| f64::from(i) * 0.5 + 0.013).collect();
        for (place, bound) in places.iter().zip(short_at_least(&edges, &judged, &places, &limits)) {
            let (short, _) = worth(&edges, *place, &limits);
            prop_assert!(bound <= short + 1e-6, "{place}: {short}, bound {bound}");
            // Beside a breakpoint it may be less: a random edge has one there once in many thousand places.
            if own.iter().all(|at| (at - place).abs() > 2e-5) {
                prop_assert!((short - bound).abs() < 1e-6, "{place}: {short}, bound {bound}");
            }
        }
        let (short, stands) = worth(&edges, found.offset, &limits);
        // Where all edges are lost on every line there is nothing to stand.
        prop_assume!(stands.is_finite());
        prop_assert!((stands - found.stands).abs() < 1e-6);
        let others: Vec<(f64, (f64, f64))> = (0..380)
            .map(|i| f64::from(i) * 0.5)
            .map(|offset| (offset, worth(&edges, offset, &limits)))
            .collect();
        let least = others.iter().map(|(_, (short, _))| *short).fold(short, f64::min);
        prop_assert!(short <= least + 1.0, "{least} under {short}");
        for (offset, (other_short, other_stands)) in others {
            if other_short <= short.min(least + 0.99) {
                prop_assert!(other_stands <= found.stands + 0.011, "{offset} stands {other_stands:?}");
            }
        }
        // What it is said to stand it does, and no more: by counting rows.
        let held: Vec<&Weighed> = edges.iter().filter(|e| e.stands(found.offset, &limits).is_some()).collect();
        prop_assert!(held.iter().all(|e| keeps_with_error(e, found.offset, found.stands - 1e-4, &limits)));
        prop_assert!(!held.iter().all(|e| keeps_with_error(e, found.offset, found.stands + 1e-3, &limits)));
    }
}

/// The sides of a trim, 790.1 and 790 long, of which any line leaves one under 80: from 82 to 148 of a row of 150 is left at the
/// first with a line from -48 to 18, at the second from 22 to 88. In the middle of its stretch a line stands 35 at the side that it
/// keeps, which is shared out over nine lengths on the way to the first. A tenth of a millimetre of edge is not what it is for.
#[test]
fn a_tenth_of_a_millimetre_of_edge_makes_no_line_safer() {
    let limits = Limits { least: 80.0, pitch: 150.0, tolerance: 2.0 };
    let side = |low: f64, floor_is_above: bool, length: f64, factor: f64| {
        let mut edge = edge(low, 0.0, floor_is_above, 0.0, factor);
        edge.tooth.length = length;
        edge
    };
    for (longer, shorter) in [(790.1, 790.0), (790.0, 790.1)] {
        let edges = [side(1000.0, false, longer, 9.0), side(1140.0, true, shorter, 1.0)];
        let found = safest_of(&edges, &limits).unwrap();
        assert!((found.stands - 35.0).abs() < 0.01 && (found.offset - 55.0).abs() < 0.01, "{found:?}");
    }
    // Two millimetres are.
    let edges = [side(1000.0, false, 792.1, 9.0), side(1140.0, true, 790.0, 1.0)];
    let found = safest_of(&edges, &limits).unwrap();
    assert!((found.stands - 35.0 / 9.0).abs() < 0.01, "{found:?}");
}

fn room(name: &str, [x, y, w, h]: [f64; 4]) -> Room {
    Room::boarded(name, [(x, y), (x + w, y), (x + w, y + h), (x, y + h)].map(|(x, y)| Point::new(x, y)))
}

#[test]
fn lengths_add_up_through_a_doorway() {
    // Rows along x. From the hall's lower wall to the far wall of the den: the pull, the hall's depth, the wall's
    // thickness, the den's depth.
    let mut plan = Plan::new("t");
    plan.stock.face_width = 200.0;
    plan.rules.wall_gap = GapRange { least: 10.0, greatest: 10.0 };
    plan.rooms = vec![room("Hall", [0.0, 0.0, 6000.0, 1500.0]), room("Den", [0.0, 1600.0, 3000.0, 4120.0])];
    plan.doorways.push(Doorway::plain("Den door", "Hall", 2, 4500.0, 800.0));
    let site = site::survey(&plan);
    let work = Work::new(&plan, &site);
    let net = Net::new(&plan, &site);
    let chains = Chains::new(&net, &[(0, 0), (0, 1)]);
    let chain_of = |room: usize, wall: usize| {
        let source = Source::Wall { room, wall };
        let tooth = work.teeth.iter().find(|t| edge_at(&site, t.edge).unwrap().source == source);
        chains.to_edge(&site, tooth.unwrap())
    };
    assert_eq!(chain_of(0, 0).factor, 1.0);
    assert_eq!(chain_of(0, 2).factor, 2.0);
    assert_eq!(chain_of(1, 0).factor, 3.0);
    let far = chain_of(1, 2);
    assert_eq!(far.factor, 4.0);
    let names: Vec<String> = far.steps.iter().map(|step| step.measure.name(&plan)).collect();
    assert_eq!(names.len(), 4);
    assert!(names[0].starts_with("the pull from Hall, corner "), "{names:?}");
    assert!(names[1].starts_with("the length of Hall, wall "), "{names:?}");
    assert_eq!(names[2], "the wall's thickness at Den door");
    assert!(names[3].starts_with("the length of Den, wall "), "{names:?}");
}

#[test]
fn the_line_named_safest_stands_what_is_offered() {
    let mut plan = Plan::new("t");
    plan.stock.face_width = 200.0;
    plan.rules.wall_gap = GapRange { least: 10.0, greatest: 10.0 };
    plan.rooms = vec![room("Hall", [0.0, 0.0, 6000.0, 2120.0])];
    let site = site::survey(&plan);
    let best = advise(&plan, &site, &set_out(&plan, &site)).robust;
    // Both rips 150 at best: 100 down to the least at one wall, 50 to the cliff; the far wall's play halves.
    assert!((best.stands.unwrap() - 25.0).abs() < 1e-6, "{best:?}");
    plan.start_line = StartLine::Safest;
    let set = set_out(&plan, &site);
    let safest = advise(&plan, &site, &set).robust;
    // Moved so that 1·t at the near wall and 2·t at the far one run out together: 100 of play in all, 2t + t.
    assert!((safest.stands.unwrap() - 100.0 / 3.0).abs() < 1e-6, "{safest:?}");
    assert!((set.chosen.offset - safest.safest.unwrap().offset).abs() < 1e-6);
    assert!(set.chosen.narrowest < set.best.narrowest);
    assert!(matches!(safest.check_twice, Some(Measure::Wall { room: 0, .. })), "{safest:?}");
}

/// The hall is the second room: the line's pulls, and so the first length on the way to every edge, are its own.
#[test]
fn the_tape_begins_at_the_lines_own_pulls() {
    let mut plan = Plan::new("t");
    plan.rooms = vec![room("Den", [9000.0, 0.0, 400.0, 700.0]), room("Hall", [0.0, 0.0, 6000.0, 2120.0])];
    plan.rooms[0].covering = plan::Covering::Other("tile".into());
    let site = site::survey(&plan);
    let set = set_out(&plan, &site);
    let pulls = corners(set.line.as_ref());
    let line = set.line.as_ref().unwrap();
    assert!(!pulls.is_empty() && pulls.iter().all(|(room, _)| *room == 1), "{pulls:?}");
    assert_eq!(pulls, line.pulls.iter().map(|pull| (pull.room, pull.wall)).collect::<Vec<_>>());
    let found = robust(&plan, &site, &set);
    let in_hall = found.endangered.iter().filter(|e| matches!(e.source, Source::Wall { room: 1, .. }));
    for edge in in_hall.clone() {
        let first = edge.chain.steps[0].measure;
        assert!(
            pulls.iter().any(|(room, wall)| first == Measure::Pull { room: *room, wall: *wall }),
            "{edge:?}"
        );
    }
    assert!(in_hall.count() > 0, "{found:?}");
}

/// The length of wall 2 is on the way to all three, that of wall 3, though nearest to the worst, to one.
#[test]
fn what_is_on_the_way_to_most_is_measured_twice() {
    let to = |steps: &[Measure]| Endangered {
        edge: EdgeRef { region: 0, ring: 0, edge: 0 },
        kind: EdgeKind::Wall,
        source: Source::Wall { room: 0, wall: 0 },
        slack: 10.0,
        chain: Chain {
            factor: steps.len() as f64,
            steps: steps.iter().map(|step| crate::Step { measure: *step, part: 1.0 }).collect(),
        },
        stands: 10.0,
    };
    let (pull, wall) = (Measure::Pull { room: 0, wall: 0 }, |wall: usize| Measure::Wall { room: 0, wall });
    let all = [to(&[pull, wall(1), wall(2)]), to(&[pull, wall(1)]), to(&[pull, wall(1)])];
    assert_eq!(check_twice(&all), Some(wall(1)));
    // Of two on the way to as many the one nearest the worst edge; a pull only where nothing else is.
    assert_eq!(check_twice(&all[..1]), Some(wall(2)));
    assert_eq!(check_twice(&[to(&[pull])]), Some(pull));
}

#[test]
fn nothing_that_runs_along_the_rows_gives_no_figure() {
    let mut plan = Plan::new("t");
    plan.rows_at = 30.0;
    plan.rooms = vec![room("Hall", [0.0, 0.0, 6000.0, 2120.0])];
    let site = site::survey(&plan);
    let robust = advise(&plan, &site, &set_out(&plan, &site)).robust;
    assert_eq!(robust, Robust::default());
}
