//! Questions of who shows a plan to others: what it does, and its picture.

use super::host::Host;
use super::task::{Answer, PictureFile};
use crate::explain::{ExplanationSearch, SaidExplanation};
use crate::picture::{Picture, draw};
use crate::plan::{Plan, read_plan};
use crate::proof::Study;
use crate::teach::{has_new_parts, proposal_of, quick_text};
use std::sync::Arc;

/// What the plan does, and why each part is there.
pub(super) async fn explain(study: &Arc<Study>, host: &dyn Host) {
    if let Some(said) = explanation(study, host).await {
        host.say(Answer::Explained(Box::new(said)));
    }
}

/// The explanation; none where it was stopped.
async fn explanation(study: &Arc<Study>, host: &dyn Host) -> Option<SaidExplanation> {
    let mut search = ExplanationSearch::of(study);
    while !search.go(1) {
        let (done, of) = search.progress();
        host.say(Answer::Progress(done as u64, of as u64));
        if !host.goes_on().await {
            return None;
        }
    }
    Some(SaidExplanation::of(study.plan(), &search.finish()))
}

/// What a step of a walk could say that leads from a state, as its file's text, to the plan.
pub(super) async fn step_text(before: &str, study: &Arc<Study>, host: &dyn Host) {
    let plan = study.plan();
    // A text that is no state leads from the bare board.
    let before = read_plan(before).unwrap_or_else(|_| plan.bare());
    if !has_new_parts(&before, plan) {
        return host.say(Answer::StepText(quick_text(&before, plan)));
    }
    if let Some(said) = explanation(study, host).await {
        host.say(Answer::StepText(proposal_of(&before, plan, &said)));
    }
}

/// The plan as a picture.
pub(super) fn picture(plan: &Plan, picture: &Picture, host: &dyn Host) {
    let drawn = draw(plan, picture).map_err(|error| error.to_string());
    let file = drawn.map(|drawn| PictureFile {
        svg: drawn.svg,
        size: (drawn.wide, drawn.high),
        left_out: drawn.left_out.iter().map(|left| left.says()).collect(),
    });
    host.say(Answer::Pictured(Box::new(file)));
}
