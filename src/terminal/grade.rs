//! `duskline grade`: learners' plans graded against an exercise: one for reading, many as a table, all as JSON.
//!
//! A plan comes as a file or a link; a file that is no plan is a list of links, one a line, with a name before each where
//! somebody wrote one. A line that can't be read is a row that says so; a plan that is named itself ends the command.

use super::grade_output::GradeOutput;
use super::link::carried_plan;
use super::{Answer, plan_or_link, print, table::Table, text_of};
use crate::plan::Plan;
use crate::teach::{
    Grade, GradeRow, GradedRow, SaidGrade, Solution, grade, grade_table, solution_texts,
};
use clap::Args;
use serde::Serialize;

/// What is graded, and in which form the answer is printed.
#[derive(Args)]
pub(super) struct Options {
    /// The plans to grade: files, links, files with a link a line ("name: link"), or - for the standard input
    #[arg(value_name = "SOLUTION", required = true)]
    solutions: Vec<String>,
    /// Print JSON
    #[arg(long, group = "form")]
    json: bool,
    /// Print a table for a spreadsheet, comma-separated: one row a plan
    #[arg(long, group = "form")]
    csv: bool,
}

/// A plan that was handed in, and what it is worth.
struct Graded {
    row: GradeRow,
    whole: Option<(Grade, SaidGrade)>,
}

#[derive(Serialize)]
struct GradesOutput<'a> {
    solutions: Vec<RowOutput<'a>>,
}

#[derive(Serialize)]
struct RowOutput<'a> {
    who: &'a str,
    #[serde(flatten)]
    grade: Option<GradeOutput<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    error: Option<&'a str>,
}

/// What the plans are worth, for reading, as JSON or as a table.
pub(super) fn answer(exercise: &str, options: &Options) -> Result<Answer, String> {
    let plan = plan_or_link(exercise)?;
    let wrong = |error: crate::teach::GradeError| format!("{exercise}: {error}\n");
    let mut all = Vec::new();
    for file in &options.solutions {
        for solution in handed_in(file)? {
            all.push(graded(&plan, solution).map_err(wrong)?);
        }
    }
    let text = match (options.json, options.csv) {
        (true, _) => print(&GradesOutput {
            solutions: all.iter().map(as_json).collect(),
        }),
        (_, true) => {
            let rows: Vec<GradeRow> = all.iter().map(|graded| graded.row.clone()).collect();
            grade_table(&rows)
        }
        _ => as_text(&all),
    };
    let kept = |graded: &Graded| graded.row.graded.as_ref().is_ok_and(|row| row.kept);
    Ok(Answer {
        text,
        failed: !all.iter().all(kept),
    })
}

/// The plans that one argument names.
fn handed_in(file: &str) -> Result<Vec<Solution>, String> {
    if carried_plan(file) {
        let plan = plan_or_link(file)?;
        return Ok(vec![Solution::of(plan)]);
    }
    let text = text_of(file)?;
    let texts = solution_texts(&text);
    match texts.as_slice() {
        [one] if one.trim_start().starts_with('{') => {
            let plan = super::read_named(file, one)?;
            Ok(vec![Solution::of(plan)])
        }
        // A file without a single link is no list, but something else.
        lines if lines.iter().any(|line| Solution::is_link(line)) => {
            Ok(lines.iter().map(|line| Solution::read(line)).collect())
        }
        _ => Err(format!(
            "{file}: found no plan and no link, expected a plan or a link a line\n"
        )),
    }
}

fn graded(exercise: &Plan, solution: Solution) -> Result<Graded, crate::teach::GradeError> {
    let plan = match solution.plan {
        Ok(plan) => plan,
        Err(error) => {
            let row = GradeRow {
                who: solution.who,
                graded: Err(error),
            };
            return Ok(Graded { row, whole: None });
        }
    };
    let grade = grade(exercise, &plan)?;
    let said = SaidGrade::of(exercise, &plan, &grade)?;
    let row = GradedRow::of(exercise, &grade, &said)?;
    Ok(Graded {
        row: GradeRow {
            who: solution.who,
            graded: Ok(row),
        },
        whole: Some((grade, said)),
    })
}

fn as_json(graded: &Graded) -> RowOutput<'_> {
    let whole = graded.whole.as_ref();
    RowOutput {
        who: &graded.row.who,
        grade: whole.map(|(grade, said)| GradeOutput::of(grade, said)),
        error: graded.row.graded.as_ref().err().map(String::as_str),
    }
}

fn as_text(all: &[Graded]) -> String {
    if let [
        Graded {
            whole: Some((grade, said)),
            ..
        },
    ] = all
    {
        let (stars, most) = (grade.stars(), grade.most_stars());
        let built = match grade.parts {
            1 => "1 part".into(),
            parts => format!("{parts} parts"),
        };
        return format!(
            "{}\n{stars} of {most} stars. Built: {built}, {} in materials.\n",
            said.text(),
            grade.materials
        );
    }
    let heads = [
        "who",
        "kept",
        "stars",
        "materials",
        "parts",
        "since",
        "what fails",
    ];
    let mut table = Table::new(&heads);
    for graded in all {
        let who = graded.row.who.clone();
        match &graded.row.graded {
            Ok(row) => table.row([
                who,
                if row.kept { "yes" } else { "no" }.into(),
                format!("{} of {}", row.stars, row.most_stars),
                row.materials.to_string(),
                row.parts.to_string(),
                row.since_said.clone().unwrap_or_default(),
                fails(row),
            ]),
            Err(error) => {
                let [kept, stars, materials, parts, since] = Default::default();
                table.row([who, kept, stars, materials, parts, since, error.clone()]);
            }
        }
    }
    table.to_string()
}

/// What is against the rules, and what fails first.
fn fails(row: &GradedRow) -> String {
    let said = row.breaches.iter().chain(&row.fails);
    said.cloned().collect::<Vec<_>>().join(" ")
}
