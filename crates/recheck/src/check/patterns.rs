//! Patterns and borders: blocks stand where the pattern repeats them, bonds keep their step, joints of a border's courses
//! keep the stagger or are flagged.

use super::{Scene, extent};
use crate::plan::Pattern;
use crate::report::{Promise, Report};
use geo::{Area, Coord, Line, Polygon};
use std::collections::BTreeMap;

/// Blocks and joints stand true to this, mm.
const TRUE: f64 = 0.02;
/// A board so much larger than its place is laid as it is sold, mm.
const REACH: f64 = 0.1;
/// Nearer to a limit than this, either side is right, mm.
const LIMIT: f64 = 0.001;
/// A joint is no shorter, mm.
const SHORT: f64 = 1.0;

pub(super) fn check(scene: &Scene, report: &mut Report) {
    match scene.plan.pattern {
        Pattern::Irregular => {}
        Pattern::Half => bond(scene, report, 2.0),
        Pattern::Third => bond(scene, report, 3.0),
        Pattern::Herringbone { block, abreast } => {
            let wide = f64::from(abreast) * scene.plan.stock.pitch();
            let repeat = Coord { x: wide * std::f64::consts::SQRT_2, y: block * std::f64::consts::SQRT_2 };
            blocks(scene, report, 45.0, block, repeat, abreast as usize);
        }
        Pattern::Chevron { block, mitre } => {
            let lean = libm::cos(mitre.to_radians());
            let repeat = Coord { x: scene.plan.stock.pitch() / lean, y: 2.0 * block * lean };
            blocks(scene, report, 90.0 - mitre, block, repeat, 1);
        }
    }
    if scene.plan.border.is_some() {
        border(scene, report);
    }
}

/// How far a place lies from the nearest whole step.
fn off(place: f64, step: f64) -> f64 {
    let rest = place.rem_euclid(step);
    rest.min(step - rest)
}

/// End joints of one row stand whole boards apart, those of the next row a half or a third of one further on.
fn bond(scene: &Scene, report: &mut Report, parts: f64) {
    let lengths = scene.plan.stock.lengths.iter().filter(|length| length.per_pack > 0);
    let longest = lengths.map(|length| length.length).fold(0.0, f64::max);
    let mut regions: BTreeMap<usize, Vec<(f64, f64)>> = BTreeMap::new();
    for joint in &scene.house.joints {
        let board = &scene.house.boards[joint.boards[0]];
        regions.entry(board.region).or_default().push((scene.turn.rows(joint.from).x, board.row as f64));
    }
    for (region, joints) in regions {
        let (from, row) = joints[0];
        let worst = |way: f64| {
            let off = |(u, r): &(f64, f64)| off(u - from - way * (r - row) * longest / parts, longest);
            joints.iter().map(off).fold(0.0, f64::max)
        };
        let found = worst(1.0).min(worst(-1.0));
        report.hold(Promise::Patterns, found <= TRUE, || {
            (format!("region {region}"), format!("a joint stands {found} off its bond"))
        });
    }
}

/// Whole blocks of either hand lie at one angle, and in so many places of what repeats.
fn blocks(scene: &Scene, report: &mut Report, angle: f64, block: f64, repeat: Coord, places: usize) {
    let whole = block * scene.plan.stock.pitch();
    let mut hands: BTreeMap<bool, Vec<Coord>> = BTreeMap::new();
    let mut stand: BTreeMap<(usize, bool), Vec<&Polygon>> = BTreeMap::new();
    let mut cut: Vec<(usize, bool)> = Vec::new();
    for (index, (board, shape)) in scene.house.boards.iter().zip(&scene.rows).enumerate() {
        if board.border {
            continue;
        }
        let own = board.angle.rem_euclid(180.0);
        let is_right = (own - angle).abs() <= 1e-6;
        report.hold(Promise::Patterns, is_right || (own - (180.0 - angle)).abs() <= 1e-6, || {
            (board.label.clone(), format!("it lies at {own}°, blocks at {angle}° either way"))
        });
        let corners: Vec<Coord> = shape.exterior().coords().copied().collect();
        if corners.len() != 5 || (shape.unsigned_area() - whole).abs() > TRUE * block {
            cut.push((index, is_right));
            continue;
        }
        let middle = corners[..4].iter().fold(Coord { x: 0.0, y: 0.0 }, |sum, p| sum + *p) / 4.0;
        let seen = hands.entry(is_right).or_default();
        let is_new = seen
            .iter()
            .all(|at| off(middle.x - at.x, repeat.x) > TRUE || off(middle.y - at.y, repeat.y) > TRUE);
        if is_new {
            seen.push(middle);
            stand.entry((board.region, is_right)).or_default().push(shape);
        }
        let count = seen.len();
        report.hold(Promise::Patterns, !is_new || count <= places * scene.regions.len(), || {
            (board.label.clone(), format!("it stands off the {places} places that repeat"))
        });
    }
    // What is cut at a wall is a part of a block that would stand there, where all places that repeat are known.
    for (index, is_right) in cut {
        let board = &scene.house.boards[index];
        let Some(wholes) = stand.get(&(board.region, is_right)).filter(|seen| seen.len() == places) else {
            continue;
        };
        let holds = wholes.iter().any(|whole| is_part(&scene.rows[index], whole, repeat));
        report.hold(Promise::Patterns, holds, || {
            (board.label.clone(), "it is no part of a block in a place that repeats".into())
        });
    }
}

/// Whether a piece lies within a block moved on by whole repeats.
fn is_part(piece: &Polygon, whole: &Polygon, repeat: Coord) -> bool {
    let (of_piece, of_whole) = (extent(piece), extent(whole));
    let steps = |piece: [f64; 2], whole: [f64; 2], step: f64| {
        let (from, to) = ((piece[1] - whole[1]) / step, (piece[0] - whole[0]) / step);
        (from - REACH / step).ceil() as i64..=(to + REACH / step).floor() as i64
    };
    let across = steps(of_piece.1, of_whole.1, repeat.y);
    steps(of_piece.0, of_whole.0, repeat.x).any(|i| {
        across.clone().any(|j| {
            let by = Coord { x: i as f64 * repeat.x, y: j as f64 * repeat.y };
            piece.exterior().coords().all(|corner| is_inside(*corner - by, whole))
        })
    })
}

/// Whether a place lies in a shape without bays, which runs anticlockwise, or beside it by no more than may be laid over.
fn is_inside(at: Coord, shape: &Polygon) -> bool {
    shape.exterior().lines().all(|side| {
        let (d, p) = (side.delta(), at - side.start);
        (d.x * p.y - d.y * p.x) / libm::hypot(d.x, d.y) >= -REACH
    })
}

/// A joint of a border's course, or of a row: its ends, the region, the boards that meet.
struct Joint {
    region: usize,
    ends: [Coord; 2],
    boards: [usize; 2],
}

impl Joint {
    /// Direction of the boards that meet.
    fn along(&self) -> Coord {
        let d = self.ends[1] - self.ends[0];
        Coord { x: d.y, y: -d.x } / libm::hypot(d.x, d.y)
    }

    /// How far two joints stand apart along the line that both reach; `None` where they reach none.
    fn apart(&self, other: &Self) -> Option<f64> {
        let (d, e) = (self.along(), other.along());
        if self.region != other.region || (d.x * e.y - d.y * e.x).abs() > 1e-6 {
            return None;
        }
        let place = |p: Coord| (p.x * d.x + p.y * d.y, p.y * d.x - p.x * d.y);
        let seen = |joint: &Self| {
            let [a, b] = joint.ends.map(place);
            (a.0, a.1.min(b.1), a.1.max(b.1))
        };
        let ((at, low, high), (other_at, other_low, other_high)) = (seen(self), seen(other));
        let is_met = (high - other_low).abs() <= REACH || (other_high - low).abs() <= REACH;
        is_met.then_some((at - other_at).abs())
    }
}

/// The side along which two boards' ends meet.
fn shared(a: &Polygon, b: &Polygon) -> Option<[Coord; 2]> {
    for one in a.exterior().lines() {
        let (d, long) = (one.delta(), libm::hypot(one.dx(), one.dy()));
        let place = |p: Coord| {
            let q = p - one.start;
            ((q.x * d.x + q.y * d.y) / long, (q.x * d.y - q.y * d.x) / long)
        };
        let met = |other: Line| {
            let ((s, across), (t, beside)) = (place(other.start), place(other.end));
            let (from, to) = (s.min(t).max(0.0), s.max(t).min(long));
            let is_met = across.abs() <= TRUE && beside.abs() <= TRUE && to - from > SHORT;
            is_met.then(|| [one.start + d * (from / long), one.start + d * (to / long)])
        };
        if let Some(found) = b.exterior().lines().find_map(met) {
            return Some(found);
        }
    }
    None
}

/// Joints of courses side by side, and of a border and the row along it, that stand too close are flagged, and no others.
fn border(scene: &Scene, report: &mut Report) {
    let mut runs: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for (index, board) in scene.house.boards.iter().enumerate().filter(|(_, board)| board.border) {
        runs.entry(board.run).or_default().push(index);
    }
    let mut joints: Vec<Joint> = Vec::new();
    for boards in runs.values() {
        for pair in boards.windows(2) {
            let ends = shared(&scene.rows[pair[0]], &scene.rows[pair[1]]);
            let region = scene.house.boards[pair[0]].region;
            joints.extend(ends.map(|ends| Joint { region, ends, boards: [pair[0], pair[1]] }));
        }
    }
    let of_border = joints.len();
    if scene.plan.pattern.is_rows() {
        joints.extend(scene.house.joints.iter().map(|joint| Joint {
            region: scene.house.boards[joint.boards[0]].region,
            ends: [scene.turn.rows(joint.from), scene.turn.rows(joint.to)],
            boards: joint.boards,
        }));
    }
    let least = scene.plan.rules.least_stagger;
    let in_border = |boards: &[usize]| boards.iter().any(|board| scene.house.boards[*board].border);
    let mut flags: Vec<_> = scene
        .house
        .flags
        .iter()
        .filter(|flag| flag.kind == "joints-close" && in_border(&flag.boards))
        .collect();
    let mut doubtful = 0;
    for (i, a) in joints[..of_border].iter().enumerate() {
        for b in &joints[i + 1..] {
            let Some(apart) = a.apart(b).filter(|apart| *apart < least + LIMIT) else { continue };
            let is_here = |boards: &[usize]| {
                boards.iter().all(|board| a.boards.contains(board) || b.boards.contains(board))
            };
            let flagged =
                flags.iter().position(|flag| is_here(&flag.boards) && (flag.figure - apart).abs() <= REACH);
            if let Some(at) = flagged {
                flags.remove(at);
            }
            if apart > least - LIMIT {
                doubtful += 1;
                continue;
            }
            report.hold(Promise::Patterns, flagged.is_some(), || {
                let label = |board: usize| scene.house.boards[board].label.as_str();
                let place = format!("{} of the border and {}", label(a.boards[1]), label(b.boards[1]));
                (place, format!("joints {apart} apart are not flagged"))
            });
        }
    }
    report.hold(Promise::Patterns, flags.len() <= doubtful, || {
        ("the border".into(), format!("{} flags of close joints that are not", flags.len()))
    });
}
