//! Changes that let a load start at another time: what is found so far, with how far the search is.

use super::host::Host;
use super::task::{Answer, StartFound};
use crate::proof::Study;
use crate::proof::start_by::{StartSearch, StartWish, cheapest_first};
use std::sync::Arc;

/// Every change that does it.
pub(super) async fn start_by(study: &Arc<Study>, wish: &StartWish, host: &dyn Host) {
    let mut search = match StartSearch::of(study, wish) {
        Ok(search) => search,
        Err(none) => return host.say(Answer::StartBy(Box::new(Err(none)), true)),
    };
    let mut offers = Vec::new();
    while let Some(tried) = search.next() {
        let (done, of) = search.progress();
        host.say(Answer::Progress(done as u64, of as u64));
        if let Some(offer) = tried {
            offers.push(offer);
            cheapest_first(&mut offers);
            let found = StartFound {
                offers: offers.clone(),
                outcome: search.outcome(),
            };
            host.say(Answer::StartBy(Box::new(Ok(found)), false));
        }
        if !host.goes_on().await {
            return;
        }
    }
    let outcome = search.outcome();
    let found = StartFound { offers, outcome };
    host.say(Answer::StartBy(Box::new(Ok(found)), true));
}
