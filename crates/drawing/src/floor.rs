//! The whole floor.

use crate::board::hatch;
use crate::geometry::{at, closed, contains, open};
use crate::place::Taken;
use crate::rooms::Rooms;
use crate::way::{FirstBoard, first_board};
use crate::{
    Boards, Drawing, Item, Options, Role, board_labels, control, dimensions, doorways, fixtures, flags,
    grain, joints, kept, names, pulls, rips, stages, walls, way,
};
use findings::Subject;
use kurbo::{BezPath, Point, Rect};
use lay::{Board, Outline};
use order::StageShares;
use pipeline::House;
use setout::{ControlLine, Square};
use site::Frame;

/// Distance of hatch lines over boards that lie, across the page, paper mm.
const LAID_HATCH: f64 = 3.0;

/// What some layers show that is worked out on demand: once for drawings at several scales.
#[derive(Debug, Clone, Default)]
pub struct OnDemand {
    /// Control lines.
    pub control: Vec<ControlLine>,
    /// The triangle that proves a line square.
    pub square: Option<Square>,
    /// The first board to lay.
    pub first: Option<FirstBoard>,
    /// Which boards and rooms belong to which stage.
    pub shares: StageShares,
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
    let mut taken = match options.leaders {
        // The set-out sheet shows the key beside its plan.
        true if options.way => Taken::with_field(scale, field(&house.plan, scale))
            .with_rooms(Rooms::boarded(&house.plan))
            .with_key(),
        true => Taken::with_field(scale, field(&house.plan, scale)).with_rooms(Rooms::boarded(&house.plan)),
        false => Taken::new(scale),
    };
    pulls::take_line(house, options, &mut taken);
    if options.leaders {
        taken.take_drawn(&drawing);
        if options.kept {
            kept::take_lines(&house.plan, &mut taken);
        }
    }
    if options.flags {
        // The point of each flag stays in sight.
        for flag in &house.flags {
            taken.take(Rect::from_center_size(taken.on_paper(at(flag.at)), (1.6, 1.6)));
        }
    }
    // What has only one place to stand for is told of first, so that the rest leaves it that.
    let mut doorways = if options.doorways { doorways::wishes(house, options) } else { Vec::new() };
    let mut rips = if options.rips { rips::wishes(house, options) } else { Vec::new() };
    taken.expect(&mut doorways);
    taken.expect(&mut rips);
    if let Some(square) = &on_demand.square {
        way::draw_triangle(&mut drawing, square, &mut taken);
    }
    let mut pulls = match options.pulls {
        true => pulls::draw(&mut drawing, house, options, &mut taken),
        false => Vec::new(),
    };
    let mut own = Vec::new();
    // The first board's arrow has one place, beside the corner; a pull's figure has several.
    let first = on_demand.first.filter(|_| options.way);
    if let Some(first) = &first {
        let goes_on = house.floor.laid.of_board.iter().any(Option::is_some);
        own.extend(way::draw_start(&mut drawing, (first, goes_on), options, &mut taken));
    }
    if options.pulls {
        pulls.extend(pulls::place_figures(&mut drawing, house, options, &mut taken));
    }
    if options.control {
        own.extend(control::draw(&mut drawing, &on_demand.control, options, &mut taken));
    }
    if let Some(first) = &first {
        own.extend(way::draw_ways(&mut drawing, house, first, options, &mut taken));
    }
    // Rings are painted over the marks of doorways.
    let of_doorways = doorways.len();
    let granted = taken.grant_all(&mut drawing, doorways.into_iter().chain(rips).collect());
    let (doorways, rips): (Vec<_>, Vec<_>) =
        granted.into_iter().partition(|(wish, _)| *wish as usize <= of_doorways);
    if let Some(square) = &on_demand.square {
        own.extend(way::place_lengths(&mut drawing, square, options, &mut taken));
    }
    let marks =
        if options.pulls { joints::draw_marks(&mut drawing, house, options, &mut taken) } else { Vec::new() };
    // A dimension that somebody keeps comes before names where both are led.
    let mut sizes = Vec::new();
    if options.kept && options.leaders {
        sizes = kept::draw(&mut drawing, &house.plan, options, &mut taken);
    }
    let mut names = Vec::new();
    if options.names {
        names = names::place(&mut drawing, house, options, shares, &mut taken);
        names.extend(joints::place_names(&mut drawing, house, options, &mut taken));
    }
    let line = match options.start_line {
        true => pulls::place_line_names(&mut drawing, house, &mut taken),
        false => Vec::new(),
    };
    let flags = if options.flags { flags::place(house, options, &mut taken) } else { Vec::new() };
    if options.kept && !options.leaders {
        sizes = kept::draw(&mut drawing, &house.plan, options, &mut taken);
    }
    if options.dimensions {
        sizes.extend(dimensions::draw(&mut drawing, &house.plan, options, &mut taken));
    }
    if options.wall_numbers {
        own.extend(control::wall_numbers(house, options, &mut taken));
    }
    let boards = if options.board_labels && options.boards != Boards::Hidden {
        board_labels::place(&drawing, house, options, &taken)
    } else {
        Vec::new()
    };
    for label in boards
        .into_iter()
        .chain(names)
        .chain(sizes)
        .chain(marks)
        .chain(line)
        .chain(doorways.into_iter().map(|(_, label)| label))
        .chain(own)
        .chain(pulls)
        .chain(rips.into_iter().map(|(_, label)| label))
        .chain(flags)
    {
        drawing.label(label);
    }
    drawing
}

/// Where writing may stand that is led to its thing, paper mm: over the rooms and so far round them.
fn field(plan: &plan::Plan, scale: f64) -> Rect {
    let corners = plan.rooms.iter().flat_map(|room| &room.walls).map(|wall| at(wall.corner));
    let rooms =
        corners.map(|p| Rect::from_points(p, p)).reduce(|all, one| all.union(one)).unwrap_or_default();
    let round = crate::lead::FIELD + walls::body_thickness(plan) / scale;
    Rect::new(rooms.x0 / scale, rooms.y0 / scale, rooms.x1 / scale, rooms.y1 / scale).inflate(round, round)
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
    for line in house.setout.line.iter().chain(house.setout.own_lines().map(|(_, line)| line)) {
        drawing.path(Role::StartLine, open([at(line.from), at(line.to)]));
    }
}

/// Whether a rectangle lies within rings of which the first is the outer one: its corners do, and no corner of a ring lies
/// within it.
pub(crate) fn lies_in(rings: &[Vec<Point>], area: Rect) -> bool {
    let corners = [(area.x0, area.y0), (area.x1, area.y0), (area.x1, area.y1), (area.x0, area.y1)];
    let mut corners = corners.into_iter().map(Point::from);
    let on_board = |p: Point| {
        rings.first().is_some_and(|outer| contains(outer, p))
            && rings.iter().skip(1).all(|hole| !contains(hole, p))
    };
    corners.all(on_board) && !rings.iter().flatten().any(|p| area.contains(*p))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Shape;
    use crate::testing::small_house;
    use plan::Units;

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
