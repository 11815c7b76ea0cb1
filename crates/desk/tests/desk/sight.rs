//! What is out of sight or too small to be seen is not drawn, and what waits for the next frame comes.
//!
//! By a context without a screen reader, as most windows are: where one is at work everything is laid out.

use crate::hands::one_room;
use egui::epaint::Primitive;
use egui::{Context, Event, FullOutput, Pos2, RawInput, Rect, Vec2, pos2, vec2};
use plan::{Plan, Point, Room};
use startrow_desk::{Desk, Setup};

const WINDOW: Vec2 = vec2(1400.0, 900.0);

struct Table {
    ctx: Context,
    desk: Desk,
    time: f64,
}

impl Table {
    fn of(plan: Plan, synchronous: bool) -> Self {
        let ctx = Context::default();
        ctx.run_ui(RawInput::default(), |_| {}).textures_delta.clear();
        let desk = Desk::new(&ctx, Setup { plan: Some(plan), synchronous, ..Setup::default() });
        let mut table = Self { ctx, desk, time: 0.0 };
        table.rest();
        table
    }

    fn frame(&mut self, events: Vec<Event>) -> FullOutput {
        self.time += 0.02;
        let screen_rect = Some(Rect::from_min_size(Pos2::ZERO, WINDOW));
        let input =
            RawInput { screen_rect, time: Some(self.time), focused: true, events, ..RawInput::default() };
        let mut output = self.ctx.run_ui(input, |ui| self.desk.show(ui));
        // No card is there to take them.
        output.textures_delta.clear();
        output
    }

    /// Frames until nothing is asked for any more; the last of them.
    fn rest(&mut self) -> FullOutput {
        let mut quiet = 0;
        for _ in 0..2000 {
            let output = self.frame(Vec::new());
            let mut views = output.viewport_output.values();
            let again = views.any(|view| view.repaint_delay.as_secs() < 3600) || self.desk.is_busy();
            quiet = if again { 0 } else { quiet + 1 };
            if quiet > 5 {
                return output;
            }
            if self.desk.is_busy() {
                std::thread::sleep(std::time::Duration::from_millis(5));
            }
        }
        panic!("the desk does not come to rest");
    }

    fn zoom(&mut self, at: Pos2, factor: f32) {
        self.frame(vec![Event::PointerMoved(at)]);
        self.frame(vec![Event::Zoom(factor)]);
    }

    /// Corners of triangles of the floor now: those whose clip is the table's.
    fn corners(&mut self) -> Vec<(i32, i32)> {
        let output = self.rest();
        let table = self.table();
        let parts = self.ctx.tessellate(output.shapes, output.pixels_per_point);
        let of_table = parts.iter().filter(|part| (part.clip_rect.size() - table.size()).length() < 2.0);
        let meshes = of_table.filter_map(|part| match &part.primitive {
            Primitive::Mesh(mesh) => Some(mesh),
            Primitive::Callback(_) => None,
        });
        // To an eighth of a point: what differs by less is seen by nobody.
        let rounded = |at: Pos2| ((at.x * 8.0).round() as i32, (at.y * 8.0).round() as i32);
        meshes.flat_map(|mesh| mesh.vertices.iter().map(move |vertex| rounded(vertex.pos))).collect()
    }

    fn table(&self) -> Rect {
        self.ctx.read_response(egui::Id::unique("startrow canvas")).expect("a table").rect
    }
}

/// So many rooms of the same size across and up, none joined to another.
fn many(count: usize) -> Plan {
    let mut plan = one_room();
    for place in 1..count * count {
        let (x, y) = ((place % count) as f64 * 5000.0, (place / count) as f64 * 4000.0);
        let corners = [(0.0, 0.0), (4000.0, 0.0), (4000.0, 3000.0), (0.0, 3000.0)];
        let corners: Vec<Point> = corners.iter().map(|(dx, dy)| Point::new(x + dx, y + dy)).collect();
        plan.rooms.push(Room::boarded(format!("Room {}", place + 1), corners));
    }
    plan
}

#[test]
fn a_floor_seen_from_afar_is_drawn_with_less_than_its_boards() {
    let mut block = Table::of(many(8), true);
    let boards = block.desk.house().expect("a house").floor.boards.len();
    assert!(boards > 1600, "{boards}");
    let middle = block.table().center();
    block.zoom(middle, 0.5);
    let afar = block.corners().len();
    // A board alone has four corners, its joints more.
    assert!(afar < 4 * boards, "{afar} corners for {boards} boards");
    // Near, only what is in sight: no more than the same room alone would have, and its neighbours' edges.
    let room = block.desk.plan().rooms[36].walls[0].corner.moved(2000.0, 1500.0);
    while block.desk.screen_from_plan(Point::new(4000.0, 0.0)).x
        - block.desk.screen_from_plan(Point::default()).x
        < 700.0
    {
        let at = block.desk.screen_from_plan(room);
        block.zoom(at, 1.25);
    }
    let near = block.corners().len();
    let mut alone = Table::of(one_room(), true);
    let scale = |table: &Table| {
        table.desk.screen_from_plan(Point::new(1000.0, 0.0)).x
            - table.desk.screen_from_plan(Point::default()).x
    };
    let middle = alone.table().center();
    let factor = scale(&block) / scale(&alone);
    alone.zoom(middle, factor);
    let of_one = alone.corners().len();
    // The squares in which parts are found reach a room or two beyond the view.
    assert!(near < 12 * of_one, "{near} corners near, {of_one} of one room alone, {boards} boards in all");
}

#[test]
fn what_waits_for_a_later_frame_comes_and_is_the_same() {
    let (mut at_once, mut later) = (Table::of(many(4), true), Table::of(many(4), false));
    for table in [&mut at_once, &mut later] {
        let at = pos2(500.0, 300.0);
        for _ in 0..9 {
            table.zoom(at, 1.13);
        }
    }
    let sorted = |table: &mut Table| {
        let mut corners = table.corners();
        corners.sort_unstable();
        corners
    };
    let (one, other) = (sorted(&mut at_once), sorted(&mut later));
    assert!(one.len() > 5000, "joints are shown: {}", one.len());
    assert_eq!(one.len(), other.len());
    let alike = one.iter().zip(&other).filter(|(a, b)| a == b).count();
    assert!(alike * 100 > one.len() * 99, "{alike} of {}", one.len());
}
