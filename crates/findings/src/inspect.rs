//! Goes over a laid floor and flags what breaks a rule or is worth a look.

use crate::boards::{narrow, short_end};
use crate::continuous::continuous;
use crate::courses::courses;
use crate::doorways::doorways;
use crate::edges::edges;
use crate::fitting::fitting;
use crate::joints::joints;
use crate::laid::{misfits, settle};
use crate::many_packs::many_packs;
use crate::movement::movement;
use crate::points::points;
use crate::scene::{Scene, lines_that_lie};
use crate::shorts::short_boards;
use crate::slab::slab_flags;
use crate::{Flag, FlagKind, Severity, Subject};
use fit::Fit;
use lay::{Floor, Short};
use plan::{Places, Plan};
use site::Site;
use std::cell::OnceCell;

/// Flags everything on a floor, faults first, then by kind and place.
pub fn inspect(plan: &Plan, site: &Site, floor: &Floor, fit: &Fit) -> Vec<Flag> {
    let places = Places::new(plan);
    let line_lies = lines_that_lie(site, floor);
    let scene = Scene { plan, places: &places, site, floor, fit, line_lies, edges: OnceCell::new() };
    let mut flags = Vec::new();
    for (index, board) in floor.boards.iter().enumerate() {
        narrow(&scene, index, board, &mut flags);
        short_end(&scene, index, board, &mut flags);
    }
    points(&scene, &mut flags);
    joints(&scene, &mut flags);
    courses(&scene, &mut flags);
    short_boards(&scene, &mut flags);
    fitting(&scene, fit, &mut flags);
    for short in &floor.short {
        flags.push(stock_short(&scene, short));
    }
    many_packs(&scene, &mut flags);
    misfits(&scene, &mut flags);
    continuous(&scene, fit, &mut flags);
    slab_flags(&scene, &mut flags);
    movement(&scene, fit, &mut flags);
    doorways(&scene, fit, &mut flags);
    edges(&scene, fit, &mut flags);
    settle(&scene, &mut flags);
    // A stable sort keeps the order of laying within one kind.
    flags.sort_by_key(|flag| (flag.severity, flag.kind));
    flags
}

/// A stretch of floor left bare because the packs on hand ran out.
fn stock_short(scene: &Scene, short: &Short) -> Flag {
    let (region, row) = scene.floor.runs.get(short.run).map_or((0, 0), |run| (run.region, run.row));
    let at = scene.site.frame.plan_from_row(short.at);
    let course = scene.course((region, row), short.in_border, !scene.plan.pattern.is_rows());
    let missing: f64 = scene.floor.short.iter().map(|short| short.length).sum();
    let in_pack: f64 = scene.plan.stock.wood_per_pack();
    let packs = (missing / in_pack.max(1.0)).ceil();
    Flag {
        cause: None,
        kind: FlagKind::StockShort,
        severity: Severity::Fault,
        subject: Subject::Region(region),
        at,
        place: match scene.places.place_at(at) {
            Some(place) => format!("{place}, {course}"),
            None => course,
        },
        figure: short.length,
        limit: 0.0,
        mend: format!("have {packs} more of the packs on hand, or lay less floor"),
    }
}
