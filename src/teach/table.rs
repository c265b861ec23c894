//! Many learners' plans graded against one exercise, a row each: who, whether it is kept, stars, materials, parts, since when
//! something fails and what. For a list and for a spreadsheet.
//!
//! In: texts, each a plan's file or a link, a link with a name before it (`name: link`, or a tab between). One that can't be
//! read is a row that says so. Whoever wrote a name wrote it freely, so a table keeps it from being taken for a formula.

use super::grade::{Grade, GradeError, Since};
use super::search::grade;
use super::sentence::on_one_line;
use super::tried::{set_out, world_of};
use super::words::SaidGrade;
use crate::clock::moment;
use crate::plan::{Plan, link, read_plan};
use crate::read::Faults;
use crate::works::csv::{text, written};
use serde::{Deserialize, Serialize};

/// One learner's plan in a table.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct GradeRow {
    /// Who it is from, as far as somebody says; may be empty.
    pub who: String,
    /// What it is worth, or why it can't be read.
    pub graded: Result<GradedRow, String>,
}

/// What one learner's plan is worth.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct GradedRow {
    /// Whether it is kept.
    pub kept: bool,
    /// How many stars it has.
    pub stars: u8,
    /// How many there are to be had.
    pub most_stars: u8,
    /// The materials of what was built.
    pub materials: u64,
    /// How many parts were built.
    pub parts: u64,
    /// Where a duty is broken first.
    pub since: Option<Since>,
    /// That moment on the dial, with its day from day 2 on: `03:12`, `d2 03:12`.
    pub since_said: Option<String>,
    /// The trial in which that is, in words.
    pub trial: Option<String>,
    /// What fails first, or what fails at all where no duty does.
    pub fails: Option<String>,
    /// What is against the rules.
    pub breaches: Vec<String>,
}

/// The texts of single plans in what somebody pasted: a plan's file whole, else each line that is not blank.
pub fn solution_texts(pasted: &str) -> Vec<String> {
    let pasted = pasted.trim_start_matches('\u{feff}');
    if pasted.trim_start().starts_with('{') {
        return vec![pasted.to_string()];
    }
    let lines = pasted.lines().filter(|line| !line.trim().is_empty());
    lines.map(str::to_string).collect()
}

/// A row each of many texts.
///
/// # Errors
/// There is no exercise, or a trial of it can't be.
pub fn grade_rows(exercise: &Plan, texts: &[String]) -> Result<Vec<GradeRow>, GradeError> {
    texts.iter().map(|text| grade_row(exercise, text)).collect()
}

/// The row of one text.
///
/// # Errors
/// There is no exercise, or a trial of it can't be.
pub fn grade_row(exercise: &Plan, text: &str) -> Result<GradeRow, GradeError> {
    let solution = Solution::read(text);
    let graded = match solution.plan {
        Err(error) => Err(error),
        Ok(plan) => {
            let grade = grade(exercise, &plan)?;
            let said = SaidGrade::of(exercise, &plan, &grade)?;
            Ok(GradedRow::of(exercise, &grade, &said)?)
        }
    };
    Ok(GradeRow {
        who: solution.who,
        graded,
    })
}

/// A learner's plan as it was handed in.
#[derive(Clone, Debug, PartialEq)]
pub struct Solution {
    /// Who it is from: the name before a link, else as the plan says, else the plan's title; may be empty.
    pub who: String,
    /// The plan, or why it can't be read.
    pub plan: Result<Plan, String>,
}

impl Solution {
    /// Reads a plan's file, a link, or a link with a name before it.
    pub fn read(text: &str) -> Solution {
        let (name, rest) = name_and_plan(text);
        let mut solution = match plan_of(rest) {
            Ok(plan) => Solution::of(plan),
            Err(error) => Solution {
                who: String::new(),
                plan: Err(error),
            },
        };
        if let Some(name) = name {
            solution.who = on_one_line(name);
        }
        solution
    }

    /// Whether a text looks like a link to a plan, whole or not, with a name before it or not.
    pub fn is_link(text: &str) -> bool {
        let (_, rest) = name_and_plan(text);
        link::carried(rest) == Some(link::Carried::Plan)
    }

    /// A plan that was read, from whom it says.
    pub fn of(plan: Plan) -> Solution {
        let who = plan.exercise.as_ref().map(|own| own.who.as_str());
        let who = who.filter(|who| !who.is_empty()).unwrap_or(&plan.title);
        Solution {
            who: on_one_line(who),
            plan: Ok(plan),
        }
    }
}

impl GradedRow {
    /// What of a grade stands in a row.
    ///
    /// # Errors
    /// There is no exercise, or a trial of it can't be.
    pub fn of(exercise: &Plan, grade: &Grade, said: &SaidGrade) -> Result<GradedRow, GradeError> {
        let since = grade.since.as_ref();
        let dial = |since: &Since| -> Result<String, GradeError> {
            let (own, given) = set_out(exercise)?;
            let trial = since.trial.checked_sub(1);
            let trial = trial.and_then(|at| Some((own.trials.get(at)?, at)));
            let world = match trial {
                Some((trial, at)) => world_of(&given, trial, at)?,
                None => given.world,
            };
            Ok(moment(since.t, world.day_ms()))
        };
        let trial = since.and_then(|since| said.trials.get(since.trial));
        let failing = said.trials.iter().filter(|trial| !trial.kept);
        let other = failing.flat_map(|trial| &trial.sentences).next();
        let fails = said.first.as_ref().or(other);
        let breaches = said.breaches.iter();
        Ok(GradedRow {
            kept: grade.kept,
            stars: grade.stars(),
            most_stars: grade.most_stars(),
            materials: grade.materials,
            parts: grade.parts,
            since: grade.since.clone(),
            since_said: since.map(dial).transpose()?,
            trial: trial.map(|trial| trial.says.clone()),
            fails: fails.map(|sentence| sentence.says.clone()),
            breaches: breaches.map(|breach| breach.says.clone()).collect(),
        })
    }
}

/// The name before a link, and the rest.
fn name_and_plan(text: &str) -> (Option<&str>, &str) {
    let text = text.trim_start_matches('\u{feff}').trim();
    if text.starts_with('{') {
        return (None, text);
    }
    let is_link = |link: &str| link::carried(link.trim()).is_some();
    let named = |name: &'_ str| !name.trim().is_empty();
    if let Some((name, link)) = text.split_once('\t')
        && is_link(link)
    {
        return (Some(name.trim()).filter(|name| named(name)), link.trim());
    }
    if let Some((name, link)) = text.rsplit_once(char::is_whitespace)
        && is_link(link)
    {
        let name = name.trim().trim_end_matches(':').trim();
        return (Some(name).filter(|name| named(name)), link);
    }
    match text.split_once(':') {
        // What stands before the // of an address is no name.
        Some((name, link)) if is_link(link) && !link.starts_with("//") && named(name) => {
            (Some(name.trim()), link.trim())
        }
        _ => (None, text),
    }
}

/// The plan that a text is.
fn plan_of(text: &str) -> Result<Plan, String> {
    if text.starts_with('{') {
        return read_plan(text).map_err(|faults| faults_said(&faults));
    }
    match link::from_link(text) {
        Ok(found) if found.faults.is_empty() => Ok(found.plan),
        Ok(found) => Err(faults_said(&found.faults)),
        Err(link::LinkError::NoPlan(faults)) if !faults.is_empty() => Err(faults_said(&faults)),
        Err(error) => Err(error.to_string()),
    }
}

/// The first fault in a sentence, and how many more there are.
fn faults_said(faults: &Faults) -> String {
    let first = faults.first().map(|fault| on_one_line(&fault.to_string()));
    let first = first.unwrap_or_default();
    match faults.len() {
        0 | 1 => format!("The plan can't be read: {first}."),
        n => format!(
            "The plan can't be read: {first}, and {} faults more.",
            n - 1
        ),
    }
}

/// Rows as comma-separated values, for a spreadsheet.
pub fn grade_table(rows: &[GradeRow]) -> String {
    let heads = [
        "who",
        "kept",
        "stars",
        "of",
        "materials",
        "parts",
        "since",
        "trial",
        "fails first",
        "against the rules",
        "not read",
    ];
    let mut table = vec![heads.map(String::from).to_vec()];
    for row in rows {
        let or_none = |said: &Option<String>| text(said.as_deref().unwrap_or(""));
        table.push(match &row.graded {
            Ok(graded) => vec![
                text(&row.who),
                if graded.kept { "yes" } else { "no" }.into(),
                graded.stars.to_string(),
                graded.most_stars.to_string(),
                graded.materials.to_string(),
                graded.parts.to_string(),
                or_none(&graded.since_said),
                or_none(&graded.trial),
                or_none(&graded.fails),
                text(&graded.breaches.join(" ")),
                String::new(),
            ],
            Err(error) => {
                let mut cells = vec![text(&row.who)];
                cells.resize(heads.len() - 1, String::new());
                cells.push(text(error));
                cells
            }
        });
    }
    written(&table)
}
