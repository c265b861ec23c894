//! The last edit of a tab that is closed: the database may have no time left for it, so it is laid down in local storage
//! at once, and written to the database by whoever comes next.

use super::browser;
use crate::plan::Plan;
use crate::plan::{Salvage, salvage};
use crate::shelf::{Content, Open, Record, Shelf, record, text_of};

/// What stands before the key of a plan.
const LATE: &str = "late/";

/// Lays down a plan that is to take the place of `open`. Where there is no room, the database has to be quick enough.
pub(super) fn lay_down(open: &Open, plan: &Plan) {
    let text = text_of(plan);
    let text = record(open.revision + 1, Content::of(&text), &text);
    let _ = browser::write(&format!("{LATE}{}", open.key), &text);
}

/// Takes away what was laid down of the plan under a key: the database has it.
pub(super) fn clear(key: &str) {
    browser::remove(&format!("{LATE}{key}"));
}

/// The plans that were laid down and are not in the database: each with what it takes the place of. One whose place was
/// taken meanwhile is of a fresh key, beside the other.
pub(super) fn left_over(shelf: &Shelf, fresh: impl Fn() -> String) -> Vec<(Open, Plan)> {
    let mut all = Vec::new();
    for name in browser::names(LATE) {
        let key = name[LATE.len()..].to_string();
        let laid = browser::read(&name).unwrap_or_default();
        let laid = Record::read(&laid);
        let kept = shelf.entry(&key);
        let is_kept = kept.is_some_and(|e| Some(e.facts.content) == laid.content);
        let sound = match salvage(laid.text) {
            Ok(Salvage { plan, faults }) if faults.is_empty() => Some(plan),
            _ => None,
        };
        let Some(plan) = sound.filter(|_| laid.is_whole() && !is_kept) else {
            clear(&key);
            continue;
        };
        let open = match kept {
            Some(entry) if entry.facts.revision + 1 == laid.revision => Open::of(entry),
            None if laid.revision == 1 => Open::fresh(key),
            _ => {
                clear(&key);
                Open::fresh(fresh())
            }
        };
        all.push((open, plan));
    }
    all
}
