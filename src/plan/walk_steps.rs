//! Making a walk: a step recorded of what has changed on the board since the last one, steps set otherwise, taken out or
//! joined.
//!
//! Each gives the walk as it would be, for an [`Edit::Walk`]; the plan stays as it is. Whatever is done to one step, the
//! states after it stay, since it is the states that edits are made of. It words nothing.

use super::{Edit, Lit, Plan, Route, StateEdits, Walk, WalkStep};
use crate::clock::DialMoment;

impl Walk {
    /// The edit that makes this a plan's walk; one without steps is none.
    pub fn into_edit(self) -> Edit {
        let is_none = self.steps.is_empty() && self.extra.is_empty();
        Edit::Walk((!is_none).then(|| Box::new(self)))
    }
}

impl Plan {
    /// The state to which the whole walk leads; the bare board where there is none.
    pub fn walked(&self) -> Plan {
        self.walk.as_deref().map_or_else(|| self.bare(), Walk::end)
    }

    /// What has changed on the board since the last step's state; since the bare board where there is no step.
    pub fn since_last_step(&self) -> StateEdits {
        StateEdits::between(&self.walked(), self)
    }

    /// The state after so many steps, and the bare board after none.
    pub fn state_after(&self, steps: usize) -> Plan {
        let Some(walk) = &self.walk else {
            return self.bare();
        };
        let mut route = Route::of(walk);
        route.go_to(steps);
        route.plan().clone()
    }

    /// The walk with one more step, of what has changed on the board since the last.
    pub fn walk_with_step(&self, says: &str, at: Option<DialMoment>, lit: Lit) -> Walk {
        let walk = self.walk.as_deref().cloned();
        let mut walk = walk.unwrap_or_else(|| Walk::new(self, Vec::new()));
        walk.steps.push(WalkStep {
            says: says.into(),
            edits: self.since_last_step(),
            at,
            lit,
            ..WalkStep::default()
        });
        walk
    }

    /// The walk with the step of this place set otherwise.
    pub fn walk_with(&self, index: usize, change: impl FnOnce(&mut WalkStep)) -> Option<Walk> {
        let mut walk = self.walk.as_deref().cloned()?;
        change(walk.steps.get_mut(index)?);
        Some(walk)
    }

    /// The walk without the step of this place. What it changed joins the step after it.
    pub fn walk_without(&self, index: usize) -> Option<Walk> {
        let mut walk = self.walk.as_deref().cloned()?;
        let gone = (index < walk.steps.len()).then(|| walk.steps.remove(index))?;
        if let Some(next) = walk.steps.get_mut(index) {
            next.edits =
                StateEdits::between(&self.state_after(index), &self.state_after(index + 2));
            next.at = next.at.or(gone.at);
        }
        Some(walk)
    }

    /// The walk with the step of this place joined to the one before it: both texts, and the state, the lights and the
    /// question of the later one, where it has them.
    pub fn walk_joined(&self, index: usize) -> Option<Walk> {
        let mut walk = self.walk.as_deref().cloned()?;
        let before = index.checked_sub(1).filter(|_| index < walk.steps.len())?;
        let later = walk.steps.remove(index);
        let step = walk.steps.get_mut(before)?;
        step.edits = StateEdits::between(&self.state_after(before), &self.state_after(index + 1));
        let texts = [step.says.trim(), later.says.trim()];
        let texts: Vec<&str> = texts.into_iter().filter(|text| !text.is_empty()).collect();
        step.says = texts.join(" ");
        step.at = later.at.or(step.at);
        if !later.lit.is_empty() {
            step.lit = later.lit;
        }
        step.question = later.question.or(step.question.take());
        for (key, value) in later.extra {
            step.extra.entry(key).or_insert(value);
        }
        Some(walk)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{PartId, read_plan};
    use std::sync::Arc;

    fn lamp() -> Plan {
        read_plan(include_str!("../../assets/examples/dusk-lamp.json")).expect("an example reads")
    }

    /// The example with a walk that builds it part by part, by edits of its own order.
    fn walked() -> Plan {
        let whole = lamp();
        let mut plan = whole.bare();
        for (at, edit) in whole.bare().edits_to(&whole).into_iter().enumerate() {
            plan.apply(edit).expect("an edit of the example");
            let walk = plan.walk_with_step(&format!("Step {at}."), None, Lit::default());
            plan.walk = Some(Arc::new(walk));
        }
        plan
    }

    fn states(plan: &Plan) -> Vec<Plan> {
        let steps = plan.walk.as_ref().map_or(0, |walk| walk.steps.len());
        (0..=steps).map(|done| plan.state_after(done)).collect()
    }

    fn with(plan: &Plan, walk: Option<Walk>) -> Plan {
        Plan {
            walk: walk.map(Arc::new),
            ..plan.clone()
        }
    }

    /// Fails where two lists of states differ; where a walk was is no part of a state.
    fn same(a: &[Plan], b: &[Plan]) {
        assert_eq!(a.len(), b.len());
        for (a, b) in a.iter().zip(b) {
            assert!(StateEdits::between(a, b).is_empty(), "{a:?} is not {b:?}");
        }
    }

    #[test]
    fn recorded_steps_lead_to_the_plan_and_nothing_is_left_to_record() {
        let plan = walked();
        assert!(plan.since_last_step().is_empty());
        let walk = plan.walk.as_deref().expect("a walk");
        assert!(walk.steps.len() > 10);
        assert!(walk.steps.iter().all(|step| !step.edits.is_empty()));
        assert!(StateEdits::between(&plan.walked(), &lamp()).is_empty());
    }

    #[test]
    fn without_any_step_the_later_states_stay() {
        let plan = walked();
        let before = states(&plan);
        for index in 0..before.len() - 1 {
            let less = with(&plan, plan.walk_without(index));
            let mut expected = before.clone();
            expected.remove(index + 1);
            same(&states(&less), &expected);
        }
        assert_eq!(plan.walk_without(before.len() - 1), None);
    }

    #[test]
    fn two_joined_steps_are_the_later_state_with_both_texts() {
        let plan = walked();
        let before = states(&plan);
        for index in 1..before.len() - 1 {
            let less = with(&plan, plan.walk_joined(index));
            let mut expected = before.clone();
            expected.remove(index);
            same(&states(&less), &expected);
            let says = &less.walk.as_deref().expect("a walk").steps[index - 1].says;
            assert_eq!(*says, format!("Step {}. Step {index}.", index - 1));
        }
        assert_eq!(plan.walk_joined(0), None);
    }

    #[test]
    fn another_world_of_the_plan_is_a_change_to_be_recorded() {
        let plan = walked();
        let before = states(&plan);
        let mut later = plan.clone();
        later.world.weather = vec![0.5];
        let walk = later.walk_with_step("Winter comes.", None, Lit::default());
        later.walk = Some(Arc::new(walk));
        same(&states(&later)[..before.len()], &before);
        assert_eq!(later.walked().world, later.world);
    }

    #[test]
    fn a_step_is_set_otherwise_by_its_place() {
        let plan = walked();
        let lit = Lit {
            parts: vec![PartId::from("p1")],
            wires: Vec::new(),
        };
        let walk = plan.walk_with(2, |step| step.lit = lit.clone());
        assert_eq!(walk.expect("a step").steps[2].lit, lit);
        assert_eq!(plan.walk_with(999, |step| step.lit = lit), None);
    }
}
