//! The open plan: its file, what can be undone, and whether it is saved.

use plan::{Plan, Problem};
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// Steps kept to be undone.
const STEP_LIMIT: usize = 500;

/// A named step: the plan on the step's other side.
#[derive(Debug, Clone)]
struct Step {
    name: String,
    plan: Arc<Plan>,
}

/// A gesture under way.
#[derive(Debug, Clone)]
struct Gesture {
    name: String,
    before: Arc<Plan>,
}

/// The open plan.
#[derive(Debug, Clone)]
pub(crate) struct Document {
    plan: Arc<Plan>,
    saved: Option<Arc<Plan>>,
    path: Option<PathBuf>,
    undo: Vec<Step>,
    redo: Vec<Step>,
    gesture: Option<Gesture>,
    revision: u64,
    dirty: bool,
}

impl Document {
    /// A plan that counts as saved: one just opened, or a fresh one in which nothing would be lost.
    pub(crate) fn new(plan: Plan, path: Option<PathBuf>) -> Self {
        let plan = Arc::new(plan);
        Self {
            saved: Some(plan.clone()),
            plan,
            path,
            undo: Vec::new(),
            redo: Vec::new(),
            gesture: None,
            revision: 1,
            dirty: false,
        }
    }

    pub(crate) fn plan(&self) -> &Arc<Plan> {
        &self.plan
    }

    pub(crate) fn path(&self) -> Option<&Path> {
        self.path.as_deref()
    }

    /// Counts up with every change of the plan.
    pub(crate) fn revision(&self) -> u64 {
        self.revision
    }

    pub(crate) fn is_dirty(&self) -> bool {
        self.dirty
    }

    pub(crate) fn undo_name(&self) -> Option<&str> {
        self.undo.last().map(|step| step.name.as_str())
    }

    /// How many steps can be undone.
    pub(crate) fn steps(&self) -> usize {
        self.undo.len()
    }

    pub(crate) fn redo_name(&self) -> Option<&str> {
        self.redo.last().map(|step| step.name.as_str())
    }

    pub(crate) fn in_gesture(&self) -> bool {
        self.gesture.is_some()
    }

    /// Changes the plan in one step. A change that leaves it as it was leaves no step.
    ///
    /// # Errors
    /// What the change gives as its reason not to be made, or the number beyond a house that it would bring in: saved, the
    /// plan could not be opened again. The plan stays as it was.
    pub(crate) fn edit(
        &mut self,
        name: &str,
        change: impl FnOnce(&mut Plan) -> Result<(), Problem>,
    ) -> Result<(), Problem> {
        self.keep();
        let mut plan = Plan::clone(&self.plan);
        change(&mut plan)?;
        if plan != *self.plan {
            if let Some(problem) = self.brought_in(&plan) {
                return Err(problem);
            }
            let before = std::mem::replace(&mut self.plan, Arc::new(plan));
            self.push_step(name.to_owned(), before);
            self.changed();
        }
        Ok(())
    }

    /// Starts a gesture; one still under way is kept first.
    pub(crate) fn begin(&mut self, name: &str) {
        self.keep();
        self.gesture = Some(Gesture { name: name.to_owned(), before: self.plan.clone() });
    }

    /// What no file may hold and the plan on the table does not.
    fn brought_in(&self, plan: &Plan) -> Option<Problem> {
        plan.absurd().into_iter().next().filter(|_| self.plan.absurd().is_empty())
    }

    /// The gesture's plan now. Without a gesture nothing happens; nor does it go on past what a house may hold.
    pub(crate) fn live(&mut self, plan: Plan) {
        if self.gesture.is_some() && plan != *self.plan && self.brought_in(&plan).is_none() {
            self.plan = Arc::new(plan);
            self.changed();
        }
    }

    /// Ends the gesture with one step, or with none if it changed nothing.
    pub(crate) fn keep(&mut self) {
        let Some(gesture) = self.gesture.take() else { return };
        if *gesture.before != *self.plan {
            self.push_step(gesture.name, gesture.before);
        }
    }

    /// Ends the gesture and puts back the plan from before it.
    pub(crate) fn drop_gesture(&mut self) {
        let Some(gesture) = self.gesture.take() else { return };
        if !Arc::ptr_eq(&gesture.before, &self.plan) {
            self.plan = gesture.before;
            self.changed();
        }
    }

    /// Takes the last step back; its name, if there was one.
    pub(crate) fn undo(&mut self) -> Option<String> {
        self.keep();
        let step = self.undo.pop()?;
        let after = std::mem::replace(&mut self.plan, step.plan);
        self.redo.push(Step { name: step.name.clone(), plan: after });
        self.changed();
        Some(step.name)
    }

    /// Does the last undone step again; its name, if there was one.
    pub(crate) fn redo(&mut self) -> Option<String> {
        self.keep();
        let step = self.redo.pop()?;
        let before = std::mem::replace(&mut self.plan, step.plan);
        self.undo.push(Step { name: step.name.clone(), plan: before });
        self.changed();
        Some(step.name)
    }

    /// The plan has been written to `path` as `plan`.
    pub(crate) fn saved_as(&mut self, path: PathBuf, plan: Arc<Plan>) {
        self.path = Some(path);
        self.saved = Some(plan);
        self.dirty = self.saved.as_deref() != Some(&*self.plan);
    }

    /// What is not saved is left on purpose: nothing counts as unsaved any more.
    pub(crate) fn leave(&mut self) {
        self.keep();
        self.dirty = false;
    }

    fn push_step(&mut self, name: String, before: Arc<Plan>) {
        self.undo.push(Step { name, plan: before });
        if self.undo.len() > STEP_LIMIT {
            self.undo.remove(0);
        }
        self.redo.clear();
    }

    fn changed(&mut self) {
        self.revision += 1;
        self.dirty = self.saved.as_deref() != Some(&*self.plan);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rename(document: &mut Document, name: &'static str) {
        let set = |plan: &mut Plan| {
            plan.name = name.into();
            Ok(())
        };
        document.edit("rename", set).unwrap();
    }

    #[test]
    fn steps_go_back_and_forth() {
        let mut document = Document::new(Plan::new("A"), None);
        rename(&mut document, "B");
        rename(&mut document, "C");
        assert!(document.is_dirty());
        assert_eq!(document.undo().as_deref(), Some("rename"));
        assert_eq!(document.plan().name, "B");
        document.undo();
        assert_eq!(document.plan().name, "A");
        assert!(!document.is_dirty(), "back at what was saved");
        assert_eq!(document.undo(), None);
        document.redo();
        document.redo();
        assert_eq!(document.plan().name, "C");
        document.undo();
        rename(&mut document, "D");
        assert_eq!(document.redo(), None, "a new step ends what could be done again");
    }

    #[test]
    fn a_gesture_is_one_step() {
        let mut document = Document::new(Plan::new("A"), None);
        document.begin("drag");
        for name in ["B", "C", "D"] {
            document.live(Plan::new(name));
        }
        document.keep();
        assert_eq!(document.undo_name(), Some("drag"));
        document.undo();
        assert_eq!(document.plan().name, "A");
        assert_eq!(document.undo_name(), None);
    }

    #[test]
    fn a_gesture_without_change_leaves_no_step() {
        let mut document = Document::new(Plan::new("A"), None);
        document.begin("drag");
        document.live(Plan::new("B"));
        document.live(Plan::new("A"));
        document.keep();
        assert_eq!(document.undo_name(), None);
        document.begin("drag");
        document.live(Plan::new("B"));
        document.drop_gesture();
        assert_eq!(document.plan().name, "A");
        assert_eq!(document.undo_name(), None);
        rename(&mut document, "A");
        assert_eq!(document.undo_name(), None, "an edit without change neither");
    }

    /// A file with more than a kilometre in it is not opened: what cannot be opened again is not drawn.
    #[test]
    fn nothing_comes_in_with_which_the_plan_could_not_be_opened_again() {
        let mut document = Document::new(Plan::new("A"), None);
        let far = |plan: &mut Plan| {
            plan.rules.least_end = 9_999_999.0;
            Ok(())
        };
        let refused = document.edit("shortest end", far).unwrap_err();
        assert!(refused.what.contains("more than a kilometre"), "{refused:?}");
        document.begin("drag");
        let mut plan = Plan::new("A");
        plan.start_line = plan::StartLine::At(f64::INFINITY);
        document.live(plan);
        document.keep();
        assert_eq!((document.plan().as_ref(), document.undo_name()), (&Plan::new("A"), None));
    }

    #[test]
    fn steps_are_limited() {
        let mut document = Document::new(Plan::new("A"), None);
        for seed in 0..STEP_LIMIT as u64 + 20 {
            let set = |plan: &mut Plan| {
                plan.seed = seed + 100;
                Ok(())
            };
            document.edit("seed", set).unwrap();
        }
        let mut undone = 0;
        while document.undo().is_some() {
            undone += 1;
        }
        assert_eq!(undone, STEP_LIMIT);
    }
}
