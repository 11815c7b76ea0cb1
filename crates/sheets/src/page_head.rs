//! The head of a page, or of a list that begins lower down: its title and a note beside it.

use crate::font;
use crate::page::{Page, Part, Type};
use crate::paper::{LEFT, MARGIN};

/// Draws a page's head: its title and a note beside it.
pub(crate) fn head(page: &mut Page, note: &str) {
    let title = page.title.clone();
    let right = page.width - MARGIN;
    let is_begun = page.sheets.first().is_some_and(|(_, at)| *at <= MARGIN);
    put_head(page, (&title, note), (LEFT, right), MARGIN, is_begun);
}

/// Draws a title and a note beside it between two sides; where the sheet begins here they are read out.
pub(crate) fn put_head(
    page: &mut Page,
    (title, note): (&str, &str),
    (left, right): (f64, f64),
    top: f64,
    is_begun: bool,
) {
    page.begin(if is_begun { Part::Title } else { Part::Aside });
    let kind = Type::bold(8.0);
    let base = top + 7.0;
    page.write(title, left, base, kind);
    let x = left + kind.width(title) + 5.0;
    let room = right - x;
    // A long note stands in two smaller lines, and is cut only where even these cannot hold it.
    let note = crate::page::clean(note);
    let large = Type::quiet(3.8);
    let lines =
        if large.width(&note) <= room { vec![(note, base, large)] } else { two_lines(&note, room, base) };
    if is_begun {
        page.begin(Part::Lines);
    }
    for (line, y, kind) in &lines {
        page.write(line, x, *y, *kind);
    }
    page.begin(Part::Lines);
}

/// A note in two lines about a baseline.
fn two_lines(note: &str, room: f64, base: f64) -> Vec<(String, f64, Type)> {
    let kind = Type::quiet(3.2);
    let mut lines = kind.wrapped(note, room);
    if lines.len() > 2 {
        let rest = lines.split_off(1).join(" ");
        lines.push(font::fitted(&rest, kind.size, kind.bold, room));
    }
    lines.into_iter().enumerate().map(|(i, line)| (line, base - 3.6 + 4.0 * i as f64, kind)).collect()
}
