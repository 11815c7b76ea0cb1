//! The whole floor.

use crate::board::hatch;
use crate::geometry::{at, clearance, closed, contains, open, readable_turn, room_outline};
use crate::place::Taken;
use crate::way::{FirstBoard, first_board};
use crate::{
    Boards, Drawing, Item, Label, Options, Role, control, dimensions, doorways, fixtures, flags, grain,
    joints, kept, rips, rough_width, stages, walls, way,
};
use findings::Subject;
use kurbo::{BezPath, Point, Rect, Vec2};
use lay::{Board, Outline};
use order::StageShares;
use pipeline::House;
use plan::{Covering, Units, format_length};
use setout::{ControlLine, PointMark, Pull, Square};
use site::Frame;

/// A room's name is never cut off shorter than this, paper mm: in a small room it stands out of it.
const SHORT_NAME: f64 = 24.0;
/// Size of a room's name for who lives there, paper mm.
const OWNER_NAME: f64 = 4.6;
/// Distance of hatch lines over boards that lie, across the page, paper mm.
const LAID_HATCH: f64 = 3.0;

/// What some layers show that is worked out on demand: once for drawings at several scales.
#[derive(Debug, Clone, Default)]
pub struct OnDemand {
    control: Vec<ControlLine>,
    square: Option<Square>,
    first: Option<FirstBoard>,
    shares: StageShares,
}

impl OnDemand {
    /// What the layers of these options need.
    pub fn of(house: &House, options: &Options) -> Self {
        Self {
            control: if options.control { house.advice().control } else { Vec::new() },
            square: options.way.then(|| house.square()).flatten(),
            first: options.way.then(|| first_board(house)).flatten(),
            shares: if options.stages { house.stage_shares() } else { StageShares::default() },
        }
    }
}

/// Draws the whole floor in plan millimetres, y up. The same house and options give the same drawing.
pub fn floor_drawing(house: &House, options: &Options) -> Drawing {
    floor_drawing_with(house, options, &OnDemand::of(house, options))
}

/// The same with what is worked out on demand at hand.
pub fn floor_drawing_with(house: &House, options: &Options, on_demand: &OnDemand) -> Drawing {
    let scale = if options.scale > 0.0 && options.scale.is_finite() { options.scale } else { 100.0 };
    let options = &Options { scale, ..*options };
    let mut drawing = Drawing::default();
    walls::draw(&mut drawing, &house.plan);
    draw_boards(&mut drawing, house, options);
    if options.owner {
        grain::draw(&mut drawing, house, scale);
    }
    if options.lines {
        draw_lines(&mut drawing, house);
    }
    let shares = &on_demand.shares;
    stages::draw(&mut drawing, house, shares, scale);
    fixtures::draw(&mut drawing, house);
    if options.owner {
        // What lies under the boards is nobody's concern who walks on them.
        drawing.items.retain(|item| !matches!(item, Item::Shape(shape) if shape.role == Role::UnderFloor));
    }
    joints::draw(&mut drawing, house);
    if options.start_line {
        draw_start_line(&mut drawing, house);
    }
    // Places are taken in the order of what matters; painting follows the opposite order.
    let mut taken = Taken::new(scale);
    take_lines(house, options, &mut taken);
    if options.flags {
        // The point of each flag stays in sight.
        for flag in &house.flags {
            taken.take(Rect::from_center_size((at(flag.at).to_vec2() / scale).to_point(), (1.6, 1.6)));
        }
    }
    let pulls =
        if options.pulls { place_pulls(&mut drawing, house, options, &mut taken) } else { Vec::new() };
    let mut own = Vec::new();
    if options.control {
        own.extend(control::draw(&mut drawing, &on_demand.control, options, &mut taken));
    }
    let doorways = if options.doorways { doorways::place(house, options, &mut taken) } else { Vec::new() };
    let rips = if options.rips { rips::place(house, options, &mut taken) } else { Vec::new() };
    if options.way {
        own.extend(way::draw(&mut drawing, house, on_demand.first, options, &mut taken));
        if let Some(square) = &on_demand.square {
            own.extend(way::draw_square(&mut drawing, square, options, &mut taken));
        }
    }
    let marks =
        if options.pulls { joints::draw_marks(&mut drawing, house, options, &mut taken) } else { Vec::new() };
    let mut names = if options.names { place_names(house, options, shares, &mut taken) } else { Vec::new() };
    if options.names {
        names.extend(joints::place_names(house, options, &mut taken));
    }
    let line = if options.start_line { place_line_name(house, &mut taken) } else { None };
    let flags = if options.flags { flags::place(house, options, &mut taken) } else { Vec::new() };
    let mut sizes =
        if options.kept { kept::draw(&mut drawing, &house.plan, options, &mut taken) } else { Vec::new() };
    sizes.extend(if options.dimensions {
        dimensions::draw(&mut drawing, &house.plan, options, &mut taken)
    } else {
        Vec::new()
    });
    if options.wall_numbers {
        own.extend(control::wall_numbers(house, options, &mut taken));
    }
    let boards = if options.board_labels && options.boards != Boards::Hidden {
        place_board_labels(house, options, &taken)
    } else {
        Vec::new()
    };
    for label in boards
        .into_iter()
        .chain(names)
        .chain(sizes)
        .chain(marks)
        .chain(line)
        .chain(doorways)
        .chain(own)
        .chain(pulls)
        .chain(rips)
        .chain(flags)
    {
        drawing.label(label);
    }
    drawing
}

/// A board's outline on the plan; even-odd where it has holes.
fn board_path(outline: &Outline, frame: &Frame) -> BezPath {
    let ring = |ring: &[site::Uv]| closed(ring.iter().map(|uv| at(frame.plan_from_row(*uv))));
    let mut path = ring(&outline.outer);
    for hole in &outline.holes {
        path.extend(ring(hole));
    }
    path
}

fn draw_boards(drawing: &mut Drawing, house: &House, options: &Options) {
    let frame = &house.site.frame;
    for (i, board) in house.floor.boards.iter().enumerate() {
        let role = match options.boards {
            Boards::Hidden => return,
            Boards::Outlined => Role::BoardOutline,
            Boards::Filled if options.owner => Role::Board { tone: wood_tone(house, board) },
            Boards::Filled => Role::Board { tone: tone(house, board) },
        };
        drawing.board(role, i, board_path(&board.outline, frame));
    }
    draw_laid(drawing, house, options);
    if options.flags {
        for flag in &house.flags {
            let flagged = match &flag.subject {
                Subject::Board(board) => std::slice::from_ref(board),
                Subject::Boards(boards) => boards,
                _ => continue,
            };
            for index in flagged {
                if let Some(board) = house.floor.boards.get(*index) {
                    drawing.board(Role::FlaggedBoard, *index, board_path(&board.outline, frame));
                }
            }
        }
    }
}

/// Hatches the boards that lie.
fn draw_laid(drawing: &mut Drawing, house: &House, options: &Options) {
    let spacing = LAID_HATCH * options.scale;
    for (_, board) in house.floor.boards.iter().enumerate().filter(|(index, _)| house.floor.is_laid(*index)) {
        let on_plan = |ring: &Vec<site::Uv>| -> Vec<(f64, f64)> {
            ring.iter().map(|uv| house.site.frame.plan_from_row(*uv)).map(|p| (p.x, p.y)).collect()
        };
        let rings: Vec<Vec<(f64, f64)>> = board.outline.rings().map(on_plan).collect();
        let rings: Vec<&[(f64, f64)]> = rings.iter().map(Vec::as_slice).collect();
        drawing.path(Role::LaidHatch, hatch(&rings, spacing));
    }
}

/// The regions' boundaries and the end joints.
fn draw_lines(drawing: &mut Drawing, house: &House) {
    let frame = &house.site.frame;
    let on_plan = |uv: site::Uv| at(frame.plan_from_row(uv));
    for ring in house.site.regions.iter().flat_map(|region| region.rings()) {
        drawing.path(Role::Boundary, closed(ring.edges.iter().map(|edge| on_plan(edge.a))));
    }
    for joint in &house.floor.joints {
        let ends = [joint.low, joint.high].map(|v| on_plan(site::Uv::new(joint.u, v)));
        drawing.path(Role::Joint, open(ends));
    }
}

/// A shade for each stock board, so that pieces of one board match: a multiplicative hash of its pack
/// and place among the boards opened.
fn tone(house: &House, board: &Board) -> u8 {
    let pack = house.floor.stock.get(board.stock).map_or(0, |stock| stock.pack);
    let mixed = (board.stock as u64).wrapping_mul(0x9e37_79b9_7f4a_7c15)
        ^ (pack as u64).wrapping_mul(0xc2b2_ae3d_27d4_eb4f);
    (mixed >> 61) as u8
}

/// The same among the shades of wood: packs fall into four lots, in which boards differ less than lots do.
fn wood_tone(house: &House, board: &Board) -> u8 {
    let pack = house.floor.stock.get(board.stock).map_or(0, |stock| stock.pack);
    let lot = ((pack as u64 + 1).wrapping_mul(0x9e37_79b9_7f4a_7c15) >> 62) as u8;
    8 + 8 * lot + tone(house, board)
}

fn draw_start_line(drawing: &mut Drawing, house: &House) {
    if let Some(line) = &house.setout.line {
        drawing.path(Role::StartLine, open([at(line.from), at(line.to)]));
    }
}

/// Takes the start line's stretch, so that writing keeps clear of it.
fn take_lines(house: &House, options: &Options, taken: &mut Taken) {
    let Some(line) = house.setout.line.as_ref().filter(|_| options.start_line) else { return };
    let (a, b) = (at(line.from), at(line.to));
    let steps = (libm::sqrt((b - a).hypot2()) / (2.0 * options.scale)).ceil().clamp(1.0, 2000.0) as usize;
    for i in 0..=steps {
        let p = a.lerp(b, i as f64 / steps as f64).to_vec2() / options.scale;
        taken.take(Rect::from_center_size(p.to_point(), (2.0, 1.0)));
    }
}

fn place_line_name(house: &House, taken: &mut Taken) -> Option<Label> {
    let line = house.setout.line.as_ref()?;
    let (a, b) = (at(line.from), at(line.to));
    let along = b - a;
    let length = libm::sqrt(along.hypot2());
    if length <= 0.0 {
        return None;
    }
    let side = Vec2::new(-along.y, along.x) / length;
    let mut label = Label::new(Role::StartLine, "start line", a);
    label.turn = readable_turn(along.x, along.y);
    taken.first_free([0.8, 0.65, 0.5, 0.35, 0.2].into_iter().flat_map(|t| {
        let label = label.clone();
        [2.8, -2.8].map(|off| Label { at: a.lerp(b, t), shift: side * off, ..label.clone() })
    }))
}

/// A length measured off on the floor.
struct Tape {
    letter: char,
    from: Point,
    to: Point,
    distance: f64,
    /// The room whose corner it starts from.
    room: Option<usize>,
    role: Role,
}

fn place_pulls(drawing: &mut Drawing, house: &House, options: &Options, taken: &mut Taken) -> Vec<Label> {
    let Some(line) = &house.setout.line else { return Vec::new() };
    let mut labels = Vec::new();
    let tape = |pull: &Pull, role| Tape {
        letter: pull.letter,
        from: at(pull.corner),
        to: at(pull.foot),
        distance: pull.distance,
        room: Some(pull.room),
        role,
    };
    // Points of a pattern are measured along the line itself.
    let mark = |mark: &PointMark, role| Tape {
        letter: mark.letter,
        from: at(mark.face),
        to: at(mark.at),
        distance: mark.distance,
        room: None,
        role,
    };
    let points = house.setout.points.iter();
    let all: Vec<Tape> = line
        .pulls
        .iter()
        .map(|pull| tape(pull, Role::Pull))
        .chain(line.check.iter().map(|pull| tape(pull, Role::CheckPull)))
        .chain(points.clone().filter_map(|p| p.first.as_ref()).map(|m| mark(m, Role::Pull)))
        .chain(points.filter_map(|p| p.last.as_ref()).map(|m| mark(m, Role::CheckPull)))
        .collect();
    for tape in &all {
        let mut letter = Label::new(Role::CornerLetter, tape.letter.to_string(), tape.from);
        letter.subject = tape.room;
        taken.take(taken.box_of(&letter));
        labels.push(letter);
    }
    for tape in &all {
        let (role, corner, foot) = (&tape.role, tape.from, tape.to);
        let along = foot - corner;
        let length = libm::sqrt(along.hypot2());
        if length <= 0.0 {
            continue;
        }
        let along = along / length;
        let side = Vec2::new(-along.y, along.x);
        drawing.path(*role, open([corner, foot]));
        // A tick across the foot, drawn solid whatever the pull's dash.
        let tick = (side + along) * (1.2 * options.scale);
        drawing.path(Role::Pull, open([foot - tick, foot + tick]));
        let label = Label::new(*role, format_length(tidy(tape.distance, options.units), options.units), foot);
        let half = rough_width(&label.text, label.size) / 2.0;
        let mut places = Vec::new();
        for t in [0.5, 0.35, 0.65, 0.2, 0.8] {
            for sign in [1.0, -1.0] {
                // Far enough to the side that the upright figure clears the pull.
                let off = side.x.abs() * half + side.y.abs() * label.size * 0.6 + 1.6;
                for more in [0.0, 4.0] {
                    let shift = side * (sign * (off + more));
                    places.push(Label { at: corner.lerp(foot, t), shift, ..label.clone() });
                }
            }
        }
        labels.extend(taken.first_free_or_first(&places));
    }
    labels
}

/// Whole millimetres: finer than a tape reads helps nobody.
fn tidy(length: f64, units: Units) -> f64 {
    match units {
        Units::Metric => length.round(),
        Units::FeetInches => length,
    }
}

fn place_names(house: &House, options: &Options, shares: &StageShares, taken: &mut Taken) -> Vec<Label> {
    let mut labels = Vec::new();
    for (i, fixture) in house.plan.fixtures.iter().enumerate() {
        let Some((centre, width, height)) = fixtures::middle(&house.plan, i) else { continue };
        let mut label = Label::new(Role::FixtureName, fixture.name.clone(), centre);
        let own = rough_width(&label.text, label.size) + 1.0;
        if own * options.scale > width && own * options.scale <= height {
            label.turn = 90.0;
        }
        let fits =
            own * options.scale <= width.max(height) && label.size * options.scale <= width.min(height);
        if fixture.kind.is_under_boards() && options.owner {
            continue;
        }
        if fits || fixture.kind.is_under_boards() {
            labels.extend(taken.first_free([label]));
        }
    }
    for (i, room) in house.plan.rooms.iter().enumerate() {
        let text = match &room.covering {
            Covering::Boards => room.name.clone(),
            Covering::Other(what) => format!("{} · {what}", room.name),
        };
        let text = match stages::name(house, shares, i) {
            Some(stage) => format!("{text} · {stage}"),
            None => text,
        };
        let mut label = Label::new(Role::RoomName, text, Point::ZERO);
        label.subject = Some(i);
        if options.owner {
            label.size = OWNER_NAME;
        }
        let outline = room_outline(room);
        let bounds = kurbo::Shape::bounding_box(&closed(outline.iter().copied()));
        let most = (bounds.width().max(bounds.height()) / options.scale).max(SHORT_NAME);
        label.text = shortened(&label.text, label.size, most);
        let standing: Vec<Rect> = standing(&house.plan).collect();
        let half = rough_width(&label.text, label.size) / 2.0 * options.scale;
        let high = label.size * 0.6 * options.scale;
        // A name on a fixture reads as the fixture's.
        let mut spots = name_spots(&outline);
        spots.sort_by_key(|at| {
            let own = Rect::from_center_size(*at, (2.0 * half, 2.0 * high));
            standing.iter().any(|fixture| !fixture.intersect(own).is_zero_area())
        });
        let fits =
            |label: &Label| [-half, half].iter().all(|dx| contains(&outline, label.at + Vec2::new(*dx, 0.0)));
        let spots: Vec<Label> = spots.into_iter().map(|at| Label { at, ..label.clone() }).collect();
        let (roomy, tight): (Vec<Label>, Vec<Label>) = spots.into_iter().partition(fits);
        // In a room too narrow for its name the name stands upright along it.
        let upright = tight.into_iter().map(|label| Label { turn: 90.0, ..label });
        let places: Vec<Label> = roomy.into_iter().chain(upright).collect();
        let Some(name) = taken.first_free_or_first(&places) else { continue };
        if options.owner {
            let below = taken.first_free_or_first(&[area_label(room, &name, options.units)]);
            labels.extend(below);
        }
        labels.push(name);
    }
    labels
}

/// Writing, cut off with an ellipsis where it is wider than `most` paper mm.
fn shortened(text: &str, size: f64, most: f64) -> String {
    if rough_width(text, size) <= most {
        return text.to_owned();
    }
    let mut kept = String::new();
    for letter in text.chars() {
        kept.push(letter);
        if rough_width(&kept, size) + size > most {
            kept.pop();
            break;
        }
    }
    format!("{}…", kept.trim_end())
}

/// How large a room is, under its name.
fn area_label(room: &plan::Room, name: &Label, units: Units) -> Label {
    let text = match units {
        Units::Metric => format!("{:.1} m²", room.area() / 1e6),
        // A foot is 304.8 mm.
        Units::FeetInches => format!("{:.0} sq ft", room.area() / (304.8 * 304.8)),
    };
    let drop = 1.15 * name.size;
    let radians = name.turn.to_radians();
    let shift = Vec2::new(libm::sin(radians) * drop, -libm::cos(radians) * drop);
    Label { turn: name.turn, shift, size: 0.8 * name.size, ..Label::new(Role::RoomArea, text, name.at) }
}

/// Boxes round the fixtures that stand on the floor.
fn standing(plan: &plan::Plan) -> impl Iterator<Item = Rect> {
    let on_floor = plan.fixtures.iter().filter(|fixture| !fixture.kind.is_under_boards());
    on_floor
        .map(|fixture| closed(fixture.outline.iter().map(|p| at(*p))))
        .filter(|path| !path.is_empty())
        .map(|path| kurbo::Shape::bounding_box(&path))
}

/// Points inside a room for its name: the middle of the widest open floor first.
fn name_spots(outline: &[Point]) -> Vec<Point> {
    let path = closed(outline.iter().copied());
    if path.is_empty() {
        return Vec::new();
    }
    let bounds = kurbo::Shape::bounding_box(&path);
    let steps = 17;
    let mut spots: Vec<(f64, Point)> = Vec::new();
    for i in 1..steps {
        for j in 1..steps {
            let (tx, ty) = (f64::from(i) / f64::from(steps), f64::from(j) / f64::from(steps));
            let p = Point::new(bounds.x0 + tx * bounds.width(), bounds.y0 + ty * bounds.height());
            if contains(outline, p) {
                let off = libm::sqrt((p - bounds.center()).hypot2());
                spots.push((clearance(outline, p) - 0.35 * off, p));
            }
        }
    }
    spots.sort_by(|a, b| b.0.total_cmp(&a.0));
    spots.into_iter().map(|(_, p)| p).collect()
}

fn place_board_labels(house: &House, options: &Options, taken: &Taken) -> Vec<Label> {
    let frame = &house.site.frame;
    let mut labels = Vec::new();
    for (i, board) in house.floor.boards.iter().enumerate() {
        let along = frame.plan_from_row(board.along);
        let turn = readable_turn(along.x, along.y);
        let spread = |places: &dyn Fn(&site::Uv) -> f64| {
            let all = board.outline.outer.iter().map(places);
            all.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), p| (low.min(p), high.max(p)))
        };
        let (low, high) = spread(&|p| board.place(*p).1);
        let (left, right) = spread(&|p| board.place(*p).0);
        let length = right - left;
        let height = (high - low) / options.scale;
        let size = Role::BoardLabel.type_size().min(height * 0.66);
        let laid = format!("{} laid", board.label);
        let is_laid = house.floor.is_laid(i) && rough_width(&laid, size) + 0.6 <= length / options.scale;
        let text = if is_laid { laid } else { board.label.clone() };
        let width = rough_width(&text, size) + 0.6;
        // Writing under a millimetre high helps nobody.
        // A point has no room for writing, though it may be long and wide.
        let is_point = board.is_block() && board.area < 0.6 * length * (high - low);
        if !size.is_finite() || size < 1.0 || width > length / options.scale || is_point {
            continue;
        }
        let middle = f64::midpoint(low, high);
        let slack = (length / options.scale - width) / (length / options.scale);
        let places = [0.0, -0.3, 0.3, -0.48, 0.48].map(|t| {
            let u = f64::midpoint(left, right) + t * slack * length;
            let at = at(frame.plan_from_row(board.at(u, middle)));
            let subject = Some(i);
            Label { size, turn, subject, ..Label::new(Role::BoardLabel, text.clone(), at) }
        });
        labels.extend(places.into_iter().find(|label| taken.is_free(taken.box_of(label))));
    }
    labels
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Shape;
    use crate::testing::small_house;

    fn shapes_of<'a>(drawing: &'a Drawing, pick: impl Fn(Role) -> bool + 'a) -> Vec<&'a Shape> {
        drawing.shapes().filter(|shape| pick(shape.role)).collect()
    }

    #[test]
    fn every_board_is_drawn_with_its_area() {
        let house = small_house("Hut");
        let drawing = floor_drawing(&house, &Options::all(25.0, Units::Metric));
        let boards = shapes_of(&drawing, |role| matches!(role, Role::Board { .. }));
        assert_eq!(boards.len(), house.floor.boards.len());
        let area: f64 = boards.iter().map(|shape| kurbo::Shape::area(&shape.path).abs()).sum();
        // The region inside the gaps: 3980 × 2980, closed form.
        assert!((area - 3980.0 * 2980.0).abs() < 1.0, "{area}");
    }

    #[test]
    fn the_owner_sees_wood_of_several_lots_without_writing_on_it() {
        let house = small_house("Hut");
        let drawing = floor_drawing(&house, &Options::owner(25.0, Units::Metric));
        let tones: std::collections::BTreeSet<u8> = drawing
            .shapes()
            .filter_map(|shape| match shape.role {
                Role::Board { tone } => Some(tone),
                _ => None,
            })
            .collect();
        assert!(tones.iter().all(|tone| (8..40).contains(tone)), "{tones:?}");
        assert!(tones.len() > 4, "{tones:?}");
        assert!(drawing.shapes().any(|shape| shape.role == Role::Grain));
        assert!(drawing.labels().all(|label| label.role != Role::BoardLabel));
    }

    #[test]
    fn tones_differ_and_stay() {
        let house = small_house("Hut");
        let tones: Vec<u8> = house.floor.boards.iter().map(|board| tone(&house, board)).collect();
        assert!(tones.iter().all(|tone| *tone < 8));
        assert!(tones.iter().any(|tone| *tone != tones[0]));
        let options = Options::all(25.0, Units::Metric);
        assert_eq!(floor_drawing(&house, &options), floor_drawing(&house, &options));
    }

    #[test]
    fn a_sliver_shows_as_short_and_whole_rips_do_not() {
        let house = small_house("Hut");
        let drawing = floor_drawing(&house, &Options::set_out(25.0, Units::Metric));
        let of = |role| drawing.labels().filter(|label| label.role == role).count();
        assert_eq!((of(Role::RipFigure), of(Role::ShortRipFigure)), (1, 1));
        assert_eq!(of(Role::CornerLetter), 3);
    }

    #[test]
    fn figures_and_pennants_keep_apart() {
        let house = small_house("Hut");
        let drawing = floor_drawing(&house, &Options::all(25.0, Units::Metric));
        let taken = Taken::new(25.0);
        let boxes: Vec<Rect> = drawing
            .labels()
            .filter(|label| label.role != Role::BoardLabel)
            .map(|label| taken.box_of(label))
            .collect();
        for (i, a) in boxes.iter().enumerate() {
            for b in &boxes[i + 1..] {
                let common = a.intersect(*b);
                assert!(common.width() <= 0.0 || common.height() <= 0.0, "{a:?} {b:?}");
            }
        }
    }

    #[test]
    fn layers_leave_out_what_is_not_asked_for() {
        let house = small_house("Hut");
        let none = Options {
            boards: Boards::Hidden,
            board_labels: false,
            rips: false,
            flags: false,
            dimensions: false,
            start_line: false,
            pulls: false,
            names: false,
            doorways: false,
            ..Options::all(50.0, Units::Metric)
        };
        let drawing = floor_drawing(&house, &none);
        assert_eq!(drawing.labels().count(), 0);
        assert!(shapes_of(&drawing, |role| matches!(role, Role::Board { .. } | Role::StartLine)).is_empty());
        assert!(!shapes_of(&drawing, |role| role == Role::WallBody).is_empty());
    }

    #[test]
    fn a_scale_that_is_no_number_still_draws() {
        let house = small_house("Hut");
        for scale in [0.0, -5.0, f64::NAN, f64::INFINITY] {
            assert!(floor_drawing(&house, &Options::all(scale, Units::Metric)).bounds().is_some());
        }
    }
}
