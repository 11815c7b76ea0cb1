//! The set-out sheet: what to pull, snap, check and rip first, read at arm's length.

use crate::floor_sheet::{FittedPlan, fitted_each, measures, measures_height};
use crate::page::{Page, Part, Type};
use crate::paper::{LEFT, MARGIN};
use crate::setout_steps::{Step, steps};
use crate::told::Told;
use crate::words::{figure, setting};
use crate::{Paper, flow};
use drawing::{Anchor, KEY_LINES, KeyLine, Options, Rgb};
use kurbo::{Circle, Rect};
use pipeline::House;
use std::cmp::Ordering;

/// Usual caution on every sheet that starts work. Common practice; it defers to who knows the place.
pub(crate) const CAUTION: &str = "Saw dust and grinding dust harm lungs and eyes: extract at the tool, wear a \
     mask and eye protection. Damp slab, solvent, or old adhesive that may hold asbestos: stop and get it \
     tested. Local codes, the makers' sheets and licensed practice come first.";

/// The most by which the words beside the plan are enlarged where there is room.
const MOST_TYPE: f64 = 1.5;
/// The least, and in how many steps of 4 % it is reached.
const LEAST_TYPE: f64 = 0.55;
const TYPE_STEPS: usize = 25;

/// Sizes of the text beside the plan.
#[derive(Clone, Copy)]
struct Sizes {
    factor: f64,
    width: f64,
}

pub(crate) fn setout_sheet(house: &Told<'_>, paper: Paper) -> Vec<Page> {
    // Beside the plan on a lying page, under it on a standing one: the larger plan, then the larger words.
    let laid_out = chosen(house, paper).into_iter().map(|plan| laid_out(house, paper, &plan));
    let better = laid_out.reduce(|one, other| if other.type_factor > one.type_factor { other } else { one });
    better.into_iter().map(|laid_out| laid_out.page).collect()
}

/// The plan on a lying or a standing page, whichever holds it larger, or on both.
pub(crate) fn chosen(house: &Told<'_>, paper: Paper) -> Vec<SetOutPlan> {
    let rooms = [room(house, paper, true), room(house, paper, false)];
    let [lying, standing] = fitted_each(house, rooms, Options::set_out);
    let larger = lying.scale.total_cmp(&standing.scale);
    let lying = SetOutPlan { plan: lying, is_lying: true };
    let standing = SetOutPlan { plan: standing, is_lying: false };
    match larger {
        Ordering::Less => vec![lying],
        Ordering::Greater => vec![standing],
        Ordering::Equal => vec![lying, standing],
    }
}

/// The plan of the sheet one way round.
pub(crate) struct SetOutPlan {
    pub(crate) plan: FittedPlan,
    is_lying: bool,
}

/// The sheet one way round.
struct LaidOut {
    page: Page,
    type_factor: f64,
}

/// Room for the scale bar under the plan, mm.
const BAR: f64 = 14.0;

/// Room beside the plan on a lying page, under it on a standing one, mm.
fn beside(paper: Paper, is_lying: bool) -> f64 {
    paper.type_factor() * if is_lying { 88.0 } else { 122.0 }
}

/// Room for the plan, mm.
fn room(house: &House, paper: Paper, is_lying: bool) -> (f64, f64) {
    let (short, long) = paper.size();
    let (width, height) = if is_lying { (long, short) } else { (short, long) };
    let (width, height) = (width - LEFT - MARGIN, height - MARGIN - flow::HEAD - flow::FOOT - BAR);
    match is_lying {
        true => {
            let width = width - beside(paper, true) - 6.0;
            (width, height + BAR - 8.0 - measures_height(house, width - 4.0))
        }
        false => (width, height - beside(paper, false)),
    }
}

fn laid_out(house: &Told<'_>, paper: Paper, SetOutPlan { plan, is_lying }: &SetOutPlan) -> LaidOut {
    let is_lying = *is_lying;
    let (short, long) = paper.size();
    let factor = paper.type_factor();
    let (width, height) = if is_lying { (long, short) } else { (short, long) };
    let top = MARGIN + flow::HEAD;
    let side = beside(paper, true);
    let room = room(house, paper, is_lying);
    let mut page = Page::new(width, height, "Set-out");
    page.sheets.push(("Set-out".into(), 0.0));
    page.scale = Some(plan.scale_name());
    crate::page_head::head(&mut page, &format!("{} · {}", house.plan.name, crate::words::stock_line(house)));
    let y = top + ((room.1 - plan.extent.height()) / 2.0).clamp(0.0, 14.0);
    let x = LEFT + (room.0 - plan.extent.width()).max(0.0) / 2.0;
    let words = "The floor with the start line, its pulls, the triangle, movement joints, stop lines and the rip to \
                 expect at each wall";
    page.figure(words.into(), plan.marks_at(x, y));
    let bar_y = y + plan.extent.height() + 7.0;
    // Beside the words of a lying page there may be no room for bar and check in one line.
    let bar_room = if is_lying { room.0 - 4.0 } else { width - LEFT - MARGIN - 4.0 };
    measures(&mut page, house, plan.scale, (LEFT + 4.0, bar_y), bar_room);
    let blocks = if is_lying {
        let x = width - MARGIN - side;
        Blocks { steps: (x, top), rest: None, width: side, bottom: height - flow::FOOT }
    } else {
        let half = (width - LEFT - MARGIN - 8.0) / 2.0;
        // Words take what the plan leaves.
        let y = bar_y + 10.0;
        Blocks {
            steps: (LEFT, y),
            rest: Some((LEFT + half + 8.0, y)),
            width: half,
            bottom: height - flow::FOOT,
        }
    };
    let key = key_words(&plan.drawing.key);
    let type_factor = put_words(&mut page, house, &blocks, factor, &key);
    LaidOut { page, type_factor }
}

/// Where the words of the sheet go.
struct Blocks {
    steps: (f64, f64),
    /// Where the rest goes, if not under the steps.
    rest: Option<(f64, f64)>,
    width: f64,
    bottom: f64,
}

/// Writes the words in the largest type in which they fit; gives its factor. In two columns the last steps may go
/// over to the second.
fn put_words(page: &mut Page, house: &Told<'_>, blocks: &Blocks, factor: f64, key: &[String]) -> f64 {
    let (marks, parts) = (page.marks.len(), page.parts.clone());
    let steps = steps(house);
    let least = if blocks.rest.is_some() { steps.len().min(2) } else { steps.len() };
    let mut set = |k: f64, first: usize| {
        page.marks.truncate(marks);
        page.parts.clone_from(&parts);
        let sizes = Sizes { factor: k, width: blocks.width };
        let under = put_steps(page, &steps, 0..first, blocks.steps, sizes);
        let (x, mut y) = blocks.rest.unwrap_or((blocks.steps.0, under + 3.0 * k));
        if first < steps.len() {
            y = put_steps(page, &steps, first..steps.len(), (x, y), sizes) + 3.0 * k;
        }
        let y = put_expect(page, house, (x, y), sizes, key);
        put_caution(page, (x, y + 3.0 * k), sizes).max(under) <= blocks.bottom
    };
    // Sizes from the largest down; what holds a size holds every smaller one, so they are halved between.
    let size = |rank: usize| {
        let k = (0..rank).fold(MOST_TYPE, |k, _| k * 0.96);
        k.max(LEAST_TYPE) * factor
    };
    let mut fits = |rank: usize| (least..=steps.len()).rev().find(|first| set(size(rank), *first));
    let (mut low, mut high) = (0, TYPE_STEPS);
    let mut best = None;
    while low < high {
        let middle = usize::midpoint(low, high);
        match fits(middle) {
            Some(first) => (best, high) = (Some((middle, first)), middle),
            None => low = middle + 1,
        }
    }
    let (rank, first) = best.unwrap_or((TYPE_STEPS, least));
    set(size(rank), first);
    size(rank)
}

/// Writes some of the steps, with the heading over the first of them.
fn put_steps(
    page: &mut Page,
    steps: &[Step],
    shown: std::ops::Range<usize>,
    (x, mut y): (f64, f64),
    sizes: Sizes,
) -> f64 {
    let k = sizes.factor;
    if shown.start == 0 {
        page.begin(Part::Heading);
        page.write("Snap the line", x, y + 4.0 * k, Type::bold(5.0 * k));
        y += 8.0 * k;
    }
    let note_kind = Type::quiet(3.2 * k);
    let indent = 6.5 * k;
    for (i, step) in steps.iter().enumerate().skip(shown.start).take(shown.len()) {
        page.begin(Part::Lines);
        page.write(&(i + 1).to_string(), x, y + 4.6 * k, Type::quiet(4.6 * k));
        let note = match step {
            Step::Pull { letter, figure, note } => {
                let centre = (x + indent + 3.2 * k, y + 3.2 * k);
                page.shape(&Circle::new(centre, 3.2 * k), Some(Rgb::INK), None);
                let white = Type { colour: Rgb::PAPER, ..Type::bold(4.4 * k) };
                page.write_as(&letter.to_string(), centre.0, centre.1 + 1.6 * k, white, Anchor::Middle);
                page.write(&format!("pull {figure}"), x + indent + 9.0 * k, y + 5.8 * k, Type::bold(7.4 * k));
                y += 7.4 * k;
                note
            }
            Step::Do { what, note } => {
                let kind = Type::bold(4.6 * k);
                for line in kind.wrapped(what, sizes.width - indent) {
                    page.write(&line, x + indent, y + 4.6 * k, kind);
                    y += 5.8 * k;
                }
                note
            }
        };
        for line in note_kind.wrapped(note, sizes.width - indent) {
            page.write(&line, x + indent, y + 3.2 * k, note_kind);
            y += 4.1 * k;
        }
        y += 2.0 * k;
    }
    y
}

fn put_expect(page: &mut Page, house: &House, (x, y): (f64, f64), sizes: Sizes, key: &[String]) -> f64 {
    let k = sizes.factor;
    page.begin(Part::Heading);
    page.write("Expect at the walls", x, y + 4.0 * k, Type::bold(5.0 * k));
    page.begin(Part::Lines);
    let mut y = y + 7.0 * k;
    let kind = Type::plain(3.4 * k);
    let safe = house.setout.chosen.safe_by;
    let stop = if safe >= 1.0 {
        let safe = figure(house, safe.floor());
        format!("If one is out by more than {safe}, stop and pull again before any adhesive.")
    } else {
        "If one is not as shown, stop and pull again before any adhesive.".to_owned()
    };
    let least = figure(house, house.setout.least);
    let kept =
        if house.setout.along.is_some() { "how far the smallest pieces reach in" } else { "the rip kept" };
    let is_hidden =
        |side: &drawing::RipSide| drawing::side_seen(side, house.setout.least, house.plan.units).is_some();
    let brackets = match drawing::rip_sides(house).iter().any(is_hidden) {
        true => "; in brackets what is seen where boards go under something",
        false => "",
    };
    let text =
        format!("Figures in rings: {kept}, gap already off. A dark ring is under {least}{brackets}. {stop}");
    let mut gaps = house.gaps_to_leave();
    gaps.retain(|gap| gap.reads_wider(|mm| setting(house, mm)));
    let wider = gaps.iter().map(|gap| {
        let (wide, least) = (gap.words(|mm| setting(house, mm)), setting(house, gap.least));
        format!(" {}: {wide} instead of {least}.", gap.source.name(&house.plan))
    });
    let text = match gaps.is_empty() {
        true => text,
        false => {
            format!("{text} Leave the gap wider, so that no strip is left:{}", wider.collect::<String>())
        }
    };
    let stops = house.fit.doorways.iter().any(|doorway| !doorway.stops.is_empty());
    let stops = stops.then(|| {
        "Stop: how far past the wall's face boards end in an opening, at either jamb; with a minus, short of it."
            .to_owned()
    });
    for text in std::iter::once(&text).chain(&stops).chain(key) {
        for line in kind.wrapped(text, sizes.width) {
            page.write(&line, x, y + 3.4 * k, kind);
            y += 4.6 * k;
        }
    }
    y
}

/// What had no room on the plan, a line for each.
fn key_words(key: &[KeyLine]) -> Vec<String> {
    let line = |line: &KeyLine| match (line.mark.as_str(), line.name.as_str()) {
        ("", "") => format!("{}.", line.text),
        ("", name) => format!("{name}: {}.", line.text),
        (mark, "") => format!("{mark} on the plan: {}.", line.text),
        (mark, name) => format!("{mark} on the plan, {name}: {}.", line.text),
    };
    let mut lines: Vec<String> = key.iter().take(KEY_LINES).map(line).collect();
    let more = key.len().saturating_sub(KEY_LINES);
    if more > 0 {
        lines.push(format!("{more} more have no room here: every rip stands under Set-out, control, every stop line under Doorways."));
    }
    lines
}

fn put_caution(page: &mut Page, (x, y): (f64, f64), sizes: Sizes) -> f64 {
    let k = sizes.factor;
    let kind = Type::plain(3.1 * k);
    let pad = 3.0 * k;
    let lines = kind.wrapped(CAUTION, sizes.width - 2.0 * pad);
    let height = 7.6 * k + lines.len() as f64 * 4.1 * k + pad;
    page.rect(Rect::new(x, y, x + sizes.width, y + height), None, Some((Rgb::INK, 0.5)));
    page.begin(Part::Heading);
    page.write("Take care", x + pad, y + 6.0 * k, Type::bold(4.0 * k));
    page.begin(Part::Lines);
    for (i, line) in lines.iter().enumerate() {
        page.write(line, x + pad, y + (10.6 + 4.1 * i as f64) * k, kind);
    }
    y + height
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::small_house;

    #[test]
    fn a_house_without_a_line_says_so() {
        let mut house = small_house("Hut");
        house.setout.line = None;
        assert_eq!(steps(&Told::new(&house)).len(), 1);
        assert_eq!(setout_sheet(&Told::new(&house), Paper::A4).len(), 1);
    }
}
