//! The PDF as another program has it: poppler draws its pages, which are then measured in pixels, and reads out its
//! structure. Needs `pdftoppm` and `pdfinfo` (Debian's poppler-utils).

use crate::testing::small_house;
use crate::{Mark, Page, Paper, SetOptions, pdf, set};
use image::RgbImage;
use plan::Units;
use std::path::{Path, PathBuf};
use std::process::Command;

/// Pixels to an inch of 25.4 mm.
const DPI: f64 = 160.0;
/// A measure may be off by so many pixels: each of its ends falls somewhere in one.
const OFF: f64 = 2.0;

/// Ticks stand with their middles on a line's ends: half of one lies past each, mm of paper.
const TICK: f64 = 0.35;

/// A folder of its own for a test, taken away at the end.
struct Folder(PathBuf);

impl Folder {
    fn new(name: &str) -> Self {
        let path = std::env::temp_dir().join(format!("startrow-poppler-{name}-{}", std::process::id()));
        std::fs::create_dir_all(&path).expect("a folder");
        Self(path)
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

fn run(program: &str, arguments: &[&str], file: &Path) -> Vec<u8> {
    let mut command = Command::new(program);
    let output = command.args(arguments).arg(file).output();
    let output = output.unwrap_or_else(|error| panic!("{program}: {error}; install poppler-utils"));
    assert!(output.status.success(), "{program}: {}", String::from_utf8_lossy(&output.stderr));
    output.stdout
}

/// A page drawn by poppler.
fn drawn(file: &Path, page: usize) -> RgbImage {
    let number = (page + 1).to_string();
    let dpi = DPI.to_string();
    let png = run("pdftoppm", &["-png", "-r", &dpi, "-f", &number, "-l", &number], file);
    image::load_from_memory(&png).expect("a picture").to_rgb8()
}

fn pixels(mm: f64) -> f64 {
    mm / 25.4 * DPI
}

/// The longest run of pixels of a kind in some lines of a picture: its length.
fn longest(picture: &RgbImage, lines: std::ops::Range<f64>, is: impl Fn([u8; 3]) -> bool) -> f64 {
    let mut best = 0_u32;
    for y in lines.start as u32..(lines.end as u32).min(picture.height()) {
        let mut length = 0;
        for x in 0..picture.width() {
            length = if is(picture.get_pixel(x, y).0) { length + 1 } else { 0 };
            best = best.max(length);
        }
    }
    f64::from(best)
}

fn is_dark([r, g, b]: [u8; 3]) -> bool {
    u32::from(r) + u32::from(g) + u32::from(b) < 3 * 110
}

/// Whether two dark stretches of a line of the picture, each at least `thick` pixels long, stand so far apart.
fn stands_apart(picture: &RgbImage, y: u32, thick: u32, apart: f64) -> bool {
    let mut dark: Vec<(u32, u32)> = Vec::new();
    let mut from = None;
    for x in 0..picture.width() {
        match (is_dark(picture.get_pixel(x, y).0), from) {
            (true, None) => from = Some(x),
            (false, Some(start)) => {
                if x - start >= thick {
                    dark.push((start, x));
                }
                from = None;
            }
            _ => {}
        }
    }
    let mut pairs = dark.iter().enumerate().flat_map(|(i, a)| dark[i + 1..].iter().map(move |b| (a, b)));
    pairs.any(|(a, b)| (f64::from(b.0 - a.1) - apart).abs() <= OFF)
}

/// The height on the page of the writing that contains some words, mm.
fn height_of(page: &Page, words: &str) -> f64 {
    let mut texts = page.marks.iter().filter_map(|mark| match mark {
        Mark::Text { text, at, .. } if text.contains(words) => Some(at.y),
        _ => None,
    });
    texts.next().unwrap_or_else(|| panic!("{words} is not on {}", page.title))
}

#[test]
fn lengths_on_the_drawn_page_are_those_of_the_plan_over_the_scale() {
    let folder = Folder::new("lengths");
    let file = folder.0.join("sheets.pdf");
    let mut house = small_house("Hut");
    // 100 mm or 4 in of paper; bars of metres or feet.
    for (paper, units, check, unit) in
        [(Paper::A4, Units::Metric, 100.0, 1000.0), (Paper::Letter, Units::FeetInches, 101.6, 304.8)]
    {
        house.plan.units = units;
        let pages = set(&house, &SetOptions { paper, ..SetOptions::default() });
        std::fs::write(&file, pdf(&pages, "Hut", "").expect("a PDF")).expect("written");
        let mut rooms_seen = 0;
        for (index, page) in pages.iter().enumerate().filter(|(_, page)| page.scale.is_some()) {
            let scale: f64 = page.scale.as_deref().and_then(|scale| scale[2..].parse().ok()).expect("1:n");
            let picture = drawn(&file, index);
            let size = [page.width, page.height].map(pixels);
            let picture_size = [picture.width(), picture.height()].map(f64::from);
            assert!(size.iter().zip(picture_size).all(|(a, b)| (a - b).abs() <= 1.0), "{picture_size:?}");
            let near = |what: &str, found: f64, mm: f64| {
                let expected = pixels(mm);
                assert!(
                    (found - expected).abs() <= OFF,
                    "{}, {paper:?}, 1:{scale}: {what} is {found} pixels, not {expected:.1}",
                    page.title
                );
                // Were the scale out by one part in a hundred, this would show it.
                assert!(expected * 0.01 > OFF, "{what} is too short to show it: {expected}");
            };
            if page.title != "Your floor" {
                // The check length stands a little over its words, alone to the right of the bar.
                let words = pixels(height_of(page, "this line measures"));
                let found = longest(&picture, words - pixels(5.6)..words - pixels(4.4), is_dark);
                near("the check length", found, check + TICK);
            }
            // The room is 4000 × 3000 mm between its walls' faces. Figures and letters stand in the way on some lines of the
            // picture: more than two of three must show its width.
            let thick = pixels(92.0 / scale * 0.6) as u32;
            let wide = pixels(4000.0 / scale);
            assert!(wide * 0.01 > OFF, "{wide}");
            let as_wide = (0..picture.height()).filter(|y| stands_apart(&picture, *y, thick, wide)).count();
            let high = pixels(3000.0 / scale);
            assert!(
                as_wide as f64 > high * 2.0 / 3.0,
                "{}, 1:{scale}: {as_wide} of {high:.0} lines show a room {wide:.0} pixels wide",
                page.title
            );
            rooms_seen += 1;
            if page.title == "Set-out" {
                // Nothing else is as blue as chalk: 3980 mm between the gaps, its ends half under the pulls' ticks.
                let is_chalk = |[r, _, b]: [u8; 3]| b > 120 && i32::from(b) - i32::from(r) > 60;
                let found = longest(&picture, 0.0..picture_size[1], is_chalk);
                near("the start line", found, 3980.0 / scale - TICK);
                // The bar's last figure names its length.
                let bar = bar_of(page, unit);
                let words = pixels(height_of(page, if unit > 999.0 { " m" } else { " ft" }));
                let found = longest(&picture, words - pixels(5.4)..words - pixels(4.6), is_dark);
                // The check length on the same line may be the longer one.
                assert!(
                    (found - pixels(check + TICK)).abs() <= OFF
                        || (found - pixels(bar / scale + TICK)).abs() <= OFF
                );
                let left = image::imageops::crop_imm(
                    &picture,
                    0,
                    0,
                    pixels(20.0 + 4.0 + bar / scale + 2.0) as u32,
                    picture.height(),
                );
                let found = longest(&left.to_image(), words - pixels(5.4)..words - pixels(4.6), is_dark);
                near("the scale bar", found, bar / scale + TICK);
            }
        }
        assert!(rooms_seen >= 3, "the room was measured on {rooms_seen} pages");
    }
}

/// The length the scale bar says, plan mm.
fn bar_of(page: &Page, unit: f64) -> f64 {
    let name = if unit > 999.0 { " m" } else { " ft" };
    let mut figures = page.marks.iter().filter_map(|mark| match mark {
        Mark::Text { text, .. } => text.strip_suffix(name)?.parse::<f64>().ok(),
        _ => None,
    });
    figures.next().expect("a bar") * unit
}

#[test]
fn lists_are_tables_with_heads_to_whoever_has_them_read_out() {
    let folder = Folder::new("tables");
    let file = folder.0.join("sheets.pdf");
    let house = small_house("Hut");
    let pages = set(&house, &SetOptions::default());
    std::fs::write(&file, pdf(&pages, "Hut", "").expect("a PDF")).expect("written");
    let text = String::from_utf8(run("pdfinfo", &["-struct-text"], &file)).expect("text");
    // What it reads out of the lay list: the heads of its columns, then board after board.
    let list =
        text.split("\"Lay list\"").nth(1).and_then(|rest| rest.split("H1 (").next()).expect("a lay list");
    let words: Vec<&str> = list.lines().map(str::trim).filter(|line| !line.is_empty()).collect();
    let after = |start: &[&str]| words.windows(start.len()).position(|window| window == start);
    let head = ["Table (block)", "THead", "TR", "TH:", "/Scope /Column", "\"row, pulled from\""];
    assert!(after(&head).is_some(), "{words:#?}");
    // Row 7, the first above the line: cut at 1300 from its end, so 1310 from the wall with its gap of 10.
    let row = [
        "TH:",
        "/Scope /Row",
        "\"Row 7 from Snug, wall 4\"",
        "TD",
        "\"7-1\"",
        "TD",
        "\"1\u{a0}300\"",
        "TD",
        "\"1\u{a0}310\"",
    ];
    assert!(after(&row).is_some(), "{words:#?}");
    // A line of a list that was broken is read with a space where it was.
    let slab = text.split("\"Old adhesive\"").nth(1).expect("a point of the slab's list");
    assert!(slab.contains("ground or scraped"), "{slab}");
    let info = String::from_utf8(run("pdfinfo", &[], &file)).expect("text");
    assert!(info.lines().any(|line| line.starts_with("Tagged:") && line.ends_with("yes")), "{info}");
}
