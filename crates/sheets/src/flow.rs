//! Lists that flow over columns and pages, their headings repeated.

use crate::bound::List;
use crate::carry::Bare;
use crate::page::{Cell, Page, Part, Type};
use crate::page_head::{head, put_head};
use crate::paper::{LEFT, MARGIN};
use crate::{Paper, font};
use drawing::Rgb;
use kurbo::{Rect, Vec2};

/// Height kept free at the foot of a page, mm.
pub(crate) const FOOT: f64 = 14.0;
/// Height of a page's head, mm.
pub(crate) const HEAD: f64 = 14.0;
/// Between columns, mm.
const GUTTER: f64 = 12.0;
/// A column is at least this wide, mm: what stands on a line of A4 stands on a line of every column.
const COLUMN: f64 = 160.0;
/// Height of a heading of one line with its rule, mm.
const HEADING: f64 = 8.6;
/// Lines of one heading, and of the note beside a page's title.
const HEADING_LINES: usize = 3;
/// Above the head of a sheet that begins on another's page, mm, and what has to fit under it.
const OVER_HEAD: f64 = 6.0;
const UNDER_HEAD: f64 = 42.0;
/// A last page with less than this much of its height used is worth setting the sheet anew, tighter by all steps; any other
/// by the first, where the sheet has no more than so many pages: of hundreds one is not worth the time.
const NEARLY_EMPTY: f64 = 0.5;
const FEW: usize = 60;
/// How much a block gives up in a sheet for each step by which it is tighter: this part of its height, and no more than so
/// much, mm; and the most steps.
const TIGHT: (f64, f64) = (0.05, 0.6);
const STEPS: u8 = 3;

/// A list being set.
#[derive(Clone)]
pub(crate) struct Flow {
    size: (f64, f64),
    title: String,
    note: String,
    /// Whether the head of the list in hand stands on a page.
    is_begun: bool,
    columns: usize,
    column: usize,
    y: f64,
    heading: Option<String>,
    /// A heading under which nothing but words stands yet.
    bare: Option<Bare>,
    /// The head of a list that begins on another's page, with nothing but words under it yet; and whether it was parted from
    /// what follows.
    is_bare_list: bool,
    is_torn: bool,
    /// Tables begun so far, the rows begun of the last one, and the heads of its columns.
    tables: usize,
    rows: usize,
    heads: Vec<Head>,
    /// By how many steps blocks stand nearer, so that a last page is saved.
    tight: u8,
    pages: Vec<Page>,
}

/// The head of a column: its words, how far in they stand, and on which line, from 0.
pub(crate) type Head = (&'static str, f64, usize);

/// Height of a line of column heads, mm.
const HEAD_LINE: f64 = 3.9;

/// One row of a table that is being set.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Row {
    table: usize,
    row: usize,
}

impl Row {
    /// The cell of a column.
    pub(crate) fn cell(self, column: usize) -> Part {
        self.wide(column, 1)
    }

    /// A cell that takes some columns.
    pub(crate) fn wide(self, column: usize, span: usize) -> Part {
        Part::Cell(Cell { table: self.table, row: self.row, column, span, heads_row: false })
    }

    /// The cell that says what the row is about.
    pub(crate) fn head(self, column: usize) -> Part {
        Part::Cell(Cell { table: self.table, row: self.row, column, span: 1, heads_row: true })
    }
}

impl Flow {
    /// Sets lists one behind another, a little tighter where that saves a last page of a few lines.
    pub(crate) fn of(paper: Paper, lists: &[List<'_>]) -> Self {
        let loose = Self::set(paper, lists, 0);
        let share = |height: f64| height / loose.usable();
        let used = share(loose.y - MARGIN - HEAD);
        if loose.pages.len() > 1 && loose.column == 0 {
            let before = ((loose.pages.len() - 1) * loose.columns) as f64;
            // The heading that is repeated there need not go on the page before.
            let again = if loose.heading.is_some() { share(HEADING) } else { 0.0 };
            let may_do = |step: &u8| used - again <= before * TIGHT.0 * f64::from(*step);
            let most = match used < NEARLY_EMPTY {
                true => STEPS,
                false => u8::from(loose.pages.len() <= FEW),
            };
            for step in (1..=most).filter(may_do) {
                let tight = Self::set(paper, lists, step);
                if tight.pages.len() < loose.pages.len() {
                    return tight;
                }
            }
        }
        loose
    }

    fn set(paper: Paper, lists: &[List<'_>], tight: u8) -> Self {
        let mut flow = Self::new(paper, tight);
        for list in lists {
            let before = (!flow.pages.is_empty()).then(|| flow.clone());
            flow.begin(list, false);
            (list.put)(&mut flow);
            if let Some(before) = before.filter(|_| flow.is_torn) {
                flow = before;
                flow.begin(list, true);
                (list.put)(&mut flow);
            }
        }
        flow
    }

    /// No page yet.
    fn new(paper: Paper, tight: u8) -> Self {
        let size = paper.list_size();
        let usable = size.0 - LEFT - MARGIN;
        let columns = (((usable + GUTTER) / (COLUMN + GUTTER)).floor() as usize).max(1);
        Self {
            size,
            title: String::new(),
            note: String::new(),
            is_begun: false,
            columns,
            column: 0,
            y: 0.0,
            heading: None,
            bare: None,
            is_bare_list: false,
            is_torn: false,
            tables: 0,
            rows: 0,
            heads: Vec::new(),
            tight,
            pages: Vec::new(),
        }
    }

    /// Height of a page that a list may fill, mm.
    fn usable(&self) -> f64 {
        self.size.1 - FOOT - MARGIN - HEAD
    }

    /// How many pages are filled, the last by the part that is used of it.
    pub(crate) fn filled(&self) -> f64 {
        let columns = self.column as f64 + (self.y - MARGIN - HEAD) / self.usable();
        self.pages.len().saturating_sub(1) as f64 + columns / self.columns as f64
    }

    /// The pages so far.
    pub(crate) fn pages(&self) -> &[Page] {
        &self.pages
    }

    /// The pages.
    pub(crate) fn into_pages(self) -> Vec<Page> {
        self.pages
    }

    /// Begins a list: on a page of its own the first, any other where the one before it ended, or on the next column or page.
    fn begin(&mut self, list: &List<'_>, on_next: bool) {
        (self.title, self.note) = (list.title.clone(), list.note.clone());
        (self.heading, self.bare, self.is_begun) = (None, None, false);
        (self.is_bare_list, self.is_torn) = (false, false);
        (self.tables, self.rows) = (0, 0);
        self.heads.clear();
        if self.pages.is_empty() {
            return self.open_page();
        }
        let over = self.tightened(OVER_HEAD) + HEAD;
        if on_next || self.y + over + UNDER_HEAD > self.size.1 - FOOT {
            self.turn();
        }
        if self.is_begun {
            return;
        }
        if self.y > MARGIN + HEAD {
            self.y += self.tightened(OVER_HEAD);
        }
        let (top, sides) = (self.y, (self.x(), self.right()));
        let (title, note) = (self.title.clone(), self.note.clone());
        let page = self.page();
        page.sheets.push((title.clone(), top));
        put_head(page, (&title, &note), sides, top, true);
        self.y += HEAD;
        (self.is_begun, self.is_bare_list) = (true, !on_next);
    }

    fn open_page(&mut self) {
        let mut page = Page::new(self.size.0, self.size.1, self.title.clone());
        if !self.is_begun {
            page.sheets.push((self.title.clone(), 0.0));
            self.is_begun = true;
        }
        head(&mut page, &self.note);
        self.pages.push(page);
        self.column = 0;
        self.y = MARGIN + HEAD;
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
        // A list that begins opens a page and nothing closes one.
        let last = self.pages.len() - 1;
        &mut self.pages[last]
    }

    /// Takes `height` mm and gives their top; moves to the next column or page first where they do not fit.
    pub(crate) fn take(&mut self, height: f64) -> f64 {
        let height = self.tightened(height);
        self.make_room(height);
        (self.bare, self.is_bare_list) = (None, false);
        self.begin_lines(height)
    }

    /// The same for the first line of words, under which a heading is still bare.
    fn take_words(&mut self, height: f64) -> f64 {
        let height = self.tightened(height);
        self.keep_words(height);
        self.make_room(height);
        if let Some(bare) = &mut self.bare {
            bare.has_words = true;
        }
        self.begin_lines(height)
    }

    /// Words alone under a heading are what it is for: where there is no room for more of them they stay with it.
    fn keep_words(&mut self, height: f64) {
        if self.y + height > self.size.1 - FOOT && self.bare.is_some_and(|bare| bare.has_words) {
            self.bare = None;
        }
    }

    fn begin_lines(&mut self, height: f64) -> f64 {
        self.page().begin(Part::Lines);
        let top = self.y;
        self.y += height;
        top
    }

    fn tightened(&self, height: f64) -> f64 {
        height - f64::from(self.tight) * (TIGHT.0 * height).min(TIGHT.1)
    }

    /// Takes more for what was begun: on the same page it stays one part to who has it read out.
    fn take_more(&mut self, height: f64) -> f64 {
        self.keep_words(height);
        if self.make_room(height) {
            self.page().begin(Part::Lines);
        }
        let top = self.y;
        self.y += height;
        top
    }

    /// Moves to the next column or page where `height` mm do not fit; tells whether it did.
    fn make_room(&mut self, height: f64) -> bool {
        let is_full = self.y + height > self.size.1 - FOOT;
        if is_full {
            self.is_torn |= self.is_bare_list;
            // A heading goes with its first block, and with it what stands under it; not from the top of a column.
            let bare = self.bare.take().filter(|bare| bare.at.y > MARGIN + HEAD);
            let (height, carried) = match bare {
                Some(bare) => (self.y - bare.at.y, Some(bare.lifted(self.page()))),
                None => (0.0, None),
            };
            self.column += 1;
            self.y = MARGIN + HEAD;
            if self.column >= self.columns {
                self.open_page();
            }
            match (carried, self.heading.clone()) {
                (Some(carried), _) => {
                    let at = Vec2::new(self.x(), self.y);
                    carried.put_down(self.page(), at);
                    self.y += height;
                }
                (None, heading) => {
                    if let Some(heading) = heading {
                        self.put_heading(&format!("{heading}, continued"), Part::Aside);
                    }
                    self.put_heads(|_| Part::Aside);
                }
            }
        }
        is_full
    }

    /// Starts a part of the list; its heading is repeated on the pages that follow.
    pub(crate) fn heading(&mut self, text: &str) {
        (self.heading, self.bare) = (None, None);
        self.heads.clear();
        // A heading is never left alone at the foot.
        if self.y + 36.0 > self.size.1 - FOOT {
            self.turn();
        } else if self.y > MARGIN + HEAD {
            self.y += if self.tight > 0 { 2.8 } else { 4.0 };
        }
        let at = Vec2::new(self.x(), self.y);
        let bare = Bare::from_now(self.page(), at);
        self.put_heading(text, Part::Heading);
        (self.heading, self.bare) = (Some(text.to_owned()), Some(bare));
    }

    /// Goes on at the top of the next column or page.
    fn turn(&mut self) {
        self.make_room(self.size.1);
    }

    fn put_heading(&mut self, text: &str, part: Part) {
        let (x, right, mut y) = (self.x(), self.right(), self.y);
        let page = self.page();
        page.begin(part);
        let kind = Type::bold(5.0);
        let mut lines = kind.wrapped(text, right - x);
        if lines.len() > HEADING_LINES {
            let rest = lines.split_off(HEADING_LINES - 1).join(" ");
            lines.push(font::fitted(&rest, kind.size, kind.bold, right - x));
        }
        for line in &lines {
            page.write(line, x, y + 4.4, kind);
            y += 5.8;
        }
        y -= 5.8;
        page.line((x, y + 6.6), (right, y + 6.6), 0.35, Rgb::INK);
        page.begin(Part::Lines);
        self.y = y + HEADING;
    }

    /// Begins a table, with the heads of its columns where it shows any; they are repeated on the pages that follow.
    pub(crate) fn table(&mut self, heads: &[Head]) {
        self.tables += 1;
        self.rows = 0;
        self.heads.clear();
        // Heads are never left alone at the foot.
        if !heads.is_empty() && self.y + 22.0 > self.size.1 - FOOT {
            self.turn();
        }
        self.heads = heads.to_vec();
        let table = self.tables;
        self.put_heads(|column| Part::Cell(Cell { table, row: 0, column, span: 1, heads_row: false }));
    }

    /// Begins the next row of the table.
    pub(crate) fn row(&mut self) -> Row {
        self.rows += 1;
        Row { table: self.tables, row: self.rows }
    }

    fn put_heads(&mut self, part: impl Fn(usize) -> Part) {
        let heads = std::mem::take(&mut self.heads);
        let (x, top) = (self.x(), self.y);
        let page = self.page();
        for (column, (words, at, line)) in heads.iter().enumerate() {
            page.begin(part(column));
            page.write(words, x + at, top + 2.6 + HEAD_LINE * *line as f64, Type::quiet(2.9));
        }
        page.begin(Part::Lines);
        self.y += heads.iter().map(|(.., line)| line + 1).max().unwrap_or(0) as f64 * HEAD_LINE;
        self.heads = heads;
    }

    /// Writes a paragraph; a table ends before it.
    pub(crate) fn paragraph(&mut self, text: &str, kind: Type) {
        self.heads.clear();
        for (i, line) in kind.wrapped(text, self.width()).into_iter().enumerate() {
            let height = kind.size * 1.38;
            let top = if i == 0 { self.take_words(height) } else { self.take_more(height) };
            let x = self.x();
            self.page().write(&line, x, top + kind.size, kind);
        }
    }

    /// Leaves some room before what follows.
    pub(crate) fn gap(&mut self, height: f64) {
        self.y += self.tightened(height);
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

    fn set(paper: Paper, title: &'static str, note: &str, put: impl Fn(&mut Flow)) -> Vec<Page> {
        List::new(title, note, put).alone(paper)
    }

    fn put_lines(flow: &mut Flow, count: usize) {
        for i in 0..count {
            let top = flow.take(8.0);
            let x = flow.x();
            flow.page().write(&format!("line {i}"), x, top + 5.0, Type::plain(4.0));
        }
    }

    #[test]
    fn a_last_page_of_a_few_lines_is_saved_and_a_full_one_stays() {
        // Of 297 mm, 26 are above and 14 below the list: 32 lines of 8 mm, 33 of 7.6, 35 of 7.2, or 37 of 6.8, of which the
        // last is not counted on.
        let pages = |count| set(Paper::A4, "Saw list", "", |flow| put_lines(flow, count)).len();
        assert_eq!([32, 33, 35, 36, 37].map(pages), [1, 1, 1, 1, 2]);
    }

    /// 200 of 257 mm are filled; under a heading 48 are left, so that a block of 60 and its heading go to the next page.
    #[test]
    fn a_heading_goes_with_its_first_block() {
        let pages = set(Paper::A4, "Saw list", "", |flow| {
            put_lines(flow, 25);
            flow.heading("Notch");
            for _ in 0..2 {
                flow.take(60.0);
            }
        });
        let headings = |page: &Page| {
            let is_heading =
                |mark: &&Mark| matches!(mark, Mark::Text { text, .. } if text.starts_with("Notch"));
            let headed = page.parts.iter().filter(|(_, part)| *part == Part::Heading).count();
            (page.marks.iter().filter(is_heading).count(), headed)
        };
        assert_eq!(pages.iter().map(headings).collect::<Vec<_>>(), [(0, 0), (1, 1)]);
    }

    #[test]
    fn long_headings_and_notes_are_wrapped_not_cut() {
        let heading = "Great room and the passage beside it: from the start line down the sheet, boards turned, continued";
        let pages = set(Paper::A3, "Lay list", heading, |flow| flow.heading(heading));
        let texts = pages[0].marks.iter().filter_map(|mark| match mark {
            Mark::Text { text, .. } => Some(text.as_str()),
            _ => None,
        });
        let all = texts.collect::<Vec<_>>().join(" ");
        assert!(!all.contains('…') && all.matches("boards turned, continued").count() == 2, "{all}");
    }

    #[test]
    fn a_long_list_turns_pages_and_repeats_its_heading() {
        let pages = set(Paper::A4, "Saw list", "", |flow| {
            flow.heading("Stop, keep left end");
            put_lines(flow, 100);
        });
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
