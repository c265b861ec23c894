//! The page's one handle on the open plan: the document as plain data, and signals that tell what changed of it.
//!
//! The document, its history and the last answer of the solver lie in one store that no signal watches. After every
//! change the answer is computed anew and compared, part by part and wire by wire, with what the signals hold; only
//! those that differ are set. A component therefore reads a part's own signal and is left alone by all others.
//! Places in pixels of the board, instants in milliseconds since midnight of day 1. It computes no power itself.

use super::dial::rescaled;
use super::log::LogPage;
use super::refresh::put;
use super::trial::Trial;
use super::view::View;
use crate::net::Problem;
use crate::plan::{Edit, History, Part, PartId, Plan, Wire, WireId};
use crate::quantity::{Ms, Unit};
use crate::run::{Flow, PartState, Playback};
use leptos::prelude::*;
use std::collections::{BTreeMap, BTreeSet};

/// What is chosen on the board.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Selection {
    /// The chosen parts.
    pub parts: BTreeSet<PartId>,
    /// The chosen wires.
    pub wires: BTreeSet<WireId>,
}

impl Selection {
    /// One part alone.
    pub fn part(id: &PartId) -> Selection {
        Selection {
            parts: [id.clone()].into(),
            wires: BTreeSet::new(),
        }
    }

    /// One wire alone.
    pub fn wire(id: &WireId) -> Selection {
        Selection {
            parts: BTreeSet::new(),
            wires: [id.clone()].into(),
        }
    }

    /// Whether nothing is chosen.
    pub fn is_empty(&self) -> bool {
        self.parts.is_empty() && self.wires.is_empty()
    }
}

/// Which of the panes a narrow screen shows in its drawer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pane {
    /// The part types.
    Shelf,
    /// The chosen part.
    Details,
    /// What is wrong.
    Problems,
    /// The station log.
    Log,
}

#[derive(Default)]
pub(super) struct Doc {
    history: History,
    pub(super) plan: Option<Plan>,
    pub(super) trial: Option<Trial>,
    /// The run of what is shown; made anew when that changes.
    pub(super) playback: Option<Playback>,
    pub(super) parts: BTreeMap<PartId, (ArcRwSignal<Part>, ArcRwSignal<PartState>)>,
    pub(super) wires: BTreeMap<WireId, (ArcRwSignal<Wire>, ArcRwSignal<Flow>)>,
    /// The signals of what is gone. A change may take an id away and give it again before anything is drawn; what was
    /// drawn for it then still listens to these.
    pub(super) past_parts: BTreeMap<PartId, (ArcRwSignal<Part>, ArcRwSignal<PartState>)>,
    pub(super) past_wires: BTreeMap<WireId, (ArcRwSignal<Wire>, ArcRwSignal<Flow>)>,
}

/// The page's state. Cheap to copy; provided by context.
#[derive(Clone, Copy)]
pub struct Store {
    pub(super) doc: StoredValue<Doc>,
    pub(super) trial_says: RwSignal<Option<String>>,
    pub(super) shown: RwSignal<u64>,
    hover: RwSignal<Option<PartId>>,
    log: RwSignal<LogPage>,
    revision: RwSignal<u64>,
    opened: RwSignal<u64>,
    key: RwSignal<String>,
    pub(super) part_ids: RwSignal<Vec<PartId>>,
    pub(super) wire_ids: RwSignal<Vec<WireId>>,
    pub(super) problems: RwSignal<Vec<Problem>>,
    undoes: RwSignal<Option<String>>,
    redoes: RwSignal<Option<String>>,
    pub(super) selection: RwSignal<Selection>,
    pub(super) moment: RwSignal<Ms>,
    notice: RwSignal<String>,
    carry: RwSignal<Option<String>>,
    pane: RwSignal<Option<Pane>>,
    view: RwSignal<View>,
    pub(super) focus: RwSignal<Option<PartId>>,
}

/// The page's state, from the context that the page's root provides.
pub fn use_store() -> Store {
    expect_context()
}

impl Store {
    /// A store with an empty plan, shown at noon of day 1. Call it in the page's root.
    pub fn new() -> Store {
        let plan = Plan::empty();
        let noon = plan.world.day_ms() / 2;
        let store = Store {
            doc: StoredValue::new(Doc {
                plan: Some(plan),
                ..Doc::default()
            }),
            trial_says: RwSignal::new(None),
            shown: RwSignal::new(0),
            hover: RwSignal::new(None),
            log: RwSignal::new(LogPage::Day),
            revision: RwSignal::new(0),
            opened: RwSignal::new(0),
            key: RwSignal::new(String::new()),
            part_ids: RwSignal::new(Vec::new()),
            wire_ids: RwSignal::new(Vec::new()),
            problems: RwSignal::new(Vec::new()),
            undoes: RwSignal::new(None),
            redoes: RwSignal::new(None),
            selection: RwSignal::new(Selection::default()),
            moment: RwSignal::new(noon),
            notice: RwSignal::new(String::new()),
            carry: RwSignal::new(None),
            pane: RwSignal::new(None),
            view: RwSignal::new(View::default()),
            focus: RwSignal::new(None),
        };
        store.refresh();
        Effect::watch(
            move || store.moment.get(),
            move |_, _, _| store.refresh(),
            false,
        );
        store
    }

    /// Reads the document, without being told of later changes.
    pub fn with_plan<R>(self, f: impl FnOnce(&Plan) -> R) -> R {
        self.doc.with_value(|doc| match &doc.plan {
            Some(plan) => f(plan),
            None => f(&Plan::empty()),
        })
    }

    /// Reads what the board shows: the document, or what is tried with all that is gone from it, without being told of
    /// later changes.
    pub fn with_board<R>(self, f: impl FnOnce(&Plan) -> R) -> R {
        self.doc.with_value(|doc| match (&doc.trial, &doc.plan) {
            (Some(trial), _) => f(&trial.board),
            (None, Some(plan)) => f(plan),
            (None, None) => f(&Plan::empty()),
        })
    }

    /// Reads the plan that is worked out and shown: the document, or what is tried, without being told of later changes.
    pub fn with_shown<R>(self, f: impl FnOnce(&Plan) -> R) -> R {
        self.doc.with_value(|doc| match (&doc.trial, &doc.plan) {
            (Some(trial), _) => f(&trial.plan),
            (None, Some(plan)) => f(plan),
            (None, None) => f(&Plan::empty()),
        })
    }

    /// Counts every change of the document. Tracked.
    pub fn revision(self) -> u64 {
        self.revision.get()
    }

    /// Counts the plans that were opened: the same id is another thing in another plan. Tracked.
    pub fn opened(self) -> u64 {
        self.opened.get()
    }

    /// Counts every change of what is worked out and shown, be it the document or what is tried. Tracked.
    pub fn shown(self) -> u64 {
        self.shown.get()
    }

    /// The storage key of the open plan. Tracked.
    pub fn plan_key(self) -> String {
        self.key.get()
    }

    /// Does `edits` as one step of undo called `says`. Where one can't be done none is, a notice says why, and the
    /// answer is false.
    pub fn commit(self, says: &str, edits: Vec<Edit>) -> bool {
        if edits.is_empty() {
            return true;
        }
        self.end_trial();
        let done = self.change(|history, plan| history.commit(plan, says, edits));
        match done {
            Some(Ok(())) => {
                self.changed();
                true
            }
            Some(Err(error)) => {
                self.refresh();
                self.notice(format!("Not done: {error}."));
                false
            }
            None => false,
        }
    }

    /// Takes the last step back.
    pub fn undo(self) {
        self.end_trial();
        if let Some(says) = self.turn_back(|history, plan| history.undo(plan)) {
            self.notice(format!("Taken back: {says}."));
        }
    }

    /// Does the step again that was last taken back.
    pub fn redo(self) {
        self.end_trial();
        if let Some(says) = self.turn_back(|history, plan| history.redo(plan)) {
            self.notice(format!("Done again: {says}."));
        }
    }

    /// Goes a step of the history; the moment shown keeps its place on the dial, should the day have another length then.
    fn turn_back(
        self,
        step: impl FnOnce(&mut History, &mut Plan) -> Option<String>,
    ) -> Option<String> {
        let day = |plan: &Plan| plan.world.day_ms();
        let before = self.with_plan(day);
        let says = self.change(step).flatten()?;
        let (now, shown) = (self.with_plan(day), self.moment.get_untracked());
        if now != before {
            self.moment.set(rescaled(shown, before, now));
        }
        self.changed();
        Some(says)
    }

    /// What [`Store::undo`] would take back. Tracked.
    pub fn can_undo(self) -> Option<String> {
        self.undoes.get()
    }

    /// What [`Store::redo`] would do again. Tracked.
    pub fn can_redo(self) -> Option<String> {
        self.redoes.get()
    }

    /// Opens another plan, kept under `key`; history and selection begin anew, and its first noon is shown. Parts without
    /// a place are given one.
    pub fn replace_plan(self, mut plan: Plan, key: String) {
        super::view::give_places(&mut plan);
        self.end_trial();
        let day = plan.world.day_ms();
        let before = self.with_plan(|plan| plan.world.day_ms());
        let shown = match self.key.with_untracked(|k| *k == key) {
            true => rescaled(self.moment.get_untracked(), before, day),
            false => day / 2,
        };
        self.doc.update_value(|doc| {
            doc.history = History::default();
            doc.plan = Some(plan);
        });
        self.opened.update(|n| *n += 1);
        self.key.set(key);
        self.selection.set(Selection::default());
        self.focus.set(None);
        self.carry.set(None);
        self.moment.set(shown);
        self.changed();
        self.fit();
    }

    /// The ids of the parts in the plan's order. Changes only when parts come or go.
    pub fn part_ids(self) -> Signal<Vec<PartId>> {
        self.part_ids.into()
    }

    /// The ids of the wires in the plan's order. Changes only when wires come or go.
    pub fn wire_ids(self) -> Signal<Vec<WireId>> {
        self.wire_ids.into()
    }

    /// The signal of the part `id`.
    pub fn part(self, id: &PartId) -> Option<ArcRwSignal<Part>> {
        self.doc
            .with_value(|doc| doc.parts.get(id).map(|(part, _)| part.clone()))
    }

    /// The signal of what the part `id` does at the moment shown.
    pub fn part_state(self, id: &PartId) -> Option<ArcRwSignal<PartState>> {
        self.doc
            .with_value(|doc| doc.parts.get(id).map(|(_, state)| state.clone()))
    }

    /// The signal of the wire `id`.
    pub fn wire(self, id: &WireId) -> Option<ArcRwSignal<Wire>> {
        self.doc
            .with_value(|doc| doc.wires.get(id).map(|(wire, _)| wire.clone()))
    }

    /// The signal of what the wire `id` carries at the moment shown.
    pub fn flow(self, id: &WireId) -> Option<ArcRwSignal<Flow>> {
        self.doc
            .with_value(|doc| doc.wires.get(id).map(|(_, flow)| flow.clone()))
    }

    /// The problems at the moment shown, worst first.
    pub fn problems(self) -> Signal<Vec<Problem>> {
        self.problems.into()
    }

    /// What is chosen.
    pub fn selection(self) -> RwSignal<Selection> {
        self.selection
    }

    /// The instant shown, in milliseconds since midnight of day 1.
    pub fn moment(self) -> RwSignal<Ms> {
        self.moment
    }

    /// The unit of the plan's book.
    pub fn unit(self) -> Unit {
        self.with_plan(|plan| plan.book.book.unit.clone())
    }

    /// Says something in the page's polite line; it goes away by itself.
    pub fn notice(self, text: String) {
        self.notice.set(text);
    }

    /// The text of the polite line; empty when there is nothing to say.
    pub fn notice_text(self) -> RwSignal<String> {
        self.notice
    }

    /// The part under the pointer, on the board or in a list.
    pub fn hover(self) -> RwSignal<Option<PartId>> {
        self.hover
    }

    /// The page of the station log that is open.
    pub fn log(self) -> RwSignal<LogPage> {
        self.log
    }

    /// The part type that is being carried from the shelf.
    pub fn carry(self) -> RwSignal<Option<String>> {
        self.carry
    }

    /// The pane that a narrow screen shows.
    pub fn pane(self) -> RwSignal<Option<Pane>> {
        self.pane
    }

    /// What the board shows, and how large.
    pub fn view(self) -> RwSignal<View> {
        self.view
    }

    /// The part that holds the board's one place in the order of Tab.
    pub fn focus(self) -> RwSignal<Option<PartId>> {
        self.focus
    }

    /// An id for a new part.
    pub fn new_part_id(self) -> PartId {
        self.change(|_, plan| plan.new_part_id())
            .unwrap_or_else(|| "p1".into())
    }

    /// An id for a new wire.
    pub fn new_wire_id(self) -> WireId {
        self.change(|_, plan| plan.new_wire_id())
            .unwrap_or_else(|| "w1".into())
    }

    /// Shows the parts at other places for the length of a gesture; the document keeps its own until the commit.
    pub fn float(self, places: &[(PartId, (f64, f64))]) {
        for (id, at) in places {
            if let Some(part) = self.part(id)
                && part.with_untracked(|p| p.at != Some(*at))
            {
                part.update(|p| p.at = Some(*at));
            }
        }
    }

    fn change<R>(self, f: impl FnOnce(&mut History, &mut Plan) -> R) -> Option<R> {
        self.doc
            .try_update_value(|doc| {
                let plan = doc.plan.as_mut()?;
                Some(f(&mut doc.history, plan))
            })
            .flatten()
    }

    fn changed(self) {
        self.forget_run();
        self.refresh();
        let (undoes, redoes) = self.doc.with_value(|doc| {
            let owned = |s: Option<&str>| s.map(str::to_string);
            (owned(doc.history.undoes()), owned(doc.history.redoes()))
        });
        put(self.undoes, undoes);
        put(self.redoes, redoes);
        self.shown.update(|n| *n += 1);
        self.revision.update(|n| *n += 1);
    }
}

impl Default for Store {
    fn default() -> Store {
        Store::new()
    }
}
