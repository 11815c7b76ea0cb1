//! Rips side by side against a general MILP solver (microlp), and a floor of many ripped runs.
#![allow(clippy::unwrap_used)]

use super::Abreast;
use super::deal::{Deal, Rip};
use crate::ground::Ground;
use crate::state::Cut;
use crate::state::Task;
use crate::yard::{Need, below, unit};
use crate::{Floor, search};
use microlp::{ComparisonOp, OptimizationDirection, Problem};
use plan::{BoardLength, GapRange, Plan, Point, Room, StartLine};
use rand_core::SeedableRng;
use rand_pcg::Pcg64Mcg;
use std::ops::ControlFlow;

const KERF: f64 = 3.0;
const WHOLE: f64 = 2000.0;
/// Widths told apart, 10, 20, … mm of boards 190 wide: the strip beside a rip of the i-th is as wide as the (18 − i)-th.
const WIDTHS: u16 = 17;

/// A rip and which width and edge it has.
fn some_rip(rng: &mut Pcg64Mcg) -> (Rip, u16, bool) {
    let need = [Need::Right, Need::Left, Need::Neither, Need::Both][below(rng, 4)];
    let length = if need == Need::Both { WHOLE } else { (300.0 + unit(rng) * (WHOLE - 300.0)).round() };
    let (width, groove) = (1 + below(rng, usize::from(WIDTHS)) as u16, below(rng, 2) == 0);
    let of_edge = |groove: bool, width: u16| if groove { WIDTHS + width } else { width };
    let strips = (of_edge(groove, width), Some(of_edge(!groove, WIDTHS + 1 - width)));
    (Rip { length, need, strips, cost: length }, width, groove)
}

/// What the rips take at least, by which is cut from whose strip: every one once or from a board of its own, no strip from what
/// is cut from a strip, the pieces of a strip with a saw cut between them no longer than it, and each of its ends once.
fn by_assignment(rips: &[(Rip, u16, bool)]) -> f64 {
    let mut problem = Problem::new(OptimizationDirection::Minimize);
    let own: Vec<_> = rips.iter().map(|rip| problem.add_integer_var(rip.0.length, (0, 1))).collect();
    let mut once: Vec<Vec<_>> = own.iter().map(|own| vec![(*own, 1.0)]).collect();
    for (q, of) in rips.iter().enumerate() {
        let (mut room, mut ends) = (Vec::new(), [Vec::new(), Vec::new()]);
        for (p, rip) in rips.iter().enumerate() {
            let has_end = match rip.0.need {
                Need::Neither => true,
                Need::Both => of.0.need == Need::Both,
                need => of.0.need == need || of.0.need == Need::Both,
            };
            let fits = rip.2 != of.2 && rip.1 + of.1 <= WIDTHS + 1 && rip.0.length <= of.0.length && has_end;
            if !fits {
                continue;
            }
            let cut = problem.add_integer_var(0.0, (0, 1));
            once[p].push((cut, 1.0));
            problem.add_constraint([(cut, 1.0), (own[q], -1.0)], ComparisonOp::Le, 0.0);
            room.push((cut, rip.0.length + KERF));
            for (end, ends) in [Need::Left, Need::Right].into_iter().zip(&mut ends) {
                if rip.0.need == end || rip.0.need == Need::Both {
                    ends.push((cut, 1.0));
                }
            }
        }
        problem.add_constraint(&room, ComparisonOp::Le, of.0.length + KERF);
        ends.iter().for_each(|ends| {
            problem.add_constraint(ends, ComparisonOp::Le, 1.0);
        });
    }
    for once in &once {
        problem.add_constraint(once, ComparisonOp::Eq, 1.0);
    }
    problem.solve().unwrap().into_solution().unwrap().objective()
}

fn deal() -> Deal {
    Deal::new(usize::from(2 * WIDTHS), WIDTHS + 1, KERF, true)
}

/// Up to nine rips one after another: never less wood than the solver proves to be needed, and over all no more than a twentieth
/// over it.
#[test]
fn rips_lie_beside_each_other_about_as_well_as_a_solver_has_them() {
    let (mut found, mut proven) = (0.0, 0.0);
    for seed in 0..60 {
        let rng = &mut Pcg64Mcg::seed_from_u64(seed);
        let rips: Vec<_> = (0..3 + below(rng, 7)).map(|_| some_rip(rng)).collect();
        let mut deal = deal();
        for (rip, ..) in &rips {
            deal.begin();
            deal.add(*rip);
            deal.settle();
        }
        let least = by_assignment(&rips);
        assert!(deal.cost >= least - 1e-6, "seed {seed}: {} of {least}", deal.cost);
        (found, proven) = (found + deal.cost, proven + least);
    }
    assert!(found <= 1.05 * proven, "{found} of {proven}");
}

/// What is taken back is as it was: who is cut from whom, and what it costs.
#[test]
fn changes_can_be_taken_back() {
    let rng = &mut Pcg64Mcg::seed_from_u64(1);
    let mut deal = deal();
    let mut rips: Vec<u32> = Vec::new();
    for round in 0..400 {
        let dealt = |deal: &Deal| rips.iter().map(|rip| deal.from(*rip)).collect::<Vec<_>>();
        let before = (dealt(&deal), deal.cost);
        deal.begin();
        let gone: Vec<u32> = rips.iter().copied().filter(|_| below(rng, 12) == 0).collect();
        gone.iter().for_each(|rip| deal.remove(*rip));
        let new: Vec<u32> = (0..below(rng, 4)).map(|_| deal.add(some_rip(rng).0)).collect();
        deal.settle();
        if round % 2 == 0 {
            deal.back();
            assert_eq!(dealt(&deal), before.0, "round {round}");
            assert!((deal.cost - before.1).abs() < 1e-6, "round {round}");
        } else {
            rips.retain(|rip| !gone.contains(rip));
            rips.extend(new);
        }
    }
    assert!(rips.len() > 8);
}

/// Twenty-six rooms of twelve or thirteen rows, each ripped along two walls, the one row to its tongue and the other to its groove.
fn rooms() -> Plan {
    let mut plan = Plan::new("t");
    plan.rules.wall_gap = GapRange { least: 10.0, greatest: 10.0 };
    plan.stock.lengths = vec![BoardLength { length: 2200.0, per_pack: 6 }];
    plan.start_line = StartLine::At(10.0);
    // Whole rows only, and the start line. Of the rooms above it the bottom rows are 100 wide and keep their tongues.
    let hall = [(0.0, 0.0), (9000.0, 0.0), (9000.0, 7620.0), (0.0, 7620.0)];
    plan.rooms.push(Room::boarded("Hall", hall.map(Point::from)));
    let above = 90.0 + 190.0 * 60.0;
    for number in 0..26_u32 {
        let (x, n) = (f64::from(number) * 9000.0, f64::from(number * 7 % 26));
        let (width, depth) = (2700.0 + 190.0 * n, 2300.0 + f64::from(number * 11 % 26) * 7.0);
        let corners = [(x, above), (x + width, above), (x + width, above + depth), (x, above + depth)];
        plan.rooms.push(Room::boarded(format!("Room {number}"), corners.map(Point::from)));
    }
    plan
}

/// Laid side by side first, the ripped runs take less wood than laid as they come, and the floor that is laid around them
/// leaves no run out.
#[test]
fn ripped_runs_side_by_side_take_less_wood() {
    let plan = rooms();
    let site = site::survey(&plan);
    let ground = Ground::new(&plan, &site, &setout::set_out(&plan, &site));
    let task = Task::new(&ground, &plan, true);
    let mut abreast = Abreast::new(&task, &plan).unwrap();
    let as_they_come = crate::search::first_floor(&task, &plan, 0.0, &mut crate::again::Memory::default());
    let ripped = abreast.runs.iter().flat_map(|ripped| &as_they_come.cuts[ripped.run]).flat_map(Cut::parts);
    let before: f64 = ripped.filter(|cut| cut.kind != crate::yard::NONE).map(|cut| cut.length).sum();
    assert!(abreast.spell(abreast.divisions(0), |_| ControlFlow::Continue(())).is_continue());
    assert!(abreast.deal.cost < before, "{} after {before}", abreast.deal.cost);
    let floor = abreast.floor(&plan, 0.0).unwrap();
    for (run, lie) in ground.lies.iter().enumerate() {
        let laid: f64 = floor.cuts[run].iter().map(|cut| cut.length).sum();
        assert!((laid - lie.length()).abs() < 1e-6, "run {run}");
    }
    // As dealt: what is cut from a strip is cut from that of the rip it was dealt.
    for ripped in &abreast.runs {
        for (cut, part) in floor.cuts[ripped.run].iter().flat_map(Cut::parts).zip(&ripped.rips) {
            assert_eq!(cut.kind == crate::yard::NONE, abreast.deal.from(part.rip).is_some());
        }
    }
}

/// A search of many ripped runs gives one floor at any number of threads, and, broken off anywhere, the floor that its moves
/// name: while rips are laid side by side, right after that, and later.
#[test]
fn a_search_of_many_ripped_runs_is_found_again_by_its_moves() {
    let mut plan = rooms();
    plan.effort = 6000;
    let site = site::survey(&plan);
    let setout = setout::set_out(&plan, &site);
    let lay = |plan: &Plan, look: &(dyn Fn(crate::Progress) -> ControlFlow<()> + Sync)| -> Floor {
        search(plan, &site, &setout, plan.effort, look)
    };
    let whole = |plan: &Plan| lay(plan, &|_| ControlFlow::Continue(()));
    let with = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        pool.install(|| whole(&plan))
    };
    let one = with(1);
    assert!(one == with(2), "threads");
    assert!(one.moves >= plan.effort);
    for most in [0, 1500, 4000] {
        let stopped = lay(&plan, &|progress| {
            assert!(progress.moves <= progress.of);
            if progress.moves < most { ControlFlow::Continue(()) } else { ControlFlow::Break(()) }
        });
        assert!(stopped.moves > 0 && stopped.moves < plan.effort, "{}", stopped.moves);
        let again = Plan { effort: stopped.moves, ..plan.clone() };
        assert!(whole(&again) == stopped, "broken off after {most}, {} moves", stopped.moves);
    }
}
