//! Thin pieces that walls leave of blocks: the flags on them, against pieces measured one by one.
#![allow(clippy::unwrap_used)]

use crate::patterns::{patterned, run};
use findings::{FlagKind, Subject};
use geo::ConvexHull;
use lay::Board;
use plan::Plan;

/// How thin a piece is: the least distance between two parallel lines that hold its hull, one of them along a side of
/// it; the hull is geo's.
fn thinness(board: &Board) -> f64 {
    let ring: geo::LineString = board.outline.outer.iter().map(|p| (p.u, p.v)).collect();
    let hull = geo::Polygon::new(ring, Vec::new()).convex_hull();
    let corners: Vec<geo::Coord> = hull.exterior().coords().copied().collect();
    let reach = |side: geo::Line| {
        let (d, length) = (side.delta(), libm::hypot(side.dx(), side.dy()));
        let off =
            corners.iter().map(|p| ((p.x - side.start.x) * d.y - (p.y - side.start.y) * d.x).abs() / length);
        off.fold(0.0, f64::max)
    };
    hull.exterior().lines().map(reach).fold(f64::INFINITY, f64::min)
}

/// Thin pieces of blocks are flagged once a wall, all counted, and the flag stands on the thinnest there.
#[test]
fn thin_pieces_of_blocks_are_flagged_wall_by_wall() {
    let mut walls = 0;
    for seed in 0..16 {
        let plan = Plan { border: None, ..patterned(seed) };
        let house = run(&plan);
        let limit = plan.rules.least_leg;
        let is_thin = |board: &&Board| board.is_block() && board.shaped && thinness(board) < limit;
        let thin = house.floor.boards.iter().filter(is_thin).count();
        let flags: Vec<_> = house.flags.iter().filter(|flag| flag.kind == FlagKind::PointPiece).collect();
        let count = |place: &str| {
            let words = place.rsplit_once(", ").unwrap().1;
            let count = words.strip_suffix(" small pieces").or_else(|| words.strip_suffix(" small piece"));
            count.unwrap().parse::<usize>().unwrap()
        };
        assert_eq!(flags.iter().map(|flag| count(&flag.place)).sum::<usize>(), thin, "{seed}");
        let edges: Vec<&site::Edge> = house.site.regions.iter().flat_map(|region| region.edges()).collect();
        for flag in &flags {
            let Subject::Board(index) = flag.subject else { panic!("{seed}: {flag:?}") };
            assert!((flag.figure - thinness(&house.floor.boards[index])).abs() < 1e-6, "{seed}: {flag:?}");
            assert!(flag.figure < limit && flag.limit == limit, "{seed}: {flag:?}");
            // Pieces that lie along that wall and no other.
            let wall = flag.place.rsplit_once(", ").unwrap().0;
            let along = |board: &Board| {
                let mut names: Vec<String> = edges
                    .iter()
                    .filter(|edge| lies_on(board, edge))
                    .map(|edge| edge.source.name(&house.plan))
                    .collect();
                names.dedup();
                names == [wall]
            };
            let region = house.floor.boards[index].region;
            let others = house.floor.boards.iter().filter(|board| board.region == region && along(board));
            let least = others.filter(is_thin).map(thinness).fold(f64::INFINITY, f64::min);
            assert!(flag.figure <= least + 1e-9, "{seed}: {flag:?}, one of {least}");
            walls += 1;
        }
    }
    assert!(walls > 10, "{walls}");
}

/// Whether a side of a piece lies on an edge of the floor.
fn lies_on(board: &Board, edge: &site::Edge) -> bool {
    let (du, dv) = (edge.b.u - edge.a.u, edge.b.v - edge.a.v);
    let length = libm::hypot(du, dv);
    let place = |p: &site::Uv| {
        let (u, v) = (p.u - edge.a.u, p.v - edge.a.v);
        ((u * du + v * dv) / length, (u * dv - v * du) / length)
    };
    let ring = &board.outline.outer;
    (0..ring.len()).any(|i| {
        let ((a, off_a), (b, off_b)) = (place(&ring[i]), place(&ring[(i + 1) % ring.len()]));
        off_a.abs() < 0.02 && off_b.abs() < 0.02 && a.max(b).min(length) - a.min(b).max(0.0) > 1.0
    })
}
