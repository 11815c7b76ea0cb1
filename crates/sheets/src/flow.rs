//! Lists that flow over columns and pages, their headings repeated.

use crate::page::{Page, Part, Type};
use crate::paper::{LEFT, MARGIN};
use crate::{Paper, font};
use drawing::Rgb;
use kurbo::Rect;

/// Height kept free at the foot of a page, mm.
pub(crate) const FOOT: f64 = 14.0;
/// Height of a page's head, mm.
pub(crate) const HEAD: f64 = 14.0;
/// Between columns, mm.
const GUTTER: f64 = 12.0;
/// A column is at least this wide, mm.
const COLUMN: f64 = 125.0;

/// Draws a page's head: its title and a note beside it.
pub(crate) fn head(page: &mut Page, note: &str) {
    let title = page.title.clone();
    page.begin(if page.bookmark.is_some() { Part::Title } else { Part::Aside });
    let kind = Type::bold(8.0);
    let base = MARGIN + 7.0;
    page.write(&title, LEFT, base, kind);
    let x = LEFT + kind.width(&title) + 5.0;
    let quiet = Type::quiet(3.8);
    let note = font::fitted(&crate::page::clean(note), quiet.size, quiet.bold, page.width - MARGIN - x);
    if page.bookmark.is_some() {
        page.begin(Part::Lines);
    }
    page.write(&note, x, base, quiet);
    page.begin(Part::Lines);
}

/// A list being set.
pub(crate) struct Flow {
    size: (f64, f64),
    title: String,
    note: String,
    columns: usize,
    column: usize,
    y: f64,
    heading: Option<String>,
    pages: Vec<Page>,
}

impl Flow {
    /// Opens the first page of a sheet.
    pub(crate) fn new(paper: Paper, title: &str, note: &str) -> Self {
        let size = paper.size();
        let usable = size.0 - LEFT - MARGIN;
        let columns = (((usable + GUTTER) / (COLUMN + GUTTER)).floor() as usize).max(1);
        let mut flow = Self {
            size,
            title: title.to_owned(),
            note: note.to_owned(),
            columns,
            column: 0,
            y: 0.0,
            heading: None,
            pages: Vec::new(),
        };
        flow.open_page();
        flow
    }

    fn open_page(&mut self) {
        let mut page = Page::new(self.size.0, self.size.1, self.title.clone());
        if self.pages.is_empty() {
            page.bookmark = Some(self.title.clone());
        }
        head(&mut page, &self.note);
        self.pages.push(page);
        self.column = 0;
        self.y = MARGIN + HEAD;
    }

    /// The pages set.
    pub(crate) fn finish(self) -> Vec<Page> {
        self.pages
    }

    /// Width of a column, mm.
    pub(crate) fn width(&self) -> f64 {
        let usable = self.size.0 - LEFT - MARGIN;
        (usable - GUTTER * (self.columns - 1) as f64) / self.columns as f64
    }

    /// Left side of the column in hand, mm.
    pub(crate) fn x(&self) -> f64 {
        LEFT + self.column as f64 * (self.width() + GUTTER)
    }

    /// Right side of the column in hand, mm.
    pub(crate) fn right(&self) -> f64 {
        self.x() + self.width()
    }

    /// The page in hand.
    pub(crate) fn page(&mut self) -> &mut Page {
        // `new` opens a page and nothing closes one.
        let last = self.pages.len() - 1;
        &mut self.pages[last]
    }

    /// Takes `height` mm and gives their top; moves to the next column or page first where they do not fit.
    pub(crate) fn take(&mut self, height: f64) -> f64 {
        if self.y + height > self.size.1 - FOOT {
            self.column += 1;
            self.y = MARGIN + HEAD;
            if self.column >= self.columns {
                self.open_page();
            }
            if let Some(heading) = self.heading.clone() {
                self.put_heading(&format!("{heading}, continued"), Part::Aside);
            }
        }
        self.page().begin(Part::Lines);
        let top = self.y;
        self.y += height;
        top
    }

    /// Starts a part of the list; its heading is repeated on the pages that follow.
    pub(crate) fn heading(&mut self, text: &str) {
        self.heading = None;
        // A heading is never left alone at the foot.
        if self.y + 26.0 > self.size.1 - FOOT {
            self.take(self.size.1);
            self.y -= self.size.1;
        } else if self.y > MARGIN + HEAD {
            self.y += 4.0;
        }
        self.put_heading(text, Part::Heading);
        self.heading = Some(text.to_owned());
    }

    fn put_heading(&mut self, text: &str, part: Part) {
        let (x, right, y) = (self.x(), self.right(), self.y);
        let page = self.page();
        page.begin(part);
        let kind = Type::bold(5.0);
        let text = font::fitted(&crate::page::clean(text), kind.size, kind.bold, right - x);
        page.write(&text, x, y + 4.4, kind);
        page.line((x, y + 6.6), (right, y + 6.6), 0.35, Rgb::INK);
        page.begin(Part::Lines);
        self.y = y + 8.6;
    }

    /// Writes a paragraph.
    pub(crate) fn paragraph(&mut self, text: &str, kind: Type) {
        for line in kind.wrapped(text, self.width()) {
            let top = self.take(kind.size * 1.38);
            let x = self.x();
            self.page().write(&line, x, top + kind.size, kind);
        }
    }

    /// Leaves some room before what follows.
    pub(crate) fn gap(&mut self, height: f64) {
        self.y += height;
    }
}

/// Draws a box to tick.
pub(crate) fn tick_box(page: &mut Page, x: f64, top: f64) {
    page.rect(Rect::new(x, top, x + 4.8, top + 4.8), None, Some((Rgb::INK, 0.35)));
}

/// The tick in such a box, for what is done.
pub(crate) fn tick(page: &mut Page, x: f64, top: f64) {
    page.line((x + 0.9, top + 2.6), (x + 2.0, top + 3.9), 0.5, Rgb::INK);
    page.line((x + 2.0, top + 3.9), (x + 4.1, top + 0.8), 0.5, Rgb::INK);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Mark;

    #[test]
    fn a_long_list_turns_pages_and_repeats_its_heading() {
        let mut flow = Flow::new(Paper::A4, "Saw list", "");
        flow.heading("Stop, keep left end");
        for i in 0..100 {
            let top = flow.take(8.0);
            let x = flow.x();
            flow.page().write(&format!("line {i}"), x, top + 5.0, Type::plain(4.0));
        }
        let pages = flow.finish();
        assert!(pages.len() >= 3);
        for page in &pages {
            let texts: Vec<&str> = page
                .marks
                .iter()
                .filter_map(|mark| match mark {
                    Mark::Text { text, at, .. } => {
                        assert!(at.y < page.height - FOOT);
                        Some(text.as_str())
                    }
                    Mark::Path { .. } | Mark::Within { .. } => None,
                })
                .collect();
            assert!(texts.iter().any(|text| text.starts_with("Stop, keep left end")), "{texts:?}");
        }
    }
}
