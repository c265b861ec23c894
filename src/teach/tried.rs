//! The plan as it is tried: the exercise's own world, book, duties and given parts, with what the learner built and how he
//! wired it. Nothing else of his plan is taken over.
//!
//! What can't stand in the exercise's book is left out: a part of an unknown type, a wire between ports that are not there.
//! A given part that is gone and must not be stands there without a wire.

use super::grade::GradeError;
use super::rules::{Rules, START};
use crate::book::PartType;
use crate::plan::{End, Exercise, Lost, Part, PartId, Plan, Trial, Wire, World, salvage};
use crate::proof::{Loss, without};
use crate::read::Place;
use serde_json::Map;
use std::collections::BTreeSet;

/// The plan as tried in one of the trials: 0 is for the plain days, 1 for the first trial of the exercise. What is lost is
/// taken from it where a trial says what; where it tries each thing in turn, nothing is.
///
/// # Errors
/// There is no exercise, or no such world.
pub fn tried(exercise: &Plan, solution: &Plan, trial: usize) -> Result<Plan, GradeError> {
    let (own, given) = set_out(exercise)?;
    let rules = Rules {
        exercise: own,
        given: &given,
    };
    let base = plain(&rules, solution);
    let trials = own.trials.iter();
    let Some((at, trial)) = trials.enumerate().nth(trial.wrapping_sub(1)) else {
        return Ok(base);
    };
    let plan = in_trial(&base, &given, trial, at)?;
    Ok(lost(plan, &given, &trial.lose))
}

/// As [`tried`], with one thing more lost: for a trial that loses each in turn, and for the plain days.
///
/// # Errors
/// As there.
pub fn tried_without(
    exercise: &Plan,
    solution: &Plan,
    trial: usize,
    loss: &Loss,
) -> Result<Plan, GradeError> {
    Ok(without(&tried(exercise, solution, trial)?, loss))
}

/// The exercise of a plan, and what it starts from.
pub(super) fn set_out(plan: &Plan) -> Result<(&Exercise, Plan), GradeError> {
    let exercise = plan.exercise.as_deref().ok_or(GradeError::NoExercise)?;
    let given = plan.exercise_start().ok_or(GradeError::NoExercise)?;
    Ok((exercise, given))
}

/// The plan as tried on plain days.
pub(super) fn plain(rules: &Rules, solution: &Plan) -> Plan {
    let given = rules.given;
    let parts = solution.parts.iter();
    let mut parts: Vec<Part> = parts
        .filter_map(|part| part_of(rules, solution, part))
        .collect();
    let gone = |part: &&Part| solution.part(&part.id).is_none() && rules.must_stay(&part.id);
    parts.extend(given.parts.iter().filter(gone).cloned());
    let there: BTreeSet<&PartId> = parts.iter().map(|part| &part.id).collect();
    let meant = given.meant.iter();
    let meant = meant.filter(|m| there.contains(&m.part)).cloned().collect();
    let mut plan = Plan {
        meant,
        next: (
            given.next.0.max(solution.next.0),
            given.next.1.max(solution.next.1),
        ),
        wires: Vec::new().into(),
        walk: None,
        exercise: None,
        by_hand: Vec::new(),
        parts: parts.into(),
        ..given.clone()
    };
    lay_wires(&mut plan, solution);
    match solution.book == given.book {
        true => plan,
        // What was read by another book is read anew by this one, so that no setting stands that it would refuse.
        false => salvage(&plan.print()).map_or(plan, |read| read.plan),
    }
}

/// A part of the learner's plan as it is tried; none of a type that the exercise's book does not have.
fn part_of(rules: &Rules, solution: &Plan, part: &Part) -> Option<Part> {
    let is_own_site = solution.site == rules.given.site;
    let given = rules.given.part(&part.id);
    if let Some(given) = given.filter(|_| rules.must_stay(&part.id)) {
        let set = match rules.is_free(&part.id) && given.kind == part.kind {
            true => part.set.clone(),
            false => given.set.clone(),
        };
        let kept = Part {
            name: part.name.clone(),
            at: part.at,
            hangs: part.hangs.filter(|_| is_own_site),
            set,
            ..given.clone()
        };
        return Some(with_start(rules, kept));
    }
    rules.given.book.book.find(&part.kind)?;
    let own = Part {
        hangs: part.hangs.filter(|_| is_own_site),
        extra: Map::new(),
        ..part.clone()
    };
    Some(with_start(rules, own))
}

/// A part with the charge at the start that counts: that of the given part, else the book's.
fn with_start(rules: &Rules, mut part: Part) -> Part {
    if rules.is_battery(&part) {
        let given = rules.given.part(&part.id);
        let given = given.filter(|given| given.kind == part.kind);
        part.set.remove(START);
        if let Some(start) = given.and_then(|given| given.set.get(START)) {
            part.set.insert(START.into(), start.clone());
        }
    }
    part
}

/// Lays the learner's wires as far as there are ports for them.
fn lay_wires(plan: &mut Plan, solution: &Plan) {
    let is_own_site = solution.site == plan.site;
    let mut taken: BTreeSet<End> = BTreeSet::new();
    let mut wires: Vec<Wire> = Vec::new();
    for wire in &solution.wires {
        let fits = plan.joins(&wire.from, &wire.to);
        let fits = fits.is_some_and(|(from, _)| from == wire.from);
        if fits && !taken.contains(&wire.from) && !taken.contains(&wire.to) {
            taken.extend([wire.from.clone(), wire.to.clone()]);
            wires.push(Wire {
                via: wire.via.iter().copied().filter(|_| is_own_site).collect(),
                extra: Map::new(),
                ..wire.clone()
            });
        }
    }
    plan.wires = wires.into();
}

/// The world of a trial, made of that of the exercise.
pub(super) fn world_of(given: &Plan, trial: &Trial, at: usize) -> Result<World, GradeError> {
    let place = Place::root("world");
    trial.in_world(&given.world, &place).map_err(|faults| {
        let first = faults.first().map(ToString::to_string);
        GradeError::Trial(at, first.unwrap_or_default())
    })
}

/// The plan in a trial's world, with what the trial throws; nothing is lost yet.
pub(super) fn in_trial(
    base: &Plan,
    given: &Plan,
    trial: &Trial,
    at: usize,
) -> Result<Plan, GradeError> {
    let mut plan = Plan {
        world: world_of(given, trial, at)?,
        ..base.clone()
    };
    // Named twice, a switch is thrown once.
    let thrown: BTreeSet<&PartId> = trial.throw.iter().collect();
    for switch in thrown {
        if is_switch(&plan, switch) {
            plan = without(&plan, &Loss::Switch(switch.clone()));
        }
    }
    Ok(plan)
}

fn is_switch(plan: &Plan, part: &PartId) -> bool {
    let kind = plan.part(part).and_then(|part| plan.kind_of(part));
    kind.is_some_and(PartType::is_switch)
}

/// The plan without what a trial names as lost. A given wire is lost under whatever id the learner laid it anew.
pub(super) fn lost(plan: Plan, given: &Plan, lose: &Lost) -> Plan {
    let Lost::These(parts, wires) = lose else {
        return plan;
    };
    let mut plan = plan;
    for id in wires {
        let laid = given.wire(id);
        let is_it = |wire: &Wire| match laid {
            Some(laid) => laid.from == wire.from && laid.to == wire.to,
            None => wire.id == *id,
        };
        plan.wires.retain(|wire| !is_it(wire));
    }
    for id in parts {
        plan = without(&plan, &Loss::Part(id.clone()));
    }
    plan
}
