//! What a step of an order of work is, whatever its number: so that a changed plan keeps the ticks of those of its steps that
//! are still the same.
//!
//! A part is placed and set as it is now, on the face where it hangs; a wire joins the same two ports, whatever its way. A
//! check is of a branch: it is another one as soon as any other step of the branch is, and it stays the same at another time.

use super::order::{Work, WorkOrder, WorkStep};
use crate::plan::Plan;
use serde::{Deserialize, Serialize};
use siphasher::sip128::{Hasher128, SipHasher13};
use std::hash::Hasher;

/// What a step is. No two steps of an order are the same.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct StepKey(String);

impl StepKey {
    /// What the steps of a plan's order of work are, in their order.
    pub fn all(plan: &Plan, order: &WorkOrder) -> Vec<StepKey> {
        let mut keys: Vec<StepKey> = Vec::with_capacity(order.steps.len());
        let branches = order.steps.chunk_by(|one, next| one.branch == next.branch);
        for steps in branches {
            let begin = keys.len();
            for step in steps {
                let key = own(plan, step).unwrap_or_else(|| of_check(&keys[begin..]));
                keys.push(key);
            }
        }
        keys
    }
}

/// What a step is that does something; none for a check.
fn own(plan: &Plan, step: &WorkStep) -> Option<StepKey> {
    Some(StepKey(match &step.work {
        Work::Place { part, count } => {
            let placed = plan.part(part);
            let kind = placed.map_or("", |part| &part.kind);
            let face = placed.and_then(|part| part.hangs);
            // A face is plain numbers, which always have a text.
            let face = face.and_then(|face| serde_json::to_string(&face).ok());
            format!("place {part} {count} {kind} {}", face.unwrap_or_default())
        }
        Work::Set { part, names } => {
            let set = plan.part(part).map(|part| &part.set);
            let one = |name: &String| {
                let value = set.and_then(|set| set.get(name));
                format!(
                    " {name}={}",
                    value.map(ToString::to_string).unwrap_or_default()
                )
            };
            format!("set {part}{}", names.iter().map(one).collect::<String>())
        }
        Work::Wire { wire, from, to } => format!("wire {wire} {from} {to}"),
        Work::Check(_) => return None,
    }))
}

/// The check of a branch with these steps.
fn of_check(steps: &[StepKey]) -> StepKey {
    let mut hash = SipHasher13::new();
    for StepKey(step) in steps {
        hash.write(&(step.len() as u64).to_le_bytes());
        hash.write(step.as_bytes());
    }
    StepKey(format!("check {:032x}", hash.finish128().as_u128()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{Clock, Edit, PartId, examples, read_plan};
    use std::collections::BTreeSet;

    fn keys(plan: &Plan, at: &str) -> Vec<StepKey> {
        let at = Clock::parse(at).expect("a time");
        StepKey::all(plan, &WorkOrder::of(plan, at, &|_, _| 0))
    }

    fn example(called: &str) -> Plan {
        let (_, text) = examples()
            .iter()
            .find(|(name, _)| *name == called)
            .expect("the example");
        read_plan(text).expect("an example reads")
    }

    #[test]
    fn no_two_steps_of_an_example_are_the_same() {
        for (name, text) in examples() {
            let plan = read_plan(text).expect("an example reads");
            let all = keys(&plan, "12:00");
            let different: BTreeSet<&StepKey> = all.iter().collect();
            assert_eq!(different.len(), all.len(), "{name}");
        }
    }

    #[test]
    fn another_time_changes_no_step_and_another_name_none_either() {
        let mut plan = example("Dusk lamp");
        let before = keys(&plan, "12:00");
        assert_eq!(keys(&plan, "21:00"), before);
        let first = plan.parts[0].id.clone();
        plan.apply(Edit::Rename(first, "Another name".into()))
            .expect("the edit is sound");
        assert_eq!(keys(&plan, "12:00"), before);
    }

    #[test]
    fn a_changed_setting_changes_its_own_step_and_the_check_of_its_branch_alone() {
        let plan = example("Dusk lamp");
        let battery: PartId = plan
            .parts
            .iter()
            .find(|part| part.kind == "battery-rack")
            .map(|part| part.id.clone())
            .expect("a battery");
        let mut changed = plan.clone();
        changed
            .apply(Edit::Set(battery.clone(), "start".into(), Some(500.into())))
            .expect("the edit is sound");
        let (before, after) = (keys(&plan, "12:00"), keys(&changed, "12:00"));
        let gone: Vec<&StepKey> = before.iter().filter(|key| !after.contains(key)).collect();
        let [StepKey(set), StepKey(check)] = gone.as_slice() else {
            panic!("{gone:?}");
        };
        assert!(set.starts_with(&format!("set {battery} ")), "{set}");
        assert!(check.starts_with("check "), "{check}");
    }
}
