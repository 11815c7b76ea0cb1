//! Other floors of the same house: what to hold the floor on the table against, and what would mend a flag.
//!
//! Each is tried through every stage and told by its figures, never guessed.

use crate::{House, run};
use findings::{Flag, FlagKind, Severity};
use plan::{MovementJoint, Pattern, Plan, StartLine, format_length};
use std::collections::BTreeMap;

/// A flag of the same kind this near to where it was is the same flag, mm: boards shift with a mend.
const SAME_PLACE: f64 = 400.0;
/// Other joints that are tried for a mend.
const STAGGERS: u64 = 6;
/// Mends that are told.
const TOLD: usize = 4;
/// Lines nearer than this are one, mm.
const SAME_LINE: f64 = 0.5;

/// What a floor comes to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Figures {
    /// Flags that break a rule.
    pub faults: usize,
    /// Flags worth a look.
    pub looks: usize,
    /// What all of them weigh together (see [`Flag::weight`]).
    pub weight: u32,
    /// Narrowest seen rip, mm; `None` where no edge runs along the rows.
    pub narrowest: Option<f64>,
    /// Length of edge under the least rip, mm, the line out by up to the rules' tolerance.
    pub short_length: f64,
    /// Length of edge under it with the line as drawn, mm.
    pub short_as_drawn: f64,
    /// What the line in use is worth, part by part: the same length weighed by sight first.
    pub value: setout::Value,
    /// Boards to be ripped or cut anywhere: pieces of the saw list.
    pub cuts: usize,
    /// Boards opened.
    pub opened: usize,
    /// Packs to buy.
    pub packs: u32,
    /// What they cost, where the plan has a price.
    pub price: Option<f64>,
}

/// Another floor of the same house.
#[derive(Debug, Clone, PartialEq)]
pub struct Choice {
    /// What is other, in words: `runner-up line`.
    pub name: String,
    /// The plan that gives it.
    pub plan: Plan,
}

/// Something that can be done about a flag, tried.
#[derive(Debug, Clone, PartialEq)]
pub struct Mend {
    /// What is done, in words.
    pub name: String,
    /// The plan with it done.
    pub plan: Plan,
    /// Whether the flag is gone then.
    pub does_away: bool,
    /// What the floor comes to then.
    pub figures: Figures,
    /// The kinds of which more flags stand then, and how many more.
    pub brings: Brings,
}

impl Mend {
    /// Whether the flags that stand with it weigh less than those of a floor of these figures. What does away with one flag
    /// may raise others.
    pub fn lowers(&self, before: &Figures) -> bool {
        self.figures.weight < before.weight
    }
}

/// Kinds of flags of which a floor has more than another, each with how many more.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Brings(pub Vec<(FlagKind, usize)>);

impl Brings {
    /// What the flags of one floor are more than those of the floor before.
    pub fn between(before: &[Flag], after: &[Flag]) -> Self {
        let mut counts: BTreeMap<FlagKind, i64> = BTreeMap::new();
        before.iter().for_each(|flag| *counts.entry(flag.kind).or_default() -= 1);
        after.iter().for_each(|flag| *counts.entry(flag.kind).or_default() += 1);
        let mut more: Vec<(FlagKind, usize)> = counts
            .into_iter()
            .filter_map(|(kind, more)| Some((kind, usize::try_from(more).ok().filter(|more| *more > 0)?)))
            .collect();
        // The worst first.
        more.sort_by_key(|(kind, _)| std::cmp::Reverse(kind.weight()));
        Self(more)
    }

    /// In words: `it brings in 2 slivers, 1 thin leg`; `None` where it brings in nothing.
    pub fn words(&self) -> Option<String> {
        let said = |(kind, count): &(FlagKind, usize)| {
            format!("{count} {}", if *count == 1 { kind.word() } else { kind.plural() })
        };
        let all: Vec<String> = self.0.iter().map(said).collect();
        (!all.is_empty()).then(|| format!("it brings in {}", all.join(", ")))
    }
}

impl House {
    /// What this floor comes to.
    pub fn figures(&self) -> Figures {
        let faults = self.flags.iter().filter(|flag| flag.severity == Severity::Fault).count();
        let chosen = &self.setout.chosen;
        Figures {
            faults,
            looks: self.flags.len() - faults,
            weight: self.flags.iter().map(Flag::weight).sum(),
            narrowest: (!chosen.rips.is_empty()).then_some(chosen.narrowest),
            short_length: chosen.short_length,
            short_as_drawn: self.setout.short_as_drawn(chosen),
            value: chosen.value,
            cuts: self.floor.boards.iter().filter(|board| is_cut(board)).count(),
            opened: self.order.opened,
            packs: self.order.packs,
            price: self.order.price,
        }
    }

    /// Other floors worth holding this one against: the best few lines, the safest, the rows turned, other joints.
    pub fn choices(&self) -> Vec<Choice> {
        let mut choices: Vec<Choice> = Vec::new();
        let mut add = |name: String, plan: Plan| {
            if plan != self.plan && !choices.iter().any(|choice| choice.plan == plan) {
                choices.push(Choice { name, plan });
            }
        };
        if self.plan.laid.is_none() {
            for (name, plan) in self.other_lines() {
                add(name, plan);
            }
            add("rows turned".into(), turned(&self.plan));
        }
        add("another stagger".into(), Plan { seed: self.plan.seed.wrapping_add(1), ..self.plan.clone() });
        choices
    }

    /// The best line where another is in use, and the runners-up.
    fn other_lines(&self) -> Vec<(String, Plan)> {
        let used = self.setout.chosen.offset;
        let mut lines = Vec::new();
        let is_other = |offset: f64| (offset - used).abs() > SAME_LINE;
        if is_other(self.setout.best.offset) {
            lines.push(("best line".to_owned(), Plan { start_line: StartLine::Best, ..self.plan.clone() }));
        }
        for (rank, line) in
            self.setout.lines.iter().enumerate().skip(1).filter(|(_, line)| is_other(line.offset))
        {
            let name = if rank == 1 {
                "runner-up line".to_owned()
            } else {
                format!("line {} of the best few", rank + 1)
            };
            let plan = Plan { start_line: StartLine::At(line.offset), ..self.plan.clone() };
            lines.push((name, plan));
        }
        if self.plan.start_line != StartLine::Safest {
            lines.push((
                "safest line".to_owned(),
                Plan { start_line: StartLine::Safest, ..self.plan.clone() },
            ));
        }
        lines
    }

    /// What can be done about a flag, by its index, each tried through every stage: what leaves lighter flags first (see
    /// [`Mend::lowers`]), the lightest before others, then what does away with the flag, then what opens fewer boards. Only
    /// what leaves them no heavier than they are; empty where nothing the plan holds would help.
    pub fn mends(&self, flag: usize) -> Vec<Mend> {
        self.mends_while(flag, &|_, _| true).unwrap_or_default()
    }

    /// The same, told before each try how many of how many are done: `None` once `goes_on` says no.
    pub fn mends_while(&self, flag: usize, goes_on: &dyn Fn(usize, usize) -> bool) -> Option<Vec<Mend>> {
        let Some(flag) = self.flags.get(flag) else { return Some(Vec::new()) };
        let before = self.figures();
        let tries = self.tries(flag);
        let count = tries.len();
        let mut mends: Vec<Mend> = Vec::new();
        for (done, (name, plan)) in tries.into_iter().enumerate() {
            if !goes_on(done, count) {
                return None;
            }
            let Ok(house) = run(&plan) else { continue };
            let figures = house.figures();
            let does_away = !house.flags.iter().any(|other| is_same(other, flag));
            let helps = does_away || figures.weight < before.weight;
            if helps && figures.weight <= before.weight {
                let brings = Brings::between(&self.flags, &house.flags);
                mends.push(Mend { name, plan, does_away, figures, brings });
            }
        }
        mends.sort_by_key(|mend| {
            let Figures { weight, opened, .. } = mend.figures;
            (!mend.lowers(&before), weight, !mend.does_away, opened)
        });
        mends.truncate(TOLD);
        Some(mends)
    }

    /// What the floor would have more of with these movement joints put in; `None` where no floor can be laid with them.
    pub fn with_joints(&self, joints: &[MovementJoint]) -> Option<Brings> {
        let mut with = self.plan.clone();
        with.joints.extend(joints.iter().cloned());
        Some(Brings::between(&self.flags, &run(&with).ok()?.flags))
    }

    /// What might mend a flag of this kind.
    fn tries(&self, flag: &Flag) -> Vec<(String, Plan)> {
        let plan = &self.plan;
        let mut tries = Vec::new();
        match flag.kind {
            FlagKind::Sliver | FlagKind::ThinLeg | FlagKind::PointPiece if plan.laid.is_none() => {
                tries.extend(self.other_lines());
                // A gap eased to its greatest may take a strip up; an edge's own gap is the plan's to give.
                tries.extend(self.wider_gap(flag));
                tries.push(("turn the rows".into(), turned(plan)));
            }
            FlagKind::ShortEnd
            | FlagKind::JointsClose
            | FlagKind::HJoint
            | FlagKind::Stairs
            | FlagKind::ShortBoards => {
                for step in 1..=STAGGERS {
                    let seed = plan.seed.wrapping_add(step);
                    tries.push((format!("another stagger, seed {seed}"), Plan { seed, ..plan.clone() }));
                }
                if plan.pattern == Pattern::Irregular && plan.effort < 2_000 {
                    let name = "look for better joints, 2 000 moves".to_owned();
                    tries.push((name, Plan { effort: 2_000, ..plan.clone() }));
                }
            }
            FlagKind::WideFloor | FlagKind::LongFloor | FlagKind::Swelling => {
                let proposals = self.proposals();
                for proposal in &proposals {
                    let mut with = plan.clone();
                    with.joints.push(proposal.joint.clone());
                    let length = format_length(proposal.length.round(), plan.units);
                    tries.push((format!("a movement joint of {length}"), with));
                }
                if proposals.len() > 1 {
                    let mut with = plan.clone();
                    with.joints.extend(proposals.iter().map(|proposal| proposal.joint.clone()));
                    tries.push((format!("all {} movement joints that are proposed", proposals.len()), with));
                }
            }
            _ => {}
        }
        tries
    }

    /// The wall at a flag given a greatest gap of as much as its strip wants, where its skirting hides that.
    fn wider_gap(&self, flag: &Flag) -> Option<(String, Plan)> {
        let plan = &self.plan;
        let findings::Subject::Thing(site::Source::Wall { room, wall }) = flag.subject else { return None };
        let drawn = plan.rooms.get(room)?.walls.get(wall)?;
        let mut gap = drawn.gap.unwrap_or(plan.rules.wall_gap);
        gap.greatest = (gap.least + flag.figure).ceil();
        // What a skirting of the usual kind still covers; more wants another cover, which is the user's to choose.
        if gap.greatest > plan.rules.wall_gap.greatest + 8.0 {
            return None;
        }
        let mut with = plan.clone();
        with.rooms[room].walls[wall].gap = Some(gap);
        let name = format!("a gap of up to {} at {}", format_length(gap.greatest, plan.units), flag.place);
        Some((name, with))
    }
}

fn is_cut(board: &lay::Board) -> bool {
    board.shaped || board.left_end == lay::End::Cut || board.right_end == lay::End::Cut
}

fn is_same(a: &Flag, b: &Flag) -> bool {
    a.kind == b.kind && a.at.distance(b.at) < SAME_PLACE
}

/// The plan with its rows square to how they run; the best line is taken there.
fn turned(plan: &Plan) -> Plan {
    let rows_at = if plan.rows_at > 0.0 { plan.rows_at - 90.0 } else { plan.rows_at + 90.0 };
    let start_line = match plan.start_line {
        StartLine::At(_) => StartLine::Best,
        other => other,
    };
    Plan { rows_at, start_line, ..plan.clone() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use plan::{Point, Room};

    fn hall(width: f64, depth: f64) -> Plan {
        let mut plan = Plan::new("Hall");
        let corners = [(0.0, 0.0), (width, 0.0), (width, depth), (0.0, depth)].map(Point::from);
        plan.rooms.push(Room::boarded("Hall", corners));
        plan
    }

    /// A line set so that a sliver stands at a wall: the best line does away with it. 3000 deep, gaps of 10 and pitch 190:
    /// from the lower wall on, a whole board leaves 2980 − 15·190 = 130 at the upper one; set 20 off, 20 stands below.
    #[test]
    fn a_sliver_is_mended_by_another_line() {
        let mut plan = hall(5000.0, 3000.0);
        plan.rules.wall_gap.greatest = plan.rules.wall_gap.least;
        plan.start_line = StartLine::At(30.0);
        let house = run(&plan).unwrap();
        let flag = house.flags.iter().position(|flag| flag.kind == FlagKind::Sliver).expect("a sliver");
        let mends = house.mends(flag);
        assert!(
            mends[0].does_away && mends[0].figures.faults < house.figures().faults,
            "{:?}",
            house.figures()
        );
        // What is told is what comes of it.
        for mend in &mends {
            assert_eq!(run(&mend.plan).unwrap().figures(), mend.figures);
        }
        assert!(house.mends(999).is_empty());
    }

    /// From the line 10 up a whole board lies at the lower wall, and a strip of 2 where it is snapped 2 out, which a gap without
    /// play does not take up. At the upper one 3460 − 18·190 = 40 are left either way, of 50 at the least. Both are 4180 long. By
    /// hand.
    #[test]
    fn what_is_under_the_least_as_drawn_is_told_apart() {
        let mut plan = hall(4200.0, 3480.0);
        plan.rules.wall_gap.greatest = plan.rules.wall_gap.least;
        plan.start_line = StartLine::At(10.0);
        let house = run(&plan).unwrap();
        let figures = house.figures();
        assert!((figures.short_as_drawn - 4180.0).abs() < 1e-6, "{figures:?}");
        assert!((figures.short_length - 8360.0).abs() < 1e-6, "{figures:?}");
        // Of any line: what is under the least as drawn falls under it when the line is out, too.
        assert!(house.setout.lines.len() > 1);
        for line in &house.setout.lines {
            let drawn: f64 =
                line.rips.iter().filter(|rip| rip.seen < 50.0 - 1e-6).map(|rip| rip.length).sum();
            assert!(
                (house.setout.short_as_drawn(line) - drawn).abs() < 1e-6 && drawn <= line.short_length + 1e-6
            );
        }
    }

    /// Figures as they stand: two faults and a look.
    #[test]
    fn a_mend_that_moves_a_flag_elsewhere_lowers_none() {
        // Slivers, and legs to look at.
        let figures = |faults, looks| Figures {
            faults,
            looks,
            weight: 6 * faults as u32 + 2 * looks as u32,
            narrowest: None,
            short_length: 0.0,
            short_as_drawn: 0.0,
            value: setout::Value::default(),
            cuts: 0,
            opened: 0,
            packs: 0,
            price: None,
        };
        let lowers = |faults, looks| {
            let mend = Mend {
                name: String::new(),
                plan: Plan::new(""),
                does_away: true,
                figures: figures(faults, looks),
                brings: Brings::default(),
            };
            mend.lowers(&figures(2, 1))
        };
        assert!(
            lowers(1, 1) && lowers(2, 0) && lowers(1, 3),
            "a fault weighs more than what is only looked at"
        );
        assert!(!lowers(2, 1) && !lowers(2, 2) && !lowers(3, 0));
    }

    /// By hand: a floor that lifts weighs 24, a sliver 6, a thin leg 2, stairs 1.
    #[test]
    fn flags_weigh_by_their_kind_and_what_a_mend_brings_in_is_told() {
        let flag = |kind, severity| Flag {
            cause: None,
            kind,
            severity,
            subject: findings::Subject::Board(0),
            at: Point::default(),
            place: String::new(),
            figure: 0.0,
            limit: 0.0,
            mend: String::new(),
        };
        let wide = flag(FlagKind::WideFloor, Severity::Fault);
        let sliver = flag(FlagKind::Sliver, Severity::Fault);
        let leg = flag(FlagKind::ThinLeg, Severity::Look);
        let stairs = flag(FlagKind::Stairs, Severity::Look);
        assert_eq!([&wide, &sliver, &leg, &stairs].map(Flag::weight), [24, 6, 2, 1]);
        // Where the walls leave no more, a short end is only looked at.
        assert_eq!(flag(FlagKind::ShortEnd, Severity::Look).weight(), 2);
        let before = [wide.clone(), leg.clone()];
        let after = [sliver.clone(), leg.clone(), sliver, leg.clone(), leg];
        let brings = Brings::between(&before, &after);
        assert_eq!(brings.0, [(FlagKind::Sliver, 2), (FlagKind::ThinLeg, 2)]);
        assert_eq!(brings.words().as_deref(), Some("it brings in 2 slivers, 2 thin legs"));
        assert_eq!(
            Brings::between(&before, &[wide, stairs]).words().as_deref(),
            Some("it brings in 1 stairs")
        );
        assert_eq!(Brings::between(&after, &before[1..]).words(), None);
    }

    /// Two metres over the limit: one joint halves it.
    #[test]
    fn a_wide_floor_is_mended_by_a_joint() {
        let plan = hall(6000.0, 10_000.0);
        let house = run(&plan).unwrap();
        let flag = house.flags.iter().position(|flag| flag.kind == FlagKind::WideFloor).expect("wide");
        let mends = house.mends(flag);
        assert!(
            mends[0].does_away && mends[0].name.starts_with("a movement joint of"),
            "{:?}",
            mends[0].name
        );
        assert_eq!(mends[0].plan.joints.len(), 1);
    }

    #[test]
    fn choices_are_other_floors() {
        let house = run(&hall(5000.0, 3100.0)).unwrap();
        let choices = house.choices();
        assert!(choices.iter().any(|choice| choice.name == "rows turned"));
        assert!(choices.iter().any(|choice| choice.name == "another stagger"));
        for (i, choice) in choices.iter().enumerate() {
            assert!(choice.plan != house.plan && !choices[..i].iter().any(|other| other.plan == choice.plan));
            assert!(run(&choice.plan).is_ok(), "{}", choice.name);
        }
    }
}
