//! Every command once: its name, its keys and what it does, for menus, keys and the command finder.

use egui::{Key, KeyboardShortcut, Modifiers};

/// A command.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[allow(missing_docs, reason = "the table below says what each does")]
pub enum Command {
    New,
    Sample,
    Open,
    OpenByPath,
    Save,
    SaveAs,
    SaveByPath,
    BringIn,
    BringInByPath,
    LayPicture,
    LayPictureByPath,
    SetPictureScale,
    WriteSheets,
    LookAtSheets,
    Quit,
    Undo,
    Redo,
    Select,
    DrawRoom,
    RoomFromLengths,
    PlaceDoorway,
    DrawFixture,
    DrawJoint,
    MeasureBetween,
    Delete,
    SplitWall,
    JoinWalls,
    Duplicate,
    TurnOverAcross,
    TurnOverUp,
    AllOfKind,
    SelectEverything,
    PinDown,
    KeepLength,
    TapeRoom,
    SetByTape,
    BackOut,
    Fit,
    ZoomIn,
    ZoomOut,
    BestLine,
    RunnerUp,
    SafestLine,
    LineUp,
    LineDown,
    RowsAlongX,
    RowsAlongY,
    RowsAlongWall,
    AnotherStagger,
    BetterJoints,
    LaidToHere,
    LaidBoard,
    NotLaid,
    NextRoom,
    NextWall,
    PreviousWall,
    NextFlag,
    PreviousFlag,
    TryMends,
    FirstMend,
    SideBySide,
    LayOn,
    NextBoard,
    BoardBefore,
    NextRow,
    RowBefore,
    WholeFloor,
    OwnersView,
    ToggleUnits,
    ToggleTheme,
    ToggleContrast,
    Larger,
    Smaller,
    UsualSize,
    ToggleGrid,
    ShowWalls,
    ShowFixtures,
    ShowBoards,
    ShowSetOut,
    ShowFlags,
    ShowDimensions,
    ShowNames,
    ShowPicture,
    ShowAll,
    OpenAllSteps,
    CloseAllSteps,
    FoldJob,
    FoldStrip,
    NameIt,
    FirstSteps,
    Find,
}

const fn keys(modifiers: Modifiers, key: Key) -> Option<KeyboardShortcut> {
    Some(KeyboardShortcut::new(modifiers, key))
}

const PLAIN: Modifiers = Modifiers::NONE;
const COMMAND: Modifiers = Modifiers::COMMAND;
const COMMAND_SHIFT: Modifiers = Modifiers::COMMAND.plus(Modifiers::SHIFT);
const SHIFT: Modifiers = Modifiers::SHIFT;
const ALT: Modifiers = Modifiers::ALT;

/// A command's row in the table.
struct Entry {
    command: Command,
    name: &'static str,
    keys: Option<KeyboardShortcut>,
    more_keys: Option<KeyboardShortcut>,
    about: &'static str,
}

const fn entry(
    command: Command,
    name: &'static str,
    keys: Option<KeyboardShortcut>,
    about: &'static str,
) -> Entry {
    Entry { command, name, keys, more_keys: None, about }
}

const fn entry2(
    command: Command,
    name: &'static str,
    keys: Option<KeyboardShortcut>,
    more_keys: Option<KeyboardShortcut>,
    about: &'static str,
) -> Entry {
    Entry { command, name, keys, more_keys, about }
}

#[rustfmt::skip]
const TABLE: &[Entry] = &[
    entry(Command::New, "New house", keys(COMMAND, Key::N), "Start with an empty table"),
    entry(Command::Sample, "Sample house", keys(COMMAND_SHIFT, Key::N), "Open the house that comes with Startrow"),
    entry(Command::Open, "Open…", keys(COMMAND, Key::O), "Open a plan file"),
    entry(Command::OpenByPath, "Open by path…", keys(COMMAND_SHIFT, Key::O), "Type the path of a plan file"),
    entry(Command::Save, "Save", keys(COMMAND, Key::S), "Save the plan to its file"),
    entry(Command::SaveAs, "Save as…", keys(COMMAND_SHIFT, Key::S), "Save the plan to another file"),
    entry(Command::SaveByPath, "Save by path…", keys(COMMAND.plus(ALT), Key::S), "Type the path to save to"),
    entry(Command::BringIn, "Bring in outlines…", keys(COMMAND, Key::I), "Take rooms from a drawing: DXF, SVG or GeoJSON"),
    entry(Command::BringInByPath, "Bring in outlines by path…", keys(COMMAND_SHIFT, Key::I), "Type the path of a drawing to take rooms from"),
    entry(Command::LayPicture, "Lay a picture under…", keys(COMMAND, Key::B), "Choose a picture or scan of a plan to draw over: PNG or JPEG"),
    entry(Command::LayPictureByPath, "Lay a picture under by path…", keys(COMMAND_SHIFT, Key::B), "Type the path of a picture to draw over"),
    entry(Command::SetPictureScale, "Set the picture to scale", keys(ALT, Key::P), "Click two points of the picture and type how far apart they are in the house"),
    entry(Command::WriteSheets, "Write the sheets", keys(COMMAND_SHIFT, Key::P), "Write the sheets, the floor and the lists as they are chosen under Print"),
    entry(Command::LookAtSheets, "Look at the sheets", keys(COMMAND, Key::P), "See every page before it is printed, and print from there"),
    entry(Command::Quit, "Close the desk", keys(COMMAND, Key::Q), "Leave Startrow"),
    entry(Command::Undo, "Undo", keys(COMMAND, Key::Z), "Take the last step back"),
    entry2(Command::Redo, "Do again", keys(COMMAND_SHIFT, Key::Z), keys(COMMAND, Key::Y), "Do the undone step again"),
    entry(Command::Select, "Pick and drag", keys(PLAIN, Key::V), "Pick a thing, read it, drag it"),
    entry(Command::DrawRoom, "Draw a room", keys(PLAIN, Key::R), "Click its corners or type its walls' lengths"),
    entry(Command::RoomFromLengths, "Room from its lengths", keys(SHIFT, Key::R), "Type the lengths of its walls, then diagonals: the room is drawn from the tape alone"),
    entry(Command::PlaceDoorway, "Place a doorway", keys(PLAIN, Key::D), "Click a wall of a boarded room"),
    entry(Command::DrawFixture, "Draw a fixture", keys(PLAIN, Key::X), "Drag its outline: an island, a hearth, a kick, a tile area"),
    entry(Command::DrawJoint, "Draw a movement joint", keys(PLAIN, Key::J), "Click or drag it from one edge of the floor to another"),
    entry(Command::MeasureBetween, "Measure between two things", keys(PLAIN, Key::A), "Click two corners, walls, edges or points: their distance, square to a wall, and in rows"),
    entry2(Command::Delete, "Remove", keys(PLAIN, Key::Delete), keys(PLAIN, Key::Backspace), "Remove what is selected"),
    entry(Command::SplitWall, "Split the wall", keys(PLAIN, Key::S), "Put a corner in the middle of the selected wall"),
    entry(Command::JoinWalls, "Join the walls", keys(SHIFT, Key::S), "Make the selected wall one with its neighbour in line; of a corner, join the two walls that meet there"),
    entry(Command::Duplicate, "Once more", keys(COMMAND, Key::D), "Copy what is selected beside itself"),
    entry(Command::TurnOverAcross, "Turn over, left to right", keys(ALT, Key::O), "Mirror what is selected where it stands; a doorway's leaf closes on the other face"),
    entry(Command::TurnOverUp, "Turn over, top to bottom", keys(ALT.plus(SHIFT), Key::O), "Mirror what is selected where it stands, up and down; a doorway's leaf closes on the other face"),
    entry(Command::AllOfKind, "All of its kind", keys(SHIFT, Key::A), "Select every thing of the kind that is selected; of a fixture, every one like it"),
    entry(Command::SelectEverything, "Select everything", keys(ALT, Key::A), "Select every room, doorway, fixture, joint and dimension that is not pinned down"),
    entry(Command::PinDown, "Pin down or unpin", keys(PLAIN, Key::I), "Keep what is selected from being moved or removed by hand, or let it go again"),
    entry(Command::KeepLength, "Keep the length on the drawing", keys(PLAIN, Key::K), "What is measured, or the selected wall's length, stays as a dimension that follows"),
    entry(Command::TapeRoom, "Tape the room", keys(PLAIN, Key::T), "Type what the tape shows of the selected room's walls and diagonals"),
    entry(Command::SetByTape, "Set the corners by the tape", keys(SHIFT, Key::T), "Put the selected room's corners where its taped lengths have them"),
    entry(Command::BackOut, "Back out", keys(PLAIN, Key::Escape), "Drop what is being drawn, then the tool, then the selection"),
    entry2(Command::Fit, "Fit the floor to the table", keys(PLAIN, Key::F), keys(PLAIN, Key::Home), "Show the whole floor"),
    entry2(Command::ZoomIn, "Nearer", keys(PLAIN, Key::Plus), keys(PLAIN, Key::Equals), "See less of the floor, larger"),
    entry(Command::ZoomOut, "Farther", keys(PLAIN, Key::Minus), "See more of the floor, smaller"),
    entry(Command::BestLine, "Use the best line", keys(PLAIN, Key::B), "Put the start line where the set-out finds it best"),
    entry(Command::RunnerUp, "Use the runner-up", keys(SHIFT, Key::B), "Put the start line on the second best line"),
    entry(Command::SafestLine, "Use the safest line", keys(ALT, Key::B), "Put the start line where the measured lengths may be out the furthest"),
    entry(Command::LineUp, "Start line up", keys(ALT, Key::ArrowUp), "Move the start line across the rows by 1 mm"),
    entry(Command::LineDown, "Start line down", keys(ALT, Key::ArrowDown), "Move the start line back across the rows by 1 mm"),
    entry(Command::RowsAlongX, "Rows across the page", keys(PLAIN, Key::H), "Run the rows from left to right"),
    entry(Command::RowsAlongY, "Rows up the page", keys(SHIFT, Key::H), "Run the rows up the page"),
    entry(Command::RowsAlongWall, "Rows along this wall", keys(PLAIN, Key::L), "Run the rows along the selected wall"),
    entry(Command::AnotherStagger, "Another stagger", keys(PLAIN, Key::N), "Lay the same floor with other joints"),
    entry(Command::BetterJoints, "Look for better joints", keys(SHIFT, Key::N), "Search for joints that open fewer boards and raise fewer flags; once more stops it"),
    entry(Command::LaidToHere, "Laid up to here", keys(PLAIN, Key::Y), "Mark everything from the start line up to the selected board as laid"),
    entry(Command::LaidBoard, "This board is laid", keys(SHIFT, Key::Y), "Mark the selected board alone as laid"),
    entry(Command::NotLaid, "Not laid after all", keys(ALT, Key::Y), "Take the mark off the selected board, so that it is planned again"),
    entry(Command::NextRoom, "Next room", keys(PLAIN, Key::M), "Select the next room"),
    entry(Command::NextWall, "Next wall", keys(PLAIN, Key::W), "Select the next wall of the room; then type its length"),
    entry(Command::PreviousWall, "Wall before", keys(SHIFT, Key::W), "Select the wall before"),
    entry(Command::NextFlag, "Next flag", keys(PLAIN, Key::G), "Go to the next flag"),
    entry(Command::PreviousFlag, "Flag before", keys(SHIFT, Key::G), "Go to the flag before"),
    entry(Command::TryMends, "What would mend it", keys(SHIFT, Key::M), "Try what the plan could change to do away with the selected flag"),
    entry(Command::FirstMend, "Do the first mend", keys(ALT, Key::M), "Carry out the first of the mends tried for the selected flag"),
    entry(Command::SideBySide, "Two floors side by side", keys(PLAIN, Key::C), "Compare: hold another floor beside this one, another line, the rows turned, other joints; once more shows the next"),
    entry(Command::LayOn, "Lay board by board", keys(PLAIN, Key::P), "Play: show the laying go on by itself; once more holds it"),
    entry(Command::NextBoard, "Next board down", keys(PLAIN, Key::Period), "Lay the next board, and show how the one after goes in"),
    entry(Command::BoardBefore, "Last board up", keys(PLAIN, Key::Comma), "Take the last board up again"),
    entry(Command::NextRow, "Next row down", keys(ALT, Key::Period), "Lay the rest of this row"),
    entry(Command::RowBefore, "Last row up", keys(ALT, Key::Comma), "Take up the boards of the last row"),
    entry(Command::WholeFloor, "Whole floor down", keys(SHIFT, Key::P), "Leave the laying and show every board"),
    entry(Command::OwnersView, "Owner's view", keys(PLAIN, Key::O), "See the wood from above, then from the end of the hallway, then the table again"),
    entry(Command::ToggleUnits, "Millimetres or feet", keys(PLAIN, Key::U), "Show and type lengths in the other units"),
    entry(Command::ToggleTheme, "Paper or slate", keys(COMMAND, Key::L), "Change between the light and the dark table"),
    entry(Command::ToggleContrast, "Hard contrast", keys(COMMAND_SHIFT, Key::L), "Black on white or white on black, for sunlight and weak eyes; once more for the usual"),
    entry2(Command::Larger, "Everything larger", keys(COMMAND, Key::Plus), keys(COMMAND, Key::Equals), "Larger writing and lines, up to three times"),
    entry(Command::Smaller, "Everything smaller", keys(COMMAND, Key::Minus), "Smaller writing and lines, down to the usual"),
    entry(Command::UsualSize, "Usual size", keys(COMMAND, Key::Num0), "Writing and lines at the usual size"),
    entry(Command::ToggleGrid, "Grid", keys(COMMAND, Key::G), "Show or hide the grid; hidden, it does not catch either"),
    entry(Command::ShowWalls, "Walls and doorways", keys(COMMAND, Key::Num1), "Show or hide walls, openings and leaves"),
    entry(Command::ShowFixtures, "Fixtures", keys(COMMAND, Key::Num2), "Show or hide fixtures and movement joints"),
    entry(Command::ShowBoards, "Boards", keys(COMMAND, Key::Num3), "Show or hide the boards, to see the rooms bare"),
    entry(Command::ShowSetOut, "Line and rips", keys(COMMAND, Key::Num4), "Show or hide the start line, its pulls, control lines and the rips"),
    entry(Command::ShowFlags, "Flags", keys(COMMAND, Key::Num5), "Show or hide the flags"),
    entry(Command::ShowDimensions, "Dimensions", keys(COMMAND, Key::Num6), "Show or hide the dimensions kept on the drawing"),
    entry(Command::ShowNames, "Names", keys(COMMAND, Key::Num7), "Show or hide the names of rooms and fixtures"),
    entry(Command::ShowPicture, "Picture", keys(COMMAND, Key::Num8), "Show or hide the picture under the plan"),
    entry(Command::ShowAll, "Show everything", keys(COMMAND, Key::Num9), "Show all that was hidden"),
    entry(Command::OpenAllSteps, "Open every step", keys(COMMAND, Key::J), "Open all steps of the job"),
    entry(Command::CloseAllSteps, "Close every step", keys(COMMAND_SHIFT, Key::J), "Close all steps of the job"),
    entry(Command::FoldJob, "Job beside the floor", keys(PLAIN, Key::F3), "Fold the job away, or bring it back"),
    entry(Command::FoldStrip, "Curve under the floor", keys(PLAIN, Key::F4), "Fold the set-out curve away, or bring it back"),
    entry(Command::NameIt, "Name it", keys(PLAIN, Key::F2), "Type the name of the selected room, doorway or fixture"),
    entry(Command::FirstSteps, "First steps", keys(PLAIN, Key::F1), "A short walk through the job that watches what you do; once more leaves it"),
    entry(Command::Find, "Find a command", keys(COMMAND, Key::K), "Find any of these by name"),
];

impl Command {
    /// Every command, in the table's order.
    pub fn all() -> impl Iterator<Item = Self> {
        TABLE.iter().map(|entry| entry.command)
    }

    fn entry(self) -> &'static Entry {
        // A test holds every command to its row.
        TABLE.iter().find(|entry| entry.command == self).unwrap_or(&TABLE[0])
    }

    /// Its name.
    pub fn name(self) -> &'static str {
        self.entry().name
    }

    /// One line about what it does.
    pub fn about(self) -> &'static str {
        self.entry().about
    }

    /// Its keys.
    pub fn keys(self) -> Option<KeyboardShortcut> {
        self.entry().keys
    }

    /// Its keys as text, empty if it has none.
    pub fn keys_text(self, ctx: &egui::Context) -> String {
        self.keys().map(|keys| ctx.format_shortcut(&keys)).unwrap_or_default()
    }

    /// Name, what it does and keys, for a tooltip.
    pub fn tooltip(self, ctx: &egui::Context) -> String {
        match self.keys() {
            Some(_) => format!("{} · {}", self.about(), self.keys_text(ctx)),
            None => self.about().to_owned(),
        }
    }

    /// How well it answers to typed words, less is better; `None` if some word is not in it.
    pub fn answers_to(self, typed: &str) -> Option<usize> {
        let name = self.name().to_lowercase();
        let about = self.about().to_lowercase();
        let mut rank = 0;
        for word in typed.to_lowercase().split_whitespace() {
            let begins = |text: &str| text.split([' ', ',', '-']).any(|part| part.starts_with(word));
            rank += if name.starts_with(word) {
                0
            } else if begins(&name) {
                1
            } else if begins(&about) {
                4
            } else {
                return None;
            };
        }
        Some(rank)
    }

    /// The commands whose keys were pressed; their key events are used up. Keys without ctrl or cmd
    /// count only while `plain` holds, that is while nobody types.
    pub(crate) fn pressed(ctx: &egui::Context, plain: bool) -> Vec<Self> {
        let mut rows: Vec<_> = TABLE
            .iter()
            .flat_map(|entry| {
                [entry.keys, entry.more_keys].into_iter().flatten().map(|keys| (keys, entry.command))
            })
            .filter(|(keys, _)| plain || keys.modifiers.command)
            .collect();
        // A shortcut with more modifiers must be asked first: fewer would match it too.
        rows.sort_by_key(|(keys, _)| {
            let m = keys.modifiers;
            std::cmp::Reverse(usize::from(m.shift) + usize::from(m.alt) + usize::from(m.command))
        });
        ctx.input_mut(|input| {
            rows.into_iter()
                .filter(|(keys, _)| input.consume_shortcut(keys))
                .map(|(_, command)| command)
                .collect()
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_command_has_its_row_and_its_own_keys() {
        // The last variant's number is the count of variants less one.
        assert_eq!(TABLE.len(), Command::Find as usize + 1);
        let mut seen = Vec::new();
        for entry in TABLE {
            assert_eq!(entry.command.name(), entry.name);
            assert!(entry.keys.is_some(), "{} has no keys", entry.name);
            for keys in [entry.keys, entry.more_keys].into_iter().flatten() {
                assert!(!seen.contains(&keys), "{} shares its keys", entry.name);
                seen.push(keys);
            }
        }
    }

    #[test]
    fn finds_by_words_in_any_order() {
        assert!(Command::BestLine.answers_to("line best").is_some());
        assert!(Command::BestLine.answers_to("LINE").is_some());
        assert_eq!(Command::BestLine.answers_to("wardrobe"), None);
        assert!(Command::Fit.answers_to("fit") < Command::RowsAlongWall.answers_to("run"));
    }
}
