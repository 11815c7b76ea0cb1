//! Lays every instance and writes the figures to docs/layouts.md.
//!
//!     cargo run --release -p startrow-bench --bin instances -- [EFFORT] [MOST_AREA]
//!
//! `EFFORT` is the moves of the search, 1000000 if left out; a floor of many runs is searched for 300 moves a run at least.
//! Floors over `MOST_AREA`, m², are left out: then the figures are printed and no file is written.
#![allow(clippy::print_stdout)]

use anyhow::{Context, Result, anyhow};
use findings::{Flag, FlagKind, Look, Severity, look};
use order::{Bound, RunNeed};
use pipeline::House;
use startrow_bench::instances::{Instance, all};
use startrow_bench::waste::waste;
use startrow_bench::{baselines, proof};
use startrow_tests::tiny::Case;
use std::collections::BTreeMap;
use std::fmt::Write;
use std::path::Path;
use std::sync::{Mutex, PoisonError};

/// Moves of the search where none are given.
const EFFORT: u64 = 1_000_000;

/// Moves for each run, at least: on a floor of many runs the others are too few to show what the search can do.
const PER_RUN: u64 = 300;

/// Tiny floors on which the bound is looked at.
const TINY: u64 = 600;

/// Floors of so many runs are searched with so many other seeds, too.
const HOUSES: std::ops::Range<usize> = 50..300;
const SEEDS: u64 = 5;

/// One instance laid.
struct Laid {
    instance: Instance,
    house: House,
    bound: Bound,
    /// Boards opened and packs without a move of search.
    at_once: (usize, u32),
    proven: Option<usize>,
    /// The bound where no strip beside a rip serves elsewhere.
    rips_apart: usize,
    /// The bound where both legs beside a wall within a row come from one board.
    legs_together: usize,
    looks: [Look; 3],
    others: Vec<Other>,
}

/// The same plan searched with another seed.
struct Other {
    packs: u32,
    opened: usize,
    bound: Bound,
}

fn other(plan: &plan::Plan, more: u64) -> Result<Other> {
    let plan = plan::Plan { seed: plan.seed + more, ..plan.clone() };
    let house = pipeline::run(&plan).map_err(|problems| anyhow!("{}: {problems:?}", plan.name))?;
    Ok(Other { packs: house.order.packs, opened: house.order.opened, bound: house.bound() })
}

/// Lays an instance, searched for so many moves, and measures it.
fn lay(mut instance: Instance, effort: u64) -> Result<Laid> {
    instance.plan.effort = 0;
    let first =
        pipeline::run(&instance.plan).map_err(|problems| anyhow!("{}: {problems:?}", instance.name))?;
    let at_once = (first.order.opened, first.order.packs);
    instance.plan.effort = effort.max(PER_RUN * first.floor.runs.len() as u64);
    let started = std::time::Instant::now();
    let house =
        pipeline::run(&instance.plan).map_err(|problems| anyhow!("{}: {problems:?}", instance.name))?;
    let after = started.elapsed();
    let mut needs = order::needs(&house.floor, &house.plan.rules);
    // Without strips, or with both legs from one board, the packs opened may not do: then as many as are needed.
    let bound = |needs: &[RunNeed]| {
        let least = |packs| order::least(needs, &house.plan.stock, house.floor.pitch, packs);
        least(house.order.packs.max(least(house.order.packs).packs)).boards
    };
    let began = std::time::Instant::now();
    let least = house.bound();
    let bounded = began.elapsed();
    let with_legs = order::needs_with_legs_together(&house.floor, &house.plan.rules);
    let legs_together = bound(&with_legs);
    for need in &mut needs {
        *need = RunNeed::whole(need.length, need.least_end, house.floor.pitch);
    }
    let rips_apart = bound(&needs);
    println!(
        "{}: {:.1} ms, the bound {:.2} ms",
        instance.name,
        after.as_secs_f64() * 1e3,
        bounded.as_secs_f64() * 1e3
    );
    let proven = instance.is_small.then(|| proof::fewest(&house.plan, &house.floor)).flatten();
    let plan = &house.plan;
    let floors = [baselines::by_lot(plan, &house.floor), baselines::thirds(plan, &house.floor)];
    let [by_lot, thirds] = floors.map(|floor| look(plan, &floor));
    let looks = [look(plan, &house.floor), by_lot, thirds];
    let seeds = if HOUSES.contains(&house.floor.runs.len()) { SEEDS } else { 0 };
    let others = (1..=seeds).map(|more| other(plan, more)).collect::<Result<Vec<Other>>>()?;
    Ok(Laid { instance, house, bound: least, at_once, proven, rips_apart, legs_together, looks, others })
}

fn main() -> Result<()> {
    let mut words = std::env::args().skip(1);
    let number = |word: Option<String>| word.map(|word| word.parse::<u64>()).transpose();
    let effort = number(words.next()).context("EFFORT is a number of moves")?.unwrap_or(EFFORT);
    let most_area = number(words.next()).context("MOST_AREA is a number of m²")?;
    let mut all: Vec<(usize, f64, Instance)> = all()
        .into_iter()
        .enumerate()
        .map(|(place, instance)| (place, site::survey(&instance.plan).bare_area / 1.0e6, instance))
        .filter(|(_, area, _)| most_area.is_none_or(|most| *area <= most as f64))
        .collect();
    // The largest take longest: they begin first.
    all.sort_by(|a, b| b.1.total_cmp(&a.1));
    let laid = Mutex::new(BTreeMap::new());
    let keep = |place: usize, one: Result<Laid>| {
        laid.lock().unwrap_or_else(PoisonError::into_inner).insert(place, one);
    };
    rayon::scope_fifo(|scope| {
        for (place, _, instance) in all {
            let keep = &keep;
            scope.spawn_fifo(move |_| keep(place, lay(instance, effort)));
        }
    });
    let laid = laid.into_inner().unwrap_or_else(PoisonError::into_inner);
    let laid = laid.into_values().collect::<Result<Vec<Laid>>>()?;
    let text = document(&laid, effort) + &tiny_floors();
    println!("{text}");
    if most_area.is_none() {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/layouts.md");
        std::fs::write(&path, text).with_context(|| format!("{} could not be written", path.display()))?;
    }
    Ok(())
}

const HEAD: &str = "\
# Layouts measured

Invented floors and the sample plans, laid and measured. This page is written by

    cargo run --release -p startrow-bench --bin instances -- EFFORT

from the plans in `crates/bench/src/instances.rs`; the same effort gives the same page on every machine.
";

const BOARDS_HEAD: &str = "
## Boards opened

*Area* is the floor inside the gaps, m². *Bound*: no legal stagger opens fewer boards from as many packs; *proven*: the
fewest over all legal staggers with joints on a grid, by a general MILP solver, for the small floors; where it is over the
bound, the bound is the weak side and not the floor. *Over* is boards opened over the bound, and the same as a share of
the bound; *at once* is boards opened, and packs, before any move. *Rips apart* is the bound if no strip left beside a rip served elsewhere: what is between the two bounds can
only be saved by ripping two rows from one board. *Legs together* is the bound if both legs beside a wall within a row came
from one board: what is between it and the bound can only be saved by cutting each leg from a board or strip of its own. *Length* and its bound are the length of all boards opened, m. *Faults*
are joints too close and short ends that break a rule; *at walls* the same where the walls leave no other. How the bound is reckoned is in [rules](rules.md#boards-opened-and-the-bound).

| floor | area | runs | at once | packs | opened | bound | proven | over | over % | rips apart | legs together | area bound | length | bound | packs | bound | faults | at walls |
| --- | ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: |
";

const WASTE_HEAD: &str = "
## Where the wood goes

Metres of board, which add up to the boards opened. *Ripped off* is what lies beside rips, and *shaped* what notches,
tapers and slants leave of a piece's rectangle; *strips* were ripped off and serve elsewhere. *Short* stretches left end
no run, the others could. The bound's share is what the bound on length leaves for all waste together; *over* is the waste
over that, and *in ends* the part of it that other joints could save at most: what is left short or long. The rest of *over*
lies beside rips, notches and slants, where the bound asks least: any strip may serve any rip that is narrower, wherever
its joints are and however short it is. *Unpaired* is what other pairs of the same pieces side by side could save at most,
whether such pairs can be had or not: all pieces that a line along their boards crosses take wood of their own, and it is what else
of the boards is used, by the line that crosses most. *Rest* is what is left of *over* beyond *short*, *left* and *unpaired*: it could only
be saved by other joints at notches and at walls along a row, where one piece is as wide as its widest place, or is the bound's.

| floor | opened | laid | ripped off | shaped | strips | unpaired | saw cuts | short | left | waste | bound's share | over | in ends, % | rest |
| --- | ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: |
";

const MORE_HEAD: &str = "
## With other seeds

The same plans searched with other seeds, each from a first floor of its own. Where all end alike, no better
floor is known; that is no proof that there is none, nor that the bound is the weak side. Why it may be is in [rules](rules.md#boards-opened-and-the-bound).

| floor | opened | with other seeds | over the bound | packs | with other seeds | bound |
| --- | ---: | --- | --- | ---: | --- | ---: |
";

const LOOK_HEAD: &str = "
## Look

The same runs three ways: as laid; joints drawn evenly by lot among the legal ones; fixed thirds of the longest board.
Distances are from each joint to the nearest in the row above, mm. How each figure is measured is in
[rules](rules.md#look). *Same pack* is the share of neighbouring boards from one pack,
*short boards* the most whole boards of the shortest length end to end.

| floor | joints | least | mean | spread | irregularity | H joints | stairs | repeat, rows | same pack | short boards |
| --- | --- | ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: |
";

const TINY_HEAD: &str = "
## The bound on tiny floors

How good the bound itself is: tiny floors of two to five runs, drawn by seed, and the fewest boards that an exhaustive
search over their joints and cuts finds, which shares no line with the bound (`tests/src/tiny.rs`). *Met*: a floor that
opens as many boards as the bound is found, so that the bound is exact. *One more*, *more*: the best found is over the
bound; the search looks at starters in steps of 50 mm, and wherever they use up a board, so that the bound is the weak side
of it at most by that.

| floors | laid | met | one more | more | bound weak, % of boards, at most |
| --- | ---: | ---: | ---: | ---: | ---: |
";

/// How often the bound is exact on tiny floors, by what is in them.
fn tiny_floors() -> String {
    let mut groups = [
        ("whole width, end-matched", [0; 5]),
        ("whole width, square ends", [0; 5]),
        ("rips, notches, tapers", [0; 5]),
    ];
    for case in (0..TINY).map(Case::new) {
        let bound = case.bound();
        let group = match (case.is_whole(), case.stock.end_match) {
            (true, true) => 0,
            (true, false) => 1,
            (false, _) => 2,
        };
        let counts = &mut groups[group].1;
        if let Some(found) = case.fewest(bound) {
            let over = found - bound;
            counts[0] += 1;
            counts[1 + over.min(2)] += 1;
            counts[4] += 1000 * over / found.max(1);
        }
    }
    let mut out = String::from(TINY_HEAD);
    for (name, [laid, met, one, more, parts]) in groups {
        let weak = parts as f64 / 10.0 / laid.max(1) as f64;
        let _ = writeln!(out, "| {name} | {laid} | {met} | {one} | {more} | {weak:.1} |");
    }
    out
}

fn document(laid: &[Laid], effort: u64) -> String {
    let mut out = String::from(HEAD);
    // Writing to a String cannot fail.
    let mut line = |text: String| {
        let _ = writeln!(out, "{text}");
    };
    line(format!("\nEffort here: {effort} moves a floor, and at least {PER_RUN} for each run."));
    line(BOARDS_HEAD.trim_end().into());
    for one in laid {
        line(boards_row(one));
    }
    line(WASTE_HEAD.trim_end().into());
    for one in laid.iter().filter(|one| !one.instance.is_small) {
        line(waste_row(one));
    }
    line(MORE_HEAD.trim_end().into());
    for one in laid {
        if !one.others.is_empty() {
            line(more_row(one));
        }
    }
    line(LOOK_HEAD.trim_end().into());
    for one in laid {
        for (way, look) in ["laid", "by lot", "thirds"].into_iter().zip(&one.looks) {
            line(look_row(one, way, look));
        }
    }
    out
}

fn boards_row(one: &Laid) -> String {
    let (house, order, bound) = (&one.house, &one.house.order, &one.bound);
    let is_of_joints = |flag: &&Flag| matches!(flag.kind, FlagKind::JointsClose | FlagKind::ShortEnd);
    let (faults, walls): (Vec<&Flag>, Vec<&Flag>) =
        house.flags.iter().filter(is_of_joints).partition(|flag| flag.severity == Severity::Fault);
    let (faults, walls) = (faults.len(), walls.len());
    format!(
        "| {} | {:.1} | {} | {} | {} | {} | {} | {} | {} | {:.2} | {} | {} | {} | {:.1} | {:.1} | {} | {} | {faults} | {walls} |",
        one.instance.name,
        house.site.boarded_area() / 1.0e6,
        house.floor.runs.len(),
        one.at_once.0,
        one.at_once.1,
        order.opened,
        bound.boards,
        one.proven.map_or(String::new(), |proven| proven.to_string()),
        bound.gap(order.opened),
        100.0 * bound.gap(order.opened) as f64 / bound.boards.max(1) as f64,
        one.rips_apart,
        one.legs_together.max(bound.boards),
        bound.area,
        order.wood_opened,
        bound.wood,
        order.packs,
        bound.packs,
    )
}

fn waste_row(one: &Laid) -> String {
    let waste = waste(&one.house.plan, &one.house.floor);
    let over = waste.opened - one.bound.wood;
    let rest = (over - waste.short - waste.left - waste.unpaired).max(0.0);
    let in_ends = if over > 0.0 { 100.0 * ((waste.short + waste.left) / over).min(1.0) } else { 0.0 };
    format!(
        "| {} | {:.1} | {:.1} | {:.1} | {:.1} | {:.1} | {:.1} | {:.1} | {:.1} | {:.1} | {:.1} | {:.1} | {over:.1} | {in_ends:.0} | {rest:.1} |",
        one.instance.name,
        waste.opened,
        waste.laid,
        waste.ripped,
        waste.shaped,
        waste.strips,
        waste.unpaired,
        waste.sawn,
        waste.short,
        waste.left,
        waste.opened - waste.laid,
        one.bound.wood - waste.laid
    )
}

fn more_row(one: &Laid) -> String {
    let each =
        |figure: &dyn Fn(&Other) -> String| one.others.iter().map(figure).collect::<Vec<_>>().join(", ");
    format!(
        "| {} | {} | {} | {} | {} | {} | {} |",
        one.instance.name,
        one.house.order.opened,
        each(&|other| other.opened.to_string()),
        each(&|other| other.bound.gap(other.opened).to_string()),
        one.house.order.packs,
        each(&|other| other.packs.to_string()),
        one.bound.packs,
    )
}

fn look_row(one: &Laid, way: &str, look: &Look) -> String {
    let spacing = look.spacing.unwrap_or_default();
    let name = if way == "laid" { one.instance.name.as_str() } else { "" };
    format!(
        "| {name} | {way} | {:.0} | {:.0} | {:.0} | {:.2} | {} | {} | {} | {} | {} |",
        spacing.least,
        spacing.mean,
        spacing.spread,
        spacing.irregularity,
        look.h_joints,
        look.stairs,
        look.repeat,
        look.same_pack.map_or(String::new(), |share| format!("{share:.2}")),
        look.short_boards.map_or(String::new(), |count| count.to_string())
    )
}
