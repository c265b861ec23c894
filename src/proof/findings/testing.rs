//! What is found on short plans, for tests.

use super::{Finding, FindingKind, Simulation, findings};
use crate::net::testing::plan;
use crate::plan::{History, Plan};

/// The findings of one kind on the plan that `text` stands for, each with what its change says.
pub fn told(text: &str, kind: FindingKind) -> Vec<[String; 2]> {
    told_of(&plan(text), kind)
}

/// As [`told`], of a plan; every change is held to what all changes promise.
pub fn told_of(plan: &Plan, kind: FindingKind) -> Vec<[String; 2]> {
    let found = findings(plan);
    for finding in &found {
        holds(plan, finding);
    }
    found
        .into_iter()
        .filter(|f| f.kind == kind)
        .map(|f| [f.says, f.remedy.map_or(String::new(), |r| r.says)])
        .collect()
}

/// The plan with the change of the first finding of a kind, run.
pub fn taken(plan: &Plan, kind: FindingKind) -> Simulation {
    let mut found = findings(plan).into_iter().filter(|f| f.kind == kind);
    let mut after = plan.clone();
    let remedy = found.find_map(|f| f.remedy).expect("a change");
    after.apply_all(remedy.edits).expect("it applies");
    Simulation::new(&after)
}

/// The sentence has a number; the change applies as one step, keeps what was kept, and can be taken back.
pub fn holds(plan: &Plan, finding: &Finding) {
    let says = &finding.says;
    assert!(says.contains(|c: char| c.is_ascii_digit()), "{says}");
    assert!(!finding.parts.is_empty(), "{says}");
    let Some(remedy) = &finding.remedy else {
        return;
    };
    assert!(
        remedy.says.contains(|c: char| c.is_ascii_digit()),
        "{}",
        remedy.says
    );
    let (mut after, mut history) = (plan.clone(), History::default());
    let edits = remedy.edits.clone();
    history
        .commit(&mut after, &remedy.name, edits)
        .expect("it applies");
    assert_eq!(history.undoes(), Some(remedy.name.as_str()));
    let (was, is) = (crate::proof::check(plan), crate::proof::check(&after));
    for (was, is) in was.duties.iter().zip(&is.duties) {
        assert!(is.kept || !was.kept, "{}", remedy.says);
    }
    history.undo(&mut after);
    // Ids are never given twice, so that the count of them stays.
    after.next = plan.next;
    assert_eq!(after, *plan, "{}", remedy.says);
}
