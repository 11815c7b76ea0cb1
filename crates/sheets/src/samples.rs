//! Every page of every sample on every paper: writing keeps apart, stays in its column, and nothing is cut off.

use crate::floor_sheet::FittedPlan;
use crate::told::Told;
use crate::{Mark, Page, Paper, Part, SetOptions, font};
use drawing::{Anchor, label_extent, paper_ink};
use kurbo::Rect;
use pipeline::House;
use plan::Units;

/// The sample plans, as they lie beside the program.
pub(crate) const SAMPLES: [(&str, &str); 7] = [
    ("hazel-court", include_str!("../../../sample-plans/hazel-court.ron")),
    ("quince-row", include_str!("../../../sample-plans/quince-row.ron")),
    ("tern-point", include_str!("../../../sample-plans/tern-point.ron")),
    ("reed-cottage", include_str!("../../../sample-plans/reed-cottage.ron")),
    ("plover-parlour", include_str!("../../../sample-plans/plover-parlour.ron")),
    ("lark-study", include_str!("../../../sample-plans/lark-study.ron")),
    ("one-room", include_str!("../../../sample-plans/one-room.ron")),
];

/// Each paper in the units that its country measures in.
const PAPERS: [(Paper, Units); 4] = [
    (Paper::A4, Units::Metric),
    (Paper::A3, Units::Metric),
    (Paper::Letter, Units::FeetInches),
    (Paper::Tabloid, Units::FeetInches),
];

fn house(text: &str) -> House {
    pipeline::run(&plan::read(text).expect("the sample reads")).expect("the sample is sound")
}

/// The upright box round writing, by the advances of the fonts that are embedded: from the tails of letters to the tops of
/// capitals.
fn text_box(mark: &Mark) -> Option<(Rect, &str)> {
    let Mark::Text { text, at, anchor, size, bold, turn, .. } = mark else { return None };
    let width = font::width(text, *size, *bold);
    let left = match anchor {
        Anchor::Start => 0.0,
        Anchor::Middle => -width / 2.0,
        Anchor::End => -width,
    };
    let radians = -turn.to_radians();
    let (sin, cos) = (libm::sin(radians), libm::cos(radians));
    let corners = [(left, -0.75), (left + width, -0.75), (left, 0.1), (left + width, 0.1)];
    let turned = corners.map(|(x, y)| {
        let y = y * size;
        kurbo::Point::new(at.x + x * cos - y * sin, at.y + x * sin + y * cos)
    });
    let bounds = turned.iter().map(|p| Rect::from_points(*p, *p)).reduce(|all, one| all.union(one))?;
    Some((bounds, text.as_str()))
}

fn meet(a: Rect, b: Rect) -> bool {
    let common = a.intersect(b);
    common.width() > 0.05 && common.height() > 0.05
}

/// Pairs of things that lie over one another.
fn overlaps<'a>(boxes: &[(Rect, &'a str)]) -> Vec<(&'a str, &'a str)> {
    let mut found = Vec::new();
    for (i, (a, first)) in boxes.iter().enumerate() {
        found
            .extend(boxes[i + 1..].iter().filter(|(b, _)| meet(*a, *b)).map(|(_, second)| (*first, *second)));
    }
    found
}

/// What is wrong with a page of any sheet.
fn faults(page: &Page) -> Vec<String> {
    let mut found = Vec::new();
    let sheet = Rect::new(0.0, 0.0, page.width, page.height);
    let (mut figure, mut beside) = (Vec::new(), Vec::new());
    for (part, marks) in page.by_parts() {
        let boxes = marks.iter().filter_map(text_box);
        match part {
            Part::Figure(_) => figure.extend(boxes),
            _ => beside.extend(boxes),
        }
    }
    for (area, text) in figure.iter().chain(&beside) {
        if sheet.union(*area) != sheet {
            found.push(format!("{text:?} leaves the page"));
        }
        if text.contains('…') {
            found.push(format!("{text:?} is cut off"));
        }
    }
    // Tails and tops of neighbouring lines of a list may come close: of these the letters' bodies are held apart.
    let bodies: Vec<(Rect, &str)> = beside
        .iter()
        .map(|(area, text)| {
            (
                Rect::new(area.x0, area.y0 + 0.25 * area.height(), area.x1, area.y1 - 0.1 * area.height()),
                *text,
            )
        })
        .collect();
    for (first, second) in overlaps(&bodies) {
        found.push(format!("{first:?} over {second:?}"));
    }
    // Of writing that stands aslant the upright boxes say too much.
    let is_upright = |mark: &&Mark| matches!(mark, Mark::Text { turn, .. } if (turn % 90.0).abs() < 1e-6);
    let upright = page.by_parts().filter(|(part, _)| matches!(part, Part::Figure(_)));
    let upright: Vec<_> =
        upright.flat_map(|(_, marks)| marks).filter(is_upright).filter_map(text_box).collect();
    for (first, second) in overlaps(&upright) {
        found.push(format!("in a drawing {first:?} over {second:?}"));
    }
    for (area, text) in &figure {
        for (other, _) in beside.iter().filter(|(other, _)| meet(*area, *other)) {
            found.push(format!("{text:?} of the drawing runs into what stands beside it at {other:?}"));
        }
    }
    found
}

/// Labels of a drawing whose plates lie over one another, and those that are missing.
fn crowded(plan: &FittedPlan) -> Vec<String> {
    let scale = plan.scale;
    let boxes: Vec<(Rect, &str)> = plan
        .drawing
        .labels()
        .map(|label| {
            let width = font::width(&label.text, label.size, paper_ink(label.role).bold);
            (label_extent(label, width) + label.at.to_vec2() / scale, label.text.as_str())
        })
        .collect();
    let over = overlaps(&boxes).into_iter().map(|(a, b)| format!("{a:?} over {b:?} at 1:{scale}"));
    // The key beside the plan holds few things, each under its letter.
    let key = plan.drawing.key.iter().enumerate().filter(|(i, line)| *i > 1 || line.mark.is_empty());
    let key = key.map(|(_, line)| format!("{:?} of {} found no place at 1:{scale}", line.text, line.name));
    over.chain(key).collect()
}

/// What is wrong with the sheets of a house on a paper.
fn found(house: &House, paper: Paper) -> Vec<String> {
    let told = Told::new(house);
    let mut found: Vec<String> =
        crate::setout_sheet::chosen(&told, paper).iter().flat_map(|chosen| crowded(&chosen.plan)).collect();
    let pages = crate::set::set_of(&told, &SetOptions { paper, ..SetOptions::default() });
    for (i, page) in pages.iter().enumerate() {
        let of = |fault| format!("page {}, {}: {fault}", i + 1, page.title);
        found.extend(faults(page).into_iter().map(of));
    }
    found
}

/// The samples side by side; each is computed once.
#[test]
fn every_page_of_every_sample_on_every_paper_keeps_its_writing_apart_and_whole() {
    let faults: Vec<String> = std::thread::scope(|scope| {
        let runs = SAMPLES.map(|(name, text)| {
            scope.spawn(move || {
                let mut house = house(text);
                let mut all = Vec::new();
                for (paper, units) in PAPERS {
                    house.plan.units = units;
                    let of = |fault| format!("{name} on {}: {fault}", paper.name());
                    all.extend(found(&house, paper).into_iter().map(of));
                }
                all
            })
        });
        runs.into_iter().flat_map(|run| run.join().expect("a sample")).collect()
    });
    assert!(faults.is_empty(), "{} faults\n{}", faults.len(), faults.join("\n"));
}
