//! Patterns and borders: what every one must hold on invented houses, and the geometry of bonds and borders by closed forms.
#![allow(clippy::unwrap_used)]

use clipper2_rust as clipper;
use geo::Distance;
use lay::Board;
use pipeline::House;
use plan::{BoardLength, Border, Corners, OwnLine, Pattern, Plan, Point, Room, StartLine};
use proptest::prelude::*;
use startrow_tests::{Dice, cases, house};

/// Decimals of a millimetre Clipper2 reckons in.
const DECIMALS: i32 = 4;

fn lengths(plan: &mut Plan, length: f64) {
    plan.stock.lengths = vec![BoardLength { length, per_pack: 10 }];
    plan.rules.least_end = plan.rules.least_end.min(length / 3.0);
    plan.rules.least_stagger = plan.rules.least_stagger.min(length / 3.0);
    plan.rules.least_rip = plan.rules.least_rip.min(plan.stock.face_width / 2.0);
}

/// A house laid in some pattern, with or without a border.
pub(crate) fn patterned(seed: u64) -> Plan {
    let mut plan = house(seed);
    let dice = &mut Dice::new(seed ^ 0x9a77);
    plan.rows_at = [0.0, 90.0, 45.0, dice.between(-60.0, 60.0)][dice.below(4)];
    match dice.below(6) {
        0 => plan.pattern = Pattern::Half,
        1 => plan.pattern = Pattern::Third,
        kind => {
            plan.stock.face_width = dice.mm(60.0, 150.0);
            plan.stock.ten_boards = None;
            let block = dice.mm(4.0 * plan.stock.face_width, 900.0);
            lengths(&mut plan, block);
            plan.pattern = match kind {
                2 => Pattern::Herringbone { block, abreast: 1 },
                3 => Pattern::Herringbone { block, abreast: 2 },
                4 => Pattern::Chevron { block, mitre: 45.0 },
                _ => Pattern::Chevron { block, mitre: dice.between(20.0, 60.0) },
            };
            if dice.one_in(2) {
                // Blocks are cut on site, from boards of two lengths whose ends do not join.
                let of = |times: f64| BoardLength { length: (block * times).ceil() + 250.0, per_pack: 6 };
                plan.stock.lengths = vec![of(3.0), of(2.0)];
                plan.stock.end_match = false;
            }
        }
    }
    if dice.one_in(2) {
        let corners = if dice.one_in(2) { Corners::Mitred } else { Corners::Butted };
        plan.border = Some(Border { boards: 1 + dice.below(2) as u32, corners });
    }
    plan
}

pub(crate) fn run(plan: &Plan) -> House {
    pipeline::run(plan).unwrap_or_else(|problems| panic!("{}: {problems:?}", plan.name))
}

/// A length of which a pack has none is as good as not named: bonds step by the longest there is, and blocks are cut from it.
#[test]
fn a_length_that_is_in_no_pack_lays_nothing() {
    let (mut bonds, mut rows) = (0, 0);
    for seed in 0..24 {
        let plan = patterned(seed);
        let mut named = plan.clone();
        named.stock.lengths.insert(0, BoardLength { length: plan.stock.longest() + 700.0, per_pack: 0 });
        let (with, without) = (run(&named), run(&plan));
        assert_eq!(with.floor.boards, without.floor.boards, "{seed}");
        assert_eq!(with.setout.points, without.setout.points, "{seed}");
        assert!(!with.flags.iter().any(|flag| flag.kind.word() == "stock short"), "{seed}: {:?}", with.flags);
        bonds += usize::from(matches!(plan.pattern, Pattern::Half | Pattern::Third));
        rows += usize::from(!with.floor.boards.is_empty());
    }
    assert!(bonds >= 4 && rows == 24, "{bonds} {rows}");
}

/// Rings of the boards, for Clipper2: outlines anticlockwise, holes clockwise.
fn paths<'a>(rings: impl Iterator<Item = Vec<&'a site::Uv>>) -> clipper::PathsD {
    rings.map(|ring| ring.into_iter().map(|p| clipper::PointD::new(p.u, p.v)).collect()).collect()
}

fn area(paths: &clipper::PathsD) -> f64 {
    paths.iter().map(clipper::area).sum()
}

/// Boards cover the region as far as they measure, lie on one another nowhere and reach out nowhere, by
/// Clipper2's union. (geo's `unary_union` loses pieces of some of these floors.)
fn tiles(house: &House) -> Result<(), TestCaseError> {
    let name = format!("{} {:?} {:?}", house.plan.name, house.plan.pattern, house.plan.border);
    let laid: f64 = house.floor.boards.iter().map(|b| b.area).sum();
    let region = house.site.boarded_area();
    prop_assert!((laid - region).abs() < 1e-6 * region, "{name}: laid {laid}, region {region}");
    let boards = paths(house.floor.boards.iter().flat_map(|b| b.outline.rings()).map(|r| r.iter().collect()));
    let union = clipper::union_subjects_d(&boards, clipper::FillRule::NonZero, DECIMALS);
    let covered = area(&union);
    prop_assert!((covered - region).abs() < 1e-6 * region, "{name}: covered {covered}, region {region}");
    let rings = house.site.regions.iter().flat_map(|r| r.rings());
    let regions = paths(rings.map(|ring| ring.edges.iter().map(|e| &e.a).collect()));
    let outside = area(&clipper::difference_d(&union, &regions, clipper::FillRule::NonZero, DECIMALS));
    prop_assert!(outside < 1e-6 * region, "{name}: {outside} mm² lies outside");
    Ok(())
}

/// No board is wider or longer than a board; every corner lies on its whole board's place.
fn boards_are_boards(house: &House) -> Result<(), TestCaseError> {
    let pitch = house.floor.pitch;
    for board in &house.floor.boards {
        for p in board.outline.rings().flatten() {
            let (x, y) = board.own(*p, pitch);
            prop_assert!(y > -0.01 && y < pitch + 0.01, "{}: {y} across", board.label);
            let x = x - y * board.lean;
            prop_assert!(x > -0.01 && x < board.length() + 0.01, "{}: {x} along", board.label);
        }
        let stock = &house.floor.stock[board.stock];
        prop_assert!(board.from + board.length() <= stock.length + 0.02, "{}", board.label);
    }
    Ok(())
}

/// The pieces of every stock board, laid out on it as they are sawn, lie within it and a saw cut apart: distances
/// by geo. A board sold with mitred ends is a parallelogram.
fn stock_is_cut_honestly(house: &House) -> Result<(), TestCaseError> {
    let (floor, plan, pitch) = (&house.floor, &house.plan, house.floor.pitch);
    let mut seen = vec![0; floor.boards.len()];
    for (index, opened) in floor.stock.iter().enumerate() {
        let mut laid: Vec<geo::Polygon> = Vec::new();
        // As sold, ends lean as its blocks' do.
        let first = &floor.boards[opened.pieces[0].board];
        let sold = plan.pattern.is_cut_from_longer(&plan.stock) || first.in_border;
        let lean = if sold { 0.0 } else { first.lean };
        for piece in &opened.pieces {
            seen[piece.board] += 1;
            let board = &floor.boards[piece.board];
            // In rows a board is measured from long point to long point.
            let (begin, end) = if board.lean == 0.0 { piece.reach() } else { (piece.from, piece.to) };
            prop_assert_eq!((board.stock, board.from), (index, begin));
            // A board a hair longer than a piece is that piece.
            prop_assert!(
                (end - begin - board.length()).abs() < 0.11,
                "{} {} {piece:?}",
                board.label,
                board.length()
            );
            let rings: Vec<Vec<(f64, f64)>> = board.own_rings(pitch).collect();
            let ring = rings[0].iter().map(|(x, y)| (begin + x, *y)).collect::<Vec<_>>();
            for (x, y) in &ring {
                let x = x - y * lean;
                prop_assert!(x > -0.02 && x < opened.length + 0.02, "{}: {x} along its board", board.label);
                prop_assert!(*y > -0.02 && *y < pitch + 0.02, "{}: {y} across its board", board.label);
            }
            laid.push(geo::Polygon::new(ring.into(), Vec::new()));
        }
        for (i, a) in laid.iter().enumerate() {
            for b in &laid[i + 1..] {
                let apart = geo::Euclidean.distance(a, b);
                prop_assert!(apart > plan.stock.kerf - 0.02, "{:?}: {apart} apart", opened.pieces);
            }
        }
    }
    prop_assert!(seen.iter().all(|n| *n == 1));
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: cases(40), failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn patterns_tile_the_region(seed in 0_u64..1_000_000) {
        let house = run(&patterned(seed));
        tiles(&house)?;
        boards_are_boards(&house)?;
        stock_is_cut_honestly(&house)?;
    }
}

#[test]
fn the_same_plan_gives_the_same_floor() {
    for seed in 0..12 {
        let plan = patterned(seed);
        assert_eq!(run(&plan), run(&plan));
    }
}

fn room(width: f64, depth: f64) -> Plan {
    let mut plan = Plan::new("room");
    let corners = [(0.0, 0.0), (width, 0.0), (width, depth), (0.0, depth)];
    plan.rooms.push(Room::boarded("Room", corners.map(|(x, y)| Point::new(x, y))));
    plan
}

pub(crate) fn blocks(width: f64, depth: f64, face: f64, pattern: Pattern) -> Plan {
    let mut plan = room(width, depth);
    plan.stock.face_width = face;
    let (Pattern::Herringbone { block, .. } | Pattern::Chevron { block, .. }) = pattern else { return plan };
    lengths(&mut plan, block);
    plan.pattern = pattern;
    plan
}

/// Half bond: joints in line every second row within 2 mm, and half a length off the row between within 3 mm
/// (NF DTU 51.11 P1-1, 2009, §9.4.2, superseded in 2024). Thirds: in line every third row; the same tolerance
/// is used here, no source.
#[test]
fn bonds_keep_their_steps() {
    for (pattern, n) in [(Pattern::Half, 2), (Pattern::Third, 3)] {
        for rows_at in [0.0, 45.0, 17.0] {
            let mut plan = room(7300.0, 4100.0);
            plan.pattern = pattern;
            plan.rows_at = rows_at;
            let house = run(&plan);
            let length = plan.stock.longest();
            let off = |from: f64, to: f64| {
                let d = (to - from).rem_euclid(length);
                d.min(length - d)
            };
            let joints = &house.floor.joints;
            assert!(joints.len() > 20);
            for a in joints {
                for b in joints {
                    if b.row == a.row + n {
                        assert!(off(a.u, b.u) <= 2.0);
                    } else if b.row == a.row + 1 {
                        assert!((off(a.u, b.u) - length / f64::from(n)).abs() <= 3.0);
                    }
                }
            }
            let asked = |kind| matches!(kind, findings::FlagKind::HJoint | findings::FlagKind::Stairs);
            assert!(!house.flags.iter().any(|flag| asked(flag.kind)), "{pattern:?}");
        }
    }
}

/// The joints' place leaves no end piece under the least where some place does: by trying every millimetre.
#[test]
fn a_bonds_joints_are_placed_as_well_as_any() {
    for (pattern, n) in [(Pattern::Half, 2), (Pattern::Third, 3)] {
        for width in [5230.0, 6111.0, 6600.0, 7475.0] {
            let mut plan = room(width, 2400.0);
            plan.pattern = pattern;
            plan.rules.line_tolerance = 0.0;
            let house = run(&plan);
            let length = plan.stock.longest();
            let ends = |shift: f64| {
                let runs = house.floor.runs.iter();
                runs.flat_map(|run| {
                    let joint = shift + length * f64::from(run.row.rem_euclid(n)) / f64::from(n);
                    let whole = |d: f64| if d < 1e-6 || length - d < 1e-6 { length } else { d };
                    [
                        whole((joint - run.left).rem_euclid(length)),
                        whole((run.right - joint).rem_euclid(length)),
                    ]
                })
                .fold(f64::INFINITY, f64::min)
            };
            let best = (0..length as usize).map(|shift| ends(shift as f64)).fold(0.0, f64::max);
            let laid = house.floor.boards.iter().filter(|b| b.starts_run || b.ends_run).map(Board::length);
            let shortest = laid.fold(f64::INFINITY, f64::min);
            // A place a hair off a whole board is as good by this count and a sliver on site.
            let capped = best.min(plan.rules.least_end);
            assert!(
                shortest.min(plan.rules.least_end) >= capped - 1.0,
                "{pattern:?} {width}: {shortest} of {best}"
            );
        }
    }
}

/// A border of n boards leaves of a rectangle its sides less 2·n widths; its boards end at 45° where corners are
/// mitred and square where they are butted. Arithmetic.
#[test]
fn a_border_goes_round_and_meets_at_corners() {
    for corners in [Corners::Mitred, Corners::Butted] {
        let mut plan = room(5000.0, 4000.0);
        plan.border = Some(Border { boards: 2, corners });
        let house = run(&plan);
        let field = house.site.field.as_ref().unwrap();
        let line = house.setout.line.as_ref().unwrap();
        assert_eq!((line.pulls.len(), line.check.is_some()), (2, true), "the line is pulled over the border");
        assert!((field.regions[0].area - (4980.0 - 760.0) * (3980.0 - 760.0)).abs() < 1e-6);
        let border: Vec<&Board> = house.floor.boards.iter().filter(|b| b.in_border).collect();
        let area: f64 = border.iter().map(|b| b.area).sum();
        assert!((area - (4980.0 * 3980.0 - field.regions[0].area)).abs() < 1e-3);
        let aslant = border.iter().filter(|b| b.shaped).count();
        assert_eq!(aslant, if corners == Corners::Mitred { 16 } else { 0 }, "{corners:?}");
        // Joints of the two courses keep apart.
        for a in border.iter().filter(|b| b.row == 0 && !b.ends_run) {
            for b in border.iter().filter(|b| b.row == 1 && b.along == a.along && !b.ends_run) {
                let beside = (a.base - b.base).abs() < house.floor.pitch + 1.0;
                let end = |board: &Board| if board.turned { board.left } else { board.right };
                assert!(!beside || (end(a) - end(b)).abs() >= plan.rules.least_stagger - 1e-6);
            }
        }
        // Every angled cut is on the saw list with the saw at 45°.
        let sawn: usize = house.order.saw.mitres.iter().map(|entry| entry.boards.len()).sum();
        assert_eq!(sawn, aslant);
        for entry in &house.order.saw.mitres {
            let angles = [entry.left, entry.right].into_iter().flatten().filter(|a| *a != 0.0);
            assert!(angles.into_iter().all(|a| a.abs() == 45.0), "{entry:?}");
        }
    }
}

/// Rooms too small or too bent for their pattern are laid as far as they go, and nothing panics.
#[test]
fn nasty_little_rooms_are_laid() {
    let rooms: [&[(f64, f64)]; 4] = [
        &[(0.0, 0.0), (130.0, 0.0), (130.0, 120.0), (0.0, 120.0)],
        &[(0.0, 0.0), (4000.0, 0.0), (4000.0, 140.0), (0.0, 140.0)],
        &[(0.0, 0.0), (3000.0, 0.0), (120.0, 200.0)],
        &[(0.0, 0.0), (900.0, 0.0), (900.0, 900.0), (450.0, 60.0), (0.0, 900.0)],
    ];
    let all = [
        Pattern::Irregular,
        Pattern::Half,
        Pattern::Third,
        Pattern::Herringbone { block: 400.0, abreast: 2 },
        Pattern::Chevron { block: 400.0, mitre: 60.0 },
    ];
    for corners in rooms {
        for pattern in all {
            for boards in 0..3 {
                let mut plan = blocks(1.0, 1.0, 90.0, pattern);
                plan.rooms[0] = Room::boarded("Room", corners.iter().map(|(x, y)| Point::new(*x, *y)));
                plan.border = (boards > 0).then_some(Border { boards, corners: Corners::Butted });
                plan.rows_at = 20.0;
                plan.rules.least_rip = 30.0;
                let house = run(&plan);
                tiles(&house).unwrap();
                boards_are_boards(&house).unwrap();
            }
        }
    }
}

/// No bound passes what is opened, of any pattern, with or without a border.
#[test]
fn no_bound_passes_the_boards_opened() {
    for seed in 0..24 {
        let house = run(&patterned(seed));
        let (order, bound) = (&house.order, house.bound());
        let name = format!("{seed} {:?} {:?}", house.plan.pattern, house.plan.border);
        assert!(
            bound.boards <= order.opened && bound.area <= order.opened,
            "{name}: {} {}",
            bound.boards,
            order.opened
        );
        assert!(bound.packs <= order.packs && bound.wood <= order.wood_opened + 1e-9, "{name}");
        // A proven count of the floor's own pieces lies between the two.
        if let Ok(fewest) = order::fewest(&house.plan, &house.floor) {
            assert!(fewest <= order.opened, "{name}: {fewest} {}", order.opened);
        }
    }
}

/// Where the packs run out, what is bare is said: pieces laid and pieces short are those of the floor with enough.
#[test]
fn a_pattern_short_of_packs_says_what_is_bare() {
    let patterns = [
        Pattern::Half,
        Pattern::Herringbone { block: 500.0, abreast: 1 },
        Pattern::Chevron { block: 500.0, mitre: 45.0 },
    ];
    for pattern in patterns {
        for border in [None, Some(Border { boards: 1, corners: Corners::Butted })] {
            let start_line = StartLine::At(0.0);
            let mut plan = Plan { border, pattern, start_line, ..blocks(4000.0, 3000.0, 100.0, pattern) };
            let full = run(&plan).floor;
            assert!(full.short.is_empty(), "{pattern:?}");
            plan.stock.packs = Some(1);
            let house = run(&plan);
            let floor = &house.floor;
            assert_eq!(floor.boards.len() + floor.short.len(), full.boards.len(), "{pattern:?} {border:?}");
            assert!(!floor.short.is_empty() && !floor.boards.is_empty(), "{pattern:?} {border:?}");
            let flags = house.flags.iter().filter(|flag| flag.kind == findings::FlagKind::StockShort);
            assert_eq!(flags.count(), floor.short.len(), "{pattern:?} {border:?}");
            let hands = if floor.boards.iter().any(|b| b.hand.is_some()) { 2 } else { 1 };
            let kinds = hands + usize::from(hands == 2 && border.is_some());
            assert!(
                floor.stock.len() <= kinds * plan.stock.boards_per_pack() as usize,
                "{pattern:?} {border:?}"
            );
        }
    }
}

#[test]
fn another_line_in_use_is_as_if_a_pattern_were_set_out_anew() {
    for seed in 0..24 {
        let mut plan = patterned(seed);
        let rooms = plan.rooms.iter().take(seed as usize % 3);
        plan.own_lines =
            rooms.map(|room| OwnLine { room: room.name.clone(), line: StartLine::At(50.0) }).collect();
        let site = site::survey(&plan);
        let set = setout::set_out(&plan, &site);
        for (index, line) in set.lines.iter().enumerate() {
            let anew = Plan { start_line: StartLine::At(line.offset), ..plan.clone() };
            let used = setout::with_line(&plan, &site, &set, index);
            assert_eq!(used, setout::set_out(&anew, &site), "{}, line {index}", plan.name);
            // And back again from there.
            assert_eq!(setout::with_line(&plan, &site, &used, 0), set, "{}, line {index}", plan.name);
        }
    }
}
