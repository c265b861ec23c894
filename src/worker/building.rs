//! Questions of who builds a plan: how it stands in its site, the cable schedule, the order of work, and what is wrong
//! where the base does not do what the plan does.

use super::host::Host;
use super::task::Answer;
use crate::diagnosis::{BaseReading, Diagnosis, FaultSearch};
use crate::plan::{Clock, Plan, WireId};
use crate::proof;
use crate::sheet::step_list::StepList;
use crate::works::{CableSchedule, HiddenRun, SiteRun, SiteSearch, Walks, WorkOrder};
use std::collections::BTreeMap;

/// How many faulty plans are run between two looks at the host.
const RUNS: u64 = 20;

/// After so many runs of wires it is told how far the search is.
const TOLD: usize = 8;

/// The run of every wire in the plan's site, of which some are known.
pub(super) async fn on_site(plan: &Plan, known: BTreeMap<WireId, SiteRun>, host: &dyn Host) {
    let Some(mut search) = SiteSearch::new(plan, known) else {
        return host.say(Answer::OnSite(None));
    };
    while search.go() {
        let (done, of) = search.progress();
        if done % TOLD == 0 {
            host.say(Answer::Progress(done as u64, of as u64));
        }
        if !host.goes_on().await {
            return;
        }
    }
    host.say(Answer::OnSite(Some(Box::new(search.finish()))));
}

/// The run of a wire that shows least.
pub(super) fn hide(plan: &Plan, wire: &WireId, host: &dyn Host) {
    let hidden = HiddenRun::of(plan, wire);
    host.say(Answer::Hidden(hidden.map(Box::new)));
}

/// Every wire with the most that it carries.
pub(super) fn cables(plan: &Plan, host: &dyn Host) {
    let mut tell = |day| host.say(Answer::Progress(day, proof::DAYS));
    let schedule = CableSchedule::of(plan, &mut tell);
    host.say(Answer::Cables(Box::new(schedule)));
}

/// In which steps the plan is built.
pub(super) fn steps(plan: &Plan, at: Clock, host: &dyn Host) {
    let walks = Walks::of(plan);
    let order = WorkOrder::of(plan, at, &|from, to| walks.cm(from, to));
    host.say(Answer::Steps(Box::new(StepList::of(plan, &order))));
}

/// Which single faults explain what was read.
pub(super) async fn diagnose(plan: &Plan, readings: &[BaseReading], host: &dyn Host) {
    let mut search = match FaultSearch::new(plan, readings) {
        Ok(search) => search,
        Err(faults) => {
            let said = faults.iter().map(ToString::to_string).collect();
            return host.say(Answer::Diagnosed(Box::new(Err(said))));
        }
    };
    while !search.go(RUNS) {
        let (done, of) = search.progress();
        host.say(Answer::Progress(done as u64, of as u64));
        if !host.goes_on().await {
            return;
        }
    }
    let found = Diagnosis::of(plan, vec![search.finish()]);
    host.say(Answer::Diagnosed(Box::new(Ok(found))));
}
