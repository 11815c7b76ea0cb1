//! Pins: what is pinned down stays where it stands until the pin is taken out.

use crate::check::{Place, Problem};
use crate::{Plan, doorway::one_based};
use serde::{Deserialize, Serialize};

/// A thing that is pinned down: no hand moves, reshapes or removes it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Pinned {
    /// A room with its walls, by name.
    Room(String),
    /// A doorway, by name.
    Doorway(String),
    /// A fixture, by name.
    Fixture(String),
    /// A movement joint, by its number: from 0 here, from 1 in the file.
    Joint(#[serde(with = "one_based")] usize),
}

impl Pinned {
    /// The room, doorway or fixture, by name.
    pub(crate) fn thing(&self) -> Option<(&'static str, &str)> {
        match self {
            Self::Room(name) => Some(("room", name)),
            Self::Doorway(name) => Some(("doorway", name)),
            Self::Fixture(name) => Some(("fixture", name)),
            Self::Joint(_) => None,
        }
    }

    pub(crate) fn rename(&mut self, kind: &str, old: &str, new: &str) {
        let name = match self {
            Self::Room(name) if kind == "room" => name,
            Self::Doorway(name) if kind == "doorway" => name,
            Self::Fixture(name) if kind == "fixture" => name,
            _ => return,
        };
        if name == old {
            new.clone_into(name);
        }
    }

    /// The pin of a place; `None` for what cannot be pinned, or is not there.
    pub fn of(plan: &Plan, place: &Place) -> Option<Self> {
        match *place {
            Place::Room(room) | Place::Wall(room, _) => {
                plan.rooms.get(room).map(|room| Self::Room(room.name.clone()))
            }
            Place::Doorway(index) => plan.doorways.get(index).map(|d| Self::Doorway(d.name.clone())),
            Place::Fixture(index) => plan.fixtures.get(index).map(|f| Self::Fixture(f.name.clone())),
            Place::Joint(index) => (index < plan.joints.len()).then_some(Self::Joint(index)),
            _ => None,
        }
    }

    /// Whether what it pins is in the plan.
    pub(crate) fn is_there(&self, plan: &Plan) -> bool {
        match self {
            Self::Room(name) => plan.room_index(name).is_some(),
            Self::Doorway(name) => plan.doorways.iter().any(|doorway| doorway.name == *name),
            Self::Fixture(name) => plan.fixtures.iter().any(|fixture| fixture.name == *name),
            Self::Joint(index) => *index < plan.joints.len(),
        }
    }

    /// What it pins, in words.
    pub fn words(&self, plan: &Plan) -> String {
        match self {
            Self::Room(name) | Self::Doorway(name) | Self::Fixture(name) => name.clone(),
            Self::Joint(index) => Place::Joint(*index).name(plan),
        }
    }
}

impl Plan {
    /// Whether a place is pinned down.
    pub fn is_pinned(&self, place: &Place) -> bool {
        !self.pinned.is_empty() && Pinned::of(self, place).is_some_and(|pin| self.pinned.contains(&pin))
    }
}

/// # Errors
/// When the place is pinned down: with the pin as the reason.
pub(crate) fn require_loose(plan: &Plan, place: Place) -> Result<(), Problem> {
    if !plan.is_pinned(&place) {
        return Ok(());
    }
    Err(Problem {
        place_name: place.name(plan),
        place,
        what: "it is pinned down".into(),
        mend: "take its pin out first".into(),
    })
}
