//! Areas and clipping against general geometry libraries: Clipper2 (in its Rust port) for the site, geo's boolean
//! operations for the slices.
#![allow(clippy::unwrap_used)]

use clipper2_rust as clipper;
use geo::{Area, BooleanOps, Coord, LineString, MultiPolygon, Polygon};
use plan::{Covering, FixtureKind};
use proptest::prelude::*;
use site::{Region, Uv};
use startrow_tests::{cases, house};

const DECIMALS: i32 = 4;

fn path(points: &[(f64, f64)]) -> clipper::PathD {
    points.iter().map(|(x, y)| clipper::PointD::new(*x, *y)).collect()
}

fn anticlockwise(mut path: clipper::PathD) -> clipper::PathD {
    if clipper::area(&path) < 0.0 {
        path.reverse();
    }
    path
}

/// The bare floor by Clipper2, from rectangles over each opening instead of the site's throats.
fn bare_area_by_clipper(plan: &plan::Plan) -> f64 {
    let mut added = clipper::PathsD::new();
    let mut cut = clipper::PathsD::new();
    let boarded = |i: usize| plan.rooms[i].covering == Covering::Boards;
    for room in plan.rooms.iter().filter(|r| r.covering == Covering::Boards) {
        let points: Vec<(f64, f64)> = room.outline().iter().map(|(p, _)| (p.x, p.y)).collect();
        added.push(anticlockwise(path(&points)));
    }
    let mut foreign = clipper::PathsD::new();
    for room in plan.rooms.iter().filter(|r| r.covering != Covering::Boards) {
        let points: Vec<(f64, f64)> = room.outline().iter().map(|(p, _)| (p.x, p.y)).collect();
        foreign.push(anticlockwise(path(&points)));
    }
    for door in &plan.doorways {
        let room = &plan.rooms[plan.room_index(&door.room).unwrap()];
        let (corner, _) = room.wall_line(door.wall).unwrap();
        let (along, away) = room.wall_axes(door.wall).unwrap();
        let quad = |from: f64, to: f64, spread: f64| {
            let at =
                |s: f64, t: f64| (corner.x + along.x * s + away.x * t, corner.y + along.y * s + away.y * t);
            let (l, r) = (door.at - spread, door.at + door.width + spread);
            anticlockwise(path(&[at(l, from), at(r, from), at(r, to), at(l, to)]))
        };
        let far_boarded = door.far_room(plan).is_some_and(boarded);
        let half = match door.beyond {
            plan::Beyond::Trim(width) => width / 2.0,
            plan::Beyond::UnderLeaf if far_boarded => plan.rules.tile_end_gap / 2.0,
            _ => 0.0,
        };
        match door.far_room(plan).filter(|far| boarded(*far)) {
            Some(_) => {
                // Deep enough to reach the far room wherever its wall stands; inside it adds nothing.
                added.push(quad(-20.0, door.wall_thickness + 20.0, 0.0));
                if door.beyond != plan::Beyond::RunThrough {
                    let half = half.max(0.05);
                    cut.push(quad(door.leaf_line() - half, door.leaf_line() + half, 1.0));
                }
            }
            None => {
                let stop = door.leaf_line() - half;
                added.push(quad(-20.0, stop, 0.0));
                // A trim may reach into the room past the wall's face.
                cut.push(quad(stop, stop + 60.0, 0.0));
            }
        }
    }
    for fixture in plan.fixtures.iter().filter(|f| !f.kind.is_under_boards()) {
        let points: Vec<(f64, f64)> = fixture.outline.iter().map(|p| (p.x, p.y)).collect();
        cut.push(anticlockwise(path(&points)));
    }
    let joined = clipper::union_subjects_d(&added, clipper::FillRule::NonZero, DECIMALS);
    let floor = clipper::difference_d(&joined, &cut, clipper::FillRule::NonZero, DECIMALS);
    floor.iter().map(clipper::area).sum()
}

/// The boarded floor by Clipper2's own offset, where every gap is the same and nothing tucks.
fn inset_by_clipper(regions: &[Region], by: f64) -> f64 {
    let mut paths = clipper::PathsD::new();
    for ring in regions.iter().flat_map(|r| r.rings()) {
        paths.push(path(&ring.edges.iter().map(|e| (e.a.u, e.a.v)).collect::<Vec<_>>()));
    }
    clipper::inflate_paths_d(
        &paths,
        -by,
        clipper::JoinType::Miter,
        clipper::EndType::Polygon,
        4.0,
        DECIMALS,
        0.0,
    )
    .iter()
    .map(clipper::area)
    .sum()
}

fn polygon(region: &Region) -> Polygon {
    let line = |ring: &site::Ring| -> LineString {
        ring.edges.iter().map(|e| Coord { x: e.a.u, y: e.a.v }).collect()
    };
    Polygon::new(line(&region.outer), region.holes.iter().map(line).collect())
}

fn outline_polygon(outline: &lay::Outline) -> Polygon {
    let line = |ring: &Vec<Uv>| -> LineString { ring.iter().map(|p| Coord { x: p.u, y: p.v }).collect() };
    Polygon::new(line(&outline.outer), outline.holes.iter().map(line).collect())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: cases(200), failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn the_bare_floor_is_what_clipper2_finds(seed in 0_u64..1_000_000) {
        let plan = house(seed);
        let site = site::survey(&plan);
        let other = bare_area_by_clipper(&plan);
        prop_assert!((site.bare_area - other).abs() < 2e-6 * other, "{} and {other}", site.bare_area);
    }

    #[test]
    fn insets_are_what_clipper2_offsets(seed in 0_u64..1_000_000, gap in 1_u32..30) {
        let mut plan = house(seed);
        plan.fixtures.retain(|f| !matches!(f.kind, FixtureKind::Kick { .. }));
        // Boards end under a leaf without a gap; with trims every edge has one.
        for door in plan.doorways.iter_mut().filter(|d| d.beyond == plan::Beyond::UnderLeaf) {
            door.beyond = plan::Beyond::Trim(20.0);
        }
        let gap = f64::from(gap);
        plan.rules.wall_gap = plan::GapRange { least: 0.0, greatest: 0.0 };
        plan.rules.tile_end_gap = 0.0;
        let bare = site::survey(&plan);
        plan.rules.wall_gap = plan::GapRange { least: gap, greatest: gap };
        plan.rules.tile_end_gap = gap;
        let site = site::survey(&plan);
        let other = inset_by_clipper(&bare.regions, gap);
        prop_assert!((site.boarded_area() - other).abs() < 2e-6 * other, "{} and {other}", site.boarded_area());
    }

    #[test]
    fn every_edge_has_its_own_gap_from_its_face(seed in 0_u64..1_000_000) {
        let mut plan = house(seed);
        // A trim as wide as the wall ends on the wall's own line, and which of the two an edge lies on is a
        // matter of a tenth of a millimetre.
        for door in &mut plan.doorways {
            if let plan::Beyond::Trim(width) = &mut door.beyond {
                *width = 10.0;
            }
        }
        let site = site::survey(&plan);
        for region in &site.regions {
            for ring in region.rings() {
                for (i, edge) in ring.edges.iter().enumerate() {
                    let next = ring.edges[(i + 1) % ring.edges.len()];
                    prop_assert!((edge.b.u - next.a.u).abs() < 1e-9 && (edge.b.v - next.a.v).abs() < 1e-9);
                    // Where two gaps meet in line, a jog no longer than the gaps joins them.
                    let jog = edge.length() < 40.0;
                    if let (site::Source::Wall { room, wall }, false) = (edge.source, jog) {
                        let (a, b) = plan.rooms[room].wall_line(wall).unwrap();
                        let (a, b) = (site.frame.row_from_plan(a), site.frame.row_from_plan(b));
                        let (du, dv) = (b.u - a.u, b.v - a.v);
                        let length = (du * du + dv * dv).sqrt();
                        for p in [edge.a, edge.b] {
                            let off = ((p.u - a.u) * (b.v - a.v) - (p.v - a.v) * (b.u - a.u)).abs() / length;
                            // Jogs of less than a twentieth of a millimetre are healed into their neighbours.
                            prop_assert!((off - edge.gap).abs() < 0.05, "{off} for a gap of {}", edge.gap);
                        }
                    }
                }
            }
        }
    }

    /// Slicing a region by rows gives what geo's intersection with each row gives.
    #[test]
    fn slices_are_geos_intersections(seed in 0_u64..1_000_000, first in 0.0_f64..200.0, pitch in 60.0_f64..260.0) {
        let plan = house(seed);
        let site = site::survey(&plan);
        for region in &site.regions {
            let whole = polygon(region);
            let rings: Vec<Vec<Uv>> =
                region.rings().map(|r| r.edges.iter().map(|e| e.a).collect()).collect();
            let low = rings[0].iter().map(|p| p.v).fold(f64::INFINITY, f64::min) - first;
            let high = rings[0].iter().map(|p| p.v).fold(f64::NEG_INFINITY, f64::max);
            let count = ((high - low) / pitch).ceil() as usize;
            let cuts: Vec<f64> = (0..=count).map(|i| low + i as f64 * pitch).collect();
            for (i, pieces) in lay::slice(&rings, &cuts).iter().enumerate() {
                let band = geo::Rect::new(
                    Coord { x: -2e4, y: cuts[i] },
                    Coord { x: 2e4, y: cuts[i + 1] },
                )
                .to_polygon();
                let expected: MultiPolygon = whole.intersection(&band);
                let got = MultiPolygon(pieces.iter().map(outline_polygon).collect());
                let differs = got.xor(&expected).unsigned_area();
                // A corner within 0.005 mm of a row line is put on it, over rows of up to eleven metres.
                prop_assert!(differs < 60.0, "house {seed}: a row differs by {differs} mm²");
            }
        }
    }

    /// The floor and its best line do not depend on how the house lies on the paper: turned, moved, its walls
    /// walked the other way round.
    #[test]
    fn the_floor_does_not_depend_on_how_the_plan_lies(seed in 0_u64..1_000_000, change in 0_usize..4) {
        hangs_on_no_change(seed, change)?;
    }
}

/// Two parts of a value that reach the limits of their bands on one line: rounding alone parted them.
#[test]
fn a_line_on_the_limits_of_two_bands_does_not_depend_on_how_the_plan_lies() {
    (0..4).for_each(|change| hangs_on_no_change(723_574, change).unwrap());
}

fn hangs_on_no_change(seed: u64, change: usize) -> Result<(), TestCaseError> {
    let plan = house(seed);
    let mut other = plan.clone();
    match change {
        0 => {
            other.rows_at += if other.rows_at > 0.0 { -90.0 } else { 90.0 };
            move_points(&mut other, |p| plan::Point::new(-p.y, p.x));
        }
        1 => move_points(&mut other, |p| plan::Point::new(-p.x, -p.y)),
        2 => move_points(&mut other, |p| plan::Point::new(p.x + 1e5, p.y - 3e4)),
        _ => walk_back(&mut other),
    }
    prop_assert_eq!(other.problems(), vec![]);
    let (a, b) = (site::survey(&plan), site::survey(&other));
    prop_assert_eq!(a.regions.len(), b.regions.len());
    prop_assert!((a.bare_area - b.bare_area).abs() < 1e-6 * a.bare_area);
    let areas = (a.boarded_area(), b.boarded_area());
    prop_assert!((areas.0 - areas.1).abs() < 5e-6 * areas.0, "house {seed}, change {change}: {areas:?}");
    let (a, b) = (setout::set_out(&plan, &a).best, setout::set_out(&other, &b).best);
    prop_assert!((a.short_length - b.short_length).abs() < 1.0, "{} and {}", a.short_length, b.short_length);
    let narrowest = (a.narrowest_within_tolerance, b.narrowest_within_tolerance);
    prop_assert!((narrowest.0 - narrowest.1).abs() < 0.02, "house {seed}, change {change}: {narrowest:?}");
    Ok(())
}

fn move_points(plan: &mut plan::Plan, to: impl Fn(plan::Point) -> plan::Point) {
    let corners = plan.rooms.iter_mut().flat_map(|room| &mut room.walls).map(|wall| &mut wall.corner);
    corners.for_each(|corner| *corner = to(*corner));
    plan.fixtures.iter_mut().flat_map(|f| &mut f.outline).for_each(|corner| *corner = to(*corner));
}

/// The same rooms with their walls the other way round.
fn walk_back(plan: &mut plan::Plan) {
    for room in &mut plan.rooms {
        let count = room.walls.len();
        for door in plan.doorways.iter_mut().filter(|door| door.room == room.name) {
            let (a, b) = room.wall_line(door.wall).unwrap();
            door.at = a.distance(b) - door.at - door.width;
            door.wall = count - 1 - door.wall;
        }
        let corners: Vec<plan::Point> = room.walls.iter().map(|wall| wall.corner).collect();
        for (i, wall) in room.walls.iter_mut().enumerate() {
            wall.corner = corners[(count - i) % count];
        }
    }
}
