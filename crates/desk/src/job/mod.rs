//! The job in the order in which it is done, each step with what it lacks or gave, opening in place.

mod between;
mod check;
mod doorway;
mod draft;
mod fit;
mod laid;
mod lay;
mod levels;
mod materials;
mod measure;
mod movement;
mod order;
mod parts;
mod pattern;
mod picture;
mod print;
mod props;
mod setout;
mod several;
mod skirting;
mod slab;
mod stages;
mod stand;
mod tape;
mod ways;

pub(crate) use doorway::doorway_facts;
pub(crate) use draft::NEXT as NEXT_LEG;
pub(crate) use fit::selected;
pub(crate) use measure::shows_room;
pub(crate) use movement::joint_figures;
pub(crate) use parts::{act, choose, squeezed, with};
pub(crate) use props::room_props;
pub(crate) use props::{corner_props, doorway_figures, fixture_figures, wall_length};
use props::{doorway_props, fixture_props, wall_props};
pub(crate) use several::several;
pub(crate) use stand::to_wall;
pub(crate) use tape::{field_name as tape_field, first_open as first_untaped};

use crate::action::Actions;
use crate::on_demand::{Joined, Made};
use crate::palette::{Palette, strong_font, text_font};
use crate::select::Selected;
use egui::{Align2, Id, ScrollArea, Sense, Stroke, Ui, WidgetInfo, vec2};
use pipeline::House;
use plan::{Plan, Problem};

/// What the panels read.
pub(crate) struct Facts<'a> {
    pub(crate) plan: &'a Plan,
    /// The last house computed.
    pub(crate) house: Option<&'a House>,
    /// Whether that house is this plan's.
    pub(crate) is_current: bool,
    pub(crate) problems: &'a [Problem],
    pub(crate) selected: Selected,
    /// What is selected together with it.
    pub(crate) together: &'a [Selected],
    /// What was last written as sheets, or why it was not.
    pub(crate) sheets: Option<&'a Result<String, String>>,
    /// How many of how many kinds of file are drawn, while sheets are being written.
    pub(crate) writing: Option<(usize, usize)>,
    /// What is said about the line in use, while the step that says it is open.
    pub(crate) advice: Option<&'a Made<::setout::Advice>>,
    /// Where the gap is to be wider than its least, while the step that says it is open.
    pub(crate) gaps: Option<&'a Made<Vec<::setout::GapToLeave>>>,
    /// What is bought besides boards, while the step that says it is open.
    pub(crate) bought: Option<&'a ::order::MaterialList>,
    /// The house in stages, while the step that shows them is open.
    pub(crate) stages: Option<&'a Made<::order::StagePlan>>,
    /// What the rows that lie do to the edges to come, while the step that says it is open.
    pub(crate) drift: Option<&'a Made<Vec<::setout::Drift>>>,
    /// Joints that would bring the floor within its limits, while the step that says so is open.
    pub(crate) proposals: Option<&'a Made<Vec<::fit::Proposal>>>,
    /// What each of these brings in that is not there now, as far as it was laid through.
    pub(crate) joined: Option<&'a Made<Joined>>,
    /// What no stagger goes below, while the step that says it is open.
    pub(crate) bound: Option<::order::Bound>,
    /// Where the search for better joints stands, while there is one.
    pub(crate) search: Option<pipeline::Progress>,
    /// How far it is with the mends of the selected flag.
    pub(crate) mends: crate::mending::Tried<'a>,
    /// How far the laying is shown.
    pub(crate) laying: &'a crate::laying::Laying,
    /// How a wall's length gives way when it is typed: what moves, and whether corners keep their angles.
    pub(crate) giving: (plan::edit::Gives, bool),
    /// What is wrong with the picture under the plan.
    pub(crate) picture: Option<crate::picture::Trouble>,
}

impl Facts<'_> {
    /// Whether the floor shown is not this plan's, since of this plan none can be laid.
    pub(crate) fn is_stale(&self) -> bool {
        !self.problems.is_empty() && self.house.is_some() && !self.plan.rooms.is_empty()
    }

    /// All that is selected.
    pub(crate) fn selection(&self) -> impl Iterator<Item = Selected> + Clone {
        let one = (self.selected != Selected::Nothing).then_some(self.selected);
        self.together.iter().copied().chain(one)
    }

    /// Whether something is selected, alone or with others.
    pub(crate) fn is_selected(&self, thing: Selected) -> bool {
        self.selection().any(|selected| selected == thing)
    }

    /// Whether more than one thing is selected.
    pub(crate) fn has_several(&self) -> bool {
        !self.together.is_empty()
    }

    /// A key of the selection, for the ids of what is shown about it.
    pub(crate) fn selected_key(&self) -> String {
        match self.together.len() {
            0 => format!("{:?}", self.selected),
            others => format!("{:?} and {others} more", self.selected),
        }
    }
}

/// The steps.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Step {
    Slab,
    Measure,
    SetOut,
    Lay,
    Check,
    Fit,
    Order,
    Stages,
    Print,
    Laid,
}

impl Step {
    const COUNT: usize = 10;
    pub(crate) const ALL: [Self; Self::COUNT] = [
        Self::Slab,
        Self::Measure,
        Self::SetOut,
        Self::Lay,
        Self::Check,
        Self::Fit,
        Self::Order,
        Self::Stages,
        Self::Print,
        Self::Laid,
    ];

    fn name(self) -> &'static str {
        match self {
            Self::Slab => "Slab",
            Self::Measure => "Measure",
            Self::SetOut => "Set out",
            Self::Lay => "Lay",
            Self::Check => "Check",
            Self::Fit => "Fit",
            Self::Order => "Order",
            Self::Stages => "Stages",
            Self::Print => "Print",
            Self::Laid => "As laid",
        }
    }

    /// Whether what it shows is read off the floor.
    fn reads_the_floor(self) -> bool {
        !matches!(self, Self::Slab | Self::Measure)
    }

    fn state(self, facts: &Facts<'_>) -> String {
        match self {
            Self::Slab => slab::state(facts),
            Self::Measure => measure::state(facts),
            Self::SetOut => setout::state(facts),
            Self::Lay => lay::state(facts),
            Self::Check => check::state(facts),
            Self::Fit => fit::state(facts),
            Self::Order => order::state(facts),
            Self::Stages => stages::state(facts),
            Self::Print => print::state(facts),
            Self::Laid => laid::state(facts),
        }
    }
}

/// The job's own state.
pub(crate) struct Job {
    open: [bool; Step::COUNT],
    /// The step to bring into sight the next time.
    wanted: Option<Step>,
    pub(crate) print: print::Print,
    pub(crate) directions: setout::Directions,
    /// The tape of the selected room.
    pub(crate) tape: crate::tape::TapeTable,
    /// The flag that was last selected: another one is brought into sight.
    seen_flag: Option<usize>,
    /// How high each open step was when it was last laid out, points.
    heights: [Option<f32>; Step::COUNT],
    /// The step in which something is typed, or has the keys: it is laid out wherever it lies.
    held: Option<Step>,
    /// What had the keys the last time: what has them next is brought into sight.
    had_keys: Option<Id>,
}

impl Default for Job {
    fn default() -> Self {
        // Open at first: what a person looks at to judge the floor.
        let open = Step::ALL.map(|step| matches!(step, Step::SetOut | Step::Check));
        let tape = crate::tape::TapeTable::default();
        Self {
            open,
            wanted: None,
            print: print::Print::default(),
            directions: setout::Directions::default(),
            tape,
            seen_flag: None,
            heights: [None; Step::COUNT],
            held: None,
            had_keys: None,
        }
    }
}

impl Job {
    pub(crate) fn is_open(&self, step: Step) -> bool {
        self.open[step as usize]
    }

    pub(crate) fn set_all(&mut self, open: bool) {
        self.open = [open; Step::COUNT];
    }

    pub(crate) fn open(&mut self, step: Step) {
        self.open[step as usize] = true;
        self.wanted = Some(step);
    }

    /// Whether a step is to be brought into sight.
    pub(crate) fn is_wanted(&self) -> bool {
        self.wanted.is_some()
    }

    pub(crate) fn show(&mut self, ui: &mut Ui, facts: &Facts<'_>, actions: &mut Actions) {
        // A screen reader goes through everything, in sight or not.
        let is_read = ui.ctx().accesskit_node_builder(ui.unique_id(), |_| ()).is_some();
        if !facts.problems.is_empty() && !facts.plan.rooms.is_empty() {
            trouble(ui, facts, actions);
        }
        ScrollArea::both().id_salt("job").auto_shrink([false, false]).show(ui, |ui| {
            ui.add_space(6.0);
            let mut measures = 1;
            let mut held = None;
            for step in Step::ALL {
                let at = step as usize;
                let state = match facts.is_stale() && step.reads_the_floor() {
                    true => "of the last floor that fits".to_owned(),
                    false => step.state(facts),
                };
                let why =
                    if facts.is_stale() && step.reads_the_floor() { stale(facts) } else { String::new() };
                if header(ui, step, self.open[at], &state, &why) {
                    self.open[at] = !self.open[at];
                }
                let top = ui.cursor().top();
                if self.open[at] {
                    let is_asked = is_read || self.wanted == Some(step) || self.held == Some(step);
                    match self.out_of_sight(ui, step, top, &mut measures).filter(|_| !is_asked) {
                        Some(height) => drop(ui.allocate_space(vec2(ui.available_width(), height))),
                        None => {
                            let rect = self.body(ui, step, facts, actions);
                            self.heights[at] = Some(rect.height());
                            if has_keys(ui, rect) {
                                held = Some(step);
                            }
                        }
                    }
                }
                if self.wanted == Some(step) {
                    self.wanted = None;
                    let height = (ui.cursor().top() - top).max(0.0);
                    let place = egui::pos2(ui.min_rect().left(), top - HEADER);
                    ui.scroll_to_rect(egui::Rect::from_min_size(place, vec2(1.0, height + HEADER)), None);
                }
            }
            self.held = held;
            ui.add_space(20.0);
            self.follow_keys(ui);
        });
    }

    /// Brings what the keys have gone to into sight: by Tab one goes through the whole job without a pointer.
    fn follow_keys(&mut self, ui: &Ui) {
        let focused = ui.memory(egui::Memory::focused);
        if std::mem::replace(&mut self.had_keys, focused) == focused {
            return;
        }
        let Some(response) = focused.and_then(|id| ui.ctx().read_response(id)) else { return };
        let is_here = response.layer_id == ui.layer_id() && ui.min_rect().contains_rect(response.rect);
        if is_here && !ui.clip_rect().contains_rect(response.rect) {
            ui.scroll_to_rect(response.rect.expand2(vec2(0.0, AROUND)), None);
        }
    }

    /// How high an open step is that need not be laid out, since it lies well out of sight. One that was never laid out is
    /// taken for a usual one, and measured in a frame of its own.
    fn out_of_sight(&self, ui: &Ui, step: Step, top: f32, measures: &mut usize) -> Option<f32> {
        let sight = ui.clip_rect().expand2(vec2(0.0, BEYOND));
        let known = self.heights[step as usize];
        let height = known.unwrap_or(USUAL_HEIGHT);
        if top <= sight.bottom() && top + height >= sight.top() {
            return None;
        }
        if known.is_none() {
            if *measures > 0 {
                *measures -= 1;
                return None;
            }
            ui.ctx().request_repaint();
        }
        Some(height)
    }

    /// What stands under a step's line; where it lies.
    fn body(&mut self, ui: &mut Ui, step: Step, facts: &Facts<'_>, actions: &mut Actions) -> egui::Rect {
        let margin = egui::Margin { left: 12, right: 4, top: 6, bottom: 14 };
        let shown = egui::Frame::new().inner_margin(margin).show(ui, |ui| {
            ui.set_width(ui.available_width());
            // What is typed under Lay may be what mends it.
            if facts.is_stale() && step.reads_the_floor() && step != Step::Lay {
                ui.multiply_opacity(0.5);
            }
            ui.push_id(step.name(), |ui| match step {
                Step::Slab => slab::show(ui, facts, actions),
                Step::Measure => measure::show(ui, facts, &mut self.tape, actions),
                Step::SetOut => setout::show(ui, facts, &mut self.directions, actions),
                Step::Lay => lay::show(ui, facts, actions),
                Step::Check => check::show(ui, facts, &mut self.seen_flag, actions),
                Step::Fit => fit::show(ui, facts, actions),
                Step::Order => order::show(ui, facts, actions),
                Step::Stages => stages::show(ui, facts, actions),
                Step::Print => self.print.show(ui, facts, actions),
                Step::Laid => laid::show(ui, facts, actions),
            });
        });
        shown.response.rect
    }
}

/// What does not fit, at the foot of the job: there nothing moves under the hand that types, and it is in sight whatever
/// is open. Of many things the first are seen, the rest by scrolling.
fn trouble(ui: &mut Ui, facts: &Facts<'_>, actions: &mut Actions) {
    let palette = Palette::current(ui.ctx());
    let highest = (ui.available_height() * TROUBLE).max(60.0);
    let frame = egui::Frame::new().fill(palette.card).inner_margin(egui::Margin::symmetric(12, 8));
    egui::Panel::bottom("what does not fit").resizable(false).frame(frame).show(ui, |ui| {
        ScrollArea::vertical().id_salt("what does not fit").max_height(highest).show(ui, |ui| {
            ui.set_width(ui.available_width());
            measure::problems(ui, facts, actions);
        });
    });
}

/// So much of the job's height, at the most, has what does not fit.
const TROUBLE: f32 = 0.34;

/// That what follows is of another floor than the plan's, and why. It is told by the step's line, which takes no more room
/// for it: a field under the hand stays where it is.
fn stale(facts: &Facts<'_>) -> String {
    let Some(problem) = facts.problems.first() else { return String::new() };
    format!(
        "Not this plan's: of the last floor that could be laid. {}: {}; {}",
        problem.place_name, problem.what, problem.mend
    )
}

/// Whether what has the keys lies in a place of the panel.
fn has_keys(ui: &Ui, rect: egui::Rect) -> bool {
    let focused = ui.ctx().memory(|memory| memory.focused());
    focused
        .and_then(|id| ui.ctx().read_response(id))
        .is_some_and(|response| rect.contains_rect(response.rect))
}

/// So much over and under what has the keys is brought into sight with it, points.
const AROUND: f32 = 24.0;

/// So far beyond the panel's edges steps are laid out all the same: the next field, by Tab, is there, points.
const BEYOND: f32 = 300.0;
/// How high a step is taken for that was never laid out, points.
const USUAL_HEIGHT: f32 = 420.0;

/// Height of a step's line, points.
const HEADER: f32 = 36.0;

/// A step's line: its name, its state at the right, a rule under it; `why` is told to whoever points at it. True when
/// clicked.
fn header(ui: &mut Ui, step: Step, open: bool, state: &str, why: &str) -> bool {
    let palette = Palette::current(ui.ctx());
    let (place, _) = ui.allocate_exact_size(vec2(ui.available_width(), HEADER), Sense::hover());
    let id = Id::unique(("job step", step.name()));
    let response = ui.interact(place, id, Sense::click());
    response.widget_info(|| {
        let label = match why {
            "" => format!("{}: {state}", step.name()),
            why => format!("{}: {state}. {why}", step.name()),
        };
        WidgetInfo::selected(egui::Role::Button, true, open, label)
    });
    let painter = ui.painter_at(place.expand(3.0));
    let ink = if response.hovered() || response.has_focus() { palette.chalk } else { palette.ink };
    let name = painter.text(place.left_center(), Align2::LEFT_CENTER, step.name(), strong_font(16.0), ink);
    let room = place.right() - name.right() - 20.0;
    let mut job = egui::text::LayoutJob::simple_singleline(state.to_owned(), text_font(12.5), palette.weak);
    job.wrap.max_width = room;
    job.wrap.max_rows = 1;
    job.wrap.break_anywhere = true;
    let galley = painter.layout_job(job);
    let at = egui::pos2(place.right() - galley.size().x, place.center().y - galley.size().y / 2.0);
    let is_cut = galley.elided;
    painter.galley(at, galley, palette.weak);
    if !open {
        painter.hline(place.x_range(), place.bottom(), Stroke::new(1.0, palette.rule));
    }
    if response.has_focus() {
        painter.rect_stroke(
            place.expand2(vec2(3.0, -3.0)),
            3.0,
            Stroke::new(1.0, palette.chalk),
            egui::StrokeKind::Inside,
        );
    }
    let response = match (why, is_cut) {
        ("", true) => response.on_hover_text(state),
        ("", false) => response,
        (why, _) => response.on_hover_text(why),
    };
    response.on_hover_cursor(egui::CursorIcon::PointingHand).clicked()
}
