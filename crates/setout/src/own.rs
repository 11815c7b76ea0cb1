//! Regions apart from the main one: the shared line carried through, or a line of their own.

use crate::chain::Net;
use crate::choose::Work;
use crate::joints::Joints;
use crate::robust::safest_line;
use crate::snap::snap_line;
use crate::tooth::turned;
use crate::{Candidate, RegionChoice, SetOut, SnapLine};
use plan::{Bounds, ONE_LINE, Plan, RowLines, StartLine};
use rayon::prelude::*;
use site::{Region, Site, Source, Uv};

/// Which regions carry one line.
#[derive(Debug)]
pub(crate) struct Sharing {
    /// The line a region has of its own.
    own: Vec<Option<StartLine>>,
    /// The largest region that shares its line, or the one that leads it.
    main: Option<usize>,
    /// Where the shared line goes.
    pub(crate) start_line: StartLine,
    /// Whether the plan's start line says so, and not the line of the largest region, where each has its own.
    pub(crate) is_free: bool,
    /// Rooms of each region.
    rooms: Vec<Vec<usize>>,
}

/// The lines of fewer regions than this are looked for faster by one thread.
const FEW: usize = 8;

impl Sharing {
    pub(crate) fn new(plan: &Plan, work: &Work) -> Self {
        let site = work.site;
        let rooms = rooms_of(site);
        let mut own: Vec<Option<StartLine>> = vec![None; site.regions.len()];
        for line in &plan.own_lines {
            // Something that stands right across a room parts it: every part takes the line.
            let Some(room) = plan.room_index(&line.room) else { continue };
            let mut named = vec![false; rooms.len()];
            for (region, _) in rooms.iter().enumerate().filter(|(_, rooms)| rooms.contains(&room)) {
                named[work.joints.leader(region)] = true;
            }
            // Movement joints part a floor, but not its rows.
            for region in (0..rooms.len()).filter(|region| named[work.joints.leader(*region)]) {
                own[region] = Some(line.line);
            }
        }
        let largest = |taken: &dyn Fn(usize) -> bool| {
            let areas = site.regions.iter().map(|region| region.area).enumerate();
            areas.filter(|(region, _)| taken(*region)).max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.cmp(&a.0)))
        };
        let mut start_line = plan.start_line;
        let mut main = largest(&|region| own[region].is_none()).map(|(region, _)| region);
        // Where something is laid the line lies fixed, whatever the plan says of it.
        let fixed = |region: usize| work.laid[region].as_ref().map(|lines| lines.line - work.shift(region));
        let pitch = plan.stock.pitch();
        let is_at = |start: StartLine, line: f64| {
            let StartLine::At(at) = start else { return false };
            let out = (line - at).rem_euclid(pitch);
            out.min(pitch - out) < ONE_LINE
        };
        if let Some(line) = main.and_then(fixed).filter(|line| !is_at(start_line, *line)) {
            start_line = StartLine::At(line);
        }
        for (region, own) in own.iter_mut().enumerate().filter(|(region, _)| main != Some(*region)) {
            if let Some(line) = fixed(region).filter(|line| !is_at(own.unwrap_or(start_line), *line)) {
                *own = Some(StartLine::At(line));
            }
        }
        let is_laid = main.and_then(fixed).is_some();
        let is_free = (main.is_some() || site.regions.is_empty()) && !is_laid;
        if main.is_none() {
            // Where every region has its own, that of the largest is the one they are compared with.
            main = largest(&|_| true).map(|(region, _)| region);
            for region in main.iter().flat_map(|main| work.led_by(work.joints.leader(*main))) {
                start_line = own[region].take().unwrap_or(start_line);
            }
        }
        let main = main.map(|region| work.joints.leader(region));
        // What lies in one row goes in by its wall: it neither follows the shared line nor asks anything of it, and no line of its
        // own is snapped. A strip that something parts from the rest of its room goes on with the rows there.
        let parts_of = |room: &usize| rooms.iter().filter(|rooms| rooms.contains(room)).count();
        for (region, own) in own.iter_mut().enumerate().filter(|(_, own)| own.is_none()) {
            let is_whole = rooms[region].iter().all(|room| parts_of(room) == 1);
            if main != Some(region) && is_whole && work.is_best_in_one_row(region) {
                *own = Some(StartLine::Best);
            }
        }
        Self { own, main, start_line, is_free, rooms }
    }

    /// Whether a region has a line of its own.
    pub(crate) fn is_own(&self, region: usize) -> bool {
        self.own[region].is_some()
    }
}

/// Rooms of each region, in the plan's order.
fn rooms_of(site: &Site) -> Vec<Vec<usize>> {
    let rooms = |region: &Region| {
        let walls = region.edges().filter_map(|edge| match edge.source {
            Source::Wall { room, .. } => Some(room),
            _ => None,
        });
        let mut rooms: Vec<usize> = walls.collect();
        rooms.sort_unstable();
        rooms.dedup();
        rooms
    };
    site.regions.iter().map(rooms).collect()
}

/// The part of what is laid that lies in each region: that of the first laid board in it.
pub(crate) fn laid_parts(plan: &Plan, site: &Site) -> Vec<Option<usize>> {
    let Some(laid) = &plan.laid else { return vec![None; site.regions.len()] };
    let middle = |board: &plan::LaidBoard| {
        let (u, v) = laid.inside(board);
        Uv::new(u, v)
    };
    let middles: Vec<(usize, Uv)> = laid.boards.iter().map(|board| (board.part, middle(board))).collect();
    let part_in = |region: &Region| {
        let bounds = Bounds::of(region.outer.edges.iter().map(|edge| [edge.a.u, edge.a.v]))?;
        let is_near = |p: Uv| {
            p.u > bounds.low[0] && p.u < bounds.high[0] && p.v > bounds.low[1] && p.v < bounds.high[1]
        };
        let inside = middles.iter().find(|(_, p)| is_near(*p) && is_inside(region, *p));
        inside.map(|(part, _)| *part)
    };
    site.regions.iter().map(part_in).collect()
}

/// The row lines of each region in which something is laid: those of its part. A region that movement joints part from one
/// goes on with its rows, moved on by the joints.
pub(crate) fn laid_lines(plan: &Plan, site: &Site, joints: &Joints) -> Vec<Option<RowLines>> {
    let Some(laid) = &plan.laid else { return vec![None; site.regions.len()] };
    let lines_of_part = |part: Option<usize>| Some(laid.row_lines(part?, plan.stock.pitch()));
    let own: Vec<Option<RowLines>> = laid_parts(plan, site).into_iter().map(lines_of_part).collect();
    let shift = |region: usize| joints.shifts.get(region).copied().unwrap_or(0.0);
    let lines_of = |region: usize| {
        own[region].clone().or_else(|| {
            let mut group = joints.led_by(joints.leader(region));
            let from = group.find(|other| own[*other].is_some())?;
            Some(own[from].as_ref()?.shifted(shift(region) - shift(from)))
        })
    };
    (0..own.len()).map(lines_of).collect()
}

fn is_inside(region: &Region, p: Uv) -> bool {
    let crossed = region.edges().filter(|e| {
        (e.a.v <= p.v) != (e.b.v <= p.v) && e.a.u + (e.b.u - e.a.u) * (p.v - e.a.v) / (e.b.v - e.a.v) > p.u
    });
    crossed.count() % 2 == 1
}

/// A line that a region has, or could have, of its own.
#[derive(Debug)]
struct OwnLine {
    region: usize,
    /// Its rips do not tell yet what they keep.
    candidate: Candidate,
    line: Option<SnapLine>,
    in_use: bool,
}

/// The lines that regions have, or could have, of their own, by region; the main one has none.
#[derive(Debug)]
pub(crate) struct OwnLines(Vec<OwnLine>);

/// The line of its own of every region but the main one.
pub(crate) fn region_choices(work: &Work, sharing: &Sharing) -> OwnLines {
    let own_line = |region: usize| {
        let judge = work.judge_of(region);
        let teeth = || work.led_by(region).flat_map(|region| work.of_region(region));
        let candidate = |offset: f64| judge.candidate(offset, work.rips(teeth(), |_| offset));
        let best = || candidate(judge.best(1).first().copied().unwrap_or(0.0));
        let candidate = match sharing.own[region] {
            Some(StartLine::At(offset)) => candidate((offset - work.shift(region)).rem_euclid(work.pitch)),
            Some(StartLine::Safest) => {
                let best = best();
                safest_line(work, &Net::new(work.plan, work.site), &best, |other| {
                    work.joints.leader(other) == region
                })
                .map_or(best, |line| candidate(line.offset))
            }
            Some(StartLine::Best) | None => best(),
        };
        let line = snap_line(work, &candidate, work.led_by(region));
        OwnLine { region, candidate, line, in_use: sharing.is_own(region) }
    };
    let leads = |region: &usize| work.joints.leader(*region) == *region && sharing.main != Some(*region);
    let leaders: Vec<usize> = work.regions().filter(leads).collect();
    // None asks another, so that many are looked for on several threads.
    OwnLines(leaders.into_par_iter().with_min_len(FEW).map(own_line).collect())
}

impl OwnLines {
    /// Those of a set-out.
    pub(crate) fn of(set: &SetOut) -> Self {
        let own_line = |choice: &RegionChoice| OwnLine {
            region: choice.region,
            candidate: Candidate {
                offset: turned(choice.own.offset - set.shift_of(choice.region), set.pitch),
                ..choice.own.clone()
            },
            line: choice.line.clone(),
            in_use: choice.has_own,
        };
        Self(set.regions.iter().map(own_line).collect())
    }

    /// The offset of a region's own line where that is in use, as the shared row lines have it.
    pub(crate) fn offset(&self, region: usize) -> Option<f64> {
        let at = self.0.binary_search_by_key(&region, |own| own.region).ok()?;
        Some(&self.0[at]).filter(|own| own.in_use).map(|own| own.candidate.offset)
    }

    /// Compares each region's own line with the shared one, of which a row line lies at `shared_line`.
    pub(crate) fn compare(
        self,
        work: &Work,
        sharing: &Sharing,
        shared: f64,
        shared_line: f64,
    ) -> Vec<RegionChoice> {
        let pitch = work.pitch;
        let compare = |own_line: OwnLine| {
            let OwnLine { region, candidate: mut own, line, in_use } = own_line;
            let teeth = work.led_by(region).flat_map(|region| work.of_region(region));
            let mut rips = work.rips(teeth, |_| shared);
            work.keep_profiles(&mut rips, |region| shared_line + work.shift(region));
            let own_line = line.as_ref().map_or(shared_line, |line| line.v - work.shift(line.region));
            work.keep_profiles(&mut own.rips, |region| own_line + work.shift(region));
            let out = (own.offset - shared).rem_euclid(pitch);
            own.offset = turned(own.offset + work.shift(region), pitch);
            let mut rooms: Vec<usize> =
                work.led_by(region).flat_map(|region| sharing.rooms[region].iter().copied()).collect();
            rooms.sort_unstable();
            rooms.dedup();
            RegionChoice {
                region,
                rooms,
                shared: work.judge_of(region).candidate(shared, rips),
                own,
                has_own: in_use,
                out_of_line: out.min(pitch - out),
                line,
            }
        };
        self.0.into_iter().map(compare).collect()
    }
}
