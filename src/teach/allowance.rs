//! What a learner may still build: each type that his exercise allows, with how many he has built of it.

use super::rules::Rules;
use crate::plan::Plan;

/// One type that may be built.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Allowance {
    /// The type's name in the exercise's book.
    pub kind: String,
    /// What people call it.
    pub label: String,
    /// How many may be built; none: any number.
    pub most: Option<u64>,
    /// How many are built, banks multiplied out.
    pub built: u64,
}

/// The types that the exercise of a plan allows, in the exercise's order, with what is built of them in the plan; none where
/// it has no exercise or allows the whole book.
pub fn allowances(plan: &Plan) -> Option<Vec<Allowance>> {
    let exercise = plan.exercise.as_deref()?;
    let given = plan.exercise_start()?;
    let built = Rules {
        exercise,
        given: &given,
    }
    .built(plan);
    let count = |kind: &str| {
        let found = built.kinds.iter().find(|(name, ..)| name == kind);
        found.map_or(0, |(_, count, _)| *count)
    };
    let may = exercise.may.as_ref()?.iter();
    let one = |(kind, most): &(String, Option<u64>)| {
        let label = given.book.book.find(kind).map(|kind| kind.label.clone());
        Allowance {
            label: label.unwrap_or_else(|| kind.clone()),
            most: *most,
            built: count(kind),
            kind: kind.clone(),
        }
    };
    Some(may.map(one).collect())
}

/// The sum of materials of what is built in the plan beside what its exercise gives; none where it has no exercise.
pub fn built_materials(plan: &Plan) -> Option<u64> {
    let exercise = plan.exercise.as_deref()?;
    let given = plan.exercise_start()?;
    let rules = Rules {
        exercise,
        given: &given,
    };
    Some(rules.built(plan).materials(&given))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{Exercise, Part, examples, read_plan};
    use std::sync::Arc;

    #[test]
    fn what_was_given_is_not_counted_and_banks_are_multiplied_out() {
        let mut plan = read_plan(examples()[1].1).unwrap();
        assert_eq!(allowances(&plan), None);
        plan.exercise = Some(Arc::new(Exercise {
            may: Some(vec![("lamp".into(), Some(2)), ("relay".into(), None)]),
            ..Exercise::default()
        }));
        let mut plan = plan.begun();
        let id = plan.new_part_id();
        let mut bank = Part::new(id, "lamp", (0.0, 0.0));
        bank.count = 3;
        plan.parts.push(bank);
        let said: Vec<_> = allowances(&plan).unwrap();
        let said = said.iter().map(|a| (a.label.as_str(), a.most, a.built));
        assert_eq!(
            said.collect::<Vec<_>>(),
            [("Lamp", Some(2), 3), ("Relay", None, 0)]
        );
    }
}
