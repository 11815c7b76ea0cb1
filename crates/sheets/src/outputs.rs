//! Outputs read back by other libraries: PDF by lopdf, SVG by usvg and roxmltree, PNG by image.

use crate::testing::small_house;
use crate::{
    Mark, Output, PngSize, SetOptions, SheetError, WriteOptions, floor_svg, font, pdf, png, revision, set,
    write_set,
};
use drawing::Options;
use plan::Units;
use resvg::usvg;

const HOSTILE: &str = "Höh & <Söhne> \"O'Hut\" ]]> 🏠 בית \u{202e}x\u{0}\u{7}\u{1b}\u{ffff}\ttab\nline";

fn usvg_tree(svg: &str) -> usvg::Tree {
    let mut options = usvg::Options::default();
    for bold in [false, true] {
        options.fontdb_mut().load_font_data(font::bytes(bold).to_vec());
    }
    usvg::Tree::from_str(svg, &options).expect("usvg reads the SVG")
}

fn find_path<'a>(group: &'a usvg::Group, id: &str) -> Option<&'a usvg::Path> {
    group.children().iter().find_map(|node| match node {
        usvg::Node::Path(path) if path.id() == id => Some(path.as_ref()),
        usvg::Node::Group(group) => find_path(group, id),
        _ => None,
    })
}

/// The one file of a kind.
fn written(house: &pipeline::House, output: Output) -> Vec<u8> {
    let options = WriteOptions { outputs: [output].into(), ..WriteOptions::default() };
    write_set(house, &options).expect("a set").swap_remove(0).bytes
}

fn text_of_pdf(bytes: &[u8]) -> (usize, String) {
    let document = lopdf::Document::load_mem(bytes).expect("lopdf reads the PDF");
    let pages: Vec<u32> = document.get_pages().keys().copied().collect();
    let text = document.extract_text(&pages).expect("lopdf extracts the text");
    (pages.len(), text.replace('\n', ""))
}

#[test]
fn the_pdf_holds_its_pages_pulls_and_first_rip_as_text() {
    let house = small_house("Fern hut");
    let options = SetOptions { date: Some("3 May".into()), ..SetOptions::default() };
    let pages = set(&house, &options);
    let bytes = pdf(&pages, &house.plan.name, "test").expect("a PDF");
    let (count, text) = text_of_pdf(&bytes);
    assert_eq!(count, pages.len());
    // Pulls worked by hand: line at 1055; A and B at 0, C at 3000.
    let dense: String = text.chars().filter(|c| !c.is_whitespace()).collect();
    for words in ["Apull1055", "Bpull1055", "Cpull1945", "Firstrip:keep95,take95off.", "3May", "Fernhut"] {
        assert!(dense.contains(words), "{words} not in {text}");
    }
    assert!(text.contains(&format!("page 1 of {count}")));
    for sheet in ["Set-out", "Floor", "Saw list", "Lay list", "Flags and packs"] {
        assert!(pages.iter().flat_map(|page| &page.sheets).any(|(name, _)| name == sheet), "{sheet}");
    }
}

#[test]
fn the_pdf_embeds_its_fonts_and_is_the_same_every_time() {
    let house = small_house("Fern hut");
    let write = || pdf(&set(&house, &SetOptions::default()), "Fern hut", "").expect("a PDF");
    let bytes = write();
    assert_eq!(bytes, write());
    let document = lopdf::Document::load_mem(&bytes).expect("lopdf reads the PDF");
    let embedded = document
        .objects
        .values()
        .filter_map(|object| object.as_dict().ok())
        .filter(|dict| dict.has(b"FontFile3") || dict.has(b"FontFile2"))
        .count();
    assert_eq!(embedded, 2, "regular and semi-bold");
}

#[test]
fn a_boards_row_measures_on_paper_what_the_plan_says_over_the_scale() {
    let house = small_house("Hut");
    for scale in [20.0, 50.0, 75.0] {
        let svg = floor_svg(&house, &Options::all(scale, Units::Metric));
        let tree = usvg_tree(&svg);
        let line = find_path(tree.root(), "start-line").expect("a start line");
        // The line is 3980 mm long; usvg measures in CSS pixels, 96 to 25.4 mm.
        let drawn = f64::from(line.abs_bounding_box().width()) * 25.4 / 96.0;
        assert!((drawn - 3980.0 / scale).abs() < 0.01, "{drawn} at 1:{scale}");
    }
}

#[test]
fn hostile_names_survive_every_output() {
    let mut house = small_house(HOSTILE);
    house.plan.rooms[0].name = HOSTILE.into();
    house.plan.fixtures[0].name = "<![CDATA[".into();
    house.plan.stock.name = HOSTILE.into();
    house.flags[0].place = HOSTILE.into();
    house.order.saw.notches[0].round = HOSTILE.into();
    let svg = String::from_utf8(written(&house, Output::Svg)).expect("text");
    let xml = usvg::roxmltree::Document::parse(&svg).expect("well-formed XML");
    let title = xml.descendants().find(|node| node.has_tag_name("title")).and_then(|node| node.text());
    assert_eq!(title, Some("Höh & <Söhne> \"O'Hut\" ]]> 🏠 בית \u{202e}x tab line"));
    assert!(
        xml.descendants()
            .filter(|node| node.has_tag_name("text"))
            .filter_map(|node| node.text())
            .any(|text| text.starts_with("Höh & <Söhne>")),
        "the room's name is written"
    );
    let (_, text) = text_of_pdf(&written(&house, Output::Pdf));
    assert!(text.contains("Höh & <Söhne>"), "{text}");
}

#[test]
fn the_picture_decodes_and_shows_wood_walls_and_chalk() {
    let house = small_house("Hut");
    let picture =
        image::load_from_memory(&written(&house, Output::Png)).expect("image decodes the PNG").to_rgb8();
    assert_eq!(picture.width(), 2400);
    let share = |is: fn(u8, u8, u8) -> bool| {
        let count = picture.pixels().filter(|p| is(p.0[0], p.0[1], p.0[2])).count();
        count as f64 / f64::from(picture.width() * picture.height())
    };
    assert!(share(|r, g, b| r > 200 && b < 215 && r > b + 20 && g < r) > 0.2, "wood");
    assert!(share(|r, g, b| r < 80 && g < 80 && b < 80) > 0.01, "walls");
    assert!(share(|r, _, b| b > 120 && r < 80) > 0.0005, "the chalk line");
}

#[test]
fn pictures_of_no_size_or_far_too_large_are_refused_by_name() {
    let svg = floor_svg(&small_house("Hut"), &Options::all(50.0, Units::Metric));
    for size in [
        PngSize::PerMillimetre(0.0),
        PngSize::PerMillimetre(f64::NAN),
        PngSize::PerMillimetre(1e9),
        PngSize::Width(0),
        PngSize::Width(u32::MAX),
    ] {
        assert!(matches!(png(&svg, size), Err(SheetError::PictureSize { .. })), "{size:?}");
    }
    assert!(matches!(png("no svg", PngSize::Width(10)), Err(SheetError::Svg(_))));
}

#[test]
fn everything_on_every_page_stays_on_the_paper() {
    let house = small_house(
        "A house with a name that is far too long for the foot of any sheet of paper ".repeat(4).as_str(),
    );
    for paper in [crate::Paper::A4, crate::Paper::A3, crate::Paper::Letter, crate::Paper::Tabloid] {
        for page in set(&house, &SetOptions { paper, ..SetOptions::default() }) {
            for mark in &page.marks {
                let (area, what) = match mark {
                    // Of what lies within a rectangle only that shows.
                    Mark::Within { area, .. } => (*area, "a part of a drawing"),
                    Mark::Path { path, .. } => (kurbo::Shape::bounding_box(path), "a path"),
                    Mark::Text { text, at, anchor, size, bold, turn, .. } => {
                        let width = font::width(text, *size, *bold);
                        let left = match anchor {
                            drawing::Anchor::Start => at.x,
                            drawing::Anchor::Middle => at.x - width / 2.0,
                            drawing::Anchor::End => at.x - width,
                        };
                        if *turn != 0.0 {
                            continue;
                        }
                        (kurbo::Rect::new(left, at.y - size, left + width, at.y), text.as_str())
                    }
                };
                let sheet = kurbo::Rect::new(0.0, 0.0, page.width, page.height);
                assert!(sheet.union(area) == sheet, "{what} at {area:?} leaves {} {paper:?}", page.title);
            }
        }
    }
}

#[test]
fn the_revision_is_stable_and_tells_texts_apart() {
    // FNV-1a 64 of "a" is af63dc4c8601ec8c (the authors' published test value, from memory).
    assert_eq!(revision("a"), format!("{:08x}", 0xaf63_dc4c_u32 ^ 0x8601_ec8c));
    assert_ne!(revision("a"), revision("b"));
}
