//! Borders: their joints against the rows and courses beside them, and the boards they share with the field.
#![allow(clippy::unwrap_used)]

use findings::{Flag, FlagKind};
use geo::{Area, BooleanOps, Euclidean, Length, LineString, Polygon};
use lay::Joint;
use pipeline::House;
use plan::{BoardLength, Border, Corners, Fixture, FixtureKind, GapRange, Pattern, Plan, Point, Room};
use site::Uv;
use startrow_tests::{Dice, cases, house};

fn room(width: f64, depth: f64) -> Plan {
    let mut plan = Plan::new("room");
    let corners = [(0.0, 0.0), (width, 0.0), (width, depth), (0.0, depth)];
    plan.rooms.push(Room::boarded("Room", corners.map(|(x, y)| Point::new(x, y))));
    plan
}

/// Irregular rows or a bond with a border, in an invented house.
fn bordered(seed: u64) -> Plan {
    let dice = &mut Dice::new(seed ^ 0xb0de);
    let mut plan = house(seed);
    plan.pattern = [Pattern::Irregular, Pattern::Irregular, Pattern::Half, Pattern::Third][dice.below(4)];
    let corners = if dice.one_in(2) { Corners::Mitred } else { Corners::Butted };
    plan.border = Some(Border { boards: 1 + dice.below(3) as u32, corners });
    if plan.stock.random.take().is_some() {
        plan.stock.lengths = vec![BoardLength { length: 2000.0, per_pack: 6 }];
    }
    plan
}

fn run(plan: &Plan) -> House {
    pipeline::run(plan).unwrap_or_else(|problems| panic!("{}: {problems:?}", plan.name))
}

/// Where two boards meet: its two ends on the floor, and the region.
type Line = (usize, [Uv; 2]);

/// End joints of the border, read off the corners that two boards of one strip share.
fn border_joints(house: &House) -> Vec<Line> {
    let boards = &house.floor.boards;
    let mut all = Vec::new();
    for run in &house.floor.runs {
        let of_run: Vec<usize> = run.boards.clone().filter(|i| boards[*i].in_border).collect();
        for pair in of_run.windows(2) {
            let [a, b] = [&boards[pair[0]], &boards[pair[1]]];
            if (a.right - b.left).abs() < 0.05 {
                let pitch = house.floor.pitch;
                all.push((a.region, [b.at(b.left, b.base), b.at(b.left, b.base + pitch)]));
            }
        }
    }
    all
}

fn field_joints(house: &House) -> Vec<Line> {
    let of = |j: &Joint| (house.floor.boards[j.left].region, [Uv::new(j.u, j.low), Uv::new(j.u, j.high)]);
    house.floor.joints.iter().map(of).collect()
}

/// How far two joints stand apart along the line between their courses; `None` where they do not reach one line.
fn apart(a: &Line, b: &Line) -> Option<f64> {
    let along = |line: &Line| {
        let [p, q] = line.1;
        let (u, v) = (q.u - p.u, q.v - p.v);
        let length = (u * u + v * v).sqrt();
        ((q.v - p.v) / length, -(q.u - p.u) / length)
    };
    let ((du, dv), (eu, ev)) = (along(a), along(b));
    if a.0 != b.0 || (du * ev - dv * eu).abs() > 1e-6 {
        return None;
    }
    // One must end where the other begins, seen along the courses.
    let place = |p: Uv| (p.u * du + p.v * dv, p.v * du - p.u * dv);
    let ends = |line: &Line| {
        let [p, q] = line.1.map(place);
        (p.0, p.1.min(q.1), p.1.max(q.1))
    };
    let ((at, low, high), (other, other_low, other_high)) = (ends(a), ends(b));
    ((high - other_low).abs() < 0.05 || (other_high - low).abs() < 0.05).then_some((at - other).abs())
}

/// Every pair of joints too close is flagged, and no other: by looking at each pair of segments.
#[test]
fn close_joints_of_a_border_are_flagged_pair_by_pair() {
    let mut seen = 0;
    for seed in 0..30 {
        let house = run(&bordered(seed));
        let (border, field) = (border_joints(&house), field_joints(&house));
        let limit = house.plan.rules.least_stagger - 1e-6;
        let mut pairs = 0;
        for (i, a) in border.iter().enumerate() {
            let others = border[i + 1..].iter().chain(&field);
            pairs += others.filter(|b| apart(a, b).is_some_and(|d| d < limit)).count();
        }
        let is_border = |flag: &&Flag| flag.kind == FlagKind::JointsClose && flag.place.contains("border");
        let flagged = house.flags.iter().filter(is_border).count();
        assert_eq!(flagged, pairs, "{seed} {:?} {:?}", house.plan.pattern, house.plan.border);
        seen += border.len();
    }
    assert!(seen > 250, "{seen} joints of borders");
}

/// In open rooms a border finds places for its joints: none is close to another course's or the row's beside it.
#[test]
fn a_borders_joints_keep_apart_from_the_rows_beside_them() {
    for boards in 1..=3 {
        for seed in 0..6 {
            let mut plan = room(9400.0, 6100.0);
            plan.border = Some(Border { boards, corners: Corners::Mitred });
            plan.seed = seed;
            let house = run(&plan);
            let in_border = |flag: &&Flag| flag.place.contains("border");
            let flags: Vec<&Flag> = house.flags.iter().filter(in_border).collect();
            assert!(
                flags.iter().all(|flag| flag.kind != FlagKind::JointsClose),
                "{boards} {seed}: {flags:?}"
            );
            assert!(border_joints(&house).len() > 6);
        }
    }
}

/// A room with a border of two along its lower wall, whose joints we set ourselves.
fn staged(joints: &[(i32, f64)]) -> Vec<Flag> {
    let mut plan = room(9400.0, 6100.0);
    plan.border = Some(Border { boards: 2, corners: Corners::Butted });
    plan.start_line = plan::StartLine::At(10.0 + 2.0 * plan.stock.pitch());
    let house = run(&plan);
    let mut floor = house.floor.clone();
    let pitch = floor.pitch;
    // The row that lies along the inner side of the lower border.
    let first = ((10.0 + 2.0 * pitch - floor.row_low(0, 0)) / pitch).round() as i32;
    let from = floor.boards.iter().position(|board| board.row == first && !board.in_border).unwrap();
    let inner = border_joints(&house)
        .into_iter()
        .map(|(_, [p, q])| (p, q))
        .find(|(p, q)| (p.v.max(q.v) - (10.0 + 2.0 * pitch)).abs() < 1e-6 && p.v != q.v);
    let at = inner.unwrap().0.u;
    floor.joints = joints
        .iter()
        .map(|(row, by)| {
            let low = floor.row_low(0, first + row);
            Joint { row: first + row, u: at + by, low, high: low + pitch, left: from, right: from }
        })
        .collect();
    let fit = fit::fit(&plan, &house.site, &floor);
    let flags = findings::inspect(&plan, &house.site, &floor, &fit);
    flags.into_iter().filter(|flag| flag.place.contains("border")).collect()
}

/// By hand, from a joint of the inner course: the row beside it just inside the least stagger and at it; the row
/// after that in line and just out of it; four that step by 400, and the last of them 11 off.
#[test]
fn joints_of_border_and_rows_are_held_to_the_same_rules() {
    let kinds = |joints: &[(i32, f64)]| staged(joints).iter().map(|flag| flag.kind).collect::<Vec<_>>();
    let plan = room(1.0, 1.0);
    let (stagger, even) = (plan.rules.least_stagger, plan.rules.in_line);
    assert_eq!(kinds(&[(0, stagger - 1.0)]), [FlagKind::JointsClose]);
    assert!(kinds(&[(0, stagger)]).is_empty());
    assert_eq!(kinds(&[(1, even - 0.5)]), [FlagKind::HJoint]);
    assert!(kinds(&[(1, even + 0.5)]).is_empty());
    assert_eq!(kinds(&[(0, 400.0), (1, 800.0), (2, 1200.0)]), [FlagKind::Stairs]);
    assert!(kinds(&[(0, 400.0), (1, 800.0), (2, 1211.0)]).is_empty());
    let flag = &staged(&[(0, stagger - 1.0)])[0];
    assert!((flag.figure - (stagger - 1.0)).abs() < 1e-6 && flag.mend == "move its joint by 1", "{flag:?}");
}

/// Field and border are cut from one heap of boards: as many packs hold them as hold all boards opened, and some board
/// gives to both. Every board of a pack is there once.
#[test]
fn a_border_is_cut_from_the_fields_boards_and_packs() {
    let mut shared = 0;
    for seed in 0..24 {
        let house = run(&bordered(seed));
        let (floor, stock) = (&house.floor, &house.plan.stock);
        let name = format!("{seed} {:?}", house.plan.pattern);
        let packs = floor.stock.iter().map(|board| board.pack + 1).max().unwrap_or(0);
        assert!(packs <= house.order.packs as usize, "{name}: {packs} of {}", house.order.packs);
        for length in stock.lengths.iter().filter(|length| length.per_pack > 0) {
            for pack in 0..packs {
                let is_it = |b: &&lay::StockBoard| b.pack == pack && b.length == length.length;
                let drawn = floor.stock.iter().filter(is_it).count();
                assert!(drawn <= length.per_pack as usize, "{name}: {drawn} of pack {pack}");
            }
        }
        let both = |board: &&lay::StockBoard| {
            let of_border = |of: bool| board.pieces.iter().any(|p| floor.boards[p.board].in_border == of);
            of_border(true) && of_border(false)
        };
        shared += floor.stock.iter().filter(both).count();
    }
    assert!(shared > 24, "{shared} boards give to field and border");
}

/// Herringbone blocks whose ends join come by hand, and so do those of its border: no packs of a third kind, and each
/// strip's boards are of one hand, since ends of the other would not join.
#[test]
fn a_border_round_handed_blocks_is_of_their_hands() {
    let mut plan = room(5200.0, 4100.0);
    plan.stock.face_width = 80.0;
    plan.stock.lengths = vec![BoardLength { length: 480.0, per_pack: 12 }];
    (plan.rules.least_end, plan.rules.least_stagger, plan.rules.least_rip) = (120.0, 120.0, 30.0);
    plan.pattern = Pattern::Herringbone { block: 480.0, abreast: 1 };
    plan.border = Some(Border { boards: 1, corners: Corners::Mitred });
    assert!(plan.stock.end_match);
    let house = run(&plan);
    assert_eq!(house.order.hands.len(), 2);
    for run in &house.floor.runs {
        let boards = &house.floor.boards[run.boards.clone()];
        if boards.iter().all(|board| board.in_border) {
            assert!(boards.windows(2).all(|pair| pair[0].hand == pair[1].hand));
        }
    }
}

/// A room out of square with a border of one board, and one or two things with three or four corners in it, one of them at a wall,
/// a little before or behind its face, or less than a board off it.
fn pointed(seed: u64) -> Plan {
    let dice = &mut Dice::new(seed);
    let mut plan = Plan::new(format!("pointed {seed}"));
    plan.stock.face_width = dice.mm(90.0, 240.0);
    let corners = if dice.one_in(2) { Corners::Mitred } else { Corners::Butted };
    plan.border = Some(Border { boards: 1, corners });
    plan.rows_at = [0.0, 45.0, dice.between(-60.0, 60.0)][dice.below(3)];
    if dice.one_in(2) {
        plan.rules.wall_gap = GapRange { least: 0.0, greatest: 0.0 };
    }
    let (width, depth) = (dice.mm(2500.0, 6000.0), dice.mm(2500.0, 5000.0));
    let lean = if dice.one_in(2) { dice.mm(-300.0, 300.0) } else { 0.0 };
    let room = [(0.0, 0.0), (width, 0.0), (width, depth + lean), (0.0, depth)];
    plan.rooms.push(Room::boarded("Room", room.map(|(x, y)| Point::new(x, y))));
    for number in 0..=dice.below(2) {
        let part = dice.between(0.2, 0.8);
        let off =
            [0.0, dice.between(-2.0, 2.0), dice.between(0.0, 20.0), dice.between(0.0, 240.0)][dice.below(4)];
        let (x, y, (u, v)) = [
            (part * width, off, (0.0, 1.0)),
            (width - off, part * depth, (-1.0, 0.0)),
            (part * width, depth + lean * part - off, (0.0, -1.0)),
            (off, part * depth, (1.0, 0.0)),
        ][dice.below(4)];
        let at = |along: f64, away: f64| Point::new(x - v * along + u * away, y + u * along + v * away);
        let (left, right) = (dice.between(-600.0, 100.0), dice.between(100.0, 700.0));
        let (near, far) = (dice.between(20.0, 600.0), dice.between(100.0, 700.0));
        let mut outline = vec![at(0.0, 0.0), at(right, far), at(left, near)];
        if dice.one_in(2) {
            outline.insert(2, at((left + right) / 2.0, far + near));
        }
        let kind = [FixtureKind::Island, FixtureKind::Column, FixtureKind::Hearth][dice.below(3)];
        plan.fixtures.push(Fixture::plain(format!("Thing {number}"), kind, outline));
    }
    plan
}

/// Where something touches a wall with a corner, or stands less than a board off it, border and field tile the floor all the same,
/// by geo's union, but for a micrometre along all sides of boards.
#[test]
fn a_border_round_what_touches_a_wall_tiles_the_floor() {
    let mut looked_at = 0;
    for seed in 0..u64::from(cases(150)) {
        let plan = pointed(seed);
        if !plan.problems().is_empty() {
            continue;
        }
        let house = run(&plan);
        let line = |ring: &Vec<Uv>| -> LineString { ring.iter().map(|p| (p.u, p.v)).collect() };
        let shape = |o: &lay::Outline| Polygon::new(line(&o.outer), o.holes.iter().map(line).collect());
        let boards: Vec<Polygon> = house.floor.boards.iter().map(|board| shape(&board.outline)).collect();
        let corners = |ring: &site::Ring| line(&ring.edges.iter().map(|edge| edge.a).collect());
        let region =
            |r: &site::Region| Polygon::new(corners(&r.outer), r.holes.iter().map(corners).collect());
        let floor = geo::unary_union(&house.site.regions.iter().map(region).collect::<Vec<_>>());
        let laid = geo::unary_union(&boards);
        let over = boards.iter().map(Area::unsigned_area).sum::<f64>() - laid.unsigned_area();
        let (bare, outside) =
            (floor.difference(&laid).unsigned_area(), laid.difference(&floor).unsigned_area());
        let around: f64 = boards.iter().map(|board| Euclidean.length(board.exterior())).sum();
        let most = around * 1e-3;
        assert!(
            over.max(bare).max(outside) < most,
            "{}: {over} twice, {bare} bare, {outside} outside",
            plan.name
        );
        looked_at += 1;
    }
    assert!(looked_at > 100, "{looked_at} rooms");
}
