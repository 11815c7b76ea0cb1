//! Herringbone and chevron: how many blocks there are, how they lie and where they stand, by closed forms.
#![allow(clippy::unwrap_used)]

use crate::patterns::{blocks, run};
use lay::{Board, Hand};
use pipeline::House;
use plan::{BoardLength, Border, Corners, Pattern, Point, Room};

fn whole(house: &House, block: f64) -> impl Iterator<Item = &Board> {
    let area = block * house.floor.pitch;
    house.floor.boards.iter().filter(move |b| (b.area - area).abs() < 1e-3)
}

/// In a large room the whole blocks number its area over a block's, less those the walls cut: a block that
/// meets a wall lies within its own reach of it. Arithmetic.
#[test]
fn whole_blocks_number_the_area_over_a_blocks() {
    for pattern in [
        Pattern::Herringbone { block: 490.0, abreast: 1 },
        Pattern::Herringbone { block: 490.0, abreast: 2 },
        Pattern::Chevron { block: 490.0, mitre: 45.0 },
        Pattern::Chevron { block: 490.0, mitre: 30.0 },
    ] {
        let house = run(&blocks(14000.0, 11000.0, 70.0, pattern));
        let (inner, outer) = (
            (13980.0 - 2.0 * 560.0) * (10980.0 - 2.0 * 560.0) / (490.0 * 70.0),
            13980.0 * 10980.0 / (490.0 * 70.0),
        );
        let count = whole(&house, 490.0).count() as f64;
        assert!(count > inner && count < outer, "{pattern:?}: {count} whole, {inner} to {outer}");
        let hands = |hand| whole(&house, 490.0).filter(|b| b.hand == Some(hand)).count() as f64;
        let (left, right) = (hands(Hand::Left), hands(Hand::Right));
        assert!((left - right).abs() < 0.03 * count, "{pattern:?}: {left} left, {right} right");
    }
}

/// Cut on site from boards with square ends, blocks of one hand share their cuts: with a mitre of 45° a board of 2200
/// by 90 gives four of 520 with three cuts of 3·√2 and the last one's long point, 90: 2182.7. With mitres of their own,
/// a wedge of 90 between every two, it would give three. Both hands come from the same boards. Arithmetic.
#[test]
fn chevron_blocks_cut_on_site_share_their_mitres() {
    let mut plan = blocks(4800.0, 3600.0, 90.0, Pattern::Chevron { block: 520.0, mitre: 45.0 });
    plan.stock.lengths = vec![BoardLength { length: 2200.0, per_pack: 7 }];
    plan.stock.end_match = false;
    let house = run(&plan);
    let floor = &house.floor;
    assert_eq!(house.order.hands.iter().map(|line| line.hand).collect::<Vec<_>>(), [None]);
    assert_eq!(house.order.packs as usize, floor.stock.len().div_ceil(7));
    let whole = |piece: &&lay::Piece| (piece.to - piece.from - 520.0).abs() < 1e-6;
    let count = |board: &lay::StockBoard| board.pieces.iter().filter(whole).count();
    assert_eq!(floor.stock.iter().map(count).max(), Some(4));
    let all: usize = floor.stock.iter().map(count).sum();
    // Most blocks come four from a board; where pieces at walls are cut beside them it is fewer.
    let fours = floor.stock.iter().filter(|board| count(board) == 4).count();
    assert!(40 * fours >= 9 * all, "{fours} boards give four of {all} blocks");
    // Nothing that is cut from a board keeps a factory end aslant.
    let aslant = floor.boards.iter().filter(|board| (board.area - 520.0 * 90.0).abs() < 1e-3);
    assert!(aslant.clone().all(|b| b.left_end == lay::End::Cut && b.right_end == lay::End::Cut));
    // And each is on the saw list, with the saw at 45° to its own side.
    let sawn: usize = house.order.saw.mitres.iter().map(|entry| entry.boards.len()).sum();
    assert!(sawn >= aslant.count(), "{sawn} sawn");
}

/// The angle between the long edges of two neighbouring blocks: herringbone's lie at right angles, chevron's
/// meet at twice the mitre's complement. EN 13756 names the two; the angles follow from the mitre.
#[test]
fn blocks_lie_at_the_angles_their_pattern_names() {
    for (pattern, angle) in [
        (Pattern::Herringbone { block: 490.0, abreast: 1 }, 45.0),
        (Pattern::Chevron { block: 490.0, mitre: 45.0 }, 45.0),
        (Pattern::Chevron { block: 490.0, mitre: 30.0 }, 60.0),
    ] {
        let house = run(&blocks(4000.0, 3000.0, 70.0, pattern));
        for board in &house.floor.boards {
            assert!((board.angle().abs() - angle).abs() < 1e-9, "{pattern:?}: {}", board.angle());
            // Tongues face forwards on both sides of the axis, so the hands differ by the side.
            assert_eq!(board.turned, board.angle() > 0.0);
            assert_eq!(board.hand, Some(if board.turned { Hand::Left } else { Hand::Right }));
        }
    }
}

/// A chevron's block takes face width / cos(mitre) of the mitre line, and mitre lines lie L·cos(mitre) apart:
/// right-angled triangles on the block, measured here on the outlines.
#[test]
fn chevron_blocks_meet_along_straight_mitre_lines() {
    for (mitre, cos) in [(30.0, 0.75_f64.sqrt()), (45.0, 0.5_f64.sqrt()), (60.0, 0.5)] {
        let house = run(&blocks(5000.0, 4000.0, 70.0, Pattern::Chevron { block: 490.0, mitre }));
        let line = house.floor.anchor.unwrap().v;
        for board in whole(&house, 490.0) {
            let vs = || board.outline.outer.iter().map(|p| p.v);
            let (low, high) = (vs().fold(f64::INFINITY, f64::min), vs().fold(f64::NEG_INFINITY, f64::max));
            assert!((high - low - 490.0 * cos).abs() < 1e-6);
            let steps = (low - line) / (490.0 * cos);
            assert!((steps - steps.round()).abs() < 1e-6, "{} off its line", board.label);
            let at_low: Vec<f64> =
                board.outline.outer.iter().filter(|p| (p.v - low).abs() < 1e-6).map(|p| p.u).collect();
            assert_eq!(at_low.len(), 2);
            assert!(((at_low[0] - at_low[1]).abs() - 70.0 / cos).abs() < 1e-6);
        }
    }
}

/// Every whole block of herringbone ends against the long edge of a block at right angles to it, `abreast`
/// blocks side by side: the pattern repeats by W·√2 along the axis and L·√2 across it, whose cell holds 2·n
/// blocks of its area (Pythagoras).
#[test]
fn herringbone_repeats_along_and_across_its_axis() {
    for abreast in [1, 2] {
        let house = run(&blocks(6000.0, 5000.0, 70.0, Pattern::Herringbone { block: 500.0, abreast }));
        let (along, across) = (70.0 * f64::from(abreast) * 2.0_f64.sqrt(), 500.0 * 2.0_f64.sqrt());
        let middles: Vec<site::Uv> = whole(&house, 500.0).map(Board::middle).collect();
        let is_block = |u: f64, v: f64| middles.iter().any(|p| (p.u - u).abs() + (p.v - v).abs() < 1e-6);
        let inside = |u: f64, v: f64| u > 600.0 && u < 5400.0 && v > 600.0 && v < 4400.0;
        let mut seen = 0;
        for p in &middles {
            for (u, v) in [(p.u + along, p.v), (p.u, p.v + across)] {
                if inside(p.u, p.v) && inside(u, v) {
                    assert!(is_block(u, v), "no block at {u}, {v}");
                    seen += 1;
                }
            }
        }
        assert!(seen > 500);
        let cell = middles.iter().filter(|p| {
            let (u, v) = (p.u - middles[0].u, p.v - middles[0].v);
            inside(p.u, p.v) && (u / along + 0.1).floor() == 10.0 && (v / across + 0.1).floor() == 2.0
        });
        assert_eq!(cell.count() as u32, 2 * abreast);
    }
}

/// With walls along the axis the smallest pieces at both sides are as wide as one another: centred on a point
/// or on a joint line, whichever leaves more. The reach of a piece is measured on the outlines.
#[test]
fn blocks_are_balanced_between_two_walls() {
    for pattern in [
        Pattern::Herringbone { block: 500.0, abreast: 1 },
        Pattern::Herringbone { block: 500.0, abreast: 2 },
        Pattern::Chevron { block: 500.0, mitre: 45.0 },
    ] {
        for depth in [3020.0, 3257.0, 3411.0] {
            let house = run(&blocks(6000.0, depth, 70.0, pattern));
            // Away from the side walls, which cut pieces of their own.
            let reach = |at: f64, sign: f64| {
                let touching = house.floor.boards.iter().filter(|b| {
                    let us = || b.outline.outer.iter().map(|p| p.u);
                    us().all(|u| u > 1000.0 && u < 5000.0)
                        && b.outline.outer.iter().filter(|p| (p.v - at).abs() < 1e-3).count() == 2
                });
                let far =
                    touching.map(|b| b.outline.outer.iter().map(|p| (p.v - at) * sign).fold(0.0, f64::max));
                far.fold(f64::INFINITY, f64::min)
            };
            let (low, high) = (reach(10.0, 1.0), reach(depth - 10.0, -1.0));
            assert!((low - high).abs() < 12.0, "{pattern:?} {depth}: {low} and {high}");
            assert!(low > 60.0, "{pattern:?} {depth}: {low}");
        }
    }
}

/// The room turned over about its axis: as many pieces of each hand as there were of the other.
#[test]
fn a_mirrored_plan_has_the_hands_changed_over() {
    for pattern in
        [Pattern::Herringbone { block: 500.0, abreast: 1 }, Pattern::Chevron { block: 500.0, mitre: 30.0 }]
    {
        let mut plan = blocks(6000.0, 3411.0, 70.0, pattern);
        plan.start_line = plan::StartLine::At(1705.5);
        let corners =
            [(0.0, 0.0), (6000.0, 0.0), (6000.0, 3411.0), (2500.0, 3411.0), (2500.0, 3000.0), (0.0, 3000.0)];
        plan.rooms[0] = Room::boarded("Room", corners.map(|(x, y)| Point::new(x, y)));
        let mut turned = plan.clone();
        turned.rooms[0] = Room::boarded("Room", corners.map(|(x, y)| Point::new(x, 3411.0 - y)));
        let one = run(&plan).floor;
        let site = site::survey(&turned);
        let mut set = setout::set_out(&turned, &site);
        // The points stand on the same line, turned over; a line typed names every second one only.
        set.region_lines = vec![3411.0 - one.anchor.unwrap().v];
        // Turned over, herringbone's blocks change places, half a repeat of W·√2 further along the axis.
        if let Pattern::Herringbone { .. } = pattern {
            set.along = set.along.map(|along| along - 70.0 * 0.5_f64.sqrt());
        }
        let other = lay::lay(&turned, &site, &set);
        let areas = |floor: &lay::Floor, hand: Hand| {
            let mut areas: Vec<i64> = floor
                .boards
                .iter()
                .filter(|b| b.hand == Some(hand))
                .map(|b| (b.area * 10.0).round() as i64)
                .collect();
            areas.sort_unstable();
            areas
        };
        assert_eq!(areas(&one, Hand::Left), areas(&other, Hand::Right), "{pattern:?}");
        assert_eq!(areas(&one, Hand::Right), areas(&other, Hand::Left), "{pattern:?}");
    }
}

/// A region's line may be typed: the axis then lies there, from the origin modulo the distance of axis lines.
#[test]
fn an_axis_line_may_be_typed() {
    let mut plan = blocks(6000.0, 4000.0, 70.0, Pattern::Herringbone { block: 500.0, abreast: 1 });
    plan.start_line = plan::StartLine::At(100.0);
    let house = run(&plan);
    let lines = 500.0 / 2.0_f64.sqrt();
    let off = (house.floor.anchor.unwrap().v - 100.0).rem_euclid(lines);
    assert!(off < 1e-6 || lines - off < 1e-6);
    assert!((house.setout.pitch - lines).abs() < 1e-9);
}

/// How far the smallest pieces reach in from the walls at the two ends of the axis of a plain room, read off the
/// outlines, away from the side walls, which cut pieces of their own.
fn reach_at_ends(floor: &lay::Floor, width: f64, depth: f64) -> [f64; 2] {
    let reach = |at: f64, sign: f64| {
        let touching = floor.boards.iter().filter(|b| {
            let vs = || b.outline.outer.iter().map(|p| p.v);
            vs().all(|v| v > 800.0 && v < depth - 800.0)
                && b.outline.outer.iter().filter(|p| (p.u - at).abs() < 1e-3).count() == 2
        });
        let far = touching.map(|b| b.outline.outer.iter().map(|p| (p.u - at) * sign).fold(0.0, f64::max));
        far.fold(f64::INFINITY, f64::min)
    };
    [reach(10.0, 1.0), reach(width - 10.0, -1.0)]
}

/// Along the axis the points stand where the smallest pieces at both end walls are as large as anywhere: by laying
/// the floor with its points at every 2 mm, and measuring them. Rips are told apart in bands of 5: so much, and the
/// 2 mm, may be given away.
#[test]
fn points_along_the_axis_stand_as_well_as_anywhere() {
    for pattern in [
        Pattern::Herringbone { block: 500.0, abreast: 1 },
        Pattern::Herringbone { block: 500.0, abreast: 2 },
        Pattern::Chevron { block: 500.0, mitre: 45.0 },
        Pattern::Chevron { block: 500.0, mitre: 30.0 },
    ] {
        for width in [4020.0, 4071.0] {
            let mut plan = blocks(width, 3400.0, 70.0, pattern);
            plan.rules.line_tolerance = 0.0;
            let house = run(&plan);
            let laid = reach_at_ends(&house.floor, width, 3400.0);
            let points = house.setout.points.as_ref().unwrap();
            // What the set-out says it leaves is what lies there.
            for rip in &points.ends.rips {
                let end = usize::from(rip.at.x > width / 2.0);
                assert!((rip.least - laid[end]).abs() < 0.1, "{pattern:?} {width}: {} {laid:?}", rip.least);
            }
            assert_eq!(points.ends.rips.len(), 2);
            let mut best = 0.0_f64;
            for i in 0..(points.step / 2.0).ceil() as usize {
                let mut set = house.setout.clone();
                set.along = Some(2.0 * i as f64);
                let [a, b] = reach_at_ends(&lay::lay(&plan, &house.site, &set), width, 3400.0);
                best = best.max(a.min(b));
            }
            let worst = laid[0].min(laid[1]);
            assert!(worst >= best - 7.0, "{pattern:?} {width}: {worst} of {best}");
        }
    }
}

/// The first point and the last lie on the snapped line, where the tape says from the walls' faces; a whole block's tip,
/// or the middle of a block's end, is there; and from one to the other it is whole steps. With a border too.
#[test]
fn the_first_point_is_marked_where_a_block_has_its_point() {
    for (pattern, is_chevron) in [
        (Pattern::Herringbone { block: 500.0, abreast: 1 }, false),
        (Pattern::Herringbone { block: 500.0, abreast: 2 }, false),
        (Pattern::Chevron { block: 500.0, mitre: 30.0 }, true),
    ] {
        for boards in [0, 1] {
            let mut plan = blocks(4633.0, 3400.0, 70.0, pattern);
            plan.border = (boards > 0).then_some(Border { boards, corners: Corners::Mitred });
            let house = run(&plan);
            let name = format!("{pattern:?} {boards}");
            let points = house.setout.points.as_ref().unwrap();
            let (first, last) = (points.first.unwrap(), points.last.unwrap());
            assert_eq!((first.letter, last.letter), ('D', 'E'));
            let line = house.setout.line.as_ref().unwrap();
            assert!((first.at.y - line.v).abs() < 1e-9 && (last.at.y - line.v).abs() < 1e-9, "{name}");
            assert!((first.distance - first.at.x).abs() < 1e-6, "{name}: from the wall at 0");
            assert!((4633.0 - last.at.x - last.distance).abs() < 1e-6, "{name}: from the wall at 4633");
            let steps = (last.at.x - first.at.x) / points.step;
            assert!((steps - points.steps as f64).abs() < 1e-9, "{name}");
            assert!(first.at.x - points.step < line.from.x && last.at.x + points.step > line.to.x, "{name}");
            // Every point on the way: the anchor is one of them.
            let anchor = house.floor.anchor.unwrap();
            let off = (anchor.u - first.at.x) / points.step;
            assert!((off - off.round()).abs() < 1e-9, "{name}");
            let middle = first.at.x + (points.steps / 2) as f64 * points.step;
            let near = |u: f64, v: f64| (u - middle).abs() + (v - line.v).abs() < 1e-6;
            let found = whole(&house, 500.0).filter(|b| {
                let ring = &b.outline.outer;
                let corner = ring.iter().any(|p| near(p.u, p.v));
                let ends = ring.iter().zip(ring.iter().cycle().skip(1)).any(|(p, q)| {
                    let (u, v) = (p.u - q.u, p.v - q.v);
                    let length = (u * u + v * v).sqrt();
                    (length - 70.0).abs() < 1e-6 && near(f64::midpoint(p.u, q.u), f64::midpoint(p.v, q.v))
                });
                // Two abreast share the corner that halves their ends.
                if is_chevron || pattern == (Pattern::Herringbone { block: 500.0, abreast: 2 }) {
                    corner
                } else {
                    ends
                }
            });
            let hands: Vec<Hand> = found.filter_map(|b| b.hand).collect();
            assert!(hands.contains(&Hand::Right), "{name}: {hands:?}");
            assert_eq!(is_chevron, hands.contains(&Hand::Left), "{name}: a tip is of both hands");
        }
    }
}
