//! Where the layer is closed in: bare floor ahead without a doorway left to leave by.

use crate::graph::Graph;
use lay::Floor;
use plan::{Bounds, Boxes};
use site::{Edge, EdgeKind, Site};

/// An edge this near to a board's bounds is looked at, mm.
const NEAR: f64 = 1.0;

/// For each run of an order: whether, once it is laid, no bare floor beside it leads to a doorway out of its region,
/// so that who lays it works from boards already down. Runs without an entry in the order are taken as bare.
///
/// Goes through the order backwards and joins each run to the bare ones beside it, so that every run is asked about
/// the bare floor as it is then.
pub(crate) fn closed_in(site: &Site, floor: &Floor, graph: &Graph, order: &[usize]) -> Vec<bool> {
    let exits = exits(site, floor, graph);
    let mut bare = Bare { above: (0..floor.runs.len()).collect(), exits };
    let mut is_bare = vec![false; floor.runs.len()];
    let mut closed = vec![false; order.len()];
    for (at, run) in order.iter().enumerate().rev() {
        let beside = || graph.before[*run].iter().chain(&graph.after[*run]).filter(|other| is_bare[**other]);
        let open: Vec<usize> = beside().copied().collect();
        closed[at] = !open.iter().any(|other| bare.has_exit(*other)) && !bare.exits[*run];
        for other in open {
            bare.join(*run, other);
        }
        is_bare[*run] = true;
    }
    closed
}

/// For each run whether one of its boards ends at a doorway out of the region.
fn exits(site: &Site, floor: &Floor, graph: &Graph) -> Vec<bool> {
    let leads_out = |edge: &&Edge| matches!(edge.kind, EdgeKind::UnderLeaf | EdgeKind::Trim);
    let edges: Vec<(usize, &Edge)> = site
        .regions
        .iter()
        .enumerate()
        .flat_map(|(region, r)| r.edges().filter(leads_out).map(move |edge| (region, edge)))
        .collect();
    let boxes = Boxes::new(edges.iter().map(|(_, edge)| Bounds::of([edge.a, edge.b].map(|p| [p.u, p.v]))));
    let mut exits = vec![false; floor.runs.len()];
    for run in &graph.runs {
        for board in &floor.boards[floor.runs[*run].boards.clone()] {
            let Some(bounds) = Bounds::of(board.outline.outer.iter().map(|p| [p.u, p.v])) else { continue };
            boxes.each(bounds.grown(NEAR), |at| {
                let (region, edge) = edges[at];
                exits[*run] |= region == board.region && board.lies_along(edge);
            });
        }
    }
    exits
}

/// Parts of the bare floor that hang together, as trees of runs.
struct Bare {
    above: Vec<usize>,
    /// Of the run at a tree's root: whether some run of it leads out.
    exits: Vec<bool>,
}

impl Bare {
    fn root(&mut self, mut run: usize) -> usize {
        while self.above[run] != run {
            self.above[run] = self.above[self.above[run]];
            run = self.above[run];
        }
        run
    }

    fn has_exit(&mut self, run: usize) -> bool {
        let root = self.root(run);
        self.exits[root]
    }

    fn join(&mut self, a: usize, b: usize) {
        let (a, b) = (self.root(a), self.root(b));
        self.exits[b] |= self.exits[a];
        self.above[a] = b;
    }
}
