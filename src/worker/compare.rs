//! Two variants side by side.

use super::host::Host;
use super::task::Answer;
use crate::plan::{Plan, read_plan};
use crate::proof::Study;
use crate::proof::compare::{Figures, figures, figures_of, rows, survived};
use std::sync::Arc;

/// Two variants, the second as its file; their single losses last, for they take longest.
pub(super) fn compare(study: &Arc<Study>, other: &str, losses: bool, host: &dyn Host) {
    // The page printed it a moment ago.
    let other = read_plan(other).unwrap_or_else(|_| Plan::empty());
    let plan = study.plan();
    let (mut first, mut second) = (figures_of(study), figures(&other));
    let side_by_side = |a: &Figures, b: &Figures| rows(plan, a, &other, b);
    host.say(Answer::Compared(side_by_side(&first, &second), !losses));
    if !losses {
        return;
    }
    let count = |plan: &Plan, half: u64| {
        survived(plan, &mut |done, of| {
            let (done, of) = (done as u64, of as u64);
            host.say(Answer::Progress(half * of + done, 2 * of));
            true
        })
    };
    first.losses = count(plan, 0);
    second.losses = count(&other, 1);
    host.say(Answer::Compared(side_by_side(&first, &second), true));
}
