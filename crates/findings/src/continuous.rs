//! Flags on floor that goes on too far without a break, and where a joint would break it.

use crate::movement::beyond_joints;
use crate::scene::Scene;
use crate::{Flag, FlagKind, Severity, Subject};
use fit::{Continuous, Fit, Proposal, ProposedAt, first_proposal};
use site::{Source, Uv};

/// Places are looked for while the squares of the regions' sides come to no more than this: the search looks at all sides for
/// each of them, and a large floor must not wait for words. A house takes some thousands. Ours, no source.
const MOST_LOOKED_AT: usize = 40_000;
/// Doorways named, at most.
const NAMED: usize = 3;

/// Flags stretches wider or longer than the rules' limits.
pub(crate) fn continuous(scene: &Scene, fit: &Fit, flags: &mut Vec<Flag>) {
    let rules = &scene.plan.rules;
    let mut to_look_at = MOST_LOOKED_AT;
    for (kind, stretches, limit) in [
        (FlagKind::WideFloor, &fit.widths, rules.greatest_width),
        (FlagKind::LongFloor, &fit.lengths, rules.greatest_length),
    ] {
        for stretch in stretches.iter().filter(|stretch| stretch.extent > limit) {
            flags.push(flag(scene, (kind, limit), stretch, mend(scene, fit, kind, stretch, &mut to_look_at)));
        }
    }
}

fn flag(scene: &Scene, (kind, limit): (FlagKind, f64), stretch: &Continuous, mend: String) -> Flag {
    let middle = Uv::new((stretch.from.u + stretch.to.u) / 2.0, (stretch.from.v + stretch.to.v) / 2.0);
    let at = scene.site.frame.plan_from_row(middle);
    Flag {
        cause: None,
        kind,
        severity: Severity::Fault,
        subject: Subject::Region(stretch.region),
        at,
        place: scene
            .places
            .place_at(at)
            .map_or_else(|| format!("region {}", stretch.region + 1), str::to_owned),
        figure: stretch.extent,
        limit,
        mend,
    }
}

/// What breaks a stretch: a joint, with the place where one is proposed, or a trim in a doorway on the way.
fn mend(scene: &Scene, fit: &Fit, kind: FlagKind, stretch: &Continuous, to_look_at: &mut usize) -> String {
    let across = kind == FlagKind::WideFloor;
    if let Some(words) = beyond_joints(scene, fit, stretch.region, across) {
        return words;
    }
    let way = if across { "along" } else { "across" };
    let sides = scene.site.regions.get(stretch.region).map_or(0, |region| region.edges().count());
    let rest = to_look_at.checked_sub(sides * sides);
    let proposal = rest.and_then(|rest| {
        *to_look_at = rest;
        first_proposal(scene.plan, scene.site, fit.movement.as_ref(), (stretch.region, across))
    });
    let Some(proposal) = proposal else {
        return format!(
            "break it with a movement joint {way} the boards, or with a trim in a doorway it passes"
        );
    };
    let place = proposal.place(scene.plan);
    let joints = match proposal.after <= proposal.limit {
        true => format!("a movement joint {way} the boards, best {place}"),
        false => format!("movement joints {way} the boards, the first best {place}"),
    };
    format!("break it with {joints}{}", trims(scene, &proposal))
}

/// The doorways in which a trim would do as much as the joint.
fn trims(scene: &Scene, proposal: &Proposal) -> String {
    let name = |door: &usize| Source::Doorway(*door).name(scene.plan);
    let there = match proposal.passes.as_slice() {
        [] => return String::new(),
        [_] if matches!(proposal.at, ProposedAt::Doorway(_)) => "there".to_owned(),
        [one] => format!("in {}", name(one)),
        [all @ .., last] if all.len() < NAMED => {
            format!("in {} or {}", all.iter().map(name).collect::<Vec<_>>().join(", "), name(last))
        }
        all => format!("in one of the {} doorways it passes", all.len()),
    };
    match proposal.after <= proposal.limit {
        true => format!(", or with a trim {there}"),
        false => format!(", or a trim {there} instead"),
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use crate::FlagKind;
    use plan::{Beyond, Doorway, GapRange, Plan, Point, Room};

    /// Rooms 6 m long, one above the other through walls of 100, each so deep, joined by doorways of 900 in the middle.
    fn stacked(depths: &[f64]) -> Plan {
        let mut plan = Plan::new("t");
        plan.rules.wall_gap = GapRange { least: 10.0, greatest: 10.0 };
        plan.rules.greatest_length = 16_000.0;
        let mut low = 0.0;
        for (index, depth) in depths.iter().enumerate() {
            let high = low + depth;
            let corners = [(0.0, low), (6000.0, low), (6000.0, high), (0.0, high)].map(Point::from);
            plan.rooms.push(Room::boarded(format!("Room {}", index + 1), corners));
            if index + 1 < depths.len() {
                let (name, room) = (format!("Arch {}", index + 1), format!("Room {}", index + 1));
                plan.doorways.push(Doorway::plain(name, room, 2, 2500.0, 900.0));
            }
            low = high + 100.0;
        }
        plan
    }

    fn mend(plan: &Plan, kind: FlagKind) -> String {
        assert_eq!(plan.problems(), []);
        let site = site::survey(plan);
        let floor = lay::lay(plan, &site, &setout::set_out(plan, &site));
        let flags = crate::inspect(plan, &site, &floor, &fit::fit(plan, &site, &floor));
        flags.into_iter().find(|flag| flag.kind == kind).unwrap().mend
    }

    /// 5 m and 4 m with the wall's 0.1 between them are 9.08 from gap to gap, over 8: in the doorway a joint leaves some 5. Three
    /// rooms of 7 m are 21.18, and whichever doorway comes first, 14 are left on one side of it. By hand.
    #[test]
    fn a_wide_floor_is_told_where_a_joint_would_break_it() {
        assert_eq!(
            mend(&stacked(&[5000.0, 4000.0]), FlagKind::WideFloor),
            "break it with a movement joint along the boards, best in Arch 1, or with a trim there"
        );
        let words = mend(&stacked(&[7000.0, 7000.0, 7000.0]), FlagKind::WideFloor);
        let rest = words
            .strip_prefix("break it with movement joints along the boards, the first best in Arch ")
            .unwrap();
        assert!(["1", "2"].contains(&&rest[..1]), "{words}");
        assert_eq!(&rest[1..], ", or a trim in Arch 1 or Arch 2 instead");
    }

    /// Of 9 m, 0.1 and 1 m a trim in the doorway leaves 9 in one: more than 8. By hand.
    #[test]
    fn a_trim_that_leaves_too_much_is_not_spoken_of() {
        let words = mend(&stacked(&[9000.0, 1000.0]), FlagKind::WideFloor);
        assert_eq!(words, "break it with a movement joint along the boards, best across Room 1");
    }

    /// A room of 9 m has no doorway, so none is spoken of. Nor is one that boards do not run through.
    #[test]
    fn doorways_are_named_only_where_the_floor_passes_them() {
        let words = mend(&stacked(&[9000.0]), FlagKind::WideFloor);
        assert_eq!(words, "break it with a movement joint along the boards, best across Room 1");
        let mut plan = stacked(&[9000.0, 4000.0]);
        plan.doorways[0].beyond = Beyond::Trim(20.0);
        let words = mend(&plan, FlagKind::WideFloor);
        assert_eq!(words, "break it with a movement joint along the boards, best across Room 1");
    }

    /// Rows of 17 m are over 16: across the boards, and no nearer to the ends than a metre.
    #[test]
    fn a_long_floor_is_parted_across_the_boards() {
        let mut plan = stacked(&[5000.0]);
        for wall in plan.rooms[0].walls.iter_mut().filter(|wall| wall.corner.x > 0.0) {
            wall.corner.x = 17_020.0;
        }
        let words = mend(&plan, FlagKind::LongFloor);
        assert_eq!(words, "break it with a movement joint across the boards, best across Room 1");
    }
}
