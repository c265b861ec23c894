//! Problems as data: a kind, a weight, the parts and wires concerned, and a sentence that says what is wrong and what
//! to try.

use crate::plan::{PartId, WireId};
use serde::{Deserialize, Serialize};

/// How much a problem matters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Weight {
    /// The plan can't do what it says.
    Error,
    /// Something does not work as it stands.
    Warning,
    /// Something to look at.
    Hint,
}

impl Weight {
    /// The word in output.
    pub const fn word(self) -> &'static str {
        match self {
            Weight::Error => "error",
            Weight::Warning => "warning",
            Weight::Hint => "hint",
        }
    }
}

/// What kind of problem it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum ProblemKind {
    /// Wires that lead back to where they came from.
    ClosedLoop,
    /// A contact that opens and closes without end.
    Chatter,
    /// A run that was stopped at its bound of events.
    TooManyEvents,
    /// A load that is offered less than it draws.
    Short,
    /// A part that no source or battery leads to.
    NoSource,
    /// A port that needs a wire and has none.
    OpenPort,
    /// A battery whose output leads back to its input.
    FeedsItself,
    /// A changeover on an empty backup though main has something.
    EmptyBackup,
    /// A share or tap that nobody takes.
    LostShare,
    /// A switch that nobody has set.
    UnsetSwitch,
    /// A sensor that watches nothing.
    WatchesNothing,
    /// A break switch that is set closed, and so is open.
    BreakClosed,
    /// Power that a source could give and nobody takes.
    Spilled,
}

impl ProblemKind {
    /// The code in output.
    pub const fn code(self) -> &'static str {
        match self {
            ProblemKind::ClosedLoop => "closed-loop",
            ProblemKind::Chatter => "chatter",
            ProblemKind::TooManyEvents => "too-many-events",
            ProblemKind::Short => "short",
            ProblemKind::NoSource => "no-source",
            ProblemKind::OpenPort => "open-port",
            ProblemKind::FeedsItself => "feeds-itself",
            ProblemKind::EmptyBackup => "empty-backup",
            ProblemKind::LostShare => "lost-share",
            ProblemKind::UnsetSwitch => "unset-switch",
            ProblemKind::WatchesNothing => "watches-nothing",
            ProblemKind::BreakClosed => "break-closed",
            ProblemKind::Spilled => "spilled",
        }
    }
}

/// One problem of a plan, at an instant or over a run.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Problem {
    /// What kind it is.
    pub kind: ProblemKind,
    /// How much it matters.
    pub weight: Weight,
    /// The parts concerned, in the plan's order.
    pub parts: Vec<PartId>,
    /// The wires concerned, in the plan's order.
    pub wires: Vec<WireId>,
    /// What is wrong and what to try.
    pub says: String,
}
