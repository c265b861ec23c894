//! The editor: the open plan and everything that one does with it, as plain data.
//!
//! It holds the document with its history, what is tried, what is chosen, where the board looks, the moment shown, and
//! gestures and keys as state machines. There is one way in: [`Editor::apply`] takes a [`Message`] and answers with a
//! list of [`Change`]s, and whoever shows the plan looks at just what changed. It runs natively as in a browser, knows
//! no signals, no elements and no clock, and never fails: what can't be done is said in a notice.
//!
//! An edit costs what it changes. One of place or looks draws cards and wires anew; one of words tells them otherwise;
//! only one of power compiles and runs the plan, once.

mod acts;
mod apply;
mod board;
mod by_hand;
mod change;
mod document;
mod drawn;
mod geometry;
mod gesture;
mod joining;
mod keys;
pub mod layout;
mod message;
mod moment;
pub mod scene;
mod selection;
pub mod site;
#[cfg(test)]
mod tests;
mod touched;
pub mod view;
mod walk;
mod window;

pub use change::{Change, FocusOn};
pub use document::{Mark, Preview};
pub use geometry::Shape;
pub use joining::{Joining, Replacing, Taker, from_to};
pub use message::{Drawing, Key, Message, Pointer, SiteAct, SiteTarget, SiteTool, Target, WalkAct};
pub use moment::rescaled;
pub use selection::Selection;
pub use view::{Beyond, View};
pub use walk::WalkPlace;

use crate::gather::Gather;
use crate::net::{Problem, Weight};
use crate::plan::{End, PartId, Plan, WireId};
use crate::quantity::Ms;
use crate::run::{Flow, PartState, Prepared};
use crate::sheet::verdict::Standing;
use document::Document;
use drawn::Drawn;
use geometry::Geometry;
use gesture::Pointers;
use moment::Moment;
use site::SiteState;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;
use view::{Point, Rect};

/// How many milliseconds in which something happens an edit goes through at once; what is left is put off.
pub const EVENTS_AT_ONCE: u64 = 2_000;
/// How many cards and wires are drawn or led anew at once.
pub const THINGS_AT_ONCE: usize = 60;

/// The open plan and what is done with it.
#[derive(Clone, Debug)]
pub struct Editor {
    document: Document,
    /// The place of each part in the plan that is drawn; those of what is worked out come first.
    part_at: BTreeMap<PartId, usize>,
    wire_at: BTreeMap<WireId, usize>,
    /// The ports of the document that have a wire.
    wired: BTreeSet<End>,
    geometry: Geometry,
    drawn: Drawn,
    moment: Moment,
    /// What parts do and wires carry at the last moment that was worked out, by id: others may have come since.
    states: BTreeMap<PartId, PartState>,
    flows: BTreeMap<WireId, Flow>,
    problems: Vec<Problem>,
    wrong_parts: BTreeSet<PartId>,
    wrong_wires: BTreeSet<WireId>,
    verdicts: BTreeMap<PartId, Standing>,
    verdicts_are_old: bool,
    selection: Selection,
    focus: Option<PartId>,
    hover: Option<PartId>,
    view: View,
    /// Whether the window onto the board was measured: the first time shows the whole plan.
    is_measured: bool,
    /// Whether the screen is a small one that is held in a hand.
    is_held: bool,
    /// Whether the board is shown for a recording.
    is_recorded: bool,
    /// The view before a pane took room from the window, and the one since, as long as nobody moves it.
    before_pane: Option<(View, View)>,
    pointers: Pointers,
    floating: BTreeSet<PartId>,
    floating_bends: Option<(WireId, Vec<Point>)>,
    joining: Option<Joining>,
    replacing: Option<Replacing>,
    marquee: Option<Rect>,
    chooses_by_dragging: bool,
    numbers_cables: bool,
    renaming: Option<PartId>,
    /// The part that was placed last, until it is chosen by itself: arrow keys lead away from it rather than move it.
    just_placed: Option<PartId>,
    carry: Option<String>,
    help: bool,
    /// The plan and the parts that a layout was asked for, and whether they are all.
    tidying: Option<(Arc<Plan>, BTreeSet<PartId>, bool)>,
    /// The text that was pasted last, and how often.
    pasted: (String, u32),
    site: SiteState,
    changes: BTreeSet<Change>,
}

impl Default for Editor {
    fn default() -> Editor {
        Editor::new(Plan::empty())
    }
}

impl Editor {
    /// An editor with this plan open, at noon of day 1.
    pub fn new(plan: Plan) -> Editor {
        let noon = plan.world.day_ms() / 2;
        let mut editor = Editor {
            document: Document::new(plan),
            part_at: BTreeMap::new(),
            wire_at: BTreeMap::new(),
            wired: BTreeSet::new(),
            geometry: Geometry::default(),
            drawn: Drawn::default(),
            moment: Moment::new(noon),
            states: BTreeMap::new(),
            flows: BTreeMap::new(),
            problems: Vec::new(),
            wrong_parts: BTreeSet::new(),
            wrong_wires: BTreeSet::new(),
            verdicts: BTreeMap::new(),
            verdicts_are_old: false,
            selection: Selection::default(),
            focus: None,
            hover: None,
            view: View::default(),
            is_measured: false,
            is_held: false,
            is_recorded: false,
            before_pane: None,
            pointers: Pointers::default(),
            floating: BTreeSet::new(),
            floating_bends: None,
            joining: None,
            replacing: None,
            marquee: None,
            chooses_by_dragging: false,
            numbers_cables: false,
            renaming: None,
            just_placed: None,
            carry: None,
            help: false,
            tidying: None,
            pasted: (String::new(), 0),
            site: SiteState::default(),
            changes: BTreeSet::new(),
        };
        editor.put_board();
        editor.work(EVENTS_AT_ONCE, THINGS_AT_ONCE);
        editor.put_numbers();
        editor.changes.clear();
        editor
    }

    /// The document: the plan that is edited and kept.
    pub fn plan(&self) -> &Arc<Plan> {
        self.document.plan()
    }

    /// The plan that is worked out: the document, what is tried, or a state of the walk.
    pub fn shown(&self) -> &Arc<Plan> {
        self.document.shown()
    }

    /// The plan that is drawn: the document, what is tried with all that is gone from it, or a state of the walk.
    pub fn board(&self) -> &Arc<Plan> {
        self.document.board()
    }

    /// What is tried.
    pub fn preview(&self) -> Option<&Preview> {
        self.document.preview()
    }

    /// The steps of undo as a text of about `most` characters at the most, to be kept beside the plan.
    pub fn history_text(&self, most: usize) -> String {
        self.document.history().to_text(self.plan(), most)
    }

    /// What undo would take back, and what redo would do again.
    pub fn steps(&self) -> (Option<&str>, Option<&str>) {
        let history = self.document.history();
        (history.undoes(), history.redoes())
    }

    /// How a part of the board stands to the document.
    pub fn mark_of_part(&self, id: &PartId) -> Mark {
        self.document.mark_of_part(id)
    }

    /// How a wire of the board stands to the document.
    pub fn mark_of_wire(&self, id: &WireId) -> Mark {
        self.document.mark_of_wire(id)
    }

    /// What is chosen.
    pub fn selection(&self) -> &Selection {
        &self.selection
    }

    /// The part that holds the board's place in the order of Tab.
    pub fn focus(&self) -> Option<&PartId> {
        self.focus.as_ref()
    }

    /// The part under the pointer, on the board or in a list.
    pub fn hover(&self) -> Option<&PartId> {
        self.hover.as_ref()
    }

    /// Where the board looks.
    pub fn view(&self) -> View {
        self.view
    }

    /// The wire in the making.
    pub fn joining(&self) -> Option<&Joining> {
        self.joining.as_ref()
    }

    /// The question whether wires may be replaced.
    pub fn replacing(&self) -> Option<&Replacing> {
        self.replacing.as_ref()
    }

    /// The marquee, on the board.
    pub fn marquee(&self) -> Option<Rect> {
        self.marquee
    }

    /// Whether a drag on empty paper draws a marquee rather than move the paper.
    pub fn chooses_by_dragging(&self) -> bool {
        self.chooses_by_dragging
    }

    /// The part whose name is being written.
    pub fn renaming(&self) -> Option<&PartId> {
        self.renaming.as_ref()
    }

    /// The part type in hand.
    pub fn carry(&self) -> Option<&str> {
        self.carry.as_deref()
    }

    /// Whether the keys are being explained.
    pub fn help(&self) -> bool {
        self.help
    }

    /// The moment shown, in milliseconds since midnight of day 1.
    pub fn moment(&self) -> Ms {
        self.moment.t()
    }

    /// Whether the run has not come to the moment shown yet.
    pub fn is_behind(&self) -> bool {
        self.moment.is_behind()
    }

    /// The plan that is shown, made ready to run, once it is: for whoever runs it too.
    pub fn prepared(&self) -> Option<&Prepared> {
        self.moment.prepared()
    }

    /// How often a plan was compiled, for tests and measurements.
    pub fn compiled(&self) -> u64 {
        self.moment.compiled()
    }

    /// What the part `id` does at the moment shown; nothing where it is gone from what is tried.
    pub fn state(&self, id: &PartId) -> PartState {
        self.states.get(id).copied().unwrap_or(PartState::Plain)
    }

    /// What the wire `id` carries at the moment shown; nothing where it is gone from what is tried.
    pub fn flow(&self, id: &WireId) -> Flow {
        self.flows.get(id).copied().unwrap_or(Flow {
            offer: 0,
            take: 0,
            on_loop: false,
        })
    }

    /// The problems at the moment shown, worst first.
    pub fn problems(&self) -> &[Problem] {
        &self.problems
    }

    /// The cards that are drawn, in the board's order, each with its place among all of them.
    pub fn drawn_parts(&self) -> Vec<(usize, PartId)> {
        in_order(self.drawn.parts.iter(), &self.part_at)
    }

    /// The wires that are drawn, in the board's order, each with its place among all of them.
    pub fn drawn_wires(&self) -> Vec<(usize, WireId)> {
        in_order(self.drawn.wires.iter(), &self.wire_at)
    }

    /// Where a port stands on the board.
    pub fn port_place(&self, end: &End) -> Option<Point> {
        self.geometry.port(end).map(|(at, _)| at)
    }

    /// The rectangle of a part's card, where it stands or floats now.
    pub fn card_rect(&self, id: &PartId) -> Option<Rect> {
        self.geometry.rect(id)
    }

    fn note(&mut self, change: Change) {
        self.changes.insert(change);
    }

    fn say(&mut self, text: String) {
        self.note(Change::Notice(text));
    }

    /// The parts and wires that errors and warnings speak of.
    fn wrong(&self) -> (BTreeSet<PartId>, BTreeSet<WireId>) {
        let mut wrong = (BTreeSet::new(), BTreeSet::new());
        for problem in self.problems() {
            if problem.weight != Weight::Hint {
                wrong.0.extend(problem.parts.iter().cloned());
                wrong.1.extend(problem.wires.iter().cloned());
            }
        }
        wrong
    }
}

/// Those of `ids` that have a place, by their places.
fn in_order<'a, I: Ord + Clone + 'a>(
    ids: impl Iterator<Item = &'a I>,
    places: &BTreeMap<I, usize>,
) -> Vec<(usize, I)> {
    let placed: BTreeMap<usize, &I> = ids.filter_map(|id| Some((*places.get(id)?, id))).gather();
    placed
        .into_iter()
        .map(|(at, id)| (at, id.clone()))
        .collect()
}
