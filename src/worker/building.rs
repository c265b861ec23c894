//! Questions of who builds a plan: the cable schedule, the order of work, and what is wrong where the base does not do what
//! the plan does.

use super::host::Host;
use super::task::Answer;
use crate::diagnosis::{BaseReading, Diagnosis, FaultSearch};
use crate::plan::{Clock, Plan};
use crate::proof;
use crate::sheet::step_list::StepList;
use crate::works::{CableSchedule, Walks, WorkOrder};

/// How many faulty plans are run between two looks at the host.
const RUNS: u64 = 20;

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
