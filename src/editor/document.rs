//! The open plan with its history, and what is tried in its place.
//!
//! A plan that is tried (a loss, a change before it is taken) is a plan of its own: the board shows it, with what it has
//! no more still drawn and marked, and the document stays as it is.

use super::walk::Following;
use crate::plan::{Edit, EditError, History, Part, PartId, Plan, Wire, WireId};
use std::sync::Arc;

/// A plan that is tried.
#[derive(Clone, Debug)]
pub struct Preview {
    /// What is shown, such as "Without the roof panel".
    pub says: String,
    /// The plan as it would be.
    pub plan: Arc<Plan>,
    /// The same, and behind it the parts and wires of the document that it has no more.
    pub board: Arc<Plan>,
    /// What makes the document the same, as a step of undo with its name, where it can be taken.
    pub take: Option<(String, Vec<Edit>)>,
}

/// How a part or wire of the board stands to the document.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Mark {
    /// As in the document.
    #[default]
    Same,
    /// In the document, but not in what is tried.
    Gone,
    /// Not in the document.
    New,
    /// Set otherwise than in the document.
    Changed,
}

impl Mark {
    /// The class on the board.
    pub const fn class(self) -> &'static str {
        match self {
            Mark::Same => "",
            Mark::Gone => " gone",
            Mark::New => " new",
            Mark::Changed => " changed",
        }
    }

    /// What it adds to what is said of a part.
    pub const fn said(self) -> &'static str {
        match self {
            Mark::Same => "",
            Mark::Gone => ", gone in what is tried",
            Mark::New => ", new in what is tried",
            Mark::Changed => ", changed in what is tried",
        }
    }

    fn of<T: PartialEq>(before: Option<&T>, now: Option<&T>) -> Mark {
        match (before, now) {
            (Some(_), None) => Mark::Gone,
            (None, Some(_)) => Mark::New,
            (before, now) if before == now => Mark::Same,
            _ => Mark::Changed,
        }
    }
}

/// The open plan with its history, and what is tried in its place.
#[derive(Clone, Debug)]
pub struct Document {
    plan: Arc<Plan>,
    history: History,
    preview: Option<Preview>,
    following: Option<Following>,
}

impl Document {
    /// A plan with nothing to take back.
    pub fn new(plan: Plan) -> Document {
        Document {
            plan: Arc::new(plan),
            history: History::default(),
            preview: None,
            following: None,
        }
    }

    /// The plan that is edited and kept.
    pub fn plan(&self) -> &Arc<Plan> {
        &self.plan
    }

    /// The plan that is worked out: the document, what is tried, or a state of the walk.
    pub fn shown(&self) -> &Arc<Plan> {
        match &self.following {
            Some(following) => following.shown(),
            None => self.preview.as_ref().map_or(&self.plan, |p| &p.plan),
        }
    }

    /// The plan that is drawn: the document, what is tried with all that is gone from it, or a state of the walk.
    pub fn board(&self) -> &Arc<Plan> {
        match &self.following {
            Some(following) => following.shown(),
            None => self.preview.as_ref().map_or(&self.plan, |p| &p.board),
        }
    }

    /// The walk, while it is followed.
    pub fn following(&self) -> Option<&Following> {
        self.following.as_ref()
    }

    /// The same, to be led elsewhere.
    pub fn following_mut(&mut self) -> Option<&mut Following> {
        self.following.as_mut()
    }

    /// Shows states of the walk in the document's place.
    pub fn follow(&mut self, following: Following) {
        self.following = Some(following);
    }

    /// Shows the document again; answers with how the walk was followed.
    pub fn follow_no_more(&mut self) -> Option<Following> {
        self.following.take()
    }

    /// What is tried.
    pub fn preview(&self) -> Option<&Preview> {
        self.preview.as_ref()
    }

    /// The history.
    pub fn history(&self) -> &History {
        &self.history
    }

    /// Takes a history in place of its own.
    pub fn remember(&mut self, history: History) {
        self.history = history;
    }

    /// Does `edits` as one step called `says`: all of them or none.
    ///
    /// # Errors
    /// What the first edit that can't be applied says.
    pub fn commit(&mut self, says: &str, edits: Vec<Edit>) -> Result<(), EditError> {
        self.history
            .commit(Arc::make_mut(&mut self.plan), says, edits)
    }

    /// Takes the last step back; says which.
    pub fn undo(&mut self) -> Option<String> {
        self.history.undo(Arc::make_mut(&mut self.plan))
    }

    /// Does the step again that was last taken back; says which.
    pub fn redo(&mut self) -> Option<String> {
        self.history.redo(Arc::make_mut(&mut self.plan))
    }

    /// Ids for new parts.
    pub fn new_part_ids(&mut self, count: usize) -> Vec<PartId> {
        let plan = Arc::make_mut(&mut self.plan);
        (0..count).map(|_| plan.new_part_id()).collect()
    }

    /// Ids for new wires.
    pub fn new_wire_ids(&mut self, count: usize) -> Vec<WireId> {
        let plan = Arc::make_mut(&mut self.plan);
        (0..count).map(|_| plan.new_wire_id()).collect()
    }

    /// Shows `plan` in the document's place. Its parts without a place are given one.
    pub fn begin_preview(&mut self, says: &str, plan: Plan, take: Option<(String, Vec<Edit>)>) {
        let mut plan = plan;
        super::layout::give_places(&mut plan);
        let gone = |p: &&Part| plan.part(&p.id).is_none();
        let parts: Vec<Part> = self.plan.parts.iter().filter(gone).cloned().collect();
        let cut = |w: &&Wire| plan.wire(&w.id).is_none();
        let wires: Vec<Wire> = self.plan.wires.iter().filter(cut).cloned().collect();
        let mut board = plan.clone();
        board.parts.extend(parts);
        board.wires.extend(wires);
        self.preview = Some(Preview {
            says: says.into(),
            plan: Arc::new(plan),
            board: Arc::new(board),
            take,
        });
    }

    /// Shows the document again; answers with what was tried.
    pub fn end_preview(&mut self) -> Option<Preview> {
        self.preview.take()
    }

    /// How a part of the board stands to the document.
    pub fn mark_of_part(&self, id: &PartId) -> Mark {
        self.preview.as_ref().map_or(Mark::Same, |preview| {
            Mark::of(self.plan.part(id), preview.plan.part(id))
        })
    }

    /// How a wire of the board stands to the document.
    pub fn mark_of_wire(&self, id: &WireId) -> Mark {
        self.preview.as_ref().map_or(Mark::Same, |preview| {
            Mark::of(self.plan.wire(id), preview.plan.wire(id))
        })
    }
}
