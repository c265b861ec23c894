//! Changes that let a load start at another time: what is found so far, with how far the search is.

use super::host::Host;
use super::task::Answer;
use crate::proof::Study;
use crate::proof::start_by::{Search, Wanted};
use std::sync::Arc;

/// Every change that does it.
pub(super) async fn start_by(study: &Arc<Study>, wanted: &Wanted, host: &dyn Host) {
    let mut search = match Search::of(study, wanted) {
        Ok(search) => search,
        Err(none) => return host.say(Answer::StartBy(Box::new(Err(none)), true)),
    };
    let mut told = 0;
    while search.next().is_some() {
        let (done, of) = search.progress();
        host.say(Answer::Progress(done as u64, of as u64));
        let found = search.found();
        if found.offers.len() > told {
            told = found.offers.len();
            host.say(Answer::StartBy(Box::new(Ok(found.clone())), false));
        }
        if !host.goes_on().await {
            return;
        }
    }
    host.say(Answer::StartBy(Box::new(Ok(search.found().clone())), true));
}
