//! What turns on a day, and what made it turn. Parts by their ids, or by their places in the plan; milliseconds.

use crate::plan::{PartId, Plan};
use crate::quantity::Ms;
use serde::{Deserialize, Serialize};

/// How a part turns.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum TurnKind {
    /// A battery's output goes off.
    OutputOff,
    /// A battery's output goes on.
    OutputOn,
    /// A changeover goes to its backup.
    ToBackup,
    /// A changeover goes to its main.
    ToMain,
    /// A contact opens.
    Opens,
    /// A contact closes.
    Closes,
    /// A load starts.
    Starts,
    /// A load stops.
    Stops,
}

impl TurnKind {
    /// Whether it is told for its own sake; a contact's turn is told only where something comes of it.
    pub fn matters(self) -> bool {
        !matches!(self, TurnKind::Opens | TurnKind::Closes)
    }
}

/// One turn of one part.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct PartTurn<P = usize> {
    /// When.
    pub t: Ms,
    /// How.
    pub kind: TurnKind,
    /// The part.
    pub part: P,
}

impl PartTurn {
    /// The same by ids.
    pub fn told(self, plan: &Plan) -> PartTurn<PartId> {
        PartTurn {
            t: self.t,
            kind: self.kind,
            part: plan.parts[self.part].id.clone(),
        }
    }
}

/// Why something turns: what happened first. Parts by their ids, or by their places in the plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum TurnReason<P = usize> {
    /// A source gives another amount.
    Source {
        /// The source.
        part: P,
        /// What it gave before.
        before: u64,
        /// What it gives from then on.
        gives: u64,
    },
    /// A battery's output goes off.
    Empty(P),
    /// A battery's output is back on.
    Back(P),
    /// A battery has come to the mark of a contact that follows its charge.
    Charge {
        /// The contact.
        contact: P,
        /// Whether it is the low mark.
        low: bool,
    },
    /// A contact that the time alone decides, or somebody's hand.
    ByTime {
        /// The contact.
        contact: P,
        /// Whether its function is true from then on.
        truth: bool,
    },
    /// A contact's timer has run out.
    Timer(P),
    /// A contact is held open for chatter.
    Held(P),
    /// A contact follows what its signals were before the day, or a hold that ended.
    Follows(P),
}

impl<P> TurnReason<P> {
    /// The part with which it begins.
    pub fn part(&self) -> &P {
        match self {
            TurnReason::Source { part, .. }
            | TurnReason::Empty(part)
            | TurnReason::Back(part)
            | TurnReason::Charge { contact: part, .. }
            | TurnReason::ByTime { contact: part, .. }
            | TurnReason::Timer(part)
            | TurnReason::Held(part)
            | TurnReason::Follows(part) => part,
        }
    }
}

impl TurnReason {
    /// The same by ids.
    pub fn told(self, plan: &Plan) -> TurnReason<PartId> {
        let id = |part: usize| plan.parts[part].id.clone();
        match self {
            TurnReason::Source {
                part,
                before,
                gives,
            } => TurnReason::Source {
                part: id(part),
                before,
                gives,
            },
            TurnReason::Empty(part) => TurnReason::Empty(id(part)),
            TurnReason::Back(part) => TurnReason::Back(id(part)),
            TurnReason::Charge { contact, low } => TurnReason::Charge {
                contact: id(contact),
                low,
            },
            TurnReason::ByTime { contact, truth } => TurnReason::ByTime {
                contact: id(contact),
                truth,
            },
            TurnReason::Timer(part) => TurnReason::Timer(id(part)),
            TurnReason::Held(part) => TurnReason::Held(id(part)),
            TurnReason::Follows(part) => TurnReason::Follows(id(part)),
        }
    }
}
