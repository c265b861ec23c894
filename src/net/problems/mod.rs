//! Problems, and how a net's are found: one file a kind, those of its structure, whatever the hour, and those of the flow
//! at an instant.
//!
//! A problem is data: a kind with its amounts, a weight, and the parts and wires concerned. Words are made of that, and of
//! the plan as its parts are called now, only where a problem is shown.
//!
//! Each kind's file has its data, how it is found and its words; nothing reads the words back. It holds a plan that
//! triggers it and one that does not. Every search is linear in parts and wires.

mod break_closed;
mod chatter;
mod closed_loop;
mod empty_backup;
mod feeds_itself;
mod hungry;
mod lost_share;
mod most;
mod never_runs;
mod never_true;
mod no_source;
mod open_port;
mod short;
mod spilled;
mod too_many_events;
mod unset_switch;
mod watches_nothing;
pub(crate) mod why;
pub(crate) mod words;

pub use break_closed::BreakClosed;
pub use chatter::Chatter;
pub use closed_loop::ClosedLoop;
pub use empty_backup::EmptyBackup;
pub use feeds_itself::FeedsItself;
pub use lost_share::{LostShare, UnusedShare, lost_shares, unused_shares};
pub use never_runs::NeverRuns;
pub use never_true::{Never, NeverTrue};
pub use no_source::NoSource;
pub use open_port::{Consequence, OpenPort};
pub use short::{Hold, Short};
pub use spilled::Spilled;
pub use too_many_events::{Bound, TooManyEvents};
pub use unset_switch::UnsetSwitch;
pub use watches_nothing::WatchesNothing;

use super::{Controls, Live, Net};
use crate::plan::{PartId, Plan, WireId};
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

    /// The word as a sentence begins with it.
    pub const fn label(self) -> &'static str {
        match self {
            Weight::Error => "Error",
            Weight::Warning => "Warning",
            Weight::Hint => "Hint",
        }
    }
}

/// What kind of problem it is, with what there is to say of it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum ProblemKind {
    /// Wires that lead back to where they came from.
    ClosedLoop(ClosedLoop),
    /// A contact that opens and closes without end.
    Chatter(Chatter),
    /// A run that was stopped at its bound of events.
    TooManyEvents(TooManyEvents),
    /// A load that is offered less than it draws.
    Short(Short),
    /// A part that no source or battery leads to.
    NoSource(NoSource),
    /// A contact that can never be true.
    NeverTrue(NeverTrue),
    /// A load that can never run.
    NeverRuns(NeverRuns),
    /// Ports of a part that need a wire and have none.
    OpenPort(OpenPort),
    /// Batteries whose outputs lead back to their inputs.
    FeedsItself(FeedsItself),
    /// A changeover on an empty backup though main has something.
    EmptyBackup(EmptyBackup),
    /// A share or tap that nobody takes.
    LostShare(LostShare),
    /// A switch that nobody has set.
    UnsetSwitch(UnsetSwitch),
    /// A sensor that watches nothing.
    WatchesNothing(WatchesNothing),
    /// A break switch that is set closed, and so is open.
    BreakClosed(BreakClosed),
    /// Power that a source could give and nobody takes.
    Spilled(Spilled),
}

impl ProblemKind {
    /// Whether the hours at which somebody is home mend it, which the world says and no part.
    pub fn asks_for_home_hours(&self) -> bool {
        matches!(self, ProblemKind::NeverTrue(it) if it.why == Never::NoHomeHours)
    }

    /// The code in output.
    pub const fn code(&self) -> &'static str {
        match self {
            ProblemKind::ClosedLoop(_) => "closed-loop",
            ProblemKind::Chatter(_) => "chatter",
            ProblemKind::TooManyEvents(_) => "too-many-events",
            ProblemKind::Short(_) => "short",
            ProblemKind::NoSource(_) => "no-source",
            ProblemKind::NeverTrue(_) => "never-true",
            ProblemKind::NeverRuns(_) => "never-runs",
            ProblemKind::OpenPort(_) => "open-port",
            ProblemKind::FeedsItself(_) => "feeds-itself",
            ProblemKind::EmptyBackup(_) => "empty-backup",
            ProblemKind::LostShare(_) => "lost-share",
            ProblemKind::UnsetSwitch(_) => "unset-switch",
            ProblemKind::WatchesNothing(_) => "watches-nothing",
            ProblemKind::BreakClosed(_) => "break-closed",
            ProblemKind::Spilled(_) => "spilled",
        }
    }

    fn says(&self, plan: &Plan) -> String {
        match self {
            ProblemKind::ClosedLoop(it) => it.says(plan),
            ProblemKind::Chatter(it) => it.says(plan),
            ProblemKind::TooManyEvents(it) => it.says(),
            ProblemKind::Short(it) => it.says(plan),
            ProblemKind::NoSource(it) => it.says(plan),
            ProblemKind::NeverTrue(it) => it.says(plan),
            ProblemKind::NeverRuns(it) => it.says(plan),
            ProblemKind::OpenPort(it) => it.says(plan),
            ProblemKind::FeedsItself(it) => it.says(plan),
            ProblemKind::EmptyBackup(it) => it.says(plan),
            ProblemKind::LostShare(it) => it.says(plan),
            ProblemKind::UnsetSwitch(it) => it.says(plan),
            ProblemKind::WatchesNothing(it) => it.says(plan),
            ProblemKind::BreakClosed(it) => it.says(plan),
            ProblemKind::Spilled(it) => it.says(plan),
        }
    }
}

/// One problem of a plan, at an instant or over a run.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Problem {
    /// What kind it is, and its amounts.
    pub kind: ProblemKind,
    /// How much it matters.
    pub weight: Weight,
    /// The parts concerned, in the plan's order.
    pub parts: Vec<PartId>,
    /// The wires concerned, in the plan's order.
    pub wires: Vec<WireId>,
}

impl Problem {
    /// What is wrong and what to try, in the names that parts have in `plan`: the plan that the problem was found in,
    /// whatever its parts are called meanwhile.
    pub fn says(&self, plan: &Plan) -> String {
        self.kind.says(plan)
    }
}

/// What is wrong with how a plan is wired and set, whatever the hour; worst first.
pub fn structure_problems(plan: &Plan, net: &Net) -> Vec<Problem> {
    let mut problems = closed_loop::find(plan, net);
    problems.extend(feeds_itself::find(plan, net));
    problems.extend(open_port::find(plan, net));
    problems.extend(no_source::find(plan, net));
    let most = most::Most::of(plan, net);
    problems.extend(never_true::find(plan, net, &most));
    problems.extend(never_runs::find(plan, net, &most));
    problems.extend(watches_nothing::find(plan, net));
    problems.extend(unset_switch::find(plan, net));
    problems.extend(break_closed::find(plan, net));
    worst_first(plan, &mut problems);
    problems
}

/// What is wrong with what flows at one solved instant; worst first.
pub fn flow_problems(plan: &Plan, net: &Net, live: &Live, controls: &Controls) -> Vec<Problem> {
    let mut problems = empty_backup::find(plan, net, live);
    problems.extend(short::find(plan, net, live, controls));
    problems.extend(lost_share::find(plan, net, live, controls));
    problems.extend(spilled::find(plan, net, live, controls));
    worst_first(plan, &mut problems);
    problems
}

/// Sorts by weight, then by the place in the plan of the first part concerned; what is equal keeps its order.
pub(crate) fn worst_first(plan: &Plan, problems: &mut [Problem]) {
    if problems.len() < 2 {
        return;
    }
    problems.sort_by_cached_key(|p| {
        let first = p.parts.first().and_then(|id| plan.part_place(id));
        (p.weight, first)
    });
}
