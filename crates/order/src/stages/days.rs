//! The day plan: what has to be done by when, reckoned back from the day a stage is laid, and when its floor may be used.

use super::share::Share;
use super::{Boundary, DayStep, StepKind};
use plan::Plan;

/// A working day, hours of the clock. Between its end and the next day's beginning lies a night of sixteen hours: what is
/// left overnight has had them. Ours.
const BEGINS: f64 = 8.0;
const ENDS: f64 = 16.0;
const DAY: f64 = 24.0;
/// What filling, priming and each coat are given of a working day, hours: ours. Before the wait ahead of it is over none of
/// them is begun.
const WORK: f64 = 2.0;

/// The same in words.
pub(super) const WORK_WORDS: &str =
    "Filling, priming and each coat are given 2 h of work: where they take longer, begin so much earlier.";
/// What is waited where the plan gives no figure: a night. Common practice for leveller, ours for the rest.
const NIGHT: f64 = 16.0;

/// Steps by day, and what to look out for.
pub(super) fn day_plan(plan: &Plan, share: &Share<'_>) -> (Vec<DayStep>, Vec<String>) {
    let mut steps = Vec::new();
    let mut cautions = Vec::new();
    let mut finished: Option<(usize, f64)> = None;
    for (place, stage) in share.order.iter().enumerate() {
        let of = &plan.stages[*stage];
        let begins = f64::from(of.day) * DAY + BEGINS;
        before(plan, share, place, begins, &mut steps);
        steps.push(DayStep {
            day: i64::from(of.day),
            begun: None,
            hour: None,
            stage: place,
            kind: StepKind::Lay,
            wait: None,
            wait_is_taken: false,
        });
        if let Some((earlier, at)) = finished.filter(|(_, at)| *at > begins) {
            let first = &plan.stages[share.order[earlier]].name;
            cautions.push(format!("{first} is not laid before {}, when {} begins", clock(at), of.name));
        }
        let ends = end_of(begins, of.hours);
        finished = Some((place, ends));
        after(plan, place, ends, &mut steps);
    }
    if let Some(first) = steps.iter().map(|step| step.day).min().filter(|day| *day < 1) {
        let days = 1 - first;
        let days = if days == 1 { "1 day".to_owned() } else { format!("{days} days") };
        cautions.push(format!("what has to cure begins {days} before day 1: keep them free, or lay later"));
    }
    for (name, what) in unknown(plan, &steps) {
        cautions.push(format!("no wait is typed for {name}; {what}: look in the maker's sheet"));
    }
    steps.sort_by(|a, b| {
        let hour = |step: &DayStep| step.hour.unwrap_or(BEGINS);
        a.day
            .cmp(&b.day)
            .then(hour(a).total_cmp(&hour(b)))
            .then(a.stage.cmp(&b.stage))
            .then(a.kind.cmp(&b.kind))
    });
    (steps, cautions)
}

/// What is done to the slab of a stage before boards come, the last step first.
fn before(plan: &Plan, share: &Share<'_>, place: usize, begins: f64, steps: &mut Vec<DayStep>) {
    let materials = plan.materials.as_ref();
    let coats = materials.and_then(|all| all.barrier.as_ref()).map_or(0, |barrier| barrier.coats.len());
    let primer = materials.is_some_and(|all| all.primer.is_some());
    let mut chain: Vec<(StepKind, Option<f64>)> = Vec::new();
    // Those that are on already are not put on again.
    chain.extend(
        (plan.coats_on() + 1..=coats)
            .rev()
            .map(|coat| (StepKind::Coat(coat, coats), plan.waits.barrier_coat)),
    );
    if primer {
        chain.push((StepKind::Prime, plan.waits.primer));
    }
    if share.has_fills(place) {
        chain.push((StepKind::Fill, plan.waits.leveller));
    }
    // When the work that comes next begins.
    let mut next = begins;
    for (kind, wait) in chain {
        let done = done_by(next, wait.unwrap_or(NIGHT));
        next = done - WORK;
        steps.push(DayStep {
            day: (done / DAY).floor() as i64,
            begun: Some(next.rem_euclid(DAY)),
            hour: Some(done.rem_euclid(DAY)),
            stage: place,
            kind,
            wait: Some(wait.unwrap_or(NIGHT)),
            wait_is_taken: wait.is_none(),
        });
    }
}

/// By when a step is done that is waited for until what comes next begins: within a working day, begun in it too.
fn done_by(next: f64, wait: f64) -> f64 {
    let at = next - wait.max(0.0);
    let (day, hour) = ((at / DAY).floor(), at.rem_euclid(DAY));
    if hour < BEGINS + WORK {
        // So early in the day the work itself has no time: it was done the evening before.
        (day - 1.0) * DAY + ENDS
    } else {
        day * DAY + hour.min(ENDS)
    }
}

/// When laying ends that begins in the morning and takes so many hours of working days; its own day where that is not
/// known.
fn end_of(begins: f64, hours: Option<f64>) -> f64 {
    const HOURS: f64 = ENDS - BEGINS;
    let Some(hours) = hours else { return begins + HOURS };
    let days = (hours / HOURS).ceil().max(1.0) - 1.0;
    begins + days * DAY + (hours - days * HOURS)
}

/// When a stage's floor may be walked on, and when it may be loaded.
fn after(plan: &Plan, place: usize, ends: f64, steps: &mut Vec<DayStep>) {
    for (kind, wait) in [(StepKind::Walk, plan.waits.walk), (StepKind::Load, plan.waits.load)] {
        let Some(wait) = wait else { continue };
        let at = usable_from(ends + wait);
        steps.push(DayStep {
            day: (at / DAY).floor() as i64,
            begun: None,
            hour: Some(at.rem_euclid(DAY)),
            stage: place,
            kind,
            wait: Some(wait),
            wait_is_taken: false,
        });
    }
}

/// The first working hour from a time on.
fn usable_from(at: f64) -> f64 {
    let (day, hour) = ((at / DAY).floor(), at.rem_euclid(DAY));
    if hour > ENDS { (day + 1.0) * DAY + BEGINS } else { day * DAY + hour.max(BEGINS) }
}

/// Waits that are needed and not typed, with what is taken instead.
fn unknown(plan: &Plan, steps: &[DayStep]) -> Vec<(&'static str, &'static str)> {
    let taken = |is: fn(StepKind) -> bool| steps.iter().any(|step| step.wait_is_taken && is(step.kind));
    let mut all = Vec::new();
    if taken(|kind| kind == StepKind::Fill) {
        all.push(("leveller", "a night is taken (common practice)"));
    }
    if taken(|kind| kind == StepKind::Prime) {
        all.push(("primer", "a night is taken"));
    }
    if taken(|kind| matches!(kind, StepKind::Coat(..))) {
        all.push(("a coat of the barrier", "a night is taken"));
    }
    if plan.waits.walk.is_none() {
        all.push(("walking on the laid floor", "when it may be walked on is not said"));
    }
    if plan.waits.load.is_none() {
        all.push(("loading the laid floor", "when packs may stand on it is not said"));
    }
    all
}

/// Laying that is begun beside a floor nobody may walk on yet, and work on the slab of rooms that are come to over it alone.
pub(super) fn access(
    plan: &Plan,
    share: &Share<'_>,
    steps: &[DayStep],
    boundaries: &[Boundary],
) -> Vec<String> {
    let at = |step: &DayStep, hour: Option<f64>| step.day as f64 * DAY + hour.unwrap_or(BEGINS);
    let begun = |step: &DayStep| match step.kind {
        StepKind::Lay => Some(at(step, None)),
        // Where it is not said when it is begun, it is begun so much earlier.
        StepKind::Fill | StepKind::Prime | StepKind::Coat(..) => {
            Some(step.begun.map_or_else(|| at(step, step.hour) - WORK, |hour| at(step, Some(hour))))
        }
        StepKind::Walk | StepKind::Load => None,
    };
    let mut said = Vec::new();
    for boundary in boundaries {
        let reached = share.reached_without(boundary.first);
        let is_cut_off = share.rooms(boundary.next).iter().any(|room| !reached[*room]);
        let of_first = |kind| steps.iter().find(|step| step.kind == kind && step.stage == boundary.first);
        let (Some(laid), Some(walk)) = (of_first(StepKind::Lay), of_first(StepKind::Walk)) else { continue };
        let (laid, walk) = (at(laid, None), at(walk, walk.hour));
        let counts = |step: &&DayStep| step.kind == StepKind::Lay || is_cut_off;
        let of_next = steps.iter().filter(|step| step.stage == boundary.next).filter(counts);
        let beside = of_next.filter_map(|step| Some((begun(step)?, step)));
        let beside = beside.filter(|(begun, _)| *begun >= laid && *begun < walk);
        let Some((_, step)) = beside.min_by(|a, b| a.0.total_cmp(&b.0)) else { continue };
        let name = |place: usize| plan.stages[share.order[place]].name.as_str();
        let next = match step.kind {
            StepKind::Lay => name(boundary.next).to_owned(),
            _ => format!("{}, day {}: {}, which", name(boundary.next), step.day, step.words()),
        };
        let before = match step.kind {
            StepKind::Lay => String::new(),
            _ => format!("do it before {} is laid, ", name(boundary.first)),
        };
        let words = format!(
            "{next} begins at {} while nobody may walk on {} before {}: {before}come in another way, or wait",
            boundary.place,
            name(boundary.first),
            clock(walk)
        );
        if !said.contains(&words) {
            said.push(words);
        }
    }
    said
}

/// A time in words: `day 3`, or `day 3, 10 o'clock` inside a day.
fn clock(at: f64) -> String {
    let (day, hour) = ((at / DAY).floor(), at.rem_euclid(DAY));
    if hour <= BEGINS { format!("day {day}") } else { format!("day {day}, {} o'clock", hour.ceil()) }
}
