//! What stands on the pages, held against the figures it comes from and measured on the paper itself.

use crate::testing::small_house;
use crate::{Mark, Page, Paper, Part, SetOptions, font, page_picture, pdf, set, tables};
use order::Cell;
use pipeline::House;
use plan::{Plan, Point, Room, Units};

/// Points to a millimetre: 72 to an inch of 25.4 mm (PDF 32000-1:2008, 8.3.2.3).
const POINT: f64 = 72.0 / 25.4;

const COTTAGE: &str = include_str!("../../../sample-plans/reed-cottage.ron");
const PARLOUR: &str = include_str!("../../../sample-plans/plover-parlour.ron");

fn sample(text: &str) -> House {
    pipeline::run(&plan::read(text).expect("the sample reads")).expect("the sample is sound")
}

fn pages_of(list: Option<crate::bound::List<'_>>) -> Vec<Page> {
    list.expect("a list").alone(Paper::A4)
}

fn saw_pages(told: &crate::told::Told<'_>) -> Vec<Page> {
    crate::saw_sheet::saw_lists(told, false).iter().flat_map(|list| list.alone(Paper::A4)).collect()
}

fn texts(page: &Page) -> impl Iterator<Item = &str> {
    page.marks.iter().filter_map(|mark| match mark {
        Mark::Text { text, .. } => Some(text.as_str()),
        _ => None,
    })
}

/// Straight lines of a page's content: their lengths in mm, by the operators a reader finds. Drawings lie under maps that
/// turn or mirror and never stretch; one that does would show here.
fn line_lengths(document: &lopdf::Document, page: lopdf::ObjectId) -> Vec<f64> {
    let content = document.get_page_content(page);
    let content = lopdf::content::Content::decode(&content).expect("operators");
    let number = |object: &lopdf::Object| f64::from(object.as_float().expect("a number"));
    let mut from = (0.0, 0.0);
    let mut lengths = Vec::new();
    for operation in content.operations {
        match (operation.operator.as_str(), operation.operands.as_slice()) {
            ("m", [x, y]) => from = (number(x), number(y)),
            ("l", [x, y]) => {
                let to = (number(x), number(y));
                lengths.push(
                    libm::sqrt((to.0 - from.0) * (to.0 - from.0) + (to.1 - from.1) * (to.1 - from.1)) / POINT,
                );
                from = to;
            }
            ("cm", [a, b, c, d, ..]) => {
                let area = number(a) * number(d) - number(b) * number(c);
                assert!((area.abs() - 1.0).abs() < 1e-3, "a map that stretches by {area}");
            }
            _ => {}
        }
    }
    lengths
}

#[test]
fn the_start_line_and_the_check_length_measure_what_they_say_in_the_pdf() {
    let mut house = small_house("Hut");
    for (units, check) in [(Units::Metric, 100.0), (Units::FeetInches, 101.6)] {
        house.plan.units = units;
        let pages = set(&house, &SetOptions::default());
        let at = pages.iter().position(|page| page.title == "Set-out").expect("a set-out sheet");
        let scale: f64 = pages[at].scale.as_deref().and_then(|scale| scale[2..].parse().ok()).expect("1:n");
        let bytes = pdf(&pages, "Hut", "").expect("a PDF");
        let document = lopdf::Document::load_mem(&bytes).expect("lopdf reads the PDF");
        let page = document.get_pages()[&u32::try_from(at + 1).expect("few pages")];
        let lengths = line_lengths(&document, page);
        let holds = |mm: f64| lengths.iter().any(|length| (length - mm).abs() < 0.01);
        // The line is 3980 mm long (4000 less two gaps of 10); 4 in are 101.6 mm.
        assert!(holds(3980.0 / scale), "1:{scale}: {lengths:?}");
        assert!(holds(check), "{check} not among {lengths:?}");
    }
}

#[test]
fn the_pdf_is_tagged_with_a_section_a_title_and_figures_in_words() {
    let house = small_house("Hut");
    let pages = set(&house, &SetOptions::default());
    let bytes = pdf(&pages, "Hut", "").expect("a PDF");
    let document = lopdf::Document::load_mem(&bytes).expect("lopdf reads the PDF");
    let catalog = document.catalog().expect("a catalog");
    let marked =
        catalog.get(b"MarkInfo").and_then(lopdf::Object::as_dict).and_then(|info| info.get(b"Marked"));
    assert!(marked.is_ok_and(|marked| marked.as_bool().is_ok_and(|is| is)), "PDF 32000-1:2008, 14.7.1");
    assert!(catalog.has(b"StructTreeRoot") && catalog.has(b"Lang") && catalog.has(b"Outlines"));
    let elements: Vec<&lopdf::Dictionary> = document
        .objects
        .values()
        .filter_map(|object| object.as_dict().ok())
        .filter(|dict| dict.has(b"S") && dict.has(b"P") && dict.has(b"K"))
        .collect();
    let of = |name: &'static str| {
        elements.iter().filter(move |dict| {
            dict.get(b"S").and_then(lopdf::Object::as_name).is_ok_and(|s| s == name.as_bytes())
        })
    };
    let sheets = pages.iter().map(|page| page.sheets.len()).sum::<usize>();
    let titles = pages.iter().flat_map(|page| page.by_parts().map(move |(part, _)| (page, part)));
    let titles: Vec<&str> =
        titles.filter(|(_, part)| **part == Part::Title).map(|(page, _)| page.title.as_str()).collect();
    assert_eq!(titles.len(), sheets, "{titles:?}");
    assert_eq!(of("H1").count(), sheets);
    assert_eq!(of("Sect").count(), sheets);
    let figures =
        pages.iter().flat_map(|page| &page.parts).filter(|(_, part)| matches!(part, Part::Figure(_)));
    assert_eq!(of("Figure").count(), figures.count());
    assert!(of("Figure").all(|figure| figure.has(b"Alt")), "each figure is told in words");
    // What was a line of a list is a row of a table.
    assert!(of("H2").count() > 5 && of("P").count() + of("TR").count() > 30);
    let kids = |dict: &lopdf::Dictionary| -> Vec<lopdf::Dictionary> {
        let list = match dict.get(b"K") {
            Ok(lopdf::Object::Array(list)) => list.clone(),
            Ok(one) => vec![one.clone()],
            Err(_) => Vec::new(),
        };
        let elements = list.iter().filter_map(|kid| document.get_dictionary(kid.as_reference().ok()?).ok());
        elements.filter(|kid| kid.has(b"S")).cloned().collect()
    };
    let is = |dict: &lopdf::Dictionary, name: &[u8]| {
        dict.get(b"S").and_then(lopdf::Object::as_name).is_ok_and(|s| s == name)
    };
    let attribute = |dict: &lopdf::Dictionary, name: &[u8]| -> Option<lopdf::Object> {
        let found = match dict.get(b"A").ok()? {
            lopdf::Object::Array(list) => list.first()?.as_dict().ok()?.get(name).ok()?,
            one => one.as_dict().ok()?.get(name).ok()?,
        };
        Some(found.clone())
    };
    let mut rows_seen = 0;
    for table in of("Table") {
        let rows: Vec<lopdf::Dictionary> = kids(table).iter().flat_map(kids).collect();
        let columns: Vec<i64> = rows
            .iter()
            .map(|row| {
                assert!(is(row, b"TR"), "a table holds rows");
                let cells = kids(row);
                assert!(cells.iter().all(|cell| is(cell, b"TH") || is(cell, b"TD")));
                // PDF 32000-1:2008, table 349: a head says whether it heads a row or a column.
                let heads = cells.iter().filter(|cell| is(cell, b"TH"));
                assert!(heads.clone().all(|head| attribute(head, b"Scope").is_some()));
                let span =
                    |cell| attribute(cell, b"ColSpan").and_then(|span| span.as_i64().ok()).unwrap_or(1);
                cells.iter().map(span).sum()
            })
            .collect();
        assert!(columns.windows(2).all(|pair| pair[0] == pair[1]), "rows of {columns:?} columns");
        rows_seen += rows.len();
    }
    assert_eq!(rows_seen, of("TR").count());
    // Lay list: heads, and a row for each board.
    assert!(rows_seen > house.floor.boards.len());
}

/// The pages whose title begins so, as one text.
fn text_of(pages: &[Page], title: &str) -> String {
    let own = pages.iter().filter(|page| page.title.starts_with(title));
    own.flat_map(texts).collect::<Vec<_>>().join(" ")
}

/// The text as a reader takes it from the PDF, without spaces.
fn extracted(pages: &[Page]) -> String {
    let bytes = pdf(pages, "Test", "").expect("a PDF");
    let document = lopdf::Document::load_mem(&bytes).expect("lopdf reads the PDF");
    let numbers: Vec<u32> = document.get_pages().keys().copied().collect();
    let text = document.extract_text(&numbers).expect("text");
    text.chars().filter(|c| !c.is_whitespace()).collect()
}

#[test]
fn every_figure_of_the_lists_stands_in_the_pdf() {
    let house = sample(COTTAGE);
    let pages = set(&house, &SetOptions::default());
    let read = extracted(&pages);
    let metric = |length: f64| -> String {
        plan::format_length(length, Units::Metric).chars().filter(|c| !c.is_whitespace()).collect()
    };
    let mut looked_up = 0;
    for table in tables(&house) {
        let column = |key: &str| table.columns.iter().position(|column| column.key == key);
        let (wanted, decimals): (&[&str], f64) = match table.file {
            "pulls" => (&["distance_mm"], 1.0),
            "rips" => (&["least_mm"], 1.0),
            "saw-list" => (&["setting_mm"], 10.0),
            "lay-list" => (&["length_mm", "joint_mm"], 1.0),
            _ => continue,
        };
        for at in wanted.iter().map(|key| column(key).expect("the column")) {
            for row in &table.rows {
                if let Cell::Length(length) = row[at] {
                    let figure = metric((length * decimals).round() / decimals);
                    assert!(read.contains(&figure), "{}: {figure} of {length}", table.file);
                    looked_up += 1;
                }
            }
        }
    }
    assert!(looked_up > 150, "{looked_up}");
    for board in &house.floor.boards {
        assert!(read.contains(&board.label), "{}", board.label);
    }
}

#[test]
fn one_cut_has_one_figure_on_every_list() {
    // Whole millimetres, never longer than the board: 621.5 is set, listed and told as 621 (common practice, no source).
    let house = sample(crate::samples::SAMPLES[0].1);
    let told = crate::told::Told::new(&house);
    let saw = saw_pages(&told);
    let lay = pages_of(crate::lay_sheet::lay_sheet(&told));
    let [saw, lay] = [&saw, &lay].map(|pages| pages.iter().flat_map(texts).collect::<Vec<&str>>());
    let mut seen = 0;
    for board in house.floor.boards.iter().filter(|board| (board.length() % 1.0) > 0.3) {
        if (board.left_end, board.right_end) == (lay::End::Factory, lay::End::Factory) || board.lean != 0.0 {
            continue;
        }
        let length = plan::format_length(board.length().floor(), Units::Metric);
        // In the lay list the figure follows its label; on a bar it stands behind a dot or under it.
        let at = lay.iter().position(|text| *text == board.label);
        if let Some(said) = at.and_then(|at| lay.get(at + 1)) {
            assert!(said.starts_with(&length), "{}: {said}, not {length}", board.label);
            seen += 1;
        }
        let bar = format!("{} · ", board.label);
        for said in saw.iter().filter_map(|text| text.strip_prefix(bar.as_str())) {
            assert_eq!(said, length, "{}", board.label);
            seen += 1;
        }
    }
    assert!(seen > 20, "{seen} figures seen");
}

#[test]
fn drawings_and_what_is_kept_have_the_saws_figure() {
    let (mut drawn, mut kept) = (0, 0);
    for (_, text) in crate::samples::SAMPLES {
        let house = sample(text);
        let options = drawing::Options::laying(10.0, Units::Metric);
        for notch in &house.order.saw.notches {
            let board = &house.floor.boards[notch.board];
            let is_whole = (board.left_end, board.right_end) == (lay::End::Factory, lay::End::Factory);
            // Where nearest and down are two figures: 1164.7 is cut, and told, as 1164.
            if is_whole || board.lean != 0.0 || board.length() % 1.0 < 0.5 || board.length() % 1.0 > 0.999 {
                continue;
            }
            let shown = drawing::board_drawing(&house, notch, &options);
            // Measures along a board stand below it.
            let along = || shown.labels().filter(|label| label.at.y < 0.0);
            let has = |mm: f64| along().any(|label| label.text == plan::format_length(mm, Units::Metric));
            let reaches = notch.outline.iter().any(|p| (p.0 - board.length()).abs() < 0.01);
            if reaches && notch.outline.iter().any(|p| p.0.abs() < 0.01) {
                let said: Vec<&str> = along().map(|label| label.text.as_str()).collect();
                assert!(has(board.length().floor()), "{}, {}: {said:?}", board.label, board.length());
                assert!(!has(board.length().ceil()), "{}, {}: {said:?}", board.label, board.length());
                drawn += 1;
            }
        }
        // What is kept of a board reads alike beside the board and in the list of what is worth keeping.
        let told = crate::told::Told::new(&house);
        let saw = saw_pages(&told);
        let flags = pages_of(crate::flags_sheet::flags_sheet(&told));
        let all = flags.iter().flat_map(texts).collect::<Vec<_>>().join(" ");
        let keeps = saw.iter().flat_map(texts).filter_map(|text| text.strip_prefix("keep "));
        let figure = |text: &str| text.bytes().any(|byte| byte.is_ascii_digit());
        let keeps =
            keeps.flat_map(|text| text.split(" + ")).filter(|text| figure(text) && !text.contains('·'));
        for keep in keeps.take(20) {
            assert!(all.contains(keep), "keep {keep}");
            kept += 1;
        }
    }
    assert!(drawn > 3 && kept > 20, "{drawn} drawn, {kept} kept");
}

#[test]
fn the_set_out_sheet_names_every_step_in_order() {
    // Reviewed by hand: line at 1055, so A and B 1055, C 3000 − 1055 = 1945; 1055 − 10 − 5 · 190 = 95 for the first rip. The
    // triangle: 3 across fit the 1935 above the line for a unit of 600 (1800, 2400, 3000), not of 700. Text spaces are plain.
    let house = small_house("Hut");
    let pages = set(&house, &SetOptions::default());
    let page = pages.iter().find(|page| page.title == "Set-out").expect("a set-out sheet");
    let mut lines = Vec::new();
    for (part, marks) in page.by_parts() {
        if matches!(part, Part::Figure(_) | Part::Aside) {
            continue;
        }
        let words = marks.iter().filter_map(|mark| match mark {
            Mark::Text { text, .. } => Some(text.as_str()),
            _ => None,
        });
        let line = words.collect::<Vec<_>>().join(" ").replace('\u{a0}', " ");
        if !line.is_empty() {
            lines.push(line);
        }
    }
    let golden = include_str!("golden/set-out.txt");
    assert_eq!(lines.join("\n"), golden.trim_end(), "\n{}", lines.join("\n"));
}

/// What leaves the paper or lies over other writing in a list; drawings keep their own writing apart.
fn spoiled(page: &Page) -> Vec<String> {
    let sheet = kurbo::Rect::new(0.0, 0.0, page.width, page.height);
    let mut faults = Vec::new();
    for (part, marks) in page.by_parts() {
        for mark in marks {
            let turned = matches!(mark, Mark::Text { turn, .. } if *turn != 0.0);
            let bounds = mark.bounds();
            if !turned && sheet.union(bounds) != sheet {
                faults.push(format!("{part:?}: {bounds:?} leaves {}", page.title));
            }
        }
    }
    let lists = page.by_parts().filter(|(part, _)| !matches!(part, Part::Figure(_)));
    let boxes: Vec<(kurbo::Rect, &str)> = lists
        .flat_map(|(_, marks)| marks)
        .filter_map(|mark| match mark {
            Mark::Text { text, at, anchor, size, bold, turn, .. } if *turn == 0.0 => {
                let width = font::width(text, *size, *bold);
                let left = match anchor {
                    drawing::Anchor::Start => at.x,
                    drawing::Anchor::Middle => at.x - width / 2.0,
                    drawing::Anchor::End => at.x - width,
                };
                // The bodies of letters: ascenders and tails of neighbouring lines may come close.
                Some((kurbo::Rect::new(left, at.y - 0.5 * size, left + width, at.y), text.as_str()))
            }
            _ => None,
        })
        .collect();
    for (i, (a, first)) in boxes.iter().enumerate() {
        for (b, second) in &boxes[i + 1..] {
            let common = a.intersect(*b);
            if common.width() > 0.05 && common.height() > 0.05 {
                faults.push(format!("{}: {first:?} over {second:?}", page.title));
            }
        }
    }
    faults
}

/// A house with names that no page expects.
fn odd_house() -> House {
    // A plan takes names of up to 100 letters.
    let hundred = |text: &str| text.repeat(20).chars().take(100).collect::<String>();
    let mut plan = Plan::new(hundred("בית קטן עם שם ארוך מאוד 🏡 ").as_str());
    let corners = [(0.0, 0.0), (90_000.0, 0.0), (90_000.0, 1400.0), (0.0, 1400.0)].map(Point::from);
    plan.rooms.push(Room::boarded(hundred("ห้องนั่งเล่น 🛋️ Wohnzimmer ").as_str(), corners));
    plan.stock.name = hundred("Eiche_ohne_ein_einziges_Leerzeichen_");
    pipeline::run(&plan).expect("a sound plan")
}

#[test]
fn nothing_leaves_the_paper_or_lies_over_other_writing() {
    let houses = [small_house("Hut"), sample(COTTAGE), sample(PARLOUR), odd_house()];
    let mut faults: Vec<String> = Vec::new();
    for house in &houses {
        // The larger papers set the same lists in more columns: one house shows that.
        let larger = [(Paper::A3, Units::FeetInches), (Paper::Tabloid, Units::Metric)];
        let larger = if house.plan.name == "Reed Cottage" { larger.as_slice() } else { &[] };
        let smaller = [(Paper::A4, Units::Metric), (Paper::Letter, Units::FeetInches)];
        for (paper, units) in smaller.iter().chain(larger).copied() {
            let mut house = house.clone();
            house.plan.units = units;
            let pages = set(&house, &SetOptions { paper, ..SetOptions::default() });
            let own = pages.iter().flat_map(spoiled).map(|fault| format!("{paper:?} {units:?} {fault}"));
            faults.extend(own);
        }
    }
    assert!(faults.is_empty(), "{} faults\n{}", faults.len(), faults.join("\n"));
}

#[test]
fn every_page_bears_name_revision_date_and_its_number() {
    let house = small_house("Fern hut");
    let options = SetOptions { date: Some("3 May".into()), ..SetOptions::default() };
    let pages = set(&house, &options);
    let revision = crate::revision(&plan::write(&house.plan));
    for (i, page) in pages.iter().enumerate() {
        let foot = texts(page).last().expect("a foot");
        for words in [&revision, "3 May", &format!("page {} of {}", i + 1, pages.len())] {
            assert!(foot.contains(words), "{words} not in {foot}");
        }
        assert!(texts(page).any(|text| text == "Fern hut"), "{}", page.title);
    }
    // Another plan, another mark.
    let other = small_house("Fern hut 2");
    assert_ne!(revision, crate::revision(&plan::write(&other.plan)));
}

#[test]
fn notched_boards_say_what_they_are_cut_from_and_from_where_they_are_measured() {
    let house = sample(COTTAGE);
    let pages = set(&house, &SetOptions::default());
    let text = text_of(&pages, "Saw list");
    for notch in &house.order.saw.notches {
        let board = &house.floor.boards[notch.board];
        assert!(text.contains(&board.label), "{}", board.label);
    }
    for words in ["face up · from", "(factory)", "gap included", "out of board", "tongue", "groove", "kerf 3"]
    {
        assert!(text.contains(words), "{words}");
    }
}

#[test]
fn a_page_looked_at_is_the_page_that_is_printed() {
    let house = small_house("Hut");
    let pages = set(&house, &SetOptions::default());
    let picture = page_picture(&pages[0], 420).expect("a picture");
    // 210 × 297 mm at 2 pixels to a millimetre.
    assert_eq!((picture.width, picture.height), (420, 594));
    assert!(picture.rgba.chunks_exact(4).all(|pixel| pixel[3] == 255), "paper lets nothing through");
    let dark = picture.rgba.chunks_exact(4).filter(|pixel| pixel[0] < 100).count();
    assert!(dark > 500, "{dark} dark pixels");
}

/// Of boards of random lengths nobody knows which a pack holds: whoever saws, lays or buys by a list is told that those on it are
/// drawn, and by what to lay instead.
#[test]
fn lists_of_random_lengths_say_that_these_are_drawn() {
    let mut plan = plan::read(include_str!("../../../sample-plans/one-room.ron")).expect("the sample reads");
    plan.stages =
        vec![plan::Stage { name: "First".into(), rooms: vec!["Bedroom".into()], day: 1, hours: None }];
    for (random, is_told) in [(None, false), (Some((600.0, 2200.0)), true)] {
        if let Some((shortest, longest)) = random {
            plan.stock.lengths.clear();
            plan.stock.random = Some(plan::RandomLengths { shortest, longest, per_pack: 8 });
        }
        let house = pipeline::run(&plan).expect("the sample is sound");
        let pages = set(&house, &SetOptions::default());
        for title in ["Saw list", "Lay list", "Flags and packs"] {
            let text = text_of(&pages, title);
            assert!(!text.is_empty(), "{title}");
            assert_eq!(text.contains("drawn by chance, to"), is_told, "{title}: {text}");
        }
        let packs = text_of(&pages, "Flags and packs");
        assert_eq!(packs.contains("600 to 2\u{a0}200 "), is_told, "{packs}");
        // What is opened for a stage is a number of boards, not a hundred lengths.
        let of_stage = house.stages().stages[0].opened_words(&plan);
        assert_eq!(of_stage.ends_with(" boards"), is_told, "{of_stage}");
        assert!(packs.contains(&of_stage), "{of_stage}: {packs}");
    }
}
