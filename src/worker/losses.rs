//! Single losses and pairs: what is found is handed over as it comes, and how far it is.

use super::host::Host;
use super::task::Answer;
use crate::proof::{
    BrokenChange, Loss, LossReport, Pairs, Study, all_losses, broken_changes, empty_batteries,
    share_of_losses,
};
use std::sync::Arc;

/// So many losses go over at once.
const HANDFUL: usize = 32;

/// A share of the single losses; `empty` asks for batteries found empty, too. What they break comes first, then what they
/// change about duties that are broken anyway.
pub(super) async fn singles(
    study: &Arc<Study>,
    empty: bool,
    share: (usize, usize),
    host: &dyn Host,
) {
    let (plan, whole) = (study.plan(), study.check());
    let mut all = all_losses(plan);
    if empty {
        all.extend(empty_batteries(plan));
    }
    if !host.goes_on().await {
        return;
    }
    let (mut found, mut places) = (Vec::new(), Vec::new());
    let reports = share_of_losses(plan, whole, &all, share);
    let of = reports.len() as u64;
    host.say(Answer::Progress(0, of));
    for (done, report) in (1..).zip(reports) {
        places.push(report.0);
        found.push(report);
        if found.len() == HANDFUL {
            host.say(Answer::SomeLosses(std::mem::take(&mut found)));
            host.say(Answer::Progress(done, of));
        }
        if !host.goes_on().await {
            return;
        }
    }
    host.say(Answer::Progress(of, of));
    host.say(Answer::SomeLosses(found));
    let mine: Vec<Loss> = places.iter().map(|at| all[*at].clone()).collect();
    let mut changes: Vec<(usize, Vec<BrokenChange>)> = Vec::new();
    for (at, change) in places.into_iter().zip(broken_changes(plan, whole, &mine)) {
        if !change.is_empty() {
            changes.push((at, change));
        }
        if !host.goes_on().await {
            return;
        }
    }
    host.say(Answer::LossChanges(changes));
    host.say(Answer::Losses {
        for_ever: whole.for_ever,
        days: whole.days,
        kept: whole.duties.iter().filter(|d| d.kept).count(),
    });
}

/// Every pair of what `singles` report.
pub(super) async fn pairs(study: &Arc<Study>, singles: &[LossReport], host: &dyn Host) {
    let (plan, whole) = (study.plan(), study.check());
    let mut pairs = Pairs::new(plan, whole, singles);
    let mut found = Vec::new();
    while let Some(pair) = pairs.next() {
        found.extend(pair);
        let (done, of) = pairs.progress();
        if done % HANDFUL as u64 == 0 {
            if !found.is_empty() {
                host.say(Answer::SomePairs(std::mem::take(&mut found)));
            }
            host.say(Answer::Progress(done, of));
        }
        if !host.goes_on().await {
            return;
        }
    }
    host.say(Answer::SomePairs(found));
    host.say(Answer::Pairs);
}
