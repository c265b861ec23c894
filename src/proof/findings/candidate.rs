//! Changes that may keep a broken duty, and which of them does: the first in the order in which they are given, so that
//! what costs nothing goes before what has to be built.

use super::{Remedy, Simulation};
use crate::plan::Edit;
use crate::proof::Check;

/// A change to be tried.
#[derive(Clone, Debug)]
pub struct Candidate {
    /// What is then so, as a subject that "keeps" goes with: `Tap set to 1 u`.
    pub what: String,
    /// The change in a few words, as an undo step is called.
    pub name: String,
    /// The edits.
    pub edits: Vec<Edit>,
}

impl Candidate {
    pub fn new(what: String, name: String, edits: Vec<Edit>) -> Candidate {
        Candidate { what, name, edits }
    }
}

/// How many changes are tried for one duty: fewer where each takes longer.
pub fn trials(seen: &Simulation) -> usize {
    (8_000 / seen.plan.parts.len().max(1)).clamp(40, 120)
}

/// The first of these that keeps the duty, of as many as are left to try.
pub fn first(
    seen: &Simulation,
    duty: usize,
    left: &mut usize,
    changes: impl IntoIterator<Item = Candidate>,
) -> Option<Remedy> {
    for change in changes {
        *left = left.checked_sub(1)?;
        let Some(check) = seen.judged(&change.edits, duty) else {
            continue;
        };
        if check.duties.get(duty).is_some_and(|d| d.kept) {
            return Some(Remedy {
                says: format!("{} {}.", change.what, kept_words(seen, &check, duty)),
                name: change.name,
                edits: change.edits,
            });
        }
    }
    None
}

/// `keeps the duty of Stair lamp for ever: 3 of 4 duties kept instead of 2`.
fn kept_words(seen: &Simulation, after: &Check, duty: usize) -> String {
    let kept = |c: &Check| c.duties.iter().filter(|d| d.kept).count();
    let long = if after.for_ever {
        "for ever".into()
    } else {
        format!("for {} days", after.days)
    };
    let all = match after.duties.len() {
        1 => "1 duty".into(),
        n => format!("{n} duties"),
    };
    let load = seen.plan.duties.get(duty);
    format!(
        "keeps the duty of {} {long}: {} of {all} kept instead of {}",
        load.map_or(String::new(), |d| seen.plan.called(&d.part)),
        kept(after),
        kept(&seen.check)
    )
}
