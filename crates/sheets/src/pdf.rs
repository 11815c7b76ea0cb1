//! PDF: pages with embedded fonts and text that can be selected and searched.

use crate::page::{Mark, Page, Part, clean};
use crate::shaping::Shaper;
use crate::tagging::Structure;
use crate::{SheetError, font};
use drawing::{Anchor, Rgb};
use krilla::color::rgb;
use krilla::destination::XyzDestination;
use krilla::geom::{Path, PathBuilder, Point, Transform};
use krilla::metadata::Metadata;
use krilla::num::NormalizedF32;
use krilla::outline::{Outline, OutlineNode};
use krilla::page::PageSettings;
use krilla::paint::{Fill, FillRule, LineCap, LineJoin, Stroke, StrokeDash};
use krilla::surface::Surface;
use krilla::tagging::{Artifact, ArtifactType, ContentTag, Identifier, SpanTag};
use krilla::{Document, SerializeSettings};
use kurbo::{BezPath, PathEl};
use std::borrow::Borrow;

/// Points to a millimetre.
const POINT: f64 = 72.0 / 25.4;

/// Writes pages as a PDF with a title, one bookmark for each sheet and a tagged structure: a section a sheet, in it its
/// title, headings, lines, figures and tables in the order of reading. The same pages give the same bytes.
///
/// # Errors
/// [`SheetError::Font`] for damaged assets, [`SheetError::PageSize`] for a page of no size,
/// [`SheetError::Pdf`] where the writer refuses.
pub fn pdf(pages: &[Page], title: &str, subject: &str) -> Result<Vec<u8>, SheetError> {
    pdf_of(pages, title, subject)
}

/// The same of pages that are given away: each goes as soon as it is drawn.
pub(crate) fn pdf_of<P: Borrow<Page>>(
    pages: impl IntoIterator<Item = P>,
    title: &str,
    subject: &str,
) -> Result<Vec<u8>, SheetError> {
    let mut shaper = Shaper::new()?;
    let mut document = Document::new_with(SerializeSettings { enable_tagging: true, ..Default::default() });
    document.set_metadata(
        Metadata::new()
            .title(clean(title))
            .description(clean(subject))
            .creator("Startrow".into())
            .producer("Startrow".into())
            .language("en".into()),
    );
    let mut outline = Outline::new();
    let mut structure = Structure::new();
    for (i, page) in pages.into_iter().enumerate() {
        let page: &Page = page.borrow();
        let too_odd = SheetError::PageSize { number: i + 1, width: page.width, height: page.height };
        let settings = PageSettings::from_wh((page.width * POINT) as f32, (page.height * POINT) as f32)
            .ok_or(too_odd)?;
        let mut sheet = document.start_page_with(settings);
        let mut surface = sheet.surface();
        for (part, marks) in page.by_parts() {
            if *part == Part::Title {
                structure.begin_sheet();
            }
            let read = draw_part(&mut surface, part, marks, &mut shaper);
            structure.add(part, read);
        }
        surface.finish();
        sheet.finish();
        for (name, down) in &page.sheets {
            let place = Point::from_xy(0.0, (down * POINT) as f32);
            outline.push_child(OutlineNode::new(clean(name), XyzDestination::new(i, place)));
        }
    }
    document.set_tag_tree(structure.finish());
    document.set_outline(outline);
    document.finish().map_err(|error| SheetError::Pdf(format!("{error:?}")))
}

/// Draws a part and gives what is read of it: its writing, of a figure the drawing too.
fn draw_part(surface: &mut Surface<'_>, part: &Part, marks: &[Mark], shaper: &mut Shaper) -> Vec<Identifier> {
    let reads_drawings = matches!(part, Part::Figure(_));
    let is_aside = *part == Part::Aside;
    let mut read: Vec<Identifier> = Vec::new();
    let is_read = |mark: &Mark| !is_aside && (reads_drawings || matches!(mark, Mark::Text { .. }));
    // Marks of one kind in a row share one tag: they cannot be nested.
    for stretch in marks.chunk_by(|a, b| is_read(a) == is_read(b)) {
        let is_read = stretch.first().is_some_and(is_read);
        let id = surface.start_tagged(match (is_read, reads_drawings) {
            (false, _) => ContentTag::Artifact(Artifact::with_kind(ArtifactType::Other)),
            (true, true) => ContentTag::Other,
            (true, false) => ContentTag::Span(SpanTag::empty()),
        });
        for (i, mark) in stretch.iter().enumerate() {
            // Lines that follow one another are read with a space between.
            let goes_on = stretch.get(i + 1).is_some_and(|next| matches!(next, Mark::Text { .. }));
            draw(surface, mark, shaper, goes_on);
        }
        surface.end_tagged();
        if is_read {
            read.push(id);
        }
    }
    read
}

/// Draws a mark; a space is written after writing that goes on.
fn draw(surface: &mut Surface<'_>, mark: &Mark, shaper: &mut Shaper, goes_on: bool) {
    match mark {
        Mark::Within { area, marks } => {
            let Some(window) = points(&kurbo::Shape::to_path(area, 0.01)) else { return };
            surface.push_clip_path(&window, &FillRule::NonZero);
            for mark in marks {
                draw(surface, mark, shaper, false);
            }
            surface.pop();
        }
        Mark::Path { path, fill, even_odd, stroke, dash, .. } => {
            let Some(path) = points(path) else { return };
            let rule = if *even_odd { FillRule::EvenOdd } else { FillRule::NonZero };
            surface.set_fill(fill.map(|colour| Fill { rule, ..ink(colour) }));
            surface.set_stroke(stroke.map(|(colour, weight)| Stroke {
                paint: paint(colour),
                width: (weight * POINT) as f32,
                line_cap: LineCap::Butt,
                line_join: LineJoin::Round,
                dash: dash.map(|(on, off)| StrokeDash {
                    array: vec![(on * POINT) as f32, (off * POINT) as f32],
                    offset: 0.0,
                }),
                ..Default::default()
            }));
            // A path without either would be filled black.
            if fill.is_some() || stroke.is_some() {
                surface.draw_path(&path);
            }
        }
        Mark::Text { text, at, anchor, size, bold, colour, turn } => {
            let width = font::width(text, *size, *bold);
            let lead = match anchor {
                Anchor::Start => 0.0,
                Anchor::Middle => -width / 2.0,
                Anchor::End => -width,
            };
            surface.set_fill(Some(ink(*colour)));
            surface.set_stroke(None);
            let radians = turn.to_radians();
            let (sin, cos) = (libm::sin(radians) as f32, libm::cos(radians) as f32);
            let (x, y) = ((at.x * POINT) as f32, (at.y * POINT) as f32);
            surface.push_transform(&Transform::from_row(cos, -sin, sin, cos, x, y));
            // Writing from right to left would be moved by it.
            let spaced = goes_on && text.chars().all(|c| c < '\u{590}');
            let with_space = if spaced { format!("{text} ") } else { String::new() };
            let text = if spaced { &with_space } else { text };
            let (glyphs, font) = shaper.shape(text, *bold);
            let start = Point::from_xy((lead * POINT) as f32, 0.0);
            surface.draw_glyphs(start, &glyphs, font, text, (size * POINT) as f32, false);
            surface.pop();
        }
    }
}

fn paint(Rgb(r, g, b): Rgb) -> krilla::paint::Paint {
    rgb::Color::new(r, g, b).into()
}

fn ink(colour: Rgb) -> Fill {
    Fill { paint: paint(colour), opacity: NormalizedF32::ONE, rule: FillRule::NonZero }
}

/// A path in points; `None` for one without extent or with coordinates that are no numbers.
fn points(path: &BezPath) -> Option<Path> {
    if !path.is_finite() || path.elements().len() < 2 {
        return None;
    }
    let mut out = PathBuilder::new();
    let p = |p: kurbo::Point| ((p.x * POINT) as f32, (p.y * POINT) as f32);
    for element in path.elements() {
        match *element {
            PathEl::MoveTo(a) => out.move_to(p(a).0, p(a).1),
            PathEl::LineTo(a) => out.line_to(p(a).0, p(a).1),
            PathEl::QuadTo(a, b) => out.quad_to(p(a).0, p(a).1, p(b).0, p(b).1),
            PathEl::CurveTo(a, b, c) => out.cubic_to(p(a).0, p(a).1, p(b).0, p(b).1, p(c).0, p(c).1),
            PathEl::ClosePath => out.close(),
        }
    }
    out.finish()
}
