//! What is done to all that is selected: select more, move, copy, turn over, remove, pin down.

use super::Desk;
use crate::canvas::{Span, Wanted, extent_of};
use crate::names;
use crate::select::Selected;
use plan::{Place, Plan, Point, Problem, edit};

impl Desk {
    /// All that is selected, the thing the card is about last.
    pub fn selection(&self) -> Vec<Selected> {
        let mut all = self.together.with(self.selected).to_vec();
        all.extend((self.selected != Selected::Nothing).then_some(self.selected));
        all
    }

    /// The places of all that is selected, if each of them can be moved and removed with others.
    pub(super) fn things(&self) -> Vec<Place> {
        self.selection().into_iter().filter_map(Selected::thing).collect()
    }

    /// Whether more than one thing is selected.
    pub(super) fn has_several(&self) -> bool {
        !self.together.with(self.selected).is_empty()
    }

    pub(super) fn select_together(&mut self, all: Vec<Selected>) {
        self.selected = self.together.set(all);
    }

    /// Selects every thing of the kind that is selected; every thing there is, where nothing is.
    pub(super) fn select_all_of_kind(&mut self) {
        let plan = self.document.plan().clone();
        let all: Vec<Selected> = match self.selected {
            Selected::Room(_) | Selected::Wall(..) | Selected::Corner(..) => {
                (0..plan.rooms.len()).map(Selected::Room).collect()
            }
            Selected::Doorway(_) => (0..plan.doorways.len()).map(Selected::Doorway).collect(),
            Selected::Fixture(one) => {
                let kind = plan.fixtures.get(one).map(|fixture| names::fixture_kind(fixture.kind));
                let alike = |index: &usize| Some(names::fixture_kind(plan.fixtures[*index].kind)) == kind;
                (0..plan.fixtures.len()).filter(alike).map(Selected::Fixture).collect()
            }
            Selected::Joint(_) => (0..plan.joints.len()).map(Selected::Joint).collect(),
            Selected::Dimension(_) => (0..plan.dimensions.len()).map(Selected::Dimension).collect(),
            _ => return self.select_everything(),
        };
        self.say_selected(&plan, all);
    }

    /// Selects every room, doorway, fixture, joint and dimension that is not pinned down.
    pub(super) fn select_everything(&mut self) {
        let plan = self.document.plan().clone();
        let all =
            everything(&plan).filter(|thing| thing.thing().is_some_and(|place| !plan.is_pinned(&place)));
        let all = all.collect();
        self.say_selected(&plan, all);
    }

    fn say_selected(&mut self, plan: &Plan, all: Vec<Selected>) {
        let places: Vec<Place> = all.iter().filter_map(|thing| thing.thing()).collect();
        self.said = Some(match places.as_slice() {
            [] => "There is nothing to select yet".into(),
            places => format!("Selected: {}", names::things(plan, places)),
        });
        self.select_together(all);
    }

    /// Moves all that is selected; says why where it cannot be.
    pub(super) fn move_several(&mut self, by: Point) {
        let places = self.things();
        let name = format!("move {}", names::things(self.document.plan(), &places));
        self.edit(&name, move |plan| edit::move_all(plan, &places, by));
    }

    pub(super) fn remove_several(&mut self) {
        let places = self.things();
        let name = format!("remove {}", names::things(self.document.plan(), &places));
        let before = self.document.revision();
        self.edit(&name, move |plan| edit::remove_all(plan, &places));
        if self.document.revision() != before {
            self.selected = Selected::Nothing;
        }
    }

    /// Copies all that is selected beside itself: rooms right of everything drawn, other things where there is floor.
    pub(super) fn copy_several(&mut self) {
        let (plan, places) = (self.document.plan().clone(), self.things());
        let spans = self.selection().into_iter().filter_map(|thing| extent_of(thing, &plan, None));
        let Some(span) = Span::of(spans.flat_map(|span| [span.min, span.max])) else { return };
        let (across, up) = (span.max.x - span.min.x + 100.0, span.max.y - span.min.y + 100.0);
        let has_room = places.iter().any(|place| matches!(place, Place::Room(_)));
        let ways: Vec<Point> = if has_room {
            let right = Span::of_plan(&plan).map_or(span.max.x, |all| all.max.x);
            vec![Point::new(right - span.min.x + drawing::body_thickness(&plan), 0.0)]
        } else {
            [(across, 0.0), (-across, 0.0), (0.0, up), (0.0, -up)].map(Point::from).to_vec()
        };
        let mut trial = Plan::clone(&plan);
        // A way that cannot be leaves the plan as it was; the first one's reason is said.
        let mut refused = None;
        let copies = ways.iter().find_map(|by| match edit::copy_all(&mut trial, &places, *by) {
            Ok(copies) => Some(copies),
            Err(problem) => {
                refused.get_or_insert(problem);
                None
            }
        });
        match copies {
            Some(copies) => {
                let name = format!("copy {}", names::things(&plan, &places));
                self.edit(&name, move |plan| {
                    *plan = trial;
                    Ok(())
                });
                self.select_together(copies.iter().map(Selected::at).collect());
                if has_room {
                    self.canvas.wanted = Some(Wanted::Everything);
                }
            }
            None => {
                self.said = refused.map(|problem| in_words(&problem));
            }
        }
    }

    /// Pins all that is selected down, or takes the pins out where all of it is pinned.
    pub(super) fn pin_selected(&mut self) {
        let plan = self.document.plan().clone();
        let places: Vec<Place> = match self.selected {
            Selected::Wall(room, _) | Selected::Corner(room, _) => vec![Place::Room(room)],
            _ => self.things().into_iter().filter(|place| !matches!(place, Place::Dimension(_))).collect(),
        };
        if places.is_empty() {
            self.said = Some(
                "Select a room, a doorway, a fixture or a joint first, then it can be pinned down".into(),
            );
            return;
        }
        let down = !places.iter().all(|place| plan.is_pinned(place));
        let things = names::things(&plan, &places);
        let name = if down { format!("pin down {things}") } else { format!("unpin {things}") };
        self.edit(&name, move |plan| edit::pin(plan, &places, down));
        self.said = Some(if down {
            format!("Pinned down: {things}. No hand moves or removes it until it is unpinned")
        } else {
            format!("Unpinned: {things}")
        });
    }

    /// Keeps the length that is measured, or that of the selected wall, on the drawing.
    pub(super) fn keep_length(&mut self) {
        let dimension = match (self.tool.measured(self.document.plan()), self.selected) {
            (Some(dimension), _) => dimension,
            (None, Selected::Wall(room, wall)) => {
                let Some(drawn) = self.document.plan().rooms.get(room) else { return };
                let end = |corner: usize| plan::DimensionEnd::Corner { room: drawn.name.clone(), corner };
                plan::Dimension::new(end(wall), end((wall + 1) % drawn.walls.len().max(1)))
            }
            _ => {
                self.said = Some("Measure between two things first (A), or select a wall".into());
                return;
            }
        };
        self.edit("keep a dimension", move |plan| edit::add_dimension(plan, dimension).map(drop));
        if self.said.is_none() {
            self.said =
                Some("The length stays on the drawing; click it to move its line aside or remove it".into());
        }
    }

    /// Joins the selected wall with the neighbour that runs on in its line, or the two that meet in the selected corner.
    pub(super) fn join_walls(&mut self) {
        match self.selected {
            Selected::Wall(room, wall) => {
                let mut trial = Plan::clone(self.document.plan());
                match edit::join_wall(&mut trial, room, wall) {
                    Ok(joined) => {
                        self.edit("join walls", move |plan| {
                            *plan = trial;
                            Ok(())
                        });
                        self.selected = Selected::Wall(room, joined).within(self.document.plan());
                    }
                    Err(problem) => self.said = Some(in_words(&problem)),
                }
            }
            Selected::Corner(room, corner) => {
                self.edit("join walls", move |plan| edit::remove_corner(plan, room, corner));
                self.selected = Selected::Room(room).within(self.document.plan());
            }
            _ => self.said = Some("Select a wall, or the corner between two, first".into()),
        }
    }
}

/// Why something cannot be done, in one line.
pub(super) fn in_words(problem: &Problem) -> String {
    format!("{}: {}; {}", problem.place_name, problem.what, problem.mend)
}

/// Every room, doorway, fixture, joint and dimension.
pub(crate) fn everything(plan: &Plan) -> impl Iterator<Item = Selected> + use<> {
    let rooms = (0..plan.rooms.len()).map(Selected::Room);
    let doorways = (0..plan.doorways.len()).map(Selected::Doorway);
    let fixtures = (0..plan.fixtures.len()).map(Selected::Fixture);
    let joints = (0..plan.joints.len()).map(Selected::Joint);
    rooms
        .chain(doorways)
        .chain(fixtures)
        .chain(joints)
        .chain((0..plan.dimensions.len()).map(Selected::Dimension))
}
