//! The first steps: a short walk through the job that watches what is really done, can be left at any time, and is found
//! again among the commands.

use crate::canvas::View;
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

/// Width of the card, points.
const WIDTH: f32 = 292.0;

/// What is to be done next.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Step {
    PickRoom,
    TypeLength,
    MoveLine,
    ReadFlag,
    Mend,
    LookAtSheets,
    DrawRoom,
    RoomBehind,
    NameRoom,
    OpenDoorway,
    StandFixture,
    /// All of it is done.
    Through,
}

/// A walk: over the floor of a house that is drawn, or drawing a house of one's own.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
enum Walk {
    #[default]
    Floor,
    OwnHouse,
}

impl Walk {
    fn steps(self) -> &'static [Step] {
        match self {
            Self::Floor => &[
                Step::PickRoom,
                Step::TypeLength,
                Step::MoveLine,
                Step::ReadFlag,
                Step::Mend,
                Step::LookAtSheets,
            ],
            Self::OwnHouse => {
                &[Step::DrawRoom, Step::RoomBehind, Step::NameRoom, Step::OpenDoorway, Step::StandFixture]
            }
        }
    }

    fn after(self, step: Step) -> Step {
        let steps = self.steps();
        let place = steps.iter().position(|other| *other == step).unwrap_or(steps.len());
        steps.get(place + 1).copied().unwrap_or(Step::Through)
    }
}

impl Step {
    fn title(self, walk: Walk) -> &'static str {
        match self {
            Self::PickRoom => "Pick a room",
            Self::TypeLength => "Type a wall's length",
            Self::MoveLine => "Move the start line",
            Self::ReadFlag => "Read a flag",
            Self::Mend => "Mend it",
            Self::LookAtSheets => "Look at the sheets",
            Self::DrawRoom => "Draw the first room",
            Self::RoomBehind => "Draw the room behind a wall",
            Self::NameRoom => "Name a room",
            Self::OpenDoorway => "Open a doorway",
            Self::StandFixture => "Stand a fixture in a room",
            Self::Through => match walk {
                Walk::Floor => "That is the whole job",
                Walk::OwnHouse => "Your house is drawn",
            },
        }
    }

    fn words(self, walk: Walk, ctx: &Context, floor: Floor) -> String {
        let keys = |command: Command| command.keys_text(ctx);
        let has_flags = floor.state != State::Sound;
        if self != Self::Through && floor.state == State::Unfit && walk == Walk::Floor {
            return format!(
                "Something does not fit with that, so the last floor stays: Measure, at the right, names it. {} takes the step back.",
                keys(Command::Undo)
            );
        }
        match self {
            Self::PickRoom => format!(
                "A room is picked by its name on the floor: click one, or press {}. Its walls then show their lengths.",
                keys(Command::NextRoom)
            ),
            Self::TypeLength => format!(
                "Press {} until the wall you mean is marked. Type what the tape shows of it, some centimetres more or less than the plan has, then Enter: every board follows.",
                keys(Command::NextWall)
            ),
            Self::MoveLine => {
                let aim = match floor.reaches_least {
                    true => "keep it over the shaded band, which is under the least rip.",
                    // No place on such a floor is over the band.
                    false => "here every place leaves some rip under the least, the shaded band, so the highest is the least bad and the flags say where.",
                };
                format!(
                    "The blue chalk line is where the first board's edge lies. Drag it, or its mark on the curve under the floor, or press {}. The curve tells the narrowest rip each place would leave: {aim}",
                    keys(Command::LineUp)
                )
            }
            Self::ReadFlag if !has_flags => {
                "A pennant stands wherever a rule is broken. None stands on this floor, so there is none to read.".into()
            }
            Self::ReadFlag => format!(
                "A pennant stands wherever a rule is broken. Click one, or press {}: its card says what is wrong, where, and which limit it breaks.",
                keys(Command::NextFlag)
            ),
            Self::Mend if !has_flags => "No flag stands on this floor any more: there is nothing to mend.".into(),
            Self::Mend => format!(
                "{} tries what would mend the flag and tells what the floor comes to; {} does the first that leaves fewer flags. Where the plan alone has no mend for it, {} goes to another flag.",
                keys(Command::TryMends),
                keys(Command::FirstMend),
                keys(Command::NextFlag)
            ),
            Self::LookAtSheets => format!(
                "{} shows every page as it would be printed: the set-out for the wall, the saw list for the bench, what to buy.",
                keys(Command::LookAtSheets)
            ),
            Self::DrawRoom => format!(
                "Begin with the room that the others open off, often the hallway. Press {}, type its first wall's length as the tape shows it and Enter, then the next going round, always the same way. Where a corner turns back into the room, type a minus before the next length. Enter alone closes it.",
                keys(Command::DrawRoom)
            ),
            Self::RoomBehind => format!(
                "Press {} until the wall between the two rooms is marked, then {}: the next room begins behind it, along that wall. Type on as before. One that begins farther along is clicked where the pointer says “other side of the wall”.",
                keys(Command::NextWall),
                keys(Command::DrawRoom)
            ),
            Self::NameRoom => format!(
                "{} goes to the name of what is selected, {} selects the next room. Type the name and Enter.",
                keys(Command::NameIt),
                keys(Command::NextRoom)
            ),
            Self::OpenDoorway => format!(
                "Mark the wall it goes through with {}, press {} and Enter: a doorway stands in its middle. Type how far it is from the corner, and Enter; its card has its width and how the boards end.",
                keys(Command::NextWall),
                keys(Command::PlaceDoorway)
            ),
            Self::StandFixture => format!(
                "An island, a hearth, a kick: select its room with {}, press {}, type its size across and Enter, up and Enter. Its card then takes how far it stands from each wall.",
                keys(Command::NextRoom),
                keys(Command::DrawFixture)
            ),
            Self::Through if walk == Walk::OwnHouse => format!(
                "Boards lie in it already. What is still to be looked at stands on the pennants ({}); under Lay are your boards, under Set out the pulls for the line. {} saves the house, {} finds every command by its words.",
                keys(Command::NextFlag),
                keys(Command::Save),
                keys(Command::Find)
            ),
            Self::Through => format!(
                "Undo, {}, takes any of it back. {} clears the table for a house of your own, {} draws its first room, and {} finds every command by its words.",
                keys(Command::Undo),
                keys(Command::New),
                keys(Command::DrawRoom),
                keys(Command::Find)
            ),
        }
    }
}

/// How it stands with the floor.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Floor {
    pub(crate) state: State,
    /// Some place of the start line leaves no rip under the least.
    pub(crate) reaches_least: bool,
}

/// What is to be said of a floor.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum State {
    /// The plan has problems, so no floor can be laid.
    Unfit,
    /// It has flags.
    Flagged,
    /// It has none.
    Sound,
}

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
    /// The largest that the card has been, for which the table leaves room, and the corner that it left.
    largest: Vec2,
    corner: Option<Pos2>,
    /// Its size is known: before its first frame the window library takes it for far larger, and moves it by that.
    is_measured: bool,
}

/// What lies on the table that the card is to keep off.
pub(crate) struct OnTable {
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
        (self.is_open() && self.is_measured).then_some(self.largest)
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
    }

    /// Where the card goes: it stays where it is while it covers nothing of what it speaks of, else it goes to the corner of
    /// the table where it covers least.
    fn corner(&mut self, at: Step, table: Rect, on: &OnTable) -> Option<Pos2> {
        let size = self.place.map_or(vec2(WIDTH + 28.0, 190.0), |place| place.size());
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
        if self.corner != on.corner {
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
    pub(crate) fn show(&mut self, ctx: &Context, table: Rect, floor: Floor, on: &OnTable) -> bool {
        let Some(at) = self.at else {
            self.place = None;
            return false;
        };
        let palette = Palette::current(ctx);
        let mut leaves = false;
        let mut goes_on = false;
        let frame = Frame::new()
            .fill(palette.card)
            .stroke(Stroke::new(1.4, palette.chalk))
            .corner_radius(4.0)
            .inner_margin(Margin::symmetric(14, 10));
        let area = Area::new(id()).order(Order::Middle).constrain_to(table.shrink(6.0));
        // Between these it can be dragged.
        let area = match self.corner(at, table, on) {
            Some(corner) => area.current_pos(corner),
            None => area.default_pos(table.left_top() + vec2(14.0, 14.0)),
        };
        let shown = area.show(ctx, |ui| {
            frame.show(ui, |ui| {
                ui.set_width(WIDTH.min(table.width() - 60.0).max(120.0));
                let highest = (table.height() - 44.0).max(80.0);
                let scroll = ScrollArea::vertical().max_height(highest).min_scrolled_height(highest);
                let walk = self.walk;
                (goes_on, leaves) = scroll.show(ui, |ui| card(ui, walk, at, floor)).inner;
            });
        });
        if self.settling > 0 {
            ctx.request_repaint();
        }
        self.is_measured = self.place.is_some();
        self.place = Some(shown.response.rect);
        if self.is_measured {
            self.largest = self.largest.max(shown.response.rect.size());
        }
        if goes_on {
            self.go_on();
            ctx.request_repaint();
        }
        if leaves {
            self.leave();
        }
        leaves
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

/// One step on its card: whether it is passed over, and whether the walk is left.
fn card(ui: &mut Ui, walk: Walk, at: Step, floor: Floor) -> (bool, bool) {
    let palette = Palette::current(ui.ctx());
    let place = walk.steps().iter().position(|step| *step == at);
    let head = match place {
        Some(place) => format!("First steps, {} of {}", place + 1, walk.steps().len()),
        None => "First steps".to_owned(),
    };
    ui.label(RichText::new(head).size(12.5).color(palette.weak));
    ui.label(RichText::new(at.title(walk)).font(strong_font(16.0)).color(palette.ink));
    ui.label(RichText::new(at.words(walk, ui.ctx(), floor)).font(text_font(13.5)));
    ui.add_space(4.0);
    let again = format!("{} brings them back", Command::FirstSteps.keys_text(ui.ctx()));
    ui.horizontal_wrapped(|ui| match place {
        Some(_) => {
            let on = crate::job::act(ui, "go on").on_hover_text("Pass over this step");
            let leave = crate::job::act(ui, "leave the first steps").on_hover_text(again);
            (on.clicked(), leave.clicked())
        }
        None => (false, crate::job::act(ui, "put this away").on_hover_text(again).clicked()),
    })
    .inner
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
