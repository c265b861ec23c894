//! An exercise: what a learner starts from, what he may use, what is tried on his plan, and the hints that lead him.
//!
//! The plan that carries it is what he starts from, and its duties are what has to be kept. A learner's own plan carries
//! the exercise too, with the start beside it, so that his plan can be told from what was given. Grading is the room
//! `teach`'s.

use super::walk::{Route, StateEdits, WalkStep};
use crate::limits::{MATERIALS, TRIALS, WALK_EDITS, WALK_STEPS};
use crate::plan::{PartId, Plan, WireId, World};
use crate::read::{Faults, Place};
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};
use std::sync::Arc;

/// An exercise.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Exercise {
    /// What is to be done.
    pub asks: String,
    /// The types that may be built beside what is given, with how many at most, in the exercise's order; none: any of
    /// the book.
    pub may: Option<Vec<(String, Option<u64>)>>,
    /// Given parts that may be set otherwise or taken away.
    pub free: Vec<PartId>,
    /// What is tried beside the plain days, in this order.
    pub trials: Vec<Trial>,
    /// Steps that lead from what was given to a solution.
    pub hints: Vec<WalkStep>,
    /// What was given when the hints were recorded, as [`StateEdits::whole`] tells it, so that what becomes of the plan later
    /// changes no hint. None: what is given now, or there are no hints.
    pub hints_start: Option<StateEdits>,
    /// The sum of materials, without given parts, up to which a solution is a cheap one.
    pub materials: Option<u64>,
    /// In a learner's plan: what was given, as [`StateEdits::whole`] tells it. None: the plan itself is the start.
    pub start: Option<StateEdits>,
    /// In a learner's plan: who solved it; may be empty.
    pub who: String,
    /// Fields that this program does not know, kept.
    #[serde(with = "crate::plan::crossing")]
    pub extra: Map<String, Value>,
}

/// One thing that is tried on a learner's plan.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Trial {
    /// What is tried, in a few words: "three dull days in a row".
    pub says: String,
    /// Fields of a world's file that stand in place of those of the plan's world, each whole.
    #[serde(with = "crate::plan::crossing")]
    pub world: Map<String, Value>,
    /// Given switches that do the opposite of their settings.
    pub throw: Vec<PartId>,
    /// What is lost.
    pub lose: Lost,
    /// Fields that this program does not know, kept.
    #[serde(with = "crate::plan::crossing")]
    pub extra: Map<String, Value>,
}

/// What is lost in a trial.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Lost {
    /// Nothing.
    #[default]
    Nothing,
    /// These given parts and wires, all of them.
    These(Vec<PartId>, Vec<WireId>),
    /// Each single part and wire in turn.
    AnyOne,
}

impl Exercise {
    /// The exercise as it was set: without what belongs to a learner's plan.
    pub fn as_set(&self) -> Exercise {
        Exercise {
            start: None,
            who: String::new(),
            ..self.clone()
        }
    }

    /// Takes what leads from the end of the hints to a state as one more hint; the first begins at `given`.
    pub fn add_hint(&mut self, given: &Plan, hint: WalkStep) {
        if self.hints.is_empty() {
            self.hints_start = Some(StateEdits::whole(given));
        }
        self.hints.push(hint);
    }

    /// Takes the last hint away.
    pub fn drop_hint(&mut self) {
        self.hints.pop();
        if self.hints.is_empty() {
            self.hints_start = None;
        }
    }

    /// What of it a file does not take, in a sentence.
    pub fn beyond_limits(&self) -> Option<String> {
        let edits: usize = self
            .hints
            .iter()
            .map(|hint| hint.edits.as_slice().len())
            .sum();
        if self.trials.len() > TRIALS {
            return Some(format!("An exercise has at most {TRIALS} trials."));
        }
        if self.hints.len() > WALK_STEPS || edits > WALK_EDITS {
            return Some(format!(
                "An exercise has at most {WALK_STEPS} hints, and {WALK_EDITS} edits in all of them."
            ));
        }
        let materials = self.materials.filter(|most| *most > MATERIALS);
        materials.map(|_| format!("The materials of an exercise are at most {MATERIALS}."))
    }
}

impl Trial {
    /// The world in which it is tried, made of the exercise's own.
    ///
    /// # Errors
    /// The faults of the fields that stand in the trial, told at `place`.
    pub fn in_world(&self, world: &World, place: &Place) -> Result<World, Faults> {
        let mut fields = world.write();
        for (key, value) in &self.world {
            fields.insert(key.clone(), value.clone());
        }
        let mut faults = Faults::new();
        let read = World::read(&Value::Object(fields), place, &mut faults);
        match faults.is_empty() {
            true => Ok(read),
            false => Err(faults),
        }
    }
}

impl Plan {
    /// What the plan's exercise starts from, without walk and exercise; none where it has no exercise.
    pub fn exercise_start(&self) -> Option<Plan> {
        let exercise = self.exercise.as_ref()?;
        Some(match &exercise.start {
            None => self.state().into_owned(),
            Some(start) => start.to_state(),
        })
    }

    /// The plan as its exercise was set, whoever has changed what since: what it starts from, with the exercise; none where
    /// it has no exercise.
    pub fn as_set(&self) -> Option<Plan> {
        Some(Plan {
            exercise: Some(Arc::new(self.exercise.as_ref()?.as_set())),
            walk: self.walk.clone(),
            ..self.exercise_start()?
        })
    }

    /// The plan as a learner begins with it: what was given is kept beside it from now on. A plan without an exercise, or
    /// one that somebody works at already, is left as it is.
    pub fn begun(mut self) -> Plan {
        if self.is_solved_by_learner() {
            return self;
        }
        let start = StateEdits::whole(&self);
        if let Some(exercise) = &mut self.exercise {
            Arc::make_mut(exercise).start = Some(start);
        }
        self
    }

    /// Whether a learner works at the plan's exercise; else it has none, or the plan is where it is set.
    pub fn is_solved_by_learner(&self) -> bool {
        (self.exercise.as_ref()).is_some_and(|exercise| exercise.start.is_some())
    }

    /// Before the first hint of the plan's exercise; none where it has no exercise.
    pub fn hints(&self) -> Option<Route> {
        let exercise = self.exercise.as_ref()?;
        let start = match &exercise.hints_start {
            Some(start) => start.to_state(),
            None => self.exercise_start()?,
        };
        Some(Route::from(start, exercise.hints.clone()))
    }
}
