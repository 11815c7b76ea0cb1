//! Lines that the set-out values alike are laid, and the one that opens fewest boards is used.

use plan::{Plan, StartLine};
use setout::SetOut;
use site::Site;

/// Sets out a site. Where several lines are worth the same in every band, each is laid without search; of those
/// with the fewest joints that break a rule, the one that opens fewest boards goes first.
pub(crate) fn set_out(plan: &Plan, surveyed: &Site) -> SetOut {
    let setout = setout::set_out(plan, surveyed);
    if !is_contested(plan, &setout) {
        return setout;
    }
    let equals = equal_lines(&setout);
    let mut best: Option<((usize, usize), usize, SetOut)> = None;
    for index in 0..equals {
        let tried = setout::with_line(plan, surveyed, &setout, index);
        let laid = boards(plan, surveyed, &tried);
        if best.as_ref().is_none_or(|(least, ..)| laid < *least) {
            best = Some((laid, index, tried));
        }
    }
    let Some((_, index, mut used)) = best.filter(|(_, index, _)| *index > 0) else { return setout };
    let first = used.lines.remove(index);
    used.lines.insert(0, first);
    used.best = used.lines[0].clone();
    used.runner_up = used.lines.get(1).cloned();
    used
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

/// Joints that break a rule and boards opened on a line, laid without search.
fn boards(plan: &Plan, surveyed: &Site, setout: &SetOut) -> (usize, usize) {
    let plan = Plan { effort: 0, ..plan.clone() };
    let site = site::eased(surveyed, &setout.eases);
    let floor = lay::lay(&plan, &site, setout);
    let fit = fit::fit(&plan, &site, &floor);
    let flags = findings::inspect(&plan, &site, &floor, &fit);
    let faults = flags.iter().filter(|flag| flag.severity == findings::Severity::Fault).count();
    (faults, floor.stock.len())
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
