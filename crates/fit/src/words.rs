//! Doorways, covers and tucks in words, for window, command line and sheets alike.

use crate::{Cover, CoveredBy, DoorwayFit, Finish, SideFloor, Step, Stop, Tuck, TuckWay as Way};
use plan::{Arris, Beyond, Lining, Plan, Side, Units, format_length};
use site::{EdgeKind, Source};

/// What is left of a cover is none under this, mm: it would be told as 0.
const NOTHING: f64 = 0.05;

/// Something said about a thing: what it is about, and what.
pub type Fact = (&'static str, String);

/// A length to a tenth of a millimetre: finer than a rule reads helps nobody.
fn length(plan: &Plan, mm: f64) -> String {
    match plan.units {
        Units::Metric => format_length((mm * 10.0).round() / 10.0, Units::Metric),
        units => format_length(mm, units),
    }
}

/// A pull to half a millimetre, as a rule held to a wall face reads it.
fn pull(plan: &Plan, mm: f64) -> String {
    match plan.units {
        Units::Metric => format_length((mm * 2.0).round() / 2.0, Units::Metric),
        units => format_length(mm, units),
    }
}

impl Stop {
    /// The pulls of [`Stop::pulls`] in one figure where they read alike: `15`, `76–80`, `−9 to −8`.
    pub fn figure(&self, plan: &Plan) -> String {
        let [first, last] = self.pulls().map(|mm| pull(plan, mm));
        match (first == last, first.starts_with('−') || last.starts_with('−')) {
            (true, _) => first,
            // A dash beside a minus cannot be read.
            (false, true) => format!("{first} to {last}"),
            (false, false) => format!("{first}–{last}"),
        }
    }
}

impl DoorwayFit {
    /// Everything about the doorway that a person works from, in the order in which it is needed.
    pub fn facts(&self, plan: &Plan) -> Vec<Fact> {
        let Some(door) = plan.doorways.get(self.doorway) else { return Vec::new() };
        let mm = |value: f64| length(plan, value);
        let mut facts = vec![(
            "Boards",
            match door.beyond {
                Beyond::RunThrough => "run through".to_owned(),
                Beyond::UnderLeaf => match (door.stop, door.leaf) {
                    (Some(stop), _) => format!("stop {} past the face of {}", mm(stop), door.room),
                    (None, Some(_)) => "stop under the closed leaf".to_owned(),
                    (None, None) => "stop in the middle of the wall".to_owned(),
                },
                Beyond::Trim(width) => format!("stop at a trim {} wide", mm(width)),
            },
        )];
        facts.extend(self.stops.iter().map(|stop| ("Stop line", self.stop(plan, stop))));
        facts.push(("Levels", format!("{}; {}", self.side(plan, 0), self.side(plan, 1))));
        facts.push((
            "Step",
            match &self.step {
                Some(step) => self.step_words(plan, step),
                None => {
                    let place = match self.sides[1].room {
                        Some(_) => format!("in {}", self.place(plan, 1)),
                        None => "outside".to_owned(),
                    };
                    format!("not known: say what lies {place} and how high")
                }
            },
        ));
        if let Some(leaf) = self.leaf {
            let off = leaf.take_off();
            let left = match leaf.clearance < 0.0 {
                true => format!("stands {} lower than the floor", mm(-leaf.clearance)),
                false => format!("clears the floor by {}", mm(leaf.clearance)),
            };
            let rest = match off > 0.0 {
                true => format!(": take {} off", mm(off)),
                false => String::new(),
            };
            facts.push(("Leaf", format!("{left}{rest}, least {}", mm(leaf.least))));
        } else if door.leaf.is_some() {
            facts.push(("Leaf", "its height above the slab is not given".to_owned()));
        }
        if let Some(cut) = self.arris {
            let how = match cut.arris {
                Arris::Square => "left square".to_owned(),
                Arris::Eased(depth) => format!("eased to {}", mm(depth)),
                Arris::Chamfered(depth) => format!("chamfered by {}", mm(depth)),
            };
            let layer = match (cut.wear_layer, cut.is_through()) {
                (Some(layer), true) => format!(", through the wear layer of {}", mm(layer)),
                (Some(layer), false) => format!(", within the wear layer of {}", mm(layer)),
                (None, _) => String::new(),
            };
            facts.push(("Arris", format!("{how}{layer}")));
        }
        facts
    }

    /// The step alone, as a mark on the floor says it: `flush`, `step 4`; `None` where it is not known.
    pub fn step_mark(&self, plan: &Plan) -> Option<String> {
        let step = self.step?;
        let is_flush = matches!(step.finish, Finish::RunsThrough | Finish::Sealant);
        Some(if is_flush { "flush".to_owned() } else { format!("step {}", length(plan, step.rise.abs())) })
    }

    fn place<'a>(&self, plan: &'a Plan, side: usize) -> &'a str {
        let room = self.sides[side].room.and_then(|room| plan.rooms.get(room));
        room.map_or("outside", |room| room.name.as_str())
    }

    fn stop(&self, plan: &Plan, stop: &Stop) -> String {
        let corner = plan.doorways.get(self.doorway).map_or(0, |door| door.wall + 1);
        let walls =
            self.sides[0].room.and_then(|room| plan.rooms.get(room)).map_or(1, |room| room.walls.len());
        let pair = |[one, other]: [f64; 2]| {
            let (first, last) = (pull(plan, one), pull(plan, other));
            match first == last {
                true => first,
                false => {
                    format!("{first} at corner {corner}'s jamb and {last} at corner {}'s", corner % walls + 1)
                }
            }
        };
        let (own, other) = match stop.boards {
            Side::Near => ((0, stop.from_near), (1, stop.from_far)),
            Side::Far => ((1, stop.from_far), (0, stop.from_near)),
        };
        let face = |side: usize| match self.sides[side].room {
            Some(_) => format!("{}'s wall face", self.place(plan, side)),
            None => "the outer face".to_owned(),
        };
        let under = stop.off_jambs.map(|off| length(plan, -off));
        let off = match stop.off_jambs.map(|off| length(plan, off)) {
            [one, last] if one == last => format!("{one} off each jamb"),
            [one, last] => format!("{one} and {last} off the jambs"),
        };
        let off = match stop.off_jambs.iter().all(|off| *off < 0.0) {
            true if under[0] == under[1] => format!("{} under the lining at each jamb", under[0]),
            true => format!("{} and {} under the lining", under[0], under[1]),
            false => off,
        };
        format!("{} in from {}, {} from {}; {off}", pair(own.1), face(own.0), pair(other.1), face(other.0))
    }

    fn side(&self, plan: &Plan, side: usize) -> String {
        let SideFloor { covering, level, .. } = self.sides[side];
        let place = self.place(plan, side);
        match (covering, level) {
            (Some(covering), Some(level)) => {
                format!("{place}, {}, at {}", covering.word(), length(plan, level))
            }
            _ => format!("{place} not known"),
        }
    }

    fn step_words(&self, plan: &Plan, step: &Step) -> String {
        let mm = |value: f64| length(plan, value);
        let way = match step.rise {
            rise if rise.abs() < 0.05 => "level".to_owned(),
            rise if rise > 0.0 => format!("{} down to {}", mm(rise), self.place(plan, 1)),
            rise => format!("{} up to {}", mm(-rise), self.place(plan, 1)),
        };
        let run = match step.finish.run() {
            run if run > 0.0 => format!(", {} wide or more", mm(run)),
            _ => String::new(),
        };
        let word = match step.is_too_high {
            true => "over",
            false => "limit",
        };
        format!("{way}: {}{run} ({word} {}, {})", step.finish.word(), mm(step.limit), step.source)
    }
}

impl Cover {
    /// What the edge is, in words: `Hall, wall 3`, `Peninsula (island)`.
    pub fn name(&self, plan: &Plan) -> String {
        let name = self.source.name(plan);
        match self.kind {
            EdgeKind::Wall | EdgeKind::Kick => name,
            kind => format!("{name} ({})", kind.word()),
        }
    }

    /// The gap and its cover: `gap 10–14, widest 17.1 (shrinkage 2.1 + tolerance 1); skirting 18 leaves 0.9`.
    pub fn words(&self, plan: &Plan) -> String {
        let mm = |value: f64| length(plan, value);
        let least = plan.rules.cover.least();
        let opens = match self.shrinkage {
            Some(shrinkage) => format!("(shrinkage {} + tolerance {})", mm(shrinkage), mm(self.tolerance)),
            None => format!("(tolerance {})", mm(self.tolerance)),
        };
        let gap = match (self.by, mm(self.least_gap) == mm(self.greatest_gap)) {
            (CoveredBy::Nosing, _) => return self.nosing(plan),
            (CoveredBy::Kick | CoveredBy::Lining, _) => {
                format!("boards draw back by {} at most {opens}", mm(self.widest))
            }
            (_, true) => format!("gap {}, widest {} {opens}", mm(self.least_gap), mm(self.widest)),
            (_, false) => {
                let (least, greatest) = (mm(self.least_gap), mm(self.greatest_gap));
                format!("gap {least}–{greatest}, widest {} {opens}", mm(self.widest))
            }
        };
        let cover = match (self.by, self.reach, self.left()) {
            (CoveredBy::Nothing, ..) => match self.kind {
                EdgeKind::Cabinets | EdgeKind::Island | EdgeKind::Column => {
                    format!(
                        "no cover is given: a plinth or bead {} or more, or sealant",
                        mm(self.needed(least))
                    )
                }
                _ => "nothing covers it: fill it with sealant".to_owned(),
            },
            (CoveredBy::BeforeLining, ..) => {
                let under = mm(self.needed_under(least));
                match self.is_lining_fitted(plan) {
                    true => format!(
                        "it shows before the lining: undercut that, boards under it by {under} or more"
                    ),
                    false => {
                        format!(
                            "it shows before the lining: set that on the boards, {under} of them under it or more"
                        )
                    }
                }
            }
            (CoveredBy::Kick | CoveredBy::Lining, Some(reach), Some(left)) => {
                format!("{} under leaves {}", mm(reach), mm(left))
            }
            (by, Some(reach), Some(left)) if left.abs() < NOTHING => {
                format!("{} {} just reaches the boards' edge and covers none of them", by.word(), mm(reach))
            }
            (by, Some(reach), Some(left)) if left < 0.0 => {
                format!("{} {} leaves {} of it open", by.word(), mm(reach), mm(-left))
            }
            (by, Some(reach), Some(left)) => format!("{} {} leaves {}", by.word(), mm(reach), mm(left)),
            (by, ..) => format!("{}: {} {} or more", by.word(), mm(self.needed(least)), by.measured()),
        };
        format!("{gap}; {cover}")
    }

    /// What a nosing keeps and how high it stands; the plan does not say how it is made.
    fn nosing(&self, plan: &Plan) -> String {
        let up = length(plan, plan.stock.build_up());
        format!(
            "boards butt against the nosing, {} from the stair's edge; flush where its back is {up} above the slab",
            length(plan, self.greatest_gap)
        )
    }

    fn is_lining_fitted(&self, plan: &Plan) -> bool {
        match self.source {
            Source::Doorway(index) => {
                plan.doorways.get(index).is_some_and(|door| door.lining == Lining::Fitted)
            }
            _ => false,
        }
    }

    /// Whether less is left than the rules ask for.
    pub fn is_short(&self, plan: &Plan) -> bool {
        self.left().is_some_and(|left| left < plan.rules.cover.least() - 0.05)
    }
}

impl Tuck {
    /// The room over the boards and how they get there.
    pub fn words(&self, plan: &Plan) -> String {
        let mm = |value: f64| length(plan, value);
        let with = if self.with_sides { "boards' sides" } else { "boards' ends" };
        let over = match self.room_over() {
            over if over < 0.0 => format!("{} too low", mm(-over)),
            over => format!("{} over them", mm(over)),
        };
        let mut ways: Vec<String> = Vec::new();
        for way in Way::ALL.map(Some).into_iter().chain([None]) {
            let count = self.boards.iter().filter(|under| under.way == way).count();
            let word = way.map_or("with no way in", Way::word);
            match count {
                0 => {}
                1 => ways.push(format!("1 board {word}")),
                n => ways.push(format!("{n} boards {word}")),
            }
        }
        let ways = if ways.is_empty() { String::new() } else { format!("; {}", ways.join(", ")) };
        format!(
            "{with}, {} long: boards {} under a kick {}, {over}, {} under{ways}",
            mm(self.length.round()),
            mm(self.build_up),
            mm(self.clearance),
            mm(self.depth)
        )
    }

    /// The fixture's name.
    pub fn name(&self, plan: &Plan) -> String {
        Source::Fixture(self.fixture).name(plan)
    }
}

/// A line of the table of covers: the edges it stands for, what is said of them, whether too little is left.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CoverLine {
    /// `Hall, walls 1–4`, `Front door, Study door`, `Bench`.
    pub name: String,
    /// What is said of them all.
    pub words: String,
    /// Whether less is left than the rules ask for.
    pub is_short: bool,
}

/// The table of covers: edges of which the same is said share a line, those that leave too little first.
pub fn cover_lines(plan: &Plan, covers: &[Cover]) -> Vec<CoverLine> {
    let mut groups: Vec<(Vec<&Cover>, String)> = Vec::new();
    for cover in covers {
        let words = cover.words(plan);
        let place = |cover: &Cover| match cover.source {
            Source::Wall { room, .. } => (0, room),
            Source::Doorway(_) => (1, 0),
            Source::Fixture(_) => (2, 0),
            Source::Joint(_) => (3, 0),
        };
        let same = |group: &&mut (Vec<&Cover>, String)| {
            group.1 == words
                && group.0.first().is_some_and(|first| {
                    (first.kind, first.by, place(first)) == (cover.kind, cover.by, place(cover))
                })
        };
        match groups.iter_mut().find(same) {
            Some(group) => group.0.push(cover),
            None => groups.push((vec![cover], words)),
        }
    }
    let line = |(covers, words): (Vec<&Cover>, String)| CoverLine {
        name: joint_name(plan, &covers),
        words,
        is_short: covers.iter().any(|cover| cover.is_short(plan)),
    };
    let mut lines: Vec<CoverLine> = groups.into_iter().map(line).collect();
    lines.sort_by_key(|line| !line.is_short);
    lines
}

/// The name of edges of one kind: walls of one room by number, other things by name.
fn joint_name(plan: &Plan, covers: &[&Cover]) -> String {
    let kind = match covers.first().map(|cover| cover.kind) {
        None | Some(EdgeKind::Wall | EdgeKind::Kick) => String::new(),
        Some(kind) => format!(" ({})", kind.word()),
    };
    let mut walls: Vec<usize> = Vec::new();
    let mut names: Vec<String> = Vec::new();
    let mut room_name = "";
    for cover in covers {
        match cover.source {
            Source::Wall { room, wall } => {
                room_name = plan.rooms.get(room).map_or("", |room| &room.name);
                walls.push(wall + 1);
            }
            source => names.push(source.name(plan)),
        }
    }
    walls.sort_unstable();
    let runs: Vec<String> = walls
        .chunk_by(|a, b| *b == *a + 1)
        .map(|run| match run {
            [first, .., last] => format!("{first}–{last}"),
            [only] => only.to_string(),
            [] => String::new(),
        })
        .collect();
    if !runs.is_empty() {
        let word = if walls.len() == 1 { "wall" } else { "walls" };
        names.push(format!("{room_name}, {word} {}", runs.join(", ")));
    }
    format!("{}{kind}", names.join(", "))
}
