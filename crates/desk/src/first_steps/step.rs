//! The steps of a walk, in their order, and what each says.

use crate::command::Command;
use egui::Context;

/// What is to be done next.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Step {
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
pub(super) enum Walk {
    #[default]
    Floor,
    OwnHouse,
}

impl Walk {
    pub(super) fn steps(self) -> &'static [Step] {
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

    pub(super) fn after(self, step: Step) -> Step {
        let steps = self.steps();
        let place = steps.iter().position(|other| *other == step).unwrap_or(steps.len());
        steps.get(place + 1).copied().unwrap_or(Step::Through)
    }
}

impl Step {
    pub(super) fn title(self, walk: Walk) -> &'static str {
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

    pub(super) fn words(self, walk: Walk, ctx: &Context, floor: Floor) -> String {
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
