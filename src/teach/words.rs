//! A grade in words, for the learner: what is against the rules, what fails, when, and why. Each sentence knows which parts
//! and which moment it speaks of, and in which trial that can be seen.
//!
//! Parts have the names of the learner's plan. Why something fails is said in the words of the proof. Texts of the exercise
//! and names of parts are text: line breaks and other control characters become spaces.

use super::breach_words::BreachWords;
use super::grade::{BreakingLoss, BrokenDuty, Grade, GradeError, Since, TrialOutcome};
use super::phrases::{kept, lasts, materials, stood, verdict};
use super::rules::Rules;
use super::sentence::{GradeSentence, on_one_line};
use super::tried::{in_trial, plain, set_out};
use crate::net::words::list;
use crate::plan::{Exercise, PartId, Plan};
use crate::proof::{Cause, Dial, Loss};
use crate::quantity::Ms;
use serde::{Deserialize, Serialize};
use std::borrow::Cow;

/// How one trial went, in words.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct SaidTrial {
    /// What was tried: "Plain days", "three dull days in a row".
    pub says: String,
    /// Whether it is kept.
    pub kept: bool,
    /// What fails, or that nothing does.
    pub sentences: Vec<GradeSentence>,
}

/// One star, in words.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct SaidStar {
    /// Whether it is won.
    pub won: bool,
    /// What for, or what stands against it.
    pub sentence: GradeSentence,
}

/// A grade in words.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct SaidGrade {
    /// All of it in a sentence.
    pub verdict: String,
    /// What is against the rules.
    pub breaches: Vec<GradeSentence>,
    /// What of the plan did not count.
    pub overruled: Vec<GradeSentence>,
    /// The trials, the plain days first.
    pub trials: Vec<SaidTrial>,
    /// The stars that there are to be had.
    pub stars: Vec<SaidStar>,
    /// What fails first: the sentence about [`Grade::since`].
    pub first: Option<GradeSentence>,
}

impl SaidGrade {
    /// The words for the grade of a solution.
    ///
    /// # Errors
    /// There is no exercise, or a trial of it can't be.
    pub fn of(exercise: &Plan, solution: &Plan, grade: &Grade) -> Result<SaidGrade, GradeError> {
        let words = GradeWords::new(exercise, solution)?;
        let breach_words = BreachWords {
            given: &words.given,
            tried: &words.plain,
            solution,
        };
        let trials = grade.trials.iter().enumerate();
        let (breaches, overruled) = (grade.breaches.iter(), grade.overruled.iter());
        Ok(SaidGrade {
            verdict: verdict(grade),
            breaches: breaches.map(|breach| breach_words.breach(breach)).collect(),
            overruled: overruled.map(|what| breach_words.overruled(what)).collect(),
            trials: trials
                .map(|(at, outcome)| words.trial(at, outcome))
                .collect::<Result<_, _>>()?,
            stars: words.stars(grade),
            first: match &grade.since {
                Some(since) => words.first(grade, since)?,
                None => None,
            },
        })
    }

    /// All of it as lines, for reading.
    pub fn text(&self) -> String {
        let mut text = format!("{}\n", self.verdict);
        let mut section = |heading: &str, lines: Vec<String>| {
            if !lines.is_empty() {
                text += &format!("\n{heading}\n");
                lines.iter().for_each(|line| text += &format!("- {line}\n"));
            }
        };
        let says = |all: &[GradeSentence]| all.iter().map(|one| one.says.clone()).collect();
        section("Against the rules", says(&self.breaches));
        section("Not counted", says(&self.overruled));
        for trial in &self.trials {
            let kept = if trial.kept { "kept" } else { "not kept" };
            let heading = format!("{}: {kept}", trial.says);
            section(&heading, says(&trial.sentences));
        }
        let star = |star: &SaidStar| {
            let mark = if star.won { "won" } else { "open" };
            format!("{mark}: {}", star.sentence.says)
        };
        section("Stars", self.stars.iter().map(star).collect());
        text
    }
}

/// What the exercise of a plan calls a trial, by its place from 1; its number where it has no name.
pub fn trial_name(exercise: &Plan, trial: usize) -> String {
    let own = exercise.exercise.as_deref();
    own.map_or_else(|| format!("trial {trial}"), |own| name_of(own, trial))
}

fn name_of(exercise: &Exercise, trial: usize) -> String {
    let found = trial.checked_sub(1).and_then(|at| exercise.trials.get(at));
    let says = found.map(|trial| on_one_line(&trial.says));
    let says = says.filter(|says| !says.is_empty());
    says.unwrap_or_else(|| format!("trial {trial}"))
}

/// Says what of a grade needs the plans that were tried.
struct GradeWords<'a> {
    exercise: &'a Exercise,
    given: Plan,
    /// The plan as tried on plain days.
    plain: Plan,
}

/// One trial that is told: its place, what came of it, and its plan, with what it loses still there, for the names.
#[derive(Clone, Copy)]
struct Told<'a> {
    trial: usize,
    outcome: &'a TrialOutcome,
    plan: &'a Plan,
}

impl Told<'_> {
    fn dial(self, t: Ms) -> Dial {
        let day_ms = self.plan.world.day_ms();
        Dial {
            day_ms,
            days: self.outcome.days.max(t / day_ms.max(1) + 1),
        }
    }
}

impl<'a> GradeWords<'a> {
    fn new(exercise: &'a Plan, solution: &Plan) -> Result<GradeWords<'a>, GradeError> {
        let (own, given) = set_out(exercise)?;
        let rules = Rules {
            exercise: own,
            given: &given,
        };
        let plain = plain(&rules, solution);
        Ok(GradeWords {
            exercise: own,
            given,
            plain,
        })
    }

    /// The plan of a trial; that of the plain days where there is no such trial.
    fn plan(&self, trial: usize) -> Result<Cow<'_, Plan>, GradeError> {
        let own = trial
            .checked_sub(1)
            .and_then(|at| self.exercise.trials.get(at));
        match own {
            None => Ok(Cow::Borrowed(&self.plain)),
            Some(own) => in_trial(&self.plain, &self.given, own, trial - 1).map(Cow::Owned),
        }
    }

    /// What is tried, in its own words.
    fn name(&self, trial: usize) -> String {
        match trial {
            0 => "Plain days".into(),
            trial => name_of(self.exercise, trial),
        }
    }

    /// In which trial, as an aside: ` (three dull days in a row)`; nothing on plain days.
    fn aside(&self, trial: usize) -> String {
        match trial {
            0 => String::new(),
            trial => format!(" ({})", self.name(trial)),
        }
    }

    fn trial(&self, at: usize, outcome: &TrialOutcome) -> Result<SaidTrial, GradeError> {
        let plan = self.plan(at)?;
        let told = Told {
            trial: at,
            outcome,
            plan: &plan,
        };
        let duties = outcome.broken.iter();
        let mut sentences: Vec<GradeSentence> =
            duties.map(|broken| self.broken(told, broken)).collect();
        sentences.extend(outcome.problems.iter().map(|problem| GradeSentence {
            says: on_one_line(&problem.says(&plan)),
            parts: problem.parts.clone(),
            wires: problem.wires.clone(),
            trial: at,
            ..GradeSentence::default()
        }));
        if let Some(losses) = &outcome.losses {
            let breaking = losses.breaking.iter();
            sentences.extend(breaking.map(|loss| self.loss(told, loss)));
        }
        if outcome.kept {
            sentences.push(GradeSentence {
                says: kept(outcome),
                trial: at,
                ..GradeSentence::default()
            });
        }
        Ok(SaidTrial {
            says: self.name(at),
            kept: outcome.kept,
            sentences,
        })
    }

    /// `Stair lamp goes dark on day 2 at 03:12 (three dull days in a row): … It lasts 3 h.`
    fn broken(&self, told: Told, broken: &BrokenDuty) -> GradeSentence {
        let (plan, aside) = (told.plan, self.aside(told.trial));
        let cause = broken.cause.as_ref();
        let mut says = match cause {
            Some(cause) => format!("{}{aside}: {}", cause.subject(plan), cause.because(plan)),
            None => {
                let at = told.dial(broken.from).at(broken.from);
                let name = plan.called(&broken.load);
                format!("{name} breaks its duty {at}{aside}: why is not known.")
            }
        };
        says += &lasts(broken.from, broken.ends, cause);
        if broken.gaps > 1 {
            let days = match told.outcome.days {
                1 => "a day".into(),
                days => format!("in {days} days"),
            };
            says += &format!(" This happens {} times {days}.", broken.gaps);
        }
        GradeSentence {
            says: on_one_line(&says),
            parts: concerned(&broken.load, cause),
            wires: cause.map(|cause| cause.wires.clone()).unwrap_or_default(),
            trial: told.trial,
            at: Some(broken.from),
            loss: None,
        }
    }

    /// `Without Roof panel, Stair lamp goes dark at 21:00 (any one part or wire fails): …`
    fn loss(&self, told: Told, found: &BreakingLoss) -> GradeSentence {
        let (plan, aside) = (told.plan, self.aside(told.trial));
        let without = found.loss.would_be(plan);
        let Some(first) = found.first() else {
            return GradeSentence::default();
        };
        let cause = found.cause.as_ref();
        let mut says = match cause {
            Some(cause) => {
                let (subject, because) = (cause.subject(plan), cause.because(plan));
                format!("{without}, {subject}{aside}: {because}")
            }
            None => {
                let from = told.dial(first.from).from(first.from);
                let name = plan.called(&first.load);
                format!("{without}, {name} does not do its duty {from} on{aside}.")
            }
        };
        says += &lasts(first.from, first.ends, cause);
        let others = found.breaks.iter().filter(|broken| *broken != first);
        let others: Vec<String> = others.map(|broken| plan.called(&broken.load)).collect();
        if !others.is_empty() {
            let fails = if others.len() == 1 { "fails" } else { "fail" };
            says += &format!(" Then {} {fails} too.", list(&others));
        }
        let mut parts = concerned(&first.load, cause);
        let mut wires = cause.map(|cause| cause.wires.clone()).unwrap_or_default();
        match &found.loss {
            Loss::Wire(id) if !wires.contains(id) => wires.push(id.clone()),
            Loss::Part(id) if !parts.contains(id) => parts.push(id.clone()),
            _ => {}
        }
        GradeSentence {
            says: on_one_line(&says),
            parts,
            wires,
            trial: told.trial,
            at: Some(first.from),
            loss: Some(found.loss.clone()),
        }
    }

    /// What fails first.
    fn first(&self, grade: &Grade, since: &Since) -> Result<Option<GradeSentence>, GradeError> {
        let Some(outcome) = grade.trials.get(since.trial) else {
            return Ok(None);
        };
        let plan = self.plan(since.trial)?;
        let told = Told {
            trial: since.trial,
            outcome,
            plan: &plan,
        };
        Ok(match &since.loss {
            None => {
                let broken = outcome.broken.iter().find(|b| b.duty == since.duty);
                broken.map(|broken| self.broken(told, broken))
            }
            Some(lost) => {
                let mut losses = outcome.losses.iter().flat_map(|losses| &losses.breaking);
                let found = losses.find(|found| found.loss == *lost);
                found.map(|found| self.loss(told, found))
            }
        })
    }

    fn stars(&self, grade: &Grade) -> Vec<SaidStar> {
        let mut stars = vec![SaidStar {
            won: grade.kept,
            sentence: plainly(match grade.kept {
                true => "Every duty is kept in everything that was tried, within the rules.",
                false => "Every duty has to be kept in everything that is tried, within the rules.",
            }),
        }];
        if let (Some(cheap), Some(most)) = (grade.cheap, self.exercise.materials) {
            stars.push(SaidStar {
                won: grade.kept && cheap,
                sentence: plainly(&materials(grade, most)),
            });
        }
        stars.push(SaidStar {
            won: grade.is_sturdy(),
            sentence: self.sturdy(grade),
        });
        stars
    }

    fn sturdy(&self, grade: &Grade) -> GradeSentence {
        let (Some(losses), Some(outcome)) = (&grade.losses, grade.trials.first()) else {
            return plainly(
                "Whether the duties stand the loss of any one part or wire is tried once all else is kept.",
            );
        };
        let Some(found) = losses.breaking.first() else {
            return plainly(&stood(losses));
        };
        let told = Told {
            trial: 0,
            outcome,
            plan: &self.plain,
        };
        let sentence = self.loss(told, found);
        let breaks = match (losses.breaking.len(), losses.tried) {
            (1, 1) => "The one single loss that was tried breaks a duty.".into(),
            (1, tried) => format!("One of {tried} single losses breaks a duty."),
            (count, tried) => format!("{count} of {tried} single losses break a duty."),
        };
        GradeSentence {
            says: format!("{breaks} {}", sentence.says),
            ..sentence
        }
    }
}

/// A sentence that speaks of nothing on the board.
fn plainly(says: &str) -> GradeSentence {
    GradeSentence {
        says: says.into(),
        ..GradeSentence::default()
    }
}

/// The load, and the parts that its cause names.
fn concerned(load: &PartId, cause: Option<&Cause>) -> Vec<PartId> {
    let named = cause.into_iter().flat_map(|cause| &cause.parts);
    let rest = named.filter(|part| *part != load).cloned();
    std::iter::once(load.clone()).chain(rest).collect()
}
