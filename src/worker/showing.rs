//! Questions of who shows a plan to others: what it does, and its picture.

use super::host::Host;
use super::task::{Answer, PictureFile};
use crate::explain::{ExplanationSearch, SaidExplanation};
use crate::picture::{Picture, draw};
use crate::plan::Plan;
use crate::proof::Study;
use std::sync::Arc;

/// What the plan does, and why each part is there.
pub(super) async fn explain(study: &Arc<Study>, host: &dyn Host) {
    let plan = study.plan();
    let mut search = ExplanationSearch::of(study);
    while !search.go(1) {
        let (done, of) = search.progress();
        host.say(Answer::Progress(done as u64, of as u64));
        if !host.goes_on().await {
            return;
        }
    }
    let said = SaidExplanation::of(plan, &search.finish());
    host.say(Answer::Explained(Box::new(said)));
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
