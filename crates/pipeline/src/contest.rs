//! Lines that the set-out values alike are laid, and the one that opens fewest boards is used.

use crate::Boarded;
use plan::{Plan, StartLine};
use rayon::prelude::*;
use setout::{SetOut, Tried};
use site::Site;
use std::borrow::Cow;

/// Sets out a site. Where several lines are worth the same in every band, each is laid without search; of those
/// with the fewest joints that break a rule, the one that opens fewest boards goes first. What was laid on it comes with
/// it where the plan asks for no search either, so that it need not be laid again.
pub(crate) fn set_out(plan: &Plan, surveyed: &Site) -> (SetOut, Option<Boarded>) {
    let setout = setout::set_out(plan, surveyed);
    if !is_contested(plan, &setout) {
        return (setout, None);
    }
    let equals = equal_lines(&setout);
    let bare = match plan.effort {
        0 => Cow::Borrowed(plan),
        _ => Cow::Owned(Plan { effort: 0, ..plan.clone() }),
    };
    let lines = (0..equals).into_par_iter().map(|index| {
        let used = setout::with_line(plan, surveyed, &setout, index);
        let site = site::eased(surveyed, &used.eases);
        let floor = lay::lay(&bare, &site, &used);
        let laid = Boarded::new(&bare, site, floor);
        (vec![(index, tried(&laid))], (used, laid))
    });
    // Of equals the first, however many threads have laid them.
    let better = |(mut all, one): Laid, (others, other): Laid| {
        let key = |of: &[(usize, Tried)]| of.iter().map(|(index, tried)| (*tried, *index)).min();
        let best = if key(&others) < key(&all) { other } else { one };
        all.extend(others);
        (all, best)
    };
    let Some((mut all, (mut used, laid))) = lines.reduce_with(better) else { return (setout, None) };
    all.sort_by_key(|(index, _)| *index);
    let all: Vec<Tried> = all.into_iter().map(|(_, tried)| tried).collect();
    let Some(index) = (0..all.len()).min_by_key(|index| (all[*index], *index)) else { return (setout, None) };
    // Once the best is first the runner-up is the first of the others.
    let next = usize::from(index == 0);
    let told = all.get(next).map(|next| [all[index], *next]);
    let laid = (plan.effort == 0).then_some(laid);
    if index == 0 {
        let is_it = used == setout;
        return (SetOut { tried: told, ..setout }, laid.filter(|_| is_it));
    }
    // Laying reads the line in use, not where it stands among the others.
    let first = used.lines.remove(index);
    used.lines.insert(0, first);
    used.best = used.lines[0].clone();
    used.runner_up = used.lines.get(1).cloned();
    used.tried = told;
    (used, laid)
}

/// What some lines come to, by their place among the best, and the best of them with its floor.
type Laid = (Vec<(usize, Tried)>, (SetOut, Boarded));

/// Whether lines have to be laid to choose among them.
pub(crate) fn is_contested(plan: &Plan, setout: &SetOut) -> bool {
    // What is laid fixes the line.
    plan.start_line == StartLine::Best && plan.laid.is_none() && equal_lines(setout) > 1
}

/// How many of the best lines no band tells apart.
fn equal_lines(setout: &SetOut) -> usize {
    let Some(first) = setout.lines.first() else { return 0 };
    setout.lines.iter().take_while(|line| line.value.bands() == first.value.bands()).count()
}

/// What a line comes to.
fn tried(laid: &Boarded) -> Tried {
    let faults = laid.flags.iter().filter(|flag| flag.severity == findings::Severity::Fault).count();
    Tried { faults, opened: laid.floor.stock.len() }
}

/// One of the best few lines, laid.
#[derive(Debug, Clone, PartialEq)]
pub struct LaidLine {
    /// Index into the set-out's lines; 0 is the best.
    pub line: usize,
    /// Whether its value ties with the best line's in every band.
    pub is_equal: bool,
    /// Boards opened.
    pub opened: usize,
    /// Packs to buy.
    pub packs: u32,
    /// Flags that are faults.
    pub faults: usize,
    /// Flags to look at.
    pub looks: usize,
}

/// Lays each of the best few lines of a house, with the plan's effort.
pub fn lay_lines(house: &crate::House) -> Vec<LaidLine> {
    let bands = house.setout.lines.first().map(|line| line.value.bands());
    let lines = house.setout.lines.iter().enumerate();
    lines
        .filter_map(|(line, candidate)| {
            let plan = Plan { start_line: StartLine::At(candidate.offset), laid: None, ..house.plan.clone() };
            let laid = crate::run(&plan).ok()?;
            let faults = laid.flags.iter().filter(|flag| flag.severity == findings::Severity::Fault).count();
            Some(LaidLine {
                line,
                is_equal: Some(candidate.value.bands()) == bands,
                opened: laid.order.opened,
                packs: laid.order.packs,
                faults,
                looks: laid.flags.len() - faults,
            })
        })
        .collect()
}
