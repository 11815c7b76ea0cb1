//! Regions apart from the main one: the shared line carried through, or a line of their own.

use crate::choose::Work;
use crate::robust::safest_line;
use crate::snap::snap_line;
use crate::{Candidate, RegionChoice};
use plan::{Plan, StartLine};
use site::{Site, Source};

/// Which regions carry one line.
#[derive(Debug)]
pub(crate) struct Sharing {
    /// The line a region has of its own.
    own: Vec<Option<StartLine>>,
    /// The largest region that shares its line.
    main: Option<usize>,
    /// Where the shared line goes.
    pub(crate) start_line: StartLine,
    /// Rooms of each region.
    rooms: Vec<Vec<usize>>,
}

impl Sharing {
    pub(crate) fn new(plan: &Plan, site: &Site) -> Self {
        let rooms: Vec<Vec<usize>> = site
            .regions
            .iter()
            .map(|region| {
                let mut rooms: Vec<usize> = region
                    .edges()
                    .filter_map(|edge| match edge.source {
                        Source::Wall { room, .. } => Some(room),
                        _ => None,
                    })
                    .collect();
                rooms.sort_unstable();
                rooms.dedup();
                rooms
            })
            .collect();
        let mut own: Vec<Option<StartLine>> = vec![None; site.regions.len()];
        for line in &plan.own_lines {
            // Something that stands right across a room parts it: every part takes the line.
            let Some(room) = plan.room_index(&line.room) else { continue };
            for (own, _) in own.iter_mut().zip(&rooms).filter(|(_, rooms)| rooms.contains(&room)) {
                *own = Some(line.line);
            }
        }
        let largest = |taken: &dyn Fn(usize) -> bool| {
            let areas = site.regions.iter().map(|region| region.area).enumerate();
            areas.filter(|(region, _)| taken(*region)).max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.cmp(&a.0)))
        };
        let mut start_line = plan.start_line;
        let mut main = largest(&|region| own[region].is_none()).map(|(region, _)| region);
        if main.is_none() {
            // Where every region has its own, that of the largest is the one they are compared with.
            main = largest(&|_| true).map(|(region, _)| region);
            start_line = main.and_then(|region| own[region].take()).unwrap_or(start_line);
        }
        Self { own, main, start_line, rooms }
    }

    /// Whether a region has a line of its own.
    pub(crate) fn is_own(&self, region: usize) -> bool {
        self.own[region].is_some()
    }
}

/// The lines that regions have, or could have, of their own.
#[derive(Debug)]
pub(crate) struct OwnLines {
    /// Offset of each region's own line; `None` for the main one.
    offsets: Vec<Option<f64>>,
    in_use: Vec<bool>,
}

/// The line of its own of every region but the main one.
pub(crate) fn region_choices(work: &Work, sharing: &Sharing) -> OwnLines {
    let count = work.site.regions.len();
    let offset = |region: usize| match sharing.own[region] {
        _ if sharing.main == Some(region) => None,
        Some(StartLine::At(offset)) => Some(offset.rem_euclid(work.pitch)),
        own => {
            let judge = work.judge_of(region);
            let best = judge.best(1).first().copied().unwrap_or(0.0);
            let candidate = || work.candidate(&judge, best, work.rips(work.of_region(region), |_| best));
            let is_safest = own == Some(StartLine::Safest);
            let safest =
                is_safest.then(|| safest_line(work, &candidate(), |other| other == region)).flatten();
            Some(safest.map_or(best, |line| line.offset))
        }
    };
    OwnLines {
        offsets: (0..count).map(offset).collect(),
        in_use: (0..count).map(|region| sharing.is_own(region)).collect(),
    }
}

impl OwnLines {
    /// The offset of a region's own line where that is in use.
    pub(crate) fn offset(&self, region: usize) -> Option<f64> {
        self.offsets[region].filter(|_| self.in_use[region])
    }

    /// Compares each region's own line with the shared one, of which a row line lies at `shared_line`.
    pub(crate) fn compare(
        &self,
        work: &Work,
        sharing: &Sharing,
        shared: f64,
        shared_line: f64,
    ) -> Vec<RegionChoice> {
        let pitch = work.pitch;
        let compare = |region: usize| {
            let offset = self.offsets[region]?;
            let judge = work.judge_of(region);
            let candidate = |offset: f64, line: f64| -> Candidate {
                let mut rips = work.rips(work.of_region(region), |_| offset);
                work.keep_profiles(&mut rips, |_| line);
                work.candidate(&judge, offset, rips)
            };
            let mut own = candidate(offset, shared_line);
            let line = snap_line(work.plan, work.site, &own, pitch, |other| other == region);
            if let Some(line) = &line {
                own = candidate(offset, line.v);
            }
            let out = (offset - shared).rem_euclid(pitch);
            Some(RegionChoice {
                region,
                rooms: sharing.rooms[region].clone(),
                shared: candidate(shared, shared_line),
                own,
                has_own: self.in_use[region],
                out_of_line: out.min(pitch - out),
                line,
            })
        };
        (0..work.site.regions.len()).filter_map(compare).collect()
    }
}
