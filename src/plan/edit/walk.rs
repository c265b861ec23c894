//! A walk: the steps by which somebody is led through a plan, each with a text and the board as it stands by then.
//!
//! The state of a step is a plan of its own. It is kept as the edits that lead there from the state before; the first
//! step begins at a bare board, which is a plan with title, notes, book, world and site, and without parts, wires and
//! duties. A walk keeps its own, so that what becomes of the plan later changes no state. It says nothing about power
//! and changes nothing of the plan that carries it. Who is led through it goes with a [`Route`], which never touches the
//! viewer's own plan.

use crate::clock::DialMoment;
use crate::plan::{Edit, EditError, IndexedList, PartId, Plan, WireId};
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};
use std::borrow::Cow;

/// A walk through a plan.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Walk {
    /// The bare board before the first step, as [`StateEdits::whole`] tells it.
    pub(in crate::plan) start: StateEdits,
    /// Its steps, at most [`crate::limits::WALK_STEPS`].
    pub steps: Vec<WalkStep>,
    /// Fields that this program does not know, kept.
    #[serde(with = "crate::plan::crossing")]
    pub extra: Map<String, Value>,
}

/// One step of a walk, or of an exercise's hints.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct WalkStep {
    /// What is said.
    pub says: String,
    /// What leads from the state before to this one.
    pub edits: StateEdits,
    /// Where the cursor of the day stands; none: where it stood before.
    pub at: Option<DialMoment>,
    /// What is lit up on the board.
    pub lit: Lit,
    /// What the viewer is asked.
    pub question: Option<WalkQuestion>,
    /// Fields that this program does not know, kept.
    #[serde(with = "crate::plan::crossing")]
    pub extra: Map<String, Value>,
}

/// What a step lights up. Ids that the state does not have light up nothing.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Lit {
    /// The parts.
    pub parts: Vec<PartId>,
    /// The wires.
    pub wires: Vec<WireId>,
}

/// A question with answers to choose from.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct WalkQuestion {
    /// What is asked.
    pub asks: String,
    /// The answers, 2 to [`crate::limits::ANSWERS`].
    pub answers: Vec<String>,
    /// The place of the right one.
    pub right: usize,
    /// What is said once somebody has answered; may be empty.
    pub because: String,
    /// Fields that this program does not know, kept.
    #[serde(with = "crate::plan::crossing")]
    pub extra: Map<String, Value>,
}

impl WalkQuestion {
    /// The question with its answers numbered, for where nobody can choose one: `Which is it? 1) The lamp. 2) The tap.`
    pub fn read_out(&self) -> String {
        let answers = self.answers.iter().enumerate();
        let answers = answers.map(|(at, answer)| format!(" {}) {answer}", at + 1));
        std::iter::once(self.asks.clone()).chain(answers).collect()
    }
}

/// Edits that lead from one state of a walk to the next. They are of the kinds that [`Plan::edits_to`] makes, so that
/// every one has a form in a file.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct StateEdits(Vec<Edit>);

impl Walk {
    /// A walk of these steps, which begins at the plan's bare board.
    pub fn new(plan: &Plan, steps: Vec<WalkStep>) -> Walk {
        Walk {
            start: StateEdits::whole(&plan.bare()),
            steps,
            extra: Map::new(),
        }
    }

    /// The bare board before the first step.
    pub fn start(&self) -> Plan {
        self.start.to_state()
    }

    /// The state to which the whole walk leads.
    pub fn end(&self) -> Plan {
        let mut route = Route::of(self);
        route.go_to(self.steps.len());
        route.plan
    }
}

impl StateEdits {
    /// All of a state: edits that make any bare board this one. Of two equal states they are the same.
    pub fn whole(state: &Plan) -> StateEdits {
        let site = state.site.as_deref().cloned().map(Box::new);
        let mut edits = vec![
            Edit::Title(state.title.clone()),
            Edit::Notes(state.notes.clone()),
            Edit::Book(state.book.clone()),
            Edit::World(Box::new(state.world.clone())),
            Edit::Follow(state.follows.clone()),
            Edit::Site(site),
        ];
        edits.extend(state.bare().edits_to(&state.state()));
        StateEdits::of(edits)
    }

    /// The state that [`StateEdits::whole`] told. What can't be applied, which it never tells, ends it.
    pub(in crate::plan) fn to_state(&self) -> Plan {
        let mut plan = Plan::empty();
        for edit in &self.0 {
            if plan.apply(edit.clone()).is_err() {
                break;
            }
        }
        plan
    }

    /// The edits that make the state `from` the state `to`; walk and exercise are no part of a state.
    pub fn between(from: &Plan, to: &Plan) -> StateEdits {
        StateEdits::of(from.state().edits_to(&to.state()))
    }

    /// These edits, without those that a state of a walk can't have.
    pub(in crate::plan) fn of(mut edits: Vec<Edit>) -> StateEdits {
        edits.retain(|edit| !matches!(edit, Edit::Walk(_) | Edit::Exercise(_) | Edit::Draw(_)));
        StateEdits(edits)
    }

    /// The edits.
    pub fn as_slice(&self) -> &[Edit] {
        &self.0
    }

    /// Whether nothing changes.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}

impl Lit {
    /// Whether nothing is lit up.
    pub fn is_empty(&self) -> bool {
        self.parts.is_empty() && self.wires.is_empty()
    }
}

impl Plan {
    /// The plan as a state of a walk: without walk and exercise, and with nothing thrown by hand.
    pub fn state(&self) -> Cow<'_, Plan> {
        if self.walk.is_none() && self.exercise.is_none() && self.by_hand.is_empty() {
            return Cow::Borrowed(self);
        }
        Cow::Owned(Plan {
            walk: None,
            exercise: None,
            by_hand: Vec::new(),
            ..self.clone()
        })
    }

    /// The board before the first step of a new walk: the plan's title, notes, book, world and site, and nothing on it.
    pub fn bare(&self) -> Plan {
        Plan {
            title: self.title.clone(),
            notes: self.notes.clone(),
            book: self.book.clone(),
            world: self.world.clone(),
            follows: self.follows.clone(),
            parts: IndexedList::new(),
            wires: IndexedList::new(),
            site: self.site.clone(),
            duties: Vec::new(),
            meant: Vec::new(),
            walk: None,
            exercise: None,
            by_hand: Vec::new(),
            next: (1, 1),
            extra: Map::new(),
        }
    }
}

/// Somebody's way through steps: the state where he is, and what takes him back.
#[derive(Clone, Debug)]
pub struct Route {
    steps: Vec<WalkStep>,
    /// How many steps are done.
    done: usize,
    plan: Plan,
    /// What takes each step back that is done.
    back: Vec<Vec<Edit>>,
}

impl Route {
    /// Before the first step of a walk.
    pub fn of(walk: &Walk) -> Route {
        Route::from(walk.start(), walk.steps.clone())
    }

    /// Before the first of these steps, at this state.
    pub fn from(start: Plan, steps: Vec<WalkStep>) -> Route {
        Route {
            steps,
            done: 0,
            plan: start,
            back: Vec::new(),
        }
    }

    /// The state.
    pub fn plan(&self) -> &Plan {
        &self.plan
    }

    /// How many steps are done.
    pub fn done(&self) -> usize {
        self.done
    }

    /// The steps.
    pub fn steps(&self) -> &[WalkStep] {
        &self.steps
    }

    /// The step that was done last.
    pub fn step(&self) -> Option<&WalkStep> {
        self.steps.get(self.done.checked_sub(1)?)
    }

    /// Where the cursor stands: as the last step that says so has it.
    pub fn at(&self) -> Option<DialMoment> {
        let done = self.steps.get(..self.done)?;
        done.iter().rev().find_map(|step| step.at)
    }

    /// Does the next step; `false` where there is none.
    ///
    /// # Errors
    /// What the first edit that can't be applied says; the state is then as it was.
    pub fn forward(&mut self) -> Result<bool, EditError> {
        let Some(step) = self.steps.get(self.done) else {
            return Ok(false);
        };
        let inverses = self.plan.apply_all(step.edits.as_slice().to_vec())?;
        self.back.push(inverses);
        self.done += 1;
        Ok(true)
    }

    /// Takes the last step back; `false` where none is done.
    pub fn backward(&mut self) -> bool {
        let Some(inverses) = self.back.pop() else {
            return false;
        };
        self.done -= 1;
        // What was just applied can be taken back.
        self.plan.apply_all(inverses).is_ok()
    }

    /// Goes to where `done` steps are done, or as near as steps can be applied.
    pub fn go_to(&mut self, done: usize) {
        while self.done > done && self.backward() {}
        while self.done < done && self.forward().is_ok_and(|went| went) {}
    }
}

#[cfg(test)]
mod tests;
