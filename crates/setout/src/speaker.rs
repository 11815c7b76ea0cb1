//! How the lengths, edges and places of a line are said.

use crate::choose::Work;
use crate::robust::Limits;
use crate::{Rip, Robust, SetOut};
use plan::{Plan, Units, format_length};
use site::{EdgeKind, Site, Source};

/// Places named in one sentence; the rest are counted.
const PLACES: usize = 2;

/// Who explains a line, and what is known of it.
pub(crate) struct Speaker<'a> {
    pub(crate) work: &'a Work<'a>,
    pub(crate) plan: &'a Plan,
    pub(crate) site: &'a Site,
    pub(crate) set: &'a SetOut,
    pub(crate) robust: &'a Robust,
    pub(crate) limits: Limits,
}

pub(crate) fn seen(rip: &Rip) -> f64 {
    rip.seen
}

/// An error that may be relied on: rounded down, to tenths where it is small.
pub fn format_error(length: f64, units: Units) -> String {
    let step = match units {
        Units::Metric if length >= 2.0 => 1.0,
        Units::Metric => 0.1,
        Units::FeetInches => 25.4 / 16.0,
    };
    match (length / step + 1e-9).floor() * step {
        0.0 if units == Units::FeetInches => "less than 1/16\"".into(),
        rounded => format_length(rounded, units),
    }
}

impl Speaker<'_> {
    /// A length to the millimetre, or as feet and inches show it.
    pub(crate) fn mm(&self, length: f64) -> String {
        match self.plan.units {
            Units::Metric => format_length(plan::nearest_whole(length), Units::Metric),
            units => format_length(length, units),
        }
    }

    pub(crate) fn error(&self, length: f64) -> String {
        format_error(length, self.plan.units)
    }

    /// What the lines are lines of.
    pub(crate) fn rows(&self) -> &'static str {
        if self.set.along.is_some() { "axis" } else { "rows" }
    }

    pub(crate) fn board(&self) -> &'static str {
        if self.set.along.is_some() { "block" } else { "board" }
    }

    pub(crate) fn least(&self) -> String {
        self.mm(self.limits.least)
    }

    /// An edge as a person names it.
    pub(crate) fn place(&self, kind: EdgeKind, source: Source) -> String {
        let name = source.name(self.plan);
        match (kind, source) {
            (_, Source::Wall { room, wall }) => format!("wall {} of {}", wall + 1, self.room(room)),
            (EdgeKind::Jamb, _) => format!("a jamb of {name}"),
            (EdgeKind::UnderLeaf, _) => format!("the end under {name}"),
            (EdgeKind::Trim, _) => format!("the trim at {name}"),
            _ => name,
        }
    }

    pub(crate) fn rip_place(&self, rip: &Rip) -> String {
        self.place(rip.kind, rip.source)
    }

    /// `walls 1 and 3 of Hall, Bench and 4 more places`.
    pub(crate) fn places(&self, rips: &[&Rip]) -> String {
        let mut things: Vec<(EdgeKind, Source)> = Vec::new();
        for rip in rips {
            if !things.contains(&(rip.kind, rip.source)) {
                things.push((rip.kind, rip.source));
            }
        }
        let mut names: Vec<String> = Vec::new();
        let mut told: Vec<(EdgeKind, Source)> = Vec::new();
        for (kind, source) in &things {
            if told.contains(&(*kind, *source)) {
                continue;
            }
            let Source::Wall { room, .. } = source else {
                names.push(self.place(*kind, *source));
                continue;
            };
            // Walls of one room are named together.
            let is_here = |s: &Source| matches!(s, Source::Wall { room: r, .. } if r == room);
            let here: Vec<(EdgeKind, Source)> = things.iter().filter(|(_, s)| is_here(s)).copied().collect();
            let mut walls: Vec<usize> = here.iter().filter_map(|(_, s)| wall_of(*s)).collect();
            walls.sort_unstable();
            walls.dedup();
            let numbers: Vec<String> = walls.iter().map(|wall| (wall + 1).to_string()).collect();
            names.push(match numbers.as_slice() {
                [_] => self.place(*kind, *source),
                _ => format!("walls {} of {}", listed(&numbers), self.room(*room)),
            });
            told.extend(here);
        }
        let more = names.len().saturating_sub(PLACES);
        // One more is named as soon as counted.
        if more > 1 {
            names.truncate(PLACES);
            names.push(format!("{more} more places"));
        }
        listed(&names)
    }

    pub(crate) fn room(&self, room: usize) -> &str {
        self.plan.rooms.get(room).map_or("", |room| room.name.as_str())
    }
}

fn wall_of(source: Source) -> Option<usize> {
    match source {
        Source::Wall { wall, .. } => Some(wall),
        _ => None,
    }
}

/// `a, b and c`.
pub(crate) fn listed(names: &[String]) -> String {
    match names.split_last() {
        Some((last, [])) => last.clone(),
        Some((last, rest)) => format!("{} and {last}", rest.join(", ")),
        None => String::new(),
    }
}
