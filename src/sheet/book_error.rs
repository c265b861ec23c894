//! Words for why a book can't be changed so.

use super::numbers_changed::{fault, refusal};
use crate::plan::{BookError, Plan};

/// How many parts are told by name.
const NAMED: usize = 4;
/// How many reasons are told.
const TOLD: usize = 8;

/// Every reason, as a sentence each; of very many the first, and how many more there are.
pub fn told(plan: &Plan, error: &BookError) -> Vec<String> {
    let mut all: Vec<String> = match error {
        BookError::NoType(kind) => vec![format!("The book has no part type \"{kind}\".")],
        BookError::InUse(kind, parts) => {
            let label = plan.book.book.find(kind).map_or(kind, |t| &t.label);
            let names: Vec<String> = parts.iter().take(NAMED).map(|id| plan.called(id)).collect();
            let more = match parts.len().saturating_sub(NAMED) {
                0 => String::new(),
                more => format!(" and {more} more"),
            };
            vec![format!(
                "{label} is the type of {}{more}. Delete them first, or let them be of another type.",
                names.join(", ")
            )]
        }
        BookError::Unsound(faults) => faults.iter().map(fault).collect(),
        BookError::Unfit(refusals) => refusals.iter().map(|r| refusal(plan, r)).collect(),
    };
    if all.len() > TOLD {
        let more = all.len() - (TOLD - 1);
        all.truncate(TOLD - 1);
        all.push(format!("There are {more} more reasons like these."));
    }
    all
}
