//! Times the desk's own work for a frame, without a window: everything up to the triangles, in three parts. Logic is the
//! panels, tools and what of the stages runs in the frame; shapes is laying the floor's drawing out and turning it into
//! shapes; triangles is the window library's tessellation. What the graphics driver takes is not counted.
//!
//!     cargo run --release -p startrow-bench --bin frames                    # every gesture, as a table
//!     cargo run --release -p startrow-bench --bin frames -- line hall       # those whose words hold `line` or `hall`
//!     cargo run --release -p startrow-bench --bin frames -- --gate          # fails where a frame took over 8 ms
//!
//! Where the system tells it, time is that of the window's own thread on the processor, so that other work on the machine
//! does not count; else it is the clock's. Floors that take long are laid on a thread of their own, as in the window, and
//! frames come at 120 a second.
#![allow(clippy::print_stdout)]

use desk::{Command, Desk, Setup};
use egui::{Context, Event, Key, Modifiers, PointerButton, Pos2, RawInput, Rect, Vec2, pos2, vec2};
use plan::{Plan, Point};
use startrow_bench::{floors, sample};
use std::process::ExitCode;
use std::time::{Duration, Instant};

const SIZE: Vec2 = vec2(1600.0, 1000.0);
/// Frames of a gesture.
const FRAMES: usize = 120;
/// Frames in which everything comes to rest.
const REST: usize = 12;
/// Between frames: 120 a second.
const PACE: Duration = Duration::from_micros(8333);
/// What a frame may take of our own, ms.
const LIMIT: f64 = 8.0;

/// What one frame took, ms.
#[derive(Debug, Clone, Copy, Default)]
struct Took {
    /// Of the logic what was spent in the stages.
    floor: f64,
    logic: f64,
    shapes: f64,
    triangles: f64,
}

impl Took {
    fn all(&self) -> f64 {
        self.logic + self.shapes + self.triangles
    }
}

/// Time of this thread on the processor.
#[cfg(unix)]
fn now() -> Duration {
    let now = rustix::time::clock_gettime(rustix::time::ClockId::ThreadCPUTime);
    Duration::new(now.tv_sec.try_into().unwrap_or(0), now.tv_nsec.try_into().unwrap_or(0))
}

#[cfg(not(unix))]
fn now() -> Duration {
    static BEGUN: std::sync::OnceLock<Instant> = std::sync::OnceLock::new();
    BEGUN.get_or_init(Instant::now).elapsed()
}

/// A desk and the context it is shown in.
struct Table {
    ctx: Context,
    desk: Desk,
    time: f64,
    due: Instant,
}

impl Table {
    fn of(plan: Plan) -> Self {
        let ctx = Context::default();
        // Fonts are in place one frame later.
        ctx.run_ui(RawInput::default(), |_| {}).textures_delta.clear();
        let setup = Setup { plan: Some(plan), clock: Some(now), ..Setup::default() };
        let desk = Desk::new(&ctx, setup);
        let mut table = Self { ctx, desk, time: 0.0, due: Instant::now() };
        table.rest();
        table
    }

    /// Frames until nothing is asked for any more and the floor is the plan's.
    fn rest(&mut self) {
        let begun = Instant::now();
        let mut quiet = 0;
        while quiet < REST && begun.elapsed() < Duration::from_secs(60) {
            let (_, again) = self.frame(Vec::new());
            quiet = if again || self.desk.is_busy() { 0 } else { quiet + 1 };
        }
    }

    /// One frame: what it took up to the triangles, and whether another is asked for at once.
    fn frame(&mut self, events: Vec<Event>) -> (Took, bool) {
        std::thread::sleep(self.due.saturating_duration_since(Instant::now()));
        self.due = (self.due + PACE).max(Instant::now());
        self.time += PACE.as_secs_f64();
        let input = RawInput {
            screen_rect: Some(Rect::from_min_size(Pos2::ZERO, SIZE)),
            time: Some(self.time),
            focused: true,
            events,
            ..RawInput::default()
        };
        let ms = |from: Duration, to: Duration| to.saturating_sub(from).as_secs_f64() * 1000.0;
        let begun = now();
        let mut output = self.ctx.run_ui(input, |ui| self.desk.show(ui));
        let shown = now();
        let triangles = self.ctx.tessellate(std::mem::take(&mut output.shapes), output.pixels_per_point);
        let done = now();
        std::hint::black_box(triangles);
        let spent = self.desk.spent();
        let shapes = spent.picture.as_secs_f64() * 1000.0;
        let took = Took {
            floor: spent.floor.as_secs_f64() * 1000.0,
            logic: ms(begun, shown) - shapes,
            shapes,
            triangles: ms(shown, done),
        };
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

    fn key(&mut self, key: Key) -> Took {
        let event = |pressed| Event::Key {
            key,
            physical_key: None,
            pressed,
            repeat: false,
            modifiers: Modifiers::NONE,
        };
        self.frame(vec![event(true), event(false)]).0
    }

    /// Drags from a place on the screen, to and fro.
    fn drag(&mut self, from: Pos2, by: Vec2, button: PointerButton) -> Vec<Took> {
        self.frame(vec![Event::PointerMoved(from)]);
        self.frame(vec![Event::PointerMoved(from)]);
        let mut took = vec![self.frame(vec![Self::button(from, button, true)]).0];
        for i in 1..=FRAMES {
            let turn = std::f32::consts::TAU * i as f32 / FRAMES as f32;
            took.push(self.frame(vec![Event::PointerMoved(from + by * turn.sin())]).0);
        }
        took.push(self.frame(vec![Self::button(from, button, false)]).0);
        took.extend((0..REST).map(|_| self.frame(Vec::new()).0));
        self.rest();
        took
    }

    /// A drag of something of the plan, which must follow.
    fn drag_thing(&mut self, from: Pos2, by: Vec2) -> Vec<Took> {
        let before = self.desk.undo_name().map(str::to_owned);
        let plan = self.desk.plan().clone();
        // Where it ends is not where it began, or no step would be left.
        let mut took = self.drag(from, by, PointerButton::Primary);
        self.frame(vec![Event::PointerMoved(from)]);
        self.frame(vec![Self::button(from, PointerButton::Primary, true)]);
        for i in 1..=20 {
            took.push(self.frame(vec![Event::PointerMoved(from + by * (i as f32 / 20.0))]).0);
        }
        took.push(self.frame(vec![Self::button(from + by, PointerButton::Primary, false)]).0);
        self.rest();
        if *self.desk.plan() == plan {
            println!(
                "nothing followed the drag from {from:?}, after {before:?}: the next figures are of a drag of nothing"
            );
        }
        self.desk.run(&self.ctx, Command::Undo);
        self.desk.run(&self.ctx, Command::BackOut);
        self.rest();
        took
    }

    /// Turns the wheel over a place, in and out again.
    fn zoom(&mut self, at: Pos2) -> Vec<Took> {
        self.frame(vec![Event::PointerMoved(at)]);
        let took = (0..FRAMES).map(|i| {
            let factor = if i < FRAMES / 2 { 1.03 } else { 1.0 / 1.03 };
            self.frame(vec![Event::Zoom(factor)]).0
        });
        let took = took.collect();
        self.rest();
        took
    }

    /// Moves the pointer over the floor without a button.
    fn hover(&mut self, from: Pos2, by: Vec2) -> Vec<Took> {
        let took = (0..FRAMES).map(|i| {
            let at = from + by * (i as f32 / FRAMES as f32);
            self.frame(vec![Event::PointerMoved(at)]).0
        });
        let took = took.collect();
        self.rest();
        took
    }

    /// A command, and the frames until all it asked for is done.
    fn command(&mut self, command: Command) -> Vec<Took> {
        let begun = now();
        self.desk.run(&self.ctx, command);
        let asked = now().saturating_sub(begun).as_secs_f64() * 1000.0;
        let mut took = Vec::new();
        for _ in 0..FRAMES {
            took.push(self.frame(Vec::new()).0);
        }
        took[0].logic += asked;
        self.rest();
        took
    }

    /// Frames that ask for another one although nothing happens.
    fn restless(&mut self) -> usize {
        (0..60).filter(|_| self.frame(Vec::new()).1).count()
    }
}

/// What was measured.
struct Report {
    wanted: Vec<String>,
    over: usize,
}

impl Report {
    fn wants(&self, floor: &str, what: &str) -> bool {
        let words = format!("{floor}, {what}");
        self.wanted.is_empty() || self.wanted.iter().any(|wanted| words.contains(wanted.as_str()))
    }

    fn row(&mut self, floor: &str, what: &str, measure: impl FnOnce() -> Vec<Took>) {
        if !self.wants(floor, what) {
            return;
        }
        let took = measure();
        let part = |of: &dyn Fn(&Took) -> f64, share: f64| {
            let mut all: Vec<f64> = took.iter().map(of).collect();
            all.sort_by(f64::total_cmp);
            all.get(((all.len() as f64 - 1.0) * share).round() as usize).copied().unwrap_or(0.0)
        };
        let over = took.iter().filter(|took| took.all() > LIMIT).count();
        self.over += over;
        let all = |took: &Took| took.all();
        let worst = took.iter().max_by(|a, b| a.all().total_cmp(&b.all())).copied().unwrap_or_default();
        println!(
            "| {floor} | {what} | {:.1} | {:.1} | {:.1} | {:.1} | {:.1} + {:.1} + {:.1} | {:.1} | {over} of {} |",
            part(&all, 0.0),
            part(&all, 0.5),
            part(&all, 0.99),
            worst.all(),
            worst.logic,
            worst.shapes,
            worst.triangles,
            worst.floor,
            took.len()
        );
    }
}

fn main() -> ExitCode {
    let (flags, wanted): (Vec<String>, Vec<String>) =
        std::env::args().skip(1).partition(|word| word.starts_with("--"));
    let mut report = Report { wanted, over: 0 };
    println!(
        "| floor | what | least, ms | median | 99 of 100 | most | of the most: logic + shapes + triangles | of it stages | over {LIMIT} ms |"
    );
    println!("| --- | --- | ---: | ---: | ---: | ---: | ---: | ---: | ---: |");
    let mut restless = 0;
    restless += house(&mut report);
    restless += large(&mut report);
    println!();
    println!("Frames asked for while nothing happens: {restless}");
    println!("Frames over {LIMIT} ms: {}", report.over);
    let gated = flags.iter().any(|flag| flag == "--gate");
    if gated && (report.over > 0 || restless > 0) { ExitCode::FAILURE } else { ExitCode::SUCCESS }
}

/// The sample house; frames asked for at rest.
fn house(report: &mut Report) -> usize {
    let floor = "house, 140 m²";
    let whats = [
        "drag a corner",
        "drag a wall",
        "drag the start line",
        "drag the line, every step open",
        "move the view",
        "widen the view",
        "point at boards",
        "point at the curve",
        "mends of a flag",
        "two side by side",
        "owner's view from above",
        "owner's view, walk",
        "lay board by board",
        "open every step",
    ];
    if !whats.iter().any(|what| report.wants(floor, what)) {
        return 0;
    }
    let mut table = Table::of(sample());
    let screen = |table: &Table, p: Point| table.desk.screen_from_plan(p);
    let corner = table.desk.plan().rooms[1].walls[0].corner;
    let at = screen(&table, corner);
    report.row(floor, whats[0], || table.drag_thing(at, vec2(18.0, 9.0)));
    let wall = table.desk.plan().rooms[0].wall_line(0).map(|(a, b)| a.lerp(b, 0.41));
    if let Some(wall) = wall {
        let at = screen(&table, wall);
        report.row(floor, whats[1], || table.drag_thing(at, vec2(14.0, 14.0)));
    }
    let line = |table: &Table| {
        let line = table.desk.house()?.setout.line.as_ref()?;
        Some(line.from.lerp(line.to, 0.3))
    };
    if let Some(line) = line(&table) {
        let at = screen(&table, line);
        report.row(floor, whats[2], || table.drag_thing(at, vec2(0.0, 14.0)));
        table.desk.run(&table.ctx, Command::OpenAllSteps);
        table.rest();
        report.row(floor, whats[3], || table.drag_thing(at, vec2(0.0, 14.0)));
        table.desk.run(&table.ctx, Command::CloseAllSteps);
        table.rest();
    }
    let middle = screen(&table, Point::new(6000.0, 4800.0));
    report.row(floor, whats[4], || table.drag(middle, vec2(60.0, 30.0), PointerButton::Middle));
    report.row(floor, whats[5], || table.zoom(middle));
    table.desk.run(&table.ctx, Command::Fit);
    report.row(floor, whats[6], || table.hover(middle, vec2(200.0, 90.0)));
    report.row(floor, whats[7], || table.hover(pos2(300.0, 900.0), vec2(500.0, 20.0)));
    table.desk.run(&table.ctx, Command::NextFlag);
    table.rest();
    report.row(floor, whats[8], || table.command(Command::TryMends));
    table.desk.run(&table.ctx, Command::BackOut);
    report.row(floor, whats[9], || {
        let mut took = table.command(Command::SideBySide);
        took.extend(table.drag(middle, vec2(60.0, 30.0), PointerButton::Middle));
        took.extend(table.command(Command::SideBySide));
        table.desk.run(&table.ctx, Command::BackOut);
        took
    });
    report.row(floor, whats[10], || {
        let mut took = table.command(Command::OwnersView);
        took.extend(table.drag(middle, vec2(60.0, 30.0), PointerButton::Middle));
        table.desk.run(&table.ctx, Command::BackOut);
        took
    });
    report.row(floor, whats[11], || {
        table.desk.run(&table.ctx, Command::OwnersView);
        let mut took = table.command(Command::OwnersView);
        for key in [Key::ArrowUp, Key::ArrowLeft, Key::ArrowUp, Key::ArrowRight] {
            took.extend((0..12).map(|_| table.key(key)));
        }
        table.desk.run(&table.ctx, Command::BackOut);
        took
    });
    report.row(floor, whats[12], || {
        let mut took = table.command(Command::NextBoard);
        took.extend((0..FRAMES).map(|_| table.key(Key::Period)));
        table.desk.run(&table.ctx, Command::WholeFloor);
        took
    });
    report.row(floor, whats[13], || table.command(Command::OpenAllSteps));
    table.rest();
    table.restless()
}

/// Large floors; frames asked for at rest.
fn large(report: &mut Report) -> usize {
    let mut restless = 0;
    for (floor, area) in [("hall, 10 000 m²", 10_000.0), ("block, 10 000 m²", 10_000.0)] {
        let whats =
            ["move the whole", "move it near", "widen the view", "point at boards", "drag the start line"];
        if !whats.iter().any(|what| report.wants(floor, what)) {
            continue;
        }
        let plan = if floor.starts_with("hall") { floors::hall(area) } else { floors::block(area) };
        let mut large = Table::of(plan);
        let middle = pos2(500.0, 350.0);
        report.row(floor, whats[0], || large.drag(middle, vec2(60.0, 30.0), PointerButton::Middle));
        report.row(floor, whats[2], || large.zoom(middle));
        report.row(floor, whats[3], || large.hover(middle, vec2(200.0, 90.0)));
        large.frame(vec![Event::PointerMoved(middle)]);
        for _ in 0..30 {
            // As near as boards show their joints.
            let near = Event::Zoom(1.07);
            large.frame(vec![near]);
        }
        large.rest();
        report.row(floor, whats[1], || large.drag(middle, vec2(120.0, 60.0), PointerButton::Middle));
        large.desk.run(&large.ctx, Command::Fit);
        large.rest();
        let line = large.desk.house().and_then(|house| house.setout.line.as_ref());
        if let Some(line) = line.map(|line| line.from.lerp(line.to, 0.31)) {
            let at = large.desk.screen_from_plan(line);
            report.row(floor, whats[4], || large.drag(at, vec2(0.0, 14.0), PointerButton::Primary));
        }
        restless += large.restless();
    }
    restless
}
