//! What would relieve the worst place a line leaves: each remedy tried, and the one that helps named with its figure.

use crate::choose::field_of;
use crate::speaker::{Speaker, listed};
use crate::{Candidate, Rip, set_out};
use plan::{Beyond, Border, Corners, GapRange, JOINT_WIDTH, MovementJoint, OwnLine, Plan, StartLine};
use site::{Edge, Region, Site, Source, Uv};

/// Width of a trim that is tried where a room might take a line of its own, mm.
const TRIM: f64 = 30.0;
/// The widest gap that is tried, mm: what a skirting with a strip before it covers. Ours, no source.
const WIDEST_GAP: f64 = 25.0;
/// A remedy that leaves no more than this part of the short edge is worth naming where none clears it all.
const HELPS: f64 = 0.5;
/// A joint is tried no closer than this to an end of the floor, mm. Ours, no source.
const FROM_END: f64 = 600.0;
/// A place this far inside an edge lies on its floor, mm.
const INSIDE: f64 = 1.0;
/// Lengths that differ by less are the same, mm.
const ALIKE: f64 = 0.5;

/// A remedy that was tried.
struct Tried {
    /// Length of edge under the least that it leaves, mm.
    remaining: f64,
    sentence: String,
}

/// The mildest remedy that leaves no edge under the least; else the one that leaves least, where that is half or less
/// of what there is. `under` are the edges that fall short, the worst first. Each try is a set-out of another plan.
pub(crate) fn relief(speaker: &Speaker<'_>, under: &[&Rip]) -> Option<String> {
    let worst = under.first()?;
    let tries: [&dyn Fn() -> Option<Tried>; 5] = [
        &|| wider_gap(speaker, worst),
        &|| line_of_its_own(speaker, worst, under),
        &|| turned(speaker),
        &|| border(speaker),
        &|| movement_joint(speaker, worst, under),
    ];
    let mut best: Option<Tried> = None;
    for tried in tries.iter().filter_map(|attempt| attempt()) {
        if tried.remaining <= ALIKE {
            return Some(tried.sentence);
        }
        if best.as_ref().is_none_or(|best| tried.remaining < best.remaining - ALIKE) {
            best = Some(tried);
        }
    }
    let short = speaker.set.chosen.short_length;
    best.filter(|best| best.remaining <= HELPS * short).map(|best| best.sentence)
}

/// The best line of another plan, where that has one.
fn best_line(plan: &Plan) -> Option<Candidate> {
    let plan = Plan { start_line: StartLine::Best, ..plan.clone() };
    let site = site::survey(&plan);
    let set = set_out(&plan, &site);
    set.line.is_some().then_some(set.best)
}

impl Speaker<'_> {
    /// What a line would do: `keep 80 or more at every edge`, or what it would leave instead.
    fn would(&self, line: &Candidate) -> String {
        match line.short_length > ALIKE {
            true => format!(
                "leave {} of edge under {} instead of {}{}",
                self.mm(line.short_length),
                self.least(),
                self.mm(self.set.chosen.short_length),
                self.when_out()
            ),
            false => format!("keep {} or more at every edge", self.mm(line.narrowest)),
        }
    }
}

/// A wall's gap made wide enough to take the strip up.
fn wider_gap(speaker: &Speaker<'_>, worst: &Rip) -> Option<Tried> {
    let plan = speaker.plan;
    let Source::Wall { room, wall } = worst.source else { return None };
    let at = worst.edge;
    let edge = speaker.site.regions.get(at.region)?.rings().nth(at.ring)?.edges.get(at.edge)?;
    if !plan.pattern.is_rows() || plan.border.is_some() || worst.hidden > 0.0 {
        return None;
    }
    let greatest = (edge.gap + worst.greatest + 2.0 * plan.rules.line_tolerance).ceil();
    if greatest > WIDEST_GAP {
        return None;
    }
    let mut wider = plan.clone();
    wider.rooms.get_mut(room)?.walls.get_mut(wall)?.gap = Some(GapRange { least: edge.gap, greatest });
    let best = best_line(&wider)?;
    let (place, gap, would) = (speaker.rip_place(worst), speaker.mm(greatest), speaker.would(&best));
    Some(Tried {
        remaining: best.short_length,
        sentence: format!("A gap of up to {gap} at {place}, where its skirting hides that, would {would}."),
    })
}

/// The rows turned by a quarter.
fn turned(speaker: &Speaker<'_>) -> Option<Tried> {
    let plan = speaker.plan;
    let rows_at = if plan.rows_at > 0.0 { plan.rows_at - 90.0 } else { plan.rows_at + 90.0 };
    // A line typed means nothing in another direction.
    let own = |own: &OwnLine| OwnLine { line: StartLine::Best, ..own.clone() };
    let own_lines = plan.own_lines.iter().map(own).collect();
    let best = best_line(&Plan { rows_at, own_lines, ..plan.clone() })?;
    // Where no edge runs along the rows there is no rip to speak of.
    if best.rips.is_empty() {
        return None;
    }
    let (rows, would) = (speaker.rows(), speaker.would(&best));
    let sentence = match speaker.set.along {
        None => {
            format!("Rows turned to run at {rows_at}° would {would}; compare the directions before you do.")
        }
        Some(_) => {
            format!("The {rows} turned to {rows_at}° would {would}; compare the directions before you do.")
        }
    };
    Some(Tried { remaining: best.short_length, sentence })
}

/// One course of boards round the field.
fn border(speaker: &Speaker<'_>) -> Option<Tried> {
    let plan = speaker.plan;
    if plan.border.is_some() || plan.stock.random.is_some() {
        return None;
    }
    let border = Some(Border { boards: 1, corners: Corners::Mitred });
    let best = best_line(&Plan { border, ..plan.clone() })?;
    let would = speaker.would(&best);
    Some(Tried {
        remaining: best.short_length,
        sentence: format!("A border of one board round the floor would {would} inside it."),
    })
}

/// A room that trims in its doorways would part from the rest, and whose own best line would clear it.
fn line_of_its_own(speaker: &Speaker<'_>, worst: &Rip, under: &[&Rip]) -> Option<Tried> {
    let (plan, set) = (speaker.plan, speaker.set);
    let Source::Wall { room, .. } = worst.source else { return None };
    if set.line.as_ref()?.room == Some(room) {
        return None;
    }
    let mut parted = plan.clone();
    let mut doors: Vec<usize> = Vec::new();
    for (index, door) in plan.doorways.iter().enumerate() {
        let leads_there = plan.room_index(&door.room) == Some(room) || door.far_room(plan) == Some(room);
        if leads_there && door.beyond == Beyond::RunThrough && door.far_room(plan).is_some() {
            parted.doorways[index].beyond = Beyond::Trim(TRIM);
            doors.push(index);
        }
    }
    if doors.is_empty() {
        return None;
    }
    let site = site::survey(&parted);
    let field = field_of(&parted, &site);
    let is_walled_by = |region: &Region, test: &dyn Fn(usize) -> bool| {
        region.edges().any(|e| matches!(e.source, Source::Wall { room, .. } if test(room)))
    };
    let alone: Vec<Region> =
        field.regions.iter().filter(|region| is_walled_by(region, &|r| r == room)).cloned().collect();
    if alone.iter().any(|region| is_walled_by(region, &|r| r != room)) {
        return None;
    }
    parted.start_line = StartLine::Best;
    parted.own_lines.clear();
    let own = set_out(&parted, &Site { regions: alone, field: None, ..site.clone() });
    if own.best.short_length > 0.0 {
        return None;
    }
    let names: Vec<String> = doors.iter().map(|d| Source::Doorway(*d).name(plan)).collect();
    let trim = if names.len() == 1 { "A trim" } else { "Trims" };
    let elsewhere =
        under.iter().filter(|rip| !matches!(rip.source, Source::Wall { room: r, .. } if r == room));
    Some(Tried {
        // The rest of the floor is left as it is.
        remaining: elsewhere.map(|rip| rip.length).sum(),
        sentence: format!(
            "{trim} at {} and a line of its own would keep {} or more everywhere in {}.",
            listed(&names),
            speaker.mm(own.best.narrowest),
            speaker.room(room)
        ),
    })
}

/// A movement joint across the rows where the worst edge ends, past which the floor takes a line of its own. The
/// rest is left as it is.
fn movement_joint(speaker: &Speaker<'_>, worst: &Rip, under: &[&Rip]) -> Option<Tried> {
    let edge = edge_of(speaker, worst)?;
    if !speaker.plan.pattern.is_rows() || speaker.plan.border.is_some() {
        return None;
    }
    let tried = [edge.a, edge.b].into_iter().zip([edge.b, edge.a]);
    let tried = tried.filter_map(|(end, other)| joint_at(speaker, worst, under, (end.u, other.u)));
    tried.min_by(|a, b| a.remaining.total_cmp(&b.remaining))
}

fn edge_of<'s>(speaker: &'s Speaker<'_>, rip: &Rip) -> Option<&'s Edge> {
    speaker.site.regions.get(rip.edge.region)?.rings().nth(rip.edge.ring)?.edges.get(rip.edge.edge)
}

/// A joint just inside an edge's end, the edge running on towards `other`.
fn joint_at(speaker: &Speaker<'_>, worst: &Rip, under: &[&Rip], (end, other): (f64, f64)) -> Option<Tried> {
    let (plan, frame) = (speaker.plan, speaker.site.frame);
    let region = speaker.site.regions.get(worst.edge.region)?;
    let edge = edge_of(speaker, worst)?;
    let us = || region.outer.edges.iter().map(|edge| edge.a.u);
    let (left, right) = (us().fold(f64::INFINITY, f64::min), us().fold(f64::NEG_INFINITY, f64::max));
    if (end - left).min(right - end) < FROM_END {
        return None;
    }
    let u = end + JOINT_WIDTH / 2.0 * (other - end).signum();
    let at = crossing(edge, u)?;
    let opposite = region.edges().filter_map(|edge| crossing(edge, u));
    let opposite = match edge.floor_is_above() {
        true => opposite.filter(|v| *v > at + INSIDE).min_by(f64::total_cmp)?,
        false => opposite.filter(|v| *v < at - INSIDE).max_by(f64::total_cmp)?,
    };
    let [from, to] = [at, opposite].map(|v| frame.plan_from_row(Uv::new(u, v)));
    let mut parted = plan.clone();
    parted.joints.push(MovementJoint::new(from, to));
    if !parted.problems().is_empty() {
        return None;
    }
    let site = site::survey(&parted);
    let field = field_of(&parted, &site);
    let alone: Vec<Region> = field.regions.iter().filter(|part| lies_in(part, edge)).cloned().collect();
    if alone.len() != 1 || field.regions.len() != field_of(plan, speaker.site).regions.len() + 1 {
        return None;
    }
    let elsewhere = under
        .iter()
        .filter(|rip| edge_of(speaker, rip).is_none_or(|edge| !alone.iter().any(|part| lies_in(part, edge))));
    let remaining = elsewhere.map(|rip| rip.length).sum();
    parted.start_line = StartLine::Best;
    parted.own_lines.clear();
    let own = set_out(&parted, &Site { regions: alone, field: None, ..site.clone() });
    (own.line.is_some() && own.best.short_length <= 0.0).then(|| Tried {
        remaining,
        sentence: format!(
            "A movement joint across the rows where {} ends, and a line of its own past it, would keep {} or more there.",
            speaker.rip_place(worst),
            speaker.mm(own.best.narrowest)
        ),
    })
}

/// Where an edge crosses a line across the rows.
fn crossing(edge: &Edge, u: f64) -> Option<f64> {
    let (a, b) = (edge.a, edge.b);
    ((a.u <= u) != (b.u <= u)).then(|| a.v + (b.v - a.v) * (u - a.u) / (b.u - a.u))
}

/// Whether the floor beside the middle of an edge lies in a part.
fn lies_in(part: &Region, edge: &Edge) -> bool {
    let (u, v) = (f64::midpoint(edge.a.u, edge.b.u), f64::midpoint(edge.a.v, edge.b.v));
    let v = if edge.floor_is_above() { v + INSIDE } else { v - INSIDE };
    part.edges().filter_map(|edge| crossing(edge, u)).filter(|at| *at > v).count() % 2 == 1
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::{Robust, explain};
    use plan::{Doorway, Point, Room};

    fn room(name: &str, [x, y, w, h]: [f64; 4]) -> Room {
        Room::boarded(name, [(x, y), (x + w, y), (x + w, y + h), (x, y + h)].map(|(x, y)| Point::new(x, y)))
    }

    /// One room with boards of 200 and gaps of 10 that do not give.
    fn one(width: f64, height: f64) -> Plan {
        let mut plan = Plan::new("t");
        plan.stock.face_width = 200.0;
        plan.rules.wall_gap = GapRange { least: 10.0, greatest: 10.0 };
        plan.rooms.push(room("Hall", [0.0, 0.0, width, height]));
        plan
    }

    fn care(plan: &Plan) -> String {
        let site = site::survey(plan);
        let mut set = set_out(plan, &site);
        // What is asked is not whether another line of this plan would do.
        set.best = set.chosen.clone();
        let care = explain(plan, &site, &set, &Robust::default()).care;
        assert!(care.ends_with('.') && !care.contains("  "), "{care}");
        care
    }

    #[test]
    fn a_room_with_a_line_of_its_own_is_offered_only_where_that_helps() {
        // Rows at 30 modulo 200. In the hall, -90 to 1490: rips of 120 and 60. In the den, 1610 to 2710: 20 and 80.
        // By itself the den has five rows and 100 over, or four and 300: 150 at each wall, or 145 and 155, which look as
        // alike and keep the trim, 35 nearer the hall, 20 from its cliff instead of 15.
        let mut plan = one(4000.0, 1600.0);
        plan.rooms[0] = room("Hall", [0.0, -100.0, 4000.0, 1600.0]);
        plan.rooms.push(room("Den", [0.0, 1600.0, 3000.0, 1120.0]));
        plan.doorways.push(Doorway::plain("Den door", "Hall", 2, 1500.0, 800.0));
        plan.start_line = StartLine::At(30.0);
        assert_eq!(
            care(&plan),
            "A trim at Den door and a line of its own would keep 145 or more everywhere in Den."
        );
        // Where not even that keeps the least, it is not offered.
        plan.rules.least_rip = 160.0;
        assert!(!care(&plan).contains("line of its own"));
    }

    /// Rows from 10: five of 200 and a strip of 8 in 1028 between the gaps; with 2 mm either way it may be 10 wide, on
    /// a gap of 10 that makes 22. Then 1000 and whole boards at both walls remain, or 514 shared. Arithmetic.
    #[test]
    fn a_gap_takes_up_a_strip_where_a_skirting_hides_it() {
        let mut plan = one(4000.0, 1028.0);
        plan.start_line = StartLine::At(10.0);
        let care = care(&plan);
        assert!(
            care.starts_with(
                "A gap of up to 22 at wall 3 of Hall, where its skirting hides that, would keep "
            ),
            "{care}"
        );
        assert!(care.ends_with(" or more at every edge."), "{care}");
        // A strip of 30 is too wide for any gap.
        plan.rooms[0] = room("Hall", [0.0, 0.0, 4000.0, 1050.0]);
        assert!(!self::care(&plan).contains("A gap of"));
    }

    /// Rows from 10, none under 110. The wide half, 1220 between its walls, takes six of 200; the other, 1060, five and
    /// 40 over. Another line leaves 100 at most in the wide half, and so it is inside a border, and turned, where the walls
    /// lie 4000 and 8040 apart. Alone the narrow half has four and 240 over: 120 at each wall, within the band of 5. With a
    /// least of 130 nothing keeps it. Arithmetic.
    #[test]
    fn a_movement_joint_gives_the_narrow_half_a_line_of_its_own() {
        let mut plan = one(8060.0, 1220.0);
        let end = [(8060.0, 0.0), (8060.0, 1060.0), (4020.0, 1060.0), (4020.0, 1220.0)];
        let corners = [(0.0, 0.0)].into_iter().chain(end).chain([(0.0, 1220.0)]);
        plan.rules.least_rip = 110.0;
        plan.rules.line_tolerance = 0.0;
        plan.rooms[0] = Room::boarded("Hall", corners.map(|(x, y)| Point::new(x, y)));
        plan.start_line = StartLine::At(10.0);
        let care = care(&plan);
        let kept = care.strip_prefix("A movement joint across the rows where wall 3 of Hall ends, and a line of its own past it, would keep ");
        let kept =
            kept.and_then(|rest| rest.strip_suffix(" or more there.")).unwrap_or_else(|| panic!("{care}"));
        assert!((kept.parse::<f64>().unwrap() - 117.5).abs() <= 2.5, "{care}");
        // Round a border's field nothing is parted so.
        let within =
            Plan { border: Some(plan::Border { boards: 1, corners: plan::Corners::Mitred }), ..plan.clone() };
        assert!(!self::care(&within).contains("movement joint"), "{}", self::care(&within));
        plan.rules.least_rip = 130.0;
        assert!(!self::care(&plan).contains("movement joint"));
    }

    /// A wall that rises by 60 over 3000, from 500: after 1200 by 24. It holds its left end and not its right one.
    #[test]
    fn a_slanting_wall_is_crossed_where_it_stands() {
        let edge = Edge {
            a: Uv::new(4000.0, 560.0),
            b: Uv::new(1000.0, 500.0),
            kind: site::EdgeKind::Wall,
            source: Source::Wall { room: 0, wall: 0 },
            gap: 10.0,
            play: 0.0,
        };
        assert!((crossing(&edge, 2200.0).unwrap() - 524.0).abs() < 1e-9);
        assert_eq!((crossing(&edge, 999.0), crossing(&edge, 4001.0)), (None, None));
    }

    /// A hall whose facing walls step by 100: whatever line is snapped, one of them has a rip under 60 or so; turned, all
    /// walls that run along the rows are its ends, 3980 apart. 19 rows and 180 over, or 18 and two of 190.
    #[test]
    fn turning_the_rows_is_named_with_what_it_keeps() {
        let mut plan = one(4000.0, 1000.0);
        // Four steps of 50 along one side: every offset leaves one of the five rips under 50 within the tolerance.
        let side = [(4000.0, 1000.0), (3200.0, 1000.0), (3200.0, 1050.0), (2400.0, 1050.0), (2400.0, 1100.0)];
        let rest = [(1600.0, 1100.0), (1600.0, 1150.0), (0.0, 1150.0)];
        let corners = [(0.0, 0.0), (4000.0, 0.0)].into_iter().chain(side).chain(rest);
        plan.rooms[0] = Room::boarded("Hall", corners.map(|(x, y)| Point::new(x, y)));
        plan.rules.least_rip = 60.0;
        let care = care(&plan);
        assert!(care.starts_with("Rows turned to run at 90° would keep "), "{care}");
        assert!(care.ends_with(" or more at every edge; compare the directions before you do."), "{care}");
        // What it says is what the turned plan's best line keeps.
        let best = best_line(&Plan { rows_at: 90.0, ..plan.clone() }).unwrap();
        assert!(
            care.contains(&format!("keep {} or more", best.narrowest.round())),
            "{care} {}",
            best.narrowest
        );
    }

    /// A recess 150 wide and 40 deep in a wall that whole boards reach: along its back they leave 40. Turned, the end
    /// walls leave 95 only with a line at 190 to 210 or so, and there the recess's side leaves 30 to 50. A border of
    /// one board passes it by, and the 600 inside are three rows. Arithmetic.
    #[test]
    fn a_border_passes_a_recess_by() {
        let mut plan = one(4000.0, 1020.0);
        let recess = [(300.0, 1020.0), (300.0, 1060.0), (150.0, 1060.0), (150.0, 1020.0)];
        let corners = [(0.0, 0.0), (4000.0, 0.0), (4000.0, 1020.0)].into_iter().chain(recess);
        let corners = corners.chain([(0.0, 1020.0)]);
        plan.rooms[0] = Room::boarded("Hall", corners.map(|(x, y)| Point::new(x, y)));
        plan.start_line = StartLine::At(10.0);
        plan.rules.least_rip = 95.0;
        plan.rules.line_tolerance = 0.0;
        assert_eq!(
            care(&plan),
            "A border of one board round the floor would keep 200 or more at every edge inside it."
        );
    }

    /// The halves as above. A line at 110 leaves 100 at both walls of the wide one, 140 at the narrow one's, 150 at the steps of
    /// its end and 160 at the island; that at 10 leaves 40. Turned, the end's four walls stand 50 apart, so that one has 50 or
    /// less, and boards of random lengths make no border. A joint where wall 9 ends meets the island, and the floor goes on
    /// behind it. Arithmetic.
    #[test]
    fn a_joint_that_parts_nothing_is_not_offered() {
        let mut plan = one(8060.0, 1220.0);
        let steps = [(8060.0, 270.0), (8010.0, 270.0), (8010.0, 470.0), (7960.0, 470.0), (7960.0, 670.0)];
        let end = [(7910.0, 670.0), (7910.0, 1060.0), (4020.0, 1060.0), (4020.0, 1220.0), (0.0, 1220.0)];
        let corners = [(0.0, 0.0), (8060.0, 0.0)].into_iter().chain(steps).chain(end);
        plan.rooms[0] = Room::boarded("Hall", corners.map(|(x, y)| Point::new(x, y)));
        let island = [(3900.0, 480.0), (4140.0, 480.0), (4140.0, 740.0), (3900.0, 740.0)];
        plan.fixtures.push(plan::Fixture::plain(
            "Island",
            plan::FixtureKind::Island,
            island.map(|(x, y)| Point::new(x, y)).to_vec(),
        ));
        plan.stock.lengths.clear();
        plan.stock.random = Some(plan::RandomLengths { shortest: 600.0, longest: 2200.0, per_pack: 8 });
        plan.rules.least_rip = 95.0;
        plan.rules.line_tolerance = 0.0;
        plan.start_line = StartLine::At(10.0);
        assert_eq!(plan.problems(), []);
        assert!(!care(&plan).contains("movement joint"), "{}", care(&plan));
    }
}
