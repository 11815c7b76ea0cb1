//! The saw list: every cut grouped by its setting, so that each setting is made once.

use crate::mitre::Mitres;
use crate::{Notch, SawEntry, SawList, TaperEntry};
use lay::{Board, End, Floor};
use plan::{Bounds, Boxes, Plan, Units};
use site::{Edge, Region, Site, Source};
use std::collections::BTreeMap;

/// An edge misses this much of the factory edge before it counts as taken off, mm.
pub(crate) const TRUE: f64 = 0.1;
/// An edge this near to a board's bounds is looked at, mm; past what [`Board::lies_along`] reaches.
const NEAR: f64 = 1.0;

/// The saw list of a floor.
pub(crate) fn saw_list(plan: &Plan, site: &Site, floor: &Floor) -> SawList {
    let settings = || Settings { units: plan.units, entries: BTreeMap::new() };
    let mut keep_tongue = settings();
    let mut keep_groove = settings();
    let mut keep_neither = settings();
    let mut keep_left = settings();
    let mut keep_right = settings();
    let mut both = settings();
    let mut tapers = Vec::new();
    let mut notches = Vec::new();
    let mut mitres = Mitres::default();
    let filed: Vec<Filed> = site.regions.iter().map(Filed::new).collect();
    for (index, board) in floor.boards.iter().enumerate() {
        // What lies is cut.
        if floor.is_laid(index) {
            continue;
        }
        if mitres.add(index, board, floor.pitch) {
            continue;
        }
        match (board.left_end, board.right_end) {
            (End::Factory, End::Factory) => {}
            (End::Factory, End::Cut) => keep_left.add(stop(board), index, board),
            (End::Cut, End::Factory) => keep_right.add(stop(board), index, board),
            (End::Cut, End::Cut) => both.add(stop(board), index, board),
        }
        if let Some(taper) = board.taper(floor.pitch) {
            tapers.push(TaperEntry { board: index, taper, round: round(plan, &filed, board) });
        } else if board.shaped {
            add_notch(plan, &filed, floor, index, &mut notches);
        } else if board.width < floor.pitch - TRUE {
            match kept_edges(floor, board) {
                (_, true) => keep_tongue.add(board.width, index, board),
                (true, false) => keep_groove.add(board.width, index, board),
                (false, false) => keep_neither.add(board.width, index, board),
            }
        }
    }
    let rips = [keep_tongue, keep_groove, keep_neither].map(Settings::done);
    let skims = crate::skim::skims(plan.stock.kerf, floor, rips.each_ref().map(Vec::as_slice));
    let [rips_keep_tongue, rips_keep_groove, rips_keep_neither] = rips;
    SawList {
        rips_keep_tongue,
        rips_keep_groove,
        rips_keep_neither,
        crosscuts_keep_left: keep_left.done(),
        crosscuts_keep_right: keep_right.done(),
        crosscuts_both: both.done(),
        mitres: mitres.done(),
        parted: crate::parted::parted_cuts(floor, plan.stock.kerf),
        tapers,
        notches,
        skims,
    }
}

/// Whether the board keeps its groove edge and its tongue edge.
pub(crate) fn kept_edges(floor: &Floor, board: &Board) -> (bool, bool) {
    let across = || board.outline.outer.iter().map(|p| board.own(*p, floor.pitch).1);
    let (low, high) = (across().fold(f64::INFINITY, f64::min), across().fold(f64::NEG_INFINITY, f64::max));
    (low < TRUE, floor.pitch - high < TRUE)
}

/// The stop's setting for a crosscut: whole millimetres, never longer than the board; the end gap takes the rest.
fn stop(board: &Board) -> f64 {
    plan::cut_down(board.length())
}

/// Boards by setting, in tenths of a millimetre, or in the sixteenths of an inch in which it is read: what reads the same is
/// one setting.
struct Settings {
    units: Units,
    entries: BTreeMap<i64, SawEntry>,
}

impl Settings {
    fn add(&mut self, setting: f64, index: usize, board: &Board) {
        let setting = (setting * 10.0).round() / 10.0;
        let step = match self.units {
            Units::Metric => 0.1,
            Units::FeetInches => plan::tape_step(self.units),
        };
        let key = (setting / step).round() as i64;
        let none = SawEntry { setting, boards: Vec::new(), run: 0.0 };
        let entry = self.entries.entry(key).or_insert(none);
        // Of those that read the same the least: nothing is longer than its place.
        entry.setting = entry.setting.min(setting);
        entry.boards.push(index);
        entry.run += board.length();
    }

    /// Widest first: a piece spoiled at one setting still serves at a later one.
    fn done(self) -> Vec<SawEntry> {
        self.entries.into_values().rev().collect()
    }
}

/// Corners of two boards this close are one measure to a person with a rule, mm.
const ALIKE: f64 = 0.5;

/// Adds a shaped board: to one of the same shape, if there is one.
fn add_notch(plan: &Plan, filed: &[Filed<'_>], floor: &Floor, index: usize, notches: &mut Vec<Notch>) {
    let board = &floor.boards[index];
    let mut rings = board.own_rings(floor.pitch);
    let outline = rings.next().unwrap_or_default();
    let holes: Vec<Vec<(f64, f64)>> = rings.collect();
    let names = round(plan, filed, board);
    let same = |notch: &&mut Notch| {
        let other = &floor.boards[notch.board];
        board.is_block()
            && other.is_block()
            && (other.hand, &notch.round) == (board.hand, &names)
            && holes.is_empty()
            && notch.holes.is_empty()
            && is_alike(&notch.outline, &outline)
    };
    // Blocks repeat along a wall: one of the last few shapes is the same, if any is.
    if let Some(notch) = notches.iter_mut().rev().take(RECENT).find(same) {
        notch.alike.push(index);
        return;
    }
    notches.push(Notch { board: index, outline, holes, round: names, alike: Vec::new() });
}

/// Shapes looked through for one that is the same, newest first.
const RECENT: usize = 64;

/// Whether two outlines are the same from some corner on.
fn is_alike(a: &[(f64, f64)], b: &[(f64, f64)]) -> bool {
    let near = |p: &(f64, f64), q: &(f64, f64)| (p.0 - q.0).abs() < ALIKE && (p.1 - q.1).abs() < ALIKE;
    a.len() == b.len()
        && (0..b.len()).any(|shift| a.iter().enumerate().all(|(i, p)| near(p, &b[(i + shift) % b.len()])))
}

/// A region's edges, and where they lie.
struct Filed<'a> {
    edges: Vec<&'a Edge>,
    boxes: Boxes,
}

impl<'a> Filed<'a> {
    fn new(region: &'a Region) -> Self {
        let edges: Vec<&Edge> = region.edges().collect();
        let boxes = Boxes::new(edges.iter().map(|edge| Bounds::of([edge.a, edge.b].map(|p| [p.u, p.v]))));
        Self { edges, boxes }
    }

    /// What a board lies along, in the region's order.
    fn round(&self, board: &Board) -> Vec<Source> {
        let mut round: Vec<Source> = Vec::new();
        let Some(bounds) = Bounds::of(board.outline.outer.iter().map(|p| [p.u, p.v])) else { return round };
        for edge in self.boxes.meeting(bounds.grown(NEAR)).into_iter().map(|edge| self.edges[edge]) {
            if !round.contains(&edge.source) && board.lies_along(edge) {
                round.push(edge.source);
            }
        }
        round
    }
}

/// What a board is cut round, in words.
fn round(plan: &Plan, filed: &[Filed<'_>], board: &Board) -> String {
    let round = filed.get(board.region).map_or_else(Vec::new, |region| region.round(board));
    let names: Vec<String> = round.into_iter().map(|source| source.name(plan)).collect();
    names.join("; ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use plan::{GapRange, Point, Room};

    /// 2100 between the gaps of a room, boards of 200: nine whole rows and a rip of 150 at both walls, each 3980 long.
    #[test]
    fn both_rips_of_a_room_are_one_setting() {
        let mut plan = Plan::new("t");
        plan.stock.face_width = 200.0;
        plan.rules.wall_gap = GapRange { least: 10.0, greatest: 10.0 };
        let corners = [(0.0, 0.0), (4000.0, 0.0), (4000.0, 2120.0), (0.0, 2120.0)];
        plan.rooms.push(Room::boarded("Hall", corners.map(|(x, y)| Point::new(x, y))));
        let site = site::survey(&plan);
        let floor = lay::lay(&plan, &site, &setout::set_out(&plan, &site));
        let order = crate::order(&plan, &site, &floor);
        let all = [&order.saw.rips_keep_tongue, &order.saw.rips_keep_groove, &order.saw.rips_keep_neither];
        let rips: Vec<&SawEntry> = all.into_iter().flatten().collect();
        assert!(
            rips.iter().all(|rip| rip.setting == 150.0) && order.saw.rips_keep_neither.is_empty(),
            "{rips:?}"
        );
        assert!((rips.iter().map(|rip| rip.run).sum::<f64>() - 7960.0).abs() < 1e-6, "{rips:?}");
        let ripped = floor.boards.iter().filter(|board| (board.width - 150.0).abs() < 1e-9).count();
        assert_eq!(rips.iter().map(|rip| rip.boards.len()).sum::<usize>(), ripped);
        // By hand: what is opened is the boards' lengths together, and their area that times 0.2 m.
        let wood = floor.stock.iter().map(|board| board.length).sum::<f64>() / 1000.0;
        assert!((order.wood_opened - wood).abs() < 1e-9 && (order.opened_area - wood * 0.2).abs() < 1e-9);
        assert!(order.saw.notches.is_empty());
        // Every crosscut is a whole millimetre that its boards have; the longest is cut first.
        let cuts =
            [&order.saw.crosscuts_keep_left, &order.saw.crosscuts_keep_right, &order.saw.crosscuts_both];
        assert!(cuts.iter().any(|list| !list.is_empty()));
        assert!(cuts.iter().all(|list| list.is_sorted_by(|a, b| a.setting > b.setting)));
        for cut in cuts.into_iter().flatten() {
            assert!(
                cut.boards
                    .iter()
                    .all(|board| (0.0..1.0).contains(&(floor.boards[*board].length() - cut.setting)))
            );
        }
        // Nothing lies: all that is opened is still to open; of five opened two were opened before.
        assert_eq!(order.to_open(), floor.stock.len());
        assert_eq!(crate::Order { opened: 5, opened_before: 2, ..order }.to_open(), 3);
    }

    /// 169.9 and 170.4 are 107.02 and 107.34 sixteenths of an inch: both read 6 11/16", and are one setting at the least of them; in
    /// millimetres they are two.
    #[test]
    fn settings_that_read_the_same_are_one() {
        let mut plan = Plan::new("t");
        let corners = [(0.0, 0.0), (2000.0, 0.0), (2000.0, 1000.0), (0.0, 1000.0)];
        plan.rooms.push(Room::boarded("Hall", corners.map(|(x, y)| Point::new(x, y))));
        let site = site::survey(&plan);
        let floor = lay::lay(&plan, &site, &setout::set_out(&plan, &site));
        let told = |units: Units| {
            let mut settings = Settings { units, entries: BTreeMap::new() };
            for (board, setting) in [170.4, 169.9, 75.0].into_iter().enumerate() {
                settings.add(setting, board, &floor.boards[0]);
            }
            settings.done().into_iter().map(|entry| (entry.setting, entry.boards)).collect::<Vec<_>>()
        };
        assert_eq!(told(Units::FeetInches), [(169.9, vec![0, 1]), (75.0, vec![2])]);
        assert_eq!(told(Units::Metric), [(170.4, vec![0]), (169.9, vec![1]), (75.0, vec![2])]);
    }

    /// A column of 300 by 300 in the middle of the room: every shaped board is cut round it, and round nothing else.
    #[test]
    fn boards_round_a_column_are_notched_for_it() {
        let mut plan = Plan::new("t");
        let corners = |x: f64, y: f64, w: f64, h: f64| {
            [(x, y), (x + w, y), (x + w, y + h), (x, y + h)].map(|(x, y)| Point::new(x, y))
        };
        plan.rooms.push(Room::boarded("Hall", corners(0.0, 0.0, 6000.0, 3000.0)));
        plan.fixtures.push(plan::Fixture::plain(
            "Column",
            plan::FixtureKind::Column,
            corners(2900.0, 1400.0, 300.0, 300.0).to_vec(),
        ));
        let site = site::survey(&plan);
        let floor = lay::lay(&plan, &site, &setout::set_out(&plan, &site));
        let notches = crate::order(&plan, &site, &floor).saw.notches;
        let shaped = floor.boards.iter().filter(|board| board.shaped).count();
        assert!(shaped > 0);
        assert_eq!(notches.iter().map(|notch| 1 + notch.alike.len()).sum::<usize>(), shaped);
        assert!(notches.iter().all(|notch| notch.round == "Column"), "{notches:?}");
    }
}
