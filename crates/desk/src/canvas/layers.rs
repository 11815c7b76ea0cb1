//! What is shown and what is hidden on the table.

use crate::select::Selected;
use drawing::Role;

/// Things that are shown or hidden together.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Layer {
    Walls,
    Fixtures,
    Boards,
    SetOut,
    Flags,
    Dimensions,
    Names,
    Picture,
}

impl Layer {
    pub(crate) const ALL: [Self; 8] = [
        Self::Walls,
        Self::Fixtures,
        Self::Boards,
        Self::SetOut,
        Self::Flags,
        Self::Dimensions,
        Self::Names,
        Self::Picture,
    ];

    /// What is said of it while it is hidden.
    pub(crate) fn word(self) -> &'static str {
        match self {
            Self::Walls => "walls and doorways",
            Self::Fixtures => "fixtures",
            Self::Boards => "boards",
            Self::SetOut => "line and rips",
            Self::Flags => "flags",
            Self::Dimensions => "dimensions",
            Self::Names => "names",
            Self::Picture => "picture",
        }
    }

    /// The layer on which a part of the drawing lies; `None` for what is always shown: the floors themselves.
    pub(crate) fn of(role: Role) -> Option<Self> {
        Some(match role {
            Role::WallBody
            | Role::WallFace
            | Role::Opening
            | Role::OtherOpening
            | Role::Glazing
            | Role::Cabinets
            | Role::Leaf
            | Role::Stop
            | Role::StopFigure
            | Role::StepMark => Self::Walls,
            Role::Fixture | Role::TileArea | Role::UnderFloor | Role::MovementJoint => Self::Fixtures,
            Role::Board { .. }
            | Role::BoardOutline
            | Role::LaidHatch
            | Role::Joint
            | Role::Boundary
            | Role::FlaggedBoard
            | Role::BoardLabel
            | Role::Grain => Self::Boards,
            Role::StartLine
            | Role::Pull
            | Role::CheckPull
            | Role::CornerLetter
            | Role::RipFigure
            | Role::ShortRipFigure
            | Role::Leader => Self::SetOut,
            Role::Fault | Role::Look => Self::Flags,
            Role::Dimension => Self::Dimensions,
            Role::RoomName | Role::FixtureName | Role::JointName | Role::RoomArea => Self::Names,
            _ => return None,
        })
    }
}

/// The layers that are hidden now.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) struct Hidden(u8);

impl Hidden {
    pub(crate) fn is(self, layer: Layer) -> bool {
        self.0 & (1 << layer as u8) != 0
    }

    pub(crate) fn toggle(&mut self, layer: Layer) {
        self.0 ^= 1 << layer as u8;
    }

    /// Whether a part of the drawing is shown.
    pub(crate) fn shows(self, role: Role) -> bool {
        self.0 == 0 || Layer::of(role).is_none_or(|layer| !self.is(layer))
    }

    /// Whether this is on a layer that is hidden.
    pub(crate) fn hides(self, thing: Selected) -> bool {
        let layer = match thing {
            Selected::Wall(..) | Selected::Corner(..) | Selected::Doorway(_) => Layer::Walls,
            Selected::Fixture(_) | Selected::Joint(_) => Layer::Fixtures,
            Selected::Board(_) => Layer::Boards,
            Selected::Line => Layer::SetOut,
            Selected::Flag(_) => Layer::Flags,
            Selected::Dimension(_) => Layer::Dimensions,
            // The floors themselves are always there.
            Selected::Nothing | Selected::Room(_) => return false,
        };
        self.is(layer)
    }

    /// What is hidden, in words; nothing where nothing is.
    pub(crate) fn words(self) -> String {
        let hidden: Vec<&str> = Layer::ALL.into_iter().filter(|l| self.is(*l)).map(Layer::word).collect();
        hidden.join(", ")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn layers_are_hidden_one_by_one() {
        let mut hidden = Hidden::default();
        assert!(Layer::ALL.into_iter().all(|layer| !hidden.is(layer)));
        hidden.toggle(Layer::Boards);
        hidden.toggle(Layer::Flags);
        assert_eq!(hidden.words(), "boards, flags");
        assert!(!hidden.shows(Role::Joint) && !hidden.shows(Role::Look) && hidden.shows(Role::WallBody));
        assert!(hidden.shows(Role::BareFloor), "the floor itself is always there");
        hidden.toggle(Layer::Boards);
        hidden.toggle(Layer::Flags);
        assert_eq!(hidden, Hidden::default());
    }
}
