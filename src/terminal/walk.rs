//! `duskline walk`: the steps of a plan's walk, each with its moment, what is on the board by then, and its question; a
//! step's board as a plan's file.

use super::{Answer, print};
use crate::plan::{Lit, PartId, Plan, Route, WalkQuestion, WalkStep, WireId};
use clap::Args;
use serde::Serialize;

/// Which step, and in which form the answer is printed.
#[derive(Args)]
pub(super) struct Options {
    /// Only this step, from 1
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u64).range(1..))]
    step: Option<u64>,
    /// Print the board as it stands by that step, as a plan's file
    #[arg(long, requires = "step", group = "form")]
    as_plan: bool,
    /// Print JSON
    #[arg(long, group = "form")]
    json: bool,
}

#[derive(Serialize)]
struct WalkOutput<'a> {
    title: &'a str,
    steps: Vec<StepOutput<'a>>,
}

#[derive(Serialize)]
struct StepOutput<'a> {
    n: usize,
    /// Where the cursor of the day stands; none until a step says so.
    at: Option<String>,
    says: &'a str,
    parts: Vec<PartId>,
    wires: Vec<WireId>,
    lit: LitOutput<'a>,
    question: Option<QuestionOutput<'a>>,
}

#[derive(Serialize)]
struct LitOutput<'a> {
    parts: &'a [PartId],
    wires: &'a [WireId],
}

#[derive(Serialize)]
struct QuestionOutput<'a> {
    asks: &'a str,
    answers: &'a [String],
    right: usize,
    because: &'a str,
}

/// The walk of a plan that was read from `file`.
pub(super) fn answer(file: &str, plan: &Plan, options: &Options) -> Result<Answer, String> {
    let walk = plan.walk.as_deref().filter(|walk| !walk.steps.is_empty());
    let Some(walk) = walk else {
        return Err(format!(
            "{file}: found no walk, expected a plan with a field \"walk\" that has steps\n"
        ));
    };
    let steps = walk.steps.as_slice();
    let only = match options.step {
        None => None,
        Some(n) => {
            let at = usize::try_from(n).unwrap_or(usize::MAX);
            if at > steps.len() {
                return Err(format!(
                    "--step {n}: found no such step, expected 1 to {}\n",
                    steps.len()
                ));
            }
            Some(at)
        }
    };
    let shown: Vec<usize> = match only {
        None => (1..=steps.len()).collect(),
        Some(at) => vec![at],
    };
    let mut route = Route::of(walk);
    if let (true, Some(at)) = (options.as_plan, only) {
        route.go_to(at);
        return Ok(Answer::new(route.plan().print(), &[]));
    }
    let text = match options.json {
        true => {
            let steps = shown.iter().map(|at| step_output(&mut route, steps, *at));
            print(&WalkOutput {
                title: &plan.title,
                steps: steps.collect(),
            })
        }
        false => {
            let title = match plan.title.is_empty() {
                true => String::new(),
                false => format!("{}\n\n", plain(&plan.title)),
            };
            let steps = shown.iter().map(|at| step_text(&mut route, steps, *at));
            title + &steps.collect::<Vec<_>>().join("\n")
        }
    };
    Ok(Answer::new(text, &[]))
}

fn step_output<'a>(route: &mut Route, steps: &'a [WalkStep], at: usize) -> StepOutput<'a> {
    route.go_to(at);
    let (step, board) = (&steps[at - 1], route.plan());
    StepOutput {
        n: at,
        at: route.at().map(|at| at.to_string()),
        says: &step.says,
        parts: board.parts.iter().map(|part| part.id.clone()).collect(),
        wires: board.wires.iter().map(|wire| wire.id.clone()).collect(),
        lit: LitOutput {
            parts: &step.lit.parts,
            wires: &step.lit.wires,
        },
        question: step.question.as_ref().map(|question| QuestionOutput {
            asks: &question.asks,
            answers: &question.answers,
            right: question.right,
            because: &question.because,
        }),
    }
}

/// A text on one line; what a plan says could else be taken for the program's own lines.
fn plain(text: &str) -> String {
    text.replace(char::is_control, " ")
}

fn step_text(route: &mut Route, steps: &[WalkStep], at: usize) -> String {
    route.go_to(at);
    let (step, board) = (&steps[at - 1], route.plan());
    let moment = route.at().map(|at| format!(" at {at}"));
    let mut text = format!(
        "Step {at} of {}{}\n{}\n",
        steps.len(),
        moment.unwrap_or_default(),
        plain(&step.says)
    );
    text += &format!("On the board: {}\n", on_board(board));
    let lit = lit(board, &step.lit);
    if !lit.is_empty() {
        text += &format!("Lit up: {}\n", lit.join(", "));
    }
    if let Some(asked) = &step.question {
        text += &question(asked);
    }
    text
}

/// `Roof panel, Battery; 1 wire`.
fn on_board(board: &Plan) -> String {
    let names: Vec<String> = board
        .parts
        .iter()
        .map(|part| plain(&board.called(&part.id)))
        .collect();
    let wires = match board.wires.len() {
        0 => String::new(),
        1 => "; 1 wire".into(),
        n => format!("; {n} wires"),
    };
    match names.is_empty() {
        true => "nothing".into(),
        false => names.join(", ") + &wires,
    }
}

/// What of the board is lit up.
fn lit(board: &Plan, lit: &Lit) -> Vec<String> {
    let parts = lit.parts.iter().filter_map(|id| board.part(id));
    let parts = parts.map(|part| plain(&board.called(&part.id)));
    let wires = lit.wires.iter().filter_map(|id| board.wire(id));
    let wires = wires.map(|wire| {
        let (from, to) = (board.called(&wire.from.part), board.called(&wire.to.part));
        format!("the wire from {} to {}", plain(&from), plain(&to))
    });
    parts.chain(wires).collect()
}

fn question(asked: &WalkQuestion) -> String {
    let mut text = format!("Question: {}\n", plain(&asked.asks));
    for (at, answer) in asked.answers.iter().enumerate() {
        let mark = if at == asked.right { "right" } else { "wrong" };
        text += &format!("  {}. {} ({mark})\n", at + 1, plain(answer));
    }
    if !asked.because.is_empty() {
        text += &format!("  {}\n", plain(&asked.because));
    }
    text
}
