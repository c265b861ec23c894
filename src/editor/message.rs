//! What is said to the editor: everything that a user or the page's surroundings can do to the open plan.

use super::selection::Selection;
use super::view::{Beyond, Point};
use crate::plan::{Edit, End, History, PartId, Plan, Snippet, WireId};
use crate::quantity::Ms;
use crate::sheet::tidy::LaidOut;
use crate::site::{Edge, Face, Fitting, Ground};
use std::collections::BTreeMap;

/// What a pointer or the keyboard is on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Target {
    /// A port.
    Port(End),
    /// A part's card.
    Part(PartId),
    /// The symbol of a switch or a button, which a click throws.
    Switch(PartId),
    /// A wire or its label.
    Wire(WireId),
    /// A bend of a wire, by its place among the wire's bends.
    Bend(WireId, usize),
    /// The middle of a wire's piece, from which a bend can be drawn; with the place that bend would have.
    NewBend(WireId, usize),
    /// The paper, or nothing in particular.
    Paper,
    /// Another pane's control; only the keyboard can be there.
    Elsewhere,
}

/// A pointer's act. Places are of the window onto the board, in pixels of the screen from its top left corner.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pointer {
    /// The browser's number of the pointer.
    pub id: i32,
    /// Where it is.
    pub at: Point,
    /// Whether it is a finger.
    pub finger: bool,
    /// Whether it is the first of its kind: others that were still held as down are gone by now.
    pub primary: bool,
}

/// A key, with what is held down besides.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Key {
    /// The key's name as in UI Events: "ArrowUp", "Enter", "a".
    pub key: String,
    /// Shift.
    pub shift: bool,
    /// Control, or the command key.
    pub command: bool,
}

/// What is drawn with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SiteTool {
    /// Nothing: things are chosen and moved.
    Choose,
    /// What is underfoot.
    Ground(Ground),
    /// What stands on the sides of cells.
    Edge(Edge),
    /// What stands on cells or leads through them.
    Fitting(Fitting),
    /// A room, by its number.
    Room(u8),
}

/// Which drawing of the plan is shown.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Drawing {
    /// The board, with its cards.
    #[default]
    Board,
    /// The site.
    Site,
}

/// What a pointer is on in the site.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum SiteTarget {
    /// A part.
    Part(PartId),
    /// The run of a wire, with the place that a bend made there has among its bends.
    Run(WireId, usize),
    /// A bend of a wire, by its place among the wire's bends.
    Bend(WireId, usize),
    /// Nothing in particular.
    Paper,
}

/// One thing that is done with the site.
#[derive(Clone, Debug)]
pub enum SiteAct {
    /// Shows the board or the site.
    Turn(Drawing),
    /// Shows another storey.
    Storey(u8),
    /// Draws with something else.
    Tool(SiteTool),
    /// The window onto the site has another size, in pixels of the screen.
    Resize(f64, f64),
    /// Shows the whole site.
    Fit,
    /// Another site was put in place: its lowest storey is shown whole, with the keyboard on it.
    Begin,
    /// Zooms by a factor around a place of the window, or around its middle.
    Zoom(f64, Option<Point>),
    /// A pointer goes down.
    Down(Pointer, SiteTarget),
    /// A pointer moves.
    Move(Pointer),
    /// A pointer goes up.
    Up(Pointer),
    /// A pointer is lost: what it did is taken back.
    Lost(i32),
    /// A double click.
    DoubleClick(SiteTarget),
    /// A part is taken in hand, or let go; `true`: by a press that goes on as a drag.
    Take(Option<PartId>, bool),
    /// A part hangs elsewhere, or nowhere.
    Hang(PartId, Option<Face>),
    /// A wire is led over these faces.
    Lead(WireId, Vec<Face>),
    /// A new bend of a wire is taken in hand.
    TakeBend(WireId),
}

/// One thing that is done with the document's walk.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WalkAct {
    /// Follows it from the step of this place on, from 0, or from its last where it has fewer.
    Begin(usize),
    /// Goes on to the next step.
    Forward,
    /// Goes back to the step before.
    Backward,
    /// Goes to the step of this place, from 0.
    GoTo(usize),
    /// Shows the document again.
    End,
}

/// One thing said to the editor.
#[derive(Clone, Debug)]
pub enum Message {
    /// Opens another plan. `keeps_moment`: it is another version of the same plan, so the time of day stays.
    Open {
        /// The plan.
        plan: Box<Plan>,
        /// Whether the moment shown keeps its place on the dial.
        keeps_moment: bool,
    },
    /// Takes these as the steps of undo of the plan that was just opened: they were kept beside it.
    Remember(Box<History>),
    /// Does edits as one step of undo.
    Commit {
        /// What the step is called.
        says: String,
        /// The edits.
        edits: Vec<Edit>,
    },
    /// Takes the last step back.
    Undo,
    /// Does the step again that was last taken back.
    Redo,
    /// Shows a plan in the document's place.
    Preview {
        /// What is shown.
        says: String,
        /// The plan.
        plan: Box<Plan>,
    },
    /// Shows the document with edits that can then be taken.
    PreviewChange {
        /// What is shown.
        says: String,
        /// What the step is called when it is taken.
        name: String,
        /// The edits.
        edits: Vec<Edit>,
    },
    /// Shows the document again.
    EndPreview,
    /// Makes the document what is tried.
    TakePreview,
    /// Throws a switch or presses a button at the moment shown, as a trial; done again at the same moment, it is put back.
    Throw(PartId),
    /// Shows another moment.
    Moment(Ms),
    /// Goes on with what was put off, through at most so many events of the run and so many cards and wires.
    Work {
        /// The most milliseconds in which something happens.
        events: u64,
        /// The most cards and wires.
        things: usize,
    },
    /// Chooses these.
    Select(Selection),
    /// Chooses these parts and wires and brings them into view.
    Show(Vec<PartId>, Vec<WireId>),
    /// Chooses these, and moves the view no more than brings them into it.
    Reveal(Vec<PartId>, Vec<WireId>),
    /// Something has the keyboard, or the board's place in the order of Tab.
    Focus(Option<PartId>),
    /// The part under the pointer.
    Hover(Option<PartId>),
    /// Whether the screen is a small one that is held in a hand; said before the size of the window.
    Held(bool),
    /// Whether the board is shown for a recording, which a plan fills; the whole plan is shown then.
    Record(bool),
    /// The window onto the board has another size, in pixels of the screen.
    Resize(f64, f64),
    /// The window's top left corner has come to a place of the board: the browser has moved it.
    Look(Point),
    /// Shows the whole plan.
    Fit,
    /// Goes on along the board to what lies beyond the window on a side.
    Step(Beyond),
    /// Zooms by a factor around a place of the window, or around its middle.
    Zoom(f64, Option<Point>),
    /// A pointer goes down on something; `more`: with Shift or Control.
    PointerDown(Pointer, Target, bool),
    /// A pointer moves.
    PointerMove(Pointer),
    /// A pointer goes up.
    PointerUp(Pointer),
    /// A pointer is lost: what it did is taken back.
    PointerLost(i32),
    /// A double click.
    DoubleClick(Target),
    /// A key is pressed while the keyboard is on something.
    Key(Key, Target),
    /// A part type is taken in hand, or let go.
    Carry(Option<String>),
    /// A part of this type is to stand with its middle at a place of the board, or in the middle of the view.
    Place(String, Option<Point>),
    /// Whether a drag on empty paper draws a marquee rather than move the paper.
    ChooseByDragging(bool),
    /// Whether each wire has the number of its cable beside what it carries.
    NumberCables(bool),
    /// Draws the wire that was asked about, or does not.
    Replace(bool),
    /// Ends renaming.
    Renamed {
        /// The new name, where it is to be kept.
        name: Option<String>,
        /// Whether the keyboard goes back to the card.
        returns: bool,
    },
    /// Opens or closes the explanation of the keys.
    Help(bool),
    /// Adds copies of parts with the wires among them, as read from this text, and chooses them.
    Paste(Box<Snippet>, String),
    /// Removes the chosen parts, which were copied before.
    Cut,
    /// Adds copies of the chosen parts, with the wires and the duties among them, and chooses the copies.
    Duplicate,
    /// Asks to lay out the chosen parts anew, or the whole plan where fewer than two are chosen: [`super::Change::Tidy`].
    Tidy,
    /// The layout that was asked for.
    Tidied(LaidOut),
    /// Wires two free ports, whichever way round they fit.
    Join(End, End),
    /// How the duties of loads stand: for each load a word and a mark, and whether that is of an earlier plan.
    Verdicts(BTreeMap<PartId, crate::sheet::verdict::Standing>, bool),
    /// Something is done with the site.
    Site(SiteAct),
    /// Something is done with the document's walk.
    Walk(WalkAct),
    /// Says something in the page's polite line.
    Notice(String),
}
