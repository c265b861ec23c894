//! What panes do with the plan: short ways of saying things to the editor.

use super::{Pane, Store, put};
use crate::editor::view::Point;
use crate::editor::{Editor, Mark, Message, Selection};
use crate::net::Problem;
use crate::plan::{Edit, History, PartId, Plan, WireId};
use crate::quantity::Ms;
use leptos::prelude::*;

impl Store {
    /// Does `edits` as one step of undo called `says`. Where one can't be done none is, a notice says why, and the answer
    /// is false.
    pub fn commit(self, says: &str, edits: Vec<Edit>) -> bool {
        let before = self.revision.get_untracked();
        let nothing = edits.is_empty();
        self.dispatch(Message::Commit {
            says: says.into(),
            edits,
        });
        nothing || self.revision.get_untracked() != before
    }

    /// Takes the last step back.
    pub fn undo(self) {
        self.dispatch(Message::Undo);
    }

    /// Does the step again that was last taken back.
    pub fn redo(self) {
        self.dispatch(Message::Redo);
    }

    /// Opens another plan, kept under `key`, with its steps of undo where they are kept. Where that is the key of the open
    /// one, the time of day shown stays.
    pub fn replace_plan(self, plan: Plan, key: String, history: Option<History>) {
        let keeps_moment = self.key.with_untracked(|k| *k == key);
        put(self.key, key);
        self.dispatch(Message::Open {
            plan: Box::new(plan),
            keeps_moment,
        });
        if let Some(history) = history {
            self.dispatch(Message::Remember(Box::new(history)));
        }
    }

    /// The open plan is kept under another key from now on.
    pub fn set_plan_key(self, key: String) {
        put(self.key, key);
    }

    /// Shows `plan` in the document's place until something is edited or [`Store::end_preview`] is called. `says` tells
    /// what is shown, such as "Without the roof panel".
    pub fn preview_plan(self, says: &str, plan: Plan) {
        self.dispatch(Message::Preview {
            says: says.into(),
            plan: Box::new(plan),
        });
    }

    /// Shows the document with `edits`, which can then be taken as one step of undo called `name`. Where they do not
    /// apply a notice says so, and the answer is false.
    pub fn preview_change(self, says: &str, name: &str, edits: Vec<Edit>) -> bool {
        self.dispatch(Message::PreviewChange {
            says: says.into(),
            name: name.into(),
            edits,
        });
        self.with(|editor| editor.preview().is_some_and(|p| p.says == says))
    }

    /// Makes the document what is tried, as one step of undo.
    pub fn take_preview(self) {
        self.dispatch(Message::TakePreview);
    }

    /// Shows the document again.
    pub fn end_preview(self) {
        self.dispatch(Message::EndPreview);
    }

    /// How a part of the board stands to the document. Tracks what is tried.
    pub fn mark_of_part(self, id: &PartId) -> Mark {
        self.preview.track();
        self.with(|editor: &Editor| editor.mark_of_part(id))
    }

    /// Chooses parts and wires.
    pub fn select(self, selection: Selection) {
        self.dispatch(Message::Select(selection));
    }

    /// Shows another moment, in milliseconds since midnight of day 1.
    pub fn go_to(self, t: Ms) {
        self.dispatch(Message::Moment(t));
    }

    /// Points at a part, on the board or in a list.
    pub fn point_at(self, id: Option<PartId>) {
        self.dispatch(Message::Hover(id));
    }

    /// Gives a part the board's place in the order of Tab.
    pub fn set_focus(self, id: Option<PartId>) {
        self.dispatch(Message::Focus(id));
    }

    /// Takes a part type in hand, or lets go of it.
    pub fn set_carry(self, kind: Option<String>) {
        self.dispatch(Message::Carry(kind));
    }

    /// Adds a part of the type `kind` with its middle at a place of the board, or in the middle of the view, and chooses
    /// it.
    pub fn place_part(self, kind: &str, at: Option<Point>) {
        self.dispatch(Message::Place(kind.into(), at));
    }

    /// Shows the whole plan.
    pub fn fit(self) {
        self.dispatch(Message::Fit);
    }

    /// Chooses these parts and wires and brings them into view.
    pub fn show(self, parts: &[PartId], wires: &[WireId]) {
        self.dispatch(Message::Show(parts.to_vec(), wires.to_vec()));
    }

    /// Leads to what is wrong: on the board, and to the world's settings where those mend it.
    pub fn lead_to(self, problem: &Problem) {
        self.show(&problem.parts, &problem.wires);
        if problem.kind.asks_for_home_hours() {
            // With nothing chosen the details are those of the plan and its world.
            self.select(Selection::default());
            self.pane.set(Some(Pane::Details));
            self.asks_for_home.update(|times| *times += 1);
        }
    }

    /// Chooses these and moves the view no more than shows them.
    pub fn reveal(self, parts: Vec<PartId>, wires: Vec<WireId>) {
        self.dispatch(Message::Reveal(parts, wires));
    }

    /// Asks what strangers can put out or cut, or no longer; the details say it.
    pub fn ask_about_strangers(self) {
        let asks = !self.strangers.get_untracked();
        self.strangers.set(asks);
        if asks {
            self.pane.set(Some(Pane::Details));
        }
    }

    /// Says something in the page's polite line; it goes away by itself.
    pub fn notice(self, text: String) {
        self.notice.set(text);
    }
}
