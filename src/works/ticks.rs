//! Which steps of an order of work somebody has done, by what they are; and what was ticked last, to be taken back. Plain
//! data, kept as a text.

use super::step_key::StepKey;
use crate::clock::Clock;
use crate::quantity::DAY_MS;
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;

/// So many acts can be taken back.
const ACTS: usize = 100;

/// What is done of a plan's order of work. What is no step of the plan at present is kept, for when it is one again.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct StepTicks {
    #[serde(default)]
    done: BTreeSet<StepKey>,
    /// What each act ticked or unticked, the last act at the end.
    #[serde(default)]
    acts: Vec<Vec<StepKey>>,
    /// The time for which checks are told, `HH:MM`; empty for the time that they begin with.
    #[serde(default)]
    at: String,
}

impl StepTicks {
    /// Whether a step is done.
    pub fn is_done(&self, step: &StepKey) -> bool {
        self.done.contains(step)
    }

    /// How many of these steps are done.
    pub fn count(&self, steps: &[StepKey]) -> usize {
        steps.iter().filter(|step| self.is_done(step)).count()
    }

    /// How many steps were ticked that are none of these any more: they have changed since, or are gone.
    pub fn changed(&self, steps: &[StepKey]) -> usize {
        self.done
            .iter()
            .filter(|done| !steps.contains(done))
            .count()
    }

    /// The place of the first of these steps that is not done.
    pub fn next_open(&self, steps: &[StepKey]) -> Option<usize> {
        steps.iter().position(|step| !self.is_done(step))
    }

    /// Ticks a step, or unticks it; nothing where it is so already.
    pub fn tick(&mut self, step: &StepKey, done: bool) {
        if self.is_done(step) != done {
            self.act(vec![step.clone()]);
        }
    }

    /// Unticks all of these steps in one act.
    pub fn untick_all(&mut self, steps: &[StepKey]) {
        let done = steps.iter().filter(|step| self.is_done(step));
        let done: Vec<StepKey> = done.cloned().collect();
        if !done.is_empty() {
            self.act(done);
        }
    }

    fn act(&mut self, steps: Vec<StepKey>) {
        self.turn(&steps);
        self.acts.push(steps);
        if self.acts.len() > ACTS {
            self.acts.remove(0);
        }
    }

    fn turn(&mut self, steps: &[StepKey]) {
        for step in steps {
            if !self.done.remove(step) {
                self.done.insert(step.clone());
            }
        }
    }

    /// Whether there is an act to be taken back.
    pub fn can_undo(&self) -> bool {
        !self.acts.is_empty()
    }

    /// Takes the last act back; the first step of it, if there was one.
    pub fn undo(&mut self) -> Option<StepKey> {
        let steps = self.acts.pop()?;
        self.turn(&steps);
        steps.into_iter().next()
    }

    /// The time for which checks are told: noon, if none was set.
    pub fn at(&self) -> Clock {
        let noon = Clock::at(DAY_MS / 2, DAY_MS);
        Clock::parse(&self.at).unwrap_or(noon)
    }

    /// Sets the time for which checks are told.
    pub fn set_at(&mut self, at: Clock) {
        self.at = at.to_string();
    }

    /// Whether nothing was ever ticked and no time was set.
    pub fn is_empty(&self) -> bool {
        *self == StepTicks::default()
    }

    /// A text to be kept, from which [`StepTicks::of_draft`] makes the same again.
    pub fn draft(&self) -> String {
        // Lists of texts always have a text.
        serde_json::to_string(self).unwrap_or_default()
    }

    /// What a text says that was kept; none where it is another.
    pub fn of_draft(text: &str) -> Option<StepTicks> {
        serde_json::from_str(text).ok()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{Edit, Plan, examples, read_plan};
    use crate::works::WorkOrder;

    fn plan() -> Plan {
        let (_, text) = examples()
            .iter()
            .find(|(name, _)| *name == "Dusk lamp")
            .expect("the dusk lamp");
        read_plan(text).expect("an example reads")
    }

    fn steps(plan: &Plan) -> Vec<StepKey> {
        let order = WorkOrder::of(plan, StepTicks::default().at(), &|_, _| 0);
        StepKey::all(plan, &order)
    }

    #[test]
    fn ticks_are_counted_taken_back_one_by_one_and_kept_with_what_can_be_taken_back() {
        let steps = steps(&plan());
        let mut ticks = StepTicks::default();
        for step in &steps[..3] {
            ticks.tick(step, true);
        }
        // Ticked already: no act.
        ticks.tick(&steps[0], true);
        assert_eq!((ticks.count(&steps), ticks.next_open(&steps)), (3, Some(3)));
        let mut again = StepTicks::of_draft(&ticks.draft()).expect("a draft");
        assert_eq!(again, ticks);
        assert_eq!(again.undo().as_ref(), Some(&steps[2]));
        assert_eq!(again.next_open(&steps), Some(2));
        again.tick(&steps[0], false);
        assert_eq!(again.undo().as_ref(), Some(&steps[0]));
        assert_eq!(again.count(&steps), 2);
        assert!(again.undo().is_some() && again.undo().is_some());
        assert!(!again.can_undo() && again.undo().is_none());
        assert!(again.is_empty());
    }

    #[test]
    fn all_are_unticked_in_one_act() {
        let steps = steps(&plan());
        let mut ticks = StepTicks::default();
        steps.iter().for_each(|step| ticks.tick(step, true));
        assert_eq!(ticks.next_open(&steps), None);
        ticks.untick_all(&steps);
        assert_eq!(ticks.count(&steps), 0);
        ticks.undo();
        assert_eq!(ticks.count(&steps), steps.len());
    }

    #[test]
    fn a_changed_plan_keeps_the_ticks_of_what_is_still_the_same() {
        let plan = plan();
        let before = steps(&plan);
        let mut ticks = StepTicks::default();
        before.iter().for_each(|step| ticks.tick(step, true));
        let mut changed = plan.clone();
        let lamp = plan.parts.iter().find(|part| part.kind == "lamp");
        let lamp = lamp.expect("a lamp").id.clone();
        changed
            .apply(Edit::Count(lamp, 3))
            .expect("a bank of lamps");
        let after = steps(&changed);
        assert_eq!(after.len(), before.len());
        // The lamps are to be placed anew, and their branch to be checked anew.
        assert_eq!(ticks.count(&after), before.len() - 2);
        assert_eq!(ticks.count(&before), before.len());
    }

    #[test]
    fn the_time_is_noon_until_another_is_set_and_a_damaged_text_is_none() {
        let mut ticks = StepTicks::default();
        assert_eq!(ticks.at().to_string(), "12:00");
        ticks.set_at(Clock::parse("21:30").expect("a time"));
        let again = StepTicks::of_draft(&ticks.draft()).expect("a draft");
        assert_eq!(again.at().to_string(), "21:30");
        assert_eq!(StepTicks::of_draft("no ticks"), None);
        let odd = StepTicks::of_draft(r#"{"at":"99:99"}"#).expect("a draft");
        assert_eq!(odd.at().to_string(), "12:00");
    }

    #[test]
    fn what_can_be_taken_back_is_bounded() {
        let steps = steps(&plan());
        let mut ticks = StepTicks::default();
        for n in 0..=ACTS {
            ticks.tick(&steps[0], n % 2 == 0);
        }
        let mut undone = 0;
        while ticks.undo().is_some() {
            undone += 1;
        }
        assert_eq!(undone, ACTS);
    }
}
