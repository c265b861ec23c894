//! Grading in steps, so that whoever asks may stop it: each trial is a step, then each share of single losses. Dropping it
//! stops it. It reads no clock.
//!
//! Trials after a failed one are judged too. Whether every single loss is stood on the plain days is asked only of a plan
//! that is kept, for no other can have that star.

use super::grade::{Grade, GradeError, LossesTried, Since, TrialOutcome};
use super::rules::Rules;
use super::trial_plan::TrialPlan;
use super::tried::{in_trial, plain, set_out, world_of};
use crate::net::Weight;
use crate::plan::{Exercise, Lost, Plan};
use crate::proof::check;
use std::collections::VecDeque;

/// So many losses are judged in one step, about.
const SHARE: usize = 24;

/// There are at most so many shares, for each looks at all losses once more.
const SHARES: usize = 16;

/// Of so many losses the cause is found.
const CAUSES: usize = 8;

/// Grades at one go. Nothing of the solution is trusted: world, book, duties and given parts are the exercise's own.
///
/// # Errors
/// There is no exercise, or a trial of it can't be.
pub fn grade(exercise: &Plan, solution: &Plan) -> Result<Grade, GradeError> {
    let mut search = GradeSearch::new(exercise, solution)?;
    while !search.go(u64::MAX) {}
    Ok(search.finish())
}

/// A grade under way.
#[derive(Clone, Debug)]
pub struct GradeSearch {
    exercise: Exercise,
    given: Plan,
    /// The plain days, which every trial is made of.
    plain: TrialPlan,
    /// The trial whose single losses are being tried, with its place; of large plans only one is held at a time.
    trial: Option<(usize, TrialPlan)>,
    /// The first trial that tries single losses of the plain days.
    like_plain: Option<usize>,
    grade: Grade,
    steps: VecDeque<Step>,
    done: usize,
}

/// What is still to be done.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Step {
    /// Judges a trial, by its place among all, the plain days first.
    Trial(usize),
    /// Judges a share of single losses: which, and of how many.
    Share(LossesOf, usize, usize),
    /// Finds why losses break duties.
    Causes(LossesOf),
    /// Sees to the single losses of the plain days, where the plan is kept.
    Sturdy,
}

/// What single losses are tried for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum LossesOf {
    /// A trial that loses each thing in turn.
    Trial(usize),
    /// The star for standing any.
    Star,
}

impl GradeSearch {
    /// Compares the plan with what was given, and sees what there is to do.
    ///
    /// # Errors
    /// There is no exercise, or a trial of it can't be.
    pub fn new(exercise: &Plan, solution: &Plan) -> Result<GradeSearch, GradeError> {
        let (own, given) = set_out(exercise)?;
        let rules = Rules {
            exercise: own,
            given: &given,
        };
        // Every trial's world is looked at now, so that none is found wrong half-way.
        for (at, trial) in own.trials.iter().enumerate() {
            world_of(&given, trial, at)?;
        }
        let plain = TrialPlan::new(plain(&rules, solution), &given, &Lost::Nothing);
        let built = rules.built(solution);
        let materials = built.materials(&given);
        let trials = 1 + own.trials.len();
        let steps = (0..trials).map(Step::Trial);
        Ok(GradeSearch {
            grade: Grade {
                breaches: rules.breaches(solution, &built),
                overruled: rules.overruled(solution),
                trials: vec![TrialOutcome::default(); trials],
                materials,
                parts: built.parts(),
                cheap: own.materials.map(|most| materials <= most),
                ..Grade::default()
            },
            steps: steps.chain([Step::Sturdy]).collect(),
            exercise: own.clone(),
            plain,
            trial: None,
            like_plain: None,
            given,
            done: 0,
        })
    }

    /// Goes on for at most `most` steps, each of about the length of a check or of a share of single losses. Answers whether
    /// all is done.
    pub fn go(&mut self, most: u64) -> bool {
        for _ in 0..most {
            let Some(step) = self.steps.pop_front() else {
                break;
            };
            self.step(step);
            self.done += 1;
        }
        self.steps.is_empty()
    }

    /// How many steps are done, and of how many, about.
    pub fn progress(&self) -> (usize, usize) {
        (self.done, self.done + self.steps.len())
    }

    /// The grade. What was not gone through yet counts as not kept.
    pub fn finish(mut self) -> Grade {
        for step in &self.steps {
            if let Step::Share(LossesOf::Trial(at), ..) = step {
                self.grade.trials[*at].kept = false;
            }
        }
        self.grade.kept = self.is_kept();
        self.grade.since = since(&self.grade);
        self.grade
    }

    fn is_kept(&self) -> bool {
        let kept = self.grade.trials.iter().all(|trial| trial.kept);
        self.grade.breaches.is_empty() && kept
    }

    fn step(&mut self, step: Step) {
        match step {
            Step::Trial(at) => self.judge(at),
            Step::Share(of, hand, hands) => self.share(of, (hand, hands)),
            Step::Causes(of) => self.explain_losses(of),
            Step::Sturdy => self.sturdy(),
        }
    }

    /// Checks the plan of a trial, and puts the losses that it tries in the queue.
    fn judge(&mut self, at: usize) {
        let own = at
            .checked_sub(1)
            .and_then(|at| self.exercise.trials.get(at));
        let mut made = own.and_then(|own| {
            let plan = in_trial(&self.plain.plan, &self.given, own, at - 1).ok()?;
            if own.lose == Lost::AnyOne && self.like_plain.is_none() && plan == *self.plain.plan {
                self.like_plain = Some(at);
            }
            Some(TrialPlan::new(plan, &self.given, &own.lose))
        });
        let trial = made.as_mut().unwrap_or(&mut self.plain);
        let check = check(&trial.plan);
        let errors = check.problems.iter();
        let errors = errors.filter(|problem| problem.weight == Weight::Error);
        self.grade.trials[at] = TrialOutcome {
            kept: check.is_fine(),
            for_ever: check.for_ever,
            days: check.days,
            broken: trial.broken(&check),
            problems: errors.cloned().collect(),
            losses: None,
        };
        trial.check = Some(check);
        if own.is_some_and(|own| own.lose == Lost::AnyOne) {
            self.trial = made.map(|trial| (at, trial));
            self.try_losses(LossesOf::Trial(at));
        }
    }

    fn plan_of(&self, of: LossesOf) -> &TrialPlan {
        match (of, &self.trial) {
            (LossesOf::Trial(at), Some((made, trial))) if at == *made => trial,
            _ => &self.plain,
        }
    }

    fn losses_of(&mut self, of: LossesOf) -> &mut LossesTried {
        let losses = match of {
            LossesOf::Trial(at) => &mut self.grade.trials[at].losses,
            LossesOf::Star => &mut self.grade.losses,
        };
        losses.get_or_insert_default()
    }

    /// Puts single losses in front of the queue, in shares.
    fn try_losses(&mut self, of: LossesOf) {
        let tried = self.plan_of(of).losses().len();
        self.losses_of(of).tried = tried;
        let hands = tried.div_ceil(SHARE).min(SHARES);
        self.steps.push_front(Step::Causes(of));
        for hand in (0..hands).rev() {
            self.steps.push_front(Step::Share(of, hand, hands));
        }
    }

    fn share(&mut self, of: LossesOf, share: (usize, usize)) {
        let breaking = self.plan_of(of).breaking(share);
        if let LossesOf::Trial(at) = of {
            self.grade.trials[at].kept &= breaking.is_empty();
        }
        self.losses_of(of).breaking.extend(breaking);
    }

    /// Puts the losses found in order, and finds why the first of them break what they break.
    fn explain_losses(&mut self, of: LossesOf) {
        let mut breaking = std::mem::take(&mut self.losses_of(of).breaking);
        let trial = self.plan_of(of);
        let losses = trial.losses();
        breaking.sort_by_key(|found| losses.iter().position(|loss| *loss == found.loss));
        for found in breaking.iter_mut().take(CAUSES) {
            found.cause = trial.cause_without(found);
        }
        self.losses_of(of).breaking = breaking;
        self.trial = None;
    }

    /// Tries each single loss on the plain days; what a trial has tried already is taken over.
    fn sturdy(&mut self) {
        if !self.is_kept() {
            return;
        }
        match self.like_plain {
            Some(at) => self.grade.losses = self.grade.trials[at].losses.clone(),
            None => self.try_losses(LossesOf::Star),
        }
    }
}

/// Where a duty is broken first, in the first trial that breaks one.
fn since(grade: &Grade) -> Option<Since> {
    let trials = grade.trials.iter().enumerate();
    let mut found = trials.filter_map(|(trial, outcome)| {
        let broken = outcome.broken.iter();
        let first = broken.min_by_key(|broken| broken.from);
        let own = first.map(|first| Since {
            trial,
            t: first.from,
            duty: first.duty,
            loss: None,
        });
        own.or_else(|| {
            let losses = outcome.losses.iter().flat_map(|losses| &losses.breaking);
            let lost = losses.flat_map(|l| l.breaks.iter().map(move |duty| (&l.loss, duty)));
            let (loss, duty) = lost.min_by_key(|(_, duty)| duty.from)?;
            Some(Since {
                trial,
                t: duty.from,
                duty: duty.duty,
                loss: Some(loss.clone()),
            })
        })
    });
    found.next()
}
