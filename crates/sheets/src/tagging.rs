//! The tagged structure of a PDF: a section a sheet, in it titles, headings, lines, figures and tables in the order of
//! reading (PDF 32000-1:2008, 14.8).

use crate::page::{Cell, Part, clean};
use krilla::tagging::{Identifier, Node, TableHeaderScope, Tag, TagGroup, TagKind, TagTree};
use std::num::{NonZeroU16, NonZeroU32};

/// The structure while pages are drawn.
pub(crate) struct Structure {
    tree: TagTree,
    section: TagGroup,
    /// The table that is not over yet: cells in the order of reading, each with what is read in it.
    table: Vec<(Cell, Vec<Identifier>)>,
}

impl Structure {
    pub(crate) fn new() -> Self {
        let tree = TagTree::new().with_lang(Some("en".into()));
        Self { tree, section: TagGroup::new(Tag::Section), table: Vec::new() }
    }

    /// Begins the next sheet.
    pub(crate) fn begin_sheet(&mut self) {
        self.end_table();
        if !self.section.children.is_empty() {
            self.tree.push(std::mem::replace(&mut self.section, TagGroup::new(Tag::Section)));
        }
    }

    /// Adds what is read of a part; a part of which nothing is read ends no table.
    pub(crate) fn add(&mut self, part: &Part, read: Vec<Identifier>) {
        if read.is_empty() {
            return;
        }
        if let Part::Cell(cell) = part {
            if self.table.last().is_some_and(|(last, _)| last.table != cell.table) {
                self.end_table();
            }
            match self.table.iter_mut().rev().take(MOST_APART).find(|(known, _)| known == cell) {
                Some((_, known)) => known.extend(read),
                None => self.table.push((*cell, read)),
            }
            return;
        }
        self.end_table();
        if let Some(kind) = kind(part) {
            self.section.push(TagGroup::with_children(kind, leaves(read)));
        }
    }

    /// Puts the open table into the section: a row of column heads first where there is one; every row with all columns.
    fn end_table(&mut self) {
        let cells = std::mem::take(&mut self.table);
        let Some(columns) = cells.iter().map(|(cell, _)| cell.column + cell.span).max() else { return };
        let (mut head, mut body) = (TagGroup::new(Tag::THead), TagGroup::new(Tag::TBody));
        let mut cells = cells.into_iter().peekable();
        while let Some((first, _)) = cells.peek() {
            let number = first.row;
            let mut own: Vec<(Cell, Vec<Identifier>)> = Vec::new();
            while let Some(cell) = cells.next_if(|(cell, _)| cell.row == number) {
                own.push(cell);
            }
            own.sort_by_key(|(cell, _)| cell.column);
            let row = row(own, columns);
            if number == 0 { head.push(row) } else { body.push(row) }
        }
        let parts = [head, body].into_iter().filter(|part| !part.children.is_empty());
        self.section.push(TagGroup::with_children(Tag::Table, parts.map(Node::from).collect()));
    }

    /// The finished tree.
    pub(crate) fn finish(mut self) -> TagTree {
        self.end_table();
        self.tree.push(self.section);
        self.tree
    }
}

/// A cell whose stretches stand apart is taken up again within so many cells.
const MOST_APART: usize = 24;

/// A row, empty cells where a column has none.
fn row(cells: Vec<(Cell, Vec<Identifier>)>, columns: usize) -> TagGroup {
    let mut row = TagGroup::new(Tag::TR);
    let mut next = 0;
    let fill = |row: &mut TagGroup, from: usize, to: usize| {
        (from..to).for_each(|_| row.push(TagGroup::new(Tag::TD)));
    };
    for (cell, read) in cells {
        fill(&mut row, next, cell.column);
        next = cell.column + cell.span;
        let span = u32::try_from(cell.span).ok().and_then(NonZeroU32::new).filter(|span| span.get() > 1);
        let kind: TagKind = match (cell.row, cell.heads_row) {
            (0, _) => Tag::TH(TableHeaderScope::Column).with_col_span(span).into(),
            (_, true) => Tag::TH(TableHeaderScope::Row).with_col_span(span).into(),
            (_, false) => Tag::TD.with_col_span(span).into(),
        };
        row.push(TagGroup::with_children(kind, leaves(read)));
    }
    fill(&mut row, next, columns);
    row
}

fn leaves(read: Vec<Identifier>) -> Vec<Node> {
    read.into_iter().map(Node::from).collect()
}

/// The tag of a part that is read and is no cell.
fn kind(part: &Part) -> Option<TagKind> {
    let heading = |level: u16| Tag::Hn(NonZeroU16::MIN.saturating_add(level - 1), None).into();
    match part {
        Part::Title => Some(heading(1)),
        Part::Heading => Some(heading(2)),
        Part::Lines => Some(Tag::P.into()),
        Part::Figure(words) => Some(Tag::Figure(Some(clean(words))).into()),
        Part::Cell(_) | Part::Aside => None,
    }
}
