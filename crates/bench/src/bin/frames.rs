//! Times the desk's own work for a frame, without a window: dragging a corner and the start line on the sample house, and
//! moving the view over 10 000 m². Prints a table; what the graphics driver takes is not counted.
//!
//! Floors are laid in the frame here, where the desk lays them on a thread of its own: the figures are upper bounds.
#![allow(clippy::print_stdout)]

use desk::{Desk, Setup};
use egui::{Context, Event, Modifiers, PointerButton, Pos2, RawInput, Rect, Vec2, pos2, vec2};
use plan::{Plan, Point};
use startrow_bench::{floors, sample};
use std::time::{Duration, Instant};

const SIZE: Vec2 = vec2(1600.0, 1000.0);
/// Frames of a gesture.
const FRAMES: usize = 120;
/// Frames in which everything comes to rest.
const REST: usize = 12;
/// What a frame may take of our own, ms.
const LIMIT: f64 = 8.0;

/// A desk and the context it is shown in.
struct Table {
    ctx: Context,
    desk: Desk,
    time: f64,
}

impl Table {
    fn of(plan: Plan) -> Self {
        let ctx = Context::default();
        // Fonts are in place one frame later.
        ctx.run_ui(RawInput::default(), |_| {}).textures_delta.clear();
        let setup = Setup { plan: Some(plan), synchronous: true, ..Setup::default() };
        let desk = Desk::new(&ctx, setup);
        let mut table = Self { ctx, desk, time: 0.0 };
        for _ in 0..REST {
            table.frame(Vec::new());
        }
        table
    }

    /// One frame: how long it took up to the triangles, and whether another is asked for at once.
    fn frame(&mut self, events: Vec<Event>) -> (Duration, bool) {
        self.time += 1.0 / 60.0;
        let input = RawInput {
            screen_rect: Some(Rect::from_min_size(Pos2::ZERO, SIZE)),
            time: Some(self.time),
            focused: true,
            events,
            ..RawInput::default()
        };
        let begun = Instant::now();
        let mut output = self.ctx.run_ui(input, |ui| self.desk.show(ui));
        let triangles = self.ctx.tessellate(std::mem::take(&mut output.shapes), output.pixels_per_point);
        std::hint::black_box(triangles);
        let took = begun.elapsed();
        // No card is there to take them.
        output.textures_delta.clear();
        let again = output
            .viewport_output
            .values()
            .any(|viewport| viewport.repaint_delay < Duration::from_secs(3600));
        (took, again)
    }

    fn button(pos: Pos2, button: PointerButton, pressed: bool) -> Event {
        Event::PointerButton { pos, button, pressed, modifiers: Modifiers::NONE }
    }

    /// Drags from a place on the screen, to and fro, and gives what each frame took, ms.
    fn drag(&mut self, from: Pos2, by: Vec2, button: PointerButton) -> Vec<f64> {
        self.frame(vec![Event::PointerMoved(from)]);
        self.frame(vec![Self::button(from, button, true)]);
        let took = (1..=FRAMES).map(|i| {
            let turn = std::f32::consts::TAU * i as f32 / FRAMES as f32;
            let at = from + by * turn.sin();
            self.frame(vec![Event::PointerMoved(at)]).0.as_secs_f64() * 1000.0
        });
        let took = took.collect();
        self.frame(vec![Self::button(from, button, false)]);
        for _ in 0..REST {
            self.frame(Vec::new());
        }
        took
    }

    /// Frames that ask for another one although nothing happens.
    fn restless(&mut self) -> usize {
        (0..60).filter(|_| self.frame(Vec::new()).1).count()
    }
}

fn main() {
    println!("| floor | what | median, ms | 95 of 100, ms | worst, ms | over {LIMIT} ms |");
    println!("| --- | --- | ---: | ---: | ---: | ---: |");
    let mut table = Table::of(sample());
    let corner = table.desk.plan().rooms[1].walls[0].corner;
    let at = table.desk.screen_from_plan(corner);
    let took = table.drag(at, vec2(18.0, 9.0), PointerButton::Primary);
    row("sample house, 140 m²", "dragging a corner", took);
    let line = table
        .desk
        .house()
        .and_then(|house| house.setout.line.as_ref())
        .map(|line| line.from.lerp(line.to, 0.3));
    if let Some(line) = line {
        let at = table.desk.screen_from_plan(line);
        row(
            "sample house, 140 m²",
            "dragging the start line",
            table.drag(at, vec2(0.0, 14.0), PointerButton::Primary),
        );
    }
    let middle = table.desk.screen_from_plan(Point::new(6000.0, 4800.0));
    row(
        "sample house, 140 m²",
        "moving the view",
        table.drag(middle, vec2(60.0, 30.0), PointerButton::Middle),
    );
    let restless = table.restless();
    let mut large = Table::of(floors::hall(10_000.0));
    let middle = pos2(500.0, 350.0);
    row("hall, 10 000 m²", "moving the view", large.drag(middle, vec2(60.0, 30.0), PointerButton::Middle));
    println!();
    println!("Frames asked for while nothing happens: {} of 120", restless + large.restless());
}

fn row(floor: &str, what: &str, mut took: Vec<f64>) {
    took.sort_by(f64::total_cmp);
    let part = |share: f64| took.get(((took.len() as f64 - 1.0) * share) as usize).copied().unwrap_or(0.0);
    let over = took.iter().filter(|ms| **ms > LIMIT).count();
    println!(
        "| {floor} | {what} | {:.1} | {:.1} | {:.1} | {over} of {} |",
        part(0.5),
        part(0.95),
        part(1.0),
        took.len()
    );
}
