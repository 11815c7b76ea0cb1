//! What was set at the foot of a page and goes with what follows it to the next: a heading, the words under it, column heads.

use crate::page::{Mark, Page, Part};
use kurbo::{Affine, Vec2};

/// Where something begins on a page that nothing worked from stands under yet.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Bare {
    marks: usize,
    parts: usize,
    /// Its upper left corner, mm.
    pub(crate) at: Vec2,
    /// Whether words stand under the heading.
    pub(crate) has_words: bool,
}

impl Bare {
    /// What is put on a page from now on.
    pub(crate) fn from_now(page: &Page, at: Vec2) -> Self {
        Self { marks: page.marks.len(), parts: page.parts.len(), at, has_words: false }
    }

    /// Takes it off its page.
    pub(crate) fn lifted(&self, page: &mut Page) -> Carried {
        let marks = page.marks.split_off(self.marks.min(page.marks.len()));
        let parts = page.parts.split_off(self.parts.min(page.parts.len()));
        let parts = parts.into_iter().map(|(from, part)| (from.saturating_sub(self.marks), part)).collect();
        Carried { marks, parts, from: self.at }
    }
}

/// What was taken off a page.
pub(crate) struct Carried {
    marks: Vec<Mark>,
    parts: Vec<(usize, Part)>,
    from: Vec2,
}

impl Carried {
    /// Puts it on another, its upper left corner here.
    pub(crate) fn put_down(self, page: &mut Page, at: Vec2) {
        let (before, by) = (page.marks.len(), at - self.from);
        for (from, part) in self.parts {
            page.parts.push((before + from, part));
        }
        page.marks.extend(self.marks.into_iter().map(|mark| moved(mark, by)));
    }
}

fn moved(mut mark: Mark, by: Vec2) -> Mark {
    match &mut mark {
        Mark::Path { path, .. } => path.apply_affine(Affine::translate(by)),
        Mark::Text { at, .. } => *at += by,
        Mark::Within { area, marks } => {
            *area = *area + by;
            *marks = std::mem::take(marks).into_iter().map(|mark| moved(mark, by)).collect();
        }
    }
    mark
}

#[cfg(test)]
mod tests {
    use crate::bound::List;
    use crate::flow::Flow;
    use crate::page::{Page, Type};
    use crate::{Mark, Paper, Part};

    fn put_lines(flow: &mut Flow, count: usize) {
        for i in 0..count {
            let top = flow.take(8.0);
            let x = flow.x();
            flow.page().write(&format!("line {i}"), x, top + 5.0, Type::plain(4.0));
        }
    }

    /// Baselines of writing that begins so, page by page.
    fn lines_of(pages: &[Page], begins: &str) -> Vec<Vec<f64>> {
        let of = |page: &Page| {
            let at = page.marks.iter().filter_map(|mark| match mark {
                Mark::Text { text, at, .. } if text.starts_with(begins) => Some(at.y),
                _ => None,
            });
            at.collect()
        };
        pages.iter().map(of).collect()
    }

    /// 208 of 257 mm are filled; the heading, its words and the heads of the columns leave less than the 40 that the first row
    /// takes.
    #[test]
    fn a_heading_its_words_and_the_columns_heads_go_with_the_first_row() {
        let list = List::new("Saw list", "", |flow| {
            put_lines(flow, 26);
            flow.heading("Yield");
            flow.paragraph("As they are opened.", Type::quiet(3.4));
            flow.table(&[("board", 0.0, 0)]);
            for _ in 0..9 {
                let (top, row) = (flow.take(40.0), flow.row());
                let x = flow.x();
                flow.page().begin(row.cell(0));
                flow.page().write("row", x, top + 5.0, Type::plain(4.0));
            }
        });
        let pages = list.alone(Paper::A4);
        for words in ["Yield", "As they are opened.", "board"] {
            let lines = lines_of(&pages, words);
            assert_eq!((lines[0].len(), lines[1].len()), (0, 1), "{words}: {lines:?}");
        }
        let [heading, words, heads, row] =
            ["Yield", "As they", "board", "row"].map(|words| lines_of(&pages, words)[1][0]);
        assert!(26.0 < heading && heading < words && words < heads && heads < row && row < 60.0);
        // What is read out goes with them, and begins where its marks begin.
        let headed = pages[1].by_parts().find(|(part, _)| **part == Part::Heading).expect("a heading");
        assert!(matches!(&headed.1[0], Mark::Text { text, .. } if text == "Yield"));
        assert!(pages[0].parts.iter().all(|(from, _)| *from <= pages[0].marks.len()));
    }

    #[test]
    fn words_alone_under_a_heading_stay_there() {
        let list = List::new("Saw list", "", |flow| {
            put_lines(flow, 25);
            flow.heading("Take care");
            for _ in 0..12 {
                flow.paragraph(&"One caution in two lines. ".repeat(6), Type::plain(4.0));
            }
        });
        let pages = list.alone(Paper::A4);
        let lines = lines_of(&pages, "One caution");
        // Under 200 mm of lines and the heading 44 are left, for four times two lines of 5.52.
        assert_eq!((lines[0].len(), lines[1].len()), (4, 8), "{lines:?}");
    }

    /// A title with its words and no row under them would be a list begun for nothing.
    #[test]
    fn a_list_begins_on_another_page_only_with_what_is_in_it() {
        let second = || {
            List::new("Two", "", |flow| {
                flow.paragraph("Words that every sheet begins with.", Type::plain(3.4));
                for _ in 0..3 {
                    flow.take(50.0);
                }
            })
        };
        let lists = |lines| [List::new("One", "", move |flow| put_lines(flow, lines)), second()];
        let begun = |lines| {
            let pages = Flow::of(Paper::A4, &lists(lines)).into_pages();
            let begun: Vec<usize> = pages.iter().map(|page| page.sheets.len()).collect();
            (begun, lines_of(&pages, "Two").iter().map(Vec::len).collect::<Vec<_>>())
        };
        // Of 257 mm 80 are filled: under title and words stand all three. Of 192 filled, 65 are left, of which title and words
        // take 25: the first would not stand under them.
        assert_eq!(begun(10), (vec![2], vec![1]));
        assert_eq!(begun(24), (vec![1, 1], vec![0, 1]));
    }
}
