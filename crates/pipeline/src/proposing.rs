//! Proposed movement joints, laid before they are told: in a doorway each goes where least is left to mend there.

use crate::{House, run};
use findings::{Flag, FlagKind, Severity};
use fit::{FILLER_TAKES, Proposal, ProposedAt, WIDEST_JOINT};
use plan::{Doorway, Plan, Point, format_length};

/// Floors laid to find places in all doorways together; what is left then keeps to the middle of the leaf. Ours.
const TRIALS: usize = 80;
/// Even places tried in a doorway besides its row lines. Ours.
const PLACES: usize = 8;
/// A joint keeps so far inside the faces of its wall besides half its width, mm: it is cut there, not in the room.
const INSIDE: f64 = 1.0;

/// The throat of a doorway, measured from the near wall's face.
struct Throat {
    from: Point,
    along: Point,
    away: Point,
    width: f64,
    thickness: f64,
}

impl Throat {
    fn of(plan: &Plan, door: &Doorway) -> Option<Self> {
        let [from, ..] = door.throat(plan)?;
        let (along, away) = plan.rooms.get(plan.room_index(&door.room)?)?.wall_axes(door.wall)?;
        Some(Self { from, along, away, width: door.width, thickness: door.wall_thickness })
    }

    fn place(&self, p: Point) -> (f64, f64) {
        let part = |way: Point| (p.x - self.from.x) * way.x + (p.y - self.from.y) * way.y;
        (part(self.along), part(self.away))
    }

    /// Flags on boards inside it: half a board past its faces they still lie in it.
    fn flags<'a>(&self, house: &'a House) -> impl Iterator<Item = &'a Flag> {
        let past = house.floor.pitch / 2.0;
        house.flags.iter().filter(move |flag| {
            let (u, v) = self.place(flag.at);
            (0.0..=self.width).contains(&u) && (-past..=self.thickness + past).contains(&v)
        })
    }

    /// Faults in it and floors that are still too great, and by how much they break their limits: the less the better.
    fn worth(&self, house: &House) -> (usize, f64) {
        let too_great = |flag: &&Flag| {
            matches!(flag.kind, FlagKind::WideFloor | FlagKind::LongFloor | FlagKind::Swelling)
        };
        let inside = || self.flags(house).filter(move |flag| !too_great(flag));
        let faults = || {
            inside()
                .chain(house.flags.iter().filter(too_great))
                .filter(|flag| flag.severity == Severity::Fault)
        };
        (faults().count(), faults().map(|flag| (flag.limit - flag.figure).abs()).sum())
    }
}

impl House {
    /// Joints that would bring the floor within its limits, see [`fit::proposals`]. The floor is laid with them: one that
    /// the seasons strain is made wider, one in a doorway goes to the place nearest the middle of the leaf at which fewest
    /// faults stand in the doorway; what comes with it all the same is named.
    pub fn proposals(&self) -> Vec<Proposal> {
        let mut all = fit::proposals(&self.plan, &self.site, self.fit.movement.as_ref());
        if all.is_empty() {
            return all;
        }
        if let Some(house) = self.with(&all) {
            self.widen(&mut all, &house);
        }
        let drawn: Vec<Point> = all.iter().map(|proposal| proposal.joint.from).collect();
        let mut trials = TRIALS;
        for index in 0..all.len() {
            self.find_place(&mut all, index, &mut trials);
        }
        for (proposal, drawn) in all.iter_mut().zip(drawn) {
            let [was, is] = [drawn, proposal.joint.from].map(|p| self.site.frame.row_from_plan(p));
            let by = if proposal.along_rows { is.v - was.v } else { is.u - was.u };
            proposal.parts = [proposal.parts[0] + by, proposal.parts[1] - by];
            proposal.after = proposal.parts[0].max(proposal.parts[1]) - proposal.joint.width / 2.0;
        }
        if let Some(house) = self.with(&all) {
            for (index, proposal) in all.iter_mut().enumerate() {
                self.tell(proposal, self.plan.joints.len() + index, &house);
            }
        }
        all
    }

    /// The floor with all of them in. Its joints are not searched for: rips and movement do not hang on them.
    fn with(&self, all: &[Proposal]) -> Option<House> {
        let mut plan = Plan { effort: 0, ..self.plan.clone() };
        plan.joints.extend(all.iter().map(|proposal| proposal.joint.clone()));
        run(&plan).ok()
    }

    /// Makes joints as wide as their fillers need, as far as somebody can walk over them.
    fn widen(&self, all: &mut [Proposal], house: &House) {
        let Some(movement) = &house.fit.movement else { return };
        for moved in &movement.joints {
            let proposal =
                moved.joint.checked_sub(self.plan.joints.len()).and_then(|index| all.get_mut(index));
            let Some(joint) = proposal.map(|proposal| &mut proposal.joint) else { continue };
            let needed = (moved.closes.max(moved.opens) / FILLER_TAKES).ceil();
            joint.width = joint.width.max(needed.min(WIDEST_JOINT));
        }
    }

    /// Moves a joint within its doorway to where least is left to mend there.
    fn find_place(&self, all: &mut [Proposal], index: usize, trials: &mut usize) {
        let ProposedAt::Doorway(door) = all[index].at else { return };
        let throat = self.plan.doorways.get(door).and_then(|door| Throat::of(&self.plan, door));
        let Some(throat) = throat.filter(|_| all[index].along_rows) else { return };
        let drawn = all[index].joint.clone();
        let middle = throat.place(drawn.from.lerp(drawn.to, 0.5)).1;
        let mut best: Option<((usize, f64), plan::MovementJoint)> = None;
        for into in self.places(&throat, middle, drawn.width) {
            if *trials == 0 || best.as_ref().is_some_and(|(worth, _)| worth.0 == 0) {
                break;
            }
            *trials -= 1;
            let by = into - middle;
            let moved = |p: Point| {
                let p = p.moved(throat.away.x * by, throat.away.y * by);
                // Whole millimetres: a joint is marked with a tape.
                Point::new(p.x.round() + 0.0, p.y.round() + 0.0)
            };
            let joint = plan::MovementJoint { from: moved(drawn.from), to: moved(drawn.to), ..drawn.clone() };
            all[index].joint = joint.clone();
            let Some(house) = self.with(all) else { continue };
            let worth = throat.worth(&house);
            let is_better = best
                .as_ref()
                .is_none_or(|(least, _)| worth.0.cmp(&least.0).then(worth.1.total_cmp(&least.1)).is_lt());
            if is_better {
                best = Some((worth, joint));
            }
        }
        all[index].joint = best.map_or(drawn, |(_, joint)| joint);
    }

    /// Places in a doorway, from its near face: where the joint is drawn, then its row lines and even places, the nearest
    /// first.
    fn places(&self, throat: &Throat, drawn: f64, width: f64) -> Vec<f64> {
        let margin = width / 2.0 + INSIDE;
        let (least, most) = (margin, throat.thickness - margin);
        let mut all: Vec<f64> = Vec::new();
        let (pitch, offset) = (self.floor.pitch, self.setout.chosen.offset);
        let across = |into: f64| {
            let half = throat.width / 2.0;
            let (a, b) = (throat.along, throat.away);
            let p = throat.from.moved(a.x * half + b.x * into, a.y * half + b.y * into);
            self.site.frame.row_from_plan(p).v
        };
        // Rows lie across the way through the doorway, near enough: row lines are where its depth comes to whole rows.
        let (low, high) = (across(0.0), across(throat.thickness));
        if pitch > 0.0 && (high - low).abs() > 1.0 {
            let mut row = ((low.min(high) - offset) / pitch).ceil();
            while offset + row * pitch <= low.max(high) && all.len() < PLACES {
                all.push((offset + row * pitch - low) / (high - low) * throat.thickness);
                row += 1.0;
            }
        }
        all.extend((0..PLACES).map(|i| least + (most - least) * i as f64 / (PLACES - 1) as f64));
        all.retain(|into| (least..=most).contains(into));
        all.sort_by(|a, b| (a - drawn).abs().total_cmp(&(b - drawn).abs()));
        all.insert(0, drawn);
        all
    }

    /// Says how a joint is found where it came to lie, and what comes with it that was not there without it.
    fn tell(&self, proposal: &mut Proposal, joint: usize, house: &House) {
        let length = |mm: f64| format_length(mm.round(), self.plan.units);
        if let Some(laid) = house.fit.joints.iter().find(|laid| laid.joint == joint) {
            proposal.marks = fit::marks_in_words(&house.plan, &house.site, laid, length);
        }
        let say = |flag: &Flag| {
            let told = |mm: f64| flag.kind.figure_in_words(mm, self.plan.units, length);
            let figure = told(plan::judged(flag.figure, flag.limit, 0.1));
            format!("{} {figure} (limit {}), {}", flag.kind.word(), told(flag.limit), flag.place)
        };
        let of_joint = |flag: &&Flag| {
            let is_own = flag.subject == findings::Subject::Thing(site::Source::Joint(joint));
            is_own && matches!(flag.kind, FlagKind::JointStrained | FlagKind::JointShort)
        };
        proposal.comes_with.extend(house.flags.iter().filter(of_joint).map(say));
        let ProposedAt::Doorway(door) = proposal.at else { return };
        let throat = self.plan.doorways.get(door).and_then(|door| Throat::of(&self.plan, door));
        let Some(throat) = throat else { return };
        let before: Vec<FlagKind> = throat.flags(self).map(|flag| flag.kind).collect();
        let new = throat.flags(house).filter(|flag| flag.severity == Severity::Fault);
        proposal.comes_with.extend(new.filter(|flag| !before.contains(&flag.kind)).map(say));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use plan::{Leaf, Lining, Room, Side, StartLine};

    /// Two rooms, 5 m and 4 m across the rows, joined through a wall some 92 thick and a little out of true; boards 200 wide.
    fn two(line: f64) -> Plan {
        let mut plan = Plan::new("t");
        plan.stock.face_width = 200.0;
        plan.start_line = StartLine::At(line);
        plan.rules.wall_gap = plan::GapRange { least: 10.0, greatest: 10.0 };
        let corners = |all: [(f64, f64); 4]| all.map(Point::from).to_vec();
        let hall = corners([(0.0, 0.0), (6000.0, 0.0), (6000.0, 5004.0), (0.0, 5000.0)]);
        let den = corners([(0.0, 5092.0), (6000.0, 5095.0), (6000.0, 9100.0), (0.0, 9100.0)]);
        plan.rooms.push(Room::boarded("Hall", hall));
        plan.rooms.push(Room::boarded("Den", den));
        plan.doorways.push(Doorway {
            wall_thickness: 92.0,
            leaf: Some(Leaf::swinging(Side::Far, 40.0)),
            lining: Lining::Fitted,
            ..Doorway::plain("Arch", "Hall", 2, 2000.0, 800.0)
        });
        plan
    }

    #[test]
    fn a_joint_in_a_doorway_leaves_no_sliver_there() {
        // By hand: row lines at 39 + 200·k, one at 5039. The wall's face lies at 5002.1 and 5002.7 at the jambs, the leaf's middle
        // 92 − 20 = 72 further in, at 5074.4, and 5074 in whole millimetres. A joint 10 wide there leaves of the row above the line
        // some 30, from 5039 to 5069, under the least rip of 50: a sliver. Over the line it takes at most its own 10 off a row.
        let plan = two(39.0);
        let house = run(&plan).unwrap();
        let drawn = fit::proposals(&house.plan, &house.site, house.fit.movement.as_ref());
        let of = |proposals: &[Proposal]| {
            let house = house.with(proposals).unwrap();
            let throat = Throat::of(&plan, &plan.doorways[0]).unwrap();
            throat.flags(&house).filter(|flag| flag.kind == FlagKind::Sliver).count()
        };
        assert_eq!(drawn.len(), 1);
        let middle = |proposal: &Proposal| proposal.joint.from.lerp(proposal.joint.to, 0.5).y;
        assert_eq!((drawn[0].at, middle(&drawn[0])), (ProposedAt::Doorway(0), 5074.0));
        let found = house.proposals();
        assert_eq!(found.len(), 1);
        assert_eq!(of(&found), 0, "{found:#?}");
        assert!(of(&drawn) > 0, "the middle of the doorway leaves a sliver");
        let y = middle(&found[0]);
        assert!((y - 5039.0).abs() <= 5.0, "{y}");
        assert_eq!(found[0].comes_with, [""; 0]);
        // Told from the wall's face at the jambs.
        assert_eq!(found[0].marks.len(), 1, "{:?}", found[0].marks);
        assert!(
            found[0].marks[0].ends_with("into Arch from the face of Hall, wall 3"),
            "{:?}",
            found[0].marks
        );
    }

    #[test]
    fn a_joint_that_the_seasons_strain_is_made_wider() {
        let mut plan = two(110.0);
        // Multilayer of 0.0003 a mm and percent, from 9 to 2 %: 5 m and 4 m shrink by 10 and 8, half of that at the joint.
        plan.stock.wood =
            Some(plan::Wood { construction: plan::Construction::Multilayer, ..plan::Wood::default() });
        plan.air = Some(plan::Seasons {
            laid: plan::Climate::Moisture(9.0),
            driest: plan::Climate::Moisture(5.0),
            dampest: plan::Climate::Moisture(10.0),
        });
        let house = run(&plan).unwrap();
        let found = house.proposals();
        let laid = house.with(&found).unwrap();
        let is_strained = |flag: &Flag| flag.kind == FlagKind::JointStrained;
        assert!(!found.is_empty() && !laid.flags.iter().any(is_strained), "{found:#?}");
        let drawn = fit::proposals(&house.plan, &house.site, house.fit.movement.as_ref());
        assert!(house.with(&drawn).unwrap().flags.iter().any(is_strained), "10 is too little");
        // The filler takes a quarter of the width; the width is the least whole millimetre that does.
        let moved = laid.fit.movement.as_ref().unwrap().joints[0];
        let most = moved.closes.max(moved.opens);
        let width = found[0].joint.width;
        assert!(most <= width / 4.0 + 0.05 && most > (width - 1.5) / 4.0, "{most} of {width}");
    }
}
