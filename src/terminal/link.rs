//! `duskline link` and `duskline open`: a plan to a link and back.

use super::{Answer, lines, text_of};
use crate::plan::{Plan, link};

/// The plan as a link to the page at `base`, maybe with only those types of its own book that it uses.
pub(super) fn of_plan(plan: &Plan, base: &str, used_types: bool) -> Answer {
    let base = base.split('#').next().unwrap_or("");
    let fragment = match used_types {
        true => link::to_fragment(&plan.with_used_types()),
        false => link::to_fragment(plan),
    };
    Answer::new(format!("{base}#{fragment}\n"), &[])
}

/// The file of the plan that a link carries.
pub(super) fn open(text: &str) -> Result<Answer, String> {
    let text = if text == "-" {
        text_of(text)?
    } else {
        text.to_string()
    };
    match link::from_link(&text) {
        Ok(found) if found.faults.is_empty() => Ok(Answer::new(found.plan.print(), &[])),
        Ok(found) => Err(lines("link", &found.faults)),
        Err(link::LinkError::NoPlan(faults)) if !faults.is_empty() => Err(lines("link", &faults)),
        Err(error) => Err(format!("{error}\n")),
    }
}
