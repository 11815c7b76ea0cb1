//! Every page of every sample on every paper: writing keeps apart, stays in its column, and nothing is cut off.

use crate::floor_sheet::FittedPlan;
use crate::flow::{FOOT, HEAD};
use crate::paper::MARGIN;
use crate::told::Told;
use crate::{Mark, Page, Paper, Part, SetOptions, font};
use drawing::{Anchor, label_extent, paper_ink};
use kurbo::Rect;
use pipeline::House;
use plan::Units;

/// The sample plans, as they lie beside the program.
pub(crate) const SAMPLES: [(&str, &str); 8] = [
    ("hazel-court", include_str!("../../../sample-plans/hazel-court.ron")),
    ("quince-row", include_str!("../../../sample-plans/quince-row.ron")),
    ("tern-point", include_str!("../../../sample-plans/tern-point.ron")),
    ("reed-cottage", include_str!("../../../sample-plans/reed-cottage.ron")),
    ("plover-parlour", include_str!("../../../sample-plans/plover-parlour.ron")),
    ("lark-study", include_str!("../../../sample-plans/lark-study.ron")),
    ("one-room", include_str!("../../../sample-plans/one-room.ron")),
    ("dunlin-flat", include_str!("../../../sample-plans/dunlin-flat.ron")),
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

/// The four corners of writing as it stands, by the advances of the fonts that are embedded: from the tails of letters to
/// the tops of capitals.
fn corners(mark: &Mark) -> Option<([kurbo::Point; 4], &str)> {
    let Mark::Text { text, at, anchor, size, bold, turn, .. } = mark else { return None };
    let width = font::width(text, *size, *bold);
    let left = match anchor {
        Anchor::Start => 0.0,
        Anchor::Middle => -width / 2.0,
        Anchor::End => -width,
    };
    let radians = -turn.to_radians();
    let (sin, cos) = (libm::sin(radians), libm::cos(radians));
    let corners = [(left, -0.75), (left + width, -0.75), (left + width, 0.1), (left, 0.1)];
    let turned = corners.map(|(x, y)| {
        let y = y * size;
        kurbo::Point::new(at.x + x * cos - y * sin, at.y + x * sin + y * cos)
    });
    Some((turned, text.as_str()))
}

/// The upright box round writing.
fn text_box(mark: &Mark) -> Option<(Rect, &str)> {
    let (corners, text) = corners(mark)?;
    let bounds = corners.iter().map(|p| Rect::from_points(*p, *p)).reduce(|all, one| all.union(one))?;
    Some((bounds, text))
}

/// Whether two rectangles that stand aslant lie over one another: they do unless a side of one of them parts them (the
/// separating axis theorem).
fn aslant_meet(a: &[kurbo::Point; 4], b: &[kurbo::Point; 4]) -> bool {
    let ways = [a[1] - a[0], a[3] - a[0], b[1] - b[0], b[3] - b[0]];
    ways.into_iter().filter(|way| way.hypot2() > 0.0).all(|way| {
        let spread = |corners: &[kurbo::Point; 4]| {
            let places = corners.map(|p| p.to_vec2().dot(way) / libm::sqrt(way.hypot2()));
            (places.iter().copied().fold(f64::MAX, f64::min), places.iter().copied().fold(f64::MIN, f64::max))
        };
        let (a, b) = (spread(a), spread(b));
        a.1.min(b.1) - a.0.max(b.0) > 0.05
    })
}

/// The marks of a drawing and, of a floor in parts, those of the part that are seen.
fn seen(marks: &[Mark]) -> Vec<&Mark> {
    let mut seen = Vec::new();
    for mark in marks {
        match mark {
            Mark::Within { area, marks } => {
                seen.extend(
                    marks.iter().filter(|mark| text_box(mark).is_some_and(|(own, _)| meet(own, *area))),
                );
            }
            _ => seen.push(mark),
        }
    }
    seen
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
    // Of writing that stands aslant the upright boxes say too much: its own sides are looked at.
    let drawings = page.by_parts().filter(|(part, _)| matches!(part, Part::Figure(_)));
    let written: Vec<_> = drawings.flat_map(|(_, marks)| seen(marks)).filter_map(corners).collect();
    for (i, (a, first)) in written.iter().enumerate() {
        for (_, second) in written[i + 1..].iter().filter(|(b, _)| aslant_meet(a, b)) {
            found.push(format!("in a drawing {first:?} over {second:?}"));
        }
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

/// Rings that stand in another room than their wall's, where nothing leads them to it: whose they are is told by where they
/// stand. Rooms and points by geo.
fn strayed(house: &House, plan: &FittedPlan) -> Vec<String> {
    use geo::{Contains, Coord, LineString, Polygon};
    let outline = |room: &plan::Room| {
        Polygon::new(
            LineString::from_iter(room.outline().into_iter().map(|(p, _)| Coord { x: p.x, y: p.y })),
            Vec::new(),
        )
    };
    let rooms: Vec<Polygon> = house.plan.rooms.iter().map(outline).collect();
    let rings = plan
        .drawing
        .labels()
        .filter(|label| matches!(label.role, drawing::Role::RipFigure | drawing::Role::ShortRipFigure));
    let mut strayed = Vec::new();
    for label in rings {
        let source = label.subject.and_then(|i| house.setout.chosen.rips.get(i)).map(|rip| rip.source);
        let Some(site::Source::Wall { room: own, .. }) = source else { continue };
        let place = label_extent(label, font::width(&label.text, label.size, true));
        // Led writing stands further off its point than this.
        let off = (place.x0.max(-place.x1).max(0.0), place.y0.max(-place.y1).max(0.0));
        if off.0 * off.0 + off.1 * off.1 > 3.6 * 3.6 {
            continue;
        }
        let at = label.at + label.shift * plan.scale;
        let inside = |room: &Polygon| room.contains(&Coord { x: at.x, y: at.y });
        for (i, _) in rooms.iter().enumerate().filter(|(i, room)| *i != own && inside(room)) {
            let (own, other) = (&house.plan.rooms[own].name, &house.plan.rooms[i].name);
            strayed.push(format!("the ring {:?} of {own} stands in {other} at 1:{}", label.text, plan.scale));
        }
    }
    strayed
}

/// A page on which no more than a fifth of the height between head and foot is used: such a rest belongs on the page before.
fn waste(page: &Page) -> Option<String> {
    let (top, end) = (MARGIN + HEAD, page.height - FOOT);
    let below = page.marks.iter().map(|mark| mark.bounds().y1).filter(|y| *y <= end).fold(top, f64::max);
    let used = (below - top) / (end - top);
    (used < 0.2).then(|| format!("{:.0} % of it is used", used * 100.0))
}

/// What is wrong with the sheets of a house on a paper.
fn found(house: &House, paper: Paper) -> Vec<String> {
    let told = Told::new(house);
    let plans = crate::setout_sheet::chosen(&told, paper);
    let mut found: Vec<String> = plans
        .iter()
        .flat_map(|chosen| [crowded(&chosen.plan), strayed(house, &chosen.plan)].concat())
        .collect();
    let pages = crate::set::set_of(&told, &SetOptions { paper, ..SetOptions::default() });
    for (i, page) in pages.iter().enumerate() {
        let of = |fault| format!("page {}, {}: {fault}", i + 1, page.title);
        found.extend(faults(page).into_iter().chain(waste(page)).map(of));
    }
    found
}

/// A closet, a gallery a hundred times as long as wide, and names written from right to left.
#[test]
fn odd_floors_keep_their_writing_apart_and_whole() {
    let one_room = SAMPLES[6].1.replace("at: 600.0", "at: 60.0");
    let sized = |width: &str, height: &str| {
        one_room.replace("4200.0", width).replace("3600.0", height).replace("Bedroom", "חדר 12")
    };
    let mut all = Vec::new();
    for (name, text) in [("closet", sized("1000.0", "1000.0")), ("gallery", sized("200000.0", "2000.0"))] {
        let mut house = house(&text);
        for (paper, units) in [PAPERS[0], PAPERS[2]] {
            house.plan.units = units;
            let pages = crate::set(&house, &SetOptions { paper, ..SetOptions::default() });
            assert!(pages.len() < 60, "{} pages of a {name}", pages.len());
            let of = |(i, page): (usize, &Page)| {
                let place = format!("{name} on {}, page {}, {}", paper.name(), i + 1, page.title);
                faults(page).into_iter().map(move |fault| format!("{place}: {fault}")).collect::<Vec<_>>()
            };
            all.extend(pages.iter().enumerate().flat_map(of));
        }
    }
    assert!(all.is_empty(), "{} faults\n{}", all.len(), all.join("\n"));
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

/// Bedrooms are laid on day 3, Hall and Living on day 5: a crew that goes by the list must not begin in the hall.
#[test]
fn the_lay_list_and_the_first_board_follow_the_stages() {
    for (name, text, first) in [("hazel-court", SAMPLES[0].1, "Bedrooms"), ("one-room", SAMPLES[6].1, "")] {
        let house = house(text);
        let told = Told::new(&house);
        let list = told.tables().iter().find(|table| table.file == "lay-list").expect("a lay list");
        let column = |key: &str| list.columns.iter().position(|column| column.key == key).expect("a column");
        let of = |key: &str| -> Vec<&str> {
            let cells = list.rows.iter().map(|row| match &row[column(key)] {
                order::Cell::Text(text) => text.as_str(),
                _ => "",
            });
            cells.collect()
        };
        let mut stages = of("stage");
        stages.dedup();
        let mut days: Vec<&plan::Stage> = house.plan.stages.iter().collect();
        days.sort_by_key(|stage| stage.day);
        let by_day: Vec<&str> = days.iter().map(|stage| stage.name.as_str()).collect();
        assert_eq!(stages, if by_day.is_empty() { vec![""] } else { by_day }, "{name}");
        assert_eq!(stages[0], first);
        let mut boards = of("board");
        boards.sort_unstable();
        boards.dedup();
        assert_eq!(boards.len(), house.floor.boards.len(), "every board once");
        let begins = told.first_board().expect("a first board").board;
        assert_eq!(house.floor.boards[begins].label, of("board")[0]);
        let said = format!("{:?}", crate::setout_steps::steps(&told));
        assert_eq!(said.contains("Start with Bedrooms"), !first.is_empty(), "{said}");
    }
}

#[test]
fn only_the_sheets_that_are_named_are_set() {
    use crate::Sheet;
    let house = house(SAMPLES[6].1);
    let only = [Sheet::LayList, Sheet::SawList].into();
    let pages = crate::set(&house, &SetOptions { only, ..SetOptions::default() });
    let mut titles: Vec<&str> = pages.iter().map(|page| page.title.as_str()).collect();
    titles.dedup();
    assert_eq!(titles, ["Saw list", "Lay list"]);
    let keys: std::collections::BTreeSet<&str> = Sheet::ALL.into_iter().map(Sheet::key).collect();
    assert_eq!(keys.len(), Sheet::ALL.len());
}

/// The sample room laid, its rip of 50 leaves strips of 137: their lengths and widths in feet and inches are longer than in
/// millimetres.
#[test]
fn strips_in_hand_keep_their_columns() {
    let mut plan = plan::read(SAMPLES[6].1).expect("the sample reads");
    plan.start_line = plan::StartLine::At(60.0);
    let whole = pipeline::run(&plan).expect("the sample is sound");
    let boards: Vec<usize> = (0..whole.floor.boards.len()).collect();
    let laid = whole.with_laid(&boards).expect("its boards can be marked");
    let mut house = pipeline::run(&laid).expect("the plan is sound");
    assert!(!house.strips_in_hand().is_empty() && house.drift().len() == 2);
    let pages =
        crate::set(&house, &SetOptions { only: [crate::Sheet::Laid].into(), ..SetOptions::default() });
    let marks = pages.iter().flat_map(|page| &page.marks).filter(
        |mark| matches!(mark, Mark::Text { text, .. } if text == "Rows that lie, and what comes of them"),
    );
    assert_eq!(marks.count(), 1, "both sides of the line stand under one heading");
    let all = crate::set(&house, &SetOptions::default());
    assert!(all.iter().all(|page| page.title != "Saw list"), "nothing of a floor that lies is left to saw");
    for (paper, units) in PAPERS {
        house.plan.units = units;
        assert_eq!(found(&house, paper), Vec::<String>::new(), "{}", paper.name());
    }
}

/// Pages that the guide and the changelog speak of, and that nobody should have to carry more of.
#[test]
fn the_sample_house_takes_no_more_pages_than_is_said_and_every_sheet_is_on_them() {
    let house = house(SAMPLES[0].1);
    let pages = crate::set(&house, &SetOptions::default());
    assert!(pages.len() <= 43, "{} pages", pages.len());
    let begun: Vec<&str> =
        pages.iter().flat_map(|page| &page.sheets).map(|(name, _)| name.as_str()).collect();
    let all = [
        "Before a pack is opened",
        "Set-out",
        "Set-out, control",
        "Control lines",
        "Floor",
        "Floor, in parts",
        "Doorways and edges",
        "Undercut and shave",
        "Saw list",
        "Lay list",
        "Flags and packs",
        "Materials",
        "Day plan",
        "Stages",
        "Your floor",
    ];
    assert_eq!(begun, all);
    // What is carried to the saw and to the rows holds nothing else.
    for sheet in ["Saw list", "Lay list"] {
        assert!(pages.iter().all(|page| page.title != sheet || page.names() == sheet));
    }
    assert!(pages.iter().any(|page| page.names() == "Doorways and edges, Undercut and shave"));
}

/// A saw list for each stage, where it is asked for: each begins a page of its own and names no setting for boards of another
/// stage; bars show these pale. By the lay list, which goes stage by stage, each board stands where its stage is.
#[test]
fn each_stage_has_its_saw_list_where_it_is_asked_for() {
    for (name, text) in [SAMPLES[0], SAMPLES[2]] {
        let house = house(text);
        let told = crate::told::Told::new(&house);
        let options =
            SetOptions { saw_by_stage: true, only: [crate::Sheet::SawList].into(), ..SetOptions::default() };
        let pages = crate::set(&house, &options);
        let mut begun: Vec<&str> = pages.iter().map(|page| page.title.as_str()).collect();
        begun.dedup();
        let shares = told.shares();
        let names = shares.order.iter().map(|stage| house.plan.stages[*stage].name.as_str());
        let expected: Vec<String> =
            names.enumerate().map(|(place, name)| format!("Saw list, {} {name}", place + 1)).collect();
        assert_eq!(begun, expected, "{name}");
        for (place, title) in expected.iter().enumerate() {
            let own = pages.iter().filter(|page| page.title == *title);
            let inked = own.flat_map(|page| &page.marks).filter_map(|mark| match mark {
                Mark::Text { text, colour, .. } if *colour == drawing::Rgb::INK => Some(text.as_str()),
                _ => None,
            });
            let inked: Vec<&str> = inked.flat_map(|text| text.split([' ', ',', '*'])).collect();
            let (mut seen, mut all) = (0, 0);
            for (board, of) in shares.of_board.iter().enumerate() {
                let label = house.floor.boards[board].label.as_str();
                let is_there = inked.contains(&label);
                match *of == Some(place) {
                    true => (seen, all) = (seen + usize::from(is_there), all + 1),
                    // A strip lies beside a board of another stage; both are told together.
                    false => {
                        let stock = &house.floor.stock[house.floor.boards[board].stock];
                        let is_beside = stock.pieces.iter().any(|piece| piece.strip);
                        assert!(!is_there || is_beside, "{name}: {label} on {title}");
                    }
                }
            }
            // All but whole boards are sawn.
            assert!(seen * 3 > all, "{name}: {seen} of {all} on {title}");
        }
    }
}

#[test]
fn readings_stand_abreast_so_that_the_slab_keeps_to_a_page() {
    let house = house(SAMPLES[2].1);
    let pages = crate::slab_sheet::slab_sheet(&house).expect("a list").alone(Paper::A4);
    assert_eq!(pages.len(), 1);
    let at = |name: &str| {
        let mut places = pages[0].marks.iter().rev().filter_map(|mark| match mark {
            Mark::Text { text, at, .. } if text == name => Some(*at),
            _ => None,
        });
        places.next().expect("the room stands on it")
    };
    // Five rooms: three down the first column, two down the second.
    assert!(at("Great room").y < at("Hall").y && at("Hall").y < at("Bed A").y);
    assert!(at("Bed B").x > 100.0 && at("Bed B").y == at("Great room").y && at("Store").y == at("Hall").y);
}
