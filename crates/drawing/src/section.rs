//! A cut through a doorway: slabs, bed, boards and their stop, the floor beyond, the leaf and the trim.

use crate::geometry::{closed, open};
use crate::place::Taken;
use crate::{Anchor, Drawing, Item, Label, Options, Role, rough_width};
use fit::{Covered, DoorwayFit, SideFloor};
use kurbo::{BezPath, Point, Vec2};
use pipeline::House;
use plan::{Arris, Beyond, Doorway, Side, SurfaceKind, Units, format_length};

/// How much floor is shown before and behind the wall, mm.
const SHOWN: f64 = 55.0;
/// What the drawing shows of the slab and of the leaf, paper mm: enough to be told, whatever the scale.
const SLAB: f64 = 6.0;
const LEAF: f64 = 15.0;
/// Thickness at which a floor whose height is not known is drawn, mm.
const UNKNOWN: f64 = 10.0;
/// Thickness at which a trim is drawn, mm.
const TRIM: f64 = 3.0;
/// Names side by side keep so much between them, paper mm.
const APART: f64 = 3.0;
/// A name wider than this and than the cut is broken into lines, paper mm.
const NAME: f64 = 110.0;
/// Boards from both sides may keep so little between them that a line must part them, mm.
const FILM: f64 = 0.2;

/// Draws the cut through a doorway, seen from the first jamb: the near room at the left, its slab's face at 0,
/// the near wall face at 0, up the sheet up, in mm. Of the options only scale and units count.
pub fn doorway_section(house: &House, found: &DoorwayFit, options: &Options) -> Drawing {
    let mut drawing = Drawing::default();
    let Some(door) = house.plan.doorways.get(found.doorway) else { return drawing };
    let scale = if options.scale > 0.0 && options.scale.is_finite() { options.scale } else { 2.0 };
    let cut = Cut::new(house, found, door, options.units, scale);
    cut.slabs(&mut drawing);
    cut.boards(&mut drawing);
    cut.beyond(&mut drawing);
    cut.leaf(&mut drawing);
    cut.measures(&mut drawing);
    part(&mut drawing, scale);
    drawing
}

/// Moves figures up that would lie over one drawn before: a leaf may hang where a stop is measured.
fn part(drawing: &mut Drawing, scale: f64) {
    const STEP: f64 = 1.2;
    let mut taken = Taken::new(scale);
    for item in &mut drawing.items {
        let Item::Label(label) = item else { continue };
        for _ in 0..12 {
            if taken.is_free(taken.box_of(label)) {
                break;
            }
            label.shift.y += STEP;
        }
        let own = taken.box_of(label);
        taken.take(own);
    }
}

/// A text in lines no wider than `room` paper mm, broken at spaces; a word wider than that is broken inside.
fn lines(text: &str, size: f64, room: f64) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in text.split(' ').filter(|word| !word.is_empty()) {
        let line = lines.last().map_or("", String::as_str);
        let joined = if line.is_empty() { word.to_owned() } else { format!("{line} {word}") };
        if rough_width(&joined, size) <= room {
            lines.pop();
            lines.push(joined);
            continue;
        }
        if !line.is_empty() {
            lines.push(String::new());
        }
        for letter in word.chars() {
            let line = lines.last().map_or("", String::as_str);
            let longer = format!("{line}{letter}");
            if line.is_empty() || rough_width(&longer, size) <= room {
                lines.pop();
                lines.push(longer);
            } else {
                lines.push(letter.to_string());
            }
        }
    }
    lines
}

/// How wide the cut through a doorway is, its figures left out, mm.
pub fn section_span(door: &Doorway) -> f64 {
    door.wall_thickness + 2.0 * SHOWN
}

/// The doorway with its levels counted from the near slab.
struct Cut<'a> {
    house: &'a House,
    found: &'a DoorwayFit,
    door: &'a Doorway,
    units: Units,
    /// Section mm to one paper mm.
    scale: f64,
    /// Where one slab meets the other.
    between: f64,
    near_stop: Option<f64>,
    far_stop: Option<f64>,
    /// Levels of the slabs and of the floors' tops.
    slabs: [f64; 2],
    tops: [f64; 2],
}

impl<'a> Cut<'a> {
    fn new(house: &'a House, found: &'a DoorwayFit, door: &'a Doorway, units: Units, scale: f64) -> Self {
        let datum = found.sides[0].slab;
        let slabs = [0, 1].map(|side| found.sides[side].slab - datum);
        let top = |side: usize| match found.sides[side].level {
            Some(level) => level - datum,
            None => slabs[side] + UNKNOWN,
        };
        let stop = |boards: Side| {
            let stop = found.stops.iter().find(|stop| stop.boards == boards)?;
            Some(f64::midpoint(stop.from_near[0], stop.from_near[1]))
        };
        let (near_stop, far_stop) = (stop(Side::Near), stop(Side::Far));
        let between = if door.beyond == Beyond::RunThrough { door.wall_thickness } else { door.stop_line() };
        let tops = [top(0), top(1)];
        Self { house, found, door, units, scale, between, near_stop, far_stop, slabs, tops }
    }

    fn left(&self) -> f64 {
        -SHOWN
    }

    fn right(&self) -> f64 {
        self.door.wall_thickness + SHOWN
    }

    fn highest(&self) -> f64 {
        self.tops[0].max(self.tops[1])
    }

    /// How high the leaf and the wall's faces are drawn.
    fn head(&self) -> f64 {
        self.highest() + LEAF * self.scale
    }

    fn slabs(&self, drawing: &mut Drawing) {
        let [near, far] = self.slabs;
        let foot = near.min(far) - SLAB * self.scale;
        let outline = [
            (self.left(), foot),
            (self.right(), foot),
            (self.right(), far),
            (self.between, far),
            (self.between, near),
            (self.left(), near),
        ];
        drawing.path(Role::Slab, closed(outline.map(Point::from)));
    }

    /// The boards of both sides on their bed.
    fn boards(&self, drawing: &mut Drawing) {
        let boarded = |side: usize| self.found.sides[side].covering == Some(Covered::Boards);
        if self.door.beyond == Beyond::RunThrough && boarded(1) {
            self.board(drawing, (self.left(), self.between), 0, None);
            self.board(drawing, (self.between, self.right()), 1, None);
            return;
        }
        if boarded(0) {
            let stop = self.near_stop.unwrap_or(self.between);
            self.board(drawing, (self.left(), stop), 0, Some(Side::Near));
        }
        if boarded(1) {
            let stop = self.far_stop.unwrap_or(self.between);
            self.board(drawing, (stop, self.right()), 1, Some(Side::Far));
        }
    }

    /// Boards from one place to another; `end` says on which side their ends show.
    fn board(&self, drawing: &mut Drawing, (from, to): (f64, f64), side: usize, end: Option<Side>) {
        let stock = &self.house.plan.stock;
        let slab = self.slabs[side];
        let bed = slab + stock.bed.unwrap_or(0.0);
        let top = bed + stock.thickness;
        if bed > slab {
            drawing.path(Role::Bed, rectangle((from, to), (slab, bed)));
        }
        let arris = self.found.arris.map(|cut| cut.arris);
        let mut outline = BezPath::new();
        let (depth, round) = match (end, arris) {
            (Some(_), Some(Arris::Eased(depth))) => (depth, true),
            (Some(_), Some(Arris::Chamfered(depth))) => (depth, false),
            _ => (0.0, false),
        };
        // The end that shows, and the way from it into the boards.
        let (shows, hidden, into) = match end {
            Some(Side::Far) => (from, to, 1.0),
            _ => (to, from, -1.0),
        };
        outline.move_to((hidden, bed));
        outline.line_to((shows, bed));
        outline.line_to((shows, top - depth));
        match round {
            // A quarter of a circle, near enough by one curve with the usual 0.5523 (memory).
            true => outline.curve_to(
                (shows, top - depth * (1.0 - 0.5523)),
                (shows + into * depth * (1.0 - 0.5523), top),
                (shows + into * depth, top),
            ),
            false => outline.line_to((shows + into * depth, top)),
        }
        outline.line_to((hidden, top));
        outline.close_path();
        drawing.path(Role::Board { tone: 1 }, outline);
        if let Some(layer) = stock.wear_layer.filter(|layer| *layer < stock.thickness) {
            drawing.path(Role::WearLayer, open([(from, top - layer), (to, top - layer)].map(Point::from)));
        }
    }

    /// The floor beyond where it is not boards, the sealant before it, and the trim over both.
    fn beyond(&self, drawing: &mut Drawing) {
        let far = &self.found.sides[1];
        let from = self.near_stop.unwrap_or(self.between);
        match (far.covering, self.door.beyond) {
            (Some(Covered::Boards), Beyond::UnderLeaf) => {
                if let (Some(near), Some(far)) = (self.near_stop, self.far_stop) {
                    self.sealant(drawing, (near, far.max(near + FILM)));
                }
            }
            (Some(Covered::Boards), _) => {}
            (covering, _) => {
                // Carpet goes on from the boards; what is hard keeps the gap of ends that meet.
                let is_hard = matches!(
                    covering,
                    Some(Covered::Other(SurfaceKind::Tile | SurfaceKind::BareSlab | SurfaceKind::Track))
                );
                let begins = match self.door.beyond {
                    Beyond::Trim(width) => self.between + width / 2.0,
                    _ if is_hard => from + self.house.plan.rules.tile_end_gap,
                    _ => from,
                };
                if self.tops[1] > self.slabs[1] {
                    let role = if covering.is_some() { Role::OtherFloor } else { Role::UnderFloor };
                    drawing.path(role, rectangle((begins, self.right()), (self.slabs[1], self.tops[1])));
                }
                if is_hard && !matches!(self.door.beyond, Beyond::Trim(_)) {
                    self.sealant(drawing, (from, begins));
                }
            }
        }
        if let Beyond::Trim(width) = self.door.beyond {
            let (a, b) = (self.between - width / 2.0, self.between + width / 2.0);
            let [near, far] = self.tops;
            let strip = [(a, near), (b, far), (b, far + TRIM), (a, near + TRIM)];
            drawing.path(Role::TrimStrip, closed(strip.map(Point::from)));
        }
    }

    fn sealant(&self, drawing: &mut Drawing, (from, to): (f64, f64)) {
        let foot = self.slabs[0].max(self.slabs[1]);
        let [near, far] = self.tops;
        let joint = [(from, foot), (to, foot), (to, far.max(foot)), (from, near.max(foot))];
        drawing.path(Role::Sealant, closed(joint.map(Point::from)));
    }

    fn leaf(&self, drawing: &mut Drawing) {
        let head = self.head();
        for x in [0.0, self.door.wall_thickness] {
            drawing.path(Role::UnderFloor, open([(x, self.highest()), (x, head)].map(Point::from)));
        }
        let Some(leaf) = self.door.leaf else { return };
        let from = self.door.leaf_from().unwrap_or(0.0);
        let edge = self.leaf_edge();
        drawing.path(Role::Leaf, rectangle((from, from + leaf.thickness), (edge, head.max(edge + 1.0))));
    }

    /// The leaf's lower edge; where it is not known, as high as the rules ask for.
    fn leaf_edge(&self) -> f64 {
        self.highest() + self.found.leaf.map_or(self.house.plan.rules.levels.leaf(), |leaf| leaf.clearance)
    }

    fn measures(&self, drawing: &mut Drawing) {
        let up = |paper: f64| self.head() + paper * self.scale;
        // Pulls to the stop, from the wall face they are read from.
        for (boards, stop, face) in
            [(Side::Near, self.near_stop, 0.0), (Side::Far, self.far_stop, self.door.wall_thickness)]
        {
            let Some(stop) = stop else { continue };
            let row = if boards == Side::Near { 3.0 } else { 9.0 };
            let y = up(row);
            drawing.path(Role::Stop, open([(stop, self.slabs[0]), (stop, y)].map(Point::from)));
            self.measure(drawing, (face, stop), y);
        }
        let (left, right) = (self.left() - 3.0 * self.scale, self.right() + 3.0 * self.scale);
        self.rise(drawing, left, (self.slabs[0], self.tops[0]), Anchor::End, "");
        if self.found.sides[1].level.is_some() {
            self.rise(drawing, right, (self.slabs[1], self.tops[1]), Anchor::Start, "");
        }
        if let (Some(leaf), Some(door)) = (self.found.leaf, self.door.leaf) {
            let x = match door.closes_on {
                Side::Near => -4.0 * self.scale,
                Side::Far => self.door.wall_thickness + 4.0 * self.scale,
            };
            let edge = self.highest() + leaf.clearance;
            let anchor = if door.closes_on == Side::Near { Anchor::End } else { Anchor::Start };
            self.rise(drawing, x, (self.highest(), edge), anchor, "leaf ");
        }
        let foot = self.slabs[0].min(self.slabs[1]) - (SLAB + 2.6) * self.scale;
        let size = Role::Note.type_size();
        let room = (self.right() - self.left()) / self.scale;
        let named = |side: usize, x: f64, line: usize, text: String| {
            let y = foot - size * 1.3 * self.scale * line as f64;
            let mut label = Label::new(Role::Note, text, Point::new(x, y));
            label.anchor = if side == 0 { Anchor::Start } else { Anchor::End };
            label
        };
        // Two names that do not fit side by side stand one under the other.
        let most = room.max(NAME);
        let [near, far] = [0, 1].map(|side| lines(&self.name(&self.found.sides[side]), size, most));
        let one_line = match (near.as_slice(), far.as_slice()) {
            ([near], [far]) => rough_width(near, size) + rough_width(far, size) + APART <= room,
            _ => false,
        };
        let under = if one_line { 0 } else { near.len() };
        for (line, text) in near.into_iter().enumerate() {
            drawing.label(named(0, self.left(), line, text));
        }
        for (line, text) in far.into_iter().enumerate() {
            drawing.label(named(1, self.right(), under + line, text));
        }
        if let Some(text) = self.found.step_mark(&self.house.plan) {
            // Beside the right-hand measure, at the height of the two floors.
            let at = Point::new(right, f64::midpoint(self.tops[0], self.tops[1]));
            let mut label = Label::new(Role::StepMark, text, at);
            label.anchor = Anchor::Start;
            label.shift = Vec2::new(3.0, 8.0);
            drawing.label(label);
        }
    }

    fn name(&self, side: &SideFloor) -> String {
        let room = side.room.and_then(|room| self.house.plan.rooms.get(room));
        let place = room.map_or("outside", |room| room.name.as_str());
        let what = side.covering.map_or("height not known", Covered::word);
        format!("{place} · {what}")
    }

    /// A measure along, with its figure in the middle of it or beside it.
    fn measure(&self, drawing: &mut Drawing, (from, to): (f64, f64), y: f64) {
        let tick = 1.0 * self.scale;
        drawing.path(Role::Dimension, open([(from, y), (to, y)].map(Point::from)));
        for x in [from, to] {
            drawing.path(Role::Dimension, open([(x, y - tick), (x, y + tick)].map(Point::from)));
        }
        let text = self.figure((to - from).abs());
        let mut label = Label::new(Role::StopFigure, text, Point::new(f64::midpoint(from, to), y));
        label.shift = Vec2::new(0.0, 3.4);
        drawing.label(label);
    }

    /// A measure of height.
    fn rise(&self, drawing: &mut Drawing, x: f64, (low, high): (f64, f64), anchor: Anchor, word: &str) {
        let tick = 0.9 * self.scale;
        drawing.path(Role::Dimension, open([(x, low), (x, high)].map(Point::from)));
        for y in [low, high] {
            drawing.path(Role::Dimension, open([(x - tick, y), (x + tick, y)].map(Point::from)));
        }
        let sign = if high < low { "−" } else { "" };
        let text = format!("{word}{sign}{}", self.figure((high - low).abs()));
        let mut label = Label::new(Role::Dimension, text, Point::new(x, f64::midpoint(low, high)));
        label.anchor = anchor;
        label.shift = Vec2::new(if anchor == Anchor::End { -2.2 } else { 2.2 }, 0.0);
        drawing.label(label);
    }

    fn figure(&self, mm: f64) -> String {
        match self.units {
            Units::Metric => format_length((mm * 10.0).round() / 10.0, Units::Metric),
            units => format_length(mm, units),
        }
    }
}

fn rectangle((x0, x1): (f64, f64), (y0, y1): (f64, f64)) -> BezPath {
    closed([(x0, y0), (x1, y0), (x1, y1), (x0, y1)].map(Point::from))
}
