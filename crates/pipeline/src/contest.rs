//! Lines that the set-out values alike are laid, and the one that opens fewest boards is used.

use crate::Boarded;
use plan::{Plan, StartLine};
use rayon::prelude::*;
use setout::SetOut;
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
        let tried = setout::with_line(plan, surveyed, &setout, index);
        let site = site::eased(surveyed, &tried.eases);
        let floor = lay::lay(&bare, &site, &tried);
        (index, tried, Boarded::new(&bare, site, floor))
    });
    // Of equals the first, however many threads have laid them.
    let best = lines.min_by_key(|(index, _, laid)| (boards(laid), *index));
    let Some((index, mut used, laid)) = best else { return (setout, None) };
    let laid = (plan.effort == 0).then_some(laid);
    if index == 0 {
        let is_it = used == setout;
        return (setout, laid.filter(|_| is_it));
    }
    // Laying reads the line in use, not where it stands among the others.
    let first = used.lines.remove(index);
    used.lines.insert(0, first);
    used.best = used.lines[0].clone();
    used.runner_up = used.lines.get(1).cloned();
    (used, laid)
}

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

/// Joints that break a rule and boards opened on a line.
fn boards(laid: &Boarded) -> (usize, usize) {
    let faults = laid.flags.iter().filter(|flag| flag.severity == findings::Severity::Fault).count();
    (faults, laid.floor.stock.len())
}

/// What parts the line in use from the next best where no band of their value does: `opens 29 boards instead of 28`.
/// `None` where a band does, or the line was not chosen by laying.
pub(crate) fn parted_by(house: &crate::House) -> Option<String> {
    let setout = &house.setout;
    if !is_contested(&house.plan, setout) {
        return None;
    }
    let bare = Plan { effort: 0, ..house.plan.clone() };
    let lay = |index: usize| {
        let tried = setout::with_line(&bare, &house.surveyed, setout, index);
        let site = site::eased(&house.surveyed, &tried.eases);
        let floor = lay::lay(&bare, &site, &tried);
        boards(&Boarded::new(&bare, site, floor))
    };
    let ((my_faults, mine), (their_faults, theirs)) = rayon::join(|| lay(0), || lay(1));
    if their_faults != my_faults {
        let faults = |count: usize| if count == 1 { "fault" } else { "faults" };
        return (their_faults > my_faults)
            .then(|| format!("has {their_faults} {} instead of {my_faults}", faults(their_faults)));
    }
    (theirs > mine).then(|| format!("opens {theirs} boards instead of {mine}"))
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
