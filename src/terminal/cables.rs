//! `duskline cables`: every wire with its ends, the most that it carries, and when first.

use super::{Answer, print};
use crate::clock::moment;
use crate::plan::{PartId, Plan, WireId};
use crate::sheet::cables_said::cables_text;
use crate::works::{Cable, CableSchedule, OnSite, SiteProblem, csv::cables_table};
use clap::Args;
use serde::Serialize;

/// In which form the schedule is printed.
#[derive(Args)]
pub(super) struct Options {
    /// Print JSON
    #[arg(long, group = "form")]
    json: bool,
    /// Print a table for a spreadsheet, comma-separated: one row a wire
    #[arg(long, group = "form")]
    csv: bool,
}

#[derive(Serialize)]
struct CablesOutput<'a> {
    cables: Vec<CableOutput<'a>>,
    /// What does not go in the plan's site; none where there is no site.
    #[serde(skip_serializing_if = "Option::is_none")]
    problems: Option<Vec<ProblemOutput>>,
}

#[derive(Serialize)]
struct CableOutput<'a> {
    number: usize,
    wire: &'a WireId,
    from: String,
    to: String,
    most: u64,
    at: String,
    metres: Option<f64>,
    exposed: Option<f64>,
    run: &'a str,
}

#[derive(Serialize)]
struct ProblemOutput {
    kind: &'static str,
    weight: &'static str,
    parts: Vec<PartId>,
    wires: Vec<WireId>,
    says: String,
}

impl ProblemOutput {
    fn of(plan: &Plan, problem: &SiteProblem) -> ProblemOutput {
        ProblemOutput {
            kind: problem.code(),
            weight: problem.weight().word(),
            parts: problem.parts(),
            wires: problem.wires(),
            says: problem.said(plan),
        }
    }
}

/// The schedule in the form that is asked for.
pub(super) fn answer(plan: &Plan, options: &Options) -> Answer {
    let on_site = OnSite::of(plan);
    let schedule = CableSchedule::on_site(plan, on_site.as_ref(), &mut |_| {});
    let text = if options.json {
        let cables = schedule.cables.iter().map(|cable| as_json(plan, cable));
        let problems = on_site.as_ref().map(|on_site| {
            let problems = on_site.problems().iter();
            problems.map(|p| ProblemOutput::of(plan, p)).collect()
        });
        print(&CablesOutput {
            cables: cables.collect(),
            problems,
        })
    } else if options.csv {
        cables_table(plan, &schedule)
    } else {
        let problems = on_site.iter().flat_map(|on_site| on_site.problems());
        let said = problems.map(|p| format!("\n{}: {}\n", p.weight().word(), p.said(plan)));
        cables_text(plan, &schedule) + &said.collect::<String>()
    };
    Answer::new(text, &[])
}

fn as_json<'a>(plan: &Plan, cable: &'a Cable) -> CableOutput<'a> {
    CableOutput {
        number: cable.number,
        wire: &cable.wire,
        from: cable.from.to_string(),
        to: cable.to.to_string(),
        most: cable.most,
        at: moment(cable.at, plan.world.day_ms()),
        metres: cable.metres,
        exposed: cable.exposed,
        run: cable.run.as_deref().unwrap_or(""),
    }
}
