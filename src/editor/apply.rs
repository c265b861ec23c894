//! The one way into the editor: a message in, a list of changes out.

use super::document::Document;
use super::message::Message;
use super::touched::{Touched, differing, impact_between};
use super::view::{Point, Rect, View, around};
use super::{Change, EVENTS_AT_ONCE, Editor, Selection, THINGS_AT_ONCE};
use super::{Joining, layout, moment};
use crate::gather::Gather;
use crate::plan::{Edit, End, Impact, PartId, Plan, WireId};
use crate::quantity::Ms;
use crate::sheet::verdict::Standing;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

impl Editor {
    /// Takes a message; answers with what has changed, in order and each once.
    pub fn apply(&mut self, message: Message) -> Vec<Change> {
        self.take(message);
        self.put_numbers();
        std::mem::take(&mut self.changes).into_iter().collect()
    }

    fn take(&mut self, message: Message) {
        match message {
            Message::Open { plan, keeps_moment } => self.open(*plan, keeps_moment),
            Message::Remember(history) => {
                self.document.remember(*history);
                self.note(Change::History);
            }
            Message::Commit { says, edits } => {
                self.commit(&says, edits);
            }
            Message::Undo => self.undo(),
            Message::Redo => self.redo(),
            Message::Preview { says, plan } => self.begin_preview(&says, *plan, None),
            Message::PreviewChange { says, name, edits } => self.try_edits(&says, name, edits),
            Message::EndPreview => self.end_preview(),
            Message::TakePreview => self.take_preview(),
            Message::Throw(id) => self.throw(&id),
            Message::Moment(t) => self.go_to(t),
            Message::Work { events, things } => self.work(events, things),
            Message::Select(selection) => self.select(selection),
            Message::Show(parts, wires) => self.show(parts, wires, View::showing),
            Message::Reveal(parts, wires) => self.show(parts, wires, View::revealing),
            Message::Focus(id) => self.set_focus(id),
            Message::Hover(id) => self.set_hover(id),
            Message::Held(is) => self.is_held = is,
            Message::Record(is) => {
                self.is_recorded = is;
                self.fit();
            }
            Message::Resize(width, height) => self.resize(width, height),
            Message::Look((x, y)) => self.set_view(View { x, y, ..self.view }),
            Message::Fit => self.fit(),
            Message::Step(to) => self.step(to),
            Message::Zoom(factor, Some(at)) => self.set_view(self.view.zoomed(factor, at)),
            Message::Zoom(factor, None) => self.set_view(self.view.zoomed_at_centre(factor)),
            Message::PointerDown(pointer, target, more) => self.pointer_down(pointer, target, more),
            Message::PointerMove(pointer) => self.pointer_moves(pointer),
            Message::PointerUp(pointer) => self.pointer_up(pointer),
            Message::PointerLost(id) => self.pointer_lost(id),
            Message::DoubleClick(target) => self.double_click(target),
            Message::Key(key, target) => self.key(&key, target),
            Message::Carry(kind) => self.set_carry(kind),
            Message::Place(kind, at) => self.place_part(&kind, at),
            Message::ChooseByDragging(on) => {
                self.chooses_by_dragging = on;
                self.note(Change::ChooseByDragging);
            }
            Message::NumberCables(on) => self.number_cables(on),
            Message::Replace(replaces) => self.answer_replacing(replaces),
            Message::Renamed { name, returns } => self.end_renaming(name, returns),
            Message::Help(open) => self.set_help(open),
            Message::Paste(snippet, text) => self.paste(&snippet, text),
            Message::Cut => self.cut(),
            Message::Duplicate => self.duplicate(),
            Message::Tidy => self.tidy(),
            Message::Tidied(laid) => self.take_tidied(&laid),
            Message::Join(a, b) => self.join(&a, &b),
            Message::Verdicts(verdicts, are_old) => self.set_verdicts(verdicts, are_old),
            Message::Site(act) => self.site_act(act),
            Message::Walk(act) => self.walk_act(act),
            Message::Notice(text) => self.say(text),
        }
    }

    /// Opens another plan: history, selection and what was under way begin anew.
    fn open(&mut self, mut plan: Plan, keeps_moment: bool) {
        layout::give_places(&mut plan);
        let (before, day) = (self.plan().world.day_ms(), plan.world.day_ms());
        let t = if keeps_moment {
            moment::rescaled(self.moment(), before, day)
        } else {
            day / 2
        };
        self.let_go();
        self.cancel_gesture();
        self.let_go_of_site();
        self.set_carry(None);
        let had_preview = self.preview().is_some();
        let had_walk = self.walk_place().is_some();
        self.document = Document::new(plan);
        self.renaming = None;
        self.tidying = None;
        self.verdicts.clear();
        self.selection = Selection::default();
        self.focus = None;
        self.hover = None;
        self.drawn.clear();
        self.geometry = Default::default();
        self.moment = moment::Moment::new(t);
        for change in [
            Change::Opened,
            Change::Document(Impact::Power),
            Change::Shown(Impact::Power),
            Change::History,
            Change::Parts,
            Change::Wires,
            Change::Selection,
            Change::Focus,
            Change::Hover,
            Change::Moment,
            Change::Renaming,
        ] {
            self.note(change);
        }
        if had_preview {
            self.note(Change::Preview);
        }
        if had_walk {
            self.note(Change::Walk);
        }
        self.keep_in_site();
        self.site_act(super::SiteAct::Storey(0));
        self.site_act(super::SiteAct::Fit);
        self.put_board();
        self.set_view(self.opening_view());
        self.work(EVENTS_AT_ONCE, THINGS_AT_ONCE);
    }

    /// Does `edits` as one step of undo called `says`. Where one can't be done none is, a notice says why, and the answer
    /// is false.
    pub(super) fn commit(&mut self, says: &str, edits: Vec<Edit>) -> bool {
        if edits.is_empty() {
            return true;
        }
        if self.refuses_in_walk() {
            return false;
        }
        self.end_preview();
        let impact = Impact::of(&edits).unwrap_or(Impact::Place);
        let touched = Touched::by(&edits);
        let day = self.plan().world.day_ms();
        match self.document.commit(says, edits) {
            Ok(()) => {
                self.changed(impact, touched, day);
                true
            }
            Err(error) => {
                self.say(format!("Not done: {error}."));
                false
            }
        }
    }

    pub(super) fn undo(&mut self) {
        if let Some(says) = self.turn_back(Document::undo) {
            self.say(format!("Taken back: {says}."));
        }
    }

    pub(super) fn redo(&mut self) {
        if let Some(says) = self.turn_back(Document::redo) {
            self.say(format!("Done again: {says}."));
        }
    }

    /// Goes a step of the history.
    fn turn_back(&mut self, step: impl FnOnce(&mut Document) -> Option<String>) -> Option<String> {
        if self.refuses_in_walk() {
            return None;
        }
        self.end_preview();
        self.let_go();
        let before = self.plan().clone();
        let says = step(&mut self.document)?;
        if let Some(impact) = impact_between(&before, self.plan()) {
            let touched = differing(&before, self.plan());
            self.changed(impact, touched, before.world.day_ms());
        }
        self.note(Change::History);
        Some(says)
    }

    /// What follows from a changed document. The moment shown keeps its place on the dial, should the day have another
    /// length now: `day` is the one before.
    fn changed(&mut self, impact: Impact, touched: Touched, day: Ms) {
        self.note(Change::Document(impact));
        self.note(Change::Shown(impact));
        self.note(Change::History);
        // A question about ports that may be others now is none any more.
        if impact == Impact::Power {
            self.let_go();
        }
        let now = self.plan().world.day_ms();
        if now != day {
            self.moment.go_to(moment::rescaled(self.moment(), day, now));
            self.note(Change::Moment);
        }
        self.keep_in_site();
        self.follow(impact, touched);
    }

    /// Draws and works out anew what is shown, after a change of that extent.
    fn follow(&mut self, impact: Impact, touched: Touched) {
        match impact {
            Impact::Place | Impact::Words => {}
            Impact::Power => self.moment.forget(),
        }
        if touched.lists {
            self.put_board();
            self.note(Change::Parts);
            self.note(Change::Wires);
            self.prune();
        }
        self.put_touched(&touched);
        self.work(EVENTS_AT_ONCE, THINGS_AT_ONCE);
    }

    /// Forgets what is chosen, focused or pointed at and no longer there.
    fn prune(&mut self) {
        let mut left = self.selection.clone();
        left.parts.retain(|id| self.part_at.contains_key(id));
        left.wires.retain(|id| self.wire_at.contains_key(id));
        self.select(left);
        let gone =
            |id: &Option<PartId>| id.as_ref().is_some_and(|id| !self.part_at.contains_key(id));
        let (focus, hover, renaming) = (gone(&self.focus), gone(&self.hover), gone(&self.renaming));
        if focus {
            self.set_focus(None);
        }
        if hover {
            self.set_hover(None);
        }
        if renaming {
            self.rename(None);
        }
    }

    fn try_edits(&mut self, says: &str, name: String, edits: Vec<Edit>) {
        if self.refuses_in_walk() {
            return;
        }
        let mut plan = Plan::clone(self.plan());
        match plan.apply_all(edits.clone()) {
            Ok(_) => self.begin_preview(says, plan, Some((name, edits))),
            Err(error) => self.say(format!("This change no longer fits the plan: {error}.")),
        }
    }

    pub(super) fn begin_preview(
        &mut self,
        says: &str,
        plan: Plan,
        take: Option<(String, Vec<Edit>)>,
    ) {
        if self.refuses_in_walk() {
            return;
        }
        let before = self.board().clone();
        self.let_go();
        self.document.begin_preview(says, plan, take);
        self.shows_anew(&before);
    }

    pub(super) fn end_preview(&mut self) {
        let before = self.board().clone();
        if self.document.end_preview().is_some() {
            self.shows_anew(&before);
        }
    }

    fn take_preview(&mut self) {
        let Some((name, edits)) = self.preview().and_then(|p| p.take.clone()) else {
            return;
        };
        if self.commit(&name, edits) {
            self.say(format!("Taken: {name}."));
        }
    }

    /// Another plan is drawn than `before`, though the document is the same.
    pub(super) fn shows_anew(&mut self, before: &Arc<Plan>) {
        self.note(Change::Preview);
        self.note(Change::Shown(Impact::Power));
        let board = self.board().clone();
        let touched = differing(before, &board);
        let (parts, wires) = (touched.parts.clone(), touched.wires.clone());
        self.follow(
            Impact::Power,
            Touched {
                // Places in the two plans differ where one has parts that the other has not.
                lists: true,
                ..touched
            },
        );
        // Marks hang on what is tried, also where the part itself is the same.
        let marked = board.parts.iter().map(|p| p.id.clone());
        let marked: BTreeSet<PartId> = marked.filter(|id| self.drawn.parts.contains(id)).gather();
        for id in marked.into_iter().chain(parts) {
            self.note(Change::Part(id));
        }
        let marked: Vec<WireId> = self.drawn.wires.iter().cloned().collect();
        for id in marked.into_iter().chain(wires) {
            self.note(Change::Wire(id));
        }
    }

    fn go_to(&mut self, t: Ms) {
        if self.moment() != t {
            self.moment.go_to(t);
            self.note(Change::Moment);
            self.work(EVENTS_AT_ONCE, 0);
        }
    }

    pub(super) fn select(&mut self, selection: Selection) {
        self.just_placed = None;
        if self.selection == selection {
            return;
        }
        self.drop_question();
        let before = std::mem::replace(&mut self.selection, selection);
        let parts: Vec<PartId> = before
            .parts
            .symmetric_difference(&self.selection.parts)
            .cloned()
            .collect();
        // A wire that is chosen alone shows handles, so one more or less may change it.
        let wires: Vec<WireId> = before.wires.union(&self.selection.wires).cloned().collect();
        self.note(Change::Selection);
        parts.into_iter().for_each(|id| self.note(Change::Part(id)));
        wires.into_iter().for_each(|id| self.note(Change::Wire(id)));
    }

    fn show(&mut self, parts: Vec<PartId>, wires: Vec<WireId>, look: fn(View, Rect) -> View) {
        self.show_on_site(&parts, &wires);
        let board = self.board().clone();
        let ends = wires.iter().filter_map(|id| board.wire(id));
        let ends = ends.flat_map(|w| [&w.from.part, &w.to.part]);
        let all = parts.iter().chain(ends);
        let place = around(all.filter_map(|id| self.geometry.rect(id)));
        if let Some(first) = parts.first() {
            self.set_focus(Some(first.clone()));
        }
        self.select(Selection {
            parts: parts.into_iter().collect(),
            wires: wires.into_iter().collect(),
        });
        if let Some(place) = place {
            self.set_view(look(self.view, place));
        }
    }

    pub(super) fn set_focus(&mut self, id: Option<PartId>) {
        if self.focus == id {
            return;
        }
        let first = self.board().parts.first().map(|p| p.id.clone());
        let before = std::mem::replace(&mut self.focus, id.clone());
        self.note(Change::Focus);
        for id in [before, id, first].into_iter().flatten() {
            self.note(Change::Part(id));
        }
        self.draw_focus();
    }

    fn set_hover(&mut self, id: Option<PartId>) {
        if self.hover == id {
            return;
        }
        let before = std::mem::replace(&mut self.hover, id.clone());
        self.note(Change::Hover);
        for id in [before, id].into_iter().flatten() {
            self.note(Change::Part(id));
        }
    }

    pub(super) fn set_joining(&mut self, joining: Option<Joining>) {
        if self.joining == joining {
            return;
        }
        // Every port says whether it can take the wire.
        let ends = |j: &Joining| -> BTreeSet<PartId> {
            let takers = j.takers.keys().map(|end| end.part.clone());
            takers.chain([j.from.part.clone()]).collect()
        };
        let before = self.joining.as_ref().map(ends).unwrap_or_default();
        let now = joining.as_ref().map(ends).unwrap_or_default();
        self.joining = joining;
        self.note(Change::Joining);
        for id in before.union(&now) {
            self.note(Change::Part(id.clone()));
        }
    }

    /// The port that would take the wire in the making now, and where its loose end is.
    pub(super) fn set_target(&mut self, target: Option<End>, loose: Option<Point>) {
        let Some(joining) = &mut self.joining else {
            return;
        };
        if let Some(loose) = loose {
            joining.loose = loose;
        }
        let before = std::mem::replace(&mut joining.target, target.clone());
        self.note(Change::Joining);
        if before != target {
            for end in [before, target].into_iter().flatten() {
                self.note(Change::Part(end.part));
            }
        }
    }

    pub(super) fn set_carry(&mut self, kind: Option<String>) {
        if kind.is_some() && self.refuses_in_walk() {
            return;
        }
        if self.carry != kind {
            self.carry = kind;
            self.note(Change::Carry);
        }
    }

    pub(super) fn set_help(&mut self, open: bool) {
        self.help = open;
        self.note(Change::Help);
    }

    pub(super) fn rename(&mut self, id: Option<PartId>) {
        if id.is_some() && self.refuses_in_walk() {
            return;
        }
        self.renaming = id;
        self.note(Change::Renaming);
    }

    fn set_verdicts(&mut self, verdicts: BTreeMap<PartId, Standing>, are_old: bool) {
        let ids: BTreeSet<PartId> = self
            .verdicts
            .keys()
            .chain(verdicts.keys())
            .cloned()
            .gather();
        let aged = self.verdicts_are_old != are_old;
        for id in ids {
            if aged || self.verdicts.get(&id) != verdicts.get(&id) {
                self.note(Change::Part(id));
            }
        }
        self.verdicts = verdicts;
        self.verdicts_are_old = are_old;
    }
}
