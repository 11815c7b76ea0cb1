//! Why a rip stands under the least in the set-out: the set-out is judged by what is seen along each edge, the findings by the
//! wood of each board.

use crate::House;
use findings::{Flag, FlagKind, Subject, lies_along};
use plan::format_length;
use setout::Rip;
use site::{Edge, Uv};
use std::collections::BTreeMap;

/// A board's side this near to an edge ends at it, mm: a wall's pieces are followed by one saw cut.
const AT: f64 = 2.0;
/// What is seen that much wider than the rip is more than that, mm.
const WIDER: f64 = 1.0;

/// What is short about a rip.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ShortRip {
    /// The boards there: the findings flag one of them.
    Boards,
    /// What is seen of it alone; the boards are as wide as they have to be, but go under a kick.
    Seen,
    /// The boards beside the edge alone, over no more than half of any: the rest of each is wider, and no leg is thin.
    Beside,
}

impl House {
    /// What is short about each rip of the line in use, in their order; `None` where nothing is.
    pub fn short_rips(&self) -> Vec<Option<ShortRip>> {
        let least = self.setout.least;
        // A sliver is its whole board, a thin leg is where it stands.
        let narrow = |flag: &Flag| {
            let (&Subject::Board(board), FlagKind::Sliver | FlagKind::ThinLeg) = (&flag.subject, flag.kind)
            else {
                return None;
            };
            let leg = (flag.kind == FlagKind::ThinLeg).then(|| self.site.frame.row_from_plan(flag.at));
            Some((board, leg))
        };
        let flagged: BTreeMap<usize, Option<Uv>> = self.flags.iter().filter_map(narrow).collect();
        let of = |rip: &Rip| {
            if rip.seen >= least {
                return None;
            }
            if rip.least >= least {
                return Some(ShortRip::Seen);
            }
            // Blocks of a pattern are judged by their points.
            let edge = self.edge_of(rip).filter(|_| self.plan.pattern.is_rows());
            let Some(edge) = edge else { return Some(ShortRip::Boards) };
            let mut boards = self.boards_at(edge).peekable();
            let is_leg = rip.least >= self.plan.rules.least_leg && boards.peek().is_some();
            let is_flagged = |board: usize| match flagged.get(&board) {
                Some(Some(leg)) => off(edge, *leg) < rip.greatest + AT,
                Some(None) => true,
                None => false,
            };
            Some(if is_leg && !boards.any(is_flagged) { ShortRip::Beside } else { ShortRip::Boards })
        };
        self.setout.chosen.rips.iter().map(of).collect()
    }

    fn edge_of(&self, rip: &Rip) -> Option<&Edge> {
        let region = self.site.fields().get(rip.edge.region)?;
        region.rings().nth(rip.edge.ring)?.edges.get(rip.edge.edge)
    }

    /// The boards with a side along an edge.
    fn boards_at<'a>(&'a self, edge: &'a Edge) -> impl Iterator<Item = usize> + 'a {
        let boards = self.floor.boards.iter().enumerate();
        boards.filter(|(_, board)| lies_along(board, edge)).map(|(index, _)| index)
    }

    /// Why a rip stands under the least, for the line of a list: what is seen of it, and where the reason lies.
    pub fn short_rip_words(&self, rip: &Rip, short: ShortRip) -> String {
        let length = |mm: f64| format_length(mm, self.plan.units);
        let seen = length(plan::judged(rip.seen, self.setout.least, 1.0));
        let seen = match is_all_hidden(rip) {
            true => format!("all of it hidden, {seen} of the row before seen"),
            false => format!("{seen} of it seen"),
        };
        match short {
            ShortRip::Seen => format!("{seen}, under the least to the eye alone"),
            ShortRip::Boards if rip.hidden > 0.0 => format!("{seen}, under the least"),
            ShortRip::Boards => "under the least".into(),
            ShortRip::Beside => "under the least, over no more than half of a board".into(),
        }
    }

    /// What a list says of a rip besides its figure: why it stands under the least, or that nothing of it is seen.
    pub fn rip_words(&self, rip: &Rip, short: Option<ShortRip>) -> Option<String> {
        if let Some(short) = short {
            return Some(self.short_rip_words(rip, short));
        }
        let seen = || format_length(rip.seen.round(), self.plan.units);
        is_all_hidden(rip).then(|| format!("all of it hidden, {} of the row before seen", seen()))
    }
}

/// Whether a rip lies wholly under something, so that the row before it is seen.
fn is_all_hidden(rip: &Rip) -> bool {
    rip.seen > rip.least + WIDER
}

/// How far a point lies across from the line of an edge along the rows, mm.
fn off(edge: &Edge, p: Uv) -> f64 {
    let (a, b) = (edge.a, edge.b);
    (p.v - a.v - (b.v - a.v) * (p.u - a.u) / (b.u - a.u)).abs()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::run;
    use plan::{Doorway, Fixture, FixtureKind, Lining, Plan, Point, Room, StartLine};

    fn hall() -> Plan {
        let mut plan = Plan::new("t");
        plan.rules.wall_gap.greatest = plan.rules.wall_gap.least;
        let corners = [(0.0, 0.0), (4000.0, 0.0), (4000.0, 3000.0), (0.0, 3000.0)].map(Point::from);
        plan.rooms.push(Room::boarded("Hall", corners));
        plan
    }

    fn told(house: &House, place: &str) -> Vec<(Rip, ShortRip, String)> {
        let rips = house.setout.chosen.rips.iter().zip(house.short_rips());
        let here = rips.filter(|(rip, _)| rip.source.name(&house.plan) == place);
        here.filter_map(|(rip, short)| {
            let short = short?;
            Some((*rip, short, house.short_rip_words(rip, short)))
        })
        .collect()
    }

    fn is_flagged(house: &House) -> bool {
        house.flags.iter().any(|flag| matches!(flag.kind, FlagKind::Sliver | FlagKind::ThinLeg))
    }

    /// A kick along the upper wall whose front stands at 2500; boards go 40 under it, to 2540. Row lines at 10 + n · 190: the
    /// thirteenth is 2480, so 60 are kept and 20 of them seen. No board there is a sliver: 60 are more than 50.
    #[test]
    fn a_rip_that_only_looks_narrow_says_what_is_seen() {
        let mut plan = hall();
        let outline = [(-20.0, 2500.0), (4020.0, 2500.0), (4020.0, 3020.0), (-20.0, 3020.0)].map(Point::from);
        plan.fixtures.push(Fixture::plain(
            "Bench",
            FixtureKind::Kick { clearance: 100.0, tuck: 40.0 },
            outline.to_vec(),
        ));
        plan.start_line = StartLine::At(10.0);
        let house = run(&plan).unwrap();
        let [(rip, short, words)] = &told(&house, "Bench")[..] else { panic!("{:?}", told(&house, "Bench")) };
        assert!((rip.least - 60.0).abs() < 1e-6 && *short == ShortRip::Seen, "{rip:?}");
        assert_eq!(words, "20 of it seen, under the least to the eye alone");
        assert!(!is_flagged(&house), "{:?}", house.flags);
        // Nineteen higher 41 are kept, and 1 seen: now the boards themselves are slivers.
        plan.start_line = StartLine::At(29.0);
        let house = run(&plan).unwrap();
        let [(_, short, words)] = &told(&house, "Bench")[..] else { panic!() };
        assert_eq!((*short, words.as_str()), (ShortRip::Boards, "1 of it seen, under the least"));
        assert!(is_flagged(&house));
        // One more and the row line lies under the front itself; five more and 34 lie under the bench, of the row before 184
        // are seen. To the eye nothing is narrow, but the strip has to hold all the same.
        for (line, kept, seen) in [(30.0, 40.0, 190.0), (36.0, 34.0, 184.0)] {
            plan.start_line = StartLine::At(line);
            let house = run(&plan).unwrap();
            let source = |rip: &&Rip| rip.source.name(&house.plan) == "Bench";
            let rip = house.setout.chosen.rips.iter().find(source).unwrap();
            assert!((rip.least - kept).abs() < 1e-6 && (rip.seen - seen).abs() < 1e-6, "{rip:?}");
            assert!(told(&house, "Bench").is_empty());
            let words = format!("all of it hidden, {seen} of the row before seen");
            assert_eq!(house.rip_words(rip, None), Some(words));
            assert!(is_flagged(&house), "{:?}", house.flags);
        }
    }

    /// A hall 2100 wide, so that each row is one board, 2080 long. An opening 1700 wide in the middle of its upper wall leaves
    /// 200 of that at each side, on the hall's and on the den's: the board is narrow over 4 · 200 of its length, less than half,
    /// and 190 in the opening. Of 190 the wall, 100, takes 120 with its gaps: 40 in the hall leave 30 in the den, both of which
    /// keep the least leg of 30; 45 leave 25, a thin leg, which is flagged in the den and no matter of the hall's edge. An
    /// opening 500 wide leaves 800 at each side: a sliver.
    #[test]
    fn what_is_narrow_beside_an_opening_alone_says_so() {
        let cases = [
            (1700.0, 40.0, ShortRip::Beside, false),
            (1700.0, 45.0, ShortRip::Beside, true),
            (500.0, 40.0, ShortRip::Boards, true),
        ];
        for (width, kept, expected, has_flag) in cases {
            let mut plan = Plan::new("t");
            plan.rules.wall_gap.greatest = plan.rules.wall_gap.least;
            plan.stock.lengths = vec![plan::BoardLength { length: 2200.0, per_pack: 4 }];
            for (name, low, high) in [("Hall", 0.0, 3000.0), ("Den", 3100.0, 6000.0)] {
                let corners = [(0.0, low), (2100.0, low), (2100.0, high), (0.0, high)].map(Point::from);
                plan.rooms.push(Room::boarded(name, corners));
            }
            plan.doorways.push(Doorway {
                lining: Lining::Fitted,
                ..Doorway::plain("Opening", "Hall", 2, (2100.0 - width) / 2.0, width)
            });
            // The row line so far under the wall's gap, which ends at 2990.
            plan.start_line = StartLine::At((2990.0_f64 - kept).rem_euclid(190.0));
            let house = run(&plan).unwrap();
            let row = house
                .floor
                .boards
                .iter()
                .filter(|board| board.outline.outer.iter().any(|p| (p.v - 2990.0).abs() < 1.0));
            let lengths: Vec<f64> = row.map(lay::Board::length).collect();
            assert!(lengths.len() == 1 && (lengths[0] - 2080.0).abs() < 1e-6, "{lengths:?}");
            let narrow = told(&house, "Hall, wall 3");
            assert_eq!(narrow.len(), 2, "{narrow:?}");
            for (rip, short, words) in &narrow {
                assert!((rip.least - kept).abs() < 1e-6 && *short == expected, "{short:?}");
                let says_why = words == "under the least, over no more than half of a board";
                assert_eq!(says_why, expected == ShortRip::Beside, "{words}");
            }
            assert_eq!(is_flagged(&house), has_flag, "{:?}", house.flags);
            let legs = told(&house, "Den, wall 1")
                .iter()
                .filter(|(.., short, _)| *short == ShortRip::Boards)
                .count();
            assert_eq!(legs > 0, has_flag);
        }
    }
}
