//! Losses: one part, one wire, one switch thrown, one battery found empty; what each breaks of what the whole plan keeps,
//! when, and for how long. Times in milliseconds, energies in [`Energy`].
//!
//! What is told is what a run of the plan without the part would tell, to the last integer; [`LossJudge`] only finds it
//! sooner. No chance is involved: hours and energies are those of the days that were run, nothing is "expected".

mod certain;
mod change;
mod effect;
mod hours;
pub(super) mod island;
mod island_run;
mod judge;
mod pairs;
mod said;
mod weak;
mod wiring;

pub(super) use certain::certain;
pub use change::{BrokenChange, broken_changes};
pub use effect::LossEffect;
pub use judge::LossJudge;
pub use pairs::{PairReport, Pairs};
pub use weak::{WeakPoint, loads_behind, weak_points};

use super::check::Check;
use crate::book::PartType;
use crate::plan::{Part, PartId, Plan, Reach, WireId};
use crate::quantity::{Energy, Ms};
use serde::{Deserialize, Serialize};
use serde_json::Value;
use std::collections::BTreeMap;
use wiring::LossKey;

/// What is lost.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Loss {
    /// A part with its wires.
    Part(PartId),
    /// A wire.
    Wire(WireId),
    /// A switch that somebody throws: it does the opposite of its settings.
    Switch(PartId),
    /// A battery found empty at the start.
    Empty(PartId),
}

/// What a loss does to a duty that it breaks.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Harm {
    /// The duty, by its place in the plan.
    pub duty: usize,
    /// When it first breaks; none where a lost load's duty never applied longer than its grace.
    pub first: Option<Ms>,
    /// How long it is broken that first time; none where that never ends.
    pub lasts: Option<Ms>,
    /// In the days counted: how long the duty applied and the load did not run.
    pub dark: Ms,
    /// In the days counted: how long the load ran though it must not; 0 where it may.
    pub needless: Ms,
    /// In the days counted: what the load would have used in `dark`.
    pub unserved: Energy,
}

/// What a loss breaks.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct LossReport {
    /// What is lost.
    pub loss: Loss,
    /// The duties, by their places in the plan, that it breaks and the whole plan keeps.
    pub breaks: Vec<usize>,
    /// What becomes of each of them.
    pub harms: Vec<Harm>,
    /// How many days are counted: those that go on repeating, or all that were run where none does. A run that does not
    /// repeat is ended at a seventh day on which nothing is left that could break.
    pub days: u64,
    /// In the days counted: how long at least one of these duties was not served; loss-of-load hours.
    pub loss_of_load: Ms,
}

impl LossReport {
    /// In the days counted: energy that loads with a duty should have had.
    pub fn unserved(&self) -> Energy {
        self.harms.iter().map(|h| h.unserved).sum()
    }

    /// When the first of the duties breaks.
    pub fn first(&self) -> Option<Ms> {
        self.first_harm()?.first
    }

    /// What becomes of the duty that breaks first; of those that break together, of the one that is broken the longest.
    pub fn first_harm(&self) -> Option<&Harm> {
        let broken = self.harms.iter().filter(|h| h.first.is_some());
        broken.min_by_key(|h| (h.first, std::cmp::Reverse(h.lasts.unwrap_or(Ms::MAX))))
    }
}

/// How a plan stands up to single losses.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Survival {
    /// How many were tried.
    pub tried: usize,
    /// How many broke nothing.
    pub survived: usize,
    /// Single points of failure: the lost parts and wires that break a duty, by their places among the reports.
    pub single_points: Vec<usize>,
    /// Of those, the ones that break most.
    pub worst: Vec<usize>,
}

/// Sums reports up.
pub fn survival(reports: &[LossReport]) -> Survival {
    let is_point =
        |r: &LossReport| matches!(r.loss, Loss::Part(_) | Loss::Wire(_)) && !r.breaks.is_empty();
    let places = 0..reports.len();
    let single_points: Vec<usize> = places.filter(|at| is_point(&reports[*at])).collect();
    let breaks = |at: &usize| reports[*at].breaks.len();
    let most = single_points.iter().map(breaks).max();
    let worst = single_points.iter().copied();
    Survival {
        tried: reports.len(),
        survived: reports.iter().filter(|r| r.breaks.is_empty()).count(),
        worst: worst.filter(|at| Some(breaks(at)) == most).collect(),
        single_points,
    }
}

/// The places of reports, worst first: by duties broken, then by unserved energy a day, then by the time that any duty is
/// not served, then by how soon; what is equal keeps its order.
pub fn ranked(reports: &[LossReport]) -> Vec<usize> {
    let mut places: Vec<usize> = (0..reports.len()).collect();
    let rate = |a: Energy, b: &LossReport| a.saturating_mul(Energy::from(b.days.max(1)));
    places.sort_by(|a, b| {
        let (a, b) = (&reports[*a], &reports[*b]);
        let dark = |r: &LossReport| Energy::from(r.loss_of_load);
        (b.breaks.len().cmp(&a.breaks.len()))
            .then(rate(b.unserved(), a).cmp(&rate(a.unserved(), b)))
            .then(rate(dark(b), a).cmp(&rate(dark(a), b)))
            .then(
                a.first()
                    .unwrap_or(Ms::MAX)
                    .cmp(&b.first().unwrap_or(Ms::MAX)),
            )
    });
    places
}

/// Every single loss of a plan: its parts, its wires, the switches that a stranger can reach.
pub fn all_losses(plan: &Plan) -> Vec<Loss> {
    let manual = |p: &&Part| plan.kind_of(p).is_some_and(PartType::is_switch);
    let marked = plan.parts.iter().any(|p| p.reach.is_some());
    let reachable = |p: &&Part| match plan.reach_of(p) {
        Some(reach) => reach != Reach::Builders,
        None => !marked,
    };
    let parts = plan.parts.iter().map(|p| Loss::Part(p.id.clone()));
    let wires = plan.wires.iter().map(|w| Loss::Wire(w.id.clone()));
    let switches = plan
        .parts
        .iter()
        .filter(manual)
        .filter(reachable)
        .map(|p| Loss::Switch(p.id.clone()));
    parts.chain(wires).chain(switches).collect()
}

/// Every battery of a plan found empty.
pub fn empty_batteries(plan: &Plan) -> Vec<Loss> {
    let batteries = plan.batteries().into_iter();
    batteries.map(|p| Loss::Empty(p.id.clone())).collect()
}

/// What each of `losses` breaks, one after the other; `whole` is the check of the whole plan.
pub fn losses<'a>(
    plan: &'a Plan,
    whole: &'a Check,
    losses: &'a [Loss],
) -> impl Iterator<Item = LossReport> + 'a {
    let mut trials = LossJudge::new(plan, whole);
    losses.iter().map(move |loss| trials.judge(loss))
}

/// What one of several hands finds that share `losses` out: reports with the places of their losses, one after the other.
/// Losses that leave the same go to the same hand, so that none is judged twice.
///
/// `hand` counts from 0 up to `of`, which is 1 or more; all hands together report each loss once.
pub fn share_of_losses<'a>(
    plan: &'a Plan,
    whole: &'a Check,
    losses: &'a [Loss],
    (hand, of): (usize, usize),
) -> impl ExactSizeIterator<Item = (usize, LossReport)> + 'a {
    let mut trials = LossJudge::new(plan, whole);
    let mut kinds: BTreeMap<Option<LossKey>, usize> = BTreeMap::new();
    let mut places = Vec::new();
    for (at, loss) in losses.iter().enumerate() {
        let next = kinds.len();
        let kind = *kinds.entry(trials.key(&[loss])).or_insert(next);
        if kind % of.max(1) == hand {
            places.push(at);
        }
    }
    places
        .into_iter()
        .map(move |at| (at, trials.judge(&losses[at])))
}

/// The plan as it would be.
pub fn without(plan: &Plan, loss: &Loss) -> Plan {
    let mut rest = plan.clone();
    match loss {
        Loss::Part(id) => {
            rest.wires
                .retain(|w| w.from.part != *id && w.to.part != *id);
            rest.duties.retain(|d| d.part != *id);
            rest.meant.retain(|m| m.part != *id);
            rest.parts.retain(|p| p.id != *id);
        }
        Loss::Wire(id) => rest.wires.retain(|w| w.id != *id),
        Loss::Switch(id) => {
            let kind = plan.part(id).and_then(|p| plan.kind_of(p));
            if let Some(part) = rest.parts.iter_mut().find(|p| p.id == *id) {
                let setting = |key: &str| part.set.get(key).or_else(|| kind?.set.get(key)).cloned();
                let closed = setting("closed").and_then(|v| v.as_bool()).unwrap_or(false);
                let mut schedule = setting("schedule").unwrap_or(Value::Array(Vec::new()));
                for entry in schedule.as_array_mut().into_iter().flatten() {
                    if let Some(Value::Bool(closed)) = entry.get_mut(1) {
                        *closed = !*closed;
                    }
                }
                part.set.insert("closed".into(), Value::Bool(!closed));
                part.set.insert("schedule".into(), schedule);
            }
        }
        Loss::Empty(id) => {
            if let Some(part) = rest.parts.iter_mut().find(|p| p.id == *id) {
                part.set.insert("start".into(), Value::from(0));
            }
        }
    }
    rest
}
