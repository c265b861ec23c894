//! Findings: what an experienced builder would say on seeing a plan over its day, worst first, each with a number from
//! a run and, where one is known, a change that was tried.
//!
//! One file a kind. [`Search`] goes through the plan subject by subject, so that a caller sees what is found so far and
//! can stop. A change is offered only if a run of the changed plan showed that it does what its sentence claims and
//! that every duty kept before is kept after. That every load runs as long is said where it does so to the millisecond;
//! where a sentence does not say so, a load may use up to a thousandth less a day. It is no search for the best: [`super::check`] and the losses prove.
//! Which of these things are worth saying is common practice, no source.

mod banks;
mod candidate;
pub(super) mod draft;
mod full;
mod hours;
mod links;
mod lost_share;
mod needless;
mod never_full;
mod plain_loop;
mod reachable;
mod rewire;
mod settings;
mod simulation;
mod single_point;
mod smaller;
mod spilled;
#[cfg(test)]
mod testing;
mod unkept;
mod wide_tap;

use super::loss::{Loss, LossJudge};
use super::study::Study;
use crate::net::Weight;
pub use crate::plan::FindingKind;
use crate::plan::{Edit, Meant, PartId, Plan, WireId};
use crate::quantity::Ms;
use draft::Draft;
use serde::{Deserialize, Serialize};
pub(super) use simulation::Simulation;
use std::collections::BTreeMap;
use std::sync::Arc;

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
    /// Whether `says` gives amounts for a day of the plan's own run, so that it must be told which days they are of.
    pub per_day: bool,
    /// What could be done about it.
    pub remedy: Option<Remedy>,
}

impl Finding {
    /// Findings in the order of this are worst first.
    pub fn rank(&self) -> impl Ord + use<> {
        (self.weight, self.kind, std::cmp::Reverse(self.amount))
    }

    /// The answer "meant so" to this finding; none where it can't be given: a duty that need not be kept is to be taken
    /// away.
    pub fn as_meant(&self) -> Option<Meant> {
        let part = self.parts.first().filter(|_| self.kind.may_be_meant())?;
        Some(Meant::new(self.kind, part.clone()))
    }

    /// Whether one of a plan's answers says that this is meant so.
    pub fn is_meant(&self, answers: &[Meant]) -> bool {
        let is_this = |m: &&Meant| m.finding == self.kind && self.parts.first() == Some(&m.part);
        answers.iter().any(|m| is_this(&m))
    }
}

/// What a step of the search looks at.
enum Subject {
    /// What a loss breaks: no finding by itself, but some hang on it.
    Loss(Loss),
    /// A part or duty, for findings of a kind.
    Look(FindingKind, usize),
}

/// A search under way: an iterator that gives after each subject what was found on it, in no order of weight.
///
/// Dropping it stops the search.
pub struct Search<'a> {
    plan: &'a Plan,
    seen: Simulation,
    subjects: std::vec::IntoIter<Subject>,
    done: usize,
    of: usize,
    /// Tries losses; made when the first is to be tried.
    trials: Option<LossJudge<'a>>,
    /// The duties that each loss breaks.
    breaks: BTreeMap<Loss, Vec<usize>>,
    /// Found when the losses are through.
    points: Option<single_point::Points>,
}

impl<'a> Search<'a> {
    /// Runs the plan and sees what there is to look at.
    pub fn new(plan: &'a Plan) -> Search<'a> {
        Search::with(plan, Simulation::new(plan))
    }

    /// As [`Search::new`], of a plan that is studied.
    pub fn of(study: &'a Arc<Study>) -> Search<'a> {
        Search::with(study.plan(), Simulation::of(Arc::clone(study)))
    }

    fn with(plan: &'a Plan, seen: Simulation) -> Search<'a> {
        let mut subjects = Vec::new();
        for kind in FindingKind::ALL {
            let places: Vec<usize> = match kind {
                FindingKind::DutyBroken => (0..plan.duties.len()).collect(),
                _ => seen.parts_for(kind),
            };
            // Each loss is a subject of its own: they are what takes longest.
            let losses = places.iter().filter_map(|at| lost(&seen, kind, *at));
            subjects.extend(losses.map(Subject::Loss));
            subjects.extend(places.iter().map(|at| Subject::Look(kind, *at)));
        }
        Search {
            plan,
            seen,
            done: 0,
            of: subjects.len(),
            subjects: subjects.into_iter(),
            trials: None,
            breaks: BTreeMap::new(),
            points: None,
        }
    }

    /// How many subjects are done, and of how many.
    pub fn progress(&self) -> (usize, usize) {
        (self.done, self.of)
    }

    /// How many runs of changed plans the search has made so far: what it costs, whatever the machine.
    pub fn runs(&self) -> u64 {
        self.seen.tries() + self.trials.as_ref().map_or(0, LossJudge::runs)
    }

    fn lose(&mut self, loss: Loss) {
        let (plan, check) = (self.plan, &self.seen.check);
        let trials = self
            .trials
            .get_or_insert_with(|| LossJudge::new(plan, check));
        let breaks = trials.breaks(&loss);
        self.breaks.insert(loss, breaks);
    }

    fn breaks(&self, kind: FindingKind, at: usize) -> &[usize] {
        let loss = lost(&self.seen, kind, at);
        let breaks = loss.and_then(|loss| self.breaks.get(&loss));
        breaks.map_or(&[], Vec::as_slice)
    }

    fn look(&mut self, kind: FindingKind, at: usize) -> Option<Finding> {
        match kind {
            FindingKind::DutyBroken => unkept::find(&self.seen, at),
            FindingKind::ReachableSwitch => reachable::find(&self.seen, at, self.breaks(kind, at)),
            FindingKind::SinglePoint => {
                if self.points.is_none() {
                    let parts = self.seen.parts_for(kind).into_iter();
                    let breaks = parts.map(|at| (at, self.breaks(kind, at).len()));
                    self.points = Some(single_point::Points::of(&self.seen, breaks));
                }
                let points = self.points.as_ref()?;
                single_point::find(&self.seen, at, self.breaks(kind, at), points)
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

impl Iterator for Search<'_> {
    type Item = Option<Finding>;

    fn next(&mut self) -> Option<Option<Finding>> {
        let mut found = match self.subjects.next()? {
            Subject::Loss(loss) => {
                self.lose(loss);
                self.done += 1;
                return Some(None);
            }
            Subject::Look(kind, at) => self.look(kind, at),
        };
        self.done += 1;
        if let Some(finding) = found.as_mut().filter(|finding| finding.per_day)
            && let Some(days) = self.seen.days_told()
        {
            finding.says = format!("{} {days}", finding.says);
        }
        Some(found)
    }
}

/// The loss that a kind of finding on a part hangs on, where any duty is kept that it could break.
fn lost(seen: &Simulation, kind: FindingKind, at: usize) -> Option<Loss> {
    if !seen.keeps_any() {
        return None;
    }
    match kind {
        FindingKind::ReachableSwitch => Some(Loss::Switch(seen.id(at).clone())),
        FindingKind::SinglePoint => Some(Loss::Part(seen.id(at).clone())),
        _ => None,
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_loss_is_a_subject_of_its_own_and_is_tried_when_it_is_its_turn() {
        let text = r#"{ "parts": { "gen": "generator", "bar": "busbar-2", "meter": "meter", "lamp": "lamp" },
            "wires": ["gen.out bar.in1", "bar.out meter.in", "meter.out lamp.in"],
            "duties": [{ "part": "lamp", "when": "always" }] }"#;
        let mut plan = crate::net::testing::plan(text);
        let mut search = Search::new(&plan);
        let mut tried = vec![0];
        while search.next().is_some() {
            tried.push(search.breaks.len());
        }
        // One duty to look at, then three losses, one a step; the lamp's own loss tells nothing.
        assert_eq!(tried[..6], [0, 0, 1, 2, 3, 3]);
        assert_eq!(tried.last(), Some(&3));
        // Where no duty is kept no loss can break one, and none is tried.
        plan.wires.clear();
        let mut search = Search::new(&plan);
        while search.next().is_some() {}
        assert!(search.trials.is_none() && search.progress().1 > 0);
    }
}
