//! Lists that one person reads at one place, bound: a short one begins where the one before it ends, if that saves a page.

use crate::flow::Flow;
use crate::{Page, Paper};
use std::ops::Range;

/// A sheet that is a list: its title, a note beside that, and how its blocks are put.
pub(crate) struct List<'a> {
    pub(crate) title: String,
    pub(crate) note: String,
    pub(crate) put: Box<dyn Fn(&mut Flow) + 'a>,
}

impl<'a> List<'a> {
    pub(crate) fn new(
        title: impl Into<String>,
        note: impl Into<String>,
        put: impl Fn(&mut Flow) + 'a,
    ) -> Self {
        Self { title: title.into(), note: note.into(), put: Box::new(put) }
    }

    /// Its pages where nothing else stands on them.
    pub(crate) fn alone(&self, paper: Paper) -> Vec<Page> {
        Flow::of(paper, std::slice::from_ref(self)).into_pages()
    }
}

/// A sheet as it is bound: a list, drawings, or a list with the drawings that belong to it.
#[derive(Default)]
pub(crate) struct Sheaf<'a> {
    pub(crate) list: Option<List<'a>>,
    pub(crate) drawings: Vec<Page>,
}

impl<'a> From<Option<List<'a>>> for Sheaf<'a> {
    fn from(list: Option<List<'a>>) -> Self {
        Self { list, drawings: Vec::new() }
    }
}

impl From<Vec<Page>> for Sheaf<'_> {
    fn from(drawings: Vec<Page>) -> Self {
        Self { list: None, drawings }
    }
}

/// Lists of more pages than this are not set anew to save one of them.
const MOST: usize = 60;
/// By so much of their height lists may be drawn together at most, where some stand on one page.
const DRAWN: f64 = 0.85;

/// The pages of one reader's sheets: lists on as few pages as they go on, and of ways that take as many the one in which most
/// lists begin a page of their own. Drawings follow the list they belong to, or the one whose last page that shares.
pub(crate) fn bind(paper: Paper, sheaves: Vec<Sheaf<'_>>) -> Vec<Page> {
    let (mut lists, mut drawings) = (Vec::new(), Vec::new());
    for sheaf in sheaves {
        match sheaf.list {
            Some(list) => lists.push((list, sheaf.drawings)),
            None if lists.is_empty() => drawings.extend(sheaf.drawings),
            None => lists.last_mut().into_iter().for_each(|last| last.1.extend(sheaf.drawings.clone())),
        }
    }
    let (lists, behind): (Vec<List<'_>>, Vec<Vec<Page>>) = lists.into_iter().unzip();
    let mut behind = behind.into_iter();
    for (together, pages) in fewest(paper, &lists) {
        drawings.extend(pages);
        behind.by_ref().take(together.len()).for_each(|own| drawings.extend(own));
    }
    drawings
}

/// The lists in runs that stand together, each with its pages.
fn fewest(paper: Paper, lists: &[List<'_>]) -> Vec<(Range<usize>, Vec<Page>)> {
    let alone: Vec<Flow> = lists.iter().map(|list| Flow::of(paper, std::slice::from_ref(list))).collect();
    let filled: Vec<f64> = alone.iter().map(Flow::filled).collect();
    let own: Vec<usize> = alone.iter().map(|flow| flow.pages().len()).collect();
    let mut runs: Vec<(Range<usize>, Vec<Page>)> =
        alone.into_iter().enumerate().map(|(i, flow)| (i..i + 1, flow.into_pages())).collect();
    if own.iter().sum::<usize>() > MOST {
        return runs;
    }
    // Which runs take fewer pages than their lists do one by one.
    for from in 0..lists.len() {
        for to in from + 2..=lists.len() {
            let apart: usize = own[from..to].iter().sum();
            let least = (filled[from..to].iter().sum::<f64>() * DRAWN).ceil() as usize;
            if least < apart {
                let pages = Flow::of(paper, &lists[from..to]).into_pages();
                if pages.len() < apart {
                    runs.push((from..to, pages));
                }
            }
        }
    }
    // The best way to set the first lists, for each number of them: pages, lists that begin on another's page, and the runs.
    let mut best: Vec<(usize, usize, Vec<usize>)> = vec![(0, 0, Vec::new())];
    for to in 1..=lists.len() {
        let ways = runs.iter().enumerate().filter(|(_, (run, _))| run.end == to).map(|(at, (run, pages))| {
            let (before, joined, chosen) = &best[run.start];
            let chosen: Vec<usize> = chosen.iter().copied().chain([at]).collect();
            (before + pages.len(), joined + run.len() - 1, chosen)
        });
        // Every list alone is one of them.
        let way = ways.min_by_key(|(pages, joined, _)| (*pages, *joined)).unwrap_or_default();
        best.push(way);
    }
    let chosen = best.pop().map(|(.., chosen)| chosen).unwrap_or_default();
    let mut runs: Vec<Option<(Range<usize>, Vec<Page>)>> = runs.into_iter().map(Some).collect();
    chosen.into_iter().filter_map(|at| runs.get_mut(at).and_then(Option::take)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Mark;
    use crate::page::{Part, Type};

    /// A list of so many lines of 8 mm; of 257 mm of an A4 page 32 of them fill 256.
    fn list(title: &'static str, lines: usize) -> List<'static> {
        List::new(title, "", move |flow| {
            for i in 0..lines {
                let top = flow.take(8.0);
                let x = flow.x();
                flow.page().write(&format!("{title} {i}"), x, top + 5.0, Type::plain(4.0));
            }
        })
    }

    fn sheaves(lists: &[(&'static str, usize)]) -> Vec<Sheaf<'static>> {
        lists.iter().map(|(title, lines)| Sheaf::from(Some(list(title, *lines)))).collect()
    }

    fn begun(pages: &[Page]) -> Vec<Vec<&str>> {
        pages.iter().map(|page| page.sheets.iter().map(|(name, _)| name.as_str()).collect()).collect()
    }

    #[test]
    fn a_short_list_begins_where_the_one_before_it_ends() {
        let pages = bind(Paper::A4, sheaves(&[("One", 10), ("Two", 12)]));
        assert_eq!(begun(&pages), [vec!["One", "Two"]]);
        let (_, at) = &pages[0].sheets[1];
        // Ten lines of 8 mm lie above it.
        assert!(*at >= 26.0 + 80.0 && *at < 26.0 + 80.0 + 10.0, "{at}");
        let titles = pages[0].parts.iter().filter(|(_, part)| *part == Part::Title).count();
        assert_eq!(titles, 2);
        let lines =
            pages[0].marks.iter().filter(|mark| matches!(mark, Mark::Text { size, .. } if *size == 4.0));
        assert_eq!(lines.count(), 22, "nothing is lost");
    }

    #[test]
    fn what_saves_no_page_begins_its_own() {
        let pages = bind(Paper::A4, sheaves(&[("One", 20), ("Two", 60), ("Three", 32)]));
        assert_eq!(begun(&pages), [vec!["One"], vec!["Two"], vec![], vec!["Three"]]);
        // Of two ways to save the page the first that takes as few joins is taken, and no more are joined than that takes.
        let pages = bind(Paper::A4, sheaves(&[("One", 10), ("Two", 10), ("Three", 28)]));
        assert_eq!(begun(&pages), [vec!["One", "Two"], vec!["Three"]]);
        // The first three would save a page by two joins, the last two by one.
        let pages = bind(Paper::A4, sheaves(&[("One", 18), ("Two", 18), ("Three", 18)]));
        assert_eq!(begun(&pages), [vec!["One", "Two"], vec!["Three"]]);
        let pages = bind(Paper::A4, sheaves(&[("One", 18), ("Two", 18), ("Three", 18), ("Four", 10)]));
        assert_eq!(begun(&pages), [vec!["One"], vec!["Two"], vec!["Three", "Four"]]);
    }

    #[test]
    fn a_page_that_is_turned_to_names_the_list_that_goes_on_there() {
        let pages = bind(Paper::A4, sheaves(&[("One", 44), ("Two", 46)]));
        assert_eq!(begun(&pages), [vec!["One"], vec!["Two"], vec![]]);
        assert_eq!(pages[2].title, "Two");
        assert_eq!(pages[1].names(), "One, Two");
    }

    #[test]
    fn drawings_follow_the_list_whose_last_page_is_shared() {
        let drawing = Page::new(297.0, 210.0, "Drawing");
        let mut all = sheaves(&[("One", 10), ("Two", 12), ("Three", 32)]);
        all[0].drawings.push(drawing.clone());
        all[1].drawings.push(Page::new(297.0, 210.0, "Another"));
        let titles: Vec<String> = bind(Paper::A4, all).into_iter().map(|page| page.title).collect();
        assert_eq!(titles, ["One", "Drawing", "Another", "Three"]);
        let mut all = sheaves(&[("One", 30), ("Two", 30)]);
        all[0].drawings.push(drawing);
        let titles: Vec<String> = bind(Paper::A4, all).into_iter().map(|page| page.title).collect();
        assert_eq!(titles, ["One", "Drawing", "Two"]);
    }

    #[test]
    fn on_a_large_paper_a_list_goes_on_in_the_next_column() {
        let pages = bind(Paper::A3, sheaves(&[("One", 30), ("Two", 20)]));
        assert_eq!(begun(&pages), [vec!["One", "Two"]]);
        for mark in &pages[0].marks {
            let bounds = mark.bounds();
            assert!(bounds.y1 < pages[0].height - 6.0 && bounds.x1 < pages[0].width, "{bounds:?}");
        }
    }
}
