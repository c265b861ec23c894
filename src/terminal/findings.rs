//! `duskline findings`: what an experienced builder would say of a plan, worst first, and the changed plan on request. What
//! the plan says is meant so comes last.

use super::proof_output::{FindingOutput, FindingsOutput, RemedyOutput};
use super::{Answer, print};
use crate::net::Weight;
use crate::plan::Plan;
use crate::proof::findings::{Finding, Remedy, findings};

/// The findings, as JSON or for reading; or the plan with the change of one of them, numbered from 1.
pub(super) fn answer(mut plan: Plan, take: Option<u64>, json: bool) -> Result<Answer, String> {
    let (meant, open): (Vec<Finding>, Vec<Finding>) = findings(&plan)
        .into_iter()
        .partition(|f| f.is_meant(&plan.meant));
    let failed = open.iter().any(|f| f.weight == Weight::Error);
    let first_meant = open.len();
    let all = [open, meant].concat();
    let text = match take {
        Some(number) => {
            let place = usize::try_from(number - 1).ok();
            let found = place.and_then(|at| all.get(at));
            let found = found
                .ok_or_else(|| format!("--take {number}: the plan has {} findings\n", all.len()))?;
            let remedy = found
                .remedy
                .clone()
                .ok_or_else(|| format!("--take {number}: no change is known for this finding\n"))?;
            plan.apply_all(remedy.edits)
                .map_err(|error| format!("--take {number}: {error}\n"))?;
            plan.print()
        }
        None if json => print(&as_json(&all, first_meant)),
        None => as_text(&all, first_meant),
    };
    Ok(Answer {
        text,
        failed: failed && take.is_none(),
    })
}

/// From the place `first_meant` on they are meant so.
fn as_json(all: &[Finding], first_meant: usize) -> FindingsOutput<'_> {
    let places = all.iter().enumerate();
    FindingsOutput {
        findings: places.map(|(at, f)| output(f, at >= first_meant)).collect(),
    }
}

fn output(finding: &Finding, meant: bool) -> FindingOutput<'_> {
    FindingOutput {
        kind: finding.kind.code(),
        weight: finding.weight.word(),
        parts: &finding.parts,
        wires: &finding.wires,
        says: &finding.says,
        change: finding.remedy.as_ref().map(change),
        meant,
    }
}

fn change(remedy: &Remedy) -> RemedyOutput<'_> {
    RemedyOutput {
        name: &remedy.name,
        says: &remedy.says,
        edits: remedy.edits.len(),
    }
}

fn as_text(all: &[Finding], first_meant: usize) -> String {
    if all.is_empty() {
        return "No findings.\n".into();
    }
    let plain = |text: &str| text.replace(char::is_control, " ");
    let mut out = String::new();
    for (at, f) in all.iter().enumerate() {
        if at == first_meant {
            out += "Meant so:\n";
        }
        out += &format!(
            "{}. {} ({}): {}\n",
            at + 1,
            f.kind.label(),
            f.weight.word(),
            plain(&f.says)
        );
        if let Some(remedy) = &f.remedy {
            out += &format!("   Tried: {}\n", plain(&remedy.says));
        }
    }
    out
}
