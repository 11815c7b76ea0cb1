//! Boards, walls and what stands on the floor as triangles, seen from above or from where one stands.

use super::camera::{Camera, Sight};
use super::wood::{self, FACES, LENGTH};
use crate::canvas::{View, trapezoids};
use crate::palette::Palette;
use egui::{Color32, Mesh, Pos2, Rect, TextureId, pos2};
use lay::Board;
use pipeline::House;
use plan::{FixtureKind, Plan, Point};

/// Boards are cut so fine that perspective does not bend them, mm: near by, and per metre of distance.
const FINE: (f64, f64) = (160.0, 70.0);
/// What is further off is not drawn, mm.
const FAR: f64 = 60_000.0;
/// Heights, mm: of rooms, of doorways and of skirting. Common practice, no source.
const CEILING: f64 = 2500.0;
const HEAD: f64 = 2040.0;
const SKIRTING: f64 = 90.0;
/// A joint as it is seen: the darker rim of a board, mm.
const RIM: f64 = 1.6;

/// From where the floor is seen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Eye {
    Above(View),
    Standing(Sight, Rect),
}

impl Eye {
    fn at(&self, p: Point, height: f64) -> Option<Pos2> {
        match self {
            Self::Above(view) => Some(view.screen_from_plan(p)),
            Self::Standing(camera, rect) => Camera::on_screen(camera.seen(p, height), *rect),
        }
    }

    /// How far a point is, mm; 0 from above.
    fn distance(&self, p: Point) -> f64 {
        match self {
            Self::Above(_) => 0.0,
            Self::Standing(camera, _) => camera.at.distance(p),
        }
    }

    /// Whether something of these corners may be seen.
    fn may_see(&self, corners: &[Point]) -> bool {
        match self {
            Self::Above(view) => {
                let seen = corners.iter().map(|p| view.screen_from_plan(*p));
                Rect::from_points(&seen.collect::<Vec<_>>()).intersects(view.rect)
            }
            Self::Standing(camera, _) => {
                let near = corners.iter().any(|p| camera.at.distance(*p) < FAR);
                near && corners.iter().any(|p| camera.seen(*p, 0.0)[2] > 0.0)
            }
        }
    }
}

/// What is shown: untextured ground first, then boards, then what stands up, furthest first.
pub(super) struct Picture {
    pub(super) ground: Mesh,
    pub(super) boards: Mesh,
    pub(super) standing: Mesh,
}

/// The house as the owner will see it.
pub(super) fn picture(house: &House, eye: &Eye, sheet: TextureId, palette: &Palette) -> Picture {
    let plan = &house.plan;
    let mut ground = Mesh::default();
    for room in &plan.rooms {
        let outline: Vec<Point> = room.outline().into_iter().map(|(p, _)| p).collect();
        let color = if room.is_boarded() { palette.bare_floor } else { palette.other_floor };
        flat(&mut ground, eye, &[outline], 0.0, color);
    }
    for doorway in &plan.doorways {
        if let Some(throat) = doorway.throat(plan) {
            flat(&mut ground, eye, &[throat.to_vec()], 0.0, palette.bare_floor);
        }
    }
    if let Eye::Standing(camera, _) = eye {
        // The ceiling, darker with distance like everything over the floor: without it walls end nowhere.
        for room in &plan.rooms {
            let outline: Vec<Point> = room.outline().into_iter().map(|(p, _)| p).collect();
            ceiling(&mut ground, eye, camera, &outline, palette.card);
        }
    }
    let mut boards = Mesh::with_texture(sheet);
    for board in &house.floor.boards {
        add_board(&mut boards, eye, house, board, palette);
    }
    Picture { ground, boards, standing: standing(plan, eye, palette) }
}

/// A board: its rim a little darker, its face with the wood of the stock board it was cut from.
fn add_board(mesh: &mut Mesh, eye: &Eye, house: &House, board: &Board, palette: &Palette) {
    let frame = house.site.frame;
    let corners: Vec<Point> = board.outline.outer.iter().map(|p| frame.plan_from_row(*p)).collect();
    if !eye.may_see(&corners) {
        return;
    }
    let pitch = house.setout.pitch;
    let seed = u32::try_from(board.stock).unwrap_or(0);
    let face = wood::hash(seed, 1, 2) as usize % FACES;
    let begins = wood::unit(wood::hash(seed, 3, 4));
    let color = tint(palette, house.floor.stock.get(board.stock).map_or(0, |stock| stock.pack), seed);
    let rings: Vec<Vec<Point>> =
        board.own_rings(pitch).map(|ring| ring.into_iter().map(Point::from).collect()).collect();
    let from = board.from;
    let texture = |p: Point| {
        let x = begins + (from + p.x) as f32 / LENGTH;
        // A hair inside the face, so that its neighbour on the sheet does not shine through.
        let y = (p.y / pitch).clamp(0.012, 0.988) as f32;
        pos2(x, (face as f32 + y) / FACES as f32)
    };
    let on_plan = |p: Point| {
        let (along, across) = match board.turned {
            true => (board.right + board.lean * pitch - p.x, board.base + pitch - p.y),
            false => (board.left + p.x, board.base + p.y),
        };
        frame.plan_from_row(board.at(along, across))
    };
    let near = corners.iter().map(|p| eye.distance(*p)).fold(f64::INFINITY, f64::min);
    let step = FINE.0 + FINE.1 * near / 1000.0;
    for [a, b, c, d] in trapezoids(&rings) {
        let length = a.distance(b).max(c.distance(d));
        let pieces = match eye {
            Eye::Above(_) => 1,
            Eye::Standing(..) => (length / step).ceil().clamp(1.0, 64.0) as usize,
        };
        for i in 0..pieces {
            let (t, u) = (i as f64 / pieces as f64, (i + 1) as f64 / pieces as f64);
            let quad = [a.lerp(b, t), a.lerp(b, u), d.lerp(c, u), d.lerp(c, t)];
            let rim = |p: Point, towards: f64| Point::new(p.x, p.y + RIM * towards);
            // Both long rims show the joint; the ends' show by the wood that breaks off.
            let inner = [rim(quad[0], 1.0), rim(quad[1], 1.0), rim(quad[2], -1.0), rim(quad[3], -1.0)];
            if quad[3].y - quad[0].y < 4.0 * RIM {
                textured(mesh, eye, quad, &on_plan, &texture, color);
                continue;
            }
            let dark = color.gamma_multiply(0.62).to_opaque();
            textured(mesh, eye, [quad[0], quad[1], inner[1], inner[0]], &on_plan, &texture, dark);
            textured(mesh, eye, [inner[3], inner[2], quad[2], quad[3]], &on_plan, &texture, dark);
            textured(mesh, eye, inner, &on_plan, &texture, color);
        }
        let end = |x: f64, by: f64| {
            let (low, high) = (Point::new(x, a.y), Point::new(x, d.y));
            [low, Point::new(x + by, a.y), Point::new(x + by, d.y), high]
        };
        let dark = color.gamma_multiply(0.5).to_opaque();
        if (a.x - d.x).abs() < RIM {
            textured(mesh, eye, end(a.x, RIM), &on_plan, &texture, dark);
        }
    }
}

fn textured(
    mesh: &mut Mesh,
    eye: &Eye,
    quad: [Point; 4],
    on_plan: &dyn Fn(Point) -> Point,
    texture: &dyn Fn(Point) -> Pos2,
    color: Color32,
) {
    let Ok(first) = u32::try_from(mesh.vertices.len()) else { return };
    let mut corners = [Pos2::ZERO; 4];
    for (corner, p) in corners.iter_mut().zip(quad) {
        match eye.at(on_plan(p), 0.0) {
            Some(at) => *corner = at,
            None => return,
        }
    }
    for (pos, p) in corners.into_iter().zip(quad) {
        mesh.vertices.push(egui::epaint::Vertex { pos, uv: texture(p), color });
    }
    mesh.add_triangle(first, first + 1, first + 2);
    mesh.add_triangle(first, first + 2, first + 3);
}

/// The colour of a board: its pack's lot a little apart from the next one's, and its own shade.
fn tint(palette: &Palette, pack: usize, seed: u32) -> Color32 {
    let pack = u32::try_from(pack).unwrap_or(0);
    let wood = palette.wood[wood::hash(pack, 5, 6) as usize % palette.wood.len()];
    let lot = 0.96 + 0.08 * wood::unit(wood::hash(pack, 7, 8));
    let own = 0.9 + 0.2 * wood::unit(wood::hash(seed, 9, 10));
    // The sheet darkens what it lies on; the colour makes up for it.
    let part = |value: u8| (f32::from(value) * lot * own * 1.12).min(255.0) as u8;
    Color32::from_rgb(part(wood.r()), part(wood.g()), part(wood.b()))
}

/// A four-cornered shape parted into as many pieces each way.
fn parted([a, b, c, d]: [Point; 4], pieces: usize) -> impl Iterator<Item = [Point; 4]> {
    let part = move |i: usize, j: usize| {
        let (t, u) = (i as f64 / pieces as f64, j as f64 / pieces as f64);
        a.lerp(b, t).lerp(d.lerp(c, t), u)
    };
    (0..pieces * pieces).map(move |n| {
        let (i, j) = (n / pieces, n % pieces);
        [part(i, j), part(i + 1, j), part(i + 1, j + 1), part(i, j + 1)]
    })
}

/// A flat shape at a height.
fn flat(mesh: &mut Mesh, eye: &Eye, rings: &[Vec<Point>], height: f64, color: Color32) {
    for [a, b, c, d] in trapezoids(rings) {
        let pieces = match eye {
            Eye::Above(_) => 1,
            Eye::Standing(..) => (a.distance(b).max(a.distance(d)) / 400.0).ceil().clamp(1.0, 40.0) as usize,
        };
        for quad in parted([a, b, c, d], pieces) {
            plain(mesh, quad.map(|p| eye.at(p, height)), color);
        }
    }
}

fn plain(mesh: &mut Mesh, corners: [Option<Pos2>; 4], color: Color32) {
    lit(mesh, corners, [color; 4]);
}

/// A flat piece whose corners have colours of their own.
fn lit(mesh: &mut Mesh, corners: [Option<Pos2>; 4], colors: [Color32; 4]) {
    let [Some(a), Some(b), Some(c), Some(d)] = corners else { return };
    let Ok(first) = u32::try_from(mesh.vertices.len()) else { return };
    for (corner, color) in [a, b, c, d].into_iter().zip(colors) {
        mesh.colored_vertex(corner, color);
    }
    mesh.add_triangle(first, first + 1, first + 2);
    mesh.add_triangle(first, first + 2, first + 3);
}

fn ceiling(mesh: &mut Mesh, eye: &Eye, camera: &Sight, outline: &[Point], color: Color32) {
    for [a, b, c, d] in trapezoids(&[outline.to_vec()]) {
        let pieces = (a.distance(b).max(a.distance(d)) / 600.0).ceil().clamp(1.0, 30.0) as usize;
        for quad in parted([a, b, c, d], pieces) {
            let colors = quad.map(|p| dimmed(color, 0.97 * far_light(camera.at.distance(p))));
            lit(mesh, quad.map(|p| eye.at(p, CEILING)), colors);
        }
    }
}

/// How much light is left at a distance, as in a hallway lit from where one stands.
fn far_light(distance: f64) -> f64 {
    1.0 - 0.3 * (distance / 12_000.0).min(1.0)
}

/// How light an upright face is at a point: darker towards the floor, and where it meets another wall.
fn face_light(height: f64, from_end: f64, distance: f64) -> f64 {
    let low = 0.9 + 0.1 * (height / 1400.0).min(1.0);
    let high = 1.0 - 0.05 * ((height - 1900.0) / 600.0).clamp(0.0, 1.0);
    let corner = 0.88 + 0.12 * (from_end / 450.0).min(1.0);
    low * high * corner * far_light(distance)
}

fn dimmed(color: Color32, light: f64) -> Color32 {
    let part = |value: u8| (f64::from(value) * light).clamp(0.0, 255.0) as u8;
    Color32::from_rgb(part(color.r()), part(color.g()), part(color.b()))
}

/// Something upright: a stretch of wall or of a fixture's side.
struct Upright {
    a: Point,
    b: Point,
    low: f64,
    high: f64,
    color: Color32,
}

/// Walls and fixtures, furthest first. From above: walls as they are cut, fixtures as they stand.
fn standing(plan: &Plan, eye: &Eye, palette: &Palette) -> Mesh {
    let mut mesh = Mesh::default();
    let Eye::Standing(camera, _) = eye else {
        for fixture in plan.fixtures.iter().filter(|fixture| height(fixture.kind) > 0.0) {
            flat(&mut mesh, eye, std::slice::from_ref(&fixture.outline), 0.0, palette.fixture);
        }
        return mesh;
    };
    let mut uprights = walls(plan, camera, palette);
    for fixture in &plan.fixtures {
        let high = height(fixture.kind);
        let count = fixture.outline.len();
        for i in 0..count {
            let (a, b) = (fixture.outline[i], fixture.outline[(i + 1) % count]);
            uprights.push(Upright { a, b, low: 0.0, high, color: shade(palette.fixture, a, b) });
        }
    }
    let mut parts: Vec<(f64, Mesh)> = Vec::new();
    for Upright { a, b, low, high, color } in uprights {
        let mut part = Mesh::default();
        let length = a.distance(b);
        let pieces = (length / 250.0).ceil().clamp(1.0, 60.0) as usize;
        let is_wall = high == CEILING && low == 0.0;
        // Bands from the floor up, each with its colour: skirting with its dark upper edge, then the wall.
        let edge = 14.0;
        let bands: &[(f64, f64, Color32)] = match is_wall {
            true => &[
                (0.0, SKIRTING, shade(palette.card, a, b)),
                (SKIRTING, SKIRTING + edge, shade(palette.rule, a, b)),
                (SKIRTING + edge, 1300.0, color),
                (1300.0, high, color),
            ],
            false => &[(low, high, color)],
        };
        for i in 0..pieces {
            let (t, u) = (i as f64 / pieces as f64, (i + 1) as f64 / pieces as f64);
            let (p, q) = (a.lerp(b, t), a.lerp(b, u));
            if camera.at.distance(p) > FAR {
                continue;
            }
            for (low, high, color) in bands {
                let light = |at: Point, along: f64, height: f64| {
                    let from_end = (along * length).min((1.0 - along) * length);
                    dimmed(*color, face_light(height, from_end, camera.at.distance(at)))
                };
                lit(
                    &mut part,
                    [eye.at(p, *low), eye.at(q, *low), eye.at(q, *high), eye.at(p, *high)],
                    [light(p, t, *low), light(q, u, *low), light(q, u, *high), light(p, t, *high)],
                );
            }
        }
        parts.push((camera.at.distance(a.lerp(b, 0.5)), part));
    }
    for fixture in plan.fixtures.iter().filter(|fixture| height(fixture.kind) > 0.0) {
        let mut part = Mesh::default();
        let outline = std::slice::from_ref(&fixture.outline);
        flat(&mut part, eye, outline, height(fixture.kind), palette.fixture);
        let near = fixture.outline.iter().map(|p| camera.at.distance(*p)).fold(f64::INFINITY, f64::min);
        // Its top lies over all its sides.
        parts.push((near - 1.0, part));
    }
    parts.sort_by(|a, b| b.0.total_cmp(&a.0));
    parts.into_iter().for_each(|(_, part)| mesh.append(part));
    mesh
}

/// The faces of walls that look towards the eye, doorways left open.
fn walls(plan: &Plan, camera: &Sight, palette: &Palette) -> Vec<Upright> {
    let mut found = Vec::new();
    for room in &plan.rooms {
        for wall in 0..room.walls.len() {
            let Some(((a, b), (along, away))) = room.wall_line(wall).zip(room.wall_axes(wall)) else {
                continue;
            };
            // The floor lies on the side that `away` points from.
            if (camera.at.x - a.x) * away.x + (camera.at.y - a.y) * away.y > 0.0 {
                continue;
            }
            let color = shade(palette.paper, a, b);
            let length = a.distance(b);
            let at = |d: f64| a.moved(along.x * d, along.y * d);
            let mut open: Vec<(f64, f64)> = openings(plan, room, wall, a, along, away, length);
            open.sort_by(|one, other| one.0.total_cmp(&other.0));
            let mut from = 0.0;
            for (start, end) in open {
                if start > from {
                    found.push(Upright { a: at(from), b: at(start), low: 0.0, high: CEILING, color });
                }
                found.push(Upright { a: at(start.max(from)), b: at(end), low: HEAD, high: CEILING, color });
                from = end.max(from);
            }
            if from < length {
                found.push(Upright { a: at(from), b: at(length), low: 0.0, high: CEILING, color });
            }
            // The skirting tells where the wall ends and the floor begins.
            found.retain(|upright| upright.a.distance(upright.b) > 1.0);
        }
    }
    // Sides of the openings through the walls.
    for doorway in &plan.doorways {
        let Some([a, b, c, d]) = doorway.throat(plan) else { continue };
        for (from, to) in [(b, c), (d, a)] {
            found.push(Upright {
                a: from,
                b: to,
                low: 0.0,
                high: HEAD,
                color: shade(palette.card, from, to),
            });
        }
    }
    found
}

/// Where a wall is open: its own doorways, and those of rooms on its other side.
fn openings(
    plan: &Plan,
    room: &plan::Room,
    wall: usize,
    a: Point,
    along: Point,
    away: Point,
    length: f64,
) -> Vec<(f64, f64)> {
    let on_wall = |p: Point| {
        ((p.x - a.x) * along.x + (p.y - a.y) * along.y, (p.x - a.x) * away.x + (p.y - a.y) * away.y)
    };
    let mut open = Vec::new();
    for doorway in &plan.doorways {
        if doorway.room == room.name && doorway.wall == wall {
            open.push((doorway.at, doorway.at + doorway.width));
            continue;
        }
        let Some(throat) = doorway.throat(plan) else { continue };
        // The far side of another room's doorway lies on this wall, or nearly.
        let near: Vec<f64> =
            throat.iter().map(|p| on_wall(*p)).filter(|(_, off)| off.abs() < 70.0).map(|(d, _)| d).collect();
        if let [one, other] = near.as_slice() {
            let (from, to) = (one.min(*other).max(0.0), one.max(*other).min(length));
            if to - from > 100.0 {
                open.push((from, to));
            }
        }
    }
    open
}

/// How high a fixture stands, mm: common practice, no source. What is let into the floor, or flush with it, does not.
fn height(kind: FixtureKind) -> f64 {
    match kind {
        FixtureKind::Island | FixtureKind::Kick { .. } => 900.0,
        FixtureKind::Column => CEILING,
        FixtureKind::Hearth => 60.0,
        FixtureKind::Stair { .. } => 0.0,
        FixtureKind::TileArea { .. } | FixtureKind::Vent => 2.0,
        FixtureKind::Rebate { .. } | FixtureKind::LowSpot { .. } => 0.0,
    }
}

/// A colour as light falls on an upright face that runs from a to b: faces of one direction are alike.
fn shade(color: Color32, a: Point, b: Point) -> Color32 {
    let turn = (b.y - a.y).atan2(b.x - a.x);
    let light = 0.86 + 0.1 * (turn * 2.0 + 0.6).cos();
    let part = |value: u8| (f64::from(value) * light) as u8;
    Color32::from_rgb(part(color.r()), part(color.g()), part(color.b()))
}
