//! Flags on single boards: slivers, thin legs, short ends.

use crate::scene::Scene;
use crate::{Flag, FlagKind, Severity, Subject};
use fit::CoveredBy;
use lay::{Board, Narrow, Outline};
use plan::{Bounds, Pattern};
use site::{Edge, Uv};
use std::borrow::Cow;

/// Figures are held to limits to this accuracy, mm.
const EXACT: f64 = 0.05;
/// A leg thinner than this breaks off with the saw, mm (common practice, no source).
pub(crate) const CRUMB: f64 = 5.0;

/// Flags slivers and thin legs by the width of the board's outline, whichever way it was cut.
pub(crate) fn narrow(scene: &Scene, index: usize, board: &Board, flags: &mut Vec<Flag>) {
    let rules = &scene.plan.rules;
    if !board.shaped {
        if board.width < rules.least_rip - EXACT {
            flags.push(sliver(scene, index, board.width, board.middle()));
        }
        return;
    }
    // Along the board, whichever way it lies.
    let upright = |ring: &Vec<Uv>| {
        ring.iter()
            .map(|p| {
                let (along, across) = board.place(*p);
                Uv::new(along, across)
            })
            .collect()
    };
    let lies_along_rows = (board.along.u, board.along.v) == (1.0, 0.0);
    let outline = match lies_along_rows {
        true => Cow::Borrowed(&board.outline),
        false => Cow::Owned(Outline {
            outer: upright(&board.outline.outer),
            holes: board.outline.holes.iter().map(upright).collect(),
        }),
    };
    let Some(Narrow { is_sliver, figure, at }) = lay::narrow(&outline, rules) else { return };
    let at = board.at(at.u, at.v);
    if is_sliver {
        flags.push(sliver(scene, index, figure, at));
    } else {
        flags.push(Flag {
            cause: None,
            kind: FlagKind::ThinLeg,
            severity: Severity::Look,
            subject: Subject::Board(index),
            at: scene.site.frame.plan_from_row(at),
            place: scene.board_place(index),
            figure,
            limit: rules.least_leg,
            mend: match line_lies(scene, index) {
                _ if figure < CRUMB => "so thin a leg holds nothing: saw it off with the notch, and let the cover or a filler hide the place".into(),
                true => "cut the notch last and glue the leg down, or move a joint of a row to come so that more wood stays beside the notch".into(),
                false => "cut the notch last and glue the leg down, or move the start line or a joint so that more wood stays beside the notch".into(),
            },
        });
    }
}

fn sliver(scene: &Scene, index: usize, figure: f64, at: Uv) -> Flag {
    let limit = scene.plan.rules.least_rip;
    Flag {
        cause: None,
        kind: FlagKind::Sliver,
        severity: Severity::Fault,
        subject: Subject::Board(index),
        at: scene.site.frame.plan_from_row(at),
        place: scene.board_place(index),
        figure,
        limit,
        mend: mends(scene, index, figure, at),
    }
}

/// What helps a sliver, each where it can be done.
fn mends(scene: &Scene, index: usize, figure: f64, at: Uv) -> String {
    let rules = &scene.plan.rules;
    let by = scene.length((rules.least_rip - figure).ceil());
    let beside = beside(scene, index, figure, at);
    let lies = line_lies(scene, index);
    if scene.floor.boards.get(index).is_some_and(Board::is_block) {
        // Walls cut blocks across the axis too, and aslant: no way of the line alone leaves so much more there.
        return format!(
            "shift the axis line or the points along it until the piece is {by} wider, or lay a border"
        );
    }
    if beside.is_between && beside.stays_under.is_none() {
        return "the floor is no wider here between its gaps, whatever the line: make the gaps narrower, or leave it bare under a wider cover".into();
    }
    let mut ways = vec![match lies {
        // The line cannot move any more.
        true => format!(
            "the line lies: lay the rows to come so that they end {by} further from this edge, as the step As laid says"
        ),
        false => format!("move the start line {by} away from this edge"),
    }];
    if figure <= beside.play + EXACT {
        ways.push("take up the strip in the gap's play".into());
    }
    if let Some(stays) = beside.stays_under {
        let stays = scene.length((stays * 10.0).floor() / 10.0);
        ways.push(format!("leave the strip out: the row before it still goes {stays} under"));
    }
    if lies {
        ways.push("rip the row before it too, so that both are wide enough".into());
    }
    match ways.split_last() {
        Some((last, first)) if !first.is_empty() => format!("{}, or {last}", first.join(", ")),
        _ => ways.concat(),
    }
}

/// What stands along a board's narrow place.
#[derive(Default)]
struct Beside {
    /// The widest play that a gap has left there, mm.
    play: f64,
    /// How far the row before goes under something there, mm, where that hides enough without the strip.
    stays_under: Option<f64>,
    /// Whether edges of the floor bound the narrow place on both its sides.
    is_between: bool,
}

/// A board's side this near to an edge ends at it, mm: a wall's pieces are followed by one saw cut.
const AT: f64 = 2.0;
/// Sides that share less of an edge's length do not lie along it, mm.
const SHARED: f64 = 1.0;

fn beside(scene: &Scene, index: usize, figure: f64, at: Uv) -> Beside {
    let mut found = Beside::default();
    let Some(board) = scene.floor.boards.get(index) else { return found };
    let corners = board.outline.outer.iter().map(|p| [p.u, p.v]);
    let Some(bounds) = Bounds::of(corners) else { return found };
    let edges = scene.edges_near(board.region, bounds.grown(AT));
    let (mut above, mut below) = (false, false);
    for edge in edges.into_iter().filter(|edge| lies_along(board, edge) && off(edge, at) < figure + AT) {
        found.play = found.play.max(edge.play);
        let stays = -edge.gap - figure;
        // Few edges have boards under something; what is needed there is looked for at those alone.
        if stays > 0.0 && stays >= needed_under(scene, edge) - EXACT {
            found.stays_under = Some(stays);
        }
        if edge.a.u.min(edge.b.u) - AT <= at.u && at.u <= edge.a.u.max(edge.b.u) + AT {
            match edge.floor_is_above() {
                true => above = true,
                false => below = true,
            }
        }
    }
    found.is_between = above && below;
    found
}

/// How far boards must go under at an edge: they draw back, and a cut may be off, mm.
fn needed_under(scene: &Scene, edge: &Edge) -> f64 {
    let cover = &scene.plan.rules.cover;
    let hides = |by: CoveredBy| matches!(by, CoveredBy::Kick | CoveredBy::Lining);
    let here = scene.fit.covers.iter().find(|cover| cover.source == edge.source && hides(cover.by));
    here.map_or(cover.least() + cover.tolerance(), |here| here.needed(cover.least()))
}

/// How far a point lies across from the line of an edge along the rows, mm.
fn off(edge: &Edge, p: Uv) -> f64 {
    let (a, b) = (edge.a, edge.b);
    (p.v - a.v - (b.v - a.v) * (p.u - a.u) / (b.u - a.u)).abs()
}

/// Whether a board has a side along an edge.
pub fn lies_along(board: &Board, edge: &Edge) -> bool {
    let (a, b) = (edge.a, edge.b);
    let (left, right) = (a.u.min(b.u), a.u.max(b.u));
    if board.right < left || board.left > right || right - left < SHARED {
        return false;
    }
    let is_along = |p: Uv, q: Uv| {
        let shared = p.u.max(q.u).min(right) - p.u.min(q.u).max(left);
        shared > SHARED && off(edge, p) < AT && off(edge, q) < AT
    };
    board.outline.rings().any(|ring| {
        let next = ring.iter().cycle().skip(1);
        ring.iter().zip(next).any(|(p, q)| is_along(*p, *q))
    })
}

/// Whether boards lie in a board's region.
fn line_lies(scene: &Scene, board: usize) -> bool {
    let region = scene.floor.boards.get(board).map(|board| board.region);
    region.is_some_and(|region| scene.line_lies.get(region) == Some(&true))
}

/// Flags starters and closers under the least. Where the run itself is no longer, or walls shape the end, there
/// is nothing to move, so it is only worth a look.
pub(crate) fn short_end(scene: &Scene, index: usize, board: &Board, flags: &mut Vec<Flag>) {
    let limit = scene.plan.rules.least_end;
    // Blocks aslant to the wall end in points of every length: those are looked at apart.
    if board.is_block() || !(board.starts_run || board.ends_run) || board.length() >= limit - EXACT {
        return;
    }
    let run = &scene.floor.runs[board.run];
    let can_grow = run.right - run.left >= limit && !board.shaped;
    flags.push(Flag {
        cause: None,
        kind: FlagKind::ShortEnd,
        severity: if can_grow { Severity::Fault } else { Severity::Look },
        subject: Subject::Board(index),
        at: scene.site.frame.plan_from_row(board.middle()),
        place: scene.board_place(index),
        figure: board.length(),
        limit,
        mend: if let Some(other) = other_bond(scene.plan.pattern).filter(|_| can_grow && !board.in_border) {
            // Its neighbour is a whole board, and the joint between them one of a line through the house.
            format!(
                "the joints of all rows hang together, and lie where fewest ends are short: glue it down well, or choose boards of another length or {other}"
            )
        } else if can_grow {
            format!(
                "lengthen it by {} and shorten its neighbour",
                scene.length((limit - board.length()).ceil())
            )
        } else if run.right - run.left < scene.plan.rules.least_leg {
            match board.shaped {
                true => "so small a tip holds nothing: leave it out, and let the cover or a filler hide the place",
                false => "so narrow a passage holds no board: leave it bare and cover it, or let what stands there reach the wall",
            }
            .into()
        } else {
            "the walls leave no more here: fix it well, and keep the grain with its neighbours".into()
        },
    });
}

/// What may be laid in place of halves or thirds.
fn other_bond(pattern: Pattern) -> Option<&'static str> {
    match pattern {
        Pattern::Half => Some("thirds in place of halves"),
        Pattern::Third => Some("halves in place of thirds"),
        Pattern::Irregular | Pattern::Herringbone { .. } | Pattern::Chevron { .. } => None,
    }
}
