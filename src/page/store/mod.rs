//! The page's store: the editor as plain data, and signals that tell what changed of it.
//!
//! Whatever is done goes to the editor as a message; the changes that it answers with are turned into signals, each set
//! only where its value differs. A component reads the signal of its own part or wire and is left alone by all others.
//! Signals of parts and wires are made when somebody first asks for them. Places in pixels of the board, instants in
//! milliseconds since midnight of day 1. It computes no power itself.

mod acts;
mod fingerprints;
mod made;
mod pane;
mod redraw;
mod work;

pub use fingerprints::{Fingerprint, Fingerprints, fingerprint, whole_fingerprint};
pub use pane::{LogPage, Pane};
pub use redraw::Redraw;

use crate::editor::scene::{card_id, port_id};
use crate::editor::{
    Change, Drawing, Editor, FocusOn, Message, Preview, Replacing, Selection, View, WalkPlace,
};
use crate::net::Problem;
use crate::plan::{Impact, Part, PartId, Plan, WalkStep, Wire, WireId};
use crate::quantity::{Ms, Unit};
use crate::run::{Flow, PartState};
use crate::sheet::dial::Day;
use crate::sheet::tidy::Screen;
use leptos::prelude::*;
use made::Made;
use std::collections::BTreeSet;
use std::sync::Arc;

/// Up to this width or this height, in pixels, a screen has one drawer for all panes; style/frame.css says the same.
const SMALL: (f64, f64) = (760.0, 500.0);

/// The page's store. Cheap to copy; provided by context.
#[derive(Clone, Copy)]
pub struct Store {
    editor: StoredValue<Editor>,
    made: StoredValue<Made>,
    /// Whether work that was put off is due at the next frame.
    works: StoredValue<bool>,
    /// How many cards and wires a frame draws.
    things: StoredValue<usize>,
    redraw: StoredValue<Redraw>,
    redraws: RwSignal<u64>,
    /// Counts the times at which other cards are drawn.
    drawn: RwSignal<u64>,
    revision: RwSignal<u64>,
    /// Count the changes of the document, and of what is shown, that may make an answer out of date.
    answers: RwSignal<u64>,
    answers_shown: RwSignal<u64>,
    shown: RwSignal<u64>,
    opened: RwSignal<u64>,
    key: RwSignal<String>,
    preview: RwSignal<Option<String>>,
    walk: RwSignal<Option<WalkPlace>>,
    part_ids: RwSignal<Vec<PartId>>,
    wire_ids: RwSignal<Vec<WireId>>,
    problems: RwSignal<Vec<Problem>>,
    steps: RwSignal<(Option<String>, Option<String>)>,
    selection: RwSignal<Selection>,
    day: Memo<Day>,
    moment: RwSignal<Ms>,
    is_behind: RwSignal<bool>,
    hover: RwSignal<Option<PartId>>,
    focus: RwSignal<Option<PartId>>,
    carry: RwSignal<Option<String>>,
    view: RwSignal<View>,
    joining: RwSignal<Option<JoiningLine>>,
    replacing: RwSignal<Option<Replacing>>,
    marquee: RwSignal<Option<crate::editor::view::Rect>>,
    chooses_by_dragging: RwSignal<bool>,
    renaming: RwSignal<Option<PartId>>,
    help: RwSignal<bool>,
    drawing: RwSignal<Drawing>,
    /// Counts the changes of how the site is worked at.
    site: RwSignal<u64>,
    site_view: RwSignal<View>,
    strangers: RwSignal<bool>,
    wrong_on_site: RwSignal<Option<WrongOnSite>>,
    notice: RwSignal<String>,
    tidies: RwSignal<Option<(BTreeSet<PartId>, Screen)>>,
    log: RwSignal<LogPage>,
    pane: RwSignal<Option<Pane>>,
    /// Counts how often somebody was led to the hours at which somebody is home.
    asks_for_home: RwSignal<u64>,
}

/// The two ends of the line of a wire in the making.
pub type JoiningLine = (crate::editor::view::Point, crate::editor::view::Point);

/// What the element that sent a message has to do itself.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Reply {
    /// The key meant something: the browser is not to act on it as well.
    pub handled: bool,
    /// The pointer that is to be captured.
    pub capture: Option<i32>,
}

/// The page's store, from the context that the page's root provides.
pub fn use_store() -> Store {
    expect_context()
}

impl Store {
    /// A store with an empty plan, shown at noon of day 1. Call it in the page's root.
    pub fn new() -> Store {
        let editor = Editor::default();
        let (moment, view) = (editor.moment(), editor.view());
        let (editor, revision) = (StoredValue::new(editor), RwSignal::new(0));
        let walk = RwSignal::new(None::<WalkPlace>);
        let day = Memo::new(move |_| {
            revision.track();
            walk.track();
            editor.with_value(|editor: &Editor| match editor.walk_place() {
                Some(_) => Day::of(&editor.shown().world),
                None => Day::of(&editor.plan().world),
            })
        });
        Store {
            day,
            moment: RwSignal::new(moment),
            view: RwSignal::new(view),
            editor,
            made: StoredValue::new(Made::default()),
            works: StoredValue::new(false),
            things: StoredValue::new(redraw::AT_FIRST),
            redraw: StoredValue::new(Redraw::default()),
            redraws: RwSignal::new(0),
            drawn: RwSignal::new(0),
            revision,
            answers: RwSignal::new(0),
            answers_shown: RwSignal::new(0),
            shown: RwSignal::new(0),
            opened: RwSignal::new(0),
            key: RwSignal::new(String::new()),
            preview: RwSignal::new(None),
            walk,
            part_ids: RwSignal::new(Vec::new()),
            wire_ids: RwSignal::new(Vec::new()),
            problems: RwSignal::new(Vec::new()),
            steps: RwSignal::new((None, None)),
            selection: RwSignal::new(Selection::default()),
            is_behind: RwSignal::new(false),
            hover: RwSignal::new(None),
            focus: RwSignal::new(None),
            carry: RwSignal::new(None),
            joining: RwSignal::new(None),
            replacing: RwSignal::new(None),
            marquee: RwSignal::new(None),
            chooses_by_dragging: RwSignal::new(false),
            renaming: RwSignal::new(None),
            help: RwSignal::new(false),
            drawing: RwSignal::new(Drawing::Board),
            site: RwSignal::new(0),
            site_view: RwSignal::new(View::default()),
            strangers: RwSignal::new(false),
            wrong_on_site: RwSignal::new(None),
            notice: RwSignal::new(String::new()),
            tidies: RwSignal::new(None),
            log: RwSignal::new(LogPage::Day),
            pane: RwSignal::new(None),
            asks_for_home: RwSignal::new(0),
        }
    }

    /// Reads the editor, without being told of later changes.
    pub fn with<R>(self, f: impl FnOnce(&Editor) -> R) -> R {
        self.editor.with_value(f)
    }

    /// Reads the document, without being told of later changes.
    pub fn with_plan<R>(self, f: impl FnOnce(&Plan) -> R) -> R {
        self.with(|editor| f(editor.plan()))
    }

    /// Reads what the board shows: the document, or what is tried with all that is gone from it, without being told of
    /// later changes.
    pub fn with_board<R>(self, f: impl FnOnce(&Plan) -> R) -> R {
        self.with(|editor| f(editor.board()))
    }

    /// Reads the plan that is worked out and shown: the document, or what is tried, without being told of later changes.
    pub fn with_shown<R>(self, f: impl FnOnce(&Plan) -> R) -> R {
        self.with(|editor| f(editor.shown()))
    }

    /// The document as it is now, to keep.
    pub fn document(self) -> Arc<Plan> {
        self.with(|editor| editor.plan().clone())
    }

    /// The plan that is worked out and shown as it is now, to keep: the document, or what is tried.
    pub fn snapshot(self) -> Arc<Plan> {
        self.with(|editor| editor.shown().clone())
    }

    /// Counts every change of the document. Tracked.
    pub fn revision(self) -> u64 {
        self.revision.get()
    }

    /// Counts the plans that were opened: the same id is another thing in another plan. Tracked.
    pub fn opened(self) -> u64 {
        self.opened.get()
    }

    /// Counts every change of power of what is worked out and shown, be it the document or what is tried. Tracked.
    pub fn shown(self) -> u64 {
        self.shown.get()
    }

    /// Counts every change of power or of words of what is shown. Tracked.
    pub fn worded(self) -> u64 {
        self.answers_shown.get()
    }

    /// The storage key of the open plan. Tracked.
    pub fn plan_key(self) -> String {
        self.key.get()
    }

    /// The ids of the parts in the plan's order. Changes only when parts come or go.
    pub fn part_ids(self) -> Signal<Vec<PartId>> {
        self.part_ids.into()
    }

    /// The ids of the wires in the plan's order. Changes only when wires come or go.
    pub fn wire_ids(self) -> Signal<Vec<WireId>> {
        self.wire_ids.into()
    }

    /// Counts the times at which other cards are drawn than before.
    pub fn drawn(self) -> Signal<u64> {
        self.drawn.into()
    }

    /// The problems at the moment shown, worst first.
    pub fn problems(self) -> Signal<Vec<Problem>> {
        self.problems.into()
    }

    /// What is chosen.
    pub fn selection(self) -> Signal<Selection> {
        self.selection.into()
    }

    /// The instant shown, in milliseconds since midnight of day 1.
    pub fn moment(self) -> Signal<Ms> {
        self.moment.into()
    }

    /// The day of the document's world, or of a walk's state: when it is dark.
    pub fn day(self) -> Memo<Day> {
        self.day
    }

    /// Whether the run has not come to the moment shown yet.
    pub fn is_behind(self) -> Signal<bool> {
        self.is_behind.into()
    }

    /// The unit of the plan's book.
    pub fn unit(self) -> Unit {
        self.with_plan(|plan| plan.book.book.unit.clone())
    }

    /// What undo would take back, in words. Tracked.
    pub fn can_undo(self) -> Option<String> {
        self.steps.with(|steps| steps.0.clone())
    }

    /// What redo would do again, in words. Tracked.
    pub fn can_redo(self) -> Option<String> {
        self.steps.with(|steps| steps.1.clone())
    }

    /// What is tried, in words. Tracked.
    pub fn preview(self) -> Option<String> {
        self.preview.get()
    }

    /// Whether what is tried can be taken. Tracks what is tried.
    pub fn can_take(self) -> bool {
        self.preview.track();
        let can = |preview: &Preview| preview.take.is_some();
        self.with(|editor| editor.preview().is_some_and(can))
    }

    /// Where somebody is in the plan's walk; none while nobody follows it. Tracked.
    pub fn walk_place(self) -> Option<WalkPlace> {
        self.walk.get()
    }

    /// The step of the walk that is shown. Tracked.
    pub fn walk_step(self) -> Option<WalkStep> {
        self.walk.track();
        self.with(|editor| editor.walk_step().cloned())
    }

    /// Reads the document, or the state of the walk that is followed. Tracks which of the two.
    pub fn with_followed<R>(self, f: impl FnOnce(&Plan) -> R) -> R {
        match self.walk.get() {
            Some(_) => self.with_shown(f),
            None => self.with_plan(f),
        }
    }

    /// Whether the plan has a walk. Tracked.
    pub fn has_walk(self) -> bool {
        self.revision.track();
        self.with_plan(|plan| {
            plan.walk
                .as_ref()
                .is_some_and(|walk| !walk.steps.is_empty())
        })
    }

    /// The text of the polite line; empty when there is nothing to say.
    pub fn notice_text(self) -> RwSignal<String> {
        self.notice
    }

    /// The part under the pointer, on the board or in a list.
    pub fn hover(self) -> Signal<Option<PartId>> {
        self.hover.into()
    }

    /// The parts that are to be laid out, and for which screen, set at every wish for it.
    pub fn tidies(self) -> Signal<Option<(BTreeSet<PartId>, Screen)>> {
        self.tidies.into()
    }

    /// Counts how often somebody was led to the hours at which somebody is home, in the world's settings. Tracked.
    pub fn asks_for_home(self) -> u64 {
        self.asks_for_home.get()
    }

    /// The page of the station log that is open.
    pub fn log(self) -> RwSignal<LogPage> {
        self.log
    }

    /// The part type that is being carried from the shelf.
    pub fn carry(self) -> Signal<Option<String>> {
        self.carry.into()
    }

    /// The pane that a narrow screen shows.
    pub fn pane(self) -> RwSignal<Option<Pane>> {
        self.pane
    }

    /// What the board shows, and how large.
    pub fn view(self) -> Signal<View> {
        self.view.into()
    }

    /// The line of the wire in the making.
    pub fn joining(self) -> Signal<Option<JoiningLine>> {
        self.joining.into()
    }

    /// The question whether a wire may be replaced.
    pub fn replacing(self) -> Signal<Option<Replacing>> {
        self.replacing.into()
    }

    /// The marquee, on the board.
    pub fn marquee(self) -> Signal<Option<crate::editor::view::Rect>> {
        self.marquee.into()
    }

    /// Whether a drag on empty paper draws a marquee.
    pub fn chooses_by_dragging(self) -> Signal<bool> {
        self.chooses_by_dragging.into()
    }

    /// The part whose name is being written.
    pub fn renaming(self) -> Signal<Option<PartId>> {
        self.renaming.into()
    }

    /// Which drawing of the plan is shown.
    pub fn drawing(self) -> Signal<Drawing> {
        self.drawing.into()
    }

    /// Counts the changes of how the site is worked at. Tracked.
    pub fn site_changes(self) -> u64 {
        self.site.get()
    }

    /// What the window onto the site shows, and how large.
    pub fn site_view(self) -> Signal<View> {
        self.site_view.into()
    }

    /// What does not go on the site; the page's second part says it.
    pub fn wrong_on_site(self) -> RwSignal<Option<WrongOnSite>> {
        self.wrong_on_site
    }

    /// Whether it is asked what strangers can put out or cut.
    pub fn strangers(self) -> RwSignal<bool> {
        self.strangers
    }

    /// Whether the keys are being explained.
    pub fn help(self) -> Signal<bool> {
        self.help.into()
    }

    /// The part `id` as a signal.
    pub fn part(self, id: &PartId) -> Option<ArcRwSignal<Part>> {
        self.make(|made, editor| made.part(editor, id))
    }

    /// What the part `id` does at the moment shown, as a signal.
    pub fn part_state(self, id: &PartId) -> Option<ArcRwSignal<PartState>> {
        self.make(|made, editor| made.state(editor, id))
    }

    /// The wire `id` as a signal.
    pub fn wire(self, id: &WireId) -> Option<ArcRwSignal<Wire>> {
        self.make(|made, editor| made.wire(editor, id))
    }

    /// What the wire `id` carries at the moment shown, as a signal.
    pub fn flow(self, id: &WireId) -> Option<ArcRwSignal<Flow>> {
        self.make(|made, editor| made.flow(editor, id))
    }

    fn make<R>(self, f: impl FnOnce(&mut Made, &Editor) -> Option<R>) -> Option<R> {
        self.editor
            .with_value(|editor| self.made.try_update_value(|made| f(made, editor)).flatten())
    }

    /// Tells the editor something, and the signals what came of it.
    pub fn dispatch(self, message: Message) -> Reply {
        let changes = self.editor.try_update_value(|editor| editor.apply(message));
        let mut reply = Reply::default();
        let mut redraws = false;
        for change in changes.unwrap_or_default() {
            redraws |= self.redraw.try_update_value(|r| r.note(&change)) == Some(true);
            match change {
                Change::Handled => reply.handled = true,
                Change::Capture(pointer) => reply.capture = Some(pointer),
                change => self.follow(change),
            }
        }
        if redraws {
            self.redraws.update(|n| *n += 1);
        }
        reply
    }

    fn follow(self, change: Change) {
        match change {
            Change::Opened => {
                self.made.update_value(|made| *made = Made::default());
                self.opened.update(|n| *n += 1);
            }
            Change::Document(impact) => {
                self.revision.update(|n| *n += 1);
                if impact > Impact::Place {
                    self.answers.update(|n| *n += 1);
                }
            }
            Change::Shown(impact) => {
                if impact > Impact::Place {
                    self.answers_shown.update(|n| *n += 1);
                }
                if impact == Impact::Power {
                    self.shown.update(|n| *n += 1);
                }
            }
            Change::Handled | Change::Capture(_) => {}
            Change::Preview => self.show_preview(),
            Change::Walk => self.show_walk(),
            Change::History => put(
                self.steps,
                self.with(|e| {
                    let (undo, redo) = e.steps();
                    (undo.map(String::from), redo.map(String::from))
                }),
            ),
            Change::Parts => {
                let ids = self.with_board(|p| p.parts.iter().map(|p| p.id.clone()).collect());
                put(self.part_ids, ids);
                self.forget_gone();
                self.drawn.update(|n| *n += 1);
            }
            Change::Wires => {
                let ids = self.with_board(|p| p.wires.iter().map(|w| w.id.clone()).collect());
                put(self.wire_ids, ids);
            }
            Change::DrawnParts => self.drawn.update(|n| *n += 1),
            Change::DrawnWires => {}
            Change::Part(id) => self.tell(|made, editor| made.part_changed(editor, &id)),
            Change::Wire(id) => self.tell(|made, editor| made.wire_changed(editor, &id)),
            Change::Moment => put(self.moment, self.with(Editor::moment)),
            Change::Instant => put(self.is_behind, self.with(Editor::is_behind)),
            Change::Problems => {
                put(self.problems, self.with(|e| e.problems().to_vec()));
            }
            Change::Selection => put(self.selection, self.with(|e| e.selection().clone())),
            Change::Focus => put(self.focus, self.with(|e| e.focus().cloned())),
            Change::Hover => put(self.hover, self.with(|e| e.hover().cloned())),
            Change::View => put(self.view, self.with(Editor::view)),
            Change::Joining => put(
                self.joining,
                self.with(|e| e.joining().map(|j| (j.at, j.tip()))),
            ),
            Change::Replacing => put(self.replacing, self.with(|e| e.replacing().cloned())),
            Change::Marquee => put(self.marquee, self.with(Editor::marquee)),
            Change::ChooseByDragging => put(
                self.chooses_by_dragging,
                self.with(Editor::chooses_by_dragging),
            ),
            Change::Renaming => put(self.renaming, self.with(|e| e.renaming().cloned())),
            Change::Carry => put(self.carry, self.with(|e| e.carry().map(String::from))),
            Change::Help => put(self.help, self.with(Editor::help)),
            Change::Drawing => put(self.drawing, self.with(|e| e.site().drawing())),
            Change::Site => self.site.update(|n| *n += 1),
            Change::SiteView => put(self.site_view, self.with(|e| e.site().view())),
            Change::Work => self.work_later(),
            Change::Tidy(parts, screen) => self.tidies.set(Some((parts, screen))),
            Change::FocusOn(to) => focus_on(&to),
            Change::Notice(text) => self.notice.set(text),
        }
    }

    /// Whether the screen has one drawer for all panes. Not tracked.
    pub fn is_small(self) -> bool {
        let long = |l: Result<wasm_bindgen::JsValue, _>| l.ok().and_then(|l| l.as_f64());
        let (width, height) = (window().inner_width(), window().inner_height());
        long(width).is_some_and(|w| w <= SMALL.0) || long(height).is_some_and(|h| h <= SMALL.1)
    }

    fn show_preview(self) {
        let says = self.with(|e| e.preview().map(|p| p.says.clone()));
        // On a small screen the drawer leaves little of the very thing.
        if says.is_some() && self.is_small() {
            self.pane.set(None);
        }
        put(self.preview, says);
    }

    fn show_walk(self) {
        let place = self.with(Editor::walk_place);
        let begins = place.is_some() && self.walk.with_untracked(Option::is_none);
        // On a small screen the drawer leaves little of the very thing.
        if begins && self.is_small() {
            self.pane.set(None);
        }
        put(self.walk, place);
    }

    fn tell(self, collect: impl FnOnce(&mut Made, &Editor) -> made::Told) {
        let told = self.make(|made, editor| Some(collect(made, editor)));
        // Only now that nothing is borrowed any more: whoever listens may read it.
        told.into_iter().flatten().for_each(|tell| tell());
    }
}

/// What does not go on the site, as the bar tells it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WrongOnSite {
    /// How many errors there are.
    pub errors: usize,
    /// The first of them.
    pub says: String,
    /// What that one is about.
    pub parts: Vec<PartId>,
    /// The wires that it is about.
    pub wires: Vec<WireId>,
}

/// Sets a signal, if that changes it.
fn put<T: PartialEq + Send + Sync + 'static>(signal: RwSignal<T>, value: T) {
    if signal.with_untracked(|held| *held != value) {
        signal.set(value);
    }
}

/// Puts the keyboard on a card or a port, once it is drawn.
fn focus_on(to: &FocusOn) {
    let id = match to {
        FocusOn::Part(part) => card_id(part),
        FocusOn::Port(end) => port_id(end),
        FocusOn::Site => "site-paper".to_string(),
    };
    request_animation_frame(move || {
        use wasm_bindgen::JsCast;
        if let Some(element) = document().get_element_by_id(&id) {
            // Focusing is the same for elements of HTML and of SVG.
            let element: web_sys::SvgElement = element.unchecked_into();
            // The element may refuse it, which harms nothing.
            let _ = element.focus();
        }
    });
}

impl Default for Store {
    fn default() -> Store {
        Store::new()
    }
}
