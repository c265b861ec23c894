//! Undo and redo without end: one gesture, one step; a gesture that changed nothing leaves none.

use super::{Edit, EditError, Plan};

/// What was done to a plan, and what was taken back.
#[derive(Clone, Debug, Default)]
pub struct History {
    undo: Vec<Step>,
    redo: Vec<Step>,
}

#[derive(Clone, Debug)]
struct Step {
    says: String,
    edits: Vec<Edit>,
}

impl History {
    /// Does `edits` to `plan` as one step called `says`. All of them are done or none.
    pub fn commit(
        &mut self,
        plan: &mut Plan,
        says: &str,
        edits: Vec<Edit>,
    ) -> Result<(), EditError> {
        let before = edits.clone();
        let inverses = plan.apply_all(edits)?;
        let mut swapped: Vec<Edit> = inverses.clone();
        swapped.reverse();
        // A gesture whose inverses are what it did has changed nothing.
        if before == swapped {
            return Ok(());
        }
        self.undo.push(Step {
            says: says.into(),
            edits: inverses,
        });
        self.redo.clear();
        Ok(())
    }

    /// Takes the last step back; says which.
    pub fn undo(&mut self, plan: &mut Plan) -> Option<String> {
        turn(&mut self.undo, &mut self.redo, plan)
    }

    /// Does the step again that was last taken back; says which.
    pub fn redo(&mut self, plan: &mut Plan) -> Option<String> {
        turn(&mut self.redo, &mut self.undo, plan)
    }

    /// The step that [`History::undo`] would take back.
    pub fn undoes(&self) -> Option<&str> {
        self.undo.last().map(|s| s.says.as_str())
    }

    /// The step that [`History::redo`] would do again.
    pub fn redoes(&self) -> Option<&str> {
        self.redo.last().map(|s| s.says.as_str())
    }
}

fn turn(from: &mut Vec<Step>, to: &mut Vec<Step>, plan: &mut Plan) -> Option<String> {
    let step = from.pop()?;
    // The plan is as the step left it, so its inverse applies; if it should not, the step is dropped, never the plan.
    let edits = plan.apply_all(step.edits).ok()?;
    to.push(Step {
        says: step.says.clone(),
        edits,
    });
    Some(step.says)
}
