//! What panels and tools ask for; the desk applies it in one place.

use crate::canvas::Span;
use crate::command::Command;
use crate::select::Selected;
use plan::{Plan, Point, Problem};
use std::path::PathBuf;

/// A change of the plan; one that cannot be made leaves the plan as it was and says why.
pub(crate) type Change = Box<dyn FnOnce(&mut Plan) -> Result<(), Problem>>;

/// One thing asked for.
pub(crate) enum Action {
    /// Carry out a command.
    Run(Command),
    /// Change the plan in one step with this name.
    Edit(String, Change),
    /// A gesture starts: whatever comes until it is kept or dropped is one step.
    Begin(String),
    /// The plan as the gesture has it now.
    Live(Box<Plan>),
    /// The start line as the gesture has it now: an offset, mm.
    LiveLine(f64),
    /// The gesture's plan stays.
    Keep,
    /// The gesture's plan goes.
    Drop,
    /// Select something.
    Select(Selected),
    /// Add something to what is selected, or take it away.
    SelectMore(Selected),
    /// Go to the field of this name, wherever it is shown of what is selected.
    TypeInto(&'static str),
    /// Select these together.
    SelectTogether(Vec<Selected>),
    /// Bring a stretch of the plan into view.
    LookAt(Span),
    /// Bring a stretch of the plan into view without coming nearer.
    KeepInSight(Span),
    /// Bring a point of the plan into view if it is not.
    Show(Point),
    /// Open a plan file.
    Open(PathBuf),
    /// Lay a picture under the plan.
    LayPicture(PathBuf),
    /// Take this backdrop, with the picture as it is now.
    TakePicture(Box<plan::Backdrop>),
    /// Read the picture's file again.
    ReadPicture,
    /// Ask what to take of a drawing.
    BringIn(PathBuf),
    /// Write the sheets into a folder.
    WriteSheets(PathBuf),
    /// Give up the sheets that are being written.
    StopWriting,
    /// Show the laying with all runs before this one down.
    LayTo(usize),
    /// Carry out one of the mends tried for the selected flag.
    DoMend(usize),
    /// Give up trying what would mend a flag.
    StopMends,
    /// How a wall's length gives way from now on.
    Give((plan::edit::Gives, bool)),
    /// Say something under the floor.
    Say(String),
}

/// Actions asked for in one frame, in order.
#[derive(Default)]
pub(crate) struct Actions(Vec<Action>);

impl Actions {
    pub(crate) fn push(&mut self, action: Action) {
        self.0.push(action);
    }

    pub(crate) fn run(&mut self, command: Command) {
        self.push(Action::Run(command));
    }

    pub(crate) fn edit(&mut self, name: impl Into<String>, change: impl FnOnce(&mut Plan) + 'static) {
        self.try_edit(name, |plan| {
            change(plan);
            Ok(())
        });
    }

    /// Asks for a change that may not be possible.
    pub(crate) fn try_edit(
        &mut self,
        name: impl Into<String>,
        change: impl FnOnce(&mut Plan) -> Result<(), Problem> + 'static,
    ) {
        self.push(Action::Edit(name.into(), Box::new(change)));
    }

    pub(crate) fn select(&mut self, selected: Selected) {
        self.push(Action::Select(selected));
    }

    pub(crate) fn take(&mut self) -> Vec<Action> {
        std::mem::take(&mut self.0)
    }
}
