//! A page: marks in paper millimetres, x right and y down from the top left corner.

use crate::font;
use drawing::{Anchor, Rgb};
use kurbo::{Affine, BezPath, Line, Point, Rect, Shape};

/// One mark on a page.
#[derive(Debug, Clone, PartialEq)]
pub enum Mark {
    /// A filled or drawn path.
    Path {
        /// Paper mm.
        path: BezPath,
        /// Colour inside.
        fill: Option<Rgb>,
        /// Whether the inside is told by the even-odd rule instead of the non-zero one.
        even_odd: bool,
        /// Colour and weight (mm) of the line.
        stroke: Option<(Rgb, f64)>,
        /// Dashes of the line: drawn and left out, mm.
        dash: Option<(f64, f64)>,
        /// Name of the thing in an SVG.
        id: Option<String>,
    },
    /// One line of writing.
    Text {
        /// The words, free of control characters.
        text: String,
        /// Point on the baseline.
        at: Point,
        /// How the writing stands to it.
        anchor: Anchor,
        /// Type size (em), mm.
        size: f64,
        /// Semi-bold instead of regular.
        bold: bool,
        /// Colour.
        colour: Rgb,
        /// Turn, degrees anticlockwise.
        turn: f64,
    },
    /// Marks of which only what lies in a rectangle shows.
    Within {
        /// The rectangle, paper mm.
        area: Rect,
        /// The marks.
        marks: Vec<Mark>,
    },
}

impl Mark {
    /// The upright box round a mark, paper mm; of writing, all that its turn may sweep.
    pub(crate) fn bounds(&self) -> Rect {
        match self {
            Self::Path { path, stroke, .. } => {
                let weight = stroke.map_or(0.0, |(_, weight)| weight);
                path.bounding_box().inflate(weight, weight)
            }
            Self::Text { text, at, anchor, size, bold, turn, .. } => {
                let width = font::width(text, *size, *bold);
                let left = match anchor {
                    Anchor::Start => 0.0,
                    Anchor::Middle => -width / 2.0,
                    Anchor::End => -width,
                };
                let own = Rect::new(left, -size, left + width, 0.3 * size);
                if *turn == 0.0 {
                    return own + at.to_vec2();
                }
                // Turned to the left on a page whose y runs down.
                let turned = Affine::rotate(-turn.to_radians()).then_translate(at.to_vec2());
                turned.transform_rect_bbox(own)
            }
            Self::Within { area, .. } => *area,
        }
    }
}

/// What a stretch of a page's marks is, for programs that read a page aloud.
#[derive(Debug, Clone, PartialEq)]
pub enum Part {
    /// The head of a sheet.
    Title,
    /// A heading in it.
    Heading,
    /// Lines that belong together; what is drawn among them is passed over.
    Lines,
    /// A drawing, with what it shows in words.
    Figure(String),
    /// A cell of a table.
    Cell(Cell),
    /// What stands on every page, passed over.
    Aside,
}

/// A cell of a table. Stretches of one place belong to one cell; a table goes on over pages until something else is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Cell {
    /// Which table of its sheet, counted from 1.
    pub table: usize,
    /// Row; 0 holds the heads of the columns.
    pub row: usize,
    /// Column, from 0.
    pub column: usize,
    /// How many columns it takes.
    pub span: usize,
    /// Whether it says what its row is about.
    pub heads_row: bool,
}

/// A page.
#[derive(Debug, Clone, PartialEq)]
pub struct Page {
    /// mm.
    pub width: f64,
    /// mm.
    pub height: f64,
    /// What the page is, shown in its head.
    pub title: String,
    /// The sheets that begin on this page, each with how far down, mm: for the PDF's bookmarks.
    pub sheets: Vec<(String, f64)>,
    /// Scale of the plan on it, such as `1:75`.
    pub scale: Option<String>,
    /// Marks from the bottom up.
    pub marks: Vec<Mark>,
    /// Where each part of the marks begins, in order; marks before the first are lines.
    pub parts: Vec<(usize, Part)>,
}

/// Nearer to the paper's edge than this no writing goes, mm.
const EDGE: f64 = 6.0;

/// How writing looks.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Type {
    pub(crate) size: f64,
    pub(crate) bold: bool,
    pub(crate) colour: Rgb,
}

impl Type {
    pub(crate) fn plain(size: f64) -> Self {
        Self { size, bold: false, colour: Rgb::INK }
    }

    pub(crate) fn bold(size: f64) -> Self {
        Self { size, bold: true, colour: Rgb::INK }
    }

    pub(crate) fn quiet(size: f64) -> Self {
        Self { size, bold: false, colour: Rgb::QUIET }
    }

    pub(crate) fn width(self, text: &str) -> f64 {
        font::width(text, self.size, self.bold)
    }

    pub(crate) fn wrapped(self, text: &str, room: f64) -> Vec<String> {
        font::wrapped(&clean(text), self.size, self.bold, room)
    }
}

impl Page {
    /// An empty page.
    pub(crate) fn new(width: f64, height: f64, title: impl Into<String>) -> Self {
        Self {
            width,
            height,
            title: title.into(),
            sheets: Vec::new(),
            scale: None,
            marks: Vec::new(),
            parts: Vec::new(),
        }
    }

    /// What stands on the page: its title, and the sheets that begin lower down.
    pub fn names(&self) -> String {
        let lower = self.sheets.iter().map(|(name, _)| name.as_str()).filter(|name| *name != self.title);
        std::iter::once(self.title.as_str()).chain(lower).collect::<Vec<_>>().join(", ")
    }

    /// Begins a part: the marks that follow belong to it.
    pub(crate) fn begin(&mut self, part: Part) {
        let from = self.marks.len();
        // A part without marks gives way to the next.
        if self.parts.last().is_some_and(|(last, _)| *last == from) {
            self.parts.pop();
        }
        self.parts.push((from, part));
    }

    /// The parts with their marks, in order.
    pub fn by_parts(&self) -> impl Iterator<Item = (&Part, &[Mark])> {
        let first = self.parts.first().map_or(self.marks.len(), |(from, _)| *from);
        let ends = self.parts.iter().skip(1).map(|(from, _)| *from).chain([self.marks.len()]);
        let lead = self.marks.get(..first).filter(|marks| !marks.is_empty());
        let rest = self.parts.iter().zip(ends);
        lead.map(|marks| (&Part::Lines, marks))
            .into_iter()
            .chain(rest.filter_map(|((from, part), end)| Some((part, self.marks.get(*from..end)?))))
    }

    /// Writes one line from its left end on the baseline.
    pub(crate) fn write(&mut self, text: &str, x: f64, y: f64, kind: Type) {
        self.write_as(text, x, y, kind, Anchor::Start);
    }

    /// Writes lines under one another, the first on the baseline; gives the baseline after the last.
    pub(crate) fn write_lines(&mut self, lines: &[String], x: f64, y: f64, step: f64, kind: Type) -> f64 {
        for (i, line) in lines.iter().enumerate() {
            self.write(line, x, y + step * i as f64, kind);
        }
        y + step * lines.len() as f64
    }

    /// Writes one line with an anchor on the baseline.
    pub(crate) fn write_as(&mut self, text: &str, x: f64, y: f64, kind: Type, anchor: Anchor) {
        let mut text = clean(text);
        if text.trim().is_empty() {
            return;
        }
        // Whatever a name is like, no line leaves the paper.
        if anchor == Anchor::Start {
            text = font::fitted(&text, kind.size, kind.bold, self.width - EDGE - x);
        }
        self.marks.push(Mark::Text {
            text,
            at: Point::new(x, y),
            anchor,
            size: kind.size,
            bold: kind.bold,
            colour: kind.colour,
            turn: 0.0,
        });
    }

    /// Draws marks as one figure that the words describe.
    pub(crate) fn figure(&mut self, words: String, marks: impl IntoIterator<Item = Mark>) {
        self.begin(Part::Figure(words));
        self.marks.extend(marks);
        self.begin(Part::Lines);
    }

    /// Hatches a rectangle at 45°, lines 2 mm apart.
    pub(crate) fn hatch(&mut self, area: Rect, weight: f64, colour: Rgb) {
        const STEP: f64 = 2.0;
        let count = ((area.width() + area.height()) / STEP).clamp(0.0, 2000.0) as usize;
        let mut path = BezPath::new();
        for i in 0..count {
            // The line x + y = c, cut off at the sides.
            let c = (i as f64 + 0.5) * STEP;
            let from = (c.min(area.width()), c - c.min(area.width()));
            let to = (c - c.min(area.height()), c.min(area.height()));
            path.move_to((area.x0 + from.0, area.y0 + from.1));
            path.line_to((area.x0 + to.0, area.y0 + to.1));
        }
        if !path.is_empty() {
            self.marks.push(Mark::Path {
                path,
                fill: None,
                even_odd: false,
                stroke: Some((colour, weight)),
                dash: None,
                id: None,
            });
        }
    }

    /// Draws a line.
    pub(crate) fn line(&mut self, from: (f64, f64), to: (f64, f64), weight: f64, colour: Rgb) {
        self.shape(&Line::new(from, to), None, Some((colour, weight)));
    }

    /// Draws a rectangle.
    pub(crate) fn rect(&mut self, area: Rect, fill: Option<Rgb>, stroke: Option<(Rgb, f64)>) {
        self.shape(&area, fill, stroke);
    }

    /// Draws a shape.
    pub(crate) fn shape(&mut self, shape: &impl Shape, fill: Option<Rgb>, stroke: Option<(Rgb, f64)>) {
        // A list has thousands of boxes and lines: none keeps room that it does not use.
        let mut elements: Vec<kurbo::PathEl> = shape.path_elements(0.01).collect();
        elements.shrink_to_fit();
        let path = BezPath::from_vec(elements);
        self.marks.push(Mark::Path { path, fill, even_odd: false, stroke, dash: None, id: None });
    }
}

/// Writing fit for one line on any output: control characters, marks that turn the direction of what
/// follows and characters no XML may hold become spaces or go.
pub(crate) fn clean(text: &str) -> String {
    text.chars()
        .filter_map(|c| match c {
            '\n' | '\r' | '\t' | '\u{2028}' | '\u{2029}' => Some(' '),
            c if c.is_control() => None,
            '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{fffe}' | '\u{ffff}' | '\u{feff}' => None,
            c => Some(c),
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cleaning_keeps_words_and_drops_what_breaks_lines() {
        assert_eq!(clean("a\tb\nc\u{0}\u{1b}d\u{202e}e\u{ffff}"), "a b cde");
        assert_eq!(clean("Höh & <Söhne> 🏠 שלום"), "Höh & <Söhne> 🏠 שלום");
    }
}
