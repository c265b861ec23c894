//! The worker's share of what a builder would say, and of variants side by side: asks the core and tells what comes.

use super::task::Answer;
use crate::plan::{Plan, read_plan};
use crate::proof::compare::{Figures, figures, rows, survived};
use crate::proof::findings::Search;

/// Findings as they come, with how far the search is.
pub(super) fn findings(plan: &Plan, say: &mut dyn FnMut(Answer)) {
    let mut search = Search::new(plan);
    while let Some(found) = search.next() {
        let (done, of) = search.progress();
        say(Answer::Progress(done as u64, of as u64));
        if let Some(finding) = found {
            say(Answer::Finding(Box::new(finding)));
        }
    }
    say(Answer::NoMoreFindings);
}

/// Two variants, the second as its file; their single losses last, for they take longest.
pub(super) fn compare(plan: &Plan, other: &str, losses: bool, say: &mut dyn FnMut(Answer)) {
    // The page printed it a moment ago.
    let other = read_plan(other).unwrap_or_else(|_| Plan::empty());
    let (mut first, mut second) = (figures(plan), figures(&other));
    let side_by_side = |a: &Figures, b: &Figures| rows(plan, a, &other, b);
    say(Answer::Compared(side_by_side(&first, &second), !losses));
    if !losses {
        return;
    }
    let mut count = |plan: &Plan, half: u64| {
        survived(plan, &mut |done, of| {
            let (done, of) = (done as u64, of as u64);
            say(Answer::Progress(half * of + done, 2 * of));
            true
        })
    };
    first.losses = count(plan, 0);
    second.losses = count(&other, 1);
    say(Answer::Compared(side_by_side(&first, &second), true));
}
