//! Values every line and chooses among them.

use crate::chain::Net;
use crate::halls::{Hall, halls};
use crate::joints::Joints;
use crate::judge::{Judge, curve};
use crate::one_row::OneRow;
use crate::own::{OwnLines, Sharing, laid_lines, region_choices};
use crate::pace::Pace;
use crate::play::following;
use crate::points::{Points, best_points};
use crate::robust::safest_line;
use crate::snap::{Corners, snap_line};
use crate::tooth::{SAME, Tooth, steep_edges, teeth};
use crate::{Candidate, CurvePoint, Profile, Rip, SetOut};
use plan::{Plan, RowLines, StartLine};
use site::{Edge, Site, Uv, spans};
use std::borrow::Cow;

/// Lines handed on to be laid and compared.
const LINES: usize = 5;

/// Sets out a site.
///
/// A line is judged at its worst within the rules' line tolerance and valued in bands (see [`crate::Value`]).
/// Bands change only at offsets that follow from the edges, so reading them there and between finds the best line
/// exactly. Regions named in the plan's own lines are set out alone.
///
/// What is set out is the field: the regions, or what a border leaves of them. In herringbone and chevron the
/// lines are axis lines and the rip at an edge is how far its smallest pieces reach (see [`Pace`]).
pub fn set_out(plan: &Plan, site: &Site) -> SetOut {
    let points = best_points(plan, site);
    let field = field_of(plan, site);
    let work = Work::new(plan, field.as_ref());
    let sharing = Sharing::new(plan, &work);
    let pitch = work.pitch;
    let judge = work.judge(|region| !sharing.is_own(region));
    let own = region_choices(&work, &sharing);

    let mut offsets = judge.best(LINES);
    if offsets.is_empty() {
        offsets.push(0.0);
    }
    let line_of = |region: usize, shared: f64| own.offset(work.joints.leader(region)).unwrap_or(shared);
    let candidate = |offset: f64| {
        let rips = work.rips(&work.teeth, |region| line_of(region, offset));
        judge.candidate(offset, rips)
    };
    let lines: Vec<Candidate> = offsets.iter().map(|offset| candidate(*offset)).collect();
    let mut chosen = match sharing.start_line {
        StartLine::Best => lines[0].clone(),
        StartLine::At(offset) => candidate(offset.rem_euclid(pitch)),
        StartLine::Safest => {
            safest_line(&work, &Net::new(plan, site), &lines[0], |region| !sharing.is_own(region))
                .map_or_else(|| lines[0].clone(), |line| candidate(line.offset))
        }
    };
    work.read_as_laid(&judge, &mut chosen);
    Chosen { lines, chosen, curve: curve(&judge), points }.set_out(&work, site, &sharing, own)
}

/// The same set-out with another of its lines in use: what [`set_out`] gives where the plan's start line is at the
/// offset of `set.lines[line]`, without looking for lines again. `set` is the set-out of the same plan and site,
/// whatever line it uses. Where every region has a line of its own, or there is no such line, nothing changes.
pub fn with_line(plan: &Plan, site: &Site, set: &SetOut, line: usize) -> SetOut {
    let field = field_of(plan, site);
    let work = Work::new(plan, field.as_ref());
    let sharing = Sharing::new(plan, &work);
    let Some(chosen) = set.lines.get(line).filter(|_| sharing.is_free) else { return set.clone() };
    let own = OwnLines::of(set);
    // Where a pattern begins along its axis hangs on no line.
    let (lines, curve, points) = (set.lines.clone(), set.curve.clone(), set.points.clone());
    Chosen { lines, chosen: chosen.clone(), curve, points }.set_out(&work, site, &sharing, own)
}

/// Lines that have been valued, and the one in use.
struct Chosen {
    lines: Vec<Candidate>,
    chosen: Candidate,
    curve: Vec<CurvePoint>,
    points: Option<Points>,
}

impl Chosen {
    /// What follows from the line in use: how it is snapped, what is compared with it, which gaps are made wider.
    /// `site` is that with the border in it.
    fn set_out(self, work: &Work, site: &Site, sharing: &Sharing, own: OwnLines) -> SetOut {
        let Self { mut lines, mut chosen, curve, points } = self;
        let line = snap_line(work, &chosen, work.regions().filter(|region| !sharing.is_own(*region)));
        // Read as the largest region's line: the row lines of others may lie beside it.
        let shared_line = line.as_ref().map_or(chosen.offset, |line| line.v - work.shift(line.region));
        let eases = work.eases(|region| own.offset(work.joints.leader(region)).unwrap_or(chosen.offset));
        let regions = own.compare(work, sharing, chosen.offset, shared_line);

        let mut region_lines: Vec<f64> =
            work.regions().map(|region| shared_line + work.shift(region)).collect();
        for choice in regions.iter().filter(|choice| choice.has_own) {
            let (line, from) = match &choice.line {
                Some(line) => (line.v, line.region),
                None => (choice.own.offset, choice.region),
            };
            for region in work.led_by(choice.region) {
                region_lines[region] = line - work.shift(from) + work.shift(region);
            }
        }
        for (line, laid) in region_lines.iter_mut().zip(&work.laid) {
            *line = laid.as_ref().map_or(*line, |laid| laid.line);
        }
        for candidate in lines.iter_mut().chain([&mut chosen]) {
            work.keep_profiles(&mut candidate.rips, |region| region_lines[region]);
        }
        let best = lines[0].clone();
        let runner_up = lines.get(1).cloned();
        let (pitch, least) = (work.pitch, work.least);
        let points = points.map(|points| points.marked(work.plan, site, line.as_ref()));
        SetOut {
            pitch,
            least,
            curve,
            lines,
            best,
            runner_up,
            chosen,
            line,
            region_lines,
            laid: work.laid.clone(),
            regions,
            shifts: work.joints.shifts.clone(),
            eases,
            along: points.as_ref().map(|points| points.ends.offset),
            points,
            tried: None,
        }
    }
}

/// The site of the field. Blocks aslant take up no strip, so there a gap's play serves nothing.
pub(crate) fn field_of<'a>(plan: &Plan, site: &'a Site) -> Cow<'a, Site> {
    if site.field.is_none() && plan.pattern.is_rows() {
        return Cow::Borrowed(site);
    }
    let mut regions = site.fields().to_vec();
    if !plan.pattern.is_rows() {
        let rings = regions.iter_mut().flat_map(|r| std::iter::once(&mut r.outer).chain(&mut r.holes));
        rings.flat_map(|ring| &mut ring.edges).for_each(|edge| edge.play = 0.0);
    }
    Cow::Owned(Site { regions, field: None, ..site.clone() })
}

/// A site read for setting out.
#[derive(Debug)]
pub(crate) struct Work<'a> {
    pub(crate) plan: &'a Plan,
    pub(crate) site: &'a Site,
    pub(crate) pitch: f64,
    pub(crate) least: f64,
    enough: f64,
    /// Each read as if its row lines lay where the shared ones do.
    pub(crate) teeth: Vec<Tooth>,
    pub(crate) joints: Joints,
    halls: Vec<Hall>,
    steep: Vec<usize>,
    pub(crate) corners: Corners,
    /// The row lines of regions in which something is laid.
    pub(crate) laid: Vec<Option<RowLines>>,
    /// Where each region's floor lies in one row, if it can.
    one_rows: Vec<Option<OneRow>>,
}

impl<'a> Work<'a> {
    /// The field of a site read across the rows or the axis.
    pub(crate) fn new(plan: &'a Plan, field: &'a Site) -> Self {
        Self::at_pace(plan, field, Pace::across(plan))
    }

    pub(crate) fn at_pace(plan: &'a Plan, site: &'a Site, pace: Pace) -> Self {
        let Pace { pitch, least, enough, .. } = pace;
        let spans: Vec<_> = site.regions.iter().map(spans).collect();
        // In a border or a pattern no row line is free to lie along a joint.
        let may_move = plan.pattern.is_rows() && plan.border.is_none();
        let joints = Joints::new(site, &spans, (pitch, least), may_move);
        let mut teeth = teeth(plan, site, &spans, &joints);
        if !plan.pattern.is_rows() {
            teeth.iter_mut().for_each(|tooth| *tooth = tooth.moved(&pace));
        }
        let halls = halls(site, &spans, &teeth);
        for tooth in &mut teeth {
            *tooth = tooth.lowered(joints.shifts[tooth.edge.region]);
        }
        let (steep, corners) = (steep_edges(site, pitch), Corners::new(plan, site));
        let laid = laid_lines(plan, site, &joints);
        // Blocks and what a border leaves are set out from a line; edges beside rows that lie are read from where these lie.
        let mut one_rows = vec![None; site.regions.len()];
        for region in (0..site.regions.len()).filter(|_| may_move) {
            let first = teeth.partition_point(|t| t.edge.region < region);
            let own = first..teeth.partition_point(|t| t.edge.region <= region);
            let one = OneRow::of(&site.regions[region], &teeth[own.clone()], joints.shifts[region], pitch);
            one_rows[region] = one;
            if laid[region].is_none() {
                teeth[own].iter_mut().for_each(|tooth| tooth.one_row = one);
            }
        }
        Self { plan, site, pitch, least, enough, teeth, joints, halls, steep, corners, laid, one_rows }
    }

    /// How far a region's row lines lie beside the shared ones, mm.
    pub(crate) fn shift(&self, region: usize) -> f64 {
        self.joints.shifts.get(region).copied().unwrap_or(0.0)
    }

    /// A region with those that joints part from it, where it is the one that leads them.
    pub(crate) fn led_by(&self, leader: usize) -> impl Iterator<Item = usize> + '_ {
        self.joints.led_by(leader)
    }

    /// Indices of all regions.
    pub(crate) fn regions(&self) -> std::ops::Range<usize> {
        0..self.site.regions.len()
    }

    /// Whether a region's floor lies in one row with the shared row lines at an offset, or by the rows that lie: nothing is
    /// snapped there.
    pub(crate) fn is_one_row(&self, region: usize, offset: f64) -> bool {
        let laid = self.laid[region].as_ref().map(|lines| lines.line - self.shift(region));
        self.one_rows[region].is_some_and(|one| one.holds(laid.unwrap_or(offset), self.pitch))
    }

    /// Whether a region with nothing laid and no movement joint, with the line to itself, is best laid in one row.
    pub(crate) fn is_best_in_one_row(&self, region: usize) -> bool {
        let is_alone = self.joints.leader(region) == region && self.led_by(region).count() == 1;
        let may_be = self.one_rows[region].is_some() && self.laid[region].is_none() && is_alone;
        may_be && self.judge_of(region).best(1).first().is_some_and(|offset| self.is_one_row(region, *offset))
    }

    /// A judge of the lines of some regions.
    pub(crate) fn judge(&self, takes: impl Fn(usize) -> bool) -> Judge<'_> {
        Judge {
            teeth: self.teeth.iter().filter(|t| takes(t.edge.region)).collect(),
            all: &self.teeth,
            halls: self
                .halls
                .iter()
                .filter(|hall| takes(self.teeth[hall.below].edge.region))
                .copied()
                .collect(),
            steep: self.steep.iter().enumerate().filter(|(region, _)| takes(*region)).map(|(_, n)| n).sum(),
            pitch: self.pitch,
            least: self.least,
            enough: self.enough,
            tolerance: self.plan.rules.line_tolerance,
        }
    }

    /// A judge of the lines of one region and those it leads.
    pub(crate) fn judge_of(&self, leader: usize) -> Judge<'_> {
        let region_of = |hall: &Hall| self.teeth[hall.below].edge.region;
        let halls_of = |region: usize| {
            let first = self.halls.partition_point(|hall| region_of(hall) < region);
            let end = self.halls.partition_point(|hall| region_of(hall) <= region);
            self.halls[first..end].iter().copied()
        };
        Judge {
            teeth: self.led_by(leader).flat_map(|region| self.of_region(region)).collect(),
            all: &self.teeth,
            halls: self.led_by(leader).flat_map(halls_of).collect(),
            steep: self.led_by(leader).map(|region| self.steep[region]).sum(),
            pitch: self.pitch,
            least: self.least,
            enough: self.enough,
            tolerance: self.plan.rules.line_tolerance,
        }
    }

    /// The teeth of one region.
    pub(crate) fn of_region(&self, region: usize) -> &[Tooth] {
        let first = self.teeth.partition_point(|t| t.edge.region < region);
        let end = self.teeth.partition_point(|t| t.edge.region <= region);
        &self.teeth[first..end]
    }

    fn edge(&self, tooth: &Tooth) -> &'a Edge {
        let region = &self.site.regions[tooth.edge.region];
        match tooth.edge.ring {
            0 => &region.outer.edges[tooth.edge.edge],
            hole => &region.holes[hole - 1].edges[tooth.edge.edge],
        }
    }

    /// A row line by which an edge is read, and the distance to the next, for the offset of its region's lines, both as the
    /// shared ones have it. Where something is laid those near the edge, whatever the offset.
    fn lines_at(&self, tooth: &Tooth, offset: f64) -> (f64, f64) {
        let region = tooth.edge.region;
        match self.laid.get(region).and_then(Option::as_ref) {
            Some(lines) => {
                let (line, pitch) = lines.near(f64::midpoint(tooth.low, tooth.high) + self.shift(region));
                (line - self.shift(region), pitch)
            }
            None => (offset, self.pitch),
        }
    }

    /// The row line and pitch by which an edge beside rows that lie was planned: gaps there are what they were made then,
    /// whatever the rows measure.
    fn planned_at(&self, tooth: &Tooth) -> Option<(f64, f64)> {
        let region = tooth.edge.region;
        let lines = self.laid.get(region)?.as_ref()?;
        let (low, high) = lines.known()?;
        let row = lines.row_of(f64::midpoint(tooth.low, tooth.high) + self.shift(region));
        let pitch = self.plan.laid.as_ref()?.pitch;
        (low..high).contains(&row).then_some((lines.line - self.shift(region), pitch))
    }

    /// The rips along some edges, for the offset of each region's lines as the shared ones have it.
    pub(crate) fn rips<'t>(
        &self,
        teeth: impl IntoIterator<Item = &'t Tooth>,
        line_of: impl Fn(usize) -> f64,
    ) -> Vec<Rip> {
        let rip = |tooth: &Tooth| {
            let edge = self.edge(tooth);
            let (offset, pitch) = self.lines_at(tooth, line_of(tooth.edge.region));
            // A whole board is one whatever it measures.
            let board = |kept: f64| if kept >= pitch - SAME { self.pitch } else { kept };
            let middle = Uv::new((edge.a.u + edge.b.u) / 2.0, (edge.a.v + edge.b.v) / 2.0);
            Rip {
                edge: tooth.edge,
                kind: edge.kind,
                source: edge.source,
                length: tooth.length,
                // Where no row line lies between it and a facing edge, that one bounds the wood.
                least: board(tooth.rip(offset, pitch)).min(tooth.facing),
                greatest: board(tooth.widest(offset, pitch)),
                hidden: tooth.hidden,
                seen: board(tooth.seen(offset, pitch)).min(tooth.facing - tooth.hidden).max(0.0),
                play: tooth.play_used(offset, pitch),
                most_play: tooth.play,
                facing: (tooth.facing < pitch).then_some(tooth.facing),
                weight: tooth.weight as f64 / 100.0,
                keeps: Profile::Groove,
                at: self.site.frame.plan_from_row(middle),
            }
        };
        teeth.into_iter().map(rip).collect()
    }

    /// Whether a rip is under the least where its edge's rows lie: there they do not lie a pitch apart, and the line is off no
    /// more. `None` where nothing lies.
    pub(crate) fn is_short_as_laid(&self, rip: &Rip) -> Option<bool> {
        self.laid.get(rip.edge.region)?.as_ref()?;
        Some(rip.seen < self.least - SAME)
    }

    /// Reads a line's narrowest rip and what is under the least from its rips where something is laid. Edges that no line
    /// helps are under it on this one, too.
    fn read_as_laid(&self, judge: &Judge, line: &mut Candidate) {
        if self.laid.iter().all(Option::is_none) {
            return;
        }
        let (least, pitch) = (self.least, self.pitch);
        let own = judge.teeth.iter().map(|tooth| tooth.edge);
        let own: std::collections::BTreeSet<_> = own.collect();
        let read: Vec<_> =
            self.teeth.iter().zip(&line.rips).filter(|(tooth, _)| own.contains(&tooth.edge)).collect();
        let is_short = |tooth: &Tooth, rip: &Rip| {
            self.is_short_as_laid(rip)
                .unwrap_or_else(|| tooth.seen_within(judge.tolerance, line.offset, pitch) < least - SAME)
        };
        let (mut short, mut weighed) = (0.0, 0.0);
        for (tooth, rip) in read.iter().filter(|(tooth, rip)| is_short(tooth, rip)) {
            short += tooth.length;
            weighed += tooth.length * rip.weight;
        }
        let seen = read.iter().map(|(tooth, rip)| (tooth, rip.seen));
        let helped: Vec<_> = seen.filter(|(tooth, _)| !tooth.is_beyond_help(least, pitch)).collect();
        let narrowest = helped.iter().fold(pitch, |narrowest, (_, seen)| narrowest.min(*seen));
        let binds = helped.iter().filter(|(_, seen)| *seen <= narrowest + 0.05);
        line.binding = binds.map(|(tooth, _)| tooth.edge).collect();
        (line.narrowest, line.narrowest_within_tolerance) = (narrowest, narrowest);
        (line.short_length, line.value.short) = (short, weighed);
    }

    /// The profile of each rip: away from the line, boards are laid tongue first, so the rip that ends the floor
    /// keeps its groove, and one that begins it again past an obstacle its tongue.
    pub(crate) fn keep_profiles(&self, rips: &mut [Rip], line_of: impl Fn(usize) -> f64) {
        for rip in rips {
            let region = &self.site.regions[rip.edge.region];
            let edge = match rip.edge.ring {
                0 => &region.outer.edges[rip.edge.edge],
                hole => &region.holes[hole - 1].edges[rip.edge.edge],
            };
            let is_above_line = (edge.a.v + edge.b.v) / 2.0 > line_of(rip.edge.region);
            rip.keeps =
                if is_above_line == edge.floor_is_above() { Profile::Tongue } else { Profile::Groove };
        }
    }

    fn eases(&self, line_of: impl Fn(usize) -> f64) -> Vec<site::Ease> {
        let ease = |t: &Tooth| {
            let shift = self.shift(t.edge.region);
            let (offset, pitch) = match self.planned_at(t) {
                Some(planned) => planned,
                None => self.lines_at(t, line_of(t.edge.region)),
            };
            t.ease(self.edge(t), shift, offset, pitch)
        };
        let mut eases: Vec<site::Ease> = self.teeth.iter().filter_map(ease).collect();
        eases.extend(following(self.site, &eases));
        let row_line = |region: usize, v: f64| match self.laid.get(region).and_then(Option::as_ref) {
            Some(lines) => lines.near(v).0,
            None => line_of(region) + self.shift(region),
        };
        eases.extend(self.joints.moves(self.site, (self.pitch, self.least), row_line));
        eases
    }
}
