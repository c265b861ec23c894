//! `duskline findings`: what an experienced builder would say of a plan, worst first, and the changed plan on request.

use super::proof_output::{FindingOutput, FindingsOutput, RemedyOutput};
use super::{Answer, print};
use crate::net::Weight;
use crate::plan::Plan;
use crate::proof::findings::{Finding, Remedy, findings};

/// The findings, as JSON or for reading; or the plan with the change of one of them, numbered from 1.
pub(super) fn answer(mut plan: Plan, take: Option<u64>, json: bool) -> Result<Answer, String> {
    let all = findings(&plan);
    let failed = all.iter().any(|f| f.weight == Weight::Error);
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
        None if json => print(&as_json(&all)),
        None => as_text(&all),
    };
    Ok(Answer {
        text,
        failed: failed && take.is_none(),
    })
}

fn as_json(all: &[Finding]) -> FindingsOutput<'_> {
    FindingsOutput {
        findings: all.iter().map(output).collect(),
    }
}

fn output(finding: &Finding) -> FindingOutput<'_> {
    FindingOutput {
        kind: finding.kind.code(),
        weight: finding.weight.word(),
        parts: &finding.parts,
        wires: &finding.wires,
        says: &finding.says,
        change: finding.remedy.as_ref().map(change),
    }
}

fn change(remedy: &Remedy) -> RemedyOutput<'_> {
    RemedyOutput {
        name: &remedy.name,
        says: &remedy.says,
        edits: remedy.edits.len(),
    }
}

fn as_text(all: &[Finding]) -> String {
    if all.is_empty() {
        return "No findings.\n".into();
    }
    let plain = |text: &str| text.replace(char::is_control, " ");
    let mut out = String::new();
    for (at, f) in all.iter().enumerate() {
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
