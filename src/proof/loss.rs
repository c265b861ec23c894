//! Losses: one part, one wire, one switch thrown; and the duties that each breaks and the whole plan keeps.

use super::check::{Check, check};
use crate::book::{Behaviour, FunctionName};
use crate::plan::{Part, PartId, Plan, Reach, WireId};
use serde::{Deserialize, Serialize};
use serde_json::Value;

/// What is lost.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Loss {
    /// A part with its wires.
    Part(PartId),
    /// A wire.
    Wire(WireId),
    /// A switch that somebody throws: it does the opposite of its settings.
    Switch(PartId),
}

/// What a loss breaks.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct LossReport {
    /// What is lost.
    pub loss: Loss,
    /// The duties, by their places in the plan, that it breaks and the whole plan keeps.
    pub breaks: Vec<usize>,
}

/// Every single loss of a plan: its parts, its wires, the switches that a stranger can reach.
pub fn all_losses(plan: &Plan) -> Vec<Loss> {
    let manual = |p: &&Part| {
        let behaviour = plan.kind_of(p).map(|t| &t.behaviour);
        matches!(
            behaviour,
            Some(Behaviour::Contact {
                function: FunctionName::Manual,
                ..
            })
        )
    };
    let marked = plan.parts.iter().any(|p| p.reach.is_some());
    let reachable = |p: &&Part| !marked || matches!(p.reach, Some(Reach::Anyone | Reach::Friends));
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

/// What each of `losses` breaks, one after the other; `whole` is the check of the whole plan.
pub fn losses<'a>(
    plan: &'a Plan,
    whole: &'a Check,
    losses: &'a [Loss],
) -> impl Iterator<Item = LossReport> + 'a {
    losses.iter().map(move |loss| LossReport {
        loss: loss.clone(),
        breaks: breaks(plan, whole, loss),
    })
}

fn breaks(plan: &Plan, whole: &Check, loss: &Loss) -> Vec<usize> {
    let kept = |at: &usize| whole.duties.get(*at).is_some_and(|d| d.kept);
    let all: Vec<usize> = (0..plan.duties.len()).filter(kept).collect();
    if all.is_empty() {
        return all;
    }
    let rest = without(plan, loss);
    let gone = |at: usize| matches!(loss, Loss::Part(id) if *id == plan.duties[at].part);
    // The duties of the rest stand in the same order, less those of the lost load.
    let places: Vec<usize> = (0..plan.duties.len()).filter(|at| !gone(*at)).collect();
    let after = check(&rest);
    let broken = |at: usize| match places.iter().position(|p| *p == at) {
        Some(place) => after.duties.get(place).is_none_or(|d| !d.kept),
        None => true,
    };
    all.into_iter().filter(|at| broken(*at)).collect()
}

/// The plan as it would be.
pub fn without(plan: &Plan, loss: &Loss) -> Plan {
    let mut rest = plan.clone();
    match loss {
        Loss::Part(id) => {
            rest.wires
                .retain(|w| w.from.part != *id && w.to.part != *id);
            rest.duties.retain(|d| d.part != *id);
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
    }
    rest
}
