//! What an experienced builder would say: findings as they come, with how far the search is.

use super::host::Host;
use super::task::Answer;
use crate::proof::Study;
use crate::proof::findings::Search;
use std::sync::Arc;

/// Every finding.
pub(super) async fn findings(study: &Arc<Study>, host: &dyn Host) {
    let mut search = Search::of(study);
    while let Some(found) = search.next() {
        let (done, of) = search.progress();
        host.say(Answer::Progress(done as u64, of as u64));
        if let Some(finding) = found {
            host.say(Answer::Finding(Box::new(finding)));
        }
        if !host.goes_on().await {
            return;
        }
    }
    host.say(Answer::NoMoreFindings);
}
