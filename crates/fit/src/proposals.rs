//! Joints that would bring the floor within its limits: at doorways, at necks, in line past fixtures, and across the
//! open floor.

use crate::Movement;
use crate::beyond::Reach;
use crate::continuous::longest_chord;
use plan::{Beyond, JOINT_WIDTH, MovementJoint, Plan};
use site::{Edge, Region, Site, Source, Uv};

/// No joint is proposed nearer to the end of a stretch than this many boards across the rows.
const BOARDS_APART: f64 = 3.0;
/// The same along the rows, mm: as long as a board that could be laid there. Common practice, no source.
const LENGTH_APART: f64 = 1000.0;
/// Floor is a neck where it is no wider than this part of the floor beside it.
const NECK: f64 = 0.6;
/// A corner and the end of a section this near are the same corner, mm.
const AT_CORNER: f64 = 60.0;
/// How far into the neck from its corner the joint lies, mm.
const INTO_NECK: f64 = 20.0;
/// More are not proposed for one region: by then its limits are mistyped.
const MOST: usize = 200;
/// What a millimetre of joint counts by its place: less where a leaf hides it, more off a fixture's middle, and most
/// where nothing else asks for it there. Ours, no source.
const DOORWAY: f64 = 0.3;
const IN_THE_OPEN: f64 = 1.3;
const BESIDE_MIDDLE: f64 = 1.1;

/// What stands for a joint that is not in the plan yet.
const PROPOSED: Source = Source::Joint(usize::MAX);

/// Why a joint is proposed where it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ProposedAt {
    /// In a doorway, under its leaf.
    Doorway(usize),
    /// Where the floor narrows, at the corner of a thing.
    Neck(Source),
    /// In line past a fixture, on both its sides.
    Fixture(usize),
    /// Across the open floor.
    Open,
}

/// A joint that would help.
#[derive(Debug, Clone, PartialEq)]
pub struct Proposal {
    /// The joint to put in.
    pub joint: MovementJoint,
    /// Why there.
    pub at: ProposedAt,
    /// Whether it lies along the rows and relieves width; else across them, for length.
    pub along_rows: bool,
    /// The region it parts.
    pub region: usize,
    /// The stretch that is too long, mm.
    pub before: f64,
    /// The longer of the two it becomes.
    pub after: f64,
    /// The limit: the rules', or what the gaps and joints of a sensible width take of the seasons where that is less.
    pub limit: f64,
    /// Length of the joint on the floor, mm.
    pub length: f64,
    /// Doorways it passes in which a trim would do as much: no more joints would be needed after it.
    pub passes: Vec<usize>,
    /// What that stretch becomes on either side up to the joint's middle, mm.
    pub parts: [f64; 2],
    /// How it is found with a tape, see [`crate::marks_in_words`]; empty until the floor is laid with it.
    pub marks: Vec<String>,
    /// What it brings with it where it lies, in words; empty until the floor is laid with it, or where that is nothing.
    pub comes_with: Vec<String>,
}

/// Proposes joints for every region that is over its limits, width first, longest stretch first. Those named earlier
/// are taken to be in for the later ones. A plan within its limits gets none.
///
/// `movement` adds the width at which swelling fills the gaps, where that is less than the rules' limit, and beside a joint
/// that at which its filler would ask for more than [`crate::WIDEST_JOINT`]. What no joint serves gets none, see
/// [`Movement::beyond`].
pub fn proposals(plan: &Plan, site: &Site, movement: Option<&Movement>) -> Vec<Proposal> {
    let mut found = Vec::new();
    for (index, region) in site.regions.iter().enumerate() {
        for along_rows in [true, false] {
            let reach = Reach::of_movement(plan, movement, along_rows);
            if reach.beyond.is_some() {
                continue;
            }
            let mut chart = Chart::new(region, along_rows);
            let mut own = Vec::new();
            while own.len() < MOST {
                let Some(proposal) = chart.propose(plan, site, index, reach) else { break };
                own.push(proposal);
            }
            found.append(&mut own);
        }
    }
    found
}

/// The first that is proposed for the stretches of a region across the rows, or along them: it parts the longest.
pub fn first_proposal(
    plan: &Plan,
    site: &Site,
    movement: Option<&Movement>,
    (region, across): (usize, bool),
) -> Option<Proposal> {
    let mut chart = Chart::new(site.regions.get(region)?, across);
    let reach = Reach::of_movement(plan, movement, across);
    if reach.beyond.is_some() {
        return None;
    }
    chart.propose(plan, site, region, reach)
}

/// A side of the floor: `s` along the joint that is looked for, `t` across it.
#[derive(Debug, Clone, Copy)]
struct Side {
    a: Uv,
    b: Uv,
    source: Source,
    gap: f64,
}

impl Side {
    /// Where the line at `v` crosses it.
    fn crossing(&self, v: f64) -> f64 {
        self.a.u + (self.b.u - self.a.u) * (v - self.a.v) / (self.b.v - self.a.v)
    }
}

/// A region seen with the joints that are looked for lying along u.
struct Chart {
    sides: Vec<Side>,
    /// Whether u and v are the rows' own.
    is_upright: bool,
}

/// A section of the floor along u, from side to side.
#[derive(Debug, Clone, Copy)]
struct Section {
    from: f64,
    to: f64,
    /// Sides at its ends.
    ends: [usize; 2],
}

/// A place for a joint.
struct Candidate {
    v: f64,
    at: ProposedAt,
    sections: Vec<Section>,
    weight: f64,
}

impl Candidate {
    /// The doorway it lies in, and where.
    fn doorway(&self) -> Option<(usize, f64)> {
        match self.at {
            ProposedAt::Doorway(index) => Some((index, self.v)),
            _ => None,
        }
    }

    fn length(&self) -> f64 {
        self.sections.iter().map(|s| s.to - s.from).sum()
    }
}

impl Chart {
    fn new(region: &Region, along_rows: bool) -> Self {
        let seen = |p: Uv| if along_rows { p } else { Uv::new(p.v, p.u) };
        let side = |e: &Edge| Side { a: seen(e.a), b: seen(e.b), source: e.source, gap: e.gap };
        Self { sides: region.edges().map(side).collect(), is_upright: along_rows }
    }

    /// The best joint across the longest stretch, put in; `None` where that is within the limit, or nothing helps.
    fn propose(&mut self, plan: &Plan, site: &Site, region: usize, reach: Reach) -> Option<Proposal> {
        let segments: Vec<(Uv, Uv)> = self.sides.iter().map(|side| (side.a, side.b)).collect();
        let (low, high) = longest_chord(&segments)?;
        let before = high.v - low.v;
        let is_beside_joint = [low, high].into_iter().any(|end| self.ends_at_proposed(end));
        if before <= if is_beside_joint { reach.parted } else { reach.whole } {
            return None;
        }
        let limit = reach.parted;
        let apart = match self.is_upright {
            true => BOARDS_APART * plan.stock.pitch(),
            false => LENGTH_APART,
        };
        let is_inside = |v: f64| v - low.v >= apart && high.v - v >= apart;
        let after = |v: f64| (v - low.v).max(high.v - v) - JOINT_WIDTH / 2.0;
        // Further joints that each part still needs.
        let further = |v: f64| {
            let needs = |part: f64| ((part - JOINT_WIDTH / 2.0) / limit).ceil() - 1.0;
            needs(v - low.v) + needs(high.v - v)
        };
        let rank = |c: &Candidate| (further(c.v), c.length() * c.weight, after(c.v));
        let all = self.candidates(plan, site, (low, high), limit);
        let doorways: Vec<(usize, f64)> = all.iter().filter_map(Candidate::doorway).collect();
        let best = all
            .into_iter()
            .filter(|candidate| is_inside(candidate.v) && !candidate.sections.is_empty())
            .min_by(|a, b| {
                let (p, q) = (rank(a), rank(b));
                p.0.total_cmp(&q.0).then(p.1.total_cmp(&q.1)).then(p.2.total_cmp(&q.2))
            })?;
        let (joint, length) = (self.joint(site, &best)?, best.length());
        for section in &best.sections {
            self.cut(best.v, section);
        }
        let after = after(best.v);
        Some(Proposal {
            joint,
            at: best.at,
            along_rows: self.is_upright,
            region,
            before,
            after,
            limit,
            length,
            passes: doorways
                .into_iter()
                .filter(|(_, v)| further(*v) <= further(best.v))
                .map(|(index, _)| index)
                .collect(),
            parts: [best.v - low.v, high.v - best.v],
            marks: Vec::new(),
            comes_with: Vec::new(),
        })
    }

    /// Whether a stretch ends at a joint that has been proposed.
    fn ends_at_proposed(&self, end: Uv) -> bool {
        self.sides.iter().any(|side| {
            side.source == PROPOSED
                && (side.a.v - end.v).abs() < 1.0
                && (side.a.u.min(side.b.u)..=side.a.u.max(side.b.u)).contains(&end.u)
        })
    }

    /// The joint of a candidate, from face to face.
    fn joint(&self, site: &Site, candidate: &Candidate) -> Option<MovementJoint> {
        let (first, last) = (candidate.sections.first()?, candidate.sections.last()?);
        let face = |end: usize| self.sides[end].gap.max(0.0);
        let (from, to) = (first.from - face(first.ends[0]), last.to + face(last.ends[1]));
        let [from, to] = [from, to].map(|u| {
            let p = if self.is_upright { Uv::new(u, candidate.v) } else { Uv::new(candidate.v, u) };
            let p = site.frame.plan_from_row(p);
            // Whole millimetres: a joint is marked with a tape, and goes to a row line by itself.
            plan::Point::new(p.x.round() + 0.0, p.y.round() + 0.0)
        });
        Some(MovementJoint::new(from, to))
    }

    /// Parts the floor at a section.
    fn cut(&mut self, v: f64, section: &Section) {
        let half = JOINT_WIDTH / 2.0;
        let at = |u: f64, by: f64| Uv::new(u, v + by);
        for (a, b) in
            [(at(section.to, -half), at(section.from, -half)), (at(section.from, half), at(section.to, half))]
        {
            self.sides.push(Side { a, b, source: PROPOSED, gap: half });
        }
    }

    fn candidates(&self, plan: &Plan, site: &Site, (low, high): (Uv, Uv), limit: f64) -> Vec<Candidate> {
        let (u, extent) = (low.u, high.v - low.v);
        let mut found = Vec::new();
        let parts = (extent / limit).ceil().max(2.0);
        let mut part = 1.0;
        while part < parts {
            let v = low.v + extent * part / parts;
            found.push(self.candidate(u, v, ProposedAt::Open, IN_THE_OPEN));
            part += 1.0;
        }
        for (index, door) in plan.doorways.iter().enumerate() {
            let Some(v) = self.doorway_line(plan, site, door, (low, high)) else { continue };
            found.push(self.candidate(u, v, ProposedAt::Doorway(index), DOORWAY));
        }
        let mut met: Vec<usize> = self.sides.iter().filter_map(|side| fixture_of(side.source)).collect();
        met.sort_unstable();
        met.dedup();
        for fixture in met {
            let ends = self.sides.iter().filter(|s| s.source == Source::Fixture(fixture));
            let (least, most) = ends.fold((f64::INFINITY, f64::NEG_INFINITY), |(least, most), s| {
                (least.min(s.a.v).min(s.b.v), most.max(s.a.v).max(s.b.v))
            });
            let inside = self.room_to_move(plan);
            let mut places = vec![(f64::midpoint(least, most), 1.0)];
            if most - least > 4.0 * inside {
                places.extend([least + inside, most - inside].map(|v| (v, BESIDE_MIDDLE)));
            }
            for (v, weight) in places.into_iter().filter(|(v, _)| *v > low.v && *v < high.v) {
                let candidate = self.candidate(u, v, ProposedAt::Fixture(fixture), weight);
                let ends_there = |end: &usize| self.sides[*end].source == Source::Fixture(fixture);
                if candidate.sections.iter().any(|section| section.ends.iter().any(ends_there)) {
                    found.push(candidate);
                }
            }
        }
        found.extend(self.necks(plan, u, low.v, high.v));
        found
    }

    /// How far from a corner a joint keeps, so that along the rows it can go to a row line, mm.
    fn room_to_move(&self, plan: &Plan) -> f64 {
        if self.is_upright { plan.stock.pitch() / 2.0 + AT_CORNER } else { INTO_NECK }
    }

    /// A joint at `v` through `u`, going on past the fixtures that stand in its way.
    fn candidate(&self, u: f64, v: f64, at: ProposedAt, weight: f64) -> Candidate {
        let all = self.sections(v);
        let Some(middle) = all.iter().position(|s| s.from <= u && u <= s.to) else {
            return Candidate { v, at, sections: Vec::new(), weight };
        };
        let stands = |end: usize| fixture_of(self.sides[end].source);
        let (mut first, mut last) = (middle, middle);
        while first > 0
            && stands(all[first].ends[0]).is_some()
            && stands(all[first].ends[0]) == stands(all[first - 1].ends[1])
        {
            first -= 1;
        }
        while last + 1 < all.len()
            && stands(all[last].ends[1]).is_some()
            && stands(all[last].ends[1]) == stands(all[last + 1].ends[0])
        {
            last += 1;
        }
        Candidate { v, at, sections: all[first..=last].to_vec(), weight }
    }

    /// The ends of the floor on the line at `v` through `u`, which lies on no side.
    fn through(&self, u: f64, v: f64) -> Option<[f64; 2]> {
        let (mut ends, mut is_inside) = ([f64::NEG_INFINITY, f64::INFINITY], false);
        for s in self.sides.iter().filter(|s| (s.a.v <= v) != (s.b.v <= v)) {
            let crossing = s.crossing(v);
            match crossing <= u {
                true => (ends[0], is_inside) = (ends[0].max(crossing), !is_inside),
                false => ends[1] = ends[1].min(crossing),
            }
        }
        is_inside.then_some(ends)
    }

    /// Where the line at `v` lies on the floor, left to right.
    fn sections(&self, v: f64) -> Vec<Section> {
        let mut crossings: Vec<(f64, usize)> = self
            .sides
            .iter()
            .enumerate()
            .filter(|(_, s)| (s.a.v <= v) != (s.b.v <= v))
            .map(|(i, s)| (s.crossing(v), i))
            .collect();
        crossings.sort_by(|a, b| a.0.total_cmp(&b.0));
        crossings
            .chunks_exact(2)
            .map(|pair| Section { from: pair[0].0, to: pair[1].0, ends: [pair[0].1, pair[1].1] })
            .collect()
    }

    /// The middle of a doorway's leaf, where boards run through it along the stretch.
    fn doorway_line(
        &self,
        plan: &Plan,
        site: &Site,
        door: &plan::Doorway,
        (low, high): (Uv, Uv),
    ) -> Option<f64> {
        if door.beyond != Beyond::RunThrough {
            return None;
        }
        let [from, to, back, end] = door.throat(plan)?;
        let part = if door.wall_thickness > 0.0 { door.stop_line() / door.wall_thickness } else { 0.0 };
        let [a, b] = [from.lerp(end, part), to.lerp(back, part)].map(|p| {
            let p = site.frame.row_from_plan(p);
            if self.is_upright { p } else { Uv::new(p.v, p.u) }
        });
        // It must lie along the joint that is looked for, and the stretch go through it.
        let is_along = (b.v - a.v).abs() <= 0.1 * (b.u - a.u).abs();
        let v = f64::midpoint(a.v, b.v);
        let is_passed = a.u.min(b.u) <= low.u && low.u <= a.u.max(b.u) && v > low.v && v < high.v;
        (is_along && is_passed).then_some(v)
    }

    /// Joints just inside the places where the floor narrows along the stretch at `u`.
    fn necks(&self, plan: &Plan, u: f64, low: f64, high: f64) -> Vec<Candidate> {
        let through = |v: f64| self.through(u, v);
        let mut found: Vec<Candidate> = Vec::new();
        for side in &self.sides {
            let corner = side.a;
            if corner.v <= low || corner.v >= high || fixture_of(side.source).is_some() {
                continue;
            }
            for way in [1.0, -1.0] {
                let Some(wide) = through(corner.v - way * INTO_NECK) else { continue };
                let is_neck = |narrow: [f64; 2]| {
                    narrow.iter().any(|end| (end - corner.u).abs() <= AT_CORNER)
                        && narrow[1] - narrow[0] <= NECK * (wide[1] - wide[0])
                };
                let inside = [self.room_to_move(plan), INTO_NECK].map(|into| corner.v + way * into);
                let Some(v) = inside.into_iter().find(|v| through(*v).is_some_and(is_neck)) else {
                    continue;
                };
                if !found.iter().any(|c| (c.v - v).abs() < AT_CORNER) {
                    found.push(self.candidate(u, v, ProposedAt::Neck(side.source), 1.0));
                }
            }
        }
        found
    }
}

fn fixture_of(source: Source) -> Option<usize> {
    match source {
        Source::Fixture(index) => Some(index),
        _ => None,
    }
}

impl Proposal {
    /// Where it lies and what it relieves, as a person reads it: `in Study door`, `at the neck by Hall, wall 3`.
    pub fn place(&self, plan: &Plan) -> String {
        let (from, to) = (self.joint.from, self.joint.to);
        match self.at {
            ProposedAt::Doorway(index) => format!("in {}", Source::Doorway(index).name(plan)),
            ProposedAt::Neck(source) => format!("at the neck by {}", source.name(plan)),
            ProposedAt::Fixture(index) => format!("in line past {}", Source::Fixture(index).name(plan)),
            ProposedAt::Open => match plan.place_at(from.lerp(to, 0.5)) {
                Some(place) => format!("across {place}"),
                None => "across the floor".into(),
            },
        }
    }
}
