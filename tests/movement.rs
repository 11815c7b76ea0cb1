//! Movement joints on invented houses: what is laid, what is kept, what is proposed.
#![allow(clippy::unwrap_used)]

use geo::{Area, BooleanOps, Coord, LineString, MultiPolygon, Polygon};
use pipeline::Workbench;
use plan::{MovementJoint, Plan, Point, edit};
use proptest::prelude::*;
use site::{EdgeKind, Site, Source, Uv};
use startrow_tests::{Dice, cases, house};

/// A house with one to three joints, most of them along the rows or across them from wall to wall of a room, some
/// aslant or ending in the floor.
fn jointed(seed: u64) -> Plan {
    let mut plan = house(seed);
    let dice = &mut Dice::new(seed ^ 0x6a6f_696e_7473);
    for _ in 0..=dice.below(3) {
        let room = &plan.rooms[dice.below(plan.rooms.len())];
        let xs: Vec<f64> = room.walls.iter().map(|wall| wall.corner.x).collect();
        let ys: Vec<f64> = room.walls.iter().map(|wall| wall.corner.y).collect();
        let range = |all: &[f64]| {
            (all.iter().copied().fold(f64::MAX, f64::min), all.iter().copied().fold(f64::MIN, f64::max))
        };
        let ((left, right), (low, high)) = (range(&xs), range(&ys));
        let (x, y) = (dice.between(left + 300.0, right - 300.0), dice.between(low + 300.0, high - 300.0));
        let (mut from, mut to) = match dice.below(5) {
            0 | 1 => (Point::new(left, y), Point::new(right, y)),
            2 | 3 => (Point::new(x, low), Point::new(x, high)),
            _ => (Point::new(left, low + 400.0), Point::new(right, high - 400.0)),
        };
        if dice.one_in(6) {
            to = from.lerp(to, 0.6);
        }
        if dice.one_in(2) {
            std::mem::swap(&mut from, &mut to);
        }
        plan.joints.push(MovementJoint { width: dice.mm(5.0, 15.0), ..MovementJoint::new(from, to) });
    }
    plan
}

fn shapes(site: &Site) -> MultiPolygon {
    let line = |ring: &site::Ring| -> LineString {
        ring.edges.iter().map(|e| Coord { x: e.a.u, y: e.a.v }).collect()
    };
    let polygon = |r: &site::Region| Polygon::new(line(&r.outer), r.holes.iter().map(line).collect());
    MultiPolygon(site.regions.iter().map(polygon).collect())
}

fn distance(p: Uv, q: Uv) -> f64 {
    let (du, dv) = (p.u - q.u, p.v - q.v);
    (du * du + dv * dv).sqrt()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: cases(60), failure_persistence: None, ..ProptestConfig::default() })]

    /// By geo: the floor without joints, less a band of each joint's width along its line, run on a hand's breadth, is
    /// the floor with them. The two may differ where an end stops short of an edge by more than that, and by what a
    /// joint at an angle runs past its ends: a few widths square each.
    #[test]
    fn a_joint_takes_its_width_and_no_more(seed in 0_u64..1_000_000) {
        let plan = jointed(seed);
        let with = site::survey(&plan);
        let without = site::survey(&Plan { joints: Vec::new(), ..plan.clone() });
        let mut bands = Vec::new();
        for (index, joint) in plan.joints.iter().enumerate() {
            // The line as it was laid: true with the rows where it nearly is.
            let sides = with.regions.iter().flat_map(|r| r.edges()).filter(|e| e.source == Source::Joint(index));
            let Some(side) = sides.max_by(|a, b| a.length().total_cmp(&b.length())) else { continue };
            prop_assert_eq!(side.gap, joint.width / 2.0);
            let length = side.length();
            let d = Uv::new((side.b.u - side.a.u) / length, (side.b.v - side.a.v) / length);
            // From the middle of the joint, on its right, to where it was drawn.
            let middle = |s: f64, t: f64| Uv::new(side.a.u + d.u * s + d.v * t, side.a.v + d.v * s - d.u * t);
            let along = |p: Point| {
                let p = with.frame.row_from_plan(p);
                (p.u - side.a.u) * d.u + (p.v - side.a.v) * d.v
            };
            let (from, to) = (along(joint.from).min(along(joint.to)), along(joint.from).max(along(joint.to)));
            // An end goes on to an edge within 100 mm; one that stays in the floor ends where it is drawn.
            let run_on = |s: f64, way: f64| {
                let at = middle(s, joint.width / 2.0);
                let open = with.regions.iter().flat_map(|r| r.edges()).any(|e| {
                    e.source == Source::Joint(index)
                        && e.length() < joint.width * 1.5
                        && distance(Uv::new((e.a.u + e.b.u) / 2.0, (e.a.v + e.b.v) / 2.0), at) < 1.0
                });
                if open { s } else { s + way * 60.0 }
            };
            let (from, to) = (run_on(from, -1.0), run_on(to, 1.0));
            let corners = [middle(from, 0.0), middle(to, 0.0), middle(to, joint.width), middle(from, joint.width)];
            bands.push(Polygon::new(corners.iter().map(|p| Coord { x: p.u, y: p.v }).collect(), Vec::new()));
        }
        let expected = shapes(&without).difference(&geo::unary_union(&bands));
        let widths: f64 = plan.joints.iter().map(|joint| joint.width).sum();
        let off = expected.unsigned_area() - with.boarded_area();
        prop_assert!(off.abs() < 400.0 + 60.0 * widths, "house {seed}: {off} mm²");
    }

    /// Boards tile every region, whatever joints part it, and each joint on a row line has whole rows on both sides.
    #[test]
    fn boards_tile_the_floor_on_both_sides_of_a_joint(seed in 0_u64..1_000_000) {
        let house = pipeline::run(&jointed(seed)).unwrap();
        let laid: f64 = house.floor.boards.iter().map(|b| b.area).sum();
        let region = house.site.boarded_area();
        prop_assert!((laid - region).abs() < 1e-6 * region, "house {seed}: laid {laid}, region {region}");
        let pitch = house.setout.pitch;
        for joint in &house.fit.joints {
            let Some(row) = joint.above_row else { continue };
            let sides = house.site.regions.iter().enumerate().flat_map(|(index, r)| r.edges().map(move |e| (index, e)));
            for (region, side) in sides.filter(|(_, e)| e.source == Source::Joint(joint.joint)) {
                let rows = (side.a.v - house.floor.lines[region]) / pitch;
                prop_assert!((rows - rows.round()).abs() * pitch < 0.01, "house {seed}");
                prop_assert_eq!(rows.round() as i32, row + 1, "one numbering of rows across a joint, house {}", seed);
                prop_assert_eq!(side.kind, EdgeKind::MovementJoint);
            }
            // Never further from where it is drawn than half a row.
            prop_assert!(joint.moved.abs() <= pitch / 2.0 + joint.width, "house {seed}: {}", joint.moved);
        }
        // Rips along the edges are those of the boards that lie there: the narrowest board of a straight edge.
        for rip in &house.setout.chosen.rips {
            prop_assert!(rip.least >= 0.0 && rip.least <= pitch + 1e-6);
        }
    }

    /// A workbench gives what a full run gives while joints come, go and move.
    #[test]
    fn joints_edited_one_after_the_other_give_what_full_runs_give(seed in 0_u64..1_000_000) {
        let (mut plan, mut dice) = (jointed(seed), Dice::new(seed));
        let mut bench = Workbench::default();
        for step in 0..5 {
            let (found, full) = (bench.run(&plan).unwrap(), pipeline::run(&plan).unwrap());
            prop_assert!(*found == full, "house {seed}, step {step}: {:?}", bench.kept());
            match dice.below(4) {
                0 if plan.joints.len() > 1 => drop(plan.joints.remove(0)),
                1 => plan.joints[0].width = dice.mm(4.0, 20.0),
                2 => plan.joints[0].name = format!("Joint {step}"),
                _ => edit::move_joint(&mut plan, 0, Point::new(dice.mm(-90.0, 90.0), dice.mm(-90.0, 90.0))).unwrap(),
            }
        }
    }

    /// With what is proposed put in, nothing more is proposed, and no stretch is longer than before.
    #[test]
    fn what_is_proposed_helps(seed in 0_u64..1_000_000, limit in 2500.0_f64..6000.0) {
        let mut plan = house(seed);
        plan.rules.greatest_width = limit;
        plan.rules.greatest_length = limit * 1.4;
        let most = |house: &pipeline::House| {
            let longest = |list: &[fit::Continuous]| list.iter().map(|c| c.extent).fold(0.0, f64::max);
            (longest(&house.fit.widths), longest(&house.fit.lengths))
        };
        let before = pipeline::run(&plan).unwrap();
        let proposals = before.proposals();
        let (width, length) = most(&before);
        prop_assert_eq!(width > limit || length > limit * 1.4, !proposals.is_empty(), "house {}", seed);
        for proposal in &proposals {
            prop_assert!(proposal.after < proposal.before && proposal.length > 0.0);
        }
        plan.joints.extend(proposals.into_iter().map(|proposal| proposal.joint));
        let after = pipeline::run(&plan).unwrap();
        // A joint that goes to a row line shifts by up to half a row and its width.
        let play = after.setout.pitch / 2.0 + 20.0;
        prop_assert!(most(&after).0 <= limit.max(0.0) + play, "house {seed}: {} of {limit}", most(&after).0);
        prop_assert!(most(&after).1 <= limit * 1.4 + 20.0, "house {seed}: {} of {}", most(&after).1, limit * 1.4);
    }
}
