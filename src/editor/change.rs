//! What a message has changed, for whoever shows it. Changes are ordered and come once each.

use crate::plan::{End, Impact, PartId, WireId};
use crate::sheet::tidy::Screen;
use std::collections::BTreeSet;

/// Where the keyboard is to go, once what was changed is drawn.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum FocusOn {
    /// A part's card.
    Part(PartId),
    /// A port.
    Port(End),
    /// The site.
    Site,
}

/// One thing that has changed.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Change {
    /// Another plan is open: ids mean other things now.
    Opened,
    /// The document is another, and in what respect.
    Document(Impact),
    /// What is drawn and worked out is another, be it the document or what is tried, and in what respect.
    Shown(Impact),
    /// What is tried is another, or nothing is tried any more.
    Preview,
    /// Another step of the walk is shown, or the walk is followed no more.
    Walk,
    /// There is something else to take back or to do again.
    History,
    /// The parts of the board are others, or in another order.
    Parts,
    /// The wires of the board are others, or in another order.
    Wires,
    /// Which cards are drawn.
    DrawnParts,
    /// Which wires are drawn.
    DrawnWires,
    /// A part: what it is, what it does, or how it is drawn.
    Part(PartId),
    /// A wire: what it is, what it carries, or how it is drawn.
    Wire(WireId),
    /// The moment shown.
    Moment,
    /// What the plan does at the moment shown was worked out, or is being worked out.
    Instant,
    /// The problems at the moment shown.
    Problems,
    /// What is chosen.
    Selection,
    /// The part that holds the board's place in the order of Tab.
    Focus,
    /// The part under the pointer.
    Hover,
    /// Where the board looks.
    View,
    /// The wire in the making.
    Joining,
    /// The question whether a wire may be replaced.
    Replacing,
    /// The marquee.
    Marquee,
    /// Whether a drag on empty paper draws a marquee.
    ChooseByDragging,
    /// The part whose name is being written.
    Renaming,
    /// The part type in hand.
    Carry,
    /// The explanation of the keys.
    Help,
    /// Whether board or site is shown.
    Drawing,
    /// How the site is worked at.
    Site,
    /// Where the window onto the site looks.
    SiteView,
    /// There is work put off: [`super::Message::Work`] goes on with it.
    Work,
    /// These parts are to be laid out for a screen: [`super::Message::Tidied`] brings the layout. It takes long in a large
    /// plan.
    Tidy(BTreeSet<PartId>, Screen),
    /// The pointer with this number is to be captured.
    Capture(i32),
    /// The keyboard is to go there.
    FocusOn(FocusOn),
    /// The key meant something here: the browser is not to act on it as well.
    Handled,
    /// Something to say in the page's polite line.
    Notice(String),
}
