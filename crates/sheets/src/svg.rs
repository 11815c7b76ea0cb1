//! SVG: a page's marks as paths and real text in millimetres.

use crate::font::FAMILY;
use crate::page::{Mark, Page};
use crate::placing::{Placing, extent, marks_of};
use drawing::{Anchor, Drawing, Options, Rgb, floor_drawing};
use kurbo::{BezPath, PathEl, Point};
use pipeline::House;
use std::fmt::Write as _;

/// Room round the floor and its figures, mm.
const OVERHANG: f64 = 5.0;

/// The floor with the layers of `options` as an SVG at 1:`options.scale`.
pub fn floor_svg(house: &House, options: &Options) -> String {
    let scale = if options.scale > 0.0 && options.scale.is_finite() { options.scale } else { 100.0 };
    let units = options.units;
    svg_in(house, &floor_drawing(house, options), scale, units)
}

/// A drawing of the floor as an SVG at the scale it is drawn for.
pub(crate) fn svg_of(house: &House, drawing: &Drawing, scale: f64) -> String {
    svg_in(house, drawing, scale, house.plan.units)
}

fn svg_in(house: &House, drawing: &Drawing, scale: f64, units: plan::Units) -> String {
    let extent = extent(drawing, scale);
    let placing = Placing {
        plan: Point::new(extent.x0 * scale, extent.y1 * scale),
        paper: Point::new(OVERHANG, OVERHANG),
        scale,
    };
    let (width, height) = (extent.width() + 2.0 * OVERHANG, extent.height() + 2.0 * OVERHANG);
    let mut page = Page::new(width, height, house.plan.name.clone());
    page.scale = Some(format!("1:{scale}"));
    page.marks = marks_of(drawing, &placing);
    let about = format!(
        "Floor plan at 1:{scale}: {} boards, start line, rips and flags. Lengths in {}.",
        house.floor.boards.len(),
        match units {
            plan::Units::Metric => "millimetres",
            plan::Units::FeetInches => "feet and inches",
        }
    );
    svg(&page, &about)
}

/// A page as an SVG: a viewBox in millimetres, title and description, writing as text. All writing is
/// escaped, so that no name can break the file.
pub fn svg(page: &Page, description: &str) -> String {
    let (w, h) = (number(page.width), number(page.height));
    let mut out = String::new();
    out.push_str("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n");
    // Writing to a String cannot fail, so results of write! are not kept.
    let _ = writeln!(
        out,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}mm\" height=\"{h}mm\" viewBox=\"0 0 {w} {h}\" \
         font-family=\"{FAMILY}, sans-serif\">"
    );
    let _ = writeln!(out, "<title>{}</title>", escaped(&page.title));
    let _ = writeln!(out, "<desc>{}</desc>", escaped(description));
    let _ = writeln!(out, "<rect width=\"{w}\" height=\"{h}\" fill=\"#ffffff\"/>");
    let mut clips = 0;
    for mark in &page.marks {
        put_mark(&mut out, mark, &mut clips);
    }
    out.push_str("</svg>\n");
    out
}

/// Writes one mark; `clips` counts the rectangles that hold others back.
fn put_mark(out: &mut String, mark: &Mark, clips: &mut usize) {
    match mark {
        Mark::Within { area, marks } => {
            *clips += 1;
            let _ = writeln!(
                out,
                "<clipPath id=\"within-{clips}\"><rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"/></clipPath>\n<g \
                 clip-path=\"url(#within-{clips})\">",
                number(area.x0),
                number(area.y0),
                number(area.width()),
                number(area.height())
            );
            for mark in marks {
                put_mark(out, mark, clips);
            }
            out.push_str("</g>\n");
        }
        Mark::Path { path, fill, even_odd, stroke, dash, id } => {
            out.push_str("<path");
            if let Some(id) = id {
                let _ = write!(out, " id=\"{}\"", escaped(id));
            }
            let _ = write!(out, " d=\"{}\" fill=\"{}\"", data(path), paint(*fill));
            if *even_odd && fill.is_some() {
                out.push_str(" fill-rule=\"evenodd\"");
            }
            if let Some((colour, weight)) = stroke {
                let _ = write!(
                    out,
                    " stroke=\"{}\" stroke-width=\"{}\" stroke-linejoin=\"round\"",
                    paint(Some(*colour)),
                    number(*weight)
                );
                if let Some((on, off)) = dash {
                    let _ = write!(out, " stroke-dasharray=\"{} {}\"", number(*on), number(*off));
                }
            }
            out.push_str("/>\n");
        }
        Mark::Text { text, at, anchor, size, bold, colour, turn } => {
            let (x, y) = (number(at.x), number(at.y));
            let _ = write!(out, "<text x=\"{x}\" y=\"{y}\" font-size=\"{}\"", number(*size));
            if *bold {
                out.push_str(" font-weight=\"600\"");
            }
            match anchor {
                Anchor::Start => {}
                Anchor::Middle => out.push_str(" text-anchor=\"middle\""),
                Anchor::End => out.push_str(" text-anchor=\"end\""),
            }
            if *turn != 0.0 {
                let _ = write!(out, " transform=\"rotate({} {x} {y})\"", number(-*turn));
            }
            let _ = writeln!(out, " fill=\"{}\">{}</text>", paint(Some(*colour)), escaped(text));
        }
    }
}

fn paint(colour: Option<Rgb>) -> String {
    colour.map_or_else(|| "none".into(), |Rgb(r, g, b)| format!("#{r:02x}{g:02x}{b:02x}"))
}

/// A number to a thousandth, without trailing zeros; what is no number becomes 0, which SVG can read.
fn number(value: f64) -> String {
    if !value.is_finite() {
        return "0".into();
    }
    let text = format!("{value:.3}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".into() } else { text.into() }
}

fn data(path: &BezPath) -> String {
    let mut out = String::new();
    let mut put = |letter: char, points: &[Point]| {
        out.push(letter);
        for (i, p) in points.iter().enumerate() {
            if i > 0 {
                out.push(' ');
            }
            let _ = write!(out, "{} {}", number(p.x), number(p.y));
        }
    };
    for element in path.elements() {
        match *element {
            PathEl::MoveTo(p) => put('M', &[p]),
            PathEl::LineTo(p) => put('L', &[p]),
            PathEl::QuadTo(a, p) => put('Q', &[a, p]),
            PathEl::CurveTo(a, b, p) => put('C', &[a, b, p]),
            PathEl::ClosePath => put('Z', &[]),
        }
    }
    out
}

/// Text as XML character data or attribute value: the five marks escaped, characters XML 1.0 does not
/// allow left out (XML 1.0, production 2, Char).
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            '\t' | '\n' | '\r' => out.push(' '),
            c if c < ' ' || c == '\u{fffe}' || c == '\u{ffff}' => {}
            c => out.push(c),
        }
    }
    out
}
