//! Findings: what an experienced builder would say on seeing a plan over its day, worst first, each with a number from
//! a run and, where one is known, a change that was tried.
//!
//! One file a kind. [`Search`] goes through the plan subject by subject, so that a caller sees what is found so far and
//! can stop. A change is offered only if a run of the changed plan showed that it does what its sentence claims and
//! that every duty kept before is kept after. It is no search for the best: [`super::check`] and the losses prove.
//! Which of these things are worth saying is common practice, no source.

mod banks;
mod change;
mod draft;
mod full;
mod hours;
mod lost_share;
mod needless;
mod never_full;
mod plain_loop;
mod reachable;
mod rewire;
mod seen;
mod settings;
mod single_point;
mod smaller;
mod spilled;
#[cfg(test)]
mod testing;
mod unkept;
mod wide_tap;

use super::loss::{Loss, LossReport, all_losses, losses};
use crate::net::Weight;
use crate::plan::{Edit, PartId, Plan, WireId};
use crate::quantity::Ms;
use draft::Draft;
pub(super) use seen::Seen;
use serde::{Deserialize, Serialize};

/// A kind of finding. The order is that in which they are looked for, and told where they weigh the same.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum FindingKind {
    /// A duty is broken.
    DutyBroken,
    /// A switch within a stranger's reach commands something that matters.
    ReachableSwitch,
    /// A part without which duties break, and a part that would take that risk away.
    SinglePoint,
    /// A battery never gets full.
    NeverFull,
    /// A battery is full while power is spilled.
    Full,
    /// A source spills otherwise.
    Spilled,
    /// A load runs when nobody needs it.
    Needless,
    /// A share is lost.
    LostShare,
    /// A tap sets more aside than is ever taken.
    WideTap,
    /// A contact for which a plain wire would do.
    PlainLoop,
}

impl FindingKind {
    /// Every kind.
    pub const ALL: [FindingKind; 10] = [
        FindingKind::DutyBroken,
        FindingKind::ReachableSwitch,
        FindingKind::SinglePoint,
        FindingKind::NeverFull,
        FindingKind::Full,
        FindingKind::Spilled,
        FindingKind::Needless,
        FindingKind::LostShare,
        FindingKind::WideTap,
        FindingKind::PlainLoop,
    ];

    /// The word in output.
    pub const fn code(self) -> &'static str {
        match self {
            FindingKind::DutyBroken => "duty-broken",
            FindingKind::ReachableSwitch => "reachable-switch",
            FindingKind::SinglePoint => "single-point",
            FindingKind::NeverFull => "never-full",
            FindingKind::Full => "full",
            FindingKind::Spilled => "spilled",
            FindingKind::Needless => "needless",
            FindingKind::LostShare => "lost-share",
            FindingKind::WideTap => "wide-tap",
            FindingKind::PlainLoop => "plain-loop",
        }
    }

    /// The kind in a few words.
    pub const fn label(self) -> &'static str {
        match self {
            FindingKind::DutyBroken => "Duty broken",
            FindingKind::ReachableSwitch => "Switch within reach",
            FindingKind::SinglePoint => "Single point of failure",
            FindingKind::NeverFull => "Battery never full",
            FindingKind::Full => "Battery full",
            FindingKind::Spilled => "Power spilled",
            FindingKind::Needless => "On when not needed",
            FindingKind::LostShare => "Share lost",
            FindingKind::WideTap => "Tap too wide",
            FindingKind::PlainLoop => "Plain wire would do",
        }
    }
}

/// A change that was tried on the plan.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Remedy {
    /// What to do and what comes of it, with a number from the run of the changed plan.
    pub says: String,
    /// The change in a few words, as an undo step is called: `add a panel`.
    pub name: String,
    /// The edits, in an order that applies.
    pub edits: Vec<Edit>,
}

/// One finding.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Finding {
    /// What kind it is.
    pub kind: FindingKind,
    /// How grave it is.
    pub weight: Weight,
    /// How much it is about, to order findings of one kind: milliseconds, energy or a number of duties a day.
    pub amount: u64,
    /// The parts concerned, the first being what it is about.
    pub parts: Vec<PartId>,
    /// The wires concerned.
    pub wires: Vec<WireId>,
    /// What there is to say, with a number from the run.
    pub says: String,
    /// What could be done about it.
    pub remedy: Option<Remedy>,
}

impl Finding {
    /// Findings in the order of this are worst first.
    pub fn rank(&self) -> impl Ord + use<> {
        (self.weight, self.kind, std::cmp::Reverse(self.amount))
    }
}

/// A search under way: an iterator that gives after each subject what was found on it, in no order of weight.
///
/// Dropping it stops the search.
pub struct Search {
    seen: Seen,
    subjects: std::vec::IntoIter<(FindingKind, usize)>,
    done: usize,
    of: usize,
    /// What losing each part or throwing each switch does; found when first asked for.
    reports: Option<Vec<LossReport>>,
}

impl Search {
    /// Runs the plan and sees what there is to look at.
    pub fn new(plan: &Plan) -> Search {
        let seen = Seen::new(plan);
        let mut subjects = Vec::new();
        for kind in FindingKind::ALL {
            let places = match kind {
                FindingKind::DutyBroken => (0..plan.duties.len()).collect(),
                _ => seen.parts_for(kind),
            };
            subjects.extend(places.into_iter().map(|at| (kind, at)));
        }
        Search {
            seen,
            done: 0,
            of: subjects.len(),
            subjects: subjects.into_iter(),
            reports: None,
        }
    }

    /// How many subjects are done, and of how many.
    pub fn progress(&self) -> (usize, usize) {
        (self.done, self.of)
    }

    fn reports(&mut self) -> &[LossReport] {
        let seen = &self.seen;
        self.reports.get_or_insert_with(|| {
            let not_wires: Vec<Loss> = all_losses(&seen.plan)
                .into_iter()
                .filter(|loss| !matches!(loss, Loss::Wire(_)))
                .collect();
            losses(&seen.plan, &seen.check, &not_wires).collect()
        })
    }

    fn breaks(&mut self, kind: FindingKind, part: usize) -> Vec<usize> {
        let id = self.seen.plan.parts[part].id.clone();
        let of = |r: &&LossReport| match (&r.loss, kind) {
            (Loss::Switch(at), FindingKind::ReachableSwitch) => *at == id,
            (Loss::Part(at), FindingKind::SinglePoint) => *at == id,
            _ => false,
        };
        let found = self.reports().iter().find(of);
        found.map(|r| r.breaks.clone()).unwrap_or_default()
    }

    fn look(&mut self, kind: FindingKind, at: usize) -> Option<Finding> {
        match kind {
            FindingKind::DutyBroken => unkept::find(&self.seen, at),
            FindingKind::ReachableSwitch => {
                let breaks = self.breaks(kind, at);
                reachable::find(&self.seen, at, &breaks)
            }
            FindingKind::SinglePoint => {
                let breaks = self.breaks(kind, at);
                let reports = self.reports.as_deref().unwrap_or_default();
                let weak = single_point::weak(&self.seen.plan, reports);
                let worst = weak.iter().take(single_point::WORST);
                if !worst.into_iter().any(|id| id == self.seen.id(at)) {
                    return None;
                }
                single_point::find(&self.seen, at, &breaks, weak.len())
            }
            FindingKind::NeverFull => never_full::find(&self.seen, at),
            FindingKind::Full => full::find(&self.seen, at),
            FindingKind::Spilled => spilled::find(&self.seen, at),
            FindingKind::Needless => needless::find(&self.seen, at),
            FindingKind::LostShare => lost_share::find(&self.seen, at),
            FindingKind::WideTap => wide_tap::find(&self.seen, at),
            FindingKind::PlainLoop => plain_loop::find(&self.seen, at),
        }
    }
}

impl Iterator for Search {
    type Item = Option<Finding>;

    fn next(&mut self) -> Option<Option<Finding>> {
        let (kind, at) = self.subjects.next()?;
        let mut found = self.look(kind, at);
        self.done += 1;
        // A thrown switch makes a run of its own, whose days may be others.
        if let Some(finding) = found.as_mut()
            && kind != FindingKind::ReachableSwitch
            && finding.says.contains(" a day")
            && let Some(days) = self.seen.days_told()
        {
            finding.says = format!("{} {days}", finding.says);
        }
        Some(found)
    }
}

/// All findings, worst first.
pub fn findings(plan: &Plan) -> Vec<Finding> {
    let mut all: Vec<Finding> = Search::new(plan).flatten().collect();
    worst_first(&mut all);
    all
}

/// Puts findings in order, worst first; what weighs the same keeps its order.
pub fn worst_first(findings: &mut [Finding]) {
    findings.sort_by_key(Finding::rank);
}

/// Energy as an amount to order by: whole step·seconds.
fn amount(energy: crate::quantity::Energy) -> u64 {
    u64::try_from(energy / 1_000_000).unwrap_or(0)
}

/// `3 times`, `once`.
fn times(n: usize) -> String {
    match n {
        1 => "once".into(),
        2 => "twice".into(),
        _ => format!("{n} times"),
    }
}

/// The part of each stretch that lies in `[from, to)`, added up.
fn overlap(stretches: &[(Ms, Ms)], from: Ms, to: Ms) -> Ms {
    let one = |(a, b): &(Ms, Ms)| (*b).min(to).saturating_sub((*a).max(from));
    stretches.iter().map(one).sum()
}
