//! Boards that measure wider or narrower than the plan says: what that does to the rips, and how far the
//! pitch may be out before another rip is a sliver.
//!
//! The line stays where it was pulled; rows are counted from it outward, so the error grows with them.

use crate::choose::{Work, field_of};
use crate::tooth::{SAME, Tooth};
use crate::{EdgeRef, SetOut};
use plan::Plan;
use site::Site;

/// Errors of the pitch that are looked at, mm.
const ERRORS: [f64; 3] = [0.1, 0.2, 0.5];

/// The rips where boards measure more or less than the plan says.
#[derive(Debug, Clone, PartialEq)]
pub struct AtPitch {
    /// How much wider each board is, mm; negative where narrower.
    pub wider_by: f64,
    /// Narrowest kept width along each edge, mm, in the order of the line's rips.
    pub rips: Vec<(EdgeRef, f64)>,
    /// Narrowest seen rip over all edges, mm.
    pub narrowest: f64,
    /// The edge that holds it.
    pub at: Option<EdgeRef>,
}

/// The pitches at which every edge that keeps the least rip goes on keeping it.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct PitchRange {
    /// Narrowest boards, mm, and the edge that fails below; `None` where none does.
    pub least: Option<(f64, EdgeRef)>,
    /// Widest boards, mm, and the edge that fails above.
    pub greatest: Option<(f64, EdgeRef)>,
}

/// What boards wider or narrower than in the plan do to the line in use.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct WidthEffect {
    /// For each error looked at, narrower and wider boards, from −0.5 to 0.5 mm.
    pub errors: Vec<AtPitch>,
    /// How far the pitch may be out.
    pub range: PitchRange,
    /// Most whole rows between the line and an edge: each adds its error.
    pub most_rows: usize,
}

/// Values the line in use at other pitches than the plan's. Axis lines lie as far apart as the blocks' length has it,
/// so in herringbone and chevron there is nothing to say.
pub fn width_effect(plan: &Plan, site: &Site, set: &SetOut) -> WidthEffect {
    width_of(&Work::new(plan, &field_of(plan, site)), set)
}

pub(crate) fn width_of(work: &Work, set: &SetOut) -> WidthEffect {
    if !work.plan.pattern.is_rows() {
        return WidthEffect::default();
    }
    let teeth = &work.teeth;
    // Without a line no row grows away from one, and without an edge along the rows there is no rip.
    if teeth.is_empty() || (set.line.is_none() && set.own_lines().next().is_none()) {
        return WidthEffect::default();
    }
    let line = |tooth: &Tooth| set.line_as_shared(tooth.edge.region);
    // An edge that faces another nearer than a board bounds the wood on any line.
    let seen =
        |tooth: &Tooth, pitch: f64| tooth.seen(line(tooth), pitch).min(tooth.facing - tooth.hidden).max(0.0);
    let mut errors: Vec<f64> = ERRORS.iter().rev().map(|d| -d).chain(ERRORS).collect();
    errors.retain(|d| set.pitch + d > 0.0);
    let errors = errors
        .into_iter()
        .map(|wider_by| {
            let pitch = set.pitch + wider_by;
            let narrowest =
                teeth.iter().map(|tooth| (seen(tooth, pitch), tooth.edge)).min_by(|a, b| a.0.total_cmp(&b.0));
            AtPitch {
                wider_by,
                rips: teeth
                    .iter()
                    .map(|tooth| (tooth.edge, tooth.rip(line(tooth), pitch).min(tooth.facing)))
                    .collect(),
                narrowest: narrowest.map_or(pitch, |(rip, _)| rip),
                at: narrowest.map(|(_, edge)| edge),
            }
        })
        .collect();
    let mut range = PitchRange::default();
    for tooth in teeth {
        let Some((least, greatest)) = pitches(tooth, line(tooth), work.least, set.pitch) else {
            continue;
        };
        if range.least.is_none_or(|(bound, _)| least > bound) && least > 0.0 {
            range.least = Some((least, tooth.edge));
        }
        if range.greatest.is_none_or(|(bound, _)| greatest < bound) && greatest.is_finite() {
            range.greatest = Some((greatest, tooth.edge));
        }
    }
    let most_rows = teeth.iter().map(|tooth| (reach(tooth, line(tooth)).abs() / set.pitch).floor() as usize);
    WidthEffect { errors, range, most_rows: most_rows.max().unwrap_or(0) }
}

/// Distance across the rows from the cliff of what is seen at the edge to the line, positive on the floor's side.
fn reach(tooth: &Tooth, line: f64) -> f64 {
    if tooth.floor_is_above { line - tooth.front() } else { tooth.front() - line }
}

/// The interval of pitches round `pitch` at which the edge keeps `least`; `None` where it does not now.
///
/// With n whole rows between line and cliff the row lines are d − n·p past it, d the distance: the edge keeps
/// the least and stays one board's rip while short ≤ d − n·p ≤ p. Rows past the line count negative.
fn pitches(tooth: &Tooth, line: f64, least: f64, pitch: f64) -> Option<(f64, f64)> {
    if tooth.seen(line, pitch) < least - SAME {
        return None;
    }
    let Some(short) = tooth.short_until(least) else { return Some((0.0, f64::INFINITY)) };
    let d = reach(tooth, line);
    // On the cliff itself a whole board still counts.
    let rows = ((d - SAME) / pitch).ceil() - 1.0;
    let (mut from, mut to) = (0.0_f64, f64::INFINITY);
    // rows · p ≤ d − short
    if rows > 0.0 {
        to = to.min((d - short) / rows);
    } else if rows < 0.0 {
        from = from.max((d - short) / rows);
    }
    // (rows + 1) · p ≥ d
    if rows + 1.0 > 0.0 {
        from = from.max(d / (rows + 1.0));
    } else if rows + 1.0 < 0.0 {
        to = to.min(d / (rows + 1.0));
    }
    Some((from.min(pitch), to.max(pitch)))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::set_out;
    use plan::{GapRange, Point, Room, StartLine};

    fn room(height: f64, line: f64) -> Plan {
        let mut plan = Plan::new("t");
        plan.stock.face_width = 200.0;
        plan.rules.wall_gap = GapRange { least: 10.0, greatest: 10.0 };
        plan.start_line = StartLine::At(line);
        let corners = [(0.0, 0.0), (4000.0, 0.0), (4000.0, height), (0.0, height)];
        plan.rooms.push(Room::boarded("Hall", corners.map(|(x, y)| Point::new(x, y))));
        plan
    }

    #[test]
    fn a_fifth_of_a_millimetre_over_forty_rows_is_eight() {
        // Floor from 10 to 16 250. Whatever line is snapped, the rows between the two walls grow by 0.2 each;
        // 40 rows of them are 8 mm: arithmetic, as the handbooks of the trade have it.
        let plan = room(16_260.0, 110.0);
        let site = site::survey(&plan);
        let set = set_out(&plan, &site);
        let effect = width_effect(&plan, &site, &set);
        let v = set.line.as_ref().unwrap().v;
        let wider = effect.errors.iter().find(|e| e.wider_by == 0.2).unwrap();
        for rip in &set.chosen.rips {
            let rows = ((rip.at.y - v).abs() / 200.0).floor();
            let then = wider.rips.iter().find(|(edge, _)| *edge == rip.edge).unwrap().1;
            assert!((rip.least - then - 0.2 * rows).abs() < 1e-6, "{} {then} {rows}", rip.least);
        }
        let rows: f64 = set.chosen.rips.iter().map(|r| ((r.at.y - v).abs() / 200.0).floor()).sum();
        assert!(rows >= 79.0, "both walls together are some eighty rows apart, not {rows}");
    }

    /// A floor of one row, 100 wide, is ripped to 100 whatever boards measure, and no line's error adds to it. Rows aslant to
    /// every wall leave no rip. A vent 60 from the wall leaves 40 of floor between their gaps, less than the least rip: no board there is
    /// wider, up to the row line it would be 100 or 140; past the vent it is 180, at the wall across 160 and up to 5 more or less.
    #[test]
    fn boards_off_their_width_change_no_rip_that_the_floor_itself_bounds() {
        let effect = |plan: &Plan| {
            let site = site::survey(plan);
            width_effect(plan, &site, &set_out(plan, &site))
        };
        assert_eq!(effect(&room(120.0, 0.0)), WidthEffect::default());
        let mut aslant = room(3000.0, 0.0);
        aslant.rows_at = 30.0;
        assert_eq!(effect(&aslant), WidthEffect::default());
        let mut vent = room(2120.0, 150.0);
        let outline = [(1000.0, 60.0), (1300.0, 60.0), (1300.0, 160.0), (1000.0, 160.0)].map(Point::from);
        vent.fixtures.push(plan::Fixture::plain("Vent", plan::FixtureKind::Vent, outline.to_vec()));
        let errors = effect(&vent).errors;
        assert_eq!(errors.len(), 6);
        for error in errors {
            assert!((error.narrowest - 40.0).abs() < 1e-9 && error.at.is_some(), "{error:?}");
            // The vent's side over against the wall.
            let of_vent = error.rips.iter().filter(|(edge, _)| edge.ring == 1).map(|(_, rip)| *rip);
            assert!((of_vent.fold(f64::INFINITY, f64::min) - 40.0).abs() < 1e-9, "{error:?}");
        }
    }

    #[test]
    fn the_range_of_pitches_is_worked_out_by_hand() {
        // Floor from 10 to 2110; line at 1110 (110 modulo 200). Below it 1100: five rows and 100; above 1000:
        // five whole rows, that is four and a whole board. Least 50.
        let plan = room(2120.0, 110.0);
        let site = site::survey(&plan);
        let mut set = set_out(&plan, &site);
        set.region_lines = vec![1110.0];
        let effect = width_effect(&plan, &site, &set);
        let (least, _) = effect.range.least.unwrap();
        let (greatest, at) = effect.range.greatest.unwrap();
        // Narrower boards: the whole board above becomes a sliver at once. Wider: 1100 − 5p ≥ 50 up to 210.
        assert!((least - 200.0).abs() < 1e-9, "{least}");
        assert!((greatest - 210.0).abs() < 1e-9, "{greatest}");
        assert_eq!(at.edge, set.chosen.rips.iter().find(|r| r.at.y < 1000.0).unwrap().edge.edge);
    }

    /// An edge that lies past the line, its floor on the far side, as beyond a corner that turns back: row lines are
    /// counted away from it.
    fn range_of(height: f64, line: f64, least_rip: f64) -> (f64, f64) {
        let mut plan = room(height, 0.0);
        plan.rules.least_rip = least_rip;
        let site = site::survey(&plan);
        let mut set = set_out(&plan, &site);
        set.region_lines = vec![line];
        let range = width_effect(&plan, &site, &set).range;
        (range.least.unwrap().0, range.greatest.unwrap().0)
    }

    #[test]
    fn the_range_of_pitches_beyond_the_line_is_worked_out_by_hand() {
        // Floor from 10 to 2105, least rip 30. Line at -155, 165 below the lower wall's gap: its row line is one pitch
        // on and leaves p - 165, so p ≥ 195. To the upper edge it is 2260 = 11 · 200 + 60: 11p ≤ 2230, 12p ≥ 2260.
        let (least, greatest) = range_of(2115.0, -155.0, 30.0);
        assert!((least - 195.0).abs() < 1e-9, "{least}");
        assert!((greatest - 2230.0 / 11.0).abs() < 1e-9, "{greatest}");
        // 1605 below: nine pitches on leave 195, and no more than a board while 8p ≤ 1605. To the upper edge 3700 =
        // 18 · 200 + 100: 18p ≤ 3670, 19p ≥ 3700.
        let (least, greatest) = range_of(2115.0, -1595.0, 30.0);
        assert!((least - 3700.0 / 19.0).abs() < 1e-9, "{least}");
        assert!((greatest - 1605.0 / 8.0).abs() < 1e-9, "{greatest}");
        // 365 below: two pitches on leave 35: 2p ≥ 365 + 30. To the upper edge 2460 = 12 · 200 + 60: 12p ≤ 2430.
        let (least, greatest) = range_of(2115.0, -355.0, 30.0);
        assert!((least - 197.5).abs() < 1e-9, "{least}");
        assert!((greatest - 202.5).abs() < 1e-9, "{greatest}");
    }
}
