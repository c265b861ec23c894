//! Plans drafted from what is wanted.
//!
//! A search that is stopped is put by: asked for again by the same order, it goes on where it was, as long as the worker
//! lives. Going on comes to the same as going through.

use super::host::Host;
use super::task::Answer;
use crate::draft::{DraftSearch, read_order};
use crate::plan::Plan;
use crate::sheet::draft_said::SaidDraft;
use std::cell::RefCell;

/// How often it is told how far the search is, in circuits.
const TELL: u64 = 64;

thread_local! {
    /// The search that was stopped last, by the text of its order and the plan that it completes.
    static PUT_BY: RefCell<Option<(String, Option<Plan>, DraftSearch)>> = const { RefCell::new(None) };
}

/// What comes of an order, given as its file's text, by itself or beside what stands in a plan.
pub(super) async fn draft(text: &str, standing: Option<&Plan>, host: &dyn Host) {
    let order = match read_order(text) {
        Ok(order) => order,
        Err(faults) => {
            let why = faults.iter().map(ToString::to_string).collect();
            return host.say(Answer::Drafted(Box::new(Err(why))));
        }
    };
    let is_same = |(of, beside, _): &(String, Option<Plan>, DraftSearch)| {
        of == text && beside.as_ref() == standing
    };
    let mut search = match (PUT_BY.take().filter(is_same), standing) {
        (Some((.., search)), _) => search,
        (None, Some(plan)) => DraftSearch::completing(&order, plan),
        (None, None) => DraftSearch::new(&order),
    };
    let mut told = 0;
    while !search.go(1) {
        if search.changes() > told {
            told = search.changes();
            let so_far = SaidDraft::so_far(&search.so_far(), search.steps());
            host.say(Answer::Drafting(Box::new(so_far)));
        } else if search.steps().is_multiple_of(TELL) {
            host.say(Answer::Progress(search.steps(), 0));
        }
        if !host.goes_on().await {
            return PUT_BY.set(Some((text.into(), standing.cloned(), search)));
        }
    }
    let answer = search.finish();
    let mut said = SaidDraft::of(&order, &answer);
    // What one more would bring takes as long as the plans themselves: it comes plan by plan.
    let so_far = |said: &SaidDraft| SaidDraft {
        searched: None,
        ..said.clone()
    };
    for (at, drafted) in answer.plans.iter().enumerate() {
        host.say(Answer::Drafting(Box::new(so_far(&said))));
        if !host.goes_on().await {
            return;
        }
        said.plans[at].tell_more(drafted, &order);
    }
    host.say(Answer::Drafted(Box::new(Ok(said))));
}

/// How many circuits the search that is put by has met.
#[cfg(test)]
pub(super) fn steps_put_by() -> Option<u64> {
    PUT_BY.with_borrow(|put_by| put_by.as_ref().map(|(.., search)| search.steps()))
}
