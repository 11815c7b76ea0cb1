//! The first steps: a short walk through the job that watches what is really done, can be left at any time, and is found
//! again among the commands.

mod step;

use crate::canvas::{Span, View};
use crate::command::Command;
use crate::palette::{Palette, strong_font, text_font};
use crate::select::Selected;
use egui::{
    Area, Context, Frame, Id, LayerId, Margin, Order, Pos2, Rect, RichText, ScrollArea, Stroke, Ui, Vec2,
    vec2,
};
use pipeline::House;
use plan::{Plan, Room};
use std::sync::Arc;
pub(crate) use step::{Floor, State};
use step::{Step, Walk};

/// Width of the card, points.
const WIDTH: f32 = 292.0;
/// About how large the card is, open and folded, points.
const OPEN: Vec2 = vec2(WIDTH + 28.0, 190.0);
const FOLDED: Vec2 = vec2(470.0, 36.0);
/// The card folds of itself where the floor beside the line is so much larger than beside the open card.
const LARGER: f64 = 1.35;

/// What is watched.
pub(crate) struct Seen<'a> {
    pub(crate) plan: &'a Arc<Plan>,
    /// The floor of that plan, once it is laid.
    pub(crate) house: Option<&'a House>,
    pub(crate) selected: Selected,
    /// Whether the pages are on show.
    pub(crate) sheets: bool,
}

/// How things stood when a step began.
struct Before {
    plan: Arc<Plan>,
    flags: Option<usize>,
}

/// How the card lies on the table.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
enum Shape {
    /// With its words.
    #[default]
    Open,
    /// A line with the step's name.
    Line,
}

/// What was pressed on the card.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Pressed {
    GoOn,
    Leave,
    Fold(Shape),
}

/// The walk, under way or not.
#[derive(Default)]
pub(crate) struct FirstSteps {
    at: Option<Step>,
    walk: Walk,
    before: Option<Before>,
    /// A mend was carried out since the step began.
    pub(crate) has_mended: bool,
    /// Where the card lies on the screen.
    pub(crate) place: Option<Rect>,
    /// The step, the thing spoken of and the number of rooms for which it was put there.
    put_for: Option<(Step, Selected, usize)>,
    /// The corner it was put in, and how large the table was.
    put: Option<(Pos2, Vec2)>,
    /// Frames in which it is still placed anew after the table has got another size.
    settling: u8,
    /// Whether the hand has folded it or opened it; what it opens on a small table it opens for one step.
    by_hand: Option<Shape>,
    /// How it lies of itself, and for what size of the table and how many rooms that was found.
    own: Shape,
    own_for: Option<(Vec2, usize)>,
    /// The largest that the card has been, for which the table leaves room, and the corner that it left.
    largest: Vec2,
    corner: Option<Pos2>,
    /// Its size is known: before its first frame the window library takes it for far larger, and moves it by that.
    is_measured: bool,
}

/// What lies on the table that the card is to keep off.
pub(crate) struct OnTable<'a> {
    pub(crate) plan: &'a Plan,
    pub(crate) selected: Selected,
    /// Where what is selected lies on the screen.
    pub(crate) thing: Option<Rect>,
    /// Where the rooms lie on the screen.
    pub(crate) rooms: Vec<Rect>,
    /// The corner that the whole floor leaves to the card.
    pub(crate) corner: Option<Pos2>,
}

/// Frames after the table has got another size in which the card is placed anew: what lies on it follows a frame later.
const SETTLING: u8 = 3;

impl FirstSteps {
    pub(crate) fn is_open(&self) -> bool {
        self.at.is_some()
    }

    /// What the table leaves room for beside a whole floor: the largest the card has been, so that the floor does not move
    /// with each step.
    pub(crate) fn wants(&self) -> Option<Vec2> {
        (self.is_open() && self.largest != Vec2::ZERO).then_some(self.largest)
    }

    fn shape(&self) -> Shape {
        self.by_hand.unwrap_or(self.own)
    }

    /// Takes the shape that leaves the floor its size: beside an open card on a small table it would be small, or lie under it.
    fn shape_for(&mut self, table: Rect, on: &OnTable<'_>) {
        let now = (table.size(), on.rooms.len());
        if self.own_for.replace(now) == Some(now) {
            return;
        }
        let rooms: Vec<Span> = on.plan.rooms.iter().filter_map(Span::of_room).collect();
        let scale = |card: Vec2| {
            let mut view = View { rect: table, ..View::default() };
            let card = card.min(table.size() - Vec2::splat(60.0));
            view.fit_beside(Span::of_plan(on.plan)?, card, &rooms).map(|_| view.scale)
        };
        // Where nothing is drawn it covers nothing.
        let own = match scale(OPEN) {
            _ if rooms.is_empty() => Shape::Open,
            Some(open) if scale(FOLDED).is_none_or(|folded| folded <= LARGER * open) => Shape::Open,
            _ => Shape::Line,
        };
        if own != self.own {
            self.own = own;
            self.largest = Vec2::ZERO;
            self.place_anew();
        }
    }

    /// The card has got another size: its corner is looked for again.
    fn place_anew(&mut self) {
        (self.place, self.put_for, self.put, self.corner) = (None, None, None, None);
    }

    fn fold(&mut self, shape: Shape) {
        self.by_hand = Some(shape);
        self.place_anew();
    }

    /// Begins at the first step: over the floor that is there, or of drawing a house where there is none.
    pub(crate) fn begin(&mut self, plan: &Plan) {
        let walk = if plan.rooms.is_empty() { Walk::OwnHouse } else { Walk::Floor };
        *self = Self { at: walk.steps().first().copied(), walk, ..Self::default() };
    }

    pub(crate) fn leave(&mut self) {
        *self = Self::default();
    }

    /// Goes on where the step that is waited for has been done.
    pub(crate) fn watch(&mut self, seen: &Seen<'_>) {
        let Some(at) = self.at else { return };
        let flags = seen.house.map(|house| house.flags.len());
        let before = self.before.get_or_insert_with(|| Before { plan: seen.plan.clone(), flags });
        before.flags = before.flags.or(flags);
        let is_done = match at {
            Step::PickRoom => seen.selected.room().is_some(),
            // A length with which the house no longer fits is not the end of it.
            Step::TypeLength => seen.house.is_some() && lengths(seen.plan) != lengths(&before.plan),
            Step::MoveLine => seen.plan.start_line != before.plan.start_line,
            Step::ReadFlag => matches!(seen.selected, Selected::Flag(_)),
            // By whatever way: a mend was done, or fewer flags stand than when it was begun.
            Step::Mend => self.has_mended || flags.zip(before.flags).is_some_and(|(now, then)| now < then),
            Step::LookAtSheets => seen.sheets,
            Step::DrawRoom | Step::RoomBehind => seen.plan.rooms.len() > before.plan.rooms.len(),
            Step::NameRoom => is_renamed(seen.plan, &before.plan),
            Step::OpenDoorway => seen.plan.doorways.len() > before.plan.doorways.len(),
            Step::StandFixture => seen.plan.fixtures.len() > before.plan.fixtures.len(),
            Step::Through => false,
        };
        if is_done {
            self.go_on();
        }
    }

    fn go_on(&mut self) {
        self.at = self.at.map(|step| self.walk.after(step));
        self.before = None;
        self.has_mended = false;
        // The next step is done on the floor that the words lay over.
        if self.own == Shape::Line && self.by_hand == Some(Shape::Open) {
            self.by_hand = None;
            self.place_anew();
        }
    }

    /// Where the card goes: it stays where it is while it covers nothing of what it speaks of, else it goes to the corner of
    /// the table where it covers least.
    fn corner(&mut self, at: Step, table: Rect, on: &OnTable<'_>) -> Option<Pos2> {
        let guessed = match self.shape() {
            Shape::Open => OPEN,
            Shape::Line => FOLDED,
        };
        let size = self.place.map_or(guessed, |place| place.size());
        let covers = |card: Rect| {
            let common = |thing: Rect| {
                let common = thing.intersect(card);
                if common.is_positive() { common.area() } else { 0.0 }
            };
            // Writing keeps clear of the card by itself, so it says nothing of where that would be better.
            let rooms: f32 = on.rooms.iter().map(|room| common(*room)).sum();
            // What is spoken of counts most, with what stands close about it.
            rooms + on.thing.map_or(0.0, |thing| 40.0 * common(thing.expand(16.0)))
        };
        let is_new = self.put_for.is_none_or(|(step, selected, _)| step != at || selected != on.selected);
        let is_in_the_way =
            self.place.is_some_and(|card| on.thing.is_some_and(|thing| thing.intersects(card)));
        // A table of another size has other corners; where the hand has put it, it stays.
        let is_other_size = self.put.is_some_and(|(_, size)| size != table.size());
        self.settling = if is_other_size { SETTLING } else { self.settling.saturating_sub(1) };
        let is_left_alone = self.put.is_none_or(|(corner, _)| {
            self.settling == 0 || self.place.is_none_or(|card| card.min.distance(corner) > 1.5)
        });
        let is_next = self.put_for.is_none_or(|(step, _, rooms)| step != at || rooms != on.rooms.len());
        let is_placed = self.place.is_some() && self.is_measured;
        // Where the floor leaves it a corner it has that, unless what is spoken of lies there.
        let fits = self.shape() == self.own;
        if self.corner != on.corner && fits {
            self.corner = on.corner;
            if let Some(corner) = on.corner.filter(|_| is_placed && is_left_alone) {
                self.put_for = Some((at, on.selected, on.rooms.len()));
                self.put = Some((corner, table.size()));
                return Some(corner);
            }
        }
        if is_placed && !is_next && !(is_new && is_in_the_way) && is_left_alone {
            return None;
        }
        self.put_for = Some((at, on.selected, on.rooms.len()));
        let corners = View { rect: table, ..View::default() }.corners_for(size);
        // The first of equals.
        let cost = |corner: &Pos2| covers(Rect::from_min_size(*corner, size));
        let corner = corners.into_iter().min_by(|a, b| cost(a).total_cmp(&cost(b)));
        // The card of the next step goes elsewhere only where that is much better.
        if let (Some(place), Some(best), true) =
            (self.place.filter(|_| is_placed), &corner, is_next && is_left_alone)
            && covers(place) <= 2.0 * cost(best) + 0.02 * size.x * size.y
        {
            return None;
        }
        self.put = corner.map(|corner| (corner, table.size()));
        corner
    }

    /// Shows the card over the floor, `table`; whether it was left, or all is done and it was put away.
    pub(crate) fn show(&mut self, ctx: &Context, table: Rect, floor: Floor, on: &OnTable<'_>) -> bool {
        let Some(at) = self.at else {
            self.place = None;
            return false;
        };
        let palette = Palette::current(ctx);
        self.shape_for(table, on);
        let shape = self.shape();
        let mut pressed = None;
        let frame = Frame::new()
            .fill(palette.card)
            .stroke(Stroke::new(1.4, palette.chalk))
            .corner_radius(4.0)
            .inner_margin(match shape {
                Shape::Open => Margin::symmetric(14, 10),
                Shape::Line => Margin::symmetric(12, 4),
            });
        let area = Area::new(id()).order(Order::Middle).constrain_to(table.shrink(6.0));
        // Between these it can be dragged.
        let area = match self.corner(at, table, on) {
            Some(corner) => area.current_pos(corner),
            None => area.default_pos(table.left_top() + vec2(14.0, 14.0)),
        };
        let shown = area.show(ctx, |ui| {
            frame.show(ui, |ui| {
                let (walk, widest) = (self.walk, (table.width() - 60.0).max(120.0));
                if shape == Shape::Line {
                    ui.set_max_width(widest);
                    pressed = line(ui, walk, at, floor);
                    return;
                }
                ui.set_width(WIDTH.min(widest));
                let highest = (table.height() - 44.0).max(80.0);
                let scroll = ScrollArea::vertical().max_height(highest).min_scrolled_height(highest);
                pressed = scroll.show(ui, |ui| card(ui, walk, at, floor)).inner;
            });
        });
        if self.settling > 0 {
            ctx.request_repaint();
        }
        self.is_measured |= self.place.is_some();
        self.place = Some(shown.response.rect);
        // What is opened by hand lies over the floor for a while: that does not move.
        if self.is_measured && shape == self.own {
            let least = if shape == Shape::Line { FOLDED.min(table.size()) } else { Vec2::ZERO };
            self.largest = self.largest.max(shown.response.rect.size()).max(least);
        }
        match pressed {
            Some(Pressed::GoOn) => self.go_on(),
            Some(Pressed::Fold(shape)) => self.fold(shape),
            Some(Pressed::Leave) => self.leave(),
            None => return false,
        }
        ctx.request_repaint();
        pressed == Some(Pressed::Leave)
    }
}

fn id() -> Id {
    Id::unique("first steps")
}

/// Where the card of the first steps lies, if it is shown: nothing else is put there.
pub(crate) fn place_taken(ctx: &Context) -> Option<Rect> {
    let layer = LayerId::new(Order::Middle, id());
    ctx.memory(|memory| memory.areas().is_visible(&layer).then(|| memory.area_rect(id())).flatten())
}

/// Which step it is, of how many.
fn head(ui: &mut Ui, walk: Walk, at: Step) {
    let palette = Palette::current(ui.ctx());
    let place = walk.steps().iter().position(|step| *step == at);
    let head = match place {
        Some(place) => format!("First steps, {} of {}", place + 1, walk.steps().len()),
        None => "First steps".to_owned(),
    };
    ui.label(RichText::new(head).size(12.5).color(palette.weak));
}

/// One step on its card.
fn card(ui: &mut Ui, walk: Walk, at: Step, floor: Floor) -> Option<Pressed> {
    let palette = Palette::current(ui.ctx());
    head(ui, walk, at);
    ui.label(RichText::new(at.title(walk)).font(strong_font(16.0)).color(palette.ink));
    ui.label(RichText::new(at.words(walk, ui.ctx(), floor)).font(text_font(13.5)));
    ui.add_space(4.0);
    ui.horizontal_wrapped(|ui| {
        let fold = crate::job::act(ui, "fold").on_hover_text("Fold it to a line");
        buttons(ui, at).or(fold.clicked().then_some(Pressed::Fold(Shape::Line)))
    })
    .inner
}

/// The same folded to a line; its words come up over it.
fn line(ui: &mut Ui, walk: Walk, at: Step, floor: Floor) -> Option<Pressed> {
    let palette = Palette::current(ui.ctx());
    ui.horizontal_wrapped(|ui| {
        head(ui, walk, at);
        ui.label(RichText::new(at.title(walk)).font(strong_font(14.0)).color(palette.ink));
        let how = crate::job::act(ui, "show how").on_hover_text(at.words(walk, ui.ctx(), floor));
        buttons(ui, at).or(how.clicked().then_some(Pressed::Fold(Shape::Open)))
    })
    .inner
}

fn buttons(ui: &mut Ui, at: Step) -> Option<Pressed> {
    let again = format!("{} brings them back", Command::FirstSteps.keys_text(ui.ctx()));
    if at == Step::Through {
        let away = crate::job::act(ui, "put this away").on_hover_text(again);
        return away.clicked().then_some(Pressed::Leave);
    }
    let on = crate::job::act(ui, "go on").on_hover_text("Pass over this step");
    let leave = crate::job::act(ui, "leave the first steps").on_hover_text(again);
    match (on.clicked(), leave.clicked()) {
        (true, _) => Some(Pressed::GoOn),
        (_, true) => Some(Pressed::Leave),
        _ => None,
    }
}

/// The lengths of all walls, room by room.
fn lengths(plan: &Plan) -> Vec<f64> {
    let of = |room: &Room| -> Vec<f64> {
        let walls = (0..room.walls.len()).filter_map(|wall| room.wall_line(wall));
        walls.map(|(a, b)| a.distance(b)).collect()
    };
    plan.rooms.iter().flat_map(of).collect()
}

/// Whether a room that was there before is called something else now.
fn is_renamed(now: &Plan, before: &Plan) -> bool {
    now.rooms.iter().zip(&before.rooms).any(|(now, before)| now.name != before.name)
}
