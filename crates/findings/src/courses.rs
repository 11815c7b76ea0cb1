//! Flags on joints of a border: against those of the courses beside it, and of the rows that lie along it.

use crate::scene::Scene;
use crate::{Flag, FlagKind, Severity, Subject};
use lay::{Board, Joint, STAIR_STEP};
use site::Uv;
use std::collections::BTreeMap;

/// Places this close are one, mm.
const TRUE: f64 = 0.1;
/// Directions are told apart in steps of this.
const TURN: f64 = 1e-6;
/// Sides of courses are filed in steps of this, mm: neighbouring steps are looked at as well.
const STEP: f64 = 1.0;
/// A line this near to a row line, in rows, is that one.
const ON_LINE: f64 = 1e-6;
/// Courses and rows a stair is counted over.
const STAIR: usize = 4;

/// Region and direction of a course.
type Way = (usize, i64, i64);

/// Where two boards meet in a course of the border, or in a row of the field.
#[derive(Debug, Clone, Copy)]
struct Meeting {
    /// The board whose end it is.
    board: usize,
    /// Lower and upper side of its course, square to the direction, mm.
    low: f64,
    high: f64,
    /// Place along it, mm.
    at: f64,
}

/// A joint of the border, and which way the field lies.
#[derive(Debug, Clone, Copy)]
struct InBorder {
    meeting: Meeting,
    way: Way,
    /// Whether the next course inwards lies on the upper side.
    inwards_up: bool,
    /// Courses between it and the field.
    to_field: u32,
}

/// Joints of all courses and rows, each found by its side.
#[derive(Debug, Default)]
struct Meetings {
    /// Courses of the border by direction and lower side, each sorted along it.
    courses: BTreeMap<(Way, i64), Vec<Meeting>>,
    /// Rows of the field by region and row.
    rows: BTreeMap<(usize, i32), Vec<Meeting>>,
}

/// Flags border joints that stand too close to one beside them; and, where joints are irregular, those in line
/// with one two courses or rows away, and those that step evenly over four.
pub(crate) fn courses(scene: &Scene, flags: &mut Vec<Flag>) {
    let joints = in_border(scene);
    if joints.is_empty() {
        return;
    }
    let mut all = Meetings::default();
    for joint in &joints {
        let key = (joint.way, step(joint.meeting.low));
        all.courses.entry(key).or_default().push(joint.meeting);
    }
    if scene.plan.pattern.is_rows() {
        for joint in &scene.floor.joints {
            let region = scene.floor.boards[joint.left].region;
            all.rows.entry((region, joint.row)).or_default().push(of_row(joint));
        }
    }
    let lists = all.courses.values_mut().chain(all.rows.values_mut());
    lists.for_each(|list| list.sort_by(|a, b| a.at.total_cmp(&b.at)));
    let rules = &scene.plan.rules;
    for joint in &joints {
        close(scene, &all, joint, flags);
        // Joints that a pattern fixes stand in line and step evenly by themselves.
        if scene.plan.pattern.is_irregular() {
            let meeting = joint.meeting;
            for other in all.inwards(scene, joint, 2, meeting.at, rules.in_line) {
                flags.push(h_joint(scene, joint, &other));
            }
            stairs(scene, &all, joint, flags);
        }
    }
}

/// Joints between boards of the border.
fn in_border(scene: &Scene) -> Vec<InBorder> {
    let boards = &scene.floor.boards;
    let last = boards.iter().filter(|board| board.in_border).map(|board| board.row).max().unwrap_or(0);
    let mut all = Vec::new();
    for run in &scene.floor.runs {
        let of_run = || run.boards.clone().filter(|index| boards[*index].in_border);
        for (left, right) in of_run().zip(of_run().skip(1)) {
            let (before, after): (&Board, &Board) = (&boards[left], &boards[right]);
            if (before.right - after.left).abs() < TRUE {
                let Uv { u, v } = after.along;
                let way = (after.region, (u / TURN).round() as i64, (v / TURN).round() as i64);
                let (low, high) = (after.base, after.base + scene.floor.pitch);
                all.push(InBorder {
                    meeting: Meeting { board: right, low, high, at: after.left },
                    way,
                    // Tongues face the floor.
                    inwards_up: !after.turned,
                    to_field: (last - after.row).unsigned_abs(),
                });
            }
        }
    }
    all
}

fn of_row(joint: &Joint) -> Meeting {
    Meeting { board: joint.right, low: joint.low, high: joint.high, at: joint.u }
}

fn step(place: f64) -> i64 {
    (place / STEP).round() as i64
}

/// Members of a sorted list within `reach` of a place.
fn within(list: &[Meeting], at: f64, reach: f64) -> impl Iterator<Item = Meeting> + '_ {
    let first = list.partition_point(|meeting| meeting.at < at - reach);
    list[first..].iter().copied().take_while(move |meeting| meeting.at <= at + reach)
}

impl Meetings {
    /// Border joints of the course with its lower side at `low`, near a place.
    fn course(&self, way: Way, low: f64, at: f64, reach: f64) -> Vec<Meeting> {
        let key = step(low);
        let lists = (key - 1..=key + 1).filter_map(|key| self.courses.get(&(way, key)));
        let near = lists.flat_map(|list| within(list, at, reach));
        near.filter(|meeting| (meeting.low - low).abs() < TRUE).collect()
    }

    /// Joints so many courses or rows further into the floor than a border joint, near a place along it.
    fn inwards(&self, scene: &Scene, from: &InBorder, courses: u32, at: f64, reach: f64) -> Vec<Meeting> {
        let pitch = scene.floor.pitch;
        let sign = if from.inwards_up { 1.0 } else { -1.0 };
        // Where no field lies between two borders their courses meet; such pairs are found once.
        let mut found = Vec::new();
        if courses <= from.to_field || from.inwards_up {
            let low = from.meeting.low + sign * f64::from(courses) * pitch;
            found = self.course(from.way, low, at, reach);
        }
        // Rows run along u; beside any other strip they only end.
        let (region, _, across) = from.way;
        if courses <= from.to_field || across != 0 {
            return found;
        }
        let inner = if from.inwards_up { from.meeting.high } else { from.meeting.low };
        let line = inner + sign * f64::from(from.to_field) * pitch;
        let off = (line - scene.floor.row_low(region, 0)) / pitch;
        let rows = (courses - from.to_field - 1) as i32;
        let row = match from.inwards_up {
            true => (off + ON_LINE).floor() as i32 + rows,
            false => (off - ON_LINE).ceil() as i32 - 1 - rows,
        };
        let Some(list) = self.rows.get(&(region, row)) else { return found };
        // The first row lies against the border only where it reaches its line.
        let touches = |m: &Meeting| {
            let near = if from.inwards_up { m.low } else { m.high };
            rows > 0 || (near - line).abs() < TRUE
        };
        found.extend(within(list, at, reach).filter(touches));
        found
    }
}

fn close(scene: &Scene, all: &Meetings, joint: &InBorder, flags: &mut Vec<Flag>) {
    let limit = scene.plan.rules.least_stagger;
    for other in all.inwards(scene, joint, 1, joint.meeting.at, limit) {
        let apart = (other.at - joint.meeting.at).abs();
        if apart < limit - 1e-6 {
            // Of two courses the inner one is laid later; a row is laid before its border.
            let is_later = scene.floor.boards[other.board].in_border;
            let moved = if is_later { &other } else { &joint.meeting };
            let mend = format!("move its joint by {}", scene.length((limit - apart).ceil()));
            flags.push(flag(scene, FlagKind::JointsClose, moved, apart, limit, mend));
        }
    }
}

fn h_joint(scene: &Scene, joint: &InBorder, other: &Meeting) -> Flag {
    let limit = scene.plan.rules.in_line;
    let apart = (other.at - joint.meeting.at).abs();
    let by = scene.length((limit - apart).floor() + 1.0);
    let mend =
        format!("move its joint by {by} or more: it stands in line with the one two courses further in");
    flag(scene, FlagKind::HJoint, &joint.meeting, apart, limit, mend)
}

fn stairs(scene: &Scene, all: &Meetings, joint: &InBorder, flags: &mut Vec<Flag>) {
    let even = scene.plan.rules.in_line;
    for first in all.inwards(scene, joint, 1, joint.meeting.at, STAIR_STEP) {
        let by = first.at - joint.meeting.at;
        if by.abs() <= even {
            continue;
        }
        let mut last = first;
        let mut count = 2;
        while count < STAIR {
            let next = all.inwards(scene, joint, count as u32, last.at + by, even);
            let Some(found) = next.into_iter().next() else { break };
            last = found;
            count += 1;
        }
        if count == STAIR {
            let mend = "move one of its joints by more than the in-line figure".to_owned();
            flags.push(flag(scene, FlagKind::Stairs, &joint.meeting, by.abs(), even, mend));
        }
    }
}

/// A flag on the border board whose end a joint is.
fn flag(scene: &Scene, kind: FlagKind, joint: &Meeting, figure: f64, limit: f64, mend: String) -> Flag {
    let board = joint.board;
    let middle = f64::midpoint(joint.low, joint.high);
    Flag {
        cause: None,
        kind,
        severity: if kind == FlagKind::JointsClose { Severity::Fault } else { Severity::Look },
        subject: Subject::Board(board),
        at: scene.site.frame.plan_from_row(scene.floor.boards[board].at(joint.at, middle)),
        place: scene.board_place(board),
        figure,
        limit,
        mend,
    }
}
